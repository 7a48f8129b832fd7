package engine

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// logRows logs a cell with the number of rows that were run, where it was not run whole.
func (b *bench) logRows() {
	names := map[ID]string{}
	for name, id := range b.ids {
		names[id] = name
	}
	told := ""
	b.j.LogRows = func(id ID, rows int) { told = fmt.Sprint(":", rows) }
	b.j.Log = func(_ ID, name string) {
		b.log = append(b.log, name+told)
		told = ""
	}
}

// tableOf is a diamond over a column of n rows: b and c rest on a, d on both; total adds d up.
func tableOf(t require.TestingT, n int) *bench {
	b := newBench(t)
	xs := make([]float64, n)
	for i := range xs {
		xs[i] = float64(i%100) + 1
	}
	b.typed("a", xs)
	b.set("k", constant(2))
	d := over(numbers, oneNumber)
	b.set("b", d.gives(d.op(program.Mul, numbers, 0, 1)), "a", "k")
	b.set("c", overColumns(program.Div), "a", "b")
	b.set("d", overColumns(program.Add), "b", "c")
	b.set("total", special(catalogue.Sum, "sum"), "d")
	b.logRows()
	return b
}

// Before a value changes, by row or as a whole, it is told of while it can still be read; once, and only where it changes.
func TestToldBeforeValuesChange(t *testing.T) {
	b := tableOf(t, 2*longSum)
	old := map[string]float64{}
	b.j.Before = func(id ID) {
		for name, k := range b.ids {
			if k != id {
				continue
			}
			require.NotContains(t, old, name)
			old[name] = b.number(name)
		}
	}
	d := over(numbers)
	b.set("positive", d.gives(d.op(program.Lt, numbers, d.num(0), 0)), "a")
	sum := b.number("total")
	b.edit(Edit{Rows: []RowPut{{ID: b.ids["a"], Row: 0, Value: value.One(300)}, {ID: b.ids["a"], Row: 0, Value: value.One(301)}}})
	assert.Equal(t, map[string]float64{"a": 1, "b": 2, "d": 2.5, "total": sum}, old)
	clear(old)
	b.set("k", constant(4))
	assert.Equal(t, 602.0, old["b"])
}

func TestDiamondOverRows(t *testing.T) {
	b := tableOf(t, 3*longSum)
	b.row("a", 5, 300)
	assert.Equal(t, "b:2 c:2 d:2 total:0", b.recomputed(), "the row, and one that keeps it company; the end once")
	assert.Equal(t, 600.5, b.j.Value(b.ids["d"]).Num[5])
	b.edit(Edit{Rows: []RowPut{{ID: b.ids["a"], Row: 7, Value: value.One(1)}, {ID: b.ids["a"], Row: 100, Value: value.One(3)}, {ID: b.ids["a"], Row: 900, Value: value.One(4)}}})
	assert.Equal(t, "b:3 c:3 d:3 total:0", b.recomputed())
	b.set("k", constant(3))
	assert.Equal(t, "k b c d total", b.recomputed(), "a single value that reaches all rows runs them all")
	b.row("a", 5, 300)
	assert.Empty(t, b.log, "the same value goes no further")
}

// Where a row of a column comes out as it was, nothing behind it is run, though the row above was changed.
func TestCutOffByRow(t *testing.T) {
	b := tableOf(t, 100)
	d := over(numbers)
	b.set("big", d.gives(d.op(program.Lt, numbers, d.num(50), 0)), "a")
	d = over(numbers)
	b.set("some", d.gives(d.op(program.Neg, numbers, 0)), "big")
	b.log = nil
	b.row("a", 60, 70)
	assert.NotContains(t, b.log, "some:2")
	assert.Contains(t, b.log, "big:2")
	b.edit(Edit{Rows: []RowPut{{ID: b.ids["a"], Row: 60, Value: value.One(3)}, {ID: b.ids["a"], Row: 70, Value: value.One(71.5)}, {ID: b.ids["a"], Row: 71, Value: value.One(72.5)}}})
	assert.Contains(t, b.log, "big:3")
	assert.Contains(t, b.log, "some:2", "one row of three changed")
}

// A column that runs whole hands on the rows that changed, where they are few.
func TestWholeRunsHandOnRows(t *testing.T) {
	b := newBench(t)
	xs := make([]float64, 50)
	b.typed("a", xs)
	d := over(numbers)
	b.set("b", d.gives(d.op(program.Neg, numbers, 0)), "a")
	b.logRows()
	xs[7] = 1
	b.log = nil
	b.typed("a", xs)
	assert.Equal(t, "a b:2", b.recomputed())
	b.log = nil
	b.typed("a", xs[:49])
	assert.Equal(t, "a b", b.recomputed(), "another length")
}

// What is told row by row is the same as after a whole run, up to where so many rows are told that the rest is not.
func TestMistakesRowByRow(t *testing.T) {
	const n = 60
	b := newBench(t)
	ones := make([]float64, n)
	for i := range ones {
		ones[i] = 1
	}
	b.typed("x", ones)
	b.typed("y", ones)
	b.set("q", overColumns(program.Div), "y", "x")
	b.logRows()
	compare := func() {
		fresh := newBench(t)
		fresh.typed("x", b.j.Value(b.ids["x"]).Num)
		fresh.typed("y", ones)
		fresh.set("q", overColumns(program.Div), "y", "x")
		sameValues(t, fresh.j, b.j, fresh.j.Value(fresh.ids["q"]), b.j.Value(b.ids["q"]), "q")
		require.Equal(t, fresh.says("q"), b.says("q"))
	}
	var undo []Edit
	for i := range maxTold + 5 {
		undo = append(undo, b.row("x", (i*7)%n, 0).Inverse)
		if i == 0 {
			assert.Equal(t, "q:2", b.recomputed())
		}
		compare()
	}
	assert.Equal(t, "q", b.recomputed(), "too many are told")
	for i := len(undo) - 1; i >= 0; i-- {
		b.edit(undo[i])
		compare()
	}
	for k := range 3 { // several at once, up to more than are told
		var e Edit
		for i := range 8 {
			e.Rows = append(e.Rows, RowPut{ID: b.ids["x"], Row: k + 5*i, Value: value.One(0)})
		}
		undo[k] = b.edit(e).Inverse
		compare()
	}
	for k := range 3 {
		b.edit(undo[k])
		compare()
	}
	assert.Nil(t, b.j.Value(b.ids["q"]).Marks)
}

// Rows and formulas in one edit, few formulas or most of the job.
func TestRowsBesideFormulas(t *testing.T) {
	for _, others := range []int{0, 50} {
		b := newBench(t)
		for i := range others {
			b.set(fmt.Sprint("other", i), constant(1))
		}
		b.typed("a", []float64{1, 2, 3})
		b.set("b", overColumns(program.Add), "a", "a")
		b.set("k", constant(1))
		b.set("l", constant(1))
		b.set("m", constant(1))
		c := b.edit(Edit{Put: []Put{b.formula("k", constant(2)), b.formula("l", plus1, "k"), b.formula("m", plus1, "l")},
			Rows: []RowPut{{ID: b.ids["a"], Row: 1, Value: value.One(7)}}})
		assert.Equal(t, []float64{2, 14, 6}, b.j.Value(b.ids["b"]).Num)
		assert.Equal(t, 4.0, b.number("m"))
		b.edit(c.Inverse)
		assert.Equal(t, []float64{2, 4, 6}, b.j.Value(b.ids["b"]).Num)
		assert.Equal(t, 1.0, b.number("m"))
	}
}

// Undo of rows, of formulas and of cells taken out, in turn.
func TestUndoOfRows(t *testing.T) {
	b := tableOf(t, 40)
	before := b.number("total")
	first := b.row("a", 3, 77)
	second := b.edit(Edit{Drop: []ID{b.ids["total"]}, Rows: []RowPut{{ID: b.ids["a"], Row: 4, Open: true}}})
	b.edit(second.Inverse)
	b.edit(first.Inverse)
	assert.Equal(t, before, b.number("total"))
}

// A sum by its parts is the whole sum to the last bit, whatever the length and the rows.
func TestSumsByParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.OneOf(rapid.IntRange(1, 20*chunk), rapid.SampledFrom([]int{chunk, chunk + 1, 2 * chunk, 8 * chunk, 8*chunk + 1})).Draw(t, "numbers")
		r := rand.New(rand.NewPCG(uint64(n), 1))
		xs := make([]float64, n)
		for i := range xs {
			xs[i] = r.NormFloat64() * 1e9
		}
		tree := newSumTree(xs)
		require.True(t, sameBits(total(xs), tree.total()))
		for range 5 {
			rows := rapid.SliceOfNDistinct(rapid.IntRange(0, n-1), 1, min(n, 9), rapid.ID).Draw(t, "rows")
			tr := &tracks{}
			for _, row := range rows {
				xs[row] = r.NormFloat64()
				tr.rows = append(tr.rows, int32(row))
			}
			tr.settle()
			tree.update(xs, tr.rows)
			require.True(t, sameBits(total(xs), tree.total()))
			require.Equal(t, newSumTree(xs).sums, tree.sums)
		}
	})
}

// Programs over sums keep the parts too, and a mean, beside a single value that changes.
func TestProgramsOverSums(t *testing.T) {
	b := tableOf(t, longSum+300)
	d := over(numbers, oneNumber)
	mean := &catalogue.Func{Name: "mean", Special: catalogue.Mean, Params: []catalogue.Param{{Name: "xs", Whole: true}}}
	p := d.gives(d.op(program.Div, oneNumber, sumOf(d, 0), d.op(program.Add, oneNumber, 1, d.call(mean, oneNumber, 0))))
	b.set("y", p, "a", "k")
	for i := range 4 {
		b.row("a", 1000*i, float64(i)+0.1)
		assert.Contains(t, b.log, "y:0")
		fresh := newBench(t)
		fresh.typed("a", b.j.Value(b.ids["a"]).Num)
		fresh.set("k", constant(2))
		fresh.set("y", p, "a", "k")
		assert.True(t, sameBits(fresh.number("y"), b.number("y")))
	}
	b.set("k", constant(4))
	assert.Contains(t, b.log, "y:0", "the sum is there already")
	b.typed("a", []float64{1, 2})
	assert.Equal(t, 3/5.5, b.number("y"), "3 over 4 and the mean of 1.5")
}

// However many cores take part, sums and columns are the same to the last bit.
func TestWorkersDoNotMatter(t *testing.T) {
	const n = 5*shared + 17
	xs := make([]float64, n)
	for i := range xs {
		xs[i] = 1 / float64(i+1)
	}
	want := total(xs)
	for workers := 1; workers <= 4; workers++ {
		b := tableOf(t, 3*shared+5)
		b.j.Workers = workers
		assert.True(t, sameBits(want, b.j.total(xs)))
		b.set("k", constant(7))
		one := tableOf(t, 3*shared+5)
		one.j.Workers = 1
		one.set("k", constant(7))
		for name := range b.ids {
			assert.True(t, b.j.Value(b.ids[name]).Equal(one.j.Value(one.ids[name])), name)
		}
	}
}
