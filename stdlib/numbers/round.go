// Package numbers holds the functions of numbers and lists: rounding, roots and powers, angles, statistics,
// interpolation. They are entries of the catalogue, with the facts that help tells.
package numbers

import (
	"math"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

// OnStep gives x in steps, n = x/step, and whether that is a whole number by the tolerance of the language (ruling 23):
// within 1e-9·max(1, |n|) of it, and at most 1e-3 of a step. Both are useless (NaN, false) where step is not a finite
// number above 0. Where x is so many steps that no float counts them, n is infinite and x is on a step.
func OnStep(x, step float64) (n float64, on bool) {
	if !(step > 0) || math.IsInf(step, 0) {
		return math.NaN(), false
	}
	n = x / step
	return n, isWhole(n)
}

func isWhole(n float64) bool {
	if math.IsInf(n, 0) {
		return true
	}
	r := math.Round(n)
	return math.Abs(n-r) <= math.Min(1e-9*math.Max(1, math.Abs(r)), 1e-3)
}

// RoundUp gives the least multiple of step that is not less than x, by the tolerance of OnStep. The result has the
// unit of x; it is NaN where step is not a finite number above 0.
func RoundUp(x, step float64) float64 { return roundTo(x, step, math.Ceil) }

// RoundDown gives the greatest multiple of step that is not more than x, by the tolerance of OnStep. The result has
// the unit of x; it is NaN where step is not a finite number above 0.
func RoundDown(x, step float64) float64 { return roundTo(x, step, math.Floor) }

// Nearest gives the multiple of step nearest to x, ties away from zero. The result has the unit of x; it is NaN where step is not a finite number above 0.
func Nearest(x, step float64) float64 { return roundTo(x, step, halfAway) }

func roundTo(x, step float64, whole func(n float64) float64) float64 {
	n, on := OnStep(x, step)
	switch {
	case math.IsInf(n, 0):
		return x // the step is far below the last digit of x
	case on:
		return steps(math.Round(n), step)
	}
	return steps(whole(n), step)
}

// tie is how near to a tie, as a share of the number of steps, a value is one: the last bits of a float and no more, so
// that a cent is never rounded up from below its half.
const tie = 1e-13

// halfAway rounds n, which is not whole, to the nearest whole number, ties away from zero: 2.675 / 0.01 is
// 267.49999999999994 in binary, and 267.5 on paper.
func halfAway(n float64) float64 {
	half := math.Floor(math.Abs(n)) + 0.5
	if math.Abs(math.Abs(n)-half) <= math.Min(tie*half, 5e-4) {
		return math.Copysign(half+0.5, n)
	}
	return math.Round(n)
}

// steps multiplies n steps. A step such as 0.05 is divided out as 1/20, so that 3 of them are 0.15 and not
// 0.15000000000000002. A zero has no sign.
func steps(n, step float64) float64 {
	if inv := math.Round(1 / step); inv >= 1 && inv < 1e9 && 1/inv == step {
		return n/inv + 0
	}
	return n*step + 0
}

// rounding lists the three roundings.
func rounding() []*catalogue.Func {
	entry := func(name, about string, f func(x, step float64) float64, examples ...catalogue.Example) *catalogue.Func {
		return &catalogue.Func{Name: name, Family: "numbers", Source: practice + "; the tolerance is that of the language (ruling 23)",
			About: about + " A value within 10^-9 of a step, or of itself where it is larger, is on the step. The step is 1 where left out.",
			Needs: "step > 0", Domain: "a step is larger than 0",
			Params: []catalogue.Param{{Name: "x"}, {Name: "step", Default: "1"}}, Lane2: f, Examples: examples, Result: roundingResult(name)}
	}
	return []*catalogue.Func{
		entry("round_up", "The least whole number of steps that is not less than x: 12.000000000000002 bags are 12.", RoundUp,
			catalogue.Example{Line: "round_up(11.2)", Shown: "12"}, catalogue.Example{Line: "round_up(433 mm, 5 mm)", Shown: "435 mm"}),
		entry("round_down", "The greatest whole number of steps that is not more than x.", RoundDown,
			catalogue.Example{Line: "round_down(11.9)", Shown: "11"}, catalogue.Example{Line: "round_down(-433 mm, 5 mm)", Shown: "-435 mm"}),
		entry("nearest", "The whole number of steps nearest to x; a tie goes away from zero.", Nearest,
			catalogue.Example{Line: "nearest(2.5)", Shown: "3"}, catalogue.Example{Line: "nearest(-12.345, 0.01)", Shown: "-12.35"}),
	}
}

// roundingResult keeps the kind of x. A step of 1, which stands where none is given, suits bare numbers only.
func roundingResult(name string) result {
	return func(a []catalogue.Arg) (kind.Type, error) {
		x, step := a[0].Type, a[1].Type
		if err := quantity(name, a[0]); err != nil {
			return kind.Type{}, err
		}
		if step.Form == kind.Number && step.Dim.IsOne() && !x.Dim.IsOne() {
			return kind.Type{}, sentence("%s of %s needs a step of its kind, as %s(x, %s).", name, x.Elem().Article(), name, stepOf(x.Dim))
		}
		return x.Elem(), oneKind(name, a)
	}
}

// stepOf writes a step of a kind, for the way out.
func stepOf(d kind.Dim) string {
	name, _ := d.Counted()
	code, _ := d.Currency()
	switch {
	case d == kind.Of(kind.Length):
		return "5 mm"
	case d == kind.Of(kind.Time):
		return "1 h"
	case name != "":
		return "1 " + name
	case code != "":
		return "1 " + code
	}
	return "1 " + d.Symbol()
}
