package main

import (
	"fmt"

	"castwright/lang/syntax"
	"castwright/sheets/disk"
)

// format writes the canonical layout of the sheets of a job.
func (p *program) format(args []string) int {
	args, write := option(args, "--write")
	if f, ok := unknownFlag(args); ok {
		return p.misused("format", fmt.Sprintf("There is no option %s.", f))
	}
	if len(args) != 1 {
		return p.misused("format", "One job is wanted.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	for _, s := range j.Sheets {
		laid, path := syntax.Format(s.File), j.SheetPath(s.Name)
		switch {
		case !write:
			fmt.Fprint(p.Out, laid)
		case laid == s.File.Source.Text:
			fmt.Fprintf(p.Out, "%s is laid out already.\n", path)
		default:
			if err := disk.Replace(path, []byte(laid)); err != nil {
				p.Refusal(err)
				return usage
			}
			fmt.Fprintf(p.Out, "%s is laid out anew.\n", path)
		}
	}
	return fine
}
