package main

import (
	"bufio"
	"fmt"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/value"
	"castwright/sheets"
)

// maxLine is the longest line that eval reads, in bytes.
const maxLine = 1 << 20

// eval computes lines: those of the command line, or of standard input.
func (p *program) eval(args []string) int {
	over := p.empty()
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
		if len(j.Sheets) > 1 {
			fmt.Fprintf(p.err, "The job %s has several sheets; name one of them.\n", args[i+1])
			return usage
		}
		over = j.Sheets[0]
		args = append(args[:i:i], args[i+2:]...)
		break
	}
	if len(args) == 0 {
		return p.misused("eval", "A line is missing.")
	}
	if len(args) == 1 && args[0] == "-" {
		return p.evalInput(over)
	}
	status := fine
	for i, a := range args {
		status = max(status, p.evalLine(over, a, i+1, len(args) > 1))
	}
	return status
}

func (p *program) empty() *sheets.Sheet { return sheets.Compute(p.checker.Empty(), "") }

func (p *program) evalInput(over *sheets.Sheet) int {
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
		status = max(status, p.evalLine(over, text, n, true))
	}
	if err := in.Err(); err != nil {
		fmt.Fprintf(p.err, "Line %d cannot be read: a line holds at most %d bytes.\n", n+1, maxLine)
		return usage
	}
	return status
}

// evalLine computes one line and writes its value.
func (p *program) evalLine(over *sheets.Sheet, text string, n int, several bool) int {
	src := &diag.Source{Name: "the line", Text: text}
	if several {
		src.Name = fmt.Sprintf("line %d of the input", n)
	}
	cell, v, state, causes, ms := over.Line(src)
	if p.json {
		p.evalJSON(cell, v, state, causes, ms, over.Job.StateOf)
		if state == value.Mistake || state == value.Open && !cell.Type.List {
			return wrong
		}
		return fine
	}
	for _, m := range ms {
		fmt.Fprint(p.err, m.Draw())
	}
	for _, x := range causes {
		fmt.Fprint(p.err, x.Message().Draw())
	}
	switch {
	case state == value.Mistake:
		return wrong
	case state == value.Open && !cell.Type.List:
		fmt.Fprintln(p.out, stateWords(causes, state))
		return wrong
	}
	fmt.Fprintln(p.out, shownText(cell, v, state, over.Job.StateOf))
	return fine
}

func (p *program) evalJSON(cell *check.Cell, v *value.Column, state value.State, causes []engine.Cause, ms diag.List, stateOf marks) {
	out := view{Status: value.Mistake.String(), Messages: []string{}, Shown: ""}
	if v != nil {
		out = viewOf(cell.Name, cell, v, state, causes, stateOf)
	}
	for _, m := range ms {
		out.Messages = append(out.Messages, messageLine(m))
	}
	writeJSON(p.out, out, true)
}
