package check

import (
	"castwright/lang/diag"
	"castwright/lang/program"
)

// overRows turns a formula that was read for one row into one for all rows. Operations that work row by row run over
// columns; what makes lists in a row (a sum over the rows that match this one, say), and what rests on the row above, runs
// once for each row in a loop.
func (b *builder) overRows(p *program.Program) *program.Program {
	v := &overRows{p: p, row: make([]bool, len(p.Regs)), deep: make([]bool, len(p.Regs)), constant: map[program.Reg]program.Const{}}
	for r := range p.Regs {
		v.row[r] = b.rows.differs(program.Reg(r))
	}
	for _, k := range p.Consts {
		v.constant[k.Reg] = k
	}
	if b.rows.self != nil {
		v.chain(b.rows.self)
	}
	if v.looksBack {
		b.rows.late = diag.New(b.src, b.rows.self.at, "What rests on this column's row above cannot be looked at along the rows as well.", "Give it a column of its own.")
	}
	v.islands()
	for r := range p.Regs {
		if v.row[r] && !v.deep[r] {
			p.Regs[r].List = true
		}
	}
	v.spread(program.Reg(b.countOf(p)))
	return p
}

// countOf gives the input that has a value in each row of the table.
func (b *builder) countOf(p *program.Program) int {
	for i, in := range b.order {
		if in.cell.Table == b.rows.table {
			return i
		}
	}
	return -1
}

// overRows is a program on its way from one row to all.
type overRows struct {
	p        *program.Program
	row      []bool // registers that differ from row to row
	deep     []bool // registers that hold a list in each row
	constant map[program.Reg]program.Const

	looksBack bool // along the rows of what rests on the row above
}

// chain puts all that rests on the row above into one loop, whose result in a row is what the next row sees.
func (v *overRows) chain(self *selfUse) {
	p := v.p
	rests := make([]bool, len(p.Regs))
	rests[self.reg] = true
	var inside, outside []program.Instr
	for _, in := range p.Code {
		yes := false
		p.Reads(&in, func(r program.Reg) { yes = yes || rests[r] })
		if yes {
			if in.Op == program.Running || in.Op == program.Before || in.Op == program.Steps {
				v.looksBack = true
			}
			rests[in.Out] = true
			inside = append(inside, in)
		} else {
			outside = append(outside, in)
		}
	}
	switch {
	case !rests[p.Out]: // what was read of the row above is not used
		p.Code = outside
		return
	case len(inside) == 0: // the row above and nothing else: the value for the first row goes down
		p.Out = self.first
		return
	}
	p.Code = append(outside, v.loop(inside, p.Out, self))
}

// islands puts each value that is worked out from lists of one row into a loop of its own.
func (v *overRows) islands() {
	p := v.p
	island := make([]bool, len(p.Code))
	for i := range p.Code {
		in := &p.Code[i]
		if !v.row[in.Out] || in.Op == program.EachRow && !p.Regs[in.Out].List { // the row above has its loop already
			continue
		}
		if v.deep[in.Out] = p.Regs[in.Out].List; v.deep[in.Out] {
			island[i] = true
		}
		p.Reads(in, func(r program.Reg) { island[i] = island[i] || v.deep[r] })
		choice := in.Op == program.If || in.Op == program.Otherwise
		island[i] = island[i] || choice && p.Regs[in.Out].Class == program.Record
	}
	used := make([]bool, len(p.Regs))
	used[p.Out] = true
	for i := range p.Code {
		if !island[i] {
			p.Reads(&p.Code[i], func(r program.Reg) { used[r] = true })
		}
	}
	var code []program.Instr
	for i, in := range p.Code {
		switch {
		case !island[i]:
			code = append(code, in)
		case !v.deep[in.Out] && used[in.Out]:
			code = append(code, v.loop(v.needed(p.Code[:i+1], island, in.Out), in.Out, nil))
		}
	}
	p.Code = code
}

// needed gives the operations of islands that a register rests on.
func (v *overRows) needed(code []program.Instr, island []bool, out program.Reg) []program.Instr {
	wanted := make([]bool, len(v.p.Regs))
	wanted[out] = true
	var back []program.Instr
	for i := len(code) - 1; i >= 0; i-- {
		if !island[i] || !wanted[code[i].Out] {
			continue
		}
		back = append(back, code[i])
		v.p.Reads(&code[i], func(r program.Reg) { wanted[r] = true })
	}
	for i, k := 0, len(back)-1; i < k; i, k = i+1, k-1 {
		back[i], back[k] = back[k], back[i]
	}
	return back
}

// loop makes the operation that runs a piece of the program once for each row.
func (v *overRows) loop(code []program.Instr, out program.Reg, self *selfUse) program.Instr {
	p := v.p
	sub := &program.Program{Funcs: p.Funcs, Words: p.Words, Accepts: p.Accepts, Templates: p.Templates, Loops: p.Loops}
	l := program.Loop{Program: sub, Self: -1}
	in := program.Instr{Op: program.EachRow, A: program.None, B: program.None, C: program.None, Out: out, Place: code[len(code)-1].Place}
	to := map[program.Reg]program.Reg{}
	made := map[program.Reg]bool{}
	for i := range code {
		made[code[i].Out] = true
	}
	var constants []program.Reg
	take := func(r program.Reg) {
		if _, known := to[r]; known || made[r] {
			return
		}
		if _, ok := v.constant[r]; ok && !(self != nil && r == self.reg) {
			to[r] = -1
			constants = append(constants, r)
			return
		}
		to[r] = program.Reg(len(in.Args))
		sub.Regs = append(sub.Regs, p.Regs[r])
		l.Row = append(l.Row, v.row[r])
		if self != nil && r == self.reg {
			l.Self = len(in.Args)
			l.Row[l.Self] = false
			r = self.first
		}
		in.Args = append(in.Args, r)
	}
	for i := range code {
		p.Reads(&code[i], take)
	}
	sub.Inputs = len(in.Args)
	add := func(r program.Reg) {
		to[r] = program.Reg(len(sub.Regs))
		sub.Regs = append(sub.Regs, p.Regs[r])
	}
	for _, r := range constants {
		add(r)
		sub.Consts = append(sub.Consts, program.Const{Reg: to[r], Value: v.constant[r].Value})
	}
	for i := range code {
		add(code[i].Out)
	}
	sub.Code = make([]program.Instr, len(code))
	for i := range code {
		sub.Code[i] = v.moved(code[i], sub, to)
	}
	sub.Out = to[out]
	p.Loops = append(p.Loops[:len(p.Loops):len(p.Loops)], l)
	in.Aux = int32(len(p.Loops) - 1)
	return in
}

// moved gives an operation with the registers of a loop's program.
func (v *overRows) moved(in program.Instr, sub *program.Program, to map[program.Reg]program.Reg) program.Instr {
	in.Args = append([]program.Reg(nil), in.Args...)
	in.Operands(func(r *program.Reg) { *r = to[*r] })
	in.Out = to[in.Out]
	if in.Op == program.Need || in.Op == program.Hold {
		t := v.p.Tests[in.Aux]
		t.Regs = append([]program.Reg(nil), t.Regs...)
		for k := range t.Regs {
			t.Regs[k] = to[t.Regs[k]]
		}
		in.Aux = int32(len(sub.Tests))
		sub.Tests = append(sub.Tests, t)
	}
	return in
}

// spread lets a single value stand in each row where a column is wanted: the result, and what is looked at along the rows.
func (v *overRows) spread(count program.Reg) {
	p := v.p
	var code []program.Instr
	column := func(r program.Reg, place int32) program.Reg {
		if v.row[r] {
			return r
		}
		p.Regs = append(p.Regs, program.Register{Class: p.Regs[r].Class, List: true})
		v.row = append(v.row, true)
		out := program.Reg(len(p.Regs) - 1)
		code = append(code, program.Instr{Op: program.Spread, A: r, B: count, C: program.None, Out: out, Place: place})
		return out
	}
	place := int32(0)
	for _, in := range p.Code {
		place = in.Place
		if (in.Op == program.Running || in.Op == program.Before || in.Op == program.Steps) && v.row[in.Out] && !p.Regs[in.A].List {
			in.A = column(in.A, in.Place)
		}
		if in.Op == program.EachRow && !v.hasRow(&in) {
			l := &p.Loops[in.Aux]
			l.Row = append(l.Row, true) // one value for each row must come from somewhere
			in.Args = append(in.Args, count)
			l.Program = withUnused(l.Program, p.Regs[count])
		}
		code = append(code, in)
	}
	p.Code = code
	p.Out = column(p.Out, place)
	p.Code = code
}

func (v *overRows) hasRow(in *program.Instr) bool {
	for k, yes := range v.p.Loops[in.Aux].Row {
		if yes && k != v.p.Loops[in.Aux].Self {
			return true
		}
	}
	return false
}

// withUnused adds an input that no operation reads, the last of the inputs.
func withUnused(p *program.Program, r program.Register) *program.Program {
	q := *p
	at := program.Reg(p.Inputs)
	r.List = false
	q.Regs = append(append(append([]program.Register{}, p.Regs[:at]...), r), p.Regs[at:]...)
	q.Inputs++
	move := func(r *program.Reg) {
		if *r >= at {
			*r++
		}
	}
	q.Code = append([]program.Instr(nil), p.Code...)
	q.Tests = append([]program.Test(nil), p.Tests...)
	for i := range q.Code {
		q.Code[i].Args = append([]program.Reg(nil), q.Code[i].Args...)
	}
	for i := range q.Tests {
		q.Tests[i].Regs = append([]program.Reg(nil), q.Tests[i].Regs...)
	}
	q.Consts = append([]program.Const(nil), p.Consts...)
	for i := range q.Consts {
		move(&q.Consts[i].Reg)
	}
	q.Registers(move)
	move(&q.Out)
	return &q
}
