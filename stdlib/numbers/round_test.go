package numbers_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"castwright/stdlib/numbers"
)

// Source of the table: ruling 23 of the language ("a value within 10^-9·max(1, n) of n steps, at most 10^-3 of a step,
// is on it"; ties away from zero), worked by hand.
func TestRuling23Rounding(t *testing.T) {
	const inch = 0.0254
	for _, c := range []struct {
		about             string
		x, step           float64
		up, down, nearest float64
	}{
		{"between two steps", 11.2, 1, 12, 11, 11},
		{"on a step", 12, 1, 12, 12, 12},
		{"a last digit above a step", 12.000000000000002, 1, 12, 12, 12},
		{"a last digit below a step", 11.999999999999998, 1, 12, 12, 12},
		{"just within the tolerance", 1 + 0.9e-9, 1, 1, 1, 1},
		{"just outside it", 1 + 1.1e-9, 1, 2, 1, 1},
		{"it grows with the number of steps", 1e5 + 0.9e-4, 1, 1e5, 1e5, 1e5},
		{"outside it at many steps", 1e5 + 1.1e-4, 1, 1e5 + 1, 1e5, 1e5},
		{"it ends at a thousandth of a step", 1e8 + 0.0009, 1, 1e8, 1e8, 1e8},
		{"outside a thousandth", 1e8 + 0.0011, 1, 1e8 + 1, 1e8, 1e8},
		{"below one step it does not shrink", 0.9e-9, 1, 0, 0, 0},
		{"a small value outside it", 1.1e-9, 1, 1, 0, 0},
		{"nothing", 0, 5, 0, 0, 0},
		{"below zero", -11.2, 1, -11, -12, -11},
		{"below zero, on a step", -12.000000000000002, 1, -12, -12, -12},
		{"a tie goes away from zero", 2.5, 1, 3, 2, 3},
		{"a tie below zero", -2.5, 1, -2, -3, -3},
		{"a tie at an even number", 3.5, 1, 4, 3, 4},
		{"half a step", 0.5, 1, 1, 0, 1},
		{"a tie that binary arithmetic puts below", 2.675, 0.01, 2.68, 2.67, 2.68},
		{"another", 1.005, 0.01, 1.01, 1, 1.01},
		{"a decimal step leaves no noise", 0.13, 0.05, 0.15, 0.10, 0.15},
		{"a length in metres, step 5 mm", 0.433, 0.005, 0.435, 0.430, 0.435},
		{"sixteenths of an inch", 4.4 * inch, inch / 16, 4.4375 * inch, 4.375 * inch, 4.375 * inch},
		{"tenths that add up to one", 0.1 + 0.2, 0.1, 0.3, 0.3, 0.3},
		{"a step above the value", 7, 50, 50, 0, 0},
		{"money up to a step of ten", 1234.56, 10, 1240, 1230, 1230},
		{"a step far below the last digit", 1e300, 1e-300, 1e300, 1e300, 1e300},
	} {
		t.Run(c.about, func(t *testing.T) {
			near(t, c.up, numbers.RoundUp(c.x, c.step), 1e-15, "up")
			near(t, c.down, numbers.RoundDown(c.x, c.step), 1e-15, "down")
			near(t, c.nearest, numbers.Nearest(c.x, c.step), 1e-15, "nearest")
		})
	}
}

// What is shown of a multiple of a decimal step is that decimal number, to the last bit.
func TestRoundingLeavesNoNoise(t *testing.T) {
	assert.Equal(t, 0.15, numbers.Nearest(0.151, 0.05))
	assert.Equal(t, 0.3, numbers.RoundUp(0.21, 0.1))
	assert.Equal(t, 1.01, numbers.Nearest(1.005, 0.01))
	assert.False(t, math.Signbit(numbers.RoundUp(-0.4, 1)), "a zero has no sign")
	assert.False(t, math.Signbit(numbers.Nearest(-0.4, 0.05*20)), "a zero has no sign")
}

func TestRoundingNeedsAStep(t *testing.T) {
	for _, step := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		for name, f := range map[string]func(x, step float64) float64{"round_up": numbers.RoundUp, "round_down": numbers.RoundDown, "nearest": numbers.Nearest} {
			assert.True(t, math.IsNaN(f(12, step)), "%s with a step of %v", name, step)
		}
		n, on := numbers.OnStep(12, step)
		assert.True(t, math.IsNaN(n) && !on, "a step of %v", step)
	}
}

func TestOnStepCountsSteps(t *testing.T) {
	for _, c := range []struct {
		x, step, n float64
		on         bool
	}{{0.435, 0.005, 87, true}, {0.433, 0.005, 86.6, false}, {-3, 1.5, -2, true}, {12.000000000000002, 1, 12, true}, {0, 3, 0, true}} {
		n, on := numbers.OnStep(c.x, c.step)
		near(t, c.n, n, 1e-14)
		assert.Equal(t, c.on, on, "%v in steps of %v", c.x, c.step)
	}
}

func TestRoundingProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.Float64Range(1e-6, 1e4).Draw(t, "step")
		x := rapid.Float64Range(-1e6, 1e6).Draw(t, "steps") * step
		up, down, nearest := numbers.RoundUp(x, step), numbers.RoundDown(x, step), numbers.Nearest(x, step)
		slack := 1.01 * math.Min(1e-9*math.Max(1, math.Abs(x/step)), 1e-3) * step
		if up < x-slack || up >= x+step {
			t.Fatalf("round_up(%v, %v) = %v", x, step, up)
		}
		if down > x+slack || down <= x-step {
			t.Fatalf("round_down(%v, %v) = %v", x, step, down)
		}
		if math.Abs(nearest-x) > step/2+slack {
			t.Fatalf("nearest(%v, %v) = %v", x, step, nearest)
		}
		if nearest != up && nearest != down {
			t.Fatalf("nearest(%v, %v) = %v is neither %v nor %v", x, step, nearest, up, down)
		}
		if numbers.RoundDown(-x, step) != -up || numbers.Nearest(-x, step) != -nearest {
			t.Fatalf("the roundings of %v and %v in steps of %v are not mirrored", x, -x, step)
		}
		if numbers.RoundUp(up, step) != up || numbers.RoundDown(up, step) != up || numbers.Nearest(up, step) != up {
			t.Fatalf("%v, a multiple of %v, does not stay", up, step)
		}
	})
}
