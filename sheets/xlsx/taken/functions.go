package taken

import (
	"errors"
	"fmt"
	"math"
)

// function translates a call with its arguments (ISO/IEC 29500-1, 18.17.7).
type function struct {
	least, most int
	say         func(t *translator, name string, args []node) (expr, error)
}

var functions map[string]function

func init() {
	functions = map[string]function{
		"IF": {2, 3, sayIf}, "IFS": {2, 254, sayIfs}, "AND": {1, 254, sayAll}, "OR": {1, 254, sayAll}, "NOT": {1, 1, sayNot}, "EXACT": {2, 2, sayExact}, "TRUE": {0, 0, sayTruth}, "FALSE": {0, 0, sayTruth},
		"IFERROR": {2, 2, sayOtherwise}, "IFNA": {2, 2, sayOtherwise},
		"ROUND": {1, 2, sayRound}, "ROUNDUP": {1, 2, sayRound}, "ROUNDDOWN": {1, 2, sayRound}, "TRUNC": {1, 2, sayRound}, "INT": {1, 1, sayStep},
		"CEILING": {1, 2, sayStep}, "FLOOR": {1, 2, sayStep}, "MROUND": {2, 2, sayStep}, "CEILING.MATH": {1, 2, sayStep}, "FLOOR.MATH": {1, 2, sayStep},
		"MOD": {2, 2, sayMod}, "ABS": {1, 1, sayAbs}, "SQRT": {1, 1, sayRoot}, "SIGN": {1, 1, sayPlainly}, "EXP": {1, 1, sayPlainly}, "LN": {1, 1, sayPlainly},
		"LOG10": {1, 1, sayPlainly}, "LOG": {1, 2, sayLog}, "POWER": {2, 2, sayPower}, "PI": {0, 0, sayPi},
		"RADIANS": {1, 1, sayRadians}, "DEGREES": {1, 1, sayDegrees}, "SIN": {1, 1, sayAngle}, "COS": {1, 1, sayAngle}, "TAN": {1, 1, sayAngle},
		"ASIN": {1, 1, sayPlainly}, "ACOS": {1, 1, sayPlainly}, "ATAN": {1, 1, sayPlainly}, "ATAN2": {2, 2, sayAtan2},
		"CONCATENATE": {1, 254, sayJoin}, "CONCAT": {1, 254, sayJoin}, "TEXT": {2, 2, sayText},
		"DATE": {3, 3, sayDate}, "YEAR": {1, 1, sayDatePart}, "MONTH": {1, 1, sayDatePart}, "DAY": {1, 1, sayDatePart}, "WEEKDAY": {1, 2, sayWeekday},
		"EDATE": {2, 2, sayMonthLater}, "EOMONTH": {2, 2, sayMonthEnd}, "DAYS": {2, 2, sayDays}, "WORKDAY": {2, 3, sayWorkday},
		"SUM": {1, 255, saySum}, "AVERAGE": {1, 255, sayMean}, "MIN": {1, 255, sayListed}, "MAX": {1, 255, sayListed}, "MEDIAN": {1, 255, sayListed},
		"PRODUCT": {1, 255, sayMultiplied}, "STDEV": {1, 255, sayListed}, "STDEV.S": {1, 255, sayListed}, "COUNT": {1, 255, sayCount}, "COUNTA": {1, 255, sayCount},
		"ROWS": {1, 1, sayRows}, "SMALL": {2, 2, sayRanked}, "LARGE": {2, 2, sayRanked},
		"SUMPRODUCT": {1, 255, saySumProduct}, "COUNTIF": {2, 2, sayWhere}, "COUNTIFS": {2, 254, sayWhere}, "SUMIF": {2, 3, sayWhere}, "SUMIFS": {3, 255, sayWhere},
		"AVERAGEIF": {2, 3, sayWhere}, "AVERAGEIFS": {3, 255, sayWhere}, "MAXIFS": {3, 255, sayWhere}, "MINIFS": {3, 255, sayWhere},
		"VLOOKUP": {3, 4, sayLookup}, "XLOOKUP": {3, 4, sayXLookup}, "INDEX": {2, 3, sayIndex},
	}
}

var noClock = map[string]string{
	"TODAY": "the language has no clock", "NOW": "the language has no clock", "RAND": "the language knows no chance", "RANDBETWEEN": "the language knows no chance",
	"RANDARRAY": "the language knows no chance", "INDIRECT": "it works out which cell it looks at", "OFFSET": "it works out which cell it looks at",
}

func (t *translator) call(c call) (expr, error) {
	if why, ok := noClock[c.name]; ok {
		return expr{}, errors.New(why)
	}
	f, ok := functions[c.name]
	if !ok {
		return expr{}, fmt.Errorf("there is no counterpart of %s", c.name)
	}
	if len(c.args) < f.least || len(c.args) > f.most {
		return expr{}, fmt.Errorf("%s has %d values in its bracket", c.name, len(c.args))
	}
	return f.say(t, c.name, c.args)
}

// exprs translates the arguments one by one.
func (t *translator) exprs(args []node) ([]expr, error) {
	out := make([]expr, len(args))
	for i, a := range args {
		e, err := t.expr(a)
		if err != nil {
			return nil, err
		}
		out[i] = e
	}
	return out, nil
}

func (t *translator) plainExpr(n node) (expr, error) {
	e, err := t.expr(n)
	if err != nil {
		return e, err
	}
	return t.toPlain(e)
}

func (t *translator) truthExpr(n node) (expr, error) {
	e, err := t.expr(n)
	if err != nil {
		return e, err
	}
	return t.toTruth(e)
}

// called is a function over single values.
func called(name string, like expr, args ...expr) expr {
	out := expr{text: name + "(", prec: tightest, sort: like.sort, unit: like.unit, constant: true}
	for i, a := range args {
		if i > 0 {
			out.text += ", "
		}
		out.text += a.text
		out.list, out.gaps = out.list || a.list, out.gaps || a.gaps
		out.constant, out.doubtful = out.constant && a.constant, out.doubtful || a.doubtful
	}
	out.text += ")"
	return out
}

func sayIf(t *translator, _ string, args []node) (expr, error) {
	if x := unlessBlank(args); x != nil {
		t.told["Formulas that leave their cell blank where another cell is blank stand as what they work out otherwise: here a value that is still to come leaves open what rests on it."] = true
		return t.expr(x)
	}
	if c, ok := args[0].(call); ok && len(args) == 3 && (c.name == "ISERROR" || c.name == "ISNA" || c.name == "ISERR") {
		return sayOtherwise(t, "", []node{args[2], args[1]})
	}
	c, err := t.truthExpr(args[0])
	if err != nil {
		return c, err
	}
	a, err := t.expr(args[1])
	if err != nil {
		return a, err
	}
	if len(args) == 2 {
		if a.sort != isTruth {
			return a, errors.New("it gives FALSE instead of a value where its condition does not hold")
		}
		args = append(args[:2:2], truth{false})
	}
	b, err := t.expr(args[2])
	if err != nil {
		return b, err
	}
	return t.choice(c, a, b)
}

// unlessBlank gives what IF works out where another cell is not blank, if it is to leave its own blank where that is.
func unlessBlank(args []node) node {
	if len(args) != 3 {
		return nil
	}
	blank, not := asksBlank(args[0])
	switch {
	case blank && !not && leavesBlank(args[1]):
		return args[2]
	case blank && not && leavesBlank(args[2]):
		return args[1]
	}
	return nil
}

// leavesBlank tells whether a value is an empty text, or the error that stands for no value.
func leavesBlank(n node) bool {
	switch x := n.(type) {
	case words:
		return x.text == ""
	case call:
		return x.name == "NA"
	case problem:
		return x.text == "#N/A"
	}
	return false
}

// asksBlank tells whether a condition asks for a blank cell, or with not, for one that is not.
func asksBlank(n node) (blank, not bool) {
	switch x := n.(type) {
	case binary:
		_, isRef := x.a.(ref)
		if w, ok := x.b.(words); ok && isRef && w.text == "" {
			return x.op == "=" || x.op == "<>", x.op == "<>"
		}
	case call:
		if x.name == "ISBLANK" && len(x.args) == 1 {
			_, isRef := x.args[0].(ref)
			return isRef, false
		}
		if x.name == "NOT" && len(x.args) == 1 {
			blank, not := asksBlank(x.args[0])
			return blank, !not
		}
	}
	return false, false
}

func (t *translator) choice(c, a, b expr) (expr, error) {
	doubtful := a.doubtful || b.doubtful
	a, b, err := t.alike(a, b)
	if err != nil {
		return a, err
	}
	return expr{text: "if " + c.wrap(byOr) + " then " + a.wrap(byWhere) + " else " + b.wrap(loosest), prec: loosest, sort: a.sort, unit: a.unit,
		list: c.list || a.list || b.list, gaps: c.gaps || a.gaps || b.gaps, plus: a.plus && b.plus, doubtful: doubtful}, nil
}

// sayIfs takes the value behind the first condition that holds; the last condition must be TRUE.
func sayIfs(t *translator, _ string, args []node) (expr, error) {
	last, always := args[len(args)-2].(truth)
	if len(args)%2 != 0 || !always || !last.value {
		return expr{}, errors.New("it gives no value where none of its conditions holds")
	}
	out, err := t.expr(args[len(args)-1])
	for i := len(args) - 4; i >= 0 && err == nil; i -= 2 {
		var c, a expr
		if c, err = t.truthExpr(args[i]); err != nil {
			break
		}
		if a, err = t.expr(args[i+1]); err != nil {
			break
		}
		out, err = t.choice(c, a, out)
	}
	return out, err
}

func sayAll(t *translator, name string, args []node) (expr, error) {
	word, whole, prec := "and", "all", byAnd
	if name == "OR" {
		word, whole, prec = "or", "any", byOr
	}
	var out expr
	for i, a := range args {
		var e expr
		var err error
		if _, isArea := a.(area); isArea {
			if e, err = t.listOf(a); err == nil {
				e, err = t.toTruth(e)
			}
		} else {
			e, err = t.truthExpr(a)
		}
		if err != nil {
			return e, err
		}
		if e.list && !t.lists {
			e = expr{text: whole + "(" + e.text + ")", prec: tightest, sort: isTruth}
		}
		if i == 0 {
			out = e
			continue
		}
		out = expr{text: out.wrap(prec) + " " + word + " " + e.wrap(prec+1), prec: prec, sort: isTruth, list: out.list || e.list}
	}
	return out, nil
}

func sayNot(t *translator, _ string, args []node) (expr, error) {
	e, err := t.truthExpr(args[0])
	return expr{text: "not " + e.wrap(byCompare+1), prec: byNot, sort: isTruth, list: e.list, gaps: e.gaps}, err
}

// sayExact compares texts with their case, as the language does.
func sayExact(t *translator, _ string, args []node) (expr, error) {
	es, err := t.exprs(args)
	if err != nil {
		return expr{}, err
	}
	return t.compare("=", es[0], es[1])
}

func sayTruth(t *translator, name string, _ []node) (expr, error) {
	return t.expr(truth{name == "TRUE"})
}

func sayOtherwise(t *translator, _ string, args []node) (expr, error) {
	es, err := t.exprs(args)
	if err != nil {
		return expr{}, err
	}
	a, b, err := t.alike(es[0], es[1])
	return called("otherwise", a, a, b), err
}

// whole gives a number that a formula states, as the digits of ROUND.
func whole(n node) (int, bool) {
	switch x := n.(type) {
	case missing:
		return 0, true
	case number:
		return int(x.value), math.Trunc(x.value) == x.value && math.Abs(x.value) <= 15
	case unary:
		v, ok := whole(x.x)
		return -v, ok && x.op == "-"
	}
	return 0, false
}

var rounded = map[string]string{"ROUND": "nearest", "ROUNDUP": "round_up", "ROUNDDOWN": "round_down", "TRUNC": "round_down"}

func sayRound(t *translator, name string, args []node) (expr, error) {
	x, err := t.expr(args[0])
	if err != nil {
		return x, err
	}
	if x.sort != isNumber || x.unit.point || x.doubtful { // 36.3 kg a bag: what is rounded is no mass
		if x, err = t.toPlain(x); err != nil {
			return x, err
		}
	}
	step := literal(1)
	if len(args) == 2 {
		n, ok := whole(args[1])
		if !ok {
			d, err := t.plainExpr(args[1])
			if err != nil {
				return d, err
			}
			step = expr{text: "10^(-" + d.wrap(byPower) + ")", prec: byPower}
		} else {
			step = expr{text: digits(math.Pow10(-n)), prec: tightest, literal: true, value: math.Pow10(-n)}
		}
	}
	if step, err = t.toUnit(step, x.unit); err != nil {
		return step, err
	}
	args2 := func(x expr) []expr {
		if step.literal && step.value == 1 {
			return []expr{x}
		}
		return []expr{x, step}
	}
	word := rounded[name]
	if name == "ROUND" || x.plus {
		if name != "ROUND" {
			t.told["ROUNDUP, ROUNDDOWN and TRUNC stand as round_up and round_down, which do the same for the numbers here; for numbers below 0 they round to the other side."] = true
		}
		out := called(word, x, args2(x)...)
		out.plus = x.plus
		return out, nil
	}
	size := called("abs", x, x)
	size = called(word, x, args2(size)...)
	return expr{text: "sign(" + x.text + ") * " + size.text, prec: byProduct, unit: x.unit, list: x.list, gaps: x.gaps, constant: x.constant, doubtful: x.doubtful}, nil
}

// sayStep rounds to a step: upwards, downwards, to the nearest.
func sayStep(t *translator, name string, args []node) (expr, error) {
	x, err := t.expr(args[0])
	if err != nil {
		return x, err
	}
	step := literal(1)
	if len(args) == 2 {
		if step, err = t.expr(args[1]); err != nil {
			return step, err
		}
	}
	if x.sort != isNumber || x.unit.point || x.doubtful {
		if x, err = t.toPlain(x); err != nil {
			return x, err
		}
	}
	if x, step, err = t.alike(x, step); err != nil {
		return x, err
	}
	word := map[byte]string{'C': "round_up", 'F': "round_down", 'I': "round_down", 'M': "nearest"}[name[0]]
	out := called(word, x, x, step)
	if step.literal && step.value == 1 {
		out = called(word, x, x)
	}
	out.plus = x.plus
	return out, nil
}

func sayMod(t *translator, _ string, args []node) (expr, error) {
	es, err := t.exprs(args)
	if err != nil {
		return expr{}, err
	}
	a, b := es[0], es[1]
	if a.sort != isNumber || a.unit.point || b.sort != isNumber {
		if a, err = t.toPlain(a); err != nil {
			return a, err
		}
	}
	if a, b, err = t.alike(a, b); err != nil {
		return a, err
	}
	return called("mod", a, a, b), nil
}

func sayAbs(t *translator, _ string, args []node) (expr, error) {
	x, err := t.expr(args[0])
	if err == nil && (x.sort != isNumber || x.unit.point) {
		x, err = t.toPlain(x)
	}
	out := called("abs", x, x)
	out.plus = true
	return out, err
}

func sayRoot(t *translator, _ string, args []node) (expr, error) {
	x, err := t.expr(args[0])
	if err != nil {
		return x, err
	}
	u, ok := x.unit.root()
	if x.sort != isNumber || !ok {
		if x, err = t.toPlain(x); err != nil {
			return x, err
		}
		u = plain
	}
	out := called("sqrt", x, x)
	out.unit, out.plus = u, true
	return out, nil
}

var plainly = map[string]string{"SIGN": "sign", "EXP": "exp", "LN": "ln", "LOG10": "log10", "ASIN": "asin", "ACOS": "acos", "ATAN": "atan"}

func sayPlainly(t *translator, name string, args []node) (expr, error) {
	x, err := t.plainExpr(args[0])
	return called(plainly[name], expr{}, x), err
}

func sayLog(t *translator, _ string, args []node) (expr, error) {
	x, err := t.plainExpr(args[0])
	if err != nil || len(args) == 1 {
		return called("log10", expr{}, x), err
	}
	b, err := t.plainExpr(args[1])
	return expr{text: "ln(" + x.text + ") / ln(" + b.text + ")", prec: byProduct, list: x.list || b.list}, err
}

func sayPower(t *translator, _ string, args []node) (expr, error) {
	es, err := t.exprs(args)
	if err != nil {
		return expr{}, err
	}
	return t.power(es[0], es[1])
}

func sayPi(*translator, string, []node) (expr, error) {
	return expr{text: "pi", prec: tightest, constant: true, circle: true, plus: true}, nil
}

var degrees = unit{factors: []factor{{"deg", 1}}}

func sayRadians(t *translator, _ string, args []node) (expr, error) {
	x, err := t.expr(args[0])
	if err != nil {
		return x, err
	}
	if x, err = t.toUnit(x, degrees); err != nil {
		return x, err
	}
	x.unit, x.constant = plain, false // an angle is a number: that of its radians
	return x, nil
}

func sayDegrees(t *translator, _ string, args []node) (expr, error) {
	x, err := t.plainExpr(args[0])
	if err != nil {
		return x, err
	}
	angle := x
	angle.unit = degrees
	return expr{text: x.wrap(byProduct) + " / 1 deg", prec: byProduct, list: x.list, gaps: x.gaps, over: &angle}, nil
}

func sayAngle(t *translator, name string, args []node) (expr, error) {
	x, err := t.plainExpr(args[0])
	if x.constant {
		x = expr{text: x.wrap(byProduct) + " * 1 rad", prec: byProduct}
	}
	return called(map[string]string{"SIN": "sin", "COS": "cos", "TAN": "tan"}[name], expr{}, x), err
}

// sayAtan2 turns the two places round: a workbook has x first.
func sayAtan2(t *translator, _ string, args []node) (expr, error) {
	es, err := t.exprs(args)
	if err != nil {
		return expr{}, err
	}
	x, y, err := t.alike(es[0], es[1])
	return called("atan2", expr{}, y, x), err
}
