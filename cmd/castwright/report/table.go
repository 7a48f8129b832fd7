package report

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"castwright/lang/diag"
)

// Table writes rows of words in columns, each as wide as its widest word; the last column is left ragged.
func Table(w io.Writer, indent string, rows [][]string) {
	var wide []int
	for _, r := range rows {
		for i, c := range r {
			if i == len(wide) {
				wide = append(wide, 0)
			}
			wide[i] = max(wide[i], diag.Width(c))
		}
	}
	for _, r := range rows {
		var b strings.Builder
		b.WriteString(indent)
		for i, c := range r {
			b.WriteString(c)
			if i < len(r)-1 {
				b.WriteString(strings.Repeat(" ", wide[i]-diag.Width(c)+2))
			}
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	}
}

// right pads a word on the left.
func right(s string, width int) string {
	return strings.Repeat(" ", max(0, width-diag.Width(s))) + s
}

// wrap breaks a text into lines of at most width columns.
func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(text) {
		if line != "" && diag.Width(line)+1+diag.Width(w) > width {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	return append(lines, line)
}

func many(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// upperFirst gives a sentence its capital letter, save where it begins with the name of a file.
func upperFirst(s string) string {
	if first, _, _ := strings.Cut(s, " "); strings.ContainsAny(strings.TrimRight(first, ".,:;"), `./\`) {
		return s
	}
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// Sentence writes an error as a sentence: its capital letter in front, its full stop behind.
func Sentence(err error) string { return upperFirst(strings.TrimSuffix(err.Error(), ".")) + "." }
