package xlsx

import (
	"errors"
	"fmt"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/formula"
)

// inColumns tells whether a cell is a list whose values stand below each other in a worksheet: numbers, dates, truths, texts,
// or rows of them.
func inColumns(c *check.Cell) bool {
	if !c.Type.List || c.Table != nil || c.Role == check.Rows || c.Role == check.CheckOf {
		return false
	}
	return shaped(c.Type.Elem(), nil).kind != told
}

// planLists gives the lists of a sheet their columns on a worksheet of their own. All begin in one row.
func (e *exporter) planLists(s *check.Sheet, lists []*check.Cell) {
	p := e.page(s, nil, s.Path()+" lists")
	p.lists = lists
	col := 0
	next := func(n int, s shape) *place {
		col++
		return &place{page: p, col: col, row: firstRow, n: n, shape: s}
	}
	for _, c := range lists {
		v := e.j.Value(c)
		if c.Type.Elem().Fields == nil {
			e.places[c] = next(v.Len(), shapeOf(c))
			continue
		}
		pl := &place{page: p, shape: shapeOf(c)}
		for i := range c.Type.Fields {
			pl.fields = append(pl.fields, next(v.Len(), fieldShape(c, i)))
		}
		e.places[c] = pl
	}
}

// rowless tells whether a place is that of a list, or of a table, without rows.
func (p *place) rowless(c *check.Cell) bool {
	if len(p.fields) > 0 {
		return c.Type.List && p.fields[0].n == 0
	}
	return p.n == 0 && (c.Table != nil || c.Type.List)
}

// listLine writes the line of a list on its sheet: where its values stand.
func (e *exporter) listLine(p *page, c *check.Cell) {
	v, state := e.j.Value(c), e.j.State(c)
	where := fmt.Sprintf("%s on the worksheet %s", valuesWord(v.Len()), e.listPage(c).name)
	words := sheets.StateWords(e.j.Causes(c), state)
	if words == "" && !e.listColumns(c)[0].live() {
		words = "fixed: does not change here"
	}
	if words != "" {
		where += "; " + words
	}
	p.out.Rows = append(p.out.Rows, row(text(c.Name, book.Item), book.Cell{}, book.Cell{}, text(where, book.Note), text(wordsOf(c), book.Note), text(c.Note, book.Note)))
}

func valuesWord(n int) string {
	if n == 1 {
		return "1 value"
	}
	return fmt.Sprintf("%d values", n)
}

func (e *exporter) listPage(c *check.Cell) *page { return e.places[c].page }

// fillLists writes the lists of a sheet side by side.
func (e *exporter) fillLists(p *page) {
	out := p.out
	head := book.Row{}
	var cols []*columnWriter
	n := 0
	for _, c := range p.lists {
		for i, w := range e.listColumns(c) {
			name := c.Name
			if fields := c.Type.Fields; len(fields) > 0 {
				name += "." + fields[i].Name
			}
			if u := w.place.shape.unit(); u != "" {
				name += " (" + u + ")"
			}
			head.Cells = append(head.Cells, text(name, book.Head))
			out.Widths = append(out.Widths, float64(max(12, len(name)+3)))
			cols = append(cols, w)
			n = max(n, w.place.n)
		}
	}
	out.Rows = append(out.Rows, row(text("Lists of "+p.sheet.Path(), book.Title)), book.Row{}, head)
	out.Freeze, out.TitleRows, out.Landscape, out.Protect = firstRow-1, firstRow-1, len(cols) > 6, true
	out.Stream = streamed(cols, n)
}

// listColumns makes the columns of a list: one, or one for each of the values that its rows hold.
func (e *exporter) listColumns(c *check.Cell) []*columnWriter {
	if e.listed[c] != nil {
		return e.listed[c]
	}
	pl, v := e.places[c], e.j.Value(c)
	if len(pl.fields) == 0 {
		e.listed[c] = []*columnWriter{e.listColumn(c, pl, v, 0)}
	}
	for i, f := range pl.fields {
		part := &value.Column{}
		if i < len(v.Fields) {
			part = &v.Fields[i]
		}
		e.listed[c] = append(e.listed[c], e.listColumn(c, f, part, i))
	}
	return e.listed[c]
}

func (e *exporter) listColumn(c *check.Cell, pl *place, v *value.Column, field int) *columnWriter {
	w := &columnWriter{e: e, cell: c, place: pl, value: v, ends: true, format: pl.shape.columnFormat(v.Num)}
	err := e.listFormulas(w, field)
	switch state := e.j.State(c); {
	case pl.n > 0:
		w.count(err)
	case state == value.Mistake:
		e.account.add(c.Path(), 1, !callsGo(c.Program), errMistake)
	case state == value.Open:
		e.account.add(c.Path(), 1, !callsGo(c.Program), errors.New("it is open"))
	}
	return w
}

// live tells whether a column holds formulas.
func (w *columnWriter) live() bool { return w.next != "" || len(w.own) > 0 }

// listFormulas says the formulas of a list: one for all its rows, or one for each.
func (e *exporter) listFormulas(w *columnWriter, field int) (err error) {
	p := w.place.page
	switch {
	case w.place.n == 0:
		return errors.New("it has no values")
	case w.cell.Program == nil || !formula.RowsDiffer(engine.Folded(w.cell.Program)):
		if w.next, err = e.formula(p, w.cell, w.place, field, 1); err == nil {
			w.first, err = e.formula(p, w.cell, w.place, field, 0)
		}
		if err != nil {
			w.first, w.next = "", ""
		}
		return err
	}
	rows := map[int]string{}
	for i := range w.place.n {
		if rows[i], err = e.formula(p, w.cell, w.place, field, i); err != nil {
			return err
		}
	}
	w.own = rows
	return nil
}
