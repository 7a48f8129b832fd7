package xlsx

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/program"
	"castwright/lang/value"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/formula"
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
	out.Stream = streamed(cols, n)
	return nil
}

// streamed makes the rows of columns as they are written.
func streamed(cols []*columnWriter, n int) func(yield func([]book.Cell) bool) {
	cells := make([]book.Cell, len(cols))
	return func(yield func([]book.Cell) bool) {
		for i := range n {
			for k, w := range cols {
				cells[k] = w.row(i)
			}
			if !yield(cells) {
				return
			}
		}
	}
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
	ends        bool           // it may have fewer rows than others beside it
	own         map[int]string // the rows that hold a formula of their own
}

func (e *exporter) column(p *page, c *check.Cell) *columnWriter {
	pl := e.places[c]
	v := *e.j.Value(c)
	w := &columnWriter{e: e, cell: c, place: pl, value: &v, format: pl.shape.columnFormat(v.Num), input: c.Role == check.Column && c.Replaced == nil}
	if w.input {
		w.expressions(p)
		return w
	}
	if pl.shape.kind > worded {
		e.account.Fixed = append(e.account.Fixed, Fixed{c.Path(), "it is no number, date, truth or text", false})
		return w
	}
	var err error
	if w.next, err = e.formula(p, c, pl, 0, 1); err == nil {
		w.first, err = e.formula(p, c, pl, 0, 0)
	}
	if err != nil {
		w.first, w.next = "", ""
	}
	w.count(err)
	return w
}

// count puts the rows of a column that is worked out into the account.
func (w *columnWriter) count(err error) {
	path, counts, n := w.cell.Path(), !callsGo(w.cell.Program), w.place.n
	if err == nil {
		for i := range w.value.Len() {
			if w.state(i) == value.Mistake {
				w.e.account.add(path, 1, counts, errMistake)
				n--
			}
		}
	}
	w.e.account.add(path, n, counts, err)
}

var errMistake = errors.New("it is a mistake")

// state is how a row stands; one that the column does not have is a mistake.
func (w *columnWriter) state(i int) value.State {
	if i >= w.value.Len() {
		return value.Mistake
	}
	return w.e.j.Engine.StateOf(w.value.Mark(i))
}

// columnFormat is one number format for a whole column.
func (s shape) columnFormat(xs []float64) string {
	if len(xs) == 0 {
		return ""
	}
	format := s.format(slices.Max(xs))
	for _, x := range xs {
		if f := s.format(x); s.kind == dated && len(f) > len(format) {
			format = f
		}
	}
	return format
}

// workedRows gives the rows of a typed column that an expression works out, each with its register. Literals that stand
// below the first of them are constants of the program, and are typed as those above.
func workedRows(p *program.Program) map[int]program.Reg {
	if p == nil || len(p.Code) == 0 || p.Code[len(p.Code)-1].Op != program.Scatter {
		return nil
	}
	literal := map[program.Reg]bool{}
	for _, k := range p.Consts {
		literal[k.Reg] = true
	}
	scatter := p.Code[len(p.Code)-1]
	out := map[int]program.Reg{}
	for k, i := range p.Loops[scatter.Aux].At {
		if r := scatter.Args[k]; !literal[r] {
			out[int(i)] = r
		}
	}
	return out
}

// expressions says the rows of a typed column that are worked out.
func (w *columnWriter) expressions(p *page) {
	c := w.cell
	rows := workedRows(c.Program)
	if len(rows) == 0 {
		return
	}
	w.own = map[int]string{}
	folded := engine.Folded(c.Program)
	var inputs []formula.Cell
	ok := true
	for _, in := range c.Inputs {
		f, known := w.e.cell(in, p, false)
		ok = ok && (known || in.DataPath() == c.Path())
		inputs = append(inputs, f)
	}
	for _, i := range slices.Sorted(maps.Keys(rows)) {
		one := *folded
		one.Code, one.Out = folded.Code[:len(folded.Code)-1], rows[i]
		f, err := formula.Translate(&one, inputs, formula.Result{Scale: w.place.shape.scale, Offset: w.place.shape.offset, Truth: w.place.shape.kind == yesNo, Literals: w.e.lists.ref})
		if err == nil && !ok {
			err = errors.New("it rests on what has no cell")
		}
		w.e.account.add(fmt.Sprintf("%s row %d", c.Path(), i+1), 1, true, err)
		w.own[i] = f
	}
}

func (w *columnWriter) row(i int) book.Cell {
	if i >= w.value.Len() && w.ends {
		return book.Cell{}
	}
	state := w.state(i)
	out := cellOf(w.place.shape, w.value, i, state)
	out.Style.Format = w.format
	if out.Kind == book.Text {
		out.Style.Format = ""
	}
	out.Style.Role = book.Worked
	if expr, ok := w.own[i]; ok {
		if state != value.Mistake {
			out.Formula = inRow(expr, w.place.row+i)
		}
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
		out.Formula = inRow(f, w.place.row+i)
	}
	return out
}

// inRow gives the formula of a column in a row of its worksheet.
func inRow(f string, row int) string {
	return strings.NewReplacer(formula.Here, strconv.Itoa(row), formula.Above, strconv.Itoa(row-1)).Replace(f)
}
