package value

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestStroke(t *testing.T) {
	quarter := Stroke{From: Place{1, 0}, To: Place{0, 1}, Radius: 1, Sweep: math.Pi / 2}
	assert.True(t, quarter.IsArc())
	assert.InDelta(t, math.Sqrt2/2, quarter.At(0.5).X, 1e-15)
	points := quarter.Points(math.Pi / 6)
	assert.Len(t, points, 3, "a quarter turn in three pieces, without its end")
	for _, p := range points {
		assert.InDelta(t, 1, math.Hypot(p.X, p.Y), 1e-15)
	}
	back := quarter.Back()
	assert.Equal(t, -math.Pi/2, back.Sweep)
	assert.InDelta(t, quarter.At(0.25).X, back.At(0.75).X, 1e-15)
	line := Stroke{From: Place{0, 0}, To: Place{2, 4}}
	assert.False(t, line.IsArc())
	assert.Equal(t, Place{1, 2}, line.At(0.5))
	assert.Equal(t, []Place{{0, 0}}, line.Points(0.1))
}
