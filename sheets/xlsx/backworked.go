package xlsx

import (
	"fmt"
	"maps"
	"math"

	"castwright/lang/check"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/read"
)

// workedBack is a cell that is worked out, or a column of them, as it came back.
type workedBack struct {
	k        *carriedCell
	s        *read.Sheet
	col, row int
	n        int // rows; 0 for a single cell
}

// agreement is how near a number of a workbook must come to that of the job, as a share of the greater: another program works
// it out in another order.
const agreement = 1e-9

// recomputed compares what a workbook says of the cells that are worked out with what its own sheets come to, with the changes
// of its reader taken. It can be said only where the job is the one that travelled in the workbook.
func (r *returned) recomputed() {
	if r.then == nil || len(r.workedOut) == 0 || !r.o.isOf(r.j) || !r.changed() {
		return
	}
	was, is := cellsByPath(r.j), cellsByPath(r.then)
	left := map[string]bool{}
	for _, l := range r.b.Left {
		left[l.Place] = true
	}
	told := 0
	for _, w := range r.workedOut {
		for i := range max(w.n, 1) {
			x, c := cellAt(w.s, w.col, w.row+i), is[w.k.Path]
			switch {
			case r.agrees(&w, r.then, c, i, &x), left[plainText(w.place(i))]:
				continue
			case len(r.b.Changes) > 0 && r.agrees(&w, r.j, was[w.k.Path], i, &x):
				continue // a program that works nothing out leaves it as it was written
			}
			if told++; told <= mostOthers {
				r.left(w.place(i), "%s stands there, and its sheet comes to %s", describe(&x), w.words(r.then, c, i))
			}
		}
	}
	if told > mostOthers {
		r.left("more", "%d other cells hold what their sheets do not come to either", told-mostOthers)
	}
}

// changed brings the changes to the job that travelled in the workbook, all at once.
func (r *returned) changed() bool {
	var all []sheets.Splice
	for _, c := range r.b.Changes {
		p, err := c.Do()
		if err != nil {
			return false
		}
		all = append(all, p.Splices...)
	}
	if len(all) == 0 {
		return true
	}
	_, err := r.then.Edit("came back", all...)
	return err == nil
}

// isOf tells whether a job is the one that travelled in the workbook.
func (o *Ours) isOf(j *sheets.Job) bool {
	texts := map[string]string{}
	for _, t := range o.Texts {
		texts[t.Name] = t.Text
	}
	return len(texts) > 0 && maps.Equal(texts, j.Texts()) && maps.Equal(o.Files, j.Files())
}

// cellsByPath gives the cells of a job, those of its parts among them.
func cellsByPath(j *sheets.Job) map[string]*check.Cell {
	out := map[string]*check.Cell{}
	var down func(s *check.Sheet)
	down = func(s *check.Sheet) {
		for _, c := range s.Cells() {
			if c.Name != "" && out[c.Path()] == nil {
				out[c.Path()] = c
			}
		}
		for _, p := range s.Parts {
			down(p)
		}
	}
	for _, s := range j.Sheets {
		down(s)
	}
	return out
}

// place names a row, from 0, with its cell in the workbook.
func (w *workedBack) place(i int) string {
	path := w.k.Path
	if w.n > 0 {
		path = fmt.Sprintf("%s row %d", path, i+1)
	}
	return placeOf(path, w.s.Name, w.col, w.row+i)
}

// value is what a cell of a job comes to in a row, and how it stands.
func (w *workedBack) value(j *sheets.Job, c *check.Cell, i int) (*value.Column, value.State) {
	v, state := j.Value(c), j.State(c)
	if w.n > 0 && i < v.Len() {
		v, state = v.Single(i), j.Engine.StateOf(v.Mark(i))
	}
	return v, state
}

// words says what a cell of a job comes to in a row.
func (w *workedBack) words(j *sheets.Job, c *check.Cell, i int) string {
	if c == nil {
		return "nothing: it has no such value"
	}
	v, state := w.value(j, c, i)
	if state >= value.Open || v.Len() != 1 {
		return state.String()
	}
	typ := c.Type
	typ.List = false
	return show.Column(c.Spec, typ, v)
}

// agrees tells whether a cell of the workbook holds what a cell of a job comes to in a row.
func (r *returned) agrees(w *workedBack, j *sheets.Job, c *check.Cell, i int, x *read.Cell) bool {
	if c == nil {
		return false
	}
	v, state := w.value(j, c, i)
	if state >= value.Open || v.Len() != 1 {
		return x.Kind != read.Number && x.Kind != read.Truth
	}
	if len(v.Text) == 1 && x.Text == text(v.Text[0], 0).Text && x.Kind <= read.Text {
		return true
	}
	now, why := r.o.plain(x, w.k)
	switch {
	case why != "" || len(v.Num) != 1 || now.isText:
		return false
	case w.k.Held == "date":
		return math.Abs(v.Num[0]-now.number) <= 1
	}
	most := math.Max(math.Abs(v.Num[0]), math.Abs(now.number))
	return math.Abs(v.Num[0]-now.number) <= agreement*math.Max(most, 1e-3*math.Abs(w.k.Scale))
}
