// Workbooks as files, written part by part (ISO/IEC 29500-1, 18.2 to 18.5): shared formulas, array formulas, empty texts,
// errors, a table with a totals row and difficult column names, names with worksheets.
import XLSX from 'xlsx';

const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const relationship = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const packageRelationship = 'http://schemas.openxmlformats.org/package/2006/relationships';
const type = 'application/vnd.openxmlformats-officedocument.spreadsheetml';
const xml = (text) => `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n${text}`;
const related = ([id, kind, target]) => `<Relationship Id="${id}" Type="${relationship}/${kind}" Target="${target}"/>`;
const relations = (entries) => xml(`<Relationships xmlns="${packageRelationship}">${entries.map(related).join('')}</Relationships>`);
const worksheet = (rows, tail = '') => xml(`<worksheet xmlns="${main}" xmlns:r="${relationship}">` +
  `<sheetData>${rows.map((cells, i) => `<row r="${i + 1}">${cells}</row>`).join('')}</sheetData>${tail}</worksheet>`);

const text = (cell, value) => `<c r="${cell}" t="inlineStr"><is><t>${value}</t></is></c>`;
const number = (cell, value) => `<c r="${cell}"><v>${value}</v></c>`;
const formula = (cell, written, value, kind = 'n', attributes = '') => `<c r="${cell}" t="${kind}">` +
  `<f${attributes}>${written}</f>${value === undefined ? '' : `<v>${value}</v>`}</c>`;

// The first worksheet; total is what the totals row of the table has as its cached sum, share the formula resting on it.
const firstSheet = (total, share) => worksheet([
  text('A1', 'piece') + text('B1', 'side [mm]') + text('C1', 'area') + formula('E1', 'SUM(B2:B4)', 60),
  text('A2', 'a') + number('B2', 10) + formula('C2', 'Pieces[[#This Row],[side &apos;[mm&apos;]]]^2', 100) + formula('E2', '$B2*2', 20, 'n', ' t="shared" ref="E2:E4" si="0"'),
  text('A3', 'b') + number('B3', 20) + formula('C3', 'Pieces[[#This Row],[side &apos;[mm&apos;]]]^2', 400) + '<c r="E3"><f t="shared" si="0"/><v>40</v></c>',
  text('A4', 'c') + number('B4', 30) + formula('C4', 'Pieces[[#This Row],[side &apos;[mm&apos;]]]^2', 900) + formula('E4', '', 60, 'n', ' t="shared" si="0"'),
  text('A5', 'total') + formula('C5', 'SUM(Pieces[area])', total),
  formula('A6', 'SUM(B2:B4*B2:B4)', 1400, 'n', ' t="array" ref="A6"') + formula('B6', 'Pieces[[#Totals],[area]]/14', share),
], '<tableParts count="1"><tablePart r:id="rId1"/></tableParts>');

const secondSheet = worksheet([
  formula('A1', 'IF(\'First &amp; best\'!B2&gt;5,"","x")', '', 'str') + formula('B1', '1/0', '#DIV/0!', 'e') + formula('C1', 'IFERROR(B1,side)', 20),
  formula('A2', 'side&amp;" mm"', '20 mm', 'str') + formula('B2', 'B1+1', '#DIV/0!', 'e') + formula('C2', 'all=60', 1, 'b') + formula('D2', 'A1=""', 1, 'b'),
  formula('A3', 'C1*2', undefined),
]);

const table = xml(`<table xmlns="${main}" id="1" name="Pieces" displayName="Pieces" ref="A1:C5" totalsRowCount="1">` +
  `<autoFilter ref="A1:C4"/>` +
  `<tableColumns count="3"><tableColumn id="1" name="piece"/><tableColumn id="2" name="side [mm]"/>` +
  `<tableColumn id="3" name="area" totalsRowFunction="sum"><calculatedColumnFormula>Pieces[[#This Row],[side '[mm']]]^2</calculatedColumnFormula></tableColumn>` +
  `</tableColumns></table>`);

const workbook = xml(`<workbook xmlns="${main}" xmlns:r="${relationship}"><sheets>` +
  `<sheet name="First &amp; best" sheetId="1" r:id="rId1"/><sheet name="Second" sheetId="2" r:id="rId2"/></sheets>` +
  `<definedNames><definedName name="all">'First &amp; best'!$E$1</definedName>` +
  `<definedName name="side">'First &amp; best'!$B$2</definedName>` +
  `<definedName name="side" localSheetId="1">'First &amp; best'!$B$3</definedName>` +
  `</definedNames></workbook>`);

function pack(total, share) {
  const parts = {
    '[Content_Types].xml': xml(`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
  `<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
  `<Default Extension="xml" ContentType="application/xml"/>` +
  `<Override PartName="/xl/workbook.xml" ContentType="${type}.sheet.main+xml"/>` +
  `<Override PartName="/xl/worksheets/sheet1.xml" ContentType="${type}.worksheet+xml"/>` +
  `<Override PartName="/xl/worksheets/sheet2.xml" ContentType="${type}.worksheet+xml"/>` +
  `<Override PartName="/xl/tables/table1.xml" ContentType="${type}.table+xml"/></Types>`),
    '_rels/.rels': relations([['rId1', 'officeDocument', 'xl/workbook.xml']]),
    'xl/workbook.xml': workbook,
    'xl/_rels/workbook.xml.rels': relations([['rId1', 'worksheet', 'worksheets/sheet1.xml'], ['rId2', 'worksheet', '/xl/worksheets/sheet2.xml']]),
    'xl/worksheets/sheet1.xml': firstSheet(total, share),
    'xl/worksheets/_rels/sheet1.xml.rels': relations([['rId1', 'table', '../tables/table1.xml']]),
    'xl/worksheets/sheet2.xml': secondSheet,
    'xl/tables/table1.xml': table,
  };
  const container = XLSX.CFB.utils.cfb_new();
  for (const [path, content] of Object.entries(parts)) XLSX.CFB.utils.cfb_add(container, `/${path}`, Buffer.from(content));
  return XLSX.CFB.write(container, { fileType: 'zip', type: 'buffer' });
}

const second = ['A1', 'B1', 'C1', 'A2', 'B2', 'C2', 'D2'].map((cell) => `Second!${cell} passes`).concat('Second!A3 has no cached value');
const first = (why) => ['E1', 'C2', 'E2', 'C3', 'E3', 'C4', 'E4', 'C5', 'A6', 'B6'].map((cell) => `First & best!${cell} ${why[cell] ?? 'passes'}`);

/** Workbooks as { name, bytes, expected }: expected is what comes of each formula. One has a wrong sum in its table. */
export function packages() {
  return [
    { name: 'right.xlsx', bytes: pack(1400, 100), expected: [...first({}), ...second] },
    {
      name: 'wrong.xlsx',
      bytes: pack(1401, 1401 / 14),
      expected: [...first({
        C5: 'the difference begins here',
        B6: 'agrees from the cached inputs: the difference begins in a formula that it rests on',
      }), ...second],
    },
  ];
}
