package main

import (
	"bufio"
	"fmt"
	"os"
	"strings"
)

// importing brings a workbook to a job.
func (p *program) importing(args []string) int {
	args, yes := option(args, "--yes")
	if f, ok := unknownFlag(args); ok {
		return p.misused("import", fmt.Sprintf("There is no option %s.", f))
	}
	if len(args) != 2 {
		return p.misused("import", "A workbook and a job are wanted.")
	}
	return p.Import(args[0], args[1], func(question string) bool { return yes || p.sure(question) })
}

// sure asks a question at a terminal; elsewhere nobody is there to say yes.
func (p *program) sure(question string) bool {
	in, ok := p.in.(*os.File)
	if !ok {
		return false
	}
	if info, err := in.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		fmt.Fprintln(p.Err, "Nobody is there to say yes; --yes takes what is listed.")
		return false
	}
	fmt.Fprintf(p.Out, "%s (yes or no) ", question)
	line, err := bufio.NewReader(in).ReadString('\n')
	if err != nil && line == "" { // no terminal after all, or Ctrl-D
		fmt.Fprintln(p.Out)
		fmt.Fprintln(p.Err, "Nobody said yes; --yes takes what is listed.")
		return false
	}
	a := strings.ToLower(strings.TrimSpace(line))
	return a == "yes" || a == "y"
}
