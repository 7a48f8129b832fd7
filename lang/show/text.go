package show

import (
	"math"

	"castwright/lang/kind"
)

// NotANumber is shown for a value that is not finite; it is never shown as a number.
const NotANumber = "not a number"

// Text writes a number, a temperature (in kelvin), a date (seconds since 1970-01-01T00:00) or a truth (0 or 1) for a
// reader: with its unit, to its step, in a form that the language reads back (ruling 15). A nil Spec is a plain number.
func (s *Spec) Text(si float64) string {
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return NotANumber
	}
	u := s.first()
	switch {
	case s == nil:
		return plain(si, true)
	case s.Form == kind.Truth:
		if si != 0 {
			return "yes"
		}
		return "no"
	case s.Form == kind.Date:
		return s.date(si)
	case u == nil:
		return s.digits(si)
	case len(s.Units) > 1:
		return s.compound(si)
	}
	x := u.in(si)
	if u.Offset != nil && math.Abs(x) < 1e-9 {
		x = 0 // what is left of taking one zero of temperature from the other
	}
	if math.IsInf(x, 0) {
		return NotANumber
	}
	return u.behind(s.digits(x))
}

// digits writes the number itself.
func (s *Spec) digits(x float64) string {
	switch {
	case s.Money && s.Step != nil:
		return stepped(x, s.Step, s.Minor)
	case s.Money:
		return amount(x, s.Minor)
	case s.Step != nil && s.Tape:
		return tapeSteps(x, s.Step)
	case s.Step != nil:
		return stepped(x, s.Step, 0)
	case s.Tape:
		if v := onTape(x); v != nil {
			return tape(v)
		}
	}
	return plain(x, s.bare())
}

// bare tells whether the number stands for a plain number, a share in % or a count, for which being whole matters.
func (s *Spec) bare() bool {
	return s.Percent || len(s.Units) == 0 || len(s.Units) == 1 && (s.Units[0].Plural != "" || s.Units[0].Symbol == "")
}
