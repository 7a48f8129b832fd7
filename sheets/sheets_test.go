package sheets_test

import (
	"fmt"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/stdlib"
)

func newChecker(t testing.TB) *check.Checker {
	t.Helper()
	c, ms := check.New(stdlib.New())
	require.Empty(t, ms)
	return c
}

// single is a job of one sheet.
type single struct {
	*check.Sheet
	Job *sheets.Job
}

func compute(c *check.Checker, text string) single {
	j := sheets.Memory(c, check.Text{Name: "bench", Text: text})
	return single{j.Sheets[0], j}
}

func (s single) cell(t testing.TB, name string) *check.Cell {
	t.Helper()
	c, ok := s.Find(name)
	require.True(t, ok, name)
	return c
}

func shown(t testing.TB, s single, name string) string {
	t.Helper()
	c := s.cell(t, name)
	if s.Job.State(c) >= value.Open {
		return s.Job.State(c).String()
	}
	return show.Column(c.Spec, c.Type, s.Job.Value(c))
}

const tenMistakes = `sound_a = 3 m
m1 = 1 m + 1 kg
m2 = sound_b
sound_c = 2 * sound_a
m3 = 5 Kg
m4 = bagz(3 L)
m5 = 100 + 10%
sound_b2 = sound_a^2
m6 = (1 m, 2 kg)
m7 = 430 [mm]
m8 = sin(30)
m9 = 1,000 mm
sound_d = "{sound_a}"
m10 = if sound_a then 1 else 2
rests = m1 * 2
sound_e = sum(1 m, 2 m)
`

// A sheet with ten mistakes reports ten, each at its place, and every sound cell has its value.
func TestTenMistakes(t *testing.T) {
	s := compute(newChecker(t), tenMistakes)
	var lines []int
	for _, m := range s.Messages() {
		require.Equal(t, diag.Mistake, m.Level)
		line, _ := m.Source.Position(m.Span.From)
		lines = append(lines, line)
	}
	assert.Equal(t, []int{2, 3, 5, 6, 7, 9, 10, 11, 12, 14}, lines)
	for name, want := range map[string]string{"sound_a": "3 m", "sound_c": "6000 mm", "sound_b2": "9 m^2", "sound_d": "3 m", "sound_e": "3000 mm", "rests": "mistake"} {
		assert.Equal(t, want, shown(t, s, name), name)
	}
	cell := s.cell(t, "rests")
	causes := s.Job.Causes(cell)
	require.Len(t, causes, 1)
	assert.Equal(t, "m1", causes[0].Cell, "what rests on a mistake names where it arose, and is not told again")
}

func TestRingIsShownByItsNames(t *testing.T) {
	s := compute(newChecker(t), "free = 1 m\na = b + free\nb = c\nc = a * 2\nd = a\nself = self + 1\n")
	require.Len(t, s.Messages(), 2)
	assert.Equal(t, "These cells rest on each other in a ring: a → b → c → a.", s.Messages()[0].Text)
	assert.Equal(t, "The cell self rests on itself.", s.Messages()[1].Text)
	for _, n := range []string{"a", "b", "c", "d", "self"} {
		assert.Equal(t, "mistake", shown(t, s, n))
	}
	assert.Equal(t, "1 m", shown(t, s, "free"))
}

// A chain of cells far longer than any stack of calls is checked and computed.
func TestLongChainOfCells(t *testing.T) {
	n := 100_000
	if testing.Short() {
		n = 10_000
	}
	var b strings.Builder
	for i := n; i > 0; i-- {
		fmt.Fprintf(&b, "c%d = c%d + 1 mm\n", i, i-1)
	}
	b.WriteString("c0 = 0 mm\n")
	s := compute(newChecker(t), b.String())
	require.Empty(t, s.Messages())
	cell := s.cell(t, fmt.Sprint("c", n))
	assert.InEpsilon(t, float64(n)/1000, s.Job.Value(cell).Num[0], 1e-9)
}

// Names written twice, in other case, or reserved are told with both places.
func TestNames(t *testing.T) {
	cases := []struct{ text, says string }{
		{"mass = 1 kg\nmass = 2 kg\n", "The name mass is written twice."},
		{"mass = 1 kg\nMass = 2 kg\n", "The names mass and Mass differ by case alone."},
		{"if = 2\n", "The word if cannot be a name: it belongs to the language."},
		{"1 bag = 80 lb\n1 bag = 60 lb\n", "The unit bag is stated twice."},
		{"1 EUR = 1.09 USD\n1 USD = 0.9 EUR\n", "The rate between USD and EUR is stated twice."},
		{"rule bags(x)\n  give x\nend\n", "The library has a rule bags already."},
		{"rule f(x)\n  give g(x)\nend\nrule g(x)\n  give f(x)\nend\n", "A rule does not call itself: f → g → f."},
		{"ask lead\n", "It is not said what lead is measured in."},
	}
	c := newChecker(t)
	for _, k := range cases {
		s := compute(c, k.text)
		require.NotEmpty(t, s.Messages(), k.text)
		assert.Equal(t, k.says, s.Messages()[0].Text, k.text)
	}
}

// Cells may bear the names of units, rules and soft words: they live in rooms of their own (ruling 2).
func TestRuling02RoomsOfNames(t *testing.T) {
	s := compute(newChecker(t), "h = 2 h\nt = h + 30 min\nbags = bags(1 yd^3, 0.6 ft^3)\nfrom = 3 m\nto = from * 2\ncount = 4\npi = 3\narea = pi * 2\n")
	require.Empty(t, s.Messages())
	assert.Equal(t, "2.5 h", shown(t, s, "t"))
	assert.Equal(t, "45", shown(t, s, "bags"))
	assert.Equal(t, "6000 mm", shown(t, s, "to"))
	assert.Equal(t, "6", shown(t, s, "area"))
}

func TestStatesOfAsks(t *testing.T) {
	s := compute(newChecker(t), `ask price [USD]
ask wage [USD/h] assume 30 USD/h
ask days [d] assume 3 d given 5 d
cost = price * 3
labour = wage * 2 h
labour_ok = labour accept "agreed 2027-03-02" (wage)
after = labour_ok * 2
run = days * 2
early = strength_at(0.5 d, 30 MPa)
early_ok = early accept "cylinders of 2027-03-02" (strength_at)
check paid: cost <= 100 USD
check dear: labour < 10 USD else "{labour} is too dear"
`)
	require.Empty(t, s.Messages())
	for name, want := range map[string]value.State{"cost": value.Open, "labour": value.Flagged, "labour_ok": value.OK, "after": value.OK, "run": value.OK, "early": value.Flagged, "early_ok": value.OK} {
		cell := s.cell(t, name)
		assert.Equal(t, want, s.Job.State(cell), name)
	}
	assert.Equal(t, "240 h", shown(t, s, "run"))
	r := s.Job.CheckResults(s.Sheet)
	assert.Equal(t, sheets.Unknown, r[0].State)
	assert.Equal(t, sheets.Fails, r[1].State)
	assert.Equal(t, "60.00 USD is too dear", r[1].Words)
}

// The pieces of the example compute, and all checks of their sheet hold; the sheets beside it have tests of their own.
func TestRingBench(t *testing.T) {
	j, err := sheets.Open("examples/ring-bench", newChecker(t))
	require.NoError(t, err)
	require.Len(t, j.Sheets, 8)
	s := single{j.Sheets[0], j}
	require.Equal(t, "bench", s.Name)
	assert.Empty(t, s.Messages())
	for _, c := range s.Cells() {
		assert.Less(t, s.Job.State(c), value.Open, c.Name)
	}
	results := s.Job.CheckResults(s.Sheet)
	assert.GreaterOrEqual(t, len(results), 5)
	for _, r := range results {
		assert.Equal(t, sheets.Holds, r.State, r.Text)
	}
	// The piece by another way: a ring sector whose sides are moved in by half a joint, less the swept round-over, whose
	// section is (1 - pi/4) r² (published mensuration, e.g. Marks). To first order in r over the radii.
	cell := s.cell(t, "volume")
	ro, ri := 1.048, 0.622 // 620 mm and 1050 mm, each moved by half a joint of 4 mm
	half := math.Pi / 10   // half the angle of one of ten pieces
	// Outer and inner arcs end where the sides, moved in by 2 mm, meet them.
	ao, ai := half-math.Asin(0.002/ro), half-math.Asin(0.002/ri)
	area := ao*ro*ro - ai*ri*ri - 0.002*(ro*math.Cos(math.Asin(0.002/ro))-ri*math.Cos(math.Asin(0.002/ri)))
	perimeter := 2*ao*ro + 2*ai*ri + 2*(ro*math.Cos(math.Asin(0.002/ro))-ri*math.Cos(math.Asin(0.002/ri)))
	removed := (1 - math.Pi/4) * 0.006 * 0.006 * perimeter
	assert.InEpsilon(t, area*0.095-removed, s.Job.Value(cell).Num[0], 2e-4)
}

// Any order of the lines gives the same values.
func TestOrderIsFree(t *testing.T) {
	text, err := os.ReadFile("examples/ring-bench/bench.sheet")
	require.NoError(t, err)
	c := newChecker(t)
	first := compute(c, string(text))
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	for seed := range 5 {
		r := rand.New(rand.NewSource(int64(seed)))
		mixed := append([]string{}, lines...)
		r.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		s := compute(c, strings.Join(mixed, "\n"))
		require.Empty(t, s.Messages())
		for _, n := range first.Names() {
			a, b := first.cell(t, n), s.cell(t, n)
			assert.True(t, first.Job.Value(a).Equal(s.Job.Value(b)) || first.Job.State(a) != value.OK, n)
			assert.Equal(t, shown(t, first, n), shown(t, s, n), n)
		}
	}
}

// A shown value typed back shows the same.
func TestShownTypedBack(t *testing.T) {
	c := newChecker(t)
	s := compute(c, "1 bag = 80 lb\ncount pallet, pallets\n")
	units := []string{"mm", "kg", "kg/m^3", "degC", "degF", "psi", "ft", "in", "h", "d", "%", "USD", "bag", "pallet", "kg/(m^2*h)", "L", "deg", "MPa", "lb/ft^3", "N", "EUR/kg"}
	brackets := map[string][]string{"in": {"[1/16 in]", "[ft, 1/8 in]", "[0.1 in]"}, "h": {"[h, 1 min]"}, "kg": {"[0.1 kg]", "[lb, 1 oz]"}, "mm": {"[ft, 1/8 in]", "[5 mm]"}, "USD": {"[0.01 USD]"}}
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom(units).Draw(t, "unit")
		x := rapid.Float64Range(-1e6, 1e6).Draw(t, "x")
		gap := " "
		if unit == "%" {
			gap = ""
		}
		bracket := ""
		if bs := brackets[unit]; bs != nil && rapid.Bool().Draw(t, "bracketed") {
			bracket = " " + rapid.SampledFrom(bs).Draw(t, "bracket")
		}
		line := fmt.Sprintf("%.7g%s%s", x, gap, unit)
		if strings.Contains(line, "e") && strings.Contains(line, "+") {
			line = fmt.Sprintf("%.0f%s%s", x, gap, unit)
		}
		once := typed(t, s, line+bracket)
		again := typed(t, s, once+bracket)
		if once != again {
			t.Fatalf("%s shows %s, and that shows %s", line+bracket, once, again)
		}
	})
}

func typed(t *rapid.T, s single, line string) string {
	cell, v, state, _, ms := s.Job.Line(s.Sheet, &diag.Source{Name: "the line", Text: line})
	if cell == nil || state != value.OK {
		var all string
		for _, m := range ms {
			all += m.Draw()
		}
		t.Fatalf("%s is not read: %s", line, all)
	}
	return show.Column(cell.Spec, cell.Type, v)
}

// Equal formulas of a sheet share one program.
func TestEqualFormulasShareAProgram(t *testing.T) {
	s := compute(newChecker(t), "x = 1 m\ny = 2 m\na = x + 3 m\nb = y + 3 m\nc = y + 4 m\n")
	program := func(n string) any { return s.cell(t, n).Program }
	assert.Same(t, program("a"), program("b"))
	assert.NotSame(t, program("a"), program("c"))
	assert.Equal(t, "4000 mm", shown(t, s, "a"))
	assert.Equal(t, "5000 mm", shown(t, s, "b"))
}

func TestFilesThatCannotBeRead(t *testing.T) {
	c := newChecker(t)
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("x"), 0o644))
	for path, says := range map[string]string{
		filepath.Join(dir, "none.sheet"): "there is no file or folder",
		filepath.Join(dir, "notes.txt"):  "is no sheet",
		dir:                              "holds no sheet",
	} {
		_, err := sheets.Open(path, c)
		assert.ErrorContains(t, err, says)
	}
}

func FuzzCheck(f *testing.F) {
	text, err := os.ReadFile("examples/ring-bench/bench.sheet")
	require.NoError(f, err)
	f.Add(string(text))
	f.Add(tenMistakes)
	f.Add("a = (1, 2) where (1, 2) > 1\nb = only(a)\nrule r(x[] [m])\n give largest(x)\nend\nc = r(1 m, a)\n")
	f.Add("1 EUR = 1.09 USD\nx = 3 EUR + 2 USD [USD/kg]\nask y [date] assume 2027-03-01\nz = y + 1 d [weekday]")
	c := newChecker(f)
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 4000 {
			return
		}
		s := compute(c, text)
		for _, cell := range s.Cells() {
			v := s.Job.Value(cell)
			for k, x := range v.Num {
				if x-x != 0 {
					t.Errorf("%s holds %v in row %d", cell.Name, x, k)
				}
			}
		}
		if s.File.Print() != text {
			t.Error("the text is not printed back")
		}
	})
}
