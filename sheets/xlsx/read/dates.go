package read

import (
	"math"
	"strings"
	"time"
)

const day = 86_400

// The limits of serial numbers of dates (ISO/IEC 29500-1, 18.17.4.1): the last day is 9999-12-31 in either system.
const (
	falseLeapDay = 60 // 1900-02-29, which the system of 1900 counts though there was none
	last1900     = 2_958_466
	last1904     = 2_957_004
)

// The days before day 0 and from day 61 on in the system of 1900, and day 0 in that of 1904, as seconds since
// 1970-01-01T00:00.
var (
	base1900 = seconds(1899, 12, 31)
	base61   = seconds(1899, 12, 30)
	base1904 = seconds(1904, 1, 1)
)

func seconds(y int, m time.Month, d int) int64 {
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix()
}

// DateOf turns the serial number of a date into seconds since 1970-01-01T00:00, to the nearest second. In the system of
// 1900 day 1 is 1900-01-01 and day 60 is a 29 February that was none: it is refused, as is what lies before day 1 or after
// the year 9999.
func DateOf(serial float64, dates1904 bool) (int64, bool) {
	first, last, base := 1.0, float64(last1900), base61
	if dates1904 {
		first, last, base = 0, last1904, base1904
	} else if serial < falseLeapDay {
		base = base1900
	}
	if !(serial >= first && serial < last) || !dates1904 && serial >= falseLeapDay && serial < falseLeapDay+1 {
		return 0, false
	}
	// Days and their fraction apart, so that the seconds are not lost in a large number.
	days, part := math.Modf(serial)
	s := base + int64(days)*day + int64(math.Round(part*day))
	if s >= seconds(10000, 1, 1) {
		s--
	}
	return s, true
}

// serialOf is the way back, for files that hold dates as texts.
func serialOf(t time.Time, dates1904 bool) (float64, bool) {
	base := base61
	switch {
	case dates1904:
		base = base1904
	case t.Unix() < seconds(1900, 3, 1):
		base = base1900
	}
	s := float64(t.Unix()-base)/day + float64(t.Nanosecond())/1e9/day
	_, ok := DateOf(s, dates1904)
	return s, ok
}

// isoLayouts are the forms of a date in a cell of the type d (ISO/IEC 29500-1, 18.18.11).
var isoLayouts = []string{"2006-01-02", "2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02T15:04Z07:00", "2006-01-02T15:04:05Z07:00"}

// isoSerial reads a date that a file holds as a text. What it says of a zone is left aside: a worksheet knows none.
func isoSerial(s string, dates1904 bool) (float64, bool) {
	for _, layout := range isoLayouts {
		if t, err := time.Parse(layout, s); err == nil {
			local := time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
			return serialOf(local, dates1904)
		}
	}
	return 0, false
}

// IsDate tells whether a number format shows a date: a day, a month or a year, with or without the time. A format of hours
// and minutes alone shows a time of day or a span of time, and is none.
func IsDate(format string) bool {
	codes := dateCodes(format)
	for i, c := range codes {
		switch c {
		case 'y', 'd', 'g', 'b', 'e':
			return true
		case 'm':
			// Behind hours and before seconds, m are minutes.
			afterHours := i > 0 && codes[i-1] == 'h'
			beforeSeconds := i+1 < len(codes) && codes[i+1] == 's'
			if !afterHours && !beforeSeconds {
				return true
			}
		}
	}
	return false
}

// dateCodes are the letters of the first section of a format that stand for parts of a date, runs of one letter once.
// Texts, escaped signs, colours and conditions are left out. A format with digits is one of numbers and has none.
func dateCodes(format string) (codes []byte) {
	f := strings.ToLower(format)
	for i := 0; i < len(f); i++ {
		c := f[i]
		switch {
		case c == ';':
			return codes
		case c == '"':
			end := strings.IndexByte(f[i+1:], '"')
			if end < 0 {
				return codes
			}
			i += end + 1
		case c == '\\' || c == '_' || c == '*':
			i++
		case c == '[':
			end := strings.IndexByte(f[i:], ']')
			if end < 0 {
				return codes
			}
			// [h] is a span of hours; other brackets are colours, conditions and places.
			if inside := f[i+1 : i+end]; inside != "" && strings.Trim(inside, inside[:1]) == "" && strings.Contains("hms", inside[:1]) {
				codes = append(codes, 'h')
			}
			i += end
		case strings.HasPrefix(f[i:], "general"):
			i += len("general") - 1
		case strings.HasPrefix(f[i:], "am/pm"):
			i += len("am/pm") - 1
		case strings.HasPrefix(f[i:], "a/p"):
			i += len("a/p") - 1
		case c == '#' || c == '?' || c == '0' && (i == 0 || !secondsPart(f[:i])):
			return nil
		case strings.IndexByte("ymdhsegb", c) >= 0 && (len(codes) == 0 || codes[len(codes)-1] != c):
			codes = append(codes, c)
		}
	}
	return codes
}

// secondsPart tells whether a 0 behind this text is a part of a second: ss.000.
func secondsPart(before string) bool {
	before = strings.TrimRight(before, "0")
	return strings.HasSuffix(before, "s.") || strings.HasSuffix(before, "s,") || strings.HasSuffix(before, "].")
}
