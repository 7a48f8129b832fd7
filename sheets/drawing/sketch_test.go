package drawing

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/stdlib/shapes"
)

func TestGoldenSketch(t *testing.T) {
	figures := []Figure{figure("seat", seat, "95 mm thick"), figure("plate", plate), figure("segment", arcPiece)}
	for _, s := range []Screen{{80, false}, {40, false}, {80, true}, {40, true}} {
		name := fmt.Sprintf("figures-%d.txt", s.Columns)
		if s.Plain {
			name = fmt.Sprintf("figures-%d-ascii.txt", s.Columns)
		}
		got := Sketch(figures, mm, s)
		golden(t, name, []byte(got))
		for _, line := range strings.Split(got, "\n") {
			assert.LessOrEqual(t, diag.Width(line), s.Columns, line)
		}
		if s.Plain {
			for _, r := range got {
				assert.Less(t, r, rune(0x80))
			}
		}
	}
}

// TestSketchKeepsScale compares the sizes of two figures on one screen.
func TestSketchKeepsScale(t *testing.T) {
	got := Sketch([]Figure{figure("long", board(0.8, 0.1)), figure("half", board(0.4, 0.1))}, mm, Screen{80, false})
	var wide []int
	for _, line := range strings.Split(got, "\n") {
		if strings.HasPrefix(line, "├") {
			wide = append(wide, diag.Width(line))
		}
	}
	require.Len(t, wide, 2)
	assert.Equal(t, 80, wide[0])
	assert.InDelta(t, 40, wide[1], 1)
}

func board(w, d float64) *shapes.Outline { return must(shapes.Rectangle(w, d, 0)) }

func TestNarrowScreen(t *testing.T) {
	for _, columns := range []int{0, 1, 12} {
		got := Sketch([]Figure{figure("wire", board(0.3, 0.0001))}, mm, Screen{columns, false})
		assert.Contains(t, got, "300 mm")
		assert.NotEmpty(t, (&Chart{X: Values{Name: "row", SI: []float64{1, 2}}, Y: []Values{{"y", &show.Spec{}, []float64{1, 2}}}}).Sketch(Screen{columns, true}))
	}
}
