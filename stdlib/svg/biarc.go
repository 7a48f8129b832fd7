package svg

import (
	"math"

	"castwright/stdlib/shapes"
)

// flattest is half the turn, in radians, below which an arc is a line: the centre of a flatter one, more than 10 000 chords
// away, could not be told exactly enough to find where the arc meets its neighbours. The line then leaves its neighbours at no
// more than this angle, and strays from the curve no farther than any arc may.
const flattest = 5e-5

// bow is a circular arc, or a line where it would be too flat, by its start and the vector to its centre.
type bow struct {
	from, to point
	heading  point // at its start, a unit vector, as an arc's
	centre   point // from its start; unused in a line
	line     bool
}

// bowTo is the arc that leaves a point in a direction and ends at another.
func bowTo(from, heading, to point) bow {
	b := bow{from: from, to: to, heading: heading}
	chord := to - from
	height := cross(heading, chord)
	if math.Abs(height) <= flattest*size(chord) {
		b.line = true
		return b
	}
	b.centre = times(heading*1i, dot(chord, chord)/(2*height))
	return b
}

// edge gives the arc as an edge of an outline.
func (b *bow) edge() shapes.Edge {
	if b.line {
		return shapes.Line(placeOf(b.from), placeOf(b.to))
	}
	chord := b.to - b.from
	sweep := 2 * math.Atan2(cross(b.heading, chord), dot(b.heading, chord))
	return shapes.Arc(placeOf(b.from+b.centre), placeOf(b.from), placeOf(b.to), sweep)[0]
}

// end is the direction of travel at the end of the arc.
func (b *bow) end() point {
	u := unit(b.to - b.from)
	return times(u, 2*dot(b.heading, u)) - b.heading
}

// binomials of third and sixth degree.
var (
	choose3 = [4]float64{1, 3, 3, 1}
	choose6 = [7]float64{1, 6, 15, 20, 15, 6, 1}
)

// strays bounds how far a Bézier that goes along an arc strays from its circle. The distance from the centre, squared, less
// the radius squared is a polynomial of sixth degree, which lies between its Bernstein coefficients; it is taken about the start
// of the arc, where it keeps its digits though the centre be far away.
func (b *bow) strays(c cubic) float64 {
	if b.line {
		u := unit(b.to - b.from)
		return math.Max(math.Abs(cross(u, c[1]-b.from)), math.Max(math.Abs(cross(u, c[2]-b.from)), math.Abs(cross(u, c[3]-b.from))))
	}
	var sum [7]float64
	for i, p := range c {
		p -= b.from
		for k, q := range c {
			sum[i+k] += choose3[i] * choose3[k] * (dot(p, q-b.from) - 2*dot(p, b.centre))
		}
	}
	most := 0.0
	for k, x := range sum {
		most = math.Max(most, math.Abs(x)/choose6[k])
	}
	r := size(b.centre)
	return most / (r + math.Sqrt(math.Max(0, r*r-most)))
}

// biarc gives the two arcs that join smoothly and leave the ends of a Bézier in its directions, where they stay within a
// distance of it. Of all such pairs it is the one whose arcs have tangents of one length (K. M. Bolton, Computer-Aided Design
// 7 (1975) 89-92).
func (c cubic) biarc(within float64) ([]shapes.Edge, bool) {
	if !c.forward() {
		return nil, false
	}
	start, end := c.ends()
	chord := c[3] - c[0]
	along := dot(chord, start+end)
	square := dot(chord, chord)
	d := square / (along + math.Sqrt(along*along+2*(1-dot(start, end))*square))
	joint := (c[0] + c[3] + times(start-end, d)) / 2
	first := bowTo(c[0], start, joint)
	second := bowTo(joint, first.end(), c[3])
	t, ok := c.passes(joint, first.end())
	if !ok {
		return nil, false
	}
	a, b := c.halves(t)
	if strays(&first, a, within) > within || strays(&second, b, within) > within {
		return nil, false
	}
	return []shapes.Edge{first.edge(), second.edge()}, true
}

// strays bounds how far a Bézier strays from an arc, and looks at its quarters where the whole may be too far.
func strays(b *bow, c cubic, within float64) float64 {
	if most := b.strays(c); most <= within || most > 16*within {
		return most
	}
	a, e := c.halves(0.5)
	most := 0.0
	for _, h := range []cubic{a, e} {
		p, q := h.halves(0.5)
		most = math.Max(most, math.Max(b.strays(p), b.strays(q)))
	}
	return most
}

// passes gives where a Bézier crosses the line through a point across a direction: there the circles of both arcs lie side by
// side, so that each has its own part of the curve.
func (c cubic) passes(p, direction point) (float64, bool) {
	low, high := 0.0, 1.0
	if dot(c[0]-p, direction) >= 0 || dot(c[3]-p, direction) <= 0 {
		return 0, false
	}
	for range 60 {
		mid := (low + high) / 2
		if dot(c.at(mid)-p, direction) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return high, high > 0 && high < 1
}
