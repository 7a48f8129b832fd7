// Package engine holds a job in memory: cells, what they rest on, and their values. An edit is one transaction; what it
// reaches is worked out again in order, and nothing else.
package engine

import (
	"runtime"

	"castwright/lang/program"
	"castwright/lang/value"
	"castwright/lang/work"
)

// ID names a cell of a job. It stays the same while the cell lives, and is not given a second time.
type ID int32

// Formula is what a cell computes: a program over other cells, or, where its text is a mistake, the fault; or it is a
// column of typed values.
type Formula struct {
	Name    string
	Program *program.Program
	Inputs  []ID // for each of the program's inputs, in order
	Places  []program.Place
	Fault   *Cause
	Data    *Data // typed values; exactly one of Program, Fault and Data is set
}

// use is one place where a cell rests on another: the cell, and which of its inputs.
type use struct {
	cell  ID
	input int32
}

type node struct {
	formula Formula
	plan    *plan
	value   value.Column
	mark    value.Mark // the worst of all rows
	users   []use
	slots   []int32 // for each input, where among its users this cell stands
	pos     int     // place in the order, -1 where none
	open    int32   // inputs without a place, while cells are put in order
	seen    uint32  // the search that last came by
	from    ID      // the cell from which it came
	alive   bool
	queued  bool
	known   bool // it has been worked out
	moved   bool // its value changed in the edit under way
	renewed bool // it has another formula since that edit began
	tracks  *tracks
	left    int32 // open rows that `known` left out
}

// Job is a job in memory. It is not for several goroutines at once.
type Job struct {
	nodes  []node
	order  []ID // cells in an order in which each stands behind what it rests on; -1 where one was taken out
	gaps   int  // how many -1 there are
	search uint32
	moves  []move
	causes *causes
	plans  map[*program.Program]*plan
	frame  []float64      // registers of the quick path
	regs   []value.Column // registers of the machine
	blocks [][]float64    // blocks of lanes
	nests  []*nest        // what rows within rows keep, by depth
	queue  heap

	rowRegs  []value.Column // registers of a run for a few rows
	rows     []int32        // those rows
	flags    []bool         // what changed, register by register
	longSum  int            // how long a column is whose parts of a sum are kept
	mostTold int            // how many rows the operation that told most has told, in the run under way

	// Log, where set, is told of each cell that is recomputed, in order. Tests read it.
	Log func(id ID, name string)
	// Before, where set, is told of each cell whose value is about to change as a whole or by row; it can still be read.
	Before func(id ID)
	// LogRows, where set, is told of each cell that is worked out again without a run over the whole of its inputs: for how
	// many rows it is run, 0 where its value is a single one.
	LogRows func(id ID, rows int)
	// Workers is how many cores take part in work on long columns; 0 stands for as many as there are. The result does not
	// depend on it.
	Workers int
	left    int // rows that `known` left out in the run that goes on
	// Meter, where set, is told how far an edit is, and can stop it: what is left of it becomes a mistake, and Change.Halted
	// is set.
	Meter *work.Meter
	// MaxSteps is how many lane operations one edit may take; 0 stands for the default. It counts work and not time,
	// so that the answer is the same on every machine.
	MaxSteps int64
	steps    int64
}

// DefaultSteps is the work that one edit may take where the job states none, in lane operations.
const DefaultSteps = 20_000_000_000

// New makes an empty job.
func New() *Job {
	return &Job{causes: newCauses(), plans: map[*program.Program]*plan{}, longSum: longSum}
}

// Reserve gives the ids of n cells to come, so that their formulas can refer to each other in one edit.
func (j *Job) Reserve(n int) []ID {
	ids := make([]ID, n)
	for i := range ids {
		ids[i] = ID(len(j.nodes) + i)
	}
	old := len(j.nodes)
	if need := old + n; need > cap(j.nodes) {
		grown := make([]node, old, max(need, old+old/4))
		copy(grown, j.nodes)
		j.nodes = grown
	}
	j.nodes = j.nodes[:old+n]
	for i := old; i < len(j.nodes); i++ {
		j.nodes[i].pos = -1
	}
	return ids
}

// Len counts the cells.
func (j *Job) Len() int { return len(j.order) - j.gaps }

// Value gives the value of a cell, in SI units. It must not be changed; it is that of the cell until the next edit.
func (j *Job) Value(id ID) *value.Column { return &j.nodes[id].value }

// State gives the worst state of a cell.
func (j *Job) State(id ID) value.State { return j.causes.state(j.nodes[id].mark) }

// Causes gives why a cell is not ok.
func (j *Job) Causes(id ID) []Cause { return j.causes.of(j.nodes[id].mark) }

// RowState gives the state of one row, from 0.
func (j *Job) RowState(id ID, row int) value.State { return j.causes.state(j.rowMark(id, row)) }

// RowCauses gives why one row is not ok, from 0.
func (j *Job) RowCauses(id ID, row int) []Cause { return j.causes.of(j.rowMark(id, row)) }

func (j *Job) rowMark(id ID, row int) value.Mark {
	v := &j.nodes[id].value
	mark := v.All
	if v.Marks != nil {
		mark = j.causes.merge(mark, v.Marks[row])
	}
	for i := range v.Fields {
		f := &v.Fields[i]
		mark = j.causes.merge(mark, f.All)
		if row < len(f.Marks) {
			mark = j.causes.merge(mark, f.Marks[row])
		}
	}
	return mark
}

// CausesOf gives why a value with a mark is not ok. Like the value, the mark holds until the next edit.
func (j *Job) CausesOf(m value.Mark) []Cause { return j.causes.of(m) }

// StateOf gives the state that a mark in a value stands for. Like the value, the mark holds until the next edit.
func (j *Job) StateOf(m value.Mark) value.State { return j.causes.state(m) }

// Inputs gives the cells that a cell rests on, as its formula names them.
func (j *Job) Inputs(id ID) []ID { return j.nodes[id].formula.Inputs }

// LeftOut tells how many open rows `known` left out when a cell was worked out.
func (j *Job) LeftOut(id ID) int { return int(j.nodes[id].left) }

// Users gives the cells that rest on a cell, each once.
func (j *Job) Users(id ID) []ID {
	var out []ID
	seen := make(map[ID]bool, len(j.nodes[id].users))
	for _, u := range j.nodes[id].users {
		if !seen[u.cell] {
			seen[u.cell] = true
			out = append(out, u.cell)
		}
	}
	return out
}

// Formula gives what a cell computes. A column of typed values in it holds until the next edit, and must not be changed.
func (j *Job) Formula(id ID) Formula { return j.nodes[id].formula }

func (j *Job) workers() int {
	if j.Workers > 0 {
		return j.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// stopped tells whether what is left of an edit shall not be worked out.
func (j *Job) stopped() bool { return j.Meter.Stopped() }

func (j *Job) limit() int64 {
	if j.stopped() {
		return -1
	}
	if j.MaxSteps > 0 {
		return j.MaxSteps
	}
	return DefaultSteps
}
