package report

import (
	"fmt"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/value"
	"castwright/sheets"
)

// Value computes a line over a sheet and writes its value; Wrong where it has none.
func (p *Report) Value(j *sheets.Job, s *check.Sheet, src *diag.Source) int {
	cell, v, state, causes, ms := j.Line(s, src)
	if p.JSON {
		p.lineJSON(cell, v, state, causes, ms, j.Engine.StateOf)
		if state == value.Mistake || state == value.Open && !cell.Type.List {
			return Wrong
		}
		return Fine
	}
	p.Messages(ms)
	for _, x := range causes {
		fmt.Fprint(p.Err, x.Message().Draw())
	}
	switch {
	case state == value.Mistake:
		return Wrong
	case state == value.Open && !cell.Type.List:
		fmt.Fprintln(p.Out, sheets.StateWords(causes, state))
		return Wrong
	}
	fmt.Fprintln(p.Out, shownText(cell, v, state, j.Engine.StateOf))
	if words := withLeftOut(j, cell, ""); words != "" {
		fmt.Fprintln(p.Err, upperFirst(words)+".")
	}
	return Fine
}

func (p *Report) lineJSON(cell *check.Cell, v *value.Column, state value.State, causes []engine.Cause, ms diag.List, stateOf marks) {
	out := view{Status: value.Mistake.String(), Messages: []string{}, Shown: ""}
	if v != nil {
		out = viewOf(cell.Name, cell, v, state, causes, stateOf)
	}
	for _, m := range ms {
		out.Messages = append(out.Messages, messageLine(m))
	}
	writeJSON(p.Out, out, true)
}
