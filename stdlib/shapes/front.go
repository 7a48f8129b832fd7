package shapes

import (
	"math"

	"castwright/lang/value"
)

// front moves the edges of one loop sideways by s, to the left where s is positive, and finds where neighbours meet.
// Lines move by s along their normals and arcs keep their centres. An edge whose neighbours close over it drops out,
// and they meet each other. Positions always come from the edges as they lay at first, so nothing adds up.
type front struct {
	movers []mover
	active []int   // movers still there, in order round the loop
	tol    float64 // the length below which an edge is gone
	closes float64 // the sign of the turn at corners that the movement closes
}

// mover is one edge, or a round corner as an arc of radius 0.
type mover struct {
	edge   Edge
	n0, n1 value.Place // left normals at its ends
	turn   float64     // at its end, to the next mover; 0 where the two run into each other without a corner
}

const (
	smooth = 1e-9  // rad: a turn below this is no corner
	gone   = 1e-12 // the share of the greatest coordinate below which a length is gone
)

// failure is a place and the reason why an offset cannot be made there.
type failure struct {
	place value.Place
	why   string
}

// newFront prepares a loop for a movement of the sign of s. reach measures rounding errors. With round, corners that
// the movement opens get arcs; else their edges are drawn on until they meet.
func newFront(loop []Edge, s, reach float64, round bool) *front {
	f := &front{tol: gone * reach, closes: math.Copysign(1, s)}
	for i, e := range loop {
		next := loop[(i+1)%len(loop)]
		h0, h1, h2 := e.heading(0), e.heading(1), next.heading(0)
		turn := angleFrom(h1, h2)
		if math.Abs(turn) < smooth {
			turn = 0
		}
		m := mover{edge: e, n0: leftOf(h0), n1: leftOf(h1), turn: turn}
		if round && turn*f.closes < 0 {
			m.turn = 0
			f.movers = append(f.movers, m, mover{
				edge: Edge{From: e.To, To: e.To, Centre: e.To, Sweep: turn},
				n0:   leftOf(h1), n1: leftOf(h2),
			})
			continue
		}
		f.movers = append(f.movers, m)
	}
	for i := range f.movers {
		f.active = append(f.active, i)
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

// corner finds where mover i meets mover j at s.
func (f *front) corner(i, j int, s float64) (p value.Place, plain, ok bool) {
	a, b := f.movers[i], f.movers[j]
	want := f.closes
	if j == (i+1)%len(f.movers) {
		if a.turn == 0 {
			return along(a.edge.To, a.n1, s), true, true
		}
		want = math.Copysign(1, a.turn)
	}
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

// at places the active movers at s. bad is the place in the active list of a mover that fails: it has turned inside
// out or meets its neighbour nowhere; -1 where there is none.
func (f *front) at(s float64) (out []trimmed, bad int) {
	n := len(f.active)
	ends := make([]value.Place, n)
	plain := make([]bool, n)
	for k, i := range f.active {
		if _, ok := f.movers[i].carrier(s); !ok {
			return nil, k
		}
		var ok bool
		ends[k], plain[k], ok = f.corner(i, f.active[(k+1)%n], s)
		if !ok {
			return nil, k
		}
	}
	out = make([]trimmed, n)
	for k, i := range f.active {
		before := (k + n - 1) % n
		out[k] = f.movers[i].between(s, ends[before], ends[k], plain[before], plain[k])
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

// valid tells whether every active mover is there at s and runs forwards.
func (f *front) valid(s float64) bool {
	out, bad := f.at(s)
	if bad >= 0 {
		return false
	}
	for _, p := range out {
		if p.length < -f.tol {
			return false
		}
	}
	return true
}

// collapsed tells whether what is left of the loop encloses nothing.
func (f *front) collapsed() bool {
	switch len(f.active) {
	case 0, 1:
		return true
	case 2:
		return !f.movers[f.active[0]].edge.IsArc() && !f.movers[f.active[1]].edge.IsArc()
	}
	return false
}

// advance moves the loop to d, dropping edges in the order in which they vanish. It gives no edges where the loop
// vanishes.
func (f *front) advance(d float64) ([]Edge, *failure) {
	done := 0.0
	for range 2 * len(f.movers) {
		if f.collapsed() {
			return nil, nil
		}
		if f.valid(d) {
			placed, _ := f.at(d)
			if f.flat(placed) {
				return nil, nil
			}
			if f.shorter(placed, f.tol) == 0 {
				return f.edges(placed), nil
			}
			continue
		}
		lo, hi := done, d
		for range 200 {
			mid := (lo + hi) / 2
			if mid == lo || mid == hi {
				break
			}
			if f.valid(mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		done = hi
		if fail := f.dropAt(lo, hi); fail != nil {
			return nil, fail
		}
	}
	return nil, &failure{f.movers[0].edge.From, "its edges do not settle"}
}

// flat tells whether the loop has come down to a line or a point.
func (f *front) flat(placed []trimmed) bool {
	loop := f.edges(placed)
	length := f.tol
	for _, e := range loop {
		length += math.Abs(e.Length())
	}
	return math.Abs(loopArea(loop)) <= f.tol*length
}

// dropAt takes out the movers that vanish between lo, where all is well, and hi next to it.
func (f *front) dropAt(lo, hi float64) *failure {
	before, bad := f.at(lo)
	if bad < 0 && lo > 0 && f.flat(before) {
		f.active = nil
		return nil
	}
	placed, parted := f.at(hi)
	if parted < 0 {
		f.shorter(placed, f.tol)
		return nil
	}
	place := f.movers[f.active[parted]].edge.To
	if f.dropTurned(hi) {
		return nil
	}
	// Neighbours no longer meet: a line leaves a circle, or a circle another. Their ends run together like a square
	// root, so at lo they are still apart by about the root of the rounding error.
	if len(f.active) == 2 {
		f.active = nil
		return nil
	}
	if bad < 0 && f.shorter(before, 1e6*f.tol) > 0 {
		return nil
	}
	return &failure{place, "neighbouring edges no longer meet"}
}

// shorter takes out the movers that are no longer than a length, and counts them.
func (f *front) shorter(placed []trimmed, length float64) int {
	var keep []int
	for k, i := range f.active {
		if placed[k].length > length {
			keep = append(keep, i)
		}
	}
	dropped := len(f.active) - len(keep)
	f.active = keep
	return dropped
}

// dropTurned takes out arcs that have turned inside out.
func (f *front) dropTurned(s float64) bool {
	var keep []int
	for _, i := range f.active {
		if e, ok := f.movers[i].carrier(s); ok && !(e.IsArc() && e.Radius <= f.tol) {
			keep = append(keep, i)
		}
	}
	dropped := len(keep) < len(f.active)
	f.active = keep
	return dropped
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
