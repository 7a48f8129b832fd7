package sheets

import (
	"fmt"
	"slices"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// Plan is what a typed statement would do to a sheet.
type Plan struct {
	Label      string
	Splices    []Splice
	Overwrites string       // the formula in whose place a bare literal would stand; empty where it overwrites none
	Section    *syntax.Item // the heading under which the line stands then
	Value      bool         // the line is an expression: there is nothing to do but to show it
}

// Read reads a line typed at a sheet. The words that it makes units itself are known in it.
func Read(s *check.Sheet, src *diag.Source) (syntax.Statement, diag.List) {
	own := syntax.ScanUnits(src.Text)
	st, _, ms := syntax.ReadLine(src, func(w string) bool { return slices.Contains(own, w) || s.IsUnit(w) })
	return st, ms
}

// Type plans a statement typed at a sheet: in the place of that which bears its name, else at the end of the section under
// `here`, the heading last shown or typed; nil stands for the last one.
func (j *Job) Type(s *check.Sheet, here *syntax.Item, src *diag.Source) (*Plan, diag.List) {
	st, ms := Read(s, src)
	if ms.Mistakes() > 0 {
		if m := inside(s, src); m != nil {
			return nil, diag.List{m}
		}
		return nil, ms
	}
	p := &Plan{Section: here}
	e := &editor{j: j, s: s, f: s.File, plan: p, src: src, text: strings.TrimSpace(src.Text)}
	switch x := st.(type) {
	case *syntax.Line:
		p.Value = true
	case *syntax.Cell:
		e.cell(x)
	case *syntax.Section:
		e.section(x)
	default:
		e.statement(st)
	}
	if e.refused != nil {
		return nil, diag.List{e.refused}
	}
	return p, nil
}

// editor makes the splices of one typed statement.
type editor struct {
	j       *Job
	s       *check.Sheet
	f       *syntax.File
	plan    *Plan
	src     *diag.Source
	text    string
	refused *diag.Message
}

func (e *editor) refuse(at diag.Span, text, way string) {
	e.refused = diag.New(e.src, at, text, way)
}

// splice replaces a span of an item.
func (e *editor) splice(it *syntax.Item, span diag.Span, is string) {
	e.plan.Splices = append(e.plan.Splices, Splice{e.s.Name, at(e.f, it, span), it.Source.Cut(span), is})
}

// insert puts lines in front of an item, or at the end of the file.
func (e *editor) insert(before int, text string) {
	pos := offset(e.f, before)
	end := e.lineEnd()
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\n", end) + end
	if before > 0 {
		if above := e.f.Items[before-1].Source.Text; !strings.HasSuffix(above, "\n") {
			text = end + strings.TrimSuffix(text, end)
		}
	}
	e.plan.Splices = append(e.plan.Splices, Splice{e.s.Name, pos, "", text})
}

func (e *editor) lineEnd() string {
	for _, it := range e.f.Items {
		if i := strings.IndexByte(it.Source.Text, '\n'); i >= 0 {
			if i > 0 && it.Source.Text[i-1] == '\r' {
				return "\r\n"
			}
			return "\n"
		}
	}
	return "\n"
}

// cell plans `name = EXPR`.
func (e *editor) cell(st *syntax.Cell) {
	name := st.Name.Name
	it := Statement(e.s, name)
	e.plan.Label = name
	if it == nil {
		e.append()
		return
	}
	switch old := it.Statement.(type) {
	case *syntax.Cell:
		e.replaceCell(it, old, st)
	case *syntax.Ask:
		if !isLiteral(st.Expr) {
			e.refuse(st.Expr.Where(), fmt.Sprintf("%s is an open cell: a value answers it, and a formula does not.", name), fmt.Sprintf("Write its value, or drop %s first.", name))
			return
		}
		e.answer(it, old, e.src.Cut(st.Expr.Where()))
	case *syntax.Measure:
		_, other, _ := strings.Cut(name, "_")
		e.refuse(st.Span, fmt.Sprintf("%s is a rate of exchange.", name), fmt.Sprintf("It is written: 1 %s = 1.25 %s.", old.Unit.Name, other))
	default:
		e.refuse(st.Name.Span, fmt.Sprintf("%s is the name of another statement: %s.", name, firstLine(it)), "Choose another name, or drop that first.")
	}
}

func firstLine(it *syntax.Item) string {
	line, _, _ := strings.Cut(it.Source.Cut(it.Statement.Where()), "\n")
	return strings.TrimSpace(line)
}

func isLiteral(x syntax.Expr) bool {
	switch y := x.(type) {
	case *syntax.Quantity, *syntax.DateLit, *syntax.TruthLit, *syntax.Limits:
		return true
	case *syntax.Text:
		return !slices.ContainsFunc(y.Pieces, func(p syntax.TextPiece) bool { return p.Expr != nil })
	}
	return false
}

// answer writes the value behind `given` of an ask.
func (e *editor) answer(it *syntax.Item, old *syntax.Ask, value string) {
	if old.Given != nil {
		e.splice(it, old.Given.Where(), value)
		return
	}
	end := diag.Span{From: old.Span.To, To: old.Span.To}
	e.splice(it, end, " given "+value)
}

// replaceCell puts a formula in the place of another: place, spacing and note stay, and, in the same kind, the bracket and
// the limits, unless the line brings its own.
func (e *editor) replaceCell(it *syntax.Item, old *syntax.Cell, st *syntax.Cell) {
	c, _ := e.s.Find(old.Name.Name)
	if isLiteral(st.Expr) && !isLiteral(old.Expr) {
		e.plan.Overwrites = it.Source.Cut(old.Expr.Where())
	}
	line, _ := e.s.Line(&diag.Source{Name: e.src.Name, Text: e.src.Text})
	sameKind := c != nil && line != nil && line.Fault == nil && line.Type.Same(c.Type) && line.Type.List == c.Type.List
	is := e.src.Cut(st.Expr.Where())
	if l, ok := old.Expr.(*syntax.Limits); ok && sameKind && isLiteral(st.Expr) {
		if _, own := st.Expr.(*syntax.Limits); !own {
			is += it.Source.Cut(diag.Span{From: l.Middle.Where().To, To: l.Span.To})
		}
	}
	if st.Accept != nil {
		is += " " + e.src.Cut(st.Accept.Span)
	}
	body := diag.Span{From: old.Expr.Where().From, To: old.Span.To}
	switch {
	case st.Shown != nil && old.Shown != nil:
		is += e.gap(it, old, len(is)) + e.src.Cut(st.Shown.Span)
	case st.Shown != nil:
		is += " " + e.src.Cut(st.Shown.Span)
	case old.Shown != nil && sameKind:
		is += e.gap(it, old, len(is)) + it.Source.Cut(old.Shown.Span)
	}
	e.splice(it, body, is)
	e.note(it, body, len(is), e.ownNote(st))
}

// gap keeps a bracket in its column where the formula before it has become shorter or longer.
func (e *editor) gap(it *syntax.Item, old *syntax.Cell, length int) string {
	before := old.Expr.Where().To
	if old.Accept != nil {
		before = old.Accept.Span.To
	}
	was := old.Shown.Span.From - old.Expr.Where().From
	blank := strings.TrimLeft(it.Source.Cut(diag.Span{From: before, To: old.Shown.Span.From}), " ") == ""
	if !blank || was-length < 1 {
		return " "
	}
	return strings.Repeat(" ", was-length)
}

// ownNote is the note that the typed line brings.
func (e *editor) ownNote(st syntax.Statement) string {
	return strings.TrimSpace(e.src.Text[min(st.Where().To, len(e.src.Text)):])
}

// note keeps the note of a line in its column, or puts another in its place.
func (e *editor) note(it *syntax.Item, body diag.Span, length int, own string) {
	whole := it.Source.Whole()
	tail := it.Source.Cut(diag.Span{From: body.To, To: whole.To})
	blanks := len(tail) - len(strings.TrimLeft(tail, " \t"))
	rest := tail[blanks:]
	lines := strings.TrimRight(rest, "\r\n")
	if own == "" && !strings.HasPrefix(rest, "#") {
		return
	}
	gap := max(min(2, blanks), blanks-(length-(body.To-body.From)))
	is := strings.Repeat(" ", gap)
	if strings.ContainsAny(tail[:blanks], "\t") {
		is = tail[:blanks]
	}
	span := diag.Span{From: body.To, To: body.To + blanks}
	if own != "" {
		if !strings.HasPrefix(rest, "#") {
			is, lines = "  ", ""
		}
		is += own
		span.To += len(lines)
	}
	e.splice(it, span, is)
}

// section plans a heading, at the end of the sheet; one that is there already becomes the one that is typed under.
func (e *editor) section(st *syntax.Section) {
	words := e.src.Cut(st.Text.Span)
	for _, it := range e.f.Items {
		if old, ok := it.Statement.(*syntax.Section); ok && it.Source.Cut(old.Text.Span) == words {
			e.plan.Section = it
			return
		}
	}
	e.plan.Label = "section"
	text := e.text
	if n := len(e.f.Items); n > 0 && strings.TrimSpace(e.f.Items[n-1].Source.Text) != "" {
		text = "\n" + text
	}
	e.insert(len(e.f.Items), text)
	e.plan.Section = nil
}

// statement plans any other statement: in the place of the one of its name, or where its like stands.
func (e *editor) statement(st syntax.Statement) {
	name := NameOf(st)
	e.plan.Label = name
	if e.plan.Label == "" {
		e.plan.Label, _, _ = strings.Cut(e.text, " ")
	}
	var it *syntax.Item
	switch x := st.(type) {
	case *syntax.Title, *syntax.System:
		it = e.like(func(old syntax.Statement) bool { return sameForm(old, st) })
	case *syntax.Correlation:
		it = e.like(func(old syntax.Statement) bool {
			y, ok := old.(*syntax.Correlation)
			return ok && samePair(x, y)
		})
	default:
		if name != "" {
			it = Statement(e.s, name)
		} else if own, ok := st.(*syntax.Check); ok {
			it = e.sameCheck(own)
		}
	}
	if it != nil && sameForm(it.Statement, st) {
		e.splice(it, it.Statement.Where(), e.src.Cut(st.Where()))
		e.note(it, it.Statement.Where(), st.Where().To-st.Where().From, e.ownNote(st))
		return
	}
	if it != nil {
		e.refuse(st.Where(), fmt.Sprintf("%s is the name of another statement: %s.", name, firstLine(it)), "Choose another name, or drop that first.")
		return
	}
	switch st.(type) {
	case *syntax.Title:
		e.insert(e.behind(func(x syntax.Statement) bool { return false }), e.text)
	case *syntax.System, *syntax.Measure, *syntax.Count:
		e.insert(e.behind(func(x syntax.Statement) bool {
			switch x.(type) {
			case *syntax.Title, *syntax.System, *syntax.Measure, *syntax.Count:
				return true
			}
			return false
		}), e.text)
	default:
		e.append()
	}
}

// like finds the first statement for which something holds.
func (e *editor) like(is func(syntax.Statement) bool) *syntax.Item {
	for _, it := range e.f.Items {
		if it.Statement != nil && is(it.Statement) {
			return it
		}
	}
	return nil
}

// samePair tells whether two correlations are between the same inputs.
func samePair(x, y *syntax.Correlation) bool {
	a, b, c, d := dotted(x.A), dotted(x.B), dotted(y.A), dotted(y.B)
	return a == c && b == d || a == d && b == c
}

func dotted(p syntax.Path) string {
	var names []string
	for _, n := range p.Names {
		names = append(names, n.Name)
	}
	return strings.Join(names, ".")
}

// sameCheck finds a check without a name that has the same condition.
func (e *editor) sameCheck(st *syntax.Check) *syntax.Item {
	for _, it := range e.f.Items {
		if old, ok := it.Statement.(*syntax.Check); ok && old.Name.Name == "" && it.Source.Cut(old.Cond.Where()) == e.src.Cut(st.Cond.Where()) {
			return it
		}
	}
	return nil
}

func sameForm(a, b syntax.Statement) bool { return fmt.Sprintf("%T", a) == fmt.Sprintf("%T", b) }

// behind gives the place behind the last statement of a sort, or the top, below the comments there.
func (e *editor) behind(is func(syntax.Statement) bool) int {
	place := 0
	if len(e.f.Items) > 0 && e.f.Items[0].Statement == nil && !e.f.Items[0].Bad && strings.TrimSpace(e.f.Items[0].Source.Text) != "" {
		place = 1
	}
	for i, it := range e.f.Items {
		if it.Statement != nil && is(it.Statement) {
			place = i + 1
		}
	}
	return place
}

// append puts the line at the end of the section.
func (e *editor) append() {
	from, to := 0, len(e.f.Items)
	if here := e.plan.Section; here != nil {
		if i := slices.Index(e.f.Items, here); i >= 0 {
			from = i
			for to = i + 1; to < len(e.f.Items); to++ {
				if _, next := e.f.Items[to].Statement.(*syntax.Section); next {
					break
				}
			}
		}
	}
	place := from
	for i := from; i < to; i++ {
		if it := e.f.Items[i]; it.Statement != nil || it.Bad || strings.TrimSpace(it.Source.Text) != "" {
			place = i + 1
		}
	}
	e.insert(place, e.text)
}

// NameOf gives the name that a statement makes; that of a measure is its unit.
func NameOf(st syntax.Statement) string {
	switch x := st.(type) {
	case *syntax.Cell:
		return x.Name.Name
	case *syntax.Ask:
		return x.Name.Name
	case *syntax.Table:
		return x.Name.Name
	case *syntax.Check:
		return x.Name.Name
	case *syntax.Part:
		return x.Name.Name
	case *syntax.Variant:
		return x.Name.Name
	case *syntax.Handout:
		return x.Name.Name
	case *syntax.Rule:
		return x.Name.Name
	case *syntax.Measure:
		return x.Unit.Name
	case *syntax.Count:
		return x.One.Name
	}
	return ""
}

// Statement finds the statement that makes a name in a sheet: a cell, table, part or check first, then what lives in other
// rooms of names. A rate is found by EUR_USD too.
func Statement(s *check.Sheet, name string) *syntax.Item {
	var other *syntax.Item
	for _, it := range s.File.Items {
		if it.Statement == nil || NameOf(it.Statement) != name {
			continue
		}
		switch it.Statement.(type) {
		case *syntax.Cell, *syntax.Ask, *syntax.Table, *syntax.Check, *syntax.Part:
			return it
		}
		if other == nil {
			other = it
		}
	}
	if c, ok := s.Find(name); ok && other == nil && c.Sheet == s && c.Role == check.Rate {
		return c.Item
	}
	return other
}

// Drop plans to take a statement out; `drop NAME given` reopens an answered ask.
func (j *Job) Drop(s *check.Sheet, name string, given bool) (*Plan, error) {
	p := &Plan{Label: "drop " + name}
	e := &editor{j: j, s: s, f: s.File, plan: p}
	if table, column, ok := strings.Cut(name, "."); ok {
		if it := Statement(s, table); it != nil {
			if t, ok := it.Statement.(*syntax.Table); ok {
				return p, e.dropColumn(it, t, column)
			}
		}
		return nil, refuse(fmt.Sprintf("There is no table %s in %s.", table, s.Name), "What stands in another sheet is dropped there: sheet NAME goes to it.")
	}
	it := Statement(s, name)
	if it == nil {
		return nil, refuse(fmt.Sprintf("There is nothing called %s in %s.", name, s.Name), diag.DidYouMean(diag.Near(name, s.Names())))
	}
	if !given {
		e.splice(it, it.Source.Whole(), "")
		return p, nil
	}
	a, ok := it.Statement.(*syntax.Ask)
	if !ok || a.Given == nil {
		return nil, refuse(fmt.Sprintf("%s is no open cell with an answer.", name), "")
	}
	from := a.Name.Span.To
	if a.Shown != nil {
		from = a.Shown.Span.To
	}
	if a.Assume != nil {
		from = a.Assume.Where().To
	}
	body := diag.Span{From: from, To: a.Given.Where().To}
	e.splice(it, body, "")
	return p, nil
}

// Answered lists the asks of a sheet that have an answer.
func Answered(f *syntax.File) []*syntax.Item {
	var out []*syntax.Item
	for _, it := range f.Items {
		if a, ok := it.Statement.(*syntax.Ask); ok && a.Given != nil {
			out = append(out, it)
		}
	}
	return out
}

// tableOf finds a table of a sheet whose rows can be changed, with its item.
func tableOf(s *check.Sheet, name string) (*syntax.Item, *syntax.Table, error) {
	it := Statement(s, name)
	if it == nil {
		return nil, nil, refuse(fmt.Sprintf("There is no table %s in %s.", name, s.Name), diag.DidYouMean(diag.Near(name, s.Names())))
	}
	t, ok := it.Statement.(*syntax.Table)
	switch {
	case !ok:
		return nil, nil, refuse(fmt.Sprintf("%s is no table.", name), "")
	case t.From != nil:
		return nil, nil, refuse(fmt.Sprintf("The rows of %s stand in a file, which is never written.", name), "Change the file, and take it with reload.")
	case len(t.Heads) == 0:
		return nil, nil, refuse(fmt.Sprintf("The table %s has no heading.", name), "")
	}
	return it, t, nil
}
