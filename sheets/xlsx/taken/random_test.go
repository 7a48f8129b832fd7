package taken_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/sheets/xlsx/read"
	"castwright/sheets/xlsx/taken"
)

// drawn is an arithmetic formula over B1 to B4, with its value worked out here by the rules of ISO/IEC 29500-1,
// 18.17.2.2: a sign binds tighter than ^, and operators of one rank go from left to right. Every operation stands in
// the rank that its place asks, so that brackets are drawn only where they are needed or by chance.
type drawn struct {
	text  string
	value float64
	rank  int // 1 sum, 2 product, 3 power, 4 sign and tighter
}

var cellValues = []float64{620, 430, 0.08, 12.5}

func draw(t *rapid.T, depth int) drawn {
	kind := rapid.IntRange(0, 9).Draw(t, "kind")
	if depth <= 0 || kind < 2 {
		if rapid.Bool().Draw(t, "cell") {
			i := rapid.IntRange(0, 3).Draw(t, "which")
			return drawn{fmt.Sprintf("B%d", i+1), cellValues[i], 4}
		}
		x := float64(rapid.IntRange(0, 40).Draw(t, "number")) / 4
		return drawn{strconv.FormatFloat(x, 'f', -1, 64), x, 4}
	}
	a, b := draw(t, depth-1), draw(t, depth-1)
	in := func(d drawn, rank int) string {
		if d.rank < rank || rapid.IntRange(0, 9).Draw(t, "bracket") == 0 {
			return "(" + d.text + ")"
		}
		return d.text
	}
	switch kind {
	case 2, 3:
		return drawn{in(a, 1) + "+" + in(b, 2), a.value + b.value, 1}
	case 4:
		return drawn{in(a, 1) + "-" + in(b, 2), a.value - b.value, 1}
	case 5, 6:
		return drawn{in(a, 2) + "*" + in(b, 3), a.value * b.value, 2}
	case 7:
		if math.Abs(b.value) < 1e-6 {
			return a
		}
		return drawn{in(a, 2) + "/" + in(b, 3), a.value / b.value, 2}
	case 8:
		n := rapid.IntRange(1, 3).Draw(t, "power")
		return drawn{in(a, 3) + "^" + strconv.Itoa(n), math.Pow(a.value, float64(n)), 3}
	}
	return drawn{"-" + in(a, 4), -a.value, 4}
}

// What a random arithmetic formula becomes computes to the same value, with units on its cells and without.
func TestRandomFormulasAgree(t *testing.T) {
	c := newChecker(t)
	rapid.Check(t, func(t *rapid.T) {
		labels := []string{"a", "b", "c", "d"}
		units := rapid.SampledFrom([][]string{{"", "", "", ""}, {" (mm)", " (mm)", "", " (kg)"}, {" (m)", " (in)", " (%)", " (EUR/kg)"}, {" (degC)", " (d)", "", " (s)"}}).Draw(t, "units")
		var rows [][]any
		for i, l := range labels {
			rows = append(rows, row(l+units[i], cellValues[i]))
		}
		for range rapid.IntRange(1, 6).Draw(t, "formulas") {
			d := draw(t, 4)
			if math.IsNaN(d.value) || math.IsInf(d.value, 0) || math.Abs(d.value) > 1e12 || d.value != 0 && math.Abs(d.value) < 1e-3 {
				continue
			}
			label := rapid.SampledFrom([]string{"r", "r (mm)", "r (kg)", "r (m^2)"}).Draw(t, "label")
			rows = append(rows, row(label, f{d.text, d.value, ""}))
		}
		r, err := taken.Take(&read.Workbook{Sheets: []*read.Sheet{worksheet("S", rows...)}}, c)
		require.NoError(t, err)
		for _, d := range r.Differences { // what cancels may differ, since workbooks do not say how they add
			was, _ := strconv.ParseFloat(d.Was, 64)
			is, err := strconv.ParseFloat(d.Is, 64)
			assert.NoError(t, err, "%s\n%s", d.Formula, text(r))
			assert.InDelta(t, was, is, 1e-6*math.Max(1, math.Abs(was)), "%s\n%s", d.Formula, text(r))
		}
		assert.Empty(t, r.Left, text(r))
	})
}

// A workbook of any cells becomes sheets that open without a mistake.
func TestRandomWorkbooksOpen(t *testing.T) {
	c := newChecker(t)
	texts := []string{"Height (mm)", "Total", "mm", "kg", "a {b} \"c\" # d", "Cement", "Sand", "if", "table", "Länge [m]", "x\ny", "1 2", "Price (EUR)", "end", "-", "pi"}
	some := []string{"B2", "A1+B1", "SUM(A1:C9)", "SUM(B:B)", "B2*C2", "IF(A2>1,B2,C2)", "VLOOKUP(A2,$A$1:$C$9,2,FALSE)", "B1", "A1&B2", "Other!B2*2", "C1/0", "SUMIF(A1:A9,A2,B1:B9)", "ROUND(B2,1)", "NOW()", "X9", "(((", "{1,2}", "B2%"}
	rapid.Check(t, func(t *rapid.T) {
		var ws []*read.Sheet
		for _, name := range []string{"Main", "Other"}[:rapid.IntRange(1, 2).Draw(t, "sheets")] {
			var rows [][]any
			for range rapid.IntRange(1, 8).Draw(t, "rows") {
				var cells []any
				for range rapid.IntRange(0, 5).Draw(t, "cells") {
					cells = append(cells, cell(t, texts, some))
				}
				rows = append(rows, cells)
			}
			ws = append(ws, worksheet(name, rows...))
		}
		r, err := taken.Take(&read.Workbook{Sheets: ws}, c)
		if err != nil {
			return
		}
		sound(t, c, r)
	})
}

func cell(t *rapid.T, texts, formulas []string) any {
	number := float64(rapid.IntRange(-3, 40).Draw(t, "number")) / 2
	switch rapid.IntRange(0, 8).Draw(t, "cell") {
	case 0:
		return nil
	case 1, 2, 3:
		return rapid.SampledFrom(texts).Draw(t, "text")
	case 4, 5:
		return number
	case 6:
		return n{number, rapid.SampledFrom([]string{"0%", "d.m.yy", "0.00 [$EUR]", `0" kg"`, "h:mm"}).Draw(t, "format")}
	case 7:
		return number > 3
	}
	value := rapid.SampledFrom([]any{number, "text", true, nil, "#DIV/0!"}).Draw(t, "value")
	return f{rapid.SampledFrom(formulas).Draw(t, "formula"), value, ""}
}
