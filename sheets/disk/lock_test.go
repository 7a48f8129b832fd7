package disk

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bench.lock")
	l, err := Acquire(path)
	require.NoError(t, err)
	_, err = Acquire(path)
	assert.Same(t, ErrHeld, err, "a second one in the same program")
	require.NoError(t, l.Release())
	assert.NoError(t, l.Release(), "given back already")

	again, err := Acquire(path)
	require.NoError(t, err)
	assert.NoError(t, l.Release(), "an old lock does not free a new one")
	_, err = Acquire(path)
	assert.ErrorIs(t, err, ErrHeld)
	assert.NoError(t, again.Release())
	assert.FileExists(t, path)
}

func TestLockLeavesTheFileAlone(t *testing.T) {
	path := put(t, t.TempDir(), "bench.lock", "a text")
	l, err := Acquire(path)
	require.NoError(t, err)
	require.NoError(t, l.Release())
	assert.Equal(t, "a text", text(t, path))
}

func TestLockRefused(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct{ path, want string }{
		{dir, "it is no ordinary file; move it away"},
		{"/dev/full", "it is no ordinary file; move it away"},
		{dir + "/gone/bench.lock", "there is no folder " + dir + "/gone"},
	} {
		_, err := Acquire(c.path)
		assert.EqualError(t, err, "no lock can be taken at "+c.path+": "+c.want)
	}
	// Tests that run as root are refused by no folder on an ordinary disk.
	for err, want := range map[error]string{
		&fs.PathError{Op: "open", Path: "p", Err: syscall.EACCES}: "you may not write in the folder job",
		syscall.EROFS:  "the disk can only be read; put the job on another one",
		syscall.ENOLCK: "this disk knows no locks; put the job on another one",
		syscall.ENOSPC: "the disk is full; make room on it and try again",
	} {
		assert.EqualError(t, refused("job/bench.lock", err), "no lock can be taken at job/bench.lock: "+want)
	}
}

// A folder of the kernel's, where nobody may make a file.
func TestLockWhereNobodyMayWrite(t *testing.T) {
	if info, err := os.Stat("/sys/kernel"); err != nil || !info.IsDir() {
		t.Skip("this system has no such folder")
	}
	_, err := Acquire("/sys/kernel/bench.lock")
	require.Error(t, err)
	assert.True(t, strings.HasPrefix(err.Error(), "no lock can be taken at /sys/kernel/bench.lock: "), err)
	assert.NotContains(t, err.Error(), "open")
	assert.Error(t, Replace("/sys/kernel/bench.sheet", nil))
}

func holdForEver(path string) {
	l, err := Acquire(path)
	fmt.Println(err)
	<-make(chan bool)
	l.Release()
}

// The lock of another program is seen, and is free as soon as that program is killed.
func TestLockOfAKilledProgram(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bench.lock")
	for range 5 {
		cmd, lines := start(t, "lock", path)
		require.True(t, lines.Scan())
		require.Equal(t, "<nil>", lines.Text())
		_, err := Acquire(path)
		require.ErrorIs(t, err, ErrHeld)
		require.NoError(t, cmd.Process.Kill())
		cmd.Wait()
		l, err := Acquire(path)
		require.NoError(t, err)
		other, lines := start(t, "lock", path)
		require.True(t, lines.Scan())
		require.Equal(t, ErrHeld.Error(), lines.Text())
		require.NoError(t, other.Process.Kill())
		other.Wait()
		require.NoError(t, l.Release())
	}
}
