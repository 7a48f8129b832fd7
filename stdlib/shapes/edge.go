package shapes

import (
	"math"

	"castwright/lang/value"
)

// Edge is one straight line or circular arc of an outline. The outline's inside lies to the left of the way from From
// to To. An arc turns by at most half a turn; longer arcs are made of two edges.
type Edge struct {
	From, To value.Place // metres
	Centre   value.Place // of an arc, metres
	Radius   float64     // of an arc, metres; 0 for a line
	Sweep    float64     // of an arc, rad: positive turning left, negative turning right, at most pi in size
}

// IsArc tells an arc from a line.
func (e Edge) IsArc() bool { return e.Sweep != 0 }

// Length is the length of the edge in metres.
func (e Edge) Length() float64 {
	if e.IsArc() {
		return e.Radius * math.Abs(e.Sweep)
	}
	return apart(e.From, e.To)
}

// bulge is the unit vector from the middle of an arc's chord towards the middle of the arc. It is taken from the
// chord, which keeps its digits where the centre is far away.
func (e Edge) bulge() value.Place {
	right := times(leftOf(unit(sub(e.To, e.From))), -1)
	if e.Sweep < 0 {
		return times(right, -1)
	}
	return right
}

// At is the point at a share of the length, 0 at From and 1 at To.
func (e Edge) At(share float64) value.Place {
	if !e.IsArc() {
		return along(e.From, sub(e.To, e.From), share)
	}
	return add(e.Centre, rotated(sub(e.From, e.Centre), e.Sweep*share))
}

func rotated(v value.Place, angle float64) value.Place {
	sin, cos := math.Sincos(angle)
	return value.Place{X: v.X*cos - v.Y*sin, Y: v.X*sin + v.Y*cos}
}

// heading is the unit vector of travel at a share of the length.
func (e Edge) heading(share float64) value.Place {
	if !e.IsArc() {
		return unit(sub(e.To, e.From))
	}
	return e.headingAt(e.At(share))
}

// headingAt is the unit vector of travel at a point of the edge or of its line or circle drawn on.
func (e Edge) headingAt(p value.Place) value.Place {
	if !e.IsArc() {
		return unit(sub(e.To, e.From))
	}
	tangent := leftOf(unit(sub(p, e.Centre)))
	if e.Sweep < 0 {
		return times(tangent, -1)
	}
	return tangent
}

// faces tells whether the direction from the centre to p falls on the arc.
func (e Edge) faces(p value.Place) bool {
	v, a, b := sub(p, e.Centre), sub(e.From, e.Centre), sub(e.To, e.Centre)
	if e.Sweep < 0 {
		a, b = b, a
	}
	if math.Abs(e.Sweep) == math.Pi {
		return cross(a, v) >= 0
	}
	return cross(a, v) >= 0 && cross(v, b) >= 0
}

// distance is the distance from p to the nearest point of the edge.
func (e Edge) distance(p value.Place) float64 {
	if e.IsArc() {
		if e.faces(p) {
			return math.Abs(apart(p, e.Centre) - e.Radius)
		}
		return math.Min(apart(p, e.From), apart(p, e.To))
	}
	d := sub(e.To, e.From)
	share := dot(sub(p, e.From), d) / dot(d, d)
	return apart(p, along(e.From, d, math.Min(math.Max(share, 0), 1)))
}

// bounds is the exact box round the edge.
func (e Edge) bounds() Bounds {
	b := Bounds{
		Left: math.Min(e.From.X, e.To.X), Right: math.Max(e.From.X, e.To.X),
		Bottom: math.Min(e.From.Y, e.To.Y), Top: math.Max(e.From.Y, e.To.Y),
	}
	if !e.IsArc() {
		return b
	}
	c, r := e.Centre, e.Radius
	for _, p := range []value.Place{{X: c.X - r, Y: c.Y}, {X: c.X + r, Y: c.Y}, {X: c.X, Y: c.Y - r}, {X: c.X, Y: c.Y + r}} {
		if e.faces(p) {
			b = b.with(Bounds{p.X, p.X, p.Y, p.Y})
		}
	}
	return b
}

// back is the edge travelled the other way.
func (e Edge) back() Edge {
	e.From, e.To, e.Sweep = e.To, e.From, -e.Sweep
	return e
}

func line(from, to value.Place) Edge { return Edge{From: from, To: to} }

// Bounds is a box with sides along the axes, in metres.
type Bounds struct{ Left, Right, Bottom, Top float64 }

// Width is the size of the box along x.
func (b Bounds) Width() float64 { return b.Right - b.Left }

// Depth is the size of the box along y.
func (b Bounds) Depth() float64 { return b.Top - b.Bottom }

func (b Bounds) with(c Bounds) Bounds {
	return Bounds{math.Min(b.Left, c.Left), math.Max(b.Right, c.Right), math.Min(b.Bottom, c.Bottom), math.Max(b.Top, c.Top)}
}

// near tells whether two boxes come within a gap of each other.
func (b Bounds) near(c Bounds, gap float64) bool {
	return b.Left <= c.Right+gap && c.Left <= b.Right+gap && b.Bottom <= c.Top+gap && c.Bottom <= b.Top+gap
}

// reach is the greatest size of any coordinate or side: what rounding errors are measured by.
func (b Bounds) reach() float64 {
	return math.Max(math.Max(math.Abs(b.Left), math.Abs(b.Right)), math.Max(math.Abs(b.Bottom), math.Abs(b.Top)))
}

// share is where on the edge a point of it lies, from 0 at From to 1 at To.
func (e Edge) share(p value.Place) float64 {
	var s float64
	if e.IsArc() {
		s = angleFrom(sub(e.From, e.Centre), sub(p, e.Centre)) / e.Sweep
		if s < -1e-6 {
			// The far end of half a turn may come out as half a turn the other way.
			s += 2 * math.Pi / math.Abs(e.Sweep)
		}
	} else {
		d := sub(e.To, e.From)
		s = dot(sub(p, e.From), d) / dot(d, d)
	}
	return math.Min(math.Max(s, 0), 1)
}
