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
	var columns []literals
	failed := false
	for i, h := range t.Heads {
		for _, g := range t.Heads[:i] {
			if strings.EqualFold(g.Name.Name, h.Name.Name) {
				return b.fail(h.Name.Span, twice("column", g.Name.Name, h.Name.Name), "Give one of them another name.")
			}
		}
		c, ok := b.column(t, i, h)
		if !ok {
			failed = true
			continue
		}
		typ.Fields = append(typ.Fields, kind.Field{Name: h.Name.Name, Type: c.t})
		spec.Fields = append(spec.Fields, c.spec)
		columns = append(columns, c)
	}
	if failed {
		return bad(t.Span)
	}
	y := b.rowsOfLiterals(t, typ, columns)
	y.spec = spec
	return y
}

// rowsOfLiterals makes the rows of a table in a rule: a constant, unless a place of it is open.
func (b *builder) rowsOfLiterals(t *syntax.Table, typ kind.Type, columns []literals) operand {
	rows := value.Column{N: len(t.Rows)}
	open := false
	for _, c := range columns {
		rows.Fields = append(rows.Fields, c.values)
		open = open || len(c.open) > 0
	}
	if !open {
		return b.constant(rows, typ, t.Name.Span)
	}
	in := program.Instr{Op: program.MakeRows, A: program.None, B: program.None, C: program.None}
	for i, c := range columns {
		x := b.constant(c.values, c.t.ListOf(), t.Name.Span)
		if len(c.open) > 0 {
			x = b.openPlaces(t, t.Heads[i], x, c.open)
		}
		in.Args = append(in.Args, x.reg)
	}
	return b.emit(in, typ, t.Name.Span)
}

// openPlaces leaves rows of a column open (ruling 26): what rests on them waits, what rests on the others does not.
func (b *builder) openPlaces(t *syntax.Table, h *syntax.Head, x operand, open []int32) operand {
	name := t.Name.Name + "." + h.Name.Name
	if n := len(b.frames); n > 0 {
		name += " of the rule " + b.frames[n-1].rule.Name
	}
	in := program.Instr{Op: program.Scatter, A: x.reg, B: program.None, C: program.None, Aux: int32(len(b.prog.Loops))}
	b.prog.Loops = append(b.prog.Loops, program.Loop{At: open, Self: -1})
	for _, i := range open {
		waits := b.emit(program.Instr{Op: program.OpenAsk, A: program.None, B: program.None, C: program.None, Aux: b.word(name)}, x.t.Elem(), t.Rows[i].Span)
		in.Args = append(in.Args, waits.reg)
	}
	return b.emit(in, x.t, h.Name.Span)
}

// literals is a column of a table in a rule: what it holds, and in which rows nothing yet.
type literals struct {
	t      kind.Type
	spec   *show.Spec
	values value.Column
	open   []int32
}

// column reads one column of literals: one kind, bare numbers in the unit of the heading, empty places open.
func (b *builder) column(t *syntax.Table, i int, h *syntax.Head) (literals, bool) {
	col := literals{values: value.Column{N: len(t.Rows)}}
	known, zeros := false, false
	if h.Shown != nil {
		if col.t, col.spec, known = b.typeOfBracket(h.Shown); !known {
			b.mistake(h.Shown.Span, "The bracket of this column cannot be read.", "Write a unit, as [mm].")
			return col, false
		}
	}
	values := make([]value.Column, len(t.Rows))
	for k, r := range t.Rows {
		if r.Cells[i] == nil {
			col.open = append(col.open, int32(k))
			continue
		}
		x, ok := b.rowPlace(r, i, h)
		if !ok {
			return col, false
		}
		if x.zero && known && col.t.Form == kind.Number {
			x.t = col.t
		}
		if zeros && x.t.Form == kind.Number { // zeros take the kind that comes
			col.t, col.spec = x.t, x.spec
		}
		zeros = x.zero && (zeros || !known)
		if !known {
			col.t, col.spec, known = x.t, x.spec, true
		}
		if !x.t.Same(col.t) {
			b.otherKind(r.Cells[i], h, col.t, x)
			return col, false
		}
		values[k] = b.consts[x.reg]
	}
	if !known {
		b.mistake(h.Name.Span, fmt.Sprintf("The column %s has no value and no unit.", h.Name.Name), "Put its unit behind the name, as height [mm].")
		return col, false
	}
	for _, v := range values {
		if v.Len() == 0 {
			appendBlank(&col.values, col.t)
		}
		col.values.Num = append(col.values.Num, v.Num...)
		col.values.Text = append(col.values.Text, v.Text...)
	}
	if col.spec == nil {
		col.spec = b.s.usual(col.t)
	}
	return col, true
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
		_, isRule := b.s.findRule(name)
		if f, ok := b.s.c.lib.Func(name); ok {
			isRule = f.Holds != ""
		}
		if !isRule && !isAsk {
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
