package drawing

import (
	"fmt"
	"math"
	"strconv"

	"castwright/lang/show"
	"castwright/lang/value"
)

// The room on paper, in millimetres: the margin of a sheet, the gap between figures, what the scale bar takes, and the
// sizes within which figures are laid, those of ISO 216: A4, A3, A2 and A1, lying or standing.
const (
	margin    = 10.0
	figureGap = 10.0
	barRoom   = 13.0
)

var papers = [][2]float64{{297, 210}, {420, 297}, {594, 420}, {841, 594}}

// least is how large the largest figure shall be on paper before a larger sheet is taken.
const least = 30.0

// Lay draws figures side by side, all to the same scale, on a sheet no larger than they need. Lengths are written by a
// Spec. There must be at least one figure, and each must have a size.
func Lay(title string, figures []Figure, length *show.Spec) *Drawing {
	ratio, g := fitted(figures, length)
	scale := "1:" + digits(ratio)
	if ratio < 1 {
		scale = digits(1/ratio) + ":1"
	}
	g.put(scaleBar(ratio, "Scale "+scale, length), g.box.left, g.box.bottom-barRoom)
	if title != "" {
		g.add(text{at: value.Place{X: g.box.left, Y: g.box.top + 6}, words: title, size: large, bold: true, colour: ink})
	}
	if title == "" {
		title = figures[0].Name
	}
	d := onPaper(g, title)
	d.Scale, d.Unit = scale, digits(ratio)+" mm"
	d.About = fmt.Sprintf("Scale %s on paper. The paths that have names are in millimetres of the pieces themselves: with unit: %s, drawing reads them in full size.", scale, d.Unit)
	return d
}

// Bare draws loops alone, without measures, on a sheet whose longer side is given in millimetres, its margin within it. It
// is nil where they have no size.
func Bare(loops [][]value.Stroke, side float64) *Drawing {
	const edge = 2.0
	e := extent(loops)
	size := max(e.width(), e.depth())
	if !(size > 0) || math.IsInf(size, 0) {
		return nil
	}
	scale := (side - 2*edge) / size
	s := shape{loops: loops, scale: scale, at: value.Place{X: edge - e.left*scale, Y: edge - e.bottom*scale}, fill: tint, pen: wide}
	return &Drawing{Width: e.width()*scale + 2*edge, Depth: e.depth()*scale + 2*edge, marks: []mark{s}}
}

// onPaper takes a sheet with margins round marks.
func onPaper(g *group, title string) *Drawing {
	d := &Drawing{Width: math.Ceil(g.box.width() + 2*margin), Depth: math.Ceil(g.box.depth() + 2*margin), Title: title}
	for _, m := range g.marks {
		d.marks = append(d.marks, m.moved(margin-g.box.left, margin-g.box.bottom))
	}
	return d
}

// fitted takes the smallest sheet on which the figures are not too small, and the largest scale at which they find room
// on it: the ratio is 5 for 1:5.
func fitted(figures []Figure, length *show.Spec) (ratio float64, g *group) {
	size := 0.0
	for i := range figures {
		e := extent(figures[i].loops())
		size = max(size, 1000*e.width(), 1000*e.depth())
	}
	for i, paper := range papers {
		enough := least
		if i == len(papers)-1 {
			enough = 0 // what does not fit even there makes its sheet larger
		}
		ratio, g = fittedOn(paper, figures, size, enough, length)
		if other, standing := fittedOn([2]float64{paper[1], paper[0]}, figures, size, enough, length); other < ratio {
			ratio, g = other, standing
		}
		if size/ratio >= enough {
			break
		}
	}
	return ratio, g
}

// mostScales is how many scales are tried on one sheet.
const mostScales = 12

// fittedOn takes the largest scale at which figures find room on a sheet, or the first at which the largest of them is
// smaller than is enough.
func fittedOn(paper [2]float64, figures []Figure, size, enough float64, length *show.Spec) (ratio float64, g *group) {
	first := int(math.Floor(math.Log10(size / max(paper[0], paper[1]))))
	for i := range mostScales {
		ratio = scaleOf([]float64{1, 2, 5}[i%3], first+i/3)
		if size/ratio > max(paper[0], paper[1]) {
			continue
		}
		if size/ratio < enough {
			break
		}
		var fits bool
		if g, fits = arranged(figures, 1000/ratio, length, paper); fits {
			break
		}
	}
	return ratio, g
}

// scaleOf is lead·10^exp as the float nearest to it.
func scaleOf(lead float64, exp int) float64 {
	x, _ := strconv.ParseFloat(fmt.Sprintf("%ge%d", lead, exp), 64)
	return x
}

// arranged puts figures in rows on a sheet, from the left and from above, and tells whether there was room.
func arranged(figures []Figure, scale float64, length *show.Spec, paper [2]float64) (*group, bool) {
	out, row := &group{}, &group{}
	across := paper[0] - 2*margin
	rows := 0.0
	flush := func() {
		if len(row.marks) > 0 {
			out.put(row, -row.box.left, rows-row.box.top)
			rows -= row.box.depth() + figureGap
		}
		row = &group{}
	}
	for i := range figures {
		g := figures[i].draw(scale, length)
		if row.box.some && row.box.width()+figureGap+g.box.width() > across {
			flush()
		}
		x := 0.0
		if row.box.some {
			x = row.box.right + figureGap
		}
		row.put(g, x-g.box.left, 0)
	}
	flush()
	return out, out.box.width() <= across && out.box.depth() <= paper[1]-2*margin-barRoom-large*2
}

// scaleBar shows a round length, in the unit that lengths are written in, with its parts.
func scaleBar(ratio float64, words string, length *show.Spec) *group {
	const height = 1.6
	g := &group{}
	one := 1 / length.Number(1) * 1000 / ratio // on paper, of one unit
	lead, exp := 1.0, int(math.Floor(math.Log10(60/one)))
	for _, l := range []float64{2, 5} {
		if scaleOf(l, exp)*one <= 60 {
			lead = l
		}
	}
	units := scaleOf(lead, exp)
	parts := 5
	if lead == 2 {
		parts = 4
	}
	whole := units * one
	for i := range parts {
		from, to := whole*float64(i)/float64(parts), whole*float64(i+1)/float64(parts)
		fill := white
		if i%2 == 0 {
			fill = ink
		}
		g.add(line{points: []value.Place{{X: from}, {X: to}, {X: to, Y: height}, {X: from, Y: height}}, closed: true, fill: fill, pen: narrow})
	}
	unit := length.UnitText()
	label := text{at: value.Place{Y: height + 1.2}, words: "0", size: small, align: middle, colour: ink}
	g.add(label)
	label.at.X, label.words = whole, digits(units)+" "+unit
	g.add(label)
	g.add(text{at: value.Place{X: g.box.right + 5, Y: label.at.Y}, words: words, size: small, colour: ink})
	return g
}
