package taken

import (
	"errors"
	"sort"

	"castwright/sheets/xlsx/read"
)

// found takes the value beside the key.
func (t *translator) found(key node, keys, values area) (expr, error) {
	k, err := t.listOf(keys)
	if err != nil {
		return k, err
	}
	v, err := t.listOf(values)
	if err != nil {
		return v, err
	}
	x, err := t.expr(key)
	if err != nil {
		return x, err
	}
	c, err := t.compare("=", k, x)
	if err != nil {
		return c, err
	}
	word := "only"
	if t.repeats(keys) {
		word = "first"
	}
	return expr{text: word + "(" + v.wrap(byOr) + " where " + c.text + ")", prec: tightest, sort: v.sort, unit: v.unit, plus: v.plus}, nil
}

// cellsOf gives the cells of a range that hold something.
func (t *translator) cellsOf(a area) []*read.Cell {
	p, err := t.on(a.from.sheet)
	if err != nil {
		return nil
	}
	var out []*read.Cell
	for _, row := range p.rowsOf(a) {
		for col := a.from.col; col <= a.to.col; col++ {
			if c := p.at(col, row); c != nil {
				out = append(out, c)
			}
		}
	}
	return out
}

// repeats tells whether some value stands in a range twice.
func (t *translator) repeats(a area) bool {
	sheet := a.from.sheet
	if sheet == "" {
		sheet = t.page.sheet.Name
	}
	at := cellKey(sheet, a.from.col, a.from.row) + read.Ref(a.from.col, a.to.row)
	if found, ok := t.doubled[at]; ok {
		return found
	}
	t.doubled[at] = t.findDouble(a)
	return t.doubled[at]
}

func (t *translator) findDouble(a area) bool {
	seen := map[string]bool{}
	for _, c := range t.cellsOf(a.column(0)) {
		key := c.Text
		if c.Kind == read.Number {
			key = digits(c.Number)
		}
		if seen[key] {
			return true
		}
		seen[key] = true
	}
	return false
}

// column is one column of a range, counted from 0.
func (a area) column(n int) area {
	a.from.col += n
	a.to.col = a.from.col
	return a
}

// exact tells whether a lookup asks for the very key; else it takes the last one not above it.
func exact(n node) (bool, bool) {
	switch x := n.(type) {
	case truth:
		return !x.value, true
	case number:
		return x.value == 0, true
	}
	return false, false
}

func sayLookup(t *translator, _ string, args []node) (expr, error) {
	a, err := t.area(args[1])
	if err != nil {
		return expr{}, err
	}
	n, ok := whole(args[2])
	if !ok || n < 1 || a.from.col+n-1 > a.to.col {
		return expr{}, errors.New("it works out which column it looks into")
	}
	same := false
	if len(args) == 4 {
		if same, ok = exact(args[3]); !ok {
			return expr{}, errors.New("it works out how it looks")
		}
	}
	if same {
		return t.found(args[0], a.column(0), a.column(n-1))
	}
	return t.below(args[0], a.column(0), a.column(n-1))
}

// below takes the value beside the last key that is not above the one given; the keys must rise.
func (t *translator) below(key node, keys, values area) (expr, error) {
	cells := t.cellsOf(keys)
	rising := sort.SliceIsSorted(cells, func(i, j int) bool { return cells[i].Number < cells[j].Number })
	k, err := t.listOf(keys)
	if err != nil {
		return k, err
	}
	if !rising || k.sort != isNumber && k.sort != isDate {
		return k, errors.New("it looks for the nearest key in a list that does not rise")
	}
	v, err := t.listOf(values)
	if err != nil {
		return v, err
	}
	x, err := t.expr(key)
	if err != nil {
		return x, err
	}
	c, err := t.compare("<=", k, x)
	return expr{text: "last(" + v.wrap(byOr) + " where " + c.text + ")", prec: tightest, sort: v.sort, unit: v.unit, plus: v.plus}, err
}

func sayXLookup(t *translator, _ string, args []node) (expr, error) {
	keys, err := t.area(args[1])
	if err != nil {
		return expr{}, err
	}
	values, err := t.area(args[2])
	if err != nil {
		return expr{}, err
	}
	out, err := t.found(args[0], keys, values)
	if err != nil || len(args) == 3 {
		return out, err
	}
	y, err := t.expr(args[3])
	if err != nil {
		return y, err
	}
	out, y, err = t.alike(out, y)
	return called("otherwise", out, out, y), err
}

// sayIndex takes a value by its place, or by the place of a key.
func sayIndex(t *translator, _ string, args []node) (expr, error) {
	a, err := t.area(args[0])
	if err != nil {
		return expr{}, err
	}
	if len(args) == 3 {
		n, ok := whole(args[2])
		if !ok || n < 1 || a.from.col+n-1 > a.to.col {
			return expr{}, errors.New("it works out which column it looks into")
		}
		a = a.column(n - 1)
	}
	if m, ok := args[1].(call); ok && m.name == "MATCH" {
		return t.matched(m, a)
	}
	l, err := t.listOf(a)
	if err != nil {
		return l, err
	}
	n, err := t.plainExpr(args[1])
	return expr{text: "item(" + l.text + ", " + n.text + ")", prec: tightest, sort: l.sort, unit: l.unit, plus: l.plus}, err
}

// matched takes the value whose place MATCH finds.
func (t *translator) matched(m call, values area) (expr, error) {
	if len(m.args) < 2 || len(m.args) > 3 {
		return expr{}, errors.New("its MATCH lacks a range")
	}
	keys, err := t.area(m.args[1])
	if err != nil {
		return expr{}, err
	}
	how, ok := 1, true
	if len(m.args) == 3 {
		how, ok = whole(m.args[2])
	}
	switch {
	case ok && how == 0:
		return t.found(m.args[0], keys, values)
	case ok && how == 1:
		return t.below(m.args[0], keys, values)
	}
	return expr{}, errors.New("its MATCH looks through falling keys")
}
