package engine

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/program"
	"castwright/lang/value"
)

// chunk is how many numbers are added one after another before the sums are added in pairs. It is fixed, so that a sum
// does not depend on how the work is shared.
const chunk = 128

// total adds numbers: fixed chunks, with a tree of pairs above them. Where the chunks lie depends on the length alone.
func total(x []float64) float64 {
	if len(x) <= chunk {
		s := 0.0
		for _, v := range x {
			s += v
		}
		return s
	}
	left, right := halves(x)
	return total(left) + total(right)
}

// halves cuts numbers in two at a chunk.
func halves(x []float64) (left, right []float64) {
	chunks := (len(x) + chunk - 1) / chunk
	half := (chunks + 1) / 2 * chunk
	return x[:half], x[half:]
}

// total adds numbers as the function of that name does, the halves of a long column side by side.
func (j *Job) total(x []float64) float64 {
	if len(x) < 4*shared || j.workers() < 2 {
		return total(x)
	}
	left, right := halves(x)
	var a float64
	var wait sync.WaitGroup
	wait.Go(func() { a = total(left) })
	b := total(right)
	wait.Wait()
	return a + b
}

// special carries out the functions that look at states or at single rows.
func (m *machine) special(in *program.Instr) value.Column {
	f := m.p.Funcs[in.Aux]
	r := in.Args[0]
	v := &m.regs[r]
	if m.broken(r) {
		return m.failed(in.Out, v.All)
	}
	switch f.Special {
	case catalogue.Sum, catalogue.Mean:
		return m.sum(in, v)
	case catalogue.CountOf:
		return m.count(in, v)
	case catalogue.KnownOf:
		return m.known(v)
	case catalogue.Any, catalogue.All:
		return m.quantifier(v, truth(f.Special == catalogue.Any))
	case catalogue.Only:
		return m.only(in, v)
	case catalogue.First:
		return m.end(in, v, 0, f.Name)
	case catalogue.Last:
		return m.end(in, v, v.Len()-1, f.Name)
	case catalogue.Item:
		return m.item(in, v)
	case catalogue.ListOf:
		return m.list(in)
	}
	return m.failed(in.Out, m.fault(in, "This function is not known.", ""))
}

func (m *machine) sum(in *program.Instr, v *value.Column) value.Column {
	mk := m.j.worst(v)
	if !m.usable(mk) {
		return m.failed(in.Out, mk)
	}
	return m.sumOf(in, m.j.total(v.Num), len(v.Num), mk)
}

// sumOf gives the sum or the mean of n numbers that add up to x.
func (m *machine) sumOf(in *program.Instr, x float64, n int, mk value.Mark) value.Column {
	if !m.usable(mk) {
		return m.failed(in.Out, mk)
	}
	if m.p.Funcs[in.Aux].Special == catalogue.Mean {
		if n == 0 {
			return m.failed(in.Out, m.fault(in, "The mean of nothing is not known.", ""))
		}
		x /= float64(n)
	}
	if x-x != 0 {
		return m.failed(in.Out, m.fault(in, "The result is too large for a number.", ""))
	}
	return numberMarked(x, mk)
}

func numberMarked(x float64, mk value.Mark) value.Column {
	out := value.One(x)
	setMark(&out, 1, 0, mk)
	return out
}

// count counts rows. An open row is a row; one that a `where` takes only perhaps makes the count open.
func (m *machine) count(in *program.Instr, v *value.Column) value.Column {
	mk := m.merge(v.All, m.choices(v, v.Len()))
	if !m.usable(mk) {
		return m.failed(in.Out, mk)
	}
	return numberMarked(float64(v.Len()), mk)
}

// choices joins what leaves open whether the first n rows are there at all.
func (m *machine) choices(v *value.Column, n int) value.Mark {
	mk := value.Mark(0)
	for i := range min(n, len(v.Marks)) {
		mk = m.merge(mk, m.j.causes.choice(v.Marks[i]))
	}
	for f := range v.Fields {
		mk = m.merge(mk, m.choices(&v.Fields[f], n))
	}
	return mk
}

// known leaves out the rows that are open.
func (m *machine) known(v *value.Column) value.Column {
	keep := []int{}
	for i := range v.Len() {
		mk := v.Mark(i)
		for f := range v.Fields {
			mk = m.merge(mk, v.Fields[f].Mark(i))
		}
		if m.j.causes.state(mk) != value.Open {
			keep = append(keep, i)
		}
	}
	if m.depth == 0 {
		m.j.left += v.Len() - len(keep)
	}
	return m.take(v, keep, nil)
}

// quantifier carries out any and all: one row that decides is enough, whatever the others are. A row that is ok decides
// before one that is flagged.
func (m *machine) quantifier(v *value.Column, decides float64) value.Column {
	if v.Marks == nil && v.All == 0 {
		return value.One(truth(slices.Contains(v.Num, decides) == (decides != 0)))
	}
	all := union{c: m.j.causes}
	all.add(v.All)
	decided, flags := false, value.Mark(0)
	for i, x := range v.Num {
		own := m.merge(v.All, v.Mark(i))
		all.add(own)
		if x != decides || !m.usable(own) || decided && own != 0 {
			continue
		}
		if decided, flags = true, own; own == 0 {
			break
		}
	}
	switch mk := all.mark(); {
	case decided:
		return numberMarked(decides, flags)
	case !m.usable(mk):
		return numberMarked(0, mk)
	default:
		return numberMarked(1-decides, mk)
	}
}

// only takes the one row. Rows that a `where` takes only perhaps leave it open, unless two others are there for sure.
func (m *machine) only(in *program.Instr, v *value.Column) value.Column {
	n := v.Len()
	perhaps := value.Mark(0)
	sure := 0
	for i := range n {
		mk := value.Mark(0)
		if v.Marks != nil {
			mk = m.j.causes.choice(v.Marks[i])
		}
		perhaps = m.merge(perhaps, mk)
		if mk == 0 {
			sure++
		}
	}
	switch {
	case sure > 1:
		return m.failed(in.Out, m.fault(in, fmt.Sprintf("%d rows meet the condition; exactly one is wanted.", sure), ""))
	case perhaps != 0:
		return m.failed(in.Out, perhaps)
	case n == 0:
		return m.failed(in.Out, m.merge(v.All, m.noRow(in)))
	}
	return m.row(v, 0)
}

// noRow says that a condition leaves no row, and, for the first rows that it is said of, which text it looks for in vain.
func (m *machine) noRow(in *program.Instr) value.Mark {
	for k := 1; k+2 < len(in.Args) && m.tells(in); k += 3 {
		held, sought := m.regs[in.Args[k]].Text, m.regs[in.Args[k+1]].Text
		if len(sought) == 1 && !slices.Contains(held, sought[0]) {
			text := fmt.Sprintf("No row meets the condition: the text %q never occurs in %s.", sought[0], m.regs[in.Args[k+2]].Text[0])
			return m.fault(in, text, diag.Nearest(sought[0], held))
		}
	}
	return m.fault(in, "No row meets the condition; exactly one is wanted.", "")
}

// end takes the first or the last row.
func (m *machine) end(in *program.Instr, v *value.Column, i int, name string) value.Column {
	if v.Len() == 0 {
		return m.failed(in.Out, m.fault(in, fmt.Sprintf("The %s of nothing is not known.", name), ""))
	}
	return m.row(v, i)
}

// row gives one row of a list as a single value; only its own mark counts, and what lies over the whole list.
func (m *machine) row(v *value.Column, i int) value.Column {
	return m.single1(m.take(v, []int{i}, nil))
}

// single1 turns a list of one into a single value: without the row it had, its mark its own.
func (m *machine) single1(v value.Column) value.Column {
	v.Rows = nil
	if v.Fields == nil && v.All != 0 {
		v.Marks = []value.Mark{m.merge(v.All, v.Mark(0))}
		v.All = 0
	}
	for f := range v.Fields {
		v.Fields[f] = m.single1(v.Fields[f])
	}
	return v
}

func (m *machine) item(in *program.Instr, v *value.Column) value.Column {
	r := in.Args[1]
	n, mark, ok := m.rows(in, r)
	if !ok {
		return m.failed(in.Out, mark)
	}
	keep := make([]int, n)
	marks := make([]value.Mark, n)
	for i := range n {
		mk := m.markAt(r, i)
		if m.usable(mk) {
			x := m.regs[r].Num[m.at(r, i)]
			k := math.Round(x)
			if math.Abs(x-k) > 1e-9*math.Max(1, math.Abs(k)) || k < 1 || k > float64(v.Len()) {
				mk = m.faultIn(in, nil, i, fmt.Sprintf("There is no value number %.6g in a list of %d; they are counted from 1.", x, v.Len()))
			} else {
				keep[i] = int(k) - 1
				mk = m.merge(mk, m.choices(v, keep[i]))
			}
		}
		marks[i] = mk
	}
	if !m.isList(in.Out) {
		if v.Len() == 0 || !m.usable(marks[0]) {
			return m.failed(in.Out, marks[0])
		}
		return m.single1(m.take(v, keep, marks))
	}
	if v.Len() == 0 && n > 0 {
		return m.failed(in.Out, marks[0])
	}
	return withoutRows(m.take(v, keep, marks))
}
