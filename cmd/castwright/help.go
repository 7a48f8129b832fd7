package main

import "fmt"

// help tells what there is, or about what is asked for.
func (p *program) help(args []string) int {
	if len(args) == 0 {
		fmt.Fprintln(p.Out, about)
		fmt.Fprintln(p.Out)
	}
	state := p.Help(args)
	if len(args) == 0 {
		fmt.Fprintln(p.Out)
		fmt.Fprintln(p.Out, withJSON)
		fmt.Fprintln(p.Out, "Try: castwright eval '3/4 in * 6 [in]'")
	}
	return state
}
