package units

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/lang/kind"
)

// TestUsualFits works out the usual unit of every kind that has a name, and finds that kind again.
func TestUsualFits(t *testing.T) {
	for _, e := range kind.Entries {
		for _, us := range []bool{false, true} {
			text := New().Usual(kind.Number, e.Dim, us)
			if e.Dim.IsOne() {
				assert.Empty(t, text, "a plain number has no unit")
				continue
			}
			if assert.NotEmpty(t, text, e.Name) {
				_, dim := compound(t, text)
				assert.Equal(t, e.Dim, dim, "%s in %s", e.Name, text)
			}
		}
	}
	assert.Len(t, usualByDim, len(usualUnits), "a kind of the table is not known or stands twice")
	assert.Len(t, perByDim, len(perUnits))
}

func TestUsual(t *testing.T) {
	lookup := func(name string) kind.Dim {
		d, ok := kind.Lookup(name)
		assert.True(t, ok, name)
		return d
	}
	over := func(a, b kind.Dim) kind.Dim { return kind.Must(a.Div(b)) }
	eur, usd, pallet, worker := kind.Money("EUR"), kind.Money("USD"), kind.Count("pallet"), kind.Count("worker")
	for _, c := range []struct {
		name       string
		dim        kind.Dim
		metric, us string
	}{
		{"length", lookup("length"), "mm", "in"},
		{"volume", lookup("volume"), "L", "ft^3"},
		{"pressure", lookup("pressure"), "kPa", "psi"},
		{"force per volume", lookup("force per volume"), "kN/m^3", "lbf/ft^3"},
		{"evaporation", lookup("mass flow per area"), "kg/(m^2*h)", "lb/(ft^2*h)"},
		{"money", eur, "EUR", "EUR"},
		{"count", pallet, "pallet", "pallet"},
		{"price by volume", over(eur, lookup("volume")), "EUR/m^3", "EUR/ft^3"},
		{"price by mass", over(usd, lookup("mass")), "USD/kg", "USD/lb"},
		{"wage", over(usd, lookup("time")), "USD/h", "USD/h"},
		{"price of a pallet", over(eur, pallet), "EUR/pallet", "EUR/pallet"},
		{"rate of exchange", over(usd, eur), "USD/EUR", "USD/EUR"},
		{"mass of a pallet", over(lookup("mass"), pallet), "kg/pallet", "lb/pallet"},
		{"pallets a day", over(pallet, lookup("time")), "pallet/h", "pallet/h"},
		{"pallets for one and an hour", over(pallet, kind.Must(worker.Mul(lookup("time")))), "pallet/(worker*h)", "pallet/(worker*h)"},
		{"one for each pallet", over(kind.One, pallet), "pallet^-1", "pallet^-1"},
		{"density of a pallet", over(lookup("density"), pallet), "", ""},
		{"square of money", kind.Must(eur.Mul(eur)), "", ""},
		{"number", kind.One, "", ""},
		{"nothing with a name", kind.Make(map[kind.Base]int{kind.Length: 7}), "", ""},
	} {
		assert.Equal(t, c.metric, New().Usual(kind.Number, c.dim, false), c.name)
		assert.Equal(t, c.us, New().Usual(kind.Number, c.dim, true), c.name)
	}
	kelvin := kind.Of(kind.Temperature)
	assert.Equal(t, "degC", New().Usual(kind.Point, kelvin, false))
	assert.Equal(t, "degF", New().Usual(kind.Point, kelvin, true))
	assert.Equal(t, "K", New().Usual(kind.Number, kelvin, false))
	assert.Equal(t, "Fdeg", New().Usual(kind.Number, kelvin, true))
	for _, form := range []kind.Form{kind.Date, kind.Truth, kind.Text, kind.Place, kind.Outline, kind.Solid, kind.Record, kind.Step} {
		assert.Empty(t, New().Usual(form, kind.One, false))
	}
}
