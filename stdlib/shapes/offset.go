package shapes

import (
	"fmt"
	"math"

	"castwright/lang/value"
)

// Round and Sharp say how an offset shapes the corners that it opens: by an arc about the corner, or by drawing the
// edges on until they meet.
const (
	Round = "round"
	Sharp = "sharp"
)

// Grow moves every edge of an outline outwards by a distance of 0 or more. Corners that point outwards open, and are
// shaped as corners says; others close by themselves. Holes get smaller and may vanish. An outline for which the
// result cannot be proved right is refused with the place.
func Grow(o *Outline, distance float64, corners string) (*Outline, error) {
	return offset(o, distance, corners, "grown", -1)
}

// Shrink moves every edge of an outline inwards by a distance of 0 or more. Corners that point inwards open, and are
// shaped as corners says; others close by themselves. Where nothing is left the result is the empty outline. An
// outline for which the result cannot be proved right is refused with the place.
func Shrink(o *Outline, distance float64, corners string) (*Outline, error) {
	return offset(o, distance, corners, "shrunk", 1)
}

func offset(o *Outline, distance float64, corners, done string, sign float64) (*Outline, error) {
	if corners != Round && corners != Sharp {
		return nil, fmt.Errorf("Corners are %q or %q; %q was given.", Round, Sharp, corners)
	}
	if !finite(distance) || distance < 0 {
		other := map[string]string{"grown": "Use shrink for the other way.", "shrunk": "Use grow for the other way."}[done]
		return nil, fmt.Errorf("An outline is %s by a distance of 0 or more; %s was given. %s", done, mm(distance), other)
	}
	if distance == 0 || o.IsEmpty() {
		return o, nil
	}
	loops, fail := moved(o, sign*distance, corners == Round)
	if fail == nil {
		out := newOutline(loops)
		if fail = checkOffset(o, out, sign*distance, corners == Sharp); fail == nil {
			return out, nil
		}
	}
	return nil, fmt.Errorf("The outline cannot be %s by %s: near %s %s. Use a smaller distance, or a simpler outline.",
		done, mm(distance), at(fail.place), fail.why)
}

// moved carries all loops to the left by s and drops those that are gone.
//
// Shrinking an outer loop with holes is shrinking the loop and taking off the grown holes (erosion of an
// intersection is the intersection of the erosions), so the loops move by themselves as long as they stay apart.
func moved(o *Outline, s float64, round bool) ([][]Edge, *failure) {
	reach := o.bounds.reach() + math.Abs(s)
	parents := o.parents()
	out := make([][]Edge, len(o.loops))
	for i, loop := range o.loops {
		edges, fail := newFront(loop, s, reach, round).advance(s)
		if fail != nil {
			return nil, fail
		}
		out[i] = edges
		before, after := loopArea(loop), loopArea(edges)
		if math.Abs(after) <= gone*reach*reach {
			out[i] = nil
		} else if before*after < 0 {
			return nil, &failure{edges[0].From, "a loop would turn inside out"}
		}
	}
	for i, parent := range parents {
		if parent >= 0 && out[i] != nil && out[parent] != nil && eaten(out[parent], out[i], reach) {
			out[parent] = nil
		}
	}
	var kept [][]Edge
	for i, loop := range out {
		if loop == nil || parents[i] >= 0 && out[parents[i]] == nil {
			continue
		}
		if parents[i] >= 0 && winding(out[parents[i]], loop[0].From) == 0 {
			return nil, &failure{loop[0].From, "a hole would break through the edge"}
		}
		kept = append(kept, loop)
	}
	if c := findClash(kept, 10*gone*reach); c != nil {
		return nil, &failure{c.place, "its edges would cross or touch"}
	}
	return kept, nil
}

// eaten tells whether a hole has grown over all of the piece round it.
func eaten(piece, hole []Edge, reach float64) bool {
	if math.Abs(loopArea(piece)+loopArea(hole)) <= gone*reach*reach {
		return true
	}
	return winding(hole, piece[0].From) != 0 && findClash([][]Edge{piece, hole}, gone*reach) == nil
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

// checkOffset proves a result by what an offset is, not by how it was made: all of its edges lie at the distance from
// the first outline (further out only where corners are drawn on), on the right side of it, and points of a raster lie
// in or out as their own distance says.
func checkOffset(o, out *Outline, s float64, sharp bool) *failure {
	d := math.Abs(s)
	tol := 1e-9 * (o.bounds.reach() + d)
	for _, loop := range out.loops {
		for _, e := range loop {
			for _, share := range []float64{0.01, 0.3, 0.5, 0.8, 0.99} {
				p := e.At(share)
				gap := o.distance(p) - d
				if gap < -tol || gap > tol && !sharp || inside(o.loops, p) != (s > 0) {
					return &failure{p, "the edges would come too close to each other"}
				}
			}
		}
	}
	if (out.Area()-o.Area())*s > 0 {
		return &failure{o.middle, "the area would change the wrong way"}
	}
	return checkRaster(o, out, s, sharp, tol)
}

// raster points a side; a whole number of steps would put points on the axes of symmetry, where shapes vanish.
const raster = 9

func checkRaster(o, out *Outline, s float64, sharp bool, tol float64) *failure {
	b, d := o.bounds, math.Abs(s)
	if s < 0 {
		b = Bounds{b.Left - d, b.Right + d, b.Bottom - d, b.Top + d}
	}
	for i := range raster {
		for j := range raster {
			p := value.Place{
				X: b.Left + b.Width()*(float64(i)+0.47)/raster,
				Y: b.Bottom + b.Depth()*(float64(j)+0.53)/raster,
			}
			depth := o.distance(p)
			if !inside(o.loops, p) {
				depth = -depth
			}
			// depth - s is positive where p lies inside the true offset.
			if math.Abs(depth-s) <= tol {
				continue
			}
			in := inside(out.loops, p)
			if want := depth > s; in != want && !(sharp && in == (s < 0)) {
				return &failure{p, "a part of the outline would be lost or added"}
			}
		}
	}
	return nil
}
