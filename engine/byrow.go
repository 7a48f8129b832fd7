package engine

import (
	"slices"

	"castwright/lang/program"
	"castwright/lang/value"
)

// byRow brings a cell up to date by a run for the rows whose inputs changed, or, where its value is a single one, with
// the parts of its sums that it keeps. The result is what a whole run gives, to the last bit. Where that is not sure it
// is not done, and the cell has to run whole.
func (j *Job) byRow(id ID, n *node) (changed, done bool) {
	if n.plan == nil || n.plan.fast || !n.known {
		return false, false
	}
	rp := n.plan.rowPlan()
	if rp == nil || n.tracks != nil && n.tracks.told > rp.mayTell() {
		return false, false
	}
	rows, ok := j.rowsToRun(n, rp)
	if !ok || !j.confined(n, rp) {
		return false, false
	}
	n.track()
	if cap(j.rowRegs) < len(rp.p.Regs) {
		j.rowRegs = make([]value.Column, 2*len(rp.p.Regs))
	}
	m := machine{j: j, p: rp.p, f: &n.formula, regs: j.rowRegs[:len(rp.p.Regs)]}
	defer clear(m.regs)
	if !m.loadRows(rp, rows) {
		return false, false
	}
	j.mostTold = 0
	if !m.runRows(n.tracks, rp, rows) || n.tracks.told+j.mostTold > rp.mayTell() {
		return false, false
	}
	n.tracks.told += j.mostTold
	return j.takeRows(id, n, &m.regs[rp.p.Out], rows)
}

// takeRows brings the result of a run for a few rows into the value of its cell.
func (j *Job) takeRows(id ID, n *node, v *value.Column, rows []int32) (changed, done bool) {
	if !n.isList() {
		if j.LogRows != nil {
			j.LogRows(id, 0)
		}
		if v.Equal(&n.value) {
			return false, true
		}
		j.tellBefore(id, n)
		n.value, n.mark = *v, j.worst(v)
		return true, true
	}
	if v.Len() != len(rows) || !sameShape(&n.value, v) {
		return false, false
	}
	if j.LogRows != nil {
		j.LogRows(id, len(rows))
	}
	j.keep(id, n, v, rows)
	return len(n.tracks.rows) > 0, true
}

// rowsToRun gives the rows for which a cell has to run: those that changed in a list that it reads row by row. False
// where they are too many, or where all changed.
func (j *Job) rowsToRun(n *node, rp *rowPlan) ([]int32, bool) {
	for k, id := range n.formula.Inputs {
		if in := &j.nodes[id]; in.moved && rp.p.Regs[k].List {
			if _, ok := in.rowsMoved(); !ok {
				return nil, false
			}
		}
	}
	if !n.isList() {
		return nil, true
	}
	rows, several := j.rows[:0], false
	for _, r := range rp.gathered {
		if int(r) >= len(n.formula.Inputs) {
			continue
		}
		if in := &j.nodes[n.formula.Inputs[r]]; in.moved {
			several = several || len(rows) > 0
			rows = append(rows, in.tracks.rows...)
		}
	}
	if several {
		slices.Sort(rows)
		rows = slices.Compact(rows)
	}
	j.rows = rows
	all := n.value.Len()
	if len(rows) > maxRows || len(rows) > 2 && len(rows) > all/4 {
		return nil, false
	}
	if len(rows) == 1 && all > 1 { // what is told of a row can depend on whether it is the only one: another keeps it company
		if rows[0] == 0 {
			rows = append(rows, 1)
		} else {
			rows = append(rows[:0], rows[0]-1, rows[0])
		}
		j.rows = rows
	}
	return rows, true
}

// confined tells whether what changed reaches only the rows that changed: no row by row operation may read a single
// value, or the whole of a list, that changed.
func (j *Job) confined(n *node, rp *rowPlan) bool {
	if cap(j.flags) < len(rp.p.Regs) {
		j.flags = make([]bool, 2*len(rp.p.Regs))
	}
	moved := j.flags[:len(rp.p.Regs)]
	clear(moved)
	for k, id := range n.formula.Inputs {
		moved[k] = !rp.p.Regs[k].List && j.nodes[id].moved
	}
	for _, w := range rp.wholes {
		if int(w.list) < len(n.formula.Inputs) {
			moved[w.whole] = j.nodes[n.formula.Inputs[w.list]].moved
		}
	}
	for i := range rp.code {
		in := &rp.code[i]
		any := false
		rp.p.Reads(in, func(r program.Reg) { any = any || moved[r] })
		if any && rp.p.Regs[in.Out].List && !rp.view(in) {
			return false
		}
		moved[in.Out] = any
	}
	return true
}

// loadRows fills the registers: single values and whole lists as they are, of the others the rows. False where lists are
// not of one length, or were filtered.
func (m *machine) loadRows(rp *rowPlan, rows []int32) bool {
	for k, id := range m.f.Inputs {
		m.regs[k] = m.load(program.Reg(k), &m.j.nodes[id])
	}
	for _, c := range rp.consts {
		m.regs[c.Reg] = c.Value
	}
	for _, w := range rp.wholes {
		m.regs[w.whole] = m.regs[w.list]
	}
	length := -1
	for _, r := range rp.gathered {
		v := &m.regs[r]
		if v.Len() == 0 && !m.usable(v.All) {
			continue
		}
		if length < 0 {
			length = v.Len()
		}
		if v.Len() != length || !unfiltered(v, length) {
			return false
		}
		if len(rows) > 0 && int(rows[len(rows)-1]) >= length {
			return false
		}
		m.regs[r] = gather(v, rows)
	}
	return true
}

// unfiltered tells whether a column has all rows that it ever had, in each field.
func unfiltered(v *value.Column, n int) bool {
	if v.Rows != nil || v.Len() != n {
		return false
	}
	for f := range v.Fields {
		if !unfiltered(&v.Fields[f], n) {
			return false
		}
	}
	return true
}

// runRows runs a program for rows; false where the work is too much, or where a list comes out with other rows.
func (m *machine) runRows(t *tracks, rp *rowPlan, rows []int32) bool {
	for i := range rp.code {
		in := &rp.code[i]
		if v, ok := m.sumByRow(t, rp, i); ok {
			m.regs[in.Out] = v
			m.j.steps++
			continue
		}
		if !rp.view(in) {
			m.j.steps += m.work(in)
		}
		if m.j.steps > m.j.limit() {
			return false
		}
		m.told, m.untold = 0, 0
		var v value.Column
		if in.Op == program.Scatter {
			v = m.scatterRows(in, rows)
		} else {
			v = m.do(in)
		}
		v = m.fit(in, m.empty(in, v))
		if m.p.Regs[in.Out].List && !rp.view(in) && (v.Len() != 0 || m.usable(v.All)) {
			if v.Len() != len(rows) {
				return false
			}
			v.Rows = rows
		}
		m.regs[in.Out] = v
	}
	return true
}

// scatterRows puts single values into their rows of a list of which a few rows are here, as the whole operation does.
func (m *machine) scatterRows(in *program.Instr, rows []int32) value.Column {
	few := *in
	few.Args = nil
	var here []int32
	for k, row := range m.p.Loops[in.Aux].At {
		if i, found := slices.BinarySearch(rows, row); found {
			few.Args = append(few.Args, in.Args[k])
			here = append(here, int32(i))
		}
	}
	return m.scatterAt(&few, here)
}
