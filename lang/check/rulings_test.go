package check_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/stdlib"
)

var update = flag.Bool("update", false, "write the golden files anew")

// verdict says what a case must come to.
type verdict string

const (
	accepted verdict = "accepted"
	refused  verdict = "refused"
	edge     verdict = "edge"         // accepted, at the border of the ruling
	border   verdict = "edge refused" // refused, at the border
)

// ruling is one case of a numbered ruling of the language: a line, over a sheet where it needs one.
type ruling struct {
	number  int
	verdict verdict
	sheet   string
	line    string
	shown   string // what an accepted line shows
}

const jobSheet = `1 bag = 80 lb
1 EUR = 1.09 USD
count pallet, pallets
h = 2 h
segments = 10
V = 3 m^3
waste = 8%
age = 7 d
T = 23 degC
cost = 60 USD
lengths = (1 m, 2 m, 3 m)
kinds_of = ("seat", "leg", "seat")
`

const ownRules = `rule half(x)
  give x / 2
end
rule strip(age [d], f28 = 30 MPa)
  needs age > 0
  give f28 * age / (age + 4 d) [MPa]
end
rule widest(xs[] [m])
  give largest(xs)
end
rule both(a [m])
  give twice: 2 * a [mm], square: a^2
end
`

// rulings are the cases that kinds, units, expressions and rules must meet. What a refused line says stands in
// testdata/rulings.golden.
var rulings = []ruling{
	{3, accepted, "", "2350 kg/m3 * 1 m^3", "2350 kg"},
	{3, accepted, "", "0.9 kg/m^2/h", "0.9 kg/(m^2*h)"},
	{3, accepted, "", "57000 psi^(1/2) * sqrt(4000 psi) [psi]", "3604997 psi"},
	{3, edge, "", "5 W/(m^2*K) * 2 m^2 * 3 K", "30 W"},

	{6, refused, "", "6 ft 3 kg", ""},
	{6, border, "", "3 in 6 ft", ""},
	{6, edge, "", "2 h 30 min [min]", "150 min"},

	{7, accepted, jobSheet, "80 lb / h [kg/h]", "18.14 kg/h"},
	{7, refused, jobSheet, "360 deg/segments", ""},
	{7, refused, jobSheet, "2350 kg/m^3*V", ""},
	{7, refused, jobSheet + "vol = 3 L\n", "2350 kg/m^3*vol", ""},
	{7, edge, jobSheet, "80 lb/h", "80 lb/h"},

	{11, accepted, "", "3 inches + 10 inches", "330.2 mm"},
	{11, accepted, jobSheet, "12 bags [kg]", "435.4 kg"},
	{11, accepted, "", "1 yd3 / 1 cuyd", "1"},
	{11, refused, "", "5 Kg", ""},
	{11, refused, "", "5 MM", ""},
	{11, edge, "", "strength_at(7 d, 30 mPa) [Pa]", "0.02111 Pa"},
	{11, edge, "", "1 ton [lb]", "2000 lb"},
	{11, refused, "", "1 lb + 1 lbf", ""},

	{12, accepted, "", "1 m + 2 ft [mm]", "1610 mm"},
	{12, accepted, "", "2 m > 0", "yes"},
	{12, accepted, "", "100 * (1 + 10%)", "110"},
	{12, accepted, jobSheet, "waste + 2%", "10%"},
	{12, accepted, "", "sin(30 deg)", "0.5"},
	{12, accepted, "", "sin(0)", "0"},
	{12, accepted, "", "(8 m^3)^(1/3)", "2000 mm"},
	{12, refused, "", "1 m + 1 kg", ""},
	{12, refused, "", "2 m > 3", ""},
	{12, refused, "", "(3 m)^0.333", ""},
	{12, refused, "", "sin(30)", ""},
	{12, refused, "", "100 + 10%", ""},
	{12, refused, "", "if 1 > 2 then 1 m else 1 kg", ""},
	{12, refused, "", "otherwise(1 m, 1 kg)", ""},
	{12, refused, "", "60 turn/min + 1 rpm", ""},
	{12, edge, "", "60 rpm [Hz]", "1 Hz"},
	{12, border, "", "20 degC > 0", ""},
	{12, border, "", "(2 m)^segments", ""},

	{13, accepted, "", "23 degC - 5 K [degC]", "18 degC"},
	{13, accepted, "", "23 degC - 5 degC", "18 K"},
	{13, accepted, "", "mean(20 degC, 30 degC)", "25 degC"},
	{13, accepted, "", "absolute(20 degC) * 2 [0.1 K]", "586.3 K"},
	{13, accepted, "", "2027-03-29 - 2027-03-01 [d]", "28 d"},
	{13, refused, "", "20 degC + 3 degC", ""},
	{13, refused, "", "sum(20 degC, 30 degC)", ""},
	{13, refused, "", "20 degC * 2", ""},
	{13, refused, "", "20 degC / 2", ""},
	{13, refused, "", "-(10 degC)", ""},
	{13, refused, "", "2027-03-01 + 2027-03-02", ""},
	{13, edge, "", "-40 degC [degF]", "-40 degF"},
	{13, edge, "", "5 W/(m^2*degC) * 1 m^2 * 10 K", "50 W"},

	{14, accepted, jobSheet, "cost + 3 EUR [EUR]", "58.05 EUR"},
	{14, accepted, jobSheet, "cost > 50 EUR", "yes"},
	{14, accepted, jobSheet, "3 pallets / 1 pallet", "3"},
	{14, accepted, "", "12 USD", "12.00 USD"},
	{14, refused, jobSheet, "cost + 3 EUR", ""},
	{14, refused, "", "12 USD + 3 CHF", ""},
	{14, refused, jobSheet, "3 pallets + 2", ""},
	{14, refused, "", "12 $", ""},
	{14, edge, jobSheet, "60 USD / 3 kg [EUR/kg]", "18.35 EUR/kg"},
	{14, border, jobSheet, "5 CHF [EUR]", ""},

	{15, accepted, "", "1.6129 m [mm]", "1613 mm"},
	{15, accepted, "", "4.44 in [1/16 in]", "4 7/16 in"},
	{15, accepted, "", "1.89 m [ft, 1/8 in]", "6 ft 2 3/8 in"},
	{15, accepted, "", "1/3 [%]", "33.33%"},
	{15, accepted, "", "2027-03-01T14:30 [weekday]", "Monday"},
	{15, accepted, "", "12.34 kg [0.1 kg]", "12.3 kg"},
	{15, refused, "", "430 [mm]", ""},
	{15, refused, "", "3 kg [m]", ""},
	{15, refused, "", "3 kg [1]", ""},
	{15, refused, "", "12.5 USD [1 USD]", ""},
	{15, edge, "", "5 ft 11 15/16 in + 1/16 in [ft, 1/16 in]", "6 ft"},
	{15, edge, "", "12.00004 * 1", "12.00004"},
	{15, edge, "", "12.000000000000002 * 1", "12"},
	{15, edge, "", "123456.7 kg", "123457 kg"},

	{15, edge, "system us\n", "strength_at(7 d, 4000 psi)", "2814 psi"},
	{15, edge, "system us\n", "circle(2 ft).area", "12.57 ft^2"},

	{16, accepted, "", "d = 430 ± 3 mm", "430 mm"},
	{16, accepted, "", "d = 430 mm from 429 mm to 432 mm", "430 mm"},
	{16, accepted, "", "d = 23 degC ± 2 K", "23 degC"},
	{16, refused, "", "d = 430 mm ± 3 kg", ""},
	{16, refused, "", "d = 23 degC ± 2%", ""},
	{16, refused, "", "d = 430 mm from 431 mm to 432 mm", ""},
	{16, edge, "", "d = 8% ± 2%", "8%"},
	{16, border, "", "d = 430 ± 3 mm + 1 mm", ""},

	{17, accepted, "", "0.1 + 0.2 == 0.3", "yes"},
	{17, accepted, "", "0.1 + 0.2 <= 0.3", "yes"},
	{17, refused, jobSheet, "if age = 7 d then 1 else 2", ""},
	{17, edge, "", "0.1 + 0.2 > 0.3", "no"},
	{17, edge, "", "1 m == 1.000000000002 m", "no"},

	{18, accepted, "", "bags(1 yd^3, bag_yield: 0.60 ft^3)", "45"},
	{18, accepted, "", "largest(3 m, 2 m)", "3000 mm"},
	{18, refused, "", "bags(1 yd^3)", ""},
	{18, refused, "", "bags(1 yd^3, 0.6 ft^3, 1%, 2%)", ""},
	{18, refused, "", "bags(1 yd^3, bag_yeild: 0.60 ft^3)", ""},
	{18, border, "", "bags(1 yd^3, 0.6 ft^3, volume: 1 m^3)", ""},
	{18, edge, "", "strength_at(f28: 30 MPa, age: 28 d)", "30.22 MPa"},

	{19, accepted, "", "sum((1 m, 2 m, 3 m))", "6000 mm"},
	{19, accepted, "", "polygon((0 m, 0 m), (4 m, 0 m), (4 m, 3 m)).area", "6 m^2"},
	{19, refused, "", "(1 m, 2 kg)", ""},
	{19, refused, jobSheet, "(lengths, lengths)", ""},
	{19, edge, "", "sum(list(4 m))", "4000 mm"},
	{19, edge, "", "(0, 3 m)", "(0 m, 3 m)"},

	{20, accepted, jobSheet, "sum(lengths * 2)", "12000 mm"},
	{20, accepted, "", "round_up((1.2, 2.7))", "(2, 3)"},
	{20, accepted, jobSheet, "if lengths > 1.5 m then lengths else 0 m", "(0 mm, 2000 mm, 3000 mm)"},
	{20, refused, "", "(1 m, 2 m) + (1 m, 2 m, 3 m)", ""},
	{20, edge, "", "strength_at((3 d, 7 d, 28 d), 30 MPa)", "(13.74 MPa, 21.11 MPa, 30.22 MPa)"},

	{21, accepted, jobSheet, "sum(lengths where lengths > 1 m)", "5000 mm"},
	{21, accepted, jobSheet, "sum(lengths where kinds_of == \"seat\")", "4000 mm"},
	{21, refused, jobSheet, "sum(V where V > 1 m^3)", ""},
	{21, refused, jobSheet, "only(lengths where lengths > 1 m)", ""},
	{21, border, jobSheet, "only(lengths where lengths > 9 m)", ""},
	{21, edge, jobSheet, "sum((lengths where lengths > 1 m) where lengths < 3 m)", "2000 mm"},

	{22, accepted, jobSheet, `"{segments} of {V [L]}, {{x}}"`, "10 of 3000 L, {x}}"},
	{22, accepted, "", "\"e\u0301\" == \"\u00e9\"", "yes"},
	{22, refused, "", `"a" < "b"`, ""},
	{22, refused, "", `"a" + "b"`, ""},
	{22, edge, "", `"Seat" == "seat"`, "no"},
	{22, edge, "", `count(("seat", "leg") where ("seat", "leg") == "seet")`, "0"},

	{23, accepted, "", "round_up(11.2)", "12"},
	{23, accepted, "", "round_up(4.4 in, 1/16 in) [1/16 in]", "4 7/16 in"},
	{23, accepted, "", "nearest(-2.5)", "-3"},
	{23, refused, "", "round_up(433 mm)", ""},
	{23, refused, "", "round_up(433 mm, 5 kg)", ""},
	{23, border, "", "round_up(5, 0)", ""},
	{23, edge, "", "round_up(12.000000000000002)", "12"},
	{23, edge, "", "round_up(12.001)", "13"},

	{24, refused, "", "now()", ""},
	{24, refused, "", "random(1, 2)", ""},
	{24, accepted, "", "2027-03-01 + 28 d", "2027-03-29"},
	{24, edge, "", "2027-12-31 + 1 d", "2028-01-01"},

	{30, accepted, ownRules, "half(3 m)", "1500 mm"},
	{30, accepted, ownRules, "strip(4 d)", "15 MPa"},
	{30, refused, ownRules, "strip(4 kg)", ""},
	{30, refused, ownRules, "half(20 degC)", ""},
	{30, refused, ownRules, "strip(-1 d)", ""},
	{30, edge, ownRules, "widest(1 m, 4 m)", "4000 mm"},
	{30, edge, "", "strength_at(0.5 d, 30 MPa)", "3.39 MPa"},

	{31, accepted, ownRules, "both(3 m).twice", "6000 mm"},
	{31, accepted, ownRules, "both((1 m, 2 m)).twice", "(2000 mm, 4000 mm)"},
	{31, refused, jobSheet + "rule peek(x)\n  give x * segments\nend\n", "peek(2)", ""},
	{31, refused, ownRules, "both(3 m).thrice", ""},
	{31, edge, "", "layers(95 mm, 18 mm)", "count 6, height 108 mm"},
}

func newChecker(t testing.TB) *check.Checker {
	t.Helper()
	c, ms := check.New(stdlib.New())
	require.Empty(t, drawAll(ms))
	return c
}

func drawAll(ms diag.List) string {
	var b strings.Builder
	for _, m := range ms {
		b.WriteString(m.Draw())
	}
	return b.String()
}

// evaluate computes a line over a sheet: what it shows, what it tells, and its state.
func evaluate(c *check.Checker, sheet, line string) (shown, told string, state value.State) {
	j := sheets.Memory(c, check.Text{Name: "bench", Text: sheet})
	cell, v, state, causes, ms := j.Line(j.Sheets[0], &diag.Source{Name: "the line", Text: line})
	told = drawAll(ms)
	for _, x := range causes {
		told += x.Message().Draw()
	}
	if cell != nil && state < value.Open {
		shown = show.Column(cell.Spec, cell.Type, v)
	}
	return shown, told, state
}

func TestRulings(t *testing.T) {
	c := newChecker(t)
	var golden strings.Builder
	for _, r := range rulings {
		shown, told, state := evaluate(c, r.sheet, r.line)
		name := fmt.Sprintf("ruling %d, %s: %s", r.number, r.verdict, r.line)
		fmt.Fprintf(&golden, "== %s\n%s", name, told)
		if r.verdict == accepted || r.verdict == edge {
			assert.Equal(t, r.shown, shown, name)
			assert.Less(t, state, value.Open, "%s\n%s", name, told)
		} else {
			assert.Equal(t, value.Mistake, state, name)
			assert.NotEmpty(t, told, name)
		}
	}
	const file = "testdata/rulings.golden"
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, []byte(golden.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), golden.String())
}

// Each ruling has an accepted, a refused and an edge case.
func TestEveryRulingHasThreeCases(t *testing.T) {
	seen := map[int]map[string]bool{}
	for _, r := range rulings {
		if seen[r.number] == nil {
			seen[r.number] = map[string]bool{}
		}
		kind := strings.Fields(string(r.verdict))[0]
		seen[r.number][kind] = true
	}
	for _, n := range []int{12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 30, 31} {
		for _, k := range []string{"accepted", "refused", "edge"} {
			assert.True(t, seen[n][k], "ruling %d has no case that is %s", n, k)
		}
	}
}
