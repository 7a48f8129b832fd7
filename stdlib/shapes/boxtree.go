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

func newBoxTree(boxes []Bounds) *boxTree {
	t := &boxTree{boxes: boxes, order: make([]int, len(boxes))}
	for i := range t.order {
		t.order[i] = i
	}
	if len(boxes) > 0 {
		t.build(0, len(boxes))
	}
	return t
}

func (t *boxTree) build(from, to int) {
	n := len(t.nodes)
	b := t.boxes[t.order[from]]
	for _, i := range t.order[from:to] {
		b = b.with(t.boxes[i])
	}
	t.nodes = append(t.nodes, boxNode{bounds: b, from: from, to: to})
	if to-from <= leaf {
		return
	}
	middle := func(i int) float64 { return t.boxes[i].Left + t.boxes[i].Right }
	if b.Depth() > b.Width() {
		middle = func(i int) float64 { return t.boxes[i].Bottom + t.boxes[i].Top }
	}
	slices.SortFunc(t.order[from:to], func(i, j int) int { return cmp.Or(cmp.Compare(middle(i), middle(j)), cmp.Compare(i, j)) })
	half := (from + to) / 2
	t.build(from, half)
	t.nodes[n].second = len(t.nodes)
	t.build(half, to)
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
