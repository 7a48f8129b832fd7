package numbers_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/stdlib/dates"
	"castwright/stdlib/numbers"
)

// Each entry has the facts that a rule carries, and exactly one way to be worked out.
func TestEntriesAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range append(numbers.Funcs(), dates.Funcs()...) {
		t.Run(f.Name, func(t *testing.T) {
			assert.False(t, seen[f.Name], "the name stands twice")
			seen[f.Name] = true
			assert.NotEmpty(t, f.Family)
			assert.NotEmpty(t, f.About)
			assert.NotEmpty(t, f.Source)
			assert.NotEmpty(t, f.Params)
			assert.NotNil(t, f.Result)
			ways := 0
			for _, there := range []bool{f.Lane1 != nil, f.Lane2 != nil, f.Call != nil, f.Special != 0} {
				if there {
					ways++
				}
			}
			assert.Equal(t, 1, ways, "ways to be worked out")
			switch {
			case f.Lane1 != nil:
				assert.Len(t, f.Params, 1)
			case f.Lane2 != nil:
				assert.Len(t, f.Params, 2)
			}
		})
	}
	// The fixed set of language.md, without those that look along the rows of a table.
	for _, name := range []string{"sum", "product", "mean", "median", "deviation", "quantile", "smallest", "largest", "count", "known",
		"only", "first", "last", "item", "sort", "round_up", "round_down", "nearest", "abs", "sqrt", "exp", "ln", "log10", "sin", "cos", "tan",
		"asin", "acos", "atan", "atan2", "hypot", "mod", "sign", "interpolate", "line_fit", "any", "all", "absolute", "otherwise", "list",
		"workdays", "month_later", "parts", "year_of", "month_of", "day_of", "weekday_of"} {
		assert.True(t, seen[name], "%s is missing", name)
	}
}
