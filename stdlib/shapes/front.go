package shapes

import (
	"math"

	"castwright/lang/value"
)

// front moves the edges of one loop inwards by a growing s, with sharp corners, as long as all of them are there. Lines
// move along their normals and arcs keep their centres; neighbours meet anew. Positions always come from the edges as they
// lay at first, so nothing adds up.
type front struct {
	movers []mover
	tol    float64 // the length below which an edge is gone
}

// mover is one edge.
type mover struct {
	edge   Edge
	n0, n1 value.Place // left normals at its ends
	turn   float64     // at its end, to the next mover; 0 where the two run into each other without a corner
}

const (
	smooth = 1e-9  // rad: a turn below this is no corner
	gone   = 1e-12 // the share of the greatest coordinate below which a length is gone
)

// failure is a place and the reason why an operation cannot be carried out there.
type failure struct {
	place value.Place
	why   string
}

// newFront prepares a loop. reach measures rounding errors.
func newFront(loop []Edge, reach float64) *front {
	f := &front{tol: gone * reach}
	for i, e := range loop {
		turn := turnTo(e, loop[(i+1)%len(loop)])
		if math.Abs(turn) < smooth {
			turn = 0
		}
		f.movers = append(f.movers, mover{edge: e, n0: leftOf(e.headingAt(e.From)), n1: leftOf(e.headingAt(e.To)), turn: turn})
	}
	return f
}

// carrier is the line or circle of a mover at s; ok is false where an arc has turned inside out.
func (m mover) carrier(s float64) (e Edge, ok bool) {
	e = m.edge
	if !e.IsArc() {
		return line(along(e.From, m.n0, s), along(e.To, m.n0, s)), true
	}
	e.Radius -= math.Copysign(s, e.Sweep*s)
	return e, e.Radius >= 0
}

// trimmed is a mover at some s: its edge, and its length, below 0 where its ends have passed each other.
type trimmed struct {
	edge   Edge
	length float64
}

// corner finds where mover i meets the next at s.
func (f *front) corner(i int, s float64) (p value.Place, plain, ok bool) {
	a, b := f.movers[i], f.movers[(i+1)%len(f.movers)]
	if a.turn == 0 {
		return along(a.edge.To, a.n1, s), true, true
	}
	want := math.Copysign(1, a.turn)
	e, okE := a.carrier(s)
	g, okG := b.carrier(s)
	switch {
	case !okE || !okG:
		return p, false, false
	case e.IsArc() && e.Radius <= f.tol:
		return e.Centre, false, true
	case g.IsArc() && g.Radius <= f.tol:
		return g.Centre, false, true
	}
	// A line and a circle, or two circles, meet twice, and turn to different sides there.
	best := math.Inf(-1)
	for _, q := range crossings(e, g) {
		if c := want * cross(e.headingAt(q), g.headingAt(q)); c > best {
			p, best = q, c
		}
	}
	return p, false, best > -1e-6
}

// at places the movers at s. bad is one that fails: it has turned inside out or meets its neighbour nowhere; -1 where
// there is none.
func (f *front) at(s float64) (out []trimmed, bad int) {
	n := len(f.movers)
	ends := make([]value.Place, n)
	plain := make([]bool, n)
	for i, m := range f.movers {
		if _, ok := m.carrier(s); !ok {
			return nil, i
		}
		var ok bool
		if ends[i], plain[i], ok = f.corner(i, s); !ok {
			return nil, i
		}
	}
	out = make([]trimmed, n)
	for i, m := range f.movers {
		before := (i + n - 1) % n
		out[i] = m.between(s, ends[before], ends[i], plain[before], plain[i])
	}
	return out, -1
}

// between trims a mover at s to run from one point to another. plain says that an end has moved straight along its
// normal, so that an arc keeps its direction there to the last bit.
func (m mover) between(s float64, from, to value.Place, plainFrom, plainTo bool) trimmed {
	e, _ := m.carrier(s)
	e.From, e.To = from, to
	if !e.IsArc() {
		return trimmed{e, dot(sub(to, from), value.Place{X: m.n0.Y, Y: -m.n0.X})}
	}
	sign := math.Copysign(1, e.Sweep)
	turn := math.Abs(e.Sweep)
	if !plainFrom && from != e.Centre {
		turn -= sign * angleFrom(times(m.n0, -sign), sub(from, e.Centre))
	}
	if !plainTo && to != e.Centre {
		turn += sign * angleFrom(times(m.n1, -sign), sub(to, e.Centre))
	}
	e.Sweep = sign * turn
	return trimmed{e, e.Radius * turn}
}

// edges turns placed movers into a loop; arcs that have come to turn further than half a turn are split.
func (f *front) edges(placed []trimmed) []Edge {
	var loop []Edge
	for _, p := range placed {
		if p.edge.IsArc() {
			loop = arcs(loop, p.edge.Centre, p.edge.Radius, p.edge.From, p.edge.To, p.edge.Sweep)
			continue
		}
		loop = append(loop, p.edge)
	}
	return loop
}
