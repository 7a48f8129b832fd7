package shapes

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
)

func TestZone(t *testing.T) {
	ring := newZone(slices.Concat(must(Annulus(1, 2)).loops...))
	square := Around(pt(0, 0), pt(4, 0), pt(4, 0), pt(4, 4), pt(0, 4))
	assert.Equal(t, 4, square.Size(), "a point given twice makes no edge")
	for _, c := range []struct {
		zone  *Zone
		p     value.Place
		depth float64
		want  bool
	}{
		{ring, pt(1.5, 0), 0, true}, {ring, pt(1.5, 0), 0.4, true}, {ring, pt(1.5, 0), 0.6, false},
		{ring, pt(0, 0), 0, false}, {ring, pt(0, 2.5), 0, false}, {ring, pt(-1.2, -1.2), 0.1, true},
		{square, pt(2, 2), 1.9, true}, {square, pt(2, 2), 2.1, false}, {square, pt(3.9999, 2), 1e-3, false}, {square, pt(5, 2), 0, false},
	} {
		got, steps := c.zone.Holds(c.p, c.depth)
		assert.Equal(t, c.want, got, "%v, %g deep", c.p, c.depth)
		assert.Positive(t, steps)
	}
	// The circle of 1 about (4, 2) crosses the right side of the square at (4, 1) and (4, 3); that of 2 at its corners.
	var met []value.Place
	everywhere := Bounds{-9, 9, -9, 9}
	square.Meet(ring, pt(4, 2), everywhere, func(p value.Place) { met = append(met, p) })
	slices.SortFunc(met, func(a, b value.Place) int { return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X)) })
	met = slices.CompactFunc(met, func(a, b value.Place) bool { return apart(a, b) < 1e-12 })
	require.Len(t, met, 4)
	for i, y := range []float64{0, 1, 3, 4} {
		assert.InDelta(t, 0, apart(pt(4, y), met[i]), 1e-12)
	}
	quarter := square.Carried(1, pt(10, 0)).Bounds()
	assert.Equal(t, Bounds{6, 10, 0, 4}, quarter)
}

// TestLargeZones: zones of many edges, which are looked at by a tree, answer as the outline does.
func TestLargeZones(t *testing.T) {
	teeth := star(30, 0.01)
	z := newZone(teeth.loops[0])
	require.Greater(t, z.Size(), few)
	rapid.Check(t, func(t *rapid.T) {
		p := pt(rapid.Float64Range(-1.1, 1.1).Draw(t, "x"), rapid.Float64Range(-1.1, 1.1).Draw(t, "y"))
		if teeth.distance(p) < 1e-9 {
			return
		}
		got, _ := z.Holds(p, 1e-9)
		assert.Equal(t, teeth.Contains(p), got)
		got, _ = z.Holds(p, 0.02)
		assert.Equal(t, teeth.Contains(p) && teeth.distance(p) >= 0.02, got)
	})
}

func TestReachAndRoom(t *testing.T) {
	o := must(Move(must(Rectangle(2, 1, 0.25)), 1, 1))
	near(t, 3, o.Reach(0), 1e-15, "right")
	near(t, 2, o.Reach(math.Pi/2), 1e-15, "up")
	near(t, -1, o.Reach(math.Pi), 1e-15, "left")
	// Along the diagonal: the centre of the upper right corner's arc, and its radius.
	near(t, (2.75+1.75)/math.Sqrt2+0.25, o.Reach(math.Pi/4), 1e-15, "diagonal")
	near(t, 0.5, o.Room(pt(2, 1.5)), 1e-15, "in the middle")
	near(t, 0.125, o.Room(pt(1.125, 1.5)), 1e-15, "near a side")
	assert.Zero(t, o.Room(pt(0, 0)))
	assert.Zero(t, Empty().Room(pt(0, 0)))
	assert.Zero(t, must(Annulus(1, 2)).Room(pt(0.5, 0)), "in a hole")
}

func TestIsConvex(t *testing.T) {
	l := must(Polygon([]value.Place{pt(0, 0), pt(3, 0), pt(3, 1), pt(1, 1), pt(1, 3), pt(0, 3)}))
	for _, c := range []struct {
		o    *Outline
		want bool
	}{
		{must(Circle(1)), true}, {must(Rectangle(2, 1, 0.2)), true}, {must(Sector(0, 1, 3)), true}, {must(Slot(2, 1)), true},
		{must(Sector(0.5, 1, 1)), false}, {must(Annulus(1, 2)), false}, {l, false}, {must(Sector(0, 1, 4)), false},
		{Together(must(Circle(1)), must(Move(must(Circle(1)), 5, 0))), false}, {Empty(), false},
	} {
		assert.Equal(t, c.want, c.o.IsConvex())
	}
}

// TestTogether: squares that touch along a side stay two.
func TestTogether(t *testing.T) {
	a := must(Rectangle(1, 1, 0))
	both := Together(a, must(Move(a, 1, 0)))
	assert.Equal(t, 2, both.Pieces())
	near(t, 2, both.Area(), 1e-15, "area")
	near(t, 8, both.Perimeter(), 1e-15, "perimeter")
	assert.Equal(t, 1, must(Join(both)).Pieces())
}
