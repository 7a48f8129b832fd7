package engine

import (
	"math"

	"castwright/lang/program"
	"castwright/lang/value"
)

// plan is what the engine knows of a program beforehand: what rests on constants alone is worked out, once, and only the
// rest runs.
type plan struct {
	p      *program.Program
	code   []program.Instr
	consts []program.Const
	fast   bool      // single numbers throughout
	init   []float64 // registers as they are when the program starts
	users  int       // cells that run it
}

// plan gives the plan of a program, made when its first cell comes.
func (j *Job) plan(p *program.Program) *plan {
	if pl, ok := j.plans[p]; ok {
		return pl
	}
	pl := &plan{p: p, consts: p.Consts}
	j.fold(pl)
	pl.fast = quickRegister(p, p.Out)
	for i := range pl.code {
		in := &pl.code[i]
		pl.fast = pl.fast && quick(in.Op) && quickRegister(p, in.Out) && quickRegister(p, in.A) && quickRegister(p, in.B) && quickRegister(p, in.C)
	}
	for r := range p.Inputs {
		pl.fast = pl.fast && quickRegister(p, program.Reg(r))
	}
	if pl.fast {
		pl.init = make([]float64, len(p.Regs))
		for _, c := range pl.consts {
			if quickRegister(p, c.Reg) && len(c.Value.Num) == 1 {
				pl.init[c.Reg] = c.Value.Num[0]
			}
		}
	}
	j.plans[p] = pl
	return pl
}

func quickRegister(p *program.Program, r program.Reg) bool {
	return r < 0 || p.Regs[r].Class == program.Num && !p.Regs[r].List
}

// fold carries out the operations that rest on constants alone, and come out ok: the row that a rule looks up in its
// table by a literal name, for one.
func (j *Job) fold(pl *plan) {
	p := pl.p
	known := make([]bool, len(p.Regs))
	m := machine{j: j, p: p, f: &Formula{}, regs: make([]value.Column, len(p.Regs))}
	for _, c := range p.Consts {
		known[c.Reg] = true
		m.regs[c.Reg] = c.Value
	}
	for i := range p.Code {
		in := &p.Code[i]
		ready := in.Op != program.OpenAsk && in.Op != program.Nop
		for _, r := range append([]program.Reg{in.A, in.B, in.C}, in.Args...) {
			ready = ready && (r < 0 || known[r])
		}
		if ready {
			if v := m.do(in); m.worst(&v) == 0 {
				known[in.Out] = true
				m.regs[in.Out] = v
				pl.consts = append(pl.consts[:len(pl.consts):len(pl.consts)], program.Const{Reg: in.Out, Value: v})
				continue
			}
		}
		pl.code = append(pl.code, *in)
	}
}

func quick(op program.Op) bool {
	switch op {
	case program.Nop, program.Add, program.Sub, program.Mul, program.Div, program.Neg, program.Pow, program.PowConst, program.Eq,
		program.Ne, program.Lt, program.Le, program.Not, program.And, program.Or, program.Func1, program.Func2, program.Need,
		program.Hold, program.Same, program.Accept, program.If:
		return true
	}
	return false
}

// runFast runs a program of single numbers over a frame of floats. It gives up, to be run again by the machine that
// knows of states, where an input has a mark or a result is not finite.
func (j *Job) runFast(pl *plan, n *node) (value.Column, bool) {
	if cap(j.frame) < len(pl.init) {
		j.frame = make([]float64, 2*len(pl.init)+16)
	}
	f := j.frame[:len(pl.init)]
	copy(f, pl.init)
	for i, id := range n.formula.Inputs {
		v := &j.nodes[id].value
		if len(v.Num) != 1 || v.Marks != nil || v.All != 0 {
			return value.Column{}, false
		}
		f[i] = v.Num[0]
	}
	j.steps += int64(len(pl.code))
	if !step(pl, f) || j.steps > j.limit() {
		return value.Column{}, false
	}
	x := f[pl.p.Out]
	if old := &n.value; len(old.Num) == 1 && math.Float64bits(old.Num[0]) == math.Float64bits(x) && old.Marks == nil && old.All == 0 {
		return *old, true
	}
	return value.One(x), true
}

func (j *Job) limit() int64 {
	if j.MaxSteps > 0 {
		return j.MaxSteps
	}
	return DefaultSteps
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// equal compares within 1 part in 10¹² of the larger (ruling 17).
func equal(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b))
}

// step runs the operations; false where one has no finite result or a condition of a rule does not hold.
func step(pl *plan, f []float64) bool {
	p := pl.p
	for i := range pl.code {
		in := &pl.code[i]
		var x float64
		switch in.Op {
		case program.Nop:
			continue
		case program.Add:
			x = f[in.A] + f[in.B]
		case program.Sub:
			x = f[in.A] - f[in.B]
		case program.Mul:
			x = f[in.A] * f[in.B]
		case program.Div:
			x = f[in.A] / f[in.B]
		case program.Neg:
			x = -f[in.A]
		case program.Pow:
			x = math.Pow(f[in.A], f[in.B])
		case program.PowConst:
			x = power(f[in.A], in.Factor)
		case program.Eq:
			x = truth(equal(f[in.A], f[in.B]))
		case program.Ne:
			x = truth(!equal(f[in.A], f[in.B]))
		case program.Lt:
			x = truth(f[in.A] < f[in.B] && !equal(f[in.A], f[in.B]))
		case program.Le:
			x = truth(f[in.A] <= f[in.B] || equal(f[in.A], f[in.B]))
		case program.Not:
			x = 1 - f[in.A]
		case program.And:
			x = f[in.A] * f[in.B]
		case program.Or:
			x = math.Max(f[in.A], f[in.B])
		case program.Func1:
			x = p.Funcs[in.Aux].Lane1(f[in.A])
		case program.Func2:
			x = p.Funcs[in.Aux].Lane2(f[in.A], f[in.B])
		case program.If:
			x = f[in.C]
			if f[in.A] != 0 {
				x = f[in.B]
			}
		case program.Need, program.Hold:
			if f[in.B] == 0 {
				return false
			}
			x = f[in.A]
		default:
			x = f[in.A]
		}
		if x-x != 0 {
			return false
		}
		f[in.Out] = x
	}
	return true
}

// power is x to a constant power; squares, cubes and roots are worked out exactly rounded.
func power(x, p float64) float64 {
	switch p {
	case 1:
		return x
	case 2:
		return x * x
	case 3:
		return x * x * x
	case 0.5:
		return math.Sqrt(x)
	case -1:
		return 1 / x
	}
	return math.Pow(x, p)
}
