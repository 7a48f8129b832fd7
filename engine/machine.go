package engine

import (
	"fmt"

	"castwright/lang/program"
	"castwright/lang/value"
)

// machine runs one program over whole columns, with states.
type machine struct {
	j    *Job
	p    *program.Program
	f    *Formula
	regs []value.Column
}

// maxList is the longest list that a formula may make.
const maxList = 10_000_000

func (m *machine) run(pl *plan) value.Column {
	m.regs = make([]value.Column, len(m.p.Regs))
	for i, id := range m.f.Inputs {
		m.regs[i] = m.load(program.Reg(i), m.j.nodes[id].value)
	}
	for _, c := range pl.consts {
		m.regs[c.Reg] = c.Value
	}
	for i := range pl.code {
		in := &pl.code[i]
		if in.Op == program.Nop {
			continue
		}
		m.regs[in.Out] = m.do(in)
		m.j.steps += int64(max(1, m.regs[in.Out].Len()))
		if m.j.steps > m.j.limit() {
			return value.Column{All: m.fault(in, fmt.Sprintf("This edit takes more than %d steps of work.", m.j.limit()), "Make its lists shorter, or raise the limit.")}
		}
	}
	return m.regs[m.p.Out]
}

// load takes an input. A cell that is a mistake as a whole has no rows; where a single is wanted it becomes one row with
// the mark.
func (m *machine) load(r program.Reg, v value.Column) value.Column {
	if m.p.Regs[r].List || v.Len() > 0 || v.All == 0 {
		return v
	}
	return m.single(r, v.All)
}

// single makes one row that holds nothing but a mark.
func (m *machine) single(r program.Reg, mark value.Mark) value.Column {
	v := value.Column{N: 1, Marks: []value.Mark{mark}}
	switch m.p.Regs[r].Class {
	case program.Num:
		v.Num = []float64{0}
	case program.Text:
		v.Text = []string{""}
	case program.Obj:
		v.Obj = []any{nil}
	default:
		v.All = mark
	}
	return v
}

// failed makes a result that is a mistake as a whole.
func (m *machine) failed(in *program.Instr, mark value.Mark) value.Column {
	if m.p.Regs[in.Out].List {
		return value.Column{All: mark}
	}
	return m.single(in.Out, mark)
}

// fault interns a mistake at the place of an operation.
func (m *machine) fault(in *program.Instr, text, wayOut string) value.Mark {
	return m.j.causes.intern(Cause{State: value.Mistake, Kind: Failure, Cell: m.f.Name, Text: text, WayOut: wayOut, Place: m.place(in)})
}

func (m *machine) place(in *program.Instr) program.Place {
	if int(in.Place) < len(m.f.Places) {
		return m.f.Places[in.Place]
	}
	return program.Place{}
}

func (m *machine) isList(r program.Reg) bool { return r >= 0 && m.p.Regs[r].List }

// rows gives how many rows an operation over registers has. Lists of different lengths do not go together; a list that
// is a mistake as a whole makes the result one.
func (m *machine) rows(in *program.Instr, regs ...program.Reg) (n int, mark value.Mark, ok bool) {
	n = -1
	for _, r := range regs {
		if !m.isList(r) {
			continue
		}
		v := &m.regs[r]
		if m.j.causes.state(v.All) == value.Mistake {
			mark = m.j.causes.merge(mark, v.All)
			continue
		}
		if n >= 0 && v.Len() != n {
			text := fmt.Sprintf("A list of %d and a list of %d do not go together row by row.", n, v.Len())
			return 0, m.fault(in, text, "Give both lists as many values."), false
		}
		n = v.Len()
	}
	if mark != 0 {
		return 0, mark, false
	}
	if n < 0 {
		n = 1
	}
	return n, 0, true
}

// at gives the row of a register that row i of an operation uses: a single meets a list as a broadcast.
func (m *machine) at(r program.Reg, i int) int {
	if m.isList(r) {
		return i
	}
	return 0
}

// markAt gives the mark of a register for row i of an operation.
func (m *machine) markAt(r program.Reg, i int) value.Mark {
	v := &m.regs[r]
	mark := v.All
	if v.Marks != nil {
		mark = m.j.causes.merge(mark, v.Marks[m.at(r, i)])
	}
	return mark
}

func (m *machine) marked(r program.Reg) bool {
	return r >= 0 && (m.regs[r].Marks != nil || m.regs[r].All != 0)
}

// setMark marks one row of a result.
func setMark(v *value.Column, n, row int, mark value.Mark) {
	if mark == 0 {
		return
	}
	if v.Marks == nil {
		v.Marks = make([]value.Mark, n)
	}
	v.Marks[row] = mark
}

// do carries one operation out.
func (m *machine) do(in *program.Instr) value.Column {
	switch in.Op {
	case program.Add, program.Sub, program.Mul, program.Div, program.Neg, program.Pow, program.PowConst, program.Eq, program.Ne,
		program.Lt, program.Le, program.Not, program.Func1, program.Func2:
		return m.numbers(in)
	case program.And, program.Or:
		return m.logic(in)
	case program.TextEq, program.TextNe:
		return m.texts(in)
	case program.If:
		return m.choose(in)
	case program.Otherwise:
		return m.otherwise(in)
	case program.MakePlace:
		return m.places(in)
	case program.Need, program.Hold:
		return m.test(in)
	case program.Accept:
		return m.remark(in, func(mark value.Mark) value.Mark {
			return m.j.causes.without(mark, m.p.Accepts[in.Aux].Causes)
		})
	case program.Assumed:
		name := m.p.Words[in.Aux]
		flag := m.j.causes.intern(Cause{State: value.Flagged, Kind: Assumption, Name: name, Cell: name, Place: m.place(in),
			Text: fmt.Sprintf("Rests on the assumed value of %s.", name)})
		return m.remark(in, func(mark value.Mark) value.Mark { return m.j.causes.merge(mark, flag) })
	case program.Join:
		return m.join(in)
	case program.Same:
		return m.regs[in.A]
	case program.List:
		return m.list(in)
	case program.Filter:
		return m.filter(in)
	case program.MakeRows:
		return m.makeRows(in)
	case program.GetField:
		return m.field(in)
	case program.Call:
		return m.call(in)
	case program.Special:
		return m.special(in)
	case program.OpenAsk:
		name := m.p.Words[in.Aux]
		return m.single(in.Out, m.j.causes.intern(Cause{State: value.Open, Kind: Waiting, Name: name, Cell: name, Place: m.place(in),
			Text: fmt.Sprintf("Waits for %s.", name)}))
	}
	return m.failed(in, m.fault(in, "This operation is not known.", ""))
}

// remark gives A with every mark changed.
func (m *machine) remark(in *program.Instr, change func(value.Mark) value.Mark) value.Column {
	v := m.regs[in.A]
	out := v
	n := v.Len()
	out.Marks = nil
	for i := range n {
		setMark(&out, n, i, change(v.Mark(i)))
	}
	if v.All != 0 {
		out.All = change(v.All)
	}
	if v.Fields != nil {
		out.Fields = nil
		for _, f := range v.Fields {
			g := f
			g.Marks = nil
			for i := range f.Len() {
				setMark(&g, f.Len(), i, change(f.Mark(i)))
			}
			out.Fields = append(out.Fields, g)
		}
	}
	return out
}
