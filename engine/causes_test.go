package engine

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"castwright/lang/program"
	"castwright/lang/value"
)

// Joining marks is a union: in whatever order and grouping, and however often, the mark is the same. Only the worst
// state's causes stay, and of mistakes the first five, by what they say.
func TestMergeIsAUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := newCauses()
		draw := func() value.Mark {
			mk := value.Mark(0)
			for range rapid.IntRange(0, 4).Draw(t, "causes") {
				s := rapid.SampledFrom([]value.State{value.Flagged, value.Open, value.Mistake}).Draw(t, "state")
				mk = c.merge(mk, c.intern(Cause{State: s, Text: fmt.Sprint("cause ", rapid.IntRange(0, 9).Draw(t, "text"))}))
			}
			return mk
		}
		x, y, z := draw(), draw(), draw()
		assert.Equal(t, c.merge(x, y), c.merge(y, x))
		assert.Equal(t, c.merge(c.merge(x, y), z), c.merge(x, c.merge(y, z)))
		assert.Equal(t, x, c.merge(x, x))
		both := c.merge(x, y)
		assert.Equal(t, max(c.state(x), c.state(y)), c.state(both))
		assert.Equal(t, both, c.merge(both, x))
		list := c.of(both)
		for i, cause := range list {
			assert.Equal(t, c.state(both), cause.State)
			assert.True(t, i == 0 || list[i-1].Text < cause.Text, "in the order of what they say")
		}
		if c.state(both) == value.Mistake {
			assert.LessOrEqual(t, len(list), maxKept)
		}
	})
}

func TestOnlyTheFirstFiveMistakesStay(t *testing.T) {
	c := newCauses()
	mk := value.Mark(0)
	for i := 9; i >= 1; i-- {
		mk = c.merge(mk, c.intern(Cause{State: value.Mistake, Text: "Division by 0.", Row: i}))
	}
	assert.Equal(t, []string{"Row 1: Division by 0.", "Row 2: Division by 0.", "Row 3: Division by 0.", "Row 4: Division by 0.", "Row 5: Division by 0."}, messages(c.of(mk)))
}

// Ruling 33: `accept` answers the named flags and no others, and no mistake.
func TestRuling33Accept(t *testing.T) {
	c := newCauses()
	a := c.intern(Cause{State: value.Flagged, Name: "strength_at", Text: "a"})
	b := c.intern(Cause{State: value.Flagged, Name: "lead_time", Text: "b"})
	wrong := c.intern(Cause{State: value.Mistake, Name: "strength_at", Text: "c"})
	assert.Equal(t, b, c.without(c.merge(a, b), []string{"strength_at"}))
	assert.Equal(t, value.Mark(0), c.without(c.merge(a, b), []string{"strength_at", "lead_time"}))
	assert.Equal(t, wrong, c.without(wrong, []string{"strength_at"}))
}

// The table of causes stays small over many edits, each with a cause of its own, and the causes that are in use stay.
func TestCausesDoNotPileUp(t *testing.T) {
	b := newBench(t)
	b.set("kept", assumed("kept", 1))
	b.set("user", plus1, "kept")
	for i := range 8 * sweepLeast {
		_, err := b.j.Apply(Edit{Put: []Put{b.formula("x", assumed(fmt.Sprint("ask", i), 1))}})
		assert.NoError(t, err)
		b.log = nil
	}
	assert.Less(t, len(b.j.causes.sets), 4*sweepLeast)
	assert.Less(t, len(b.j.causes.list), 4*sweepLeast)
	assert.Equal(t, []string{"Rests on the assumed value of kept."}, b.says("user"))
	assert.Equal(t, []string{fmt.Sprintf("Rests on the assumed value of ask%d.", 8*sweepLeast-1)}, b.says("x"))
	assert.NoError(t, b.j.Check())
}

// Very many rows with a mistake are told by a few sentences, and each row is a mistake all the same.
func TestManyMistakesInAColumn(t *testing.T) {
	const n = 200_000
	b := newBench(t)
	b.set("xs", list(make([]float64, n)...))
	b.set("q", overLists(program.Div), "xs", "xs")
	assert.Equal(t, value.Mistake, b.j.RowState(b.ids["q"], n-1))
	assert.Len(t, b.says("q"), maxKept)
	assert.Equal(t, "Row 1: Division by 0.", b.says("q")[0])
	assert.Less(t, len(b.j.causes.list), 2*maxTold)
}
