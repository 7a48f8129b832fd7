package read_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/read"
)

// long is a workbook of a sheet with six columns: a date, a text, two numbers, a formula, a truth.
func long(b *testing.B, rows int) []byte {
	b.Helper()
	s := &book.Sheet{Name: "Log"}
	s.Stream = func(yield func([]book.Cell) bool) {
		for i := range rows {
			n := float64(i)
			if !yield([]book.Cell{
				{Kind: book.Number, Number: 46447 + n/1440, Style: book.Style{Format: "yyyy-mm-dd hh:mm"}}, {Kind: book.Text, Text: fmt.Sprintf("bed %d", i%12)},
				{Kind: book.Number, Number: 20 + n/1000}, {Kind: book.Number, Number: n}, {Kind: book.Number, Number: 20 + n/1000 + n, Formula: fmt.Sprintf("C%d+D%[1]d", i+1)}, {Kind: book.Truth, Truth: i%3 > 0},
			}) {
				return
			}
		}
	}
	var out bytes.Buffer
	require.NoError(b, book.Write(&out, &book.Book{Sheets: []*book.Sheet{s}}))
	return out.Bytes()
}

// BenchmarkRead reads 100,000 rows of six cells.
func BenchmarkRead(b *testing.B) {
	data := long(b, 100_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := read.Read(bytes.NewReader(data), int64(len(data)), read.Limits{}); err != nil {
			b.Fatal(err)
		}
	}
}
