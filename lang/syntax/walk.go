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
