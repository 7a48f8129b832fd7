package units

import (
	"math/big"

	"castwright/lang/catalogue"
)

// prefix is one of the SI prefixes.
type prefix struct {
	symbol string
	also   []string
	name   string
	power  int64 // of ten
}

// The SI prefixes: SI Brochure, 9th edition, table 7 (with the four of resolution 3 of the 27th CGPM, 2022). Micro is
// shown with U+00B5 and read with U+03BC and u too; deka, the spelling of SP 811 for deca, is not read.
var prefixes = []prefix{
	{"Q", nil, "quetta", 30},
	{"R", nil, "ronna", 27},
	{"Y", nil, "yotta", 24},
	{"Z", nil, "zetta", 21},
	{"E", nil, "exa", 18},
	{"P", nil, "peta", 15},
	{"T", nil, "tera", 12},
	{"G", nil, "giga", 9},
	{"M", nil, "mega", 6},
	{"k", nil, "kilo", 3},
	{"h", nil, "hecto", 2},
	{"da", nil, "deca", 1},
	{"d", nil, "deci", -1},
	{"c", nil, "centi", -2},
	{"m", nil, "milli", -3},
	{"\u00b5", []string{"\u03bc", "u"}, "micro", -6},
	{"n", nil, "nano", -9},
	{"p", nil, "pico", -12},
	{"f", nil, "femto", -15},
	{"a", nil, "atto", -18},
	{"z", nil, "zepto", -21},
	{"y", nil, "yocto", -24},
	{"r", nil, "ronto", -27},
	{"q", nil, "quecto", -30},
}

// ratio gives the power of ten exactly.
func (p prefix) ratio() *big.Rat {
	n := p.power
	if n < 0 {
		n = -n
	}
	r := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(n), nil))
	if p.power < 0 {
		r.Inv(r)
	}
	return r
}

// on puts the prefix on a unit: its symbol on the unit's symbols, its name on the unit's names.
func (p prefix) on(u catalogue.Unit, symbols, names []string) catalogue.Unit {
	out := u
	out.Symbol = p.symbol + u.Symbol
	out.Name, out.Plural = p.name+u.Name, p.name+u.Plural
	out.Ratio = new(big.Rat).Mul(p.ratio(), u.Ratio)
	out.Prefixes = false
	if u.About != "" {
		out.About = "of " + u.Symbol + ": " + u.About
	}
	var spellings []string
	for _, s := range append([]string{u.Symbol}, symbols...) {
		for _, q := range append([]string{p.symbol}, p.also...) {
			spellings = append(spellings, q+s)
		}
	}
	for _, n := range names {
		spellings = append(spellings, p.name+n)
	}
	out.Others = others(out.Symbol, spellings)
	return out
}

// commonlyPrefixed are the prefixed units that are offered for a misspelt name.
var commonlyPrefixed = []string{
	"\u00b5m", "mm", "cm", "dm", "km", "mg", "mL", "cL", "dL", "ms", "kN", "MN", "hPa", "kPa", "MPa", "GPa", "mbar",
	"kJ", "MJ", "kWh", "MWh", "mW", "kW", "MW", "mA", "mV", "kV", "kHz", "MHz", "mrad", "mmol", "kcal", "cP", "cSt",
}
