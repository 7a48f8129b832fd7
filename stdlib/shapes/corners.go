package shapes

import (
	"fmt"
	"math"

	"castwright/lang/value"
)

// RoundCorners puts an arc of a radius of 0 or more, tangent to both edges, into every corner, those that point inwards
// too. Where the edges at a corner are too short it is refused, with the place and the greatest radius that fits.
func RoundCorners(o *Outline, radius float64) (*Outline, error) {
	if !finite(radius) || radius < 0 {
		return nil, fmt.Errorf("Corners are rounded by a radius of 0 or more; %s was given.", mm(radius))
	}
	if radius == 0 || o.IsEmpty() {
		return o, nil
	}
	out, fail := o.rounded(radius)
	if fail == nil {
		return out, nil
	}
	lo, hi := 0.0, radius
	for range 50 {
		if mid := (lo + hi) / 2; mid > 0 && o.fitsRadius(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	way := "None fits there."
	if lo > 1e-6*radius {
		way = fmt.Sprintf("The greatest that fits is %s.", mm(lo))
	}
	return nil, fmt.Errorf("A corner radius of %s is too large for this outline: near %s %s. %s", mm(radius), at(fail.place), fail.why, way)
}

func (o *Outline) fitsRadius(r float64) bool {
	_, fail := o.rounded(r)
	return fail == nil
}

func (o *Outline) rounded(r float64) (*Outline, *failure) {
	loops := make([][]Edge, len(o.loops))
	var strands []strand
	for i, loop := range o.loops {
		out, fail := roundedLoop(loop, r, grid*o.bounds.reach())
		if fail != nil {
			return nil, fail
		}
		loops[i] = out
		for _, e := range out {
			strands = append(strands, strand{edge: e})
		}
	}
	out := newOutline(loops)
	// Arcs may have reached another part of the outline: then what the loops enclose is no longer the sum of their areas.
	g, err := arrange(strands, 1)
	if err != nil {
		return nil, &failure{o.middle, "there are too many edges"}
	}
	for i := range g.pieces {
		if p := &g.pieces[i]; p.left[0] != 1 || p.times[0] != 1 {
			return nil, &failure{p.edge.At(0.5), "the arcs would reach other edges"}
		}
	}
	return out, nil
}

// filleted is the arc in a corner, and what it takes off the edges before and behind it.
type filleted struct {
	arc           Edge
	before, after float64
}

func roundedLoop(loop []Edge, r, tol float64) ([]Edge, *failure) {
	n := len(loop)
	corners := make([]filleted, n) // at the end of each edge; none where its radius is 0
	for i, e := range loop {
		next := loop[(i+1)%n]
		turn := turnTo(e, next)
		if math.Abs(turn) < smooth {
			continue
		}
		c, ok := fillet(e, next, math.Copysign(r, turn))
		if !ok {
			return nil, &failure{e.To, "no arc touches both edges"}
		}
		corners[i] = c
	}
	var out []Edge
	for i, e := range loop {
		first, last := corners[(i+n-1)%n], corners[i]
		left := e.Length() - first.after - last.before
		if left < -tol {
			return nil, &failure{e.At(0.5), "the edge is too short"}
		}
		if first.arc.Radius > 0 {
			e.From = first.arc.To
		}
		if last.arc.Radius > 0 {
			e.To = last.arc.From
		}
		if left > tol {
			if e.IsArc() {
				e.Sweep = math.Copysign(left/e.Radius, e.Sweep)
			}
			out = append(out, e)
		} else if last.arc.Radius > 0 {
			last.arc.From = e.From
		}
		if last.arc.Radius > 0 {
			out = append(out, last.arc)
		}
	}
	return out, nil
}

// fillet finds the arc that touches two neighbouring edges, to their left where s, its radius, is positive.
func fillet(e, f Edge, s float64) (best filleted, ok bool) {
	a, okA := e.drawnOn(s, along(e.To, leftOf(e.headingAt(e.To)), s), e.headingAt(e.To))
	b, okB := f.drawnOn(s, along(f.From, leftOf(f.headingAt(f.From)), s), f.headingAt(f.From))
	if !okA || !okB {
		return best, false
	}
	least := math.Inf(1)
	for _, c := range crossings(a, b) {
		from, to := e.foot(c), f.foot(c)
		before := e.back().ahead(e.To, from, times(e.headingAt(e.To), -1))
		after := f.ahead(f.From, to, f.headingAt(f.From))
		if before+after >= least {
			continue
		}
		turn := angleFrom(sub(from, c), sub(to, c))
		if turn*s < 0 {
			turn += math.Copysign(2*math.Pi, s)
		}
		if math.Abs(turn) > math.Pi {
			continue
		}
		least, ok = before+after, true
		best = filleted{Edge{from, to, c, math.Abs(s), turn}, before, after}
	}
	return best, ok
}

// foot is the point of the edge's line or circle that is nearest to p.
func (e Edge) foot(p value.Place) value.Place {
	if e.IsArc() {
		return along(e.Centre, unit(sub(p, e.Centre)), e.Radius)
	}
	d := sub(e.To, e.From)
	return along(e.From, d, dot(sub(p, e.From), d)/dot(d, d))
}
