package shapes

import (
	"errors"
	"math"

	"castwright/lang/value"
)

// Clearance is the least distance between two outlines in metres: 0 where they touch or overlap.
func Clearance(a, b *Outline) (float64, error) {
	if a.IsEmpty() || b.IsEmpty() {
		return 0, errors.New("An empty outline lies nowhere: it has no clearance.")
	}
	least := math.Inf(1)
	t := b.tree()
	for _, loop := range a.loops {
		for _, e := range loop {
			t.nearest(e.bounds(), func(d float64) bool { return d < least }, func(i int) {
				least = math.Min(least, between(e, t.edges[i]))
			})
		}
	}
	if least <= math.Max(a.tolerance(), b.tolerance()) {
		return 0, nil
	}
	// They do not meet: each piece of one lies wholly in the other, or outside it.
	for _, loop := range a.loops {
		if inside(b.loops, loop[0].From) {
			return 0, nil
		}
	}
	for _, loop := range b.loops {
		if inside(a.loops, loop[0].From) {
			return 0, nil
		}
	}
	return least, nil
}

// together is the share of the greatest coordinate within which outlines fit.
const together = 1e-9

// Fits tells whether two outlines touch, along an edge or at a point, and do not overlap: gaps and overlaps of a billionth
// of the greatest coordinate count for nothing.
func Fits(a, b *Outline) (bool, error) {
	gap, err := Clearance(a, b)
	if err != nil {
		return false, err
	}
	tol := together * math.Max(a.bounds.reach(), b.bounds.reach())
	if gap > tol {
		return false, nil
	}
	common, err := Overlap(a, b)
	if err != nil {
		return false, err
	}
	return common.Area() <= tol*math.Min(a.perimeter, b.perimeter), nil
}

// edgeTree finds edges of an outline by their boxes.
type edgeTree struct {
	*boxTree
	edges        []Edge
	before, next []int // the neighbours of each edge in its loop
}

func (o *Outline) tree() *edgeTree {
	t := &edgeTree{}
	var boxes []Bounds
	for _, loop := range o.loops {
		first, n := len(t.edges), len(loop)
		for i, e := range loop {
			t.edges, boxes = append(t.edges, e), append(boxes, e.bounds())
			t.before, t.next = append(t.before, first+(i+n-1)%n), append(t.next, first+(i+1)%n)
		}
	}
	t.boxTree = newBoxTree(boxes)
	return t
}

// gap is the distance between two boxes, 0 where they meet.
func (b Bounds) gap(c Bounds) float64 {
	x := math.Max(0, math.Max(c.Left-b.Right, b.Left-c.Right))
	y := math.Max(0, math.Max(c.Bottom-b.Top, b.Bottom-c.Top))
	return math.Hypot(x, y)
}

// between is the least distance of two edges.
func between(e, f Edge) float64 {
	for _, p := range crossings(e, f) {
		if e.onto(p) && f.onto(p) {
			return 0
		}
	}
	least := math.Min(math.Min(e.distance(f.From), e.distance(f.To)), math.Min(f.distance(e.From), f.distance(e.To)))
	for _, s := range normals(e, f) {
		least = math.Min(least, apart(s[0], s[1]))
	}
	return least
}

// onto tells whether a point of the edge's line or circle lies on the edge.
func (e Edge) onto(p value.Place) bool {
	if e.IsArc() {
		return e.faces(p)
	}
	d := sub(e.To, e.From)
	s := dot(sub(p, e.From), d)
	return s >= 0 && s <= dot(d, d)
}

// normals gives the straight ways from one edge to another that stand upright on both, from e to f. Between parallel lines
// and arcs of one centre, where there are many, one.
func normals(e, f Edge) (out [][2]value.Place) {
	try := func(p, q value.Place) {
		if e.onto(p) && f.onto(q) {
			out = append(out, [2]value.Place{p, q})
		}
	}
	switch {
	case e.IsArc() && f.IsArc():
		d := sub(f.Centre, e.Centre)
		if size(d) > grid*(e.Radius+f.Radius) {
			u := unit(d)
			for _, s := range []float64{1, -1} {
				for _, t := range []float64{1, -1} {
					try(along(e.Centre, u, s*e.Radius), along(f.Centre, u, t*f.Radius))
				}
			}
			return out
		}
		for _, p := range []value.Place{e.From, e.To, e.At(0.5), f.From, f.To, f.At(0.5)} {
			u := unit(sub(p, e.Centre))
			for _, s := range []float64{1, -1} {
				if a, b := along(e.Centre, u, e.Radius), along(f.Centre, u, s*f.Radius); e.faces(p) || f.faces(p) {
					try(a, b)
					try(along(e.Centre, u, -e.Radius), b)
				}
			}
		}
	case !e.IsArc() && !f.IsArc():
		d := sub(e.To, e.From)
		if math.Abs(cross(d, sub(f.To, f.From))) > smooth*size(d)*f.chord() {
			return nil
		}
		for _, p := range []value.Place{e.From, e.To} {
			try(p, f.foot(p))
		}
		for _, p := range []value.Place{f.From, f.To} {
			try(e.foot(p), p)
		}
	case e.IsArc():
		p := f.foot(e.Centre)
		d := sub(p, e.Centre)
		if size(d) <= grid*e.Radius {
			d = leftOf(sub(f.To, f.From))
		}
		for _, s := range []float64{1, -1} {
			try(along(e.Centre, unit(d), s*e.Radius), p)
		}
	default:
		for _, s := range normals(f, e) {
			out = append(out, [2]value.Place{s[1], s[0]})
		}
	}
	return out
}
