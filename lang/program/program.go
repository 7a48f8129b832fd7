// Package program holds typed programs: what is left of a formula when names, units and kinds are settled. A program is
// a short list of register operations; each register holds a column (a single value is a column of length one).
// Numbers are in coherent SI units.
package program

import (
	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
)

// Reg is the index of a register.
type Reg int32

// None stands where an operation has no such operand.
const None Reg = -1

// Class says which slice of a column a register uses.
type Class uint8

// The classes of registers. Truth is a number, 0 or 1; dates and temperatures are numbers.
const (
	Num Class = iota
	Text
	Obj    // places, outlines, solids, edges
	Record // one column for each field
)

// Register describes one register: its class, and whether it holds a list.
type Register struct {
	Class Class
	List  bool
}

// Op is an operation.
type Op uint8

// The operations. "Lanes" marks those that work row by row: a single meets a list as a broadcast, lists must have equal
// lengths (else the whole result is a mistake that tells both lengths), the marks of the operands are merged row by
// row. A number that is not finite becomes a mistake of its row at once, at the operation that made it.
const (
	Nop Op = iota

	// Lanes, numbers.
	Add
	Sub
	Mul
	Div      // by 0: a mistake, "division by 0"
	Neg      //
	Pow      // A to the power B, plain numbers
	PowConst // A to the power Factor
	Eq       // equal within 1 part in 10¹² of the larger (ruling 17)
	Ne       //
	Lt       // less, and not Eq
	Le       // less, or Eq
	Not      //
	And      // left to right: a row whose left is no (and ok) does not look at the right (ruling 32)
	Or       //
	Func1    // Funcs[Aux].Lane1(A)
	Func2    // Funcs[Aux].Lane2(A, B)

	// Lanes, any class.
	TextEq    //
	TextNe    //
	If        // A is the condition, B then, C else; only the branch taken lends its mark
	MakePlace // a point from two lengths A, B
	Otherwise // A, or B flagged where A is a mistake; an open A stays open
	Need      // A, a mistake where the condition B is no; Tests[Aux] tells
	Hold      // A, flagged where the condition B is no; Tests[Aux] tells
	Accept    // A without the flags that Accepts[Aux] answers
	Assumed   // A, flagged as resting on the assumed value of the ask Words[Aux]
	Join      // a text from pieces Templates[Aux] over Args
	Same      // A as it is
	AsLong    // the list A, a mistake as a whole where the lists Args are not as long; Words[Aux] is the rule that they are given to, the words behind it its parameters

	// Whole columns.
	List     // the singles Args as a list
	Filter   // the rows of A where B is yes; rows keep their number; a row whose condition is open or a mistake stays, with that mark
	MakeRows // a record, or rows, from the fields Args
	GetField // field Aux of the record A
	Call     // Funcs[Aux].Call(Args); a list given to a parameter that takes a single is mapped row by row
	Special  // Funcs[Aux].Special over Args; behind the list of `only` stand the texts that its conditions look for, each as three: the column, the text, the column's name
	OpenAsk  // an open value, waiting for the ask Words[Aux]
	Fail     // a mistake, told by Words[Aux]

	// Along the rows of a table (rulings 25 to 28).
	Spread   // A, a single, once for each row of the list B
	Scatter  // the list A with the singles Args in the rows Loops[Aux].At; other rows keep theirs
	Running  // the total of A so far, row by row
	Before   // A of the row above; the single B in the first row
	Steps    // A less A of the row above; the single B, a difference, in the first row
	FilterEq // the rows of A where the column B equals the single C, as Filter over Eq or TextEq of B and C; indexed
	EachRow  // Loops[Aux] run once for each row over Args
)

// Loop is a program that EachRow runs once for each row. Input k of it is Args[k]: where Row[k] is set, the value of that
// row as a single, else the whole register. Where Self is not negative, input Self is the result of the row above
// instead, and in the first row the value of Args[Self], a single. Lists that have Row set give the number of rows; they
// have one length.
type Loop struct {
	Program *Program
	Row     []bool
	Self    int     // -1 where no input is the row above
	At      []int32 // for Scatter alone: the rows, rising
}

// Instr is one operation: Out = Op(A, B, C, Args…).
type Instr struct {
	Op      Op
	Out     Reg
	A, B, C Reg
	Args    []Reg
	Aux     int32   // an index into the table that Op names
	Factor  float64 // for PowConst
	Place   int32   // an index into the places of the cell that runs the program
}

// Const is a register filled when the program is loaded.
type Const struct {
	Reg   Reg
	Value value.Column
}

// Test is a condition of a rule, a need or a range, with what is told when it does not hold.
type Test struct {
	Rule  string // the rule's name, by which `accept` answers a flag
	Cond  string // the condition as written, "1 d <= age <= 3650 d"
	Names []string
	Regs  []Reg // the parameters that the condition uses, whose numbers are told
	Specs []*show.Spec
}

// Acceptance answers flags of the named causes (asks and rules).
type Acceptance struct {
	Why    string
	Causes []string
}

// Piece is words, or, where Arg is not negative, the value of an argument.
type Piece struct {
	Words string
	Arg   int
	Spec  *show.Spec
}

// Program is a compiled formula. It holds no cell and no place, so that equal formulas share one program.
type Program struct {
	Regs      []Register
	Inputs    int // registers 0 … Inputs-1 are loaded from the cell's inputs, in order
	Consts    []Const
	Code      []Instr
	Out       Reg
	Funcs     []*catalogue.Func
	Words     []string
	Tests     []Test
	Accepts   []Acceptance
	Templates [][]Piece
	Loops     []Loop
}

// Place is a piece of a text that an operation stands for. Inside is the place in the rule, where the operation comes
// from one; Source and Span are then the call.
type Place struct {
	Source *diag.Source
	Span   diag.Span
	Inside *Place
}

// Registers visits each register that the operations and tests of a program name.
func (p *Program) Registers(visit func(*Reg)) {
	for i := range p.Code {
		p.Code[i].registers(visit)
	}
	for i := range p.Tests {
		for k := range p.Tests[i].Regs {
			visit(&p.Tests[i].Regs[k])
		}
	}
}

func (in *Instr) registers(visit func(*Reg)) {
	in.Operands(visit)
	visit(&in.Out)
}

// Operands visits the registers that an operation reads, but for those of the message of a condition.
func (in *Instr) Operands(visit func(*Reg)) {
	for _, r := range [...]*Reg{&in.A, &in.B, &in.C} {
		if *r >= 0 {
			visit(r)
		}
	}
	for k := range in.Args {
		visit(&in.Args[k])
	}
}

// Reads visits the registers that an operation reads, those of the message of a condition among them.
func (p *Program) Reads(in *Instr, visit func(Reg)) {
	in.Operands(func(r *Reg) { visit(*r) })
	if in.Op == Need || in.Op == Hold {
		for _, r := range p.Tests[in.Aux].Regs {
			visit(r)
		}
	}
}
