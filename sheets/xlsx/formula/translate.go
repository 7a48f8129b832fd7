package formula

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"castwright/lang/program"
	"castwright/lang/value"
)

// Cell says where a cell stands in a workbook, and how: SI = what it holds × Scale + Offset.
type Cell struct {
	Ref    string // "B5", "'Bench'!$B$5"; of a column its range, "'pours'!$B$2:$B$9"
	Row    string // of a column, the value in the row of the formula, with Here for the row's number: "B\x01"
	Class  program.Class
	Truth  bool
	List   bool
	Scale  float64
	Offset float64
	Plain  bool // of texts: without wildcards, and none alike but for case, so that SUMIFS finds the same rows
	Open   bool // it holds nothing yet, or, of a column, some of its rows do
	Fields []Cell
}

// Here and Above stand for the number of the row, and of the row above it, in the formula of a column.
const (
	Here  = "\x01"
	Above = "\x02"
)

// Result says how the result is held.
type Result struct {
	Scale, Offset float64
	Field         int    // of a record, which of its values
	Own           string // of a column that rests on itself: its value in the row above
	First         bool   // the formula of the first row, which has none above it
	FirstRow      int    // the number of that row
	Truth         bool   // yes or no, as words
	Condition     bool   // the condition itself is wanted, for a check

	// List gives the range where a list of literals, the column of a table in a rule, stands.
	List func(v value.Column) string
}

// ErrFunction says that a formula calls a function that is no formula.
var ErrFunction = errors.New("it calls a function that a workbook does not have")

// Translate says a program over cells as a formula, without the sign =. The error says why it cannot be said.
func Translate(p *program.Program, inputs []Cell, r Result) (string, error) {
	if len(p.Code) > maxCode {
		return "", errors.New("it is too long")
	}
	t := &translator{p: p, regs: make([]expr, len(p.Regs)), r: r, lastNeed: lastNeeds(p.Code)}
	guard := []string{}
	for i, c := range inputs {
		t.regs[i] = t.input(c, p.Regs[i].List)
		if c.Open && !c.List {
			guard = append(guard, c.Ref)
		}
	}
	for _, k := range p.Consts {
		t.regs[k.Reg] = t.literal(k.Value, p.Regs[k.Reg])
	}
	if err := t.run(p.Code); err != nil {
		return "", err
	}
	out := t.regs[p.Out]
	if out.list {
		return "", errors.New("it is a list")
	}
	if out.sort == record && r.Field < len(out.fields) {
		out = out.fields[r.Field]
	}
	if out.sort == record {
		return "", errors.New("it holds several values")
	}
	if r.Truth && out.sort == number {
		out = asTruth(out)
	}
	if out.sort == number {
		out = add(out, constant(r.Offset), -1).times(1 / r.Scale)
	}
	if out.sort == truth && !r.Condition {
		out = textOf(fmt.Sprintf(`IF(%s,"yes","no")`, out.say(loosest)), tightest)
	}
	s := out.say(loosest)
	for _, ref := range unique(guard) {
		if !strings.Contains(s, ref) {
			continue
		}
		s = fmt.Sprintf("IF(ISBLANK(%s),NA(),%s)", ref, s)
	}
	if len(s) > maxFormula {
		return "", errors.New("it is too long")
	}
	return s, nil
}

const (
	maxCode    = 4000
	maxFormula = 8000 // a workbook takes 8,192 characters
)

func unique(list []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range list {
		if !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}

// translator works through a program; each register holds an expression.
type translator struct {
	p     *program.Program
	regs  []expr
	r     Result
	depth int

	lastNeed map[program.Reg]int
}

// input is the expression of a cell.
func (t *translator) input(c Cell, list bool) expr {
	if len(c.Fields) > 0 {
		out := expr{sort: record, list: list}
		for _, f := range c.Fields {
			out.fields = append(out.fields, t.input(f, list))
		}
		if list && len(c.Fields) > 0 {
			out.rows = c.Fields[0].Ref
		}
		return out
	}
	ref := c.Ref
	inRow := list && c.Row != "" // a column of the same table: in a formula of a column it stands for its value in the row
	if inRow {
		ref = c.Row
	}
	if inRow && c.Open { // an empty place counts as 0 there
		ref = fmt.Sprintf("IF(ISBLANK(%s),NA(),%s)", ref, ref)
	}
	var e expr
	switch {
	case c.Class == program.Text:
		e = textOf(ref, tightest)
	case c.Truth: // yes and no stand as words
		e = truthOf(ref+`="yes"`, comparison)
	default:
		e = add(atom(ref, tightest).times(c.Scale), constant(c.Offset), 1)
	}
	if list && !inRow {
		e.list, e.rows, e.plain = true, c.Ref, c.Plain
		if c.Open {
			e.blank = []string{c.Ref}
		}
	}
	return e
}

// literal is the expression of a constant.
func (t *translator) literal(v value.Column, r program.Register) expr {
	switch {
	case r.List && t.r.List == nil:
		return expr{list: true, sort: record}
	case r.List:
		return t.literals(v)
	case r.Class == program.Num && len(v.Num) == 1:
		return constant(v.Num[0])
	case r.Class == program.Text && len(v.Text) == 1:
		return textOf(quoted(v.Text[0]), tightest)
	}
	out := expr{sort: record}
	for i := range v.Fields {
		f := v.Fields[i]
		class := program.Num
		if f.Text != nil {
			class = program.Text
		}
		out.fields = append(out.fields, t.literal(f, program.Register{Class: class}))
	}
	return out
}

// literals is the expression of a list of literals: a range of its own.
func (t *translator) literals(v value.Column) expr {
	out := expr{list: true, sort: record}
	switch {
	case len(v.Fields) > 0:
		for _, f := range v.Fields {
			out.fields = append(out.fields, t.literals(f))
		}
		out.rows = out.fields[0].rows
	case len(v.Num) > 0:
		ref := t.r.List(v)
		out = atom(ref, tightest)
		out.list, out.rows, out.still = true, ref, true
	case len(v.Text) > 0:
		ref := t.r.List(v)
		out = textOf(ref, tightest)
		out.list, out.rows, out.plain = true, ref, PlainTexts(v.Text)
	}
	return out
}

// PlainTexts tells whether a workbook finds the same texts as the language: no wildcards, no operators, none alike but for
// case.
func PlainTexts(texts []string) bool {
	seen := map[string]string{}
	for _, t := range texts {
		if t == "" || strings.ContainsAny(t, "*?~<>=") {
			return false
		}
		low := strings.ToLower(t)
		if old, ok := seen[low]; ok && old != t {
			return false
		}
		seen[low] = t
	}
	return true
}

// lastNeeds finds for each condition that a rule needs the last operation that looks at it: there the value is guarded, and
// not at each step before.
func lastNeeds(code []program.Instr) map[program.Reg]int {
	out := map[program.Reg]int{}
	for i, in := range code {
		if in.Op == program.Need {
			out[in.B] = i
		}
	}
	return out
}

func quoted(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// asTruth reads a register of the class of numbers as a condition: a constant 0 or 1 is one too.
func asTruth(e expr) expr {
	if e.sort == truth {
		return e
	}
	if e.isConstant() {
		if e.rest != 0 {
			return truthOf("TRUE", tightest)
		}
		return truthOf("FALSE", tightest)
	}
	out := truthOf(e.say(comparison+1)+"<>0", comparison)
	out.list, out.rows, out.where, out.blank = e.list, e.rows, e.where, e.blank
	return out
}

func (t *translator) run(code []program.Instr) error {
	for i := range code {
		in := &code[i]
		if in.Op == program.Nop {
			continue
		}
		if in.Op == program.Need && t.lastNeed[in.B] != i {
			t.regs[in.Out] = t.reg(in.A)
			continue
		}
		e, err := t.do(in)
		if err != nil {
			return err
		}
		t.regs[in.Out] = e
	}
	return nil
}

// reg gives an operand.
func (t *translator) reg(r program.Reg) expr {
	if r < 0 {
		return expr{}
	}
	return t.regs[r]
}

func (t *translator) do(in *program.Instr) (expr, error) {
	a, b, c := t.reg(in.A), t.reg(in.B), t.reg(in.C)
	for _, x := range []expr{a, b, c} {
		if x.list && x.rows == "" {
			return expr{}, errors.New("it looks into a list that stands in no cells")
		}
	}
	switch in.Op {
	case program.Accept, program.Assumed, program.Same, program.Hold:
		return a, nil
	case program.Need:
		return t.need(a, asTruth(b)), nil
	case program.Spread:
		return a, nil
	case program.GetField:
		if int(in.Aux) >= len(a.fields) {
			return expr{}, errors.New("it takes a value of a shape")
		}
		f := a.fields[in.Aux]
		f.where = append(append([]cond{}, a.where...), f.where...)
		return f, nil
	case program.MakeRows:
		out := expr{sort: record}
		for _, r := range in.Args {
			f := t.reg(r)
			out.fields = append(out.fields, f)
			if f.list {
				out.list, out.rows = true, f.rows
			}
		}
		return out, nil
	case program.List:
		out := expr{list: true}
		for _, r := range in.Args {
			x := t.reg(r)
			if x.list || x.sort == record {
				return expr{}, errors.New("it makes a list of lists or shapes")
			}
			out.sort, out.items = x.sort, append(out.items, x)
		}
		return out, nil
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
		sign := "*"
		if op == program.Or {
			return truthOf(fmt.Sprintf("(%s)+(%s)>0", a.say(loosest), b.say(loosest)), comparison)
		}
		return truthOf(fmt.Sprintf("(%s)%s(%s)=1", a.say(loosest), sign, b.say(loosest)), comparison)
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

// functions are the functions of single numbers that a workbook has under another name; angles are in radians in both.
var functions = map[string]string{"abs": "ABS", "sqrt": "SQRT", "exp": "EXP", "ln": "LN", "log10": "LOG10", "sin": "SIN", "cos": "COS",
	"tan": "TAN", "asin": "ASIN", "acos": "ACOS", "atan": "ATAN", "sign": "SIGN"}

func (t *translator) function(in *program.Instr, a, b expr) (expr, error) {
	f := t.p.Funcs[in.Aux]
	if name, ok := functions[f.Name]; ok {
		return atom(call(name, a), tightest), nil
	}
	switch f.Name {
	case "absolute":
		return a, nil
	case "round_up", "round_down", "nearest":
		return rounded(f.Name, a, b), nil
	case "hypot":
		return atom(fmt.Sprintf("SQRT(%s^2+%s^2)", a.say(tightest), b.say(tightest)), tightest), nil
	case "atan2":
		return atom(call("ATAN2", b, a), tightest), nil
	case "mod":
		return atom(call("MOD", a, b), tightest), nil
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

// rounded says a rounding to steps with the tolerance of the language (ruling 23).
func rounded(name string, x, step expr) expr {
	q := div(x, step)
	n := q.say(loosest)
	near := fmt.Sprintf("MIN(0.001,1E-9*MAX(1,ABS(%s)))", n)
	var s string
	switch name {
	case "round_up":
		s = fmt.Sprintf("IF(%s>0,ROUNDUP(MAX(0,%s-%s),0),ROUNDDOWN(%s-%s,0))", n, n, near, n, near)
	case "round_down":
		s = fmt.Sprintf("IF(%s<0,ROUNDUP(MIN(0,%s+%s),0),ROUNDDOWN(%s+%s,0))", n, n, near, n, near)
	default:
		s = fmt.Sprintf("ROUND(%s*(1+1E-13),0)", q.say(product))
	}
	return mul(step, atom(s, tightest))
}
