package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"unicode/utf8"

	"castwright/sheets/disk"
)

// Writer adds edits to a journal. It is for one goroutine, and for one program at a time: whoever writes holds the lock
// of the job (disk.Acquire).
type Writer struct {
	path    string
	file    file
	end     int64 // of the last whole record
	records int
	litter  bool // something that was not confirmed may stand behind end
	closed  bool
}

// file is what a Writer asks of its file; the tests put a failing one in its place.
type file interface {
	WriteAt(b []byte, at int64) (int, error)
	Truncate(size int64) error
	Sync() error
	Close() error
}

// Create begins a journal anew. Another one at the path is replaced only when the new one is whole on disk.
func Create(path string, bases []Base) (*Writer, error) {
	for _, b := range bases {
		if !utf8.ValidString(b.Sheet) {
			return nil, badName(b.Sheet)
		}
	}
	line, err := record{Bases: bases}.line()
	if err != nil {
		return nil, tell(err, "the journal %s could not be begun: %s", path, disk.Reason(err))
	}
	text := append(append([]byte(nil), head...), line...)
	if err := disk.Replace(path, text); err != nil {
		return nil, err
	}
	return resume(path, &Content{records: 1, whole: int64(len(text))})
}

// Open goes on with a journal, after cutting a torn end off, and gives what it holds. A journal that was cut off
// before the end of record 0 cannot be gone on with (ErrEmpty): there is nothing in it, and Create begins a new one. Where
// the journal is damaged there is no Writer, but the content of Read.
func Open(path string) (*Writer, *Content, error) {
	c, err := Read(path)
	if err != nil {
		return nil, c, err
	}
	if c.records == 0 {
		return nil, c, tell(ErrEmpty, "the journal %s was cut off where it begins; there is nothing in it to take up", path)
	}
	w, err := resume(path, c)
	if err != nil {
		return nil, c, err
	}
	if !c.Torn {
		return w, c, nil
	}
	if err := w.cut(); err != nil {
		w.Close()
		return nil, c, tell(err, "the torn end of the journal %s could not be cut off; its whole edits are kept: %s", path, disk.Reason(err))
	}
	return w, c, nil
}

func resume(path string, c *Content) (*Writer, error) {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return nil, tell(err, "the journal %s cannot be written: %s", path, disk.Reason(err))
	}
	return &Writer{path: path, file: f, end: c.whole, records: c.records}, nil
}

// Append writes the entries of one edit and syncs them. When it returns without an error they are safe; all of them are
// read back, or, where it fails or the program ends before it returns, none of them or all. After an error the journal
// is cut back to what it was. Where even that fails the error says so, and it is tried again before the next edit is
// written.
func (w *Writer) Append(entries ...Entry) error {
	if w.closed {
		return fmt.Errorf("the journal %s is closed, so the edit was not kept", w.path)
	}
	if len(entries) == 0 {
		return nil
	}
	for _, e := range entries {
		if !utf8.ValidString(e.Sheet) {
			return badName(e.Sheet)
		}
	}
	line, err := record{Number: w.records, Edit: entries}.line()
	if err != nil {
		return tell(err, "the edit was not kept: %s", disk.Reason(err))
	}
	if w.litter {
		if err := w.cut(); err != nil {
			return w.stuck(err)
		}
	}
	_, err = w.file.WriteAt(line, w.end)
	if err == nil {
		err = w.file.Sync()
	}
	if err != nil {
		if e := w.cut(); e != nil {
			return w.stuck(err)
		}
		return tell(err, "the edit was not kept, all edits before it are safe in the journal %s: %s", w.path, disk.Reason(err))
	}
	w.end += int64(len(line))
	w.records++
	return nil
}

// cut takes off whatever stands behind the last whole record.
func (w *Writer) cut() error {
	w.litter = true
	if err := w.file.Truncate(w.end); err != nil {
		return err
	}
	if err := w.file.Sync(); err != nil {
		return err
	}
	w.litter = false
	return nil
}

// stuck is the error for a journal that could not be cut back after a failure.
func (w *Writer) stuck(err error) error {
	return tell(err, "the edit was not kept, and the journal %s takes no more edits until the disk works again; "+
		"all edits confirmed before are safe in it: %s", w.path, disk.Reason(err))
}

func badName(sheet string) error {
	return fmt.Errorf("the edit was not kept: the name of the sheet %q is not written in UTF-8; rename its file", sheet)
}

// Close ends the writing and leaves the journal where it is.
func (w *Writer) Close() error {
	if w.closed {
		return nil
	}
	w.closed = true
	if err := w.file.Close(); err != nil {
		return tell(err, "the journal %s was not closed as it should be, but each edit that was confirmed is safe in it: %s", w.path, disk.Reason(err))
	}
	return nil
}

// Remove ends the writing and removes the journal: all is saved.
func (w *Writer) Remove() error {
	w.Close() // whatever it says is of no weight for a file that goes
	return Remove(w.path)
}

// Remove removes a journal that nobody writes any more: all is saved. One that is gone already is no error.
func Remove(path string) error {
	err := os.Remove(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil {
		err = disk.SyncFolder(filepath.Dir(path))
	}
	if err != nil {
		return tell(err, "the journal %s could not be removed, though all is saved: %s", path, disk.Reason(err))
	}
	return nil
}
