package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
)

// halfDisc is a half disc to the right of the axis, standing on the ground.
func halfDisc(r float64) *Outline {
	return must(Move(must(Turn(must(Sector(0, r, math.Pi)), -math.Pi/2, value.Place{})), 0, r))
}

func ring(x, y, r float64) *Outline { return must(Move(must(Circle(r)), x, y)) }

func rect(x, y, w, d float64) *Outline { return must(Move(must(Rectangle(w, d, 0)), x, y)) }

// TestRevolve holds solids of revolution against standard mensuration (published-values.md, section 17; centres of gravity
// from any engineering handbook).
func TestRevolve(t *testing.T) {
	const pi, full = math.Pi, 2 * math.Pi
	triangle := must(Polygon([]value.Place{pt(0, 0), pt(3, 0), pt(0, 4)}))
	// A cap of height 30 of a ball of radius 100: half the segment, its chord on the ground.
	segment := must(Segment(100, 30))
	half := must(Cut(segment, rect(-200, -100, 200, 300)))
	tests := []struct {
		name            string
		profile         *Outline
		angle           float64
		volume, surface float64
		x, y, z         float64
		box             [3]float64
	}{
		{"cylinder", rect(0, 0, 3, 2), full, 18 * pi, 18*pi + 12*pi, 0, 0, 1, [3]float64{6, 6, 2}},
		{"tube", rect(1, 5, 1, 3), full, 9 * pi, 6*pi + 18*pi, 0, 0, 1.5, [3]float64{4, 4, 3}},
		{"cone", triangle, full, 12 * pi, 9*pi + 15*pi, 0, 0, 1, [3]float64{6, 6, 4}},
		{"cone frustum", must(Polygon([]value.Place{pt(0, 0), pt(30, 0), pt(20, 40), pt(0, 40)})), full, pi * 40 / 3 * (900 + 600 + 400),
			1300*pi + pi*50*math.Sqrt(1700), 0, 0, 40.0 / 4 * (900 + 2*600 + 3*400) / (900 + 600 + 400), [3]float64{60, 60, 40}},
		{"ball", halfDisc(5), full, 500 * pi / 3, 100 * pi, 0, 0, 5, [3]float64{10, 10, 10}},
		{"spherical cap", half, full, pi * 900 * 270 / 3, full*100*30 + pi*(2*100*30-900), 0, 0, 3.0/4*math.Pow(170, 2)/270 - 70, [3]float64{2 * math.Sqrt(5100), 2 * math.Sqrt(5100), 30}},
		{"torus", ring(50, 0, 10), full, 2 * pi * pi * 50 * 100, 4 * pi * pi * 500, 0, 0, 10, [3]float64{120, 120, 20}},
		{"hollow ball", must(Cut(halfDisc(2), must(Move(halfDisc(1), 0, 1)))), full, pi * 4 / 3 * 7, 4 * pi * 5, 0, 0, 2, [3]float64{4, 4, 4}},
		{"quarter of a cylinder", rect(0, 0, 3, 2), pi / 2, 18 * pi / 4, 18*pi/4 + 12*pi/4 + 12, 4 / pi, 4 / pi, 1, [3]float64{3, 3, 2}},
		{"half a ball", halfDisc(4), pi, 128 * pi / 3, 32*pi + 16*pi, 0, 1.5, 4, [3]float64{8, 4, 8}},
		{"three quarters of a torus", ring(50, 0, 10), 3 * pi / 2, 1.5 * pi * pi * 50 * 100, 3*pi*pi*500 + 200*pi,
			-(2500 + 25.0) / 50 / (1.5 * pi), (2500 + 25.0) / 50 / (1.5 * pi), 10, [3]float64{120, 120, 20}},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			s, err := Revolve(c.profile, c.angle)
			require.NoError(t, err)
			near(t, c.volume, s.Volume(), 1e-12, "volume")
			near(t, c.surface, s.Surface(), 1e-12, "surface")
			x, y, z := s.CentreOfGravity()
			near(t, c.x, x, 1e-12, "x")
			near(t, c.y, y, 1e-12, "y")
			near(t, c.z, z, 1e-12, "z")
			w, d, h := s.Box()
			for i, got := range []float64{w, d, h} {
				near(t, c.box[i], got, 1e-12, "box")
			}
			// The sections add up to the volume: by a rule that the package does not use, cut where they change.
			sum := 0.0
			for _, b := range s.bands {
				half := (b.to - b.from) / 2
				sum += simpson(0, math.Pi, 400, func(turn float64) float64 {
					o, err := b.level(b.from+half*(1-math.Cos(turn)), 0)
					require.NoError(t, err)
					return o.Area() * half * math.Sin(turn)
				})
			}
			near(t, c.volume, sum, 1e-9, "sections")
		})
	}
	assert.InDelta(t, 98696.044, mustSolid(Revolve(ring(50, 0, 10), full)).Volume(), 5e-4, "torus, as printed")
	assert.InDelta(t, 254469.005, mustSolid(Revolve(half, full)).Volume(), 5e-4, "cap, as printed")
	assert.InDelta(t, 79587.014, mustSolid(Revolve(tests[3].profile, full)).Volume(), 5e-4, "frustum, as printed")
}

// TestRevolvedFaces: flat faces for a stack, and the footprint.
func TestRevolvedFaces(t *testing.T) {
	const full = 2 * math.Pi
	bowl := mustSolid(Revolve(must(Polygon([]value.Place{pt(0, 0), pt(2, 0), pt(5, 3), pt(4, 3), pt(2, 1), pt(0, 1)})), full))
	near(t, 4*math.Pi, bowl.Bottom().Area(), 1e-14, "bottom")
	near(t, 9*math.Pi, bowl.Top().Area(), 1e-14, "top: a ring")
	assert.Equal(t, 1, bowl.Top().Holes())
	foot, err := bowl.Footprint()
	require.NoError(t, err)
	near(t, 25*math.Pi, foot.Area(), 1e-14, "footprint")
	lid := mustSolid(Extrude(must(Circle(6)), 1, Easing{}))
	s := mustSolid(Stack(bowl, lid))
	near(t, bowl.Volume()+36*math.Pi, s.Volume(), 1e-14, "volume")
	near(t, bowl.Surface()+lid.Surface()-18*math.Pi, s.Surface(), 1e-14, "the lid rests on the rim")
	// Two rings side by side, the outer one higher; a half turn of them.
	two := mustSolid(Revolve(newOutline([][]Edge{rect(1, 0, 1, 2).loops[0], rect(4, 0, 1, 3).loops[0]}), math.Pi))
	foot, err = two.Footprint()
	require.NoError(t, err)
	near(t, 6*math.Pi, foot.Area(), 1e-14, "two half rings")
	assert.Equal(t, 2, foot.Pieces())
	near(t, 4.5*math.Pi, two.Top().Area(), 1e-14, "the outer one is higher")
	w, d, h := two.Box()
	assert.Equal(t, [3]float64{10, 5, 3}, [3]float64{w, d, h})
	assert.True(t, mustSolid(Revolve(halfDisc(5), full)).Bottom().IsEmpty(), "a ball stands on a point")
	// The same on another level stands on the ground all the same.
	up := mustSolid(Revolve(must(Move(must(Rectangle(3, 2, 0)), 0, 7)), full))
	assert.True(t, up.Equal(mustSolid(Revolve(must(Rectangle(3, 2, 0)), full))))
	assert.False(t, up.Equal(mustSolid(Revolve(must(Rectangle(3, 2, 0)), 1))))
	assert.False(t, up.Equal(mustSolid(Extrude(must(Circle(3)), 2, Easing{}))))
}

func TestRefusedProfiles(t *testing.T) {
	fail := func(o *Outline, angle float64) error { _, err := Revolve(o, angle); return err }
	const full = 2 * math.Pi
	tests := []struct {
		err  error
		want string
	}{
		{fail(Empty(), full), "An empty profile cannot be revolved: it has no area."},
		{fail(rect(1, 0, 1, 1), 0), "A profile is revolved by an angle above 0 deg and up to 360 deg; 0 deg was given."},
		{fail(rect(1, 0, 1, 1), 7), "A profile is revolved by an angle above 0 deg and up to 360 deg; 401.07 deg was given."},
		{fail(rect(1, 0, 1, 1), math.NaN()), "A profile is revolved by an angle above 0 deg and up to 360 deg; NaN deg was given."},
		{fail(rect(-0.1, 0, 1, 1), full), "The profile crosses the axis, x = 0 mm, at (0 mm, 0 mm) and reaches to x = -100 mm. Move it to the right, or cut off what lies to the left."},
		{fail(must(Move(must(Circle(2)), 1, 0)), full), "The profile crosses the axis, x = 0 mm, at (0 mm, 1732.05 mm) and reaches to x = -1000 mm. Move it to the right, or cut off what lies to the left."},
		{fail(rect(-2, 0, 1, 1), full), "The profile lies to the left of the axis, x = 0 mm, down to x = -2000 mm. Mirror it, or move it to the right."},
		{fail(newOutline([][]Edge{rect(-2, 0, 1, 1).loops[0], rect(2, 0, 1, 1).loops[0]}), full),
			"The profile reaches beyond the axis, x = 0 mm, to x = -2000 mm. Move it to the right, or cut off what lies to the left."},
	}
	for _, c := range tests {
		assert.EqualError(t, c.err, c.want)
	}
}
