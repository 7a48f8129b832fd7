package main

import (
	"bytes"
	"fmt"
	"strings"

	"castwright/sheets/disk"
	"castwright/sheets/xlsx"
)

// export writes a job as a workbook.
func (p *program) export(args []string) int {
	if f, ok := unknownFlag(args); ok {
		return p.misused("export", fmt.Sprintf("There is no option %s.", f))
	}
	if len(args) != 2 || !strings.HasSuffix(args[1], ".xlsx") {
		return p.misused("export", "A job and the name of a workbook, which ends with .xlsx, are wanted.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	var b bytes.Buffer
	account, err := xlsx.Export(&b, j)
	if err == nil {
		err = disk.Replace(args[1], b.Bytes())
	}
	if err != nil {
		fmt.Fprintf(p.Err, "%s.\n", upper(err.Error()))
		return usage
	}
	fmt.Fprintf(p.Out, "%s written: %d cells recompute in it, a live share of %.1f %%.\n", args[1], account.Live, account.Share())
	told := map[string]bool{}
	for _, f := range account.Fixed {
		if line := f.Path + ": " + f.Why; f.Counts && !told[line] {
			told[line] = true
			fmt.Fprintf(p.Out, "  %s\n", line)
		}
	}
	return fine
}
