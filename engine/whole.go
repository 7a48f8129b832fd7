package engine

import (
	"fmt"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// list makes a list of single values.
func (m *machine) list(in *program.Instr) value.Column {
	n := len(in.Args)
	out := m.blank(in.Out, n)
	for i, r := range in.Args {
		pick(&out, i, &m.regs[r], 0)
		mk := m.markAt(r, 0)
		if m.j.causes.state(mk) == value.Mistake && n > 1 {
			mk = m.j.causes.inRow(mk, i+1)
		}
		setMark(&out, n, i, mk)
	}
	return out
}

// filter keeps the rows of A where B is yes. Rows are matched by their number, so that a second `where` looks at the
// rows left (ruling 21). A row whose condition is not known stays, with its mark.
func (m *machine) filter(in *program.Instr) value.Column {
	a, b := &m.regs[in.A], &m.regs[in.B]
	for _, v := range []*value.Column{a, b} {
		if m.j.causes.state(v.All) == value.Mistake {
			return m.failed(in, v.All)
		}
	}
	at := func(i int) int { return i }
	if a.Rows != nil && b.Rows == nil {
		at = a.Row
		if n := b.Len(); a.Len() > 0 && a.Row(a.Len()-1) >= n {
			return m.failed(in, m.fault(in, fmt.Sprintf("The condition has %d rows, too few for the list it filters.", n), ""))
		}
	} else if a.Len() != b.Len() {
		return m.failed(in, m.fault(in, fmt.Sprintf("A list of %d and a condition over %d do not go together row by row.", a.Len(), b.Len()), "Compare a list of the same length."))
	}
	var keep []int
	var marks []value.Mark
	for i := range a.Len() {
		mk := m.j.causes.merge(b.All, b.Mark(at(i)))
		if m.j.causes.state(mk) <= value.Flagged && b.Num[at(i)] == 0 {
			continue
		}
		keep = append(keep, i)
		marks = append(marks, mk)
	}
	return m.take(a, keep, marks)
}

// take makes a column of chosen rows, with marks added.
func (m *machine) take(a *value.Column, keep []int, marks []value.Mark) value.Column {
	n := len(keep)
	out := value.Column{N: n, All: a.All, Rows: make([]int32, n)}
	switch {
	case a.Num != nil:
		out.Num = make([]float64, n)
	case a.Text != nil:
		out.Text = make([]string, n)
	case a.Obj != nil:
		out.Obj = make([]any, n)
	}
	for i, k := range keep {
		pick(&out, i, a, k)
		out.Rows[i] = int32(a.Row(k))
		mk := a.Mark(k)
		if marks != nil {
			mk = m.j.causes.merge(mk, marks[i])
		}
		setMark(&out, n, i, mk)
	}
	for f := range a.Fields {
		out.Fields = append(out.Fields, m.take(&a.Fields[f], keep, marks))
	}
	return out
}

// makeRows makes a record, or rows, from fields.
func (m *machine) makeRows(in *program.Instr) value.Column {
	n, mark, ok := m.rows(in, in.Args...)
	if !ok {
		return m.failed(in, mark)
	}
	out := value.Column{N: n}
	for _, r := range in.Args {
		v := m.regs[r]
		if m.isList(in.Out) && !m.isList(r) {
			wide := m.blank(r, n)
			for i := range n {
				pick(&wide, i, &v, 0)
				setMark(&wide, n, i, v.Mark(0))
			}
			v = wide
		}
		out.Fields = append(out.Fields, v)
	}
	return out
}

// field takes one field of a record, or one column of rows.
func (m *machine) field(in *program.Instr) value.Column {
	a := &m.regs[in.A]
	if int(in.Aux) >= len(a.Fields) {
		return m.failed(in, a.All)
	}
	out := a.Fields[in.Aux]
	out.All = m.j.causes.merge(out.All, a.All)
	if a.Marks != nil {
		n := out.Len()
		marks := out
		out.Marks = nil
		for i := range n {
			setMark(&out, n, i, m.j.causes.merge(marks.Mark(i), a.Mark(i)))
		}
	}
	if out.Rows == nil {
		out.Rows = a.Rows
	}
	return out
}

// call carries out a Go function over whole columns. A list given to a parameter that takes a single is mapped row by
// row; a row that is open or a mistake is not called.
func (m *machine) call(in *program.Instr) value.Column {
	f := m.p.Funcs[in.Aux]
	var mapped []program.Reg
	common := value.Mark(0)
	for i, r := range in.Args {
		v := &m.regs[r]
		if m.isList(r) && !f.Params[i].Whole {
			mapped = append(mapped, r)
			continue
		}
		common = m.j.causes.merge(common, m.worst(v))
	}
	if len(mapped) == 0 {
		v := m.callOnce(in, f, -1, common)
		if !m.isList(in.Out) || v.Len() > 0 || v.All != 0 {
			return v
		}
		return v
	}
	n, mark, ok := m.rows(in, mapped...)
	if !ok {
		return m.failed(in, mark)
	}
	out := m.blank(in.Out, n)
	for i := range n {
		mk := common
		for _, r := range mapped {
			mk = m.j.causes.merge(mk, m.markAt(r, i))
		}
		one := m.callOnce(in, f, i, mk)
		if one.Len() == 1 {
			pick(&out, i, &one, 0)
		}
		mk = m.j.causes.merge(one.All, one.Mark(0))
		setMark(&out, n, i, mk)
	}
	out.Rows = m.rowsOf(mapped...)
	return out
}

// worst joins the marks of all rows.
func (m *machine) worst(v *value.Column) value.Mark {
	mk := v.All
	for _, x := range v.Marks {
		mk = m.j.causes.merge(mk, x)
	}
	for i := range v.Fields {
		mk = m.j.causes.merge(mk, m.worst(&v.Fields[i]))
	}
	return mk
}

// callOnce calls a Go function for one row (or for all, where row is below 0), with the mark of its arguments.
func (m *machine) callOnce(in *program.Instr, f *catalogue.Func, row int, mk value.Mark) value.Column {
	if m.j.causes.state(mk) > value.Flagged {
		return m.marker(in, row, mk)
	}
	args := make([]value.Column, len(in.Args))
	for i, r := range in.Args {
		args[i] = m.regs[r]
		if row >= 0 && m.isList(r) && !f.Params[i].Whole {
			args[i] = m.take(&m.regs[r], []int{row}, nil)
		}
		args[i].Marks, args[i].Rows = nil, nil
	}
	out, err := safely(f, args)
	if err == nil && !finite(&out) {
		err = fmt.Errorf("The result of %s is not a number.", f.Name)
	}
	if err != nil {
		fault := m.fault(in, sentence(err.Error()), "")
		if row >= 0 {
			fault = m.j.causes.inRow(fault, row+1)
		}
		return m.marker(in, row, fault)
	}
	if out.Len() > maxList {
		return m.marker(in, row, m.fault(in, fmt.Sprintf("A list holds at most %d values.", maxList), ""))
	}
	if mk != 0 {
		n := out.Len()
		for i := range n {
			setMark(&out, n, i, mk)
		}
		if out.Fields != nil {
			out.All = m.j.causes.merge(out.All, mk)
		}
	}
	return out
}

// finite tells whether every number of a result is one.
func finite(v *value.Column) bool {
	for _, x := range v.Num {
		if x-x != 0 {
			return false
		}
	}
	for _, f := range v.Fields { // fields of a record are single values, with no fields of their own
		for _, x := range f.Num {
			if x-x != 0 {
				return false
			}
		}
	}
	return true
}

func (m *machine) marker(in *program.Instr, row int, mk value.Mark) value.Column {
	if row >= 0 {
		return value.Column{All: mk}
	}
	return m.failed(in, mk)
}

// safely calls a Go function of the library; a slip inside it becomes a mistake of the cell and does not end the
// program.
func safely(f *catalogue.Func, args []value.Column) (out value.Column, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%s failed inside: %v. This is a slip in castwright; the other cells are not touched by it.", f.Name, r)
		}
	}()
	return f.Call(args)
}
