package disk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"syscall"
)

// Reason says in plain words why something could not be written, with the way out where there is one.
func Reason(err error) string {
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return "the disk is full; make room on it and try again"
	case errors.Is(err, syscall.EDQUOT):
		return "your share of the disk is used up; make room and try again"
	case errors.Is(err, syscall.EFBIG):
		return "the file would be larger than is allowed here"
	case errors.Is(err, syscall.EROFS):
		return "the disk can only be read; put the job on another one"
	case errors.Is(err, syscall.EIO):
		return "the disk reports a fault; copy the job to another one"
	case errors.Is(err, syscall.EISDIR):
		return "that is a folder; name a file"
	case errors.Is(err, syscall.ENOTDIR):
		return "a file stands where a folder is wanted"
	case errors.Is(err, syscall.ENAMETOOLONG):
		return "the name is too long; choose a shorter one"
	case errors.Is(err, syscall.EMFILE), errors.Is(err, syscall.ENFILE):
		return "too many files are open; close some programs and try again"
	case errors.Is(err, fs.ErrPermission):
		return "you may not write there; ask the owner of the folder, or work on a copy of your own"
	case errors.Is(err, fs.ErrNotExist):
		return "the folder is not there any more"
	}
	return bare(err)
}

// bare is the system's own text for an error, without the operation and the path that Go puts in front.
func bare(err error) string {
	var path *fs.PathError
	var link *os.LinkError
	var call *os.SyscallError
	switch {
	case errors.As(err, &path):
		err = path.Err
	case errors.As(err, &link):
		err = link.Err
	case errors.As(err, &call):
		err = call.Err
	}
	// A number that the system has no text for tells a reader nothing.
	if text := err.Error(); !strings.Contains(text, "errno") {
		return text
	}
	return "the system refused it without saying why"
}

// failure is a sentence that keeps its cause for errors.Is, without its text.
type failure struct {
	sentence string
	cause    error
}

func (f *failure) Error() string { return f.sentence }
func (f *failure) Unwrap() error { return f.cause }

// unchanged is the error for a file that could not be written or put in its place while all are still as they were.
func unchanged(name string, err error) error {
	return &failure{fmt.Sprintf("%s could not be written, and nothing was changed: %s", name, Reason(err)), err}
}

// stopped is the error for a renaming that failed after others went well.
func stopped(done, rest []string, err error) error {
	return &failure{fmt.Sprintf("%s replaced, but %s not: %s", were(done), were(rest), Reason(err)), err}
}

// unconfirmed is the error for a file that is in its place while its folder could not be synced.
func unconfirmed(done, rest []string, err error) error {
	text := were(done) + " replaced, but the disk has not confirmed it"
	if len(rest) > 0 {
		text += ", and " + were(rest) + " not"
	}
	return &failure{text + ": " + Reason(err), err}
}

// were lists names with the verb that follows them.
func were(names []string) string {
	last := len(names) - 1
	if last == 0 {
		return names[0] + " was"
	}
	return strings.Join(names[:last], ", ") + " and " + names[last] + " were"
}
