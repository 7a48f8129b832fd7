package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// call compiles the call of a rule or of a Go function.
func (b *builder) call(x *syntax.Call) operand {
	name := x.Name.Name
	if r, ok := b.s.findRule(name); ok {
		return b.callRule(r, x)
	}
	f, ok := b.s.c.lib.Func(name)
	if !ok {
		return b.noRule(x)
	}
	if f.Special == catalogue.RunningOf || f.Special == catalogue.BeforeOf || f.Special == catalogue.StepsOf {
		return b.along(f, x)
	}
	var names []string
	for _, p := range f.Params {
		names = append(names, p.Name)
	}
	last := len(f.Params) > 0 && f.Params[len(f.Params)-1].Whole
	list := b.seeks(f, x)
	given, ok := b.bind(name, names, last, x)
	if !ok {
		return bad(x.Span)
	}
	args := make([]operand, len(f.Params))
	for i, p := range f.Params {
		if given[i] != nil {
			args[i] = *given[i]
			continue
		}
		if p.Default != "" {
			args[i] = b.defaultOf(p)
			continue
		}
		if !p.Optional {
			return b.fail(x.Span, fmt.Sprintf("%s needs %s.", name, p.Name), fmt.Sprintf("It is written %s.", FuncHead(f)))
		}
		args[i] = operand{empty: true}
	}
	y := b.apply(f, args, x.Span)
	b.tellSought(y, list)
	return y
}

// FuncHead writes a Go function as it is called: "round_up(x, step)".
func FuncHead(f *catalogue.Func) string {
	var ps []string
	for _, p := range f.Params {
		ps = append(ps, paramHead(p.Name, p.Whole, p.Marked, p.Default))
	}
	return f.Name + "(" + strings.Join(ps, ", ") + ")"
}

func (b *builder) noRule(x *syntax.Call) operand {
	var names []string
	for n := range b.s.rules {
		names = append(names, n)
	}
	for n := range b.s.c.rules {
		names = append(names, n)
	}
	for _, f := range b.s.c.lib.Funcs() {
		names = append(names, f.Name)
	}
	way := diag.DidYouMean(diag.Near(x.Name.Name, names))
	if b.isValueName(x.Name.Name) {
		return b.fail(x.Name.Span, fmt.Sprintf("There is no rule %s; %s is a cell. Between it and the bracket a sign is missing.", x.Name.Name, x.Name.Name), fmt.Sprintf("Is it missing *? Write %s * (…).", x.Name.Name))
	}
	if way == "" {
		way = "The rules are listed by: help rules."
	}
	return b.fail(x.Name.Span, fmt.Sprintf("There is no rule %s.", x.Name.Name), way)
}

// bind brings the values of a call to its parameters: first by place, then by name (ruling 18). A last parameter that
// is a list takes the remaining places.
func (b *builder) bind(rule string, names []string, last bool, x *syntax.Call) ([]*operand, bool) {
	out := make([]*operand, len(names))
	ok := true
	var rest []operand
	for i, a := range x.Args {
		y := b.expr(a.Expr)
		if y.bad {
			ok = false
		}
		if a.Name.Name == "" {
			switch {
			case last && i >= len(names)-1:
				rest = append(rest, y)
			case i >= len(names):
				b.mistake(a.Span, fmt.Sprintf("%s takes %s; this is one too many.", rule, countOf(len(names), "value")), "")
				return nil, false
			default:
				out[i] = &y
			}
			continue
		}
		at := -1
		for k, n := range names {
			if n == a.Name.Name {
				at = k
			}
		}
		if at < 0 {
			way := diag.DidYouMean(diag.Near(a.Name.Name, names))
			if way == "" {
				way = "It has " + diag.Or(names) + "."
			}
			b.mistake(a.Name.Span, fmt.Sprintf("%s has no parameter %s.", rule, a.Name.Name), way)
			ok = false
			continue
		}
		if out[at] != nil || last && at == len(names)-1 && len(rest) > 0 {
			b.mistake(a.Name.Span, fmt.Sprintf("%s is given twice.", a.Name.Name), "Leave one of them out.")
			ok = false
			continue
		}
		out[at] = &y
	}
	if !ok {
		return nil, false
	}
	if last {
		return out, b.bindRest(out, rest, x)
	}
	return out, true
}

// bindRest gives the last parameter its list: one list as it is, else the values as a list.
func (b *builder) bindRest(out []*operand, rest []operand, x *syntax.Call) bool {
	at := len(out) - 1
	if len(rest) == 0 {
		if y := out[at]; y != nil && !y.t.List {
			if b.ofRow(*y) {
				b.overOneRow(*y, x)
				return false
			}
			z := b.makeList([]operand{*y}, y.at)
			out[at] = &z
		}
		return true
	}
	if len(rest) == 1 && rest[0].t.List && !rest[0].edges {
		out[at] = &rest[0]
		return true
	}
	if len(rest) == 1 && b.ofRow(rest[0]) {
		b.overOneRow(rest[0], x)
		return false
	}
	points := true
	for _, y := range rest {
		points = points && y.edges
	}
	if points && len(rest) > 1 {
		for i := range rest {
			rest[i] = b.asPoint(rest[i])
		}
	}
	if len(rest) == 1 && rest[0].t.List {
		out[at] = &rest[0]
		return true
	}
	for _, y := range rest {
		if y.t.List {
			way := "Give one list, or single values."
			if y.edges && slices.ContainsFunc(rest, func(z operand) bool { return z.t.Form == kind.Step }) {
				way = toStep
			}
			b.mistake(y.at, "Values and lists do not stand side by side here.", way)
			return false
		}
	}
	if !b.agree(rest, "stand in one list", x.Span) {
		return false
	}
	z := b.makeList(rest, rest[0].at.Join(rest[len(rest)-1].at))
	out[at] = &z
	return true
}

// ofRow tells whether a value is that of one row of the table whose column is worked out.
func (b *builder) ofRow(x operand) bool {
	return !x.t.List && (x.column != nil || !b.inRule() && b.rows.differs(x.reg))
}

// overOneRow refuses a list rule over the value of one row (ruling 25).
func (b *builder) overOneRow(y operand, x *syntax.Call) {
	if y.column == nil {
		table := b.rows.table.Name
		b.mistake(y.at, fmt.Sprintf("%s over one row: bare names of columns are values of the row here.", x.Name.Name), fmt.Sprintf("Name whole columns, as %s.%s.", table, b.rows.example()))
		return
	}
	b.mistake(y.at, fmt.Sprintf("%s over one row; did you mean %s?", x.Name.Name, y.column.Name), fmt.Sprintf("A bare name is the value in the row; %s is the whole column.", y.column.Name))
}

func countOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// defaultOf compiles the default of a Go function's parameter.
func (b *builder) defaultOf(p catalogue.Param) operand {
	src := &diag.Source{Name: "default", Text: p.Default}
	st, _, _ := syntax.ReadLine(src, b.s.c.isLibraryUnit)
	line, ok := st.(*syntax.Line)
	if !ok {
		return operand{empty: true}
	}
	old := b.src
	b.src = src
	y := b.expr(line.Expr)
	b.src = old
	return y
}

// argument checks a value against a parameter.
func (b *builder) argument(rule, name string, x operand, want kind.Type, known bool, marked string, whole bool) operand {
	if x.bad {
		return x
	}
	if marked == "deg" && x.bare && !x.zero && x.t.Form == kind.Number {
		v, _ := b.known(x)
		n := fmt.Sprintf("%.6g", v)
		return b.fail(x.at, fmt.Sprintf("%s takes an angle, and a bare number does not say in what it is measured: %s deg or %s rad?", rule, n, n), fmt.Sprintf("Write %s deg, or %s rad.", n, n))
	}
	if x.zero && known && want.Form == kind.Number {
		x.t.Dim = want.Dim
	}
	if !known {
		return x
	}
	if want.Form == kind.Place && x.edges && !whole {
		x = b.asPoint(x)
	}
	if !x.t.Elem().Same(want.Elem()) {
		way := b.wayOut(x, operand{t: want})
		if marked != "" && x.t.Form == kind.Number && x.t.Dim.IsOne() && x.bare && want.Form == kind.Number {
			way = fmt.Sprintf("Write %s %s.", b.words(x.at), marked)
		}
		if want.Form == kind.Number && want.Dim.IsOne() && x.t.Form == kind.Number && way == "" {
			if u := b.s.c.lib.Usual(x.t.Form, x.t.Dim, b.us); u != "" {
				if x.spec != nil && len(x.spec.Units) == 1 {
					u = x.spec.Units[0].Symbol
				}
				way = fmt.Sprintf("Divide by a unit for a plain number, as %s / 1 %s.", b.words(x.at), u)
			}
		}
		return b.fail(x.at, fmt.Sprintf("%s of %s takes %s; %s is %s.", name, rule, want.Elem().Article(), b.words(x.at), x.t.Article()), way)
	}
	b.caseSlip(x, marked)
	return x
}

// caseSlip tells where a unit differs from the parameter's by case alone: mPa given to [MPa].
func (b *builder) caseSlip(x operand, marked string) {
	if marked == "" || x.spec == nil || len(x.spec.Units) != 1 {
		return
	}
	if u := x.spec.Units[0].Symbol; u != marked && strings.EqualFold(u, marked) {
		b.notice(x.at, fmt.Sprintf("%s is in %s; the unit of this parameter is %s. Did you mean %s?", b.words(x.at), u, marked, marked))
	}
}

// apply compiles a Go function over checked arguments.
func (b *builder) apply(f *catalogue.Func, args []operand, at diag.Span) operand {
	infos := make([]catalogue.Arg, len(args))
	var lead *operand
	for i := range args {
		if !args[i].empty && !args[i].bad && !args[i].zero && args[i].t.Form == kind.Number && lead == nil {
			lead = &args[i]
		}
	}
	list := false
	for i := range args {
		p := f.Params[i]
		if args[i].bad {
			return bad(at)
		}
		if args[i].empty {
			continue
		}
		if p.File != nil {
			if args[i] = b.file(f, p, args[i]); args[i].bad {
				return bad(at)
			}
			continue
		}
		if p.Type != nil {
			args[i] = b.argument(f.Name, p.Name, args[i], *p.Type, true, p.Marked, p.Whole)
		} else if args[i].zero && lead != nil {
			args[i].t.Dim = lead.t.Dim
		}
		if args[i].bad {
			return bad(at)
		}
		if p.Type != nil && p.Type.Form == kind.Place && p.Whole && args[i].edges {
			args[i] = b.makeList([]operand{b.asPoint(args[i])}, args[i].at)
		}
		if p.Whole && b.ofRow(args[i]) {
			b.overOneRow(args[i], &syntax.Call{Name: syntax.Ident{Name: f.Name}})
			return bad(at)
		}
		if f.Special == catalogue.ListOf && args[i].t.List {
			return b.fail(args[i].at, fmt.Sprintf("%s is a list already, and lists are not nested.", b.words(args[i].at)), "Leave list( ) out.")
		}
		if p.Whole && !args[i].t.List {
			return b.fail(args[i].at, fmt.Sprintf("%s of %s is a list; this is %s.", p.Name, f.Name, args[i].t.Article()), fmt.Sprintf("Write list(%s) for a list of one.", b.words(args[i].at)))
		}
		list = list || args[i].t.List && !p.Whole
		infos[i] = catalogue.Arg{Type: args[i].t, Given: true, Text: args[i].text}
		if !p.Whole {
			infos[i].Type = args[i].t.Elem()
		}
		if v, ok := b.known(args[i]); ok {
			infos[i].Literal = &v
		}
	}
	t, err := f.Result(infos)
	if err != nil {
		return b.fail(at, err.Error(), "")
	}
	if list && t.List {
		return b.fail(at, fmt.Sprintf("%s gives a list, and lists are not nested.", f.Name), "Give one value in the place of a list.")
	}
	t.List = t.List || list
	y := b.emitFunc(f, args, t, at)
	if t.Form == kind.Record && len(args) > 0 && args[0].t.Form == kind.Record {
		y.spec = args[0].spec
	}
	return y
}

func (b *builder) emitFunc(f *catalogue.Func, args []operand, t kind.Type, at diag.Span) operand {
	if y, ok := b.fold(f, args, t, at); ok {
		return y
	}
	in := program.Instr{A: program.None, B: program.None, C: program.None, Aux: b.funcIndex(f)}
	switch {
	case f.Lane1 != nil:
		in.Op, in.A = program.Func1, args[0].reg
	case f.Lane2 != nil:
		in.Op, in.A, in.B = program.Func2, args[0].reg, args[1].reg
	case f.Special == catalogue.Otherwise:
		in.Op, in.A, in.B = program.Otherwise, args[0].reg, args[1].reg
	case f.Special == catalogue.ListOf:
		in.Op, in.Args = program.List, []program.Reg{args[0].reg}
	default:
		in.Op = program.Call
		if f.Special != catalogue.NotSpecial {
			in.Op = program.Special
		}
		for _, a := range args {
			if a.empty {
				a = b.constant(value.Nums(), kind.Quantity(kind.One), at) // a single with no value: there is nothing to map over
			}
			in.Args = append(in.Args, a.reg)
		}
	}
	return b.emit(in, t, at)
}

// fold works a lane function out where its arguments are known.
func (b *builder) fold(f *catalogue.Func, args []operand, t kind.Type, at diag.Span) (operand, bool) {
	r := math.NaN()
	bare := true
	var vs []float64
	for _, a := range args {
		v, ok := b.known(a)
		if !ok {
			return operand{}, false
		}
		vs = append(vs, v)
		bare = bare && a.bare
	}
	switch {
	case f.Lane1 != nil:
		r = f.Lane1(vs[0])
	case f.Lane2 != nil:
		r = f.Lane2(vs[0], vs[1])
	}
	if math.IsNaN(r) || math.IsInf(r, 0) {
		return operand{}, false
	}
	y := b.num(r, t, at)
	y.bare = bare && t.Form == kind.Number && t.Dim.IsOne() && !f.Angle
	return y, true
}

func (b *builder) funcIndex(f *catalogue.Func) int32 {
	for i, g := range b.prog.Funcs {
		if g == f {
			return int32(i)
		}
	}
	b.prog.Funcs = append(b.prog.Funcs, f)
	return int32(len(b.prog.Funcs) - 1)
}
