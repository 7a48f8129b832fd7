package check_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/lang/check"
	"castwright/lang/program"
	"castwright/lang/value"
	"castwright/sheets"
)

// The mistake of a rule is told once, where it stands; a call says which rule has it.
func TestCallsOfARuleWithAMistake(t *testing.T) {
	c := newChecker(t)
	for _, k := range []struct {
		name, sheet string
		told        []string
	}{
		{"its line cannot be read", "rule f(x [mm])\n  give x +\nend\ny = f(3 mm)\nz = f(4 mm)\n",
			[]string{"A value is missing behind this.", "Rests on the rule f, which has a mistake.", "Rests on the rule f, which has a mistake."}},
		{"one of its lines cannot be read", "rule f(x [mm])\n  a = x +\n  give a + x\nend\ny = f(3 mm)\n",
			[]string{"A value is missing behind this.", "Rests on the rule f, which has a mistake."}},
		{"its condition cannot be read, so that nothing guards it", "rule f(x)\n  needs x >\n  give x\nend\ny = f(-3)\n",
			[]string{"A value is missing behind this.", "Rests on the rule f, which has a mistake."}},
		{"its head cannot be read", "rule f(x [mm)\n  give x\nend\ny = f(3 mm)\n",
			[]string{"This bracket is not closed.", "Rests on the rule f, which has a mistake."}},
		{"its parameter", "rule f(x [foo], y)\n  give x\nend\ny = f(3 mm, 2)\n",
			[]string{"The bracket of this parameter cannot be read.", "Rests on the rule f, which has a mistake."}},
		{"its kinds", "rule f(x [mm])\n  give x + 1 kg\nend\ny = f(3 mm)\n",
			[]string{"A length (x) and a mass (1 kg) cannot be added.", "Rests on the rule f, which has a mistake."}},
		{"it gives nothing", "rule f(x [mm])\n  about \"nothing\"\nend\ny = f(3 mm)\n",
			[]string{"The rule f gives nothing.", "Rests on the rule f, which has a mistake."}},
		{"a rule that calls it", "rule a(x [mm])\n  give 2 * f(x)\nend\nrule f(x [mm])\n  give x +\nend\ny = a(3 mm)\n",
			[]string{"A value is missing behind this.", "Rests on the rule f, which has a mistake."}},
		{"a rule whose parameters are open calls it", "rule a(x)\n  give 2 * f(x)\nend\nrule f(x [mm])\n  give x +\nend\ny = a(3 mm)\n",
			[]string{"A value is missing behind this.", "Rests on the rule f, which has a mistake."}},
		{"the cell has a mistake of its own", "rule f(x [mm])\n  give x +\nend\ny = f(3 mm) + nowhere\n",
			[]string{"A value is missing behind this.", "There is no cell nowhere."}},
		{"a column", "rule f(x)\n  give x +\nend\ntable p\n  v = f(q)\n  | q\n  | 1\nend\n",
			[]string{"A value is missing behind this.", "Rests on the rule f, which has a mistake."}},
		{"a row", "rule f(x)\n  give x +\nend\ntable p\n  | q\n  | 1\n  | (f(2))\nend\n",
			[]string{"A value is missing behind this.", "Rests on the rule f, which has a mistake."}},
		{"a line that is not needed", "rule f(x [mm])\n  a = x + 1 kg\n  give x\nend\ny = f(3 mm)\n",
			[]string{"A length (x) and a mass (1 kg) cannot be added."}},
		{"open parameters: the mistake is that of the call (ruling 30)", "rule f(x)\n  give x + 1 kg\nend\ny = f(3 mm)\nz = f(3 kg)\n",
			[]string{"A length (x) and a mass (1 kg) cannot be added."}},
	} {
		t.Run(k.name, func(t *testing.T) {
			var told []string
			ms := sheets.Memory(c, check.Text{Name: "bench", Text: k.sheet}).Checked.Sheets[0].Messages()
			for _, m := range ms {
				told = append(told, m.Text)
			}
			assert.ElementsMatch(t, k.told, told, drawAll(ms))
		})
	}
}

// The call of such a rule shows where the mistake stands.
func TestPlaceOfTheMistakeOfARule(t *testing.T) {
	_, told, state := evaluate(newChecker(t), "rule f(x [mm])\n  give x +\nend\n", "2 * f(3 mm)")
	assert.Equal(t, value.Mistake, state)
	assert.Equal(t, `the line, line 1, place 5:
    2 * f(3 mm)
        ^^^^^^^
  Rests on the rule f, which has a mistake.
  In the rule f:
bench, line 2, place 10:
      give x +
             ^
`, told)
}

const gradedRule = `rule graded(grade, place = "dry")
  table worths
    name  | where_used | worth
    "a"   | "dry"      | 1
    "a"   | "wet"      | 2
    "iii" | "dry"      | 3
  end
  give only(worths where worths.name == grade and worths.where_used == place).worth
end
table pieces
  worth = graded(grade)
  | grade
  | "a"
  | "vi"
end
`

// A text that no row of a rule's table has is told once for a call, with the nearest that one has (ruling 22).
func TestTextsLookedForInVain(t *testing.T) {
	c := newChecker(t)
	const first = "No row meets the condition: the text "
	for _, k := range []struct{ line, told string }{
		{`graded("vi")`, first + `"vi" never occurs in worths.name.` + "\n  It holds \"a\" and \"iii\".\n"},
		{`graded("ii")`, first + `"ii" never occurs in worths.name.` + "\n  The nearest is \"iii\".\n"},
		{`graded("a", "wed")`, first + `"wed" never occurs in worths.where_used.` + "\n  The nearest is \"wet\".\n"},
		{`graded("iii", "wet")`, "No row meets the condition; exactly one is wanted.\n"}, // each occurs, not together
		{`graded(("a", "ii"))`, "Row 2: " + first + `"ii" never occurs`},
		{`sum(pieces.worth)`, "Row 2: " + first + `"vi" never occurs`},
		{`only(pieces.worth where pieces.grade == "b")`, first + `"b" never occurs in pieces.grade.`},
		{`count(pieces.worth where pieces.grade == "b")`, `The text "b" never occurs in pieces.grade. It holds "a" and "vi".`}, // a notice
		{`only((1, 2) where ("a", "b") == "c" or (1, 2) == 2)`, `The text "c" never occurs in ("a", "b").`},
	} {
		_, told, _ := evaluate(c, gradedRule, k.line)
		assert.Contains(t, told, k.told, k.line)
		assert.Equal(t, 1, strings.Count(told, "never occurs")+strings.Count(told, "exactly one"), "%s\n%s", k.line, told)
	}
}

// An empty place in a table of a rule is open (ruling 26): what does not use it does not wait (ruling 32).
func TestOpenPlacesInRules(t *testing.T) {
	const rules = `rule worth(grade)
  table t
    name | mass [kg] | words
    "a"  | 3         | "heavy"
    "b"  |           | "light"
    "c"  | 5         |
  end
  give only(t where t.name == grade).mass
end
rule said(grade)
  table t
    name | words
    "a"  |
    "b"  | "light"
  end
  give only(t where t.name == grade).words
end
rule all_of(n)
  table t
    name | mass
    "a"  | 3
    "b"  |
    "c"  | 5
  end
  give n * sum(t.mass where t.name != "b")
end
rule keyed(grade)
  table t
    | name | mass
    | "a"  | 3
    |      | 5
  end
  give only(t where t.name == grade).mass
end
rule nothing(n)
  table t
    name | mass
    "a"  |
  end
  give n * sum(t.mass)
end
table q
  w = worth(k)
  | k
  | "c"
  | "b"
end
`
	c := newChecker(t)
	for _, k := range []struct {
		line, shown string
		state       value.State
		told        string
	}{
		{`worth("a")`, "3 kg", value.OK, ""},
		{`worth("b")`, "", value.Open, "Waits for t.mass of the rule worth."},
		{`worth("d")`, "", value.Mistake, "No row meets the condition"},
		{`said("b")`, "light", value.OK, ""},
		{`said("a")`, "", value.Open, "Waits for t.words of the rule said."},
		{"all_of(2)", "16", value.OK, ""},
		{"sum(worth((\"a\", \"c\")))", "8 kg", value.OK, ""},
		{"sum(worth((\"a\", \"b\")))", "", value.Open, "Waits for t.mass of the rule worth."},
		{`keyed("a")`, "", value.Open, "Waits for t.name of the rule keyed."}, // the open name may be "a" too
		{"sum(q.w where q.k == \"c\")", "5 kg", value.OK, ""},
		{"sum(q.w)", "", value.Open, "Waits for t.mass of the rule worth."},
		{"nothing(2)", "", value.Mistake, "The column mass has no value and no unit."},
	} {
		shown, told, state := evaluate(c, rules, k.line)
		assert.Equal(t, k.state, state, "%s\n%s", k.line, told)
		assert.Equal(t, k.shown, shown, k.line)
		assert.Contains(t, told, k.told, k.line)
	}
}

// What a rule gives without a bracket is shown in the usual unit of its kind (ruling 15), whether its values were literals,
// cells, or looked up. Figures: 1 in = 25.4 mm and 1 ft = 304.8 mm (NIST SP 811).
func TestGiveWithoutBracket(t *testing.T) {
	const rules = `w = 3 in
t = 68 degF
rule times(x, y)
  give x * y
end
rule same(x)
  give x
end
rule turned(x)
  give -x
end
rule larger(x, y)
  give if x > y then x else y
end
rule inches(x [in])
  give x
end
rule through(x)
  y = 2 * x [ft]
  give y
end
rule looked_up(x)
  table sizes
    name | size [ft]
    "a"  | 3
  end
  give only(sizes where sizes.name == x).size
end
rule several(x, y)
  give both: x * y, first: x, second: y [cm]
end
`
	c := newChecker(t)
	for _, k := range []struct{ line, metric, us string }{
		{"times(2 in, 3)", "152.4 mm", "6 in"},
		{"times(2 m, 3 m)", "6 m^2", "64.58 ft^2"},
		{"times(5 W/(m^2*K), 3 m^2)", "15 W/K", "28.43 Btu/(h*Fdeg)"},
		{"times(2 kg, 3 J/(kg*K))", "6 J/K", "0.003159 Btu/Fdeg"},
		{"times(12 USD/kg, 2 kg)", "24.00 USD", "24.00 USD"},
		{"same(3 in)", "76.2 mm", "3 in"},
		{"same(w)", "76.2 mm", "3 in"},
		{"same(3 m)", "3000 mm", "118.1 in"},
		{"same((1 in, 2 in))", "(25.4 mm, 50.8 mm)", "(1 in, 2 in)"},
		{"same(t)", "20 degC", "68 degF"},
		{"same(20 degC)", "20 degC", "68 degF"},
		{"same(8%)", "8%", "8%"},
		{"same(2 L) [m^3]", "0.002 m^3", "0.002 m^3"},
		{"turned(3 in)", "-76.2 mm", "-3 in"},
		{"larger(3 in, 2 in)", "76.2 mm", "3 in"},
		{"inches(3 ft)", "914.4 mm", "36 in"},
		{"through(6 in)", "304.8 mm", "12 in"},
		{`looked_up("a")`, "914.4 mm", "36 in"},
		{"several(3 in, 2 in)", "both 0.003871 m^2, first 76.2 mm, second 5.08 cm", "both 0.04167 ft^2, first 3 in, second 5.08 cm"},
	} {
		metric, told, _ := evaluate(c, rules, k.line)
		assert.Equal(t, k.metric, metric, "%s\n%s", k.line, told)
		us, told, _ := evaluate(c, "system us\n"+rules, k.line)
		assert.Equal(t, k.us, us, "%s\n%s", k.line, told)
	}
}

// What a rule looks at along the rows in its conditions and in its lines is worked out once.
func TestAlongTheRowsOnce(t *testing.T) {
	const text = `rule rate(ts[], xs[])
  needs all(steps(ts, first: 0 s) >= 0)
  gap = steps(ts, first: 0 s)
  give sum(xs * gap) / sum(steps(ts, first: 0 s)) + 0 * sum(steps(ts, first: 1 s)) / 1 s + 0 * sum(steps(xs))
end
ts = (0 s, 1 s, 3 s)
r = rate(ts, (2, 2, 5))
s = sum(steps(ts)) + sum(steps(ts)) + rate(ts, (2, 2, 5)) * 1 s
`
	j := sheets.Memory(newChecker(t), check.Text{Name: "bench", Text: text})
	for name, want := range map[string]struct {
		steps int
		value float64
	}{"r": {3, 4}, "s": {3, 10}} {
		c, ok := j.Sheets[0].Find(name)
		assert.True(t, ok)
		got := 0
		for _, in := range c.Program.Code {
			if in.Op == program.Steps {
				got++
			}
		}
		assert.Equal(t, want.steps, got, name)
		assert.Equal(t, want.value, j.Value(c).Num[0], name) // (2·1 + 5·2)/3, and 3 s + 3 s more
	}
}
