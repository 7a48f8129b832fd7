package numbers

import (
	"math"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

// angles lists the functions of angles and their inverses. An angle is a plain number, in radians.
func angles() []*catalogue.Func {
	angle := []catalogue.Param{{Name: "angle", Type: &one, Marked: "deg"}}
	number := []catalogue.Param{plain("x")}
	fs := []*catalogue.Func{
		{Name: "sin", About: "The sine of an angle.", Params: angle, Lane1: sin, Examples: example("sin(30 deg)", "0.5")},
		{Name: "cos", About: "The cosine of an angle.", Params: angle, Lane1: cos, Examples: example("cos(60 deg)", "0.5")},
		{Name: "tan", About: "The tangent of an angle.", Needs: "angle is not 90 deg, nor any number of half turns away from it", Domain: "the tangent of a right angle",
			Params: angle, Lane1: tan, Examples: example("tan(45 deg)", "1")},
		{Name: "asin", About: "The angle whose sine is x, from -90 deg to 90 deg.", Needs: "-1 <= x <= 1", Domain: "no angle has a sine beyond 1 or -1",
			Params: number, Lane1: func(x float64) float64 { return math.Asin(toOne(x)) }, Examples: example("asin(0.5) [deg]", "30 deg")},
		{Name: "acos", About: "The angle whose cosine is x, from 0 deg to 180 deg.", Needs: "-1 <= x <= 1", Domain: "no angle has a cosine beyond 1 or -1",
			Params: number, Lane1: func(x float64) float64 { return math.Acos(toOne(x)) }, Examples: example("acos(0.5) [deg]", "60 deg")},
		{Name: "atan", About: "The angle whose tangent is x, from -90 deg to 90 deg.", Params: number, Lane1: math.Atan, Examples: example("atan(1) [deg]", "45 deg")},
		{Name: "atan2", About: "The angle from the x axis to the point with the coordinates x and y, from -180 deg to 180 deg. Of 0 and 0 it is 0.",
			Params: []catalogue.Param{{Name: "y"}, {Name: "x"}}, Lane2: atan2, Examples: example("atan2(1 m, -1 m) [deg]", "135 deg"),
			Result: func(a []catalogue.Arg) (kind.Type, error) { return one, oneKind("atan2", a) }},
	}
	for _, f := range fs {
		f.Family, f.Source = "numbers", mathSource
		f.Angle = strings.HasPrefix(f.Name, "a") // asin, acos, atan, atan2
		if f.Result == nil {
			f.Result = always(one)
		}
	}
	return fs
}

// toOne takes a value that is beyond 1 or -1 only by what binary arithmetic adds (1 part in 10^12, ruling 17) to be 1.
func toOne(x float64) float64 {
	if size := math.Abs(x); size > 1 && size <= 1+1e-12 {
		return math.Copysign(1, x)
	}
	return x
}

// atan2 does not tell -0 from 0: the half turn is 180 deg either way.
func atan2(y, x float64) float64 { return math.Atan2(y+0, x+0) }

// The sine, cosine and tangent are exact at the quarter turns, where pi as a float is not.

func sin(a float64) float64 {
	if q, ok := quarter(a, 0); ok {
		return [4]float64{0, 1, 0, -1}[q]
	}
	return math.Sin(a)
}

func cos(a float64) float64 {
	if q, ok := quarter(a, 0); ok {
		return [4]float64{1, 0, -1, 0}[q]
	}
	return math.Cos(a)
}

// tan has no value at a right angle. One that was added up, 30 deg + 60 deg, can be a last digit beside it, where the
// tangent would be some 10^16.
func tan(a float64) float64 {
	if q, ok := quarter(a, 4e-16); ok && q%2 == 1 {
		return math.NaN()
	}
	if _, ok := quarter(a, 0); ok {
		return 0
	}
	return math.Tan(a)
}

// quarter tells which quarter turn an angle is, within a share of itself.
func quarter(a, share float64) (int, bool) {
	n := math.Round(a / (math.Pi / 2))
	if math.Abs(n) > 1e6 || math.Abs(n*(math.Pi/2)-a) > share*math.Abs(a) {
		return 0, false
	}
	return ((int(n) % 4) + 4) % 4, true
}
