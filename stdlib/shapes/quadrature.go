package shapes

import (
	"errors"
	"math"
)

// gaussOrder points integrate polynomials up to degree 2·gaussOrder − 1 without error.
const gaussOrder = 20

// gaussNode and gaussWeight belong to Gauss–Legendre quadrature on −1 … 1: the nodes are the roots of the Legendre
// polynomial, found by Newton's method from the usual cosine estimate (Abramowitz and Stegun, 25.4.29).
var gaussNode, gaussWeight = gaussRule(gaussOrder)

func gaussRule(n int) (node, weight []float64) {
	for i := range n {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		slope := 0.0
		for range 100 {
			p, q := 1.0, 0.0
			for k := 1; k <= n; k++ {
				p, q = (float64(2*k-1)*x*p-float64(k-1)*q)/float64(k), p
			}
			slope = float64(n) * (x*p - q) / (x*x - 1)
			step := p / slope
			x -= step
			if math.Abs(step) < 1e-16 {
				break
			}
		}
		node = append(node, x)
		weight = append(weight, 2/((1-x*x)*slope*slope))
	}
	return node, weight
}

// agreed is the difference, as a share, at which the rule over a range and over its halves are taken to agree; the
// halves are then better by far. It stands above the rounding errors of the sums.
const agreed = 1e-13

// sums are integrals taken together over the same points.
type sums [5]float64

// mostRanges bounds the work of one integral, whatever the function; narrow is the share of it at which a range is so
// narrow that a jump within adds nothing.
const (
	mostRanges = 2000
	narrow     = 1e-13
)

// doubtful is the share by which an integral may be off for all that is known, from which on it is refused.
const doubtful = 1e-11

// integral is one piece of work: scale is what rounding errors are measured by, ranges counts the halvings, and missed
// adds up by how much the rule did not agree where it was left at that.
type integral struct {
	f      func(x float64) sums
	scale  sums
	least  float64
	ranges int
	missed sums
}

var errNoEnd = errors.New("The sides of the solid change too often with height to be worked out exactly. Simplify its outlines.")

// integrate integrates f from a to b. It halves the range where the rule over the whole and over its halves differ:
// towards a point where an outline shrinks to nothing with a square root, or where one begins to cross another. scale
// bounds the integrals from above, so that sums which are 0 by symmetry are not chased down to their rounding errors.
func integrate(a, b float64, scale sums, f func(x float64) sums) (sums, error) {
	w := &integral{f: f, scale: scale, least: narrow * math.Abs(b-a)}
	out := w.halved(a, b, w.gauss(a, b))
	for i, x := range w.missed {
		if x > doubtful*scale[i] {
			return out, errNoEnd
		}
	}
	return out, nil
}

func (w *integral) halved(a, b float64, whole sums) sums {
	m := (a + b) / 2
	left, right := w.gauss(a, m), w.gauss(m, b)
	w.ranges++
	var off sums
	agree := true
	for i := range whole {
		off[i] = math.Abs(left[i] + right[i] - whole[i])
		agree = agree && off[i] <= agreed*w.scale[i]
	}
	switch {
	case agree:
	case w.ranges < mostRanges && math.Abs(b-a) > w.least:
		left, right = w.halved(a, m, left), w.halved(m, b, right)
	default:
		for i := range off {
			w.missed[i] += off[i]
		}
	}
	for i := range left {
		left[i] += right[i]
	}
	return left
}

// gauss applies the rule once.
func (w *integral) gauss(a, b float64) sums {
	var out sums
	half, mid := (b-a)/2, (a+b)/2
	for i, x := range gaussNode {
		y := w.f(mid + half*x)
		for j := range y {
			out[j] += gaussWeight[i] * half * y[j]
		}
	}
	return out
}
