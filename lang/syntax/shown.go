package syntax

import (
	"fmt"
	"strings"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"
)

// participle's hook wants interface types.
type (
	shownNode interface{ shownNode() }
	textNode  interface{ textNode() }
)

func (*Shown) shownNode() {}
func (*Text) textNode()   {}

// shownBracket is the production for how a value is shown (ruling 15).
func shownBracket(lex *lexer.PeekingLexer) (shownNode, error) {
	if lex.Peek().Value != "[" {
		return nil, participle.NextMatch
	}
	c := &climber{lex: lex}
	s, err := c.shown()
	if err != nil {
		return nil, err
	}
	return s, nil
}

func (c *climber) shown() (*Shown, error) {
	open := c.next()
	s := &Shown{}
	for {
		if err := c.shownPart(s); err != nil {
			return nil, err
		}
		t := c.lex.Peek()
		s.Span = span(open.Pos.Offset, c.last)
		switch signAt(t) {
		case ",":
			if s.Step != nil || s.Word != "" || s.Percent || len(s.Units) == 0 {
				return nil, refuse(where(t), "A step stands on the smallest unit, the last one.", "Write [ft, 1/8 in].")
			}
			c.next()
			continue
		case "]":
			c.next()
			s.Span = span(open.Pos.Offset, c.last)
			return s, nil
		}
		return nil, refuse(where(t), "This bracket does not say how a value is shown.", "Write [kg], [0.1 kg], [1/16 in], [ft, 1/8 in], [%], [0.01] or [date].")
	}
}

func (c *climber) shownPart(s *Shown) error {
	t := c.lex.Peek()
	if t.Value == "]" {
		return refuse(where(t), "This bracket is empty.", "Write the unit in it, as [kg], or leave it out.")
	}
	if w := word(t); len(s.Units) == 0 && s.Step == nil {
		after := c.ahead(1)
		switch {
		case (w == "date" || w == "weekday" || w == "text") && after.Value == "]":
			c.next()
			s.Word = w
			return nil
		case w == "yes" && after.Value == "/" && c.ahead(2).Value == "no":
			c.next()
			c.next()
			c.next()
			s.Word = "yes/no"
			return nil
		}
	}
	if t.Type == tNumber || t.Type == tVulgar {
		n, err := c.step()
		if err != nil {
			return err
		}
		if n.Value.Sign() <= 0 {
			return refuse(n.Span, "A step is larger than 0.", "Write [0.1 kg].")
		}
		s.Step = &n
		t = c.lex.Peek()
	}
	switch {
	case t.Value == "%" && t.Type == tOp && len(s.Units) == 0:
		c.next()
		s.Percent = true
		return nil
	case t.Type == tInch && c.tightTo(t):
		c.next()
		s.Units = append(s.Units, &Unit{Span: where(t), Factors: []UnitFactor{{Span: where(t), Name: Ident{Name: "in", Span: where(t)}, Num: 1, Den: 1}}})
		return nil
	case word(t) != "" && !reserved[t.Value]:
		u, err := c.unit(false)
		if err != nil {
			return err
		}
		s.Units = append(s.Units, u)
		return nil
	case s.Step != nil && len(s.Units) == 0:
		return nil
	}
	return refuse(where(t), fmt.Sprintf("A unit is expected here, not %s.", quoted(t.Value)), "Write [kg], [0.1 kg], [1/16 in], [ft, 1/8 in], [%], [0.01] or [date].")
}

// step reads a number; in this bracket a tight fraction always is one.
func (c *climber) step() (NumberText, error) {
	t := c.lex.Peek()
	if slash, den := c.ahead(1), c.ahead(2); fraction(t, slash, den) {
		c.next()
		c.next()
		c.next()
		return over(numberOf(t.Value, where(t)), den, span(t.Pos.Offset, c.last))
	}
	return c.number("")
}

// textProduction is the production for a text where nothing else may stand.
func textProduction(lex *lexer.PeekingLexer) (textNode, error) {
	if t := lex.Peek(); t.Type != tText && t.Type != tTextOpen {
		return nil, participle.NextMatch
	}
	c := &climber{lex: lex}
	t, err := c.text()
	if err != nil {
		return nil, err
	}
	return t, nil
}

// text reads a text with its expressions (ruling 22).
func (c *climber) text() (*Text, error) {
	if err := c.enter(); err != nil {
		return nil, err
	}
	defer c.leave()
	t := c.next()
	x := &Text{Span: where(t)}
	x.add(t)
	for t.Type == tTextOpen || t.Type == tTextMid {
		p := TextPiece{Span: where(c.lex.Peek())}
		if n := c.lex.Peek(); n.Type == tTextMid || n.Type == tTextEnd {
			return nil, refuse(where(t), "Nothing stands inside these braces.", "Write a value in them, or {{ for a brace.")
		}
		e, _, err := c.expr(levelIf)
		if err != nil {
			return nil, err
		}
		p.Expr = e
		if c.lex.Peek().Value == "[" {
			if p.Shown, err = c.shown(); err != nil {
				return nil, err
			}
		}
		p.Span.To = c.last
		x.Pieces = append(x.Pieces, p)
		if n := c.lex.Peek(); n.Type != tTextMid && n.Type != tTextEnd {
			if err := c.ends(); err != nil {
				return nil, err
			}
			return nil, refuse(where(n), "The brace inside this text is not closed.", "Put } behind the value.")
		}
		t = c.next()
		x.add(t)
		x.Span.To = c.last
	}
	return x, nil
}

// add appends the words of a token of a text.
func (x *Text) add(t *lexer.Token) {
	w := t.Value[1:]
	if t.Type == tText || t.Type == tTextOpen || t.Type == tTextMid || t.Type == tTextEnd {
		w = w[:len(w)-1]
	}
	w = strings.NewReplacer(`""`, `"`, "{{", "{").Replace(w)
	if w != "" {
		x.Pieces = append(x.Pieces, TextPiece{Words: w, Span: where(t)})
	}
}

// limits reads what may stand behind a whole input: ± and from … to (ruling 16).
func (c *climber) limits(e Expr) (Expr, error) {
	t := c.lex.Peek()
	op := signAt(t)
	isFrom := word(t) == "from"
	if op != "±" && op != "±s" && !isFrom {
		return e, nil
	}
	if _, ok := e.(*Quantity); !ok {
		return nil, refuse(where(t), "Limits stand on a whole input only, not on a formula.", "Give the input a line of its own, as depth = 430 ± 3 mm.")
	}
	c.next()
	l := &Limits{Middle: e}
	var err error
	switch {
	case isFrom:
		if l.From, err = c.signedLiteral(); err != nil {
			return nil, err
		}
		if n := c.lex.Peek(); word(n) != "to" {
			return nil, refuse(where(n), "Uneven limits are written from … to ….", "Write 430 mm from 429 mm to 432 mm.")
		}
		c.next()
		l.To, err = c.signedLiteral()
	case op == "±":
		l.Half, err = c.signedLiteral()
	default:
		if l.Std, err = c.signedLiteral(); err == nil {
			err = c.dof(l)
		}
	}
	if err != nil {
		return nil, err
	}
	if n := c.lex.Peek(); n.Value == "(" && word(c.ahead(1)) == "dof" {
		return nil, refuse(where(n), "Degrees of freedom belong to a standard uncertainty.", "Write 430 mm ±s 1 mm (dof 18).")
	}
	if n := c.lex.Peek(); binding(n) >= 0 {
		return nil, refuse(where(n), "Limits stand on a whole input only, not inside a formula.", "Give the input a line of its own, as depth = 430 ± 3 mm.")
	}
	l.Span = span(e.Where().From, c.last)
	return l, nil
}

func (c *climber) signedLiteral() (Expr, error) {
	t := c.lex.Peek()
	neg := signAt(t) == "-"
	if neg {
		c.next()
	}
	if n := c.lex.Peek(); n.Type != tNumber && n.Type != tVulgar {
		return nil, refuse(where(n), "Limits are written as numbers with their unit.", "Write 430 mm ± 3 mm.")
	}
	q, err := c.literal("")
	if err != nil {
		return nil, err
	}
	q.Neg = neg
	if neg {
		q.Span.From = t.Pos.Offset
	}
	return q, nil
}

func (c *climber) dof(l *Limits) error {
	if c.lex.Peek().Value != "(" || word(c.ahead(1)) != "dof" {
		return nil
	}
	c.next()
	c.next()
	t := c.next()
	if t.Type != tNumber {
		return refuse(where(t), "Degrees of freedom are a number.", "Write (dof 18).")
	}
	n := numberOf(t.Value, where(t))
	l.Dof = &n
	if t := c.next(); t.Value != ")" {
		return refuse(where(t), "This bracket is not closed.", "Write (dof 18).")
	}
	return nil
}
