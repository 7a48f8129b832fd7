package show

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Rounding is done on the decimal number that a float stands for (the shortest that gives the same float back), as a
// reader would do it on paper: 2.675 to hundredths is 2.68. Ties go away from zero, and a value so near a tie that only
// binary arithmetic keeps it from being one is that tie (ruling 23).

// decimal gives the shortest decimal number that stands for x, exactly.
func decimal(x float64) *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(x, 'g', -1, 64))
	if !ok {
		return new(big.Rat)
	}
	return r
}

// tieTolerance is how near, in steps, a value of q steps must be to a tie to count as one: the last bits of a float, and
// no more, so that nothing is rounded up from below its half.
func tieTolerance(q float64) float64 { return math.Min(1e-13*math.Max(1, q), 5e-4) }

// exactSteps gives the whole number of steps nearest to x, ties away from zero. The step is larger than 0.
func exactSteps(x float64, step *big.Rat) *big.Int {
	q := decimal(x)
	q.Quo(q, step)
	size, _ := q.Float64()
	return nearest(q, tieTolerance(math.Abs(size)))
}

// nearest gives the whole number nearest to q, ties and what is within a tolerance below them away from zero.
func nearest(q *big.Rat, tolerance float64) *big.Int {
	n, rest := new(big.Int).QuoRem(new(big.Int).Abs(q.Num()), q.Denom(), new(big.Int))
	over, _ := new(big.Rat).SetFrac(rest, q.Denom()).Float64()
	if over >= 0.5-tolerance {
		n.Add(n, big.NewInt(1))
	}
	if q.Sign() < 0 {
		n.Neg(n)
	}
	return n
}

// fastSteps is exactSteps for a value already divided by its step, where it is small enough, and far enough from a tie,
// that the error of that division cannot change the answer.
func fastSteps(q float64) (int64, bool) {
	if !(math.Abs(q) < 1e12) {
		return 0, false
	}
	down := math.Floor(q)
	over := q - down
	switch {
	case over < 0.5-2e-3:
		return int64(down), true
	case over > 0.5+2e-3:
		return int64(down) + 1, true
	}
	return 0, false
}

// onStep gives the whole number of steps that x is on by ruling 23; false where it is on none.
func onStep(x, step float64) (int64, bool) {
	q := x / step
	n := math.Round(q)
	if !(math.Abs(n) < 1e15) || math.Abs(q-n) > math.Min(1e-9*math.Max(1, math.Abs(n)), 1e-3) {
		return 0, false
	}
	return int64(n), true
}

// isWhole tells whether a number is whole by ruling 23. Beyond 1e15 every number is.
func isWhole(x float64) bool {
	_, ok := onStep(x, 1)
	return ok || math.Abs(x) >= 1e15
}

// powers are the powers of ten that a float holds exactly.
var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
	1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// below are the negative powers of ten, as the floats nearest to them.
var below = [...]float64{1, 1e-1, 1e-2, 1e-3, 1e-4}

// exponent gives the power of ten of the first digit of x, for 1e-4 <= |x| < 1e15; false outside.
func exponent(x float64) (int, bool) {
	x = math.Abs(x)
	if !(x >= 1e-4 && x < 1e15) {
		return 0, false
	}
	if x < 1 {
		e := 1
		for x < below[e] {
			e++
		}
		return -e, true
	}
	e := 0
	for x >= powers[e+1] {
		e++
	}
	return e, true
}

// tenth gives 10^-n.
func tenth(n int) *big.Rat {
	return new(big.Rat).SetFrac(big.NewInt(1), new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil))
}

// fixed writes x with a number of decimals.
func fixed(x float64, decimals int) string {
	if decimals < len(powers) {
		if n, ok := fastSteps(x * powers[decimals]); ok {
			return scaled(n, decimals)
		}
	}
	return scaledBig(exactSteps(x, tenth(decimals)), decimals)
}

// scaled writes n units of the last of some decimals: 1205 with 2 decimals is 12.05. Zero has no sign.
func scaled(n int64, decimals int) string {
	var buf [24]byte
	return point(strconv.AppendInt(buf[:0], n, 10), decimals)
}

func scaledBig(n *big.Int, decimals int) string {
	return point(n.Append(nil, 10), decimals)
}

// point puts the point and the zeros before it into a whole number.
func point(digits []byte, decimals int) string {
	if decimals == 0 {
		return string(digits)
	}
	var buf [48]byte
	out := buf[:0]
	if digits[0] == '-' {
		out, digits = append(out, '-'), digits[1:]
	}
	whole := len(digits) - decimals
	if whole <= 0 {
		out = append(out, '0', '.')
		for ; whole < 0; whole++ {
			out = append(out, '0')
		}
		return string(append(out, digits...))
	}
	out = append(append(out, digits[:whole]...), '.')
	return string(append(out, digits[whole:]...))
}

// dropZeros takes the ending zeros behind the point away.
func dropZeros(s string) string {
	if strings.IndexByte(s, '.') < 0 {
		return s
	}
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// fraction gives a step as a quotient of whole numbers, where they are small.
func fraction(step *big.Rat) (num, den int64, ok bool) {
	const most = 1 << 53
	a, b := step.Num(), step.Denom()
	if !a.IsInt64() || !b.IsInt64() {
		return 0, 0, false
	}
	num, den = a.Int64(), b.Int64()
	return num, den, num > 0 && num < most && den < most
}

// decimalsOf gives the decimals that write a step exactly; false where no number of them does, as for 1/3.
func decimalsOf(step *big.Rat) (int, bool) {
	if _, den, ok := fraction(step); ok {
		n, twos, fives := den, 0, 0
		for ; n%2 == 0; n /= 2 {
			twos++
		}
		for ; n%5 == 0; n /= 5 {
			fives++
		}
		return max(twos, fives), n == 1
	}
	return step.FloatPrec()
}
