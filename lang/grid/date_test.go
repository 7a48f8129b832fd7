package grid_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"castwright/lang/grid"
)

func TestDate(t *testing.T) {
	for _, c := range []struct{ text, order, want string }{
		{"2027-03-01", "", "2027-03-01"},
		{" 2027-03-01\t", "", "2027-03-01"},
		{"2027-03-01T14:30", "", "2027-03-01T14:30:00"},
		{"2027-03-01 14:30", "", "2027-03-01T14:30:00"},
		{"2027-03-01  7:05:09", "", "2027-03-01T07:05:09"},
		{"2027-03-01\u00a000:00", "", "2027-03-01T00:00:00"},
		{"2027-03-01T23:59:59.000", "", "2027-03-01T23:59:59"},
		{"2027-03-01T23:59:59,0", "", "2027-03-01T23:59:59"},
		{"1970-01-01", "", "1970-01-01"},
		{"0001-01-01", "", "0001-01-01"},
		{"9999-12-31T23:59:59", "", "9999-12-31T23:59:59"},
		{"1.3.2027", "d.m.y", "2027-03-01"},
		{"01.03.2027", "d.m.y", "2027-03-01"},
		{"1.03.2027 7:05", "d.m.y", "2027-03-01T07:05:00"},
		{"1/3/2027", "d/m/y", "2027-03-01"},
		{"3/1/2027 07:05:00", "m/d/y", "2027-03-01T07:05:00"},
		{"2027-3-1T7:05", "y-m-d", "2027-03-01T07:05:00"},
		{"2027/03/01", "y/m/d", "2027-03-01"},
		// Leap years: ISO 8601-1:2019, the rule of its calendar; 1900 has none, 2000 has one.
		{"2028-02-29", "", "2028-02-29"}, {"2000-02-29", "", "2000-02-29"}, {"0004-02-29", "", "0004-02-29"},
	} {
		seconds, hasTime, err := grid.Date(c.text, c.order)
		layout := "2006-01-02T15:04:05"
		want, wantErr := time.Parse(layout[:len(c.want)], c.want)
		if err != nil || wantErr != nil || seconds != want.Unix() || hasTime != (len(c.want) > 10) {
			t.Errorf("%q as %q read as %d, %v, %v; want %d", c.text, c.order, seconds, hasTime, err, want.Unix())
		}
	}
}

func TestRefusedDates(t *testing.T) {
	const (
		iso     = " is not a date. A date is written 2027-03-01, with a time of day 2027-03-01T14:30; other orders are said, as dates: \"d.m.y\"."
		dmy     = " is not a date. Dates are read as \"d.m.y\" here: 1.3.2027, with a time of day 1.3.2027 14:30."
		off     = " is not a date of the calendar. "
		clock   = " cannot be read. A time of day goes from 00:00 to 23:59, with seconds 23:59:59, behind a T or a blank."
		zone    = " has a time zone, and the dates of a job have none. Leave "
		oneBy   = " out, and write all times by one clock."
		seconds = " have decimals. Round them: a date counts whole seconds."
	)
	for _, c := range []struct{ text, order, want string }{
		{"", "", "This field is empty. Write a date."},
		{"1.3.2027", "", `"1.3.2027"` + iso},
		{"20270301", "", `"20270301"` + iso},
		{"2027-03", "", `"2027-03"` + iso},
		{"2027-060", "", `"2027-060"` + iso},
		{"2027-W09-1", "", `"2027-W09-1"` + iso},
		{"1 March 2027", "", `"1 March 2027"` + iso},
		{"12027-03-01", "", `"12027-03-01"` + iso},
		{"2027-03-01-02", "", `"2027-03-01-02"` + iso},
		{"2027-3-1", "", `Month and day have two digits in ISO 8601, and "2027-3-1" has one. Write 2027-03-01, or say dates: "y-m-d".`},
		{"27-03-01", "", `The year of "27-03-01" has two digits. Write all four, as 2027-03-01.`},
		{"1.3.27", "d.m.y", `The year of "1.3.27" has two digits. Write all four, as 1.3.2027.`},
		{"1/3/2027", "d.m.y", `"1/3/2027"` + dmy},
		{"2027-03-01", "d.m.y", `"2027-03-01"` + dmy},
		{"1. 3. 2027", "d.m.y", `"1. 3. 2027"` + dmy},
		{"1.3.", "d.m.y", `"1.3."` + dmy},
		{"001.3.2027", "d.m.y", `"001.3.2027"` + dmy},
		{"30.2.2027", "d.m.y", `"30.2.2027"` + off + "The days of February 2027 go from 1 to 28."},
		{"1900-02-29", "", `"1900-02-29"` + off + "The days of February 1900 go from 1 to 28."},
		{"2027-04-31", "", `"2027-04-31"` + off + "The days of April 2027 go from 1 to 30."},
		{"2027-04-00", "", `"2027-04-00"` + off + "The days of April 2027 go from 1 to 30."},
		{"13/3/2027", "m/d/y", `"13/3/2027"` + off + `Months go from 1 to 12; dates are read as "m/d/y" here.`},
		{"2027-00-01", "", `"2027-00-01"` + off + `Months go from 1 to 12; dates are read as "y-m-d" here.`},
		{"0000-01-01", "", `"0000-01-01"` + off + "Years go from 0001 to 9999."},
		{"2027-03-01T24:00", "", `The time of day of "2027-03-01T24:00"` + clock},
		{"2027-03-01T14:60", "", `The time of day of "2027-03-01T14:60"` + clock},
		{"2027-03-01T14:30:60", "", `The time of day of "2027-03-01T14:30:60"` + clock},
		{"2027-03-01T14", "", `The time of day of "2027-03-01T14"` + clock},
		{"2027-03-01T1430", "", `The time of day of "2027-03-01T1430"` + clock},
		{"2027-03-01T", "", `The time of day of "2027-03-01T"` + clock},
		{"2027-03-01T 14:30", "", `The time of day of "2027-03-01T 14:30"` + clock},
		{"2027-03-01t14:30", "", `The time of day of "2027-03-01t14:30"` + clock},
		{"2027-03-01T14:3", "", `The time of day of "2027-03-01T14:3"` + clock},
		{"2027-03-01T14:305", "", `The time of day of "2027-03-01T14:305"` + clock},
		{"2027-03-01T14:30:5", "", `The time of day of "2027-03-01T14:30:5"` + clock},
		{"2027-03-01 noon", "", `The time of day of "2027-03-01 noon"` + clock},
		{"2027-03-01T14:30:05.5", "", `The seconds of "2027-03-01T14:30:05.5"` + seconds},
		{"2027-03-01T14:30:05.", "", `The seconds of "2027-03-01T14:30:05." have decimals. Round them: a date counts whole seconds.`},
		{"2027-03-01T14:30Z", "", `"2027-03-01T14:30Z"` + zone + "Z" + oneBy},
		{"2027-03-01T14:30:00.000+01:00", "", `"2027-03-01T14:30:00.000+01:00"` + zone + "+01:00" + oneBy},
		{"2027-03-01 14:30 -0500", "", `"2027-03-01 14:30 -0500"` + zone + "-0500" + oneBy},
		{"2027-03-01 14:30 UTC", "", `"2027-03-01 14:30 UTC"` + zone + "UTC" + oneBy},
		{"2027-03-01Z", "", `"2027-03-01Z"` + zone + "Z" + oneBy},
		{"3/1/2027 2:30 PM", "m/d/y", `"3/1/2027 2:30 PM" counts the hours from 1 to 12. Write them from 0 to 23, as 14:30.`},
		{"2027-03-01", "ymd", `"ymd" is no order of a date. Write d, m and y once each with a point, a slash or a hyphen between them, as dates: "d.m.y".`},
	} {
		_, _, err := grid.Date(c.text, c.order)
		is(t, c.text, err, c.want)
	}
}

// every order that Check takes.
func orders() []string {
	var all []string
	for _, letters := range []string{"dmy", "dym", "mdy", "myd", "ydm", "ymd"} {
		for _, sep := range []string{".", "/", "-"} {
			all = append(all, strings.Join(strings.Split(letters, ""), sep))
		}
	}
	return all
}

// Every day and many seconds of the calendar, in every order, is read as it was written: oracle package time.
func TestDateAsWritten(t *testing.T) {
	r := rand.New(rand.NewPCG(8601, 2019))
	first, last := time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC).Unix(), time.Date(9999, 12, 31, 23, 59, 59, 0, time.UTC).Unix()
	for range 50_000 {
		at := time.Unix(first+r.Int64N(last-first+1), 0).UTC()
		order := orders()[r.IntN(18)]
		layout := strings.NewReplacer("y", "2006", "m", []string{"1", "01"}[r.IntN(2)], "d", []string{"2", "02"}[r.IntN(2)]).Replace(order)
		if r.IntN(3) == 0 {
			order, layout = "", "2006-01-02"
		}
		clock := []string{"", "T15:04", "T15:04:05", " 15:04:05", "  15:04:05.000"}[r.IntN(5)]
		text := at.Format(layout + clock)
		want, err := time.Parse(layout+clock, text)
		if err != nil {
			t.Fatal(err)
		}
		seconds, hasTime, err := grid.Date(text, order)
		if err != nil || seconds != want.Unix() || hasTime != (clock != "") {
			t.Fatalf("%q as %q read as %d, %v, %v; want %d", text, order, seconds, hasTime, err, want.Unix())
		}
	}
}

// Dates that are possible or not are taken or refused as package time does, which is the oracle.
func TestDateOfAnyNumbers(t *testing.T) {
	for _, y := range []int{0, 1, 4, 100, 400, 1582, 1752, 1900, 1904, 1969, 1970, 2000, 2024, 2027, 2100, 9999} {
		for m := range 15 {
			for d := range 34 {
				text := fmt.Sprintf("%04d-%02d-%02d", y, m, d)
				want, wantErr := time.Parse("2006-01-02", text)
				seconds, _, err := grid.Date(text, "")
				if (err == nil) != (wantErr == nil && y > 0) || err == nil && seconds != want.Unix() {
					t.Fatalf("%q read as %d, %v; want %v, %v", text, seconds, err, want, wantErr)
				}
			}
		}
	}
}
