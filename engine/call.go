package engine

import (
	"fmt"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// call carries out a Go function over whole columns. A list given to a parameter that takes a single is mapped row by
// row; a row that is open or a mistake is not called, and takes the mark.
func (m *machine) call(in *program.Instr) value.Column {
	f := m.p.Funcs[in.Aux]
	mapped := make([]bool, len(in.Args))
	var lists []program.Reg
	common := value.Mark(0)
	for i, r := range in.Args {
		if m.isList(r) && !wholeParam(f, i) && !m.leftOut(f, i, r) {
			mapped[i] = true
			lists = append(lists, r)
			continue
		}
		common = m.merge(common, m.j.worst(&m.regs[r]))
	}
	if len(lists) == 0 {
		return m.callWhole(in, f, common)
	}
	n, mark, ok := m.rows(in, lists...)
	if !ok {
		return m.failed(in.Out, mark)
	}
	out := m.blank(in.Out, n)
	out.Rows = m.rowsOf(lists...)
	args := make([]value.Column, len(in.Args))
	for i, r := range in.Args {
		args[i] = bare(m.regs[r])
	}
	for i := range n {
		mk := common
		for _, r := range lists {
			mk = m.merge(mk, m.markAt(r, i))
		}
		if m.usable(mk) {
			for k, r := range in.Args {
				if mapped[k] {
					args[k] = oneRow(&m.regs[r], i)
				}
			}
			one, err := safely(f, args)
			if flag, ok := err.(catalogue.Flag); ok {
				mk, err = m.merge(mk, m.cause(in, flagged(f, flag, m.rowNumber(in, out.Rows, i)))), nil
			}
			if err == nil {
				err = m.place(&out, i, n, in, f, &one)
			}
			if err != nil {
				mk = m.faultIn(in, out.Rows, i, sentence(err.Error()))
			}
		}
		setMark(&out, n, i, mk)
	}
	return out
}

// place puts the result for one row where it belongs: into a column, or into a column of each field.
func (m *machine) place(out *value.Column, i, n int, in *program.Instr, f *catalogue.Func, one *value.Column) error {
	if m.p.Regs[in.Out].Class != program.Record {
		if one.Len() != 1 {
			return fmt.Errorf("%s gives a list where one value is wanted for each row.", f.Name)
		}
		pick(out, i, one, 0)
		return nil
	}
	for k := range one.Fields {
		if k == len(out.Fields) {
			out.Fields = append(out.Fields, emptyLike(&one.Fields[k], n))
		}
		pick(&out.Fields[k], i, &one.Fields[k], 0)
	}
	return nil
}

func wholeParam(f *catalogue.Func, i int) bool {
	if len(f.Params) == 0 {
		return false
	}
	return f.Params[min(i, len(f.Params)-1)].Whole
}

// leftOut tells whether an argument is a parameter that was not given: the checker puts an empty column there, which the
// language cannot say otherwise.
func (m *machine) leftOut(f *catalogue.Func, i int, r program.Reg) bool {
	if i >= len(f.Params) || !f.Params[i].Optional || m.regs[r].Len() > 0 || m.regs[r].All != 0 {
		return false
	}
	for _, c := range m.p.Consts {
		if c.Reg == r {
			return true
		}
	}
	return false
}

// bare gives a column as a function of the library sees it.
func bare(v value.Column) value.Column {
	v.Marks, v.Rows, v.All = nil, nil, 0
	for f := range v.Fields {
		if f == 0 {
			v.Fields = append([]value.Column(nil), v.Fields...)
		}
		v.Fields[f] = bare(v.Fields[f])
	}
	return v
}

// oneRow gives one row of a column, without copying what it holds.
func oneRow(v *value.Column, i int) value.Column {
	out := value.Column{N: 1}
	switch {
	case v.Num != nil:
		out.Num = v.Num[i : i+1 : i+1]
	case v.Text != nil:
		out.Text = v.Text[i : i+1 : i+1]
	case v.Obj != nil:
		out.Obj = v.Obj[i : i+1 : i+1]
	}
	for f := range v.Fields {
		out.Fields = append(out.Fields, oneRow(&v.Fields[f], i))
	}
	return out
}

// callWhole calls a function once, with the mark of its arguments.
func (m *machine) callWhole(in *program.Instr, f *catalogue.Func, mk value.Mark) value.Column {
	if !m.usable(mk) {
		return m.failed(in.Out, mk)
	}
	args := make([]value.Column, len(in.Args))
	for i, r := range in.Args {
		args[i] = bare(m.regs[r])
	}
	out, err := safely(f, args)
	if flag, ok := err.(catalogue.Flag); ok {
		mk, err = m.merge(mk, m.cause(in, flagged(f, flag, 0))), nil
	}
	if err != nil {
		return m.failed(in.Out, m.fault(in, sentence(err.Error()), ""))
	}
	if mk == 0 {
		return out
	}
	return m.remark(out, func(old value.Mark) value.Mark { return m.merge(old, mk) })
}

// flagged is the cause of a result that a function flags.
func flagged(f *catalogue.Func, text catalogue.Flag, row int) Cause {
	return Cause{State: value.Flagged, Kind: Range, Name: f.Name, Text: sentence(string(text)), Row: row}
}

// safely calls a Go function of the library; a slip inside it becomes a mistake of the cell and does not end the
// program. A result that is not a number is one too.
func safely(f *catalogue.Func, args []value.Column) (out value.Column, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%s failed inside: %v. This is a slip in castwright; the other cells are not touched by it.", f.Name, r)
		}
	}()
	out, err = f.Call(args)
	_, usable := err.(catalogue.Flag)
	if (err == nil || usable) && !allFinite(&out) {
		err = fmt.Errorf("The result of %s is not a number.", f.Name)
	}
	return out, err
}

func allFinite(v *value.Column) bool {
	ok := finite(v.Num)
	for f := range v.Fields {
		ok = ok && allFinite(&v.Fields[f])
	}
	return ok
}
