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

// maxDigits is how many characters one number may have. Values keep about seventeen digits.
const maxDigits = 400

// number reads a number or a date (rulings 8 and 9).
func (s *scanner) number() {
	start := s.at
	if s.date() {
		return
	}
	i := s.digits(start)
	whole := s.text[start:i]
	if len(whole) > 1 && whole[0] == '0' {
		s.leadingZero(start, i)
		return
	}
	if s.byteAt(i) == '.' {
		if !digit(s.byteAt(i + 1)) {
			s.bad(start, i+1, "A number does not end with its point.", fmt.Sprintf("Write %s, or %s.0.", whole, whole))
			return
		}
		i = s.digits(i + 1)
		if s.byteAt(i) == '.' && digit(s.byteAt(i+1)) {
			for digit(s.byteAt(i)) || s.byteAt(i) == '.' || s.byteAt(i) == ',' && digit(s.byteAt(i+1)) {
				i++
			}
			s.bad(start, i, "This number has two points.", "Thousands are written 1_000; a date is written 2027-03-01.")
			return
		}
	}
	if c := s.byteAt(i); (c == 'e' || c == 'E') && (digit(s.byteAt(i+1)) || (s.byteAt(i+1) == '-' || s.byteAt(i+1) == '+') && digit(s.byteAt(i+2))) {
		i += 2
		for digit(s.byteAt(i)) {
			i++
		}
	}
	switch {
	case s.byteAt(i) == ',' && digit(s.byteAt(i+1)) && len(whole) > 0:
		s.comma(start, i)
	case s.byteAt(i) == '_':
		s.bad(start, i+1, "An underscore in a number stands between two digits.", "Write 1_000.")
	case i-start > maxDigits:
		s.bad(start, i, fmt.Sprintf("This number has more than %d digits.", maxDigits), "Seventeen digits are all that a value keeps.")
	default:
		s.at = i
		s.emit(tok{typ: tNumber, from: start, to: i})
	}
}

// digits gives where a run of digits from i ends; an underscore may stand between two of them.
func (s *scanner) digits(i int) int {
	start := i
	for digit(s.byteAt(i)) || i > start && s.byteAt(i) == '_' && digit(s.byteAt(i+1)) {
		i++
	}
	return i
}

func (s *scanner) leadingZero(start, end int) {
	text := s.text[start:end]
	if n := len(s.toks); n > 0 && len(text) == 3 && s.toks[n-1].typ == tNumber {
		first := s.text[s.toks[n-1].from:s.toks[n-1].to]
		s.bad(start, end, "A blank does not part thousands.", fmt.Sprintf("Write %s%s, or %s_%s.", first, text, first, text))
		s.toks[n].bad.Span.From = s.toks[n-1].from
		return
	}
	s.bad(start, end, "A number does not begin with a 0 before other digits.", fmt.Sprintf("Write %s.", firstOf(strings.TrimLeft(text, "0_"), "0")))
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// comma refuses 1,000 and 2,5.
func (s *scanner) comma(start, at int) {
	end := at + 1
	for digit(s.byteAt(end)) || (s.byteAt(end) == ',' || s.byteAt(end) == '.') && digit(s.byteAt(end+1)) {
		end++
	}
	text := s.text[start:end]
	two := fmt.Sprintf("two values are written \"%s\"", strings.ReplaceAll(text, ",", ", "))
	switch {
	case thousands(strings.ReplaceAll(s.text[start:at], ".", ",")) && !strings.ContainsAny(s.text[at+1:end], ",."): // 1.000,5
		s.bad(start, end, "The decimal sign is a point.", fmt.Sprintf("Write %s; %s.", strings.ReplaceAll(strings.ReplaceAll(text, ".", ""), ",", "."), two))
	case strings.Contains(s.text[start:at], "."), strings.Contains(text, ".") && !thousands(text): // 0.5,0.25
		s.bad(start, end, "A comma tight between digits is neither a thousands mark nor a decimal sign.", upper(two))
	case thousands(text):
		s.bad(start, end, "A comma tight between digits is neither a thousands mark nor a decimal sign.",
			fmt.Sprintf("Write %s, or %s; %s.", strings.ReplaceAll(text, ",", ""), strings.ReplaceAll(text, ",", "_"), two))
	case strings.Count(text, ",") > 1:
		s.bad(start, end, "A comma tight between digits is neither a thousands mark nor a decimal sign.", upper(two))
	default:
		s.bad(start, end, "The decimal sign is a point.", fmt.Sprintf("Write %s; %s.", strings.ReplaceAll(text, ",", "."), two))
	}
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }

// thousands tells whether a text is written as 1,000 or 1,250,000.5.
func thousands(text string) bool {
	whole, _, _ := strings.Cut(text, ".")
	groups := strings.Split(whole, ",")
	for i, g := range groups {
		if i == 0 && (len(g) == 0 || len(g) > 3) || i > 0 && len(g) != 3 {
			return false
		}
	}
	return len(groups) > 1
}

// date reads four digits followed by two tight hyphens between digits: a date, or refused.
func (s *scanner) date() bool {
	t := s.text[s.at:]
	i := 0
	for i < len(t) && i < 5 && digit(t[i]) {
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
		advice, exists := dateAdvice(text)
		says := "This is not a date of the calendar."
		if exists {
			says = "A date has four digits for the year, two for the month and two for the day."
		}
		s.bad(start, start+k, says, advice)
		return true
	}
	s.at = start + k
	s.emit(tok{typ: tDate, from: start, to: s.at})
	return true
}

// dateAdvice says how a date is written; exists is whether the day is one of the calendar, only written otherwise.
func dateAdvice(text string) (advice string, exists bool) {
	var y, m, d int
	day, clock, _ := strings.Cut(text, "T")
	if clock != "" && len(day) == 10 {
		if _, _, ok := parseDate(day); ok {
			return "A time of day goes from 00:00 to 23:59, with two digits each, as 2027-03-01T07:30.", false
		}
	}
	if n, _ := fmt.Sscanf(day, "%d-%d-%d", &y, &m, &d); n == 3 && m >= 1 && m <= 12 && d >= 1 && d <= 31 {
		full := fmt.Sprintf("%04d-%02d-%02d", y, m, d)
		if _, err := time.Parse("2006-01-02", full); err == nil && full != day {
			if clock != "" {
				full += "T" + clock
			}
			return fmt.Sprintf("Write %s; a subtraction is written with blanks.", full), true
		}
	}
	return "A date is written 2027-03-01, with a time of day 2027-03-01T14:30; a subtraction is written with blanks.", false
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
