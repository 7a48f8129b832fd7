package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
)

// TestNoFitAreas: sums of convex outlines by Minkowski's mixed areas, those of circles and rectangles by hand.
func TestNoFitAreas(t *testing.T) {
	poly := func(ps ...value.Place) *Outline { return must(Polygon(ps)) }
	l := poly(pt(0, 0), pt(3, 0), pt(3, 1), pt(1, 1), pt(1, 3), pt(0, 3))
	u := poly(pt(0, 0), pt(3, 0), pt(3, 3), pt(2, 3), pt(2, 1), pt(1, 1), pt(1, 3), pt(0, 3))
	for _, c := range []struct {
		name         string
		fixed, moved *Outline
		area         float64
		holes        int
	}{
		{"two circles: a circle of both radii", must(Circle(2)), must(Circle(1)), 9 * math.Pi, 0},
		{"two rectangles: sides added", must(Rectangle(2, 3, 0)), must(Rectangle(1, 0.5, 0)), 3 * 3.5, 0},
		{"a rectangle and a circle: A + P r + pi r^2 (Steiner)", must(Rectangle(2, 3, 0)), must(Circle(0.5)), 6 + 10*0.5 + math.Pi/4, 0},
		{"rounded corners: radii added", must(Rectangle(2, 2, 0.5)), must(Rectangle(2, 2, 0.25)), 16 - (4-math.Pi)*0.75*0.75, 0},
		{"an L and a square that fits its inner corner", l, must(Rectangle(1, 1, 0)), 4*4 - 2*2, 0},
		{"a U and a bar narrower than its gap: a slot of the gap's play stays free", u, must(Rectangle(0.75, 0.75, 0)), 3.75*3.75 - 0.25*2, 0},
		{"a U and a bar wider than its gap", u, must(Rectangle(1.25, 1.25, 0)), 4.25 * 4.25, 0},
		{"a ring and a circle that fits its hole", must(Annulus(2, 3)), must(Circle(0.5)), math.Pi * (3.5*3.5 - 1.5*1.5), 1},
		{"a circle and a ring that it fits into", must(Circle(0.5)), must(Annulus(2, 3)), math.Pi * (3.5*3.5 - 1.5*1.5), 1},
		{"a ring and a circle too large for its hole", must(Annulus(2, 3)), must(Circle(2.5)), math.Pi * 5.5 * 5.5, 0},
	} {
		got := forbidden(t, c.fixed, c.moved)
		near(t, c.area, got.Area(), 1e-12, c.name)
		assert.Equal(t, c.holes, got.Holes(), c.name)
	}
}

// forbidden is a NoFit as an outline.
func forbidden(t require.TestingT, fixed, moved *Outline) *Outline {
	loops, _, err := noFit(fixed, moved, 1e9)
	require.NoError(t, err)
	return newOutline(loops)
}

func TestNoFitRefuses(t *testing.T) {
	two := must(Join(must(Circle(1)), must(Move(must(Circle(1)), 5, 0))))
	for _, o := range []*Outline{Empty(), two} {
		_, _, err := NoFit(o, must(Circle(1)), 1e9)
		assert.EqualError(t, err, "Only outlines of one piece are held against each other.")
	}
}

// bent draws an outline with inward corners and arcs: simple shapes joined to and cut from each other, its first piece.
func bent(t *rapid.T) *Outline {
	o := anyShape(t)
	for range rapid.IntRange(0, 3).Draw(t, "changes") {
		other := must(Turn(anyShape(t), coarse(t, "turn", 0, 6), value.Place{}))
		other, err := Move(other, coarse(t, "x", -3, 3), coarse(t, "y", -3, 3))
		require.NoError(t, err)
		change := Join
		if rapid.Bool().Draw(t, "cut") {
			change = func(all ...*Outline) (*Outline, error) { return Cut(all[0], all[1:]...) }
		}
		next, err := change(o, other)
		if err != nil || next.IsEmpty() {
			continue
		}
		o = next
	}
	return onePiece(o)
}

// coarse draws a number in hundredths, so that nothing lies a hair's breadth from anything else.
func coarse(t *rapid.T, name string, from, to int) float64 {
	return float64(rapid.IntRange(100*from, 100*to).Draw(t, name)) / 100
}

// onePiece is the largest piece of an outline, with its holes.
func onePiece(o *Outline) *Outline {
	best := -1
	for i, loop := range o.loops {
		if best < 0 || loopArea(loop) > loopArea(o.loops[best]) {
			best = i
		}
	}
	loops := [][]Edge{o.loops[best]}
	for i, parent := range o.parents() {
		if parent == best {
			loops = append(loops, o.loops[i])
		}
	}
	return newOutline(loops)
}

// TestNoFitIsWhereOutlinesOverlap: places drawn at will, and places near the edge, against the area in common.
func TestNoFitIsWhereOutlinesOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := bent(t), bent(t)
		no := forbidden(t, a, b)
		bounds, err := no.Bounds()
		require.NoError(t, err)
		for range 20 {
			p := value.Place{
				X: bounds.Left + bounds.Width()*rapid.Float64Range(-0.05, 1.05).Draw(t, "x"),
				Y: bounds.Bottom + bounds.Depth()*rapid.Float64Range(-0.05, 1.05).Draw(t, "y"),
			}
			overlapsThere(t, a, b, no, p)
		}
		for _, loop := range no.loops {
			for _, e := range loop[:min(len(loop), 8)] {
				q := e.At(rapid.Float64Range(0, 1).Draw(t, "share"))
				n := leftOf(e.headingAt(q))
				overlapsThere(t, a, b, no, along(q, n, 1e-4))
				overlapsThere(t, a, b, no, along(q, n, -1e-4))
			}
		}
	})
}

// overlapsThere holds the answer of a NoFit at one place against the overlap of the outlines themselves.
func overlapsThere(t *rapid.T, a, b, no *Outline, p value.Place) {
	if no.distance(p) < 1e-6 {
		return
	}
	there, err := Move(b, p.X, p.Y)
	require.NoError(t, err)
	common, err := Overlap(a, there)
	require.NoError(t, err)
	assert.Equal(t, common.Area() > 0, inside(no.loops, p), "at %v the common area is %g", p, common.Area())
}
