// Package report writes what is told of a job: values, checks, reasons and help, for a person or, as JSON, for a program.
// The subcommands and the interactive shell write through it.
package report

import (
	"fmt"
	"io"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/sheets"
)

// The exit states of every command.
const (
	Fine  = 0
	Wrong = 1 // no answer, or a mistake in what was asked for
	Usage = 2 // wrong usage, or a file that cannot be read
)

// Report is where results and messages go.
type Report struct {
	Out      io.Writer
	Err      io.Writer
	Checker  *check.Checker
	JSON     bool
	Commands []Command
	Lead     string     // what stands before a command's usage: "castwright " outside the shell
	Columns  func() int // the width of the terminal, 0 where there is none; may be nil
}

// Command is one command for help.
type Command struct{ Name, Usage, About string }

// Overview lists the commands.
func (p *Report) Overview(w io.Writer) {
	var rows [][]string
	for _, c := range p.Commands {
		rows = append(rows, []string{p.Lead + c.Usage, c.About})
	}
	Table(w, "  ", rows)
}

// ByName looks a cell up as the whole job names it, or as one of its sheets does; a bare name is that of the sheet that
// comes first with it. From, where set, is looked at first.
func ByName(j *sheets.Job, from *check.Sheet, name string) (*check.Cell, bool) {
	if from != nil {
		if c, ok := from.Find(name); ok {
			return c, true
		}
	}
	for _, s := range j.Sheets {
		if c, ok := s.Find(name); ok {
			return c, true
		}
	}
	return nil, false
}

// NoCell tells that there is no cell of a name, and what was perhaps meant.
func (p *Report) NoCell(j *sheets.Job, name string) int {
	var names []string
	for _, s := range j.Sheets {
		names = append(names, s.Name)
		for _, n := range s.Names() {
			names = append(names, n, s.Name+"."+n)
		}
	}
	wayOut := diag.DidYouMean(diag.Near(name, names))
	if wayOut == "" {
		wayOut = "show without a name lists what there is."
	}
	fmt.Fprintf(p.Err, "There is no cell %s. %s\n", name, wayOut)
	return Wrong
}
