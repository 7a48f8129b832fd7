package shapes

import (
	"fmt"
	"math"
	"slices"

	"castwright/lang/value"
)

// Round and Sharp say how an offset shapes the corners that it opens: by an arc about the corner, or by drawing the
// edges on until they meet.
const (
	Round = "round"
	Sharp = "sharp"
)

// Grow moves every edge of an outline outwards by a distance of 0 or more. Corners that point outwards open, and are
// shaped as corners says; others close by themselves. Holes get smaller and may vanish, and pieces may run together.
func Grow(o *Outline, distance float64, corners string) (*Outline, error) {
	return offset(o, distance, corners, "grown", -1)
}

// Shrink moves every edge of an outline inwards by a distance of 0 or more. Corners that point inwards open, and are
// shaped as corners says; others close by themselves. Narrow parts vanish, and a piece may fall apart; where nothing is
// left the result is the empty outline.
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
	var strands []strand
	for _, loop := range o.loops {
		edges, fail := displaced(loop, sign*distance, corners == Sharp)
		if fail != nil {
			return nil, fmt.Errorf("The outline cannot be %s by %s with sharp corners: near %s %s. Use round corners, or a smaller distance.",
				done, mm(distance), at(fail.place), fail.why)
		}
		for _, e := range edges {
			strands = append(strands, strand{edge: e})
		}
	}
	return overlay(fmt.Sprintf("%s by %s", done, mm(distance)), strands, func(w counts) bool { return w[0] > 0 })
}

// displaced carries the edges of a loop to the left by s, to the right where s is negative, and joins their ends. The
// closed way that results winds once round what is left of the inside, or round all of what is gained.
//
// What is nearer to the loop than |s|, on the side that it moves to, is the sum of a strip along each edge (of an arc with
// a radius below |s|, the sector as far as its centre) and of a sector about each corner that opens. Their sides cancel
// where they lie against each other; what remains of their edges, less the loop itself, is this way. So it winds round
// every place as often as the loop does, less or more the number of strips and sectors that cover it.
func displaced(loop []Edge, s float64, sharp bool) ([]Edge, *failure) {
	var out []Edge
	for i, e := range loop {
		next := loop[(i+1)%len(loop)]
		out = append(out, e.beside(s)...)
		h, g := e.headingAt(e.To), next.headingAt(next.From)
		from, to := along(e.To, leftOf(h), s), along(e.To, leftOf(g), s)
		turn := turnTo(e, next)
		switch {
		case math.Abs(turn) < smooth: // no corner
			out = append(out, line(from, to))
		case turn*s > 0: // it closes
			out = append(out, line(from, e.To), line(e.To, to))
		case sharp:
			edges, ok := mitre(e, next, s, from, to)
			if !ok {
				return nil, &failure{e.To, "the edges, drawn on, do not meet"}
			}
			out = append(out, edges...)
		default:
			out = append(out, Edge{from, to, e.To, math.Abs(s), turn})
		}
	}
	return slices.DeleteFunc(out, func(e Edge) bool { return e.From == e.To }), nil
}

// turnTo is the angle, to the left, by which the way turns from an edge to the next. Where it turns right back, the sides
// of the tip decide, a little off it: the inside lies between them, or all round them.
func turnTo(e, f Edge) float64 {
	turn := angleFrom(e.headingAt(e.To), f.headingAt(f.From))
	if math.Abs(turn) < math.Pi-smooth {
		return turn
	}
	short := math.Min(e.chord(), f.chord()) / 4
	if angleFrom(e.back().bearing(short), f.bearing(short)) < 0 {
		return math.Abs(turn)
	}
	return -math.Abs(turn)
}

// beside is an edge carried to the left by s. An arc that would turn inside out goes to its centre and from there to
// where its end would lie.
func (e Edge) beside(s float64) []Edge {
	from, to := along(e.From, leftOf(e.headingAt(e.From)), s), along(e.To, leftOf(e.headingAt(e.To)), s)
	if !e.IsArc() {
		return []Edge{line(from, to)}
	}
	radius := e.Radius - math.Copysign(1, e.Sweep)*s
	if radius <= grid*e.Radius {
		return []Edge{line(from, e.Centre), line(e.Centre, to)}
	}
	return []Edge{{from, to, e.Centre, radius, e.Sweep}}
}

// mitre draws two edges, carried to the left by s, on from a corner that opens until they meet.
func mitre(e, f Edge, s float64, from, to value.Place) ([]Edge, bool) {
	a, okA := e.drawnOn(s, from, e.heading(1))
	b, okB := f.drawnOn(s, to, f.heading(0))
	if !okA || !okB {
		return nil, false
	}
	best, least := value.Place{}, math.Inf(1)
	for _, p := range crossings(a, b) {
		if length := a.ahead(from, p, e.heading(1)) + b.ahead(to, p, times(f.heading(0), -1)); length < least {
			best, least = p, length
		}
	}
	if !finite(least) {
		return nil, false
	}
	return append(a.until(from, best), b.until(best, to)...), true
}

// drawnOn is the line or circle on which an edge lies when it is carried to the left by s, as an edge through one of its
// points, with its heading there.
func (e Edge) drawnOn(s float64, p, heading value.Place) (Edge, bool) {
	if !e.IsArc() {
		return line(p, add(p, heading)), true
	}
	e.Radius -= math.Copysign(1, e.Sweep) * s
	return e, e.Radius > grid*apart(e.From, e.Centre)
}

// ahead is the way along a line or circle from one point to another, setting out in a direction; infinite where a line
// leads away from it.
func (e Edge) ahead(from, to, heading value.Place) float64 {
	if !e.IsArc() {
		if d := dot(sub(to, from), heading); d >= 0 {
			return d
		}
		return math.Inf(1)
	}
	v := sub(from, e.Centre)
	turn := angleFrom(v, sub(to, e.Centre))
	if cross(v, heading) < 0 {
		turn = -turn
	}
	if turn < 0 {
		turn += 2 * math.Pi
	}
	return turn * e.Radius
}

// until is the part of a line or circle between two points of it, in its own sense of turning.
func (e Edge) until(from, to value.Place) []Edge {
	if !e.IsArc() {
		return []Edge{line(from, to)}
	}
	turn := angleFrom(sub(from, e.Centre), sub(to, e.Centre))
	if turn*e.Sweep < 0 {
		turn += math.Copysign(2*math.Pi, e.Sweep)
	}
	return arcs(nil, e.Centre, e.Radius, from, to, turn)
}
