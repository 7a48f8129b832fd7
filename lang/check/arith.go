package check

import (
	"fmt"
	"math"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/syntax"
)

var temperatureDim = kind.Of(kind.Temperature)

// adopt lets the bare literal 0 take the kind of the other side (ruling 12).
func (b *builder) adopt(x, y operand) (operand, operand) {
	if x.zero && !y.zero && y.t.Form == kind.Number {
		x.t.Dim = y.t.Dim
	} else if y.zero && x.t.Form == kind.Number {
		y.t.Dim = x.t.Dim
	}
	return x, y
}

// agree brings operands to one type: the literal 0 takes the kind of the others, two currencies meet where the line
// says in what. What they were to do goes into the message.
func (b *builder) agree(items []operand, purpose string, at diag.Span) bool {
	lead := 0
	for i, x := range items {
		if !x.zero {
			lead = i
			break
		}
	}
	for i := range items {
		items[i], _ = b.adopt(items[i], items[lead])
		if b.target != "" {
			items[i] = b.toCurrency(items[i], b.target)
		}
	}
	t := items[lead].t.Elem()
	for i, x := range items {
		if i == lead || x.t.Elem().Same(t) {
			continue
		}
		b.mismatch(items[lead], x, purpose, at)
		return false
	}
	return true
}

// mismatch reports two values of different kinds.
func (b *builder) mismatch(x, y operand, purpose string, at diag.Span) {
	way := b.wayOut(x, y)
	b.mistake(at, fmt.Sprintf("%s and %s cannot %s.", upperFirst(b.phrase(x)), b.phrase(y), purpose), way)
}

// phrase names a kind and quotes what has it: "a length (1 m)".
func (b *builder) phrase(x operand) string {
	s := x.t.Article()
	w := b.words(x.at)
	if w == "" {
		return s
	}
	return fmt.Sprintf("%s (%s)", s, w)
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// wayFor gives a way out of a mistake with a value of a type; for a step of a path, what it is for.
func wayFor(t kind.Type, way string) string {
	if t.Form == kind.Step {
		return "Only path takes steps, as path((0 m, 0 m), line((1 m, 0 m)), line((1 m, 1 m)))."
	}
	return way
}

// toStep is the way out where points stand among or instead of the steps of a path.
const toStep = "A straight step to a point p is line(p)."

// wayOut finds what may mend a mismatch of kinds.
func (b *builder) wayOut(x, y operand) string {
	point := func(z operand) bool { return z.edges || z.t.Form == kind.Place }
	switch {
	case y.t.Form == kind.Step && point(x), x.t.Form == kind.Step && point(y):
		return toStep
	case x.t.Form == kind.Point && y.zero, y.t.Form == kind.Point && x.zero:
		return "Write 0 degC, or 0 K for a difference."
	case x.t.Form != kind.Number || y.t.Form != kind.Number:
		return ""
	}
	if _, ok := x.t.Dim.Currency(); ok {
		if _, ok := y.t.Dim.Currency(); ok {
			return b.currencyWay(x.t.Dim, y.t.Dim)
		}
	}
	q, err := x.t.Dim.Div(y.t.Dim)
	if err != nil {
		return ""
	}
	inv, _ := q.Pow(kind.Int(-1))
	switch {
	case q == acceleration || inv == acceleration:
		return "lb and kg are mass, lbf and N force: multiply by gravity to turn a mass into a force."
	case x.t.Dim.IsOne() && x.bare:
		return fmt.Sprintf("Does %s lack its unit?", b.words(x.at))
	case y.t.Dim.IsOne() && y.bare:
		return fmt.Sprintf("Does %s lack its unit?", b.words(y.at))
	}
	return ""
}

// unary compiles `-x` and `not x`.
func (b *builder) unary(x *syntax.Unary) operand {
	y := b.expr(x.X)
	if y.bad {
		return y
	}
	if x.Op == "not" {
		if y.t.Form != kind.Truth {
			return b.fail(y.at, fmt.Sprintf("\"not\" turns a yes or no round; this is %s.", y.t.Article()), "")
		}
		return b.emit(lane(program.Not, y.reg, program.None), y.t, x.Span)
	}
	if y.t.Form != kind.Number {
		way := ""
		if y.t.Form == kind.Point {
			way = "A temperature below zero is written tight, as -10 degC; a difference in K."
		}
		return b.fail(x.Span, fmt.Sprintf("A minus before %s means nothing.", y.t.Article()), way)
	}
	if v, ok := b.known(y); ok {
		z := b.num(-v, y.t, x.Span)
		z.spec, z.bare, z.percent = y.spec, y.bare, y.percent
		return z
	}
	z := b.emit(lane(program.Neg, y.reg, program.None), y.t, x.Span)
	z.shownPct = y.shownPct
	return z
}

// binary compiles `+ - * / ^ and or`.
func (b *builder) binary(e *syntax.Binary) operand {
	if e.Op == "^" {
		return b.power(e)
	}
	x, y := b.expr(e.X), b.expr(e.Y)
	if x.bad || y.bad {
		return bad(e.Span)
	}
	switch e.Op {
	case "and", "or":
		for _, z := range []operand{x, y} {
			if z.t.Form != kind.Truth {
				return b.fail(z.at, fmt.Sprintf("%q joins conditions; this is %s.", e.Op, z.t.Article()), "Compare it, as mass <= 23 kg.")
			}
		}
		op := program.And
		if e.Op == "or" {
			op = program.Or
		}
		t := kind.Type{Form: kind.Truth, List: x.t.List || y.t.List}
		return b.emit(lane(op, x.reg, y.reg), t, e.OpAt)
	case "+", "-":
		return b.sum(e, x, y)
	}
	return b.product(e, x, y)
}

// sum compiles `+` and `-`.
func (b *builder) sum(e *syntax.Binary, x, y operand) operand {
	op, verb := program.Add, "be added"
	if e.Op == "-" {
		op, verb = program.Sub, "be subtracted"
	}
	if x.t.Form == kind.Text || y.t.Form == kind.Text {
		return b.fail(e.OpAt, "Texts are joined inside one text.", "Write \"{a}{b}\".")
	}
	for _, z := range []operand{x, y} {
		if f := z.t.Form; f != kind.Number && f != kind.Point && f != kind.Date {
			return b.fail(z.at, fmt.Sprintf("%s cannot %s.", upperFirst(z.t.Article()), verb), wayFor(z.t, ""))
		}
	}
	if x.t.Form != kind.Number || y.t.Form != kind.Number {
		return b.pointSum(e, op, x, y)
	}
	if r := b.percentSum(e, x, y); r != "" {
		return b.fail(e.Span, "A share in % is not an amount that can be added.", r)
	}
	items := []operand{x, y}
	if !b.agree(items, verb, e.OpAt) {
		return bad(e.Span)
	}
	x, y = items[0], items[1]
	z := b.arithmetic(op, x, y, x.t, e.OpAt)
	z.bare = x.bare && y.bare
	z.percent = x.percent && y.percent
	z.oneish = x.oneish && y.percent || y.oneish && x.percent
	z.shownPct = x.shownPct && y.shownPct || x.shownPct && y.percent || x.percent && y.shownPct
	if z.percent || z.shownPct {
		z.spec = x.spec
	}
	return z
}

// percentSum refuses `100 + 10%`; it gives the way out, or nothing.
func (b *builder) percentSum(e *syntax.Binary, x, y operand) string {
	allowed := func(p, o operand) bool {
		return !p.percent || o.percent || o.oneish || o.shownPct || o.zero
	}
	if allowed(x, y) && allowed(y, x) {
		return ""
	}
	base, share := x, y
	if x.percent {
		base, share = y, x
	}
	return fmt.Sprintf("Write %s * (1 %s %s).", b.words(base.at), e.Op, b.words(share.at))
}

// pointSum compiles sums with temperatures and dates (ruling 13).
func (b *builder) pointSum(e *syntax.Binary, op program.Op, x, y operand) operand {
	diff := func(f kind.Form) kind.Dim {
		if f == kind.Date {
			return kind.Of(kind.Time)
		}
		return temperatureDim
	}
	name := func(f kind.Form) (string, string) {
		if f == kind.Date {
			return "dates", "time"
		}
		return "temperatures", "temperature difference"
	}
	switch {
	case x.t.Form == y.t.Form && op == program.Sub:
		return b.arithmetic(op, x, y, kind.Quantity(diff(x.t.Form)), e.OpAt)
	case x.t.Form == y.t.Form:
		plural, d := name(x.t.Form)
		way := "Add a difference in K, Cdeg or Fdeg; the mean of temperatures is mean(a, b)."
		if x.t.Form == kind.Date {
			way = "Add a time, as 28 d."
		}
		return b.fail(e.OpAt, fmt.Sprintf("Two %s cannot be added, only a %s to one of them.", plural, d), way)
	case x.t.Form != kind.Number && y.t.Form == kind.Number:
		if y.zero {
			y.t.Dim = diff(x.t.Form)
		}
		if y.t.Dim == diff(x.t.Form) {
			return b.arithmetic(op, x, y, x.t, e.OpAt)
		}
	case y.t.Form != kind.Number && x.t.Form == kind.Number && op == program.Add:
		if x.t.Dim == diff(y.t.Form) {
			return b.arithmetic(op, x, y, y.t, e.OpAt)
		}
	}
	verb := "be added"
	if op == program.Sub {
		verb = "be subtracted"
	}
	b.mismatch(x, y, verb, e.OpAt)
	return bad(e.Span)
}

// product compiles `*` and `/`.
func (b *builder) product(e *syntax.Binary, x, y operand) operand {
	for _, z := range []operand{x, y} {
		if z.t.Form == kind.Number {
			continue
		}
		way := ""
		switch z.t.Form {
		case kind.Point:
			way = "Use absolute(T) for kelvin, or a difference, as T - 0 degC."
		case kind.Date:
			way = "The time between two dates is a - b."
		case kind.Truth:
			way = "Choose with: if … then … else …."
		case kind.Outline, kind.Solid:
			way = "Use one of its values, as piece.volume."
		}
		verb := map[string]string{"*": "multiplied", "/": "divided"}[e.Op]
		return b.fail(z.at, fmt.Sprintf("%s cannot be %s.", upperFirst(z.t.Article()), verb), wayFor(z.t, way))
	}
	var d kind.Dim
	var err error
	op := program.Mul
	if e.Op == "*" {
		d, err = x.t.Dim.Mul(y.t.Dim)
	} else {
		op = program.Div
		d, err = x.t.Dim.Div(y.t.Dim)
	}
	if err != nil {
		return b.fail(e.OpAt, "The power of this kind is too large.", "")
	}
	z := b.arithmetic(op, x, y, kind.Quantity(d), e.OpAt)
	z.bare = x.bare && y.bare
	return z
}

// power compiles `^`.
func (b *builder) power(e *syntax.Binary) operand {
	x := b.expr(e.X)
	y := b.expr(e.Y)
	if x.bad || y.bad {
		return bad(e.Span)
	}
	if x.t.Form != kind.Number {
		way := ""
		if x.t.Form == kind.Point {
			way = "Use absolute(T) for kelvin."
		}
		return b.fail(x.at, fmt.Sprintf("%s has no power.", upperFirst(x.t.Article())), way)
	}
	if y.t.Form != kind.Number || !y.t.Dim.IsOne() {
		return b.fail(y.at, fmt.Sprintf("A power is a plain number; this is %s.", y.t.Article()), "")
	}
	if x.t.Dim.IsOne() {
		u, ok1 := b.known(x)
		v, ok2 := b.known(y)
		if r := math.Pow(u, v); ok1 && ok2 && !math.IsNaN(r) && !math.IsInf(r, 0) {
			z := b.num(r, x.t, e.Span)
			z.bare = x.bare && y.bare
			return z
		}
		if ok2 && !y.t.List {
			return b.emit(program.Instr{Op: program.PowConst, A: x.reg, B: program.None, C: program.None, Factor: v}, x.t, e.OpAt)
		}
		t := x.t
		t.List = x.t.List || y.t.List
		return b.emit(lane(program.Pow, x.reg, y.reg), t, e.OpAt)
	}
	p, ok := exponent(e.Y)
	if !ok {
		return b.badExponent(e, x, y)
	}
	d, err := x.t.Dim.Pow(p)
	if err != nil {
		return b.fail(e.OpAt, "The power of this kind is too large.", "")
	}
	t := kind.Quantity(d)
	t.List = x.t.List
	if u, ok := b.known(x); ok {
		if r := math.Pow(u, p.Float()); !math.IsNaN(r) && !math.IsInf(r, 0) {
			return b.num(r, t, e.Span)
		}
	}
	return b.emit(program.Instr{Op: program.PowConst, A: x.reg, B: program.None, C: program.None, Factor: p.Float()}, t, e.OpAt)
}

// exponent reads the power of a base with a kind: a literal, or a bracketed quotient of two, up to sixths.
func exponent(e syntax.Expr) (kind.Exp, bool) {
	sign := int64(1)
	if u, ok := e.(*syntax.Unary); ok && u.Op == "-" {
		sign, e = -1, u.X
	}
	if p, ok := e.(*syntax.Paren); ok {
		e = p.Inner
		if u, ok := e.(*syntax.Unary); ok && u.Op == "-" {
			sign, e = -sign, u.X
		}
		if q, ok := e.(*syntax.Binary); ok && q.Op == "/" {
			n, ok1 := wholeLiteral(q.X)
			d, ok2 := wholeLiteral(q.Y)
			if !ok1 || !ok2 || d == 0 {
				return kind.Exp{}, false
			}
			x, err := kind.Ratio(sign*n, d)
			return x, err == nil && x.Den() <= 6
		}
	}
	q, ok := e.(*syntax.Quantity)
	if !ok || len(q.Parts) != 1 || q.Parts[0].Unit != nil || q.Parts[0].Mark != "" || q.Percent {
		return kind.Exp{}, false
	}
	v := q.Parts[0].Number.Value
	if q.Neg {
		sign = -sign
	}
	if !v.Num().IsInt64() || !v.Denom().IsInt64() || v.Denom().Int64() > 6 {
		return kind.Exp{}, false
	}
	x, err := kind.Ratio(sign*v.Num().Int64(), v.Denom().Int64())
	return x, err == nil
}

func wholeLiteral(e syntax.Expr) (int64, bool) {
	q, ok := e.(*syntax.Quantity)
	if !ok || len(q.Parts) != 1 || q.Parts[0].Unit != nil || q.Percent || !q.Parts[0].Number.Value.IsInt() || !q.Parts[0].Number.Value.Num().IsInt64() {
		return 0, false
	}
	n := q.Parts[0].Number.Value.Num().Int64()
	if q.Neg {
		n = -n
	}
	return n, true
}

// badExponent refuses x^0.333 and x^n where x has a kind.
func (b *builder) badExponent(e *syntax.Binary, x, y operand) operand {
	v, known := b.known(y)
	way := "Write a whole number, or a quotient in a bracket, as x^(1/3)."
	if known {
		best, gap := "", 0.02
		for den := 2.0; den <= 6; den++ {
			num := math.Round(v * den)
			if g := math.Abs(v - num/den); num != 0 && g < gap {
				best, gap = fmt.Sprintf("%g/%g", num, den), g
			}
		}
		if best != "" {
			way = fmt.Sprintf("Did you mean %s? Write it in a bracket: ^(%s).", best, best)
		}
		return b.fail(y.at, fmt.Sprintf("The power of %s is a whole number, or a quotient of two down to sixths.", x.t.Article()), way)
	}
	return b.fail(y.at, fmt.Sprintf("The power of %s is written as a literal, since its kind is settled when the line is read.", x.t.Article()), way)
}

// compare compiles a comparison, or a chain: 1 d <= age <= 28 d means both.
func (b *builder) compare(e *syntax.Compare) operand {
	var terms []operand
	failed := false
	for _, t := range e.Terms {
		x := b.expr(t)
		failed = failed || x.bad
		terms = append(terms, x)
	}
	if failed {
		return bad(e.Span)
	}
	out := b.compareTwo(e.Ops[0], e.OpsAt[0], terms[0], terms[1])
	for i := 1; i < len(e.Ops) && !out.bad; i++ {
		next := b.compareTwo(e.Ops[i], e.OpsAt[i], terms[i], terms[i+1])
		if next.bad {
			return next
		}
		t := kind.Type{Form: kind.Truth, List: out.t.List || next.t.List}
		out = b.emit(lane(program.And, out.reg, next.reg), t, e.Span)
	}
	if !out.bad {
		b.compareTexts(e, terms)
	}
	return out
}

func (b *builder) compareTwo(op string, at diag.Span, x, y operand) operand {
	x, y = b.adopt(x, y)
	if c, ok := y.t.Dim.Currency(); ok && x.t.Form == kind.Number { // in the currency of the right side (ruling 14)
		x = b.toCurrency(x, c)
	}
	if !x.t.Elem().Same(y.t.Elem()) {
		b.mismatch(x, y, "be compared", at)
		return bad(at)
	}
	t := kind.Type{Form: kind.Truth, List: x.t.List || y.t.List}
	code := map[string]program.Op{"==": program.Eq, "!=": program.Ne, "<": program.Lt, "<=": program.Le, ">": program.Lt, ">=": program.Le}[op]
	switch x.t.Form {
	case kind.Text:
		if op != "==" && op != "!=" {
			return b.fail(at, "Texts are compared with == and != only.", "")
		}
		code = program.TextEq
		if op == "!=" {
			code = program.TextNe
		}
	case kind.Truth:
		if op != "==" && op != "!=" {
			return b.fail(at, "A yes or no is compared with == and != only.", "")
		}
	case kind.Number, kind.Point, kind.Date:
	default:
		return b.fail(at, fmt.Sprintf("%s cannot be compared.", upperFirst(x.t.Article())), wayFor(x.t, "Compare one of its values, as piece.volume."))
	}
	if op == ">" || op == ">=" {
		x, y = y, x
	}
	return b.emit(lane(code, x.reg, y.reg), t, at)
}
