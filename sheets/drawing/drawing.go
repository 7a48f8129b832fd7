// Package drawing draws outlines, solids and columns of numbers on paper and for a terminal: dimensioned pieces to a stated
// scale, with a scale bar, and lines over axes. A Drawing is a sheet of paper with marks, which SVG and PNG write.
package drawing

import (
	"math"

	"castwright/lang/value"
)

// Drawing is a sheet of paper with marks, in millimetres, y upwards from its lower left corner.
type Drawing struct {
	Width, Depth float64
	Title        string // what it shows, in a line
	Scale        string // 1:5, or 2:1; empty for a chart
	Unit         string // what a millimetre of paper is in full size, 5 mm; empty for a chart
	About        string // what a reader needs to know to take sizes from it; empty where nothing
	marks        []mark
}

// mark is one of shape, line and text.
type mark interface {
	box() box
	moved(x, y float64) mark
}

// shape shows what has a size of its own, at a scale.
type shape struct {
	id    string
	loops [][]value.Stroke // metres, where they lie in their sheet
	scale float64          // millimetres on paper for a metre
	at    value.Place      // where the origin of the loops lies on paper
	fill  string
	pen   pen
}

// line is a run of points on paper; closed ones are filled where fill names a colour.
type line struct {
	points []value.Place
	closed bool
	fill   string
	pen    pen
}

// text is a line of words on paper.
type text struct {
	at      value.Place // where its base line begins, has its middle or ends
	words   string
	size    float64 // of the letters, from one line to the next without a gap
	align   align
	upright bool // read from the right, the base line going up
	bold    bool
	colour  string
}

type align uint8

const (
	begin align = iota
	middle
	end
)

// pen is how a line is drawn: its colour, its width in millimetres, and the lengths of its dashes and gaps by turns.
type pen struct {
	colour string
	width  float64
	dash   []float64
}

// The colours. Dark on light; nothing is told by colour alone.
const (
	ink   = "#243b53"
	faint = "#9fb3c8"
	tint  = "#edf1f5"
	white = "#ffffff"
)

// Wide lines are twice as wide as narrow ones (ISO 128).
var (
	wide   = pen{colour: ink, width: 0.5}
	narrow = pen{colour: ink, width: 0.25}
	hair   = pen{colour: faint, width: 0.15}
)

// The sizes of words, in millimetres from line to line; the letters of measures are then 2.5 mm high (ISO 3098).
const (
	small  = 3.5
	medium = 4.2
	large  = 5.0
)

// box is a rectangle on paper. The zero box is that of nothing.
type box struct {
	left, right, bottom, top float64
	some                     bool
}

func boxOf(points ...value.Place) box {
	var b box
	for _, p := range points {
		b = b.with(box{p.X, p.X, p.Y, p.Y, true})
	}
	return b
}

func (b box) with(c box) box {
	switch {
	case !b.some:
		return c
	case !c.some:
		return b
	}
	return box{math.Min(b.left, c.left), math.Max(b.right, c.right), math.Min(b.bottom, c.bottom), math.Max(b.top, c.top), true}
}

// grown is a box with a margin on all sides.
func (b box) grown(by float64) box {
	return box{b.left - by, b.right + by, b.bottom - by, b.top + by, b.some}
}

func (b box) width() float64 { return b.right - b.left }
func (b box) depth() float64 { return b.top - b.bottom }

func (b box) meets(c box) bool {
	return b.some && c.some && b.left < c.right && c.left < b.right && b.bottom < c.top && c.bottom < b.top
}

func (s shape) box() box {
	b := extent(s.loops)
	return box{s.at.X + b.left*s.scale, s.at.X + b.right*s.scale, s.at.Y + b.bottom*s.scale, s.at.Y + b.top*s.scale, b.some}
}

func (s shape) moved(x, y float64) mark {
	s.at = value.Place{X: s.at.X + x, Y: s.at.Y + y}
	return s
}

// points gives the loops on paper, arcs in pieces that turn by at most `turn` radians.
func (s shape) points(turn float64) [][]value.Place {
	out := make([][]value.Place, len(s.loops))
	for i, l := range s.loops {
		for _, e := range l {
			for _, p := range e.Points(turn) {
				out[i] = append(out[i], value.Place{X: s.at.X + p.X*s.scale, Y: s.at.Y + p.Y*s.scale})
			}
		}
	}
	return out
}

func (l line) box() box { return boxOf(l.points...) }

func (l line) moved(x, y float64) mark {
	out := make([]value.Place, len(l.points))
	for i, p := range l.points {
		out[i] = value.Place{X: p.X + x, Y: p.Y + y}
	}
	l.points = out
	return l
}

// How far letters reach above and below their base line, by their size.
const (
	ascent  = 0.75
	descent = 0.21
)

func (t text) box() box {
	w := measure(t.words, t.size, t.bold)
	from := 0.0
	switch t.align {
	case middle:
		from = -w / 2
	case end:
		from = -w
	}
	if t.upright {
		return box{t.at.X - ascent*t.size, t.at.X + descent*t.size, t.at.Y + from, t.at.Y + from + w, true}
	}
	return box{t.at.X + from, t.at.X + from + w, t.at.Y - descent*t.size, t.at.Y + ascent*t.size, true}
}

func (t text) moved(x, y float64) mark {
	t.at = value.Place{X: t.at.X + x, Y: t.at.Y + y}
	return t
}

// extent is the box round loops in their own lengths.
func extent(loops [][]value.Stroke) box {
	var b box
	for _, l := range loops {
		for _, e := range l {
			b = b.with(boxOf(ends(e)...))
		}
	}
	return b
}

// ends gives the points of a stroke that can be the outermost: its ends and, of an arc, those above, below and beside its
// centre that lie on it.
func ends(e value.Stroke) []value.Place {
	out := []value.Place{e.From, e.To}
	if !e.IsArc() {
		return out
	}
	start := math.Atan2(e.From.Y-e.Centre.Y, e.From.X-e.Centre.X)
	for quarter, p := range []value.Place{{X: e.Radius}, {Y: e.Radius}, {X: -e.Radius}, {Y: -e.Radius}} {
		turn := math.Mod(float64(quarter)*math.Pi/2-start, 2*math.Pi)
		if turn < 0 {
			turn += 2 * math.Pi
		}
		if e.Sweep < 0 && turn > 0 {
			turn -= 2 * math.Pi
		}
		if math.Abs(turn) < math.Abs(e.Sweep) {
			out = append(out, value.Place{X: e.Centre.X + p.X, Y: e.Centre.Y + p.Y})
		}
	}
	return out
}
