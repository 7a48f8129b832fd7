package check

import (
	"strings"

	"castwright/lang/syntax"
)

// entry is one name of a sheet: what bears it, and the cells whose check looked it up, so that they are checked again
// when that changes. A column has the key "pours.volume".
type entry struct {
	cell  *Cell
	part  *Sheet
	users []use
}

func (e *entry) empty() bool { return e == nil || e.cell == nil && e.part == nil }

// use is one cell that looked a name up, and where among its deps the name stands.
type use struct {
	cell *Cell
	at   int
}

// dep is a name that a cell looked up, and where among its users the cell stands.
type dep struct {
	entry *entry
	at    int
}

// named gives the entry of a name, made where there is none, so that who looks for a name that is not there yet is told
// of it.
func (s *Sheet) named(name string) *entry {
	e := s.names[name]
	if e == nil {
		e = &entry{}
		s.names[name] = e
	}
	return e
}

// watch makes a cell a user of a name.
func (c *Cell) watch(e *entry) {
	c.deps = append(c.deps, dep{e, len(e.users)})
	e.users = append(e.users, use{c, len(c.deps) - 1})
}

// unwatch ends all uses of a cell: the last user of each name takes its place.
func (c *Cell) unwatch() {
	for _, d := range c.deps {
		last := d.entry.users[len(d.entry.users)-1]
		d.entry.users[d.at] = last
		last.cell.deps[last.at].at = d.at
		d.entry.users = d.entry.users[:len(d.entry.users)-1]
	}
	c.deps = c.deps[:0]
}

// target is what a path of names leads to: a cell, or a sheet alone. Used tells how many of the names were needed; where
// neither is set, the name after those is not in the sheet `in`.
type target struct {
	cell *Cell
	in   *Sheet
	used int
}

// follow goes along a path of names: a cell, table or part of this sheet, else a neighbouring sheet (ruling 2). Look, where
// set, is told of each entry on the way.
func (s *Sheet) follow(names []syntax.Ident, look func(*entry)) target {
	in := s
	find := func(name string) *entry {
		if look == nil {
			return in.names[name]
		}
		e := in.named(name)
		look(e)
		return e
	}
	for i := 0; i < len(names); i++ {
		e := find(names[i].Name)
		if i == 0 && e.empty() {
			other := s.Job.neighbour[names[0].Name]
			if other == nil || len(names) == 1 && isConstant(names[0].Name) {
				return target{in: in}
			}
			in = other
			continue
		}
		switch {
		case e.empty():
			return target{in: in, used: i}
		case e.part != nil:
			in = e.part
			continue
		}
		if e.cell.Role == Rows && i+1 < len(names) {
			if column := find(names[i].Name + "." + names[i+1].Name); !column.empty() {
				return target{cell: column.cell, in: in, used: i + 2}
			}
		}
		return target{cell: e.cell, in: in, used: i + 1}
	}
	return target{in: in, used: len(names)}
}

// isConstant tells whether a name is one of the constants that stand where no cell bears it: a sheet called pi takes it from
// nobody.
func isConstant(name string) bool { return name == "pi" || name == "gravity" }

// Find gives the cell that a path of names leads to, as a reader of the sheet writes it: "mass", "pours.volume",
// "leg_parts.mass".
func (s *Sheet) Find(path string) (*Cell, bool) {
	t := s.follow(idents(path), nil)
	return t.cell, t.cell != nil && t.used == strings.Count(path, ".")+1
}

// FindPart gives the sheet that a path of names leads to: a part of this one, or a neighbour.
func (s *Sheet) FindPart(path string) (*Sheet, bool) {
	t := s.follow(idents(path), nil)
	return t.in, t.cell == nil && t.used == strings.Count(path, ".")+1
}

func idents(path string) []syntax.Ident {
	var out []syntax.Ident
	for _, n := range strings.Split(path, ".") {
		out = append(out, syntax.Ident{Name: n})
	}
	return out
}

// pathOf gives the names of a path `a.b.c`, or none where an expression is no path.
func pathOf(e syntax.Expr) []syntax.Ident {
	switch x := e.(type) {
	case *syntax.Name:
		return []syntax.Ident{{Name: x.Name, Span: x.Span}}
	case *syntax.Field:
		if p := pathOf(x.Of); p != nil {
			return append(p, x.Name)
		}
	}
	return nil
}
