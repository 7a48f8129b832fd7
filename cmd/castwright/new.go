package main

import (
	"fmt"
	"strings"

	"castwright/sheets"
)

// fresh makes a job from a starter sheet, an example or a folder.
func (p *program) fresh(args []string) int {
	if f, ok := unknownFlag(args); ok {
		return p.misused("new", fmt.Sprintf("There is no option %s.", f))
	}
	if len(args) != 3 || args[1] != "from" {
		text := fmt.Sprintf("A place and a source are wanted. Starter sheets: %s. Examples: %s.", strings.Join(sheets.Starters(), ", "), strings.Join(sheets.Examples(), ", "))
		return p.misused("new", text)
	}
	names, err := sheets.New(args[0], args[2], p.Checker)
	if err != nil {
		p.Refusal(err)
		return usage
	}
	fmt.Fprintf(p.Out, "Made %s: %s.\n", args[0], strings.Join(names, ", "))
	fmt.Fprintf(p.Out, "castwright show %s shows it, castwright %s opens the shell.\n", args[0], args[0])
	return fine
}
