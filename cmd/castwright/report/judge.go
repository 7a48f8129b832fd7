package report

import (
	"fmt"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/value"
	"castwright/sheets"
)

// Judge writes the mistakes and the checks of a job; the exit state is Wrong where there is a mistake or a check fails.
func (p *Report) Judge(j *sheets.Job) int {
	mistakes, fails, unknown, holds := 0, 0, 0, 0
	seen := map[string]bool{} // a sheet that several take as a part is wrong once
	for _, s := range j.Sheets {
		mistakes += countMistakes(j, s, seen)
		for _, r := range checksOf(j, s, "") {
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
	status := Fine
	if mistakes > 0 || fails > 0 {
		status = Wrong
	}
	if p.JSON {
		list, cells := []checkView{}, []view{}
		for _, s := range j.Sheets {
			list = append(list, checkViews(j, s)...)
			for _, v := range views(j, s) {
				if v.Status == value.Mistake.String() {
					cells = append(cells, v)
				}
			}
		}
		writeJSON(p.Out, map[string]any{"cells": cells, "checks": list, "messages": fileMessages(j)}, false)
		return status
	}
	p.Tell(j, j.Sheets...)
	for _, s := range j.Sheets {
		if results := checksOf(j, s, ""); len(results) > 0 {
			fmt.Fprintln(p.Out, s.Name)
			p.checks(results)
		}
	}
	fmt.Fprintf(p.Out, "%s; %s: %d hold, %d fail, %d not known yet.\n", many(mistakes, "mistake"), many(holds+fails+unknown, "check"), holds, fails, unknown)
	return status
}

// countMistakes counts each mistake once: those of the text, and those that arise in cells when they run.
func countMistakes(j *sheets.Job, s *check.Sheet, seen map[string]bool) int {
	n := 0
	for _, m := range s.Messages() {
		key := fmt.Sprint(m.Source.Name, m.Span, m.Text)
		if m.Level == diag.Mistake && !seen[key] {
			seen[key] = true
			n++
		}
	}
	for _, c := range withParts(s) {
		if c.Fault != nil {
			continue
		}
		for _, x := range j.Causes(c) {
			if x.State != value.Mistake || x.Place.Source == nil {
				continue
			}
			key := fmt.Sprint(x.Place.Source.Name, x.Place.Span, x.Text)
			if !seen[key] {
				seen[key] = true
				n++
			}
		}
	}
	return n
}
