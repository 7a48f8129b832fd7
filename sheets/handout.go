package sheets

import (
	"fmt"
	"sort"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
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
	Columns []GivenColumn
	Rows    int
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
	for _, h := range j.Handouts() {
		if h.Name == name || h.Sheet.Name+"."+h.Name == name {
			return h, nil
		}
		names = append(names, h.Name)
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
	g := &giver{j: j, h: h, listed: map[*check.Cell]bool{}}
	for _, x := range h.Items {
		if x.Target != nil {
			g.listed[x.Target] = true
			if !x.Chosen {
				for _, c := range x.Target.Columns {
					g.listed[c] = true
				}
			}
		}
	}
	out := &Given{Handout: h, Title: j.Words(h.Title)}
	if out.Title == "" {
		out.Title = h.Name
	}
	if h.Title != nil {
		g.texts(h.Title, "the title")
	}
	for _, x := range h.Items {
		g.item(out, x)
	}
	out.Cautions = g.cautions()
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
	messages diag.List
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
	if t := x.Target; t != nil {
		g.texts(t, x.Text)
		if x.Live {
			g.live(x)
		}
	}
	if c.Type.List {
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
			g.texts(r.Else, "the words of the check "+x.Text)
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
	where := strings.TrimPrefix(x.Text, beforeWhere(x.Text))
	key := strings.TrimSpace(beforeWhere(name) + where)
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
	}
	if c.Type.Form != kind.Record {
		t.Columns = append(t.Columns, g.column(x, c, -1, Spoken(short), note, v))
		return
	}
	for i, f := range c.Type.Fields {
		if i < len(v.Fields) {
			t.Columns = append(t.Columns, g.column(x, c, i, Spoken(f.Name), "", &v.Fields[i]))
		}
	}
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
	typed := of != nil && of.Data != nil
	for i := range v.Len() {
		id := engine.ID(c.ID)
		state, causes := g.j.Engine.RowState(id, i), g.j.Engine.RowCauses(id, i)
		if field >= 0 {
			state, causes = g.j.Engine.StateOf(v.Mark(i)), g.j.Engine.CausesOf(v.Mark(i))
		}
		empty, _ := g.standing(state, causes, "")
		k.Empty[i] = empty
		k.Fill[i] = typed && state == value.Open
	}
	return k
}

// texts stops the handout where a text puts in a cell outside the list: that of a listed cell, and those that it takes over.
func (g *giver) texts(c *check.Cell, what string) {
	seen := map[*check.Cell]bool{}
	var down func(c *check.Cell)
	down = func(c *check.Cell) {
		if seen[c] || c.Type.Form != kind.Text && c.Role != check.Words {
			return
		}
		seen[c] = true
		for _, p := range c.PutIn() {
			if !g.listed[p] && p != c {
				g.stop(nil, fmt.Sprintf("The handout %s would tell of %s: %s puts it in.", g.h.Name, p.Path(), what), fmt.Sprintf("List %s, or write another text.", p.Path()))
			}
		}
		for _, in := range c.Inputs {
			down(in)
		}
	}
	down(c)
}

// live stops the handout where a formula goes in that rests on a cell outside the list, or holds a number of its own.
func (g *giver) live(x *check.HandoutItem) {
	t := x.Target
	for _, in := range t.Inputs {
		if !g.listed[in] {
			g.stop(x, fmt.Sprintf("The formula of %s rests on %s, which is not listed.", x.Text, in.Path()), "List that too, or give the value without live.")
		}
	}
	if e := t.Expr(); e != nil {
		syntax.Walk(e, func(y syntax.Expr) {
			if telling(y) {
				g.stop(x, fmt.Sprintf("The formula of %s holds a value of its own: %s.", x.Text, t.Source.Cut(y.Where())), "Give that a cell of its own and list it, or give the value without live.")
			}
		})
	}
}

// telling tells whether an expression is a literal other than 0, 1 and one of a unit.
func telling(e syntax.Expr) bool {
	switch y := e.(type) {
	case *syntax.Quantity:
		if len(y.Parts) != 1 || y.Percent || !y.Parts[0].Number.Value.IsInt() {
			return true
		}
		n := y.Parts[0].Number.Value.Num()
		return !n.IsInt64() || n.Int64() != 0 && n.Int64() != 1
	case *syntax.DateLit:
		return true
	case *syntax.Text:
		for _, p := range y.Pieces {
			if p.Expr == nil && strings.TrimSpace(p.Words) != "" {
				return true
			}
		}
	}
	return false
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
