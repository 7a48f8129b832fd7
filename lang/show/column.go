package show

import (
	"fmt"
	"strings"

	"castwright/lang/kind"
	"castwright/lang/value"
)

// most is how many elements of a list are written out.
const most = 12

// Column writes a value of type t: a single one as it is, a list as `(1 m, 2 m)`, a long one cut, a record by the names
// of its fields, `cement 12 kg, water 5 kg`. Texts inside a list or a record stand in quotes. Outlines and solids
// are written by their size, steps of a path by their points. The Spec of a point is that of its coordinates; a nil Spec is a
// plain one.
func Column(s *Spec, t kind.Type, c *value.Column) string { return ColumnWithStates(s, t, c, nil) }

// ColumnWithStates is Column, for values whose rows may be open or mistakes: state reads their marks, and such a row is
// written by the word of its state in place of a value.
func ColumnWithStates(s *Spec, t kind.Type, c *value.Column, state func(value.Mark) value.State) string {
	w := writer{state: state}
	if word := w.instead(c.All); word != "" {
		return word
	}
	if t.Form == kind.Record && t.List {
		return several(c.Len(), "row", "rows")
	}
	if !t.List {
		if c.Len() == 0 {
			return "no value"
		}
		return w.element(s, t, c, 0, false)
	}
	n := c.Len()
	if n == 0 {
		return "(no values)"
	}
	parts := make([]string, 0, most+1)
	for i := range min(n, most) {
		parts = append(parts, w.element(s, t.Elem(), c, i, true))
	}
	if n > most {
		parts = append(parts, "… ("+several(n, "value", "values")+")")
	}
	if n == 1 {
		return "list(" + parts[0] + ")"
	}
	return "(" + strings.Join(parts, ", ") + ")"
}

func several(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

type writer struct {
	state func(value.Mark) value.State
}

// instead gives the word that stands in place of a value that cannot be used; "" where it can.
func (w writer) instead(m value.Mark) string {
	if w.state == nil || m == 0 {
		return ""
	}
	if st := w.state(m); st > value.Flagged {
		return st.String()
	}
	return ""
}

// element writes row i of a column; inside is whether it stands in a list or a record.
func (w writer) element(s *Spec, t kind.Type, c *value.Column, i int, inside bool) string {
	if i < len(c.Marks) {
		if word := w.instead(c.Marks[i]); word != "" {
			return word
		}
	}
	if s == nil {
		s = &Spec{Form: t.Form}
	}
	switch {
	case t.Form == kind.Record:
		return w.record(s, t, c)
	case c.Text != nil && inside:
		return quoted(c.Text[i])
	case c.Text != nil:
		return c.Text[i]
	case c.Obj != nil:
		return object(s, c.Obj[i])
	case c.Num != nil:
		return s.Text(c.Num[i])
	}
	return "no value"
}

// object writes a place by its coordinates, and any other object as it writes itself.
func object(s *Spec, o any) string {
	switch o := o.(type) {
	case nil:
		return "no value"
	case value.Place:
		return "(" + s.Text(o.X) + ", " + s.Text(o.Y) + ")"
	}
	if text := shape(s, o); text != "" {
		return text
	}
	return fmt.Sprint(o)
}

func (w writer) record(s *Spec, t kind.Type, c *value.Column) string {
	parts := make([]string, 0, len(t.Fields))
	for i, f := range t.Fields {
		if i >= len(c.Fields) {
			break
		}
		var fs *Spec
		if i < len(s.Fields) {
			fs = s.Fields[i]
		}
		text := ""
		switch {
		case f.Type.List:
			text = ColumnWithStates(fs, f.Type, &c.Fields[i], w.state)
		case f.Type.Form == kind.Record:
			text = "(" + ColumnWithStates(fs, f.Type, &c.Fields[i], w.state) + ")"
		case c.Fields[i].Len() == 0:
			text = "no value"
		default:
			text = w.element(fs, f.Type, &c.Fields[i], 0, true)
		}
		parts = append(parts, f.Name+" "+text)
	}
	return strings.Join(parts, ", ")
}

var quoting = strings.NewReplacer(`"`, `""`, "{", "{{")

// quoted writes a text as the language reads it (ruling 22).
func quoted(text string) string { return `"` + quoting.Replace(text) + `"` }
