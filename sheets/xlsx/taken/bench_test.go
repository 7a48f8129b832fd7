package taken_test

import (
	"fmt"
	"testing"

	"castwright/sheets/xlsx/read"
	"castwright/sheets/xlsx/taken"
)

// A log of 50,000 rows with two columns filled down, and 5,000 single formulas that rest on one another.
func BenchmarkTake(b *testing.B) {
	c := newChecker(b)
	rows := [][]any{row("Kind", "Pieces", "Mass (kg)", "Total")}
	for i := range 50_000 {
		r := i + 2
		rows = append(rows, row("seat", i%7, f{fmt.Sprintf("B%d*95", r), float64(i % 7 * 95), ""}, f{fmt.Sprintf("C%d*2", r), float64(i % 7 * 190), ""}))
	}
	single := [][]any{row("Start", 1)}
	for i := range 5_000 {
		single = append(single, row("Next", f{fmt.Sprintf("B%d+1", i+1), i + 2, ""}))
	}
	single = append(single, row("All", f{"SUM(Log!C:C)", 14249715, ""}))
	w := &read.Workbook{Sheets: []*read.Sheet{worksheet("Log", rows...), worksheet("Single", single...)}}
	for b.Loop() {
		r, err := taken.Take(w, c)
		if err != nil {
			b.Fatal(err)
		}
		if len(r.Left)+len(r.Differences) > 0 {
			b.Fatal(r.Left, r.Differences)
		}
	}
}
