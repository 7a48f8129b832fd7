package show

import (
	"math"
	"math/big"
	"strings"
)

// stepsOf gives the multiple of the step nearest to x, exactly.
func stepsOf(x float64, step *big.Rat) *big.Rat {
	v := new(big.Rat).SetInt(exactSteps(x, step))
	return v.Mul(v, step)
}

// compound writes a value in several units, `6 ft 2 3/8 in`. The whole is rounded in the last unit first, so that what
// is rounded up is carried; parts that are zero are left out, and a minus stands over the whole.
func (s *Spec) compound(si float64) string {
	last := &s.Units[len(s.Units)-1]
	x := math.Abs(last.in(si))
	if x >= 1e15 { // beyond what a float tells apart in the last unit
		large := s.Units[0].in(si)
		if math.IsInf(large, 0) {
			return NotANumber
		}
		return s.Units[0].behind(plain(large, false))
	}
	total, step, asTape := s.total(x)
	sign := ""
	if si < 0 && (total.Sign() != 0 || s.Step == nil && !asTape && x >= smallest) {
		sign = "-"
	}
	var parts []string
	for i := range s.Units[:len(s.Units)-1] {
		u := &s.Units[i]
		size := relative(u, last)
		n := new(big.Rat).Quo(total, size)
		whole := new(big.Int).Quo(n.Num(), n.Denom())
		if whole.Sign() == 0 {
			continue
		}
		total.Sub(total, size.Mul(size, new(big.Rat).SetInt(whole)))
		parts = append(parts, u.behind(whole.String()))
	}
	if rest := s.lastPart(x, total, step, asTape, len(parts) > 0); rest != "" {
		parts = append(parts, last.behind(rest))
	}
	return sign + strings.Join(parts, " ")
}

// total gives the value rounded in the last unit, the step it is rounded to, and whether it is shown as a fraction.
// Where no step is stated it has four significant digits, or is the fraction of a tape that it was written as.
func (s *Spec) total(x float64) (v, step *big.Rat, asTape bool) {
	if s.Step != nil {
		return stepsOf(x, s.Step), s.Step, s.Tape
	}
	if s.Tape {
		if v := onTape(x); v != nil {
			return v, big.NewRat(1, tapeMarks), true
		}
	}
	e, _ := exponent(x)
	step = tenth(max(0, 3-e))
	return stepsOf(x, step), step, false
}

// lastPart writes what is left for the last unit; "" where nothing is left behind larger units.
func (s *Spec) lastPart(x float64, rest, step *big.Rat, asTape, larger bool) string {
	decimals, ok := decimalsOf(step)
	switch {
	case larger && rest.Sign() == 0:
		return ""
	case asTape || !ok:
		return tape(rest)
	case s.Step != nil:
		return rational(rest, decimals)
	case !larger:
		return plain(x, false)
	}
	text := dropZeros(rational(rest, decimals))
	if text == "0" {
		return ""
	}
	return text
}

// relative gives the size of a unit in another of the same kind.
func relative(u, other *Unit) *big.Rat {
	size := new(big.Rat).Quo(u.ratio(), other.ratio())
	switch pi := new(big.Rat).SetFloat64(math.Pi); {
	case u.Pi && !other.Pi:
		size.Mul(size, pi)
	case other.Pi && !u.Pi:
		size.Quo(size, pi)
	}
	return size
}
