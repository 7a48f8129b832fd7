package xlsx

import (
	"encoding/base64"
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/read"
)

// returned compares one workbook with its job.
type returned struct {
	o    *Ours
	j    *sheets.Job
	b    *Back
	then *sheets.Job // the job as it was when the workbook was written; nil where that is not known
	seen map[*read.Sheet]bool

	workedOut []workedBack
}

func (r *returned) left(place, format string, args ...any) {
	r.b.Left = append(r.b.Left, Left{plainText(place), plainText(fmt.Sprintf(format, args...))})
}

// pageBack is what a workbook says of one of its worksheets.
type pageBack struct {
	name  string
	cells []*carriedCell
}

// pages puts the cells that travelled to their worksheets; one that is listed twice counts once.
func (o *Ours) pages() []*pageBack {
	var out []*pageBack
	at, seen := map[string]*pageBack{}, map[string]bool{}
	for i := range o.job.Cells {
		k := &o.job.Cells[i]
		if seen[k.Path] {
			continue
		}
		seen[k.Path] = true
		p := at[k.Sheet]
		if p == nil {
			p = &pageBack{name: k.Sheet}
			at[k.Sheet] = p
			out = append(out, p)
		}
		p.cells = append(p.cells, k)
	}
	return out
}

// then makes the job anew as it was when the workbook was written.
func (o *Ours) then(j *sheets.Job) *sheets.Job {
	seen := map[string]bool{}
	for _, t := range o.Texts {
		if seen[t.Name] {
			return nil
		}
		seen[t.Name] = true
	}
	if len(o.Texts) == 0 {
		return nil
	}
	return j.Beside(o.Texts...)
}

// page compares one worksheet, under the name that it bears now if the defined names of the workbook still find it.
func (r *returned) page(p *pageBack) {
	s := r.o.sheet(p.name)
	if s == nil {
		at := r.o.refers()
		for i := 0; i < len(p.cells) && s == nil; i++ {
			name, _, _, _ := whereIs(at[cellName(p.cells[i].Path)])
			s = r.o.sheet(name)
		}
	}
	if s == nil || r.seen[s] {
		r.left(p.name, "this worksheet is gone or bears another name, and none of its cells is taken")
		return
	}
	r.seen[s] = true
	if p.cells[0].Rows != 0 {
		r.table(p, s)
		return
	}
	r.lines(p, s)
}

// strangers tells of worksheets that the workbook did not have when it was written.
func (r *returned) strangers() {
	ours := map[string]bool{}
	for _, j := range []*sheets.Job{r.then, r.j} {
		if j == nil || len(j.Sheets) == 0 {
			continue
		}
		e := newExporter(j)
		for _, s := range j.Sheets {
			e.plan(s)
		}
		for name := range e.taken {
			ours[name] = true
		}
	}
	for _, s := range r.o.book.Sheets {
		if !r.seen[s] && !ours[strings.ToLower(s.Name)] && len(s.Rows) > 0 {
			r.left(s.Name, "this worksheet is none of the job, and nothing on it is taken")
		}
	}
}

// linesOf finds the heading of a worksheet of lines, and where each name stands below it.
func linesOf(s *read.Sheet) (map[string][]int, bool) {
	var at map[string][]int
	for _, row := range s.Rows {
		name := textAt(s, colItem, row.Number)
		switch {
		case at != nil && name != "":
			at[name] = append(at[name], row.Number)
		case at == nil && name == "Item" && textAt(s, colValue, row.Number) == "Value" && textAt(s, colUnit, row.Number) == "Unit":
			at = map[string][]int{}
		}
	}
	return at, at != nil
}

func textAt(s *read.Sheet, col, row int) string {
	if c := s.At(col, row); c != nil && c.Kind == read.Text {
		return strings.TrimSpace(c.Text)
	}
	return ""
}

// lastName is the name of a cell in its sheet.
func lastName(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

// lines compares the cells of a sheet, each of which has a line with its name, value and unit.
func (r *returned) lines(p *pageBack, s *read.Sheet) {
	at, ok := linesOf(s)
	if !ok {
		r.left(s.Name, "the columns Item, Value and Unit are not where they were, and none of its cells is taken")
		return
	}
	moved := false
	for _, k := range p.cells {
		_, row, ok := read.ParseRef(k.Ref)
		moved = moved || !ok || textAt(s, colItem, row) != lastName(k.Path)
	}
	for _, k := range p.cells {
		_, row, _ := read.ParseRef(k.Ref)
		if rows := at[lastName(k.Path)]; moved && len(rows) != 1 {
			if k.Role != "worked" {
				r.left(k.Path, "its line is not found again on the worksheet %s: its name stands there %s", s.Name, times(len(rows)))
			}
			continue
		} else if moved {
			row = rows[0]
		}
		if k.Rows != 0 || k.Role == "worked" {
			r.worked(k, s, row, moved)
			continue
		}
		r.single(k, s, row)
	}
}

func times(n int) string {
	if n == 0 {
		return "nowhere"
	}
	return fmt.Sprintf("%d times", n)
}

func cellAt(s *read.Sheet, col, row int) read.Cell {
	if c := s.At(col, row); c != nil {
		return *c
	}
	return read.Cell{Col: col, Row: row}
}

func placeOf(path, sheet string, col, row int) string {
	return fmt.Sprintf("%s (%s!%s)", path, sheet, read.Ref(col, row))
}

// worked tells of a cell that is worked out, in whose place something else was written.
func (r *returned) worked(k *carriedCell, s *read.Sheet, row int, moved bool) {
	c := cellAt(s, colValue, row)
	place := placeOf(k.Path, s.Name, colValue, row)
	switch {
	case c.Formula == "" && c.Kind != read.Problem && !r.o.same(k, &c) && (k.Value != "" || c.Kind != read.Empty):
		r.left(place, "it is worked out, and a value was written over it")
	case c.Formula != "" && k.Formula != "" && !moved && bareFormula(c.Formula) != bareFormula(k.Formula):
		r.left(place, "its formula was changed")
	default:
		r.workedOut = append(r.workedOut, workedBack{k: k, s: s, col: colValue, row: row})
	}
	r.remark(k, s, row)
}

// bareFormula leaves out what programs write one way or another.
func bareFormula(f string) string {
	return strings.NewReplacer(" ", "", "$", "", "_XLFN.", "").Replace(strings.ToUpper(f))
}

// single compares one input or open cell with what it held when it was written.
func (r *returned) single(k *carriedCell, s *read.Sheet, row int) {
	c := cellAt(s, colValue, row)
	place := placeOf(k.Path, s.Name, colValue, row)
	defer r.remark(k, s, row)
	unit := textAt(s, colUnit, row)
	if k.Unit != "%" && unit != k.Unit && !strings.HasPrefix(unit, k.Unit+" (") {
		r.left(place, "the unit beside it was %q and is now %q", k.Unit, unit)
		return
	}
	switch {
	case r.o.same(k, &c) && c.Formula == "":
		return
	case c.Formula != "":
		r.left(place, "a formula was written in the place of a value")
		return
	case c.Kind == read.Empty && k.Value == "":
		return
	}
	cell, sheet, ok := input(r.j, k.Path)
	switch {
	case c.Kind == read.Empty:
		r.emptied(k, cell, sheet, place)
		return
	case !ok:
		r.left(place, "the job has no such input of its own")
		return
	}
	x, why := r.reading(&c, k, cell, sheet)
	if why != "" {
		r.left(place, "%s", why)
		return
	}
	if (cell.Role != check.Ask || cell.Answer == check.Given) && x.is(r.j.Value(cell)) {
		return
	}
	r.change(place, Change{Path: k.Path, Was: was(r.j, cell) + r.since(k, cell), Is: x.shown,
		Do: func() (*sheets.Plan, error) { return answer(r.j, sheet, cell.Name, x.literal) }})
}

// emptied takes an answer out that stood there when the workbook was written; an input keeps its value.
func (r *returned) emptied(k *carriedCell, c *check.Cell, s *check.Sheet, place string) {
	if c == nil || k.Role != "ask" || c.Role != check.Ask {
		r.left(place, "it was emptied, and nothing is taken out of the job")
		return
	}
	if old, _, ok := input(r.then, k.Path); ok && old.Answer != check.Given || c.Answer != check.Given {
		return // what was assumed was emptied, and it is open as it was
	}
	r.change(place, Change{Path: k.Path, Was: was(r.j, c) + r.since(k, c), Is: "open",
		Do: func() (*sheets.Plan, error) { return r.j.Drop(s, c.Name, true) }})
}

// since tells, behind what a cell holds, that the job itself has been changed since the workbook was written.
func (r *returned) since(k *carriedCell, c *check.Cell) string {
	if c.Role == check.Ask && c.Answer == check.Given && r.o.out != nil { // a handout asked for it
		return ", answered since"
	}
	if c.Role == check.Ask && c.Answer == check.Given && k.Role == "ask" {
		if old, _, ok := input(r.then, k.Path); ok && old.Answer != check.Given {
			return ", answered since"
		}
	}
	x, ok := carriedValue(k)
	if ok && r.j.State(c) < value.Open && !x.is(r.j.Value(c)) {
		return ", changed since"
	}
	return ""
}

func was(j *sheets.Job, c *check.Cell) string {
	if c.Role == check.Ask && c.Answer != check.Given {
		return "open"
	}
	return show.ColumnWithStates(c.Spec, c.Type, j.Value(c), j.Engine.StateOf)
}

// input finds an input of a neighbouring sheet: what stands in a part is that of another sheet.
func input(j *sheets.Job, path string) (*check.Cell, *check.Sheet, bool) {
	if j == nil {
		return nil, nil, false
	}
	for _, s := range j.Sheets {
		for _, c := range s.Cells() {
			if c.Name != "" && c.Path() == path && (c.Role == check.Input || c.Role == check.Ask || c.Role == check.Rate) {
				return c, s, true
			}
		}
	}
	return nil, nil, false
}

func answer(j *sheets.Job, s *check.Sheet, name, literal string) (*sheets.Plan, error) {
	line := name + " = " + literal
	if from, to, ok := strings.Cut(name, "_"); ok {
		if c, found := s.Find(name); found && c.Role == check.Rate {
			number, _, _ := strings.Cut(literal, " ")
			line = fmt.Sprintf("1 %s = %s %s", from, number, to)
		}
	}
	p, ms := j.Type(s, nil, &diag.Source{Name: "the workbook", Text: line})
	if p == nil {
		return nil, &sheets.Refused{Messages: ms}
	}
	return p, nil
}

// cellName is the defined name of a cell in a workbook.
func cellName(path string) string { return book.SafeName(strings.ReplaceAll(path, ".", "_")) }

// remark takes what a reader wrote beside a cell as its note, where it has none.
func (r *returned) remark(k *carriedCell, s *read.Sheet, row int) {
	var all []string
	noted := colNote
	if r.o.out != nil {
		noted-- // a handout does not say how a value is worked out
	}
	for col := colItem; col <= colNote; col++ {
		if c := s.At(col, row); c != nil && c.Remark != "" {
			all = append(all, c.Remark)
		}
	}
	before, _ := base64.StdEncoding.DecodeString(k.Note)
	if x := textAt(s, noted, row); x != "" && x != strings.TrimSpace(string(before)) {
		all = append(all, x)
	}
	if len(all) == 0 {
		return
	}
	note := strings.Join(strings.Fields(plainText(strings.Join(all, " "))), " ")
	cell, sheet, ok := input(r.j, k.Path)
	switch {
	case !ok:
		r.left(k.Path, "a remark is no note of an input: %s", note)
	case strings.TrimSpace(cell.Note) == note:
	case cell.Note != "":
		r.left(k.Path, "it has a note already, and the remark is not taken: %s", note)
	default:
		r.change(k.Path, Change{Path: k.Path + " note", Was: "none", Is: note,
			Do: func() (*sheets.Plan, error) { return r.j.SetNote(sheet, cell.Name, note) }})
	}
}
