package sheets

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"unicode"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
	"castwright/sheets/disk"
)

// maxCopied is how much a new job may take over from a folder, in bytes.
const maxCopied = 256 << 20

// New makes a job at a path from a starter sheet, an example, or a folder of one's own, and gives the names of the files.
// Answers of open cells are left out: it is a new job. Nothing is written where something stands already, and on an error
// nothing stays.
func New(path, from string, c *check.Checker) ([]string, error) {
	files, err := source(from)
	if err != nil {
		return nil, err
	}
	for name, text := range files {
		if strings.HasSuffix(name, Extension) {
			files[name] = reopened(name, text, c)
		}
	}
	if strings.HasSuffix(path, Extension) {
		return newSheet(path, from, files)
	}
	return newFolder(path, files)
}

// NewOf makes a job at a path of texts: one sheet, or a folder of sheets with the files that they read.
func NewOf(path string, texts []check.Text, files map[string]string) ([]string, error) {
	all, seen := map[string]string{}, map[string]bool{}
	for _, t := range texts {
		if !syntax.IsName(t.Name) {
			return nil, fmt.Errorf("%q cannot be the name of a sheet", t.Name)
		}
		name := t.Name + Extension
		if seen[strings.ToLower(name)] {
			return nil, fmt.Errorf("two sheets are called %s", t.Name)
		}
		seen[strings.ToLower(name)], all[name] = true, t.Text
	}
	if len(texts) == 0 {
		return nil, errors.New("there is no sheet to make a job of")
	}
	for name, text := range files {
		switch {
		case !filepath.IsLocal(filepath.FromSlash(name)):
			return nil, fmt.Errorf("the file %q would lie outside the new job", name)
		case !plainFile(name):
			return nil, fmt.Errorf("%q cannot be the name of a file of a job", name)
		case seen[strings.ToLower(name)]:
			return nil, fmt.Errorf("two files are called %s", name)
		}
		seen[strings.ToLower(name)], all[name] = true, text
	}
	if strings.HasSuffix(path, Extension) {
		return newSheet(path, "the workbook", all)
	}
	return newFolder(path, all)
}

// plainFile tells whether a name is that of a file which a sheet may read: nothing hidden, and nothing that castwright keeps
// there for itself.
func plainFile(name string) bool {
	for _, part := range strings.Split(name, "/") {
		if part == "" || strings.HasPrefix(part, ".") || strings.Contains(part, ".journal") {
			return false
		}
	}
	return !strings.ContainsFunc(name, func(r rune) bool { return r == '\\' || unicode.IsControl(r) })
}

// Beside makes a job in memory of other texts, which reads the files of this job: as when a workbook was written from it.
func (j *Job) Beside(texts ...check.Text) *Job {
	out := &Job{checker: j.checker}
	var files check.Files
	if j.Path != "" {
		out.files = newFiles(folderOf(j.Path))
		files = out.files
	}
	out.Checked = j.checker.Open(texts, files)
	out.compute()
	return out
}

// source gives the files that a new job is made from.
func source(from string) (map[string]string, error) {
	if text, err := shipped.ReadFile("library/" + from + Extension); err == nil {
		return map[string]string{from + Extension: string(text)}, nil
	}
	for _, e := range Examples() {
		if e == from {
			return folderFiles(shipped, "examples/"+from)
		}
	}
	if info, err := os.Stat(from); err == nil {
		if info.IsDir() {
			return folderFiles(os.DirFS(from), ".")
		}
		if strings.HasSuffix(from, Extension) {
			text, err := readSheet(from)
			return map[string]string{filepath.Base(from): text}, err
		}
	}
	names := append(Starters(), Examples()...)
	way := diag.DidYouMean(diag.Near(from, names))
	if way == "" {
		way = fmt.Sprintf("Starter sheets are %s; examples are %s; a folder of your own will do too.", strings.Join(Starters(), ", "), strings.Join(Examples(), ", "))
	}
	return nil, fmt.Errorf("there is no starter sheet, example or folder %s. %s", from, strings.TrimSuffix(way, "."))
}

// folderFiles reads the sheets of a folder, and the files beside them that they may read; what castwright keeps there for
// itself, and what is hidden, is left out.
func folderFiles(fsys fs.FS, root string) (map[string]string, error) {
	files := map[string]string{}
	total, sheets := int64(0), 0
	err := fs.WalkDir(fsys, root, func(name string, d fs.DirEntry, err error) error {
		base := filepath.Base(name)
		switch {
		case err != nil:
			return err
		case name != root && strings.HasPrefix(base, "."):
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		case d.IsDir(), !d.Type().IsRegular(), strings.Contains(base, ".journal"):
			return nil
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		if total += info.Size(); total > maxCopied {
			return fmt.Errorf("it holds more than %d MiB", maxCopied>>20)
		}
		text, err := fs.ReadFile(fsys, name)
		if err != nil {
			return err
		}
		rel := strings.TrimPrefix(strings.TrimPrefix(name, root), "/")
		if root == "." {
			rel = name
		}
		files[rel] = string(text)
		if strings.HasSuffix(rel, Extension) && !strings.Contains(rel, "/") {
			sheets++
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("the folder cannot be copied: %s", disk.Reason(err))
	}
	if sheets == 0 {
		return nil, fmt.Errorf("the folder holds no sheet; the name of a sheet ends with %s", Extension)
	}
	return files, nil
}

// reopened gives the text of a sheet without the answers of its open cells. Where an answer alone says what the cell is
// measured in, it stays.
func reopened(name, text string, c *check.Checker) string {
	j := Memory(c, check.Text{Name: strings.TrimSuffix(filepath.Base(name), Extension), Text: text})
	s := j.Sheets[0]
	var splices []Splice
	for _, it := range Answered(s.File) {
		ask := it.Statement.(*syntax.Ask)
		if ask.Shown == nil && ask.Assume == nil {
			continue
		}
		plan, err := j.Drop(s, ask.Name.Name, true)
		if err != nil {
			continue
		}
		splices = append(splices, plan.Splices...)
	}
	splices, err := ordered(splices)
	if err != nil {
		return text
	}
	for _, x := range splices {
		text = text[:x.At] + x.Is + text[x.At+len(x.Was):]
	}
	return text
}

// newSheet writes one sheet.
func newSheet(path, from string, files map[string]string) ([]string, error) {
	if len(files) != 1 {
		return nil, fmt.Errorf("the source %s holds several files; give the new job a folder, as %s", from, strings.TrimSuffix(path, Extension))
	}
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there is a file %s already; choose another name", path)
	}
	for _, text := range files {
		if err := disk.Replace(path, []byte(text)); err != nil {
			return nil, err
		}
	}
	return []string{filepath.Base(path)}, nil
}

// newFolder writes a folder beside its place and renames it there when it is whole.
func newFolder(path string, files map[string]string) ([]string, error) {
	if entries, err := os.ReadDir(path); err == nil && len(entries) > 0 {
		return nil, fmt.Errorf("the folder %s holds something already; choose another name", path)
	} else if _, err := os.Lstat(path); err != nil && !errors.Is(err, fs.ErrNotExist) || err == nil && entries == nil && !isFolder(path) {
		return nil, fmt.Errorf("there is a file %s already; choose another name", path)
	}
	draft, err := os.MkdirTemp(filepath.Dir(filepath.Clean(path)), ".castwright-*")
	if err != nil {
		return nil, fmt.Errorf("no folder can be made at %s: %s", path, disk.Reason(err))
	}
	defer os.RemoveAll(draft)
	var names []string
	for name, text := range files {
		at := filepath.Join(draft, filepath.FromSlash(name))
		err := os.MkdirAll(filepath.Dir(at), 0o755)
		if err == nil {
			err = disk.Replace(at, []byte(text))
		}
		if err != nil {
			return nil, fmt.Errorf("the new job was not made: %s", disk.Reason(err))
		}
		names = append(names, name)
	}
	sort.Strings(names)
	err = os.Chmod(draft, 0o755)
	if err == nil {
		if err = os.Remove(path); errors.Is(err, fs.ErrNotExist) {
			err = nil
		}
	}
	if err == nil {
		err = os.Rename(draft, path)
	}
	if err != nil {
		return nil, fmt.Errorf("the new job was not made: %s", disk.Reason(err))
	}
	return names, disk.SyncFolder(filepath.Dir(filepath.Clean(path)))
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}
