package sheets

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/value"
)

// Given is what a handout gives to its reader, and no more (ruling 38).
type Given struct {
	Handout  *check.Handout
	Title    string
	Lines    []GivenLine
	Tables   []GivenTable
	Cautions []string
}

// GivenLine is one value.
type GivenLine struct {
	Item   *check.HandoutItem
	Name   string
	Cell   *check.Cell // that holds the value
	Fill   bool        // its reader fills it in
	Empty  bool        // it is not known yet, or rests on what its reader fills in
	Remark string      // in words
	Note   string
	Check  *CheckResult // where a check is listed
}

// GivenTable is columns side by side that have the same rows.
type GivenTable struct {
	Name    string
	Note    string
	Columns []GivenColumn
	Rows    int
}

// Notes gives the notes that go in with the table and its columns, each in words.
func (t *GivenTable) Notes() []string {
	var out []string
	if t.Note != "" {
		out = append(out, t.Note)
	}
	for _, k := range t.Columns {
		if k.Note != "" {
			out = append(out, k.Name+": "+k.Note)
		}
	}
	return out
}

// GivenColumn is one column; Fill are the rows that its reader fills in, Empty those that stay empty, from 0.
type GivenColumn struct {
	Item  *check.HandoutItem
	Name  string
	Cell  *check.Cell
	Field int // of rows of a table, which column; -1 for a column alone
	Fill  map[int]bool
	Empty map[int]bool
	Note  string
}

// Handouts lists the handouts of a job.
func (j *Job) Handouts() []*check.Handout {
	var out []*check.Handout
	for _, s := range j.Sheets {
		out = append(out, s.Handouts()...)
	}
	return out
}

// FindHandout gives a handout by its name, "supplier", or with its sheet, "offer.supplier".
func (j *Job) FindHandout(name string) (*check.Handout, error) {
	var names []string
	var found []*check.Handout
	for _, h := range j.Handouts() {
		if h.Sheet.Name+"."+h.Name == name {
			return h, nil
		}
		if h.Name == name {
			found = append(found, h)
		}
		names = append(names, h.Name)
	}
	if len(found) == 1 {
		return found[0], nil
	}
	if len(found) > 1 {
		var full []string
		for _, h := range found {
			full = append(full, h.Sheet.Name+"."+h.Name)
		}
		return nil, refuse(fmt.Sprintf("There are %d handouts %s.", len(found), name), "Say which: "+diag.Or(full)+".")
	}
	if len(names) == 0 {
		return nil, refuse("This job has no handout.", `Write one: handout supplier "Materials order", the cells below it, end.`)
	}
	way := diag.DidYouMean(diag.Near(name, names))
	if way == "" {
		way = "It has " + diag.Or(names) + "."
	}
	return nil, refuse(fmt.Sprintf("There is no handout %s.", name), way)
}

// Give makes out what the reader of a handout sees. It stops where a listed text would tell of a cell outside the list, and
// where a formula goes in that may not.
func (j *Job) Give(h *check.Handout) (*Given, error) {
	g := &giver{j: j, h: h, listed: map[*check.Cell]bool{}, chosen: map[chosenRows]bool{}}
	for _, x := range h.Items {
		if x.Target == nil {
			continue
		}
		for _, c := range append([]*check.Cell{x.Target}, x.Target.Columns...) {
			if x.Chosen {
				g.chosen[chosenRows{c, whereOf(x.Text)}] = true
			} else {
				g.listed[c] = true
			}
		}
	}
	out := &Given{Handout: h, Title: j.Words(h.Title)}
	if out.Title == "" {
		out.Title = h.Name
	}
	if h.Title != nil {
		g.texts(h.Title, "the title", "")
	}
	for _, x := range h.Items {
		g.item(out, x)
	}
	out.Cautions = append(g.cautions(), g.flagged...)
	if len(g.messages) > 0 {
		return nil, &Refused{g.messages}
	}
	return out, nil
}

// giver makes a handout out.
type giver struct {
	j        *Job
	h        *check.Handout
	listed   map[*check.Cell]bool
	chosen   map[chosenRows]bool // columns of which some rows are listed
	flagged  []string            // of columns, in words
	messages diag.List
}

// chosenRows are rows of a column, or of all columns of a table, with the words by which they are chosen.
type chosenRows struct {
	column *check.Cell
	where  string
}

func (g *giver) stop(x *check.HandoutItem, text, way string) {
	if x == nil {
		g.messages.Add(diag.New(g.h.Item.Source, g.h.Item.Statement.Where(), text, way))
		return
	}
	g.messages.Add(diag.New(x.Source, x.Span, text, way))
}

func (g *giver) item(out *Given, x *check.HandoutItem) {
	c := x.Value
	if fault := c.Fault; fault != nil {
		g.messages.Add(fault)
		return
	}
	if t := x.Target; t == nil {
		g.texts(c, x.Text, "")
	} else if !isOpenAsk(t) { // which goes out empty
		if len(t.Columns) == 0 {
			g.texts(t, x.Text, whereOf(x.Text))
		}
		for _, k := range t.Columns {
			g.texts(k, k.Path(), whereOf(x.Text))
		}
		if x.Live {
			g.live(x)
		}
	}
	if c.Type.List && (x.Target == nil || x.Target.Check == nil) { // a check is told as a whole, not row by row
		g.columns(out, x)
		return
	}
	if c.Type.Form == kind.Record {
		g.stop(x, fmt.Sprintf("%s holds several values.", x.Text), "List those that its reader may see, one by one.")
		return
	}
	l := GivenLine{Item: x, Name: Spoken(x.Text), Cell: c}
	if x.WithNote && x.Target != nil {
		l.Note = x.Target.Note
	}
	if x.Target != nil && x.Target.Check != nil {
		r := g.j.judge(x.Target.Check)
		l.Check = &r
		if r.State == Fails && r.Else != nil {
			g.texts(r.Else, "the words of the check "+x.Text, "")
			l.Remark = r.Words
		}
	}
	l.Fill = x.Target != nil && isOpenAsk(x.Target)
	var empty bool
	empty, l.Remark = g.standing(g.j.State(c), g.j.Causes(c), l.Remark)
	l.Empty = empty || l.Fill
	if l.Fill {
		l.Remark = "please fill in"
	}
	out.Lines = append(out.Lines, l)
}

// isOpenAsk tells whether a cell waits for an answer, whatever is assumed meanwhile.
func isOpenAsk(c *check.Cell) bool {
	return c.Role == check.Ask && c.Answer != check.Given && c.Replaced == nil
}

// standing says how a value stands with its reader: what is not known yet is empty, what rests on an assumed value is told,
// and is empty where the same handout asks for that value.
func (g *giver) standing(state value.State, causes []engine.Cause, words string) (empty bool, remark string) {
	switch state {
	case value.Mistake:
		return true, "cannot be worked out"
	case value.Open:
		for _, x := range causes {
			for c := range g.listed {
				if c.Role == check.Ask && c.Path() == x.Name {
					return true, "follows from what is filled in"
				}
			}
		}
		return true, "not known yet"
	case value.OK:
		return false, words
	}
	for _, x := range causes {
		switch x.Kind {
		case engine.Assumption:
			for c := range g.listed {
				if c.Role == check.Ask && c.Path() == x.Name {
					return true, "follows from what is filled in"
				}
			}
			remark = "rests on an assumed value"
		case engine.Range:
			if remark == "" {
				remark = "outside the range of its source"
			}
		}
	}
	if words != "" && remark != "" {
		return false, words + "; " + remark
	}
	return false, words + remark
}

// columns adds columns that have the same rows to a table, or begins one.
func (g *giver) columns(out *Given, x *check.HandoutItem) {
	c := x.Value
	v := g.j.Value(c)
	name, short := x.Text, x.Text
	if i := strings.LastIndexByte(beforeWhere(x.Text), '.'); i > 0 && x.Target != nil && x.Target.Table != nil {
		name, short = x.Text[:i], beforeWhere(x.Text)[i+1:]
	}
	key := strings.TrimSpace(beforeWhere(name) + " " + whereOf(x.Text))
	var t *GivenTable
	for i := range out.Tables {
		if out.Tables[i].Name == key && out.Tables[i].Rows == v.Len() {
			t = &out.Tables[i]
		}
	}
	if t == nil {
		out.Tables = append(out.Tables, GivenTable{Name: key, Rows: v.Len()})
		t = &out.Tables[len(out.Tables)-1]
	}
	note := ""
	if x.WithNote && x.Target != nil {
		note = x.Target.Note
		if of := x.Target.Table; of != nil && of.Note == note { // a typed column has that of its table
			t.Note, note = note, ""
		}
	}
	if c.Type.Form != kind.Record {
		t.Columns = append(t.Columns, g.column(x, c, -1, Spoken(short), note, v))
		return
	}
	if note != "" {
		t.Note = note
	}
	for i, f := range c.Type.Fields {
		if i < len(v.Fields) {
			t.Columns = append(t.Columns, g.column(x, c, i, Spoken(f.Name), "", &v.Fields[i]))
		}
	}
}

// whereOf gives how rows are chosen, "where pieces.kind == "seat""; nothing where all are listed.
func whereOf(text string) string {
	return strings.TrimSpace(strings.TrimPrefix(text, beforeWhere(text)))
}

func beforeWhere(text string) string {
	before, _, _ := strings.Cut(text, " where ")
	return strings.TrimSpace(before)
}

// column makes out which rows of a column are given, filled in, or empty.
func (g *giver) column(x *check.HandoutItem, c *check.Cell, field int, name, note string, v *value.Column) GivenColumn {
	k := GivenColumn{Item: x, Name: name, Cell: c, Field: field, Note: note, Fill: map[int]bool{}, Empty: map[int]bool{}}
	of := x.Target
	if field >= 0 && of != nil && field < len(of.Columns) {
		of = of.Columns[field]
	}
	var typed *check.Data
	if of != nil {
		typed = TypedData(of)
	}
	doubts := map[string][]string{}
	for i := range v.Len() {
		id := engine.ID(c.ID)
		state, causes := g.j.Engine.RowState(id, i), g.j.Engine.RowCauses(id, i)
		if field >= 0 {
			state, causes = g.j.Engine.StateOf(v.Mark(i)), g.j.Engine.CausesOf(v.Mark(i))
		}
		empty, remark := g.standing(state, causes, "")
		k.Empty[i] = empty
		if typed != nil && state == value.Open {
			_, k.Fill[i] = slices.BinarySearch(typed.Open, int32(v.Row(i)))
		}
		if !empty && remark != "" {
			doubts[remark] = append(doubts[remark], fmt.Sprint(i+1))
		}
	}
	for _, remark := range slices.Sorted(maps.Keys(doubts)) {
		g.flagged = append(g.flagged, flaggedRows(x, name, doubts[remark], v.Len())+" "+remark+".")
	}
	return k
}

// flaggedRows names rows of a column, counted as they are listed: "Pours, Cost, rows 1 and 3:".
func flaggedRows(x *check.HandoutItem, name string, rows []string, all int) string {
	out := Spoken(x.Text)
	if t := x.Target; t != nil && t.Table != nil {
		out = Spoken(t.Table.Name)
	}
	if out != name {
		out += ", " + name
	}
	switch {
	case len(rows) == all:
		return out + ":"
	case len(rows) == 1:
		return out + ", row " + rows[0] + ":"
	case len(rows) > mostRows:
		return fmt.Sprintf("%s, rows %s and %d others:", out, strings.Join(rows[:mostRows], ", "), len(rows)-mostRows)
	}
	return out + ", rows " + strings.Join(rows[:len(rows)-1], ", ") + " and " + rows[len(rows)-1] + ":"
}

// mostRows is how many flagged rows of a column are named.
const mostRows = 20

// texts stops the handout where a text puts in a cell outside the list: that of a listed cell, and those that it takes over.
// Of a column of which rows are chosen, texts may put in what stands in the same rows.
func (g *giver) texts(c *check.Cell, what, where string) {
	seen, told := map[*check.Cell]bool{}, map[*check.Cell]bool{}
	var down func(c *check.Cell)
	down = func(c *check.Cell) {
		if seen[c] || !c.HasText() || isOpenAsk(c) && g.listed[c] {
			return
		}
		seen[c] = true
		for _, p := range c.PutIn() {
			k := p.Cell
			if g.listed[k] || k == c || told[k] || p.ByRow && where != "" && g.chosen[chosenRows{k, where}] {
				continue
			}
			told[k] = true
			g.stop(nil, fmt.Sprintf("The handout %s would tell of %s: %s puts it in.", g.h.Name, k.Path(), what), fmt.Sprintf("List %s, or write another text.", k.Path()))
		}
		for _, in := range c.Inputs {
			down(in)
		}
	}
	down(c)
}

// cautions gathers what the rules say, on which the listed values rest, where the work can hurt someone.
func (g *giver) cautions() []string {
	seen, told := map[*check.Cell]bool{}, map[string]bool{}
	var out []string
	var queue []*check.Cell
	for _, x := range g.h.Items {
		queue = append(queue, x.Value)
	}
	for len(queue) > 0 {
		c := queue[0]
		queue = queue[1:]
		if seen[c] {
			continue
		}
		seen[c] = true
		for _, r := range c.Rules {
			if r.Caution != "" && !told[r.Caution] {
				told[r.Caution] = true
				out = append(out, r.Caution)
			}
		}
		queue = append(queue, c.Inputs...)
	}
	sort.Strings(out)
	return out
}

// Spoken writes a name for a reader outside: "total_bags" as "Total bags", the last name of a path.
func Spoken(name string) string {
	name = beforeWhere(name)
	name = strings.ReplaceAll(name[strings.LastIndexByte(name, '.')+1:], "_", " ")
	if name == "" {
		return name
	}
	r := []rune(name)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
