package stdlib_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// Lists given to look rows of a rule's own table up by, one of them as long as that table, do not run along with its rows
// (ruling 20). ACI 209R-92, equation 2-1: 7/(2.3 + 6.44), 7/(4 + 5.95) and 3/(2.3 + 2.76) of 30 MPa.
func TestListsToLookUpBy(t *testing.T) {
	shows(t, map[string]string{
		`strength_at(7 d, 30 MPa, ("III", "III", "III", "I"), "moist")`: "(24.03 MPa, 24.03 MPa, 24.03 MPa, 21.11 MPa)",
		`strength_at((7 d, 7 d), 30 MPa, ("I", "III"))`:                 "(21.11 MPa, 24.03 MPa)",
		`strength_at((3 d, 7 d), 30 MPa, ("III", "I"))`:                 "(17.79 MPa, 21.11 MPa)",
	})
	refuses(t, map[string]string{
		`strength_at((3 d, 7 d, 9 d), 30 MPa, ("III", "I"))`: "strength_at is given a list of 3 for age and a list of 2 for cement.",
		`strength_at(7 d, 30 MPa, ("III", "II"))`:            "Row 2: No row meets the condition",
	})
}

// place is a call, cut about one of its arguments, which stands for a single value.
type place struct{ head, at, tail string }

func (p place) with(at string) string { return p.head + at + p.tail }

// exampleCall finds the call in the example of a rule, `slump_for("wall").most [1 mm]`.
func exampleCall(t *testing.T, c *check.Checker, r *check.Rule) (*syntax.Call, *diag.Source) {
	t.Helper()
	src := &diag.Source{Name: r.Name, Text: r.Example}
	st, _, ms := syntax.ReadLine(src, c.Empty().IsUnit)
	require.Empty(t, ms, r.Example)
	require.IsType(t, &syntax.Line{}, st, r.Example)
	e := st.(*syntax.Line).Expr
	for {
		switch x := e.(type) {
		case *syntax.Field:
			e = x.Of
		case *syntax.Binary:
			e = x.X
		default:
			require.IsType(t, &syntax.Call{}, e, r.Example)
			return e.(*syntax.Call), src
		}
	}
}

// places gives the call in the example of a rule for each of its single values, written or left out, and how long the
// lists are that it has.
func places(t *testing.T, c *check.Checker, r *check.Rule) (out []place, lists []int) {
	t.Helper()
	call, src := exampleCall(t, c, r)
	require.Equal(t, r.Name, call.Name.Name, r.Example)
	cut := func(from, to int) string { return src.Cut(diag.Span{From: from, To: to}) }
	last, given := len(r.Params)-1, map[string]bool{}
	for i, a := range call.Args {
		p := r.Params[min(i, last)]
		if a.Name.Name != "" {
			p = r.Params[slices.IndexFunc(r.Params, func(p check.RuleParam) bool { return p.Name == a.Name.Name })]
		}
		given[p.Name] = true
		at, list := a.Expr.Where(), false
		if l, ok := a.Expr.(*syntax.List); ok {
			lists, list = append(lists, len(l.Items)), true
		}
		switch {
		case !p.Whole:
			out = append(out, place{cut(call.Span.From, at.From), cut(at.From, at.To), cut(at.To, call.Span.To)})
		case !list && i == last:
			lists = append(lists, len(call.Args)-last)
		}
	}
	for _, p := range r.Params {
		if given[p.Name] || p.Whole {
			continue
		}
		head := cut(call.Span.From, call.Span.To-1)
		if len(call.Args) > 0 {
			head += ", "
		}
		// What is left out may rest on another parameter, and cannot be written then.
		if x := (place{head + p.Name + ": ", p.Default, ")"}); answers(t, r, x.with(x.at)) != nil {
			out = append(out, x)
		}
	}
	return out, lists
}

// answers works a call out, and each part of what its rule gives; it gives nothing where one of them has no value.
func answers(t *testing.T, r *check.Rule, call string) (out []answer) {
	t.Helper()
	for _, part := range parts(r) {
		a := workOut(t, "", call+part)
		if a.state >= value.Open {
			return nil
		}
		out = append(out, a)
	}
	return out
}

// parts lists the fields of what a rule gives; one that gives a single result has an empty one.
func parts(r *check.Rule) []string {
	var out []string
	for _, g := range r.Tree.Gives {
		if g.Name.Name != "" {
			out = append(out, "."+g.Name.Name)
		}
	}
	if out == nil {
		out = []string{""}
	}
	return out
}

var (
	quoted = regexp.MustCompile(`"[^"\n]*"`)
	others = []string{"({} * 2)", "({} / 2)", "({} * 1.01)", "({} + 1 K)", "({} - 1 d)", "({} + 40 d)", "({} * 0.9)", "({} + 0.1)", "({} + 1)", "({} / 1000)",
		"({} + 20 mm)", "({} + 1 N)", "({} + 1 h)", "({} + 1 deg)", "(not {})", "extrude(circle(100 mm), 80 mm)"}
)

// another finds a value that a rule takes too in a place of its example, best one that gives something else: a little
// more, twice as much, a day later, another text of its tables; or the same again.
func another(t *testing.T, r *check.Rule, p place, first []answer) (at string, its []answer) {
	t.Helper()
	tries := others
	if strings.HasPrefix(p.at, `"`) {
		tries = quoted.FindAllString(r.Src.Text, -1)
		slices.Sort(tries)
		tries = slices.Compact(tries)
	}
	at, its = p.at, first
	for _, try := range tries {
		v := strings.Replace(try, "{}", p.at, 1)
		got := answers(t, r, p.with(v))
		if got != nil && !same(got, first) {
			return v, got
		}
		if got != nil && at == p.at {
			at, its = v, got
		}
	}
	return at, its
}

func same(a, b []answer) bool {
	return slices.EqualFunc(a, b, func(a, b answer) bool { return slices.Equal(a.si, b.si) })
}

// Every rule of the library gives over a list what it gives for each element by itself (ruling 20): the example of the
// catalogue, with a list in the place of each of its single values in turn. The lists are also as long as those that the
// call has and as the rule's own tables, so that one which runs along with them shows.
func TestRulesGoElementByElement(t *testing.T) {
	c, _ := libraryChecker()
	rules, all, differing := 0, 0, 0
	for _, r := range c.Rules() {
		ps, lengths := places(t, c, r)
		if len(ps) > 0 {
			rules++
		}
		lengths = append(lengths, 2)
		for _, table := range r.Tree.Tables {
			lengths = append(lengths, len(table.Rows))
		}
		slices.Sort(lengths)
		lengths = slices.Compact(lengths)
		for _, p := range ps {
			first := answers(t, r, p.with(p.at))
			require.NotNil(t, first, p)
			at, second := another(t, r, p, first)
			all++
			if !same(first, second) {
				differing++
			}
			for i, part := range parts(r) {
				for _, n := range lengths {
					inTurn(t, r, p, part, [2]string{p.at, at}, [2]answer{first[i], second[i]}, n)
				}
			}
		}
	}
	assert.GreaterOrEqual(t, rules, 190)
	assert.GreaterOrEqual(t, all, 620)
	assert.GreaterOrEqual(t, differing, 600, "places where the two values give something else")
}

// inTurn holds that a list of n values, the two in turn, gives what each of them gives.
func inTurn(t *testing.T, r *check.Rule, p place, part string, ats [2]string, one [2]answer, n int) {
	t.Helper()
	var list []string
	var want []float64
	state := value.OK
	for i := range n {
		list = append(list, ats[i%2])
		want = append(want, one[i%2].si...)
		state = max(state, one[i%2].state)
	}
	line := p.with("list("+list[0]+")") + part
	if n > 1 {
		line = p.with("("+strings.Join(list, ", ")+")") + part
	}
	got := workOut(t, "", line)
	if len(one[0].si) > 1 {
		assert.Equal(t, value.Mistake, got.state, line)
		assert.Contains(t, got.told, r.Name+" gives a list, and lists are not nested.", line)
		return
	}
	assert.Len(t, want, n, line)
	assert.Equal(t, want, got.si, "%s\n%s", line, got.told)
	assert.Equal(t, state, got.state, "%s\n%s", line, got.told)
}
