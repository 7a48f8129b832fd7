package syntax

import (
	"fmt"

	"castwright/lang/diag"
)

// rule reads the lines of a rule.
func (r *reader) rule(g group, sp Span) Statement {
	x := read(r, formRule, g.head)
	rule := &Rule{Span: sp}
	if x != nil {
		rule.Name = r.name(x.Name)
		for _, p := range x.Params {
			q := &RuleParam{Name: r.name(p.Name), Whole: p.Whole, Shown: bracket(p.Shown), Default: p.Default, Span: id(p.Name).Span}
			if p.Shown != nil {
				q.Span.To = q.Shown.Span.To
			}
			if p.Default != nil {
				q.Span.To = p.Default.Where().To
			}
			rule.Params = append(rule.Params, q)
		}
	}
	before := len(r.file.Messages)
	for _, l := range g.rule {
		r.ruleLine(rule, l)
		rule.Span.To = lineSpan(l.head).To
		if n := len(l.body); n > 0 { // a table whose end is missing
			rule.Span.To = lineSpan(l.body[n-1]).To
		}
		if l.end != nil {
			rule.Span.To = lineSpan(*l.end).To
		}
	}
	if g.end != nil {
		rule.Span.To = lineSpan(*g.end).To
	}
	if x == nil {
		return nil
	}
	if len(rule.Gives) == 0 && len(r.file.Messages) == before { // else the line may be the one that is told
		r.add(diag.New(r.src, rule.Name.Span, fmt.Sprintf("The rule %s gives nothing.", rule.Name.Name), "Write a line: give VALUE [unit]."))
	}
	return rule
}

// ruleLine reads one line of a rule, or a table in it.
func (r *reader) ruleLine(rule *Rule, g group) {
	l := g.head
	if r.misplaced(l) {
		return
	}
	if len(l.toks) > 1 && r.split.op(l.toks[1]) == "=" {
		if c := r.cellOf(l); c != nil {
			rule.Lines = append(rule.Lines, c)
		}
		return
	}
	switch w := r.split.word(l.toks[0]); w {
	case "about", "source", "caution", "family", "example":
		if x := read(r, formWords, l); x != nil {
			r.fact(rule, w, l, textOf(x.Text))
		}
	case "needs", "holds":
		x := read(r, formConditions, l)
		switch {
		case x == nil:
		case w == "needs":
			rule.Needs = append(rule.Needs, x.List...)
		default:
			rule.Holds = append(rule.Holds, x.List...)
		}
	case "give":
		r.give(rule, l)
	case "table":
		if t, ok := r.table(g, lineSpan(l)).(*Table); ok {
			rule.Tables = append(rule.Tables, t)
		}
	default:
		way := "Inside a rule stand: about, source, needs, holds, caution, family, example, table, name = VALUE, give."
		if near := diag.Near(w, []string{"about", "source", "needs", "holds", "caution", "table", "give", "family", "example"}); len(near) > 0 {
			way = diag.DidYouMean(near)
		}
		r.add(diag.New(r.src, lineSpan(l), "This line has no place in a rule.", way))
	}
}

func (r *reader) fact(rule *Rule, w string, l logical, text *Text) {
	place := map[string]**Text{"about": &rule.About, "source": &rule.Source, "caution": &rule.Caution, "family": &rule.Family, "example": &rule.Example}[w]
	if *place != nil {
		r.add(diag.New(r.src, lineSpan(l), fmt.Sprintf("This rule has a line %q already.", w), "Put both texts in one line."))
		return
	}
	*place = text
}

func (r *reader) give(rule *Rule, l logical) {
	x := read(r, formGive, l)
	if x == nil {
		return
	}
	if len(rule.Gives) > 0 {
		r.add(diag.New(r.src, lineSpan(l), "A rule has one line \"give\".", "Several results stand on it: give cement: VALUE, water: VALUE."))
		return
	}
	rule.GiveAt = lineSpan(l)
	if x.Expr != nil {
		rule.Gives = []*Give{{Span: rule.GiveAt, Expr: x.Expr, Shown: bracket(x.Shown)}}
		return
	}
	for _, n := range x.Named {
		rule.Gives = append(rule.Gives, &Give{Span: id(n.Name).Span.Join(n.Expr.Where()), Name: r.name(n.Name), Expr: n.Expr, Shown: bracket(n.Shown)})
	}
}

// table reads the lines of a table: column formulas, the heading, rows.
func (r *reader) table(g group, sp Span) Statement {
	x := read(r, formTable, g.head)
	t := &Table{Span: sp}
	if x != nil {
		t.Name = r.name(x.Name)
		if x.From != nil {
			t.From = &From{Span: span(x.From.Pos.Offset, sp.To), Path: textOf(x.From.Path), Options: r.arguments(x.From.Options, "(skip: 3)")}
		}
	}
	headed := false
	for _, l := range g.body {
		switch {
		case !r.hasBar(l) && r.misplaced(l):
		case !r.hasBar(l) && len(l.toks) > 1 && r.split.op(l.toks[1]) == "=":
			if c := r.cellOf(l); c != nil {
				t.Formulas = append(t.Formulas, c)
			}
		case t.From != nil && headed:
			r.add(diag.New(r.src, lineSpan(l), "A table from a file holds no rows of its own.", "Take the line out."))
		case !r.hasBar(l):
			r.add(diag.New(r.src, lineSpan(l), "This line is neither a column formula nor a row.", "A row is written 4 | 8%, the row of a single column | 4."))
		case !headed:
			headed = true
			r.headings(t, l)
		default:
			r.row(t, l)
		}
		t.Span.To = lineSpan(l).To
	}
	if g.end != nil {
		t.Span.To = lineSpan(*g.end).To
	}
	if x == nil {
		return nil
	}
	return t
}

func (r *reader) hasBar(l logical) bool {
	for _, t := range l.toks {
		if r.split.op(t) == "|" {
			return true
		}
	}
	return false
}

// places cuts a line of a table at its bars; a bar in front is left out.
func (r *reader) places(l logical) [][]tok {
	toks := l.toks
	if r.split.op(toks[0]) == "|" {
		toks = toks[1:]
	}
	out := [][]tok{nil}
	for _, t := range toks {
		if r.split.op(t) == "|" {
			out = append(out, nil)
			continue
		}
		out[len(out)-1] = append(out[len(out)-1], t)
	}
	return out
}

func (r *reader) headings(t *Table, l logical) {
	for _, p := range r.places(l) {
		if len(p) == 0 {
			r.add(diag.New(r.src, lineSpan(l), "A column has no name.", "Write the names of the columns with bars between them."))
			t.Heads = nil
			return
		}
		h, m := formHead.parse(r.src, p)
		if m != nil {
			r.add(m)
			t.Heads = nil
			return
		}
		t.Heads = append(t.Heads, &Head{Name: r.name(h.Name), Shown: bracket(h.Shown)})
	}
}

func (r *reader) row(t *Table, l logical) {
	places := r.places(l)
	if len(t.Heads) == 0 {
		return // the heading could not be read, and that is told
	}
	if n, m := len(places), len(t.Heads); n != m {
		way := "Leave a place empty where a value is still open."
		if n > m {
			way = "Take the last ones out, or name their columns in the heading."
		}
		r.add(diag.New(r.src, lineSpan(l), fmt.Sprintf("This row has %s, the heading %s.", amount(n, "place"), amount(m, "column")), way))
		return
	}
	row := &Row{Span: lineSpan(l), Note: l.note}
	for _, p := range places {
		if len(p) == 0 {
			row.Cells = append(row.Cells, nil)
			continue
		}
		x, m := formPlace.parse(r.src, p)
		if m != nil {
			r.add(m)
			return
		}
		if !placeable(x.Expr) {
			r.add(diag.New(r.src, x.Expr.Where(), "A row holds values, and formulas in brackets.", "Write a text in quotation marks, a formula in a bracket."))
			return
		}
		row.Cells = append(row.Cells, x.Expr)
	}
	t.Rows = append(t.Rows, row)
	t.BodyAt = append(t.BodyAt, span(l.from, l.to))
}

func amount(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func placeable(e Expr) bool {
	switch e.(type) {
	case *Quantity, *DateLit, *Text, *TruthLit, *Paren, *List, *Limits:
		return true
	}
	return false
}

// handout reads the list of what one reader may see.
func (r *reader) handout(g group, sp Span) Statement {
	x := read(r, formHandout, g.head)
	h := &Handout{Span: sp}
	if x != nil {
		h.Name = r.name(x.Name)
		h.Title = textOf(x.Title)
	}
	for _, l := range g.body {
		h.Span.To = lineSpan(l).To
		if r.misplaced(l) {
			continue
		}
		items := read(r, formItems, l)
		if items == nil {
			continue
		}
		for _, it := range items.List {
			if !listable(it.Expr) {
				r.add(diag.New(r.src, it.Expr.Where(), "A handout lists cells and columns by their names.", "Give the value a cell of its own and list that."))
				continue
			}
			h.Items = append(h.Items, &HandoutItem{Span: it.Expr.Where(), Live: it.Live, Expr: it.Expr, WithNote: it.WithNote})
		}
	}
	if g.end != nil {
		h.Span.To = lineSpan(*g.end).To
	}
	if x == nil {
		return nil
	}
	return h
}

// listable tells whether a handout can list an expression: a name, a path, or rows of it chosen by a condition.
func listable(e Expr) bool {
	if f, ok := e.(*Filter); ok {
		e = f.List
	}
	for {
		switch x := e.(type) {
		case *Name:
			return true
		case *Field:
			e = x.Of
		default:
			return false
		}
	}
}
