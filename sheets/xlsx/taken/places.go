package taken

import (
	"errors"
	"fmt"
	"sort"
	"strings"

	"castwright/sheets/xlsx/read"
)

// maxElements is how many cells outside of tables one formula may list.
const maxElements = 400

// of is the expression of a place as it is used.
func (t *translator) of(e expr) (expr, error) {
	if e.sort == isProblem {
		return e, errors.New("it rests on a cell that holds an error value")
	}
	if t.bare && e.sort != isText && e.sort != isTruth || e.sort == isNumber && e.unit.same(percent) {
		return t.toPlain(e)
	}
	return e, nil
}

// path writes a name of a sheet as this sheet sees it.
func (t *translator) path(p *page, name string) string {
	if p == t.page {
		return name
	}
	return p.name + "." + name
}

// on finds the worksheet that a reference names.
func (t *translator) on(sheet string) (*page, error) {
	if sheet == "" {
		return t.page, nil
	}
	if p := t.byName[strings.ToLower(sheet)]; p != nil {
		return p, nil
	}
	return nil, fmt.Errorf("there is no worksheet %s", sheet)
}

// tableOf gives the table whose column formula is translated; nil in a formula of one cell.
func (t *translator) tableOf() *table {
	if t.f.column == nil {
		return nil
	}
	return t.f.column.table
}

func (t *translator) ref(r ref) (expr, error) {
	p, err := t.on(r.sheet)
	if err != nil {
		return expr{}, err
	}
	if own := t.tableOf(); own != nil && !r.fixedRow {
		return t.inRow(own, p, r)
	}
	return t.cell(p, r.col, r.row)
}

// inRow is a reference that moves with the row in the formula of a column: the same row, or the row above.
func (t *translator) inRow(own *table, p *page, r ref) (expr, error) {
	c := own.column(r.col)
	if p != own.page || c == nil {
		return expr{}, errors.New("each of its rows looks at another cell outside of the table")
	}
	e := expr{text: c.name, prec: tightest, sort: c.sort, unit: c.unit, plus: c.plus()}
	switch r.row - t.row {
	case 0:
		if c == t.f.column {
			return e, errors.New("it rests on itself")
		}
	case -1:
		first := "0"
		if c.sort != isNumber || c.unit.point { // nothing stands for none of these; the first row shows whether this fits
			if c == t.f.column {
				return e, errors.New("it looks at " + c.sort.String() + " of its own in the row above")
			}
			first = "first(" + own.name + "." + c.name + ")"
		}
		e.text = "before(" + c.name + ", first: " + first + ")"
	default:
		return e, errors.New("it looks at rows other than its own and the one above")
	}
	if c != t.f.column {
		t.uses(c)
	}
	return t.of(e)
}

// plus tells whether no value of a column is below 0.
func (c *column) plus() bool {
	for _, p := range c.places {
		if p != nil && p.cell.Number < 0 {
			return false
		}
	}
	return true
}

func (t *translator) uses(c *column) {
	t.columns[c] = true
	if c.formula != nil {
		t.rests[c.formula] = true
	}
	for _, p := range c.places {
		if p != nil && p.formula != nil {
			t.rests[p.formula] = true
		}
	}
}

// cell is one cell by its place.
func (t *translator) cell(p *page, col, row int) (expr, error) {
	x := p.places[[2]int{col, row}]
	if x == nil {
		switch c := p.at(col, row); {
		case c == nil:
			if k := p.gapAt(col, row); k != nil {
				return t.itemOf(k, row-k.table.first, false)
			}
			return literal(0), nil
		case isLabel(c):
			return literalText(c.Text), nil
		}
		return expr{}, fmt.Errorf("the cell %s is not taken", read.Ref(col, row))
	}
	if x.column != nil {
		return t.item(x)
	}
	if x.formula != nil {
		t.rests[x.formula] = true
	}
	return t.of(expr{text: t.path(p, x.name), prec: tightest, sort: x.sort, unit: x.unit, plus: x.cell.Number >= 0,
		suspect: x.formula == nil && x.sort == isNumber && x.unit.isPlain() && isFactor(x.cell.Number)})
}

// item is one row of a column.
func (t *translator) item(x *place) (expr, error) {
	return t.itemOf(x.column, x.index, x.cell.Number >= 0)
}

// gapAt gives the column of numbers in which an empty cell lies.
func (p *page) gapAt(col, row int) *column {
	for _, tb := range p.tables {
		if c := tb.column(col); c != nil && tb.first <= row && row <= tb.last && c.sort == isNumber {
			return c
		}
	}
	return nil
}

func (t *translator) itemOf(c *column, index int, plus bool) (expr, error) {
	if c == t.f.column || len(t.f.places) == 1 && t.f.places[0].column == c {
		return expr{}, errors.New("it looks at another row of its own column")
	}
	t.uses(c)
	return t.of(expr{text: fmt.Sprintf("item(%s.%s, %d)", t.path(c.table.page, c.table.name), c.name, index+1), prec: tightest, sort: c.sort, unit: c.unit, plus: plus})
}

// wholeColumn is all rows of a column.
func (t *translator) wholeColumn(c *column) (expr, error) {
	if c == t.f.column || len(t.f.places) == 1 && t.f.places[0].column == c {
		return expr{}, errors.New("it rests on its own column")
	}
	t.uses(c)
	return t.of(expr{text: t.path(c.table.page, c.table.name) + "." + c.name, prec: tightest, sort: c.sort, unit: c.unit, list: true, gaps: c.hasGaps(), plus: c.plus()})
}

// rowsOf gives the rows of a range that hold something.
func (p *page) rowsOf(a area) []int {
	from, to := sort.SearchInts(p.rows, a.from.row), sort.SearchInts(p.rows, a.to.row+1)
	return p.rows[from:to]
}

// parts gives the values of a rectangle: whole columns as lists, other cells one by one. Empty cells and labels are left out.
func (t *translator) parts(a area) ([]expr, error) {
	p, err := t.on(a.from.sheet)
	if err != nil {
		return nil, err
	}
	if own := t.tableOf(); own != nil && !(a.from.fixedRow && a.to.fixedRow) {
		return t.rowParts(own, p, a)
	}
	var out []expr
	done := map[*column]bool{}
	for _, row := range p.rowsOf(a) {
		for _, col := range p.cols[row] {
			x := p.places[[2]int{col, row}]
			if col < a.from.col || col > a.to.col || x == nil || x.column != nil && done[x.column] {
				continue
			}
			var e expr
			if c := x.column; c != nil && a.from.row <= c.table.first && a.to.row >= c.table.last {
				done[c] = true
				e, err = t.wholeColumn(c)
			} else {
				e, err = t.cell(p, col, row)
			}
			if err != nil {
				return nil, err
			}
			if out = append(out, e); len(out) > maxElements {
				return nil, fmt.Errorf("a range of it has more than %d cells outside of tables", maxElements)
			}
		}
	}
	return out, nil
}

// rowParts gives the values of a rectangle in the formula of a column: cells of its row, or all rows so far of one column.
func (t *translator) rowParts(own *table, p *page, a area) ([]expr, error) {
	c := own.column(a.from.col)
	if p == own.page && c != nil && a.from.fixedRow && a.from.row == own.first && a.from.col == a.to.col && a.to.row == t.row {
		e, err := t.inRow(own, p, ref{col: a.from.col, row: t.row})
		if err != nil || e.sort != isNumber {
			return nil, errors.Join(err, errors.New("it adds up dates"))
		}
		e.text, e.prec, e.over = "running("+e.text+")", tightest, nil
		return []expr{e}, nil
	}
	if a.from.fixedRow != a.to.fixedRow || a.from.row != t.row || a.to.row != t.row {
		return nil, errors.New("it looks at a range that moves from row to row")
	}
	var out []expr
	for col := a.from.col; col <= a.to.col && col <= own.right; col++ {
		if own.column(col) == nil {
			continue
		}
		e, err := t.inRow(own, p, ref{col: col, row: t.row})
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	return out, nil
}

// listOf is a range of one column or row as a list.
func (t *translator) listOf(n node) (expr, error) {
	a, err := t.area(n)
	if err != nil {
		return expr{}, err
	}
	if own := t.tableOf(); own != nil && (!a.from.fixedRow || !a.to.fixedRow) {
		return expr{}, errors.New("it looks at a range that moves from row to row")
	}
	p, err := t.on(a.from.sheet)
	if err != nil {
		return expr{}, err
	}
	if c := p.wholeIn(a); c != nil {
		return t.wholeColumn(c)
	}
	if a.from.row != a.to.row && a.from.col != a.to.col {
		return expr{}, errors.New("it uses a range of several columns")
	}
	if (a.to.row-a.from.row)+(a.to.col-a.from.col) >= maxElements {
		return expr{}, fmt.Errorf("a range of it has more than %d cells outside of tables", maxElements)
	}
	var es []expr
	for row := a.from.row; row <= a.to.row; row++ {
		for col := a.from.col; col <= a.to.col; col++ {
			if p.at(col, row) == nil {
				return expr{}, errors.New("a range of it has empty cells")
			}
			e, err := t.cell(p, col, row)
			if err != nil {
				return expr{}, err
			}
			es = append(es, e)
		}
	}
	if es, err = t.allAlike(es); err != nil {
		return expr{}, err
	}
	return asList(es), nil
}

// wholeIn gives the one column of a table that a range of one column holds whole, with nothing else but labels.
func (p *page) wholeIn(a area) *column {
	if a.from.col != a.to.col {
		return nil
	}
	var found *column
	for _, tb := range p.tables {
		if c := tb.column(a.from.col); c != nil && a.from.row <= tb.last && a.to.row >= tb.first {
			if found != nil || a.from.row > tb.first || a.to.row < tb.last {
				return nil
			}
			found = c
		}
	}
	if found == nil {
		return nil
	}
	for _, row := range p.rowsOf(a) {
		if (row < found.table.first || row > found.table.last) && isValue(p.at(a.from.col, row)) {
			return nil
		}
	}
	return found
}

// asList writes a list of values.
func asList(es []expr) expr {
	out := es[0]
	out.list, out.prec, out.literal, out.over, out.base, out.words, out.pieces = true, tightest, false, nil, nil, nil, nil
	if len(es) == 1 {
		out.text = "list(" + es[0].text + ")"
		return out
	}
	var parts []string
	for _, e := range es {
		parts = append(parts, e.wrap(byOr))
		out.plus = out.plus && e.plus
		out.constant = out.constant && e.constant
	}
	out.text = "(" + strings.Join(parts, ", ") + ")"
	return out
}

// area makes a range of what a formula names: a range, one cell, a column of a table, a defined name.
func (t *translator) area(n node) (area, error) {
	switch x := n.(type) {
	case area:
		return x, nil
	case ref:
		return area{x, x}, nil
	case part:
		y, err := t.place(x)
		if err != nil {
			return area{}, err
		}
		return t.area(y)
	case named:
		y, err := t.meaning(x, t.page)
		if err != nil {
			return area{}, err
		}
		return t.area(y)
	}
	return area{}, errors.New("it works out a range")
}

// place gives what a column of a worksheet table stands for.
func (t *translator) place(x part) (node, error) {
	var tb *table
	for _, p := range t.pages {
		for _, o := range p.tables {
			if o.declared != "" && (strings.EqualFold(o.declared, x.table) || x.table == "" && p == t.page && o.first <= t.row && t.row <= o.last) {
				tb = o
			}
		}
	}
	if tb == nil {
		return nil, fmt.Errorf("there is no worksheet table %s", x.table)
	}
	from, to := tb.left, tb.right
	if x.column != "" {
		if from = tb.titled(x.column); from == 0 {
			return nil, fmt.Errorf("the worksheet table %s has no column %s", tb.declared, x.column)
		}
		to = from
	}
	if x.to != "" {
		if to = tb.titled(x.to); to == 0 {
			return nil, fmt.Errorf("the worksheet table %s has no column %s", tb.declared, x.to)
		}
	}
	sheet := tb.page.sheet.Name
	if x.here {
		a, b := ref{sheet: sheet, col: from, row: t.row}, ref{sheet: sheet, col: to, row: t.row}
		if from == to {
			return a, nil
		}
		return area{a, b}, nil
	}
	return area{ref{sheet: sheet, col: from, row: tb.first, fixedCol: true, fixedRow: true}, ref{sheet: sheet, col: to, row: tb.last, fixedCol: true, fixedRow: true}}, nil
}

func (tb *table) titled(title string) int {
	for i, s := range tb.titles {
		if strings.EqualFold(s, title) {
			return tb.left + i
		}
	}
	return 0
}
