package check

import (
	"fmt"
	"math/big"
	"slices"
	"sort"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/grid"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
)

// Text is the text of one sheet of a job.
type Text struct{ Name, Text string }

// Files gives what a job takes from elsewhere. An error is a sentence for the reader.
type Files interface {
	// Part gives the text of another sheet by its path from the job's folder, and the name under which it is told.
	Part(path string) (Text, error)
	// Library gives a starter sheet by its name.
	Library(name string) (Text, error)
	// Grid gives the rows of a delimited file by its path from the job's folder.
	Grid(path string, o grid.Options) (*grid.Grid, error)
}

// Job is the sheets of one job, checked together: measures, rates and counts hold for all of them.
type Job struct {
	Sheets []*Sheet // the neighbours, by name

	c         *Checker
	files     Files
	texts     map[string]*syntax.File // the files read, by where they come from
	neighbour map[string]*Sheet
	all       []*Sheet // neighbours and parts
	units     map[string]catalogue.Unit
	stated    map[string]statement // who states a unit of the job
	rates     map[string]*Cell
	own       map[string]bool // the words that the job's texts make units
	irregular bool            // some name is written twice, or cells rest on each other in a ring
}

// statement is where a unit of the job is stated.
type statement struct {
	source *diag.Source
	span   diag.Span
	unit   catalogue.Unit
}

// Sheet is a checked sheet, or a part of one, which is a sheet with a copy of its cells.
type Sheet struct {
	Name   string
	Job    *Job
	File   *syntax.File
	Parent *Sheet // the sheet that takes this one as a part; nil for a neighbour
	Parts  []*Sheet
	US     bool
	Rules  []*Rule // the sheet's own

	c        *Checker
	rules    map[string]*Rule
	names    map[string]*entry
	folded   map[string]*Cell
	cellsOf  map[*syntax.Item][]*Cell
	partOf   map[*syntax.Item]*Sheet
	units    map[string]catalogue.Unit // measures replaced in a part
	replaced map[string]*syntax.Argument
	source   *diag.Source // of what is replaced
	messages diag.List    // of the sheet as a whole
	told     map[string]bool
	programs map[string]*program.Program
	usualOf  map[usualKey]*show.Spec
	listed   *listing
}

func (c *Checker) newJob(files Files) *Job {
	return &Job{c: c, files: files, texts: map[string]*syntax.File{}, neighbour: map[string]*Sheet{}, units: map[string]catalogue.Unit{},
		stated: map[string]statement{}, rates: map[string]*Cell{}, own: map[string]bool{}}
}

func (j *Job) sheet(name string, file *syntax.File) *Sheet {
	return &Sheet{Name: name, Job: j, File: file, c: j.c, rules: map[string]*Rule{}, names: map[string]*entry{}, folded: map[string]*Cell{},
		cellsOf: map[*syntax.Item][]*Cell{}, partOf: map[*syntax.Item]*Sheet{}, told: map[string]bool{},
		programs: map[string]*program.Program{}, usualOf: map[usualKey]*show.Spec{}}
}

// Open reads and checks the sheets of a job. Files may be nil for a job that takes nothing from elsewhere.
func (c *Checker) Open(texts []Text, files Files) *Job {
	j := c.newJob(files)
	for _, t := range texts {
		j.learnUnits(t.Text)
	}
	for _, t := range texts {
		j.texts["sheet "+t.Name] = syntax.ReadFile(t.Name, t.Text, j.isUnit)
		j.Sheets = append(j.Sheets, j.sheet(t.Name, j.texts["sheet "+t.Name]))
	}
	j.build()
	return j
}

// learnUnits finds the units that a text states, so that all texts are read with them known.
func (j *Job) learnUnits(text string) (grown bool) {
	for _, u := range syntax.ScanUnits(text) {
		for _, n := range append(plurals(u), u) {
			grown = grown || !j.own[n]
			j.own[n] = true
		}
	}
	return grown
}

func (j *Job) isUnit(word string) bool { return j.own[word] || j.c.isLibraryUnit(word) }

// File gives a file of the job by the name of its sheet.
func (j *Job) file(name string) *syntax.File { return j.texts["sheet "+name] }

// build makes the sheets anew from their files: parts, units, cells, and checks them all.
func (j *Job) build() {
	j.all, j.neighbour = nil, map[string]*Sheet{}
	j.units, j.stated, j.rates = map[string]catalogue.Unit{}, map[string]statement{}, map[string]*Cell{}
	j.irregular = false
	for i, s := range j.Sheets {
		j.Sheets[i] = j.sheet(s.Name, s.File)
		j.neighbour[s.Name] = j.Sheets[i]
	}
	for _, s := range j.Sheets {
		s.system()
		j.takeParts(s, nil)
	}
	j.measures()
	for _, s := range j.all {
		s.collect()
	}
	for _, s := range j.all {
		s.messages = append(s.messages, s.checkRules(s.rules)...)
	}
	var cells []*Cell
	for _, s := range j.all {
		s.sameAsNeighbour()
		cells = append(cells, s.Cells()...)
	}
	j.settle(cells)
}

// prefix is what stands before the names of a sheet's cells in the whole job.
func (s *Sheet) prefix() string {
	switch {
	case s.Parent != nil:
		return s.Parent.prefix() + s.Name + "."
	case len(s.Job.Sheets) > 1:
		return s.Name + "."
	}
	return ""
}

// Path is the name of a sheet in the whole job.
func (s *Sheet) Path() string {
	if s.Parent != nil {
		return strings.TrimSuffix(s.prefix(), ".")
	}
	return s.Name
}

func (s *Sheet) system() {
	for _, it := range s.File.Items {
		if st, ok := it.Statement.(*syntax.System); ok {
			s.US = st.US
		}
	}
}

// sameAsNeighbour refuses a cell, table or part that is named like a neighbouring sheet, but for a part made from that
// very sheet (ruling 2).
func (s *Sheet) sameAsNeighbour() {
	if len(s.Job.Sheets) < 2 {
		return
	}
	for _, other := range s.Job.Sheets {
		e := s.names[other.Name]
		if e.empty() || e.part != nil && e.part.File == other.File {
			continue
		}
		at, src := diag.Span{}, s.File.Source
		if e.cell != nil {
			at, src = e.cell.NameSpan, e.cell.Source
		} else {
			at, src = e.part.statementSpan()
		}
		s.messages.Add(diag.New(src, at, fmt.Sprintf("%s is the name of a neighbouring sheet already.", other.Name), "Give one of them another name."))
	}
}

// measures settles `1 bag = 80 lb`, counted things and rates for the whole job. A measure may rest on another; they are
// taken until none is left that can be.
func (j *Job) measures() {
	type stated struct {
		s  *Sheet
		it *syntax.Item
		st *syntax.Measure
	}
	var open []stated
	seen := map[*syntax.Item]bool{}
	for _, s := range j.all {
		for _, it := range s.File.Items {
			switch st := it.Statement.(type) {
			case *syntax.Count:
				if !seen[it] {
					j.count(s, it, st)
				}
				seen[it] = true
			case *syntax.Measure:
				if s.replaced[st.Unit.Name] != nil || j.isRate(st) || seen[it] {
					continue
				}
				seen[it] = true
				open = append(open, stated{s, it, st})
			}
		}
	}
	names := map[string]bool{}
	for _, o := range open {
		names[o.st.Unit.Name] = true
	}
	for len(open) > 0 {
		var rest []stated
		for _, o := range open {
			if j.waits(o.st, names) {
				rest = append(rest, o)
				continue
			}
			o.s.measure(o.it, o.st)
		}
		if len(rest) == len(open) {
			for _, o := range rest {
				o.s.messages.Add(diag.New(o.it.Source, o.st.Span, "This measure rests on itself.", "Write what one of it is in another unit, as 1 bag = 80 lb."))
			}
			break
		}
		open = rest
	}
	for _, s := range j.all {
		s.replaceMeasures()
	}
}

func (j *Job) isRate(st *syntax.Measure) bool {
	u, ok := j.c.lib.Unit(st.Unit.Name)
	return ok && u.System == catalogue.Currency
}

// waits tells whether a measure uses another one that is not settled yet.
func (j *Job) waits(st *syntax.Measure, names map[string]bool) bool {
	found := false
	walkUnits(st.Value, func(u *syntax.Unit) {
		for _, f := range u.Factors {
			n := f.Name.Name
			for one := range names {
				_, done := j.stated[one]
				found = found || (n == one || n == plurals(one)[0]) && !done
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

// replaceMeasures puts the measures that a part replaces in their places, for that part alone.
func (s *Sheet) replaceMeasures() {
	for name, a := range s.replaced {
		if !s.Job.own[name] || s.isCellName(name) {
			continue
		}
		d, exact, ok := s.measureOf(s.source, a.Expr)
		if !ok {
			continue
		}
		if old, ok := s.Job.units[name]; ok && old.Dim != d {
			s.messages.Add(diag.New(s.source, a.Span, fmt.Sprintf("%s is %s here, and %s in the part.", name, kind.Quantity(d).Article(), kind.Quantity(old.Dim).Article()), ""))
			continue
		}
		if s.units == nil {
			s.units = map[string]catalogue.Unit{}
		}
		u, many := measureUnit(name, d, exact)
		s.units[name], s.units[many] = u, u
	}
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
		if old.source.Name != src.Name && old.unit.Ratio != nil && old.unit.Dim == u.Dim && old.unit.Ratio.Cmp(u.Ratio) == 0 && old.unit.Plural == u.Plural {
			return
		}
		text := fmt.Sprintf("The unit %s is stated twice.", n.Name)
		if old.source.Name != src.Name {
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

// Measures tells the measures and counts of the job by name, what one of each is in coherent SI units, and of what kind
// it is.
func (j *Job) Measure(name string) (catalogue.Unit, bool) {
	u, ok := j.units[name]
	return u, ok
}
