// Package grid reads delimited text files as tables of texts (ruling 29; RFC 4180), and single fields of them as a
// number, a date or a truth. It knows nothing of units and kinds.
package grid

import (
	"fmt"
	"strings"
	"unicode"
)

// Options says what cannot be seen from a file. The zero value reads a file with its heading first, decimal points and
// dates by ISO 8601.
type Options struct {
	Dates   string // the order of a date, as "d.m.y"; "" is ISO 8601
	Decimal byte   // '.' or ','; 0 is '.'
	Skip    int    // how many lines stand before the heading
}

// Check refuses options that cannot be, as a *Mistake without a place.
func (o Options) Check() error {
	switch {
	case o.Skip < 0:
		return &Mistake{Text: fmt.Sprintf("skip is %d, and no file has fewer than 0 lines before its heading.", o.Skip), WayOut: "Write skip: 0, or leave it out."}
	case o.Decimal != 0 && o.Decimal != '.' && o.Decimal != ',':
		return &Mistake{Text: fmt.Sprintf("\"%s\" is no decimal sign.", shown(string(rune(o.Decimal)))), WayOut: "Write decimal: \".\" or decimal: \",\"."}
	case o.Dates != "" && !isOrder(o.Dates):
		return &Mistake{Text: fmt.Sprintf("\"%s\" is no order of a date.", shown(o.Dates)),
			WayOut: "Write d, m and y once each with a point, a slash or a hyphen between them, as dates: \"d.m.y\"."}
	}
	return nil
}

// isOrder tells whether an order names day, month and year once each, with one sign between them.
func isOrder(order string) bool {
	if len(order) != 5 || order[1] != order[3] || strings.IndexByte("./-", order[1]) < 0 {
		return false
	}
	return strings.Contains(order, "d") && strings.Contains(order, "m") && strings.Contains(order, "y")
}

// Grid is a file as it stands: headings, and below them rows with as many fields. The fields are pieces of one copy of
// the text, which stays in memory as long as one of them does.
type Grid struct {
	Heads     []string
	Rows      [][]string
	Lines     []int // the line of the file on which row i begins, from 1
	Separator byte  // between the fields; 0 where there is one column
	HeadLine  int   // the line on which the heading begins, from 1
}

// Mistake is what is wrong with a file or a field. Every error of this package is one.
type Mistake struct {
	Line, Place int    // from 1, the place counted in characters; both 0 where only the caller knows
	Text        string // one sentence, ending with a full stop
	WayOut      string // what to write or do instead
}

// Error writes the place, where it is known, the sentence and the way out.
func (m *Mistake) Error() string {
	s := m.Text + " " + m.WayOut
	if m.Line > 0 {
		s = fmt.Sprintf("Line %d, place %d: %s", m.Line, m.Place, s)
	}
	return s
}

// longest is how many characters of a field a message repeats.
const longest = 40

// shown is a field as a message repeats it: cut where it is long, in one line, and unable to drive a terminal.
func shown(text string) string {
	n := 0
	for i := range text {
		if n == longest {
			text = text[:i] + "…"
			break
		}
		n++
	}
	return strings.Map(func(r rune) rune {
		if r == ' ' || unicode.IsPrint(r) {
			return r
		}
		return '·'
	}, text)
}
