// Recomputes one workbook and compares.
import { notAllowed, evaluatorNames } from './allowed.mjs';
import { calcOver } from './calc.mjs';
import { address, Rewriter } from './formula.mjs';
import { Forbidden, parserOver } from './parser.mjs';
import { CellError } from './workbook.mjs';
import XLSX from 'xlsx';

/**
 * Checks BOOK (of readWorkbook) and returns what came of each formula, in the order of the workbook: { sheet, cell, formula,
 * cached, results, values, why }. results holds what each evaluator made of it from recomputed inputs, values those that
 * count as [{ name, value }]; why is missing where one of them is the cached value.
 */
export function checkBook(book) {
  const formulas = findFormulas(book);
  const order = inOrder(formulas);
  const cached = new Values(book, false), recomputed = new Values(book, true);
  const outcomes = order.map((formula) => {
    const outcome = one(formula, cached, recomputed);
    recomputed.put(formula.at, outcome.value);
    return { ...formula.shown, ...outcome };
  });
  return outcomes.sort((a, b) => a.place - b.place);
}

function findFormulas(book) {
  const rewriter = new Rewriter(book);
  const found = [];
  book.sheets.forEach((sheet, index) => {
    for (const [cell, { value, formula, from, spread }] of sheet.cells) {
      if (formula === undefined) continue;
      const place = XLSX.utils.decode_cell(cell);
      const at = { sheet: index, row: place.r, column: place.c };
      const entry = { at, cached: value, inArray: spread !== undefined };
      entry.shown = { sheet: sheet.name, cell, formula, cached: value, place: found.length };
      try {
        if (spread !== undefined && spread !== cell && spread !== `${cell}:${cell}`) {
          throw new Error('an array formula over more cells than one');
        }
        Object.assign(entry, rewriter.rewrite(formula, at, from));
      } catch (error) {
        entry.problem = error.message;
        entry.reads = [];
      }
      found.push(entry);
    }
  });
  return found;
}

// Formulas with each one behind those it rests on. The walk keeps its own stack: chains may be long. A range counts once.
function inOrder(formulas) {
  const byCell = new Map(formulas.map((f) => [key(f.at.sheet, f.at.row, f.at.column), f]));
  const ranges = new Map();
  const nodeOf = (range) => {
    const name = `${range.sheet}:${range.s.r}:${range.s.c}:${range.e.r}:${range.e.c}`;
    if (!ranges.has(name)) ranges.set(name, { range, state: 'new' });
    return ranges.get(name);
  };
  const below = (node) => (node.range ? formulasIn(node.range, byCell) : node.reads.map(nodeOf))[Symbol.iterator]();
  const order = [];
  for (const first of formulas) {
    if (first.state) continue;
    const stack = [{ node: first, below: below(first) }];
    first.state = 'open';
    while (stack.length > 0) {
      const { node, below: rest } = stack.at(-1);
      const { value: next, done } = rest.next();
      if (done) {
        node.state = 'done';
        if (!node.range) order.push(node);
        stack.pop();
      } else if (next.state === 'open') {
        next.problem ??= 'rests on itself';
        node.problem ??= 'rests on itself';
      } else if (next.state !== 'done') {
        next.state = 'open';
        stack.push({ node: next, below: below(next) });
      }
    }
  }
  return order;
}

const key = (sheet, row, column) => `${sheet}:${row}:${column}`;

function* formulasIn({ sheet, s, e }, byCell) {
  for (let row = s.r; row <= e.r; row++) {
    for (let column = s.c; column <= e.c; column++) {
      const found = byCell.get(key(sheet, row, column));
      if (found) yield found;
    }
  }
}

/** The values of a workbook for the evaluators: as cached, or as they are recomputed. */
class Values {
  constructor(book, changing) {
    this.cells = book.sheets.map(() => new Map());
    this.ranges = new Map();
    this.calc = calcOver(book);
    this.parse = parserOver(this);
    book.sheets.forEach((sheet, index) => {
      for (const [cell, { value, formula }] of sheet.cells) {
        const place = XLSX.utils.decode_cell(cell);
        if (!changing || formula === undefined) this.put({ sheet: index, row: place.r, column: place.c }, value);
      }
    });
  }

  put({ sheet, row, column }, value) {
    if (value === undefined) return;
    this.cells[sheet].set(`${row}:${column}`, value);
    this.calc.put(sheet, row, column, value);
  }

  cell(sheet, row, column) {
    return this.cells[sheet].get(`${row}:${column}`) ?? null;
  }

  // A range is asked for only when all its cells are worked out, and so is read once.
  range(sheet, from, to) {
    const name = `${sheet}:${from.r}:${from.c}:${to.r}:${to.c}`;
    if (!this.ranges.has(name)) {
      const rows = [];
      for (let row = from.r; row <= to.r; row++) {
        rows.push([]);
        for (let column = from.c; column <= to.c; column++) rows.at(-1).push(this.cell(sheet, row, column));
      }
      this.ranges.set(name, rows);
    }
    return this.ranges.get(name);
  }
}

// Works one formula out from both sets of inputs. value is what the formulas resting on it are given.
function one(formula, cached, recomputed) {
  if (formula.problem) return { value: formula.cached, results: {}, values: [], why: formula.problem };
  const now = evaluate(formula, recomputed);
  if (now.agreeing) return { value: now.agreeing.value, results: now.shown, values: now.values };
  const value = now.values[0]?.value ?? formula.cached;
  return { value, results: now.shown, values: now.values, why: reason(formula, now, () => evaluate(formula, cached)) };
}

function reason(formula, now, again) {
  if (formula.cached === undefined) return 'has no cached value';
  if (now.forbidden) return now.forbidden;
  if (now.values.length === 0) return 'cannot be evaluated';
  if (!again().agreeing) return 'the difference begins here';
  return 'agrees from the cached inputs: the difference begins in a formula that it rests on';
}

// What each evaluator makes of a formula: those that count as values, and all as shown to a reader.
function evaluate(formula, view) {
  const shown = {}, values = [];
  let forbidden;
  for (const name of evaluatorNames) {
    const missing = notAllowed(name, formula.uses);
    try {
      if (missing.length > 0) throw new Error(`not allowed for ${missing.join(' ')}`);
      const { text, at, inArray } = formula;
      const value = (name === 'parser' ? view.parse(text, at, inArray) : view.calc.evaluate(text, at)) ?? 0;
      shown[name] = value;
      values.push({ name, value });
    } catch (error) {
      shown[name] = new Problem(error.message);
      if (error instanceof Forbidden) forbidden = `parser: ${error.message}`;
    }
  }
  const agreeing = forbidden ? undefined : values.find(({ value }) => same(formula.cached, value));
  return { shown, values, forbidden, agreeing };
}

/** Why an evaluator gave no value. */
export class Problem {
  constructor(text) {
    this.text = text;
  }
}

/** Whether two values are the same: numbers within 1e-9 of themselves or 1e-12 near 0, all else exactly. */
export function same(a, b) {
  if (a instanceof CellError || b instanceof CellError) return a?.code !== undefined && a.code === b?.code;
  if (typeof a !== 'number' || typeof b !== 'number') return a === b;
  return a === b || Math.abs(a - b) <= Math.max(1e-12, 1e-9 * Math.max(Math.abs(a), Math.abs(b)));
}
