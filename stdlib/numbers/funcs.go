package numbers

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

const (
	mathSource = "ISO 80000-2:2019"
	practice   = "common practice"
)

var (
	one         = kind.Quantity(kind.One)
	temperature = kind.Of(kind.Temperature)
)

// Funcs lists the functions of numbers and lists.
func Funcs() []*catalogue.Func {
	var out []*catalogue.Func
	for _, fs := range [][]*catalogue.Func{rounding(), elementary(), angles(), listFuncs(), statistics(), stateFuncs()} {
		out = append(out, fs...)
	}
	return out
}

func x() catalogue.Param { return catalogue.Param{Name: "x"} }

func xs() catalogue.Param { return catalogue.Param{Name: "xs", Whole: true} }

func plainParam(name string) catalogue.Param { return catalogue.Param{Name: name, Type: &one} }

func example(line, shown string) []catalogue.Example {
	return []catalogue.Example{{Line: line, Shown: shown}}
}

// number refuses what is no quantity.
func number(f string, a catalogue.Arg) error {
	if a.Type.Form != kind.Number {
		way := ""
		if a.Type.Form == kind.Point {
			way = " Use absolute(T) for kelvin, or a difference of two temperatures."
		}
		return fmt.Errorf("%s works on numbers; this is %s.%s", f, a.Type.Article(), way)
	}
	return nil
}

func sameKind(f string, args []catalogue.Arg) error {
	for _, a := range args {
		if err := number(f, a); err != nil {
			return err
		}
		if a.Type.Dim != args[0].Type.Dim {
			return fmt.Errorf("%s takes two values of one kind; these are %s and %s.", f, args[0].Type.Elem().Article(), a.Type.Elem().Article())
		}
	}
	return nil
}

func keep(f string) func([]catalogue.Arg) (kind.Type, error) {
	return func(a []catalogue.Arg) (kind.Type, error) { return a[0].Type.Elem(), number(f, a[0]) }
}

func keepTwo(f string) func([]catalogue.Arg) (kind.Type, error) {
	return func(a []catalogue.Arg) (kind.Type, error) { return a[0].Type.Elem(), sameKind(f, a) }
}

func plain([]catalogue.Arg) (kind.Type, error) { return one, nil }

// rounding lists the three roundings; without a step they go to whole numbers, which only a bare number has.
func rounding() []*catalogue.Func {
	make := func(name, about string, f func(x, step float64) float64, examples []catalogue.Example) *catalogue.Func {
		return &catalogue.Func{Name: name, Family: "numbers", About: about, Source: practice + "; the tolerance is ruling 23 of the language",
			Needs: "step > 0", Domain: "a step is larger than 0",
			Params: []catalogue.Param{x(), {Name: "step", Default: "1"}}, Lane2: f, Examples: examples,
			Result: func(a []catalogue.Arg) (kind.Type, error) {
				if err := number(name, a[0]); err != nil {
					return kind.Type{}, err
				}
				if a[1].Type.Form == kind.Number && a[1].Type.Dim.IsOne() && !a[0].Type.Dim.IsOne() {
					return kind.Type{}, fmt.Errorf("%s of %s needs a step of its kind, as %s(x, 5 mm).", name, a[0].Type.Article(), name)
				}
				return a[0].Type.Elem(), sameKind(name, a)
			}}
	}
	return []*catalogue.Func{
		make("round_up", "The least whole number of steps that is not less than x; 12.000000000000002 bags are 12.", RoundUp,
			[]catalogue.Example{{Line: "round_up(11.2)", Shown: "12"}, {Line: "round_up(433 mm, 5 mm)", Shown: "435 mm"}}),
		make("round_down", "The greatest whole number of steps that is not more than x.", RoundDown, example("round_down(11.9)", "11")),
		make("nearest", "The nearest whole number of steps; a tie goes away from zero.", Nearest, example("nearest(2.5)", "3")),
	}
}

func lane1(name, about, domain string, f func(float64) float64, result func([]catalogue.Arg) (kind.Type, error), p catalogue.Param, ex []catalogue.Example) *catalogue.Func {
	return &catalogue.Func{Name: name, Family: "numbers", About: about, Source: mathSource, Domain: domain, Params: []catalogue.Param{p}, Lane1: f, Result: result, Examples: ex}
}

func elementary() []*catalogue.Func {
	return []*catalogue.Func{
		lane1("abs", "The size of x, without its sign.", "", math.Abs, keep("abs"), x(), example("abs(-3 mm)", "3 mm")),
		lane1("sign", "1 for a value above 0, -1 below, 0 for 0.", "", sign, func(a []catalogue.Arg) (kind.Type, error) { return one, number("sign", a[0]) }, x(), example("sign(-3 mm)", "-1")),
		lane1("sqrt", "The square root; its kind is the root of the kind.", "the square root of a number below 0", math.Sqrt, root, x(), example("sqrt(9 m^2) [m]", "3 m")),
		lane1("exp", "The exponential function.", "", math.Exp, plain, plainParam("x"), example("exp(0)", "1")),
		lane1("ln", "The natural logarithm.", "the logarithm of a number that is not above 0", math.Log, plain, plainParam("x"), example("ln(1)", "0")),
		lane1("log10", "The logarithm to the base 10.", "the logarithm of a number that is not above 0", math.Log10, plain, plainParam("x"), example("log10(1000)", "3")),
		{Name: "mod", Family: "numbers", About: "What is left of a when whole times b are taken away; it has the sign of b.", Source: mathSource, Domain: "the rest of a division by 0",
			Params: []catalogue.Param{{Name: "a"}, {Name: "b"}}, Lane2: mod, Result: keepTwo("mod"), Examples: example("mod(1000 mm, 300 mm)", "100 mm")},
		{Name: "hypot", Family: "numbers", About: "The diagonal of a right angle with the sides a and b.", Source: mathSource,
			Params: []catalogue.Param{{Name: "a"}, {Name: "b"}}, Lane2: math.Hypot, Result: keepTwo("hypot"), Examples: example("hypot(3 m, 4 m)", "5000 mm")},
	}
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

func mod(a, b float64) float64 {
	if b == 0 {
		return math.NaN()
	}
	r := math.Mod(a, b)
	if r != 0 && (r < 0) != (b < 0) {
		r += b
	}
	return r
}

func root(a []catalogue.Arg) (kind.Type, error) {
	if err := number("sqrt", a[0]); err != nil {
		return kind.Type{}, err
	}
	half, _ := kind.Ratio(1, 2)
	d, err := a[0].Type.Dim.Pow(half)
	if err != nil {
		return kind.Type{}, errors.New("The power of this kind is too large.")
	}
	return kind.Quantity(d), nil
}

func angles() []*catalogue.Func {
	angle := catalogue.Param{Name: "angle", Type: &one, Marked: "deg"}
	turn := func(name, about, domain string, f func(float64) float64, p catalogue.Param, line, shown string) *catalogue.Func {
		return lane1(name, about, domain, f, plain, p, example(line, shown))
	}
	return []*catalogue.Func{
		turn("sin", "The sine of an angle.", "", sin, angle, "sin(30 deg)", "0.5"),
		turn("cos", "The cosine of an angle.", "", cos, angle, "cos(60 deg)", "0.5"),
		turn("tan", "The tangent of an angle.", "the tangent of a right angle", tan, angle, "tan(45 deg)", "1"),
		turn("asin", "The angle whose sine is x, from -90 to 90 degrees.", "a sine beyond 1", math.Asin, plainParam("x"), "asin(0.5) [deg]", "30 deg"),
		turn("acos", "The angle whose cosine is x, from 0 to 180 degrees.", "a cosine beyond 1", math.Acos, plainParam("x"), "acos(0.5) [deg]", "60 deg"),
		turn("atan", "The angle whose tangent is x, from -90 to 90 degrees.", "", math.Atan, plainParam("x"), "atan(1) [deg]", "45 deg"),
		{Name: "atan2", Family: "numbers", About: "The angle from the x axis to the point x, y; from -180 to 180 degrees.", Source: mathSource,
			Params: []catalogue.Param{{Name: "y"}, {Name: "x"}}, Lane2: math.Atan2, Examples: example("atan2(1 m, 1 m) [deg]", "45 deg"),
			Result: func(a []catalogue.Arg) (kind.Type, error) { return one, sameKind("atan2", a) }},
	}
}

// The turns of angles are exact at the quarter turns, where pi as a float is not.
func sin(a float64) float64 {
	if q, whole := quarter(a); whole {
		return [4]float64{0, 1, 0, -1}[q]
	}
	return math.Sin(a)
}

func cos(a float64) float64 {
	if q, whole := quarter(a); whole {
		return [4]float64{1, 0, -1, 0}[q]
	}
	return math.Cos(a)
}

func tan(a float64) float64 {
	if q, whole := quarter(a); whole {
		if q%2 == 1 {
			return math.NaN()
		}
		return 0
	}
	return math.Tan(a)
}

func quarter(a float64) (int, bool) {
	n := math.Round(a / (math.Pi / 2))
	if math.Abs(n) > 1e6 || n*(math.Pi/2) != a {
		return 0, false
	}
	return ((int(n) % 4) + 4) % 4, true
}
