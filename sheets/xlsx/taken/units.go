package taken

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

// unit is a product of powers of units that the library knows; without factors it is that of a plain number.
type unit struct {
	factors []factor
	point   bool // a temperature, which cannot be multiplied
}

type factor struct {
	name string
	exp  int
}

var (
	plain   = unit{}
	percent = unit{factors: []factor{{"%", 1}}}
	days    = unit{factors: []factor{{"d", 1}}}
)

func (u unit) isPlain() bool { return len(u.factors) == 0 }

func (u unit) same(v unit) bool { return u.point == v.point && slices.Equal(u.factors, v.factors) }

// String writes a unit as the language has it: "kg/m^3", "kg/(m*s)", "s^-1".
func (u unit) String() string {
	var over, under []string
	for _, f := range u.factors {
		if f.exp > 0 {
			over = append(over, powered(f.name, f.exp))
		} else {
			under = append(under, powered(f.name, -f.exp))
		}
	}
	if len(over) == 0 {
		for _, f := range u.factors {
			over = append(over, powered(f.name, f.exp))
		}
		return strings.Join(over, "*")
	}
	s := strings.Join(over, "*")
	switch len(under) {
	case 0:
		return s
	case 1:
		return s + "/" + under[0]
	}
	return s + "/(" + strings.Join(under, "*") + ")"
}

func powered(name string, exp int) string {
	if exp == 1 {
		return name
	}
	return name + "^" + strconv.Itoa(exp)
}

// times multiplies two units, the second to a power.
func (u unit) times(v unit, power int) (unit, bool) {
	if u.point || v.point {
		return plain, false
	}
	out := unit{factors: slices.Clone(u.factors)}
	for _, f := range v.factors {
		i := slices.IndexFunc(out.factors, func(g factor) bool { return g.name == f.name })
		if i < 0 {
			out.factors = append(out.factors, factor{f.name, f.exp * power})
		} else {
			out.factors[i].exp += f.exp * power
		}
	}
	out.factors = slices.DeleteFunc(out.factors, func(f factor) bool { return f.exp == 0 })
	slices.SortFunc(out.factors, func(a, b factor) int { return strings.Compare(a.name, b.name) })
	for _, f := range out.factors {
		if f.exp > 4 || f.exp < -4 {
			return plain, false
		}
	}
	return out, len(out.factors) <= 4
}

// root is the square root of a unit, where it has one.
func (u unit) root() (unit, bool) {
	out := unit{}
	for _, f := range u.factors {
		if f.exp%2 != 0 {
			return plain, false
		}
		out.factors = append(out.factors, factor{f.name, f.exp / 2})
	}
	return out, !u.point
}

// measure is what one of a unit is in SI units, its dimension, and its zero.
type measure struct {
	ratio, zero float64
	dim         kind.Dim
}

// units knows the library.
type units struct {
	lib  catalogue.Units
	kept map[string]reading
}

type reading struct {
	u  unit
	ok bool
}

func newUnits(lib catalogue.Units) *units { return &units{lib, map[string]reading{}} }

var tidy = strings.NewReplacer("²", "^2", "³", "^3", "⁻¹", "^-1", "·", "*", "⋅", "*", "×", "*", " ", "", "\u00a0", "", "°", "deg", "µ", "u", "μ", "u", ".", "*")

// read reads a unit as people write it: "mm", "kg/m3", "N/mm²", "EUR/t", "°C", "%".
func (us *units) read(text string) (unit, bool) {
	text = strings.TrimSpace(text)
	if len(text) > 40 {
		return plain, false
	}
	if got, ok := us.kept[text]; ok {
		return got.u, got.ok
	}
	u, ok := us.make(text)
	us.kept[text] = reading{u, ok}
	return u, ok
}

func (us *units) make(text string) (unit, bool) {
	s := strings.Trim(tidy.Replace(text), "*")
	if s == "%" {
		return percent, true
	}
	over, under, two := strings.Cut(s, "/")
	u, ok := us.product(over, plain, 1)
	if !ok {
		return plain, false
	}
	if two {
		under = strings.TrimSuffix(strings.TrimPrefix(under, "("), ")")
		if u, ok = us.product(strings.ReplaceAll(under, "/", "*"), u, -1); !ok {
			return plain, false
		}
	}
	if u.isPlain() {
		return plain, false
	}
	if len(u.factors) == 1 && u.factors[0].exp == 1 {
		x, _ := us.lib.Unit(u.factors[0].name)
		u.point = x.Form == kind.Point
	}
	return u, true
}

func (us *units) product(s string, u unit, sign int) (unit, bool) {
	for _, word := range strings.Split(s, "*") {
		if word == "1" && sign > 0 {
			continue
		}
		name, power, _ := strings.Cut(word, "^")
		if power == "" && len(name) > 1 {
			if short := strings.TrimRight(name, "23"); len(name)-len(short) == 1 && !us.known(name) {
				name, power = short, name[len(short):]
			}
		}
		exp := 1
		if power != "" {
			n, err := strconv.Atoi(power)
			if err != nil || n == 0 || n < -4 || n > 4 {
				return plain, false
			}
			exp = n
		}
		if !us.known(name) {
			return plain, false
		}
		var ok bool
		if u, ok = u.times(unit{factors: []factor{{us.symbol(name), exp}}}, sign); !ok {
			return plain, false
		}
	}
	return u, true
}

// known tells whether a name is a unit. Lone capitals are more often letters of a drawing than units.
func (us *units) known(name string) bool {
	if len(name) == 1 && name[0] >= 'A' && name[0] <= 'Z' && !strings.Contains("LNWVJK", name) {
		return false
	}
	_, ok := us.lib.Unit(name)
	return ok
}

// symbol is the unit's own sign, so that "inches" and "in" are the same.
func (us *units) symbol(name string) string {
	u, _ := us.lib.Unit(name)
	if again, ok := us.lib.Unit(u.Symbol); ok && again.Symbol == u.Symbol && u.Symbol != "" {
		return u.Symbol
	}
	return name
}

// measure gives what one of a unit is in SI units.
func (us *units) measure(u unit) measure {
	m := measure{ratio: 1}
	for _, f := range u.factors {
		if f.name == "%" {
			m.ratio *= math.Pow(0.01, float64(f.exp))
			continue
		}
		x, ok := us.lib.Unit(f.name)
		if !ok || x.Ratio == nil {
			continue
		}
		r, _ := x.Ratio.Float64()
		if x.Pi {
			r *= math.Pi
		}
		m.ratio *= math.Pow(r, float64(f.exp))
		if u.point && x.Offset != nil {
			m.zero, _ = x.Offset.Float64()
		}
		if p, err := x.Dim.Pow(kind.Int(f.exp)); err == nil {
			if d, err := m.dim.Mul(p); err == nil {
				m.dim = d
			}
		}
	}
	return m
}

// difference is the unit of the gap between two temperatures.
func (u unit) difference() unit {
	if len(u.factors) == 1 && strings.HasSuffix(u.factors[0].name, "F") {
		return unit{factors: []factor{{"Fdeg", 1}}}
	}
	return unit{factors: []factor{{"K", 1}}}
}

// ofLabel takes the unit off a label: "Height (mm)", "Height [mm]", "Height, mm".
func (us *units) ofLabel(label string) (words string, u unit, ok bool) {
	label = strings.TrimRight(strings.TrimSpace(label), ": ")
	for _, marks := range []string{"()", "[]"} {
		from, to := strings.LastIndex(label, marks[:1]), strings.LastIndex(label, marks[1:])
		if from < 0 || to < from {
			continue
		}
		if u, ok := us.read(label[from+1 : to]); ok {
			return strings.TrimSpace(label[:from] + label[to+1:]), u, true
		}
	}
	if i := strings.LastIndex(label, ", "); i > 0 {
		if u, ok := us.read(label[i+2:]); ok {
			return label[:i], u, true
		}
	}
	return label, plain, false
}

// ofFormat takes the unit off a number format: 0.0" kg", 0.00 [$EUR]. The sign % is no unit there: the number is a share.
func (us *units) ofFormat(format string) (unit, bool) {
	var b strings.Builder
scan:
	for i := 0; i < len(format); i++ {
		switch c := format[i]; c {
		case ';':
			break scan
		case '"':
			end := strings.IndexByte(format[i+1:], '"')
			if end < 0 {
				return plain, false
			}
			b.WriteString(format[i+1 : i+1+end])
			i += end + 1
		case '\\', '_', '*':
			i++
			if c == '\\' && i < len(format) {
				b.WriteByte(format[i])
			}
		case '[':
			end := strings.IndexByte(format[i:], ']')
			if end < 0 {
				return plain, false
			}
			if inside, ok := strings.CutPrefix(format[i+1:i+end], "$"); ok {
				code, _, _ := strings.Cut(inside, "-")
				b.WriteString(strings.ReplaceAll(code, "€", "EUR")) // a sign of one currency alone
			}
			i += end
		}
	}
	return us.read(b.String())
}

// isShare tells whether a number format shows percent.
func isShare(format string) bool {
	quoted := false
	for i := 0; i < len(format); i++ {
		switch {
		case format[i] == '"':
			quoted = !quoted
		case quoted:
		case format[i] == '\\':
			i++
		case format[i] == '%':
			return true
		}
	}
	return false
}

// isTime tells whether a number format shows a time of day or a span of time, and no date.
func isTime(format string) bool {
	f := strings.ToLower(format)
	return strings.Contains(f, "h:mm") || strings.Contains(f, "[h]") || strings.Contains(f, "[mm]") || strings.Contains(f, "mm:ss")
}
