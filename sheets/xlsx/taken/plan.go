package taken

import (
	"sort"
	"strings"

	"castwright/sheets/xlsx/read"
)

// sortOf is what a cell holds.
type sortOf uint8

const (
	isNumber sortOf = iota
	isDate
	isTruth
	isText
	isProblem // an error value, or nothing that is known
)

func (s sortOf) String() string {
	return [...]string{"a number", "a date", "a yes or no", "a text", "an error value"}[s]
}

// place is a cell of a worksheet that the sheets hold: a cell of its own, or one of a table's column.
type place struct {
	page     *page
	cell     *read.Cell
	name     string // of a cell of its own
	sort     sortOf
	unit     unit
	labelled bool // its unit was stated
	share    bool // shown in percent
	note     string
	column   *column // nil for a cell of its own
	index    int     // its row in the table, from 0
	formula  *formula
}

// column is a column of a table.
type column struct {
	table    *table
	name     string
	number   int // of the worksheet
	sort     sortOf
	unit     unit
	labelled bool
	share    bool
	note     string
	places   []*place // nil where a row is empty
	zeros    bool     // empty rows hold 0, as formulas of the workbook take them
	formula  *formula // of the column as a whole
}

// hasGaps tells whether some row holds no number.
func (c *column) hasGaps() bool {
	for _, p := range c.places {
		if c.sort != isText && (p == nil && !c.zeros || p != nil && isBlank(p.cell)) {
			return true
		}
	}
	return false
}

// table is a rectangular region with a heading.
type table struct {
	page        *page
	name        string
	declared    string // the name of the worksheet table
	head        int    // the row of the headings
	first, last int    // rows
	left, right int
	columns     []*column
	titles      []string // the headings, one for each column of the worksheet
}

func (t *table) column(number int) *column {
	for _, c := range t.columns {
		if c.number == number {
			return c
		}
	}
	return nil
}

// page is a worksheet on its way to a sheet.
type page struct {
	sheet  *read.Sheet
	name   string
	cells  map[[2]int]*read.Cell // those that hold something
	rows   []int                 // that hold something, rising
	cols   map[int][]int         // the columns that hold something in a row, rising
	spent  map[[2]int]bool       // cells that belong to a table, or are labels
	places map[[2]int]*place
	tables []*table
	lines  []line
	names  *namer // of cells and tables
	heads  *namer // of columns
}

// line is one statement of a sheet: words, a cell or a table.
type line struct {
	row, col int
	word     string // title, section, or # for a remark
	text     string
	place    *place
	table    *table
}

func newPage(s *read.Sheet) *page {
	p := &page{sheet: s, cells: map[[2]int]*read.Cell{}, cols: map[int][]int{}, spent: map[[2]int]bool{}, places: map[[2]int]*place{}, names: newNamer(), heads: newNamer()}
	for i := range s.Rows {
		r := &s.Rows[i]
		for k := range r.Cells {
			c := &r.Cells[k]
			if c.Kind == read.Text && c.Formula == "" && strings.TrimSpace(c.Text) == "" || c.Kind == read.Empty && c.Formula == "" {
				continue
			}
			if isBlank(c) && !strings.Contains(c.Formula, `""`) {
				unknown := *c // a formula that cannot leave its cell blank: its value is not in the file
				unknown.Kind = read.Empty
				c = &unknown
			}
			p.cells[[2]int{c.Col, c.Row}] = c
			p.cols[c.Row] = append(p.cols[c.Row], c.Col)
		}
		if len(p.cols[r.Number]) > 0 {
			p.rows = append(p.rows, r.Number)
		}
	}
	return p
}

func (p *page) at(col, row int) *read.Cell { return p.cells[[2]int{col, row}] }

// isLabel tells whether a cell is a text that no formula makes.
func isLabel(c *read.Cell) bool {
	return c != nil && c.Kind == read.Text && c.Formula == "" && !c.Array
}

func isValue(c *read.Cell) bool { return c != nil && !isLabel(c) }

// sortOf tells what a cell holds.
func (t *taker) sortOf(c *read.Cell) sortOf {
	switch c.Kind {
	case read.Text:
		if c.Formula != "" && c.Text == "" { // a formula that leaves its cell blank
			return isProblem
		}
		return isText
	case read.Truth:
		return isTruth
	case read.Number:
		if read.IsDate(c.Format) {
			if _, ok := read.DateOf(c.Number, t.w.Dates1904); ok {
				return isDate
			}
		}
		return isNumber
	case read.Empty:
		if read.IsDate(c.Format) {
			return isDate
		}
		return isNumber
	}
	return isProblem
}

// plan finds tables, labels, names and units of a worksheet.
func (t *taker) plan(p *page) {
	for _, d := range p.sheet.Tables {
		t.declared(p, d)
	}
	t.findTables(p)
	t.title(p)
	for _, row := range p.rows {
		t.planRow(p, row)
	}
	for _, tb := range p.tables {
		t.fillTable(p, tb)
		p.lines = append(p.lines, line{row: tb.head, col: tb.left, table: tb})
	}
	sort.SliceStable(p.lines, func(i, k int) bool {
		a, b := p.lines[i], p.lines[k]
		return a.row < b.row || a.row == b.row && a.col < b.col
	})
}

// title takes the first text of a sheet where it stands alone.
func (t *taker) title(p *page) {
	if len(p.rows) < 2 {
		return
	}
	row := p.rows[0]
	if len(p.cols[row]) != 1 || p.spent[[2]int{p.cols[row][0], row}] {
		return
	}
	c := p.at(p.cols[row][0], row)
	if !isLabel(c) || isValue(p.at(c.Col, row+1)) && !isLabel(p.at(c.Col-1, row+1)) {
		return
	}
	p.spent[[2]int{c.Col, row}] = true
	p.lines = append(p.lines, line{row: row, col: c.Col, word: "title", text: c.Text})
}

// planRow finds the values of a row, and their labels.
func (t *taker) planRow(p *page, row int) {
	var cells []*read.Cell
	for _, col := range p.cols[row] {
		if !p.spent[[2]int{col, row}] {
			cells = append(cells, p.at(col, row))
		}
	}
	for i := 0; i < len(cells); i++ {
		c := cells[i]
		if !isLabel(c) {
			i += t.value(p, nil, c, cells[i+1:])
			continue
		}
		rest := cells[i+1:]
		switch {
		case len(rest) > 0 && isValue(rest[0]):
			i += 1 + t.value(p, c, rest[0], rest[1:])
		case len(rest) > 1 && isValue(rest[1]) && t.isUnit(rest[0].Text):
			i += 2 + t.value(p, c, rest[1], rest[2:])
			t.setUnit(p.places[[2]int{rest[1].Col, row}], rest[0].Text)
		case (len(rest) == 0 || rest[0].Col > c.Col+1) && t.looked[cellKey(p.sheet.Name, c.Col+1, row)]:
			t.value(p, c, t.blank(p, c.Col+1, row), nil)
		case p.isAbove(c):
		case len(cells) == 2 && i == 0 && len(rest) == 1:
			t.value(p, c, rest[0], nil)
			i++
		case len(cells) == 1:
			t.words(p, c)
		default:
			p.aside(c)
		}
	}
}

// aside makes a remark of a text; those of one row go together.
func (p *page) aside(c *read.Cell) {
	if last := len(p.lines) - 1; last >= 0 && p.lines[last].row == c.Row && p.lines[last].word == "#" {
		p.lines[last].text += ", " + c.Text
		return
	}
	p.lines = append(p.lines, line{row: c.Row, col: c.Col, word: "#", text: c.Text})
}

// blank stands for an empty cell beside a label that formulas look at: they take it as 0.
func (t *taker) blank(p *page, col, row int) *read.Cell {
	c := &read.Cell{Col: col, Row: row, Kind: read.Number, Remark: "empty in the workbook"}
	if was := p.sheet.At(col, row); was != nil {
		c.Format = was.Format
	}
	return c
}

// isAbove tells whether a text is the label of the value below it.
func (p *page) isAbove(c *read.Cell) bool {
	below := p.at(c.Col, c.Row+1)
	return isValue(below) && !p.spent[[2]int{below.Col, below.Row}] && !isLabel(p.at(c.Col-1, c.Row+1))
}

// longest is how long a heading can be; what is longer is a remark.
const longest = 70

// words takes a text that stands alone: a heading over what follows, or a remark.
func (t *taker) words(p *page, c *read.Cell) {
	word := "#"
	for _, row := range p.rows {
		if row <= c.Row {
			continue
		}
		if len([]rune(c.Text)) <= longest && (len(p.cols[row]) > 1 || isValue(p.at(p.cols[row][0], row))) {
			word = "section"
		}
		break
	}
	p.lines = append(p.lines, line{row: c.Row, col: c.Col, word: word, text: c.Text})
}

// value makes a cell of its own. It tells how many of the cells behind it in the row belong to it.
func (t *taker) value(p *page, label, c *read.Cell, behind []*read.Cell) int {
	x := &place{page: p, cell: c, sort: t.sortOf(c)}
	p.places[[2]int{c.Col, c.Row}] = x
	p.lines = append(p.lines, line{row: c.Row, col: c.Col, place: x})
	words := ""
	switch above := p.at(c.Col, c.Row-1); {
	case label != nil:
		words = label.Text
	case isLabel(above) && !p.spent[[2]int{above.Col, above.Row}] && p.isAbove(above):
		words = above.Text
	default:
		words = t.beside(p, c)
	}
	lead, u, stated := t.units.ofLabel(words)
	t.stateUnit(x, u, stated)
	x.name = t.defined[cellKey(p.sheet.Name, c.Col, c.Row)]
	if x.name == "" {
		x.name = fromLabel(lead)
	}
	if says(lead, x.name) {
		x.note = lead
	}
	x.name = free(x.name, "cell_"+read.Ref(c.Col, c.Row), p.names)
	n := 0
	if len(behind) > 0 && isLabel(behind[0]) && (len(behind) == 1 || !isValue(behind[1])) {
		n = 1
		if behind[0].Col-c.Col > 2 || !t.setUnit(x, behind[0].Text) {
			x.remark(behind[0].Text)
		}
		for n < len(behind) && isLabel(behind[n]) && (n+1 == len(behind) || !isValue(behind[n+1])) {
			x.remark(behind[n].Text)
			n++
		}
	}
	x.remark(c.Remark)
	return n
}

// beside makes the label of a value below a table of the label of its row and the heading of its column: total cost.
func (t *taker) beside(p *page, c *read.Cell) string {
	var over *table
	for _, tb := range p.tables {
		if tb.last < c.Row && tb.left <= c.Col && c.Col <= tb.right && (over == nil || tb.last > over.last) {
			over = tb
		}
	}
	first := p.at(p.cols[c.Row][0], c.Row)
	if over == nil || !isLabel(first) || c.Row-over.last > 5 {
		return ""
	}
	return oneLine(first.Text) + " " + over.titles[c.Col-over.left]
}

func (x *place) remark(words string) {
	if words = oneLine(words); words == "" {
		return
	}
	if x.note != "" {
		x.note += "; "
	}
	x.note += words
}

func (t *taker) isUnit(text string) bool {
	_, ok := t.units.read(text)
	return ok
}

// setUnit gives a number the unit that a text beside it states.
func (t *taker) setUnit(x *place, text string) bool {
	u, ok := t.units.read(text)
	if ok && x != nil && !x.labelled {
		t.stateUnit(x, u, true)
	}
	return ok
}

// stateUnit gives a number its unit: the stated one, else that of its number format.
func (t *taker) stateUnit(x *place, u unit, stated bool) {
	if x.sort == isDate || x.sort == isTruth || x.sort == isText && x.cell.Formula == "" {
		return
	}
	x.unit, x.labelled, x.share = t.unitOf(x.cell.Format, u, stated)
}

func (t *taker) unitOf(format string, u unit, stated bool) (_ unit, labelled, share bool) {
	if isShare(format) && (!stated || u.same(percent)) {
		return plain, true, true
	}
	if stated {
		return u, true, false
	}
	if u, ok := t.units.ofFormat(format); ok {
		return u, true, false
	}
	if isTime(format) {
		return days, true, false
	}
	return plain, false, false
}
