package terminal

import (
	"sort"
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// tabColumns is how wide a tab is drawn.
const tabColumns = 4

// columns is how many columns a terminal gives a character: none to marks on the one before it, two to the wide
// characters of Unicode's Standard Annex 11 (East Asian Width), emoji among them.
func columns(r rune) int {
	switch {
	case r == '\t':
		return tabColumns
	case r < ' ' || r == 0x7f:
		return 0
	case r < 0x300: // the soft hyphen too is drawn
		return 1
	case r >= 0x1160 && r <= 0x11ff: // the later parts of a Hangul syllable
		return 0
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// textColumns is the width of a text, colours left out.
func textColumns(s string) int {
	n := 0
	for _, r := range withoutColours(s) {
		n += columns(r)
	}
	return n
}

// withoutColours drops the sequences ESC [ … letter of a text.
func withoutColours(s string) string {
	var b strings.Builder
	for {
		before, after, found := strings.Cut(s, "\x1b[")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		end := strings.IndexFunc(after, func(r rune) bool { return r >= '@' && r <= '~' })
		s = after[end+1:]
	}
}

// rowStarts breaks a line into rows of a width; the first row begins at the column after the prompt. It gives the index
// at which each row begins. Where the last row is full, an empty one follows it for the cursor.
func rowStarts(line []rune, first, width int) []int {
	starts := []int{0}
	column := first
	for i, r := range line {
		n := columns(r)
		if n > 0 && column+n > width {
			starts = append(starts, i)
			column = 0
		}
		column += n
	}
	if column >= width {
		starts = append(starts, len(line))
	}
	return starts
}

// rowOf is the row in which a position is drawn.
func rowOf(starts []int, pos int) int {
	return sort.SearchInts(starts, pos+1) - 1
}

// shown is a part of a line as it is drawn.
func shown(line []rune) string {
	return strings.ReplaceAll(string(line), "\t", strings.Repeat(" ", tabColumns))
}
