package nest

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

func at(x, y float64) value.Place { return value.Place{X: x, Y: y} }

// TestBoundsOfWork: with too little work allowed the layout is coarser, says so, and is as sound.
func TestBoundsOfWork(t *testing.T) {
	parts, on := mixed(6)
	full, err := Nest(parts, on)
	require.NoError(t, err)
	assert.Empty(t, full.Doubt())
	for _, c := range []struct {
		name  string
		work  work
		rough bool
		boxed func(n int) bool
		doubt string
	}{
		{"one layout and no more", work{usual.holding, 0, usual.most}, false, func(n int) bool { return n == 0 }, ""},
		{"outlines are not held against each other", work{0, usual.enough, usual.most}, true, func(n int) bool { return n == 0 }, "by the tangents round them"},
		{"the work ends on the way", work{usual.holding, 0, 2000}, false, func(n int) bool { return 0 < n && n < 30 }, "by the boxes round them"},
		{"nearly nothing is allowed", work{usual.holding, 0, 0}, false, func(n int) bool { return n >= 27 }, "by the boxes round them"},
	} {
		got, err := within(c.work, parts, on)
		require.NoError(t, err, c.name)
		sound(t, parts, on, got)
		assert.Equal(t, c.rough, got.Rough, c.name)
		assert.True(t, c.boxed(got.Boxed), "%s: %d boxed", c.name, got.Boxed)
		assert.GreaterOrEqual(t, len(got.Sheets), len(full.Sheets), c.name)
		if c.doubt == "" {
			assert.Empty(t, got.Doubt(), c.name)
		} else {
			assert.Contains(t, got.Doubt(), c.doubt, c.name)
		}
	}
}

// TestRows: boxes in rows, the deep ones first, by hand: 0.6 m deep on 1 m by 1 m goes once, then a row of 0.3 m.
func TestRows(t *testing.T) {
	j := newJob(Sheet{Width: 1, Depth: 1, Kerf: 0.1}, usual)
	require.NoError(t, j.take(0, some(rectangle(0.45, 0.3), 3)))
	require.NoError(t, j.take(1, some(rectangle(0.7, 0.6), 1)))
	sheets := j.inRows(j.pieces())
	require.Len(t, sheets, 2)
	assert.Len(t, sheets[0], 3)
	assert.Len(t, sheets[1], 1)
	assert.InDelta(t, 0.7, sheets[0][1].at.Y, 1e-12)
	assert.InDelta(t, 0.55, sheets[0][2].at.X, 1e-12)
	assert.True(t, j.proved(j.planned(sheets, 4)))
}

// TestProofFindsMistakes: a plan with two pieces too near, with one beyond the margin, and with one missing.
func TestProofFindsMistakes(t *testing.T) {
	j := newJob(Sheet{Width: 2, Depth: 1, Kerf: 0.01, Margin: 0.02}, usual)
	require.NoError(t, j.take(0, some(must(shapes.Annulus(0.3, 0.4)), 1)))
	require.NoError(t, j.take(1, some(must(shapes.Circle(0.29)), 1)))
	ring, disc := j.kinds[0].poses[0], j.kinds[1].poses[0]
	put := func(x, y, dx, dy float64) [][]placed {
		return [][]placed{{{ring, at(x, y)}, {disc, at(x+0.11+dx, y+0.11+dy)}}}
	}
	for _, c := range []struct {
		name   string
		sheets [][]placed
		want   bool
	}{
		{"a disc in the middle of a ring, the kerf all round", put(0.02, 0.02, 0, 0), true},
		{"a thousandth off the middle", put(0.02, 0.02, 0.001, 0), false},
		{"beside it", put(0.02, 0.02, 0.7, 0), true},
		{"across its wall", put(0.02, 0.02, 0.4, 0), false},
		{"in the margin", put(0.019, 0.02, 0, 0), false},
		{"one missing", [][]placed{{{ring, at(0.1, 0.1)}}}, false},
	} {
		assert.Equal(t, c.want, j.proved(&plan{sheets: c.sheets}), c.name)
	}
}

func TestBestAngle(t *testing.T) {
	j := newJob(Sheet{Width: 3, Depth: 3}, usual)
	for _, c := range []struct {
		name         string
		o            *shapes.Outline
		width, depth float64 // of the least box, by plane geometry
	}{
		{"as drawn", rectangle(0.6, 0.4), 0.6, 0.4},
		{"a rectangle drawn askew", must(shapes.Turn(rectangle(0.6, 0.4), 0.3, at(0, 0))), 0.6, 0.4},
		{"an equilateral triangle on a corner", must(shapes.Turn(polygon(0, 0, 1, 0, 0.5, math.Sqrt(3)/2), 0.5, at(0, 0))), 1, math.Sqrt(3) / 2},
		// A ring segment stands best with its inner chord along the sheet: 2 R sin(a/2) by R - r cos(a/2).
		{"a ring segment", must(shapes.Sector(0.62, 1.05, math.Pi/5)), 2 * 1.05 * math.Sin(math.Pi/10), 1.05 - 0.62*math.Cos(math.Pi/10)},
	} {
		w, d := turnedBox(c.o, j.bestAngle(c.o))
		assert.InDelta(t, math.Max(c.width, c.depth), math.Max(w, d), 1e-9, c.name)
		assert.InDelta(t, math.Min(c.width, c.depth), math.Min(w, d), 1e-9, c.name)
	}
}
