package syntax_test

import (
	"strings"
	"testing"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// BenchmarkReadFormula reads one line as typed at the shell.
func BenchmarkReadFormula(b *testing.B) {
	for _, c := range []struct{ name, text string }{
		{"bags", "volume * (1 + waste) / bag_yield"},
		{"density", "piece.volume * 2350 kg/m^3 [0.1 kg]"},
		{"feet", "5' 3 1/2\" + 6 ft 2 3/8 in"},
		{"filter", "sum(pieces.mass where pieces.kind == \"seat\")"},
		{"poly20", "1 + x*(2" + strings.Repeat(" + x*(3", 18) + strings.Repeat(")", 19)},
	} {
		b.Run(c.name, func(b *testing.B) {
			src := &diag.Source{Name: "line 1", Text: c.text}
			if _, _, ms := syntax.ReadLine(src, isUnit); len(ms) > 0 {
				b.Fatal(ms[0].Draw())
			}
			b.ReportAllocs()
			for b.Loop() {
				syntax.ReadLine(src, isUnit)
			}
		})
	}
}

// BenchmarkReadSheet reads a sheet of a few hundred lines, and tells lines a second.
func BenchmarkReadSheet(b *testing.B) {
	text := strings.Repeat(sheet, 20)
	lines := float64(strings.Count(text, "\n"))
	if f := syntax.ReadFile("bench", text, isUnit); len(f.Messages) > 0 {
		b.Fatal(f.Messages[0].Draw())
	}
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		syntax.ReadFile("bench", text, isUnit)
	}
	b.ReportMetric(lines*float64(b.N)/b.Elapsed().Seconds(), "lines/s")
}
