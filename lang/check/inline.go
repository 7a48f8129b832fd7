package check

import (
	"fmt"
	"sort"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
)

// scope is what a rule sees: its parameters, its lines, its tables.
type scope struct {
	rule   *Rule
	params map[string]operand
	lines  map[string]*syntax.Cell
	tables map[string]*syntax.Table
	done   map[string]operand
	busy   map[string]bool
}

func (b *builder) open(r *Rule) *scope {
	sc := &scope{rule: r, params: map[string]operand{}, lines: map[string]*syntax.Cell{}, tables: map[string]*syntax.Table{},
		done: map[string]operand{}, busy: map[string]bool{}}
	for _, l := range r.Tree.Lines {
		if _, ok := sc.lines[l.Name.Name]; !ok {
			sc.lines[l.Name.Name] = l
		}
	}
	for _, t := range r.Tree.Tables {
		sc.tables[t.Name.Name] = t
	}
	b.scopes = append(b.scopes, sc)
	return sc
}

func (sc *scope) has(name string) bool {
	_, p := sc.params[name]
	_, l := sc.lines[name]
	_, t := sc.tables[name]
	return p || l || t
}

func (sc *scope) names() []string {
	var out []string
	for n := range sc.params {
		out = append(out, n)
	}
	for n := range sc.lines {
		out = append(out, n)
	}
	for n := range sc.tables {
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}

// scoped finds a name inside a rule; a line is compiled when it is first used.
func (b *builder) scoped(name string) (operand, bool) {
	sc := b.scopes[len(b.scopes)-1]
	if p, ok := sc.params[name]; ok {
		return p, true
	}
	if d, ok := sc.done[name]; ok {
		return d, true
	}
	if t, ok := sc.tables[name]; ok {
		y := b.table(t)
		sc.done[name] = y
		return y, true
	}
	l, ok := sc.lines[name]
	if !ok {
		return operand{}, false
	}
	if sc.busy[name] {
		return b.fail(l.Name.Span, fmt.Sprintf("The line %s of the rule rests on itself.", name), "Let it be worked out from something else."), true
	}
	sc.busy[name] = true
	y := b.expr(l.Expr)
	if l.Shown != nil && !y.bad {
		if spec := b.specFor(y, l.Shown, l.Expr); spec == nil {
			y = bad(l.Span)
		} else {
			y.spec, y.shownPct = spec, spec.Percent
		}
	}
	y.zero, y.bare, y.oneish = false, false, false
	sc.busy[name] = false
	sc.done[name] = y
	return y, true
}

// paramType gives the kind that a parameter's bracket or default fixes, and how it is shown.
func (b *builder) paramType(p *syntax.RuleParam) (kind.Type, *show.Spec, bool) {
	if p.Shown != nil {
		t, spec, ok := b.typeOfBracket(p.Shown)
		if !ok {
			b.mistake(p.Shown.Span, "The bracket of this parameter cannot be read.", "Write a unit, as [mm].")
			return t, nil, false
		}
		return t, spec, true
	}
	if p.Default != nil {
		d := b.expr(p.Default)
		if d.bad {
			return kind.Type{}, nil, false
		}
		return d.t, d.spec, true
	}
	return kind.Type{}, nil, false
}

// callRule puts a rule in at a call.
func (b *builder) callRule(r *Rule, call *syntax.Call) operand {
	if r.ring {
		return b.fail(call.Name.Span, fmt.Sprintf("The rule %s calls itself.", r.Name), "")
	}
	if r.wrong != nil {
		return b.restsOn(r.wrong, call.Span)
	}
	given, ok := b.bind(r.Name, paramNames(r), lastWhole(r), call)
	if !ok {
		return bad(call.Span)
	}
	b.rules[r] = true
	callerSrc, callerScopes := b.src, b.scopes
	b.frames = append(b.frames, frame{rule: r, src: callerSrc, at: call.Span})
	b.src, b.scopes = r.Src, nil
	sc := b.open(r)
	back := func() {
		b.frames = b.frames[:len(b.frames)-1]
		b.src, b.scopes = callerSrc, callerScopes
	}
	atCall := func(do func()) {
		inner, scopes, frames := b.src, b.scopes, b.frames
		b.src, b.scopes, b.frames = callerSrc, callerScopes, frames[:len(frames)-1]
		do()
		b.src, b.scopes, b.frames = inner, scopes, frames
	}
	failed := false
	mapped := mapping{start: len(b.prog.Code)}
	for i, p := range r.Tree.Params {
		t, spec, known := b.paramType(p)
		var y operand
		switch {
		case given[i] != nil:
			atCall(func() { y = b.argument(r.Name, p.Name.Name, *given[i], t, known, markedAs(p, r.Src), p.Whole) })
		case p.Default != nil:
			y = b.expr(p.Default)
		default:
			back()
			return b.fail(call.Span, fmt.Sprintf("%s needs %s.", r.Name, p.Name.Name), fmt.Sprintf("It is written %s.", r.Head()))
		}
		failed = failed || y.bad
		y = b.asParam(y, p, spec)
		if y.t.List && !p.Whole && !y.bad {
			y = mapped.take(b, p.Name.Name, y)
		}
		sc.params[p.Name.Name] = y
	}
	if failed {
		back()
		return bad(call.Span)
	}
	atCall(func() { mapped.compare(b, r, call.Span) })
	out := b.body(r, sc)
	back()
	if out = mapped.finish(b, r, call, out); out.bad {
		return out
	}
	out.at = call.Span
	if r.Library && b.us && out.spec != nil {
		out.spec = b.s.inSystem(out.t, out.spec)
	}
	return out
}

// asParam is a value as the body of a rule sees it: a parameter is no literal.
func (b *builder) asParam(y operand, p *syntax.RuleParam, spec *show.Spec) operand {
	y.zero, y.bare, y.oneish, y.percent = false, false, false, false
	if spec != nil {
		y.shownPct = y.shownPct || spec.Percent
		if y.spec == nil && p.Shown != nil && !b.us {
			y.spec = spec // what is told of it is told in the unit of its bracket
		}
	}
	return y
}

// inSystem shows the result of a library rule, which is written in SI units, in the units of a sheet in US units.
func (s *Sheet) inSystem(t kind.Type, spec *show.Spec) *show.Spec {
	if t.Form == kind.Record {
		out := *spec
		out.Fields = append([]*show.Spec{}, spec.Fields...)
		for i, f := range t.Fields {
			if i < len(out.Fields) && f.Type.Form != kind.Record {
				out.Fields[i] = s.inSystemOne(f.Type, out.Fields[i])
			}
		}
		return &out
	}
	return s.inSystemOne(t, spec)
}

func (s *Sheet) inSystemOne(t kind.Type, spec *show.Spec) *show.Spec {
	if us := s.c.lib.Usual(t.Form, t.Dim, true); us == "" || us == s.c.lib.Usual(t.Form, t.Dim, false) {
		return spec // hours and days are the same in both
	}
	return s.usualOne(t)
}

func markedAs(p *syntax.RuleParam, src *diag.Source) string {
	if p.Shown == nil {
		return ""
	}
	return strings.Trim(src.Cut(p.Shown.Span), "[]")
}

func paramNames(r *Rule) []string {
	var out []string
	for _, p := range r.Params {
		out = append(out, p.Name)
	}
	return out
}

func lastWhole(r *Rule) bool { return len(r.Params) > 0 && r.Params[len(r.Params)-1].Whole }

// body compiles what a rule needs, gives and holds.
func (b *builder) body(r *Rule, sc *scope) operand {
	needs, ok1 := b.tests(r, r.Tree.Needs, r.Needs, sc)
	for i, n := range needs {
		for _, name := range namesIn(r.Tree.Needs[i]) { // what rests on the parameter rests on the need too
			if p, ok := sc.params[name]; ok && (!p.t.List || n.cond.t.List) {
				sc.params[name] = b.guard(program.Need, p, n)
			}
		}
	}
	holds, ok2 := b.tests(r, r.Tree.Holds, r.Holds, sc)
	failed := !ok1 || !ok2
	var results []operand
	for _, g := range r.Tree.Gives {
		x := b.expr(g.Expr)
		if x.bad {
			failed = true
			continue
		}
		if f := x.t.Form; (f == kind.Number || f == kind.Point || f == kind.Place) && (x.spec == nil || !x.spec.Percent) {
			x.spec = nil // without a bracket it is shown as its kind is, however what was given or looked up is written
		}
		x.spec = b.specFor(x, g.Shown, g.Expr)
		if x.spec == nil {
			failed = true
			continue
		}
		x.shownPct = x.spec.Percent
		for _, n := range needs {
			x = b.guard(program.Need, x, n)
		}
		for _, h := range holds {
			x = b.guard(program.Hold, x, h)
		}
		results = append(results, x)
	}
	if failed || len(results) == 0 {
		return bad(r.Tree.GiveAt)
	}
	if r.Tree.Gives[0].Name.Name == "" {
		x := results[0]
		x.zero, x.bare, x.percent, x.oneish = false, false, false, false
		return x
	}
	return b.several(r, results)
}

// condition is a compiled condition of a rule.
type condition struct {
	cond operand
	info int32 // index into the program's tests
	at   diag.Span
}

// tests compiles the conditions of a rule; false where one cannot be.
func (b *builder) tests(r *Rule, es []syntax.Expr, texts []string, sc *scope) ([]condition, bool) {
	var out []condition
	for i, e := range es {
		c, info, ok := b.test(r, e, texts[i], sc)
		if !ok {
			return nil, false
		}
		out = append(out, condition{c, info, e.Where()})
	}
	return out, true
}

// guard lets a value rest on a condition.
func (b *builder) guard(op program.Op, x operand, c condition) operand {
	t := x.t
	t.List = x.t.List || c.cond.t.List
	y := b.emit(program.Instr{Op: op, A: x.reg, B: c.cond.reg, C: program.None, Aux: c.info}, t, c.at)
	y.spec, y.shownPct = x.spec, x.shownPct
	return y
}

// several makes the record of a rule with several results.
func (b *builder) several(r *Rule, results []operand) operand {
	t := kind.Type{Form: kind.Record}
	in := program.Instr{Op: program.MakeRows, A: program.None, B: program.None, C: program.None}
	spec := &show.Spec{Form: kind.Record}
	for i, x := range results {
		t.Fields = append(t.Fields, kind.Field{Name: r.Tree.Gives[i].Name.Name, Type: x.t.Elem()})
		t.List = t.List || x.t.List
		in.Args = append(in.Args, x.reg)
		spec.Fields = append(spec.Fields, x.spec)
	}
	y := b.emit(in, t, r.Tree.GiveAt)
	y.spec = spec
	return y
}

// test compiles a condition of a rule with what is told when it does not hold.
func (b *builder) test(r *Rule, e syntax.Expr, text string, sc *scope) (operand, int32, bool) {
	c := b.expr(e)
	if c.bad {
		return c, 0, false
	}
	if c.t.Form != kind.Truth {
		b.mistake(e.Where(), fmt.Sprintf("A condition is a yes or no; this is %s.", c.t.Article()), "Compare it, as age > 0.")
		return c, 0, false
	}
	info := program.Test{Rule: r.Name, Cond: text}
	for _, n := range namesIn(e) {
		p, ok := sc.params[n]
		if !ok {
			if p, ok = sc.done[n]; !ok {
				continue
			}
		}
		if p.t.Form != kind.Number && p.t.Form != kind.Point && p.t.Form != kind.Date || p.t.List && !c.t.List {
			continue // one value says nothing of a list that is looked at whole
		}
		spec := p.spec
		if spec == nil {
			spec = b.specFor(p, nil, nil)
		}
		info.Names, info.Regs, info.Specs = append(info.Names, n), append(info.Regs, p.reg), append(info.Specs, spec)
	}
	b.prog.Tests = append(b.prog.Tests, info)
	return c, int32(len(b.prog.Tests) - 1), true
}

func namesIn(e syntax.Expr) []string {
	var out []string
	seen := map[string]bool{}
	syntax.Walk(e, func(x syntax.Expr) {
		if n, ok := x.(*syntax.Name); ok && !seen[n.Name] {
			seen[n.Name] = true
			out = append(out, n.Name)
		}
	})
	return out
}
