package report

import (
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
)

// mostRows is how many rows of a table the view of a whole sheet holds; the rest is counted.
const mostRows = 20

// rows writes a table: its columns side by side, the state of a row in words behind it.
func (p *Report) rows(j *sheets.Job, t *check.Cell, most int) {
	n := 0
	for _, c := range t.Columns {
		n = max(n, j.Value(c).Len())
	}
	count := many(n, "row")
	if t.Fault != nil {
		count = "mistake"
	}
	head := fmt.Sprintf("  %s  %s", t.Name, count)
	if t.Note != "" {
		head += "  " + t.Note
	}
	fmt.Fprintln(p.Out, head)
	if len(t.Columns) == 0 || t.Fault != nil && t.Root == nil {
		return
	}
	g := gridOf(j, t, min(n, most))
	for _, l := range g.lines() {
		fmt.Fprintln(p.Out, "    "+l)
	}
	if n > most {
		fmt.Fprintf(p.Out, "    … %s more\n", many(n-most, "row"))
	}
}

// columns are a table made out for reading: a heading over each column, numbers to the right.
type columns struct {
	heads []string
	cells [][]string // by column
	words []bool     // a column of words, which stand to the left
	tails []string   // by row, behind its number
}

func gridOf(j *sheets.Job, t *check.Cell, n int) columns {
	g := columns{tails: make([]string, n)}
	for _, c := range t.Columns {
		g.heads = append(g.heads, strings.TrimPrefix(c.Name, t.Name+"."))
		v := j.Value(c)
		form := c.Type.Form
		g.words = append(g.words, form != kind.Number && form != kind.Point)
		var out []string
		for i := range n {
			state := value.Mistake
			if i < v.Len() {
				state = j.Engine.RowState(engineID(c), i)
			}
			switch {
			case state == value.Open:
				out = append(out, "open")
			case state == value.Mistake:
				out = append(out, "mistake")
			default:
				spec := c.Spec
				if spec == nil {
					spec = &show.Spec{Form: form}
				}
				out = append(out, show.Column(spec, c.Type.Elem(), v.Single(i)))
			}
			if state == value.Flagged {
				g.tails[i] = "flagged"
			}
		}
		g.cells = append(g.cells, out)
	}
	return g
}

func (g columns) lines() []string {
	wide := make([]int, len(g.heads))
	for k, h := range g.heads {
		wide[k] = diag.Width(h)
		for _, x := range g.cells[k] {
			wide[k] = max(wide[k], diag.Width(x))
		}
	}
	number := len(fmt.Sprint(len(g.tails)))
	put := func(first string, at func(k int) string, tail string) string {
		var b strings.Builder
		b.WriteString(right(first, number))
		for k := range g.heads {
			x := at(k)
			b.WriteString("  ")
			if g.words[k] {
				b.WriteString(x + strings.Repeat(" ", max(0, wide[k]-diag.Width(x))))
			} else {
				b.WriteString(right(x, wide[k]))
			}
		}
		return strings.TrimRight(b.String()+"  "+tail, " ")
	}
	out := []string{put("", func(k int) string { return g.heads[k] }, "")}
	for i, tail := range g.tails {
		out = append(out, put(fmt.Sprint(i+1), func(k int) string { return g.cells[k][i] }, tail))
	}
	return out
}
