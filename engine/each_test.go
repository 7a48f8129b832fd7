package engine

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// eachRow adds an operation that runs a program once for each row. Arguments that are lists in the program around and
// singles inside go row by row.
func (d *draft) eachRow(inner *program.Program, out program.Register, self int, args ...program.Reg) program.Reg {
	l := program.Loop{Program: inner, Self: self}
	for k, r := range args {
		l.Row = append(l.Row, d.p.Regs[r].List && !inner.Regs[k].List)
	}
	d.p.Loops = append(d.p.Loops, l)
	return d.args(program.EachRow, out, len(d.p.Loops)-1, args...)
}

// filterEq adds the rows of a where b equals c.
func (d *draft) filterEq(a, b, c program.Reg) program.Reg {
	return d.op(program.FilterEq, d.p.Regs[a], a, b, c)
}

// sumIf is a program of the total of xs where keys equal a key.
func sumIf(key program.Register) *program.Program {
	keys := key
	keys.List = true
	d := over(numbers, keys, key)
	return d.gives(d.call(whole(catalogue.Sum, "sum"), oneNumber, d.filterEq(0, 1, 2)))
}

// totalsByKey is a program of such a total for each row.
func totalsByKey(key program.Register) *program.Program {
	key.List = true
	d := over(numbers, key)
	single := key
	single.List = false
	return d.gives(d.eachRow(sumIf(single), numbers, -1, 0, 1, 1))
}

// stock is a program of a column that uses the row above of itself: stock = before(stock, first: 100) + in - out.
func stock() *program.Program {
	inner := over(oneNumber, oneNumber, oneNumber)
	inner.gives(inner.op(program.Sub, oneNumber, inner.op(program.Add, oneNumber, 0, 1), 2))
	d := over(oneNumber, numbers, numbers)
	return d.gives(d.eachRow(&inner.p, numbers, 0, 0, 1, 2))
}

// Ruling 28: a column may use `before` of itself. Worked out by hand.
func TestRuling28AColumnOfItself(t *testing.T) {
	type states = []value.State
	cases := []struct {
		name      string
		first     value.State
		ins, outs states
		want      []float64
		gives     states
	}{
		{"stock", ok, nil, nil, []float64{104, 102, 109, 108}, states{ok, ok, ok, ok}},
		{"an open row leaves those below it open", ok, states{ok, open, ok, ok}, nil, []float64{104, 0, 0, 0}, states{ok, open, open, open}},
		{"a mistake too", ok, nil, states{ok, ok, bad, ok}, []float64{104, 102, 0, 0}, states{ok, ok, bad, bad}},
		{"a flag goes down", ok, states{ok, flag, ok, ok}, nil, []float64{104, 102, 109, 108}, states{ok, flag, flag, flag}},
		{"an assumed first value", flag, nil, nil, []float64{104, 102, 109, 108}, states{flag, flag, flag, flag}},
		{"an open first value", open, nil, nil, []float64{0, 0, 0, 0}, states{open, open, open, open}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.stateOf("first", c.first, 100)
			b.column("ins", []float64{5, 0, 10, 2}, c.ins...)
			b.column("outs", []float64{1, 2, 3, 3}, c.outs...)
			b.set("stock", stock(), "first", "ins", "outs")
			assert.Equal(t, c.gives, b.rowStates("stock"))
			for i, s := range c.gives {
				if s <= flag {
					assert.Equal(t, c.want[i], b.numbersOf("stock")[i], "row %d", i+1)
				}
			}
		})
	}
	b := newBench(t)
	b.set("first", constant(100))
	b.set("ins", list([]float64{}...))
	b.set("stock", stock(), "first", "ins", "ins")
	assert.Zero(t, b.j.Value(b.ids["stock"]).Len())
	assert.Equal(t, ok, b.state("stock"))
	b.set("ins", list(1, 2))
	b.set("outs", list(1, 2, 3))
	b.set("stock", stock(), "first", "ins", "outs")
	assert.Equal(t, []string{"A list of 2 and a list of 3 do not go together row by row."}, b.says("stock"))
	b.broken("outs")
	assert.Equal(t, []string{"Waits for outs0b."}, b.says("stock"))
}

// Rows that were filtered keep their number, and mistakes tell it; a row below one that went wrong tells the same.
func TestRuling34EachRowNamesItsRow(t *testing.T) {
	inner := over(oneNumber, oneNumber)
	inner.gives(inner.op(program.Add, oneNumber, 0, inner.op(program.Div, oneNumber, inner.num(1), 1)))
	d := over(oneNumber, numbers)
	p := d.gives(d.eachRow(&inner.p, numbers, 0, 0, 1))
	b := newBench(t)
	b.set("first", constant(0))
	b.set("xs", list(9, 1, 0, 2))
	b.set("cond", list(0, 1, 1, 1))
	b.set("left", overLists(program.Filter), "xs", "cond")
	b.set("out", p, "first", "left")
	assert.Equal(t, []int32{1, 2, 3}, b.j.Value(b.ids["out"]).Rows)
	assert.Equal(t, []value.State{ok, bad, bad}, b.rowStates("out"))
	for i := 1; i < 3; i++ {
		assert.Equal(t, []string{"Row 3: Division by 0."}, messages(b.j.RowCauses(b.ids["out"], i)))
	}
	d = over(numbers)
	one := over(oneNumber)
	one.gives(one.op(program.Div, oneNumber, one.num(1), 0))
	b.set("zeros", list(make([]float64, 500)...))
	b.set("out", d.gives(d.eachRow(&one.p, numbers, -1, 0)), "zeros")
	assert.Equal(t, []string{"Row 20: Division by 0."}, messages(b.j.RowCauses(b.ids["out"], 19)))
	assert.Equal(t, []string{"Division by 0."}, messages(b.j.RowCauses(b.ids["out"], 20)), "enough rows were named")
}

// Conditions of rules inside tell the numbers of the first rows; a column of flags has not a sentence for each.
func TestFlagsOfRowsAreToldForTheFirstRows(t *testing.T) {
	inner := over(oneNumber)
	inner.p.Tests = []program.Test{{Rule: "r", Cond: "x < 0"}}
	inner.gives(inner.op(program.Hold, oneNumber, 0, inner.op(program.Lt, oneNumber, 0, inner.num(0))))
	d := over(numbers)
	xs := make([]float64, 300)
	for i := range xs {
		xs[i] = float64(i)
	}
	b := newBench(t)
	b.set("xs", list(xs...))
	b.set("out", d.gives(d.eachRow(&inner.p, numbers, -1, 0)), "xs")
	assert.Equal(t, flag, b.j.RowState(b.ids["out"], 299))
	assert.Equal(t, 299.0, b.numbersOf("out")[299])
	assert.Equal(t, []string{"Outside the range of r: it holds for x < 0."}, b.says("out"))
}

// Conditional totals by a key, worked out by hand.
func TestTotalsByKey(t *testing.T) {
	b := newBench(t)
	b.column("xs", []float64{1, 2, 3, 4, 5})
	b.set("keys", list(7, 8, 7, 9, 7*(1+1e-13)))
	b.set("out", totalsByKey(oneNumber), "xs", "keys")
	assert.Equal(t, []float64{9, 2, 9, 4, 9}, b.numbersOf("out"), "equal within 1 part in 10^12")
	b.column("xs", []float64{1, 2, 3, 4, 5}, ok, open, flag, bad, ok)
	assert.Equal(t, []value.State{flag, open, flag, bad, flag}, b.rowStates("out"))
	d := over()
	b.set("kinds", d.gives(d.constant(texts, value.Texts("a", "b", "a", "", "b"))))
	b.column("xs", []float64{1, 2, 3, 4, 5})
	b.set("out", totalsByKey(oneText), "xs", "kinds")
	assert.Equal(t, []float64{4, 7, 4, 4, 7}, b.numbersOf("out"))
}

// A key that is open leaves open every total that may hold its row.
func TestTotalsByAKeyWithStates(t *testing.T) {
	b := newBench(t)
	b.set("xs", list(1, 2, 3))
	b.column("keys", []float64{7, 8, 7}, ok, open, ok)
	b.set("out", totalsByKey(oneNumber), "xs", "keys")
	assert.Equal(t, []value.State{open, open, open}, b.rowStates("out"))
	b.column("keys", []float64{7, 8, 7}, ok, flag, ok)
	assert.Equal(t, []value.State{flag, flag, flag}, b.rowStates("out"), "that the row is left out rests on it")
	assert.Equal(t, []float64{4, 2, 4}, b.numbersOf("out"))
}

// A program run once for each row gives what it gives over columns, where both can: numbers to the last bit, and states;
// quick or not, remembered or not.
func TestEachRowAgreesWithColumns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 8).Draw(t, "rows")
		shape := []bool{rapid.Bool().Draw(t, "list0"), true, rapid.Bool().Draw(t, "list2")}
		ops := drawOps(t)
		b := newBench(t)
		d := over(program.Register{List: shape[0]}, numbers, program.Register{List: shape[2]})
		for k := range shape {
			xs, states := make([]float64, n), make([]value.State, n)
			for i := range xs {
				xs[i] = rapid.SampledFrom([]float64{0, 1, -1, 2.5, 1e200}).Draw(t, "x")
				states[i] = rapid.SampledFrom([]value.State{ok, ok, ok, ok, ok, flag, open, bad}).Draw(t, "state")
			}
			if shape[k] {
				b.column(fmt.Sprint("in", k), xs, states...)
			} else {
				b.set(fmt.Sprint("in", k), constant(rapid.SampledFrom([]float64{0, 1, -2}).Draw(t, "single")))
			}
		}
		inner := compose(ops, make([]bool, 3))
		if rapid.Bool().Draw(t, "slow") { // a text in between keeps it from the quick way
			words := program.Reg(len(inner.Regs))
			inner.Regs = append(inner.Regs, oneText)
			inner.Consts = append(slices.Clone(inner.Consts), program.Const{Reg: words, Value: value.Texts("a")})
			inner.Regs = append(inner.Regs, oneNumber, oneNumber)
			last := inner.Out
			inner.Code = append(inner.Code, program.Instr{Op: program.Same, Out: words + 1, A: last, B: program.None, C: program.None},
				program.Instr{Op: program.Otherwise, Out: words + 2, A: words + 1, B: words + 1, C: program.None})
			inner.Out = words + 1
		}
		b.set("columns", compose(ops, shape), "in0", "in1", "in2")
		b.set("rows", d.gives(d.eachRow(inner, numbers, -1, 0, 1, 2)), "in0", "in1", "in2")
		for i := range n { // a single that is a mistake may choose for the whole column: it has a state then, and no rows
			require.Equal(t, b.j.RowState(b.ids["columns"], i), b.j.RowState(b.ids["rows"], i), "row %d", i+1)
		}
		for i, x := range b.numbersOf("columns") {
			if b.j.RowState(b.ids["columns"], i) <= flag {
				require.Equal(t, math.Float64bits(x), math.Float64bits(b.numbersOf("rows")[i]), "row %d", i+1)
			}
		}
	})
}

// Rows that are remembered give what rows worked out anew give.
func TestRememberedRows(t *testing.T) {
	const n = 5000
	xs, few, many := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range xs {
		xs[i], few[i], many[i] = float64(i), float64(i%7), float64(i%2500)
	}
	b := newBench(t)
	b.set("xs", list(xs...))
	for _, keys := range [][]float64{few, many} {
		want := map[float64]float64{}
		for i, k := range keys {
			want[k] += xs[i]
		}
		b.set("keys", list(keys...))
		b.set("out", totalsByKey(oneNumber), "xs", "keys")
		for i, k := range keys {
			require.Equal(t, want[k], b.numbersOf("out")[i], "row %d", i+1)
		}
	}
}

// Rows within rows: for each x, the total over the ys of x times y, by a program for each row of ys.
func TestRowsWithinRows(t *testing.T) {
	product := over(oneNumber, oneNumber)
	product.gives(product.op(program.Div, oneNumber, 0, 1))
	middle := over(oneNumber, numbers)
	middle.gives(middle.call(whole(catalogue.Sum, "sum"), oneNumber, middle.eachRow(&product.p, numbers, -1, 0, 1)))
	d := over(numbers, numbers)
	b := newBench(t)
	b.set("xs", list(8, 4, 0))
	b.set("ys", list(1, 2, 4))
	b.set("out", d.gives(d.eachRow(&middle.p, numbers, -1, 0, 1)), "xs", "ys")
	assert.Equal(t, []float64{14, 7, 0}, b.numbersOf("out"))
	b.set("ys", list(1, 0, 4))
	assert.Equal(t, []string{"Row 2: Division by 0."}, b.says("out"), "the row of the table looked at")
	b.column("ys", []float64{1, 2, 4}, ok, open)
	assert.Equal(t, []value.State{open, open, open}, b.rowStates("out"))
	require.NoError(t, b.j.Check())
	b.set("out", constant(1))
	assert.NotContains(t, b.j.plans, &product.p, "a program that no cell runs any more is forgotten")
	assert.NotContains(t, b.j.plans, &middle.p)
}

// A list made for each row tells its mistakes for the first rows only, too: the first row's are named, and told once.
func TestListsWithinRowsAreToldForTheFirstRows(t *testing.T) {
	inner := over(numbers, oneNumber)
	inner.gives(inner.call(whole(catalogue.Sum, "sum"), oneNumber, inner.op(program.Div, numbers, 0, 1)))
	d := over(numbers, numbers)
	b := newBench(t)
	b.set("xs", list(1, 2, 3))
	b.set("zeros", list(slices.Repeat([]float64{0, 1}, 100)...))
	p := d.gives(d.eachRow(&inner.p, numbers, -1, 0, 1))
	b.set("out", p, "xs", "zeros")
	want := []string{"Row 1: Division by 0.", "Row 2: Division by 0.", "Row 3: Division by 0."}
	for _, i := range []int{0, 2, 10} {
		assert.Equal(t, want, messages(b.j.RowCauses(b.ids["out"], i)))
	}
	assert.Equal(t, []string{"Division by 0."}, messages(b.j.RowCauses(b.ids["out"], 198)), "enough was told")
	assert.Equal(t, 6.0, b.numbersOf("out")[1])
}

// An operation that is not whole becomes a mistake of its cell.
func TestLoopsThatAreNotWhole(t *testing.T) {
	inner := over(oneNumber, oneNumber)
	inner.gives(inner.op(program.Add, oneNumber, 0, 1))
	lists := over(numbers)
	lists.gives(lists.op(program.Neg, numbers, 0))
	b := newBench(t)
	b.set("xs", list(1, 2))
	for says, p := range map[string]*program.Program{
		"This operation is not known.":                              &inner.p,
		"This gives a list where one value is wanted for each row.": &lists.p,
	} {
		d := over(numbers)
		b.set("out", d.gives(d.eachRow(p, numbers, -1, 0)), "xs")
		assert.Equal(t, []string{says}, b.says("out"))
	}
	deep := over(oneNumber)
	deep.gives(deep.op(program.Neg, oneNumber, 0))
	p := &deep.p
	for range maxNested + 1 { // rows within rows within rows
		d := over(oneNumber)
		one := d.args(program.List, numbers, 0, 0)
		p = d.gives(d.call(whole(catalogue.Sum, "sum"), oneNumber, d.eachRow(p, numbers, -1, one)))
	}
	b.set("x", constant(1))
	b.set("out", p, "x")
	assert.Contains(t, b.says("out")[0], "at most 100 deep")
}

// Results that are texts, records, or of a row above that is a text.
func TestEachRowOfOtherClasses(t *testing.T) {
	b := newBench(t)
	b.column("xs", []float64{1, 2, 0}, ok, flag)
	pair := over(oneNumber) // x and 1/x
	pair.gives(pair.args(program.MakeRows, record, 0, 0, pair.op(program.Div, oneNumber, pair.num(1), 0)))
	field := func(k int) *program.Program {
		d := over(numbers)
		r := d.op(program.GetField, numbers, d.eachRow(&pair.p, rows, -1, 0))
		d.aux(k)
		return d.gives(r)
	}
	b.set("x", field(0), "xs")
	b.set("y", field(1), "xs")
	assert.Equal(t, []value.State{ok, flag, ok}, b.rowStates("x"))
	assert.Equal(t, []value.State{ok, flag, bad}, b.rowStates("y"))
	assert.Equal(t, []float64{1, 0.5}, b.numbersOf("y")[:2])
	assert.Equal(t, []string{"Row 3: Division by 0."}, messages(b.j.RowCauses(b.ids["y"], 2)))
	longer := over(oneText, oneText)
	longer.p.Templates = [][]program.Piece{{{Arg: 0}, {Arg: 1}}}
	longer.gives(longer.args(program.Join, oneText, 0, 0, 1))
	d := over(oneText, texts)
	b.set("first", words(">"))
	w := over()
	b.set("words", w.gives(w.constant(texts, value.Texts("a", "b", "c"))))
	b.set("joined", d.gives(d.eachRow(&longer.p, texts, 0, 0, 1)), "first", "words")
	assert.Equal(t, []string{">a", ">ab", ">abc"}, b.j.Value(b.ids["joined"]).Text)
}

// Records by row: fields with states go in, and a row's record is one inside.
func TestEachRowOverRecords(t *testing.T) {
	b := newBench(t)
	b.column("xs", []float64{1, 2, 3}, ok, open, ok)
	b.column("ys", []float64{10, 20, 30}, flag, ok, bad)
	table := over(numbers, numbers)
	b.set("table", table.gives(table.args(program.MakeRows, rows, 0, 0, 1)), "xs", "ys")
	inner := over(record)
	x := inner.op(program.GetField, oneNumber, 0)
	y := inner.op(program.GetField, oneNumber, 0)
	inner.aux(1)
	d := over(rows)
	b.set("x", d.gives(d.eachRow(inner.gives(x), numbers, -1, 0)), "table")
	assert.Equal(t, []value.State{ok, open, ok}, b.rowStates("x"))
	other := *inner
	e := over(rows)
	b.set("y", e.gives(e.eachRow(other.gives(y), numbers, -1, 0)), "table")
	assert.Equal(t, []value.State{flag, ok, bad}, b.rowStates("y"))
	assert.Equal(t, []float64{10, 20}, b.numbersOf("y")[:2])
}

// The work of rows is counted, and the limit told.
func TestWorkOfRowsIsCounted(t *testing.T) {
	b := newBench(t)
	b.j.MaxSteps = 1000
	b.set("first", constant(0))
	b.set("xs", list(make([]float64, 500)...))
	b.set("stock", stock(), "first", "xs", "xs")
	assert.Equal(t, []string{"This edit takes more than 1000 steps of work."}, b.says("stock"))
	b.j.MaxSteps = 100_000
	b.set("stock", stock(), "first", "xs", "xs")
	assert.Equal(t, ok, b.state("stock"))
	b.j.MaxSteps = 3000
	b.set("keys", list(slices.Repeat([]float64{1, 2, 3, 4, 5}, 100)...))
	b.set("out", totalsByKey(oneNumber), "xs", "keys")
	assert.Equal(t, ok, b.state("out"), "five keys take two looks at the column, and one at the rows of each")
	b.j.MaxSteps = 1200
	b.set("out", totalsByKey(oneNumber), "xs", "keys")
	assert.Contains(t, b.says("out")[0], "more than 1200 steps")
}

// Once warm, rows of single numbers take no memory each: only the result does.
func TestEachRowDoesNotAllocate(t *testing.T) {
	allocs := func(n int) float64 {
		b := newBench(t)
		b.set("first", constant(1))
		b.set("xs", list(make([]float64, n)...))
		b.set("stock", stock(), "first", "xs", "xs")
		node := &b.j.nodes[b.ids["stock"]]
		return testing.AllocsPerRun(10, func() { b.j.compute(node) })
	}
	few := allocs(10)
	assert.LessOrEqual(t, few, 6.0)
	assert.Equal(t, few, allocs(10_000))
}

func BenchmarkStock(b *testing.B) {
	const n = 1_000_000
	d := newBench(b)
	d.set("first", constant(100))
	d.set("ins", list(slices.Repeat([]float64{0.1, 0.7}, n/2)...))
	d.set("outs", list(slices.Repeat([]float64{0.7, 0.1}, n/2)...))
	d.set("stock", stock(), "first", "ins", "outs")
	benchRows(b, d, "stock", n)
}

// benchRows measures a full run of a cell.
func benchRows(b *testing.B, d *bench, name string, n int) {
	node := &d.j.nodes[d.ids[name]]
	require.Equal(b, ok, d.state(name))
	b.ReportAllocs()
	for b.Loop() {
		d.j.steps = 0
		d.j.compute(node)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/row")
}

// Conditional totals for each row, by few keys and by keys that are all different, numbers and texts.
func BenchmarkTotalsByKey(b *testing.B) {
	for _, n := range []int{100_000, 1_000_000} {
		for _, keys := range []int{10, 1000, n} {
			xs, ks, kinds := make([]float64, n), make([]float64, n), make([]string, n)
			for i := range xs {
				xs[i], ks[i] = float64(i%97), float64(i*7919%keys)
				kinds[i] = fmt.Sprint("kind ", ks[i])
			}
			d := newBench(b)
			d.set("xs", list(xs...))
			d.set("keys", list(ks...))
			k := over()
			d.set("kinds", k.gives(k.constant(texts, value.Texts(kinds...))))
			d.set("numbers", totalsByKey(oneNumber), "xs", "keys")
			d.set("texts", totalsByKey(oneText), "xs", "kinds")
			for _, name := range []string{"numbers", "texts"} {
				b.Run(fmt.Sprintf("rows=%d/keys=%d/%s", n, keys, name), func(b *testing.B) { benchRows(b, d, name, n) })
			}
		}
	}
}

// Row edits under all that goes along the rows: the job agrees with one made anew, states and sentences too.
func TestRowEditsAlongTheRowsAgreeWithAFreshJob(t *testing.T) {
	inverse := over(oneNumber, oneNumber)
	inverse.p.Tests = []program.Test{{Rule: "r", Cond: "x < 2"}}
	held := inverse.op(program.Hold, oneNumber, 0, inverse.op(program.Lt, oneNumber, 0, inverse.num(2)))
	inverse.gives(inverse.op(program.Div, oneNumber, held, 1))
	quotient := over(numbers, numbers)
	quotient.gives(quotient.eachRow(&inverse.p, numbers, -1, 0, 1))
	build := func(t require.TestingT, columns [2]value.Column, open [2][]int32) *bench {
		b := newBench(t)
		for k, name := range []string{"xs", "ks"} {
			p := b.formula(name, nil)
			p.Formula.Data = &Data{Column: columns[k], Open: open[k], Ask: name}
			_, err := b.j.Apply(Edit{Put: []Put{p}})
			require.NoError(t, err)
		}
		b.set("first", constant(1))
		b.set("running", along(program.Running), "xs")
		b.set("before", along(program.Before), "xs", "first")
		b.set("steps", along(program.Steps), "running", "first")
		b.set("totals", totalsByKey(oneNumber), "xs", "ks")
		b.set("stock", stock(), "first", "xs", "ks")
		b.set("quotient", &quotient.p, "xs", "ks")
		b.set("scattered", scatters(numbers, 1), "quotient", "first")
		b.set("again", &quotient.p, "scattered", "quotient")
		return b
	}
	palette := []float64{0, 1, 2, 3, 1 + 1e-13}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 40).Draw(t, "rows")
		columns := [2]value.Column{value.Nums(make([]float64, n)...), value.Nums(make([]float64, n)...)}
		isOpen := [2][]bool{make([]bool, n), make([]bool, n)}
		for k := range columns {
			for i := range n {
				columns[k].Num[i] = rapid.SampledFrom(palette).Draw(t, "x")
			}
		}
		b := build(t, columns, [2][]int32{})
		for range rapid.IntRange(1, 8).Draw(t, "edits") {
			k, i := rapid.IntRange(0, 1).Draw(t, "column"), rapid.IntRange(0, n-1).Draw(t, "row")
			x := rapid.SampledFrom(palette).Draw(t, "x")
			isOpen[k][i] = rapid.IntRange(0, 3).Draw(t, "open") == 0
			columns[k].Num[i] = x
			_, err := b.j.Apply(Edit{Rows: []RowPut{{ID: b.ids[[]string{"xs", "ks"}[k]], Row: i, Value: value.One(x), Open: isOpen[k][i]}}})
			require.NoError(t, err)
			require.NoError(t, b.j.Check())
		}
		var open [2][]int32
		for k := range isOpen {
			for i, is := range isOpen[k] {
				if is {
					open[k] = append(open[k], int32(i))
				}
			}
		}
		fresh := build(t, columns, open)
		for name := range b.ids {
			require.Equal(t, fresh.rowStates(name), b.rowStates(name), name)
			require.Equal(t, fresh.says(name), b.says(name), name)
			for i := range b.numbersOf(name) {
				require.Equal(t, messages(fresh.j.RowCauses(fresh.ids[name], i)), messages(b.j.RowCauses(b.ids[name], i)), name)
				if b.j.RowState(b.ids[name], i) <= flag {
					require.Equal(t, math.Float64bits(fresh.numbersOf(name)[i]), math.Float64bits(b.numbersOf(name)[i]), name)
				}
			}
		}
	})
}
