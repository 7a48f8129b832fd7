package engine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// drawnColumn draws a column of numbers that are often equal, or nearly, and states.
func drawnColumn(t *rapid.T, b *bench, name string, n int, marked bool) {
	near := []float64{0, math.Copysign(0, -1), 1, -1, 1 + 1e-13, 1 + 9.99e-13, 1 + 1.01e-12, 1 - 1e-12, -1 - 1e-12, 5e-324, 1e-323, 1e300, 1e300 * (1 + 1e-13), 2, 3}
	xs, states := make([]float64, n), make([]value.State, n)
	for i := range xs {
		xs[i] = rapid.SampledFrom(near).Draw(t, name)
		if marked {
			states[i] = rapid.SampledFrom([]value.State{ok, ok, flag, open, bad}).Draw(t, "state")
		}
	}
	b.column(name, xs, states...)
}

// FilterEq is Filter over Eq: whatever is filtered already, marks and row numbers too, with an index and without.
func TestFilterEqAgreesWithThePair(t *testing.T) {
	indexed := over(numbers, numbers, oneNumber) // the third search of a column in one run has the index
	indexed.filterEq(0, 1, 2)
	indexed.filterEq(0, 1, 2)
	indexed.gives(indexed.filterEq(0, 1, 2))
	plain := over(numbers, numbers, oneNumber)
	plain.gives(plain.filterEq(0, 1, 2))
	pair := over(numbers, numbers, oneNumber)
	pair.gives(pair.op(program.Filter, numbers, 0, pair.op(program.Eq, numbers, 1, 2)))
	rapid.Check(t, func(t *rapid.T) {
		b := newBench(t)
		n := rapid.IntRange(0, 9).Draw(t, "rows")
		drawnColumn(t, b, "a", n, rapid.Bool().Draw(t, "marks of a"))
		drawnColumn(t, b, "b", rapid.SampledFrom([]int{n, n, n, n + 1}).Draw(t, "rows of b"), rapid.Bool().Draw(t, "marks of b"))
		drawnColumn(t, b, "c", 1, rapid.IntRange(0, 3).Draw(t, "mark of c") == 0)
		drawnColumn(t, b, "cond", n, rapid.Bool().Draw(t, "marks of the condition"))
		b.set("left", overLists(program.Filter), "a", "cond")
		b.set("right", overLists(program.Filter), "b", "cond")
		list := rapid.SampledFrom([]string{"a", "left"}).Draw(t, "list")
		column := rapid.SampledFrom([]string{"b", "b", "right"}).Draw(t, "column")
		b.set("pair", &pair.p, list, column, "ca")
		for name, p := range map[string]*program.Program{"plain": &plain.p, "indexed": &indexed.p} {
			b.set(name, p, list, column, "ca")
			got, want := b.j.Value(b.ids[name]), b.j.Value(b.ids["pair"])
			if b.state("pair") == bad && len(b.j.Causes(b.ids["pair"])) == 1 && want.Len() == 0 {
				require.Equal(t, b.says("pair"), b.says(name)) // the cell in the cause differs
				continue
			}
			require.True(t, got.Equal(want), "%s: %v, and not %v", name, got, want)
		}
	})
}

func TestFilterEqOfTextsAgreesWithThePair(t *testing.T) {
	build := func(times int) *program.Program {
		d := over(numbers, texts, oneText)
		var r program.Reg
		for range times {
			r = d.filterEq(0, 1, 2)
		}
		return d.gives(r)
	}
	pair := over(numbers, texts, oneText)
	pair.gives(pair.op(program.Filter, numbers, 0, pair.op(program.TextEq, numbers, 1, 2)))
	rapid.Check(t, func(t *rapid.T) {
		b := newBench(t)
		kinds := rapid.SliceOfN(rapid.SampledFrom([]string{"", "a", "A", "ab", "é"}), 0, 20).Draw(t, "kinds")
		xs := make([]float64, len(kinds))
		for i := range xs {
			xs[i] = float64(i)
		}
		d := over()
		b.set("kinds", d.gives(d.constant(texts, value.Texts(kinds...))))
		b.set("xs", list(xs...))
		b.set("kind", words(rapid.SampledFrom([]string{"", "a", "A", "b"}).Draw(t, "kind")))
		b.set("pair", &pair.p, "xs", "kinds", "kind")
		for _, times := range []int{1, 2, 3} {
			b.set("out", build(times), "xs", "kinds", "kind")
			require.True(t, b.j.Value(b.ids["out"]).Equal(b.j.Value(b.ids["pair"])))
		}
	})
}

// The index against a look at every number, for lists in which many are nearly equal.
func TestIndexAgreesWithEqual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.SampledFrom([]float64{0, 1, -3, 1e-310, 3e-312, 1e308, 0.1}).Draw(t, "base")
		xs := make([]float64, rapid.IntRange(1, 60).Draw(t, "n"))
		draw := func() float64 {
			return base*(1+1e-14*float64(rapid.IntRange(-300, 300).Draw(t, "x"))) + 5e-324*float64(rapid.IntRange(-3, 3).Draw(t, "tiny"))
		}
		for i := range xs {
			xs[i] = draw()
		}
		b := value.Nums(xs...)
		ix := indexed(&b)
		for range 5 {
			x := draw()
			var want []int
			for i := range xs {
				if equal(xs[i], x) {
					want = append(want, i)
				}
			}
			c := value.One(x)
			require.Equal(t, want, append([]int(nil), ix.find(&c)...))
		}
	})
}

// What a row works with is the row's own: a column made anew for each row is not taken for the one before.
func TestColumnsMadeForEachRowAreSearchedAnew(t *testing.T) {
	inner := over(numbers, oneNumber) // how many of xs + row are 5
	shifted := inner.op(program.Add, numbers, 0, 1)
	inner.filterEq(shifted, shifted, inner.num(5))
	inner.filterEq(shifted, shifted, inner.num(5))
	inner.gives(inner.call(whole(catalogue.CountOf, "count"), oneNumber, inner.filterEq(shifted, shifted, inner.num(5))))
	d := over(numbers, numbers)
	b := newBench(t)
	b.set("xs", list(1, 2, 2, 3, 3, 3))
	b.set("ys", list(4, 3, 2, 1, 2, 3))
	b.set("out", d.gives(d.eachRow(&inner.p, numbers, -1, 0, 1)), "xs", "ys")
	assert.Equal(t, []float64{1, 2, 3, 0, 3, 2}, b.numbersOf("out"))
}
