package taken

import (
	"strings"

	"castwright/sheets/xlsx/read"
)

// declared takes a worksheet table.
func (t *taker) declared(p *page, d read.Table) {
	from, to, ok := strings.Cut(d.Ref, ":")
	left, top, ok1 := read.ParseRef(from)
	right, bottom, ok2 := read.ParseRef(to)
	if !ok || !ok1 || !ok2 || d.Headings == 0 && len(d.Columns) == 0 {
		return
	}
	tb := &table{page: p, declared: d.Name, head: top, first: top + d.Headings, last: bottom - d.Totals, left: left, right: right}
	if d.Totals == 0 && tb.last > tb.first && t.isTotal(p, tb, tb.last) {
		tb.last--
	}
	for col := left; col <= right; col++ {
		title := ""
		if c := p.at(col, top); d.Headings > 0 && c != nil {
			title = c.Text
		}
		if i := col - left; i < len(d.Columns) && title == "" {
			title = d.Columns[i]
		}
		tb.titles = append(tb.titles, title)
	}
	if tb.last >= tb.first {
		t.take(p, tb)
	}
}

// take makes a region a table: its cells are no cells of their own.
func (t *taker) take(p *page, tb *table) {
	for row := tb.head; row <= tb.last; row++ {
		for col := tb.left; col <= tb.right; col++ {
			p.spent[[2]int{col, row}] = true
		}
	}
	p.tables = append(p.tables, tb)
}

// findTables looks for a row of texts with at least two rows below it that fit one another.
func (t *taker) findTables(p *page) {
	for _, row := range p.rows {
		cols := p.cols[row]
		for i := 0; i < len(cols); {
			n := 0
			for i+n < len(cols) && cols[i+n] == cols[i]+n && isLabel(p.at(cols[i+n], row)) && !p.spent[[2]int{cols[i+n], row}] {
				n++
			}
			if n >= 2 {
				t.region(p, row, cols[i], cols[i]+n-1)
			}
			i += max(n, 1)
		}
	}
}

// region takes the rows below a heading as a table, where they are one.
func (t *taker) region(p *page, head, left, right int) {
	tb := &table{page: p, head: head, first: head + 1, left: left, right: right}
	if t.isUnitRow(p, tb) {
		tb.first++
	}
	sorts := make([]sortOf, right-left+1)
	known := make([]bool, len(sorts))
	for tb.last = tb.first - 1; t.fits(p, tb, tb.last+1, sorts, known); tb.last++ {
	}
	numbers := 0
	for i, s := range sorts {
		if known[i] && s != isText {
			numbers++
		}
	}
	if tb.last-tb.first < 1 || numbers == 0 {
		return
	}
	if numbers == 1 && t.isList(p, tb, sorts, known) {
		p.listHead(tb)
		return
	}
	for col := left; col <= right; col++ {
		title := p.at(col, head).Text
		if tb.first == head+2 && p.at(col, head+1) != nil {
			title += " [" + p.at(col, head+1).Text + "]"
		}
		tb.titles = append(tb.titles, title)
	}
	t.take(p, tb)
}

// listHead makes a remark of the headings over a list of single values; a row of a label and a text is none.
func (p *page) listHead(tb *table) {
	var titles []string
	for col := tb.left; col <= tb.right; col++ {
		if c := p.at(col, tb.head); strings.HasSuffix(strings.TrimSpace(c.Text), ":") {
			return
		} else {
			titles = append(titles, oneLine(c.Text))
		}
	}
	if tb.right == tb.left+1 && !isHeading[strings.ToLower(titles[1])] {
		return
	}
	for col := tb.left; col <= tb.right; col++ {
		p.spent[[2]int{col, tb.head}] = true
	}
	p.lines = append(p.lines, line{row: tb.head, col: tb.left, word: "#", text: strings.Join(titles, ", ")})
}

// isHeading are words over a column of single values; any other text beside a label is its value.
var isHeading = map[string]bool{"value": true, "values": true, "amount": true, "sum": true, "total": true, "number": true, "quantity": true, "price": true, "cost": true, "result": true}

// isUnitRow tells whether the row below the headings holds their units.
func (t *taker) isUnitRow(p *page, tb *table) bool {
	some := false
	for col := tb.left; col <= tb.right; col++ {
		c := p.at(col, tb.head+1)
		if c == nil {
			continue
		}
		if !isLabel(c) || !t.isUnit(strings.Trim(c.Text, "[]() ")) {
			return false
		}
		some = true
	}
	return some
}

// fits tells whether a row holds what the rows above it hold, column by column, and is no row of totals.
func (t *taker) fits(p *page, tb *table, row int, sorts []sortOf, known []bool) bool {
	filled := 0
	for col := tb.left; col <= tb.right; col++ {
		c := p.at(col, row)
		if p.spent[[2]int{col, row}] {
			return false
		}
		if c == nil {
			continue
		}
		filled++
		s, i := t.sortOf(c), col-tb.left
		if s != isProblem && known[i] && sorts[i] != s {
			return false
		}
	}
	if filled == 0 || filled*2 < len(sorts) && filled < 2 || t.isTotal(p, tb, row) {
		return false
	}
	for col := tb.left; col <= tb.right; col++ {
		if c := p.at(col, row); c != nil && t.sortOf(c) != isProblem {
			sorts[col-tb.left], known[col-tb.left] = t.sortOf(c), true
		}
	}
	return true
}

// isTotal tells whether some cell of a row adds up what stands above it in the table.
func (t *taker) isTotal(p *page, tb *table, row int) bool {
	for col := tb.left; col <= tb.right; col++ {
		c := p.at(col, row)
		if c == nil || c.Formula == "" {
			continue
		}
		total := false
		n, _ := t.tree(c.Formula)
		visit(n, func(n node) {
			switch x := n.(type) {
			case area:
				total = total || x.from.sheet == "" && x.from.col <= col && col <= x.to.col && x.from.row >= tb.head && x.to.row < row && x.to.row > x.from.row
			case part:
				total = total || !x.here && tb.declared != "" && strings.EqualFold(x.table, tb.declared)
			}
		})
		if total {
			return true
		}
	}
	return false
}

// isList tells whether a region with one column of values is a list of single values with their labels, and no table:
// their formulas or units differ, or formulas look at single ones.
func (t *taker) isList(p *page, tb *table, sorts []sortOf, known []bool) bool {
	col := tb.left
	for known[col-tb.left] && sorts[col-tb.left] == isText {
		col++
	}
	if col == tb.left || sorts[col-tb.left] == isText || !known[col-tb.left] {
		return false
	}
	formulas, formats := map[string]bool{}, map[string]bool{}
	single, whole, stated := false, false, false
	for row := tb.first; row <= tb.last; row++ {
		c := p.at(col, row)
		if c == nil {
			return true
		}
		form := ""
		if n, err := t.tree(c.Formula); c.Formula != "" && err == nil {
			form = relative(n, c.Col, c.Row)
		}
		formulas[form], formats[c.Format] = true, true
		if label := p.at(tb.left, row); label != nil {
			_, _, ok := t.units.ofLabel(label.Text)
			stated = stated || ok
		}
		if u := p.at(col+1, row); isLabel(u) && t.isUnit(u.Text) {
			stated = true
		}
		key := cellKey(p.sheet.Name, col, row)
		single = single || t.single[key] || t.defined[key] != ""
		whole = whole || t.ranged(p, col, row)
	}
	return stated || len(formulas) > 1 || len(formats) > 1 || single && !whole
}

// fillTable names a table and its columns, and makes the places in it.
func (t *taker) fillTable(p *page, tb *table) {
	name := fromLabel(tb.declared)
	if above := p.at(tb.left, tb.head-1); name == "" && isLabel(above) {
		name = fromLabel(above.Text)
	}
	if name == "" && !p.names.used[fold(p.name)] {
		name = p.name
	}
	tb.name = free(name, "rows", p.names, p.heads)
	own := newNamer()
	for i, title := range tb.titles {
		lead, u, stated := t.units.ofLabel(title)
		c := &column{table: tb, number: tb.left + i, places: make([]*place, tb.last-tb.first+1), sort: isProblem}
		format := ""
		for row := tb.first; row <= tb.last; row++ {
			cell := p.at(c.number, row)
			if cell == nil {
				continue
			}
			x := &place{page: p, cell: cell, sort: t.sortOf(cell), column: c, index: row - tb.first}
			c.places[x.index], p.places[[2]int{c.number, row}] = x, x
			if c.sort == isProblem && x.sort != isProblem {
				c.sort, format = x.sort, cell.Format
			}
		}
		if c.sort == isProblem {
			continue
		}
		c.name = free(fromLabel(lead), "column_"+strings.TrimRight(read.Ref(c.number, 1), "1"), own, p.names)
		p.heads.used[fold(c.name)] = true
		if says(lead, fromLabel(lead)) {
			c.note = lead
		}
		if c.sort == isNumber {
			c.unit, c.labelled, c.share = t.unitOf(format, u, stated)
		}
		tb.columns = append(tb.columns, c)
	}
}
