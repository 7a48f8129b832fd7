package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFronts: the silhouette from the front has the area of the figure that a solid shows from there.
func TestFronts(t *testing.T) {
	const pi, full = math.Pi, 2 * math.Pi
	hollow := mustSolid(Hollow(drawnUp(must(Circle(3)), 4), 1, 0.5))
	tests := []struct {
		name  string
		solid *Solid
		area  float64
		share float64 // of it that drawing by pieces may cost
	}{
		{"block", drawnUp(rect(0, 0, 6, 4), 2), 12, 1e-14},
		{"round edges", mustSolid(Extrude(rect(0, 0, 6, 4), 2, Easing{Roundover: 0.5, Edges: BothEdges})), 12 - (4-pi)*0.25, 1e-14},
		{"chamfer below", mustSolid(Extrude(rect(0, 0, 6, 4), 2, Easing{Chamfer: 0.5, Edges: BottomEdges})), 12 - 0.25, 1e-14},
		{"leaning", mustSolid(Extrude(rect(0, 0, 6, 4), 3, Easing{Draft: math.Atan(1.0 / 3)})), 15, 1e-14},
		{"cone", cone(3, 4), 12, 1e-5},
		{"stack", mustSolid(Stack(drawnUp(rect(0, 0, 6, 4), 1), drawnUp(rect(4, 1, 6, 2), 2))), 6 + 12, 1e-14},
		{"pot", hollow, 24, 1e-14},
		{"ball", mustSolid(Revolve(halfDisc(5), full)), 25 * pi, 1e-9},
		{"torus", mustSolid(Revolve(ring(50, 0, 10), full)), 2000 + 100*pi, 1e-9},
		{"half a turn", mustSolid(Revolve(rect(1, 0, 1, 3), pi)), 12, 1e-14},
		// Of a quarter of a ball the round side is seen, and that of the axis.
		{"quarter of a ball", mustSolid(Revolve(halfDisc(4), pi/2)), 8 * pi, 2e-2},
		{"napkin ring", mustSolid(Take(ball(5), drawnUp(must(Circle(4)), 10), 0)), 2 * (25*math.Asin(0.6) + 12), 1e-2},
		{"notched", mustSolid(Take(drawnUp(rect(0, 0, 4, 3), 2), drawnUp(rect(3, -1, 3, 9), 1), 1)), 7, 1e-14},
	}
	for _, c := range tests {
		near(t, c.area, silhouette(t, c.solid).Area(), c.share, c.name)
	}
	assert.Nil(t, hollow.Layers(), "a pot is no stack of layers")
	assert.Len(t, tests[5].solid.Layers(), 2)
	foot, err := hollow.Footprint()
	require.NoError(t, err)
	assert.Equal(t, foot.Drawn(), hollow.Drawn())
}

// TestIntegrals: a jump and a root are found and worked out; what never settles is refused.
func TestIntegrals(t *testing.T) {
	got, err := integrate(0, 3, sums{3, 3, 3, 3, 3}, func(x float64) sums {
		step := 0.0
		if x > math.Sqrt2 {
			step = 1
		}
		return sums{step, math.Sqrt(math.Abs(x - 1)), x * x, 0, math.Abs(x - math.E)}
	})
	require.NoError(t, err)
	near(t, 3-math.Sqrt2, got[0], 1e-11, "step")
	near(t, 2.0/3*(1+2*math.Sqrt2), got[1], 1e-12, "roots")
	near(t, 9, got[2], 1e-15, "square")
	near(t, (math.E*math.E+math.Pow(3-math.E, 2))/2, got[4], 1e-12, "kink")
	_, err = integrate(0, 1, sums{1, 1, 1, 1, 1}, func(x float64) sums { return sums{math.Sin(1e9 * x)} })
	assert.EqualError(t, err, "The sides of the solid change too often with height to be worked out exactly. Simplify its outlines.")
}
