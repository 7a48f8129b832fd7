package engine

import (
	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// rowPlan is a program made ready to run for a few rows. Its operations that go row by row see lists of those rows only;
// an operation that looks at a whole list (a sum, a table to look up in) reads it from a register of its own, so that a
// list can be seen both ways.
type rowPlan struct {
	p        *program.Program // with a register more for each list that is read whole
	code     []program.Instr
	consts   []program.Const
	wholes   []wholeReg
	gathered []program.Reg // inputs and constants that are lists read row by row
	source   []int32       // for each register that holds a whole list: the input that it is, or is a part of; else -1
	direct   []bool        // it is that input
	sums     []int32       // for each operation, its place among the sums that the cell keeps; else -1
	trees    int           // how many those are
	nested   bool          // it runs a program for each row
	first    program.Reg   // where the registers of whole lists begin
}

// wholeReg is a list of the program, an input or a constant, and the register in which it is whole.
type wholeReg struct{ list, whole program.Reg }

// view tells whether an operation takes a part of a whole list.
func (rp *rowPlan) view(in *program.Instr) bool { return in.Out >= rp.first }

// mayTell gives for how many rows an operation may have told its mistakes one by one before it must run whole: of one
// more it is not known whether others were left untold. A program for each row remembers rows that it met, and so tells
// of fewer; there none may be told.
func (rp *rowPlan) mayTell() int {
	if rp.nested {
		return 0
	}
	return maxTold - 1
}

// rowPlan gives how a program runs for a few rows; nil where it cannot.
func (pl *plan) rowPlan() *rowPlan {
	if !pl.rowsSeen {
		pl.rowsSeen = true
		pl.rows = rowPlanOf(pl)
	}
	return pl.rows
}

func rowPlanOf(pl *plan) *rowPlan {
	n := len(pl.p.Regs)
	b := rowPlanner{pl: pl, p: pl.p, empty: make([]bool, n), byRow: make([]bool, n), whole: make([]bool, n), shadow: make([]program.Reg, n)}
	for _, c := range pl.consts {
		b.empty[c.Reg] = pl.p.Regs[c.Reg].List && c.Value.Len() == 0 && c.Value.All == 0
	}
	if !b.demand() {
		return nil
	}
	return b.emit()
}

// rowPlanner works out which registers are wanted row by row, which whole.
type rowPlanner struct {
	pl           *plan
	p            *program.Program
	empty        []bool // constants that are lists of nothing
	byRow, whole []bool
	shadow       []program.Reg // the register that holds the list whole
}

// demand walks from the result back to the inputs; false where an operation stands in the way.
func (b *rowPlanner) demand() bool {
	b.byRow[b.p.Out] = true
	for i := len(b.pl.code) - 1; i >= 0; i-- {
		in := &b.pl.code[i]
		if in.Op == program.Nop {
			continue
		}
		if b.whole[in.Out] {
			if in.Op != program.GetField && in.Op != program.Same || !b.p.Regs[in.A].List {
				return false
			}
			b.whole[in.A] = true
		}
		if b.byRow[in.Out] && !b.demandOf(in) {
			return false
		}
	}
	return true
}

// demandOf notes what one operation reads; false where it does not go row by row.
func (b *rowPlanner) demandOf(in *program.Instr) bool {
	if !b.p.Regs[in.Out].List && (in.Op == program.Need || in.Op == program.Hold) {
		for _, r := range b.p.Tests[in.Aux].Regs {
			if b.p.Regs[r].List { // a condition that tells of a whole list reads it where it always did
				return false
			}
		}
	}
	if b.p.Regs[in.Out].List && !b.goesByRow(in) {
		return false
	}
	if in.Op != program.Call && in.Op != program.EachRow {
		all := !b.p.Regs[in.Out].List
		b.p.Reads(in, func(r program.Reg) { b.want(r, all) })
		return true
	}
	for k, r := range in.Args {
		if !b.leftOut(in, k) {
			b.want(r, b.readsWhole(in, k))
		}
	}
	return true
}

func (b *rowPlanner) want(r program.Reg, whole bool) {
	if whole && b.p.Regs[r].List {
		b.whole[r] = true
	} else {
		b.byRow[r] = true
	}
}

// readsWhole tells whether an operation looks at the whole of its argument k.
func (b *rowPlanner) readsWhole(in *program.Instr, k int) bool {
	switch {
	case !b.p.Regs[in.Args[k]].List:
		return false
	case !b.p.Regs[in.Out].List:
		return true
	case in.Op == program.Call:
		return wholeParam(b.p.Funcs[in.Aux], k)
	case in.Op == program.EachRow:
		return !b.p.Loops[in.Aux].Row[k]
	}
	return false
}

// leftOut tells of a parameter that was not given: an empty list as a constant.
func (b *rowPlanner) leftOut(in *program.Instr, k int) bool {
	if in.Op != program.Call {
		return false
	}
	f := b.p.Funcs[in.Aux]
	return k < len(f.Params) && f.Params[k].Optional && b.empty[in.Args[k]] && !wholeParam(f, k)
}

// goesByRow tells of an operation with a list as its result whether a row of that rests on the same row of its operands
// alone.
func (b *rowPlanner) goesByRow(in *program.Instr) bool {
	switch in.Op {
	case program.Add, program.Sub, program.Mul, program.Div, program.Neg, program.Pow, program.PowConst, program.Eq, program.Ne,
		program.Lt, program.Le, program.Not, program.And, program.Or, program.Func1, program.Func2, program.TextEq, program.TextNe,
		program.If, program.MakePlace, program.Otherwise, program.Need, program.Hold, program.Accept, program.Assumed, program.Join,
		program.Same, program.AsLong, program.MakeRows, program.GetField, program.Spread, program.Scatter:
		return true
	case program.EachRow:
		return b.p.Loops[in.Aux].Self < 0
	case program.Call:
		for k, r := range in.Args {
			if b.p.Regs[r].List && !b.readsWhole(in, k) && !b.leftOut(in, k) {
				return true
			}
		}
	}
	return false
}

// emit writes the program out.
func (b *rowPlanner) emit() *rowPlan {
	p := *b.p
	rp := &rowPlan{p: &p, first: program.Reg(len(b.p.Regs))}
	p.Regs = append([]program.Register(nil), b.p.Regs...)
	for r, whole := range b.whole {
		if b.shadow[r] = program.None; whole {
			b.shadow[r] = program.Reg(len(p.Regs))
			p.Regs = append(p.Regs, b.p.Regs[r])
		}
	}
	rp.source, rp.direct = make([]int32, len(p.Regs)), make([]bool, len(p.Regs))
	for r := range rp.source {
		rp.source[r] = -1
	}
	for r := range b.p.Inputs {
		b.take(rp, program.Reg(r))
		if s := b.shadow[r]; s >= 0 {
			rp.source[s], rp.direct[s] = int32(r), true
		}
	}
	rp.consts = b.pl.consts
	for _, c := range b.pl.consts {
		b.take(rp, c.Reg)
	}
	for i := range b.pl.code {
		b.emitOne(rp, b.pl.code[i])
	}
	if list := p.Regs[p.Out].List; list && len(rp.gathered) == 0 || !list && rp.trees == 0 {
		return nil // there is nothing to be gained
	}
	return rp
}

// take notes how an input or a constant is read.
func (b *rowPlanner) take(rp *rowPlan, r program.Reg) {
	if b.byRow[r] && b.p.Regs[r].List {
		rp.gathered = append(rp.gathered, r)
	}
	if b.shadow[r] >= 0 {
		rp.wholes = append(rp.wholes, wholeReg{r, b.shadow[r]})
	}
}

func (b *rowPlanner) emitOne(rp *rowPlan, in program.Instr) {
	if in.Op == program.Nop {
		return
	}
	if b.whole[in.Out] {
		part := in
		part.A, part.Out = b.shadow[in.A], b.shadow[in.Out]
		rp.source[part.Out] = rp.source[part.A]
		rp.code, rp.sums = append(rp.code, part), append(rp.sums, -1)
	}
	if !b.byRow[in.Out] {
		return
	}
	single := !b.p.Regs[in.Out].List
	for _, r := range [...]*program.Reg{&in.A, &in.B, &in.C} {
		if *r >= 0 && single && b.p.Regs[*r].List {
			*r = b.shadow[*r]
		}
	}
	if len(in.Args) > 0 {
		args := append([]program.Reg(nil), in.Args...)
		for k, r := range in.Args {
			if b.readsWhole(&in, k) && !b.leftOut(&in, k) {
				args[k] = b.shadow[r]
			}
		}
		in.Args = args
	}
	sum := int32(-1)
	if in.Op == program.Special && len(in.Args) == 1 && in.Args[0] >= rp.first {
		if s := b.p.Funcs[in.Aux].Special; s == catalogue.Sum || s == catalogue.Mean {
			sum = int32(rp.trees)
			rp.trees++
		}
	}
	rp.nested = rp.nested || in.Op == program.EachRow
	rp.code, rp.sums = append(rp.code, in), append(rp.sums, sum)
}

// gather takes rows out of a column, each with the number of the row that it is.
func gather(v *value.Column, rows []int32) value.Column {
	n := len(rows)
	out := emptyLike(v, n)
	out.All, out.Rows = v.All, rows
	for i, r := range rows {
		pick(&out, i, v, int(r))
		setMark(&out, n, i, v.Mark(int(r)))
	}
	for f := range v.Fields {
		out.Fields = append(out.Fields, gather(&v.Fields[f], rows))
	}
	return out
}
