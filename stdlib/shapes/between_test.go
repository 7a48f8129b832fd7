package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
)

// TestNarrowest holds wall thicknesses against plane geometry, worked by hand.
func TestNarrowest(t *testing.T) {
	rect := func(w, d, x, y float64) *Outline { return must(Move(must(Rectangle(w, d, 0)), x, y)) }
	disc := func(r, x, y float64) *Outline { return must(Move(must(Circle(r)), x, y)) }
	dumbbell := must(Join(disc(1, -1.5, 0), disc(1, 1.5, 0), rect(3, 0.4, -1.5, -0.2)))
	for _, k := range []struct {
		name string
		o    *Outline
		want float64
	}{
		{"rectangle", rect(4, 3, 0, 0), 3},
		{"rounded rectangle", must(Rectangle(4, 3, 1)), 3},
		{"disc", disc(2, 5, 5), 4},
		{"annulus", must(Annulus(2, 3)), 1},
		{"L", ell(), 1},
		{"slot", must(Slot(5, 2)), 2},
		{"hexagon across flats", must(RegularAcross(6, 2)), 2},
		{"triangle: its least height", must(Polygon([]value.Place{pt(0, 0), pt(4, 0), pt(0, 3)})), 12.0 / 5},
		{"segment: its height", must(Segment(10, 4)), 4},
		// A seat of a ring: between its arcs, or across its narrow inner end.
		{"sector between its arcs", must(Sector(2, 3, 1)), 1},
		{"sector across its inner end", must(Sector(2, 6, 0.5)), 4 * math.Sin(0.25)},
		{"wedge with a blunt end", must(Polygon([]value.Place{pt(0, 0), pt(5, 0), pt(5, 1), pt(0, 4)})), 1},
		{"wedge cut slantwise", must(Polygon([]value.Place{pt(0, 0), pt(6, 0), pt(5, 1), pt(0, 4)})), 1},
		{"plate with a hole near a side", must(Cut(rect(10, 10, 0, 0), disc(2, 2.3, 5))), 0.3},
		{"plate with two holes", must(Cut(rect(10, 10, 0, 0), disc(2, 2.6, 5), disc(2, 6.8, 5))), 0.2},
		{"plate with a hole near a corner", must(Cut(rect(10, 10, 0, 0), disc(3, 3.5, 3.5))), 0.5},
		{"hole off the middle of a disc", must(Cut(disc(3, 0, 0), disc(1, 1.75, 0))), 0.25},
		{"a notch's tip to the other side", must(Cut(rect(10, 4, 0, 0), must(Polygon([]value.Place{pt(4, 5), pt(5, 1), pt(6, 5)})))), 1},
		{"the tips of two notches", must(Cut(rect(10, 4, 0, 0), must(Polygon([]value.Place{pt(4, 5), pt(5, 2.5), pt(6, 5)})),
			must(Polygon([]value.Place{pt(5, -1), pt(6, 2), pt(7, -1)})))), math.Hypot(1, 0.5)},
		{"the neck of a dumbbell", dumbbell, 0.4},
	} {
		got, err := k.o.Narrowest()
		if assert.NoError(t, err, k.name) {
			near(t, k.want, got, 1e-12, k.name)
		}
	}
	_, err := Empty().Narrowest()
	assert.EqualError(t, err, "An empty outline has no walls.")
}

// TestNarrowestAgreesWithOpening: shrunk by less than half of the least thickness and grown again, nothing is lost but at
// corners; a neck goes with half of it.
func TestNarrowestAgreesWithShrinking(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		neck := rapid.Float64Range(0.1, 0.8).Draw(t, "neck")
		o := must(Join(must(Move(must(Circle(1)), -1.5, 0)), must(Move(must(Circle(1)), 1.5, 0)), must(Move(must(Rectangle(3, neck, 0)), -1.5, -neck/2))))
		got, err := o.Narrowest()
		require.NoError(t, err)
		require.Equal(t, 1, must(Shrink(o, got/2*(1-1e-6), Round)).Pieces())
		require.Equal(t, 2, must(Shrink(o, got/2*(1+1e-6), Round)).Pieces())
	})
}

func TestClearanceAndFits(t *testing.T) {
	rect := func(w, d, x, y float64) *Outline { return must(Move(must(Rectangle(w, d, 0)), x, y)) }
	disc := func(r, x, y float64) *Outline { return must(Move(must(Circle(r)), x, y)) }
	ringOf := must(Annulus(2, 3))
	for _, k := range []struct {
		name string
		a, b *Outline
		want float64
		fits bool
	}{
		{"discs apart", disc(1, 0, 0), disc(1, 3, 4), 3, false},
		{"discs that touch", disc(1, 0, 0), disc(2, 3, 0), 0, true},
		{"discs that overlap", disc(1, 0, 0), disc(2, 2.9, 0), 0, false},
		{"one within the other", disc(3, 0, 0), disc(1, 0.5, 0), 0, false},
		{"in the hole", ringOf, disc(1, 0.5, 0), 0.5, false},
		{"filling the hole", ringOf, disc(2, 0, 0), 0, true},
		{"side by side", rect(1, 1, 0, 0), rect(2, 1, 1, 0.3), 0, true},
		{"corner to corner", rect(1, 1, 0, 0), rect(1, 1, 1, 1), 0, true},
		{"across a joint", rect(1, 1, 0, 0), rect(1, 1, 1.004, 0), 0.004, false},
		{"corner to side", rect(2, 2, 0, 0), must(Polygon([]value.Place{pt(3, 1), pt(5, 0), pt(5, 2)})), 1, false},
		{"arc to side", rect(2, 2, 0, 0), disc(1, 4, 1), 1, false},
		{"neighbours in a ring", must(Sector(2, 3, 1)), must(Turn(must(Sector(2, 3, 1)), 1, value.Place{})), 0, true},
	} {
		for _, pair := range [][2]*Outline{{k.a, k.b}, {k.b, k.a}} {
			gap, err := Clearance(pair[0], pair[1])
			assert.NoError(t, err, k.name)
			near(t, k.want, gap, 1e-12, k.name)
			fits, err := Fits(pair[0], pair[1])
			assert.NoError(t, err, k.name)
			assert.Equal(t, k.fits, fits, k.name)
		}
	}
}

// TestClearanceIsWhatGrowingCloses: an outline grown by a little less than the clearance keeps clear of the other, by a
// little more it overlaps it.
func TestClearanceIsWhatGrowingCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawAny(t, "a"), must(Move(drawAny(t, "b"), 5, 1))
		gap, err := Clearance(a, b)
		require.NoError(t, err)
		if gap < 1e-6 {
			return
		}
		require.Zero(t, must(Overlap(must(Grow(a, gap*(1-1e-7), Round)), b)).Area())
		require.Positive(t, must(Overlap(must(Grow(a, gap*(1+1e-5), Round)), b)).Area())
	})
}

// TestRoundCorners holds rounded corners against mensuration: a right angle loses (1 − π/4) r².
func TestRoundCorners(t *testing.T) {
	quarter := 1 - math.Pi/4
	for _, k := range []struct {
		name            string
		o               *Outline
		area, perimeter float64
	}{
		{"rectangle", must(RoundCorners(must(Rectangle(4, 3, 0)), 0.5)), 12 - quarter, 14 - 4*0.5*(2-math.Pi/2)},
		{"rectangle to a slot", must(RoundCorners(must(Rectangle(4, 2, 0)), 1)), must(Slot(4, 2)).Area(), must(Slot(4, 2)).Perimeter()},
		{"L: five corners lose and one gains", must(RoundCorners(ell(), 0.25)), 6 - 4*quarter/16, 14 - 6*0.25*(2-math.Pi/2)},
		// An angle of 60° loses r²(√3 − π/3).
		{"triangle", must(RoundCorners(must(RegularSide(3, 2)), 0.1)), math.Sqrt(3) - 0.03*(math.Sqrt(3)-math.Pi/3), 6 - 6*0.1*math.Sqrt(3) + 2*math.Pi*0.1},
		// A half disc of 2: the arc of r touches the chord and, from within, the circle: its centre lies r above the chord
		// and 2 − r from the middle.
		{"disc", must(RoundCorners(must(Circle(1)), 0.5)), math.Pi, 2 * math.Pi},
		{"half disc", must(RoundCorners(must(Sector(0, 2, math.Pi)), 0.5)), halfDiscRounded(2, 0.5), 2*math.Sqrt2 + 2*(math.Pi-2*math.Asin(0.5/1.5)) + 2*0.5*(math.Pi/2+math.Asin(0.5/1.5))},
	} {
		near(t, k.area, k.o.Area(), 1e-12, k.name)
		near(t, k.perimeter, k.o.Perimeter(), 1e-12, k.name)
	}
	fail := func(_ *Outline, err error) error { return err }
	assert.EqualError(t, fail(RoundCorners(must(Rectangle(4, 3, 0)), 2)), "A corner radius of 2000 mm is too large for this outline: near (4000 mm, 1500 mm) the edge is too short. The greatest that fits is 1500 mm.")
	assert.EqualError(t, fail(RoundCorners(ell(), -1)), "Corners are rounded by a radius of 0 or more; -1000 mm was given.")
	plate := must(Cut(must(Rectangle(4, 4, 0)), must(Move(must(Rectangle(3, 1, 0)), 0.5, 0.1))))
	assert.ErrorContains(t, fail(RoundCorners(plate, 0.6)), "too large for this outline")
}

// halfDiscRounded is the area of a half disc of R whose two corners are rounded by r. A corner loses what lies outside the
// arc: the kite-like piece between chord, circle and the centre of the arc, worked out as the difference of sectors and triangles.
func halfDiscRounded(R, r float64) float64 {
	x := math.Sqrt((R-r)*(R-r) - r*r) // the centre of the arc lies at (x, r)
	a := math.Asin(r / (R - r))       // the arc touches the circle at this angle
	corner := R*R*a/2 - x*r/2 - r*r*(math.Pi/2+a)/2
	return math.Pi*R*R/2 - 2*corner
}

func TestRingAndGrid(t *testing.T) {
	seat := must(Shrink(must(Sector(0.62, 1.05, math.Pi/5)), 0.002, Round))
	ring := must(Ring(seat, 10, 0))
	assert.Equal(t, 10, ring.Pieces())
	near(t, 10*seat.Area(), ring.Area(), 1e-12, "area")
	whole := must(Ring(must(Sector(0.62, 1.05, math.Pi/5)), 10, 0))
	assert.Equal(t, 1, whole.Pieces(), "without joints they run together")
	assert.Equal(t, 1, whole.Holes())
	near(t, math.Pi*(1.05*1.05-0.62*0.62), whole.Area(), 1e-12, "area")
	discs := must(Ring(must(Circle(0.5)), 6, 1))
	near(t, 6*math.Pi/4, discs.Area(), 1e-12, "six discs that touch")
	assert.Equal(t, 6, discs.Pieces())
	grid := must(Grid(must(Rectangle(0.3, 0.3, 0)), 3, 2, 0.305, 0.31))
	assert.Equal(t, 6, grid.Pieces())
	near(t, 0.91, grid.Width(), 1e-12, "width")
	near(t, 0.61, grid.Depth(), 1e-12, "depth")
	paved := must(Grid(must(Rectangle(0.3, 0.3, 0)), 3, 2, 0.3, 0.3))
	assert.Equal(t, 1, paved.Pieces())
	assert.Len(t, paved.loops[0], 4)
	fail := func(_ *Outline, err error) error { return err }
	assert.EqualError(t, fail(Ring(seat, 0, 0)), "A ring has from 1 to 10000 pieces; 0 was given.")
	assert.EqualError(t, fail(Grid(seat, 200, 200, 1, 1)), "A grid has at least 1 piece across and down, and at most 10000 in all; 200 by 200 was given.")
}
