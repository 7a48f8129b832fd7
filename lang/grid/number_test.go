package grid_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"castwright/lang/grid"
)

func columns(n int) []string {
	names := make([]string, n)
	for i := range names {
		names[i] = "c" + strconv.Itoa(i)
	}
	return names
}

func place(n int) string { return strconv.Itoa(n) }

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		text    string
		decimal byte
		want    float64
	}{
		{"0", '.', 0}, {"12", '.', 12}, {" 12\t", '.', 12}, {"\u00a012\u2009", '.', 12}, {"+7", '.', 7}, {"-7", '.', -7}, {"−7", '.', -7},
		{"007", '.', 7}, {"0.5", '.', 0.5}, {".5", '.', 0.5}, {"-.5", '.', -0.5}, {"2.5e-3", '.', 2.5e-3}, {"1E6", '.', 1e6}, {"1e+06", '.', 1e6}, {"1e−3", '.', 1e-3},
		{"1.000", '.', 1}, {"2.5", 0, 2.5}, {"2,5", ',', 2.5}, {",5", ',', 0.5}, {"−2,5e−3", ',', -2.5e-3}, {"1,000", ',', 1}, {"12", ',', 12},
		{"0e-999", '.', 0}, {"0.000", '.', 0}, {"5e-324", '.', 5e-324}, {"1.7976931348623157e308", '.', math.MaxFloat64},
		// From memory: 2^53 + 1 lies between two floats, and goes to the even one (IEEE 754, 4.3.1).
		{"9007199254740993", '.', 9007199254740992},
		{"0" + strings.Repeat("0", 500) + "1,25", ',', 1.25},
	} {
		if got, err := grid.Number(c.text, c.decimal); err != nil || got != c.want {
			t.Errorf("%q read as %v, %v", c.text, got, err)
		}
	}
}

func TestRefusedNumbers(t *testing.T) {
	const (
		comma  = " holds a comma, and the decimal sign is a point here. "
		point  = " holds a point, and the decimal sign is a comma here. "
		no     = " is not a number. A number is written 12, -0.5 or 2.5e-3; where there is none, the field stays empty."
		noAsIs = " is not a number. A number is written 12, -0,5 or 2,5e-3; where there is none, the field stays empty."
		marks  = " has marks between its thousands. "
	)
	for _, c := range []struct {
		text    string
		decimal byte
		want    string
	}{
		{"", '.', "This field is empty. Write a number."},
		{"1,000", '.', `"1,000"` + comma + `Write 1000 where it parts thousands; or say decimal: "," where the comma is the decimal sign.`},
		{"2,5", '.', `"2,5"` + comma + `Write 2.5; or say decimal: "," where the comma is the decimal sign.`},
		{"1.000,5", '.', `"1.000,5"` + comma + `Write 1000.5; or, with decimal: ",", 1000,5.`},
		{"-1,250,000.5", '.', `"-1,250,000.5"` + comma + "Write -1250000.5."},
		{"1.000", ',', `"1.000"` + point + `Write 1000 where it parts thousands; or leave decimal: "," out where the point is the decimal sign.`},
		{"2.5e3", ',', `"2.5e3"` + point + `Write 2,5e3; or leave decimal: "," out where the point is the decimal sign.`},
		{"1.000,5", ',', `"1.000,5"` + point + "Write 1000,5."},
		{"1,000.5", ',', `"1,000.5"` + point + "Write 1000,5."},
		{"1.000.000", '.', `"1.000.000"` + marks + "Write 1000000."},
		{"1,000,000", ',', `"1,000,000"` + marks + "Write 1000000."},
		{"1 000", '.', `"1 000"` + marks + "Write 1000."},
		{"1\u202f250,5", ',', "\"1·250,5\"" + marks + "Write 1250,5."},
		{"1_000", '.', `"1_000"` + marks + "Write 1000."},
		{"1'000.5", '.', `"1'000.5"` + marks + "Write 1000.5."},
		{"1_0", '.', `"1_0"` + no},
		{"1 2", '.', `"1 2"` + no},
		{"1,2,3", '.', `"1,2,3"` + no},
		{"1.2.3", '.', `"1.2.3"` + no},
		{"1,5 2", ',', `"1,5 2"` + noAsIs},
		{"NaN", '.', `"NaN"` + no},
		{"inf", '.', `"inf"` + no},
		{"-Infinity", '.', `"-Infinity"` + no},
		{"0x1F", '.', `"0x1F"` + no},
		{"0x1p-2", '.', `"0x1p-2"` + no},
		{"1e", '.', `"1e"` + no},
		{"1e5.5", '.', `"1e5.5"` + no},
		{"--1", '.', `"--1"` + no},
		{"- 1", '.', `"- 1"` + no},
		{"–1", '.', `"–1"` + no}, // an en dash
		{"-", '.', `"-"` + no},
		{".", '.', `"."` + no},
		{"e5", '.', `"e5"` + no},
		{"(5)", '.', `"(5)"` + no},
		{"3 x 4", '.', `"3 x 4"` + no},
		{"3x4", '.', `"3x4"` + no},
		{"٣", '.', `"٣"` + no}, // a digit, but not of ASCII
		{"5.", '.', `"5." ends with its decimal sign. Write 5, or 5.0.`},
		{"5,", ',', `"5," ends with its decimal sign. Write 5, or 5,0.`},
		{"10%", '.', `"10%" holds more than a number. Write 10; its unit stands in the heading, as [%].`},
		{"8 %", '.', `"8 %" holds more than a number. Write 8; its unit stands in the heading, as [%].`},
		{"-12.5 kg", '.', `"-12.5 kg" holds more than a number. Write -12.5; its unit stands in the heading, as [kg].`},
		{"95mm", '.', `"95mm" holds more than a number. Write 95; its unit stands in the heading, as [mm].`},
		{"21,5 °C", ',', `"21,5 °C" holds more than a number. Write 21,5; its unit stands in the heading, as [°C].`},
		{"1e400", '.', `"1e400" is too large. The largest number is about 1.8e308.`},
		{"-1e99999999999999999999", '.', `"-1e99999999999999999999" is too large. The largest number is about 1.8e308.`},
		{"1e-400", '.', `"1e-400" is too close to 0. Write 0, or a number of at least 1e-307.`},
		{"1", ';', `";" is no decimal sign. Write decimal: "." or decimal: ",".`},
		{strings.Repeat("1,000", 20), '.', `"` + strings.Repeat("1,000", 8) + `…"` + no},
		{"1" + strings.Repeat(",000", 20), '.', `"1` + strings.Repeat(",000", 9) + `,00…"` + comma + "Write digits, and one decimal sign at most."},
	} {
		_, err := grid.Number(c.text, c.decimal)
		is(t, c.text, err, c.want)
	}
}

// Whatever the standard library writes as a number is read back to the last bit: oracle strconv.
func TestNumberAsWritten(t *testing.T) {
	r := rand.New(rand.NewPCG(754, 2019))
	for range 100_000 {
		want := math.Float64frombits(r.Uint64())
		if math.IsNaN(want) || math.IsInf(want, 0) {
			continue
		}
		precision := -1
		if r.IntN(2) == 0 {
			precision = r.IntN(25)
		}
		text := strconv.FormatFloat(want, "eEfgG"[r.IntN(5)], precision, 64)
		agrees(t, text, '.')
		agrees(t, strings.ReplaceAll(text, ".", ","), ',')
	}
}

// What is made of the signs of numbers is read as the standard library reads it, or refused: oracle strconv.
func TestNumberOfAnySigns(t *testing.T) {
	r := rand.New(rand.NewPCG(29, 8))
	taken := 0
	for range 300_000 {
		b := make([]byte, 1+r.IntN(7))
		for i := range b {
			b[i] = "0123456789.,+-eE_x "[r.IntN(19)]
		}
		for _, decimal := range []byte{'.', ','} {
			if agrees(t, string(b), decimal) {
				taken++
			}
		}
	}
	if taken < 10_000 {
		t.Errorf("only %d numbers among them", taken)
	}
}

// agrees checks a text against strconv, and tells whether it was taken.
func agrees(t *testing.T, text string, decimal byte) bool {
	t.Helper()
	got, err := grid.Number(text, decimal)
	plain := strings.ReplaceAll(strings.TrimSpace(text), "−", "-")
	if decimal == ',' {
		plain = strings.NewReplacer(",", ".", ".", ",").Replace(plain)
	}
	want, wantErr := strconv.ParseFloat(plain, 64)
	if err == nil {
		if wantErr != nil || math.Float64bits(got) != math.Float64bits(want) {
			t.Errorf("%q read as %v, want %v, %v", text, got, want, wantErr)
		}
		return true
	}
	// Refused beside: words, other notations, 5. and what would be 0 or infinite without being so.
	plainDigits := strings.Trim(plain, "0123456789.+-eE") == "" && !strings.HasSuffix(plain, ".") && !strings.Contains(plain, ".e") && !strings.Contains(plain, ".E")
	if wantErr == nil && plainDigits && want != 0 {
		t.Errorf("%q refused (%v), want %v", text, err, want)
	}
	return false
}
