package show

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// plain writes a number for which no step is stated (ruling 15): at most four significant digits, ending zeros dropped,
// no digit rounded away left of the point. From 1e-4 up to 1e15 it is a decimal, outside a power of ten stands behind
// it. A bare number or a count that is not whole is never shown as whole.
func plain(x float64, bare bool) string {
	if x == 0 {
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

// notWhole writes a number that is not whole so that it does not look whole: with decimals up to the first that is not
// 0, and on until the number shown is itself not whole by ruling 23.
func notWhole(x float64, decimals int) string {
	for decimals++; decimals < 18; decimals++ {
		s := fixed(x, decimals)
		if s[len(s)-1] == '0' {
			continue
		}
		if y, err := strconv.ParseFloat(s, 64); err == nil && !isWhole(y) {
			return s
		}
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
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
		return tape(new(big.Rat).Mul(new(big.Rat).SetInt(exactSteps(x, step)), step))
	}
	decimals = max(decimals, least)
	if num, den, ok := fraction(step); ok && decimals < 16 && float64(num)*powers[decimals] < 1e15 {
		one := num * int64(powers[decimals]) / den // a step, in units of the last decimal
		n, ok := fastSteps(x * float64(den) / float64(num))
		if ok && math.Abs(float64(n))*float64(one) < 1e15 {
			return scaled(n*one, decimals)
		}
	}
	v := new(big.Rat).Mul(new(big.Rat).SetInt(exactSteps(x, step)), step)
	return rational(v, decimals)
}

// rational writes v with decimals that hold it exactly or, where none do, rounded.
func rational(v *big.Rat, decimals int) string {
	s := v.FloatString(decimals) // halves go away from zero
	if s[0] == '-' && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}

// tape writes v as a mixed fraction in lowest terms, as read off a tape: 4 7/16, 3/8, 5, -4 7/16.
func tape(v *big.Rat) string {
	whole, rest := new(big.Int).QuoRem(new(big.Int).Abs(v.Num()), v.Denom(), new(big.Int))
	var b strings.Builder
	if v.Sign() < 0 {
		b.WriteByte('-')
	}
	if whole.Sign() != 0 || rest.Sign() == 0 {
		b.WriteString(whole.String())
		if rest.Sign() != 0 {
			b.WriteByte(' ')
		}
	}
	if rest.Sign() != 0 {
		b.WriteString(rest.String() + "/" + v.Denom().String())
	}
	return b.String()
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
