// Package xlsx brings jobs to workbooks (ISO/IEC 29500, transitional) and back.
package xlsx

import (
	"errors"
	"fmt"
	"io"
	"sort"
	"strings"

	"castwright/lang/check"
	"castwright/lang/work"
	"castwright/sheets"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/formula"
)

// Account says how much of a workbook recomputes when its reader changes an input.
type Account struct {
	Live    int     // cells that hold a formula; of a list or a column, each of its rows
	Counted int     // cells with a number, date, truth or text whose formula calls no function of the library in Go
	Fixed   []Fixed // those of them, and others, that hold a value instead, with the reason
}

// Fixed is a cell whose formula a workbook cannot say.
type Fixed struct {
	Path   string
	Why    string
	Counts bool // it is one of Counted
}

// add counts the cells of one path: as live, or as fixed with the reason.
func (a *Account) add(path string, n int, counts bool, err error) {
	if counts {
		a.Counted += n
	}
	if err == nil {
		a.Live += n
		return
	}
	for range n {
		a.Fixed = append(a.Fixed, Fixed{path, err.Error(), counts})
	}
}

// Share is the live share in percent.
func (a *Account) Share() float64 {
	if a.Counted == 0 {
		return 100
	}
	fixed := 0
	for _, f := range a.Fixed {
		if f.Counts {
			fixed++
		}
	}
	return 100 * float64(a.Counted-fixed) / float64(a.Counted)
}

// ErrStopped says that an export was stopped. What its writer holds is of no use.
var ErrStopped = errors.New("stopped: the workbook was not written")

// Export writes a job in full: one worksheet for each sheet, part and table, with live formulas, and the texts of the
// sheets, so that an import gives them back.
func Export(w io.Writer, j *sheets.Job) (*Account, error) {
	e := newExporter(j)
	for _, s := range j.Sheets {
		e.plan(s)
	}
	m := j.Meter()
	m.Resume()
	m.Begin(work.Writing, len(e.pages))
	defer m.End()
	for _, p := range e.pages {
		if err := e.fill(p); err != nil {
			return nil, err
		}
		if !m.Add(1) {
			return nil, ErrStopped
		}
	}
	e.lists.put(e.book)
	e.names()
	e.book.Names = append(e.book.Names, book.Name{Name: jobName, Refers: book.Quote(e.pages[0].name) + "!$A$1"})
	if err := e.carry(); err != nil {
		return nil, err
	}
	if err := book.Write(w, e.book); err != nil {
		return nil, err
	}
	if m.Stopped() {
		return nil, ErrStopped
	}
	sort.SliceStable(e.account.Fixed, func(i, k int) bool { return e.account.Fixed[i].Path < e.account.Fixed[k].Path })
	return e.account, nil
}

// exporter lays a job out over worksheets.
type exporter struct {
	j       *sheets.Job
	book    *book.Book
	account *Account
	pages   []*page
	places  map[*check.Cell]*place
	taken   map[string]bool                 // names of worksheets
	tables  map[string]bool                 // names of worksheet tables
	lists   *lists                          // the tables of rules
	listed  map[*check.Cell][]*columnWriter // the columns of the cells that are lists
}

// page is one worksheet: a sheet, a part, a table of one, or its lists.
type page struct {
	sheet *check.Sheet
	table *check.Cell   // nil for others
	lists []*check.Cell // the cells that are lists, each in a column or more; nil for others
	name  string
	out   *book.Sheet

	nextPicture int // the first row below the last picture
}

// place is where a cell stands: on which page, and how it is held there.
type place struct {
	page   *page
	col    int
	row    int // of a column, its first row
	n      int // of a column, how many rows
	shape  shape
	fields []*place // of a record, one for each value
}

func newExporter(j *sheets.Job) *exporter {
	title := j.Words(j.Sheets[0].Title())
	if title == "" {
		title = j.Sheets[0].Name
	}
	e := &exporter{j: j, account: &Account{}, places: map[*check.Cell]*place{}, taken: map[string]bool{}, tables: map[string]bool{}, listed: map[*check.Cell][]*columnWriter{},
		book: &book.Book{Title: title, Letter: j.Sheets[0].US}}
	e.lists = &lists{name: book.SafeSheetName("tables of rules", e.taken), byKey: map[string]string{}}
	return e
}

// The columns of a worksheet that shows a sheet.
const (
	colItem = iota + 1
	colValue
	colUnit
	colState
	colHow
	colNote
)

// jobName is the defined name by which a full export is known again where another program has dropped the part that holds
// the job.
const jobName = "castwright_job"

const firstRow = 4 // below the title, a blank line and the heading

// plan gives each cell of a sheet, of its tables and of its parts its place.
func (e *exporter) plan(s *check.Sheet) {
	p := e.page(s, nil, s.Path())
	row := firstRow
	var section *check.Cell
	var tables, lists []*check.Cell
	for _, c := range s.Cells() {
		if !listed(c) {
			continue
		}
		if c.Section != section && c.Section != nil {
			row += 2 // a blank line and the heading
		}
		section = c.Section
		pl := &place{page: p, col: colValue, row: row, shape: shapeOf(c)}
		e.places[c] = pl
		row++
		switch {
		case c.Role == check.Rows:
			tables = append(tables, c)
		case inColumns(c):
			lists = append(lists, c)
		case pl.shape.kind == several:
			for i := range c.Type.Fields {
				pl.fields = append(pl.fields, &place{page: p, col: colValue, row: row, shape: fieldShape(c, i)})
				row++
			}
		}
	}
	if len(lists) > 0 {
		e.planLists(s, lists)
	}
	for _, t := range tables {
		e.planTable(s, t)
	}
	for _, part := range s.Parts {
		e.plan(part)
	}
}

// listed tells whether a cell has a line on its worksheet.
func listed(c *check.Cell) bool { return c.Name != "" && c.Role != check.CheckOf && c.Table == nil }

func (e *exporter) page(s *check.Sheet, t *check.Cell, name string) *page {
	p := &page{sheet: s, table: t, name: book.SafeSheetName(name, e.taken), out: &book.Sheet{}}
	p.out.Name = p.name
	e.pages = append(e.pages, p)
	e.book.Sheets = append(e.book.Sheets, p.out)
	return p
}

// planTable gives the columns of a table their places on a worksheet of their own.
func (e *exporter) planTable(s *check.Sheet, t *check.Cell) {
	p := e.page(s, t, s.Path()+" "+t.Name)
	n := 0
	for _, c := range t.Columns {
		n = max(n, e.j.Value(c).Len())
	}
	for i, c := range t.Columns {
		pl := &place{page: p, col: i + 1, row: firstRow, n: n, shape: shapeOf(c)}
		e.places[c] = pl
		e.places[t].fields = append(e.places[t].fields, pl)
	}
}

// ref is the reference to a place from a page.
func (p *place) ref(from *page) string {
	lead := ""
	if p.page != from {
		lead = book.Quote(p.page.name) + "!"
	}
	if p.n == 0 {
		if lead != "" {
			return lead + "$" + letters(p.col) + "$" + fmt.Sprint(p.row)
		}
		return book.Ref(p.col, p.row)
	}
	c := letters(p.col)
	return fmt.Sprintf("%s$%s$%d:$%s$%d", lead, c, p.row, c, p.row+p.n-1)
}

func letters(col int) string { return strings.TrimRight(book.Ref(col, 1), "1") }

// cell is a place as a formula on a page sees it. ByRow is a column of the formula's own table that stands for its row.
func (e *exporter) cell(c *check.Cell, from *page, byRow bool) (formula.Cell, bool) {
	pl := e.places[c]
	if pl == nil {
		return formula.Cell{}, false
	}
	f := e.at(pl, from)
	if byRow {
		f.Row = letters(pl.col) + formula.Here
	}
	f.Open = e.isOpen(c)
	for i, k := range c.Columns {
		if i < len(f.Fields) {
			f.Fields[i].Open = e.isOpen(k)
		}
	}
	f.Plain = pl.n > 0 && formula.PlainTexts(e.j.Value(c).Text)
	return f, true
}

func (e *exporter) at(pl *place, from *page) formula.Cell {
	f := formula.Cell{Ref: pl.ref(from), List: pl.n > 0, Class: pl.shape.class, Truth: pl.shape.kind == yesNo, Scale: pl.shape.scale, Offset: pl.shape.offset}
	for _, k := range pl.fields {
		f.Fields = append(f.Fields, e.at(k, from))
	}
	return f
}

// isOpen tells whether a cell, or some row of a typed column, holds nothing yet.
func (e *exporter) isOpen(c *check.Cell) bool {
	if data := sheets.TypedData(c); data != nil {
		return len(data.Open) > 0
	}
	return c.Role == check.Ask && c.Answer == check.Unanswered && c.Replaced == nil
}
