package shapes

import (
	"fmt"
	"math"
)

// inset is an outline moved inwards by a growing s with sharp corners, as long as none of its edges vanishes: the
// levels of an eased edge or of leaning sides.
type inset struct {
	outline *Outline
	fronts  []*front
	parents []int
}

func newInset(o *Outline) *inset {
	in := &inset{outline: o, parents: o.parents()}
	for _, loop := range o.loops {
		in.fronts = append(in.fronts, newFront(loop, o.bounds.reach()))
	}
	return in
}

// parents gives, for each hole, the index of the smallest outer loop that it lies in; -1 for outer loops.
func (o *Outline) parents() []int {
	out := make([]int, len(o.loops))
	for i, hole := range o.loops {
		out[i] = -1
		if loopArea(hole) > 0 {
			continue
		}
		least := math.Inf(1)
		for j, outer := range o.loops {
			if a := loopArea(outer); a > 0 && a < least && winding(outer, hole[0].From) > 0 {
				out[i], least = j, a
			}
		}
	}
	return out
}

// quadratic gives K of the area A − P·s + K·s² within s, and whether that is the whole truth: it is where every corner
// joins two lines. Steiner's formula: an arc adds half its turn, a corner the tangent of half its turn.
func (in *inset) quadratic() (k float64, exact bool) {
	for _, f := range in.fronts {
		for i, m := range f.movers {
			k += m.edge.Sweep / 2
			if m.turn == 0 {
				continue
			}
			if m.edge.IsArc() || f.movers[(i+1)%len(f.movers)].edge.IsArc() {
				return 0, false
			}
			k += math.Tan(m.turn / 2)
		}
	}
	return k, true
}

// level gives the loops at s. At the very end, where an outline shrinks to a point or a line, rounding may leave
// nothing to place; the area there is 0.
func (in *inset) level(s float64) [][]Edge {
	var out [][]Edge
	for _, f := range in.fronts {
		placed, bad := f.at(s)
		if bad >= 0 {
			return nil
		}
		out = append(out, f.edges(placed))
	}
	return out
}

// fits tells whether all edges are there up to s, the end itself left out: there an arc may have come down to a point
// or a wall to a line.
func (in *inset) fits(s float64) *failure {
	for _, f := range in.fronts {
		last := s * (1 - 1e-9)
		placed, bad := f.at(last)
		if bad >= 0 {
			e := f.movers[bad].edge
			if _, ok := f.movers[bad].carrier(last); !ok {
				return &failure{e.At(0.5), fmt.Sprintf("an arc of radius %s would turn inside out", mm(e.Radius))}
			}
			return &failure{e.To, "the edges that meet there would part"}
		}
		for i, p := range placed {
			if p.length < -f.tol {
				return &failure{f.movers[i].edge.At(0.5), "an edge would vanish"}
			}
		}
	}
	loops := in.level(s * (1 - 1e-6))
	if c := findClash(loops, gone*in.outline.bounds.reach()); c != nil {
		return &failure{c.place, "more than half the wall would go"}
	}
	for i, parent := range in.parents {
		if parent >= 0 && winding(loops[parent], loops[i][0].From) <= 0 {
			return &failure{in.outline.loops[i][0].From, "more than half the wall would go"}
		}
	}
	return nil
}

// most is the greatest s that fits, below one that does not.
func (in *inset) most(s float64) float64 {
	lo, hi := 0.0, s
	for range 60 {
		if mid := (lo + hi) / 2; in.fits(mid) == nil {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// section is the outline at s.
func (in *inset) section(s float64) *Outline {
	if s <= 0 {
		return in.outline
	}
	return newOutline(in.level(s))
}

// measure integrates over the part of a solid whose side, seen across, is an edge: where x is −s the section is the
// outline moved in by s, and y is the height. It gives volume, ∫x, ∫y and ∫z over the volume, with x and y from the
// centroid of the outline, and the surface of the side.
func (in *inset) measure(side Edge) (sums, error) {
	o, length := in.outline, side.Length()
	a, reach := o.Area()*length, o.Width()+o.Depth()
	scale := sums{a, a * reach, a * reach, a * math.Max(math.Abs(side.From.Y), math.Abs(side.To.Y)), o.perimeter * length}
	return integrate(0, 1, scale, func(t float64) sums {
		p := side.At(t)
		loops := in.level(-p.X)
		m := momentsOf(loops, o.middle)
		dz := side.headingAt(p).Y * length
		around := 0.0
		for _, loop := range loops {
			for _, e := range loop {
				around += e.Length()
			}
		}
		return sums{m.A * dz, m.X * dz, m.Y * dz, m.A * p.Y * dz, around * length}
	})
}
