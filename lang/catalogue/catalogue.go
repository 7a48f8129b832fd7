// Package catalogue says what the language must know of a library: units, functions, properties of shapes, and rules
// as text. The language and the engine see a library only through these types; stdlib fills them.
package catalogue

import (
	"math/big"

	"castwright/lang/kind"
	"castwright/lang/value"
)

// Unit is one unit of measurement. The value of one unit in coherent SI units is Ratio, times pi where Pi is set.
type Unit struct {
	Symbol   string    // as it is shown: "mm", "lb", "degC"
	Others   []string  // other spellings that are read, the English name among them: "millimetre", "millimeter"
	Name     string    // the English name in the singular: "millimetre"
	Plural   string    // the English name in the plural
	Form     kind.Form // kind.Number, or kind.Point for degC and degF
	Dim      kind.Dim
	Ratio    *big.Rat
	Pi       bool
	Offset   *big.Rat // for a temperature: its zero in kelvin
	System   System
	Source   string // where the factor is published
	About    string // what a reader should know, "2000 lb, the US short ton"
	Prefixes bool   // whether SI prefixes go on it
	Minor    int    // for a currency: digits of its minor unit (ISO 4217)
	Counts   bool   // a counted thing: shown with its plural, "3 pallets"
}

// System says where a unit belongs.
type System string

// The systems that help groups units by.
const (
	SI       System = "SI"
	WithSI   System = "accepted with SI"
	US       System = "US customary"
	Imperial System = "imperial"
	Trade    System = "trade"
	Currency System = "currency"
	Job      System = "of this job"
)

// Units looks units up.
type Units interface {
	// Unit finds a unit by any of its spellings, case counting; whole names win over prefix and unit.
	Unit(name string) (Unit, bool)
	// Near gives the spellings nearest to one that is unknown.
	Near(name string) []string
	// Usual gives the unit, as text of the language, in which a value of a kind is shown where the sheet names none;
	// metric or US. It is empty where the kind has no usual unit.
	Usual(form kind.Form, d kind.Dim, us bool) string
	// All lists the units, for help.
	All() []Unit
}

// Param is one parameter of a Go function.
type Param struct {
	Name     string
	Marked   string     // the unit of its bracket, "deg"; a bare literal is refused for an angle so marked
	Type     *kind.Type // what it takes; nil: any type, judged by Result
	Whole    bool       // takes a whole list, xs[]; as the last parameter it takes the remaining places
	Default  string     // in the cell language; empty with Optional: Call sees an empty column
	Optional bool
	File     *File // it names a file, by a literal text; Call sees what Read makes of it as its one object
}

// File is a file of the job's folder that a function reads: when its cell is checked, so that a file which is changed later is
// told and taken by `reload`, as that of a table (ruling 29).
type File struct {
	Most int64 // the most bytes that it may have
	// Read makes an object of it, which cannot be changed and may be shared; name is how messages call it. An error is a
	// sentence for the reader.
	Read func(name string, text []byte) (any, error)
}

// Flag is the error of a function whose result can be used, but is flagged: a sentence for the reader. `accept` answers it by
// the name of the function, whose Holds says when there is none.
type Flag string

func (f Flag) Error() string { return string(f) }

// Arg is what the checker knows of an argument.
type Arg struct {
	Type    kind.Type
	Given   bool
	Literal *float64 // the number, where the argument is a bare literal
	Text    *string  // the text, where the argument is a literal text
}

// Example is a line of the language and what it shows.
type Example struct{ Line, Shown string }

// Special marks the functions that the engine carries out itself, because they look at states or at single rows.
type Special uint8

// The functions of the engine.
const (
	NotSpecial Special = iota
	Sum
	Mean
	CountOf // count(xs)
	KnownOf // known(xs)
	Only
	First
	Last
	Item // item(xs, n)
	Any
	All
	Otherwise
	ListOf    // list(a)
	RunningOf // running(x): along the rows, as the next two
	BeforeOf  // before(x, first)
	StepsOf   // steps(x, first)
)

// Func is a function that the cell language cannot say, written in Go, with the facts that a rule carries. Exactly one
// of Lane1, Lane2, Call and Special is set.
type Func struct {
	Name     string
	Family   string // "numbers", "lists", "shapes", "dates"
	About    string
	Source   string
	Needs    string // in words
	Holds    string
	Caution  string
	Params   []Param
	Examples []Example

	// Result gives the type of the result from the types of the arguments (by parameter; a Whole parameter's type is
	// a list; elements where a single is wanted). An error is a sentence for the reader.
	Result func(args []Arg) (kind.Type, error)

	// Lane1 and Lane2 work on single numbers in SI; a result that is not finite is a mistake, told with Domain.
	Lane1  func(x float64) float64
	Lane2  func(x, y float64) float64
	Domain string // "the square root of a negative number"

	// Call works on whole arguments: a single for a plain parameter, a list for a Whole one. All values are in SI.
	// An error is a sentence for the reader; a Flag comes with a result.
	Call func(args []value.Column) (value.Column, error)

	Special Special
	Angle   bool // the result is an angle, in radians, and no bare number
}

// RuleFile is a file of rules in the cell language.
type RuleFile struct{ Name, Text string }

// Library is all that the language and the engine see of the standard library.
type Library interface {
	Units
	Func(name string) (*Func, bool)
	// Property finds what follows a dot behind an outline, solid or point: .area, .volume, .x. Its one parameter is
	// the value itself.
	Property(form kind.Form, name string) (*Func, bool)
	Properties(form kind.Form) []string
	Funcs() []*Func
	RuleFiles() []RuleFile
}
