package check

import (
	"fmt"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// Handout is the cells and columns, and no others, that one reader may see (ruling 38).
type Handout struct {
	Sheet *Sheet
	Name  string
	Title *Cell // its words
	Items []*HandoutItem
	Item  *syntax.Item
}

// HandoutItem is one line of a handout.
type HandoutItem struct {
	Text     string // as it is written: "pours.pieces where pours.customer == \"A\""
	Value    *Cell  // what it comes to
	Target   *Cell  // the cell, table or column that it names, whole or some rows of it; nil where it names none
	Chosen   bool   // rows are chosen
	Live     bool   // its formula goes in
	WithNote bool   // its note goes in
	Span     diag.Span
	Source   *diag.Source
}

// handout makes a hidden cell for each line of a handout, so that it is checked and worked out like any other.
func (s *Sheet) handout(base Cell, st *syntax.Handout) {
	for _, h := range s.Handouts() {
		if h.Name == st.Name.Name {
			m := diag.New(base.Source, st.Name.Span, fmt.Sprintf("The handout %s is written twice.", h.Name), "Give one of them another name.")
			m.Related = []diag.Related{{Source: h.Item.Source, Span: h.Item.Statement.Where(), Text: "The first stands here:"}}
			s.messages.Add(m)
			return
		}
	}
	h := &Handout{Sheet: s, Name: st.Name.Name, Item: base.Item}
	if st.Title != nil {
		h.Title = s.words(base, st.Title)
	}
	for _, x := range st.Items {
		c := base
		c.Role, c.expr, c.Span = Listed, x.Expr, x.Span
		item := &HandoutItem{Text: base.Source.Cut(x.Span), Live: x.Live, WithNote: x.WithNote, Span: x.Span, Source: base.Source}
		item.Value = s.put(c)
		h.Items = append(h.Items, item)
	}
	s.handouts = append(s.handouts, h)
}

// Handouts lists the handouts of a sheet in the order of its file.
func (s *Sheet) Handouts() []*Handout {
	for _, h := range s.handouts {
		for _, x := range h.Items {
			x.Target, x.Chosen = s.listedBy(x.Value.expr)
		}
	}
	return s.handouts
}

// listedBy gives the cell, table or column that a line of a handout names.
func (s *Sheet) listedBy(e syntax.Expr) (target *Cell, chosen bool) {
	if f, ok := e.(*syntax.Filter); ok {
		e, chosen = f.List, true
	}
	names := pathOf(e)
	if t := s.follow(names, nil); names != nil && t.cell != nil && t.used == len(names) {
		return t.cell, chosen
	}
	return nil, chosen
}

// PutIn gives the cells that the text of a cell puts in by name, whole texts of others that it takes over left out.
func (c *Cell) PutIn() []*Cell {
	if c.expr == nil {
		return nil
	}
	w := &references{c: c, s: c.Scope(), seen: map[*Cell]bool{}}
	syntax.Walk(c.expr, func(e syntax.Expr) {
		t, ok := e.(*syntax.Text)
		if !ok {
			return
		}
		for _, p := range t.Pieces {
			if p.Expr != nil {
				w.walk(p.Expr)
			}
		}
	})
	return w.out
}
