package engine

import (
	"fmt"
	"strings"

	"castwright/lang/program"
	"castwright/lang/value"
)

// numbers carries an operation on numbers out, row by row. A row that is open or a mistake holds 0.
func (m *machine) numbers(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := value.Column{Num: make([]float64, n), N: n, Rows: m.rowsOf(in.A, in.B)}
	a, b := m.regs[in.A].Num, m.regs[in.A].Num
	if in.B >= 0 {
		b = m.regs[in.B].Num
	}
	sa, sb := m.at(in.A, 1), m.at(in.A, 1)
	if in.B >= 0 {
		sb = m.at(in.B, 1)
	}
	for i := range out.Num {
		out.Num[i] = lane(m.p, in, a[i*sa], b[i*sb])
	}
	if m.marked(in.A) || m.marked(in.B) {
		for i := range n {
			mk := m.markAt(in.A, i)
			if in.B >= 0 {
				mk = m.merge(mk, m.markAt(in.B, i))
			}
			setMark(&out, n, i, mk)
			if !m.usable(mk) {
				out.Num[i] = 0
			}
		}
	}
	for i, x := range out.Num {
		if x-x != 0 {
			out.Num[i] = 0
			setMark(&out, n, i, m.faultIn(in, out.Rows, i, m.notFinite(in, a[i*sa], b[i*sb])))
		}
	}
	return out
}

// notFinite says why an operation has no number.
func (m *machine) notFinite(in *program.Instr, a, b float64) string {
	switch in.Op {
	case program.Div:
		if b == 0 {
			return "Division by 0."
		}
	case program.Func1, program.Func2:
		if f := m.p.Funcs[in.Aux]; f.Domain != "" {
			return fmt.Sprintf("%s: %s.", f.Name, f.Domain)
		}
	case program.Pow, program.PowConst:
		if a < 0 && (in.Op == program.PowConst || b != float64(int64(b))) {
			return "A number below 0 has no power that is not whole."
		}
		if a == 0 {
			return "0 has no power below 0."
		}
	}
	return "The result is too large for a number."
}

// logic carries out `and` and `or` from left to right: a row whose left side decides does not look at the right, and
// does not take its mark (ruling 32).
func (m *machine) logic(in *program.Instr) value.Column {
	if m.broken(in.A) {
		return m.failed(in.Out, m.regs[in.A].All)
	}
	n, mark, ok := m.rowsOfUsable(in, in.A, in.B)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := value.Column{Num: make([]float64, n), N: n, Rows: m.rowsOf(in.A, in.B)}
	decides := truth(in.Op == program.Or)
	for i := range n {
		mk := m.markAt(in.A, i)
		usable := m.usable(mk)
		x := m.regs[in.A].Num[m.at(in.A, i)]
		if usable && x != decides {
			mk = m.merge(mk, m.markAt(in.B, i))
			if usable = m.usable(mk); usable {
				x = m.regs[in.B].Num[m.at(in.B, i)]
			}
		}
		if usable {
			out.Num[i] = truth(x != 0)
		}
		setMark(&out, n, i, mk)
	}
	return out
}

func (m *machine) texts(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := value.Column{Num: make([]float64, n), N: n, Rows: m.rowsOf(in.A, in.B)}
	a, b := m.regs[in.A].Text, m.regs[in.B].Text
	sa, sb := m.at(in.A, 1), m.at(in.B, 1)
	marked := m.marked(in.A) || m.marked(in.B)
	for i := range n {
		mk := value.Mark(0)
		if marked {
			mk = m.merge(m.markAt(in.A, i), m.markAt(in.B, i))
			setMark(&out, n, i, mk)
		}
		if m.usable(mk) {
			out.Num[i] = truth((a[i*sa] == b[i*sb]) == (in.Op == program.TextEq))
		}
	}
	return out
}

func (m *machine) places(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := m.blank(in.Out, n)
	out.Rows = m.rowsOf(in.A, in.B)
	for i := range n {
		out.Obj[i] = value.Place{X: m.regs[in.A].Num[m.at(in.A, i)], Y: m.regs[in.B].Num[m.at(in.B, i)]}
		setMark(&out, n, i, m.merge(m.markAt(in.A, i), m.markAt(in.B, i)))
	}
	return out
}

// test carries out what a rule needs (a mistake where it does not hold) and the range of its source (flagged).
func (m *machine) test(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A, in.B)
	if !ok {
		return m.failed(in.Out, mark)
	}
	rows := m.rowsOf(in.A, in.B)
	var out value.Column
	if m.p.Regs[in.A].Class == program.Record {
		out = m.regs[in.A]
		if m.isList(in.Out) && !m.isList(in.A) {
			out = m.spread(&m.regs[in.A], n)
		}
		out.Marks = nil
	} else {
		out = m.blank(in.Out, n)
	}
	out.Rows = rows
	for i := range n {
		pick(&out, i, &m.regs[in.A], m.at(in.A, i))
		mk := m.regs[in.A].All
		if k := m.at(in.A, i); k < len(m.regs[in.A].Marks) {
			mk = m.merge(mk, m.regs[in.A].Marks[k])
		}
		judged := m.judge(in, rows, i)
		if in.Op == program.Need && m.j.causes.state(judged) == value.Mistake && m.usable(m.markAt(in.B, i)) {
			mk = 0 // what is needed and is not so is why the rest went wrong, and is told alone
		}
		setMark(&out, n, i, m.merge(mk, judged))
	}
	return out
}

// judge gives the mark of a condition for a row.
func (m *machine) judge(in *program.Instr, rows []int32, i int) value.Mark {
	mk := m.markAt(in.B, i)
	if !m.usable(mk) || m.regs[in.B].Num[m.at(in.B, i)] != 0 {
		return mk
	}
	row := m.rowNumber(in, rows, i)
	if row > 0 || m.tells(in) {
		return m.merge(mk, m.unmet(in, row, m.numbersOf(&m.p.Tests[in.Aux], i)))
	}
	if m.untold == 0 {
		m.untold = m.unmet(in, 0, "")
	}
	return m.merge(mk, m.untold)
}

// unmet interns that a condition does not hold in a row; here tells its numbers.
func (m *machine) unmet(in *program.Instr, row int, here string) value.Mark {
	t := &m.p.Tests[in.Aux]
	if in.Op == program.Need {
		return m.cause(in, Cause{State: value.Mistake, Kind: Failure, Row: row, Text: fmt.Sprintf("%s needs %s%s.", t.Rule, t.Cond, here)})
	}
	return m.cause(in, Cause{State: value.Flagged, Kind: Range, Name: t.Rule, Row: row,
		Text: fmt.Sprintf("Outside the range of %s: it holds for %s%s.", t.Rule, t.Cond, here)})
}

// numbersOf tells the parameters that a condition uses: "; here age is -3 d".
func (m *machine) numbersOf(t *program.Test, i int) string {
	var with []string
	for k, r := range t.Regs {
		v, at := &m.regs[r], m.at(r, i)
		switch {
		case at < len(v.Num) && (!m.isList(r) || len(v.Num) > 1):
			with = append(with, fmt.Sprintf("%s is %s", t.Names[k], t.Specs[k].Text(v.Num[at])))
		case at < len(v.Text):
			with = append(with, fmt.Sprintf("%s is %q", t.Names[k], v.Text[at]))
		}
	}
	if len(with) == 0 {
		return ""
	}
	return "; here " + strings.Join(with, ", ")
}

// join puts values into a text.
func (m *machine) join(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.Args...)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := m.blank(in.Out, n)
	out.Rows = m.rowsOf(in.Args...)
	for i := range n {
		var b strings.Builder
		mk := value.Mark(0)
		for _, p := range m.p.Templates[in.Aux] {
			if p.Arg < 0 {
				b.WriteString(p.Words)
				continue
			}
			r := in.Args[p.Arg]
			own := m.markAt(r, i)
			mk = m.merge(mk, own)
			if m.usable(own) {
				m.write(&b, &p, r, m.at(r, i))
			} else {
				b.WriteString("…")
			}
			if b.Len() > maxText {
				break
			}
		}
		if b.Len() > maxText {
			mk = m.faultIn(in, out.Rows, i, fmt.Sprintf("A text holds at most %d bytes.", maxText))
			setMark(&out, n, i, mk)
			continue
		}
		out.Text[i] = b.String()
		setMark(&out, n, i, mk)
	}
	return out
}

// write writes one value into a text.
func (m *machine) write(b *strings.Builder, p *program.Piece, r program.Reg, k int) {
	v := &m.regs[r]
	switch {
	case k < len(v.Text):
		b.WriteString(v.Text[k])
	case k < len(v.Num):
		b.WriteString(p.Spec.Text(v.Num[k]))
	case k < len(v.Obj):
		if q, ok := v.Obj[k].(value.Place); ok {
			fmt.Fprintf(b, "(%s, %s)", p.Spec.Text(q.X), p.Spec.Text(q.Y))
		} else {
			fmt.Fprint(b, v.Obj[k])
		}
	}
}
