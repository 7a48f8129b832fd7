package syntax

import (
	"fmt"
	"io"
	"strings"
	"unicode"

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
	broken   *diag.Message // a bracket left open, or too long a line
}

// group is a statement before parsing: one logical line, or a block with its body.
type group struct {
	head logical
	body []logical // of a table or handout, without the end line
	rule []group   // of a rule: its lines, and its tables with their bodies
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

// maxLine is how many tokens one statement without its body may have.
const maxLine = 400_000

// line reads one logical line from the token at s.at, which is its first. It does not go on past a line that begins
// with one of the words given.
func (s *splitter) line(words map[string]bool) logical {
	l := logical{from: s.lineStart(s.toks[s.at].from)}
	var open []tok
	bars := false
	inRule := s.statementWord(s.at, statementWords) == "rule"
	first := s.at
	for s.at < len(s.toks) {
		t := s.toks[s.at]
		if t.typ == tComment {
			l.note, l.noteSpan = trimNote(s.word(t)), span(t.from, t.to)
			s.at++
			continue
		}
		if t.typ == tNewline {
			if bars || !s.goesOn(&l, open, inRule, words) {
				break
			}
			l.note, l.noteSpan = "", Span{}
			continue
		}
		switch s.op(t) {
		case "(", "[":
			open = append(open, t)
		case ")", "]":
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
		case "|":
			bars = true // a row of a table stands on one line
		}
		if s.at == first+len(l.toks) {
			l.toks = s.toks[first : s.at+1 : s.at+1] // one line on its own needs no copy
		} else {
			l.toks = append(l.toks, t)
		}
		s.at++
	}
	if len(open) > 0 && l.broken == nil {
		l.broken = s.unclosed(open)
	}
	if len(l.toks) > maxLine {
		l.broken = diag.New(s.src, span(l.toks[0].from, l.toks[0].to), fmt.Sprintf("This statement has more than %d words and signs.", maxLine), "Split it, or use a table.")
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
func (s *splitter) goesOn(l *logical, open []tok, inRule bool, words map[string]bool) bool {
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
	stop := s.begins(next, words) || len(open) > 0 && s.isRow(next)
	if inRule && len(open) > 0 {
		stop = s.statementWord(next, words) != "" // `name =` is a parameter with its default
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

// isRow tells whether a line has a bar: only rows of tables do, and a bracket does not go on into them.
func (s *splitter) isRow(i int) bool {
	for ; i < len(s.toks) && s.toks[i].typ != tNewline; i++ {
		if s.op(s.toks[i]) == "|" {
			return true
		}
	}
	return false
}

// trimNote gives the words of a comment.
func trimNote(comment string) string { return trimBlanks(strings.TrimLeft(trimBlanks(comment), "#")) }

func trimBlanks(s string) string {
	return strings.TrimFunc(s, func(r rune) bool { return r == '\t' || r == '\r' || unicode.Is(unicode.Zs, r) })
}

// group reads a statement with its block.
func (s *splitter) group(messages *diag.List) group {
	first := s.at
	g := group{head: s.line(statementWords)}
	g.to = g.head.to
	switch s.statementWord(first, statementWords) {
	case "rule":
		s.ruleBody(&g, messages)
	case "handout":
		s.body(&g, statementWords, messages)
	case "table":
		if !s.hasWord(g.head, "from") || s.bodyFollows() {
			s.body(&g, statementWords, messages)
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

// bodyFollows tells whether an `end` comes before the next statement word: a table from a file may have a body, with
// its headings and column formulas.
func (s *splitter) bodyFollows() bool {
	for i := s.at; i < len(s.toks); i++ {
		if i > s.at && s.toks[i-1].typ != tNewline {
			continue
		}
		if w := s.statementWord(i, statementWords); w != "" {
			return w == "end"
		}
	}
	return false
}

// ruleBody reads the lines of a rule up to its end, and its tables with their bodies.
func (s *splitter) ruleBody(g *group, messages *diag.List) {
	for s.more() {
		w := s.statementWord(s.at, statementWords)
		if w != "" && w != "end" && w != "table" {
			break
		}
		l := group{head: s.line(bodyWords)}
		l.to = l.head.to
		if w == "end" && len(l.head.toks) == 1 {
			g.end, g.to = &l.head, l.to
			return
		}
		if w == "table" {
			s.body(&l, bodyWords, messages)
		}
		g.rule = append(g.rule, l)
		g.to = l.to
	}
	s.noEnd(g, messages)
}

// body reads the lines of a table or handout up to its end. A line that begins with one of the words means that the end
// is missing; the body then stops before it, so that reading resumes there.
func (s *splitter) body(g *group, words map[string]bool, messages *diag.List) {
	for s.more() {
		w := s.statementWord(s.at, words)
		if w != "" && w != "end" {
			break
		}
		l := s.line(words)
		if w == "end" && len(l.toks) == 1 {
			g.end, g.to = &l, l.to
			return
		}
		g.body = append(g.body, l)
		g.to = l.to
	}
	s.noEnd(g, messages)
}

// more skips to the next line that holds something, and tells whether there is one.
func (s *splitter) more() bool {
	s.blank()
	return s.at < len(s.toks)
}

func (s *splitter) noEnd(g *group, messages *diag.List) {
	head := g.head.toks
	*messages = append(*messages, diag.New(s.src, span(head[0].from, head[len(head)-1].to),
		fmt.Sprintf("This %s has no end.", s.word(head[0])), "Write a line \"end\" behind its last line."))
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
	return lexer.Token{Type: t.typ, Value: s.src.Cut(span(t.from, t.to)), Pos: lexer.Position{Offset: t.from}}, nil
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
