package main

import "fmt"

// fresh makes a job from a starter sheet, an example or a folder.
func (p *program) fresh(args []string) int {
	fmt.Fprintln(p.Err, "not yet")
	return wrong
}
