package main

import (
	"fmt"
	"strings"

	"castwright/cmd/castwright/report"
	"castwright/lang/work"
	"castwright/sheets"
)

// open reads a job for a command; false where it cannot be read, which is told.
func (p *program) open(path string) (*sheets.Job, bool) {
	m := &work.Meter{}
	defer p.Wait(m)()
	j, err := sheets.OpenWatched(path, p.Checker, m)
	if err != nil {
		p.Refusal(err)
		return nil, false
	}
	return j, true
}

// show writes the values of a job.
func (p *program) show(args []string) int {
	if f, ok := unknownFlag(args); ok {
		return p.misused("show", fmt.Sprintf("There is no option %s.", f))
	}
	if len(args) == 0 {
		return p.misused("show", "A job is missing.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	switch names := args[1:]; {
	case len(names) == 0:
		return p.All(j)
	case names[0] == "checks" && len(names) == 1:
		return p.Checks(j)
	case names[0] == "doubts" && len(names) == 1:
		return p.Doubts(j)
	case names[0] == "handout" && len(names) == 2:
		return p.Handout(j, names[1])
	case names[0] == "handout" && len(names) == 4 && names[2] == "to" && strings.HasSuffix(names[3], ".txt"):
		return p.HandoutTo(j, names[1], names[3])
	case names[0] == "handout":
		return p.misused("show", "A handout's name is wanted: show PATH handout NAME, or show PATH handout NAME to FILE.txt.")
	default:
		return p.Names(j, nil, names)
	}
}

// why writes how a value comes about.
func (p *program) why(args []string) int {
	if f, ok := unknownFlag(args); ok {
		return p.misused("why", fmt.Sprintf("There is no option %s.", f))
	}
	deep := len(args) == 3 && args[2] == "deep"
	if len(args) != 2 && !deep {
		return p.misused("why", "A job and a cell are wanted.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	c, ok := report.ByName(j, nil, args[1])
	if !ok {
		return p.NoCell(j, args[1])
	}
	return p.Why(j, c, deep)
}

// check writes mistakes and failed checks.
func (p *program) check(args []string) int {
	if f, ok := unknownFlag(args); ok || len(args) != 1 {
		if ok {
			return p.misused("check", fmt.Sprintf("There is no option %s.", f))
		}
		return p.misused("check", "One job is wanted.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	return p.Judge(j)
}
