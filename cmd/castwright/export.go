package main

import (
	"fmt"
	"strings"
)

// export writes a job as a workbook.
func (p *program) export(args []string) int {
	if f, ok := unknownFlag(args); ok {
		return p.misused("export", fmt.Sprintf("There is no option %s.", f))
	}
	handout := ""
	if len(args) == 4 && args[2] == "handout" {
		handout, args = args[3], args[:2]
	}
	if len(args) != 2 || !strings.HasSuffix(args[1], ".xlsx") {
		return p.misused("export", "A job and the name of a workbook, which ends with .xlsx, are wanted.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	defer p.Wait(j.Meter())()
	if handout != "" {
		return p.ExportHandout(j, args[1], handout)
	}
	return p.Export(j, args[1])
}
