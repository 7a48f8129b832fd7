package sheets

import (
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
)

// SetNote plans a note behind a statement that has none.
func (j *Job) SetNote(s *check.Sheet, name, note string) (*Plan, error) {
	it := Statement(s, name)
	if it == nil {
		return nil, refuse(fmt.Sprintf("There is nothing called %s in %s.", name, s.Name), diag.DidYouMean(diag.Near(name, s.Names())))
	}
	end := it.Statement.Where().To
	rest := it.Source.Cut(diag.Span{From: end, To: it.Source.Whole().To})
	tail := strings.TrimRight(rest, "\r\n")
	note = strings.Join(strings.Fields(note), " ")
	if strings.TrimSpace(tail) != "" || note == "" {
		return nil, refuse(fmt.Sprintf("%s has a note already, or none was given.", name), "Write the note in the sheet.")
	}
	p := &Plan{Label: name + " note"}
	e := &editor{j: j, s: s, f: s.File, plan: p}
	e.splice(it, diag.Span{From: end, To: end + len(tail)}, "  # "+note)
	return p, nil
}
