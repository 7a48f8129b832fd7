package xlsx

import (
	"crypto/sha256"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"castwright/lang/check"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/read"
)

// Handout writes what the reader of a handout may see, and nothing else: one worksheet, values, and formulas only where the
// handout says so. Open cells are marked, unlocked and empty.
func Handout(w io.Writer, j *sheets.Job, g *sheets.Given) error {
	h := &handout{e: newExporter(j), g: g}
	h.lay()
	if len(h.messages) > 0 {
		return errors.New(strings.Join(h.messages, " "))
	}
	h.e.book.Names = append(h.e.book.Names, book.Name{Name: handoutName(g.Handout.Name), Refers: book.Quote(h.page.name) + "!$A$1"})
	for _, c := range h.carried.Cells {
		col, row, _ := read.ParseRef(c.Ref)
		h.e.book.Names = append(h.e.book.Names, book.Name{Name: openName(c), Refers: (&place{page: h.page, col: col, row: row}).ref(nil)})
	}
	data, err := xml.Marshal(h.carried)
	if err != nil {
		return err
	}
	h.e.book.Parts = map[string][]byte{"customXml/item1.xml": append([]byte(xml.Header), data...)}
	return book.Write(w, h.e.book)
}

// carriedHandout tells an import which handout a workbook is, and where its open cells stand.
type carriedHandout struct {
	XMLName xml.Name      `xml:"urn:castwright:handout:1 handout"`
	Name    string        `xml:"name,attr"`
	Mark    string        `xml:"mark,attr,omitempty"`
	Cells   []carriedOpen `xml:"open"`
}

// markOf is a digest of what the reader of a handout sees of its title and list, by which an import knows a handout of
// another job that bears the same name.
func markOf(g *sheets.Given) string {
	seen := []string{g.Handout.Name, g.Title}
	for _, l := range g.Lines {
		seen = append(seen, l.Name)
	}
	for _, t := range g.Tables {
		seen = append(seen, "", sheets.Spoken(t.Name))
		for _, c := range t.Columns {
			seen = append(seen, c.Name)
		}
	}
	return fmt.Sprintf("%.8x", sha256.Sum256([]byte(strings.Join(seen, "\x00"))))
}

// carriedOpen is one cell that the reader fills in, under the name by which the handout lists it. It tells nothing of how
// rows are chosen, of the rows left out, or of how much a measure of the job is.
type carriedOpen struct {
	Name   string  `xml:"name,attr"`
	Line   int     `xml:"line,attr,omitempty"` // of a column, which of the lines of the handout lists it, from 1
	Row    int     `xml:"row,attr,omitempty"`  // of a column, among the rows that are listed, from 1
	Column string  `xml:"column,attr,omitempty"`
	Sheet  string  `xml:"sheet,attr"`
	Ref    string  `xml:"ref,attr"`
	Held   string  `xml:"held,attr"`
	Scale  float64 `xml:"scale,attr,omitempty"` // none where its unit is a measure of the job, which knows it
	Offset float64 `xml:"offset,attr"`
	Unit   string  `xml:"unit,attr,omitempty"`
}

// handoutName and openName are the defined names by which a handout is known again where another program has dropped the
// part that says what it is.
func handoutName(name string) string { return book.SafeName("handout_" + name) }

func openName(c carriedOpen) string {
	name := "fill_" + c.Name
	if c.Row > 0 {
		name += fmt.Sprintf("_%d_%s_%d", c.Line, c.Column, c.Row)
	}
	return book.SafeName(name)
}

// handout lays a handout out.
type handout struct {
	e        *exporter
	g        *sheets.Given
	page     *page
	carried  carriedHandout
	live     []livePlace
	messages []string
}

// livePlace is a line, or a column, whose formula goes in.
type livePlace struct {
	cell     *check.Cell
	name     string // as the handout lists it
	row, col int    // of a column, its first row; from 1
	not      map[int]bool
	rows     int // of a column; 0 for a line
}

// lineColumns is how many columns a line of a handout has: item, value, unit, remark, note.
const lineColumns = 5

// lay lays the handout out on its page.
func (h *handout) lay() {
	h.e.book.Title = h.g.Title
	h.page = h.e.page(h.g.Handout.Sheet, nil, sheets.Spoken(h.g.Handout.Name))
	h.lines()
	for i := range h.g.Tables {
		h.table(&h.g.Tables[i], i)
	}
	h.cautions()
	h.formulas()
}

func (h *handout) lines() {
	out := h.page.out
	h.carried.Name, h.carried.Mark = h.g.Handout.Name, markOf(h.g)
	out.Widths = []float64{34, 16, 12, 30, 44}
	out.Freeze, out.TitleRows, out.Protect = 0, 1, true
	out.Rows = append(out.Rows, row(text(h.g.Title, book.Title)), book.Row{})
	if len(h.g.Lines) == 0 {
		return
	}
	out.Rows = append(out.Rows, row(text("Item", book.Head), text("Value", book.Head), text("Unit", book.Head), text("Remark", book.Head), text("Note", book.Head)))
	for i := range h.g.Lines {
		l := &h.g.Lines[i]
		h.line(l)
	}
}

func (h *handout) line(l *sheets.GivenLine) {
	out := h.page.out
	s := shapeOf(l.Cell)
	if l.Item.Target != nil && !l.Item.Chosen {
		h.e.places[l.Item.Target] = &place{page: h.page, col: colValue, row: len(out.Rows) + 1, shape: s}
	}
	v := h.e.j.Value(l.Cell)
	cell := book.Cell{Style: book.Style{Role: book.Worked}}
	unit := s.unit()
	switch {
	case l.Fill:
		cell.Style = book.Style{Role: book.Open, Unlocked: true}
		h.open(carriedOpen{Name: l.Item.Text, Ref: book.Ref(colValue, len(out.Rows)+1)}, s)
	case l.Empty:
	case l.Check != nil:
		cell = text(string(l.Check.State), map[sheets.CheckState]book.Role{sheets.Holds: book.Holds, sheets.Fails: book.Fails, sheets.Unknown: book.Unknown}[l.Check.State])
		unit = ""
	default:
		cell = cellOf(s, v, 0, value.OK)
		cell.Style.Role = book.Worked
		if len(v.Num) == 1 {
			if words := s.words(v.Num[0]); words != "" {
				unit += " (" + words + ")"
			}
		}
		if l.Item.Live {
			h.live = append(h.live, livePlace{cell: l.Item.Target, name: l.Item.Text, row: len(out.Rows) + 1, col: colValue})
		}
	}
	out.Rows = append(out.Rows, row(text(l.Name, book.Item), cell, text(unit, book.Unit), text(l.Remark, book.Note), text(l.Note, book.Note)))
}

// open marks a cell that its reader fills in, with what it takes.
func (h *handout) open(c carriedOpen, s shape) {
	c.Sheet, c.Scale, c.Offset, c.Unit = h.page.name, s.scale, s.offset, s.unit()
	c.Held = heldNames[s.kind]
	if h.e.j.Checked.ShownInMeasure(s.spec) {
		c.Scale = 0
	}
	h.carried.Cells = append(h.carried.Cells, c)
	v := validation(s, c.Ref)
	if v.Prompt != "" {
		h.page.out.Inputs = append(h.page.out.Inputs, v)
	}
}

// formulas puts the formulas of live lines and columns in. Rows that are empty, or to be filled in, stay so.
func (h *handout) formulas() {
	for _, k := range h.live {
		rows, err := h.rowFormulas(&k)
		if err != nil {
			h.messages = append(h.messages, "The formula of "+k.name+" cannot go in: "+err.Error()+".")
			continue
		}
		for i, f := range rows {
			if !k.not[i] {
				h.page.out.Rows[k.row+i-1].Cells[k.col-1].Formula = inRow(f, k.row+i)
			}
		}
	}
}

// rowFormulas says the formula of a live line, or those of the rows of a live column.
func (h *handout) rowFormulas(k *livePlace) ([]string, error) {
	if k.rows == 0 {
		f, err := h.formula(k.cell, single)
		return []string{f}, err
	}
	var out []string
	for i := range k.rows {
		if i > 1 && !inColumns(k.cell) { // as in the row above
			out = append(out, out[i-1])
			continue
		}
		f, err := h.formula(k.cell, i)
		if err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, nil
}

// formula says the formula of a live cell, or of a row of a live column, over the cells of the handout alone.
func (h *handout) formula(t *check.Cell, row int) (string, error) {
	if t == nil || t.Program == nil {
		return "", errors.New("it is no worked-out cell")
	}
	if h.e.places[t] == nil {
		return "", errors.New("only some of its rows are listed; give their values without live")
	}
	for _, in := range sheets.RestsOn(t) {
		if h.e.places[in] == nil {
			return "", fmt.Errorf("it rests on %s, of which only some rows are listed", in.Path())
		}
	}
	before := len(h.e.lists.columns)
	f, err := h.e.formula(h.page, t, h.e.places[t], 0, row)
	if err == nil && len(h.e.lists.columns) > before {
		err = errors.New("it looks into a list of values that stand in no cells")
	}
	if err == nil && t.InMeasures() && holdsNumber.MatchString(f) {
		err = errors.New("it would tell how much a measure of the job is, which no handout lists; give the value without live")
	}
	return f, err
}

// holdsNumber finds a number in a formula that is no part of a reference or a name.
var holdsNumber = regexp.MustCompile(`(^|[^A-Za-z0-9_$.])[0-9.]`)

// table writes columns side by side.
func (h *handout) table(t *sheets.GivenTable, index int) {
	out := h.page.out
	out.Rows = append(out.Rows, book.Row{}, row(text(sheets.Spoken(t.Name), book.Section)))
	for _, note := range t.Notes() {
		c := text(note, book.Note)
		c.Across = lineColumns - 1
		out.Rows = append(out.Rows, row(c))
	}
	head := book.Row{}
	tab := book.Table{Name: book.SafeName("list_" + string(rune('a'+index%26)))}
	shapes := make([]shape, len(t.Columns))
	values := make([]*value.Column, len(t.Columns))
	for k, c := range t.Columns {
		shapes[k], values[k] = columnShape(h.e.j, c)
		name := c.Name
		if u := shapes[k].unit(); u != "" {
			name += " (" + u + ")"
		}
		head.Cells = append(head.Cells, text(name, book.Head))
		tab.Columns = append(tab.Columns, book.Column{Name: name})
	}
	out.Rows = append(out.Rows, head)
	first := len(out.Rows)
	formats := make([]string, len(t.Columns))
	for k := range t.Columns {
		formats[k] = givenFormat(&t.Columns[k], shapes[k], values[k])
		h.columnPlace(t, k, first+1, shapes[k])
	}
	for i := range t.Rows {
		r := book.Row{}
		for k, c := range t.Columns {
			cell := book.Cell{Style: book.Style{Role: book.Worked}}
			switch {
			case c.Fill[i]:
				cell.Style = book.Style{Role: book.Open, Unlocked: true}
				h.open(carriedOpen{Name: listedName(c.Item), Line: h.lineOf(c.Item), Row: i + 1, Column: c.Name, Ref: book.Ref(k+1, len(out.Rows)+1)}, shapes[k])
			case !c.Empty[i]:
				cell = cellOf(shapes[k], values[k], i, value.OK)
				cell.Style.Role = book.Worked
				if cell.Kind == book.Number {
					cell.Style.Format = formats[k]
				}
			}
			r.Cells = append(r.Cells, cell)
		}
		out.Rows = append(out.Rows, r)
	}
	if t.Rows > 0 {
		tab.Ref = book.Ref(1, first) + ":" + book.Ref(len(t.Columns), first+t.Rows)
		out.Tables = append(out.Tables, tab)
	}
}

// givenFormat is one number format for what is given of a column: the one with the most digits.
func givenFormat(c *sheets.GivenColumn, s shape, v *value.Column) string {
	format := ""
	for i, x := range v.Num {
		if f := s.format(x); !c.Empty[i] && len(f) > len(format) {
			format = f
		}
	}
	return format
}

// columnPlace gives a column that is listed with all its rows its place, over which formulas may go.
func (h *handout) columnPlace(t *sheets.GivenTable, k, row int, s shape) {
	c := &t.Columns[k]
	target := c.Item.Target
	if target == nil || c.Item.Chosen {
		return
	}
	pl := &place{page: h.page, col: k + 1, row: row, n: t.Rows, shape: s}
	if c.Field >= 0 { // of a table that is listed as a whole
		if h.e.places[target] == nil {
			h.e.places[target] = &place{page: h.page, shape: shapeOf(target)}
		}
		h.e.places[target].fields = append(h.e.places[target].fields, pl)
		target = target.Columns[c.Field]
	}
	h.e.places[target] = pl
	if !slices.Contains(sheets.LiveCells(c.Item), target) {
		return
	}
	not := map[int]bool{}
	for i := range t.Rows {
		not[i] = c.Empty[i] || c.Fill[i]
	}
	h.live = append(h.live, livePlace{cell: target, name: target.Path(), row: row, col: k + 1, rows: t.Rows, not: not})
}

// listedName is the name that a line of a handout lists, without the words by which rows are chosen.
func listedName(x *check.HandoutItem) string {
	if x.Chosen {
		before, _, _ := strings.Cut(x.Text, " where ")
		return strings.TrimSpace(before)
	}
	return x.Text
}

// lineOf tells which of the lines of the handout is meant, from 1.
func (h *handout) lineOf(x *check.HandoutItem) int { return slices.Index(h.g.Handout.Items, x) + 1 }

func columnShape(j *sheets.Job, k sheets.GivenColumn) (shape, *value.Column) {
	typ, spec, v := k.Cell.Type.Elem(), k.Cell.Spec, j.Value(k.Cell)
	if k.Field >= 0 {
		typ, v = typ.Fields[k.Field].Type, &v.Fields[k.Field]
		if spec != nil && k.Field < len(spec.Fields) {
			spec = spec.Fields[k.Field]
		}
	}
	if spec == nil {
		spec = &show.Spec{Form: typ.Form}
	}
	return shaped(kind.Type{Form: typ.Form, Dim: typ.Dim, Fields: typ.Fields}, spec), v
}

func (h *handout) cautions() {
	if len(h.g.Cautions) == 0 {
		return
	}
	out := h.page.out
	out.Rows = append(out.Rows, book.Row{}, row(text("Cautions", book.Section)))
	for _, s := range h.g.Cautions {
		out.Rows = append(out.Rows, caution(s, lineColumns))
	}
}

// caution writes a caution across the columns of a page.
func caution(s string, across int) book.Row {
	c := text(s, book.Caution)
	c.Across = across
	return row(c)
}

var heldNames = map[held]string{numeric: "number", dated: "date", yesNo: "truth", worded: "text"}
