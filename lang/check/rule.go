package check

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// Rule is a formula with parameters, of the library or of the sheet, with the facts that help and why tell.
type Rule struct {
	Name    string
	About   string
	Source  string
	Caution string
	Family  string
	Example string
	Params  []RuleParam
	Needs   []string
	Holds   []string
	Gives   string // how the results read: "[MPa]", "cement, water"
	Library bool
	Text    string // the rule as written
	Tree    *syntax.Rule
	Src     *diag.Source

	ring    bool          // it calls itself by some way round
	mistake *diag.Message // the first that leaves it without a value, whatever is given to it
	wrong   *Rule         // the rule that has that mistake: itself, or one that it calls
}

// RuleParam is one parameter for help: its name, the unit of its bracket, its default as written.
type RuleParam struct {
	Name    string
	Unit    string
	Default string
	Whole   bool
}

func newRule(t *syntax.Rule, src *diag.Source, messages diag.List, library bool) *Rule {
	r := &Rule{Name: t.Name.Name, Tree: t, Src: src, Library: library, Text: src.Cut(t.Span)}
	r.isWrong(firstMistake(messages)) // what of it can be read may lack a condition
	r.About, r.Source, r.Caution = plainText(t.About), plainText(t.Source), plainText(t.Caution)
	r.Family, r.Example = plainText(t.Family), plainText(t.Example)
	cut := src.Cut
	for _, p := range t.Params {
		q := RuleParam{Name: p.Name.Name, Whole: p.Whole}
		if p.Shown != nil {
			q.Unit = strings.Trim(cut(p.Shown.Span), "[]")
		}
		if p.Default != nil {
			q.Default = cut(p.Default.Where())
		}
		r.Params = append(r.Params, q)
	}
	for _, e := range t.Needs {
		r.Needs = append(r.Needs, cut(e.Where()))
	}
	for _, e := range t.Holds {
		r.Holds = append(r.Holds, cut(e.Where()))
	}
	var gives []string
	for _, g := range t.Gives {
		s := g.Name.Name
		if g.Shown != nil {
			s = strings.TrimSpace(s + " " + cut(g.Shown.Span))
		}
		if s != "" {
			gives = append(gives, s)
		}
	}
	r.Gives = strings.Join(gives, ", ")
	return r
}

// isWrong notes a mistake that leaves the rule without a value.
func (r *Rule) isWrong(m *diag.Message) {
	if m != nil {
		r.mistake, r.wrong = m, r
	}
}

// firstMistake gives the first of some messages that is a mistake, nil where there is none.
func firstMistake(ms diag.List) *diag.Message {
	if i := slices.IndexFunc(ms, func(m *diag.Message) bool { return m.Level == diag.Mistake }); i >= 0 {
		return ms[i]
	}
	return nil
}

// Head writes the rule as it is called: "strength_at(age [d], f28 [MPa], cement = "I")".
func (r *Rule) Head() string {
	var ps []string
	for _, p := range r.Params {
		ps = append(ps, paramHead(p.Name, p.Whole, p.Unit, p.Default))
	}
	return r.Name + "(" + strings.Join(ps, ", ") + ")"
}

// paramHead writes a parameter as it stands in the head of a rule: `waste = 0%`, `xs[] [m]`.
func paramHead(name string, whole bool, unit, byDefault string) string {
	if whole {
		name += "[]"
	}
	if unit != "" {
		name += " [" + unit + "]"
	}
	if byDefault != "" {
		name += " = " + byDefault
	}
	return name
}

func plainText(t *syntax.Text) string {
	if t == nil {
		return ""
	}
	var b strings.Builder
	for _, p := range t.Pieces {
		b.WriteString(p.Words)
	}
	return b.String()
}

func sortRules(rs []*Rule) {
	sort.Slice(rs, func(i, j int) bool { return rs[i].Name < rs[j].Name })
}

// ownRule adds a rule of the sheet.
func (s *Sheet) ownRule(it *syntax.Item, st *syntax.Rule) {
	src, n := it.Source, st.Name
	if _, ok := s.c.rules[n.Name]; ok {
		s.messages.Add(diag.New(src, n.Span, fmt.Sprintf("The library has a rule %s already.", n.Name), "Choose another name."))
		return
	}
	if _, ok := s.c.lib.Func(n.Name); ok {
		s.messages.Add(diag.New(src, n.Span, fmt.Sprintf("The library has a rule %s already.", n.Name), "Choose another name."))
		return
	}
	if old := s.rules[n.Name]; old != nil {
		m := diag.New(src, n.Span, fmt.Sprintf("The rule %s is written twice.", n.Name), "Give one of them another name.")
		m.Related = []diag.Related{{Source: old.Src, Span: old.Tree.Name.Span, Text: "The first stands here:"}}
		s.messages.Add(m)
		return
	}
	r := newRule(st, src, it.Messages, false)
	s.rules[n.Name] = r
	s.Rules = append(s.Rules, r)
}

func (s *Sheet) findRule(name string) (*Rule, bool) {
	if r, ok := s.rules[name]; ok {
		return r, true
	}
	r, ok := s.c.rules[name]
	return r, ok
}

// unreadRule keeps the name of a rule whose head cannot be read, so that a call of it says so instead of missing it.
func (s *Sheet) unreadRule(it *syntax.Item) {
	words, ok := strings.CutPrefix(strings.TrimLeft(it.Source.Text, " \t\ufeff"), "rule ")
	name, _, bracket := strings.Cut(words, "(")
	name = strings.TrimSpace(name)
	m := firstMistake(it.Messages)
	if _, taken := s.findRule(name); !ok || !bracket || !syntax.IsName(name) || m == nil || taken {
		return
	}
	r := &Rule{Name: name, Src: it.Source, Tree: &syntax.Rule{Span: it.Span, Name: syntax.Ident{Name: name, Span: it.Span}}}
	r.isWrong(m)
	s.rules[name] = r
}

// checkRules refuses rules that call themselves, and checks the body of each whose parameters all have a kind, behind the
// rules that it calls.
func (s *Sheet) checkRules(rules map[string]*Rule) diag.List {
	var out diag.List
	var names []string
	for n := range rules {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, r := range s.selfCalls(rules, names, &out) {
		if !r.ring && r.wrong == nil && rules[r.Name] == r {
			out = append(out, s.checkBody(r)...)
		}
	}
	return out
}

// selfCalls refuses the rules that call themselves by any way round, and shows the way. It walks with a stack of its
// own, each rule once, and gives them in the order in which it is through with them: each behind those it calls.
func (s *Sheet) selfCalls(rules map[string]*Rule, names []string, out *diag.List) []*Rule {
	var done []*Rule
	type step struct {
		rule *Rule
		next []string
	}
	seen := map[*Rule]uint8{}
	var stack []step
	push := func(r *Rule) {
		seen[r] = waiting
		stack = append(stack, step{r, calls(r.Tree)})
	}
	for _, n := range names {
		if seen[rules[n]] != unseen {
			continue
		}
		push(rules[n])
		for len(stack) > 0 {
			top := &stack[len(stack)-1]
			if len(top.next) == 0 {
				seen[top.rule] = settled
				done = append(done, top.rule)
				stack = stack[:len(stack)-1]
				continue
			}
			callee, ok := s.findRule(top.next[0])
			top.next = top.next[1:]
			switch {
			case !ok:
			case seen[callee] == unseen:
				push(callee)
			case seen[callee] == waiting:
				var way []string
				for i := len(stack) - 1; ; i-- {
					stack[i].rule.ring = true
					way = append([]string{stack[i].rule.Name}, way...)
					if stack[i].rule == callee {
						break
					}
				}
				way = append(way, callee.Name)
				out.Add(diag.New(callee.Src, callee.Tree.Name.Span, fmt.Sprintf("A rule does not call itself: %s.", strings.Join(way, " → ")), "Work the value out in one formula, or over a list."))
			}
		}
	}
	return done
}

func calls(t *syntax.Rule) []string {
	var out []string
	visit := func(e syntax.Expr) {
		if c, ok := e.(*syntax.Call); ok {
			out = append(out, c.Name.Name)
		}
	}
	for _, e := range t.Needs {
		syntax.Walk(e, visit)
	}
	for _, e := range t.Holds {
		syntax.Walk(e, visit)
	}
	for _, l := range t.Lines {
		syntax.Walk(l.Expr, visit)
	}
	for _, g := range t.Gives {
		syntax.Walk(g.Expr, visit)
	}
	for _, p := range t.Params {
		if p.Default != nil {
			syntax.Walk(p.Default, visit)
		}
	}
	return out
}

// checkBody compiles a rule on its own, where every parameter has a kind, so that its mistakes show where it is
// written and not only where it is called.
func (s *Sheet) checkBody(r *Rule) diag.List {
	b := s.builder(r.Src)
	sc := b.open(r)
	for _, p := range r.Tree.Params {
		if _, twice := sc.params[p.Name.Name]; twice {
			b.mistake(p.Name.Span, fmt.Sprintf("The parameter %s stands twice.", p.Name.Name), "Give one of them another name.")
		}
		t, spec, known := b.paramType(p)
		if !known {
			r.isWrong(firstMistake(b.messages))
			return b.messages
		}
		if p.Whole {
			t = t.ListOf()
		}
		sc.params[p.Name.Name] = operand{reg: b.register(classOf(t), t.List), t: t, at: p.Span, shownPct: spec != nil && spec.Percent}
	}
	for _, l := range r.Tree.Lines {
		if _, ok := sc.params[l.Name.Name]; ok {
			b.mistake(l.Name.Span, fmt.Sprintf("%s is a parameter already.", l.Name.Name), "Give the line another name.")
		}
	}
	told := len(b.messages)
	if b.body(r, sc).bad {
		if r.isWrong(firstMistake(b.messages[told:])); r.wrong == nil && b.broken != nil {
			r.wrong = b.broken.rule
		}
	}
	for _, l := range r.Tree.Lines {
		b.scoped(l.Name.Name)
	}
	return b.messages
}

// broken is a call of a rule that has a mistake.
type broken struct {
	rule *Rule
	src  *diag.Source // of the call in the sheet
	at   diag.Span
}

// restsOn notes the first call of a rule that has a mistake. It is told where the formula has no mistake of its own: that
// of the rule is told where the rule stands.
func (b *builder) restsOn(r *Rule, at diag.Span) operand {
	if b.broken == nil {
		b.broken = &broken{r, b.src, at}
		if len(b.frames) > 0 {
			b.broken.src, b.broken.at = b.frames[0].src, b.frames[0].at
		}
	}
	return bad(at)
}

func (x *broken) message() *diag.Message {
	m := diag.New(x.src, x.at, fmt.Sprintf("Rests on the rule %s, which has a mistake.", x.rule.Name), "")
	if of := x.rule.mistake; of != nil {
		m.Related = []diag.Related{{Source: of.Source, Span: of.Span, Text: fmt.Sprintf("In the rule %s:", x.rule.Name)}}
	}
	return m
}
