package numbers_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
)

// about repeats a pair of values 500 times behind a first one, as the data sets NumAcc2 to NumAcc4 do.
func about(first, low, high float64) []float64 {
	out := []float64{first}
	for range 500 {
		out = append(out, low, high)
	}
	return out
}

// The twenty temperatures of JCGM 100:2008, table 1, in degrees Celsius (from memory).
var twentyTemperatures = []float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
	100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72}

func TestDeviation(t *testing.T) {
	dates := []float64{1804118400, 1804118400 + 86400, 1804118400 + 2*86400}
	for _, c := range []struct {
		source string
		xs     []float64
		want   float64
		share  float64 // by which it may differ
	}{
		{"NIST StRD, NumAcc1, certified (from memory)", []float64{10000001, 10000003, 10000002}, 1, 1e-14},
		{"NIST StRD, NumAcc2, certified (from memory)", about(1.2, 1.1, 1.3), 0.1, 1e-14},
		// The data themselves are off by a last digit, some 1e-10 and 1e-9: the certified value cannot be met closer.
		{"NIST StRD, NumAcc3, certified (from memory)", about(1000000.2, 1000000.1, 1000000.3), 0.1, 2e-9},
		{"NIST StRD, NumAcc4, certified (from memory)", about(10000000.2, 10000000.1, 10000000.3), 0.1, 2e-8},
		{"JCGM 100:2008, 4.4.3: s = 1.489, printed to three decimals (from memory)", twentyTemperatures, 1.489, 5e-4 / 1.489},
		{"by hand: squares 32, over 7", []float64{2, 4, 4, 4, 5, 5, 7, 9}, math.Sqrt(32. / 7), 1e-15},
		{"by hand: two values, the gap over the root of 2", []float64{3, 5}, math.Sqrt2, 1e-15},
		{"squares below the smallest float, by hand", []float64{3e-200, 5e-200}, math.Sqrt2 * 1e-200, 1e-15},
		{"squares beyond the largest float, by hand", []float64{3e200, 5e200}, math.Sqrt2 * 1e200, 1e-15},
		{"equal values have no spread", []float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1}, 0, 0},
		{"by hand: three days in a row, in seconds", dates, 86400, 1e-14},
	} {
		got, err := call(t, "deviation", c.xs)
		require.NoError(t, err, c.source)
		near(t, c.want, got.Num[0], c.share, c.source)
	}
}

func TestMedian(t *testing.T) {
	for _, c := range []struct {
		source string
		xs     []float64
		want   float64
	}{
		{"by hand, odd", []float64{5, 1, 3}, 3},
		{"by hand, even", []float64{1, 5, 3, 11}, 4},
		{"by hand, one", []float64{7}, 7},
		{"NIST StRD, NumAcc1 (from memory)", []float64{10000001, 10000003, 10000002}, 10000002},
		{"JCGM 100:2008, table 1: between the tenth and the eleventh, by hand", twentyTemperatures, 100.20},
	} {
		got, err := call(t, "median", c.xs)
		require.NoError(t, err, c.source)
		near(t, c.want, got.Num[0], 1e-15, c.source)
	}
}

// Source: definition 7 of Hyndman and Fan (1996), place 1 + p (n - 1), worked by hand.
func TestQuantile(t *testing.T) {
	four := []float64{4, 1, 3, 2}
	for _, c := range []struct {
		xs      []float64
		p, want float64
	}{
		{four, 0, 1}, {four, 0.25, 1.75}, {four, 0.5, 2.5}, {four, 0.75, 3.25}, {four, 1, 4},
		{[]float64{1, 2, 3, 4, 5}, 0.25, 2}, {[]float64{1, 2, 3, 4, 5}, 0.9, 4.6},
		{[]float64{10, 20}, 0.05, 10.5}, {[]float64{7}, 0.3, 7}, {[]float64{-3, -1}, 0.5, -2},
	} {
		got, err := call(t, "quantile", c.xs, []float64{c.p})
		require.NoError(t, err)
		near(t, c.want, got.Num[0], 1e-15, "quantile(%v, %v)", c.xs, c.p)
	}
}

func TestSamplesThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		name string
		args [][]float64
		says string
	}{
		{"median", [][]float64{{}}, "The median of nothing is not known. The list is empty."},
		{"deviation", [][]float64{{}}, "The deviation of a sample needs at least two values; here is 0."},
		{"deviation", [][]float64{{3}}, "The deviation of a sample needs at least two values; here is 1."},
		{"quantile", [][]float64{{}, {0.5}}, "The quantile of nothing is not known. The list is empty."},
		{"quantile", [][]float64{{1, 2}, {25}}, "The share p of a quantile lies from 0% to 100%; here it is 2500%."},
		{"quantile", [][]float64{{1, 2}, {-0.1}}, "The share p of a quantile lies from 0% to 100%; here it is -10%."},
		{"quantile", [][]float64{{1, 2}, {math.NaN()}}, "The share p of a quantile lies from 0% to 100%; here it is NaN%."},
	} {
		_, err := call(t, c.name, c.args...)
		assert.EqualError(t, err, c.says, "%s%v", c.name, c.args)
	}
}

func TestSampleProperties(t *testing.T) {
	quantile, median, deviation := entry(t, "quantile").Call, entry(t, "median").Call, entry(t, "deviation").Call
	rapid.Check(t, func(t *rapid.T) {
		xs := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 2, 40).Draw(t, "xs")
		q := func(p float64) float64 {
			out, err := quantile([]value.Column{value.Nums(xs...), value.One(p)})
			if err != nil {
				t.Fatal(err)
			}
			return out.Num[0]
		}
		p, r := rapid.Float64Range(0, 1).Draw(t, "p"), rapid.Float64Range(0, 1).Draw(t, "r")
		if q(min(p, r)) > q(max(p, r)) {
			t.Fatalf("the quantiles at %v and %v fall", p, r)
		}
		if q(0) != slices.Min(xs) || q(1) != slices.Max(xs) {
			t.Fatal("the quantiles do not begin and end with the sample")
		}
		m, err := median([]value.Column{value.Nums(xs...)})
		if err != nil || math.Abs(m.Num[0]-q(0.5)) > 1e-9 {
			t.Fatalf("the median is %v, the quantile at 50%% is %v", m.Num, q(0.5))
		}
		// Popoviciu: the variance over n is at most a quarter of the square of the range.
		s, err := deviation([]value.Column{value.Nums(xs...)})
		n := float64(len(xs))
		if most := (q(1) - q(0)) / 2 * math.Sqrt(n/(n-1)); err != nil || s.Num[0] > most*(1+1e-12) {
			t.Fatalf("the deviation is %v, more than %v", s.Num, most)
		}
	})
}
