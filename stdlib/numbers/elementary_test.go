package numbers_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

const deg = math.Pi / 180

func TestFunctionsOfOneNumber(t *testing.T) {
	for _, c := range []struct {
		name    string
		x, want float64
		source  string
	}{
		{"abs", -3, 3, "definition"},
		{"abs", 3, 3, "definition"},
		{"sign", -0.2, -1, "definition"},
		{"sign", 0, 0, "definition"},
		{"sign", 7, 1, "definition"},
		{"sqrt", 2, 1.4142135623730951, "Abramowitz and Stegun, table 1.1 (from memory)"},
		{"sqrt", 0, 0, "closed form"},
		{"exp", 1, 2.718281828459045, "Abramowitz and Stegun, table 1.1 (from memory)"},
		{"exp", 0, 1, "closed form"},
		{"exp", -1e6, 0, "limit"},
		{"ln", 10, 2.302585092994046, "Abramowitz and Stegun, table 1.1 (from memory)"},
		{"ln", 1, 0, "closed form"},
		{"log10", 1000, 3, "closed form"},
		{"log10", 2, 0.3010299956639812, "Abramowitz and Stegun, table 4.1 (from memory)"},
		{"sin", 30 * deg, 0.5, "closed form"},
		{"sin", 36 * deg, math.Sqrt(10-2*math.Sqrt(5)) / 4, "closed form, Euclid XIII"},
		{"cos", 60 * deg, 0.5, "closed form"},
		{"cos", 15 * deg, (math.Sqrt(6) + math.Sqrt2) / 4, "closed form"},
		{"tan", 45 * deg, 1, "closed form"},
		{"tan", 22.5 * deg, math.Sqrt2 - 1, "closed form"},
		{"tan", -60 * deg, -math.Sqrt(3), "closed form"},
		{"asin", 0.5, 30 * deg, "closed form"},
		{"asin", -1, -90 * deg, "closed form"},
		{"acos", -0.5, 120 * deg, "closed form"},
		{"acos", 1, 0, "closed form"},
		{"atan", math.Sqrt(3), 60 * deg, "closed form"},
		{"atan", 1e300, 90 * deg, "limit"},
		{"absolute", 293.15, 293.15, "SI Brochure 9th edition, 2.3.1: a temperature is held in kelvin"},
	} {
		near(t, c.want, entry(t, c.name).Lane1(c.x), 4e-16, "%s(%v), %s", c.name, c.x, c.source)
	}
}

// Where pi as a float would leave noise, the values at the quarter turns are exact.
func TestQuarterTurnsAreExact(t *testing.T) {
	for quarter, want := range map[float64][2]float64{0: {0, 1}, 1: {1, 0}, 2: {0, -1}, 3: {-1, 0}, 4: {0, 1}, -1: {-1, 0}, -2: {0, -1}} {
		a := quarter * math.Pi / 2
		assert.Equal(t, want[0], entry(t, "sin").Lane1(a), "sin of %v quarters", quarter)
		assert.Equal(t, want[1], entry(t, "cos").Lane1(a), "cos of %v quarters", quarter)
	}
	assert.Zero(t, entry(t, "tan").Lane1(math.Pi))
	assert.Equal(t, 1e-13, entry(t, "sin").Lane1(1e-13), "a small angle stays")
	assert.Equal(t, 1e-13, entry(t, "tan").Lane1(1e-13), "a small angle stays")
}

func TestFunctionsOfTwoNumbers(t *testing.T) {
	for _, c := range []struct {
		name       string
		a, b, want float64
		source     string
	}{
		{"hypot", 3, 4, 5, "Euclid I.47"},
		{"hypot", -5, 12, 13, "Euclid I.47"},
		{"hypot", 3e200, 4e200, 5e200, "Euclid I.47; the squares are too large for a number"},
		{"hypot", 0, 0, 0, "closed form"},
		{"atan2", 1, 1, 45 * deg, "closed form, first quadrant"},
		{"atan2", 1, -1, 135 * deg, "closed form, second quadrant"},
		{"atan2", -1, -1, -135 * deg, "closed form, third quadrant"},
		{"atan2", -1, 1, -45 * deg, "closed form, fourth quadrant"},
		{"atan2", 0, -1, 180 * deg, "closed form, on the axis"},
		{"atan2", math.Copysign(0, -1), -1, 180 * deg, "a zero has no sign"},
		{"mod", 7, 3, 1, "floored division, Knuth, The Art of Computer Programming 1, 1.2.4"},
		{"mod", -7, 3, 2, "floored division, Knuth"},
		{"mod", 7, -3, -2, "floored division, Knuth"},
		{"mod", -7, -3, -1, "floored division, Knuth"},
		{"mod", 6, 3, 0, "floored division"},
		{"mod", -6, 3, 0, "floored division"},
		{"mod", 1, 0.1, 0, "on paper: 10 tenths make 1"},
		{"mod", 0.3, -0.1, 0, "on paper: 3 tenths"},
		{"mod", 1, 0.3, 0.1, "on paper"},
	} {
		near(t, c.want, entry(t, c.name).Lane2(c.a, c.b), 1e-15, "%s(%v, %v), %s", c.name, c.a, c.b, c.source)
	}
}

// Outside their domain the functions have no finite value, which the engine tells with the sentence of Domain.
func TestOutsideTheDomain(t *testing.T) {
	for _, c := range []struct {
		name   string
		args   []float64
		domain string
	}{
		{"sqrt", []float64{-1}, "the square root of a number below 0"},
		{"ln", []float64{0}, "the logarithm of a number that is not above 0"},
		{"ln", []float64{-1}, "the logarithm of a number that is not above 0"},
		{"log10", []float64{0}, "the logarithm of a number that is not above 0"},
		{"exp", []float64{1000}, "the result is too large for a number"},
		{"asin", []float64{1.001}, "no angle has a sine beyond 1 or -1"},
		{"acos", []float64{-1.001}, "no angle has a cosine beyond 1 or -1"},
		{"tan", []float64{90 * deg}, "the tangent of a right angle"},
		{"tan", []float64{-270 * deg}, "the tangent of a right angle"},
		{"tan", []float64{30*deg + 60*deg}, "the tangent of a right angle"},
		{"mod", []float64{5, 0}, "the rest of a division by 0"},
		{"hypot", []float64{1e308, 1.7e308}, "the result is too large for a number"},
		{"round_up", []float64{5, 0}, "a step is larger than 0"},
		{"round_down", []float64{5, -1}, "a step is larger than 0"},
		{"nearest", []float64{5, 0}, "a step is larger than 0"},
	} {
		f := entry(t, c.name)
		var y float64
		if f.Lane1 != nil {
			y = f.Lane1(c.args[0])
		} else {
			y = f.Lane2(c.args[0], c.args[1])
		}
		assert.True(t, math.IsNaN(y) || math.IsInf(y, 0), "%s%v is %v", c.name, c.args, y)
		assert.Equal(t, c.domain, f.Domain, c.name)
	}
}

// A sine or cosine that arithmetic has put a last digit beyond 1 is 1 (ruling 17).
func TestInverseBesideOne(t *testing.T) {
	assert.Equal(t, 0.0, entry(t, "acos").Lane1(1.0000000000000002))
	assert.Equal(t, math.Pi, entry(t, "acos").Lane1(-1.0000000000000002))
	assert.Equal(t, math.Pi/2, entry(t, "asin").Lane1(1.0000000000000002))
}

func TestModProperties(t *testing.T) {
	mod := entry(t, "mod").Lane2
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-1e6, 1e6).Draw(t, "a")
		b := rapid.OneOf(rapid.Float64Range(1e-2, 1e3), rapid.Float64Range(-1e3, -1e-2)).Draw(t, "b")
		r := mod(a, b)
		if r != 0 && (r < 0) != (b < 0) || math.Abs(r) > math.Abs(b) {
			t.Fatalf("mod(%v, %v) = %v", a, b, r)
		}
		if n := (a - r) / b; math.Abs(n-math.Round(n)) > 1e-3 {
			t.Fatalf("mod(%v, %v) = %v leaves %v times b", a, b, r, n)
		}
	})
}
