package numbers

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
)

func statistics() []*catalogue.Func {
	keepElem := func(f string) func([]catalogue.Arg) (kind.Type, error) {
		return func(a []catalogue.Arg) (kind.Type, error) { return elements(f, a[0]) }
	}
	return []*catalogue.Func{
		whole("median", "The middle of the list in order; of an even number, the mean of the two middle ones.", practice, keepElem("median"), median, example("median(1, 5, 3, 11)", "4"), xs()),
		whole("deviation", "The standard deviation of a sample, with n - 1 below.", "JCGM 100:2008, 4.2.2, equation 4", func(a []catalogue.Arg) (kind.Type, error) {
			t, err := elements("deviation", a[0])
			return difference(t), err
		}, deviation, example("deviation(2, 4, 4, 4, 5, 5, 7, 9) [0.001]", "2.138"), xs()),
		whole("quantile", "The value below which the share p of a sample lies, between neighbours by a straight line.", "Hyndman and Fan (1996), The American Statistician 50(4), definition 7", keepElem("quantile"), quantile, example("quantile((1, 2, 3, 4, 5), 25%)", "2"), xs(), plainParam("p")),
		whole("interpolate", "The value of ys at a place between the xs, by straight lines; xs rise or fall all the way.", mathSource, interpolateResult, interpolate,
			example("interpolate((0 d, 7 d, 28 d), (0 MPa, 20 MPa, 30 MPa), at: 14 d) [0.01 MPa]", "23.33 MPa"),
			catalogue.Param{Name: "xs", Whole: true}, catalogue.Param{Name: "ys", Whole: true}, catalogue.Param{Name: "at"}),
		whole("line_fit", "The straight line through points by least squares: slope, intercept and r_squared.", "ordinary least squares; Draper and Smith, Applied Regression Analysis, chapter 1 (from memory)", lineFitResult, lineFit,
			example("line_fit((1, 2, 3), (3, 5, 7)).slope", "2"), catalogue.Param{Name: "xs", Whole: true}, catalogue.Param{Name: "ys", Whole: true}),
	}
}

func median(a []value.Column) (value.Column, error) {
	v := append([]float64{}, a[0].Num...)
	if len(v) == 0 {
		return value.Column{}, errors.New("The median of nothing is not known.")
	}
	sort.Float64s(v)
	n := len(v)
	if n%2 == 1 {
		return value.One(v[n/2]), nil
	}
	return value.One(v[n/2-1] + (v[n/2]-v[n/2-1])/2), nil
}

// deviation goes through the list twice, about its mean, so that a large mean does not eat the spread.
func deviation(a []value.Column) (value.Column, error) {
	v := a[0].Num
	if len(v) < 2 {
		return value.Column{}, errors.New("The deviation of a sample needs two values at least.")
	}
	mean := 0.0
	for _, y := range v {
		mean += (y - v[0]) / float64(len(v))
	}
	mean += v[0]
	sum, rest := 0.0, 0.0
	for _, y := range v {
		sum += (y - mean) * (y - mean)
		rest += y - mean
	}
	return value.One(math.Sqrt((sum - rest*rest/float64(len(v))) / float64(len(v)-1))), nil
}

func quantile(a []value.Column) (value.Column, error) {
	v := append([]float64{}, a[0].Num...)
	p := a[1].Num[0]
	switch {
	case len(v) == 0:
		return value.Column{}, errors.New("The quantile of nothing is not known.")
	case p < 0 || p > 1:
		return value.Column{}, fmt.Errorf("The share of a quantile lies between 0%% and 100%%; here it is %.6g%%.", p*100)
	}
	sort.Float64s(v)
	h := p * float64(len(v)-1)
	i := int(math.Floor(h))
	if i >= len(v)-1 {
		return value.One(v[len(v)-1]), nil
	}
	return value.One(v[i] + (h-float64(i))*(v[i+1]-v[i])), nil
}

func interpolateResult(a []catalogue.Arg) (kind.Type, error) {
	x, err := elements("interpolate", a[0])
	if err != nil {
		return x, err
	}
	if !a[2].Type.Elem().Same(x) {
		return x, fmt.Errorf("at of interpolate is of the kind of the xs; these are %s and %s.", a[2].Type.Article(), x.Article())
	}
	return elements("interpolate", a[1])
}

func interpolate(a []value.Column) (value.Column, error) {
	x, y, at := a[0].Num, a[1].Num, a[2].Num[0]
	if err := paired("interpolate", x, y); err != nil {
		return value.Column{}, err
	}
	sign := 1.0
	if x[len(x)-1] < x[0] {
		sign = -1
	}
	for i := 1; i < len(x); i++ {
		if sign*(x[i]-x[i-1]) <= 0 {
			return value.Column{}, fmt.Errorf("The xs of interpolate rise or fall all the way; number %d does not.", i+1)
		}
	}
	i := sort.Search(len(x), func(i int) bool { return sign*x[i] >= sign*at })
	switch {
	case i < len(x) && x[i] == at:
		return value.One(y[i]), nil
	case i == 0 || i == len(x):
		return value.Column{}, errors.New("The place asked for lies outside the first and last of the xs. Add points to both lists.")
	}
	t := (at - x[i-1]) / (x[i] - x[i-1])
	return value.One(y[i-1] + t*(y[i]-y[i-1])), nil
}

func paired(f string, x, y []float64) error {
	if len(x) != len(y) {
		return fmt.Errorf("%s needs as many xs as ys; here are %d and %d.", f, len(x), len(y))
	}
	if len(x) < 2 {
		return fmt.Errorf("%s needs two points at least.", f)
	}
	return nil
}

func lineFitResult(a []catalogue.Arg) (kind.Type, error) {
	for _, p := range a {
		if p.Type.Form != kind.Number {
			return kind.Type{}, fmt.Errorf("line_fit works on lists of numbers; this is %s.", p.Type.Article())
		}
	}
	d, err := a[1].Type.Dim.Div(a[0].Type.Dim)
	if err != nil {
		return kind.Type{}, errors.New("The power of this kind is too large.")
	}
	return kind.Type{Form: kind.Record, Fields: []kind.Field{
		{Name: "slope", Type: kind.Quantity(d)}, {Name: "intercept", Type: a[1].Type.Elem()}, {Name: "r_squared", Type: one}}}, nil
}

func lineFit(a []value.Column) (value.Column, error) {
	x, y := a[0].Num, a[1].Num
	if err := paired("line_fit", x, y); err != nil {
		return value.Column{}, err
	}
	n := float64(len(x))
	mx, my := 0.0, 0.0
	for i := range x {
		mx += x[i] / n
		my += y[i] / n
	}
	sxx, sxy, syy := 0.0, 0.0, 0.0
	for i := range x {
		sxx += (x[i] - mx) * (x[i] - mx)
		sxy += (x[i] - mx) * (y[i] - my)
		syy += (y[i] - my) * (y[i] - my)
	}
	if sxx == 0 {
		return value.Column{}, errors.New("All xs are equal: no line goes through these points.")
	}
	slope := sxy / sxx
	r2 := 1.0
	if syy > 0 {
		r2 = sxy * sxy / (sxx * syy)
	}
	return value.Record(value.One(slope), value.One(my-slope*mx), value.One(r2)), nil
}
