package engine

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/value"
)

// closesRing tells by a walk of its own (three colours, depth first) whether cells rest on each other.
func closesRing(inputs [][]int) bool {
	colour := make([]int, len(inputs))
	var walk func(int) bool
	walk = func(i int) bool {
		if colour[i] != 0 {
			return colour[i] == 1
		}
		colour[i] = 1
		found := slices.ContainsFunc(inputs[i], walk)
		colour[i] = 2
		return found
	}
	for i := range inputs {
		if walk(i) {
			return true
		}
	}
	return false
}

// An edit of several cells at once is refused when, and only when, a plain search finds a ring; else the order holds, and
// the values are those of a fresh job.
func TestEditsOfSeveralCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const cells = 12
		j := New()
		ids := j.Reserve(cells)
		inputs := make([][]int, cells)
		for i := range cells {
			_, err := j.Apply(Edit{Put: []Put{{ids[i], Formula{Name: fmt.Sprint("c", i), Program: constant(float64(i))}}}})
			require.NoError(t, err)
		}
		cell := rapid.IntRange(0, cells-1)
		for range rapid.IntRange(1, 12).Draw(t, "edits") {
			var e Edit
			next := slices.Clone(inputs)
			for _, k := range rapid.SliceOfNDistinct(cell, 1, 6, rapid.ID).Draw(t, "changed") {
				a, b := cell.Draw(t, "a"), cell.Draw(t, "b")
				next[k] = []int{a, b}
				e.Put = append(e.Put, Put{ids[k], Formula{Name: fmt.Sprint("c", k), Program: adds, Inputs: []ID{ids[a], ids[b]}}})
			}
			_, err := j.Apply(e)
			var ring *Ring
			require.Equal(t, closesRing(next), errors.As(err, &ring), "%v", err)
			require.NoError(t, j.Check())
			if ring == nil {
				inputs = next
				continue
			}
			for k, id := range ring.IDs { // each rests on the next, the last on the first
				to := ring.IDs[(k+1)%len(ring.IDs)]
				require.Contains(t, next[slices.Index(ids, id)], slices.Index(ids, to))
			}
		}
		fresh := New()
		require.Equal(t, ids, fresh.Reserve(cells))
		var e Edit
		for _, id := range ids {
			e.Put = append(e.Put, Put{id, j.Formula(id)})
		}
		_, err := fresh.Apply(e)
		require.NoError(t, err)
		for _, id := range ids {
			require.Equal(t, math.Float64bits(fresh.Value(id).Num[0]), math.Float64bits(j.Value(id).Num[0]))
		}
	})
}

// A refused edit leaves the values too, of cells that it would have taken out among them.
func TestRefusedEditKeepsValues(t *testing.T) {
	b := newBench(t)
	b.set("a", constant(1))
	b.set("b", plus1, "a")
	b.set("lone", constant(7))
	_, err := b.j.Apply(Edit{Put: []Put{b.formula("a", plus1, "b")}, Drop: []ID{b.ids["lone"]}})
	var ring *Ring
	require.ErrorAs(t, err, &ring)
	require.NoError(t, b.j.Check())
	assert.Equal(t, 7.0, b.number("lone"))
	assert.Equal(t, 2.0, b.number("b"))
}

// A cell that is given another sort of value makes a mistake in the formulas read before, and no wrong number.
func TestAnotherSortOfValue(t *testing.T) {
	for _, c := range []struct {
		name string
		reg  program.Register
		v    value.Column
	}{
		{"a text", oneText, value.Texts("a")},
		{"a list", numbers, value.Nums(1, 2, 3)},
		{"an empty list", numbers, value.Nums()},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.set("x", constant(1))
			b.set("y", plus1, "x")
			d := over()
			b.set("x", d.gives(d.constant(c.reg, c.v)))
			assert.Equal(t, []string{"x is of another sort now than when this formula was read."}, b.says("y"))
		})
	}
}

func sumOf(d *draft, r program.Reg) program.Reg {
	return d.call(&catalogue.Func{Name: "sum", Special: catalogue.Sum, Params: []catalogue.Param{{Name: "xs", Whole: true}}}, oneNumber, r)
}

// Ruling 34: where a function gives no record for any row, totals over its fields are mistakes and not 0.
func TestRuling34NoRecordForAnyRow(t *testing.T) {
	f := &catalogue.Func{Name: "split", Params: []catalogue.Param{{Name: "x"}}, Call: func([]value.Column) (value.Column, error) {
		return value.Column{}, errors.New("There is nothing to split.")
	}}
	d := over(numbers)
	p := d.gives(sumOf(d, d.op(program.GetField, numbers, d.call(f, rows, 0))))
	b := newBench(t)
	c := over()
	b.set("xs", c.gives(c.constant(numbers, value.Nums(4, 5))))
	b.set("total", p, "xs")
	assert.Equal(t, []string{"Row 1: There is nothing to split.", "Row 2: There is nothing to split."}, b.says("total"))
}

// Ruling 32: where an assumed limit leaves no row, what follows rests on it all the same.
func TestRuling32NothingLeftByAnAssumedLimit(t *testing.T) {
	d := over(numbers, oneNumber)
	left := d.op(program.Filter, numbers, 0, d.op(program.Lt, numbers, 1, 0))
	p := d.gives(sumOf(d, d.op(program.Mul, numbers, left, d.num(2))))
	b := newBench(t)
	c := over()
	b.set("xs", c.gives(c.constant(numbers, value.Nums(1, 2, 3))))
	b.set("limit", assumed("limit", 10))
	b.set("total", p, "xs", "limit")
	assert.Zero(t, b.number("total"))
	assert.Equal(t, []string{"Rests on the assumed value of limit."}, b.says("total"))
}

// A need that does not hold is told alone: it is why the rest went wrong.
func TestNeedIsToldAlone(t *testing.T) {
	d := over(oneNumber)
	d.p.Funcs = []*catalogue.Func{{Name: "sqrt", Domain: "the square root of a negative number", Lane1: math.Sqrt}}
	root := d.op(program.Func1, oneNumber, 0)
	p := d.gives(d.op(program.Need, oneNumber, root, d.op(program.Lt, oneNumber, d.num(0), 0)))
	d.p.Tests = []program.Test{{Rule: "period", Cond: "x > 0", Names: []string{"x"}, Regs: []program.Reg{0}, Specs: []*show.Spec{nil}}}
	b := newBench(t)
	b.set("x", constant(-3))
	b.set("y", p, "x")
	assert.Equal(t, []string{"period needs x > 0; here x is -3."}, b.says("y"))
}

// A text that is put into a text twice, again and again, ends in a mistake and not in all of the memory.
func TestTextsHaveALength(t *testing.T) {
	d := over(oneText)
	twice := d.gives(d.args(program.Join, oneText, 0, 0, 0))
	d.p.Templates = [][]program.Piece{{{Arg: 0}, {Arg: 1}}}
	b := newBench(t)
	c := over()
	b.set("t0", c.gives(c.constant(oneText, value.Texts("seat"))))
	for i := range 60 {
		b.set(fmt.Sprint("t", i+1), twice, fmt.Sprint("t", i))
	}
	assert.Equal(t, []string{"A text holds at most 100000 bytes."}, b.says("t60"))
}

// A formula of very many operations on columns runs, in blocks that stay few.
func TestManyOperationsOnColumns(t *testing.T) {
	const n = 33_000 // more than an int16 can count
	d := over(numbers)
	total := program.Reg(0)
	for i := range n {
		total = d.op(program.Add, numbers, total, d.num(float64(i)))
	}
	b := newBench(t)
	c := over()
	b.set("xs", c.gives(c.constant(numbers, value.Nums(1, 2))))
	b.set("y", d.gives(total), "xs")
	assert.Equal(t, []float64{1 + n*(n-1)/2, 2 + n*(n-1)/2}, b.j.Value(b.ids["y"]).Num, "Gauss's sum of 0 … n−1")
	assert.LessOrEqual(t, len(b.j.blocks), 3*maxRun)
}

// A total over many flags makes one set of them, not one for each step on the way.
func TestManyFlagsMakeFewSets(t *testing.T) {
	const n = 3000
	j := New()
	ids := j.Reserve(n + 1)
	var e Edit
	for i := range n {
		name := fmt.Sprint("ask", i)
		e.Put = append(e.Put, Put{ids[i], Formula{Name: name, Program: assumed(name, 1)}})
	}
	e.Put = append(e.Put, Put{ids[n], Formula{Name: "all", Program: listOf(n), Inputs: ids[:n]}})
	_, err := j.Apply(e)
	require.NoError(t, err)
	assert.Len(t, j.Causes(ids[n]), n)
	assert.LessOrEqual(t, len(j.causes.sets), n+2)
}

// Rulings 32 and 34: a row that is ok decides before one that is flagged.
func TestAnyTakesTheRowThatIsOk(t *testing.T) {
	b := newBench(t)
	b.column("xs", []float64{1, 1}, value.Flagged, value.OK)
	d := over(numbers)
	anyOf := &catalogue.Func{Name: "any", Special: catalogue.Any, Params: []catalogue.Param{{Name: "xs", Whole: true}}}
	b.set("y", d.gives(d.call(anyOf, oneNumber, 0)), "xs")
	assert.Equal(t, value.OK, b.state("y"))
	assert.Equal(t, 1.0, b.number("y"))
}
