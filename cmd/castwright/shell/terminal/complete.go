package terminal

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// listRows is how many rows of a list are shown at most.
const listRows = 40

// completeWord does what Tab asks for: one option is put in; several are put in as far as they agree; where that adds
// nothing, they are listed at the second Tab.
func (t *Terminal) completeWord(line []rune, pos int) ([]rune, int) {
	from, options := t.options(string(line), len(string(line[:pos])))
	if len(options) == 0 {
		t.screen.bell()
		return line, pos
	}
	typed := string(line[:pos])[from:]
	common := commonStart(options)
	switch {
	case len(options) == 1 || len(common) > len(typed):
		head := []rune(string(line[:pos])[:from] + common)
		if len(string(head))+len(string(line[pos:])) > MaxLine {
			t.screen.bell()
			return line, pos
		}
		return append(head, line[pos:]...), len(head)
	case t.editor.tabs < 2:
		t.screen.bell()
	default:
		t.screen.below(inColumns(options, t.Width()))
	}
	return line, pos
}

// options asks what could stand at the cursor. An answer that does not fit the line is none.
func (t *Terminal) options(line string, at int) (from int, options []string) {
	e := &t.editor
	if e.complete == nil {
		return 0, nil
	}
	defer func() {
		if broken := recover(); broken != nil {
			e.broken = broken
			t.input.end() // the line ends, and edit passes it on
			from, options = 0, nil
		}
	}()
	from, given := e.complete(line, at)
	if from < 0 || from > at || from < len(line) && !utf8.RuneStart(line[from]) {
		return 0, nil
	}
	seen := make(map[string]bool)
	for _, option := range given {
		option = cleanText(option)
		if !seen[option] {
			seen[option] = true
			options = append(options, option)
		}
	}
	return from, options
}

// commonStart is what all options begin with.
func commonStart(options []string) string {
	common := options[0]
	for _, option := range options[1:] {
		n := 0
		for n < len(common) && n < len(option) && common[n] == option[n] {
			n++
		}
		common = common[:n]
	}
	for !utf8.ValidString(common) { // cut within a character
		common = common[:len(common)-1]
	}
	return common
}

// inColumns lays options out in columns that fit the width, read downwards.
func inColumns(options []string, width int) string {
	widest := 0
	for _, option := range options {
		widest = max(widest, textColumns(option))
	}
	across := max(1, (width+1)/(widest+2)) // the last column needs no gap, and a row is not filled to the edge
	rows := (len(options) + across - 1) / across
	left := 0
	if rows > listRows {
		left = len(options) - across*listRows
		options, rows = options[:across*listRows], listRows
	}
	var b strings.Builder
	for row := range rows {
		var line strings.Builder
		for i := row; i < len(options); i += rows {
			line.WriteString(options[i])
			if i+rows < len(options) {
				line.WriteString(strings.Repeat(" ", widest+2-textColumns(options[i])))
			}
		}
		b.WriteString(line.String() + "\n")
	}
	if left > 0 {
		fmt.Fprintf(&b, "and %d more\n", left)
	}
	return b.String()
}
