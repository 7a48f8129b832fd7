// Which evaluator is allowed for which function and operator, with the reason. A formula counts as recomputed only where an
// evaluator that is allowed for everything in it gives the cached value.
//
// There are two evaluators: "parser" (fast-formula-parser) and "calc" (xlsx-calc). Each takes a function from its own stock
// ("own") or from @formulajs/formulajs ("formulajs"); no entry means not allowed. takes says what the function is given:
//   values   single values; over a range it works value by value, which only SUMPRODUCT and array formulas may ask for
//   ranges   ranges or values as they are
//   numbers  only the numbers in its ranges count, as 18.17.7 of ISO/IEC 29500-1 has it for texts, truths and blanks
//   pairs    two ranges of which only the places count where both hold a number
//   matches  ranges with conditions, which do not tell capitals from small letters
//   itself   references or unevaluated branches

const own = 'own', formulajs = 'formulajs';

const rows = [
  // name, parser, calc, takes, reason
  ['+', own, own, '', 'both right, over ranges as well'],
  ['-', own, own, '', 'both right'],
  ['*', own, own, '', 'both right, over ranges as well'],
  ['/', own, own, '', 'both right'],
  ['-x', own, own, '', 'both right; see ^'],
  ['^', own, null, '', 'calc reads -2^2 as -(2^2)'],
  ['&', own, null, '', 'calc joins numbers with 17 digits'],
  ['=', own, own, '', 'both right; calc does not know that a blank equals FALSE, which then fails'],
  ['<>', own, null, '', 'calc tells capitals from small letters'],
  ['<', own, null, '', 'calc turns a text into a number to compare it'],
  ['>', own, null, '', 'calc turns a text into a number to compare it'],
  ['<=', own, null, '', 'calc turns a text into a number to compare it'],
  ['>=', own, null, '', 'calc turns a text into a number to compare it'],
  ['%', own, own, '', 'both right'],
  ['(x)%', own, null, '', 'calc knows % only behind a number or a cell'],
  ['"" in a text', own, null, '', 'calc ends the text at the first of them'],
  ['truth constant', own, null, '', 'calc takes TRUE for 1'],
  ['list constant', own, null, '', 'calc does not know them'],
  ['error constant', own, null, '', 'calc does not know them'],

  ['IF', own, own, 'itself', 'parser took every cell for true: its condition is read first'],
  ['AND', own, null, 'ranges', 'calc takes a range for true and drops errors'],
  ['OR', own, null, 'ranges', 'calc takes a range for true and drops errors'],
  ['XOR', own, null, 'ranges', 'as OR'],
  ['NOT', own, null, 'values', 'calc has none'],
  ['TRUE', own, null, 'values', 'calc takes it for 1'],
  ['FALSE', own, null, 'values', 'calc takes it for 0'],
  ['IFERROR', own, own, 'itself', 'both right'],
  ['IFNA', own, null, 'itself', 'calc has none'],
  ['NA', own, null, 'values', 'calc does not carry it'],
  ['ISNUMBER', own, null, 'itself', 'calc takes "5" for a number'],
  ['ISTEXT', own, null, 'itself', 'calc has none'],
  ['ISBLANK', formulajs, null, 'itself', 'parser takes an empty text for blank, calc 0 as well'],
  ['ISERROR', own, null, 'itself', 'calc knows only some errors'],
  ['ISNA', own, null, 'itself', 'calc has none'],

  ['ABS', own, formulajs, 'values', 'right'],
  ['SIGN', own, formulajs, 'values', 'right'],
  ['SQRT', own, formulajs, 'values', 'right; own of calc gives no error below 0'],
  ['EXP', own, formulajs, 'values', 'right'],
  ['LN', own, formulajs, 'values', 'right'],
  ['LOG', own, formulajs, 'values', 'right'],
  ['LOG10', own, formulajs, 'values', 'right'],
  ['POWER', own, null, 'values', 'right; formulajs gives 1 for 0^0'],
  ['PI', own, formulajs, 'values', 'right'],
  ['SIN', own, formulajs, 'values', 'right'],
  ['COS', own, formulajs, 'values', 'right'],
  ['TAN', own, formulajs, 'values', 'right'],
  ['ASIN', own, formulajs, 'values', 'right'],
  ['ACOS', own, formulajs, 'values', 'right'],
  ['ATAN', own, formulajs, 'values', 'right'],
  ['ATAN2', own, formulajs, 'values', 'right'],
  ['SINH', own, formulajs, 'values', 'right'],
  ['COSH', own, formulajs, 'values', 'right'],
  ['TANH', own, formulajs, 'values', 'right'],
  ['RADIANS', own, formulajs, 'values', 'right'],
  ['DEGREES', own, formulajs, 'values', 'right'],
  ['ROUND', formulajs, formulajs, 'values', 'parser gives 1 for ROUND(1.005,2)'],
  ['ROUNDUP', formulajs, formulajs, 'values', 'parser rounds what it has moved by half a step'],
  ['ROUNDDOWN', formulajs, formulajs, 'values', 'parser rounds what it has moved by half a step'],
  ['TRUNC', formulajs, formulajs, 'values', 'parser rounds what it has moved by half a step'],
  ['CEILING', own, formulajs, 'values', 'right'],
  ['FLOOR', own, formulajs, 'values', 'right'],
  ['MROUND', own, null, 'values', 'right'],
  ['INT', own, formulajs, 'values', 'right'],
  ['MOD', own, null, 'values', 'n-d*INT(n/d) as in 18.17.7.210; formulajs takes a remainder of its own'],
  ['QUOTIENT', own, formulajs, 'values', 'right'],

  ['SUM', own, formulajs, 'numbers', 'own of calc adds texts and truths of a range'],
  ['PRODUCT', own, formulajs, 'numbers', 'right'],
  ['SUMSQ', own, formulajs, 'numbers', 'right'],
  ['MIN', formulajs, formulajs, 'numbers', 'parser has none; own of calc compares texts'],
  ['MAX', formulajs, formulajs, 'numbers', 'parser has none; own of calc compares texts'],
  ['AVERAGE', own, formulajs, 'numbers', 'own of calc divides by texts as well'],
  ['MEDIAN', formulajs, formulajs, 'numbers', 'neither has one'],
  ['STDEV', formulajs, formulajs, 'numbers', 'parser has none'],
  ['STDEV.S', formulajs, formulajs, 'numbers', 'neither has one'],
  ['STDEV.P', formulajs, formulajs, 'numbers', 'neither has one'],
  ['VAR.S', formulajs, formulajs, 'numbers', 'neither has one'],
  ['VAR.P', formulajs, formulajs, 'numbers', 'parser has none'],
  ['LARGE', formulajs, formulajs, 'numbers', 'neither has one'],
  ['SMALL', formulajs, formulajs, 'numbers', 'neither has one'],
  ['COUNT', own, formulajs, 'ranges', 'right'],
  ['COUNTA', formulajs, formulajs, 'ranges', 'parser has none'],
  ['SLOPE', formulajs, formulajs, 'pairs', 'parser has none'],
  ['INTERCEPT', formulajs, formulajs, 'pairs', 'formulajs gives the same form for all of the line'],
  ['RSQ', formulajs, formulajs, 'pairs', 'parser has none'],
  ['CORREL', formulajs, formulajs, 'pairs', 'own of calc has an error of its own, N/D'],
  ['FORECAST', formulajs, formulajs, 'pairs', 'formulajs gives the same form for all of the line'],
  ['FORECAST.LINEAR', formulajs, formulajs, 'pairs', 'as FORECAST'],

  ['SUMPRODUCT', own, own, 'ranges', 'formulajs takes TRUE for 1'],
  ['COUNTIF', formulajs, formulajs, 'matches', 'parser looks for the sign of the condition anywhere in it'],
  ['COUNTIFS', formulajs, formulajs, 'matches', 'neither has one'],
  ['SUMIF', formulajs, formulajs, 'matches', 'own of calc looks only at the first row'],
  ['SUMIFS', formulajs, formulajs, 'matches', 'neither has one'],
  ['AVERAGEIF', formulajs, formulajs, 'matches', 'as SUMIF'],
  ['AVERAGEIFS', formulajs, formulajs, 'matches', 'neither has one'],
  ['MINIFS', formulajs, formulajs, 'matches', 'neither has one'],
  ['MAXIFS', formulajs, formulajs, 'matches', 'neither has one'],
  ['INDEX', own, null, 'itself', 'parser loses the worksheet, which is given back; calc wants a column'],
  ['MATCH', formulajs, formulajs, 'ranges', 'parser has none; only type 0 is asked for'],
  ['ROW', own, null, 'itself', 'right'],
  ['ROWS', own, null, 'itself', 'right'],
  ['COLUMN', own, null, 'itself', 'right'],
  ['COLUMNS', own, null, 'itself', 'right'],

  ['TEXT', own, null, 'values', 'formulajs knows few formats, calc none'],
  ['CONCATENATE', own, null, 'values', 'calc joins numbers with 17 digits'],
  ['LEN', formulajs, null, 'values', 'parser has none'],
  ['LEFT', own, null, 'values', 'calc reads numbers with 17 digits'],
  ['RIGHT', own, null, 'values', 'calc reads numbers with 17 digits'],
  ['MID', own, null, 'values', 'calc has none'],
  ['TRIM', own, null, 'values', 'calc keeps double spaces'],
  ['LOWER', own, null, 'values', 'calc has none'],
  ['UPPER', formulajs, null, 'values', 'parser has none'],
  ['EXACT', own, null, 'values', 'calc has none'],
  ['FIND', own, null, 'values', 'calc has none'],
  ['SUBSTITUTE', formulajs, null, 'values', 'parser has none'],
  ['REPT', own, null, 'values', 'calc has none'],
  ['VALUE', formulajs, null, 'values', 'parser has none'],

  ['DATE', own, null, 'values', 'calc has times in the place of numbers, for all dates'],
  ['TIME', own, null, 'values', 'as DATE'],
  ['YEAR', own, null, 'values', 'as DATE'],
  ['MONTH', own, null, 'values', 'as DATE'],
  ['DAY', own, null, 'values', 'as DATE'],
  ['DAYS', own, null, 'values', 'as DATE'],
  ['WEEKDAY', own, null, 'values', 'as DATE'],
  ['HOUR', own, null, 'values', 'as DATE'],
  ['MINUTE', own, null, 'values', 'as DATE'],
  ['SECOND', own, null, 'values', 'as DATE'],
  ['EDATE', formulajs, null, 'values', 'parser goes past the end of a shorter month'],
  ['EOMONTH', own, null, 'values', 'as DATE'],
  ['WORKDAY', own, null, 'ranges', 'as DATE'],
  ['NETWORKDAYS', own, null, 'ranges', 'as DATE'],
];

/** The table by name: { parser, calc, takes, why }. */
export const allowed = new Map(rows.map(([name, parser, calc, takes, why]) => [name, { parser, calc, takes, why }]));

/** The evaluators, in the order in which their values are preferred. */
export const evaluatorNames = ['parser', 'calc'];

/** What in USES keeps that evaluator from counting. */
export const notAllowed = (evaluator, uses) => [...uses].filter((name) => !allowed.get(name)?.[evaluator]);
