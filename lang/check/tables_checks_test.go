package check_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/value"
	"castwright/sheets"
)

const eightRows = "table t\n  n | k\n  1 | 1\n  2 | 2\n  3 | 1\n  4 | 2\n  5 | 1\n  6 | 2\n  7 | 1\n  | | 2\nend\n"

// Ruling 35: a check over a column holds if every row does; the failing rows are named; on an open value it is not known.
func TestRuling35Checks(t *testing.T) {
	c := newChecker(t)
	cases := []struct {
		verdict verdict
		cond    string
		state   sheets.CheckState
		rows    []int
	}{
		{accepted, "t.k < 3", sheets.Holds, nil},
		{accepted, "sum(t.k) == 12", sheets.Holds, nil},
		{accepted, "all(t.k > 0)", sheets.Holds, nil},
		{accepted, "(t.n where t.k == 1) <= 7", sheets.Holds, nil},
		{refused, "t.k == 1", sheets.Fails, []int{2, 4, 6, 8}},
		{refused, "t.n < 1", sheets.Fails, []int{1, 2, 3, 4, 5, 6, 7}},
		{refused, "(t.n where t.n > 5) < 7", sheets.Fails, []int{7}},
		{refused, "(t.n where t.k == 2 and t.n > 1) > 2", sheets.Fails, []int{2}},
		{refused, "sum(t.k) > 12", sheets.Fails, nil},
		{edge, "t.n < 100", sheets.Unknown, nil},
		{edge, "t.n < 7", sheets.Fails, []int{7}}, // one row that fails is enough, whatever is open
		{edge, "sum(t.n) > 3", sheets.Unknown, nil},
		{edge, "(t.n where t.k == 9) > 100", sheets.Holds, nil}, // no row, none that fails
		{edge, "sum(known(t.n)) == 28", sheets.Holds, nil},
		{edge, "t.k > 100 and t.n + t.k > 100", sheets.Fails, []int{1, 2, 3, 4, 5, 6, 7, 8}}, // the open value is not looked at
		{border, "1 / (t.k - 1) < 9", sheets.Fails, nil},
	}
	for _, k := range cases {
		name := fmt.Sprintf("ruling 35, %s: %s", k.verdict, k.cond)
		j := sheets.Memory(c, check.Text{Name: "bench", Text: eightRows + "check sound: " + k.cond + " else \"no\"\n"})
		require.Zero(t, j.Sheets[0].Messages().Mistakes(), name)
		r := j.CheckResults(j.Sheets[0])
		require.Len(t, r, 1, name)
		assert.Equal(t, k.state, r[0].State, name)
		assert.Equal(t, k.rows, r[0].Rows, name)
		assert.Equal(t, k.verdict == border, r[0].Broken, name)
	}
}

// The words of a check that fails put in the values of the first row that fails.
func TestRuling35WordsOfARow(t *testing.T) {
	j := sheets.Memory(newChecker(t), check.Text{Name: "bench", Text: eightRows + "check small: t.k < 2 else \"row with {t.k}, of {count(t)}\"\n"})
	r := j.CheckResults(j.Sheets[0])
	require.Len(t, r, 1)
	assert.Equal(t, "row with 2, of 8", r[0].Words)
}

// worked is a sheet of the trade and what its cells come to, worked out by hand.
type worked struct {
	name  string
	sheet string
	want  map[string]string
}

var workedTables = []worked{
	{"a pour log with totals by kind", `1 bag = 80 lb
count piece, pieces
table kinds
  total  = sum(pours.volume where pours.kind == kind)       [L]
  poured = sum(pours.pieces where pours.kind == kind)       [piece]
  left   = wanted - poured                                  [piece]
  largest_day = largest(pours.volume where pours.kind == kind) [L]
  first_day = first(pours.day where pours.kind == kind)
  kind   | one [L] | wanted [piece]
  "seat" | 42.5    | 10
  "leg"  | 12      | 20
end
table pours
  one    = only(kinds.one where kinds.kind == kind)
  volume = pieces / 1 piece * one * (1 + waste)             [L]
  so_far = running(volume)                                  [L]
  share  = volume / sum(pours.volume)                       [%]
  day        | kind   | pieces [piece] | waste
  2027-03-01 | "seat" | 4              | 8%
  2027-03-02 | "leg"  | 10             | 10%
  2027-03-03 | "seat" | 6              | 8%
end
bags_whole = round_up(sum(pours.volume) / 0.60 ft^3)
check enough: kinds.left <= 0 pieces else "{kinds.kind}: {kinds.left} to pour"
`, map[string]string{ // 4·42.5·1.08 = 183.6; 10·12·1.1 = 132; 6·42.5·1.08 = 275.4; in all 591
		"pours.volume": "(183.6 L, 132 L, 275.4 L)", "pours.so_far": "(183.6 L, 315.6 L, 591 L)", "pours.share": "(31.07%, 22.34%, 46.6%)",
		"kinds.total": "(459 L, 132 L)", "kinds.poured": "(10 pieces, 10 pieces)", "kinds.left": "(0 pieces, 10 pieces)",
		"kinds.largest_day": "(275.4 L, 132 L)", "kinds.first_day": "(2027-03-01, 2027-03-02)",
		"bags_whole": "35", // 591 L = 20.871 ft³ (1 ft³ = 28.316846592 L); over 0.60 is 34.78
	}},
	{"a stock that runs down and is filled up", `table stock
  left  = before(left, first: 30 kg) + bought - used [kg]
  order = if left < 10 kg then 25 kg else 0 kg
  low   = left < before(left) and left < 10 kg
  used [kg] | bought [kg]
  12        | 0
  11        | 0
  4         | 25
  20        | 0
end
at_end = last(stock.left)
least  = smallest(stock.left)
runs   = count(stock where stock.order > 0 kg)
`, map[string]string{ // 30−12 = 18, −11 = 7, +25−4 = 28, −20 = 8
		"stock.left": "(18 kg, 7 kg, 28 kg, 8 kg)", "stock.order": "(0 kg, 25 kg, 0 kg, 25 kg)", "at_end": "8 kg", "least": "7 kg", "runs": "2",
	}},
	{"gaps and maturity of a cure log", `datum = 0 degC
table log
  gap      = steps(at, first: 0 h)                                        [h]
  middle   = before(temp, first: 20 degC) + (temp - before(temp, first: 20 degC)) / 2
  step     = if gap > 0 h then (middle - datum) * gap else 0 K*h          [K*h]
  maturity = running(step)                                                [K*h]
  late     = gap > 12 h
  at               | temp [degC]
  2027-03-01T08:00 | 20
  2027-03-01T20:00 | 24
  2027-03-02T14:00 | 16
  2027-03-02T20:00 | 18
end
total   = last(log.maturity) [K*h]
missing = count(log where log.late)
warmest = largest(log.temp)
`, map[string]string{ // (22 · 12) + (20 · 18) + (17 · 6) = 264 + 360 + 102 = 726 °C·h; ASTM C1074, the sum of (T − T0)·Δt
		"log.gap": "(0 h, 12 h, 18 h, 6 h)", "log.maturity": "(0 K*h, 264 K*h, 624 K*h, 726 K*h)", "total": "726 K*h", "missing": "1", "warmest": "24 degC",
	}},
	{"several results of a rule as columns", `rule split(total [kg], part)
  needs part >= 0, part <= 1
  give cement: total * part [kg], rest: total * (1 - part) [kg]
end
table batches
  cement = split(dry, share).cement
  rest   = split(dry, share).rest
  dry [kg] | share
  100      | 20%
  50       | 0
  80       | (1/4)
end
`, map[string]string{"batches.cement": "(20 kg, 0 kg, 20 kg)", "batches.rest": "(80 kg, 50 kg, 60 kg)"}},
	{"rules of the library row by row, and interpolation", `table cylinders
  expected = strength_at(age, 30 MPa)              [0.01 MPa]
  curve    = interpolate(known_ages.age, known_ages.part, at: age) [%]
  age [d] | broke [MPa]
  7       | 20
  28      | 31
end
table known_ages
  age [d] | part [%]
  3       | 40
  7       | 65
  35      | 100
end
`, map[string]string{ // 30·7/(4 + 0.85·7) = 21.1055…, 30·28/(4 + 0.85·28) = 30.2158 (ACI 209R-92, equation 2-1); 65 + 35·21/28 = 91.25 %
		"cylinders.expected": "(21.11 MPa, 30.22 MPa)", "cylinders.curve": "(65%, 91.25%)",
	}},
}

func TestWorkedTables(t *testing.T) {
	c := newChecker(t)
	for _, w := range workedTables {
		t.Run(w.name, func(t *testing.T) {
			j := sheets.Memory(c, check.Text{Name: "bench", Text: w.sheet})
			require.Zero(t, j.Sheets[0].Messages().Mistakes(), drawAll(j.Sheets[0].Messages()))
			for name, want := range w.want {
				cell, ok := j.Sheets[0].Find(name)
				require.True(t, ok, name)
				assert.Equal(t, want, stated(j, cell), name)
			}
		})
	}
}

// Sheets that once ended the program, or are at the borders of what a table can hold: none panics, and what is said is a
// mistake of a cell.
func TestTablesThatAreWrongInEveryWay(t *testing.T) {
	c := newChecker(t)
	for name, text := range map[string]string{
		"a table twice, with expressions in rows":   "table t\n  a | b\n  (1+1) | 2\nend\ntable t\n  a | b\n  (1+1) | 2\nend\n",
		"a column twice, with expressions in rows":  "table t\n  a | a\n  (1+1) | (2+2)\nend\n",
		"a mistake in a row's expression":           "table t\n  a | b\n  (1 + 1 m) | 2\n  (zz) | (3)\nend\ns = sum(t.a)\n",
		"a row that rests on its own column":        "table t\n  a | b\n  (sum(t.b)) | 3\n  (item(t.a, 1)) | 3\nend\n",
		"a row that rests on a formula of its own":  "table t\n  c = a * 2\n  a | b\n  (sum(t.c)) | 3\nend\n",
		"nothing but the row above, and a mistake":  "table t\n  c = before(c, first: zz)\n  a | b\n  1 | 3\nend\n",
		"a table without an end":                    "table t\n  a | b\n  1 | 2\ns = 3\ny = sum(t.a)\n",
		"a heading that cannot be read":             "table t\n  v = a\n  a [mm | b\n  (1) | 2\nend\ns = sum(t.v)\n",
		"formulas alone":                            "table t\n  v = v2\n  v2 = before(v)\nend\ns = sum(t.v)\n",
		"a file where there is none":                "table t from \"a.csv\"\n  v = a\nend\ns = sum(t.v)\n",
		"a table in a rule with open places":        "rule r(x)\n  table c\n    a | b\n    1 | |\n  end\n  give x\nend\ny = r(2)\n",
		"a table in a rule with a column twice":     "rule r(x)\n  table c\n    a | a\n    1 | 2\n  end\n  give x\nend\ny = r(2)\n",
		"a record in a row":                         "table u\n  a | b\n  1 | 2\nend\ntable t\n  a | b\n  (first(u)) | (u)\nend\n",
		"rows of solids":                            "table t\n  v = s.volume\n  s | n\n  (extrude(circle(1 m), 1 m)) | 1\n  | |\nend\ns = sum(t.v)\n",
		"a column named like the function it calls": "table t\n  sum = sum(t.count)\n  before = before(before) + count\n  | count\n  | 1\nend\n",
	} {
		t.Run(name, func(t *testing.T) {
			j := sheets.Memory(c, check.Text{Name: "bench", Text: text})
			for _, cell := range j.Sheets[0].Cells() {
				if j.State(cell) < value.Mistake {
					_ = stated(j, cell)
				}
			}
			j.CheckResults(j.Sheets[0])
		})
	}
}

// The table of a part is replaced by one of the using sheet, or by rows of it; its formulas and checks run over these.
func TestTablesOfParts(t *testing.T) {
	home := t.TempDir()
	write(t, home, "log.sheet", "lim = 2\ntable log\n  twice = n * lim\n  gap = steps(day, first: 0 d) [d]\n  day | n\n  2027-01-01 | (lim + 1)\nend\ntotal = sum(log.twice)\ncheck small: log.n < 3\n")
	write(t, home, "main.sheet", `part own from "log.sheet"
part all from "log.sheet" (log: mine)
part some from "log.sheet" (log: mine where mine.n > 1, lim: 10)
part none from "log.sheet" (log: mine where mine.n > 100)
part short from "log.sheet" (log: days)
part other from "log.sheet" (log: masses)
table mine
  day        | n     | extra
  2027-02-01 | 1     | "x"
  2027-02-03 | (1+1) | "y"
  2027-02-08 | 3     | "z"
end
table days
  | day
  | 2027-02-01
end
table masses
  day        | n
  2027-02-01 | 1 kg
end
`)
	j, err := sheets.Open(home, newChecker(t))
	require.NoError(t, err)
	main := j.Sheets[1]
	for name, want := range map[string]string{
		"own.total": "6", "all.total": "12", "some.total": "50", "none.total": "0",
		"all.log.gap": "(0 d, 2 d, 5 d)", "some.log.gap": "(0 d, 5 d)", "some.log.n": "(2, 3)", "none.log.n": "(no values)",
		"short.log.gap": "list(0 d)", "short.total": "mistake", "other.total": "mistake",
	} {
		cell, ok := main.Find(name)
		require.True(t, ok, name)
		got := "mistake"
		if j.State(cell) < value.Mistake {
			got = stated(j, cell)
		}
		assert.Equal(t, want, got, name)
	}
	told := drawAll(main.Messages())
	assert.Contains(t, told, "The table log has a column n; these rows have none.")
	assert.Contains(t, told, "The column n of log holds a number; here it is a mass.")
	assert.Equal(t, 2, main.Messages().Mistakes(), told)
	var failing []int
	for _, r := range j.CheckResults(main.Parts[2]) {
		failing = append(failing, r.Rows...)
	}
	assert.Equal(t, []int{3}, failing, "rows keep the numbers that they have in their own table")
}

// A table as wide as a file may be is read and summed.
func TestWideTable(t *testing.T) {
	const n = 2000
	var heads, row []string
	for i := range n {
		heads, row = append(heads, fmt.Sprint("c", i)), append(row, fmt.Sprint(i))
	}
	text := rowsOf("s = c1 + c1999", strings.Join(heads, " | "), strings.Join(row, " | "), strings.Join(row, " | "))
	j := sheets.Memory(newChecker(t), check.Text{Name: "bench", Text: text})
	cell, ok := j.Sheets[0].Find("t.s")
	require.True(t, ok)
	assert.Equal(t, "(2000, 2000)", stated(j, cell))
}
