package engine

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"castwright/lang/value"
	"castwright/lang/work"
)

// Put sets what a cell computes.
type Put struct {
	ID      ID
	Formula Formula
}

// Edit is one transaction: cells to add or change, cells to take out, and rows of typed columns to set, in turn.
type Edit struct {
	Put  []Put
	Drop []ID
	Rows []RowPut
}

// Change says what an edit did.
type Change struct {
	Inverse    Edit // applied, it brings the formulas back, and with them the values
	Recomputed []ID
	Changed    []ID // those whose value, state or causes changed
	Halted     bool // the meter stopped: the edit should be taken back
}

// Ring is the refusal of an edit that makes cells rest on each other: each on the next, the last on the first.
type Ring struct {
	IDs   []ID
	Names []string
}

// maxNamed is how many cells of a ring a sentence names.
const maxNamed = 20

func (r *Ring) Error() string {
	names := slices.Clone(r.Names)
	if n := len(names); n > maxNamed {
		names = append(names[:maxNamed:maxNamed], fmt.Sprintf("%d more", n-maxNamed))
	}
	return "These cells rest on each other in a ring: " + strings.Join(append(names, r.Names[0]), " → ") + "."
}

// Apply checks an edit whole and carries it out, or leaves the job as it was. It fails with a *Ring where the edit closes
// one, and where a cell would rest on one that is not there.
func (j *Job) Apply(e Edit) (Change, error) {
	if err := j.sound(e); err != nil {
		return Change{}, err
	}
	j.steps = 0
	j.sweep()
	e.Put = ownData(e.Put)
	var c Change
	var added []ID
	for _, p := range e.Put {
		if n := &j.nodes[p.ID]; n.alive {
			c.Inverse.Put = append(c.Inverse.Put, Put{p.ID, n.formula})
		} else {
			c.Inverse.Drop = append(c.Inverse.Drop, p.ID)
			added = append(added, p.ID)
		}
	}
	for _, id := range e.Drop {
		c.Inverse.Put = append(c.Inverse.Put, Put{id, j.nodes[id].formula})
	}
	j.link(e)
	if ring := j.arrange(e, added); ring != nil {
		j.link(c.Inverse)
		for _, p := range c.Inverse.Put {
			j.connectAll(p.ID)
		}
		return Change{}, ring
	}
	for _, id := range e.Drop {
		j.clear(id)
	}
	j.closeGaps()
	j.Meter.Begin(work.Computing, len(e.Put))
	j.putRows(e.Rows, &c)
	j.recalculate(e, &c)
	c.Halted = j.Meter.Stopped()
	return c, nil
}

// sound refuses an edit that is not one, or that leaves a cell resting on nothing.
func (j *Job) sound(e Edit) error {
	gone := make(map[ID]bool, len(e.Drop))
	for _, id := range e.Drop {
		if id < 0 || int(id) >= len(j.nodes) || !j.nodes[id].alive || gone[id] {
			return errors.New("There is no such cell to take out.")
		}
		gone[id] = true
	}
	put := make(map[ID]bool, len(e.Put))
	for _, p := range e.Put {
		f := &p.Formula
		switch {
		case p.ID < 0 || int(p.ID) >= len(j.nodes) || put[p.ID] || gone[p.ID]:
			return fmt.Errorf("The cell %s has no place in the job.", f.Name)
		case f.Program == nil && f.Fault == nil && f.Data == nil:
			return fmt.Errorf("The cell %s has no formula.", f.Name)
		case f.Data != nil && (f.Program != nil || f.Fault != nil):
			return fmt.Errorf("The cell %s has typed values and a formula at once.", f.Name)
		case f.Program != nil && len(f.Inputs) != f.Program.Inputs:
			return fmt.Errorf("The formula of %s takes %d cells; %d are given.", f.Name, f.Program.Inputs, len(f.Inputs))
		}
		if f.Data != nil {
			if err := soundData(f); err != nil {
				return err
			}
		}
		put[p.ID] = true
	}
	for i := range e.Rows {
		if err := j.soundRow(&e.Rows[i], func(id ID) bool { return put[id] || gone[id] }); err != nil {
			return err
		}
	}
	for _, p := range e.Put {
		for _, in := range p.Formula.Inputs {
			if int(in) >= len(j.nodes) || in < 0 || gone[in] || !j.nodes[in].alive && !put[in] {
				return fmt.Errorf("The cell %s rests on one that is not there.", p.Formula.Name)
			}
		}
	}
	for _, id := range e.Drop {
		for _, u := range j.nodes[id].users {
			if !gone[u.cell] && !put[u.cell] {
				return fmt.Errorf("The cell %s is in use by %s.", j.nodes[id].formula.Name, j.nodes[u.cell].formula.Name)
			}
		}
	}
	return nil
}

// link sets formulas and forgets the uses that end. The uses that begin come with connect; values and places in the order
// stay.
func (j *Job) link(e Edit) {
	for _, id := range e.Drop {
		j.unlink(id)
		j.release(id)
		j.nodes[id].alive = false
		j.nodes[id].formula = Formula{}
	}
	for _, p := range e.Put {
		n := &j.nodes[p.ID]
		if n.alive && !slices.Equal(n.formula.Inputs, p.Formula.Inputs) {
			j.unlink(p.ID)
		}
		old := n.plan
		n.formula, n.alive, n.plan = p.Formula, true, nil
		if p.Formula.Fault == nil && p.Formula.Data == nil {
			n.plan = j.plan(p.Formula.Program)
			n.plan.users++
		}
		j.free(old)
	}
}

// unlink takes a cell out of the users of its inputs: the last user takes its place.
func (j *Job) unlink(id ID) {
	n := &j.nodes[id]
	for k, at := range n.slots {
		in := n.formula.Inputs[k]
		users := j.nodes[in].users
		last := users[len(users)-1]
		users[at] = last
		j.nodes[last.cell].slots[last.input] = at
		j.nodes[in].users = users[:len(users)-1]
	}
	n.slots = nil
}

// connected gives the inputs of which a cell is a user already.
func (n *node) connected() []ID { return n.formula.Inputs[:len(n.slots)] }

// connect makes a cell a user of its next input.
func (j *Job) connect(id ID) {
	n := &j.nodes[id]
	k := len(n.slots)
	in := &j.nodes[n.formula.Inputs[k]]
	n.slots = append(n.slots, int32(len(in.users)))
	in.users = append(in.users, use{id, int32(k)})
}

// connectAll makes cells users of all their inputs.
func (j *Job) connectAll(id ID) {
	n := &j.nodes[id]
	if n.slots == nil && len(n.formula.Inputs) > 0 {
		n.slots = make([]int32, 0, len(n.formula.Inputs))
	}
	for len(n.slots) < len(n.formula.Inputs) {
		j.connect(id)
	}
}

func (j *Job) release(id ID) {
	old := j.nodes[id].plan
	j.nodes[id].plan = nil
	j.free(old)
}

// free forgets a plan that no cell runs any more.
func (j *Job) free(p *plan) {
	if p == nil {
		return
	}
	if p.users--; p.users == 0 {
		delete(j.plans, p.p)
		j.freeLoops(p)
	}
}

// clear forgets the value and the place of a cell that was taken out.
func (j *Job) clear(id ID) {
	n := &j.nodes[id]
	if n.pos >= 0 {
		j.order[n.pos] = -1
		j.gaps++
	}
	*n = node{pos: -1, seen: n.seen}
}

// sweep frees the causes that no value has, now and then.
func (j *Job) sweep() {
	if !j.causes.due() {
		return
	}
	used := make([]bool, len(j.causes.sets))
	for i := range j.nodes {
		if n := &j.nodes[i]; n.alive {
			used[n.mark] = true
			if n.mark != 0 {
				marksOf(&n.value, used)
			}
		}
	}
	j.causes.sweep(used)
}

func marksOf(v *value.Column, used []bool) {
	used[v.All] = true
	for _, m := range v.Marks {
		used[m] = true
	}
	for i := range v.Fields {
		marksOf(&v.Fields[i], used)
	}
}
