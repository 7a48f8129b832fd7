package shapes

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"castwright/lang/value"
)

// scattered gives discs over a square, each of which meets about six others.
func scattered(n int) []*Outline {
	r := rand.New(rand.NewPCG(1, 2))
	side := math.Sqrt(float64(n))
	out := make([]*Outline, n)
	for i := range out {
		out[i] = must(Move(must(Circle(0.4+0.5*r.Float64())), side*r.Float64(), side*r.Float64()))
	}
	return out
}

// jagged is a polygon of n points round a wavy circle.
func jagged(n int) *Outline {
	r := rand.New(rand.NewPCG(3, 4))
	points := make([]value.Place, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := 1 + 0.1*math.Sin(40*math.Pi*float64(i)/float64(n)) + 2/float64(n)*r.Float64()
		points[i] = pt(d*cos, d*sin)
	}
	return newOutline([][]Edge{closed(points)})
}

func BenchmarkJoinDiscs(b *testing.B) {
	for _, n := range []int{250, 1000, 4000, 16000} {
		all := scattered(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				must(Join(all...))
			}
		})
	}
}

func BenchmarkShrinkJagged(b *testing.B) {
	for _, n := range []int{1250, 5000, 20000} {
		o := jagged(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				must(Shrink(o, 0.004, Round))
			}
		})
	}
}

func BenchmarkCutJagged(b *testing.B) {
	for _, n := range []int{1250, 5000, 20000} {
		o, p := jagged(n), must(Turn(must(Move(jagged(n), 0.3, 0.2)), 1, value.Place{}))
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				must(Cut(o, p))
			}
		})
	}
}

func BenchmarkNarrowest(b *testing.B) {
	o := jagged(5000)
	for b.Loop() {
		if _, err := o.Narrowest(); err != nil {
			b.Fatal(err)
		}
	}
}
