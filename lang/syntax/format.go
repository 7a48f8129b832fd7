package syntax

import (
	"strings"

	"castwright/lang/diag"
)

// Format writes a file in the canonical layout: one blank around signs, none inside literals, cells of a run with their
// signs, brackets and notes under one another, bodies of blocks indented by two, rows with their bars under one
// another. Comments stay, and so does every line that cannot be read.
func Format(f *File) string {
	text := f.Source.Text
	end := "\n"
	if strings.Contains(text, "\r\n") {
		end = "\r\n"
	}
	w := &formatter{src: f.Source, toks: scan(f.Source, nil), literals: literalSpans(f)}
	for i, it := range f.Items {
		raw := text[it.Span.From:it.Span.To]
		switch {
		case it.Statement == nil && !it.Bad:
			w.trivia(strings.TrimPrefix(raw, "\ufeff"))
		case it.Bad:
			w.raw(raw)
		default:
			w.statement(it, i)
		}
	}
	w.align()
	out := strings.Join(w.lines, end)
	out = strings.TrimRight(out, " \r\n")
	if out != "" {
		out += end
	}
	if strings.HasPrefix(text, "\ufeff") {
		out = "\ufeff" + out
	}
	return out
}

type formatter struct {
	src      *diag.Source
	toks     []tok
	at       int
	literals map[int]int // where a literal begins, to where it ends
	lines    []string
	run      []runLine // cells that stand under one another
}

// runLine is one cell of a run: its parts, to be aligned.
type runLine struct {
	at                      int // index into lines
	name, body, shown, note string
}

// literalSpans finds the literals, shown brackets and texts of a file; their inside keeps its spacing.
func literalSpans(f *File) map[int]int {
	out := map[int]int{}
	keep := func(e Expr) {
		Walk(e, func(x Expr) {
			switch x.(type) {
			case *Quantity, *Text:
				out[x.Where().From] = x.Where().To
			}
		})
	}
	shown := func(s *Shown) {
		if s != nil {
			out[s.Span.From] = s.Span.To
		}
	}
	for _, it := range f.Items {
		eachExpr(it.Statement, keep, shown)
	}
	return out
}

// eachExpr visits the expressions and shown brackets of a statement.
func eachExpr(s Statement, visit func(Expr), shown func(*Shown)) {
	text := func(t *Text) {
		if t != nil {
			visit(t)
		}
	}
	some := func(es ...Expr) {
		for _, e := range es {
			if e != nil {
				visit(e)
			}
		}
	}
	args := func(as []*Argument) {
		for _, a := range as {
			visit(a.Expr)
		}
	}
	switch x := s.(type) {
	case *Title:
		text(x.Text)
	case *Section:
		text(x.Text)
	case *Cell:
		some(x.Expr)
		shown(x.Shown)
		if x.Accept != nil {
			text(x.Accept.Why)
		}
	case *Ask:
		some(x.Assume, x.Given)
		shown(x.Shown)
	case *Measure:
		some(x.Value)
	case *Rule:
		eachInRule(x, some, text, visit, shown)
	case *Table:
		eachInTable(x, some, visit, shown)
	case *Check:
		some(x.Cond)
		text(x.Else)
	case *Part:
		text(x.Path)
		args(x.Replace)
	case *Variant:
		args(x.Set)
	case *Correlation:
		some(x.Value)
	case *Handout:
		text(x.Title)
		for _, it := range x.Items {
			some(it.Expr)
		}
	case *Line:
		some(x.Expr)
		shown(x.Shown)
	}
}

func eachInRule(x *Rule, some func(...Expr), text func(*Text), visit func(Expr), shown func(*Shown)) {
	for _, p := range x.Params {
		some(p.Default)
		shown(p.Shown)
	}
	for _, t := range []*Text{x.About, x.Source, x.Caution, x.Family, x.Example} {
		text(t)
	}
	some(x.Needs...)
	some(x.Holds...)
	for _, t := range x.Tables {
		eachInTable(t, some, visit, shown)
	}
	for _, l := range x.Lines {
		some(l.Expr)
		shown(l.Shown)
	}
	for _, g := range x.Gives {
		some(g.Expr)
		shown(g.Shown)
	}
}

func eachInTable(x *Table, some func(...Expr), visit func(Expr), shown func(*Shown)) {
	if x.From != nil {
		visit(x.From.Path)
		for _, a := range x.From.Options {
			visit(a.Expr)
		}
	}
	for _, c := range x.Formulas {
		some(c.Expr)
		shown(c.Shown)
	}
	for _, h := range x.Heads {
		shown(h.Shown)
	}
	for _, r := range x.Rows {
		some(r.Cells...)
	}
}

// trivia writes blank and comment lines; more than one blank line in a row is one.
func (w *formatter) trivia(raw string) {
	for l := range strings.SplitSeq(strings.TrimSuffix(raw, "\n"), "\n") {
		l = strings.TrimSpace(l)
		if l == "" {
			w.align()
			if len(w.lines) > 0 && w.lines[len(w.lines)-1] != "" {
				w.lines = append(w.lines, "")
			}
			continue
		}
		w.align()
		w.lines = append(w.lines, l)
	}
}

func (w *formatter) raw(raw string) {
	w.align()
	for l := range strings.SplitSeq(strings.TrimSuffix(raw, "\n"), "\n") {
		w.lines = append(w.lines, strings.TrimRight(l, " \t\r"))
	}
}

// statement writes one statement, line by line as it stands in the text.
func (w *formatter) statement(it Item, _ int) {
	rows := w.rows(it)
	switch st := it.Statement.(type) {
	case *Cell:
		if len(rows) == 1 {
			w.cell(rows[0], st.Shown)
			return
		}
	case *Rule, *Handout:
		w.align()
		w.block(rows)
		return
	case *Table:
		w.align()
		if st.From == nil {
			w.block(rows)
			return
		}
	}
	w.align()
	for i, r := range rows {
		indent := ""
		if i > 0 {
			indent = "    "
		}
		w.lines = append(w.lines, w.join(r, indent))
	}
}

// rows gives the tokens of each line of an item, comments included.
func (w *formatter) rows(it Item) [][]tok {
	for w.at < len(w.toks) && w.toks[w.at].from < it.Span.From {
		w.at++
	}
	out := [][]tok{nil}
	for ; w.at < len(w.toks) && w.toks[w.at].from < it.Span.To; w.at++ {
		if w.toks[w.at].typ == tNewline {
			out = append(out, nil)
			continue
		}
		out[len(out)-1] = append(out[len(out)-1], w.toks[w.at])
	}
	if n := len(out); len(out[n-1]) == 0 {
		out = out[:n-1]
	}
	return out
}

func (w *formatter) text(t tok) string { return w.src.Text[t.from:t.to] }

// cut parts a line into its tokens and its comment.
func (w *formatter) cut(row []tok) ([]tok, string) {
	if n := len(row); n > 0 && row[n-1].typ == tComment {
		return row[:n-1], "# " + trimNote(w.text(row[n-1]))
	}
	return row, ""
}

// join writes a line with canonical spacing.
func (w *formatter) join(row []tok, indent string) string {
	body, note := w.cut(row)
	s := indent + w.spaced(body)
	if note != "" {
		if len(body) > 0 {
			s += "  "
		}
		s += note
	}
	return strings.TrimRight(s, " ")
}

// cell keeps a cell for its run.
func (w *formatter) cell(row []tok, shown *Shown) {
	body, note := w.cut(row)
	l := runLine{at: len(w.lines), name: w.text(body[0]), note: note}
	rest := body[2:]
	if shown != nil {
		for i, t := range rest {
			if t.from == shown.Span.From {
				l.shown = w.spaced(rest[i:])
				rest = rest[:i]
				break
			}
		}
	}
	l.body = w.spaced(rest)
	w.run = append(w.run, l)
	w.lines = append(w.lines, "")
}

// align writes the run of cells with their signs, brackets and notes under one another. Cells much longer than the
// others do not push these away.
func (w *formatter) align() {
	const far = 48
	name, body, shown := 0, 0, 0
	for _, l := range w.run {
		if n := diag.Width(l.name); n <= 24 {
			name = max(name, n)
		}
		if n := diag.Width(l.body); n <= far && l.shown != "" {
			body = max(body, n)
		}
	}
	whole := func(l runLine) string {
		s := pad(l.name, name) + " = " + l.body
		if l.shown != "" {
			s = pad(l.name, name) + " = " + pad(l.body, body) + "  " + l.shown
		}
		return s
	}
	for _, l := range w.run {
		if n := diag.Width(whole(l)); n <= far+name+16 && l.note != "" {
			shown = max(shown, n)
		}
	}
	for _, l := range w.run {
		s := whole(l)
		if l.note != "" {
			s = pad(s, shown) + "  " + l.note
		}
		w.lines[l.at] = strings.TrimRight(s, " ")
	}
	w.run = nil
}

func pad(s string, n int) string { return s + strings.Repeat(" ", max(0, n-diag.Width(s))) }

// block writes a rule, table or handout: its body indented, rows of a table with their bars aligned.
func (w *formatter) block(rows [][]tok) {
	var bars [][]tok
	depth := 1
	open := 0
	flush := func() {
		w.table(bars, strings.Repeat("  ", depth))
		bars = nil
	}
	for i, r := range rows {
		if len(r) == 0 {
			flush()
			if n := len(w.lines); n > 0 && w.lines[n-1] != "" {
				w.lines = append(w.lines, "")
			}
			continue
		}
		first := w.text(r[0])
		if open == 0 && i > 0 && w.hasBar(r) {
			bars = append(bars, r)
			continue
		}
		flush()
		if first == "end" && open == 0 && len(r) <= 2 {
			depth--
		}
		indent := strings.Repeat("  ", depth)
		if i == 0 {
			indent = ""
		} else if open > 0 {
			indent += "    "
		}
		w.lines = append(w.lines, w.join(r, indent))
		if first == "table" && i > 0 && open == 0 {
			depth++
		}
		open = max(0, open+w.brackets(r))
	}
	flush()
}

func (w *formatter) brackets(r []tok) int {
	n := 0
	for _, t := range r {
		if t.typ == tOp {
			switch w.text(t) {
			case "(", "[":
				n++
			case ")", "]":
				n--
			}
		}
	}
	return n
}

func (w *formatter) hasBar(r []tok) bool {
	for _, t := range r {
		if t.typ == tOp && w.text(t) == "|" {
			return true
		}
	}
	return false
}

// table writes headings and rows with their bars under one another.
func (w *formatter) table(rows [][]tok, indent string) {
	var cells [][]string
	var notes []string
	var wide []int
	front := false
	for _, r := range rows {
		body, note := w.cut(r)
		notes = append(notes, note)
		var line []string
		part := []tok{}
		for i, t := range body {
			if t.typ == tOp && w.text(t) == "|" {
				if i == 0 {
					front = true
					continue
				}
				line = append(line, w.spaced(part))
				part = nil
				continue
			}
			part = append(part, t)
		}
		line = append(line, w.spaced(part))
		for i, c := range line {
			if i == len(wide) {
				wide = append(wide, 0)
			}
			wide[i] = max(wide[i], diag.Width(c))
		}
		cells = append(cells, line)
	}
	for k, line := range cells {
		s := indent
		if front {
			s += "| "
		}
		for i, c := range line {
			if i > 0 {
				s += " | "
			}
			s += pad(c, wide[i])
		}
		if notes[k] != "" {
			s += "  " + notes[k]
		}
		w.lines = append(w.lines, strings.TrimRight(s, " "))
	}
}

// spaced writes tokens with canonical blanks between them; inside a literal they stay as they were.
func (w *formatter) spaced(toks []tok) string {
	var b strings.Builder
	keep := 0
	for i, t := range toks {
		if end, ok := w.literals[t.from]; ok && end > keep {
			keep = end
		}
		if i > 0 {
			prev := toks[i-1]
			if t.from < keep && prev.from >= w.start(keep) {
				b.WriteString(w.src.Text[prev.to:t.from])
			} else if w.blank(toks, i) {
				b.WriteByte(' ')
			}
		}
		b.WriteString(w.text(t))
	}
	return b.String()
}

// start is where the literal that ends at an offset begins.
func (w *formatter) start(end int) int {
	best := end
	for from, to := range w.literals {
		if to == end && from < best {
			best = from
		}
	}
	return best
}

// blank tells whether a blank stands before token i.
func (w *formatter) blank(toks []tok, i int) bool {
	t, p := toks[i], toks[i-1]
	a, b := "", ""
	if p.typ == tOp {
		a = operator(w.text(p))
	}
	if t.typ == tOp {
		b = operator(w.text(t))
	}
	switch {
	case t.typ == tFoot || t.typ == tInch || t.typ == tSuper:
		return false
	case b == "," || b == ")" || b == "]" || b == ":" || b == "." || a == "(" || a == "[" || a == "." || b == "^" || a == "^" || b == "%":
		return false
	case b == "[" && i+1 < len(toks) && w.text(toks[i+1]) == "]":
		return false // xs[]
	case b == "(":
		return !(p.typ == tName || p.typ == tUnit) || p.to != t.from
	case a == "-" && w.prefix(toks, i-1):
		return p.to != t.from
	}
	return true
}

// prefix tells whether the minus at i stands before a value and not between two.
func (w *formatter) prefix(toks []tok, i int) bool {
	if i == 0 {
		return true
	}
	p := toks[i-1]
	if p.typ == tOp {
		o := w.text(p)
		return o != ")" && o != "]" && o != "%"
	}
	return (p.typ == tName || p.typ == tUnit) && (reserved[w.text(p)] || soft[w.text(p)])
}
