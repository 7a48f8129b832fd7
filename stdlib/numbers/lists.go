package numbers

import (
	"errors"
	"fmt"
	"sort"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
)

// elements judges a list of quantities, temperatures or dates.
func elements(f string, a catalogue.Arg) (kind.Type, error) {
	t := a.Type.Elem()
	switch t.Form {
	case kind.Number, kind.Point, kind.Date:
		return t, nil
	}
	return t, fmt.Errorf("%s works on a list of numbers, temperatures or dates; this is %s.", f, a.Type.Article())
}

// difference is the type of the spread of a list: of temperatures a difference, of dates a time.
func difference(t kind.Type) kind.Type {
	switch t.Form {
	case kind.Point:
		return kind.Quantity(temperature)
	case kind.Date:
		return kind.Quantity(kind.Of(kind.Time))
	}
	return t
}

func listFuncs() []*catalogue.Func {
	keepElem := func(f string) func([]catalogue.Arg) (kind.Type, error) {
		return func(a []catalogue.Arg) (kind.Type, error) { return elements(f, a[0]) }
	}
	anyElem := func(a []catalogue.Arg) (kind.Type, error) { return a[0].Type.Elem(), nil }
	special := func(name, about string, s catalogue.Special, result func([]catalogue.Arg) (kind.Type, error), ex []catalogue.Example, ps ...catalogue.Param) *catalogue.Func {
		return &catalogue.Func{Name: name, Family: "lists", About: about, Source: practice, Params: ps, Special: s, Result: result, Examples: ex}
	}
	truths := func(f string) func([]catalogue.Arg) (kind.Type, error) {
		return func(a []catalogue.Arg) (kind.Type, error) {
			if a[0].Type.Form != kind.Truth {
				return kind.Type{}, fmt.Errorf("%s asks a list of conditions; this is %s.", f, a[0].Type.Article())
			}
			return kind.Type{Form: kind.Truth}, nil
		}
	}
	return []*catalogue.Func{
		special("sum", "The sum of a list; the sum of nothing is 0.", catalogue.Sum, sumResult, example("sum(1 m, 2 m, 3 m)", "6000 mm"), xs()),
		special("mean", "The arithmetic mean of a list; the mean of nothing is a mistake.", catalogue.Mean, keepElem("mean"), example("mean(1, 2, 3, 4)", "2.5"), xs()),
		special("count", "How many values or rows a list has.", catalogue.CountOf, func([]catalogue.Arg) (kind.Type, error) { return one, nil }, example("count((4, 5, 6) where (4, 5, 6) > 4)", "2"), xs()),
		special("known", "The list without the values that are still open.", catalogue.KnownOf, func(a []catalogue.Arg) (kind.Type, error) { return a[0].Type, nil }, example("count(known(1, 2, 3))", "3"), xs()),
		special("only", "The one value or row of a list that must have exactly one.", catalogue.Only, anyElem, example("only((4 m, 5 m) where (4 m, 5 m) > 4.5 m)", "5000 mm"), xs()),
		special("first", "The first value or row of a list.", catalogue.First, anyElem, example("first(4 m, 5 m)", "4000 mm"), xs()),
		special("last", "The last value or row of a list.", catalogue.Last, anyElem, example("last(4 m, 5 m)", "5000 mm"), xs()),
		special("item", "The n-th value or row of a list, counted from 1.", catalogue.Item, itemResult, example("item((4 m, 5 m), 2)", "5000 mm"), xs(), plainParam("n")),
		special("any", "Whether a condition holds for at least one.", catalogue.Any, truths("any"), example("any((1, 2) > 1.5)", "yes"), xs()),
		special("all", "Whether a condition holds for every one; of nothing it does.", catalogue.All, truths("all"), example("all((1, 2) > 1.5)", "no"), xs()),
		special("list", "A list of one value.", catalogue.ListOf, listResult, example("sum(list(4 m))", "4000 mm"), x()),
		whole("smallest", "The smallest of a list.", practice, keepElem("smallest"), smallest, example("smallest(3 m, 2 m)", "2000 mm"), xs()),
		whole("largest", "The largest of a list.", practice, keepElem("largest"), largest, example("largest(3 m, 2 m)", "3000 mm"), xs()),
		whole("sort", "The list in rising order.", practice, func(a []catalogue.Arg) (kind.Type, error) {
			t, err := elements("sort", a[0])
			return t.ListOf(), err
		}, sorted, example("sort(3 m, 1 m, 2 m)", "(1000 mm, 2000 mm, 3000 mm)"), xs()),
		whole("product", "The product of a list of plain numbers.", mathSource, productResult, product, example("product(2, 3, 4)", "24"), xs()),
		whole("parts", "Shares that add up to 1, in the ratio of the numbers given.", practice, func([]catalogue.Arg) (kind.Type, error) { return one.ListOf(), nil }, shares, example("parts(1, 2, 5) * 16 kg", "(2 kg, 4 kg, 10 kg)"), catalogue.Param{Name: "xs", Type: &one, Whole: true}),
	}
}

func whole(name, about, source string, result func([]catalogue.Arg) (kind.Type, error), call func([]value.Column) (value.Column, error), ex []catalogue.Example, ps ...catalogue.Param) *catalogue.Func {
	return &catalogue.Func{Name: name, Family: "lists", About: about, Source: source, Params: ps, Result: result, Call: call, Examples: ex}
}

func sumResult(a []catalogue.Arg) (kind.Type, error) {
	t := a[0].Type.Elem()
	switch t.Form {
	case kind.Number:
		return t, nil
	case kind.Point:
		return t, errors.New("The sum of temperatures means nothing; mean, smallest and largest do.")
	case kind.Date:
		return t, errors.New("The sum of dates means nothing; mean, smallest and largest do.")
	}
	return t, fmt.Errorf("sum adds numbers; this is %s.", a[0].Type.Article())
}

func itemResult(a []catalogue.Arg) (kind.Type, error) { return a[0].Type.Elem(), nil }

func listResult(a []catalogue.Arg) (kind.Type, error) {
	if a[0].Type.List {
		return kind.Type{}, errors.New("A list does not hold lists.")
	}
	return a[0].Type.ListOf(), nil
}

func productResult(a []catalogue.Arg) (kind.Type, error) {
	if t := a[0].Type.Elem(); t.Form != kind.Number || !t.Dim.IsOne() {
		return kind.Type{}, fmt.Errorf("The kind of a product of %s would depend on how many there are: product takes plain numbers. Divide by a unit first, as xs / 1 m.", a[0].Type)
	}
	return one, nil
}

func smallest(a []value.Column) (value.Column, error) { return extreme(a[0].Num, "smallest", false) }

func largest(a []value.Column) (value.Column, error) { return extreme(a[0].Num, "largest", true) }

func extreme(v []float64, name string, up bool) (value.Column, error) {
	if len(v) == 0 {
		return value.Column{}, fmt.Errorf("The %s of nothing is not known.", name)
	}
	best := v[0]
	for _, y := range v[1:] {
		if up == (y > best) && y != best {
			best = y
		}
	}
	return value.One(best), nil
}

func sorted(a []value.Column) (value.Column, error) {
	out := append([]float64{}, a[0].Num...)
	sort.Float64s(out)
	return value.Nums(out...), nil
}

func product(a []value.Column) (value.Column, error) {
	p := 1.0
	for _, y := range a[0].Num {
		p *= y
	}
	return value.One(p), nil
}

func shares(a []value.Column) (value.Column, error) {
	total := 0.0
	for _, y := range a[0].Num {
		if y < 0 {
			return value.Column{}, errors.New("A share is not below 0.")
		}
		total += y
	}
	if total <= 0 {
		return value.Column{}, errors.New("Shares of nothing are not known: one of the numbers is larger than 0.")
	}
	out := make([]float64, 0, len(a[0].Num))
	for _, y := range a[0].Num {
		out = append(out, y/total)
	}
	return value.Nums(out...), nil
}

func stateFuncs() []*catalogue.Func {
	point := kind.Type{Form: kind.Point, Dim: temperature}
	return []*catalogue.Func{
		{Name: "otherwise", Family: "lists", About: "x, or y where x is a mistake; the value is then flagged. An open x stays open.", Source: practice,
			Params: []catalogue.Param{x(), {Name: "y"}}, Special: catalogue.Otherwise, Examples: example("otherwise(ln(2 - 2), 7)", "7"),
			Result: func(a []catalogue.Arg) (kind.Type, error) {
				if !a[0].Type.Elem().Same(a[1].Type.Elem()) {
					return kind.Type{}, fmt.Errorf("otherwise takes two values of one kind; these are %s and %s.", a[0].Type.Article(), a[1].Type.Article())
				}
				return a[0].Type.Elem(), nil
			}},
		{Name: "absolute", Family: "numbers", About: "A temperature above absolute zero, in kelvin, for products and ratios.", Source: "SI Brochure, 9th edition, 2.3.1",
			Params: []catalogue.Param{{Name: "T", Type: &point}}, Lane1: func(t float64) float64 { return t }, Examples: example("absolute(20 degC) [0.01 K]", "293.15 K"),
			Result: func([]catalogue.Arg) (kind.Type, error) { return kind.Quantity(temperature), nil }},
	}
}
