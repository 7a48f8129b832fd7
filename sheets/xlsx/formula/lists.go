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

// guarded keeps what is made of a list from taking rows that hold nothing yet as 0: rows that are taken, and all rows of
// what they are chosen by.
func guarded(a expr, e expr) expr {
	if waits := a.waits(); waits != "" {
		return atom(fmt.Sprintf("IF(%s,NA(),%s)", waits, e.say(loosest)), tightest)
	}
	return e
}

// waits is the condition under which a list waits for something; nothing where it never does.
func (e expr) waits() string {
	var parts []string
	for _, k := range e.where {
		for _, r := range k.blank {
			parts = append(parts, fmt.Sprintf("COUNTA(%s)<ROWS(%s)", r, r))
		}
	}
	for _, r := range e.blank {
		switch {
		case e.known:
		case len(e.where) > 0:
			parts = append(parts, fmt.Sprintf("SUMPRODUCT(%s*ISBLANK(%s))>0", e.mask(), r))
		default:
			parts = append(parts, fmt.Sprintf("COUNTA(%s)<ROWS(%s)", r, r))
		}
	}
	parts = unique(parts)
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return "OR(" + strings.Join(parts, ",") + ")"
}

func total(a expr) expr {
	s, pure := a.pure()
	switch {
	case pure && len(a.where) == 0:
		return guarded(a, atom("SUM("+a.rows+")", tightest).times(s.by))
	case pure && a.simple() && !a.still:
		return guarded(a, atom(a.sumOfEqual(), tightest).times(s.by))
	case len(a.where) > 0:
		return guarded(a, atom(fmt.Sprintf("SUMPRODUCT(%s*(%s))", a.mask(), a.say(loosest)), tightest))
	}
	return guarded(a, atom(fmt.Sprintf("SUMPRODUCT(%s)", a.say(loosest)), tightest))
}

// sumOfEqual totals the rows of a range with equal texts. SUMIFS passes over mistakes in other rows, but takes texts for
// alike that differ by case, fit wildcards, or read as one number: where it takes other rows, the exact ones are totalled.
func (e expr) sumOfEqual() string {
	return fmt.Sprintf("IF(%s=COUNTIFS(%s),SUMIFS(%s,%s),SUMPRODUCT(%s*(%s)))", e.taken(), e.criteria(), e.rows, e.criteria(), e.mask(), e.rows)
}

// taken counts the rows that the conditions take.
func (e expr) taken() string { return fmt.Sprintf("SUMPRODUCT(%s*1)", e.mask()) }

func counted(a expr) expr {
	switch {
	case a.known:
		return atom("COUNT("+a.rows+")", tightest)
	case len(a.where) > 0:
		chosen := a
		chosen.blank = nil // a row counts whatever it holds
		return guarded(chosen, atom(a.taken(), tightest))
	}
	return atom("ROWS("+a.rows+")", tightest)
}

// quantified says any and all: a row decides where it can, whatever others wait for.
func quantified(some bool, a expr) expr {
	holds := asTruth(a)
	mask := ""
	if len(a.where) > 0 {
		mask = a.mask() + "*"
	}
	for _, r := range holds.blank {
		mask += fmt.Sprintf("(1-ISBLANK(%s))*", r)
	}
	decides := fmt.Sprintf("SUMPRODUCT(%s(%s))>0", mask, holds.say(loosest))
	if !some {
		decides = fmt.Sprintf("SUMPRODUCT(%s(1-(%s)))=0", mask, holds.say(loosest))
	}
	waits := a.waits()
	switch {
	case waits == "":
		return truthOf(decides, comparison)
	case some:
		return truthOf(fmt.Sprintf("IF(%s,TRUE,IF(%s,NA(),FALSE))", decides, waits), tightest)
	}
	return truthOf(fmt.Sprintf("IF(%s,IF(%s,NA(),TRUE),FALSE)", decides, waits), tightest)
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
		sum, by := fmt.Sprintf("SUMPRODUCT(%s*(%s))", a.mask(), a.say(loosest)), 1.0
		if s, pure := a.pure(); pure {
			sum, by = fmt.Sprintf("SUMPRODUCT(%s*(%s))", a.mask(), a.rows), s.by
			if a.simple() && !a.still {
				sum = a.sumOfEqual()
			}
		}
		return guarded(a, atom(fmt.Sprintf("IF(%s=1,%s,NA())", a.taken(), sum), tightest).times(by)), nil
	}
	if len(a.where) == 1 && a.simple() && which != catalogue.Last {
		return a.found(which)
	}
	return expr{}, errors.New("it looks a row up by more than one text")
}

// found takes the row with an equal text. MATCH takes texts for alike that differ by case or fit wildcards: what it finds
// is compared.
func (e expr) found(which catalogue.Special) (expr, error) {
	k := e.where[0]
	at := fmt.Sprintf("MATCH(%s,%s,0)", k.key, k.column)
	holds := fmt.Sprintf("EXACT(INDEX(%s,%s),%s)", k.column, at, k.key)
	if which == catalogue.Only {
		holds = fmt.Sprintf("AND(%s=1,%s)", e.taken(), holds)
	}
	plain := e
	plain.where = nil
	x, err := nth(plain, at)
	if err != nil || x.sort == record {
		return x, err
	}
	s := fmt.Sprintf("IF(%s,%s,NA())", holds, x.say(loosest))
	plain.blank, plain.where = nil, e.where
	if waits := plain.waits(); waits != "" {
		s = fmt.Sprintf("IF(%s,NA(),%s)", waits, s)
	}
	if x.sort == number {
		return atom(s, tightest), nil
	}
	return expr{sort: x.sort, text: s, prec: tightest}, nil
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
		if len(a.terms) == 1 && a.terms[0].atom == a.rows {
			return add(atom(a.index(n), tightest).times(a.terms[0].by), constant(a.rest), 1), nil
		}
		return expr{}, errors.New("it takes a row of what is worked out")
	case a.sort == truth && a.text == a.rows+`="yes"`:
		return truthOf(a.index(n)+`="yes"`, comparison), nil
	case a.text != a.rows:
		return expr{}, errors.New("it takes a row of what is worked out")
	}
	return expr{sort: a.sort, text: a.index(n), prec: tightest}, nil
}

// index is a row of a range by its number; one that holds nothing yet has no value.
func (e expr) index(n string) string {
	s := fmt.Sprintf("INDEX(%s,%s)", e.rows, n)
	if len(e.blank) > 0 {
		return fmt.Sprintf("IF(ISBLANK(%s),NA(),%s)", s, s)
	}
	return s
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
	if !pure || len(a.where) > 0 || len(a.blank) > 0 {
		return expr{}, fmt.Errorf("%w: %s", ErrFunction, f.Name)
	}
	e := atom(fmt.Sprintf("%s(%s)", name, a.rows), tightest)
	if f.Name != "product" {
		e = e.times(s.by)
	}
	return e, nil
}
