package check

import (
	"fmt"
	"math"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// maxCode is how many operations one formula may become when its rules are put in.
const maxCode = 200_000

// operand is a checked expression: the register that holds its value, and what the checker knows of it.
type operand struct {
	reg      program.Reg
	t        kind.Type
	at       diag.Span
	bad      bool // a mistake is told already
	zero     bool // the bare literal 0, which takes the kind that is wanted
	bare     bool // a plain number made of literals only
	percent  bool // a % literal, or a sum of them
	oneish   bool // the literal 1, with percent added or taken away
	shownPct bool // a cell or parameter shown in %
	text     *string
	spec     *show.Spec // how it is shown where nothing else is said
	edges    bool       // a pair of lengths that can be a point
	pair     []operand  // its two lengths
	empty    bool       // a parameter left out that has no default
	column   *Cell      // the bare name of a column, where a formula of its table stands for one row
}

// frame is a rule being put in: where it was called.
type frame struct {
	rule *Rule
	src  *diag.Source
	at   diag.Span
}

// input is a cell that a formula reads: whole, or, in a column formula, the value of one row.
type input struct {
	cell *Cell
	row  bool
}

// builder compiles one formula.
type builder struct {
	s        *Sheet // where its names are looked up
	src      *diag.Source
	cell     *Cell // whose formula it is; nil where the names it looks up need not be watched
	prog     *program.Program
	places   []program.Place
	inputs   map[input]program.Reg
	order    []input
	consts   map[program.Reg]value.Column
	literals map[program.Reg]*value.Column // what typed columns hold
	messages diag.List
	ofRows   diag.List // mistakes of single rows, which leave the others standing
	frames   []frame
	scopes   []*scope
	rules    map[*Rule]bool
	watched  map[*entry]bool
	rows     *rows // where the formula of a column is compiled
	root     *Cell // a cell with a mistake that this one rests on
	broken   *broken
	sought   map[*syntax.Compare]*sought
	alongs   map[alongKey]operand
	target   string // the currency of the shown bracket
	depth    int
	visits   int
	bracket  bool // a shown bracket is being read
	us       bool
}

func (s *Sheet) builder(src *diag.Source) *builder { return (&builder{}).begin(s, src) }

// begin makes a builder ready for a formula.
func (b *builder) begin(s *Sheet, src *diag.Source) *builder {
	b.s, b.src, b.us = s, src, s.US
	b.prog, b.inputs = &program.Program{}, map[input]program.Reg{}
	b.consts, b.literals = map[program.Reg]value.Column{}, map[program.Reg]*value.Column{}
	b.rules, b.watched, b.alongs = map[*Rule]bool{}, map[*entry]bool{}, nil
	return b
}

// look notes that the formula looked a name up, so that it is checked again when the name comes to mean something else.
func (b *builder) look(e *entry) {
	if b.cell != nil && !b.watched[e] {
		b.watched[e] = true
		b.cell.watch(e)
	}
}

func (b *builder) inRule() bool { return len(b.frames) > 0 }

// mistake reports a mistake; inside a rule it is put at the call, with the line in the rule.
func (b *builder) mistake(at diag.Span, text, wayOut string) {
	b.messages.Add(b.message(at, text, wayOut))
}

func (b *builder) message(at diag.Span, text, wayOut string) *diag.Message {
	if len(b.frames) == 0 {
		return diag.New(b.src, at, text, wayOut)
	}
	f := b.frames[0]
	m := diag.New(f.src, f.at, text, wayOut)
	m.Related = []diag.Related{{Source: b.src, Span: at, Text: fmt.Sprintf("In the rule %s:", b.frames[len(b.frames)-1].rule.Name)}}
	return m
}

func (b *builder) notice(at diag.Span, text string) {
	b.noticeOnce("", at, text)
}

// noticeOnce is a notice that a sheet tells once, whatever the number of cells that call for it.
func (b *builder) noticeOnce(once string, at diag.Span, text string) {
	m := b.message(at, text, "")
	m.Level, m.Once = diag.Notice, once
	b.messages.Add(m)
}

// fail reports a mistake and gives an operand that stays silent.
func (b *builder) fail(at diag.Span, text, wayOut string) operand {
	b.mistake(at, text, wayOut)
	return operand{bad: true, at: at}
}

func bad(at diag.Span) operand { return operand{bad: true, at: at} }

// words gives the source text of an expression, for messages.
func (b *builder) words(at diag.Span) string {
	r := []rune(b.src.Cut(at))
	if len(r) > 40 {
		return string(r[:37]) + "…"
	}
	return string(r)
}

func (b *builder) register(c program.Class, list bool) program.Reg {
	b.prog.Regs = append(b.prog.Regs, program.Register{Class: c, List: list})
	return program.Reg(len(b.prog.Regs) - 1)
}

func classOf(t kind.Type) program.Class {
	switch t.Form {
	case kind.Text:
		return program.Text
	case kind.Place, kind.Outline, kind.Solid, kind.Step:
		return program.Obj
	case kind.Record:
		return program.Record
	}
	return program.Num
}

func (b *builder) place(at diag.Span) int32 {
	p := program.Place{Source: b.src, Span: at}
	if len(b.frames) > 0 {
		inside := p
		p = program.Place{Source: b.frames[0].src, Span: b.frames[0].at, Inside: &inside}
	}
	for i := len(b.places) - 1; i >= 0 && i >= len(b.places)-4; i-- {
		if q := b.places[i]; q.Source == p.Source && q.Span == p.Span && (q.Inside == nil) == (p.Inside == nil) && (p.Inside == nil || *q.Inside == *p.Inside) {
			return int32(i)
		}
	}
	b.places = append(b.places, p)
	return int32(len(b.places) - 1)
}

// emit adds an operation whose result has type t.
func (b *builder) emit(in program.Instr, t kind.Type, at diag.Span) operand {
	in.Out = b.register(classOf(t), t.List)
	b.rows.spread(b.prog, &in)
	in.Place = b.place(at)
	if len(b.prog.Code) >= maxCode {
		if len(b.prog.Code) == maxCode {
			b.mistake(at, fmt.Sprintf("With its rules put in, this formula takes more than %d steps.", maxCode), "Give its parts cells of their own.")
			b.prog.Code = append(b.prog.Code, in)
		}
		return bad(at)
	}
	b.prog.Code = append(b.prog.Code, in)
	return operand{reg: in.Out, t: t, at: at}
}

func lane(op program.Op, x, y program.Reg) program.Instr {
	return program.Instr{Op: op, A: x, B: y, C: program.None}
}

// constant makes a register that is filled from the start.
func (b *builder) constant(v value.Column, t kind.Type, at diag.Span) operand {
	r := b.register(classOf(t), t.List)
	b.consts[r] = v
	b.prog.Consts = append(b.prog.Consts, program.Const{Reg: r, Value: v})
	return operand{reg: r, t: t, at: at}
}

func (b *builder) num(x float64, t kind.Type, at diag.Span) operand {
	return b.constant(value.One(x), t, at)
}

// known gives the number of an operand that is a constant single number.
func (b *builder) known(x operand) (float64, bool) {
	c, ok := b.consts[x.reg]
	if !ok || x.t.List || len(c.Num) != 1 {
		return 0, false
	}
	return c.Num[0], true
}

func (b *builder) number(x operand) float64 { v, _ := b.known(x); return v }

// arithmetic adds a lane operation on numbers, folded where both sides are known and the result is finite.
func (b *builder) arithmetic(op program.Op, x, y operand, t kind.Type, at diag.Span) operand {
	t.List = x.t.List || y.t.List
	u, ok1 := b.known(x)
	v, ok2 := b.known(y)
	if ok1 && ok2 {
		r := math.NaN()
		switch op {
		case program.Add:
			r = u + v
		case program.Sub:
			r = u - v
		case program.Mul:
			r = u * v
		case program.Div:
			if v != 0 {
				r = u / v
			}
		}
		if !math.IsNaN(r) && !math.IsInf(r, 0) {
			return b.num(r, t, at)
		}
	}
	return b.emit(lane(op, x.reg, y.reg), t, at)
}

// input gives the register of another cell's value.
func (b *builder) input(in input) program.Reg {
	if r, ok := b.inputs[in]; ok {
		return r
	}
	t := in.cell.Type
	if in.row {
		t = t.Elem()
	}
	r := b.register(classOf(t), t.List)
	b.inputs[in] = r
	b.order = append(b.order, in)
	if in.cell.Data != nil && !in.row {
		b.literals[r] = &in.cell.Data.Column
	}
	if in.row {
		b.rows.on(r)
	}
	return r
}

// finish numbers the registers anew, inputs first, and drops constants that were folded away.
func (b *builder) finish(out program.Reg) *program.Program {
	p := b.prog
	used := make([]bool, len(p.Regs))
	used[out] = true
	p.Registers(func(r *program.Reg) { used[*r] = true })
	if b.rows != nil && b.rows.self != nil {
		used[b.rows.self.first] = true
	}
	to := make([]program.Reg, len(p.Regs))
	for r := range to {
		to[r] = program.None
	}
	regs := make([]program.Register, 0, len(p.Regs))
	move := func(r program.Reg) { to[r] = program.Reg(len(regs)); regs = append(regs, p.Regs[r]) }
	isInput := make([]bool, len(p.Regs))
	for _, in := range b.order {
		move(b.inputs[in])
		isInput[b.inputs[in]] = true
	}
	var consts []program.Const
	for _, k := range p.Consts {
		if used[k.Reg] {
			move(k.Reg)
			consts = append(consts, program.Const{Reg: to[k.Reg], Value: k.Value})
			isInput[k.Reg] = true
		}
	}
	for r := range p.Regs {
		if used[r] && !isInput[r] {
			move(program.Reg(r))
		}
	}
	p.Registers(func(r *program.Reg) { *r = to[*r] })
	p.Regs, p.Consts, p.Inputs, p.Out = regs, consts, len(b.order), to[out]
	if b.rows != nil {
		b.rows.renumber(to)
		return b.overRows(p)
	}
	return b.s.share(p)
}

// compile settles a cell from its expression.
func (s *Sheet) compile(c *Cell, b *builder) {
	b.begin(s, c.Source)
	b.target = b.currencyOf(c.shown)
	x := b.whole(c)
	if _, line := c.Statement.(*syntax.Line); line && c.shown == nil && !x.bad {
		x.spec = b.ownSpec(c.expr, x.spec)
	}
	if target, _ := s.listedBy(c.expr); c.Role == Listed && !x.bad && target != nil && target.Spec != nil { // as it shows itself
		x.spec = target.Spec
	}
	if c.accept != nil && !x.bad {
		x = b.accept(x, c.accept)
	}
	if !x.bad {
		x = b.toTarget(x)
	}
	if c.Role == CheckOf && !x.bad && (x.t.Form != kind.Truth) {
		x = b.fail(c.expr.Where(), fmt.Sprintf("A check is a condition; this is %s.", x.t.Article()), "Compare it, as mass <= 23 kg.")
	}
	b.conclude(c, x, c.shown)
}

// conclude gives the cell its type, how it is shown, and its program or mistake.
func (b *builder) conclude(c *Cell, x operand, shown *syntax.Shown) {
	if !x.bad {
		c.Type = x.t
		c.Spec = b.specFor(x, shown, c.expr)
		c.percent = c.Spec != nil && c.Spec.Percent
	} else if t, spec, ok := b.typeOfBracket(shown); ok {
		c.Type, c.Spec, c.percent = t, spec, spec.Percent
	}
	for _, m := range b.messages {
		if m.Level == diag.Mistake && c.Fault == nil {
			c.Fault = m
		} else {
			c.Messages.Add(m)
		}
	}
	c.Messages = append(c.Messages, b.ofRows...)
	for r := range b.rules {
		c.Rules = append(c.Rules, r)
	}
	sortRules(c.Rules)
	if c.Fault == nil && x.bad {
		c.Root, c.Fault = b.root, b.resting(c)
	}
	if c.Fault != nil || c.Data != nil {
		return
	}
	c.Program = b.finish(x.reg)
	if b.rows != nil && b.rows.late != nil {
		c.Fault, c.Program = b.rows.late, nil
		return
	}
	c.Places = b.places
	for _, in := range b.order {
		c.Inputs, c.ByRow = append(c.Inputs, in.cell), append(c.ByRow, in.row)
	}
}

// resting says on what a formula rests that is a mistake, where none of its own is told.
func (b *builder) resting(c *Cell) *diag.Message {
	if b.root == nil && b.broken != nil {
		return b.broken.message()
	}
	name := "another cell"
	if b.root != nil {
		name = b.root.Label(c.Sheet)
	}
	src := c.Source
	if c.Item != nil { // what a part replaces has its text elsewhere
		src = c.Item.Source
	}
	return diag.New(src, c.Span, fmt.Sprintf("Rests on %s, which is a mistake.", name), "")
}

// whole compiles the expression of a cell, limits and all.
func (b *builder) whole(c *Cell) operand {
	if l, ok := c.expr.(*syntax.Limits); ok {
		return b.limits(c, l)
	}
	return b.expr(c.expr)
}
