package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/internal/recursion"
)

// Every ring of calls in this package counts its depth. It reads the source of the package. The exceptions go down a tree
// whose depth the reader has bounded, a chain of parts, which takeParts bounds, or a loop in a loop of a program.
func TestEveryRingOfCallsCountsItsDepth(t *testing.T) {
	rings, err := recursion.Unguarded(".", "enter")
	require.NoError(t, err)
	assert.ElementsMatch(t, []string{
		"pathOf -> pathOf", "references.walk -> references.walk", "uses.walk -> uses.walk", "terms -> terms",
		"Job.takeParts -> Job.takeParts", "Sheet.prefix -> Sheet.prefix",
		"Sheet.compileStatement -> Sheet.replacedCell -> Sheet.ownType -> Sheet.compileStatement",
		"Sheet.replacedColumn -> Sheet.typed -> Sheet.replacedColumn", "putInto -> putInto",
	}, rings)
}
