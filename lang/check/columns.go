package check

import (
	"fmt"
	"math"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/grid"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// table makes the cells of a table: the table itself, which is its list of rows, and one for each column.
func (s *Sheet) table(base Cell, st *syntax.Table) {
	base.Role = Rows
	base.Replaced, base.Source = s.replacing(st.Name.Name, base.Source)
	t := s.add(base, st.Name)
	heads := st.Heads
	var file *fileTable
	if st.From != nil {
		var m *diag.Message
		if file, heads, m = s.fromFile(base.Item.Source, st); m != nil {
			t.lasting = m
			s.messages.Add(m)
			return
		}
	}
	if len(heads) == 0 && t.lasting == nil {
		t.lasting = diag.New(base.Item.Source, st.Name.Span, fmt.Sprintf("The table %s has no heading.", st.Name.Name), "Write the names of its columns with bars between them.")
		s.messages.Add(t.lasting)
	}
	for i, h := range heads {
		c := base
		c.Role, c.head, c.at, c.Table, c.Span = Column, h, i, t, h.Name.Span
		if file != nil {
			if c.file = file.column(i); c.file == nil {
				continue // nobody has said what it holds
			}
		}
		s.addColumn(t, c, h.Name)
		if file == nil && st.Rows != nil && worksOut(st.Rows, i) {
			c.Name, c.Table, c.hides = "", nil, t.Columns[len(t.Columns)-1]
			c.hides.hidden = s.put(c)
		}
	}
	for _, f := range st.Formulas {
		c := base
		c.Role, c.expr, c.shown, c.accept, c.Table, c.Span, c.Note = Worked, f.Expr, f.Shown, f.Accept, t, f.Span, f.Note
		c.Replaced, c.Source = nil, base.Item.Source
		s.addColumn(t, c, f.Name)
	}
}

func (s *Sheet) addColumn(t *Cell, c Cell, n syntax.Ident) {
	c.NameSpan, c.Name = n.Span, t.Name+"."+n.Name
	out := s.put(c)
	e := s.named(out.Name)
	switch {
	case t.lasting != nil:
		out.lasting = t.lasting
	case !e.empty():
		out.lasting = diag.New(c.Item.Source, n.Span, fmt.Sprintf("The column %s stands twice.", n.Name), "Give one of them another name.")
		s.messages.Add(out.lasting)
	default:
		e.cell = out
		t.Columns = append(t.Columns, out)
	}
}

// worksOut tells whether a column has an expression in some row.
func worksOut(rows []*syntax.Row, i int) bool {
	for _, r := range rows {
		switch r.Cells[i].(type) {
		case *syntax.Paren, *syntax.List:
			return true
		}
	}
	return false
}

// rowsOf settles a table from its columns.
func (s *Sheet) rowsOf(c *Cell, b *builder) {
	b.begin(s, c.Source)
	t := kind.Type{Form: kind.Record, List: true}
	spec := &show.Spec{Form: kind.Record}
	in := program.Instr{Op: program.MakeRows, A: program.None, B: program.None, C: program.None}
	failed := len(c.Columns) == 0
	for _, k := range c.Columns {
		b.look(s.named(k.Name))
		y := b.read(input{k, false}, c.NameSpan)
		if failed = failed || y.bad; y.bad {
			continue
		}
		t.Fields = append(t.Fields, kind.Field{Name: strings.TrimPrefix(k.Name, c.Name+"."), Type: k.Type.Elem()})
		spec.Fields = append(spec.Fields, k.Spec)
		in.Args = append(in.Args, y.reg)
	}
	x := bad(c.NameSpan)
	if !failed {
		x = b.emit(in, t, c.NameSpan)
		x.spec = spec
	}
	b.conclude(c, x, nil)
}

// worked settles a column that is a formula. Where the formula looks at itself in the row above with a bare 0 in the
// first, its kind is known only when it has been read once.
func (s *Sheet) worked(c *Cell, b *builder) {
	var self *selfUse
	for {
		b.begin(s, c.Source)
		b.messages, b.places, b.root, b.depth, b.visits = nil, nil, nil, 0, 0
		b.rows = &rows{table: c.Table, own: c}
		b.target = b.currencyOf(c.shown)
		if self != nil {
			b.rows.known = &self.t
		}
		x := b.expr(c.expr)
		if c.accept != nil && !x.bad {
			x = b.accept(x, c.accept)
		}
		if !x.bad {
			x = b.toTarget(x)
		}
		if !x.bad && x.t.List {
			x = b.fail(c.expr.Where(), fmt.Sprintf("A row holds one value; this is %s.", x.t.Article()), "Take a total of it, or name a column of this table bare for its value in the row.")
		}
		again := false
		if own := b.rows.self; own != nil && !x.bad {
			switch {
			case own.zero && self == nil && x.t.Form == kind.Number && !x.t.Same(own.t):
				again, self = true, &selfUse{t: x.t.Elem()}
			case !x.t.Same(own.t):
				x = b.fail(own.at, fmt.Sprintf("In the row above this column is %s, and here it comes to %s.", own.t.Article(), x.t.Article()), "Give the value for the first row in the column's own unit, as first: 0 L.")
			}
		}
		if again {
			c.unwatch()
			continue
		}
		if !x.bad && b.count() < 0 {
			b.input(input{c.Table.Columns[0], false})
		}
		x.t.List = true
		b.conclude(c, x, c.shown)
		return
	}
}

// count gives the register of a column of the own table, which has as many rows as the result; negative where none is
// read.
func (b *builder) count() program.Reg {
	for _, in := range b.order {
		if in.cell.Table == b.rows.table && in.cell.Role == Column {
			return b.inputs[in]
		}
	}
	return -1
}

// typed settles a column of literals: one kind, bare numbers in the unit of the heading, empty places open.
func (s *Sheet) typed(c *Cell, st *syntax.Table, b *builder) {
	if c.Replaced != nil {
		s.replacedColumn(c, st, b)
		return
	}
	b.begin(s, c.Source)
	if c.file != nil {
		b.fileColumn(c)
		return
	}
	b.conclude(c, b.typedRows(c, st), nil)
}

// typedRows reads the rows of a typed column. Expressions in brackets are put over the literals, which stand in a cell of
// their own.
func (b *builder) typedRows(c *Cell, st *syntax.Table) operand {
	t, spec, known := kind.Type{}, (*show.Spec)(nil), false
	if c.head.Shown != nil {
		if t, spec, known = b.typeOfBracket(c.head.Shown); !known {
			return b.fail(c.head.Shown.Span, "The bracket of this column cannot be read.", "Write a unit, as [mm].")
		}
	}
	data := &Data{}
	var places []program.Reg
	var at []int32
	failed := false
	pending := 0 // rows before the first that says what the column holds
	for i, r := range st.Rows {
		e := inUnit(r.Cells[c.at], c.head)
		if e == nil {
			data.Open = append(data.Open, int32(i))
			if known {
				appendBlank(&data.Column, t)
			} else {
				pending++
			}
			continue
		}
		regs, consts := len(b.prog.Regs), len(b.prog.Consts)
		x := b.expr(e)
		if x.edges {
			x = b.asPoint(x)
		}
		if x.bad || x.t.List || x.t.Form == kind.Record || x.t.Form == kind.Edge {
			if !x.bad {
				b.mistake(e.Where(), fmt.Sprintf("A row holds one value; this is %s.", x.t.Article()), "")
			}
			failed = true
			continue
		}
		if x.zero && known && t.Form == kind.Number {
			x.t.Dim = t.Dim
		}
		if !known {
			t, spec, known = x.t, x.spec, true
			for range pending {
				appendBlank(&data.Column, t)
			}
		}
		if !x.t.Same(t) {
			b.mistake(e.Where(), fmt.Sprintf("The column %s holds %s; this is %s.", c.head.Name.Name, t.Article(), x.t.Article()), "")
			failed = true
			continue
		}
		if k, ok := b.consts[x.reg]; ok && len(b.prog.Code) == 0 {
			data.Column.Num = append(data.Column.Num, k.Num...)
			data.Column.Text = append(data.Column.Text, k.Text...)
			delete(b.consts, x.reg)
			b.prog.Regs, b.prog.Consts = b.prog.Regs[:regs], b.prog.Consts[:consts]
			continue
		}
		appendBlank(&data.Column, t)
		places, at = append(places, x.reg), append(at, int32(i))
	}
	switch {
	case failed:
		return bad(c.NameSpan)
	case !known:
		return b.fail(c.head.Name.Span, fmt.Sprintf("The column %s has no row and no unit.", c.head.Name.Name), "Put its unit behind the name, as height [mm].")
	}
	if spec == nil {
		spec = b.s.usual(t)
	}
	return b.overLiterals(c, data, t.ListOf(), spec, places, at)
}

func (b *builder) overLiterals(c *Cell, data *Data, t kind.Type, spec *show.Spec, places []program.Reg, at []int32) operand {
	c.Spec = spec
	data.Column.N = max(len(data.Column.Num), len(data.Column.Text), len(data.Column.Obj))
	fill(&data.Column, t)
	if c.hidden == nil {
		c.Data = data
		return operand{t: t, at: c.NameSpan, spec: spec}
	}
	h := c.hidden
	h.Data, h.Type, h.Spec = data, t, spec
	b.prog.Loops = append(b.prog.Loops, program.Loop{At: at, Self: -1})
	y := b.emit(program.Instr{Op: program.Scatter, A: b.input(input{h, false}), B: program.None, C: program.None, Args: places, Aux: int32(len(b.prog.Loops) - 1)}, t, c.NameSpan)
	y.spec = spec
	return y
}

// appendBlank adds a row that holds nothing yet.
func appendBlank(v *value.Column, t kind.Type) {
	switch classOf(t) {
	case program.Num:
		v.Num = append(v.Num, 0)
	case program.Text:
		v.Text = append(v.Text, "")
	default:
		v.Obj = append(v.Obj, nil)
	}
}

// fill gives a column without a row the slice of its type.
func fill(v *value.Column, t kind.Type) {
	switch class := classOf(t); {
	case class == program.Num && v.Num == nil:
		v.Num = []float64{}
	case class == program.Text && v.Text == nil:
		v.Text = []string{}
	case class == program.Obj && v.Obj == nil:
		v.Obj = []any{}
	}
}

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
	path := plainText(st.From.Path)
	f := &fileTable{path: path}
	for _, a := range st.From.Options {
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
		own = append(own, h)
	}
	if len(st.Heads) > 0 {
		heads, m := f.match(src, st, own)
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
			fmt.Sprintf("Write it in the file, as temp [degC], or in the table: a line %s, and a line end.", proposal(g.Heads)))
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

// match finds the columns of a file for the headings of a sheet: by their names, or, where the file has other names but as
// many columns, one after another.
func (f *fileTable) match(src *diag.Source, st *syntax.Table, own []*syntax.Head) ([]*syntax.Head, *diag.Message) {
	names := map[string]int{}
	for i, text := range f.grid.Heads {
		name, _, _ := strings.Cut(text, "[")
		names[strings.TrimSpace(name)] = i
	}
	var missing *syntax.Head
	for _, h := range st.Heads {
		i, ok := names[h.Name.Name]
		if !ok && missing == nil {
			missing = h
		}
		f.order = append(f.order, i)
	}
	if missing != nil && len(st.Heads) != len(f.grid.Heads) {
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
		if heads[i] = h; h.Shown == nil && own[f.order[i]] != nil {
			heads[i] = &syntax.Head{Name: h.Name, Shown: own[f.order[i]].Shown}
		}
		if heads[i].Shown == nil {
			return nil, diag.New(src, h.Name.Span, fmt.Sprintf("It is not said what the column %s holds, and that is never guessed.", h.Name.Name), fmt.Sprintf("Write %s [mm]; [1] is a plain number, [date], [text] and [yes/no] are others.", h.Name.Name))
		}
	}
	return heads, nil
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
		return diag.New(src, a.Span, err.Error(), "")
	}
	return nil
}

// fileColumn reads one column of a file.
func (b *builder) fileColumn(c *Cell) {
	f := c.file
	t, spec, ok := b.typeOfBracket(c.head.Shown)
	if !ok {
		b.conclude(c, b.fail(b.tableSpan(c), fmt.Sprintf("What the heading of %s says of the column %s cannot be read.", f.path, c.head.Name.Name), "Write a unit, as temp [degC]."), nil)
		return
	}
	scale, offset := 1.0, 0.0
	if len(spec.Units) > 0 {
		scale, _ = spec.Units[0].Ratio.Float64()
		if spec.Units[0].Pi {
			scale *= math.Pi
		}
		if spec.Units[0].Offset != nil {
			offset, _ = spec.Units[0].Offset.Float64()
		}
	}
	if spec.Percent {
		scale = 0.01
	}
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
	text, way := err.Error(), ""
	if m, ok := err.(*grid.Mistake); ok {
		text, way = m.Text, m.WayOut
	}
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
		return fmt.Errorf("%s is too large for a number.", text)
	}
	v.Num = append(v.Num, x)
	return nil
}
