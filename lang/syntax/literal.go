package syntax

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"github.com/alecthomas/participle/v2/lexer"
)

// numberOf makes a number out; its text was checked by the scanner.
func numberOf(text string, at Span) NumberText {
	n := NumberText{Span: at, Value: new(big.Rat)}
	text = strings.ReplaceAll(text, "_", "")
	if i, err := strconv.ParseInt(text, 10, 64); err == nil {
		n.Value.SetInt64(i)
		return n
	}
	n.Value.SetString(text)
	return n
}

// inRange tells whether a number can be held as a value. An exponent out of all reason is not worked out.
func inRange(text string) bool {
	text = strings.ReplaceAll(text, "_", "")
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		if e, err := strconv.Atoi(strings.TrimPrefix(text[i+1:], "+")); err != nil || e > 1000 || e < -1000 {
			return false
		}
	} else if len(text) < 300 {
		return true
	}
	f, err := strconv.ParseFloat(text, 64)
	return err == nil && (f != 0 || isZero(text))
}

// isZero tells whether every digit before the exponent is 0.
func isZero(text string) bool {
	mantissa, _, _ := strings.Cut(strings.ToLower(text), "e")
	return strings.Trim(mantissa, "0.") == ""
}

func (c *climber) tightTo(t *lexer.Token) bool { return t.Pos.Offset == c.last }

func whole(t *lexer.Token) bool { return t.Type == tNumber && !strings.ContainsAny(t.Value, ".eE") }

// unitFollows tells whether the n-th token ahead can be a unit, or is an inch or foot mark.
func (c *climber) unitFollows(n int) bool {
	t := c.ahead(n)
	return t.Type == tInch || t.Type == tFoot || word(t) != "" && !reserved[t.Value] && !soft[t.Value]
}

// literal reads a number with its units (rulings 3 to 8).
func (c *climber) literal(tight string) (*Quantity, error) {
	start := c.lex.Peek().Pos.Offset
	q := &Quantity{}
	for {
		p, err := c.part(tight, len(q.Parts) > 0)
		if err != nil {
			return nil, err
		}
		q.Parts = append(q.Parts, p)
		q.Span = span(start, c.last)
		if c.lex.Peek().Value == "%" && c.lex.Peek().Type == tOp {
			if err := c.percent(q, p); err != nil {
				return nil, err
			}
			return q, nil
		}
		more, err := c.partFollows(p)
		if err != nil {
			return nil, err
		}
		if !more {
			return q, c.behindUnit(q)
		}
		tight = ""
	}
}

func (c *climber) percent(q *Quantity, p QuantityPart) error {
	t := c.lex.Peek()
	if p.Unit != nil || p.Mark != "" || len(q.Parts) > 1 {
		return refuse(where(t), "A percent sign stands behind a bare number.", "Write 8%.")
	}
	if !c.tightTo(t) {
		return refuse(span(q.Span.From, t.Pos.Offset+1), "The percent sign stands tight behind its number.", fmt.Sprintf("Write %s%%.", p.Number.written()))
	}
	c.next()
	q.Percent = true
	q.Span.To = c.last
	return nil
}

// partFollows tells whether the literal goes on with a smaller unit: `6 ft 2 3/8 in`, `5'-3"`.
func (c *climber) partFollows(p QuantityPart) (bool, error) {
	if p.Unit == nil && p.Mark == "" {
		return false, nil
	}
	t := c.lex.Peek()
	if n := c.ahead(1); p.Mark == "'" && signAt(t) == "-" && (n.Type == tNumber || n.Type == tVulgar) {
		before, behind := c.tightTo(t), n.Pos.Offset == t.Pos.Offset+len(t.Value)
		switch {
		case before && behind:
			c.next()
			return true, c.marked()
		case behind:
			return false, refuse(where(t), "This can be read in two ways.", "Write 5'-3\" tight to join feet and inches, or 5' - 3\" with a blank on both sides to subtract.")
		}
		return false, nil
	}
	if t.Type != tNumber && t.Type != tVulgar {
		return false, nil
	}
	if p.Mark == "'" {
		return true, c.marked()
	}
	if p.Mark == `"` {
		return false, nil
	}
	save, last := c.lex.MakeCheckpoint(), c.last
	_, err := c.number("")
	follows := err == nil && c.unitFollows(0)
	c.lex.LoadCheckpoint(save)
	c.last = last
	if !follows {
		return false, nil // told as a missing sign
	}
	return true, nil
}

// marked refuses `5' 3`: behind feet a number needs its mark.
func (c *climber) marked() error {
	save, last := c.lex.MakeCheckpoint(), c.last
	t := c.lex.Peek()
	_, err := c.number("")
	ok := err != nil || c.unitFollows(0)
	end := c.last
	c.lex.LoadCheckpoint(save)
	c.last = last
	if !ok {
		return refuse(span(t.Pos.Offset, end), "Behind feet a number needs its mark: these could be inches, or something else.", "Write 5' 3\" for inches.")
	}
	return nil
}

// part reads one number with its unit.
func (c *climber) part(tight string, later bool) (QuantityPart, error) {
	var p QuantityPart
	first := c.lex.Peek()
	n, err := c.number(tight)
	if err != nil {
		return p, err
	}
	p.Number = n
	t := c.lex.Peek()
	switch {
	case t.Type == tFoot && c.tightTo(t):
		c.next()
		p.Mark = "'"
		return p, nil
	case t.Type == tInch && c.tightTo(t):
		c.next()
		p.Mark = `"`
		return p, nil
	case word(t) == "" || reserved[t.Value] || soft[t.Value]:
		return p, nil
	}
	after := c.ahead(1)
	if by := timesLetter(t, after); by != "" {
		return p, refuse(where(t), "The letter x is no sign for \"times\".", fmt.Sprintf("Write %s * %s.", first.Value, by))
	}
	if signAt(after) == "(" && after.Pos.Offset == t.Pos.Offset+len(t.Value) {
		return p, refuse(where(t), fmt.Sprintf("Between %s and %s(…) a sign is missing.", first.Value, t.Value), fmt.Sprintf("Is it missing *? Write %s * %s(…).", first.Value, t.Value))
	}
	if tight == "/" && !later && !c.tightTo(t) {
		text := n.written()
		return p, refuse(span(c.signAt, t.Pos.Offset+len(t.Value)), "This can be read in two ways.",
			fmt.Sprintf("Write \"/ %s %s\" with blanks around the sign to divide by %s %s, or put the fraction in a bracket of its own, \"(…/%s) * 1 %s\".", text, t.Value, text, t.Value, text, t.Value))
	}
	p.Unit, err = c.unit(false)
	return p, err
}

// timesLetter finds the number of `3 x 4`, `3x4` and `3 X 4`; it is empty where the x may be a unit.
func timesLetter(t, after *lexer.Token) string {
	if t.Value != "" && t.Value[0] != 'x' && t.Value[0] != 'X' {
		return ""
	}
	if rest := t.Value[1:]; rest != "" {
		if t.Type != tUnit && strings.Trim(rest, "0123456789") == "" {
			return rest
		}
		return ""
	}
	if after.Type == tNumber || after.Type == tVulgar {
		return after.Value
	}
	return ""
}

// written gives a number as text, a mixed number as `1 3/4`.
func (n NumberText) written() string {
	if n.Den == 0 {
		if n.Value.IsInt() {
			return n.Value.RatString()
		}
		f, _ := n.Value.Float64()
		return strconv.FormatFloat(f, 'g', -1, 64)
	}
	num := new(big.Int).Div(new(big.Int).Mul(n.Value.Num(), big.NewInt(n.Den)), n.Value.Denom())
	whole, rest := new(big.Int).DivMod(num, big.NewInt(n.Den), new(big.Int))
	if whole.Sign() == 0 {
		return fmt.Sprintf("%d/%d", rest, n.Den)
	}
	return fmt.Sprintf("%d %d/%d", whole, rest, n.Den)
}

// number reads a number as written: `430`, `3/4`, `1 3/4`, `½`, `5½`. A tight fraction is a literal only where a unit
// or inch mark follows, or as part of a mixed number.
func (c *climber) number(tight string) (NumberText, error) {
	t := c.next()
	if t.Type == tVulgar {
		return c.vulgar(nil, t)
	}
	if !inRange(t.Value) {
		return NumberText{}, refuse(where(t), "This number is too large or too small for a value.", "Values lie between 1e-300 and 1e300.")
	}
	n := numberOf(t.Value, where(t))
	a := c.lex.Peek()
	switch {
	case whole(t) && len(t.Value) <= 3 && whole(a) && len(a.Value) == 3 && !c.tightTo(a) && signAt(c.ahead(1)) != "/":
		return n, refuse(span(t.Pos.Offset, a.Pos.Offset+3), "A blank does not part thousands.", fmt.Sprintf("Write %s%s, or %s_%s.", t.Value, a.Value, t.Value, a.Value))
	case a.Type == tVulgar && whole(t):
		c.next()
		return c.vulgar(&n, a)
	case whole(t) && a.Type == tNumber && !c.tightTo(a) && whole(a):
		if slash, den := c.ahead(1), c.ahead(2); fraction(a, slash, den) {
			return c.mixed(n, a)
		}
	case signAt(a) == "/" && c.tightTo(a):
		den := c.ahead(1)
		if whole(t) && fraction(t, a, den) && c.unitFollows(2) {
			if tight != "" {
				return n, c.twoWays(t, den, c.ahead(2), tight)
			}
			c.next()
			c.next()
			return over(n, den, span(t.Pos.Offset, c.last))
		}
	case whole(t) && signAt(a) == "-" && c.tightTo(a):
		num, slash, den := c.ahead(1), c.ahead(2), c.ahead(3)
		if num.Pos.Offset == a.Pos.Offset+len(a.Value) && fraction(num, slash, den) && c.unitFollows(4) {
			return n, refuse(span(t.Pos.Offset, den.Pos.Offset+len(den.Value)), "This can be read in two ways.",
				fmt.Sprintf("Write \"%s %s/%s\" for the mixed number, or \"%s - %s/%s\" with blanks to subtract.", t.Value, num.Value, den.Value, t.Value, num.Value, den.Value))
		}
	}
	return n, nil
}

// fraction tells whether three tokens are whole, slash, whole, all tight.
func fraction(num, slash, den *lexer.Token) bool {
	return whole(num) && signAt(slash) == "/" && slash.Pos.Offset == num.Pos.Offset+len(num.Value) && whole(den) &&
		den.Pos.Offset == slash.Pos.Offset+len(slash.Value)
}

func (c *climber) twoWays(num, den, unit *lexer.Token, tight string) error {
	f, u := num.Value+"/"+den.Value, " "+unit.Value
	if unit.Type == tInch || unit.Type == tFoot {
		u = unit.Value
	}
	return refuse(span(c.signAt, den.Pos.Offset+len(den.Value)), "This can be read in two ways.",
		fmt.Sprintf("Write \"%s %s%s\" with blanks around the sign for the fraction %s, or blanks around every sign, \"%s %s / %s%s\".", tight, f, u, f, tight, num.Value, den.Value, u))
}

func over(n NumberText, den *lexer.Token, at Span) (NumberText, error) {
	d, err := strconv.ParseInt(strings.ReplaceAll(den.Value, "_", ""), 10, 64)
	if err != nil || d == 0 {
		return n, refuse(where(den), "A fraction cannot have this denominator.", "Write a whole number other than 0.")
	}
	return NumberText{Span: at, Value: new(big.Rat).Quo(n.Value, new(big.Rat).SetInt64(d)), Den: d}, nil
}

func (c *climber) mixed(n NumberText, num *lexer.Token) (NumberText, error) {
	c.next()
	c.next()
	den := c.next()
	f, err := over(numberOf(num.Value, where(num)), den, span(n.Span.From, c.last))
	if err != nil {
		return n, err
	}
	f.Value.Add(f.Value, n.Value)
	return f, nil
}

func (c *climber) vulgar(n *NumberText, t *lexer.Token) (NumberText, error) {
	r := []rune(t.Value)[0]
	f := NumberText{Span: where(t), Value: big.NewRat(vulgar[r][0], vulgar[r][1]), Den: vulgar[r][1]}
	if n != nil {
		f.Value.Add(f.Value, n.Value)
		f.Span.From = n.Span.From
	}
	return f, nil
}

// behindUnit refuses signs that stand tight on one side only behind a unit (ruling 7).
func (c *climber) behindUnit(q *Quantity) error {
	last := q.Parts[len(q.Parts)-1]
	if last.Unit == nil {
		return nil
	}
	t := c.lex.Peek()
	op := signAt(t)
	n := c.ahead(1)
	before, behind := c.tightTo(t), n.Pos.Offset == t.Pos.Offset+len(t.Value)
	if op == "-" && before && behind && whole(n) && !c.unitFollows(2) {
		f := last.Unit.Factors[len(last.Unit.Factors)-1]
		return refuse(span(t.Pos.Offset, n.Pos.Offset+len(n.Value)), "A power of a unit is written with the sign ^.",
			fmt.Sprintf("Write %s^-%s for the power; blanks around the minus subtract.", f.Name.Name, n.Value))
	}
	if op != "/" && op != "*" || before == behind {
		return nil
	}
	what := n.Value
	switch {
	case n.Type == tNumber || n.Type == tVulgar:
		u := c.ahead(2)
		if word(u) == "" || reserved[u.Value] || soft[u.Value] {
			return nil
		}
		return refuse(span(t.Pos.Offset, u.Pos.Offset+len(u.Value)), "This can be read in two ways.",
			fmt.Sprintf("Write \" %s %s %s\" with blanks on both sides of the sign for the value %s %s.", op, what, u.Value, what, u.Value))
	case word(n) == "" || reserved[what]:
		return nil
	}
	if a := c.ahead(2); signAt(a) == "(" && a.Pos.Offset == n.Pos.Offset+len(what) {
		return nil
	}
	return refuse(span(t.Pos.Offset, n.Pos.Offset+len(what)), "This can be read in two ways.",
		fmt.Sprintf("Write \"%s%s\" tight for a unit, or \" %s %s\" with blanks on both sides for the value %s.", op, what, op, what, what))
}
