package check_test

import (
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
)

// tableCase is one case of a ruling over tables: a sheet, and what a cell of it comes to. Where a case is refused, the
// cell is a mistake in some row or as a whole, and what is told stands in testdata/tables.golden.
type tableCase struct {
	number  int
	verdict verdict
	name    string
	sheet   string
	cell    string
	shown   string // row by row, with the states of rows that are not ok
}

// rowsOf puts lines into a table t.
func rowsOf(lines ...string) string { return "table t\n  " + strings.Join(lines, "\n  ") + "\nend\n" }

var tableCases = []tableCase{
	// Inside, a bare name is the row's value; with the table's name, the whole column (25).
	{25, accepted, "bare and whole", rowsOf("share = n / sum(t.n) [%]", "n | k", "1 | 2", "3 | 4"), "t.share", "(25%, 75%)"},
	{25, accepted, "a bare name that is no column is a cell", "waste = 8%\n" + rowsOf("v = n * (1 + waste)", "n | k", "1 | 2", "50 | 4"), "t.v", "(1.08, 54)"},
	{25, accepted, "a list of row's values", rowsOf("m = largest(a, b)", "a [mm] | b [mm]", "1 | 2", "5 | 4"), "t.m", "(2 mm, 5 mm)"},
	{25, accepted, "another table, whole", rowsOf("v = n * sum(u.w)", "| n", "| 2") + "table u\n  w [kg] | x\n  3 | 1\n  4 | 1\nend\n", "t.v", "list(14 kg)"},
	{25, refused, "a list rule over one row", rowsOf("v = sum(n)", "n | k", "1 | 2"), "t.v", ""},
	{25, refused, "a whole column where one value is wanted", rowsOf("v = t.n * 2", "n | k", "1 | 2"), "t.v", ""},
	{25, refused, "another table's column, of equal length", rowsOf("v = n * u.w", "| n", "| 2") + "table u\n  | w\n  | 3\nend\n", "t.v", ""},
	{25, refused, "two columns of two lengths", rowsOf("| n", "| 2", "| 3") + "table u\n  | w\n  | 3\nend\nx = t.n * u.w\n", "x", ""},
	{25, edge, "columns may be named like units, constants and words", "h = 2 h\n" + rowsOf("v = kg * h + part * h", "kg | m | section | part", "1 | 2 | 3 | 4"), "t.v", "list(10 h)"},
	{25, edge, "a column stands before a constant", rowsOf("v = pi * 2", "| pi", "| 3"), "t.v", "list(6)"},
	{25, edge, "a formula with no column has as many values as the table rows", rowsOf("one = 7 mm", "| n", "| 1", "| 2"), "t.one", "(7 mm, 7 mm)"},
	{25, edge, "formulas before, between and behind the rows", rowsOf("a = n * 2", "n | k", "1 | 2", "b = a * k", "3 | 4"), "t.b", "(4, 24)"},

	// Typed columns: one kind, an empty place is open, never 0 (26).
	{26, accepted, "the unit of bare numbers", rowsOf("height [mm] | x", "430 | 1", "4 in | 2", "-1.5 | 3"), "t.height", "(430 mm, 101.6 mm, -1.5 mm)"},
	{26, accepted, "percent too", rowsOf("p [%] | x", "8 | 1", "8% | 2", "-2.5 | 3"), "t.p", "(8%, 8%, -2.5%)"},
	{26, accepted, "an expression in brackets", "x = 3 mm\n" + rowsOf("a | b", "(x * 2) | 1", "2 mm | 2"), "t.a", "(6 mm, 2 mm)"},
	{26, accepted, "a single column has a bar in front", rowsOf("| a", "| 1", "| 2"), "t.a", "(1, 2)"},
	{26, accepted, "bars in a text", rowsOf("a | b", `"y | z" | 1`), "t.a", `list("y | z")`},
	{26, accepted, "texts are not filled in, and are shown as they would be typed in a cell", rowsOf("a | n", `"{n}" | 1`, `"{{x}}" | 2`, `"say ""a""" | 3`), "t.a", `("{{n}", "{{{{x}}", "say ""a""")`},
	{26, accepted, "but a text in brackets is", "n = 4\n" + rowsOf("a | b", `("{n} pieces") | 1`), "t.a", `list("4 pieces")`},
	{26, accepted, "money, counts, dates, points of temperature", "count pallet, pallets\n" + rowsOf("text = \"{a}, {b}, {c}, {d}\"", "a | b | c | d", "12.5 USD | 2 pallets | 2027-03-01 | -5 degC"), "t.text", `list("12.50 USD, 2 pallets, 2027-03-01, -5 degC")`},
	{26, accepted, "outlines", rowsOf("area = shape.area", "shape | n", "(rectangle(2 m, 3 m)) | 1", "(rectangle(1 m, 1 m)) | 2"), "t.area", "(6 m^2, 1 m^2)"},
	{26, refused, "another kind", rowsOf("a | b", "1 m | 1", "2 kg | 2"), "t.a", ""},
	{26, refused, "a number among texts", rowsOf("a | b", `"x" | 1`, "5 | 2"), "t.a", ""},
	{26, refused, "money of another currency", "1 EUR = 1.09 USD\n" + rowsOf("a [USD] | b", "1 | 1", "5 EUR | 2"), "t.a", ""},
	{26, refused, "a list in a row", rowsOf("a | b", "(1, 2) | 1"), "t.a", ""},
	{26, refused, "limits in a row", rowsOf("a | b", "430 ± 3 mm | 1"), "t.a", ""},
	{26, refused, "a column of the own table, bare, in a row", rowsOf("a | b", "1 | (a)"), "t.b", ""},
	{26, refused, "a value without quotation marks", rowsOf("a | b", "seat | 1"), "t.a", ""},
	{26, refused, "no row and no unit", rowsOf("| a"), "t.a", ""},
	{26, refused, "a bracket that is none", rowsOf("a [foo] | b", "1 | 1"), "t.a", ""},
	{26, refused, "no heading", "table t\n  a = 2\nend\n", "t", ""},
	{26, border, "a row of too few places makes totals mistakes", rowsOf("a | b", "1 | 1", "| 3") + "s = sum(t.a)\n", "s", ""},
	{26, border, "so does one of too many", rowsOf("a | b", "1 | 1", "1 | 2 | 3") + "n = count(t)\n", "n", ""},
	{26, edge, "an empty place", rowsOf("v = a * 2", "a [mm] | b", "| | 1", "3 | "), "t.v", "(open, 6 mm)"},
	{26, edge, "a bare 0 takes the kind of the others", rowsOf("a | b", "0 | 1", "| |", "3 mm | 2", "0 | 1"), "t.a", "(0 mm, open, 3 mm, 0 mm)"},
	{26, edge, "0 in a column of temperatures is 0 of its unit", rowsOf("a [degC] | b", "0 | 1"), "t.a", "list(0 degC)"},
	{26, edge, "no rows", rowsOf("v = a * 2", "a [mm] | b") + "s = sum(t.v)\n", "s", "0 mm"},
	{26, edge, "a row of open places", rowsOf("a [mm] | b [text] | c [date]", "| | |"), "t.c", "list(open)"},

	// Names of columns and cells (27).
	{27, accepted, "a cell of that name that no formula uses bare", "n = 3\n" + rowsOf("v = sum(t.n)", "n | w", "1 | 2%"), "t.v", "list(1)"},
	{27, refused, "a column and a cell, used bare", "waste = 3%\n" + rowsOf("v = n * (1 + waste)", "n | waste", "1 | 2%"), "t.v", ""},
	{27, refused, "named like the table itself", rowsOf("v = t.n", "n | t", "1 | 2"), "t.v", ""},
	{27, border, "a worked column", "v = 1\n" + rowsOf("v = n * 2", "w = v", "n | k", "1 | 2"), "t.w", ""},
	{27, refused, "two columns of one name", rowsOf("n | n", "1 | 2") + "s = t.m\n", "s", ""},
	{27, refused, "a formula named like a typed column", rowsOf("n = 2", "w = k * 2", "n | k", "1 | 2") + "s = t.m\n", "s", ""},
	{27, refused, "two names that differ by case alone", rowsOf("w = N + n", "N | n", "1 | 2"), "t.w", ""},
	{27, edge, "an own column named like a cell elsewhere in the sheet", "w = 5\nv = w\n" + rowsOf("u = n", "n | w", "1 | 2"), "t.u", "list(1)"},

	// Along the rows (28).
	{28, accepted, "running", rowsOf("r = running(n) [L]", "n [L] | k", "1 | 2", "4 | 2", "-2 | 1"), "t.r", "(1 L, 5 L, 3 L)"},
	{28, accepted, "before, 0 in the first row", rowsOf("r = before(n) [L]", "n [L] | k", "1 | 2", "4 | 2"), "t.r", "(0 L, 1 L)"},
	{28, accepted, "before with a first value", "w = 9 L\n" + rowsOf("r = before(n, first: w) [L]", "n [L] | k", "1 | 2", "4 | 2"), "t.r", "(9 L, 1 L)"},
	{28, accepted, "steps over dates", rowsOf("r = steps(day, first: 0 d) [d]", "day | k", "2027-03-01 | 2", "2027-03-29T12:00 | 2"), "t.r", "(0 d, 28.5 d)"},
	{28, accepted, "steps over temperatures", rowsOf("r = steps(T, first: 0 K)", "T | k", "20 degC | 2", "-5 degC | 2"), "t.r", "(0 K, -25 K)"},
	{28, accepted, "before over texts", rowsOf(`r = before(k, first: "none")`, "k | n", `"a" | 2`, `"b" | 2`), "t.r", `("none", "a")`},
	{28, accepted, "before of itself", rowsOf("left = before(left, first: 10 bags) - n [bag]", "n | k", "3 bags | 2", "4 bags | 2"), "t.left", "(7 bags, 3 bags)"},
	{28, accepted, "over a whole column outside", rowsOf("n [L] | k", "1 | 2", "4 | 2") + "r = running(t.n) [L]\n", "r", "(1 L, 5 L)"},
	{28, refused, "dates without a first value", rowsOf("r = before(day)", "day | k", "2027-03-01 | 2"), "t.r", ""},
	{28, refused, "texts without a first value", rowsOf("r = before(k)", "k | n", `"a" | 2`), "t.r", ""},
	{28, refused, "temperatures without a first value", rowsOf("r = steps(T)", "T | k", "20 degC | 2"), "t.r", ""},
	{28, refused, "in steps the first is a difference", rowsOf("r = steps(T, first: 0 degC)", "T | k", "20 degC | 2"), "t.r", ""},
	{28, refused, "of dates too", rowsOf("r = steps(day, first: 2027-01-01)", "day | k", "2027-03-01 | 2"), "t.r", ""},
	{28, refused, "totals of temperatures", rowsOf("r = running(T)", "T | k", "20 degC | 2"), "t.r", ""},
	{28, refused, "a first value of another kind", rowsOf("r = before(n, first: 1 kg)", "n [L] | k", "1 | 2"), "t.r", ""},
	{28, refused, "a first value that differs from row to row", rowsOf("r = before(n, first: k)", "n | k", "1 | 2"), "t.r", ""},
	{28, refused, "an unknown parameter, before of itself", rowsOf("r = before(r, frist: 1) + n", "n | k", "1 | 2"), "t.r", ""},
	{28, refused, "another kind in the row above", rowsOf("r = before(r, first: 1 kg) * 2 kg", "n | k", "1 | 2"), "t.r", ""},
	{28, refused, "two first values", rowsOf("r = before(r) + before(r, first: 2)", "n | k", "1 | 2"), "t.r", ""},
	{28, refused, "of itself without before", rowsOf("r = r + n", "n | k", "1 | 2"), "t.r", ""},
	{28, refused, "of itself by way of another column", rowsOf("r = before(q) + n", "q = before(r) + n", "n | k", "1 | 2"), "t.r", ""},
	{28, refused, "over a single cell", "n = 3 L\nr = running(n)\n", "r", ""},
	{28, border, "along the rows of what rests on the row above", rowsOf("r = running(before(r) + n)", "n | k", "1 | 2"), "t.r", ""},
	{28, edge, "nothing but the row above", rowsOf("r = before(r, first: 2 mm)", "n | k", "1 | 2", "1 | 2"), "t.r", "(2 mm, 2 mm)"},
	{28, edge, "the first and the last value of no rows", rowsOf("r = running(n) + before(n) + steps(n)", "n [mm] | k [mm]"), "t.r", "(no values)"},
	{28, edge, "an open row leaves the totals below it open", rowsOf("r = running(n)", "n | k", "1 | 2", "| | 2", "4 | 2"), "t.r", "(1, open, open)"},

	// A mistake in a row names the row (34).
	{34, accepted, "rows without the mistake", rowsOf("q = 6 / n", "n | k", "2 | 1", "0 | 2", "3 | 1") + "s = sum(t.q where t.k == 1)\n", "s", "5"},
	{34, accepted, "sum of nothing", rowsOf("n [mm] | k", "2 | 1") + "s = sum(t.n where t.k == 9)\n", "s", "0 mm"},
	{34, accepted, "otherwise, row by row", rowsOf("q = otherwise(6 / n, -1)", "n | k", "2 | 1", "0 | 2", "| | 3"), "t.q", "(3, -1 flagged, open)"},
	{34, refused, "a mistake in a row", rowsOf("q = 6 / n", "n | k", "2 | 1", "0 | 2"), "t.q", ""},
	{34, refused, "a total over it", rowsOf("q = 6 / n", "n | k", "2 | 1", "0 | 2") + "s = sum(t.q)\n", "s", ""},
	{34, refused, "a total by the row", rowsOf("q = 6 / n", "s = sum(t.q where t.k == k)", "n | k", "2 | 1", "0 | 2"), "t.s", ""},
	{34, refused, "mean of nothing", rowsOf("n [mm] | k", "2 | 1") + "s = mean(t.n where t.k == 9)\n", "s", ""},
	{34, border, "known leaves out what is open, not what is wrong", rowsOf("q = 6 / n", "n | k", "2 | 1", "0 | 2", "| | 3") + "s = sum(known(t.q))\n", "s", ""},
	{34, edge, "known leaves open rows out", rowsOf("n | k", "2 | 1", "| | 2", "5 | 3") + "s = mean(known(t.n))\n", "s", "3.5"},
	{34, edge, "a mistake in a row, and one that takes no part", rowsOf("q = if n == 0 then 0 else 6 / n", "n | k", "2 | 1", "0 | 2"), "t.q", "(3, 0)"},

	// The flags of rows, and their answers (33).
	{33, accepted, "a row outside a range is flagged", rowsOf("f = strength_at(age, 30 MPa)", "age [d] | k", "7 | 1", "0.5 | 2"), "t.f", "(21.11 MPa, 3.39 MPa flagged)"},
	{33, accepted, "answered row by row", rowsOf(`f = strength_at(age, 30 MPa) accept "cylinders" (strength_at)`, "age [d] | k", "7 | 1", "0.5 | 2"), "t.f", "(21.11 MPa, 3.39 MPa)"},
	{33, accepted, "totals without the flagged rows", rowsOf("f = strength_at(age, 30 MPa)", "age [d] | k", "7 | 1", "0.5 | 2") + "s = sum(t.f where t.k == 1)\n", "s", "21106 kPa"},
	{33, refused, "a cause that is none", rowsOf(`f = age accept "x" (age)`, "age [d] | k", "7 | 1"), "t.f", ""},
	{33, edge, "another cause stays", "ask f28 [MPa] assume 30 MPa\n" + rowsOf(`f = strength_at(age, f28) accept "cylinders" (strength_at)`, "age [d] | k", "7 | 1", "0.5 | 2"), "t.f", "(21.11 MPa flagged, 3.39 MPa flagged)"},
	{33, edge, "an assumed value in one row", "ask w [mm] assume 3 mm\n" + rowsOf("v = a * 2", "a | b", "(w) | 1", "4 mm | 2"), "t.v", "(6 mm flagged, 8 mm)"},
}

// stated writes a value row by row, with the states of rows that are not ok.
func stated(j *sheets.Job, c *check.Cell) string {
	v := j.Value(c)
	if j.State(c) <= value.Flagged && !c.Type.List {
		return show.Column(c.Spec, c.Type, v)
	}
	text := show.ColumnWithStates(c.Spec, c.Type, v, j.Engine.StateOf)
	if j.State(c) != value.Flagged && j.State(c) != value.Open || !c.Type.List {
		return text
	}
	parts := strings.Split(strings.Trim(text, "()"), ", ")
	for i := range parts {
		if i < v.Len() && j.Engine.StateOf(v.Mark(i)) == value.Flagged {
			parts[i] += " flagged"
		}
	}
	if v.Len() == 1 {
		return text
	}
	return "(" + strings.Join(parts, ", ") + ")"
}

// tell gives the messages of a sheet and the causes of a cell, each once.
func tell(j *sheets.Job, s *check.Sheet, c *check.Cell) string {
	var b strings.Builder
	seen := map[string]bool{}
	add := func(m *diag.Message) {
		if !seen[m.Text] {
			seen[m.Text] = true
			b.WriteString(m.Draw())
		}
	}
	for _, m := range s.Messages() {
		add(m)
	}
	for _, x := range j.Causes(c) {
		if x.Place.Source != nil {
			add(x.Message())
		}
	}
	return b.String()
}

func TestTables(t *testing.T) {
	c := newChecker(t)
	var golden strings.Builder
	for _, k := range tableCases {
		name := fmt.Sprintf("ruling %d, %s: %s", k.number, k.verdict, k.name)
		text := k.sheet
		if strings.Contains(text, "bags") {
			text = "1 bag = 80 lb\n" + text
		}
		j := sheets.Memory(c, check.Text{Name: "bench", Text: text})
		s := j.Sheets[0]
		cell, ok := s.Find(k.cell)
		if k.verdict == accepted || k.verdict == edge {
			require.True(t, ok, name)
			assert.Equal(t, k.shown, stated(j, cell), "%s\n%s", name, drawAll(s.Messages()))
			assert.Less(t, j.State(cell), value.Mistake, name)
			continue
		}
		require.True(t, ok, name)
		assert.Equal(t, value.Mistake, j.State(cell), name)
		told := tell(j, s, cell)
		assert.NotEmpty(t, told, name)
		fmt.Fprintf(&golden, "== %s\n%s", name, told)
	}
	isGolden(t, "testdata/tables.golden", golden.String())
}

// isGolden compares a text with a golden file, or writes the file anew.
func isGolden(t *testing.T, file, text string) {
	t.Helper()
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), text)
}

// Each ruling over tables has an accepted, a refused and an edge case.
func TestEveryRulingOverTablesHasThreeCases(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range tableCases {
		seen[fmt.Sprint(k.number, strings.Fields(string(k.verdict))[0])] = true
	}
	for _, n := range []int{25, 26, 27, 28, 33, 34} { // 29 and 35 are in tables_files_test.go and tables_checks_test.go
		for _, k := range []verdict{accepted, refused, edge} {
			assert.True(t, seen[fmt.Sprint(n, k)], "ruling %d has no case that is %s", n, k)
		}
	}
}
