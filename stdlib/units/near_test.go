package units

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestNear(t *testing.T) {
	for _, c := range []struct{ wrong, want string }{
		{"Kg", "kg"}, {"MM", "mm"}, {"mPa", "MPa"}, {"Mpa", "MPa"}, {"KPA", "kPa"}, {"KN", "kN"}, {"Gpa", "GPa"},
		{"ML", "mL"}, {"KWH", "kWh"}, {"Mj", "MJ"}, {"Um", "um"}, {"IN", "in"}, {"Lb", "lb"}, {"PSI", "psi"},
		{"usd", "USD"}, {"eur", "EUR"}, {"EUT", "EUR"}, {"dollars", "USD"}, {"euros", "EUR"},
		{"milimetre", "millimetre"}, {"killogram", "kilogram"}, {"galon", "gallon"}, {"inchs", "inches"},
		{"lbm", "lb"}, {"kgs", "kg"}, {"kph", "km/h"}, {"sqm", "m^2"}, {"F", "degF"}, {"degc", "degC"}, {"pcff", "pcf"},
		{"boardft", "board_ft"}, {"newtonn", "newton"}, {"megapascl", "megapascal"},
	} {
		assert.Contains(t, New().Near(c.wrong), c.want, "for %s", c.wrong)
	}
	for _, symbol := range commonlyPrefixed {
		assert.Contains(t, New().candidates, symbol)
	}
	assert.Empty(t, New().Near("wheelbarrow"))
	assert.Empty(t, New().Near("字"), "no single letter is near to another")
}

// TestNearGivesUnits checks that what is offered for a misspelt name is read, whatever the name.
func TestNearGivesUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[A-Za-z_µ°]{0,12}`).Draw(t, "name")
		near := New().Near(name)
		if len(near) > 3 {
			t.Fatalf("%q: more than three offers, %v", name, near)
		}
		for _, n := range near {
			if _, ok := New().Unit(n); !ok && meant[strings.ToLower(name)] == nil {
				t.Fatalf("%q: %q is offered and not read", name, n)
			}
			if n == name {
				t.Fatalf("%q is offered for itself", name)
			}
		}
	})
}

// TestMeant checks that what people write is no unit, and that what is offered instead is.
func TestMeant(t *testing.T) {
	for name, offers := range meant {
		_, ok := New().Unit(name)
		if name != "nm" { // a length, given where a torque is wanted
			assert.False(t, ok, "%s is a unit", name)
		}
		for _, o := range offers {
			if o != "%" {
				compound(t, o)
			}
		}
	}
}
