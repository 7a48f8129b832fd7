package show

import (
	"math"
	"time"
)

// The first and the last second of the calendar that four digits of a year can write (ISO 8601, 4.1.2.1).
const (
	firstSecond = -62135596800 // 0001-01-01T00:00:00
	lastSecond  = 253402300799 // 9999-12-31T23:59:59
)

// OutsideCalendar is shown for a date that cannot be written with a year of four digits.
const OutsideCalendar = "outside the years 1 to 9999"

// DateText writes a date by ISO 8601, from seconds since 1970-01-01T00:00 without a zone: `2027-03-01`, or with its
// time of day `2027-03-01T14:30`, seconds only where they are not 0. Outside the years 1 to 9999 it says so.
func DateText(seconds int64, withTime bool) string {
	if seconds < firstSecond || seconds > lastSecond {
		return OutsideCalendar
	}
	t := time.Unix(seconds, 0).UTC()
	switch {
	case !withTime:
		return t.Format("2006-01-02")
	case t.Second() != 0:
		return t.Format("2006-01-02T15:04:05")
	}
	return t.Format("2006-01-02T15:04")
}

// date writes a date; fractions of a second are rounded, the time of day is left out where it is midnight.
func (s *Spec) date(si float64) string {
	si = math.Round(si)
	if si < firstSecond || si > lastSecond {
		return OutsideCalendar
	}
	seconds := int64(si)
	switch s.Word {
	case "weekday":
		return time.Unix(seconds, 0).UTC().Weekday().String()
	case "date":
		return DateText(seconds, false)
	}
	return DateText(seconds, seconds%86400 != 0)
}
