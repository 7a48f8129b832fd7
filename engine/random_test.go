package engine

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/program"
)

// closes tells, by a search of its own, whether formulas rest on each other in a ring.
func closes(formulas map[ID]Formula) bool {
	state := map[ID]int{}
	var visit func(ID) bool
	visit = func(id ID) bool {
		if state[id] != 0 {
			return state[id] == 1
		}
		state[id] = 1
		if slices.ContainsFunc(formulas[id].Inputs, visit) {
			return true
		}
		state[id] = 2
		return false
	}
	for id := range formulas {
		if visit(id) {
			return true
		}
	}
	return false
}

// randomEdit draws an edit of a few cells, which may close a ring, and what the formulas are after it.
func randomEdit(t *rapid.T, ids []ID, now map[ID]Formula) (Edit, map[ID]Formula) {
	after := map[ID]Formula{}
	for id, f := range now {
		after[id] = f
	}
	var e Edit
	puts := map[ID]bool{}
	for range rapid.IntRange(1, 4).Draw(t, "puts") {
		id := rapid.SampledFrom(ids).Draw(t, "cell")
		if puts[id] {
			continue
		}
		puts[id] = true
		f := Formula{Name: fmt.Sprint("c", id), Program: constant(rapid.SampledFrom([]float64{0, 1, -2, 0.1, 1e300}).Draw(t, "x"))}
		n := rapid.IntRange(0, 2).Draw(t, "inputs")
		for range n {
			f.Inputs = append(f.Inputs, rapid.SampledFrom(ids).Draw(t, "in"))
		}
		switch n {
		case 1:
			f.Program = plus1
		case 2:
			f.Program = overTwo(rapid.SampledFrom([]program.Op{program.Add, program.Div, program.Mul}).Draw(t, "op"))
		}
		e.Put = append(e.Put, Put{id, f})
		after[id] = f
	}
	if id := rapid.SampledFrom(ids).Draw(t, "drop"); !puts[id] && rapid.Bool().Draw(t, "drops") {
		if _, there := after[id]; there {
			e.Drop = append(e.Drop, id)
			delete(after, id)
		}
	}
	return e, after
}

// Random edits, refused or not, and their inverses: the order stays sound, and all cells agree with a fresh job, to the
// last bit.
func TestRandomEditsAgreeWithAFreshJob(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := New()
		ids := j.Reserve(14)
		now := map[ID]Formula{}
		var begin Edit // a chain, so that many of the random edits close a ring
		for i, id := range ids[:10] {
			now[id] = Formula{Name: fmt.Sprint("c", id), Program: constant(1)}
			if i > 0 {
				now[id] = Formula{Name: fmt.Sprint("c", id), Program: plus1, Inputs: []ID{ids[i-1]}}
			}
			begin.Put = append(begin.Put, Put{id, now[id]})
		}
		_, err := j.Apply(begin)
		require.NoError(t, err)
		type step struct {
			before  map[ID]Formula
			inverse Edit
		}
		var undo []step
		for range rapid.IntRange(1, 30).Draw(t, "steps") {
			if len(undo) > 0 && rapid.IntRange(0, 4).Draw(t, "undo") == 0 {
				last := undo[len(undo)-1]
				_, err := j.Apply(last.inverse)
				require.NoError(t, err)
				now, undo = last.before, undo[:len(undo)-1]
			} else {
				e, after := randomEdit(t, ids, now)
				whole := true
				for _, f := range after {
					for _, in := range f.Inputs {
						_, there := after[in]
						whole = whole && there
					}
				}
				c, err := j.Apply(e)
				require.Equal(t, whole && !closes(after), err == nil, "refused where it has to be, and only there: %v", err)
				var ring *Ring
				if errors.As(err, &ring) {
					for i, id := range ring.IDs {
						next := ring.IDs[(i+1)%len(ring.IDs)]
						require.Contains(t, after[id].Inputs, next, "each cell of a ring rests on the next")
					}
				}
				if err == nil {
					undo = append(undo, step{now, c.Inverse})
					now = after
				}
			}
			require.NoError(t, j.Check())
			agreesWithFresh(t, j, now, len(ids))
		}
	})
}

func agreesWithFresh(t *rapid.T, j *Job, now map[ID]Formula, cells int) {
	fresh := New()
	fresh.Reserve(cells)
	var e Edit
	for id, f := range now {
		e.Put = append(e.Put, Put{id, f})
	}
	_, err := fresh.Apply(e)
	require.NoError(t, err)
	require.Equal(t, len(now), j.Len())
	for id := range now {
		require.Equal(t, fresh.State(id), j.State(id))
		require.Equal(t, fresh.Causes(id), j.Causes(id))
		require.Equal(t, math.Float64bits(fresh.Value(id).Num[0]), math.Float64bits(j.Value(id).Num[0]))
	}
}

// A list, its single rows, and the block by block way through a program give the same, to the last bit and state by
// state: each row of a column program is that program over the row's numbers.
func TestRowsAgreeWithSingles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := []bool{rapid.Bool().Draw(t, "list0"), true, rapid.Bool().Draw(t, "list2")}
		n := rapid.SampledFrom([]int{0, 1, 3, block - 1, block, block + 1, 2*block + 7}).Draw(t, "rows")
		ops := drawOps(t)
		b := newBench(t)
		columns := make([][]float64, 3)
		for k := range columns {
			columns[k] = make([]float64, 1)
			if shape[k] {
				columns[k] = make([]float64, n)
			}
			palette := rapid.SliceOfN(rapid.SampledFrom([]float64{0, 1, -1, 2.5, 1e-9, 1e200, 7}), 1, 5).Draw(t, "numbers")
			for i := range columns[k] {
				columns[k][i] = palette[i%len(palette)]
			}
			if shape[k] {
				b.set(fmt.Sprint("in", k), list(columns[k]...))
			} else {
				b.set(fmt.Sprint("in", k), constant(columns[k][0]))
			}
		}
		b.set("out", compose(ops, shape), "in0", "in1", "in2")
		got := b.j.Value(b.ids["out"])
		broken := got.Len() == 0 && !b.j.causes.usable(got.All) // a single that is a mistake chooses for the whole list
		if !broken {
			require.Equal(t, n, got.Len())
		}
		single := compose(ops, make([]bool, 3))
		s := newBench(t)
		for i := 0; i < n; i += max(1, n/16) {
			for k := range columns {
				s.set(fmt.Sprint("in", k), constant(columns[k][i%len(columns[k])]))
			}
			s.set("out", single, "in0", "in1", "in2")
			require.Equal(t, s.state("out"), b.j.RowState(b.ids["out"], i), "row %d", i)
			if !broken {
				require.Equal(t, math.Float64bits(s.number("out")), math.Float64bits(got.Num[i]), "row %d", i)
			}
		}
	})
}

// drawn is an operation and the values it is over: 0 … 2 are the inputs, then one for each operation before.
type drawn struct {
	op      program.Op
	a, b, c int
}

func drawOps(t *rapid.T) []drawn {
	var out []drawn
	all := []program.Op{program.Add, program.Sub, program.Mul, program.Div, program.Neg, program.Lt, program.Le, program.Eq, program.If,
		program.And, program.Or, program.Not, program.PowConst, program.Pow, program.Hold, program.Need, program.Otherwise}
	for i := range rapid.IntRange(1, 10).Draw(t, "operations") {
		pick := func() int { return rapid.IntRange(0, i+2).Draw(t, "operand") }
		out = append(out, drawn{rapid.SampledFrom(all).Draw(t, "op"), pick(), pick(), pick()})
	}
	return out
}

// compose makes a program of drawn operations over three inputs, lists or not; the last is joined with the second input,
// so that the result is a list where that is one.
func compose(ops []drawn, lists []bool) *program.Program {
	d := over(program.Register{List: lists[0]}, program.Register{List: lists[1]}, program.Register{List: lists[2]})
	d.p.Tests = []program.Test{{Rule: "r", Cond: "c"}}
	regs := []program.Reg{0, 1, 2}
	isList := slices.Clone(lists)
	add := func(op program.Op, over ...int) {
		out := false
		var rs []program.Reg
		for _, k := range over {
			out = out || isList[k]
			rs = append(rs, regs[k])
		}
		regs = append(regs, d.op(op, program.Register{List: out}, rs...))
		isList = append(isList, out)
		d.p.Code[len(d.p.Code)-1].Factor = 0.5
	}
	truthOf := func(k int) int { // a condition out of a number
		add(program.Le, k, 2)
		return len(regs) - 1
	}
	value := []int{0, 1, 2} // where each drawn value stands among the registers
	for _, o := range ops {
		a, b, c := value[o.a], value[o.b], value[o.c]
		switch o.op {
		case program.If:
			add(o.op, truthOf(a), b, c)
		case program.And, program.Or:
			x := truthOf(a)
			add(o.op, x, truthOf(b))
		case program.Not:
			add(o.op, truthOf(a))
		case program.Hold, program.Need:
			add(o.op, a, truthOf(b))
		case program.Neg, program.PowConst:
			add(o.op, a)
		default:
			add(o.op, a, b)
		}
		value = append(value, len(regs)-1)
	}
	last := len(regs) - 1
	add(program.Add, last, 1)
	return d.gives(regs[len(regs)-1])
}

// However many cores take part, a column is the same to the last bit.
func TestCoresDoNotMatter(t *testing.T) {
	const n = 3*shared + 17
	b, node := columnsOf(t, n)
	alone := runtime.GOMAXPROCS(1)
	want := b.j.compute(node)
	for cores := 2; cores <= 4; cores++ {
		runtime.GOMAXPROCS(cores)
		got := b.j.compute(node)
		require.True(t, got.Equal(&want))
	}
	runtime.GOMAXPROCS(alone)
	require.Equal(t, n, want.Len())
	require.InEpsilon(t, 1.08*1.08, want.Num[16], 1e-12)
}
