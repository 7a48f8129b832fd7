package numbers

import (
	"math"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

// elementary lists sizes, signs, roots, powers and remainders.
func elementary() []*catalogue.Func {
	x := []catalogue.Param{{Name: "x"}}
	number := []catalogue.Param{plain("x")}
	ab := []catalogue.Param{{Name: "a"}, {Name: "b"}}
	fs := []*catalogue.Func{
		{Name: "abs", About: "The size of x, without its sign.", Params: x, Lane1: math.Abs, Result: keep("abs"), Examples: example("abs(-3 mm)", "3 mm")},
		{Name: "sign", About: "1 for a value above 0, -1 for one below, 0 for 0.", Params: x, Lane1: sign, Result: signResult, Examples: example("sign(-3 mm)", "-1")},
		{Name: "sqrt", About: "The square root. Its kind is the root of the kind: of an area, a length.", Needs: "x >= 0", Domain: "the square root of a number below 0",
			Params: x, Lane1: math.Sqrt, Result: root, Examples: example("sqrt(9 m^2)", "3000 mm")},
		{Name: "exp", About: "The exponential function, e to the power of x.", Params: number, Lane1: math.Exp, Result: always(one), Domain: "the result is too large for a number", Examples: example("exp(1) [0.001]", "2.718")},
		{Name: "ln", About: "The natural logarithm.", Needs: "x > 0", Domain: "the logarithm of a number that is not above 0",
			Params: number, Lane1: math.Log, Result: always(one), Examples: example("ln(10) [0.0001]", "2.3026")},
		{Name: "log10", About: "The logarithm to the base 10.", Needs: "x > 0", Domain: "the logarithm of a number that is not above 0",
			Params: number, Lane1: math.Log10, Result: always(one), Examples: example("log10(1000)", "3")},
		{Name: "mod", About: "What is left of a when whole times b are taken away (floored division): it has the sign of b. An a that is a whole number of b, by the tolerance of round_up, leaves 0.",
			Needs: "b is not 0", Domain: "the rest of a division by 0", Params: ab, Lane2: mod, Result: keep("mod"), Examples: example("mod(1000 mm, 300 mm)", "100 mm")},
		{Name: "hypot", About: "The diagonal of a rectangle with the sides a and b, the root of a^2 + b^2.", Domain: "the result is too large for a number",
			Params: ab, Lane2: math.Hypot, Result: keep("hypot"), Examples: example("hypot(3 m, 4 m)", "5000 mm")},
	}
	for _, f := range fs {
		f.Family, f.Source = "numbers", mathSource
	}
	return fs
}

func sign(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

func signResult(a []catalogue.Arg) (kind.Type, error) { return one, quantity("sign", a[0]) }

// mod gives the rest of a floored division. Where a is a whole number of b on paper, binary arithmetic would leave
// nearly a whole b: 1 m over 0.1 m leaves 0.09999999999999995 m.
func mod(a, b float64) float64 {
	if b == 0 {
		return math.NaN()
	}
	if _, whole := OnStep(a, math.Abs(b)); whole {
		return 0
	}
	r := math.Mod(a, b)
	if r != 0 && (r < 0) != (b < 0) {
		r += b
	}
	return r
}

// root halves the powers of a kind.
func root(a []catalogue.Arg) (kind.Type, error) {
	if err := quantity("sqrt", a[0]); err != nil {
		return kind.Type{}, err
	}
	half, err := kind.Ratio(1, 2)
	if err != nil {
		return kind.Type{}, err
	}
	d, err := a[0].Type.Dim.Pow(half)
	if err != nil {
		return kind.Type{}, sentence("The square root of %s has powers of units that are not kept exactly. Divide by a unit first.", a[0].Type.Elem().Article())
	}
	return kind.Quantity(d), nil
}
