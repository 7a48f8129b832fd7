package formula

import (
	"errors"
	"fmt"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/program"
)

// filter takes rows of a list.
func (t *translator) filter(in *program.Instr, a, b, c expr) (expr, error) {
	if !a.list {
		return expr{}, errors.New("it chooses from a list that stands in no cells")
	}
	k := cond{}
	if in.Op == program.FilterEq {
		if b.sort == text {
			k = cond{expr: truthOf(fmt.Sprintf("EXACT(%s,%s)", b.say(loosest), c.say(loosest)), tightest)}
			if b.plain {
				k.column, k.key = b.text, c.say(loosest)
			}
		} else {
			k.expr = compared(program.Eq, b, c)
		}
	} else {
		k.expr = asTruth(b)
		if col, key, ok := equality(k.text); ok && b.plain {
			k.column, k.key = col, key
		}
	}
	out := a
	out.where = append(append([]cond{}, a.where...), k)
	if a.sort == record {
		out.fields = append([]expr{}, a.fields...)
	}
	return out, nil
}

// equality parts EXACT(range,value).
func equality(s string) (column, key string, ok bool) {
	rest, ok := strings.CutPrefix(s, "EXACT(")
	if !ok || !strings.HasSuffix(rest, ")") {
		return "", "", false
	}
	column, key, ok = strings.Cut(strings.TrimSuffix(rest, ")"), ",")
	if !ok || !strings.Contains(column, ":") || strings.ContainsAny(column, "()") {
		return "", "", false
	}
	return column, key, true
}

// mask is the product of the conditions of a list, 1 for the rows taken.
func (e expr) mask() string {
	var parts []string
	for _, k := range e.where {
		parts = append(parts, "("+k.say(loosest)+")")
	}
	return strings.Join(parts, "*")
}

// simple tells whether all conditions compare ranges of texts with single values.
func (e expr) simple() bool {
	for _, k := range e.where {
		if k.column == "" {
			return false
		}
	}
	return len(e.where) > 0
}

// criteria writes simple conditions as the places of SUMIFS and COUNTIFS.
func (e expr) criteria() string {
	var parts []string
	for _, k := range e.where {
		parts = append(parts, k.column, k.key)
	}
	return strings.Join(parts, ",")
}

// special says the functions of lists.
func (t *translator) special(in *program.Instr) (expr, error) {
	f := t.p.Funcs[in.Aux]
	a := t.reg(in.Args[0])
	if len(a.items) > 0 {
		return ofItems(f, a.items)
	}
	if !a.list || a.rows == "" {
		return expr{}, errors.New("it looks into a list that stands in no cells")
	}
	switch f.Special {
	case catalogue.Sum:
		return total(a), nil
	case catalogue.Mean:
		return div(total(a), counted(a)), nil
	case catalogue.CountOf:
		return counted(a), nil
	case catalogue.KnownOf:
		if _, ok := a.pure(); !ok || len(a.where) > 0 {
			return expr{}, errors.New("it leaves open rows out of what is worked out")
		}
		a.known = true
		return a, nil
	case catalogue.Any, catalogue.All:
		return quantified(f.Special == catalogue.Any, a), nil
	case catalogue.Only, catalogue.First, catalogue.Last:
		return t.one(f.Special, a)
	case catalogue.Item:
		return nth(a, t.reg(in.Args[1]).say(loosest))
	}
	return expr{}, fmt.Errorf("%w: %s", ErrFunction, f.Name)
}

// ofItems says a function of a list of single values.
func ofItems(f *catalogue.Func, items []expr) (expr, error) {
	total := items[0]
	for _, x := range items[1:] {
		if x.sort == number {
			total = add(total, x, 1)
		}
	}
	n := float64(len(items))
	switch f.Special {
	case catalogue.Sum:
		return total, nil
	case catalogue.Mean:
		return total.times(1 / n), nil
	case catalogue.CountOf:
		return constant(n), nil
	case catalogue.First:
		return items[0], nil
	case catalogue.Last:
		return items[len(items)-1], nil
	case catalogue.Any, catalogue.All:
		out := asTruth(items[0])
		op := program.And
		if f.Special == catalogue.Any {
			op = program.Or
		}
		for _, x := range items[1:] {
			out = both(op, out, asTruth(x))
		}
		return out, nil
	}
	return expr{}, fmt.Errorf("%w: %s", ErrFunction, f.Name)
}

// pure gives the range of a list that is a range times a factor.
func (e expr) pure() (term, bool) {
	s, ok := e.single()
	return s, ok && s.atom == e.rows
}

// guard keeps a total from counting rows that hold nothing yet as 0.
func guarded(a expr, e expr) expr {
	if !a.open || a.known {
		return e
	}
	return atom(fmt.Sprintf("IF(COUNTA(%s)<ROWS(%s),NA(),%s)", a.rows, a.rows, e.say(loosest)), tightest)
}

func total(a expr) expr {
	s, pure := a.pure()
	switch {
	case pure && len(a.where) == 0:
		return guarded(a, atom("SUM("+a.rows+")", tightest).times(s.by))
	case pure && a.simple():
		return guarded(a, atom(fmt.Sprintf("SUMIFS(%s,%s)", a.rows, a.criteria()), tightest).times(s.by))
	case len(a.where) > 0:
		return guarded(a, atom(fmt.Sprintf("SUMPRODUCT(%s*(%s))", a.mask(), a.say(loosest)), tightest))
	}
	return guarded(a, atom(fmt.Sprintf("SUMPRODUCT(%s)", a.say(loosest)), tightest))
}

func counted(a expr) expr {
	switch {
	case a.known:
		return atom("COUNT("+a.rows+")", tightest)
	case a.simple():
		return atom(fmt.Sprintf("COUNTIFS(%s)", a.criteria()), tightest)
	case len(a.where) > 0:
		return atom(fmt.Sprintf("SUMPRODUCT(%s*1)", a.mask()), tightest)
	}
	return atom("ROWS("+a.rows+")", tightest)
}

func quantified(some bool, a expr) expr {
	holds := asTruth(a)
	mask := ""
	if len(a.where) > 0 {
		mask = a.mask() + "*"
	}
	if some {
		return truthOf(fmt.Sprintf("SUMPRODUCT(%s(%s))>0", mask, holds.say(loosest)), comparison)
	}
	return truthOf(fmt.Sprintf("SUMPRODUCT(%s(1-(%s)))=0", mask, holds.say(loosest)), comparison)
}

// one takes the one row, the first or the last.
func (t *translator) one(which catalogue.Special, a expr) (expr, error) {
	if a.sort == record {
		out := expr{sort: record}
		for _, f := range a.fields {
			f.where, f.list = a.where, true
			x, err := t.one(which, f)
			if err != nil {
				x = expr{sort: record, list: true} // told where it is used
			}
			out.fields = append(out.fields, x)
		}
		return out, nil
	}
	if len(a.where) == 0 {
		switch which {
		case catalogue.First:
			return nth(a, "1")
		case catalogue.Last:
			return nth(a, "ROWS("+a.rows+")")
		}
		return nth(a, "1")
	}
	if a.sort == number && which == catalogue.Only {
		s, pure := a.pure()
		if pure && a.simple() {
			count := fmt.Sprintf("COUNTIFS(%s)", a.criteria())
			return atom(fmt.Sprintf("IF(%s=1,SUMIFS(%s,%s),NA())", count, a.rows, a.criteria()), tightest).times(s.by), nil
		}
		return atom(fmt.Sprintf("IF(SUMPRODUCT(%s*1)=1,SUMPRODUCT(%s*(%s)),NA())", a.mask(), a.mask(), a.say(loosest)), tightest), nil
	}
	if len(a.where) == 1 && a.simple() && which != catalogue.Last {
		at := fmt.Sprintf("MATCH(%s,%s,0)", a.where[0].key, a.where[0].column)
		plain := a
		plain.where = nil
		return nth(plain, at)
	}
	return expr{}, errors.New("it looks a row up by more than one text")
}

// nth takes a row by its number.
func nth(a expr, n string) (expr, error) {
	if len(a.where) > 0 {
		return expr{}, errors.New("it counts among rows that were chosen")
	}
	switch {
	case a.sort == record:
		out := expr{sort: record}
		for _, f := range a.fields {
			x, err := nth(f, n)
			if err != nil {
				return x, err
			}
			out.fields = append(out.fields, x)
		}
		return out, nil
	case a.sort == number:
		if s, ok := a.pure(); ok {
			return atom(fmt.Sprintf("INDEX(%s,%s)", a.rows, n), tightest).times(s.by), nil
		}
		if len(a.terms) == 1 && a.terms[0].atom == a.rows {
			return add(atom(fmt.Sprintf("INDEX(%s,%s)", a.rows, n), tightest).times(a.terms[0].by), constant(a.rest), 1), nil
		}
		return expr{}, errors.New("it takes a row of what is worked out")
	}
	if a.text != a.rows {
		return expr{}, errors.New("it takes a row of what is worked out")
	}
	s := fmt.Sprintf("INDEX(%s,%s)", a.rows, n)
	return expr{sort: a.sort, text: s, prec: tightest}, nil
}

// callees are the functions of whole lists that a workbook has too.
var callees = map[string]string{"smallest": "MIN", "largest": "MAX", "median": "MEDIAN", "product": "PRODUCT", "deviation": "STDEV"}

// call says the functions of whole lists that a workbook has.
func (t *translator) call(in *program.Instr) (expr, error) {
	f := t.p.Funcs[in.Aux]
	name, ok := callees[f.Name]
	if !ok || len(in.Args) != 1 {
		return expr{}, fmt.Errorf("%w: %s", ErrFunction, f.Name)
	}
	a := t.reg(in.Args[0])
	if len(a.items) > 0 && a.sort == number {
		return atom(call(name, a.items...), tightest), nil
	}
	s, pure := a.pure()
	if !pure || len(a.where) > 0 || a.open {
		return expr{}, fmt.Errorf("%w: %s", ErrFunction, f.Name)
	}
	e := atom(fmt.Sprintf("%s(%s)", name, a.rows), tightest)
	if f.Name != "product" {
		e = e.times(s.by)
	}
	return e, nil
}

// loop says what runs once for each row, for the row of the formula.
func (t *translator) loop(in *program.Instr) (expr, error) {
	l := t.p.Loops[in.Aux]
	if t.depth > 8 {
		return expr{}, errors.New("it nests too deep")
	}
	inner := &translator{p: l.Program, regs: make([]expr, len(l.Program.Regs)), r: t.r, depth: t.depth + 1, lastNeed: lastNeeds(l.Program.Code)}
	for k, r := range in.Args {
		inner.regs[k] = t.reg(r)
		if k != l.Self {
			continue
		}
		if !t.r.First {
			if t.r.Own == "" {
				return expr{}, errors.New("it rests on the row above")
			}
			inner.regs[k] = add(atom(t.r.Own, tightest).times(t.r.Scale), constant(t.r.Offset), 1)
		}
	}
	for _, k := range l.Program.Consts {
		inner.regs[k.Reg] = inner.literal(k.Value, l.Program.Regs[k.Reg])
	}
	if err := inner.run(l.Program.Code); err != nil {
		return expr{}, err
	}
	return inner.regs[l.Program.Out], nil
}
