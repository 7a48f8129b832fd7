package svg_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/stdlib/svg"
)

// The drawings of testdata/drawings as a whole: area in mm², centre of area and box in mm from the lower left corner, counted in
// the pictures that librsvg 2.54.7 (Debian 12) makes of them with 50 pixels a millimetre.
func TestAgainstRenderer(t *testing.T) {
	for _, c := range []struct {
		name   string
		area   float64
		x, y   float64
		box    [4]float64 // left, right, bottom, top
		pieces int
		holes  int
	}{
		{"transforms.svg", 755.2816, 48.02398504, 37.99875198, [4]float64{23.38, 75.0, 19.4, 53.8}, 3, 0},
		{"uses.svg", 1186.8639, 46.99615045, 45.41099122, [4]float64{2.54, 88.4, 5.32, 69.6}, 6, 0},
		{"holes.svg", 3060, 43.78431373, 30.49019608, [4]float64{2, 88, 2, 58}, 9, 4},
		{"arcs.svg", 2776.3171, 65.71649524, 37.52948054, [4]float64{2.78, 118.98, 4.1, 75}, 6, 0},
		{"smooth.svg", 3311.0197, 57.43041929, 41.57686589, [4]float64{10, 115, 5, 70}, 5, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, err := os.ReadFile("testdata/drawings/" + c.name)
			require.NoError(t, err)
			d, err := svg.Read(c.name, text)
			require.NoError(t, err)
			o, r, err := d.Outline("all", 0, 1e-6)
			require.NoError(t, err)
			near(t, "area", c.area*1e-6, o.Area(), 5e-5)
			assert.LessOrEqual(t, r.AreaError, 1e-6*o.Perimeter())
			p, err := o.Centroid()
			require.NoError(t, err)
			assert.InDelta(t, c.x*1e-3, p.X, 1e-5, "x of the centre")
			assert.InDelta(t, c.y*1e-3, p.Y, 1e-5, "y of the centre")
			b, err := o.Bounds()
			require.NoError(t, err)
			for i, got := range []float64{b.Left, b.Right, b.Bottom, b.Top} {
				assert.InDelta(t, c.box[i]*1e-3, got, 2.1e-5, "side %d, to a pixel", i)
			}
			assert.Equal(t, c.pieces, o.Pieces())
			assert.Equal(t, c.holes, o.Holes())
		})
	}
}

// What a drawing fills, by SVG 1.1, 11.3, fill-rule: squares in squares of testdata/drawings/holes.svg, in mm².
func TestFillRules(t *testing.T) {
	text, err := os.ReadFile("testdata/drawings/holes.svg")
	require.NoError(t, err)
	for _, c := range []struct {
		id     string
		area   float64
		holes  int
		pieces int
		filled int
	}{
		{"same", 26 * 26, 0, 1, 2},
		{"turned", 26*26 - 18*18 + 10*10, 1, 2, 0},
		{"even", 26*26 - 18*18 + 10*10, 1, 2, 0},
		{"inherited", 26*26 - 18*18, 1, 1, 0},
		{"own", 26 * 26, 0, 1, 1},
		{"island", 26*26 - 18*18 + 10*10, 1, 2, 1},
	} {
		t.Run(c.id, func(t *testing.T) {
			o, r := outline(t, string(text), c.id, 0, hundredth)
			near(t, "area", c.area*1e-6, o.Area(), 1e-13)
			assert.Equal(t, c.holes, o.Holes())
			assert.Equal(t, c.pieces, o.Pieces())
			assert.Equal(t, c.filled, r.Filled)
		})
	}
}
