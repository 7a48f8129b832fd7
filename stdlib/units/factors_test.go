package units

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/kind"
)

// TestPublishedFactors holds the catalogue against the factors of NIST SP 811 (2008), appendix B.8.
func TestPublishedFactors(t *testing.T) {
	rows := table(t, "nist-sp811-b8.tsv")
	require.Len(t, rows, 92)
	for _, row := range rows {
		quantity, name, printed, exact, value := row[0], row[1], row[3], row[4] == "yes", row[5]
		from, dim := compound(t, row[6])
		to, dimTo := compound(t, row[7])
		assert.Equal(t, dimTo, dim, name)
		ratio := new(big.Rat).Quo(from, to)
		assert.Equal(t, figures(rat(t, printed), 7), figures(ratio, 7), "%s, %s: as printed", quantity, name)
		assert.True(t, near(ratio, rat(t, value), 200_000_000_000), "%s, %s is %s, not %s", quantity, name, figures(ratio, 13), value)
		if exact {
			assert.Zero(t, ratio.Cmp(rat(t, printed)), "%s, %s: exactly", quantity, name)
		}
	}
}

// TestDefinitions checks units that the table above does not hold. Sources stand beside them.
func TestDefinitions(t *testing.T) {
	for _, c := range []struct{ unit, is, source string }{
		{"acre", "4046.8564224*m^2", "SP 811: the international acre, exact"},
		{"lb", "0.45359237*kg", "agreement of 1959, SP 811"},
		{"yd", "0.9144*m", "agreement of 1959, SP 811"},
		{"cwt", "45.359237*kg", "SP 811, hundredweight (short, 100 lb)"},
		{"ton", "907.18474*kg", "SP 811, ton, short (2000 lb)"},
		{"long_cwt", "50.80234544*kg", "SP 811"},
		{"st", "6.35029318*kg", "14 lb"},
		{"slug", "14.593902937*kg", "SP 811: 14.59390, with further figures from lbf/(ft/s^2)"},
		{"troy_oz", "0.0311034768*kg", "SP 811, exact"},
		{"gr", "0.00006479891*kg", "SP 811, exact"},
		{"pt", "0.000473176473*m^3", "SP 811: 4.731765 E-04"},
		{"floz", "0.0000295735295625*m^3", "SP 811: 2.957353 E-05"},
		{"tbsp", "0.00001478676478125*m^3", "SP 811: 1.478676 E-05"},
		{"bushel", "0.03523907016688*m^3", "SP 811: 3.523907 E-02"},
		{"dry_pt", "0.0005506104713575*m^3", "SP 811: 5.506105 E-04"},
		{"imp_pt", "0.56826125*L", "Weights and Measures Act 1985, schedule 1"},
		{"imp_qt", "1.1365225*L", "Weights and Measures Act 1985, schedule 1"},
		{"board_ft", "0.002359737216*m^3", "SP 811, board foot: 2.359737 E-03"},
		{"atm", "101325*Pa", "SP 811, exact"},
		{"bar", "100000*Pa", "SP 811, exact"},
		{"mmHg", "133.322387415*Pa", "SP 811: 133.3224"},
		{"kip", "4448.2216152605*N", "SP 811: 4.448222 E+03"},
		{"psf", "47.8802589804*Pa", "SP 811: 47.88026"},
		{"metric_hp", "735.49875*W", "SP 811: 7.354988 E+02"},
		{"Btu", "1055.05585262*J", "SP 811, International Table"},
		{"knot", "0.514444444444*m/s", "SP 811: 5.144444 E-01"},
		{"cSt", "0.000001*m^2/s", "SP 811, exact"},
		{"gpm", "0.0000630901964*m^3/s", "SP 811: 6.309020 E-05"},
		{"year", "31536000*s", "SP 811, year (365 days), exact"},
		{"week", "604800*s", "7 days"},
		{"rpm", "0.0166666666667*Hz", "ISO 80000-3: 60 rpm = 1 Hz"},
		{"grad", "0.0157079632679*rad", "SP 811: 1.570796 E-02"},
		{"arcsec", "0.00000484813681110*rad", "SP 811: 4.848137 E-06"},
		{"arcmin", "0.000290888208666*rad", "SP 811: 2.908882 E-04"},
		{"lx", "1*cd/m^2", "SI Brochure, table 4"},
		{"ohm", "1*kg*m^2/(s^3*A^2)", "SI Brochure, table 4"},
		{"V", "1*kg*m^2/(s^3*A)", "SI Brochure, table 4"},
	} {
		number, rest, _ := strings.Cut(c.is, "*")
		want, wantDim := compound(t, rest)
		want.Mul(want, rat(t, number))
		got, dim := compound(t, c.unit)
		assert.Equal(t, wantDim, dim, "%s (%s)", c.unit, c.source)
		assert.True(t, near(got, want, 50_000_000_000), "%s is %s of %s (%s)", c.unit, figures(got, 12), rest, c.source)
	}
}

// TestTemperatures checks the scales at fixed points: NIST SP 811, appendix B.9, and the meeting of the scales at -40.
func TestTemperatures(t *testing.T) {
	for _, c := range []struct{ fahrenheit, celsius, kelvin string }{
		{"-459.67", "-273.15", "0"},
		{"-40", "-40", "233.15"},
		{"32", "0", "273.15"},
		{"68", "20", "293.15"},
		{"77", "25", "298.15"},
		{"212", "100", "373.15"},
	} {
		for unit, number := range map[string]string{"degF": c.fahrenheit, "°F": c.fahrenheit, "degC": c.celsius, "°C": c.celsius} {
			u, ok := New().Unit(unit)
			require.True(t, ok, unit)
			require.Equal(t, kind.Point, u.Form, unit)
			require.Equal(t, kind.Of(kind.Temperature), u.Dim, unit)
			kelvin := new(big.Rat).Mul(rat(t, number), u.Ratio)
			kelvin.Add(kelvin, u.Offset)
			assert.Zero(t, rat(t, c.kelvin).Cmp(kelvin), "%s %s is %s K", number, unit, kelvin)
		}
	}
	for unit, kelvin := range map[string]string{"K": "1", "Cdeg": "1", "Fdeg": "5/9", "Rdeg": "5/9"} {
		u, ok := New().Unit(unit)
		require.True(t, ok, unit)
		assert.Equal(t, kind.Number, u.Form, "%s is a difference", unit)
		assert.Nil(t, u.Offset, unit)
		assert.Zero(t, rat(t, kelvin).Cmp(u.Ratio), unit)
	}
}
