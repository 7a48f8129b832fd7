package syntax

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/alecthomas/participle/v2/lexer"

	"castwright/lang/diag"
)

// Limits of one text: its length in bytes, and how many tokens are held at a time.
const (
	maxSource = 16 << 20
	maxTokens = 4_000_000
)

// scanner turns a text into tokens. Nothing is skipped but blanks, so that the text between two tokens is always
// blank.
type scanner struct {
	src    *diag.Source
	text   string
	at     int
	isUnit func(string) bool
	toks   []tok
	inText bool // between the braces of a text
	eol    int  // the line end found last, so that it is looked for once a line
}

// scan reads the whole of a source.
func scan(src *diag.Source, isUnit func(string) bool) []tok {
	s := &scanner{src: src, text: src.Text, isUnit: isUnit, toks: make([]tok, 0, len(src.Text)/5+8), eol: -1}
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

// blanks skips blanks of every width, and the first half of a CRLF.
func (s *scanner) blanks() {
	for s.at < len(s.text) {
		switch c := s.text[s.at]; {
		case c == ' ' || c == '\t' || c == '\r' && s.byteAt(s.at+1) == '\n':
			s.at++
		case c >= utf8.RuneSelf:
			r, n := utf8.DecodeRuneInString(s.text[s.at:])
			if !unicode.Is(unicode.Zs, r) {
				return
			}
			s.at += n
		default:
			return
		}
	}
}

func (s *scanner) next() bool {
	s.blanks()
	if s.at >= len(s.text) {
		return false
	}
	if len(s.toks) >= maxTokens {
		s.bad(s.at, s.at+1, fmt.Sprintf("This text holds more than %d words and signs; the rest is not read.", maxTokens), "Keep large logs in a CSV file and name it in a table.")
		return false
	}
	start := s.at
	r, n := utf8.DecodeRuneInString(s.text[s.at:])
	switch {
	case r == '\n':
		s.inText = false
		s.single(tNewline, 1)
	case r == '#':
		s.comment()
	case r >= '0' && r <= '9' || r == '.' && digit(s.byteAt(start+1)):
		s.number()
	case r == '"':
		switch {
		case s.inText:
			s.bad(start, start+1, "Inside the braces of a text no quotation mark stands.", "Put } before it where the value ends; a text or a length in inches gets a cell of its own, whose name stands here.")
			s.at, s.inText = s.lineEnd(start), false
		case s.tightNumber():
			s.single(tInch, n)
		default:
			s.words(tText)
		}
	case strings.ContainsRune("'′’‘″”“„«»", r):
		s.mark(r, n)
	case isLetter(r) || r == '°':
		s.name()
	case isSuper(r):
		for s.at < len(s.text) && isSuper(s.peek(0)) {
			s.at += utf8.RuneLen(s.peek(0))
		}
		s.emit(tok{typ: tSuper, from: start, to: s.at})
	case r >= utf8.RuneSelf && vulgar[r] != [2]int64{}:
		s.single(tVulgar, n)
	default:
		s.sign(r, n)
	}
	return true
}

// lineEnd is where the line that holds an offset ends, without its line end.
func (s *scanner) lineEnd(at int) int {
	if at <= s.eol {
		return s.eol
	}
	end := len(s.text)
	if i := strings.IndexByte(s.text[at:], '\n'); i >= 0 {
		end = at + i
	}
	if end > at && s.text[end-1] == '\r' && end < len(s.text) {
		end--
	}
	s.eol = end
	return end
}

// unprintable finds the first character of a text or comment that a reader cannot see or trust: control characters,
// those that turn the direction of writing, and bytes that are not UTF-8. It gives -1 where there is none.
func unprintable(text string) (at, size int, what, wayOut string) {
	for i, r := range text {
		switch {
		case r >= ' ' && r < 0x7f || r == '\t':
		case r == utf8.RuneError && !strings.HasPrefix(text[i:], "\ufffd"):
			return i, 1, "This is not readable text: a sheet is written in UTF-8.", "Save the file as UTF-8."
		case unicode.Is(unicode.Cc, r) || r == 0x2028 || r == 0x2029:
			return i, utf8.RuneLen(r), fmt.Sprintf("An invisible character (U+%04X) stands here.", r), "Take it out."
		case r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069:
			return i, utf8.RuneLen(r), fmt.Sprintf("An invisible character (U+%04X) that turns the direction of writing stands here.", r), "Take it out: what is read must be what is seen."
		}
	}
	return -1, 0, "", ""
}

func (s *scanner) comment() {
	start, end := s.at, s.lineEnd(s.at)
	if i, n, what, wayOut := unprintable(s.text[start:end]); i >= 0 {
		s.bad(start+i, start+i+n, what, wayOut)
	} else {
		s.emit(tok{typ: tComment, from: start, to: end})
	}
	s.at = end
}

func (s *scanner) single(typ lexer.TokenType, n int) {
	s.emit(tok{typ: typ, from: s.at, to: s.at + n})
	s.at += n
}

// mark reads a foot or inch mark tight behind a number; else it is a quotation mark of another kind, and refused. What
// stands between two of those is skipped, so that a bracket in it does not count.
func (s *scanner) mark(r rune, n int) {
	foot := r == '\'' || r == '′' || r == '’'
	switch {
	case s.tightNumber() && foot:
		s.single(tFoot, n)
	case s.tightNumber() && (r == '″' || r == '”'):
		s.single(tInch, n)
	default:
		start := s.at
		if k := len(s.toks); k > 0 && s.toks[k-1].to == start && (s.toks[k-1].typ == tName || s.toks[k-1].typ == tUnit) {
			s.bad(start, start+n, "A foot or inch mark stands tight behind a number, not behind a name.", "Write x * 1 ft, or x * 1 in.")
			return
		}
		s.bad(start, start+n, "A text stands between straight quotation marks.", "Write \"…\". A foot or inch mark stands tight behind its number.")
		if i := strings.LastIndexAny(s.text[s.at:s.lineEnd(s.at)], "'’‘”“„«»\""); i >= 0 {
			_, w := utf8.DecodeRuneInString(s.text[s.at+i:])
			s.at += i + w
		}
	}
}

func (s *scanner) name() {
	start := s.at
	s.at = len(s.text)
	for i, r := range s.text[start:] {
		if !isNameRune(r) && !(i == 0 && r == '°') {
			s.at = start + i
			break
		}
	}
	word := nfc(s.text[start:s.at])
	typ := tName
	if !reserved[word] && !soft[word] && s.unit(word) {
		typ = tUnit
	}
	s.emit(tok{typ: typ, from: start, to: s.at})
}

// unit tells whether a word is a unit, as it stands or without the digits of a power, `m3`.
func (s *scanner) unit(word string) bool {
	if s.isUnit == nil || s.isUnit(word) {
		return true
	}
	base := strings.TrimRight(word, "0123456789")
	return base != word && base != "" && s.isUnit(base)
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
	if r == '}' && s.inText {
		s.inText = false
		s.words(tTextMid)
		return
	}
	switch r {
	case '+', '-', '*', '/', '^', '(', ')', '[', ']', '{', '}', ',', '.', ':', '|', '=', '<', '>', '±', '%',
		'×', '·', '⋅', '÷', '−', '≠', '≤', '≥':
		s.single(tOp, n)
	case '$', '€', '£', '¥':
		codes := map[rune]string{'$': "USD, CAD or AUD", '€': "EUR", '£': "GBP", '¥': "JPY or CNY"}[r]
		s.bad(s.at, s.at+n, fmt.Sprintf("Money is written with the code of its currency, not with %c.", r), fmt.Sprintf("Write the code behind the number, as 12 %s. The codes are those of ISO 4217: %s.", strings.Fields(strings.ReplaceAll(codes, ",", ""))[0], codes))
	default:
		s.stray(r, n)
	}
}

// stray refuses a character that is no token.
func (s *scanner) stray(r rune, n int) {
	if i, size, what, wayOut := unprintable(s.text[s.at : s.at+n]); i >= 0 {
		s.bad(s.at, s.at+size, what, wayOut)
		return
	}
	what, wayOut := fmt.Sprintf("The character %c has no meaning here.", r), "Take it out."
	switch {
	case r == '!':
		wayOut = "Write \"not\", or != for \"differs from\"."
	case r == '&':
		wayOut = "Write \"and\"; texts are joined as \"{a}{b}\"."
	case r == ';':
		wayOut = "Values are parted by commas; statements stand on lines of their own."
	case r == '_':
		wayOut = "A name begins with a letter."
	case r >= '‐' && r <= '―':
		what, wayOut = fmt.Sprintf("The dash %c is no minus sign.", r), "Write -."
	case r == '⁄' || r == '∕':
		what, wayOut = "This is not the slash of the keyboard.", "Write /."
	case !unicode.IsPrint(r):
		what = fmt.Sprintf("An invisible character (U+%04X) stands here.", r)
	}
	s.bad(s.at, s.at+n, what, wayOut)
}

// words reads a piece of a text: from its opening quote, or from the brace that ends an expression in it.
func (s *scanner) words(typ lexer.TokenType) {
	start := s.at
	end := s.lineEnd(start)
	for i := start + 1; i < end; i++ {
		switch s.text[i] {
		case '"':
			if s.byteAt(i+1) == '"' {
				i++
				continue
			}
			if typ == tTextMid {
				typ = tTextEnd
			}
			s.piece(typ, start, i+1)
			return
		case '{':
			if s.byteAt(i+1) == '{' {
				i++
				continue
			}
			if typ == tText {
				typ = tTextOpen
			}
			s.inText = true
			s.piece(typ, start, i+1)
			return
		}
	}
	shown := start + len(strings.TrimRight(s.text[start:end], " \t\r"))
	s.bad(start, max(shown, start+1), "This text is not closed on its line.", "Put a quotation mark at its end. A quotation mark inside a text is written twice.")
	s.at, s.inText = end, false
}

func (s *scanner) piece(typ lexer.TokenType, start, end int) {
	if i, n, what, wayOut := unprintable(s.text[start:end]); i >= 0 {
		s.bad(start+i, start+i+n, what, wayOut)
		s.at, s.inText = s.lineEnd(start), false
		return
	}
	s.emit(tok{typ: typ, from: start, to: end})
	s.at = end
}
