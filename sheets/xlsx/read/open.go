package read

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"unicode/utf8"
)

// refusal says why a workbook was not read. It is a sentence that keeps its cause for errors.Is.
type refusal struct {
	name  string // of the file
	why   string
	cause error
}

func (r *refusal) Error() string {
	if r.name == "" {
		return "The workbook cannot be read: " + r.why + "."
	}
	return r.name + " cannot be read: " + r.why + "."
}

func (r *refusal) Unwrap() error { return r.cause }

func refuse(format string, args ...any) error { return &refusal{why: fmt.Sprintf(format, args...)} }

// damaged refuses a workbook whose parts contradict the standard or one another.
func damaged(format string, args ...any) error {
	return refuse("it is damaged (%s); fetch it again, or save it anew in the program that made it", fmt.Sprintf(format, args...))
}

// Open reads the workbook in a file.
func Open(path string, l Limits) (*Workbook, error) {
	w, err := openFile(path, l)
	var r *refusal
	if errors.As(err, &r) {
		r.name = filepath.Base(path)
	}
	return w, err
}

func openFile(path string, l Limits) (*Workbook, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, &refusal{why: reason(err), cause: err}
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, &refusal{why: reason(err), cause: err}
	case info.IsDir():
		return nil, refuse("it is a folder; name a file")
	case !info.Mode().IsRegular():
		return nil, refuse("it is no plain file")
	}
	return Read(f, info.Size(), l)
}

func reason(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		return "you may not read it; ask the owner of the file"
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return err.Error()
}

// Read reads the workbook in the first size bytes of r.
func Read(r io.ReaderAt, size int64, l Limits) (*Workbook, error) {
	l = l.filled()
	if size > l.File {
		return nil, refuse("its file is larger than %s", bytesText(l.File))
	}
	if err := sniff(r, size); err != nil {
		return nil, err
	}
	p, err := openPack(r, size, l)
	if err != nil {
		return nil, err
	}
	return (&reader{pack: p, limits: l, book: &Workbook{Parts: map[string][]byte{}}}).read()
}

// bytesText writes a size for a reader.
func bytesText(n int64) string {
	for _, u := range []struct {
		size int64
		name string
	}{{1 << 30, "GiB"}, {1 << 20, "MiB"}, {1 << 10, "KiB"}} {
		if n >= u.size {
			return fmt.Sprintf("%.4g %s", float64(n)/float64(u.size), u.name)
		}
	}
	return fmt.Sprintf("%d bytes", n)
}

// The first bytes of a file that tell what it is: a zip package, a compound file.
const (
	zipStart      = "PK\x03\x04"
	zipEmpty      = "PK\x05\x06"
	compoundStart = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"
)

// sniff refuses what is no zip package, and says what it is as far as its bytes tell.
func sniff(r io.ReaderAt, size int64) error {
	head := make([]byte, 512)
	n, err := r.ReadAt(head[:min(size, 512)], 0)
	if err != nil && !(err == io.EOF && int64(n) == min(size, 512)) {
		return &refusal{why: reason(err), cause: err}
	}
	head = head[:n]
	switch {
	case n == 0:
		return refuse("it is empty")
	case bytes.HasPrefix(head, []byte(zipStart)):
		return nil
	case bytes.HasPrefix(head, []byte(zipEmpty)):
		return refuse("it is a zip package with nothing in it")
	case bytes.HasPrefix(head, []byte(compoundStart)):
		return sniffCompound(r, size)
	case isText(head):
		return refuse("it is no workbook but a text, whatever the ending of its name; a delimited text is read as .csv")
	}
	return refuse("it is no workbook: an .xlsx file is a zip package, and this is none")
}

// sniffCompound tells an encrypted workbook from one in an older form: both are compound files, whose list of streams
// holds their names in UTF-16.
func sniffCompound(r io.ReaderAt, size int64) error {
	mark := []byte{}
	for _, c := range "EncryptedPackage" {
		mark = append(mark, byte(c), 0)
	}
	buf := make([]byte, 1<<16)
	for at := int64(0); at < size; at += int64(len(buf) - len(mark)) {
		n, err := r.ReadAt(buf, at)
		if bytes.Contains(buf[:n], mark) {
			return refuse("it is encrypted; open it with its password, and save it without one")
		}
		if err != nil {
			break
		}
	}
	return refuse("it is a workbook in an older form, or something else in a compound file; save it as .xlsx")
}

// isText tells whether the start of a file is a text for people.
func isText(head []byte) bool {
	for cut := 0; cut < utf8.UTFMax && cut < len(head); cut++ {
		if utf8.Valid(head[:len(head)-cut]) {
			head = head[:len(head)-cut]
			break
		}
	}
	if bytes.HasPrefix(head, []byte{0xFF, 0xFE}) || bytes.HasPrefix(head, []byte{0xFE, 0xFF}) {
		return true
	}
	// Texts in older encodings have bytes above 127 too, but no control characters.
	return !bytes.ContainsFunc(head, func(c rune) bool { return c < ' ' && c != '\t' && c != '\n' && c != '\r' && c != '\f' })
}
