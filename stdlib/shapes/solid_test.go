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
		sides := Easing{Roundover: 0.4, Edges: TopEdges}.sides(1)
		m, err := in.measure(sides[len(sides)-1])
		require.NoError(t, err)
		volume, surface := roundedEdge(o.Area(), o.Perimeter(), k, 0.4)
		near(t, volume, m[0], 1e-14, name)
		near(t, surface, m[4], 1e-14, name)
	}
	_, exact := newInset(must(Sector(1, 2, 1))).quadratic()
	assert.False(t, exact, "a corner of a line and an arc is not quadratic")
}

// turnedProfile closes the sides of a round solid of radius r to the axis.
func turnedProfile(e Easing, r, h float64) *Outline {
	var loop []Edge
	for _, side := range e.sides(h) {
		for _, p := range []*value.Place{&side.From, &side.To, &side.Centre} {
			p.X += r
		}
		loop = append(loop, side)
	}
	first, last := loop[0].From, loop[len(loop)-1].To
	return must(FromLoops([][]Edge{append(loop, line(last, pt(0, h)), line(pt(0, h), pt(0, 0)), line(pt(0, 0), first))}))
}

// TestInnerCorners: an L has five corners that point outwards and one that points inwards. Sharp, the mitre of the inner
// one adds what that of an outer one takes: the closed form with K = 5 − 1. Rounded, the removed area goes round closer
// in along five quarter turns and further out along one (Pappus).
func TestInnerCorners(t *testing.T) {
	const r, h, rho = 0.2, 0.5, 0.3
	s := mustSolid(Extrude(ell(), h, Easing{Roundover: r}))
	near(t, ell().Area()*h-(1-math.Pi/4)*14*r*r+4*(5.0/3-math.Pi/2)*r*r*r, s.Volume(), 1e-13, "sharp")
	section := func(x float64) float64 { return 6 - 14*x + 4*x*x }
	near(t, 6*(h-r)+roundedLayer(r, section), s.Volume(), 1e-12, "sharp, by its sections")
	soft := must(RoundCorners(ell(), rho))
	area, in := (1-math.Pi/4)*r*r, (10-3*math.Pi)/(12-3*math.Pi)*r
	way := 14 - 12*rho + math.Pi/2*(5*(rho-in)+rho+in)
	s = mustSolid(Extrude(soft, h, Easing{Roundover: r}))
	near(t, soft.Area()*h-area*way, s.Volume(), 1e-13, "rounded")
	_, err := Extrude(soft, h, Easing{Roundover: 0.31})
	assert.EqualError(t, err, "A round-over of 310 mm is too large for this outline: near (3912.13 mm, 87.868 mm) an arc of radius 300 mm would turn inside out. The largest that fits is 300 mm.")
}

// TestEasedDraft: sides that lean in with eased edges. For a round solid the profile is drawn by hand: a line and arcs that
// touch it, and turned by Pappus; for a square the sections are integrated by Simpson's rule.
func TestEasedDraft(t *testing.T) {
	const r, h, draft = 3.0, 2.0, 0.3
	sin, cos := math.Sincos(draft)
	tan := math.Tan(draft)
	// Upper round of radius 0.5: its centre lies 0.5 below the top and 0.5 from the side.
	c := pt(r-1.5*tan-0.5/cos, 1.5)
	touch := pt(c.X+0.5*cos, c.Y+0.5*sin)
	near(t, r-touch.Y*tan, touch.X, 1e-15, "the arc begins on the side")
	top := must(Path(pt(0, 0), []Step{lineTo(r, 0), lineTo(touch.X, touch.Y), centred(c.X, 2, c.X, c.Y, "left"), lineTo(0, 2)}))
	// Lower round: its centre lies 0.5 above the ground.
	d := pt(r-0.5*tan-0.5/cos, 0.5)
	touch = pt(d.X+0.5*cos, d.Y+0.5*sin)
	near(t, r-touch.Y*tan, touch.X, 1e-15, "the arc ends on the side")
	bottom := must(Path(pt(0, 0), []Step{lineTo(d.X, 0), centred(touch.X, touch.Y, d.X, d.Y, "left"), lineTo(r-h*tan, h), lineTo(0, h)}))
	// Chamfers of 45°, 0.4 across the face.
	z := 0.4 / (1 - tan)
	bevel := must(Path(pt(0, 0), []Step{lineTo(r, 0), lineTo(r-(h-z)*tan, h-z), lineTo(r-h*tan-0.4, h), lineTo(0, h)}))
	near(t, z-z*tan, 0.4, 1e-15, "45°")
	for name, k := range map[string]struct {
		e       Easing
		profile *Outline
	}{
		"round above":   {Easing{Roundover: 0.5, Draft: draft}, top},
		"round below":   {Easing{Roundover: 0.5, Draft: draft, Edges: BottomEdges}, bottom},
		"chamfer above": {Easing{Chamfer: 0.4, Draft: draft}, bevel},
		"both rounds":   {Easing{Roundover: 0.5, Draft: draft, Edges: BothEdges}, turnedProfile(Easing{Roundover: 0.5, Draft: draft, Edges: BothEdges}, r, h)},
		"both chamfers": {Easing{Chamfer: 0.4, Draft: draft, Edges: BothEdges}, turnedProfile(Easing{Chamfer: 0.4, Draft: draft, Edges: BothEdges}, r, h)},
	} {
		s, turned := mustSolid(Extrude(must(Circle(r)), h, k.e)), mustSolid(Revolve(k.profile, 2*math.Pi))
		near(t, turned.Volume(), s.Volume(), 1e-13, name)
		near(t, turned.Surface(), s.Surface(), 1e-13, name)
		_, _, want := turned.CentreOfGravity()
		_, _, got := s.CentreOfGravity()
		near(t, want, got, 1e-13, name)
		w, _, _ := turned.Box()
		x, _, _ := s.Box()
		near(t, w, x, 1e-13, name)
		assert.InDelta(t, turned.Top().Area(), s.Top().Area(), 1e-13, name)
		assert.InDelta(t, turned.Bottom().Area(), s.Bottom().Area(), 1e-13, name)
	}
	// A square of side 4 with both edges round: (4 − 2s)² at each height, s by the geometry of the profile.
	s := mustSolid(Extrude(must(Rectangle(4, 4, 0)), h, Easing{Roundover: 0.5, Draft: draft, Edges: BothEdges}))
	area := func(x float64) float64 { return math.Pow(4-2*(r-x), 2) }
	arc := func(mid value.Place, from, to float64) float64 {
		return simpson(from, to, 2000, func(a float64) float64 { return area(mid.X+0.5*math.Cos(a)) * 0.5 * math.Cos(a) })
	}
	line := simpson(0.5+0.5*sin, 1.5+0.5*sin, 100, func(z float64) float64 { return area(r - z*tan) })
	near(t, arc(d, -math.Pi/2, draft)+line+arc(c, draft, math.Pi/2), s.Volume(), 1e-12, "square")
	foot, err := s.Footprint()
	require.NoError(t, err)
	near(t, area(d.X+0.5), foot.Area(), 1e-13, "its widest section is the footprint")
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
	assert.EqualError(t, err, "Solid 1 of the stack ends in a point or a ridge: it has no face to set another on.")
	_, err = Stack()
	assert.EqualError(t, err, "A stack needs at least one solid.")
	_, err = Stack(plinth, mustSolid(Extrude(must(Circle(1)), 2, Easing{Roundover: 1, Edges: BothEdges})))
	assert.EqualError(t, err, "Solid 2 of the stack stands on a point or an edge: it has no face to rest on.")
	_, err = Stack(plinth, plinth, mustSolid(Extrude(rect(7, 0, 1, 1), 1, Easing{})))
	assert.EqualError(t, err, "Solid 3 of the stack does not touch the top face of solid 2, below it. Move its outline.")
	assert.True(t, mustSolid(Stack(plinth)).Equal(plinth))
}

// TestStackOverhanging: layers of which none covers the others, which rest on a part of each other's faces.
func TestStackOverhanging(t *testing.T) {
	lower, upper := mustSolid(Extrude(rect(0, 0, 6, 4), 1, Easing{})), mustSolid(Extrude(rect(4, 1, 6, 2), 2, Easing{}))
	s := mustSolid(Stack(lower, upper))
	near(t, 24+24, s.Volume(), 1e-14, "volume")
	near(t, 68+2*12+2*16-2*2*2, s.Surface(), 1e-14, "surface: they touch on 2 by 2")
	foot, err := s.Footprint()
	require.NoError(t, err)
	near(t, 24+12-4, foot.Area(), 1e-14, "footprint")
	w, d, h := s.Box()
	assert.Equal(t, [3]float64{10, 4, 3}, [3]float64{w, d, h})
	// Two discs, one over the other, touch in the lens of published-values.md, section 17.
	discs := mustSolid(Stack(mustSolid(Extrude(must(Circle(1)), 1, Easing{})), mustSolid(Extrude(ring(1, 0, 1), 1, Easing{}))))
	lens := 2*math.Pi/3 - math.Sqrt(3)/2
	near(t, 8*math.Pi-2*lens, discs.Surface(), 1e-14, "discs")
	foot, err = discs.Footprint()
	require.NoError(t, err)
	near(t, 2*math.Pi-lens, foot.Area(), 1e-13, "discs seen from above")
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
		{fail(slab, 0.1, Easing{Roundover: 0.006, Draft: 0.05}), "A round-over of 6 mm is too large for this outline: near (2.92893 mm, 2.92893 mm) an arc of radius 10 mm would turn inside out. The largest that fits is 5.25208 mm."},
		{fail(slab, 0.1, Easing{Roundover: 0.011, Draft: 0.05, Edges: BottomEdges}), "A round-over of 11 mm is too large for this outline: near (2.92893 mm, 2.92893 mm) an arc of radius 10 mm would turn inside out. The largest that fits is 9.5121 mm."},
		{fail(slab, 0.1, Easing{Chamfer: 0.006, Draft: 0.05}), "A chamfer of 6 mm is too large for this outline: near (2.92893 mm, 2.92893 mm) an arc of radius 10 mm would turn inside out. The largest that fits is 4.99583 mm."},
		{fail(slab, 0.1, Easing{Chamfer: 0.001, Draft: 0.8}), "Sides that lean in by 45.8366 deg leave no upper edge for a chamfer of 45 deg. Give a draft below 45 deg, or a round-over."},
		{fail(slab, 0.1, Easing{Roundover: 0.06, Draft: 0.05, Edges: BothEdges}), "A round-over of 60 mm is larger than the height leaves room for: at most 50 mm."},
		{fail(slab, 0.1, Easing{Roundover: 0.001, Draft: 0.1}), "A draft of 5.72958 deg leans the sides in by 10.0335 mm, too far for this outline: near (2.92893 mm, 2.92893 mm) an arc of radius 10 mm would turn inside out. The sides can lean in by at most 10 mm."},
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
