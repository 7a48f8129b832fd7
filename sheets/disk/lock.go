package disk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"

	"github.com/gofrs/flock"
)

// ErrHeld says that somebody else holds a lock, in another program or in this one.
var ErrHeld = errors.New("it is open in another place, where it may be changed; here it can be looked at until it is closed there")

// Lock is an exclusive lock, held by a side file. The side file is never the sheet itself, which is renamed over and
// would leave the lock behind on a file without a name.
type Lock struct {
	file *flock.Flock
}

// Acquire takes the lock that the side file at path stands for, and makes the file where there is none. It does not wait:
// where the lock is held, by another program or by this one, the error is ErrHeld at once. The system frees the lock of
// a program that ends in whatever way.
func Acquire(path string) (*Lock, error) {
	// To open a pipe would wait for somebody at its other end.
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("no lock can be taken at %s: it is no ordinary file; move it away", path)
	}
	// Whoever the folder is shared with must be able to open what another has made.
	f := flock.New(path, flock.SetPermissions(newMode))
	ok, err := f.TryLock()
	switch {
	case err != nil:
		f.Close()
		return nil, refused(path, err)
	case !ok:
		f.Close()
		return nil, ErrHeld
	}
	return &Lock{f}, nil
}

func refused(path string, err error) error {
	folder, _ := split(path)
	sentence := fmt.Sprintf("no lock can be taken at %s: %s", path, Reason(err))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		sentence = fmt.Sprintf("no lock can be taken at %s: there is no folder %s", path, folder)
	case errors.Is(err, fs.ErrPermission):
		sentence = fmt.Sprintf("no lock can be taken at %s: you may not write in the folder %s", path, folder)
	case errors.Is(err, errors.ErrUnsupported), errors.Is(err, syscall.ENOLCK):
		sentence = fmt.Sprintf("no lock can be taken at %s: this disk knows no locks; put the job on another one", path)
	}
	return &failure{sentence, err}
}

// Release gives the lock back. The side file stays: were it removed, a third program could lock a new one beside a
// second that still waits for the old. A lock that was given back is left alone.
func (l *Lock) Release() error {
	if err := l.file.Unlock(); err != nil {
		return fmt.Errorf("the lock %s was not given back: %s; it is free when this program ends", l.file.Path(), Reason(err))
	}
	return nil
}
