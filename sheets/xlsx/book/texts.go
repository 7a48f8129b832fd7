package book

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// forbidden tells the characters that no XML text can hold, or that a reader of XML would change.
func forbidden(r rune) bool {
	return r < ' ' && r != '\t' && r != '\n' || r == 0xFFFE || r == 0xFFFF
}

// escaped writes what XML cannot hold as _xHHHH_ (ISO/IEC 29500-1, 22.9.2.19), and what looks like that already so that
// it is read as it stands. It does not escape for XML itself.
func escaped(s string) string {
	if !strings.ContainsFunc(s, func(r rune) bool { return r == '_' || forbidden(r) }) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case forbidden(r), r == '_' && looksEscaped(s[i:]):
			fmt.Fprintf(&b, "_x%04X_", r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// looksEscaped tells whether a text begins with _xHHHH_.
func looksEscaped(s string) bool {
	if len(s) < 7 || s[1] != 'x' || s[6] != '_' {
		return false
	}
	for _, c := range s[2:6] {
		if !strings.ContainsRune("0123456789abcdefABCDEF", c) {
			return false
		}
	}
	return true
}

// textProblem says why a text cannot be written, or nothing.
func textProblem(s string, most int, what string) string {
	switch {
	case !utf8.ValidString(s):
		return strings.TrimSpace(what + " is not UTF-8")
	case length(s) > most:
		return strings.TrimSpace(fmt.Sprintf("%s has more than %d characters", what, most))
	}
	return ""
}

// plainProblem is textProblem for a text that has no way to hold control characters.
func plainProblem(s string, most int, what string) string {
	if p := textProblem(s, most, what); p != "" {
		return p
	}
	if strings.ContainsFunc(s, func(r rune) bool { return forbidden(r) || r == '\t' || r == '\n' }) {
		return strings.TrimSpace(what + " has a control character")
	}
	return ""
}

// oneLine is a text for places where control characters have no use, such as a page header.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if forbidden(r) || r == '\t' || r == '\n' {
			return ' '
		}
		return r
	}, s)
}

// inert tells the texts that a program would take for a formula, if a person typed them.
func inert(s string) bool {
	return s != "" && (strings.ContainsRune("=+-@", rune(s[0])) || s[0] < ' ')
}
