package syntax

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/alecthomas/participle/v2/lexer"
)

// unit reads a unit: a name with its power, and what stands tight behind it (rulings 3 and 7). Inside the brackets of a
// unit blanks may stand around the signs (loose).
func (c *climber) unit(loose bool) (*Unit, error) {
	u := &Unit{Span: where(c.lex.Peek())}
	slash := false
	f, err := c.factor(false)
	if err != nil {
		return nil, err
	}
	for {
		u.Factors = append(u.Factors, f)
		u.Span.To = c.last
		op, err := c.tail(u, slash, loose)
		if err != nil || op == "" {
			return u, err
		}
		c.next()
		slash = slash || op == "/"
		if f, err = c.factor(op == "/"); err != nil {
			return nil, err
		}
	}
}

// tail tells whether the unit goes on behind its last factor, by the sign that stands there.
func (c *climber) tail(u *Unit, slash, loose bool) (string, error) {
	t := c.lex.Peek()
	op := signAt(t)
	n := c.ahead(1)
	if op != "*" && op != "/" || !loose && (!c.tightTo(t) || n.Pos.Offset != t.Pos.Offset+len(t.Value)) {
		return "", nil
	}
	switch {
	case signAt(n) == "(":
		if !c.unitsAlone() {
			return "", nil
		}
	case word(n) == "" || reserved[n.Value] || soft[n.Value]:
		return "", nil
	default:
		a := c.ahead(2)
		if joined := a.Pos.Offset == n.Pos.Offset+len(n.Value); joined && (signAt(a) == "." || signAt(a) == "(") {
			return "", refuse(where(n), "What is written tight belongs to the unit, but this is a value.",
				fmt.Sprintf("Write the sign with blanks around it: \"%s %s%s…\".", op, n.Value, a.Value))
		}
	}
	if op == "*" && slash && (n.Type == tUnit || signAt(n) == "(") {
		return "", refuse(span(u.Span.From, n.Pos.Offset+len(n.Value)), "A * behind a slash can be read in two ways.",
			fmt.Sprintf("Put what stands below the slash in a bracket, as kg/(m*s), or write \"* %s\" with blanks around the sign.", strings.Replace(n.Value, "(", "(…)", 1)))
	}
	return op, nil
}

// unitsAlone tells whether the bracket behind the next sign holds units and nothing else: names of units with their
// powers, signs between them, and brackets of the same sort.
func (c *climber) unitsAlone() bool {
	save := c.lex.MakeCheckpoint()
	defer c.lex.LoadCheckpoint(save)
	c.lex.Next()
	depth, name := 0, true // name: a unit or a bracket is wanted next
	for {
		t := c.lex.Next()
		op := signAt(t)
		switch {
		case name && op == "(":
			depth++
		case name && t.Type == tUnit:
			name = false
			if !c.skipPower() {
				return false
			}
		case !name && op == ")":
			if depth--; depth == 0 {
				return true
			}
			if !c.skipPower() {
				return false
			}
		case !name && (op == "*" || op == "/"):
			name = true
		default:
			return false
		}
	}
}

// skipPower passes over a power, where one stands; it tells whether that can be one of a unit.
func (c *climber) skipPower() bool {
	t := c.lex.Peek()
	if t.Type == tSuper {
		c.lex.Next()
		return true
	}
	if signAt(t) != "^" {
		return true
	}
	c.lex.Next()
	t = c.lex.Next()
	if signAt(t) == "-" {
		t = c.lex.Next()
	}
	if signAt(t) != "(" {
		return t.Type == tNumber
	}
	for signAt(t) != ")" {
		if t = c.lex.Next(); t.Type != tNumber && signAt(t) != "/" && signAt(t) != "-" && signAt(t) != ")" {
			return false
		}
	}
	return true
}

// factor reads one unit name or bracketed group with its power.
func (c *climber) factor(isOver bool) (UnitFactor, error) {
	f := UnitFactor{Over: isOver, Num: 1, Den: 1}
	t := c.next()
	f.Span = where(t)
	if signAt(t) == "(" {
		if err := c.enter(); err != nil {
			return f, err
		}
		defer c.leave()
		inner, err := c.unit(true)
		if err != nil {
			return f, err
		}
		if close := c.next(); signAt(close) != ")" {
			return f, refuse(where(close), "This bracket inside a unit is not closed.", "Write a unit as 5 W/(m^2*K).")
		}
		f.Group = inner
	} else {
		if word(t) == "" {
			return f, refuse(where(t), fmt.Sprintf("A unit is expected here, not %s.", quoted(t.Value)), "Write a unit as kg/m^3.")
		}
		f.Name = ident(t)
	}
	err := c.power(&f)
	f.Span.To = c.last
	return f, err
}

func (c *climber) power(f *UnitFactor) error {
	t := c.lex.Peek()
	if t.Type == tSuper && c.tightTo(t) {
		c.next()
		n, ok := superNumber(t.Value)
		if !ok {
			return refuse(where(t), "This power cannot be read.", "Write it as ^2.")
		}
		f.Num, f.Powered = n, true
		return nil
	}
	if signAt(t) != "^" || !c.tightTo(t) {
		return nil
	}
	n := c.ahead(1)
	if n.Pos.Offset != t.Pos.Offset+1 || n.Type != tNumber && signAt(n) != "-" && signAt(n) != "(" {
		return nil // arithmetic
	}
	c.next()
	f.Powered = true
	if signAt(n) == "(" {
		return c.quotientPower(f, n)
	}
	var err error
	f.Num, err = c.wholePower()
	return err
}

// wholePower reads a whole number with its sign.
func (c *climber) wholePower() (int, error) {
	t := c.next()
	text := t.Value
	sign := 1
	if signAt(t) == "-" {
		sign = -1
		t = c.next()
		text = t.Value
	}
	n, err := strconv.Atoi(text)
	if !whole(t) || err != nil || n > 1000 {
		return 0, refuse(where(t), "A power of a unit is a whole number, or a quotient of two in a bracket.", "Write m^2, or psi^(1/2).")
	}
	return sign * n, nil
}

func (c *climber) quotientPower(f *UnitFactor, open *lexer.Token) error {
	c.next()
	var err error
	if f.Num, err = c.wholePower(); err != nil {
		return err
	}
	if signAt(c.lex.Peek()) == "/" {
		c.next()
		if f.Den, err = c.wholePower(); err != nil {
			return err
		}
	}
	if t := c.next(); signAt(t) != ")" || f.Den <= 0 {
		return refuse(span(open.Pos.Offset, c.last), "A power of a unit is a whole number, or a quotient of two in a bracket.", "Write m^2, or psi^(1/2).")
	}
	return nil
}

func superNumber(text string) (int, bool) {
	sign, n, digits := 1, 0, 0
	for i, r := range text {
		if r == '⁻' {
			if i > 0 {
				return 0, false
			}
			sign = -1
			continue
		}
		for d, s := range []rune(superDigits) {
			if s == r {
				n = n*10 + d
			}
		}
		digits++
	}
	return sign * n, digits > 0 && digits < 4
}
