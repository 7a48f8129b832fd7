package syntax

import (
	"fmt"
	"strings"
	"time"
)

func digit(c byte) bool { return c >= '0' && c <= '9' }

func (s *scanner) byteAt(i int) byte {
	if i < len(s.text) {
		return s.text[i]
	}
	return 0
}

// number reads a number or a date (rulings 8 and 9).
func (s *scanner) number() {
	start := s.at
	if s.date() {
		return
	}
	i := start
	digits := func() {
		for digit(s.byteAt(i)) || s.byteAt(i) == '_' && digit(s.byteAt(i+1)) && i > start && digit(s.byteAt(i-1)) {
			i++
		}
	}
	digits()
	whole := s.text[start:i]
	if len(whole) > 1 && whole[0] == '0' {
		s.bad(start, i, "A number does not begin with a 0 before other digits.", fmt.Sprintf("Write %s.", firstOf(strings.TrimLeft(whole, "0_"), "0")))
		return
	}
	if s.byteAt(i) == '.' {
		if digit(s.byteAt(i + 1)) {
			i++
			digits()
			if s.byteAt(i) == '.' && digit(s.byteAt(i+1)) {
				s.bad(start, i+2, "This number has two points.", "Thousands are written 1_000; a date is written 2027-03-01.")
				return
			}
		} else {
			s.bad(start, i+1, "A number does not end with its point.", fmt.Sprintf("Write %s, or %s.0.", whole, whole))
			return
		}
	}
	if c := s.byteAt(i); (c == 'e' || c == 'E') && (digit(s.byteAt(i+1)) || (s.byteAt(i+1) == '-' || s.byteAt(i+1) == '+') && digit(s.byteAt(i+2))) {
		i += 2
		for digit(s.byteAt(i)) {
			i++
		}
	}
	if s.byteAt(i) == ',' && digit(s.byteAt(i+1)) && len(whole) > 0 {
		s.comma(start, i, whole)
		return
	}
	if s.byteAt(i) == '_' {
		s.bad(start, i+1, "An underscore in a number stands between two digits.", "Write 1_000.")
		return
	}
	if i-start > 400 {
		s.bad(start, i, "This number has too many digits.", "Seventeen digits are all that a value keeps.")
		return
	}
	s.at = i
	s.emit(tok{typ: tNumber, from: start, to: i})
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// comma refuses 1,000 and 2,5.
func (s *scanner) comma(start, at int, whole string) {
	end := at + 1
	for digit(s.byteAt(end)) || s.byteAt(end) == ',' && digit(s.byteAt(end+1)) {
		end++
	}
	text := s.text[start:end]
	joined := strings.ReplaceAll(text, ",", "")
	if end-at == 4 || strings.Count(text, ",") > 1 {
		s.bad(start, end, "A comma tight between digits is neither a thousands mark nor a decimal point here.",
			fmt.Sprintf("Write %s, or %s; two values are written \"%s\".", joined, strings.ReplaceAll(text, ",", "_"), strings.ReplaceAll(text, ",", ", ")))
		return
	}
	s.bad(start, end, "The decimal sign is a point.",
		fmt.Sprintf("Write %s; two values are written \"%s\".", strings.ReplaceAll(text, ",", "."), strings.ReplaceAll(text, ",", ", ")))
}

// date reads four digits followed by two tight hyphens between digits: a date, or refused.
func (s *scanner) date() bool {
	t := s.text[s.at:]
	i := 0
	for i < len(t) && digit(t[i]) {
		i++
	}
	if i != 4 || i >= len(t) || t[i] != '-' {
		return false
	}
	j := i + 1
	for j < len(t) && digit(t[j]) {
		j++
	}
	if j == i+1 || j >= len(t) || t[j] != '-' {
		return false
	}
	k := j + 1
	for k < len(t) && digit(t[k]) {
		k++
	}
	if k == j+1 {
		return false
	}
	if k < len(t) && t[k] == 'T' {
		m := k + 1
		for m < len(t) && (digit(t[m]) || t[m] == ':') {
			m++
		}
		if m > k+1 {
			k = m
		}
	}
	start := s.at
	text := t[:k]
	if _, _, ok := parseDate(text); !ok {
		s.bad(start, start+k, "This is not a date of the calendar.", dateAdvice(text))
		return true
	}
	s.at = start + k
	s.emit(tok{typ: tDate, from: start, to: s.at})
	return true
}

func dateAdvice(text string) string {
	var y, m, d int
	day, _, _ := strings.Cut(text, "T")
	if n, _ := fmt.Sscanf(day, "%d-%d-%d", &y, &m, &d); n == 3 && m >= 1 && m <= 12 && d >= 1 && d <= 31 {
		full := fmt.Sprintf("%04d-%02d-%02d", y, m, d)
		if _, err := time.Parse("2006-01-02", full); err == nil && full != day {
			return fmt.Sprintf("Write %s; a subtraction is written with blanks.", full)
		}
	}
	return "A date is written 2027-03-01, with a time of day 2027-03-01T14:30; a subtraction is written with blanks."
}

// parseDate reads an ISO 8601 date, with a time of day where one is written.
func parseDate(text string) (seconds int64, hasTime, ok bool) {
	for _, layout := range []string{"2006-01-02", "2006-01-02T15:04", "2006-01-02T15:04:05"} {
		if len(text) != len(layout) {
			continue
		}
		t, err := time.Parse(layout, text)
		if err != nil || t.Year() < 1 {
			return 0, false, false
		}
		return t.Unix(), len(layout) > 10, true
	}
	return 0, false, false
}
