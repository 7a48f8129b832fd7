package check

import (
	"fmt"
	"path"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// maxDeep and maxParts bound how deep parts nest, and how many a job takes: parts that each take another twice double with
// every level.
const (
	maxDeep  = 20
	maxParts = 10_000
)

// readParts reads the files of all parts, and of the parts in them, before anything is made of them: a unit that one of
// them states can make the lines of another read otherwise.
func (j *Job) readParts() {
	for {
		known := len(j.own)
		var files []*syntax.File
		for _, s := range j.Sheets {
			files = append(files, s.File)
		}
		seen := map[*syntax.File]bool{}
		for len(files) > 0 {
			f := files[0]
			files = files[1:]
			if seen[f] {
				continue
			}
			seen[f] = true
			for _, it := range f.Items {
				if st, ok := it.Statement.(*syntax.Part); ok {
					if p, m := j.partFile(it.Source, st); m == nil {
						files = append(files, p)
					}
				}
			}
		}
		if len(j.own) == known {
			return
		}
		j.readAgain()
	}
}

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
		if j.parts++; m == nil && j.parts > maxParts {
			m = diag.New(it.Source, st.Span, fmt.Sprintf("This job takes more than %d parts, those in parts included.", maxParts), "Let fewer sheets take the same part: name the cells of a neighbour instead.")
		}
		if m != nil {
			s.partFault[it] = m
			continue
		}
		p := j.sheet(st.Name.Name, file)
		p.Parent, p.Item, p.US, p.source = s, it, s.US, it.Source
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
	if len(way) > maxDeep {
		return diag.New(src, st.Span, fmt.Sprintf("Parts nest more than %d deep here.", maxDeep), "Name the cells of a neighbour instead of taking it as a part.")
	}
	return nil
}

// partFile gives the file that a part is made from: a neighbour's own, so that an edit of it reaches its parts.
func (j *Job) partFile(src *diag.Source, st *syntax.Part) (*syntax.File, *diag.Message) {
	at := fileName(src, st.Path)
	if at != "" && !st.Library {
		at = path.Clean(at) // ./leg.sheet is the neighbour leg too
	}
	key, read := "path "+at, func() (Text, error) { return j.files.Part(at) }
	if st.Library {
		key, read = "library "+at, func() (Text, error) { return j.files.Library(at) }
	} else if f := j.file(strings.TrimSuffix(at, ".sheet")); f != nil && strings.HasSuffix(at, ".sheet") {
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
	j.learnUnits(t.Text)
	f := syntax.ReadFile(t.Name, t.Text, j.isUnit)
	j.texts[key] = f
	return f, nil
}

// readAgain reads all texts with the units that are known now.
func (j *Job) readAgain() {
	for _, f := range j.texts {
		f.Replace(0, len(f.Items), f.ReadItems(f.Print(), j.isUnit))
	}
}

// fileName gives the name of a file as it is written: nothing is filled in there (ruling 22).
func fileName(src *diag.Source, t *syntax.Text) string {
	name := strings.TrimSuffix(strings.TrimPrefix(src.Cut(t.Span), `"`), `"`)
	return strings.ReplaceAll(name, `""`, `"`)
}

// namePart puts a part under its name. One that cannot be made leaves a cell with its mistake there, so that what rests on
// the part says so instead of missing it.
func (s *Sheet) namePart(base Cell, st *syntax.Part) {
	p := s.partOf[base.Item]
	if m := s.partFault[base.Item]; m != nil {
		s.messages.Add(m)
		base.lasting = m
		s.add(base, st.Name)
	}
	if p == nil {
		return
	}
	if m := s.taken(base.Source, st.Name); m != nil {
		s.messages.Add(m)
		return
	}
	s.named(st.Name.Name).part = p
	if s.foldPart == nil {
		s.foldPart = map[string]*Sheet{}
	}
	s.foldPart[strings.ToLower(st.Name.Name)] = p
}

// statementSpan gives the place where a part is stated.
func (s *Sheet) statementSpan() (diag.Span, *diag.Source) {
	return s.Item.Statement.(*syntax.Part).Name.Span, s.Item.Source
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
	case s.replaces(name):
		return
	}
	var names []string
	for _, c := range s.Cells() {
		if c.Name != "" && (c.Role == Input || c.Role == Ask || c.Role == Rate || c.Role == Rows) {
			names = append(names, c.Name)
		}
	}
	names = append(names, s.ownMeasures()...)
	way := diag.DidYouMean(diag.Near(name, names))
	if way == "" && len(names) > 0 {
		way = fmt.Sprintf("It has %s.", diag.Or(some(names)))
	}
	s.messages.Add(diag.New(s.source, a.Name.Span, fmt.Sprintf("%s has no input %s.", s.File.Name, name), way))
}

// ownMeasures lists the measures that the sheet states.
func (s *Sheet) ownMeasures() []string {
	var out []string
	for _, it := range s.File.Items {
		if st, ok := it.Statement.(*syntax.Measure); ok && !s.Job.isRate(st) {
			out = append(out, st.Unit.Name)
		}
	}
	return out
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
	if !x.bad && c.Role == Rate {
		x = s.replacedRate(c, x, b)
	}
	if !x.bad && x.spec == nil {
		x.spec = spec
	}
	own := c.expr // its type is asked for again when the cell is checked again
	c.expr = c.Replaced.Expr
	b.conclude(c, x, nil)
	c.expr = own
}

// replacedRate refuses a rate that rests on itself. What converts by a rate does not name it, so that such a ring is not
// seen where the order of the cells is found; and an edit may close one, so that each makes the job anew.
func (s *Sheet) replacedRate(c *Cell, x operand, b *builder) operand {
	if v, ok := b.known(x); ok && v <= 0 {
		return b.fail(x.at, "A rate of exchange is larger than 0.", "")
	}
	s.Job.irregular = s.Job.irregular || len(c.refs()) > 0
	if c.convertsItself() {
		return b.fail(x.at, fmt.Sprintf("The rate %s of %s would rest on a value that it converts itself.", c.Name, s.Name), "Work it out from what needs no such rate.")
	}
	return x
}

// convertsItself tells whether a rate that a part replaces rests on a cell that may be converted by it.
func (c *Cell) convertsItself() bool {
	seen := map[*Cell]bool{}
	open := c.refs()
	for len(open) > 0 {
		x := open[len(open)-1]
		open = open[:len(open)-1]
		if x == c {
			return true
		}
		if seen[x] {
			continue
		}
		seen[x] = true
		open = append(open, x.refs()...)
		for t := x.Scope(); t.Parent != nil; t = t.Parent {
			for name := range t.replaced {
				if e := t.names[name]; !e.empty() && e.cell != nil && e.cell.Role == Rate {
					open = append(open, e.cell)
				}
			}
		}
	}
	return false
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
	if c.hidden != nil { // nobody reads the literals below a column that is replaced
		own.hidden = &Cell{Sheet: s, Item: c.Item}
		c.hidden.Data = &Data{Column: value.Column{Num: []float64{}}}
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
		if !x.bad && x.t.List != t.cell.Type.List {
			x = b.fail(x.at, fmt.Sprintf("%s is one value; this is %s.", a.Name.Name, x.t.Article()), "")
		}
	}
	b.conclude(c, x, nil)
}
