package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/internal/recursion"
)

// Every ring of calls in this package counts its depth. It reads the source of the package.
func TestEveryRingOfCallsCountsItsDepth(t *testing.T) {
	rings, err := recursion.Unguarded(".", "enter")
	require.NoError(t, err)
	assert.Empty(t, rings)
}
