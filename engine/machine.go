package engine

import (
	"fmt"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// machine runs one program over whole columns, with states.
type machine struct {
	j    *Job
	p    *program.Program
	f    *Formula
	regs []value.Column
	told int // rows of this operation whose mistakes and flags were told one by one

	untold value.Mark // of this operation: what its condition says of each row that is not told; 0 where none was met yet

	depth   int        // rows within rows
	telling *telling   // in a run for one row: what was told of the rows
	seen    *sightings // columns that were searched in this run
}

// maxList is the longest list that a formula may make.
const maxList = 10_000_000

// maxText is the longest text that a formula may make, in bytes: a text put into a text twice doubles it.
const maxText = 100_000

// maxTold is for how many rows of one operation the causes are told with their row and its numbers; those of further
// rows say it without. A column of a million mistakes is told no better by a million sentences.
const maxTold = 20

// runWhole runs the program of a cell over whole columns.
func (j *Job) runWhole(pl *plan, f *Formula) value.Column {
	if cap(j.regs) < len(pl.p.Regs) {
		j.regs = make([]value.Column, 2*len(pl.p.Regs))
	}
	m := machine{j: j, p: pl.p, f: f, regs: j.regs[:len(pl.p.Regs)]}
	defer clear(m.regs)
	for i, id := range f.Inputs {
		m.regs[i] = m.load(program.Reg(i), &j.nodes[id])
	}
	for _, c := range pl.consts {
		m.regs[c.Reg] = c.Value
	}
	return m.run(pl)
}

// run carries out a program whose inputs and constants stand in their registers.
func (m *machine) run(pl *plan) value.Column {
	j := m.j
	for _, s := range pl.stages {
		if s.lanes != nil && m.runBlocks(s.lanes) {
			if in := &s.code[len(s.code)-1]; j.steps > j.limit() {
				return m.tooMuch(in)
			}
			continue
		}
		for i := range s.code {
			in := &s.code[i]
			if in.Op == program.Nop {
				continue
			}
			j.steps += m.work(in)
			if j.steps > j.limit() {
				return m.tooMuch(in)
			}
			m.told, m.untold = 0, 0
			m.regs[in.Out] = m.fit(in, m.empty(in, m.do(in)))
		}
	}
	return m.regs[pl.p.Out]
}

// work counts the lanes that an operation looks at. Those that look only where they have to count for themselves.
func (m *machine) work(in *program.Instr) int64 {
	if in.Op == program.FilterEq || in.Op == program.EachRow {
		return 1
	}
	n := 1
	for _, r := range [...]program.Reg{in.A, in.B, in.C} {
		if r >= 0 {
			n = max(n, m.regs[r].Len())
		}
	}
	args := in.Args
	if in.Op == program.Special && m.p.Funcs[in.Aux].Special == catalogue.Only {
		args = args[:1] // the others are looked at where a mistake is told
	}
	for _, r := range args {
		n = max(n, m.regs[r].Len())
	}
	return int64(n)
}

func (m *machine) tooMuch(in *program.Instr) value.Column {
	return m.failed(m.p.Out, m.workFault(in))
}

func (m *machine) workFault(in *program.Instr) value.Mark {
	if m.j.stopped() {
		return m.fault(in, "The work was stopped before this was done.", "")
	}
	return m.fault(in, fmt.Sprintf("This edit takes more than %d steps of work.", m.j.limit()), "Make its lists shorter, or raise the limit.")
}

// load takes an input. A cell that is a mistake as a whole has no rows; where a single is wanted it becomes one row with
// the mark. A cell that was given another sort of value than this formula was read for makes a mistake here.
func (m *machine) load(r program.Reg, n *node) value.Column {
	v := n.value
	switch {
	case !m.usable(v.All) && v.Len() == 0:
		return m.failed(r, v.All)
	case holds(m.p.Regs[r], &v):
		return v
	}
	return m.failed(r, m.j.causes.intern(Cause{State: value.Mistake, Kind: Failure, Cell: m.f.Name, WayOut: "Enter the formula again.",
		Text: fmt.Sprintf("%s is of another sort now than when this formula was read.", n.formula.Name)}))
}

// empty keeps the flags that lie over whole lists with a result that has no row left to bear them: nothing may be left
// because of an assumed limit.
func (m *machine) empty(in *program.Instr, v value.Column) value.Column {
	if !m.isList(in.Out) || v.Len() > 0 || v.All != 0 || in.Op == program.Accept {
		return v
	}
	m.p.Reads(in, func(r program.Reg) {
		if m.isList(r) && m.regs[r].Len() == 0 {
			v.All = m.merge(v.All, m.regs[r].All)
		}
	})
	return v
}

// holds tells whether a column can stand in a register.
func holds(r program.Register, v *value.Column) bool {
	if !r.List && v.Len() != 1 {
		return false
	}
	switch r.Class {
	case program.Num:
		return v.Num != nil
	case program.Text:
		return v.Text != nil
	case program.Obj:
		return v.Obj != nil
	}
	return v.Num == nil && v.Text == nil && v.Obj == nil
}

// fit refuses a result that is not what its register holds, so that no operation meets an empty single value.
func (m *machine) fit(in *program.Instr, v value.Column) value.Column {
	if m.p.Regs[in.Out].List {
		if v.Len() > maxList {
			return m.failed(in.Out, m.fault(in, fmt.Sprintf("A list holds at most %d values; here it would be %d.", maxList, v.Len()), "Make it shorter."))
		}
		return v
	}
	held := 0
	switch m.p.Regs[in.Out].Class {
	case program.Num:
		held = len(v.Num)
	case program.Text:
		held = len(v.Text)
	case program.Obj:
		held = len(v.Obj)
	case program.Record:
		held = v.Len()
	}
	if held != 1 {
		return m.failed(in.Out, m.fault(in, "This gives no single value where one is wanted.", ""))
	}
	return v
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

// failed makes a result for a register that cannot be used as a whole.
func (m *machine) failed(r program.Reg, mark value.Mark) value.Column {
	if m.p.Regs[r].List {
		return value.Column{All: mark}
	}
	return m.single(r, mark)
}

// fault interns a mistake at the place of an operation.
func (m *machine) fault(in *program.Instr, text, wayOut string) value.Mark {
	return m.cause(in, Cause{State: value.Mistake, Kind: Failure, Text: text, WayOut: wayOut})
}

func (m *machine) cause(in *program.Instr, x Cause) value.Mark {
	x.Cell = m.f.Name
	if int(in.Place) < len(m.f.Places) {
		x.Place = m.f.Places[in.Place]
	}
	return m.j.causes.intern(x)
}

// rowNumber gives the row, from 1, that a cause in row i of a result tells: 0 in a single value, and where enough rows
// were told.
func (m *machine) rowNumber(in *program.Instr, rows []int32, i int) int {
	if !m.isList(in.Out) || m.told >= maxTold || !m.telling.ofLists() {
		return 0
	}
	m.told++
	m.j.mostTold = max(m.j.mostTold, m.told)
	if rows != nil {
		return int(rows[i]) + 1
	}
	return i + 1
}

// faultIn interns a mistake of row i of a result.
func (m *machine) faultIn(in *program.Instr, rows []int32, i int, text string) value.Mark {
	return m.cause(in, Cause{State: value.Mistake, Kind: Failure, Text: text, Row: m.rowNumber(in, rows, i)})
}

func (m *machine) isList(r program.Reg) bool { return r >= 0 && m.p.Regs[r].List }

// broken tells whether a register is a list without rows to look at: a mistake, or open, as a whole.
func (m *machine) broken(r program.Reg) bool {
	return m.isList(r) && !m.usable(m.regs[r].All)
}

func (m *machine) usable(mark value.Mark) bool { return m.j.causes.usable(mark) }

func (m *machine) merge(a, b value.Mark) value.Mark { return m.j.causes.merge(a, b) }

// rows gives how many rows an operation over registers has. Lists of different lengths do not go together; a list that
// cannot be used as a whole makes the result one.
func (m *machine) rows(in *program.Instr, regs ...program.Reg) (n int, mark value.Mark, ok bool) {
	for _, r := range regs {
		if m.broken(r) {
			mark = m.merge(mark, m.regs[r].All)
		}
	}
	if mark != 0 {
		return 0, mark, false
	}
	return m.rowsOfUsable(in, regs...)
}

// rowsOfUsable is as rows, and leaves out the lists that cannot be used, for operations that may not look at them.
func (m *machine) rowsOfUsable(in *program.Instr, regs ...program.Reg) (n int, mark value.Mark, ok bool) {
	n = -1
	for _, r := range regs {
		if !m.isList(r) {
			continue
		}
		if m.broken(r) {
			mark = m.merge(mark, m.regs[r].All)
			continue
		}
		if k := m.regs[r].Len(); n >= 0 && k != n {
			text := fmt.Sprintf("A list of %d and a list of %d do not go together row by row.", n, k)
			return 0, m.fault(in, text, "Give both lists as many values."), false
		}
		n = m.regs[r].Len()
	}
	if n < 0 && mark != 0 {
		return 0, mark, false
	}
	if n < 0 {
		n = 1
	}
	return n, 0, true
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
	if k := m.at(r, i); k < len(v.Marks) {
		mark = m.merge(mark, v.Marks[k])
	}
	if !m.isList(r) {
		for f := range v.Fields {
			mark = m.merge(mark, m.j.worst(&v.Fields[f]))
		}
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

// blank makes a column of n rows for a register; a record has no fields yet.
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

// pick copies row k of a register to row i of a result, where there is such a row.
func pick(out *value.Column, i int, v *value.Column, k int) {
	switch {
	case out.Num != nil && k < len(v.Num):
		out.Num[i] = v.Num[k]
	case out.Text != nil && k < len(v.Text):
		out.Text[i] = v.Text[k]
	case out.Obj != nil && k < len(v.Obj):
		out.Obj[i] = v.Obj[k]
	}
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
		return m.remark(m.regs[in.A], func(mark value.Mark) value.Mark {
			return m.j.causes.without(mark, m.p.Accepts[in.Aux].Causes)
		})
	case program.Assumed:
		name := m.p.Words[in.Aux]
		flag := m.cause(in, Cause{State: value.Flagged, Kind: Assumption, Name: name, Text: fmt.Sprintf("Rests on the assumed value of %s.", name)})
		return m.remark(m.regs[in.A], func(mark value.Mark) value.Mark { return m.merge(mark, flag) })
	case program.OpenAsk:
		name := m.p.Words[in.Aux]
		return m.failed(in.Out, m.cause(in, Cause{State: value.Open, Kind: Waiting, Name: name, Text: fmt.Sprintf("Waits for %s.", name)}))
	case program.Fail:
		return m.failed(in.Out, m.fault(in, m.p.Words[in.Aux], ""))
	case program.Join:
		return m.join(in)
	case program.Same:
		return m.regs[in.A]
	case program.AsLong:
		return m.asLong(in)
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
	case program.Spread:
		return m.spreadOver(in)
	case program.Scatter:
		return m.scatter(in)
	case program.Running:
		return m.running(in)
	case program.Before:
		return m.before(in)
	case program.Steps:
		return m.steps(in)
	case program.FilterEq:
		return m.filterEq(in)
	case program.EachRow:
		return m.eachRow(in)
	}
	return m.failed(in.Out, m.fault(in, "This operation is not known.", ""))
}

// remark gives a column with every mark changed. A mark over the whole of a record is that of each field.
func (m *machine) remark(v value.Column, change func(value.Mark) value.Mark) value.Column {
	out := v
	n := v.Len()
	out.Marks, out.All = nil, 0
	if v.All != 0 || n == 0 {
		out.All = change(v.All)
	}
	if v.Fields == nil || v.Marks != nil {
		for i := range n {
			setMark(&out, n, i, change(v.Mark(i)))
		}
	}
	if v.Fields == nil {
		return out
	}
	out.Fields = make([]value.Column, len(v.Fields))
	for f := range v.Fields {
		out.Fields[f] = m.remark(v.Fields[f], change)
	}
	return out
}
