package syntax_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/internal/recursion"
)

// TestEveryRingOfCallsCountsItsDepth reads the source of this package. Walk is the one exception: it goes down a tree
// whose depth the reader has bounded.
func TestEveryRingOfCallsCountsItsDepth(t *testing.T) {
	rings, err := recursion.Unguarded(".", "enter")
	require.NoError(t, err)
	assert.Equal(t, []string{"Walk -> Walk"}, rings)
}
