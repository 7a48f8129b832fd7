// Recomputes the formulas of workbooks with evaluators that are not ours and compares them with the cached values.
//   node recompute.mjs FILE.xlsx…   a line for each formula that fails, then "N passed, M failed"; 1 where any fails
//   node recompute.mjs --self       the same for formulas whose results are known from their definitions
import { checkBook, Problem } from './check.mjs';
import { readWorkbook, Unreadable } from './workbook.mjs';

// Dates are numbers of days without a zone; the libraries work them out in that of the machine.
process.env.TZ = 'UTC';

const shown = (value) => {
  if (value === undefined) return 'nothing';
  if (value instanceof Problem) return `(${value.text})`;
  if (typeof value === 'string') return JSON.stringify(value);
  return typeof value === 'boolean' ? String(value).toUpperCase() : String(value);
};

function line(failure) {
  const results = Object.entries(failure.results).map(([name, value]) => `${name} ${shown(value)}`);
  const { sheet, cell, formula, cached, why } = failure;
  const parts = [`${sheet}!${cell}`, `=${formula}`, `cached ${shown(cached)}`, ...results, why];
  return parts.join(' | ').replace(/\s*\n\s*/g, ' ');
}

function checkFiles(files) {
  let passed = 0, failed = 0;
  for (const file of files) {
    try {
      const outcomes = checkBook(readWorkbook(file));
      const failures = outcomes.filter((o) => o.why);
      passed += outcomes.length - failures.length;
      failed += failures.length;
      for (const failure of failures) console.log(files.length > 1 ? `${file}: ${line(failure)}` : line(failure));
    } catch (error) {
      if (!(error instanceof Unreadable)) throw error;
      failed++;
      console.log(error.message);
    }
  }
  console.log(`${passed} passed, ${failed} failed`);
  return failed > 0 ? 1 : 0;
}

const args = process.argv.slice(2);
if (args.length === 0) {
  console.error('node recompute.mjs FILE.xlsx… or --self');
  process.exitCode = 2;
} else if (args[0] === '--self') {
  const { selfTest } = await import('./self.mjs');
  process.exitCode = selfTest();
} else {
  process.exitCode = checkFiles(args);
}
