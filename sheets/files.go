package sheets

import (
	"crypto/sha256"
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/grid"
)

// shipped are the starter sheets and the whole projects that the program carries.
//
//go:embed library examples
var shipped embed.FS

// files gives a job what it takes from its folder and from the library.
type files struct {
	folder string
	kept   map[string]*kept // by path, as it was read
	grids  map[string]*grid.Grid
}

// maxRead is the largest file that a sheet may take rows or a part from, in bytes.
const maxRead = 1 << 30

// kept is a file as it was when it was read.
type kept struct {
	text    []byte
	digest  [32]byte
	err     error
	most    int64                    // the most bytes that were to be read
	objects map[*catalogue.File]made // what was made of it
}

// made is an object made of a file, or why it cannot be.
type made struct {
	object interface{}
	err    error
}

func newFiles(folder string) *files {
	return &files{folder: folder, kept: map[string]*kept{}, grids: map[string]*grid.Grid{}}
}

// inside gives where a path of a sheet stands: inside the job's folder, whatever links lead out of it (ruling 36).
func (f *files) inside(name string) (string, error) {
	outside := fmt.Errorf("the path %s does not lie inside the job's folder", name)
	if name == "" || !filepath.IsLocal(filepath.FromSlash(name)) || strings.Contains(name, `\`) {
		return "", outside
	}
	whole := filepath.Join(f.folder, filepath.FromSlash(name))
	home, err := filepath.EvalSymlinks(f.folder)
	if err != nil {
		return "", plain(f.folder, err)
	}
	real, err := filepath.EvalSymlinks(whole)
	if err != nil {
		return "", plain(name, err)
	}
	if rel, err := filepath.Rel(home, real); err != nil || !filepath.IsLocal(rel) {
		return "", outside
	}
	return whole, nil
}

// read gives a file of the job's folder, once.
func (f *files) read(name string) *kept { return f.readUpTo(name, maxRead) }

// readUpTo is as read, and refuses a file of more bytes. One that was refused for fewer is read again.
func (f *files) readUpTo(name string, most int64) *kept {
	if k := f.kept[name]; k != nil && (k.err == nil || most <= k.most) {
		return k
	}
	k := f.fresh(name, most)
	f.kept[name] = k
	return k
}

func (f *files) fresh(name string, most int64) *kept {
	k := &kept{most: most}
	at, err := f.inside(name)
	if err != nil {
		k.err = sentence(err)
		return k
	}
	info, err := os.Stat(at)
	switch {
	case err != nil:
		k.err = sentence(plain(name, err))
	case !info.Mode().IsRegular():
		k.err = fmt.Errorf("The path %s leads to no ordinary file.", name)
	case info.Size() > most:
		k.err = fmt.Errorf("The file %s is larger than %d MiB.", name, most>>20)
	default:
		if k.text, err = os.ReadFile(at); err != nil {
			k.err = sentence(plain(name, err))
		}
		k.digest = sha256.Sum256(k.text)
	}
	return k
}

func sentence(err error) error {
	s := err.Error()
	if s == "" {
		return err
	}
	return fmt.Errorf("%s%s.", strings.ToUpper(s[:1]), strings.TrimSuffix(s[1:], "."))
}

// Part gives the text of another sheet of the job's folder.
func (f *files) Part(name string) (check.Text, error) {
	if !strings.HasSuffix(name, Extension) {
		return check.Text{}, fmt.Errorf("The file %s is no sheet: the name of a sheet ends with %s.", name, Extension)
	}
	k := f.read(name)
	return check.Text{Name: strings.TrimSuffix(name, Extension), Text: string(k.text)}, k.err
}

// Library gives a starter sheet.
func (f *files) Library(name string) (check.Text, error) {
	text, err := shipped.ReadFile("library/" + name + Extension)
	if err != nil {
		names := Starters()
		way := diag.DidYouMean(diag.Near(name, names))
		if way == "" {
			way = "It has " + diag.Or(names) + "."
		}
		return check.Text{}, fmt.Errorf("The library has no starter sheet %s. %s", name, way)
	}
	return check.Text{Name: name, Text: string(text)}, nil
}

// Starters lists the starter sheets of the library.
func Starters() []string { return shippedNames("library", Extension) }

// Examples lists the whole projects that the program carries.
func Examples() []string { return shippedNames("examples", "") }

func shippedNames(folder, ending string) []string {
	entries, _ := fs.ReadDir(shipped, folder)
	var out []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ending) && (ending != "" || e.IsDir()) {
			out = append(out, strings.TrimSuffix(e.Name(), ending))
		}
	}
	sort.Strings(out)
	return out
}

// Grid gives the rows of a delimited file of the job's folder.
func (f *files) Grid(name string, o grid.Options) (*grid.Grid, error) {
	k := f.read(name)
	if k.err != nil {
		return nil, k.err
	}
	key := fmt.Sprintf("%s|%+v|%x", name, o, k.digest)
	if g := f.grids[key]; g != nil {
		return g, nil
	}
	g, err := grid.Read(k.text, o)
	if err != nil {
		return nil, err
	}
	f.grids[key] = g
	return g, nil
}

// Object gives what is made of a file of the job's folder, made once.
func (f *files) Object(name string, as *catalogue.File) (interface{}, error) {
	k := f.readUpTo(name, as.Most)
	if k.err != nil {
		return nil, fmt.Errorf("%s%s", k.err, f.wayTo(name))
	}
	m, ok := k.objects[as]
	if !ok {
		m.object, m.err = as.Read(path.Clean(name), k.text)
		if k.objects == nil {
			k.objects = map[*catalogue.File]made{}
		}
		k.objects[as] = m
	}
	return m.object, m.err
}

// wayTo says what can be done about a file that is not there: the nearest of the files beside it.
func (f *files) wayTo(name string) string {
	at := filepath.Join(f.folder, filepath.FromSlash(name))
	if _, err := os.Lstat(at); !filepath.IsLocal(filepath.FromSlash(name)) || !os.IsNotExist(err) {
		return ""
	}
	var names []string
	entries, _ := os.ReadDir(filepath.Dir(at))
	for _, e := range entries {
		if filepath.Ext(e.Name()) == filepath.Ext(at) {
			names = append(names, path.Join(path.Dir(name), e.Name()))
		}
	}
	if way := diag.DidYouMean(diag.Near(name, names)); way != "" {
		return " " + way
	}
	return " Put it into the job's folder, beside the sheets."
}

// changed lists the files that are no longer what they were when they were read.
func (f *files) changed() []string {
	var out []string
	for name, k := range f.kept {
		now := f.fresh(name, k.most)
		if (now.err == nil) != (k.err == nil) || now.digest != k.digest {
			out = append(out, path.Clean(name))
		}
	}
	sort.Strings(out)
	return out
}

// Files gives the texts of the files that a job has read besides its sheets, by their paths from its folder: rows, and
// sheets taken as parts.
func (j *Job) Files() map[string]string {
	out := map[string]string{}
	if j.files == nil {
		return out
	}
	for name, k := range j.files.kept {
		if k.err == nil {
			out[path.Clean(name)] = string(k.text)
		}
	}
	return out
}
