package kind

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestExponents(t *testing.T) {
	cases := []struct {
		num, den int64
		want     string
	}{{1, 2, "(1/2)"}, {2, 4, "(1/2)"}, {-3, -6, "(1/2)"}, {3, -6, "(-1/2)"}, {6, 3, "2"}, {0, 5, "0"}}
	for _, c := range cases {
		e, err := Ratio(c.num, c.den)
		require.NoError(t, err)
		assert.Equal(t, c.want, e.String())
	}
	assert.Equal(t, Exp{}, Int(0), "the zero value is 0")
	for _, c := range [][2]int64{{1, 0}, {20000, 1}, {1, 20000}} {
		_, err := Ratio(c[0], c[1])
		assert.ErrorIs(t, err, ErrPower)
	}
}

// Names are those of ISO 80000-3 (space and time), -4 (mechanics) and -5 (thermodynamics), from memory.
func TestNames(t *testing.T) {
	m, kg, s := Of(Length), Of(Mass), Of(Time)
	per := func(a, b Dim) Dim { return Must(a.Div(b)) }
	area := Must(m.Mul(m))
	volume := Must(area.Mul(m))
	newton := per(Must(kg.Mul(m)), Must(s.Mul(s)))
	cases := []struct {
		dim    Dim
		name   string
		symbol string
	}{
		{One, "number", "1"},
		{area, "area", "m^2"},
		{per(kg, volume), "density", "kg/m^3"},
		{newton, "force", "kg*m/s^2"},
		{per(newton, area), "pressure", "kg/(m*s^2)"},
		{per(One, s), "frequency", "s^-1"},
		{Money("EUR"), "money (EUR)", "EUR"},
		{Count("pallet"), "count (pallet)", "pallet"},
		{per(Money("EUR"), kg), "money (EUR) per mass", "EUR/kg"},
		{per(Money("USD"), Money("EUR")), "money (USD) per money (EUR)", "USD/EUR"},
		{per(Must(kg.Mul(kg)), m), "kg^2/m", "kg^2/m"},
	}
	for _, c := range cases {
		assert.Equal(t, c.name, c.dim.String())
		assert.Equal(t, c.symbol, c.dim.Symbol())
	}
	for _, e := range Entries {
		d, ok := Lookup(e.Name)
		assert.True(t, ok && d == e.Dim, e.Name)
	}
	_, ok := Lookup("heaviness")
	assert.False(t, ok)
}

func TestTypesInSentences(t *testing.T) {
	length := Quantity(Of(Length))
	cases := []struct {
		t    Type
		want string
	}{
		{length, "a length"}, {length.ListOf(), "a list of length"}, {Quantity(Must(Of(Length).Pow(Int(2)))), "an area"},
		{Type{Form: Truth}, "a yes or no"}, {Type{Form: Outline}, "an outline"}, {Type{Form: Step}, "a path step"}, {Quantity(Money("USD")), "money (USD)"},
		{Type{Form: Point}, "a temperature"}, {Type{Form: Text}, "a text"},
		{Type{Form: Record, Fields: []Field{{"a", length}, {"b", length}}}, "a record (a, b)"},
	}
	for _, c := range cases {
		assert.Equal(t, c.want, c.t.Article())
	}
}

func TestAlgebra(t *testing.T) {
	dims := []Dim{One, Of(Length), Of(Mass), Of(Time), Money("EUR"), Count("bag"), Must(Of(Length).Pow(Int(3)))}
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.SampledFrom(dims).Draw(t, "a"), rapid.SampledFrom(dims).Draw(t, "b")
		ab := Must(a.Mul(b))
		assert.Equal(t, ab, Must(b.Mul(a)))
		assert.Equal(t, a, Must(ab.Div(b)))
		assert.Equal(t, One, Must(a.Div(a)))
		half, _ := Ratio(1, 2)
		assert.Equal(t, a, Must(Must(a.Mul(a)).Pow(half)))
	})
	_, err := Must(Of(Length).Pow(Int(9000))).Mul(Must(Of(Length).Pow(Int(9000))))
	assert.ErrorIs(t, err, ErrPower)
}
