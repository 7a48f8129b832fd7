package grid_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"castwright/lang/grid"
)

// sentence checks that a refusal is one: a sentence, a way out, no sign that drives a terminal.
func sentence(t *testing.T, err error) *grid.Mistake {
	t.Helper()
	m := (*grid.Mistake)(nil)
	if !errors.As(err, &m) || !strings.HasSuffix(m.Text, ".") || !strings.HasSuffix(m.WayOut, ".") {
		t.Fatalf("not a sentence with a way out: %v", err)
	}
	if strings.ContainsAny(err.Error(), "\n\r\t\x1b\x00") || len(err.Error()) > 1000 {
		t.Fatalf("not fit to be shown: %q", err)
	}
	return m
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"", "a", "a,b\n1,2\n", "a;b\r\n\"1\";2\r\n", "a\tb\r1\t\"x\"\"y\"", "\ufeffa,b\n\n1,2,,\n", "x\n\na,b\n\"1\n\n2\",3", "a,b\n1", "a,b\n1,2,3",
		"a,a", "a,,b", "\"", "a\n\"\"\n", "a,b\n\"1\"x,2", "a,b\n1\",2", "\xff\xfea\x00", "a\xe9", "a\tb\n\t\n \t", "a;b\n1,5;2", "\r\r\n\n\r", "a,b\n \"1\" ,\u00a0\"2\"\u00a0\n"} {
		f.Add([]byte(s), 0, false)
		f.Add([]byte(s), 1, true)
	}
	f.Fuzz(func(t *testing.T, text []byte, skip int, comma bool) {
		o := grid.Options{Skip: skip}
		if comma {
			o.Decimal = ','
		}
		g, err := grid.Read(text, o)
		if err != nil {
			m := sentence(t, err)
			if skip >= 0 && (m.Line < 1 || m.Place < 1 || m.Line > len(text)+1 || m.Place > len(text)+1) {
				t.Fatalf("outside the file: %v", err)
			}
			return
		}
		whole(t, g)
		if comma && g.Separator == ',' {
			t.Fatal("a decimal comma as separator")
		}
		for _, row := range g.Rows {
			for _, field := range row {
				if !utf8.ValidString(field) || len(field) > len(text) {
					t.Fatalf("field %q", field)
				}
			}
		}
		again(t, g)
	})
}

// again writes a grid, every field in quotation marks, and reads it back.
func again(t *testing.T, g *grid.Grid) {
	t.Helper()
	var b strings.Builder
	rows := append([][]string{g.Heads}, g.Rows...)
	for _, row := range rows {
		for i, field := range row {
			if i > 0 {
				b.WriteByte(';')
			}
			b.WriteString(`"` + strings.ReplaceAll(field, `"`, `""`) + `"`)
		}
		b.WriteString("\r\n")
	}
	same(t, readAll(t, b.String(), grid.Options{}), rows...)
}

func FuzzNumber(f *testing.F) {
	for _, s := range []string{"", "0", "12", "-0.5", "2,5", "1,000", "1.000,5", "1_000", "NaN", "0x10", "10%", "12 kg", "5.", "1e400", "1e-400", "−2,5e−3", " 7 ", "1'000", "1.000.000", "1e", "\xff", "+.e1"} {
		f.Add(s, false)
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, text string, comma bool) {
		decimal := byte('.')
		if comma {
			decimal = ','
		}
		agrees(t, text, decimal)
		v, err := grid.Number(text, decimal)
		if err != nil {
			sentence(t, err)
		} else if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%q is %v", text, v)
		}
	})
}

func FuzzDate(f *testing.F) {
	for _, s := range []string{"", "2027-03-01", "2027-03-01T14:30", "2027-03-01 7:05:09.000", "1.3.2027", "29.2.1900", "3/1/2027 2:30 PM", "2027-03-01T14:30Z", "2027-03-01T", "2027-03-01T14:30+01:00", "1.3.27", "2027-13-01", "-1-1-1", "\xff", "2027-03-01\u2003"} {
		for _, order := range []string{"", "d.m.y", "m/d/y", "y-m-d", "q"} {
			f.Add(s, order)
		}
	}
	f.Fuzz(func(t *testing.T, text, order string) {
		seconds, hasTime, err := grid.Date(text, order)
		if err != nil {
			sentence(t, err)
			return
		}
		at := time.Unix(seconds, 0).UTC()
		if at.Year() < 1 || at.Year() > 9999 || !hasTime && seconds%86400 != 0 {
			t.Fatalf("%q as %q is %v", text, order, at)
		}
		back, _, err := grid.Date(at.Format("2006-01-02T15:04:05"), "")
		if err != nil || back != seconds {
			t.Fatalf("%v read back as %d, %v", at, back, err)
		}
	})
}
