package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
)

// must takes an outline whose making is not what the test is about.
func must(o *Outline, err error) *Outline {
	if err != nil {
		panic(err)
	}
	return o
}

// near compares with a relative error, or an absolute one where 0 is wanted.
func near(t require.TestingT, want, got, share float64, what string) {
	if h, ok := t.(interface{ Helper() }); ok {
		h.Helper()
	}
	if want == 0 {
		assert.InDelta(t, want, got, share, what)
		return
	}
	assert.InEpsilon(t, want, got, share, what)
}

func pt(x, y float64) value.Place { return value.Place{X: x, Y: y} }

// The L with legs 1 wide: 4 by 3 with a bite of 3 by 2.
func ell() *Outline {
	return must(Polygon([]value.Place{pt(0, 0), pt(4, 0), pt(4, 1), pt(1, 1), pt(1, 3), pt(0, 3)}))
}

// TestMeasures holds outlines against standard mensuration (published-values.md, section 17; second moments from any
// engineering handbook).
func TestMeasures(t *testing.T) {
	seg := 2 * math.Acos(1-0.4/1.0) // the angle of a segment of radius 1 and height 0.4
	segArea := (seg - math.Sin(seg)) / 2
	phi := math.Pi / 3
	tests := []struct {
		name            string
		shape           *Outline
		area, perimeter float64
		cx, cy          float64
		ix, iy          float64 // NaN where there is no short closed form
	}{
		{"circle", must(Circle(0.3)), math.Pi * 0.09, 2 * math.Pi * 0.3, 0, 0, math.Pi * 0.0081 / 4, math.Pi * 0.0081 / 4},
		{"annulus", must(Annulus(2, 3)), math.Pi * 5, math.Pi * 10, 0, 0, math.Pi * 65 / 4, math.Pi * 65 / 4},
		{"rectangle", must(Rectangle(6, 4, 0)), 24, 20, 3, 2, 6 * 64.0 / 12, 4 * 216.0 / 12},
		{"rounded rectangle", must(Rectangle(6, 4, 1)), 24 - 4 + math.Pi, 12 + 2*math.Pi, 3, 2, math.NaN(), math.NaN()},
		{"rectangle with round ends", must(Rectangle(6, 4, 2)), 8 + 4*math.Pi, 4 + 4*math.Pi, 3, 2, math.NaN(), math.NaN()},
		{"square as a circle", must(Rectangle(4, 4, 2)), 4 * math.Pi, 4 * math.Pi, 2, 2, 4 * math.Pi, 4 * math.Pi},
		{"annular sector", must(Sector(20, 30, phi)), phi * 500 / 2, phi*50 + 20,
			2.0 / 3 * math.Sin(phi/2) / (phi / 2) * 19000 / 500 * math.Cos(phi/2),
			2.0 / 3 * math.Sin(phi/2) / (phi / 2) * 19000 / 500 * math.Sin(phi/2), math.NaN(), math.NaN()},
		// Half a circle: the centroid stands at 4r/3π and the moments are (π/8 − 8/9π) r⁴ and π r⁴/8.
		{"half circle", must(Sector(0, 2, math.Pi)), 2 * math.Pi, 2*math.Pi + 4, 0, 8 / (3 * math.Pi),
			16 * (math.Pi/8 - 8/(9*math.Pi)), 2 * math.Pi},
		{"three quarters of a circle", must(Sector(0, 2, 3*math.Pi/2)), 3 * math.Pi, 3*math.Pi + 4,
			4.0 / 3 * math.Sin(3*math.Pi/4) / (3 * math.Pi / 4) * math.Cos(3*math.Pi/4),
			4.0 / 3 * math.Sin(3*math.Pi/4) / (3 * math.Pi / 4) * math.Sin(3*math.Pi/4), math.NaN(), math.NaN()},
		{"segment", must(Segment(1, 0.4)), segArea, seg + 2*math.Sin(seg/2), 0,
			math.Pow(2*math.Sin(seg/2), 3)/12/segArea - 0.6, math.NaN(), math.NaN()},
		{"segment above half", must(Segment(1, 1)), math.Pi / 2, math.Pi + 2, 0, 4 / (3 * math.Pi),
			math.Pi/8 - 8/(9*math.Pi), math.Pi / 8},
		{"slot", must(Slot(10, 4)), 24 + 4*math.Pi, 12 + 4*math.Pi, 0, 0, 6*64.0/12 + math.Pi*16/4, math.NaN()},
		{"slot as a circle", must(Slot(4, 4)), 4 * math.Pi, 4 * math.Pi, 0, 0, 4 * math.Pi, 4 * math.Pi},
		{"hexagon across flats", must(RegularAcross(6, 2)), 2 * math.Sqrt(3), 12 / math.Sqrt(3), 0, 0,
			5 * math.Sqrt(3) / 16 * math.Pow(2/math.Sqrt(3), 4), 5 * math.Sqrt(3) / 16 * math.Pow(2/math.Sqrt(3), 4)},
		{"square of side 3", must(RegularSide(4, 3)), 9, 12, 0, 0, 81.0 / 12, 81.0 / 12},
		{"triangle", must(Polygon([]value.Place{pt(0, 0), pt(6, 0), pt(0, 3)})), 9, 9 + math.Sqrt(45), 2, 1,
			6 * 27.0 / 36, 3 * 216.0 / 36},
		{"triangle the other way", must(Polygon([]value.Place{pt(0, 0), pt(0, 3), pt(6, 0)})), 9, 9 + math.Sqrt(45), 2, 1,
			6 * 27.0 / 36, 3 * 216.0 / 36},
		{"L", ell(), 6, 14, (4*2 + 2*0.5) / 6.0, (4*0.5 + 2*2) / 6.0, 4.0/12 + 4*0.25 + 8.0/12 + 2, 64.0/12 + 4*0.25 + 2.0/12 + 2},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			near(t, c.area, c.shape.Area(), 1e-13, "area")
			near(t, c.perimeter, c.shape.Perimeter(), 1e-13, "perimeter")
			mid, err := c.shape.Centroid()
			require.NoError(t, err)
			near(t, c.cx, mid.X, 1e-13, "centroid x")
			near(t, c.cy, mid.Y, 1e-13, "centroid y")
			if !math.IsNaN(c.ix) {
				near(t, c.ix, c.shape.SecondMomentX(), 1e-12, "second moment x")
			}
			if !math.IsNaN(c.iy) {
				near(t, c.iy, c.shape.SecondMomentY(), 1e-12, "second moment y")
			}
		})
	}
}

// TestCircleToTheLastDigits: the area of a circle is π r² to within two units of the last digit.
func TestCircleToTheLastDigits(t *testing.T) {
	for _, r := range []float64{0.001, 0.17, 1, 3.3, 1234.5} {
		want := math.Pi * r * r
		got := must(Circle(r)).Area()
		assert.LessOrEqual(t, math.Abs(got-want), 2*(math.Nextafter(want, math.Inf(1))-want), "radius %g", r)
	}
}

// TestPublishedExamples holds the examples of published-values.md, section 17 (computed there), to their printed digits.
func TestPublishedExamples(t *testing.T) {
	seg := must(Segment(10, 4))
	assert.InDelta(t, 44.72952, seg.Area(), 5e-6)
	assert.InDelta(t, 16+18.5459, seg.Perimeter(), 5e-5)
	assert.InDelta(t, 16, seg.Width(), 1e-12)
	assert.InDelta(t, 51, must(Segment(51, 6)).Width()*must(Segment(51, 6)).Width()/(8*6)+3, 1e-12, "radius from chord 48 and rise 6")
	sector := must(Sector(20, 30, math.Pi/3))
	assert.InDelta(t, 261.79939, sector.Area(), 5e-6)
	mid, err := sector.Centroid()
	require.NoError(t, err)
	assert.InDelta(t, 24.19155, math.Hypot(mid.X, mid.Y), 5e-6)
	assert.InDelta(t, math.Pi/6, math.Atan2(mid.Y, mid.X), 1e-14)
}

// TestFlatSegment: a chord of 1 under a rise of 1 in 10 000. Area and centroid by their series in the rise
// (A = 2/3 c h (1 + 4/5 (h/c)² …), centroid 2/5 h above the chord), in which the next terms are below 1e-8.
func TestFlatSegment(t *testing.T) {
	const chord, rise = 1.0, 1e-4
	o := must(Segment(chord*chord/(8*rise)+rise/2, rise))
	near(t, 2.0/3*chord*rise*(1+0.8*rise*rise), o.Area(), 1e-11, "area")
	mid, err := o.Centroid()
	require.NoError(t, err)
	near(t, 0.4*rise, mid.Y, 1e-7, "centroid")
	// A parabola of the same chord and rise: ∫(y−yc)² dA = 8/175 c h³, from its integral.
	near(t, 8.0/175*chord*rise*rise*rise, o.SecondMomentX(), 1e-7, "second moment")
}

// TestSegmentMomentsAgree: the quadrature for short arcs and the closed forms give the same where they hand over.
func TestSegmentMomentsAgree(t *testing.T) {
	below, above := math.Nextafter(0.5, 0), 0.5
	a1, m1, u1, v1 := segmentMoments(2, below)
	a2, m2, u2, v2 := segmentMoments(2, above)
	near(t, a2, a1, 1e-13, "area")
	near(t, m2, m1, 1e-12, "first")
	near(t, u2, u1, 1e-10, "across")
	near(t, v2, v1, 1e-13, "along")
}

func TestBounds(t *testing.T) {
	tests := []struct {
		name  string
		shape *Outline
		want  Bounds
	}{
		{"circle", must(Circle(2)), Bounds{-2, 2, -2, 2}},
		{"rounded rectangle", must(Rectangle(6, 4, 1)), Bounds{0, 6, 0, 4}},
		{"slot", must(Slot(10, 4)), Bounds{-5, 5, -2, 2}},
		{"segment", must(Segment(5, 2)), Bounds{-4, 4, 0, 2}},
		{"large segment", must(Segment(5, 8)), Bounds{-5, 5, 0, 8}},
		{"quarter ring", must(Sector(1, 2, math.Pi/2)), Bounds{0, 2, 0, 2}},
		{"sector over the top", must(Sector(1, 2, 2*math.Pi/3)), Bounds{-1, 2, 0, 2}},
		{"three quarters", must(Sector(1, 2, 3*math.Pi/2)), Bounds{-2, 2, -2, 2}},
	}
	for _, c := range tests {
		b, err := c.shape.Bounds()
		require.NoError(t, err)
		for i, pair := range [][2]float64{{c.want.Left, b.Left}, {c.want.Right, b.Right}, {c.want.Bottom, b.Bottom}, {c.want.Top, b.Top}} {
			assert.InDelta(t, pair[0], pair[1], 1e-14, "%s, side %d", c.name, i)
		}
		assert.InDelta(t, c.want.Right-c.want.Left, c.shape.Width(), 1e-14, c.name)
		assert.InDelta(t, c.want.Top-c.want.Bottom, c.shape.Depth(), 1e-14, c.name)
	}
}

func TestContains(t *testing.T) {
	ring, sector, slot := must(Annulus(1, 2)), must(Sector(1, 2, 3*math.Pi/2)), must(Slot(10, 4))
	tests := []struct {
		name  string
		shape *Outline
		p     value.Place
		want  bool
	}{
		{"middle of a circle", must(Circle(1)), pt(0, 0), true},
		{"on a circle's diameter", must(Circle(1)), pt(0.5, 0), true},
		{"on a circle", must(Circle(1)), pt(math.Sqrt(0.5), math.Sqrt(0.5)), true},
		{"outside a circle, beside it", must(Circle(1)), pt(-1.5, 0), false},
		{"in the hole", ring, pt(0, 0), false},
		{"in the hole, off the axes", ring, pt(0.3, -0.2), false},
		{"in the ring on the axis", ring, pt(-1.5, 0), true},
		{"on the hole's edge", ring, pt(0, 1), true},
		{"in the sector", sector, pt(-1.5, -0.1), true},
		{"in its gap", sector, pt(1.1, -1.1), false},
		{"in its middle", sector, pt(0, 0), false},
		{"in the round end", slot, pt(-4.5, 0), true},
		{"beside the round end", slot, pt(-4.9, 1), false},
		{"level with an L's corner", ell(), pt(2, 1.0001), false},
		{"in an L, level with its corner", ell(), pt(0.5, 1), true},
		{"not a number", ring, pt(math.NaN(), 0), false},
		{"in nothing", Empty(), pt(0, 0), false},
	}
	for _, c := range tests {
		assert.Equal(t, c.want, c.shape.Contains(c.p), c.name)
	}
}

func TestCountsAndEmpty(t *testing.T) {
	ring := must(Annulus(1, 2))
	assert.Equal(t, 1, ring.Holes())
	assert.Equal(t, 1, ring.Pieces())
	assert.Equal(t, 0, ell().Holes())
	e := Empty()
	assert.True(t, e.IsEmpty())
	assert.Zero(t, e.Area()+e.Perimeter()+e.Width()+e.Depth()+e.SecondMomentX())
	_, err := e.Centroid()
	assert.EqualError(t, err, "An empty outline has no centroid.")
	_, err = e.Bounds()
	assert.EqualError(t, err, "An empty outline has no sides: it lies nowhere.")
}

func TestEqual(t *testing.T) {
	a, b := must(Rectangle(6, 4, 1)), must(Rectangle(6, 4, 1))
	assert.True(t, a.Equal(b))
	assert.False(t, a.Equal(must(Rectangle(6, 4, 1.0000000000000002))))
	assert.False(t, a.Equal(must(Rectangle(6, 4, 0))))
	assert.False(t, a.Equal(nil))
	assert.False(t, a.Equal(3.0))
	assert.False(t, must(Annulus(1, 2)).Equal(must(Circle(2))))
	a.Loops()[0][0].From.X = 99
	assert.True(t, a.Equal(b), "Loops gives copies")
}

func TestTransforms(t *testing.T) {
	s := must(Sector(1, 2, math.Pi/2))
	moved := must(Move(s, 10, -1))
	assert.InDelta(t, 10, moved.bounds.Left, 1e-14)
	turned := must(Turn(s, math.Pi/2, pt(0, 0)))
	assert.Equal(t, Bounds{-2, 0, 0, 2}, turned.bounds)
	near(t, s.SecondMomentX(), turned.SecondMomentY(), 1e-13, "a quarter turn swaps the axes")
	mirrored := must(Mirror(s, pt(0, 0), pt(0, 5)))
	assert.Equal(t, Bounds{-2, 0, 0, 2}, mirrored.bounds)
	near(t, s.Area(), mirrored.Area(), 1e-14, "a mirror keeps the area above 0")
	assert.True(t, mirrored.Contains(pt(-1.2, 0.9)))
	assert.False(t, mirrored.Contains(pt(1.2, 0.9)))
	scaled := must(Scale(s, 3))
	near(t, 9*s.Area(), scaled.Area(), 1e-14, "area grows by the square")
	near(t, 81*s.SecondMomentX(), scaled.SecondMomentX(), 1e-13, "second moment by the fourth power")
	near(t, s.ProductMoment(), -mirrored.ProductMoment(), 1e-12, "a mirror turns the product moment")
}

func TestRefusedOutlines(t *testing.T) {
	polygon := func(xy ...float64) error {
		var ps []value.Place
		for i := 0; i < len(xy); i += 2 {
			ps = append(ps, pt(xy[i], xy[i+1]))
		}
		_, err := Polygon(ps)
		return err
	}
	fail := func(_ *Outline, err error) error { return err }
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		err  error
		want string
	}{
		{fail(Circle(0)), "A circle needs a radius above 0; 0 mm was given."},
		{fail(Circle(-0.005)), "A circle needs a radius above 0; -5 mm was given."},
		{fail(Circle(nan)), "A circle needs a radius above 0; NaN mm was given."},
		{fail(Circle(inf)), "A circle needs a radius from 1e-06 mm to 1e+12 mm; +Inf mm was given."},
		{fail(Annulus(0, 1)), "An annulus needs an inner radius above 0; 0 mm was given."},
		{fail(Annulus(0.3, 0.2)), "An annulus needs an outer radius above its inner radius of 300 mm; 200 mm was given."},
		{fail(Rectangle(0, 1, 0)), "A rectangle needs a width above 0; 0 mm was given."},
		{fail(Rectangle(1, -1, 0)), "A rectangle needs a depth above 0; -1000 mm was given."},
		{fail(Rectangle(0.6, 0.4, 0.21)), "The corner radius of a rectangle of 600 mm by 400 mm lies from 0 to half its smaller side, 200 mm; 210 mm was given."},
		{fail(Sector(-0.1, 1, 1)), "A sector needs an inner radius of 0 or more; -100 mm was given."},
		{fail(Sector(1, 1, 1)), "A sector needs an outer radius above its inner radius of 1000 mm; 1000 mm was given."},
		{fail(Sector(1, inf, 1)), "A sector needs an outer radius of at most 1e+12 mm; +Inf mm was given."},
		{fail(Sector(1, 2, 0)), "The angle of a sector lies above 0 deg and up to 360 deg; 0 deg was given."},
		{fail(Sector(1, 2, 7)), "The angle of a sector lies above 0 deg and up to 360 deg; 401.07 deg was given."},
		{fail(Segment(0.1, 0.2)), "The height of a segment of radius 100 mm lies above 0 and below the diameter, 200 mm; 200 mm was given."},
		{fail(Slot(0.03, 0.04)), "The length of a slot is over all, rounded ends included, and not below its width of 40 mm; 30 mm was given."},
		{fail(RegularAcross(2, 1)), "A regular polygon has from 3 to 1000 sides; 2 was given."},
		{fail(RegularSide(6, 0)), "A regular polygon needs a side above 0; 0 mm was given."},
		{polygon(0, 0, 1, 1), "A polygon needs at least 3 points; it has 2."},
		{polygon(0, 0, 1, 0, 1, nan), "Point 3 of the polygon lies nowhere that can be worked with: (1000 mm, NaN mm)."},
		{polygon(0, 0, 1, 0, 1, 1, 0, 0), "Points 1 and 4 of the polygon are the same, (0 mm, 0 mm). Give each point once; the polygon closes by itself."},
		{polygon(0, 0, 1, 1, 1, 0, 0, 1), "Edges 1 and 3 of the polygon cross or touch at (500 mm, 500 mm). Give the points in the order in which they lie round it."},
		{polygon(0, 0, 4, 0, 4, 2, 2, 0, 0, 2), "Edges 1 and 3 of the polygon cross or touch at (2000 mm, 0 mm). Give the points in the order in which they lie round it."},
		{polygon(0, 0, 2, 0, 1, 0), "Edges 1 and 2 of the polygon cross or touch at (2000 mm, 0 mm). Give the points in the order in which they lie round it."},
		{fail(Move(ell(), nan, 0)), "A shape can be moved, turned or mirrored only by lengths and angles that can be worked with."},
		{fail(Turn(ell(), inf, pt(0, 0))), "A shape can be moved, turned or mirrored only by lengths and angles that can be worked with."},
		{fail(Mirror(ell(), pt(1, 1), pt(1, 1))), "The line of a mirror needs two different points; both are (1000 mm, 1000 mm)."},
		{fail(Scale(ell(), 0)), "A shape is scaled by a factor above 0; 0 was given."},
	}
	for _, c := range tests {
		assert.EqualError(t, c.err, c.want)
	}
}
