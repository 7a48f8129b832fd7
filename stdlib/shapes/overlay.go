package shapes

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/value"
)

// Join is what lies in any of the outlines. Edges that coincide vanish; pieces that touch at a point alone stay apart.
func Join(outlines ...*Outline) (*Outline, error) {
	return overlay("joined", strandsOf(nil, 0, outlines...), func(w counts) bool { return w[0] > 0 })
}

// Cut is what lies in the first outline and in none of the others.
func Cut(from *Outline, others ...*Outline) (*Outline, error) {
	return overlay("cut", strandsOf(strandsOf(nil, 0, from), 1, others...), func(w counts) bool { return w[0] > 0 && w[1] <= 0 })
}

// Overlap is what lies in all of the outlines.
func Overlap(outlines ...*Outline) (*Outline, error) {
	if len(outlines) == 0 {
		return nil, errors.New("An overlap needs at least one outline.")
	}
	return overlay("overlapped", strandsOf(nil, 0, outlines...), func(w counts) bool { return w[0] >= len(outlines) })
}

// overlay makes the outline of all places whose winding numbers inside takes, from loops as strands.
func overlay(done string, strands []strand, inside func(counts) bool) (*Outline, error) {
	if len(strands) == 0 {
		return Empty(), nil
	}
	var fail *failure
	for _, coarse := range coarser {
		g, err := arrange(strands, coarse)
		if err != nil {
			return nil, err
		}
		var out *Outline
		if out, fail = g.outline(inside); fail == nil {
			return out, nil
		}
	}
	return nil, fmt.Errorf("The outlines cannot be %s: near %s %s. Move one of them a little, or simplify them.", done, at(fail.place), fail.why)
}

// outline makes the outline of the places that inside takes, and proves it.
func (g *arrangement) outline(inside func(counts) bool) (*Outline, *failure) {
	loops, fail := g.trace(inside)
	if fail != nil {
		return nil, fail
	}
	if fail = proved(loops); fail != nil {
		return nil, fail
	}
	out := newOutline(tidied(loops, g.tol))
	if traced := momentsOf(loops, out.middle).A; math.Abs(out.Area()-traced) > 100*g.tol*(out.perimeter+g.reach) {
		return nil, &failure{out.middle, "the edges are too short to be told apart"}
	}
	return out, nil
}

// directed is a piece on the edge of the result, travelled with the inside on its left.
type directed struct {
	from, to int
	edge     Edge
}

// trace gives the loops round what lies inside.
func (g *arrangement) trace(inside func(counts) bool) ([][]Edge, *failure) {
	var all []directed
	for i := range g.pieces {
		p := &g.pieces[i]
		l, r := inside(p.left), inside(p.right())
		switch {
		case l && !r:
			all = append(all, directed{p.a, p.b, p.edge})
		case r && !l:
			all = append(all, directed{p.b, p.a, p.edge.back()})
		}
	}
	out, in := map[int][]int{}, map[int]int{}
	for i, d := range all {
		out[d.from] = append(out[d.from], i)
		in[d.to]++
	}
	for _, d := range all {
		if in[d.from] != len(out[d.from]) || in[d.to] != len(out[d.to]) {
			return nil, &failure{g.vertices[d.from], "its edges cannot be told apart"}
		}
	}
	used := make([]bool, len(all))
	var loops [][]Edge
	for i := range all {
		if used[i] {
			continue
		}
		var way []directed
		for k := i; !used[k]; {
			used[k] = true
			way = append(way, all[k])
			k = g.next(all, out[all[k].to], k)
		}
		loops = append(loops, simple(way)...)
	}
	return loops, nil
}

// next chooses among the pieces that leave the end of piece k the one that bounds the same material: the first one found
// turning right from where k comes.
func (g *arrangement) next(all []directed, leaving []int, k int) int {
	if len(leaving) == 1 {
		return leaving[0]
	}
	short := all[k].edge.chord()
	for _, i := range leaving {
		short = math.Min(short, all[i].edge.chord())
	}
	back := all[k].edge.back().bearing(short / 4)
	best, least := leaving[0], math.Inf(1)
	for _, i := range leaving {
		turn := -angleFrom(back, all[i].edge.bearing(short/4)) // to the right
		if turn <= 0 {
			turn += 2 * math.Pi
		}
		if turn < least {
			best, least = i, turn
		}
	}
	return best
}

func (e Edge) chord() float64 { return apart(e.From, e.To) }

// bearing is the direction from the start of an edge to the point of it at a distance, which is not above its chord.
func (e Edge) bearing(distance float64) value.Place {
	h := e.heading(0)
	if !e.IsArc() {
		return h
	}
	return rotated(h, math.Copysign(math.Asin(math.Min(distance/2/e.Radius, 1)), e.Sweep))
}

// simple divides a closed way into loops that pass each vertex once.
func simple(way []directed) (loops [][]Edge) {
	var path []directed
	seen := map[int]int{} // where on the path a vertex is left
	for _, d := range way {
		seen[d.from] = len(path)
		path = append(path, d)
		k, closed := seen[d.to]
		if !closed {
			continue
		}
		var loop []Edge
		for _, p := range path[k:] {
			loop = append(loop, p.edge)
			delete(seen, p.from)
		}
		loops, path = append(loops, loop), path[:k]
	}
	return loops
}

// proved winds anew round the loops of a result, divided still where they touch: each edge must have the inside on its left and nothing on its right.
func proved(loops [][]Edge) *failure {
	if len(loops) == 0 {
		return nil
	}
	g := &arrangement{}
	for _, loop := range loops {
		for i, e := range loop {
			n := len(g.vertices)
			to := n + 1
			if i == len(loop)-1 {
				to = n - i
			}
			g.vertices = append(g.vertices, e.From)
			g.pieces = append(g.pieces, piece{a: n, b: to, edge: e, times: counts{1}})
		}
	}
	g.wind()
	for i := range g.pieces {
		if p := &g.pieces[i]; p.left[0] != 1 {
			return &failure{p.edge.At(0.5), "it cannot be told which side is the inside"}
		}
	}
	return nil
}
