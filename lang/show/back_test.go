package show

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
)

// readBack is a reader of shown quantities, apart from the one of the language: numbers, mixed fractions, units in
// falling size, a minus over the whole.
func readBack(text string, units []Unit) (float64, error) {
	known := map[string]*Unit{}
	for i := range units {
		known[units[i].Symbol] = &units[i]
		if units[i].Plural != "" {
			known[units[i].Plural] = &units[i]
		}
	}
	body, negative := strings.CutPrefix(text, "-")
	if strings.HasSuffix(body, "%") {
		body = strings.TrimSuffix(body, "%") + " %"
	}
	sum, number, pi, last := new(big.Rat), new(big.Rat), false, &Unit{}
	for _, word := range strings.Fields(body) {
		if u := known[word]; u != nil {
			sum.Add(sum, number.Mul(number, u.ratio()))
			number, pi, last = new(big.Rat), u.Pi, u
			continue
		}
		n, ok := new(big.Rat).SetString(word)
		if !ok {
			return 0, fmt.Errorf("%q in %q is no number", word, text)
		}
		number.Add(number, n)
	}
	sum.Add(sum, number)
	if negative {
		sum.Neg(sum)
	}
	if last.Offset != nil {
		sum.Add(sum, last.Offset)
	}
	x, _ := sum.Float64()
	if pi {
		x *= math.Pi
	}
	return x, nil
}

func anySpec() *rapid.Generator[*Spec] {
	plainUnits := [][]Unit{nil, {m}, {mm}, {inch}, {ft}, {kg}, {lb}, {deg}, {pal}, {bag}, {ft, inch}, {yd, ft, inch}, {hour, minute}, {hour, minute, sec}, {lb, oz}}
	return rapid.Custom(func(t *rapid.T) *Spec {
		switch rapid.IntRange(0, 5).Draw(t, "sort") {
		case 0:
			return &Spec{Form: kind.Point, Units: []Unit{rapid.SampledFrom([]Unit{degC, degF}).Draw(t, "unit")}}
		case 1:
			return &Spec{Units: []Unit{usd}, Money: true, Minor: rapid.SampledFrom([]int{0, 2, 3}).Draw(t, "minor")}
		case 2:
			s := &Spec{Units: []Unit{percent}, Percent: true}
			s.Step = rapid.SampledFrom([]*big.Rat{nil, big.NewRat(1, 10), big.NewRat(1, 1)}).Draw(t, "step")
			return s
		}
		s := &Spec{Units: rapid.SampledFrom(plainUnits).Draw(t, "units")}
		s.Step = rapid.SampledFrom(append([]*big.Rat{nil, nil, nil}, stepsTried...)).Draw(t, "step")
		s.Tape = rapid.Bool().Draw(t, "tape")
		return s
	})
}

// What is shown can be typed back: it is read as a value that is shown in the same words, no further from the value than
// rounding allows, and the reader of the language takes it without a message.
func TestShownCanBeTypedBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpec().Draw(t, "spec")
		x := anyNumber().Draw(t, "x")
		text := s.Text(x)
		y, err := readBack(text, s.Units)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Count(strings.Map(digitsOnly, text), "0") > 15 {
			return // a step finer than what a float tells apart
		}
		again := s.Text(y)
		if z, err := readBack(again, s.Units); s.Step == nil && s.Tape && err == nil && math.Abs(z-y) <= 1e-15*math.Abs(y) {
			again = text // 26.25 ft that stood for 26.247 ft is now on the tape: 26 1/4 ft
		}
		if again != text {
			t.Fatalf("%v is shown %q; read back it is %v, shown %q", x, text, y, again)
		}
		if message := refused(text); message != "" {
			t.Fatalf("%q is refused: %s", text, message)
		}
	})
}

func digitsOnly(r rune) rune {
	if r >= '0' && r <= '9' {
		return '0'
	}
	return -1
}

func refused(text string) string {
	names := map[string]bool{}
	for _, w := range strings.Fields("m mm in ft yd kg lb oz h min s deg degC degF USD pallet pallets bag bags") {
		names[w] = true
	}
	_, _, messages := syntax.ReadLine(&diag.Source{Text: text}, func(w string) bool { return names[w] })
	if len(messages) > 0 {
		return fmt.Sprint(messages)
	}
	return ""
}

func TestTypedBackReaderReads(t *testing.T) {
	for text, want := range map[string]float64{"6 ft 2 3/8 in": 74.375 * 0.0254, "-4 7/16 in": -4.4375 * 0.0254, "8%": 0.08, "3 pallets": 3, "1.5e-6 m": 1.5e-6} {
		got, err := readBack(text, []Unit{ft, inch, percent, pal, m})
		require.NoError(t, err)
		require.InEpsilon(t, want, got, 1e-14, text)
	}
	require.NotEmpty(t, refused("5' 3"), "the reader of the language is at work")
}

func BenchmarkText(b *testing.B) {
	for _, c := range []struct {
		name string
		spec *Spec
		x    float64
	}{
		{"plain", of(mm), 0.4301}, {"bare", &Spec{}, 12.00004}, {"tie", of(kg), 2.6745}, {"step", of(kg).step(1, 10), 22.83},
		{"money", &Spec{Units: []Unit{usd}, Money: true, Minor: 2}, 1234.56}, {"tape", of(inch).tape(1, 16), 0.1127},
		{"feet", of(ft, inch).tape(1, 8), 1.889}, {"date", &Spec{Form: kind.Date}, 1803945600},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				c.spec.Text(c.x)
			}
		})
	}
}
