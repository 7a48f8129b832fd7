package report

import (
	"fmt"
	"slices"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
)

// entry is a rule, a function or a property of a shape, with the facts that help tells.
type entry struct {
	name     string // as it is called; a property with its dot, ".area"
	head     string
	family   string
	about    string
	source   string
	needs    []string
	holds    []string
	caution  string
	takes    []slot
	gives    []slot
	examples []string
	rule     *check.Rule // nil for what is written in Go
	follows  bool        // the kind of its result follows from what it is given
}

// slot is a place of a call, or a result.
type slot struct {
	name  string // empty for a single result
	unit  string // as its bracket says
	kind  kind.Type
	known bool
	loose bool // no kind of its own: that of the example, where known
}

// entries lists the rules by name, the functions in the order of the library, and the properties of shapes. Their kinds are
// known once they are settled.
func (p *Report) entries() []*entry {
	var out []*entry
	for _, r := range p.Checker.Rules() {
		out = append(out, ruleEntry(r))
	}
	for _, f := range p.Checker.Library().Funcs() {
		out = append(out, funcEntry(f))
	}
	for _, form := range shapeForms {
		for _, name := range p.Checker.Library().Properties(form) {
			if f, ok := p.Checker.Library().Property(form, name); ok {
				out = append(out, propertyEntry(f))
			}
		}
	}
	return out
}

// settle finds the kinds of what entries take and give.
func (p *Report) settle(entries []*entry) {
	q := &questions{isUnit: p.Checker.Empty().IsUnit}
	for _, e := range entries {
		for i := range e.takes {
			switch s := &e.takes[i]; {
			case e.rule == nil:
			case s.unit != "":
				q.ask(s.unit, s)
			case !s.loose:
				q.put(e.rule.Params[i].Default, s)
			}
		}
		q.example(e)
	}
	p.answer(q)
}

// answer reads the sheet of questions.
func (p *Report) answer(q *questions) {
	sheet := p.Checker.Check("help", q.lines.String())
	for i, take := range q.taken {
		// A default that is worked out from other places has no kind alone, and stays unknown.
		if c, ok := sheet.Find(askedName(i)); ok && c.Fault == nil {
			take(c.Type)
		}
	}
}

// shapeForms lists the forms that have properties.
var shapeForms = []kind.Form{kind.Outline, kind.Solid, kind.Place}

func ruleEntry(r *check.Rule) *entry {
	e := &entry{name: r.Name, head: r.Head(), family: r.Family, about: r.About, source: r.Source, needs: r.Needs, holds: r.Holds,
		caution: r.Caution, rule: r}
	if e.family == "" {
		e.family = "others"
	}
	if r.Example != "" {
		e.examples = []string{r.Example}
	}
	for _, x := range r.Params {
		e.takes = append(e.takes, slot{name: x.Name, unit: x.Unit, loose: x.Unit == "" && x.Default == ""})
	}
	loose := slices.ContainsFunc(e.takes, func(s slot) bool { return s.loose })
	for _, g := range r.Tree.Gives {
		s := slot{name: g.Name.Name, loose: loose && g.Shown == nil}
		if g.Shown != nil {
			s.unit = strings.Trim(r.Src.Cut(g.Shown.Span), "[]")
		}
		e.gives = append(e.gives, s)
	}
	return e
}

func funcEntry(f *catalogue.Func) *entry {
	e := &entry{name: f.Name, head: check.FuncHead(f), family: f.Family, about: f.About, source: f.Source, caution: f.Caution, follows: follows(f)}
	if f.Needs != "" {
		e.needs = []string{f.Needs}
	}
	if f.Holds != "" {
		e.holds = []string{f.Holds}
	}
	for _, x := range f.Examples {
		e.examples = append(e.examples, x.Line)
	}
	for _, x := range f.Params {
		s := slot{name: x.Name, unit: x.Marked, loose: x.Type == nil}
		if x.Type != nil {
			s.kind, s.known = *x.Type, true
		}
		e.takes = append(e.takes, s)
	}
	return e
}

func propertyEntry(f *catalogue.Func) *entry {
	e := &entry{name: "." + f.Name, family: f.Family, about: f.About, source: f.Source}
	of := *f.Params[0].Type
	e.head = of.String() + e.name
	e.takes = []slot{{name: "of", kind: of, known: true}}
	if t, err := f.Result([]catalogue.Arg{{Type: of, Given: true}}); err == nil {
		e.result(t)
	}
	return e
}

// follows tells whether the kind of a function's result depends on what it is given: it is asked with a length and with a
// mass in all the places that take more than one kind.
func follows(f *catalogue.Func) bool {
	result := func(d kind.Dim) (kind.Type, bool) {
		args := make([]catalogue.Arg, len(f.Params))
		for i, x := range f.Params {
			args[i] = catalogue.Arg{Type: kind.Quantity(d), Given: true}
			if x.Type != nil {
				args[i].Type = *x.Type
			}
			if x.Whole {
				args[i].Type = args[i].Type.ListOf()
			}
		}
		t, err := f.Result(args)
		return t, err == nil
	}
	one, fine := result(kind.Of(kind.Length))
	two, too := result(kind.Of(kind.Mass))
	return fine && too && !one.Same(two)
}

// result takes the kind of a call: that of each field where it gives several results.
func (e *entry) result(t kind.Type) {
	if t.Form != kind.Record {
		if len(e.gives) == 0 {
			e.gives = []slot{{}}
		}
		e.gives[0].kind, e.gives[0].known = t, true
		return
	}
	if len(e.gives) == 0 {
		for _, f := range t.Fields {
			e.gives = append(e.gives, slot{name: f.Name})
		}
	}
	for i := range e.gives {
		if f, _, ok := t.Field(e.gives[i].name); ok {
			e.gives[i].kind, e.gives[i].known = f, true
		}
	}
}

// questions are kinds that are asked for, all at once: each is a cell of one sheet that is read and never computed.
type questions struct {
	isUnit func(string) bool
	lines  strings.Builder
	taken  []func(kind.Type)
}

func askedName(i int) string { return fmt.Sprintf("asked_%d", i) }

// ask asks for the kind of a bracket, put for that of an expression.
func (q *questions) ask(unit string, s *slot) {
	fmt.Fprintf(&q.lines, "ask %s [%s]\n", askedName(len(q.taken)), unit)
	q.taken = append(q.taken, s.take)
}

func (q *questions) put(expr string, s *slot) { q.call(expr, s.take) }

func (q *questions) call(expr string, take func(kind.Type)) {
	fmt.Fprintf(&q.lines, "%s = %s\n", askedName(len(q.taken)), expr)
	q.taken = append(q.taken, take)
}

func (s *slot) take(t kind.Type) { s.kind, s.known = t.Elem(), true }

// example asks for the kind of the call in the first example, and for those of its values where the places have none.
func (q *questions) example(e *entry) {
	if len(e.examples) == 0 {
		return
	}
	src := &diag.Source{Name: "example", Text: e.examples[0]}
	call := callIn(src, e.name, q.isUnit)
	if call == nil {
		return
	}
	q.call(src.Cut(call.Span), e.result)
	for i, a := range call.Args {
		at := min(i, len(e.takes)-1)
		for j, s := range e.takes {
			if a.Name.Name != "" && s.name == a.Name.Name {
				at = j
			}
		}
		if s := &e.takes[at]; s.loose {
			q.put(src.Cut(a.Expr.Where()), s)
		}
	}
}

// callIn finds the call of a rule in a line.
func callIn(src *diag.Source, name string, isUnit func(string) bool) *syntax.Call {
	st, _, _ := syntax.ReadLine(src, isUnit)
	line, ok := st.(*syntax.Line)
	if !ok {
		return nil
	}
	var found *syntax.Call
	syntax.Walk(line.Expr, func(x syntax.Expr) {
		if c, ok := x.(*syntax.Call); ok && found == nil && c.Name.Name == name {
			found = c
		}
	})
	return found
}
