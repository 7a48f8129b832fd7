package read

import (
	"strconv"
	"strings"
)

// The size of a worksheet, ISO/IEC 29500-1, 18.3.1.73 and 18.3.1.4.
const (
	maxRows    = 1_048_576
	maxColumns = 16_384
)

// Ref writes the reference of a cell: A1 is column 1, row 1. It is empty where there is no such cell.
func Ref(col, row int) string {
	if col < 1 || row < 1 || col > maxColumns || row > maxRows {
		return ""
	}
	return letters(col) + strconv.Itoa(row)
}

func letters(col int) string {
	var s [8]byte
	i := len(s)
	for ; col > 0; col = (col - 1) / 26 {
		i--
		s[i] = byte('A' + (col-1)%26)
	}
	return string(s[i:])
}

// ParseRef reads the reference of one cell, with or without dollar signs.
func ParseRef(s string) (col, row int, ok bool) {
	c, n := cutCorner(s)
	if n != len(s) || n == 0 || c.col == 0 || c.row == 0 {
		return 0, 0, false
	}
	return c.col, c.row, true
}

// area is a rectangle of cells.
type area struct{ left, top, right, bottom int }

// parseArea reads A1:B2, or A1 for one cell.
func parseArea(s string) (a area, ok bool) {
	from, to, two := strings.Cut(s, ":")
	if !two {
		to = from
	}
	var ok1, ok2 bool
	a.left, a.top, ok1 = ParseRef(from)
	a.right, a.bottom, ok2 = ParseRef(to)
	return a, ok1 && ok2 && a.left <= a.right && a.top <= a.bottom
}

// corner is one end of a reference: a cell, a whole column (row 0) or a whole row (col 0).
type corner struct {
	col, row       int
	colFix, rowFix bool // with a dollar sign
}

// cutCorner reads a corner at the start of a text, and tells how many bytes it takes; 0 where there is none.
func cutCorner(s string) (c corner, n int) {
	i := dollar(s, 0, &c.colFix)
	start := i
	for i < len(s) && i-start < 4 && isLetter(s[i]) {
		c.col = c.col*26 + int(s[i]|0x20-'a') + 1
		i++
	}
	if i == start {
		i, c.colFix = 0, false
	} else if c.col > maxColumns {
		return corner{}, 0
	}
	end := i
	i = dollar(s, i, &c.rowFix)
	start = i
	for i < len(s) && i-start < 8 && isDigit(s[i]) {
		c.row = c.row*10 + int(s[i]-'0')
		i++
	}
	switch {
	case i == start:
		c.rowFix = false
		if c.col == 0 {
			return corner{}, 0
		}
		return c, end
	case c.row < 1 || c.row > maxRows:
		return corner{}, 0
	}
	return c, i
}

// dollar steps over a dollar sign.
func dollar(s string, i int, fix *bool) int {
	if i < len(s) && s[i] == '$' {
		*fix = true
		return i + 1
	}
	return i
}

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }
func isDigit(c byte) bool  { return c >= '0' && c <= '9' }

// write writes a corner moved by some columns and rows, save where it is fixed. It tells false where that leaves the sheet.
func (c corner) write(b *strings.Builder, cols, rows int) bool {
	if c.col > 0 {
		if c.colFix {
			b.WriteByte('$')
			cols = 0
		}
		if c.col += cols; c.col < 1 || c.col > maxColumns {
			return false
		}
		b.WriteString(letters(c.col))
	}
	if c.row > 0 {
		if c.rowFix {
			b.WriteByte('$')
			rows = 0
		}
		if c.row += rows; c.row < 1 || c.row > maxRows {
			return false
		}
		b.WriteString(strconv.Itoa(c.row))
	}
	return true
}
