package numbers_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/stdlib/numbers"
)

// The kinds that the tables use.
var (
	number      = kind.Quantity(kind.One)
	length      = kind.Quantity(kind.Of(kind.Length))
	area        = kind.Quantity(kind.Make(map[kind.Base]int{kind.Length: 2}))
	mass        = kind.Quantity(kind.Of(kind.Mass))
	duration    = kind.Quantity(kind.Of(kind.Time))
	pressure    = kind.Quantity(kind.Make(map[kind.Base]int{kind.Length: -1, kind.Mass: 1, kind.Time: -2}))
	difference  = kind.Quantity(kind.Of(kind.Temperature))
	euros       = kind.Quantity(kind.Money("EUR"))
	pallets     = kind.Quantity(kind.Count("pallet"))
	temperature = kind.Type{Form: kind.Point, Dim: kind.Of(kind.Temperature)}
	date        = kind.Type{Form: kind.Date}
	text        = kind.Type{Form: kind.Text}
	truth       = kind.Type{Form: kind.Truth}
	row         = kind.Type{Form: kind.Record, Fields: []kind.Field{{Name: "day", Type: date}, {Name: "mass", Type: mass}}}
)

func entry(t *testing.T, name string) *catalogue.Func {
	t.Helper()
	for _, f := range numbers.Funcs() {
		if f.Name == name {
			return f
		}
	}
	require.Fail(t, "there is no function "+name)
	return nil
}

// call works a function of whole lists out.
func call(t *testing.T, name string, args ...[]float64) (value.Column, error) {
	t.Helper()
	var cols []value.Column
	for _, a := range args {
		cols = append(cols, value.Nums(a...))
	}
	return entry(t, name).Call(cols)
}

// near compares two numbers within a share of the wanted one, or of 1 where that is 0.
func near(t *testing.T, want, got, share float64, about ...any) {
	t.Helper()
	size := math.Abs(want)
	if size == 0 {
		size = 1
	}
	assert.InDelta(t, want, got, share*size, about...)
}
