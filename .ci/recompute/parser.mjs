// The evaluator fast-formula-parser, with what it lacks: worksheets in INDEX, blanks, errors in arguments, comparison of texts,
// operators and functions over ranges, functions of @formulajs/formulajs. What is computed is computed by the libraries.
import FormulaParser from 'fast-formula-parser';
import { allowed } from './allowed.mjs';
import { stockFunction } from './stock.mjs';
import { CellError } from './workbook.mjs';

const { FormulaError } = FormulaParser;

/** A formula that no reader's program would work out as it stands, whatever another evaluator says. */
export class Forbidden extends Error {}

const seesErrors = new Set(['IFERROR', 'IFNA', 'ISNUMBER', 'ISTEXT', 'ISERROR', 'ISNA', 'ISBLANK', 'COUNT', 'COUNTA',
  'COUNTIF', 'COUNTIFS', 'MATCH', 'SUMIFS']);
const takesLists = new Set(['SUMPRODUCT']);
const datesOfOneValue = new Set(['HOUR', 'MINUTE', 'SECOND']);

/** A list that an operator or function made out of a range, to be told from the range itself. */
class Made extends Array {}

const isList = (value) => Array.isArray(value);

// One operator or function, value by value over lists of rows. A single row or column counts for all, as 18.17.2.7 has it.
function overLists(args, call) {
  const rows = Math.max(...args.map((a) => (isList(a) ? a.length : 1)));
  const columns = Math.max(...args.map((a) => (isList(a) ? a[0].length : 1)));
  const at = (a, r, c) => {
    if (!isList(a)) return a;
    const row = a.length === 1 ? a[0] : a[r];
    const value = row && (row.length === 1 ? row[0] : row[c]);
    return value === undefined ? FormulaError.NA : value;
  };
  const made = new Made();
  for (let r = 0; r < rows; r++) {
    made.push([]);
    for (let c = 0; c < columns; c++) made[r].push(call(...args.map((a) => at(a, r, c))));
  }
  return made;
}

const toLibrary = (value) => {
  if (isList(value)) return value.map((row) => row.map(toLibrary));
  return value instanceof CellError ? new FormulaError(value.code) : value;
};
const fromLibrary = (value) => {
  if (isList(value)) return [...value].map((row) => row.map(fromLibrary));
  return value instanceof FormulaError ? new CellError(value.toString()) : value;
};

// A number as a text has at most 15 digits (common practice among readers' programs).
const asText = (value) => (typeof value === 'number' ? String(Number(value.toPrecision(15))).replace('e', 'E') : value);

class Evaluator extends FormulaParser {
  constructor(config) {
    super(config);
    this.withinArray = false;
    this.base = { infix: this.utils._applyInfix, prefix: this.utils._applyPrefix, postfix: this.utils._applyPostfix };
    this.utils._applyInfix = (a, sign, b) => this.infix(a.val, sign, b.val);
    const { prefix, postfix } = this.base;
    this.utils._applyPrefix = (signs, value) => this.lifted([value], (v) => prefix.call(this.utils, signs, v, false));
    this.utils._applyPostfix = (value, _, sign) => this.lifted([value], (v) => postfix.call(this.utils, v, false, sign));
    this.utils.extractRefValue = (value) => {
      const found = value?.ref ? this.retrieveRef(value) : value;
      return { val: found, isArray: isList(found) };
    };
  }

  // The library takes an error in a cell that is the whole formula for #VALUE!.
  checkFormulaResult(result, allowList) {
    return super.checkFormulaResult(result?.ref ? this.retrieveRef(result) ?? 0 : result, allowList);
  }

  lifted(values, call) {
    return values.some(isList) ? overLists(values, call) : call(...values);
  }

  infix(a, sign, b) {
    return this.lifted([a, b], (x, y) => {
      if ('<>='.includes(sign[0])) [x, y] = comparable(x, y);
      else if (sign === '&') [x, y] = [asText(x), asText(y)];
      else if (sign === '^' && Number(x ?? 0) === 0 && Number(y ?? 0) <= 0) {
        return Number(y ?? 0) === 0 ? FormulaError.NUM : FormulaError.DIV0;
      }
      const result = this.base.infix.call(this.utils, { val: x, isArray: false }, sign, { val: y, isArray: false });
      return typeof result === 'number' && !Number.isFinite(result) ? FormulaError.NUM : result;
    });
  }

  _callFunction(name, args) {
    try {
      return this.called(name, args);
    } catch (error) {
      if (error instanceof FormulaError) return error;
      throw error;
    }
  }

  called(name, args) {
    const row = allowed.get(name);
    if (!row?.parser) throw new Error(`no evaluator is allowed for ${name}`);
    if (name === 'IF') return this.branch(args);
    if (name === 'INDEX') return this.index(args);
    if (/^(ROW|COLUMN)S?$/.test(name)) return this.functions[name](this, ...args);
    const values = args.map((arg) => this.utils.extractRefValue(arg).val);
    if (!this.withinArray && !takesLists.has(name) && row.takes !== 'values' && values.some((v) => v instanceof Made)) {
      throw new Forbidden(`${name} is given a list made out of a range, which only SUMPRODUCT and array formulas work out`);
    }
    const call = (...given) => this.one(name, row, given, args);
    if (row.takes === 'values' || (row.takes === 'itself' && values.some(isList))) return this.lifted(values, call);
    return call(...values);
  }

  one(name, row, values, args) {
    if (!seesErrors.has(name)) {
      const error = values.flat(2).find((v) => v instanceof FormulaError);
      if (error) return error;
    }
    if (row.parser === 'formulajs') return this.fromStock(name, row, values, args);
    const given = values.map((value, i) => this.argument(name, row, value, args[i]));
    if (name === 'QUOTIENT' && given[1]?.value === 0) return FormulaError.DIV0;
    const result = this.functions[name](...given);
    return typeof result === 'number' && !Number.isFinite(result) ? FormulaError.NUM : result;
  }

  // A value in the form in which the functions of the library take it.
  argument(name, row, value, arg) {
    const isRange = Boolean(arg?.ref?.from), isCell = Boolean(arg?.ref) && !isRange;
    if (row.takes === 'values') {
      if (value === null) value = this.funsNullAs0.includes(name) ? 0 : '';
      if (datesOfOneValue.has(name) && typeof value === 'number') value = toMillisecond(value);
      if (!this.funsNullAs0.includes(name) && name !== 'TEXT') value = asText(value);
      if (name === 'TEXT' && value === '') value = 0;
      return { value, isArray: false };
    }
    if (arg === null) return { value: 0, isArray: false, omitted: true };
    return { value, isArray: isList(value) && !isRange, isRangeRef: isRange, isCellRef: isCell, ref: arg?.ref };
  }

  fromStock(name, row, values, args) {
    const function_ = stockFunction(name);
    const plain = values.map((value, i) => {
      // A cell counts as a range of one where texts and blanks in ranges are passed over.
      const takesRanges = row.takes !== 'values' && row.takes !== 'itself';
      if (takesRanges && args[i]?.ref && !isList(value) && rangeAt(name, i)) value = [[value]];
      return fromLibrary(value);
    });
    return toLibrary(function_(...plain));
  }

  branch([test, ...branches]) {
    const { val } = this.utils.extractRefValue(test);
    if (isList(val)) {
      if (!this.withinArray) throw new Forbidden('IF is given a range, which only array formulas work out');
      const [yes, no] = branches.map((b) => this.utils.extractRefValue(b ?? 0).val);
      return overLists([val, yes, no ?? false], (t, y, n) => this.branch([t, y, n]));
    }
    if (val instanceof FormulaError) return val;
    const given = branches.map((b) => (b === null ? 0 : b));
    return this.functions.IF(this, { value: val ?? 0 }, ...given);
  }

  index([range, row, column, ...rest]) {
    for (const place of [range, row, column]) {
      const { val } = this.utils.extractRefValue(place ?? 0);
      if (val instanceof FormulaError && (place !== range || !range.ref)) return val;
    }
    const { from, to } = range.ref ?? {};
    if (from && from.row === to.row && column === undefined) [row, column] = [1, row];
    const found = this.functions.INDEX(this, range, row, column, ...rest);
    if (found?.ref && range.ref?.sheet) found.ref.sheet = range.ref.sheet;
    return found;
  }
}

// The places of the arguments that are ranges; the others are single values even where they come from a cell.
function rangeAt(name, place) {
  switch (name) {
    case 'LARGE': case 'SMALL': case 'PERCENTILE': case 'PERCENTILE.INC': case 'COUNTIF': return place === 0;
    case 'MATCH': case 'SUBTOTAL': return place === 1;
    case 'SUMIF': case 'AVERAGEIF': return place !== 1;
    case 'FORECAST': case 'FORECAST.LINEAR': return place > 0;
    case 'COUNTIFS': return place % 2 === 0;
    case 'SUMIFS': case 'AVERAGEIFS': case 'MINIFS': case 'MAXIFS': return place === 0 || place % 2 === 1;
    default: return true;
  }
}

// Texts are compared without regard to capitals; a blank is what the other side is.
function comparable(a, b) {
  const small = (v, other) => {
    if (v == null) return typeof other === 'string' ? '' : typeof other === 'boolean' ? false : 0;
    return typeof v === 'string' ? v.toLowerCase() : v;
  };
  return [small(a, b), small(b, a)];
}

// The library cuts a time down to its millisecond, and so would miss a whole minute by what a double leaves out.
const toMillisecond = (days) => (Math.round(days * 86400000) + 0.5) / 86400000;

/** Makes an evaluator over VIEW, which has cell(sheet, row, column) and range(sheet, from, to), from 0, as plain values. */
export function parserOver(view) {
  const sheetOf = (ref) => Number(ref.sheet.slice(1)) - 1;
  const corner = ({ row, col }) => ({ r: row - 1, c: col - 1 });
  const evaluator = new Evaluator({
    onCell: (ref) => toLibrary(view.cell(sheetOf(ref), ref.row - 1, ref.col - 1)),
    onRange: (ref) => toLibrary(view.range(sheetOf(ref), corner(ref.from), corner(ref.to))),
  });
  return (text, at, withinArray) => {
    evaluator.withinArray = withinArray;
    let result;
    try {
      result = evaluator.parse(text, { sheet: `S${at.sheet + 1}`, row: at.row + 1, col: at.column + 1 }, true);
    } catch (error) {
      const cause = error?.details ?? error;
      if (cause instanceof Forbidden) throw cause;
      throw new Error(String(cause?.message ?? cause).trim().split('\n').pop());
    }
    if (isList(result) && !withinArray) {
      if (result.length === 1 && result[0].length === 1 && !(result instanceof Made)) return fromLibrary(result[0][0]);
      throw new Forbidden('gives a list in one cell');
    }
    return fromLibrary(result);
  };
}
