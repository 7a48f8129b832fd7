package read

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each kind of value that a cell can hold (ISO/IEC 29500-1, 18.18.11), and what is and is not stated of it.
func TestCells(t *testing.T) {
	for rows, want := range map[string]Cell{
		`<row r="1"><c r="A1"><v>1.5</v></c></row>`:                                                                 {Kind: Number, Number: 1.5},
		`<row r="1"><c r="A1" t="n"><v> -1E-3 </v></c></row>`:                                                       {Kind: Number, Number: -0.001},
		`<row r="1"><c r="A1" s="1"><v>2</v></c></row>`:                                                             {Kind: Number, Number: 2, Format: `0.0" kg"`},
		`<row r="1"><c r="A1" s="2"><v>46447</v></c></row>`:                                                         {Kind: Number, Number: 46447, Format: "mm-dd-yy"},
		`<row r="1"><c r="A1" s="3"/></row>`:                                                                        {Unlocked: true},
		`<row r="1"><c r="A1" t="s"><v>0</v></c></row>`:                                                             {Kind: Text, Text: "plain"},
		`<row r="1"><c r="A1" t="s"><v>1</v></c></row>`:                                                             {Kind: Text, Text: "two runs"},
		`<row r="1"><c r="A1" t="inlineStr"><is><t>in line</t></is></c></row>`:                                      {Kind: Text, Text: "in line"},
		`<row r="1"><c r="A1" t="inlineStr"><is><t> cut </t></is></c></row>`:                                        {Kind: Text, Text: "cut"},
		`<row r="1"><c r="A1" t="inlineStr"><is xml:space="preserve"><t> kept </t></is></c></row>`:                  {Kind: Text, Text: " kept "},
		`<row r="1"><c r="A1" t="inlineStr"><is><t>_x0041__x005F_x0041_ _x4 _xZZZZ_</t></is></c></row>`:             {Kind: Text, Text: "A_x0041_ _x4 _xZZZZ_"},
		`<row r="1"><c r="A1" t="inlineStr"><is><t>_xD83D__xDE00_ _xD83D_</t></is></c></row>`:                       {Kind: Text, Text: "\U0001F600 \uFFFD"},
		`<row r="1"><c r="A1" t="inlineStr"><is><t>a<!-- x -->&lt;&#98;<![CDATA[<c>]]></t></is></c></row>`:          {Kind: Text, Text: "a<b<c>"},
		`<row r="1"><c r="A1" t="str"><f>"a"&amp;"b"</f><v>ab</v></c></row>`:                                        {Kind: Text, Text: "ab", Formula: `"a"&"b"`},
		`<row r="1"><c r="A1" t="str"><f>""</f><v></v></c></row>`:                                                   {Kind: Text, Formula: `""`},
		`<row r="1"><c r="A1" t="b"><v>1</v></c></row>`:                                                             {Kind: Truth, Truth: true},
		`<row r="1"><c r="A1" t="b"><v>false</v></c></row>`:                                                         {Kind: Truth},
		`<row r="1"><c r="A1" t="e"><f>1/0</f><v>#DIV/0!</v></c></row>`:                                             {Kind: Problem, Text: "#DIV/0!", Formula: "1/0"},
		`<row r="1"><c r="A1"><f>=B1</f></c></row>`:                                                                 {Formula: "B1"},
		`<row r="1"><c r="A1"><f t="array" ref="A1">SUM(B1:B3*C1:C3)</f><v>6</v></c></row>`:                         {Kind: Number, Number: 6, Formula: "SUM(B1:B3*C1:C3)", Array: true},
		`<row><c><v>7</v></c></row>`:                                                                                {Kind: Number, Number: 7},
		`<row r="1"><c r="A1" t="d"><v>2027-03-01</v></c></row>`:                                                    {Kind: Number, Number: 46447, Format: "yyyy-mm-dd"},
		`<row r="1"><c r="A1" t="d"><v>2027-03-01T12:00:00</v></c></row>`:                                           {Kind: Number, Number: 46447.5, Format: "yyyy-mm-dd hh:mm:ss"},
		`<row r="1"><c r="A1" t="d" s="2"><v>1900-02-28T00:00:00Z</v></c></row>`:                                    {Kind: Number, Number: 59, Format: "mm-dd-yy"},
		`<row r="1"><c r="A1" t="d"><v>1850-01-01</v></c></row>`:                                                    {Kind: Text, Text: "1850-01-01"},
		`<row r="1"><c r="A1"><v>-0</v></c></row>`:                                                                  {Kind: Number},
		`<row r="1"><c r="A1"><v>9.999999999999999e307</v><extLst><ext><v xmlns="x">5</v></ext></extLst></c></row>`: {Kind: Number, Number: 9.999999999999999e307},
	} {
		want.Col, want.Row = 1, 1
		w := mustRead(t, small(rows))
		require.Len(t, w.Sheets[0].Rows, 1, rows)
		assert.Equal(t, []Cell{want}, w.Sheets[0].Rows[0].Cells, rows)
		assert.Empty(t, w.Notices)
	}
}

// What holds nothing is left out: cells with looks alone, empty values, rows of them.
func TestEmptyCells(t *testing.T) {
	w := mustRead(t, small(`<row r="1"><c r="A1" s="1"/><c r="B1" t="str"><v/></c></row><row r="2"/><row r="5"><c r="C5"><v>1</v></c></row>`))
	require.Len(t, w.Sheets[0].Rows, 1)
	assert.Equal(t, 5, w.Sheets[0].Rows[0].Number)
	assert.Equal(t, 1.0, w.Sheets[0].At(3, 5).Number)
	assert.Nil(t, w.Sheets[0].At(2, 5))
	assert.Nil(t, w.Sheets[0].At(3, 4))
}

// Places may be left out, and rows and cells may stand in any order; then they are put in theirs.
func TestPlaces(t *testing.T) {
	w := mustRead(t, small(`<row r="3"><c r="C3"><v>1</v></c><c><v>2</v></c><c r="A3"><v>3</v></c></row><row><c><v>4</v></c></row><row r="1"><c r="B1"><v>5</v></c></row><row r="3"><c r="B3"><v>6</v></c></row>`))
	got := map[string]float64{}
	for _, r := range w.Sheets[0].Rows {
		for _, c := range r.Cells {
			assert.Equal(t, r.Number, c.Row)
			got[Ref(c.Col, c.Row)] = w.Sheets[0].At(c.Col, c.Row).Number
		}
	}
	assert.Equal(t, map[string]float64{"C3": 1, "D3": 2, "A3": 3, "A4": 4, "B1": 5, "B3": 6}, got)
}

// The cells that an array formula fills are told from inputs.
func TestArrays(t *testing.T) {
	w := mustRead(t, small(`<row r="1"><c r="A1"><f t="array" ref="A1:B2">C1:D2*2</f><v>2</v></c><c r="B1"><v>4</v></c><c r="C1"><v>1</v></c></row><row r="2"><c r="A2"><v>6</v></c><c r="B2"><v>8</v></c></row>`))
	s := w.Sheets[0]
	for ref, want := range map[string]bool{"A1": true, "B1": true, "C1": false, "A2": true, "B2": true} {
		col, row, _ := ParseRef(ref)
		assert.Equal(t, want, s.At(col, row).Array, ref)
	}
	assert.Equal(t, "C1:D2*2", s.At(1, 1).Formula)
	assert.Empty(t, s.At(2, 2).Formula)
}

// A table of trials keeps its values, and a shared formula that is nowhere too; both are told.
func TestFormulasThatAreNotThere(t *testing.T) {
	w := mustRead(t, small(`<row r="1"><c r="A1"><f t="dataTable" ref="A1:A3" r1="B1"/><v>2</v></c><c r="B1"><f t="shared" si="4"/><v>3</v></c><c r="C1"><f t="shared" si="4"/><v>3</v></c></row>`))
	assert.Equal(t, []Cell{{Col: 1, Row: 1, Kind: Number, Number: 2}, {Col: 2, Row: 1, Kind: Number, Number: 3}, {Col: 3, Row: 1, Kind: Number, Number: 3}}, w.Sheets[0].Rows[0].Cells)
	assert.Equal(t, []string{
		`The formula of B1 and 1 more of "Bench" is not in the file; the value that it had was read.`,
		`A table of trials at A1 of "Bench" was read as plain values.`,
	}, w.Notices)
}

// A workbook with all that stands beside the cells.
func TestBeside(t *testing.T) {
	parts := with(small(`<row r="2"><c r="A2"><v>1</v></c></row>`),
		"xl/workbook.xml", xmlHead+`<workbook `+mainNS+`><workbookPr date1904="1"/><sheets><sheet name="Bench &amp; legs" sheetId="1" r:id="r1"/><sheet name="Notes" sheetId="4" state="veryHidden" r:id="r2"/><sheet name="Drawn" sheetId="5" r:id="r3"/></sheets>`+
			`<definedNames><definedName name="_xlnm.Print_Titles" localSheetId="0">x</definedName><definedName name="seat">'Bench &amp; legs'!$A$2</definedName><definedName name="leg" localSheetId="1">=Notes!$B$1:$B$3</definedName><definedName name="run" function="1" vbProcedure="1">x</definedName></definedNames></workbook>`,
		"xl/_rels/workbook.xml.rels", rels("worksheet", "worksheets/sheet1.xml", "worksheet", "/xl/worksheets/SHEET2.xml", "chartsheet", "chartsheets/sheet1.xml", "externalLink", "externalLinks/externalLink1.xml"),
		"xl/worksheets/sheet1.xml", xmlHead+`<worksheet `+mainNS+`><sheetData><row r="5"><c r="A5" t="inlineStr"><is><t>Day</t></is></c></row></sheetData><mergeCells count="1"><mergeCell ref="A1:C1"/></mergeCells></worksheet>`,
		"xl/worksheets/sheet2.xml", xmlHead+`<worksheet `+mainNS+`><sheetData/></worksheet>`,
		"xl/worksheets/_rels/sheet1.xml.rels", rels("table", "../tables/table1.xml", "comments", "../comments1.xml", "threadedComment", "/xl/threadedComments/threadedComment1.xml"),
		"xl/tables/table1.xml", `<table `+mainNS+` id="1" name="t1" displayName="pours" ref="A5:B8" totalsRowCount="1"><tableColumns count="2"><tableColumn id="1" name="Day"/><tableColumn id="2" name="Volume_x000a_(L)"/></tableColumns></table>`,
		"xl/comments1.xml", `<comments `+mainNS+`><authors><author>-</author></authors><commentList><comment ref="A5" authorId="0"><text><r><t>wet </t></r><r><t xml:space="preserve"> day</t></r></text></comment>`+
			`<comment ref="C2" authorId="0"><text><t>only a note</t></text></comment><comment ref="A5" authorId="0"><text><t>twice</t></text></comment><comment ref="B5" authorId="0"><text><t>there is a thread</t></text></comment></commentList></comments>`,
		"xl/threadedComments/threadedComment1.xml", `<ThreadedComments xmlns="urn:threads"><threadedComment ref="B5" id="{1}"><text>first</text></threadedComment><threadedComment ref="B5" id="{2}" parentId="{1}"><text>answer</text></threadedComment></ThreadedComments>`,
		"xl/charts/chart1.xml", "not looked at", "xl/media/image1.png", "1", "xl/media/image2.PNG", "2", "xl/externalLinks/externalLink1.xml", "not looked at",
		"customXml/item1.xml", `<job/>`, "customXml/_rels/item1.xml.rels", rels(), "docProps/thumbnail.png", "3",
	)
	w := mustRead(t, parts)
	assert.True(t, w.Dates1904)
	assert.Equal(t, []Name{{"seat", "'Bench & legs'!$A$2", ""}, {"leg", "Notes!$B$1:$B$3", "Notes"}}, w.Names)
	assert.Equal(t, map[string][]byte{"customXml/item1.xml": []byte("<job/>")}, w.Parts)
	require.Len(t, w.Sheets, 2)
	s := w.Sheets[0]
	assert.Equal(t, "Bench & legs", s.Name)
	assert.False(t, s.Hidden)
	assert.True(t, w.Sheets[1].Hidden)
	assert.Equal(t, []string{"A1:C1"}, s.Merged)
	assert.Equal(t, []Table{{"pours", "A5:B8", []string{"Day", "Volume\n(L)"}, 1, 1}}, s.Tables)
	assert.Equal(t, "wet day\ntwice", s.At(1, 5).Remark)
	assert.Equal(t, "first\nanswer", s.At(2, 5).Remark)
	assert.Equal(t, &Cell{Col: 3, Row: 2, Remark: "only a note"}, s.At(3, 2))
	assert.Equal(t, []string{
		`The sheet "Notes" is hidden; it was read like the others.`,
		`The sheet "Drawn" was passed over: it holds a chart, a dialog or macros, and no cells.`,
		"1 chart was passed over.",
		"2 pictures were passed over.",
		"A link to another file was not followed; its cells keep the values that were last seen there.",
	}, w.Notices)
}

// The strict form has other namespaces; prefixes may be any; UTF-16 is an encoding of the standard too.
func TestOtherForms(t *testing.T) {
	const strict = "http://purl.oclc.org/ooxml/"
	w := mustRead(t, with(small(""),
		"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="a" Type="`+strict+`officeDocument/relationships/officeDocument" Target="/xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml", `<s:workbook xmlns:s="`+strict+`spreadsheetml/main" xmlns:q="`+strict+`officeDocument/relationships" conformance="strict"><s:sheets><s:sheet name="Bench" sheetId="1" q:id="r1"/></s:sheets></s:workbook>`,
		"xl/worksheets/sheet1.xml", wideText(`<?xml version="1.0" encoding="UTF-16"?><w:worksheet xmlns:w="`+strict+`spreadsheetml/main"><w:sheetData><w:row><w:c><w:v>3</w:v></w:c><c><v>9</v></c></w:row></w:sheetData></w:worksheet>`),
	))
	assert.Equal(t, []Row{{1, []Cell{{Col: 1, Row: 1, Kind: Number, Number: 3}}}}, w.Sheets[0].Rows)
}

// wideText writes plain letters in UTF-16 with its mark.
func wideText(s string) string {
	out := []byte{0xFF, 0xFE}
	for i := range len(s) {
		out = append(out, s[i], 0)
	}
	return string(out)
}

// A file without styles and shared texts is a workbook too, and so is one whose paths are written with backslashes.
func TestLittle(t *testing.T) {
	parts := small(`<row><c s="0"><v>3</v></c></row>`)
	parts = with(parts, "xl/styles.xml", "", "xl/sharedStrings.xml", "", "xl/_rels/workbook.xml.rels", rels("worksheet", `worksheets\sheet1.xml`),
		`xl\worksheets\sheet1.xml`, parts["xl/worksheets/sheet1.xml"], "xl/worksheets/sheet1.xml", "")
	assert.Equal(t, 3.0, mustRead(t, parts).Sheets[0].At(1, 1).Number)
}

// A link may write signs as %20; the names in the package may too.
func TestWrittenLinks(t *testing.T) {
	parts := small(`<row><c><v>3</v></c></row>`)
	for _, name := range []string{"my sheet.xml", "my%20sheet.xml"} {
		w := mustRead(t, with(parts, "xl/_rels/workbook.xml.rels", rels("worksheet", "worksheets/my%20sheet.xml", "styles", "./styles.xml#x"), "xl/worksheets/"+name, parts["xl/worksheets/sheet1.xml"]))
		assert.Equal(t, 3.0, w.Sheets[0].At(1, 1).Number)
	}
}

// The system of days without the false leap day is told, since its first days are not read rightly.
func TestDaysWithoutTheFalseLeapDay(t *testing.T) {
	for attr, n := range map[string]int{``: 0, `dateCompatibility="1"`: 0, `dateCompatibility="0"`: 1, `date1904="1" dateCompatibility="false"`: 0} {
		w := mustRead(t, with(small(""), "xl/workbook.xml", `<workbook `+mainNS+`><workbookPr `+attr+`/><sheets><sheet name="Bench" sheetId="1" r:id="r1"/></sheets></workbook>`))
		assert.Len(t, w.Notices, n, attr)
	}
}

func TestOpen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bench.xlsx")
	require.NoError(t, os.WriteFile(path, zipped(t, small(`<row><c><v>3</v></c></row>`)), 0o644))
	w, err := Open(path, Limits{})
	require.NoError(t, err)
	assert.Equal(t, 3.0, w.Sheets[0].At(1, 1).Number)

	_, err = Open(path+"x", Limits{})
	assert.EqualError(t, err, "bench.xlsxx cannot be read: there is no such file.")
	assert.ErrorIs(t, err, os.ErrNotExist)
	_, err = Open(filepath.Dir(path), Limits{})
	assert.ErrorContains(t, err, "cannot be read: it is a folder; name a file.")
	_, err = Open(path, Limits{File: 2048})
	assert.EqualError(t, err, "bench.xlsx cannot be read: its file is larger than 2 KiB.")
}

func TestRef(t *testing.T) {
	for ref, at := range map[string][2]int{"A1": {1, 1}, "Z9": {26, 9}, "AA10": {27, 10}, "XFD1048576": {16384, 1048576}, "ZZ3": {702, 3}, "AAA3": {703, 3}} {
		assert.Equal(t, ref, Ref(at[0], at[1]))
		col, row, ok := ParseRef(ref)
		assert.Equal(t, [3]any{at[0], at[1], true}, [3]any{col, row, ok}, ref)
	}
	for _, ref := range []string{"", "A", "1", "A0", "XFE1", "A1048577", "A1B", "$", "A$", "A1:B2", " A1", "Ä1", "A99999999999999999999", "AAAAAAAAAAAAAAAA1"} {
		_, _, ok := ParseRef(ref)
		assert.False(t, ok, ref)
	}
	col, row, ok := ParseRef("$b$12")
	assert.Equal(t, [3]any{2, 12, true}, [3]any{col, row, ok})
	assert.Empty(t, Ref(0, 1))
	assert.Empty(t, Ref(16385, 1))
}
