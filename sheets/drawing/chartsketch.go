package drawing

import (
	"fmt"
	"strings"

	"castwright/lang/diag"
)

// Sketch draws a chart in characters, each column in a field of its own, as wide as a screen; it is empty where no row has
// a value for both axes.
func (c *Chart) Sketch(s Screen) string {
	var b strings.Builder
	for i := range c.Y {
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		c.sketch(&b, &c.Y[i], s)
	}
	return b.String()
}

func (c *Chart) sketch(b *strings.Builder, y *Values, s Screen) {
	s.Columns = max(s.Columns, 30)
	high := max(8, s.Columns/5)
	ys := []Values{*y}
	steps := high / 3
	f, ok := c.frame(1, 1, ys, steps)
	if !ok {
		return
	}
	ticks := y.ticks(f.low, f.high, steps)
	labels := 0
	for _, t := range ticks {
		labels = max(labels, diag.Width(t.words))
	}
	d := newDots(s.Columns-labels-2, high, s.Plain)
	f.wide, f.deep = float64(d.across-1), float64(d.all-1)
	for _, run := range c.runs(y, f) {
		if len(run) == 1 {
			d.point(run[0])
		}
		for i := range len(run) - 1 {
			d.line(run[i], run[i+1])
		}
	}
	bar, mark := "│", "┤"
	if s.Plain {
		bar, mark = "|", "+"
	}
	_, per := d.per()
	at := map[int]string{}
	for _, t := range ticks {
		at[high-1-int(f.y(t.at)+0.5)/per] = t.words
	}
	fmt.Fprintln(b, y.label())
	for i, row := range d.rows() {
		words, ok := at[i]
		side := bar
		if ok {
			side = mark
		}
		fmt.Fprintln(b, strings.TrimRight(strings.Repeat(" ", labels-diag.Width(words))+words+" "+side+row, " "))
	}
	c.below(b, f, d, labels, s)
}

// below writes the lower axis of a field, with its marks.
func (c *Chart) below(b *strings.Builder, f frame, d *dots, labels int, s Screen) {
	rule, mark, corner := '─', '┬', "└"
	if s.Plain {
		rule, mark, corner = '-', '+', "+"
	}
	per, _ := d.per()
	most := 8
	if c.X.isDate() {
		most = 5
	}
	axis := []rune(strings.Repeat(string(rule), d.wide))
	words := []rune(strings.Repeat(" ", labels+2+d.wide))
	free := 0
	for _, t := range c.X.ticks(f.left, f.right, min(most, d.wide/8)) {
		column := int(f.x(t.at)+0.5) / per
		from := min(max(labels+2+column-len(t.words)/2, 0), len(words)-len(t.words))
		if from < free || from < 0 {
			continue
		}
		axis[column] = mark
		copy(words[from:], []rune(t.words))
		free = from + len(t.words) + 1
	}
	gap := strings.Repeat(" ", labels+1)
	fmt.Fprintln(b, gap+corner+string(axis))
	fmt.Fprintln(b, strings.TrimRight(string(words), " "))
	name := c.X.label()
	fmt.Fprintln(b, strings.Repeat(" ", max(0, labels+2+d.wide-diag.Width(name)))+name)
}
