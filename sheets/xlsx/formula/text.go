package formula

import (
	"errors"
	"fmt"
	"math/big"
	"strings"

	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
)

// join says a text with values put in, each as it is shown.
func (t *translator) join(in *program.Instr) (expr, error) {
	var parts []string
	for _, p := range t.p.Templates[in.Aux] {
		if p.Arg < 0 {
			if p.Words != "" {
				parts = append(parts, Quoted(p.Words))
			}
			continue
		}
		a := t.reg(in.Args[p.Arg])
		if a.list {
			return expr{}, errors.New("it puts a list into a text")
		}
		s, err := shown(a, p.Spec)
		if err != nil {
			return expr{}, err
		}
		parts = append(parts, s)
	}
	if len(parts) == 0 {
		return textOf(`""`, tightest), nil
	}
	return textOf(strings.Join(parts, "&"), join), nil
}

// shown says a value as it is shown in a text.
func shown(a expr, spec *show.Spec) (string, error) {
	switch {
	case a.sort == text:
		return a.say(join + 1), nil
	case a.sort == record:
		return "", errors.New("it puts a shape into a text")
	case a.sort == truth || spec.Form == kind.Truth:
		return fmt.Sprintf(`IF(%s,"yes","no")`, asTruth(a).say(loosest)), nil
	case spec.Form == kind.Date:
		return dated(a, spec)
	case len(spec.Units) > 1 || spec.Tape:
		return "", errors.New("it writes fractions of an inch into a text")
	}
	x := a
	unit := ""
	if spec.Percent {
		x, unit = x.times(100), `"%"`
	}
	if len(spec.Units) == 1 {
		scale, offset := UnitOf(spec.Units[0])
		x = add(x, constant(offset), -1).times(1 / scale)
		unit = unitWord(x, spec.Units[0])
	}
	s := digitsOf(x, spec)
	if unit == "" {
		return s, nil
	}
	return s + "&" + unit, nil
}

func unitWord(x expr, u show.Unit) string {
	if u.Plural == "" || u.Plural == u.Symbol {
		if u.Symbol == "" {
			return ""
		}
		return Quoted(" " + u.Symbol)
	}
	return fmt.Sprintf("IF(ABS(%s)=1,%s,%s)", x.say(loosest), Quoted(" "+u.Symbol), Quoted(" "+u.Plural))
}

// digitsOf says the digits of a number: to its step, or at most four that count.
func digitsOf(x expr, spec *show.Spec) string {
	n := x.say(loosest)
	if spec.Money && spec.Step == nil {
		return fmt.Sprintf(`TEXT(%s,"%s")`, n, pattern(spec.Minor))
	}
	if spec.Step != nil {
		decimals, one := Decimals(spec.Step)
		if one {
			return fmt.Sprintf(`TEXT(%s,"%s")`, n, pattern(decimals))
		}
		step, _ := spec.Step.Float64()
		return fmt.Sprintf(`TEXT(ROUND((%s)/%s,0)*%s,"%s")`, n, digits(step), digits(step), pattern(decimals))
	}
	return fmt.Sprintf(`IF(%s=0,0,ROUND(%s,MAX(0,3-INT(LOG10(ABS(%s))))))`, x.say(comparison+1), n, n)
}

func pattern(decimals int) string {
	if decimals == 0 {
		return "0"
	}
	return "0." + strings.Repeat("0", decimals)
}

// Decimals gives how many decimals a step needs, and whether it is 1 in the last of them.
func Decimals(step *big.Rat) (n int, one bool) {
	v := new(big.Rat).Set(step)
	for n = 0; n < 15 && !v.IsInt(); n++ {
		v.Mul(v, big.NewRat(10, 1))
	}
	return n, v.IsInt() && v.Num().Cmp(big.NewInt(1)) == 0
}

// UnitOf gives what one of a unit is in SI units, and its zero.
func UnitOf(u show.Unit) (scale, offset float64) {
	scale = 1
	if u.Ratio != nil {
		scale, _ = u.Ratio.Float64()
	}
	if u.Pi {
		scale *= 3.141592653589793
	}
	if u.Offset != nil {
		offset, _ = u.Offset.Float64()
	}
	return scale, offset
}

func dated(a expr, spec *show.Spec) (string, error) {
	serial := add(a.times(1.0/secondsOfDay), constant(epoch), 1)
	n := serial.say(loosest)
	switch spec.Word {
	case "weekday":
		s := `"Sunday"`
		for i, day := range []string{"Saturday", "Friday", "Thursday", "Wednesday", "Tuesday", "Monday"} {
			s = fmt.Sprintf(`IF(WEEKDAY(%s,2)=%d,"%s",%s)`, n, 6-i, day, s)
		}
		return s, nil
	case "date":
		return fmt.Sprintf(`TEXT(%s,"yyyy-mm-dd")`, n), nil
	}
	seconds := fmt.Sprintf("ROUND(%s,0)", add(a, constant(epoch*secondsOfDay), 1).say(loosest))
	day := seconds + "/86400"
	return fmt.Sprintf(`TEXT(%s,"yyyy-mm-dd")&IF(MOD(%s,86400)=0,"","T"&TEXT(%s,IF(MOD(%s,60)=0,"hh:mm","hh:mm:ss")))`, day, seconds, day, seconds), nil
}
