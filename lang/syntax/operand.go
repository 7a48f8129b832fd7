package syntax

import (
	"fmt"
	"math/big"

	"github.com/alecthomas/participle/v2/lexer"
)

// date reads a date, and refuses a time of day that is not joined to it, and zones.
func (c *climber) date() (*DateLit, error) {
	t := c.next()
	s, hasTime, _ := parseDate(t.Value)
	n := c.lex.Peek()
	switch {
	case n.Type == tNumber && signAt(c.ahead(1)) == ":":
		clock := n.Value + ":" + c.ahead(2).Value
		if _, _, ok := parseDate(t.Value + "T" + clock); !ok {
			clock = "07:30"
		}
		return nil, refuse(where(n), "Between a date and its time of day stands a T.", fmt.Sprintf("Write %sT%s.", t.Value, clock))
	case c.tightTo(n) && word(n) != "" && !reserved[n.Value]:
		return nil, refuse(where(n), "A date has no time zone and no unit.", "A time of day is written 2027-03-01T07:30.")
	}
	return &DateLit{Span: where(t), Seconds: s, HasTime: hasTime}, nil
}

func (c *climber) named() (Expr, int, error) {
	t := c.next()
	switch t.Value {
	case "yes", "no":
		return c.postfix(&TruthLit{Span: where(t), Yes: t.Value == "yes"}, 1)
	}
	if reserved[t.Value] {
		return nil, 0, refuse(where(t), fmt.Sprintf("A value is expected here, not the word %s.", quoted(t.Value)), "This word cannot name a cell.")
	}
	n := c.lex.Peek()
	if signAt(n) != "(" {
		return c.postfix(&Name{Span: where(t), Name: nfc(t.Value)}, 1)
	}
	if n.Pos.Offset != c.last {
		return nil, 0, refuse(where(n), fmt.Sprintf("Between %s and the bracket a sign is missing.", t.Value),
			fmt.Sprintf("Is it missing *? Write %s * (…), or, for a rule, %s(…) with the bracket tight behind the name.", t.Value, t.Value))
	}
	args, h, err := c.arguments()
	if err != nil {
		return nil, 0, err
	}
	at := span(t.Pos.Offset, c.last)
	if h, err = deeper(at, h); err != nil {
		return nil, 0, err
	}
	return c.postfix(&Call{Span: at, Name: ident(t), Args: args}, h)
}

// maxArguments is how many values one list or call may hold.
const maxArguments = 100_000

// arguments reads the bracket of a call: places first, then names.
func (c *climber) arguments() ([]*Argument, int, error) {
	open := c.next()
	var args []*Argument
	h := 0
	if c.lex.Peek().Value == ")" {
		c.next()
		return nil, 0, nil
	}
	for {
		a := &Argument{}
		start := c.lex.Peek()
		if n := word(start); n != "" && signAt(c.ahead(1)) == ":" {
			if reserved[n] {
				return nil, 0, refuse(where(start), fmt.Sprintf("The word %s cannot name a place.", quoted(n)), "It belongs to the language; help shows the places of a rule.")
			}
			a.Name = ident(start)
			c.next()
			c.next()
		} else if len(args) > 0 && args[len(args)-1].Name.Name != "" {
			return nil, 0, refuse(where(start), "A value without a name stands before the named ones.", "Name it, as name: value, or move it to the front.")
		}
		x, hx, err := c.expr(levelIf)
		if err != nil {
			return nil, 0, err
		}
		a.Expr, a.Span = x, span(start.Pos.Offset, c.last)
		h = max(h, hx)
		args = append(args, a)
		if len(args) > maxArguments {
			return nil, 0, refuse(where(open), fmt.Sprintf("A call holds at most %d values.", maxArguments), "Use a table.")
		}
		done, err := c.separator(open)
		if err != nil || done {
			return args, h, err
		}
	}
}

// separator reads a comma, or the closing bracket (done).
func (c *climber) separator(open *lexer.Token) (done bool, err error) {
	t := c.lex.Peek()
	switch signAt(t) {
	case ",":
		c.next()
		if c.lex.Peek().Value == ")" {
			return false, refuse(where(t), "Behind this comma a value is missing.", "Write the value, or leave the comma out.")
		}
		return false, nil
	case ")":
		c.next()
		return true, nil
	}
	if err := c.ends(); err != nil {
		return false, err
	}
	if t.Type == tEOF {
		return false, refuse(where(open), "This bracket is not closed.", "Put \")\" where it ends.")
	}
	if t.Value == "[" {
		return false, refuse(where(t), "How a value is shown stands at the end of the line, not inside a bracket.", "Leave it out here.")
	}
	return false, refuse(where(t), fmt.Sprintf("A comma or the closing bracket is expected here, not %s.", quoted(t.Value)), "Values in a bracket are parted by commas.")
}

// bracket reads `(a)` or a list.
func (c *climber) bracket() (Expr, int, error) {
	open := c.next()
	if c.lex.Peek().Value == ")" {
		c.next()
		return nil, 0, refuse(span(open.Pos.Offset, c.last), "An empty bracket holds no value.", "Write the value in it.")
	}
	var items []Expr
	h := 0
	for {
		x, hx, err := c.expr(levelIf)
		if err != nil {
			return nil, 0, err
		}
		items = append(items, x)
		h = max(h, hx)
		if len(items) > maxArguments {
			return nil, 0, refuse(where(open), fmt.Sprintf("A list holds at most %d values.", maxArguments), "Use a table.")
		}
		done, err := c.separator(open)
		if err != nil {
			return nil, 0, err
		}
		if done {
			break
		}
	}
	at := span(open.Pos.Offset, c.last)
	h, err := deeper(at, h)
	if err != nil {
		return nil, 0, err
	}
	if len(items) == 1 {
		return c.postfix(&Paren{Span: at, Inner: items[0]}, h)
	}
	return c.postfix(&List{Span: at, Items: items}, h)
}

// postfix reads fields and raised figures, and refuses what stands behind an operand without a sign.
func (c *climber) postfix(x Expr, h int) (Expr, int, error) {
	for {
		t := c.lex.Peek()
		switch {
		case signAt(t) == "(":
			return nil, 0, refuse(where(t), "Before this bracket a sign is missing.", "Is it missing *? A rule's bracket stands tight behind its name.")
		case t.Type == tSuper && t.Pos.Offset == c.last:
			return c.raised(x, h)
		case signAt(t) != ".":
			return x, h, nil
		}
		if _, number := x.(*Quantity); number {
			return nil, 0, refuse(where(t), "A field follows a name, not a number.", "Write the name of the cell.")
		}
		n := c.ahead(1)
		if t.Pos.Offset == c.last && n.Pos.Offset == t.Pos.Offset+1 && reserved[n.Value] {
			return nil, 0, refuse(where(n), fmt.Sprintf("The word %s names no field.", quoted(n.Value)), "It belongs to the language.")
		}
		if t.Pos.Offset != c.last || n.Pos.Offset != t.Pos.Offset+1 || word(n) == "" || reserved[n.Value] {
			return nil, 0, refuse(where(t), "A field stands tight behind its dot, and the dot tight behind the name.", "Write piece.volume.")
		}
		c.next()
		c.next()
		var err error
		if h, err = deeper(where(n), h); err != nil {
			return nil, 0, err
		}
		x = &Field{Span: x.Where().Join(where(n)), Of: x, Name: ident(n)}
	}
}

// raised reads x² as x^2.
func (c *climber) raised(x Expr, h int) (Expr, int, error) {
	t := c.next()
	n, ok := superNumber(t.Value)
	if !ok {
		return nil, 0, refuse(where(t), "This power cannot be read.", "Write it as x^2.")
	}
	if k := c.lex.Peek(); signAt(k) == "^" || k.Type == tSuper {
		return nil, 0, refuse(where(k), "A power of a power is written with brackets.", "Write (x^2)^3, or x^(2^3).")
	}
	q := &Quantity{Span: where(t), Neg: n < 0, Parts: []QuantityPart{{Number: NumberText{Span: where(t), Value: big.NewRat(int64(max(n, -n)), 1)}}}}
	h, err := deeper(where(t), h)
	return &Binary{Span: x.Where().Join(where(t)), Op: "^", OpAt: where(t), X: x, Y: q}, h, err
}

func ident(t *lexer.Token) Ident { return Ident{Name: nfc(t.Value), Span: where(t)} }
