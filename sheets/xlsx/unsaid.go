package xlsx

import (
	"errors"

	"castwright/lang/catalogue"
	"castwright/lang/check"
	"castwright/lang/program"
	"castwright/lang/value"
)

// cannotSay tells why a formula cannot be said for what its cells hold as they are now: a workbook has no dates before
// 1900-03-01, no table without rows, and does not tell what is open from what is a mistake.
func (e *exporter) cannotSay(c *check.Cell) error {
	for _, k := range append([]*check.Cell{c}, c.Inputs...) {
		if e.tooOld(k) {
			return errors.New("it works with a date before 1900-03-01, which a workbook does not count")
		}
	}
	for _, in := range c.Inputs {
		switch pl := e.places[in]; {
		case pl == nil || !pl.rowless(in):
		case inColumns(in):
			return errors.New("it rests on a list without values")
		default:
			return errors.New("it rests on a table without rows")
		}
	}
	for _, in := range c.Inputs {
		if in.Table != nil && in.Role != check.Column && e.j.State(in) == value.Open && leavesOut(c.Program) {
			return errors.New("it leaves open rows out of what is worked out")
		}
	}
	if holds(c.Program, program.Otherwise) && e.restsOnOpen(c, map[*check.Cell]bool{}) {
		return errors.New("it takes another value for a mistake, and rests on what is still open")
	}
	return nil
}

// tooOld tells whether a date of a cell, or of a row of a column, is before those that a workbook counts.
func (e *exporter) tooOld(c *check.Cell) bool {
	pl := e.places[c]
	if pl == nil || pl.shape.kind != dated || e.j.State(c) >= value.Open && pl.n == 0 {
		return false
	}
	v := e.j.Value(c)
	for i, x := range v.Num {
		if pl.shape.number(x) < firstDay && e.j.Engine.StateOf(v.Mark(i)) < value.Open {
			return true
		}
	}
	return false
}

func (e *exporter) restsOnOpen(c *check.Cell, seen map[*check.Cell]bool) bool {
	if e.isOpen(c) {
		return true
	}
	seen[c] = true
	for _, in := range c.Inputs {
		if !seen[in] && e.restsOnOpen(in, seen) {
			return true
		}
	}
	return false
}

// holds tells whether a program, or what it runs for each row, holds an operation.
func holds(p *program.Program, op program.Op) bool {
	if p == nil {
		return false
	}
	for _, in := range p.Code {
		if in.Op == op {
			return true
		}
	}
	for _, l := range p.Loops {
		if holds(l.Program, op) {
			return true
		}
	}
	return false
}

// leavesOut tells whether a program leaves open rows out of a list.
func leavesOut(p *program.Program) bool {
	for _, in := range p.Code {
		if in.Op == program.Special && p.Funcs[in.Aux].Special == catalogue.KnownOf {
			return true
		}
	}
	return false
}
