package syntax_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// one reads a text that holds one statement and no mistake.
func one[S syntax.Statement](t *testing.T, text string) S {
	t.Helper()
	f := syntax.ReadFile("sheet", text, isUnit)
	for _, m := range f.Messages {
		t.Error(m.Draw())
	}
	require.Len(t, f.Items, 1)
	s, ok := f.Items[0].Statement.(S)
	require.True(t, ok, "%T", f.Items[0].Statement)
	return s
}

func TestStatements(t *testing.T) {
	assert.Equal(t, `"Bench of "<n>`, text(one[*syntax.Title](t, `title "Bench of {n}"`).Text))
	assert.Equal(t, `"Inputs"`, text(one[*syntax.Section](t, `section "Inputs"`).Text))
	assert.True(t, one[*syntax.System](t, "system us").US)
	assert.False(t, one[*syntax.System](t, "system metric").US)

	cell := one[*syntax.Cell](t, `strength = 14 MPa accept "cylinders of 2027-03-02" (strength_at, mix.cement) [0.1 MPa]`)
	assert.Equal(t, `"cylinders of 2027-03-02"`, text(cell.Accept.Why))
	require.Len(t, cell.Accept.Causes, 2)
	assert.Equal(t, "cement", cell.Accept.Causes[1].Names[1].Name)
	assert.Equal(t, "[MPa step 1/10]", shown(cell.Shown))

	ask := one[*syntax.Ask](t, "ask bag_price [USD] assume 12 USD given 11.40 USD")
	assert.Equal(t, []string{"bag_price", "[USD]", "{12 USD}", "{57/5 USD}"}, []string{ask.Name.Name, shown(ask.Shown), shape(ask.Assume), shape(ask.Given)})
	ask = one[*syntax.Ask](t, "ask day [date]")
	assert.Equal(t, "[date]", shown(ask.Shown))
	assert.Nil(t, ask.Assume)
	assert.Nil(t, ask.Given)

	measure := one[*syntax.Measure](t, "1 EUR = 1.09 USD")
	assert.Equal(t, "EUR {109/100 USD}", measure.Unit.Name+" "+shape(measure.Value))
	count := one[*syntax.Count](t, "count pallet, pallets")
	assert.Equal(t, "pallet pallets", count.One.Name+" "+count.Many.Name)
	assert.Empty(t, one[*syntax.Count](t, "count pallet").Many.Name)

	check := one[*syntax.Check](t, `check one_person: mass <= 23 kg else "no lift: {mass [kg]}"`)
	assert.Equal(t, []string{"one_person", "(mass <= {23 kg})", `"no lift: "<mass [kg]>`}, []string{check.Name.Name, shape(check.Cond), text(check.Else)})
	check = one[*syntax.Check](t, "check mass <= 23 kg")
	assert.Empty(t, check.Name.Name)
	assert.Nil(t, check.Else)

	part := one[*syntax.Part](t, `part leg_parts from "leg.sheet" (height: 450 mm, bag: 25 kg)`)
	assert.Equal(t, []string{"leg_parts", `"leg.sheet"`, "height: {450 mm}, bag: {25 kg}"}, []string{part.Name.Name, text(part.Path), arguments(part.Replace)})
	assert.False(t, part.Library)
	assert.True(t, one[*syntax.Part](t, `part mix from library "mix"`).Library)

	variant := one[*syntax.Variant](t, "variant winter (water_temp: 8 degC)")
	assert.Equal(t, "winter: water_temp: {8 degC}", variant.Name.Name+": "+arguments(variant.Set))
	correlation := one[*syntax.Correlation](t, "correlation a, mix.b = -0.3")
	assert.Equal(t, "a b {-3/10}", correlation.A.Names[0].Name+" "+correlation.B.Names[1].Name+" "+shape(correlation.Value))
}

func TestTables(t *testing.T) {
	table := one[*syntax.Table](t, "table pours\n  volume = pieces * 2 L [L]  # of one day\n  day | pieces | height [mm] | kind\n  2027-03-01T07:30 | 4 | 450 | \"seat\"  # first\n  2027-03-02 | | (x + 1) | \"a|b\"\nend\n")
	assert.Equal(t, "pours", table.Name.Name)
	require.Len(t, table.Formulas, 1)
	assert.Equal(t, "volume (pieces * {2 L}) [L] of one day", table.Formulas[0].Name.Name+" "+shape(table.Formulas[0].Expr)+" "+shown(table.Formulas[0].Shown)+" "+table.Formulas[0].Note)
	require.Len(t, table.Heads, 4)
	assert.Equal(t, "height [mm]", table.Heads[2].Name.Name+" "+shown(table.Heads[2].Shown))
	require.Len(t, table.Rows, 2)
	assert.Equal(t, `2027-03-01T07:30:00 {4} {450} "seat"`, shapes(table.Rows[0].Cells, " "))
	assert.Equal(t, "first", table.Rows[0].Note)
	assert.Nil(t, table.Rows[1].Cells[1], "an empty place")
	assert.Equal(t, `[(x + {1})] "a|b"`, shapes(table.Rows[1].Cells[2:], " "))

	single := one[*syntax.Table](t, "table ages\n| age [d]\n| 1\n|\n| 28\nend\n")
	require.Len(t, single.Rows, 3)
	assert.Nil(t, single.Rows[1].Cells[0])

	log := one[*syntax.Table](t, `table log from "log.csv" (dates: "d.m.y", decimal: ",", skip: 3)`)
	assert.Equal(t, `"log.csv" dates: "d.m.y", decimal: ",", skip: {3}`, text(log.From.Path)+" "+arguments(log.From.Options))

	kinds := one[*syntax.Table](t, "table log from \"log.csv\"\n  hours = age / 1 h\n  age [h] | temp [degC]\nend\n")
	assert.Len(t, kinds.Heads, 2)
	assert.Len(t, kinds.Formulas, 1)
}

// A table from a file has a body only where an end follows before the next statement.
func TestTableFromAFileWithoutABody(t *testing.T) {
	f := syntax.ReadFile("sheet", "table log from \"log.csv\"\na = 1\ntable t\n  | x\n  | 1\nend\n", isUnit)
	require.Empty(t, f.Messages)
	assert.Equal(t, []string{"table log", "a", "table t"}, names(f))
}

func TestRules(t *testing.T) {
	rule := one[*syntax.Rule](t, `rule strength_at(age [d], f28 [MPa], cement = "I", xs[] [m], b [1] = 5%)
  family  "curing"
  about   "Strength."
  source  "ACI 209R-92"
  needs   age > 0, f28 > 0
  holds   1 d <= age <= 3650 d
  caution "An estimate."
  example "strength_at(7 d, 30 MPa)"
  table constants
    type | a [d]
    "I"  | 4.0
  end
  row = only(constants where constants.type == cement)
  give f28 * age / row.a  [MPa]
end
`)
	assert.Equal(t, "strength_at", rule.Name.Name)
	require.Len(t, rule.Params, 5)
	assert.Equal(t, "[d]", shown(rule.Params[0].Shown))
	assert.Equal(t, `"I"`, shape(rule.Params[2].Default))
	assert.True(t, rule.Params[3].Whole)
	assert.Equal(t, "[m]", shown(rule.Params[3].Shown))
	assert.Equal(t, "[step 1] {5%}", shown(rule.Params[4].Shown)+" "+shape(rule.Params[4].Default))
	assert.Equal(t, []string{`"curing"`, `"Strength."`, `"ACI 209R-92"`, `"An estimate."`, `"strength_at(7 d, 30 MPa)"`},
		[]string{text(rule.Family), text(rule.About), text(rule.Source), text(rule.Caution), text(rule.Example)})
	assert.Equal(t, "(age > {0}), (f28 > {0})", shapes(rule.Needs, ", "))
	assert.Equal(t, "({1 d} <= age <= {3650 d})", shapes(rule.Holds, ", "))
	require.Len(t, rule.Tables, 1)
	assert.Equal(t, `"I" {4}`, shapes(rule.Tables[0].Rows[0].Cells, " "))
	require.Len(t, rule.Lines, 1)
	require.Len(t, rule.Gives, 1)
	assert.Equal(t, "((f28 * age) / row.a) [MPa]", shape(rule.Gives[0].Expr)+" "+shown(rule.Gives[0].Shown))

	several := one[*syntax.Rule](t, "rule mix(v)\n  give cement: v * 2 [kg], water: v\nend\n")
	require.Len(t, several.Gives, 2)
	assert.Equal(t, "cement (v * {2}) [kg]", several.Gives[0].Name.Name+" "+shape(several.Gives[0].Expr)+" "+shown(several.Gives[0].Shown))
	assert.Equal(t, "water", several.Gives[1].Name.Name)
}

func TestHandouts(t *testing.T) {
	h := one[*syntax.Handout](t, "handout supplier \"Order for {n}\"\n  total_bags with note, live bag_price\n  live, pours.pieces where pours.customer == \"A\"\nend\n")
	assert.Equal(t, `supplier "Order for "<n>`, h.Name.Name+" "+text(h.Title))
	require.Len(t, h.Items, 4)
	assert.True(t, h.Items[0].WithNote)
	assert.True(t, h.Items[1].Live)
	assert.Equal(t, "live", shape(h.Items[2].Expr))
	assert.Equal(t, `(pours.pieces where (pours.customer == "A"))`, shape(h.Items[3].Expr))
}

func TestReadLine(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"-3 mm", "{-3 mm}"},
		{"# only a comment", "There is nothing on this line."},
		{"", "There is nothing on this line."},
		{"a\nb", "A line holds one statement."},
		{"a b", "Between this and what stands before it a sign is missing."},
	} {
		st, ms := line(c.text)
		if len(ms) > 0 {
			assert.Equal(t, c.want, ms[0].Text)
			continue
		}
		assert.Equal(t, c.want, shape(st.(*syntax.Line).Expr))
	}
	st, note, ms := syntax.ReadLine(&diag.Source{Text: "mass = 3 kg  # of one"}, isUnit)
	require.Empty(t, ms)
	assert.IsType(t, &syntax.Cell{}, st)
	assert.Equal(t, "of one", note)
	st, ms = line("table t\n  | x\n  | 1\nend")
	require.Empty(t, ms)
	assert.IsType(t, &syntax.Table{}, st)
}

func TestScanUnits(t *testing.T) {
	assert.Equal(t, []string{"bag", "sack", "EUR", "pallet", "pallets", "box"}, syntax.ScanUnits(
		"\ufeff1 bag = 80 lb\n1 sack=25 kg # a note\r\n  1 EUR = 1.09 USD\ncount pallet,pallets # note\ncount box\ncount = 3\ncount(x)\n1 | 2\n# 1 x = 2\n12 y = 3\nx = 1 z == 2\n1 w == 3\n"))
}

func TestWords(t *testing.T) {
	for _, w := range []string{"if", "then", "else", "and", "or", "not", "where", "yes", "no"} {
		assert.True(t, syntax.IsReserved(w), w)
		assert.False(t, syntax.IsName(w), w)
	}
	for _, w := range []string{"from", "to", "by", "until", "assume", "given", "accept", "with", "live", "holds", "deep"} {
		assert.True(t, syntax.IsSoft(w), w)
		assert.True(t, syntax.IsName(w), w)
	}
	for _, w := range syntax.StatementWords() {
		assert.True(t, syntax.IsStatementWord(w), w)
	}
	for name, ok := range map[string]bool{"h": true, "größe_2": true, "2x": false, "_x": false, "a b": false, "": false, "°C": false, "a.b": false, "x²": false} {
		assert.Equal(t, ok, syntax.IsName(name), name)
	}
}
