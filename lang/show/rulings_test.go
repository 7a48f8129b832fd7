package show

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"castwright/lang/kind"
)

// Factors: NIST SP 811, appendix B.8 (inch, foot, pound, ounce, degree Fahrenheit), BIPM SI brochure, tables 6 and 8
// (degree of arc, hour, litre, degree Celsius).
var (
	m      = Unit{Symbol: "m", Ratio: big.NewRat(1, 1)}
	mm     = Unit{Symbol: "mm", Ratio: big.NewRat(1, 1000)}
	cm     = Unit{Symbol: "cm", Ratio: big.NewRat(1, 100)}
	inch   = Unit{Symbol: "in", Ratio: big.NewRat(254, 10000)}
	ft     = Unit{Symbol: "ft", Ratio: big.NewRat(3048, 10000)}
	yd     = Unit{Symbol: "yd", Ratio: big.NewRat(9144, 10000)}
	kg     = Unit{Symbol: "kg", Ratio: big.NewRat(1, 1)}
	lb     = Unit{Symbol: "lb", Ratio: big.NewRat(45359237, 100000000)}
	oz     = Unit{Symbol: "oz", Ratio: big.NewRat(45359237, 1600000000)}
	hour   = Unit{Symbol: "h", Ratio: big.NewRat(3600, 1)}
	minute = Unit{Symbol: "min", Ratio: big.NewRat(60, 1)}
	sec    = Unit{Symbol: "s", Ratio: big.NewRat(1, 1)}
	deg    = Unit{Symbol: "deg", Ratio: big.NewRat(1, 180), Pi: true}
	degC   = Unit{Symbol: "degC", Ratio: big.NewRat(1, 1), Offset: big.NewRat(27315, 100)}
	degF   = Unit{Symbol: "degF", Ratio: big.NewRat(5, 9), Offset: new(big.Rat).Sub(big.NewRat(27315, 100), big.NewRat(160, 9))}
	usd    = Unit{Symbol: "USD", Ratio: big.NewRat(1, 1)}
	jpy    = Unit{Symbol: "JPY", Ratio: big.NewRat(1, 1)}
	pal    = Unit{Symbol: "pallet", Plural: "pallets", Ratio: big.NewRat(1, 1)}
	bag    = Unit{Symbol: "bag", Plural: "bags", Ratio: new(big.Rat).Mul(big.NewRat(80, 1), lb.Ratio)}
)

func of(units ...Unit) *Spec { return &Spec{Units: units} }

func (s Spec) step(a, b int64) *Spec { s.Step = big.NewRat(a, b); return &s }

func (s Spec) tape(a, b int64) *Spec { s.Step, s.Tape = big.NewRat(a, b), true; return &s }

func asTape(units ...Unit) *Spec { return &Spec{Units: units, Tape: true} }

// siOf gives the SI value of a number of a unit.
func siOf(x float64, u Unit) float64 {
	v := u.si(decimal(x))
	if u.Pi {
		v *= math.Pi
	}
	return v
}

type shownCase struct {
	spec *Spec
	si   float64
	want string
}

func checkShown(t *testing.T, cases []shownCase) {
	t.Helper()
	for _, c := range cases {
		assert.Equal(t, c.want, c.spec.Text(c.si), "SI value %v", c.si)
	}
}

// The wanted texts of this file follow from language.md, ruling 15, by rounding on paper.
func TestRuling15ShownWithoutStep(t *testing.T) {
	checkShown(t, []shownCase{
		{of(kg), 22.8, "22.8 kg"},
		{of(kg), 1613.4, "1613 kg"},
		{of(kg), 123456.7, "123457 kg"},
		{of(kg), 99.995, "100 kg"},
		{of(kg), 2.6745, "2.675 kg"},   // a tie on paper; the float lies below it
		{of(kg), -2.6745, "-2.675 kg"}, // away from zero
		{of(kg), 1.00049999999999, "1.001 kg"},
		{of(kg), 1.000499, "1 kg"},
		{of(kg), 12.000000000000002, "12 kg"},
		{of(kg), 12.00004, "12 kg"},
		{of(kg), 1613.5, "1614 kg"},
		{of(kg), math.Copysign(0, -1), "0 kg"},
		{of(mm), 0.43, "430 mm"},
		{of(mm), 0.0015875, "1.588 mm"},
		{of(inch), 0.0127, "0.5 in"},
		{of(deg), math.Pi / 5, "36 deg"},
		{of(Unit{Symbol: "kg/m^3"}), 2350, "2350 kg/m^3"},
		{of(Unit{Symbol: "USD/kg"}), 0.25625, "0.2563 USD/kg"},
		{nil, 2.5, "2.5"},
		{&Spec{}, 100, "100"},
	})
}

func TestRuling15ShownLargeAndSmall(t *testing.T) {
	checkShown(t, []shownCase{
		{of(m), 0.0001, "0.0001 m"},
		{of(m), 0.00012345, "0.0001235 m"},
		{of(m), 0.00009999, "9.999e-5 m"},
		{of(m), 0.000099996, "0.0001 m"},
		{of(m), 1.2345e-6, "1.235e-6 m"},
		{of(m), -1.2344e-6, "-1.234e-6 m"},
		{of(m), 9.9999e-7, "1e-6 m"},
		{of(m), 999999999999999, "999999999999999 m"},
		{of(m), 999999999999999.6, "1e15 m"},
		{of(m), 1e15, "1e15 m"},
		{of(m), -6.02214076e23, "-6.022e23 m"},
		{of(m), 9.9996e20, "1e21 m"},
		{of(m), 1.5e-300, "1.5e-300 m"},
		{of(m), 5e-324, "0 m"}, // the language reads no number below 1e-300
		{of(m), 1.7e300, "1.7e300 m"},
	})
}

func TestRuling15BareNumberNeverShownAsWhole(t *testing.T) {
	checkShown(t, []shownCase{
		{&Spec{}, 12.00004, "12.00004"},
		{&Spec{}, 5.00001, "5.00001"},
		{&Spec{}, 12.000000000000002, "12"},
		{&Spec{}, 11.99996, "11.99996"},
		{&Spec{}, 9.99999, "9.99999"},
		{&Spec{}, 1234.56, "1234.6"},
		{&Spec{}, 1234.04, "1234.04"},
		{&Spec{}, 123456.7, "123456.7"},
		{&Spec{}, -5.00001, "-5.00001"},
		{&Spec{}, 0.99999, "0.99999"},
		{&Spec{}, 2.0 / 3, "0.6667"},
		{&Spec{}, 12.00000001, "12"},              // whole by ruling 23: within 1e-9 of 12 steps
		{&Spec{}, 12.00000002, "12.00000002"},     // not whole by it
		{&Spec{}, 12.0000000124, "12.0000000124"}, // with fewer decimals it would read back as whole
		{&Spec{}, 11.00453, "11.0045"},            // 11.005 would read back as 11.01
		{&Spec{}, 11.00449, "11.004"},
		{&Spec{}, 11.000049000000001, "11.000049"}, // 11.00005 would read back as 11.0001
		{of(pal), 12.00004, "12.00004 pallets"},
		{&Spec{Percent: true}, 0.0800001, "8.00001%"},
		{of(kg), 5.00001, "5 kg"}, // a quantity is not counted
		{of(deg), 5.00001 * math.Pi / 180, "5 deg"},
	})
}

func TestRuling15Step(t *testing.T) {
	checkShown(t, []shownCase{
		{of(kg).step(1, 10), 12, "12.0 kg"},
		{of(kg).step(1, 10), 12.25, "12.3 kg"},
		{of(kg).step(1, 10), -12.25, "-12.3 kg"},
		{of(kg).step(1, 10), 2.0 / 3, "0.7 kg"},
		{of(kg).step(1, 10), -0.04, "0.0 kg"},
		{of(kg).step(1, 10), 0.15, "0.2 kg"},
		{of(kg).step(1, 10), 0.1 + 0.05, "0.2 kg"},
		{of(kg).step(1, 4), 2.3, "2.25 kg"},
		{of(kg).step(1, 4), 2, "2.00 kg"},
		{of(kg).step(5, 1), 22.5, "25 kg"},
		{of(kg).step(5, 1), 22.4, "20 kg"},
		{of(kg).step(1, 1), 1e16, "10000000000000000 kg"},
		{of(kg).step(1, 3), 2, "2 kg"}, // thirds have no decimals: shown as a fraction
		{of(kg).step(1, 3), 0.7, "2/3 kg"},
		{(&Spec{}).step(1, 100), 1.005, "1.01"},
		{(&Spec{}).step(1, 1), 12.4, "12"},
		{(&Spec{Percent: true}).step(1, 10), 0.08, "8.0%"},
		{of(mm).step(1, 2), 0.01025, "10.5 mm"},
		{of(degC).step(1, 10), 296.2, "23.1 degC"}, // 23.05 on paper
	})
}

func TestRuling15TapeSixteenths(t *testing.T) {
	in16 := of(inch).tape(1, 16)
	checkShown(t, []shownCase{
		{in16, siOf(4.4375, inch), "4 7/16 in"},
		{in16, siOf(-4.4375, inch), "-4 7/16 in"},
		{in16, siOf(0.375, inch), "3/8 in"},
		{in16, siOf(-0.375, inch), "-3/8 in"},
		{in16, siOf(5, inch), "5 in"},
		{in16, siOf(4.97, inch), "5 in"},
		{in16, 0, "0 in"},
		{in16, siOf(-0.01, inch), "0 in"},
		{in16, siOf(0.03125, inch), "1/16 in"}, // a tie
		{of(inch).tape(1, 8), siOf(4.4375, inch), "4 1/2 in"},
		{of(inch).tape(3, 2), siOf(4, inch), "4 1/2 in"},
		{of(m).tape(1, 16), 3e19, "30000000000000000000 m"},
		{of(m).tape(3, 16), -1e19, "-9999999999999999999 15/16 m"}, // 53333333333333333333 steps of 3/16
	})
}

func TestRuling15SeveralUnits(t *testing.T) {
	feet8, feet16, tenths := of(ft, inch).tape(1, 8), of(ft, inch).tape(1, 16), of(ft, inch).step(1, 10)
	checkShown(t, []shownCase{
		{feet8, siOf(74.375, inch), "6 ft 2 3/8 in"},
		{feet8, siOf(-74.375, inch), "-6 ft 2 3/8 in"},
		{feet16, siOf(71.9375, inch), "5 ft 11 15/16 in"},
		{feet16, siOf(71.9375, inch) + siOf(0.0625, inch), "6 ft"},
		{feet16, siOf(71.98, inch), "6 ft"},
		{feet8, siOf(2.375, inch), "2 3/8 in"},
		{feet8, 0, "0 in"},
		{feet8, siOf(-0.01, inch), "0 in"},
		{tenths, siOf(74.375, inch), "6 ft 2.4 in"},
		{tenths, siOf(72, inch), "6 ft"},
		{tenths, siOf(5, inch), "5.0 in"},
		{of(ft, inch).step(5, 1), siOf(23, inch), "2 ft 1 in"}, // nearest(23 in, 5 in) is 25 in
		{of(yd, ft, inch).tape(1, 4), siOf(53.3, inch), "1 yd 1 ft 5 1/4 in"},
		{of(yd, ft, inch).tape(1, 4), siOf(41, inch), "1 yd 5 in"},
		{of(ft, inch), siOf(74.375, inch), "6 ft 2.38 in"},
		{of(ft, inch), siOf(11.99999, inch), "1 ft"},
		{of(ft, inch), siOf(-1e-6, inch), "-1e-6 in"},
		{of(ft, inch), siOf(1e17, inch), "8.333e15 ft"},
		{of(hour, minute), 9000, "2 h 30 min"},
		{of(hour, minute, sec), 9000.5, "2 h 30 min 1 s"}, // four digits of 9000.5 s, and no digit lost left of the point
		{of(hour, minute).step(1, 1), 7199, "2 h"},
		{of(lb, oz), siOf(70, oz), "4 lb 6 oz"},
		{of(lb, oz).step(1, 10), siOf(-70.25, oz), "-4 lb 6.3 oz"},
		{of(bag, lb).step(1, 1), siOf(163, lb), "2 bags 3 lb"},
		{of(bag, lb).step(1, 1), siOf(83, lb), "1 bag 3 lb"},
	})
}

// A foot is 304.8 mm and a pound 453.59237 g (NIST SP 811, B.8), which whole steps do not hold: the last part alone is
// rounded, is never as large as the unit above it, and the whole is off by half a step at most.
func TestRuling15UnitsThatStepsDoNotHold(t *testing.T) {
	gram := Unit{Symbol: "g", Ratio: big.NewRat(1, 1000)}
	feet, pounds := of(ft, mm).step(1, 1), of(lb, gram).step(1, 1)
	checkShown(t, []shownCase{
		{feet, 1.8288, "6 ft"},
		{feet, 1.8286, "6 ft"},
		{feet, 1.8283, "5 ft 304 mm"},
		{feet, 1.849, "6 ft 20 mm"},
		{feet, -1.849, "-6 ft 20 mm"},
		{feet, 2.743, "9 ft"}, // 8 ft 304.6 mm
		{feet, -0.0004, "0 mm"},
		{of(ft, mm).step(1, 10), 1.84886, "6 ft 20.1 mm"},
		{of(yd, ft, mm).step(1, 1), 1.8286, "2 yd"},
		{of(m, ft, inch).step(4, 1), siOf(39, inch), "1 m"}, // 3 ft 3 in, and 4 in would be more than 1 m
		{of(ft, mm), 1.849, "6 ft 20 mm"},
		{pounds, siOf(1, lb), "1 lb"},
		{pounds, 0.45359, "1 lb"},
		{pounds, 0.4606, "1 lb 7 g"},
	})
}

func TestRuling15UnitsThatStepsDoNotHoldAreOffByHalfAStepAtMost(t *testing.T) {
	gram := Unit{Symbol: "g", Ratio: big.NewRat(1, 1000)}
	specs := []*Spec{of(ft, mm).step(1, 1), of(lb, gram).step(1, 1), of(yd, ft, mm).step(1, 1)}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(specs).Draw(t, "spec")
		x := float64(rapid.Int64Range(-40_000_000, 40_000_000).Draw(t, "tenths of a millionth")) / 1e7
		text := s.Text(x)
		y, err := readBack(text, s.Units)
		if err != nil || math.Abs(x-y) > 0.0005000001 {
			t.Fatalf("%v is shown as %q, %v", x, text, y)
		}
		if again := s.Text(y); again != text {
			t.Fatalf("%q typed back is shown %q", text, again)
		}
	})
}

// An input is shown as it was written: `5 3/8"` as that fraction, and what is on no sixty-fourth as a decimal.
func TestRuling15InputWrittenAsFraction(t *testing.T) {
	checkShown(t, []shownCase{
		{asTape(inch), siOf(5.375, inch), "5 3/8 in"},
		{asTape(inch), siOf(1.0/64, inch), "1/64 in"},
		{asTape(inch), siOf(1.0/128, inch), "0.007813 in"},
		{asTape(inch), siOf(2.4, inch), "2.4 in"},
		{asTape(inch), siOf(1e9+0.3, inch), "1000000000 in"},
		{asTape(ft, inch), siOf(74.375, inch), "6 ft 2 3/8 in"},
		{asTape(ft, inch), siOf(-74.375, inch), "-6 ft 2 3/8 in"},
		{asTape(ft, inch), siOf(74.4, inch), "6 ft 2.4 in"},
		{asTape(ft, inch), siOf(-1e-12, inch), "0 in"},
	})
}

func TestRuling14MoneyShowsItsMinorUnits(t *testing.T) {
	money, yen := &Spec{Units: []Unit{usd}, Money: true, Minor: 2}, &Spec{Units: []Unit{jpy}, Money: true}
	checkShown(t, []shownCase{
		{money, 12, "12.00 USD"},
		{money, 1.005, "1.01 USD"},
		{money, 2.675, "2.68 USD"},
		{money, -2.675, "-2.68 USD"},
		{money, -0.001, "0.00 USD"},
		{money, 1234567.895, "1234567.90 USD"},
		{money, 64840.404998, "64840.40 USD"}, // near a tie, but none
		{money, 12345678901.12, "12345678901.12 USD"},
		{money, 1e15, "1000000000000000.00 USD"},
		{money, 98765432109.125, "98765432109.13 USD"},
		{money.step(1, 1000), 12, "12.000 USD"},
		{money.step(1, 200), 12.0124, "12.010 USD"},
		{money.step(1, 100), 12, "12.00 USD"},
		{money.tape(1, 100), 12.5, "12.50 USD"}, // a step written as 1/100
		{yen, 1250.5, "1251 JPY"},
		{&Spec{Units: []Unit{usd}, Money: true, Minor: 2, Tape: true}, 0.5, "0.50 USD"}, // written `1/2 USD`
		{&Spec{Units: []Unit{{Symbol: "KWD"}}, Money: true, Minor: 3}, 1, "1.000 KWD"},  // ISO 4217: three digits
	})
}

func TestRuling14CountsAndMeasures(t *testing.T) {
	checkShown(t, []shownCase{
		{of(pal), 1, "1 pallet"},
		{of(pal), 3, "3 pallets"},
		{of(pal), 0, "0 pallets"},
		{of(pal), -1, "-1 pallet"},
		{of(pal), 1.0000000000000002, "1 pallet"},
		{of(pal).step(1, 10), 1, "1.0 pallets"},
		{of(bag), siOf(2.5, bag), "2.5 bags"},
		{of(bag), siOf(1, bag), "1 bag"},
	})
}

func TestRuling15Percent(t *testing.T) {
	checkShown(t, []shownCase{
		{&Spec{Percent: true}, 0.08, "8%"},
		{&Spec{Percent: true}, 0.29, "29%"},
		{&Spec{Percent: true}, -0.005, "-0.5%"},
		{&Spec{Percent: true}, 0.123456, "12.35%"},
		{&Spec{Percent: true}, 12.5, "1250%"},
		{&Spec{Percent: true}, 12.3456, "1234.6%"},
	})
}

// The pairs of temperatures: 0 degC is 273.15 K and 32 degF (BIPM SI brochure 2.3.1; NIST SP 811, B.8).
func TestRuling13Temperatures(t *testing.T) {
	c, f := &Spec{Form: kind.Point, Units: []Unit{degC}}, &Spec{Form: kind.Point, Units: []Unit{degF}}
	checkShown(t, []shownCase{
		{c, 273.15, "0 degC"},
		{f, 273.15, "32 degF"},
		{c, 296.15, "23 degC"},
		{c, 263.15, "-10 degC"},
		{f, 255.37222222222223, "0 degF"},
		{f, 233.15, "-40 degF"},
		{f, 373.15, "212 degF"},
		{c, 273.15 + 1e-13, "0 degC"},
		{c, 273.149, "-0.001 degC"},
	})
}

func TestNotFiniteIsNeverShownAsANumber(t *testing.T) {
	for _, s := range []*Spec{nil, {}, of(kg), of(ft, inch), {Percent: true}, {Form: kind.Date}, {Form: kind.Truth},
		{Units: []Unit{usd}, Money: true, Minor: 2}, of(inch).tape(1, 16)} {
		for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			assert.Equal(t, NotANumber, s.Text(x))
		}
	}
	assert.Equal(t, NotANumber, of(mm).Text(1e306), "a number of the unit that is too large for a float")
	assert.Equal(t, NotANumber, (&Spec{Percent: true}).Text(1.5e307))
	assert.Equal(t, NotANumber, of(ft, inch).Text(1e308))
}

func TestTruth(t *testing.T) {
	s := &Spec{Form: kind.Truth}
	assert.Equal(t, "yes", s.Text(1))
	assert.Equal(t, "no", s.Text(0))
}
