package svg

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// scanner reads numbers as SVG writes them: apart by blanks, one comma, or nothing where the next begins with a sign or a
// second point.
type scanner struct {
	text string
	at   int
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func (s *scanner) blanks() {
	for s.at < len(s.text) && isBlank(s.text[s.at]) {
		s.at++
	}
}

// comma passes blanks with at most one comma among them.
func (s *scanner) comma() {
	s.blanks()
	if s.at < len(s.text) && s.text[s.at] == ',' {
		s.at++
		s.blanks()
	}
}

func (s *scanner) done() bool { s.blanks(); return s.at == len(s.text) }

// atNumber tells whether a number begins here.
func (s *scanner) atNumber() bool {
	if s.at == len(s.text) {
		return false
	}
	c := s.text[s.at]
	return isDigit(c) || c == '-' || c == '+' || c == '.'
}

func (s *scanner) digits() bool {
	from := s.at
	for s.at < len(s.text) && isDigit(s.text[s.at]) {
		s.at++
	}
	return s.at > from
}

func (s *scanner) sign() {
	if s.at < len(s.text) && (s.text[s.at] == '-' || s.text[s.at] == '+') {
		s.at++
	}
}

var (
	errNoNumber = errors.New("a number is missing")
	errTooLarge = errors.New("a number is too large")
)

// mostNumber bounds what is read, so that no product of a few numbers is infinite.
const mostNumber = 1e30

// number reads one number, and leaves an e that is no exponent, as in 2em.
func (s *scanner) number() (float64, error) {
	from := s.at
	s.sign()
	whole := s.digits()
	if s.at < len(s.text) && s.text[s.at] == '.' {
		s.at++
		whole = s.digits() || whole
	}
	if !whole {
		s.at = from
		return 0, errNoNumber
	}
	if end := s.at; end < len(s.text) && (s.text[end] == 'e' || s.text[end] == 'E') {
		s.at++
		s.sign()
		if !s.digits() {
			s.at = end
		}
	}
	x, err := strconv.ParseFloat(s.text[from:s.at], 64)
	if err != nil && !errors.Is(err, strconv.ErrRange) {
		return 0, errNoNumber
	}
	if math.Abs(x) > mostNumber {
		return 0, errTooLarge
	}
	return x, nil
}

// numbers reads a text that holds nothing but numbers.
func numbers(text string) ([]float64, error) {
	s := &scanner{text: text}
	var out []float64
	for !s.done() {
		x, err := s.number()
		if err != nil {
			return nil, err
		}
		if out = append(out, x); len(out) > 2*mostPieces {
			return nil, fmt.Errorf("there are more than %d numbers", 2*mostPieces)
		}
		s.comma()
	}
	return out, nil
}

// Lengths in metres. A pixel of CSS is 1/96 in.
const (
	inch  = 0.0254
	pixel = inch / 96
)

// metres are the units of length of CSS 2.1 that have a size of their own, and the quarter of a millimetre.
func metres(x float64, unit string) (length float64, ok bool) {
	switch unit {
	case "mm":
		return x / 1000, true
	case "cm":
		return x / 100, true
	case "in":
		return x * inch, true
	case "pt":
		return x * inch / 72, true
	case "pc":
		return x * inch / 6, true
	case "Q", "q":
		return x / 4000, true
	case "", "px":
		return x * pixel, true
	}
	return 0, false
}

// lengthOf reads a number with its unit.
func lengthOf(text string) (x float64, unit string, err error) {
	s := &scanner{text: strings.TrimSpace(text)}
	if x, err = s.number(); err != nil {
		return 0, "", err
	}
	return x, s.text[s.at:], nil
}
