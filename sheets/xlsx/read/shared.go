package read

import (
	"strings"
	"unicode/utf8"
)

// shared is a formula that several cells share, written for one of them (ISO/IEC 29500-1, 18.3.1.40).
type shared struct {
	text     string
	col, row int     // the cell for which it is written
	pieces   []piece // of the text, once it was cut
}

// piece is a stretch of a formula: text that stays, or a reference that moves.
type piece struct {
	text     string // "" for a reference
	from, to corner // to is empty where the reference is one cell
}

// at writes the formula for another cell.
func (s *shared) at(col, row int) string {
	if s.pieces == nil {
		s.pieces = cutFormula(s.text)
	}
	return shifted(s.pieces, col-s.col, row-s.row)
}

// shifted writes a formula with its relative references moved. One that leaves the sheet becomes #REF!, so that it can
// never mean another cell.
func shifted(pieces []piece, cols, rows int) string {
	var b, ref strings.Builder
	for _, p := range pieces {
		if p.text != "" {
			b.WriteString(p.text)
			continue
		}
		ref.Reset()
		ok := p.from.write(&ref, cols, rows)
		if p.to != (corner{}) {
			ref.WriteByte(':')
			ok = p.to.write(&ref, cols, rows) && ok
		}
		if ok {
			b.WriteString(ref.String())
		} else {
			b.WriteString("#REF!")
		}
	}
	return b.String()
}

// cutFormula finds the references of a formula. Texts, quoted names of sheets and what stands in square brackets (other
// workbooks, columns of tables) are stepped over, names and functions are taken whole: LOG10( is no cell.
func cutFormula(f string) (pieces []piece) {
	kept, i := 0, 0 // what stands before i and from kept on stays as it is
	for i < len(f) {
		if p, n := cutReference(f, i); n > 0 {
			if kept < i {
				pieces = append(pieces, piece{text: f[kept:i]})
			}
			pieces = append(pieces, p)
			i += n
			kept = i
			continue
		}
		i += stretch(f[i:])
	}
	if kept < len(f) {
		pieces = append(pieces, piece{text: f[kept:]})
	}
	return pieces
}

// stretch tells how many bytes at the start of a formula belong together and are no reference.
func stretch(f string) int {
	switch c := f[0]; {
	case c == '"' || c == '\'':
		// A doubled quote is the end of one text and the start of the next.
		if end := strings.IndexByte(f[1:], c); end >= 0 {
			return end + 2
		}
		return len(f)
	case c == '[':
		return bracket(f)
	case isDigit(c):
		return number(f)
	case isName(c):
		return nameLength(f)
	}
	return 1
}

// bracket tells the length of what stands in square brackets, which nest; ' takes the meaning off the next sign.
func bracket(f string) int {
	depth := 0
	for i := 0; i < len(f); i++ {
		switch f[i] {
		case '\'':
			i++
		case '[':
			depth++
		case ']':
			if depth--; depth == 0 {
				return i + 1
			}
		}
	}
	return len(f)
}

func number(f string) int {
	i := 0
	for i < len(f) && (isDigit(f[i]) || f[i] == '.') {
		i++
	}
	if i < len(f) && f[i]|0x20 == 'e' {
		k := i + 1
		if k < len(f) && (f[k] == '+' || f[k] == '-') {
			k++
		}
		if k < len(f) && isDigit(f[k]) {
			for i = k; i < len(f) && isDigit(f[i]); i++ {
			}
		}
	}
	return i
}

// isName tells the bytes of names.
func isName(c byte) bool {
	return isLetter(c) || isDigit(c) || c >= utf8.RuneSelf || strings.IndexByte(`_.\?`, c) >= 0
}

func nameLength(f string) int {
	i := 0
	for i < len(f) && isName(f[i]) {
		i++
	}
	return i
}

// cutReference reads a reference at a place of a formula: a cell, a range of cells, of whole columns or of whole rows.
func cutReference(f string, at int) (p piece, n int) {
	s := f[at:]
	from, n := cutCorner(s)
	if n == 0 {
		return piece{}, 0
	}
	cell := from.col > 0 && from.row > 0
	if n < len(s) && s[n] == ':' {
		to, m := cutCorner(s[n+1:])
		alike := m > 0 && (from.col > 0) == (to.col > 0) && (from.row > 0) == (to.row > 0)
		rest := s[n+1+m:]
		switch {
		case alike && ends(rest):
			return piece{from: from, to: to}, n + 1 + m
		case alike && strings.HasPrefix(rest, "!") && (at == 0 || f[at-1] != '!'):
			return piece{}, 0 // the names of two sheets: JAN1:MAR1!A1
		}
	}
	if cell && ends(s[n:]) {
		return piece{from: from}, n
	}
	return piece{}, 0
}

// ends tells whether a reference can end before a text: not in the midst of a name, before the bracket of a function or
// as the name of a sheet.
func ends(rest string) bool {
	return rest == "" || !isName(rest[0]) && strings.IndexByte("(![$", rest[0]) < 0
}
