package stdlib_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/lang/value"
)

// By hand, common practice.
func TestPricingByHand(t *testing.T) {
	shows(t, map[string]string{
		"overhead_rate(24000 USD, 1600 h)":                       "15 USD/h",
		"overhead_rate(36000 USD, 60000 USD) [%]":                "60%",
		"piece_cost(27.50 USD, 1 h 30 min, 38 USD/h, 60%)":       "material 27.50 USD, labour 57.00 USD, overhead 34.20 USD, total 118.70 USD",
		"piece_cost((10 USD, 20 USD), 1 h, 40 USD/h).total":      "(50.00 USD, 60.00 USD)",
		"break_even(10000 USD, 25 USD, 15 USD)":                  "pieces 1000, revenue 25000.00 USD",
		"break_even((0 USD, 10001 USD), 25 USD, 15 USD).pieces":  "(0, 1001)",
		"pieces_for_profit(5000 USD, 10000 USD, 25 USD, 15 USD)": "1500",
		"trade_discount(500 USD, 20%, 10%, 5%)":                  "net 342.00 USD, discount 31.60%", // 0.8 * 0.9 * 0.95 = 0.684
		"trade_discount((100 EUR, 50 EUR), 10%).net":             "(90.00 EUR, 45.00 EUR)",
		"price_step(19.20 USD, 1 USD, 0.05 USD)":                 "19.95 USD",
		"price_step(19.96 USD, 1 USD, 0.05 USD)":                 "20.95 USD",
		"price_step((19.95 USD, 3 USD), 1 USD, 0 USD)":           "(20.00 USD, 3.00 USD)",
		"late_interest(1000 USD, 8%, 45 d)":                      "9.86 USD", // 80 * 45/365 = 9.863
		"late_interest(1000 USD, 8%, (45 d, 90 d), 360 d)":       "(10.00 USD, 20.00 USD)",
		"reorder_point(40 kg/d, 5 d, 50 kg)":                     "250 kg",
	})
	refuses(t, map[string]string{
		"break_even(100 USD, 15 USD, 15 USD)": "price > piece_cost",
		"overhead_rate(100 USD, 0 h)":         "base > 0",
		"trade_discount(100 USD, 120%)":       "discounts <= 100%",
		"price_step(1 USD, 1 USD, 1 USD)":     "below < step",
		"piece_cost(10 USD, 1 h, 40 EUR/h)":   "USD",
		"late_interest(1 USD, 8%, 0 d - 1 d)": "days >= 0",
		"economic_order(1000, 10 USD, 0 USD)": "holding_cost > 0",
	})
	states(t, value.Flagged, "late_interest(1 USD, 8%, 1 d, 300 d)", "margin(2 USD, 1 USD)", "markup(2 USD, 1 USD)")
}

// Markup and margin, as price lists print them side by side (common practice), and both undo the rules for a price.
func TestPricingMarginAndMarkup(t *testing.T) {
	for markup, margin := range map[float64]string{15: "13.0%", 20: "16.7%", 25: "20.0%", 30: "23.1%", 40: "28.6%", 50: "33.3%", 75: "42.9%", 100: "50.0%"} {
		line := fmt.Sprintf("margin(80 USD, price_for_markup(80 USD, %g%%))", markup)
		shows(t, map[string]string{line: margin})
		line = fmt.Sprintf("markup(80 USD, price_for_margin(80 USD, margin(80 USD, price_for_markup(80 USD, %g%%))))", markup)
		assert.InEpsilon(t, markup/100, number(t, line), 1e-12, line)
	}
	shows(t, map[string]string{"margin((60 USD, 75 USD), 100 USD)": "(40.0%, 25.0%)"})
}

func TestPricingBreaks(t *testing.T) {
	const froms, prices = "(1, 10, 50)", "(20 USD, 18 USD, 15 USD)"
	shows(t, map[string]string{ // read off the list by hand
		"price_break(12, " + froms + ", " + prices + ")":                                 "each 18.00 USD, total 216.00 USD",
		"price_break((1, 9, 9.99, 10, 49, 50, 900), " + froms + ", " + prices + ").each": "(20.00 USD, 20.00 USD, 20.00 USD, 18.00 USD, 18.00 USD, 15.00 USD, 15.00 USD)",
		"price_break((9, 10, 50), " + froms + ", " + prices + ").total":                  "(180.00 USD, 180.00 USD, 750.00 USD)",
		"price_break(7 kg, (1 kg, 5 kg), (5 USD/kg, 4 USD/kg)).total":                    "28.00 USD",
		"break_order(46, " + froms + ", " + prices + ")":                                 "quantity 50, total 750.00 USD, saved 78.00 USD",
		"break_order(9, " + froms + ", " + prices + ")":                                  "quantity 9, total 180.00 USD, saved 0.00 USD", // ten cost the same
		"break_order(12, " + froms + ", " + prices + ")":                                 "quantity 12, total 216.00 USD, saved 0.00 USD",
		"break_order(60, " + froms + ", " + prices + ")":                                 "quantity 60, total 900.00 USD, saved 0.00 USD",
	})
	refuses(t, map[string]string{
		"price_break(0.5, " + froms + ", " + prices + ")":       "quantity >= least",
		"price_break(5, (1, 10), " + prices + ")":               "count(froms) == count(prices)",
		"price_break(5, (1, 50, 10), " + prices + ")":           "price_break",
		"break_order(6, (1, 10, 50), (20 USD, 22 USD, 15 USD))": "break_order needs",
	})
	// Quantities as many as the breaks do not run along with them.
	for part, want := range map[string][]float64{"quantity": {50, 12, 3}, "total": {750, 216, 60}, "saved": {78, 0, 0}} {
		nearAll(t, want, 1e-9, "", "break_order((46, 12, 3), "+froms+", "+prices+")."+part)
	}
	sheet := "table t\n  best = break_order(n, " + froms + ", " + prices + ").quantity\n  each = price_break(n, " + froms + ", " + prices + ").each\n  | n\n  | 9\n  | 46\n  | 60\nend\n"
	for name, want := range map[string][]float64{"t.best": {9, 50, 60}, "t.each": {20, 18, 15}} {
		nearAll(t, want, 0, sheet, name)
	}
}

// Offers add up to the cent. The figures by hand, common practice.
func TestPricingOffers(t *testing.T) {
	shows(t, map[string]string{
		"line_total(7, 12.345 USD, 0.01 USD)":                                       "86.42 USD", // 86.415, the tie away from zero
		"line_total(2 h 15 min, 38 USD/h, 0.01 USD)":                                "85.50 USD",
		"line_total((1, 3), (0.333 USD, 0.333 USD), 0.01 USD)":                      "(0.33 USD, 1.00 USD)",
		"add_tax(1234.56 USD, 20%, 0.01 USD)":                                       "net 1234.56 USD, tax 246.91 USD, gross 1481.47 USD",
		"add_tax((10 EUR, 20 EUR), 19%, 0.01 EUR).gross":                            "(11.90 EUR, 23.80 EUR)",
		"tax_within(120 USD, 20%, 0.01 USD)":                                        "net 100.00 USD, tax 20.00 USD, gross 120.00 USD",
		"tax_within((119 EUR, 100 EUR), 19%, 0.01 EUR).tax":                         "(19.00 EUR, 15.97 EUR)", // 1900/119 = 15.966
		"quotation((10, 1), (135.55 USD, 120 USD), 20%, 0.01 USD)":                  "net 1475.50 USD, tax 295.10 USD, gross 1770.60 USD",
		"quotation((1, 1, 1), (0.333 USD, 0.333 USD, 0.333 USD), 0%, 0.01 USD).net": "0.99 USD", // not 1.00: the lines say 0.33
		"share_out(100 USD, (1, 1, 1), 0.01 USD)":                                   "(33.33 USD, 33.34 USD, 33.33 USD)",
		"share_out(1770.60 USD, (30, 60, 10), 0.01 USD)":                            "(531.18 USD, 1062.36 USD, 177.06 USD)",
	})
	for _, total := range []float64{0, 0.01, 0.05, 19.99, 1000, 12345.67} {
		for _, weights := range []string{"(1, 1, 1)", "(1, 2, 4, 8)", "(0, 3, 0.1, 7)", "(1, 1, 1, 1, 1, 1, 1)"} {
			line := fmt.Sprintf("share_out(%g USD, %s, 0.01 USD)", total, weights)
			sum := 0.0
			for _, x := range numbers(t, "", value.OK, line) {
				assert.InDelta(t, math.Round(x*100), x*100, 1e-6, line)
				sum += x
			}
			assert.InDelta(t, total, sum, 1e-9, line)
		}
	}
	// By two steps of money: lines 0.33 + 1.98 with tax 0.46, and 0.35 + 2.00 with tax 0.45.
	for part, want := range map[string][]float64{"net": {2.31, 2.35}, "tax": {0.46, 0.45}, "gross": {2.77, 2.80}} {
		nearAll(t, want, 1e-9, "", "quotation((1, 2), (0.333 USD, 0.99 USD), 20%, (0.01 USD, 0.05 USD))."+part)
	}
	refuses(t, map[string]string{
		"share_out(100.005 USD, (1, 1), 0.01 USD)":                "nearest(total, step) == total",
		"share_out((1 USD, 2 USD), (1, 1), 0.01 USD)":             "share_out gives a list, and lists are not nested.",
		"share_out(1 USD, (1, 1), (0.01 USD, 0.05 USD))":          "share_out gives a list, and lists are not nested.",
		"quotation((1, 2), (1 USD, 2 USD, 3 USD), 20%, 0.01 USD)": "count(amounts) == count(prices)",
		"add_tax(1 USD, 20%, 0 USD)":                              "step > 0",
		"line_total(1, 1 USD, 0.01 EUR)":                          "EUR",
	})
}

func TestPricingTerms(t *testing.T) {
	shows(t, map[string]string{
		// 2/10 net 30 and 1/10 net 30 as textbooks of finance print them (from memory): 2/98 * 365/20 and (1 + 2/98)^18.25 - 1.
		"cash_discount(1000 USD)":                       "paid 980.00 USD, saved 20.00 USD, simple 37.24%, compounded 44.59%",
		"cash_discount(1000 USD, 1%).simple":            "18.43%",
		"cash_discount(1000 USD, 1%).compounded":        "20.13%",
		"cash_discount((100 USD, 200 USD), 3%).paid":    "(97.00 USD, 194.00 USD)",
		"due_date(2027-03-10)":                          "2027-04-09",
		"due_date(2027-03-10, end_of_month: yes)":       "2027-04-30",
		"due_date(2028-02-29, 0 d, yes)":                "2028-02-29",
		"due_date((2027-01-31, 2027-12-01), 14 d, yes)": "(2027-02-14, 2028-01-14)",
	})
	refuses(t, map[string]string{"cash_discount(100 USD, 2%, 30 d, 30 d)": "due > within", "due_date(2027-03-10, -1 d)": "days >= 0"})
}

func TestPricingStock(t *testing.T) {
	shows(t, map[string]string{ // by hand, common practice
		"to_order(500 kg, 75 kg, 25 kg)":               "missing 425 kg, packs 17, bought 425 kg, left 0 kg",
		"to_order(2.6 kg, 1 kg, 1 kg)":                 "missing 1.6 kg, packs 2, bought 2 kg, left 0.4 kg",
		"to_order(5, 8, 4)":                            "missing 0, packs 0, bought 0, left 3",
		"to_order((10 L, 3 L), (0 L, 5 L), 4 L).packs": "(3, 0)",
		// Harris (1913), from memory; the figures of a textbook (from memory): 1000 a year, 10 an order, 0.50 to hold, 200.
		"economic_order(1000, 10 USD, 0.50 USD)":       "200",
		"economic_order(1000 kg, 10 USD, 0.50 USD/kg)": "200 kg",
	})
	refuses(t, map[string]string{"to_order(5 kg, 1 kg, 0 kg)": "pack > 0", "to_order(5 kg, 1 L, 1 kg)": "volume"})
}
