package stdlib_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
)

// The measured strengths of this file are of an open data set: I-C. Yeh, "Modeling of strength of high-performance
// concrete using artificial neural networks", Cement and Concrete Research 28(12), 1998, 1797-1808; data "Concrete
// Compressive Strength", licence CC BY 4.0 (title of the paper and licence from memory). It is an extract: of its 1030
// rows those without slag, fly ash and superplasticizer, a mix a row, repeated rows once, mixes not tested at 28 d left
// out. Nothing was smoothed: 9.01 MPa at 7 d, below the 3 d test of the same mix, and 22.49 MPa at a ratio of 0.49 are
// so in the data.
//
// What is expected of them was worked out outside, from the data file: least squares with gonum v0.17.0 (stat and
// optimize), means, deviations and quantiles with the module statistics of Python 3.11 (method "inclusive").
const openMixes = `
table mixes
  cement [kg/m^3] | water [kg/m^3] | coarse [kg/m^3] | sand [kg/m^3] | at_3 [MPa] | at_7 [MPa] | at_14 [MPa] | at_28 [MPa] | at_90 [MPa] | at_180 [MPa]
  200   | 180   | 1125   | 845   |       | 7.84  |       | 12.25 |       |
  225   | 181   | 1113   | 833   |       | 11.17 |       | 17.34 |       |
  236   | 194   | 968    | 885   | 6.47  |       | 12.84 | 18.42 | 21.95 |
  238   | 185   | 1118   | 789   |       |       |       | 17.54 |       |
  238   | 186   | 1119   | 789   |       | 12.05 |       | 17.54 |       |
  238.1 | 185.7 | 1118.8 | 789.3 |       | 10.34 |       | 17.58 |       |
  250   | 182   | 1100   | 820   |       | 12.73 |       | 20.87 |       |
  252   | 185   | 1111   | 784   |       | 13.71 |       | 19.69 |       |
  252.5 | 185.7 | 1111.6 | 784.3 |       | 11.48 |       | 19.77 |       |
  255   | 192   | 889.8  | 945   | 8.2   | 10.22 |       | 18.75 | 21.86 |
  275   | 183   | 1088   | 808   |       | 14.2  |       | 24.5  |       |
  277   | 191   | 968    | 856   | 11.36 |       | 21.26 | 25.97 | 31.25 | 32.33
  281   | 185   | 1104   | 774   |       |       |       | 22.44 |       |
  281   | 186   | 1104   | 774   |       | 14.5  |       | 22.44 |       |
  289   | 192   | 913.2  | 895.3 | 11.65 | 14.6  |       | 25.57 | 32.07 |
  295   | 185   | 1069   | 769   |       | 14.8  |       | 25.18 |       |
  295.8 | 185.7 | 1091.4 | 769.3 |       | 14.84 |       | 25.22 |       |
  296   | 186   | 1090   | 769   |       | 18.91 |       | 25.18 |       |
  296   | 192   | 1085   | 765   |       | 14.2  |       | 21.65 | 29.39 |
  300   | 184   | 1075   | 795   |       | 15.58 |       | 26.85 |       |
  302   | 203   | 974    | 817   |       |       | 18.13 | 21.75 |       | 26.74
  307   | 193   | 968    | 812   | 12.54 |       |       | 27.53 | 32.92 | 34.49
  310   | 192   | 970    | 850   |       | 14.99 |       | 27.92 | 34.68 | 37.33
  310   | 192   | 1012   | 830   | 11.85 | 17.24 |       | 27.83 | 35.76 |
  322   | 203   | 974    | 800   |       |       | 20.77 | 25.18 |       | 29.59
  325   | 184   | 1063   | 783   |       | 17.54 |       | 30.57 |       |
  331   | 192   | 978    | 825   | 13.52 | 16.26 |       | 31.45 | 37.23 | 39
  331   | 192   | 1025   | 821   | 14.31 | 17.44 |       | 31.74 | 37.91 |
  333   | 192   | 931.2  | 842.6 | 15.62 | 23.4  |       | 31.97 | 41.68 |
  339   | 185   | 1060   | 754   |       |       |       | 31.65 |       |
  339   | 185   | 1069   | 754   |       | 21.16 |       | 31.84 |       |
  339   | 197   | 968    | 781   | 13.22 | 20.97 | 27.04 | 32.04 | 35.17 | 36.45
  339.2 | 185.7 | 1069.2 | 754.3 |       | 21.18 |       | 31.9  |       |
  349   | 192   | 1047   | 806   | 14.99 | 18.13 |       | 32.72 | 39.49 | 41.05
  349   | 192   | 1056   | 809   | 15.87 | 9.01  |       | 33.61 | 40.66 |
  350   | 186   | 1050   | 770   |       | 20.28 |       | 34.29 |       |
  350   | 203   | 974    | 775   |       | 18.13 | 22.53 | 27.34 | 31.35 | 32.72
  375   | 186   | 1038   | 758   |       | 26.06 |       | 38.21 |       |
  376   | 214.6 | 1003.5 | 762.4 | 16.28 |       | 25.62 | 31.97 |       |
  381.4 | 185.7 | 1104.6 | 784.3 |       | 14.54 |       | 22.49 |       |
  382   | 185   | 1047   | 739   |       | 24    |       | 37.42 |       |
  382   | 186   | 1047   | 739   |       | 24    |       | 37.42 |       |
  382.5 | 185.7 | 1047.8 | 739.3 |       | 24.07 |       | 37.44 |       |
  385   | 186   | 966    | 763   | 14.7  | 23.22 | 27.92 | 31.35 |       |
  393   | 192   | 940    | 758   | 19.11 |       |       | 39.58 | 48.79 |
  393   | 192   | 940.6  | 785.6 | 19.2  | 27.74 |       | 39.6  | 48.85 |
  397   | 185   | 1040   | 734   |       |       |       | 39.09 |       |
  397   | 185.7 | 1040.6 | 734.3 |       | 25.45 |       | 33.08 |       |
  397   | 186   | 1040   | 734   |       |       |       | 36.94 |       |
  400   | 187   | 1025   | 745   |       | 30.14 |       | 43.7  |       |
  405   | 175   | 1120   | 695   |       |       |       | 52.3  |       |
  436   | 218   | 838.4  | 719.7 |       |       |       | 23.85 |       |
  475   | 228   | 932    | 594   |       | 38.6  |       | 39.29 | 42.23 | 42.62
  480   | 192   | 936    | 721   | 24.39 |       |       | 43.89 | 54.28 |
  480   | 192   | 936.2  | 712.2 | 24.4  | 34.57 |       | 43.94 | 54.32 |
  485   | 146   | 1120   | 800   |       |       |       | 71.99 |       |
  500   | 200   | 1125   | 613   | 26.06 | 33.21 | 36.94 | 44.09 | 47.22 | 51.04
  522   | 146   | 896    | 896   |       | 50.51 |       | 74.99 |       |
  525   | 189   | 1125   | 613   | 33.8  | 42.42 | 48.4  | 55.94 | 58.78 | 61.92
  540   | 173   | 1125   | 613   | 41.64 | 52.61 | 59.76 | 67.31 | 69.66 | 71.62
end
`

// openNumber works out a line over the mixes; it comes to one number, with nothing against it.
func openNumber(t *testing.T, line string) float64 {
	t.Helper()
	si := numbers(t, openMixes, value.OK, line)
	require.Len(t, si, 1, line)
	return si[0]
}

// openSeries is the strength of one mix of the data set over its age, as tested.
type openSeries struct {
	ages, strengths []float64 // d, MPa
}

// call is a call of a rule with the first n tests of the mix.
func (s openSeries) call(rule string, n int) string {
	var ages, strengths []string
	for i := range n {
		ages, strengths = append(ages, fmt.Sprintf("%g d", s.ages[i])), append(strengths, fmt.Sprintf("%g MPa", s.strengths[i]))
	}
	return fmt.Sprintf("%s((%s), (%s))", rule, strings.Join(ages, ", "), strings.Join(strengths, ", "))
}

// The mixes of plain cement that were tested at seven ages or more, by their cement content.
var (
	open500 = openSeries{[]float64{1, 3, 7, 14, 28, 90, 180, 270}, []float64{12.64, 26.06, 33.21, 36.94, 44.09, 47.22, 51.04, 55.16}}
	open339 = openSeries{[]float64{3, 7, 14, 28, 90, 180, 365}, []float64{13.22, 20.97, 27.04, 32.04, 35.17, 36.45, 38.89}}
	open540 = openSeries{[]float64{3, 7, 14, 28, 90, 180, 270}, []float64{41.64, 52.61, 59.76, 67.31, 69.66, 71.62, 74.17}}
	open525 = openSeries{[]float64{3, 7, 14, 28, 90, 180, 270}, []float64{33.8, 42.42, 48.4, 55.94, 58.78, 61.92, 67.11}}
)

// fits holds the parts of a fit against figures.
func fits(t *testing.T, state value.State, call string, parts map[string]float64) {
	t.Helper()
	for part, want := range parts {
		got := numbers(t, "", state, call+"."+part)
		require.Len(t, got, 1)
		assert.InEpsilon(t, want, got[0], 1e-8, call+"."+part)
	}
}

// Least squares of age over strength against age by gonum, over all tests of a mix and over those up to 28 d. A fit with
// a test above its own ultimate strength is flagged, and so is one of fewer than five tests.
func TestOpenDataFitStrength(t *testing.T) {
	for _, k := range []struct {
		mix                                openSeries
		tests                              int
		state                              value.State
		ultimate, k, half, square, scatter float64
	}{
		{open500, 8, value.Flagged, 54.969452091, 0.151800232, 6.587605194, 0.997147202, 5.067847789},
		{open339, 7, value.OK, 39.302569975, 0.131409922, 7.609775473, 0.999320562, 1.770396381},
		{open540, 7, value.OK, 74.366578380, 0.276578289, 3.615612787, 0.999566840, 4.088819836},
		{open525, 7, value.Flagged, 66.846696939, 0.161392168, 6.196087527, 0.997317033, 6.671378458},
		{open500, 5, value.OK, 47.981520940, 0.331363827, 3.017830915, 0.995903778, 2.015527714},
		{open339, 4, value.Flagged, 38.699129717, 0.169807316, 5.889027756, 0.999892523, 0.189931499},
		{open540, 4, value.Flagged, 73.053565392, 0.381429532, 2.621716245, 0.998800144, 2.317072294},
		{open525, 4, value.Flagged, 61.152495914, 0.338504293, 2.954172279, 0.997369905, 2.651219026},
	} {
		fits(t, k.state, k.mix.call("fit_strength", k.tests), map[string]float64{
			"ultimate / 1 MPa": k.ultimate, "k / 1 d^-1": k.k, "half / 1 d": k.half, "r_squared": k.square, "scatter / 1 MPa": k.scatter,
		})
	}
}

// Least squares of strength against the logarithm of age by gonum.
func TestOpenDataFitStrengthLog(t *testing.T) {
	for _, k := range []struct {
		mix                 openSeries
		tests               int
		state               value.State
		first, gain, square float64
	}{
		{open500, 8, value.OK, 17.157554092, 16.018701575, 0.962824010},
		{open339, 7, value.OK, 16.873370565, 11.659315474, 0.919641465},
		{open540, 7, value.OK, 46.664767139, 15.258933071, 0.906318900},
		{open525, 7, value.OK, 36.569212761, 15.573333339, 0.958635020},
		{open525, 4, value.Flagged, 33.825409180, 22.550027180, 0.998450001},
	} {
		fits(t, k.state, k.mix.call("fit_strength_log", k.tests), map[string]float64{
			"at_first / 1 MPa": k.first, "gain / 1 MPa": k.gain, "r_squared": k.square,
		})
	}
}

// What the fit of the tests up to 28 d is worth: the tests of 90 d and 180 d lie within 10% of its curve, and its scatter
// is at most 1.3 times the least that a hyperbola can have, by gonum optimize (Nelder-Mead over the strengths). Both bands
// are set here. (Over all ages it is up to 2.4 times the least: the straight line gives late tests more weight.)
func TestOpenDataFitForetells(t *testing.T) {
	for _, k := range []struct {
		mix   openSeries
		early int // tests up to 28 d
		state value.State
		least float64 // scatter of the nearest hyperbola
	}{
		{open500, 5, value.OK, 1.764836},
		{open339, 4, value.Flagged, 0.183617},
		{open540, 4, value.Flagged, 1.858918},
		{open525, 4, value.Flagged, 2.179870},
	} {
		fit := k.mix.call("fit_strength", k.early)
		for i, age := range k.mix.ages {
			if age != 90 && age != 180 {
				continue
			}
			line := fmt.Sprintf("strength_at_maturity(%g d, %[2]s.ultimate, %[2]s.k) / 1 MPa", age, fit)
			assert.InEpsilon(t, k.mix.strengths[i], numbers(t, "", k.state, line)[0], 0.10, line)
		}
		scatter := numbers(t, "", k.state, fit+".scatter / 1 MPa")[0]
		assert.GreaterOrEqual(t, scatter, k.least, fit)
		assert.LessOrEqual(t, scatter, 1.3*k.least, fit)
	}
}

// The law of Abrams, strength = A / B^(water/cement), common practice: a straight line of the logarithm of strength at
// 28 d over the ratio, by least squares with gonum.
func TestOpenDataWaterCement(t *testing.T) {
	const line = "line_fit(mixes.water / mixes.cement, ln(mixes.at_28 / 1 MPa))"
	assert.InEpsilon(t, -2.595805989140, openNumber(t, line+".slope"), 1e-11)
	assert.InEpsilon(t, 4.888128882398, openNumber(t, line+".intercept"), 1e-11)
	assert.InEpsilon(t, 0.897821939170, openNumber(t, line+".r_squared"), 1e-11)
	// The mean ratio by Python's statistics; 180/200 = 0.9 of one mix is outside the range of the rule.
	ratio := numbers(t, openMixes, value.Flagged, "mean(water_cement_ratio(mixes.water * 1 m^3, mixes.cement * 1 m^3))")
	assert.InEpsilon(t, 0.573645595251, ratio[0], 1e-11)
	// ACI 211.1-91, table A1.5.3.4(a): its ratio for a strength is to be safe for cements and aggregates at large. It asks
	// for less water than these mixes had for that strength in the mean, but for no more than 10% less (the band is set here).
	share := func(strength float64, entrained string) float64 {
		had := fmt.Sprintf("((ln(%g) - %[2]s.intercept) / %[2]s.slope)", strength, line)
		return openNumber(t, fmt.Sprintf("water_cement_for(%g MPa, %s) / %s", strength, entrained, had))
	}
	for _, strength := range []float64{15, 20, 25, 30, 35, 40} {
		assert.Greater(t, share(strength, "no"), 0.90, strength)
		assert.Less(t, share(strength, "no"), 1.0, strength)
	}
	// The ratios for air-entrained concrete are not theirs.
	assert.Less(t, share(30, "yes"), 0.85)
}

// Means, deviations and quantiles of strengths and of their gain, by Python's statistics; n is how many mixes were tested.
func TestOpenDataStatistics(t *testing.T) {
	for _, k := range []struct {
		list                                                                string
		n                                                                   float64
		mean, median, deviation, q10, q25, q75, q90, q95, smallest, largest float64
	}{
		{"mixes.at_28 / 1 MPa", 60, 32.032666666667, 31.4, 12.768044972876, 18.717, 23.51, 37.425, 43.955, 56.5085, 12.25, 74.99},
		{"known(mixes.at_7) / 1 MPa", 44, 20.864545454545, 17.835, 10.299219535693, 11.263, 14.425, 24.0175, 34.162, 41.847, 7.84, 52.61},
		{"known(mixes.at_7 / mixes.at_28)", 44, 0.646136304471, 0.645171437559, 0.104398464489, 0.550853685122, 0.585995501082, 0.691350021442,
			0.756788341979, 0.779768420205, 9.01 / 33.61, 38.6 / 39.29},
		{"known(mixes.at_90 / mixes.at_28)", 23, 1.191697579776, 1.203311513285, 0.081913043965, 1.071758563677, 1.156269105096, 1.236479704247,
			1.278796272862, 1.301844446110, 69.66 / 67.31, 29.39 / 21.65},
	} {
		for line, want := range map[string]float64{
			"count(%s)": k.n, "mean(%s)": k.mean, "median(%s)": k.median, "deviation(%s)": k.deviation, "smallest(%s)": k.smallest, "largest(%s)": k.largest,
			"quantile(%s, 10%%)": k.q10, "quantile(%s, 25%%)": k.q25, "quantile(%s, 75%%)": k.q75, "quantile(%s, 90%%)": k.q90, "quantile(%s, 95%%)": k.q95,
		} {
			line = fmt.Sprintf(line, k.list)
			assert.InEpsilon(t, want, openNumber(t, line), 1e-11, line)
		}
	}
}

// The gain of strength by the codes against the median gain of the mixes, at five ages. The paper has ordinary portland
// cement, cured in the normal way (from memory): type I, moist of ACI 209R-92 and class S of EN 1992-1-1:2004 stay within
// 10% of it at every age; each other row of the tables leaves that band (it is set here) at one age or more.
func TestOpenDataStrengthGain(t *testing.T) {
	// How far a row lies from the median gain of the mixes: the most over the ages, as a share of it.
	most := func(rule, row string) float64 {
		var far float64
		for _, age := range []int{3, 7, 14, 90, 180} {
			gain := openNumber(t, fmt.Sprintf("%s(%d d, 1 MPa, %s) / 1 MPa", rule, age, row))
			far = math.Max(far, math.Abs(gain/openNumber(t, fmt.Sprintf("median(known(mixes.at_%d / mixes.at_28))", age))-1))
		}
		return far
	}
	for i, concrete := range pubConcretes { // the first is type I, moist
		far := most("strength_at", concrete)
		assert.Equal(t, i == 0, far <= 0.10, "%s: %.3f", concrete, far)
	}
	for _, class := range []string{"R", "N", "S"} {
		far := most("strength_at_en", fmt.Sprintf("%q", class))
		assert.Equal(t, class == "S", far <= 0.10, "%s: %.3f", class, far)
	}
}

// Absolute volumes of ACI 211.1-91, 6.3.7.2, with its usual specific gravities and 2% of trapped air (table 6.3.3, 19 mm):
// the sand that each mix leaves room for against the sand weighed. The difference is by Python's statistics, from the
// data; that it is below 1% of the sand, and the density within 1%, are bands set here.
func TestOpenDataAbsoluteVolumes(t *testing.T) {
	const room = "absolute_volumes(mixes.water, mixes.cement, mixes.coarse, mixing_water(75 mm, 19 mm).air).sand"
	off := openNumber(t, "mean("+room+" - mixes.sand) / 1 kg/m^3")
	assert.InEpsilon(t, 5.320372660507, off, 1e-9)
	assert.Less(t, math.Abs(off), 0.01*openNumber(t, "mean(mixes.sand) / 1 kg/m^3"))
	const weighed = "(mixes.cement + mixes.water + mixes.coarse + mixes.sand)"
	assert.InEpsilon(t, 2344.23, openNumber(t, "mean("+weighed+") / 1 kg/m^3"), 1e-11)
	assert.InDelta(t, 1, openNumber(t, "mean(fresh_density(mixes.cement, mixes.water, 2%, 2.66)) / mean("+weighed+")"), 0.01)
}
