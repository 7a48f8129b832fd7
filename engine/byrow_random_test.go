package engine

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/value"
)

// table is a job of typed columns and of formulas over them, drawn at random, and what is needed to build it anew.
type table struct {
	t        *rapid.T
	j        *Job
	n        int
	ids      []ID
	formulas map[ID]Formula // of typed columns: as they are after all edits
	lists    []ID           // cells that are lists of numbers
	singles  []ID           // cells that are single numbers
	data     []ID
	texts    []ID
}

var palette = []float64{0, 1, -1, 2.5, 1e-9, 1e200, 7, math.Copysign(0, -1), 0.1}

func (b *table) put(f Formula) ID {
	id := b.j.Reserve(1)[0]
	f.Name = fmt.Sprint("c", id)
	_, err := b.j.Apply(Edit{Put: []Put{{id, f}}})
	require.NoError(b.t, err)
	require.NoError(b.t, b.j.Check())
	b.ids = append(b.ids, id)
	b.formulas[id] = f
	return id
}

// drawData draws a column of typed numbers.
func (b *table) drawData() *Data {
	d := &Data{Ask: "pours.waste", Column: value.Nums(make([]float64, b.n)...)}
	some := rapid.SliceOfN(rapid.SampledFrom(palette), 1, 6).Draw(b.t, "numbers")
	open := rapid.SampledFrom([]int{0, 0, 0, 2, 3, 29}).Draw(b.t, "open every")
	for i := range b.n {
		d.Column.Num[i] = some[(i*7+i/5)%len(some)]
		if open > 0 && i%open == open-1 {
			d.Open = append(d.Open, int32(i))
			d.Column.Num[i] = 0
		}
	}
	return d
}

func (b *table) list() ID { return rapid.SampledFrom(b.lists).Draw(b.t, "list") }

func (b *table) single() ID { return rapid.SampledFrom(b.singles).Draw(b.t, "single") }

// split gives two fields, and fails below 0.
var split = &catalogue.Func{Name: "split", Params: []catalogue.Param{{Name: "x"}}, Call: func(a []value.Column) (value.Column, error) {
	if x := a[0].Num[0]; x >= 0 {
		return value.Record(value.One(x/2), value.Texts(fmt.Sprint(x))), nil
	}
	return value.Column{}, errors.New("There is nothing to split.")
}}

// nearestIn looks a number up in a whole list.
var nearestIn = &catalogue.Func{Name: "rank", Params: []catalogue.Param{{Name: "x"}, {Name: "xs", Whole: true}}, Call: func(a []value.Column) (value.Column, error) {
	below := 0.0
	for _, x := range a[1].Num {
		below += truth(x < a[0].Num[0])
	}
	return value.One(below), nil
}}

func (b *table) special(s catalogue.Special) *catalogue.Func {
	return &catalogue.Func{Name: "f", Special: s, Params: []catalogue.Param{{Name: "xs", Whole: true}}}
}

// addFormula draws one more cell.
func (b *table) addFormula() {
	switch rapid.IntRange(0, 15).Draw(b.t, "formula") {
	case 0, 1, 2:
		shape := []bool{rapid.Bool().Draw(b.t, "list0"), true, rapid.Bool().Draw(b.t, "list2")}
		f := Formula{Program: compose(drawOps(b.t), shape)}
		for _, isList := range shape {
			if isList {
				f.Inputs = append(f.Inputs, b.list())
			} else {
				f.Inputs = append(f.Inputs, b.single())
			}
		}
		b.lists = append(b.lists, b.put(f))
	case 3:
		d := over(numbers)
		s := rapid.SampledFrom([]catalogue.Special{catalogue.Sum, catalogue.Mean, catalogue.CountOf, catalogue.First}).Draw(b.t, "special")
		x := d.call(b.special(s), oneNumber, 0)
		if rapid.Bool().Draw(b.t, "divided") {
			x = d.op(program.Div, oneNumber, x, d.call(b.special(catalogue.Mean), oneNumber, 0))
		}
		b.singles = append(b.singles, b.put(Formula{Program: d.gives(x), Inputs: []ID{b.list()}}))
	case 4: // a share of the total
		d := over(numbers, numbers, oneNumber)
		x := d.op(program.Div, oneNumber, d.call(b.special(catalogue.Sum), oneNumber, 1), 2)
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(d.op(program.Mul, numbers, 0, x)), Inputs: []ID{b.list(), b.list(), b.single()}}))
	case 5:
		b.lists = append(b.lists, b.put(Formula{Program: over(numbers).gives(0), Inputs: []ID{b.list()}}))
	case 6:
		d := over(numbers, numbers, oneNumber)
		x := d.op(program.Lt, oneNumber, 2, d.num(1))
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(d.op(program.If, numbers, x, 0, 1)), Inputs: []ID{b.list(), b.list(), b.single()}}))
	case 7:
		b.addRecord()
	case 8: // filtered rows
		d := over(numbers, numbers)
		x := d.op(program.Filter, numbers, 0, d.op(program.Lt, numbers, 1, d.num(2)))
		id := b.put(Formula{Program: d.gives(x), Inputs: []ID{b.list(), b.list()}})
		if rapid.Bool().Draw(b.t, "used") {
			b.lists = append(b.lists, id)
		}
	case 9:
		d := over(numbers, oneNumber)
		d.p.Templates = [][]program.Piece{{{Arg: 0, Spec: &show.Spec{}}, {Arg: -1, Words: " of "}, {Arg: 1, Spec: &show.Spec{}}}}
		text := d.gives(d.args(program.Join, texts, 0, 0, 1))
		b.texts = append(b.texts, b.put(Formula{Program: text, Inputs: []ID{b.list(), b.single()}}))
	case 10:
		d := over(numbers, numbers)
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(d.call(nearestIn, numbers, 0, 1)), Inputs: []ID{b.list(), b.list()}}))
	case 11, 12, 13:
		b.addAlongRows()
	default:
		d := over(numbers, texts, texts)
		x := d.op(program.If, numbers, d.op(program.TextEq, numbers, 1, 2), 0, d.num(3))
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(x), Inputs: []ID{b.list(), rapid.SampledFrom(b.texts).Draw(b.t, "text"), b.texts[0]}}))
	}
}

// addRecord draws rows of a table, or of results of a function, and a field of them.
func (b *table) addRecord() {
	d := over(numbers, numbers)
	out := d.args(program.MakeRows, rows, 0, 0, 1)
	if rapid.Bool().Draw(b.t, "called") {
		out = d.call(split, rows, 0)
	}
	id := b.put(Formula{Program: d.gives(out), Inputs: []ID{b.list(), b.list()}})
	f := over(rows)
	b.lists = append(b.lists, b.put(Formula{Program: f.gives(f.op(program.GetField, numbers, 0)), Inputs: []ID{id}}))
	total := over(rows)
	x := total.call(b.special(catalogue.Sum), oneNumber, total.op(program.GetField, numbers, 0))
	b.singles = append(b.singles, b.put(Formula{Program: total.gives(x), Inputs: []ID{id}}))
	s := over(rows)
	s.p.Tests = []program.Test{{Rule: "r", Cond: "c"}}
	x = s.op(program.GetField, numbers, s.op(program.Hold, rows, 0, s.op(program.Le, numbers, s.op(program.GetField, numbers, 0), s.num(1))))
	b.lists = append(b.lists, b.put(Formula{Program: s.gives(s.op(program.Add, numbers, x, s.call(b.special(catalogue.Sum), oneNumber, s.num(1)))), Inputs: []ID{id}}))
}

// addAlongRows draws an operation along the rows of a table.
func (b *table) addAlongRows() {
	d := over(numbers, numbers, oneNumber)
	in := []ID{b.list(), b.list(), b.single()}
	switch op := rapid.SampledFrom([]program.Op{program.Scatter, program.Spread, program.Running, program.Before, program.EachRow, program.EachRow}).Draw(b.t, "op"); op {
	case program.Scatter:
		at := []int32{}
		if b.n > 0 {
			at = []int32{int32(b.n / 2)}
		}
		r := d.args(op, numbers, 0, []program.Reg{2}[:len(at)]...)
		d.p.Code[len(d.p.Code)-1].A = 0
		d.p.Loops = []program.Loop{{At: at}}
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(d.op(program.Div, numbers, 1, r)), Inputs: in}))
	case program.Running:
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(d.op(op, numbers, 0)), Inputs: in}))
	case program.Before:
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(d.op(op, numbers, 0, 2)), Inputs: in}))
	case program.Spread:
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(d.op(program.Div, numbers, d.op(op, numbers, 2, 0), d.num(0))), Inputs: in}))
	default:
		inner := over(oneNumber, oneNumber, numbers, oneNumber)
		inner.p.Tests = []program.Test{{Rule: "r", Cond: "c", Names: []string{"x"}, Regs: []program.Reg{0}, Specs: []*show.Spec{{}}}}
		x := inner.op(program.Div, oneNumber, 0, 1)
		if rapid.Bool().Draw(b.t, "held") {
			x = inner.op(program.Hold, oneNumber, 0, inner.op(program.Le, oneNumber, 0, 3))
		}
		if rapid.Bool().Draw(b.t, "total") {
			x = inner.op(program.Add, oneNumber, x, inner.call(b.special(catalogue.CountOf), oneNumber, 2))
		}
		d.p.Loops = []program.Loop{{Program: inner.gives(x), Row: []bool{true, true, false, false}, Self: -1}}
		whole := program.Reg(rapid.IntRange(0, 1).Draw(b.t, "whole"))
		b.lists = append(b.lists, b.put(Formula{Program: d.gives(d.args(op, numbers, 0, 0, 1, whole, 2)), Inputs: in}))
	}
}

func drawTable(t *rapid.T) *table {
	b := &table{t: t, j: New(), formulas: map[ID]Formula{}}
	b.j.longSum = rapid.SampledFrom([]int{1, longSum}).Draw(t, "long sum")
	b.n = rapid.SampledFrom([]int{0, 1, 2, 3, 9, 60, 300, 1000}).Draw(t, "rows")
	for range 3 {
		id := b.put(Formula{Data: b.drawData()})
		b.data, b.lists = append(b.data, id), append(b.lists, id)
	}
	b.singles = []ID{b.put(Formula{Program: constant(2)}), b.put(Formula{Program: assumed("ask", 0.5)})}
	words := value.Texts(make([]string, b.n)...)
	for i := range words.Text {
		words.Text[i] = fmt.Sprint(i % 3)
	}
	b.texts = []ID{b.put(Formula{Data: &Data{Column: words, Ask: "pours.name"}})}
	for range rapid.IntRange(1, 9).Draw(t, "formulas") {
		b.addFormula()
	}
	return b
}

// drawEdit draws an edit of rows, of a whole column or of a single value.
func (b *table) drawEdit() Edit {
	var e Edit
	k := rapid.IntRange(0, 9).Draw(b.t, "edit")
	switch {
	case k == 0:
		e.Put = []Put{{b.data[0], Formula{Name: b.formulas[b.data[0]].Name, Data: b.drawData()}}}
	case k == 1:
		id := rapid.SampledFrom(b.singles[:2]).Draw(b.t, "cell")
		e.Put = []Put{{id, Formula{Name: b.formulas[id].Name, Program: constant(rapid.SampledFrom(palette).Draw(b.t, "x"))}}}
	}
	if b.n > 0 && k > 0 && (k > 1 || rapid.Bool().Draw(b.t, "rows too")) {
		alike := rapid.Bool().Draw(b.t, "alike")
		x := rapid.SampledFrom(palette).Draw(b.t, "x")
		for range rapid.SampledFrom([]int{1, 1, 1, 2, 3, 14, 30}).Draw(b.t, "rows set") {
			if rapid.IntRange(0, 9).Draw(b.t, "text") == 0 {
				e.Rows = append(e.Rows, RowPut{ID: b.texts[0], Row: rapid.IntRange(0, b.n-1).Draw(b.t, "row"), Value: value.Texts(rapid.SampledFrom([]string{"0", "1"}).Draw(b.t, "word"))})
				continue
			}
			p := RowPut{ID: rapid.SampledFrom(b.data).Draw(b.t, "column"), Row: rapid.IntRange(0, b.n-1).Draw(b.t, "row")}
			if p.Open = rapid.IntRange(0, 4).Draw(b.t, "opened") == 0; !p.Open {
				if !alike {
					x = rapid.SampledFrom(palette).Draw(b.t, "x")
				}
				p.Value = value.One(x)
			}
			e.Rows = append(e.Rows, p)
		}
	}
	return e
}

// follow brings what the cells compute up to date by a way of its own.
func follow(now map[ID]Formula, e Edit) map[ID]Formula {
	after := map[ID]Formula{}
	for id, f := range now {
		after[id] = f
	}
	for _, p := range e.Put {
		after[p.ID] = p.Formula
	}
	for _, p := range e.Rows {
		f := after[p.ID]
		d := *f.Data
		d.Column, d.Open = ownColumn(d.Column), slices.Clone(d.Open)
		at, open := slices.BinarySearch(d.Open, int32(p.Row))
		switch {
		case p.Open && !open:
			d.Open = slices.Insert(d.Open, at, int32(p.Row))
		case !p.Open && open:
			d.Open = slices.Delete(d.Open, at, at+1)
		}
		if !p.Open {
			pick(&d.Column, p.Row, &p.Value, 0)
		}
		f.Data = &d
		after[p.ID] = f
	}
	return after
}

// Random edits of rows, of columns and of single values, and their inverses, over random formulas: all cells agree with
// a fresh job, row by row, to the last bit and cause by cause.
func TestRowEditsAgreeWithAFreshJob(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawTable(t)
		type step struct {
			before  map[ID]Formula
			inverse Edit
		}
		var undo []step
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			if len(undo) > 0 && rapid.IntRange(0, 3).Draw(t, "undo") == 0 {
				last := undo[len(undo)-1]
				_, err := b.j.Apply(last.inverse)
				require.NoError(t, err)
				b.formulas, undo = last.before, undo[:len(undo)-1]
			} else {
				e := b.drawEdit()
				after := follow(b.formulas, e)
				c, err := b.j.Apply(e)
				require.NoError(t, err)
				undo = append(undo, step{b.formulas, c.Inverse})
				b.formulas = after
			}
			require.NoError(t, b.j.Check())
			b.agrees()
		}
	})
}

func (b *table) agrees() {
	fresh := New()
	fresh.Reserve(len(b.ids))
	var e Edit
	for _, id := range b.ids {
		e.Put = append(e.Put, Put{id, b.formulas[id]})
	}
	_, err := fresh.Apply(e)
	require.NoError(b.t, err)
	for _, id := range b.ids {
		require.Equal(b.t, fresh.Causes(id), b.j.Causes(id), "cell %d", id)
		sameValues(b.t, fresh, b.j, fresh.Value(id), b.j.Value(id), fmt.Sprint("cell ", id))
	}
}

// sameValues wants two columns of two jobs alike, the causes of each row too.
func sameValues(t require.TestingT, j, k *Job, v, w *value.Column, name string) {
	require.Equal(t, v.Len(), w.Len(), name)
	require.Equal(t, j.causes.of(v.All), k.causes.of(w.All), name)
	require.Equal(t, len(v.Fields), len(w.Fields), name)
	require.Equal(t, []bool{v.Num == nil, v.Text == nil, v.Obj == nil}, []bool{w.Num == nil, w.Text == nil, w.Obj == nil}, name)
	for i := range v.Len() {
		require.True(t, sameCell(v, i, w, i), "%s row %d", name, i)
		require.Equal(t, v.Row(i), w.Row(i), "%s row %d", name, i)
		if v.Mark(i) != 0 || w.Mark(i) != 0 {
			require.Equal(t, j.causes.of(v.Mark(i)), k.causes.of(w.Mark(i)), "%s row %d", name, i)
		}
	}
	for f := range v.Fields {
		sameValues(t, j, k, &v.Fields[f], &w.Fields[f], fmt.Sprint(name, " field ", f))
	}
}
