package check

import (
	"fmt"
	"math/big"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/syntax"
)

// collect makes a cell for each statement that has a value, and reports names written twice.
func (s *Sheet) collect() {
	src := s.File.Source
	for _, it := range s.File.Items {
		if st, ok := it.Statement.(*syntax.System); ok {
			s.US = st.US
		}
		if st, ok := it.Statement.(*syntax.Count); ok {
			s.count(st)
		}
	}
	s.measures()
	section := -1
	for _, it := range s.File.Items {
		base := Cell{Source: src, Note: it.Note, Section: section, Root: -1, Statement: it.Statement}
		if it.Statement != nil {
			base.Span = it.Statement.Where()
		}
		if it.Statement == nil && it.Bad {
			s.unreadable(base, it)
			continue
		}
		switch st := it.Statement.(type) {
		case *syntax.Title:
			if s.Title >= 0 {
				s.Messages.Add(diag.New(src, st.Span, "This sheet has a title already.", "Use section for a heading."))
				continue
			}
			s.Title = s.words(base, st.Text)
		case *syntax.Section:
			s.Sections = append(s.Sections, SectionHead{Cell: s.words(base, st.Text)})
			section = len(s.Sections) - 1
		case *syntax.Cell:
			base.expr = st.Expr
			base.Role = roleOf(st.Expr)
			s.named(base, st.Name)
		case *syntax.Ask:
			base.Role = Ask
			s.named(base, st.Name)
		case *syntax.Check:
			s.check(base, st)
		case *syntax.Rule:
			s.ownRule(st)
		case *syntax.Table:
			base.Role = Literals
			s.named(base, st.Name)
		case *syntax.Part:
			s.notYet(st.Span, "Parts")
			s.parts[st.Name.Name] = true
		case *syntax.Variant:
			s.notYet(st.Span, "Variants")
		case *syntax.Correlation:
			s.notYet(st.Span, "Correlations")
		case *syntax.Handout:
			s.notYet(st.Span, "Handouts")
		}
	}
	s.Messages = append(s.Messages, s.checkRules(s.rules)...)
}

// unreadable keeps the name of a cell whose line cannot be read, so that what rests on it says so instead of missing it.
func (s *Sheet) unreadable(base Cell, it syntax.Item) {
	src := s.File.Source
	raw := src.Text[it.Span.From:it.Span.To]
	name, rest, ok := strings.Cut(raw, "=")
	from := it.Span.From + len(name) - len(strings.TrimLeft(name, " \t"))
	name = strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))
	if !ok || strings.HasPrefix(rest, "=") || !syntax.IsName(name) || syntax.IsStatementWord(name) {
		return
	}
	if _, taken := s.byName[name]; taken {
		return
	}
	for _, m := range s.File.Messages {
		if m.Level == diag.Mistake && m.Span.From >= it.Span.From && m.Span.From < it.Span.To {
			base.Fault = m
			base.Span = diag.Span{From: from, To: it.Span.To}
			s.named(base, syntax.Ident{Name: name, Span: diag.Span{From: from, To: from + len(name)}})
			return
		}
	}
}

// notYet says plainly that a statement is read but not carried out.
func (s *Sheet) notYet(at diag.Span, what string) {
	s.Messages.Add(&diag.Message{Level: diag.Notice, Source: s.File.Source, Span: at, Text: what + " are read, and nothing is computed from them yet."})
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

func (s *Sheet) words(base Cell, t *syntax.Text) int {
	base.Role, base.expr = Words, t
	s.Cells = append(s.Cells, &base)
	return len(s.Cells) - 1
}

// named adds a cell under its name, unless the name is taken.
func (s *Sheet) named(base Cell, n syntax.Ident) {
	base.Name, base.NameSpan = n.Name, n.Span
	s.Cells = append(s.Cells, &base)
	if !s.free(n) {
		base.Root = -2
		s.Cells[len(s.Cells)-1].Fault = s.Messages[len(s.Messages)-1]
		return
	}
	s.byName[n.Name] = len(s.Cells) - 1
	s.folded[strings.ToLower(n.Name)] = len(s.Cells) - 1
}

func (s *Sheet) free(n syntax.Ident) bool {
	i, taken := s.folded[strings.ToLower(n.Name)]
	if !taken {
		return true
	}
	old := s.Cells[i]
	text := fmt.Sprintf("The name %s is written twice.", n.Name)
	if old.Name != n.Name {
		text = fmt.Sprintf("The names %s and %s differ by case alone.", old.Name, n.Name)
	}
	m := diag.New(s.File.Source, n.Span, text, "Give one of them another name.")
	m.Related = []diag.Related{{Source: old.Source, Span: old.NameSpan, Text: "The first stands here:"}}
	s.Messages.Add(m)
	return false
}

func (s *Sheet) check(base Cell, st *syntax.Check) {
	base.Role, base.expr = CheckOf, st.Cond
	k := Check{Name: st.Name.Name, Else: -1, Text: s.File.Source.Text[st.Cond.Where().From:st.Cond.Where().To]}
	if st.Name.Name != "" {
		s.named(base, st.Name)
	} else {
		s.Cells = append(s.Cells, &base)
	}
	k.Cond = len(s.Cells) - 1
	if st.Else != nil {
		words := base
		words.Name = ""
		k.Else = s.words(words, st.Else)
	}
	s.Checks = append(s.Checks, k)
}

// count adds a counted thing of the job.
func (s *Sheet) count(st *syntax.Count) {
	many := st.Many.Name
	if many == "" {
		many = plurals(st.One.Name)[0]
	}
	u := catalogue.Unit{Symbol: st.One.Name, Name: st.One.Name, Plural: many, Dim: kind.Count(st.One.Name), Ratio: big.NewRat(1, 1),
		System: catalogue.Job, Counts: true}
	s.addUnit(st.One, u, many)
}

func (s *Sheet) addUnit(n syntax.Ident, u catalogue.Unit, many string) bool {
	if at, ok := s.unitAt[n.Name]; ok {
		m := diag.New(s.File.Source, n.Span, fmt.Sprintf("The unit %s is stated twice.", n.Name), "Keep one of the lines.")
		m.Related = []diag.Related{{Source: s.File.Source, Span: at, Text: "The first stands here:"}}
		s.Messages.Add(m)
		return false
	}
	for _, name := range []string{n.Name, many} {
		if old, ok := s.c.lib.Unit(name); ok && (name == n.Name || old.Name != u.Name) {
			s.Messages.Add(diag.New(s.File.Source, n.Span, fmt.Sprintf("%s is a unit of the library already.", name), "Choose another name for a measure of the job."))
			return false
		}
	}
	s.unitAt[n.Name] = n.Span
	s.units[n.Name] = u
	s.units[many] = u
	return true
}

// measures settles `1 bag = 80 lb` and rates of exchange. A measure may rest on another; they are taken until none is
// left that can be.
func (s *Sheet) measures() {
	var open []*syntax.Measure
	for _, it := range s.File.Items {
		if st, ok := it.Statement.(*syntax.Measure); ok {
			if u, ok := s.c.lib.Unit(st.Unit.Name); ok && u.System == catalogue.Currency {
				s.rate(st, it, u)
				continue
			}
			open = append(open, st)
		}
	}
	names := map[string]bool{}
	for _, st := range open {
		names[st.Unit.Name] = true
	}
	for len(open) > 0 {
		var rest []*syntax.Measure
		for _, st := range open {
			if waits(st, names, s) {
				rest = append(rest, st)
				continue
			}
			s.measure(st)
		}
		if len(rest) == len(open) {
			for _, st := range rest {
				s.Messages.Add(diag.New(s.File.Source, st.Span, "This measure rests on itself.", "Write what one of it is in another unit, as 1 bag = 80 lb."))
			}
			return
		}
		open = rest
	}
}

// waits tells whether a measure uses another one that is not settled yet.
func waits(st *syntax.Measure, names map[string]bool, s *Sheet) bool {
	found := false
	walkUnits(st.Value, func(u *syntax.Unit) {
		for _, f := range u.Factors {
			n := f.Name.Name
			for one := range names {
				if (n == one || n == plurals(one)[0]) && s.units[n].Ratio == nil && s.unitAt[one] == (diag.Span{}) {
					found = true
				}
			}
		}
	})
	return found
}

func walkUnits(e syntax.Expr, visit func(*syntax.Unit)) {
	q, ok := e.(*syntax.Quantity)
	if !ok {
		return
	}
	for _, p := range q.Parts {
		if p.Unit != nil {
			visit(p.Unit)
		}
	}
}

func (s *Sheet) measure(st *syntax.Measure) {
	q, ok := st.Value.(*syntax.Quantity)
	if !ok {
		s.Messages.Add(diag.New(s.File.Source, st.Value.Where(), "A measure of the job is a plain quantity.", "Write 1 bag = 80 lb."))
		s.unitAt[st.Unit.Name] = st.Unit.Span
		return
	}
	b := s.builder(s.File.Source)
	x, exact, ok := b.quantity(q)
	s.Messages = append(s.Messages, b.messages...)
	switch {
	case !ok:
		return
	case x.t.Form != kind.Number || x.percent:
		s.Messages.Add(diag.New(s.File.Source, q.Span, "A measure of the job is a plain quantity.", "Write 1 bag = 80 lb."))
		return
	case exact == nil || exact.Sign() <= 0:
		s.Messages.Add(diag.New(s.File.Source, q.Span, "A measure is larger than 0.", "Write 1 bag = 80 lb."))
		return
	}
	many := plurals(st.Unit.Name)[0]
	s.addUnit(st.Unit, catalogue.Unit{Symbol: st.Unit.Name, Name: st.Unit.Name, Plural: many, Dim: x.t.Dim, Ratio: exact, System: catalogue.Job, Counts: true}, many)
}

// rate adds a rate of exchange as an input named EUR_USD.
func (s *Sheet) rate(st *syntax.Measure, it syntax.Item, from catalogue.Unit) {
	base := Cell{Source: s.File.Source, Role: Rate, Span: st.Span, Note: it.Note, Section: -1, Root: -1, Statement: st}
	b := s.builder(s.File.Source)
	q, ok := st.Value.(*syntax.Quantity)
	if !ok {
		s.Messages.Add(diag.New(s.File.Source, st.Value.Where(), "A rate of exchange is a plain amount of money.", "Write 1 EUR = 1.09 USD."))
		return
	}
	x, _, ok := b.quantity(q)
	s.Messages = append(s.Messages, b.messages...)
	if !ok {
		return
	}
	to, money := x.t.Dim.Currency()
	if !money || to == from.Symbol || x.t.Form != kind.Number {
		s.Messages.Add(diag.New(s.File.Source, q.Span, "A rate of exchange is an amount of another currency.", "Write 1 EUR = 1.09 USD."))
		return
	}
	if v := b.number(x); v <= 0 {
		s.Messages.Add(diag.New(s.File.Source, q.Span, "A rate of exchange is larger than 0.", "Write 1 EUR = 1.09 USD."))
		return
	}
	if other, ok := s.byName[to+"_"+from.Symbol]; ok {
		m := diag.New(s.File.Source, st.Span, fmt.Sprintf("The rate between %s and %s is stated twice.", from.Symbol, to), "A rate serves both ways: keep one of the lines.")
		m.Related = []diag.Related{{Source: s.File.Source, Span: s.Cells[other].Span, Text: "The first stands here:"}}
		s.Messages.Add(m)
		return
	}
	d, _ := x.t.Dim.Div(from.Dim)
	base.expr = st.Value
	n := syntax.Ident{Name: from.Symbol + "_" + to, Span: st.Unit.Span}
	s.named(base, n)
	cell := s.Cells[len(s.Cells)-1]
	cell.Type = kind.Quantity(d)
	cell.state = settled
	if cell.Fault != nil {
		return
	}
	cell.Spec = s.usual(cell.Type)
	cell.Program = &program.Program{Regs: []program.Register{{}}, Consts: []program.Const{{Reg: 0, Value: b.consts[x.reg]}}, Out: 0}
}
