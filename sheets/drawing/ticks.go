package drawing

import (
	"math"
	"time"

	"castwright/lang/kind"
	"castwright/lang/show"
)

// Values is a run of numbers that a chart shows: a column, with how it is written.
type Values struct {
	Name string
	Spec *show.Spec // nil for plain numbers that are whole, as those of rows
	SI   []float64  // NaN where there is no value
}

func (v *Values) isDate() bool { return v.Spec != nil && v.Spec.Form == kind.Date }

// numbers gives what brings a value to the unit that it is shown in; for a date, seconds. Each unit is a multiple, or for a
// temperature one with a zero of its own, so that two values tell all others.
func (v *Values) numbers() func(si float64) float64 {
	zero := v.Spec.Number(0)
	one := v.Spec.Number(1) - zero
	return func(si float64) float64 { return zero + one*si }
}

// label is what stands at the axis: strength [MPa].
func (v *Values) label() string {
	if u := v.Spec.UnitText(); u != "" {
		return v.Name + " [" + u + "]"
	}
	return v.Name
}

// limits are the least and the greatest number; false where there is none.
func (v *Values) limits() (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	number := v.numbers()
	for _, si := range v.SI {
		if x := number(si); !math.IsNaN(x) && !math.IsInf(x, 0) {
			low, high = min(low, x), max(high, x)
		}
	}
	return low, high, low <= high
}

// fromZero has an axis begin at 0 where that costs little room: where it begins below a share of its end.
func (v *Values) fromZero(low, high, share float64) (float64, float64) {
	if v.Spec != nil && v.Spec.Form == kind.Number && low > 0 && low < share*high {
		return 0, high
	}
	return low, high
}

// tick is one mark of an axis.
type tick struct {
	at    float64
	words string
}

// ticks marks an axis from low to high at round places, at most `most` of them and at least one.
func (v *Values) ticks(low, high float64, most int) []tick {
	if v.isDate() {
		return dateTicks(low, high, most)
	}
	step := niceStep((high - low) / float64(most))
	if v.Spec == nil {
		step = max(step, 1)
	}
	var out []tick
	for k := math.Ceil(low/step - 1e-9); k*step <= high+1e-9*step && len(out) <= most; k++ {
		out = append(out, tick{k * step, (&show.Spec{}).Text(clean(k, step))})
	}
	return out
}

// niceStep is the least of 1, 2 and 5 times a power of ten that is not below a number.
func niceStep(least float64) float64 {
	exp := int(math.Floor(math.Log10(least)))
	for _, lead := range []float64{1, 2, 5} {
		if s := scaleOf(lead, exp); s >= least*(1-1e-9) {
			return s
		}
	}
	return scaleOf(1, exp+1)
}

// clean is k steps without the noise of the product.
func clean(k, step float64) float64 {
	if step < 1 {
		return k / math.Round(1/step)
	}
	return k * step
}

// Steps of time that people count in, in seconds, up to weeks; months and years follow the calendar.
var timeSteps = []float64{1, 5, 10, 30, 60, 300, 600, 1800, 3600, 2 * 3600, 6 * 3600, 12 * 3600, 86400, 2 * 86400, 7 * 86400, 14 * 86400}

const day = 86400.0

func dateTicks(low, high float64, most int) []tick {
	for _, step := range timeSteps {
		if (high-low)/step > float64(most) {
			continue
		}
		var out []tick
		for at := math.Ceil(low/step) * step; at <= high; at += step {
			out = append(out, tick{at, timeWords(at, step)})
		}
		return out
	}
	months := 1
	for _, months = range []int{1, 2, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 2400, 12000} {
		if (high-low)/(float64(months)*30.4*day) <= float64(most) {
			break
		}
	}
	t := time.Unix(int64(low), 0).UTC()
	first := t.Year()*12 + int(t.Month()) - 1
	var out []tick
	for m := first - first%months; ; m += months {
		at := float64(time.Date(m/12, time.Month(m%12+1), 1, 0, 0, 0, 0, time.UTC).Unix())
		if at > high {
			return out
		}
		if at >= low {
			out = append(out, tick{at, timeWords(at, day)})
		}
	}
}

// timeWords writes a date, or within a day the time, with the date at midnight.
func timeWords(at, step float64) string {
	if step >= day || math.Mod(at, day) == 0 {
		return show.DateText(int64(at), false)
	}
	text := show.DateText(int64(at), true)
	return text[len("2027-03-01T"):]
}
