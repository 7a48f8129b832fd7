package terminal

import (
	"io"
	"os"

	"github.com/chzyer/readline"
)

// The size that is taken where a terminal does not tell its own.
const (
	usualColumns = 80
	usualRows    = 24
)

// withDescriptor calls f with the descriptor of a file. (*os.File).Fd is not used: it can make reads of the file
// impossible to break off.
func withDescriptor(file *os.File, f func(fd int) error) error {
	conn, err := file.SyscallConn()
	if err != nil {
		return err
	}
	var inner error
	if err := conn.Control(func(fd uintptr) { inner = f(int(fd)) }); err != nil {
		return err
	}
	return inner
}

func isTerminal(file *os.File) bool {
	is := false
	err := withDescriptor(file, func(fd int) error {
		is = readline.IsTerminal(fd)
		return nil
	})
	return err == nil && is
}

// makeRaw has every key given to us at once and unshown, and returns how the terminal was before.
func makeRaw(file *os.File) (*readline.State, error) {
	var state *readline.State
	err := withDescriptor(file, func(fd int) (err error) {
		state, err = readline.MakeRaw(fd)
		return err
	})
	return state, err
}

func setState(file *os.File, state *readline.State) error {
	return withDescriptor(file, func(fd int) error { return readline.Restore(fd, state) })
}

// sizeOf gives the columns and rows of a terminal.
func sizeOf(file *os.File) (columns, rows int) {
	err := withDescriptor(file, func(fd int) (err error) {
		columns, rows, err = readline.GetSize(fd)
		return err
	})
	if err != nil || columns <= 0 {
		columns = usualColumns
	}
	if err != nil || rows <= 0 {
		rows = usualRows
	}
	return columns, rows
}

// WidthOf is the number of columns of what is written to, 0 where it is no terminal.
func WidthOf(out io.Writer) int {
	file, ok := out.(*os.File)
	if !ok || !isTerminal(file) {
		return 0
	}
	columns, _ := sizeOf(file)
	return columns
}
