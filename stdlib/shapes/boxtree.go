package shapes

import (
	"cmp"
	"container/heap"
	"slices"
)

// boxTree finds, among many boxes, those near something without looking at all of them.
type boxTree struct {
	boxes []Bounds
	order []int // the boxes, those of a node side by side
	nodes []boxNode
}

// boxNode is a part of the order. The first of its two halves is the next node; one without halves has second 0.
type boxNode struct {
	bounds   Bounds
	from, to int
	second   int
}

// leaf is how many boxes are looked at one by one.
const leaf = 6

// newBoxTree puts the boxes in the order in which a curve through the whole plane passes their middles, so that those side
// by side in it are near each other, and halves the order again and again.
func newBoxTree(boxes []Bounds) *boxTree {
	t := &boxTree{boxes: boxes, order: make([]int, len(boxes))}
	if len(boxes) == 0 {
		return t
	}
	all := boxes[0]
	for _, b := range boxes {
		all = all.with(b)
	}
	type keyed struct {
		key uint64
		box int
	}
	keys := make([]keyed, len(boxes))
	for i, b := range boxes {
		keys[i] = keyed{curve(all, (b.Left+b.Right)/2, (b.Bottom+b.Top)/2), i}
	}
	slices.SortFunc(keys, func(a, b keyed) int { return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.box, b.box)) })
	for i, k := range keys {
		t.order[i] = k.box
	}
	t.build(0, len(boxes))
	return t
}

// curve is how far along Hilbert's curve of 2^16 by 2^16 cells a point of a box lies.
func curve(all Bounds, px, py float64) uint64 {
	const n = 1 << 16
	cell := func(p, low, size float64) uint64 {
		if size <= 0 {
			return 0
		}
		return uint64(min(max((p-low)/size*n, 0), n-1))
	}
	x, y := cell(px, all.Left, all.Width()), cell(py, all.Bottom, all.Depth())
	d := uint64(0)
	for s := uint64(n / 2); s > 0; s /= 2 {
		rx, ry := uint64(0), uint64(0)
		if x&s > 0 {
			rx = 1
		}
		if y&s > 0 {
			ry = 1
		}
		d += s * s * ((3 * rx) ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = n-1-x, n-1-y
			}
			x, y = y, x
		}
	}
	return d
}

func (t *boxTree) build(from, to int) Bounds {
	n := len(t.nodes)
	t.nodes = append(t.nodes, boxNode{from: from, to: to})
	b := t.boxes[t.order[from]]
	if to-from <= leaf {
		for _, i := range t.order[from+1 : to] {
			b = b.with(t.boxes[i])
		}
	} else {
		half := (from + to) / 2
		b = t.build(from, half)
		t.nodes[n].second = len(t.nodes)
		b = b.with(t.build(half, to))
	}
	t.nodes[n].bounds = b
	return b
}

// find visits the boxes for which near holds; near must hold for every box round one for which it does.
func (t *boxTree) find(near func(Bounds) bool, visit func(i int)) {
	if len(t.nodes) > 0 {
		t.walk(0, near, visit)
	}
}

func (t *boxTree) walk(n int, near func(Bounds) bool, visit func(i int)) {
	node := &t.nodes[n]
	if !near(node.bounds) {
		return
	}
	if node.second > 0 {
		t.walk(n+1, near, visit)
		t.walk(node.second, near, visit)
		return
	}
	for _, i := range t.order[node.from:node.to] {
		if near(t.boxes[i]) {
			visit(i)
		}
	}
}

// nearest visits the boxes in the order of their distances from another, as long as more says that it wants those of a
// distance.
func (t *boxTree) nearest(to Bounds, more func(distance float64) bool, visit func(i int)) {
	if len(t.nodes) == 0 {
		return
	}
	q := &boxQueue{{t.nodes[0].bounds.gap(to), 0, true}}
	for q.Len() > 0 {
		w := heap.Pop(q).(boxWait)
		if !more(w.distance) {
			return
		}
		if !w.node {
			visit(w.index)
			continue
		}
		n := &t.nodes[w.index]
		if n.second > 0 {
			for _, k := range []int{w.index + 1, n.second} {
				heap.Push(q, boxWait{t.nodes[k].bounds.gap(to), k, true})
			}
			continue
		}
		for _, i := range t.order[n.from:n.to] {
			heap.Push(q, boxWait{t.boxes[i].gap(to), i, false})
		}
	}
}

// boxWait is a box, or a node, that waits for its turn.
type boxWait struct {
	distance float64
	index    int
	node     bool
}

type boxQueue []boxWait

func (q boxQueue) Len() int { return len(q) }
func (q boxQueue) Less(i, j int) bool {
	if q[i].distance != q[j].distance {
		return q[i].distance < q[j].distance
	}
	return q[i].index < q[j].index
}
func (q boxQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *boxQueue) Push(x any)   { *q = append(*q, x.(boxWait)) }
func (q *boxQueue) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}
