package syntax

import (
	"fmt"
	"io"

	"github.com/alecthomas/participle/v2/lexer"

	"castwright/lang/diag"
)

func span(from, to int) Span { return Span{From: from, To: to} }

// logical is one logical line: a line with the lines that it goes on to. Newlines and comments between are left out of
// its tokens.
type logical struct {
	toks     []tok
	from, to int // the whole lines, their ends included
	note     string
	noteSpan Span
	broken   *diag.Message // a bracket left open
}

// group is a statement before parsing: one logical line, or a block with its body.
type group struct {
	head logical
	body []logical // of rule, table and handout, without the end line
	end  *logical
	to   int
}

// splitter cuts the tokens of a source into statements (ruling 1).
type splitter struct {
	src   *diag.Source
	toks  []tok
	at    int
	shell bool // one line at the shell, which may begin with a sign
}

func (s *splitter) word(t tok) string { return s.src.Text[t.from:t.to] }

func (s *splitter) op(t tok) string {
	if t.typ != tOp {
		return ""
	}
	return operator(s.word(t))
}

// lineStart is where the line that holds an offset begins.
func (s *splitter) lineStart(at int) int {
	_, start := s.src.Line(at)
	return start
}

// lineEnd is where the line that holds an offset ends, its line end included.
func (s *splitter) lineEnd(at int) int {
	text := s.src.Text
	for at < len(text) && text[at] != '\n' {
		at++
	}
	return min(at+1, len(text))
}

// blank skips empty and comment lines; it gives where they end.
func (s *splitter) blank() int {
	for s.at < len(s.toks) && (s.toks[s.at].typ == tNewline || s.toks[s.at].typ == tComment) {
		s.at++
	}
	if s.at == len(s.toks) {
		return len(s.src.Text)
	}
	return s.lineStart(s.toks[s.at].from)
}

// begins tells whether a statement begins at token i, the first of its line: a statement word that counts, or
// `name =`.
func (s *splitter) begins(i int, words map[string]bool) bool {
	return s.statementWord(i, words) != "" || s.assigns(i)
}

func (s *splitter) statementWord(i int, words map[string]bool) string {
	if i >= len(s.toks) || s.toks[i].typ != tName && s.toks[i].typ != tUnit {
		return ""
	}
	w := s.word(s.toks[i])
	if !words[w] {
		return ""
	}
	if i+1 < len(s.toks) {
		next := s.toks[i+1]
		op := s.op(next)
		if next.from == s.toks[i].to && (op == "(" || op == "." || op == ":") || op == "=" || op == "|" || op == "," {
			return ""
		}
	}
	return w
}

func (s *splitter) assigns(i int) bool {
	if i+1 >= len(s.toks) || s.toks[i].typ != tName && s.toks[i].typ != tUnit {
		return false
	}
	return s.op(s.toks[i+1]) == "=" && !reserved[s.word(s.toks[i])]
}

var continuing = map[string]bool{
	"+": true, "-": true, "*": true, "/": true, "^": true, ",": true, "==": true, "!=": true, "<": true, "<=": true,
	">": true, ">=": true, "±": true, "±s": true, "=": true,
	"then": true, "else": true, "and": true, "or": true, "not": true, "where": true,
}

// line reads one logical line from the token at s.at, which is its first.
func (s *splitter) line() logical {
	l := logical{from: s.lineStart(s.toks[s.at].from)}
	var open []tok
	inRule := s.statementWord(s.at, statementWords) == "rule"
	for s.at < len(s.toks) {
		t := s.toks[s.at]
		if t.typ == tComment {
			l.note, l.noteSpan = trimNote(s.word(t)), span(t.from, t.to)
			s.at++
			continue
		}
		if t.typ == tNewline {
			if !s.goesOn(&l, open, inRule) {
				break
			}
			l.note = ""
			continue
		}
		switch s.op(t) {
		case "(", "[":
			open = append(open, t)
		case ")", "]":
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
		}
		l.toks = append(l.toks, t)
		s.at++
	}
	if len(open) > 0 && l.broken == nil {
		l.broken = s.unclosed(open)
	}
	l.to = len(s.src.Text)
	if s.at < len(s.toks) {
		l.to = s.toks[s.at].to
		s.at++
	} else if len(l.toks) > 0 {
		l.to = s.lineEnd(l.toks[len(l.toks)-1].to)
	}
	return l
}

func (s *splitter) unclosed(open []tok) *diag.Message {
	t := open[len(open)-1]
	closer := map[string]string{"(": ")", "[": "]"}[s.op(t)]
	return diag.New(s.src, span(t.from, t.to), "This bracket is not closed.", fmt.Sprintf("Put %q where it ends. A line goes on while a bracket is open, but not past a line that begins a statement.", closer))
}

// goesOn decides at a line end whether the logical line goes on, and if so moves to the first token of the next line.
func (s *splitter) goesOn(l *logical, open []tok, inRule bool) bool {
	last := l.toks[len(l.toks)-1]
	word := s.word(last)
	if last.typ == tOp {
		word = operator(word)
	}
	if len(open) == 0 && !(continuing[word] && last.typ != tText) {
		return false
	}
	next := s.at
	for next < len(s.toks) && (s.toks[next].typ == tNewline || s.toks[next].typ == tComment) {
		next++
	}
	if next == len(s.toks) {
		return false
	}
	stop := s.begins(next, statementWords)
	if inRule && len(open) > 0 {
		stop = s.statementWord(next, statementWords) != "" // `name =` is a parameter with its default
	}
	if stop {
		if len(open) > 0 {
			l.broken = s.unclosed(open)
		}
		return false
	}
	s.at = next
	return true
}

func trimNote(comment string) string {
	for len(comment) > 0 && (comment[0] == '#' || comment[0] == ' ' || comment[0] == '\t') {
		comment = comment[1:]
	}
	for len(comment) > 0 && (comment[len(comment)-1] == ' ' || comment[len(comment)-1] == '\t') {
		comment = comment[:len(comment)-1]
	}
	return comment
}

// group reads a statement with its block.
func (s *splitter) group(messages *diag.List) group {
	first := s.at
	g := group{head: s.line()}
	g.to = g.head.to
	switch s.statementWord(first, statementWords) {
	case "rule":
		s.body(&g, "rule", ruleWords, messages)
	case "handout":
		s.body(&g, "handout", map[string]bool{"end": true}, messages)
	case "table":
		if !s.hasWord(g.head, "from") {
			s.body(&g, "table", map[string]bool{"end": true}, messages)
		}
	}
	return g
}

func (s *splitter) hasWord(l logical, word string) bool {
	for i, t := range l.toks {
		if i >= 2 && t.typ == tName && s.word(t) == word {
			return true
		}
	}
	return false
}

// body reads the lines of a block up to its end. A line that begins another statement means that the end is missing;
// the body then stops before it, so that reading resumes there.
func (s *splitter) body(g *group, block string, words map[string]bool, messages *diag.List) {
	depth := 0
	for {
		save := s.at
		s.blank()
		if s.at >= len(s.toks) {
			s.at = save
			break
		}
		w := s.statementWord(s.at, statementWords)
		if w != "" && !words[w] && depth == 0 || depth > 0 && w != "" && w != "end" {
			s.at = save
			break
		}
		l := s.line()
		if w == "end" && len(l.toks) == 1 {
			if depth == 0 {
				g.end, g.to = &l, l.to
				return
			}
			depth--
		}
		if block == "rule" && w == "table" && depth == 0 {
			depth++
		}
		g.body = append(g.body, l)
		g.to = l.to
	}
	head := g.head.toks[0]
	messages.Add(diag.New(s.src, span(head.from, g.head.toks[len(g.head.toks)-1].to),
		fmt.Sprintf("This %s has no end.", block), "Write a line \"end\" behind its last line."))
}

// stream is a run of tokens as participle wants it.
type stream struct {
	src  *diag.Source
	toks []tok
	at   int
	eof  int
}

func (s *stream) Next() (lexer.Token, error) {
	if s.at >= len(s.toks) {
		return lexer.Token{Type: tEOF, Pos: lexer.Position{Offset: s.eof}}, nil
	}
	t := s.toks[s.at]
	s.at++
	return lexer.Token{Type: t.typ, Value: s.src.Text[t.from:t.to], Pos: lexer.Position{Offset: t.from}}, nil
}

// definition is the lexer as participle knows it. Sheets come to the grammar already cut into statements; reading a
// text through it gives the tokens of the text, without line ends and comments.
type definition struct{}

func (definition) Symbols() map[string]lexer.TokenType { return symbols }

func (definition) Lex(name string, r io.Reader) (lexer.Lexer, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	return definition{}.LexString(name, string(text))
}

func (definition) LexString(name, text string) (lexer.Lexer, error) {
	src := &diag.Source{Name: name, Text: text}
	return &stream{src: src, toks: plain(scan(src, nil)), eof: len(text)}, nil
}

// plain leaves line ends and comments out.
func plain(toks []tok) []tok {
	out := toks[:0:0]
	for _, t := range toks {
		if t.typ != tNewline && t.typ != tComment {
			out = append(out, t)
		}
	}
	return out
}
