package report

import (
	"fmt"
	"math/big"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

func (p *Report) helpUnit(u catalogue.Unit) {
	fmt.Fprintf(p.Out, "%s\n", u.Symbol)
	p.fact("name", u.Name)
	p.fact("kind", kind.Type{Form: u.Form, Dim: u.Dim}.String())
	p.fact("size", size(u))
	p.fact("system", string(u.System))
	p.fact("also", strings.Join(u.Others, ", "))
	p.fact("about", u.About)
	p.fact("source", u.Source)
}

// size writes what one of a unit is in SI, exactly where a short decimal or ratio says it.
func size(u catalogue.Unit) string {
	if u.System == catalogue.Currency {
		return fmt.Sprintf("%d digits of minor units", u.Minor)
	}
	base := u.Dim.Symbol()
	if base == "1" {
		base = ""
	}
	pi := ""
	if u.Pi {
		pi = " pi"
	}
	s := fmt.Sprintf("1 %s = %s%s %s", u.Symbol, ratio(u.Ratio), pi, base)
	if u.Offset != nil {
		s = fmt.Sprintf("0 %s is %s K; a step of 1 is %s K", u.Symbol, ratio(u.Offset), ratio(u.Ratio))
	}
	return strings.TrimSpace(s)
}

func ratio(r *big.Rat) string {
	if n, exact := r.FloatPrec(); exact && n <= 20 {
		return r.FloatString(n)
	}
	f, _ := r.Float64()
	if s := r.RatString(); len(s) <= 32 {
		return fmt.Sprintf("%.12g (exactly %s)", f, s)
	}
	return fmt.Sprintf("%.12g", f)
}

// helpKind tells about a kind: its unit in SI, how it is shown, and its units.
func (p *Report) helpKind(w wanted) {
	fmt.Fprintln(p.Out, w.name)
	lib := p.Checker.Library()
	if about, ok := formAbouts[w.kind.Form]; ok {
		p.fact("about", about)
		return
	}
	if w.money {
		p.fact("about", "written with ISO 4217 codes, each a kind of its own: 12 USD, 38 EUR/h")
		return
	}
	p.fact("in SI", w.kind.Dim.Symbol())
	if m := lib.Usual(kind.Number, w.kind.Dim, false); m != "" {
		p.fact("shown", fmt.Sprintf("in %s (metric), %s (us)", m, lib.Usual(kind.Number, w.kind.Dim, true)))
	}
	var units []string
	for _, u := range lib.All() {
		if u.Dim == w.kind.Dim && u.Form == kind.Number {
			units = append(units, u.Symbol)
		}
	}
	p.fact("units", strings.Join(units, ", "))
}

func (p *Report) listUnits() {
	last := ""
	var rows [][]string
	flush := func() {
		if len(rows) > 0 {
			fmt.Fprintln(p.Out, last)
			Table(p.Out, "  ", rows)
		}
		rows = nil
	}
	for _, u := range p.Checker.Library().All() {
		if u.System == catalogue.Currency {
			continue
		}
		k := kind.Type{Form: u.Form, Dim: u.Dim}.String()
		if k != last {
			flush()
			last = k
		}
		rows = append(rows, []string{u.Symbol, u.Name, size(u)})
	}
	flush()
	fmt.Fprintln(p.Out, "SI units take the prefixes of the SI (mm, kN, MPa). Money is written with ISO 4217 codes: 12 USD.")
}

// formAbouts tells about the kinds that are no dimension.
var formAbouts = map[kind.Form]string{
	kind.Point: "a point on a scale: 20 degC, 68 degF; the difference of two is in K, Cdeg or Fdeg", kind.Date: "2027-03-01, 2027-03-01T14:30",
	kind.Text: `"…"`, kind.Truth: "a condition: yes or no", kind.Place: "a pair of lengths: (20 mm, 30 mm)",
	kind.Outline: "closed loops of lines and arcs, as of circle or polygon", kind.Solid: "a body, as of extrude",
}

// listedForms are the kinds that are no dimension, in the order in which they are listed.
var listedForms = []kind.Form{kind.Point, kind.Date, kind.Text, kind.Truth, kind.Place, kind.Outline, kind.Solid}

func (p *Report) listKinds() { Table(p.Out, "", p.kindRows()) }

// kindRows lists every kind that has a name.
func (p *Report) kindRows() [][]string {
	var rows [][]string
	for _, e := range kind.Entries {
		rows = append(rows, []string{e.Name, e.Dim.Symbol()})
	}
	rows = append(rows, []string{"money", "12 USD, each currency a kind of its own"})
	for _, f := range listedForms {
		rows = append(rows, []string{kind.Type{Form: f}.String(), formAbouts[f]})
	}
	return rows
}

// matchingUnits lists the units whose name or note has a word, by its beginning.
func (p *Report) matchingUnits(word string) [][2]string {
	var rows [][2]string
	for _, u := range p.Checker.Library().All() {
		if u.System != catalogue.Currency && hasWord(u.Name+" "+u.About, word) {
			rows = append(rows, [2]string{u.Symbol, strings.TrimSpace(u.Name + "  " + u.About)})
		}
	}
	return rows
}

// hasWord tells whether a word of a text begins so: "bag" in bag_yield, and not in Tobago.
func hasWord(text, word string) bool {
	wanted := strings.Join(words(word), " ")
	return wanted != "" && strings.Contains(" "+strings.Join(words(text), " "), " "+wanted)
}
