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
// is rounded up is carried; where that leaves a rest that the step cannot write (feet and whole millimetres), only what
// is left for the last unit is rounded. Parts that are zero are left out, and a minus stands over the whole.
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
	sizes := s.sizes()
	if !holds(sizes, step, asTape) {
		total = carried(decimal(x), sizes, step)
	}
	sign := ""
	if si < 0 && (total.Sign() != 0 || s.Step == nil && !asTape && x >= smallest) {
		sign = "-"
	}
	wholes, rest := split(total, sizes)
	var parts []string
	for i, whole := range wholes {
		if whole.Sign() != 0 {
			parts = append(parts, s.Units[i].behind(whole.String()))
		}
	}
	if text := s.lastPart(x, rest, step, asTape, len(parts) > 0); text != "" {
		parts = append(parts, last.behind(text))
	}
	return sign + strings.Join(parts, " ")
}

// total gives the value rounded in the last unit, the step it is rounded to, and whether it is shown as a fraction.
// Where no step is stated it has four significant digits, or is the fraction of a tape that it was written as.
func (s *Spec) total(x float64) (v, step *big.Rat, asTape bool) {
	if s.Step != nil {
		_, ends := decimalsOf(s.Step)
		return stepsOf(x, s.Step), s.Step, s.Tape || !ends
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
	decimals, _ := decimalsOf(step)
	switch {
	case larger && rest.Sign() == 0:
		return ""
	case asTape:
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

// sizes gives the units but the last, in the last.
func (s *Spec) sizes() []*big.Rat {
	last := len(s.Units) - 1
	out := make([]*big.Rat, last)
	for i := range out {
		out[i] = relative(&s.Units[i], &s.Units[last])
	}
	return out
}

// holds tells whether what is left of a multiple of the step, taking whole larger units away, can still be written: as
// a fraction of the tape, or with the decimals of the step. A foot is 12 in, but 304.8 mm, which whole millimetres do
// not hold.
func holds(sizes []*big.Rat, step *big.Rat, asFraction bool) bool {
	marks := new(big.Rat).SetInt(step.Denom())
	if !asFraction {
		decimals, _ := decimalsOf(step)
		marks.Inv(tenth(decimals))
	}
	for _, size := range sizes {
		if !new(big.Rat).Mul(size, marks).IsInt() {
			return false
		}
	}
	return true
}

// split takes whole units of each size, the largest first, and gives what is left. The total stays as it is.
func split(total *big.Rat, sizes []*big.Rat) (wholes []*big.Int, rest *big.Rat) {
	rest = new(big.Rat).Set(total)
	for _, size := range sizes {
		n := new(big.Rat).Quo(rest, size)
		whole := new(big.Int).Quo(n.Num(), n.Denom())
		rest.Sub(rest, n.Mul(size, n.SetInt(whole)))
		wholes = append(wholes, whole)
	}
	return wholes, rest
}

// carried rounds only what is left for the last unit to the step. Where that would fill a larger unit, it is carried:
// the total becomes the multiple of that unit.
func carried(total *big.Rat, sizes []*big.Rat, step *big.Rat) *big.Rat {
	rest, room := total, (*big.Rat)(nil)
	for i := range sizes {
		_, rest = split(rest, sizes[i:i+1])
		if r := new(big.Rat).Sub(sizes[i], rest); room == nil || r.Cmp(room) < 0 {
			room = r
		}
	}
	left, _ := rest.Float64()
	more := stepsOf(left, step)
	more.Sub(more, rest)
	if more.Cmp(room) > 0 {
		more = room
	}
	return more.Add(more, total)
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
