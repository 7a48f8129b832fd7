package xlsx

import (
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/sheets"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/read"
)

// filledIn compares a handout that came back with the handout as the job gives it now.
type filledIn struct {
	*returned
	h       *check.Handout
	now     *handout
	blocks  map[[2]int]bool         // row of the handout now, and how far it was moved: it and those above it agree
	at      map[string]string       // what the defined names of the workbook refer to
	mine    map[string]*carriedOpen // what is to be filled in now, by its key
	columns map[*check.Cell]*rowsOf // the columns met so far
}

// key tells the open cells of a handout apart.
func (k *carriedOpen) key() string {
	return fmt.Sprintf("%s %d %s %d", k.Name, k.Line, k.Column, k.Row)
}

// column gives the rows of a typed column of the job; nil where it is none.
func (f *filledIn) column(c *check.Cell) *rowsOf {
	rows, met := f.columns[c]
	if !met {
		if c.Table != nil {
			rows = columnOf(f.j, c.Path())
		}
		f.columns[c] = rows
	}
	return rows
}

// handout takes what the reader of a handout filled in.
func (r *returned) handout() error {
	h, err := r.j.FindHandout(r.o.out.Name)
	if err != nil {
		return err
	}
	g, err := r.j.Give(h)
	if err != nil {
		return err
	}
	f := &filledIn{returned: r, h: h, now: &handout{e: newExporter(r.j), g: g}, blocks: map[[2]int]bool{}, at: r.o.refers(),
		mine: map[string]*carriedOpen{}, columns: map[*check.Cell]*rowsOf{}}
	f.now.lay()
	f.origin()
	for i := range f.now.carried.Cells {
		k := &f.now.carried.Cells[i]
		f.mine[k.key()] = k
	}
	seen := map[string]bool{}
	for i := range r.o.out.Cells {
		k := &r.o.out.Cells[i]
		if key := k.key(); !seen[key] {
			seen[key] = true
			f.open(k)
		}
	}
	f.others()
	for _, s := range r.o.book.Sheets {
		if !r.seen[s] && len(s.Rows) > 0 {
			r.left(s.Name, "this worksheet is none of the handout, and nothing on it is taken")
		}
	}
	return nil
}

// origin tells of a workbook that was made from a handout of another title or list, as that of another job is.
func (f *filledIn) origin() {
	if f.o.out.Mark == "" || f.o.out.Mark == f.now.carried.Mark {
		return
	}
	title := ""
	if len(f.o.out.Cells) > 0 {
		if s := f.o.sheet(f.o.out.Cells[0].Sheet); s != nil {
			title = textAt(s, colItem, 1)
		}
	}
	f.b.Notice = strings.TrimSpace(f.b.Notice + fmt.Sprintf(" This workbook was made from a handout with the title %q; its title or list is not that of %s in this job, %q. See whether it belongs here.",
		short(plainText(title)), f.h.Name, f.now.g.Title))
}

// open takes one cell that was to be filled in.
func (f *filledIn) open(k *carriedOpen) {
	s, ref := f.o.sheet(k.Sheet), k.Ref
	if sheet, at, _, ok := whereIs(f.at[openName(*k)]); ok && f.o.sheet(sheet) != nil {
		s, ref = f.o.sheet(sheet), at
	}
	if s == nil {
		f.left(k.Name, "its worksheet %s is gone or bears another name", k.Sheet)
		return
	}
	f.seen[s] = true
	target := f.target(k)
	if target == nil {
		f.left(k.Name, "the handout of the job lists no such cell any more")
		return
	}
	if k.Row > 0 {
		f.row(k, target, s, ref)
		return
	}
	f.line(k, target, s, ref)
}

// target finds the cell of the job that a cell of the handout stands for.
func (f *filledIn) target(k *carriedOpen) *check.Cell {
	for i, x := range f.h.Items {
		if k.Line > 0 && k.Line != i+1 {
			continue
		}
		if listedName(x) == k.Name && x.Target != nil && x.Target.Sheet.Parent == nil {
			return x.Target
		}
	}
	return nil
}

func (k *carriedOpen) single(c *check.Cell) *carriedCell {
	out := &carriedCell{Path: c.Path(), Held: k.Held, Unit: k.Unit, Scale: k.Scale, Offset: k.Offset, Role: "ask"}
	s := shapeOf(c)
	if k.Unit == "" && s.kind == numeric && s.spec.Percent {
		out.Unit = "%"
	}
	if k.Scale == 0 { // a measure of the job
		out.Scale, out.Offset = s.scale, s.offset
	}
	return out
}

// line takes a single value, which is known by its name beside it.
func (f *filledIn) line(k *carriedOpen, c *check.Cell, s *read.Sheet, ref string) {
	at, ok := linesOf(s)
	_, row, _ := read.ParseRef(ref)
	label := sheets.Spoken(k.Name)
	switch rows := at[label]; {
	case !ok:
		f.left(k.Name, "the columns Item, Value and Unit are not where they were")
		return
	case textAt(s, colItem, row) == label && len(rows) == 1:
	case len(rows) == 1:
		row = rows[0]
	default:
		f.left(k.Name, "its line is not found again: %s stands there %s", label, times(len(rows)))
		return
	}
	kk := k.single(c)
	for i := range f.now.g.Lines {
		if l := &f.now.g.Lines[i]; l.Item.Target == c && l.Note != "" {
			kk.Note = encode(l.Note)
		}
	}
	f.single(kk, s, row)
}

// row takes one place of a table. The headings and rows above it, and what stands beside it, must be what they were.
func (f *filledIn) row(k *carriedOpen, t *check.Cell, s *read.Sheet, ref string) {
	column := t
	for _, x := range t.Columns {
		if sheets.Spoken(lastName(x.Name)) == k.Column {
			column = x
		}
	}
	place := fmt.Sprintf("%s row %d (%s)", k.Name, k.Row, ref)
	col, row, ok := read.ParseRef(ref)
	c := cellAt(s, col, row)
	if ok && c.Kind == read.Empty && c.Formula == "" {
		return
	}
	now, mine := f.column(column), f.mine[k.key()]
	at := f.now.inJob(k)
	switch {
	case !ok || now == nil || at < 0 || at >= now.v.Len():
		f.left(place, "the job has no such place any more")
	case mine == nil:
		if x, why := f.reading(&c, k.single(column), column, now.sheet); why == "" && x.is(now.v.Single(at)) {
			return
		}
		f.left(place, "this place is not open in the job any more")
	case c.Formula != "":
		f.left(place, "a formula was written in the place of a value")
	case !f.agrees(mine, s, col, row):
		f.left(place, "its headings, the rows above it or what stands beside it are not what the handout says now")
	default:
		f.setPlace(k.single(column), now, fmt.Sprintf("%s row %d", column.Path(), at+1), place, at, &c)
	}
}

// inJob finds the row of the job, from 0, that a place of a table stands for; -1 where there is none.
func (h *handout) inJob(k *carriedOpen) int {
	for _, t := range h.g.Tables {
		for _, c := range t.Columns {
			if h.lineOf(c.Item) == k.Line && c.Name == k.Column && k.Row > 0 && k.Row <= t.Rows {
				_, v := columnShape(h.e.j, c)
				return v.Row(k.Row - 1)
			}
		}
	}
	return -1
}

// agrees tells whether a row of a table, and all above it up to the headings, are those of the handout now.
func (f *filledIn) agrees(k *carriedOpen, s *read.Sheet, col, row int) bool {
	mine, at, _ := read.ParseRef(k.Ref)
	if mine != col {
		return false
	}
	rows, shift := f.now.page.out.Rows, row-at
	top := at
	for top > 1 && (len(rows[top-1].Cells) == 0 || rows[top-1].Cells[0].Style.Role != book.Head) {
		if _, known := f.blocks[[2]int{top, shift}]; known {
			break
		}
		top--
	}
	for ; top <= at; top++ {
		key := [2]int{top, shift}
		if _, known := f.blocks[key]; !known {
			above, checked := f.blocks[[2]int{top - 1, shift}]
			f.blocks[key] = (above || !checked) && sameRow(rows[top-1], s, top+shift)
		}
	}
	return f.blocks[[2]int{at, shift}]
}

// sameRow compares what stands in a row, apart from what is filled in and what is worked out there.
func sameRow(r book.Row, s *read.Sheet, row int) bool {
	for i, c := range r.Cells {
		if c.Kind != book.Empty && c.Formula == "" && c.Style.Role != book.Open && !sameCell(c, s.At(i+1, row)) {
			return false
		}
	}
	return true
}

func sameCell(c book.Cell, x *read.Cell) bool {
	switch {
	case c.Kind == book.Text && c.Text == "":
		return x == nil || x.Kind == read.Empty || x.Kind == read.Text && x.Text == ""
	case x == nil:
		return false
	case c.Kind == book.Number:
		return x.Kind == read.Number && (near(x.Number, c.Number) || read.IsDate(c.Style.Format) && near(x.Number*86400, c.Number*86400))
	case c.Kind == book.Text:
		return x.Kind == read.Text && x.Text == c.Text
	}
	return x.Kind == read.Problem
}

// mostOthers is how many cells are told that are not what the handout says now.
const mostOthers = 20

// others tells what differs in the workbook from what the handout is now, apart from the cells to be filled in.
func (f *filledIn) others() {
	s := f.o.sheet(f.now.page.name)
	if s == nil {
		return
	}
	open := map[string]bool{}
	for _, k := range f.o.out.Cells {
		open[k.Ref] = true
	}
	n := 0
	for i, row := range f.now.page.out.Rows {
		for col, c := range row.Cells {
			ref := book.Ref(col+1, i+1)
			x := s.At(col+1, i+1)
			noted := len(row.Cells) == colNote-1 && col == len(row.Cells)-1 && c.Text == "" // a remark there is taken as a note
			same := open[ref] || c.Kind == book.Empty || noted || sameCell(c, x)
			if c.Formula != "" && x != nil && x.Formula != "" {
				same = bareFormula(c.Formula) == bareFormula(x.Formula)
			}
			if same {
				continue
			}
			if n++; n <= mostOthers {
				f.left(ref, "it is not what the handout says now, and is not taken")
			}
		}
	}
	if n > mostOthers {
		f.left("more", "%d other cells are not what the handout says now either", n-mostOthers)
	}
}
