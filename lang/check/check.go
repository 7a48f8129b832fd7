// Package check settles names, kinds and rules: it turns the tree of a sheet into typed programs that hold no name and
// no unit. Every mistake is reported at its place; a sound cell is never held up by an unsound one.
package check

import (
	"sort"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// Checker holds the library, its rules read once.
type Checker struct {
	lib   catalogue.Library
	rules map[string]*Rule
}

// New reads the rules of a library. The messages are mistakes in the library itself.
func New(lib catalogue.Library) (*Checker, diag.List) {
	c := &Checker{lib: lib, rules: map[string]*Rule{}}
	var ms diag.List
	for _, f := range lib.RuleFiles() {
		file := syntax.ReadFile(f.Name, f.Text, c.isLibraryUnit)
		file.Source.Rule = true
		ms = append(ms, file.Messages...)
		for _, it := range file.Items {
			switch st := it.Statement.(type) {
			case nil:
			case *syntax.Rule:
				if old := c.rules[st.Name.Name]; old != nil {
					ms.Add(diag.New(file.Source, st.Name.Span, "This rule stands in the library twice.", ""))
					continue
				}
				c.rules[st.Name.Name] = newRule(st, file.Source, it.Messages, true)
			default:
				ms.Add(diag.New(file.Source, st.Where(), "A file of rules holds rules only.", ""))
			}
		}
	}
	ms = append(ms, c.newJob(nil).sheet("", nil).checkRules(c.rules)...)
	return c, ms
}

func (c *Checker) isLibraryUnit(name string) bool {
	_, _, ok := lookup(name, false, nil, nil, c.lib)
	return ok
}

// Library gives the library that the checker works with.
func (c *Checker) Library() catalogue.Library { return c.lib }

// Rules lists the library's rules by name.
func (c *Checker) Rules() []*Rule {
	var out []*Rule
	for _, r := range c.rules {
		out = append(out, r)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Name < out[j].Name })
	return out
}

// Rule finds a rule of the library.
func (c *Checker) Rule(name string) *Rule { return c.rules[name] }

// Role says what a cell is for.
type Role uint8

// The roles of cells.
const (
	Formula Role = iota
	Input        // a lone literal, with or without limits
	Ask          // an open cell
	Rate         // a rate of exchange of the job, EUR_USD
	CheckOf      // the condition of a check
	Words        // a title, a section, the words of a check
	Rows         // a table: its rows, made of its columns
	Column       // a column of a table that is typed
	Worked       // a column of a table that is a formula
	Setting      // an input's value in a variant
	Listed       // what a line of a handout lists
)

// Cell is one checked cell: its program where it is sound, its mistake where it is not.
type Cell struct {
	Sheet     *Sheet
	ID        int32 // for who computes the cells: its number there, -1 at first
	Name      string
	Role      Role
	Source    *diag.Source // the text of its formula
	Item      *syntax.Item
	Span      diag.Span // the statement
	NameSpan  diag.Span
	Note      string
	Section   *Cell // the words of the heading above it, nil before the first
	Statement syntax.Statement

	Type     kind.Type
	Spec     *show.Spec
	Program  *program.Program
	Data     *Data   // for a column that is typed, instead of a program
	Inputs   []*Cell // one for each input of the program
	ByRow    []bool  // for each input, whether it is a column that stands for its value in the row
	Places   []program.Place
	Fault    *diag.Message // why there is no program; nil where sound
	Root     *Cell         // the cell whose mistake this one rests on, nil where its own
	Rules    []*Rule       // rules called, those that they call included
	Limits   *Limits
	Answer   Answer           // for an ask
	Columns  []*Cell          // of a table
	Table    *Cell            // of a column
	Check    *Check           // of a condition
	Replaced *syntax.Argument // what stands in its place, in a part
	Messages diag.List        // all that is told of it, its fault included where that is its own

	expr    syntax.Expr
	accept  *syntax.Accept
	shown   *syntax.Shown
	head    *syntax.Head // of a typed column
	at      int          // of a typed column: its place in the heading
	file    *fileColumn  // of a column from a file
	from    *fileTable   // of a table from a file
	state   uint8
	percent bool
	lasting *diag.Message // a mistake of its name, which no check of its formula takes away
	hidden  *Cell         // of a typed column with expressions in its rows: the literals below them
	hides   *Cell         // the column above these literals
	given   kind.Type     // of a rate: what it is in
	deps    []dep
}

// Data is a typed column: its values, and the rows that hold none yet, rising.
type Data struct {
	Column value.Column
	Open   []int32
}

// Path is the name of a cell in the whole job: "bench.mass" where there are several sheets, "bench.leg.mass" in a part.
func (c *Cell) Path() string { return c.Sheet.prefix() + c.Name }

// DataPath is the name of the column that typed values belong to, though they stand below its expressions.
func (c *Cell) DataPath() string {
	if c.hides != nil {
		return c.hides.Path()
	}
	return c.Path()
}

// Scope is the sheet in which the names of the cell's formula are looked up: that which uses it, where a part replaces it.
func (c *Cell) Scope() *Sheet {
	if c.Replaced != nil && c.Role != Setting {
		return c.Sheet.Parent
	}
	return c.Sheet
}

// Expr gives the formula of a cell, or the value that an ask has; nil where it has none.
func (c *Cell) Expr() syntax.Expr {
	if c.Replaced != nil {
		return c.Replaced.Expr
	}
	if a, ok := c.Statement.(*syntax.Ask); ok {
		if a.Given != nil {
			return a.Given
		}
		return a.Assume
	}
	if c.Role == Column || c.Role == Rows {
		return nil
	}
	return c.expr
}

// Label is the name of a cell as a reader of a sheet writes it there.
func (c *Cell) Label(from *Sheet) string {
	if c.Sheet == from {
		return c.Name
	}
	return c.Path()
}

// Answer says how far an ask is answered.
type Answer uint8

// The answers.
const (
	Unanswered Answer = iota
	AssumedOnly
	Given
)

// Limits are the stated limits of an input (ruling 16), in coherent SI units.
type Limits struct {
	Low, High float64
	Std       float64 // a stated standard uncertainty; 0 where a range is stated
	Dof       float64 // its degrees of freedom; 0 where not stated
	Text      string  // as written behind the middle, "± 3 mm"
}

// Check is a condition with what to say.
type Check struct {
	Name string
	Cond *Cell
	Else *Cell // the words, nil where none
	Text string
}

// Check reads and checks a sheet that stands alone.
func (c *Checker) Check(name, text string) *Sheet {
	return c.Open([]Text{{Name: name, Text: text}}, nil).Sheets[0]
}

// Line checks one line over a sheet, without changing it: an expression, or a statement whose value is wanted.
func (s *Sheet) Line(src *diag.Source) (*Cell, diag.List) {
	st, note, ms := syntax.ReadLine(src, s.IsUnit)
	if len(ms) > 0 {
		return nil, ms
	}
	cell := &Cell{Sheet: s, ID: -1, Source: src, Span: st.Where(), Note: note, Statement: st}
	switch x := st.(type) {
	case *syntax.Line:
		cell.expr, cell.shown = x.Expr, x.Shown
	case *syntax.Cell:
		cell.Name, cell.NameSpan, cell.expr, cell.shown, cell.accept = x.Name.Name, x.Name.Span, x.Expr, x.Shown, x.Accept
	default:
		return nil, diag.List{diag.New(src, st.Where(), "This line gives no value.", "Type a value, as 3/4 in * 6 [in]; statements belong into a sheet.")}
	}
	s.compile(cell, &builder{})
	for _, m := range cell.Messages {
		if m.Once != "" && s.told[m.Once] {
			continue
		}
		if m.Once != "" {
			s.told[m.Once] = true
		}
		ms.Add(m)
	}
	if cell.Fault != nil {
		ms.Add(cell.Fault)
	}
	return cell, ms
}

// Empty is a sheet without a cell, for lines on their own.
func (c *Checker) Empty() *Sheet { return c.Check("", "") }

// plurals gives the plurals that are read for a measure or count of the job.
func plurals(one string) []string {
	if one == "" {
		return nil
	}
	last := one[len(one)-1]
	switch {
	case last == 's' || last == 'x' || last == 'z' || hasSuffix(one, "ch") || hasSuffix(one, "sh"):
		return []string{one + "es"}
	case last == 'y' && len(one) > 1 && !isVowel(one[len(one)-2]):
		return []string{one[:len(one)-1] + "ies"}
	}
	return []string{one + "s"}
}

func hasSuffix(s, t string) bool { return len(s) >= len(t) && s[len(s)-len(t):] == t }

func isVowel(c byte) bool { return c == 'a' || c == 'e' || c == 'i' || c == 'o' || c == 'u' }
