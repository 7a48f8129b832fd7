package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
)

// silhouette makes an outline of a front, which tells whether it is closed and crosses nothing.
func silhouette(t *testing.T, s *Solid) *Outline {
	t.Helper()
	var loop []Edge
	for _, e := range s.Front() {
		loop = append(loop, Edge(e))
	}
	o, err := FromLoops([][]Edge{loop})
	require.NoError(t, err)
	return o
}

// The front of a solid over a rectangle of 600 mm by 400 mm has a plain area: a rectangle, less what its corners lose
// (a chamfer half a square, a round (1 − π/4) r²), or a trapezium; closed forms of elementary geometry.
func TestFront(t *testing.T) {
	const w, h, r = 0.6, 0.1, 0.01
	box := must(Rectangle(w, 0.4, 0))
	round := (1 - math.Pi/4) * r * r
	for _, c := range []struct {
		name   string
		easing Easing
		area   float64
	}{
		{"plain", Easing{}, w * h},
		{"rounded above", Easing{Roundover: r}, w*h - 2*round},
		{"rounded below", Easing{Roundover: r, Edges: BottomEdges}, w*h - 2*round},
		{"rounded on both", Easing{Roundover: r, Edges: BothEdges}, w*h - 4*round},
		{"chamfered", Easing{Chamfer: r}, w*h - r*r},
		{"leaning in", Easing{Draft: math.Pi / 36}, (w - h*math.Tan(math.Pi/36)) * h},
	} {
		s, err := Extrude(box, h, c.easing)
		require.NoError(t, err, c.name)
		o := silhouette(t, s)
		assert.InEpsilon(t, c.area, o.Area(), 1e-12, c.name)
		assert.InDelta(t, w, o.Width(), 1e-12, c.name)
		assert.InDelta(t, h, o.Depth(), 1e-12, c.name)
	}
}

func TestFrontOfAStack(t *testing.T) {
	below, err := Extrude(must(Rectangle(0.6, 0.4, 0)), 0.1, Easing{})
	require.NoError(t, err)
	above, err := Extrude(must(Move(must(Rectangle(0.4, 0.2, 0)), 0.1, 0.1)), 0.2, Easing{})
	require.NoError(t, err)
	s, err := Stack(below, above)
	require.NoError(t, err)
	o := silhouette(t, s)
	assert.InEpsilon(t, 0.6*0.1+0.4*0.2, o.Area(), 1e-12)
	assert.InDelta(t, 0.3, o.Depth(), 1e-12)
	require.Len(t, s.Layers(), 2)
	assert.Equal(t, 0.2, s.Layers()[1].Height)
}

// A round-over meets a slanted corner in a mitre: seen from the front it reaches in farther than its radius.
func TestFrontOfASlantedCorner(t *testing.T) {
	kite := must(Polygon([]value.Place{{X: 0, Y: 0}, {X: 0.3, Y: -0.1}, {X: 0.6, Y: 0}, {X: 0.3, Y: 0.1}}))
	s, err := Extrude(kite, 0.1, Easing{Roundover: 0.01})
	require.NoError(t, err)
	half := math.Atan2(0.1, 0.3) // of the corner's angle; the mitre reaches in by r / sin
	top := s.Top().Width()
	assert.InDelta(t, 0.6-2*0.01/math.Sin(half), top, 1e-9)
	front := silhouette(t, s)
	assert.InDelta(t, 0.6, front.Width(), 1e-12)
	assert.Less(t, front.Area(), 0.6*0.1-2*(1-math.Pi/4)*0.01*0.01)
}

func TestDrawn(t *testing.T) {
	o := must(Annulus(0.1, 0.2))
	area := 0.0
	for _, l := range o.Drawn() {
		var loop []Edge
		for _, e := range l {
			loop = append(loop, Edge(e))
		}
		area += loopArea(loop)
	}
	assert.InEpsilon(t, o.Area(), area, 1e-14)
	s, err := Extrude(o, 0.1, Easing{})
	require.NoError(t, err)
	assert.Equal(t, o.Drawn(), s.Drawn())
}
