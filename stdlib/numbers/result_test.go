package numbers_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

func args(types []kind.Type) []catalogue.Arg {
	var out []catalogue.Arg
	for _, t := range types {
		out = append(out, catalogue.Arg{Type: t, Given: true})
	}
	return out
}

// Source: the section "Kinds" of the language (rulings 12 and 13).
func TestKindsOfResults(t *testing.T) {
	strain := kind.Quantity(kind.Must(pressure.Dim.Div(duration.Dim)))
	rootOfPressure := kind.Quantity(kind.Must(pressure.Dim.Pow(half(t))))
	for _, c := range []struct {
		name string
		args []kind.Type
		want kind.Type
	}{
		{"sum", []kind.Type{mass.ListOf()}, mass},
		{"sum", []kind.Type{euros.ListOf()}, euros},
		{"mean", []kind.Type{temperature.ListOf()}, temperature},
		{"mean", []kind.Type{date.ListOf()}, date},
		{"median", []kind.Type{pallets.ListOf()}, pallets},
		{"deviation", []kind.Type{pressure.ListOf()}, pressure},
		{"deviation", []kind.Type{temperature.ListOf()}, difference},
		{"deviation", []kind.Type{date.ListOf()}, duration},
		{"quantile", []kind.Type{temperature.ListOf(), number}, temperature},
		{"smallest", []kind.Type{date.ListOf()}, date},
		{"largest", []kind.Type{length.ListOf()}, length},
		{"sort", []kind.Type{temperature.ListOf()}, temperature.ListOf()},
		{"product", []kind.Type{number.ListOf()}, number},
		{"parts", []kind.Type{number.ListOf()}, number.ListOf()},
		{"count", []kind.Type{row.ListOf()}, number},
		{"count", []kind.Type{text.ListOf()}, number},
		{"known", []kind.Type{temperature.ListOf()}, temperature.ListOf()},
		{"only", []kind.Type{row.ListOf()}, row},
		{"first", []kind.Type{text.ListOf()}, text},
		{"last", []kind.Type{date.ListOf()}, date},
		{"item", []kind.Type{mass.ListOf(), number}, mass},
		{"any", []kind.Type{truth.ListOf()}, truth},
		{"all", []kind.Type{truth.ListOf()}, truth},
		{"list", []kind.Type{mass}, mass.ListOf()},
		{"otherwise", []kind.Type{text, text}, text},
		{"otherwise", []kind.Type{mass.ListOf(), mass}, mass},
		{"round_up", []kind.Type{length, length}, length},
		{"round_down", []kind.Type{number, number}, number},
		{"nearest", []kind.Type{euros, euros}, euros},
		{"abs", []kind.Type{length}, length},
		{"sign", []kind.Type{difference}, number},
		{"sqrt", []kind.Type{area}, length},
		{"sqrt", []kind.Type{pressure}, rootOfPressure},
		{"exp", []kind.Type{number}, number},
		{"sin", []kind.Type{number}, number},
		{"atan2", []kind.Type{length, length}, number},
		{"hypot", []kind.Type{length, length}, length},
		{"mod", []kind.Type{duration, duration}, duration},
		{"absolute", []kind.Type{temperature}, difference},
		{"interpolate", []kind.Type{duration.ListOf(), pressure.ListOf(), duration}, pressure},
		{"interpolate", []kind.Type{temperature.ListOf(), temperature.ListOf(), temperature}, temperature},
		{"interpolate", []kind.Type{date.ListOf(), mass.ListOf(), date}, mass},
		{"line_fit", []kind.Type{duration.ListOf(), pressure.ListOf()}, kind.Type{Form: kind.Record, Fields: []kind.Field{
			{Name: "slope", Type: strain}, {Name: "intercept", Type: pressure}, {Name: "r_squared", Type: number}}}},
	} {
		got, err := entry(t, c.name).Result(args(c.args))
		require.NoError(t, err, "%s%v", c.name, c.args)
		assert.Equal(t, c.want, got, "%s%v", c.name, c.args)
	}
}

func half(t *testing.T) kind.Exp {
	e, err := kind.Ratio(1, 2)
	require.NoError(t, err)
	return e
}

func TestKindsThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		name string
		args []kind.Type
		says string
	}{
		{"sum", []kind.Type{temperature.ListOf()}, "The sum of temperatures means nothing; mean, smallest and largest do."},
		{"sum", []kind.Type{date.ListOf()}, "The sum of dates means nothing; mean, smallest and largest do."},
		{"sum", []kind.Type{text.ListOf()}, "sum adds numbers; this is a list of text."},
		{"sum", []kind.Type{truth.ListOf()}, "sum adds numbers; this is a list of yes or no. For how many hold, count the rows: count(rows where …)."},
		{"sum", []kind.Type{row.ListOf()}, "sum adds numbers; this is rows (day, mass). Name one column of them."},
		{"mean", []kind.Type{text.ListOf()}, "mean works on a list of numbers, temperatures or dates; this is a list of text."},
		{"median", []kind.Type{truth.ListOf()}, "median works on a list of numbers, temperatures or dates; this is a list of yes or no."},
		{"smallest", []kind.Type{text.ListOf()}, "smallest works on a list of numbers, temperatures or dates; this is a list of text."},
		{"largest", []kind.Type{row.ListOf()}, "largest works on a list of numbers, temperatures or dates; this is rows (day, mass). Name one column of them."},
		{"sort", []kind.Type{text.ListOf()}, "sort works on a list of numbers, temperatures or dates; this is a list of text."},
		{"product", []kind.Type{length.ListOf()}, "product takes plain numbers, because the kind of its result would depend on how many there are; this is a list of length. Divide by a unit first, as product(xs / (1 m))."},
		{"product", []kind.Type{text.ListOf()}, "product takes a list of plain numbers; this is a list of text."},
		{"any", []kind.Type{number.ListOf()}, "any looks at a list of conditions; this is a list of number. Compare its values with something first."},
		{"all", []kind.Type{text.ListOf()}, "all looks at a list of conditions; this is a list of text. Compare its values with something first."},
		{"list", []kind.Type{mass.ListOf()}, "A list holds no lists."},
		{"otherwise", []kind.Type{length, mass}, "otherwise takes two values of one kind; these are a length and a mass."},
		{"round_up", []kind.Type{length, number}, "round_up of a length needs a step of its kind, as round_up(x, 5 mm)."},
		{"round_up", []kind.Type{pallets, number}, "round_up of a count (pallet) needs a step of its kind, as round_up(x, 1 pallet)."},
		{"round_down", []kind.Type{mass, number}, "round_down of a mass needs a step of its kind, as round_down(x, 1 kg)."},
		{"nearest", []kind.Type{euros, number}, "nearest of money (EUR) needs a step of its kind, as nearest(x, 1 EUR)."},
		{"nearest", []kind.Type{pressure, number}, "nearest of a pressure needs a step of its kind, as nearest(x, 1 kg/(m*s^2))."},
		{"round_up", []kind.Type{duration, number}, "round_up of a time needs a step of its kind, as round_up(x, 1 h)."},
		{"round_up", []kind.Type{length, mass}, "round_up takes two values of one kind; these are a length and a mass."},
		{"round_up", []kind.Type{number, mass}, "round_up takes two values of one kind; these are a number and a mass."},
		{"round_up", []kind.Type{text, number}, "round_up works on numbers; this is a text."},
		{"nearest", []kind.Type{date, duration}, "nearest works on numbers; this is a date. Take another date away for the time between them."},
		{"abs", []kind.Type{temperature}, "abs works on numbers; this is a temperature. Use absolute(T) for kelvin, or the difference of two temperatures."},
		{"sign", []kind.Type{text}, "sign works on numbers; this is a text."},
		{"sqrt", []kind.Type{date}, "sqrt works on numbers; this is a date. Take another date away for the time between them."},
		{"hypot", []kind.Type{length, mass}, "hypot takes two values of one kind; these are a length and a mass."},
		{"atan2", []kind.Type{length, number}, "atan2 takes two values of one kind; these are a length and a number."},
		{"mod", []kind.Type{mass, temperature}, "mod works on numbers; this is a temperature. Use absolute(T) for kelvin, or the difference of two temperatures."},
		{"interpolate", []kind.Type{duration.ListOf(), pressure.ListOf(), length}, "at of interpolate is of the kind of the xs; at is a length, the xs are a list of time."},
		{"interpolate", []kind.Type{text.ListOf(), pressure.ListOf(), text}, "interpolate works on a list of numbers, temperatures or dates; this is a list of text."},
		{"interpolate", []kind.Type{duration.ListOf(), text.ListOf(), duration}, "interpolate works on a list of numbers, temperatures or dates; this is a list of text."},
		{"line_fit", []kind.Type{date.ListOf(), pressure.ListOf()}, "line_fit works on lists of numbers; this is a list of date. Use the time since the first, as xs - first(xs)."},
		{"line_fit", []kind.Type{duration.ListOf(), temperature.ListOf()}, "line_fit works on lists of numbers; this is a list of temperature. Use absolute(T) for kelvin, or differences from one temperature."},
		{"line_fit", []kind.Type{duration.ListOf(), text.ListOf()}, "line_fit works on lists of numbers; this is a list of text."},
	} {
		_, err := entry(t, c.name).Result(args(c.args))
		assert.EqualError(t, err, c.says, "%s%v", c.name, c.args)
	}
}

// A bare number is refused where an angle stands, as sin(30): the parameter says so by its mark (ruling 12).
func TestAnglesAreMarked(t *testing.T) {
	for _, name := range []string{"sin", "cos", "tan"} {
		assert.Equal(t, "deg", entry(t, name).Params[0].Marked, name)
	}
	for _, name := range []string{"asin", "acos", "atan", "exp", "ln", "log10"} {
		p := entry(t, name).Params[0]
		assert.Empty(t, p.Marked, name)
		assert.Equal(t, number, *p.Type, "%s takes plain numbers alone", name)
	}
}
