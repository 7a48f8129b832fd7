package engine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// typed sets a cell of typed numbers, of which some rows are open.
func (b *bench) typed(name string, xs []float64, open ...int32) Change {
	if _, there := b.ids[name]; !there {
		b.ids[name] = b.j.Reserve(1)[0]
	}
	d := &Data{Column: value.Nums(xs...), Open: open, Ask: "pours." + name}
	c, err := b.j.Apply(Edit{Put: []Put{{b.ids[name], Formula{Name: name, Data: d}}}})
	require.NoError(b.t, err)
	require.NoError(b.t, b.j.Check())
	return c
}

// row sets one row of a typed column.
func (b *bench) row(name string, row int, x float64) Change {
	return b.edit(Edit{Rows: []RowPut{{ID: b.ids[name], Row: row, Value: value.One(x)}}})
}

func (b *bench) edit(e Edit) Change {
	b.log = nil
	c, err := b.j.Apply(e)
	require.NoError(b.t, err)
	require.NoError(b.t, b.j.Check())
	return c
}

// overColumns is an operation over two columns.
func overColumns(op program.Op) *program.Program {
	d := over(numbers, numbers)
	return d.gives(d.op(op, numbers, 0, 1))
}

// Ruling 26: an empty place is open and never 0; it is filled and opened again, and each is undone.
func TestRuling26OpenRows(t *testing.T) {
	b := newBench(t)
	b.typed("waste", []float64{1, 2, 9}, 2)
	b.set("total", special(catalogue.Sum, "sum"), "waste")
	assert.Equal(t, []string{"Row 3: Waits for a value of waste."}, b.says("total"))
	assert.Equal(t, value.Open, b.j.RowState(b.ids["waste"], 2))
	assert.Equal(t, "pours.waste", b.j.RowCauses(b.ids["waste"], 2)[0].Name)
	assert.Zero(t, b.j.Value(b.ids["waste"]).Num[2])

	filled := b.row("waste", 2, 4)
	assert.Equal(t, 7.0, b.number("total"))
	assert.Nil(t, b.j.Value(b.ids["waste"]).Marks)
	opened := b.edit(Edit{Rows: []RowPut{{ID: b.ids["waste"], Row: 0, Open: true}}})
	assert.Equal(t, []string{"Row 1: Waits for a value of waste."}, b.says("total"))
	assert.Equal(t, []int32{0}, b.j.Formula(b.ids["waste"]).Data.Open)

	b.edit(opened.Inverse)
	assert.Equal(t, 7.0, b.number("total"))
	b.edit(filled.Inverse)
	assert.Equal(t, []string{"Row 3: Waits for a value of waste."}, b.says("total"))
}

// Of many open rows the first are told by number; when one of them is filled, the next takes its place.
func TestManyOpenRows(t *testing.T) {
	const n = 50
	b := newBench(t)
	var open []int32
	for i := range n {
		open = append(open, int32(i))
	}
	b.typed("waste", make([]float64, n), open...)
	rowOf := func(i int) int { return b.j.RowCauses(b.ids["waste"], i)[0].Row }
	assert.Equal(t, maxTold, rowOf(maxTold-1))
	assert.Zero(t, rowOf(maxTold))
	filled := b.row("waste", 3, 1)
	assert.Equal(t, maxTold+1, rowOf(maxTold))
	b.edit(filled.Inverse)
	assert.Zero(t, rowOf(maxTold))
}

// The job has a copy of its own: the caller's column is not changed by the job, nor the job by the caller.
func TestTypedColumnsAreCopied(t *testing.T) {
	b := newBench(t)
	xs := []float64{1, 2, 3}
	b.typed("x", xs)
	b.set("alias", over(numbers).gives(0), "x")
	b.row("x", 1, 20)
	assert.Equal(t, []float64{1, 2, 3}, xs)
	xs[0] = 7
	assert.Equal(t, []float64{1, 20, 3}, b.j.Value(b.ids["x"]).Num)
	assert.Equal(t, []float64{1, 20, 3}, b.j.Value(b.ids["alias"]).Num)
}

// Constants are shared by all that run a program, and are not changed with a row.
func TestConstantListsStay(t *testing.T) {
	b := newBench(t)
	b.typed("x", []float64{1, 2, 3})
	b.set("flag", constant(0))
	d := over(numbers, oneNumber)
	p := d.gives(d.op(program.If, numbers, 1, 0, d.constant(numbers, value.Nums(7, 8, 9))))
	b.set("y", p, "x", "flag")
	b.row("x", 0, 5)
	assert.Equal(t, []float64{7, 8, 9}, b.j.Value(b.ids["y"]).Num)
	b.set("flag", constant(1))
	b.row("x", 0, 6)
	assert.Equal(t, []float64{6, 2, 3}, b.j.Value(b.ids["y"]).Num)
	assert.Equal(t, []float64{7, 8, 9}, p.Consts[0].Value.Num)
}

func TestRowEditsThatAreRefused(t *testing.T) {
	b := newBench(t)
	b.typed("x", []float64{1, 2})
	b.set("y", constant(1))
	x := b.ids["x"]
	for _, c := range []struct {
		name string
		e    Edit
		says string
	}{
		{"no such cell", Edit{Rows: []RowPut{{ID: 99, Value: value.One(1)}}}, "There is no such cell whose row could be set."},
		{"a formula", Edit{Rows: []RowPut{{ID: b.ids["y"], Value: value.One(1)}}}, "The cell y is no column of typed values."},
		{"no such row", Edit{Rows: []RowPut{{ID: x, Row: 2, Value: value.One(1)}}}, "The column x has 2 rows; there is no row 3."},
		{"a row below 0", Edit{Rows: []RowPut{{ID: x, Row: -1, Open: true}}}, "The column x has 2 rows; there is no row 0."},
		{"a text", Edit{Rows: []RowPut{{ID: x, Value: value.Texts("a")}}}, "The column x holds values of another sort."},
		{"no value", Edit{Rows: []RowPut{{ID: x}}}, "The column x holds values of another sort."},
		{"two values", Edit{Rows: []RowPut{{ID: x, Value: value.Nums(1, 2)}}}, "A row of x takes one value."},
		{"not a number", Edit{Rows: []RowPut{{ID: x, Value: value.One(math.NaN())}}}, "A row of x takes a number that is finite."},
		{"whole and row", Edit{Put: []Put{{x, Formula{Name: "x", Program: constant(1)}}}, Rows: []RowPut{{ID: x, Value: value.One(1)}}},
			"One edit sets the whole of x or rows of it, not both."},
		{"gone and row", Edit{Drop: []ID{x}, Rows: []RowPut{{ID: x, Value: value.One(1)}}}, "One edit sets the whole of x or rows of it, not both."},
		{"formula and values", Edit{Put: []Put{{x, Formula{Name: "x", Program: constant(1), Data: &Data{Column: value.Nums(1)}}}}},
			"The cell x has typed values and a formula at once."},
		{"a record", Edit{Put: []Put{{x, Formula{Name: "x", Data: &Data{Column: value.Record(value.One(1))}}}}},
			"The column x must hold numbers, texts or objects, and nothing else."},
		{"a number without end", Edit{Put: []Put{{x, Formula{Name: "x", Data: &Data{Column: value.Nums(math.Inf(1))}}}}},
			"The column x holds a number that is not finite."},
		{"open rows out of order", Edit{Put: []Put{{x, Formula{Name: "x", Data: &Data{Column: value.Nums(1, 2), Open: []int32{1, 0}}}}}},
			"The open rows of x are not rows of it, in rising order."},
		{"one good row, one bad", Edit{Rows: []RowPut{{ID: x, Value: value.One(5)}, {ID: x, Row: 7, Open: true}}}, "The column x has 2 rows; there is no row 8."},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := b.j.Apply(c.e)
			require.EqualError(t, err, c.says)
			require.NoError(t, b.j.Check())
			assert.Equal(t, []float64{1, 2}, b.j.Value(x).Num)
		})
	}
}

// An edit that closes a ring sets no row.
func TestRingSetsNoRow(t *testing.T) {
	b := newBench(t)
	b.typed("x", []float64{1, 2})
	b.set("a", constant(1))
	b.set("b", plus1, "a")
	_, err := b.j.Apply(Edit{Put: []Put{b.formula("a", plus1, "b")}, Rows: []RowPut{{ID: b.ids["x"], Value: value.One(5)}}})
	require.Error(t, err)
	require.NoError(t, b.j.Check())
	assert.Equal(t, []float64{1, 2}, b.j.Value(b.ids["x"]).Num)
}

// Rows of one cell are set in turn, and undone the other way round.
func TestRowsAreSetInTurn(t *testing.T) {
	b := newBench(t)
	x := b.ids
	b.typed("x", []float64{1, 2})
	c := b.edit(Edit{Rows: []RowPut{{ID: x["x"], Value: value.One(5)}, {ID: x["x"], Value: value.One(6)}, {ID: x["x"], Row: 1, Open: true}}})
	assert.Equal(t, []float64{6, 0}, b.j.Value(x["x"]).Num)
	assert.Equal(t, []ID{x["x"]}, c.Changed)
	b.edit(c.Inverse)
	assert.Equal(t, []float64{1, 2}, b.j.Value(x["x"]).Num)
}

// Texts and objects have rows too.
func TestRowsOfTextsAndObjects(t *testing.T) {
	b := newBench(t)
	ids := b.j.Reserve(2)
	square, disc := value.Place{X: 1, Y: 1}, value.Place{X: 2, Y: 0}
	b.edit(Edit{Put: []Put{{ids[0], Formula{Name: "kind", Data: &Data{Column: value.Texts("seat", "leg")}}},
		{ids[1], Formula{Name: "at", Data: &Data{Column: value.Objs(square, square), Open: []int32{1}}}}}})
	c := b.edit(Edit{Rows: []RowPut{{ID: ids[0], Row: 1, Value: value.Texts("arm")}, {ID: ids[1], Row: 1, Value: value.Objs(disc)}}})
	assert.Equal(t, []string{"seat", "arm"}, b.j.Value(ids[0]).Text)
	assert.Equal(t, []any{square, disc}, b.j.Value(ids[1]).Obj)
	b.edit(c.Inverse)
	assert.Equal(t, []string{"seat", "leg"}, b.j.Value(ids[0]).Text)
	assert.Equal(t, []any{square, nil}, b.j.Value(ids[1]).Obj)
}
