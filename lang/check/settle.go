package check

import (
	"fmt"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// The states of a cell while the order is found.
const (
	unseen uint8 = iota
	waiting
	settled
)

// settle compiles the cells, those that others rest on first. It walks with a stack of its own: a chain of a million
// cells is an everyday thing for it.
func (s *Sheet) settle() {
	type frame struct {
		cell int
		refs []int
		next int
	}
	var stack []frame
	onStack := map[int]int{}
	push := func(i int) {
		s.Cells[i].state = waiting
		onStack[i] = len(stack)
		stack = append(stack, frame{cell: i, refs: s.refs(s.Cells[i])})
	}
	for i := range s.Cells {
		if s.Cells[i].state != unseen {
			continue
		}
		push(i)
		for len(stack) > 0 {
			f := &stack[len(stack)-1]
			if f.next < len(f.refs) {
				r := f.refs[f.next]
				f.next++
				switch s.Cells[r].state {
				case unseen:
					push(r)
				case waiting:
					var ring []int
					for k := onStack[r]; k < len(stack); k++ {
						ring = append(ring, stack[k].cell)
					}
					s.ring(ring)
				}
				continue
			}
			c := s.Cells[f.cell]
			c.state = settled
			delete(onStack, f.cell)
			stack = stack[:len(stack)-1]
			if c.Fault == nil {
				s.compileStatement(c)
			}
		}
	}
}

// ring makes the cells of a ring mistakes and shows it by names.
func (s *Sheet) ring(cells []int) {
	first := 0
	for i, c := range cells {
		if s.Cells[c].Span.From < s.Cells[cells[first]].Span.From {
			first = i
		}
	}
	var names []string
	for i := range cells {
		c := s.Cells[cells[(first+i)%len(cells)]]
		name := c.Name
		if name == "" {
			name = "a text"
		}
		names = append(names, name)
	}
	names = append(names, names[0])
	if len(names) > 12 {
		names = append(append(names[:6:6], fmt.Sprintf("… (%d more) …", len(names)-11)), names[len(names)-5:]...)
	}
	text := fmt.Sprintf("These cells rest on each other in a ring: %s.", strings.Join(names, " → "))
	if len(cells) == 1 {
		text = fmt.Sprintf("The cell %s rests on itself.", names[0])
	}
	for i, c := range cells {
		cell := s.Cells[c]
		m := diag.New(cell.Source, cell.NameSpan, text, "Let one of them be worked out from something else.")
		if cell.Name == "" {
			m.Span = cell.Span
		}
		if cell.Fault == nil {
			cell.Fault = m
		}
		if i == first {
			s.Messages.Add(m)
		}
	}
}

// refs gives the cells that a cell's text names, each once, in the order of the text.
func (s *Sheet) refs(c *Cell) []int {
	var out []int
	seen := map[int]bool{}
	add := func(name string) {
		if i, ok := s.byName[name]; ok && !seen[i] {
			seen[i] = true
			out = append(out, i)
		}
	}
	visit := func(e syntax.Expr) {
		if n, ok := e.(*syntax.Name); ok {
			add(n.Name)
		}
	}
	if c.expr != nil {
		syntax.Walk(c.expr, visit)
	}
	switch st := c.Statement.(type) {
	case *syntax.Ask:
		if st.Assume != nil {
			syntax.Walk(st.Assume, visit)
		}
	case *syntax.Cell:
		if st.Accept != nil && st.Accept.Why != nil {
			syntax.Walk(st.Accept.Why, visit)
		}
	case *syntax.Table:
		for _, r := range st.Rows {
			for _, e := range r.Cells {
				if e != nil {
					syntax.Walk(e, visit)
				}
			}
		}
	}
	return out
}

// compileStatement compiles a cell by its statement.
func (s *Sheet) compileStatement(c *Cell) {
	switch st := c.Statement.(type) {
	case *syntax.Cell:
		s.compile(c, st.Shown, st.Accept)
	case *syntax.Ask:
		s.ask(c, st)
	case *syntax.Table:
		s.literalTable(c, st)
	case *syntax.Measure:
	default:
		s.compile(c, nil, nil)
	}
	if c.Fault != nil && c.Root == -1 {
		s.Messages.Add(c.Fault)
	}
}
