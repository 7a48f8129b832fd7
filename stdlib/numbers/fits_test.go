package numbers_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
)

func TestInterpolate(t *testing.T) {
	strength, ratio := []float64{2000, 3000, 4000, 5000, 6000}, []float64{0.82, 0.68, 0.57, 0.48, 0.41}
	falling := []float64{28, 7, 0}
	for _, c := range []struct {
		source   string
		xs, ys   []float64
		at, want float64
	}{
		{"ACI 211.1-91, table 6.3.4(a), a row", strength, ratio, 4000, 0.57},
		{"ACI 211.1-91, table 6.3.4(a), its first row", strength, ratio, 2000, 0.82},
		{"ACI 211.1-91, table 6.3.4(a), its last row", strength, ratio, 6000, 0.41},
		{"ACI 211.1-91, table 6.3.4(a), half way between rows, by hand", strength, ratio, 3500, 0.625},
		{"a quarter of the way, by hand", strength, ratio, 5250, 0.4625},
		{"xs that fall, by hand", falling, []float64{30, 20, 0}, 14, 20 + 10./3},
		{"xs that fall, a point", falling, []float64{30, 20, 0}, 7, 20},
		{"a last digit beyond the last point is the point (ruling 17)", []float64{0, 0.3}, []float64{1, 2}, 0.1 + 0.2, 2},
		{"a last digit before the first point is the point (ruling 17)", []float64{0.1 + 0.2, 1}, []float64{1, 2}, 0.3, 1},
		{"the same with xs that fall", []float64{0.3, 0}, []float64{1, 2}, 0.1 + 0.2, 1},
	} {
		got, err := call(t, "interpolate", c.xs, c.ys, []float64{c.at})
		require.NoError(t, err, c.source)
		near(t, c.want, got.Num[0], 1e-15, c.source)
	}
}

func TestInterpolateRefuses(t *testing.T) {
	const outside = "at lies outside the first and last of the xs. Add points to both lists, or use a value between them."
	const order = "The xs of interpolate must rise all the way or fall all the way; number 3 does not go on as those before it. Sort the points, and leave equal ones out."
	for _, c := range []struct {
		xs, ys []float64
		at     float64
		says   string
	}{
		{[]float64{1, 2, 3}, []float64{1, 2, 3}, 0.9, outside},
		{[]float64{1, 2, 3}, []float64{1, 2, 3}, 3.1, outside},
		{[]float64{3, 2, 1}, []float64{1, 2, 3}, 3.1, outside},
		{[]float64{3, 2, 1}, []float64{1, 2, 3}, 0.9, outside},
		{[]float64{1, 2, 2}, []float64{1, 2, 3}, 1.5, order},
		{[]float64{1, 3, 2}, []float64{1, 2, 3}, 1.5, order},
		{[]float64{3, 2, 2.5}, []float64{1, 2, 3}, 2.8, order},
		{[]float64{1, 2, 3}, []float64{1, 2}, 1.5, "interpolate needs as many ys as xs; here are 3 xs and 2 ys."},
		{[]float64{1}, []float64{1}, 1, "interpolate needs at least two points; here is 1."},
		{[]float64{}, []float64{}, 1, "interpolate needs at least two points; here is 0."},
	} {
		_, err := call(t, "interpolate", c.xs, c.ys, []float64{c.at})
		assert.EqualError(t, err, c.says, "xs %v, ys %v, at %v", c.xs, c.ys, c.at)
	}
}

// The data of NIST StRD, Norris (from memory): pairs of y and x.
var norris = [][2]float64{{0.1, 0.2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5}, {668.5, 666.3},
	{998.5, 996.3}, {449.1, 448.6}, {778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4}, {0.1, 0.6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0},
	{448.9, 447.5}, {10.8, 11.6}, {557.7, 556.0}, {228.3, 228.1}, {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3}, {0.6, 0.3},
	{557.6, 556.8}, {339.3, 339.1}, {888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1}, {117.6, 118.3}, {228.9, 229.2},
	{668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5}}

func TestLineFit(t *testing.T) {
	var nx, ny []float64
	for _, p := range norris {
		nx, ny = append(nx, p[1]), append(ny, p[0])
	}
	for _, c := range []struct {
		source                     string
		xs, ys                     []float64
		slope, intercept, rSquared float64
		share                      float64
	}{
		{"NIST StRD, Norris, certified (from memory)", nx, ny, 1.00211681802045, -0.262323073774029, 0.999993745883712, 2e-13},
		{"Anscombe (1973), The American Statistician 27(1), first set; slope 0.5, intercept 3, r squared 0.667 as printed (from memory)",
			[]float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}, []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}, 0.5, 3, 0.667, 7e-4},
		// About the means, 2 and 4: sxx = 1 + 0 + 1 = 2, sxy = 2 + 0 + 1 = 3, syy = 4 + 1 + 1 = 6.
		{"by hand: slope 3/2, intercept 4 - 3, r squared 9/(2·6)", []float64{1, 2, 3}, []float64{2, 5, 5}, 1.5, 1, 0.75, 1e-15},
		{"a line through two points, by hand", []float64{1, 3}, []float64{10, 4}, -3, 13, 1, 1e-15},
		{"equal ys, by hand", []float64{1, 2, 3}, []float64{0.1, 0.1, 0.1}, 0, 0.1, 1, 1e-15},
		{"squares beyond the largest float, by hand", []float64{1e200, 2e200}, []float64{1, 2}, 1e-200, 0, 1, 1e-15},
		{"squares below the smallest float, by hand", []float64{1, 2, 3}, []float64{2e-200, 5e-200, 5e-200}, 1.5e-200, 1e-200, 0.75, 1e-15},
		{"no relation, by hand", []float64{-1, 0, 1}, []float64{1, 0, 1}, 0, 2. / 3, 0, 1e-15},
	} {
		got, err := call(t, "line_fit", c.xs, c.ys)
		require.NoError(t, err, c.source)
		require.Len(t, got.Fields, 3)
		require.Equal(t, 1, got.Len(), "one record")
		near(t, c.slope, got.Fields[0].Num[0], c.share, "slope, %s", c.source)
		near(t, c.intercept, got.Fields[1].Num[0], c.share, "intercept, %s", c.source)
		near(t, c.rSquared, got.Fields[2].Num[0], c.share, "r squared, %s", c.source)
	}
}

func TestLineFitRefuses(t *testing.T) {
	const equal = "All xs of line_fit are equal, and no line goes through such points. Add a point with another x."
	for _, c := range []struct {
		xs, ys []float64
		says   string
	}{
		{[]float64{1, 2}, []float64{1, 2, 3}, "line_fit needs as many ys as xs; here are 2 xs and 3 ys."},
		{[]float64{1}, []float64{2}, "line_fit needs at least two points; here is 1."},
		{[]float64{0.1, 0.1, 0.1}, []float64{1, 2, 3}, equal},
		{[]float64{0.3, 0.1 + 0.2}, []float64{1, 2}, equal},
		{[]float64{0, 0}, []float64{1, 2}, equal},
		{[]float64{-1.7e308, 1.7e308}, []float64{1, 2}, "The line of line_fit has numbers that are too large to be held."},
		{[]float64{1e-200, 2e-200}, []float64{1e200, 2e200}, "The line of line_fit has numbers that are too large to be held."},
	} {
		_, err := call(t, "line_fit", c.xs, c.ys)
		assert.EqualError(t, err, c.says, "xs %v, ys %v", c.xs, c.ys)
	}
}

func TestFitProperties(t *testing.T) {
	interpolate, fit := entry(t, "interpolate").Call, entry(t, "line_fit").Call
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1e3, 1e3).Draw(t, "x")
		a, b := rapid.Float64Range(-1e3, 1e3).Draw(t, "a"), rapid.Float64Range(-1e3, 1e3).Draw(t, "b")
		var xs, ys, line []float64
		for _, gap := range rapid.SliceOfN(rapid.Float64Range(0.1, 10), 2, 20).Draw(t, "gaps") {
			x += gap
			xs, line = append(xs, x), append(line, a+b*x)
			ys = append(ys, rapid.Float64Range(-1e3, 1e3).Draw(t, "y"))
		}
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		i := rapid.IntRange(0, len(xs)-2).Draw(t, "i")
		at := min(xs[i]+share*(xs[i+1]-xs[i]), xs[i+1])
		got, err := interpolate([]value.Column{value.Nums(xs...), value.Nums(ys...), value.One(at)})
		if err != nil {
			t.Fatal(err)
		}
		low, high := min(ys[i], ys[i+1]), max(ys[i], ys[i+1])
		if y := got.Num[0]; y < low-1e-9 || y > high+1e-9 {
			t.Fatalf("%v is not between %v and %v", y, low, high)
		}
		r, err := fit([]value.Column{value.Nums(xs...), value.Nums(line...)})
		if err != nil {
			t.Fatal(err)
		}
		size := math.Abs(a) + math.Abs(b)*1e3
		if math.Abs(r.Fields[0].Num[0]-b) > 1e-9*(size+1) || math.Abs(r.Fields[1].Num[0]-a) > 1e-6*(size+1) {
			t.Fatalf("the points of %v + %v x give %v + %v x", a, b, r.Fields[1].Num[0], r.Fields[0].Num[0])
		}
	})
}
