package sheets_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/sheets"
)

// BenchmarkLoad reads, checks and computes a sheet of 100,000 cells.
func BenchmarkLoad100kCells(b *testing.B) {
	c := newChecker(b)
	text := many(100_000)
	b.ReportAllocs()
	for b.Loop() {
		sheets.Memory(c, check.Text{Name: "bench", Text: text})
	}
}

// literalEdits changes one literal among 100,000 cells forth and back.
func literalEdits(b *testing.B, j *sheets.Job) {
	at := strings.Index(j.Texts()["bench"], "3 mm")
	was, is := "3", "4"
	b.ReportAllocs()
	for b.Loop() {
		if _, err := j.Edit("size", sheets.Splice{Sheet: "bench", At: at, Was: was, Is: is}); err != nil {
			b.Fatal(err)
		}
		was, is = is, was
	}
}

// BenchmarkEditLiteralAmong100kCells edits a job that is nowhere on disk.
func BenchmarkEditLiteralAmong100kCells(b *testing.B) {
	literalEdits(b, sheets.Memory(newChecker(b), check.Text{Name: "bench", Text: many(100_000)}))
}

// BenchmarkEditLiteralWithJournal edits the same job on disk: each edit is synced before it is confirmed.
func BenchmarkEditLiteralWithJournal(b *testing.B) {
	folder := folderWith(b, map[string]string{"bench.sheet": many(100_000)})
	j := edited(b, folder)
	require.NoError(b, j.ReadOnly())
	literalEdits(b, j)
}
