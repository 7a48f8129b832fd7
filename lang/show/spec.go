// Package show writes values for a reader, and says how: in which unit, to which step (language.md, ruling 15).
package show

import (
	"math/big"

	"castwright/lang/kind"
)

// Unit is a unit that a value is shown in: what stands behind the number, and its size.
type Unit struct {
	Symbol string   // "kg/m^3", "in", "pallet"; empty for a bare number
	Plural string   // behind any number but 1, where the unit is a counted thing or a measure of the job: "bags"
	Ratio  *big.Rat // SI value of one, times pi where Pi is set; nil counts as 1
	Pi     bool
	Offset *big.Rat // for a temperature, its zero in kelvin; nil for all else
}

// Spec says how a value is shown. Its zero value shows a plain number.
type Spec struct {
	Form    kind.Form
	Units   []Unit   // the largest first; more than one for `[ft, 1/8 in]`; empty for a bare number
	Percent bool     // a plain number shown as 8%
	Step    *big.Rat // the step in the last unit, nil where none is stated
	Tape    bool     // steps are shown as mixed fractions, `4 7/16 in`
	Money   bool     // a currency, shown with Minor digits where no step is stated
	Minor   int
	Fields  []*Spec // for a record, one for each field
	Word    string  // "date" (without the time of day) or "weekday", for dates; else empty
}
