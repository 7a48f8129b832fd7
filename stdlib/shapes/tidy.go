package shapes

import (
	"math"

	"castwright/lang/value"
)

// tidied joins neighbouring edges that are parts of one line or one circle, and drops edges that are too short to have a
// direction and loops that are mere slivers. tol is what counts as nothing.
func tidied(loops [][]Edge, tol float64) (out [][]Edge) {
	for _, loop := range loops {
		loop = withoutSpecks(loop, merging*tol)
		length := 0.0
		for _, e := range loop {
			length += e.Length()
		}
		if math.Abs(loopArea(loop)) > tol*length {
			out = append(out, runs(loop, snapping*tol))
		}
	}
	return out
}

// withoutSpecks drops edges whose ends are no further apart than a length: the next edge then begins where they began.
func withoutSpecks(loop []Edge, length float64) []Edge {
	var out []Edge
	for _, e := range loop {
		if n := len(out); n > 0 && e.From != out[n-1].To {
			e = e.between(out[n-1].To, e.To)
		}
		if e.chord() > length {
			out = append(out, e)
		}
	}
	if n := len(out); n > 0 && out[n-1].To != out[0].From {
		out[0] = out[0].between(out[n-1].To, out[0].To)
	}
	return out
}

// between is the edge with its ends moved a little.
func (e Edge) between(from, to value.Place) Edge {
	if e.IsArc() {
		return e.part(from, to)
	}
	return line(from, to)
}

// runs joins neighbours on one line or circle.
func runs(loop []Edge, tol float64) []Edge {
	start := 0
	for start < len(loop) && !parts(loop[(start+len(loop)-1)%len(loop)], loop[start], tol) {
		start++
	}
	if start == len(loop) { // a circle, or edges that bend by hardly anything: one place is as good as another
		if start = 0; loop[0].IsArc() {
			e := loop[0]
			return arcs(nil, e.Centre, e.Radius, e.From, e.From, math.Copysign(2*math.Pi, e.Sweep))
		}
	}
	var out []Edge
	r := newRun(loop[start])
	for i := 1; i < len(loop); i++ {
		e := loop[(start+i)%len(loop)]
		if !r.take(e, tol) {
			out = append(out, r.edges()...)
			r = newRun(e)
		}
	}
	return append(out, r.edges()...)
}

// parts tells whether f surely begins another line or circle than that of e.
func parts(e, f Edge, tol float64) bool {
	if e.IsArc() || f.IsArc() {
		return !sameCircle(e, f, tol)
	}
	return math.Abs(angleFrom(sub(e.To, e.From), sub(f.To, f.From))) > smooth
}

func sameCircle(e, f Edge, tol float64) bool {
	return e.IsArc() && f.IsArc() && e.Sweep*f.Sweep > 0 && apart(e.Centre, f.Centre)+math.Abs(e.Radius-f.Radius) <= tol
}

// run is a sequence of edges on one line or circle. On a line, low and high bound the directions, as slopes from that of
// the first edge, in which every joint so far lies within the tolerance of the straight way from the start.
type run struct {
	first, last Edge
	count       int
	turn        float64 // of arcs
	low, high   float64
}

func newRun(e Edge) run {
	return run{first: e, last: e, count: 1, turn: math.Abs(e.Sweep), low: math.Inf(-1), high: math.Inf(1)}
}

// take adds an edge that goes on along the line or circle; it tells whether it does.
func (r *run) take(e Edge, tol float64) bool {
	if r.first.IsArc() || e.IsArc() {
		if !sameCircle(r.first, e, tol) {
			return false
		}
		r.last, r.count, r.turn = e, r.count+1, r.turn+math.Abs(e.Sweep)
		return true
	}
	u := unit(sub(r.first.To, r.first.From))
	slope := func(p value.Place) (along, off float64) {
		d := sub(p, r.first.From)
		return dot(d, u), cross(u, d)
	}
	at, off := slope(r.last.To)
	end, side := slope(e.To)
	low, high := math.Max(r.low, (off-tol)/at), math.Min(r.high, (off+tol)/at)
	if end <= at || side/end < low || side/end > high {
		return false
	}
	r.last, r.count, r.low, r.high = e, r.count+1, low, high
	return true
}

// edges gives the run as one edge, or more where an arc turns by more than half a turn.
func (r *run) edges() []Edge {
	switch {
	case r.count == 1:
		return []Edge{r.first}
	case !r.first.IsArc():
		return []Edge{line(r.first.From, r.last.To)}
	case r.count == 2 && r.turn > math.Pi*(1+1e-12):
		return []Edge{r.first, r.last}
	}
	turn := r.turn
	if math.Abs(turn-math.Pi) < 1e-12 {
		turn = math.Pi
	}
	return arcs(nil, r.first.Centre, r.first.Radius, r.first.From, r.last.To, math.Copysign(turn, r.first.Sweep))
}
