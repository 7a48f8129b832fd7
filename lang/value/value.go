// Package value holds what a cell or a register holds: columns of numbers, texts or shapes. A single value is a
// column of length one.
package value

import "math"

// Mark is the state of one row: 0 is ok; any other number is a set of causes that the engine keeps, from which the
// state (flagged, open, mistake) follows.
type Mark int32

// State says how far a value can be used; a greater one is worse.
type State uint8

// The states of a cell or a row, each worse than the one before.
const (
	OK State = iota
	Flagged
	Open
	Mistake
)

func (s State) String() string { return [...]string{"ok", "flagged", "open", "mistake"}[s] }

// Place is a point of the plane, in metres.
type Place struct{ X, Y float64 }

// Comparable is met by outlines, solids and steps of paths: immutable values shared by pointer and compared by content.
type Comparable interface{ Equal(other any) bool }

// Noted is met by outlines: what is told, a sentence each, of how a value came about.
type Noted interface{ Notes() []string }

// Column is a run of values of one type. Which of its slices is used follows from the type that the checker settled:
// Num for numbers, temperatures, dates and truth (0 or 1), Text for texts, Obj for places, outlines, solids and steps
// of paths, Fields for records (one column for each field).
type Column struct {
	Num    []float64
	Text   []string
	Obj    []any
	Fields []Column
	N      int     // rows, where Fields are used
	Marks  []Mark  // nil where every row is ok
	Rows   []int32 // where filtered: the row each element had; nil where none was left out
	All    Mark    // a mark over the whole column; where it is a mistake there are no rows to look at
}

// Len counts the rows.
func (c *Column) Len() int {
	switch {
	case c.Num != nil:
		return len(c.Num)
	case c.Text != nil:
		return len(c.Text)
	case c.Obj != nil:
		return len(c.Obj)
	}
	return c.N
}

// Mark gives the mark of a row.
func (c *Column) Mark(row int) Mark {
	if c.Marks == nil {
		return 0
	}
	return c.Marks[row]
}

// Row gives the row that element i had before filtering.
func (c *Column) Row(i int) int {
	if c.Rows == nil {
		return i
	}
	return int(c.Rows[i])
}

// Single gives one row of a column as a column, with its mark, without copying what it holds.
func (c *Column) Single(i int) *Column {
	out := &Column{N: 1, All: c.All}
	switch {
	case c.Num != nil:
		out.Num = c.Num[i : i+1]
	case c.Text != nil:
		out.Text = c.Text[i : i+1]
	case c.Obj != nil:
		out.Obj = c.Obj[i : i+1]
	}
	if c.Marks != nil {
		out.Marks = c.Marks[i : i+1]
	}
	return out
}

// One makes a column of one number.
func One(x float64) Column { return Column{Num: []float64{x}, N: 1} }

// Nums makes a column of numbers.
func Nums(xs ...float64) Column {
	if xs == nil {
		xs = []float64{}
	}
	return Column{Num: xs, N: len(xs)}
}

// Texts makes a column of texts.
func Texts(xs ...string) Column {
	if xs == nil {
		xs = []string{}
	}
	return Column{Text: xs, N: len(xs)}
}

// Objs makes a column of places, outlines, solids or steps.
func Objs(xs ...any) Column {
	if xs == nil {
		xs = []any{}
	}
	return Column{Obj: xs, N: len(xs)}
}

// Record makes a single record from single fields.
func Record(fields ...Column) Column { return Column{Fields: fields, N: 1} }

// Equal tells whether two columns hold the same values to the last bit, and the same marks.
func (c *Column) Equal(d *Column) bool {
	if c.Len() != d.Len() || len(c.Fields) != len(d.Fields) || (c.Num == nil) != (d.Num == nil) ||
		(c.Text == nil) != (d.Text == nil) || (c.Obj == nil) != (d.Obj == nil) {
		return false
	}
	if c.All != d.All {
		return false
	}
	for i := range c.Num {
		if math.Float64bits(c.Num[i]) != math.Float64bits(d.Num[i]) {
			return false
		}
	}
	for i := range c.Text {
		if c.Text[i] != d.Text[i] {
			return false
		}
	}
	for i := range c.Obj {
		if !sameObj(c.Obj[i], d.Obj[i]) {
			return false
		}
	}
	for i := range c.Fields {
		if !c.Fields[i].Equal(&d.Fields[i]) {
			return false
		}
	}
	for i := range c.Len() {
		if c.Mark(i) != d.Mark(i) || c.Row(i) != d.Row(i) {
			return false
		}
	}
	return true
}

func sameObj(a, b any) bool {
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	if x, ok := a.(Comparable); ok {
		return x.Equal(b)
	}
	if x, ok := a.(Place); ok {
		y, ok := b.(Place)
		return ok && math.Float64bits(x.X) == math.Float64bits(y.X) && math.Float64bits(x.Y) == math.Float64bits(y.Y)
	}
	return false
}
