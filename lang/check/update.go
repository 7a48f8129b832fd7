package check

import (
	"maps"
	"slices"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// Change puts items in the place of n items of a file, from index At.
type Change struct {
	File  *syntax.File
	At, N int
	Items []*syntax.Item
}

// Effect says what an update did to the cells.
type Effect struct {
	Rebuilt bool    // all sheets were made anew: no cell of before is one of the job any more
	Checked []*Cell // checked anew, those that others rest on first
	Gone    []*Cell
	New     diag.List // the mistakes that were not told before; not where all was made anew
}

// File gives the file of a neighbouring sheet.
func (j *Job) File(sheet string) *syntax.File { return j.file(sheet) }

// Sheet gives a neighbouring sheet.
func (j *Job) Sheet(name string) *Sheet { return j.neighbour[name] }

// Read reads lines that are to stand in a file of the job. The units that they state are known in them; the job learns them
// when the lines are taken.
func (j *Job) Read(f *syntax.File, text string) []*syntax.Item {
	own := map[string]bool{}
	for _, u := range syntax.ScanUnits(text) {
		for _, n := range append(plurals(u), u) {
			own[n] = true
		}
	}
	return f.ReadItems(text, func(word string) bool { return own[word] || j.isUnit(word) })
}

// Update changes files and checks what that reaches. An edit of plain cells reaches their users alone; one of units, rules,
// parts, or of a sheet in disorder makes the job anew.
func (j *Job) Update(changes []Change) Effect {
	plain := !j.WillRebuild(changes)
	old := make([][]*syntax.Item, len(changes))
	for i, c := range changes {
		old[i] = c.File.Replace(c.At, c.N, c.Items)
	}
	if !plain {
		return j.Rebuild()
	}
	u := &update{j: j, dirty: map[*Cell]bool{}, seen: map[*Cell]seen{}}
	for i, c := range changes {
		for _, s := range j.all {
			if s.File == c.File {
				u.items(s, old[i], c.Items)
			}
		}
	}
	u.watchers(j.anyPlace())
	for _, c := range u.gone {
		c.unwatch()
		u.dirty[c] = false
	}
	u.cells = slices.DeleteFunc(u.cells, func(c *Cell) bool { return !u.dirty[c] })
	if u.rebuild || j.irregular || u.closesRing() {
		return j.Rebuild()
	}
	e := Effect{Checked: j.settleFrom(u.cells, u.seen), Gone: u.gone}
	if j.irregular {
		return j.Rebuild()
	}
	e.New = u.news(e.Checked)
	return e
}

// news lists the mistakes of cells that were not told of them before.
func (u *update) news(cells []*Cell) diag.List {
	var out diag.List
	told := map[*Cell]bool{}
	for _, c := range cells {
		if told[c] {
			continue
		}
		told[c] = true
		old := u.seen[c].mistakes
		for _, m := range c.mistakes() {
			if !slices.ContainsFunc(old, func(o *diag.Message) bool { return o.Text == m.Text }) {
				out.Add(m)
			}
		}
	}
	return out
}

// WillRebuild tells whether changes that are still to come need the job made anew.
func (j *Job) WillRebuild(changes []Change) bool {
	if j.irregular {
		return true
	}
	for _, c := range changes {
		if !all(c.File.Items[c.At:c.At+c.N], isPlain) || !all(c.Items, isPlain) || len(c.Items) > most || c.besideUnread() {
			return true
		}
	}
	return false
}

// besideUnread tells whether a change stands next to lines that could not be read: they may read otherwise by it.
func (c Change) besideUnread() bool {
	items := c.File.Items
	for i := c.At - 1; i >= 0; i-- {
		if items[i].Bad {
			return true
		}
		if items[i].Statement != nil {
			break
		}
	}
	for i := c.At + c.N; i < len(items); i++ {
		if items[i].Bad {
			return true
		}
		if items[i].Statement != nil {
			break
		}
	}
	return false
}

// Irregular tells whether some name is written twice, or cells rest on each other in a ring.
func (j *Job) Irregular() bool { return j.irregular }

// Rebuild makes the job anew from its files.
func (j *Job) Rebuild() Effect {
	was := j.own
	j.own = map[string]bool{}
	for _, f := range j.texts {
		j.learnUnits(f.Print())
	}
	if !sameWords(was, j.own) || j.unread() {
		j.readAgain()
	}
	j.build()
	return Effect{Rebuilt: true}
}

// Forget lets a file that a job takes from elsewhere be read again at the next rebuild.
func (j *Job) Forget() {
	for key := range j.texts {
		if !strings.HasPrefix(key, "sheet ") {
			delete(j.texts, key)
		}
	}
}

// unread tells whether some lines could not be read: what stands behind them may read otherwise now.
func (j *Job) unread() bool {
	for _, f := range j.texts {
		if !all(f.Items, func(it *syntax.Item) bool { return !it.Bad }) {
			return true
		}
	}
	return false
}

func sameWords(a, b map[string]bool) bool {
	if len(a) != len(b) {
		return false
	}
	for w := range a {
		if !b[w] {
			return false
		}
	}
	return true
}

func all(items []*syntax.Item, is func(*syntax.Item) bool) bool {
	return !slices.ContainsFunc(items, func(it *syntax.Item) bool { return !is(it) })
}

// isPlain tells whether an edit of a statement touches cells alone.
func isPlain(it *syntax.Item) bool {
	switch st := it.Statement.(type) {
	case nil:
		return !it.Bad
	case *syntax.Cell, *syntax.Ask, *syntax.Check, *syntax.Section:
		return !it.Bad
	case *syntax.Table:
		return !it.Bad && st.From == nil
	}
	return false
}

// most is how many statements at once are taken one by one.
const most = 64

// update is a change of plain cells on its way.
type update struct {
	j       *Job
	cells   []*Cell // to be checked anew
	dirty   map[*Cell]bool
	seen    map[*Cell]seen // how the cells were that were taken out
	gone    []*Cell
	rebuild bool
	refs    map[*Cell][]*Cell // worked out by below
	users   map[*Cell][]*Cell // those among cells that name a cell
}

func (u *update) check(c *Cell) {
	if !u.dirty[c] {
		u.dirty[c] = true
		u.cells = append(u.cells, c)
	}
}

// watchers has the cells checked anew that looked a name up.
func (u *update) watchers(e *entry) {
	for _, x := range e.users {
		u.check(x.cell)
	}
}

// nameChanged has the cells checked anew that looked for a name that comes or goes, and those that tell a nearest name.
func (u *update) nameChanged(s *Sheet, name string) {
	u.watchers(s.named(name))
	u.watchers(u.j.anyName())
}

// items takes the cells of some statements out of a sheet and puts those of others in. A cell that keeps its name stays the
// same cell, so that its users need not be checked anew.
func (u *update) items(s *Sheet, old, items []*syntax.Item) {
	left := map[string]*Cell{}
	for _, it := range old {
		for _, c := range s.cellsOf[it] {
			u.leave(s, c, left)
		}
		delete(s.cellsOf, it)
		s.messages = slices.DeleteFunc(s.messages, func(m *diag.Message) bool { return m.Source == it.Source })
	}
	s.listed = nil
	u.rebuild = u.rebuild || s.Parent != nil && len(s.messages) > 0 // it may list the inputs of the part
	for _, it := range items {
		s.gather(it)
		for i, c := range s.cellsOf[it] {
			c = u.enter(s, c, left)
			s.cellsOf[it][i] = c
			u.check(c)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(left)) { // "pours" before "pours.day"
		c := left[name]
		u.rebuild = u.rebuild || s.replaced[c.Name] != nil
		u.gone = append(u.gone, c)
		if c.Name != "" {
			u.nameChanged(s, c.Name)
		}
		if c.hidden != nil {
			u.gone = append(u.gone, c.hidden)
		}
	}
}

func (u *update) leave(s *Sheet, c *Cell, left map[string]*Cell) {
	switch {
	case c.hides != nil: // goes with the column above it
	case c.Name == "" || left[c.Name] != nil: // a column that stands twice
		u.gone = append(u.gone, c)
	default:
		u.rebuild = u.rebuild || s.stoodBack[c.Name]
		left[c.Name], u.seen[c] = c, c.seen()
		s.named(c.Name).cell = nil
		delete(s.folded, strings.ToLower(c.Name))
		u.rebuild = u.rebuild || s.replaced[c.Name] != nil && !c.replaceable()
	}
}

// replaceable tells whether a part can put something in the place of a cell.
func (c *Cell) replaceable() bool {
	return c.Role == Input || c.Role == Ask || c.Role == Rate || c.Role == Rows
}

// enter puts a new cell into the place of one of the same name that leaves.
func (u *update) enter(s *Sheet, c *Cell, left map[string]*Cell) *Cell {
	if c.hides != nil || c.Name == "" {
		return c
	}
	u.rebuild = u.rebuild || s.replaced[c.Name] != nil && !c.replaceable() || u.j.neighbour[c.Name] != nil && len(u.j.Sheets) > 1
	was := left[c.Name]
	if was == nil {
		u.nameChanged(s, c.Name)
		return c
	}
	delete(left, c.Name)
	hidden := was.hidden
	if hidden != nil && c.hidden == nil {
		u.gone = append(u.gone, hidden)
	}
	kept := *was
	*was = *c
	was.ID, was.deps = kept.ID, kept.deps
	if c.hidden != nil {
		if hidden != nil {
			c.hidden.ID = hidden.ID
		}
		c.hidden.hides = was
	}
	if was.Check != nil {
		was.Check.Cond = was
	}
	s.named(c.Name).cell = was
	if c.Table == nil {
		s.folded[strings.ToLower(c.Name)] = was
	}
	for _, k := range c.Columns { // the columns come behind their table
		k.Table = was
	}
	if c.Table != nil {
		i := slices.Index(c.Table.Columns, c)
		if i < 0 {
			u.rebuild = true
			return was
		}
		c.Table.Columns[i] = was
	}
	return was
}

// closesRing tells whether a cell to be checked comes to rest on itself.
func (u *update) closesRing() bool {
	u.refs, u.users = map[*Cell][]*Cell{}, map[*Cell][]*Cell{}
	for _, c := range u.cells {
		for _, r := range u.below(c) {
			u.users[r] = append(u.users[r], c)
		}
	}
	return slices.ContainsFunc(u.cells, u.reaches)
}

// below gives the cells that a cell's text names, worked out once.
func (u *update) below(c *Cell) []*Cell {
	refs, ok := u.refs[c]
	if !ok {
		refs = c.refs()
		u.refs[c] = refs
	}
	return refs
}

// link is a cell that perhaps rests on another: it looked the name up, or names it since this update.
type link struct{ cell, on *Cell }

// reaches tells whether a cell rests on itself. It goes from the cell to its users and to what it rests on at the same
// time, a step each, so that the smaller side decides how long it takes.
func (u *update) reaches(c *Cell) bool {
	var up []link
	down := slices.Clone(u.below(c))
	seenUp, seenDown := map[*Cell]bool{}, map[*Cell]bool{}
	climb := func(x *Cell) {
		for _, w := range u.users[x] {
			up = append(up, link{w, x})
		}
		if x.Name != "" {
			for _, w := range x.Sheet.named(x.Name).users {
				up = append(up, link{w.cell, x})
			}
		}
	}
	climb(c)
	for i := 0; i < len(up) && i < len(down); i++ {
		if w := up[i]; !seenUp[w.cell] && slices.Contains(u.below(w.cell), w.on) {
			seenUp[w.cell] = true
			climb(w.cell)
		}
		if seenUp[c] || down[i] == c {
			return true
		}
		for _, r := range u.below(down[i]) {
			if !seenDown[r] {
				seenDown[r] = true
				down = append(down, r)
			}
		}
	}
	return false
}
