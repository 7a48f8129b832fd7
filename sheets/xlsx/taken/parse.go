package taken

import (
	"errors"
	"fmt"
	"strings"
)

// maxNesting is how deep brackets, functions and signs may nest. A workbook takes 64 levels of functions.
const maxNesting = 250

// parser reads worksheet formulas (ISO/IEC 29500-1, 18.17.2).
type parser struct {
	toks  []token
	at    int
	depth int
}

// parse reads a formula without its sign =. The error says in words why it cannot be read.
func parse(formula string) (node, error) {
	toks, err := scan(formula)
	if err != nil {
		return nil, err
	}
	p := &parser{toks: toks}
	n, err := p.binary(0)
	if err != nil {
		return nil, err
	}
	if p.peek().kind != tEnd {
		return nil, fmt.Errorf("%q stands where the formula should end", p.peek().text)
	}
	return n, nil
}

func (p *parser) peek() token { return p.toks[p.at] }

func (p *parser) is(sign string) bool { return p.peek().kind == tSign && p.peek().text == sign }

func (p *parser) take(sign string) bool {
	if p.is(sign) {
		p.at++
		return true
	}
	return false
}

// levels are the operators between two values, loosest first. All are read from left to right, ^ too.
var levels = [][]string{{"=", "<>", "<", "<=", ">", ">="}, {"&"}, {"+", "-"}, {"*", "/"}, {"^"}}

func (p *parser) binary(level int) (node, error) {
	if level == len(levels) {
		return p.percent()
	}
	a, err := p.binary(level + 1)
	if err != nil {
		return nil, err
	}
	for {
		op := ""
		for _, o := range levels[level] {
			if p.is(o) {
				op = o
			}
		}
		if op == "" {
			return a, nil
		}
		p.at++
		b, err := p.binary(level + 1)
		if err != nil {
			return nil, err
		}
		a = binary{op, a, b}
	}
}

// percent reads a value with the signs before it, which bind tighter than ^, and the % behind it.
func (p *parser) percent() (node, error) {
	n, err := p.signed()
	for err == nil && p.take("%") {
		n = unary{"%", n}
	}
	return n, err
}

func (p *parser) signed() (node, error) {
	p.depth++
	defer func() { p.depth-- }()
	if p.depth > maxNesting {
		return nil, fmt.Errorf("it nests deeper than %d levels", maxNesting)
	}
	for _, op := range []string{"-", "+", "@"} {
		if !p.take(op) {
			continue
		}
		x, err := p.signed()
		if err != nil || op != "-" {
			return x, err
		}
		return unary{"-", x}, nil
	}
	return p.ranged()
}

// ranged reads a:b.
func (p *parser) ranged() (node, error) {
	a, err := p.primary()
	if err != nil {
		return nil, err
	}
	for p.is(":") {
		p.at++
		b, err := p.primary()
		if err != nil {
			return nil, err
		}
		if a, err = span(a, b); err != nil {
			return nil, err
		}
	}
	if t := p.peek(); t.spaced && (t.kind == tWord || t.kind == tSheet) {
		return nil, errors.New("it takes what two ranges have in common")
	}
	return a, nil
}

// span is the rectangle from one reference to another.
func span(a, b node) (node, error) {
	x, ok := a.(ref)
	y, ok2 := b.(ref)
	if !ok || !ok2 {
		return nil, errors.New("it makes a range of something that is no cell")
	}
	if y.sheet != "" && !strings.EqualFold(x.sheet, y.sheet) {
		return nil, errors.New("it makes a range over several worksheets")
	}
	y.sheet = x.sheet
	if x.col > y.col {
		x.col, y.col, x.fixedCol, y.fixedCol = y.col, x.col, y.fixedCol, x.fixedCol
	}
	if x.row > y.row {
		x.row, y.row, x.fixedRow, y.fixedRow = y.row, x.row, y.fixedRow, x.fixedRow
	}
	return area{x, y}, nil
}

func (p *parser) primary() (node, error) {
	t := p.peek()
	p.at++
	switch t.kind {
	case tNumber:
		return p.numberOrRows(t)
	case tText:
		return words{t.text}, nil
	case tProblem:
		return problem{t.text}, nil
	case tSheet:
		if !p.take("!") {
			return nil, errors.New("a name in quotation marks is no sheet")
		}
		return p.onSheet(t.text)
	case tPart:
		if len(p.toks) > p.at && (p.peek().kind == tWord || p.peek().kind == tSheet) && !p.peek().spaced {
			return nil, errors.New("it looks into another workbook")
		}
		return partOf("", t.text)
	case tWord:
		return p.word(t)
	case tSign:
		switch t.text {
		case "(":
			return p.brackets()
		case "{":
			return p.array()
		}
	case tEnd:
		p.at--
		return nil, errors.New("it ends where a value should stand")
	}
	return nil, fmt.Errorf("%q stands where a value should stand", t.text)
}

// numberOrRows reads 3:5 as rows, anything else as a number.
func (p *parser) numberOrRows(t token) (node, error) {
	if p.is(":") && p.toks[p.at+1].kind == tNumber {
		from, ok := rowNumber(t.text)
		to, ok2 := rowNumber(p.toks[p.at+1].text)
		if ok && ok2 {
			p.at += 2
			return area{ref{col: 1, row: min(from, to), fixedCol: true}, ref{col: lastCol, row: max(from, to), fixedCol: true}}, nil
		}
	}
	return number{t.value}, nil
}

func (p *parser) brackets() (node, error) {
	n, err := p.binary(0)
	if err != nil {
		return nil, err
	}
	if p.is(",") {
		return nil, errors.New("it joins several ranges into one")
	}
	if !p.take(")") {
		return nil, errors.New("a bracket is not closed")
	}
	return n, nil
}

// word reads what begins with a name: a function, a sheet, a reference, a table, a defined name.
func (p *parser) word(t token) (node, error) {
	next := p.peek()
	switch {
	case p.is("(") && !next.spaced:
		p.at++
		return p.call(t.text)
	case p.is("!"):
		p.at++
		return p.onSheet(t.text)
	case p.is(":") && p.toks[p.at+1].kind == tWord && p.toks[p.at+2].kind == tSign && p.toks[p.at+2].text == "!":
		return nil, errors.New("it reaches through several worksheets")
	case next.kind == tPart && !next.spaced:
		p.at++
		return partOf(t.text, next.text)
	}
	return p.cellOrName("", t.text)
}

// onSheet reads what stands behind a sheet's name and its !.
func (p *parser) onSheet(sheet string) (node, error) {
	if strings.Contains(sheet, "[") {
		return nil, errors.New("it looks into another workbook")
	}
	t := p.peek()
	p.at++
	switch t.kind {
	case tWord:
		return p.cellOrName(sheet, t.text)
	case tNumber:
		n, err := p.numberOrRows(t)
		if a, ok := n.(area); ok {
			a.from.sheet, a.to.sheet = sheet, sheet
			return a, err
		}
	case tProblem:
		return problem{t.text}, nil
	case tEnd:
		p.at--
	}
	return nil, errors.New("no cell stands behind the name of a worksheet")
}

func (p *parser) cellOrName(sheet, text string) (node, error) {
	if r, ok := cellRef(text); ok {
		r.sheet = sheet
		return r, nil
	}
	if p.is(":") && p.toks[p.at+1].kind == tWord {
		a, ok := columnRef(text)
		b, ok2 := columnRef(p.toks[p.at+1].text)
		if ok && ok2 {
			p.at += 2
			a.sheet, b.sheet = sheet, sheet
			a.row, b.row, a.fixedRow, b.fixedRow = 1, lastRow, true, true
			return span(a, b)
		}
	}
	switch strings.ToUpper(text) {
	case "TRUE":
		return truth{true}, nil
	case "FALSE":
		return truth{false}, nil
	}
	if strings.HasPrefix(text, "$") {
		return nil, fmt.Errorf("%s is no cell", text)
	}
	return named{sheet, text}, nil
}

func (p *parser) call(name string) (node, error) {
	name = strings.ToUpper(name)
	for _, prefix := range []string{"_XLFN.", "_XLWS.", "_XLUDF."} {
		name = strings.TrimPrefix(name, prefix)
	}
	c := call{name: name}
	if p.take(")") {
		return c, nil
	}
	for {
		if p.is(",") || p.is(")") {
			c.args = append(c.args, missing{})
		} else {
			a, err := p.binary(0)
			if err != nil {
				return nil, err
			}
			c.args = append(c.args, a)
		}
		if p.take(")") {
			return c, nil
		}
		if !p.take(",") {
			return nil, fmt.Errorf("the bracket of %s is not closed", name)
		}
	}
}

// array reads {1,2;3,4}: rows behind semicolons, values behind commas.
func (p *parser) array() (node, error) {
	a := array{rows: [][]node{nil}}
	for {
		n, err := p.signed()
		if err != nil {
			return nil, err
		}
		if u, ok := n.(unary); ok {
			if x, ok := u.x.(number); ok && u.op == "-" {
				n = number{-x.value}
			}
		}
		switch n.(type) {
		case number, words, truth, problem:
		default:
			return nil, errors.New("a list in braces holds more than plain values")
		}
		last := len(a.rows) - 1
		a.rows[last] = append(a.rows[last], n)
		switch {
		case p.take(","):
		case p.take(";"):
			a.rows = append(a.rows, nil)
		case p.take("}"):
			return a, nil
		default:
			return nil, errors.New("a list in braces is not closed")
		}
	}
}
