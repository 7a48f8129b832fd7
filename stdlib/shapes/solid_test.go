package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
)

func mustSolid(s *Solid, err error) *Solid {
	if err != nil {
		panic(err)
	}
	return s
}

// simpson integrates by a rule that the package does not use.
func simpson(a, b float64, n int, f func(float64) float64) float64 {
	h := (b - a) / float64(2*n)
	sum := f(a) + f(b)
	for i := 1; i < 2*n; i++ {
		sum += float64(2+2*(i%2)) * f(a+float64(i)*h)
	}
	return sum * h / 3
}

// roundedLayer integrates the sections within a round-over of radius r: at the angle t they stand in by r(1 − sin t).
func roundedLayer(r float64, area func(s float64) float64) float64 {
	return simpson(0, math.Pi/2, 2000, func(t float64) float64 { return area(r*(1-math.Sin(t))) * r * math.Sin(t) })
}

// TestPublishedSolids holds the rows of published-values.md, section 17, in millimetres, to their printed digits.
func TestPublishedSolids(t *testing.T) {
	removed := func(o *Outline, h, r float64) float64 {
		return mustSolid(Extrude(o, h, Easing{})).Volume() - mustSolid(Extrude(o, h, Easing{Roundover: r})).Volume()
	}
	disc, slab := must(Circle(150)), must(Rectangle(600, 400, 0))
	tests := []struct {
		name      string
		want, got float64
		digits    float64
	}{
		{"round-over on a disc edge", 19924.561, removed(disc, 50, 10), 5e-4},
		{"round-over on four edges of a slab", 42536.886, removed(slab, 50, 10), 5e-4},
		{"torus", 98696.044, mustSolid(Extrude(must(Annulus(40, 60)), 20, Easing{Roundover: 10, Edges: BothEdges})).Volume(), 5e-4},
		{"cone frustum", 79587.014, mustSolid(Extrude(must(Circle(30)), 40, Easing{Draft: math.Atan(10.0 / 40)})).Volume(), 5e-4},
		{"pyramid frustum", 43360000, mustSolid(Extrude(must(Rectangle(400, 400, 0)), 300, Easing{Draft: math.Atan(20.0 / 300)})).Volume(), 1e-6},
	}
	for _, c := range tests {
		assert.InDelta(t, c.want, c.got, c.digits, c.name)
	}
}

// TestExtrude holds volumes, surfaces and heights of the centre of gravity against standard mensuration.
func TestExtrude(t *testing.T) {
	const pi = math.Pi
	square := must(Rectangle(2, 2, 0))
	tests := []struct {
		name            string
		shape           *Outline
		height          float64
		easing          Easing
		volume, surface float64
		z               float64
	}{
		{"block", must(Rectangle(6, 4, 0)), 2, Easing{}, 48, 88, 1},
		{"tube", must(Annulus(1, 2)), 3, Easing{}, 9 * pi, 6*pi + 18*pi, 1.5},
		{"hemisphere", must(Circle(3)), 3, Easing{Roundover: 3}, 18 * pi, 27 * pi, 9.0 / 8},
		{"bowl upside down", must(Circle(3)), 3, Easing{Roundover: 3, Edges: BottomEdges}, 18 * pi, 27 * pi, 3 - 9.0/8},
		{"sphere", must(Circle(3)), 6, Easing{Roundover: 3, Edges: BothEdges}, 36 * pi, 36 * pi, 3},
		{"torus", must(Annulus(4, 6)), 2, Easing{Roundover: 1, Edges: BothEdges}, 10 * pi * pi, 20 * pi * pi, 1},
		{"capsule", must(Circle(1)), 5, Easing{Roundover: 1, Edges: BothEdges}, 3*pi + 4*pi/3, 10 * pi, 2.5},
		{"cone", must(Circle(3)), 4, Easing{Draft: math.Atan(0.75)}, 12 * pi, 9*pi + 15*pi, 1},
		{"pyramid", square, 3, Easing{Draft: math.Atan(1.0 / 3)}, 4, 4 + 4*math.Sqrt(10), 0.75},
		// A hip roof 4 by 2 and 1 high: the ridge is 2 long; volume (2·4 + 2)·2·1/6; slopes of 45°.
		{"hip roof", must(Rectangle(4, 2, 0)), 1, Easing{Draft: pi / 4}, 10.0 / 3, 8 + 8*math.Sqrt2, (8.0/2 - 12.0/3 + 4.0/4) / (10.0 / 3)},
		{"cone frustum by chamfer", must(Circle(3)), 1, Easing{Chamfer: 1}, pi * 19 / 3, 9*pi + 4*pi + 5*pi*math.Sqrt2,
			pi * (9.0/2 - 6.0/3 + 1.0/4) / (pi * 19 / 3)},
		// Chamfered slab: the chamfered layer is a pyramid frustum, ∫(6−2s)(4−2s) ds, and four trapezia.
		{"chamfered slab", must(Rectangle(6, 4, 0)), 2, Easing{Chamfer: 0.5}, 24*1.5 + (24*0.5 - 20*0.125 + 4*0.125/3), 24 + 15 + 20*1.5 + math.Sqrt2*0.5*(20+16)/2,
			math.NaN()},
		{"slab chamfered on both faces", must(Rectangle(6, 4, 0)), 2, Easing{Chamfer: 0.5, Edges: BothEdges}, 24*1 + 2*(24*0.5-20*0.125+4*0.125/3), 15 + 15 + 20 + 2*math.Sqrt2*0.5*18, 1},
		// The corner of a square of side 2 r with a round-over of r: the square dome of two crossed cylinders, half of
		// Steinmetz's solid 16 r³/3 with surface 16 r².
		{"square dome", square, 1, Easing{Roundover: 1}, 8.0 / 3, 8 + 4, 3.0 / 8},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			s, err := Extrude(c.shape, c.height, c.easing)
			require.NoError(t, err)
			near(t, c.volume, s.Volume(), 1e-12, "volume")
			near(t, c.surface, s.Surface(), 1e-12, "surface")
			mid, err := c.shape.Centroid()
			require.NoError(t, err)
			x, y, z := s.CentreOfGravity()
			near(t, mid.X, x, 1e-12, "x")
			near(t, mid.Y, y, 1e-12, "y")
			if !math.IsNaN(c.z) {
				near(t, c.z, z, 1e-12, "z")
			}
			w, d, h := s.Box()
			assert.Equal(t, [3]float64{c.shape.Width(), c.shape.Depth(), c.height}, [3]float64{w, d, h})
		})
	}
}

// TestRoundoverByPappus: round and annular edges against published-values.md, section 17: the removed area
// (1 − π/4) r² goes round at 0.2233679 r from the sharp corner, (10 − 3π)/(12 − 3π) r.
func TestRoundoverByPappus(t *testing.T) {
	const r = 0.01
	area := (1 - math.Pi/4) * r * r
	in := (10 - 3*math.Pi) / (12 - 3*math.Pi) * r
	ring := must(Annulus(0.2, 0.3))
	got := ring.Area()*0.1 - mustSolid(Extrude(ring, 0.1, Easing{Roundover: r})).Volume()
	near(t, 2*math.Pi*area*(0.3-in+0.2+in), got, 1e-10, "ring: both edges")
	slot := must(Slot(0.4, 0.1))
	got = slot.Area()*0.1 - mustSolid(Extrude(slot, 0.1, Easing{Roundover: r})).Volume()
	near(t, area*(2*0.3+2*math.Pi*(0.05-in)), got, 1e-10, "slot: lines and half circles")
	rounded := must(Rectangle(0.6, 0.4, r))
	got = rounded.Area()*0.1 - mustSolid(Extrude(rounded, 0.1, Easing{Roundover: r})).Volume()
	near(t, area*(2*0.58+2*0.38+2*math.Pi*(r-in)), got, 1e-10, "corner radius and round-over alike: eighths of a sphere")
}

// TestSectorRoundover is the bench piece: the closed section of sectorInside, integrated by Simpson's rule.
func TestSectorRoundover(t *testing.T) {
	const inner, outer, phi, h, r = 0.62, 1.05, math.Pi / 5, 0.095, 0.006
	piece := must(Shrink(must(Sector(inner, outer, phi)), 0.002, Round))
	section := func(s float64) float64 { return sectorInside(inner, outer, phi, 0.002+s) }
	s := mustSolid(Extrude(piece, h, Easing{Roundover: r}))
	want := section(0)*(h-r) + roundedLayer(r, section)
	near(t, want, s.Volume(), 1e-12, "volume")
	// The surface of the round from the perimeter, the slope of the area: −dA/ds, by differences.
	slope := func(s float64) float64 { const e = 1e-5; return (section(s-e) - section(s+e)) / (2 * e) }
	round := simpson(0, math.Pi/2, 200, func(t float64) float64 { return slope(r*(1-math.Sin(t))) * r })
	near(t, section(0)+section(r)+slope(0)*(h-r)+round, s.Surface(), 1e-7, "surface")
	x, y, z := s.CentreOfGravity()
	assert.InDelta(t, phi/2, math.Atan2(y, x), 1e-13, "on the middle line")
	moment := section(0)*(h-r)*(h-r)/2 + simpson(0, math.Pi/2, 2000, func(t float64) float64 {
		return section(r*(1-math.Sin(t))) * r * math.Sin(t) * (h - r + r*math.Cos(t))
	})
	near(t, moment/want, z, 1e-12, "height of the centre of gravity")
	near(t, section(r), s.Top().Area(), 1e-12, "top face")
	assert.True(t, s.Bottom().Equal(piece))
}

// TestSegmentRoundover: a corner of a line and an arc, up to the limit where the top comes down to a point and the
// section falls like a square root. The section within s is the segment (R − s, h − 2s).
func TestSegmentRoundover(t *testing.T) {
	const R, rise, height = 10.0, 4.0, 5.0
	o := must(Segment(R, rise))
	section := func(s float64) float64 { return segmentArea(R-s, math.Max(rise-2*s, 0)) }
	for _, r := range []float64{0.1, 1, 1.9, 2} {
		s := mustSolid(Extrude(o, height, Easing{Roundover: r}))
		near(t, section(0)*(height-r)+roundedLayer(r, section), s.Volume(), 1e-11, "volume")
	}
	c := mustSolid(Extrude(o, height, Easing{Chamfer: 2}))
	// With u² = 2 − s the section is smooth in u.
	layer := simpson(0, math.Sqrt2, 2000, func(u float64) float64 { return section(2-u*u) * 2 * u })
	near(t, section(0)*3+layer, c.Volume(), 1e-12, "chamfer to a point")
	assert.True(t, c.Top().IsEmpty())
}

// TestQuadratureAndClosedFormAgree: the quadrature gives what the closed form gives.
func TestQuadratureAndClosedFormAgree(t *testing.T) {
	for name, o := range map[string]*Outline{
		"slab": must(Rectangle(6, 4, 0)), "rounded": must(Rectangle(6, 4, 1)), "L": ell(), "ring": must(Annulus(2, 5)),
	} {
		in := newInset(o)
		k, exact := in.quadratic()
		require.True(t, exact, name)
		e := Easing{Roundover: 0.4}
		m := in.measure(e.strip(0.4, 1, -1))
		volume, surface := roundedEdge(o.Area(), o.Perimeter(), k, 0.4)
		near(t, volume, m[0], 1e-14, name)
		near(t, surface, m[4], 1e-14, name)
	}
	_, exact := newInset(must(Sector(1, 2, 1))).quadratic()
	assert.False(t, exact, "a corner of a line and an arc is not quadratic")
}

// TestPlateWithHole: the shape of a block with a square hole, its inner edges eased as well: inner mitres add what
// outer ones take.
func TestPlateWithHole(t *testing.T) {
	outer := closed([]value.Place{pt(0, 0), pt(6, 0), pt(6, 6), pt(0, 6)})
	hole := closed([]value.Place{pt(2, 2), pt(2, 4), pt(4, 4), pt(4, 2)})
	o := newOutline([][]Edge{outer, hole})
	s := mustSolid(Extrude(o, 2, Easing{Roundover: 0.5}))
	near(t, 64-(1-math.Pi/4)*0.25*32, s.Volume(), 1e-13, "corner terms cancel")
	near(t, 25-9, s.Top().Area(), 1e-13, "top")
	assert.Equal(t, 1, s.Top().Holes())
}

func TestStack(t *testing.T) {
	plinth := mustSolid(Extrude(must(Rectangle(6, 4, 0)), 1, Easing{}))
	post := must(Move(must(Rectangle(2, 2, 0)), 4, 2)) // flush with a corner of the plinth
	upper := mustSolid(Extrude(post, 3, Easing{Draft: math.Atan(1.0 / 3)}))
	s, err := Stack(plinth, upper)
	require.NoError(t, err)
	near(t, 24+4, s.Volume(), 1e-13, "volume")
	near(t, 68+4+4*math.Sqrt(10)-8, s.Surface(), 1e-13, "surface: the contact is counted on neither face")
	near(t, 4, s.Height(), 1e-15, "height")
	x, y, z := s.CentreOfGravity()
	near(t, (24*3+4*5)/28.0, x, 1e-13, "x")
	near(t, (24*2+4*3)/28.0, y, 1e-13, "y")
	near(t, (24*0.5+4*1.75)/28, z, 1e-13, "z")
	foot, err := s.Footprint()
	require.NoError(t, err)
	near(t, 24, foot.Area(), 0, "footprint")
	// The same twice over is equal; the other way up is not.
	again := mustSolid(Stack(plinth, mustSolid(Extrude(post, 3, Easing{Draft: math.Atan(1.0 / 3)}))))
	assert.True(t, s.Equal(again))
	assert.False(t, s.Equal(mustSolid(Stack(plinth, plinth))))
	assert.False(t, s.Equal(plinth))
	assert.False(t, plinth.Equal(nil))
	_, err = Stack(upper, plinth)
	assert.EqualError(t, err, "A solid that ends in a point or a ridge has no face to set another on.")
	_, err = Stack()
	assert.EqualError(t, err, "A stack needs at least one solid.")
	side := mustSolid(Extrude(must(Move(must(Rectangle(6, 4, 0)), 1, 0)), 1, Easing{}))
	_, err = Stack(plinth, side)
	assert.EqualError(t, err, "Solids are stacked on faces of which one lies within the other; here each face reaches beyond the other.")
}

// TestStackOverHole: a lid on a ring covers only the ring's face.
func TestStackOverHole(t *testing.T) {
	ring, lid := mustSolid(Extrude(must(Annulus(1, 2)), 3, Easing{})), mustSolid(Extrude(must(Circle(2)), 1, Easing{}))
	s := mustSolid(Stack(ring, lid))
	near(t, ring.Surface()+lid.Surface()-2*3*math.Pi, s.Surface(), 1e-13, "surface")
	foot, err := s.Footprint()
	require.NoError(t, err)
	near(t, 4*math.Pi, foot.Area(), 1e-14, "the lid covers the ring")
}

func TestRefusedSolids(t *testing.T) {
	fail := func(o *Outline, h float64, e Easing) error { _, err := Extrude(o, h, e); return err }
	slab, sector := must(Rectangle(0.6, 0.4, 0.01)), must(Sector(0.2, 0.3, 1))
	ring := must(Annulus(0.2, 0.25))
	passage := must(Polygon([]value.Place{
		pt(0, 0), pt(4, 0), pt(4, 1.5), pt(6, 1.5), pt(6, 0), pt(10, 0), pt(10, 4), pt(6, 4), pt(6, 2.5), pt(4, 2.5), pt(4, 4), pt(0, 4),
	}))
	tests := []struct {
		err  error
		want string
	}{
		{fail(Empty(), 1, Easing{}), "An empty outline cannot be extruded: it has no area."},
		{fail(slab, 0, Easing{}), "An extruded solid needs a height above 0; 0 mm was given."},
		{fail(slab, math.NaN(), Easing{}), "An extruded solid needs a height above 0; NaN mm was given."},
		{fail(slab, 0.1, Easing{Roundover: -0.001}), "A round-over is 0 or more; -1 mm was given."},
		{fail(slab, 0.1, Easing{Roundover: 0.12}), "A round-over of 120 mm is larger than the height leaves room for: at most 100 mm."},
		{fail(slab, 0.1, Easing{Chamfer: 0.06, Edges: BothEdges}), "A chamfer of 60 mm is larger than the height leaves room for: at most 50 mm."},
		{fail(slab, 0.1, Easing{Draft: 2}), "A draft lies from 0 deg to below 90 deg; 114.592 deg was given."},
		{fail(slab, 0.1, Easing{Edges: "sides"}), `Eased edges are "top", "bottom" or "both"; "sides" was given.`},
		{fail(slab, 0.1, Easing{Roundover: 0.005, Chamfer: 0.005}), "An edge has a round-over or a chamfer, not both. Leave one of them out."},
		{fail(slab, 0.1, Easing{Roundover: 0.005, Draft: 0.1}), "Leaning sides with an eased edge cannot be worked out yet. Give a draft alone, or a round-over or chamfer alone."},
		{fail(slab, 0.1, Easing{Roundover: 0.012}), "A round-over of 12 mm is too large for this outline: near (2.92893 mm, 2.92893 mm) an arc of radius 10 mm would turn inside out. The largest that fits is 10 mm."},
		{fail(ring, 0.1, Easing{Roundover: 0.026}), "A round-over of 26 mm is too large for this outline: near (200 mm, 0 mm) more than half the wall would go. The largest that fits is 25 mm."},
		{fail(sector, 0.2, Easing{Chamfer: 0.051}), "A chamfer of 51 mm is too large for this outline: near (135.076 mm, 210.368 mm) an edge would vanish. The largest that fits is 50 mm."},
		{fail(must(Circle(0.1)), 1, Easing{Draft: math.Pi / 4}), "A draft of 45 deg leans the sides in by 1000 mm, too far for this outline: near (0 mm, 100 mm) an arc of radius 100 mm would turn inside out. The sides can lean in by at most 100 mm."},
		{fail(passage, 2, Easing{Roundover: 0.6}), "A round-over of 600 mm is too large for this outline: near (3400 mm, 1900 mm) more than half the wall would go. The largest that fits is 500 mm."},
	}
	for _, c := range tests {
		assert.EqualError(t, c.err, c.want)
	}
}
