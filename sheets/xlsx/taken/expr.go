package taken

import (
	"errors"
	"math"
	"math/big"
	"strconv"
	"strings"
	"time"
)

// The binding of the language's operators, loosest first.
const (
	loosest = iota
	byWhere
	byOr
	byAnd
	byNot
	byCompare
	bySum
	byProduct
	bySign
	byPower
	tightest
)

// expr is an expression of the language, with what is known of its value.
type expr struct {
	text     string
	prec     int
	sort     sortOf
	unit     unit
	list     bool
	gaps     bool     // of a list: some rows are empty
	constant bool     // made of literals only
	literal  bool     // a number as written
	value    float64  // of a literal
	circle   bool     // pi is a factor of it
	suspect  bool     // a plain number that is mostly a factor between units
	words    *string  // of a text as written
	pieces   []string // of a text put together: what stands between the quotation marks
	plus     bool     // not below 0, as far as the workbook's values tell
	doubtful bool     // multiplied by a number that may turn one unit into another
	over     *expr    // it is this, divided by one of its unit
	base     *expr    // it is this, times by
	by       float64
}

func (e expr) wrap(wanted int) string {
	if e.prec < wanted {
		return "(" + e.text + ")"
	}
	return e.text
}

// digits writes a number as the language has it.
func digits(x float64) string {
	if a := math.Abs(x); a != 0 && (a < 1e-6 || a >= 1e15) {
		mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', -1, 64), "e")
		sign := ""
		if exponent[0] == '-' {
			sign = "-"
		}
		return mantissa + "e" + sign + strings.TrimLeft(exponent, "+-0")
	}
	return strconv.FormatFloat(x+0, 'f', -1, 64)
}

// hundredfold writes 100 times a number without an error of rounding.
func hundredfold(x float64) string {
	s := strconv.FormatFloat(x, 'f', -1, 64)
	r, ok := new(big.Rat).SetString(s)
	if !ok || math.Abs(x) > 1e12 || math.Abs(x) < 1e-9 && x != 0 {
		return digits(x * 100)
	}
	out := strings.TrimRight(r.Mul(r, big.NewRat(100, 1)).FloatString(len(s)), "0")
	return strings.TrimSuffix(out, ".")
}

func literal(x float64) expr {
	e := expr{text: digits(x), prec: tightest, constant: true, literal: true, value: x, plus: x >= 0}
	if x < 0 {
		e.prec = bySign
	}
	return e
}

func literalText(s string) expr {
	s = clean(s)
	q := quoted(s)
	return expr{text: q, prec: tightest, sort: isText, constant: true, words: &s, pieces: []string{q[1 : len(q)-1]}}
}

func dateText(seconds int64) string {
	d := time.Unix(seconds, 0).UTC()
	switch {
	case d.Second() != 0:
		return d.Format("2006-01-02T15:04:05")
	case d.Hour() != 0 || d.Minute() != 0:
		return d.Format("2006-01-02T15:04")
	}
	return d.Format("2006-01-02")
}

// one writes one of a unit; it stands behind * and / without brackets.
func one(u unit) string { return amount(1, u) }

// amount writes a number with its unit.
func amount(x float64, u unit) string {
	switch {
	case u.isPlain():
		return digits(x)
	case u.same(percent):
		return digits(x) + "%"
	}
	return digits(x) + " " + u.String()
}

var (
	errText  = errors.New("it calculates with a text")
	errWhole = errors.New("it uses a range where one value should stand")
)

// epoch is the day 0 from which a workbook counts, as from March 1900 on.
func (t *taker) epoch() string {
	if t.w.Dates1904 {
		return "1904-01-01"
	}
	return "1899-12-30"
}

// toPlain gives the number that stands in the worksheet.
func (t *taker) toPlain(e expr) (expr, error) {
	out := expr{prec: byProduct, list: e.list, gaps: e.gaps, constant: e.constant, plus: e.plus}
	switch {
	case e.sort == isText:
		return out, errText
	case e.sort == isTruth:
		out.text, out.prec, out.plus = "if "+e.wrap(byOr)+" then 1 else 0", loosest, true
		return out, nil
	case e.sort == isDate:
		out.text, out.plus = "("+e.wrap(bySum)+" - "+t.epoch()+") / 1 d", true
		return out, nil
	case e.unit.isPlain():
		return e, nil
	case e.unit.point:
		out.text, out.plus = "("+e.wrap(bySum)+" - "+amount(0, e.unit)+") / "+one(e.unit.difference()), false
		return out, nil
	}
	out.text, out.over = e.wrap(byProduct)+" / "+one(e.unit), &e
	return out, nil
}

// toUnit makes a number one of a unit: the number of the worksheet stays the same.
func (t *taker) toUnit(e expr, u unit) (expr, error) {
	if e.sort == isNumber && e.unit.same(u) {
		return e, nil
	}
	if e.base != nil && t.sameAmount(*e.base, e.by, u) {
		return *e.base, nil
	}
	if e.sort == isNumber && t.sameAmount(e, 1, u) { // kW*h and kWh
		e.unit, e.base, e.over = u, nil, nil
		return e, nil
	}
	if e.sort == isNumber && e.literal && !u.isPlain() {
		out := e
		out.text, out.prec, out.unit, out.literal = amount(e.value, u), bySign, u, false
		return out, nil
	}
	if e.over != nil && e.over.unit.same(u) {
		return *e.over, nil
	}
	p, err := t.toPlain(e)
	if err != nil || u.isPlain() {
		return p, err
	}
	out := expr{text: p.wrap(byProduct) + " * " + one(u), prec: byProduct, unit: u, list: p.list, gaps: p.gaps, constant: p.constant, plus: p.plus}
	if u.point {
		out.text = amount(0, u) + " + " + p.wrap(byProduct) + " * " + one(u.difference())
		out.prec = bySum
	}
	return out, nil
}

// sameAmount tells whether a quantity, its number multiplied, is the same amount in another unit: mm / 1000 in m.
func (t *taker) sameAmount(e expr, by float64, u unit) bool {
	if e.sort != isNumber || e.unit.isPlain() || u.isPlain() || e.unit.point || u.point {
		return false
	}
	a, b := t.units.measure(e.unit), t.units.measure(u)
	return a.dim == b.dim && math.Abs(by*b.ratio-a.ratio) <= 1e-12*a.ratio
}

// toDate makes a date of a number of days.
func (t *taker) toDate(e expr) (expr, error) {
	if e.sort == isDate {
		return e, nil
	}
	p, err := t.toPlain(e)
	if err != nil {
		return p, err
	}
	if seconds, ok := t.seconds(p.value); p.literal && ok {
		return expr{text: dateText(seconds), prec: tightest, sort: isDate, constant: true}, nil
	}
	return expr{text: t.epoch() + " + " + p.wrap(byProduct) + " * 1 d", prec: bySum, sort: isDate, list: p.list, gaps: p.gaps}, nil
}

// toTruth makes a condition of a number: any but 0 holds.
func (t *taker) toTruth(e expr) (expr, error) {
	if e.sort == isTruth {
		return e, nil
	}
	p, err := t.toPlain(e)
	if err != nil {
		return p, err
	}
	return expr{text: p.wrap(bySum) + " != 0", prec: byCompare, sort: isTruth, list: p.list, gaps: p.gaps}, nil
}

// alike brings two values to one sort and one unit, so that they can be added, compared or chosen between.
func (t *taker) alike(a, b expr) (expr, expr, error) {
	var err error
	switch {
	case a.sort == isText && b.sort == isText || a.sort == isTruth && b.sort == isTruth || a.sort == isDate && b.sort == isDate:
		return a, b, nil
	case a.sort == isText || b.sort == isText:
		return a, b, errors.New("it mixes texts with " + map[bool]string{true: "numbers", false: "dates or yes and no"}[a.sort == isNumber || b.sort == isNumber])
	case a.sort == isNumber && b.sort == isNumber:
		switch {
		case a.unit.same(b.unit):
			return a, b, nil
		case b.unit.isPlain():
			b, err = t.toUnit(b, a.unit)
			return a, b, err
		case a.unit.isPlain():
			a, err = t.toUnit(a, b.unit)
			return a, b, err
		}
	}
	if a, err = t.toPlain(a); err == nil {
		b, err = t.toPlain(b)
	}
	return a, b, err
}

// allAlike brings several values to one sort and one unit.
func (t *taker) allAlike(es []expr) ([]expr, error) {
	if len(es) == 0 {
		return es, nil
	}
	lead := es[0]
	for _, e := range es[1:] {
		a, _, err := t.alike(lead, e)
		if err != nil {
			return nil, err
		}
		lead = a
	}
	out := make([]expr, len(es))
	for i, e := range es {
		var err error
		if lead.sort == isNumber {
			e, err = t.toUnit(e, lead.unit)
		}
		if err != nil {
			return nil, err
		}
		out[i] = e
	}
	return out, nil
}
