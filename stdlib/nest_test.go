package stdlib_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
	"castwright/stdlib"
	"castwright/stdlib/shapes"
)

const bench = `seat = sector(620 mm, 1050 mm, 36 deg)
foot = rectangle(400 mm, 250 mm, corner: 30 mm)
leg = extrude(foot, 400 mm)
table pieces
  shape | count
  (seat) | 10
  (foot) | 4
end
`

func TestNest(t *testing.T) {
	for _, c := range []struct{ line, shown string }{
		{"nest(list(rectangle(600 mm, 400 mm)), (2400 mm, 1200 mm), counts: 12).sheets", "1"},
		{"nest(list(rectangle(600 mm, 400 mm)), (2400 mm, 1200 mm), counts: 12).used [%]", "100%"},
		{"nest(list(rectangle(600 mm, 400 mm)), (2400 mm, 1200 mm), kerf: 4 mm, counts: 12).sheets", "2"},
		{"nest(list(rectangle(600 mm, 400 mm)), (2400 mm, 1200 mm), 4 mm, 0 mm, no, 12).sheets", "2"},
		{"nest(list(rectangle(600 mm, 400 mm)), (2400 mm, 1200 mm), margin: 1 mm, counts: 12).sheets", "2"},
		{"nest(list(rectangle(600 mm, 400 mm)), (400 mm, 600 mm)).sheets", "1"},
		{"nest((seat, foot), sheet: (2440 mm, 1220 mm), kerf: 6 mm, margin: 10 mm).sheets", "1"},
		// 10 segments of a ring and no more, from the picture: see the tests of stdlib/nest.
		{"nest(list(seat), sheet: (2440 mm, 1220 mm), kerf: 6 mm, margin: 10 mm, counts: 10).sheets", "1"},
		{"nest(pieces.shape, (2440 mm, 1220 mm), counts: pieces.count).least", "1"},
		{"nest((seat, foot), (2440 mm, 1220 mm), counts: (30, 0)).least", "3"},
		{"nest((leg, leg).footprint, (2440 mm, 1220 mm), grain: yes).sheets", "1"},
		{"nest(list(rectangle(600 mm, 400 mm)), (2400 mm, 1200 mm), kerf: (0 mm, 4 mm), counts: 12).sheets", "(1, 2)"},
	} {
		a := workOut(t, bench, c.line)
		assert.Equal(t, c.shown, a.shown, "%s\n%s", c.line, a.told)
		assert.Equal(t, value.OK, a.state, c.line)
	}
}

func TestNestRefuses(t *testing.T) {
	for _, c := range []struct{ line, told string }{
		{"nest((leg, leg), (2440 mm, 1220 mm))", "parts of nest is a list of outlines; these are solids. Put .footprint behind them for their outlines seen from above."},
		{"nest((1 m, 2 m), (2440 mm, 1220 mm))", "parts of nest is a list of outlines; this is a list of length."},
		{"nest(seat, (2440 mm, 1220 mm))", "Write list(seat) for a list of one."},
		{"nest((seat, foot), (2440 mm, 1220 mm), counts: 3)", "Parts and counts go in pairs: there are 2 parts, and counts for 1."},
		{"nest((seat, foot), (2440 mm, 1220 mm), counts: (1.5, 2))", "Each of counts is a whole number; 1.5 was given."},
		{"nest((seat, foot), (2440 mm, 300 mm))", "Part 1, 548.409 mm by 617.175 mm, does not fit on a sheet of 2440 mm by 300 mm, however it is turned."},
		{"nest((foot, seat), (500 mm, 500 mm), counts: (0, 1))", "Part 2, "},
		{"nest(list(foot), (2440 mm, 1220 mm), kerf: -1 mm)", "The kerf is 0 or more; -1 mm was given."},
		{"nest(list(foot), (2440 mm, 1220 mm), kerf: (1 mm, 2 mm)).layout", "layout is a list, in each row of a list, and lists are not nested."},
	} {
		a := workOut(t, bench, c.line)
		assert.Contains(t, a.told, c.told, c.line)
	}
}

// TestNestLayoutInTheLanguage: the layout of a record is a list, an outline for each sheet.
func TestNestLayoutInTheLanguage(t *testing.T) {
	tiles := "nest(list(rectangle(600 mm, 400 mm)), (2440 mm, 1220 mm), counts: list(14))"
	for line, shown := range map[string]string{
		tiles + ".layout.area": "(2.88 m^2, 0.48 m^2)", "count(" + tiles + ".layout)": "2", "item(" + tiles + ".layout, 2).pieces": "2",
	} {
		assert.Equal(t, shown, workOut(t, "", line).shown, line)
	}
}

// TestNestLayout: an outline for each sheet, with the parts as they lie and a note of what they are.
func TestNestLayout(t *testing.T) {
	f, ok := stdlib.New().Func("nest")
	require.True(t, ok)
	square, err := shapes.Rectangle(0.4, 0.4, 0)
	require.NoError(t, err)
	disc, err := shapes.Circle(0.1)
	require.NoError(t, err)
	got, err := f.Call([]value.Column{
		value.Objs(square, disc), value.Objs(value.Place{X: 1, Y: 0.5}), value.One(0), value.One(0.05), value.One(0), value.Nums(3, 1),
	})
	require.NoError(t, err)
	require.Len(t, got.Fields, 4)
	assert.Equal(t, []float64{2}, got.Fields[0].Num)
	assert.InDelta(t, (3*0.16+0.0314159265)/1, got.Fields[1].Num[0], 1e-9)
	assert.Equal(t, []float64{2}, got.Fields[2].Num)
	require.Len(t, got.Fields[3].Obj, 2)
	first, second := got.Fields[3].Obj[0].(*shapes.Outline), got.Fields[3].Obj[1].(*shapes.Outline)
	assert.Equal(t, []string{"Sheet 1 of 2, 1000 mm by 500 mm: part 1 (2)."}, first.Notes())
	assert.Equal(t, []string{"Sheet 2 of 2, 1000 mm by 500 mm: part 1 (1), part 2 (1)."}, second.Notes())
	assert.Equal(t, 2, first.Pieces(), "two squares that touch stay two pieces")
	assert.InDelta(t, 0.32, first.Area(), 1e-9)
	b, err := first.Bounds()
	require.NoError(t, err)
	assert.InDelta(t, 0.05, b.Left, 1e-9)
	assert.InDelta(t, 0.85, b.Right, 1e-9)
}
