package show

import (
	"math"
	"math/big"
	"strconv"

	"castwright/lang/kind"
)

var one = big.NewRat(1, 1)

func (u *Unit) ratio() *big.Rat {
	if u.Ratio == nil {
		return one
	}
	return u.Ratio
}

// in gives an SI value in the unit. Multiplying and dividing by whole numbers keeps 0.0127 m at exactly 0.5 in.
func (u *Unit) in(si float64) float64 {
	x := si
	if u.Offset != nil {
		zero, _ := u.Offset.Float64()
		x -= zero
	}
	if num, den, ok := fraction(u.ratio()); ok {
		if y := x * float64(den); !math.IsInf(y, 0) {
			x = y / float64(num)
		} else {
			x = x / float64(num) * float64(den)
		}
	} else {
		f, _ := u.ratio().Float64()
		x /= f
	}
	if u.Pi {
		x /= math.Pi
	}
	return x
}

// si gives the SI value of a decimal number of the unit, rounded once.
func (u *Unit) si(x *big.Rat) float64 {
	v := new(big.Rat).Mul(x, u.ratio())
	if u.Offset != nil {
		v.Add(v, u.Offset)
	}
	f, _ := v.Float64()
	return f
}

// tidy takes the noise of the last binary digits from x, the value si in the unit: the number of fewer digits is given
// where it stands for the very same SI value, so that 29% is 29 and not 28.999999999999996.
func (u *Unit) tidy(x, si float64) float64 {
	if u.Pi || x == 0 || math.IsInf(x, 0) || math.IsNaN(x) || x == math.Trunc(x) && math.Abs(x) < 1e15 && u.Offset == nil {
		return x
	}
	tries := []string{strconv.FormatFloat(x, 'g', 12, 64), strconv.FormatFloat(x, 'g', 15, 64)}
	if u.Offset != nil { // a difference of large numbers: what is left near the zero is their noise
		tries = append([]string{strconv.FormatFloat(x, 'f', 9, 64)}, tries...)
	}
	for _, text := range tries {
		if r, ok := new(big.Rat).SetString(text); ok && u.si(r) == si {
			y, _ := r.Float64()
			return y
		}
	}
	return x
}

// percent is the unit of a share shown in %.
var percent = Unit{Symbol: "%", Ratio: big.NewRat(1, 100)}

// Number gives the unrounded number in the shown unit: 8 for 8%, feet for feet and inches, degrees for a temperature.
// Dates (seconds since 1970-01-01T00:00) and truth (0 or 1) are given as they are, and so is what is not a number.
func (s *Spec) Number(si float64) float64 {
	u := s.first()
	if u == nil {
		return si
	}
	return u.tidy(u.in(si), si)
}

// UnitText gives the unit that Number is in: "kg/m^3", "%", "ft" for feet and inches; "" for a bare number, a date, a
// text or a truth.
func (s *Spec) UnitText() string {
	if u := s.first(); u != nil {
		return u.Symbol
	}
	return ""
}

// first is the unit, or the largest of several; nil where there is none.
func (s *Spec) first() *Unit {
	switch {
	case s == nil || s.Form == kind.Date || s.Form == kind.Truth || s.Form == kind.Text:
		return nil
	case s.Percent:
		return &percent
	case len(s.Units) == 0:
		return nil
	}
	return &s.Units[0]
}

// behind writes a number with its unit; the plural of a counted thing stands behind any number but 1.
func (u *Unit) behind(n string) string {
	switch {
	case u == &percent:
		return n + "%"
	case u.Plural != "" && n != "1" && n != "-1":
		return n + " " + u.Plural
	case u.Symbol == "":
		return n
	}
	return n + " " + u.Symbol
}
