package svg

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// pathReader reads the data of a path (SVG 1.1, 8.3).
type pathReader struct {
	scanner
	pen, start point // where it is, and where its subpath began
	control    point // the last control point, for the smooth commands
	last       byte  // the command before, in capitals
	out        []subpath
	open       bool // whether the last of out goes on
	segments   int  // how many segments there are
}

// arguments counts the numbers that a command takes at a time.
var arguments = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// readPath reads the data of a path that may have most segments.
func readPath(data string, most int) ([]subpath, error) {
	r := &pathReader{scanner: scanner{text: data}}
	command := byte(0)
	for !r.done() {
		c := r.text[r.at]
		name := c &^ 0x20 // in capitals
		count, known := arguments[name]
		switch isLetter := name >= 'A' && name <= 'Z'; {
		case isLetter && !known:
			return nil, r.wrong(fmt.Errorf("there is no command %s", quoted(r.text[r.at:r.at+1])))
		case isLetter && r.out == nil && name != 'M':
			return nil, r.wrong(fmt.Errorf("the first command is M"))
		case isLetter:
			command = c
			r.at++
		case command == 0 || arguments[command&^0x20] == 0 || !r.atNumber():
			return nil, r.wrong(fmt.Errorf("a command is missing"))
		default:
			count = arguments[command&^0x20]
			if command&^0x20 == 'M' { // further points of a move are those of lines
				command ^= 'M' ^ 'L'
			}
		}
		if r.segments++; r.segments > most {
			return nil, tooMany()
		}
		var a [7]float64
		if err := r.read(command&^0x20, a[:count]); err != nil {
			return nil, r.wrong(err)
		}
		r.carry(command, a)
		r.comma()
		if !finite(r.pen) || !finite(r.control) {
			return nil, r.wrong(errTooLarge)
		}
	}
	return r.out, nil
}

func tooMany() error {
	return fmt.Errorf("there are more than %d lines and curves in it", mostPieces)
}

func (r *pathReader) wrong(err error) error {
	return fmt.Errorf("in its d, at character %d, %w", utf8.RuneCountInString(r.text[:r.at])+1, err)
}

// read reads the numbers of one command; the flags of an arc are one digit each, and may stand tight.
func (r *pathReader) read(name byte, into []float64) error {
	for i := range into {
		r.blanks()
		if i > 0 {
			r.comma()
		}
		if name == 'A' && (i == 3 || i == 4) {
			if r.at == len(r.text) || r.text[r.at] != '0' && r.text[r.at] != '1' {
				return fmt.Errorf("a flag of the arc is missing, which is 0 or 1")
			}
			into[i] = float64(r.text[r.at] - '0')
			r.at++
			continue
		}
		x, err := r.number()
		if err != nil {
			return err
		}
		into[i] = x
	}
	return nil
}

// carry carries out a command with its numbers.
func (r *pathReader) carry(command byte, a [7]float64) {
	name, base := command&^0x20, point(0)
	if command != name {
		base = r.pen
	}
	switch name {
	case 'M':
		r.pen = base + complex(a[0], a[1])
		r.start, r.open = r.pen, false
		if r.out == nil {
			r.out = []subpath{}
		}
	case 'Z':
		if r.open {
			r.out[len(r.out)-1].closed = true
		}
		r.pen, r.open = r.start, false
	default:
		if !r.open {
			r.out, r.open = append(r.out, subpath{}), true
		}
		r.draw(&r.out[len(r.out)-1], name, base, a)
	}
	r.last = name
}

// draw adds a line or curve to a subpath. Its numbers are measured from base.
func (r *pathReader) draw(s *subpath, name byte, base point, a [7]float64) {
	from := r.pen
	at := func(i int) point { return base + complex(a[i], a[i+1]) }
	mirrored := func(curves string) point { // the last control point across the pen
		if strings.IndexByte(curves, r.last) < 0 {
			return from
		}
		return 2*from - r.control
	}
	switch name {
	case 'L':
		r.pen = at(0)
		s.line(from, r.pen)
	case 'H':
		r.pen = complex(real(base)+a[0], imag(from))
		s.line(from, r.pen)
	case 'V':
		r.pen = complex(real(from), imag(base)+a[0])
		s.line(from, r.pen)
	case 'C':
		r.control, r.pen = at(2), at(4)
		s.cubic(from, at(0), r.control, r.pen)
	case 'S':
		c := mirrored("CS")
		r.control, r.pen = at(0), at(2)
		s.cubic(from, c, r.control, r.pen)
	case 'Q':
		r.control, r.pen = at(0), at(2)
		s.quadratic(from, r.control, r.pen)
	case 'T':
		r.control, r.pen = mirrored("QT"), at(0)
		s.quadratic(from, r.control, r.pen)
	case 'A':
		r.pen = at(5)
		s.arc(from, a[0], a[1], a[2], a[3] == 1, a[4] == 1, r.pen)
	}
}
