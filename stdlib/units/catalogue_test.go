package units

import (
	"math/big"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

// TestSpellings reads trade spellings (language.md, ruling 11), English names and plurals, and signs.
func TestSpellings(t *testing.T) {
	for symbol, spellings := range map[string]string{
		"mm": "mm millimetre millimetres millimeter millimeters", "km": "km kilometre kilometers",
		"\u00b5m": "\u00b5m \u03bcm um micrometre micrometers", "micron": "micron microns",
		"in": "in inch inches", "ft": "ft foot feet", "yd": "yd yard yards", "mi": "mi mile miles", "mil": "mil mils",
		"microinch": "microinch microinches uin", "kg": "kg kilogram kilograms kilo", "g": "g gram grams",
		"t": "t tonne tonnes", "lb": "lb lbs pound pounds", "oz": "oz ounce ounces", "ton": "ton tons", "cwt": "cwt",
		"L": "L l litre litres liter liters", "mL": "mL ml millilitre milliliters", "gal": "gal gallon gallons",
		"qt": "qt quart quarts", "pt": "pt pint pints", "floz": "floz fluid_ounces", "cuft": "cuft", "cuyd": "cuyd yd3",
		"sf": "sf sqft", "board_ft": "board_ft board_feet", "pcf": "pcf", "psf": "psf", "plf": "plf", "ksi": "ksi",
		"kip": "kip kips", "psi": "psi", "min": "min minute minutes", "h": "h hr hour hours", "d": "d day days",
		"week": "week weeks", "year": "year years yr", "degC": "degC °C", "degF": "degF °F", "deg": "deg ° degree degrees",
		"turn": "turn turns rev revolutions", "MPa": "MPa megapascal megapascals", "kN": "kN kilonewton kilonewtons",
		"kWh": "kWh", "cd": "cd candela", "Pa": "Pa pascal", "ha": "ha hectares", "ohm": "ohm Ω", "hp": "hp horsepower",
		"daN": "daN decanewton", "cP": "cP centipoise", "cSt": "cSt centistokes", "mbar": "mbar millibars", "EUR": "EUR",
		"dag": "dag decagrams", "Qm": "Qm quettametres", "qs": "qs quectoseconds",
	} {
		for spelling := range strings.FieldsSeq(spellings) {
			u, ok := New().Unit(spelling)
			if assert.True(t, ok, "%s is not read", spelling) {
				assert.Equal(t, symbol, u.Symbol, spelling)
			}
		}
	}
}

// TestRefusedNames keeps words of the language (language.md, ruling 2), wrong cases and prefixes where none belong out
// of the units.
func TestRefusedNames(t *testing.T) {
	for _, names := range []string{
		"if then else and or not where yes no",
		"from to by until assume given accept with live holds deep",
		"Kg KG MM Mpa KN PSI Lb IN Gal Degc eur usd F T S",
		"kin kft mlb kpsi Mton kha kmin mh kdeg kdegC kkg mkg kkm kt at a stone",
		"kilom kmetre kiloinch millihour milliL mmillimetre kilokilogram", "m2 m^2 km/h m- ",
	} {
		for name := range strings.FieldsSeq(names) {
			_, ok := New().Unit(name)
			assert.False(t, ok, "%q is read as a unit", name)
		}
	}
	_, ok := New().Unit("")
	assert.False(t, ok)
	_, ok = New().Unit("board foot")
	assert.False(t, ok)
}

// TestEverySpellingOnce builds the catalogue anew and counts: no spelling belongs to two units, every one leads to its
// unit, and is a name as the language reads it, or a sign.
func TestEverySpellingOnce(t *testing.T) {
	c, err := build(tables())
	require.NoError(t, err)
	owner := map[string]string{}
	for _, e := range c.entries {
		for _, s := range append([]string{e.Symbol}, e.Others...) {
			assert.Empty(t, owner[s], "%q belongs to %s too", s, e.Symbol)
			owner[s] = e.Symbol
			u, ok := New().Unit(s)
			assert.True(t, ok && u.Symbol == e.Symbol, s)
			first := []rune(s)[0]
			assert.True(t, unicode.IsLetter(first) || strings.ContainsRune("°‰℃℉", first), "%q does not begin with a letter", s)
			assert.NotContains(t, s, " ")
		}
	}
	assert.Greater(t, len(owner), 2000)
}

// TestBuildRefuses checks that a slip in the tables cannot pass.
func TestBuildRefuses(t *testing.T) {
	metre := row{symbol: "m", names: "metre, metres", dim: kind.Of(kind.Length)}
	for _, c := range []struct {
		row  row
		says string
	}{
		{row{symbol: "m", names: "em, ems", is: "1 m"}, `"m" already means metre`},
		{row{symbol: "x", names: "metre, xes", is: "1 m"}, `"metre" already means metre`},
		{row{symbol: "x", names: "ex, exes", is: "2 y"}, `"y" is no unit above it`},
		{row{symbol: "x", names: "ex, exes", is: "2 m^0"}, `"0" is not a power above 0`},
		{row{symbol: "x", names: "ex, exes", is: "pi*pi m"}, "pi may stand once"},
		{row{symbol: "x", names: "ex, exes", is: "1/pi m"}, "pi may stand once"},
		{row{symbol: "x", names: "ex", is: "1 m"}, "the singular and the plural are wanted"},
		{row{symbol: "x", names: "ex, exes", is: "m", offset: "?"}, `the offset "?" is not a number`},
	} {
		_, err := build([]group{{catalogue.SI, []row{metre, c.row}}})
		assert.ErrorContains(t, err, c.says)
	}
}

// TestPrefixRoundTrip puts a prefix on a unit in symbols and in words, and takes it off again.
func TestPrefixRoundTrip(t *testing.T) {
	var bearers []catalogue.Unit
	for _, u := range New().All() {
		if u.Prefixes {
			bearers = append(bearers, u)
		}
	}
	require.Len(t, prefixes, 24, "SI Brochure, 9th edition, table 7, with resolution 3 of 2022")
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(prefixes).Draw(t, "prefix")
		u := rapid.SampledFrom(bearers).Draw(t, "unit")
		short, ok := New().Unit(p.symbol + u.Symbol)
		require.True(t, ok)
		if p.symbol+u.Symbol != "kg" {
			require.Equal(t, p.symbol+u.Symbol, short.Symbol)
			require.False(t, short.Prefixes)
		}
		if !strings.Contains(u.Name, " ") {
			long, ok := New().Unit(p.name + u.Plural)
			require.True(t, ok)
			require.Equal(t, short, long)
		}
		back := new(big.Rat).Quo(short.Ratio, u.Ratio)
		power := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(max(p.power, -p.power)), nil))
		if p.power < 0 {
			power.Inv(power)
		}
		require.Zero(t, back.Cmp(power))
		require.Equal(t, u.Dim, short.Dim)
	})
}

// TestEveryUnitIsComplete checks what help shows of a unit.
func TestEveryUnitIsComplete(t *testing.T) {
	for _, u := range New().All() {
		assert.NotEmpty(t, u.Name, u.Symbol)
		assert.NotEmpty(t, u.Plural, u.Symbol)
		assert.NotEmpty(t, u.Source, u.Symbol)
		assert.NotEmpty(t, u.System, u.Symbol)
		assert.Equal(t, 1, u.Ratio.Sign(), u.Symbol)
		assert.NotContains(t, u.Dim.String(), "^", "the kind of %s has no name", u.Symbol)
		assert.Equal(t, u.Form == kind.Point, u.Offset != nil, u.Symbol)
		assert.False(t, u.Counts, u.Symbol)
	}
}

// TestAll checks the order of the list for help, and that a caller cannot spoil it.
func TestAll(t *testing.T) {
	all := New().All()
	var kinds []string
	place := map[string]int{}
	for i, u := range all {
		place[u.Symbol] = i
		k := u.Dim.String()
		if u.Form == kind.Point {
			k = "temperature"
		}
		if u.System == catalogue.Currency {
			k = "money"
		}
		if len(kinds) == 0 || kinds[len(kinds)-1] != k {
			assert.NotContains(t, kinds, k, "%s stands in two places", k)
			kinds = append(kinds, k)
		}
	}
	assert.Len(t, place, len(all), "a unit stands there twice")
	assert.Equal(t, []string{"number", "length", "area", "volume", "mass", "time"}, kinds[:6])
	assert.Equal(t, "money", kinds[len(kinds)-1])
	for _, pair := range [][2]string{{"m", "in"}, {"L", "gal"}, {"gal", "imp_gal"}, {"imp_gal", "cc"}, {"K", "degC"}, {"AUD", "USD"}} {
		assert.Less(t, place[pair[0]], place[pair[1]], pair)
	}
	assert.NotContains(t, place, "mm", "prefixed units are left out")
	assert.Contains(t, place, "kg")

	all[0].Symbol = "spoilt"
	assert.NotEqual(t, "spoilt", New().All()[0].Symbol)
}

// TestCurrencies holds the codes and minor units against ISO 4217, list one.
func TestCurrencies(t *testing.T) {
	var codes []string
	for _, row := range table(t, "iso4217.tsv") {
		code, digits := row[0], row[1]
		if digits == "-" || len(row) > 2 && row[2] == "gone" {
			_, ok := New().Unit(code)
			assert.False(t, ok, "%s is no currency", code)
			continue
		}
		codes = append(codes, code)
		u, ok := New().Unit(code)
		require.True(t, ok, code)
		assert.Equal(t, digits, string(rune('0'+u.Minor)), code)
		got, ok := u.Dim.Currency()
		assert.True(t, ok)
		assert.Equal(t, code, got)
		assert.Equal(t, catalogue.Currency, u.System)
	}
	var listed []string
	for _, u := range New().All() {
		if u.System == catalogue.Currency {
			listed = append(listed, u.Symbol)
		}
	}
	slices.Sort(codes)
	slices.Sort(listed)
	assert.Equal(t, codes, listed)
	for code, minor := range map[string]int{"JPY": 0, "KWD": 3, "EUR": 2, "USD": 2, "CLF": 4} {
		u, _ := New().Unit(code)
		assert.Equal(t, minor, u.Minor, code)
	}
}
