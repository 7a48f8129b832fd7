package engine

import "castwright/lang/value"

// longSum is how many numbers a sum has before it pays to keep its parts.
const longSum = 8192

// sumTree keeps the parts of a total, so that after one number changed only its chunk and the path above it are added
// again. Its shape is that of total, and so its result, to the last bit. Node i has its halves at 2i and 2i+1; the root
// is at 1.
type sumTree struct {
	sums []float64
	n    int // how many numbers
}

func newSumTree(x []float64) *sumTree {
	chunks := max(1, (len(x)+chunk-1)/chunk)
	size := 2
	for size < 2*chunks {
		size *= 2
	}
	t := &sumTree{sums: make([]float64, size), n: len(x)}
	t.add(x, 1, 0, chunks)
	return t
}

// add makes the part of a node that covers the chunks from … to.
func (t *sumTree) add(x []float64, node, from, to int) float64 {
	if to-from <= 1 {
		t.sums[node] = total(x[from*chunk : min(to*chunk, len(x))])
		return t.sums[node]
	}
	middle := from + (to-from+1)/2
	t.sums[node] = t.add(x, 2*node, from, middle) + t.add(x, 2*node+1, middle, to)
	return t.sums[node]
}

// update adds again what changed rows, rising, have a part in.
func (t *sumTree) update(x []float64, rows []int32) {
	t.again(x, rows, 1, 0, max(1, (t.n+chunk-1)/chunk))
}

func (t *sumTree) again(x []float64, rows []int32, node, from, to int) {
	if to-from <= 1 {
		t.add(x, node, from, to)
		return
	}
	middle := from + (to-from+1)/2
	k := 0
	for k < len(rows) && int(rows[k]) < middle*chunk {
		k++
	}
	if k > 0 {
		t.again(x, rows[:k], 2*node, from, middle)
	}
	if k < len(rows) {
		t.again(x, rows[k:], 2*node+1, middle, to)
	}
	t.sums[node] = t.sums[2*node] + t.sums[2*node+1]
}

// total gives the sum of all.
func (t *sumTree) total() float64 { return t.sums[1] }

// sumByRow carries out a sum or a mean over a long column, of which rows changed or none did, by the parts that the cell
// keeps; false where it is no such sum.
func (m *machine) sumByRow(t *tracks, rp *rowPlan, i int) (value.Column, bool) {
	in := &rp.code[i]
	k := rp.sums[i]
	if k < 0 {
		return value.Column{}, false
	}
	r := in.Args[0]
	v := &m.regs[r]
	if len(v.Num) < m.j.longSum || m.broken(r) {
		return value.Column{}, false
	}
	if len(t.sums) < rp.trees {
		t.sums = make([]*sumTree, rp.trees)
	}
	from := rp.source[r]
	switch tree := t.sums[k]; {
	case tree == nil:
		t.sums[k] = newSumTree(v.Num)
	case from >= 0 && m.j.nodes[m.f.Inputs[from]].moved:
		rows, _ := m.j.nodes[m.f.Inputs[from]].rowsMoved()
		tree.update(v.Num, rows)
	}
	var mk value.Mark
	if rp.direct[r] {
		mk = m.j.nodes[m.f.Inputs[from]].mark // the marks of all rows are joined there already
	} else {
		mk = m.j.worst(v)
	}
	return m.sumOf(in, t.sums[k].total(), len(v.Num), mk), true
}
