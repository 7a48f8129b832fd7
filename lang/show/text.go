package show

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"time"

	"castwright/lang/kind"
	"castwright/lang/value"
)

func (u *Unit) factor() float64 {
	f := 1.0
	if u.Ratio != nil {
		f, _ = u.Ratio.Float64()
	}
	if u.Pi {
		f *= math.Pi
	}
	return f
}

// in gives an SI value in a unit. Dividing by a rational in two whole steps keeps 0.0127 m at exactly 0.5 in.
func (u *Unit) in(si float64) float64 {
	if u.Offset != nil {
		o, _ := u.Offset.Float64()
		si = clean(si-o, math.Max(math.Abs(si), o))
	}
	if u.Ratio == nil {
		return si
	}
	x := si
	if n, _ := new(big.Rat).SetInt(u.Ratio.Denom()).Float64(); !math.IsInf(n*x, 0) && n < 1e15 {
		m, _ := new(big.Rat).SetInt(u.Ratio.Num()).Float64()
		x = x * n / m
	} else {
		x /= u.factor()
	}
	if u.Pi {
		x /= math.Pi
	}
	return x
}

// clean rounds what a subtraction left beyond the last bits of the larger number: 296.15 K less 273.15 K is 23 K.
func clean(x, size float64) float64 {
	ulp := math.Nextafter(size, math.Inf(1)) - size
	digits := int(math.Floor(-math.Log10(ulp * 4)))
	if digits < 0 || digits > 15 {
		return x
	}
	p := math.Pow(10, float64(digits))
	return math.Round(x*p) / p
}

// Number gives the unrounded number in the shown unit: 8 for 8%, feet for feet and inches.
func (s *Spec) Number(si float64) float64 {
	switch {
	case s.Form == kind.Date || s.Form == kind.Truth:
		return si
	case s.Percent:
		return si * 100
	case len(s.Units) == 0:
		return si
	}
	return s.Units[0].in(si)
}

// UnitText gives the unit as it stands behind the number; "" for a bare number.
func (s *Spec) UnitText() string {
	switch {
	case s.Percent:
		return "%"
	case len(s.Units) == 0:
		return ""
	}
	return s.Units[0].Symbol
}

// Text writes a number, a temperature, a date or a truth for a reader. It can be typed back.
func (s *Spec) Text(si float64) string {
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return "not a number"
	}
	switch s.Form {
	case kind.Truth:
		if si != 0 {
			return "yes"
		}
		return "no"
	case kind.Date:
		return s.date(si)
	}
	if len(s.Units) > 1 {
		return s.compound(si)
	}
	n := s.digits(s.Number(si))
	switch {
	case s.Percent:
		return n + "%"
	case len(s.Units) == 0:
		return n
	}
	u := s.Units[0]
	if u.Plural != "" && n != "1" && n != "-1" {
		return n + " " + u.Plural
	}
	return n + " " + u.Symbol
}

// digits writes the number itself.
func (s *Spec) digits(x float64) string {
	switch {
	case s.Step != nil && s.Tape:
		return tape(roundSteps(decimal(x), s.Step), s.Step)
	case s.Step != nil && s.Money:
		return s.moneyStep(x)
	case s.Step != nil:
		return stepped(x, s.Step)
	case s.Money:
		return money(x, s.Minor)
	case s.Tape:
		sixty := big.NewRat(1, 64)
		n := roundSteps(decimal(x), sixty)
		if v, _ := new(big.Rat).Mul(new(big.Rat).SetInt(n), sixty).Float64(); math.Abs(v-x) <= 1e-9*math.Max(1, math.Abs(x)) {
			return tape(n, sixty)
		}
	}
	bare := len(s.Units) == 0 || s.Units[0].Plural != ""
	return plain(x, bare)
}

// moneyStep writes an amount to a step that is no coarser than the minor unit.
func (s *Spec) moneyStep(x float64) string {
	t := stepped(x, s.Step)
	if i := strings.IndexByte(t, '.'); i < 0 && s.Minor > 0 {
		return money(x, s.Minor)
	}
	return t
}

// compound writes several units: 6 ft 2 3/8 in. What is rounded in the last unit is carried into those before.
func (s *Spec) compound(si float64) string {
	last := s.Units[len(s.Units)-1]
	x := math.Abs(last.in(si))
	sign := ""
	if si < 0 {
		sign = "-"
	}
	step, asTape := s.Step, s.Tape
	if step == nil {
		step = s.freeStep(x)
		if asTape {
			step = big.NewRat(1, 64)
		}
	}
	n := roundSteps(decimal(x), step)
	left := new(big.Rat).Mul(new(big.Rat).SetInt(n), step)
	var parts []string
	for i, u := range s.Units {
		if i == len(s.Units)-1 {
			if left.Sign() != 0 || len(parts) == 0 {
				parts = append(parts, s.lastPart(left, step, asTape, u))
			}
			break
		}
		size := new(big.Rat).Quo(u.ratio(), last.ratio())
		k := new(big.Int).Quo(new(big.Rat).Quo(left, size).Num(), new(big.Rat).Quo(left, size).Denom())
		left.Sub(left, new(big.Rat).Mul(new(big.Rat).SetInt(k), size))
		if k.Sign() != 0 {
			parts = append(parts, k.String()+" "+u.Symbol)
		}
	}
	if n.Sign() == 0 {
		sign = ""
	}
	return sign + strings.Join(parts, " ")
}

func (u *Unit) ratio() *big.Rat {
	if u.Ratio == nil {
		return big.NewRat(1, 1)
	}
	return u.Ratio
}

// freeStep is the step of four significant digits of the whole, no coarser than one of the last unit.
func (s *Spec) freeStep(x float64) *big.Rat {
	if x == 0 {
		return big.NewRat(1, 1)
	}
	return power10(min(0, exponent(x)-3))
}

func (s *Spec) lastPart(left, step *big.Rat, asTape bool, u Unit) string {
	if asTape {
		return tape(roundSteps(left, step), step) + " " + u.Symbol
	}
	f, _ := left.Float64()
	t := stepped(f, step)
	if s.Step == nil {
		t = dropZeros(t)
	}
	return t + " " + u.Symbol
}

func (s *Spec) date(si float64) string {
	sec := int64(math.Round(si))
	switch s.Word {
	case "weekday":
		return time.Unix(sec, 0).UTC().Weekday().String()
	case "date":
		return DateText(sec, false)
	}
	return DateText(sec, sec%86400 != 0)
}

// DateText writes a date by ISO 8601, seconds since 1970-01-01T00:00, with the time of day where wanted.
func DateText(seconds int64, withTime bool) string {
	t := time.Unix(seconds, 0).UTC()
	if t.Year() < 1 || t.Year() > 9999 {
		return "outside the calendar (years 1 to 9999)"
	}
	switch {
	case !withTime:
		return t.Format("2006-01-02")
	case t.Second() != 0:
		return t.Format("2006-01-02T15:04:05")
	}
	return t.Format("2006-01-02T15:04")
}

// most is how many elements of a list are written out.
const most = 12

// Column writes a value: a single one as it is, a list in brackets, a long one cut. Names are those of the fields of a
// record.
func Column(s *Spec, t kind.Type, c *value.Column) string {
	if t.Form == kind.Record {
		return record(s, t, c)
	}
	if !t.List {
		if c.Len() == 0 {
			return ""
		}
		return element(s, t.Form, c, 0)
	}
	n := c.Len()
	var parts []string
	for i := range min(n, most) {
		e := element(s, t.Form, c, i)
		if t.Form == kind.Text {
			e = `"` + strings.ReplaceAll(e, `"`, `""`) + `"`
		}
		parts = append(parts, e)
	}
	switch {
	case n == 1:
		return "list(" + parts[0] + ")"
	case n > most:
		return "(" + strings.Join(parts, ", ") + fmt.Sprintf(", … %d values)", n)
	}
	return "(" + strings.Join(parts, ", ") + ")"
}

func element(s *Spec, form kind.Form, c *value.Column, i int) string {
	switch {
	case form == kind.Text:
		return c.Text[i]
	case c.Obj != nil:
		if p, ok := c.Obj[i].(value.Place); ok {
			return "(" + s.Text(p.X) + ", " + s.Text(p.Y) + ")"
		}
		return fmt.Sprint(c.Obj[i])
	}
	return s.Text(c.Num[i])
}

func record(s *Spec, t kind.Type, c *value.Column) string {
	if t.List {
		if c.Len() == 1 {
			return "1 row"
		}
		return fmt.Sprintf("%d rows", c.Len())
	}
	var parts []string
	for i, f := range t.Fields {
		sp := &Spec{Form: f.Type.Form}
		if s != nil && i < len(s.Fields) && s.Fields[i] != nil {
			sp = s.Fields[i]
		}
		parts = append(parts, f.Name+" "+Column(sp, f.Type, &c.Fields[i]))
	}
	return strings.Join(parts, ", ")
}
