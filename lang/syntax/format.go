package syntax

import (
	"strings"

	"castwright/lang/diag"
)

// Format writes a file in the canonical layout: one blank around signs, none inside the units of a literal, cells of a
// run with their signs, brackets and notes under one another, bodies of blocks indented by two, lines that go on by
// four, rows with their bars under one another, no two blank lines in a row. Comments stay, and statements that cannot
// be read stay as they are. The file keeps its kind of line end and its byte-order mark; what it means does not change.
func Format(f *File) string {
	text := f.Source.Text
	w := &formatter{src: f.Source}
	if len(text) <= maxSource {
		w.toks = scan(f.Source, nil)
	}
	for _, it := range f.Items {
		raw := text[it.Span.From:it.Span.To]
		if it.Span.From == 0 {
			raw = strings.TrimPrefix(raw, "\ufeff")
		}
		switch {
		case it.Bad:
			w.raw(raw)
		case it.Statement == nil:
			w.trivia(raw)
		default:
			w.statement(it)
		}
	}
	end := "\n"
	if i := strings.IndexByte(text, '\n'); i > 0 && text[i-1] == '\r' {
		end = "\r\n"
	}
	lines := w.layout.text()
	out := strings.Join(lines, end)
	if len(lines) > 0 && !strings.HasSuffix(out, "\r") { // a lone carriage return stays the mistake that it is
		out += end
	}
	switch {
	case strings.HasPrefix(text, "\ufeff"):
		out = "\ufeff" + out
	case strings.HasPrefix(out, "\ufeff"): // a stray mark does not become the mark of the file
		out = end + out
	}
	return out
}

// formatter lays out the items of a file, one after another.
type formatter struct {
	src    *diag.Source
	toks   []tok
	at     int // the first token not yet laid out
	roles  roles
	layout layout
}

// trivia lays out blank and comment lines.
func (w *formatter) trivia(raw string) {
	for l := range strings.SplitSeq(strings.TrimSuffix(raw, "\n"), "\n") {
		if l = trimBlanks(l); l == "" {
			w.layout.blank()
		} else {
			w.layout.add(entry{kind: plainLine, body: l})
		}
	}
}

// raw keeps lines that cannot be read.
func (w *formatter) raw(raw string) {
	lines := strings.Split(raw, "\n")
	for i, l := range lines {
		if i < len(lines)-1 {
			l = strings.TrimSuffix(l, "\r")
		} else if l == "" {
			break
		}
		w.layout.add(entry{kind: rawLine, body: l})
	}
}

// starts says of each line of a statement that begins something, by the offset of its first token, what it is.
type starts map[int]start

type start struct {
	indent int
	kind   lineKind
	inside int // the indentation of comments behind it
	table  int
	to     int // where it ends, the lines that it goes on to included
}

// statement lays out one statement, line by line as it stands in the text.
func (w *formatter) statement(it *Item) {
	for w.at < len(w.toks) && w.toks[w.at].from < it.Statement.Where().From {
		w.at++
	}
	w.roles = rolesOf(it.Statement)
	begins := w.starts()
	now := start{}
	for _, row := range w.rows(it.Span.To) {
		if len(row) == 0 {
			w.layout.blank()
			continue
		}
		body, note := w.cut(row)
		if len(body) == 0 {
			indent := now.inside
			if row[0].from < now.to {
				indent = now.indent + 4
			}
			w.layout.add(entry{kind: insideLine, indent: indent, body: note})
			continue
		}
		s, begin := begins[body[0].from]
		if begin {
			now = s
		} else {
			s = start{indent: now.indent + 4, kind: goingOn}
		}
		e := entry{kind: s.kind, indent: s.indent, note: note, table: s.table}
		w.fill(&e, body)
		w.layout.add(e)
	}
}

// starts finds the lines of the statement at hand that begin something: its head, and the lines of its body.
func (w *formatter) starts() starts {
	var unused diag.List
	s := &splitter{src: w.src, toks: w.toks, at: w.at}
	g := s.group(&unused)
	out := starts{}
	w.block(out, g, 0)
	for _, l := range g.rule {
		w.block(out, l, 2)
	}
	return out
}

func (w *formatter) block(out starts, g group, indent int) {
	inside := indent
	if len(g.body)+len(g.rule) > 0 || g.end != nil {
		inside = indent + 2
	}
	table := w.layout.newTable()
	out[g.head.toks[0].from] = start{indent: indent, kind: w.kind(g.head), inside: inside, to: g.head.to}
	for _, l := range g.body {
		out[l.toks[0].from] = start{indent: inside, kind: w.kind(l), inside: inside, table: table, to: l.to}
	}
	if g.end != nil {
		out[g.end.toks[0].from] = start{indent: indent, inside: indent, to: g.end.to}
	}
}

// kind tells how a line is laid out.
func (w *formatter) kind(l logical) lineKind {
	if len(l.toks) > 1 && w.sign(l.toks[1]) == "=" && l.toks[0].typ != tNumber {
		return cellLine
	}
	for _, t := range l.toks {
		if w.sign(t) == "|" {
			return rowLine
		}
	}
	if factWords[w.text(l.toks[0])] || w.text(l.toks[0]) == "needs" || w.text(l.toks[0]) == "holds" {
		return factLine
	}
	return plainLine
}

// fill writes the tokens of a line into the parts of its entry.
func (w *formatter) fill(e *entry, body []tok) {
	switch e.kind {
	case cellLine:
		e.name, body = w.text(body[0]), body[2:]
		for i, t := range body {
			if w.roles.shown[t.from] {
				e.shown = w.spaced(body[i:])
				body = body[:i]
				break
			}
		}
		e.body = w.spaced(body)
	case rowLine:
		part := 0
		if w.sign(body[0]) == "|" {
			e.front, body = true, body[1:]
		}
		for i, t := range body {
			if w.sign(t) == "|" {
				e.places = append(e.places, w.spaced(body[part:i]))
				part = i + 1
			}
		}
		e.places = append(e.places, w.spaced(body[part:]))
	case factLine:
		e.name, e.body = w.text(body[0]), w.spaced(body[1:])
	default:
		e.body = w.spaced(body)
	}
}

// rows gives the tokens of each line up to an offset, comments included.
func (w *formatter) rows(to int) [][]tok {
	var out [][]tok
	first := w.at
	for ; w.at < len(w.toks) && w.toks[w.at].from < to; w.at++ {
		if w.toks[w.at].typ == tNewline {
			out = append(out, w.toks[first:w.at])
			first = w.at + 1
		}
	}
	if first < w.at {
		out = append(out, w.toks[first:w.at])
	}
	return out
}

func (w *formatter) text(t tok) string { return w.src.Text[t.from:t.to] }

func (w *formatter) sign(t tok) string {
	if t.typ != tOp {
		return ""
	}
	return operator(w.text(t))
}

// cut parts a line into its tokens and its comment.
func (w *formatter) cut(row []tok) ([]tok, string) {
	n := len(row)
	if n == 0 || row[n-1].typ != tComment {
		return row, ""
	}
	note := trimBlanks(w.text(row[n-1]))
	if len(note) > 1 && !strings.ContainsRune("# \t", rune(note[1])) {
		note = "# " + note[1:]
	}
	return row[:n-1], note
}
