package book

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// written gives the bytes of a book.
func written(t testing.TB, b *Book) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, b))
	return out.Bytes()
}

// saved writes a book to a file.
func saved(t testing.TB, b *Book) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "book.xlsx")
	require.NoError(t, os.WriteFile(path, written(t, b), 0o644))
	return path
}

// opened reads a book with the library.
func opened(t testing.TB, b *Book) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(written(t, b)), excelize.Options{UnzipSizeLimit: 1 << 28, UnzipXMLSizeLimit: 1 << 28})
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

// parts gives the parts of a package.
func parts(t testing.TB, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	m := map[string]string{}
	for _, entry := range z.File {
		r, err := entry.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		m[entry.Name] = string(text)
	}
	return m
}

// validate holds a book against the published schemas (ECMA-376), where the tool for it is present.
func validate(t *testing.T, b *Book) {
	t.Helper()
	const tool = "../../../../shared/tools/ooxml-validate" // beside the folder of the module
	if _, err := os.Stat(tool); err != nil {
		t.Skipf("%s is not there: not held against the schemas", tool)
	}
	if _, err := exec.LookPath("xmllint"); err != nil {
		t.Skip("xmllint (Debian libxml2-utils) is not there: not held against the schemas")
	}
	if err := exec.Command("/usr/bin/python3", "-c", "import lxml").Run(); err != nil {
		t.Skip("lxml (Debian python3-lxml) is not there: not held against the schemas")
	}
	said, err := exec.Command(tool, saved(t, b)).CombinedOutput()
	assert.NoError(t, err, string(said))
	assert.Empty(t, string(said))
}

// one is a book of one sheet.
func one(rows ...Row) *Book { return &Book{Sheets: []*Sheet{{Name: "Bench", Rows: rows}}} }

func TestValid(t *testing.T) {
	validate(t, sample())
	letter := sample()
	letter.Letter = true
	validate(t, letter)
	validate(t, one())
	validate(t, hostileBook())
	validate(t, allLooks())
	validate(t, longBook(20))
}

// allLooks is a book with every role in every way a style can differ.
func allLooks() *Book {
	b := one()
	for role := Plain; role < roles; role++ {
		var cells []Cell
		for _, s := range []Style{{}, {Format: "0.00"}, {Unlocked: true}, {Wrap: true}, {Indent: 2}, {Right: true}, {Format: `# ?/8 "in"`, Right: true, Unlocked: true}} {
			s.Role = role
			cells = append(cells, Cell{Kind: Text, Text: "=" + looks[role].name, Style: s}, Cell{Kind: Number, Number: 1.5, Style: s}, Cell{Style: s})
		}
		b.Sheets[0].Rows = append(b.Sheets[0].Rows, Row{Cells: cells})
		b.Sheets[0].Checks = append(b.Sheets[0].Checks, Rule{Ref: "A1:C9 E4", Formula: "$A1>1", Role: role})
	}
	return b
}

// Each style comes back as what it was: the name of its role, its format, its lock.
func TestStyles(t *testing.T) {
	f := opened(t, allLooks())
	sheet := f.Styles
	names := map[int]string{}
	for _, s := range sheet.CellStyles.CellStyle {
		assert.Nil(t, s.BuiltInID, s.Name)
		names[s.XfID] = s.Name
	}
	require.Len(t, names, int(roles))
	for role := Plain + 1; role < roles; role++ {
		for k, at := range []string{"A", "D", "G", "J", "M", "P", "S"} {
			id, err := f.GetCellStyle("Bench", at+Ref(1, int(role)+1)[1:])
			require.NoError(t, err)
			xf := sheet.CellXfs.Xf[id]
			assert.Equal(t, looks[role].name, names[*xf.XfID])
			assert.Equal(t, k == 2 || k == 6, !*xf.Protection.Locked, "%s %s", looks[role].name, at)
			assert.True(t, *xf.QuotePrefix, "a text that begins with = stays one when it is edited")
			s, err := f.GetStyle(id)
			require.NoError(t, err)
			if k == 1 {
				assert.Equal(t, "0.00", *s.CustomNumFmt)
			}
		}
	}
	text := parts(t, written(t, allLooks()))["xl/styles.xml"]
	assert.NotContains(t, text, "builtinId")
	assert.NotContains(t, text, "<tableStyles")
}

func TestReadBack(t *testing.T) {
	f := opened(t, sample())
	assert.Equal(t, []string{"Bench & legs", "Pours"}, f.GetSheetList())
	for i, s := range sample().Sheets {
		dimension, err := f.GetSheetDimension(s.Name)
		require.NoError(t, err)
		assert.Equal(t, []string{"A1:D14", "A1:G5"}[i], dimension)
		for r, row := range s.Rows {
			for c, cell := range row.Cells {
				if r == 13 && c > 0 {
					continue // the caution reaches over these, and the library gives its text for them
				}
				sameCell(t, f, s.Name, Ref(c+1, r+1), cell)
			}
		}
	}
	var names []string
	for _, n := range f.GetDefinedName() {
		names = append(names, n.Name+" "+n.RefersTo+" "+n.Scope)
	}
	assert.Equal(t, []string{"_xlnm.Print_Titles 'Bench & legs'!$1:$3 Bench & legs", "_xlnm.Print_Titles 'Pours'!$1:$1 Pours",
		"seat_depth 'Bench & legs'!$B$5 Workbook", "pours_volume 'Pours'!$B$2:$B$4 Workbook"}, names)
	tables, err := f.GetTables("Pours")
	require.NoError(t, err)
	require.Len(t, tables, 2)
	assert.Equal(t, []string{"pours", "A1:D4", "bags", "F1:G3"}, []string{tables[0].Name, tables[0].Range, tables[1].Name, tables[1].Range})
	inputs, err := f.GetDataValidations("Bench & legs")
	require.NoError(t, err)
	require.Len(t, inputs, 7)
	assert.Equal(t, []string{"B5", "decimal", "between", "100", "1200.5"}, []string{inputs[0].Sqref, inputs[0].Type, inputs[0].Operator, inputs[0].Formula1, inputs[0].Formula2})
	assert.Equal(t, "From 100 mm to 1200.5 mm", *inputs[0].Prompt)
	assert.Equal(t, []string{"greaterThanOrEqual", "0"}, []string{inputs[1].Operator, inputs[1].Formula1})
	assert.Equal(t, `"I,II,"III" & <IV>"`, inputs[2].Formula1, "the library takes the quotation marks as one again")
	assert.Equal(t, []string{"-9007199254740991", "9007199254740991"}, []string{inputs[5].Formula1, inputs[5].Formula2})
	rules, err := f.GetConditionalFormats("Bench & legs")
	require.NoError(t, err)
	require.Len(t, rules["B9"], 3)
	assert.Equal(t, `$B9="holds"`, rules["B9"][0].Criteria)
	remarks, err := f.GetComments("Bench & legs")
	require.NoError(t, err)
	require.Len(t, remarks, 1)
	assert.Equal(t, "B5", remarks[0].Cell)
	assert.Equal(t, "Measured on site.\nWithin 3 mm.", remarks[0].Paragraph[0].Text)
	pictures, err := f.GetPictures("Bench & legs", "F4")
	require.NoError(t, err)
	require.Len(t, pictures, 1)
	assert.Equal(t, picture(), pictures[0].File)
	protection, err := f.GetSheetProtection("Bench & legs")
	require.NoError(t, err)
	assert.True(t, protection.SelectUnlockedCells)
	assert.False(t, protection.DeleteRows)
	calc, err := f.GetCalcProps()
	require.NoError(t, err)
	assert.True(t, *calc.FullCalcOnLoad)
}

// sameCell compares a cell of a file with what was written.
func sameCell(t *testing.T, f *excelize.File, sheet, at string, want Cell) {
	t.Helper()
	formula, err := f.GetCellFormula(sheet, at)
	require.NoError(t, err)
	assert.Equal(t, want.Formula, formula, at)
	raw, err := f.GetCellValue(sheet, at, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	kind, err := f.GetCellType(sheet, at)
	require.NoError(t, err)
	switch want.Kind {
	case Number:
		x, err := strconv.ParseFloat(raw, 64)
		assert.NoError(t, err, at)
		assert.Equal(t, want.Number+0, x, at)
		assert.Equal(t, excelize.CellTypeUnset, kind, at)
	case Text:
		assert.Equal(t, want.Text, raw, at)
		assert.Equal(t, map[bool]excelize.CellType{true: excelize.CellTypeFormula, false: excelize.CellTypeInlineString}[want.Formula != ""], kind, at)
	case Truth:
		assert.Equal(t, map[bool]string{true: "1", false: "0"}[want.Truth], raw, at)
		assert.Equal(t, excelize.CellTypeBool, kind, at)
	case Problem:
		assert.Equal(t, want.Text, raw, at)
		assert.Equal(t, excelize.CellTypeError, kind, at)
	default:
		assert.Empty(t, raw, at)
	}
}

// The page follows the system of the book, fits its width, repeats the rows of headings, and names title and number.
func TestPage(t *testing.T) {
	for letter, paper := range map[bool]string{true: `paperSize="1"`, false: `paperSize="9"`} {
		b := sample()
		b.Letter = letter
		sheet := parts(t, written(t, b))["xl/worksheets/sheet1.xml"]
		for _, want := range []string{paper, `fitToWidth="1"`, `fitToHeight="0"`, `<pageSetUpPr fitToPage="true">`, "Tree bench &amp;&amp; legs</oddHeader>", "&amp;P / &amp;N", `topLeftCell="A4" ySplit="3"`} {
			assert.Contains(t, sheet, want)
		}
	}
	o := pageTexts(strings.Repeat("&", 400))
	assert.LessOrEqual(t, length(o.OddHeader), 255)
}

// The same book gives the same bytes, whatever the time zone.
func TestSameBytes(t *testing.T) {
	first := written(t, sample())
	zone := time.Local
	defer func() { time.Local = zone }()
	for i := range 12 {
		time.Local = time.FixedZone("", (i-6)*7000)
		require.True(t, bytes.Equal(first, written(t, sample())), "write %d", i)
	}
	z, err := zip.NewReader(bytes.NewReader(first), int64(len(first)))
	require.NoError(t, err)
	assert.Equal(t, []string{typesPart, firstRels}, []string{z.File[0].Name, z.File[1].Name})
	for _, entry := range z.File {
		assert.True(t, entry.Modified.Equal(packed), entry.Name)
	}
}

// Nothing in the package tells of a person, a program or an hour.
func TestProperties(t *testing.T) {
	p := parts(t, written(t, sample()))
	core := p["docProps/core.xml"]
	assert.Contains(t, core, "<dc:title>Tree bench &amp; legs</dc:title>")
	assert.Equal(t, 2, strings.Count(core, stamp))
	for _, word := range []string{"creator", "lastModifiedBy"} {
		assert.NotContains(t, core, word)
	}
	assert.Equal(t, noProperties, p["docProps/app.xml"])
	assert.NotContains(t, p["xl/workbook.xml"], "fileVersion")
	for name, text := range p {
		assert.NotContains(t, strings.ToLower(text), "xuri", name)
		assert.NotContains(t, strings.ToLower(text), "go excelize", name)
	}
}

// The parts that a book brings are in the package, with a type and a relationship.
func TestParts(t *testing.T) {
	b := sample()
	p := parts(t, written(t, b))
	for name, data := range b.Parts {
		assert.Equal(t, string(data), p[name])
		assert.Contains(t, p[typesPart], `PartName="/`+name+`"`)
		assert.Contains(t, p["xl/_rels/workbook.xml.rels"], `Target="../`+name+`"`)
	}
	assert.Contains(t, p["xl/_rels/workbook.xml.rels"], relCustom)
}

// A chart has a corner and a size; between two corners in one cell it would be pressed into that cell.
func TestChartAnchor(t *testing.T) {
	drawing := parts(t, written(t, sample()))["xl/drawings/drawing2.xml"]
	assert.NotContains(t, drawing, "twoCellAnchor")
	assert.Equal(t, 2, strings.Count(drawing, "</xdr:oneCellAnchor>"))
	assert.Contains(t, drawing, `<xdr:ext cx="5334000" cy="2857500"/>`) // 560 and 300 pixels of 9525 EMU, ISO/IEC 29500-1, 20.1.2.1
}

// A writer that fails has its error told.
func TestWriteFails(t *testing.T) {
	full := errors.New("the disk is full")
	for _, room := range []int{0, 10, 2000} {
		assert.ErrorIs(t, Write(&narrow{room, full}, sample()), full)
	}
}

type narrow struct {
	room int
	err  error
}

func (n *narrow) Write(p []byte) (int, error) {
	if n.room -= len(p); n.room < 0 {
		return 0, n.err
	}
	return len(p), nil
}

// Every part is XML that reads to its end.
func TestWellFormed(t *testing.T) {
	for name, text := range parts(t, written(t, hostileBook())) {
		if strings.HasSuffix(name, ".xml") || strings.HasSuffix(name, ".rels") || strings.HasSuffix(name, ".vml") {
			d := xml.NewDecoder(strings.NewReader(text))
			for {
				if _, err := d.Token(); err == io.EOF {
					break
				} else {
					require.NoError(t, err, name)
				}
			}
		}
	}
}
