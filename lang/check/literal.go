package check

import (
	"fmt"
	"math"
	"math/big"

	"golang.org/x/text/unicode/norm"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/syntax"
)

// normal gives a text in normalization form C (Unicode annex 15), so that an accented letter equals itself however it
// was typed (ruling 22).
func normal(s string) string { return norm.NFC.String(s) }

// quantity makes a literal out, with its exact value where it has one.
func (b *builder) quantity(q *syntax.Quantity) (operand, *big.Rat, bool) {
	sum := new(big.Rat)
	var first *unit
	var units []*unit
	tape := true
	for i, p := range q.Parts {
		u, ok := b.partUnit(p, len(q.Parts) == 1)
		if !ok {
			return operand{}, nil, false
		}
		if i == 0 {
			first = u
		} else if !b.falling(units[len(units)-1], u, q, p) {
			return operand{}, nil, false
		}
		units = append(units, u)
		tape = tape && u.ratio != nil
		if u.ratio != nil {
			sum.Add(sum, new(big.Rat).Mul(p.Number.Value, u.ratio))
		}
	}
	x := operand{at: q.Span, t: kind.Type{Form: first.form, Dim: first.dim}}
	if q.Percent {
		sum.Quo(sum, big.NewRat(100, 1))
	}
	if q.Neg {
		sum.Neg(sum)
	}
	v := b.siValue(q, first, sum, tape)
	if math.IsInf(v, 0) || math.IsNaN(v) {
		b.mistake(q.Span, "This number is too large for a value.", "Values lie between 1e-300 and 1e300.")
		return operand{}, nil, false
	}
	bareNumber := first.text == "" && !q.Percent
	y := b.num(v, x.t, q.Span)
	y.zero = bareNumber && v == 0
	y.bare = x.t.Form == kind.Number && x.t.Dim.IsOne() && first.text == ""
	y.percent = q.Percent
	y.oneish = bareNumber && v == 1
	y.spec = writtenSpec(x.t, units, q)
	exact := sum
	if !tape {
		exact = nil
	}
	if first.pi {
		exact = nil
	}
	return y, exact, true
}

// siValue is the value in coherent SI units, rounded once where the unit is exact.
func (b *builder) siValue(q *syntax.Quantity, u *unit, sum *big.Rat, exact bool) float64 {
	if !exact {
		n, _ := q.Parts[0].Number.Value.Float64()
		if q.Neg {
			n = -n
		}
		return n * u.factor
	}
	if u.offset != nil {
		sum = new(big.Rat).Add(sum, u.offset)
	}
	v, _ := sum.Float64()
	if u.pi {
		v *= math.Pi
	}
	return v
}

func (b *builder) partUnit(p syntax.QuantityPart, lone bool) (*unit, bool) {
	switch {
	case p.Mark == "'":
		u, _, _ := b.s.lookup("ft", false)
		return b.lone(u, "ft", false), true
	case p.Mark == `"`:
		u, _, _ := b.s.lookup("in", false)
		return b.lone(u, "in", false), true
	case p.Unit == nil:
		return &unit{ratio: big.NewRat(1, 1), factor: 1, minor: -1}, true
	}
	return b.unit(p.Unit, lone)
}

// falling checks a literal of several units: one kind, each unit smaller than the one before (ruling 6).
func (b *builder) falling(u, v *unit, q *syntax.Quantity, p syntax.QuantityPart) bool {
	at := p.Number.Span
	if p.Unit != nil {
		at = at.Join(p.Unit.Span)
	}
	if u.dim != v.dim || u.ratio == nil || v.ratio == nil {
		b.mistake(at, fmt.Sprintf("A quantity of several units is of one kind; %s is %s, %s is %s.", u.text, kind.Quantity(u.dim).Article(), v.text, kind.Quantity(v.dim).Article()),
			"Is a sign missing between them?")
		return false
	}
	if v.factor >= u.factor {
		b.mistake(at, fmt.Sprintf("Units of one quantity stand in falling size; %s is not smaller than %s.", v.text, u.text), fmt.Sprintf("Write the %s first.", v.text))
		return false
	}
	return true
}

// writtenSpec shows an input in the unit it was written in.
func writtenSpec(t kind.Type, units []*unit, q *syntax.Quantity) *show.Spec {
	s := &show.Spec{Form: t.Form, Percent: q.Percent}
	for i, u := range units {
		if u.text != "" {
			s.Units = append(s.Units, u.shown())
		}
		if q.Parts[i].Number.Den > 0 && isTape(q.Parts[i].Number.Den) {
			s.Tape = true
		}
	}
	if len(units) == 1 && units[0].minor >= 0 {
		s.Money, s.Minor = true, units[0].minor
	}
	return s
}

func isTape(den int64) bool { return den&(den-1) == 0 && den <= 64 }

// limits compiles an input with limits (ruling 16): its value is the stated one.
func (b *builder) limits(c *Cell, l *syntax.Limits) operand {
	q, ok := l.Middle.(*syntax.Quantity)
	if !ok {
		return b.fail(l.Middle.Where(), "Limits stand on a whole input only.", "Give the input a line of its own, as depth = 430 ± 3 mm.")
	}
	whole := l.Half
	if whole == nil {
		whole = l.Std
	}
	if whole == nil {
		whole = l.To
	}
	side, ok := whole.(*syntax.Quantity)
	if !ok {
		return bad(l.Span)
	}
	if len(q.Parts) == 1 && q.Parts[0].Unit == nil && q.Parts[0].Mark == "" && !q.Percent && !side.Percent && side.Parts[0].Unit != nil {
		taken := *q // `430 ± 3 mm`: the middle has the unit behind it
		taken.Parts = []syntax.QuantityPart{{Number: q.Parts[0].Number, Unit: side.Parts[0].Unit}}
		q = &taken
	}
	x, _, ok := b.quantity(q)
	if !ok {
		return bad(l.Span)
	}
	x.zero, x.bare, x.oneish = false, false, false
	lim := &Limits{Text: b.src.Cut(diag.Span{From: l.Middle.Where().To, To: l.Span.To})}
	mid := b.number(x)
	switch {
	case l.From != nil:
		lo, ok1 := b.limit(l.From, x, false)
		hi, ok2 := b.limit(l.To, x, false)
		if !ok1 || !ok2 {
			return bad(l.Span)
		}
		if lo > mid || mid > hi {
			return b.fail(l.Span, "The stated value does not lie between its limits.", "Write 430 mm from 429 mm to 432 mm.")
		}
		lim.Low, lim.High = lo, hi
	case l.Std != nil:
		u, ok := b.limit(l.Std, x, true)
		if !ok {
			return bad(l.Span)
		}
		lim.Low, lim.High, lim.Std = mid, mid, u
		if l.Dof != nil {
			lim.Dof, _ = l.Dof.Value.Float64()
			if lim.Dof < 1 {
				return b.fail(l.Dof.Span, "Degrees of freedom are 1 or more.", "Write (dof 18).")
			}
		}
	default:
		a, ok := b.limit(l.Half, x, true)
		if !ok {
			return bad(l.Span)
		}
		lim.Low, lim.High = mid-a, mid+a
	}
	c.Limits = lim
	return x
}

// limit makes one limit out: a share of the middle where it is in % (points where the middle is in % too), a
// difference where half is set and the middle is a temperature.
func (b *builder) limit(e syntax.Expr, mid operand, half bool) (float64, bool) {
	q, ok := e.(*syntax.Quantity)
	if !ok {
		return 0, false
	}
	if len(q.Parts) == 1 && q.Parts[0].Unit == nil && !q.Percent && mid.percent {
		b.mistake(q.Span, "The limits of a value in % are in % too.", fmt.Sprintf("Write %s%%.", b.words(q.Span)))
		return 0, false
	}
	u, ok := b.limitUnit(q, half)
	if !ok {
		return 0, false
	}
	if q.Percent && !mid.percent {
		if mid.t.Form != kind.Number {
			b.mistake(q.Span, "A share of a temperature means nothing.", "Write the limits as a difference, as ± 2 K.")
			return 0, false
		}
		if !half {
			b.mistake(q.Span, "Uneven limits are values, not shares.", "Write 430 mm from 429 mm to 432 mm.")
			return 0, false
		}
		return math.Abs(b.number(mid)) * math.Abs(u.v), true
	}
	want := mid.t
	if half && want.Form == kind.Point {
		want = kind.Quantity(kind.Of(kind.Temperature))
	}
	if !u.t.Same(want) {
		b.mistake(q.Span, fmt.Sprintf("The limits of %s are of its own kind; this is %s.", mid.t.Article(), u.t.Article()), "")
		return 0, false
	}
	if half && u.v < 0 {
		b.mistake(q.Span, "What stands behind ± is larger than 0.", "")
		return 0, false
	}
	return u.v, true
}

type limitValue struct {
	t kind.Type
	v float64
}

func (b *builder) limitUnit(q *syntax.Quantity, difference bool) (limitValue, bool) {
	if difference && len(q.Parts) == 1 && q.Parts[0].Unit != nil {
		u, ok := b.unit(q.Parts[0].Unit, false)
		if !ok {
			return limitValue{}, false
		}
		n, _ := q.Parts[0].Number.Value.Float64()
		if q.Neg {
			n = -n
		}
		if u.ratio != nil {
			n, _ = new(big.Rat).Mul(q.Parts[0].Number.Value, u.ratio).Float64()
			if q.Neg {
				n = -n
			}
		} else {
			n *= u.factor
		}
		return limitValue{kind.Quantity(u.dim), n}, true
	}
	x, _, ok := b.quantity(q)
	return limitValue{x.t, b.number(x)}, ok
}
