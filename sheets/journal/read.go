package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"

	"castwright/sheets/disk"
)

// What may be wrong with a journal, for errors.Is.
var (
	ErrForeign = errors.New("that is no journal")
	ErrLater   = errors.New("the journal is of a later version")
	ErrDamaged = errors.New("the journal is damaged")
	ErrEmpty   = errors.New("the journal was cut off where it begins") // of Open alone
)

// Content is what a journal holds.
type Content struct {
	Bases   []Base
	Entries []Entry

	// Torn tells that the last record was not whole and is left out. It is the mark of a crash in the middle of an edit
	// that was not yet confirmed.
	Torn bool

	records int   // whole ones, the bases with them
	whole   int64 // bytes up to the end of the last whole record
}

// Read reads a journal. A torn end is left out, and is no error. For a journal that is damaged in the middle the error is
// ErrDamaged, and the content is what stands before the damage; with any other error there is no content.
func Read(path string) (*Content, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return nil, tell(ErrForeign, "%s is no journal of castwright: it is no ordinary file", path)
	}
	data, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, tell(err, "there is no journal %s", path)
	case errors.Is(err, fs.ErrPermission):
		return nil, tell(err, "the journal %s may not be read by you; it was left as it is", path)
	case err != nil:
		return nil, tell(err, "the journal %s cannot be read: %s", path, disk.Reason(err))
	}
	return parse(path, data)
}

func parse(path string, data []byte) (*Content, error) {
	c := &Content{}
	if !bytes.HasPrefix(data, head) {
		if bytes.HasPrefix(head, data) {
			c.Torn = true // cut off within its first line
			return c, nil
		}
		return nil, foreign(path, data)
	}
	c.whole = int64(len(head))
	for {
		text, n := nextRecord(data[c.whole:])
		if n == 0 {
			break
		}
		if !c.add(text) {
			return c, c.damaged(path)
		}
		c.whole += int64(n)
	}
	tail := data[c.whole:]
	if holdsRecord(tail) {
		return c, c.damaged(path)
	}
	c.Torn = len(tail) > 0 || c.records == 0
	return c, nil
}

// add takes a whole record up. It is false for one that does not belong there: a line is gone, or the file was written
// by something else.
func (c *Content) add(text []byte) bool {
	var r record
	if strictJSON(text, &r) != nil || r.Number != c.records {
		return false
	}
	if first := r.Number == 0; first && r.Edit != nil || !first && r.Bases != nil {
		return false
	}
	c.Bases = append(c.Bases, r.Bases...)
	c.Entries = append(c.Entries, r.Edit...)
	c.records++
	return true
}

// foreign is the error for a file that does not begin as a journal of this version does.
func foreign(path string, data []byte) error {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	if digits, ok := bytes.CutPrefix(line, []byte(title)); ok {
		if v, err := strconv.Atoi(string(digits)); err == nil && v > version {
			return tell(ErrLater, "the journal %s was written by a later castwright, which alone can read it; it was left as it is", path)
		}
	}
	return tell(ErrForeign, "%s is no journal of castwright, or its first line is damaged; it was left as it is", path)
}

func (c *Content) damaged(path string) error {
	const kept = "the file was left as it is"
	switch c.records {
	case 0:
		return tell(ErrDamaged, "the journal %s is damaged where it begins, so that none of its edits can be taken up; %s", path, kept)
	case 1:
		return tell(ErrDamaged, "the journal %s is damaged at its edit 1, and none stands before it; %s", path, kept)
	case 2:
		return tell(ErrDamaged, "the journal %s is damaged at its edit 2; edit 1 is whole, and %s", path, kept)
	}
	return tell(ErrDamaged, "the journal %s is damaged at its edit %d; the edits 1 to %d are whole, and %s", path, c.records, c.records-1, kept)
}

// failure is a sentence that keeps its cause for errors.Is, without its text.
type failure struct {
	sentence string
	cause    error
}

func (f *failure) Error() string { return f.sentence }
func (f *failure) Unwrap() error { return f.cause }

func tell(cause error, format string, parts ...any) error {
	return &failure{fmt.Sprintf(format, parts...), cause}
}
