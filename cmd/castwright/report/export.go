package report

import (
	"bytes"
	"fmt"

	"castwright/sheets"
	"castwright/sheets/disk"
	"castwright/sheets/xlsx"
)

// Export writes a job as a workbook, and tells how much of it recomputes there.
func (p *Report) Export(j *sheets.Job, path string) int {
	var b bytes.Buffer
	account, err := xlsx.Export(&b, j)
	if err == nil {
		err = disk.Replace(path, b.Bytes())
	}
	if err != nil {
		p.Refusal(err)
		return Usage
	}
	fmt.Fprintf(p.Out, "%s written: %d cells recompute in it, a live share of %.1f%%.\n", path, account.Live, account.Share())
	told := map[string]bool{}
	for _, f := range account.Fixed {
		if line := f.Path + ": " + f.Why; f.Counts && !told[line] {
			told[line] = true
			fmt.Fprintf(p.Out, "  %s\n", line)
		}
	}
	return Fine
}

// ExportHandout first writes everything that the reader of a handout will see, and then the workbook for him.
func (p *Report) ExportHandout(j *sheets.Job, path, name string) int {
	g, status := p.give(j, name)
	if g == nil {
		return status
	}
	fmt.Fprint(p.Out, HandoutText(j, g))
	var b bytes.Buffer
	err := xlsx.Handout(&b, j, g)
	if err == nil {
		err = disk.Replace(path, b.Bytes())
	}
	if err != nil {
		p.Refusal(err)
		return Usage
	}
	fmt.Fprintf(p.Out, "\n%s written; its reader sees this and nothing else.\n", path)
	return Fine
}
