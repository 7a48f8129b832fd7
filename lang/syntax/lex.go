package syntax

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/alecthomas/participle/v2/lexer"

	"castwright/lang/diag"
)

// maxSource is the longest text that is read, in bytes.
const maxSource = 64 << 20

// scanner turns a text into tokens. Nothing is skipped but blanks, so that the text between two tokens is always
// blank.
type scanner struct {
	src    *diag.Source
	text   string
	at     int
	isUnit func(string) bool
	toks   []tok
	inText []int // for each open `{` in a text, how many braces are open in the expression
}

// scan reads the whole of a source.
func scan(src *diag.Source, isUnit func(string) bool) []tok {
	s := &scanner{src: src, text: src.Text, isUnit: isUnit, toks: make([]tok, 0, len(src.Text)/4+8)}
	if strings.HasPrefix(s.text, "\ufeff") {
		s.at = 3
	}
	for s.next() {
	}
	return s.toks
}

func (s *scanner) emit(t tok) { s.toks = append(s.toks, t) }

func (s *scanner) bad(from, to int, text, wayOut string) {
	s.emit(tok{tBad, from, to, diag.New(s.src, span(from, to), text, wayOut)})
	s.at = to
}

// peek gives the rune at an offset from here.
func (s *scanner) peek(ahead int) rune {
	if s.at+ahead >= len(s.text) {
		return 0
	}
	r, _ := utf8.DecodeRuneInString(s.text[s.at+ahead:])
	return r
}

// tightNumber tells whether a number stands right before here.
func (s *scanner) tightNumber() bool {
	if len(s.toks) == 0 {
		return false
	}
	last := s.toks[len(s.toks)-1]
	return last.to == s.at && (last.typ == tNumber || last.typ == tVulgar)
}

func (s *scanner) next() bool {
	for s.at < len(s.text) {
		r, n := utf8.DecodeRuneInString(s.text[s.at:])
		if r != ' ' && r != '\t' && r != '\u00a0' && r != '\u2009' && r != '\u202f' && !(r == '\r' && s.peek(1) == '\n') {
			break
		}
		s.at += n
	}
	if s.at >= len(s.text) {
		if len(s.inText) > 0 {
			s.inText = nil
		}
		return false
	}
	start := s.at
	r, n := utf8.DecodeRuneInString(s.text[s.at:])
	switch {
	case r == utf8.RuneError && n <= 1:
		s.bad(start, start+1, "This is not readable text: a sheet is written in UTF-8.", "Save the file as UTF-8.")
	case r == '\n':
		s.inText = nil
		s.at++
		s.emit(tok{typ: tNewline, from: start, to: s.at})
	case r == '#':
		end := strings.IndexByte(s.text[start:], '\n')
		if end < 0 {
			end = len(s.text) - start
		}
		s.at = start + len(strings.TrimSuffix(s.text[start:start+end], "\r"))
		s.emit(tok{typ: tComment, from: start, to: s.at})
	case r >= '0' && r <= '9' || r == '.' && s.peek(1) >= '0' && s.peek(1) <= '9':
		s.number()
	case r == '"':
		if s.tightNumber() {
			s.single(tInch, n)
		} else {
			s.words(tText)
		}
	case r == '\'' || r == '′' || r == '’' || r == '″' || r == '”' || r == '“' || r == '„':
		s.mark(r, n)
	case isLetter(r):
		s.name()
	case isSuper(r):
		for s.at < len(s.text) && isSuper(s.peek(0)) {
			s.at += utf8.RuneLen(s.peek(0))
		}
		s.emit(tok{typ: tSuper, from: start, to: s.at})
	default:
		if _, ok := vulgar[r]; ok {
			s.single(tVulgar, n)
			return true
		}
		s.sign(r, n)
	}
	return true
}

func (s *scanner) single(typ lexer.TokenType, n int) {
	s.emit(tok{typ: typ, from: s.at, to: s.at + n})
	s.at += n
}

func (s *scanner) mark(r rune, n int) {
	switch {
	case s.tightNumber() && (r == '\'' || r == '′' || r == '’'):
		s.single(tFoot, n)
	case s.tightNumber() && (r == '″' || r == '”'):
		s.single(tInch, n)
	default:
		s.bad(s.at, s.at+n, "A text stands between straight quotation marks.", "Write \"…\". A foot or inch mark stands tight behind its number.")
	}
}

func (s *scanner) name() {
	start := s.at
	for i, r := range s.text[start:] {
		if !isNameRune(r) {
			s.at = start + i
			break
		}
		s.at = start + i + utf8.RuneLen(r)
	}
	word := s.text[start:s.at]
	typ := tName
	if !reserved[word] && !soft[word] && (s.isUnit == nil || s.isUnit(word)) {
		typ = tUnit
	}
	s.emit(tok{typ: typ, from: start, to: s.at})
}

var signs = []string{"+/-s", "+/-", "±s", "==", "!=", "<=", ">="}

func (s *scanner) sign(r rune, n int) {
	rest := s.text[s.at:]
	for _, sign := range signs {
		if strings.HasPrefix(rest, sign) {
			after, _ := utf8.DecodeRuneInString(rest[len(sign):])
			if strings.HasSuffix(sign, "s") && isNameRune(after) && len(rest) > len(sign) {
				continue // `±span` is ± and a name
			}
			s.single(tOp, len(sign))
			return
		}
	}
	switch r {
	case '{':
		if k := len(s.inText); k > 0 {
			s.inText[k-1]++
		}
	case '}':
		if k := len(s.inText); k > 0 {
			if s.inText[k-1] == 0 {
				s.inText = s.inText[:k-1]
				s.words(tTextMid)
				return
			}
			s.inText[k-1]--
		}
	}
	switch r {
	case '+', '-', '*', '/', '^', '(', ')', '[', ']', '{', '}', ',', '.', ':', '|', '=', '<', '>', '±', '%',
		'×', '·', '⋅', '÷', '−', '≠', '≤', '≥':
		s.single(tOp, n)
	case '$', '€', '£', '¥':
		codes := map[rune]string{'$': "USD, CAD or AUD", '€': "EUR", '£': "GBP", '¥': "JPY or CNY"}[r]
		s.bad(s.at, s.at+n, fmt.Sprintf("Money is written with the code of its currency, not with %c.", r), fmt.Sprintf("Write the code behind the number, as 12 %s. The codes are those of ISO 4217: %s.", strings.Fields(strings.ReplaceAll(codes, ",", ""))[0], codes))
	case '!':
		s.bad(s.at, s.at+n, "There is no sign ! here.", "Write \"not\", or != for \"differs from\".")
	case '&':
		s.bad(s.at, s.at+n, "There is no sign & here.", "Write \"and\"; texts are joined as \"{a}{b}\".")
	default:
		what := fmt.Sprintf("The character %q has no meaning here.", r)
		if r < ' ' || r == 0x7f {
			what = fmt.Sprintf("An invisible character (number %d) stands here.", r)
		}
		s.bad(s.at, s.at+n, what, "Take it out.")
	}
}

// words reads a piece of a text: from its opening quote, or from the brace that ends an expression in it.
func (s *scanner) words(typ lexer.TokenType) {
	start := s.at
	i := s.at + 1
	for i < len(s.text) {
		switch c := s.text[i]; {
		case c == '\n':
			s.unclosed(start, i)
			return
		case c == '"':
			if strings.HasPrefix(s.text[i:], `""`) {
				i += 2
				continue
			}
			if typ == tTextMid {
				typ = tTextEnd
			}
			s.emit(tok{typ: typ, from: start, to: i + 1})
			s.at = i + 1
			return
		case c == '{':
			if strings.HasPrefix(s.text[i:], "{{") {
				i += 2
				continue
			}
			if typ == tText {
				typ = tTextOpen
			}
			s.emit(tok{typ: typ, from: start, to: i + 1})
			s.at = i + 1
			s.inText = append(s.inText, 0)
			return
		case c < ' ' && c != '\t' && !(c == '\r' && i+1 < len(s.text) && s.text[i+1] == '\n') || c == 0x7f:
			s.bad(i, i+1, "An invisible character stands inside this text.", "Take it out.")
			s.at = i + 1
			s.inText = nil
			return
		}
		i++
	}
	s.unclosed(start, len(s.text))
}

func (s *scanner) unclosed(start, end int) {
	end = start + len(strings.TrimRight(s.text[start:end], " \t\r"))
	s.inText = nil
	s.bad(start, max(end, start+1), "This text is not closed on its line.", "Put a quotation mark at its end. A quotation mark inside a text is written twice.")
}
