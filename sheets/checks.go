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
	if e := k.Else; e != nil {
		if w := j.Value(e); j.State(e) < value.Open {
			r.Words = j.Words(e)
			if len(w.Text) > 1 && len(r.Rows) > 0 { // words that put in a value of each row
				for i := range w.Text {
					if w.Row(i)+1 == r.Rows[0] {
						r.Words = w.Text[i]
					}
				}
			}
		}
	}
	return r
}
