// The data and the formulas of the self-test. Results follow by hand from ISO/IEC 29500-1, 18.17.2 (operators) and 18.17.7
// (functions), unless another source stands beside them.
import { CellError } from './workbook.mjs';

const NA = new CellError('#N/A'), DIV = new CellError('#DIV/0!'), NUM = new CellError('#NUM!'), VALUE = new CellError('#VALUE!');

// 2025-01-31 is day 45688: 2000-01-01 is 36526 (18.17.4.1), and 25 years with 7 leap days and 30 days follow.
const data = {
  A1: 2, B1: 'wall', C1: 45688, D1: true, E1: 1, F1: 2.1,
  A2: 3, B2: 'slab', C2: 45688.7, D2: false, E2: 2, F2: 3.9,
  A3: 5, B3: 'Wall', C3: 45695, D3: true, E3: 3, F3: 6.2,
  A4: 7, B4: 'stair', C4: 45702, D4: 'no', E4: 4, F4: 7.8,
  A5: 11, B5: 'wall', E5: 5, F5: 10,
  A6: 'text', B6: '', A8: 0.1, A9: 0.2, A10: -7, C10: NA, C11: DIV,
  G1: 'piece', H1: 'Height (mm)', I1: "It's [a] #1", G2: 'a', H2: 300, I2: 2, G3: 'b', H3: 450, I3: 4, G4: 'c', H4: 600, I4: 8,
};

/** Two worksheets with data; the formula under test stands in Z2 of the first, beside the second row of its table. */
export const sheets = [['Work', data], ["Bob's other sheet", { A1: 100, A2: 200, A3: 300, B1: 'x', B2: 'y', B3: 'x' }]];

/** Defined names: for the workbook, and "local" for the second worksheet only. */
export const names = [
  { name: 'width', text: 'Work!$A$1' }, { name: 'lengths', text: 'Work!$A$1:$A$5' }, { name: 'größe', text: 'Work!$A$2' },
  { name: 'twice', text: 'Work!$A$1*2' }, { name: 'local', sheet: 1, text: "'Bob''s other sheet'!$A$2" },
];

/** One worksheet table over G1:I4. */
export const tables = [{
  name: 'Pieces', sheet: 0, ref: { s: { r: 0, c: 6 }, e: { r: 3, c: 8 } },
  columns: ['piece', 'Height (mm)', "It's [a] #1"], headers: 1, totals: 0,
}];

export const knownResults = [
  // Operators, in the order of 18.17.2.2: sign, %, ^, * /, + -, &, comparison; from left to right among equals.
  ['1+2*3', 7], ['(1+2)*3', 9], ['10-4-3', 3], ['A1-A2-A3', -6], ['100/10/2', 5], ['2^3^2', 64], ['-2^2', 4], ['-(2^2)', -4],
  ['2^-1', 0.5], ['2*-3', -6], ['A2*-A1', -6], ['50%', 0.5], ['A1%', 0.02], ['(A1+A2)%', 0.05], ['1.5E3', 1500], ['2.5e-7*1E7', 2.5],
  ['A1/0', DIV], ['0^0', NUM], ['A10^0.5', NUM], ['A6+1', VALUE], ['A7+1', 1], ['C10+1', NA], ['C11', DIV], ['1E-300*1E-300+A1', 2],
  ['B1&"-"&A1', 'wall-2'], ['"a""b"&"c"', 'a"bc'], ['(A8+A9)&""', '0.3'], ['1/3&""', '0.333333333333333'], ['D1&""', 'TRUE'], ['A7&"x"', 'x'],
  ['A1=2', true], ['B1=B3', true], ['"a"="A"', true], ['B1<>B3', false], ['A1<>A2', true], ['A1<A2', true], ['A1>=A2', false], ['A2<=3', true],
  ['"a"<"B"', true], ['"z">100', true], ['A7=0', true], ['A7=""', true], ['B6=""', true], ['A7', 0], ['D1', true], ['B1', 'wall'], [' A1 + A2 ', 5],

  // Logic and errors.
  ['IF(A1>1,"yes","no")', 'yes'], ['IF(D2,1,2)', 2], ['IF(D1,1,2)', 1], ['IF(A7,1,2)', 2], ['IF(A1>5,1)', false], ['IF(A1=2,A2,1/0)', 3],
  ['IF(A1=3,1/0,A3)', 5], ['IF(C10=1,1,2)', NA], ['IF(AND(A1>1,A2>1),1,0)', 1], ['AND(TRUE,A1=2)', true], ['AND(D1:D3)', false],
  ['AND(C10,TRUE)', NA], ['OR(A1=1,A2=3)', true], ['OR(FALSE,FALSE)', false], ['NOT(A1=2)', false], ['NOT(D2)', true], ['TRUE()', true],
  ['IFERROR(A1/0,9)', 9], ['IFERROR(A1/A2,9)', 2 / 3], ['IFERROR(C10,"none")', 'none'], ['IFNA(C10,4)', 4], ['NA()', NA],
  ['ISNUMBER(A1)', true], ['ISNUMBER(A6)', false], ['ISNUMBER(A7)', false], ['ISNUMBER(C10)', false], ['ISBLANK(A7)', true], ['ISBLANK(A1)', false],
  ['ISBLANK(B6)', false], ['ISERROR(C11)', true], ['ISNA(C10)', true], ['ISTEXT(B1)', true],

  // Numbers.
  ['ABS(A10)', 7], ['SQRT(A1+A4)', 3], ['SQRT(-1)', NUM], ['EXP(0)', 1], ['LN(EXP(A1))', 2], ['LN(-1)', NUM], ['LOG10(1000)', 3], ['LOG(8,2)', 3],
  ['SIGN(A10)', -1], ['SIGN(A7)', 0], ['POWER(A1,10)', 1024], ['PI()', Math.PI], ['SIN(PI()/6)', 0.5], ['COS(PI()/3)', 0.5], ['TAN(PI()/4)', 1],
  ['ASIN(1)', Math.PI / 2], ['ACOS(0)', Math.PI / 2], ['ATAN(1)', Math.PI / 4], ['ATAN2(1,1)', Math.PI / 4], ['ATAN2(-1,0)', Math.PI],
  ['ATAN2(0,2)', Math.PI / 2], ['RADIANS(180)', Math.PI], ['DEGREES(PI())', 180], ['ABS(A7)', 0], ['SINH(0)', 0],
  ['ROUND(2.5,0)', 3], ['ROUND(-2.5,0)', -3], ['ROUND(1.005,2)', 1.01], ['ROUND(1234.5,-2)', 1200], ['ROUNDUP(2.01,0)', 3], ['ROUNDUP(-2.01,0)', -3],
  ['ROUNDUP(3,0)', 3], ['ROUNDDOWN(0.28,2)', 0.28], ['ROUNDDOWN(-2.9,0)', -2], ['TRUNC(-1.5)', -1], ['CEILING(A3,A1)', 6], ['CEILING(6,2)', 6],
  ['CEILING(0.12,0.05)', 0.15], ['FLOOR(A3,A1)', 4], ['FLOOR(0.12,0.05)', 0.1], ['INT(-1.5)', -2], ['INT(2.9)', 2], ['MOD(-3,2)', 1], ['MOD(3,-2)', -1],
  ['MOD(7,0)', DIV], ['QUOTIENT(-7,2)', -3], ['QUOTIENT(7,0)', DIV],

  // Ranges: texts, truths and blanks in them do not count.
  ['SUM(A1:A5)', 28], ['SUM(A1:A7)', 28], ['SUM(A1:A5,10)', 38], ['SUM(D1:D4)', 0], ['SUM(A1,TRUE)', 3], ['SUM(A:A)', 21.3], ['SUM(A1:C10)', NA],
  ['PRODUCT(A1:A3)', 30], ['PRODUCT(A1:A7)', 2310], ['AVERAGE(A1:A7)', 5.6], ['AVERAGE(B1:B5)', DIV], ['MEDIAN(A1:A7)', 5], ['MEDIAN(A1:A4)', 4],
  ['MIN(A1:A10)', -7], ['MAX(A1:A7)', 11], ['MAX(A1,A2*4,1)', 12], ['MIN(D1:D3)', 0], ['COUNT(A1:A7)', 5], ['COUNTA(A1:A7)', 6], ['COUNT(D1:D4)', 0],
  ['STDEV(A1:A3)', Math.sqrt(7 / 3)], ['STDEV.S(A1:A3)', Math.sqrt(7 / 3)], ['_xlfn.STDEV.S(A1:A7)', Math.sqrt(12.8)], ['STDEV.P(A1:A2)', 0.5],
  ['VAR.S(A1:A3)', 7 / 3], ['LARGE(A1:A7,2)', 7], ['SMALL(A1:A7,A1)', 3], ['SLOPE(F1:F5,E1:E5)', 1.97], ['INTERCEPT(F1:F5,E1:E5)', 0.09],
  ['RSQ(F1:F5,E1:E5)', 388.09 / 389], ['FORECAST(6,F1:F5,E1:E5)', 11.91], ['FORECAST(A3,F1:F5,E1:E5)', 9.94], ['SLOPE(F1:F7,E1:E7)', 1.97],

  // Conditions do not tell capitals from small letters.
  ['COUNTIF(B1:B5,"wall")', 3], ['COUNTIF(B1:B5,"<>wall")', 2], ['COUNTIF(A1:A7,">3")', 3], ['COUNTIF(A1:A7,A2)', 1], ['COUNTIF(A1:A5,">="&A3)', 3],
  ['COUNTIFS(B1:B5,"wall",A1:A5,">2")', 2], ['COUNTIFS(B1:B5,B1)', 3], ['SUMIF(B1:B5,"wall",A1:A5)', 18], ['SUMIF(A1:A5,">4")', 23], ['SUMIF(B1:B5,B2,A1:A5)', 3],
  ['SUMIFS(A1:A5,B1:B5,"wall")', 18], ['SUMIFS(A1:A5,B1:B5,"WALL",E1:E5,"<4")', 7], ['AVERAGEIF(B1:B5,"wall",A1:A5)', 6], ['MINIFS(A1:A5,B1:B5,"wall")', 2],
  ['MAXIFS(A1:A5,B1:B5,"wall")', 11], ['_xlfn.MAXIFS(A1:A5,B1:B5,"none")', 0], ['COUNTIF(D1:D3,TRUE)', 2], ['COUNTIF(D1:D3,FALSE)', 1], ['SUMIFS(E1:E3,D1:D3,TRUE)', 4], ['COUNTIF(D1:D4,D1)', 2],
  ['COUNTIF(B1:B7,"")', 2], ['SUMIFS(A1:A5,D1:D5,"")', 11], ['SUMIF(B1:B6,"<>wall",A1:A6)', 10], ['COUNTIF(A1:A8,"<>")', 7], ['SUMIF(D1:D5,"<>",A1:A5)', 17],
  ['SUBTOTAL(109,A1:A5)', 28], ['PERCENTILE(A1:A5,0.25)', 3], ['PERCENTILE(A1:A2,0.25)', 2.25],
  ['SUMPRODUCT(A1:A3,E1:E3)', 23], ['SUMPRODUCT((B1:B5="wall")*(A1:A5))', 18], ['SUMPRODUCT((B1:B5="wall")*(A1:A5>2)*E1:E5)', 8], ['SUMPRODUCT(--(A1:A5>2))', 4],
  ['SUMPRODUCT(A1:A3*2)', 20], ['SUMPRODUCT(D1:D3,E1:E3)', 0], ['SUMPRODUCT(--ISNUMBER(A1:A7))', 5], ['SUMPRODUCT(A1:A3/E1:E3)', 2 + 1.5 + 5 / 3],

  // Looking up.
  ['INDEX(A1:A5,3)', 5], ['INDEX(A1:B5,2,2)', 'slab'], ['INDEX(A1:C1,2)', 'wall'], ["INDEX('Bob''s other sheet'!A1:A3,2)", 200], ['MATCH("slab",B1:B5,0)', 2],
  ['MATCH(7,A1:A5,0)', 4], ['MATCH("none",B1:B5,0)', NA], ['INDEX(A1:A5,MATCH("stair",B1:B5,0))', 7], ['INDEX(C10:C11,1)', NA], ['INDEX(C9:C11,1)', 0], ['INDEX(A1:A5,C10)', NA], ['INDEX(A1:A5,9)', new CellError('#REF!')], ['ROWS(A1:A5)', 5],
  ['VLOOKUP(3,A1:B5,2,FALSE)', 'slab'], ['VLOOKUP(4,A1:B5,2,FALSE)', NA], ['SUMPRODUCT(EXACT(B1:B5,B1)*A1:A5)', 13], ['SUMPRODUCT((A1:A5>2)*(1-(E1:E5>3)))=0', false],
  ['IF(COUNTA(A1:A5)<ROWS(A1:A5),NA(),SUM(A1:A5))', 28], ['SUMPRODUCT(ROUND(F1:F5,0)*1)', 30],
  ['ROW()', 2], ['COLUMNS(A1:C1)', 3],

  // Texts.
  ['TEXT(2.345,"0.0")', '2.3'], ['TEXT(1234.5,"#,##0.00")', '1,234.50'], ['TEXT(C1,"yyyy-mm-dd")', '2025-01-31'], ['TEXT(0.256,"0%")', '26%'],
  ['TEXT(C2,"yyyy-mm-dd""T""hh:mm")', '2025-01-31T16:48'], ['TEXT(-0.5,"0.00")', '-0.50'], ['CONCATENATE(B1," ",A1)', 'wall 2'], ['LEN(B1)', 4], ['LEN("")', 0],
  ['LEFT(B1,2)', 'wa'], ['LEFT(B1)', 'w'], ['RIGHT(B1,3)', 'all'], ['MID(B4,2,3)', 'tai'], ['TRIM(" a  b ")', 'a b'], ['UPPER("ab")', 'AB'],

  // Dates. 2025-01-31 is a Friday.
  ['DATE(2025,1,31)', 45688], ['DATE(2025,13,1)', 46023], ['YEAR(C1)', 2025], ['MONTH(C1)', 1], ['DAY(C2)', 31], ['WEEKDAY(C1)', 6], ['WEEKDAY(C1,2)', 5],
  ['HOUR(C2)', 16], ['MINUTE(C2)', 48], ['MINUTE(0.7)', 48], ['EDATE(C1,1)', 45716], ['EDATE(C1,12)', 46053], ['EOMONTH(C1,0)', 45688], ['EOMONTH(C1,1)', 45716],
  ['WORKDAY(C1,1)', 45691], ['WORKDAY(C1,5)', 45695], ['WORKDAY(C1,5,C3)', 45698], ['WORKDAY(C1,-1)', 45687], ['NETWORKDAYS(C1,C3)', 6], ['NETWORKDAYS(C1,C4,C3:C3)', 10],
  ['C3-C1', 7],

  // Other worksheets, names, tables.
  ["'Bob''s other sheet'!A1+A1", 102], ["SUM('Bob''s other sheet'!A1:A3)", 600], ["SUMIF('Bob''s other sheet'!B1:B3,\"x\",'Bob''s other sheet'!A1:A3)", 400],
  ['width*2', 4], ['SUM(lengths)', 28], ['größe+1', 4], ['twice^2', 16], ["'Bob''s other sheet'!local", 200], ['$A$1+A$2+$A3', 10], ['Work!A1', 2],
  ['SUM(Pieces[Height (mm)])', 1350], ['Pieces[@[Height (mm)]]*2', 600], ['Pieces[[#This Row],[Height (mm)]]', 300], ['Pieces[@piece]', 'a'],
  ["SUM(Pieces[It''s '[a'] '#1])", 14], ['SUM(Pieces[[Height (mm)]:[It\'\'s \'[a\'] \'#1]])', 1364], ['COUNTA(Pieces[#All])', 12], ['ROWS(Pieces)', 3],
  ['Pieces[[#Headers],[piece]]', 'piece'], ['SUMIFS(Pieces[Height (mm)],Pieces[piece],"b")', 450], ['SUMPRODUCT((Pieces[piece]="b")*Pieces[Height (mm)])', 450],
];

/** Formulas with a cached value that must not pass, and why. */
export const mustFail = [
  ['A1*2', 5, 'begins here'], ['A1*2', '4', 'begins here'], ['A1=2', 1, 'begins here'], ['A1/0', NA, 'begins here'], ['B1&"x"', 'Wallx', 'begins here'],
  ['A1*1.000000002', 2, 'begins here'], ['A1*2', undefined, 'no cached value'], ['(A8+A9)&""', '0.30000000000000004', 'begins here'], ['-2^2', -4, 'begins here'],
  ['SUM(A1:A3*E1:E3)', 23, 'only SUMPRODUCT'], ['A1:A3', 2, 'a list'], ['ABS(A1:A3)', 2, 'a list'], ['SUMPRODUCT(IF(A1:A3>2,1,0))', 2, 'only array formulas'], ['MAX(ABS(A1:A3))', 5, 'only SUMPRODUCT'], ['SUM(A1:A3', 10, 'cannot be evaluated'],
  ['COUNTIF(B1:B5,"wa*")', 3, 'cannot be evaluated'], ['MATCH(4,A1:A5,1)', 2, 'cannot be evaluated'],
  ['FOO(A1)', 2, 'cannot be evaluated'], ['nothing+1', 1, 'knows no name'], ['Nowhere!A1', 1, 'knows no worksheet'], ['Pieces[other]', 1, 'no column'], ['Z2+1', 1, 'rests on itself'],
  ['[1]Other!A1', 1, 'outside of a table'], ['A1:A3 A2:B2', 3, 'crosses'],
];
