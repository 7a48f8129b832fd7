package engine

import (
	"castwright/lang/program"
	"castwright/lang/value"
)

// choose carries out `if`: only the branch taken lends its mark (ruling 32).
func (m *machine) choose(in *program.Instr) value.Column {
	if !m.isList(in.A) {
		return m.chooseOnce(in)
	}
	if m.broken(in.A) {
		return m.failed(in.Out, m.regs[in.A].All)
	}
	if m.p.Regs[in.Out].Class == program.Record {
		return m.failed(in.Out, m.fault(in, "A condition over rows does not choose between records.", "Choose between their fields."))
	}
	n, mark, ok := m.rowsOfUsable(in, in.A, in.B, in.C)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := m.blank(in.Out, n)
	out.Rows = m.rowsOf(in.A, in.B, in.C)
	for i := range n {
		mk := m.markAt(in.A, i)
		if m.usable(mk) {
			taken := m.branch(in, i)
			pick(&out, i, &m.regs[taken], m.at(taken, i))
			mk = m.merge(mk, m.markAt(taken, i))
		}
		setMark(&out, n, i, mk)
	}
	return out
}

// branch gives the register that the condition takes in row i.
func (m *machine) branch(in *program.Instr, i int) program.Reg {
	if m.regs[in.A].Num[m.at(in.A, i)] != 0 {
		return in.B
	}
	return in.C
}

// chooseOnce takes one branch whole: the other is not looked at, not even for its length.
func (m *machine) chooseOnce(in *program.Instr) value.Column {
	mk := m.markAt(in.A, 0)
	if !m.usable(mk) {
		return m.failed(in.Out, mk)
	}
	taken := m.branch(in, 0)
	v := m.regs[taken]
	if m.isList(in.Out) && !m.isList(taken) { // one value where the other branch has a list: as many rows as there
		n, mark, ok := m.rows(in, in.B, in.C)
		if !ok {
			return m.failed(in.Out, m.merge(mk, mark))
		}
		v = m.spread(&v, n)
		v.Rows = m.rowsOf(in.B, in.C)
	}
	if mk == 0 {
		return v
	}
	return m.remark(v, func(old value.Mark) value.Mark { return m.merge(old, mk) })
}

// otherwise takes the second value where the first is a mistake, and flags it; what is open stays open.
func (m *machine) otherwise(in *program.Instr) value.Column {
	a, b := m.regs[in.A], m.regs[in.B]
	whole := m.p.Regs[in.A].Class == program.Record && !m.isList(in.A)
	mk := a.All
	if whole {
		mk = m.j.worst(&a)
	}
	if m.j.causes.state(mk) == value.Mistake && (whole || m.isList(in.A)) {
		if m.isList(in.A) && !m.isList(in.B) {
			return m.failed(in.Out, mk) // how many rows there should be is not known
		}
		flag := m.substitute(in, mk)
		return m.remark(b, func(old value.Mark) value.Mark { return m.merge(old, flag) })
	}
	if whole || m.p.Regs[in.A].Class == program.Record || m.broken(in.A) {
		return a
	}
	n, mark, ok := m.rowsOfUsable(in, in.A, in.B)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := m.blank(in.Out, n)
	out.Rows = m.rowsOf(in.A, in.B)
	for i := range n {
		taken, mk := in.A, m.markAt(in.A, i)
		if m.j.causes.state(mk) == value.Mistake {
			taken, mk = in.B, m.merge(m.substitute(in, mk), m.markAt(in.B, i))
		}
		pick(&out, i, &m.regs[taken], m.at(taken, i))
		setMark(&out, n, i, mk)
	}
	return out
}

func (m *machine) substitute(in *program.Instr, mk value.Mark) value.Mark {
	why := ""
	if cs := m.j.causes.of(mk); len(cs) > 0 {
		why = " The first: " + cs[0].Message().Text
	}
	return m.cause(in, Cause{State: value.Flagged, Kind: Substitute, Name: "otherwise",
		Text: "The second value of otherwise stands here, since the first is a mistake." + why})
}
