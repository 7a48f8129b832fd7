// Package dates holds the functions of the calendar: working days, months, parts of a date. Dates are seconds since
// 1970-01-01T00:00 without a zone (ISO 8601), in the years 1 to 9999.
package dates

import (
	"fmt"
	"math"
	"time"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/stdlib/numbers"
)

var (
	one  = kind.Quantity(kind.One)
	date = kind.Type{Form: kind.Date}
)

const (
	day         = 86400
	firstSecond = -62135596800 // 0001-01-01T00:00:00
	lastSecond  = 253402300799 // 9999-12-31T23:59:59
	outside     = "the date lies outside the years 1 to 9999"
)

// Funcs lists the functions of dates.
func Funcs() []*catalogue.Func {
	days := date.ListOf()
	return []*catalogue.Func{
		{Name: "workdays", Family: "dates", Source: "common practice",
			About:  "The date n working days after a date. Saturdays, Sundays and the dates of off are not working days; the date itself is not counted, so that 0 gives it back. Holidays count as working days unless off lists them.",
			Needs:  "n is a whole number, 0 or more",
			Params: []catalogue.Param{{Name: "n", Type: &one}, {Name: "after", Type: &date}, {Name: "off", Type: &days, Whole: true, Optional: true}},
			Result: always(date), Call: workdays,
			Examples: []catalogue.Example{
				{Line: "workdays(3, after: 2027-03-04)", Shown: "2027-03-09"},
				{Line: "workdays(3, after: 2027-03-04, off: 2027-03-08)", Shown: "2027-03-10"}}},
		{Name: "month_later", Family: "dates", Source: "common practice",
			About:  "The same day n months later, or the last day of that month where it has no such day; months before where n is below 0.",
			Needs:  "n is a whole number",
			Params: []catalogue.Param{{Name: "date", Type: &date}, {Name: "n", Type: &one}}, Result: always(date), Call: monthLater,
			Examples: []catalogue.Example{
				{Line: "month_later(2027-01-31, 1)", Shown: "2027-02-28"},
				{Line: "month_later(2027-03-31, -1)", Shown: "2027-02-28"}}},
		part("year_of", "The year of a date.", "2027", time.Time.Year),
		part("month_of", "The month of a date, from 1 to 12.", "3", func(t time.Time) int { return int(t.Month()) }),
		part("day_of", "The day of the month of a date, from 1 to 31.", "4", time.Time.Day),
		part("weekday_of", "The day of the week of a date, from 1 for Monday to 7 for Sunday.", "4", isoWeekday),
	}
}

func always(t kind.Type) func([]catalogue.Arg) (kind.Type, error) {
	return func([]catalogue.Arg) (kind.Type, error) { return t, nil }
}

// part is a function that reads one number off a date.
func part(name, about, shown string, read func(t time.Time) int) *catalogue.Func {
	return &catalogue.Func{Name: name, Family: "dates", About: about, Source: "ISO 8601-1:2019", Domain: outside,
		Params: []catalogue.Param{{Name: "date", Type: &date}}, Result: always(one),
		Lane1: func(s float64) float64 {
			t, ok := calendar(s)
			if !ok {
				return math.NaN()
			}
			return float64(read(t))
		},
		Examples: []catalogue.Example{{Line: name + "(2027-03-04)", Shown: shown}}}
}

// isoWeekday numbers the days of the week from 1 for Monday to 7 for Sunday (ISO 8601-1:2019).
func isoWeekday(t time.Time) int { return (int(t.Weekday())+6)%7 + 1 }

// calendar reads a date. Fractions of a second are rounded, as they are where a date is shown, so that what is read off
// a date is what a reader sees. False outside the years 1 to 9999.
func calendar(seconds float64) (time.Time, bool) {
	s := math.Round(seconds)
	if !(s >= firstSecond && s <= lastSecond) {
		return time.Time{}, false
	}
	return time.Unix(int64(s), 0).UTC(), true
}

// dayNumber counts the days from 1970-01-01 to the day of a date.
func dayNumber(t time.Time) int { return int(math.Floor(float64(t.Unix()) / day)) }

// most is how many working days or months can be counted; more leave the calendar.
const most = 12 * 9999

// whole gives n as an int. It must be a whole number by the tolerance of the language (ruling 23).
func whole(function string, n float64) (int, error) {
	if _, on := numbers.OnStep(n, 1); !on {
		return 0, fmt.Errorf("n of %s must be a whole number; here it is %.6g. Round it first, as round_up(n).", function, n)
	}
	r := math.Round(n)
	if !(math.Abs(r) <= most) {
		return 0, fmt.Errorf("n of %s lies from -%d to %d; here it is %.6g.", function, most, most, n)
	}
	return int(r), nil
}

func leaves(function string) error {
	return fmt.Errorf("The result of %s lies outside the years 1 to 9999.", function)
}

func workdays(a []value.Column) (value.Column, error) {
	n, err := whole("workdays", a[0].Num[0])
	if err != nil {
		return value.Column{}, err
	}
	if n < 0 {
		return value.Column{}, fmt.Errorf("n of workdays is 0 or more; here it is %d. Working days are counted forwards.", n)
	}
	t, ok := calendar(a[1].Num[0])
	if !ok {
		return value.Column{}, fmt.Errorf("after of workdays lies outside the years 1 to 9999.")
	}
	off := map[int]bool{}
	for _, s := range a[2].Num {
		if h, ok := calendar(s); ok {
			off[dayNumber(h)] = true
		}
	}
	for n > 0 {
		t = t.AddDate(0, 0, 1)
		if w := isoWeekday(t); w < 6 && !off[dayNumber(t)] {
			n--
		}
	}
	if t.Unix() > lastSecond {
		return value.Column{}, leaves("workdays")
	}
	return value.One(float64(t.Unix())), nil
}

func monthLater(a []value.Column) (value.Column, error) {
	n, err := whole("month_later", a[1].Num[0])
	if err != nil {
		return value.Column{}, err
	}
	t, ok := calendar(a[0].Num[0])
	if !ok {
		return value.Column{}, fmt.Errorf("date of month_later lies outside the years 1 to 9999.")
	}
	// Day 0 of the month after is the last day of the month that is wanted.
	last := time.Date(t.Year(), t.Month()+time.Month(n)+1, 0, 0, 0, 0, 0, time.UTC)
	later := time.Date(last.Year(), last.Month(), min(t.Day(), last.Day()), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
	if s := later.Unix(); s < firstSecond || s > lastSecond {
		return value.Column{}, leaves("month_later")
	}
	return value.One(float64(later.Unix())), nil
}
