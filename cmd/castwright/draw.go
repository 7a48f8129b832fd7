package main

import (
	"fmt"
	"strings"
)

// draw draws cells of a job in the terminal or into a file.
func (p *program) draw(args []string) int {
	if f, ok := unknownFlag(args); ok {
		return p.misused("draw", fmt.Sprintf("There is no option %s.", f))
	}
	if len(args) < 2 {
		return p.misused("draw", "A job and what is to be drawn are wanted.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	return p.Draw(j, nil, strings.Join(args[1:], " "))
}
