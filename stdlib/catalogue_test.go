package stdlib_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// Every rule of the library carries what a reader needs to judge it.
func TestCatalogue(t *testing.T) {
	c, ms := libraryChecker()
	require.Empty(t, ms)
	require.Greater(t, len(c.Rules()), 150)
	names := namesOf(c)
	for _, r := range c.Rules() {
		t.Run(r.Name, func(t *testing.T) {
			assert.NotEmpty(t, r.Family, "family is missing: the heading under which help lists the rule")
			sentences(t, "about", r.About)
			if r.Caution != "" {
				sentences(t, "caution", r.Caution)
			}
			assert.Regexp(t, sourced, r.Source, "source is missing, or names nothing that can be looked up")
			for _, n := range regexp.MustCompile(`[a-z0-9]+(_[a-z0-9]+)+`).FindAllString(r.About+" "+r.Caution+" "+r.Source, -1) {
				assert.True(t, names[n], "%s is named, and is no rule, place or result", n)
			}
			placesAndLinesAreUsed(t, r)
			placesHaveKinds(t, c, r)
			exampleRuns(t, c, r)
			cautionWhereItMatters(t, r)
		})
	}
}

// namesOf lists what a text of the library may name: rules, functions, their places and results.
func namesOf(c *check.Checker) map[string]bool {
	out := map[string]bool{}
	for _, r := range c.Rules() {
		out[r.Name] = true
		for _, p := range r.Params {
			out[p.Name] = true
		}
		for _, g := range r.Tree.Gives {
			out[g.Name.Name] = true
		}
	}
	for _, f := range c.Library().Funcs() {
		out[f.Name] = true
	}
	return out
}

// sentences wants a text that begins with a capital or a digit and ends with a full stop.
func sentences(t *testing.T, what, text string) {
	t.Helper()
	if !assert.NotEmpty(t, text, "%s is missing", what) {
		return
	}
	first := []rune(text)[0]
	assert.True(t, unicode.IsUpper(first) || unicode.IsDigit(first), "%s begins with a capital: %s", what, text)
	assert.True(t, strings.HasSuffix(text, "."), "%s ends with a full stop: %s", what, text)
	assert.NotContains(t, text, "  ", "%s has two blanks side by side", what)
}

// sourced is a published document with a number, a work with its year, a law or a closed form that any handbook has, or
// common practice.
var sourced = regexp.MustCompile(`common practice|practice of|\b(ACI|ASTM|ASME|CFR|EN|IBC|JCGM|NIOSH|PCI|UFGS)\b.*[0-9]|` +
	`\([0-9]{4}\)|Roark, |statics|geometry|elastic bending|principle`)

// placesAndLinesAreUsed finds parameters and lines that no other part of the rule looks at.
func placesAndLinesAreUsed(t *testing.T, r *check.Rule) {
	t.Helper()
	used := map[string]bool{}
	look := func(list ...syntax.Expr) {
		for _, e := range list {
			if e == nil {
				continue
			}
			syntax.Walk(e, func(x syntax.Expr) {
				if n, ok := x.(*syntax.Name); ok {
					used[n.Name] = true
				}
			})
		}
	}
	look(slices.Concat(r.Tree.Needs, r.Tree.Holds)...)
	for _, l := range r.Tree.Lines {
		look(l.Expr)
	}
	for _, g := range r.Tree.Gives {
		look(g.Expr)
	}
	for _, p := range r.Tree.Params {
		look(p.Default)
	}
	for _, p := range r.Params {
		assert.True(t, used[p.Name], "the parameter %s is not used", p.Name)
	}
	for _, l := range r.Tree.Lines {
		assert.True(t, used[l.Name.Name], "the line %s is not used", l.Name.Name)
	}
	for _, x := range r.Tree.Tables {
		assert.True(t, used[x.Name.Name], "the table %s is not used", x.Name.Name)
	}
}

// amounts are places that take a number as well as a mass, a volume or a count.
var amounts = []string{"price_break.quantity", "price_break.froms", "break_order.quantity", "break_order.froms", "line_total.amount",
	"quotation.amounts", "economic_order.yearly_use"}

// placesHaveKinds wants a bracket or a default of every parameter but those that take more than one kind: a solid, money of
// any currency, or whatever amount is counted, weighed or measured. Those have the kind of the example.
func placesHaveKinds(t *testing.T, c *check.Checker, r *check.Rule) {
	t.Helper()
	src, call := exampleOf(t, c, r)
	if call == nil {
		return
	}
	for i, p := range r.Params {
		if p.Unit != "" || p.Default != "" || slices.Contains(amounts, r.Name+"."+p.Name) {
			continue
		}
		at := slices.IndexFunc(call.Args, func(a *syntax.Argument) bool { return a.Name.Name == p.Name })
		if at < 0 {
			at = i
		}
		if !assert.Less(t, at, len(call.Args), "the example does not show %s", p.Name) {
			continue
		}
		k := kindOf(t, c, src.Cut(call.Args[at].Expr.Where()))
		open := k.Form == kind.Solid || k.Form == kind.Number && !k.Dim.IsOne()
		assert.True(t, open, "the parameter %s has neither a bracket nor a default, and takes only %s", p.Name, k.Article())
	}
}

// exampleOf finds the call of the rule in its example.
func exampleOf(t *testing.T, c *check.Checker, r *check.Rule) (*diag.Source, *syntax.Call) {
	t.Helper()
	src := &diag.Source{Name: "example", Text: r.Example}
	st, _, ms := syntax.ReadLine(src, c.Empty().IsUnit)
	line, ok := st.(*syntax.Line)
	if !assert.True(t, ok && len(ms) == 0, "example is missing, or is no expression: %s", r.Example) {
		return nil, nil
	}
	var call *syntax.Call
	syntax.Walk(line.Expr, func(x syntax.Expr) {
		if y, ok := x.(*syntax.Call); ok && y.Name.Name == r.Name && call == nil {
			call = y
		}
	})
	assert.NotNil(t, call, "the example does not call the rule: %s", r.Example)
	return src, call
}

func kindOf(t *testing.T, c *check.Checker, expr string) kind.Type {
	t.Helper()
	cell, ok := c.Check("kinds", "looked_at = "+expr).Find("looked_at")
	require.True(t, ok && cell.Fault == nil, expr)
	return cell.Type
}

// exampleRuns wants an example with a value that nothing is said against, and a kind for each result.
func exampleRuns(t *testing.T, c *check.Checker, r *check.Rule) {
	t.Helper()
	a := workOut(t, "", r.Example)
	assert.Equal(t, value.OK, a.state, "example %s\n%s", r.Example, a.told)
	assert.NotEmpty(t, a.shown, "example %s", r.Example)
	src, call := exampleOf(t, c, r)
	if call == nil {
		return
	}
	k := kindOf(t, c, src.Cut(call.Span))
	if len(r.Tree.Gives) == 1 && r.Tree.Gives[0].Name.Name == "" {
		assert.NotEqual(t, kind.Record, k.Form)
		return
	}
	for _, g := range r.Tree.Gives {
		_, _, ok := k.Field(g.Name.Name)
		assert.True(t, ok, "the result %s has no kind", g.Name.Name)
	}
}

// dangers are the words by which a rule bears on safety: what carries load, is lifted, stacked or stands free; what holds a
// pour; what harms skin and lungs; what is driven. They are looked for in the name and the about, at the start of words.
var dangers = regexp.MustCompile(`(?i)\b(strength|ruptur|tensil|tension|stress|bend|elasticity|lift|sling|stack|load|overturn|slid|tips|bearing|` +
	`press|earth|thrust|retain|reinforc|strip|harden|maturity|equivalent age|evaporat|` +
	`mould wall|bow|deflect|float|screw|rib |clamp|tabs|box|` +
	`rubber|glue|adhesive|sealer|admixture|emulsion|pigment|fibre|dry mix|dry concrete mix|dry sand|bedding sand|crushed|cutter|board|` +
	`sheet material|payload|soil|bars\b|activation|mortar cubes|age of concrete)`)

// harmless are rules with such a word in which nothing can hurt anyone, and why.
var harmless = map[string]string{
	"shrinkage_range": "a length",
	"shrunk_length":   "a length",
}

// deferring is how a caution sends the reader to who decides: the local codes, a licensed person, the maker, one's own tests.
var deferring = regexp.MustCompile(`(?i)local (codes|rules|law)|licensed|data sheet|maker's|cylinder|trial batch`)

func cautionWhereItMatters(t *testing.T, r *check.Rule) {
	t.Helper()
	word := dangers.FindString(strings.ReplaceAll(r.Name, "_", " ") + ". " + r.About)
	if word == "" && r.Family == "handling" {
		word = "handling"
	}
	if word == "" || harmless[r.Name] != "" {
		return
	}
	assert.Regexp(t, deferring, r.Caution, "caution is missing, or sends nobody to the local codes, a licensed person or the maker, though it is about %s", word)
}
