package check

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/syntax"
)

// unit is a unit as written, made out: what one of it is in coherent SI units.
type unit struct {
	text   string // canonical: "kg/(m^2*h)"
	plural string
	dim    kind.Dim
	form   kind.Form // kind.Point for a lone degC or degF
	ratio  *big.Rat  // exact, times pi where pi is set; nil where only factor is known
	pi     bool
	factor float64
	offset *big.Rat
	minor  int // digits of a lone currency's minor unit, else -1
	single *catalogue.Unit
}

func (u *unit) shown() show.Unit {
	r := u.ratio
	if r == nil {
		r = new(big.Rat).SetFloat64(u.factor)
	}
	return show.Unit{Symbol: u.text, Plural: u.plural, Ratio: r, Pi: u.pi, Offset: u.offset}
}

// lookup finds a unit name: the job's own first, then the catalogue, then a name with its power behind it (m3).
func (s *Sheet) lookup(name string, powered bool) (catalogue.Unit, int, bool) {
	return lookup(name, powered, s.units, s.Job.units, s.c.lib)
}

func lookup(name string, powered bool, replaced, own map[string]catalogue.Unit, lib catalogue.Library) (catalogue.Unit, int, bool) {
	find := func(name string) (catalogue.Unit, bool) {
		if u, ok := replaced[name]; ok {
			return u, true
		}
		if u, ok := own[name]; ok {
			return u, true
		}
		return lib.Unit(name)
	}
	if u, ok := find(name); ok {
		return u, 1, true
	}
	base := strings.TrimRight(name, "0123456789")
	if powered || base == name || base == "" || len(name)-len(base) > 1 {
		return catalogue.Unit{}, 0, false
	}
	u, ok := find(base)
	if !ok || u.Form == kind.Point {
		return catalogue.Unit{}, 0, false
	}
	return u, int(name[len(base)] - '0'), ok
}

// IsUnit tells whether a word is a unit of the library or of this sheet.
func (s *Sheet) IsUnit(name string) bool {
	_, _, ok := s.lookup(name, false)
	return ok || s.Job.own[name]
}

// unit makes a written unit out. Point is whether a lone degC may be a temperature; else it is a difference.
func (b *builder) unit(w *syntax.Unit, point bool) (*unit, bool) {
	if len(w.Factors) == 1 && w.Factors[0].Group == nil && !w.Factors[0].Powered && !w.Factors[0].Over {
		f := w.Factors[0]
		u, p, ok := b.s.lookup(f.Name.Name, false)
		if !ok {
			b.noUnit(f.Name)
			return nil, false
		}
		if p == 1 {
			b.tellTrade(f.Name, u)
			return b.lone(u, f.Name.Name, point), true
		}
	}
	out := &unit{dim: kind.One, ratio: big.NewRat(1, 1), factor: 1, minor: -1}
	var over, under []string
	if !b.factors(w, false, out, &over, &under) {
		return nil, false
	}
	b.tellTail(w)
	out.text = unitText(over, under)
	for _, f := range w.Factors {
		if u, _, ok := b.s.lookup(f.Name.Name, f.Powered); ok && u.Symbol == "turn" && !out.dim.Power(kind.Time).IsZero() {
			b.mistake(w.Span, "Turns in a time are a rotational frequency, which is counted in rpm or Hz, not an angle in a time.", "Write rpm: 60 rpm are 1 Hz (ISO 80000-3).")
			return nil, false
		}
	}
	return out, true
}

func (b *builder) lone(u catalogue.Unit, written string, point bool) *unit {
	out := &unit{text: u.Symbol, dim: u.Dim, ratio: u.Ratio, pi: u.Pi, minor: -1, single: &u}
	f, _ := u.Ratio.Float64()
	if u.Pi {
		f *= math.Pi
	}
	out.factor = f
	if u.Form == kind.Point && point {
		out.form, out.offset = kind.Point, u.Offset
	}
	if u.Form == kind.Point && !point {
		out.text = map[string]string{"degC": "Cdeg", "degF": "Fdeg"}[u.Symbol]
	}
	if u.System == catalogue.Currency {
		out.minor = u.Minor
	}
	if u.Counts {
		out.plural = u.Plural
	}
	return out
}

func unitText(over, under []string) string {
	top := strings.Join(over, "*")
	switch len(under) {
	case 0:
		return top
	case 1:
		if top == "" {
			return invert(under[0])
		}
		return top + "/" + under[0]
	}
	if top == "" {
		for i, u := range under {
			under[i] = invert(u)
		}
		return strings.Join(under, "*")
	}
	return top + "/(" + strings.Join(under, "*") + ")"
}

func invert(u string) string {
	if base, p, ok := strings.Cut(u, "^"); ok {
		if strings.HasPrefix(p, "(") {
			return base + "^(-" + p[1:]
		}
		return base + "^-" + p
	}
	return u + "^-1"
}

func (b *builder) factors(w *syntax.Unit, flip bool, out *unit, over, under *[]string) bool {
	defer func() { b.depth-- }()
	if !b.enter(w.Span) {
		return false
	}
	for _, f := range w.Factors {
		num, den := f.Num, f.Den
		if den == 0 {
			num, den = 1, 1
		}
		down := f.Over != flip
		if f.Group != nil {
			inner := &unit{dim: kind.One, ratio: big.NewRat(1, 1), factor: 1}
			var o, u []string
			if !b.factors(f.Group, false, inner, &o, &u) {
				return false
			}
			if !b.multiply(out, inner.dim, inner.ratio, inner.pi, inner.factor, num, den, down, f.Span) {
				return false
			}
			text := unitText(o, u)
			if num == 1 && den == 1 {
				if down {
					*under, *over = append(*under, o...), append(*over, u...)
				} else {
					*over, *under = append(*over, o...), append(*under, u...)
				}
			} else {
				place(over, under, down, "("+text+")", num, den)
			}
			continue
		}
		u, p, ok := b.s.lookup(f.Name.Name, f.Powered)
		if !ok {
			b.noUnit(f.Name)
			return false
		}
		b.tellTrade(f.Name, u)
		num *= p
		one := b.lone(u, f.Name.Name, false)
		symbol := one.text
		if u.Form == kind.Point {
			symbol = u.Symbol // W/(m^2*degC) reads as it is written; a difference all the same
		}
		if !b.multiply(out, u.Dim, u.Ratio, u.Pi, one.factor, num, den, down, f.Span) {
			return false
		}
		place(over, under, down, symbol, num, den)
	}
	return true
}

func place(over, under *[]string, down bool, name string, num, den int) {
	if num < 0 {
		num, down = -num, !down
	}
	switch {
	case den != 1:
		name = fmt.Sprintf("%s^(%d/%d)", name, num, den)
	case num != 1:
		name = fmt.Sprintf("%s^%d", name, num)
	}
	if down {
		*under = append(*under, name)
	} else {
		*over = append(*over, name)
	}
}

func (b *builder) multiply(out *unit, d kind.Dim, ratio *big.Rat, pi bool, factor float64, num, den int, down bool, at diag.Span) bool {
	if down {
		num = -num
	}
	e, err := kind.Ratio(int64(num), int64(den))
	if err == nil {
		d, err = d.Pow(e)
	}
	if err == nil {
		out.dim, err = out.dim.Mul(d)
	}
	if err != nil || num > 64 || num < -64 || den > 6 {
		b.mistake(at, "The power of this unit is too large.", "Powers of a unit go up to 64, and down to sixths.")
		return false
	}
	out.factor *= math.Pow(factor, e.Float())
	switch {
	case den != 1 || ratio == nil || out.ratio == nil || pi || out.pi:
		out.ratio = nil
	default:
		r := new(big.Rat).Set(ratio)
		if num < 0 {
			r.Inv(r)
		}
		for range max(num, -num) {
			out.ratio = new(big.Rat).Mul(out.ratio, r)
		}
	}
	if out.ratio != nil {
		out.factor, _ = out.ratio.Float64()
	}
	return true
}

// noUnit refuses an unknown unit: as a name that stands too tight, or with the nearest units.
func (b *builder) noUnit(n syntax.Ident) {
	if b.isValueName(n.Name) {
		line, from := b.src.Line(n.Span.From)
		at := min(max(n.Span.From-from, 0), len(line))
		way := ""
		if at > 0 && (line[at-1] == '/' || line[at-1] == '*') {
			way = fmt.Sprintf("Write the sign with blanks around it: \"%s %c %s\".", lastPiece(line[:at-1]), line[at-1], line[at:at+len(n.Name)])
		}
		b.mistake(n.Span, fmt.Sprintf("What is written tight belongs to the unit, but %s is no unit: it is a value of this sheet.", n.Name), way)
		return
	}
	near := append(b.s.nearOwn(n.Name), b.s.c.lib.Near(n.Name)...)
	if len(near) > 3 {
		near = near[:3]
	}
	way := diag.DidYouMean(near)
	if code, ok := map[string]string{"$": "USD, CAD or AUD", "€": "EUR"}[n.Name]; ok {
		way = "Write the currency's code: " + code + "."
	}
	if way == "" {
		way = "The units are listed by: help units."
	}
	b.mistake(n.Span, fmt.Sprintf("There is no unit %s.", n.Name), way)
}

func lastPiece(s string) string {
	cut := strings.LastIndexAny(s, "=(,+")
	return strings.TrimSpace(s[cut+1:])
}

func (s *Sheet) nearOwn(name string) []string {
	return diag.Near(name, s.Job.Units())
}

// tellTail tells once where the tail of a tight unit is the name of a cell too: the unit is taken (ruling 7).
func (b *builder) tellTail(w *syntax.Unit) {
	for _, f := range w.Factors[1:] {
		n := f.Name
		if n.Name == "" || b.bracket || !b.isValueName(n.Name) || b.inRule() {
			continue
		}
		b.noticeOnce("/"+n.Name, n.Span, fmt.Sprintf("%s is read as the unit here, since it is written tight; the cell %s would stand behind a sign with blanks around it.", n.Name, n.Name))
	}
}

// usSized are the units that differ between the US and elsewhere; in a metric sheet their size is told once.
var usSized = map[string]bool{"ton": true, "gal": true, "qt": true, "pt": true, "floz": true, "cup": true}

func (b *builder) tellTrade(n syntax.Ident, u catalogue.Unit) {
	if b.s.US || !usSized[u.Symbol] || b.inRule() {
		return
	}
	size := map[string]string{"ton": "2000 lb", "gal": "the US gallon, 231 in^3", "qt": "the US quart", "pt": "the US pint",
		"floz": "the US fluid ounce", "cup": "the US cup"}[u.Symbol]
	other := map[string]string{"ton": " A tonne is t, 2240 lb are long_ton.", "gal": " The imperial one is imp_gal.",
		"qt": " The imperial one is imp_qt.", "pt": " The imperial one is imp_pt.", "floz": " The imperial one is imp_floz."}[u.Symbol]
	b.noticeOnce(u.Symbol, n.Span, fmt.Sprintf("%s is %s.%s", n.Name, size, other))
}
