// Package shapes holds exact outlines and solids: closed loops of straight lines and circular arcs, and what is made
// by drawing them up. Areas, perimeters and moments are closed forms over the edges. All lengths are in metres, all
// angles in radians.
package shapes

import (
	"errors"
	"math"
	"slices"

	"castwright/lang/value"
)

// Outline is an immutable set of closed loops of edges. Outer loops run counter-clockwise, holes clockwise, so the
// material always lies to the left. An outline without loops is empty and has area 0.
type Outline struct {
	loops     [][]Edge
	bounds    Bounds
	middle    value.Place // the centroid, or the middle of the bounds where the area is 0
	about     moments     // about middle
	perimeter float64
	notes     []string
}

var (
	_ value.Comparable = (*Outline)(nil)
	_ value.Noted      = (*Outline)(nil)
)

// Empty is the outline of area 0.
func Empty() *Outline { return &Outline{} }

// newOutline measures loops that are known to be closed, simple and rightly turned. It keeps them.
func newOutline(loops [][]Edge) *Outline {
	o := &Outline{loops: loops}
	if len(loops) == 0 {
		return o
	}
	o.bounds = loops[0][0].bounds()
	for _, loop := range loops {
		for _, e := range loop {
			o.bounds = o.bounds.with(e.bounds())
			o.perimeter += e.Length()
		}
	}
	b := o.bounds
	o.middle = value.Place{X: (b.Left + b.Right) / 2, Y: (b.Bottom + b.Top) / 2}
	if m := momentsOf(loops, o.middle); m.A > 0 {
		o.middle = add(o.middle, value.Place{X: m.X / m.A, Y: m.Y / m.A})
	}
	o.about = momentsOf(loops, o.middle)
	return o
}

// WithNotes is the same outline with what is told of how it came about. What is made of it goes without.
func (o *Outline) WithNotes(notes ...string) *Outline {
	out := *o
	out.notes = notes
	return &out
}

// Notes is what is told of how the outline came about, a sentence each.
func (o *Outline) Notes() []string { return o.notes }

// Equal tells whether other is an outline of the same edges, to the last bit and in the same order, and of the same notes.
func (o *Outline) Equal(other any) bool {
	p, ok := other.(*Outline)
	if !ok || o == nil || p == nil {
		return ok && o == p
	}
	if o == p {
		return true
	}
	if len(o.loops) != len(p.loops) || !slices.Equal(o.notes, p.notes) {
		return false
	}
	for i, loop := range o.loops {
		if len(loop) != len(p.loops[i]) {
			return false
		}
		for j, e := range loop {
			if e != p.loops[i][j] {
				return false
			}
		}
	}
	return true
}

// Loops gives the loops as copies, outer ones counter-clockwise and holes clockwise.
func (o *Outline) Loops() [][]Edge {
	out := make([][]Edge, len(o.loops))
	for i, loop := range o.loops {
		out[i] = append([]Edge(nil), loop...)
	}
	return out
}

// IsEmpty tells whether nothing lies inside the outline.
func (o *Outline) IsEmpty() bool { return len(o.loops) == 0 }

// Area is the area in m², holes taken off.
func (o *Outline) Area() float64 { return o.about.A }

// Perimeter is the length of all loops in metres, holes included.
func (o *Outline) Perimeter() float64 { return o.perimeter }

// Centroid is the centre of area. An empty outline has none.
func (o *Outline) Centroid() (value.Place, error) {
	if o.IsEmpty() {
		return value.Place{}, errors.New("An empty outline has no centroid.")
	}
	return o.middle, nil
}

// SecondMomentX is the second moment of area, ∫y² dA in m⁴, about the axis through the centroid along x.
func (o *Outline) SecondMomentX() float64 { return o.about.YY }

// SecondMomentY is the second moment of area, ∫x² dA in m⁴, about the axis through the centroid along y.
func (o *Outline) SecondMomentY() float64 { return o.about.XX }

// ProductMoment is ∫xy dA in m⁴ about the axes through the centroid.
func (o *Outline) ProductMoment() float64 { return o.about.XY }

// Bounds is the exact box round the outline. An empty outline has none.
func (o *Outline) Bounds() (Bounds, error) {
	if o.IsEmpty() {
		return Bounds{}, errors.New("An empty outline has no sides: it lies nowhere.")
	}
	return o.bounds, nil
}

// Width is the size along x in metres, 0 for an empty outline.
func (o *Outline) Width() float64 { return o.bounds.Width() }

// Depth is the size along y in metres, 0 for an empty outline.
func (o *Outline) Depth() float64 { return o.bounds.Depth() }

// Pieces counts the outer loops.
func (o *Outline) Pieces() int { return len(o.loops) - o.Holes() }

// Holes counts the loops that run clockwise.
func (o *Outline) Holes() int {
	n := 0
	for _, loop := range o.loops {
		if loopArea(loop) < 0 {
			n++
		}
	}
	return n
}

// tolerance is the length below which two points of the outline count as one.
func (o *Outline) tolerance() float64 { return 1e-11 * math.Max(o.bounds.reach(), o.Width()+o.Depth()) }

// Contains tells whether a point lies inside the outline or on its edge.
func (o *Outline) Contains(p value.Place) bool {
	if o.IsEmpty() || !finite(p.X, p.Y) {
		return false
	}
	if o.distance(p) <= o.tolerance() {
		return true
	}
	return inside(o.loops, p)
}

// distance is the distance from p to the nearest edge.
func (o *Outline) distance(p value.Place) float64 {
	least := math.Inf(1)
	for _, loop := range o.loops {
		for _, e := range loop {
			least = math.Min(least, e.distance(p))
		}
	}
	return least
}

// loopArea is the area inside one loop, negative where it runs clockwise.
func loopArea(loop []Edge) float64 {
	if len(loop) == 0 {
		return 0
	}
	return momentsOf([][]Edge{loop}, loop[0].From).A
}

// inside tells whether the loops wind round p; points on an edge may fall either way.
func inside(loops [][]Edge, p value.Place) bool {
	turns := 0
	for _, loop := range loops {
		turns += winding(loop, p)
	}
	return turns > 0
}

// winding counts how often a loop runs round p, to the left. The chords are counted as a polygon (crossings of the
// ray from p along +x); an arc adds a turn where p lies between it and its chord. A point on a chord is taken as moved
// a little along +x, and far less along +y, in both counts, so that they agree.
func winding(loop []Edge, p value.Place) int {
	n := 0
	for _, e := range loop {
		a, b := sub(e.From, p), sub(e.To, p)
		side := side(e, p)
		switch {
		case a.Y <= 0 && b.Y > 0 && side > 0:
			n++
		case a.Y > 0 && b.Y <= 0 && side < 0:
			n--
		}
		if !e.IsArc() || apart(p, e.Centre) >= e.Radius || !e.bounds().near(Bounds{p.X, p.X, p.Y, p.Y}, 0) {
			continue
		}
		if e.Sweep > 0 && side < 0 {
			n++
		}
		if e.Sweep < 0 && side > 0 {
			n--
		}
	}
	return n
}

// side is positive where p lies to the left of the chord of e.
func side(e Edge, p value.Place) float64 {
	d := sub(e.To, e.From)
	if c := cross(d, sub(p, e.From)); c != 0 {
		return c
	}
	if d.Y != 0 {
		return -d.Y
	}
	return d.X
}
