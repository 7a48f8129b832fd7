package report

import (
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
	"castwright/lang/value"
	"castwright/sheets"
)

// Why writes how a value comes about: the formula, the formula with its numbers, and so on down to the inputs; source,
// range and caution of each rule on the way; deep unfolds the rules too.
func (p *Report) Why(j *sheets.Job, c *check.Cell, deep bool) int {
	w := &reasons{p: p, j: j, home: c.Sheet, deep: deep, seen: map[*check.Cell]bool{}, rules: map[*check.Rule]bool{}}
	w.walk(c)
	if p.JSON {
		writeJSON(p.Out, map[string]any{"cells": w.views, "rules": w.facts}, false)
		return w.status(c)
	}
	w.writeRules()
	return w.status(c)
}

// reasons walks down from a cell to its inputs, each cell once.
type reasons struct {
	p     *Report
	j     *sheets.Job
	home  *check.Sheet
	deep  bool
	seen  map[*check.Cell]bool
	rules map[*check.Rule]bool
	order []*check.Rule
	views []whyView
	facts []ruleView
}

type whyView struct {
	view
	Formula     string   `json:"formula"`
	WithNumbers string   `json:"with_numbers"`
	Depth       int      `json:"depth"`
	Notes       []string `json:"notes,omitempty"`
}

type ruleView struct {
	Rule    string   `json:"rule"`
	About   string   `json:"about"`
	Source  string   `json:"source"`
	Needs   []string `json:"needs"`
	Holds   []string `json:"holds"`
	Caution string   `json:"caution"`
}

func (w *reasons) status(c *check.Cell) int {
	if w.j.State(c) == value.Mistake {
		return Wrong
	}
	return Fine
}

// walk goes depth first, with a stack of its own.
func (w *reasons) walk(start *check.Cell) {
	type item struct {
		cell  *check.Cell
		depth int
	}
	stack := []item{{start, 0}}
	for len(stack) > 0 {
		it := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		c := it.cell
		if w.seen[c] {
			continue
		}
		w.seen[c] = true
		if c.Name != "" {
			w.cell(c, it.depth)
		}
		for _, r := range c.Rules {
			if !w.rules[r] {
				w.rules[r] = true
				w.order = append(w.order, r)
				w.facts = append(w.facts, ruleView{r.Name, r.About, r.Source, append([]string{}, r.Needs...), append([]string{}, r.Holds...), r.Caution})
			}
		}
		for k := len(c.Inputs) - 1; k >= 0; k-- {
			stack = append(stack, item{c.Inputs[k], it.depth + 1})
		}
	}
}

// cell writes one cell: its formula, with numbers, its value.
func (w *reasons) cell(c *check.Cell, depth int) {
	state := w.j.State(c)
	formula, numbers := w.formula(c)
	shown := shownText(c, w.j.Value(c), state, w.j.Engine.StateOf)
	name := c.Label(w.home)
	if w.p.JSON {
		w.views = append(w.views, whyView{cellView(w.j, c, name), formula, numbers, depth, w.notes(c)})
		return
	}
	indent := strings.Repeat("  ", min(depth, 20))
	lead := indent + name + " = "
	under := indent + strings.Repeat(" ", diag.Width(name)) + " = "
	words := sheets.StateWords(w.j.Causes(c), state)
	last := shown
	if words != "" {
		last = strings.TrimSpace(last + "   " + words)
	}
	note := ""
	if c.Note != "" {
		note = "   # " + c.Note
	}
	role := c.Role
	if c.Replaced != nil && role != check.Rows && role != check.Column {
		role = check.Formula
	}
	switch role {
	case check.Rows:
		fmt.Fprintf(w.p.Out, "%s%s, a table of %s%s\n", indent, name, many(w.j.Value(c).Len(), "row"), note)
		return
	case check.Column:
		if c.Replaced == nil {
			fmt.Fprintln(w.p.Out, lead+last+note)
			return
		}
	case check.Input, check.Rate:
		limits := ""
		if c.Limits != nil {
			limits = " " + strings.TrimSpace(c.Limits.Text)
		}
		fmt.Fprintln(w.p.Out, lead+last+limits+note)
		return
	case check.Ask:
		if state == value.OK {
			last += "   given"
		}
		fmt.Fprintln(w.p.Out, lead+strings.TrimSpace(last)+note)
		return
	}
	fmt.Fprintln(w.p.Out, lead+formula+note)
	if numbers != formula && numbers != "" {
		fmt.Fprintln(w.p.Out, under+numbers)
	}
	if last != "" && last != numbers {
		fmt.Fprintln(w.p.Out, under+last)
	}
	for _, n := range w.notes(c) {
		fmt.Fprintln(w.p.Out, indent+"  "+n)
	}
	for _, x := range w.j.Causes(c) {
		if x.State == value.Mistake && x.Cell == c.Path() || x.State == value.Flagged && x.Cell == c.Path() {
			fmt.Fprintln(w.p.Out, indent+"  "+x.Message().Error())
		}
	}
	if c.Program != nil {
		for _, a := range c.Program.Accepts {
			fmt.Fprintf(w.p.Out, "%s  accepted: %s (%s)\n", indent, a.Why, strings.Join(a.Causes, ", "))
		}
	}
}

// notes gives what a value tells of how it came about: how an outline was read from a drawing.
func (w *reasons) notes(c *check.Cell) []string {
	v := w.j.Value(c)
	if c.Type.List || v == nil || len(v.Obj) != 1 {
		return nil
	}
	if n, ok := v.Obj[0].(value.Noted); ok {
		return n.Notes()
	}
	return nil
}

// formula gives the text of a cell's formula, and the same with the values of the cells that it names.
func (w *reasons) formula(c *check.Cell) (string, string) {
	e := c.Expr()
	if e == nil {
		return "", ""
	}
	cut := func(from, to int) string { return c.Source.Cut(diag.Span{From: from, To: to}) }
	at := e.Where()
	var spans []diag.Span
	raised := map[int]bool{} // where a name stands that a power is taken of: 95 mm^2 would be an area
	var collect func(x syntax.Expr)
	collect = func(x syntax.Expr) {
		if isPath(x) {
			spans = append(spans, x.Where())
			return
		}
		for i, y := range syntax.Children(x) {
			if op, ok := x.(*syntax.Binary); ok && op.Op == "^" && i == 0 && isPath(y) {
				raised[y.Where().From] = true
			}
			collect(y)
		}
	}
	collect(e)
	var b strings.Builder
	from := at.From
	for _, sp := range spans {
		if sp.From < from {
			continue
		}
		b.WriteString(cut(from, sp.From))
		number := w.number(c, cut(sp.From, sp.To))
		if raised[sp.From] && strings.ContainsAny(number, " -") {
			number = "(" + number + ")"
		}
		b.WriteString(number)
		from = sp.To
	}
	b.WriteString(cut(from, at.To))
	return flat(cut(at.From, at.To)), flat(b.String())
}

// flat joins the lines of a formula that goes over several.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

func isPath(x syntax.Expr) bool {
	for {
		f, ok := x.(*syntax.Field)
		if !ok {
			break
		}
		x = f.Of
	}
	_, ok := x.(*syntax.Name)
	return ok
}

// number gives the value of a name as it would be typed, or the name where it has none that can stand in a line.
func (w *reasons) number(of *check.Cell, path string) string {
	if of.Table != nil { // a bare name may be a value of each row
		return path
	}
	c, v, state, _, _ := w.j.Line(of.Scope(), &diag.Source{Name: "why", Text: path})
	if c == nil || state >= value.Open || c.Type.List {
		return path
	}
	switch c.Type.Form {
	case kind.Number, kind.Point, kind.Date, kind.Truth:
		if own, ok := of.Scope().Find(path); ok { // as its own cell shows it
			return shownText(own, v, state, w.j.Engine.StateOf)
		}
		return shownText(c, v, state, w.j.Engine.StateOf)
	case kind.Text:
		return `"` + v.Text[0] + `"`
	}
	return path
}

func (w *reasons) writeRules() {
	for _, r := range w.order {
		fmt.Fprintln(w.p.Out)
		fmt.Fprintln(w.p.Out, r.Head())
		w.p.facts(r.About, r.Source, strings.Join(r.Needs, ", "), strings.Join(r.Holds, ", "), r.Caution)
		if w.deep {
			fmt.Fprintln(w.p.Out, "  as it is written:")
			for _, l := range strings.Split(r.Text, "\n") {
				fmt.Fprintln(w.p.Out, "    "+l)
			}
		}
	}
}

// facts writes what a rule carries.
func (p *Report) facts(about, source, needs, holds, caution string) {
	rows := [][]string{{"about", about}, {"source", source}, {"needs", needs}, {"range", holds}, {"caution", caution}}
	for _, r := range rows {
		p.fact(r[0], r[1])
	}
}

// fact writes one fact under its head, in as many lines as it takes; nothing where there is none.
func (p *Report) fact(head, text string) {
	if text == "" {
		return
	}
	for i, l := range wrap(text, 84) {
		if i > 0 {
			head = ""
		}
		fmt.Fprintf(p.Out, "  %-8s %s\n", head, l)
	}
}
