package formula

import (
	"errors"
	"fmt"
	"strings"

	"castwright/lang/program"
	"castwright/lang/value"
)

// Cell says where a cell stands in a workbook, and how: SI = what it holds × Scale + Offset.
type Cell struct {
	Ref    string // "B5", "'Bench'!$B$5"; of a column its range, "'pours'!$B$2:$B$9"
	Row    string // of a column, the value in the row of the formula, with Here for the row's number: "B\x01"
	Class  program.Class
	Truth  bool
	List   bool
	Scale  float64
	Offset float64
	Plain  bool // of texts: without wildcards, and none alike but for case, so that SUMIFS finds the same rows
	Open   bool // it holds nothing yet, or, of a column, some of its rows do
	Fields []Cell
}

// Here and Above stand for the number of the row, and of the row above it, in the formula of a column.
const (
	Here  = "\x01"
	Above = "\x02"
)

// Result says how the result is held.
type Result struct {
	Scale, Offset float64
	Field         int    // of a record, which of its values
	Own           string // of a column that rests on itself: its value in the row above
	First         bool   // the formula of the first row, which has none above it
	FirstRow      int    // the number of that row
	Truth         bool   // yes or no, as words
	Condition     bool   // the condition itself is wanted, for a check
	List          bool   // the result is a list, of which a row is wanted
	Row           int    // which of them, from 0, where its items are written out, or other lists begin in other rows

	// Literals gives the range where a list of literals, the column of a table in a rule, stands.
	Literals func(v value.Column) string
}

// ErrFunction says that a formula calls a function that is no formula.
var ErrFunction = errors.New("it calls a function that a workbook does not have")

// Translate says a program over cells as a formula, without the sign =. The error says why it cannot be said.
func Translate(p *program.Program, inputs []Cell, r Result) (string, error) {
	if len(p.Code) > maxCode {
		return "", errors.New("it is too long")
	}
	guard := []string{}
	for _, c := range inputs {
		if c.Open && !c.List {
			guard = append(guard, c.Ref)
		}
	}
	t, err := translated(p, inputs, r)
	if err != nil {
		return "", err
	}
	out := t.regs[p.Out]
	if out.list {
		return "", errors.New("it is a list")
	}
	if out.sort == record && r.Field < len(out.fields) {
		out = out.fields[r.Field]
	}
	if out.sort == record {
		return "", errors.New("it holds several values")
	}
	if r.Truth && out.sort == number {
		out = asTruth(out)
	}
	if out.sort == number {
		out = add(out, constant(r.Offset), -1).times(1 / r.Scale)
	}
	if out.sort == truth && !r.Condition {
		out = textOf(fmt.Sprintf(`IF(%s,"yes","no")`, out.say(loosest)), tightest)
	}
	s := out.say(loosest)
	for _, ref := range unique(guard) {
		if !strings.Contains(s, ref) {
			continue
		}
		s = fmt.Sprintf("IF(ISBLANK(%s),NA(),%s)", ref, s)
	}
	if len(s) > maxFormula {
		return "", errors.New("it is too long")
	}
	return s, nil
}

const (
	maxCode    = 4000
	maxFormula = 8000 // a workbook takes 8,192 characters
)

func unique(list []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range list {
		if !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}

// translator works through a program; each register holds an expression.
type translator struct {
	p     *program.Program
	regs  []expr
	r     Result
	depth int
	whole *translator // of a row of a list: the same over whole lists

	lastNeed map[program.Reg]int
}

// translated works through a program.
func translated(p *program.Program, inputs []Cell, r Result) (*translator, error) {
	if r.List {
		return translateRow(p, inputs, r)
	}
	t := newTranslator(p, inputs, r)
	for _, k := range p.Consts {
		t.regs[k.Reg] = t.literal(k.Value, p.Regs[k.Reg])
	}
	return t, t.run(p.Code)
}

func newTranslator(p *program.Program, inputs []Cell, r Result) *translator {
	t := &translator{p: p, regs: make([]expr, len(p.Regs)), r: r, lastNeed: lastNeeds(p.Code)}
	for i, c := range inputs {
		t.regs[i] = t.input(c, p.Regs[i].List)
	}
	return t
}

// input is the expression of a cell.
func (t *translator) input(c Cell, list bool) expr {
	if len(c.Fields) > 0 {
		out := expr{sort: record, list: list && c.Fields[0].Row == ""}
		for _, f := range c.Fields {
			out.fields = append(out.fields, t.input(f, list))
		}
		if out.list {
			out.rows = c.Fields[0].Ref
		}
		return out
	}
	ref := c.Ref
	inRow := list && c.Row != "" // a column of the same table: in a formula of a column it stands for its value in the row
	if inRow {
		ref = c.Row
	}
	if inRow && c.Open { // an empty place counts as 0 there
		ref = fmt.Sprintf("IF(ISBLANK(%s),NA(),%s)", ref, ref)
	}
	var e expr
	switch {
	case c.Class == program.Text:
		e = textOf(ref, tightest)
	case c.Truth: // yes and no stand as words
		e = truthOf(ref+`="yes"`, comparison)
	default:
		e = add(atom(ref, tightest).times(c.Scale), constant(c.Offset), 1)
	}
	if list && !inRow {
		e.list, e.rows, e.plain = true, c.Ref, c.Plain
		if c.Open {
			e.blank = []string{c.Ref}
		}
	}
	return e
}

// literal is the expression of a constant.
func (t *translator) literal(v value.Column, r program.Register) expr {
	switch {
	case r.List && t.r.Literals == nil:
		return expr{list: true, sort: record}
	case r.List:
		return t.literals(v)
	case r.Class == program.Num && len(v.Num) == 1:
		return constant(v.Num[0])
	case r.Class == program.Text && len(v.Text) == 1:
		return textOf(Quoted(v.Text[0]), tightest)
	}
	out := expr{sort: record}
	for i := range v.Fields {
		f := v.Fields[i]
		class := program.Num
		if f.Text != nil {
			class = program.Text
		}
		out.fields = append(out.fields, t.literal(f, program.Register{Class: class}))
	}
	return out
}

// literals is the expression of a list of literals: a range of its own.
func (t *translator) literals(v value.Column) expr {
	out := expr{list: true, sort: record}
	switch {
	case len(v.Fields) > 0:
		for _, f := range v.Fields {
			out.fields = append(out.fields, t.literals(f))
		}
		out.rows = out.fields[0].rows
	case len(v.Num) > 0:
		ref := t.r.Literals(v)
		out = atom(ref, tightest)
		out.list, out.rows, out.still = true, ref, true
	case len(v.Text) > 0:
		ref := t.r.Literals(v)
		out = textOf(ref, tightest)
		out.list, out.rows, out.plain = true, ref, PlainTexts(v.Text)
	}
	return out
}

// PlainTexts tells whether a workbook finds the same texts as the language: no wildcards, no operators, none alike but for
// case.
func PlainTexts(texts []string) bool {
	seen := map[string]string{}
	for _, t := range texts {
		if t == "" || strings.ContainsAny(t, "*?~<>=") {
			return false
		}
		low := strings.ToLower(t)
		if old, ok := seen[low]; ok && old != t {
			return false
		}
		seen[low] = t
	}
	return true
}

// lastNeeds finds for each condition that a rule needs the last operation that looks at it: there the value is guarded, and
// not at each step before.
func lastNeeds(code []program.Instr) map[program.Reg]int {
	out := map[program.Reg]int{}
	for i, in := range code {
		if in.Op == program.Need {
			out[in.B] = i
		}
	}
	return out
}

// maxText is how long a text may be that stands in a formula: 255 characters (what readers' programs take), of which a sign
// may count as two.
const maxText = 127

// Quoted says a text; a long one in pieces that are joined.
func Quoted(s string) string {
	piece := func(r []rune) string { return `"` + strings.ReplaceAll(string(r), `"`, `""`) + `"` }
	r := []rune(s)
	if len(r) <= maxText {
		return piece(r)
	}
	var parts []string
	for ; len(r) > maxText; r = r[maxText:] {
		parts = append(parts, piece(r[:maxText]))
	}
	return "(" + strings.Join(append(parts, piece(r)), "&") + ")"
}

// asTruth reads a register of the class of numbers as a condition: a constant 0 or 1 is one too.
func asTruth(e expr) expr {
	if e.sort == truth {
		return e
	}
	if e.isConstant() {
		if e.rest != 0 {
			return truthOf("TRUE", tightest)
		}
		return truthOf("FALSE", tightest)
	}
	out := truthOf(e.say(comparison+1)+"<>0", comparison)
	out.list, out.rows, out.where, out.blank = e.list, e.rows, e.where, e.blank
	return out
}

func (t *translator) run(code []program.Instr) error {
	for i := range code {
		in := &code[i]
		if in.Op == program.Nop {
			continue
		}
		if in.Op == program.Need && t.lastNeed[in.B] != i {
			t.regs[in.Out] = t.reg(in.A)
			continue
		}
		e, err := t.do(in)
		if err != nil {
			return err
		}
		t.regs[in.Out] = e
	}
	return nil
}

// reg gives an operand.
func (t *translator) reg(r program.Reg) expr {
	if r < 0 {
		return expr{}
	}
	return t.regs[r]
}
