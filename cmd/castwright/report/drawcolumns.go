package report

import (
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"

	"castwright/lang/check"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/disk"
	"castwright/sheets/drawing"
)

// drawColumns draws columns against x or, where it is nil, against the column of their table that runs along it, else the
// numbers of the rows.
func (p *Report) drawColumns(j *sheets.Job, list []subject, x *subject, file string) int {
	c, err := p.chart(j, list, x)
	if err != nil {
		p.Refusal(err)
		return Wrong
	}
	if file == "" {
		text := c.Sketch(p.screen())
		if text == "" {
			p.Refusal(errors.New("no row has a value that can be drawn"))
			return Wrong
		}
		fmt.Fprint(p.Out, text)
		return Fine
	}
	d := c.Plot()
	if d == nil {
		p.Refusal(errors.New("no row has a value that can be drawn"))
		return Wrong
	}
	return p.writeDrawing(d, file)
}

// chart makes a chart of columns that have as many rows and one kind.
func (p *Report) chart(j *sheets.Job, list []subject, x *subject) (*drawing.Chart, error) {
	if len(list) > drawing.MostLines {
		return nil, fmt.Errorf("%d columns are more than one chart shows, %d; name fewer", len(list), drawing.MostLines)
	}
	first := &list[0]
	c := &drawing.Chart{Title: titleOf(j, list)}
	for i := range list {
		s := &list[i]
		if a, b := first.cell.Type.Elem(), s.cell.Type.Elem(); a.Form != b.Form || a.Dim != b.Dim {
			return nil, fmt.Errorf("columns of one kind go on one chart; %s is %s and %s is %s", first.name, a.Article(), s.name, b.Article())
		}
		if err := sameRows(first, s); err != nil {
			return nil, err
		}
		v := p.values(j, s)
		if i > 0 {
			v.Spec = c.Y[0].Spec
		}
		c.Y = append(c.Y, v)
		if s.flags != "" {
			fmt.Fprintf(p.Err, "%s: %s.\n", s.name, s.flags)
		}
	}
	if x == nil {
		x = along(j, first)
	}
	if x == nil {
		c.X = drawing.Values{Name: "row"}
		for i := range first.value.Len() {
			c.X.SI = append(c.X.SI, float64(first.value.Row(i)+1))
		}
		return c, nil
	}
	if !x.isColumn() {
		return nil, fmt.Errorf("columns are drawn against a column of numbers or dates; %s is %s", x.name, x.cell.Type.Article())
	}
	if err := sameRows(first, x); err != nil {
		return nil, err
	}
	c.X = p.values(j, x)
	return c, nil
}

func sameRows(a, b *subject) error {
	if n, m := a.value.Len(), b.value.Len(); n != m {
		return fmt.Errorf("columns of one length go on one chart; %s has %s and %s has %d", a.name, many(n, "row"), b.name, m)
	}
	return nil
}

// values takes the rows that have a value; the others are left out of the line.
func (p *Report) values(j *sheets.Job, s *subject) drawing.Values {
	out := drawing.Values{Name: s.name, Spec: s.cell.Spec, SI: make([]float64, s.value.Len())}
	if out.Spec == nil {
		out.Spec = &show.Spec{Form: s.form()}
	}
	left := 0
	for i := range out.SI {
		out.SI[i] = math.NaN()
		if j.Engine.StateOf(s.value.Mark(i)) < value.Open {
			out.SI[i] = s.value.Num[i]
			continue
		}
		left++
	}
	if left > 0 {
		fmt.Fprintf(p.Err, "Left out: %s of %s without a value.\n", many(left, "row"), s.name)
	}
	return out
}

// along finds the column that runs along the table of another: the first of dates, else the first typed one of numbers,
// whose values rise from row to row; nil where there is none, or where it is the very column.
func along(j *sheets.Job, s *subject) *subject {
	t := s.cell.Table
	if t == nil {
		return nil
	}
	for _, dates := range []bool{true, false} {
		for _, c := range t.Columns {
			form := c.Type.Form
			if c.Fault != nil || (form == kind.Date) != dates || !dates && (c.Role != check.Column || form != kind.Number && form != kind.Point) {
				continue
			}
			x := &subject{name: c.Label(c.Sheet), cell: c, value: j.Value(c)}
			switch {
			case !x.isColumn() || x.value.Len() != s.value.Len() || !rises(j, x.value):
			case c == s.cell:
				return nil
			default:
				return x
			}
		}
	}
	return nil
}

func rises(j *sheets.Job, v *value.Column) bool {
	last, n := math.Inf(-1), 0
	for i := range v.Len() {
		if j.Engine.StateOf(v.Mark(i)) >= value.Open {
			continue
		}
		if v.Num[i] <= last {
			return false
		}
		last = v.Num[i]
		n++
	}
	return n > 1
}

// writeDrawing writes a drawing by the ending of its file.
func (p *Report) writeDrawing(d *drawing.Drawing, file string) int {
	data := []byte(nil)
	var err error
	if strings.HasSuffix(file, ".svg") {
		data = d.SVG()
	} else {
		data, err = d.PNG(drawing.Resolution)
	}
	if err == nil {
		err = disk.Replace(file, data)
	}
	if err != nil {
		p.Refusal(err)
		return Usage
	}
	text := fmt.Sprintf("%s written: %g mm by %g mm on paper", file, d.Width, d.Depth)
	if d.Scale != "" {
		text += ", scale " + d.Scale
	}
	if d.Scale != "" && strings.HasSuffix(file, ".svg") {
		text += "; drawing reads it back in full size with unit: " + d.Unit
	}
	fmt.Fprintln(p.Out, text+".")
	return Fine
}

// usualColumns is the width of what is no terminal and names none.
const usualColumns = 80

// screen tells the terminal's width, and whether it shows more than ASCII: the locale says so by POSIX (XBD 8.2), and the
// console of Linux has no Braille patterns.
func (p *Report) screen() drawing.Screen {
	s := drawing.Screen{Columns: usualColumns, Plain: os.Getenv("TERM") == "linux"}
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n > 0 {
		s.Columns = n
	}
	if p.Columns != nil {
		if n := p.Columns(); n > 0 {
			s.Columns = n
		}
	}
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if locale := strings.ToLower(os.Getenv(name)); locale != "" {
			s.Plain = s.Plain || !strings.Contains(locale, "utf-8") && !strings.Contains(locale, "utf8")
			break
		}
	}
	return s
}
