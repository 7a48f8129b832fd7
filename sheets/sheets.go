// Package sheets holds sheets on disk: text files and job folders, and the job in memory that is made from them.
package sheets

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/lang/work"
	"castwright/sheets/disk"
)

// Extension is the ending of a sheet's file name.
const Extension = ".sheet"

// maxFile is the largest sheet that is read, in bytes.
const maxFile = 64 << 20

// Job is a folder of sheets, or one sheet alone, computed.
type Job struct {
	Path    string
	Sheets  []*check.Sheet // the neighbours, by name
	Checked *check.Job
	Engine  *engine.Job

	checker *check.Checker
	files   *files
	cells   map[engine.ID]*check.Cell
	line    engine.Edit // takes the last line out again
	undone  []step
	done    []step
	store   *store
	forms   map[engine.ID]form // how each cell in the engine is shown
	halted  bool               // the last computation of the whole job was stopped
	finish  bool               // an edit is being taken back, which is not stopped
	meter   *work.Meter        // tells how far the work on the job is, and stops it
}

// form is the kind of a cell, and how it is shown, when it was last brought to the engine: while an edit is carried out
// the value of the one before is told by it.
type form struct {
	kind kind.Type
	spec *show.Spec
}

// Open reads and computes a job. The error is for what cannot be read; mistakes in a sheet are its messages and states.
func Open(path string, c *check.Checker) (*Job, error) { return OpenWatched(path, c, &work.Meter{}) }

// ErrStopped says that a job was not opened, since that was stopped.
var ErrStopped = errors.New("stopped: the job was not opened")

// OpenWatched is as Open, and tells a meter, which stays that of the job, how far it is. It can be stopped by it.
func OpenWatched(path string, c *check.Checker, m *work.Meter) (*Job, error) {
	texts, err := readTexts(path)
	if err != nil {
		return nil, err
	}
	return opened(&Job{Path: path, checker: c, files: newFiles(folderOf(path)), meter: m}, texts)
}

// opened checks and computes a job for the first time.
func opened(j *Job, texts []check.Text) (*Job, error) {
	defer j.begin()()
	j.Checked = j.check(texts)
	if !j.meter.Stopped() {
		j.compute()
	}
	if j.meter.Stopped() {
		return nil, ErrStopped
	}
	return j, nil
}

// begin begins work that can be stopped; what it gives ends that.
func (j *Job) begin() (end func()) {
	j.meter.Resume()
	return j.meter.End
}

// check checks the texts of a job.
func (j *Job) check(texts []check.Text) *check.Job {
	if j.files == nil {
		return j.checker.OpenWatched(texts, nil, j.meter)
	}
	return j.checker.OpenWatched(texts, j.files, j.meter)
}

// Memory makes a job of texts that are nowhere on disk.
func Memory(c *check.Checker, texts ...check.Text) *Job {
	j := &Job{checker: c, meter: &work.Meter{}}
	defer j.begin()()
	j.Checked = j.check(texts)
	j.compute()
	return j
}

// folderOf gives the folder from which a job's parts and files are read.
func folderOf(path string) string {
	if strings.HasSuffix(path, Extension) {
		if info, err := os.Stat(path); err != nil || !info.IsDir() {
			return filepath.Dir(path)
		}
	}
	return path
}

// readTexts reads the sheets of a job: those of a folder, or one alone.
func readTexts(path string) ([]check.Text, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, plain(path, err)
	}
	names := []string{path}
	if info.IsDir() {
		if names, err = list(path); err != nil {
			return nil, err
		}
	} else if !strings.HasSuffix(path, Extension) {
		return nil, fmt.Errorf("%s is no sheet: the name of a sheet ends with %s", path, Extension)
	}
	var out []check.Text
	for _, f := range names {
		text, err := readSheet(f)
		if err != nil {
			return nil, err
		}
		out = append(out, check.Text{Name: strings.TrimSuffix(filepath.Base(f), Extension), Text: text})
	}
	return out, nil
}

func readSheet(path string) (string, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return "", fmt.Errorf("%s is no ordinary file", path)
	}
	if err == nil && info.Size() > maxFile {
		return "", fmt.Errorf("%s is larger than %d MiB", path, maxFile>>20)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return "", plain(path, err)
	}
	return string(text), nil
}

func list(folder string) ([]string, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, plain(folder, err)
	}
	var files []string
	for _, e := range entries {
		if !e.IsDir() && strings.HasSuffix(e.Name(), Extension) && !strings.HasPrefix(e.Name(), ".") {
			files = append(files, filepath.Join(folder, e.Name()))
		}
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("the folder %s holds no sheet; the name of a sheet ends with %s", folder, Extension)
	}
	sort.Strings(files)
	return files, nil
}

// plain says in words why a file cannot be read.
func plain(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("there is no file or folder %s", path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("the file %s may not be read by you", path)
	}
	return fmt.Errorf("the file %s cannot be read: %s", path, disk.Reason(err))
}

// SheetPath is where a sheet of the job stands on disk.
func (j *Job) SheetPath(name string) string {
	if j.Path == "" || strings.HasSuffix(j.Path, Extension) && folderOf(j.Path) != j.Path {
		return j.Path
	}
	return filepath.Join(j.Path, name+Extension)
}

// compute puts the cells of a checked job into a new engine and works them out.
func (j *Job) compute() {
	old := j.Engine
	j.Sheets, j.Engine, j.cells, j.line = j.Checked.Sheets, engine.New(), map[engine.ID]*check.Cell{}, engine.Edit{}
	j.Engine.Meter = j.meter
	j.forms = map[engine.ID]form{}
	if old != nil {
		j.Engine.MaxSteps = old.MaxSteps
	}
	var cells []*check.Cell
	j.walk(func(s *check.Sheet) { cells = append(cells, s.Cells()...) })
	for {
		for _, c := range cells {
			c.ID = -1
		}
		change, err := j.put(cells, nil)
		j.halted = change.Halted
		if err == nil {
			return
		}
		// The checker finds rings and unknown cells before the engine sees them. Were one to slip through, its cells are
		// mistakes and the others stand.
		j.Engine, j.cells = engine.New(), map[engine.ID]*check.Cell{}
		j.Engine.Meter = j.meter
		var ring *engine.Ring
		bad := cells
		if errors.As(err, &ring) {
			bad = nil
			for _, c := range cells {
				if slices.Contains(ring.IDs, engine.ID(c.ID)) {
					bad = append(bad, c)
				}
			}
		}
		for _, c := range bad {
			if c.Fault == nil {
				c.Fault = diag.New(c.Source, c.Span, err.Error(), "")
			}
		}
	}
}

// walk visits the sheets and the parts in them.
func (j *Job) walk(visit func(*check.Sheet)) {
	var down func(s *check.Sheet)
	down = func(s *check.Sheet) {
		visit(s)
		for _, p := range s.Parts {
			down(p)
		}
	}
	for _, s := range j.Checked.Sheets {
		down(s)
	}
}

// put brings checked cells to the engine.
func (j *Job) put(cells, gone []*check.Cell) (engine.Change, error) {
	var fresh []*check.Cell
	for _, c := range cells {
		if c.ID < 0 {
			fresh = append(fresh, c)
			c.ID = 0
		}
	}
	for i, id := range j.Engine.Reserve(len(fresh)) {
		fresh[i].ID = int32(id)
	}
	var e engine.Edit
	seen := make(map[*check.Cell]bool, len(cells))
	for _, c := range cells {
		if !seen[c] {
			seen[c] = true
			e.Put = append(e.Put, engine.Put{ID: engine.ID(c.ID), Formula: formula(c)})
			j.cells[engine.ID(c.ID)] = c
			j.forms[engine.ID(c.ID)] = form{c.Type, c.Spec}
		}
	}
	for _, c := range gone {
		if c.ID >= 0 && !seen[c] {
			e.Drop = append(e.Drop, engine.ID(c.ID))
			delete(j.cells, engine.ID(c.ID))
			delete(j.forms, engine.ID(c.ID))
		}
	}
	return j.Engine.Apply(e)
}

// formula is what a cell computes; a mistake carries the message of the cell where it arose.
func formula(c *check.Cell) engine.Formula {
	f := engine.Formula{Name: c.Path(), Program: c.Program, Places: c.Places}
	switch {
	case c.Fault != nil:
		root := c
		if c.Root != nil && c.Root.Fault != nil {
			root = c.Root
		}
		x := Fault(root)
		f.Fault, f.Program, f.Places = &x, nil, nil
		return f
	case c.Data == nil && c.Program == nil:
		f.Fault = &engine.Cause{State: value.Mistake, Kind: engine.Failure, Cell: c.Path(), Text: "This cell could not be read."}
	case c.Data != nil:
		f.Program = nil
		f.Data = &engine.Data{Column: c.Data.Column, Open: c.Data.Open, Ask: c.DataPath(), Place: program.Place{Source: c.Source, Span: c.NameSpan}}
		return f
	}
	for _, in := range c.Inputs {
		f.Inputs = append(f.Inputs, engine.ID(in.ID))
	}
	return f
}

// Fault is the cause that a mistake in a cell's text makes.
func Fault(c *check.Cell) engine.Cause {
	x := engine.Cause{State: value.Mistake, Kind: engine.Failure, Cell: c.Path(), Text: c.Fault.Text, WayOut: c.Fault.WayOut}
	x.Place.Source, x.Place.Span = c.Fault.Source, c.Fault.Span
	return x
}

// Value gives the value of a cell, in SI units. It holds until the next edit.
func (j *Job) Value(c *check.Cell) *value.Column { return j.Engine.Value(engine.ID(c.ID)) }

// State gives the worst state of a cell.
func (j *Job) State(c *check.Cell) value.State { return j.Engine.State(engine.ID(c.ID)) }

// Causes gives why a cell is not ok.
func (j *Job) Causes(c *check.Cell) []engine.Cause { return j.Engine.Causes(engine.ID(c.ID)) }

// Users gives the cells that rest on a cell, nearest first as the engine has them.
func (j *Job) Users(c *check.Cell) []*check.Cell {
	var out []*check.Cell
	for _, id := range j.Engine.Users(engine.ID(c.ID)) {
		if u := j.cells[id]; u != nil {
			out = append(out, u)
		}
	}
	return out
}

// Line computes a line over a sheet without changing it. The value, and the marks of its rows, hold until the next line.
func (j *Job) Line(s *check.Sheet, src *diag.Source) (*check.Cell, *value.Column, value.State, []engine.Cause, diag.List) {
	defer j.begin()()
	if j.files != nil { // a file that only the line reads is no part of the job
		was := maps.Clone(j.files.kept)
		defer func() { j.files.kept = was }()
	}
	cell, ms := s.Line(src)
	if cell == nil || ms.Mistakes() > 0 {
		return nil, nil, value.Mistake, nil, ms
	}
	j.clearLine()
	id := j.Engine.Reserve(1)[0]
	cell.ID = int32(id)
	change, err := j.Engine.Apply(engine.Edit{Put: []engine.Put{{ID: id, Formula: formula(cell)}}})
	if err != nil {
		ms.Add(diag.New(src, src.Whole(), err.Error(), ""))
		return nil, nil, value.Mistake, nil, ms
	}
	j.line = change.Inverse
	return cell, j.Engine.Value(id), j.Engine.State(id), j.Engine.Causes(id), ms
}

// clearLine takes the last line out of the engine.
func (j *Job) clearLine() {
	if _, err := j.Engine.Apply(j.line); err != nil {
		panic(fmt.Sprintf("a line could not be taken out again: %v", err))
	}
	j.line = engine.Edit{}
}

// Words gives the text of a title, section or check, or nothing where it is not known.
func (j *Job) Words(c *check.Cell) string {
	if c == nil || c.ID < 0 {
		return ""
	}
	v := j.Value(c)
	if len(v.Text) != 1 || j.State(c) == value.Mistake {
		return ""
	}
	return v.Text[0]
}
