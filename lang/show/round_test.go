package show

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyNumber draws numbers of all sizes, many of them near ties.
func anyNumber() *rapid.Generator[float64] {
	return rapid.Custom(func(t *rapid.T) float64 {
		n := rapid.Int64Range(-1<<40, 1<<40).Draw(t, "n")
		if rapid.Bool().Draw(t, "few") {
			n %= 20000
		}
		x := float64(n) / rapid.SampledFrom([]float64{1, 2, 3, 7, 8, 10, 16, 64, 100, 1000, 2000, 1e5, 1e7, 1e9, 1e13}).Draw(t, "over")
		for range rapid.IntRange(0, 3).Draw(t, "ulps") {
			x = math.Nextafter(x, math.Inf(rapid.SampledFrom([]int{1, -1}).Draw(t, "way")))
		}
		return x
	})
}

var stepsTried = []*big.Rat{big.NewRat(1, 1), big.NewRat(1, 10), big.NewRat(1, 100), big.NewRat(1, 1000), big.NewRat(1, 4),
	big.NewRat(1, 20), big.NewRat(5, 1), big.NewRat(25, 10), big.NewRat(1, 16), big.NewRat(3, 8), big.NewRat(1, 3), big.NewRat(250, 1)}

func TestFastRoundingEqualsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, step := anyNumber().Draw(t, "x"), rapid.SampledFrom(stepsTried).Draw(t, "step")
		num, den, ok := fraction(step)
		if !ok {
			t.Fatal("a small step is a quotient of small numbers")
		}
		n, fast := fastSteps(x * float64(den) / float64(num))
		exact := exactSteps(x, step)
		if fast && (!exact.IsInt64() || exact.Int64() != n) {
			t.Fatalf("%v to %v: fast %d, exact %v", x, step, n, exact)
		}
		if got, want := tapeSteps(x, step), tape(stepsOf(x, step)); got != want {
			t.Fatalf("%v to %v: %s, exact %s", x, step, got, want)
		}
		if d, ok := decimalsOf(step); ok {
			v := new(big.Rat).Mul(new(big.Rat).SetInt(exact), step)
			if got, want := stepped(x, step, 0), rational(v, d); got != want {
				t.Fatalf("%v to %v: %s, exact %s", x, step, got, want)
			}
		}
	})
}

func TestFixedEqualsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, d := anyNumber().Draw(t, "x"), rapid.IntRange(0, 12).Draw(t, "decimals")
		if got, want := fixed(x, d), scaledBig(exactSteps(x, tenth(d)), d); got != want {
			t.Fatalf("%v with %d decimals: %s, exact %s", x, d, got, want)
		}
	})
}

// The step nearest to a decimal is reckoned in whole numbers, outside the code under test: (2·n + d) / 2·d rounded down.
func TestNearestOnPaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(0, 1e12).Draw(t, "thousandths")
		x, _ := big.NewRat(n, 1000).Float64()
		want := (2*n + 50) / 100
		if got := exactSteps(x, big.NewRat(1, 20)).Int64(); got != want {
			t.Fatalf("%v is %d twentieths, want %d", x, got, want)
		}
	})
}

// An amount of cents times a rate of whole hundredths of a percent, rounded on whole numbers (half away from zero), is
// what the float product shows.
func TestMoneyAgainstWholeNumbers(t *testing.T) {
	s := &Spec{Units: []Unit{usd}, Money: true, Minor: 2}
	r := rand.New(rand.NewPCG(1, 2))
	ties := 0
	for range 20000 {
		cents, rate := r.Int64N(100_000_000), r.Int64N(20_000)
		if r.IntN(4) == 0 {
			rate = rate / 5000 * 5000 // half and whole percents by the hundred: exact ties are common
		}
		product := new(big.Int).Mul(big.NewInt(cents), big.NewInt(rate))
		if new(big.Int).Rem(product, big.NewInt(10000)).Int64() == 5000 {
			ties++
		}
		product.Mul(product, big.NewInt(2)).Add(product, big.NewInt(10000)).Quo(product, big.NewInt(20000))
		want := new(big.Rat).SetFrac(product, big.NewInt(100)).FloatString(2) + " USD"
		got := s.Text(float64(cents) / 100 * (float64(rate) / 10000))
		require.Equal(t, want, got, "%d cents at %d hundredths of a percent", cents, rate)
	}
	assert.Greater(t, ties, 500, "the trial must meet ties")
}

func TestRuling15AtMostFourDigitsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := anyNumber().Draw(t, "x") * math.Pow(10, float64(rapid.IntRange(-20, 20).Draw(t, "size")))
		text := plain(x, false)
		y, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("%v is shown as %q", x, text)
		}
		mantissa, _, _ := strings.Cut(strings.TrimLeft(text, "-0."), "e")
		digits := strings.ReplaceAll(strings.TrimLeft(mantissa, "0"), ".", "")
		if behind := strings.IndexByte(mantissa, '.'); behind >= 0 && len(digits) > 4 && !strings.HasPrefix(strings.TrimLeft(text, "-"), "0.") {
			t.Fatalf("%v is shown as %q: more than four digits", x, text)
		}
		if math.Abs(x) < smallest {
			x = 0
		}
		half := math.Abs(x) * 5.1e-4
		if math.Abs(x) >= 1000 && math.Abs(x) < 1e15 {
			half = 0.5006 // a half, and the tolerance of a tie
		}
		if math.Abs(x-y) > half {
			t.Fatalf("%v is shown as %q", x, text)
		}
	})
}

func TestRuling15NotWholeIsNotShownAsWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := float64(rapid.Int64Range(-1e6, 1e6).Draw(t, "n"))
		x += math.Pow(10, -rapid.Float64Range(0, 14).Draw(t, "digits"))
		text := plain(x, true)
		y, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("%v is shown as %q", x, text)
		}
		if x != 0 && math.Abs(x) > 1e-3 && isWhole(x) != isWhole(y) {
			t.Fatalf("%v is shown as %q", x, text)
		}
	})
}
