package check

import (
	"fmt"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/grid"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/syntax"
	"castwright/lang/work"
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
	// Object gives what is made of a file by its path from the job's folder.
	Object(path string, as *catalogue.File) (any, error)
}

// Job is the sheets of one job, checked together: measures, rates and counts hold for all of them.
type Job struct {
	Sheets []*Sheet    // the neighbours, by name
	Meter  *work.Meter // of who waits for the job to be made anew; nil where it is not to be stopped

	c         *Checker
	files     Files
	texts     map[string]*syntax.File // the files read, by where they come from
	neighbour map[string]*Sheet
	all       []*Sheet // neighbours and parts
	parts     int      // how many parts are made
	units     map[string]catalogue.Unit
	stated    map[string]statement // who states a unit of the job
	measured  map[string]string    // the words of measures, plurals too, and the measure that each means
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
	Parent *Sheet       // the sheet that takes this one as a part; nil for a neighbour
	Item   *syntax.Item // the statement that does; nil for a neighbour
	Parts  []*Sheet
	US     bool
	Rules  []*Rule // the sheet's own

	c         *Checker
	rules     map[string]*Rule
	names     map[string]*entry
	folded    map[string]*Cell
	cellsOf   map[*syntax.Item][]*Cell
	stoodBack map[string]bool // names that a line which cannot be read would have, had no other line them
	partOf    map[*syntax.Item]*Sheet
	handouts  []*Handout
	partFault map[*syntax.Item]*diag.Message // why a part cannot be made
	units     map[string]catalogue.Unit      // measures that are others in a part than in the job
	local     map[string]bool                // their names
	foldPart  map[string]*Sheet              // the parts, by their names without case
	replaced  map[string]*syntax.Argument
	source    *diag.Source // of what is replaced
	messages  diag.List    // of the sheet as a whole
	told      map[string]bool
	programs  map[string]*program.Program
	usualOf   map[usualKey]*show.Spec
	listed    *listing
}

func (c *Checker) newJob(files Files) *Job {
	return &Job{c: c, files: files, texts: map[string]*syntax.File{}, neighbour: map[string]*Sheet{}, units: map[string]catalogue.Unit{},
		stated: map[string]statement{}, rates: map[string]*Cell{}, own: map[string]bool{}}
}

func (j *Job) sheet(name string, file *syntax.File) *Sheet {
	return &Sheet{Name: name, Job: j, File: file, c: j.c, rules: map[string]*Rule{}, names: map[string]*entry{}, folded: map[string]*Cell{},
		cellsOf: map[*syntax.Item][]*Cell{}, stoodBack: map[string]bool{}, partOf: map[*syntax.Item]*Sheet{}, partFault: map[*syntax.Item]*diag.Message{}, told: map[string]bool{},
		programs: map[string]*program.Program{}, usualOf: map[usualKey]*show.Spec{}}
}

// Open reads and checks the sheets of a job. Files may be nil for a job that takes nothing from elsewhere.
func (c *Checker) Open(texts []Text, files Files) *Job { return c.OpenWatched(texts, files, nil) }

// OpenWatched is as Open, and tells a meter how far it is. Where that stops it, not all is read and checked, and the job is
// of no use.
func (c *Checker) OpenWatched(texts []Text, files Files, m *work.Meter) *Job {
	j := c.newJob(files)
	j.Meter = m
	bytes := 0
	for _, t := range texts {
		bytes += len(t.Text)
	}
	m.Begin(work.Reading, bytes)
	for _, t := range texts {
		j.learnUnits(t.Text)
	}
	for _, t := range texts {
		j.texts["sheet "+t.Name] = syntax.ReadWatched(t.Name, t.Text, j.isUnit, m)
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
	j.readParts()
	j.all, j.parts, j.neighbour = nil, 0, map[string]*Sheet{}
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
	if j.Meter.Stopped() {
		return
	}
	for _, s := range j.all {
		s.messages = append(s.messages, s.checkRules(s.rules)...)
	}
	var cells []*Cell
	for _, s := range j.all {
		if s.Parent == nil || s.Job.file(s.File.Name) != s.File { // a part made from a neighbour says nothing new
			s.sameAsNeighbour()
		}
		cells = append(cells, s.Cells()...)
	}
	j.Meter.Begin(work.Checking, len(cells))
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
		var at diag.Span
		var src *diag.Source
		if e.cell != nil {
			at, src = e.cell.NameSpan, e.cell.Source
		} else {
			at, src = e.part.statementSpan()
		}
		s.messages.Add(diag.New(src, at, fmt.Sprintf("%s is the name of a neighbouring sheet already.", other.Name), "Give one of them another name."))
	}
}
