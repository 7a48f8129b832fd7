package engine

import (
	"fmt"

	"castwright/lang/value"
)

// recalculate works out what an edit reaches, in order, and stops where a value stays what it was (early cut-off).
func (j *Job) recalculate(e Edit, c *Change) {
	j.steps = 0
	if len(e.Put) > j.Len()/2 { // most of the job: one walk through the order is the cheapest queue
		for _, p := range e.Put {
			j.nodes[p.ID].queued = true
		}
		for _, id := range j.order {
			if id < 0 || !j.nodes[id].queued || !j.visit(id, c) {
				continue
			}
			for _, u := range j.nodes[id].users {
				j.nodes[u.cell].queued = true
			}
		}
		return
	}
	for _, p := range e.Put {
		j.enqueue(p.ID)
	}
	for len(j.queue.ids) > 0 {
		id := j.queue.pop(j)
		if !j.visit(id, c) {
			continue
		}
		for _, u := range j.nodes[id].users {
			j.enqueue(u.cell)
		}
	}
}

func (j *Job) enqueue(id ID) {
	if n := &j.nodes[id]; !n.queued {
		n.queued = true
		j.queue.push(j, id)
	}
}

// visit recomputes one cell; true where its value, state or causes changed.
func (j *Job) visit(id ID, c *Change) bool {
	n := &j.nodes[id]
	n.queued = false
	v := j.compute(n)
	c.Recomputed = append(c.Recomputed, id)
	if j.Log != nil {
		j.Log(id, n.formula.Name)
	}
	if n.known && v.Equal(&n.value) {
		return false
	}
	n.value, n.mark, n.known = v, j.worst(&v), true
	c.Changed = append(c.Changed, id)
	return true
}

// worst joins the marks of all rows.
func (j *Job) worst(v *value.Column) value.Mark {
	if v.All == 0 && v.Marks == nil && v.Fields == nil {
		return 0
	}
	u := union{c: j.causes}
	u.addAll(v)
	return u.mark()
}

// compute runs the formula of a cell.
func (j *Job) compute(n *node) value.Column {
	if n.formula.Fault != nil {
		fault := *n.formula.Fault
		fault.State = value.Mistake
		return value.Column{All: j.causes.intern(fault)}
	}
	if n.plan.fast {
		if x, ok := j.runFast(n.plan, n); ok {
			return x
		}
	}
	return j.runWhole(n.plan, &n.formula)
}

// Check tells where the job is not in order: places, users, states. It is for tests, which call it after every step of
// random edits.
func (j *Job) Check() error {
	count := 0
	for id := range j.nodes {
		n := &j.nodes[id]
		if !n.alive {
			if n.pos >= 0 || len(n.users) > 0 || n.mark != 0 {
				return fmt.Errorf("cell %d was taken out and left something behind", id)
			}
			continue
		}
		count++
		if err := j.checkLinks(ID(id), n); err != nil {
			return err
		}
		if n.queued || !n.known {
			return fmt.Errorf("cell %d is left in the queue", id)
		}
		if j.worst(&n.value) != n.mark {
			return fmt.Errorf("cell %d has another state than its rows", id)
		}
	}
	gaps := 0
	for _, id := range j.order {
		if id < 0 {
			gaps++
		}
	}
	if gaps != j.gaps || count != j.Len() {
		return fmt.Errorf("the order holds %d of %d cells, with %d gaps of %d", j.Len(), count, gaps, j.gaps)
	}
	return nil
}

func (j *Job) checkLinks(id ID, n *node) error {
	if n.pos < 0 || n.pos >= len(j.order) || j.order[n.pos] != id {
		return fmt.Errorf("cell %d is not at its place in the order", id)
	}
	for k, in := range n.formula.Inputs {
		if !j.nodes[in].alive || j.nodes[in].pos >= n.pos {
			return fmt.Errorf("cell %d stands before its input %d", id, in)
		}
		if at := int(n.slots[k]); at >= len(j.nodes[in].users) || j.nodes[in].users[at] != (use{id, int32(k)}) {
			return fmt.Errorf("cell %d is no user of its input %d", id, in)
		}
	}
	for _, u := range n.users {
		if f := j.nodes[u.cell].formula; int(u.input) >= len(f.Inputs) || f.Inputs[u.input] != id {
			return fmt.Errorf("cell %d has a user %d that does not use it", id, u.cell)
		}
	}
	return nil
}
