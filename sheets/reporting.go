package sheets

import (
	"sort"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// Shift is one value that an edit changed.
type Shift struct {
	Cell    *check.Cell // nil where it is gone
	Path    string
	Was, Is string // as shown; empty where it was not there, or is gone
	More    int    // of a column: how many further rows are shown otherwise
}

// Report says what an edit did: what else changed, the nearest first, and what has become a mistake by it.
type Report struct {
	Label    string
	Shifts   []Shift
	Messages diag.List
	stopped  bool
}

// memory is what a report compares with: how cells were shown, and what was told.
type memory struct {
	shown    map[string]look // of the cells that are edited, or of all where the job is made anew
	all      bool
	messages map[string]bool
	edited   map[*syntax.Item]bool // the lines that the edit brings, in the sheets that they stand in
	wrong    int                   // how many mistakes stood in the lines that the edit takes away
	j        *Job
}

// remember keeps what an edit is about to change: the cells of its lines, and all where the job will be made anew.
func (j *Job) remember(changes []check.Change) *memory {
	m := &memory{shown: map[string]look{}, j: j, messages: map[string]bool{}}
	m.all = j.Checked.WillRebuild(changes)
	m.edited = map[*syntax.Item]bool{}
	for _, ch := range changes {
		for _, it := range ch.Items {
			m.edited[it] = true
		}
	}
	add := func(c *check.Cell) {
		if tag(c) != "" && c.ID >= 0 {
			m.shown[tag(c)] = j.look(c)
		}
	}
	j.walk(func(s *check.Sheet) {
		if m.all {
			for _, c := range s.Cells() {
				add(c)
			}
			return
		}
		for _, ch := range changes {
			if ch.File != s.File {
				continue
			}
			for _, it := range ch.File.Items[ch.At : ch.At+ch.N] {
				m.note(it.Messages...)
				for _, c := range s.CellsOf(it) {
					add(c)
					m.note(c.Messages...)
					if c.Fault != nil && c.Root == nil {
						m.note(c.Fault)
					}
				}
			}
		}
	})
	if m.all {
		m.hear()
	}
	return m
}

// note keeps what is told before the edit.
func (m *memory) note(all ...*diag.Message) {
	for _, x := range all {
		if x.Level == diag.Mistake {
			m.messages[key(x)] = true
			m.wrong++
		}
	}
}

// fresh leaves those out that stood there before. Where they may be worded otherwise, as by renaming, they are counted.
func (m *memory) fresh(all diag.List, counted bool) diag.List {
	if counted && len(all) <= m.wrong {
		return nil
	}
	var out diag.List
	for _, x := range all {
		if !m.told(x) {
			out.Add(x)
		}
	}
	return out
}

// hear notes all that is told now.
func (m *memory) hear() {
	for _, s := range m.j.Checked.Sheets {
		for _, x := range s.Messages() {
			m.messages[key(x)] = true
		}
	}
}

func key(m *diag.Message) string {
	if m.Source == nil {
		return m.Text
	}
	return m.Source.Name + "|" + m.Source.Cut(m.Span) + "|" + m.Text
}

func (m *memory) told(x *diag.Message) bool { return m.messages[key(x)] }

// settle brings a checked change to the engine and reports what it did.
func (j *Job) settle(label string, effect check.Effect, before *memory) *Report {
	r := &Report{Label: label}
	if effect.Rebuilt {
		j.walkOld(before)
		if j.compute(); j.halted {
			r.stopped = true
			return r
		}
		j.compare(r, before)
		return r
	}
	was := map[engine.ID]look{}
	kinds := j.before(effect, was)
	j.Engine.Before = func(id engine.ID) {
		if c := j.cells[id]; c != nil && tag(c) != "" && len(was) < mostShifts {
			if _, ok := was[id]; !ok {
				was[id] = j.look(c)
			}
		}
	}
	change, err := j.put(effect.Checked, effect.Gone)
	j.Engine.Before = nil
	if r.stopped = change.Halted; r.stopped {
		return r
	}
	if err != nil { // what the checker lets pass the engine takes; if not, the job is made anew
		j.compute()
		return r
	}
	change.Changed = append(change.Changed, missing(kinds, change.Changed)...)
	j.near(r, effect, change, was, before)
	r.Messages = effect.New
	return r
}

// before notes what the engine still holds of the cells that were checked again: how those are shown whose kind is another
// now, whether or not their numbers change.
func (j *Job) before(effect check.Effect, was map[engine.ID]look) (kinds []engine.ID) {
	for _, c := range effect.Checked {
		id := engine.ID(c.ID)
		if c.ID < 0 || j.cells[id] != c {
			continue
		}
		if old := j.forms[id]; tag(c) != "" && c.Check == nil && !old.kind.Same(c.Type) && len(was) < mostShifts {
			was[id] = j.look(c)
			kinds = append(kinds, id)
		}
	}
	return kinds
}

// missing gives those that are not in a list.
func missing(ids, list []engine.ID) []engine.ID {
	in := make(map[engine.ID]bool, len(list))
	for _, id := range list {
		in[id] = true
	}
	var out []engine.ID
	for _, id := range ids {
		if !in[id] {
			out = append(out, id)
		}
	}
	return out
}

// mostShifts is how many changed values a report compares.
const mostShifts = 10_000

// near lists what changed.
func (j *Job) near(r *Report, effect check.Effect, change engine.Change, was map[engine.ID]look, before *memory) {
	n := 0
	for _, id := range change.Changed {
		c := j.cells[id]
		if c == nil || tag(c) == "" {
			continue
		}
		if n++; n > mostShifts {
			break
		}
		old, ok := before.shown[tag(c)]
		if !ok {
			old, ok = was[id]
		}
		r.shift(j, c, old, ok)
	}
	j.sortNear(r, before)
	for _, c := range effect.Gone {
		if old, ok := before.shown[tag(c)]; ok && tag(c) != "" {
			r.Shifts = append(r.Shifts, Shift{Path: tag(c), Was: old.text})
		}
	}
}

// partsAway is how many steps away a part is told that changes with its sheet.
const partsAway = 100

// sortNear puts the cells first that the edit brings, then those that rest on them, the nearest first; parts, which change
// with their sheets, stand farther off.
func (j *Job) sortNear(r *Report, before *memory) {
	changed := map[*check.Cell]bool{}
	place := map[*check.Cell]int{} // in the order in which they were worked out
	for i, x := range r.Shifts {
		if x.Cell != nil {
			changed[x.Cell], place[x.Cell] = true, i
		}
	}
	distance := map[*check.Cell]int{}
	var queue []*check.Cell
	add := func(c *check.Cell, d int) {
		if _, ok := distance[c]; !ok {
			distance[c] = d
			queue = append(queue, c)
		}
	}
	for _, part := range []bool{false, true} {
		for _, x := range r.Shifts {
			if c := x.Cell; c != nil && before.edited[c.Item] && part == (c.Sheet.Parent != nil) {
				d := 0
				if part {
					d = partsAway
				}
				add(c, d)
			}
		}
	}
	for i := 0; i < len(queue); i++ {
		for _, u := range j.Users(queue[i]) {
			if changed[u] || tag(u) == "" {
				add(u, distance[queue[i]]+1)
			}
		}
	}
	sort.SliceStable(r.Shifts, func(i, k int) bool {
		a, b := r.Shifts[i].Cell, r.Shifts[k].Cell
		far := func(c *check.Cell) int {
			if d, ok := distance[c]; ok {
				return d
			}
			return 1 << 30
		}
		return far(a) < far(b) || far(a) == far(b) && place[a] < place[b]
	})
}

// compare lists what is shown otherwise than before a job was made anew.
func (j *Job) compare(r *Report, before *memory) {
	seen := map[string]bool{}
	j.walk(func(s *check.Sheet) {
		for _, c := range s.Cells() {
			if tag(c) == "" {
				continue
			}
			seen[tag(c)] = true
			old, ok := before.shown[tag(c)]
			r.shift(j, c, old, ok)
		}
	})
	j.sortNear(r, before)
	var gone []string
	for path := range before.shown {
		if !seen[path] {
			gone = append(gone, path)
		}
	}
	sort.Strings(gone)
	for _, path := range gone {
		r.Shifts = append(r.Shifts, Shift{Path: path, Was: before.shown[path].text})
	}
	for _, s := range j.Checked.Sheets {
		for _, m := range s.Messages() {
			if m.Level == diag.Mistake && !before.told(m) {
				r.Messages.Add(m)
			}
		}
	}
}

// walkOld remembers how the cells were shown that the engine still holds.
func (j *Job) walkOld(m *memory) {
	if m.all {
		return
	}
	m.all = true // the checker found disorder after all
	for id, c := range j.cells {
		if _, ok := m.shown[tag(c)]; !ok && tag(c) != "" && j.Engine.Value(id) != nil {
			m.shown[tag(c)] = j.look(c)
		}
		if x := j.Engine.Formula(id).Fault; x != nil {
			m.messages[key(x.Message())] = true
		}
	}
}
