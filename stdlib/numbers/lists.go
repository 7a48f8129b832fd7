package numbers

import (
	"math"
	"slices"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
)

// engineLists lists the functions of lists that the engine carries out itself, since they look at the states of rows.
func engineLists() []*catalogue.Func {
	xs := []catalogue.Param{list("xs")}
	element := func(a []catalogue.Arg) (kind.Type, error) { return a[0].Type.Elem(), nil }
	fs := []*catalogue.Func{
		{Name: "sum", Special: catalogue.Sum, About: "The sum of a list. The sum of nothing is 0.", Params: xs, Result: sumResult, Examples: example("sum(1 m, 2 m, 3 m)", "6000 mm")},
		{Name: "mean", Special: catalogue.Mean, About: "The arithmetic mean of a list. The mean of nothing is a mistake.", Needs: "at least one value", Params: xs, Result: keepOrdered("mean"),
			Examples: []catalogue.Example{{Line: "mean(1, 2, 3, 4)", Shown: "2.5"}, {Line: "mean(18 degC, 23 degC)", Shown: "20.5 degC"}}},
		{Name: "count", Special: catalogue.CountOf, About: "How many values or rows a list has.", Params: xs, Result: always(one), Examples: example("count((4, 5, 6) where (4, 5, 6) > 4)", "2")},
		{Name: "known", Special: catalogue.KnownOf, About: "The list without the values that are still open.", Params: xs,
			Result: func(a []catalogue.Arg) (kind.Type, error) { return a[0].Type, nil }, Examples: example("count(known(4, 5, 6))", "3")},
		{Name: "only", Special: catalogue.Only, About: "The one value or row of a list that must have exactly one.", Needs: "exactly one value or row", Params: xs, Result: element, Examples: example("only((4 m, 5 m) where (4 m, 5 m) > 4.5 m)", "5000 mm")},
		{Name: "first", Special: catalogue.First, About: "The first value or row of a list.", Needs: "at least one value or row", Params: xs, Result: element, Examples: example("first(4 m, 5 m)", "4000 mm")},
		{Name: "last", Special: catalogue.Last, About: "The last value or row of a list.", Needs: "at least one value or row", Params: xs, Result: element, Examples: example("last(4 m, 5 m)", "5000 mm")},
		{Name: "item", Special: catalogue.Item, About: "The n-th value or row of a list, counted from 1.", Needs: "n is a whole number from 1 to the length of the list",
			Params: []catalogue.Param{list("xs"), plain("n")}, Result: element, Examples: example("item((4 m, 5 m), 2)", "5000 mm")},
		{Name: "any", Special: catalogue.Any, About: "Whether a condition holds for at least one of a list. Of nothing it does not.", Params: xs, Result: conditions("any"), Examples: example("any((1, 2) > 1.5)", "yes")},
		{Name: "all", Special: catalogue.All, About: "Whether a condition holds for every one of a list. Of nothing it does.", Params: xs, Result: conditions("all"), Examples: example("all((1, 2) > 1.5)", "no")},
		{Name: "list", Special: catalogue.ListOf, About: "A list of one value.", Params: []catalogue.Param{{Name: "x"}}, Result: listResult, Examples: example("sum(list(4 m))", "4000 mm")},
	}
	fs = append(fs, along()...)
	for _, f := range fs {
		f.Family, f.Source = "lists", practice
	}
	return fs
}

// along lists the functions that look along the rows of a column. In a column formula they take the bare name of a column,
// elsewhere the whole of one.
func along() []*catalogue.Func {
	keep := func(a []catalogue.Arg) (kind.Type, error) { return a[0].Type, nil }
	first := catalogue.Param{Name: "first", Default: "0"}
	return []*catalogue.Func{
		{Name: "running", Special: catalogue.RunningOf, About: "The total so far, row by row.", Params: []catalogue.Param{{Name: "x"}}, Result: keep,
			Examples: example("running((1 m, 2 m, 3 m))", "(1000 mm, 3000 mm, 6000 mm)")},
		{Name: "before", Special: catalogue.BeforeOf, About: "The value in the row above; first in the first row. A column may use before of itself.", Params: []catalogue.Param{{Name: "x"}, first}, Result: keep,
			Needs: "first for dates, texts and temperatures", Examples: example("before((1 m, 2 m, 3 m), first: 5 m)", "(5000 mm, 1000 mm, 2000 mm)")},
		{Name: "steps", Special: catalogue.StepsOf, About: "The gap to the row above; first, a difference, in the first row.", Params: []catalogue.Param{{Name: "x"}, first}, Result: keep,
			Needs: "first for dates and temperatures", Examples: example("steps((1 m, 3 m, 6 m))", "(0 mm, 2000 mm, 3000 mm)")},
	}
}

// lists lists the functions of whole lists that look at their values alone.
func lists() []*catalogue.Func {
	xs := []catalogue.Param{list("xs")}
	fs := []*catalogue.Func{
		{Name: "smallest", About: "The smallest of a list, of dates the earliest.", Needs: "at least one value", Params: xs, Result: keepOrdered("smallest"), Call: smallest, Examples: example("smallest(3 m, 2 m)", "2000 mm")},
		{Name: "largest", About: "The largest of a list, of dates the latest.", Needs: "at least one value", Params: xs, Result: keepOrdered("largest"), Call: largest, Examples: example("largest(3 m, 2 m)", "3000 mm")},
		{Name: "sort", About: "The list in rising order.", Params: xs, Result: sortResult, Call: sorted, Examples: example("sort(3 m, 1 m, 2 m)", "(1000 mm, 2000 mm, 3000 mm)")},
		{Name: "product", About: "The product of a list of plain numbers. The product of nothing is 1.", Source: mathSource, Params: xs, Result: productResult, Call: product, Examples: example("product(2, 3, 4)", "24")},
		{Name: "parts", About: "Shares that add up to 1, in the ratio of the numbers given.", Needs: "no number below 0, and at least one above 0", Params: []catalogue.Param{{Name: "xs", Type: &one, Whole: true}},
			Result: always(one.ListOf()), Call: shares, Examples: []catalogue.Example{{Line: "parts(1, 2, 3)", Shown: "(0.1667, 0.3333, 0.5)"}, {Line: "parts(1, 2, 5) * 16 kg", Shown: "(2 kg, 4 kg, 10 kg)"}}},
	}
	for _, f := range fs {
		f.Family = "lists"
		if f.Source == "" {
			f.Source = practice
		}
	}
	return fs
}

func sumResult(a []catalogue.Arg) (kind.Type, error) {
	t := a[0].Type.Elem()
	switch t.Form {
	case kind.Number:
		return t, nil
	case kind.Point:
		return t, sentence("The sum of temperatures means nothing; mean, smallest and largest do.")
	case kind.Date:
		return t, sentence("The sum of dates means nothing; mean, smallest and largest do.")
	case kind.Truth:
		return t, sentence("sum adds numbers; this is %s. For how many hold, count the rows: count(rows where …).", a[0].Type.Article())
	case kind.Record:
		return t, sentence("sum adds numbers; this is %s. Name one column of them.", a[0].Type.Article())
	}
	return t, sentence("sum adds numbers; this is %s.", a[0].Type.Article())
}

func conditions(f string) result {
	return func(a []catalogue.Arg) (kind.Type, error) {
		if a[0].Type.Form != kind.Truth {
			return truth, sentence("%s looks at a list of conditions; this is %s. Compare its values with something first.", f, a[0].Type.Article())
		}
		return truth, nil
	}
}

func listResult(a []catalogue.Arg) (kind.Type, error) {
	if a[0].Type.List {
		return kind.Type{}, sentence("A list holds no lists.")
	}
	return a[0].Type.ListOf(), nil
}

func sortResult(a []catalogue.Arg) (kind.Type, error) {
	t, err := ordered("sort", a[0])
	return t.ListOf(), err
}

func productResult(a []catalogue.Arg) (kind.Type, error) {
	switch t := a[0].Type.Elem(); {
	case t.Form != kind.Number:
		return one, sentence("product takes a list of plain numbers; this is %s.", a[0].Type.Article())
	case !t.Dim.IsOne():
		return one, sentence("product takes plain numbers, because the kind of its result would depend on how many there are; this is %s. Divide by a unit first, as product(xs / (1 %s)).", a[0].Type.Article(), t.Dim.Symbol())
	}
	return one, nil
}

func smallest(a []value.Column) (value.Column, error) {
	if len(a[0].Num) == 0 {
		return value.Column{}, sentence("The smallest of nothing is not known. The list is empty.")
	}
	return value.One(slices.Min(a[0].Num)), nil
}

func largest(a []value.Column) (value.Column, error) {
	if len(a[0].Num) == 0 {
		return value.Column{}, sentence("The largest of nothing is not known. The list is empty.")
	}
	return value.One(slices.Max(a[0].Num)), nil
}

func sorted(a []value.Column) (value.Column, error) { return value.Nums(inOrder(a[0].Num)...), nil }

// inOrder copies a list into rising order.
func inOrder(xs []float64) []float64 {
	out := append(make([]float64, 0, len(xs)), xs...)
	slices.Sort(out)
	return out
}

func product(a []value.Column) (value.Column, error) {
	p := 1.0
	for _, x := range a[0].Num {
		p *= x
	}
	return value.One(p), nil
}

func shares(a []value.Column) (value.Column, error) {
	total := 0.0
	for _, x := range a[0].Num {
		if x < 0 {
			return value.Column{}, sentence("A part is not below 0; here is %.6g.", x)
		}
		total += x
	}
	switch {
	case total == 0:
		return value.Column{}, sentence("The parts of nothing are not known. At least one number must be larger than 0.")
	case math.IsInf(total, 0):
		return value.Column{}, sentence("The sum of these parts is too large for a number.")
	}
	out := make([]float64, 0, len(a[0].Num))
	for _, x := range a[0].Num {
		out = append(out, x/total)
	}
	return value.Nums(out...), nil
}
