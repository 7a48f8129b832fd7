package numbers

import (
	"math"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
)

// statistics lists the measures of a sample.
func statistics() []*catalogue.Func {
	xs := []catalogue.Param{list("xs")}
	fs := []*catalogue.Func{
		{Name: "median", About: "The middle of the list in order; of an even number of values, the mean of the two middle ones.", Source: practice, Needs: "at least one value",
			Params: xs, Result: keepOrdered("median"), Call: median, Examples: example("median(1, 5, 3, 11)", "4")},
		{Name: "deviation", About: "The standard deviation of a sample: the root of the sum of squares about the mean over n - 1. Of temperatures it is a difference, of dates a time.",
			Source: "JCGM 100:2008, 4.2.2, equation (4)", Needs: "at least two values", Params: xs, Result: deviationResult, Call: deviation, Examples: example("deviation(2, 4, 4, 4, 5, 5, 7, 9) [0.001]", "2.138")},
		{Name: "quantile", About: "The value below which the share p of a sample lies. With the n values in order it stands at place 1 + p (n - 1), by a straight line between the two neighbours.",
			Source: "Hyndman and Fan, Sample quantiles in statistical packages, The American Statistician 50(4), 1996, definition 7", Needs: "at least one value, and 0% <= p <= 100%",
			Params: []catalogue.Param{list("xs"), plain("p")}, Result: keepOrdered("quantile"), Call: quantile, Examples: example("quantile((1, 2, 3, 4, 5), 25%)", "2")},
	}
	for _, f := range fs {
		f.Family = "lists"
	}
	return fs
}

func median(a []value.Column) (value.Column, error) {
	xs := inOrder(a[0].Num)
	n := len(xs)
	switch {
	case n == 0:
		return value.Column{}, sentence("The median of nothing is not known. The list is empty.")
	case n%2 == 1:
		return value.One(xs[n/2]), nil
	}
	return value.One(xs[n/2-1] + (xs[n/2]-xs[n/2-1])/2), nil
}

// deviationResult gives the type of a spread.
func deviationResult(a []catalogue.Arg) (kind.Type, error) {
	t, err := ordered("deviation", a[0])
	switch t.Form {
	case kind.Point:
		t = kind.Quantity(temperature)
	case kind.Date:
		t = kind.Quantity(kind.Of(kind.Time))
	}
	return t, err
}

// centred gives the mean of a list of at least one value, and what each value is above it. It counts from the first
// value, so that a spread far smaller than the values (dates are some 10^9 s) keeps its digits, and equal values have
// no spread at all.
func centred(xs []float64) (mean float64, above []float64) {
	shift := 0.0
	for _, x := range xs {
		shift += (x - xs[0]) / float64(len(xs))
	}
	above = make([]float64, len(xs))
	for i, x := range xs {
		above[i] = x - xs[0] - shift
	}
	return xs[0] + shift, above
}

// deviation goes through the list twice, and takes off what is left of the mean (the corrected two-pass algorithm of
// Chan, Golub and LeVeque, The American Statistician 37(3), 1983). It counts in units of the largest distance from the
// mean, so that squares neither overflow nor vanish.
func deviation(a []value.Column) (value.Column, error) {
	xs := a[0].Num
	if len(xs) < 2 {
		return value.Column{}, sentence("The deviation of a sample needs at least two values; here is %d.", len(xs))
	}
	_, above := centred(xs)
	size := unitSize(above)
	squares, left, n := 0.0, 0.0, float64(len(xs))
	for _, d := range above {
		squares += d * d
		left += d
	}
	return value.One(size * math.Sqrt(max(0, squares-left*left/n)/(n-1))), nil
}

func quantile(a []value.Column) (value.Column, error) {
	xs, p := inOrder(a[0].Num), a[1].Num[0]
	switch {
	case len(xs) == 0:
		return value.Column{}, sentence("The quantile of nothing is not known. The list is empty.")
	case !(p >= 0 && p <= 1):
		return value.Column{}, sentence("The share p of a quantile lies from 0%% to 100%%; here it is %.6g%%.", p*100)
	}
	h := p * float64(len(xs)-1)
	i := int(h)
	if i >= len(xs)-1 {
		return value.One(xs[len(xs)-1]), nil
	}
	between := xs[i] + (h-float64(i))*(xs[i+1]-xs[i])
	return value.One(min(between, xs[i+1])), nil
}
