package formula

import (
	"errors"
	"fmt"
	"strings"

	"castwright/lang/program"
)

// along says what looks along the rows of a table, for the row of the formula.
func (t *translator) along(in *program.Instr, a, b expr) (expr, error) {
	if a.list || a.sort == record {
		return expr{}, errors.New("it looks along a list outside its table")
	}
	switch in.Op {
	case program.Running:
		return t.running(in, a)
	case program.Before:
		if t.r.First {
			return b, nil
		}
		return shifted(a)
	}
	if t.r.First {
		return b, nil
	}
	above, err := shifted(a)
	return add(a, above, -1), err
}

// shifted is an expression in the row above.
func shifted(a expr) (expr, error) {
	out := a
	out.terms = nil
	for _, x := range a.terms {
		if strings.Contains(x.atom, Above) {
			return out, errors.New("it looks two rows up")
		}
		out.terms = append(out.terms, term{x.by, strings.ReplaceAll(x.atom, Here, Above), x.prec})
	}
	if strings.Contains(a.text, Above) {
		return out, errors.New("it looks two rows up")
	}
	out.text = strings.ReplaceAll(a.text, Here, Above)
	return out, nil
}

// running is the total so far: of a column by its cells down to this row, else by the row above where the formula is
// nothing but the total.
func (t *translator) running(in *program.Instr, a expr) (expr, error) {
	if s, ok := a.single(); ok {
		if column, ok := strings.CutSuffix(s.atom, Here); ok && isLetters(column) {
			return atom(fmt.Sprintf("SUM(%s$%d:%s)", column, t.r.FirstRow, s.atom), tightest).times(s.by), nil
		}
	}
	if in.Out != t.p.Out || t.r.Own == "" {
		return expr{}, errors.New("it takes a running total of what is worked out")
	}
	if t.r.First {
		return a, nil
	}
	own := add(atom(t.r.Own, tightest).times(t.r.Scale), constant(t.r.Offset), 1)
	return add(own, a, 1), nil
}

func isLetters(s string) bool {
	for _, r := range s {
		if r < 'A' || r > 'Z' {
			return false
		}
	}
	return s != ""
}
