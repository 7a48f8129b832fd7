// Package taken makes sheets of the language of anybody's workbook: names from labels and defined names, units from labels
// and number formats, tables from regions with a heading, formulas where the language has them.
//
// A workbook's numbers have no kinds, so that a formula there may multiply millimetres by 1000 and mean metres. What stands
// here always gives the number that stood in the worksheet, in the unit that was stated for it: where units do not go
// together as quantities, a formula works with plain numbers, value / 1 mm. Each formula is computed anew and compared with
// the value in the workbook; where it does not agree, the value stands and the formula is listed.
package taken

import (
	"errors"
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/sheets/xlsx/read"
)

// Result is what a workbook became.
type Result struct {
	Texts       []check.Text // one sheet for each worksheet that holds something
	Translated  int          // cells that hold a formula of the language
	Values      int          // cells that hold a value that no formula made
	Left        []Item       // formulas that were not translated; they keep their value
	Differences []Item       // formulas whose value, computed anew, is not the one in the workbook, which stands
	Notices     []string
}

// Item is a cell of the workbook whose formula is not taken.
type Item struct {
	Sheet, Ref, Name, Formula string
	Why                       string
	Was, Is                   string // the value in the workbook, and the one computed anew
}

// taker is a workbook on its way.
type taker struct {
	w       *read.Workbook
	c       *check.Checker
	units   *units
	pages   []*page
	byName  map[string]*page // by the names of worksheets, without case
	trees   map[string]tree
	single  map[string]bool   // cells that a formula of another row looks at alone
	looked  map[string]bool   // cells that any formula looks at alone
	areas   map[string][]area // ranges that formulas look at, by worksheet
	defined map[string]string // the names given to single cells
	names   map[string]node   // what defined names stand for
	all     []*formula
	doubled map[string]bool // ranges in which some value stands twice
	notices map[string]bool
	result  *Result
}

type tree struct {
	n   node
	err error
}

// maxCells is how many cells a workbook may have that becomes sheets.
const maxCells = 1_000_000

// Take makes sheets of a workbook. The error is for a workbook that holds nothing, or too much.
func Take(w *read.Workbook, c *check.Checker) (*Result, error) {
	t := &taker{w: w, c: c, units: newUnits(c.Library()), byName: map[string]*page{}, trees: map[string]tree{}, single: map[string]bool{}, looked: map[string]bool{},
		areas: map[string][]area{}, defined: map[string]string{}, names: map[string]node{}, doubled: map[string]bool{}, notices: map[string]bool{}, result: &Result{}}
	if err := t.open(); err != nil {
		return nil, err
	}
	t.look()
	for _, p := range t.pages {
		t.plan(p)
	}
	t.findFormulas()
	t.translateAll()
	t.settle()
	t.tell()
	return t.result, nil
}

// open makes a page of each worksheet that holds something.
func (t *taker) open() error {
	names := newNamer()
	cells := 0
	for _, s := range t.w.Sheets {
		p := newPage(s)
		if cells += len(p.cells); cells > maxCells {
			return fmt.Errorf("the workbook has more than %d cells that hold something", maxCells)
		}
		if len(p.cells) == 0 {
			continue
		}
		p.name = free(fromLabel(s.Name), "sheet", names)
		t.pages = append(t.pages, p)
		t.byName[strings.ToLower(s.Name)] = p
		if s.Hidden {
			t.notices[fmt.Sprintf("The worksheet %s was hidden; it is taken as the sheet %s.", s.Name, p.name)] = true
		}
	}
	if len(t.pages) == 0 {
		return errors.New("the workbook holds nothing")
	}
	if len(t.pages) == 1 {
		return nil
	}
	for _, p := range t.pages {
		for _, o := range t.pages {
			p.names.used[fold(o.name)] = true // a cell may not bear the name of a sheet beside it
		}
	}
	return nil
}

// tree reads a formula; equal ones are read once.
func (t *taker) tree(formula string) (node, error) {
	if got, ok := t.trees[formula]; ok {
		return got.n, got.err
	}
	n, err := parse(strings.TrimPrefix(formula, "="))
	t.trees[formula] = tree{n, err}
	return n, err
}

func cellKey(sheet string, col, row int) string {
	return strings.ToLower(sheet) + "!" + read.Ref(col, row)
}

// look reads the defined names, and gathers at which cells and ranges the formulas look.
func (t *taker) look() {
	for _, d := range t.w.Names {
		if strings.HasPrefix(strings.ToLower(d.Name), "_xlnm.") {
			continue // print areas and their like
		}
		n, err := t.tree(d.Refers)
		if err != nil {
			continue
		}
		t.names[nameKey(d.Sheet, d.Name)] = n
		if r, ok := n.(ref); ok && r.sheet != "" {
			if key := cellKey(r.sheet, r.col, r.row); t.defined[key] == "" {
				t.defined[key] = legal(d.Name)
			}
		}
	}
	for _, p := range t.pages {
		for _, c := range p.cells {
			if c.Formula == "" {
				continue
			}
			n, _ := t.tree(c.Formula)
			visit(n, func(n node) { t.seen(p, c, n) })
		}
	}
}

func nameKey(sheet, name string) string { return strings.ToLower(sheet + "!" + name) }

// seen notes what a formula looks at.
func (t *taker) seen(p *page, c *read.Cell, n node) {
	switch x := n.(type) {
	case ref:
		other := x.sheet
		if other == "" {
			other = p.sheet.Name
		}
		t.looked[cellKey(other, x.col, x.row)] = true
		if !strings.EqualFold(other, p.sheet.Name) || x.row != c.Row {
			t.single[cellKey(other, x.col, x.row)] = true
		}
	case area:
		other := strings.ToLower(x.from.sheet)
		if other == "" {
			other = strings.ToLower(p.sheet.Name)
		}
		if len(t.areas[other]) < 10_000 {
			t.areas[other] = append(t.areas[other], x)
		}
	}
}

// ranged tells whether some formula looks at a range of several rows that holds a cell.
func (t *taker) ranged(p *page, col, row int) bool {
	for _, a := range t.areas[strings.ToLower(p.sheet.Name)] {
		if a.from.row != a.to.row && a.from.row <= row && row <= a.to.row && a.from.col <= col && col <= a.to.col {
			return true
		}
	}
	return false
}

// meaning gives what a defined name stands for on a page.
func (t *translator) meaning(n named, p *page) (node, error) {
	defer func() { t.deep-- }()
	if err := t.deeper(); err != nil {
		return nil, err
	}
	sheet := n.sheet
	if sheet == "" {
		sheet = p.sheet.Name
	}
	x, ok := t.names[nameKey(sheet, n.name)]
	if !ok {
		x, ok = t.names[nameKey("", n.name)]
	}
	if !ok {
		if p, err := t.place(part{table: n.name}); err == nil {
			return p, nil
		}
		return nil, fmt.Errorf("there is no defined name %s", n.name)
	}
	if y, ok := x.(named); ok {
		return t.meaning(y, p)
	}
	return x, nil
}

// seconds turns a worksheet's date into seconds since 1970.
func (t *taker) seconds(serial float64) (int64, bool) { return read.DateOf(serial, t.w.Dates1904) }
