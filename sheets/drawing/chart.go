package drawing

import (
	"math"

	"castwright/lang/value"
)

// Chart shows columns of one kind over another, or over the numbers of their rows.
type Chart struct {
	Title string
	X     Values
	Y     []Values // as long as X
}

// MostLines is how many columns one chart holds: so many kinds of lines are told apart.
const MostLines = 6

// lines are the kinds: whole, and with dashes and gaps of so many millimetres.
var lineKinds = [MostLines][]float64{nil, {4, 1.5}, {0.9, 1.1}, {5, 1.2, 0.9, 1.2}, {8, 2}, {2, 2}}

// The field of a chart on paper, in millimetres, and the size of its marks.
const (
	fieldWidth = 170.0
	fieldDepth = 95.0
	tickLength = 1.5
	dotRadius  = 0.75
	mostDots   = 60   // values beyond which a line has no dots at them
	mostPoints = 2000 // of a line; a longer one is drawn by the extremes of its parts
)

// frame brings numbers to a field: that of a sheet of paper, in millimetres, or of a screen, in dots.
type frame struct {
	left, right, low, high float64 // the numbers at its sides
	wide, deep             float64
}

func (f frame) x(n float64) float64 { return (n - f.left) / (f.right - f.left) * f.wide }
func (f frame) y(n float64) float64 { return (n - f.low) / (f.high - f.low) * f.deep }

// frame is the field that holds all values; false where there is none to show.
func (c *Chart) frame(wide, deep float64, ys []Values, steps int) (frame, bool) {
	f := frame{wide: wide, deep: deep, low: math.Inf(1), high: math.Inf(-1)}
	var ok bool
	if f.left, f.right, ok = c.X.limits(); !ok {
		return f, false
	}
	some := false
	for i := range ys {
		if low, high, ok := ys[i].limits(); ok {
			some, f.low, f.high = true, min(f.low, low), max(f.high, high)
		}
	}
	if !some {
		return f, false
	}
	f.left, f.right = opened(c.X.fromZero(f.left, f.right, 0.2))
	f.low, f.high = opened(ys[0].fromZero(f.low, f.high, 0.5))
	if !ys[0].isDate() {
		step := niceStep((f.high - f.low) / float64(steps))
		f.low, f.high = math.Floor(f.low/step+1e-9)*step, math.Ceil(f.high/step-1e-9)*step
	}
	return f, true
}

// opened gives a single number some room about it.
func opened(low, high float64) (float64, float64) {
	if high-low > 1e-12*max(math.Abs(low), math.Abs(high)) {
		return low, high
	}
	by := max(math.Abs(low)*0.1, 0.5)
	return low - by, high + by
}

// Plot draws a chart on paper; nil where no row has a value for both axes.
func (c *Chart) Plot() *Drawing {
	const ySteps = 8
	f, ok := c.frame(fieldWidth, fieldDepth, c.Y, ySteps)
	if !ok {
		return nil
	}
	g := &group{}
	c.axes(g, f, ySteps)
	for i := range c.Y {
		p := pen{colour: ink, width: 0.4, dash: lineKinds[i%MostLines]}
		runs := c.runs(&c.Y[i], f)
		for _, run := range runs {
			if len(run) > 1 {
				g.add(line{points: thinned(run), pen: p})
			}
			if len(run) == 1 || len(c.X.SI) <= mostDots {
				for _, at := range run {
					g.add(dot(at))
				}
			}
		}
	}
	if len(c.Y) > 1 {
		c.key(g)
	}
	if c.Title != "" {
		g.add(text{at: value.Place{X: g.box.left, Y: g.box.top + 5}, words: c.Title, size: large, bold: true, colour: ink})
	}
	title := c.Title
	if title == "" {
		title = c.Y[0].Name + " over " + c.X.Name
	}
	return onPaper(g, title)
}

// axes draws the field with its marks and names.
func (c *Chart) axes(g *group, f frame, ySteps int) {
	y := &c.Y[0]
	label := text{size: small, align: end, colour: ink}
	for _, t := range y.ticks(f.low, f.high, ySteps) {
		at := f.y(t.at)
		g.add(line{points: []value.Place{{Y: at}, {X: f.wide, Y: at}}, pen: hair})
		g.add(line{points: []value.Place{{X: -tickLength, Y: at}, {Y: at}}, pen: narrow})
		label.at, label.words = value.Place{X: -tickLength - 1, Y: at - 0.36*small}, t.words
		g.add(label)
	}
	label.align = middle
	most := 9
	if c.X.isDate() {
		most = 6
	}
	for _, t := range c.X.ticks(f.left, f.right, most) {
		at := f.x(t.at)
		g.add(line{points: []value.Place{{X: at, Y: -tickLength}, {X: at}}, pen: narrow})
		label.at, label.words = value.Place{X: at, Y: -tickLength - 1 - ascent*small}, t.words
		g.add(label)
	}
	g.add(line{points: []value.Place{{Y: f.deep}, {}, {X: f.wide}}, pen: narrow})
	name := y.label()
	if len(c.Y) > 1 {
		name = ""
		if u := y.Spec.UnitText(); u != "" {
			name = "[" + u + "]"
		}
	}
	left := g.box.left
	g.add(text{at: value.Place{X: f.wide, Y: g.box.bottom - 1.5*small}, words: c.X.label(), size: small, align: end, colour: ink})
	if name != "" {
		g.add(text{at: value.Place{X: left, Y: f.deep + 4}, words: name, size: small, colour: ink})
	}
}

// key tells the lines apart, above the field.
func (c *Chart) key(g *group) {
	x, y := 14.0, fieldDepth+4
	for i := range c.Y {
		t := text{at: value.Place{X: x + 14, Y: y}, words: c.Y[i].Name, size: small, colour: ink}
		if t.box().right > fieldWidth && x > 14 {
			x, y = 14, y+lineGap*small
			t.at = value.Place{X: x + 14, Y: y}
		}
		g.add(line{points: []value.Place{{X: x, Y: y + 0.36*small}, {X: x + 12, Y: y + 0.36*small}}, pen: pen{colour: ink, width: 0.4, dash: lineKinds[i%MostLines]}}, t)
		x = t.box().right + 8
	}
}

// runs gives the places of values on a field, a new run behind each row that has none.
func (c *Chart) runs(y *Values, f frame) [][]value.Place {
	var out [][]value.Place
	var run []value.Place
	xs, ys := c.X.numbers(), y.numbers()
	for i := range y.SI {
		p := value.Place{X: f.x(xs(c.X.SI[i])), Y: f.y(ys(y.SI[i]))}
		if math.IsNaN(p.X) || math.IsNaN(p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
			if len(run) > 0 {
				out, run = append(out, run), nil
			}
			continue
		}
		run = append(run, p)
	}
	if len(run) > 0 {
		out = append(out, run)
	}
	return out
}

// thinned keeps, of a very long line, the first, the lowest, the highest and the last place of each of its parts.
func thinned(run []value.Place) []value.Place {
	if len(run) <= mostPoints {
		return run
	}
	const parts = mostPoints / 4
	var out []value.Place
	for k := range parts {
		part := run[k*len(run)/parts : (k+1)*len(run)/parts]
		low, high := 0, 0
		for i, p := range part {
			if p.Y < part[low].Y {
				low = i
			}
			if p.Y > part[high].Y {
				high = i
			}
		}
		out = append(out, part[0], part[min(low, high)], part[max(low, high)], part[len(part)-1])
	}
	return out
}

// dot is a small disc.
func dot(at value.Place) line {
	const sides = 16
	l := line{closed: true, fill: ink}
	for i := range sides {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
		l.points = append(l.points, value.Place{X: at.X + dotRadius*cos, Y: at.Y + dotRadius*sin})
	}
	return l
}
