package check

import (
	"fmt"
	"math"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/grid"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// fileTable is the file of a table, with the heading that says what each column holds.
type fileTable struct {
	grid  *grid.Grid
	path  string
	order []int // for each heading, the column of the file; -1 where it says nothing of what it holds
	o     grid.Options
}

// fileColumn is one column of a file.
type fileColumn struct {
	*fileTable
	at int
}

func (f *fileTable) column(i int) *fileColumn {
	if f.order[i] < 0 {
		return nil
	}
	return &fileColumn{f, f.order[i]}
}

// fromFile reads the file of a table and brings its headings together with those of the sheet (ruling 29).
func (s *Sheet) fromFile(src *diag.Source, st *syntax.Table) (*fileTable, []*syntax.Head, *diag.Message) {
	path := fileName(src, st.From.Path)
	f := &fileTable{path: path}
	for i, a := range st.From.Options {
		for _, other := range st.From.Options[:i] {
			if other.Name.Name == a.Name.Name {
				return nil, nil, diag.New(src, a.Span, fmt.Sprintf("%s is given twice.", a.Name.Name), "Leave one of them out.")
			}
		}
		if m := option(src, a, &f.o); m != nil {
			return nil, nil, m
		}
	}
	if s.Job.files == nil {
		return nil, nil, diag.New(src, st.From.Path.Span, "A sheet that stands alone in memory has no files.", "")
	}
	g, err := s.Job.files.Grid(path, f.o)
	if err != nil {
		text, way := err.Error(), ""
		if m, ok := err.(*grid.Mistake); ok {
			text, way = fmt.Sprintf("%s, line %d, place %d: %s", path, m.Line, m.Place, m.Text), m.WayOut
		}
		return nil, nil, diag.New(src, st.From.Path.Span, text, way)
	}
	f.grid = g
	var own []*syntax.Head
	for _, text := range g.Heads {
		h, _ := syntax.ReadHead(text, s.IsUnit)
		if h != nil {
			h.Name.Span = st.From.Path.Span // it stands in no line of the sheet
		} else if len(st.Heads) == 0 && strings.Contains(text, "[") { // it was meant to say what the column holds
			s.messages.Add(&diag.Message{Level: diag.Notice, Source: src, Span: st.From.Path.Span,
				Text: fmt.Sprintf("The heading %q of %s cannot be read, and its column is left out.", text, path), WayOut: "Write one name and a unit there, as air_temp [degC], or give the columns names of your own in the table."})
		}
		own = append(own, h)
	}
	if len(st.Heads) > 0 {
		heads, m := f.match(s, src, st, own)
		return f, heads, m
	}
	for i, h := range own {
		if h == nil || h.Shown == nil {
			f.order = append(f.order, -1)
			own[i] = &syntax.Head{}
			continue
		}
		f.order = append(f.order, i)
	}
	if f.none() {
		return nil, nil, diag.New(src, st.From.Path.Span, fmt.Sprintf("No heading of %s says what its column holds, and that is never guessed.", path),
			fmt.Sprintf("Write it in the file, as temp [degC], or below this line, as %s; the table closes with end.", proposal(g.Heads)))
	}
	return f, own, nil
}

func (f *fileTable) none() bool {
	for _, k := range f.order {
		if k >= 0 {
			return false
		}
	}
	return true
}

func proposal(heads []string) string {
	var out []string
	for _, h := range heads {
		name, _, _ := strings.Cut(h, "[")
		out = append(out, strings.TrimSpace(name)+" [text]")
	}
	return "| " + strings.Join(out, " | ")
}

// match finds the columns of a file for the headings of a sheet: by their names, or, where the file has none of these but
// as many columns, one after another.
func (f *fileTable) match(s *Sheet, src *diag.Source, st *syntax.Table, own []*syntax.Head) ([]*syntax.Head, *diag.Message) {
	names, twice := f.names()
	var missing *syntax.Head
	found := 0
	for _, h := range st.Heads {
		i, ok := names[h.Name.Name]
		switch {
		case twice[h.Name.Name]:
			return nil, diag.New(src, h.Name.Span, fmt.Sprintf("The file %s has two columns %s.", f.path, h.Name.Name), "Give each a name of its own there.")
		case ok:
			found++
		case missing == nil:
			missing = h
		}
		f.order = append(f.order, i)
	}
	if missing != nil && (found > 0 || len(st.Heads) != len(f.grid.Heads)) {
		way := diag.DidYouMean(diag.Near(missing.Name.Name, f.grid.Heads))
		if way == "" {
			way = fmt.Sprintf("It has %s. Name as many columns as the file has to give them names of your own.", diag.Or(f.grid.Heads))
		}
		return nil, diag.New(src, missing.Name.Span, fmt.Sprintf("The file %s has no column %s.", f.path, missing.Name.Name), way)
	}
	heads := make([]*syntax.Head, len(st.Heads))
	for i, h := range st.Heads {
		if missing != nil {
			f.order[i] = i
		}
		theirs := own[f.order[i]]
		if heads[i] = h; h.Shown == nil && theirs != nil {
			heads[i] = &syntax.Head{Name: h.Name, Shown: theirs.Shown}
		}
		if h.Shown != nil && theirs != nil && s.otherUnit(h.Shown, theirs.Shown) {
			return nil, diag.New(src, h.Shown.Span, fmt.Sprintf("The file says %s of this column, the sheet something else.", f.grid.Heads[f.order[i]]), "Leave the bracket out here, or write the unit of the file.")
		}
		if heads[i].Shown == nil {
			return nil, diag.New(src, h.Name.Span, fmt.Sprintf("It is not said what the column %s holds, and that is never guessed.", h.Name.Name), fmt.Sprintf("Write %s [mm]; [1] is a plain number, [date], [text] and [yes/no] are others.", h.Name.Name))
		}
	}
	return heads, nil
}

// names gives the column of each name in the heading of the file, and the names that stand over two.
func (f *fileTable) names() (at map[string]int, twice map[string]bool) {
	at, twice = map[string]int{}, map[string]bool{}
	for i, text := range f.grid.Heads {
		name, _, _ := strings.Cut(text, "[")
		name = normal(strings.TrimSpace(name))
		_, twice[name] = at[name]
		at[name] = i
	}
	return at, twice
}

// leftOut tells of a column that the file of a table has and the table has not; nothing where there is none.
func (c *Cell) leftOut(name string) (text, way string) {
	if c == nil || c.from == nil {
		return "", ""
	}
	at, _ := c.from.names()
	i, ok := at[name]
	switch {
	case !ok:
		return "", ""
	case len(c.Statement.(*syntax.Table).Heads) > 0:
		return fmt.Sprintf("%s has the column %s, but the table does not take it.", c.from.path, name), fmt.Sprintf("Name it in the table's heading too, as | %s [mm].", name)
	case strings.Contains(c.from.grid.Heads[i], "["):
		return fmt.Sprintf("What the heading of %s says of the column %s cannot be read.", c.from.path, name), "Write a unit, as temp [degC]."
	}
	return fmt.Sprintf("The column %s of %s is left out: it is not said what it holds, and that is never guessed.", name, c.from.path),
		fmt.Sprintf("Write %s [mm] in the file; [1] is a plain number, [date], [text] and [yes/no] are others.", name)
}

// otherUnit tells whether two brackets say two things of the same numbers. One that cannot be read says nothing.
func (s *Sheet) otherUnit(x, y *syntax.Shown) bool {
	b := s.builder(nil)
	t, p, ok1 := b.typeOfBracket(x)
	u, q, ok2 := b.typeOfBracket(y)
	if !ok1 || !ok2 {
		return false
	}
	scale, offset := inFile(p)
	otherScale, otherOffset := inFile(q)
	return !t.Same(u) || scale != otherScale || offset != otherOffset
}

// inFile gives what a bare number of a file is multiplied by, and what is added to it then.
func inFile(spec *show.Spec) (scale, offset float64) {
	scale = 1
	if spec.Percent {
		scale = 0.01
	}
	if len(spec.Units) == 0 {
		return scale, 0
	}
	u := spec.Units[0]
	if u.Ratio != nil {
		scale, _ = u.Ratio.Float64()
	}
	if u.Pi {
		scale *= math.Pi
	}
	if u.Offset != nil {
		offset, _ = u.Offset.Float64()
	}
	return scale, offset
}

// option reads one option of a file.
func option(src *diag.Source, a *syntax.Argument, o *grid.Options) *diag.Message {
	text, isText := a.Expr.(*syntax.Text)
	q, isNumber := a.Expr.(*syntax.Quantity)
	wrong := func(way string) *diag.Message {
		return diag.New(src, a.Span, "This option of a file cannot be read.", way)
	}
	switch a.Name.Name {
	case "dates":
		if !isText {
			return wrong(`Write dates: "d.m.y".`)
		}
		o.Dates = plainText(text)
	case "decimal":
		if !isText || len(plainText(text)) != 1 {
			return wrong(`Write decimal: ",".`)
		}
		o.Decimal = plainText(text)[0]
	case "skip":
		if !isNumber || len(q.Parts) != 1 || q.Parts[0].Unit != nil || q.Neg || !q.Parts[0].Number.Value.IsInt() {
			return wrong("Write skip: 3.")
		}
		n, _ := q.Parts[0].Number.Value.Float64()
		o.Skip = int(math.Min(n, 1e9))
	default:
		return diag.New(src, a.Span, "A table from a file has no such option.", `It has dates: "d.m.y", decimal: ",", and skip: 3.`)
	}
	if err := o.Check(); err != nil {
		text, way := sentences(err)
		return diag.New(src, a.Span, text, way)
	}
	return nil
}

// sentences gives what an error of a file says, and the way out.
func sentences(err error) (text, way string) {
	if m, ok := err.(*grid.Mistake); ok {
		return m.Text, m.WayOut
	}
	return err.Error(), ""
}

// fileColumn reads one column of a file.
func (b *builder) fileColumn(c *Cell) {
	f := c.file
	t, spec, ok := b.typeOfBracket(c.head.Shown)
	if !ok {
		b.conclude(c, b.fail(b.tableSpan(c), fmt.Sprintf("What the heading of %s says of the column %s cannot be read.", f.path, c.head.Name.Name), "Write a unit, as temp [degC]."), nil)
		return
	}
	scale, offset := inFile(spec)
	data := &Data{}
	wrong := 0
	for i, r := range f.grid.Rows {
		text := r[f.at]
		if text == "" {
			data.Open = append(data.Open, int32(i))
			appendBlank(&data.Column, t)
			continue
		}
		if err := appendText(&data.Column, t, text, f.o, scale, offset); err != nil {
			if wrong++; wrong <= 5 {
				b.fileMistake(c, f, i, err)
			}
			appendBlank(&data.Column, t)
		}
	}
	if wrong > 5 {
		b.mistake(b.tableSpan(c), fmt.Sprintf("%d further values of the column %s cannot be read.", wrong-5, c.head.Name.Name), "")
	}
	if wrong > 0 {
		b.conclude(c, bad(c.NameSpan), nil)
		return
	}
	b.conclude(c, b.overLiterals(c, data, t.ListOf(), spec, nil, nil), nil)
}

func (b *builder) fileMistake(c *Cell, f *fileColumn, row int, err error) {
	text, way := sentences(err)
	b.mistake(b.tableSpan(c), fmt.Sprintf("%s, line %d, column %s: %s", f.path, f.grid.Lines[row], c.head.Name.Name, text), way)
}

func (b *builder) tableSpan(c *Cell) diag.Span { return c.Statement.(*syntax.Table).From.Path.Span }

// appendText adds a value that is written in a file.
func appendText(v *value.Column, t kind.Type, text string, o grid.Options, scale, offset float64) error {
	switch t.Form {
	case kind.Text:
		v.Text = append(v.Text, normal(text))
		return nil
	case kind.Date:
		s, _, err := grid.Date(text, o.Dates)
		if err == nil {
			v.Num = append(v.Num, float64(s))
		}
		return err
	case kind.Truth:
		yes, err := grid.Truth(text)
		x := 0.0
		if yes {
			x = 1
		}
		if err == nil {
			v.Num = append(v.Num, x)
		}
		return err
	}
	x, err := grid.Number(text, o.Decimal)
	if err != nil {
		return err
	}
	if x = x*scale + offset; math.IsInf(x, 0) {
		return &grid.Mistake{Text: fmt.Sprintf("%s is too large for a number in this unit.", text), WayOut: "In SI units, the largest number is about 1.8e308."}
	}
	v.Num = append(v.Num, x)
	return nil
}
