package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// diamond: b and c rest on a, d on both; e stands alone.
func diamond(t require.TestingT) *bench {
	b := newBench(t)
	b.set("a", constant(1))
	b.set("b", plus1, "a")
	b.set("c", plus1, "a")
	b.set("d", adds, "b", "c")
	b.set("e", constant(7))
	return b
}

func TestWhatIsRecomputed(t *testing.T) {
	b := diamond(t)
	assert.Equal(t, 4.0, b.number("d"))

	b.set("a", constant(2))
	assert.Equal(t, "a b c d", b.recomputed(), "a diamond computes its end once")
	assert.Equal(t, 6.0, b.number("d"))

	b.set("e", constant(8))
	assert.Equal(t, "e", b.recomputed(), "an unrelated input reaches nothing")

	b.set("a", constant(2))
	assert.Equal(t, "a", b.recomputed(), "the same value goes no further")

	b.set("sign", isPositive, "a")
	b.set("f", plus1, "sign")
	b.set("a", constant(3))
	assert.Equal(t, "a b c d sign", b.recomputed(), "a > 0 stays yes, so that f is cut off")
}

func TestUndoAndRedo(t *testing.T) {
	b := diamond(t)
	c := b.set("a", constant(5))
	assert.Equal(t, 12.0, b.number("d"))
	back, err := b.j.Apply(c.Inverse)
	require.NoError(t, err)
	assert.Equal(t, 4.0, b.number("d"))
	_, err = b.j.Apply(back.Inverse)
	require.NoError(t, err)
	assert.Equal(t, 12.0, b.number("d"))
	require.NoError(t, b.j.Check())
}

func TestAddAndDrop(t *testing.T) {
	b := diamond(t)
	c := b.set("g", plus1, "d")
	assert.Equal(t, "g", b.recomputed())
	_, err := b.j.Apply(c.Inverse)
	require.NoError(t, err)
	require.NoError(t, b.j.Check())
	assert.Equal(t, 5, b.j.Len())
	_, err = b.j.Apply(Edit{Drop: []ID{b.ids["b"]}})
	require.ErrorContains(t, err, "The cell b is in use by d.")
	require.NoError(t, b.j.Check())
}

func TestRingIsRefusedAndTheJobStays(t *testing.T) {
	b := diamond(t)
	_, err := b.j.Apply(Edit{Put: []Put{b.formula("a", plus1, "d")}})
	var ring *Ring
	require.ErrorAs(t, err, &ring)
	assert.ElementsMatch(t, []string{"a", "b", "d"}, ring.Names)
	assert.Equal(t, 4.0, b.number("d"), "as it was")
	require.NoError(t, b.j.Check())
	_, err = b.j.Apply(Edit{Put: []Put{b.formula("e", plus1, "e")}})
	require.ErrorAs(t, err, &ring)
	assert.Equal(t, []string{"e"}, ring.Names)
	b.set("a", constant(9))
	assert.Equal(t, 20.0, b.number("d"), "and it goes on")
}

// A chain of a million cells computes: nothing recurses over what a cell rests on.
func TestChainOfAMillion(t *testing.T) {
	n := 1_000_000
	if testing.Short() {
		n = 100_000
	}
	j := New()
	ids := j.Reserve(n)
	e := Edit{Put: make([]Put, n)}
	e.Put[0] = Put{ids[0], Formula{Name: "first", Program: constant(1)}}
	for i := 1; i < n; i++ {
		// The last first: the order of the edit is not the order of the chain.
		e.Put[n-i] = Put{ids[i], Formula{Program: plus1, Inputs: []ID{ids[i-1]}}}
	}
	_, err := j.Apply(e)
	require.NoError(t, err)
	assert.Equal(t, float64(n), j.Value(ids[n-1]).Num[0])
	_, err = j.Apply(Edit{Put: []Put{{ids[0], Formula{Name: "first", Program: constant(2)}}}})
	require.NoError(t, err)
	assert.Equal(t, float64(n+1), j.Value(ids[n-1]).Num[0])
	_, err = j.Apply(Edit{Put: []Put{{ids[0], Formula{Name: "first", Program: plus1, Inputs: []ID{ids[n-1]}}}}})
	var ring *Ring
	require.ErrorAs(t, err, &ring)
	assert.Len(t, ring.IDs, n)
}

// An edit that both takes cells out and closes a ring is refused whole: values, places and users stay.
func TestRingWithDropsLeavesAllAsItWas(t *testing.T) {
	b := diamond(t)
	b.set("f", plus1, "e")
	_, err := b.j.Apply(Edit{Put: []Put{b.formula("a", plus1, "d")}, Drop: []ID{b.ids["f"]}})
	var ring *Ring
	require.ErrorAs(t, err, &ring)
	require.NoError(t, b.j.Check())
	assert.Equal(t, 8.0, b.number("f"))
	assert.Equal(t, 6, b.j.Len())
	b.set("e", constant(1))
	assert.Equal(t, "e f", b.recomputed())
}

// Many changed cells are put in order anew; a ring among them is refused all the same.
func TestManyChangedAtOnce(t *testing.T) {
	const n = 3 * bulk
	b := newBench(t)
	ids := b.j.Reserve(n)
	chain := func(order []int) (e Edit) {
		for k, i := range order {
			p := Put{ids[i], Formula{Name: "c", Program: constant(1)}}
			if k > 0 {
				p.Formula.Program, p.Formula.Inputs = plus1, []ID{ids[order[k-1]]}
			}
			e.Put = append(e.Put, p)
		}
		return e
	}
	up, down := make([]int, n), make([]int, n)
	for i := range n {
		up[i], down[i] = i, n-1-i
	}
	_, err := b.j.Apply(chain(up))
	require.NoError(t, err)
	require.NoError(t, b.j.Check())
	c, err := b.j.Apply(chain(down))
	require.NoError(t, err)
	require.NoError(t, b.j.Check())
	assert.Equal(t, float64(n), b.j.Value(ids[0]).Num[0])

	closed := chain(up)
	closed.Put[0].Formula = Formula{Name: "c", Program: plus1, Inputs: []ID{ids[n-1]}}
	_, err = b.j.Apply(closed)
	var ring *Ring
	require.ErrorAs(t, err, &ring)
	assert.Len(t, ring.IDs, n)
	assert.Contains(t, ring.Error(), "172 more")
	require.NoError(t, b.j.Check())
	assert.Equal(t, float64(n), b.j.Value(ids[0]).Num[0])

	_, err = b.j.Apply(c.Inverse)
	require.NoError(t, err)
	assert.Equal(t, float64(n), b.j.Value(ids[n-1]).Num[0])
	assert.Equal(t, []ID{ids[0]}, b.j.Inputs(ids[1]))
	assert.Equal(t, []ID{ids[2]}, b.j.Users(ids[1]))
}

// Cells taken out leave gaps, which are closed up.
func TestGapsAreClosed(t *testing.T) {
	b := newBench(t)
	b.set("a", constant(1))
	for range 10 * bulk {
		c := b.set("line", plus1, "a")
		assert.Equal(t, []ID{b.ids["line"]}, c.Changed)
		_, err := b.j.Apply(c.Inverse)
		require.NoError(t, err)
	}
	require.NoError(t, b.j.Check())
	assert.Equal(t, 1, b.j.Len())
	assert.Less(t, len(b.j.order), 3*bulk)
}

func TestEditsThatAreNone(t *testing.T) {
	b := diamond(t)
	cases := []struct {
		edit Edit
		says string
	}{
		{Edit{Drop: []ID{-1}}, "There is no such cell to take out."},
		{Edit{Drop: []ID{99}}, "There is no such cell to take out."},
		{Edit{Drop: []ID{b.ids["d"], b.ids["d"]}}, "There is no such cell to take out."},
		{Edit{Put: []Put{{99, Formula{Name: "x", Program: constant(1)}}}}, "The cell x has no place in the job."},
		{Edit{Put: []Put{{b.ids["a"], Formula{Name: "a"}}}}, "The cell a has no formula."},
		{Edit{Put: []Put{{b.ids["a"], Formula{Name: "a", Program: plus1}}}}, "The formula of a takes 1 cells; 0 are given."},
		{Edit{Put: []Put{{b.ids["a"], Formula{Name: "a", Program: plus1, Inputs: []ID{77}}}}}, "The cell a rests on one that is not there."},
		{Edit{Put: []Put{{b.ids["d"], Formula{Name: "d", Program: plus1, Inputs: []ID{b.ids["e"]}}}}, Drop: []ID{b.ids["e"]}}, "The cell d rests on one that is not there."},
	}
	for _, c := range cases {
		_, err := b.j.Apply(c.edit)
		require.EqualError(t, err, c.says)
		require.NoError(t, b.j.Check())
		assert.Equal(t, 4.0, b.number("d"))
	}
}
