package check

import (
	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// Use is one place of a text where a name is written.
type Use struct {
	File *syntax.File
	Item *syntax.Item
	Span diag.Span
}

// Uses finds all places where a name of a sheet is written: where it is made, and each use in whatever sheet, in texts,
// parts, variants, handouts and correlations. The name is that of a cell, table, part, check or rule, or of a column,
// "pours.volume".
func (s *Sheet) Uses(name string) []Use {
	w := &uses{name: name, seen: map[Use]bool{}}
	for _, t := range s.Job.all {
		if t.File == s.File {
			w.entries = append(w.entries, t.named(name))
			if e := t.names[name]; !e.empty() && e.cell != nil {
				w.cells = append(w.cells, e.cell)
			}
		}
	}
	w.made(s)
	for _, t := range s.Job.all {
		for _, it := range t.File.Items {
			if it.Statement != nil {
				w.statement(t, it)
			}
		}
		for _, c := range t.Cells() {
			w.cell(c)
		}
	}
	return w.out
}

// uses gathers the places of a name.
type uses struct {
	name    string
	entries []*entry // it, in the sheet and in the parts made from it
	cells   []*Cell
	out     []Use
	seen    map[Use]bool
}

func (w *uses) add(f *syntax.File, it *syntax.Item, at diag.Span) {
	u := Use{f, it, at}
	if !w.seen[u] {
		w.seen[u] = true
		w.out = append(w.out, u)
	}
}

// made finds where the name is made.
func (w *uses) made(s *Sheet) {
	for _, c := range w.cells {
		if c.Sheet == s && c.NameSpan.To > c.NameSpan.From && c.Role != Rate {
			w.add(s.File, c.Item, c.NameSpan)
		}
	}
	for _, it := range s.File.Items {
		switch st := it.Statement.(type) {
		case *syntax.Part:
			if st.Name.Name == w.name {
				w.add(s.File, it, st.Name.Span)
			}
		case *syntax.Rule:
			if st.Name.Name == w.name {
				w.add(s.File, it, st.Name.Span)
			}
		}
	}
}

// is tells whether an entry is the name's.
func (w *uses) is(e *entry) bool {
	for _, x := range w.entries {
		if x == e && !x.empty() {
			return true
		}
	}
	return false
}

// path finds the name in a path of names.
func (w *uses) path(s *Sheet, it *syntax.Item, names []syntax.Ident) {
	for n := 1; n <= len(names); n++ { // each longer piece looks one name further
		var last *entry
		s.follow(names[:n], func(e *entry) {
			if !e.empty() {
				last = e
			}
		})
		if last != nil && w.is(last) {
			w.add(it.Source.Home.(*syntax.File), it, names[n-1].Span)
			return
		}
	}
}

// statement finds the name where no formula names it: what a part replaces, what a variant sets, what a handout lists.
func (w *uses) statement(s *Sheet, it *syntax.Item) {
	switch st := it.Statement.(type) {
	case *syntax.Part:
		if p := s.partOf[it]; p != nil {
			for _, a := range st.Replace {
				if e := p.names[a.Name.Name]; !e.empty() && w.is(e) {
					w.add(s.File, it, a.Name.Span)
				}
			}
		}
	case *syntax.Variant:
		for _, a := range st.Set {
			w.path(s, it, []syntax.Ident{a.Name})
		}
	case *syntax.Correlation:
		w.path(s, it, st.A.Names)
		w.path(s, it, st.B.Names)
	case *syntax.Handout:
		for _, h := range st.Items {
			w.walk(&references{s: s}, it, h.Expr)
		}
	case *syntax.Rule:
		w.calls(s, it)
	}
}

// calls finds the name in the calls of a rule of the sheet.
func (w *uses) calls(s *Sheet, it *syntax.Item) {
	if s.rules[w.name] == nil || len(w.entries) == 0 || s.named(w.name) != w.entries[0] {
		return
	}
	syntax.Expressions(it.Statement, func(e syntax.Expr) {
		syntax.Walk(e, func(x syntax.Expr) {
			if c, ok := x.(*syntax.Call); ok && c.Name.Name == w.name {
				w.add(s.File, it, c.Name.Span)
			}
		})
	}, func(*syntax.Shown) {})
}

// cell finds the name in the texts of a cell.
func (w *uses) cell(c *Cell) {
	r := &references{c: c, s: c.Scope()}
	it := c.Item
	if c.Replaced != nil && c.Role != Setting { // its formula stands at the part
		w.walk(r, c.Sheet.Item, c.Replaced.Expr)
		return
	}
	if c.Role == Worked {
		r.columns, r.own = c.Table.Columns, c
	}
	if c.expr != nil {
		w.walk(r, it, c.expr)
	}
	if c.accept != nil {
		w.walk(r, it, c.accept.Why)
		for _, p := range c.accept.Causes {
			w.path(r.s, it, p.Names)
			if len(p.Names) == 1 && c.Sheet.rules[w.name] != nil && p.Names[0].Name == w.name {
				w.add(c.Sheet.File, it, p.Span)
			}
		}
	}
	switch st := c.Statement.(type) {
	case *syntax.Ask:
		if st.Assume != nil {
			w.walk(r, it, st.Assume)
		}
	case *syntax.Table:
		for _, row := range st.Rows {
			if e := row.Cells[c.at]; c.hidden != nil && e != nil {
				if _, isText := e.(*syntax.Text); !isText {
					w.walk(r, it, e)
				}
			}
		}
	}
	w.calls(c.Sheet, it)
}

// walk finds the name in an expression.
func (w *uses) walk(r *references, it *syntax.Item, e syntax.Expr) {
	if names := pathOf(e); names != nil {
		if k := r.column(names[0].Name); k != nil {
			for _, c := range w.cells {
				if c == k {
					w.add(it.Source.Home.(*syntax.File), it, names[0].Span)
				}
			}
			return
		}
		w.path(r.s, it, names)
		return
	}
	for _, x := range syntax.Children(e) {
		w.walk(r, it, x)
	}
}
