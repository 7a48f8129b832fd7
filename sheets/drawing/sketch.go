package drawing

import (
	"fmt"
	"math"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
)

// Sketch draws figures in characters, one below the other and all to the same scale, as wide as a screen at most, with
// their measures below them.
func Sketch(figures []Figure, length *show.Spec, s Screen) string {
	s.Columns = max(s.Columns, 10)
	x, y := dotsPer(s.Plain)
	wide, high := float64(s.Columns*x-1), float64(mostLines(s.Columns)*y-1)
	scale := math.Inf(1) // dots for a metre
	for i := range figures {
		e := extent(figures[i].loops())
		scale = min(scale, wide/e.width(), high/e.depth())
	}
	var b strings.Builder
	for i := range figures {
		if i > 0 {
			b.WriteByte('\n')
		}
		figures[i].sketch(&b, scale, length, s)
	}
	return b.String()
}

// mostLines is how many lines a figure takes at most: it stays on a screen of the usual shape.
func mostLines(columns int) int { return max(10, columns*3/10) }

func (f *Figure) sketch(b *strings.Builder, scale float64, length *show.Spec, s Screen) {
	x, y := dotsPer(s.Plain)
	loops := f.loops()
	e := extent(loops)
	across, up := int(math.Round(e.width()*scale)), int(math.Round(e.depth()*scale))
	d := newDots(across/x+1, up/y+1, s.Plain)
	fit := func(p value.Place) value.Place {
		return value.Place{X: (p.X - e.left) / e.width() * float64(across), Y: (p.Y - e.bottom) / e.depth() * float64(up)}
	}
	for _, l := range append(loops, f.Edges...) {
		for _, stroke := range l {
			points := append(stroke.Points(math.Pi/60), stroke.To)
			for i := range len(points) - 1 {
				d.line(fit(points[i]), fit(points[i+1]))
			}
		}
	}
	fmt.Fprintln(b, f.Name)
	for _, row := range d.rows() {
		fmt.Fprintln(b, row)
	}
	if r := ruler(d.wide, length.Text(e.width()), s); r != "" {
		fmt.Fprintln(b, r)
	}
	for _, l := range f.measures(length) {
		if s.Plain {
			l = inASCII.Replace(l)
		}
		for _, w := range folded(l, s.Columns) {
			fmt.Fprintln(b, w)
		}
	}
}

// inASCII writes the signs of measures with the characters of ASCII.
var inASCII = strings.NewReplacer("⌀", "dia.", "×", "x")

// ruler is a dimension line below a figure; where it has no room for its words there is none.
func ruler(wide int, words string, s Screen) string {
	left, rule, right := "├", "─", "┤"
	if s.Plain {
		left, rule, right = "|", "-", "|"
	}
	free := wide - 2 - diag.Width(words) - 2
	if free < 2 {
		return ""
	}
	return left + strings.Repeat(rule, free/2) + " " + words + " " + strings.Repeat(rule, free-free/2) + right
}

// measures tells in words what a drawing on paper has marked.
func (f *Figure) measures(length *show.Spec) []string {
	loops := f.loops()
	e := extent(loops)
	parts := []string{"width " + length.Text(e.width()), "depth " + length.Text(e.depth())}
	radii, more := rounds(loops)
	for _, r := range radii {
		parts = append(parts, r.words(length))
	}
	if more > 0 {
		parts = append(parts, fmt.Sprintf("%d more radii", more))
	}
	return append([]string{strings.Join(parts, ", ")}, f.Notes...)
}

// folded breaks words into lines of a width.
func folded(words string, width int) []string {
	var out []string
	line := ""
	for _, w := range strings.SplitAfter(words, ", ") {
		if line != "" && diag.Width(line+strings.TrimRight(w, " ")) > width {
			out, line = append(out, strings.TrimRight(line, " ")), ""
		}
		line += w
	}
	return append(out, line)
}
