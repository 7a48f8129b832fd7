package engine

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/program"
	"castwright/lang/value"
)

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
		{"no and a mistake is no", overTwo(program.And), value.OK, value.Mistake, value.OK, 0, value.OK, 0},
		{"yes and a mistake is a mistake", overTwo(program.And), value.OK, value.Mistake, value.OK, 1, value.Mistake, 0},
		{"yes or open is yes", overTwo(program.Or), value.OK, value.Open, value.OK, 1, value.OK, 1},
		{"no or open is open", overTwo(program.Or), value.OK, value.Open, value.OK, 0, value.Open, 0},
		{"open and no stays open: the left side was used", overTwo(program.And), value.Open, value.OK, value.OK, 0, value.Open, 0},
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
	assert.Equal(t, []string{"Rests on the assumed value of p."}, b.says("y"))
	b.set("x", same, "q")
	assert.Equal(t, "x y", b.recomputed())
	assert.Equal(t, []string{"Rests on the assumed value of q."}, b.says("y"))
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
		b.set("out", overTwo(c.op), "x", "y")
		b.set("next", isPositive, "out")
		assert.Equal(t, []string{c.says}, b.says("out"))
		assert.Equal(t, value.Mistake, b.j.State(b.ids["next"]), "it does not become a number again")
	}
}

// Sums against exact sums in big.Float, within the bound for sums in chunks with a tree of pairs above them (Higham,
// Accuracy and Stability of Numerical Algorithms, 2nd edition, section 4.2; from memory).
func TestSumAgainstExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 3000).Draw(t, "n")
		palette := rapid.SliceOfN(rapid.Float64Range(-1e9, 1e9), 1, 20).Draw(t, "numbers")
		xs := make([]float64, n)
		exact, size := new(big.Float).SetPrec(300), 0.0
		for i := range xs {
			xs[i] = palette[i%len(palette)] * float64(1+i%13)
			exact.Add(exact, big.NewFloat(xs[i]))
			size += math.Abs(xs[i])
		}
		want, _ := exact.Float64()
		bound := (chunk + math.Log2(float64(n+1)) + 1) * 0x1p-53 * size
		assert.InDelta(t, want, total(xs), bound)
	})
	many := make([]float64, 10_000_000)
	for i := range many {
		many[i] = 0.1
	}
	assert.InEpsilon(t, 1e6, total(many), 1e-14, "added one by one it is 999999.9998")
}

// A mistake stands at its operation; out of a rule it stands at the call, with the line in the rule.
func TestAMistakeHasItsPlace(t *testing.T) {
	sheet := &diag.Source{Name: "bench", Text: "x = mean_load(0 m)"}
	rules := &diag.Source{Name: "own.rules", Text: "give 1 / a", Rule: true}
	inside := program.Place{Source: rules, Span: diag.Span{From: 5, To: 10}}
	b := newBench(t)
	b.set("zero", constant(0))
	p := b.formula("x", overTwo(program.Div), "zero", "zero")
	p.Formula.Places = []program.Place{{Source: sheet, Span: diag.Span{From: 4, To: 18}, Inside: &inside}}
	_, err := b.j.Apply(Edit{Put: []Put{p}})
	require.NoError(t, err)
	want := "bench, line 1, place 5:\n    x = mean_load(0 m)\n        ^^^^^^^^^^^^^^\n  Division by 0.\n  In the rule:\n" +
		"own.rules, line 1, place 6:\n    give 1 / a\n         ^^^^^\n"
	assert.Equal(t, want, b.j.Causes(b.ids["x"])[0].Message().Draw())
	assert.Equal(t, "x", b.j.Causes(b.ids["x"])[0].Cell)
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
	quotient := overTwo(program.Div)
	quotient.Regs = []program.Register{{List: true}, {List: true}, {List: true}}
	b.set("q", quotient, "xs", "ys")
	b.set("total", special(catalogue.Sum, "sum"), "q")
	assert.Equal(t, value.OK, b.j.RowState(b.ids["q"], 0))
	assert.Equal(t, value.Mistake, b.j.RowState(b.ids["q"], 1))
	require.Len(t, b.j.Causes(b.ids["total"]), 1)
	assert.Equal(t, "Row 2: Division by 0.", b.j.Causes(b.ids["total"])[0].Message().Text)
	b.set("zs", list(1, 2))
	b.set("q", quotient, "xs", "zs")
	assert.Equal(t, []string{"A list of 3 and a list of 2 do not go together row by row."}, b.says("total"))
	b.set("nothing", list([]float64{}...))
	b.set("none", special(catalogue.Mean, "mean"), "nothing")
	assert.Equal(t, []string{"The mean of nothing is not known."}, b.says("none"))
}

func TestWorkIsCounted(t *testing.T) {
	b := newBench(t)
	b.j.MaxSteps = 10
	b.set("xs", list(make([]float64, 100)...))
	b.set("total", special(catalogue.Sum, "sum"), "xs")
	twice := &program.Program{Regs: []program.Register{{List: true}, {List: true}}, Inputs: 1, Out: 1, Code: []program.Instr{{Op: program.Neg, Out: 1, A: 0, B: program.None, C: program.None}}}
	b.set("more", twice, "xs")
	assert.Contains(t, b.says("more")[0], "more than 10 steps")
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
	assert.Contains(t, b.says("y")[0], "broken failed inside")
	assert.Equal(t, 1.0, b.number("x"))
}
