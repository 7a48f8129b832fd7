//go:build unix

package journal

import (
	"errors"
	"fmt"
	"os/signal"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// appendToLimit writes under a limit on the size of files until the system refuses, lifts the limit and goes on: a real
// write that is taken in part, as on a disk that runs full.
func appendToLimit(path string) error {
	signal.Ignore(syscall.SIGXFSZ)
	w, err := Create(path, nil)
	if err != nil {
		return err
	}
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	low := limit
	low.Cur = 5000
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &low); err != nil {
		return err
	}
	size, n := 0, 0
	for ; ; n++ {
		edit := nth(n, size)
		if err = w.Append(edit...); err != nil {
			break
		}
		size += len(edit[0].Is)
	}
	fmt.Println("refused", n, errors.Is(err, syscall.EFBIG), err)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	if err := w.Append(nth(n, size)...); err != nil {
		return err
	}
	fmt.Println("confirmed", n)
	return w.Close()
}

func TestWriteTakenInPart(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bench.journal")
	cmd, lines := start(t, "limit", path)
	require.True(t, lines.Scan())
	var n int
	_, err := fmt.Sscanf(lines.Text(), "refused %d true", &n)
	require.NoError(t, err, lines.Text())
	assert.Contains(t, lines.Text(), "all edits before it are safe in the journal "+path+": the file would be larger than is allowed here")
	require.True(t, lines.Scan())
	require.Equal(t, n, number(t, lines.Text()))
	require.NoError(t, cmd.Wait())
	c, err := Read(path)
	require.NoError(t, err)
	assert.Len(t, c.Entries, 2*(n+1))
	assert.False(t, c.Torn)
}
