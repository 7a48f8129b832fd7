package xlsx_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/sheets/xlsx/read"
)

// What is no number, date, truth or text goes out as its words: each row of a column with its own.
func TestShapesGoOutAsWords(t *testing.T) {
	data, _ := exported(t, job(newChecker(t), `far = line((40 mm, 0 mm))
steps = (far, line((40 mm, 30 mm)))
piece = path((0 mm, 0 mm), steps)
table pieces
  step = line((n, 0 mm))
  n [mm] | shape
  1 | (circle(1 mm))
  2 | (rectangle(3 mm, 4 mm))
end
`))
	w := opened(t, data)
	beside := func(label string) string {
		for _, s := range w.Sheets {
			for _, r := range s.Rows {
				for i, c := range r.Cells {
					if c.Text == label {
						return r.Cells[i+1].Text
					}
				}
			}
		}
		return ""
	}
	assert.Equal(t, "line to (40 mm, 0 mm)", beside("far"))
	assert.Equal(t, "(line to (40 mm, 0 mm), line to (40 mm, 30 mm))", beside("steps"))
	assert.Equal(t, "outline 40 mm by 30 mm", beside("piece"))
	var texts []string
	for _, s := range w.Sheets {
		for _, r := range s.Rows {
			for _, c := range r.Cells {
				if c.Kind == read.Text {
					texts = append(texts, c.Text)
				}
			}
		}
	}
	require.Subset(t, texts, []string{"line to (1 mm, 0 mm)", "line to (2 mm, 0 mm)", "outline 2 mm by 2 mm", "outline 3 mm by 4 mm"})
}
