package units

import (
	"strings"

	"castwright/lang/kind"
)

// usualRow says in which unit a kind is shown where a sheet names none.
type usualRow struct{ kind, metric, us string }

// The choice is common practice among makers of concrete pieces: sizes in mm or inches, mixes in litres or cubic feet.
var usualUnits = []usualRow{
	{"length", "mm", "in"},
	{"area", "m^2", "ft^2"},
	{"volume", "L", "ft^3"},
	{"mass", "kg", "lb"},
	{"time", "h", "h"},
	{"density", "kg/m^3", "lb/ft^3"},
	{"force", "N", "lbf"},
	{"pressure", "kPa", "psi"},
	{"energy", "J", "ft*lbf"},
	{"power", "W", "hp"},
	{"speed", "m/s", "ft/s"},
	{"acceleration", "m/s^2", "ft/s^2"},
	{"frequency", "Hz", "Hz"},
	{"mass per length", "kg/m", "lb/ft"},
	{"mass per area", "kg/m^2", "lb/ft^2"},
	{"force per length", "N/m", "lbf/ft"},
	{"force per volume", "kN/m^3", "lbf/ft^3"},
	{"volume flow", "L/min", "ft^3/min"},
	{"mass flow", "kg/h", "lb/h"},
	{"mass flow per area", "kg/(m^2*h)", "lb/(ft^2*h)"},
	{"volume per mass", "L/kg", "ft^3/lb"},
	{"viscosity", "Pa*s", "cP"},
	{"kinematic viscosity", "mm^2/s", "ft^2/s"},
	{"second moment of area", "mm^4", "in^4"},
	{"momentum", "kg*m/s", "lb*ft/s"},
	{"temperature difference", "K", "Fdeg"},
	{"electric current", "A", "A"},
	{"amount of substance", "mol", "mol"},
	{"luminous intensity", "cd", "cd"},
	{"electric charge", "C", "C"},
	{"electric voltage", "V", "V"},
	{"electric resistance", "ohm", "ohm"},
	{"coefficient of thermal expansion", "K^-1", "Fdeg^-1"},
	{"specific energy", "J/kg", "Btu/lb"},
	{"heat capacity", "J/K", "Btu/Fdeg"},
	{"thermal conductance", "W/K", "Btu/(h*Fdeg)"},
	{"specific heat capacity", "J/(kg*K)", "Btu/(lb*Fdeg)"},
	{"heat flux", "W/m^2", "Btu/(ft^2*h)"},
	{"thermal conductivity", "W/(m*K)", "Btu/(h*ft*Fdeg)"},
	{"coefficient of heat transfer", "W/(m^2*K)", "Btu/(h*ft^2*Fdeg)"},
	{"molar mass", "g/mol", "g/mol"},
	{"molar energy", "J/mol", "J/mol"},
	{"molar heat capacity", "J/(mol*K)", "J/(mol*K)"},
	{"illuminance", "lx", "lx"},
	{"rate of temperature change", "K/h", "Fdeg/h"},
}

// perUnits are the units below the line of a price or a rate of counted things: concrete is sold by the cubic metre,
// not by the litre.
var perUnits = []usualRow{
	{"length", "m", "ft"},
	{"area", "m^2", "ft^2"},
	{"volume", "m^3", "ft^3"},
	{"mass", "kg", "lb"},
	{"time", "h", "h"},
}

func byDim(rows []usualRow) map[kind.Dim]usualRow {
	out := map[kind.Dim]usualRow{}
	for _, r := range rows {
		if d, ok := kind.Lookup(r.kind); ok {
			out[d] = r
		}
	}
	return out
}

var usualByDim, perByDim = byDim(usualUnits), byDim(perUnits)

func (r usualRow) text(us bool) string {
	if us {
		return r.us
	}
	return r.metric
}

// Usual gives the unit, as text of the language, in which a value is shown where the sheet names none: one for each
// kind that has a name but number, the code of a currency, the name of a counted thing, and what is made of them by
// one division ("EUR/m^3", "kg/pallet", "pallet/h"). It is empty for everything else.
func (c *Catalogue) Usual(form kind.Form, d kind.Dim, us bool) string {
	switch {
	case form == kind.Point && us:
		return "degF"
	case form == kind.Point:
		return "degC"
	case form != kind.Number:
		return ""
	}
	if r, ok := usualByDim[d]; ok {
		return r.text(us)
	}
	return usualQuotient(d, us)
}

// usualQuotient handles dimensions with money and counted things to the power 1 or -1.
func usualQuotient(d kind.Dim, us bool) string {
	var over, under []string
	rest := d
	for _, n := range d.Named() {
		part := kind.Count(n.Name)
		if n.Money {
			part = kind.Money(n.Name)
		}
		var err error
		switch n.Exp {
		case kind.Int(1):
			over = append(over, n.Name)
			rest, err = rest.Div(part)
		case kind.Int(-1):
			under = append(under, n.Name)
			rest, err = rest.Mul(part)
		default:
			return ""
		}
		if err != nil {
			return ""
		}
	}
	if len(over)+len(under) == 0 {
		return ""
	}
	if !rest.IsOne() {
		if r, ok := usualByDim[rest]; ok && len(over) == 0 && !strings.ContainsAny(r.text(us), "*/") {
			over = append(over, r.text(us))
		} else if r, ok := inverse(rest); ok {
			under = append(under, r.text(us))
		} else {
			return ""
		}
	}
	return quotient(over, under)
}

func inverse(d kind.Dim) (usualRow, bool) {
	inv, err := d.Pow(kind.Int(-1))
	if err != nil {
		return usualRow{}, false
	}
	r, ok := perByDim[inv]
	return r, ok
}

// quotient writes factors above and below the line; where nothing stands above it, with negative powers, "m^-3".
func quotient(over, under []string) string {
	if len(over) == 0 {
		for i, u := range under {
			name, power, found := strings.Cut(u, "^")
			if !found {
				power = "1"
			}
			under[i] = name + "^-" + power
		}
		return strings.Join(under, "*")
	}
	above, below := strings.Join(over, "*"), strings.Join(under, "*")
	switch len(under) {
	case 0:
		return above
	case 1:
		return above + "/" + below
	}
	return above + "/(" + below + ")"
}
