package formula

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"castwright/lang/program"
	"castwright/lang/value"
)

// rowTranslator says one row of a list. What is made of whole lists is said as ever, over their ranges; beside it goes what
// each list holds in the row.
type rowTranslator struct {
	row, whole *translator

	wanted map[program.Reg]bool // the lists that are wanted whole

	// Why a register cannot be said, whole or in the row: told where it is wanted.
	rowFault, wholeFault map[program.Reg]error
}

// errLength is told of lists that need not keep their length: a range does.
var errLength = errors.New("it is a list whose length may change")

// translateRow says a row of a list.
func translateRow(p *program.Program, inputs []Cell, r Result) (*translator, error) {
	t := &rowTranslator{wanted: wantedWhole(p), rowFault: map[program.Reg]error{}, wholeFault: map[program.Reg]error{}}
	inRow := make([]Cell, len(inputs))
	for i, c := range inputs {
		inRow[i] = c.inRow(r)
	}
	t.whole, t.row = newTranslator(p, inputs, r), newTranslator(p, inRow, r)
	t.row.whole = t.whole
	for _, k := range p.Consts {
		reg := p.Regs[k.Reg]
		if !reg.List || t.wanted[k.Reg] {
			t.whole.regs[k.Reg] = t.whole.literal(k.Value, reg)
		}
		if t.row.regs[k.Reg] = t.whole.regs[k.Reg]; reg.List {
			t.row.regs[k.Reg] = t.row.literal(rowOf(k.Value, r.Row), program.Register{Class: reg.Class})
		}
	}
	for i := range p.Code {
		if in := &p.Code[i]; in.Op != program.Nop {
			t.do(in, i)
		}
	}
	return t.row, t.rowFault[p.Out]
}

// wantedWhole gives the lists that are wanted whole: what a single value is made of, and what each row takes whole.
func wantedWhole(p *program.Program) map[program.Reg]bool {
	out := map[program.Reg]bool{}
	for i := len(p.Code) - 1; i >= 0; i-- {
		in := &p.Code[i]
		switch whole := !p.Regs[in.Out].List || out[in.Out]; {
		case in.Op == program.Spread:
			out[in.A] = out[in.A] || whole
		case in.Op == program.EachRow:
			for k, r := range in.Args {
				out[r] = out[r] || whole || !p.Loops[in.Aux].Row[k]
			}
		case whole:
			p.Reads(in, func(r program.Reg) { out[r] = true })
		}
	}
	return out
}

// inRow gives a list as its row of the formula sees it: in its own column, in the row that Here stands for where it begins in
// the same row as the result.
func (c Cell) inRow(r Result) Cell {
	if len(c.Fields) > 0 {
		fields := make([]Cell, len(c.Fields))
		for i, f := range c.Fields {
			fields[i] = f.inRow(r)
		}
		c.Fields = fields
		return c
	}
	lead := c.Ref[:strings.LastIndexByte(c.Ref, '!')+1]
	from, _, isRange := strings.Cut(c.Ref[len(lead):], ":")
	parts := strings.Split(from, "$") // $B$5
	if !isRange || len(parts) != 3 {
		return c
	}
	c.Row = lead + parts[1] + Here
	if first, err := strconv.Atoi(parts[2]); err != nil || first != r.FirstRow {
		c.Row = lead + parts[1] + strconv.Itoa(first+r.Row)
	}
	return c
}

// rowOf gives a row of a list of literals; one that it does not have is none.
func rowOf(v value.Column, i int) value.Column {
	if i >= v.Len() {
		return value.Column{}
	}
	out := *v.Single(i)
	for _, f := range v.Fields {
		out.Fields = append(out.Fields, rowOf(f, i))
	}
	return out
}

// do says an operation over whole lists, and what it comes to in the row.
func (t *rowTranslator) do(in *program.Instr, at int) {
	skip := in.Op == program.Need && t.whole.lastNeed[in.B] != at
	said := func(u *translator, say func(*program.Instr) (expr, error), faults map[program.Reg]error) {
		err := t.faultOf(in, faults)
		x := u.reg(in.A)
		if err == nil && !skip {
			x, err = say(in)
		}
		if u.regs[in.Out] = x; err != nil {
			u.regs[in.Out], faults[in.Out] = expr{sort: record, list: true}, err
		}
	}
	list := t.whole.p.Regs[in.Out].List
	if !list || t.wanted[in.Out] {
		said(t.whole, t.whole.do, t.wholeFault)
	}
	if list {
		said(t.row, t.inRow, t.rowFault)
		return
	}
	t.row.regs[in.Out] = t.whole.regs[in.Out]
	if err := t.wholeFault[in.Out]; err != nil {
		t.rowFault[in.Out] = err
	}
}

// faultOf gives why an operand cannot be said.
func (t *rowTranslator) faultOf(in *program.Instr, faults map[program.Reg]error) error {
	var err error
	add := func(e error) {
		if err == nil {
			err = e
		}
	}
	switch in.Op {
	case program.Spread: // of the list only the number of its rows is wanted
		add(faults[in.A])
	case program.EachRow:
		for k, r := range in.Args {
			if t.whole.p.Loops[in.Aux].Row[k] {
				add(faults[r])
			} else {
				add(t.wholeFault[r])
			}
		}
	default:
		t.whole.p.Reads(in, func(r program.Reg) { add(faults[r]) })
	}
	return err
}

// inRow says what an operation that gives a list comes to in the row.
func (t *rowTranslator) inRow(in *program.Instr) (expr, error) {
	switch in.Op {
	case program.Filter, program.FilterEq, program.Special:
		return expr{}, errLength
	case program.Call:
		return expr{}, fmt.Errorf("%w: %s", ErrFunction, t.whole.p.Funcs[in.Aux].Name)
	case program.List:
		if k := t.row.r.Row; k < len(in.Args) {
			return t.row.reg(in.Args[k]), nil
		}
		return expr{}, errLength
	}
	return t.row.do(in)
}

// RowsDiffer tells whether the formula of a list is not the same in each row: its items are written out.
func RowsDiffer(p *program.Program) bool {
	for _, k := range p.Consts {
		if p.Regs[k.Reg].List {
			return true
		}
	}
	for _, in := range p.Code {
		if in.Op == program.List {
			return true
		}
	}
	return false
}

// loop says what runs once for each row, for the row of the formula.
func (t *translator) loop(in *program.Instr) (expr, error) {
	l := t.p.Loops[in.Aux]
	if t.depth > 8 {
		return expr{}, errors.New("it nests too deep")
	}
	inner := &translator{p: l.Program, regs: make([]expr, len(l.Program.Regs)), r: t.r, depth: t.depth + 1, lastNeed: lastNeeds(l.Program.Code)}
	for k, r := range in.Args {
		inner.regs[k] = t.reg(r)
		if t.whole != nil && !l.Row[k] {
			inner.regs[k] = t.whole.reg(r)
		}
		if k != l.Self {
			continue
		}
		if !t.r.First {
			if t.r.Own == "" {
				return expr{}, errors.New("it rests on the row above")
			}
			inner.regs[k] = add(atom(t.r.Own, tightest).times(t.r.Scale), constant(t.r.Offset), 1)
		}
	}
	for _, k := range l.Program.Consts {
		inner.regs[k.Reg] = inner.literal(k.Value, l.Program.Regs[k.Reg])
	}
	if err := inner.run(l.Program.Code); err != nil {
		return expr{}, err
	}
	return inner.regs[l.Program.Out], nil
}
