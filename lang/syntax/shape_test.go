package syntax_test

import (
	"fmt"
	"strings"
	"time"

	"castwright/lang/syntax"
)

// shape writes an expression with a bracket round every operation, so that a test shows at a glance how a line was
// read: `(x + (2 * y))`. Literals stand in braces, `{430 mm}`.
func shape(e syntax.Expr) string {
	switch x := e.(type) {
	case *syntax.Quantity:
		return "{" + quantity(x) + "}"
	case *syntax.DateLit:
		layout := "2006-01-02"
		if x.HasTime {
			layout = "2006-01-02T15:04:05"
		}
		return time.Unix(x.Seconds, 0).UTC().Format(layout)
	case *syntax.Text:
		return text(x)
	case *syntax.TruthLit:
		return map[bool]string{true: "yes", false: "no"}[x.Yes]
	case *syntax.Name:
		return x.Name
	case *syntax.Field:
		return shape(x.Of) + "." + x.Name.Name
	case *syntax.Call:
		return x.Name.Name + "(" + arguments(x.Args) + ")"
	case *syntax.List:
		return "list(" + shapes(x.Items, ", ") + ")"
	case *syntax.Paren:
		return "[" + shape(x.Inner) + "]"
	case *syntax.Unary:
		return "(" + x.Op + " " + shape(x.X) + ")"
	case *syntax.Binary:
		return "(" + shape(x.X) + " " + x.Op + " " + shape(x.Y) + ")"
	case *syntax.Compare:
		s := shape(x.Terms[0])
		for i, op := range x.Ops {
			s += " " + op + " " + shape(x.Terms[i+1])
		}
		return "(" + s + ")"
	case *syntax.If:
		return "(if " + shape(x.Cond) + " then " + shape(x.Then) + " else " + shape(x.Else) + ")"
	case *syntax.Filter:
		return "(" + shape(x.List) + " where " + shape(x.Cond) + ")"
	case *syntax.Limits:
		return limits(x)
	}
	return fmt.Sprintf("%T", e)
}

func shapes(list []syntax.Expr, between string) string {
	var out []string
	for _, e := range list {
		out = append(out, shape(e))
	}
	return strings.Join(out, between)
}

func arguments(list []*syntax.Argument) string {
	var out []string
	for _, a := range list {
		if a.Name.Name != "" {
			out = append(out, a.Name.Name+": "+shape(a.Expr))
		} else {
			out = append(out, shape(a.Expr))
		}
	}
	return strings.Join(out, ", ")
}

func quantity(q *syntax.Quantity) string {
	var out []string
	for _, p := range q.Parts {
		s := p.Number.Value.RatString() + p.Mark
		if p.Unit != nil {
			s += " " + unit(p.Unit)
		}
		out = append(out, s)
	}
	s := strings.Join(out, " ")
	if q.Percent {
		s += "%"
	}
	if q.Neg {
		s = "-" + s
	}
	return s
}

func unit(u *syntax.Unit) string {
	var b strings.Builder
	for i, f := range u.Factors {
		switch {
		case f.Over:
			b.WriteByte('/')
		case i > 0:
			b.WriteByte('*')
		}
		if f.Group != nil {
			b.WriteString("(" + unit(f.Group) + ")")
		} else {
			b.WriteString(f.Name.Name)
		}
		switch {
		case f.Den != 1:
			fmt.Fprintf(&b, "^(%d/%d)", f.Num, f.Den)
		case f.Powered:
			fmt.Fprintf(&b, "^%d", f.Num)
		}
	}
	return b.String()
}

func text(t *syntax.Text) string {
	var b strings.Builder
	for _, p := range t.Pieces {
		switch {
		case p.Expr == nil:
			fmt.Fprintf(&b, "%q", p.Words)
		case p.Shown != nil:
			b.WriteString("<" + shape(p.Expr) + " " + shown(p.Shown) + ">")
		default:
			b.WriteString("<" + shape(p.Expr) + ">")
		}
	}
	if len(t.Pieces) == 0 {
		return `""`
	}
	return b.String()
}

func shown(s *syntax.Shown) string {
	if s == nil {
		return ""
	}
	var out []string
	if s.Word != "" {
		out = append(out, s.Word)
	}
	for i, u := range s.Units {
		if i > 0 {
			out = append(out, "and")
		}
		out = append(out, unit(u))
	}
	if s.Percent {
		out = append(out, "%")
	}
	if s.Step != nil {
		out = append(out, "step "+s.Step.Value.RatString())
	}
	return "[" + strings.Join(out, " ") + "]"
}

func limits(x *syntax.Limits) string {
	s := shape(x.Middle)
	switch {
	case x.Half != nil:
		s += " ± " + shape(x.Half)
	case x.From != nil:
		s += " from " + shape(x.From) + " to " + shape(x.To)
	case x.Std != nil:
		s += " ±s " + shape(x.Std)
	}
	if x.Dof != nil {
		s += " dof " + x.Dof.Value.RatString()
	}
	return s
}
