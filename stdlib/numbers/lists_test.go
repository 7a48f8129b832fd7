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

func TestFunctionsOfAList(t *testing.T) {
	for _, c := range []struct {
		name   string
		xs     []float64
		want   []float64
		source string
	}{
		{"smallest", []float64{3, -2, 5}, []float64{-2}, "definition"},
		{"smallest", []float64{7}, []float64{7}, "definition"},
		{"largest", []float64{3, -2, 5, 5}, []float64{5}, "definition"},
		{"largest", []float64{-7, -9}, []float64{-7}, "definition"},
		{"sort", []float64{3, -1, 2, 2}, []float64{-1, 2, 2, 3}, "definition"},
		{"sort", nil, []float64{}, "definition"},
		{"product", []float64{2, 3, 4}, []float64{24}, "closed form"},
		{"product", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, []float64{3628800}, "10!"},
		{"product", nil, []float64{1}, "the empty product, ISO 80000-2 (from memory)"},
		{"parts", []float64{1, 2, 3}, []float64{1. / 6, 2. / 6, 3. / 6}, "closed form"},
		{"parts", []float64{100}, []float64{1}, "closed form"},
		{"parts", []float64{0, 1}, []float64{0, 1}, "closed form"},
		{"parts", []float64{1, 1, 1, 1}, []float64{0.25, 0.25, 0.25, 0.25}, "closed form"},
	} {
		got, err := call(t, c.name, c.xs)
		require.NoError(t, err, "%s%v", c.name, c.xs)
		assert.Equal(t, c.want, got.Num, "%s%v, %s", c.name, c.xs, c.source)
	}
}

func TestListsThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		name string
		xs   []float64
		says string
	}{
		{"smallest", nil, "The smallest of nothing is not known. The list is empty."},
		{"largest", nil, "The largest of nothing is not known. The list is empty."},
		{"parts", nil, "The parts of nothing are not known. At least one number must be larger than 0."},
		{"parts", []float64{0, 0}, "The parts of nothing are not known. At least one number must be larger than 0."},
		{"parts", []float64{3, -1}, "A part is not below 0; here is -1."},
		{"parts", []float64{1e308, 1e308}, "The sum of these parts is too large for a number."},
	} {
		_, err := call(t, c.name, c.xs)
		assert.EqualError(t, err, c.says, "%s%v", c.name, c.xs)
	}
}

// A column of the engine is shared; a function does not change the one that it is given.
func TestListsAreLeftAsTheyWere(t *testing.T) {
	for _, name := range []string{"sort", "median", "deviation", "smallest", "product", "parts"} {
		xs := []float64{3, 1, 2}
		_, err := call(t, name, xs)
		require.NoError(t, err)
		assert.Equal(t, []float64{3, 1, 2}, xs, name)
	}
}

func TestListProperties(t *testing.T) {
	sorting, parting := entry(t, "sort").Call, entry(t, "parts").Call
	rapid.Check(t, func(t *rapid.T) {
		xs := rapid.SliceOfN(rapid.Float64Range(0, 1e6), 1, 40).Draw(t, "xs")
		out, err := sorting([]value.Column{value.Nums(xs...)})
		if err != nil || !slices.IsSorted(out.Num) {
			t.Fatalf("sort gives %v, %v", out.Num, err)
		}
		count := map[float64]int{}
		for i := range xs {
			count[xs[i]]++
			count[out.Num[i]]--
		}
		for x, n := range count {
			if n != 0 {
				t.Fatalf("sort loses or adds %v", x)
			}
		}
		shares, err := parting([]value.Column{value.Nums(append(xs, 1)...)})
		if err != nil {
			t.Fatal(err)
		}
		total := 0.0
		for _, s := range shares.Num {
			total += s
		}
		if math.Abs(total-1) > 1e-13 {
			t.Fatalf("the parts add up to %v", total)
		}
	})
}
