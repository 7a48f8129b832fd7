package units

import (
	"slices"
	"strings"
	"unicode/utf8"

	"castwright/lang/diag"
)

// meant are names that people write which no spelling is near to, in small letters.
var meant = map[string][]string{
	"f": {"degF", "Fdeg"}, "degs": {"deg"}, "inch_pound": {"in*lbf"}, "lbm": {"lb"}, "kgs": {"kg"}, "gm": {"g"},
	"gms": {"g"}, "sqm": {"m^2"}, "sqmm": {"mm^2"}, "sqcm": {"cm^2"}, "cum": {"m^3"}, "cbm": {"m^3"}, "ccm": {"cm^3"},
	"kph": {"km/h"}, "kmh": {"km/h"}, "kmph": {"km/h"}, "fps": {"ft/s"}, "ltr": {"L"}, "lt": {"L"}, "lit": {"L"},
	"cps": {"cP"}, "nm": {"N*m"}, "ftlb": {"ft*lbf"}, "kpsi": {"ksi"}, "at": {"kgf/cm^2", "atm"},
	"gph": {"gal/h"}, "cfs": {"ft^3/s"}, "pli": {"lbf/in"}, "pounds_force": {"lbf"}, "pct": {"%"}, "percent": {"%"},
	"euro": {"EUR"}, "euros": {"EUR"}, "dollar": {"USD", "CAD", "AUD"}, "dollars": {"USD", "CAD", "AUD"},
	"cent": {"USD", "EUR"}, "cents": {"USD", "EUR"}, "yen": {"JPY"}, "franc": {"CHF"}, "francs": {"CHF"}, "sterling": {"GBP"},
}

// Near gives what may have been meant by a name that is no unit, or that is a unit of the wrong kind: other cases of
// the same letters (kg for "Kg", MPa for "mPa"), then what people mean by it, then the nearest spellings, at most
// three. Currencies are offered for three capitals and for their own code in small letters.
func (c *Catalogue) Near(name string) []string {
	if slips := otherCase(name, c.candidates); len(slips) > 0 {
		return slips[:min(3, len(slips))]
	}
	if m, ok := meant[strings.ToLower(name)]; ok {
		return slices.Clone(m)
	}
	if codes := otherCase(name, c.currencies); len(codes) > 0 {
		return codes
	}
	candidates := c.candidates
	switch {
	case utf8.RuneCountInString(name) < 2:
		return nil // every symbol of one letter would be near
	case len(name) == 3 && name == strings.ToUpper(name):
		candidates = slices.Concat(candidates, c.currencies)
	}
	return diag.Near(name, candidates)
}

// otherCase lists the names that differ from one by case alone.
func otherCase(name string, names []string) []string {
	var out []string
	for _, n := range names {
		if n != name && strings.EqualFold(n, name) {
			out = append(out, n)
		}
	}
	return out
}
