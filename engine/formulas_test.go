package engine_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/stdlib"
)

func horner() string {
	s := "20"
	for i := 19; i >= 0; i-- {
		s = fmt.Sprintf("(%s * x + %d)", s, i)
	}
	return s
}

// BenchmarkFormula runs compiled formulas of the trade again and again, inputs as they are.
func BenchmarkFormula(b *testing.B) {
	cases := []struct{ name, sheet, line string }{
		{"bags", "volume = 0.5 m^3\nwaste = 8%\nyield_of = 0.017 m^3\n", "round_up(volume * (1 + waste) / yield_of)"},
		{"strength", "t = 7 d\na = 4 d\nb = 0.85\nf28 = 30 MPa\n", "t / (a + b * t) * f28"},
		{"expo", "t = 7 d\ns = 0.25\n", "exp(s * (1 - sqrt(28 d / t)))"},
		{"poly20", "x = 0.7\n", horner()},
		{"rule", "x = 3 m\n", "if x > 5 m then 2 else if x > 2 m then 3 else 4"},
		{"library rule", "t = 7 d\nf28 = 30 MPa\n", "strength_at(t, f28)"},
	}
	c, ms := check.New(stdlib.New())
	require.Empty(b, ms)
	for _, k := range cases {
		b.Run(k.name, func(b *testing.B) {
			j := sheets.Memory(c, check.Text{Name: "bench", Text: k.sheet + "out = " + k.line + "\n"})
			cell, _ := j.Sheets[0].Find("out")
			id := engine.ID(cell.ID)
			require.Equal(b, value.OK, j.Engine.State(id))
			require.True(b, j.Engine.RunWarm(id))
			b.ReportAllocs()
			b.ResetTimer()
			for range b.N {
				j.Engine.RunWarm(id)
			}
		})
	}
}
