package stdlib_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/lang/value"
)

// Seventy-two hours at five steady temperatures: 20 degC for 6 h, 28 degC for 6 h, 35 degC for 12 h, 30 degC for 24 h,
// 22 degC for 24 h. Two readings at one time are a jump.
const matLog = "table log\n" +
	"  time | temp [degC]\n" +
	"  2027-03-01T06:00 | 20\n  2027-03-01T12:00 | 20\n" +
	"  2027-03-01T12:00 | 28\n  2027-03-01T18:00 | 28\n" +
	"  2027-03-01T18:00 | 35\n  2027-03-02T06:00 | 35\n" +
	"  2027-03-02T06:00 | 30\n  2027-03-03T06:00 | 30\n" +
	"  2027-03-03T06:00 | 22\n  2027-03-04T06:00 | 22\nend\n"

const matBrief = "(2027-03-01T06:00, 2027-03-01T18:00, 2027-03-02T06:00), (20 degC, 30 degC, 24 degC)"

// ASTM C1074, Nurse-Saul sum over the profile, by hand: 20*6 + 28*6 + 35*12 + 30*24 + 22*24 = 1956, less 72 h times the
// datum.
func TestMaturityOfProfile(t *testing.T) {
	for datum, want := range map[string]float64{"0 degC": 1956, "-10 degC": 2676, "2.5 degC": 1776} {
		nearAll(t, []float64{want}, 1e-6, matLog, "maturity(log.time, log.temp, "+datum+") / 1 K*h")
	}
	nearAll(t, []float64{1956}, 1e-6, matLog, "maturity(log.time, log.temp) / 1 K*h")
	// Nothing counts below the datum: only 35 degC and 30 degC stand above 29 degC, 6*12 + 1*24.
	nearAll(t, []float64{96}, 1e-6, matLog, "maturity(log.time, log.temp, 29 degC) / 1 K*h")
}

// ASTM C1074, Arrhenius sum over the profile with degC + 273.15, worked out apart to three decimals.
func TestEquivalentAgeOfProfile(t *testing.T) {
	for more, want := range map[string]float64{
		"":                     112.033,
		", 23 degC":            94.256,
		", activation: 4000 K": 101.905,
		", 20 degC, activation_temperature(41500 J/mol)": 111.942,
	} {
		nearAll(t, []float64{want}, 0.5e-3, matLog, "equivalent_age(log.time, log.temp"+more+") / 1 h")
	}
}

// ASTM C1074, rate over 20 degC with 5000 K, worked out apart with degC + 273 to four digits; with 273.15 the fourth
// digit moves by up to 2 in 1000.
func TestAgeConversionFactor(t *testing.T) {
	rates := map[float64]float64{0: 0.2865, 5: 0.3982, 10: 0.5472, 15: 0.7436, 20: 1, 25: 1.3315, 30: 1.7563, 35: 2.2958, 40: 2.9755}
	for temp, rate := range rates {
		line := fmt.Sprintf("age_conversion_factor(%g degC)", temp)
		got := number(t, line)
		assert.InEpsilon(t, rate, got, 2e-3, line)
		// The equation by hand, with 273.15.
		assert.InEpsilon(t, math.Exp(-5000*(1/(temp+273.15)-1/293.15)), got, 1e-12, line)
		assert.InEpsilon(t, 24/got, number(t, fmt.Sprintf("curing_time(24 h, %g degC) / 1 h", temp)), 1e-12)
	}
	eachAlone(t, "age_conversion_factor({})", "10 degC", "20 degC", "30 degC")
	states(t, value.Flagged, "age_conversion_factor(-5 degC)", "curing_time(24 h, 45 degC)")
	states(t, value.Mistake, "age_conversion_factor(20 degC, activation: 0 K)", "age_conversion_factor(20 K)")
}

// Straight lines between readings: the mean of two counts, (25*12 + 27*12) K*h; the equation by hand.
func TestMaturityBetweenReadings(t *testing.T) {
	assert.InEpsilon(t, 25*12+27*12, number(t, "maturity("+matBrief+") / 1 K*h"), 1e-12)
	rate := func(c float64) float64 { return math.Exp(-5000 * (1/(c+273.15) - 1/293.15)) }
	assert.InEpsilon(t, 12*(rate(25)+rate(27)), number(t, "equivalent_age("+matBrief+") / 1 h"), 1e-12)
	// EN 1992-1-1:2004, equation B.10, by hand.
	adjusted := func(c float64) float64 { return math.Exp(-(4000/(273+c) - 13.65)) }
	assert.InEpsilon(t, 12*(adjusted(25)+adjusted(27)), number(t, "temperature_adjusted_age("+matBrief+") / 1 h"), 1e-12)
	const back = "(2027-03-01T18:00, 2027-03-01T06:00), (20 degC, 20 degC)"
	const short = "(2027-03-01T06:00, 2027-03-01T18:00), list(20 degC)"
	const cold = "(2027-03-01T06:00, 2027-03-01T18:00), (-4 degC, 10 degC)"
	for _, rule := range []string{"maturity", "equivalent_age", "equivalent_age_varying", "temperature_adjusted_age"} {
		states(t, value.Mistake, rule+"("+back+")", rule+"("+short+")", rule+"(2027-03-01, 20 degC)")
		states(t, value.Flagged, rule+"("+cold+")")
	}
	// A list of datums or references, as long as the readings, does not run along with them: 12 h at 20 degC by hand.
	const pair = "((2027-03-01T06:00, 2027-03-01T18:00), (20 degC, 20 degC), (20 degC, 15 degC))"
	nearAll(t, []float64{0, 60}, 1e-9, "", "maturity"+pair+" / 1 K*h")
	nearAll(t, []float64{12, 12 / rate(15)}, 1e-9, "", "equivalent_age"+pair+" / 1 h")
	for _, line := range []string{"equivalent_age(" + matBrief + ", activation: {})", "equivalent_age_reached(10 h, " + matBrief + ", activation: {})"} {
		eachAlone(t, line, "5000 K", "4000 K", "4500 K")
	}
}

// EN 1992-1-1:2004, equation B.10: rate of age at steady temperatures, worked out apart to four decimals.
func TestTemperatureAdjustedAge(t *testing.T) {
	for temp, rate := range map[string]float64{"0 degC": 0.3671, "10 degC": 0.6161, "20 degC": 0.9981, "30 degC": 1.5662} {
		line := fmt.Sprintf("temperature_adjusted_age((2027-03-01T06:00, 2027-03-01T07:00), (%[1]s, %[1]s)) / 1 h", temp)
		printedAs(t, rate, number(t, line), 4, line)
	}
}

// Freiesleben Hansen and Pedersen (1977) (from memory): 33.5 kJ/mol at 20 degC and above, 1.47 more a degree below.
func TestActivationEnergy(t *testing.T) {
	for temp, want := range map[string]float64{"30 degC": 33.5, "20 degC": 33.5, "10 degC": 48.2, "0 degC": 62.9} {
		assert.InEpsilon(t, want, number(t, "activation_energy("+temp+") / 1 kJ/mol"), 1e-12)
	}
	assert.InEpsilon(t, 41500/8.314, number(t, "activation_temperature(41.5 kJ/mol) / 1 K"), 1e-12)
	states(t, value.Flagged, "activation_temperature(20 kJ/mol)", "activation_energy(-20 degC)")
	// By hand over the profile, none of it below 20 degC: one activation energy holds throughout.
	nearAll(t, []float64{1}, 1e-12, matLog, "equivalent_age_varying(log.time, log.temp) / equivalent_age(log.time, log.temp, activation: activation_temperature(33.5 kJ/mol))")
	line := "equivalent_age_varying((2027-03-01T06:00, 2027-03-01T16:00), (10 degC, 10 degC)) / 1 h"
	assert.InEpsilon(t, 10*math.Exp(-48200/8.314*(1/283.15-1/293.15)), number(t, line), 1e-12, line)
}

// The hyperbola of ASTM C1074 by hand, and its inverse (common practice).
func TestStrengthFromMaturity(t *testing.T) {
	const curve = ", 40 MPa, 0.02 h^-1, 6 h)"
	assert.InEpsilon(t, 40*1.32/2.32, number(t, "strength_at_maturity(72 h"+curve+" / 1 MPa"), 1e-12)
	assert.Zero(t, number(t, "strength_at_maturity(6 h"+curve))
	assert.Zero(t, number(t, "strength_at_maturity(2 h"+curve))
	for _, s := range []float64{1, 10, 20, 35} {
		line := fmt.Sprintf("strength_at_maturity(maturity_for(%g MPa%s%s / 1 MPa", s, curve, curve)
		assert.InEpsilon(t, s, number(t, line), 1e-9, line)
	}
	// Hardening begins at 0 where no offset is given.
	assert.InEpsilon(t, 40*1.44/2.44, number(t, "strength_at_maturity(72 h, 40 MPa, 0.02 h^-1) / 1 MPa"), 1e-12)
	assert.InEpsilon(t, 50.0, number(t, "maturity_for(20 MPa, 40 MPa, 0.02 h^-1) / 1 h"), 1e-12)
	// Half the ultimate: 1/k beyond the offset.
	assert.InEpsilon(t, 56.0, number(t, "maturity_for(20 MPa"+curve+" / 1 h"), 1e-12)
	assert.InEpsilon(t, 500.0, number(t, "maturity_for(20 MPa, 40 MPa, 0.002 K^-1*h^-1, 0 K*h) / 1 K*h"), 1e-12)
	nearAll(t, []float64{0, 20}, 1e-9, "", "strength_at_maturity((6 h, 56 h), 40 MPa, 0.02 h^-1, 6 h) / 1 MPa")
	states(t, value.Mistake, "maturity_for(40 MPa"+curve, "maturity_for(0 MPa"+curve, "strength_at_maturity(72 h, 40 MPa, 0.02 d^-2, 6 h)")
	states(t, value.Flagged, "maturity_for(39 MPa"+curve)
	// 20 MPa at an equivalent age of 56 h, and longer at 10 degC by the rate there.
	const real = "time_to_strength(20 MPa, 40 MPa, 0.48 d^-1, 6 h"
	assert.InEpsilon(t, 56.0, number(t, real+") / 1 h"), 1e-12)
	assert.InEpsilon(t, 56/math.Exp(-5000*(1/283.15-1/293.15)), number(t, real+", temperature: 10 degC) / 1 h"), 1e-12)
	states(t, value.Mistake, "time_to_strength(40 MPa, 40 MPa, 0.48 d^-1)")
	states(t, value.Flagged, real+", temperature: -2 degC)")
}

// A fit through points of a curve gives the curve back (common practice): of the hyperbola of ASTM C1074, appendix X1 (from
// memory), and of the straight line over the logarithm after Plowman (1956) (from memory).
func TestFitStrength(t *testing.T) {
	var ages, strengths []string
	for _, age := range []float64{1, 3, 7, 14, 28} {
		ages = append(ages, fmt.Sprintf("%g d", age))
		strengths = append(strengths, fmt.Sprintf("%.15g MPa", 40*0.4*(age-0.25)/(1+0.4*(age-0.25))))
	}
	points := "(" + strings.Join(ages, ", ") + "), (" + strings.Join(strengths, ", ") + ")"
	fit := "fit_strength(" + points + ", 0.25 d)"
	assert.InEpsilon(t, 40, number(t, fit+".ultimate / 1 MPa"), 1e-9)
	assert.InEpsilon(t, 0.4, number(t, fit+".k / 1 d^-1"), 1e-9)
	assert.InEpsilon(t, 2.75, number(t, fit+".half / 1 d"), 1e-9)
	assert.InEpsilon(t, 1, number(t, fit+".r_squared"), 1e-9)
	assert.InDelta(t, 0, number(t, fit+".scatter / 1 MPa"), 1e-6)
	// ACI 209R-92, equation 2-1, is such a curve: 1/b of the strength at 28 days, and b/a for k.
	aci := "fit_strength((3 d, 7 d, 14 d, 28 d, 91 d), strength_at((3 d, 7 d, 14 d, 28 d, 91 d), 30 MPa))"
	assert.InEpsilon(t, 30/0.85, number(t, aci+".ultimate / 1 MPa"), 1e-9)
	assert.InEpsilon(t, 0.85/4.0, number(t, aci+".k / 1 d^-1"), 1e-9)
	// A list of offsets, as long as the ages; the right one still fits the points.
	nearAll(t, []float64{number(t, "fit_strength("+points+", 0 d).k"), 0.4 / 86400}, 1e-12, "", "fit_strength("+points+", (0 d, 0.25 d)).k")
	eachAlone(t, "fit_strength("+points+", {}).r_squared", "0 d", "0.1 d", "0.2 d", "0.25 d", "0.3 d")
	// Over the logarithm: 10 MPa at 1 d and 8 MPa more for each tenfold age.
	const log = "fit_strength_log((1 d, 10 d, 100 d, 1000 d, 10000 d), (10 MPa, 18 MPa, 26 MPa, 34 MPa, 42 MPa))"
	assert.InEpsilon(t, 10, number(t, log+".at_first / 1 MPa"), 1e-9)
	assert.InEpsilon(t, 8, number(t, log+".gain / 1 MPa"), 1e-9)
	states(t, value.Mistake, "fit_strength((1 d, 3 d), (10 MPa, 20 MPa), 0 d)", "fit_strength((1 d, 3 d, 7 d), (10 MPa, 20 MPa, 25 MPa), 1 d)",
		"fit_strength((1 d, 3 d, 7 d), (5 MPa, 30 MPa, 80 MPa), 0 d)", "fit_strength((1 d, 3 d, 7 d), (10 MPa, 20 MPa), 0 d)",
		"fit_strength_log((0 d, 3 d), (10 MPa, 20 MPa))")
	states(t, value.Flagged, "fit_strength((1 d, 3 d, 7 d), (10 MPa, 20 MPa, 28 MPa), 0 d)", "fit_strength_log((1 d, 3 d), (10 MPa, 20 MPa))")
}

// ASTM C1074, annex A1: rates made from a datum or an activation temperature give it back (common practice).
func TestFitTemperatures(t *testing.T) {
	assert.InDelta(t, 270.65, number(t, "fit_datum_temperature((7.5 degC, 22.5 degC, 37.5 degC), (0.2 d^-1, 0.5 d^-1, 0.8 d^-1))"), 1e-9) // -2.5 degC
	const fit = "fit_activation_temperature((8 degC, 23 degC, 38 degC), 0.5 d^-1 * age_conversion_factor((8 degC, 23 degC, 38 degC), activation: 4600 K)) / 1 K"
	assert.InEpsilon(t, 4600, number(t, fit), 1e-9)
	states(t, value.Mistake, "fit_datum_temperature((8 degC, 23 degC, 38 degC), (0.8 d^-1, 0.5 d^-1, 0.2 d^-1))",
		"fit_activation_temperature((8 degC, 23 degC, 38 degC), (0.8 d^-1, 0.5 d^-1, 0.2 d^-1))")
	states(t, value.Flagged, "fit_datum_temperature((8 degC, 23 degC), (0.2 d^-1, 0.5 d^-1))")
}

// When a log reached a target by ASTM C1074, worked out by hand: 300 K*h after 12 h of 25 K, half of the rest after 6 h more (common practice).
func TestTimeReached(t *testing.T) {
	after := func(call string) string {
		return "(" + call + " - 2027-03-01T06:00) / 1 h"
	}
	for target, hours := range map[float64]float64{150: 6, 300: 12, 462: 18, 624: 24} {
		line := after(fmt.Sprintf("maturity_reached(%g K*h, %s)", target, matBrief))
		assert.InEpsilon(t, hours, number(t, line), 1e-6, line)
	}
	targets := after("maturity_reached((150 K*h, 300 K*h, 462 K*h), " + matBrief + ")")
	nearAll(t, []float64{6, 12, 18}, 1e-6, "", targets)
	// What stood below the datum does not count: six hours at 0 degC, six at 20 degC.
	const late = "maturity_reached(60 K*h, (2027-03-01T06:00, 2027-03-01T12:00, 2027-03-01T12:00, 2027-03-01T18:00), (0 degC, 0 degC, 20 degC, 20 degC))"
	assert.InEpsilon(t, 9, number(t, after(late)), 1e-6)
	rate := math.Exp(-5000 * (1/298.15 - 1/293.15))
	assert.InEpsilon(t, 10/rate, number(t, after("equivalent_age_reached(10 h, "+matBrief+")")), 1e-6)
	const times = ", (2027-03-01T06:00, 2027-03-01T18:00, 2027-03-02T06:00), "
	nearAll(t, []float64{18, 6, 24}, 1e-6, "", after("time_reached((15 h, 5 h, 20 h)"+times+"(0 h, 10 h, 20 h))"))
	states(t, value.Mistake, "maturity_reached(625 K*h, "+matBrief+")", "maturity_reached(0 K*h, "+matBrief+")",
		"equivalent_age_reached(40 h, "+matBrief+")", "time_reached(15 h"+times+"(0 h, 20 h, 10 h))", "time_reached(15 h"+times+"(0 h, 20 h))")
}
