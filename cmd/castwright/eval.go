package main

import (
	"bufio"
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/sheets"
)

// maxLine is the longest line that eval reads, in bytes.
const maxLine = 1 << 20

// eval computes lines: those of the command line, or of standard input.
func (p *program) eval(args []string) int {
	over := sheets.Memory(p.Checker, check.Text{})
	var in *check.Sheet
	for i, a := range args {
		if a != "--in" {
			continue
		}
		if i+1 == len(args) {
			return p.misused("eval", "Behind --in a job is missing.")
		}
		j, ok := p.open(args[i+1])
		if !ok {
			return usage
		}
		over = j
		args = append(args[:i:i], args[i+2:]...)
		break
	}
	in = over.Sheets[0]
	if len(args) == 0 {
		return p.misused("eval", "A line is missing.")
	}
	if len(args) == 1 && args[0] == "-" {
		return p.evalInput(over, in)
	}
	status := fine
	for i, a := range args {
		status = max(status, p.evalLine(over, in, a, i+1, len(args) > 1))
	}
	return status
}

func (p *program) evalInput(over *sheets.Job, s *check.Sheet) int {
	status := fine
	in := bufio.NewScanner(p.in)
	in.Buffer(nil, maxLine)
	n := 0
	for in.Scan() {
		n++
		text := strings.TrimRight(in.Text(), "\r")
		if n == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
		}
		if t := strings.TrimSpace(text); t == "" || strings.HasPrefix(t, "#") {
			continue
		}
		status = max(status, p.evalLine(over, s, text, n, true))
	}
	if err := in.Err(); err != nil {
		fmt.Fprintf(p.Err, "Line %d cannot be read: a line holds at most %d bytes.\n", n+1, maxLine)
		return usage
	}
	return status
}

// evalLine computes one line and writes its value.
func (p *program) evalLine(over *sheets.Job, s *check.Sheet, text string, n int, several bool) int {
	src := &diag.Source{Name: "the line", Text: text}
	if several {
		src.Name, src.First = "the input", n-1
	}
	return p.Value(over, s, src)
}
