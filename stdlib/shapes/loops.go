package shapes

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/value"
)

// ErrPlace is a mistake in a shape that lies at a place of it. Loop and Edge count from 0.
type ErrPlace struct {
	Text  string // a sentence, with the place
	Place value.Place
	Loops [2]int // the loops that are at odds, or one twice
	Edges [2]int
}

func (e *ErrPlace) Error() string { return e.Text }

// FromLoops makes an outline of closed loops, given in any order and either way round: one that lies in an even number
// of others bounds a piece, one that lies in an odd number a hole. Arcs turn by at most half a turn (see Arc).
// Loops that do not close, and edges that cross or touch, are refused with an *ErrPlace.
func FromLoops(loops [][]Edge) (*Outline, error) {
	kept := make([][]Edge, 0, len(loops))
	reach := 0.0
	for _, loop := range loops {
		for _, e := range loop {
			if !finite(e.From.X, e.From.Y, e.To.X, e.To.Y, e.Centre.X, e.Centre.Y, e.Radius) {
				return nil, fmt.Errorf("An edge of the outline lies nowhere that can be worked with: %s.", at(e.From))
			}
			b := e.bounds()
			reach = math.Max(reach, b.reach())
		}
	}
	gap := 1e-11 * reach
	for i, loop := range loops {
		if len(loop) == 0 {
			continue
		}
		out := append([]Edge(nil), loop...)
		for j := range out {
			next := &out[(j+1)%len(out)]
			if d := apart(out[j].To, next.From); d > 1e3*gap {
				return nil, &ErrPlace{fmt.Sprintf("The outline is not closed: near %s its edges are %s apart.", at(out[j].To), mm(d)), out[j].To, [2]int{i, i}, [2]int{j, (j + 1) % len(out)}}
			}
			out[j].To = next.From
		}
		kept = append(kept, out)
	}
	if c := findClash(kept, gap); c != nil {
		return nil, &ErrPlace{fmt.Sprintf("The outline crosses or touches itself at %s.", at(c.place)), c.place, c.loop, c.edge}
	}
	for i, loop := range kept {
		area := loopArea(loop)
		if math.Abs(area) <= gap*reach {
			return nil, errors.New("A loop of the outline has no area.")
		}
		depth := 0
		for k, other := range kept {
			if k != i && winding(other, loop[0].From) != 0 {
				depth++
			}
		}
		if area > 0 != (depth%2 == 0) {
			kept[i] = reversed(loop)
		}
	}
	return newOutline(kept), nil
}

// reversed is a loop travelled the other way.
func reversed(loop []Edge) []Edge {
	out := make([]Edge, len(loop))
	for i, e := range loop {
		out[len(loop)-1-i] = e.back()
	}
	return out
}

// Line is the straight edge between two points.
func Line(from, to value.Place) Edge { return line(from, to) }

// Arc is the circular arc about a centre from one point, turning by sweep (rad, left where positive) to another, as one
// edge or, beyond half a turn, two. The ends lie on the circle; where they are the same point it is a full turn.
func Arc(centre, from, to value.Place, sweep float64) []Edge {
	return arcs(nil, centre, apart(from, centre), from, to, sweep)
}
