package sheets

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"castwright/lang/check"
	"castwright/lang/syntax"
	"castwright/lang/work"
	"castwright/sheets/disk"
)

// OpenOrNew opens a job; a sheet that is not there yet begins empty and is written when it is saved, and an empty path is a
// job that has no place on disk.
func OpenOrNew(path string, c *check.Checker, m *work.Meter) (*Job, error) {
	if path == "" {
		return opened(&Job{checker: c, meter: m}, []check.Text{{Name: "sheet"}})
	}
	_, err := os.Stat(path)
	if !errors.Is(err, os.ErrNotExist) || !strings.HasSuffix(path, Extension) {
		return OpenWatched(path, c, m)
	}
	name := strings.TrimSuffix(filepath.Base(path), Extension)
	if !syntax.IsName(name) {
		return nil, fmt.Errorf("a sheet cannot be called %s: a name is made of letters, digits and _, begins with a letter, and is no word of the language", name)
	}
	if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
		return nil, plain(filepath.Dir(path), os.ErrNotExist)
	}
	return opened(&Job{Path: path, checker: c, files: newFiles(filepath.Dir(path)), meter: m}, []check.Text{{Name: name}})
}

// Unwritten tells whether the job is a sheet that is not on disk yet, and is written when it is saved.
func (j *Job) Unwritten() bool {
	if j.store == nil || len(j.Sheets) != 1 || j.store.disk[j.Sheets[0].Name] != "" {
		return false
	}
	_, err := os.Stat(j.SheetPath(j.Sheets[0].Name))
	return errors.Is(err, os.ErrNotExist)
}

// IsFolder tells whether the job is a folder of sheets.
func (j *Job) IsFolder() bool { return j.Path != "" && folderOf(j.Path) == j.Path }

// AddSheet adds an empty sheet to a job's folder, as one step.
func (j *Job) AddSheet(name string) (*Report, error) {
	if !j.IsFolder() {
		return nil, refuse("A sheet that stands alone has no neighbours.", "Put it into a folder of its own, and open that.")
	}
	was := j.state()
	now := &state{kept: was.kept, texts: append(was.texts[:len(was.texts):len(was.texts)], check.Text{Name: name})}
	sortTexts(now.texts)
	r, err := j.become("sheet "+name, now)
	if err == nil {
		j.done, j.undone = append(j.done, step{label: r.Label, state: was}), nil
	}
	return r, err
}

// Place gives a job that has no place on disk one: its sheet is written there.
func (j *Job) Place(path string) error {
	if !strings.HasSuffix(path, Extension) {
		path += Extension
	}
	name := strings.TrimSuffix(filepath.Base(path), Extension)
	if !syntax.IsName(name) {
		return fmt.Errorf("a sheet cannot be called %s: a name is made of letters, digits and _, begins with a letter, and is no word of the language", name)
	}
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("there is a file %s already; choose another name", path)
	}
	text := j.Checked.Sheets[0].File.Print()
	if err := disk.Replace(path, []byte(text)); err != nil {
		return err
	}
	j.Path, j.files = path, newFiles(filepath.Dir(path))
	j.done, j.undone = nil, nil // the steps were those of a sheet of another name
	j.Checked = j.check([]check.Text{{Name: name, Text: text}})
	j.computeWhole()
	return nil
}

// LookOnly keeps a job from being changed.
func (j *Job) LookOnly(why error) {
	if j.store == nil {
		j.store = &store{}
	}
	j.store.readOnly = why
}

// Stop ends the edit that is being worked out; the job stays as it was before it.
func (j *Job) Stop() { j.meter.Stop() }

// Meter tells how far the work on the job is, and stops it.
func (j *Job) Meter() *work.Meter { return j.meter }

func sortTexts(texts []check.Text) {
	slices.SortFunc(texts, func(a, b check.Text) int { return strings.Compare(a.Name+Extension, b.Name+Extension) })
}

// Folder is the folder from which a job's parts and files are read; empty where it has no place on disk.
func (j *Job) Folder() string {
	if j.Path == "" {
		return ""
	}
	return folderOf(j.Path)
}
