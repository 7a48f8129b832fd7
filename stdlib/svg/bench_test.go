package svg_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/stdlib/svg"
)

// The whole of a drawing with Béziers, to a hundredth of a millimetre.
func BenchmarkOutline(b *testing.B) {
	text, err := os.ReadFile("testdata/drawings/smooth.svg")
	require.NoError(b, err)
	for b.Loop() {
		d, err := svg.Read("smooth.svg", text)
		if err == nil {
			_, _, err = d.Outline("all", 0, hundredth)
		}
		require.NoError(b, err)
	}
}
