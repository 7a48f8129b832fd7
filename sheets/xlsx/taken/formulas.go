package taken

import (
	"errors"
	"strconv"
	"strings"

	"castwright/sheets/xlsx/read"
)

// The stages of a formula, each tried where the one before is refused or gives another value.
const (
	withUnits = iota
	bareNumbers
	asValue
)

// formula is what some cells work out: one cell, or the whole column of a table.
type formula struct {
	places []*place
	column *column // nil for one cell
	tree   node
	row    int // of the cell whose formula the tree is
	stage  int
	text   string
	why    string // it could not be said
	is     string // computed anew, where that is another value
	differ *place // where
	rests  map[*formula]bool
	uses   map[*column]bool
}

// findFormulas gives each cell with a formula its formula, and each column of a table that is filled down one for all rows.
func (t *taker) findFormulas() {
	for _, p := range t.pages {
		for _, l := range p.lines {
			switch {
			case l.place != nil:
				t.lone(l.place)
			case l.table != nil:
				for _, c := range l.table.columns {
					t.columnFormula(c)
				}
			}
		}
	}
}

func (t *taker) lone(x *place) {
	if x == nil || x.cell.Formula == "" {
		return
	}
	n, err := t.tree(x.cell.Formula)
	f := &formula{places: []*place{x}, tree: n, row: x.cell.Row}
	if err != nil {
		f.stage, f.why = asValue, err.Error()
	}
	x.formula = f
	t.all = append(t.all, f)
}

// columnFormula takes a column whose cells hold the same formula, seen from their own row, as one; the first row of a
// running total may differ.
func (t *taker) columnFormula(c *column) {
	first, ok := t.form(c, 0)
	second, ok2 := t.form(c, 1)
	same := ok && ok2
	for i := 2; i < len(c.places) && same; i++ {
		s, ok := t.form(c, i)
		same = ok && s == second
	}
	if !same || first != second && !looksUp(second) {
		for _, x := range c.places {
			t.lone(x)
		}
		return
	}
	at := 0
	if first != second {
		at = 1
	}
	n, _ := t.tree(c.places[at].cell.Formula)
	f := &formula{column: c, tree: n, row: c.places[at].cell.Row}
	for _, x := range c.places {
		f.places = append(f.places, x)
		x.formula = f
	}
	c.formula = f
	t.all = append(t.all, f)
}

// form writes the formula of a row so that it can be compared with that of another.
func (t *taker) form(c *column, i int) (string, bool) {
	if i >= len(c.places) || c.places[i] == nil {
		return "", false
	}
	x := c.places[i].cell
	if x.Formula == "" || x.Kind == read.Problem {
		return "", false
	}
	n, err := t.tree(x.Formula)
	if err != nil {
		return "", false
	}
	return relative(n, x.Col, x.Row), true
}

// looksUp tells whether a formula looks at the row above.
func looksUp(form string) bool { return strings.Contains(form, "R[-1]") }

// translateAll says the formulas, those first on which others rest, since a cell without a stated unit has that of its
// formula.
func (t *taker) translateAll() {
	for _, f := range t.inOrder() {
		t.say(f)
	}
}

// inOrder puts the formulas behind those that they rest on, as far as no ring keeps them from it.
func (t *taker) inOrder() []*formula {
	var out []*formula
	state := map[*formula]int{}
	for _, f := range t.all {
		stack := []*formula{f}
		for len(stack) > 0 {
			g := stack[len(stack)-1]
			if state[g] > 0 {
				stack = stack[:len(stack)-1]
				if state[g] == 1 {
					state[g] = 2
					out = append(out, g)
				}
				continue
			}
			state[g] = 1
			for _, h := range t.before(g) {
				if state[h] == 0 {
					stack = append(stack, h)
				}
			}
		}
	}
	return out
}

// before gives the formulas at which a formula looks; whole columns and rows by the tables in them.
func (t *taker) before(f *formula) []*formula {
	var out []*formula
	if f.tree == nil {
		return nil
	}
	tr := t.translator(f)
	add := func(a area) {
		q, err := tr.on(a.from.sheet)
		if err != nil {
			return
		}
		for _, row := range q.rowsOf(a) {
			for _, col := range q.cols[row] {
				if x := q.places[[2]int{col, row}]; x != nil && x.formula != nil && x.formula != f && col >= a.from.col && col <= a.to.col && (len(out) == 0 || out[len(out)-1] != x.formula) {
					out = append(out, x.formula)
				}
			}
		}
	}
	visit(f.tree, func(n node) {
		switch n.(type) {
		case ref, area, part, named:
			if a, err := tr.area(n); err == nil {
				add(a)
			}
		}
	})
	return out
}

func (t *taker) translator(f *formula) *translator {
	return &translator{taker: t, f: f, page: f.places[0].page, row: f.row, bare: f.stage == bareNumbers, rests: map[*formula]bool{}, columns: map[*column]bool{}, told: map[string]bool{}}
}

// say translates a formula at its stage; where that cannot be, its values stand.
func (t *taker) say(f *formula) {
	if f.stage == asValue {
		return
	}
	for _, x := range f.places {
		if x.cell.Kind == read.Problem {
			f.stage, f.why = asValue, "its value in the workbook is the error "+x.cell.Text
			return
		}
	}
	tr := t.translator(f)
	e, err := tr.expr(f.tree)
	if err == nil {
		err = t.assign(f, e)
	}
	if err != nil {
		f.stage, f.why = asValue, err.Error()
		return
	}
	f.rests, f.uses = tr.rests, tr.columns
	for n := range tr.told {
		t.notices[n] = true
	}
}

// assign makes the text of a formula, its value brought to what the cell holds and to its unit. A cell without a stated
// unit takes that of its formula, unless a factor in it may have turned one unit into another.
func (t *taker) assign(f *formula, e expr) error {
	x := f.places[0]
	sort, u, labelled := x.sort, x.unit, x.labelled
	if x.column != nil {
		sort, u, labelled = x.column.sort, x.column.unit, x.column.labelled
	}
	if e.list {
		return errWhole
	}
	if x.cell.Kind == read.Empty || sort == isProblem {
		sort = e.sort
		if e.sort == isDate && !read.IsDate(x.cell.Format) && f.stage != withUnits {
			sort = isNumber
		}
		f.setSort(sort)
	}
	if v, err := strconv.ParseFloat(x.cell.Text, 64); err == nil && sort == isText && e.sort == isNumber && x.column == nil {
		c := *x.cell // some programs write the values of formulas as texts
		c.Kind, c.Number = read.Number, v
		x.cell, sort = &c, isNumber
		f.setSort(sort)
	}
	var err error
	shown := ""
	switch sort {
	case isNumber:
		if !labelled && f.stage == withUnits && e.sort == isNumber && !e.doubtful {
			u = e.unit
			f.setUnit(u)
		}
		e, err = t.toUnit(e, u)
		shown = u.String()
		if x.share || x.column != nil && x.column.share {
			shown = "%"
		}
	case isDate:
		e, err = t.toDate(e)
	case isTruth:
		e, err = t.toTruth(e)
	case isText:
		if e.sort != isText {
			err = errors.New("it gives " + e.sort.String() + " where the workbook has a text")
		}
	}
	if err != nil {
		return err
	}
	f.text = e.text
	if shown != "" && (x.column == nil || f.column != nil) {
		f.text += "  [" + shown + "]"
	}
	return nil
}

func (f *formula) setUnit(u unit) {
	x := f.places[0]
	switch {
	case x.column == nil:
		x.unit, x.labelled = u, true
	case f.column != nil:
		x.column.unit, x.column.labelled = u, true
	}
}

func (f *formula) setSort(s sortOf) {
	x := f.places[0]
	if x.column == nil {
		x.sort = s
	} else if f.column != nil {
		x.column.sort = s
	}
}
