// Package formula says the programs of cells in the formula language of SpreadsheetML (ISO/IEC 29500-1, 18.17). Values are
// in SI units inside a program, and in the shown units in the cells of a workbook: the factors are put in, and gathered.
package formula

import (
	"math"
	"strconv"
	"strings"
)

// sort is what an expression gives.
type sort uint8

const (
	number sort = iota
	truth
	text
	record
)

// The binding of operators, loosest first.
const (
	loosest = iota
	comparison
	join
	sum
	product
	sign
	power
	tightest
)

// term is a coefficient and what it multiplies.
type term struct {
	by   float64
	atom string
	prec int // how tight the atom binds
}

// expr is an expression: of numbers a sum of terms and a constant, so that unit factors gather; of truth and texts a string.
type expr struct {
	sort   sort
	terms  []term
	rest   float64 // the constant
	text   string  // of truth and text
	prec   int
	fields []expr
	items  []expr // of a list of single values that stand in the formula

	list  bool     // an array: one value for each row of a range
	rows  string   // a range that has as many rows
	where []cond   // the rows that are taken, where some are left out
	known bool     // rows that are empty are left out
	blank []string // the ranges it rests on in which rows are empty
	still bool     // literals, none of which can be a mistake
	plain bool     // texts that a workbook compares as the language does: without wildcards, and none alike but for case
}

// cond is a condition on rows.
type cond struct {
	expr
	column string // where it compares a range of texts with one value: the range
	key    string // and the value
}

func constant(x float64) expr { return expr{rest: x} }

func atom(s string, prec int) expr { return expr{terms: []term{{1, s, prec}}} }

func truthOf(s string, prec int) expr { return expr{sort: truth, text: s, prec: prec} }

func textOf(s string, prec int) expr { return expr{sort: text, text: s, prec: prec} }

// isConstant tells whether nothing in an expression can change.
func (e expr) isConstant() bool { return e.sort == number && len(e.terms) == 0 }

// single gives the one term of an expression without a constant.
func (e expr) single() (term, bool) {
	if e.sort == number && len(e.terms) == 1 && e.rest == 0 {
		return e.terms[0], true
	}
	return term{}, false
}

// digits writes a number so that it reads as it was meant: 15 significant digits, as grids keep them, where these are
// enough to 1 part in 10^15, else all 17.
func digits(x float64) string {
	s := strconv.FormatFloat(x, 'G', 15, 64)
	if y, err := strconv.ParseFloat(s, 64); err != nil || math.Abs(y-x) > 4e-16*math.Abs(x) {
		s = strconv.FormatFloat(x, 'G', 17, 64)
	}
	mantissa, exponent, ok := strings.Cut(s, "E")
	if !ok {
		return s
	}
	exponent = strings.TrimPrefix(exponent, "+")
	sign := ""
	if strings.HasPrefix(exponent, "-") {
		sign, exponent = "-", exponent[1:]
	}
	return mantissa + "E" + sign + strings.TrimLeft(exponent, "0")
}

// wrap puts an atom in brackets where it binds looser than its place asks.
func wrap(s string, prec, wanted int) string {
	if prec < wanted {
		return "(" + s + ")"
	}
	return s
}

// say writes an expression so that it can stand where `wanted` is asked.
func (e expr) say(wanted int) string {
	if e.sort != number {
		return wrap(e.text, e.prec, wanted)
	}
	if len(e.terms) == 0 {
		if e.rest < 0 {
			return wrap(digits(e.rest), sign, wanted)
		}
		return digits(e.rest + 0)
	}
	var b strings.Builder
	prec := tightest
	rest := e.rest
	if rest > 0 && e.terms[0].by < 0 { // 1-B5 and not -B5+1
		b.WriteString(digits(rest))
		prec, rest = sum, 0
	}
	for i, t := range e.terms {
		by := t.by
		if i > 0 || b.Len() > 0 {
			if by < 0 {
				b.WriteString("-")
				by = -by
			} else {
				b.WriteString("+")
			}
			prec = sum
		} else if by < 0 {
			b.WriteString("-")
			by = -by
			prec = min(prec, sign)
		}
		place := sum + 1
		if len(e.terms) == 1 && e.rest == 0 && t.by == 1 {
			place = loosest
		}
		s, p := scaled(t.atom, t.prec, by, place)
		if i == 0 && t.by < 0 && strings.Contains(s, "^") { // a leading minus binds tighter than a power there: -B5^2 is (-B5)^2
			s, p = "("+s+")", tightest
		}
		b.WriteString(s)
		if len(e.terms) == 1 && prec != sum {
			prec = min(prec, p)
		}
	}
	if rest > 0 {
		b.WriteString("+" + digits(rest))
		prec = sum
	} else if rest < 0 {
		b.WriteString("-" + digits(-rest))
		prec = sum
	}
	return wrap(b.String(), prec, wanted)
}

// scaled writes an atom times a factor above 0: divided where that reads better.
func scaled(s string, prec int, by float64, place int) (string, int) {
	if by == 1 {
		return wrap(s, prec, place), max(prec, place)
	}
	if over := 1 / by; by < 1 && math.Round(over) == over && over < 1e12 && 1/over == by {
		return wrap(s, prec, product) + "/" + digits(over), product
	}
	return wrap(s, prec, product) + "*" + digits(by), product
}

// add adds two numbers; like terms come together.
func add(a, b expr, sign float64) expr {
	out := expr{rest: a.rest + sign*b.rest}
	out.terms = append(out.terms, a.terms...)
next:
	for _, t := range b.terms {
		for i := range out.terms {
			if out.terms[i].atom == t.atom {
				merged := append([]term{}, out.terms...)
				merged[i].by += sign * t.by
				out.terms = merged
				continue next
			}
		}
		out.terms = append(out.terms, term{sign * t.by, t.atom, t.prec})
	}
	kept := out.terms[:0:0]
	for _, t := range out.terms {
		if t.by != 0 {
			kept = append(kept, t)
		}
	}
	out.terms = kept
	scale := math.Max(math.Abs(a.rest), math.Abs(b.rest))
	if math.Abs(out.rest) < 1e-12*scale { // what cancels in exact numbers
		out.rest = 0
	}
	return out
}

// times multiplies a number by a factor.
func (e expr) times(k float64) expr {
	out := e
	out.terms = nil
	for _, t := range e.terms {
		out.terms = append(out.terms, term{t.by * k, t.atom, t.prec})
	}
	out.rest *= k
	return out
}

func mul(a, b expr) expr {
	switch {
	case a.isConstant():
		return b.times(a.rest)
	case b.isConstant():
		return a.times(b.rest)
	}
	k, x, p := factor(a)
	l, y, q := factor(b)
	return expr{terms: []term{{k * l, wrap(x, p, product) + "*" + wrap(y, q, product), product}}}
}

func div(a, b expr) expr {
	if b.isConstant() && b.rest != 0 {
		return a.times(1 / b.rest)
	}
	k, x, p := factor(a)
	l, y, q := factor(b)
	return expr{terms: []term{{k / l, wrap(x, p, product) + "/" + wrap(y, q, sign), product}}}
}

// factor parts an expression into a coefficient and an atom.
func factor(e expr) (float64, string, int) {
	if t, ok := e.single(); ok {
		return t.by, t.atom, t.prec
	}
	if e.isConstant() {
		return e.rest, "1", tightest
	}
	return 1, e.say(loosest), sum
}

// call writes a function.
func call(name string, args ...expr) string {
	var parts []string
	for _, a := range args {
		parts = append(parts, a.say(loosest))
	}
	return name + "(" + strings.Join(parts, ",") + ")"
}
