package engine

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// constant is a program that gives a number.
func constant(x float64) *program.Program {
	return &program.Program{Regs: []program.Register{{}}, Consts: []program.Const{{Reg: 0, Value: value.One(x)}}, Out: 0}
}

// binary is a program over two inputs.
func binary(op program.Op) *program.Program {
	return &program.Program{Regs: make([]program.Register, 3), Inputs: 2, Out: 2,
		Code: []program.Instr{{Op: op, Out: 2, A: 0, B: 1, C: program.None}}}
}

var (
	adds  = binary(program.Add)
	plus1 = &program.Program{Regs: make([]program.Register, 3), Inputs: 1, Out: 2,
		Consts: []program.Const{{Reg: 1, Value: value.One(1)}},
		Code:   []program.Instr{{Op: program.Add, Out: 2, A: 0, B: 1, C: program.None}}}
	isPositive = &program.Program{Regs: make([]program.Register, 3), Inputs: 1, Out: 2,
		Consts: []program.Const{{Reg: 1, Value: value.One(0)}},
		Code:   []program.Instr{{Op: program.Lt, Out: 2, A: 1, B: 0, C: program.None}}}
	same = &program.Program{Regs: make([]program.Register, 1), Inputs: 1, Out: 0}
)

// bench is a job that is built by names and logs what is recomputed.
type bench struct {
	t   require.TestingT
	j   *Job
	ids map[string]ID
	log []string
}

func newBench(t require.TestingT) *bench {
	b := &bench{t: t, j: New(), ids: map[string]ID{}}
	b.j.Log = func(_ ID, name string) { b.log = append(b.log, name) }
	return b
}

func (b *bench) formula(name string, p *program.Program, inputs ...string) Put {
	if _, ok := b.ids[name]; !ok {
		b.ids[name] = b.j.Reserve(1)[0]
	}
	f := Formula{Name: name, Program: p}
	for _, in := range inputs {
		f.Inputs = append(f.Inputs, b.ids[in])
	}
	return Put{b.ids[name], f}
}

func (b *bench) set(name string, p *program.Program, inputs ...string) Change {
	b.log = nil
	c, err := b.j.Apply(Edit{Put: []Put{b.formula(name, p, inputs...)}})
	require.NoError(b.t, err)
	require.NoError(b.t, b.j.Check())
	return c
}

func (b *bench) number(name string) float64 { return b.j.Value(b.ids[name]).Num[0] }

func (b *bench) recomputed() string { return strings.Join(b.log, " ") }

// diamond: b and c rest on a, d on both; e stands alone.
func diamond(t require.TestingT) *bench {
	b := newBench(t)
	b.set("a", constant(1))
	b.set("b", plus1, "a")
	b.set("c", plus1, "a")
	b.set("d", adds, "b", "c")
	b.set("e", constant(7))
	return b
}

func TestWhatIsRecomputed(t *testing.T) {
	b := diamond(t)
	assert.Equal(t, 4.0, b.number("d"))

	b.set("a", constant(2))
	assert.Equal(t, "a b c d", b.recomputed(), "a diamond computes its end once")
	assert.Equal(t, 6.0, b.number("d"))

	b.set("e", constant(8))
	assert.Equal(t, "e", b.recomputed(), "an unrelated input reaches nothing")

	b.set("a", constant(2))
	assert.Equal(t, "a", b.recomputed(), "the same value goes no further")

	b.set("sign", isPositive, "a")
	b.set("f", plus1, "sign")
	b.set("a", constant(3))
	assert.Equal(t, "a b c d sign", b.recomputed(), "a > 0 stays yes, so that f is cut off")
}

func TestUndoAndRedo(t *testing.T) {
	b := diamond(t)
	c := b.set("a", constant(5))
	assert.Equal(t, 12.0, b.number("d"))
	back, err := b.j.Apply(c.Inverse)
	require.NoError(t, err)
	assert.Equal(t, 4.0, b.number("d"))
	_, err = b.j.Apply(back.Inverse)
	require.NoError(t, err)
	assert.Equal(t, 12.0, b.number("d"))
	require.NoError(t, b.j.Check())
}

func TestAddAndDrop(t *testing.T) {
	b := diamond(t)
	c := b.set("g", plus1, "d")
	assert.Equal(t, "g", b.recomputed())
	_, err := b.j.Apply(c.Inverse)
	require.NoError(t, err)
	require.NoError(t, b.j.Check())
	assert.Equal(t, 5, b.j.Len())
	_, err = b.j.Apply(Edit{Drop: []ID{b.ids["b"]}})
	require.ErrorContains(t, err, "The cell b is in use by d.")
	require.NoError(t, b.j.Check())
}

func TestRingIsRefusedAndTheJobStays(t *testing.T) {
	b := diamond(t)
	_, err := b.j.Apply(Edit{Put: []Put{b.formula("a", plus1, "d")}})
	var ring *Ring
	require.ErrorAs(t, err, &ring)
	assert.ElementsMatch(t, []string{"a", "b", "d"}, ring.Names)
	assert.Equal(t, 4.0, b.number("d"), "as it was")
	require.NoError(t, b.j.Check())
	_, err = b.j.Apply(Edit{Put: []Put{b.formula("e", plus1, "e")}})
	require.ErrorAs(t, err, &ring)
	assert.Equal(t, []string{"e"}, ring.Names)
	b.set("a", constant(9))
	assert.Equal(t, 20.0, b.number("d"), "and it goes on")
}

// A chain of a million cells computes: nothing recurses over what a cell rests on.
func TestChainOfAMillion(t *testing.T) {
	n := 1_000_000
	if testing.Short() {
		n = 100_000
	}
	j := New()
	ids := j.Reserve(n)
	e := Edit{Put: make([]Put, n)}
	e.Put[0] = Put{ids[0], Formula{Name: "first", Program: constant(1)}}
	for i := 1; i < n; i++ {
		// The last first: the order of the edit is not the order of the chain.
		e.Put[n-i] = Put{ids[i], Formula{Program: plus1, Inputs: []ID{ids[i-1]}}}
	}
	_, err := j.Apply(e)
	require.NoError(t, err)
	assert.Equal(t, float64(n), j.Value(ids[n-1]).Num[0])
	_, err = j.Apply(Edit{Put: []Put{{ids[0], Formula{Name: "first", Program: constant(2)}}}})
	require.NoError(t, err)
	assert.Equal(t, float64(n+1), j.Value(ids[n-1]).Num[0])
	_, err = j.Apply(Edit{Put: []Put{{ids[0], Formula{Name: "first", Program: plus1, Inputs: []ID{ids[n-1]}}}}})
	var ring *Ring
	require.ErrorAs(t, err, &ring)
	assert.Len(t, ring.IDs, n)
}

// Random edits agree with a fresh job, to the last bit, and leave the order sound.
func TestRandomEditsAgreeWithAFreshJob(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench(t)
		const cells = 12
		formulas := map[string]Put{}
		for i := range cells {
			name := fmt.Sprint("c", i)
			b.set(name, constant(float64(i)))
			formulas[name] = b.formula(name, constant(float64(i)))
		}
		var undo []Change
		for range rapid.IntRange(1, 40).Draw(t, "steps") {
			name := fmt.Sprint("c", rapid.IntRange(0, cells-1).Draw(t, "cell"))
			var p Put
			switch rapid.IntRange(0, 2).Draw(t, "form") {
			case 0:
				p = b.formula(name, constant(rapid.Float64Range(-5, 5).Draw(t, "x")))
			case 1:
				p = b.formula(name, plus1, fmt.Sprint("c", rapid.IntRange(0, cells-1).Draw(t, "in")))
			default:
				p = b.formula(name, binary(program.Div), fmt.Sprint("c", rapid.IntRange(0, cells-1).Draw(t, "a")), fmt.Sprint("c", rapid.IntRange(0, cells-1).Draw(t, "b")))
			}
			if c, err := b.j.Apply(Edit{Put: []Put{p}}); err == nil {
				undo = append(undo, c)
			}
			require.NoError(t, b.j.Check())
			if len(undo) > 0 && rapid.IntRange(0, 4).Draw(t, "undo") == 0 {
				_, err := b.j.Apply(undo[len(undo)-1].Inverse)
				require.NoError(t, err)
				require.NoError(t, b.j.Check())
				undo = undo[:len(undo)-1]
			}
		}
		fresh := New()
		ids := fresh.Reserve(len(b.j.nodes))
		var e Edit
		for _, id := range b.j.order {
			e.Put = append(e.Put, Put{ids[id], b.j.Formula(id)})
		}
		_, err := fresh.Apply(e)
		require.NoError(t, err)
		for _, id := range b.j.order {
			assert.Equal(t, fresh.State(id), b.j.State(id))
			assert.Equal(t, fmt.Sprint(causeTexts(fresh.Causes(id))), fmt.Sprint(causeTexts(b.j.Causes(id))))
			x, y := fresh.Value(id), b.j.Value(id)
			require.Equal(t, math.Float64bits(x.Num[0]), math.Float64bits(y.Num[0]))
		}
	})
}

func causeTexts(cs []Cause) []string {
	var out []string
	for _, c := range cs {
		out = append(out, c.Text)
	}
	return out
}

// stateOf builds a cell in a state: ok, open, a mistake or flagged.
func (b *bench) stateOf(name string, s value.State, x float64) {
	switch s {
	case value.OK:
		b.set(name, constant(x))
	case value.Open:
		b.set(name, &program.Program{Regs: make([]program.Register, 1), Words: []string{name}, Code: []program.Instr{{Op: program.OpenAsk, Out: 0, A: program.None, B: program.None, C: program.None}}})
	case value.Flagged:
		b.set(name, &program.Program{Regs: make([]program.Register, 2), Words: []string{name}, Out: 1, Consts: []program.Const{{Reg: 0, Value: value.One(x)}},
			Code: []program.Instr{{Op: program.Assumed, Out: 1, A: 0, B: program.None, C: program.None}}})
	default:
		b.set(name+"0", constant(0))
		b.set(name, &program.Program{Regs: make([]program.Register, 2), Inputs: 1, Out: 1, Code: []program.Instr{{Op: program.Div, Out: 1, A: 0, B: 0, C: program.None}}}, name+"0")
	}
}

// Ruling 32: the worst of what was really used wins.
func TestRuling32WhatWasUsed(t *testing.T) {
	ifThen := &program.Program{Regs: make([]program.Register, 4), Inputs: 3, Out: 3, Code: []program.Instr{{Op: program.If, Out: 3, A: 0, B: 1, C: 2}}}
	cases := []struct {
		name       string
		p          *program.Program
		x, y, z    value.State
		cond       float64
		want       value.State
		wantNumber float64
	}{
		{"if takes the first branch and not the mistake of the second", ifThen, value.OK, value.OK, value.Mistake, 1, value.OK, 1},
		{"if takes the second branch and not the open first", ifThen, value.OK, value.Open, value.OK, 0, value.OK, 1},
		{"the branch taken lends its flag", ifThen, value.OK, value.Flagged, value.Mistake, 1, value.Flagged, 1},
		{"an open condition makes the value open", ifThen, value.Open, value.OK, value.OK, 1, value.Open, 0},
		{"no and a mistake is no", binary(program.And), value.OK, value.Mistake, value.OK, 0, value.OK, 0},
		{"yes and a mistake is a mistake", binary(program.And), value.OK, value.Mistake, value.OK, 1, value.Mistake, 0},
		{"yes or open is yes", binary(program.Or), value.OK, value.Open, value.OK, 1, value.OK, 1},
		{"no or open is open", binary(program.Or), value.OK, value.Open, value.OK, 0, value.Open, 0},
		{"open and no stays open: the left side was used", binary(program.And), value.Open, value.OK, value.OK, 0, value.Open, 0},
		{"a sum takes the worst", adds, value.Flagged, value.Open, value.OK, 1, value.Open, 0},
		{"a mistake is worse than open", adds, value.Mistake, value.Open, value.OK, 1, value.Mistake, 0},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.stateOf("x", c.x, c.cond)
			b.stateOf("y", c.y, 1)
			b.stateOf("z", c.z, 1)
			inputs := []string{"x", "y", "z"}[:c.p.Inputs]
			b.set("out", c.p, inputs...)
			assert.Equal(t, c.want, b.j.State(b.ids["out"]))
			if c.want < value.Open {
				assert.Equal(t, c.wantNumber, b.number("out"))
			}
		})
	}
}

// A changed cause is a change, also where value and state stay (ruling 33).
func TestRuling33AChangedCauseGoesOn(t *testing.T) {
	b := newBench(t)
	b.stateOf("p", value.Flagged, 4)
	b.stateOf("q", value.Flagged, 4)
	b.set("x", same, "p")
	b.set("y", plus1, "x")
	assert.Equal(t, []string{"Rests on the assumed value of p."}, causeTexts(b.j.Causes(b.ids["y"])))
	b.set("x", same, "q")
	assert.Equal(t, "x y", b.recomputed())
	assert.Equal(t, []string{"Rests on the assumed value of q."}, causeTexts(b.j.Causes(b.ids["y"])))
}

func TestNumbersThatAreNone(t *testing.T) {
	cases := []struct {
		op   program.Op
		x, y float64
		says string
	}{
		{program.Div, 1, 0, "Division by 0."},
		{program.Mul, 1e300, 1e300, "The result is too large for a number."},
		{program.Add, 1.7e308, 1.7e308, "The result is too large for a number."},
		{program.Pow, -1, 0.5, "A number below 0 has no power that is not whole."},
		{program.Pow, 0, -1, "0 has no power below 0."},
	}
	for _, c := range cases {
		b := newBench(t)
		b.set("x", constant(c.x))
		b.set("y", constant(c.y))
		b.set("out", binary(c.op), "x", "y")
		b.set("next", isPositive, "out")
		assert.Equal(t, []string{c.says}, causeTexts(b.j.Causes(b.ids["out"])))
		assert.Equal(t, value.Mistake, b.j.State(b.ids["next"]), "it does not become a number again")
	}
}

// Sums do not lose what a plain loop loses: against exact sums in big.Float.
func TestSumAgainstExact(t *testing.T) {
	xs := make([]float64, 100_001)
	exact := new(big.Float).SetPrec(200)
	for i := range xs {
		xs[i] = 0.1 * float64(i%7+1)
		exact.Add(exact, big.NewFloat(xs[i]))
	}
	want, _ := exact.Float64()
	assert.InEpsilon(t, want, total(xs), 1e-14)
	assert.Zero(t, total(nil))
	assert.Equal(t, total(xs), total(append([]float64{}, xs...)))
}

func list(p ...float64) *program.Program {
	return &program.Program{Regs: []program.Register{{List: true}}, Consts: []program.Const{{Reg: 0, Value: value.Nums(p...)}}, Out: 0}
}

func special(s catalogue.Special, name string) *program.Program {
	f := &catalogue.Func{Name: name, Special: s, Params: []catalogue.Param{{Name: "xs", Whole: true}}}
	return &program.Program{Regs: []program.Register{{List: true}, {}}, Inputs: 1, Out: 1, Funcs: []*catalogue.Func{f},
		Code: []program.Instr{{Op: program.Special, Out: 1, A: program.None, B: program.None, C: program.None, Args: []program.Reg{0}}}}
}

// Ruling 34: a mistake in a row names the row, and totals over it too.
func TestRuling34RowsAreNamed(t *testing.T) {
	b := newBench(t)
	b.set("xs", list(1, 2, 3))
	b.set("ys", list(1, 0, 2))
	quotient := binary(program.Div)
	quotient.Regs = []program.Register{{List: true}, {List: true}, {List: true}}
	b.set("q", quotient, "xs", "ys")
	b.set("total", special(catalogue.Sum, "sum"), "q")
	assert.Equal(t, value.OK, b.j.RowState(b.ids["q"], 0))
	assert.Equal(t, value.Mistake, b.j.RowState(b.ids["q"], 1))
	require.Len(t, b.j.Causes(b.ids["total"]), 1)
	assert.Equal(t, "Row 2: Division by 0.", b.j.Causes(b.ids["total"])[0].Message().Text)
	b.set("zs", list(1, 2))
	b.set("q", quotient, "xs", "zs")
	assert.Equal(t, []string{"A list of 3 and a list of 2 do not go together row by row."}, causeTexts(b.j.Causes(b.ids["total"])))
	b.set("nothing", list([]float64{}...))
	b.set("none", special(catalogue.Mean, "mean"), "nothing")
	assert.Equal(t, []string{"The mean of nothing is not known."}, causeTexts(b.j.Causes(b.ids["none"])))
}

func TestWorkIsCounted(t *testing.T) {
	b := newBench(t)
	b.j.MaxSteps = 10
	b.set("xs", list(make([]float64, 100)...))
	b.set("total", special(catalogue.Sum, "sum"), "xs")
	twice := &program.Program{Regs: []program.Register{{List: true}, {List: true}}, Inputs: 1, Out: 1, Code: []program.Instr{{Op: program.Neg, Out: 1, A: 0, B: program.None, C: program.None}}}
	b.set("more", twice, "xs")
	assert.Contains(t, causeTexts(b.j.Causes(b.ids["more"]))[0], "more than 10 steps")
}

// A slip inside a Go function becomes a mistake of its cell.
func TestPanicInAFunctionIsAMistake(t *testing.T) {
	f := &catalogue.Func{Name: "broken", Params: []catalogue.Param{{Name: "x"}}, Call: func([]value.Column) (value.Column, error) { panic("index out of range") }}
	p := &program.Program{Regs: make([]program.Register, 2), Inputs: 1, Out: 1, Funcs: []*catalogue.Func{f},
		Code: []program.Instr{{Op: program.Call, Out: 1, A: program.None, B: program.None, C: program.None, Args: []program.Reg{0}}}}
	b := newBench(t)
	b.set("x", constant(1))
	b.set("y", p, "x")
	assert.Equal(t, value.Mistake, b.j.State(b.ids["y"]))
	assert.Contains(t, causeTexts(b.j.Causes(b.ids["y"]))[0], "broken failed inside")
	assert.Equal(t, 1.0, b.number("x"))
}

func TestNoAllocationOnceWarm(t *testing.T) {
	b := diamond(t)
	j := b.j
	n := &j.nodes[b.ids["d"]]
	pl := j.plan(n.formula.Program)
	require.True(t, pl.fast)
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		if _, ok := j.runFast(pl, n); !ok {
			t.Fatal("the quick path gave up")
		}
	}))
}

func BenchmarkEditInChain(b *testing.B) {
	j := New()
	const n = 1000
	ids := j.Reserve(n)
	var e Edit
	e.Put = append(e.Put, Put{ids[0], Formula{Program: constant(1)}})
	for i := 1; i < n; i++ {
		e.Put = append(e.Put, Put{ids[i], Formula{Program: plus1, Inputs: []ID{ids[i-1]}}})
	}
	if _, err := j.Apply(e); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for i := range b.N {
		if _, err := j.Apply(Edit{Put: []Put{{ids[0], Formula{Program: constant(float64(i))}}}}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/cell")
}

func BenchmarkSum1000(b *testing.B) {
	xs := make([]float64, 1000)
	for i := range xs {
		xs[i] = float64(i)
	}
	b.ReportAllocs()
	for range b.N {
		if total(xs) != 499500 {
			b.Fatal("wrong sum")
		}
	}
}

// BenchmarkRunWarm runs one formula over a frame of floats, without the walk to it.
func BenchmarkRunWarm(b *testing.B) {
	d := diamond(b)
	n := &d.j.nodes[d.ids["d"]]
	pl := d.j.plan(n.formula.Program)
	b.ReportAllocs()
	for range b.N {
		if _, ok := d.j.runFast(pl, n); !ok {
			b.Fatal("the quick path gave up")
		}
	}
}
