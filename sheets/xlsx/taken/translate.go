package taken

import (
	"errors"
	"fmt"
	"math"
)

// translator says one formula in the language.
type translator struct {
	*taker
	f       *formula
	page    *page
	row     int  // of the formula, or of the one that stands for a column's
	bare    bool // numbers stand without units
	lists   bool // a range may stand for all its values
	deep    int
	work    int
	rests   map[*formula]bool // the formulas that it rests on
	columns map[*column]bool  // the columns of tables in it
	told    map[string]bool   // the notices that it calls for
}

// The most that one formula may take to translate: levels, parts of it with the defined names put in, and bytes of its text.
const (
	maxDeep = 2000
	maxWork = 20_000
	maxText = 20_000
)

func (t *translator) deeper() error {
	if t.deep++; t.deep > maxDeep {
		return fmt.Errorf("it nests deeper than %d levels", maxDeep)
	}
	if t.work++; t.work > maxWork {
		return fmt.Errorf("it has more than %d parts with its defined names put in", maxWork)
	}
	return nil
}

// expr translates a part of a formula.
func (t *translator) expr(n node) (expr, error) {
	defer func() { t.deep-- }()
	if err := t.deeper(); err != nil {
		return expr{}, err
	}
	e, err := t.translated(n)
	if len(e.text) > maxText {
		return expr{}, fmt.Errorf("its text would be longer than %d signs", maxText)
	}
	return e, err
}

func (t *translator) translated(n node) (expr, error) {
	switch x := n.(type) {
	case number:
		return literal(x.value), nil
	case words:
		return literalText(x.text), nil
	case truth:
		return expr{text: map[bool]string{true: "yes", false: "no"}[x.value], prec: tightest, sort: isTruth, constant: true}, nil
	case problem:
		return expr{}, fmt.Errorf("it holds the error value %s", x.text)
	case missing:
		return expr{}, errors.New("a value is left out between commas")
	case ref:
		return t.ref(x)
	case area:
		if !t.lists {
			return expr{}, errWhole
		}
		return t.listOf(x)
	case named:
		return t.named(x)
	case part:
		y, err := t.place(x)
		if err != nil {
			return expr{}, err
		}
		return t.expr(y)
	case unary:
		return t.unary(x)
	case binary:
		return t.binary(x)
	case call:
		return t.call(x)
	}
	return expr{}, errors.New("it holds a list in braces")
}

// named translates a defined name: what it stands for.
func (t *translator) named(n named) (expr, error) {
	x, err := t.meaning(n, t.page)
	if err != nil {
		return expr{}, err
	}
	return t.expr(x)
}

func (t *translator) unary(x unary) (expr, error) {
	e, err := t.expr(x.x)
	if err != nil {
		return e, err
	}
	if x.op == "%" && e.literal {
		return literal(e.value / 100), nil
	}
	if x.op == "%" {
		return t.product("/", e, literal(100))
	}
	if e.literal {
		return literal(-e.value), nil
	}
	if e.sort != isNumber || e.unit.point {
		if e, err = t.toPlain(e); err != nil {
			return e, err
		}
	}
	return expr{text: "-" + e.wrap(byPower), prec: bySign, unit: e.unit, list: e.list, gaps: e.gaps, constant: e.constant, doubtful: e.doubtful}, nil
}

func (t *translator) binary(x binary) (expr, error) {
	a, err := t.expr(x.a)
	if err != nil {
		return a, err
	}
	b, err := t.expr(x.b)
	if err != nil {
		return b, err
	}
	switch x.op {
	case "+", "-":
		return t.sum(x.op, a, b)
	case "*", "/":
		return t.product(x.op, a, b)
	case "^":
		return t.power(a, b)
	case "&":
		return t.joined(a, b)
	}
	return t.compare(x.op, a, b)
}

// made is an expression of two others.
func made(op string, a, b expr, prec int) expr {
	return expr{text: a.wrap(prec) + " " + op + " " + b.wrap(prec+1), prec: prec, list: a.list || b.list, gaps: a.gaps || b.gaps,
		constant: a.constant && b.constant, circle: a.circle || b.circle, doubtful: a.doubtful || b.doubtful}
}

func (t *taker) sum(op string, a, b expr) (expr, error) {
	if op == "+" && b.sort == isDate && a.sort != isDate {
		a, b = b, a
	}
	var err error
	switch {
	case a.sort == isDate && b.sort == isDate && op == "-":
		out := made(op, a, b, bySum)
		out.unit = days
		return out, nil
	case a.sort == isDate && b.sort == isNumber:
		if b, err = t.toUnit(b, days); err != nil {
			return a, err
		}
		out := made(op, a, b, bySum)
		out.sort = isDate
		return out, nil
	case a.unit.point && b.unit.same(a.unit) && op == "-":
		out := made(op, a, b, bySum)
		out.unit = a.unit.difference()
		return out, nil
	case a.unit.point && b.sort == isNumber && b.unit.isPlain():
		if b, err = t.toUnit(b, a.unit.difference()); err != nil {
			return a, err
		}
		out := made(op, a, b, bySum)
		out.unit = a.unit
		return out, nil
	}
	if a.sort != isNumber || b.sort != isNumber || a.unit.point || b.unit.point {
		if a, err = t.toPlain(a); err != nil {
			return a, err
		}
		if b, err = t.toPlain(b); err != nil {
			return b, err
		}
	}
	if a, b, err = t.alike(a, b); err != nil {
		return a, err
	}
	out := made(op, a, b, bySum)
	out.unit, out.plus = a.unit, op == "+" && a.plus && b.plus
	return out, nil
}

// mayConvert tells whether multiplying by a constant may turn one unit into another: 1000, 25.4, 60. Halves, doubles,
// allowances of a quarter, and what belongs to circles do not.
func mayConvert(e expr) bool {
	if e.suspect {
		return true
	}
	if !e.constant || e.circle {
		return false
	}
	x := math.Abs(e.value)
	return !e.literal || x != 2 && x != 0.5 && x != 4 && x != 0.25 && !(x >= 0.75 && x <= 1.25) && x != 0
}

// factors are numbers that stand in cells to turn one unit into another: powers of ten, inches, feet, hours, days
// (NIST SP 811, appendix B).
var factors = map[float64]bool{25.4: true, 2.54: true, 0.0254: true, 304.8: true, 30.48: true, 0.3048: true, 3600: true, 1440: true, 0.45359237: true}

func isFactor(x float64) bool {
	for _, p := range []float64{1e2, 1e3, 1e4, 1e6, 1e9} {
		if x == p || x == 1/p {
			return true
		}
	}
	return factors[x]
}

func (t *taker) product(op string, a, b expr) (expr, error) {
	var err error
	for _, e := range []*expr{&a, &b} {
		if e.sort != isNumber || e.unit.point {
			if *e, err = t.toPlain(*e); err != nil {
				return *e, err
			}
		}
	}
	power := 1
	if op == "/" {
		power = -1
		if b.literal && b.value == 100 && a.over != nil && a.over.unit.same(percent) {
			out := *a.over // the share itself
			out.unit = plain
			return out, nil
		}
	}
	u, ok := a.unit.times(b.unit, power)
	if !ok {
		if a, err = t.toPlain(a); err != nil {
			return a, err
		}
		if b, err = t.toPlain(b); err != nil {
			return b, err
		}
		u = plain
	}
	out := made(op, a, b, byProduct)
	out.unit, out.plus = u, a.plus && b.plus
	out.doubtful = out.doubtful || !a.unit.isPlain() && mayConvert(b) || !b.unit.isPlain() && mayConvert(a)
	switch {
	case b.literal && !a.unit.isPlain() && b.value != 0:
		out.base, out.by = &a, math.Pow(b.value, float64(power))
	case a.literal && !b.unit.isPlain() && op == "*":
		out.base, out.by = &b, a.value
	}
	return out, nil
}

func (t *taker) power(a, b expr) (expr, error) {
	b, err := t.toPlain(b)
	if err != nil {
		return b, err
	}
	u, ok := plain, false
	if n := int(b.value); b.literal && float64(n) == b.value && n != 0 && n >= -4 && n <= 4 && a.sort == isNumber && !a.unit.isPlain() {
		u, ok = plain.times(a.unit, n)
	}
	if !ok {
		u = plain
		if a, err = t.toPlain(a); err != nil {
			return a, err
		}
	}
	out := expr{text: a.wrap(tightest) + "^" + b.wrap(tightest), prec: byPower, unit: u, list: a.list || b.list, gaps: a.gaps || b.gaps,
		constant: a.constant && b.constant, circle: a.circle, doubtful: a.doubtful, plus: a.plus || b.literal && math.Mod(b.value, 2) == 0}
	if v := math.Pow(a.value, b.value); a.literal && b.literal && !math.IsInf(v, 0) && !math.IsNaN(v) {
		out.literal, out.value = true, v // 10^6
	}
	return out, nil
}

var comparisons = map[string]string{"=": "==", "<>": "!=", "<": "<", "<=": "<=", ">": ">", ">=": ">="}

func (t *taker) compare(op string, a, b expr) (expr, error) {
	a, b, err := t.alike(a, b)
	if err != nil {
		return a, err
	}
	if op != "=" && op != "<>" && (a.sort == isText || a.sort == isTruth) {
		return a, errors.New("it asks which of two texts, or of yes and no, comes first")
	}
	out := expr{text: a.wrap(bySum) + " " + comparisons[op] + " " + b.wrap(bySum), prec: byCompare, sort: isTruth, list: a.list || b.list, gaps: a.gaps || b.gaps}
	return out, nil
}

// joined puts two texts together.
func (t *taker) joined(a, b expr) (expr, error) {
	x, err := t.pieces(a)
	if err != nil {
		return a, err
	}
	y, err := t.pieces(b)
	if err != nil {
		return b, err
	}
	return textOf(append(append([]string{}, x...), y...)), nil
}

func textOf(pieces []string) expr {
	e := expr{prec: tightest, sort: isText, pieces: pieces, text: `"`}
	for _, p := range pieces {
		e.text += p
	}
	e.text += `"`
	return e
}

// pieces are the parts of a value in a text.
func (t *taker) pieces(e expr) ([]string, error) {
	if e.list {
		return nil, errWhole
	}
	if e.pieces != nil {
		return e.pieces, nil
	}
	if e.sort == isTruth {
		return nil, errors.New("it puts TRUE or FALSE into a text")
	}
	if e.sort != isText {
		var err error
		if e, err = t.toPlain(e); err != nil {
			return nil, err
		}
	}
	return put(e, "")
}

// put puts a value into a text, shown in a bracket.
func put(e expr, shown string) ([]string, error) {
	for i := range len(e.text) {
		if e.text[i] == '"' || e.text[i] == '{' {
			return nil, errors.New("it puts a value into a text that itself needs a text")
		}
	}
	return []string{"{" + e.text + shown + "}"}, nil
}
