package shapes

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
)

func moved2(o *Outline, x, y float64) *Outline { return must(Move(o, x, y)) }

// TestOverlayClosedForms holds combined outlines against standard mensuration.
func TestOverlayClosedForms(t *testing.T) {
	disc := func(r, x, y float64) *Outline { return moved2(must(Circle(r)), x, y) }
	box := func(w, d, x, y float64) *Outline { return moved2(must(Rectangle(w, d, 0)), x, y) }
	lens := 2*math.Pi/3 - math.Sqrt(3)/2 // published-values.md, section 17, for r = R = d = 1
	join := func(os ...*Outline) *Outline { return must(Join(os...)) }
	cut := func(o *Outline, os ...*Outline) *Outline { return must(Cut(o, os...)) }
	overlap := func(os ...*Outline) *Outline { return must(Overlap(os...)) }
	h := math.Sqrt(3) / 2
	for _, k := range []struct {
		name            string
		o               *Outline
		area, perimeter float64
		pieces, holes   int
	}{
		{"lens", overlap(disc(1, 0, 0), disc(1, 1, 0)), lens, 4 * math.Pi / 3, 1, 0},
		{"two discs", join(disc(1, 0, 0), disc(1, 1, 0)), 2*math.Pi - lens, 8 * math.Pi / 3, 1, 0},
		{"moon", cut(disc(1, 0, 0), disc(1, 1, 0)), math.Pi - lens, 2 * math.Pi, 1, 0},
		{"a hole", cut(box(4, 4, -2, -2), disc(1, 0, 0)), 16 - math.Pi, 16 + 2*math.Pi, 1, 1},
		{"discs that touch", join(disc(1, 0, 0), disc(1, 2, 0)), 2 * math.Pi, 4 * math.Pi, 2, 0},
		{"discs that touch overlap in nothing", overlap(disc(1, 0, 0), disc(1, 2, 0)), 0, 0, 0, 0},
		{"a disc touching from within", cut(disc(2, 0, 0), disc(1, 1, 0)), 3 * math.Pi, 6 * math.Pi, 1, 1},
		{"boxes side by side", join(box(1, 1, 0, 0), box(2, 1, 1, 0)), 3, 8, 1, 0},
		{"boxes with a part of a side in common", join(box(1, 1, 0, 0), box(1, 1, 1, 0.5)), 2, 7, 1, 0},
		{"boxes with a corner in common", join(box(1, 1, 0, 0), box(1, 1, 1, 1)), 2, 8, 2, 0},
		{"the same twice", join(box(1, 1, 0, 0), box(1, 1, 0, 0)), 1, 4, 1, 0},
		{"less itself", cut(disc(1, 0, 0), disc(1, 0, 0)), 0, 0, 0, 0},
		{"disc in a square that it touches", cut(box(2, 2, -1, -1), disc(1, 0, 0)), 4 - math.Pi, 8 + 2*math.Pi, 4, 0},
		// Between three circles of radius 1 that touch each other: √3 − π/2.
		{"gap between three discs", cut(must(Polygon([]value.Place{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 1, Y: 2 * h}})), disc(1, 0, 0), disc(1, 2, 0), disc(1, 1, 2*h)),
			math.Sqrt(3) - math.Pi/2, math.Pi, 1, 0},
		// The four corner discs of a square of side 2 touch each other: 4 − π.
		{"square less its corners", cut(box(2, 2, 0, 0), disc(1, 0, 0), disc(1, 2, 0), disc(1, 2, 2), disc(1, 0, 2)), 4 - math.Pi, 2 * math.Pi, 1, 0},
		// Four half discs on the sides of a square of side 2: 4 + 2π; its edge is four half circles.
		{"cloverleaf", join(box(2, 2, -1, -1), disc(1, 1, 0), disc(1, -1, 0), disc(1, 0, 1), disc(1, 0, -1)), 4 + 2*math.Pi, 4 * math.Pi, 1, 0},
		// A ring of two half rings, joined along both joints.
		{"half rings", join(must(Sector(1, 2, math.Pi)), must(Turn(must(Sector(1, 2, math.Pi)), math.Pi, value.Place{}))), 3 * math.Pi, 6 * math.Pi, 1, 1},
	} {
		t.Run(k.name, func(t *testing.T) {
			near(t, k.area, k.o.Area(), 1e-12, "area")
			near(t, k.perimeter, k.o.Perimeter(), 1e-12, "perimeter")
			assert.Equal(t, k.pieces, k.o.Pieces(), "pieces")
			assert.Equal(t, k.holes, k.o.Holes(), "holes")
		})
	}
}

// drawAny draws shapes on a coarse lattice, so that edges touch, coincide and share ends most of the time.
func drawAny(t *rapid.T, name string) *Outline {
	n := func(lo, hi int) float64 { return float64(rapid.IntRange(lo, hi).Draw(t, name)) / 4 }
	var o *Outline
	var err error
	switch rapid.IntRange(0, 6).Draw(t, name+" kind") {
	case 0:
		o, err = Circle(n(1, 8))
	case 1:
		o, err = Rectangle(n(1, 8), n(1, 8), 0)
	case 2:
		w, d := n(1, 8), n(1, 8)
		o, err = Rectangle(w, d, min(w, d)/float64(rapid.IntRange(2, 4).Draw(t, name)))
	case 3:
		r := n(0, 4)
		o, err = Sector(r, r+n(1, 6), float64(rapid.IntRange(1, 24).Draw(t, name))*math.Pi/12)
	case 4:
		w := n(1, 4)
		o, err = Slot(w+n(0, 6), w)
	case 5:
		o, err = RegularAcross(rapid.IntRange(3, 8).Draw(t, name), n(1, 8))
	case 6:
		r := n(1, 4)
		o, err = Annulus(r, r+n(1, 4))
	}
	require.NoError(t, err)
	o, err = Turn(o, float64(rapid.IntRange(0, 11).Draw(t, name+" turn"))*math.Pi/6, value.Place{})
	require.NoError(t, err)
	o, err = Move(o, n(-8, 8), n(-8, 8))
	require.NoError(t, err)
	return o
}

// nudged moves, turns and scales an outline by hardly anything: from below the tolerance of the kernel to far above it.
func nudged(t *rapid.T, o *Outline) *Outline {
	by := func(name string) float64 {
		return rapid.Float64Range(-1, 1).Draw(t, name) * math.Pow(10, -float64(rapid.IntRange(4, 16).Draw(t, name+" size")))
	}
	switch rapid.IntRange(0, 3).Draw(t, "nudge") {
	case 1:
		o = must(Move(o, by("x"), by("y")))
	case 2:
		o = must(Turn(o, by("angle"), pt(1, 0.5)))
	case 3:
		o = must(Scale(o, 1+by("factor")))
	}
	return o
}

// TestOverlayOfNearlyTheSame: outlines that touch, coincide and share ends but for hardly anything are worked all the
// same, and what is lost or gained is a strip of some tolerances along their edges.
func TestOverlayOfNearlyTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAny(t, "a")
		b := a
		if rapid.Bool().Draw(t, "another") {
			b = drawAny(t, "b")
		}
		b = nudged(t, b)
		agreesWithPoints(t, a, b, 1e-7)
		c := nudged(t, drawAny(t, "c"))
		cut, err := Cut(a, b)
		require.NoError(t, err)
		agreesWithPoints(t, cut, c, 1e-7)
	})
}

// TestOverlayAgreesWithPoints: whether a point lies in a combined outline follows from whether it lies in each, and
// areas add up.
func TestOverlayAgreesWithPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawAny(t, "a"), drawAny(t, "b")
		if rapid.Bool().Draw(t, "more") { // an outline with holes and touching pieces
			var err error
			c := drawAny(t, "c")
			if rapid.Bool().Draw(t, "cut") {
				a, err = Cut(a, c)
			} else {
				a, err = Join(a, c)
			}
			require.NoError(t, err)
		}
		agreesWithPoints(t, a, b, 1e-9)
	})
}

func agreesWithPoints(t *rapid.T, a, b *Outline, within float64) {
	union, err := Join(a, b)
	require.NoError(t, err)
	less, err := Cut(a, b)
	require.NoError(t, err)
	common, err := Overlap(a, b)
	require.NoError(t, err)
	require.InDelta(t, a.Area()+b.Area(), union.Area()+common.Area(), within)
	require.InDelta(t, a.Area(), less.Area()+common.Area(), within)
	for i := range 12 {
		for j := range 12 {
			p := value.Place{X: (float64(i) - 5.517) * 0.6, Y: (float64(j) - 5.483) * 0.6}
			if a.distance(p) < 1e-7 || b.distance(p) < 1e-7 {
				continue
			}
			inA, inB := inside(a.loops, p), inside(b.loops, p)
			say := fmt.Sprint(p)
			require.Equal(t, inA || inB, inside(union.loops, p), say)
			require.Equal(t, inA && !inB, inside(less.loops, p), say)
			require.Equal(t, inA && inB, inside(common.loops, p), say)
		}
	}
}
