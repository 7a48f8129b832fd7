package engine

import (
	"slices"

	"castwright/lang/program"
	"castwright/lang/value"
)

// plan is what the engine knows of a program beforehand: what rests on constants alone is worked out, once; runs of
// operations on columns of numbers go block by block; and only the rest runs one by one.
type plan struct {
	p      *program.Program
	code   []program.Instr // what is left when constants are worked out
	stages []stage
	consts []program.Const
	fast   bool      // single numbers throughout
	init   []float64 // registers as they are when the program starts
	users  int       // cells that run it, and plans
	loops  []*plan   // those of the programs it runs once a row
	shares bool      // its result may share storage with its inputs

	rows     *rowPlan // how it runs for a few rows; nil where it cannot
	rowsSeen bool     // that was worked out
}

// stage is a piece of a program. Where lanes is set, it can go block by block.
type stage struct {
	code  []program.Instr
	lanes *lanes
}

// plan gives the plan of a program, made when its first cell comes.
func (j *Job) plan(p *program.Program) *plan {
	if pl, ok := j.plans[p]; ok {
		return pl
	}
	pl := &plan{p: p, consts: p.Consts}
	j.planLoops(pl)
	j.fold(pl)
	pl.fast = quickRegister(p, p.Out)
	for i := range pl.code {
		in := &pl.code[i]
		pl.fast = pl.fast && quick(in.Op) && quickRegister(p, in.Out) && quickRegister(p, in.A) && quickRegister(p, in.B) && quickRegister(p, in.C)
	}
	for r := range p.Inputs {
		pl.fast = pl.fast && quickRegister(p, program.Reg(r))
	}
	pl.stages = stagesOf(p, pl.code)
	pl.shares = shares(p, pl)
	if pl.fast {
		pl.init = make([]float64, len(p.Regs))
		for _, c := range pl.consts {
			if !quickRegister(p, c.Reg) {
				continue
			}
			if len(c.Value.Num) != 1 || c.Value.Marks != nil || c.Value.All != 0 {
				pl.fast = false
				break
			}
			pl.init[c.Reg] = c.Value.Num[0]
		}
	}
	j.plans[p] = pl
	return pl
}

func quickRegister(p *program.Program, r program.Reg) bool {
	return r < 0 || p.Regs[r].Class == program.Num && !p.Regs[r].List
}

// quick tells the operations that the quick path knows.
func quick(op program.Op) bool {
	switch op {
	case program.Nop, program.Add, program.Sub, program.Mul, program.Div, program.Neg, program.Pow, program.PowConst, program.Eq,
		program.Ne, program.Lt, program.Le, program.Not, program.And, program.Or, program.Func1, program.Func2, program.Need,
		program.Hold, program.Same, program.Accept, program.If:
		return true
	}
	return false
}

// fold carries out the operations that rest on constants alone, and come out ok: the row that a rule looks up in its
// table by a literal name, for one. Constants that nothing reads then are forgotten, that table among them.
func (j *Job) fold(pl *plan) {
	p := pl.p
	if len(p.Consts) == 0 {
		pl.code = p.Code
		return
	}
	known, read := make([]bool, len(p.Regs)), make([]bool, len(p.Regs))
	read[p.Out] = true
	pl.consts = slices.Clone(p.Consts)
	m := machine{j: j, p: p, f: &Formula{}, regs: make([]value.Column, len(p.Regs))}
	for _, c := range p.Consts {
		known[c.Reg] = true
		m.regs[c.Reg] = c.Value
	}
	for i := range p.Code {
		in := &p.Code[i]
		ready := in.Op != program.OpenAsk && in.Op != program.Assumed && in.Op != program.Nop
		p.Reads(in, func(r program.Reg) { ready = ready && known[r] })
		if ready {
			if v := m.fit(in, m.do(in)); j.worst(&v) == 0 {
				known[in.Out] = true
				m.regs[in.Out] = v
				pl.consts = append(pl.consts, program.Const{Reg: in.Out, Value: v})
				continue
			}
		}
		pl.code = append(pl.code, *in)
		p.Reads(in, func(r program.Reg) { read[r] = true })
	}
	pl.consts = slices.DeleteFunc(pl.consts, func(c program.Const) bool { return !read[c.Reg] })
}

// maxRun is how many operations go block by block together at most. Their blocks stay with the job, three for each
// operation at worst.
const maxRun = 128

// stagesOf gathers operations on columns of numbers that follow each other, so that they can go block by block. An
// operation in between that does not rest on them goes in front.
func stagesOf(p *program.Program, code []program.Instr) []stage {
	var out []stage
	var plain, run []program.Instr
	made := make([]bool, len(p.Regs))
	flush := func() {
		if len(plain) > 0 {
			out = append(out, stage{code: plain})
		}
		if len(run) > 0 {
			out = append(out, stage{code: run, lanes: &lanes{}})
			for i := range run {
				made[run[i].Out] = false
			}
		}
		plain, run = nil, nil
	}
	for _, in := range code {
		if laned(p, &in) {
			if len(run) == maxRun {
				flush()
			}
			run = append(run, in)
			made[in.Out] = true
			continue
		}
		rests := false
		p.Reads(&in, func(r program.Reg) { rests = rests || made[r] })
		if rests {
			flush()
		}
		plain = append(plain, in)
	}
	flush()
	after := make([]bool, len(p.Regs)) // registers that a later stage reads
	after[p.Out] = true
	for i := len(out) - 1; i >= 0; i-- {
		if out[i].lanes != nil {
			*out[i].lanes = lanesOf(p, out[i].code, after)
		}
		for k := range out[i].code {
			p.Reads(&out[i].code[k], func(r program.Reg) { after[r] = true })
		}
	}
	return out
}

// laned tells whether an operation makes a column of numbers from columns of numbers, row by row.
func laned(p *program.Program, in *program.Instr) bool {
	if !quick(in.Op) || in.Op == program.Nop || in.Op == program.Accept || in.Op == program.Same {
		return false
	}
	if r := p.Regs[in.Out]; !r.List || r.Class != program.Num {
		return false
	}
	for _, r := range [...]program.Reg{in.A, in.B, in.C} {
		if r >= 0 && p.Regs[r].Class != program.Num {
			return false
		}
	}
	// A condition that is the same for all rows chooses between whole lists, whatever the length of the other.
	return in.Op != program.If || p.Regs[in.A].List
}
