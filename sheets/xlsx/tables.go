package xlsx

import (
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/lang/value"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/formula"

	"castwright/engine"
)

// fillTable writes a table: a heading with the units, and its rows, which are made as they are written.
func (e *exporter) fillTable(p *page) error {
	t := p.table
	out := p.out
	n := 0
	out.Rows = append(out.Rows, row(text(t.Path(), book.Title)), row(text(t.Note, book.Note)))
	head := book.Row{}
	tab := book.Table{Name: e.tableName(t)}
	var cols []*columnWriter
	for _, c := range t.Columns {
		pl := e.places[c]
		name := strings.TrimPrefix(c.Name, t.Name+".")
		if u := pl.shape.unit(); u != "" {
			name += " (" + u + ")"
		}
		head.Cells = append(head.Cells, text(name, book.Head))
		out.Widths = append(out.Widths, float64(max(12, len(name)+3)))
		w := e.column(p, c)
		cols = append(cols, w)
		tab.Columns = append(tab.Columns, book.Column{Name: name, Format: w.format})
		n = pl.n
	}
	out.Rows = append(out.Rows, head)
	out.Freeze, out.TitleRows, out.Landscape, out.Protect = firstRow-1, firstRow-1, len(t.Columns) > 6, true
	if n > 0 && len(t.Columns) > 0 {
		tab.Ref = fmt.Sprintf("A%d:%s", firstRow-1, book.Ref(len(t.Columns), firstRow+n-1))
		out.Tables = append(out.Tables, tab)
	}
	cells := make([]book.Cell, len(cols))
	out.Stream = func(yield func([]book.Cell) bool) {
		for i := range n {
			for k, w := range cols {
				cells[k] = w.row(i)
			}
			if !yield(cells) {
				return
			}
		}
	}
	return nil
}

func (e *exporter) tableName(t *check.Cell) string {
	name := book.SafeName("table_" + strings.ReplaceAll(t.Path(), ".", "_"))
	for k := 2; e.tables[strings.ToLower(name)]; k++ {
		name = fmt.Sprintf("%s_%d", name, k)
	}
	e.tables[strings.ToLower(name)] = true
	return name
}

// columnWriter makes the cells of a column row by row.
type columnWriter struct {
	e           *exporter
	cell        *check.Cell
	place       *place
	value       *value.Column
	first, next string // the formulas of the first row and of the others, with Here and Above for row numbers
	format      string
	input       bool
	own         map[int]string // rows of a typed column that hold an expression
}

func (e *exporter) column(p *page, c *check.Cell) *columnWriter {
	pl := e.places[c]
	v := *e.j.Value(c)
	w := &columnWriter{e: e, cell: c, place: pl, value: &v, input: c.Role == check.Column && c.Replaced == nil}
	if len(v.Num) > 0 {
		w.format = pl.shape.format(largest(v.Num))
		for _, x := range v.Num {
			if f := pl.shape.format(x); pl.shape.kind == dated && len(f) > len(w.format) {
				w.format = f
			}
		}
	}
	if w.input {
		w.expressions(p)
		return w
	}
	counts, own := pl.shape.kind <= worded, !callsGo(c.Program)
	var err error
	if w.next, err = e.formula(p, c, pl, 0, false); err == nil {
		w.first, err = e.formula(p, c, pl, 0, true)
	}
	switch {
	case !counts:
		w.first, w.next = "", ""
		e.account.Fixed = append(e.account.Fixed, Fixed{c.Path(), "it is no number, date, truth or text", false})
		return w
	case err != nil:
		w.first, w.next = "", ""
		for range pl.n {
			e.account.Fixed = append(e.account.Fixed, Fixed{c.Path(), err.Error(), own})
		}
	default:
		e.account.Live += pl.n
	}
	if own {
		e.account.Counted += pl.n
	}
	return w
}

func largest(xs []float64) float64 {
	out := xs[0]
	for _, x := range xs {
		if x > out {
			out = x
		}
	}
	return out
}

// expressions finds the rows of a typed column that are worked out, and says them.
func (w *columnWriter) expressions(p *page) {
	c := w.cell
	if c.Program == nil || len(c.Program.Loops) == 0 || len(c.Program.Loops[len(c.Program.Loops)-1].At) == 0 {
		return
	}
	w.own = map[int]string{}
	folded := engine.Folded(c.Program)
	scatter := folded.Code[len(folded.Code)-1]
	at := folded.Loops[scatter.Aux].At
	for k, r := range scatter.Args {
		one := *folded
		one.Code, one.Out = folded.Code[:len(folded.Code)-1], r
		var inputs []formula.Cell
		ok := true
		for _, in := range c.Inputs {
			f, known := w.e.cell(in, p, false)
			ok = ok && (known || in.DataPath() == c.Path())
			inputs = append(inputs, f)
		}
		f, err := formula.Translate(&one, inputs, formula.Result{Scale: w.place.shape.scale, Offset: w.place.shape.offset, Truth: w.place.shape.kind == yesNo, List: w.e.lists.ref})
		w.e.account.Counted++
		if err != nil || !ok {
			w.e.account.Fixed = append(w.e.account.Fixed, Fixed{fmt.Sprintf("%s row %d", c.Path(), at[k]+1), fmt.Sprint(err), true})
			w.own[int(at[k])] = ""
			continue
		}
		w.e.account.Live++
		w.own[int(at[k])] = f
	}
}

func (w *columnWriter) row(i int) book.Cell {
	state := value.Mistake
	if i < w.value.Len() {
		state = w.e.j.Engine.RowState(engine.ID(w.cell.ID), i)
	}
	out := cellOf(w.place.shape, w.value, i, state)
	out.Style.Format = w.format
	if out.Kind == book.Text {
		out.Style.Format = ""
	}
	out.Style.Role = book.Worked
	if expr, ok := w.own[i]; ok {
		out.Formula = expr
		return out
	}
	if w.input {
		out.Style.Role, out.Style.Unlocked = book.Input, true
		if state == value.Open {
			out = book.Cell{Style: out.Style}
			out.Style.Role = book.Open
		}
		return out
	}
	f := w.next
	if i == 0 {
		f = w.first
	}
	if f != "" && state != value.Mistake {
		number := w.place.row + i
		out.Formula = strings.NewReplacer(formula.Here, fmt.Sprint(number), formula.Above, fmt.Sprint(number-1)).Replace(f)
	}
	return out
}
