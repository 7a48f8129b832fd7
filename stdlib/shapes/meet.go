package shapes

import (
	"math"
	"slices"

	"castwright/lang/value"
)

// crossings gives the points where the lines or circles on which e and f lie, drawn on without end, meet: none, one
// or two. Where they touch, one or two points near each other come back; where they coincide, none.
func crossings(e, f Edge) []value.Place {
	switch {
	case !e.IsArc() && !f.IsArc():
		d, g := sub(e.To, e.From), sub(f.To, f.From)
		c := cross(d, g)
		if math.Abs(c) <= 1e-13*size(d)*size(g) {
			return nil
		}
		return []value.Place{along(e.From, d, cross(sub(f.From, e.From), g)/c)}
	case !e.IsArc():
		return lineCircle(e, f.Centre, f.Radius)
	case !f.IsArc():
		return lineCircle(f, e.Centre, e.Radius)
	}
	return circleCircle(e.Centre, e.Radius, f.Centre, f.Radius)
}

func lineCircle(e Edge, c value.Place, r float64) []value.Place {
	d := unit(sub(e.To, e.From))
	foot := along(e.From, d, dot(sub(c, e.From), d))
	h := math.Abs(cross(d, sub(c, e.From)))
	half := (r - h) * (r + h)
	if half < 0 {
		if h-r > 1e-14*(r+size(c)) {
			return nil
		}
		half = 0
	}
	half = math.Sqrt(half)
	return []value.Place{along(foot, d, -half), along(foot, d, half)}
}

func circleCircle(c value.Place, r float64, k value.Place, q float64) []value.Place {
	d := sub(k, c)
	far := size(d)
	if far <= 1e-14*(r+q) {
		return nil
	}
	// The distance from c, towards k, of the line through both points.
	a := (far + (r-q)*(r+q)/far) / 2
	half := (r - a) * (r + a)
	if half < 0 {
		if math.Abs(a)-r > 1e-14*(r+q+far) {
			return nil
		}
		half = 0
	}
	half = math.Sqrt(half)
	u := times(d, 1/far)
	foot := along(c, u, a)
	return []value.Place{along(foot, leftOf(u), -half), along(foot, leftOf(u), half)}
}

// meets gives the points that two edges have in common within a gap. Edges that lie on each other give the ends
// that they share.
func meets(e, f Edge, gap float64) []value.Place {
	var out []value.Place
	if aside(e, f, 2*gap) || aside(f, e, 2*gap) || !e.bounds().near(f.bounds(), gap) {
		return nil
	}
	for _, p := range append(crossings(e, f), e.From, e.To, f.From, f.To) {
		if e.distance(p) <= gap && f.distance(p) <= gap {
			out = append(out, p)
		}
	}
	return out
}

// aside tells, without looking for their points, that f stays farther than a gap from the line or circle on which e lies.
func aside(e, f Edge, gap float64) bool {
	switch {
	case !e.IsArc():
		d := unit(sub(e.To, e.From))
		if f.IsArc() {
			return math.Abs(cross(d, sub(f.Centre, e.From))) > f.Radius+gap
		}
		a, b := cross(d, sub(f.From, e.From)), cross(d, sub(f.To, e.From))
		return a > gap && b > gap || a < -gap && b < -gap
	case f.IsArc():
		d := apart(e.Centre, f.Centre)
		return d > e.Radius+f.Radius+gap || d < math.Abs(e.Radius-f.Radius)-gap
	}
	return false
}

// clash is a place where two edges of one outline meet that must not.
type clash struct {
	place      value.Place
	loop, edge [2]int
}

// findClash looks for edges that cross or touch other than at the joint of neighbours. gap is the length below which
// points count as one.
func findClash(loops [][]Edge, gap float64) *clash {
	type item struct{ loop, edge int }
	var all []item
	var boxes []Bounds
	for i, loop := range loops {
		for j, e := range loop {
			all, boxes = append(all, item{i, j}), append(boxes, e.bounds())
		}
	}
	tree := newBoxTree(boxes)
	var near []int
	for i, a := range all {
		near = near[:0]
		tree.find(func(b Bounds) bool { return b.near(boxes[i], gap) }, func(k int) { near = append(near, k) })
		slices.Sort(near) // so that the clash which is told does not depend on the tree
		for _, k := range near {
			b := all[k]
			if k <= i {
				continue
			}
			e, f := loops[a.loop][a.edge], loops[b.loop][b.edge]
			for _, p := range meets(e, f, gap) {
				if a.loop == b.loop && isJoint(loops[a.loop], a.edge, b.edge, p, gap) {
					continue
				}
				return &clash{p, [2]int{a.loop, b.loop}, [2]int{a.edge, b.edge}}
			}
		}
	}
	return nil
}

// isJoint tells whether p is the place where neighbouring edges i < j of a loop join, and they part there.
func isJoint(loop []Edge, i, j int, p value.Place, gap float64) bool {
	if j == i+1 && apart(p, loop[j].From) <= 2*gap {
		return !folds(loop[i], loop[j])
	}
	return i == 0 && j == len(loop)-1 && apart(p, loop[0].From) <= 2*gap && !folds(loop[j], loop[0])
}

// folds tells whether the second edge runs straight back along the first.
func folds(e, f Edge) bool {
	a, b := e.heading(1), f.heading(0)
	return math.Abs(cross(a, b)) < 1e-9 && dot(a, b) < 0
}
