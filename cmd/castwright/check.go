package main

import (
	"fmt"

	"castwright/lang/value"
	"castwright/sheets"
)

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
	mistakes, fails, unknown, holds := 0, 0, 0, 0
	for _, s := range j.Sheets {
		mistakes += countMistakes(s)
		for _, r := range s.CheckResults() {
			switch r.State {
			case sheets.Fails:
				fails++
			case sheets.Unknown:
				unknown++
			default:
				holds++
			}
		}
	}
	status := fine
	if mistakes > 0 || fails > 0 {
		status = wrong
	}
	if p.json {
		checks, cells := []checkView{}, []view{}
		for _, s := range j.Sheets {
			checks = append(checks, checkViews(j, s)...)
			for _, v := range p.views(j, s) {
				if v.Status == value.Mistake.String() {
					cells = append(cells, v)
				}
			}
		}
		writeJSON(p.out, map[string]any{"cells": cells, "checks": checks, "messages": fileMessages(j)}, false)
		return status
	}
	for _, s := range j.Sheets {
		p.tell(s)
		if len(s.Checks) > 0 {
			fmt.Fprintln(p.out, s.Name)
			p.writeChecks(s)
		}
	}
	fmt.Fprintf(p.out, "%s; %s: %d hold, %d fail, %d not known yet.\n", many(mistakes, "mistake"), many(holds+fails+unknown, "check"), holds, fails, unknown)
	return status
}

func many(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// countMistakes counts each mistake once: those of the text, and those that arise in cells when they run.
func countMistakes(s *sheets.Sheet) int {
	n := s.Messages.Mistakes()
	seen := map[string]bool{}
	for _, m := range s.Messages {
		seen[fmt.Sprint(m.Span, m.Text)] = true
	}
	for i, id := range s.IDs {
		if s.Cells[i].Fault != nil {
			continue
		}
		for _, x := range s.Job.Causes(id) {
			if x.State != value.Mistake || x.Place.Source == nil {
				continue
			}
			key := fmt.Sprint(x.Place.Span, x.Text)
			if !seen[key] {
				seen[key] = true
				n++
			}
		}
	}
	return n
}
