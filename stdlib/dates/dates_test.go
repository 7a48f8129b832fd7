package dates_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/stdlib/dates"
)

// seconds reads a date of the language.
func seconds(t *testing.T, s string) float64 {
	t.Helper()
	layout := "2006-01-02"
	if strings.Contains(s, "T") {
		layout = "2006-01-02T15:04"
	}
	d, err := time.Parse(layout, s)
	require.NoError(t, err)
	return float64(d.Unix())
}

func written(s float64) string {
	d := time.Unix(int64(s), 0).UTC()
	if int64(s)%86400 != 0 {
		return d.Format("2006-01-02T15:04")
	}
	return d.Format("2006-01-02")
}

func entry(t *testing.T, name string) *catalogue.Func {
	t.Helper()
	for _, f := range dates.Funcs() {
		if f.Name == name {
			return f
		}
	}
	require.Fail(t, "there is no function "+name)
	return nil
}

func workdays(t *testing.T, n float64, after float64, off ...string) (value.Column, error) {
	holidays := []float64{}
	for _, s := range off {
		holidays = append(holidays, seconds(t, s))
	}
	return entry(t, "workdays").Call([]value.Column{value.One(n), value.One(after), value.Nums(holidays...)})
}

// Source: counted on the calendar of March 2027, in which the 1st is a Monday (Zeller's congruence).
func TestWorkdays(t *testing.T) {
	for _, c := range []struct {
		about string
		n     float64
		after string
		off   []string
		want  string
	}{
		{"the next day", 1, "2027-03-01", nil, "2027-03-02"},
		{"none", 0, "2027-03-01", nil, "2027-03-01"},
		{"none, on a Sunday", 0, "2027-03-07", nil, "2027-03-07"},
		{"over a weekend", 3, "2027-03-04", nil, "2027-03-09"},
		{"from a Friday", 1, "2027-03-05", nil, "2027-03-08"},
		{"from a Saturday", 1, "2027-03-06", nil, "2027-03-08"},
		{"from a Sunday", 1, "2027-03-07", nil, "2027-03-08"},
		{"a week", 5, "2027-03-03", nil, "2027-03-10"},
		{"four weeks", 20, "2027-03-01", nil, "2027-03-29"},
		{"a holiday", 3, "2027-03-04", []string{"2027-03-08"}, "2027-03-10"},
		{"a holiday named twice counts once", 3, "2027-03-04", []string{"2027-03-08", "2027-03-08"}, "2027-03-10"},
		{"a holiday on a weekend changes nothing", 3, "2027-03-04", []string{"2027-03-06"}, "2027-03-09"},
		{"a holiday behind the result changes nothing", 3, "2027-03-04", []string{"2027-03-10"}, "2027-03-09"},
		{"a holiday on the date itself changes nothing", 1, "2027-03-01", []string{"2027-03-01"}, "2027-03-02"},
		{"two holidays in a row", 1, "2027-03-25", []string{"2027-03-26", "2027-03-29"}, "2027-03-30"},
		{"the time of day stays", 1, "2027-03-05T14:30", nil, "2027-03-08T14:30"},
		{"a holiday holds all day", 1, "2027-03-05T14:30", []string{"2027-03-08T06:00"}, "2027-03-09T14:30"},
		{"over a leap day", 1, "2028-02-28", nil, "2028-02-29"},
		{"over the year", 1, "2027-12-31", []string{"2028-01-01"}, "2028-01-03"},
		{"before 1970", 1, "1969-12-31", nil, "1970-01-01"},
		{"a last digit beside a whole number (ruling 23)", 3.0000000000000004, "2027-03-04", nil, "2027-03-09"},
	} {
		t.Run(c.about, func(t *testing.T) {
			got, err := workdays(t, c.n, seconds(t, c.after), c.off...)
			require.NoError(t, err)
			assert.Equal(t, c.want, written(got.Num[0]))
		})
	}
}

func monthLater(t *testing.T, date, n float64) (value.Column, error) {
	return entry(t, "month_later").Call([]value.Column{value.One(date), value.One(n)})
}

// Source: the lengths of months of the Gregorian calendar (ISO 8601-1:2019, 4.2.1, table 1, from memory).
func TestMonthLater(t *testing.T) {
	for _, c := range []struct {
		date string
		n    float64
		want string
	}{
		{"2027-03-15", 1, "2027-04-15"},
		{"2027-03-15", 0, "2027-03-15"},
		{"2027-01-31", 1, "2027-02-28"},
		{"2028-01-31", 1, "2028-02-29"},
		{"2027-01-31", 2, "2027-03-31"},
		{"2027-03-31", 1, "2027-04-30"},
		{"2027-12-31", 2, "2028-02-29"},
		{"2027-03-31", -1, "2027-02-28"},
		{"2027-01-15", -1, "2026-12-15"},
		{"2027-01-15", -25, "2024-12-15"},
		{"2028-02-29", 12, "2029-02-28"},
		{"2028-02-29", 48, "2032-02-29"},
		{"2000-02-29", 1200, "2100-02-28"},
		{"2027-05-31T07:45", 1, "2027-06-30T07:45"},
		{"1969-11-30", 3, "1970-02-28"},
		{"2027-03-15", 1.0000000000000002, "2027-04-15"},
	} {
		got, err := monthLater(t, seconds(t, c.date), c.n)
		require.NoError(t, err)
		assert.Equal(t, c.want, written(got.Num[0]), "month_later(%s, %v)", c.date, c.n)
	}
}

func TestDateParts(t *testing.T) {
	for _, c := range []struct {
		date                      string
		year, month, day, weekday float64
		source                    string
	}{
		{"1985-04-12", 1985, 4, 12, 5, "ISO 8601: 1985-04-12 is 1985-W15-5 (from memory)"},
		{"1970-01-01", 1970, 1, 1, 4, "IEEE Std 1003.1, the Epoch, a Thursday (from memory)"},
		{"1969-12-31", 1969, 12, 31, 3, "the day before it"},
		{"1582-10-15", 1582, 10, 15, 5, "the first day of the Gregorian calendar, a Friday"},
		{"2000-02-29", 2000, 2, 29, 2, "Zeller's congruence"},
		{"2027-03-07T23:59", 2027, 3, 7, 7, "Zeller's congruence, a Sunday to its last minute"},
		{"2027-03-08", 2027, 3, 8, 1, "the Monday behind it"},
		{"0001-01-01", 1, 1, 1, 1, "the first day that can be written, a Monday (Zeller's congruence)"},
		{"9999-12-31T23:59", 9999, 12, 31, 5, "the last one, a Friday (Zeller's congruence)"},
	} {
		for name, want := range map[string]float64{"year_of": c.year, "month_of": c.month, "day_of": c.day, "weekday_of": c.weekday} {
			assert.Equal(t, want, entry(t, name).Lane1(seconds(t, c.date)), "%s(%s), %s", name, c.date, c.source)
		}
	}
}

// A date that arithmetic has left a part of a second before midnight is shown as midnight, and is read as it is shown.
func TestPartsAreThoseOfTheDateShown(t *testing.T) {
	assert.Equal(t, 5.0, entry(t, "day_of").Lane1(seconds(t, "2027-03-05")-1e-6))
	assert.Equal(t, 4.0, entry(t, "day_of").Lane1(seconds(t, "2027-03-05")-1))
}

func TestDatesThatAreRefused(t *testing.T) {
	last := seconds(t, "9999-12-30")
	for _, c := range []struct {
		name string
		args []value.Column
		says string
	}{
		{"workdays", []value.Column{value.One(-1), value.One(0), value.Nums()}, "n of workdays is 0 or more; here it is -1. Working days are counted forwards."},
		{"workdays", []value.Column{value.One(1.5), value.One(0), value.Nums()}, "n of workdays must be a whole number; here it is 1.5. Round it first, as round_up(n)."},
		{"workdays", []value.Column{value.One(1e9), value.One(0), value.Nums()}, "n of workdays lies from -119988 to 119988; here it is 1e+09."},
		{"workdays", []value.Column{value.One(3), value.One(last), value.Nums()}, "The result of workdays lies outside the years 1 to 9999."},
		{"workdays", []value.Column{value.One(3), value.One(1e15), value.Nums()}, "after of workdays lies outside the years 1 to 9999."},
		{"month_later", []value.Column{value.One(0), value.One(0.5)}, "n of month_later must be a whole number; here it is 0.5. Round it first, as round_up(n)."},
		{"month_later", []value.Column{value.One(0), value.One(-1e6)}, "n of month_later lies from -119988 to 119988; here it is -1e+06."},
		{"month_later", []value.Column{value.One(last), value.One(1)}, "The result of month_later lies outside the years 1 to 9999."},
		{"month_later", []value.Column{value.One(0), value.One(-12 * 1970)}, "The result of month_later lies outside the years 1 to 9999."},
		{"month_later", []value.Column{value.One(-1e15), value.One(1)}, "date of month_later lies outside the years 1 to 9999."},
	} {
		_, err := entry(t, c.name).Call(c.args)
		assert.EqualError(t, err, c.says, c.name)
	}
	for _, name := range []string{"year_of", "month_of", "day_of", "weekday_of"} {
		f := entry(t, name)
		for _, s := range []float64{1e15, -1e15, math.NaN(), math.Inf(1), seconds(t, "9999-12-31") + 86400} {
			assert.True(t, math.IsNaN(f.Lane1(s)), "%s(%v)", name, s)
		}
		assert.Equal(t, "the date lies outside the years 1 to 9999", f.Domain, name)
	}
}

func TestKindsOfDates(t *testing.T) {
	date, number := kind.Type{Form: kind.Date}, kind.Quantity(kind.One)
	for _, c := range []struct {
		name   string
		params []kind.Type
		want   kind.Type
	}{
		{"workdays", []kind.Type{number, date, date.ListOf()}, date},
		{"month_later", []kind.Type{date, number}, date},
		{"year_of", []kind.Type{date}, number},
		{"month_of", []kind.Type{date}, number},
		{"day_of", []kind.Type{date}, number},
		{"weekday_of", []kind.Type{date}, number},
	} {
		f := entry(t, c.name)
		got, err := f.Result(make([]catalogue.Arg, len(f.Params)))
		require.NoError(t, err)
		assert.Equal(t, c.want, got, c.name)
		require.Len(t, f.Params, len(c.params), c.name)
		for i, p := range f.Params {
			assert.Equal(t, c.params[i], *p.Type, "%s of %s", p.Name, c.name)
		}
	}
	off := entry(t, "workdays").Params[2]
	assert.True(t, off.Whole && off.Optional, "off is a list, and may be left out")
}

func TestCalendarProperties(t *testing.T) {
	weekday, month, day := entry(t, "weekday_of").Lane1, entry(t, "month_of").Lane1, entry(t, "day_of").Lane1
	rapid.Check(t, func(r *rapid.T) {
		s := float64(rapid.Int64Range(-20000, 60000).Draw(r, "day"))*86400 + float64(rapid.IntRange(0, 86399).Draw(r, "second"))
		n := rapid.IntRange(0, 400).Draw(r, "n")

		// Without holidays five working days are a week, from a working day.
		got, err := workdays(t, float64(5*n), s)
		if err != nil {
			r.Fatal(err)
		}
		if weekday(s) < 6 && got.Num[0] != s+float64(7*n)*86400 {
			r.Fatalf("%d working days after %s are %s", 5*n, written(s), written(got.Num[0]))
		}
		if n > 0 && weekday(got.Num[0]) > 5 {
			r.Fatalf("%s is no working day", written(got.Num[0]))
		}

		// A month later is n months on in the calendar, never on a later day of the month.
		later, err := monthLater(t, s, float64(n))
		if err != nil {
			r.Fatal(err)
		}
		if want := math.Mod(month(s)-1+float64(n), 12) + 1; month(later.Num[0]) != want {
			r.Fatalf("%d months after %s is %s", n, written(s), written(later.Num[0]))
		}
		if d := day(later.Num[0]); d != day(s) && (d > day(s) || d < 28) {
			r.Fatalf("%d months after %s is %s", n, written(s), written(later.Num[0]))
		}
	})
}
