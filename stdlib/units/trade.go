package units

const iso80000 = "ISO 80000-3:2019"

// Units that are in use beside the SI and the customary ones.
var trade = []row{
	{symbol: "ppm", names: "part per million, parts per million", is: "1/1000000", source: practice, about: "1/1 000 000, a share"},
	{symbol: "permille", also: "‰", names: "per mille, per mille", is: "1/1000", source: practice, about: "1/1000, a share"},
	{symbol: "turn", also: "rev revs", names: "turn, turns, revolution, revolutions", is: "2*pi rad", source: sp811, about: "an angle, 360 deg"},
	{symbol: "grad", also: "gon", names: "gon, gons, grads", is: "pi/200 rad", source: sp811, about: "1/400 of a turn"},

	{symbol: "micron", names: "micron, microns", is: "1/1000000 m", source: sp811, about: "\u00b5m"},
	{symbol: "nmi", names: "nautical mile, nautical miles", is: "1852 m", source: sp811},
	{symbol: "are", names: "are, ares", is: "100 m^2", source: sp811},
	{symbol: "cc", names: "cubic centimetre, cubic centimetres", is: "cm^3", source: practice, about: "cm^3"},
	{symbol: "week", also: "wk wks", names: "week, weeks", is: "7 d", source: practice, about: "7 d"},
	{symbol: "year", also: "yr yrs", names: "year, years", is: "365 d", source: sp811, about: "365 days"},

	{symbol: "kgf", names: "kilogram-force, kilograms-force", is: "9.80665 N", source: sp811, about: "a force; the mass is kg"},
	{symbol: "gf", names: "gram-force, grams-force", is: "1/1000 kgf", source: sp811, about: "a force; the mass is g"},
	{symbol: "dyn", names: "dyne, dynes", is: "1/100000 N", source: sp811},
	{symbol: "bar", names: "bar, bars", is: "100000 Pa", source: sp811, prefixes: true},
	{symbol: "atm", names: "atmosphere, atmospheres", is: "101325 Pa", source: sp811, about: "the standard atmosphere, 101 325 Pa"},
	{symbol: "mmHg", names: "millimetre of mercury, millimetres of mercury", is: "0.001 m * 13595.1 kg/m^3 * 9.80665 m/s^2", source: sp811,
		about: "the conventional one, mercury of 13 595.1 kg/m^3"},
	{symbol: "mmH2O", names: "millimetre of water, millimetres of water", is: "0.001 m * 1000 kg/m^3 * 9.80665 m/s^2", source: sp811,
		about: "the conventional one, water of 1000 kg/m^3"},
	{symbol: "cal", names: "calorie, calories", is: "4.184 J", source: sp811, prefixes: true, about: "the thermochemical calorie, 4.184 J"},
	{symbol: "erg", names: "erg, ergs", is: "dyn*cm", source: sp811},
	{symbol: "metric_hp", names: "metric horsepower, metric horsepower", is: "75 kgf*m/s", source: sp811, about: "75 kgf*m/s"},
	{symbol: "knot", names: "knot, knots", is: "nmi/h", source: sp811},
	{symbol: "rpm", names: "revolution per minute, revolutions per minute", is: "1/60 Hz", source: iso80000,
		about: "a rotational frequency, 60 rpm = 1 Hz"},
	{symbol: "P", names: "poise, poise, poises", is: "0.1 Pa*s", source: sp811, prefixes: true},
	{symbol: "St", names: "stokes, stokes", is: "cm^2/s", source: sp811, prefixes: true},
}
