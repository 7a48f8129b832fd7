package check_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/check"
	"castwright/lang/value"
	"castwright/sheets"
)

// Rules over lists that their parameters meet in other ways than lane by lane (ruling 20).
const mappedRules = `
rule up_to(n, xs[])
  give sum(xs where xs <= n)
end
rule named(kind, factor = 1)
  table grades
    name | worth
    "a"  | 10
    "b"  | 20
  end
  give factor * only(grades where grades.name == kind).worth
end
rule two(n, xs[])
  give low: sum(xs where xs < n), high: sum(xs where xs >= n)
end
rule twice(n, xs[])
  needs n > 0, count(xs) >= 2
  give up_to(n, xs) + up_to(2 * n, xs)
end
rule below(n, xs[])
  give sum(xs where xs < n)
end
rule kept(n, xs[])
  give xs where xs <= n
end
`

func TestRulesOverLists(t *testing.T) {
	c := newChecker(t)
	for _, k := range []struct{ line, shown, told string }{
		{"up_to((1, 2), (1, 2))", "(1, 3)", ""}, // as long as the list that is summed
		{"up_to((1, 2, 3, 0), (1, 2))", "(1, 3, 3, 0)", ""},
		{"up_to(list(2), (1, 2))", "list(3)", ""},
		{`named(("b", "a", "b"))`, "(20, 10, 20)", ""},
		{`named(("b", "a"))`, "(20, 10)", ""}, // as long as the table
		{`named(("b", "a"), (1, 2))`, "(20, 20)", ""},
		{`named("b", (1, 2, 3))`, "(20, 40, 60)", ""},
		{"two((1, 2), (1, 2)).high", "(3, 2)", ""},
		{"twice((1, 2), (1, 2, 4))", "(4, 10)", ""},
		{"sum(up_to((1, 2), (1, 2)))", "4", ""},
		{"kept(1, (1, 2))", "list(1)", ""},
		{`named(("b", "a"), (1, 2, 3))`, "", "named is given a list of 2 for kind and a list of 3 for factor.\n"},
		{`named(("b", "c"))`, "", "Row 2: No row meets the condition"},
		{"twice((1, 0), (1, 2, 4))", "", "Row 2: twice needs n > 0; here n is 0."},
		{"twice((1, 2), list(1))", "", "twice needs count(xs) >= 2.\n"},
		{"kept((1, 2), (1, 2))", "", "lists are not nested"},
		{"list((1, 2))", "", "(1, 2) is a list already"},
	} {
		shown, told, _ := evaluate(c, mappedRules, k.line)
		assert.Equal(t, k.shown, shown, "%s\n%s", k.line, told)
		assert.Contains(t, told, k.told, k.line)
	}
}

// Two rules that go through the same lists are two, though nothing outside their bodies tells them apart.
func TestRulesOverListsAreNotShared(t *testing.T) {
	c := newChecker(t)
	sheet := mappedRules + "a = up_to((1, 2), (1, 2))\nb = below((1, 2), (1, 2))\n"
	for name, shown := range map[string]string{"a": "(1, 3)", "b": "(0, 1)"} {
		got, told, _ := evaluate(c, sheet, name)
		assert.Equal(t, shown, got, told)
	}
}

// Lists of other lengths are told at the call, with the parameters that they are given to; columns of one table are as long
// as each other, and a list that is open as a whole is not held against another.
func TestListsOfOtherLengths(t *testing.T) {
	c := newChecker(t)
	const sheet = mappedRules + `rule outer(kinds, factors)
  give named(kinds, factors)
end
table q
  kind | factor
  "a"  | 1
  "b"  | 3
end
`
	for _, k := range []struct{ line, shown, told string }{
		{`outer(("b", "a"), (1, 2, 3))`, "", "outer is given a list of 2 for kinds and a list of 3 for factors.\n"},
		{"named(q.kind, q.factor)", "(10, 60)", ""},
		{"named(q.kind where q.factor > 1, q.factor)", "", "a list of 1 for kind and a list of 2 for factor.\n"},
		{"named(q.kind where q.factor > 1, q.factor where q.factor > 1)", "list(60)", ""},
	} {
		shown, told, _ := evaluate(c, sheet, k.line)
		assert.Equal(t, k.shown, shown, "%s\n%s", k.line, told)
		assert.Contains(t, told, k.told, k.line)
		assert.NotContains(t, told, "In the rule", k.line)
	}
}

// A rule over lists gives what it gives for each of their elements by itself, in a cell and in a column.
func TestRulesOverListsAgreeWithSingles(t *testing.T) {
	c := newChecker(t)
	bodies := []string{"a + b", "sum(xs where xs <= a) * b", "count(xs where xs > b)", "(if a > b then sum(xs where xs == a) else largest(xs))",
		"up_to(a, xs) - up_to(b, xs where xs > a)", "sum(t.v where t.k <= a) + a", "first(xs where xs >= a)", "sum(xs * a) / (b - 2)",
		"l * b", "sum((a, b))", "m.x + m.y", "1"}
	rapid.Check(t, func(t *rapid.T) {
		numbers := func(n int, label string) []string {
			var out []string
			for range n {
				out = append(out, fmt.Sprint(rapid.IntRange(0, 4).Draw(t, label)))
			}
			return out
		}
		n := rapid.IntRange(2, 4).Draw(t, "elements")
		as, bs, xs := numbers(n, "a"), numbers(n, "b"), numbers(rapid.IntRange(2, 4).Draw(t, "values"), "x")
		body := rapid.SampledFrom(bodies).Draw(t, "body")
		if rapid.Bool().Draw(t, "two") {
			body += " + " + rapid.SampledFrom(bodies).Draw(t, "more")
		}
		needs := rapid.SampledFrom([]string{"", "  needs a > 0\n", "  needs smallest(xs) <= b\n", "  holds a < b\n"}).Draw(t, "needs")
		text := "rule up_to(n, xs[])\n  give sum(xs where xs <= n)\nend\nrule pair(a, xs[])\n  give x: sum(xs where xs < a), y: a\nend\n" +
			"rule r(a, b, xs[])\n" + needs + "  table t\n    k | v\n    1 | 10\n    3 | 20\n  end\n" +
			"  l = count(xs where xs >= a)\n  m = pair(b, xs)\n  give " + body + "\nend\n"
		list := "(" + strings.Join(xs, ", ") + ")"
		text += fmt.Sprintf("all = r((%s), (%s), %s)\n", strings.Join(as, ", "), strings.Join(bs, ", "), list)
		table := "table q\n  v = r(a, b, " + list + ")\n  a | b\n"
		for i := range n {
			text += fmt.Sprintf("one_%d = r(%s, %s, %s)\n", i, as[i], bs[i], list)
			table += fmt.Sprintf("  %s | %s\n", as[i], bs[i])
		}
		j := sheets.Memory(c, check.Text{Name: "bench", Text: text + table + "end\n"})
		find := func(name string) *check.Cell {
			cell, ok := j.Sheets[0].Find(name)
			require.True(t, ok, name)
			require.Nil(t, cell.Fault, "%s\n%s", text, drawAll(j.Sheets[0].Messages()))
			return cell
		}
		for _, over := range []string{"all", "q.v"} {
			whole := j.Value(find(over))
			for i := range n {
				one := j.Value(find(fmt.Sprintf("one_%d", i)))
				at := i
				if whole.Len() == 1 { // nothing in the rule rests on the lists
					at = 0
				}
				require.Equal(t, j.Engine.StateOf(one.Mark(0)), j.Engine.StateOf(whole.Mark(at)), "%s, element %d\n%s", over, i, text)
				if j.Engine.StateOf(one.Mark(0)) < value.Open {
					require.Equal(t, one.Num[0], whole.Num[at], "%s, element %d\n%s", over, i, text)
				}
			}
		}
	})
}
