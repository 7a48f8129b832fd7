package grid_test

import (
	"bytes"
	"fmt"
	"testing"

	"castwright/lang/grid"
)

// log makes a file of five columns as a temperature logger writes it.
func log(rows int, sep, quote string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "time%[1]stemp [degC]%[1]shumidity [%%]%[1]splace%[1]sgood\n", sep)
	for i := range rows {
		fmt.Fprintf(&b, "2027-03-%02d %02d:%02d%s%.2f%s%.1f%s%sbed %d%s%syes\n", 1+i/1440%31, i/60%24, i%60, sep, 20+float64(i%500)/100, sep,
			60+float64(i%97)/10, sep, quote, i%12, quote, sep)
	}
	return b.Bytes()
}

// BenchmarkRead reads a million rows of five fields.
func BenchmarkRead(b *testing.B) {
	for _, c := range []struct {
		name string
		text []byte
	}{
		{"commas", log(1_000_000, ",", "")},
		{"tabs", log(1_000_000, "\t", "")},
		{"quoted", log(1_000_000, ";", `"`)},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.SetBytes(int64(len(c.text)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := grid.Read(c.text, grid.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkNumber(b *testing.B) {
	for _, c := range []struct {
		text    string
		decimal byte
	}{{"21.37", '.'}, {"21,37", ','}, {"-1.602176634e-19", '.'}, {"1,000", '.'}} {
		b.Run(c.text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				grid.Number(c.text, c.decimal)
			}
		})
	}
}

func BenchmarkDate(b *testing.B) {
	for _, c := range []struct{ text, order string }{{"2027-03-01", ""}, {"2027-03-01T14:30:05", ""}, {"1.3.2027 7:05", "d.m.y"}} {
		b.Run(c.text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				grid.Date(c.text, c.order)
			}
		})
	}
}
