// Package engine holds a job in memory: cells, what they rest on, and their values. An edit is one transaction; what it
// reaches is worked out again in order, and nothing else.
package engine

import (
	"fmt"
	"strings"

	"castwright/lang/program"
	"castwright/lang/value"
)

// ID names a cell of a job. It stays the same while the cell lives.
type ID int32

// Formula is what a cell computes: a program over other cells, or, where its text is a mistake, the fault.
type Formula struct {
	Name    string
	Program *program.Program
	Inputs  []ID
	Places  []program.Place
	Fault   *Cause
}

type node struct {
	formula Formula
	plan    *plan
	value   value.Column
	mark    value.Mark // the worst of all rows
	users   []ID
	pos     int // place in the order
	alive   bool
	queued  bool
}

// Job is a job in memory. It is not for several goroutines at once.
type Job struct {
	nodes  []node
	order  []ID // cells in an order in which each stands behind what it rests on
	causes *causes
	plans  map[*program.Program]*plan
	frame  []float64
	queue  heap

	// Log, where set, is told of each cell that is recomputed, in order. Tests read it.
	Log func(id ID, name string)
	// MaxSteps is how many lane operations one edit may take; 0 stands for the default. It counts work and not time,
	// so that the answer is the same on every machine.
	MaxSteps int64
	steps    int64
}

// DefaultSteps is the work that one edit may take where the job states none, in lane operations.
const DefaultSteps = 20_000_000_000

// New makes an empty job.
func New() *Job {
	return &Job{causes: newCauses(), plans: map[*program.Program]*plan{}}
}

// Reserve gives the ids of n cells to come, so that their formulas can refer to each other in one edit.
func (j *Job) Reserve(n int) []ID {
	ids := make([]ID, n)
	for i := range ids {
		ids[i] = ID(len(j.nodes))
		j.nodes = append(j.nodes, node{pos: -1})
	}
	return ids
}

// Len counts the cells.
func (j *Job) Len() int { return len(j.order) }

// Value gives the value of a cell. It must not be changed.
func (j *Job) Value(id ID) *value.Column { return &j.nodes[id].value }

// State gives the worst state of a cell.
func (j *Job) State(id ID) value.State { return j.causes.state(j.nodes[id].mark) }

// Causes gives why a cell is not ok.
func (j *Job) Causes(id ID) []Cause { return j.causes.of(j.nodes[id].mark) }

// StateOf gives the state of a mark, of a row or of a field.
func (j *Job) StateOf(m value.Mark) value.State { return j.causes.state(m) }

// RowState gives the state of one row.
func (j *Job) RowState(id ID, row int) value.State {
	v := &j.nodes[id].value
	return j.causes.state(j.causes.merge(v.All, v.Mark(row)))
}

// Users gives the cells that rest on a cell.
func (j *Job) Users(id ID) []ID { return j.nodes[id].users }

// Formula gives what a cell computes.
func (j *Job) Formula(id ID) Formula { return j.nodes[id].formula }

// Put sets what a cell computes.
type Put struct {
	ID      ID
	Formula Formula
}

// Edit is one transaction: cells to add or change, and cells to take out.
type Edit struct {
	Put  []Put
	Drop []ID
}

// Change says what an edit did.
type Change struct {
	Inverse    Edit // applied, it brings the job back
	Recomputed []ID
	Changed    []ID // those whose value, state or causes changed
}

// Ring is the refusal of an edit that makes cells rest on each other.
type Ring struct {
	IDs   []ID
	Names []string
}

func (r *Ring) Error() string {
	return "These cells rest on each other in a ring: " + strings.Join(append(r.Names, r.Names[0]), " → ") + "."
}

// Apply checks an edit whole and carries it out, or leaves the job as it was. It fails with a *Ring where the edit closes
// one, and where a cell would rest on one that is not there.
func (j *Job) Apply(e Edit) (Change, error) {
	if err := j.sound(e); err != nil {
		return Change{}, err
	}
	var c Change
	for _, p := range e.Put {
		if n := &j.nodes[p.ID]; n.alive {
			c.Inverse.Put = append(c.Inverse.Put, Put{p.ID, n.formula})
		} else {
			c.Inverse.Drop = append(c.Inverse.Drop, p.ID)
		}
	}
	for _, id := range e.Drop {
		c.Inverse.Put = append(c.Inverse.Put, Put{id, j.nodes[id].formula})
	}
	j.link(e)
	if ring := j.arrange(e); ring != nil {
		j.link(c.Inverse)
		j.rearrange()
		return Change{}, ring
	}
	j.recalculate(e, &c)
	return c, nil
}

// sound refuses an edit that leaves a cell resting on nothing.
func (j *Job) sound(e Edit) error {
	gone := map[ID]bool{}
	for _, id := range e.Drop {
		if int(id) >= len(j.nodes) || !j.nodes[id].alive {
			return fmt.Errorf("There is no such cell to take out.")
		}
		gone[id] = true
	}
	put := make(map[ID]bool, len(e.Put))
	for _, p := range e.Put {
		if int(p.ID) >= len(j.nodes) || p.ID < 0 || put[p.ID] {
			return fmt.Errorf("The cell %s has no place in the job.", p.Formula.Name)
		}
		put[p.ID] = true
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
			if !gone[u] && !put[u] {
				return fmt.Errorf("The cell %s is in use by %s.", j.nodes[id].formula.Name, j.nodes[u].formula.Name)
			}
		}
	}
	return nil
}

// link sets formulas and the users of their inputs.
func (j *Job) link(e Edit) {
	for _, id := range e.Drop {
		j.unlink(id)
		j.nodes[id].alive = false
		j.nodes[id].formula = Formula{}
		j.nodes[id].value = value.Column{}
		j.nodes[id].mark = 0
	}
	for _, p := range e.Put {
		n := &j.nodes[p.ID]
		if n.alive {
			j.unlink(p.ID)
		}
		n.formula, n.alive = p.Formula, true
		if p.Formula.Program != nil {
			n.plan = j.plan(p.Formula.Program)
			n.plan.users++
		}
	}
	for _, p := range e.Put {
		for i, in := range p.Formula.Inputs {
			if first(p.Formula.Inputs, in) == i {
				j.nodes[in].users = append(j.nodes[in].users, p.ID)
			}
		}
	}
}

func first(ids []ID, id ID) int {
	for i, x := range ids {
		if x == id {
			return i
		}
	}
	return -1
}

func (j *Job) unlink(id ID) {
	n := &j.nodes[id]
	if n.plan != nil {
		if n.plan.users--; n.plan.users == 0 {
			delete(j.plans, n.plan.p)
		}
		n.plan = nil
	}
	for _, in := range j.nodes[id].formula.Inputs {
		users := j.nodes[in].users
		if i := first(users, id); i >= 0 {
			j.nodes[in].users = append(users[:i:i], users[i+1:]...)
		}
	}
}
