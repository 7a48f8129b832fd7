package main

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

// why writes how a value comes about: the formula, the formula with its numbers, and so on down to the inputs; source,
// range and caution of each rule on the way.
func (p *program) why(args []string) int {
	if f, ok := unknownFlag(args); ok {
		return p.misused("why", fmt.Sprintf("There is no option %s.", f))
	}
	deep := len(args) == 3 && args[2] == "deep"
	if len(args) != 2 && !deep {
		return p.misused("why", "A job and a cell are wanted.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	s, start, ok := find(j, args[1])
	if !ok {
		return p.noCell(j, args[1])
	}
	w := &reasons{p: p, s: s, deep: deep, seen: map[int]bool{}, rules: map[*check.Rule]bool{}}
	w.walk(start)
	if p.json {
		writeJSON(p.out, map[string]any{"cells": w.views, "rules": w.facts}, false)
		return w.status(start)
	}
	w.writeRules()
	return w.status(start)
}

// reasons walks down from a cell to its inputs, each cell once.
type reasons struct {
	p     *program
	s     *sheets.Sheet
	deep  bool
	seen  map[int]bool
	rules map[*check.Rule]bool
	order []*check.Rule
	views []whyView
	facts []ruleView
}

type whyView struct {
	view
	Formula     string `json:"formula"`
	WithNumbers string `json:"with_numbers"`
	Depth       int    `json:"depth"`
}

type ruleView struct {
	Rule    string   `json:"rule"`
	About   string   `json:"about"`
	Source  string   `json:"source"`
	Needs   []string `json:"needs"`
	Holds   []string `json:"holds"`
	Caution string   `json:"caution"`
}

func (w *reasons) status(cell int) int {
	if w.s.Job.State(w.s.IDs[cell]) == value.Mistake {
		return wrong
	}
	return fine
}

// walk goes depth first, with a stack of its own.
func (w *reasons) walk(start int) {
	type item struct{ cell, depth int }
	stack := []item{{start, 0}}
	for len(stack) > 0 {
		it := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if w.seen[it.cell] {
			continue
		}
		w.seen[it.cell] = true
		c := w.s.Cells[it.cell]
		w.cell(it.cell, it.depth)
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
func (w *reasons) cell(i, depth int) {
	c, id := w.s.Cells[i], w.s.IDs[i]
	state := w.s.Job.State(id)
	formula, numbers := w.formula(c)
	shown := shownText(c, w.s.Job.Value(id), state, w.s.Job.StateOf)
	if w.p.json {
		v := viewOf(c.Name, c, w.s.Job.Value(id), state, w.s.Job.Causes(id), w.s.Job.StateOf)
		w.views = append(w.views, whyView{v, formula, numbers, depth})
		return
	}
	indent := strings.Repeat("  ", min(depth, 20))
	lead := indent + c.Name + " = "
	under := indent + strings.Repeat(" ", diag.Width(c.Name)) + " = "
	words := stateWords(w.s.Job.Causes(id), state)
	last := shown
	if words != "" {
		last = strings.TrimSpace(last + "   " + words)
	}
	note := ""
	if c.Note != "" {
		note = "   # " + c.Note
	}
	switch c.Role {
	case check.Input, check.Rate:
		limits := ""
		if c.Limits != nil {
			limits = " " + strings.TrimSpace(c.Limits.Text)
		}
		fmt.Fprintln(w.p.out, lead+last+limits+note)
		return
	case check.Ask:
		if state == value.OK {
			last += "   given"
		}
		fmt.Fprintln(w.p.out, lead+strings.TrimSpace(last)+note)
		return
	}
	fmt.Fprintln(w.p.out, lead+formula+note)
	if numbers != formula && numbers != "" {
		fmt.Fprintln(w.p.out, under+numbers)
	}
	if last != "" && last != numbers {
		fmt.Fprintln(w.p.out, under+last)
	}
	for _, x := range w.s.Job.Causes(id) {
		if x.State == value.Mistake && x.Cell == c.Name || x.State == value.Flagged && x.Cell == c.Name {
			fmt.Fprintln(w.p.out, indent+"  "+x.Message().Error())
		}
	}
	if c.Program != nil {
		for _, a := range c.Program.Accepts {
			fmt.Fprintf(w.p.out, "%s  accepted: %s (%s)\n", indent, a.Why, strings.Join(a.Causes, ", "))
		}
	}
}

// formula gives the text of a cell's formula, and the same with the values of the cells that it names.
func (w *reasons) formula(c *check.Cell) (string, string) {
	var e syntax.Expr
	switch st := c.Statement.(type) {
	case *syntax.Cell:
		e = st.Expr
	case *syntax.Check:
		e = st.Cond
	case *syntax.Ask:
		if e = st.Given; e == nil {
			e = st.Assume
		}
	}
	if e == nil {
		return "", ""
	}
	text := c.Source.Text
	at := e.Where()
	var spans []diag.Span
	var collect func(x syntax.Expr)
	collect = func(x syntax.Expr) {
		if isPath(x) {
			spans = append(spans, x.Where())
			return
		}
		for _, y := range syntax.Children(x) {
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
		b.WriteString(text[from:sp.From])
		b.WriteString(w.number(text[sp.From:sp.To]))
		from = sp.To
	}
	b.WriteString(text[from:at.To])
	return flat(text[at.From:at.To]), flat(b.String())
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
func (w *reasons) number(path string) string {
	c, v, state, _, _ := w.s.Line(&diag.Source{Name: "why", Text: path})
	if c == nil || state >= value.Open || c.Type.List {
		return path
	}
	switch c.Type.Form {
	case kind.Number, kind.Point, kind.Date, kind.Truth:
		name := path
		if i, ok := w.s.Find(name); ok { // as its own cell shows it
			return shownText(w.s.Cells[i], v, state, w.s.Job.StateOf)
		}
		return shownText(c, v, state, w.s.Job.StateOf)
	case kind.Text:
		return `"` + v.Text[0] + `"`
	}
	return path
}

func (w *reasons) writeRules() {
	for _, r := range w.order {
		fmt.Fprintln(w.p.out)
		fmt.Fprintln(w.p.out, r.Head())
		w.p.facts(r.About, r.Source, strings.Join(r.Needs, ", "), strings.Join(r.Holds, ", "), r.Caution)
		if w.deep {
			fmt.Fprintln(w.p.out, "  as it is written:")
			for _, l := range strings.Split(r.Text, "\n") {
				fmt.Fprintln(w.p.out, "    "+l)
			}
		}
	}
}

// facts writes what a rule carries.
func (p *program) facts(about, source, needs, holds, caution string) {
	rows := [][]string{{"about", about}, {"source", source}, {"needs", needs}, {"range", holds}, {"caution", caution}}
	for _, r := range rows {
		if r[1] == "" {
			continue
		}
		for i, l := range wrap(r[1], 84) {
			head := r[0]
			if i > 0 {
				head = ""
			}
			fmt.Fprintf(p.out, "  %-8s %s\n", head, l)
		}
	}
}
