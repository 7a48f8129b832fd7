package stdlib_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"castwright/lang/value"
)

// By hand, common practice.
func TestProductionByHand(t *testing.T) {
	shows(t, map[string]string{
		"pours(25, 4)":                                                  "7",
		"pours(24, 4)":                                                  "6",
		"pours(0, 4)":                                                   "0",
		"pours((8, 9), (4, 4))":                                         "(2, 3)",
		"pieces_to_cast(38, 5%)":                                        "40", // 38 / 0.95 is 40 to the last digits
		"pieces_to_cast((40, 40), (0%, 5%))":                            "(40, 43)",
		"mould_turn(36 h, 2 h)":                                         "2",
		"mould_turn(20 h, 4 h)":                                         "1",
		"mould_turn((20 h, 23 h), 2 h)":                                 "(1, 2)",
		"casting_days(25, 4, turn: 2)":                                  "pours 7, last_pour 12, days 14",
		"casting_days((8, 9), 4).days":                                  "(2, 3)",
		"moulds_within(25, 14, turn: 2)":                                "4",
		"throughput(6, 2, 5%)":                                          "2.85",
		"throughput((6, 8), 2)":                                         "(3.00, 4.00)",
		"work_in_progress(8 d^-1, 7 d)":                                 "56", // Little (1961), from memory: L = rate * time
		"takt_time(8 h, (12, 16))":                                      "(40 min, 30 min)",
		"standard_time(10 min, 110%, 15%)":                              "12.65 min", // 10 * 1.1 * 1.15
		"crew_for(30 h, 8 h, 85%)":                                      "5",         // 30/6.8 = 4.41
		"crew_for((16 h, 17 h), 8 h)":                                   "(2, 3)",
		"labour((20 min, 45 min, 25 min), 10, 38 USD/h, 60 min)":        "time 16.00 h, cost 608.00 USD",
		"labour((30 min, 30 min), (1, 2), 40 EUR/h).cost":               "(40.00 EUR, 80.00 EUR)",
		"labour(list(30 min), 2, 40 USD/h, allowance: 10%).cost":        "44.00 USD",
		"logged_waste((52 kg, 48 kg, 50 kg), (54 kg, 51 kg, 54 kg))":    "waste 6.0%, worst 8.0%, spread 2.1%",
		"logged_waste((10 L, 10 L, 10 L), (9 L, 10 L, 11 L)).waste [%]": "0%",
	})
	refuses(t, map[string]string{
		"pours(10, 0)":                                         "pours needs moulds >= 1",
		"pours(10, 2.5)":                                       "moulds == round_down(moulds)",
		"pieces_to_cast(10, 100%)":                             "rejects < 100%",
		"casting_days(10, 2, 0.5)":                             "turn >= 1",
		"moulds_within(10, 1, 2)":                              "days >= turn",
		"moulds_for(10, 2027-03-01, 2027-03-02, 2)":            "days >= turn",
		"moulds_for(10, 2027-03-02, 2027-03-01)":               "deadline >= start",
		"takt_time(8 h, 0)":                                    "pieces > 0",
		"crew_for(8 h, 8 h, 120%)":                             "efficiency <= 100%",
		"logged_waste((1 kg, 2 kg), (1 kg, 2 kg, 3 kg))":       "count(planned) == count(real)",
		"labour((30 min, 0 min - 1 min), 1, 40 USD/h)":         "all(tasks >= 0)",
		"logged_waste((0 kg, 2 kg, 3 kg), (1 kg, 2 kg, 3 kg))": "all(planned > 0)",
	})
	states(t, value.Flagged, "logged_waste((50 kg, 50 kg), (52 kg, 54 kg)).waste", "standard_time(10 min, 160%)")
}

// The moulds found are enough for the deadline, and one fewer is not: an identity, common practice.
func TestProductionMouldsAreTheFewest(t *testing.T) {
	for _, k := range [][3]int{{25, 14, 2}, {25, 15, 2}, {10, 9, 1}, {7, 3, 3}, {100, 21, 2}, {1, 5, 1}} {
		n := int(number(t, fmt.Sprintf("moulds_within(%d, %d, %d)", k[0], k[1], k[2])))
		assert.LessOrEqual(t, number(t, fmt.Sprintf("casting_days(%d, %d, %d).days", k[0], n, k[2])), float64(k[1]), k)
		if n > 1 {
			assert.Greater(t, number(t, fmt.Sprintf("casting_days(%d, %d, %d).days", k[0], n-1, k[2])), float64(k[1]), k)
		}
	}
}

// Days are counted one by one on the calendar (ISO 8601-1:2019: the week begins on Monday); holidays on any day, one of
// them twice.
func TestProductionWorkingDays(t *testing.T) {
	off := []string{"2027-03-08", "2027-03-13", "2027-03-26", "2027-03-29", "2027-03-08"}
	free := map[string]bool{}
	for _, d := range off {
		free[d] = true
	}
	list := "(" + strings.Join(off, ", ") + ")"
	for s := 1; s <= 9; s++ {
		start := time.Date(2027, 3, s, 0, 0, 0, 0, time.UTC)
		for days := 0; days <= 40; days += 3 {
			until := start.AddDate(0, 0, days)
			weekdays, working := 0, 0
			for d := start.AddDate(0, 0, 1); !d.After(until); d = d.AddDate(0, 0, 1) {
				if w := d.Weekday(); w == time.Saturday || w == time.Sunday {
					continue
				}
				weekdays++
				if !free[d.Format("2006-01-02")] {
					working++
				}
			}
			span := start.Format("2006-01-02") + ", " + until.Format("2006-01-02")
			assert.Equal(t, float64(weekdays), number(t, "working_days("+span+")"), span)
			assert.Equal(t, float64(working), number(t, "working_days("+span+", "+list+")"), span)
		}
		for n := 1; n <= 21; n += 4 {
			line := fmt.Sprintf("working_days(2027-03-0%[1]d, workdays(%[2]d, after: 2027-03-0%[1]d, off: %[3]s), %[3]s)", s, n, list)
			assert.Equal(t, float64(n), number(t, line), line)
		}
	}
	shows(t, map[string]string{
		"working_days(2026-12-31, 2027-12-31)":             "261", // 365 days less 52 weekends, 2027 begins and ends on a Friday
		"working_days(2019-12-31, 2020-12-31)":             "262", // a leap year, before the day that weeks are counted from
		"working_days(2027-03-04T15:00, 2027-03-05T07:30)": "1",
	})
	// A column of dates goes row by row, and so does a list, as many as the days off: Friday; Friday and Wednesday.
	const untils = "table t\n  n = working_days(2027-03-04, until, (2027-03-08, 2027-03-09))\n  | until\n  | 2027-03-08\n  | 2027-03-10\nend\n"
	nearAll(t, []float64{1, 2}, 0, untils, "t.n")
	nearAll(t, []float64{1, 2}, 0, "", "working_days(2027-03-04, (2027-03-08, 2027-03-10), (2027-03-08, 2027-03-09))")
	nearAll(t, []float64{2, 1}, 0, "", "working_days((2027-03-04, 2027-03-09), 2027-03-10, (2027-03-08, 2027-03-09))")
	refuses(t, map[string]string{"working_days(2027-03-04, 2027-03-03)": "until >= start"})
}

func TestProductionDates(t *testing.T) {
	shows(t, map[string]string{ // by the calendar (common practice): 2027-03-04 is a Thursday
		"pour_date(1, 2027-03-04)":                                 "2027-03-04",
		"pour_date(3, 2027-03-04)":                                 "2027-03-08",
		"pour_date(3, 2027-03-04, off: 2027-03-08)":                "2027-03-09",
		"pour_date((1, 2, 3), 2027-03-04, 2)":                      "(2027-03-04, 2027-03-08, 2027-03-10)",
		"pour_date((1, 2), 2027-03-04, 2, 2027-03-05, 2027-03-08)": "(2027-03-04, 2027-03-10)",
		"ready_date(25, 4, 2027-03-01, turn: 2)":                   "2027-03-19",
		"ready_date((4, 8), 4, 2027-03-01)":                        "(2027-03-02, 2027-03-03)",
	})
	states(t, value.Flagged, "pour_date(1, 2027-03-06)", "ready_date(4, 4, 2027-03-07)")
	// The moulds for a date are enough for it, and one fewer is not.
	shows(t, map[string]string{
		"moulds_for(25, 2027-03-01, 2027-03-19, 2)":               "4",
		"ready_date(25, 3, 2027-03-01, 2)":                        "2027-03-25",
		"moulds_for(25, 2027-03-01, 2027-03-19, 2, 2027-03-08)":   "5", // 13 working days: six pours
		"ready_date(25, 5, 2027-03-01, 2, 2027-03-08)":            "2027-03-16",
		"moulds_for(25, 2027-03-01, (2027-03-19, 2027-03-25), 2)": "(4, 3)",
	})
	states(t, value.Flagged, "moulds_for(4, 2027-03-06, 2027-03-19)")
}

// Coefficients of learning curves as textbooks of operations management print them (from memory); every total is also
// added up one by one.
func TestProductionLearningUnitCurve(t *testing.T) {
	for _, k := range []struct {
		rate        float64
		n           int
		last, total float64 // the last 4 decimals, the total 3
	}{
		{0.8, 1, 1, 1}, {0.8, 2, 0.8, 1.8}, {0.8, 3, 0.7021, 2.502}, {0.8, 4, 0.64, 3.142}, {0.8, 5, 0.5956, 3.738},
		{0.8, 10, 0.4765, 6.315}, {0.8, 20, 0.3812, 10.485}, {0.8, 50, 0.2838, 20.122}, {0.8, 100, 0.2271, 32.651},
		{0.7, 10, 0.3058, 4.932}, {0.7, 20, 0.2141, 7.407}, {0.9, 10, 0.7047, 7.994}, {0.9, 20, 0.6342, 14.608},
	} {
		call := fmt.Sprintf("learning_curve_unit(1 h, %d, %g%%)", k.n, k.rate*100)
		printedAs(t, k.last, number(t, call+".last / 1 h"), 4, call)
		printedAs(t, k.total, number(t, call+".total / 1 h"), 3, call)
	}
	for rate, state := range map[float64]value.State{0.51: value.Flagged, 0.7: value.OK, 0.85: value.OK, 1: value.OK} {
		total, b := 0.0, math.Log2(rate)
		for n := 1; n <= 1000; n++ {
			total += math.Pow(float64(n), b)
			if n <= 12 || n%333 == 0 {
				line := fmt.Sprintf("learning_curve_unit(1, %d, %g%%).total", n, rate*100)
				assert.InEpsilon(t, total, numbers(t, "", state, line)[0], 1e-6, line)
			}
		}
	}
	// A list of rates, also as long as the ten pieces that the rule adds up; figures of the table above.
	nearAll(t, []float64{3.142, 1 + 0.9 + 0.8462 + 0.81}, 0.5e-3, "", "learning_curve_unit(1 h, 4, (80%, 90%)).total / 1 h")
	eachAlone(t, "learning_curve_unit(1 h, 25, {}).total", "70%", "72%", "75%", "78%", "80%", "85%", "90%", "95%", "99%", "100%")
}

// Wright (1936), from memory: each doubling brings the average of all down to the rate. By hand: 0.8^3 = 0.512.
func TestProductionLearningAverageCurve(t *testing.T) {
	shows(t, map[string]string{
		"learning_curve(10 h, 8)":                                            "average 5.12 h, total 40.96 h, last 3.546 h",
		"learning_curve(10 h, 1)":                                            "average 10 h, total 10 h, last 10 h",
		"learning_curve(100 USD, (2, 4)).average":                            "(80.00 USD, 64.00 USD)",
		"learning_curve(10 h, 50, 100%).last":                                "10 h",
		"learning_curve_unit(100 min, (1, 2, 4)).last [1 min]":               "(100 min, 80 min, 64 min)",
		"learning_rate(10 h, 6.4 h, 1, 4)":                                   "80.0%",
		"learning_fit((1, 2, 4, 8), (600 min, 480 min, 384 min, 307.2 min))": "first 600.0 min, rate 80.0%, r_squared 1.000",
	})
	// The last piece is what the total grows by; the rate is found again.
	last := number(t, "learning_curve(10 h, 7, 85%).total / 1 h - learning_curve(10 h, 6, 85%).total / 1 h")
	assert.InEpsilon(t, last, number(t, "learning_curve(10 h, 7, 85%).last / 1 h"), 1e-12)
	for _, rate := range []float64{0.7, 0.83, 0.95} {
		line := fmt.Sprintf("learning_rate(learning_curve(10 h, 3, %[1]g%%).average, learning_curve(10 h, 40, %[1]g%%).average, 3, 40)", rate*100)
		assert.InEpsilon(t, rate, number(t, line), 1e-12, line)
	}
	states(t, value.Flagged, "learning_curve(10 h, 8, 60%).total", "learning_rate(10 h, 11 h, 1, 4)", "learning_fit((1, 2, 4), (10 min, 8 min, 6.4 min)).rate")
	refuses(t, map[string]string{
		"learning_curve(10 h, 0)":        "n >= 1",
		"learning_curve(10 h, 2.5)":      "n == round_down(n)",
		"learning_curve(10 h, 8, 50%)":   "50% < rate",
		"learning_rate(10 h, 8 h, 4, 4)": "late_n > early_n",
	})
}

// JCGM 100:2008, H.1, end gauge: the standard uncertainties as printed.
func TestProductionUncertaintyEndGauge(t *testing.T) {
	for line, printed := range map[string]struct {
		value    float64
		decimals int
	}{
		"combined_uncertainty(5.8 nm, 3.9 nm, 6.7 nm) / 1 nm":                                      {9.7, 1},
		"effective_dof(9.7 nm, (5.8 nm, 3.9 nm, 6.7 nm), (24, 5, 8))":                              {25.6, 1},
		"half_width_uncertainty(2) ":                                                               {1.2, 1},
		"half_width_uncertainty(1)":                                                                {0.58, 2},
		"half_width_uncertainty(0.05 K) / 1 K":                                                     {0.029, 3},
		`half_width_uncertainty(0.5 K, "arcsine") / 1 K`:                                           {0.35, 2},
		`combined_uncertainty(0.2 K, half_width_uncertainty(0.5 K, "arcsine")) / 1 K`:              {0.41, 2},
		"(50.000623 mm + 215 nm) / 1 mm":                                                           {50.000838, 6},
		"50.000623 mm * 0.1 K * half_width_uncertainty(1e-6 K^-1) / 1 nm":                          {2.9, 1},
		"50.000623 mm * 11.5e-6 K^-1 * half_width_uncertainty(0.05 K) / 1 nm":                      {16.6, 1},
		"combined_uncertainty(25 nm, 9.7 nm, 2.9 nm, 16.6 nm) / 1 nm":                              {32, 0},
		"effective_dof(31.66 nm, (25 nm, 9.7 nm, 2.9 nm, 16.6 nm), (18, 25.6, 50, 2))":             {16.7, 1},
		"round_down(effective_dof(31.66 nm, (25 nm, 9.7 nm, 2.9 nm, 16.6 nm), (18, 25.6, 50, 2)))": {16, 0},
	} {
		printedAs(t, printed.value, number(t, line), printed.decimals, line)
	}
	// Carried on without rounding: 1002.6 nm^2, 31.66 nm; and with the terms of second order, of 11.7 and 1.7 nm, 33.8 nm.
	const whole = "combined_uncertainty(25 nm, combined_uncertainty(5.8 nm, 3.9 nm, 6.7 nm), " +
		"50.000623 mm * 0.1 K * half_width_uncertainty(1e-6 K^-1), 50.000623 mm * 11.5e-6 K^-1 * half_width_uncertainty(0.05 K)) / 1 nm"
	near(t, 1002.6, 0.06, "("+whole+")^2")
	near(t, 31.66, 0.005, whole)
	near(t, 33.8, 0.05, "combined_uncertainty(31.66 nm, 11.7 nm, 1.7 nm) / 1 nm")
	// JCGM 100:2008, 4.3.9: a triangle of half width a has the variance a^2/6.
	assert.InEpsilon(t, 3/math.Sqrt(6), number(t, `half_width_uncertainty(3 mm, "triangular") / 1 mm`), 1e-12)
	refuses(t, map[string]string{
		`half_width_uncertainty(3 mm, "normal")`:       "half_width_uncertainty needs",
		"effective_dof(1 mm, (1 mm, 2 mm), (5, 0))":    "all(dofs > 0)",
		"effective_dof(1 mm, (1 mm, 2 mm), (5, 5, 5))": "needs count(contributions) == count(dofs)",
		"combined_uncertainty(1 mm, 0 mm - 1 mm)":      "all(contributions >= 0)",
	})
}

// JCGM 101:2008, 9.3, calibration of a mass (from memory, each step worked out apart): two normal inputs to first order; to
// second order the densities of air, of the weight and of the reference count too, each product of two deviations by how much
// it moves the mass of 100 g.
func TestProductionUncertaintyMass(t *testing.T) {
	const first = "combined_uncertainty(0.050 mg, 0.020 mg)"
	const second = "combined_uncertainty(" + first + ", 100001.234 mg / (8000 kg/m^3)^2 * half_width_uncertainty(0.1 kg/m^3) * half_width_uncertainty(1000 kg/m^3), " +
		"100001.234 mg / (8000 kg/m^3)^2 * half_width_uncertainty(0.1 kg/m^3) * half_width_uncertainty(50 kg/m^3))"
	figures(t, []figure{
		{first + " / 1 mg", 0.0539, 4}, {second + " / 1 mg", 0.0750, 4}, {second + " / 1 mg", 0.07496, 5},
		// 95% of a normal distribution: 1.96 of it to either side.
		{"(1.234 mg - 1.96 * " + first + ") / 1 mg", 1.1285, 4}, {"(1.234 mg + 1.96 * " + first + ") / 1 mg", 1.3395, 4},
		{"(1.234 mg - 1.96 * " + second + ") / 1 mg", 1.0871, 4}, {"(1.234 mg + 1.96 * " + second + ") / 1 mg", 1.3809, 4},
	})
}
