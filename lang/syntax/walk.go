package syntax

// Walk visits an expression and all in it, the outer ones first. The depth of a tree is bounded by the reader.
func Walk(e Expr, visit func(Expr)) {
	visit(e)
	for _, x := range Children(e) {
		Walk(x, visit)
	}
}

// Children gives the expressions right below one.
func Children(e Expr) []Expr {
	switch x := e.(type) {
	case *Text:
		var out []Expr
		for _, p := range x.Pieces {
			if p.Expr != nil {
				out = append(out, p.Expr)
			}
		}
		return out
	case *Field:
		return []Expr{x.Of}
	case *Call:
		var out []Expr
		for _, a := range x.Args {
			out = append(out, a.Expr)
		}
		return out
	case *List:
		return x.Items
	case *Paren:
		return []Expr{x.Inner}
	case *Unary:
		return []Expr{x.X}
	case *Binary:
		return []Expr{x.X, x.Y}
	case *Compare:
		return x.Terms
	case *If:
		return []Expr{x.Cond, x.Then, x.Else}
	case *Filter:
		return []Expr{x.List, x.Cond}
	case *Limits:
		out := []Expr{x.Middle}
		for _, y := range []Expr{x.Half, x.From, x.To, x.Std} {
			if y != nil {
				out = append(out, y)
			}
		}
		return out
	}
	return nil
}

// Expressions visits the expressions and texts of a statement, and its shown brackets, those of its lines and rows
// included. It does not go down into them.
func Expressions(s Statement, visit func(Expr), shown func(*Shown)) {
	v := visitor{visit, shown}
	switch x := s.(type) {
	case *Title:
		v.text(x.Text)
	case *Section:
		v.text(x.Text)
	case *Cell:
		v.cell(x)
	case *Ask:
		v.each(x.Assume, x.Given)
		v.bracket(x.Shown)
	case *Measure:
		v.each(x.Value)
	case *Rule:
		v.rule(x)
	case *Table:
		v.table(x)
	case *Check:
		v.each(x.Cond)
		v.text(x.Else)
	case *Part:
		v.text(x.Path)
		v.arguments(x.Replace)
	case *Variant:
		v.arguments(x.Set)
	case *Correlation:
		v.each(x.Value)
	case *Handout:
		v.text(x.Title)
		for _, it := range x.Items {
			v.each(it.Expr)
		}
	case *Line:
		v.each(x.Expr)
		v.bracket(x.Shown)
	}
}

type visitor struct {
	visit func(Expr)
	shown func(*Shown)
}

func (v visitor) each(list ...Expr) {
	for _, e := range list {
		if e != nil {
			v.visit(e)
		}
	}
}

func (v visitor) text(t *Text) {
	if t != nil {
		v.visit(t)
	}
}

func (v visitor) bracket(s *Shown) {
	if s != nil {
		v.shown(s)
	}
}

func (v visitor) arguments(list []*Argument) {
	for _, a := range list {
		v.each(a.Expr)
	}
}

func (v visitor) cell(c *Cell) {
	v.each(c.Expr)
	v.bracket(c.Shown)
	if c.Accept != nil {
		v.text(c.Accept.Why)
	}
}

func (v visitor) rule(x *Rule) {
	for _, p := range x.Params {
		v.each(p.Default)
		v.bracket(p.Shown)
	}
	for _, t := range []*Text{x.About, x.Source, x.Caution, x.Family, x.Example} {
		v.text(t)
	}
	v.each(x.Needs...)
	v.each(x.Holds...)
	for _, t := range x.Tables {
		v.table(t)
	}
	for _, c := range x.Lines {
		v.cell(c)
	}
	for _, g := range x.Gives {
		v.each(g.Expr)
		v.bracket(g.Shown)
	}
}

func (v visitor) table(x *Table) {
	if x.From != nil {
		v.text(x.From.Path)
		v.arguments(x.From.Options)
	}
	for _, c := range x.Formulas {
		v.cell(c)
	}
	for _, h := range x.Heads {
		v.bracket(h.Shown)
	}
	for _, r := range x.Rows {
		v.each(r.Cells...)
	}
}
