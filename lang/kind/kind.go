// Package kind holds dimensions and the types of values. A kind is a dimension; its names are words for messages
// (language.md, ruling 12), those of ISO 80000.
package kind

import (
	"errors"
	"fmt"
	"sort"
	"strconv"
	"strings"
)

// Exp is a rational exponent in lowest terms. Its zero value is 0.
type Exp struct {
	num  int16
	more int16 // the denominator less one, so that the zero value is 0/1
}

// ErrPower is returned where an exponent leaves the range that is kept exactly.
var ErrPower = errors.New("the power of a unit is too large")

// Ratio makes the exponent num/den. It fails for a den of 0 and for powers beyond ±10000.
func Ratio(num, den int64) (Exp, error) {
	if den == 0 {
		return Exp{}, ErrPower
	}
	if den < 0 {
		num, den = -num, -den
	}
	g := gcd(abs64(num), den)
	if g > 1 {
		num, den = num/g, den/g
	}
	if abs64(num) > 10000 || den > 10000 {
		return Exp{}, ErrPower
	}
	return Exp{int16(num), int16(den - 1)}, nil
}

// Int is the whole exponent n, for n within ±10000.
func Int(n int) Exp { e, _ := Ratio(int64(n), 1); return e }

// Num and Den give the parts; Den is at least 1.
func (e Exp) Num() int { return int(e.num) }

// Den gives the denominator, at least 1.
func (e Exp) Den() int { return int(e.more) + 1 }

// Float gives the exponent as a float.
func (e Exp) Float() float64 { return float64(e.num) / float64(e.Den()) }

// IsZero tells whether the exponent is 0.
func (e Exp) IsZero() bool { return e.num == 0 }

func (e Exp) String() string {
	if e.more == 0 {
		return strconv.Itoa(int(e.num))
	}
	return fmt.Sprintf("(%d/%d)", e.num, e.Den())
}

func (e Exp) plus(f Exp) (Exp, error) {
	return Ratio(int64(e.num)*int64(f.Den())+int64(f.num)*int64(e.Den()), int64(e.Den())*int64(f.Den()))
}

func (e Exp) times(f Exp) (Exp, error) {
	return Ratio(int64(e.num)*int64(f.num), int64(e.Den())*int64(f.Den()))
}

// Base is one of the base quantities of the SI.
type Base int

// The base quantities, in the order of ISO 80000-1.
const (
	Length Base = iota
	Mass
	Time
	Current
	Temperature
	Amount
	Luminous
	bases
)

// Dim is a dimension: powers of the base quantities, of currencies and of counted things. It is comparable with ==.
type Dim struct {
	base [bases]Exp
	more string // powers of named bases, "$EUR:1;#pallet:-1", sorted
}

// One is the dimension of plain numbers, angles and shares.
var One = Dim{}

// Of gives the dimension of one base quantity.
func Of(b Base) Dim {
	var d Dim
	d.base[b] = Int(1)
	return d
}

// Money gives the dimension of a currency by its ISO 4217 code.
func Money(code string) Dim { return Dim{more: "$" + code + ":1/1"} }

// Count gives the dimension of a counted thing by its singular.
func Count(name string) Dim { return Dim{more: "#" + name + ":1/1"} }

// Named is a power of a currency or a counted thing.
type Named struct {
	Name  string
	Money bool
	Exp   Exp
}

// Named lists the currencies and counted things, sorted.
func (d Dim) Named() []Named {
	if d.more == "" {
		return nil
	}
	var out []Named
	for _, part := range strings.Split(d.more, ";") {
		at := strings.LastIndexByte(part, ':')
		num, den, _ := strings.Cut(part[at+1:], "/")
		n, _ := strconv.ParseInt(num, 10, 32)
		m, _ := strconv.ParseInt(den, 10, 32)
		e, _ := Ratio(n, m)
		out = append(out, Named{Name: part[1:at], Money: part[0] == '$', Exp: e})
	}
	return out
}

func fromNamed(list []Named) string {
	var parts []string
	for _, n := range list {
		if n.Exp.IsZero() {
			continue
		}
		mark := "#"
		if n.Money {
			mark = "$"
		}
		parts = append(parts, fmt.Sprintf("%s%s:%d/%d", mark, n.Name, n.Exp.Num(), n.Exp.Den()))
	}
	sort.Strings(parts)
	return strings.Join(parts, ";")
}

// Power gives the exponent of a base quantity.
func (d Dim) Power(b Base) Exp { return d.base[b] }

// IsOne tells whether d is the dimension of a plain number.
func (d Dim) IsOne() bool { return d == One }

// Currency gives the code if d is exactly one currency to the power 1.
func (d Dim) Currency() (string, bool) {
	if d.base != One.base {
		return "", false
	}
	n := d.Named()
	if len(n) == 1 && n[0].Money && n[0].Exp == Int(1) {
		return n[0].Name, true
	}
	return "", false
}

// Counted gives the name of the thing if d is exactly one counted thing to the power 1.
func (d Dim) Counted() (string, bool) {
	if d.base != One.base {
		return "", false
	}
	n := d.Named()
	if len(n) == 1 && !n[0].Money && n[0].Exp == Int(1) {
		return n[0].Name, true
	}
	return "", false
}

// Mul gives the dimension of a product.
func (d Dim) Mul(e Dim) (Dim, error) { return d.combine(e, Int(1)) }

// Div gives the dimension of a quotient.
func (d Dim) Div(e Dim) (Dim, error) { return d.combine(e, Int(-1)) }

func (d Dim) combine(e Dim, sign Exp) (Dim, error) {
	out := d
	for i := range out.base {
		s, err := e.base[i].times(sign)
		if err != nil {
			return Dim{}, err
		}
		if out.base[i], err = d.base[i].plus(s); err != nil {
			return Dim{}, err
		}
	}
	if e.more == "" {
		return out, nil
	}
	list := d.Named()
	for _, n := range e.Named() {
		s, err := n.Exp.times(sign)
		if err != nil {
			return Dim{}, err
		}
		found := false
		for i := range list {
			if list[i].Name == n.Name && list[i].Money == n.Money {
				if list[i].Exp, err = list[i].Exp.plus(s); err != nil {
					return Dim{}, err
				}
				found = true
			}
		}
		if !found {
			list = append(list, Named{n.Name, n.Money, s})
		}
	}
	out.more = fromNamed(list)
	return out, nil
}

// Pow gives the dimension of d to a rational power.
func (d Dim) Pow(p Exp) (Dim, error) {
	out := d
	var err error
	for i := range out.base {
		if out.base[i], err = d.base[i].times(p); err != nil {
			return Dim{}, err
		}
	}
	list := d.Named()
	for i := range list {
		if list[i].Exp, err = list[i].Exp.times(p); err != nil {
			return Dim{}, err
		}
	}
	out.more = fromNamed(list)
	return out, nil
}

// Must is for dimensions that are written in the source of this project.
func Must(d Dim, err error) Dim {
	if err != nil {
		panic(err)
	}
	return d
}

// Make builds a dimension from whole powers, for catalogues: Make(1, -3) … by base quantity.
func Make(powers map[Base]int) Dim {
	var d Dim
	for b, p := range powers {
		d.base[b] = Int(p)
	}
	return d
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func abs64(a int64) int64 {
	if a < 0 {
		return -a
	}
	return a
}
