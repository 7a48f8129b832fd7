package sheets_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
	"castwright/sheets"
)

// prismoid is the volume of a body whose section, at a share of its height from 0 to 1, is a quadratic in that share: the
// prismoidal formula (Marks).
func prismoid(height float64, section func(share float64) float64) float64 {
	return height / 6 * (section(0) + 4*section(0.5) + section(1))
}

// fourLeaves is the area within four arcs of 36 mm about points 39 mm from the middle, their points rounded with 8 mm, all
// moved inwards by in. An eighth of it is the triangle from the middle to the two centres, more the sector of the leaf,
// less that of the rounding. Worked by hand.
func fourLeaves(in float64) float64 {
	c := (0.039 + math.Sqrt(2*0.044*0.044-0.039*0.039)) / 2 // the centre of a rounding is (c, c), 44 mm from those of two leaves
	theta := math.Atan2(c, c-0.039)
	leaf, rounding := 0.036-in, 0.008+in
	return 8 * (0.039*c/2 + leaf*leaf*theta/2 - rounding*rounding*(theta-math.Pi/4)/2)
}

// The screen wall, whole, worked out again by hand from its inputs.
func TestScreenWallByHand(t *testing.T) {
	j, err := sheets.Open("examples/screen-wall", newChecker(t))
	require.NoError(t, err)
	blocks := j.Sheets[0]
	lean := 0.190 * math.Tan(2*math.Pi/180) // so much narrower is a core at its end, on each side
	disc := func(r float64) float64 { return math.Pi * r * r }
	eye := prismoid(0.190, func(s float64) float64 { return disc(0.075 - lean*s) })
	leaves := prismoid(0.190, func(s float64) float64 { return fourLeaves(lean * s) })
	slot := prismoid(0.190, func(s float64) float64 { return 0.080*(0.030-2*lean*s) + disc(0.015-lean*s) })
	whole, half := 0.230*0.230*0.190, 0.110*0.230*0.190
	concrete := 40*(whole-eye) + 38*(whole-leaves) + 4*(half-slot)
	open := 40*disc(0.075) + 38*fourLeaves(0) + 4*(0.080*0.030+disc(0.015))
	mortar := (4.790*0.950 - 78*0.230*0.230 - 4*0.110*0.230) * 0.190
	assertFigures(t, j, blocks, []want{
		{"round_volume", whole - eye, 0}, {"leaf_volume", whole - leaves, 0}, {"half_volume", half - slot, 0},
		{"web", 0.040, 0}, // 115 mm less 75 mm, for the eye and for a leaf
		{"blocks_all", 82, 0}, {"length", 4.790, 0}, {"height", 0.950, 0}, {"open_share", open / (4.790 * 0.950), 0},
		{"concrete", concrete, 0}, {"block_mass", concrete * 2300, 0}, {"wall.mortar_volume", mortar, 0},
	})

	// Wind: half the density times the square of the speed; a wall that tips over its edge (statics).
	push := 1.2 * 1.25 / 2 * 22 * 22 * 4.790 * 0.950
	wall := concrete*2300 + mortar*2000
	all := wall + 4.990*0.400*0.250*2350
	off := push * 0.725 / (all * gravity)
	assertFigures(t, j, blocks, []want{
		{"wall.push", push, 0}, {"wall.lowest_bed", wall * gravity * 0.095 / (push * 0.475), 0},
		{"wall.stands", all * gravity * 0.200 / (push * 0.725), 0}, {"wall.slides", 0.25 * all * gravity / push, 0},
		{"wall.off_middle", off, 0}, {"wall.web_stress", wall / 20 * 0.75 * gravity / (0.080 * 0.190), 0},
	})

	// A sleeve of 14 mm on a base of 14 mm; it floats by what it displaces less its own mass (Archimedes).
	at := func(z float64) float64 { return disc(0.061 - z*math.Tan(2*math.Pi/180)) }
	sleeve := eye - prismoid(0.176, func(s float64) float64 { return at(0.014 + 0.176*s) })
	assertFigures(t, j, blocks, []want{
		{"mould.eye_rubber", sleeve, 0}, {"mould.core_floats", (2400*eye - 1150*sleeve) * gravity, 0}, {"mould.core_screws", 1, 0},
		{"mould.frames", 13, 0},
		{"plan.strip_age", 2.3 * 12 / (35 - 0.92*12) * 24 * 3600, 0}, // ACI 209R-92, equation 2-1 for type III, moist
		{"plan.strip_after", 36 * 3600, 0}, {"plan.bags_all", math.Ceil(concrete * 1.06 / (25.0 / 2120)), 0},
		{"plan.coarsest", 0.008, 0}, // a fifth of the web (ACI 318-19, 26.4.2.1)
		{"plan.lintel_mass", 0.040 * 0.150 * 0.190 * 2300, 0},
		// NIOSH 94-110, metric form: from 35 cm up by 48.5 cm at 30 cm, poor grip
		{"moving.limit", 23 * 25.0 / 30 * (1 - 0.003*40) * (0.82 + 4.5/48.5) * 0.90, 0},
		{"moving.a_layer", 15, 0}, {"moving.pallets", 2, 0},
	})
	last := time.Date(2027, 4, 28, 10, 30, 0, 0, time.UTC) // a Wednesday; the Friday after it is off
	assert.Equal(t, float64(workingDays(last, 7, last.AddDate(0, 0, 2)).Unix()), numbersOf(t, j, blocks, "plan.ready")[0])

	// The offer, to the cent: 18 min a block and 14 h for moulds, a tenth on top; lines rounded one by one.
	work := (82*18/60.0 + 14) * 1.10 * 39
	cents := func(x float64) float64 { return math.Round(x*100) / 100 }
	cost := cents(53*12.20) + cents(4*9.40) + cents(82.0*(4*84+2*68)/(13*45)) + cents(work) + cents(0.45*work) + cents(82*39/4.0) + cents(0.499*240)
	each := math.Ceil(cost/0.7/82/0.5) * 0.5
	assertFigures(t, j, blocks, []want{
		{"offer.cost", cost, 0}, {"offer.a_block", each, 0}, {"offer.net", 82 * each, 0}, {"offer.to_pay", 47*12.20 + 4*9.40 + 4*84 + 2*68 + 18 + 25, 0},
	})
	waits, _ := blocks.Find("offer.all_in")
	assert.Equal(t, value.Open, j.State(waits), "the haulier has not answered")
}

// The court of hexagons, whole, worked out again by hand from its inputs.
func TestHexCourtByHand(t *testing.T) {
	const inch = 0.0254 // m, exact (NIST SP 811, appendix B.8)
	j, err := sheets.Open("examples/hex-court", newChecker(t))
	require.NoError(t, err)
	court := j.Sheets[0]
	hexagon := func(across float64) float64 { return math.Sqrt(3) / 2 * across * across }
	width, depth := 22*12.125*math.Sqrt(3)/2*inch, 15*12.125*inch
	eased := prismoid(0.125*inch, func(s float64) float64 { return hexagon((12 - 0.25*s) * inch) })
	tile := hexagon(12*inch)*2.25*inch + eased
	share := 12 * 12 / (12.125 * 12.125) // of the court is tile, the rest is joint
	assertFigures(t, j, court, []want{
		{"whole_tiles", 10*15 + 11*14, 0}, {"end_halves", 22, 0}, {"side_halves", 30, 0}, {"by_rule", 330, 0},
		{"width", width, 0}, {"depth", depth, 0}, {"tile_volume", tile, 0},
		{"area", 330 * hexagon(12.125*inch), 0}, {"ground.gaps", width * depth * (1 - share), 0},
	})

	pcf := pound / (foot * foot * foot)
	psi := pound * gravity / (inch * inch)
	rock := (width + foot) * (depth + foot) * 5 * inch
	assertFigures(t, j, court, []want{
		{"ground.rock_volume", rock / 0.8, 0}, {"ground.joint_mass", width * depth * (1 - share) * 2.375 * inch * 95 * pcf, 0},
		{"ground.rock_trips", math.Ceil(rock * 120 * pcf / (2500 * pound)), 0}, {"ground.sand_bags", 3, 0},
		{"ground.grows", depth * 50 * 10e-6, 0}, // 90 Fdeg are 50 K
		// Three-point bending: 3 P l = 2 b t^2 R; R = 7.5 sqrt(fc) in psi (ACI 318-19, 19.2.3.1)
		{"mould.breaks", 7.5 * math.Sqrt(5000) * psi * 2 * (24 / math.Sqrt(3)) * 2.375 * 2.375 / (3 * 10) * inch * inch, 0},
		{"mould.heavy", tile * 143 * pcf, 0},
		// A box that follows the tile 3/4 in off, its corners round, and 5/8 in higher, less the tile
		{"mould.whole_rubber", (hexagon(12*inch)+6*(12/math.Sqrt(3))*inch*0.75*inch+math.Pi*0.75*0.75*inch*inch)*3*inch - tile, 0},
		{"plan.strip_age", 2.3 * 1800 / (5000 - 0.92*1800) * 24 * 3600, 0}, // ACI 209R-92, equation 2-1 for type III, moist
		{"plan.cast_whole", 314, 0}, {"plan.cast_ends", 23, 0}, {"plan.cast_sides", 31, 0},
		{"plan.whole_moulds", 20, 0}, // 16 pours fit in; 19 moulds would make 304
		// NIOSH 94-110, inch-lb form, at the end of the lift: 14 in out, 4 in high, 26 in down, once a minute for two hours
		{"plan.down", 51 * 10.0 / 14 * (1 - 0.0075*26) * (0.82 + 1.8/26) * 0.88 * 0.90 * pound, 0},
	})
	whole := numbersOf(t, j, court, "plan.pours.whole")
	require.Len(t, whole, 16)
	assert.Equal(t, []float64{20, 14}, []float64{whole[14], whole[15]})
	day := time.Date(2027, 5, 10, 0, 0, 0, 0, time.UTC)
	for range 15 {
		day = workingDays(day, 2, time.Date(2027, 5, 31, 0, 0, 0, 0, time.UTC))
	}
	assert.Equal(t, float64(day.Add(36*time.Hour).Unix()), numbersOf(t, j, court, "plan.last_strip")[0])

	// Of the offer five lines, to the cent: 9 min a piece and 12 h besides; lines rounded one by one.
	amounts := numbersOf(t, j, court, "offer.costs.amount")
	cents := func(x float64) float64 { return math.Round(x*100) / 100 }
	yard := func(volume float64) float64 { return volume / yard3 }
	inDeltaAll(t, []float64{103 * 7.80, 44, cents((368*9/60.0 + 12) * 1.12 * 36), cents(yard(rock/0.8) * 58), cents(yard(width*depth*inch*1.05/0.85) * 46)},
		[]float64{amounts[0], amounts[2], amounts[3], amounts[4], amounts[5]}, 1e-6)

	pays := numbersOf(t, j, court, "offer.pays")
	require.Len(t, pays, 3)
	asked := numbersOf(t, j, court, "offer.asked")[0]
	cost := numbersOf(t, j, court, "offer.cost")[0]
	assert.Equal(t, math.Ceil(cost/0.75/10)*10, asked)
	assert.InDelta(t, asked*1.075, pays[0]+pays[1]+pays[2], 1e-6)
	waits, _ := court.Find("offer.with_loads")
	assert.Equal(t, value.Open, j.State(waits), "the quarry has not answered")
}
