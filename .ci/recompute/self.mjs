// Tests the check itself: formulas with results known by hand, results that must not pass, and workbooks as files.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkBook, same } from './check.mjs';
import { knownResults, mustFail, names, sheets, tables } from './selfdata.mjs';
import { packages } from './selffiles.mjs';
import { CellError, readWorkbook } from './workbook.mjs';

/** Prints each test that goes wrong and a last line; returns the exit code. */
export function selfTest() {
  const wrong = [
    ...knownResults.map(([formula, expected]) => known(formula, expected)),
    ...mustFail.map(([formula, value, why]) => refused(formula, value, why)),
    ...inFiles(),
  ];
  const told = wrong.filter(Boolean);
  for (const text of told) console.log(text);
  console.log(`${wrong.length - told.length} passed, ${told.length} failed`);
  return told.length > 0 ? 1 : 0;
}

// Every evaluator that the table allows gives the result, and another result does not pass.
function known(formula, expected) {
  const [outcome] = checkBook(bookWith(formula, expected));
  const shown = Object.entries(outcome.results).map(([name, v]) => `${name} ${v?.text ?? v}`).join(', ');
  if (outcome.why) return `${formula}: ${outcome.why} (should be ${expected}; ${shown})`;
  const differing = outcome.values.find(({ value }) => !same(expected, value));
  if (differing) return `${formula}: ${differing.name} is allowed and gives ${differing.value}, not ${expected}`;
  const other = typeof expected === 'number' ? expected + Math.max(1e-11, Math.abs(expected) * 1e-8) : 'another';
  return checkBook(bookWith(formula, other))[0].why ? '' : `${formula}: ${other} passes as well`;
}

function refused(formula, value, why) {
  const [outcome] = checkBook(bookWith(formula, value));
  return outcome.why?.includes(why) ? '' : `${formula} with ${value}: should fail with "${why}", but ${outcome.why ?? 'passes'}`;
}

// The data with one formula in Z2.
function bookWith(formula, value) {
  const book = sheets.map(([name, data]) => ({
    name, lastRow: 11, lastColumn: 26, cells: new Map(Object.entries(data).map(([cell, v]) => [cell, { value: v }])),
  }));
  book[0].cells.set('Z2', { value, formula });
  return { sheets: book, names, tables };
}

function inFiles() {
  const folder = mkdtempSync(join(tmpdir(), 'recompute-'));
  try {
    return packages().map(({ name, bytes, expected }) => {
      const file = join(folder, name);
      writeFileSync(file, bytes);
      const got = checkBook(readWorkbook(file)).map(({ sheet, cell, why }) => `${sheet}!${cell} ${why ?? 'passes'}`);
      const text = got.join('; ');
      return text === expected.join('; ') ? '' : `${name}: ${text}\n  should be: ${expected.join('; ')}`;
    });
  } finally {
    rmSync(folder, { recursive: true });
  }
}
