package engine

import (
	"fmt"
	"sort"

	"castwright/lang/program"
	"castwright/lang/value"
)

// list makes a list of single values.
func (m *machine) list(in *program.Instr) value.Column {
	n := len(in.Args)
	if n > 0 && m.p.Regs[in.Args[0]].Class == program.Record {
		return m.listOfRecords(in)
	}
	out := m.blank(in.Out, n)
	for i, r := range in.Args {
		pick(&out, i, &m.regs[r], 0)
		mk := m.markAt(r, 0)
		if n > 1 {
			mk = m.j.causes.inRow(mk, m.f.Name, i+1)
		}
		setMark(&out, n, i, mk)
	}
	return out
}

// listOfRecords makes rows of single records: a list for each field.
func (m *machine) listOfRecords(in *program.Instr) value.Column {
	n := len(in.Args)
	out := value.Column{N: n}
	for i, r := range in.Args {
		v := &m.regs[r]
		setMark(&out, n, i, m.merge(v.All, v.Mark(0)))
		if len(v.Fields) == 0 { // a record that holds nothing but a mark
			return value.Column{All: m.markAt(r, 0)}
		}
		for f := range v.Fields {
			from := &v.Fields[f]
			if i == 0 {
				out.Fields = append(out.Fields, emptyLike(from, n))
			}
			pick(&out.Fields[f], i, from, 0)
			setMark(&out.Fields[f], n, i, m.merge(from.All, from.Mark(0)))
		}
	}
	return out
}

// emptyLike makes a column of n rows that holds what another holds.
func emptyLike(v *value.Column, n int) value.Column {
	out := value.Column{N: n}
	switch {
	case v.Num != nil:
		out.Num = make([]float64, n)
	case v.Text != nil:
		out.Text = make([]string, n)
	case v.Obj != nil:
		out.Obj = make([]any, n)
	}
	return out
}

// asLong holds the lists that are given to a rule against each other, before it goes through their elements.
func (m *machine) asLong(in *program.Instr) value.Column {
	a := m.regs[in.A]
	for k, r := range in.Args {
		if m.broken(in.A) || m.broken(r) || m.regs[r].Len() == a.Len() {
			continue
		}
		w := m.p.Words[in.Aux:]
		text := fmt.Sprintf("%s is given a list of %d for %s and a list of %d for %s.", w[0], a.Len(), w[1], m.regs[r].Len(), w[k+2])
		return m.failed(in.Out, m.fault(in, text, "Give both as many values, or one of them a single value."))
	}
	return a
}

// filter keeps the rows of A where B is yes; a second `where` looks at the rows left (ruling 21). A row whose condition
// is not known stays, with its mark. A flag of a condition that leaves a row out lies over the whole result: what is left
// rests on it.
func (m *machine) filter(in *program.Instr) value.Column {
	a, b := &m.regs[in.A], &m.regs[in.B]
	for _, r := range [...]program.Reg{in.A, in.B} {
		if m.broken(r) {
			return m.failed(in.Out, m.regs[r].All)
		}
	}
	return m.filterBy(in, a, b)
}

// filterBy keeps the rows of a list for which a condition holds.
func (m *machine) filterBy(in *program.Instr, a, b *value.Column) value.Column {
	at, fault := m.align(in, a, b)
	if fault != 0 {
		return m.failed(in.Out, fault)
	}
	var keep []int
	var marks []value.Mark
	all := b.All
	for i := range a.Len() {
		k := at(i)
		mk := b.Mark(k)
		if m.usable(mk) && b.Num[k] == 0 {
			all = m.merge(all, mk)
			continue
		}
		if mk != 0 && marks == nil {
			marks = make([]value.Mark, len(keep), a.Len())
		}
		keep = append(keep, i)
		if marks != nil {
			marks = append(marks, m.j.causes.asChoice(mk))
		}
	}
	out := m.take(a, keep, marks)
	out.All = m.merge(out.All, all)
	return out
}

// align finds the row of a condition for each row of a list. Columns of one length go side by side, unless both were
// filtered, to other rows; a condition over all rows meets what was filtered from them by the number of the row.
func (m *machine) align(in *program.Instr, a, b *value.Column) (at func(int) int, fault value.Mark) {
	n := a.Len()
	side := n == b.Len()
	if side && a.Rows != nil && b.Rows != nil {
		for i := range n {
			side = side && a.Rows[i] == b.Rows[i]
		}
	}
	switch {
	case side:
		return func(i int) int { return i }, 0
	case a.Rows != nil && b.Rows == nil && (n == 0 || a.Row(n-1) < b.Len()):
		return a.Row, 0
	case a.Rows != nil && b.Rows != nil:
		if at := matched(a.Rows, b.Rows); at != nil {
			return func(i int) int { return at[i] }, 0
		}
		return nil, m.fault(in, "The condition is over other rows than the list.", "Choose the same rows in both.")
	}
	text := fmt.Sprintf("A list of %d and a condition over %d do not go together row by row.", n, b.Len())
	return nil, m.fault(in, text, "Compare a list of the same length.")
}

// matched finds the row numbers a among b, both rising; nil where one is not there.
func matched(a, b []int32) []int {
	at := make([]int, len(a))
	for i, row := range a {
		k := sort.Search(len(b), func(k int) bool { return b[k] >= row })
		if k == len(b) || b[k] != row {
			return nil
		}
		at[i] = k
	}
	return at
}

// take makes a column of chosen rows, with marks added.
func (m *machine) take(a *value.Column, keep []int, marks []value.Mark) value.Column {
	n := len(keep)
	out := emptyLike(a, n)
	out.All, out.Rows = a.All, make([]int32, n)
	for i, k := range keep {
		pick(&out, i, a, k)
		out.Rows[i] = int32(a.Row(k))
		mk := a.Mark(k)
		if marks != nil {
			mk = m.merge(mk, marks[i])
		}
		setMark(&out, n, i, mk)
	}
	for f := range a.Fields {
		out.Fields = append(out.Fields, m.take(&a.Fields[f], keep, nil))
	}
	return out
}

// spread makes a list of n rows of a single value.
func (m *machine) spread(v *value.Column, n int) value.Column {
	return withoutRows(m.take(v, make([]int, n), nil))
}

// withoutRows forgets which rows the elements had.
func withoutRows(v value.Column) value.Column {
	v.Rows = nil
	for f := range v.Fields {
		v.Fields[f] = withoutRows(v.Fields[f])
	}
	return v
}

// makeRows makes a record, or rows, from fields. A field that cannot be used as a whole stays a field, so that the
// others can be.
func (m *machine) makeRows(in *program.Instr) value.Column {
	n, mark, ok := m.rowsOfUsable(in, in.Args...)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := value.Column{N: n, Fields: make([]value.Column, 0, len(in.Args))}
	for _, r := range in.Args {
		v := m.regs[r]
		switch {
		case m.broken(r):
			v = m.blank(r, n)
			for i := range n {
				setMark(&v, n, i, m.regs[r].All)
			}
		case m.isList(in.Out) && !m.isList(r):
			v = m.spread(&v, n)
		}
		out.Fields = append(out.Fields, v)
	}
	out.Rows = m.rowsOf(in.Args...)
	return out
}

// field takes one field of a record, or one column of rows.
func (m *machine) field(in *program.Instr) value.Column {
	a := &m.regs[in.A]
	if int(in.Aux) >= len(a.Fields) { // no row could be worked out
		if m.broken(in.A) || !m.isList(in.Out) {
			return m.failed(in.Out, m.merge(a.All, a.Mark(0)))
		}
		out := m.blank(in.Out, a.Len())
		out.All, out.Marks, out.Rows = a.All, a.Marks, a.Rows
		return out
	}
	out := a.Fields[in.Aux]
	out.All = m.merge(out.All, a.All)
	if a.Marks != nil {
		n := out.Len()
		old := out
		out.Marks = nil
		for i := range n {
			setMark(&out, n, i, m.merge(old.Mark(i), a.Mark(i)))
		}
	}
	if out.Rows == nil {
		out.Rows = a.Rows
	}
	return out
}
