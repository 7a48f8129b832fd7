package svg

import "math"

// form says what sort of line a segment is.
type form uint8

const (
	straight form = iota
	bezier        // cubic; a quadratic one is raised to it, which changes nothing
	elliptic
)

// segment is a piece of a path.
type segment struct {
	form     form
	from, to point
	c1, c2   point // control points of a Bézier

	// An elliptic arc is centre + u cos t + v sin t, for t from t0 to t1.
	centre, u, v point
	t0, t1       float64
}

// subpath is a piece of a path without a gap.
type subpath struct {
	segments []segment
	closed   bool
}

func (s *subpath) line(from, to point) {
	s.segments = append(s.segments, segment{form: straight, from: from, to: to})
}

func (s *subpath) cubic(from, c1, c2, to point) {
	s.segments = append(s.segments, segment{form: bezier, from: from, c1: c1, c2: c2, to: to})
}

// quadratic raises a quadratic Bézier to a cubic one.
func (s *subpath) quadratic(from, c, to point) {
	s.cubic(from, from+times(c-from, 2.0/3), to+times(c-to, 2.0/3), to)
}

// ellipse adds the arc of an ellipse with half axes along x and y, from angle t0 to t1, between its ends as they are known.
func (s *subpath) ellipse(centre point, rx, ry, t0, t1 float64, from, to point) {
	s.segments = append(s.segments, segment{form: elliptic, from: from, to: to, centre: centre, u: complex(rx, 0), v: complex(0, ry), t0: t0, t1: t1})
}

// flatArc is the square of half the chord, in radii, below which an arc is drawn as its chord: it rises by less than a part
// in 10^8 of that.
const flatArc = 1e-16

// arc adds the elliptic arc of a path command, as SVG 1.1, F.6.5 and F.6.6 work it out: half axes that are too short for
// the ends are made longer, and without a half axis the arc is a straight line.
func (s *subpath) arc(from point, rx, ry, degrees float64, large, sweep bool, to point) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if from == to {
		return
	}
	if rx == 0 || ry == 0 {
		s.line(from, to)
		return
	}
	axis := turned(degrees)
	half := (from - to) / 2 / axis                       // in the axes of the ellipse
	unit := complex(real(half)/rx, imag(half)/ry)        // where it is a circle of radius 1
	far := real(unit)*real(unit) + imag(unit)*imag(unit) // the half chord, squared
	if far > 1 {
		k := math.Sqrt(far)
		rx, ry, unit, far = rx*k, ry*k, times(unit, 1/k), 1
	}
	if far < flatArc && !large {
		s.line(from, to)
		return
	}
	across := math.Sqrt(math.Max(0, 1/far-1)) // from the middle of the chord to the centre, in half chords
	if large == sweep {
		across = -across
	}
	c := unit * complex(0, -across)
	t0, t1 := angle(unit-c), angle(-unit-c)
	switch {
	case sweep && t1 <= t0:
		t1 += 2 * math.Pi
	case !sweep && t1 >= t0:
		t1 -= 2 * math.Pi
	}
	centre := (from+to)/2 + complex(real(c)*rx, imag(c)*ry)*axis
	s.segments = append(s.segments, segment{form: elliptic, from: from, to: to, centre: centre, u: times(axis, rx), v: times(axis*1i, ry), t0: t0, t1: t1})
}

func angle(p point) float64 { return math.Atan2(imag(p), real(p)) }

// mapped is the segment with every point carried by a matrix.
func (s segment) mapped(m matrix) segment {
	s.from, s.to, s.c1, s.c2, s.centre = m.point(s.from), m.point(s.to), m.point(s.c1), m.point(s.c2), m.point(s.centre)
	s.u, s.v = m.vector(s.u), m.vector(s.v)
	return s
}

// ending is the segment turned and stretched about its start so that it ends at a point near its end.
func (s segment) ending(to point) segment {
	k := (to - s.from) / (s.to - s.from)
	near := func(p point) point { return s.from + (p-s.from)*k }
	s.c1, s.c2, s.centre, s.u, s.v, s.to = near(s.c1), near(s.c2), near(s.centre), s.u*k, s.v*k, to
	return s
}

// isCircular tells whether an elliptic arc is one of a circle, but for rounding.
func (s *segment) isCircular() bool {
	a, b := size(s.u), size(s.v)
	return math.Abs(a-b) <= 1e-11*a && math.Abs(dot(s.u, s.v)) <= 1e-11*a*b
}

// turn is the angle in radians by which a circular arc turns, to the left where it is positive.
func (s *segment) turn() float64 {
	if cross(s.u, s.v) < 0 {
		return s.t0 - s.t1
	}
	return s.t1 - s.t0
}

// area is twice the area that a segment adds to that of its path about an origin, by Green's theorem, exactly.
func (s *segment) area(origin point) float64 {
	p, q := s.from-origin, s.to-origin
	switch s.form {
	case bezier:
		a, b := s.c1-origin, s.c2-origin
		return (6*cross(p, a) + 3*cross(p, b) + cross(p, q) + 3*cross(a, b) + 3*cross(a, q) + 6*cross(b, q)) / 10
	case elliptic:
		d := s.t1 - s.t0
		return cross(p, q) + cross(s.u, s.v)*(d-math.Sin(d))
	}
	return cross(p, q)
}

// reach is the length of a way along the segment that is no shorter than the segment itself.
func (s *segment) reach() float64 {
	switch s.form {
	case bezier:
		return size(s.c1-s.from) + size(s.c2-s.c1) + size(s.to-s.c2)
	case elliptic:
		return math.Abs(s.t1-s.t0) * (size(s.u) + size(s.v))
	}
	return size(s.to - s.from)
}
