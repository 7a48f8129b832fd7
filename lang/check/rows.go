package check

import (
	"fmt"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/syntax"
)

// rows is what is known while the formula of a column is compiled. The formula is read for one row, in which a bare name
// of a column is a single value; overRows then lets it run over all rows at once.
type rows struct {
	table *Cell
	own   *Cell  // the column whose formula it is
	row   []bool // for each register, whether its value differs from row to row
	self  *selfUse
	known *kind.Type    // what the column is, where it has been read once already
	late  *diag.Message // a mistake that shows only in the whole formula
}

// selfUse is the value of the column itself in the row above.
type selfUse struct {
	reg   program.Reg
	first program.Reg
	t     kind.Type
	zero  bool // its kind is not known before the formula is read
	at    diag.Span
}

// on notes that a register differs from row to row.
func (r *rows) on(reg program.Reg) {
	if r == nil {
		return
	}
	for len(r.row) <= int(reg) {
		r.row = append(r.row, false)
	}
	r.row[reg] = true
}

// differs tells whether a register differs from row to row.
func (r *rows) differs(reg program.Reg) bool {
	return r != nil && reg >= 0 && int(reg) < len(r.row) && r.row[reg]
}

// spread notes that the result of an operation differs from row to row where one of its operands does.
func (r *rows) spread(p *program.Program, in *program.Instr) {
	if r == nil {
		return
	}
	p.Reads(in, func(reg program.Reg) {
		if r.differs(reg) {
			r.on(in.Out)
		}
	})
}

// renumber follows the registers to their final numbers.
func (r *rows) renumber(to []program.Reg) {
	old := r.row
	r.row = nil
	for reg, yes := range old {
		if yes && reg < len(to) && to[reg] >= 0 {
			r.on(to[reg])
		}
	}
	if r.self != nil {
		r.self.reg, r.self.first = to[r.self.reg], to[r.self.first]
	}
}

// example names a column of the own table.
func (r *rows) example() string {
	return strings.TrimPrefix(r.table.Columns[0].Name, r.table.Name+".")
}

// column finds the column of the own table that a bare name means.
func (r *rows) column(name string) *Cell {
	if r == nil {
		return nil
	}
	for _, c := range r.table.Columns {
		if c.Name == r.table.Name+"."+name {
			return c
		}
	}
	return nil
}

// rowValue is a bare name of a column: its value in the row.
func (b *builder) rowValue(c *Cell, x *syntax.Name) operand {
	if e := b.s.names[x.Name]; !e.empty() && e.cell != nil {
		m := diag.New(b.src, x.Span, fmt.Sprintf("%s is a column here and a cell of the sheet too.", x.Name), "Give the column another name: the formulas of its table use it bare.")
		m.Related = []diag.Related{{Source: e.cell.Item.Source, Span: e.cell.NameSpan, Text: "The cell stands here:"}}
		b.messages.Add(m)
		return bad(x.Span)
	}
	b.look(b.s.named(x.Name)) // a cell of that name would be a mistake
	b.look(b.s.named(c.Name))
	y := b.read(input{c, true}, x.Span)
	if !y.bad {
		y.column = c
	}
	return y
}

// along compiles running, before and steps: they look along the rows (ruling 28).
func (b *builder) along(f *catalogue.Func, x *syntax.Call) operand {
	names := []string{f.Params[0].Name}
	if len(f.Params) > 1 {
		names = append(names, f.Params[1].Name)
	}
	if f.Special == catalogue.BeforeOf && b.isOwn(x) {
		return b.rowAbove(f, x)
	}
	given, ok := b.bind(f.Name, names, false, x)
	if !ok {
		return bad(x.Span)
	}
	if given[0] == nil {
		return b.fail(x.Span, fmt.Sprintf("%s needs %s.", f.Name, names[0]), fmt.Sprintf("It is written %s.", FuncHead(f)))
	}
	of := *given[0]
	if !of.t.List && (b.rows == nil || b.inRule()) {
		return b.fail(of.at, fmt.Sprintf("%s looks along the rows of a column; this is %s.", f.Name, of.t.Article()), "Give it a column, as pours.volume.")
	}
	result, ok := b.alongType(f, of)
	if !ok {
		return bad(x.Span)
	}
	in := program.Instr{Op: program.Running, A: of.reg, B: program.None, C: program.None}
	if f.Special != catalogue.RunningOf {
		first, ok := b.first(f, given[1], of, result.Elem(), x.Span)
		if !ok {
			return bad(x.Span)
		}
		in.Op, in.B = program.Before, first.reg
		if f.Special == catalogue.StepsOf {
			in.Op = program.Steps
		}
	}
	return b.alongOnce(in, result, of, x.Span)
}

// alongKey is by what two looks along the rows are one: the column, and the value for the first row.
type alongKey struct {
	op    program.Op
	of    program.Reg
	first program.Reg // None where it is a constant
	start float64
}

// alongOnce looks along the rows, once where a formula or the rules in it do so several times alike.
func (b *builder) alongOnce(in program.Instr, result kind.Type, of operand, at diag.Span) operand {
	key := alongKey{op: in.Op, of: in.A, first: in.B}
	if v, ok := b.known(operand{reg: in.B}); ok && classOf(of.t) == program.Num {
		key.first, key.start = program.None, v
	}
	if y, ok := b.alongs[key]; ok {
		return y
	}
	y := b.emit(in, result, at)
	if !of.t.List {
		b.rows.on(y.reg)
	}
	if result.Elem().Same(of.t.Elem()) {
		if y.shownPct = of.shownPct; of.t.Form != kind.Number && of.t.Form != kind.Point {
			y.spec = of.spec
		}
	}
	if b.alongs == nil {
		b.alongs = map[alongKey]operand{}
	}
	b.alongs[key] = y
	return y
}

// alongType gives the type of running, before and steps over a value.
func (b *builder) alongType(f *catalogue.Func, of operand) (kind.Type, bool) {
	t := of.t
	switch {
	case t.Form == kind.Record:
	case f.Special == catalogue.BeforeOf, t.Form == kind.Number:
		return t, true
	case f.Special == catalogue.StepsOf && t.Form == kind.Date:
		d := kind.Quantity(kind.Of(kind.Time))
		d.List = t.List
		return d, true
	case f.Special == catalogue.StepsOf && t.Form == kind.Point:
		d := kind.Quantity(kind.Of(kind.Temperature))
		d.List = t.List
		return d, true
	}
	way := ""
	switch t.Form {
	case kind.Date, kind.Point:
		way = "steps gives the gaps from row to row."
	case kind.Truth:
		way = "Count it, as running(if done then 1 else 0)."
	}
	b.mistake(of.at, fmt.Sprintf("%s does not work over %s.", f.Name, t.Elem().Article()), way)
	return t, false
}

// first is the value in the row that has none above it: 0 where it is left out, but for dates, texts and temperatures.
func (b *builder) first(f *catalogue.Func, given *operand, of operand, t kind.Type, at diag.Span) (operand, bool) {
	if given == nil {
		if of.t.Form != kind.Number {
			b.mistake(at, fmt.Sprintf("Over %s, %s needs a value for the first row.", of.t.Elem().Article(), f.Name), fmt.Sprintf("Write %s(%s, first: …).", f.Name, b.words(of.at)))
			return operand{}, false
		}
		return b.num(0, t, at), true
	}
	y := b.argument(f.Name, f.Params[1].Name, *given, t, true, "", false)
	switch {
	case y.bad:
		return y, false
	case y.t.List || b.rows.differs(y.reg):
		b.mistake(y.at, "The value for the first row is one value.", "Write it, or name a cell of the sheet.")
		return y, false
	}
	return y, true
}

// isOwn tells whether a call of before is over the column that is compiled.
func (b *builder) isOwn(x *syntax.Call) bool {
	if b.rows == nil || b.inRule() || len(x.Args) == 0 {
		return false
	}
	n, ok := x.Args[0].Expr.(*syntax.Name)
	return ok && x.Args[0].Name.Name == "" && b.rows.column(n.Name) == b.rows.own
}

// rowAbove is the value of the column itself in the row above.
func (b *builder) rowAbove(f *catalogue.Func, x *syntax.Call) operand {
	var first operand
	switch {
	case len(x.Args) == 2:
		if a := x.Args[1]; a.Name.Name != "" && a.Name.Name != f.Params[1].Name {
			way := fmt.Sprintf("It is written %s.", FuncHead(f))
			return b.fail(a.Name.Span, fmt.Sprintf("%s has no parameter %s.", f.Name, a.Name.Name), way)
		}
		first = b.expr(x.Args[1].Expr)
	case len(x.Args) == 1:
		first = b.num(0, kind.Quantity(kind.One), x.Span)
		first.zero = true
	default:
		return b.fail(x.Span, fmt.Sprintf("%s takes 2 values.", f.Name), fmt.Sprintf("It is written %s.", FuncHead(f)))
	}
	if first.bad {
		return first
	}
	if first.t.List || b.rows.differs(first.reg) {
		return b.fail(first.at, "The value for the first row is one value.", "Write it, or name a cell of the sheet.")
	}
	s := b.rows.self
	switch {
	case s == nil:
		s = &selfUse{reg: b.register(classOf(first.t), false), first: first.reg, t: first.t, zero: first.zero, at: x.Span}
		if b.rows.known != nil {
			s.t, s.zero = *b.rows.known, false
		}
		b.rows.self = s
		b.rows.on(s.reg)
	case s.first != first.reg && !b.sameConstant(s.first, first.reg):
		return b.fail(x.Span, "This formula looks at its row above twice, with two values for the first row.", "Give both the same.")
	}
	return operand{reg: s.reg, t: s.t, at: x.Span, zero: s.zero}
}

func (b *builder) sameConstant(x, y program.Reg) bool {
	u, ok1 := b.consts[x]
	v, ok2 := b.consts[y]
	return ok1 && ok2 && u.Equal(&v)
}

// rowFilter compiles `where` in a column formula, a term of its condition after the other: a column that must equal a
// value of the row is looked up in an index.
func (b *builder) rowFilter(l operand, x *syntax.Filter) operand {
	for _, term := range terms(x.Cond) {
		if l.bad {
			return l
		}
		l = b.filterTerm(l, term)
	}
	return l
}

func terms(e syntax.Expr) []syntax.Expr {
	switch x := e.(type) {
	case *syntax.Binary:
		if x.Op == "and" {
			return append(terms(x.X), terms(x.Y)...)
		}
	case *syntax.Paren:
		return terms(x.Inner)
	}
	return []syntax.Expr{e}
}

func (b *builder) filterTerm(l operand, term syntax.Expr) operand {
	c := b.expr(term)
	if c.bad {
		return c
	}
	if c.t.Form != kind.Truth {
		return b.fail(c.at, fmt.Sprintf("A \"where\" asks a condition; this is %s.", c.t.Article()), "Compare it, as pieces.kind == \"seat\".")
	}
	if !c.t.List {
		if !b.rows.differs(c.reg) {
			return b.fail(c.at, "This condition is the same for every row.", "Compare a list or a column of the same length.")
		}
		c = b.emit(program.Instr{Op: program.Spread, A: c.reg, B: l.reg, C: program.None}, c.t.ListOf(), c.at)
	}
	in := lane(program.Filter, l.reg, c.reg)
	if n := len(b.prog.Code); n > 0 && b.prog.Code[n-1].Out == c.reg {
		eq := b.prog.Code[n-1]
		column, key := eq.A, eq.B
		if eq.Op == program.Eq || eq.Op == program.TextEq {
			if b.prog.Regs[key].List {
				column, key = key, column
			}
			if b.prog.Regs[column].List && !b.prog.Regs[key].List && b.rows.differs(key) {
				b.prog.Code = b.prog.Code[:n-1]
				in = program.Instr{Op: program.FilterEq, A: l.reg, B: column, C: key}
			}
		}
	}
	y := b.emit(in, l.t, l.at.Join(c.at))
	y.spec, y.shownPct = l.spec, l.shownPct
	return y
}
