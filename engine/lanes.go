package engine

import (
	"fmt"
	"math"
	"strings"

	"castwright/lang/program"
	"castwright/lang/value"
)

// numbers carries out an operation on numbers, row by row.
func (m *machine) numbers(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in, mark)
	}
	out := value.Column{Num: make([]float64, n), N: n}
	a := m.regs[in.A].Num
	var b []float64
	if in.B >= 0 {
		b = m.regs[in.B].Num
	}
	m.compute(in, out.Num, a, b)
	if m.marked(in.A) || m.marked(in.B) {
		for i := range n {
			mk := m.markAt(in.A, i)
			if in.B >= 0 {
				mk = m.j.causes.merge(mk, m.markAt(in.B, i))
			}
			setMark(&out, n, i, mk)
		}
	}
	for i, x := range out.Num {
		if x-x == 0 {
			continue
		}
		out.Num[i] = 0
		if m.j.causes.state(out.Mark(i)) < value.Open { // a value that is open or a mistake holds no number to judge
			mk := m.fault(in, m.notFinite(in, i), "")
			if m.isList(in.Out) {
				mk = m.j.causes.inRow(mk, i+1)
			}
			setMark(&out, n, i, mk)
		}
	}
	out.Rows = m.rowsOf(in.A, in.B)
	return out
}

// rowsOf keeps the row numbers of a filtered operand.
func (m *machine) rowsOf(regs ...program.Reg) []int32 {
	for _, r := range regs {
		if m.isList(r) && m.regs[r].Rows != nil {
			return m.regs[r].Rows
		}
	}
	return nil
}

// notFinite says why a row has no number.
func (m *machine) notFinite(in *program.Instr, i int) string {
	switch in.Op {
	case program.Div:
		if m.regs[in.B].Num[m.at(in.B, i)] == 0 {
			return "Division by 0."
		}
	case program.Func1, program.Func2:
		f := m.p.Funcs[in.Aux]
		if f.Domain != "" {
			return fmt.Sprintf("%s: %s.", f.Name, f.Domain)
		}
	case program.Pow, program.PowConst:
		x := m.regs[in.A].Num[m.at(in.A, i)]
		if x < 0 {
			return "A number below 0 has no power that is not whole."
		}
		if x == 0 {
			return "0 has no power below 0."
		}
	}
	return "The result is too large for a number."
}

// compute fills a column of numbers; a single operand meets a list as a broadcast. The common operations have loops of
// their own.
func (m *machine) compute(in *program.Instr, out, a, b []float64) {
	sa, sb := 0, 0
	if m.isList(in.A) {
		sa = 1
	}
	if m.isList(in.B) {
		sb = 1
	}
	switch in.Op {
	case program.Add:
		for i := range out {
			out[i] = a[i*sa] + b[i*sb]
		}
	case program.Sub:
		for i := range out {
			out[i] = a[i*sa] - b[i*sb]
		}
	case program.Mul:
		for i := range out {
			out[i] = a[i*sa] * b[i*sb]
		}
	case program.Div:
		for i := range out {
			out[i] = a[i*sa] / b[i*sb]
		}
	default:
		f := m.lane(in)
		for i := range out {
			y := 0.0
			if b != nil {
				y = b[i*sb]
			}
			out[i] = f(a[i*sa], y)
		}
	}
}

func (m *machine) lane(in *program.Instr) func(x, y float64) float64 {
	switch in.Op {
	case program.Neg:
		return func(x, _ float64) float64 { return -x }
	case program.Pow:
		return math.Pow
	case program.PowConst:
		return func(x, _ float64) float64 { return power(x, in.Factor) }
	case program.Eq:
		return func(x, y float64) float64 { return truth(equal(x, y)) }
	case program.Ne:
		return func(x, y float64) float64 { return truth(!equal(x, y)) }
	case program.Lt:
		return func(x, y float64) float64 { return truth(x < y && !equal(x, y)) }
	case program.Le:
		return func(x, y float64) float64 { return truth(x <= y || equal(x, y)) }
	case program.Not:
		return func(x, _ float64) float64 { return 1 - x }
	case program.Func2:
		return m.p.Funcs[in.Aux].Lane2
	}
	f := m.p.Funcs[in.Aux].Lane1
	return func(x, _ float64) float64 { return f(x) }
}

// logic carries out `and` and `or` from left to right: a row whose left side decides does not look at the right, and
// does not take its mark (ruling 32).
func (m *machine) logic(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in, mark)
	}
	out := value.Column{Num: make([]float64, n), N: n}
	decides := truth(in.Op == program.Or)
	for i := range n {
		x := m.regs[in.A].Num[m.at(in.A, i)]
		mk := m.markAt(in.A, i)
		if m.j.causes.state(mk) <= value.Flagged && x == decides {
			out.Num[i] = x
			setMark(&out, n, i, mk)
			continue
		}
		y := m.regs[in.B].Num[m.at(in.B, i)]
		out.Num[i] = y
		if m.j.causes.state(mk) > value.Flagged {
			setMark(&out, n, i, mk)
			continue
		}
		setMark(&out, n, i, m.j.causes.merge(mk, m.markAt(in.B, i)))
	}
	out.Rows = m.rowsOf(in.A, in.B)
	return out
}

func (m *machine) texts(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in, mark)
	}
	out := value.Column{Num: make([]float64, n), N: n}
	for i := range n {
		same := m.regs[in.A].Text[m.at(in.A, i)] == m.regs[in.B].Text[m.at(in.B, i)]
		out.Num[i] = truth(same == (in.Op == program.TextEq))
		setMark(&out, n, i, m.j.causes.merge(m.markAt(in.A, i), m.markAt(in.B, i)))
	}
	out.Rows = m.rowsOf(in.A, in.B)
	return out
}

// pick copies row k of a register to row i of a result.
func pick(out *value.Column, i int, v *value.Column, k int) {
	switch {
	case out.Num != nil && v.Num != nil:
		out.Num[i] = v.Num[k]
	case out.Text != nil && v.Text != nil:
		out.Text[i] = v.Text[k]
	case out.Obj != nil && v.Obj != nil:
		out.Obj[i] = v.Obj[k]
	}
}

// blank makes a column of n rows for a register.
func (m *machine) blank(r program.Reg, n int) value.Column {
	v := value.Column{N: n}
	switch m.p.Regs[r].Class {
	case program.Num:
		v.Num = make([]float64, n)
	case program.Text:
		v.Text = make([]string, n)
	case program.Obj:
		v.Obj = make([]any, n)
	}
	return v
}

// choose carries out `if`: only the branch taken lends its mark (ruling 32).
func (m *machine) choose(in *program.Instr) value.Column {
	if m.p.Regs[in.Out].Class == program.Record {
		return m.chooseRecord(in)
	}
	if !m.isList(in.A) { // one condition for all: the branch not taken is not looked at, not even for its length
		if mk := m.markAt(in.A, 0); m.j.causes.state(mk) > value.Flagged {
			return m.failed(in, mk)
		}
		taken := in.B
		if m.regs[in.A].Num[0] == 0 {
			taken = in.C
		}
		if m.isList(taken) == m.isList(in.Out) {
			mk := m.markAt(in.A, 0)
			moved := *in
			moved.A = taken
			return m.remark(&moved, func(old value.Mark) value.Mark { return m.j.causes.merge(old, mk) })
		}
	}
	n, mark, ok := m.rows(in, in.A, in.B, in.C)
	if !ok {
		return m.failed(in, mark)
	}
	out := m.blank(in.Out, n)
	for i := range n {
		mk := m.markAt(in.A, i)
		if m.j.causes.state(mk) > value.Flagged {
			setMark(&out, n, i, mk)
			continue
		}
		taken := in.C
		if m.regs[in.A].Num[m.at(in.A, i)] != 0 {
			taken = in.B
		}
		pick(&out, i, &m.regs[taken], m.at(taken, i))
		setMark(&out, n, i, m.j.causes.merge(mk, m.markAt(taken, i)))
	}
	out.Rows = m.rowsOf(in.A, in.B, in.C)
	return out
}

func (m *machine) chooseRecord(in *program.Instr) value.Column {
	mk := m.markAt(in.A, 0)
	if m.isList(in.A) {
		return m.failed(in, m.fault(in, "A condition over rows does not choose between records.", "Choose between their fields."))
	}
	if m.j.causes.state(mk) > value.Flagged {
		return m.failed(in, mk)
	}
	taken := in.C
	if m.regs[in.A].Num[0] != 0 {
		taken = in.B
	}
	out := m.regs[taken]
	out.All = m.j.causes.merge(out.All, mk)
	return out
}

// otherwise takes the second value where the first is a mistake, and flags it; what is open stays open.
func (m *machine) otherwise(in *program.Instr) value.Column {
	if m.isList(in.A) && m.j.causes.state(m.regs[in.A].All) == value.Mistake {
		moved := *in
		moved.A = in.B
		flag := m.substitute(in, m.regs[in.A].All)
		if m.isList(in.B) {
			return m.remark(&moved, func(old value.Mark) value.Mark { return m.j.causes.merge(old, flag) })
		}
		return m.failed(in, m.regs[in.A].All)
	}
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in, mark)
	}
	out := m.blank(in.Out, n)
	for i := range n {
		mk := m.markAt(in.A, i)
		if m.j.causes.state(mk) != value.Mistake {
			pick(&out, i, &m.regs[in.A], m.at(in.A, i))
			setMark(&out, n, i, mk)
			continue
		}
		pick(&out, i, &m.regs[in.B], m.at(in.B, i))
		setMark(&out, n, i, m.j.causes.merge(m.substitute(in, mk), m.markAt(in.B, i)))
	}
	out.Rows = m.rowsOf(in.A, in.B)
	return out
}

func (m *machine) substitute(in *program.Instr, mk value.Mark) value.Mark {
	why := ""
	if cs := m.j.causes.of(mk); len(cs) > 0 {
		why = " The first: " + cs[0].Text
	}
	return m.j.causes.intern(Cause{State: value.Flagged, Kind: Substitute, Name: "otherwise", Cell: m.f.Name, Place: m.place(in),
		Text: "The second value of otherwise stands here, since the first is a mistake." + why})
}

func (m *machine) places(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in, mark)
	}
	out := m.blank(in.Out, n)
	for i := range n {
		out.Obj[i] = value.Place{X: m.regs[in.A].Num[m.at(in.A, i)], Y: m.regs[in.B].Num[m.at(in.B, i)]}
		setMark(&out, n, i, m.j.causes.merge(m.markAt(in.A, i), m.markAt(in.B, i)))
	}
	return out
}

// test carries out what a rule needs (a mistake where it does not hold) and the range of its source (flagged).
func (m *machine) test(in *program.Instr) value.Column {
	if m.p.Regs[in.A].Class == program.Record {
		out := m.regs[in.A]
		out.All = m.j.causes.merge(out.All, m.judge(in, 0))
		return out
	}
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in, mark)
	}
	out := m.blank(in.Out, n)
	for i := range n {
		pick(&out, i, &m.regs[in.A], m.at(in.A, i))
		mk := m.judge(in, i)
		if m.isList(in.B) {
			mk = m.j.causes.inRow(mk, i+1)
		}
		setMark(&out, n, i, m.j.causes.merge(m.markAt(in.A, i), mk))
	}
	out.Rows = m.rowsOf(in.A, in.B)
	return out
}

// judge gives the mark of a condition for a row.
func (m *machine) judge(in *program.Instr, i int) value.Mark {
	mk := m.markAt(in.B, i)
	if m.j.causes.state(mk) > value.Flagged || m.regs[in.B].Num[m.at(in.B, i)] != 0 {
		return mk
	}
	t := m.p.Tests[in.Aux]
	var with []string
	for k, r := range t.Regs {
		if v := &m.regs[r]; len(v.Num) > 0 {
			with = append(with, fmt.Sprintf("%s is %s", t.Names[k], t.Specs[k].Text(v.Num[m.at(r, i)])))
		}
	}
	here := ""
	if len(with) > 0 {
		here = "; here " + strings.Join(with, ", ")
	}
	if in.Op == program.Need {
		return m.fault(in, fmt.Sprintf("%s needs %s%s.", t.Rule, t.Cond, here), "")
	}
	return m.j.causes.intern(Cause{State: value.Flagged, Kind: Range, Name: t.Rule, Cell: m.f.Name, Place: m.place(in),
		Text: fmt.Sprintf("Outside the range of %s: it holds for %s%s.", t.Rule, t.Cond, here)})
}

// join puts values into a text.
func (m *machine) join(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.Args...)
	if !ok {
		return m.failed(in, mark)
	}
	out := m.blank(in.Out, n)
	for i := range n {
		var b strings.Builder
		mk := value.Mark(0)
		for _, p := range m.p.Templates[in.Aux] {
			if p.Arg < 0 {
				b.WriteString(p.Words)
				continue
			}
			r := in.Args[p.Arg]
			v := &m.regs[r]
			k := m.at(r, i)
			own := m.markAt(r, i)
			mk = m.j.causes.merge(mk, own)
			switch {
			case m.j.causes.state(own) > value.Flagged:
				b.WriteString("…")
			case v.Text != nil:
				b.WriteString(v.Text[k])
			case v.Num != nil:
				b.WriteString(p.Spec.Text(v.Num[k]))
			case v.Obj != nil:
				if q, ok := v.Obj[k].(value.Place); ok {
					fmt.Fprintf(&b, "(%s, %s)", p.Spec.Text(q.X), p.Spec.Text(q.Y))
				} else {
					fmt.Fprint(&b, v.Obj[k])
				}
			}
		}
		out.Text[i] = b.String()
		setMark(&out, n, i, mk)
	}
	return out
}
