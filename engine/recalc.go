package engine

import (
	"fmt"

	"castwright/lang/value"
)

// recalculate works out what an edit reaches, in order, and stops where a value stays what it was (early cut-off).
func (j *Job) recalculate(e Edit, c *Change) {
	j.steps = 0
	if len(e.Put) > len(j.order)/2 { // most of the job: one walk through the order is the cheapest queue
		for _, p := range e.Put {
			j.nodes[p.ID].queued = true
		}
		for _, id := range j.order {
			if j.nodes[id].queued {
				j.visit(id, c, func(u ID) { j.nodes[u].queued = true })
			}
		}
		return
	}
	push := func(id ID) {
		if !j.nodes[id].queued {
			j.nodes[id].queued = true
			j.queue.push(j, id)
		}
	}
	for _, p := range e.Put {
		push(p.ID)
	}
	for len(j.queue.ids) > 0 {
		j.visit(j.queue.pop(j), c, push)
	}
}

// visit recomputes one cell and queues its users where it changed.
func (j *Job) visit(id ID, c *Change, push func(ID)) {
	n := &j.nodes[id]
	n.queued = false
	v := j.compute(n)
	c.Recomputed = append(c.Recomputed, id)
	if j.Log != nil {
		j.Log(id, n.formula.Name)
	}
	if n.value.Len() > 0 && v.Equal(&n.value) || n.value.Len() == 0 && v.Len() == 0 && v.All == n.value.All && v.All != 0 {
		return
	}
	n.value = v
	n.mark = v.All
	for _, m := range v.Marks {
		n.mark = j.causes.merge(n.mark, m)
	}
	for i := range v.Fields {
		f := &v.Fields[i]
		n.mark = j.causes.merge(n.mark, f.All)
		for _, m := range f.Marks {
			n.mark = j.causes.merge(n.mark, m)
		}
	}
	c.Changed = append(c.Changed, id)
	for _, u := range n.users {
		push(u)
	}
}

// compute runs the formula of a cell.
func (j *Job) compute(n *node) value.Column {
	if n.formula.Fault != nil {
		return value.Column{All: j.causes.intern(*n.formula.Fault)}
	}
	pl := n.plan
	if pl.fast {
		if x, ok := j.runFast(pl, n); ok {
			return x
		}
	}
	m := machine{j: j, p: pl.p, f: &n.formula}
	return m.run(pl)
}

// Check tells where the job's own order is broken: a test aid, called after every step of random edits.
func (j *Job) Check() error {
	count := 0
	for id := range j.nodes {
		n := &j.nodes[id]
		if !n.alive {
			continue
		}
		count++
		if n.pos < 0 || n.pos >= len(j.order) || j.order[n.pos] != ID(id) {
			return fmt.Errorf("cell %d is not at its place in the order", id)
		}
		if n.queued {
			return fmt.Errorf("cell %d is left in the queue", id)
		}
		for _, in := range n.formula.Inputs {
			if !j.nodes[in].alive || j.nodes[in].pos >= n.pos {
				return fmt.Errorf("cell %d stands before its input %d", id, in)
			}
			if first(j.nodes[in].users, ID(id)) < 0 {
				return fmt.Errorf("cell %d is no user of its input %d", id, in)
			}
		}
		for _, u := range n.users {
			if first(j.nodes[u].formula.Inputs, ID(id)) < 0 {
				return fmt.Errorf("cell %d has a user %d that does not use it", id, u)
			}
		}
		mark := n.value.All
		for _, m := range n.value.Marks {
			mark = j.causes.merge(mark, m)
		}
		if n.value.Fields == nil && mark != n.mark {
			return fmt.Errorf("cell %d has another state than its rows", id)
		}
	}
	if count != len(j.order) {
		return fmt.Errorf("the order holds %d of %d cells", len(j.order), count)
	}
	return nil
}
