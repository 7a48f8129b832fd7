package shapes

import (
	"errors"
	"math"
	"slices"

	"castwright/lang/value"
)

// grid is the share of the greatest coordinate of a drawing within which curves touch, and points lie on an edge: a drawing
// that reaches out to 1 m is worked to 0.01 nm. The decisions of the kernel that go by tolerance are made in this file,
// once, in multiples of it.
const grid = 1e-11

const (
	snapping = 2 // points this near each other are one vertex
	lying    = 3 // vertices this near an edge divide it: a point on it may have been moved to a vertex
	merging  = 8 // pieces between the same vertices whose middles are this near each other are one piece
)

// coarser are the multiples of the grid that are tried in turn. Outlines that are nearly the same may keep apart by just
// about the tolerance, now more, now less; on a coarser grid they are one.
var coarser = []float64{1, 10, 100, 1000}

// mostWork bounds the pairs of edges that are compared in one operation.
const mostWork = 20_000_000

var errTooMuch = errors.New("The outlines cross each other too often to be worked with. Simplify them.")

// strand is an edge of a loop that belongs to one of two groups.
type strand struct {
	edge  Edge
	group int
}

// strandsOf gives the edges of outlines as strands of a group.
func strandsOf(to []strand, group int, outlines ...*Outline) []strand {
	for _, o := range outlines {
		for _, loop := range o.loops {
			for _, e := range loop {
				to = append(to, strand{e, group})
			}
		}
	}
	return to
}

// counts holds a number for each of two groups: how often loops run along an edge or round a place.
type counts [2]int

// piece is a part of an edge, or of several that coincide, that meets others only at its ends.
type piece struct {
	a, b  int    // vertices
	edge  Edge   // from a to b
	times counts // how often loops run along it from a to b, less those from b to a
	left  counts // how often loops wind round what lies to the left of it
}

// right is how often loops wind round what lies to the right of it.
func (p *piece) right() counts { return counts{p.left[0] - p.times[0], p.left[1] - p.times[1]} }

// arrangement is the plane divided by loops: vertices, and pieces between them that do not cross.
type arrangement struct {
	reach    float64 // the greatest coordinate
	tol      float64 // what counts as nothing
	vertices []value.Place
	cells    map[[2]int64][]int // vertices by cell of the grid
	pieces   []piece
}

// arrange divides the strands, which form closed loops that may cross, touch and lie on each other, where they meet. All
// that is within the tolerances above is one, so that pieces either coincide or keep clear of each other.
// The grid is made coarser by a factor of 1 or more.
func arrange(strands []strand, coarse float64) (*arrangement, error) {
	g := &arrangement{cells: map[[2]int64][]int{}}
	boxes := make([]Bounds, len(strands))
	for i, s := range strands {
		boxes[i] = s.edge.bounds()
		g.reach = math.Max(g.reach, boxes[i].reach())
	}
	g.tol = grid * coarse * g.reach
	if !finite(g.reach) {
		return nil, errNotFinite
	}
	ends := make([][2]int, len(strands))
	for i, s := range strands {
		ends[i] = [2]int{g.vertex(s.edge.From), g.vertex(s.edge.To)}
	}
	if err := g.meet(strands, newBoxTree(boxes)); err != nil {
		return nil, err
	}
	g.divide(strands, ends)
	g.wind()
	return g, nil
}

// vertex finds or makes the vertex of a point. The first point of a place stays: edges given keep their ends to the bit.
func (g *arrangement) vertex(p value.Place) int {
	r := snapping * g.tol
	x, y := int64(math.Floor(p.X/r)), int64(math.Floor(p.Y/r))
	best, least := -1, r
	for i := x - 1; i <= x+1; i++ {
		for j := y - 1; j <= y+1; j++ {
			for _, v := range g.cells[[2]int64{i, j}] {
				if d := apart(p, g.vertices[v]); d <= least {
					best, least = v, d
				}
			}
		}
	}
	if best >= 0 {
		return best
	}
	v := len(g.vertices)
	g.vertices = append(g.vertices, p)
	g.cells[[2]int64{x, y}] = append(g.cells[[2]int64{x, y}], v)
	return v
}

// meet makes vertices of the places where strands cross or touch.
func (g *arrangement) meet(strands []strand, t *boxTree) error {
	tol := g.tol
	work := 0
	for i, s := range strands {
		box := t.boxes[i]
		t.find(func(b Bounds) bool { return box.near(b, tol) && s.edge.mayReach(b, tol) }, func(j int) {
			if work++; j <= i || work > mostWork {
				return
			}
			for _, p := range contacts(s.edge, strands[j].edge, tol) {
				g.vertex(p)
			}
		})
		if work > mostWork {
			return errTooMuch
		}
	}
	return nil
}

// divide makes the pieces.
func (g *arrangement) divide(strands []strand, ends [][2]int) {
	points := make([]Bounds, len(g.vertices))
	for i, p := range g.vertices {
		points[i] = Bounds{p.X, p.X, p.Y, p.Y}
	}
	t, tol := newBoxTree(points), lying*g.tol
	same := map[[2]int][]int{}
	for i, s := range strands {
		box := s.edge.bounds()
		var on []int
		t.find(func(b Bounds) bool { return box.near(b, tol) && s.edge.mayReach(b, tol) }, func(v int) {
			// What lies beyond an end is the neighbour's, even where it is within the tolerance.
			if p := g.vertices[v]; v != ends[i][0] && v != ends[i][1] && s.edge.onto(p) && s.edge.distance(p) <= tol {
				on = append(on, v)
			}
		})
		share := map[int]float64{}
		for _, v := range on {
			share[v] = s.edge.share(g.vertices[v])
		}
		slices.Sort(on)
		slices.SortStableFunc(on, func(v, w int) int {
			switch a, b := share[v], share[w]; {
			case a < b:
				return -1
			case a > b:
				return 1
			}
			return 0
		})
		from := ends[i][0]
		for k := range len(on) + 1 {
			to := ends[i][1]
			if k < len(on) {
				to = on[k]
			}
			if from != to {
				g.put(same, s, from, to, from == ends[i][0] && to == ends[i][1])
			}
			from = to
		}
	}
	g.pieces = slices.DeleteFunc(g.pieces, func(p piece) bool { return p.times == counts{} })
}

// put adds the part of a strand between two vertices; whole tells that it is all of it.
func (g *arrangement) put(same map[[2]int][]int, s strand, from, to int, whole bool) {
	e := s.edge
	e.From, e.To = g.vertices[from], g.vertices[to]
	switch {
	case e.IsArc() && e.chord()*e.chord() <= 8*e.Radius*g.tol: // its ends may lie further off the circle than it rises
		e = line(e.From, e.To)
	case e.IsArc() && !whole:
		e = e.part(e.From, e.To)
	}
	key := [2]int{min(from, to), max(from, to)}
	for _, k := range same[key] {
		p := &g.pieces[k]
		if apart(p.edge.At(0.5), e.At(0.5)) > merging*g.tol {
			continue
		}
		if p.a == from {
			p.times[s.group]++
		} else {
			p.times[s.group]--
		}
		return
	}
	p := piece{a: from, b: to, edge: e}
	p.times[s.group] = 1
	same[key] = append(same[key], len(g.pieces))
	g.pieces = append(g.pieces, p)
}

// part is the part of an arc between two points on it, in its own sense of turning.
func (e Edge) part(from, to value.Place) Edge {
	sign := math.Copysign(1, e.Sweep)
	turn := sign * angleFrom(sub(from, e.Centre), sub(to, e.Centre))
	if turn < 0 {
		turn += 2 * math.Pi
	}
	if turn > math.Pi { // rounding: hardly a turn at all, or hardly more than half a turn
		turn = math.Pi
		if apart(from, to) < e.Radius {
			turn = 0
		}
	}
	e.From, e.To, e.Sweep = from, to, sign*turn
	return e
}

// mayReach tells that an edge may come within a gap of a box; it holds wherever the edge does, and often elsewhere.
func (e Edge) mayReach(b Bounds, gap float64) bool {
	middle := value.Place{X: (b.Left + b.Right) / 2, Y: (b.Bottom + b.Top) / 2}
	round := math.Hypot(b.Width(), b.Depth())/2*(1+1e-9) + 2*gap
	if e.IsArc() {
		return math.Abs(apart(middle, e.Centre)-e.Radius) <= round
	}
	d := sub(e.To, e.From)
	return math.Abs(cross(d, sub(middle, e.From))) <= round*size(d)
}

// contacts gives the points where two edges cross or touch within a tolerance, ends apart; where they touch, one point.
func contacts(e, f Edge, tol float64) []value.Place {
	var out []value.Place
	for _, p := range touching(e, f, tol) {
		if e.distance(p) <= tol && f.distance(p) <= tol {
			out = append(out, p)
		}
	}
	return out
}

// touching gives the points where the lines or circles of two edges cross, or the one where they touch within a tolerance;
// none where they are the same.
func touching(e, f Edge, tol float64) []value.Place {
	switch {
	case !e.IsArc() && !f.IsArc():
		return crossings(e, f)
	case e.IsArc() && f.IsArc():
		d := sub(f.Centre, e.Centre)
		far := size(d)
		switch outer, inner := far-(e.Radius+f.Radius), far-math.Abs(e.Radius-f.Radius); {
		case far+math.Abs(e.Radius-f.Radius) <= tol:
			return nil
		case math.Abs(outer) <= tol:
			return []value.Place{along(e.Centre, d, (e.Radius+outer/2)/far)}
		case math.Abs(inner) <= tol && far > 0:
			if e.Radius > f.Radius {
				return []value.Place{along(e.Centre, d, (e.Radius+inner/2)/far)}
			}
			return []value.Place{along(f.Centre, d, -(f.Radius+inner/2)/far)}
		}
		return circleCircle(e.Centre, e.Radius, f.Centre, f.Radius)
	case e.IsArc():
		e, f = f, e
	}
	d := unit(sub(e.To, e.From))
	if off := math.Abs(cross(d, sub(f.Centre, e.From))); math.Abs(off-f.Radius) <= tol {
		return []value.Place{along(e.From, d, dot(sub(f.Centre, e.From), d))}
	}
	return lineCircle(e, f.Centre, f.Radius)
}
