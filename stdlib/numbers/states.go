package numbers

import (
	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

// states lists what stands in for a mistake, and what makes a number of a temperature.
func states() []*catalogue.Func {
	point := kind.Type{Form: kind.Point, Dim: temperature}
	return []*catalogue.Func{
		{Name: "otherwise", Family: "lists", About: "x, or y where x is a mistake; the value is then flagged. An open x stays open.", Source: practice,
			Params: []catalogue.Param{{Name: "x"}, {Name: "y"}}, Special: catalogue.Otherwise, Examples: example("otherwise(ln(2 - 2), 7)", "7"),
			Result: func(a []catalogue.Arg) (kind.Type, error) {
				if !a[0].Type.Elem().Same(a[1].Type.Elem()) {
					return kind.Type{}, sentence("otherwise takes two values of one kind; these are %s and %s.", a[0].Type.Elem().Article(), a[1].Type.Elem().Article())
				}
				return a[0].Type.Elem(), nil
			}},
		{Name: "absolute", Family: "numbers", About: "A temperature above absolute zero, in kelvin, for products and ratios.", Source: "SI Brochure, 9th edition (2019), 2.3.1",
			Params: []catalogue.Param{{Name: "T", Type: &point}}, Lane1: func(t float64) float64 { return t }, Examples: example("absolute(20 degC) [0.01 K]", "293.15 K"),
			Result: always(kind.Quantity(temperature))},
	}
}
