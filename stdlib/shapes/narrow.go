package shapes

import (
	"errors"
	"math"

	"castwright/lang/value"
)

// Narrowest is the least wall thickness in metres: the least way straight across the material, or, where a piece tapers,
// across its narrow end, between walls that face each other to within 45°. Corners that run out to a tip have no thickness
// and do not count; a piece with none but such, as a triangle, is as thick as it is broad at least.
func (o *Outline) Narrowest() (float64, error) {
	if o.IsEmpty() {
		return 0, errors.New("An empty outline has no walls.")
	}
	w := &walls{tree: o.tree(), tol: 10 * o.tolerance(), least: math.Inf(1), broad: math.Inf(1)}
	for i, e := range w.tree.edges {
		w.across(e)
		w.corner(e, w.tree.edges[w.tree.next[i]])
	}
	if math.IsInf(w.least, 1) {
		w.least = w.broad
	}
	if math.IsInf(w.least, 1) {
		return 0, errors.New("No two edges of this outline face each other.")
	}
	return w.least, nil
}

// walls looks for the least thickness. least is that of walls, broad that of ways across that are no thinner than others
// beside them.
type walls struct {
	tree         *edgeTree
	tol          float64
	least, broad float64
}

// near visits the edges that may be nearer to a box than the best so far, the nearest first.
func (w *walls) near(box Bounds, visit func(i int, e Edge)) {
	w.tree.nearest(box, func(d float64) bool { return d < math.Min(w.least, w.broad) }, func(i int) { visit(i, w.tree.edges[i]) })
}

// across tries the ways that stand upright on an edge and on another.
func (w *walls) across(e Edge) {
	w.near(e.bounds(), func(_ int, f Edge) {
		for _, s := range normals(e, f) {
			d := apart(s[0], s[1])
			if d >= w.least || d <= w.tol {
				continue
			}
			// The distance to second order, as both ends move along their edges: least here, or not.
			a, b := 1/d-e.bending(), 1/d-f.bending()
			wall := a >= -smooth/d && b >= -smooth/d && a*b >= (1-smooth)/(d*d)
			if (wall || d < w.broad) && leads(e, s[0], s[1]) && leads(f, s[1], s[0]) && w.clear(s[0], s[1]) {
				w.take(d, wall)
			}
		}
	})
}

func (w *walls) take(d float64, wall bool) {
	if wall {
		w.least = math.Min(w.least, d)
	}
	w.broad = math.Min(w.broad, d)
}

// bending is the curvature of an edge, positive where it bends round the material.
func (e Edge) bending() float64 {
	if !e.IsArc() {
		return 0
	}
	return math.Copysign(1/e.Radius, e.Sweep)
}

// leads tells whether the way from a point of an edge to another place sets out into the material.
func leads(e Edge, from, to value.Place) bool {
	return dot(leftOf(e.headingAt(from)), sub(to, from)) > 0
}

// corner tries the ways from the corner between two edges to the nearest place of each edge.
func (w *walls) corner(e, next Edge) {
	p := e.To
	turn := turnTo(e, next)
	if math.Abs(turn) < smooth {
		return
	}
	w.near(Bounds{p.X, p.X, p.Y, p.Y}, func(i int, f Edge) {
		q := f.nearest(p)
		d := apart(p, q)
		if d >= w.least || d <= w.tol {
			return
		}
		dir := times(sub(q, p), 1/d)
		before, after := dot(dir, e.headingAt(p)), dot(dir, next.headingAt(p))
		wall := turn < 0 && before >= -smooth && after <= smooth
		taper := turn > 0 && (face(e, p, f, q) && faces(e, p, dir) && before >= -smooth || face(next, p, f, q) && faces(next, p, dir) && after <= smooth)
		switch w.arrives(i, q, dir) {
		case upright:
			into := cross(e.headingAt(p), dir) > 0 && cross(next.headingAt(p), dir) > 0
			if (wall || turn > 0 && into) && w.clear(p, q) {
				w.take(d, wall || taper)
			}
		case atTip:
			blunt := next.To == q || e.From == q // one edge closes the narrow end
			if taper && faces(f, q, times(dir, -1)) && (blunt || w.clear(p, q)) {
				w.take(d, true)
			}
		}
	})
}

// nearest is the point of an edge that is nearest to p.
func (e Edge) nearest(p value.Place) value.Place {
	if q := e.foot(p); e.onto(q) {
		return q
	}
	if apart(p, e.From) < apart(p, e.To) {
		return e.From
	}
	return e.To
}

// faces tells whether an edge stands upright, to within 45°, on a way from a place of it into the material.
func faces(e Edge, p, dir value.Place) bool {
	return dot(dir, leftOf(e.headingAt(p))) > math.Sqrt2/2+smooth
}

// face tells whether two edges face each other, to within 45°, at places of them.
func face(e Edge, p value.Place, f Edge, q value.Place) bool {
	return dot(e.headingAt(p), f.headingAt(q)) < -math.Sqrt2/2-smooth
}

// How a way arrives at an edge.
const (
	slanting = iota // there are shorter ways beside it
	upright         // there are none
	atTip           // there are none on this edge, whose end at a corner that points outwards it meets
)

// arrives tells how a way of a direction arrives at a place of edge i.
func (w *walls) arrives(i int, q, dir value.Place) int {
	t := w.tree
	var before, next Edge
	switch f := t.edges[i]; q {
	case f.From:
		before, next = t.edges[t.before[i]], f
	case f.To:
		before, next = f, t.edges[t.next[i]]
	default:
		if dot(dir, leftOf(f.headingAt(q))) < 0 {
			return upright
		}
		return slanting
	}
	switch {
	case turnTo(before, next) > smooth:
		return atTip
	case dot(dir, before.headingAt(q)) <= smooth && dot(dir, next.headingAt(q)) >= -smooth:
		return upright
	}
	return slanting
}

// clear tells whether no edge crosses the straight way between two places, which sets out into the material at both.
func (w *walls) clear(p, q value.Place) bool {
	way := line(p, q)
	box := way.bounds()
	blocked := false
	w.tree.find(func(b Bounds) bool { return !blocked && box.near(b, 0) && way.mayReach(b, 0) }, func(i int) {
		for _, r := range crossings(way, w.tree.edges[i]) {
			if way.onto(r) && w.tree.edges[i].onto(r) && apart(r, p) > w.tol && apart(r, q) > w.tol {
				blocked = true
			}
		}
	})
	return !blocked
}
