package syntax

import (
	"fmt"
	"strings"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"

	"castwright/lang/diag"
)

// Limits of one expression. Later passes walk a tree by recursion, so its depth is bounded as well as the nesting of
// the text: `1 + 1 + 1 …` nests nowhere and builds a deep tree.
const (
	maxNesting = 200
	maxDepth   = 1000
)

// climber reads one expression by precedence climbing, inside the grammar, through participle's hook for custom
// productions.
type climber struct {
	lex     *lexer.PeekingLexer
	nesting int
	last    int    // where the token read last ends
	tight   string // the binary sign right before the operand being read, where it stands tight to it
	signAt  int    // where that sign stands
}

// fault carries a message through participle.
type fault struct{ m *diag.Message }

func (f fault) Error() string { return f.m.Error() }

func (f fault) Message() string { return f.m.Text }

func (f fault) Position() lexer.Position { return lexer.Position{Offset: f.m.Span.From} }

var _ participle.Error = fault{}

func refuse(at Span, text, wayOut string) error { return fault{diag.New(nil, at, text, wayOut)} }

// Levels of binding, from loosest.
const (
	levelIf = iota
	levelWhere
	levelOr
	levelAnd
	levelNot
	levelCompare
	levelAdd
	levelMul
	levelNeg
	levelPow
)

// expression is the production for every place of the grammar where an expression stands.
func expression(lex *lexer.PeekingLexer) (Expr, error) {
	c := &climber{lex: lex, last: lex.Peek().Pos.Offset}
	e, _, err := c.expr(levelIf)
	if err != nil {
		return nil, err
	}
	if e, err = c.limits(e); err != nil {
		return nil, err
	}
	return e, c.ends()
}

// ends refuses what cannot follow an expression, in words of its own.
func (c *climber) ends() error {
	t := c.lex.Peek()
	at := where(t)
	switch t.Type {
	case tNumber, tVulgar, tDate, tText, tTextOpen:
		return c.signMissing(t)
	case tName, tUnit:
		if n := c.ahead(1); (t.Value == "x" || t.Value == "X") && (n.Type == tNumber || n.Type == tVulgar) {
			return refuse(at, "The letter x is no sign for \"times\".", fmt.Sprintf("Write * before %s.", n.Value))
		}
		if !soft[t.Value] && !reserved[t.Value] {
			return c.signMissing(t)
		}
	case tSuper:
		return refuse(at, "A raised figure stands tight behind a unit or a value.", "Write x^2.")
	case tFoot, tInch:
		return refuse(at, "A foot or inch mark stands tight behind its number.", "Write 5' 3 1/2\".")
	}
	switch op := signAt(t); {
	case op == "=" && (c.ahead(1).Value == "<" || c.ahead(1).Value == ">") && c.ahead(1).Pos.Offset == t.Pos.Offset+1:
		n := c.ahead(1)
		return refuse(span(at.From, at.To+1), fmt.Sprintf("The sign =%s is written the other way round.", n.Value), fmt.Sprintf("Write %s=.", n.Value))
	case op == "=":
		return refuse(at, "A single = does not compare: == compares.", "Write ==. A place of a call is named with a colon, as name: value.")
	case op == "(":
		return refuse(at, "Before this bracket a sign is missing.", "Is it missing *? A rule's bracket stands tight behind its name.")
	case op == "±" || op == "±s":
		return refuse(at, "Limits stand on a whole input only.", "Give the input a line of its own, as depth = 430 ± 3 mm.")
	case isCompare(op):
		return refuse(at, "Comparisons go on in one direction only, as 1 d <= age <= 28 d.", "Join two comparisons with \"and\".")
	case op == "%":
		return refuse(at, "The percent sign stands tight behind its number.", "Write 8%.")
	}
	return nil
}

// signMissing refuses a value that stands right behind another.
func (c *climber) signMissing(t *lexer.Token) error {
	return refuse(where(t), "Between this and what stands before it a sign is missing.", "Is it missing *? A unit stands behind its number, a rule's bracket tight behind its name.")
}

func where(t *lexer.Token) Span { return span(t.Pos.Offset, t.Pos.Offset+max(1, len(t.Value))) }

func (c *climber) next() *lexer.Token {
	t := c.lex.Next()
	c.last = t.Pos.Offset + len(t.Value)
	return t
}

// ahead looks n tokens ahead; 0 is the next.
func (c *climber) ahead(n int) *lexer.Token {
	save := c.lex.MakeCheckpoint()
	for range n {
		c.lex.Next()
	}
	t := c.lex.Peek()
	c.lex.LoadCheckpoint(save)
	return t
}

// signAt gives the plain sign if the token is one.
func signAt(t *lexer.Token) string {
	if t.Type != tOp {
		return ""
	}
	return operator(t.Value)
}

// quoted puts a word or sign of the text into a sentence. Texts bring their quotation marks with them.
func quoted(s string) string {
	if strings.Contains(s, `"`) {
		return s
	}
	return `"` + s + `"`
}

func word(t *lexer.Token) string {
	if t.Type == tName || t.Type == tUnit {
		return t.Value
	}
	return ""
}

// enter guards every way to nest: a text cannot make the reader's stack grow without bound.
func (c *climber) enter() error {
	c.nesting++
	if c.nesting > maxNesting {
		return refuse(where(c.lex.Peek()), fmt.Sprintf("This nests deeper than %d levels of brackets and signs.", maxNesting), "Give the inner parts cells of their own.")
	}
	return nil
}

func (c *climber) leave() { c.nesting-- }

func deeper(at Span, heights ...int) (int, error) {
	h := 0
	for _, x := range heights {
		h = max(h, x)
	}
	if h++; h > maxDepth {
		return 0, refuse(at, fmt.Sprintf("This formula has more than %d steps one upon another.", maxDepth), "Split it into cells, or use sum over a list.")
	}
	return h, nil
}

// expr reads an expression that binds at least as tight as level. It gives the height of the tree too.
func (c *climber) expr(level int) (Expr, int, error) {
	if err := c.enter(); err != nil {
		return nil, 0, err
	}
	defer c.leave()
	if word(c.lex.Peek()) == "if" {
		return c.choice(level)
	}
	x, h, err := c.prefix(level)
	if err != nil {
		return nil, 0, err
	}
	return c.infix(x, h, level)
}

func (c *climber) choice(level int) (Expr, int, error) {
	start := c.next()
	if level > levelIf {
		return nil, 0, refuse(where(start), "An \"if\" inside another expression stands in brackets.", "Write (if … then … else …).")
	}
	cond, h1, err := c.expr(levelIf)
	if err != nil {
		return nil, 0, err
	}
	if t := c.lex.Peek(); word(t) != "then" {
		if err := c.ends(); err != nil {
			return nil, 0, err
		}
		return nil, 0, refuse(where(t), "An \"if\" goes on with \"then\".", "Write: if … then … else ….")
	}
	c.next()
	yes, h2, err := c.expr(levelIf)
	if err != nil {
		return nil, 0, err
	}
	if t := c.lex.Peek(); word(t) != "else" {
		if err := c.ends(); err != nil {
			return nil, 0, err
		}
		return nil, 0, refuse(where(t), "An \"if\" needs an \"else\": a value for when it does not hold.", "Write: if … then … else ….")
	}
	c.next()
	no, h3, err := c.expr(levelIf)
	if err != nil {
		return nil, 0, err
	}
	at := span(start.Pos.Offset, c.last)
	h, err := deeper(at, h1, h2, h3)
	return &If{Span: at, Cond: cond, Then: yes, Else: no}, h, err
}

// prefix reads an operand with what stands before it.
func (c *climber) prefix(level int) (Expr, int, error) {
	tight := c.tight
	c.tight = "" // it is for the literal right behind the sign alone
	t := c.lex.Peek()
	switch {
	case word(t) == "not":
		c.next()
		if level > levelNot {
			return nil, 0, refuse(where(t), "A \"not\" behind a sign stands in brackets.", "Write (not …).")
		}
		x, h, err := c.expr(levelNot)
		if err != nil {
			return nil, 0, err
		}
		at := span(t.Pos.Offset, c.last)
		h, err = deeper(at, h)
		return &Unary{Span: at, Op: "not", X: x}, h, err
	case signAt(t) == "-":
		return c.minus(tight)
	case signAt(t) == "+":
		return nil, 0, refuse(where(t), "A plus sign stands between two values.", "Leave it out before a value.")
	}
	return c.operand(tight)
}

// minus reads `-x`. A tight minus before a number belongs to the number, unless a power follows (ruling 10).
func (c *climber) minus(tight string) (Expr, int, error) {
	t := c.next()
	n := c.lex.Peek()
	if (n.Type == tNumber || n.Type == tVulgar) && n.Pos.Offset == c.last {
		save, last := c.lex.MakeCheckpoint(), c.last
		q, err := c.literal(tight)
		if err != nil {
			return nil, 0, err
		}
		if signAt(c.lex.Peek()) != "^" {
			q.Neg = true
			q.Span.From = t.Pos.Offset
			return c.postfix(q, 1)
		}
		c.lex.LoadCheckpoint(save)
		c.last = last
	}
	x, h, err := c.expr(levelNeg)
	if err != nil {
		return nil, 0, err
	}
	at := span(t.Pos.Offset, c.last)
	h, err = deeper(at, h)
	return &Unary{Span: at, Op: "-", X: x}, h, err
}

func isCompare(op string) bool {
	switch op {
	case "==", "!=", "<", "<=", ">", ">=":
		return true
	}
	return false
}

// binding gives the level of a binary sign or word, or -1.
func binding(t *lexer.Token) int {
	switch t.Type {
	case tName, tUnit:
		switch t.Value {
		case "where":
			return levelWhere
		case "or":
			return levelOr
		case "and":
			return levelAnd
		}
	case tOp:
		switch op := operator(t.Value); op {
		case "+", "-":
			return levelAdd
		case "*", "/":
			return levelMul
		case "^":
			return levelPow
		default:
			if isCompare(op) {
				return levelCompare
			}
		}
	}
	return -1
}

// infix goes on with binary signs that bind at least as tight as level.
func (c *climber) infix(x Expr, h int, level int) (Expr, int, error) {
	for {
		t := c.lex.Peek()
		b := binding(t)
		if b < level || b < 0 {
			return x, h, nil
		}
		if b == levelCompare {
			var err error
			if x, h, err = c.compare(x, h); err != nil {
				return nil, 0, err
			}
			continue
		}
		before := c.last
		c.next()
		op := t.Value
		if t.Type == tOp {
			op = operator(op)
		}
		right := b + 1
		if op == "^" {
			right = levelNeg // right to left, and 2^-1 reads
		}
		if c.lex.Peek().Pos.Offset == c.last && (op == "*" || op == "/" || op == "^" || op == "-" && t.Pos.Offset == before) {
			c.tight, c.signAt = op, t.Pos.Offset
		}
		y, hy, err := c.expr(right)
		if err != nil {
			return nil, 0, err
		}
		at := x.Where().Join(y.Where())
		if h, err = deeper(where(t), h, hy); err != nil {
			return nil, 0, err
		}
		if op == "where" {
			x = &Filter{Span: at, List: x, Cond: y}
		} else {
			x = &Binary{Span: at, Op: op, OpAt: where(t), X: x, Y: y}
		}
	}
}

// compare reads a comparison, or a chain that goes in one direction.
func (c *climber) compare(x Expr, h int) (Expr, int, error) {
	e := &Compare{Terms: []Expr{x}}
	for {
		t := c.lex.Peek()
		op := signAt(t)
		if !isCompare(op) {
			break
		}
		if n := len(e.Ops); n > 0 && (e.Ops[0][0] != op[0] || op == "==" || op == "!=") {
			return nil, 0, refuse(where(t), "Comparisons go on in one direction only, as 1 d <= age <= 28 d.", "Join two comparisons with \"and\".")
		}
		c.next()
		y, hy, err := c.expr(levelAdd)
		if err != nil {
			return nil, 0, err
		}
		h = max(h, hy)
		e.Terms, e.Ops, e.OpsAt = append(e.Terms, y), append(e.Ops, op), append(e.OpsAt, where(t))
	}
	e.Span = x.Where().Join(e.Terms[len(e.Terms)-1].Where())
	h, err := deeper(e.Span, h, len(e.Ops))
	return e, h, err
}

// operand reads a literal, a name, a call, a bracket, and what follows it with a dot.
func (c *climber) operand(tight string) (Expr, int, error) {
	t := c.lex.Peek()
	switch t.Type {
	case tNumber, tVulgar:
		q, err := c.literal(tight)
		if err != nil {
			return nil, 0, err
		}
		return c.postfix(q, 1)
	case tDate:
		d, err := c.date()
		if err != nil {
			return nil, 0, err
		}
		return c.postfix(d, 1)
	case tText, tTextOpen:
		x, err := c.text()
		if err != nil {
			return nil, 0, err
		}
		return c.postfix(x, 1)
	case tName, tUnit:
		return c.named()
	case tOp:
		if t.Value == "(" {
			return c.bracket()
		}
	case tSuper:
		return nil, 0, refuse(where(t), "A raised figure stands behind a unit or a value.", "Write x^2.")
	}
	return nil, 0, c.noOperand(t)
}

func (c *climber) noOperand(t *lexer.Token) error {
	if t.Type == tEOF {
		at := span(max(0, c.last-1), max(1, c.last))
		return refuse(at, "A value is missing behind this.", "Write the value; a line goes on where it ends with a sign or a comma.")
	}
	switch t.Value {
	case "<":
		return refuse(where(t), "A value is expected here, not \"<\".", "\"At most\" is written <=, with the = last.")
	case "=":
		return refuse(where(t), "A single = does not compare: == compares.", "Write ==; \"at least\" is >=, \"at most\" is <=.")
	case "*":
		return refuse(where(t), "A value is expected here, not \"*\".", "A power is written with ^.")
	case ">":
		return refuse(where(t), "A value is expected here, not \">\".", "\"Differs from\" is written !=.")
	case "[":
		return refuse(where(t), "How a value is shown stands behind the value.", "Write the value first, as 430 mm [in].")
	}
	if t.Value == "." {
		return refuse(where(t), "A dot stands between a name and a field, or in a number.", "Write piece.volume, or 0.5.")
	}
	if t.Type == tOp && t.Value == "%" {
		return refuse(where(t), "The percent sign stands tight behind its number.", "Write 8%.")
	}
	return refuse(where(t), fmt.Sprintf("A value is expected here, not %s.", quoted(t.Value)), "A value is a number with its unit, a name, a text, a date, or a bracket.")
}
