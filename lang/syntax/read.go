package syntax

import (
	"fmt"
	"slices"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/work"
)

// reader turns groups of lines into statements.
type reader struct {
	split *splitter
	src   *diag.Source
	file  *File
}

// ReadFile reads a sheet, or a file of rules. It never fails: what is wrong stands in Messages, each at its place, and
// everything else is read. IsUnit tells which words are units; nil takes every word for one.
func ReadFile(name, text string, isUnit func(string) bool) *File {
	return ReadWatched(name, text, isUnit, nil)
}

// ReadWatched is as ReadFile, and adds the bytes that are read to a meter. Where that stops it the rest is left out.
func ReadWatched(name, text string, isUnit func(string) bool, m *work.Meter) *File {
	src := &diag.Source{Name: name, Text: text}
	f := &File{Name: name, Source: src}
	f.Items = readItems(f, src, isUnit, m)
	for _, it := range f.Items {
		f.Messages = append(f.Messages, it.Messages...)
	}
	f.Messages.Sort()
	return f
}

// ReadItems reads lines that are to stand in a file: statements, blank lines and comments.
func (f *File) ReadItems(text string, isUnit func(string) bool) []*Item {
	return readItems(f, &diag.Source{Name: f.Name, Text: text}, isUnit, nil)
}

// readItems reads a text into items, each with a source of its own.
func readItems(f *File, src *diag.Source, isUnit func(string) bool, m *work.Meter) []*Item {
	if len(src.Text) > maxSource {
		m := diag.New(src, span(0, 1), fmt.Sprintf("This file is larger than %d MiB.", maxSource>>20), "Keep large logs in a CSV file and name it in a table.")
		return []*Item{{Source: src, Span: src.Whole(), Bad: true, Messages: diag.List{m}}}
	}
	s := &splitter{src: src, toks: scan(src, isUnit)}
	r := &reader{file: &File{}, split: s}
	var out []*Item
	at := 0
	item := func(to int) *Item {
		own := &diag.Source{Name: src.Name, Text: src.Text[at:to], Rule: src.Rule, Base: at, Home: f}
		out = append(out, &Item{Source: own, Span: span(at, to)})
		at = to
		return out[len(out)-1]
	}
	for {
		if to := s.blank(); to > at {
			item(to)
		}
		if s.at >= len(s.toks) || m.Stopped() {
			break
		}
		r.file.Messages = nil
		g := s.group(&r.file.Messages)
		m.Add(g.to - at)
		it := item(g.to)
		r.src = it.Source
		it.Statement = r.statement(g)
		it.Messages = r.file.Messages
		for _, m := range it.Messages {
			if m.Source == src {
				m.Source = it.Source
			}
		}
		it.Bad, it.Note, it.NoteSpan = it.Statement == nil || len(it.Messages) > 0, g.head.note, g.head.noteSpan
	}
	if at < len(src.Text) {
		item(len(src.Text))
	}
	return out
}

// Number gives each item the number of lines above it, where an edit has moved them.
func (f *File) Number() {
	if f.numbered {
		return
	}
	f.numbered = true
	lines := 0
	for _, it := range f.Items {
		it.Source.First = lines
		lines += strings.Count(it.Source.Text, "\n")
	}
}

// Replace puts items in the place of n items from index at; it gives those that were there.
func (f *File) Replace(at, n int, items []*Item) []*Item {
	old := slices.Clone(f.Items[at : at+n])
	f.Items = slices.Replace(f.Items, at, at+n, items...)
	f.numbered = false
	return old
}

// maxTyped is how long a line at the shell may be, in bytes.
const maxTyped = 1 << 20

// ReadLine reads one line as typed at the shell or given to eval: a statement, or an expression, which becomes a Line.
// A block (rule, table, handout) may stand in it with its lines. It gives the note behind the line too.
func ReadLine(src *diag.Source, isUnit func(string) bool) (Statement, string, diag.List) {
	f := &File{Source: src}
	if len(src.Text) > maxTyped {
		f.Messages.Add(diag.New(src, span(0, 1), fmt.Sprintf("This line is longer than %d KiB.", maxTyped>>10), "Write it into a sheet."))
		return nil, "", f.Messages
	}
	s := &splitter{src: src, toks: scan(src, isUnit), shell: true}
	r := &reader{src: src, file: f, split: s}
	s.blank()
	if s.at >= len(s.toks) {
		f.Messages.Add(diag.New(src, span(0, len(src.Text)), "There is nothing on this line.", "Type a value, as 3/4 in * 6 [in]."))
		return nil, "", f.Messages
	}
	g := s.group(&f.Messages)
	st := r.statement(g)
	s.blank()
	if s.at < len(s.toks) {
		t := s.toks[s.at]
		f.Messages.Add(diag.New(src, span(t.from, t.to), "A line holds one statement.", "Give them one after another."))
	}
	return st, g.head.note, f.Messages
}

// ScanUnits finds the units that a text defines, `1 NAME = …` and `count one, many`, so that all of it can be read
// with them known. It looks at the beginnings of lines alone, and takes what can be a name.
func ScanUnits(text string) []string {
	var out []string
	for line := range strings.Lines(strings.TrimPrefix(text, "\ufeff")) {
		line = strings.TrimSpace(line)
		rest, one := strings.CutPrefix(line, "1")
		if one {
			name, rest := leadingName(strings.TrimSpace(rest))
			if strings.HasPrefix(rest, "=") && !strings.HasPrefix(rest, "==") && IsName(name) {
				out = append(out, nfc(name))
			}
			continue
		}
		rest, count := strings.CutPrefix(line, "count")
		if !count || strings.TrimSpace(rest) == rest {
			continue
		}
		name, rest := leadingName(strings.TrimSpace(rest))
		if !IsName(name) || strings.HasPrefix(rest, "=") {
			continue
		}
		out = append(out, nfc(name))
		if rest, ok := strings.CutPrefix(rest, ","); ok {
			if name, _ := leadingName(strings.TrimSpace(rest)); IsName(name) {
				out = append(out, nfc(name))
			}
		}
	}
	return out
}

// leadingName cuts a name from the front of a text, and the blanks behind it.
func leadingName(text string) (name, rest string) {
	end := len(text)
	for i, r := range text {
		if !isNameRune(r) {
			end = i
			break
		}
	}
	return text[:end], strings.TrimSpace(text[end:])
}

// Print gives the text of a tree; that of an untouched one is the text it was read from, byte for byte.
func (f *File) Print() string {
	var b strings.Builder
	for _, it := range f.Items {
		b.WriteString(it.Source.Text)
	}
	return b.String()
}

func (r *reader) add(m *diag.Message) {
	if m != nil {
		r.file.Messages = append(r.file.Messages, m)
	}
}

func id(g gIdent) Ident {
	return Ident{Name: nfc(g.Name), Span: span(g.Pos.Offset, g.Pos.Offset+len(g.Name))}
}

// name makes an identifier that names something; reserved words cannot.
func (r *reader) name(g gIdent) Ident {
	n := id(g)
	switch {
	case reserved[n.Name]:
		r.add(diag.New(r.src, n.Span, fmt.Sprintf("The word %s cannot be a name: it belongs to the language.", n.Name), "Choose another name."))
	case !IsName(n.Name):
		r.add(diag.New(r.src, n.Span, fmt.Sprintf("%s cannot be a name.", n.Name), "A name is made of letters, digits and _, and begins with a letter."))
	}
	return n
}

func path(g gPath) Path {
	p := Path{}
	for _, n := range g.Names {
		p.Names = append(p.Names, id(n))
	}
	p.Span = p.Names[0].Span.Join(p.Names[len(p.Names)-1].Span)
	return p
}

func bracket(s shownNode) *Shown {
	if s == nil {
		return nil
	}
	return s.(*Shown)
}

func textOf(t textNode) *Text {
	if t == nil {
		return nil
	}
	return t.(*Text)
}

// read parses a line as a form; a message is kept and nil given.
func read[G any](r *reader, f *form[G], l logical) *G {
	if l.broken != nil {
		for _, t := range l.toks {
			if t.typ == tBad {
				r.add(t.bad)
				return nil
			}
		}
		r.add(l.broken)
		return nil
	}
	g, m := f.parse(r.src, l.toks)
	if m != nil {
		r.add(m)
		return nil
	}
	return g
}

func lineSpan(l logical) Span { return span(l.toks[0].from, l.toks[len(l.toks)-1].to) }

var needOperand = map[string]bool{
	"+": true, "*": true, "/": true, "^": true, "==": true, "!=": true, "<": true, "<=": true, ">": true, ">=": true,
	",": true, "±": true, "±s": true, "-": true, "=": true,
}

// misplaced refuses a line that begins with a sign (ruling 1).
func (r *reader) misplaced(l logical) bool {
	t := l.toks[0]
	w := r.split.word(t)
	sign := r.split.op(t)
	isWord := (t.typ == tName) && (w == "then" || w == "else" || w == "and" || w == "or" || w == "where")
	if !isWord && !needOperand[sign] || r.split.shell && sign == "-" {
		return false
	}
	r.add(diag.New(r.src, span(t.from, t.to), fmt.Sprintf("A line does not begin with %s.", quoted(w)), "Let the line go on before it: end the line above with it."))
	return true
}

// statement reads one statement; nil where it cannot be read.
func (r *reader) statement(g group) Statement {
	l := g.head
	if r.misplaced(l) {
		return nil
	}
	sp := lineSpan(l)
	s := r.split
	first := l.toks[0]
	if first.typ == tName || first.typ == tUnit {
		second := ""
		if len(l.toks) > 1 {
			second = s.op(l.toks[1])
			if l.toks[1].from != first.to && (second == "(" || second == "." || second == ":") {
				second = ""
			}
		}
		if w := s.word(first); statementWords[w] && second != "=" && second != "(" && second != "." && second != ":" && second != "|" && second != "," {
			return r.byWord(w, g, sp)
		}
		if second == "=" {
			return r.cell(l)
		}
	}
	if first.typ == tNumber && len(l.toks) > 2 && (l.toks[1].typ == tName || l.toks[1].typ == tUnit) && s.op(l.toks[2]) == "=" {
		return r.measure(l)
	}
	if m := r.notThis(l); m != nil {
		r.add(m)
		return nil
	}
	line := read(r, formLine, l)
	if line == nil {
		return nil
	}
	if !s.shell {
		r.add(diag.New(r.src, sp, "A value alone is no line of a sheet.", "Give it a name: name = VALUE."))
		return nil
	}
	return &Line{Span: sp, Expr: line.Expr, Shown: bracket(line.Shown)}
}

// notThis finds lines that were meant for a statement: a misspelt first word, or a cell of another sheet.
func (r *reader) notThis(l logical) *diag.Message {
	first := l.toks[0]
	if !isWord(first) || reserved[r.split.word(first)] {
		return nil
	}
	if len(l.toks) == 1 || isWord(l.toks[1]) && !reserved[r.split.word(l.toks[1])] || l.toks[1].typ == tText {
		near := diag.Near(r.split.word(first), StatementWords())
		if len(near) == 0 || r.split.shell && len(l.toks) == 1 {
			return nil
		}
		return diag.New(r.src, span(first.from, first.to), fmt.Sprintf("No statement begins with the word %s.", quoted(r.split.word(first))), diag.DidYouMean(near))
	}
	if len(l.toks) > 3 && r.split.op(l.toks[1]) == "." && isWord(l.toks[2]) && r.split.op(l.toks[3]) == "=" {
		return diag.New(r.src, span(first.from, l.toks[2].to), "A cell of another sheet is not changed here.",
			fmt.Sprintf("Write %s = … in the sheet %s.", r.split.word(l.toks[2]), r.split.word(first)))
	}
	return nil
}

func (r *reader) byWord(w string, g group, sp Span) Statement {
	l := g.head
	switch w {
	case "title":
		if x := read(r, formTitle, l); x != nil {
			return &Title{Span: sp, Text: textOf(x.Text)}
		}
	case "section":
		if x := read(r, formSection, l); x != nil {
			return &Section{Span: sp, Text: textOf(x.Text)}
		}
	case "system":
		return r.system(l, sp)
	case "ask":
		if x := read(r, formAsk, l); x != nil {
			return &Ask{Span: sp, Name: r.name(x.Name), Shown: bracket(x.Shown), Assume: x.Assume, Given: r.given(x.Given)}
		}
	case "count":
		if x := read(r, formCount, l); x != nil {
			c := &Count{Span: sp, One: r.name(x.One)}
			if x.Many != nil {
				c.Many = r.name(*x.Many)
			}
			return c
		}
	case "rule":
		return r.rule(g, sp)
	case "table":
		return r.table(g, sp)
	case "handout":
		return r.handout(g, sp)
	case "check":
		return r.check(l, sp)
	case "part":
		if x := read(r, formPart, l); x != nil {
			return &Part{Span: sp, Name: r.name(x.Name), Library: x.Library, Path: textOf(x.Path), Replace: r.arguments(x.Replace, "(height: 450 mm)")}
		}
	case "variant":
		if x := read(r, formVariant, l); x != nil {
			return &Variant{Span: sp, Name: r.name(x.Name), Set: r.arguments(&x.Set, "(water_temp: 8 degC)")}
		}
	case "correlation":
		if x := read(r, formCorrelation, l); x != nil {
			return &Correlation{Span: sp, A: path(x.A), B: path(x.B), Value: x.Expr}
		}
	case "end":
		r.add(diag.New(r.src, sp, "There is no rule, table or handout that this ends.", "Leave the line out."))
	}
	return nil
}

func (r *reader) system(l logical, sp Span) Statement {
	x := read(r, formSystem, l)
	if x == nil {
		return nil
	}
	if x.Name.Name != "metric" && x.Name.Name != "us" {
		r.add(diag.New(r.src, id(x.Name).Span, fmt.Sprintf("There is no system %s.", x.Name.Name), "Write system metric, or system us."))
		return nil
	}
	return &System{Span: sp, US: x.Name.Name == "us"}
}

func (r *reader) cell(l logical) Statement {
	c := r.cellOf(l)
	if c == nil {
		return nil
	}
	return c
}

func (r *reader) cellOf(l logical) *Cell {
	x := read(r, formCell, l)
	if x == nil {
		return nil
	}
	c := &Cell{Span: lineSpan(l), Name: r.name(x.Name), Expr: x.Expr, Shown: bracket(x.Shown), Note: l.note}
	if x.Accept != nil {
		c.Accept = &Accept{Why: textOf(x.Accept.Why), Span: span(x.Accept.Pos.Offset, c.Span.To)}
		for _, p := range x.Accept.Causes {
			c.Accept.Causes = append(c.Accept.Causes, path(p))
		}
	}
	return c
}

func (r *reader) measure(l logical) Statement {
	if r.split.word(l.toks[0]) != "1" {
		r.add(diag.New(r.src, span(l.toks[0].from, l.toks[0].to), "A measure says what one of it is.", "Write 1 bag = 80 lb. A name begins with a letter."))
		return nil
	}
	x := read(r, formMeasure, l)
	if x == nil {
		return nil
	}
	return &Measure{Span: lineSpan(l), Unit: r.name(x.Unit), Value: x.Expr}
}

func (r *reader) check(l logical, sp Span) Statement {
	x := read(r, formCheck, l)
	if x == nil {
		return nil
	}
	c := &Check{Span: sp, Cond: x.Cond, Else: textOf(x.Else)}
	if x.Name != nil {
		c.Name = r.name(*x.Name)
	}
	return c
}

// arguments makes the list of a part, a variant or a table from a file out; each stands with its name.
func (r *reader) arguments(g *gArguments, example string) []*Argument {
	if g == nil {
		return nil
	}
	var out []*Argument
	for _, a := range g.List {
		x := &Argument{Expr: a.Expr, Span: a.Expr.Where()}
		if a.Name == nil {
			r.add(diag.New(r.src, x.Span, "Each value in this bracket stands with its name.", fmt.Sprintf("Write %s.", example)))
			continue
		}
		x.Name = r.name(*a.Name)
		x.Span = x.Name.Span.Join(x.Span)
		out = append(out, x)
	}
	return out
}

// given refuses an answer that is not a lone value.
func (r *reader) given(e Expr) Expr {
	switch e.(type) {
	case nil, *Quantity, *DateLit, *Text, *TruthLit:
		return e
	}
	r.add(diag.New(r.src, e.Where(), "The answer behind \"given\" is a value, not a formula.", "Write the value with its unit, as given 11.40 USD."))
	return nil
}

// ReadHead reads the heading of a column as it stands in a file: `temp [degC]`. It gives nil where the text is no heading.
func ReadHead(text string, isUnit func(string) bool) (*Head, *diag.Message) {
	src := &diag.Source{Name: "the heading", Text: text}
	toks := plain(scan(src, isUnit))
	if len(toks) == 0 {
		return nil, diag.New(src, span(0, 0), "There is no heading.", "")
	}
	for _, t := range toks {
		if t.typ == tBad {
			return nil, t.bad
		}
	}
	h, m := formHead.parse(src, toks)
	if m != nil {
		return nil, m
	}
	r := &reader{src: src, file: &File{}}
	head := &Head{Name: r.name(h.Name), Shown: bracket(h.Shown)}
	if len(r.file.Messages) > 0 {
		return nil, r.file.Messages[0]
	}
	return head, nil
}
