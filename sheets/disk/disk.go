// Package disk puts texts on disk in such a way that a file is whole at every moment, whatever happens to the program or
// the power, and holds the locks that keep two programs from changing the same files.
package disk

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"syscall"
)

const (
	// pattern names the files that are written beside their targets. One that is found while no program runs was left
	// behind by a crash, and nothing is in it that anybody was told is safe.
	pattern = ".castwright-*"

	// newMode is the mode of a file that did not exist.
	newMode = 0o644

	// maxLinks is how many symbolic links are followed one after another before they are taken for a ring, as many as
	// the kernel of Linux follows (path_resolution(7)).
	maxLinks = 40
)

// Replace puts a new text in the place of a file, or makes the file. The text is written beside it and synced, then
// renamed over it, so that at every moment either the old text or the new one is there, whole. The mode is kept, and a
// symbolic link is followed and stays; a file that is protected against writing is refused. An owner other than the
// writer is not kept, nor are the file's further names (hard links).
//
// On an error the file is as it was, save where the error says that the new text is in its place already and only the
// disk has not confirmed it.
func Replace(path string, text []byte) error {
	return actual.replaceAll(map[string][]byte{path: text})
}

// ReplaceAll puts new texts in the places of several files, each as Replace does. All are written and synced beside
// their targets before the first is renamed, in the order of their names. If one cannot be written nothing is changed;
// if a renaming fails midway, which after the writing is hardly possible, the error says which files were replaced and
// which were not.
func ReplaceAll(files map[string][]byte) error {
	return actual.replaceAll(files)
}

// SyncFolder makes the names in a folder safe on disk: those that were made, renamed or removed.
func SyncFolder(path string) error {
	return actual.syncFolder(path)
}

// system is what the package asks of the file system; the tests put a failing one in its place.
type system struct {
	writable   func(path string) error
	create     func(folder, pattern string) (*os.File, error)
	write      func(f *os.File, text []byte) error
	sync       func(f *os.File) error
	rename     func(from, to string) error
	syncFolder func(path string) error
}

var actual = system{
	writable:   writable,
	create:     os.CreateTemp,
	write:      func(f *os.File, text []byte) error { _, err := f.Write(text); return err },
	sync:       (*os.File).Sync,
	rename:     os.Rename,
	syncFolder: syncFolder,
}

// writable tells whether a file may be written. Renaming over it would succeed even where it may not.
func writable(path string) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return f.Close()
}

func syncFolder(path string) error {
	if runtime.GOOS == "windows" {
		return nil // there a folder cannot be synced, and a renaming needs no sync
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	err = f.Sync()
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.EINVAL) {
		return nil // some network disks know no sync of a folder: nothing more can be done there
	}
	return err
}

// draft is a text that stands, synced, beside the file in whose place it shall be put.
type draft struct {
	name   string // as the caller wrote it
	temp   string
	target string
	info   fs.FileInfo // of the target, nil where it does not exist
}

func (d draft) folder() string {
	folder, _ := split(d.target)
	return folder
}

func (s system) replaceAll(files map[string][]byte) error {
	var ready []draft
	defer func() {
		for _, r := range ready {
			os.Remove(r.temp)
		}
	}()
	names := slices.Sorted(maps.Keys(files))
	for _, name := range names {
		r, err := s.draft(name, files[name])
		if err != nil {
			return unchanged(name, err)
		}
		ready = append(ready, r)
	}
	if a, b, ok := twice(ready); ok {
		return fmt.Errorf("%s and %s are one and the same file, and nothing was changed", a, b)
	}
	for i, name := range names {
		if err := s.rename(ready[0].temp, ready[0].target); err != nil {
			if i == 0 {
				return unchanged(name, err)
			}
			return stopped(names[:i], names[i:], err)
		}
		// At once, and not after the last: what an error below calls replaced is to be so after a power cut too.
		folder := ready[0].folder()
		ready = ready[1:]
		if err := s.syncFolder(folder); err != nil {
			return unconfirmed(names[:i+1], names[i+1:], err)
		}
	}
	return nil
}

// draft writes a text beside its target and syncs it; on an error nothing of it is left.
func (s system) draft(name string, text []byte) (draft, error) {
	d := draft{name: name}
	var err error
	if d.target, d.info, err = follow(name); err != nil {
		return d, err
	}
	mode := fs.FileMode(newMode)
	if d.info != nil {
		mode = d.info.Mode().Perm()
		if err := s.writable(d.target); err != nil {
			return d, err
		}
	}
	f, err := s.create(d.folder(), pattern)
	if err != nil {
		return d, err
	}
	d.temp = f.Name()
	if err = s.write(f, text); err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = s.sync(f)
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		os.Remove(d.temp)
	}
	return d, err
}

// follow finds the file that a name means: symbolic links are followed, also to a file that does not exist yet. Anything
// but an ordinary file is refused, since a renaming would put a file in the place of a device or a pipe.
func follow(path string) (string, fs.FileInfo, error) {
	for range maxLinks {
		folder, name := split(path)
		if name == "" {
			return "", nil, errors.New("that is a folder; name a file")
		}
		// Not joined with filepath.Join, which takes a `..` off a name that may be a link.
		path = folder + string(filepath.Separator) + name
		info, err := os.Lstat(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			if info, err := os.Stat(folder); err != nil || !info.IsDir() {
				return "", nil, fmt.Errorf("there is no folder %s; make it first", folder)
			}
			return path, nil, nil
		case err != nil:
			return "", nil, err
		case info.IsDir():
			return "", nil, errors.New("that is a folder; name a file")
		case info.Mode().IsRegular():
			return path, info, nil
		case info.Mode()&fs.ModeSymlink == 0:
			return "", nil, errors.New("that is no ordinary file but a device or a pipe; name another file")
		}
		to, err := os.Readlink(path)
		if err != nil {
			return "", nil, err
		}
		if !filepath.IsAbs(to) {
			to = folder + string(filepath.Separator) + to
		}
		path = to
	}
	return "", nil, errors.New("its symbolic links lead round in a ring; remove one of them")
}

// split cuts a path into its folder and the name in it. The folder is not tidied up: see follow.
func split(path string) (folder, name string) {
	folder, name = filepath.Split(path)
	if folder == "" {
		folder = "."
	}
	if len(folder) > 1 && os.IsPathSeparator(folder[len(folder)-1]) && filepath.VolumeName(folder) != folder[:len(folder)-1] {
		folder = folder[:len(folder)-1]
	}
	return folder, name
}

// twice finds two names that mean one file: the one text would overwrite the other.
func twice(ready []draft) (a, b string, ok bool) {
	for i, r := range ready {
		for _, q := range ready[:i] {
			same := filepath.Clean(q.target) == filepath.Clean(r.target)
			if q.info != nil && r.info != nil {
				same = os.SameFile(q.info, r.info)
			}
			if same {
				return q.name, r.name, true
			}
		}
	}
	return "", "", false
}
