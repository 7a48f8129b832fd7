package sheets

import (
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// Rename plans another name for a cell, table, column, part, check or rule: each use in each sheet follows.
func (j *Job) Rename(s *check.Sheet, name, to string) (*Plan, error) {
	if dot := strings.LastIndexByte(name, '.'); dot >= 0 { // pours.day pours.date
		to = strings.TrimPrefix(to, name[:dot+1])
	}
	if !syntax.IsName(to) || syntax.IsStatementWord(to) {
		return nil, refuse(fmt.Sprintf("%s cannot be a name.", to), "A name is made of letters, digits and _, begins with a letter, and is no word of the language.")
	}
	if it := Statement(s, name); it != nil {
		switch it.Statement.(type) {
		case *syntax.Measure, *syntax.Count:
			return nil, refuse(fmt.Sprintf("%s is a unit of the job, and units are not renamed.", name), "State another measure, and change the lines that use this one.")
		}
	}
	uses := s.Uses(name)
	if len(uses) == 0 {
		return nil, refuse(fmt.Sprintf("There is nothing called %s in %s.", name, s.Name), diag.DidYouMean(diag.Near(name, s.Names())))
	}
	if last := name[strings.LastIndexByte(name, '.')+1:]; last == to {
		return nil, refuse(fmt.Sprintf("It is called %s already.", to), "")
	}
	p := &Plan{Label: fmt.Sprintf("rename %s %s", name, to)}
	for _, u := range uses {
		if j.Checked.File(u.File.Name) != u.File {
			return nil, refuse(fmt.Sprintf("%s uses %s, and is no sheet that can be changed here.", u.File.Name, name), "")
		}
		p.Splices = append(p.Splices, Splice{u.File.Name, at(u.File, u.Item, u.Span), u.Item.Source.Cut(u.Span), to})
	}
	return p, nil
}
