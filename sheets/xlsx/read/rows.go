package read

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// sheetReader reads the cells of one sheet.
type sheetReader struct {
	*reader
	x       *part
	sheet   *Sheet
	row     int                // that is read
	cells   []Cell             // of that row
	formula map[string]*shared // the last ones that were stated, by their numbers
	firsts  map[string]*shared // the first ones, for cells that stand before them
	waiting []waiting
	arrays  []array
	untidy  bool // the rows or the cells of a row do not rise

	lost, outlaws places
}

// waiting is a cell with a shared formula that stands further down in the file.
type waiting struct {
	col, row int
	id       string
}

// array is the range that an array formula fills.
type array struct {
	col, row int
	area
}

// places are cells of which a notice tells.
type places struct {
	first string
	n     int
}

func (p *places) add(ref string) {
	if p.n++; p.n == 1 {
		p.first = ref
	}
}

// rows reads the rows of a sheet. Their numbers, and the places of cells, may be left out: then each follows the last.
func (s *sheetReader) rows() error {
	last := 0
	return s.x.children(func(e element) error {
		if e.name != "row" {
			return nil
		}
		s.row = last + 1
		if text := e.attr("r"); text != "" {
			n, err := strconv.Atoi(text)
			if err != nil || n < 1 {
				return damaged("%q has a row numbered %q", s.sheet.Name, text)
			}
			s.row = n
		}
		if s.row > s.limits.Rows {
			return refuse("its sheet %q has more than %d rows", s.sheet.Name, s.limits.Rows)
		}
		s.untidy = s.untidy || s.row <= last
		last = s.row
		return s.oneRow()
	})
}

func (s *sheetReader) oneRow() error {
	s.cells = s.cells[:0]
	last := 0
	err := s.x.children(func(e element) (err error) {
		if e.name == "c" {
			last, err = s.cell(e, last)
		}
		return err
	})
	if err == nil && len(s.cells) > 0 {
		s.sheet.Rows = append(s.sheet.Rows, Row{s.row, slices.Clone(s.cells)})
	}
	return err
}

// stated is what a cell says before it is known what that means.
type stated struct {
	kind, value string
	text        string // inline
}

// cell reads a cell that stands behind another, and gives its column.
func (s *sheetReader) cell(e element, last int) (int, error) {
	c := Cell{Col: last + 1, Row: s.row}
	var v stated
	for _, a := range e.attrs {
		switch a.Name.Local {
		case "r":
			col, row, ok := ParseRef(a.Value)
			if !ok || row != s.row {
				return 0, damaged("row %d of %q has a cell at %q", s.row, s.sheet.Name, a.Value)
			}
			c.Col = col
		case "t":
			v.kind = a.Value
		case "s":
			n, err := strconv.Atoi(a.Value)
			// A file without styles may still number them: 0 is the plain one.
			if err != nil || n < 0 || n >= len(s.looks) && n > 0 {
				return 0, s.wrong(&c, "has a style that is not there")
			}
			if n < len(s.looks) {
				c.Format, c.Unlocked = s.looks[n].format, s.looks[n].unlocked
			}
		}
	}
	if c.Col > maxColumns {
		return 0, damaged("row %d of %q has more than %d cells", s.row, s.sheet.Name, maxColumns)
	}
	s.untidy = s.untidy || c.Col <= last
	err := s.x.children(func(e element) (err error) {
		switch e.name {
		case "f":
			return s.readFormula(&c, e)
		case "v":
			v.value, err = s.x.raw()
		case "is":
			v.text, err = s.x.rich()
		}
		return err
	})
	if err != nil {
		return 0, err
	}
	if err := s.value(&c, v); err != nil {
		return 0, err
	}
	return c.Col, s.keep(c)
}

// keep takes a cell, if it holds something.
func (s *sheetReader) keep(c Cell) error {
	if c.Kind == Empty && c.Formula == "" && !c.Unlocked && !c.Array {
		return nil
	}
	s.cells = append(s.cells, c)
	return s.count(1)
}

// count takes cells off the limit.
func (r *reader) count(n int) error {
	if r.cells += n; r.cells > r.limits.Cells {
		return refuse("it has more than %d cells", r.limits.Cells)
	}
	return nil
}

// wrong refuses a cell.
func (s *sheetReader) wrong(c *Cell, what string) error {
	return damaged("%s of %q %s", Ref(c.Col, c.Row), s.sheet.Name, what)
}

// value says what a cell holds (ISO/IEC 29500-1, 18.18.11).
func (s *sheetReader) value(c *Cell, v stated) error {
	if v.kind == "inlineStr" {
		c.Kind, c.Text = Text, v.text
		return nil
	}
	if v.kind == "str" {
		// An empty text is a value of a formula; without a formula it is nothing.
		if v.value != "" || c.Formula != "" {
			c.Kind, c.Text = Text, unescape(v.value)
		}
		return nil
	}
	if v.value = strings.TrimSpace(v.value); v.value == "" {
		return nil
	}
	switch v.kind {
	case "", "n":
		x, ok := finite(v.value)
		if !ok {
			return s.wrong(c, "holds "+strconv.Quote(v.value)+", which is no number")
		}
		c.Kind, c.Number = Number, x
	case "s":
		i, err := strconv.Atoi(v.value)
		if err != nil || i < 0 || i >= len(s.texts) {
			return s.wrong(c, "holds a text that is not there")
		}
		c.Kind, c.Text = Text, s.texts[i]
	case "b":
		switch v.value {
		case "1", "true":
			c.Truth = true
		case "0", "false":
		default:
			return s.wrong(c, "holds "+strconv.Quote(v.value)+", which is neither true nor false")
		}
		c.Kind = Truth
	case "e":
		c.Kind, c.Text = Problem, v.value
	case "d":
		s.date(c, v.value)
	default:
		return s.wrong(c, "is of the type "+strconv.Quote(v.kind)+", which no cell has")
	}
	return nil
}

// finite reads a number as a file writes it, in decimal digits.
func finite(s string) (float64, bool) {
	if strings.Trim(s, "0123456789+-.eE") != "" {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x + 0, err == nil && !math.IsInf(x, 0)
}

// date reads a date that is stated as a text; one that has no serial number stays a text.
func (s *sheetReader) date(c *Cell, text string) {
	x, ok := isoSerial(text, s.book.Dates1904)
	if !ok {
		c.Kind, c.Text = Text, text
		return
	}
	c.Kind, c.Number = Number, x
	if IsDate(c.Format) {
		return
	}
	if c.Format = "yyyy-mm-dd"; x != math.Floor(x) {
		c.Format = "yyyy-mm-dd hh:mm:ss"
	}
}

// readFormula reads the formula of a cell (ISO/IEC 29500-1, 18.3.1.40).
func (s *sheetReader) readFormula(c *Cell, e element) error {
	text, err := s.x.text()
	if err != nil {
		return err
	}
	c.Formula = strings.TrimPrefix(text, "=")
	switch e.attr("t") {
	case "array":
		a, ok := parseArea(e.attr("ref"))
		c.Array = c.Formula != ""
		if c.Array && ok && (a.left != a.right || a.top != a.bottom) {
			s.arrays = append(s.arrays, array{c.Col, c.Row, a})
		}
	case "dataTable":
		c.Formula = ""
		s.outlaws.add(Ref(c.Col, c.Row))
	case "shared":
		return s.readShared(c, e.attr("si"), e.attr("ref"))
	}
	return nil
}

func (s *sheetReader) readShared(c *Cell, id, ref string) error {
	if c.Formula != "" {
		if s.formula[id] == nil || ref != "" {
			s.formula[id] = &shared{text: c.Formula, col: c.Col, row: c.Row}
			if s.firsts[id] == nil {
				s.firsts[id] = s.formula[id]
			}
		}
		return nil
	}
	if s.formula[id] == nil {
		// Marked for now, so that the cell is kept even if it holds no value.
		s.waiting = append(s.waiting, waiting{c.Col, c.Row, id})
		c.Array = true
		return nil
	}
	return s.expand(c, s.formula[id])
}

// expand writes a shared formula for a cell, and counts it: it is longer in memory than in the file.
func (s *sheetReader) expand(c *Cell, f *shared) error {
	c.Formula = f.at(c.Col, c.Row)
	return s.pack.charge(len(c.Formula))
}

// tidy puts rows and cells in order, where the file did not have them so.
func (s *sheetReader) tidy() error {
	if !s.untidy {
		return nil
	}
	slices.SortStableFunc(s.sheet.Rows, func(a, b Row) int { return cmp.Compare(a.Number, b.Number) })
	rows := s.sheet.Rows[:0]
	for from := 0; from < len(s.sheet.Rows); {
		r, to := s.sheet.Rows[from], from+1
		for ; to < len(s.sheet.Rows) && s.sheet.Rows[to].Number == r.Number; to++ {
			r.Cells = append(r.Cells, s.sheet.Rows[to].Cells...)
		}
		slices.SortFunc(r.Cells, func(a, b Cell) int { return cmp.Compare(a.Col, b.Col) })
		for i := 1; i < len(r.Cells); i++ {
			if r.Cells[i].Col == r.Cells[i-1].Col {
				return s.wrong(&r.Cells[i], "stands there twice")
			}
		}
		rows = append(rows, r)
		from = to
	}
	s.sheet.Rows = rows
	return nil
}

// settle writes the formulas that waited, and marks the cells that an array formula fills.
func (s *sheetReader) settle() error {
	for _, w := range s.waiting {
		c := s.sheet.At(w.col, w.row)
		c.Array = false
		f := s.firsts[w.id]
		if f == nil {
			s.lost.add(Ref(w.col, w.row))
			continue
		}
		if err := s.expand(c, f); err != nil {
			return err
		}
	}
	for _, a := range s.arrays {
		if err := s.fill(a); err != nil {
			return err
		}
	}
	if s.lost.n > 0 {
		s.notice("The formula of %s of %q is not in the file; the value that it had was read.", several(s.lost.first, s.lost.n), s.sheet.Name)
	}
	if s.outlaws.n > 0 {
		s.notice("A table of trials at %s of %q was read as plain values.", several(s.outlaws.first, s.outlaws.n), s.sheet.Name)
	}
	return nil
}

// fill marks the cells that an array formula fills. Rows that are looked at count as cells, so that many formulas over the
// same rows come to an end.
func (s *sheetReader) fill(a array) error {
	at, _ := slices.BinarySearchFunc(s.sheet.Rows, a.top, func(r Row, n int) int { return cmp.Compare(r.Number, n) })
	for ; at < len(s.sheet.Rows) && s.sheet.Rows[at].Number <= a.bottom; at++ {
		if err := s.count(1); err != nil {
			return err
		}
		cells := s.sheet.Rows[at].Cells
		k, _ := slices.BinarySearchFunc(cells, a.left, func(c Cell, n int) int { return cmp.Compare(c.Col, n) })
		for ; k < len(cells) && cells[k].Col <= a.right; k++ {
			c := &cells[k]
			if c.Array && c.Formula == "" {
				return s.wrong(c, "is filled by two array formulas")
			}
			c.Array = c.Array || c.Formula == ""
		}
	}
	return nil
}
