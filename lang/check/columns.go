package check

import (
	"fmt"
	"strings"

	"castwright/lang/diag"
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
		t.from = file
	}
	if len(heads) == 0 && t.lasting == nil {
		t.lasting = diag.New(base.Item.Source, st.Name.Span, fmt.Sprintf("The table %s has no heading.", st.Name.Name), "Write the names of its columns with bars between them.")
		s.messages.Add(t.lasting)
	}
	lost := lostRow(base.Item)
	for i, h := range heads {
		c := base
		c.Role, c.head, c.at, c.Table, c.Span = Column, h, i, t, h.Name.Span
		if file != nil {
			if c.file = file.column(i); c.file == nil {
				continue // nobody has said what it holds
			}
		}
		out := s.addColumn(t, c, h.Name)
		if file == nil && out.lasting == nil && out.Replaced == nil {
			out.lasting = lost
		}
		if file == nil && out.lasting == nil && worksOut(st.Rows, i) {
			c.Name, c.Table, c.hides = "", nil, out
			c.Data = &Data{Column: value.Column{Num: []float64{}}} // till the column puts its own there
			out.hidden = s.put(c)
		}
	}
	for _, f := range st.Formulas {
		c := base
		c.Role, c.expr, c.shown, c.accept, c.Table, c.Span, c.Note = Worked, f.Expr, f.Shown, f.Accept, t, f.Span, f.Note
		c.Replaced, c.Source = nil, base.Item.Source
		s.addColumn(t, c, f.Name)
	}
}

// lostRow finds the mistake of a row that could not be read: without it, a total over the table would be wrong in
// silence (ruling 34).
func lostRow(it *syntax.Item) *diag.Message {
	for _, m := range it.Messages {
		if m.Level == diag.Mistake && !isHead(it, m) && !isFormulaLine(m.Source, m.Span.From) {
			return m
		}
	}
	return nil
}

// isHead tells whether a message stands in the first line of a statement, as that of a table without an end.
func isHead(it *syntax.Item, m *diag.Message) bool {
	_, head := it.Source.Line(it.Statement.Where().From)
	_, line := m.Source.Line(m.Span.From)
	return m.Source == it.Source && line == head
}

// isFormulaLine tells whether a place stands in a line that is a column formula and no row.
func isFormulaLine(src *diag.Source, at int) bool {
	line, _ := src.Line(at)
	name, _, formula := strings.Cut(line, "=")
	return formula && syntax.IsName(strings.TrimSpace(name))
}

// addColumn puts a column under its name, unless a column of the table has it already, or one that differs by case alone.
func (s *Sheet) addColumn(t *Cell, c Cell, n syntax.Ident) *Cell {
	c.NameSpan, c.Name = n.Span, t.Name+"."+n.Name
	out := s.put(c)
	if t.lasting != nil {
		out.lasting = t.lasting
		return out
	}
	for _, k := range t.Columns {
		if old := strings.TrimPrefix(k.Name, t.Name+"."); strings.EqualFold(old, n.Name) {
			out.lasting = diag.New(c.Item.Source, n.Span, twice("column", old, n.Name), "Give one of them another name.")
			out.lasting.Related = []diag.Related{{Source: c.Item.Source, Span: k.NameSpan, Text: "The other stands here:"}}
			s.messages.Add(out.lasting)
			return out
		}
	}
	s.named(out.Name).cell = out
	t.Columns = append(t.Columns, out)
	return out
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
		b.messages, b.places, b.root, b.broken, b.depth, b.visits = nil, nil, nil, nil, 0, 0
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
	zeros := false // bare zeros alone so far, which take the kind that comes (ruling 12)
	pending := 0   // rows before the first that says what the column holds
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
		regs, consts, told := len(b.prog.Regs), len(b.prog.Consts), len(b.messages)
		x := b.literal(e)
		if x.edges {
			x = b.asPoint(x)
		}
		if x.bad || x.t.List || x.t.Form == kind.Record {
			if !x.bad {
				b.mistake(e.Where(), fmt.Sprintf("A row holds one value; this is %s.", x.t.Article()), "Take a total of it, or give each value a row.")
			}
			if y, ok := b.rowFault(c, e, t, known, told); ok { // the other rows stand
				appendBlank(&data.Column, t)
				places, at = append(places, y), append(at, int32(i))
				continue
			}
			failed = true
			continue
		}
		if x.zero && known && t.Form == kind.Number {
			x.t.Dim = t.Dim
		}
		if zeros && x.t.Form == kind.Number {
			t, spec = x.t, x.spec
		}
		zeros = x.zero && (zeros || !known)
		if !known {
			t, spec, known = x.t, x.spec, true
			for range pending {
				appendBlank(&data.Column, t)
			}
		}
		if !x.t.Same(t) {
			b.otherKind(e, c.head, t, x)
			if y, ok := b.rowFault(c, e, t, known, told); ok {
				appendBlank(&data.Column, t)
				places, at = append(places, y), append(at, int32(i))
				continue
			}
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
		return b.fail(c.head.Name.Span, fmt.Sprintf("The column %s has no value and no unit.", c.head.Name.Name), "Put its unit behind the name, as height [mm].")
	}
	if spec == nil {
		spec = b.s.usual(t)
	}
	return b.overLiterals(c, data, t.ListOf(), spec, places, at)
}

// rowFault makes the mistake of one expression in a row that of the row alone (ruling 34), where it is known what the column
// holds.
func (b *builder) rowFault(c *Cell, e syntax.Expr, t kind.Type, known bool, told int) (program.Reg, bool) {
	if _, ok := e.(*syntax.Paren); !ok || !known || c.hidden == nil {
		return program.None, false
	}
	text, at := b.resting(c).Text, e.Where()
	if len(b.messages) > told {
		text, at = b.messages[told].Text, b.messages[told].Span
	} else if b.root == nil && b.broken != nil {
		b.messages.Add(b.broken.message())
	}
	b.root, b.broken = nil, nil
	b.ofRows = append(b.ofRows, b.messages[told:]...)
	b.messages = b.messages[:told]
	y := b.emit(program.Instr{Op: program.Fail, A: program.None, B: program.None, C: program.None, Aux: b.word(text)}, t, at)
	return y.reg, true
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
