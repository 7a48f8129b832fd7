package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawnUp(o *Outline, h float64) *Solid { return mustSolid(Extrude(o, h, Easing{})) }

func cone(r, h float64) *Solid {
	return mustSolid(Extrude(must(Circle(r)), h, Easing{Draft: math.Atan(r / h)}))
}

func ball(r float64) *Solid {
	return mustSolid(Extrude(must(Circle(r)), 2*r, Easing{Roundover: r, Edges: BothEdges}))
}

// TestTake holds what is left against standard mensuration.
func TestTake(t *testing.T) {
	const pi = math.Pi
	tests := []struct {
		name            string
		from, what      *Solid
		up              float64
		volume, surface float64
		footprint       float64
		box             [3]float64
		z               float64
	}{
		{"cylinder less cylinder", drawnUp(must(Circle(3)), 2), drawnUp(must(Circle(2)), 2), 0, 10 * pi, 30 * pi, 5 * pi, [3]float64{6, 6, 2}, 1},
		{"planter", drawnUp(rect(0, 0, 4, 3), 2), drawnUp(rect(0.5, 0.5, 3, 2), 9), 0.5, 24 - 9, 24 + 28 + 15, 12, [3]float64{4, 3, 2},
			(24 - 9*1.25) / 15},
		{"a notch over a corner", drawnUp(rect(0, 0, 4, 3), 2), drawnUp(rect(3, 2, 3, 3), 1), 1.5, 24 - 0.5, 24 + 28, 12, [3]float64{4, 3, 2},
			(24 - 0.5*1.75) / 23.5},
		{"the upper half", drawnUp(rect(0, 0, 4, 3), 2), drawnUp(rect(-1, -1, 9, 9), 1), 0, 12, 24 + 14, 12, [3]float64{4, 3, 1}, 0.5},
		{"a shelf: the lower part of one side", drawnUp(rect(0, 0, 4, 3), 2), drawnUp(rect(1, -1, 9, 9), 1), 0, 24 - 9, 2*5 + 12*3, 12, [3]float64{4, 3, 2},
			(24 - 9*0.5) / 15},
		{"something beside it", drawnUp(rect(0, 0, 4, 3), 2), drawnUp(rect(4, 0, 1, 1), 2), 0, 24, 24 + 28, 12, [3]float64{4, 3, 2}, 1},
		{"something above it", drawnUp(rect(0, 0, 4, 3), 2), drawnUp(rect(0, 0, 1, 1), 2), 2, 24, 24 + 28, 12, [3]float64{4, 3, 2}, 1},
		{"a slot right through", drawnUp(rect(0, 0, 4, 3), 2), drawnUp(rect(1, -1, 2, 9), 3), -0.5, 12, 2 * (2*3 + 8*2), 6, [3]float64{4, 3, 2}, 1},
		// What is left of a cone of radius 3 and height 4 round a hole of radius 1 ends at 8/3, where the cone is as wide
		// as the hole; below lies a slanted side of 10/3.
		{"drilled cone", cone(3, 4), drawnUp(must(Circle(1)), 9), 0, 12*pi - 8*pi/3 - 4*pi/9, 8*pi + 4*pi*10/3 + 2*pi*8/3, 8 * pi,
			[3]float64{6, 6, 8.0 / 3}, 0.8},
		// The ring that is left of a ball round a hole depends on its height alone: π h³/6, here h = 6; the zone of the
		// ball has the surface 2πRh.
		{"napkin ring", ball(5), drawnUp(must(Circle(4)), 10), 0, 36 * pi, 60*pi + 48*pi, 9 * pi, [3]float64{10, 10, 6}, 3},
		// A cylinder over a radius of a ball as its diameter cuts out 2(3π−4)/9·r³, with 2(π−2)r² of the surface of the
		// ball, and has itself 4r² in it (Viviani 1692).
		{"ball with a hole over its radius", ball(5), drawnUp(ring(2.5, 0, 2.5), 10), 0, 500*pi/3 - 250*(3*pi-4)/9, 100*pi - 50*(pi-2) + 100, 18.75 * pi, [3]float64{10, 10, 10}, 5},
		{"bowl in a block", drawnUp(rect(-5, -5, 10, 10), 5), ball(4), 1, 500 - 128*pi/3, 400 + 16*pi, 100, [3]float64{10, 10, 5},
			(1250 - 128*pi/3*(5-1.5)) / (500 - 128*pi/3)},
		{"an eighth of a ball out of a corner", drawnUp(rect(0, 0, 10, 10), 5), ball(4), -4, 500 - 32*pi/3, 400 - 12*pi + 8*pi, 100, [3]float64{10, 10, 5},
			(1250 - 32*pi/3*1.5) / (500 - 32*pi/3)},
		// A truncated pyramid in a larger one of the same slope: a tapered wall, level edges all the way.
		{"tapered wall", mustSolid(Extrude(rect(0, 0, 4, 4), 3, Easing{Draft: math.Atan(1.0 / 3)})), mustSolid(Extrude(rect(1, 1, 2, 2), 3, Easing{Draft: math.Atan(1.0 / 6)})), 0,
			3.0/3*(16+4+8) - 3.0/3*(4+1+2), 16 - 4 + 4 - 1 + 4*3*math.Sqrt(10) + 4*1.5*math.Sqrt(9.25), 15, [3]float64{4, 4, 3},
			// ∫z(4−2z/3)² − ∫z(2−z/3)² over 0…3
			(72 - 48 + 9 - 18 + 12 - 2.25) / 21},
		{"half of a frustum", mustSolid(Extrude(rect(0, 0, 4, 4), 1, Easing{Draft: pi / 4})), drawnUp(rect(2, -1, 9, 9), 1), 0, (16 + 4 + 8) / 6.0,
			8 + 2 + 3*math.Sqrt2/2*2*1 + 3*math.Sqrt2 + 3, 8, [3]float64{2, 4, 1}, math.NaN()},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			s, err := Take(c.from, c.what, c.up)
			require.NoError(t, err)
			near(t, c.volume, s.Volume(), 1e-12, "volume")
			near(t, c.surface, s.Surface(), 1e-12, "surface")
			foot, err := s.Footprint()
			require.NoError(t, err)
			near(t, c.footprint, foot.Area(), 1e-12, "footprint")
			w, d, h := s.Box()
			for i, got := range []float64{w, d, h} {
				near(t, c.box[i], got, 1e-12, "box")
			}
			if _, _, z := s.CentreOfGravity(); !math.IsNaN(c.z) {
				near(t, c.z, z, 1e-12, "height of the centre of gravity")
			}
		})
	}
}

// TestTakeTangent: what a round takes off a plain solid of the same outline. Near its beginning the round lies so near the
// side that the outlines are one to the kernel; what is left has both for its surface all the same.
func TestTakeTangent(t *testing.T) {
	const pi, r, h = math.Pi, 0.5, 2.0
	quarter, in := pi*r/2, (10-3*math.Pi)/(12-3*math.Pi)*r
	for name, c := range map[string]struct {
		o               *Outline
		volume, surface float64
	}{
		// Pappus: published-values.md, section 17, for the area, and 2r/π from the centre of the arc for its length.
		"disc": {must(Circle(3)), 2 * pi * (3 - in) * (1 - pi/4) * r * r, 2*pi*(2.5+2*r/pi)*quarter + 6*pi*r + pi*(9-6.25)},
		"slab": {must(Rectangle(6, 4, 0)), (1-pi/4)*r*r*20 - 4*(5.0/3-pi/2)*r*r*r, r*(20*pi/2-8*r*(pi/2-1)) + 20*r + 24 - 15},
	} {
		s, err := Take(drawnUp(c.o, h), mustSolid(Extrude(c.o, h, Easing{Roundover: r})), 0)
		require.NoError(t, err)
		near(t, c.volume, s.Volume(), 1e-12, name)
		near(t, c.surface, s.Surface(), 1e-12, name)
		near(t, r, s.Height(), 1e-12, name)
	}
}

// TestTakeFlush: with a piece of the same draft taken from one end of a leaning slab, flush on three leaning sides.
func TestTakeFlush(t *testing.T) {
	e := Easing{Draft: math.Pi / 4}
	slab, end := mustSolid(Extrude(rect(0, 0, 8, 4), 1, e)), mustSolid(Extrude(rect(4, 0, 4, 4), 1, e))
	s, err := Take(slab, end, 0)
	require.NoError(t, err)
	near(t, slab.Volume()-end.Volume(), s.Volume(), 1e-13, "volume")
	// A slope of 45° towards the end stands over x = 4, and a slope of the end piece, upside down, ends there.
	near(t, 8*4-16+(6*2-4)+3*math.Sqrt2+2*4*math.Sqrt2+3*math.Sqrt2, s.Surface(), 1e-13, "surface")
}

// lens is the area that two discs at a distance have in common (published-values.md, section 17).
func lens(r, q, d float64) float64 {
	switch {
	case d >= r+q:
		return 0
	case d <= math.Abs(r-q):
		return math.Pi * math.Pow(math.Min(r, q), 2)
	}
	return r*r*math.Acos((d*d+r*r-q*q)/(2*d*r)) + q*q*math.Acos((d*d+q*q-r*r)/(2*d*q)) -
		math.Sqrt((-d+r+q)*(d+r-q)*(d-r+q)*(d+r+q))/2
}

// piecewise integrates between cuts by Simpson's rule, the variable running so that roots at the cuts vanish.
func piecewise(f func(float64) float64, cuts ...float64) float64 {
	sum := 0.0
	for i := range len(cuts) - 1 {
		half := (cuts[i+1] - cuts[i]) / 2
		sum += simpson(0, math.Pi, 2000, func(a float64) float64 {
			return f(cuts[i]+half*(1-math.Cos(a))) * half * math.Sin(a)
		})
	}
	return sum
}

// TestTakeLeaning: round solids whose sections cross each other, by Simpson's rule over the lens of their sections.
func TestTakeLeaning(t *testing.T) {
	const d = 2.0
	moved := func(s *Solid) *Solid { return mustSolid(Extrude(ring(d, 0, 3), 4, s.parts[0].(layer).easing)) }
	cone, dome := cone(3, 4), mustSolid(Extrude(must(Circle(3)), 4, Easing{Roundover: 3}))
	torus := mustSolid(Revolve(ring(5, 0, 2), 2*math.Pi))
	coneR := func(z float64) float64 { return 3 - 0.75*z }
	domeR := func(z float64) float64 { return math.Sqrt(9 - math.Pow(math.Max(z-1, 0), 2)) }
	// Where the dome and the cone part.
	apart := 3.5
	for range 60 { // Newton's method, the slope by a difference
		f := func(z float64) float64 { return domeR(z) + coneR(z) - d }
		apart -= f(apart) * 1e-6 / (f(apart+1e-6) - f(apart))
	}
	tests := []struct {
		name       string
		from, what *Solid
		common     func(z float64) float64
		cuts       []float64
	}{
		{"cone and cone", cone, moved(cone), func(z float64) float64 { return lens(coneR(z), coneR(z), d) }, []float64{0, 8.0 / 3}},
		{"dome and dome", dome, moved(dome), func(z float64) float64 { return lens(domeR(z), domeR(z), d) }, []float64{0, 1, 1 + math.Sqrt(8)}},
		{"dome and cone", dome, moved(cone), func(z float64) float64 { return lens(domeR(z), coneR(z), d) }, []float64{0, 1, apart}},
		{"cone and a hole off its axis", cone, drawnUp(ring(d, 0, 1.5), 9), func(z float64) float64 { return lens(coneR(z), 1.5, d) }, []float64{0, 10.0 / 3}},
		// A ring of the torus is the difference of two discs; the tube is as wide as the hole where half its width is 1.5.
		{"torus and a hole through its tube", torus, drawnUp(ring(5, 0, 1.5), 9), func(z float64) float64 {
			half := math.Sqrt(4 - (z-2)*(z-2))
			return lens(5+half, 1.5, 5) - lens(5-half, 1.5, 5)
		}, []float64{0, 2 - math.Sqrt(1.75), 2 + math.Sqrt(1.75), 4}},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			s, err := Take(c.from, c.what, 0)
			require.NoError(t, err)
			near(t, c.from.Volume()-piecewise(c.common, c.cuts...), s.Volume(), 1e-11, "volume")
		})
	}
}

// TestTakeFootprint: where leaning sides are taken from leaning sides the edge of the footprint may be no line or arc. It
// is refused where it is asked for; the box is known. Two cones alike, side by side: what is left lies nearer to the axis
// of the first, from x = −3 to 1, and y reaches to 3.
func TestTakeFootprint(t *testing.T) {
	a, b := cone(3, 4), mustSolid(Extrude(ring(2, 0, 3), 4, Easing{Draft: math.Atan(0.75)}))
	s := mustSolid(Take(a, b, 0))
	_, err := s.Footprint()
	assert.EqualError(t, err, "The footprint cannot be told near (1000 mm, 0 mm): there leaning sides were taken from leaning sides, and its edge need not be made of lines and arcs.")
	w, d, h := s.Box()
	near(t, 4, w, 1e-9, "width")
	near(t, 6, d, 1e-9, "depth")
	near(t, 4, h, 1e-12, "height")
	assert.NotEmpty(t, s.Drawn())
	// On a plinth that reaches further it is known again.
	plinth := drawnUp(rect(-5, -5, 10, 10), 1)
	foot, err := mustSolid(Stack(plinth, s)).Footprint()
	require.NoError(t, err)
	near(t, 100, foot.Area(), 1e-14, "plinth")
}

// TestTakeTwice: what is common to two solids is what is left of the first when what is left of it is taken from it; and
// holes taken one after another, or at once as a stack, come to the same.
func TestTakeTwice(t *testing.T) {
	block := drawnUp(rect(0, 0, 8, 6), 4)
	bite := mustSolid(Revolve(must(Cut(ring(0, 3, 2.5), rect(-9, -9, 9, 30))), 2*math.Pi))
	left := mustSolid(Take(block, bite, 1))
	common := mustSolid(Take(block, left, 0))
	near(t, block.Volume(), left.Volume()+common.Volume(), 1e-12, "volume")
	// A quarter of the ball in the corner, cut off at the top.
	near(t, math.Pi/4*(2.5*2.5*2.5*2/3+2.5*2.5*0.5-0.125/3), common.Volume(), 1e-12, "common")
	one, two := drawnUp(rect(2, 2, 2, 2), 1), drawnUp(rect(2.5, 2, 2, 2), 1)
	after := mustSolid(Take(mustSolid(Take(block, one, 1)), two, 2))
	once := mustSolid(Take(block, mustSolid(Stack(one, two)), 1))
	near(t, once.Volume(), after.Volume(), 1e-13, "volume")
	near(t, once.Surface(), after.Surface(), 1e-13, "surface")
	near(t, 208+2*16-2*3, once.Surface(), 1e-13, "two chambers that open into each other on 1.5 by 2")
	drilled := mustSolid(Take(mustSolid(Take(cone(3, 4), drawnUp(must(Circle(1)), 9), 0)), drawnUp(must(Circle(2)), 9), 0))
	assert.True(t, drilled.Equal(mustSolid(Take(mustSolid(Take(cone(3, 4), drawnUp(must(Circle(1)), 9), 0)), drawnUp(must(Circle(2)), 9), 0))))
	near(t, 4*math.Pi/3*(9+6+4)/3-4*math.Pi*4/3, drilled.Volume(), 1e-12, "a wider hole takes all of the narrower one")
	near(t, 5*math.Pi+5*math.Pi*5/3+4*math.Pi*4/3, drilled.Surface(), 1e-12, "and its surface")
}

// TestTakeTurned: two solids of revolution are one profile less the other.
func TestTakeTurned(t *testing.T) {
	const full = 2 * math.Pi
	outside := mustSolid(Revolve(halfDisc(5), full))
	s := mustSolid(Take(outside, mustSolid(Revolve(halfDisc(4), full)), 1))
	near(t, math.Pi*4/3*(125-64), s.Volume(), 1e-13, "hollow ball")
	near(t, math.Pi*4*(25+16), s.Surface(), 1e-13, "both spheres")
	_, err := Take(outside, mustSolid(Revolve(halfDisc(6), full)), -1)
	assert.EqualError(t, err, "Nothing is left of the solid.")
	_, err = Take(outside, drawnUp(must(Circle(6)), 10), 0)
	assert.EqualError(t, err, "Nothing is left of the solid.")
	star := mustSolid(Extrude(jagged(400), 1, Easing{Roundover: 0.0005}))
	_, err = Take(star, cone(1, 3), 0.5)
	assert.EqualError(t, err, "Between the heights of 500 mm and 999.5 mm: The leaning or eased sides of the solids cross each other too often to be worked out. Simplify their outlines.")
	_, err = Take(outside, outside, math.NaN())
	assert.EqualError(t, err, "A solid can be lifted only by a length that can be worked with; NaN mm was given.")
}

// anySolid draws a solid of any kind about somewhere.
func anySolid(t *rapid.T, name string) *Solid {
	n := func(lo, hi int, what string) float64 {
		return float64(rapid.IntRange(lo, hi).Draw(t, name+" "+what)) / 4
	}
	kind := rapid.IntRange(0, 4).Draw(t, name+" kind")
	o, h := drawAny(t, name), n(1, 8, "height")
	e := Easing{Edges: rapid.SampledFrom([]string{TopEdges, BottomEdges, BothEdges}).Draw(t, name+" edges")}
	switch kind {
	case 1:
		e.Roundover = n(1, 4, "round") / 8
	case 2:
		e.Chamfer = n(1, 4, "chamfer") / 8
	case 3:
		e.Draft = n(1, 4, "draft") / 8
	case 4:
		right := must(Overlap(o, rect(0, -20, 40, 40)))
		if !right.IsEmpty() {
			return mustSolid(Revolve(right, rapid.SampledFrom([]float64{math.Pi / 2, 4, 2 * math.Pi}).Draw(t, name+" angle")))
		}
	}
	if s, err := Extrude(o, h, e); err == nil {
		return s
	}
	return mustSolid(Extrude(o, h, Easing{}))
}

// bySections works out volume and surface from the sections alone, by the midpoint rule: the surface are the sides, and the
// level faces where the sections jump.
func bySections(t require.TestingT, s *Solid) (volume, surface float64) {
	const steps = 40
	for i, b := range s.bands {
		for k := range steps {
			h, dz := b.along((float64(k) + 0.5) / steps * math.Pi)
			dz *= math.Pi / steps
			cut, err := b.section(h)
			require.NoError(t, err)
			volume += cut.outline.Area() * dz
			for _, loop := range cut.outline.loops {
				for _, e := range loop {
					surface += e.Length() * cut.slope(e.At(0.37)) * dz
				}
			}
		}
		var before *band
		if i > 0 {
			before = &s.bands[i-1]
		}
		if before != nil && before.to < b.from-1e-9 { // they stand apart
			surface += before.upper.Area() + b.lower.Area()
			continue
		}
		faces, err := stepped(before, &b)
		require.NoError(t, err)
		surface += faces
	}
	return volume, surface + s.top.Area()
}

// TestTakeAddsUp: what is taken and what is left make up the solid, and the sections of what is left say the same as its
// volume and surface, roughly but by another way.
func TestTakeAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySolid(t, "a"), anySolid(t, "b")
		up := float64(rapid.IntRange(-4, 6).Draw(t, "up")) / 4
		left, err := Take(a, b, up)
		if err == errNothingLeft {
			return
		}
		require.NoError(t, err)
		require.Less(t, left.Volume(), a.Volume()*(1+1e-12))
		volume, surface := bySections(t, left)
		require.InDelta(t, left.Volume(), volume, 1e-3*a.Volume())
		require.InDelta(t, left.Surface(), surface, 2e-3*(a.Surface()+b.Surface()))
		w, d, h := left.Box()
		x, y, z := a.Box()
		require.True(t, w <= x*(1+1e-9) && d <= y*(1+1e-9) && h <= z*(1+1e-9), "within the box of the first")
		if left.Bottom().IsEmpty() || math.Abs(h-z) > 1e-12 || len(left.bands) > 2 {
			return // it may have been set down, or there is too much of it
		}
		common, err := Take(a, left, 0)
		if err == errNothingLeft {
			return
		}
		require.NoError(t, err)
		require.InDelta(t, a.Volume(), left.Volume()+common.Volume(), 1e-9*a.Volume())
	})
}
