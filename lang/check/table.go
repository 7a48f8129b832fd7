package check

import (
	"fmt"
	"strings"

	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// table makes the rows of a table of literals, of a rule or of a sheet.
func (b *builder) table(t *syntax.Table) operand {
	if t.From != nil || len(t.Formulas) > 0 {
		return b.fail(t.Name.Span, "A table in a rule holds literal rows: this one has a file or a column formula.", "Give the rule what is needed of it as a parameter.")
	}
	if len(t.Heads) == 0 {
		return b.fail(t.Name.Span, fmt.Sprintf("The table %s has no heading.", t.Name.Name), "Write the names of its columns with bars between them.")
	}
	typ := kind.Type{Form: kind.Record, List: true}
	spec := &show.Spec{Form: kind.Record}
	rows := value.Column{N: len(t.Rows)}
	failed := false
	for i, h := range t.Heads {
		for _, g := range t.Heads[:i] {
			if strings.EqualFold(g.Name.Name, h.Name.Name) {
				return b.fail(h.Name.Span, twice("column", g.Name.Name, h.Name.Name), "Give one of them another name.")
			}
		}
		ct, cs, col, ok := b.column(t, i, h)
		if !ok {
			failed = true
			continue
		}
		typ.Fields = append(typ.Fields, kind.Field{Name: h.Name.Name, Type: ct})
		spec.Fields = append(spec.Fields, cs)
		rows.Fields = append(rows.Fields, col)
	}
	if failed {
		return bad(t.Span)
	}
	y := b.constant(rows, typ, t.Name.Span)
	y.spec = spec
	return y
}

// column reads one column of literals: one kind, bare numbers in the unit of the heading.
func (b *builder) column(t *syntax.Table, i int, h *syntax.Head) (kind.Type, *show.Spec, value.Column, bool) {
	var typ kind.Type
	var spec *show.Spec
	col := value.Column{N: len(t.Rows)}
	known, zeros := false, false
	if h.Shown != nil {
		var ok bool
		if typ, spec, ok = b.typeOfBracket(h.Shown); !ok {
			b.mistake(h.Shown.Span, "The bracket of this column cannot be read.", "Write a unit, as [mm].")
			return typ, spec, col, false
		}
		known = true
	}
	for _, r := range t.Rows {
		x, ok := b.rowPlace(r, i, h)
		if !ok {
			return typ, spec, col, false
		}
		if x.zero && known && typ.Form == kind.Number {
			x.t = typ
		}
		if zeros && x.t.Form == kind.Number { // zeros take the kind that comes
			typ, spec = x.t, x.spec
		}
		zeros = x.zero && (zeros || !known)
		if !known {
			typ, spec, known = x.t, x.spec, true
		}
		if !x.t.Same(typ) {
			b.otherKind(r.Cells[i], h, typ, x)
			return typ, spec, col, false
		}
		c := b.consts[x.reg]
		col.Num = append(col.Num, c.Num...)
		col.Text = append(col.Text, c.Text...)
	}
	if !known {
		b.mistake(h.Name.Span, fmt.Sprintf("The column %s has no value and no unit.", h.Name.Name), "Put its unit behind the name, as height [mm].")
		return typ, spec, col, false
	}
	if spec == nil {
		spec = b.s.usual(typ)
	}
	return typ, spec, col, true
}

// inUnit gives a bare number of a row the unit of its heading.
func inUnit(e syntax.Expr, h *syntax.Head) syntax.Expr {
	q, ok := e.(*syntax.Quantity)
	if !ok || h.Shown == nil || len(q.Parts) != 1 || q.Parts[0].Unit != nil || q.Parts[0].Mark != "" || q.Percent {
		return e
	}
	full := *q
	if len(h.Shown.Units) == 0 {
		full.Percent = h.Shown.Percent // 8 below [%] is 8%, in a sheet as in a file
		return &full
	}
	full.Parts = []syntax.QuantityPart{{Number: q.Parts[0].Number, Unit: h.Shown.Units[0]}}
	return &full
}

// literal reads what stands in a row. A text there is taken as it stands, and not filled in (ruling 22).
func (b *builder) literal(e syntax.Expr) operand {
	t, ok := e.(*syntax.Text)
	if !ok {
		return b.expr(e)
	}
	words := strings.TrimSuffix(strings.TrimPrefix(b.src.Cut(t.Span), `"`), `"`)
	return b.text(&syntax.Text{Span: t.Span, Pieces: []syntax.TextPiece{{Words: strings.ReplaceAll(words, `""`, `"`), Span: t.Span}}})
}

// otherKind refuses a value in a column of another kind (ruling 26).
func (b *builder) otherKind(e syntax.Expr, h *syntax.Head, t kind.Type, x operand) {
	way := "Give it a column of its own."
	switch {
	case x.bare && t.Form != kind.Text && t.Form != kind.Truth:
		way = "Does it lack its unit?"
	case t.Form == kind.Text:
		way = "A text stands in quotation marks."
	}
	b.mistake(e.Where(), fmt.Sprintf("The column %s holds %s; this is %s.", h.Name.Name, t.Article(), x.t.Article()), way)
}

// rowPlace reads one literal of a row.
func (b *builder) rowPlace(r *syntax.Row, i int, h *syntax.Head) (operand, bool) {
	e := inUnit(r.Cells[i], h)
	if e == nil {
		b.mistake(r.Span, fmt.Sprintf("The place of %s is empty.", h.Name.Name), "Write the value.")
		return operand{}, false
	}
	x := b.literal(e)
	if x.bad {
		return x, false
	}
	if _, ok := b.consts[x.reg]; !ok || x.t.List {
		b.mistake(e.Where(), "Only literals stand in the rows of a table in a rule.", "Work the value out.")
		return x, false
	}
	return x, true
}

// ask settles an open cell: its answer, else its assumed value, else nothing yet.
func (s *Sheet) ask(c *Cell, st *syntax.Ask, b *builder) {
	b.begin(s, c.Source)
	t, spec, known := b.typeOfBracket(st.Shown)
	if st.Shown != nil && !known {
		if len(st.Shown.Units) > 0 {
			b.unit(st.Shown.Units[0], true)
		}
		if len(b.messages) == 0 {
			b.mistake(st.Shown.Span, "This bracket does not say what is asked for.", "Write a unit, [date], [text] or [yes/no].")
		}
		b.conclude(c, bad(st.Span), nil)
		return
	}
	var x operand
	value := func(e syntax.Expr) operand {
		y := b.expr(e)
		if q, ok := e.(*syntax.Quantity); ok && known && spec.Percent && !q.Percent && y.bare && !y.zero && !y.bad {
			return b.fail(q.Span, fmt.Sprintf("%s is asked for in %%; is %s meant, or %s%%?", c.Name, b.words(q.Span), b.words(q.Span)), fmt.Sprintf("Write %s%%, or ask for a plain number, [1].", b.words(q.Span)))
		}
		if y.bad || !known {
			return y
		}
		return b.argument("ask", c.Name, y, t, true, "", false)
	}
	var assumed, given operand
	if st.Assume != nil {
		assumed = value(st.Assume)
	}
	if st.Given != nil {
		given = value(st.Given)
	}
	switch {
	case st.Given != nil:
		x, c.Answer = given, Given
	case st.Assume != nil:
		x, c.Answer = assumed, AssumedOnly
		if !x.bad {
			y := b.emit(program.Instr{Op: program.Assumed, A: x.reg, B: program.None, C: program.None, Aux: b.word(c.Path())}, x.t, st.Span)
			y.spec = x.spec
			x = y
		}
	case !known:
		x = b.fail(st.Name.Span, fmt.Sprintf("It is not said what %s is measured in.", c.Name), fmt.Sprintf("Write ask %s [mm]; [date], [text] and [yes/no] ask for others.", c.Name))
	default:
		x = b.emit(program.Instr{Op: program.OpenAsk, A: program.None, B: program.None, C: program.None, Aux: b.word(c.Path())}, t, st.Span)
	}
	if !x.bad && spec != nil {
		x.spec = spec
	}
	b.conclude(c, x, nil)
}

func (b *builder) word(w string) int32 {
	b.prog.Words = append(b.prog.Words, w)
	return int32(len(b.prog.Words) - 1)
}

// accept answers the flags of named causes: asks and rules (ruling 33).
func (b *builder) accept(x operand, a *syntax.Accept) operand {
	info := program.Acceptance{Why: plainText(a.Why)}
	for _, p := range a.Causes {
		t := b.s.follow(p.Names, b.look)
		isAsk := t.cell != nil && t.used == len(p.Names) && t.cell.Role == Ask
		name := b.src.Cut(p.Span)
		if isAsk {
			name = t.cell.Path()
		}
		if _, isRule := b.s.findRule(name); !isRule && !isAsk {
			b.mistake(p.Span, fmt.Sprintf("%s is neither an open cell nor a rule, so that it raises no flag.", name), "Name the ask or the rule whose flag is answered.")
			return bad(a.Span)
		}
		info.Causes = append(info.Causes, name)
	}
	b.prog.Accepts = append(b.prog.Accepts, info)
	y := b.emit(program.Instr{Op: program.Accept, A: x.reg, B: program.None, C: program.None, Aux: int32(len(b.prog.Accepts) - 1)}, x.t, a.Span)
	y.spec, y.shownPct = x.spec, x.shownPct
	return y
}
