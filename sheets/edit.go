package sheets

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
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

// Refused is why an edit was not taken: the job is as it was.
type Refused struct{ Messages diag.List }

func (r *Refused) Error() string { return r.Messages[0].Error() }

func refuse(text, way string) error {
	return &Refused{diag.List{diag.New(nil, diag.Span{}, text, way)}}
}

// offset is where an item begins in the text of its file.
func offset(f *syntax.File, item int) int {
	n := 0
	for _, it := range f.Items[:item] {
		n += len(it.Source.Text)
	}
	return n
}

// at gives the place of a span of an item in the text of its file.
func at(f *syntax.File, it *syntax.Item, span diag.Span) int {
	return offset(f, slices.Index(f.Items, it)) + span.From - it.Source.Base
}

// piece is a run of items with the splices in it.
type piece struct {
	file    *syntax.File
	from, n int
	at      int // where its text begins
	splices []Splice
	text    string // with the splices put in
}

// pieces brings splices, which are in order, to the items that they touch, the last first, so that places stay right while
// they are put in.
func (j *Job) pieces(splices []Splice) ([]piece, error) {
	var out []piece
	for _, s := range splices {
		f := j.Checked.File(s.Sheet)
		if f == nil {
			return nil, refuse(fmt.Sprintf("There is no sheet %s.", s.Sheet), "")
		}
		p := touched(f, s)
		if k := len(out) - 1; k >= 0 && out[k].file == f && p.from+p.n > out[k].from {
			p.take(&out[k]) // both touch one item
			out[k] = p
			continue
		}
		out = append(out, p)
	}
	return joined(out)
}

// take makes a piece of two that touch; the splices of the one behind come first.
func (p *piece) take(behind *piece) {
	p.n = max(p.n, behind.from+behind.n-p.from)
	p.splices = append(slices.Clone(behind.splices), p.splices...)
}

// joined gives each piece its text. Where its last line has no end any more, what stands behind belongs to the same line; a
// byte-order mark is one at the beginning of a file alone.
func joined(all []piece) ([]piece, error) {
	var out []piece
	for _, p := range all {
		for {
			k := len(out) - 1
			near := k >= 0 && out[k].file == p.file
			behind := p.from + p.n
			if near && out[k].from < behind {
				p.take(&out[k])
				out = out[:k]
				continue
			}
			var err error
			if p.text, err = p.spliced(); err != nil {
				return nil, err
			}
			open := p.text != "" && !strings.HasSuffix(p.text, "\n")
			switch {
			case p.from > 0 && strings.HasPrefix(p.text, "\ufeff"):
				p.from, p.n = p.from-1, p.n+1
				p.at -= len(p.file.Items[p.from].Source.Text)
				continue
			case open && near && out[k].from == behind:
				p.take(&out[k])
				out = out[:k]
				continue
			case open && behind < len(p.file.Items):
				p.n++
				continue
			}
			break
		}
		out = append(out, p)
	}
	return out, nil
}

// touched finds the items whose text a splice changes. What is put in front of an item touches it, and what is put behind
// one that has no line end.
func touched(f *syntax.File, s Splice) piece {
	p := piece{file: f, splices: []Splice{s}}
	end, pos := s.At+len(s.Was), 0
	for i, it := range f.Items {
		text := it.Source.Text
		next := pos + len(text)
		if s.At < next && (end > pos || s.At == pos && s.Was == "") || s.At == next && !strings.HasSuffix(text, "\n") {
			if p.n == 0 {
				p.from, p.at = i, pos
			}
			p.n++
		}
		if pos = next; pos > end {
			break
		}
	}
	if p.n == 0 { // behind the last item
		p.from, p.at = len(f.Items), pos
	}
	return p
}

// spliced is what the splices make of the text of a piece.
func (p *piece) spliced() (string, error) {
	var b strings.Builder
	for _, it := range p.file.Items[p.from : p.from+p.n] {
		b.WriteString(it.Source.Text)
	}
	text := b.String()
	for _, s := range p.splices {
		k := s.At - p.at
		if k < 0 || k+len(s.Was) > len(text) || text[k:k+len(s.Was)] != s.Was {
			return "", refuse(fmt.Sprintf("The text of %s is not what this edit was made for.", s.Sheet), "Type it again.")
		}
		text = text[:k] + s.Is + text[k+len(s.Was):]
	}
	return text, nil
}

// changes reads the pieces anew with their splices put in.
func (j *Job) changes(splices []Splice) ([]check.Change, error) {
	ps, err := j.pieces(splices)
	if err != nil {
		return nil, err
	}
	var out []check.Change
	for _, p := range ps {
		items := j.Checked.Read(p.file, p.text)
		number(p.file.Items[:p.from], items)
		out = append(out, check.Change{File: p.file, At: p.from, N: p.n, Items: items})
	}
	return out, nil
}

// number counts the lines above items that are not in their file yet, for what is told of them where they are refused.
func number(above, items []*syntax.Item) {
	lines := 0
	for _, it := range above {
		lines += strings.Count(it.Source.Text, "\n")
	}
	for _, it := range items {
		it.Source.First = lines
		lines += strings.Count(it.Source.Text, "\n")
	}
}

// ordered puts splices in the order in which they are put in: by sheet, the last place first. At one place, what stands in
// the place of something comes before what is put in front of it. Pieces that lie over each other are refused.
func ordered(splices []Splice) ([]Splice, error) {
	out := slices.Clone(splices)
	sort.SliceStable(out, func(i, k int) bool {
		switch a, b := out[i], out[k]; {
		case a.Sheet != b.Sheet:
			return a.Sheet < b.Sheet
		case a.At != b.At:
			return a.At > b.At
		default:
			return a.Was != "" && b.Was == ""
		}
	})
	for i := 1; i < len(out); i++ {
		if a, b := out[i], out[i-1]; a.Sheet == b.Sheet && a.At+len(a.Was) > b.At {
			return nil, refuse("Two pieces of this edit lie over each other.", "Make them one.")
		}
	}
	return out, nil
}

// inverse takes splices back that are in order.
func inverse(splices []Splice) []Splice {
	out := make([]Splice, len(splices))
	shift := 0
	for i := len(splices) - 1; i >= 0; i-- {
		s := splices[i]
		if i+1 < len(splices) && splices[i+1].Sheet != s.Sheet {
			shift = 0
		}
		out[i] = Splice{s.Sheet, s.At + shift, s.Is, s.Was}
		shift += len(s.Is) - len(s.Was)
	}
	return out
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
	j.clearLine()
	before := j.remember(changes)
	if c >= careful {
		if ms := before.fresh(own(changes), c == renaming); len(ms) > 0 {
			return nil, &Refused{ms}
		}
	}
	irregular := j.Checked.Irregular()
	lines := stretches(changes)
	effect := j.Checked.Update(changes)
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
	if err := j.store.write(label, splices); err != nil {
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
	for j.compute(); j.halted; j.compute() {
	}
}

// takeBack brings the checked job back to what it was before splices that were refused. The engine has not seen them; it
// still holds the cells that went by them, in whose place others have come.
func (j *Job) takeBack(splices []Splice, refused check.Effect) {
	changes, err := j.changes(inverse(splices))
	if err != nil {
		panic(fmt.Sprintf("an edit could not be taken back: %v", err))
	}
	effect := j.Checked.Update(changes)
	if refused.Rebuilt || effect.Rebuilt {
		j.compute()
		return
	}
	gone := slices.Concat(refused.Gone, effect.Gone)
	isGone := map[*check.Cell]bool{}
	for _, c := range gone {
		isGone[c] = true
	}
	cells := slices.Concat(refused.Checked, effect.Checked)
	cells = slices.DeleteFunc(cells, func(c *check.Cell) bool { return isGone[c] })
	if _, err := j.put(cells, gone); err != nil {
		j.compute()
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

// stretch is where lines of an edit stand in the text of a file once they are put in.
type stretch struct {
	file     *syntax.File
	from, to int
}

// stretches tells where the lines of changes that are still to come will stand; the changes of a file come last first.
func stretches(changes []check.Change) []stretch {
	out := make([]stretch, len(changes))
	shift := 0
	for i := len(changes) - 1; i >= 0; i-- {
		c := changes[i]
		if i+1 < len(changes) && changes[i+1].File != c.File {
			shift = 0
		}
		from := offset(c.File, c.At) + shift
		to := from
		for _, it := range c.Items {
			to += len(it.Source.Text)
		}
		out[i] = stretch{c.File, from, to}
		shift += to - from - (offset(c.File, c.At+c.N) - offset(c.File, c.At))
	}
	return out
}

// within gives the sources of the items that stand in stretches now: all are read again where a word has become a unit.
func (j *Job) within(lines []stretch) map[*diag.Source]bool {
	out := map[*diag.Source]bool{}
	for _, l := range lines {
		at := 0
		for _, it := range l.file.Items {
			next := at + len(it.Source.Text)
			if at < l.to && next > l.from {
				out[it.Source] = true
			}
			at = next
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
	j.clearLine()
	before := &memory{shown: map[string]look{}, j: j, messages: map[string]bool{}}
	j.walkOld(before)
	before.hear()
	old := j.state()
	if j.set(s); j.halted {
		j.set(old)
		j.computeWhole()
		return nil, errStopped()
	}
	if err := j.store.rebase(j.Texts()); err != nil {
		j.set(old)
		return nil, err
	}
	r := &Report{Label: label}
	j.compare(r, before)
	return r, nil
}

// set makes the sheets and the engine anew from a state.
func (j *Job) set(s *state) {
	if j.files != nil {
		j.files.kept = maps.Clone(s.kept)
	}
	j.Checked.SetSheets(s.texts)
	j.compute()
}

// Texts gives the text of each sheet as it stands in memory.
func (j *Job) Texts() map[string]string {
	out := map[string]string{}
	for _, s := range j.Checked.Sheets {
		out[s.Name] = s.File.Print()
	}
	return out
}

func told(text string) diag.List { return diag.List{diag.New(nil, diag.Span{}, text, "")} }
