// Package sheets holds sheets on disk: text files and job folders, and the job in memory that is made from them.
package sheets

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/value"
)

// Extension is the ending of a sheet's file name.
const Extension = ".sheet"

// maxFile is the largest sheet that is read, in bytes.
const maxFile = 64 << 20

// Sheet is a sheet of a job with its cells computed.
type Sheet struct {
	*check.Sheet
	Path string
	Job  *engine.Job
	IDs  []engine.ID // for each of the sheet's cells

	line engine.Edit // takes the last line out again
}

// Job is a folder of sheets, or one sheet alone.
type Job struct {
	Path   string
	Sheets []*Sheet // by name
}

// Open reads and computes a job. The error is for what cannot be read; mistakes in a sheet are its messages and states.
func Open(path string, c *check.Checker) (*Job, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, plain(path, err)
	}
	files := []string{path}
	if info.IsDir() {
		if files, err = list(path); err != nil {
			return nil, err
		}
	} else if !strings.HasSuffix(path, Extension) {
		return nil, fmt.Errorf("%s is no sheet: the name of a sheet ends with %s", path, Extension)
	}
	j := &Job{Path: path}
	for _, f := range files {
		s, err := load(f, c)
		if err != nil {
			return nil, err
		}
		j.Sheets = append(j.Sheets, s)
	}
	return j, nil
}

func list(folder string) ([]string, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, plain(folder, err)
	}
	var files []string
	for _, e := range entries {
		if !e.IsDir() && strings.HasSuffix(e.Name(), Extension) {
			files = append(files, filepath.Join(folder, e.Name()))
		}
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("the folder %s holds no sheet; the name of a sheet ends with %s", folder, Extension)
	}
	sort.Strings(files)
	return files, nil
}

func load(path string, c *check.Checker) (*Sheet, error) {
	info, err := os.Stat(path)
	if err == nil && info.Size() > maxFile {
		return nil, fmt.Errorf("%s is larger than %d MiB", path, maxFile>>20)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, plain(path, err)
	}
	name := strings.TrimSuffix(filepath.Base(path), Extension)
	return Compute(c.Check(name, string(text)), path), nil
}

// plain says in words why a file cannot be read.
func plain(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("there is no file or folder %s", path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s may not be read by you", path)
	}
	return fmt.Errorf("%s cannot be read: %v", path, err)
}

// Compute puts the cells of a checked sheet into a job and works them out.
func Compute(s *check.Sheet, path string) *Sheet {
	out := &Sheet{Sheet: s, Path: path, Job: engine.New()}
	out.IDs = out.Job.Reserve(len(s.Cells))
	edit := engine.Edit{Put: make([]engine.Put, len(s.Cells))}
	for i := range s.Cells {
		edit.Put[i] = engine.Put{ID: out.IDs[i], Formula: out.formula(i)}
	}
	if _, err := out.Job.Apply(edit); err != nil {
		// The checker finds rings and unknown cells before the engine sees them.
		panic(fmt.Sprintf("a checked sheet was refused: %v", err))
	}
	return out
}

// formula is what a cell of the sheet computes; a mistake carries the message of the cell where it arose.
func (s *Sheet) formula(i int) engine.Formula {
	c := s.Cells[i]
	f := engine.Formula{Name: c.Name, Program: c.Program, Places: c.Places}
	if c.Fault != nil {
		root := c
		if c.Root >= 0 && s.Cells[c.Root].Fault != nil {
			root = s.Cells[c.Root]
		}
		x := Fault(root)
		f.Fault, f.Program, f.Places = &x, nil, nil
		return f
	}
	for _, in := range c.Inputs {
		f.Inputs = append(f.Inputs, s.IDs[in])
	}
	return f
}

// Fault is the cause that a mistake in a cell's text makes.
func Fault(c *check.Cell) engine.Cause {
	x := engine.Cause{State: value.Mistake, Kind: engine.Failure, Cell: c.Name, Text: c.Fault.Text, WayOut: c.Fault.WayOut}
	x.Place.Source, x.Place.Span = c.Fault.Source, c.Fault.Span
	return x
}

// Line computes a line over the sheet without changing it. The value, and the marks of its rows, hold until the next
// line.
func (s *Sheet) Line(src *diag.Source) (*check.Cell, *value.Column, value.State, []engine.Cause, diag.List) {
	cell, ms := s.Sheet.Line(src)
	if cell == nil || ms.Mistakes() > 0 {
		return nil, nil, value.Mistake, nil, ms
	}
	f := engine.Formula{Name: cell.Name, Program: cell.Program, Places: cell.Places}
	for _, in := range cell.Inputs {
		f.Inputs = append(f.Inputs, s.IDs[in])
	}
	if _, err := s.Job.Apply(s.line); err != nil {
		panic(fmt.Sprintf("a line could not be taken out again: %v", err))
	}
	s.line = engine.Edit{}
	id := s.Job.Reserve(1)[0]
	change, err := s.Job.Apply(engine.Edit{Put: []engine.Put{{ID: id, Formula: f}}})
	if err != nil {
		ms.Add(diag.New(src, diag.Span{From: 0, To: len(src.Text)}, err.Error(), ""))
		return nil, nil, value.Mistake, nil, ms
	}
	s.line = change.Inverse
	return cell, s.Job.Value(id), s.Job.State(id), s.Job.Causes(id), ms
}

// CheckState says how a check stands.
type CheckState string

// The states of a check: on an open value it is not known yet (ruling 35).
const (
	Holds   CheckState = "holds"
	Fails   CheckState = "fails"
	Unknown CheckState = "unknown"
)

// CheckResult is one check with its words.
type CheckResult struct {
	check.Check
	State  CheckState
	Words  string
	Causes []engine.Cause
	Broken bool // the condition itself is a mistake
}

// CheckResults judges the checks of the sheet.
func (s *Sheet) CheckResults() []CheckResult {
	var out []CheckResult
	for _, k := range s.Checks {
		id := s.IDs[k.Cond]
		r := CheckResult{Check: k, State: Holds, Causes: s.Job.Causes(id)}
		v := s.Job.Value(id)
		switch s.Job.State(id) {
		case value.Open:
			r.State = Unknown
		case value.Mistake:
			r.State, r.Broken = Fails, true
		default:
			for _, x := range v.Num {
				if x == 0 {
					r.State = Fails
				}
			}
		}
		if k.Else >= 0 {
			if w := s.Job.Value(s.IDs[k.Else]); len(w.Text) == 1 && s.Job.State(s.IDs[k.Else]) < value.Open {
				r.Words = w.Text[0]
			}
		}
		out = append(out, r)
	}
	return out
}

// Words gives the text of a title, section or check, or nothing where it is not known.
func (s *Sheet) Words(cell int) string {
	if cell < 0 {
		return ""
	}
	v := s.Job.Value(s.IDs[cell])
	if len(v.Text) != 1 || s.Job.State(s.IDs[cell]) == value.Mistake {
		return ""
	}
	return v.Text[0]
}
