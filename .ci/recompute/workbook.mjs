// Reads a workbook: its cells with their cached values, formulas, defined names and worksheet tables.
import { readFileSync } from 'node:fs';
import XLSX from 'xlsx';

/** A cell's error, such as #N/A, as a value. */
export class CellError {
  constructor(code) {
    this.code = code;
  }

  toString() {
    return this.code;
  }
}

/** A workbook that cannot be checked at all. The message says why. */
export class Unreadable extends Error {}

// The number of each error in the reader, with its code as written (ISO/IEC 29500-1, 18.18.11 and 18.17.3).
const errorCodes = {
  0x00: '#NULL!', 0x07: '#DIV/0!', 0x0f: '#VALUE!', 0x17: '#REF!',
  0x1d: '#NAME?', 0x24: '#NUM!', 0x2a: '#N/A',
};

/**
 * Reads FILE as { sheets, names, tables }. Sheets keep their order: { name, cells, lastRow, lastColumn }, where cells
 * maps "B7" to { value, formula, from, spread }: from is the cell for which a shared formula is written, spread the range
 * of an array formula; value is undefined where a formula has no cached value. Names have { name, sheet, text }; tables { name, sheet, ref, columns, headers, totals }.
 */
export function readWorkbook(file) {
  let book;
  try {
    book = XLSX.read(readFileSync(file), { cellFormula: true, cellHTML: false, cellText: false, bookFiles: true });
  } catch (error) {
    throw new Unreadable(`${file}: not a workbook that can be read (${error.message})`);
  }
  if (book.Workbook?.WBProps?.date1904) {
    throw new Unreadable(`${file}: counts its dates from 1904, which is not supported`);
  }
  if (!book.files?.['xl/workbook.xml']) throw new Unreadable(`${file}: no workbook of ISO/IEC 29500`);
  const parts = new Parts(book);
  const sheets = book.SheetNames.map((name, index) => readSheet(name, book.Sheets[name], parts.sheetText(index)));
  const names = (book.Workbook?.Names ?? []).map((n) => ({ name: n.Name, sheet: n.Sheet, text: n.Ref }));
  return { sheets, names, tables: readTables(parts) };
}

function readSheet(name, sheet, text) {
  const cells = new Map();
  let lastRow = 1, lastColumn = 1;
  for (const [address, cell] of Object.entries(sheet ?? {})) {
    if (address.startsWith('!')) continue;
    const at = XLSX.utils.decode_cell(address);
    lastRow = Math.max(lastRow, at.r + 1);
    lastColumn = Math.max(lastColumn, at.c + 1);
    cells.set(address, { value: valueOf(cell) });
  }
  for (const [address, formula] of readFormulas(name, text)) {
    cells.set(address, { value: undefined, ...cells.get(address), ...formula });
  }
  return { name, cells, lastRow, lastColumn };
}

function valueOf(cell) {
  switch (cell.t) {
    case 'n': case 's': case 'b': return cell.v;
    case 'e': return new CellError(errorCodes[cell.v] ?? String(cell.w ?? cell.v));
    default: return undefined;
  }
}

// The reader passes over formulas without a cached value, and shared ones in one of their spellings: formulas are read
// here (ISO/IEC 29500-1, 18.3.1.40), so that none is left out of the count.
function* readFormulas(sheet, text) {
  const shared = new Map();
  for (const [, start, inner] of text.matchAll(tagPattern('c'))) {
    const found = inner && tagPattern('f').exec(inner);
    if (!found) continue;
    const cell = attributes(start).r;
    if (!cell) throw new Unreadable(`${sheet}: a formula in a cell without its address`);
    const { t: kind, si, ref } = attributes(found[1]);
    const formula = unescape(found[2] ?? '');
    if (kind === 'shared' && formula) shared.set(si, { formula, from: cell });
    if (kind === 'shared') yield [cell, shared.get(si) ?? { formula }];
    else yield [cell, { formula, spread: kind === 'array' ? ref : undefined }];
  }
}

// An element with its attributes and, if it has an end tag, what it holds. No attribute read here holds a >.
const tagPattern = (name) => new RegExp(`<(?:\\w+:)?${name}(?=[\\s/>])([^>]*?)(?:/>|>([^]*?)</(?:\\w+:)?${name}>)`, 'g');

/** The parts of the package as texts, and how they point at each other. */
class Parts {
  constructor(book) {
    this.files = book.files ?? {};
    const targets = this.relations('xl/workbook.xml');
    this.sheetPaths = elements(this.text('xl/workbook.xml'), 'sheet').map((sheet) => targets.get(sheet['r:id']));
  }

  text(path) {
    const entry = this.files[path];
    return entry ? Buffer.from(entry.content).toString('utf8') : '';
  }

  sheetText(index) {
    const text = this.text(this.sheetPaths[index]);
    if (!text) throw new Unreadable(`the part of worksheet ${index + 1} is not found`);
    return text;
  }

  relations(path) {
    const cut = path.lastIndexOf('/');
    const text = this.text(`${path.slice(0, cut)}/_rels/${path.slice(cut + 1)}.rels`);
    return new Map(elements(text, 'Relationship').map((r) => [r.Id, target(path.slice(0, cut), r.Target)]));
  }
}

// The reader knows nothing of worksheet tables: their parts are read here (ISO/IEC 29500-1, 18.5.1).
function readTables(parts) {
  const tables = [];
  parts.sheetPaths.forEach((path, index) => {
    for (const related of parts.relations(path).values()) {
      if (/\/tables\/[^/]+\.xml$/.test(related)) tables.push(readTable(parts.text(related), index));
    }
  });
  return tables;
}

function readTable(text, sheet) {
  const [table] = elements(text, 'table');
  return {
    name: table.displayName ?? table.name,
    sheet,
    ref: XLSX.utils.decode_range(table.ref),
    columns: elements(text, 'tableColumn').map((c) => c.name),
    headers: Number(table.headerRowCount ?? 1),
    totals: Number(table.totalsRowCount ?? 0),
  };
}

// A target of a relationship: from the root of the package, or from the folder of the part.
function target(folder, path) {
  if (path.startsWith('/')) return path.slice(1);
  const steps = folder.split('/');
  for (const step of path.split('/')) {
    if (step === '..') steps.pop();
    else if (step !== '.') steps.push(step);
  }
  return steps.join('/');
}

// The attributes of each start tag of one name, in order. The parts read here hold no such text in any other place.
function elements(text, name) {
  const tags = text.match(new RegExp(`<(?:\\w+:)?${name}(?=[\\s/>])(?:"[^"]*"|'[^']*'|[^>"'])*>`, 'g')) ?? [];
  return tags.map(attributes);
}

const attributes = (tag) => Object.fromEntries(
  [...tag.matchAll(/([\w:]+)\s*=\s*(?:"([^"]*)"|'([^']*)')/g)].map((m) => [m[1], unescape(m[2] ?? m[3])]),
);

const entities = { lt: '<', gt: '>', quot: '"', apos: "'", amp: '&' };

function unescape(text) {
  return text
    .replace(/&(?:#x([0-9a-fA-F]+)|#(\d+)|(\w+));/g, (all, hex, decimal, name) => {
      if (hex) return String.fromCodePoint(parseInt(hex, 16));
      return decimal ? String.fromCodePoint(Number(decimal)) : entities[name] ?? all;
    })
    .replace(/_x([0-9a-fA-F]{4})_/g, (_, hex) => String.fromCharCode(parseInt(hex, 16)));
}
