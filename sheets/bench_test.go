package sheets_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/engine"
	"castwright/lang/diag"
	"castwright/lang/program"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// formulas are small formulas of the trade; each is compared with plain Go before it is timed.
var formulas = []struct {
	name, sheet, line string
	want              float64
}{
	{"bags", "volume = 0.5 m^3\nwaste = 8%\nyield_of = 0.017 m^3\n", "round_up(volume * (1 + waste) / yield_of)", 32},
	{"strength", "t = 7 d\na = 4 d\nb = 0.85\nf28 = 30 MPa\n", "t / (a + b * t) * f28", 7 / (4 + 0.85*7) * 30e6},
	{"expo", "t = 7 d\ns = 0.25\n", "exp(s * (1 - sqrt(28 d / t)))", math.Exp(0.25 * (1 - 2))},
	{"poly20", "x = 0.7\n", horner(), polynomial(0.7)},
	{"rule", "x = 3 m\n", "if x > 5 m then 2 else if x > 2 m then 3 else 4", 3},
	{"library rule", "t = 7 d\nf28 = 30 MPa\n", "strength_at(t, f28)", 7 / (4 + 0.85*7) * 30e6},
}

func horner() string {
	s := "20"
	for i := 19; i >= 0; i-- {
		s = fmt.Sprintf("(%s * x + %d)", s, i)
	}
	return s
}

func polynomial(x float64) float64 {
	y := 20.0
	for i := 19; i >= 0; i-- {
		y = y*x + float64(i)
	}
	return y
}

func BenchmarkReadFormula(b *testing.B) {
	c := newChecker(b)
	s := c.Empty()
	for _, f := range formulas {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			src := &diag.Source{Text: f.line}
			for range b.N {
				if _, _, ms := syntax.ReadLine(src, s.IsUnit); len(ms) > 0 {
					b.Fatal(ms[0])
				}
			}
		})
	}
}

func BenchmarkReadAndCheckFormula(b *testing.B) {
	c := newChecker(b)
	for _, f := range formulas {
		s := c.Check("bench", f.sheet)
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			src := &diag.Source{Text: f.line}
			for range b.N {
				if _, ms := s.Line(src); len(ms) > 0 {
					b.Fatal(ms[0])
				}
			}
		})
	}
}

// BenchmarkRunFormula runs a formula again after its input has changed: the edit, the walk and the formula.
func BenchmarkRunFormula(b *testing.B) {
	c := newChecker(b)
	for _, f := range formulas {
		b.Run(f.name, func(b *testing.B) {
			s := compute(c, f.sheet+"out = "+f.line+"\n")
			require.Empty(b, s.Messages())
			require.InEpsilon(b, f.want, s.Job.Value(s.cell(b, "out")).Num[0], 1e-12)
			first := engine.ID(s.Cells()[0].ID)
			was := s.Job.Engine.Value(first).Num[0]
			b.ReportAllocs()
			b.ResetTimer()
			for n := range b.N {
				p := &program.Program{Regs: make([]program.Register, 1), Consts: []program.Const{{Reg: 0, Value: value.One(was * (1 + float64(n%2)*1e-9))}}}
				if _, err := s.Job.Engine.Apply(engine.Edit{Put: []engine.Put{{ID: first, Formula: engine.Formula{Program: p}}}}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkCheckSheet(b *testing.B) {
	c := newChecker(b)
	var text strings.Builder
	text.WriteString("x0 = 3 mm\n")
	const lines = 2000
	for i := 1; i < lines; i++ {
		fmt.Fprintf(&text, "x%d = x%d * 1.5 + %d mm  # note\n", i, i-1, i%7)
	}
	b.ReportAllocs()
	for range b.N {
		if s := c.Check("bench", text.String()); len(s.Messages()) > 0 {
			b.Fatal(s.Messages()[0])
		}
	}
	b.ReportMetric(float64(lines*b.N)/b.Elapsed().Seconds(), "lines/s")
}
