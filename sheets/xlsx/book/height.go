package book

import "strings"

const (
	// usualWidth is that of a column without one of its own (common practice).
	usualWidth = 8.43
	lineHeight = 13   // of a line of text of 10 points
	air        = 3.5  // above and below the text
	bigger     = 1.05 // letters of running text are that much narrower than digits, on the safe side
)

// height is the height of a row in points, and whether it is fixed: the one that was given, or what its looks want. Where
// text wraps it is a guess, which a reader's program may better; 0 is the usual height.
func (row Row) height(widths []float64) (h float64, fixed bool) {
	if row.Height > 0 {
		return row.Height, true
	}
	wraps := false
	for i, c := range row.Cells {
		look := looks[c.Style.Role]
		h = max(h, look.height)
		if !c.Style.Wrap || c.Kind != Text {
			continue
		}
		room := -1 - 1.5*float64(c.Style.Indent+look.indent)
		for k := i; k <= i+c.Across; k++ {
			room += width(widths, k)
		}
		if n := lines(c.Text, int(bigger*room)); n > 1 {
			wraps = true
			h = max(h, float64(n)*lineHeight+air)
		}
	}
	return min(h, maxHeight), h > 0 && !wraps
}

func width(widths []float64, column int) float64 {
	if column < len(widths) && widths[column] > 0 {
		return widths[column]
	}
	return usualWidth
}

// lines counts the lines that a text takes where a number of letters find room side by side.
func lines(s string, room int) int {
	room = max(room, 1)
	n := 0
	for line := range strings.SplitSeq(s, "\n") {
		n++
		at := 0
		for word := range strings.FieldsSeq(line) {
			w := length(word)
			if at > 0 && at+1+w <= room {
				at += 1 + w
				continue
			}
			if at > 0 {
				n++
			}
			n += (w - 1) / room // a word longer than the line is broken
			at = (w-1)%room + 1
		}
	}
	return n
}
