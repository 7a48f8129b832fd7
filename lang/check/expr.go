package check

import (
	"fmt"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// maxDepth bounds the recursion over trees and the rules put into one another. A tree comes bounded from the reader,
// but each rule adds its own.
const maxDepth = 4000

// maxVisits is how many expressions one formula may hold when its rules are put in: rules that each call another twice
// double with every level.
const maxVisits = 100_000

// enter guards the recursion over expressions; false where it is too deep, which is told.
func (b *builder) enter(at diag.Span) bool {
	b.depth++
	if b.visits++; b.visits > maxVisits {
		if b.visits == maxVisits+1 {
			b.mistake(at, fmt.Sprintf("With its rules put in, this formula takes more than %d steps to read.", maxVisits), "Let its rules call fewer others, or give its parts cells of their own.")
		}
		return false
	}
	if b.depth > maxDepth {
		if b.depth == maxDepth+1 {
			b.mistake(at, "With its rules put in, this formula nests too deep.", "Give its parts cells of their own.")
		}
		return false
	}
	return true
}

// expr compiles an expression.
func (b *builder) expr(e syntax.Expr) operand {
	defer func() { b.depth-- }()
	if !b.enter(e.Where()) {
		return bad(e.Where())
	}
	x := b.bare(e)
	x.at = e.Where()
	return x
}

func (b *builder) bare(e syntax.Expr) operand {
	switch x := e.(type) {
	case *syntax.Quantity:
		q, _, ok := b.quantity(x)
		if !ok {
			return bad(x.Span)
		}
		return q
	case *syntax.DateLit:
		return b.num(float64(x.Seconds), kind.Type{Form: kind.Date}, x.Span)
	case *syntax.TruthLit:
		v := 0.0
		if x.Yes {
			v = 1
		}
		return b.num(v, kind.Type{Form: kind.Truth}, x.Span)
	case *syntax.Text:
		return b.text(x)
	case *syntax.Name:
		return b.name(x)
	case *syntax.Field:
		return b.field(x)
	case *syntax.Call:
		return b.call(x)
	case *syntax.List:
		return b.list(x)
	case *syntax.Paren:
		return b.paren(x)
	case *syntax.Unary:
		return b.unary(x)
	case *syntax.Binary:
		return b.binary(x)
	case *syntax.Compare:
		return b.compare(x)
	case *syntax.If:
		return b.choice(x)
	case *syntax.Filter:
		return b.filter(x)
	}
	return b.fail(e.Where(), "Limits stand on a whole input only.", "Give the input a line of its own, as depth = 430 ± 3 mm.")
}

func (b *builder) paren(x *syntax.Paren) operand {
	y := b.expr(x.Inner)
	y.zero = false
	return y
}

// name finds a name: a parameter or line of the rule, a cell, a constant.
func (b *builder) name(x *syntax.Name) operand {
	if len(b.scopes) > 0 {
		if y, ok := b.scoped(x.Name); ok {
			return y
		}
	} else if c := b.rows.column(x.Name); c != nil {
		return b.rowValue(c, x)
	} else if t := b.s.follow([]syntax.Ident{{Name: x.Name, Span: x.Span}}, b.look); t.cell != nil {
		return b.read(input{t.cell, false}, x.Span)
	} else if t.used == 1 {
		return b.fail(x.Span, fmt.Sprintf("%s is a sheet and no value.", x.Name), fmt.Sprintf("Name one of its cells, as %s.%s.", x.Name, t.in.example()))
	}
	switch x.Name {
	case "pi":
		return b.num(pi, kind.Quantity(kind.One), x.Span)
	case "gravity":
		y := b.num(gravity, kind.Quantity(acceleration), x.Span)
		return y
	}
	return b.noName(x)
}

const (
	pi      = 3.14159265358979323846
	gravity = 9.80665 // m/s², CGPM 1901
)

var acceleration = kind.Make(map[kind.Base]int{kind.Length: 1, kind.Time: -2})

// read gives the value of a cell; one that is a mistake and has no kind takes the formula with it.
func (b *builder) read(in input, at diag.Span) operand {
	c := in.cell
	if fault := c.wrong(); fault != nil && (c.Spec == nil || c.Type.Form == kind.Record || c.Table != nil) {
		if b.root == nil {
			b.root = c
			if c.Root != nil {
				b.root = c.Root
			}
		}
		return bad(at)
	}
	t := c.Type
	if in.row {
		t = t.Elem()
	}
	y := operand{reg: b.input(in), t: t, at: at, shownPct: c.percent}
	if t.Form == kind.Outline || t.Form == kind.Solid || t.Form == kind.Record || t.Form == kind.Place || t.Form == kind.Step {
		y.spec = c.Spec
	}
	return y
}

// wrong gives the mistake of a cell, of its name or of its formula.
func (c *Cell) wrong() *diag.Message {
	if c.lasting != nil {
		return c.lasting
	}
	return c.Fault
}

// isValueName tells whether a name is a cell, or a name inside the rule.
func (b *builder) isValueName(name string) bool {
	if len(b.scopes) > 0 {
		return b.scopes[len(b.scopes)-1].has(name)
	}
	if b.rows.column(name) != nil {
		return true
	}
	t := b.s.follow([]syntax.Ident{{Name: name}}, b.look)
	return t.cell != nil
}

// example names a cell of the sheet.
func (s *Sheet) example() string {
	if names := s.Names(); len(names) > 0 {
		return names[len(names)-1]
	}
	return "mass"
}

func (b *builder) noName(x *syntax.Name) operand {
	if b.rows != nil && !b.inRule() {
		if text, way := b.rows.table.leftOut(x.Name); text != "" {
			return b.fail(x.Span, text, way)
		}
	}
	if u, _, ok := b.s.lookup(x.Name, false); ok {
		return b.fail(x.Span, fmt.Sprintf("There is no cell %s; %s is a unit, and a unit stands behind a number.", x.Name, u.Symbol), fmt.Sprintf("Write 1 %s.", x.Name))
	}
	if _, ok := b.s.findRule(x.Name); ok {
		return b.fail(x.Span, fmt.Sprintf("There is no cell %s; %s is a rule, and its bracket stands tight behind it.", x.Name, x.Name), fmt.Sprintf("Write %s(…); its places are told by: help %s.", x.Name, x.Name))
	}
	if f, ok := b.s.c.lib.Func(x.Name); ok {
		return b.fail(x.Span, fmt.Sprintf("There is no cell %s; %s is a rule, and its bracket stands tight behind it.", x.Name, f.Name), fmt.Sprintf("Write %s(…).", x.Name))
	}
	var names []string
	if len(b.scopes) > 0 {
		names = b.scopes[len(b.scopes)-1].names()
		if e := b.s.names[x.Name]; !e.empty() {
			return b.fail(x.Span, fmt.Sprintf("A rule does not see the cell %s of the sheet.", x.Name), "Give it to the rule as a parameter.")
		}
	} else {
		names = b.s.Names()
		if b.rows != nil {
			for _, c := range b.rows.table.Columns {
				names = append(names, strings.TrimPrefix(c.Name, b.rows.table.Name+"."))
			}
		}
		for _, n := range b.s.Job.Sheets {
			if n != b.s {
				names = append(names, n.Name)
			}
		}
	}
	near := diag.Near(x.Name, append(names, "pi", "gravity"))
	return b.fail(x.Span, fmt.Sprintf("There is no cell %s.", x.Name), diag.DidYouMean(near))
}

// field reads what follows a dot: a field of a record, a column, a property of a shape.
func (b *builder) field(x *syntax.Field) operand {
	if len(b.scopes) == 0 {
		if y := b.s.narrowed(x); y != nil {
			return b.expr(y)
		}
	}
	if names := pathOf(x); names != nil && len(b.scopes) == 0 && b.rows.column(names[0].Name) == nil {
		t := b.s.follow(names, b.look)
		switch {
		case t.cell != nil && t.used == len(names):
			return b.read(input{t.cell, false}, x.Span)
		case t.cell == nil && t.used == len(names):
			return b.fail(x.Span, fmt.Sprintf("%s is a sheet and no value.", b.words(x.Span)), fmt.Sprintf("Name one of its cells, as %s.%s.", b.words(x.Span), t.in.example()))
		case t.cell == nil && t.used > 0:
			return b.notInSheet(names, t)
		}
	}
	of := b.expr(x.Of)
	if of.bad {
		return of
	}
	if of.t.Form == kind.Record {
		t, i, ok := of.t.Field(x.Name.Name)
		if !ok {
			return b.noField(x, of)
		}
		if t.List && of.t.List {
			return b.fail(x.Name.Span, fmt.Sprintf("%s is a list, in each row of a list, and lists are not nested.", x.Name.Name), "Take it of one row, as of item(…, 1).")
		}
		t.List = t.List || of.t.List
		y := b.emit(program.Instr{Op: program.GetField, A: of.reg, B: program.None, C: program.None, Aux: int32(i)}, t, x.Name.Span)
		if of.spec != nil && i < len(of.spec.Fields) {
			y.spec = of.spec.Fields[i]
		}
		if c, ok := b.consts[of.reg]; ok && i < len(c.Fields) {
			b.consts[y.reg] = c.Fields[i]
		}
		return y
	}
	f, ok := b.s.c.lib.Property(of.t.Form, x.Name.Name)
	if !ok {
		names := b.s.c.lib.Properties(of.t.Form)
		if len(names) == 0 {
			return b.fail(x.Name.Span, fmt.Sprintf("%s is %s and has no fields.", b.words(of.at), of.t.Article()), "")
		}
		way := diag.DidYouMean(diag.Near(x.Name.Name, names))
		if way == "" {
			way = "It has " + diag.Or(names) + "."
		}
		return b.fail(x.Name.Span, fmt.Sprintf("%s has no field %s.", of.t.Elem().Article(), x.Name.Name), way)
	}
	return b.apply(f, []operand{of}, x.Span)
}

// noField tells that rows have no column of a name, or a result no part of it.
func (b *builder) noField(x *syntax.Field, of operand) operand {
	if names := pathOf(x.Of); names != nil && len(b.scopes) == 0 {
		if text, way := b.s.follow(names, nil).cell.leftOut(x.Name.Name); text != "" {
			return b.fail(x.Name.Span, text, way)
		}
	}
	var names []string
	for _, f := range of.t.Fields {
		names = append(names, f.Name)
	}
	way := diag.DidYouMean(diag.Near(x.Name.Name, names))
	if way == "" {
		way = "It has " + diag.Or(names) + "."
	}
	what := "field"
	if of.t.List {
		what = "column"
	}
	return b.fail(x.Name.Span, fmt.Sprintf("%s has no %s %s.", b.words(of.at), what, x.Name.Name), way)
}

// narrowed writes `only(pours where …).volume` as `only(pours.volume where …)`, for first and last too: the value rests on
// that column and the condition, and not on the whole table. It is nil where an expression is not of that form.
func (s *Sheet) narrowed(x *syntax.Field) syntax.Expr {
	call, ok := x.Of.(*syntax.Call)
	if !ok || len(call.Args) != 1 {
		return nil
	}
	f, ok := s.c.lib.Func(call.Name.Name)
	if !ok || f.Special != catalogue.Only && f.Special != catalogue.First && f.Special != catalogue.Last {
		return nil
	}
	list := call.Args[0].Expr
	filter, filtered := list.(*syntax.Filter)
	if filtered {
		list = filter.List
	}
	names := pathOf(list)
	if names == nil {
		return nil
	}
	t := s.follow(names, nil)
	if t.cell == nil || t.cell.Role != Rows || t.used != len(names) {
		return nil
	}
	if column := t.in.names[t.cell.Name+"."+x.Name.Name]; column.empty() {
		return nil
	}
	var narrow syntax.Expr = &syntax.Field{Span: list.Where(), Of: list, Name: x.Name}
	if filtered {
		narrow = &syntax.Filter{Span: filter.Span, List: narrow, Cond: filter.Cond}
	}
	arg := *call.Args[0]
	arg.Expr = narrow
	return &syntax.Call{Span: x.Span, Name: call.Name, Args: []*syntax.Argument{&arg}}
}

// notInSheet tells that another sheet has no cell of a name.
func (b *builder) notInSheet(names []syntax.Ident, t target) operand {
	n := names[t.used]
	way := diag.DidYouMean(diag.Near(n.Name, t.in.Names()))
	if way == "" {
		way = fmt.Sprintf("It has %s.", diag.Or(some(t.in.Names())))
	}
	return b.fail(n.Span, fmt.Sprintf("%s has no cell %s.", b.words(names[0].Span.Join(names[t.used-1].Span)), n.Name), way)
}

// some keeps a list of names short.
func some(names []string) []string {
	if len(names) > 12 {
		return append(names[:11:11], "others")
	}
	return names
}

// list makes a list; a pair of lengths can also be a point.
func (b *builder) list(x *syntax.List) operand {
	var items []operand
	failed := false
	for _, e := range x.Items {
		y := b.expr(e)
		failed = failed || y.bad
		items = append(items, y)
	}
	if failed {
		return bad(x.Span)
	}
	points := true
	for _, y := range items {
		points = points && (y.edges || y.t.Form == kind.Place && !y.t.List)
	}
	if points {
		for i := range items {
			items[i] = b.asPoint(items[i])
		}
		return b.makeList(items, x.Span)
	}
	for _, y := range items {
		if y.t.List {
			return b.fail(y.at, "A list does not hold lists.", "Only points, pairs of lengths, stand in brackets inside a list.")
		}
	}
	if !b.agree(items, "stand in one list", x.Span) {
		return bad(x.Span)
	}
	y := b.makeList(items, x.Span)
	if len(items) == 2 && y.t.Form == kind.Number && y.t.Dim == lengthDim {
		y.edges, y.pair = true, items
	}
	return y
}

var lengthDim = kind.Of(kind.Length)

func (b *builder) makeList(items []operand, at diag.Span) operand {
	in := program.Instr{Op: program.List, A: program.None, B: program.None, C: program.None}
	for _, y := range items {
		in.Args = append(in.Args, y.reg)
	}
	t := items[0].t.ListOf()
	y := b.emit(in, t, at)
	for _, it := range items {
		if !it.zero { // a bare 0 says nothing of the unit
			y.spec = it.spec
			break
		}
	}
	y.bare = true
	var nums []float64
	var texts []string
	for _, it := range items {
		y.bare = y.bare && it.bare
		if c, ok := b.consts[it.reg]; ok {
			nums = append(nums, c.Num...)
			texts = append(texts, c.Text...)
		}
	}
	switch {
	case len(nums) == len(items) && classOf(t) == program.Num:
		b.consts[y.reg] = value.Nums(nums...)
	case len(texts) == len(items):
		b.consts[y.reg] = value.Texts(texts...)
	}
	return y
}

// asPoint turns a pair of lengths into a point.
func (b *builder) asPoint(x operand) operand {
	if !x.edges {
		return x
	}
	p := x.pair
	y := b.emit(lane(program.MakePlace, p[0].reg, p[1].reg), kind.Type{Form: kind.Place, Dim: lengthDim}, x.at)
	y.spec = x.spec
	return y
}

// text compiles a text with what is put into it.
func (b *builder) text(x *syntax.Text) operand {
	t := kind.Type{Form: kind.Text}
	plain := ""
	var pieces []program.Piece
	in := program.Instr{Op: program.Join, A: program.None, B: program.None, C: program.None}
	failed := false
	for _, p := range x.Pieces {
		if p.Expr == nil {
			w := normal(p.Words)
			plain += w
			pieces = append(pieces, program.Piece{Words: w, Arg: -1})
			continue
		}
		y := b.expr(p.Expr)
		if y.bad {
			failed = true
			continue
		}
		if y.t.Form == kind.Record || y.t.Form == kind.Outline || y.t.Form == kind.Solid || y.t.Form == kind.Step {
			b.mistake(y.at, fmt.Sprintf("%s cannot be put into a text.", upperFirst(y.t.Article())), wayFor(y.t, "Put in one of its values, as {piece.volume}."))
			failed = true
			continue
		}
		if p.Shown == nil {
			y.spec = b.ownSpec(p.Expr, y.spec)
		}
		spec := b.specFor(y, p.Shown, p.Expr)
		if spec == nil {
			failed = true
			continue
		}
		t.List = t.List || y.t.List
		pieces = append(pieces, program.Piece{Arg: len(in.Args), Spec: spec})
		in.Args = append(in.Args, y.reg)
	}
	if failed {
		return bad(x.Span)
	}
	if len(in.Args) == 0 {
		y := b.constant(value.Texts(plain), t, x.Span)
		y.text = &plain
		return y
	}
	b.prog.Templates = append(b.prog.Templates, pieces)
	in.Aux = int32(len(b.prog.Templates) - 1)
	return b.emit(in, t, x.Span)
}

// ownSpec is how a cell shows itself, for a text or a line that holds nothing but its name.
func (b *builder) ownSpec(e syntax.Expr, spec *show.Spec) *show.Spec {
	n, ok := e.(*syntax.Name)
	if !ok || len(b.scopes) > 0 {
		return spec
	}
	if t := b.s.follow([]syntax.Ident{{Name: n.Name}}, b.look); t.cell != nil && t.cell.Spec != nil {
		return t.cell.Spec
	}
	return spec
}

// choice compiles `if`.
func (b *builder) choice(x *syntax.If) operand {
	c, y, z := b.expr(x.Cond), b.expr(x.Then), b.expr(x.Else)
	if c.bad || y.bad || z.bad {
		return bad(x.Span)
	}
	if c.t.Form != kind.Truth {
		return b.fail(c.at, fmt.Sprintf("An \"if\" asks a condition; this is %s.", c.t.Article()), "Compare it, as mass <= 23 kg.")
	}
	items := []operand{y, z}
	if !b.agree(items, "be the two branches of one \"if\"", x.Span) {
		return bad(x.Span)
	}
	y, z = items[0], items[1]
	t := y.t
	t.List = c.t.List || y.t.List || z.t.List
	out := b.emit(program.Instr{Op: program.If, A: c.reg, B: y.reg, C: z.reg}, t, x.Span)
	if sameSpec(y.spec, z.spec) {
		out.spec = y.spec
	}
	out.shownPct = y.shownPct && z.shownPct || y.percent && z.percent
	return out
}

func sameSpec(a, b *show.Spec) bool {
	if a == nil || b == nil || len(a.Units) != len(b.Units) || a.Percent != b.Percent || a.Word != b.Word || len(a.Fields) != len(b.Fields) {
		return false
	}
	for i := range a.Units {
		if a.Units[i].Symbol != b.Units[i].Symbol {
			return false
		}
	}
	return true
}

// filter compiles `where`.
func (b *builder) filter(x *syntax.Filter) operand {
	l := b.expr(x.List)
	if b.rows != nil && !b.inRule() && !l.bad && l.t.List {
		return b.rowFilter(l, x)
	}
	c := b.expr(x.Cond)
	if l.bad || c.bad {
		return bad(x.Span)
	}
	if !l.t.List {
		return b.fail(l.at, fmt.Sprintf("A \"where\" chooses from a list; this is %s.", l.t.Article()), "Name a list or a column in front of it.")
	}
	if c.t.Form != kind.Truth {
		return b.fail(c.at, fmt.Sprintf("A \"where\" asks a condition; this is %s.", c.t.Article()), "Compare it, as pieces.kind == \"seat\".")
	}
	if !c.t.List {
		return b.fail(c.at, "This condition is the same for every row.", "Compare a list or a column of the same length.")
	}
	y := b.emit(lane(program.Filter, l.reg, c.reg), l.t, x.Span)
	y.spec, y.shownPct = l.spec, l.shownPct
	return y
}
