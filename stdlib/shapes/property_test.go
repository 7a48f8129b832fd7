package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
)

// convex draws a convex polygon: points of an ellipse in the order of their angles.
func convex(t *rapid.T) *Outline {
	n := rapid.IntRange(3, 12).Draw(t, "sides")
	a := rapid.Float64Range(0.1, 5).Draw(t, "half width")
	b := rapid.Float64Range(0.1, 5).Draw(t, "half depth")
	points := make([]value.Place, n)
	for i := range points {
		angle := 2 * math.Pi * (float64(i) + rapid.Float64Range(0.1, 0.9).Draw(t, "share")) / float64(n)
		points[i] = pt(a*math.Cos(angle), b*math.Sin(angle))
	}
	o, err := Polygon(points)
	require.NoError(t, err)
	return o
}

// anyShape draws one of the simple shapes.
func anyShape(t *rapid.T) *Outline {
	size := func(name string) float64 { return rapid.Float64Range(0.2, 3).Draw(t, name) }
	share := rapid.Float64Range(0.05, 0.95).Draw(t, "share")
	a, b := size("a"), size("b")
	switch rapid.IntRange(0, 6).Draw(t, "shape") {
	case 0:
		return must(Circle(a))
	case 1:
		return must(Annulus(a*share, a))
	case 2:
		return must(Rectangle(a, b, share*math.Min(a, b)/2))
	case 3:
		return must(Sector(a*share, a, rapid.Float64Range(0.1, 6).Draw(t, "angle")))
	case 4:
		return must(Segment(a, 2*a*share))
	case 5:
		return must(Slot(a+b, a))
	}
	return convex(t)
}

func TestMovesKeepTheMeasures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyShape(t)
		angle := rapid.Float64Range(-10, 10).Draw(t, "turn")
		x, y := rapid.Float64Range(-20, 20).Draw(t, "x"), rapid.Float64Range(-20, 20).Draw(t, "y")
		p := must(Mirror(must(Turn(must(Move(o, x, y)), angle, pt(y, 3))), pt(1, x), pt(y, 50)))
		near(t, o.Area(), p.Area(), 1e-10, "area")
		near(t, o.Perimeter(), p.Perimeter(), 1e-10, "perimeter")
		// The sum of both second moments is the polar one, which no turn changes.
		near(t, o.SecondMomentX()+o.SecondMomentY(), p.SecondMomentX()+p.SecondMomentY(), 1e-9, "polar moment")
	})
}

// TestSteiner: a convex body grown by d gains P d + π d² (Steiner 1840), and gives it back when shrunk.
func TestSteiner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := convex(t)
		d := rapid.Float64Range(0.001, 4).Draw(t, "d")
		grown, err := Grow(o, d, Round)
		require.NoError(t, err)
		near(t, o.Area()+o.Perimeter()*d+math.Pi*d*d, grown.Area(), 1e-11, "grown")
		back, err := Shrink(grown, d, Round)
		require.NoError(t, err)
		assert.InDelta(t, o.Area(), back.Area(), 1e-9*grown.Area(), "shrunk back")
	})
}

func TestSharpGrowsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := convex(t)
		d := rapid.Float64Range(0.001, 1).Draw(t, "d")
		grown, err := Grow(o, d, Sharp)
		require.NoError(t, err)
		back, err := Shrink(grown, d, Sharp)
		require.NoError(t, err)
		assert.InDelta(t, o.Area(), back.Area(), 1e-9*grown.Area())
	})
}

// TestShrinkTwice: moving in by a and then by b is moving in by both.
func TestShrinkTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyShape(t)
		a, b := rapid.Float64Range(0.001, 0.5).Draw(t, "a"), rapid.Float64Range(0.001, 0.5).Draw(t, "b")
		once, err := Shrink(o, a+b, Sharp)
		require.NoError(t, err)
		first, err := Shrink(o, a, Sharp)
		require.NoError(t, err)
		twice, err := Shrink(first, b, Sharp)
		require.NoError(t, err)
		assert.InDelta(t, once.Area(), twice.Area(), 1e-8*o.Area())
	})
}

// TestSimpleShapesAreNotRefused: circles, annuli, rectangles, sectors of less than half a turn, segments, slots and
// convex polygons shrink by anything, and their areas never grow.
func TestSimpleShapesAreNotRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyShape(t)
		d := rapid.Float64Range(0.0001, 2).Draw(t, "d")
		got, err := Shrink(o, d, Round)
		require.NoError(t, err)
		assert.Less(t, got.Area(), o.Area())
		sameAsByDistance(t, o, got, d)
	})
}

// sameAsByDistance compares an outline moved inwards by d (outwards where d is below 0) with what an offset is: points
// lie in it as their own distance from the first outline says. The raster is not the one in the package.
func sameAsByDistance(t *rapid.T, o, got *Outline, d float64) {
	grow := math.Max(-d, 0)
	for i := range 20 {
		for j := range 20 {
			p := pt(o.bounds.Left-grow+(o.Width()+2*grow)*(float64(i)+0.31)/20, o.bounds.Bottom-grow+(o.Depth()+2*grow)*(float64(j)+0.77)/20)
			depth := o.distance(p)
			if !o.Contains(p) {
				depth = -depth
			}
			if math.Abs(depth-d) > 1e-7 {
				require.Equal(t, depth > d, got.Contains(p), "at %v", p)
			}
		}
	}
}

// offsetsByDistance holds an outline moved in and out by d against distances.
func offsetsByDistance(t *rapid.T, o *Outline, d float64) {
	got, err := Shrink(o, d, Round)
	require.NoError(t, err)
	sameAsByDistance(t, o, got, d)
	got, err = Grow(o, d, Round)
	require.NoError(t, err)
	sameAsByDistance(t, o, got, -d)
}

// TestStars: polygons with deep inward corners, which an offset tears apart or closes up.
func TestStars(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 10).Draw(t, "corners")
		points := make([]value.Place, n)
		for i := range points {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r := rapid.Float64Range(0.3, 3).Draw(t, "radius")
			points[i] = pt(r*cos, r*sin)
		}
		o, err := Polygon(points)
		require.NoError(t, err)
		offsetsByDistance(t, o, rapid.Float64Range(0.001, 2).Draw(t, "d"))
	})
}

// TestOffsetsOfOverlays: outlines with arcs, holes and pieces that touch, moved in and out.
func TestOffsetsOfOverlays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, b := drawAny(t, "a"), drawAny(t, "b")
		var err error
		switch rapid.IntRange(0, 2).Draw(t, "how") {
		case 0:
			o, err = Join(o, b)
		case 1:
			o, err = Cut(o, b)
		}
		require.NoError(t, err)
		if o.IsEmpty() {
			return
		}
		offsetsByDistance(t, o, float64(rapid.IntRange(1, 80).Draw(t, "d"))/64)
	})
}

// TestEasedIsBetween: an eased solid holds less than the plain one and more than one of the top face.
func TestEasedIsBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyShape(t)
		r := rapid.Float64Range(0.001, 0.3).Draw(t, "r")
		s, err := Extrude(o, 0.5, Easing{Roundover: r})
		if err != nil {
			return // does not fit
		}
		assert.Less(t, s.Volume(), o.Area()*0.5)
		// A quarter round keeps at least what a chamfer of the same size keeps.
		c, err := Extrude(o, 0.5, Easing{Chamfer: r})
		require.NoError(t, err)
		assert.Greater(t, s.Volume(), c.Volume())
		assert.Greater(t, c.Volume(), s.Top().Area()*0.5)
	})
}

func FuzzPolygon(f *testing.F) {
	f.Add(0.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.0, 1.0, 0.1)
	f.Add(0.0, 0.0, 1.0, 1.0, 1.0, 0.0, 0.0, 1.0, 0.5)
	f.Add(0.0, 0.0, 4.0, 0.0, 1.0, 1.0, 0.0, 4.0, 0.3)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, by float64) {
		o, err := Polygon([]value.Place{pt(a, b), pt(c, d), pt(e, g), pt(h, i)})
		if err != nil {
			return
		}
		if got, err := Shrink(o, by, Sharp); err == nil && by > 0 && got.Area() > o.Area() {
			t.Fatalf("shrunk from %g to %g", o.Area(), got.Area())
		}
		if got, err := Grow(o, by, Round); err == nil && by > 0 && got.Area() < o.Area() {
			t.Fatalf("grown from %g to %g", o.Area(), got.Area())
		}
	})
}

func BenchmarkBenchPiece(b *testing.B) {
	for b.Loop() {
		piece := must(Shrink(must(Sector(0.62, 1.05, math.Pi/5)), 0.002, Round))
		if mustSolid(Extrude(piece, 0.095, Easing{Roundover: 0.006})).Volume() < 0.012 {
			b.Fatal("too little")
		}
	}
}
