package check

import (
	"fmt"
	"reflect"
	"slices"
	"sort"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// The states of a cell while the order is found.
const (
	unseen uint8 = iota
	waiting
	settled
)

// settle checks cells, those that others of them rest on first, and the cells that look them up where their kind changed.
// It walks with a stack of its own: a chain of a million cells is an everyday thing for it. It gives the cells in the
// order in which they were checked.
func (j *Job) settle(cells []*Cell) { j.settleFrom(cells, nil) }

// seen is how others have seen a cell, and what was told of it.
type seen struct {
	face     face
	mistakes diag.List
}

func (c *Cell) seen() seen { return seen{c.face(), c.mistakes()} }

// mistakes lists what is told of a cell, apart from notices and from that it rests on a mistake.
func (c *Cell) mistakes() diag.List {
	var out diag.List
	if c.Fault != nil && c.Root == nil {
		out = append(out, c.Fault)
	}
	for _, m := range c.Messages {
		if m.Level == diag.Mistake {
			out = append(out, m)
		}
	}
	return out
}

// settleFrom settles cells some of which others have seen otherwise than they are now. Where it is given how they were, it
// notes that of all others that it checks too.
func (j *Job) settleFrom(cells []*Cell, was map[*Cell]seen) []*Cell {
	var done []*Cell
	told := map[*Cell]bool{}   // the cells whose own mistake is another than before: who rests on them tells it
	passed := map[*Cell]bool{} // those that have been so told and have told their users
	again := map[*Cell]bool{}
	sort.SliceStable(cells, func(i, k int) bool { return cells[i].Role == Rate && cells[k].Role != Rate }) // others convert by them
	for len(cells) > 0 {
		for _, c := range cells {
			c.state = unseen
		}
		var next []*Cell
		queued := map[*Cell]bool{}
		j.inOrder(cells, func(c *Cell, refs []*Cell) {
			if was == nil && !j.Meter.Add(1) { // all is made anew; an update of some cells is not left half done
				return
			}
			before := c.face()
			if was != nil && !again[c] {
				again[c] = true
				if first, ok := was[c]; ok {
					before = first.face
				} else {
					was[c] = seen{before, c.mistakes()}
				}
			}
			c.check(refs)
			if c.hidden != nil { // it holds what the column has read
				done = append(done, c.hidden)
			}
			done = append(done, c)
			after := c.face()
			if c.Root == nil && !sameFault(before.fault, after.fault) {
				told[c] = true
				clear(passed)
			}
			news := told[c.Root] && !passed[c]
			if c.Name == "" || before.same(after) && !news {
				return
			}
			if news {
				passed[c] = true
			}
			for _, u := range c.Sheet.named(c.Name).users {
				if u.cell.state == settled && u.cell != c && !queued[u.cell] && before.seen {
					queued[u.cell] = true
					next = append(next, u.cell)
				}
			}
		})
		cells = next
	}
	return done
}

// inOrder visits cells whose state is unseen, each behind those of them that it rests on. A ring makes its cells mistakes.
func (j *Job) inOrder(cells []*Cell, visit func(c *Cell, refs []*Cell)) {
	type frame struct {
		cell *Cell
		refs []*Cell
		next int
	}
	var stack []frame
	onStack := map[*Cell]int{}
	push := func(c *Cell) {
		c.state = waiting
		onStack[c] = len(stack)
		stack = append(stack, frame{cell: c, refs: c.refs()})
	}
	for _, c := range cells {
		if c.state != unseen {
			continue
		}
		push(c)
		for len(stack) > 0 {
			f := &stack[len(stack)-1]
			if f.next < len(f.refs) {
				r := f.refs[f.next]
				f.next++
				switch r.state {
				case unseen:
					push(r)
				case waiting:
					var ring []*Cell
					for k := onStack[r]; k < len(stack); k++ {
						ring = append(ring, stack[k].cell)
					}
					j.ring(ring)
				}
				continue
			}
			c, refs := f.cell, f.refs
			c.state = settled
			delete(onStack, c)
			stack = stack[:len(stack)-1]
			visit(c, refs)
		}
	}
}

// face is what others see of a cell when they are checked.
type face struct {
	seen    bool
	typ     kind.Type
	spec    any
	wrong   bool
	root    *Cell
	fault   *diag.Message // its own
	percent bool
	role    Role
	data    *Data
	columns int
}

func (c *Cell) face() face {
	f := face{seen: c.Type.Form != 0 || c.Program != nil || c.Data != nil || c.Fault != nil || c.lasting != nil, typ: c.Type, spec: c.Spec, wrong: c.wrong() != nil, root: c.Root,
		percent: c.percent, role: c.Role, columns: len(c.Columns)}
	if c.Data != nil && c.Type.Form == kind.Text { // a literal text is looked for in it
		f.data = c.Data
	}
	if c.Root == nil {
		f.fault = c.wrong()
	}
	return f
}

func (f face) same(g face) bool {
	return f.typ.Same(g.typ) && f.typ.List == g.typ.List && f.wrong == g.wrong && f.root == g.root && sameFault(f.fault, g.fault) && f.percent == g.percent && f.role == g.role &&
		f.data == g.data && f.columns == g.columns && (f.spec == g.spec || reflect.DeepEqual(f.spec, g.spec))
}

// sameFault tells whether two messages say the same at the same place.
func sameFault(a, b *diag.Message) bool {
	return a == b || a != nil && b != nil && a.Source == b.Source && a.Span == b.Span && a.Text == b.Text && a.WayOut == b.WayOut
}

// ring makes the cells of a ring mistakes and shows it by names (ruling 37).
func (j *Job) ring(cells []*Cell) {
	j.irregular = true
	first := 0
	for i, c := range cells {
		if a, b := c, cells[first]; a.Sheet == b.Sheet && before(a, b) || a.Sheet != b.Sheet && a.Sheet.Path() < b.Sheet.Path() {
			first = i
		}
	}
	over := false // several sheets
	for _, c := range cells {
		over = over || c.Sheet != cells[first].Sheet
	}
	var names []string
	for i := range cells {
		c := cells[(first+i)%len(cells)]
		name := c.Name
		if over {
			name = c.Path()
		}
		if c.Name == "" {
			name = "a text"
		}
		names = append(names, name)
	}
	names = append(names, names[0])
	if len(names) > 12 {
		names = append(append(names[:6:6], fmt.Sprintf("… (%d more) …", len(names)-11)), names[len(names)-5:]...)
	}
	text, way := fmt.Sprintf("These cells rest on each other in a ring: %s.", strings.Join(names, " → ")), "Let one of them be worked out from something else."
	if len(cells) == 1 {
		text, way = fmt.Sprintf("The cell %s rests on itself.", names[0]), "Let it be worked out from something else."
		if c := cells[0]; c.Role == Worked {
			way = fmt.Sprintf("Write before(%s) for its value in the row above.", strings.TrimPrefix(c.Name, c.Table.Name+"."))
		}
	}
	for i, c := range cells {
		if c.lasting != nil {
			continue
		}
		m := diag.New(c.Item.Source, c.NameSpan, text, way)
		if c.Name == "" {
			m.Span = c.Span
		}
		if c.Replaced != nil && c.Role != Setting { // its formula stands where the part is made
			m.Source, m.Span = c.Source, c.Replaced.Span
		}
		c.lasting = m
		if i == first {
			c.Sheet.messages.Add(m)
		}
	}
}

// before tells whether a cell stands in front of another in their file.
func before(a, b *Cell) bool {
	x, y := a.Item.Source.Above(), b.Item.Source.Above()
	return x < y || x == y && a.Span.From < b.Span.From
}

// refs gives the cells that a cell's text names, each once, in the order of the text.
func (c *Cell) refs() []*Cell {
	w := &references{c: c, s: c.Scope(), seen: map[*Cell]bool{}}
	if c.Replaced != nil {
		if c.Role == Setting { // the input says the kind
			if t := w.s.follow([]syntax.Ident{c.Replaced.Name}, nil); t.cell != nil {
				w.add(t.cell)
			}
		}
		w.walk(c.Replaced.Expr)
		for _, k := range c.Columns {
			w.add(k)
		}
		return w.out
	}
	if c.expr != nil {
		if c.Role == Worked {
			w.columns = c.Table.Columns
			w.own = c
		}
		w.walk(c.expr)
	}
	if c.accept != nil && c.accept.Why != nil {
		w.walk(c.accept.Why)
	}
	switch st := c.Statement.(type) {
	case *syntax.Ask:
		if st.Assume != nil {
			w.walk(st.Assume)
		}
	case *syntax.Table:
		switch {
		case c.Role == Rows:
			for _, k := range c.Columns {
				w.add(k)
			}
		case c.Role == Worked:
			for _, k := range c.Table.Columns {
				if k.Role == Column { // as many rows as it has
					w.add(k)
				}
			}
		case c.hidden != nil:
			w.add(c.hidden)
			for _, r := range st.Rows {
				if e := r.Cells[c.at]; e != nil {
					if _, isText := e.(*syntax.Text); !isText { // a text of a row stands as it is written
						w.walk(e)
					}
				}
			}
		}
	}
	return w.out
}

// references gathers the cells that a text names.
type references struct {
	c       *Cell
	s       *Sheet
	columns []*Cell // of the own table, whose bare names mean a row's value
	own     *Cell
	seen    map[*Cell]bool
	out     []*Cell
}

func (w *references) add(c *Cell) {
	if !w.seen[c] {
		w.seen[c] = true
		w.out = append(w.out, c)
	}
}

func (w *references) walk(e syntax.Expr) {
	if names := pathOf(e); names != nil {
		if k := w.column(names[0].Name); k != nil {
			w.add(k)
			return
		}
		if t := w.s.follow(names, nil); t.cell != nil {
			w.add(t.cell)
		}
		return
	}
	if f, ok := e.(*syntax.Field); ok {
		if y := w.s.narrowed(f); y != nil {
			w.walk(y)
			return
		}
	}
	if call, ok := e.(*syntax.Call); ok && w.own != nil && len(call.Args) > 0 {
		f, known := w.s.c.lib.Func(call.Name.Name)
		n, bare := call.Args[0].Expr.(*syntax.Name)
		if known && f.Special == catalogue.BeforeOf && bare && w.column(n.Name) == w.own { // the row above is another
			for _, a := range call.Args[1:] {
				w.walk(a.Expr)
			}
			return
		}
	}
	for _, x := range syntax.Children(e) {
		w.walk(x)
	}
}

func (w *references) column(name string) *Cell {
	for _, k := range w.columns {
		if k.Name == k.Table.Name+"."+name {
			return k
		}
	}
	return nil
}

// check settles one cell by its statement. It looks up all names of its text, whether or not a mistake ended the reading
// before.
func (c *Cell) check(refs []*Cell) {
	c.unwatch()
	c.Fault, c.Root, c.Program, c.Inputs, c.ByRow, c.Places, c.Rules, c.Limits, c.Messages = nil, nil, nil, nil, nil, nil, nil, nil, nil
	c.Type, c.Spec, c.percent, c.Answer = kind.Type{}, nil, false, Unanswered
	if c.lasting != nil {
		c.Fault = c.lasting
	} else if c.hides == nil {
		c.Data = nil
		if h := c.hidden; h != nil {
			h.Type, h.Spec, h.Data = kind.Type{}, nil, noData()
		}
		b := &builder{cell: c}
		c.Sheet.compileStatement(c, b)
		for _, r := range refs {
			if r.Name != "" {
				b.look(r.Sheet.named(r.Name))
			}
		}
		if c.Fault != nil && c.Root == nil || len(c.Messages) > 0 { // it may tell the nearest name
			b.look(c.Sheet.Job.anyName())
		}
		if c.tellsPlaces() {
			b.look(c.Sheet.Job.anyPlace())
		}
	}
}

// noData is what the literals of a column are till the column puts its own there.
func noData() *Data { return &Data{Column: value.Column{Num: []float64{}}} }

// anyName stands for the names of all sheets: who watches it is checked again when one comes or goes.
func (j *Job) anyName() *entry { return j.Sheets[0].named("") }

// anyPlace stands for the places of all statements: who watches it tells where another one stands.
func (j *Job) anyPlace() *entry { return j.Sheets[0].named(" ") }

// tellsPlaces tells whether a message of a cell names the place of another.
func (c *Cell) tellsPlaces() bool {
	tells := func(m *diag.Message) bool {
		return slices.ContainsFunc(m.Related, func(r diag.Related) bool { return r.Source != c.Source && !r.Source.Rule })
	}
	return c.Fault != nil && tells(c.Fault) || slices.ContainsFunc(c.Messages, tells)
}

// compileStatement compiles a cell by its statement.
func (s *Sheet) compileStatement(c *Cell, b *builder) {
	switch c.Role {
	case Setting:
		s.setting(c, b)
		return
	case Rows:
		s.rowsOf(c, b)
		return
	case Column:
		s.typed(c, c.Statement.(*syntax.Table), b)
		return
	case Worked:
		s.worked(c, b)
		return
	}
	if c.Replaced != nil {
		s.replacedCell(c, b)
		return
	}
	switch st := c.Statement.(type) {
	case *syntax.Ask:
		s.ask(c, st, b)
	case *syntax.Measure:
		s.rateCell(c, b)
	default:
		s.compile(c, b)
	}
}

// rateCell settles a rate of exchange.
func (s *Sheet) rateCell(c *Cell, b *builder) {
	b.begin(s, c.Source)
	x := b.expr(c.expr)
	if x.bad {
		b.conclude(c, x, nil)
		return
	}
	c.Type, c.Spec = c.given, s.usual(c.given)
	c.Program = &program.Program{Regs: []program.Register{{}}, Consts: []program.Const{{Reg: 0, Value: b.consts[x.reg]}}, Out: 0}
}
