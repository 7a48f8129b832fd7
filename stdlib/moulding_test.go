package stdlib_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/lang/value"
)

const (
	mouldSlab = "extrude(rectangle(600 mm, 400 mm), 95 mm)"
	mouldDisc = "extrude(circle(100 mm), 50 mm)"
)

// Plane geometry, by hand: 650 * 450 * 115 mm^3 are 33.6375 L, less 600 * 400 * 95 mm^3, 22.8 L.
func TestMouldingBoxAndRubber(t *testing.T) {
	box := "mould_box(" + mouldSlab + ", 25 mm, 20 mm)"
	for part, want := range map[string]float64{"length / 1 mm": 650, "width / 1 mm": 450, "height / 1 mm": 115,
		"volume / 1 L": 33.6375, "surface / 1 m^2": 0.2925 + 2*1.1*0.115} {
		exactly(t, want, box+"."+part)
	}
	exactly(t, 10.8375, "rubber_volume("+mouldSlab+", 25 mm, 20 mm) / 1 L")
	exactly(t, 650*450*0.125e-3-22.8, "rubber_volume("+mouldSlab+", 25 mm, 20 mm, 10 mm) / 1 L")
	// A disc of 100 mm in a square box of 250 mm and in a round one of 125 mm; identities of plane geometry.
	exactly(t, 250*250*70-math.Pi*1e4*50, "rubber_volume("+mouldDisc+", 25 mm, 20 mm) / 1 mm^3")
	exactly(t, math.Pi*(125*125*70-1e4*50), "rubber_volume("+mouldDisc+`, 25 mm, 20 mm, shape: "outline") / 1 mm^3`)
	// Walls and bases thinner than the guide (common practice).
	told(t, value.Flagged, "mould_box("+mouldSlab+", 12 mm, 20 mm).volume", "wall is 12 mm")
	told(t, value.Flagged, "rubber_volume("+mouldSlab+", 25 mm, 8 mm)", "base is 8 mm")
	told(t, value.Mistake, "rubber_volume("+mouldSlab+", 0 mm, 8 mm)", "wall > 0")
	told(t, value.Mistake, "rubber_volume("+mouldSlab+`, 25 mm, 8 mm, shape: "bag")`, "shape")
}

// Shares of a whole (common practice): they add up, in their ratio.
func TestMouldingParts(t *testing.T) {
	exactly(t, 15, "rubber_parts(16.5 kg).base / 1 kg")
	exactly(t, 1.5, "rubber_parts(16.5 kg).hardener / 1 kg")
	exactly(t, 8.25, "rubber_parts(16.5 kg, 1, 1).hardener / 1 kg")
	const mix = "rubber_parts_by_volume(12 L, 1080 kg/m^3, 1020 kg/m^3, 2, 1)"
	for part, want := range map[string]float64{"base / 1 L": 8, "hardener / 1 L": 4, "base_mass / 1 kg": 8.64,
		"hardener_mass / 1 kg": 4.08, "density / 1 kg/m^3": 1060} {
		exactly(t, want, mix+"."+part)
	}
	told(t, value.Flagged, "rubber_parts(16.5 kg, 100, 1).base", "base / hardener")
	told(t, value.Mistake, "rubber_parts(16.5 kg, 0, 1)", "base > 0")
	nearAll(t, []float64{1, 2}, 1e-12, "", "rubber_parts((11 kg, 22 kg)).hardener")
}

// Whole kits, by hand: 15.9 kg are 2.89 of 5.5 kg.
func TestMouldingKitsAndMixes(t *testing.T) {
	for part, want := range map[string]float64{"count": 3, "mass / 1 kg": 16.5, "left / 1 kg": 0.6} {
		exactly(t, want, "kits(15.9 kg, 5.5 kg)."+part)
	}
	exactly(t, 3, "kits(16.5 kg, 5.5 kg).count")
	exactly(t, 0, "kits(3 * 1.1 kg, 1.1 kg).left / 1 kg")
	exactly(t, 0, "kits(0 kg, 5.5 kg).count")
	told(t, value.Mistake, "kits(1 kg, 0 kg)", "kit > 0")
	nearAll(t, []float64{1, 1, 2}, 0, "", "kits((1 kg, 5.5 kg, 6 kg), 5.5 kg).count")
	// 15.9 kg at 1.5 kg/min within 10 min: no more than 15 kg, so two of 7.95 kg in 5.3 min; four by a pail of 5 kg.
	exactly(t, 2, "rubber_mixes(15.9 kg, 1.5 kg/min, 10 min).count")
	exactly(t, 7.95, "rubber_mixes(15.9 kg, 1.5 kg/min, 10 min).mass / 1 kg")
	exactly(t, 5.3, "rubber_mixes(15.9 kg, 1.5 kg/min, 10 min).time / 1 min")
	exactly(t, 4, "rubber_mixes(15.9 kg, 1.5 kg/min, 10 min, 5 kg).count")
}

// Twice as fast for each 10 K (common practice).
func TestMouldingTemperature(t *testing.T) {
	for line, want := range map[string]float64{
		"cure_rate(23 degC)":                                                     1,
		"cure_rate(33 degC)":                                                     2,
		"cure_rate(18 degC)":                                                     math.Sqrt(0.5),
		"cure_rate(25 degC, 20 degC, 5 K)":                                       2,
		"cure_rate(91.4 degF)":                                                   2, // 33 degC
		"pot_life(40 min, 33 degC) / 1 min":                                      20,
		"pot_life(40 min, 20 degC, 20 degC) / 1 min":                             40,
		"cure_time(16 h, 18 degC) / 1 h":                                         16 * math.Sqrt2,
		"cure_time(16 h, 28 degC, doubling: 5 K) / 1 h":                          8,
		"pot_life(40 min, 28 degC) * cure_time(16 h, 18 degC) / (40 min * 16 h)": 1,
	} {
		exactly(t, want, line)
	}
	told(t, value.Flagged, "pot_life(40 min, 10 degC)", "temperature is 10 degC")
	told(t, value.Flagged, "cure_time(16 h, 40 degC)", "temperature is 40 degC")
	told(t, value.Mistake, "pot_life(40 min, 10 degC, doubling: 0 K)", "doubling > 0")
	nearAll(t, []float64{2400, 1200}, 1e-9, "", "pot_life(40 min, (23 degC, 33 degC))")
}

// Silicone rubber shrinks by 0.1 to 0.3% (addition) and 0.2 to 0.6% (condensation cure), common practice; and the
// master is cut so that the piece comes out right.
func TestMouldingShrinkage(t *testing.T) {
	exactly(t, 0.001, "shrinkage_range().least")
	exactly(t, 0.003, "shrinkage_range().most")
	exactly(t, 0.002, `shrinkage_range("condensation").least`)
	exactly(t, 0.006, `shrinkage_range("condensation").most`)
	told(t, value.Mistake, `shrinkage_range("sun")`, "rubbers")
	exactly(t, 998, "shrunk_length(1 m, 0.2%) / 1 mm")
	exactly(t, 1000/0.998, "master_length(1 m, 0.2%) / 1 mm")
	for _, share := range []string{"0%", "0.1%", "0.6%"} {
		exactly(t, 644, fmt.Sprintf("shrunk_length(master_length(644 mm, %[1]s), %[1]s) / 1 mm", share))
	}
	told(t, value.Flagged, "master_length(1 m, 1%)", "shrinkage is 1%")
	told(t, value.Mistake, "master_length(1 m, 100%)", "shrinkage < 100%")
}

// By hand (common practice): 90 pieces wear two moulds of 40 casts and a quarter of the third; 0.2 mm in 12 casts are
// 0.7 mm in 42.
func TestMouldingMouldsToWear(t *testing.T) {
	shows(t, map[string]string{
		"mould_life(0.2 mm, 12, 0.7 mm)":                                 "casts 42, left 30",
		"mould_life((0.5 mm, 1 mm), 10, 0.7 mm).casts":                   "(14, 7)",
		"mould_life((0.5 mm, 1 mm), 10, 0.7 mm).left":                    "(4, 0)",
		"moulds_to_wear(90, mould_life(0.1 mm, 20, 0.2 mm).casts).count": "3",
	})
	told(t, value.Mistake, "mould_life(0 mm, 12, 0.7 mm)", "wear > 0")
	exactly(t, 3, "moulds_to_wear(90, 40).count")
	exactly(t, 30, "moulds_to_wear(90, 40).casts_left")
	exactly(t, 2, "moulds_to_wear(80, 40).count")
	exactly(t, 0, "moulds_to_wear(80, 40).casts_left")
	exactly(t, 0, "moulds_to_wear(0, 40).count")
	told(t, value.Mistake, "moulds_to_wear(90, 0)", "casts >= 1")
	told(t, value.Mistake, "moulds_to_wear(90.5, 40)", "pieces == round_down(pieces)")
}

// By hand (common practice): six layers of 18 mm are 108 mm; five joints of 0.23 m^2 at 0.18 kg/m^2 are 0.207 kg. Glue on
// softwood at up to 700 kPa: Wood Handbook FPL-GTR-190 (from memory).
func TestMouldingMaster(t *testing.T) {
	for line, want := range map[string]float64{
		"master_stack(95 mm, 18 mm, 0.23 m^2).layers":            6,
		"master_stack(95 mm, 18 mm, 0.23 m^2).height / 1 mm":     108,
		"master_stack(95 mm, 18 mm, 0.23 m^2).planed_off / 1 mm": 13,
		"master_stack(95 mm, 18 mm, 0.23 m^2).volume / 1 L":      21.85,
		"master_stack(95 mm, 18 mm, 0.23 m^2).mass / 1 kg":       16.3875,
		"glue_mass(6, 0.23 m^2) / 1 kg":                          0.207,
		"glue_mass(6, 0.23 m^2, faces: 2, waste: 10%) / 1 kg":    0.4554,
		"glue_mass(1, 0.23 m^2) / 1 kg":                          0,
		"clamps(1.9 m)":                                          13,
		"clamps(1.8 m)":                                          12,
		"clamps_for_pressure(0.23 m^2, 100 kPa, 3 kN)":           8, // 23 kN
		"clamps_for_pressure(0.1 m^2, 700 kPa, 7 kN)":            10,
		"sealer(0.41 m^2) / 1 L":                                 0.123,
		"sealer(0.41 m^2, 2, 5 m^2/L, 10%) / 1 L":                0.1804,
		"boards(6, 0.23 m^2).count":                              1, // 1.38 of 1.786 m^2
		"boards(8, 0.23 m^2).count":                              2,
		"boards(8, 0.23 m^2).offcut / 1 m^2":                     2*2.44*1.22 - 1.84,
		"boards(8, 0.23 m^2).offcut_share":                       1 - 1.84/(2*2.44*1.22),
		"boards(0, 0.23 m^2).offcut_share":                       0,
	} {
		exactly(t, want, line)
	}
	// Nobody uses a whole board: the value stands, flagged.
	told(t, value.Flagged, "boards(3, 1 m^2, 1 m, 1 m, 100%).offcut", "used is 100%")
	// 18 mm of medium-density fibreboard, 2.44 by 1.22 m at 750 kg/m^3, are 40.2 kg: worked out apart.
	assert.InDelta(t, 40.2, number(t, "master_stack(18 mm, 18 mm, 2.44 m * 1.22 m).mass / 1 kg"), 0.05)
	exactly(t, 40.18680, "master_mass(extrude(rectangle(2.44 m, 1.22 m), 18 mm)).mass / 1 kg") // by hand
	exactly(t, 53.5824, "master_mass(extrude(rectangle(2.44 m, 1.22 m), 18 mm)).volume / 1 L")
	told(t, value.Flagged, "master_mass("+mouldSlab+", 2400 kg/m^3).mass", "density is 2400 kg/m^3")
	told(t, value.Mistake, "boards(6, 4 m^2)", "area <= board_length * board_width")
	told(t, value.Mistake, "glue_mass(2.5, 0.23 m^2)", "layers == round_down(layers)")
	told(t, value.Flagged, "sealer(1 m^2, spread_rate: 50 m^2/L)", "spread_rate")
	told(t, value.Flagged, "clamps(1.9 m, 300 mm)", "spacing is 300 mm")
}

// Plane geometry (any handbook of mensuration): round a rectangle the middle of a cutter goes the four sides and a whole
// circle of its width; in a round hole, on a radius that is half the width less.
func TestMouldingCutLength(t *testing.T) {
	exactly(t, 6*(2+math.Pi*0.006), "cut_length("+mouldSlab+", 6, 6 mm) / 1 m")
	exactly(t, 2, "cut_length("+mouldSlab+") / 1 m")
	exactly(t, 2*2*math.Pi*0.103, "cut_length("+mouldDisc+", 2, 6 mm) / 1 m")
	const ring = "extrude(annulus(50 mm, 200 mm), 30 mm)"
	exactly(t, 2*math.Pi*(0.203+0.047), "cut_length("+ring+", 1, 6 mm) / 1 m")
	told(t, value.Flagged, "cut_length("+ring+", 1, 110 mm)", "way.holes == master.footprint.holes")
	told(t, value.Mistake, "cut_length("+mouldSlab+", 1.5)", "layers == round_down(layers)")
}

// By hand: three passes of 6 mm at 2.5 m/min over 1.9 m are 2.28 min; with 10 s before each, half a minute more.
func TestMouldingCutting(t *testing.T) {
	const cut = "cutting_time(1.9 m, 18 mm, 6 mm, 2.5 m/min"
	exactly(t, 3, cut+").passes")
	exactly(t, 2.28, cut+").time / 1 min")
	exactly(t, 2.78, cut+", 10 s).time / 1 min")
	exactly(t, 4, "cutting_time(1.9 m, 19 mm, 6 mm, 2.5 m/min).passes")
	exactly(t, 4.75, "cutting_time(1.9 m, 19 mm, 6 mm, 2.5 m/min).depth_per_pass / 1 mm")
	told(t, value.Mistake, "cutting_time(1.9 m, 18 mm, 0 mm, 2.5 m/min)", "depth_per_pass > 0")
	nearAll(t, []float64{90, 180}, 1e-9, "", "cutting_time((1 m, 2 m), 18 mm, 6 mm, 2 m/min).time")
	// 1.9 m at most 200 mm apart are ten tabs; a small part has three (common practice).
	exactly(t, 10, "tabs(1.9 m).count")
	exactly(t, 190, "tabs(1.9 m).apart / 1 mm")
	exactly(t, 60, "tabs(1.9 m).by_hand / 1 mm")
	exactly(t, 3, "tabs(300 mm).count")
	told(t, value.Mistake, "tabs(15 mm)", "tab * count < length")
	told(t, value.Flagged, "tabs(1.9 m, least: 2).count", "least is 2")
}
