package check

import (
	"maps"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
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
		if strings.EqualFold(h.Name, st.Name.Name) {
			m := diag.New(base.Source, st.Name.Span, twice("handout", h.Name, st.Name.Name), "Give one of them another name.")
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

// Put is a cell that a text puts in; ByRow where it is a column that stands for its value in the row of the text.
type Put struct {
	Cell  *Cell
	ByRow bool
}

// PutIn gives the cells that the texts of a cell put in, by whatever way: in its own formula, in a row of a table, through a
// rule, or at the part that replaces it. Whole texts of others that it takes over are left out.
func (c *Cell) PutIn() []Put {
	if c.Program == nil {
		return nil
	}
	from := make([]feeds, len(c.Inputs))
	for i := range from {
		from[i] = feeds{i: true}
	}
	told := feeds{}
	putInto(c.Program, from, told)
	var out []Put
	for i, in := range c.Inputs {
		if !told[i] {
			continue
		}
		if in.hides != nil {
			in = in.hides
		}
		out = append(out, Put{in, i < len(c.ByRow) && c.ByRow[i]})
	}
	return out
}

// feeds are inputs of a cell, by their numbers, on which a register rests.
type feeds map[int]bool

// putInto follows inputs through a program, and adds those that a text of it puts in. It gives those on which its result
// rests.
func putInto(p *program.Program, inputs []feeds, told feeds) feeds {
	regs := make([]feeds, len(p.Regs))
	copy(regs, inputs)
	for _, in := range p.Code {
		rests := feeds{}
		for _, r := range append([]program.Reg{in.A, in.B, in.C}, in.Args...) {
			if r >= 0 && int(r) < len(regs) {
				maps.Copy(rests, regs[r])
			}
		}
		switch in.Op {
		case program.Nop:
			continue
		case program.Join:
			rests = feeds{}
			for _, r := range in.Args {
				maps.Copy(rests, regs[r])
			}
			maps.Copy(told, rests)
		case program.EachRow:
			loop := p.Loops[in.Aux]
			inner := make([]feeds, len(in.Args))
			for k, r := range in.Args {
				inner[k] = regs[r]
			}
			if loop.Self >= 0 { // the row above rests on what it rests on
				above := maps.Clone(rests)
				maps.Copy(above, putInto(loop.Program, inner, told))
				inner[loop.Self] = above
			}
			maps.Copy(rests, putInto(loop.Program, inner, told))
		}
		if in.Out >= 0 {
			regs[in.Out] = rests
		}
	}
	if p.Out < 0 {
		return nil
	}
	return regs[p.Out]
}

// HasText tells whether a value of the cell, or a part of it, is a text.
func (c *Cell) HasText() bool {
	if c.Role == Words || c.Type.Form == kind.Text {
		return true
	}
	for _, f := range c.Type.Fields {
		if f.Type.Form == kind.Text {
			return true
		}
	}
	return false
}

// Telling gives the first value that the formula of a cell holds besides 0, 1 and those of a unit, as it is written: in the
// formula itself, where the rule is nil, or in a rule that it calls.
func (c *Cell) Telling() (text string, in *Rule) {
	find := func(e syntax.Expr, src *diag.Source) {
		syntax.Walk(e, func(y syntax.Expr) {
			if text == "" && ownValue(y) {
				text = src.Cut(y.Where())
			}
		})
	}
	if e := c.Expr(); e != nil {
		find(e, c.Source)
	}
	for _, r := range c.Rules {
		if text != "" {
			return text, in
		}
		in = r
		r.expressions(func(e syntax.Expr) { find(e, r.Src) })
	}
	if text == "" {
		in = nil
	}
	return text, in
}

// expressions visits what the results of a rule are worked out from.
func (r *Rule) expressions(visit func(syntax.Expr)) {
	each := func(list ...syntax.Expr) {
		for _, e := range list {
			if e != nil {
				visit(e)
			}
		}
	}
	for _, p := range r.Tree.Params {
		each(p.Default)
	}
	each(r.Tree.Needs...)
	for _, t := range r.Tree.Tables {
		for _, row := range t.Rows {
			each(row.Cells...)
		}
		for _, c := range t.Formulas {
			each(c.Expr)
		}
	}
	for _, c := range r.Tree.Lines {
		each(c.Expr)
	}
	for _, g := range r.Tree.Gives {
		each(g.Expr)
	}
}

// ownValue tells whether an expression is a literal other than 0, 1 and one of a unit.
func ownValue(e syntax.Expr) bool {
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

// InMeasures tells whether a measure of the job's own, as 1 bag = 80 lb, takes part in the formula of a cell: written in it
// or in a rule that it calls, or in how it and what it rests on are shown.
func (c *Cell) InMeasures() bool {
	j, found := c.Sheet.Job, false
	find := func(e syntax.Expr) {
		syntax.Walk(e, func(y syntax.Expr) { found = found || j.restsOn(y, func(string) bool { return true }) })
	}
	if e := c.Expr(); e != nil {
		find(e)
	}
	for _, r := range c.Rules {
		r.expressions(find)
	}
	for _, k := range append([]*Cell{c}, c.Inputs...) {
		found = found || j.ShownInMeasure(k.Spec)
	}
	return found
}

// ShownInMeasure tells whether a value is shown in a measure of the job's own, "bag" or "kg/bag".
func (j *Job) ShownInMeasure(spec *show.Spec) bool {
	if spec == nil {
		return false
	}
	for _, u := range spec.Units {
		for _, name := range strings.FieldsFunc(u.Symbol, func(r rune) bool { return strings.ContainsRune("/*^()·-", r) }) {
			if j.measured[name] != "" {
				return true
			}
		}
	}
	return false
}
