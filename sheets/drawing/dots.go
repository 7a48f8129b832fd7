package drawing

import (
	"math"
	"strings"

	"castwright/lang/value"
)

// Screen says what a drawing in characters has to go by.
type Screen struct {
	Columns int
	Plain   bool // only the characters of ASCII
}

// dots is a field of small dots in characters: 2 by 4 in each of Unicode's Braille patterns (U+2800 to U+28FF), or, where
// those cannot be shown, 1 by 2. As characters are about twice as high as wide, the dots lie in a square grid.
type dots struct {
	plain       bool
	wide, high  int // in characters
	on          []bool
	across, all int // dots in a row, rows of dots
}

func newDots(wide, high int, plain bool) *dots {
	d := &dots{plain: plain, wide: wide, high: high}
	x, y := d.per()
	d.across, d.all = wide*x, high*y
	d.on = make([]bool, d.across*d.all)
	return d
}

// per is how many dots a character has across and down.
func (d *dots) per() (x, y int) { return dotsPer(d.plain) }

func dotsPer(plain bool) (x, y int) {
	if plain {
		return 1, 2
	}
	return 2, 4
}

// set puts a dot, counted from the lower left corner; what lies outside is left out.
func (d *dots) set(x, y int) {
	if x >= 0 && x < d.across && y >= 0 && y < d.all {
		d.on[(d.all-1-y)*d.across+x] = true
	}
}

// line puts dots along a line between two places, in dots.
func (d *dots) line(a, b value.Place) {
	n := int(math.Ceil(max(math.Abs(b.X-a.X), math.Abs(b.Y-a.Y))))
	for i := range n + 1 {
		s := float64(i) / float64(max(n, 1))
		d.set(int(math.Round(a.X+(b.X-a.X)*s)), int(math.Round(a.Y+(b.Y-a.Y)*s)))
	}
}

// point puts a mark that is seen by itself: a block of four dots.
func (d *dots) point(p value.Place) {
	x, y := int(math.Round(p.X)), int(math.Round(p.Y))
	for i := range 2 {
		for k := range 2 {
			d.set(min(x, d.across-2)+i, min(y, d.all-2)+k)
		}
	}
}

// braille are the bits of the dots of a pattern, by row and column.
var braille = [4][2]rune{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}

// rows gives the field as lines of text, blanks at their ends left out.
func (d *dots) rows() []string {
	x, y := d.per()
	out := make([]string, d.high)
	for row := range d.high {
		var b strings.Builder
		for column := range d.wide {
			bits := rune(0)
			for j := range y {
				for i := range x {
					if d.on[(row*y+j)*d.across+column*x+i] {
						bits |= braille[j][i]
					}
				}
			}
			b.WriteRune(d.char(bits))
		}
		out[row] = strings.TrimRight(b.String(), " ")
	}
	return out
}

func (d *dots) char(bits rune) rune {
	switch {
	case bits == 0:
		return ' '
	case d.plain:
		return [...]rune{1: '\'', 2: '.', 3: ':'}[bits]
	}
	return 0x2800 + bits
}
