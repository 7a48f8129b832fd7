package svg

import (
	"errors"
	"math"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// least is the length in metres below which two points of an outline are one.
const least = 1e-9

var errEdges = errors.New("too many edges")

// fitter turns the segments of a loop into lines and circular arcs.
type fitter struct {
	tolerance float64 // metres
	room      int     // how many edges there may still be
	edges     []shapes.Edge
	curves    int // how many were not circular
	arcs      int // what they became
}

func placeOf(p point) value.Place { return value.Place{X: real(p), Y: imag(p)} }

func (f *fitter) segment(s segment) error {
	before := len(f.edges)
	switch {
	case s.form == straight || s.isStraight():
		f.edges = append(f.edges, shapes.Line(placeOf(s.from), placeOf(s.to)))
	case s.form == elliptic && s.isCircular():
		f.edges = append(f.edges, shapes.Arc(placeOf(s.centre), placeOf(s.from), placeOf(s.to), s.turn())...)
	default:
		f.curves++
		err := f.curve(s)
		f.arcs += len(f.edges) - before
		return err
	}
	if len(f.edges) > f.room {
		return errEdges
	}
	return nil
}

// isStraight tells whether a Bézier is the straight line between its ends.
func (s *segment) isStraight() bool {
	chord := s.to - s.from
	within := func(p point) bool {
		p -= s.from
		along := dot(p, chord)
		return math.Abs(cross(p, chord)) <= 1e-12*dot(chord, chord) && along >= 0 && along <= dot(chord, chord)
	}
	return s.form == bezier && s.from != s.to && within(s.c1) && within(s.c2)
}

// curve turns a Bézier, or an elliptic arc as Béziers, into arcs.
func (f *fitter) curve(s segment) error {
	if s.form == bezier {
		return f.fit(cubic{s.from, s.c1, s.c2, s.to}, f.tolerance)
	}
	list, off := s.cubics(f.tolerance / 100)
	for _, c := range list {
		if err := f.fit(c, f.tolerance-off); err != nil {
			return err
		}
	}
	return nil
}

// cubics gives an elliptic arc as cubic Béziers that lie within a distance off of it. An arc of a unit circle that turns by a
// is off by at most 2/27 sin⁶(a/4) / cos²(a/4) (the closed form of its greatest radius, where its ends, their tangents and its
// middle lie on the circle), and the ellipse is that circle stretched by its larger half axis at most.
func (s *segment) cubics(within float64) (out []cubic, off float64) {
	half := math.Hypot(size(s.u), size(s.v)) // no less than the larger half axis
	n := math.Ceil(math.Abs(s.t1-s.t0) / (math.Pi / 2))
	a := 0.0
	for ; ; n *= 2 {
		a = (s.t1 - s.t0) / n
		sin, cos := math.Sincos(a / 4)
		if off = half * 2 / 27 * math.Pow(sin, 6) / (cos * cos); off <= within || n > 1<<16 {
			break
		}
	}
	at := func(t float64) (p, d point) {
		sin, cos := math.Sincos(t)
		return s.centre + times(s.u, cos) + times(s.v, sin), times(s.v, cos) - times(s.u, sin)
	}
	k := 4.0 / 3 * math.Tan(a/4)
	p := s.from
	_, d := at(s.t0)
	for i := 1.0; i <= n; i++ {
		q, e := at(s.t0 + a*i)
		if i == n {
			q = s.to
		}
		out = append(out, cubic{p, p + times(d, k), q - times(e, k), q})
		p, d = q, e
	}
	return out, off
}

// cubic is a Bézier by its control points.
type cubic [4]point

// halves cuts a Bézier in two at a share of its parameter.
func (c cubic) halves(t float64) (a, b cubic) {
	mid := func(p, q point) point { return p + times(q-p, t) }
	p, q, r := mid(c[0], c[1]), mid(c[1], c[2]), mid(c[2], c[3])
	u, v := mid(p, q), mid(q, r)
	m := mid(u, v)
	return cubic{c[0], p, u, m}, cubic{m, v, r, c[3]}
}

func (c cubic) at(t float64) point { a, _ := c.halves(t); return a[3] }

// ends gives the directions of travel at both ends.
func (c cubic) ends() (start, end point) {
	tiny := 1e-12 * (size(c[1]-c[0]) + size(c[2]-c[1]) + size(c[3]-c[2]))
	for _, p := range []point{c[1], c[2], c[3]} {
		if size(p-c[0]) > tiny {
			start = unit(p - c[0])
			break
		}
	}
	for _, p := range []point{c[2], c[1], c[0]} {
		if size(c[3]-p) > tiny {
			end = unit(c[3] - p)
			break
		}
	}
	return start, end
}

// isShort tells whether a Bézier stays within a distance of its start.
func (c cubic) isShort(distance float64) bool {
	return size(c[1]-c[0]) <= distance && size(c[2]-c[0]) <= distance && size(c[3]-c[0]) <= distance
}

// forward tells whether each leg of the control points runs within 60° of the chord, so that the curve goes steadily along it.
func (c cubic) forward() bool {
	chord := c[3] - c[0]
	for i := range 3 {
		if leg := c[i+1] - c[i]; dot(leg, chord) < 0.5*size(leg)*size(chord) {
			return false
		}
	}
	return size(chord) > 0
}

// fit adds arcs that stay within a distance of a Bézier and leave it in its own directions: a biarc where one does, else those
// of its halves.
func (f *fitter) fit(c cubic, within float64) error {
	stack := []cubic{c}
	for len(stack) > 0 {
		c := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if c.isShort(within / 4) {
			f.edges = append(f.edges, shapes.Line(placeOf(c[0]), placeOf(c[3])))
		} else if arcs, ok := c.biarc(within); ok {
			f.edges = append(f.edges, arcs...)
		} else {
			a, b := c.halves(0.5)
			stack = append(stack, b, a)
		}
		if len(f.edges)+len(stack) > f.room {
			return errEdges
		}
	}
	return nil
}
