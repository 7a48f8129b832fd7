// Functions of @formulajs/formulajs for both evaluators, over plain values: numbers, texts, truths, null for blank, CellError,
// and lists of rows of these.
import * as formulajs from '@formulajs/formulajs';
import { CellError } from './workbook.mjs';
import { allowed } from './allowed.mjs';

// Functions for which a number, a text or a truth given as such counts, while in a range only numbers do.
const byNumbers = (args) => args.map((a) => (Array.isArray(a) ? a.flat().filter((v) => typeof v === 'number') : a));

function byPairs(args) {
  const lists = args.filter(Array.isArray).map((a) => a.flat());
  if (lists.length !== 2 || lists[0].length !== lists[1].length) return args;
  const kept = lists[0].map((_, i) => i).filter((i) => lists.every((l) => typeof l[i] === 'number'));
  let next = 0;
  return args.map((a) => {
    if (!Array.isArray(a)) return a;
    const list = lists[next++];
    return kept.map((i) => list[i]);
  });
}

// A truth is neither 1 nor the text TRUE; formulajs takes it for both, so it is given a text that no cell holds.
const small = (v) => (typeof v === 'string' ? v.toLowerCase() : typeof v === 'boolean' ? `\u0001${v}` : v);
const empty = '\u0001empty';

// The condition "" is met by blanks and by empty texts, which formulajs does not know; a blank as a condition is 0.
function byMatches(args) {
  refuseWildcards(args);
  return args.map((a, i) => {
    if (!Array.isArray(a)) return a === '' ? empty : small(a ?? 0);
    return a.map((row) => row.map((v) => (args[i + 1] === '' && (v ?? '') === '' ? empty : small(v))));
  });
}

// Readers' programs take * and ? for any text and ~ for the sign behind it (18.17.7.60), formulajs for themselves.
function refuseWildcards(args) {
  if (args.some((a) => typeof a === 'string' && /[*?~]/.test(a))) throw new Error('a wildcard in a condition');
}

function byLookup(args) {
  refuseWildcards(args.slice(0, 1));
  if (args[2] !== 0) throw new Error('only an exact MATCH, of type 0');
  return args;
}

const preparations = { numbers: byNumbers, pairs: byPairs, matches: byMatches };

// Names under which formulajs keeps a function whose name in a workbook is another.
const aliases = { PERCENTILE: 'PERCENTILE.INC', STDEV: 'STDEV.S', 'FORECAST.LINEAR': 'FORECAST' };

// SUMIF and AVERAGEIF of formulajs read the condition "<>" in another way than SUMIFS and AVERAGEIFS, which are right.
const viaOther = {
  SUMIF: (range, condition, sums = range) => formulajs.SUMIFS(sums, range, condition),
  AVERAGEIF: (range, condition, values = range) => formulajs.AVERAGEIFS(values, range, condition),
};

// An error counts only in a row that meets the conditions (18.17.7.317): the library adds up where the errors stand, and then
// the sums without them.
function passingErrors(call) {
  return (sums, ...conditions) => {
    if (!Array.isArray(sums) || !firstError([sums]) || firstError(conditions)) return firstError([sums, ...conditions]) ?? call(sums, ...conditions);
    const marks = sums.map((row) => row.map((v) => (v instanceof CellError ? 1 : 0)));
    if (call(marks, ...conditions) > 0) return firstError([sums]);
    return call(sums.map((row) => row.map((v) => (v instanceof CellError ? 0 : v))), ...conditions);
  };
}

/** The function NAME of formulajs as a function of plain values to a plain value; undefined where there is none. */
export function stockFunction(name) {
  const call = viaOther[name] ?? (aliases[name] ?? name).split('.').reduce((found, step) => found?.[step], formulajs);
  if (typeof call !== 'function') return undefined;
  const prepare = name === 'MATCH' ? byLookup : preparations[allowed.get(name)?.takes] ?? ((args) => args);
  const plain = (...args) => plainResult(call(...prepare(args)));
  return name === 'SUMIFS' ? passingErrors(plain) : plain;
}

function plainResult(result) {
  if (result instanceof Error) return new CellError(result.message);
  if (result instanceof Date) return serial(result);
  return result;
}

// Days since the start of the count; the formulas checked here have no date before March 1900.
const serial = (date) => Math.round(date.getTime() / 86400) / 1000 + 25569;

/** The first error in ARGS, row by row. */
export function firstError(args) {
  for (const arg of args) {
    if (arg instanceof CellError) return arg;
    if (!Array.isArray(arg)) continue;
    for (const row of arg) for (const value of row) if (value instanceof CellError) return value;
  }
  return undefined;
}
