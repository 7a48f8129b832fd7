package drawing

import (
	"math"

	"castwright/lang/value"
)

// Dimension lines after ISO 129-1: narrow, with filled arrowheads, the words above the line and read from below or from
// the right; extension lines begin a little off the figure and end a little beyond the dimension line. In millimetres.
const (
	arrowLength = 2.5
	arrowHalf   = 0.45
	offLine     = 9.0 // of a dimension line from the figure
	offFigure   = 1.0 // of an extension line from the figure
	beyond      = 1.5 // of an extension line over its dimension line
	offWords    = 1.0 // of words from the line below them
	tail        = 5.0 // of a line behind an arrow that points in from outside
)

// group is a bunch of marks that stand together, with the room that they take.
type group struct {
	marks []mark
	box   box
}

func (g *group) add(marks ...mark) {
	for _, m := range marks {
		g.marks = append(g.marks, m)
		g.box = g.box.with(m.box())
	}
}

// put adds the marks of another group, moved.
func (g *group) put(other *group, x, y float64) {
	for _, m := range other.marks {
		g.add(m.moved(x, y))
	}
}

// axis turns places that are told by how far they lie along a dimension line and across it into places on paper.
type axis struct{ upright bool }

func (a axis) place(along, across float64) value.Place {
	if a.upright {
		return value.Place{X: across, Y: along}
	}
	return value.Place{X: along, Y: across}
}

// split is the other way round.
func (a axis) split(p value.Place) (along, across float64) {
	if a.upright {
		return p.Y, p.X
	}
	return p.X, p.Y
}

// dimension draws the size between two places: along x below them or, upright, along y to their left, with its dimension
// line at `at`.
func dimension(from, to value.Place, upright bool, at float64, words string) *group {
	g := &group{}
	a := axis{upright}
	low, lowAcross := a.split(from)
	high, highAcross := a.split(to)
	for _, e := range [][2]float64{{low, lowAcross}, {high, highAcross}} {
		g.add(line{points: []value.Place{a.place(e[0], e[1]-offFigure), a.place(e[0], at-beyond)}, pen: narrow})
	}
	span := high - low
	room := measure(words, small, false)
	first, last := low, high
	inward := span >= 2*arrowLength+1
	if !inward { // the arrows stand outside
		first, last = low-tail, high+tail
	}
	t := text{at: a.place((low+high)/2, at), words: words, size: small, align: middle, upright: upright, colour: ink}
	if room+1 > span { // and so do the words, over the line drawn on
		start := high + beyond
		if !inward {
			start = high + arrowLength + 0.5
		}
		last = max(last, start+room)
		t.at, t.align = a.place(start, at), begin
	}
	if upright {
		t.at.X -= offWords
	} else {
		t.at.Y += offWords
	}
	g.add(line{points: []value.Place{a.place(first, at), a.place(last, at)}, pen: narrow}, t)
	back := 1.0
	if !inward {
		back = -1
	}
	g.add(arrow(a.place(low, at), a.place(back, 0)), arrow(a.place(high, at), a.place(-back, 0)))
	return g
}

// arrow is an arrowhead with its point at a place; its body lies towards a direction of length 1.
func arrow(point, towards value.Place) line {
	base := value.Place{X: point.X + towards.X*arrowLength, Y: point.Y + towards.Y*arrowLength}
	across := value.Place{X: -towards.Y * arrowHalf, Y: towards.X * arrowHalf}
	return line{points: []value.Place{point, {X: base.X + across.X, Y: base.Y + across.Y}, {X: base.X - across.X, Y: base.Y - across.Y}}, closed: true, fill: ink}
}

// reach gives the outermost places of strokes to the left and right, the lowest of them, and below and above, those
// farthest to the left: there extension lines begin, and none crosses the figure.
func reach(loops [][]value.Stroke) (left, right, bottom, top value.Place) {
	b := extent(loops)
	gap := 1e-9 * max(b.width(), b.depth())
	left = value.Place{X: b.left, Y: math.Inf(1)}
	right = value.Place{X: b.right, Y: math.Inf(1)}
	bottom = value.Place{X: math.Inf(1), Y: b.bottom}
	top = value.Place{X: math.Inf(1), Y: b.top}
	for _, l := range loops {
		for _, e := range l {
			for _, p := range ends(e) {
				if p.X <= b.left+gap {
					left.Y = min(left.Y, p.Y)
				}
				if p.X >= b.right-gap {
					right.Y = min(right.Y, p.Y)
				}
				if p.Y <= b.bottom+gap {
					bottom.X = min(bottom.X, p.X)
				}
				if p.Y >= b.top-gap {
					top.X = min(top.X, p.X)
				}
			}
		}
	}
	return left, right, bottom, top
}
