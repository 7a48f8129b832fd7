package engine

import (
	"fmt"
	"math"
	"slices"

	"castwright/lang/program"
	"castwright/lang/value"
)

// spreadOver makes a list of a single value, once for each row of another list. The mark of the value goes to each row;
// those of the list do not matter.
func (m *machine) spreadOver(in *program.Instr) value.Column {
	switch {
	case m.broken(in.B):
		return m.failed(in.Out, m.regs[in.B].All)
	case m.isList(in.A):
		return m.failed(in.Out, m.fault(in, "One value is wanted for all rows, and this is a list.", ""))
	}
	out := m.onRows(m.spread(&m.regs[in.A], m.regs[in.B].Len()))
	out.Rows = m.rowsOf(in.B)
	return out
}

// onRows puts a mark over the whole of a list on its rows: what lies over all of a list says that there are no rows to
// look at.
func (m *machine) onRows(v value.Column) value.Column {
	if n := v.Len(); v.All != 0 {
		marks := make([]value.Mark, n)
		for i := range marks {
			marks[i] = m.merge(v.All, v.Mark(i))
		}
		v.All, v.Marks = 0, marks
	}
	for f := range v.Fields {
		v.Fields[f] = m.onRows(v.Fields[f])
	}
	return v
}

// scatter puts single values into rows of a list; the other rows keep theirs.
func (m *machine) scatter(in *program.Instr) value.Column {
	return m.scatterAt(in, m.p.Loops[in.Aux].At)
}

// scatterAt does so with the places given, where only a few rows of the list are here.
func (m *machine) scatterAt(in *program.Instr, at []int32) value.Column {
	if m.broken(in.A) {
		return m.failed(in.Out, m.regs[in.A].All)
	}
	out := m.regs[in.A]
	n := out.Len()
	if !m.isList(in.A) || m.p.Regs[in.A].Class == program.Record || len(at) != len(in.Args) {
		return m.failed(in.Out, m.fault(in, "These values have no rows to stand in.", ""))
	}
	out.Num, out.Text, out.Obj = slices.Clone(out.Num), slices.Clone(out.Text), slices.Clone(out.Obj)
	out.Marks = slices.Clone(out.Marks)
	for i, r := range in.Args {
		k := int(at[i])
		if k < 0 || k >= n {
			return m.failed(in.Out, m.fault(in, fmt.Sprintf("There is no row %d in a list of %d.", k+1, n), ""))
		}
		pick(&out, k, &m.regs[r], 0)
		if out.Marks != nil {
			out.Marks[k] = 0
		}
		setMark(&out, n, k, m.j.causes.inRow(m.markAt(r, 0), m.f.Name, out.Row(k)+1))
	}
	if !slices.ContainsFunc(out.Marks, func(mk value.Mark) bool { return mk != 0 }) {
		out.Marks = nil
	}
	return out
}

// subtotal is a sum that keeps what rounding loses and gives it back at the end (Neumaier's way), so that the last
// total of a million rows is as good as the first.
type subtotal struct{ sum, lost float64 }

func (t *subtotal) add(x float64) float64 {
	s := t.sum + x
	if math.Abs(t.sum) >= math.Abs(x) {
		t.lost += (t.sum - s) + x
	} else {
		t.lost += (x - s) + t.sum
	}
	t.sum = s
	return s + t.lost
}

// running carries out the totals so far. What is wrong in a row is wrong in all totals below it.
func (m *machine) running(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := m.blank(in.Out, n)
	out.Rows = m.rowsOf(in.A)
	xs, marked := m.regs[in.A].Num, m.marked(in.A)
	var t subtotal
	above := value.Mark(0)
	for i := range n {
		mk := above
		if marked {
			if own := m.markAt(in.A, i); own != 0 {
				mk = m.merge(above, own)
				above = m.carried(mk)
			}
		}
		if m.usable(mk) {
			x := t.add(xs[i])
			if x-x != 0 {
				x, mk = 0, m.faultIn(in, out.Rows, i, "The result is too large for a number.")
				above = mk
			}
			out.Num[i] = x
		}
		setMark(&out, n, i, mk)
	}
	return out
}

// carried gives the mark that a row lends to the row below: without the doubt whether the row is there at all, which is
// its own, and of what is waited for no more than can be told. Without that bound a hundred thousand open rows would
// make a hundred thousand ever longer sets.
func (m *machine) carried(mk value.Mark) value.Mark {
	if mk == 0 {
		return 0
	}
	c := m.j.causes
	if c.choice(mk) != 0 {
		mk = c.change(mk, func(x *Cause) { x.choice = false })
	}
	if ids := c.sets[mk].ids; c.state(mk) == value.Open && len(ids) > maxTold {
		mk = c.set(ids[:maxTold])
	}
	return mk
}

// before gives each row the value of the row above, with its mark; the first row takes a single value.
func (m *machine) before(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A)
	switch {
	case !ok:
		return m.failed(in.Out, mark)
	case m.p.Regs[in.A].Class == program.Record:
		return m.failed(in.Out, m.fault(in, "A record of the row above cannot be taken.", "Take its fields."))
	}
	out := m.blank(in.Out, n)
	out.Rows = m.rowsOf(in.A)
	marked := m.marked(in.A)
	for i := range n {
		if i == 0 {
			pick(&out, 0, &m.regs[in.B], 0)
			setMark(&out, n, 0, m.firstMark(in, out.Rows))
			continue
		}
		pick(&out, i, &m.regs[in.A], i-1)
		if marked {
			setMark(&out, n, i, m.merge(m.carried(m.markAt(in.A, i-1)), m.j.causes.choice(m.markAt(in.A, i))))
		}
	}
	return out
}

// firstMark gives the mark of the first row, which takes the single B: a mistake of it names the row. Whether the row is
// there at all rests on A.
func (m *machine) firstMark(in *program.Instr, rows []int32) value.Mark {
	row := 1
	if rows != nil {
		row = int(rows[0]) + 1
	}
	own := m.j.causes.inRow(m.markAt(in.B, 0), m.f.Name, row)
	return m.merge(own, m.j.causes.choice(m.markAt(in.A, 0)))
}

// steps gives the gap from the row above to each row; the first row takes a single value.
func (m *machine) steps(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.A)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := m.blank(in.Out, n)
	out.Rows = m.rowsOf(in.A)
	xs, marked := m.regs[in.A].Num, m.marked(in.A)
	for i := range n {
		mk := value.Mark(0)
		switch {
		case i == 0:
			mk = m.firstMark(in, out.Rows)
		case marked:
			mk = m.merge(m.carried(m.markAt(in.A, i-1)), m.markAt(in.A, i))
		}
		switch {
		case !m.usable(mk):
		case i == 0:
			pick(&out, 0, &m.regs[in.B], 0)
		default:
			out.Num[i] = xs[i] - xs[i-1]
		}
		if x := out.Num[i]; x-x != 0 {
			out.Num[i], mk = 0, m.faultIn(in, out.Rows, i, "The result is too large for a number.")
		}
		setMark(&out, n, i, mk)
	}
	return out
}
