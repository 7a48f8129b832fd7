package engine

import (
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
}

// maxKept is how many mistakes a set of causes keeps.
const maxKept = 5

// causes keeps sets of causes, each set once, so that equal sets have equal marks and early cut-off can compare them.
type causes struct {
	list   []Cause
	byText map[string]int32
	sets   [][]int32
	bySet  map[string]value.Mark
	merged map[[2]value.Mark]value.Mark
}

func newCauses() *causes {
	return &causes{byText: map[string]int32{}, sets: [][]int32{nil}, bySet: map[string]value.Mark{}, merged: map[[2]value.Mark]value.Mark{}}
}

// intern gives the mark of one cause.
func (c *causes) intern(x Cause) value.Mark {
	key := fmt.Sprintf("%d|%d|%s|%s|%s|%s|%d|%v", x.State, x.Kind, x.Name, x.Cell, x.Text, x.WayOut, x.Row, placeKey(x.Place))
	i, ok := c.byText[key]
	if !ok {
		i = int32(len(c.list))
		c.list = append(c.list, x)
		c.byText[key] = i
	}
	return c.set([]int32{i})
}

func placeKey(p program.Place) string {
	k := fmt.Sprintf("%p%v", p.Source, p.Span)
	if p.Inside != nil {
		k += placeKey(*p.Inside)
	}
	return k
}

func (c *causes) set(ids []int32) value.Mark {
	if len(ids) == 0 {
		return 0
	}
	key := fmt.Sprint(ids)
	m, ok := c.bySet[key]
	if !ok {
		m = value.Mark(len(c.sets))
		c.sets = append(c.sets, ids)
		c.bySet[key] = m
	}
	return m
}

// state gives the state of a mark: that of its causes, which are all of one.
func (c *causes) state(m value.Mark) value.State {
	if m == 0 {
		return value.OK
	}
	return c.list[c.sets[m][0]].State
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
		ids := slices.Concat(c.sets[a], c.sets[b])
		slices.Sort(ids)
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

// without leaves out the flags of the named causes.
func (c *causes) without(m value.Mark, names []string) value.Mark {
	if c.state(m) != value.Flagged {
		return m
	}
	var ids []int32
	for _, i := range c.sets[m] {
		if !slices.Contains(names, c.list[i].Name) {
			ids = append(ids, i)
		}
	}
	return c.set(ids)
}

// of lists the causes of a mark.
func (c *causes) of(m value.Mark) []Cause {
	if m == 0 {
		return nil
	}
	var out []Cause
	for _, i := range c.sets[m] {
		out = append(out, c.list[i])
	}
	return out
}

// inRow names the row of causes that arose in a list.
func (c *causes) inRow(m value.Mark, row int) value.Mark {
	if m == 0 {
		return m
	}
	out := value.Mark(0)
	for _, x := range c.of(m) {
		if x.Row == 0 && (x.Kind == Failure || x.Kind == Range) {
			x.Row = row
		}
		out = c.merge(out, c.intern(x))
	}
	return out
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
