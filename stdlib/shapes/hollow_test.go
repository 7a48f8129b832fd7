package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
)

func cutFrustum(h, a, b float64) float64 { return h / 3 * (a*a + a*b + b*b) }

// TestHollow holds vessels against standard mensuration: what is inside, and the surface.
func TestHollow(t *testing.T) {
	const pi, full = math.Pi, 2 * math.Pi
	turned := func(o *Outline, err error) *Solid { return mustSolid(Revolve(must(o, err), full)) }
	// A bowl of a quarter disc of radius 5: at the depth u below its rim the inside is √(25 − u²) − 1 wide, down to
	// u = √24, where that is nothing. ∫(25 − u²) − 2√(25 − u²) + 1 du.
	u := math.Sqrt(24)
	bowl := pi * (25*u - u*u*u/3 - (u + 25*math.Asin(u/5)) + u)
	tests := []struct {
		name            string
		solid           *Solid
		wall, base      float64
		inside, surface float64
		rim, floor      float64 // the areas of the top face and of the bottom face
	}{
		{"planter", drawnUp(rect(0, 0, 6, 4), 3), 0.5, 1, 5 * 3 * 2, 48 + 60 + 16*2, 9, 24},
		{"sleeve", drawnUp(rect(0, 0, 6, 4), 3), 0.5, 0, 5 * 3 * 3, 2*9 + 60 + 16*3, 9, 9},
		{"pot", drawnUp(must(Circle(3)), 4), 1, 0.5, pi * 4 * 3.5, 18*pi + 24*pi + 4*pi*3.5, 5 * pi, 9 * pi},
		{"trough round a middle", drawnUp(must(Annulus(1, 4)), 2), 0.5, 0.5, pi * (3.5*3.5 - 1.5*1.5) * 1.5, 2*15*pi + 10*pi*2 + 10*pi*1.5, 5 * pi, 15 * pi},
		// Sides that lean in by 1 over 3: the wall stays 0.5 thick, measured level.
		{"leaning planter", mustSolid(Extrude(rect(0, 0, 6, 6), 3, Easing{Draft: math.Atan(1.0 / 3)})), 0.5, 1.5, cutFrustum(1.5, 4, 3),
			36 + 4*5*math.Sqrt(10) + 16 - 9 + 4*3.5*math.Sqrt(2.5) + 16, 16 - 9, 36},
		// Edges rounded on the outside only; the round takes (1 − π/4)·0.25·(2π·(3 − 0.2233679·0.5)) off.
		{"pot with a round rim", mustSolid(Extrude(must(Circle(3)), 4, Easing{Roundover: 0.5})), 1, 0.5, pi * 4 * 3.5,
			pi*9 + 6*pi*3.5 + pi*pi*(2.5+0.5*2/pi)*0.5 + pi*(6.25-4) + 4*pi*3.5 + 4*pi, pi * (6.25 - 4), 9 * pi},
		{"pot with a sharp rim", mustSolid(Extrude(must(Circle(3)), 4, Easing{Chamfer: 1})), 1, 0.5, pi * 4 * 3.5,
			pi*9 + 6*pi*3 + 5*pi*math.Sqrt2 + 4*pi*3.5 + 4*pi, 0, 9 * pi},
		{"turned pot", turned(Polygon([]value.Place{pt(0, 0), pt(2, 0), pt(3, 4), pt(0, 4)})), 0.5, 1, pi * cutFrustum(3, 1.75, 2.5),
			4*pi + 5*pi*math.Sqrt(17) + pi*(9-6.25) + pi*4.25*math.Sqrt(9+0.5625) + pi*1.75*1.75, pi * 2.75, 4 * pi},
		{"turned ring", turned(rect(1, 0, 3, 2), nil), 0.5, 0.5, pi * (3.5*3.5 - 1.5*1.5) * 1.5, 2*15*pi + 10*pi*2 + 10*pi*1.5, 5 * pi, 15 * pi},
		{"bowl", turned(Cut(halfDisc(5), rect(-1, 5, 9, 9))), 1, 0, bowl, math.NaN(), 9 * pi, 0},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			s, err := Hollow(c.solid, c.wall, c.base)
			require.NoError(t, err)
			in, err := s.Inside()
			require.NoError(t, err)
			near(t, c.inside, in.Volume(), 1e-12, "inside")
			near(t, c.solid.Volume(), s.Volume()+in.Volume(), 1e-13, "both together")
			if !math.IsNaN(c.surface) {
				near(t, c.surface, s.Surface(), 1e-12, "surface")
			}
			near(t, c.rim, s.Top().Area(), 1e-12, "rim")
			near(t, c.floor, s.Bottom().Area(), 1e-12, "floor")
			w, d, h := s.Box()
			x, y, z := c.solid.Box()
			assert.InDeltaSlice(t, []float64{x, y, z}, []float64{w, d, h}, 1e-13, "box")
			// The moments add up: the inside stands with its top at the top.
			_, _, all := c.solid.CentreOfGravity()
			_, _, low := in.CentreOfGravity()
			_, _, got := s.CentreOfGravity()
			near(t, (all*c.solid.Volume()-(low+h-in.Height())*in.Volume())/s.Volume(), got, 1e-12, "height of the centre of gravity")
			again, err := Hollow(c.solid, c.wall, c.base)
			require.NoError(t, err)
			assert.True(t, s.Equal(again))
			assert.False(t, s.Equal(c.solid))
		})
	}
}

// TestHollowIsTaken: what hollow makes is the solid less its inside, lifted.
func TestHollowIsTaken(t *testing.T) {
	for name, s := range map[string]*Solid{
		"round rim":   mustSolid(Extrude(must(Rectangle(6, 4, 1)), 3, Easing{Roundover: 0.4, Edges: BothEdges})),
		"leaning":     mustSolid(Extrude(must(Sector(2, 9, 1)), 1, Easing{Draft: 0.1})),
		"both":        mustSolid(Extrude(must(Rectangle(6, 4, 0)), 3, Easing{Draft: 0.1, Roundover: 0.4, Edges: BothEdges})),
		"torn in two": mustSolid(Extrude(must(Join(rect(0, 0, 4, 4), rect(4, 1.5, 2, 1), rect(6, 0, 4, 4))), 3, Easing{})),
		"turned":      mustSolid(Revolve(must(Polygon([]value.Place{pt(1, 0), pt(6, 0), pt(7, 4), pt(2, 4)})), 2*math.Pi)),
	} {
		t.Run(name, func(t *testing.T) {
			vessel, err := Hollow(s, 0.7, 0.3)
			require.NoError(t, err)
			in, err := vessel.Inside()
			require.NoError(t, err)
			taken, err := Take(s, in, 0.3)
			require.NoError(t, err)
			near(t, taken.Volume(), vessel.Volume(), 1e-12, "volume")
			near(t, taken.Surface(), vessel.Surface(), 1e-12, "surface")
			x, y, z := taken.CentreOfGravity()
			a, b, c := vessel.CentreOfGravity()
			assert.InDeltaSlice(t, []float64{x, y, z}, []float64{a, b, c}, 1e-12, "centre of gravity")
			want, err := taken.Footprint()
			require.NoError(t, err)
			got, err := vessel.Footprint()
			require.NoError(t, err)
			near(t, want.Area(), got.Area(), 1e-13, "footprint")
			// On a plinth, with soil in it up to the brim.
			plinth := drawnUp(rect(-10, -10, 20, 20), 1)
			both, err := Stack(plinth, vessel)
			require.NoError(t, err)
			near(t, 400+s.Volume()-in.Volume(), both.Volume(), 1e-13, "plinth")
			_, err = both.Inside()
			assert.EqualError(t, err, "The solid has no inside: only what hollow makes has one. Ask the hollow part of a stack by itself.")
		})
	}
}

func TestRefusedHollows(t *testing.T) {
	fail := func(s *Solid, wall, base float64) error { _, err := Hollow(s, wall, base); return err }
	slab := drawnUp(must(Rectangle(0.6, 0.4, 0)), 0.3)
	eased := mustSolid(Extrude(must(Rectangle(0.6, 0.4, 0)), 0.3, Easing{Roundover: 0.02, Edges: BothEdges}))
	leaning := mustSolid(Extrude(must(Rectangle(0.6, 0.4, 0)), 0.3, Easing{Draft: math.Atan(0.1)}))
	ball := mustSolid(Revolve(halfDisc(0.2), 2*math.Pi))
	turned := mustSolid(Revolve(rect(0, 0, 0.3, 0.2), 2*math.Pi))
	tests := []struct {
		err  error
		want string
	}{
		{fail(slab, 0, 0), "A hollow solid needs a wall above 0; 0 mm was given."},
		{fail(slab, 0.02, -0.01), "The base of a hollow solid is 0 or more; -10 mm was given."},
		{fail(slab, 0.02, 0.3), "A base of 300 mm leaves no room inside a solid 300 mm high."},
		{fail(slab, 0.25, 0.05), "A wall of 250 mm leaves nothing inside. It must be thinner than 200 mm."},
		{fail(turned, 0.4, 0.05), "A wall of 400 mm leaves nothing inside. It must be thinner than 300 mm."},
		{fail(leaning, 0.18, 0.05), "A wall of 180 mm is too thick: near (600 mm, 200 mm) an edge would vanish. The most that fits is 170 mm."},
		{fail(eased, 0.015, 0.05), "The round-over of 20 mm leaves nothing of a wall of 15 mm: it stands in by 20 mm at the height of 300 mm. Give a thicker wall or a smaller round-over."},
		{fail(mustSolid(Extrude(must(Rectangle(0.6, 0.4, 0)), 0.3, Easing{Roundover: 0.02, Edges: BottomEdges})), 0.013, 0.001),
			"The round-over of 20 mm leaves nothing of a wall of 13 mm: it stands in by 13.755 mm at the height of 1 mm. Give a thicker wall or a smaller round-over."},
		{fail(ball, 0.03, 0.05), "With a wall of 30 mm the solid closes over its inside, which ends at the height of 397.737 mm: a vessel is open above. Give a thinner wall, or cut off its top."},
		{fail(mustSolid(Revolve(rect(0, 0, 0.3, 0.2), 1)), 0.03, 0.05), "Only a full turn can be hollowed: the ends of a part turn would be open. Draw its profile with the wall, or take an inside of your own from it."},
		{fail(mustSolid(Stack(slab, slab)), 0.03, 0.05), "Only an extruded or a revolved solid can be hollowed. Hollow the parts of a stack one by one and stack them, or take an inside of your own from it: take(solid, inside, up: base)."},
	}
	for _, c := range tests {
		assert.EqualError(t, c.err, c.want)
	}
	_, err := slab.Inside()
	assert.EqualError(t, err, "The solid has no inside: only what hollow makes has one. Ask the hollow part of a stack by itself.")
	// The round of the lower edge may reach further in than the wall where the base is higher.
	require.NoError(t, fail(mustSolid(Extrude(must(Rectangle(0.6, 0.4, 0)), 0.3, Easing{Roundover: 0.02, Edges: BottomEdges})), 0.015, 0.02))
}
