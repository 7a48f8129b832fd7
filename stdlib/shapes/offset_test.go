package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
)

// sectorInside is the area of what is left of an annular sector when all of its sides move in by d: between the
// radii inner+d and outer−d, the ray at radius ρ keeps the angle φ − 2·asin(d/ρ). The integral of ρ times that is
// closed; where the sides meet outside inner+d it begins at d/sin(φ/2). For φ up to half a turn.
func sectorInside(inner, outer, phi, d float64) float64 {
	from, to := math.Max(inner+d, d/math.Sin(phi/2)), outer-d
	if inner == 0 {
		from = d / math.Sin(phi/2)
	}
	upTo := func(rho float64) float64 {
		return phi*rho*rho/2 - rho*rho*math.Asin(d/rho) - d*math.Sqrt(rho*rho-d*d)
	}
	if to <= from {
		return 0
	}
	return upTo(to) - upTo(from)
}

func segmentArea(r, h float64) float64 {
	a := 2 * math.Acos(1-h/r)
	return r * r * (a - math.Sin(a)) / 2
}

// TestShrink holds shrunk outlines against the closed forms of the smaller shape.
func TestShrink(t *testing.T) {
	rounded := func(w, d, r float64) float64 { return w*d - (4-math.Pi)*r*r }
	tests := []struct {
		name  string
		shape *Outline
		d     float64
		want  float64
		edges int // 0 where nothing is left
	}{
		{"circle", must(Circle(5)), 2, 9 * math.Pi, 2},
		{"circle to its middle", must(Circle(5)), 5, 0, 0},
		{"circle past its middle", must(Circle(5)), 6, 0, 0},
		{"annulus", must(Annulus(2, 5)), 1, math.Pi * (16 - 9), 4},
		{"annulus to half its wall", must(Annulus(2, 5)), 1.5, 0, 0},
		{"annulus past half its wall", must(Annulus(2, 5)), 2, 0, 0},
		{"annulus past everything", must(Annulus(2, 5)), 6, 0, 0},
		{"rectangle", must(Rectangle(6, 4, 0)), 0.5, 15, 4},
		{"rectangle to half its side", must(Rectangle(6, 4, 0)), 2, 0, 0},
		{"rectangle past half its side", must(Rectangle(6, 4, 0)), 2.5, 0, 0},
		{"square to its middle", must(Rectangle(4, 4, 0)), 2, 0, 0},
		{"rounded rectangle", must(Rectangle(6, 4, 1)), 0.5, rounded(5, 3, 0.5), 8},
		{"rounded rectangle by its corner", must(Rectangle(6, 4, 1)), 1, 8, 4},
		{"rounded rectangle past its corner", must(Rectangle(6, 4, 1)), 1.5, 3, 4},
		{"rounded rectangle past its half", must(Rectangle(6, 4, 1)), 2.1, 0, 0},
		{"slot", must(Slot(10, 4)), 1, 12 + math.Pi, 4},
		{"slot to its line", must(Slot(10, 4)), 2, 0, 0},
		{"slot past its line", must(Slot(10, 4)), 3, 0, 0},
		{"segment", must(Segment(10, 4)), 1, segmentArea(9, 2), 2},
		{"segment to nothing", must(Segment(10, 4)), 2, 0, 0},
		{"segment past nothing", must(Segment(10, 4)), 2.5, 0, 0},
		{"large segment", must(Segment(10, 16)), 3, segmentArea(7, 10), 3},
		{"annular sector", must(Sector(20, 30, math.Pi/3)), 1, sectorInside(20, 30, math.Pi/3, 1), 4},
		{"narrow sector past its inner arc", must(Sector(1, 30, 0.3)), 1, sectorInside(1, 30, 0.3, 1), 3},
		{"narrow sector to nothing", must(Sector(1, 30, 0.3)), 4.2, 0, 0},
		{"flat sector to nothing", must(Sector(20, 24, 1)), 2, 0, 0},
		{"pointed sector", must(Sector(0, 10, math.Pi/2)), 1, sectorInside(0, 10, math.Pi/2, 1), 3},
		{"half circle", must(Sector(0, 10, math.Pi)), 2, segmentArea(8, 6), 2},
		{"half ring", must(Sector(4, 10, math.Pi)), 1, sectorInside(4, 10, math.Pi, 1), 4},
		{"hexagon", must(RegularAcross(6, 2)), 0.25, 2 * math.Sqrt(3) * 0.75 * 0.75, 6},
		{"hexagon to its middle", must(RegularAcross(6, 2)), 1, 0, 0},
		// A right triangle of sides 6 and 8 has an inscribed circle of radius 2; shrinking keeps its form.
		{"triangle", must(Polygon([]value.Place{pt(0, 0), pt(6, 0), pt(0, 8)})), 1, 24 * 0.25, 3},
		{"triangle to its middle", must(Polygon([]value.Place{pt(0, 0), pt(6, 0), pt(0, 8)})), 2, 0, 0},
		{"triangle far past", must(Polygon([]value.Place{pt(0, 0), pt(6, 0), pt(0, 8)})), 50, 0, 0},
		// A trapezium 8 and 1 wide with slopes of 45°: the short top vanishes at 0.5·tan(67.5°) = 1.207, and what is
		// left is a triangle 4 high with an inscribed circle of radius 4·tan(22.5°).
		{"trapezium before its top goes", must(Polygon([]value.Place{pt(0, 0), pt(8, 0), pt(4.5, 3.5), pt(3.5, 3.5)})), 1.2,
			15.75 - 1.2*(9+7*math.Sqrt2) + 1.44*4*math.Sqrt2, 4},
		{"trapezium past its top", must(Polygon([]value.Place{pt(0, 0), pt(8, 0), pt(4.5, 3.5), pt(3.5, 3.5)})), 1.4,
			math.Pow(4-1.4*(1+math.Sqrt2), 2), 3},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			for _, corners := range []string{Round, Sharp} {
				got, err := Shrink(c.shape, c.d, corners)
				require.NoError(t, err)
				near(t, c.want, got.Area(), 1e-12, corners)
				edges := 0
				for _, loop := range got.Loops() {
					edges += len(loop)
				}
				assert.Equal(t, c.edges, edges, "edges")
			}
		})
	}
}

// TestShrinkByHalfAJoint is the maker's commonest call, in metres: ten segments of a ring round a tree, a joint of 4 mm
// between them. All four sides move in by 2 mm.
func TestShrinkByHalfAJoint(t *testing.T) {
	const inner, outer, joint = 0.62, 1.05, 0.004
	for _, segments := range []int{2, 3, 4, 6, 8, 10, 12, 24} {
		phi := 2 * math.Pi / float64(segments)
		got, err := Shrink(must(Sector(inner, outer, phi)), joint/2, Round)
		require.NoError(t, err)
		near(t, sectorInside(inner, outer, phi, joint/2), got.Area(), 1e-12, "area")
		// Corners: on the radius inner+d, as far from the side as half the joint.
		loop := got.Loops()[0]
		require.Len(t, loop, 4)
		start := loop[0].From
		near(t, outer-joint/2, math.Hypot(start.X, start.Y), 1e-13, "outer radius")
		near(t, joint/2, start.Y, 1e-12, "side")
		near(t, phi-2*math.Asin(joint/2/(outer-joint/2)), loop[0].Sweep, 1e-12, "outer arc")
		near(t, -(phi - 2*math.Asin(joint/2/(inner+joint/2))), loop[2].Sweep, 1e-12, "inner arc")
		// A ring of pieces and joints fills the annulus between the eased radii.
		mid, err := got.Centroid()
		require.NoError(t, err)
		near(t, phi/2, math.Atan2(mid.Y, mid.X), 1e-12, "the middle line stays")
	}
}

// TestGrowRound holds convex outlines against Steiner's formula, A + P d + π d², and perimeter P + 2π d.
func TestGrowRound(t *testing.T) {
	shapes := map[string]*Outline{
		"circle": must(Circle(5)), "rectangle": must(Rectangle(6, 4, 0)), "rounded": must(Rectangle(6, 4, 1)),
		"slot": must(Slot(10, 4)), "segment": must(Segment(10, 4)), "large segment": must(Segment(10, 16)),
		"hexagon": must(RegularAcross(6, 2)), "sector": must(Sector(0, 3, 1)), "half circle": must(Sector(0, 3, math.Pi)),
		"triangle": must(Polygon([]value.Place{pt(0, 0), pt(6, 0), pt(0, 8)})),
	}
	for name, o := range shapes {
		for _, d := range []float64{1e-3, 0.5, 3, 100} {
			got, err := Grow(o, d, Round)
			require.NoError(t, err, name)
			near(t, o.Area()+o.Perimeter()*d+math.Pi*d*d, got.Area(), 1e-12, name)
			near(t, o.Perimeter()+2*math.Pi*d, got.Perimeter(), 1e-12, name)
		}
	}
}

// TestGrow holds the other grown outlines against closed forms.
func TestGrow(t *testing.T) {
	tests := []struct {
		name    string
		shape   *Outline
		d       float64
		corners string
		want    float64
	}{
		{"rectangle, sharp", must(Rectangle(6, 4, 0)), 1, Sharp, 48},
		{"hexagon, sharp", must(RegularAcross(6, 2)), 1, Sharp, 8 * math.Sqrt(3)},
		{"segment, sharp", must(Segment(10, 4)), 1, Sharp, segmentArea(11, 6)},
		{"half circle, sharp", must(Segment(10, 10)), 1, Sharp, segmentArea(11, 12)},
		{"annulus", must(Annulus(2, 5)), 1, Round, math.Pi * (36 - 1)},
		{"annulus, the hole closes", must(Annulus(2, 5)), 2, Round, math.Pi * 49},
		{"annulus, the hole is long closed", must(Annulus(2, 5)), 3, Round, math.Pi * 64},
		// Sides of the sector grow outwards: the ray at ρ gains 2·asin(d/ρ), so the shrunk form with −d holds.
		{"annular sector, sharp", must(Sector(20, 30, math.Pi/3)), 1, Sharp,
			math.Pi/3*(31*31-19*19)/2 + 31*31*math.Asin(1.0/31) + math.Sqrt(31*31-1) - 19*19*math.Asin(1.0/19) - math.Sqrt(19*19-1)},
		// Round: to the sector itself come strips along the sides, rings along the arcs, and four quarter circles of
		// which none overlap.
		{"annular sector, round", must(Sector(20, 30, math.Pi/3)), 1, Round,
			math.Pi/3*(31*31-19*19)/2 + 2*10 + math.Pi},
		// The L: two legs of the bite close by a square corner, five corners open.
		{"L, round", ell(), 0.5, Round, 6 + 14*0.5 + 5*math.Pi/4*0.25 - 0.25},
		{"L, sharp", ell(), 0.5, Sharp, 5*4 - 3*2},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			got, err := Grow(c.shape, c.d, c.corners)
			require.NoError(t, err)
			near(t, c.want, got.Area(), 1e-12, "area")
		})
	}
}

// TestShrinkL: the inward corner of an L opens, by an arc or sharp; the outer ones close.
func TestShrinkL(t *testing.T) {
	sharp, err := Shrink(ell(), 0.25, Sharp)
	require.NoError(t, err)
	near(t, 3.5*0.5+2*0.5, sharp.Area(), 1e-13, "an L with legs of half the width")
	round, err := Shrink(ell(), 0.25, Round)
	require.NoError(t, err)
	near(t, sharp.Area()+(1-math.Pi/4)*0.0625, round.Area(), 1e-13, "the round corner leaves more")
}

func TestOffsetByNothing(t *testing.T) {
	o := ell()
	assert.Same(t, o, must(Grow(o, 0, Round)))
	assert.Same(t, o, must(Shrink(o, 0, Sharp)))
	assert.True(t, must(Grow(Empty(), 1, Round)).IsEmpty())
}

// TestOffsetIsMonotone: the area of a sector falls all the way while it shrinks past every edge that vanishes.
func TestOffsetIsMonotone(t *testing.T) {
	for _, o := range []*Outline{must(Sector(1, 30, 0.3)), must(Sector(2, 30, 2)), must(Sector(20, 30, 5)), must(Rectangle(60, 40, 7))} {
		last := o.Area()
		for d := 0.1; last > 0; d += 0.1 {
			got, err := Shrink(o, d, Round)
			require.NoError(t, err, "by %g", d)
			require.Less(t, got.Area(), last)
			last = got.Area()
		}
	}
}

// TestOffsetsThatTear holds offsets that tear a piece apart, or close a gap, against closed forms.
func TestOffsetsThatTear(t *testing.T) {
	// Two rooms 4 by 4 with a passage 1 wide between them: shrinking by more than half closes the passage.
	rooms := must(Polygon([]value.Place{
		pt(0, 0), pt(4, 0), pt(4, 1.5), pt(6, 1.5), pt(6, 0), pt(10, 0), pt(10, 4), pt(6, 4), pt(6, 2.5), pt(4, 2.5), pt(4, 4), pt(0, 4),
	}))
	// A C whose gap of 1 closes when it grows: a hole of 0.5 by 0.5 is left.
	c := must(Polygon([]value.Place{
		pt(0, 0), pt(4, 0), pt(4, 1.5), pt(3, 1.5), pt(3, 1), pt(1, 1), pt(1, 3), pt(3, 3), pt(3, 2.5), pt(4, 2.5), pt(4, 4), pt(0, 4),
	}))
	// Of the L, whose legs are gone at 0.5, a bit is left round its inward corner, between the sides of a square of
	// 1 − d and a circle of d about that corner.
	d := 0.55
	under := func(u float64) float64 { return (u*math.Sqrt(d*d-u*u) + d*d*math.Asin(u/d)) / 2 }
	u := math.Sqrt(d*d - (1-d)*(1-d))
	for _, k := range []struct {
		name          string
		o             *Outline
		area          float64
		pieces, holes int
	}{
		{"rooms", must(Shrink(rooms, 0.75, Sharp)), 2 * 2.5 * 2.5, 2, 0},
		{"rooms with nothing but their passage closed", must(Shrink(rooms, 0.5, Sharp)), 2 * 3 * 3, 2, 0},
		{"C", must(Grow(c, 0.75, Sharp)), 5.5*5.5 - 0.25, 1, 1},
		{"C closed up", must(Grow(c, 1, Sharp)), 36, 1, 0},
		{"L", must(Shrink(ell(), d, Round)), (1-d)*(1-d-u) - (under(1-d) - under(u)), 1, 0},
		{"L gone", must(Shrink(ell(), 2-math.Sqrt2+1e-9, Round)), 0, 0, 0},
		{"two discs run together", must(Grow(must(Join(must(Circle(1)), must(Move(must(Circle(1)), 3, 0)))), 0.5, Round)), 2 * 1.5 * 1.5 * math.Pi, 2, 0},
	} {
		near(t, k.area, k.o.Area(), 1e-12, k.name)
		assert.Equal(t, k.pieces, k.o.Pieces(), k.name)
		assert.Equal(t, k.holes, k.o.Holes(), k.name)
	}
}

func TestRefusedOffsets(t *testing.T) {
	fail := func(_ *Outline, err error) error { return err }
	// A bite leaves a corner of a line and an arc; grown by nearly the radius of the bite, the circle is too small to reach
	// the line.
	arcs := must(Cut(must(Rectangle(4, 2, 0)), must(Move(must(Circle(1)), 1, 2)), must(Move(must(Circle(1)), 2.999, 2))))
	tests := []struct {
		err  error
		want string
	}{
		{fail(Grow(ell(), 1, "bevel")), `Corners are "round" or "sharp"; "bevel" was given.`},
		{fail(Grow(ell(), -1, Round)), "An outline is grown by a distance of 0 or more; -1000 mm was given. Use shrink for the other way."},
		{fail(Shrink(ell(), math.NaN(), Round)), "An outline is shrunk by a distance of 0 or more; NaN mm was given. Use grow for the other way."},
		{fail(Grow(arcs, 0.9, Sharp)), "The outline cannot be grown by 900 mm with sharp corners: near (3999 mm, 2000 mm) the edges, drawn on, do not meet. Use round corners, or a smaller distance."},
	}
	for _, c := range tests {
		assert.EqualError(t, c.err, c.want)
	}
}

// TestFarFromTheOrigin: a piece that stands 50 m away is worked as well.
func TestFarFromTheOrigin(t *testing.T) {
	far := must(Move(must(Sector(0.62, 1.05, math.Pi/5)), 50, -30))
	got, err := Shrink(far, 0.002, Round)
	require.NoError(t, err)
	near(t, sectorInside(0.62, 1.05, math.Pi/5, 0.002), got.Area(), 1e-11, "area")
}
