package engine

import (
	"fmt"
	"math"
	"slices"

	"castwright/lang/program"
	"castwright/lang/value"
)

// maxRows is how many changed rows of a column are told one by one; where more changed, the whole column counts as
// changed.
const maxRows = 1024

// tracks is what a cell that holds a list, or adds one up, keeps from one edit to the next so that it can be worked out
// again for a few rows only.
type tracks struct {
	rows   []int32              // the rows that changed in the edit under way, rising; none where all did
	sums   []*sumTree           // for each sum of its program
	counts map[value.Mark]int32 // how many rows have a mark, by mark; nil where it was not needed yet
	told   int                  // at most so many rows of one operation had their mistakes told one by one
}

func (n *node) track() *tracks {
	if n.tracks == nil {
		n.tracks = &tracks{}
	}
	return n.tracks
}

// settle puts rows in order. Too many are as good as all.
func (t *tracks) settle() {
	slices.Sort(t.rows)
	t.rows = slices.Compact(t.rows)
	if len(t.rows) > maxRows {
		t.rows = t.rows[:0]
	}
}

// rowsMoved gives the rows of a cell that changed in the edit under way; false where all did.
func (n *node) rowsMoved() ([]int32, bool) {
	if n.tracks == nil || len(n.tracks.rows) == 0 {
		return nil, false
	}
	return n.tracks.rows, true
}

// isList tells whether the cell holds a list, as its formula has it.
func (n *node) isList() bool {
	return n.formula.Data != nil || n.plan != nil && n.plan.p.Regs[n.plan.p.Out].List
}

// sameShape tells whether rows of one column can stand in another: they hold the same, with the same marks over the
// whole, and none was filtered.
func sameShape(a, b *value.Column) bool {
	if (a.Num == nil) != (b.Num == nil) || (a.Text == nil) != (b.Text == nil) || (a.Obj == nil) != (b.Obj == nil) ||
		len(a.Fields) != len(b.Fields) || a.All != b.All || a.Rows != nil {
		return false
	}
	for f := range a.Fields {
		if !sameShape(&a.Fields[f], &b.Fields[f]) || a.Fields[f].Len() != a.Len() || b.Fields[f].Len() != b.Len() {
			return false
		}
	}
	return true
}

// changedRows appends the rows in which two columns of one shape differ; false where it cannot tell, or where more
// differ than are told.
func changedRows(rows []int32, a, b *value.Column) ([]int32, bool) {
	if a.Len() != b.Len() || !sameShape(a, b) || !sameShape(b, a) {
		return rows, false
	}
	plain := a.Num != nil && a.Marks == nil && b.Marks == nil && a.Fields == nil
	for i := range a.Len() {
		if plain && sameBits(a.Num[i], b.Num[i]) || !plain && sameRow(a, i, b, i) {
			continue
		}
		if len(rows) == maxRows {
			return rows[:0], false
		}
		rows = append(rows, int32(i))
	}
	return rows, true
}

// sameRow tells whether a row of one column is that of another of its shape, its marks too.
func sameRow(a *value.Column, i int, b *value.Column, k int) bool {
	if a.Mark(i) != b.Mark(k) || !sameCell(a, i, b, k) {
		return false
	}
	for f := range a.Fields {
		if !sameRow(&a.Fields[f], i, &b.Fields[f], k) {
			return false
		}
	}
	return true
}

// keep puts rows of a result into the value of a cell, and the rows that changed by it into what the cell tells.
func (j *Job) keep(id ID, n *node, v *value.Column, rows []int32) {
	t := n.track()
	remarked := false
	for i, r := range rows {
		if sameRow(&n.value, int(r), v, i) {
			continue
		}
		if len(t.rows) == 0 {
			j.tellBefore(id, n)
		}
		t.rows = append(t.rows, r)
		remarked = j.keepRow(n, &n.value, int(r), v, i) || remarked
	}
	if !remarked {
		return
	}
	if len(t.counts) == 0 {
		stripMarks(&n.value)
	}
	n.mark = j.worstCounted(&n.value, t.counts)
}

// keepRow copies row k of a result to row i of a value, field by field; true where a mark changed.
func (j *Job) keepRow(n *node, to *value.Column, i int, v *value.Column, k int) bool {
	if !sameCell(to, i, v, k) {
		pick(to, i, v, k)
	}
	remarked := false
	if old, mk := to.Mark(i), v.Mark(k); old != mk {
		t := n.tracks
		if t.counts == nil {
			t.counts = map[value.Mark]int32{}
			countMarks(t.counts, &n.value)
		}
		recount(t.counts, old, mk)
		if to.Marks == nil {
			to.Marks = make([]value.Mark, to.Len())
		}
		to.Marks[i] = mk
		remarked = true
	}
	for f := range to.Fields {
		remarked = j.keepRow(n, &to.Fields[f], i, &v.Fields[f], k) || remarked
	}
	return remarked
}

func recount(counts map[value.Mark]int32, old, mk value.Mark) {
	if old != 0 {
		if counts[old]--; counts[old] == 0 {
			delete(counts, old)
		}
	}
	if mk != 0 {
		counts[mk]++
	}
}

func countMarks(counts map[value.Mark]int32, v *value.Column) {
	for _, mk := range v.Marks {
		if mk != 0 {
			counts[mk]++
		}
	}
	for f := range v.Fields {
		countMarks(counts, &v.Fields[f])
	}
}

func stripMarks(v *value.Column) {
	v.Marks = nil
	for f := range v.Fields {
		stripMarks(&v.Fields[f])
	}
}

// worstCounted joins the marks of all rows without a look at the rows.
func (j *Job) worstCounted(v *value.Column, counts map[value.Mark]int32) value.Mark {
	u := union{c: j.causes}
	addWhole(&u, v)
	for mk := range counts {
		u.add(mk)
	}
	return u.mark()
}

func addWhole(u *union, v *value.Column) {
	u.add(v.All)
	for f := range v.Fields {
		addWhole(u, &v.Fields[f])
	}
}

// checkTracks tells where what a cell keeps is not what its value and its inputs say.
func (j *Job) checkTracks(id ID, n *node) error {
	if n.moved || n.renewed {
		return fmt.Errorf("cell %d is left as changed", id)
	}
	t := n.tracks
	if t == nil {
		return nil
	}
	if len(t.rows) > 0 {
		return fmt.Errorf("cell %d is left with rows that changed", id)
	}
	if t.counts != nil {
		counts := map[value.Mark]int32{}
		countMarks(counts, &n.value)
		for mk, k := range t.counts {
			if counts[mk] != k {
				return fmt.Errorf("cell %d counts %d rows of a mark that has %d", id, k, counts[mk])
			}
		}
		if len(counts) != len(t.counts) {
			return fmt.Errorf("cell %d counts %d marks of %d", id, len(t.counts), len(counts))
		}
	}
	return j.checkSums(id, n)
}

// checkSums makes the tree of each sum anew, by the whole run of the program up to it.
func (j *Job) checkSums(id ID, n *node) error {
	if len(n.tracks.sums) == 0 {
		return nil
	}
	if n.plan == nil || n.plan.rows == nil {
		return fmt.Errorf("cell %d keeps sums that its program does not have", id)
	}
	rp := n.plan.rows
	m := machine{j: j, p: rp.p, f: &n.formula, regs: make([]value.Column, len(rp.p.Regs))}
	m.loadRows(rp, nil)
	for i := range rp.code {
		in := &rp.code[i]
		if rp.view(in) {
			m.regs[in.Out] = m.do(in)
		}
		k := rp.sums[i]
		if k < 0 || int(k) >= len(n.tracks.sums) || n.tracks.sums[k] == nil {
			continue
		}
		kept, fresh := n.tracks.sums[k], newSumTree(m.regs[in.Args[0]].Num)
		if kept.n != fresh.n || !slices.EqualFunc(kept.sums, fresh.sums, sameBits) || !sameBits(fresh.sums[1], total(m.regs[in.Args[0]].Num)) {
			return fmt.Errorf("cell %d keeps a sum that is not that of its column", id)
		}
	}
	return nil
}

func sameBits(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) }

// shares tells for a program whether its result may share storage with its inputs or its constants. Such a result is
// copied, so that a row of a cell can be set in place without a change of another.
func shares(p *program.Program, pl *plan) bool {
	if !p.Regs[p.Out].List {
		return false
	}
	lent := make([]bool, len(p.Regs))
	for r := range p.Inputs {
		lent[r] = p.Regs[r].List
	}
	for _, c := range pl.consts {
		lent[c.Reg] = p.Regs[c.Reg].List
	}
	for i := range pl.code {
		in := &pl.code[i]
		if lends(in.Op) {
			p.Reads(in, func(r program.Reg) { lent[in.Out] = lent[in.Out] || lent[r] })
		}
	}
	return lent[p.Out]
}

// lends tells the operations whose result may be a part of an operand.
func lends(op program.Op) bool {
	switch op {
	case program.Same, program.AsLong, program.GetField, program.MakeRows, program.If, program.Otherwise, program.Accept, program.Assumed, program.Need,
		program.Hold, program.Call:
		return true
	}
	return false
}
