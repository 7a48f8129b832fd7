package units

// Where the definitions are published. The gallon, and what is measured by it, rests on 231 cubic inches; weights
// rest on the pound of 0.453 592 37 kg, lengths on the inch of 25.4 mm (both of 1959).
const (
	sp811      = "NIST SP 811 (2008), appendix B.8"
	handbook44 = "NIST Handbook 44, appendix C"
	measures85 = "Weights and Measures Act 1985, schedule 1"
	practice   = "common practice"
)

// US customary units.
var customary = []row{
	{symbol: "in", names: "inch, inches", is: "0.0254 m", source: sp811},
	{symbol: "ft", names: "foot, feet", is: "12 in", source: sp811},
	{symbol: "yd", also: "yds", names: "yard, yards", is: "3 ft", source: sp811},
	{symbol: "mi", names: "mile, miles", is: "5280 ft", source: sp811},
	{symbol: "mil", also: "thou", names: "mil, mils", is: "1/1000 in", source: sp811, about: "0.001 in; not a millimetre, not a mile"},
	// The micro sign is read as U+00B5 and as U+03BC.
	{symbol: "microinch", also: "uin \u00b5in \u03bcin", names: "microinch, microinches", is: "1/1000000 in", source: sp811},
	{symbol: "survey_ft", names: "US survey foot, US survey feet, survey_foot, survey_feet", is: "1200/3937 m", source: sp811,
		about: "1200/3937 m, of old land surveys; withdrawn at the end of 2022"},

	{symbol: "sf", also: "sqft", names: "square foot, square feet", is: "ft^2", source: sp811, about: "ft^2"},
	{symbol: "sqin", names: "square inch, square inches", is: "in^2", source: sp811, about: "in^2"},
	{symbol: "sqyd", also: "sy", names: "square yard, square yards", is: "yd^2", source: sp811, about: "yd^2"},
	{symbol: "acre", names: "acre, acres", is: "4840 yd^2", source: handbook44, about: "4840 yd^2, by the international foot"},

	{symbol: "cuin", names: "cubic inch, cubic inches", is: "in^3", source: sp811, about: "in^3"},
	{symbol: "cuft", also: "cf", names: "cubic foot, cubic feet", is: "ft^3", source: sp811, about: "ft^3"},
	{symbol: "cuyd", also: "yd3 cy", names: "cubic yard, cubic yards", is: "yd^3", source: sp811, about: "yd^3"},
	{symbol: "gal", names: "gallon, gallons", is: "231 in^3", source: sp811, about: "the US gallon, 231 in^3; the imperial one is imp_gal"},
	{symbol: "qt", names: "quart, quarts", is: "1/4 gal", source: sp811, about: "the US liquid quart; the imperial one is imp_qt"},
	{symbol: "pt", names: "pint, pints", is: "1/8 gal", source: sp811, about: "the US liquid pint; the imperial one is imp_pt"},
	{symbol: "cup", names: "cup, cups", is: "1/16 gal", source: sp811, about: "the US cup, 8 floz"},
	{symbol: "floz", also: "fl_oz", names: "fluid ounce, fluid ounces, fluid_ounce, fluid_ounces", is: "1/128 gal", source: sp811,
		about: "the US fluid ounce, a volume; the imperial one is imp_floz"},
	{symbol: "tbsp", names: "tablespoon, tablespoons", is: "1/2 floz", source: sp811, about: "the US tablespoon, 1/2 floz"},
	{symbol: "tsp", names: "teaspoon, teaspoons", is: "1/6 floz", source: sp811, about: "the US teaspoon, 1/6 floz"},
	{symbol: "bushel", names: "bushel, bushels", is: "2150.42 in^3", source: handbook44, about: "the US bushel of dry goods, 2150.42 in^3"},
	{symbol: "peck", names: "peck, pecks", is: "1/4 bushel", source: sp811, about: "1/4 bushel"},
	{symbol: "dry_qt", names: "dry quart, dry quarts, dry_quart, dry_quarts", is: "1/32 bushel", source: sp811, about: "1/32 bushel"},
	{symbol: "dry_pt", names: "dry pint, dry pints, dry_pint, dry_pints", is: "1/64 bushel", source: sp811, about: "1/64 bushel"},
	{symbol: "board_ft", names: "board foot, board feet, board_foot, board_feet", is: "144 in^3", source: sp811,
		about: "timber, 1 ft by 1 ft by 1 in"},

	{symbol: "lb", also: "lbs", names: "pound, pounds", is: "0.45359237 kg", source: sp811, about: "a mass; the force is lbf"},
	{symbol: "oz", names: "ounce, ounces", is: "1/16 lb", source: sp811, about: "a mass; the volume is floz"},
	{symbol: "gr", names: "grain, grains", is: "1/7000 lb", source: sp811, about: "1/7000 lb; the gram is g"},
	{symbol: "cwt", names: "hundredweight, hundredweights", is: "100 lb", source: sp811, about: "100 lb, the US one; that of 112 lb is long_cwt"},
	{symbol: "ton", also: "short_ton short_tons", names: "ton, tons", is: "2000 lb", source: sp811,
		about: "2000 lb, the US short ton; the tonne of 1000 kg is t, that of 2240 lb long_ton"},
	{symbol: "slug", names: "slug, slugs", is: "0.45359237*9.80665/0.3048 kg", source: sp811, about: "1 lbf*s^2/ft"},
	{symbol: "troy_oz", names: "troy ounce, troy ounces", is: "480 gr", source: sp811, about: "480 gr"},
	{symbol: "troy_lb", names: "troy pound, troy pounds", is: "12 troy_oz", source: sp811, about: "12 troy_oz"},
	{symbol: "dwt", names: "pennyweight, pennyweights", is: "24 gr", source: sp811, about: "24 gr"},

	{symbol: "pcf", names: "pound per cubic foot, pounds per cubic foot", is: "lb/ft^3", source: sp811, about: "a density, lb/ft^3"},
	{symbol: "pci", names: "pound per cubic inch, pounds per cubic inch", is: "lb/in^3", source: sp811, about: "a density, lb/in^3"},

	{symbol: "lbf", names: "pound-force, pounds-force", is: "lb * 9.80665 m/s^2", source: sp811, about: "a force; the mass is lb"},
	{symbol: "ozf", names: "ounce-force, ounces-force", is: "1/16 lbf", source: sp811, about: "a force; the mass is oz"},
	{symbol: "kip", names: "kip, kips", is: "1000 lbf", source: sp811, about: "1000 lbf"},
	{symbol: "tonf", names: "ton-force, tons-force", is: "2000 lbf", source: sp811, about: "2000 lbf"},
	{symbol: "plf", names: "pound-force per foot, pounds-force per foot", is: "lbf/ft", source: sp811, about: "a force per length, lbf/ft"},
	{symbol: "klf", names: "kip per foot, kips per foot", is: "kip/ft", source: practice, about: "a force per length, kip/ft"},
	{symbol: "psi", names: "pound-force per square inch, pounds-force per square inch", is: "lbf/in^2", source: sp811, about: "lbf/in^2"},
	{symbol: "ksi", names: "kip per square inch, kips per square inch", is: "kip/in^2", source: sp811, about: "kip/in^2"},
	{symbol: "psf", names: "pound-force per square foot, pounds-force per square foot", is: "lbf/ft^2", source: sp811,
		about: "a pressure, lbf/ft^2; a mass per area is lb/ft^2"},
	{symbol: "ksf", names: "kip per square foot, kips per square foot", is: "kip/ft^2", source: practice, about: "kip/ft^2"},
	{symbol: "inHg", names: "inch of mercury, inches of mercury", is: "0.0254 m * 13595.1 kg/m^3 * 9.80665 m/s^2", source: sp811,
		about: "the conventional one, mercury of 13 595.1 kg/m^3"},
	{symbol: "inH2O", names: "inch of water, inches of water", is: "0.0254 m * 1000 kg/m^3 * 9.80665 m/s^2", source: sp811,
		about: "the conventional one, water of 1000 kg/m^3"},

	{symbol: "Btu", also: "BTU", names: "British thermal unit, British thermal units", is: "1055.05585262 J", source: sp811,
		about: "that of the International Table"},
	{symbol: "hp", names: "horsepower, horsepower", is: "550 ft*lbf/s", source: sp811, about: "550 ft*lbf/s; the metric one is metric_hp"},
	{symbol: "ton_refrigeration", names: "ton of refrigeration, tons of refrigeration", is: "12000 Btu/h", source: sp811, about: "12 000 Btu/h"},
	{symbol: "mph", names: "mile per hour, miles per hour", is: "mi/h", source: sp811, about: "mi/h"},
	{symbol: "gpm", names: "gallon per minute, gallons per minute", is: "gal/min", source: sp811, about: "US gal/min"},
	{symbol: "cfm", names: "cubic foot per minute, cubic feet per minute", is: "ft^3/min", source: sp811, about: "ft^3/min"},

	// 459.67 of these degrees below the zero of the Fahrenheit scale is absolute zero.
	{symbol: "degF", also: "°F ℉", names: "degree Fahrenheit, degrees Fahrenheit, fahrenheit, Fahrenheit", is: "5/9 K", offset: "45967/180", source: sp811,
		about: "a temperature; its differences are in Fdeg"},
	{symbol: "Fdeg", names: "Fahrenheit degree, Fahrenheit degrees", is: "5/9 K", source: sp811, about: "a temperature difference, 5/9 K"},
	{symbol: "Rdeg", names: "Rankine degree, Rankine degrees", is: "5/9 K", source: sp811, about: "a temperature difference, 5/9 K"},
}

// Imperial units where they differ from the US ones. The name of the stone is not read, so that a job may count its
// stones.
var imperial = []row{
	{symbol: "imp_gal", names: "imperial gallon, imperial gallons, imp_gallon, imp_gallons", is: "4.54609 L", source: sp811, about: "4.546 09 L"},
	{symbol: "imp_qt", names: "imperial quart, imperial quarts, imp_quart, imp_quarts", is: "1/4 imp_gal", source: measures85, about: "1/4 imp_gal"},
	{symbol: "imp_pt", names: "imperial pint, imperial pints, imp_pint, imp_pints", is: "1/8 imp_gal", source: measures85, about: "1/8 imp_gal"},
	{symbol: "imp_floz", also: "imp_fl_oz", names: "imperial fluid ounce, imperial fluid ounces", is: "1/160 imp_gal", source: sp811, about: "1/160 imp_gal"},
	{symbol: "st", names: "stone (weight), stone (weight)", is: "14 lb", source: measures85, about: "14 lb"},
	{symbol: "long_cwt", names: "long hundredweight, long hundredweights", is: "112 lb", source: sp811, about: "112 lb"},
	{symbol: "long_ton", names: "long ton, long tons, long_tons", is: "2240 lb", source: sp811, about: "2240 lb"},
}
