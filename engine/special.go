package engine

import (
	"fmt"
	"math"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// chunk is how many numbers are added one after another before the sums are added in pairs. It is fixed, so that a sum
// does not depend on how the work is shared.
const chunk = 128

// total adds numbers: fixed chunks, with a tree of pairs above them.
func total(x []float64) float64 {
	if len(x) <= chunk {
		s := 0.0
		for _, v := range x {
			s += v
		}
		return s
	}
	chunks := (len(x) + chunk - 1) / chunk
	half := (chunks + 1) / 2 * chunk
	return total(x[:half]) + total(x[half:])
}

// special carries out the functions that look at states or at single rows.
func (m *machine) special(in *program.Instr) value.Column {
	f := m.p.Funcs[in.Aux]
	v := &m.regs[in.Args[0]]
	if m.j.causes.state(v.All) == value.Mistake {
		return m.failed(in, v.All)
	}
	switch f.Special {
	case catalogue.Sum, catalogue.Mean:
		return m.sum(in, f.Special == catalogue.Mean, v)
	case catalogue.CountOf:
		return value.One(float64(v.Len()))
	case catalogue.KnownOf:
		return m.known(v)
	case catalogue.Any, catalogue.All:
		return m.quantifier(in, v, truth(f.Special == catalogue.Any))
	case catalogue.Only:
		if n := v.Len(); n != 1 {
			text := "No row meets the condition; exactly one is wanted."
			if n > 1 {
				text = fmt.Sprintf("%d rows meet the condition; exactly one is wanted.", n)
			}
			return m.failed(in, m.j.causes.merge(m.fault(in, text, ""), v.All))
		}
		return m.row(in, v, 0)
	case catalogue.First, catalogue.Last:
		if v.Len() == 0 {
			return m.failed(in, m.fault(in, fmt.Sprintf("The %s of nothing is not known.", f.Name), ""))
		}
		if f.Special == catalogue.First {
			return m.row(in, v, 0)
		}
		return m.row(in, v, v.Len()-1)
	case catalogue.Item:
		return m.item(in, v)
	}
	return m.failed(in, m.fault(in, "This function is not known.", ""))
}

func (m *machine) sum(in *program.Instr, mean bool, v *value.Column) value.Column {
	mk := m.worst(v)
	if m.j.causes.state(mk) > value.Flagged {
		return m.failed(in, mk)
	}
	x := total(v.Num)
	if mean {
		if len(v.Num) == 0 {
			return m.failed(in, m.fault(in, "The mean of nothing is not known.", ""))
		}
		x /= float64(len(v.Num))
	}
	if x-x != 0 {
		return m.failed(in, m.fault(in, "The result is too large for a number.", ""))
	}
	out := value.One(x)
	setMark(&out, 1, 0, mk)
	return out
}

// known leaves out the rows that are open.
func (m *machine) known(v *value.Column) value.Column {
	var keep []int
	for i := range v.Len() {
		mk := v.Mark(i)
		for f := range v.Fields {
			mk = m.j.causes.merge(mk, v.Fields[f].Mark(i))
		}
		if m.j.causes.state(mk) != value.Open {
			keep = append(keep, i)
		}
	}
	return m.take(v, keep, nil)
}

// quantifier carries out any and all: one row that decides is enough, whatever the others are.
func (m *machine) quantifier(in *program.Instr, v *value.Column, decides float64) value.Column {
	mk := v.All
	for i, x := range v.Num {
		own := v.Mark(i)
		if m.j.causes.state(own) <= value.Flagged && x == decides {
			out := value.One(decides)
			setMark(&out, 1, 0, own)
			return out
		}
		mk = m.j.causes.merge(mk, own)
	}
	out := value.One(1 - decides)
	setMark(&out, 1, 0, mk)
	return out
}

// row gives one row of a list as a single value; only its own mark counts.
func (m *machine) row(in *program.Instr, v *value.Column, i int) value.Column {
	out := m.take(v, []int{i}, nil)
	out.Rows = nil
	for f := range out.Fields {
		out.Fields[f].Rows = nil
	}
	return out
}

func (m *machine) item(in *program.Instr, v *value.Column) value.Column {
	r := in.Args[1]
	if m.isList(r) {
		return m.failed(in, m.fault(in, "item takes one number.", ""))
	}
	mk := m.markAt(r, 0)
	if m.j.causes.state(mk) > value.Flagged {
		return m.failed(in, mk)
	}
	x := m.regs[r].Num[0]
	n := math.Round(x)
	if math.Abs(x-n) > math.Min(1e-9*math.Max(1, math.Abs(n)), 1e-3) || n < 1 || n > float64(v.Len()) {
		return m.failed(in, m.fault(in, fmt.Sprintf("There is no value number %.6g in a list of %d.", x, v.Len()), "Count from 1."))
	}
	out := m.row(in, v, int(n)-1)
	setMark(&out, 1, 0, m.j.causes.merge(out.Mark(0), mk))
	return out
}
