package engine

import (
	"errors"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/value"
)

const (
	ok   = value.OK
	flag = value.Flagged
	open = value.Open
	bad  = value.Mistake
)

func whole(s catalogue.Special, name string) *catalogue.Func {
	return &catalogue.Func{Name: name, Special: s, Params: []catalogue.Param{{Name: "xs", Whole: true}, {Name: "n"}}}
}

// chosen is a program of a special function over the rows of xs that a column of conditions takes.
func chosen(s catalogue.Special, name string, out program.Register) *program.Program {
	d := over(numbers, numbers)
	return d.gives(d.call(whole(s, name), out, d.op(program.Filter, numbers, 0, 1)))
}

// Rulings 21, 32 and 34 over lists: what a function of a list rests on.
func TestFunctionsOfListsByState(t *testing.T) {
	type states = []value.State
	all := []float64{1, 1, 1}
	cases := []struct {
		name  string
		f     catalogue.Special
		xs    states
		cond  []float64
		conds states
		want  value.State
		x     float64
		says  string
	}{
		{"a mistake that is filtered away lends nothing", catalogue.Sum, states{ok, bad, ok}, []float64{1, 0, 1}, nil, ok, 40, ""},
		{"a mistake that stays is told", catalogue.Sum, states{ok, bad, ok}, all, nil, bad, 0, "Division by 0."},
		{"an open row that stays makes the sum open", catalogue.Sum, states{ok, open, ok}, all, nil, open, 0, "Waits for xsb."},
		{"a mistake is worse than an open row", catalogue.Sum, states{open, bad, ok}, all, nil, bad, 0, "Division by 0."},
		{"a flag is passed on", catalogue.Mean, states{ok, flag, ok}, all, nil, flag, 20, "Rests on the assumed value of xsb."},
		{"an open condition makes the sum open", catalogue.Sum, nil, all, states{ok, open, ok}, open, 0, "Waits for condb."},
		{"a flagged condition that takes the row lends its flag", catalogue.Sum, nil, all, states{ok, flag, ok}, flag, 60, "Rests on the assumed value of condb."},
		{"a flagged condition that leaves a row out lends its flag too", catalogue.Sum, nil, []float64{1, 0, 1}, states{ok, flag, ok}, flag, 40, "Rests on the assumed value of condb."},
		{"the sum of nothing is 0", catalogue.Sum, nil, []float64{0, 0, 0}, nil, ok, 0, ""},
		{"the mean of nothing is a mistake", catalogue.Mean, nil, []float64{0, 0, 0}, nil, bad, 0, "The mean of nothing is not known."},
		{"an open row counts", catalogue.CountOf, states{ok, open, ok}, all, nil, ok, 3, ""},
		{"a row that is a mistake counts", catalogue.CountOf, states{ok, bad, ok}, all, nil, ok, 3, ""},
		{"a row that is taken only perhaps makes the count open", catalogue.CountOf, nil, all, states{ok, open, ok}, open, 0, "Waits for condb."},
		{"first looks at the first row alone", catalogue.First, states{ok, bad, open}, all, nil, ok, 10, ""},
		{"first of what is left", catalogue.First, states{bad, ok, ok}, []float64{0, 1, 1}, nil, ok, 20, ""},
		{"first is open where the first row is taken only perhaps", catalogue.First, nil, all, states{open, ok, ok}, open, 0, "Waits for conda."},
		{"last looks at the last row alone", catalogue.Last, states{bad, open, ok}, all, nil, ok, 30, ""},
		{"first of nothing", catalogue.First, nil, []float64{0, 0, 0}, nil, bad, 0, "The first of nothing is not known."},
		{"only takes the one row", catalogue.Only, states{bad, ok, open}, []float64{0, 1, 0}, nil, ok, 20, ""},
		{"only of none", catalogue.Only, nil, []float64{0, 0, 0}, nil, bad, 0, "No row meets the condition; exactly one is wanted."},
		{"only of several", catalogue.Only, nil, []float64{1, 0, 1}, nil, bad, 0, "2 rows meet the condition; exactly one is wanted."},
		{"only is open where another row is taken perhaps", catalogue.Only, nil, []float64{1, 1, 0}, states{ok, open, ok}, open, 0, "Waits for condb."},
		{"only of several for sure, another perhaps", catalogue.Only, nil, all, states{ok, open, ok}, bad, 0, "2 rows meet the condition; exactly one is wanted."},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.column("xs", []float64{10, 20, 30}, c.xs...)
			b.column("cond", c.cond, c.conds...)
			name := map[catalogue.Special]string{catalogue.First: "first", catalogue.Last: "last"}[c.f]
			b.set("out", chosen(c.f, name, oneNumber), "xs", "cond")
			assert.Equal(t, c.want, b.state("out"))
			if c.want <= flag {
				assert.Equal(t, c.x, b.number("out"))
			}
			if c.says == "" {
				assert.Empty(t, b.says("out"))
			} else {
				assert.Equal(t, []string{c.says}, b.says("out"))
			}
		})
	}
}

func TestAnyAndAll(t *testing.T) {
	cases := []struct {
		f      catalogue.Special
		xs     []float64
		states []value.State
		want   value.State
		x      float64
	}{
		{catalogue.All, []float64{1, 1}, nil, ok, 1},
		{catalogue.All, []float64{1, 0}, []value.State{open, ok}, ok, 0},
		{catalogue.All, []float64{1, 0}, []value.State{bad, ok}, ok, 0},
		{catalogue.All, []float64{1, 1}, []value.State{ok, open}, open, 0},
		{catalogue.All, []float64{1, 1}, []value.State{ok, flag}, flag, 1},
		{catalogue.Any, []float64{0, 1}, []value.State{bad, ok}, ok, 1},
		{catalogue.Any, []float64{0, 1}, []value.State{ok, open}, open, 0},
		{catalogue.Any, []float64{0, 0}, nil, ok, 0},
		{catalogue.Any, []float64{0, 1}, []value.State{ok, flag}, flag, 1},
	}
	for _, c := range cases {
		b := newBench(t)
		b.column("xs", c.xs, c.states...)
		d := over(numbers)
		b.set("out", d.gives(d.call(whole(c.f, "any"), oneNumber, 0)), "xs")
		assert.Equal(t, c.want, b.state("out"), "%v", c)
		assert.Equal(t, c.x, b.number("out"), "%v", c)
	}
}

func TestItem(t *testing.T) {
	cases := []struct {
		n    float64
		want value.State
		says []string
	}{
		{1, ok, nil}, {3, open, []string{"Waits for xsc."}},
		{0, bad, []string{"There is no value number 0 in a list of 3; they are counted from 1."}},
		{4, bad, []string{"There is no value number 4 in a list of 3; they are counted from 1."}},
		{1.5, bad, []string{"There is no value number 1.5 in a list of 3; they are counted from 1."}},
	}
	for _, c := range cases {
		b := newBench(t)
		b.column("xs", []float64{10, 20, 30}, ok, bad, open)
		b.set("n", constant(c.n))
		d := over(numbers, oneNumber)
		b.set("out", d.gives(d.call(whole(catalogue.Item, "item"), oneNumber, 0, 1)), "xs", "n")
		assert.Equal(t, c.want, b.state("out"))
		assert.Equal(t, c.says, b.says("out"))
	}
}

// Ruling 21: filtered values keep their row; a second `where` looks at the rows left, and mistakes tell the row that was.
func TestRuling21FilteredRowsKeepTheirNumber(t *testing.T) {
	b := newBench(t)
	b.set("xs", list(0, 5, 6, 0))
	b.set("c1", list(0, 1, 1, 1))
	b.set("c2", list(1, 1, 0, 1))
	filter := overLists(program.Filter)
	b.set("left", filter, "xs", "c1")
	b.set("again", filter, "left", "c2")
	assert.Equal(t, []float64{5, 0}, b.j.Value(b.ids["again"]).Num)
	assert.Equal(t, 3, b.j.Value(b.ids["again"]).Row(1))
	b.set("c1left", filter, "c2", "c1")
	b.set("side", filter, "left", "c1left")
	assert.Equal(t, []float64{5, 0}, b.j.Value(b.ids["side"]).Num, "a condition over the same rows left")
	d := over(numbers, oneNumber)
	b.set("one", constant(1))
	b.set("inverse", d.gives(d.op(program.Div, numbers, 1, 0)), "again", "one")
	assert.Equal(t, []string{"Row 4: Division by 0."}, b.says("inverse"))
	b.set("short", list(1, 1))
	b.set("refused", filter, "left", "short")
	assert.Equal(t, []string{"A list of 3 and a condition over 2 do not go together row by row."}, b.says("refused"))
	b.set("others", filter, "c2", "c2") // rows 1, 2 and 4, while left has rows 2, 3 and 4
	b.set("refused", filter, "left", "others")
	assert.Equal(t, []string{"The condition is over other rows than the list."}, b.says("refused"))
}

func overLists(op program.Op) *program.Program {
	d := over(numbers, numbers)
	return d.gives(d.op(op, numbers, 0, 1))
}

// Ruling 32 in columns: a row takes the mark of its own branch alone, and `and` looks no further than it has to.
func TestRuling32RowByRow(t *testing.T) {
	b := newBench(t)
	b.column("c", []float64{1, 0, 1, 1}, ok, ok, open, bad)
	b.column("x", []float64{1, 2, 3, 4}, ok, bad, ok, ok)
	b.column("y", []float64{5, 6, 7, 8}, open, flag, ok, ok)
	d := over(numbers, numbers, numbers)
	b.set("if", d.gives(d.op(program.If, numbers, 0, 1, 2)), "c", "x", "y")
	b.set("and", overLists(program.And), "c", "x")
	b.set("or", overLists(program.Or), "c", "y")
	b.set("otherwise", overLists(program.Otherwise), "x", "y")
	for name, want := range map[string][]value.State{
		"if": {ok, flag, open, bad}, "and": {ok, ok, open, bad}, "or": {ok, flag, open, bad}, "otherwise": {ok, flag, ok, ok},
	} {
		for i, s := range want {
			assert.Equal(t, s, b.j.RowState(b.ids[name], i), "%s, row %d", name, i+1)
		}
	}
	assert.Equal(t, []float64{1, 6, 3, 4}, b.j.Value(b.ids["otherwise"]).Num)
	assert.Contains(t, messages(b.j.RowCauses(b.ids["otherwise"], 1)),
		"The second value of otherwise stands here, since the first is a mistake. The first: Division by 0.")
}

// A list that is open or a mistake as a whole has no rows; that is never taken for an empty list.
func TestAListThatIsOpenAsAWhole(t *testing.T) {
	sorts := &catalogue.Func{Name: "sort", Params: []catalogue.Param{{Name: "xs", Whole: true}}, Call: func(a []value.Column) (value.Column, error) {
		return value.Nums(slices.Sorted(slices.Values(a[0].Num))...), nil
	}}
	b := newBench(t)
	b.column("xs", []float64{3, 1, 2}, ok, open)
	d := over(numbers)
	b.set("sorted", d.gives(d.call(sorts, numbers, 0)), "xs")
	b.set("ys", list(1, 2, 3))
	for _, s := range []catalogue.Special{catalogue.CountOf, catalogue.Sum, catalogue.First, catalogue.Only, catalogue.Any} {
		d := over(numbers)
		b.set("out", d.gives(d.call(whole(s, "f"), oneNumber, 0)), "sorted")
		assert.Equal(t, []string{"Waits for xsb."}, b.says("out"))
	}
	b.set("plus", overLists(program.Add), "sorted", "ys")
	assert.Equal(t, []string{"Waits for xsb."}, b.says("plus"))
	b.set("filter", overLists(program.Filter), "ys", "sorted")
	assert.Equal(t, []string{"Waits for xsb."}, b.says("filter"))
	b.stateOf("xsb", ok, 1)
	assert.Equal(t, []float64{2, 4, 6}, b.j.Value(b.ids["plus"]).Num, "answered, it has rows again")
}

// Needs and ranges of rules: the sentences, and what they do to the state.
func TestNeedAndHoldTellTheNumbers(t *testing.T) {
	test := program.Test{Rule: "strength_at", Cond: "age >= 1", Names: []string{"age"}, Regs: []program.Reg{0}, Specs: []*show.Spec{{}}}
	guarded := func(op program.Op, r program.Register) *program.Program {
		d := over(r)
		d.p.Tests = []program.Test{test}
		return d.gives(d.op(op, r, 0, d.op(program.Le, r, d.num(1), 0)))
	}
	cases := []struct {
		op   program.Op
		want value.State
		says string
	}{
		{program.Need, bad, "strength_at needs age >= 1; here age is 0.5."},
		{program.Hold, flag, "Outside the range of strength_at: it holds for age >= 1; here age is 0.5."},
	}
	for _, c := range cases {
		b := newBench(t)
		b.set("age", constant(0.5))
		b.set("out", guarded(c.op, oneNumber), "age")
		assert.Equal(t, c.want, b.state("out"))
		assert.Equal(t, []string{c.says}, b.says("out"))
		b.set("age", constant(2))
		assert.Equal(t, ok, b.state("out"))
		b.set("ages", list(2, 0.5, 3))
		b.set("outs", guarded(c.op, numbers), "ages")
		assert.Equal(t, []value.State{ok, c.want, ok}, []value.State{b.j.RowState(b.ids["outs"], 0), b.j.RowState(b.ids["outs"], 1), b.j.RowState(b.ids["outs"], 2)})
		assert.Equal(t, []string{"Row 2: " + c.says}, b.says("outs"))
	}
}

// A function that takes singles is mapped over a list; a row that is open or a mistake is not called, and an error is a
// mistake of its row.
func TestCallsAreMappedRowByRow(t *testing.T) {
	var called []float64
	f := &catalogue.Func{Name: "half", Params: []catalogue.Param{{Name: "x"}, {Name: "off", Optional: true}}, Call: func(a []value.Column) (value.Column, error) {
		called = append(called, a[0].Num[0])
		if a[0].Num[0] < 0 {
			return value.Column{}, errors.New("half takes no number below 0")
		}
		if len(a[1].Num) != 0 {
			return value.Column{}, errors.New("off was left out")
		}
		return value.One(a[0].Num[0] / 2), nil
	}}
	b := newBench(t)
	b.column("xs", []float64{8, -1, 6, 4, 2}, ok, ok, open, bad, flag)
	d := over(numbers)
	b.set("out", d.gives(d.call(f, numbers, 0, d.constant(numbers, value.Nums()))), "xs")
	assert.Equal(t, []float64{8, -1, 2}, called)
	assert.Equal(t, []float64{4, 0, 0, 0, 1}, b.j.Value(b.ids["out"]).Num)
	for i, s := range []value.State{ok, bad, open, bad, flag} {
		assert.Equal(t, s, b.j.RowState(b.ids["out"], i))
	}
	assert.Contains(t, b.says("out"), "Row 2: half takes no number below 0.")
}

// Records: `only` over rows gives one record; a field that is open leaves the others usable.
func TestRecords(t *testing.T) {
	b := newBench(t)
	b.set("kind", func() *program.Program {
		d := over()
		return d.gives(d.constant(texts, value.Texts("seat", "leg", "back")))
	}())
	b.column("mass", []float64{40, 12, 9}, ok, open)
	pick := func(kind string, field int, out program.Register) *program.Program {
		d := over(texts, numbers)
		table := d.args(program.MakeRows, rows, 0, 0, 1)
		cond := d.op(program.TextEq, numbers, 0, d.constant(oneText, value.Texts(kind)))
		row := d.call(whole(catalogue.Only, "only"), record, d.op(program.Filter, rows, table, cond))
		r := d.op(program.GetField, out, row)
		d.aux(field)
		return d.gives(r)
	}
	b.set("out", pick("seat", 1, oneNumber), "kind", "mass")
	assert.Equal(t, 40.0, b.number("out"))
	assert.Equal(t, ok, b.state("out"))
	b.set("out", pick("leg", 1, oneNumber), "kind", "mass")
	assert.Equal(t, open, b.state("out"))
	b.set("text", pick("leg", 0, oneText), "kind", "mass")
	assert.Equal(t, []string{"leg"}, b.j.Value(b.ids["text"]).Text)
	assert.Equal(t, ok, b.state("text"))
	b.set("out", pick("lid", 1, oneNumber), "kind", "mass")
	assert.Equal(t, []string{"No row meets the condition; exactly one is wanted."}, b.says("out"))
}

// A single record that a condition over rows guards becomes rows; each has its own state, and its own number.
func TestARecordMeetsAConditionOverRows(t *testing.T) {
	d := over(oneNumber, numbers)
	d.p.Tests = []program.Test{{Rule: "mix", Cond: "share > 0"}}
	guarded := d.op(program.Need, rows, d.args(program.MakeRows, record, 0, 0, 0), 1)
	r := d.op(program.GetField, numbers, guarded)
	b := newBench(t)
	b.set("x", constant(4))
	b.set("shares", list(1, 0, 2))
	b.set("out", d.gives(d.op(program.Div, numbers, r, r)), "x", "shares")
	assert.Equal(t, []float64{1, 0, 1}, b.j.Value(b.ids["out"]).Num)
	assert.Equal(t, []string{"Row 2: mix needs share > 0."}, b.says("out"))
	b.set("x", constant(0))
	assert.Equal(t, []string{"Row 1: Division by 0.", "Row 2: mix needs share > 0.", "Row 3: Division by 0."}, b.says("out"))
}

// What a cell's text lacks is a mistake of the cell and of all that rests on it, single or list.
func TestAFaultIsPassedOn(t *testing.T) {
	b := newBench(t)
	p := b.formula("x", nil)
	p.Formula.Fault = &Cause{Cell: "x", Text: "There is no unit Kg.", WayOut: "Did you mean kg?"}
	_, err := b.j.Apply(Edit{Put: []Put{p}})
	require.NoError(t, err)
	b.set("y", plus1, "x")
	b.set("list", overLists(program.Add), "x", "x")
	b.set("count", func() *program.Program {
		d := over(numbers)
		return d.gives(d.call(whole(catalogue.CountOf, "count"), oneNumber, 0))
	}(), "list")
	for _, name := range []string{"x", "y", "list", "count"} {
		assert.Equal(t, bad, b.state(name))
		assert.Equal(t, []string{"There is no unit Kg."}, b.says(name))
	}
}

// Work and length have limits, stated when they are met.
func TestLimitsAreStated(t *testing.T) {
	f := &catalogue.Func{Name: "parts", Params: []catalogue.Param{{Name: "n"}}, Call: func([]value.Column) (value.Column, error) {
		return value.Column{Num: make([]float64, maxList+1)}, nil
	}}
	b := newBench(t)
	b.set("n", constant(1))
	d := over(oneNumber)
	b.set("long", d.gives(d.call(f, numbers, 0)), "n")
	assert.Equal(t, []string{"A list holds at most 10000000 values; here it would be 10000001."}, b.says("long"))
	b.set("xs", list(make([]float64, 500)...))
	b.j.MaxSteps = 600
	b.set("ok", overLists(program.Add), "xs", "xs")
	require.Equal(t, ok, b.state("ok"))
	b.j.MaxSteps = 400
	b.set("ok", overLists(program.Sub), "xs", "xs")
	assert.Equal(t, []string{"This edit takes more than 400 steps of work."}, b.says("ok"))
}
