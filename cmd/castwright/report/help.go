package report

import (
	"fmt"
	"slices"
	"strings"
)

// Help tells about rules, functions, statements, units, kinds and commands: what there is; the page of one; what stands in
// a family; what gives a kind or takes it; and what any words lead to, where they are the name of nothing.
func (p *Report) Help(args []string) int {
	if slices.ContainsFunc(args, func(a string) bool { return strings.HasPrefix(a, "--") }) {
		return p.everything(args)
	}
	r := p.reference()
	question := strings.Join(args, " ")
	switch question {
	case "":
		p.overall(r)
		return Fine
	case "rules":
		p.families(r.rules)
		return Fine
	case "functions":
		p.families(append(r.funcs, r.props))
		return Fine
	case "units":
		p.listUnits()
		return Fine
	case "kinds":
		p.listKinds()
		return Fine
	case "statements":
		p.listStatements()
		return Fine
	}
	if w, giving, ok := p.kindQuestion(args); ok {
		p.settle(r.entries)
		p.byKind(r, w, giving)
		return Fine
	}
	if p.named(r, question) || p.named(r, spellings[question]) || p.search(r, args) {
		return Fine
	}
	return p.nothing(r, question)
}

// overall is help without a word.
func (p *Report) overall(r *reference) {
	p.Overview(p.Out)
	fmt.Fprintln(p.Out)
	p.contents(r)
	fmt.Fprintln(p.Out)
	p.definitions("  ", [][2]string{
		{"help mould", "the rules of a family, or the functions of a group"},
		{"help strength_at", "one of them, with its source, range and example; help table tells about a statement"},
		{"help float", "what any word leads to, the nearest first; so does a question: help how many bags"},
		{"help pressure", "a kind or a unit, with what gives it and what takes it; help what gives an area"},
		{"help units", "every unit; help kinds, help rules, help functions and help statements list the others"},
		{"help --all", "all of it; with --markdown as a text to print or to put beside a job"},
	})
}

func (p *Report) families(list []family) {
	for i, f := range list {
		if i > 0 {
			fmt.Fprintln(p.Out)
		}
		p.family(f)
	}
}

// named tells about whatever bears a name, and lists below it what else the word leads to; false where nothing bears it.
func (p *Report) named(r *reference, name string) bool {
	if name == "" {
		return false
	}
	found, shown := p.helpStatement(name), map[*entry]bool{}
	namesOnly := found
	if p.helpCommand(name) {
		found = true
	}
	if p.pages(r, name, shown) {
		found = true
	}
	w, isKind := p.kindOf(name)
	isKind = isKind && !w.also
	if u, ok := p.Checker.Library().Unit(name); ok {
		p.helpUnit(u)
		found, namesOnly = true, true
	} else if isKind {
		p.helpKind(w)
		found = true
	}
	if !found {
		return false
	}
	if !strings.Contains(name, "_") {
		p.below(r, name, shown, namesOnly)
	}
	if isKind && !w.plain() {
		p.settle(r.entries)
		for _, giving := range []bool{true, false} {
			fmt.Fprintln(p.Out)
			p.byKind(r, w, giving)
		}
	}
	return true
}

func (p *Report) helpCommand(name string) bool {
	found := false
	for _, c := range p.Commands {
		if c.Name == name {
			fmt.Fprintf(p.Out, "%s%s\n  %s\n", p.Lead, c.Usage, c.About)
			found = true
		}
	}
	return found
}

// pages tells about the rules, functions, properties, families and groups of a name, and notes which entries it has shown.
func (p *Report) pages(r *reference, name string, shown map[*entry]bool) bool {
	for _, e := range r.entries {
		if e.name == name || e.name == "."+name {
			p.settle([]*entry{e})
			p.page(e)
			shown[e] = true
		}
	}
	for _, f := range r.headings() {
		if f.name == name {
			p.family(f)
			for _, e := range f.entries {
				shown[e] = true
			}
		}
	}
	return len(shown) > 0
}
