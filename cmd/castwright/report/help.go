package report

import (
	"fmt"
	"math/big"
	"regexp"
	"sort"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/sheets"
)

// Help tells about a rule, a unit, a kind or a command, and searches where there is no exact name.
func (p *Report) Help(args []string) int {
	if len(args) == 0 {
		p.Overview(p.Out)
		fmt.Fprintln(p.Out)
		fmt.Fprintln(p.Out, "help statements, help rules, help units and help kinds list what there is; help table,")
		fmt.Fprintln(p.Out, "help strength_at, help psi or help pressure tell about one of them; any other word is")
		fmt.Fprintln(p.Out, "searched for.")
		return Fine
	}
	word := strings.Join(args, " ")
	switch word {
	case "rules":
		p.listRules()
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
	found := p.helpStatement(word)
	for _, c := range p.Commands {
		if c.Name == word {
			fmt.Fprintf(p.Out, "%s%s\n  %s\n", p.Lead, c.Usage, c.About)
			found = true
		}
	}
	if r := p.Checker.Rule(word); r != nil {
		p.helpRule(r)
		found = true
	}
	if f, ok := p.Checker.Library().Func(word); ok {
		p.helpFunc(f)
		found = true
	}
	if u, ok := p.Checker.Library().Unit(word); ok {
		p.helpUnit(u)
		found = true
	}
	if d, ok := kind.Lookup(word); ok {
		p.helpKind(word, d)
		found = true
	}
	if found {
		return Fine
	}
	return p.search(word)
}

func (p *Report) helpRule(r *check.Rule) {
	fmt.Fprintln(p.Out, r.Head())
	p.facts(r.About, r.Source, strings.Join(r.Needs, ", "), strings.Join(r.Holds, ", "), r.Caution)
	if r.Gives != "" {
		fmt.Fprintf(p.Out, "  %-8s %s\n", "gives", r.Gives)
	}
	if r.Example != "" {
		fmt.Fprintf(p.Out, "  %-8s %s\n", "example", r.Example)
		if shown, ok := p.compute(r.Example); ok {
			fmt.Fprintf(p.Out, "  %-8s = %s\n", "", shown)
		}
	}
}

// compute works an example out, so that help never shows a value that the program would not give.
func (p *Report) compute(line string) (string, bool) {
	over := sheets.Memory(p.Checker, check.Text{})
	c, v, state, _, ms := over.Line(over.Sheets[0], &diag.Source{Name: "example", Text: line})
	if c == nil || ms.Mistakes() > 0 {
		return "", false
	}
	return shownText(c, v, state, over.Engine.StateOf), true
}

func (p *Report) helpFunc(f *catalogue.Func) {
	fmt.Fprintln(p.Out, check.FuncHead(f))
	p.facts(f.About, f.Source, f.Needs, f.Holds, f.Caution)
	for _, e := range f.Examples {
		if shown, ok := p.compute(e.Line); ok {
			fmt.Fprintf(p.Out, "  %-8s %s = %s\n", "example", e.Line, shown)
		}
	}
}

func (p *Report) helpUnit(u catalogue.Unit) {
	fmt.Fprintf(p.Out, "%s\n", u.Symbol)
	row := func(head, text string) {
		if text != "" {
			for i, l := range wrap(text, 84) {
				if i > 0 {
					head = ""
				}
				fmt.Fprintf(p.Out, "  %-8s %s\n", head, l)
			}
		}
	}
	row("name", u.Name)
	row("kind", kind.Type{Form: u.Form, Dim: u.Dim}.String())
	row("size", size(u))
	row("system", string(u.System))
	row("also", strings.Join(u.Others, ", "))
	row("about", u.About)
	row("source", u.Source)
}

// size writes what one of a unit is in SI, exactly where a short decimal or ratio says it.
func size(u catalogue.Unit) string {
	if u.System == catalogue.Currency {
		return fmt.Sprintf("%d digits of minor units", u.Minor)
	}
	base := u.Dim.Symbol()
	if base == "1" {
		base = ""
	}
	pi := ""
	if u.Pi {
		pi = " pi"
	}
	s := fmt.Sprintf("1 %s = %s%s %s", u.Symbol, ratio(u.Ratio), pi, base)
	if u.Offset != nil {
		s = fmt.Sprintf("0 %s is %s K; a step of 1 is %s K", u.Symbol, ratio(u.Offset), ratio(u.Ratio))
	}
	return strings.TrimSpace(s)
}

func ratio(r *big.Rat) string {
	if n, exact := r.FloatPrec(); exact && n <= 20 {
		return r.FloatString(n)
	}
	f, _ := r.Float64()
	if s := r.RatString(); len(s) <= 32 {
		return fmt.Sprintf("%.12g (exactly %s)", f, s)
	}
	return fmt.Sprintf("%.12g", f)
}

func (p *Report) helpKind(name string, d kind.Dim) {
	fmt.Fprintf(p.Out, "%s\n  in SI    %s\n", name, d.Symbol())
	lib := p.Checker.Library()
	if m := lib.Usual(kind.Number, d, false); m != "" {
		fmt.Fprintf(p.Out, "  shown in %s (metric), %s (us)\n", m, lib.Usual(kind.Number, d, true))
	}
	var units []string
	for _, u := range lib.All() {
		if u.Dim == d && u.Form == kind.Number {
			units = append(units, u.Symbol)
		}
	}
	if len(units) > 0 {
		for i, l := range wrap("units    "+strings.Join(units, ", "), 84) {
			if i > 0 {
				l = "         " + l
			} else {
				l = strings.Replace(l, "units ", "units    ", 1)
			}
			fmt.Fprintln(p.Out, "  "+l)
		}
	}
}

func (p *Report) listRules() {
	families := map[string][][]string{}
	var names []string
	add := func(family, head, about string) {
		if family == "" {
			family = "others"
		}
		if _, ok := families[family]; !ok {
			names = append(names, family)
		}
		families[family] = append(families[family], []string{head, firstSentence(about)})
	}
	for _, r := range p.Checker.Rules() {
		add(r.Family, r.Name, r.About)
	}
	for _, f := range p.Checker.Library().Funcs() {
		add(f.Family, f.Name, f.About)
	}
	sort.Strings(names)
	for i, n := range names {
		if i > 0 {
			fmt.Fprintln(p.Out)
		}
		fmt.Fprintln(p.Out, n)
		Table(p.Out, "  ", families[n])
	}
}

func firstSentence(s string) string {
	if i := strings.Index(s, ". "); i > 0 {
		return s[:i+1]
	}
	return s
}

func (p *Report) listUnits() {
	last := ""
	var rows [][]string
	flush := func() {
		if len(rows) > 0 {
			fmt.Fprintln(p.Out, last)
			Table(p.Out, "  ", rows)
		}
		rows = nil
	}
	for _, u := range p.Checker.Library().All() {
		if u.System == catalogue.Currency {
			continue
		}
		k := kind.Type{Form: u.Form, Dim: u.Dim}.String()
		if k != last {
			flush()
			last = k
		}
		rows = append(rows, []string{u.Symbol, u.Name, size(u)})
	}
	flush()
	fmt.Fprintln(p.Out, "SI units take the prefixes of the SI (mm, kN, MPa). Money is written with ISO 4217 codes: 12 USD.")
}

func (p *Report) listKinds() {
	var rows [][]string
	for _, e := range kind.Entries {
		rows = append(rows, []string{e.Name, e.Dim.Symbol()})
	}
	rows = append(rows, []string{"temperature", "a point: degC, degF"}, []string{"date", "2027-03-01, 2027-03-01T14:30"},
		[]string{"text", `"…"`}, []string{"yes or no", "a condition"}, []string{"outline, solid, point", "shapes"})
	Table(p.Out, "", rows)
}

// search looks a word up in names and descriptions.
func (p *Report) search(word string) int {
	// A word is found at the start of words: "bag" in bag_yield, and not in Tobago.
	wanted := regexp.MustCompile(`(?i)(^|[^\pL])` + regexp.QuoteMeta(word))
	var rows [][]string
	var names []string
	for _, r := range p.Checker.Rules() {
		names = append(names, r.Name)
		if wanted.MatchString(r.Name + " " + r.About + " " + r.Source + " " + r.Family) {
			rows = append(rows, []string{r.Name, firstSentence(r.About)})
		}
	}
	for _, f := range p.Checker.Library().Funcs() {
		names = append(names, f.Name)
		if wanted.MatchString(f.Name + " " + f.About + " " + f.Family) {
			rows = append(rows, []string{f.Name, firstSentence(f.About)})
		}
	}
	for _, u := range p.Checker.Library().All() {
		if wanted.MatchString(u.Name + " " + u.About) {
			rows = append(rows, []string{u.Symbol, u.Name + "  " + u.About})
		}
	}
	if len(rows) > 0 {
		Table(p.Out, "", rows)
		return Fine
	}
	near := append(diag.Near(word, names), p.Checker.Library().Near(word)...)
	fmt.Fprintln(p.Err, strings.TrimSpace(fmt.Sprintf("There is nothing about %s. %s", word, diag.DidYouMean(near))))
	return Wrong
}
