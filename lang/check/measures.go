package check

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"sort"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
)

// measureLine is one line `1 bag = 80 lb`, and a sheet in which it stands.
type measureLine struct {
	s    *Sheet
	it   *syntax.Item
	name string
	st   *syntax.Measure
}

// measures settles `1 bag = 80 lb` and counted things for the whole job; a part that replaces one has its own.
func (j *Job) measures() {
	lines := j.measureLines()
	seen := map[*syntax.Item]bool{}
	var open []measureLine
	for _, s := range j.all {
		s.local = s.localMeasures(lines)
		for _, it := range s.File.Items {
			switch st := it.Statement.(type) {
			case *syntax.Count:
				if !seen[it] {
					j.count(s, it, st)
				}
				seen[it] = true
			case *syntax.Measure:
				if name := st.Unit.Name; !j.isRate(st) && !seen[it] && !s.local[name] {
					seen[it] = true
					open = append(open, measureLine{s, it, name, st})
				}
			}
		}
	}
	stuck := j.inTurn(open, func(l measureLine) { l.s.measure(l.it, l.st) })
	for _, l := range stuck {
		l.s.messages.Add(diag.New(l.it.Source, l.st.Span, "This measure rests on itself.", "Write what one of it is in another unit, as 1 bag = 80 lb."))
	}
	for _, s := range j.all {
		s.replaceMeasures(lines)
	}
}

// measureLines lists the measures that the sheets state, each line once, and keeps their words.
func (j *Job) measureLines() []measureLine {
	j.measured = map[string]string{}
	var lines []measureLine
	seen := map[*syntax.File]bool{}
	for _, s := range j.all {
		if seen[s.File] {
			continue
		}
		seen[s.File] = true
		for _, it := range s.File.Items {
			if st, ok := it.Statement.(*syntax.Measure); ok && !j.isRate(st) {
				lines = append(lines, measureLine{s, it, st.Unit.Name, st})
			}
		}
	}
	for _, l := range lines {
		for _, many := range plurals(l.name) {
			j.measured[many] = l.name
		}
	}
	for _, l := range lines {
		j.measured[l.name] = l.name
	}
	return lines
}

// inTurn settles measures, each behind those that it rests on, and gives those that rest on themselves.
func (j *Job) inTurn(open []measureLine, settle func(measureLine)) []measureLine {
	waiting := map[string]int{}
	for _, l := range open {
		waiting[l.name]++
	}
	for len(open) > 0 {
		var rest []measureLine
		for _, l := range open {
			if j.restsOn(l.st.Value, func(name string) bool { return waiting[name] > 0 }) {
				rest = append(rest, l)
				continue
			}
			settle(l)
			waiting[l.name]--
		}
		if len(rest) == len(open) {
			return rest
		}
		open = rest
	}
	return nil
}

// restsOn tells whether a quantity is written in a measure of which something holds.
func (j *Job) restsOn(e syntax.Expr, holds func(name string) bool) bool {
	found := false
	var factors func(u *syntax.Unit)
	factors = func(u *syntax.Unit) {
		for _, f := range u.Factors {
			if f.Group != nil {
				factors(f.Group)
				continue
			}
			name, ok := j.measured[f.Name.Name]
			if !ok { // bag2 is a bag, squared
				name = j.measured[strings.TrimRight(f.Name.Name, "0123456789")]
			}
			found = found || name != "" && holds(name)
		}
	}
	if q, ok := e.(*syntax.Quantity); ok {
		for _, p := range q.Parts {
			if p.Unit != nil {
				factors(p.Unit)
			}
		}
	}
	return found
}

// replaces tells whether a part replaces a measure of that name: where a name is both, it means the cell (ruling 36).
func (s *Sheet) replaces(name string) bool {
	return s.replaced[name] != nil && s.Job.measured[name] == name && !s.isCellName(name)
}

// localMeasures gives the measures that are others in a part than in the job: those that are replaced for it, or for the
// part that it is in, and those that rest on them.
func (s *Sheet) localMeasures(lines []measureLine) map[string]bool {
	if s.Parent == nil {
		return nil
	}
	local := map[string]bool{}
	for name := range s.replaced {
		if s.replaces(name) {
			local[name] = true
		}
	}
	if len(local) == 0 {
		return s.Parent.local
	}
	maps.Copy(local, s.Parent.local)
	for grown := true; grown; {
		grown = false
		for _, l := range lines {
			if !local[l.name] && s.Job.restsOn(l.st.Value, func(name string) bool { return local[name] }) {
				local[l.name], grown = true, true
			}
		}
	}
	return local
}

// replaceMeasures puts the measures that a part replaces in their places, for that part and what it holds, and works those
// out anew that rest on them.
func (s *Sheet) replaceMeasures(lines []measureLine) {
	if s.Parent == nil {
		return
	}
	s.units = s.Parent.units
	names := slices.DeleteFunc(slices.Sorted(maps.Keys(s.replaced)), func(name string) bool { return !s.replaces(name) })
	if len(names) == 0 {
		return
	}
	own := maps.Clone(s.units)
	if own == nil {
		own = map[string]catalogue.Unit{}
	}
	for _, name := range names {
		s.replaceMeasure(name, s.replaced[name], lines, own)
	}
	s.units = own
	var rest []measureLine
	for _, l := range s.ownFirst(lines) {
		if s.local[l.name] && !s.replaces(l.name) {
			rest = append(rest, l)
		}
	}
	s.Job.inTurn(rest, func(l measureLine) {
		if d, exact, ok := s.measureOf(l.it.Source, l.st.Value); ok {
			u, many := measureUnit(l.name, d, exact)
			s.units[l.name], s.units[many] = u, u
		}
	})
}

// ownFirst gives one line for each measure: the sheet's own, where it states it.
func (s *Sheet) ownFirst(lines []measureLine) []measureLine {
	var out []measureLine
	seen := map[string]bool{}
	for _, own := range []bool{true, false} {
		for _, l := range lines {
			if (l.s.File == s.File) == own && !seen[l.name] {
				seen[l.name] = true
				out = append(out, l)
			}
		}
	}
	return out
}

// replaceMeasure reads what one of a measure is in a part, as the using sheet has it.
func (s *Sheet) replaceMeasure(name string, a *syntax.Argument, lines []measureLine, own map[string]catalogue.Unit) {
	d, exact, ok := s.Parent.measureOf(s.source, a.Expr)
	if !ok {
		return
	}
	for _, l := range s.ownFirst(lines) {
		q, isQuantity := l.st.Value.(*syntax.Quantity)
		if l.name != name || !isQuantity {
			continue
		}
		if x, _, ok := s.builder(l.it.Source).quantity(q); ok && x.t.Dim != d {
			s.messages.Add(diag.New(s.source, a.Span, fmt.Sprintf("%s is %s here, and %s in the part.", name, kind.Quantity(d).Article(), kind.Quantity(x.t.Dim).Article()), ""))
			return
		}
	}
	u, many := measureUnit(name, d, exact)
	own[name], own[many] = u, u
}

func (j *Job) isRate(st *syntax.Measure) bool {
	u, ok := j.c.lib.Unit(st.Unit.Name)
	return ok && u.System == catalogue.Currency
}

// measureOf reads what one of a measure is.
func (s *Sheet) measureOf(src *diag.Source, e syntax.Expr) (kind.Dim, *big.Rat, bool) {
	q, ok := e.(*syntax.Quantity)
	if !ok {
		s.messages.Add(diag.New(src, e.Where(), "A measure of the job is a plain quantity.", "Write 1 bag = 80 lb."))
		return kind.One, nil, false
	}
	b := s.builder(src)
	x, exact, ok := b.quantity(q)
	s.messages = append(s.messages, b.messages...)
	switch {
	case !ok:
		return kind.One, nil, false
	case x.t.Form != kind.Number || x.percent:
		s.messages.Add(diag.New(src, q.Span, "A measure of the job is a plain quantity.", "Write 1 bag = 80 lb."))
		return kind.One, nil, false
	case exact == nil || exact.Sign() <= 0:
		s.messages.Add(diag.New(src, q.Span, "A measure is larger than 0.", "Write 1 bag = 80 lb."))
		return kind.One, nil, false
	}
	return x.t.Dim, exact, true
}

func measureUnit(name string, d kind.Dim, exact *big.Rat) (catalogue.Unit, string) {
	many := plurals(name)[0]
	return catalogue.Unit{Symbol: name, Name: name, Plural: many, Dim: d, Ratio: exact, System: catalogue.Job, Counts: true}, many
}

func (s *Sheet) measure(it *syntax.Item, st *syntax.Measure) {
	d, exact, ok := s.measureOf(it.Source, st.Value)
	if !ok {
		if _, stated := s.Job.stated[st.Unit.Name]; !stated {
			s.Job.stated[st.Unit.Name] = statement{source: it.Source, span: st.Unit.Span}
		}
		return
	}
	u, many := measureUnit(st.Unit.Name, d, exact)
	s.Job.addUnit(s, it.Source, st.Unit, u, many)
}

// isCellName tells whether a statement of the sheet makes a cell or table of that name: it goes before a measure.
func (s *Sheet) isCellName(name string) bool {
	return slices.ContainsFunc(s.File.Items, func(it *syntax.Item) bool {
		switch st := it.Statement.(type) {
		case *syntax.Cell:
			return st.Name.Name == name
		case *syntax.Ask:
			return st.Name.Name == name
		case *syntax.Table:
			return st.Name.Name == name
		}
		return false
	})
}

// count adds a counted thing of the job.
func (j *Job) count(s *Sheet, it *syntax.Item, st *syntax.Count) {
	many := st.Many.Name
	if many == "" {
		many = plurals(st.One.Name)[0]
	}
	u := catalogue.Unit{Symbol: st.One.Name, Name: st.One.Name, Plural: many, Dim: kind.Count(st.One.Name), Ratio: big.NewRat(1, 1),
		System: catalogue.Job, Counts: true}
	j.addUnit(s, it.Source, st.One, u, many)
}

// addUnit adds a unit of the job. One that is stated twice alike is one; two that differ are a mistake naming both
// (ruling 14).
func (j *Job) addUnit(s *Sheet, src *diag.Source, n syntax.Ident, u catalogue.Unit, many string) {
	if old, ok := j.stated[n.Name]; ok {
		if old.source.Home != src.Home && old.unit.Ratio != nil && old.unit.Dim == u.Dim && old.unit.Ratio.Cmp(u.Ratio) == 0 && old.unit.Plural == u.Plural {
			return
		}
		text := fmt.Sprintf("The unit %s is stated twice.", n.Name)
		if old.source.Home != src.Home {
			text = fmt.Sprintf("The unit %s is stated in %s too, and differs there.", n.Name, old.source.Name)
		}
		m := diag.New(src, n.Span, text, "Keep one of the lines: a measure holds for the whole job.")
		m.Related = []diag.Related{{Source: old.source, Span: old.span, Text: "The first stands here:"}}
		s.messages.Add(m)
		return
	}
	for _, name := range []string{n.Name, many} {
		if old, ok := j.c.lib.Unit(name); ok && (name == n.Name || old.Name != u.Name) {
			s.messages.Add(diag.New(src, n.Span, fmt.Sprintf("%s is a unit of the library already.", name), "Choose another name for a measure of the job."))
			return
		}
	}
	j.stated[n.Name] = statement{src, n.Span, u}
	j.units[n.Name], j.units[many] = u, u
}

// Units lists the names of the job's own measures and counts.
func (j *Job) Units() []string {
	var out []string
	for n := range j.units {
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}

// Measure tells the measures and counts of the job by name, what one of each is in coherent SI units, and of what kind
// it is.
func (j *Job) Measure(name string) (catalogue.Unit, bool) {
	u, ok := j.units[name]
	return u, ok
}
