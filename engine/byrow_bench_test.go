package engine

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/lang/catalogue"
	"castwright/lang/program"
	"castwright/lang/value"
)

// groupsOf is a job of about n cells: groups of ten, each over a value of its own and four that all share.
func groupsOf(b *testing.B, n int) (j *Job, own []ID) {
	j = New()
	ids := j.Reserve(n)
	var e Edit
	for i := range 4 {
		e.Put = append(e.Put, Put{ids[i], Formula{Name: fmt.Sprint("s", i), Program: constant(float64(i) + 1.5)}})
	}
	for at := 4; at+10 <= n; at += 10 {
		g := ids[at : at+10]
		own = append(own, g[0])
		e.Put = append(e.Put, Put{g[0], Formula{Name: "own", Program: constant(float64(at))}})
		for k := 1; k < 10; k++ {
			op := []*program.Program{adds, products, quotients}[k%3]
			e.Put = append(e.Put, Put{g[k], Formula{Name: "cell", Program: op, Inputs: []ID{g[k-1], ids[k%4]}}})
		}
	}
	_, err := j.Apply(e)
	require.NoError(b, err)
	return j, own
}

var products, quotients = overTwo(program.Mul), overTwo(program.Div)

// BenchmarkRecalculate100k makes all of a job of 100,000 cells anew: all values that nothing rests on are put again, and
// reach the others.
func BenchmarkRecalculate100k(b *testing.B) {
	j, own := groupsOf(b, 100_000)
	edits := make([]Edit, 2)
	for k := range edits {
		for i, id := range own {
			edits[k].Put = append(edits[k].Put, Put{id, Formula{Name: "own", Program: constant(float64(i + k))}})
		}
	}
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		c, err := j.Apply(edits[i%2])
		if err != nil || len(c.Recomputed) != 10*len(own) {
			b.Fatal(err, len(c.Recomputed))
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/100_000, "ns/cell")
}

// BenchmarkBuild100k puts 100,000 cells into an empty job.
func BenchmarkBuild100k(b *testing.B) {
	b.ReportAllocs()
	for range b.N {
		groupsOf(b, 100_000)
	}
}

// BenchmarkEditAmong1M changes one value in a job of a million cells; ten cells are reached.
func BenchmarkEditAmong1M(b *testing.B) {
	j, own := groupsOf(b, 1_000_000)
	programs := []*program.Program{constant(3), constant(4)}
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		_, err := j.Apply(Edit{Put: []Put{{own[i*7919%len(own)], Formula{Name: "own", Program: programs[i%2]}}}})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// longTable is a table of a million rows: two typed columns, five columns of formulas, two sums and a mean.
func longTable(b *testing.B) *bench {
	const n = 1_000_000
	t := newBench(b)
	t.j.Log = nil
	xs, ys := make([]float64, n), make([]float64, n)
	for i := range xs {
		xs[i], ys[i] = float64(i%1000+1), 1/float64(i+1)
	}
	put := func(name string, f Formula) {
		f.Name = name
		t.ids[name] = t.j.Reserve(1)[0]
		_, err := t.j.Apply(Edit{Put: []Put{{t.ids[name], f}}})
		require.NoError(b, err)
	}
	formula := func(name string, p *program.Program, inputs ...string) {
		put(name, t.formula(name, p, inputs...).Formula)
	}
	put("pieces", Formula{Data: &Data{Column: value.Nums(xs...), Ask: "pours.pieces"}})
	put("waste", Formula{Data: &Data{Column: value.Nums(ys...), Ask: "pours.waste"}})
	put("piece", Formula{Program: constant(0.02)})
	d := over(numbers, numbers, oneNumber)
	volume := d.op(program.Mul, numbers, d.op(program.Mul, numbers, 0, 2), d.op(program.Add, numbers, d.num(1), 1))
	formula("volume", d.gives(volume), "pieces", "waste", "piece")
	d = over(numbers)
	formula("bags", d.gives(d.op(program.Div, numbers, 0, d.num(0.017))), "volume")
	d = over(numbers)
	formula("mass", d.gives(d.op(program.Mul, numbers, 0, d.num(2350))), "volume")
	formula("ratio", overColumns(program.Div), "mass", "bags")
	formula("both", overColumns(program.Add), "ratio", "pieces")
	formula("total volume", special(catalogue.Sum, "sum"), "volume")
	formula("total bags", special(catalogue.Sum, "sum"), "bags")
	formula("mean mass", special(catalogue.Mean, "mean"), "mass")
	return t
}

func BenchmarkRowAmong1M(b *testing.B) {
	t := longTable(b)
	pieces := t.ids["pieces"]
	edit := func(i int) {
		_, err := t.j.Apply(Edit{Rows: []RowPut{{ID: pieces, Row: i * 7919 % 1_000_000, Value: value.One(float64(i%97) + 0.5)}}})
		if err != nil {
			b.Fatal(err)
		}
	}
	edit(0)
	whole := 0
	t.j.Log = func(ID, string) { whole++ }
	t.j.LogRows = func(ID, int) { whole-- }
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		edit(i + 1)
	}
	require.Zero(b, whole)
}

// BenchmarkScalarOver1M changes a value on which all the rows of the table rest.
func BenchmarkScalarOver1M(b *testing.B) {
	t := longTable(b)
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		_, err := t.j.Apply(Edit{Put: []Put{t.formula("piece", constant(0.03+float64(i)), []string{}...)}})
		require.NoError(b, err)
	}
}

// BenchmarkOpenRowAmong1M opens a row of the table and fills it again.
func BenchmarkOpenRowAmong1M(b *testing.B) {
	t := longTable(b)
	pieces := t.ids["pieces"]
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		_, err := t.j.Apply(Edit{Rows: []RowPut{{ID: pieces, Row: i / 2 * 7919 % 1_000_000, Value: value.One(float64(i + 1)), Open: i%2 == 0}}})
		require.NoError(b, err)
	}
}
