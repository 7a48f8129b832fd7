package check

import (
	"fmt"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/syntax"
)

// mapping lets a rule work element by element over lists that are given to its single-value parameters (ruling 20). Its
// body is read for one element, as a column formula is read for one row, and then runs over all: lists of other lengths,
// which the rule sums or looks through, must not pair with them.
type mapping struct {
	start int // the first operation of the call
	lists []elements
}

// elements is a list, and the register that stands for one element of it in the body.
type elements struct {
	param     string
	list, one program.Reg
	t         kind.Type // of the list
	at        diag.Span
}

// take gives the element that the body sees of a list.
func (m *mapping) take(b *builder, param string, x operand) operand {
	one := b.register(classOf(x.t), false)
	if b.rows.differs(x.reg) {
		b.rows.on(one)
	}
	m.lists = append(m.lists, elements{param, x.reg, one, x.t, x.at})
	x.reg, x.t, x.pair, x.edges = one, x.t.Elem(), nil, false
	return x
}

// compare lets the lists rest on that they are as long as each other, where that is not sure: a call that gives others is
// told with the parameters that they are for.
func (m *mapping) compare(b *builder, r *Rule, at diag.Span) {
	if len(m.lists) < 2 {
		return
	}
	first := &m.lists[0]
	in := program.Instr{Op: program.AsLong, A: first.list, B: program.None, C: program.None, Aux: int32(len(b.prog.Words))}
	words := []string{r.Name, first.param}
	table := b.tableOf(first.list)
	for _, l := range m.lists[1:] {
		if table == nil || b.tableOf(l.list) != table {
			in.Args, words = append(in.Args, l.list), append(words, l.param)
		}
	}
	if len(in.Args) > 0 {
		b.prog.Words = append(b.prog.Words, words...)
		first.list = b.emit(in, first.t, at).reg
	}
}

// tableOf gives the table of which a register holds a whole column, nil where it holds something else.
func (b *builder) tableOf(r program.Reg) *Cell {
	for in, reg := range b.inputs {
		if reg == r && !in.row {
			return in.cell.Table
		}
	}
	return nil
}

// finish turns the operations of the call, read for one element, into those over all.
func (m *mapping) finish(b *builder, r *Rule, call *syntax.Call, out operand) operand {
	if len(m.lists) == 0 || out.bad {
		return out
	}
	p := b.prog
	part := *p
	part.Code, part.Out = append([]program.Instr(nil), p.Code[m.start:]...), out.reg
	v := &overRows{p: &part, row: make([]bool, len(p.Regs)), deep: make([]bool, len(p.Regs)), constant: map[program.Reg]program.Const{}}
	for _, k := range p.Consts {
		v.constant[k.Reg] = k
	}
	for _, l := range m.lists {
		v.row[l.one] = true
	}
	for i := range part.Code {
		in := &part.Code[i]
		part.Reads(in, func(reg program.Reg) { v.row[in.Out] = v.row[in.Out] || v.row[reg] })
	}
	if v.row[out.reg] && out.t.List {
		return b.fail(call.Span, fmt.Sprintf("%s gives a list, and lists are not nested.", r.Name), fmt.Sprintf("Give one value for %s.", b.words(m.lists[0].at)))
	}
	v.islands()
	for reg := range v.row {
		if v.row[reg] && !v.deep[reg] {
			p.Regs[reg].List = true
		}
	}
	for _, l := range m.lists {
		swap := func(reg *program.Reg) {
			if *reg == l.one {
				*reg = l.list
			}
		}
		part.Registers(swap)
		swap(&out.reg)
	}
	p.Code, p.Loops = append(p.Code[:m.start], part.Code...), part.Loops
	out.t.List = out.t.List || v.row[part.Out]
	return out
}
