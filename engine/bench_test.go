package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/program"
)

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

// columnsOf is a job of a million rows: bags used from volumes, by a formula of six operations with a condition of a
// rule.
func columnsOf(t require.TestingT, n int) (*bench, *node) {
	xs := make([]float64, n)
	for i := range xs {
		xs[i] = float64(i%1000+1) / 1000
	}
	b := newBench(t)
	b.set("volume", list(xs...))
	b.set("waste", constant(0.08))
	d := over(numbers, oneNumber)
	d.p.Tests = []program.Test{{Rule: "bags", Cond: "volume > 0"}}
	used := d.op(program.Div, numbers, d.op(program.Mul, numbers, 0, d.op(program.Add, oneNumber, d.num(1), 1)), d.num(0.017))
	used = d.op(program.Need, numbers, used, d.op(program.Lt, numbers, d.num(0), 0))
	used = d.op(program.PowConst, numbers, d.op(program.Neg, numbers, d.op(program.Neg, numbers, used)))
	d.p.Code[len(d.p.Code)-1].Factor = 2
	b.set("bags", d.gives(used), "volume", "waste")
	return b, &b.j.nodes[b.ids["bags"]]
}

// Once warm, a program over columns allocates its result and what holds the single values, however long the columns are.
func TestBlocksDoNotAllocate(t *testing.T) {
	short, nodeOfShort := columnsOf(t, block)
	long, nodeOfLong := columnsOf(t, 50*block)
	few := testing.AllocsPerRun(10, func() { short.j.compute(nodeOfShort) })
	assert.LessOrEqual(t, few, 3.0)
	assert.Equal(t, few, testing.AllocsPerRun(10, func() { long.j.compute(nodeOfLong) }))
}

func BenchmarkColumn(b *testing.B) {
	const n = 1_000_000
	d, node := columnsOf(b, n)
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		d.j.compute(node)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/row")
}

// BenchmarkFlagged is a chain that rests on an assumed value: every cell runs with its causes.
func BenchmarkFlagged(b *testing.B) {
	const n = 1000
	j := New()
	ids := j.Reserve(n)
	e := Edit{Put: []Put{{ids[0], Formula{Name: "ask", Program: assumed("ask", 1)}}}}
	for i := 1; i < n; i++ {
		e.Put = append(e.Put, Put{ids[i], Formula{Program: plus1, Inputs: []ID{ids[i-1]}}})
	}
	_, err := j.Apply(e)
	require.NoError(b, err)
	programs := []*program.Program{assumed("ask", 2), assumed("ask", 3)}
	b.ReportAllocs()
	for i := range b.N {
		_, err := j.Apply(Edit{Put: []Put{{ids[0], Formula{Name: "ask", Program: programs[i%2]}}}})
		require.NoError(b, err)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/cell")
}
