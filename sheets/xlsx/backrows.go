package xlsx

import (
	"fmt"

	"castwright/lang/check"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/read"
)

// rowsOf is a typed column of a job: its values, and which of its rows are open, or worked out.
type rowsOf struct {
	cell      *check.Cell
	sheet     *check.Sheet
	shape     shape
	v         value.Column
	open, own map[int]bool
}

// columnOf finds a typed column of a neighbouring sheet; nil where the job has none of that name.
func columnOf(j *sheets.Job, path string) *rowsOf {
	if j == nil {
		return nil
	}
	for _, s := range j.Sheets {
		for _, c := range s.Cells() {
			if c.Table != nil && c.Path() == path && c.Role == check.Column && c.Replaced == nil {
				return typedRows(j, s, c)
			}
		}
	}
	return nil
}

func typedRows(j *sheets.Job, s *check.Sheet, c *check.Cell) *rowsOf {
	out := &rowsOf{cell: c, sheet: s, shape: shapeOf(c), v: *j.Value(c), open: map[int]bool{}, own: map[int]bool{}}
	data := sheets.TypedData(c)
	if data == nil {
		return nil
	}
	for i := range workedRows(c.Program) {
		out.own[i] = true
	}
	for _, i := range data.Open {
		out.open[int(i)] = true
	}
	return out
}

// held is what a workbook holds for a row, as a cell that travelled.
func (c *rowsOf) held(k *carriedCell, i int) *carriedCell {
	out := &carriedCell{Path: k.Path, Held: k.Held, Unit: k.Unit, Scale: k.Scale, Offset: k.Offset}
	switch {
	case c.open[i] || i >= c.v.Len():
	case i < len(c.v.Num) && k.Held == "truth":
		out.Value = number(c.v.Num[i])
	case i < len(c.v.Num):
		out.Value = number((c.v.Num[i] - k.Offset) / k.Scale)
	case i < len(c.v.Text):
		out.Value = encode(c.v.Text[i])
	}
	return out
}

// agrees tells whether a row holds the same in two states of a job.
func (c *rowsOf) agrees(d *rowsOf, i int) bool {
	if c.open[i] || d.open[i] || c.own[i] || d.own[i] {
		return c.own[i] == d.own[i]
	}
	if i < len(c.v.Text) && i < len(d.v.Text) {
		return c.v.Text[i] == d.v.Text[i]
	}
	return i < len(c.v.Num) && i < len(d.v.Num) && c.v.Num[i] == d.v.Num[i]
}

// columnBack is a typed column as it came back: as it was when the workbook was written, and as the job has it now.
type columnBack struct {
	k         *carriedCell
	col       int
	then, now *rowsOf
}

// table compares the rows of a table. A table whose rows or columns were moved is left whole: no value may come to another
// row than its own.
func (r *returned) table(p *pageBack, s *read.Sheet) {
	head, why := headingRow(p, s)
	if why != "" {
		r.left(s.Name, "%s, and none of its rows is taken", why)
		return
	}
	n := max(p.cells[0].Rows, 0)
	var cols []*columnBack
	var worked []workedBack
	for _, k := range p.cells {
		col, _, _ := read.ParseRef(k.Ref)
		if k.Role == "worked" {
			if rows := min(k.Rows, len(s.Rows)); rows > 0 { // lists side by side need not have as many
				worked = append(worked, workedBack{k: k, s: s, col: col, row: head + 1, n: rows})
			}
			continue
		}
		c := &columnBack{k: k, col: col, now: columnOf(r.j, k.Path)}
		if c.then = columnOf(r.then, k.Path); c.then == nil {
			c.then = c.now
		}
		if c.now == nil || c.now.v.Len() != n || c.then.v.Len() != n {
			r.left(k.Path, "the job has no such column of %s now, and no row of it is taken", rowsWord(n))
			continue
		}
		cols = append(cols, c)
	}
	if why := movedRows(cols, s, head+1, n); why != "" {
		r.left(s.Name, "%s, and none of its rows is taken; rows are added and dropped in the job", why)
		return
	}
	for _, w := range worked {
		r.overwritten(&w)
	}
	r.workedOut = append(r.workedOut, worked...)
	for i := range n {
		for _, c := range cols {
			r.place(cols, c, s, head+1, i)
		}
	}
}

// headingRow finds the headings of a table, each in its own column.
func headingRow(p *pageBack, s *read.Sheet) (int, string) {
	found := 0
	is := func(row int) bool {
		for _, k := range p.cells {
			name := lastName(k.Path)
			if k.Unit != "" && k.Unit != "%" {
				name += " (" + k.Unit + ")"
			}
			if col, _, ok := read.ParseRef(k.Ref); !ok || textAt(s, col, row) != name {
				return false
			}
		}
		return true
	}
	for _, row := range s.Rows {
		if is(row.Number) {
			if found > 0 {
				return 0, "its headings stand there twice"
			}
			found = row.Number
		}
	}
	if found == 0 {
		return 0, "its headings are not what they were"
	}
	return found, ""
}

// movedRows tells where rows were put in or taken out: a row is empty that held something, or one stands below the last.
func movedRows(cols []*columnBack, s *read.Sheet, first, n int) string {
	if len(cols) == 0 {
		return ""
	}
	for _, c := range cols {
		if x := cellAt(s, c.col, first+n); x.Kind != read.Empty && x.Formula == "" {
			return "something stands below its last row"
		}
	}
	for i := range n {
		empty, held := true, false
		for _, c := range cols {
			x := cellAt(s, c.col, first+i)
			empty = empty && x.Kind == read.Empty && x.Formula == ""
			held = held || !c.then.open[i]
		}
		if empty && held {
			return fmt.Sprintf("its row %d is empty", i+1)
		}
	}
	return ""
}

// overwritten tells of rows of a column formula in whose place a value was written.
func (r *returned) overwritten(w *workedBack) {
	formulas := false
	for i := range w.n {
		formulas = formulas || cellAt(w.s, w.col, w.row+i).Formula != ""
	}
	for i := range w.n { // of a column that went out as formulas
		if c := cellAt(w.s, w.col, w.row+i); formulas && c.Formula == "" && c.Kind != read.Empty && c.Kind != read.Problem {
			r.left(w.place(i), "it is worked out, and a value was written over it")
		}
	}
}

// place compares one place of a row.
func (r *returned) place(cols []*columnBack, c *columnBack, s *read.Sheet, first, i int) {
	x := cellAt(s, c.col, first+i)
	path := fmt.Sprintf("%s row %d", c.k.Path, i+1)
	where := placeOf(path, s.Name, c.col, first+i)
	k := c.then.held(c.k, i)
	if x.Remark != "" {
		r.left(where, "a remark beside a row is not taken: %s", x.Remark)
	}
	switch {
	case c.then.own[i]:
		if x.Formula == "" && x.Kind != read.Problem && !r.o.same(k, &x) {
			r.left(where, "it is worked out, and a value was written over it")
		}
		return
	case x.Formula != "":
		r.left(where, "a formula was written in the place of a value")
		return
	case x.Kind == read.Empty && (k.Value == "" || c.now.open[i]):
		return
	case x.Kind != read.Empty && r.o.same(k, &x):
		return
	}
	for _, other := range cols {
		if other != c && !other.then.agrees(other.now, i) {
			r.left(where, "this row is another in the job now than when the workbook was written")
			return
		}
	}
	if x.Kind == read.Empty {
		r.emptyPlace(c.now, path, where, i)
		return
	}
	r.setPlace(c.k, c.now, path, where, i, &x)
}

// emptyPlace plans to open a place of a table whose value was taken out.
func (r *returned) emptyPlace(now *rowsOf, path, where string, i int) {
	if now.own[i] {
		r.left(where, "the job works it out now")
		return
	}
	r.change(where, now.change(r.j, path, show.Column(now.shape.spec, now.shape.typ, now.v.Single(i)), "open", i, ""))
}

// setPlace plans a value for one place of a table.
func (r *returned) setPlace(k *carriedCell, now *rowsOf, path, where string, i int, c *read.Cell) {
	x, why := r.reading(c, k, now.cell, now.sheet)
	if why != "" {
		r.left(where, "%s", why)
		return
	}
	before := "open"
	if !now.open[i] {
		one := now.v.Single(i)
		if x.is(one) {
			return
		}
		before = show.Column(now.shape.spec, now.shape.typ, one)
	}
	r.change(where, now.change(r.j, path, before, x.shown, i, x.literal))
}

// change puts a literal into a row of the column, or opens it where there is none.
func (c *rowsOf) change(j *sheets.Job, path, was, is string, i int, literal string) Change {
	table := c.cell.Table
	name := c.cell.Name[len(table.Name)+1:]
	return Change{Path: path, Was: was, Is: is, table: table.Path(),
		Do: func() (*sheets.Plan, error) { return j.SetPlace(c.sheet, table.Name, i+1, name, literal) }}
}

// change lists a change that the job can carry out; what it refuses is left.
func (r *returned) change(place string, c Change) {
	if _, err := c.Do(); err != nil {
		r.left(place, "%s", err.Error())
		return
	}
	r.b.Changes = append(r.b.Changes, c)
}
