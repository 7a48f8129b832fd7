package formula

import (
	"fmt"
	"strings"

	"castwright/lang/program"
)

// functions are the functions of single numbers that a workbook has under another name; angles are in radians in both.
var functions = map[string]string{"abs": "ABS", "sqrt": "SQRT", "exp": "EXP", "ln": "LN", "log10": "LOG10", "atan": "ATAN", "sign": "SIGN"}

func (t *translator) function(in *program.Instr, a, b expr) (expr, error) {
	f := t.p.Funcs[in.Aux]
	if name, ok := functions[f.Name]; ok {
		return atom(call(name, a), tightest), nil
	}
	switch f.Name {
	case "absolute":
		return a, nil
	case "sin", "cos", "tan":
		return turned(strings.ToUpper(f.Name), a), nil
	case "asin", "acos":
		return atom(strings.ToUpper(f.Name)+"("+upToOne(a)+")", tightest), nil
	case "round_up", "round_down", "nearest":
		return rounded(f.Name, a, b), nil
	case "hypot":
		return atom(fmt.Sprintf("SQRT(%s^2+%s^2)", a.say(tightest), b.say(tightest)), tightest), nil
	case "atan2":
		return atom(call("ATAN2", b, a), tightest), nil
	case "mod":
		n := div(a, b)
		whole := fmt.Sprintf("(ABS(%s-ROUND(%s,0))>%s)", n.say(sum+1), n.say(loosest), tolerance(n))
		return atom(call("MOD", a, b)+"*"+whole, product), nil
	case "year", "month", "day", "hour", "minute":
		serial := add(a.times(1/secondsOfDay), constant(epoch), 1)
		return atom(call(strings.ToUpper(f.Name), serial), tightest), nil
	}
	return expr{}, fmt.Errorf("%w: %s", ErrFunction, f.Name)
}

// Dates of a workbook are days since 1899-12-30 (ISO/IEC 29500-1, 18.17.4.1, the 1900 date base), from 1900-03-01 on.
const (
	secondsOfDay = 86400
	epoch        = 25569 // 1970-01-01
)

// turned says a sine, cosine or tangent, which is exactly 0 at its quarter turns here: in a workbook pi leaves some 10^-16
// there, by which others would divide. A tangent of a right angle has no value. Factors of 0 and 1 do for ranges too.
func turned(name string, a expr) expr {
	x := a.say(loosest)
	of := func(name string) string { return fmt.Sprintf("(ABS(%s(%s))>1E-15*ABS(%s))", name, x, x) }
	switch name {
	case "SIN": // of 0 it is 0 either way
		return atom(fmt.Sprintf("SIN(%s)*%s", x, of("SIN")), product)
	case "COS":
		return atom(fmt.Sprintf("COS(%s)*%s", x, of("COS")), product)
	}
	return atom(fmt.Sprintf("TAN(%s)*%s/%s", x, of("TAN"), of("COS")), product)
}

// upToOne takes what is beyond 1 or -1 by no more than 1 part in 10^12 to be 1 (ruling 17).
func upToOne(a expr) string {
	x := a.say(loosest)
	if a.list || a.isConstant() {
		return x
	}
	return fmt.Sprintf("IF(ABS(%s)<=1+1E-12,MAX(-1,MIN(1,%s)),%s)", x, x, x)
}

// tolerance is how far a number may be from a whole one that it is taken for (ruling 23). MIN and MAX would take a range as
// a whole.
func tolerance(q expr) string {
	n := q.say(loosest)
	if !q.list {
		return fmt.Sprintf("MIN(0.001,1E-9*MAX(1,ABS(%s)))", n)
	}
	return fmt.Sprintf("(1E-9*(ABS(%s)<1)+1E-9*ABS(%s)*(ABS(%s)>=1)*(ABS(%s)<1E6)+0.001*(ABS(%s)>=1E6))", n, n, n, n, n)
}

// rounded says a rounding to steps with the tolerance of the language.
func rounded(name string, x, step expr) expr {
	q := div(x, step)
	n, near := q.say(loosest), tolerance(q)
	var s string
	switch {
	case name == "nearest":
		s = fmt.Sprintf("ROUND(%s*(1+1E-13),0)", q.say(product))
	case q.list && name == "round_up":
		return mul(step, atom(fmt.Sprintf("INT(%s-%s)", near, q.say(sum+1)), tightest).times(-1))
	case q.list:
		s = fmt.Sprintf("INT(%s+%s)", n, near)
	case name == "round_up":
		s = fmt.Sprintf("IF(%s>0,ROUNDUP(MAX(0,%s-%s),0),ROUNDDOWN(%s-%s,0))", n, n, near, n, near)
	default:
		s = fmt.Sprintf("IF(%s<0,ROUNDUP(MIN(0,%s+%s),0),ROUNDDOWN(%s+%s,0))", n, n, near, n, near)
	}
	return mul(step, atom(s, tightest))
}
