// The evaluator xlsx-calc, for one formula at a time over values that stand.
import { createRequire } from 'node:module';
import { allowed } from './allowed.mjs';
import { address, sheetName } from './formula.mjs';
import { firstError, stockFunction } from './stock.mjs';
import { CellError } from './workbook.mjs';

const require = createRequire(import.meta.url);
const XLSX_CALC = require('xlsx-calc');
const executeFormula = require('xlsx-calc/src/exec_formula.js');

for (const [name, row] of allowed) {
  if (row.calc === 'formulajs') XLSX_CALC.set_fx(name, wrapped(stockFunction(name), name, row.takes === 'values'));
}

// The library hands errors in ranges over as values, and takes them as thrown.
function wrapped(call, name, ofOneValue) {
  const countsErrors = /^COUNT/.test(name) || name === 'MATCH';
  return (...args) => {
    if (ofOneValue && args.some(Array.isArray)) throw new Error(`does not work ${name} out over a range`);
    const plain = args.map((a) => (Array.isArray(a) ? a.map((row) => row.map(plainValue)) : plainValue(a)));
    const result = (!countsErrors && firstError(plain)) || call(...plain);
    if (result instanceof CellError) throw new Error(result.code);
    return result;
  };
}

const plainValue = (value) => (value instanceof Error ? new CellError(value.message) : value ?? null);

/** Makes an evaluator over the sheets of BOOK; put sets the value that a cell has for it. */
export function calcOver(book) {
  const sheets = {};
  book.sheets.forEach((_, index) => { sheets[sheetName(index)] = {}; });
  const workbook = { Sheets: sheets };
  const put = (sheet, row, column, value) => {
    if (value === undefined || value === null) return;
    sheets[sheetName(sheet)][address(row, column)] = value instanceof CellError
      ? { t: 'e', w: value.code } : { t: { number: 'n', string: 's', boolean: 'b' }[typeof value], v: value };
  };
  const evaluate = (text, at) => {
    const cell = { f: text };
    const name = sheetName(at.sheet);
    quietly(() => executeFormula({
      // Every reference names its sheet; this one only takes what a list would be written over.
      formula_ref: {}, wb: workbook, sheet: {}, sheet_name: name, cell, name: address(at.row, at.column),
      status: 'new', exec_formula: executeFormula,
    }));
    if (cell.t === 'e') return new CellError(cell.w ?? cell.v.message);
    if (cell.v === null) return 0;
    if (Array.isArray(cell.v) || cell.v === undefined) throw new Error('gives no single value');
    if (typeof cell.v === 'number' && !Number.isFinite(cell.v)) throw new Error(`gives ${cell.v}`);
    return cell.v;
  };
  return { put, evaluate };
}

// The library tells of every error that it reads.
function quietly(call) {
  const { log } = console;
  console.log = () => {};
  try {
    return call();
  } finally {
    console.log = log;
  }
}
