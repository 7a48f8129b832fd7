package kind

import "strings"

// Form says what sort of value an expression has.
type Form uint8

// The forms. Number covers every quantity, with its Dim; a temperature point and a date are forms of their own
// because points cannot be added (ruling 13).
const (
	Number Form = iota
	Point       // a temperature, kelvin from absolute zero
	Date        // seconds since 1970-01-01T00:00, no zone
	Truth
	Text
	Place   // a pair of lengths, in the plane
	Outline // closed loops of lines and arcs
	Solid
	Record // named fields; with List, the rows of a table
	Step   // a step of a path: line(…) or arc(…)
)

// Field is one named part of a record.
type Field struct {
	Name string
	Type Type
}

// Type is the type of an expression: its form, its dimension where it is a number, whether it is a list, and the
// fields of a record.
type Type struct {
	Form   Form
	Dim    Dim
	List   bool
	Fields []Field
}

// Quantity is the type of one number of a kind.
func Quantity(d Dim) Type { return Type{Form: Number, Dim: d} }

// Elem is the type of one element of a list.
func (t Type) Elem() Type { t.List = false; return t }

// ListOf is the type of a list of t.
func (t Type) ListOf() Type { t.List = true; return t }

// Same tells whether two types agree in everything but being a list.
func (t Type) Same(u Type) bool {
	if t.Form != u.Form || t.Dim != u.Dim || len(t.Fields) != len(u.Fields) {
		return false
	}
	for i, f := range t.Fields {
		if f.Name != u.Fields[i].Name || f.Type.List != u.Fields[i].Type.List || !f.Type.Same(u.Fields[i].Type) {
			return false
		}
	}
	return true
}

// Field finds a field of a record.
func (t Type) Field(name string) (Type, int, bool) {
	for i, f := range t.Fields {
		if f.Name == name {
			return f.Type, i, true
		}
	}
	return Type{}, 0, false
}

var formNames = map[Form]string{
	Point: "temperature", Date: "date", Truth: "yes or no", Text: "text", Place: "point",
	Outline: "outline", Solid: "solid", Record: "record", Step: "path step",
}

// String names the type for a message: "length", "temperature", "list of masses" is written "list of mass".
func (t Type) String() string {
	name := formNames[t.Form]
	if t.Form == Number {
		name = t.Dim.String()
	}
	if t.Form == Record {
		var names []string
		for _, f := range t.Fields {
			names = append(names, f.Name)
		}
		name = "record (" + strings.Join(names, ", ") + ")"
	}
	if t.List {
		if t.Form == Record {
			return "rows (" + strings.TrimPrefix(name, "record (")
		}
		return "list of " + name
	}
	return name
}

// Article gives the name with "a" or "an" before it, for a sentence.
func (t Type) Article() string {
	s := t.String()
	switch {
	case t.Form == Truth && !t.List:
		return "a yes or no"
	case t.Form == Text && !t.List:
		return "a text"
	case strings.HasPrefix(s, "money") || strings.HasPrefix(s, "rows"):
		return s
	case strings.ContainsRune("aeio", rune(s[0])):
		return "an " + s
	}
	return "a " + s
}
