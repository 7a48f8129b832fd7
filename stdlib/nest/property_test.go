package nest

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// anyPart draws an outline of one piece, up to 2 m across: with arcs, holes, inward corners and spikes.
func anyPart(t *rapid.T) *shapes.Outline {
	size := func(name string) float64 { return rapid.Float64Range(0.05, 1).Draw(t, name) }
	share := rapid.Float64Range(0.1, 0.9).Draw(t, "share")
	a, b := size("a"), size("b")
	switch rapid.IntRange(0, 8).Draw(t, "shape") {
	case 0:
		return must(shapes.Circle(a))
	case 1:
		return must(shapes.Annulus(a*share, a))
	case 2:
		return must(shapes.Rectangle(a, b, share*math.Min(a, b)/2))
	case 3:
		return must(shapes.Sector(a*share, a, rapid.Float64Range(0.1, 6).Draw(t, "angle")))
	case 4:
		return must(shapes.Segment(a, 2*a*share))
	case 5:
		return must(shapes.Slot(a+b, a))
	case 6:
		return ell(a, a*share)
	case 7: // a plate with a bite
		return must(shapes.Cut(rectangle(2*a, 2*a), must(shapes.Circle(a*share))))
	}
	n := rapid.IntRange(3, 8).Draw(t, "points")
	var xy []float64
	for i := range 2 * n {
		sin, cos := math.Sincos(math.Pi * float64(i) / float64(n))
		r := a
		if i%2 == 1 {
			r *= share
		}
		xy = append(xy, r*cos, r*sin)
	}
	return polygon(xy...)
}

// TestNeverOverlaps: whatever is nested, the layout is sound.
func TestNeverOverlaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := Sheet{
			Width: rapid.Float64Range(2.1, 4).Draw(t, "width"), Depth: rapid.Float64Range(2.1, 3).Draw(t, "depth"),
			Kerf: rapid.SampledFrom([]float64{0, 0, 0.003, 0.1}).Draw(t, "kerf"), Margin: rapid.SampledFrom([]float64{0, 0.01}).Draw(t, "margin"),
			Grain: rapid.Bool().Draw(t, "grain"),
		}
		var parts []Part
		for range rapid.IntRange(1, 4).Draw(t, "kinds") {
			parts = append(parts, some(anyPart(t), rapid.IntRange(0, 4).Draw(t, "count")))
		}
		got, err := Nest(parts, on)
		require.NoError(t, err)
		require.Empty(t, got.Doubt())
		sound(t, parts, on, got)
	})
}

// TestTangentsHoldTheOutlines: all that outlines forbid lies within what the tangents round them do.
func TestTangentsHoldTheOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := newJob(Sheet{Width: 5, Depth: 5}, usual)
		require.NoError(t, j.take(0, some(anyPart(t), 1)))
		require.NoError(t, j.take(1, some(anyPart(t), 1)))
		for _, a := range j.kinds[0].poses {
			for _, b := range j.kinds[1].poses {
				var round []value.Place
				j.byTangents(a, b).Corners(func(p value.Place) { round = append(round, p) })
				j.zone(a, b).Corners(func(p value.Place) {
					for i, q := range round {
						assert.Greater(t, leftTurn(q, round[(i+1)%len(round)], p), -1e-7)
					}
				})
			}
		}
	})
}
