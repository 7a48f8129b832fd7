package engine

import (
	"fmt"

	"castwright/lang/value"
)

// recalculate works out what an edit reaches, in order, and stops where a value stays what it was (early cut-off). Columns
// whose rows were set are among the changed already.
func (j *Job) recalculate(e Edit, c *Change) {
	if n := len(e.Put); n > j.Len()/2 || n > bulk && n > j.Len()/32 { // one walk through the order is the cheapest queue
		j.walk(e, c)
	} else {
		j.follow(e, c)
	}
	for _, id := range c.Changed {
		n := &j.nodes[id]
		n.moved = false
		if n.tracks != nil {
			n.tracks.rows = n.tracks.rows[:0]
		}
	}
}

func (j *Job) walk(e Edit, c *Change) {
	queue := func(id ID) {
		for _, u := range j.nodes[id].users {
			j.nodes[u.cell].queued = true
		}
	}
	for _, p := range e.Put {
		j.nodes[p.ID].queued, j.nodes[p.ID].renewed = true, true
	}
	for _, id := range c.Changed {
		queue(id)
	}
	for _, id := range j.order {
		if id >= 0 && j.nodes[id].queued && j.visit(id, c) {
			queue(id)
		}
	}
}

func (j *Job) follow(e Edit, c *Change) {
	queue := func(id ID) {
		for _, u := range j.nodes[id].users {
			j.enqueue(u.cell)
		}
	}
	for _, p := range e.Put {
		j.nodes[p.ID].renewed = true
		j.enqueue(p.ID)
	}
	for _, id := range c.Changed {
		queue(id)
	}
	for len(j.queue.ids) > 0 {
		if id := j.queue.pop(j); j.visit(id, c) {
			queue(id)
		}
	}
}

func (j *Job) enqueue(id ID) {
	if n := &j.nodes[id]; !n.queued {
		n.queued = true
		j.queue.push(j, id)
	}
}

// visit recomputes one cell, for the rows that it must or as a whole; true where its value, state or causes changed.
func (j *Job) visit(id ID, c *Change) bool {
	n := &j.nodes[id]
	changed, done := false, false
	if !n.renewed {
		changed, done = j.byRow(id, n)
	}
	if !done {
		changed = j.wholly(id, n)
	}
	n.queued, n.renewed, n.moved = false, false, changed
	c.Recomputed = append(c.Recomputed, id)
	j.Meter.Add(1)
	if j.Log != nil {
		j.Log(id, n.formula.Name)
	}
	if changed {
		c.Changed = append(c.Changed, id)
	}
	return changed
}

// wholly recomputes a cell as a whole. Of a list it notes the rows that changed, where they are few.
func (j *Job) wholly(id ID, n *node) bool {
	j.mostTold, j.left = 0, 0
	v := j.compute(n)
	n.left = int32(j.left)
	list := n.isList()
	if n.tracks != nil {
		*n.tracks = tracks{rows: n.tracks.rows[:0]}
	}
	if list && j.mostTold > 0 {
		n.track().told = j.mostTold
	}
	var rows []int32
	if n.known && list {
		changed, ok := changedRows(j.rows[:0], &n.value, &v)
		if ok && len(changed) == 0 {
			return j.settled(n, v)
		}
		if j.rows = changed; ok {
			rows = changed
		}
	}
	if n.known && len(rows) == 0 && v.Equal(&n.value) {
		return j.settled(n, v)
	}
	j.tellBefore(id, n)
	n.value, n.mark, n.known = v, j.worst(&v), true
	if len(rows) > 0 {
		t := n.track()
		t.rows = append(t.rows[:0], rows...)
	}
	return true
}

// tellBefore tells of a value that is about to change.
func (j *Job) tellBefore(id ID, n *node) {
	if j.Before != nil && n.known {
		j.Before(id)
	}
}

// settled keeps the old value, which is equal, unless the new one is that of typed values: these change in place.
func (j *Job) settled(n *node, v value.Column) bool {
	if n.formula.Data != nil {
		n.value = v
	}
	return false
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
	if n.formula.Data != nil {
		return j.dataValue(&n.formula)
	}
	if n.plan.fast {
		if x, ok := j.runFast(n.plan, n); ok {
			return x
		}
	}
	v := j.runWhole(n.plan, &n.formula)
	if n.plan.shares {
		return ownColumn(v)
	}
	return v
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
		if err := j.checkTracks(ID(id), n); err != nil {
			return err
		}
		if err := j.checkData(ID(id), n); err != nil {
			return err
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
