package sheets_test

import (
	"fmt"
	"strings"
	"testing"

	"castwright/sheets"
)

// BenchmarkOpenJob opens a job of 50 sheets with 2,000 cells each, of which every tenth looks into the sheet before.
func BenchmarkOpenJob(b *testing.B) {
	const count, cells = 50, 2000
	folder := b.TempDir()
	files := map[string]string{}
	for i := range count {
		var text strings.Builder
		text.WriteString("x0 = 3 mm\n")
		for k := 1; k < cells; k++ {
			if i > 0 && k%10 == 0 {
				fmt.Fprintf(&text, "x%d = s%d.x%d * 0.5 + x%d\n", k, i-1, k, k-1)
				continue
			}
			fmt.Fprintf(&text, "x%d = x%d * 0.9 + %d mm  # note\n", k, k-1, k%7)
		}
		files[fmt.Sprintf("s%d.sheet", i)] = text.String()
	}
	write(b, folder, files)
	c := newChecker(b)
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		j, err := sheets.Open(folder, c)
		if err != nil || len(j.Checked.Sheet("s49").Messages()) > 0 {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(count*cells*b.N)/b.Elapsed().Seconds(), "cells/s")
}

// BenchmarkOpenParts opens a sheet that takes another of 1,000 cells as a part fifty times.
func BenchmarkOpenParts(b *testing.B) {
	const count, cells = 50, 1000
	folder := b.TempDir()
	var bench, leg strings.Builder
	for i := range count {
		fmt.Fprintf(&bench, "part p%d from \"sub/leg.sheet\" (x0: %d mm)\n", i, i+1)
	}
	leg.WriteString("x0 = 3 mm\n")
	for k := 1; k < cells; k++ {
		fmt.Fprintf(&leg, "x%d = x%d * 0.9 + %d mm\n", k, k-1, k%7)
	}
	write(b, folder, map[string]string{"bench.sheet": bench.String(), "sub/leg.sheet": leg.String()})
	c := newChecker(b)
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		j, err := sheets.Open(folder, c)
		if err != nil || len(j.Checked.Sheet("bench").Messages()) > 0 {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(count*cells*b.N)/b.Elapsed().Seconds(), "cells/s")
}
