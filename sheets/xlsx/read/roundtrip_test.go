package read_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/read"
)

// readBack reads bytes.
func readBack(t require.TestingT, data []byte) *read.Workbook {
	w, err := read.Read(bytes.NewReader(data), int64(len(data)), read.Limits{})
	require.NoError(t, err)
	return w
}

// same holds what was read against what was written.
func same(t require.TestingT, b *book.Book, w *read.Workbook) {
	require.Len(t, w.Sheets, len(b.Sheets))
	for i, s := range b.Sheets {
		got := w.Sheets[i]
		assert.Equal(t, s.Name, got.Name)
		want := map[[2]int]read.Cell{}
		for n, row := range s.Rows {
			for k, c := range row.Cells {
				if c.Kind == book.Empty && !c.Style.Unlocked && c.Remark == "" {
					continue
				}
				want[[2]int{k + 1, n + 1}] = read.Cell{Col: k + 1, Row: n + 1, Kind: read.Kind(c.Kind), Number: c.Number, Text: c.Text, Truth: c.Truth,
					Formula: c.Formula, Format: c.Style.Format, Unlocked: c.Style.Unlocked, Remark: strings.TrimSpace(c.Remark)}
			}
		}
		for _, row := range got.Rows {
			for _, c := range row.Cells {
				assert.Equal(t, want[[2]int{c.Col, c.Row}], c)
				delete(want, [2]int{c.Col, c.Row})
			}
		}
		assert.Empty(t, want)
	}
}

// quotation is a book with all that comes back: kinds, formats, locks, remarks, tables, names, parts.
func quotation() *book.Book {
	text := func(s string) book.Cell { return book.Cell{Kind: book.Text, Text: s} }
	s := &book.Sheet{Name: "Bench & 'legs' 2", Protect: true, Rows: []book.Row{
		{Cells: []book.Cell{{Kind: book.Text, Text: "Tree bench", Across: 2, Style: book.Style{Role: book.Title}}}},
		{},
		{Cells: []book.Cell{text("Seat depth"), {Kind: book.Number, Number: 430, Remark: "Measured on site.\nWithin 3 mm.", Style: book.Style{Role: book.Input, Format: "0.0", Unlocked: true}}, text("mm")}},
		{Cells: []book.Cell{text("Price"), {Style: book.Style{Role: book.Open, Unlocked: true}}, text("USD")}},
		{Cells: []book.Cell{text("Mass"), {Kind: book.Number, Number: 21.5, Formula: "B3/20", Style: book.Style{Format: `0.0" kg"`}}}},
		{Cells: []book.Cell{text("Liftable"), {Kind: book.Text, Text: "holds", Formula: `IF(B5<=23,"holds","does not hold")`}, {Kind: book.Truth, Truth: true, Formula: "B3>0"}, {Kind: book.Truth}}},
		{Cells: []book.Cell{text("Bags"), {Kind: book.Problem, Text: "#DIV/0!", Formula: "1/B4"}, {Kind: book.Number, Number: 46447, Style: book.Style{Format: "yyyy-mm-dd"}}, {}, {Remark: "on nothing"}}},
		{Cells: []book.Cell{text("Day"), text("Volume (L)")}},
		{Cells: []book.Cell{{Kind: book.Number, Number: 46447, Style: book.Style{Format: "yyyy-mm-dd"}}, {Kind: book.Number, Number: 36.4}}},
	}, Tables: []book.Table{{Name: "pours", Ref: "A8:B9", Columns: []book.Column{{Name: "Day"}, {Name: "Volume (L)"}}}}}
	return &book.Book{Title: "Tree bench", Sheets: []*book.Sheet{s, {Name: "Empty"}}, Names: []book.Name{{Name: "seat_depth", Refers: book.Quote(s.Name) + "!$B$3"}},
		Parts: map[string][]byte{"customXml/item1.xml": []byte(`<job a="1"/>`), "texts/bench.sheet": []byte("a = 1\n")}}
}

// hostile are texts that programs are known to take for something else, or to damage.
var hostile = []string{"=1+1", "+1", "-1", "@x", "\t=1", "\r=1", "\n=1", " both ends ", "a\rb", "a\r\nb", "\x00\x01\x1f", "_x0041_", "_x0041", "__x0041__", "_x000D_", "<b>&amp;</b>", "]]>",
	"\ufffe", "\uffff", "\ufeff", "\u2028", "\U0001D51E", "e\u0301", "007", "TRUE", "#N/A", "", " ", "\n", strings.Repeat("\x00", 32767)}

func written(t require.TestingT, b *book.Book) []byte {
	var out bytes.Buffer
	require.NoError(t, book.Write(&out, b))
	return out.Bytes()
}

// What our writer writes comes back whole.
func TestFromOurWriter(t *testing.T) {
	b := quotation()
	w := readBack(t, written(t, b))
	same(t, b, w)
	assert.Equal(t, []read.Name{{Name: "seat_depth", Refers: `'Bench & ''legs'' 2'!$B$3`}}, w.Names)
	assert.Equal(t, map[string][]byte{"customXml/item1.xml": []byte(`<job a="1"/>`)}, w.Parts)
	assert.Equal(t, []read.Table{{Name: "pours", Ref: "A8:B9", Columns: []string{"Day", "Volume (L)"}, Headings: 1}}, w.Sheets[0].Tables)
	assert.Equal(t, []string{"A1:C1"}, w.Sheets[0].Merged)
	assert.False(t, w.Dates1904)
	assert.Empty(t, w.Notices)
}

func TestHostileTextsComeBack(t *testing.T) {
	b := &book.Book{Sheets: []*book.Sheet{{Name: "=<&\">"}}}
	for _, s := range hostile {
		b.Sheets[0].Rows = append(b.Sheets[0].Rows, book.Row{Cells: []book.Cell{{Kind: book.Text, Text: s}, {Kind: book.Text, Text: s, Formula: `A1&"<&>"`}}})
	}
	same(t, b, readBack(t, written(t, b)))
}

// Any text and any number comes back to the last bit.
func TestAnythingComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var cells []book.Cell
		for range rapid.IntRange(1, 5).Draw(t, "n") {
			x := rapid.Float64().Draw(t, "x")
			cells = append(cells, book.Cell{Kind: book.Text, Text: strings.ToValidUTF8(rapid.String().Draw(t, "s"), "")}, book.Cell{Kind: book.Number, Number: x + 0}, book.Cell{},
				book.Cell{Kind: book.Number, Number: math.Trunc(x) + 0, Style: book.Style{Unlocked: rapid.Bool().Draw(t, "u"), Format: rapid.SampledFrom([]string{"", "0", "0.00", "0.0", `"a;"0`, "yyyy-mm-dd"}).Draw(t, "f")}})
		}
		b := &book.Book{Sheets: []*book.Sheet{{Name: "x", Rows: []book.Row{{}, {Cells: cells}}}}}
		same(t, b, readBack(t, written(t, b)))
	})
}

// What the library writes by itself comes back: shared texts, rich ones, dates, tables, remarks, a chart, hidden sheets.
func TestFromTheLibrary(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	check := func(err error) { t.Helper(); require.NoError(t, err) }
	check(f.SetCellValue("Sheet1", "A1", "Day"))
	check(f.SetCellValue("Sheet1", "B1", "Volume"))
	check(f.SetCellValue("Sheet1", "A2", "first"))
	check(f.SetCellValue("Sheet1", "B2", 36.4))
	check(f.SetCellValue("Sheet1", "D1", true))
	check(f.SetCellRichText("Sheet1", "D2", []excelize.RichTextRun{{Text: "two "}, {Text: "runs", Font: &excelize.Font{Bold: true}}}))
	kind, ref := excelize.STCellFormulaTypeShared, "C2:C4"
	check(f.SetCellFormula("Sheet1", "C2", "B2*$B$2", excelize.FormulaOpts{Type: &kind, Ref: &ref}))
	check(f.AddTable("Sheet1", &excelize.Table{Range: "A1:B2", Name: "pours"}))
	check(f.AddComment("Sheet1", excelize.Comment{Cell: "F9", Author: "-", Text: "far off"}))
	check(f.AddChart("Sheet1", "H1", &excelize.Chart{Type: excelize.Line, Series: []excelize.ChartSeries{{Values: "Sheet1!$B$2:$B$2"}}}))
	check(f.SetDefinedName(&excelize.DefinedName{Name: "local", RefersTo: "Sheet1!$B$2", Scope: "Sheet1"}))
	date, err := f.NewStyle(&excelize.Style{NumFmt: 14, Protection: &excelize.Protection{Locked: false}})
	check(err)
	check(f.SetCellValue("Sheet1", "E1", 46447))
	check(f.SetCellStyle("Sheet1", "E1", "E1", date))
	_, err = f.NewSheet("Kept back")
	check(err)
	check(f.SetSheetVisible("Kept back", false))
	var out bytes.Buffer
	check(f.Write(&out))

	w := readBack(t, out.Bytes())
	s := w.Sheets[0]
	assert.Equal(t, "Day", s.At(1, 1).Text)
	assert.Equal(t, 36.4, s.At(2, 2).Number)
	assert.Equal(t, "two runs", s.At(4, 2).Text)
	assert.Equal(t, read.Cell{Col: 4, Row: 1, Kind: read.Truth, Truth: true}, *s.At(4, 1))
	assert.Equal(t, read.Cell{Col: 5, Row: 1, Kind: read.Number, Number: 46447, Format: "mm-dd-yy", Unlocked: true}, *s.At(5, 1))
	assert.Equal(t, "B4*$B$2", s.At(3, 4).Formula)
	assert.Contains(t, s.At(6, 9).Remark, "far off")
	assert.Equal(t, []read.Table{{Name: "pours", Ref: "A1:B2", Columns: []string{"Day", "Volume"}, Headings: 1}}, s.Tables)
	assert.Equal(t, []read.Name{{Name: "local", Refers: "Sheet1!$B$2", Sheet: "Sheet1"}}, w.Names)
	assert.True(t, w.Sheets[1].Hidden)
	assert.Equal(t, []string{`The sheet "Kept back" is hidden; it was read like the others.`, "1 chart was passed over."}, w.Notices)
}

// maker makes a workbook with another library, and says what it holds.
const maker = `
import datetime, sys, openpyxl
from openpyxl.comments import Comment
from openpyxl.styles import Protection
from openpyxl.worksheet.table import Table
from openpyxl.workbook.defined_name import DefinedName
b = openpyxl.Workbook()
s = b.active
s.title = "Bench & legs"
s.append(["Day", "Volume (L)", "Bags"])
s.append([datetime.date(2027, 3, 1), 36.4, "=ROUNDUP(B2/17,0)"])
s.append([datetime.datetime(2027, 3, 2, 7, 30), True, " both ends "])
s["E1"] = "#N/A"
try:
    from openpyxl.worksheet.formula import ArrayFormula
    s["E2"] = ArrayFormula("E2:E3", "=B2:B3*2")
except ImportError:
    s["E2"] = "=B2:B3*2"
    s.formula_attributes["E2"] = {"t": "array", "ref": "E2:E3"}
s["F1"] = 0.125
s["F1"].number_format = "0.0%"
s["F1"].protection = Protection(locked=False)
s["G7"].comment = Comment("wet day", "-")
s.merge_cells("A9:B9")
s.add_table(Table(displayName="pours", ref="A1:C3"))
name = DefinedName("seat", attr_text="'Bench & legs'!$B$2")
try:
    b.defined_names.append(name)
except AttributeError:
    b.defined_names["seat"] = name
b.create_sheet("Kept back").sheet_state = "hidden"
b.save(sys.argv[1])
`

func TestFromElsewhere(t *testing.T) {
	if err := exec.Command("/usr/bin/python3", "-c", "import openpyxl").Run(); err != nil {
		t.Skip("openpyxl (Debian python3-openpyxl) is not there: nothing to read from it")
	}
	path := filepath.Join(t.TempDir(), "bench.xlsx")
	said, err := exec.Command("/usr/bin/python3", "-c", maker, path).CombinedOutput()
	require.NoError(t, err, string(said))
	w, err := read.Open(path, read.Limits{})
	require.NoError(t, err)
	s := w.Sheets[0]
	assert.Equal(t, "Bench & legs", s.Name)
	for ref, want := range map[string]read.Cell{
		"A2": {Kind: read.Number, Number: 46447, Format: "yyyy-mm-dd"},
		"A3": {Kind: read.Number, Number: 46448.3125, Format: "yyyy-mm-dd h:mm:ss"},
		"B2": {Kind: read.Number, Number: 36.4},
		"B3": {Kind: read.Truth, Truth: true},
		"C2": {Formula: "ROUNDUP(B2/17,0)"},
		"C3": {Kind: read.Text, Text: " both ends "},
		"E1": {Kind: read.Problem, Text: "#N/A"},
		"E2": {Formula: "B2:B3*2", Array: true},
		"F1": {Kind: read.Number, Number: 0.125, Format: "0.0%", Unlocked: true},
		"G7": {Remark: "wet day"},
	} {
		want.Col, want.Row, _ = read.ParseRef(ref)
		got := s.At(want.Col, want.Row)
		require.NotNil(t, got, ref)
		assert.Equal(t, want, *got, ref)
	}
	assert.Equal(t, []read.Table{{Name: "pours", Ref: "A1:C3", Columns: []string{"Day", "Volume (L)", "Bags"}, Headings: 1}}, s.Tables)
	assert.Equal(t, []string{"A9:B9"}, s.Merged)
	assert.Equal(t, []read.Name{{Name: "seat", Refers: "'Bench & legs'!$B$2"}}, w.Names)
	assert.Equal(t, []string{`The sheet "Kept back" is hidden; it was read like the others.`}, w.Notices)
}

// filler fills in a workbook of ours with another library, as a reader with a program of their own does.
const filler = `
import sys, openpyxl
b = openpyxl.load_workbook(sys.argv[1])
s = b.worksheets[0]
s["B3"] = 455
s["B4"] = 12.5
b.save(sys.argv[2])
`

func TestFilledInElsewhere(t *testing.T) {
	if err := exec.Command("/usr/bin/python3", "-c", "import openpyxl").Run(); err != nil {
		t.Skip("openpyxl (Debian python3-openpyxl) is not there: nothing to fill in with")
	}
	from, to := filepath.Join(t.TempDir(), "bench.xlsx"), filepath.Join(t.TempDir(), "filled.xlsx")
	b := quotation()
	require.NoError(t, writeFile(from, written(t, b)))
	said, err := exec.Command("/usr/bin/python3", "-c", filler, from, to).CombinedOutput()
	require.NoError(t, err, string(said))
	w, err := read.Open(to, read.Limits{})
	require.NoError(t, err)
	s := w.Sheets[0]
	assert.Equal(t, 455.0, s.At(2, 3).Number)
	assert.Equal(t, "0.0", s.At(2, 3).Format)
	assert.True(t, s.At(2, 3).Unlocked)
	assert.Equal(t, 12.5, s.At(2, 4).Number)
	assert.Equal(t, "B3/20", s.At(2, 5).Formula)
	assert.Equal(t, read.Empty, s.At(2, 5).Kind, "that library keeps no worked-out values")
	// What can be told of the file as JSON is told whole: no number in it is infinite or none.
	_, err = json.Marshal(w)
	assert.NoError(t, err)
}

func writeFile(path string, data []byte) error { return os.WriteFile(path, data, 0o644) }
