package check_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/check"
	"castwright/lang/value"
	"castwright/sheets"
)

// drawn is a table drawn at random, and the plain loops that its formulas are compared with. x is open in some rows; the
// other columns never are. All numbers are small and whole, so that no order of adding changes them.
type drawn struct {
	t    *rapid.T
	x    []*float64
	y, g []float64
	s    []string
	k    float64
}

func drawTable(t *rapid.T) *drawn {
	n := rapid.SampledFrom([]int{0, 1, 2, 3, 5, 9, 40}).Draw(t, "rows")
	d := &drawn{t: t, k: float64(rapid.IntRange(-3, 3).Draw(t, "k"))}
	opens := rapid.SampledFrom([]int{0, 0, 3, 1}).Draw(t, "open one in")
	for range n {
		v := float64(rapid.IntRange(-6, 6).Draw(t, "x"))
		d.x = append(d.x, &v)
		if opens > 0 && rapid.IntRange(1, opens).Draw(t, "open") == 1 {
			d.x[len(d.x)-1] = nil
		}
		d.y = append(d.y, float64(rapid.IntRange(-6, 6).Draw(t, "y")))
		d.g = append(d.g, float64(rapid.IntRange(1, 3).Draw(t, "g")))
		d.s = append(d.s, rapid.SampledFrom([]string{"a", "b"}).Draw(t, "s"))
	}
	return d
}

// sheet writes the table with a formula.
func (d *drawn) sheet(formula string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "k = %v\nrule twice(a, b)\n  give 2 * a + b\nend\nrule pair(a, b)\n  give low: if a < b then a else b, gap: a - b\nend\n", d.k)
	b.WriteString("table u\n  g | w\n  1 | 10\n  2 | 30\n  3 | 20\nend\n")
	fmt.Fprintf(&b, "table t\n  %s\n  i [1] | x [1] | y [1] | g [1] | s [text]\n", formula)
	for i := range d.y {
		x := ""
		if d.x[i] != nil {
			x = fmt.Sprint(*d.x[i])
		}
		fmt.Fprintf(&b, "  %d | %s | %v | %v | %q\n", i+1, x, d.y[i], d.g[i], d.s[i])
	}
	b.WriteString("end\n")
	return b.String()
}

// each works a value out for every row; none of the operands may be open.
func (d *drawn) each(f func(i int, a ...float64) float64, of ...[]*float64) []*float64 {
	out := make([]*float64, len(d.y))
rows:
	for i := range d.y {
		var a []float64
		for _, o := range of {
			if o[i] == nil {
				continue rows
			}
			a = append(a, *o[i])
		}
		v := f(i, a...)
		out[i] = &v
	}
	return out
}

// sum adds the y of the rows for which a condition holds.
func (d *drawn) sum(take func(j int) bool) float64 {
	total := 0.0
	for j, y := range d.y {
		if take(j) {
			total += y
		}
	}
	return total
}

// leaf draws a formula without others in it.
func (d *drawn) leaf() (string, []*float64) {
	one := func(f func(i int) float64) []*float64 {
		return d.each(func(i int, _ ...float64) float64 { return f(i) })
	}
	w := []float64{0, 10, 30, 20}
	switch rapid.IntRange(0, 12).Draw(d.t, "leaf") {
	case 0, 1:
		return "x", d.x
	case 2, 3:
		return "y", one(func(i int) float64 { return d.y[i] })
	case 4:
		return "k", one(func(int) float64 { return d.k })
	case 5:
		return "sum(t.y)", one(func(int) float64 { return d.sum(func(int) bool { return true }) })
	case 6:
		return "sum(t.y where t.g == g)", one(func(i int) float64 { return d.sum(func(j int) bool { return d.g[j] == d.g[i] }) })
	case 7:
		return "sum(t.y where t.g == g and t.s == s)", one(func(i int) float64 {
			return d.sum(func(j int) bool { return d.g[j] == d.g[i] && d.s[j] == d.s[i] })
		})
	case 8:
		return "only(u where u.g == g).w", one(func(i int) float64 { return w[int(d.g[i])] })
	case 9:
		return "first(t.y where t.s == s)", one(func(i int) float64 {
			for j := range d.y {
				if d.s[j] == d.s[i] {
					return d.y[j]
				}
			}
			return math.NaN()
		})
	case 10:
		return "item(t.y, i)", one(func(i int) float64 { return d.y[i] })
	case 11:
		return "interpolate(u.g, u.w, at: (g + 3) / 2)", one(func(i int) float64 { // halfway from g to 3, between which u is straight or has its point
			at := (d.g[i] + 3) / 2
			if at <= 2 {
				return 10 + 20*(at-1)
			}
			return 30 - 10*(at-2)
		})
	}
	return "count(t.i where t.s == s and t.i <= i)", one(func(i int) float64 {
		n := 0.0
		for j := 0; j <= i; j++ {
			if d.s[j] == d.s[i] {
				n++
			}
		}
		return n
	})
}

// formula draws a formula with others in it, and works it out in plain loops.
func (d *drawn) formula(depth int) (string, []*float64) {
	if depth == 0 {
		return d.leaf()
	}
	ta, a := d.formula(depth - 1)
	two := func() (string, []*float64) { return d.formula(rapid.IntRange(0, depth-1).Draw(d.t, "depth")) }
	switch rapid.IntRange(0, 12).Draw(d.t, "formula") {
	case 0:
		tb, b := two()
		return fmt.Sprintf("(%s + %s)", ta, tb), d.each(func(_ int, v ...float64) float64 { return v[0] + v[1] }, a, b)
	case 1:
		return fmt.Sprintf("(3 - %s)", ta), d.each(func(_ int, v ...float64) float64 { return 3 - v[0] }, a)
	case 2:
		return fmt.Sprintf("running(%s)", ta), running(a)
	case 3:
		return fmt.Sprintf("before(%s, first: %v)", ta, d.k), above(a, d.k)
	case 4:
		return fmt.Sprintf("steps(%s, first: k)", ta), steps(a, d.k)
	case 5:
		return fmt.Sprintf("sum(t.y where t.y > %s)", ta), d.each(func(_ int, v ...float64) float64 { return d.sum(func(j int) bool { return d.y[j] > v[0] }) }, a)
	case 6:
		return fmt.Sprintf("sum(t.y where t.g == g and t.y < %s)", ta), d.each(func(i int, v ...float64) float64 {
			return d.sum(func(j int) bool { return d.g[j] == d.g[i] && d.y[j] < v[0] })
		}, a)
	case 7:
		tb, b := two()
		return fmt.Sprintf("twice(%s, %s)", ta, tb), d.each(func(_ int, v ...float64) float64 { return 2*v[0] + v[1] }, a, b)
	case 8:
		tb, b := two()
		return fmt.Sprintf("pair(%s, %s).low", ta, tb), d.each(func(_ int, v ...float64) float64 { return min(v[0], v[1]) }, a, b)
	case 9:
		tb, b := two()
		return fmt.Sprintf("pair(%s, %s).gap", ta, tb), d.each(func(_ int, v ...float64) float64 { return v[0] - v[1] }, a, b)
	case 10:
		tb, b := two()
		return fmt.Sprintf("largest(%s, %s)", ta, tb), d.each(func(_ int, v ...float64) float64 { return max(v[0], v[1]) }, a, b)
	case 11:
		tb, b := two()
		return fmt.Sprintf("(if y > k then %s else %s)", ta, tb), d.choose(a, b)
	}
	return fmt.Sprintf("otherwise(%s / (g - 2), k)", ta), d.otherwise(a)
}

// choose takes a branch in each row; what is open in the other does not matter.
func (d *drawn) choose(a, b []*float64) []*float64 {
	out := make([]*float64, len(d.y))
	for i := range out {
		if out[i] = b[i]; d.y[i] > d.k {
			out[i] = a[i]
		}
	}
	return out
}

// otherwise divides by g - 2, or takes k where that is 0; what is open stays open.
func (d *drawn) otherwise(a []*float64) []*float64 {
	return d.each(func(i int, v ...float64) float64 {
		if d.g[i] == 2 {
			return d.k
		}
		return v[0] / (d.g[i] - 2)
	}, a)
}

func running(a []*float64) []*float64 {
	out := make([]*float64, len(a))
	total := 0.0
	for i, x := range a {
		if x == nil {
			break // all totals below are open
		}
		total += *x
		v := total
		out[i] = &v
	}
	return out
}

func above(a []*float64, first float64) []*float64 {
	if len(a) == 0 {
		return nil
	}
	return append([]*float64{&first}, a[:len(a)-1]...)
}

func steps(a []*float64, first float64) []*float64 {
	out := make([]*float64, len(a))
	for i := range a {
		switch {
		case i == 0:
			out[i] = &first
		case a[i] != nil && a[i-1] != nil:
			v := *a[i] - *a[i-1]
			out[i] = &v
		}
	}
	return out
}

// column draws a whole column: a formula, or one that rests on its own row above.
func (d *drawn) column() (string, []*float64) {
	text, a := d.formula(rapid.IntRange(0, 3).Draw(d.t, "deep"))
	switch rapid.IntRange(0, 3).Draw(d.t, "column") {
	case 0:
		return fmt.Sprintf("c = before(c, first: k) + %s", text), d.chain(a, func(above, x float64) float64 { return above + x })
	case 1:
		return fmt.Sprintf("c = if before(c) > %s then before(c) else %s + 1", text, text), func() []*float64 {
			k := d.k
			d.k = 0
			out := d.chain(a, func(above, x float64) float64 {
				if above > x {
					return above
				}
				return x + 1
			})
			d.k = k
			return out
		}()
	}
	return "c = " + text, a
}

// chain goes down the rows, each resting on the one above; an open row leaves all below it open.
func (d *drawn) chain(a []*float64, f func(above, x float64) float64) []*float64 {
	out := make([]*float64, len(a))
	last := d.k
	for i, x := range a {
		if x == nil {
			break
		}
		last = f(last, *x)
		v := last
		out[i] = &v
	}
	return out
}

// Every form of a column's formula gives what a plain loop over the rows gives, with the same rows open.
func TestColumnsAgainstPlainLoops(t *testing.T) {
	c := newChecker(t)
	rapid.Check(t, func(r *rapid.T) {
		d := drawTable(r)
		text, want := d.column()
		sheet := d.sheet(text)
		j := sheets.Memory(c, check.Text{Name: "bench", Text: sheet})
		cell, ok := j.Sheets[0].Find("t.c")
		require.True(r, ok)
		require.Nil(r, cell.Fault, "%s\n%s", sheet, drawAll(j.Sheets[0].Messages()))
		v := j.Value(cell)
		require.Equal(r, len(want), v.Len(), sheet)
		for i, w := range want {
			state := max(j.Engine.StateOf(v.All), j.Engine.StateOf(v.Mark(i)))
			if w == nil {
				require.Equal(r, value.Open, state, "row %d of\n%s", i+1, sheet)
				continue
			}
			require.Less(r, state, value.Open, "row %d of\n%s\n%v", i+1, sheet, j.Causes(cell))
			require.InDelta(r, *w, v.Num[i], 1e-9*max(1, math.Abs(*w)), "row %d of\n%s", i+1, sheet)
		}
	})
}
