package check

import (
	"fmt"
	"slices"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// sought is a text that is looked for in a column, by a condition that `only` must find a row for.
type sought struct {
	column, text program.Reg
	name         string // of the column, as written
}

// seeks gives the conditions of a call of `only` that look for a text in a column. What they find is put in when they are
// compiled: where no row is left, the text that never occurs is told with it, and no notice besides.
func (b *builder) seeks(f *catalogue.Func, x *syntax.Call) []*sought {
	if f.Special != catalogue.Only || len(x.Args) != 1 {
		return nil
	}
	filter, ok := x.Args[0].Expr.(*syntax.Filter)
	if !ok {
		return nil
	}
	var out []*sought
	for _, term := range terms(filter.Cond) {
		if e, ok := term.(*syntax.Compare); ok && len(e.Ops) == 1 && e.Ops[0] == "==" {
			if b.sought == nil {
				b.sought = map[*syntax.Compare]*sought{}
			}
			b.sought[e] = &sought{column: program.None}
			out = append(out, b.sought[e])
		}
	}
	return out
}

// tellSought gives a call of `only` what it tells where it finds no row: columns, texts, and what the columns are called.
func (b *builder) tellSought(y operand, list []*sought) {
	list = slices.DeleteFunc(list, func(s *sought) bool { return s.column == program.None })
	last := len(b.prog.Code) - 1
	if y.bad || len(list) == 0 || last < 0 || b.prog.Code[last].Out != y.reg {
		return
	}
	in := &b.prog.Code[last]
	for _, s := range list {
		name := b.constant(value.Column{Text: []string{s.name}, N: 1}, kind.Type{Form: kind.Text}, y.at)
		in.Args = append(in.Args, s.column, s.text, name.reg)
	}
	b.rows.spread(b.prog, in)
}

// compareTexts looks at the texts of a comparison: at a literal that the column it is compared with never holds.
func (b *builder) compareTexts(e *syntax.Compare, terms []operand) {
	for i := range e.Ops {
		x, y := terms[i], terms[i+1]
		if x.t.Form != kind.Text {
			return
		}
		if y.t.List {
			x, y = y, x
		}
		if s := b.sought[e]; s != nil && x.t.List && !y.t.List {
			*s = sought{x.reg, y.reg, b.words(x.at)}
			continue
		}
		b.neverOccurs(x, y)
		b.neverOccurs(y, x)
	}
}

// neverOccurs tells where a literal text is compared with a column that never holds it.
func (b *builder) neverOccurs(col, lit operand) {
	c, ok := b.consts[col.reg]
	if held := b.literals[col.reg]; held != nil {
		c, ok = *held, true
	}
	if !ok || !col.t.List || lit.text == nil || slices.Contains(c.Text, *lit.text) {
		return
	}
	text := fmt.Sprintf("The text %q never occurs in %s.", *lit.text, b.words(col.at))
	if near := diag.Nearest(*lit.text, c.Text); near != "" {
		text += " " + near
	}
	b.notice(lit.at, text)
}
