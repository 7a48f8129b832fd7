package check_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// doubling makes rules that each call the one before twice; the last opens 2^n of the first.
func doubling(n int, first string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "rule r0(x)\n  give %s\nend\n", first)
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "rule r%d(x)\n  give r%d(x) + r%d(x)\nend\n", i, i-1, i-1)
	}
	return b.String()
}

// What grows without bound is refused in bounded time, with the limit in the message.
func TestExpansionIsBounded(t *testing.T) {
	c := newChecker(t)
	for _, first := range []string{"x + 1", "1 + 1"} {
		s := c.Check("bench", doubling(40, first)+"y = 3\nz = r40(y)\nsound = r3(y)\n")
		require.NotEmpty(t, s.Messages())
		assert.Regexp(t, `takes more than \d+ steps`, s.Messages()[len(s.Messages())-1].Text)
		sound, _ := s.Find("sound")
		assert.Nil(t, sound.Fault)
	}
}

// A chain of rules one upon another nests as deep as it may, and is refused beyond, with no stack to overflow.
func TestDepthIsBounded(t *testing.T) {
	c := newChecker(t)
	var b strings.Builder
	b.WriteString("rule r0(x)\n  give x\nend\n")
	const n = 5000
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "rule r%d(x)\n  give r%d(x)\nend\n", i, i-1)
	}
	s := c.Check("bench", b.String()+fmt.Sprintf("deep = r%d(1)\nsound = r100(2)\n", n))
	cell, _ := s.Find("deep")
	require.NotNil(t, cell.Fault)
	assert.Contains(t, cell.Fault.Text, "nests too deep")
	cell, _ = s.Find("sound")
	assert.Nil(t, cell.Fault)
}
