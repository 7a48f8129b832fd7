// Package dates holds the functions of the calendar: working days, months, parts of a date. Dates are seconds since
// 1970-01-01T00:00 without a zone (ISO 8601).
package dates

import (
	"errors"
	"fmt"
	"math"
	"time"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
)

var (
	one  = kind.Quantity(kind.One)
	date = kind.Type{Form: kind.Date}
	days = kind.Type{Form: kind.Date, List: true}
)

const day = 86400

// Funcs lists the functions of dates.
func Funcs() []*catalogue.Func {
	out := []*catalogue.Func{
		{Name: "workdays", Family: "dates", About: "The date n working days after a date. Saturdays, Sundays and the dates of off do not count.", Source: "common practice",
			Params: []catalogue.Param{{Name: "n", Type: &one}, {Name: "after", Type: &date}, {Name: "off", Type: &days, Whole: true, Optional: true}},
			Result: asDate, Call: workdays,
			Examples: []catalogue.Example{{Line: "workdays(3, after: 2027-03-04)", Shown: "2027-03-09"}}},
		{Name: "month_later", Family: "dates", About: "The same day n months later, or the last day of that month where it has no such day; n may be below 0.", Source: "common practice",
			Params: []catalogue.Param{{Name: "date", Type: &date}, {Name: "n", Type: &one}}, Result: asDate, Call: monthLater,
			Examples: []catalogue.Example{{Line: "month_later(2027-01-31, 1)", Shown: "2027-02-28"}}},
	}
	part := func(name, about, shown string, f func(t time.Time) int) {
		out = append(out, &catalogue.Func{Name: name, Family: "dates", About: about, Source: "ISO 8601-1:2019",
			Params: []catalogue.Param{{Name: "date", Type: &date}}, Result: func([]catalogue.Arg) (kind.Type, error) { return one, nil },
			Lane1:    func(s float64) float64 { return float64(f(at(s))) },
			Examples: []catalogue.Example{{Line: name + "(2027-03-04)", Shown: shown}}})
	}
	part("year_of", "The year of a date.", "2027", time.Time.Year)
	part("month_of", "The month of a date, 1 to 12.", "3", func(t time.Time) int { return int(t.Month()) })
	part("day_of", "The day of the month of a date.", "4", time.Time.Day)
	part("weekday_of", "The day of the week of a date, 1 for Monday to 7 for Sunday.", "4", func(t time.Time) int { return (int(t.Weekday())+6)%7 + 1 })
	return out
}

func asDate([]catalogue.Arg) (kind.Type, error) { return date, nil }

func at(s float64) time.Time { return time.Unix(int64(math.Floor(s)), 0).UTC() }

// wholeNumber gives n as an int; it must be whole by ruling 23 and no larger than a calendar is long.
func wholeNumber(what string, n float64) (int, error) {
	r := math.Round(n)
	if math.Abs(n-r) > math.Min(1e-9*math.Max(1, math.Abs(r)), 1e-3) {
		return 0, fmt.Errorf("%s are counted whole; here are %.6g.", what, n)
	}
	if math.Abs(r) > 100_000 {
		return 0, fmt.Errorf("%.6g %s leave the calendar.", n, what)
	}
	return int(r), nil
}

func workdays(a []value.Column) (value.Column, error) {
	n, err := wholeNumber("working days", a[0].Num[0])
	if err != nil {
		return value.Column{}, err
	}
	if n < 0 {
		return value.Column{}, errors.New("Working days are counted forwards, from 0.")
	}
	off := map[int64]bool{}
	for _, d := range a[2].Num {
		off[int64(math.Floor(d/day))] = true
	}
	s := a[1].Num[0]
	for left := n; left > 0; {
		s += day
		if w := at(s).Weekday(); w != time.Saturday && w != time.Sunday && !off[int64(math.Floor(s/day))] {
			left--
		}
	}
	return value.One(s), nil
}

func monthLater(a []value.Column) (value.Column, error) {
	n, err := wholeNumber("months", a[1].Num[0])
	if err != nil {
		return value.Column{}, err
	}
	t := at(a[0].Num[0])
	first := time.Date(t.Year(), t.Month()+time.Month(n), 1, t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	r := first.AddDate(0, 0, min(t.Day(), last)-1)
	if r.Year() < 1 || r.Year() > 9999 {
		return value.Column{}, errors.New("This leaves the calendar (years 1 to 9999).")
	}
	return value.One(float64(r.Unix())), nil
}
