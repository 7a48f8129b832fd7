package units

import "castwright/lang/kind"

// Where the definitions are published.
const (
	brochureBase     = "SI Brochure, 9th edition, table 2"
	brochureDerived  = "SI Brochure, 9th edition, table 4"
	brochureAccepted = "SI Brochure, 9th edition, table 8"
)

// The base units, and the derived units with names of their own that the trade has a use for. The farad, henry,
// tesla, siemens and the units of radiation are left out: "70 F" had better be asked about than be taken for 70 farad.
var si = []row{
	{symbol: "m", names: "metre, metres, meter, meters", dim: kind.Of(kind.Length), source: brochureBase, prefixes: true},
	{symbol: "kg", names: "kilogram, kilograms, kilogramme, kilogrammes, kilo, kilos", dim: kind.Of(kind.Mass), source: brochureBase},
	{symbol: "g", names: "gram, grams, gramme, grammes", is: "1/1000 kg", source: brochureBase, prefixes: true},
	{symbol: "s", also: "sec secs", names: "second, seconds", dim: kind.Of(kind.Time), source: brochureBase, prefixes: true},
	{symbol: "A", names: "ampere, amperes, amp, amps", dim: kind.Of(kind.Current), source: brochureBase, prefixes: true},
	{symbol: "K", names: "kelvin, kelvins", dim: kind.Of(kind.Temperature), source: brochureBase, prefixes: true,
		about: "a temperature difference; temperatures are written in degC or degF"},
	{symbol: "mol", names: "mole, moles", dim: kind.Of(kind.Amount), source: brochureBase, prefixes: true},
	{symbol: "cd", names: "candela, candelas", dim: kind.Of(kind.Luminous), source: brochureBase, prefixes: true},

	{symbol: "rad", names: "radian, radians", is: "1", source: brochureDerived, prefixes: true},
	{symbol: "sr", names: "steradian, steradians", is: "1", source: brochureDerived, prefixes: true},
	{symbol: "Hz", names: "hertz, hertz", is: "1/s", source: brochureDerived, prefixes: true},
	{symbol: "N", names: "newton, newtons", is: "kg*m/s^2", source: brochureDerived, prefixes: true},
	{symbol: "Pa", names: "pascal, pascals", is: "N/m^2", source: brochureDerived, prefixes: true},
	{symbol: "J", names: "joule, joules", is: "N*m", source: brochureDerived, prefixes: true},
	{symbol: "W", names: "watt, watts", is: "J/s", source: brochureDerived, prefixes: true},
	{symbol: "C", names: "coulomb, coulombs", is: "A*s", source: brochureDerived, prefixes: true,
		about: "electric charge; a temperature is written in degC"},
	{symbol: "V", names: "volt, volts", is: "W/A", source: brochureDerived, prefixes: true},
	// The sign of the ohm is read as the Greek letter and as U+2126.
	{symbol: "ohm", also: "\u03a9 \u2126", names: "ohm, ohms", is: "V/A", source: brochureDerived, prefixes: true},
	{symbol: "lm", names: "lumen, lumens", is: "cd*sr", source: brochureDerived, prefixes: true},
	{symbol: "lx", names: "lux, lux", is: "lm/m^2", source: brochureDerived, prefixes: true},
	{symbol: "degC", also: "°C ℃", names: "degree Celsius, degrees Celsius, celsius, Celsius", is: "K", offset: "273.15", source: brochureDerived,
		about: "a temperature; its differences are in K or Cdeg"},
	{symbol: "Cdeg", names: "Celsius degree, Celsius degrees", is: "K", source: brochureDerived,
		about: "a temperature difference, 1 K"},
}

// The units that are accepted for use with the SI.
var withSI = []row{
	{symbol: "ha", names: "hectare, hectares", is: "10000 m^2", source: brochureAccepted},
	{symbol: "L", also: "l", names: "litre, litres, liter, liters", is: "1/1000 m^3", source: brochureAccepted, prefixes: true},
	{symbol: "t", names: "tonne, tonnes, metric_ton, metric_tons", is: "1000 kg", source: brochureAccepted,
		about: "1000 kg; the US ton of 2000 lb is ton"},
	{symbol: "min", also: "mins", names: "minute, minutes", is: "60 s", source: brochureAccepted},
	{symbol: "h", also: "hr hrs", names: "hour, hours", is: "60 min", source: brochureAccepted},
	{symbol: "d", names: "day, days", is: "24 h", source: brochureAccepted},
	{symbol: "deg", also: "°", names: "degree, degrees", is: "pi/180 rad", source: brochureAccepted, about: "an angle, 1/360 of a turn"},
	{symbol: "arcmin", names: "minute of arc, minutes of arc, arcmins, arcminute, arcminutes", is: "1/60 deg", source: brochureAccepted, about: "1/60 deg"},
	{symbol: "arcsec", names: "second of arc, seconds of arc, arcsecs, arcsecond, arcseconds", is: "1/60 arcmin", source: brochureAccepted, about: "1/3600 deg"},
	{symbol: "Wh", names: "watt hour, watt hours, watthour, watthours", is: "W*h", source: sp811, prefixes: true},
}
