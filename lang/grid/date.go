package grid

import (
	"fmt"
	"strings"
	"time"
	"unicode"
)

// iso is the order that dates have where none is said (ISO 8601-1:2019).
const iso = "y-m-d"

// Date reads a field that holds one date, with blanks around it, and gives the seconds since 1970-01-01T00:00, without a
// zone. Where order is "", a date is written as in ISO 8601, 2027-03-01; an order such as "d.m.y" says what stands where,
// and then day and month may have one digit. Years have four, from 0001 to 9999, in the calendar of today also before
// it was in use (ISO 8601-1:2019).
//
// A time of day stands behind a T or blanks: hours from 0 to 23, with one digit or two, minutes, and seconds where they
// are wanted. Seconds may have decimals if these are zeros, as programs write them; others are refused, since a date
// counts whole seconds. Zones are refused. hasTime tells whether a time of day was written.
func Date(text, order string) (seconds int64, hasTime bool, err error) {
	if err := (Options{Dates: order}).Check(); err != nil {
		return 0, false, err
	}
	t := strings.TrimSpace(text)
	if t == "" {
		return 0, false, &Mistake{Text: "This field is empty.", WayOut: "Write a date."}
	}
	i := 0
	for i < len(t) && (digit(t[i]) || strings.IndexByte("./-", t[i]) >= 0) {
		i++
	}
	date, m := day(t, t[:i], order)
	if m != nil {
		return 0, false, m
	}
	if i == len(t) {
		return date.Unix(), false, nil
	}
	clock, m := timeOfDay(t, t[i:])
	if m != nil {
		return 0, false, m
	}
	return date.Unix() + clock, true, nil
}

// day reads the date in front of a text.
func day(text, date, order string) (time.Time, *Mistake) {
	strict := order == ""
	if strict {
		order = iso
	}
	var parts [3]string
	var first, second bool
	parts[0], date, first = strings.Cut(date, order[1:2])
	parts[1], parts[2], second = strings.Cut(date, order[1:2])
	if !first || !second {
		return time.Time{}, noDate(text, order, strict)
	}
	var y, m, d int
	short := false
	for i, p := range parts {
		n := len(p)
		if n == 0 || n > 4 || digitsEnd(p, 0) != n {
			return time.Time{}, noDate(text, order, strict)
		}
		v := number(p)
		switch name := order[2*i]; {
		case name == 'y' && n == 2:
			return time.Time{}, &Mistake{Text: fmt.Sprintf("The year of \"%s\" has two digits.", shown(text)), WayOut: fmt.Sprintf("Write all four, as %s.", written(2027, 3, 1, order, strict))}
		case (name == 'y') != (n == 4) || n == 3:
			return time.Time{}, noDate(text, order, strict)
		case name == 'y':
			y = v
		case name == 'm':
			m, short = v, short || n == 1
		default:
			d, short = v, short || n == 1
		}
	}
	if m := offCalendar(text, order, y, m, d); m != nil {
		return time.Time{}, m
	}
	if strict && short {
		return time.Time{}, &Mistake{Text: fmt.Sprintf("Month and day have two digits in ISO 8601, and \"%s\" has one.", shown(text)),
			WayOut: fmt.Sprintf("Write %s, or say dates: \"y-m-d\".", written(y, m, d, order, strict))}
	}
	return time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC), nil
}

// number reads at most four digits.
func number(digits string) int {
	n := 0
	for _, c := range []byte(digits) {
		n = 10*n + int(c-'0')
	}
	return n
}

// offCalendar refuses what is no day of the calendar.
func offCalendar(text, order string, y, m, d int) *Mistake {
	no := func(wayOut string) *Mistake {
		return &Mistake{Text: fmt.Sprintf("\"%s\" is not a date of the calendar.", shown(text)), WayOut: wayOut}
	}
	switch {
	case y == 0:
		return no("Years go from 0001 to 9999.")
	case m < 1 || m > 12:
		return no(fmt.Sprintf("Months go from 1 to 12; dates are read as \"%s\" here.", order))
	}
	if last := time.Date(y, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day(); d < 1 || d > last {
		return no(fmt.Sprintf("The days of %s %04d go from 1 to %d.", time.Month(m), y, last))
	}
	return nil
}

// noDate refuses a text of another form.
func noDate(text, order string, strict bool) *Mistake {
	wayOut := fmt.Sprintf("Dates are read as \"%s\" here: %s, with a time of day %[2]s 14:30.", order, written(2027, 3, 1, order, strict))
	if strict {
		wayOut = "A date is written 2027-03-01, with a time of day 2027-03-01T14:30; other orders are said, as dates: \"d.m.y\"."
	}
	return &Mistake{Text: fmt.Sprintf("\"%s\" is not a date.", shown(text)), WayOut: wayOut}
}

// written writes a date in an order, as an example; strict with two digits for month and day.
func written(y, m, d int, order string, strict bool) string {
	format := "%d"
	if strict {
		format = "%02d"
	}
	return strings.NewReplacer("y", fmt.Sprintf("%04d", y), "m", fmt.Sprintf(format, m), "d", fmt.Sprintf(format, d)).Replace(order)
}

// timeOfDay reads what stands behind a date, as seconds since midnight.
func timeOfDay(text, rest string) (int64, *Mistake) {
	t := strings.TrimPrefix(rest, "T")
	if t == rest {
		t = strings.TrimLeftFunc(rest, unicode.IsSpace)
		if t == rest {
			return 0, other(text, rest)
		}
	}
	h := digitsEnd(t, 0)
	if h < 1 || h > 2 || len(t) < h+3 || t[h] != ':' || digitsEnd(t[:h+3], h+1) != h+3 {
		return 0, other(text, t)
	}
	hours, minutes, seconds := number(t[:h]), number(t[h+1:h+3]), 0
	t = t[h+3:]
	if strings.HasPrefix(t, ":") {
		if digitsEnd(t, 1) != 3 {
			return 0, noClock(text)
		}
		seconds = number(t[1:3])
		var m *Mistake
		if t, m = decimals(text, t[3:]); m != nil {
			return 0, m
		}
	}
	if t != "" {
		return 0, other(text, t)
	}
	if hours > 23 || minutes > 59 || seconds > 59 {
		return 0, noClock(text)
	}
	return int64(hours*3600 + minutes*60 + seconds), nil
}

// decimals passes the decimals of seconds that are zeros, behind a point or a comma (ISO 8601-1:2019).
func decimals(text, t string) (rest string, m *Mistake) {
	if t == "" || t[0] != '.' && t[0] != ',' {
		return t, nil
	}
	end := digitsEnd(t, 1)
	if strings.Trim(t[1:end], "0") != "" || end == 1 {
		return "", &Mistake{Text: fmt.Sprintf("The seconds of \"%s\" have decimals.", shown(text)), WayOut: "Round them: a date counts whole seconds."}
	}
	return t[end:], nil
}

// noClock refuses what is no time of day.
func noClock(text string) *Mistake {
	return &Mistake{Text: fmt.Sprintf("The time of day of \"%s\" cannot be read.", shown(text)),
		WayOut: "A time of day goes from 00:00 to 23:59, with seconds 23:59:59, behind a T or a blank."}
}

// other refuses what stands where a time of day or its end should: a zone, a half of the day, or anything else.
func other(text, rest string) *Mistake {
	rest = strings.TrimSpace(rest)
	half := strings.ToLower(strings.ReplaceAll(rest, ".", ""))
	switch {
	case half == "am" || half == "pm":
		return &Mistake{Text: fmt.Sprintf("\"%s\" counts the hours from 1 to 12.", shown(text)), WayOut: "Write them from 0 to 23, as 14:30."}
	case rest != "" && strings.IndexByte("Zz+-", rest[0]) >= 0 || strings.HasPrefix(rest, minus) || strings.HasPrefix(rest, "UTC") || strings.HasPrefix(rest, "GMT"):
		return &Mistake{Text: fmt.Sprintf("\"%s\" has a time zone, and the dates of a job have none.", shown(text)),
			WayOut: fmt.Sprintf("Leave %s out, and write all times by one clock.", shown(rest))}
	}
	return noClock(text)
}
