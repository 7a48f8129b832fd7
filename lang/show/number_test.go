package show

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"castwright/lang/kind"
)

// shell.md: the number in the shown unit, unrounded; a share as 8 for 8%, feet and inches in feet.
func TestNumberInTheShownUnit(t *testing.T) {
	point := func(u Unit) *Spec { return &Spec{Form: kind.Point, Units: []Unit{u}} }
	cases := []struct {
		spec *Spec
		si   float64
		want float64
		unit string
	}{
		{&Spec{Percent: true}, 0.08, 8, "%"},
		{&Spec{Percent: true}, 0.29, 29, "%"},
		{&Spec{Percent: true}, 0.07, 7, "%"},
		{of(ft, inch).tape(1, 8), siOf(78, inch), 6.5, "ft"},
		{of(mm).step(1, 1), 0.4304, 430.4, "mm"},
		{of(inch), 0.0127, 0.5, "in"},
		{of(lb), siOf(80, lb), 80, "lb"},
		{point(degC), 296.15, 23, "degC"},
		{point(degC), 273.15, 0, "degC"},
		{point(degF), 283.15, 50, "degF"},
		{point(degF), 255.37222222222223, 0, "degF"},
		{of(Unit{Symbol: "kg/m^3"}), 2350, 2350, "kg/m^3"},
		{of(pal), 3, 3, "pallet"},
		{&Spec{}, 2.0 / 3, 2.0 / 3, ""},
		{nil, 1.5, 1.5, ""},
		{&Spec{Form: kind.Date}, 86400, 86400, ""},
		{&Spec{Form: kind.Truth}, 1, 1, ""},
	}
	for _, c := range cases {
		assert.Equal(t, c.want, c.spec.Number(c.si), "%v in %s", c.si, c.unit)
		assert.Equal(t, c.unit, c.spec.UnitText())
	}
	assert.True(t, math.IsNaN(of(kg).Number(math.NaN())))
}

// A decimal of up to 12 digits written in a unit comes back as that very number.
func TestNumberGivesBackWhatWasWritten(t *testing.T) {
	units := []Unit{m, mm, cm, inch, ft, kg, lb, oz, hour, degC, degF, percent, bag}
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit")
		digits := rapid.Int64Range(-999999999999, 999999999999).Draw(t, "digits")
		places := rapid.IntRange(0, 6).Draw(t, "places")
		if u.Offset != nil { // a temperature: the size of a float near 300 K leaves 12 decimals
			digits %= 1000000
		}
		written := new(big.Rat).Mul(new(big.Rat).SetInt64(digits), tenth(places))
		want, _ := written.Float64()
		s := &Spec{Units: []Unit{u}}
		if got := s.Number(u.si(written)); got != want {
			t.Fatalf("%v %s came back as %v", want, u.Symbol, got)
		}
	})
}
