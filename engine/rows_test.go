package engine

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// along is a program of one operation along the rows: a list, and where wanted the single for the first row.
func along(op program.Op) *program.Program {
	if op == program.Running {
		d := over(numbers)
		return d.gives(d.op(op, numbers, 0))
	}
	d := over(numbers, oneNumber)
	return d.gives(d.op(op, numbers, 0, 1))
}

// rowStates gives the state of each row of a cell.
func (b *bench) rowStates(name string) []value.State {
	out := []value.State{}
	for i := range b.j.Value(b.ids[name]).Len() {
		out = append(out, b.j.RowState(b.ids[name], i))
	}
	return out
}

func (b *bench) numbersOf(name string) []float64 { return b.j.Value(b.ids[name]).Num }

// Ruling 28, worked out by hand: totals so far, the row above, the gap to it, with the states of rows.
func TestRuling28AlongTheRows(t *testing.T) {
	type states = []value.State
	cases := []struct {
		name  string
		op    program.Op
		xs    []float64
		state states
		first value.State
		want  []float64
		gives states
	}{
		{"totals", program.Running, []float64{1, 2, 3.5, -4}, nil, ok, []float64{1, 3, 6.5, 2.5}, states{ok, ok, ok, ok}},
		{"totals of nothing", program.Running, nil, nil, ok, nil, nil},
		{"an open row leaves all totals below it open", program.Running, []float64{1, 2, 3}, states{ok, open, ok}, ok, []float64{1, 0, 0}, states{ok, open, open}},
		{"a mistake too", program.Running, []float64{1, 2, 3}, states{ok, bad, ok}, ok, []float64{1, 0, 0}, states{ok, bad, bad}},
		{"a mistake below an open row is worse", program.Running, []float64{1, 2, 3}, states{open, ok, bad}, ok, []float64{0, 0, 0}, states{open, open, bad}},
		{"a flag goes down", program.Running, []float64{1, 2, 3}, states{ok, flag, ok}, ok, []float64{1, 3, 6}, states{ok, flag, flag}},
		{"too large", program.Running, []float64{1, 1.7e308, 1.7e308, -1.7e308}, nil, ok, []float64{1, 1.7e308, 0, 0}, states{ok, ok, bad, bad}},
		{"the row above", program.Before, []float64{1, 2, 3}, nil, ok, []float64{7, 1, 2}, states{ok, ok, ok}},
		{"above nothing", program.Before, nil, nil, ok, nil, nil},
		{"above one row", program.Before, []float64{1}, states{bad}, ok, []float64{7}, states{ok}},
		{"the row above with its state", program.Before, []float64{1, 2, 3, 4}, states{flag, open, bad, ok}, ok, []float64{7, 1, 2, 3}, states{ok, flag, open, bad}},
		{"the first row takes the state of its value", program.Before, []float64{1, 2}, nil, flag, []float64{7, 1}, states{flag, ok}},
		{"an open value for the first row", program.Before, []float64{1, 2}, nil, open, []float64{0, 1}, states{open, ok}},
		{"gaps", program.Steps, []float64{1, 4, 2.5}, nil, ok, []float64{7, 3, -1.5}, states{ok, ok, ok}},
		{"gaps of nothing", program.Steps, nil, nil, ok, nil, nil},
		{"the first gap does not look at the first row", program.Steps, []float64{1, 4, 2}, states{bad, ok, ok}, ok, []float64{7, 0, -2}, states{ok, bad, ok}},
		{"a gap rests on both rows", program.Steps, []float64{1, 4, 2, 3}, states{flag, ok, open, ok}, ok, []float64{7, 3, 0, 0}, states{ok, flag, open, open}},
		{"a first gap that is a mistake", program.Steps, []float64{1, 4}, nil, bad, []float64{0, 3}, states{bad, ok}},
		{"a gap too large", program.Steps, []float64{-1.7e308, 1.7e308, 0}, nil, ok, []float64{7, 0, -1.7e308}, states{ok, bad, ok}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.column("xs", c.xs, c.state...)
			inputs := []string{"xs"}
			if c.op != program.Running {
				b.stateOf("first", c.first, 7)
				inputs = append(inputs, "first")
			}
			b.set("out", along(c.op), inputs...)
			assert.Equal(t, append(states{}, c.gives...), b.rowStates("out"))
			for i, s := range c.gives {
				if s <= flag {
					assert.Equal(t, c.want[i], b.numbersOf("out")[i], "row %d", i+1)
				}
			}
		})
	}
}

// Ruling 34: a mistake in a row names the row in which it arose, also further down.
func TestRuling34AlongTheRows(t *testing.T) {
	b := newBench(t)
	b.set("xs", list(1.7e308, 1.7e308, 1))
	b.set("out", along(program.Running), "xs")
	assert.Equal(t, []string{"Row 2: The result is too large for a number."}, messages(b.j.RowCauses(b.ids["out"], 2)))
	b.column("ys", []float64{1, 2, 3}, ok, bad)
	b.set("out", along(program.Running), "ys")
	assert.Equal(t, []string{"Division by 0."}, messages(b.j.RowCauses(b.ids["out"], 2)), "as the row above tells it")
	d := over(numbers) // a first value that goes wrong in this very formula
	zero := d.num(0)
	b.set("out", d.gives(d.op(program.Before, numbers, 0, d.op(program.Div, oneNumber, zero, zero))), "xs")
	assert.Equal(t, []string{"Row 1: Division by 0."}, b.says("out"))
	assert.Equal(t, []value.State{bad, ok, ok}, b.rowStates("out"))
}

// Rows that were filtered keep their number; one that is there only perhaps lends its doubt about the value, and not
// about their being there, to the rows below.
func TestAlongFilteredRows(t *testing.T) {
	b := newBench(t)
	b.set("xs", list(1, 2, 3, 4))
	b.column("cond", []float64{0, 1, 0, 1})
	b.set("left", overLists(program.Filter), "xs", "cond")
	b.set("first", constant(0))
	for op, want := range map[program.Op][]float64{program.Running: {2, 6}, program.Before: {0, 2}, program.Steps: {0, 2}} {
		inputs := []string{"left", "first"}
		p := along(op)
		b.set("out", p, inputs[:p.Inputs]...)
		assert.Equal(t, want, b.numbersOf("out"))
		assert.Equal(t, []int32{1, 3}, b.j.Value(b.ids["out"]).Rows)
	}
	count := over(numbers, oneNumber)
	b.set("n", count.gives(count.call(whole(catalogue.CountOf, "count"), oneNumber, count.op(program.Before, numbers, 0, 1))), "left", "first")
	assert.Equal(t, 2.0, b.number("n"))
	b.column("cond", []float64{0, 1, 0, 1}, ok, ok, ok, open)
	assert.Equal(t, []string{"Waits for condd."}, b.says("n"), "the last row is there only perhaps")
	b.column("cond", []float64{1, 1, 1, 1}, open, ok, ok, ok)
	b.set("out", along(program.Running), "left")
	assert.Equal(t, []value.State{open, open, open, open}, b.rowStates("out"))
	only := over(numbers)
	b.set("one", only.gives(only.call(whole(catalogue.Only, "only"), oneNumber, 0)), "out")
	assert.Equal(t, []string{"3 rows meet the condition; exactly one is wanted."}, b.says("one"), "three are there for sure")
}

// broken sets a list that is open as a whole, without rows.
func (b *bench) broken(name string) {
	sorts := &catalogue.Func{Name: "sort", Params: []catalogue.Param{{Name: "xs", Whole: true}}, Call: func(a []value.Column) (value.Column, error) { return a[0], nil }}
	b.column(name+"0", []float64{3, 1}, ok, open)
	d := over(numbers)
	b.set(name, d.gives(d.call(sorts, numbers, 0)), name+"0")
}

// A list that is open as a whole leaves what goes along its rows open as a whole.
func TestAlongAListThatIsOpenAsAWhole(t *testing.T) {
	b := newBench(t)
	b.broken("xs")
	b.set("first", constant(0))
	for _, op := range []program.Op{program.Running, program.Before, program.Steps} {
		inputs := []string{"xs", "first"}
		p := along(op)
		b.set("out", p, inputs[:p.Inputs]...)
		assert.Equal(t, []string{"Waits for xs0b."}, b.says("out"))
		assert.Zero(t, b.j.Value(b.ids["out"]).Len())
	}
	d := over(oneNumber, numbers)
	b.set("out", d.gives(d.op(program.Spread, numbers, 0, 1)), "first", "xs")
	assert.Equal(t, []string{"Waits for xs0b."}, b.says("out"))
	d = over(numbers, oneNumber)
	d.p.Loops = []program.Loop{{At: []int32{0}}}
	d.args(program.Scatter, numbers, 0, 1)
	d.p.Code[0].A = 0
	b.set("out", d.gives(d.p.Code[0].Out), "xs", "first")
	assert.Equal(t, []string{"Waits for xs0b."}, b.says("out"))
}

// A single value once for each row: its mark goes to each, those of the list do not matter.
func TestSpread(t *testing.T) {
	spread := func(r program.Register) *program.Program {
		d := over(r, numbers)
		r.List = true
		return d.gives(d.op(program.Spread, r, 0, 1))
	}
	b := newBench(t)
	b.column("xs", []float64{1, 2, 3}, ok, bad, open)
	b.set("none", list([]float64{}...))
	for _, s := range []value.State{ok, flag, open, bad} {
		b.stateOf("x", s, 5)
		b.set("out", spread(oneNumber), "x", "xs")
		assert.Equal(t, []value.State{s, s, s}, b.rowStates("out"))
		if s <= flag {
			assert.Equal(t, []float64{5, 5, 5}, b.numbersOf("out"))
		}
		b.set("out", spread(oneNumber), "x", "none")
		assert.Zero(t, b.j.Value(b.ids["out"]).Len())
		assert.Equal(t, ok, b.state("out"), "no row bears the state")
	}
	b.set("word", words("a"))
	b.set("out", spread(oneText), "word", "xs")
	assert.Equal(t, []string{"a", "a", "a"}, b.j.Value(b.ids["out"]).Text)
	b.set("xs", list(1, 2, 3))
	b.set("cond", list(0, 1, 1))
	b.set("left", overLists(program.Filter), "xs", "cond")
	b.set("out", spread(oneText), "word", "left")
	assert.Equal(t, []int32{1, 2}, b.j.Value(b.ids["out"]).Rows)
}

// words is a cell of one text.
func words(s string) *program.Program {
	d := over()
	return d.gives(d.constant(oneText, value.Texts(s)))
}

// A record goes to each row with its fields, and with their states.
func TestSpreadOfARecord(t *testing.T) {
	b := newBench(t)
	b.set("xs", list(1, 2))
	b.stateOf("p", flag, 5)
	b.stateOf("q", bad, 5)
	pair := over(oneNumber, oneNumber)
	b.set("pair", pair.gives(pair.args(program.MakeRows, record, 0, 0, 1)), "p", "q")
	field := func(k int) *program.Program {
		d := over(record, numbers)
		rs := d.op(program.Spread, rows, 0, 1)
		r := d.op(program.GetField, numbers, rs)
		d.aux(k)
		return d.gives(r)
	}
	b.set("ps", field(0), "pair", "xs")
	assert.Equal(t, []value.State{flag, flag}, b.rowStates("ps"))
	assert.Equal(t, []float64{5, 5}, b.numbersOf("ps"))
	b.set("qs", field(1), "pair", "xs")
	assert.Equal(t, []value.State{bad, bad}, b.rowStates("qs"))
	// A record that is a mistake as a whole: each row is one, and there are as many as in the list.
	none := over(rows)
	b.set("empty", rowsOf(nil))
	b.set("pair", none.gives(none.call(whole(catalogue.Only, "only"), record, 0)), "empty")
	b.set("ps", field(0), "pair", "xs")
	assert.Equal(t, []value.State{bad, bad}, b.rowStates("ps"))
	assert.Equal(t, []string{"No row meets the condition; exactly one is wanted."}, b.says("ps"))
}

// rowsOf is a table of two columns of the same numbers.
func rowsOf(xs []float64) *program.Program {
	d := over()
	c := value.Column{N: len(xs), Fields: []value.Column{value.Nums(xs...), value.Nums(xs...)}}
	return d.gives(d.constant(rows, c))
}

// scatters is a program that puts singles into rows of a list.
func scatters(r program.Register, at ...int32) *program.Program {
	single := r
	single.List = false
	inputs := []program.Register{r}
	var args []program.Reg
	for i := range at {
		inputs = append(inputs, single)
		args = append(args, program.Reg(i+1))
	}
	d := over(inputs...)
	d.p.Loops = []program.Loop{{At: at}}
	out := d.args(program.Scatter, r, 0, args...)
	d.p.Code[0].A = 0
	return d.gives(out)
}

// Ruling 26: expressions stand in their rows, the others keep theirs.
func TestRuling26Scatter(t *testing.T) {
	b := newBench(t)
	b.column("xs", []float64{1, 2, 3, 4}, ok, open, ok, flag)
	b.set("p", constant(10))
	b.stateOf("q", bad, 0)
	b.set("out", scatters(numbers, 1, 2), "xs", "p", "q")
	assert.Equal(t, []value.State{ok, ok, bad, flag}, b.rowStates("out"))
	assert.Equal(t, []float64{1, 10, 0, 4}, b.numbersOf("out"))
	assert.Equal(t, []float64{1, 2, 3, 4}, []float64{b.number("xsa"), 2, b.number("xsc"), b.number("xsd")})
	assert.Equal(t, open, b.j.RowState(b.ids["xs"], 1), "the list itself stays as it was")
	b.set("out", scatters(numbers, 1, 3), "xs", "p", "p")
	assert.Equal(t, []value.State{ok, ok, ok, ok}, b.rowStates("out"))
	assert.Nil(t, b.j.Value(b.ids["out"]).Marks)
	b.set("out", scatters(numbers, 4), "xs", "p")
	assert.Equal(t, []string{"There is no row 5 in a list of 4."}, b.says("out"))
	d := over()
	b.set("names", d.gives(d.constant(texts, value.Texts("a", "b"))))
	b.set("word", words("c"))
	b.set("out", scatters(texts, 0), "names", "word")
	assert.Equal(t, []string{"c", "b"}, b.j.Value(b.ids["out"]).Text)
	assert.Equal(t, []string{"a", "b"}, b.j.Value(b.ids["names"]).Text)
	here := over(numbers, oneNumber) // a mistake of this very formula
	here.p.Loops = []program.Loop{{At: []int32{2}}}
	zero := here.num(0)
	r := here.args(program.Scatter, numbers, 0, here.op(program.Div, oneNumber, 1, zero))
	here.p.Code[1].A = 0
	b.set("out", here.gives(r), "xs", "p")
	assert.Equal(t, []string{"Row 3: Division by 0."}, messages(b.j.RowCauses(b.ids["out"], 2)))
}

// The totals of a running sum, against exact sums in big.Float: within two units in the last place, and what the theory
// of this sum allows where numbers cancel (Neumaier, Z. angew. Math. Mech. 54, 1974; from memory).
func TestRunningAgainstExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xs := rapid.SliceOfN(rapid.Float64Range(-1e9, 1e9), 1, 300).Draw(t, "xs")
		b := newBench(t)
		b.set("xs", list(xs...))
		b.set("out", along(program.Running), "xs")
		exact, size := new(big.Float).SetPrec(400), 0.0
		for i, x := range xs {
			exact.Add(exact, big.NewFloat(x))
			size += math.Abs(x)
			want, _ := exact.Float64()
			ulp := math.Nextafter(math.Abs(want), math.Inf(1)) - math.Abs(want)
			n := float64(i + 1)
			require.InDelta(t, want, b.numbersOf("out")[i], 2*ulp+n*n*0x1p-105*size)
		}
	})
}

func TestRunningOfAMillion(t *testing.T) {
	xs := slices.Repeat([]float64{0.1}, 1_000_000)
	b := newBench(t)
	b.set("xs", list(xs...))
	b.set("out", along(program.Running), "xs")
	// A million times the number that stands for 0.1: 100000.00000000000555, nearest to 100000.
	assert.Equal(t, 100000.0, b.numbersOf("out")[999_999], "added one by one it is 100000.00000133288")
}

// Against loops in plain Go: numbers and states, whatever the states of the rows.
func TestAlongTheRowsAgainstLoops(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 8).Draw(t, "rows")
		xs, states := make([]float64, n), make([]value.State, n)
		for i := range xs {
			xs[i] = float64(rapid.IntRange(-100, 100).Draw(t, "x"))
			states[i] = rapid.SampledFrom([]value.State{ok, ok, ok, flag, open, bad}).Draw(t, "state")
		}
		b := newBench(t)
		b.column("xs", xs, states...)
		b.stateOf("first", flag, 3)
		b.set("running", along(program.Running), "xs")
		b.set("before", along(program.Before), "xs", "first")
		b.set("steps", along(program.Steps), "xs", "first")
		total, worst := 0.0, ok
		for i, x := range xs {
			total, worst = total+x, max(worst, states[i])
			above, aboveState, gap, gapState := 3.0, flag, 3.0, flag
			if i > 0 {
				above, aboveState, gap, gapState = xs[i-1], states[i-1], x-xs[i-1], max(states[i], states[i-1])
			}
			agrees := func(name string, x float64, s value.State) {
				require.Equal(t, s, b.j.RowState(b.ids[name], i), "%s, row %d", name, i+1)
				if s <= flag {
					require.Equal(t, x, b.numbersOf(name)[i], "%s, row %d", name, i+1)
				}
			}
			agrees("running", total, worst)
			agrees("before", above, aboveState)
			agrees("steps", gap, gapState)
		}
	})
}

// Many open rows do not make the totals below them heavy: each tells some of what it waits for.
func TestRunningOverManyOpenRows(t *testing.T) {
	const n = 3000
	b := newBench(t)
	var e Edit
	var names []string
	for i := range n {
		name := fmt.Sprint("x", i)
		names = append(names, name)
		e.Put = append(e.Put, b.formula(name, waiting(name)))
	}
	_, err := b.j.Apply(e)
	require.NoError(t, err)
	b.set("xs", listOf(n), names...)
	b.set("out", along(program.Running), "xs")
	assert.Equal(t, open, b.j.RowState(b.ids["out"], n-1))
	assert.LessOrEqual(t, len(b.j.RowCauses(b.ids["out"], n-1)), maxTold+1)
}

func BenchmarkRunning(b *testing.B) {
	const n = 1_000_000
	d := newBench(b)
	d.set("xs", list(slices.Repeat([]float64{0.1, 0.7}, n/2)...))
	d.set("out", along(program.Running), "xs")
	node := &d.j.nodes[d.ids["out"]]
	b.ReportAllocs()
	for b.Loop() {
		d.j.compute(node)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/row")
}
