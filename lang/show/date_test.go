package show

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"castwright/lang/kind"
)

func TestRuling9Dates(t *testing.T) {
	day := float64(time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC).Unix())
	full, only, weekday := &Spec{Form: kind.Date}, &Spec{Form: kind.Date, Word: "date"}, &Spec{Form: kind.Date, Word: "weekday"}
	checkShown(t, []shownCase{
		{full, day, "2027-03-01"},
		{full, day + 14.5*3600, "2027-03-01T14:30"},
		{full, day + 14.5*3600 + 15, "2027-03-01T14:30:15"},
		{full, day + 14.5*3600 + 15.4, "2027-03-01T14:30:15"},
		{full, day - 0.3, "2027-03-01"},
		{full, 0, "1970-01-01"}, // the origin, by the agreement on values
		{full, -86400, "1969-12-31"},
		{full, -1, "1969-12-31T23:59:59"},
		{only, day + 14.5*3600, "2027-03-01"},
		{weekday, day + 14.5*3600, "Monday"},
		{weekday, 0, "Thursday"},                 // 1970-01-01 was a Thursday
		{weekday, -719162 * 86400, "Monday"},     // 0001-01-01 was a Monday in the calendar of ISO 8601
		{full, -719162 * 86400, "0001-01-01"},    // 719,162 days before 1970
		{full, -719163 * 86400, OutsideCalendar}, //
		{full, 253402300799, "9999-12-31T23:59:59"},
		{full, 253402300800, OutsideCalendar},
		{weekday, 1e300, OutsideCalendar},
		{only, -1e300, OutsideCalendar},
	})
	assert.Equal(t, "2027-03-01T00:00", DateText(int64(day), true))
	assert.Equal(t, "2027-03-01", DateText(int64(day)+100, false))
	assert.Equal(t, OutsideCalendar, DateText(1<<62, true))
}

// The day number by the civil calendar: 365 days a year, a leap day every 4th, but not 100th, but 400th year.
func TestDatesAgainstDayNumbers(t *testing.T) {
	s := &Spec{Form: kind.Date}
	rapid.Check(t, func(t *rapid.T) {
		y, m, d := rapid.IntRange(1, 9999).Draw(t, "y"), rapid.IntRange(1, 12).Draw(t, "m"), rapid.IntRange(1, 28).Draw(t, "d")
		p := y - 1
		days := p*365 + p/4 - p/100 + p/400 + d - 1
		for i, n := range [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
			if i < m-1 {
				days += n
			}
		}
		if m > 2 && (y%4 == 0 && y%100 != 0 || y%400 == 0) {
			days++
		}
		want := string([]byte{'0' + byte(y/1000), '0' + byte(y/100%10), '0' + byte(y/10%10), '0' + byte(y%10), '-',
			'0' + byte(m/10), '0' + byte(m%10), '-', '0' + byte(d/10), '0' + byte(d%10)})
		if got := s.Text(float64(days-719162) * 86400); got != want {
			t.Fatalf("day %d is %s, shown %s", days, want, got)
		}
	})
}
