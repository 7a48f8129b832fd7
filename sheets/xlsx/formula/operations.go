package formula

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/program"
)

func (t *translator) do(in *program.Instr) (expr, error) {
	a, b, c := t.reg(in.A), t.reg(in.B), t.reg(in.C)
	if in.Op == program.Spread { // of the list only the number of its rows is wanted
		return a, nil
	}
	for _, x := range []expr{a, b, c} {
		if x.list && x.rows == "" {
			return expr{}, errors.New("it looks into a list that stands in no cells")
		}
	}
	switch in.Op {
	case program.Accept, program.Assumed, program.Same, program.AsLong, program.Hold:
		return a, nil
	case program.Need:
		return t.need(a, asTruth(b)), nil
	case program.GetField:
		return field(a, int(in.Aux))
	case program.MakeRows:
		return t.rowsOf(in.Args), nil
	case program.List:
		return t.listOf(in.Args)
	case program.Join:
		return t.join(in)
	case program.Filter, program.FilterEq:
		return t.filter(in, a, b, c)
	case program.Special:
		return t.special(in)
	case program.Call:
		return t.call(in)
	case program.EachRow:
		return t.loop(in)
	case program.Running, program.Before, program.Steps:
		return t.along(in, a, b)
	case program.OpenAsk:
		return expr{}, errors.New("it is open")
	case program.If:
		return t.choose(asTruth(a), b, c)
	case program.Otherwise:
		if a.sort == record {
			return expr{}, errors.New("it holds several values")
		}
		return t.like(a, fmt.Sprintf("IFERROR(%s,%s)", a.say(loosest), b.say(loosest)), a, b), nil
	}
	out, err := t.lane(in, a, b)
	if err != nil {
		return out, err
	}
	return spread(out, a, b)
}

// field gives one value of a record.
func field(a expr, i int) (expr, error) {
	if i >= len(a.fields) {
		return expr{}, errors.New("it takes a value of a shape")
	}
	f := a.fields[i]
	f.where = append(append([]cond{}, a.where...), f.where...)
	return f, nil
}

// rowsOf makes a record, or the rows of one.
func (t *translator) rowsOf(args []program.Reg) expr {
	out := expr{sort: record}
	for _, r := range args {
		f := t.reg(r)
		out.fields = append(out.fields, f)
		if f.list {
			out.list, out.rows = true, f.rows
		}
	}
	return out
}

// listOf makes a list of single values.
func (t *translator) listOf(args []program.Reg) (expr, error) {
	out := expr{list: true}
	for _, r := range args {
		x := t.reg(r)
		if x.list || x.sort == record {
			return expr{}, errors.New("it makes a list of lists or shapes")
		}
		out.sort, out.items = x.sort, append(out.items, x)
	}
	return out, nil
}

// spread has an expression go over the rows of its operands.
func spread(out expr, ops ...expr) (expr, error) {
	for _, x := range ops {
		if !x.list {
			continue
		}
		if out.list && len(out.where) != len(x.where) {
			return out, errors.New("it brings lists of different lengths together")
		}
		out.list, out.rows, out.where, out.known = true, x.rows, x.where, out.known || x.known
		out.blank = unique(append(append([]string{}, out.blank...), x.blank...))
	}
	return out, nil
}

// like gives a string the sort of an expression.
func (t *translator) like(model expr, s string, ops ...expr) expr {
	out := expr{sort: model.sort, text: s, prec: tightest}
	if model.sort == number {
		out = atom(s, tightest)
	}
	out, _ = spread(out, ops...)
	return out
}

// need gives a value where a condition holds, and no value elsewhere.
func (t *translator) need(a, cond expr) expr {
	if cond.text == "TRUE" || a.sort == record || cond.list {
		return a
	}
	return t.like(a, fmt.Sprintf("IF(%s,%s,NA())", cond.say(loosest), a.say(loosest)), a)
}

func (t *translator) choose(c, a, b expr) (expr, error) {
	if c.list {
		return expr{}, errors.New("it chooses row by row")
	}
	if c.text == "TRUE" {
		return a, nil
	}
	if c.text == "FALSE" {
		return b, nil
	}
	if a.sort == record || a.list || b.list {
		if len(a.fields) != len(b.fields) || a.list || b.list {
			return expr{}, errors.New("it chooses between lists")
		}
		out := expr{sort: record}
		for i := range a.fields {
			f, err := t.choose(c, a.fields[i], b.fields[i])
			if err != nil {
				return f, err
			}
			out.fields = append(out.fields, f)
		}
		return out, nil
	}
	if a.sort == truth || b.sort == truth {
		a, b = asTruth(a), asTruth(b)
	}
	return t.like(a, fmt.Sprintf("IF(%s,%s,%s)", c.say(loosest), a.say(loosest), b.say(loosest)), a, b), nil
}

// lane says an operation on single numbers, or, over ranges, row by row.
func (t *translator) lane(in *program.Instr, a, b expr) (expr, error) {
	switch in.Op {
	case program.Add:
		return add(a, b, 1), nil
	case program.Sub:
		return add(a, b, -1), nil
	case program.Mul:
		return mul(a, b), nil
	case program.Div:
		return div(a, b), nil
	case program.Neg:
		return a.times(-1), nil
	case program.PowConst:
		return raised(a, constant(in.Factor)), nil
	case program.Pow:
		return raised(a, b), nil
	case program.Eq, program.Ne, program.Lt, program.Le:
		if a.sort == truth || b.sort == truth {
			op := "="
			if in.Op == program.Ne {
				op = "<>"
			}
			return truthOf(asTruth(a).say(comparison+1)+op+asTruth(b).say(comparison+1), comparison), nil
		}
		return compared(in.Op, a, b), nil
	case program.TextEq, program.TextNe:
		plain := a.plain || b.plain
		s := fmt.Sprintf("EXACT(%s,%s)", a.say(loosest), b.say(loosest))
		if in.Op == program.TextNe {
			s = "NOT(" + s + ")"
		}
		out := truthOf(s, tightest)
		out.plain = plain
		return out, nil
	case program.Not:
		return truthOf("NOT("+asTruth(a).say(loosest)+")", tightest), nil
	case program.And, program.Or:
		return both(in.Op, asTruth(a), asTruth(b)), nil
	case program.Func1, program.Func2:
		return t.function(in, a, b)
	}
	return expr{}, errors.New("it makes a shape")
}

// both joins conditions. AND and OR look at both sides, and take a mistake of the right one even where the left decides
// (ruling 32); they take a range as a whole too: over ranges conditions are multiplied or added.
func both(op program.Op, a, b expr) expr {
	if a.list || b.list {
		if op == program.Or {
			return truthOf(fmt.Sprintf("(%s)+(%s)>0", a.say(loosest), b.say(loosest)), comparison)
		}
		return truthOf(fmt.Sprintf("(%s)*(%s)=1", a.say(loosest), b.say(loosest)), comparison)
	}
	if op == program.Or {
		return truthOf(fmt.Sprintf("IF(%s,TRUE,%s)", a.say(loosest), b.say(loosest)), tightest)
	}
	return truthOf(fmt.Sprintf("IF(%s,%s,FALSE)", a.say(loosest), b.say(loosest)), tightest)
}

// raised is a power; the ones that read better otherwise are written so.
func raised(a, b expr) expr {
	if b.isConstant() && a.isConstant() {
		if x := math.Pow(a.rest, b.rest); x-x == 0 {
			return constant(x)
		}
	}
	if b.isConstant() {
		switch b.rest {
		case 1:
			return a
		case -1:
			return div(constant(1), a)
		case 0.5:
			if s, ok := a.single(); ok && s.by > 0 {
				return atom("SQRT("+s.atom+")", tightest).times(math.Sqrt(s.by))
			}
			return atom(call("SQRT", a), tightest)
		}
		if s, ok := a.single(); ok && s.by > 0 {
			return atom(wrap(s.atom, s.prec, tightest)+"^"+constant(b.rest).say(tightest), power).times(math.Pow(s.by, b.rest))
		}
	}
	return atom(a.say(tightest)+"^"+b.say(tightest), power)
}

// compared says a comparison within 1 part in 10^12 of the larger (ruling 17).
func compared(op program.Op, a, b expr) expr {
	d := add(a, b, -1)
	size := fmt.Sprintf("1E-12*MAX(ABS(%s),ABS(%s))", a.say(loosest), b.say(loosest))
	if a.isConstant() || b.isConstant() { // near a constant, the constant is the larger to all purposes
		k := b.rest
		if a.isConstant() {
			k = a.rest
		}
		size = digits(1e-12 * math.Abs(k))
	} else if a.list || b.list {
		size = fmt.Sprintf("1E-12*(ABS(%s)+ABS(%s))", a.say(loosest), b.say(loosest))
	}
	if len(d.terms) > 0 && d.terms[0].by < 0 && (op == program.Le || op == program.Lt) { // B5>=3 and not -B5+3<=0
		turned := d.times(-1)
		if op == program.Le {
			least := "-" + size
			if size == "0" {
				least = "0"
			}
			return truthOf(turned.say(comparison+1)+">="+least, comparison)
		}
		return truthOf(turned.say(comparison+1)+">"+size, comparison)
	}
	switch op {
	case program.Eq:
		return truthOf("ABS("+d.say(loosest)+")<="+size, comparison)
	case program.Ne:
		return truthOf("ABS("+d.say(loosest)+")>"+size, comparison)
	case program.Le:
		return truthOf(d.say(comparison+1)+"<="+size, comparison)
	default:
		return truthOf(add(b, a, -1).say(comparison+1)+">"+size, comparison)
	}
}
