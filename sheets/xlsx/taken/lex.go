package taken

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// token is a word or sign of a worksheet formula.
type token struct {
	kind   tokenKind
	text   string // of a text or a quoted sheet name, without its marks
	value  float64
	spaced bool // a blank stands before it
}

type tokenKind uint8

const (
	tEnd tokenKind = iota
	tNumber
	tText
	tSheet   // 'Bench & legs', before !
	tWord    // a name, a reference, a function
	tPart    // [ … ] of a structured reference, its brackets left out
	tProblem // #N/A
	tSign
)

// maxFormula is the longest formula that is read, in bytes; a workbook takes 8,192 characters (ISO/IEC 29500-1, 18.17).
const maxFormula = 40_000

// problems are the error values (ISO/IEC 29500-1, 18.17.2.3 and 18.17.3).
var problems = []string{"#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#GETTING_DATA", "#SPILL!", "#CALC!", "#BLOCKED!", "#FIELD!", "#CONNECT!", "#UNKNOWN!"}

// scan cuts a formula into tokens.
func scan(s string) ([]token, error) {
	if len(s) > maxFormula {
		return nil, fmt.Errorf("it is longer than %d signs", maxFormula)
	}
	var out []token
	spaced := false
	for s != "" {
		r, size := utf8.DecodeRuneInString(s)
		if unicode.IsSpace(r) {
			s, spaced = s[size:], true
			continue
		}
		t, n, err := scanOne(s, r)
		if err != nil {
			return nil, err
		}
		t.spaced, spaced = spaced, false
		out = append(out, t)
		s = s[n:]
	}
	return append(out, token{kind: tEnd}), nil
}

func scanOne(s string, r rune) (token, int, error) {
	switch {
	case r == '"':
		text, n, err := quotedText(s, '"')
		return token{kind: tText, text: text}, n, err
	case r == '\'':
		text, n, err := quotedText(s, '\'')
		return token{kind: tSheet, text: text}, n, err
	case r == '[':
		text, n, err := bracketed(s)
		return token{kind: tPart, text: text}, n, err
	case r == '#':
		for _, p := range problems {
			if len(s) >= len(p) && strings.EqualFold(s[:len(p)], p) {
				return token{kind: tProblem, text: p}, len(p), nil
			}
		}
		return token{}, 0, fmt.Errorf("the sign # stands where it means nothing")
	case r >= '0' && r <= '9' || r == '.' && len(s) > 1 && s[1] >= '0' && s[1] <= '9':
		return scanNumber(s)
	case isWordRune(r):
		n := 0
		for n < len(s) {
			r, size := utf8.DecodeRuneInString(s[n:])
			if !isWordRune(r) && !unicode.IsDigit(r) {
				break
			}
			n += size
		}
		return token{kind: tWord, text: s[:n]}, n, nil
	}
	for _, op := range []string{"<>", "<=", ">="} {
		if strings.HasPrefix(s, op) {
			return token{kind: tSign, text: op}, 2, nil
		}
	}
	if strings.ContainsRune("+-*/^&=<>%(),;:{}!@", r) {
		return token{kind: tSign, text: string(r)}, utf8.RuneLen(r), nil
	}
	return token{}, 0, fmt.Errorf("the sign %q stands where it means nothing", r)
}

func isWordRune(r rune) bool {
	return r == '_' || r == '$' || r == '\\' || r == '.' || r == '?' || unicode.IsLetter(r) || unicode.Is(unicode.M, r)
}

// scanNumber reads a number, or rows as in 3:5, which the parser puts together.
func scanNumber(s string) (token, int, error) {
	n := 0
	digits := func() {
		for n < len(s) && s[n] >= '0' && s[n] <= '9' {
			n++
		}
	}
	digits()
	if n < len(s) && s[n] == '.' {
		n++
		digits()
	}
	if n < len(s) && (s[n] == 'e' || s[n] == 'E') {
		at := n
		n++
		if n < len(s) && (s[n] == '+' || s[n] == '-') {
			n++
		}
		if n == len(s) || s[n] < '0' || s[n] > '9' {
			n = at
		}
		digits()
	}
	x, err := strconv.ParseFloat(s[:n], 64)
	if err != nil {
		return token{}, 0, fmt.Errorf("%s is no number", s[:n])
	}
	return token{kind: tNumber, text: s[:n], value: x}, n, nil
}

// quotedText reads up to the closing mark; a doubled mark stands for itself.
func quotedText(s string, mark byte) (string, int, error) {
	var b strings.Builder
	for i := 1; i < len(s); i++ {
		if s[i] != mark {
			b.WriteByte(s[i])
			continue
		}
		if i+1 < len(s) && s[i+1] == mark {
			b.WriteByte(mark)
			i++
			continue
		}
		return b.String(), i + 1, nil
	}
	return "", 0, fmt.Errorf("a quotation mark is not closed")
}

// bracketed reads a bracket with the brackets in it; a ' takes the meaning off the sign behind it.
func bracketed(s string) (string, int, error) {
	depth := 0
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '\'':
			i++
		case '[':
			depth++
		case ']':
			depth--
			if depth == 0 {
				return s[1:i], i + 1, nil
			}
		}
	}
	return "", 0, fmt.Errorf("a square bracket is not closed")
}
