package book

import (
	"bytes"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// longBook is a book whose one sheet has a row of headings and streams the rest, as a table.
func longBook(rows int) *Book {
	columns := []Column{{"Day", "yyyy-mm-dd"}, {"Volume", "0.0"}, {"Bags", "0"}, {"Kind", ""}, {"Even", ""}}
	s := &Sheet{Name: "Log", Rows: []Row{{Cells: heads("Day", "Volume", "Bags", "Kind", "Even")}}}
	s.Tables = []Table{{Name: "cure_log", Ref: "A1:" + Ref(5, rows+1), Columns: columns}}
	s.Stream = func(yield func([]Cell) bool) {
		row := make([]Cell, 5)
		for i := range rows {
			at := Ref(2, i+2)
			row[0] = Cell{Kind: Number, Number: float64(40000 + i%9000), Style: Style{Role: Item, Format: "yyyy-mm-dd"}}
			row[1] = Cell{Kind: Number, Number: float64(i) / 7, Style: Style{Role: Worked, Format: "0.0"}}
			row[2] = Cell{Kind: Number, Number: math.Ceil(float64(i) / 7 / 17), Formula: "ROUNDUP(" + at + "/17,0)", Style: Style{Role: Worked, Format: "0"}}
			row[3] = Cell{Kind: Text, Text: "seat"}
			row[4] = Cell{Kind: Truth, Truth: i%2 == 0}
			if !yield(row) {
				return
			}
		}
	}
	return &Book{Title: "Log", Sheets: []*Sheet{s}}
}

func TestStream(t *testing.T) {
	f := opened(t, longBook(500))
	dimension, err := f.GetSheetDimension("Log")
	require.NoError(t, err)
	assert.Equal(t, "A1:E501", dimension)
	formula, err := f.GetCellFormula("Log", "C501")
	require.NoError(t, err)
	assert.Equal(t, "ROUNDUP(B501/17,0)", formula)
	assert.True(t, bytes.Equal(written(t, longBook(500)), written(t, longBook(500))))
}

// A row that cannot be written stops the stream, and nothing has been written by then; no file is left behind.
func TestStreamStops(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	for name, c := range map[string]struct {
		cell Cell
		want string
	}{
		"number":  {Cell{Kind: Number, Number: math.NaN()}, "'Log'!B3 cannot be written: its number is not finite."},
		"formula": {Cell{Kind: Number, Formula: "=1"}, "'Log'!B3 cannot be written: its formula begins with =."},
		"remark":  {Cell{Kind: Text, Text: "x", Remark: "y"}, "'Log'!B3 cannot be written: a streamed cell has no remark, and does not reach over others."},
	} {
		given := 0
		b := &Book{Sheets: []*Sheet{{Name: "Log", Stream: func(yield func([]Cell) bool) {
			for i := range 10 {
				given++
				row := []Cell{{Kind: Number}, {Kind: Number}}
				if i == 2 {
					row[1] = c.cell
				}
				if !yield(row) {
					return
				}
			}
		}}}}
		var out bytes.Buffer
		assert.EqualError(t, Write(&out, b), c.want, name)
		assert.Empty(t, out.Bytes())
		assert.Equal(t, 3, given)
	}
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	assert.Empty(t, left)
}

// A row below the last is refused; a stream that goes on after a no is not listened to.
func TestStreamTooLong(t *testing.T) {
	b := &Book{Sheets: []*Sheet{{Name: "Log", Stream: func(yield func([]Cell) bool) {
		for range MaxRows + 1 {
			yield(nil)
		}
	}}}}
	assert.EqualError(t, Write(io.Discard, b), `The sheet "Log" has more than 1048576 rows.`)
	wide := &Book{Sheets: []*Sheet{{Name: "Log", Stream: func(yield func([]Cell) bool) { yield(make([]Cell, MaxColumns+1)) }}}}
	assert.EqualError(t, Write(io.Discard, wide), "'Log'!row 1, column 16385 cannot be written: a row has more than 16384 cells.")
}

// A stream that leaves rows out and holds nothing leaves a sheet of nothing.
func TestStreamEmpty(t *testing.T) {
	b := &Book{Sheets: []*Sheet{{Name: "Log", Stream: func(yield func([]Cell) bool) { yield(nil); yield([]Cell{{}, {}}) }}}}
	sheet := parts(t, written(t, b))["xl/worksheets/sheet1.xml"]
	assert.Contains(t, sheet, `<dimension ref="A1">`)
	assert.Contains(t, sheet, `<sheetData></sheetData>`)
}

// Without a folder for files on the way, the reason is told.
func TestStreamNoFolder(t *testing.T) {
	t.Setenv("TMPDIR", filepath.Join(t.TempDir(), "none"))
	err := Write(io.Discard, longBook(1))
	assert.ErrorIs(t, err, os.ErrNotExist)
	assert.ErrorContains(t, err, "The rows need a file on disk while they are written")
}

// BenchmarkStream tells how much memory is in use at the end of the stream: it must not grow with the rows.
func BenchmarkStream(b *testing.B) {
	for _, rows := range []int{30_000, 300_000} {
		b.Run(map[int]string{30_000: "30000", 300_000: "300000"}[rows], func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				book := longBook(rows)
				stream := book.Sheets[0].Stream
				most := uint64(0)
				book.Sheets[0].Stream = func(yield func([]Cell) bool) {
					n := 0
					stream(func(row []Cell) bool {
						if n++; n%10_000 == 0 {
							most = max(most, inUse())
						}
						return yield(row)
					})
				}
				if err := Write(io.Discard, book); err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(most)/1e6, "MB-held")
			}
			b.ReportMetric(float64(rows)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
	}
}

func inUse() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
