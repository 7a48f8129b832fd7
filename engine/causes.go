package engine

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/program"
	"castwright/lang/value"
)

// Kind says what sort of cause a state has.
type Kind uint8

// The kinds of causes.
const (
	Waiting    Kind = iota // an ask without an answer: open
	Assumption             // an ask with an assumed value: flagged
	Range                  // outside the range of a rule's source: flagged
	Substitute             // `otherwise` took the second value: flagged
	Failure                // a mistake
)

// Cause is why a value is not ok.
type Cause struct {
	State  value.State
	Kind   Kind
	Name   string // the ask or rule, by which `accept` answers a flag
	Cell   string // the cell in which it arose
	Text   string // a sentence for the reader
	WayOut string
	Place  program.Place
	Row    int // the row, from 1; 0 where the value is single

	choice bool // it is not known whether a `where` takes the row: counting rows rests on it too
}

// maxKept is how many mistakes a set of causes keeps.
const maxKept = 5

// causeKey holds all that makes two causes one.
type causeKey struct {
	state        value.State
	kind         Kind
	choice       bool
	row          int
	name, cell   string
	text, wayOut string
	source       *diag.Source
	span         diag.Span
	insideRule   *diag.Source
	insideSpan   diag.Span
	further      string
}

func keyOf(x *Cause) causeKey {
	k := causeKey{state: x.State, kind: x.Kind, choice: x.choice, row: x.Row, name: x.Name, cell: x.Cell, text: x.Text,
		wayOut: x.WayOut, source: x.Place.Source, span: x.Place.Span}
	in := x.Place.Inside
	if in == nil {
		return k
	}
	k.insideRule, k.insideSpan = in.Source, in.Span
	for in = in.Inside; in != nil; in = in.Inside {
		k.further += fmt.Sprintf("%p%v", in.Source, in.Span)
	}
	return k
}

// causeSet is a set of causes of one state, in the order of compare.
type causeSet struct {
	ids   []int32
	stale bool // no value had it when it was last looked at
}

// causes keeps sets of causes, each set once, so that equal sets have equal marks and early cut-off can compare marks
// alone. Mark 0 is the empty set.
type causes struct {
	list   []Cause
	byKey  map[causeKey]int32
	sets   []causeSet
	bySet  map[string]value.Mark
	merged map[[2]value.Mark]value.Mark

	freeCauses []int32
	freeSets   []value.Mark
	sweepAt    int // how many sets there may be before those without use are looked for
	key        []byte
}

// sweepLeast is how many sets of causes there are before it pays to look for those without use.
const sweepLeast = 4096

func newCauses() *causes {
	return &causes{byKey: map[causeKey]int32{}, sets: make([]causeSet, 1), bySet: map[string]value.Mark{},
		merged: map[[2]value.Mark]value.Mark{}, sweepAt: sweepLeast}
}

// intern gives the mark of one cause.
func (c *causes) intern(x Cause) value.Mark {
	key := keyOf(&x)
	i, ok := c.byKey[key]
	if !ok {
		if n := len(c.freeCauses); n > 0 {
			i, c.freeCauses = c.freeCauses[n-1], c.freeCauses[:n-1]
			c.list[i] = x
		} else {
			i = int32(len(c.list))
			c.list = append(c.list, x)
		}
		c.byKey[key] = i
	}
	return c.set([]int32{i})
}

// set gives the mark of causes that are in order. It keeps no hold on ids.
func (c *causes) set(ids []int32) value.Mark {
	if len(ids) == 0 {
		return 0
	}
	c.key = c.key[:0]
	for _, id := range ids {
		c.key = binary.LittleEndian.AppendUint32(c.key, uint32(id))
	}
	if m, ok := c.bySet[string(c.key)]; ok {
		c.sets[m].stale = false
		return m
	}
	var m value.Mark
	if n := len(c.freeSets); n > 0 {
		m, c.freeSets = c.freeSets[n-1], c.freeSets[:n-1]
		c.sets[m] = causeSet{ids: slices.Clone(ids)}
	} else {
		m = value.Mark(len(c.sets))
		c.sets = append(c.sets, causeSet{ids: slices.Clone(ids)})
	}
	c.bySet[string(c.key)] = m
	return m
}

// state gives the state of a mark: that of its causes, which are all of one.
func (c *causes) state(m value.Mark) value.State {
	if m == 0 || int(m) >= len(c.sets) || len(c.sets[m].ids) == 0 {
		return value.OK
	}
	return c.list[c.sets[m].ids[0]].State
}

// usable tells whether a value with the mark holds something: it is ok or flagged.
func (c *causes) usable(m value.Mark) bool { return m == 0 || c.state(m) <= value.Flagged }

// compare puts causes in an order that depends on what they say alone, not on when they arose, so that the first five
// mistakes of a total are the same after any edits.
func (c *causes) compare(a, b int32) int {
	if a == b {
		return 0
	}
	x, y := &c.list[a], &c.list[b]
	rowOf := func(x *Cause) uint { return uint(x.Row - 1) } // no row comes last
	d := cmp.Or(cmp.Compare(x.Cell, y.Cell), cmp.Compare(rowOf(x), rowOf(y)), cmp.Compare(x.Place.Span.From, y.Place.Span.From),
		cmp.Compare(x.Text, y.Text), cmp.Compare(x.Name, y.Name), cmp.Compare(x.Kind, y.Kind), cmp.Compare(x.Place.Span.To, y.Place.Span.To),
		cmp.Compare(x.WayOut, y.WayOut))
	if d != 0 {
		return d
	}
	if x.choice != y.choice {
		if x.choice {
			return 1
		}
		return -1
	}
	return cmp.Or(strings.Compare(sourceName(&x.Place), sourceName(&y.Place)), compareInside(x.Place.Inside, y.Place.Inside), cmp.Compare(a, b))
}

// compareInside puts places in rules in an order, from the outermost rule inwards.
func compareInside(a, b *program.Place) int {
	for ; a != nil && b != nil; a, b = a.Inside, b.Inside {
		d := cmp.Or(strings.Compare(sourceName(a), sourceName(b)), cmp.Compare(a.Span.From, b.Span.From), cmp.Compare(a.Span.To, b.Span.To))
		if d != 0 {
			return d
		}
	}
	switch {
	case a != nil:
		return 1
	case b != nil:
		return -1
	}
	return 0
}

func sourceName(p *program.Place) string {
	if p.Source == nil {
		return ""
	}
	return p.Source.Name
}

// merge joins two marks; the causes of the worse state win.
func (c *causes) merge(a, b value.Mark) value.Mark {
	switch {
	case a == b || b == 0:
		return a
	case a == 0:
		return b
	}
	if a > b {
		a, b = b, a
	}
	key := [2]value.Mark{a, b}
	if m, ok := c.merged[key]; ok {
		return m
	}
	m := a
	switch sa, sb := c.state(a), c.state(b); {
	case sb > sa:
		m = b
	case sb == sa:
		ids := slices.Concat(c.sets[a].ids, c.sets[b].ids)
		slices.SortFunc(ids, c.compare)
		ids = slices.Compact(ids)
		if sa == value.Mistake && len(ids) > maxKept {
			ids = ids[:maxKept]
		}
		m = c.set(ids)
	}
	if len(c.merged) > 1<<16 {
		clear(c.merged)
	}
	c.merged[key] = m
	return m
}

// union gathers marks to join them at once: one after another, a thousand flags would make a thousand sets on the way.
type union struct {
	c     *causes
	state value.State
	marks []value.Mark
	seen  map[value.Mark]bool
}

func (u *union) add(m value.Mark) {
	if m == 0 || len(u.marks) > 0 && u.marks[len(u.marks)-1] == m { // most rows have the mark of their neighbour
		return
	}
	s := u.c.state(m)
	if s < u.state || u.seen[m] {
		return
	}
	if s > u.state {
		u.state, u.marks = s, u.marks[:0]
		clear(u.seen)
	}
	if u.seen == nil {
		u.seen = map[value.Mark]bool{}
	}
	u.seen[m] = true
	u.marks = append(u.marks, m)
}

// addAll gathers the marks of a column and of its fields.
func (u *union) addAll(v *value.Column) {
	u.add(v.All)
	for _, m := range v.Marks {
		u.add(m)
	}
	for i := range v.Fields {
		u.addAll(&v.Fields[i])
	}
}

// mark gives the mark of all that was gathered.
func (u *union) mark() value.Mark {
	switch len(u.marks) {
	case 0:
		return 0
	case 1:
		return u.marks[0]
	case 2:
		return u.c.merge(u.marks[0], u.marks[1])
	}
	var ids []int32
	for _, m := range u.marks {
		ids = append(ids, u.c.sets[m].ids...)
	}
	slices.SortFunc(ids, u.c.compare)
	ids = slices.Compact(ids)
	if u.state == value.Mistake && len(ids) > maxKept {
		ids = ids[:maxKept]
	}
	return u.c.set(ids)
}

// without leaves out the flags of the named causes.
func (c *causes) without(m value.Mark, names []string) value.Mark {
	if c.state(m) != value.Flagged {
		return m
	}
	var ids []int32
	for _, i := range c.sets[m].ids {
		if !slices.Contains(names, c.list[i].Name) {
			ids = append(ids, i)
		}
	}
	return c.set(ids)
}

// of lists the causes of a mark, each once.
func (c *causes) of(m value.Mark) []Cause {
	if m == 0 || int(m) >= len(c.sets) {
		return nil
	}
	var out []Cause
	seen := map[causeKey]bool{}
	for _, i := range c.sets[m].ids {
		x := c.list[i]
		x.choice = false
		if k := keyOf(&x); !seen[k] {
			seen[k] = true
			out = append(out, x)
		}
	}
	return out
}

// change gives a mark whose causes are each changed.
func (c *causes) change(m value.Mark, how func(*Cause)) value.Mark {
	out := value.Mark(0)
	for _, i := range slices.Clone(c.sets[m].ids) {
		x := c.list[i]
		how(&x)
		out = c.merge(out, c.intern(x))
	}
	return out
}

// inRow names the row of mistakes that arose in a cell.
func (c *causes) inRow(m value.Mark, cell string, row int) value.Mark {
	if c.state(m) != value.Mistake {
		return m
	}
	return c.change(m, func(x *Cause) {
		if x.Row == 0 && x.Cell == cell {
			x.Row = row
		}
	})
}

// asChoice marks causes as those of a condition that chooses rows: the row is there only perhaps.
func (c *causes) asChoice(m value.Mark) value.Mark {
	if c.usable(m) {
		return m
	}
	return c.change(m, func(x *Cause) { x.choice = true })
}

// sure takes the doubt from a mark whether the row is there at all.
func (c *causes) sure(m value.Mark) value.Mark {
	if c.choice(m) == 0 {
		return m
	}
	return c.change(m, func(x *Cause) { x.choice = false })
}

// choice gives the part of a mark that leaves open whether the row is there at all.
func (c *causes) choice(m value.Mark) value.Mark {
	if m == 0 {
		return 0
	}
	var ids []int32
	for _, i := range c.sets[m].ids {
		if c.list[i].choice {
			ids = append(ids, i)
		}
	}
	return c.set(ids)
}

// due tells whether it pays to look for sets that no value has.
func (c *causes) due() bool { return len(c.sets)-len(c.freeSets) > c.sweepAt }

// sweep frees the sets that no value has had for two sweeps. The delay lets a value that was handed out before an edit be
// read after it.
func (c *causes) sweep(used []bool) {
	clear(c.merged)
	keep := make([]bool, len(c.list))
	live := 0
	for m := 1; m < len(c.sets); m++ {
		s := &c.sets[m]
		if s.ids == nil {
			continue
		}
		if !used[m] && s.stale {
			c.key = c.key[:0]
			for _, id := range s.ids {
				c.key = binary.LittleEndian.AppendUint32(c.key, uint32(id))
			}
			delete(c.bySet, string(c.key))
			*s = causeSet{}
			c.freeSets = append(c.freeSets, value.Mark(m))
			continue
		}
		s.stale = !used[m]
		live++
		for _, id := range s.ids {
			keep[id] = true
		}
	}
	for i := range c.list {
		x := &c.list[i]
		if keep[i] || x.State == value.OK {
			continue
		}
		delete(c.byKey, keyOf(x))
		*x = Cause{}
		c.freeCauses = append(c.freeCauses, int32(i))
	}
	c.sweepAt = max(sweepLeast, 2*live)
}

// Message turns a cause into a message with its place.
func (x Cause) Message() *diag.Message {
	text := x.Text
	if x.Row > 0 {
		text = fmt.Sprintf("Row %d: %s", x.Row, text)
	}
	m := diag.New(x.Place.Source, x.Place.Span, text, x.WayOut)
	if x.State != value.Mistake {
		m.Level = diag.Notice
	}
	if in := x.Place.Inside; in != nil {
		m.Related = []diag.Related{{Source: in.Source, Span: in.Span, Text: "In the rule:"}}
	}
	return m
}

// sentence ends a text of the library with a full stop.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return s
	}
	if !strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "?") {
		s += "."
	}
	return s
}
