package engine

import (
	"cmp"
	"slices"
	"sort"

	"castwright/lang/program"
	"castwright/lang/value"
)

// filterEq keeps the rows of A where the column B equals the single C, as Filter over Eq or TextEq does. A column that
// is searched again and again in one run gets an index.
func (m *machine) filterEq(in *program.Instr) value.Column {
	a, b := &m.regs[in.A], &m.regs[in.B]
	for _, r := range [...]program.Reg{in.A, in.B} {
		if m.broken(r) {
			return m.failed(in.Out, m.regs[r].All)
		}
	}
	if ix := m.indexOf(in, b); ix != nil {
		if keep, ok := rowsIn(a, b, ix.find(&m.regs[in.C])); ok {
			m.j.steps += int64(len(keep)) + 1
			return m.take(a, keep, nil)
		}
	}
	m.j.steps += 2 * int64(max(a.Len(), b.Len()))
	eq := program.Instr{Op: program.Eq, Out: in.Out, A: in.B, B: in.C, C: program.None, Place: in.Place}
	cond := value.Column{}
	switch m.p.Regs[in.B].Class {
	case program.Num:
		cond = m.numbers(&eq)
	case program.Text:
		eq.Op = program.TextEq
		cond = m.texts(&eq)
	default:
		return m.failed(in.Out, m.fault(in, "Only numbers and texts can be compared here.", ""))
	}
	cond = m.empty(&eq, cond)
	if !m.usable(cond.All) {
		return m.failed(in.Out, cond.All)
	}
	return m.filterBy(in, a, &cond)
}

// rowsIn gives the rows of a that belong to rows of b, rising: a column of the same length goes side by side, one that
// was filtered by the numbers of its rows. b holds all rows.
func rowsIn(a, b *value.Column, found []int) (keep []int, ok bool) {
	n := a.Len()
	switch {
	case n == b.Len():
		return found, true
	case a.Rows == nil || n > 0 && a.Row(n-1) >= b.Len():
		return nil, false
	}
	from := 0
	for _, row := range found {
		from += sort.Search(n-from, func(k int) bool { return int(a.Rows[from+k]) >= row })
		if from < n && int(a.Rows[from]) == row {
			keep = append(keep, from)
		}
	}
	return keep, true
}

// sightings are the columns that were searched in one run of a program. A column that is met a second time gets its
// index: for one that is searched once it would not pay.
type sightings struct {
	list  []sighting
	clock int
}

// sighting holds on to its column, so that no other comes to lie at the same place in the meantime.
type sighting struct {
	nums  []float64
	texts []string
	index *index
	last  int
}

// maxSightings is how many columns are watched; the one that was not searched for longest goes first.
const maxSightings = 16

func sameStart[T any](a, b []T) bool {
	return len(a) == len(b) && len(a) > 0 && &a[0] == &b[0]
}

// indexOf gives the index of a column, where it has one or it is time to make it. Columns with marks, and what was
// filtered, have none.
func (m *machine) indexOf(in *program.Instr, b *value.Column) *index {
	if m.isList(in.C) || !m.isList(in.B) || m.marked(in.B) || m.marked(in.C) || b.Rows != nil || b.Len() == 0 {
		return nil
	}
	if c := m.p.Regs[in.B].Class; c != program.Num && c != program.Text || m.p.Regs[in.C].Class != c {
		return nil
	}
	if m.seen == nil {
		m.seen = &sightings{}
	}
	s, again := m.seen.of(b)
	if again && s.index == nil {
		m.j.steps += int64(b.Len())
		s.index = indexed(b)
	}
	return s.index
}

// of finds a column among those that were searched, and puts it there.
func (s *sightings) of(b *value.Column) (at *sighting, again bool) {
	s.clock++
	oldest := 0
	for i := range s.list {
		x := &s.list[i]
		if sameStart(x.nums, b.Num) || sameStart(x.texts, b.Text) {
			x.last = s.clock
			return x, true
		}
		if x.last < s.list[oldest].last {
			oldest = i
		}
	}
	if len(s.list) < maxSightings {
		s.list = append(s.list, sighting{})
		oldest = len(s.list) - 1
	}
	s.list[oldest] = sighting{nums: b.Num, texts: b.Text, last: s.clock}
	return &s.list[oldest], false
}

// index finds the rows of a column that hold a value: for each value that occurs, its rows.
type index struct {
	nums  []float64      // the numbers that occur, rising
	order []int32        // and which value each is
	texts map[string]int // which value each text is
	start []int          // for each value, where its rows begin
	rows  []int
}

func indexed(b *value.Column) *index {
	ix := &index{}
	if b.Text != nil {
		ix.texts, _ = gatherRows(ix, b.Text)
		return ix
	}
	_, ix.nums = gatherRows(ix, b.Num)
	ix.order = make([]int32, len(ix.nums))
	for i := range ix.order {
		ix.order[i] = int32(i)
	}
	slices.SortFunc(ix.order, func(a, b int32) int { return cmp.Compare(ix.nums[a], ix.nums[b]) })
	slices.Sort(ix.nums)
	return ix
}

// gatherRows gathers the rows of each value that occurs.
func gatherRows[T comparable](ix *index, xs []T) (ids map[T]int, values []T) {
	ids = map[T]int{}
	of := make([]int32, len(xs))
	var count []int
	for i, x := range xs {
		id, ok := ids[x]
		if !ok {
			id = len(values)
			ids[x] = id
			values = append(values, x)
			count = append(count, 0)
		}
		of[i] = int32(id)
		count[id]++
	}
	ix.start = make([]int, len(values)+1)
	for id, n := range count {
		ix.start[id+1] = ix.start[id] + n
	}
	ix.rows = make([]int, len(xs))
	next := slices.Clone(ix.start)
	for i, id := range of {
		ix.rows[next[id]] = i
		next[id]++
	}
	return ids, values
}

// find gives the rows that hold a value, rising. They must not be changed.
func (ix *index) find(c *value.Column) []int {
	if ix.texts != nil {
		if id, ok := ix.texts[c.Text[0]]; ok {
			return ix.rows[ix.start[id]:ix.start[id+1]]
		}
		return nil
	}
	// What equals a number lies round it: the further from it on one side, the less equal.
	x := c.Num[0]
	from := sort.Search(len(ix.nums), func(i int) bool { return ix.nums[i] >= x || equal(ix.nums[i], x) })
	to := from
	for to < len(ix.nums) && equal(ix.nums[to], x) {
		to++
	}
	switch to - from {
	case 0:
		return nil
	case 1:
		id := ix.order[from]
		return ix.rows[ix.start[id]:ix.start[id+1]]
	}
	var rows []int
	for _, id := range ix.order[from:to] {
		rows = append(rows, ix.rows[ix.start[id]:ix.start[id+1]]...)
	}
	slices.Sort(rows)
	return rows
}
