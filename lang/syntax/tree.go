package syntax

import (
	"math/big"

	"castwright/lang/diag"
)

// Span is a piece of the source by byte offsets.
type Span = diag.Span

// File is a sheet, or a file of rules, as a tree. Its items tile the source without a gap, so that printing an
// untouched tree gives the same bytes.
type File struct {
	Name     string
	Source   *diag.Source // as it was read; an edit leaves it as it is
	Items    []*Item
	Messages diag.List // mistakes and notices of reading

	numbered bool // the items know their lines
}

// Item is one statement with the whole lines that it stands on, or a run of blank and comment lines (Statement nil), or
// lines that could not be read (Statement nil and Bad set). Its text is that of its source; spans in its tree count from
// the source's base.
type Item struct {
	Source    *diag.Source
	Span      Span // whole lines, the line ends included
	Statement Statement
	Bad       bool
	Note      string // the comment behind the statement, without # and outer blanks
	NoteSpan  Span
	Messages  diag.List // mistakes and notices of reading
}

// Statement is one of the statements of the language.
type Statement interface {
	Where() Span // from its first character to its last, without comments
	statement()
}

// Ident is a name with its place.
type Ident struct {
	Name string
	Span Span
}

// The statements.
type (
	// Title is `title "…"`.
	Title struct {
		Span Span
		Text *Text
	}
	// Section is `section "…"`.
	Section struct {
		Span Span
		Text *Text
	}
	// System is `system metric` or `system us`.
	System struct {
		Span Span
		US   bool
	}
	// Cell is `name = EXPR [accept "…" (cause, …)] [shown]`; also a column formula in a table and a line in a rule.
	Cell struct {
		Span   Span
		Name   Ident
		Expr   Expr // a *Limits for an input with limits
		Accept *Accept
		Shown  *Shown
		Note   string // for lines inside rules and tables; an item keeps its own
	}
	// Accept answers flags: accept "why" (cause, …).
	Accept struct {
		Span   Span
		Why    *Text
		Causes []Path
	}
	// Ask is `ask name [unit] assume EXPR given LITERAL`.
	Ask struct {
		Span   Span
		Name   Ident
		Shown  *Shown
		Assume Expr // nil where absent
		Given  Expr // nil where absent
	}
	// Measure is `1 bag = 80 lb`, or a rate of exchange, `1 EUR = 1.09 USD`.
	Measure struct {
		Span  Span
		Unit  Ident
		Value Expr
	}
	// Count is `count pallet, pallets`; Many is empty where the plural is left out.
	Count struct {
		Span Span
		One  Ident
		Many Ident
	}
	// Rule is `rule name(a [d], b = 5%) … end`.
	Rule struct {
		Span    Span
		Name    Ident
		Params  []*RuleParam
		About   *Text
		Source  *Text
		Caution *Text
		Family  *Text // the heading under which help lists it
		Example *Text // a line of the language; help computes it
		Needs   []Expr
		Holds   []Expr
		Tables  []*Table
		Lines   []*Cell
		Gives   []*Give
		GiveAt  Span
	}
	// RuleParam is one parameter: name, name[] for a whole list, [unit] or = default.
	RuleParam struct {
		Span    Span
		Name    Ident
		Whole   bool
		Shown   *Shown
		Default Expr
	}
	// Give is one result of a rule; Name is empty for the single one.
	Give struct {
		Span  Span
		Name  Ident
		Expr  Expr
		Shown *Shown
	}
	// Table is `table name … end`, or `table name from "log.csv" (…)`.
	Table struct {
		Span     Span
		Name     Ident
		From     *From
		Formulas []*Cell
		Heads    []*Head
		Rows     []*Row
		BodyAt   []Span // for each row, its whole line
	}
	// From is the file of a table and its options.
	From struct {
		Span    Span
		Path    *Text
		Options []*Argument // dates: "d.m.y", decimal: ",", skip: 3
	}
	// Head is the heading of one typed column.
	Head struct {
		Name  Ident
		Shown *Shown // its bracket, the unit of bare numbers below it
	}
	// Row is one row; a nil cell is an empty place.
	Row struct {
		Span  Span
		Cells []Expr
		Note  string
	}
	// Check is `check NAME: COND else "…"`; Name is empty and Else nil where left out.
	Check struct {
		Span Span
		Name Ident
		Cond Expr
		Else *Text
	}
	// Part is `part name from "FILE.sheet" (cell: EXPR, …)` or `part name from library "mix" (…)`.
	Part struct {
		Span    Span
		Name    Ident
		Library bool
		Path    *Text
		Replace []*Argument
	}
	// Variant is `variant winter (water_temp: 8 degC, …)`.
	Variant struct {
		Span Span
		Name Ident
		Set  []*Argument
	}
	// Correlation is `correlation a, b = 0.3`.
	Correlation struct {
		Span  Span
		A, B  Path
		Value Expr
	}
	// Handout is `handout name "Title" … end`.
	Handout struct {
		Span  Span
		Name  Ident
		Title *Text
		Items []*HandoutItem
	}
	// HandoutItem is one listed cell or column: `live NAME`, `NAME with note`, `pours.pieces where …`.
	HandoutItem struct {
		Span     Span
		Live     bool
		Expr     Expr // a name, a path, or a Where over a path
		WithNote bool
	}
	// Line is an expression alone, at the shell or of eval.
	Line struct {
		Span  Span
		Expr  Expr
		Shown *Shown
	}
)

// Path is a name with dots, `pours.pieces`.
type Path struct {
	Span  Span
	Names []Ident
}

// Argument is one place of a call or a replacement; Name is empty where it is given by place.
type Argument struct {
	Span Span
	Name Ident
	Expr Expr
}

func (s *Title) Where() Span       { return s.Span }
func (s *Section) Where() Span     { return s.Span }
func (s *System) Where() Span      { return s.Span }
func (s *Cell) Where() Span        { return s.Span }
func (s *Ask) Where() Span         { return s.Span }
func (s *Measure) Where() Span     { return s.Span }
func (s *Count) Where() Span       { return s.Span }
func (s *Rule) Where() Span        { return s.Span }
func (s *Table) Where() Span       { return s.Span }
func (s *Check) Where() Span       { return s.Span }
func (s *Part) Where() Span        { return s.Span }
func (s *Variant) Where() Span     { return s.Span }
func (s *Correlation) Where() Span { return s.Span }
func (s *Handout) Where() Span     { return s.Span }
func (s *Line) Where() Span        { return s.Span }

func (*Title) statement()       {}
func (*Section) statement()     {}
func (*System) statement()      {}
func (*Cell) statement()        {}
func (*Ask) statement()         {}
func (*Measure) statement()     {}
func (*Count) statement()       {}
func (*Rule) statement()        {}
func (*Table) statement()       {}
func (*Check) statement()       {}
func (*Part) statement()        {}
func (*Variant) statement()     {}
func (*Correlation) statement() {}
func (*Handout) statement()     {}
func (*Line) statement()        {}

// Shown is the bracket that says how a value is shown: `[0.1 kg]`, `[1/16 in]`, `[ft, 1/8 in]`, `[%]`, `[date]`,
// `[kg/m^3]`, `[0.01]`.
type Shown struct {
	Span Span
	// Word is "date", "weekday", "text" or "yes/no" where the bracket holds that word alone.
	Word string
	// Units are the units, the largest first; more than one for `[ft, 1/8 in]`. Empty for a bare step. Percent stands
	// for `%`.
	Units   []*Unit
	Percent bool
	// Step is the smallest step, in the last unit; nil where none is written.
	Step *NumberText
}

// NumberText is a number as it was written.
type NumberText struct {
	Span  Span
	Value *big.Rat
	Den   int64 // the denominator where it was written as a fraction (`3/4`, `1 3/4`, `½`), else 0
}

// Expr is an expression.
type Expr interface {
	Where() Span
	expr()
}

// The expressions.
type (
	// Quantity is a number literal with or without units: `430 mm`, `6 ft 2 3/8 in`, `5' 3 1/2"`, `8%`, `12`.
	Quantity struct {
		Span    Span
		Neg     bool // a tight minus belongs to it
		Parts   []QuantityPart
		Percent bool // `8%`: Parts has one part without a unit
	}
	// QuantityPart is one number with its unit.
	QuantityPart struct {
		Number NumberText
		Unit   *Unit  // nil for a bare number and where Mark is set
		Mark   string // "'" for feet, `"` for inches
	}
	// DateLit is `2027-03-01` or `2027-03-01T14:30`. Seconds since 1970-01-01T00:00.
	DateLit struct {
		Span    Span
		Seconds int64
		HasTime bool
	}
	// Text is `"…"`: its pieces are words and expressions with how they are shown.
	Text struct {
		Span   Span
		Pieces []TextPiece
	}
	// TextPiece is words, or an expression where Expr is set.
	TextPiece struct {
		Words string
		Expr  Expr
		Shown *Shown
		Span  Span
	}
	// TruthLit is yes or no.
	TruthLit struct {
		Span Span
		Yes  bool
	}
	// Name is a cell, a parameter, a column or a constant.
	Name struct {
		Span Span
		Name string
	}
	// Field is what follows a dot.
	Field struct {
		Span Span
		Of   Expr
		Name Ident
	}
	// Call is a rule or function with its places.
	Call struct {
		Span Span
		Name Ident
		Args []*Argument
	}
	// List is `(a, b, c)`.
	List struct {
		Span  Span
		Items []Expr
	}
	// Paren is `(a)`.
	Paren struct {
		Span  Span
		Inner Expr
	}
	// Unary is `-x` or `not x`.
	Unary struct {
		Span Span
		Op   string
		X    Expr
	}
	// Binary is `+ - * / ^ and or`.
	Binary struct {
		Span Span
		Op   string
		OpAt Span
		X, Y Expr
	}
	// Compare is `a == b`, or a chain `a <= b <= c`. Ops are written `== != < <= > >=`.
	Compare struct {
		Span  Span
		Terms []Expr
		Ops   []string
		OpsAt []Span
	}
	// If is `if C then A else B`.
	If struct {
		Span             Span
		Cond, Then, Else Expr
	}
	// Filter is `list where cond`.
	Filter struct {
		Span Span
		List Expr
		Cond Expr
	}
	// Limits is an input with its limits (ruling 16). Exactly one of the forms is set: Half (± a, or ± 2%), From and
	// To, or Std (±s, with Dof where stated).
	Limits struct {
		Span     Span
		Middle   Expr // *Quantity
		Half     Expr // *Quantity
		From, To Expr
		Std      Expr
		Dof      *NumberText
	}
)

func (e *Quantity) Where() Span { return e.Span }
func (e *DateLit) Where() Span  { return e.Span }
func (e *Text) Where() Span     { return e.Span }
func (e *TruthLit) Where() Span { return e.Span }
func (e *Name) Where() Span     { return e.Span }
func (e *Field) Where() Span    { return e.Span }
func (e *Call) Where() Span     { return e.Span }
func (e *List) Where() Span     { return e.Span }
func (e *Paren) Where() Span    { return e.Span }
func (e *Unary) Where() Span    { return e.Span }
func (e *Binary) Where() Span   { return e.Span }
func (e *Compare) Where() Span  { return e.Span }
func (e *If) Where() Span       { return e.Span }
func (e *Filter) Where() Span   { return e.Span }
func (e *Limits) Where() Span   { return e.Span }

func (*Quantity) expr() {}
func (*DateLit) expr()  {}
func (*Text) expr()     {}
func (*TruthLit) expr() {}
func (*Name) expr()     {}
func (*Field) expr()    {}
func (*Call) expr()     {}
func (*List) expr()     {}
func (*Paren) expr()    {}
func (*Unary) expr()    {}
func (*Binary) expr()   {}
func (*Compare) expr()  {}
func (*If) expr()       {}
func (*Filter) expr()   {}
func (*Limits) expr()   {}

// Unit is a unit as written: factors one after another.
type Unit struct {
	Span    Span
	Factors []UnitFactor
}

// UnitFactor is a unit name or a bracketed group, to a power, multiplied or (Over) divided.
type UnitFactor struct {
	Span     Span
	Name     Ident // empty for a group
	Group    *Unit
	Over     bool // it stands behind a slash
	Num, Den int  // the power as written, 1/1 where none stands
	Powered  bool // a power was written, so that trailing digits of the name are not one
}
