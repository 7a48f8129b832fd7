// Brings a formula into the narrow form that both evaluators read alike: every reference with a plain sheet name and
// without $, defined names and structured references as ranges, whole columns and rows cut to the used part, functions in
// capitals without prefix, numbers without exponent, no white space. Nothing is evaluated here.
import XLSX from 'xlsx';

/** A formula that cannot be brought into that form. */
export class Unsupported extends Error {}

// The marks in a formula, tried in this order at each place (ISO/IEC 29500-1, 18.17.2).
const marks = [
  ['text', /"(?:""|[^"])*"/y],
  ['error', /#(?:NULL!|DIV\/0!|VALUE!|REF!|NAME\?|NUM!|N\/A)/y],
  ['sheet', /(?:'(?:''|[^'])+'|[\p{L}\p{N}_.]+)!/uy],
  ['function', /[\p{L}_][\p{L}\p{N}_.]*(?=\()/uy],
  ['columns', /\$?[A-Z]{1,3}:\$?[A-Z]{1,3}(?![\p{L}\p{N}_.(])/uy],
  ['rows', /\$?\d+:\$?\d+/y],
  ['cells', /\$?[A-Za-z]{1,3}\$?[1-9]\d*(?::\$?[A-Za-z]{1,3}\$?[1-9]\d*)?(?![\p{L}\p{N}_.\\?(])/uy],
  ['number', /(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?/y],
  ['table', /(?:[\p{L}_\\][\p{L}\p{N}_.\\]*)?\[/uy],
  ['name', /[\p{L}_\\][\p{L}\p{N}_.\\?]*/uy],
  ['operator', /<>|<=|>=|[-+*/^&=<>%(),:;{}]/y],
  ['space', /\s+/y],
];

/** The plain name of the sheet with that place in the workbook; evaluators see no other. */
export const sheetName = (index) => `S${index + 1}`;

/** The cell as "B7"; rows and columns count from 0. */
export const address = (row, column) => XLSX.utils.encode_cell({ r: row, c: column });

/** Rewrites formulas of one workbook. */
export class Rewriter {
  constructor(book) {
    this.book = book;
    this.sheetsByName = new Map(book.sheets.map((s, i) => [s.name.toLowerCase(), i]));
    this.tablesByName = new Map(book.tables.map((t) => [t.name.toLowerCase(), t]));
    this.namesByName = new Map(book.names.map((n) => [nameKey(n.name, n.sheet), n]));
  }

  /**
   * Rewrites TEXT of the cell at { sheet, row, column } into { text, uses, reads }: uses is the set of functions and of
   * operators that the table of allowed evaluators knows, reads the ranges { sheet, s, e } that it rests on. A shared
   * formula is written for the cell FROM: what has no $ moves along.
   */
  rewrite(text, at, from) {
    const origin = from ? XLSX.utils.decode_cell(from) : { r: at.row, c: at.column };
    const moved = { r: at.row - origin.r, c: at.column - origin.c };
    const out = { text: '', uses: new Set(), reads: [], within: [], at, moved };
    this.append(out, text.replace(/^=/, ''), at.sheet);
    return out;
  }

  append(out, text, sheet) {
    let place = 0, prefix = null, spaced = false;
    while (place < text.length) {
      const [kind, word] = next(text, place);
      place += word.length;
      if (kind === 'space') {
        spaced = true;
        continue;
      }
      if (spaced && endsOperand(out.text) && startsOperand(kind, word)) throw new Unsupported('crosses two ranges');
      spaced = false;
      if (kind === 'sheet') {
        prefix = this.sheetOf(word);
        continue;
      }
      if (kind === 'table') place = this.table(out, text, place, word.slice(0, -1));
      else this.one(out, kind, word, prefix, sheet);
      prefix = null;
    }
  }

  one(out, kind, word, prefix, sheet) {
    const used = this.book.sheets[prefix ?? sheet];
    switch (kind) {
      case 'cells': case 'columns': case 'rows':
        return this.reference(out, prefix ?? sheet, bounded(word, used, out.within.length > 0 ? unmoved : out.moved));
      case 'name': return this.name(out, word, prefix, sheet);
      case 'number': out.text += plainDecimal(word); return undefined;
      case 'text':
        if (word.slice(1, -1).includes('"')) out.uses.add('"" in a text');
        out.text += word;
        return undefined;
      case 'function': return callOf(out, word);
      case 'error': out.uses.add('error constant'); out.text += word; return undefined;
      default: return operator(out, word);
    }
  }

  reference(out, sheet, range) {
    out.reads.push({ sheet, ...range });
    const first = address(range.s.r, range.s.c), last = address(range.e.r, range.e.c);
    out.text += `${sheetName(sheet)}!${first === last ? first : `${first}:${last}`}`;
  }

  name(out, word, prefix, sheet) {
    if (/^(TRUE|FALSE)$/i.test(word) && prefix === null) {
      out.uses.add('truth constant');
      out.text += word.toUpperCase();
      return;
    }
    const found = this.namesByName.get(nameKey(word, prefix ?? sheet)) ?? this.namesByName.get(nameKey(word));
    const table = this.tablesByName.get(word.toLowerCase());
    if (!found && table) return this.reference(out, table.sheet, dataOf(table));
    if (!found) throw new Unsupported(`knows no name ${word}`);
    if (out.within.includes(found)) throw new Unsupported(`the name ${word} rests on itself`);
    out.within.push(found);
    const before = out.text;
    out.text = '';
    this.append(out, found.text, found.sheet ?? sheet);
    // A name for a range stays a range; a name for anything longer is one operand.
    out.text = before + (/^S\d+![A-Z]+\d+(:[A-Z]+\d+)?$/.test(out.text) ? out.text : `(${out.text})`);
    out.within.pop();
  }

  sheetOf(word) {
    const name = word.slice(0, -1).replace(/^'(.*)'$/s, '$1').replace(/''/g, "'");
    const index = this.sheetsByName.get(name.toLowerCase());
    if (index === undefined) throw new Unsupported(`knows no worksheet ${name}`);
    return index;
  }

  // A structured reference (ISO/IEC 29500-1, 18.17.6.2); place is behind its first bracket. Returns the place behind it.
  table(out, text, place, word) {
    const end = closing(text, place);
    const table = word ? this.tablesByName.get(word.toLowerCase()) : this.tableAround(out.at);
    if (!table) throw new Unsupported(word ? `knows no table ${word}` : 'a structured reference outside of a table');
    this.reference(out, table.sheet, structured(table, text.slice(place, end), out.at));
    return end + 1;
  }

  tableAround({ sheet, row, column }) {
    return this.book.tables.find(({ sheet: own, ref }) => own === sheet
      && row >= ref.s.r && row <= ref.e.r && column >= ref.s.c && column <= ref.e.c);
  }
}

const nameKey = (name, sheet) => `${sheet ?? ''}!${name.toLowerCase()}`;

function next(text, place) {
  for (const [kind, pattern] of marks) {
    pattern.lastIndex = place;
    const found = pattern.exec(text);
    if (found) return [kind, found[0]];
  }
  throw new Unsupported(`cannot be read from "${text.slice(place, place + 12)}"`);
}

const endsOperand = (text) => /[\p{L}\p{N}_)"%}!?]$/u.test(text);
const startsOperand = (kind, word) => kind !== 'operator' || word === '(' || word === '{';

function callOf(out, word) {
  const name = word.toUpperCase().replace(/^(_XLFN\.|_XLWS\.)+/, '');
  out.uses.add(name);
  out.text += name;
}

// What stands before a minus tells whether it turns a sign or takes away.
function operator(out, word) {
  if (word === '-' && !endsOperand(out.text)) out.uses.add('-x');
  else if (word === '{') out.uses.add('list constant');
  else if (word === '%' && !/\d$/.test(out.text)) out.uses.add('(x)%');
  else if (!'(),:;}+'.includes(word)) out.uses.add(word);
  out.text += word;
}

const unmoved = { r: 0, c: 0 };

// A range of cells, whole columns or whole rows, as zero-based corners within the used part of the sheet. What has no $ is
// moved.
function bounded(word, sheet, moved) {
  const [first, last] = word.toUpperCase().split(':');
  const corner = (part, edge) => {
    const [, columnFixed, column, rowFixed, row] = /^(\$?)([A-Z]*)(\$?)(\d*)$/.exec(part);
    return {
      r: row ? Number(row) - 1 + (rowFixed || (columnFixed && !column) ? 0 : moved.r) : (edge ? sheet.lastRow - 1 : 0),
      c: column ? XLSX.utils.decode_col(column) + (columnFixed ? 0 : moved.c) : (edge ? sheet.lastColumn - 1 : 0),
    };
  };
  const a = corner(first, false), b = corner(last ?? first, true);
  return {
    s: { r: Math.min(a.r, b.r), c: Math.min(a.c, b.c) },
    e: { r: Math.max(a.r, b.r), c: Math.max(a.c, b.c) },
  };
}

// A number without exponent that reads back to the same value.
function plainDecimal(word) {
  const [digits, exponent] = String(Number(word)).split('e');
  if (exponent === undefined) return digits;
  const [whole, part = ''] = digits.split('.');
  const shift = Number(exponent);
  if (shift < 0) return `0.${'0'.repeat(-shift - whole.length)}${whole}${part}`;
  return whole + part.padEnd(shift, '0');
}

// The place of the bracket that closes the one before place. An apostrophe takes its meaning from the mark behind it.
function closing(text, place) {
  for (let depth = 1; place < text.length; place++) {
    if (text[place] === "'") place++;
    else if (text[place] === '[') depth++;
    else if (text[place] === ']' && --depth === 0) return place;
  }
  throw new Unsupported('a structured reference without its end');
}

function dataOf({ ref, headers, totals }) {
  return { s: { r: ref.s.r + headers, c: ref.s.c }, e: { r: ref.e.r - totals, c: ref.e.c } };
}

// The range of what stands between the brackets behind the name of a table.
function structured(table, inner, at) {
  const { items, columns } = specifiers(inner);
  const rows = rowsOf(table, items, at);
  const places = columns.map((name) => {
    const place = table.columns.findIndex((c) => c.toLowerCase() === name.toLowerCase());
    if (place < 0) throw new Unsupported(`the table ${table.name} has no column ${name}`);
    return table.ref.s.c + place;
  });
  if (places.length === 0) places.push(table.ref.s.c, table.ref.e.c);
  return { s: { r: rows[0], c: Math.min(...places) }, e: { r: rows[1], c: Math.max(...places) } };
}

function specifiers(inner) {
  const items = [], columns = [];
  let rest = inner.trim();
  const take = (word) => (word.startsWith('#') ? items.push(word.toLowerCase()) : columns.push(plain(word)));
  if (rest.startsWith('@')) {
    items.push('#this row');
    rest = rest.slice(1).trim();
  }
  if (!rest.startsWith('[')) {
    if (rest) take(rest);
    return { items, columns };
  }
  for (let place = 0; place < rest.length; place++) {
    if (rest[place] !== '[') continue;
    const end = closing(rest, place + 1);
    take(rest.slice(place + 1, end));
    place = end;
  }
  return { items, columns };
}

const plain = (word) => word.replace(/'(.)/gs, '$1');

function rowsOf(table, items, at) {
  const { ref } = table, data = dataOf(table);
  if (items.length === 0) return [data.s.r, data.e.r];
  const parts = items.map((item) => {
    switch (item) {
      case '#all': return [ref.s.r, ref.e.r];
      case '#data': return [data.s.r, data.e.r];
      case '#headers': return [ref.s.r, data.s.r - 1];
      case '#totals': return [data.e.r + 1, ref.e.r];
      case '#this row':
        if (at.row < data.s.r || at.row > data.e.r) throw new Unsupported(`this row is none of the table ${table.name}`);
        return [at.row, at.row];
      default: throw new Unsupported(`knows no ${item} of a table`);
    }
  });
  return [Math.min(...parts.map((p) => p[0])), Math.max(...parts.map((p) => p[1]))];
}
