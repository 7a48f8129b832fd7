package sheets

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
)

// Splice puts a text in the place of another in a sheet. At counts bytes of the text before the step.
type Splice struct {
	Sheet string
	At    int
	Was   string
	Is    string
}

// step is one edit that undo takes back: pieces of text, or whole states of the job's files.
type step struct {
	label   string
	splices []Splice
	state   *state // of before; nil where the splices say all
}

// state is what a job is made from: its sheets, and what it has read from other files.
type state struct {
	texts []check.Text
	kept  map[string]*kept
}

// Refused is why an edit was not taken: the job is as it was.
type Refused struct{ Messages diag.List }

func (r *Refused) Error() string { return r.Messages[0].Error() }

func refuse(text, way string) error {
	return &Refused{diag.List{diag.New(nil, diag.Span{}, text, way)}}
}

// Edit carries one step out: it is checked whole, put on disk in the journal, and only then is the job changed for good. A
// step with a mistake of its own, or one that closes a ring, is refused, and the job is as it was.
func (j *Job) Edit(label string, splices ...Splice) (*Report, error) {
	return j.edit(label, splices, careful)
}

// EditHarmless is as Edit, and refuses what would make other cells mistakes, naming them.
func (j *Job) EditHarmless(label string, splices ...Splice) (*Report, error) {
	return j.edit(label, splices, harmless)
}

// EditNames is as EditHarmless, for a renaming, which says otherwise what was a mistake before.
func (j *Job) EditNames(label string, splices ...Splice) (*Report, error) {
	return j.edit(label, splices, renaming)
}

// care says what an edit is refused for.
type care uint8

const (
	any      care = iota // nothing: a step that was taken once
	careful              // mistakes of its own, and rings
	harmless             // those, and mistakes that it makes elsewhere
	renaming             // the same; mistakes that stood there may be worded otherwise
)

func (j *Job) edit(label string, splices []Splice, c care) (*Report, error) {
	splices, err := ordered(splices)
	if err != nil {
		return nil, err
	}
	r, err := j.carryOut(label, splices, c)
	if err != nil {
		return nil, err
	}
	j.done = append(j.done, step{label: label, splices: inverse(splices)})
	j.undone = nil
	return r, nil
}

// carryOut puts splices in.
func (j *Job) carryOut(label string, splices []Splice, c care) (*Report, error) {
	if j.store != nil && j.store.readOnly != nil {
		return nil, refuse("This job can be looked at here and not changed: "+strings.TrimSuffix(j.store.readOnly.Error(), ".")+".", "")
	}
	changes, err := j.changes(splices)
	if err != nil {
		return nil, err
	}
	defer j.begin()()
	j.clearLine()
	before := j.remember(changes)
	if c >= careful {
		if ms := before.fresh(own(changes), c == renaming); len(ms) > 0 {
			return nil, &Refused{ms}
		}
	}
	irregular := j.Checked.Irregular()
	lines := stretches(changes)
	effect := j.update(changes)
	if j.meter.Stopped() && !j.finish {
		j.takeBack(splices, effect)
		return nil, errStopped()
	}
	if c >= careful {
		if ms := before.fresh(j.faults(lines, effect, irregular, before), c == renaming && (irregular || !j.Checked.Irregular())); len(ms) > 0 {
			j.takeBack(splices, effect)
			return nil, &Refused{ms}
		}
	}
	if c >= harmless {
		if users := j.harmed(effect); len(users) > 0 {
			j.takeBack(splices, effect)
			return nil, &InUse{users}
		}
	}
	if err := j.store.write(splices); err != nil {
		j.takeBack(splices, effect)
		return nil, err
	}
	r := j.settle(label, effect, before)
	if r.stopped && !j.finish {
		j.finish = true // what is taken back is not stopped
		_, err := j.carryOut(label, inverse(splices), any)
		j.finish = false
		if err != nil {
			return nil, err
		}
		return nil, errStopped()
	}
	if r.stopped {
		j.computeWhole()
	}
	return r, nil
}

func errStopped() error { return refuse("Stopped: the edit was taken back.", "") }

// computeWhole works the job out from the start, and is not stopped.
func (j *Job) computeWhole() {
	for j.halted = true; j.halted; {
		j.meter.Resume()
		j.compute()
	}
}

// update changes the checked job. One that is taken back is not stopped.
func (j *Job) update(changes []check.Change) check.Effect {
	if j.finish {
		j.Checked.Meter = nil
		defer func() { j.Checked.Meter = j.meter }()
	}
	return j.Checked.Update(changes)
}

// takeBack brings the checked job back to what it was before splices that were refused. The engine has not seen them; it
// still holds the cells that went by them, in whose place others have come.
func (j *Job) takeBack(splices []Splice, refused check.Effect) {
	changes, err := j.changes(inverse(splices))
	if err != nil {
		panic(fmt.Sprintf("an edit could not be taken back: %v", err))
	}
	j.finish = true
	effect := j.update(changes)
	j.finish = false
	if refused.Rebuilt || effect.Rebuilt {
		j.computeWhole()
		return
	}
	gone := slices.Concat(refused.Gone, effect.Gone)
	isGone := map[*check.Cell]bool{}
	for _, c := range gone {
		isGone[c] = true
	}
	cells := slices.Concat(refused.Checked, effect.Checked)
	cells = slices.DeleteFunc(cells, func(c *check.Cell) bool { return isGone[c] })
	if change, err := j.put(cells, gone); err != nil || change.Halted {
		j.computeWhole()
	}
}

// own gives what is wrong with the lines of a step as they are written.
func own(changes []check.Change) diag.List {
	var out diag.List
	for _, c := range changes {
		for _, it := range c.Items {
			for _, m := range it.Messages {
				if m.Level == diag.Mistake {
					out.Add(m)
				}
			}
		}
	}
	return out
}

// faults gives the mistakes that stand in the lines of a step, and those that bring the sheet into disorder.
func (j *Job) faults(lines []stretch, effect check.Effect, irregular bool, before *memory) diag.List {
	sources := j.within(lines)
	var out diag.List
	if !effect.Rebuilt {
		for _, c := range effect.Checked {
			if !sources[c.Item.Source] {
				continue
			}
			if c.Fault != nil && c.Root == nil {
				out.Add(c.Fault)
			}
			for _, m := range c.Messages {
				if m.Level == diag.Mistake {
					out.Add(m)
				}
			}
		}
		return out
	}
	j.walkOld(before)
	disorder := j.Checked.Irregular() && !irregular
	for _, s := range j.Checked.Sheets {
		for _, m := range s.Messages() {
			if m.Level == diag.Mistake && (sources[m.Source] || disorder) && !before.told(m) {
				out.Add(m)
			}
		}
	}
	return out
}

// ErrNothing says that there is no step to take back or to do again.
var ErrNothing = errors.New("nothing to do")

// Undo takes the last step back.
func (j *Job) Undo() (*Report, error) { return j.turn(&j.done, &j.undone) }

// Redo does again what was taken back last.
func (j *Job) Redo() (*Report, error) { return j.turn(&j.undone, &j.done) }

// turn carries the last step of one pile out and puts its inverse on the other.
func (j *Job) turn(from, to *[]step) (*Report, error) {
	if len(*from) == 0 {
		return nil, ErrNothing
	}
	s := (*from)[len(*from)-1]
	back := step{label: s.label, splices: inverse(s.splices)}
	var r *Report
	var err error
	if s.state != nil {
		back.state = j.state()
		r, err = j.become(s.label, s.state)
	} else {
		r, err = j.carryOut(s.label, s.splices, any)
	}
	if err != nil {
		return nil, err
	}
	*from = (*from)[:len(*from)-1]
	*to = append(*to, back)
	return r, nil
}

// state is what the job is made from now.
func (j *Job) state() *state {
	s := &state{kept: map[string]*kept{}}
	for _, sheet := range j.Checked.Sheets {
		s.texts = append(s.texts, check.Text{Name: sheet.Name, Text: sheet.File.Print()})
	}
	if j.files != nil {
		for name, k := range j.files.kept {
			s.kept[name] = k
		}
	}
	return s
}

// become makes the job anew from a state. Where the journal cannot be written the job is as it was.
func (j *Job) become(label string, s *state) (*Report, error) {
	if j.store != nil && j.store.readOnly != nil && label != "reload" {
		return nil, refuse("This job can be looked at here and not changed.", "")
	}
	if j.store != nil {
		j.store.stamp = ""
	}
	defer j.begin()()
	j.clearLine()
	before := &memory{shown: map[string]look{}, j: j, messages: map[string]bool{}}
	j.walkOld(before)
	before.hear()
	old := j.worked()
	if j.set(s); j.halted {
		j.putBack(old)
		return nil, errStopped()
	}
	if err := j.store.rebase(j.Texts()); err != nil {
		j.putBack(old)
		return nil, err
	}
	r := &Report{Label: label}
	j.compare(r, before)
	return r, nil
}

// set makes the sheets and the engine anew from a state. What was there before is left as it is.
func (j *Job) set(s *state) {
	if j.files != nil {
		j.files.kept = maps.Clone(s.kept)
	}
	j.Checked = j.check(s.texts)
	if j.halted = j.meter.Stopped(); !j.halted {
		j.compute()
	}
}

// worked is a job as it was checked and worked out.
type worked struct {
	checked *check.Job
	sheets  []*check.Sheet
	engine  *engine.Job
	cells   map[engine.ID]*check.Cell
	forms   map[engine.ID]form
	kept    map[string]*kept
}

func (j *Job) worked() worked {
	w := worked{checked: j.Checked, sheets: j.Sheets, engine: j.Engine, cells: j.cells, forms: j.forms}
	if j.files != nil {
		w.kept = j.files.kept
	}
	return w
}

// putBack puts a job in the place of one that was made anew from a state.
func (j *Job) putBack(w worked) {
	j.Checked, j.Sheets, j.Engine, j.cells, j.forms, j.line = w.checked, w.sheets, w.engine, w.cells, w.forms, engine.Edit{}
	if j.files != nil {
		j.files.kept = w.kept
	}
}

// Texts gives the text of each sheet as it stands in memory.
func (j *Job) Texts() map[string]string {
	out := map[string]string{}
	for _, s := range j.Checked.Sheets {
		out[s.Name] = s.File.Print()
	}
	return out
}
