package read

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// seeds are small workbooks: by hand, from the library, and from another one where it is present.
func seeds(f *testing.F) [][]byte {
	list := [][]byte{
		zipped(f, small(`<row r="1"><c r="A1" t="s"><v>1</v></c><c r="B1" s="3"/><c t="inlineStr"><is><t>_x0041_</t></is></c></row>`)),
		zipped(f, small(sharedRows())),
		zipped(f, small(`<row><c><f t="array" ref="A1:B2">C1:D2</f><v>1</v></c><c t="e"><v>#N/A</v></c></row><row r="9"><c t="d"><v>2027-03-01</v></c></row>`)),
		encrypted(f), []byte("day,volume\n"), []byte(zipStart),
	}
	x := excelize.NewFile()
	defer x.Close()
	require.NoError(f, x.SetCellValue("Sheet1", "A1", "Day"))
	require.NoError(f, x.SetCellFormula("Sheet1", "B2", "SUM(A1:A3)"))
	require.NoError(f, x.AddComment("Sheet1", excelize.Comment{Cell: "F9", Text: "far off"}))
	require.NoError(f, x.AddTable("Sheet1", &excelize.Table{Range: "A1:A2", Name: "pours"}))
	var out bytes.Buffer
	require.NoError(f, x.Write(&out))
	list = append(list, out.Bytes())

	path := filepath.Join(f.TempDir(), "small.xlsx")
	if err := exec.Command("/usr/bin/python3", "-c", "import sys, openpyxl\nb = openpyxl.Workbook()\nb.active.append([1, 'x', True, '=A1*2'])\nb.save(sys.argv[1])", path).Run(); err == nil {
		data, err := os.ReadFile(path)
		require.NoError(f, err)
		list = append(list, data)
	}
	return list
}

// FuzzRead changes workbooks: as files, and as the text of a worksheet, which changes of a packed file hardly reach.
func FuzzRead(f *testing.F) {
	for _, data := range seeds(f) {
		f.Add(data)
	}
	for _, text := range []string{`<row><c><v>1</v></c></row>`, sharedRows(), `</sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells><sheetData>`} {
		f.Add([]byte(text))
	}
	limits := Limits{File: 1 << 20, Unpacked: 4 << 20, Part: 1 << 20, Parts: 100, Rows: 10_000, Cells: 10_000}
	f.Fuzz(func(t *testing.T, data []byte) {
		holds(t, data, limits)
		holds(t, zipped(t, small(string(data))), limits)
	})
}

// holds looks that a file is refused with a sentence, or read into a model that keeps its promises.
func holds(t *testing.T, data []byte, l Limits) {
	w, err := readBytes(data, l)
	if err != nil {
		require.Nil(t, w)
		require.Regexp(t, `(?s)^The workbook cannot be read: .*\.$`, err.Error())
		return
	}
	cells := 0
	for _, s := range w.Sheets {
		row := 0
		for _, r := range s.Rows {
			require.Greater(t, r.Number, row)
			require.NotEmpty(t, r.Cells)
			row = r.Number
			col := 0
			for i := range r.Cells {
				c := &r.Cells[i]
				require.Greater(t, c.Col, col)
				require.Equal(t, row, c.Row)
				require.Same(t, c, s.At(c.Col, c.Row))
				require.NotEmpty(t, Ref(c.Col, c.Row))
				require.False(t, math.IsNaN(c.Number) || math.IsInf(c.Number, 0))
				col = c.Col
			}
			cells += len(r.Cells)
		}
		require.LessOrEqual(t, row, l.Rows)
	}
	require.LessOrEqual(t, cells, l.Cells)
}

func FuzzShift(f *testing.F) {
	for _, s := range sharing {
		f.Add(s, 1, 1)
	}
	f.Add("[[a]'", -3, 5)
	f.Fuzz(func(t *testing.T, formula string, cols, rows int) {
		still := shifted(cutFormula(formula), 0, 0) // references in their plain form
		require.Equal(t, still, shifted(cutFormula(still), 0, 0))
		shifted(cutFormula(formula), cols%maxColumns, rows%maxRows)
	})
}

func FuzzIsDate(f *testing.F) {
	for _, s := range []string{"yyyy-mm-dd", `[$-409]d\ mmm`, "[h]:mm", `"`, "\\", "["} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, format string) { IsDate(format) })
}
