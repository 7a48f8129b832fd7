// Package numbers holds the functions of numbers and lists: rounding, roots and powers, angles, statistics,
// interpolation. They are entries of the catalogue, with the facts that help tells.
package numbers

import "math"

// OnStep gives x in steps, and whether it is on a whole step by the tolerance of the language (ruling 23): within
// 1e-9·max(1, n) of n steps, and at most 1e-3 of a step. The step is larger than 0, else both are useless (NaN).
func OnStep(x, step float64) (n float64, on bool) {
	if !(step > 0) || math.IsInf(step, 0) {
		return math.NaN(), false
	}
	q := x / step
	r := math.Round(q)
	return q, math.Abs(q-r) <= math.Min(1e-9*math.Max(1, math.Abs(r)), 1e-3)
}

// RoundUp gives the least multiple of step that is not less than x. NaN where step is not larger than 0.
func RoundUp(x, step float64) float64 {
	q, on := OnStep(x, step)
	if on {
		return scale(math.Round(q), step)
	}
	return scale(math.Ceil(q), step)
}

// RoundDown gives the greatest multiple of step that is not more than x.
func RoundDown(x, step float64) float64 {
	q, on := OnStep(x, step)
	if on {
		return scale(math.Round(q), step)
	}
	return scale(math.Floor(q), step)
}

// tie is how near to a tie, as a share of the number of steps, a value is one: the last bits of a float, and no more, so
// that a cent is never rounded up from below its half.
const tie = 1e-13

// Nearest gives the multiple of step nearest to x, ties away from zero.
func Nearest(x, step float64) float64 {
	q, on := OnStep(x, step)
	if on {
		return scale(math.Round(q), step)
	}
	if h := math.Floor(math.Abs(q)) + 0.5; math.Abs(math.Abs(q)-h) <= math.Min(tie*math.Max(1, h), 5e-4) {
		return scale(math.Copysign(h+0.5, q), step) // a binary number seldom hits a decimal tie
	}
	return scale(math.Round(q), step)
}

// scale multiplies n steps; a step such as 0.05 is divided out as 1/20, so that 3 of them are 0.15 and not
// 0.15000000000000002.
func scale(n, step float64) float64 {
	if inv := math.Round(1 / step); inv >= 1 && inv < 1e9 && 1/inv == step {
		return n/inv + 0
	}
	return n*step + 0
}
