package shapes

import (
	"fmt"
	"math"
	"testing"

	"castwright/lang/value"
)

func star(n int, r float64) *Outline {
	var ps []value.Place
	for i := range 2 * n {
		s, c := math.Sincos(math.Pi * float64(i) / float64(n))
		k := 1.0
		if i%2 == 1 {
			k = 0.6
		}
		ps = append(ps, pt(k*c, k*s))
	}
	return must(Grow(must(Polygon(ps)), r, Round))
}

func BenchmarkNoFit(b *testing.B) {
	sector := must(Grow(must(Sector(0.62, 1.05, math.Pi/5)), 0.003, Round))
	rect := must(Grow(must(Rectangle(0.4, 0.25, 0.03)), 0.003, Round))
	for _, c := range []struct {
		name string
		a, b *Outline
	}{
		{"rect-rect", rect, rect},
		{"sector-rect", sector, rect},
		{"sector-sector", sector, sector},
		{"star5", star(5, 0.01), star(5, 0.02)},
		{"star10", star(10, 0.01), star(10, 0.02)},
		{"star20", star(20, 0.01), star(20, 0.02)},
		{"star40", star(40, 0.01), star(40, 0.02)},
		{"star40 rect", star(40, 0.01), rect},
	} {
		n := 0
		for _, o := range []*Outline{c.a, c.b} {
			for _, l := range o.loops {
				n += len(l)
			}
		}
		v := &convolver{}
		v.convolve(outerLoop(c.a), negative(outerLoop(c.b)))
		b.Run(fmt.Sprintf("%s/%d edges/%d strands", c.name, n, len(v.edges)), func(b *testing.B) {
			for b.Loop() {
				if _, _, err := NoFit(c.a, c.b, 1e10); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
