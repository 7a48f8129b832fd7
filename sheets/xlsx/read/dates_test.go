package read

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The days of the two systems, ISO/IEC 29500-1, 18.17.4.1 and 18.17.4.3; 45000 and later from a calendar.
func TestDateOf(t *testing.T) {
	for _, c := range []struct {
		serial    float64
		dates1904 bool
		want      string
	}{
		{1, false, "1900-01-01T00:00:00"},
		{2, false, "1900-01-02T00:00:00"},
		{59, false, "1900-02-28T00:00:00"},
		{59.75, false, "1900-02-28T18:00:00"},
		{59.999999, false, "1900-03-01T00:00:00"}, // to the nearest second
		{61, false, "1900-03-01T00:00:00"},
		{36526, false, "2000-01-01T00:00:00"},
		{46447, false, "2027-03-01T00:00:00"},
		{46447.3125, false, "2027-03-01T07:30:00"},
		{2958465, false, "9999-12-31T00:00:00"},
		{2958465.9999999, false, "9999-12-31T23:59:59"},
		{0, true, "1904-01-01T00:00:00"},
		{1, true, "1904-01-02T00:00:00"},
		{44985, true, "2027-03-01T00:00:00"}, // 1,462 days lie between the systems
		{2957003, true, "9999-12-31T00:00:00"},
	} {
		s, ok := DateOf(c.serial, c.dates1904)
		assert.True(t, ok, "%v", c.serial)
		assert.Equal(t, c.want, time.Unix(s, 0).UTC().Format("2006-01-02T15:04:05"), "%v %v", c.serial, c.dates1904)
	}
	for _, serial := range []float64{0, 0.5, -1, 60, 60.5, 2958466, 1e300, math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, ok := DateOf(serial, false)
		assert.False(t, ok, "%v", serial)
	}
	for _, serial := range []float64{-0.5, 2957004, math.NaN()} {
		_, ok := DateOf(serial, true)
		assert.False(t, ok, "%v", serial)
	}
}

// A second that has a serial number comes back as itself.
func TestDatesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dates1904 := rapid.Bool().Draw(t, "1904")
		first := base1900 + day
		if dates1904 {
			first = base1904
		}
		s := rapid.Int64Range(first, seconds(9999, 12, 31)+day-1).Draw(t, "s")
		serial, ok := serialOf(time.Unix(s, 0).UTC(), dates1904)
		assert.True(t, ok)
		got, ok := DateOf(serial, dates1904)
		assert.True(t, ok)
		assert.Equal(t, s, got)
	})
}

func TestIsDate(t *testing.T) {
	for _, f := range []string{"yyyy-mm-dd", "mm-dd-yy", "d-mmm-yy", "d-mmm", "mmm-yy", "m/d/yy h:mm", "yyyy\\-mm\\-dd;@", `[$-409]d\ mmmm\ yyyy`, "dddd", "mmmm", "YYYY-MM-DD", "yyyy-mm-dd hh:mm:ss.000", `"on "d/m`, "[Red]d.m.yy", `yyyy"年"m"月"`, "[$-411]ge.m.d", "h:mm d"} {
		assert.True(t, IsDate(f), f)
	}
	for _, f := range []string{"", "General", "0", "0.00", "#,##0.00", "0%", "0.00E+00", "# ?/?", "@", `0.0" kg"`, `0 "days"`, "h:mm", "h:mm AM/PM", "h:mm:ss", "mm:ss", "mm:ss.0", "[h]:mm", "[mm]:ss", "[ss]", "[h]:mm:ss", `0\d`, "[Red]0", "[$EUR] #,##0.00", "_d0", "*d0", `"yyyy`, "[yyyy", "#,##0;yyyy", `\`, "General;[Red]-General"} {
		assert.False(t, IsDate(f), f)
	}
	for id, f := range builtIn {
		// The ids of dates, ISO/IEC 29500-1, 18.8.30.
		want := id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 31 || id == 36 || id >= 50 && id <= 58
		assert.Equal(t, want, IsDate(f), "%d %s", id, f)
	}
}
