package engine

import (
	"encoding/binary"
	"fmt"
	"math"

	"castwright/lang/program"
	"castwright/lang/value"
)

// maxNested is how deep rows may be worked out within rows.
const maxNested = 100

// nest is what the runs at one depth of rows within rows share, so that they allocate nothing of it once warm.
type nest struct {
	regs    []value.Column
	frame   []float64
	lists   []program.Reg
	columns []rowInput
	key     []byte
	memo    map[string]int32
}

// rowInput is an input of the quick way that differs from row to row.
type rowInput struct {
	at    int // its register inside
	nums  []float64
	marks []value.Mark
	step  int // 0 where one value serves for all rows
}

// telling counts what was told of rows one by one, over all depths, as maxTold bounds it.
type telling struct{ mistakes, flags, lists int }

// ofLists tells whether a row of a list within a row may still be told.
func (t *telling) ofLists() bool {
	if t == nil {
		return true
	}
	t.lists++
	return t.lists <= maxTold
}

// tells tells whether the sentence of a condition over a single value gives its numbers: in a run for one row only for
// the first rows, or a million rows would have a million sentences.
func (m *machine) tells(in *program.Instr) bool {
	switch {
	case m.isList(in.Out):
		return false
	case m.telling == nil:
		return true
	case in.Op == program.Hold:
		m.telling.flags++
		return m.telling.flags <= maxTold
	}
	return m.telling.mistakes < maxTold
}

// planLoops plans the programs that a program runs once a row.
func (j *Job) planLoops(pl *plan) {
	for i := range pl.p.Loops {
		if p := pl.p.Loops[i].Program; p != nil {
			inner := j.plan(p)
			inner.users++
			pl.loops = append(pl.loops, inner)
		}
	}
}

func (j *Job) freeLoops(pl *plan) {
	for _, inner := range pl.loops {
		j.free(inner)
	}
}

// nestOf gives what the runs at a depth share, with room for a program.
func (j *Job) nestOf(depth int, pl *plan) *nest {
	for len(j.nests) <= depth {
		j.nests = append(j.nests, &nest{})
	}
	s, n := j.nests[depth], len(pl.p.Regs)
	if cap(s.regs) < n {
		s.regs = make([]value.Column, 2*n)
	}
	if cap(s.frame) < n {
		s.frame = make([]float64, 2*n)
	}
	s.regs, s.frame = s.regs[:n], s.frame[:n]
	return s
}

// each is one operation that runs a program once for each row.
type each struct {
	outer *machine
	in    *program.Instr
	loop  *program.Loop
	pl    *plan
	nest  *nest
	inner machine
	n     int
	out   value.Column

	quick  bool         // single numbers throughout, as far as rows have no mark
	above  value.Column // the result of the row above
	last   float64      // the same, where it is a number without a mark: then `above` is not looked at
	isLast bool
	memo   map[string]int32 // by the inputs of a row, a row that had the same; nil where it is not used
	found  int              // rows that were found in it
}

// eachRow runs a program once for each row of the lists that it takes row by row.
func (m *machine) eachRow(in *program.Instr) value.Column {
	l := &m.p.Loops[in.Aux]
	pl := m.j.plans[l.Program]
	switch {
	case pl == nil || pl.p.Inputs != len(in.Args) || len(l.Row) != len(in.Args) || l.Self >= len(in.Args):
		return m.failed(in.Out, m.fault(in, "This operation is not known.", ""))
	case pl.p.Regs[pl.p.Out].List:
		return m.failed(in.Out, m.fault(in, "This gives a list where one value is wanted for each row.", ""))
	case m.depth >= maxNested:
		return m.failed(in.Out, m.fault(in, fmt.Sprintf("Rows are worked out within rows at most %d deep.", maxNested), ""))
	}
	s := m.j.nestOf(m.depth, pl)
	s.lists = s.lists[:0]
	for k, r := range in.Args {
		if l.Row[k] && k != l.Self {
			s.lists = append(s.lists, r)
		}
	}
	n, mark, ok := m.rows(in, s.lists...)
	if !ok {
		return m.failed(in.Out, mark)
	}
	if m.seen == nil { // one for all rows
		m.seen = &sightings{}
	}
	e := each{outer: m, in: in, loop: l, pl: pl, nest: s, n: n, out: m.blank(in.Out, n)}
	e.out.Rows = m.rowsOf(s.lists...)
	e.begin()
	done := e.rows()
	s.forget()
	m.j.mostTold = max(m.j.mostTold, e.inner.telling.mistakes, e.inner.telling.flags, e.inner.telling.lists)
	if !done {
		return m.failed(in.Out, m.workFault(in))
	}
	return e.out
}

// begin loads what is the same for all rows.
func (e *each) begin() {
	m := e.outer
	e.inner = machine{j: m.j, p: e.pl.p, f: m.f, regs: e.nest.regs, depth: m.depth + 1, telling: m.telling, seen: m.seen}
	if e.inner.telling == nil {
		e.inner.telling = &telling{}
	}
	for _, c := range e.pl.consts {
		e.nest.regs[c.Reg] = c.Value
	}
	for k, r := range e.in.Args {
		if !e.loop.Row[k] && k != e.loop.Self {
			e.nest.regs[k] = m.regs[r]
		}
	}
	if k := e.loop.Self; k >= 0 {
		e.lend(m.regs[e.in.Args[k]])
	}
	e.quick = e.pl.fast && m.p.Regs[e.in.Out].Class == program.Num && e.beginQuick()
	if !e.quick && e.loop.Self < 0 && e.n > 1 && e.remembers() {
		if e.nest.memo == nil {
			e.nest.memo = map[string]int32{}
		}
		e.memo = e.nest.memo
	}
}

// beginQuick loads the frame of the quick way; false where an input is marked for all rows.
func (e *each) beginQuick() bool {
	m, s := e.outer, e.nest
	copy(s.frame, e.pl.init)
	s.columns = s.columns[:0]
	for k, r := range e.in.Args {
		v := &m.regs[r]
		switch {
		case k == e.loop.Self:
		case v.All != 0 || v.Num == nil:
			return false
		case e.loop.Row[k]:
			s.columns = append(s.columns, rowInput{k, v.Num, v.Marks, m.at(r, 1)})
		case len(v.Num) != 1 || v.Mark(0) != 0:
			return false
		default:
			s.frame[k] = v.Num[0]
		}
	}
	return true
}

// rows goes through the rows; false where the work is more than is allowed.
func (e *each) rows() bool {
	j := e.outer.j
	limit := j.limit()
	for i := range e.n {
		if !e.quick || !e.runQuick(i) {
			e.runRow(i)
		}
		if j.steps > limit {
			return false
		}
	}
	return true
}

// forget empties what the runs at this depth share.
func (s *nest) forget() {
	clear(s.regs)
	clear(s.columns)
	if len(s.memo) > 1000 {
		s.memo = nil // a large one costs more to empty than to make anew
	}
	clear(s.memo)
}

// runQuick runs the program for one row over the frame of floats. It gives up, so that the machine that knows of states
// runs it, where an input has a mark or a result is not finite.
func (e *each) runQuick(i int) bool {
	f := e.nest.frame
	for k := range e.nest.columns {
		c := &e.nest.columns[k]
		at := i * c.step
		if c.marks != nil && c.marks[at] != 0 {
			return false
		}
		f[c.at] = c.nums[at]
	}
	if self := e.loop.Self; self >= 0 {
		if !e.isLast {
			return false
		}
		f[self] = e.last
	}
	e.outer.j.steps += int64(len(e.pl.code)) + 1
	if !step(e.pl, f) {
		return false
	}
	x := f[e.pl.p.Out]
	e.out.Num[i], e.last, e.isLast = x, x, true
	return true
}

// runRow runs the program for one row on the machine that knows of states, or takes the result of a row that had the
// same inputs.
func (e *each) runRow(i int) {
	m := e.outer
	m.j.steps++
	key, found := e.recall(i)
	if found {
		return
	}
	perhaps := value.Mark(0)
	for k, r := range e.in.Args {
		if e.loop.Row[k] && k != e.loop.Self {
			e.nest.regs[k] = m.rowAt(&m.regs[r], m.at(r, i))
			if m.marked(r) {
				perhaps = m.merge(perhaps, m.j.causes.choice(m.markAt(r, i)))
			}
		}
	}
	if k := e.loop.Self; k >= 0 {
		e.nest.regs[k] = e.above
		if e.isLast {
			e.nest.regs[k] = value.One(e.last)
		}
	}
	inner := e.inner.run(e.pl)
	if m.j.worst(&inner) != 0 { // whether a `where` in the row takes a row of its own says nothing of the row itself
		inner = m.remark(inner, m.j.causes.sure)
	}
	v, mistake := e.named(inner, i)
	m.gather(&e.out, e.n, i, &v)
	setMark(&e.out, e.n, i, m.merge(e.out.Mark(i), perhaps))
	switch {
	case e.loop.Self >= 0:
		e.lend(v)
	case e.memo != nil && key != nil && !mistake && len(e.memo) < maxRemembered:
		e.memo[string(key)] = int32(i)
	}
}

// named names the row in mistakes that arose in it, for the first rows that have some; it tells whether there are any.
func (e *each) named(v value.Column, i int) (value.Column, bool) {
	m, t := e.outer, e.inner.telling
	if m.j.causes.state(m.j.worst(&v)) != value.Mistake {
		return v, false
	}
	if t.mistakes >= maxTold {
		return v, true
	}
	changed := false
	v = m.remark(v, func(mk value.Mark) value.Mark {
		in := m.j.causes.inRow(mk, m.f.Name, e.out.Row(i)+1)
		changed = changed || in != mk
		return in
	})
	if changed {
		t.mistakes++
	}
	return v, true
}

// lend keeps the result of a row for the row below.
func (e *each) lend(v value.Column) {
	e.isLast = len(v.Num) == 1 && v.All == 0 && v.Mark(0) == 0
	if e.isLast {
		e.last = v.Num[0]
		return
	}
	e.above = v
	if e.outer.j.worst(&v) != 0 {
		e.above = e.outer.remark(v, e.outer.carried)
	}
}

// rowAt gives one row of a column as a single value, without copying what it holds.
func (m *machine) rowAt(v *value.Column, i int) value.Column {
	out := value.Column{N: 1}
	mk := v.Mark(i)
	switch {
	case v.Num != nil:
		out.Num = v.Num[i : i+1 : i+1]
	case v.Text != nil:
		out.Text = v.Text[i : i+1 : i+1]
	case v.Obj != nil:
		out.Obj = v.Obj[i : i+1 : i+1]
	case v.Fields == nil: // a record that holds nothing but a mark
		out.All = m.merge(v.All, mk)
	default:
		out.All = v.All
	}
	if out.All == 0 {
		mk = m.merge(v.All, mk)
	}
	setMark(&out, 1, 0, mk)
	if v.Fields != nil {
		out.Fields = make([]value.Column, len(v.Fields))
		for f := range v.Fields {
			out.Fields[f] = m.rowAt(&v.Fields[f], i)
		}
	}
	return out
}

// gather puts a single value into row i of a column of n rows; of a record, each field.
func (m *machine) gather(out *value.Column, n, i int, v *value.Column) {
	pick(out, i, v, 0)
	setMark(out, n, i, m.merge(v.All, v.Mark(0)))
	for f := range v.Fields {
		if f == len(out.Fields) {
			out.Fields = append(out.Fields, emptyLike(&v.Fields[f], n))
		}
		m.gather(&out.Fields[f], n, i, &v.Fields[f])
	}
}

// Rows that have the same inputs have the same result. It pays to remember them where there are fewer kinds of rows than
// rows, as in totals by a key: to look one up costs far less than to work one out.
const (
	maxRemembered = 100_000 // rows that are remembered; then it must have paid, or they are forgotten
	maxKey        = 256     // the longest inputs that are, in bytes
)

// remembers tells whether the inputs that differ from row to row can be compared: numbers and texts.
func (e *each) remembers() bool {
	for _, r := range e.nest.lists {
		if c := e.outer.p.Regs[r].Class; c != program.Num && c != program.Text {
			return false
		}
	}
	return true
}

// recall takes the result of an earlier row that had the same inputs. Else it gives the key under which this one can be
// remembered, nil where it is too long.
func (e *each) recall(i int) (key []byte, found bool) {
	if e.memo == nil {
		return nil, false
	}
	if len(e.memo) == maxRemembered && e.found < maxRemembered/4 {
		e.memo = nil
		return nil, false
	}
	key = e.keyOf(i)
	if len(key) > maxKey {
		return nil, false
	}
	if k, ok := e.memo[string(key)]; ok {
		e.found++
		repeat(&e.out, e.n, i, int(k))
		return nil, true
	}
	return key, false
}

// keyOf writes the inputs of a row down, with their marks.
func (e *each) keyOf(i int) []byte {
	key := e.nest.key[:0]
	for _, r := range e.nest.lists {
		v, at := &e.outer.regs[r], e.outer.at(r, i)
		if v.Num != nil {
			key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v.Num[at]))
		} else if at < len(v.Text) {
			key = binary.AppendUvarint(key, uint64(len(v.Text[at])))
			key = append(key, v.Text[at]...)
		}
		key = binary.LittleEndian.AppendUint32(key, uint32(v.Mark(at)))
		if len(key) > maxKey {
			break
		}
	}
	e.nest.key = key
	return key
}

// repeat copies row k of a column to row i.
func repeat(v *value.Column, n, i, k int) {
	pick(v, i, v, k)
	setMark(v, n, i, v.Mark(k))
	for f := range v.Fields {
		repeat(&v.Fields[f], n, i, k)
	}
}
