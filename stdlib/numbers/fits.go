package numbers

import (
	"math"
	"sort"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
)

// fits lists what goes through points: straight lines between them, and the straight line nearest to them.
func fits() []*catalogue.Func {
	return []*catalogue.Func{
		{Name: "interpolate", Family: "lists", Source: mathSource, About: "The value of ys at a place between the xs, by straight lines between neighbouring points.",
			Needs:  "as many ys as xs, two at least; xs that rise all the way or fall all the way; at from the first to the last of them",
			Params: []catalogue.Param{list("xs"), list("ys"), {Name: "at"}}, Result: interpolateResult, Call: interpolate,
			Examples: example("interpolate((0 d, 7 d, 28 d), (0 MPa, 20 MPa, 30 MPa), at: 14 d) [0.01 MPa]", "23.33 MPa")},
		{Name: "line_fit", Family: "lists", Source: "Draper and Smith, Applied Regression Analysis, chapter 1 (from memory)",
			About: "The straight line nearest to points, by least squares of the distances along y: slope, intercept (y at x = 0) and r_squared (the share of the spread of the ys that the line explains; 1 where all ys are equal).",
			Needs: "as many ys as xs, two at least; xs that are not all equal", Params: []catalogue.Param{list("xs"), list("ys")}, Result: lineFitResult, Call: lineFit,
			Examples: []catalogue.Example{{Line: "line_fit((1, 2, 3), (3, 5, 7)).slope", Shown: "2"}, {Line: "line_fit((1 d, 2 d, 3 d), (3 MPa, 5 MPa, 7 MPa)).intercept [MPa]", Shown: "1 MPa"}}},
	}
}

func interpolateResult(a []catalogue.Arg) (kind.Type, error) {
	x, err := ordered("interpolate", a[0])
	if err != nil {
		return x, err
	}
	if at := a[2].Type.Elem(); !at.Same(x) {
		return x, sentence("at of interpolate is of the kind of the xs; at is %s, the xs are %s.", at.Article(), a[0].Type.Article())
	}
	return ordered("interpolate", a[1])
}

func interpolate(a []value.Column) (value.Column, error) {
	xs, ys, at := a[0].Num, a[1].Num, a[2].Num[0]
	if err := paired("interpolate", xs, ys); err != nil {
		return value.Column{}, err
	}
	sign := 1.0
	if xs[1] < xs[0] {
		sign = -1
	}
	for i := 1; i < len(xs); i++ {
		if !(sign*xs[i] > sign*xs[i-1]) {
			return value.Column{}, sentence("The xs of interpolate must rise all the way or fall all the way; number %d does not go on as those before it. Sort the points, and leave equal ones out.", i+1)
		}
	}
	i := sort.Search(len(xs), func(i int) bool { return sign*xs[i] >= sign*at })
	switch {
	case i < len(xs) && xs[i] == at || i == 0 && same(xs[0], at):
		return value.One(ys[i]), nil
	case i == len(xs) && same(xs[i-1], at):
		return value.One(ys[i-1]), nil
	case i == 0 || i == len(xs):
		return value.Column{}, sentence("at lies outside the first and last of the xs. Add points to both lists, or use a value between them.")
	}
	share := (at - xs[i-1]) / (xs[i] - xs[i-1])
	return value.One(ys[i-1] + share*(ys[i]-ys[i-1])), nil
}

// same tells whether two quantities compare equal (ruling 17): within 1 part in 10^12 of the larger.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b)) }

// paired wants as many xs as ys, and two at least.
func paired(f string, xs, ys []float64) error {
	if len(xs) != len(ys) {
		return sentence("%s needs as many ys as xs; here are %d xs and %d ys.", f, len(xs), len(ys))
	}
	if len(xs) < 2 {
		return sentence("%s needs at least two points; here is %d.", f, len(xs))
	}
	return nil
}

func lineFitResult(a []catalogue.Arg) (kind.Type, error) {
	for i, p := range a {
		switch t := p.Type.Form; {
		case t == kind.Point:
			return kind.Type{}, sentence("line_fit works on lists of numbers; this is %s. Use absolute(T) for kelvin, or differences from one temperature.", p.Type.Article())
		case t == kind.Date:
			return kind.Type{}, sentence("line_fit works on lists of numbers; this is %s. Use the time since the first, as %s - first(%[2]s).", p.Type.Article(), []string{"xs", "ys"}[i])
		case t != kind.Number:
			return kind.Type{}, sentence("line_fit works on lists of numbers; this is %s.", p.Type.Article())
		}
	}
	slope, err := a[1].Type.Dim.Div(a[0].Type.Dim)
	if err != nil {
		return kind.Type{}, sentence("The slope of this line has powers of units that are not kept exactly. Divide by a unit first.")
	}
	return kind.Type{Form: kind.Record, Fields: []kind.Field{
		{Name: "slope", Type: kind.Quantity(slope)}, {Name: "intercept", Type: a[1].Type.Elem()}, {Name: "r_squared", Type: one}}}, nil
}

// lineFit solves the normal equations about the means of both lists, each counted in its own largest distance from the
// mean, so that squares neither overflow nor vanish.
func lineFit(a []value.Column) (value.Column, error) {
	xs, ys := a[0].Num, a[1].Num
	if err := paired("line_fit", xs, ys); err != nil {
		return value.Column{}, err
	}
	equal := true
	for _, x := range xs {
		equal = equal && same(x, xs[0])
	}
	if equal {
		return value.Column{}, sentence("All xs of line_fit are equal, and no line goes through such points. Add a point with another x.")
	}
	meanX, dx := centred(xs)
	meanY, dy := centred(ys)
	sizeX, sizeY := unitSize(dx), unitSize(dy)
	sxx, sxy, syy := 0.0, 0.0, 0.0
	for i := range dx {
		sxx += dx[i] * dx[i]
		sxy += dx[i] * dy[i]
		syy += dy[i] * dy[i]
	}
	slope, r2 := sxy/sxx*(sizeY/sizeX), 1.0
	if syy > 0 {
		r2 = min(1, sxy/sxx*(sxy/syy))
	}
	intercept := meanY - slope*meanX
	if sum := slope + intercept + r2; sum-sum != 0 {
		return value.Column{}, sentence("The line of line_fit has numbers that are too large to be held.")
	}
	return value.Record(value.One(slope), value.One(intercept), value.One(r2)), nil
}

// unitSize divides a list by its largest size, and gives that size; a list of zeros stays.
func unitSize(xs []float64) float64 {
	size := 0.0
	for _, x := range xs {
		size = max(size, math.Abs(x))
	}
	if size == 0 {
		return 0
	}
	for i := range xs {
		xs[i] /= size
	}
	return size
}
