package show

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// decimal turns a number into an exact decimal of its first 15 digits, so that what is shown is rounded as the decimal
// number that a reader sees and not as its binary neighbour (2.675 is 2.68).
func decimal(x float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(x, 'e', 14, 64))
	return r
}

// roundSteps gives x as the nearest whole number of steps, ties away from zero (ruling 23).
func roundSteps(x, step *big.Rat) *big.Int {
	q := new(big.Rat).Quo(x, step)
	num := new(big.Int).Abs(q.Num())
	num.Lsh(num, 1).Add(num, q.Denom())
	n := num.Quo(num, new(big.Int).Lsh(q.Denom(), 1))
	if q.Sign() < 0 {
		n.Neg(n)
	}
	return n
}

var ten = big.NewInt(10)

func power10(n int) *big.Rat {
	p := new(big.Rat).SetInt(new(big.Int).Exp(ten, big.NewInt(int64(max(n, -n))), nil))
	if n < 0 {
		p.Inv(p)
	}
	return p
}

// fixed writes x with a number of decimals, ties away from zero.
func fixed(x float64, digits int) string {
	return strip(roundSteps(decimal(x), power10(-digits)), digits)
}

// strip writes n hundredths (and so on) as a decimal; minus zero is 0.
func strip(n *big.Int, digits int) string {
	s := new(big.Int).Abs(n).String()
	if digits > 0 {
		if len(s) <= digits {
			s = strings.Repeat("0", digits+1-len(s)) + s
		}
		s = s[:len(s)-digits] + "." + s[len(s)-digits:]
	}
	if n.Sign() < 0 {
		s = "-" + s
	}
	return s
}

func dropZeros(s string) string {
	if !strings.Contains(s, ".") {
		return s
	}
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// exponent is the power of ten of the first digit.
func exponent(x float64) int {
	s := strconv.FormatFloat(math.Abs(x), 'e', 14, 64)
	e, _ := strconv.Atoi(s[strings.IndexByte(s, 'e')+1:])
	return e
}

// plain writes a number without a stated step: at most four significant digits, ending zeros dropped, no digit rounded
// away left of the point. A bare number or count that is not whole goes on to the first decimal that is not 0.
func plain(x float64, bare bool) string {
	if x == 0 {
		return "0"
	}
	e := exponent(x)
	if e < -4 || e >= 15 {
		return scientific(x)
	}
	digits := max(0, 3-e)
	s := dropZeros(fixed(x, digits))
	if bare && !strings.Contains(s, ".") && !isWhole(x) {
		for digits < 15 {
			digits++
			if t := fixed(x, digits); strings.ContainsAny(t[strings.IndexByte(t, '.')+1:], "123456789") {
				return dropZeros(t)
			}
		}
	}
	return s
}

func scientific(x float64) string {
	e := exponent(x)
	n := roundSteps(decimal(x), power10(e-3))
	s := new(big.Int).Abs(n).String()
	if len(s) > 4 { // 9.9996 became 10.00
		e++
		s = s[:4]
	}
	m := dropZeros(s[:1] + "." + s[1:])
	if n.Sign() < 0 {
		m = "-" + m
	}
	return m + "e" + strconv.Itoa(e)
}

// isWhole tells whether a number is whole by ruling 23.
func isWhole(x float64) bool {
	n := math.Round(x)
	return math.Abs(x-n) <= math.Min(1e-9*math.Max(1, math.Abs(n)), 1e-3)
}

// stepped writes x to a decimal step, with the decimals of the step.
func stepped(x float64, step *big.Rat) string {
	n := roundSteps(decimal(x), step)
	v := new(big.Rat).Mul(new(big.Rat).SetInt(n), step)
	digits := 0
	for d := new(big.Rat).Set(step); !d.IsInt() && digits < 15; digits++ {
		d.Mul(d, power10(1))
	}
	return strip(roundSteps(v, power10(-digits)), digits)
}

// tape writes a whole number of steps as a mixed fraction, reduced: 4 7/16.
func tape(n *big.Int, step *big.Rat) string {
	v := new(big.Rat).Mul(new(big.Rat).SetInt(n), step)
	sign := ""
	if v.Sign() < 0 {
		sign = "-"
		v.Neg(v)
	}
	whole, rest := new(big.Int).QuoRem(v.Num(), v.Denom(), new(big.Int))
	switch {
	case rest.Sign() == 0:
		return sign + whole.String()
	case whole.Sign() == 0:
		return sign + rest.String() + "/" + v.Denom().String()
	}
	return sign + whole.String() + " " + rest.String() + "/" + v.Denom().String()
}

// money writes an amount with its minor digits. Floating sums are off in their last bits, so that a tie is judged on 12
// significant digits.
func money(x float64, digits int) string {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(x, 'e', 11, 64))
	if math.Abs(x) >= 1e9 { // 12 digits would eat the cents
		r = decimal(x)
	}
	return strip(roundSteps(r, power10(-digits)), digits)
}
