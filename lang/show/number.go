package show

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// smallest is the least number that the language reads; what lies below it is shown as 0.
const smallest = 1e-300

// plain writes a number for which no step is stated (ruling 15): at most four significant digits, ending zeros dropped,
// no digit rounded away left of the point. From 1e-4 up to 1e15 it is a decimal, outside a power of ten stands behind
// it. A bare number or a count that is not whole is never shown as whole.
func plain(x float64, bare bool) string {
	if math.Abs(x) < smallest {
		return "0"
	}
	e, ok := exponent(x)
	if !ok || math.Abs(x) >= 1e15-0.5 {
		return scientific(x)
	}
	decimals := max(0, 3-e)
	s := dropZeros(fixed(x, decimals))
	if bare && strings.IndexByte(s, '.') < 0 && !isWhole(x) {
		return notWhole(x, decimals)
	}
	return s
}

// mostDecimals is where the search for a decimal that is not 0 ends: a float of 1 or more has no more.
const mostDecimals = 17

// notWhole writes a number that is not whole so that it does not look whole: with more decimals than some number, up to
// the first that is not 0, and on until what is shown is read back as a number that is shown the same (11.00453 is not
// 11.005, which would be shown 11.01).
func notWhole(x float64, decimals int) string {
	for d := decimals + 1; d <= mostDecimals; d++ {
		if s, ok := unlikeWhole(x, d, decimals); ok {
			return s
		}
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// unlikeWhole writes x with d decimals; false where that ends in 0, is whole by ruling 23, or would, when read back, be
// shown with fewer decimals.
func unlikeWhole(x float64, d, decimals int) (string, bool) {
	s := fixed(x, d)
	y := parsed(s)
	if s[len(s)-1] == '0' || isWhole(y) || !isWhole(parsed(fixed(y, decimals))) {
		return "", false
	}
	for fewer := decimals + 1; fewer < d; fewer++ {
		if _, ok := unlikeWhole(y, fewer, decimals); ok {
			return "", false
		}
	}
	return s, true
}

// parsed reads what fixed wrote.
func parsed(s string) float64 {
	y, _ := strconv.ParseFloat(s, 64)
	return y
}

// scientific writes a very large or very small number with four significant digits: 1.234e-6.
func scientific(x float64) string {
	text := strconv.FormatFloat(x, 'e', -1, 64)
	mantissa, power, _ := strings.Cut(text, "e")
	m, _ := strconv.ParseFloat(mantissa, 64)
	e, _ := strconv.Atoi(power)
	s := dropZeros(fixed(m, 3))
	switch s {
	case "10", "-10":
		s = strings.TrimSuffix(s, "0")
		e++
	}
	if e == -4 { // rounded up to where plain decimals begin
		return strings.Replace(s, "1", "0.0001", 1)
	}
	return s + "e" + strconv.Itoa(e)
}

// stepped writes x to a step, with the decimals that the step needs, and no fewer than least.
func stepped(x float64, step *big.Rat, least int) string {
	decimals, ok := decimalsOf(step)
	if !ok {
		return tape(stepsOf(x, step))
	}
	decimals = max(decimals, least)
	if num, den, ok := fraction(step); ok && decimals < 16 && float64(num)*powers[decimals] < 1e15 {
		one := num * int64(powers[decimals]) / den // a step, in units of the last decimal
		n, ok := fastSteps(x * float64(den) / float64(num))
		if ok && math.Abs(float64(n))*float64(one) < 1e15 {
			return scaled(n*one, decimals)
		}
	}
	return rational(stepsOf(x, step), decimals)
}

// amount writes money with the digits of its minor unit. Sums and products of floats are off in their last digits, so
// a tie is looked for in the number rounded to 12 significant digits, and to more where those would not reach four
// digits beyond the minor unit.
func amount(x float64, minor int) string {
	if n, ok := fastSteps(x * powers[minor]); ok {
		return scaled(n, minor)
	}
	whole := len(strconv.FormatFloat(math.Abs(x), 'f', 0, 64))
	digits := min(max(whole+minor+4, 12), 15)
	text := strconv.FormatFloat(x, 'e', digits-1, 64)
	if math.Abs(x) >= 1e15 {
		text = strconv.FormatFloat(x, 'e', -1, 64)
	}
	q, _ := new(big.Rat).SetString(text)
	q.Quo(q, tenth(minor))
	return scaledBig(nearest(q, 0), minor)
}

// rational writes v with decimals that hold it exactly or, where none do, rounded.
func rational(v *big.Rat, decimals int) string {
	s := v.FloatString(decimals) // halves go away from zero
	if s[0] == '-' && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}

// tapeSteps writes the multiple of the step nearest to x as a mixed fraction.
func tapeSteps(x float64, step *big.Rat) string {
	if num, den, ok := fraction(step); ok && num < 1e6 {
		if n, ok := fastSteps(x * float64(den) / float64(num)); ok {
			return mixed(n*num, den)
		}
	}
	return tape(stepsOf(x, step))
}

// mixed writes num/den as a mixed fraction in lowest terms, as read off a tape: 4 7/16, 3/8, 5, -4 7/16.
func mixed(num, den int64) string {
	buf := make([]byte, 0, 24)
	if num < 0 {
		buf, num = append(buf, '-'), -num
	}
	whole, rest := num/den, num%den
	if whole != 0 || rest == 0 {
		buf = strconv.AppendInt(buf, whole, 10)
		if rest == 0 {
			return string(buf)
		}
		buf = append(buf, ' ')
	}
	common := gcd(rest, den)
	buf = append(strconv.AppendInt(buf, rest/common, 10), '/')
	return string(strconv.AppendInt(buf, den/common, 10))
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// tape is mixed for a number of any size.
func tape(v *big.Rat) string {
	if v.Num().IsInt64() && v.Denom().IsInt64() {
		return mixed(v.Num().Int64(), v.Denom().Int64())
	}
	whole, rest := new(big.Int).QuoRem(new(big.Int).Abs(v.Num()), v.Denom(), new(big.Int))
	sign := ""
	if v.Sign() < 0 {
		sign = "-"
	}
	if rest.Sign() == 0 {
		return sign + whole.String()
	}
	return sign + whole.String() + " " + rest.String() + "/" + v.Denom().String()
}

// tapeMarks is the finest division of a tape that is shown where no step is stated.
const tapeMarks = 64

// onTape gives x as the fraction of a tape that it is, by ruling 23; nil where it is none.
func onTape(x float64) *big.Rat {
	n, ok := onStep(x, 1.0/tapeMarks)
	if !ok {
		return nil
	}
	return big.NewRat(n, tapeMarks)
}
