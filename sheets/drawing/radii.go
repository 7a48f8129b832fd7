package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"castwright/lang/show"
	"castwright/lang/value"
)

// mostRadii is how many different radii are marked; what has more is a free curve, which a drawing does not measure.
const mostRadii = 8

// round is one radius of a figure, with the arcs that have it, or one diameter, with its circles.
type round struct {
	radius float64 // metres
	whole  int     // full circles; 0 for a radius
	arcs   []value.Stroke
	length float64
}

// words are what is written at a leader: R 40 mm, ⌀ 120 mm, 4 × ⌀ 12 mm.
func (r round) words(length *show.Spec) string {
	switch r.whole {
	case 0:
		return "R " + length.Text(r.radius)
	case 1:
		return "⌀ " + length.Text(2*r.radius)
	}
	return fmt.Sprintf("%d × ⌀ %s", r.whole, length.Text(2*r.radius))
}

// rounds lists the radii and the diameters of loops, each once, the greatest first, and how many are left out of it.
func rounds(loops [][]value.Stroke) (out []round, more int) {
	add := func(circle bool, arcs ...value.Stroke) {
		r := arcs[0].Radius
		i := slices.IndexFunc(out, func(o round) bool { return (o.whole > 0) == circle && math.Abs(o.radius-r) <= 1e-9*r })
		if i < 0 {
			i, out = len(out), append(out, round{radius: r})
		}
		o := &out[i]
		o.arcs = append(o.arcs, arcs...)
		for _, e := range arcs {
			o.length += r * math.Abs(e.Sweep)
		}
		if circle {
			o.whole++
		}
	}
	for _, l := range loops {
		if isCircle(l) {
			add(true, l...)
			continue
		}
		for _, e := range l {
			if e.IsArc() {
				add(false, e)
			}
		}
	}
	if n := len(out); n > mostRadii { // those that make up most of the figure
		slices.SortStableFunc(out, func(a, b round) int { return cmp.Compare(b.length, a.length) })
		out, more = out[:mostRadii], n-mostRadii
	}
	slices.SortStableFunc(out, func(a, b round) int { return cmp.Compare(b.radius, a.radius) })
	return out, more
}

// isCircle tells whether a loop is one full circle.
func isCircle(loop []value.Stroke) bool {
	turn := 0.0
	for _, e := range loop {
		near := 1e-9 * e.Radius
		if !e.IsArc() || math.Abs(e.Radius-loop[0].Radius) > near || math.Hypot(e.Centre.X-loop[0].Centre.X, e.Centre.Y-loop[0].Centre.Y) > near {
			return false
		}
		turn += e.Sweep
	}
	return len(loop) > 0 && math.Abs(math.Abs(turn)-2*math.Pi) < 1e-9
}

// labels places the words of radii about a figure so that they are read well.
type labels struct {
	edges []segment // of the figure
	taken []box     // by words
	lines []segment // leaders
	whole box
}

// segment is a straight piece of a line, with the box round it.
type segment struct {
	a, b value.Place
	box  box
}

func segmentOf(a, b value.Place) segment { return segment{a, b, boxOf(a, b).grown(1e-9)} }

// leader is one way to place a label.
type leader struct {
	point, knee, shelf value.Place
	towards            value.Place // from the point to the knee
	text               text
	cost               float64
}

// The ways that are tried: where on an arc, how far away, and how many of the arcs.
var (
	labelShares  = []float64{0.5, 0.3, 0.7, 0.15, 0.85}
	labelLengths = []float64{7, 11, 16, 23, 32}
)

const (
	labelArcs  = 12
	labelShelf = 2.0
	clearance  = 1.0 // about words
)

// place finds the best way for a label at arcs that lie on paper.
func (l *labels) place(arcs []value.Stroke, words string) *leader {
	best := &leader{cost: math.Inf(1)}
	every := (len(arcs) + labelArcs - 1) / labelArcs
	for i := 0; i < len(arcs); i += every {
		e := arcs[i]
		for _, share := range labelShares {
			p := e.At(share)
			out := value.Place{X: (p.X - e.Centre.X) / e.Radius, Y: (p.Y - e.Centre.Y) / e.Radius}
			for _, side := range []float64{1, -1} {
				for _, length := range labelLengths {
					extra := 0.15*length + 3*math.Abs(share-0.5)
					if side < 0 && length > e.Radius { // through the centre to the other side
						extra++
					}
					for _, c := range leaders(p, value.Place{X: out.X * side, Y: out.Y * side}, length, words) {
						if c.cost += extra + l.against(c, best.cost); c.cost < best.cost {
							best = c
						}
					}
				}
			}
		}
	}
	return best
}

// leaders makes the ways out in a direction: the words behind a shelf or, where the line is steep, in the middle at its end.
func leaders(p, towards value.Place, length float64, words string) []*leader {
	const lower = 0.36 * small // the base line lies below the middle of the letters
	knee := value.Place{X: p.X + towards.X*length, Y: p.Y + towards.Y*length}
	way, side := 1.0, begin
	if towards.X < -1e-9 {
		way, side = -1, end
	}
	shelf := value.Place{X: knee.X + way*labelShelf, Y: knee.Y}
	t := text{at: value.Place{X: shelf.X + way*0.8, Y: shelf.Y - lower}, words: words, size: small, align: side, colour: ink}
	out := []*leader{{point: p, knee: knee, shelf: shelf, towards: towards, text: t}}
	if math.Abs(towards.Y) > 0.7 {
		t.at, t.align = value.Place{X: knee.X, Y: knee.Y - lower + math.Copysign(0.36*small+0.8, towards.Y)}, middle
		out = append(out, &leader{point: p, knee: knee, shelf: knee, towards: towards, text: t, cost: 0.5})
	}
	return out
}

// against tells what speaks against a way; it looks no further where that is more than most.
func (l *labels) against(c *leader, most float64) float64 {
	b := c.text.box().grown(clearance)
	stem := segmentOf(value.Place{X: c.point.X + c.towards.X*0.3, Y: c.point.Y + c.towards.Y*0.3}, c.knee)
	shelf := segmentOf(c.knee, c.shelf)
	more := l.whole.with(b)
	cost := 0.25 * (more.width() - l.whole.width() + more.depth() - l.whole.depth())
	for _, t := range l.taken {
		if b.meets(t) {
			cost += 1000
		}
		if crossesBox(stem, t) {
			cost += 100
		}
	}
	about := b.with(stem.box).with(shelf.box)
	for _, e := range l.edges {
		if cost > most {
			break
		}
		if !about.meets(e.box) {
			continue
		}
		if crossesBox(e, b) {
			cost += 15
		}
		if crosses(stem, e) || crosses(shelf, e) {
			cost += 8
		}
	}
	for _, e := range l.lines {
		if about.meets(e.box) && (crossesBox(e, b) || crosses(stem, e) || crosses(shelf, e)) {
			cost += 60
		}
	}
	return cost
}

// take keeps what a label covers from the others, and gives its marks.
func (l *labels) take(c *leader) []mark {
	l.taken = append(l.taken, c.text.box().grown(clearance))
	l.lines = append(l.lines, segmentOf(c.point, c.knee), segmentOf(c.knee, c.shelf))
	l.whole = l.whole.with(c.text.box())
	points := []value.Place{c.point, c.knee}
	if c.shelf != c.knee {
		points = append(points, c.shelf)
	}
	return []mark{line{points: points, pen: narrow}, arrow(c.point, c.towards), c.text}
}

// crosses tells whether two segments meet.
func crosses(s, t segment) bool {
	side := func(s segment, p value.Place) float64 {
		return (s.b.X-s.a.X)*(p.Y-s.a.Y) - (s.b.Y-s.a.Y)*(p.X-s.a.X)
	}
	return side(s, t.a)*side(s, t.b) <= 0 && side(t, s.a)*side(t, s.b) <= 0 && s.box.meets(t.box)
}

// crossesBox tells whether a segment passes through a box.
func crossesBox(s segment, b box) bool {
	if !s.box.meets(b) {
		return false
	}
	side := 0
	for _, p := range []value.Place{{X: b.left, Y: b.bottom}, {X: b.right, Y: b.bottom}, {X: b.left, Y: b.top}, {X: b.right, Y: b.top}} {
		if (s.b.X-s.a.X)*(p.Y-s.a.Y) > (s.b.Y-s.a.Y)*(p.X-s.a.X) {
			side++
		}
	}
	return side > 0 && side < 4
}
