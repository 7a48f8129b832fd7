package taken

import (
	"strconv"
	"strings"
)

// node is a part of a worksheet formula.
type node interface{}

// The parts of a formula.
type (
	number  struct{ value float64 }
	words   struct{ text string }
	truth   struct{ value bool }
	problem struct{ text string } // #N/A and its like
	missing struct{}              // a place left empty between commas

	// ref is one cell. A fixed column or row was written with a $.
	ref struct {
		sheet    string // "" is the sheet of the formula
		col, row int
		fixedCol bool
		fixedRow bool
	}
	// area is a rectangle of cells; whole columns and rows reach to the last one.
	area struct{ from, to ref }
	// named is a defined name, or a table as a whole.
	named struct{ sheet, name string }
	// part is a column of a worksheet table: Table[Column], or its place in the formula's row.
	part struct {
		table, column string
		to            string // the last column of several
		here          bool   // this row
		all           bool   // with the heading
	}
	unary struct {
		op string // "-", "+", or "%" behind
		x  node
	}
	binary struct {
		op   string
		a, b node
	}
	call struct {
		name string // in capitals
		args []node
	}
	array struct{ rows [][]node }
)

// The last column and row of a worksheet (ISO/IEC 29500-1, 18.17.2.3).
const (
	lastCol = 16384
	lastRow = 1048576
)

// visit calls f for a node and all below it.
func visit(n node, f func(node)) {
	f(n)
	switch x := n.(type) {
	case unary:
		visit(x.x, f)
	case binary:
		visit(x.a, f)
		visit(x.b, f)
	case call:
		for _, a := range x.args {
			visit(a, f)
		}
	}
}

// relative writes a formula by the distances of its references from its own cell, so that a formula filled down a column
// reads the same in each row.
func relative(n node, col, row int) string {
	var b strings.Builder
	relativeTo(&b, n, col, row)
	return b.String()
}

func relativeTo(b *strings.Builder, n node, col, row int) {
	switch x := n.(type) {
	case number:
		b.WriteString(strconv.FormatFloat(x.value, 'g', -1, 64))
	case words:
		b.WriteString(strconv.Quote(x.text))
	case truth:
		b.WriteString(strconv.FormatBool(x.value))
	case problem:
		b.WriteString(x.text)
	case ref:
		b.WriteString(x.relative(col, row))
	case area:
		b.WriteString(x.from.relative(col, row) + ":" + x.to.relative(col, row))
	case named:
		b.WriteString("name " + x.sheet + "!" + strings.ToLower(x.name))
	case part:
		b.WriteString("part " + strings.ToLower(x.table+"["+x.column+":"+x.to+"]") + strconv.FormatBool(x.here) + strconv.FormatBool(x.all))
	case unary:
		b.WriteString("(" + x.op)
		relativeTo(b, x.x, col, row)
		b.WriteString(")")
	case binary:
		b.WriteString("(")
		relativeTo(b, x.a, col, row)
		b.WriteString(x.op)
		relativeTo(b, x.b, col, row)
		b.WriteString(")")
	case call:
		b.WriteString(x.name + "(")
		for _, a := range x.args {
			relativeTo(b, a, col, row)
			b.WriteString(",")
		}
		b.WriteString(")")
	case array:
		for _, r := range x.rows {
			for _, a := range r {
				relativeTo(b, a, col, row)
				b.WriteString(",")
			}
			b.WriteString(";")
		}
	}
}

func (r ref) relative(col, row int) string {
	s := r.sheet + "!"
	if r.fixedRow {
		s += "R" + strconv.Itoa(r.row)
	} else {
		s += "R[" + strconv.Itoa(r.row-row) + "]"
	}
	if r.fixedCol {
		return s + "C" + strconv.Itoa(r.col)
	}
	return s + "C[" + strconv.Itoa(r.col-col) + "]"
}
