package check

import (
	"fmt"
	"math/big"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
)

// collect makes the cells of all statements, and reports names written twice.
func (s *Sheet) collect() {
	titled, system := false, false
	for _, it := range s.File.Items {
		switch it.Statement.(type) {
		case *syntax.Title:
			if titled {
				s.messages.Add(diag.New(it.Source, it.Statement.Where(), "This sheet has a title already.", "Use section for a heading."))
				continue
			}
			titled = true
		case *syntax.System:
			if system {
				s.messages.Add(diag.New(it.Source, it.Statement.Where(), "This sheet says already in which system it shows its values.", "Keep one of the lines."))
			}
			system = true
		}
		if st, ok := it.Statement.(*syntax.Rule); ok {
			s.ownRule(it, st)
			continue
		}
		s.gather(it)
	}
	for name, a := range s.replaced {
		s.checkReplaced(name, a)
	}
}

// gather makes the cells of one statement.
func (s *Sheet) gather(it *syntax.Item) {
	base := Cell{Sheet: s, ID: -1, Source: it.Source, Item: it, Note: it.Note, Statement: it.Statement}
	if it.Statement != nil {
		base.Span = it.Statement.Where()
	}
	if it.Statement == nil && it.Bad {
		s.unreadable(base, it)
		s.unreadRule(it)
		return
	}
	switch st := it.Statement.(type) {
	case *syntax.Title:
		if s.Parent == nil {
			s.words(base, st.Text)
		}
	case *syntax.Section:
		s.words(base, st.Text)
	case *syntax.Cell:
		base.expr, base.shown, base.accept = st.Expr, st.Shown, st.Accept
		if base.Role = roleOf(st.Expr); base.Role == Input {
			base = s.replace(base, st.Name.Name)
		}
		s.add(base, st.Name)
	case *syntax.Ask:
		base.Role = Ask
		s.add(s.replace(base, st.Name.Name), st.Name)
	case *syntax.Measure:
		if s.Job.isRate(st) {
			base.Role, base.expr = Rate, st.Value
			s.rate(base, st)
		}
	case *syntax.Check:
		s.condition(base, st)
	case *syntax.Table:
		s.table(base, st)
	case *syntax.Part:
		s.namePart(base, st)
	case *syntax.Variant:
		s.variant(base, st)
	case *syntax.Correlation:
		s.notYet(it.Source, st.Span, "Correlations")
	case *syntax.Handout:
		if s.Parent == nil {
			s.handout(base, st)
		}
	}
}

// put adds a cell to its statement.
func (s *Sheet) put(c Cell) *Cell {
	out := &c
	s.cellsOf[c.Item] = append(s.cellsOf[c.Item], out)
	s.listed = nil
	return out
}

// unreadable keeps the name of a cell whose line cannot be read, so that what rests on it says so instead of missing it.
func (s *Sheet) unreadable(base Cell, it *syntax.Item) {
	name, rest, ok := strings.Cut(it.Source.Text, "=")
	from := it.Span.From + len(name) - len(strings.TrimLeft(name, " \t"))
	name = strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))
	if !ok || strings.HasPrefix(rest, "=") || !syntax.IsName(name) || syntax.IsStatementWord(name) {
		return
	}
	if !s.names[name].empty() {
		s.stoodBack[name] = true
		return
	}
	for _, m := range it.Messages {
		if m.Level == diag.Mistake {
			base.lasting = m
			base.Span = diag.Span{From: from, To: it.Span.To}
			s.add(base, syntax.Ident{Name: name, Span: diag.Span{From: from, To: from + len(name)}})
			return
		}
	}
}

// notYet says plainly that a statement is read but not carried out.
func (s *Sheet) notYet(src *diag.Source, at diag.Span, what string) {
	s.messages.Add(&diag.Message{Level: diag.Notice, Source: src, Span: at, Text: what + " are read, and nothing is computed from them yet."})
}

func roleOf(e syntax.Expr) Role {
	switch x := e.(type) {
	case *syntax.Quantity, *syntax.DateLit, *syntax.TruthLit, *syntax.Limits:
		return Input
	case *syntax.Text:
		for _, p := range x.Pieces {
			if p.Expr != nil {
				return Formula
			}
		}
		return Input
	}
	return Formula
}

func (s *Sheet) words(base Cell, t *syntax.Text) *Cell {
	base.Role, base.expr = Words, t
	return s.put(base)
}

// add adds a cell under its name, unless the name is taken.
func (s *Sheet) add(base Cell, n syntax.Ident) *Cell {
	base.Name, base.NameSpan = n.Name, n.Span
	c := s.put(base)
	if m := s.taken(c.Item.Source, n); m != nil {
		c.lasting = m
		s.messages.Add(m)
		return c
	}
	s.named(n.Name).cell = c
	s.folded[strings.ToLower(n.Name)] = c
	return c
}

// taken tells where a name, or one that differs by case alone, is in use already.
func (s *Sheet) taken(src *diag.Source, n syntax.Ident) *diag.Message {
	fold := strings.ToLower(n.Name)
	old, part := s.folded[fold], s.foldPart[fold]
	var name string
	first := diag.Related{Text: "The first stands here:"}
	switch {
	case old != nil:
		name, first.Source, first.Span = old.Name, old.Item.Source, old.NameSpan
	case part != nil:
		name = part.Name
		first.Span, first.Source = part.statementSpan()
	default:
		return nil
	}
	s.Job.irregular = true
	m := diag.New(src, n.Span, twice("name", name, n.Name), "Give one of them another name.")
	m.Related = []diag.Related{first}
	return m
}

// twice says how two names are one (ruling 2): written alike, or differing by case alone.
func twice(what, first, second string) string {
	if first == second {
		return fmt.Sprintf("The %s %s is written twice.", what, second)
	}
	return fmt.Sprintf("The %ss %s and %s differ by case alone.", what, first, second)
}

func (s *Sheet) condition(base Cell, st *syntax.Check) {
	base.Role, base.expr = CheckOf, st.Cond
	k := &Check{Name: st.Name.Name, Text: base.Source.Cut(st.Cond.Where())}
	base.Check = k
	if st.Name.Name != "" {
		k.Cond = s.add(base, st.Name)
	} else {
		k.Cond = s.put(base)
	}
	if st.Else != nil {
		words := base
		words.Name, words.Check = "", nil
		k.Else = s.words(words, st.Else)
	}
}

// rate adds a rate of exchange as an input named EUR_USD. It holds for the job; two that differ are a mistake.
func (s *Sheet) rate(base Cell, st *syntax.Measure) {
	from, _ := s.c.lib.Unit(st.Unit.Name)
	q, ok := st.Value.(*syntax.Quantity)
	if !ok {
		s.messages.Add(diag.New(base.Source, st.Value.Where(), "A rate of exchange is a plain amount of money.", "Write 1 EUR = 1.09 USD."))
		return
	}
	b := s.builder(base.Source)
	x, exact, ok := b.quantity(q)
	s.messages = append(s.messages, b.messages...)
	if !ok {
		return
	}
	to, money := x.t.Dim.Currency()
	if !money || to == from.Symbol || x.t.Form != kind.Number {
		s.messages.Add(diag.New(base.Source, q.Span, "A rate of exchange is an amount of another currency.", "Write 1 EUR = 1.09 USD."))
		return
	}
	if v := b.number(x); v <= 0 {
		s.messages.Add(diag.New(base.Source, q.Span, "A rate of exchange is larger than 0.", "Write 1 EUR = 1.09 USD."))
		return
	}
	d, _ := x.t.Dim.Div(from.Dim)
	base.given = kind.Quantity(d)
	name, back := from.Symbol+"_"+to, to+"_"+from.Symbol
	replaced := s.replacedRateOf(name) != nil || s.replaced[name] != nil
	if !replaced {
		old := s.Job.rates[name]
		if old == nil {
			old = s.Job.rates[back]
		}
		if old != nil && !(old.Name == name && old.sameRate(base.Item, exact)) {
			s.rateTwice(base.Source, st, from.Symbol, to, old)
			return
		}
	}
	c := s.add(s.replace(base, name), syntax.Ident{Name: name, Span: st.Unit.Span})
	if c.lasting == nil && !replaced && s.Job.rates[name] == nil {
		s.Job.rates[name] = c
	}
}

// sameRate tells whether a rate is stated alike in another sheet, or is of the very line.
func (c *Cell) sameRate(it *syntax.Item, exact *big.Rat) bool {
	if c.Item == it {
		return true
	}
	_, mine, ok := c.Sheet.builder(c.Item.Source).quantity(c.expr.(*syntax.Quantity))
	return ok && mine != nil && exact != nil && mine.Cmp(exact) == 0 && c.Item.Source.Home != it.Source.Home
}

// replacedRateOf gives the rate that is replaced for a part, or for one that it is in.
func (s *Sheet) replacedRateOf(name string) *Cell {
	for t := s; t.Parent != nil; t = t.Parent {
		if e := t.names[name]; !e.empty() && e.cell != nil && e.cell.Role == Rate && e.cell.Replaced != nil {
			return e.cell
		}
	}
	return nil
}

func (s *Sheet) rateTwice(src *diag.Source, st *syntax.Measure, from, to string, old *Cell) {
	m := diag.New(src, st.Span, fmt.Sprintf("The rate between %s and %s is stated twice.", from, to), "A rate serves both ways, for the whole job: keep one of the lines.")
	m.Related = []diag.Related{{Source: old.Item.Source, Span: old.Span, Text: "The first stands here:"}}
	s.messages.Add(m)
}

// findRate gives the rate between two currencies, and whether it multiplies.
func (s *Sheet) findRate(from, to string) (rate *Cell, times, ok bool) {
	for _, name := range []string{from + "_" + to, to + "_" + from} {
		c := s.replacedRateOf(name)
		if e := s.names[name]; c == nil && !e.empty() && e.cell != nil && e.cell.Role == Rate {
			c = e.cell
		}
		if c == nil {
			c = s.Job.rates[name]
		}
		if c != nil { // one that is a mistake makes a mistake of what converts by it
			return c, name == from+"_"+to, true
		}
	}
	return nil, false, false
}

// variant makes a hidden cell for each input that a variant sets, so that its value is checked against the input.
func (s *Sheet) variant(base Cell, st *syntax.Variant) {
	if m := s.variantTwice(base, st); m != nil {
		s.messages.Add(m)
	}
	set := map[string]bool{}
	for _, a := range st.Set {
		if set[a.Name.Name] {
			s.messages.Add(diag.New(base.Source, a.Span, fmt.Sprintf("%s is set twice.", a.Name.Name), "Leave one of them out."))
		}
		set[a.Name.Name] = true
		c := base
		c.Role, c.expr, c.Span, c.Replaced = Setting, a.Expr, a.Span, a
		s.put(c)
	}
}

func (s *Sheet) variantTwice(base Cell, st *syntax.Variant) *diag.Message {
	for _, it := range s.File.Items {
		other, ok := it.Statement.(*syntax.Variant)
		if ok && other == st {
			return nil
		}
		if ok && strings.EqualFold(other.Name.Name, st.Name.Name) {
			m := diag.New(base.Source, st.Name.Span, twice("variant", other.Name.Name, st.Name.Name), "Give one of them another name.")
			m.Related = []diag.Related{{Source: it.Source, Span: other.Name.Span, Text: "The first stands here:"}}
			return m
		}
	}
	return nil
}

// listing is what a sheet holds in the order of its file.
type listing struct {
	cells    []*Cell
	sections []*Cell
	title    *Cell
	checks   []*Check
}

// list puts what the sheet holds in the order of its file.
func (s *Sheet) list() *listing {
	if s.listed != nil {
		return s.listed
	}
	l := &listing{}
	var section *Cell
	for _, it := range s.File.Items {
		for _, c := range s.cellsOf[it] {
			c.Section = section
			l.cells = append(l.cells, c)
			switch it.Statement.(type) {
			case *syntax.Title:
				l.title = c
			case *syntax.Section:
				section = c
				l.sections = append(l.sections, c)
			}
			if c.Check != nil {
				l.checks = append(l.checks, c.Check)
			}
		}
	}
	s.listed = l
	return l
}

// Cells lists the cells in the order of the file, those without a name among them.
func (s *Sheet) Cells() []*Cell { return s.list().cells }

// CellsOf lists the cells of one statement.
func (s *Sheet) CellsOf(it *syntax.Item) []*Cell { return s.cellsOf[it] }

// Sections lists the words of the headings.
func (s *Sheet) Sections() []*Cell { return s.list().sections }

// Title gives the words of the title, nil where there is none.
func (s *Sheet) Title() *Cell { return s.list().title }

// Checks lists the checks.
func (s *Sheet) Checks() []*Check { return s.list().checks }

// PartAt gives the part that a statement makes, nil where it makes none.
func (s *Sheet) PartAt(it *syntax.Item) *Sheet { return s.partOf[it] }

// Names lists the names of the cells, tables and parts in the order of the file.
func (s *Sheet) Names() []string {
	var out []string
	for _, it := range s.File.Items {
		for _, c := range s.cellsOf[it] {
			if c.Name != "" && c.Role != CheckOf && c.Table == nil {
				out = append(out, c.Name)
			}
		}
		if p := s.partOf[it]; p != nil {
			out = append(out, p.Name)
		}
	}
	return out
}

// Messages lists all that is told of the sheet and its parts, in the order of the file.
func (s *Sheet) Messages() diag.List {
	t := &telling{told: map[told]bool{}}
	sheets := []*Sheet{s}
	for i := 0; i < len(sheets); i++ {
		t.sheet(sheets[i])
		sheets = append(sheets, sheets[i].Parts...)
	}
	t.out.Sort()
	return t.out
}

// told is what makes two messages the same to their reader.
type told struct {
	source *diag.Source
	span   diag.Span
	text   string
	once   string // with the file: a message that a sheet tells once
	file   any
}

// telling gathers messages, each once: those of a sheet that is taken as a part many times too.
type telling struct {
	out  diag.List
	told map[told]bool
}

func (t *telling) add(list ...*diag.Message) {
	for _, m := range list {
		key := told{source: m.Source, span: m.Span, text: m.Text}
		if m.Once != "" {
			key = told{once: m.Once, file: m.Source.Home}
		}
		if !t.told[key] {
			t.told[key] = true
			t.out = append(t.out, m)
		}
	}
}

func (t *telling) sheet(s *Sheet) {
	t.add(s.messages...)
	for _, it := range s.File.Items {
		t.add(it.Messages...)
	}
	for _, c := range s.Cells() {
		if c.lasting == nil && c.Fault != nil && c.Root == nil {
			t.add(c.Fault)
		}
		t.add(c.Messages...)
	}
}

// jobUnit finds a measure or count: one that this part replaces, else the job's.
func (s *Sheet) jobUnit(name string) (catalogue.Unit, bool) {
	if u, ok := s.units[name]; ok {
		return u, true
	}
	u, ok := s.Job.units[name]
	return u, ok
}
