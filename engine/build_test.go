package engine

import (
	"strings"

	"github.com/stretchr/testify/require"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// constant is a program that gives a number.
func constant(x float64) *program.Program {
	return &program.Program{Regs: []program.Register{{}}, Consts: []program.Const{{Reg: 0, Value: value.One(x)}}, Out: 0}
}

// overTwo is a program over two inputs.
func overTwo(op program.Op) *program.Program {
	return &program.Program{Regs: make([]program.Register, 3), Inputs: 2, Out: 2,
		Code: []program.Instr{{Op: op, Out: 2, A: 0, B: 1, C: program.None}}}
}

var (
	adds  = overTwo(program.Add)
	plus1 = &program.Program{Regs: make([]program.Register, 3), Inputs: 1, Out: 2,
		Consts: []program.Const{{Reg: 1, Value: value.One(1)}},
		Code:   []program.Instr{{Op: program.Add, Out: 2, A: 0, B: 1, C: program.None}}}
	isPositive = &program.Program{Regs: make([]program.Register, 3), Inputs: 1, Out: 2,
		Consts: []program.Const{{Reg: 1, Value: value.One(0)}},
		Code:   []program.Instr{{Op: program.Lt, Out: 2, A: 1, B: 0, C: program.None}}}
	same = &program.Program{Regs: make([]program.Register, 1), Inputs: 1, Out: 0}
)

// bench is a job that is built by names and logs what is recomputed.
type bench struct {
	t   require.TestingT
	j   *Job
	ids map[string]ID
	log []string
}

func newBench(t require.TestingT) *bench {
	b := &bench{t: t, j: New(), ids: map[string]ID{}}
	b.j.Log = func(_ ID, name string) { b.log = append(b.log, name) }
	return b
}

func (b *bench) formula(name string, p *program.Program, inputs ...string) Put {
	if _, ok := b.ids[name]; !ok {
		b.ids[name] = b.j.Reserve(1)[0]
	}
	f := Formula{Name: name, Program: p}
	for _, in := range inputs {
		f.Inputs = append(f.Inputs, b.ids[in])
	}
	return Put{b.ids[name], f}
}

func (b *bench) set(name string, p *program.Program, inputs ...string) Change {
	b.log = nil
	c, err := b.j.Apply(Edit{Put: []Put{b.formula(name, p, inputs...)}})
	require.NoError(b.t, err)
	require.NoError(b.t, b.j.Check())
	return c
}

func (b *bench) number(name string) float64 { return b.j.Value(b.ids[name]).Num[0] }

func (b *bench) recomputed() string { return strings.Join(b.log, " ") }

// draft builds a program register by register.
type draft struct{ p program.Program }

var (
	oneNumber = program.Register{}
	numbers   = program.Register{List: true}
	oneText   = program.Register{Class: program.Text}
	texts     = program.Register{Class: program.Text, List: true}
	rows      = program.Register{Class: program.Record, List: true}
	record    = program.Register{Class: program.Record}
)

// over begins a program over inputs.
func over(inputs ...program.Register) *draft {
	return &draft{program.Program{Regs: inputs, Inputs: len(inputs)}}
}

func (d *draft) reg(r program.Register) program.Reg {
	d.p.Regs = append(d.p.Regs, r)
	return program.Reg(len(d.p.Regs) - 1)
}

func (d *draft) constant(r program.Register, v value.Column) program.Reg {
	k := d.reg(r)
	d.p.Consts = append(d.p.Consts, program.Const{Reg: k, Value: v})
	return k
}

func (d *draft) num(x float64) program.Reg { return d.constant(oneNumber, value.One(x)) }

// op adds an operation over up to three registers.
func (d *draft) op(op program.Op, out program.Register, regs ...program.Reg) program.Reg {
	in := program.Instr{Op: op, A: program.None, B: program.None, C: program.None}
	for i, r := range regs {
		*[]*program.Reg{&in.A, &in.B, &in.C}[i] = r
	}
	in.Out = d.reg(out)
	d.p.Code = append(d.p.Code, in)
	return in.Out
}

// args adds an operation over a list of registers; aux is its index into a table.
func (d *draft) args(op program.Op, out program.Register, aux int, regs ...program.Reg) program.Reg {
	r := d.op(op, out)
	in := &d.p.Code[len(d.p.Code)-1]
	in.Args, in.Aux = regs, int32(aux)
	return r
}

// aux sets the index of the last operation into its table.
func (d *draft) aux(i int) { d.p.Code[len(d.p.Code)-1].Aux = int32(i) }

// call adds a function that the engine carries out itself, or one written in Go.
func (d *draft) call(f *catalogue.Func, out program.Register, regs ...program.Reg) program.Reg {
	d.p.Funcs = append(d.p.Funcs, f)
	op := program.Call
	if f.Special != catalogue.NotSpecial {
		op = program.Special
	}
	return d.args(op, out, len(d.p.Funcs)-1, regs...)
}

func (d *draft) gives(r program.Reg) *program.Program {
	d.p.Out = r
	return &d.p
}

// waiting is a program of an ask without an answer.
func waiting(name string) *program.Program {
	d := over()
	r := d.op(program.OpenAsk, oneNumber)
	d.p.Words = []string{name}
	return d.gives(r)
}

// assumed is a program of an ask with an assumed value.
func assumed(name string, x float64) *program.Program {
	d := over()
	r := d.op(program.Assumed, oneNumber, d.num(x))
	d.p.Words = []string{name}
	return d.gives(r)
}

// listOf is a program that makes a list of n single cells.
func listOf(n int) *program.Program {
	d := over(make([]program.Register, n)...)
	var regs []program.Reg
	for i := range n {
		regs = append(regs, program.Reg(i))
	}
	return d.gives(d.args(program.List, numbers, 0, regs...))
}

// column sets a list cell from numbers and states: each row is a cell of its own.
func (b *bench) column(name string, xs []float64, states ...value.State) {
	var inputs []string
	for i, x := range xs {
		s := value.OK
		if i < len(states) {
			s = states[i]
		}
		cell := name + string(rune('a'+i))
		b.stateOf(cell, s, x)
		inputs = append(inputs, cell)
	}
	b.set(name, listOf(len(xs)), inputs...)
}

// stateOf sets a cell in a state: ok, open, a mistake or flagged.
func (b *bench) stateOf(name string, s value.State, x float64) {
	switch s {
	case value.OK:
		b.set(name, constant(x))
	case value.Open:
		b.set(name, waiting(name))
	case value.Flagged:
		b.set(name, assumed(name, x))
	default:
		b.set(name+"0", constant(0))
		d := over(oneNumber)
		b.set(name, d.gives(d.op(program.Div, oneNumber, 0, 0)), name+"0")
	}
}

func (b *bench) state(name string) value.State { return b.j.State(b.ids[name]) }

func (b *bench) says(name string) []string { return messages(b.j.Causes(b.ids[name])) }

// messages gives what a reader is told.
func messages(cs []Cause) []string {
	var out []string
	for _, c := range cs {
		out = append(out, c.Message().Text)
	}
	return out
}
