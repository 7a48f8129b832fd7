package sheets

import (
	"fmt"

	"castwright/lang/check"
	"castwright/lang/program"
)

// live stops the handout where a formula goes in that rests on a cell outside the list, or holds a number of its own.
func (g *giver) live(x *check.HandoutItem) {
	for _, t := range LiveCells(x) {
		name := x.Text
		if t != x.Target {
			name = t.Path()
		}
		if x.Chosen {
			g.stop(x, fmt.Sprintf("Of %s only some rows are listed, and its formula would need them all.", name), "List all rows, or give the values without live.")
			continue
		}
		if t.Role == check.Column {
			g.stop(x, fmt.Sprintf("%s is typed row by row: it has no formula.", name), "Give its values, without live.")
			continue
		}
		for _, in := range RestsOn(t) {
			if !g.listed[in] {
				g.stop(x, fmt.Sprintf("The formula of %s rests on %s, which is not listed.", name, in.Path()), "List that too, or give the value without live.")
			}
		}
		switch text, rule := t.Telling(); {
		case text == "":
		case rule == nil:
			g.stop(x, fmt.Sprintf("The formula of %s holds a value of its own: %s.", name, text), "Give that a cell of its own and list it, or give the value without live.")
		default:
			g.stop(x, fmt.Sprintf("The formula of %s calls the rule %s, which holds a value of its own: %s.", name, rule.Name, text), "Give the value without live.")
		}
	}
}

// RestsOn gives the inputs of which the formula of a cell takes values; a column may be one for the number of its rows alone.
func RestsOn(c *check.Cell) []*check.Cell {
	if c.Program == nil {
		return nil
	}
	read := map[program.Reg]bool{c.Program.Out: true}
	for i := range c.Program.Code {
		in := &c.Program.Code[i]
		if in.Op == program.Spread {
			read[in.A] = true
			continue
		}
		c.Program.Reads(in, func(r program.Reg) { read[r] = true })
	}
	var out []*check.Cell
	for i, in := range c.Inputs {
		if read[program.Reg(i)] {
			out = append(out, in)
		}
	}
	return out
}

// LiveCells gives the cells whose formulas go in with a line: of a table its columns that are worked out.
func LiveCells(x *check.HandoutItem) []*check.Cell {
	switch {
	case !x.Live || x.Target == nil:
		return nil
	case x.Target.Role != check.Rows:
		return []*check.Cell{x.Target}
	}
	var out []*check.Cell
	for _, c := range x.Target.Columns {
		if c.Role == check.Worked {
			out = append(out, c)
		}
	}
	return out
}

// TypedData gives what is typed into a column of a table: of one some of whose rows are worked out, the literals below them.
// It is nil for other cells.
func TypedData(c *check.Cell) *check.Data {
	if c.Data != nil || c.Role != check.Column {
		return c.Data
	}
	for _, in := range c.Inputs {
		if in != c && in.Data != nil && in.DataPath() == c.Path() {
			return in.Data
		}
	}
	return nil
}
