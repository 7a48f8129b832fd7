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
				c.rules[st.Name.Name] = newRule(st, file.Source, true)
			default:
				ms.Add(diag.New(file.Source, st.Where(), "A file of rules holds rules only.", ""))
			}
		}
	}
	s := &Sheet{c: c, units: map[string]catalogue.Unit{}, byName: map[string]int{}, told: map[string]bool{}, rules: map[string]*Rule{}}
	ms = append(ms, s.checkRules(c.rules)...)
	return c, ms
}

func (c *Checker) isLibraryUnit(name string) bool {
	s := Sheet{c: c}
	return s.IsUnit(name)
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
	Formula  Role = iota
	Input         // a lone literal, with or without limits
	Ask           // an open cell
	Rate          // a rate of exchange of the job, EUR_USD
	CheckOf       // the condition of a check
	Words         // a title, a section, the words of a check
	Literals      // a table of literal rows
)

// Cell is one checked cell: its program where it is sound, its mistake where it is not.
type Cell struct {
	Name      string
	Role      Role
	Source    *diag.Source
	Span      diag.Span // the statement
	NameSpan  diag.Span
	Note      string
	Section   int // index into Sheet.Sections, -1 before the first
	Statement syntax.Statement

	Type    kind.Type
	Spec    *show.Spec
	Program *program.Program
	Inputs  []int // indexes into Sheet.Cells, one for each input of the program
	Places  []program.Place
	Fault   *diag.Message // why there is no program; nil where sound
	Root    int           // the cell whose mistake this one rests on, -1 where its own
	Rules   []*Rule       // rules called, those that they call included
	Limits  *Limits
	Answer  Answer // for an ask

	expr    syntax.Expr
	state   uint8
	percent bool
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
	Cond int // the cell that holds the condition
	Else int // the cell that holds the words, -1 where none
	Text string
}

// SectionHead is a heading: the cell that holds its words.
type SectionHead struct{ Cell int }

// Sheet is a checked sheet.
type Sheet struct {
	Name     string
	File     *syntax.File
	US       bool
	Title    int // the cell with its words, -1 where none
	Sections []SectionHead
	Cells    []*Cell
	Checks   []Check
	Messages diag.List
	Rules    []*Rule // the sheet's own

	c        *Checker
	rules    map[string]*Rule
	byName   map[string]int
	folded   map[string]int
	units    map[string]catalogue.Unit
	unitAt   map[string]diag.Span
	told     map[string]bool
	programs map[string]*program.Program
	usualOf  map[usualKey]*show.Spec
	parts    map[string]bool // names of parts, which are read and not computed yet
}

// Find gives the index of a named cell.
func (s *Sheet) Find(name string) (int, bool) {
	i, ok := s.byName[name]
	return i, ok
}

// Names lists the named cells in the order of the file.
func (s *Sheet) Names() []string {
	var out []string
	for _, c := range s.Cells {
		if c.Name != "" && c.Role != CheckOf {
			out = append(out, c.Name)
		}
	}
	return out
}

// Check reads and checks a sheet.
func (c *Checker) Check(name, text string) *Sheet {
	own := map[string]bool{}
	for _, u := range syntax.ScanUnits(text) {
		for _, n := range append(plurals(u), u) {
			own[n] = true
		}
	}
	file := syntax.ReadFile(name, text, func(w string) bool { return own[w] || c.isLibraryUnit(w) })
	s := &Sheet{Name: name, File: file, Title: -1, c: c, byName: map[string]int{}, folded: map[string]int{}, rules: map[string]*Rule{},
		units: map[string]catalogue.Unit{}, unitAt: map[string]diag.Span{}, told: map[string]bool{}, programs: map[string]*program.Program{}, usualOf: map[usualKey]*show.Spec{}, parts: map[string]bool{}}
	s.Messages = append(s.Messages, file.Messages...)
	s.collect()
	s.settle()
	s.Messages.Sort()
	return s
}

// Line checks one line over a sheet, without changing it: an expression, or a statement whose value is wanted. The
// cell's inputs are indexes into the sheet's cells.
func (s *Sheet) Line(src *diag.Source) (*Cell, diag.List) {
	st, note, ms := syntax.ReadLine(src, s.IsUnit)
	if len(ms) > 0 {
		return nil, ms
	}
	line := *s
	line.Messages = nil
	line.Cells = s.Cells[:len(s.Cells):len(s.Cells)]
	cell := &Cell{Source: src, Span: st.Where(), Note: note, Section: -1, Root: -1, Statement: st}
	switch x := st.(type) {
	case *syntax.Line:
		cell.expr = x.Expr
		line.compile(cell, x.Shown, nil)
	case *syntax.Cell:
		cell.Name, cell.NameSpan, cell.expr = x.Name.Name, x.Name.Span, x.Expr
		line.compile(cell, x.Shown, x.Accept)
	default:
		line.Messages.Add(diag.New(src, st.Where(), "This line gives no value.", "Type a value, as 3/4 in * 6 [in]; statements belong into a sheet."))
	}
	if cell.Fault != nil {
		line.Messages.Add(cell.Fault)
	}
	return cell, line.Messages
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
