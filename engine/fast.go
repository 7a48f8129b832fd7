package engine

import (
	"math"

	"castwright/lang/program"
	"castwright/lang/value"
)

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
	steps := j.steps + int64(len(pl.code))
	if !step(pl, f) || steps > j.limit() {
		return value.Column{}, false
	}
	j.steps = steps
	x := f[pl.p.Out]
	if old := &n.value; len(old.Num) == 1 && math.Float64bits(old.Num[0]) == math.Float64bits(x) && old.Marks == nil && old.All == 0 && old.Rows == nil {
		return *old, true
	}
	return value.One(x), true
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// equal compares within 1 part in 10¹² of the larger (ruling 17).
func equal(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-12*max(math.Abs(a), math.Abs(b))
}

// less is less, and not equal within that: of the lesser and the greater, the larger in size is max(-a, b).
func less(a, b float64) bool { return a < b && b-a > 1e-12*max(-a, b) }

// step runs the operations; false where one has no finite result or a condition of a rule does not hold. The common
// operations stand here and not in lane, so that they need no call.
func step(pl *plan, f []float64) bool {
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
		case program.Same, program.Accept:
			x = f[in.A]
		case program.Func1:
			x = pl.p.Funcs[in.Aux].Lane1(f[in.A])
		case program.Func2:
			x = pl.p.Funcs[in.Aux].Lane2(f[in.A], f[in.B])
		case program.PowConst:
			x = power(f[in.A], in.Factor)
		default:
			b := in.B
			if b < 0 {
				b = in.A
			}
			x = lane(pl.p, in, f[in.A], f[b])
		}
		if x-x != 0 {
			return false
		}
		f[in.Out] = x
	}
	return true
}

// lane carries an operation on numbers out for one lane. The quick path, the blocks and the machine all come here, so
// that they agree to the last bit.
func lane(p *program.Program, in *program.Instr, a, b float64) float64 {
	switch in.Op {
	case program.Add:
		return a + b
	case program.Sub:
		return a - b
	case program.Mul:
		return a * b
	case program.Div:
		return a / b
	case program.Neg:
		return -a
	case program.Pow:
		return math.Pow(a, b)
	case program.PowConst:
		return power(a, in.Factor)
	case program.Eq:
		return truth(equal(a, b))
	case program.Ne:
		return truth(!equal(a, b))
	case program.Lt:
		return truth(less(a, b))
	case program.Le:
		return truth(!less(b, a))
	case program.Not:
		return truth(a == 0)
	case program.And:
		return truth(a != 0 && b != 0)
	case program.Or:
		return truth(a != 0 || b != 0)
	case program.Func1:
		return p.Funcs[in.Aux].Lane1(a)
	case program.Func2:
		return p.Funcs[in.Aux].Lane2(a, b)
	}
	return math.NaN()
}

// power is x to a constant power; the common ones without the rounding of logarithms.
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
