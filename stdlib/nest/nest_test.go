package nest

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// must gives the shape where there is nothing against it.
func must(o *shapes.Outline, err error) *shapes.Outline {
	if err != nil {
		panic(err)
	}
	return o
}

func rectangle(width, depth float64) *shapes.Outline { return must(shapes.Rectangle(width, depth, 0)) }

// polygon joins points given as x, y, x, y, …
func polygon(xy ...float64) *shapes.Outline {
	var points []value.Place
	for i := 0; i < len(xy); i += 2 {
		points = append(points, value.Place{X: xy[i], Y: xy[i+1]})
	}
	return must(shapes.Polygon(points))
}

// ell is an L: a square of a side without the square of another in its upper right corner.
func ell(side, gone float64) *shapes.Outline {
	return polygon(0, 0, side, 0, side, side-gone, side-gone, side-gone, side-gone, side, 0, side)
}

func some(o *shapes.Outline, count int) Part { return Part{Outline: o, Count: count} }

// TestKnownLayouts: jobs whose best layout is known, by plane geometry.
func TestKnownLayouts(t *testing.T) {
	third := 1.0 / 3
	for _, c := range []struct {
		name   string
		on     Sheet
		parts  []Part
		sheets int
		used   float64
	}{
		{"rectangles that tile the sheet", Sheet{Width: 2.4, Depth: 1.2}, []Part{some(rectangle(0.6, 0.4), 12)}, 1, 1},
		{"and one more", Sheet{Width: 2.4, Depth: 1.2}, []Part{some(rectangle(0.6, 0.4), 13)}, 2, 13 * 0.24 / 5.76},
		{"thirds, which no float holds", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(third, third), 9)}, 1, 1},
		{"inches", Sheet{Width: 96 * 0.0254, Depth: 48 * 0.0254}, []Part{some(rectangle(12*0.0254, 16*0.0254), 24)}, 1, 1},
		{"rectangles of two kinds", Sheet{Width: 3, Depth: 2}, []Part{some(rectangle(1, 2), 2), some(rectangle(1, 1), 2)}, 1, 1},
		{"turned by a quarter turn", Sheet{Width: 2, Depth: 0.5}, []Part{some(rectangle(0.5, 2), 1)}, 1, 1},
		{"two L in a rectangle of their area, turned by half a turn", Sheet{Width: 3, Depth: 2}, []Part{some(polygon(0, 0, 2, 0, 2, 1, 1, 1, 1, 2, 0, 2), 2)}, 1, 1},
		{"a U and the bar that fills it", Sheet{Width: 3, Depth: 3},
			[]Part{some(polygon(0, 0, 3, 0, 3, 3, 2, 3, 2, 1, 1, 1, 1, 3, 0, 3), 1), some(rectangle(1, 2), 1)}, 1, 1},
		{"a frame, the frame in it, and what fills that", Sheet{Width: 6, Depth: 6}, []Part{
			some(must(shapes.Cut(rectangle(6, 6), must(shapes.Move(rectangle(4, 4), 1, 1)))), 1),
			some(must(shapes.Cut(rectangle(4, 4), must(shapes.Move(rectangle(2, 2), 1, 1)))), 1), some(rectangle(2, 1), 2)}, 1, 1},
		{"right triangles in pairs", Sheet{Width: 4, Depth: 3}, []Part{some(polygon(0, 0, 2, 0, 0, 1.5), 8)}, 1, 1},
		{"a circle in a ring that it fits", Sheet{Width: 2, Depth: 2}, []Part{some(must(shapes.Annulus(0.5, 1)), 1), some(must(shapes.Circle(0.5)), 1)}, 1, math.Pi / 4},
		{"circles in a square grid: 3 by 3", Sheet{Width: 3, Depth: 3}, []Part{some(must(shapes.Circle(0.5)), 9)}, 1, math.Pi / 4},
		// Rows of 10, 9, 10, … at a distance of half the root of 3: 12 rows in 10.6.
		{"circles in rows on gaps: 114", Sheet{Width: 10, Depth: 1 + 11*math.Sqrt(3)/2}, []Part{some(must(shapes.Circle(0.5)), 114)}, 1, 114 * math.Pi / 4 / (10 * (1 + 11*math.Sqrt(3)/2))},
		// Upright hexagons of 0.3 and a kerf of 6 mm on 2420 by 1200 mm: rows of 7, at 306 mm, on gaps, 265 mm apart: 4 rows.
		{"hexagons: 4 rows of 7", Sheet{Width: 2.44, Depth: 1.22, Kerf: 0.006, Margin: 0.01}, []Part{some(must(shapes.RegularAcross(6, 0.3)), 28)}, 1, 28 * 0.09 * math.Sqrt(3) / 2 / (2.44 * 1.22)},
		// A row of 9 that stand, 406 mm deep with its kerf, and 3 rows of 5 that lie, 256 mm: 1168 of 1200 mm.
		{"rectangles in two ways: 9 + 3 * 5", Sheet{Width: 2.44, Depth: 1.22, Kerf: 0.006, Margin: 0.01}, []Part{some(rectangle(0.4, 0.25), 24)}, 1, 24 * 0.1 / (2.44 * 1.22)},
		{"two squares of which no two go on one sheet", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(0.6, 0.6), 3)}, 3, 0.36},
		{"a bar that only fits askew", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(1.3, 0.05), 1)}, 1, 0.065},
	} {
		got, err := Nest(c.parts, c.on)
		require.NoError(t, err, c.name)
		assert.Len(t, got.Sheets, c.sheets, c.name)
		assert.InDelta(t, c.used, got.Used, 1e-9, c.name)
		assert.Empty(t, got.Doubt(), c.name)
		sound(t, c.parts, c.on, got)
	}
}

// sound holds a layout against its parts, by other means than those it was made by: each piece is its part, turned and
// moved; it keeps the margin; the pieces keep the kerf, and where there is none have no area in common.
func sound(t require.TestingT, parts []Part, on Sheet, l *Layout) {
	const tiny = 1e-7
	left := map[int]int{}
	total := 0.0
	for i, p := range parts {
		left[i] = p.Count
	}
	for _, sheet := range l.Sheets {
		require.NotEmpty(t, sheet)
		for i, x := range sheet {
			left[x.Part]--
			want := must(shapes.Move(must(shapes.Turn(parts[x.Part].Outline, x.Angle, value.Place{})), x.X, x.Y))
			both := must(shapes.Overlap(want, x.Outline))
			assert.InDelta(t, want.Area(), both.Area(), tiny*want.Perimeter())
			assert.InDelta(t, want.Area(), x.Outline.Area(), 1e-9*want.Area())
			total += want.Area()
			b, err := x.Outline.Bounds()
			require.NoError(t, err)
			assert.True(t, b.Left > on.Margin-tiny && b.Bottom > on.Margin-tiny && b.Right < on.Width-on.Margin+tiny && b.Top < on.Depth-on.Margin+tiny, "%v leaves the sheet", b)
			if on.Grain {
				assert.InDelta(t, 0, math.Sin(x.Angle), 1e-12)
			}
			for _, y := range sheet[:i] {
				gap, err := shapes.Clearance(x.Outline, y.Outline)
				require.NoError(t, err)
				assert.Greater(t, gap, on.Kerf-tiny)
				common := must(shapes.Overlap(x.Outline, y.Outline))
				assert.LessOrEqual(t, common.Area(), tiny*math.Min(x.Outline.Perimeter(), y.Outline.Perimeter()))
			}
		}
	}
	for i, n := range left {
		assert.Zero(t, n, "part %d", i)
	}
	if len(l.Sheets) > 0 {
		assert.InDelta(t, total/(float64(len(l.Sheets))*on.Width*on.Depth), l.Used, 1e-9)
	}
	assert.LessOrEqual(t, l.Used, 1+1e-9)
	assert.GreaterOrEqual(t, len(l.Sheets), l.Least)
}

// TestKerfAndMargin: how many go on a sheet, by hand: n pieces in a row need n times their size and n-1 kerfs.
func TestKerfAndMargin(t *testing.T) {
	square := rectangle(0.1, 0.1)
	for _, c := range []struct {
		name         string
		kerf, margin float64
		across, down int
	}{
		{"neither", 0, 0, 10, 5},
		{"1000 - 9 * 4 = 964 mm: 9 across; 500 - 4 * 4 = 484 mm: 4 down", 0.004, 0, 9, 4},
		{"a margin of 20 mm leaves 960 by 460 mm", 0, 0.02, 9, 4},
		{"9 * 100 + 8 * 5 = 940 mm in 940 mm; 4 * 100 + 3 * 5 = 415 mm in 440 mm", 0.005, 0.03, 9, 4},
		{"a little more kerf: 8", 0.0051, 0.03, 8, 4},
	} {
		on := Sheet{Width: 1, Depth: 0.5, Kerf: c.kerf, Margin: c.margin}
		most := c.across * c.down
		for _, n := range []int{most, most + 1} {
			parts := []Part{some(square, n)}
			got, err := Nest(parts, on)
			require.NoError(t, err, c.name)
			assert.Len(t, got.Sheets, 1+n-most, c.name)
			sound(t, parts, on, got)
		}
	}
}

// TestKerfRoundCorners: the kerf is a distance: a round piece comes nearer to the corner of another than their boxes do.
func TestKerfRoundCorners(t *testing.T) {
	// Two circles of 1 m and a kerf of 0.1 m, centres along the diagonal 1.1 m apart: the sheet needs 1 + 1.1/root(2).
	side := 1 + 1.1/math.Sqrt2
	parts := []Part{some(must(shapes.Circle(0.5)), 2)}
	for _, c := range []struct {
		side   float64
		sheets int
	}{{side + 1e-6, 1}, {side - 1e-6, 2}} {
		on := Sheet{Width: c.side, Depth: c.side, Kerf: 0.1}
		got, err := Nest(parts, on)
		require.NoError(t, err)
		assert.Len(t, got.Sheets, c.sheets)
		sound(t, parts, on, got)
	}
}

func TestGrain(t *testing.T) {
	upright := []Part{some(rectangle(0.3, 1), 4)}
	on := Sheet{Width: 1, Depth: 1.2}
	got, err := Nest(upright, on)
	require.NoError(t, err)
	assert.Len(t, got.Sheets, 1, "three stand, and one lies across them")
	on.Grain = true
	got, err = Nest(upright, on)
	require.NoError(t, err)
	assert.Len(t, got.Sheets, 2, "three stand, and the fourth may not lie")
	sound(t, upright, on, got)
	// Half a turn is allowed: two L of one grain still make a rectangle.
	parts := []Part{some(polygon(0, 0, 2, 0, 2, 1, 1, 1, 1, 2, 0, 2), 2)}
	on = Sheet{Width: 3, Depth: 2, Grain: true}
	got, err = Nest(parts, on)
	require.NoError(t, err)
	assert.Len(t, got.Sheets, 1)
	sound(t, parts, on, got)
}

// TestLeast: bounds by hand.
func TestLeast(t *testing.T) {
	for _, c := range []struct {
		name  string
		on    Sheet
		parts []Part
		least int
	}{
		{"by area: 2.4 sheets", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(0.2, 0.2), 60)}, 3},
		{"by area with the kerf round them: 90 * 0.11^2 = 1.089 in 1.01^2 = 1.02", Sheet{Width: 1, Depth: 1, Kerf: 0.01}, []Part{some(rectangle(0.1, 0.1), 90)}, 2},
		{"a tiling is one, not two by rounding", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(1.0/3, 1.0/3), 9)}, 1},
		{"more than half a sheet each", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(0.8, 0.8), 5)}, 5},
		{"too wide for two, at less than half a sheet", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(0.69, 0.69), 5)}, 5},
		{"room beside the large ones", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(0.7, 0.9), 2), some(rectangle(0.3, 0.5), 4)}, 2},
		{"none beside the large ones", Sheet{Width: 1, Depth: 1}, []Part{some(rectangle(0.9, 0.9), 2), some(rectangle(0.5, 0.5), 4)}, 3},
	} {
		got, err := Nest(c.parts, c.on)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.least, got.Least, c.name)
		sound(t, c.parts, c.on, got)
	}
}

func TestRefusals(t *testing.T) {
	two := must(shapes.Join(rectangle(1, 1), must(shapes.Move(rectangle(1, 1), 5, 0))))
	on := Sheet{Width: 1, Depth: 0.5}
	for _, c := range []struct {
		on    Sheet
		parts []Part
		text  string
	}{
		{on, []Part{some(rectangle(0.1, 0.1), 1), some(rectangle(1.2, 0.1), 1)}, "Part 2, 1200 mm by 100 mm, does not fit on a sheet of 1000 mm by 500 mm, however it is turned. Divide it, or take larger sheets."},
		{Sheet{Width: 1, Depth: 0.5, Margin: 0.01}, []Part{some(rectangle(0.99, 0.45), 1)}, "Part 1, 990 mm by 450 mm, does not fit on a sheet of 1000 mm by 500 mm with a margin of 10 mm, however it is turned. Divide it, or take larger sheets."},
		{Sheet{Width: 1, Depth: 0.5, Grain: true}, []Part{some(rectangle(0.1, 0.8), 1)}, "Part 1, 100 mm by 800 mm, does not fit on a sheet of 1000 mm by 500 mm along the grain. Turn it, divide it, or take larger sheets."},
		{on, []Part{some(two, 1)}, "Part 1 is an outline of 2 pieces, which would have to keep together. Give one piece, and in counts how many of it are wanted."},
		{on, []Part{some(shapes.Empty(), 1)}, "Part 1 is an empty outline."},
		{on, []Part{some(rectangle(0.1, 0.1), -1)}, "Part 1 is wanted -1 times; from 0 to 5000 can be nested."},
		{on, []Part{some(rectangle(0.1, 0.1), 3000), some(rectangle(0.1, 0.1), 3000)}, "6000 parts are more than are nested at once, 5000. Nest them in several lots."},
		{Sheet{Width: 1}, nil, "A sheet has a width and a depth above 0; 1000 mm by 0 mm was given."},
		{Sheet{Width: math.NaN(), Depth: 1}, nil, "A sheet of NaN mm by 1000 mm cannot be worked with."},
		{Sheet{Width: 1, Depth: 1, Kerf: -0.001}, nil, "The kerf is 0 or more; -1 mm was given."},
		{Sheet{Width: 1, Depth: 1, Margin: -0.001}, nil, "The margin is 0 or more; -1 mm was given."},
		{Sheet{Width: 1, Depth: 1, Margin: 0.5}, nil, "A margin of 500 mm leaves nothing of a sheet of 1000 mm by 1000 mm."},
	} {
		_, err := Nest(c.parts, c.on)
		assert.EqualError(t, err, c.text)
	}
}

func TestNothingToNest(t *testing.T) {
	got, err := Nest([]Part{some(rectangle(0.1, 0.1), 0)}, Sheet{Width: 1, Depth: 1})
	require.NoError(t, err)
	assert.Equal(t, &Layout{}, got)
}

// TestSameAgain: the same parts give the same layout to the last bit.
func TestSameAgain(t *testing.T) {
	parts, on := mixed(4)
	first, err := Nest(parts, on)
	require.NoError(t, err)
	again, err := Nest(parts, on)
	require.NoError(t, err)
	assert.Equal(t, first, again)
}

// mixed is a job of five kinds with arcs: segments of a bench, feet, rings, brackets and slots.
func mixed(each int) ([]Part, Sheet) {
	bracket := must(shapes.RoundCorners(polygon(0, 0, 0.5, 0, 0.5, 0.15, 0.15, 0.15, 0.15, 0.4, 0, 0.4), 0.02))
	return []Part{
		some(must(shapes.Sector(0.62, 1.05, math.Pi/5)), each),
		some(must(shapes.Rectangle(0.4, 0.25, 0.03)), each),
		some(must(shapes.Annulus(0.05, 0.12)), each),
		some(bracket, each),
		some(must(shapes.Slot(0.3, 0.08)), each),
	}, Sheet{Width: 2.44, Depth: 1.22, Kerf: 0.006, Margin: 0.01}
}
