package sheets

import (
	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/value"
)

// CheckState says how a check stands.
type CheckState string

// The states of a check: on an open value it is not known yet (ruling 35).
const (
	Holds   CheckState = "holds"
	Fails   CheckState = "fails"
	Unknown CheckState = "unknown"
)

// CheckResult is one check with its words.
type CheckResult struct {
	*check.Check
	State  CheckState
	Words  string
	Rows   []int // the rows that fail, from 1; none for a check of one value
	Causes []engine.Cause
	Broken bool // the condition itself is a mistake
}

// CheckResults judges the checks of a sheet.
func (j *Job) CheckResults(s *check.Sheet) []CheckResult {
	var out []CheckResult
	for _, k := range s.Checks() {
		out = append(out, j.judge(k))
	}
	return out
}

// wordsOf gives the words of a check; those that put in a value of each row, for the first row that fails.
func (j *Job) wordsOf(e *check.Cell, rows []int) string {
	w := j.Value(e)
	if !e.Type.List || len(rows) == 0 {
		if j.State(e) >= value.Open {
			return ""
		}
		return j.Words(e)
	}
	for i := range w.Text {
		if w.Row(i)+1 == rows[0] && j.Engine.StateOf(w.Mark(i)) < value.Open {
			return w.Text[i]
		}
	}
	return ""
}

// judge tells how a check stands. Over a column it holds if every row does; one row that fails is enough for it to fail,
// whatever is still open in others.
func (j *Job) judge(k *check.Check) CheckResult {
	r := CheckResult{Check: k, State: Holds, Causes: j.Causes(k.Cond)}
	v := j.Value(k.Cond)
	all := j.Engine.StateOf(v.All)
	worst := all
	for i, x := range v.Num {
		state := max(all, j.Engine.StateOf(v.Mark(i)))
		worst = max(worst, state)
		if state < value.Open && x == 0 {
			r.State = Fails
			if k.Cond.Type.List {
				r.Rows = append(r.Rows, v.Row(i)+1)
			}
		}
	}
	switch {
	case worst == value.Mistake:
		r.State, r.Broken = Fails, true
	case worst == value.Open && r.State == Holds:
		r.State = Unknown
	}
	if k.Else != nil {
		r.Words = j.wordsOf(k.Else, r.Rows)
	}
	return r
}
