// Castwright is a calculation engine for people who design and cast modular concrete pieces: sheets in a unit-aware cell
// language, computed and checked.
package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"castwright/cmd/castwright/report"
	"castwright/cmd/castwright/shell"
	"castwright/cmd/castwright/shell/terminal"
	"castwright/lang/check"
	"castwright/sheets"
	"castwright/stdlib"
)

// The exit states of every command.
const (
	fine  = report.Fine
	wrong = report.Wrong
	usage = report.Usage
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// program is one run: where it reads and writes, and the library.
type program struct {
	*report.Report
	in io.Reader
}

// command is one subcommand.
type command struct {
	name  string
	usage string
	about string
	run   func(p *program, args []string) int
}

// commands lists the subcommands.
func commands() []command {
	return []command{
		{"show", "show PATH [NAME…]", "the values of a job; NAME can be a cell, or checks, doubts (all that is assumed, flagged or accepted), or handout NAME [to FILE.txt]", (*program).show},
		{"eval", "eval 'LINE'…", "the value of each line; - reads lines from standard input; --in PATH works over the cells of a sheet", (*program).eval},
		{"check", "check PATH", "mistakes and failed checks; the exit state is 1 where there are any", (*program).check},
		{"why", "why PATH NAME [deep]", "how a value comes about, down to the inputs; deep unfolds the rules too", (*program).why},
		{"draw", "draw PATH " + report.DrawUsage, "outlines and solids with their measures, or columns over an axis, in the terminal or a file", (*program).draw},
		{"export", "export PATH OUT.xlsx [handout NAME]", "a workbook of the job that recomputes, or of what the reader of a handout may see", (*program).export},
		{"import", "import IN.xlsx PATH [--yes]", "a workbook back into its job, or as a new one", (*program).importing},
		{"format", "format PATH [--write]", "the canonical layout of a sheet; --write puts it into the file", (*program).format},
		{"", "[PATH]", "the shell, over a job or over nothing yet", nil},
		{"new", "new PATH from NAME", "a job from a starter sheet, an example, or a folder of your own, its answers open again", (*program).fresh},
		{"help", "help [WORD…]", "the reference: by family, by any word, by what gives a kind; help --all --markdown writes all of it", (*program).help},
	}
}

// run carries out one command line and gives the exit state.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	p := &program{Report: &report.Report{Out: out, Err: errs, Lead: "castwright ", Columns: func() int { return terminal.WidthOf(out) }}, in: in}
	for _, c := range commands() {
		p.Commands = append(p.Commands, report.Command{Name: c.name, Usage: c.usage, About: c.about})
	}
	var rest []string
	for i, a := range args {
		if a == "--" {
			rest = append(rest, args[i+1:]...)
			break
		}
		if a == "--json" {
			p.JSON = true
			continue
		}
		rest = append(rest, a)
	}
	checker, ms := check.New(stdlib.New())
	if ms.Mistakes() > 0 {
		for _, m := range ms {
			fmt.Fprint(errs, m.Draw())
		}
		return usage
	}
	p.Checker = checker
	if len(rest) == 0 {
		return p.shell("")
	}
	name := rest[0]
	if name == "--help" || name == "-h" {
		name = "help"
	}
	for _, c := range commands() {
		if c.name == name && c.run != nil {
			return c.run(p, rest[1:])
		}
	}
	if len(rest) == 1 && !p.JSON && looksLikePath(rest[0]) {
		return p.shell(rest[0])
	}
	fmt.Fprintf(errs, "There is no command %s.\n", rest[0])
	p.overview(errs)
	return usage
}

// looksLikePath tells whether a word names a job and not a command.
func looksLikePath(word string) bool {
	_, err := os.Stat(word)
	return err == nil || strings.HasSuffix(word, sheets.Extension)
}

// shell runs the interactive shell.
func (p *program) shell(path string) int {
	if path == "" {
		if found, err := filepath.Glob("*" + sheets.Extension); err == nil && len(found) > 0 {
			path = "."
		}
	}
	history := ""
	if folder, err := os.UserConfigDir(); err == nil {
		history = filepath.Join(folder, "castwright", "history")
	}
	return shell.Run(path, shell.Options{In: p.in, Report: p.Report, History: history})
}

const (
	about    = "castwright works out sheets for casting modular concrete pieces. Its commands:"
	withJSON = "With --json, commands that give values write them for programs."
)

// overview lists the commands.
func (p *program) overview(w io.Writer) {
	fmt.Fprintln(w, about)
	fmt.Fprintln(w)
	p.Overview(w)
	fmt.Fprintln(w)
	fmt.Fprintln(w, withJSON)
}

// misused tells how a command is written.
func (p *program) misused(name, text string) int {
	for _, c := range commands() {
		if c.name == name {
			fmt.Fprintf(p.Err, "%s It is written: castwright %s\n", text, c.usage)
		}
	}
	return usage
}

// option takes a word that begins with -- out of the arguments.
func option(args []string, name string) ([]string, bool) {
	for i, a := range args {
		if a == name {
			return append(args[:i:i], args[i+1:]...), true
		}
	}
	return args, false
}

// unknownFlag finds a word that begins with -- and means nothing.
func unknownFlag(args []string) (string, bool) {
	for _, a := range args {
		if strings.HasPrefix(a, "--") {
			return a, true
		}
	}
	return "", false
}
