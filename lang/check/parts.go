package check

import (
	"fmt"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
)

// takeParts makes the sheets that a sheet takes as parts, and those that these take. Way are the files on the way down: a
// part of itself, by any way round, is a mistake (ruling 36).
func (j *Job) takeParts(s *Sheet, way []*syntax.File) {
	j.all = append(j.all, s)
	way = append(way[:len(way):len(way)], s.File)
	for _, it := range s.File.Items {
		st, ok := it.Statement.(*syntax.Part)
		if !ok {
			continue
		}
		file, m := j.partFile(it.Source, st)
		if m == nil {
			m = ringOfParts(it.Source, st, way, file)
		}
		if m != nil {
			s.messages.Add(m)
			continue
		}
		p := j.sheet(st.Name.Name, file)
		p.Parent, p.US, p.source = s, s.US, it.Source
		p.replaced = map[string]*syntax.Argument{}
		for _, a := range st.Replace {
			if p.replaced[a.Name.Name] != nil {
				s.messages.Add(diag.New(it.Source, a.Span, fmt.Sprintf("%s is replaced twice.", a.Name.Name), "Leave one of them out."))
			}
			p.replaced[a.Name.Name] = a
		}
		s.partOf[it] = p
		s.Parts = append(s.Parts, p)
		j.takeParts(p, way)
	}
}

func ringOfParts(src *diag.Source, st *syntax.Part, way []*syntax.File, file *syntax.File) *diag.Message {
	for i, f := range way {
		if f != file {
			continue
		}
		var names []string
		for _, g := range way[i:] {
			names = append(names, g.Name)
		}
		names = append(names, file.Name)
		return diag.New(src, st.Span, fmt.Sprintf("A sheet is no part of itself: %s.", strings.Join(names, " → ")), "Let one of them do without the other.")
	}
	if len(way) > 20 {
		return diag.New(src, st.Span, "Parts nest more than 20 deep here.", "")
	}
	return nil
}

// partFile gives the file that a part is made from: a neighbour's own, so that an edit of it reaches its parts.
func (j *Job) partFile(src *diag.Source, st *syntax.Part) (*syntax.File, *diag.Message) {
	path := plainText(st.Path)
	key, read := "path "+path, func() (Text, error) { return j.files.Part(path) }
	if st.Library {
		key, read = "library "+path, func() (Text, error) { return j.files.Library(path) }
	} else if f := j.file(strings.TrimSuffix(path, ".sheet")); f != nil && strings.HasSuffix(path, ".sheet") {
		return f, nil
	}
	if f := j.texts[key]; f != nil {
		return f, nil
	}
	if j.files == nil {
		return nil, diag.New(src, st.Path.Span, "A sheet that stands alone in memory has no parts.", "")
	}
	t, err := read()
	if err != nil {
		return nil, diag.New(src, st.Path.Span, err.Error(), "")
	}
	grown := j.learnUnits(t.Text)
	f := syntax.ReadFile(t.Name, t.Text, j.isUnit)
	j.texts[key] = f
	if grown { // a word became a unit: all texts are read with it known
		j.readAgain()
	}
	return f, nil
}

// readAgain reads all texts with the units that are known now.
func (j *Job) readAgain() {
	for _, f := range j.texts {
		f.Replace(0, len(f.Items), f.ReadItems(f.Print(), j.isUnit))
	}
}

// namePart puts a part under its name.
func (s *Sheet) namePart(it *syntax.Item, st *syntax.Part) {
	p := s.partOf[it]
	if p == nil {
		return
	}
	if m := s.taken(it.Source, st.Name); m != nil {
		s.messages.Add(m)
		return
	}
	s.named(st.Name.Name).part = p
}

// statementSpan gives the place where a part is stated.
func (s *Sheet) statementSpan() (diag.Span, *diag.Source) {
	for it, p := range s.Parent.partOf {
		if p == s {
			return it.Statement.(*syntax.Part).Name.Span, it.Source
		}
	}
	return diag.Span{}, s.source
}

// replacing gives what a part puts in the place of a cell, and the source of its text.
func (s *Sheet) replacing(name string, own *diag.Source) (*syntax.Argument, *diag.Source) {
	if a := s.replaced[name]; a != nil {
		return a, s.source
	}
	return nil, own
}

// replace notes what a part puts in the place of an input.
func (s *Sheet) replace(base Cell, name string) Cell {
	base.Replaced, base.Source = s.replacing(name, base.Source)
	return base
}

// checkReplaced refuses the replacement of what is no input, table or measure.
func (s *Sheet) checkReplaced(name string, a *syntax.Argument) {
	e := s.names[name]
	switch {
	case !e.empty() && e.cell != nil:
		if e.cell.replaceable() {
			return
		}
		s.messages.Add(diag.New(s.source, a.Name.Span, fmt.Sprintf("%s is worked out in %s and cannot be replaced.", name, s.File.Name), "Inputs, tables and measures can be; replace what it rests on."))
		return
	case s.Job.own[name] && s.statesUnit(name):
		return
	}
	var names []string
	for _, c := range s.Cells() {
		if c.Role == Input || c.Role == Ask || c.Role == Rows {
			names = append(names, c.Name)
		}
	}
	way := diag.DidYouMean(diag.Near(name, names))
	if way == "" && len(names) > 0 {
		way = fmt.Sprintf("It has %s.", diag.Or(some(names)))
	}
	s.messages.Add(diag.New(s.source, a.Name.Span, fmt.Sprintf("%s has no input %s.", s.File.Name, name), way))
}

func (s *Sheet) statesUnit(name string) bool {
	for _, it := range s.File.Items {
		if st, ok := it.Statement.(*syntax.Measure); ok && st.Unit.Name == name {
			return true
		}
	}
	return false
}

// replacedCell settles an input that a part replaces: the value is worked out in the using sheet, and its kind is that of
// the input.
func (s *Sheet) replacedCell(c *Cell, b *builder) {
	t, spec := s.ownType(c)
	b.begin(s.Parent, c.Source)
	x := b.expr(c.Replaced.Expr)
	if !x.bad && spec != nil {
		x = b.argument(s.File.Name, c.Name, x, t, true, "", false)
		if !x.bad && x.t.List != t.List {
			x = b.fail(x.at, fmt.Sprintf("%s is one value; this is %s.", c.Name, x.t.Article()), "")
		}
	}
	if !x.bad && x.spec == nil {
		x.spec = spec
	}
	c.expr = c.Replaced.Expr
	b.conclude(c, x, nil)
}

// ownType gives the type of an input as its own sheet has it, and how it is shown there; nothing where it is a mistake.
func (s *Sheet) ownType(c *Cell) (kind.Type, *show.Spec) {
	own := *c
	own.Replaced, own.Source, own.Messages, own.Role = nil, c.Item.Source, nil, c.Role
	s.compileStatement(&own, &builder{})
	if own.Fault != nil {
		return own.Type, nil
	}
	return own.Type, own.Spec
}

// replacedColumn settles a typed column of a table that a part replaces: the column of that name of the rows given.
func (s *Sheet) replacedColumn(c *Cell, st *syntax.Table, b *builder) {
	own := *c
	own.Replaced, own.Source, own.hidden, own.Messages = nil, c.Item.Source, nil, nil
	if c.hidden != nil {
		own.hidden = &Cell{Sheet: s, Item: c.Item}
	}
	s.typed(&own, st, &builder{})
	b.begin(s.Parent, c.Source)
	x := b.expr(c.Replaced.Expr)
	if !x.bad && (x.t.Form != kind.Record || !x.t.List) {
		x = b.fail(x.at, fmt.Sprintf("%s is a table; this is %s.", st.Name.Name, x.t.Article()), "Name a table, or rows of one chosen with where.")
	}
	if !x.bad {
		x = b.columnOf(x, c, own.Type, own.Fault == nil)
	}
	if !x.bad && x.spec == nil {
		x.spec = own.Spec
	}
	b.conclude(c, x, nil)
}

// columnOf takes the column of a name from rows, and asserts its kind.
func (b *builder) columnOf(rows operand, c *Cell, want kind.Type, known bool) operand {
	name := c.head.Name.Name
	t, i, ok := rows.t.Field(name)
	if !ok {
		return b.fail(rows.at, fmt.Sprintf("The table %s has a column %s; these rows have none.", c.Table.Name, name), "Give them one of that name.")
	}
	if known && !t.Same(want.Elem()) {
		return b.fail(rows.at, fmt.Sprintf("The column %s of %s holds %s; here it is %s.", name, c.Table.Name, want.Elem().Article(), t.Article()), "")
	}
	t.List = true
	y := b.emit(program.Instr{Op: program.GetField, A: rows.reg, B: program.None, C: program.None, Aux: int32(i)}, t, rows.at)
	if rows.spec != nil && i < len(rows.spec.Fields) {
		y.spec = rows.spec.Fields[i]
	}
	return y
}

// setting settles the value that a variant gives an input: it is of the input's kind.
func (s *Sheet) setting(c *Cell, b *builder) {
	b.begin(s, c.Source)
	a := c.Replaced
	t := s.follow([]syntax.Ident{a.Name}, b.look)
	x := b.expr(a.Expr)
	switch {
	case x.bad:
	case t.cell == nil || t.used == 0:
		x = b.fail(a.Name.Span, fmt.Sprintf("There is no input %s.", a.Name.Name), diag.DidYouMean(diag.Near(a.Name.Name, s.Names())))
	case t.cell.Role != Input && t.cell.Role != Ask && t.cell.Role != Rate:
		x = b.fail(a.Name.Span, fmt.Sprintf("%s is worked out, and a variant sets inputs.", a.Name.Name), "Set what it rests on.")
	case t.cell.Spec != nil:
		x = b.argument("the variant", a.Name.Name, x, t.cell.Type, true, "", false)
	}
	b.conclude(c, x, nil)
}
