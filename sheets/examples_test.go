package sheets_test

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/syntax"
	"castwright/lang/value"
	"castwright/sheets"
)

const gravity = 9.80665 // m/s², the standard acceleration of free fall (CGPM 1901)

// everySheet visits the sheets of a job and the parts in them.
func everySheet(j *sheets.Job, visit func(*check.Sheet)) {
	var down func(*check.Sheet)
	down = func(s *check.Sheet) {
		visit(s)
		for _, p := range s.Parts {
			down(p)
		}
	}
	for _, s := range j.Sheets {
		down(s)
	}
}

// assertSound tells whether a job has no messages and no mistakes, and whether every check holds or waits.
func assertSound(t *testing.T, j *sheets.Job) {
	t.Helper()
	everySheet(j, func(s *check.Sheet) {
		for _, m := range s.Messages() {
			t.Errorf("%s", m.Draw())
		}
		for _, c := range s.Cells() {
			if state := j.State(c); state > value.Open {
				t.Errorf("%s is a %s", c.Path(), state)
			}
		}
		for _, r := range j.CheckResults(s) {
			assert.NotEqual(t, sheets.Fails, r.State, "%s: %s %s", s.Name, r.Text, r.Words)
		}
	})
}

// Every starter sheet and every example opens without a mistake, and is laid out canonically.
func TestShippedSheets(t *testing.T) {
	c := newChecker(t)
	var paths []string
	for _, n := range sheets.Starters() {
		paths = append(paths, filepath.Join("library", n+sheets.Extension))
	}
	for _, n := range sheets.Examples() {
		paths = append(paths, filepath.Join("examples", n))
	}
	assert.Subset(t, sheets.Starters(), []string{"batch-card", "cure-log", "fill", "lift", "master", "mix", "mould", "order", "pour-plan", "quote"})
	for _, path := range paths {
		t.Run(path, func(t *testing.T) {
			j, err := sheets.Open(path, c)
			require.NoError(t, err)
			assertSound(t, j)
			for _, s := range j.Sheets {
				text, err := os.ReadFile(j.SheetPath(s.Name))
				require.NoError(t, err)
				assert.Equal(t, string(text), syntax.Format(s.File), "the layout of %s", s.Name)
				assert.Contains(t, string(text), "\ntitle ", "%s has a title", s.Name)
				assert.Contains(t, string(text), "\nsection ", "%s has sections", s.Name)
				assert.NotEmpty(t, s.Checks(), "%s has checks", s.Name)
			}
		})
	}
}

// A starter asks for what only a supplier or the site knows, and stands with the assumed values until then.
func TestStartersAsk(t *testing.T) {
	c := newChecker(t)
	for _, n := range sheets.Starters() {
		j, err := sheets.Open(filepath.Join("library", n+sheets.Extension), c)
		require.NoError(t, err)
		asks := 0
		for _, cell := range j.Sheets[0].Cells() {
			if cell.Role == check.Ask {
				asks++
				assert.Equal(t, value.Flagged, j.State(cell), cell.Path())
			}
		}
		assert.Positive(t, asks, n)
	}
}

// partOf makes a starter sheet a part of a sheet, and gives the job and the part.
func partOf(t *testing.T, starter, replace, rest string) (*sheets.Job, *check.Sheet) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "job"+sheets.Extension)
	text := "part it from library \"" + starter + "\" (" + replace + ")\n" + rest
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	j, err := sheets.Open(path, newChecker(t))
	require.NoError(t, err)
	for _, m := range j.Sheets[0].Messages() {
		t.Errorf("%s", m.Draw())
	}
	require.Len(t, j.Sheets[0].Parts, 1)
	return j, j.Sheets[0].Parts[0]
}

// inDeltaAll holds numbers against figures, as many as there are: assert.InDeltaSlice takes fewer for right.
func inDeltaAll(t *testing.T, want, got []float64, within float64, about ...any) {
	t.Helper()
	require.Len(t, got, len(want), about...)
	assert.InDeltaSlice(t, want, got, within, about...)
}

// numbersOf gives the numbers of a cell or a column, written table.column, in SI units; money in its own unit.
func numbersOf(t *testing.T, j *sheets.Job, s *check.Sheet, name string) []float64 {
	t.Helper()
	c, ok := s.Find(name)
	require.True(t, ok, name)
	require.Less(t, j.State(c), value.Open, name)
	return j.Value(c).Num
}

// want is a figure that a cell must have, in SI units.
type want struct {
	cell string
	is   float64
	near float64 // relative; 0 stands for a part in 10^9
}

func assertFigures(t *testing.T, j *sheets.Job, s *check.Sheet, wants []want) {
	t.Helper()
	for _, w := range wants {
		got := numbersOf(t, j, s, w.cell)
		require.Len(t, got, 1, w.cell)
		near := w.near
		if near == 0 {
			near = 1e-9
		}
		assert.InDelta(t, w.is, got[0], near*math.Max(math.Abs(w.is), 1e-12), w.cell)
	}
}

const (
	pound = 0.45359237 // kg, exact (NIST SP 811, appendix B.8)
	foot  = 0.3048     // m, exact (NIST SP 811, appendix B.8)
	yard3 = 27 * foot * foot * foot
	pint  = 231 * 0.0254 * 0.0254 * 0.0254 / 8 // m³, an eighth of a US gallon of 231 in³ (NIST SP 811)
)

// Profile A of a curing log: 20 degC for 6 h, 28 for 6 h, 35 for 12 h, 30 for 24 h, 22 for 24 h. Worked by hand with
// ASTM C1074 (equation forms) over steps: 1956 degC h above 0 degC; 112.033 h at 20 degC and 94.256 h at 23 degC
// with Q = 5000 K and kelvin = degC + 273.15.
const profile = `table profile
  time             | temp [degC]
  2027-03-01T00:00 | 20
  2027-03-01T06:00 | 20
  2027-03-01T06:00 | 28
  2027-03-01T12:00 | 28
  2027-03-01T12:00 | 35
  2027-03-02T00:00 | 35
  2027-03-02T00:00 | 30
  2027-03-03T00:00 | 30
  2027-03-03T00:00 | 22
  2027-03-04T00:00 | 22
end
`

// ACI 211.1-91, 7.2, by absolute volumes (from memory, each printed step re-computed): water 300, cement 484, gravel
// 1917 and sand 1318 lb to the cubic yard, 1% of air, a cubic foot of water 62.4 lb.
const recipe = `table aci
  material | part   | density | moisture | absorption
  "cement" | 483.87 | (3.15 * 62.4 lb/ft^3) | 0% | 0%
  "water"  | 300    | 62.4 lb/ft^3          | 0% | 0%
  "sand"   | SAND   | (2.64 * 62.4 lb/ft^3) | 6% | 0.7%
  "gravel" | 1917   | (2.68 * 62.4 lb/ft^3) | 2% | 0.5%
end
`

// The starter sheets as parts, with inputs, tables and measures replaced, against figures worked out by hand.
var starterFigures = []struct {
	name, starter, replace, rest string
	wants                        []want // of the part
}{
	{"master", "master", "height: 100 mm, board: 25 mm, footprint: 0.5 m^2, perimeter: 3 m, board_price: 40 USD", "", []want{
		{"cut_length", 4 * 3, 0}, // four layers of 25 mm
		{"boards", 2, 0},         // 2 m² of layers; 60% of 2.44 m by 1.22 m are 1.786 m²
		{"board_cost", 80, 0},
		{"cutting_time", 4 * 3 * 5 / 2.5 * 60, 0}, // five passes of 6 mm at 2.5 m/min
		{"glue", 3 * 0.5 * 0.18, 0},               // three joints
		{"sealer", (0.5 + 3*0.1) * 3 / 10 / 1000, 0},
		{"clamps", 20, 0},
	}},
	// A board of 2.44 m by 1.22 m, 18 mm thick, at 750 kg/m³ has 40.2 kg (plain mensuration).
	{"board", "master", "height: 18 mm, footprint: 2.44 m * 1.22 m", "", []want{{"master_mass", 40.2, 1e-3}}},
	// A box 50 mm wider and longer and 20 mm higher than a slab of 600 by 400 by 95 mm; Archimedes; hydrostatics.
	{"mould", "mould", "length: 600 mm, width: 400 mm, volume: 22.8 L, rubber_price: 12 USD/kg", "", []want{
		{"rubber", (0.65*0.45*0.115 - 0.0228) * 1150 * 1.04, 0},
		{"part_a", (0.65*0.45*0.115 - 0.0228) * 1150 * 1.04 * 10 / 11, 0},
		{"kits", 3, 0},
		{"lift", (1150 - 750) * 0.0228 * gravity, 0},
		{"screws", 1, 0},
		{"pressure", 1150 * gravity * 0.115, 0},
		{"side_force", 1150 * gravity * 0.115 / 2 * 0.115 * 0.65, 0},
		{"cost_a_piece", 3 * 5.5 * 12 / 10.0, 0},
	}},
	{"mix", "mix", "recipe: aci, volume: 1 yd^3, waste: 0%, air: 1%", strings.Replace(recipe, "SAND", "1318", 1), []want{
		{"cement_content", 484 * pound / yard3, 1e-3},
		{"cement", 484 * pound, 1e-3},
		{"water_cement", 0.62, 1e-4},
	}},
	// 45 bags of 80 lb make a cubic yard, a bag 0.60 ft³ with 6 to 9 pints of water (common practice).
	{"batch card", "batch-card", "bag: 80 lb, dry_mix: 80 lb / 0.60 ft^3, volume: 1 yd^3, waste: 0%, mixer_output: 3 ft^3, water_low: 6 pt / 80 lb, water_high: 9 pt / 80 lb", "system us\n", []want{
		{"yield_a_bag", 0.60 * foot * foot * foot, 0},
		{"bags_all", 45, 0}, {"batches", 9, 0}, {"bags_small", 5, 0}, {"large", 0, 0},
		{"water_from", 30 * pint, 0}, {"water_to", 45 * pint, 0},
	}},
	{"uneven batches", "batch-card", "volume: 250 L, waste: 0%, mixer_output: 48 L", "", []want{
		{"bags_all", 22, 0}, {"batches", 6, 0}, {"bags_small", 3, 0}, {"bags_large", 4, 0}, {"large", 4, 0}, {"small", 2, 0},
		{"pigment", 22 * 25 * 0.18 * 0.03, 0},
	}},
	{"cure log", "cure-log", "log: profile, fcm: 40 MPa", profile, []want{
		{"maturity", 1956 * 3600, 1e-6},
		{"age", 112.033 * 3600, 1e-5},
		{"strength", 40e6 * math.Exp(0.25*(1-math.Sqrt(28*24/112.033))), 1e-5}, // EN 1992-1-1:2004, 3.1 and 3.2
	}},
	{"cure log at 23 degC", "cure-log", "log: profile, compare: 23 degC", profile, []want{{"age", 94.256 * 3600, 1e-5}}},
	// The revised lifting equation by hand (NIOSH 94-110, metric form): 23 kg times 0.6250, 0.9550, 0.8950, 0.90; and
	// times 0.8333, 0.9550, 0.9100, 0.9040, 0.81, 0.95.
	{"far reach", "lift", "reach: 40 cm, lift_from: 90 cm, lift_by: 60 cm, grip: 0.90, lifters: 1, piece_mass: 10 kg", "", []want{{"limit", 11.058, 1e-4}, {"spare", 1.058, 1e-3}}},
	{"twisted", "lift", "reach: 30 cm, lift_from: 60 cm, lift_by: 50 cm, twist: 30 deg, often: 0.81, piece_mass: 10 kg", "", []want{{"limit", 11.587, 1e-4}, {"team_limit", 2 * 11.587 * 2 / 3, 1e-4}}},
	// 200 kg on two legs at 60 degrees pull with 115.47 kgf in each (plain statics).
	{"slings", "lift", "piece_mass: 200 kg, by_hand: no, sticks: 1", "", []want{{"leg_force", 115.47 * gravity, 1e-4}}},
	// 10 m² of 25 mm at 1600 kg/m³ and of 100 mm at 1900 kg/m³; a block of 172.8 kg on 0.6 m by 0.4 m presses with
	// 7.06 kPa (plain arithmetic, densities common practice).
	{"fill", "fill", "area: 10 m^2, payload: 1 t, planter: 85 L", "", []want{
		{"bedding_mass", 400, 0}, {"base_mass", 1900, 0}, {"on_ground", 7060, 1e-3}, {"soil", 0.1, 0},
		{"pieces", 55, 0}, {"dig", 10 * 0.185, 0}, {"haul", 12 * 0.185, 0},
	}},
	{"order", "order", "items: list, suppliers: shops, order_on: 2027-02-19", `table list
  item    | supplier | unit | needed | stock | pack | price
  "sand"  | "pit"    | "kg" | 500    | 90    | 25   | 4 USD
  "glass" | "shop"   | "kg" | 7.5    | 0     | 2.5  | 20 USD
end
table shops
  supplier | delivery | free_from | lead
  "pit"    | 30 USD   | 60 USD    | 1
  "shop"   | 9 USD    | 100 USD   | 2
end
`, []want{{"all_goods", 17*4 + 3*20, 0}, {"carriage", 9, 0}, {"total", 137, 0}, {"packs_all", 20, 0}}},
	// A rate serves both ways, and a part may state its own.
	{"quote", "quote", "pieces: 60, EUR_USD: 1.25 USD/EUR, transport: 75 USD", "", []want{
		{"cost_piece", 27.50 + 57, 0},
		{"price", 147, 0}, // (84.50 + 640/60) / 0.65 = 146.41
		{"discount", 0.09, 0},
		{"net", 60*147 - 60*13.23 + 75, 0},
		{"tax", 1620.24, 0}, // 20% of 8101.20
		{"gross", 9721.44, 0},
		{"gross_euro", 9721.44 / 1.25, 0},
		{"break_even", 13, 0}, // 640 / (147 * 0.91 - 84.50) = 12.99
	}},
}

// The example of ACI 211.1-91, 7.2, on the basis of weight: 1369 lb of sand, and 199 lb of water are added to 484 lb of
// cement (from memory, each printed step re-computed). A sheet works on from its part.
func TestWetSand(t *testing.T) {
	j, _ := partOf(t, "mix", "recipe: aci, air: 0%", strings.Replace(recipe, "SAND", "1369", 1)+"share = it.water_to_add / it.cement\n")
	assertFigures(t, j, j.Sheets[0], []want{{"share", 199.0 / 484, 3e-3}})
}

func TestStarterFigures(t *testing.T) {
	for _, k := range starterFigures {
		t.Run(k.name, func(t *testing.T) {
			j, part := partOf(t, k.starter, k.replace, k.rest)
			for _, m := range part.Messages() {
				t.Errorf("%s", m.Draw())
			}
			assertFigures(t, j, part, k.wants)
		})
	}
}

// A check of a part is told with the rows that fail: three pieces of a kind with two moulds.
func TestStarterChecksItsRows(t *testing.T) {
	j, part := partOf(t, "pour-plan", "kinds: wanted, pours: days", `table wanted
  kind   | needed | volume [L] | moulds
  "kerb" | 6      | 30         | 2
end
table days
  day              | kind   | pieces
  2027-03-01T07:00 | "kerb" | 2
  2027-03-02T07:00 | "kerb" | 1
  2027-03-04T07:00 | "kerb" | 2
end
`)
	assertFigures(t, j, part, []want{{"concrete_all", 5 * 0.030 * 1.08, 0}})
	assert.Equal(t, []float64{2, 3, 2}, numbersOf(t, j, part, "pours.in_moulds"))
	states := map[string]sheets.CheckResult{}
	for _, r := range j.CheckResults(part) {
		states[r.Name] = r
	}
	assert.Equal(t, []int{2}, states["mould_free"].Rows)
	assert.Equal(t, "3 of kerb stand in 2 moulds", states["mould_free"].Words)
	assert.Equal(t, sheets.Fails, states["all_poured"].State)
	assert.Equal(t, sheets.Holds, states["no_weekend"].State)
}

// The ring bench, whole, worked out again by hand from its inputs.
func TestRingBenchByHand(t *testing.T) {
	j, err := sheets.Open("examples/ring-bench", newChecker(t))
	require.NoError(t, err)
	bench := j.Sheets[0]
	outline, rim := ringPiece(0.622, 1.048, -0.002)       // each arc and side moved in by half a joint of 4 mm
	seat := outline*0.095 - (1-math.Pi/4)*0.006*0.006*rim // less the round-over, whose section is (1 - pi/4) r² (Marks)
	in := 0.355 * math.Tan(2*math.Pi/180)
	area := func(x float64) float64 { return (0.300 - 2*x) * (0.120 - 2*x) }
	leg := 0.355 / 6 * (area(0) + 4*area(in/2) + area(in)) // the prismoidal formula (Marks)
	box, _ := ringPiece(0.595, 1.075, 0.025)               // 25 mm of rubber all round, square corners
	const near = 2e-4                                      // the round-over is taken to first order in r over the radii
	concrete := 10 * (seat + leg)
	rubber := (box*0.115 - seat) * 1150 * 1.04
	bag := 25.0 / 2150
	strip := 2.3 * 14 / (35 - 0.92*14) * 24 * 3600 // ACI 209R-92, equation 2-1 for type III, moist
	assertFigures(t, j, bench, []want{
		{"volume", seat, near}, {"mass", seat * 2350, near}, {"seat_rim", rim, 1e-6},
		{"leg_volume", leg, 1e-9}, {"concrete", concrete, near}, {"ring_mass", concrete * 2350, near}, {"room", 0.290, 0},
		{"on_the_ground", ((seat+leg)*2350 + 100) * gravity / (0.300 * 0.120), near},
		{"master.boards", math.Ceil(6 * outline / (2.44 * 1.22 * 0.55)), 0}, {"master.planed_off", 0.013, 1e-6},
		{"mould.rubber", rubber, near}, {"mould.part_b", rubber / 11, near},
		{"mould.float_force", 400 * seat * gravity, near}, {"mould.screws", 2, 0},
		{"mould.wall_pressure", 1150 * gravity * 0.115, 1e-9}, {"mould.rim_force", 1150 * gravity * 0.115 * 0.115 / 2, 1e-9},
		{"mix.bags_all", math.Ceil(concrete * 1.08 / bag), 0}, {"mix.bags_pour", math.Ceil(0.2 * concrete * 1.08 / bag), 0},
		{"mix.batches", 2, 0}, {"mix.water_low", 3 * 25 * 0.08 / 1000, 0}, {"mix.strip_age", strip, 1e-9}, {"mix.strip_after", 36 * 3600, 0},
		{"plan.bags_poured", concrete * 1.08 / bag, near}, {"plan.pour_days", 5, 0},
	})
	inDeltaAll(t, []float64{10, 10}, numbersOf(t, j, bench, "plan.kinds.poured"), 1e-9)
	inDeltaAll(t, []float64{10 * seat * 1.08 / bag, 10 * leg * 1.08 / bag}, numbersOf(t, j, bench, "plan.kinds.bags"), 0.01)
	last := time.Date(2027, 3, 10, 10, 0, 0, 0, time.UTC)
	assert.Equal(t, float64(workingDays(last, 7, time.Date(2027, 3, 12, 0, 0, 0, 0, time.UTC)).Unix()), numbersOf(t, j, bench, "plan.ready")[0])

	// Lifting: the equation of NIOSH 94-110 in its metric form; plain statics; ACI 318M-19, 19.2.3.1.
	limit := 2 * 23 * (1 - 0.003*15) * (0.82 + 4.5/30) * 0.95 * 2 / 3
	pull := seat * 2350 * gravity * 1.3
	rupture := 0.62 * math.Sqrt(35*1.5/(2.3+0.92*1.5)) * 1e6
	span := 2 * 1.048 * math.Sin(math.Pi/10-math.Asin(0.002/1.048)) // the chord of the outer arc
	assertFigures(t, j, bench, []want{
		{"lifting.leg_limit", limit, 1e-9}, {"lifting.sling_pull", pull / (2 * math.Sin(math.Pi/3)), near},
		{"lifting.rupture", rupture, 1e-9}, {"lifting.bending", pull * span / 8 / (0.430 * 0.095 * 0.095 / 6), near},
		{"lifting.trips", 2, 0},
	})

	// The offer, to the cent: two moulds of 40 casts each; lines rounded one by one.
	mould := math.Round(10*2*rubber*14.50*1.09/80*100) / 100
	cost := 30*11.40 + 36.50 + mould + 570 + 253.33 + 228
	asked := math.Ceil(cost/0.6/10) * 10
	assertFigures(t, j, bench, []want{
		{"offer.cost", cost, 1e-5}, {"offer.asked", asked, 0}, {"offer.tax", asked * 0.2, 0}, {"offer.with_tax", asked * 1.2, 0},
		{"offer.asked_euro", asked / 1.09, 0}, {"offer.cost_labour", 823.33, 1e-9},
	})
	waits, _ := bench.Find("offer.all_in")
	assert.Equal(t, value.Open, j.State(waits), "the haulier has not answered")
}

// ringPiece gives the area and the rim of a tenth of a ring whose sides stand off its radial lines by off.
func ringPiece(inner, outer, off float64) (area, rim float64) {
	ai, ao := math.Pi/10+math.Asin(off/inner), math.Pi/10+math.Asin(off/outer)
	side := math.Sqrt(outer*outer-off*off) - math.Sqrt(inner*inner-off*off)
	area = ao*outer*outer - ai*inner*inner + off*side
	return area, 2*ao*outer + 2*ai*inner + 2*side
}

func workingDays(day time.Time, n int, holiday time.Time) time.Time {
	for n > 0 {
		day = day.AddDate(0, 0, 1)
		if w := day.Weekday(); w != time.Saturday && w != time.Sunday && day.YearDay() != holiday.YearDay() {
			n--
		}
	}
	return day
}

// The log of the ring bench, read and summed by hand: ASTM C1074 over trapezoids, and a least-squares line through the
// cylinders over the logarithm of their maturity.
func TestRingBenchLogByHand(t *testing.T) {
	j, err := sheets.Open("examples/ring-bench", newChecker(t))
	require.NoError(t, err)
	text, err := os.ReadFile("examples/ring-bench/log.csv")
	require.NoError(t, err)
	rows := strings.Split(strings.TrimSpace(string(text)), "\n")[3:]
	slope, start := leastSquares([]float64{400, 800, 1600, 3200, 6400}, []float64{5.2, 11.8, 18.9, 25.1, 31.8})
	var first, before time.Time
	var was, maturity, age, ripe float64
	for i, row := range rows {
		places := strings.Split(row, ";")
		at, err := time.Parse("02.01.2006 15:04", places[0])
		require.NoError(t, err)
		temp, err := strconv.ParseFloat(strings.Replace(places[1], ",", ".", 1), 64)
		require.NoError(t, err)
		if i == 0 {
			first, before, was = at, at, temp
		}
		hours, middle := at.Sub(before).Hours(), (temp+was)/2
		maturity += middle * hours
		age += hours * math.Exp(-5000*(1/(middle+273.15)-1/(23+273.15)))
		if ripe == 0 && maturity >= 400 && start+slope*math.Log(maturity) >= 14 {
			ripe = at.Sub(first).Hours()
		}
		before, was = at, temp
	}
	assertFigures(t, j, j.Sheets[0], []want{
		{"cure.maturity_all", maturity * 3600, 1e-9}, {"cure.age_at_23", age * 3600, 1e-9},
		{"cure.ripe_after", ripe * 3600, 1e-9}, {"cure.strength_then", (start + slope*math.Log(1033.5)) * 1e6, 1e-9},
	})
}

// leastSquares fits a line of y over ln x.
func leastSquares(xs, ys []float64) (slope, start float64) {
	var n, sx, sy, sxx, sxy float64
	for i, x := range xs {
		x = math.Log(x)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+ys[i], sxx+x*x, sxy+x*ys[i]
	}
	slope = (n*sxy - sx*sy) / (n*sxx - sx*sx)
	return slope, (sy - slope*sx) / n
}

// All starters stand as parts in one sheet, in US units too: their measures agree, and each is sound.
func TestStartersTogether(t *testing.T) {
	for _, system := range []string{"metric", "us"} {
		text := "system " + system + "\n"
		for _, n := range sheets.Starters() {
			text += "part the_" + strings.ReplaceAll(n, "-", "_") + " from library \"" + n + "\"\n"
		}
		path := filepath.Join(t.TempDir(), "job"+sheets.Extension)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		j, err := sheets.Open(path, newChecker(t))
		require.NoError(t, err)
		require.Len(t, j.Sheets[0].Parts, len(sheets.Starters()))
		assertSound(t, j)
	}
}
