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

// tooLarge tells whether a number leaves the range of values, or its exponent would make exact work endless.
func tooLarge(text string) bool {
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		e, err := strconv.Atoi(strings.TrimPrefix(text[i+1:], "+"))
		if err != nil || e > 310 || e < -330 {
			return true
		}
	}
	return false
}

func (c *climber) tightTo(t *lexer.Token) bool { return t.Pos.Offset == c.last }

func whole(t *lexer.Token) bool { return t.Type == tNumber && !strings.ContainsAny(t.Value, ".eE") }

// unitFollows tells whether the n-th token ahead can be a unit, or is an inch or foot mark.
func (c *climber) unitFollows(n int) bool {
	t := c.ahead(n)
	return t.Type == tInch || t.Type == tFoot || word(t) != "" && !reserved[t.Value] && !soft[t.Value]
}

// literal reads a number with its units (rulings 3 to 8).
func (c *climber) literal() (*Quantity, error) {
	tight := c.tight
	c.tight = ""
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
		more, err := c.partFollows(p, q.Span)
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
		return refuse(span(q.Span.From, t.Pos.Offset+1), "The percent sign stands tight behind its number.", "Write 8%.")
	}
	c.next()
	q.Percent = true
	q.Span.To = c.last
	return nil
}

// partFollows tells whether the literal goes on with a smaller unit: `6 ft 2 3/8 in`, `5'-3"`.
func (c *climber) partFollows(p QuantityPart, so Span) (bool, error) {
	if p.Unit == nil && p.Mark == "" {
		return false, nil
	}
	t := c.lex.Peek()
	if p.Mark == "'" && signAt(t) == "-" && c.tightTo(t) {
		if n := c.ahead(1); (n.Type == tNumber || n.Type == tVulgar) && n.Pos.Offset == t.Pos.Offset+len(t.Value) {
			c.next()
			return true, c.marked(so)
		}
	}
	if t.Type != tNumber && t.Type != tVulgar {
		return false, nil
	}
	if p.Mark == "'" {
		return true, c.marked(so)
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
func (c *climber) marked(so Span) error {
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
	_ = so
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
	if (t.Value == "x" || t.Value == "X") && (after.Type == tNumber || after.Type == tVulgar) {
		return p, refuse(where(t), "The letter x is no sign for \"times\".", fmt.Sprintf("Write %s * %s.", first.Value, after.Value))
	}
	if signAt(after) == "(" && after.Pos.Offset == t.Pos.Offset+len(t.Value) {
		return p, refuse(where(t), fmt.Sprintf("Between %s and %s(…) a sign is missing.", first.Value, t.Value), fmt.Sprintf("Is it missing *? Write %s * %s(…).", first.Value, t.Value))
	}
	if tight == "/" && !later && !c.tightTo(t) {
		return p, refuse(span(first.Pos.Offset-1, t.Pos.Offset+len(t.Value)), "This can be read in two ways.",
			fmt.Sprintf("Write \"/ %s %s\" with blanks around the sign to divide by %s %s, or put the fraction in a bracket of its own, \"(…/%s) * 1 %s\".", first.Value, t.Value, first.Value, t.Value, first.Value, t.Value))
	}
	p.Unit, err = c.unit()
	return p, err
}

// number reads a number as written: `430`, `3/4`, `1 3/4`, `½`, `5½`. A tight fraction is a literal only where a unit
// or inch mark follows, or as part of a mixed number.
func (c *climber) number(tight string) (NumberText, error) {
	t := c.next()
	if t.Type == tVulgar {
		return c.vulgar(nil, t)
	}
	if tooLarge(t.Value) {
		return NumberText{}, refuse(where(t), "This number is too large or too small for a value.", "Values lie between 1e-300 and 1e300.")
	}
	n := numberOf(t.Value, where(t))
	a := c.lex.Peek()
	switch {
	case a.Type == tVulgar:
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
				return n, c.twoWays(t, den, tight)
			}
			c.next()
			c.next()
			return over(n, den, span(t.Pos.Offset, c.last))
		}
	case signAt(a) == "-" && c.tightTo(a):
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

func (c *climber) twoWays(num, den *lexer.Token, tight string) error {
	f := num.Value + "/" + den.Value
	return refuse(span(num.Pos.Offset-1, den.Pos.Offset+len(den.Value)), "This can be read in two ways.",
		fmt.Sprintf("Write \"%s %s\" with blanks around the sign for the fraction %s, or blanks around every sign, \"%s %s / %s\".", tight, f, f, tight, num.Value, den.Value))
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
		return refuse(span(t.Pos.Offset, n.Pos.Offset+len(n.Value)), "A power of a unit is written with the sign for powers.",
			fmt.Sprintf("Write m^-2 for a power, here ^-%s; blanks around the minus subtract.", n.Value))
	}
	if op != "/" && op != "*" || before == behind || word(n) == "" || reserved[n.Value] {
		return nil
	}
	if a := c.ahead(2); signAt(a) == "(" && a.Pos.Offset == n.Pos.Offset+len(n.Value) {
		return nil
	}
	return refuse(span(t.Pos.Offset, n.Pos.Offset+len(n.Value)), "This can be read in two ways.",
		fmt.Sprintf("Write \"%s%s\" tight for a unit, or \" %s %s\" with blanks on both sides for the value %s.", op, n.Value, op, n.Value, n.Value))
}
