package disk

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// child is set, to what it is to do, where the test binary runs as a child that will be killed.
const child = "CASTWRIGHT_DISK_CHILD"

func TestMain(m *testing.M) {
	switch os.Getenv(child) {
	case "replace":
		replaceForEver(os.Args[1])
	case "lock":
		holdForEver(os.Args[1])
	default:
		os.Exit(m.Run())
	}
}

// put makes a file and gives its path.
func put(t *testing.T, folder, name, text string) string {
	t.Helper()
	path := filepath.Join(folder, name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	return path
}

// text reads a file.
func text(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(b)
}

// clean tells that no temporary file was left in a folder.
func clean(t *testing.T, folder string) {
	t.Helper()
	left, err := filepath.Glob(filepath.Join(folder, pattern))
	require.NoError(t, err)
	assert.Empty(t, left)
}

func TestReplace(t *testing.T) {
	dir := t.TempDir()
	path := put(t, dir, "bench.sheet", "a = 1\n")
	require.NoError(t, os.Chmod(path, 0o640))
	require.NoError(t, Replace(path, []byte("a = 2\n")))
	assert.Equal(t, "a = 2\n", text(t, path))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o640), info.Mode().Perm(), "the mode is kept")

	fresh := filepath.Join(dir, "leg.sheet")
	require.NoError(t, Replace(fresh, nil))
	assert.Empty(t, text(t, fresh))
	info, err = os.Stat(fresh)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(newMode), info.Mode().Perm())
	clean(t, dir)
}

// A name without a folder means the folder one is in.
func TestReplaceHere(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, Replace("bench.sheet", []byte("a")))
	require.NoError(t, Replace("./bench.sheet", []byte("b")))
	assert.Equal(t, "b", text(t, "bench.sheet"))
	clean(t, ".")
}

func TestReplaceFollowsLinks(t *testing.T) {
	dir := t.TempDir()
	deep := filepath.Join(dir, "deep", "er")
	require.NoError(t, os.MkdirAll(deep, 0o755))
	put(t, dir, "far.sheet", "old")
	put(t, filepath.Join(dir, "deep"), "up.sheet", "old")
	for _, c := range []struct{ name, to, target string }{
		{"one.sheet", "far.sheet", "far.sheet"},
		{"two.sheet", "one.sheet", "far.sheet"},                        // a link to a link
		{"whole.sheet", filepath.Join(dir, "far.sheet"), "far.sheet"},  // from the root
		{"open.sheet", "deep/new.sheet", "deep/new.sheet"},             // to a file that is not there yet
		{"short", "deep/er", ""},                                       // a folder, for the next two
		{"via.sheet", "short/../up.sheet", "deep/up.sheet"},            // `..` of the folder linked to
		{"dangling.sheet", "short/../fresh.sheet", "deep/fresh.sheet"}, // the same, to a file that is not there yet
	} {
		link := filepath.Join(dir, c.name)
		require.NoError(t, os.Symlink(c.to, link))
		if c.target == "" {
			continue
		}
		require.NoError(t, Replace(link, []byte(c.name)), c.name)
		assert.Equal(t, c.name, text(t, filepath.Join(dir, c.target)))
		to, err := os.Readlink(link)
		require.NoError(t, err, "%s is a link no more", c.name)
		assert.Equal(t, c.to, to)
	}
	clean(t, dir)
	clean(t, filepath.Join(dir, "deep"))
}

func TestReplaceRefuses(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "file", "x")
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder"), 0o755))
	require.NoError(t, os.Symlink("ring2", filepath.Join(dir, "ring1")))
	require.NoError(t, os.Symlink("ring1", filepath.Join(dir, "ring2")))
	for _, c := range []struct{ path, want string }{
		{dir + "/folder", "that is a folder; name a file"},
		{dir + "/folder/", "that is a folder; name a file"},
		{dir + "/..", "that is a folder; name a file"},
		{"", "that is a folder; name a file"},
		{dir + "/gone/bench.sheet", "there is no folder " + dir + "/gone; make it first"},
		{dir + "/file/bench.sheet", "a file stands where a folder is wanted"},
		{dir + "/ring1", "its symbolic links lead round in a ring; remove one of them"},
		{dir + "/" + strings.Repeat("n", 300), "the name is too long; choose a shorter one"},
		{"/dev/full", "that is no ordinary file but a device or a pipe; name another file"},
	} {
		err := Replace(c.path, []byte("y"))
		require.Error(t, err, c.path)
		assert.Equal(t, c.path+" could not be written, and nothing was changed: "+c.want, err.Error())
	}
	assert.Equal(t, "x", text(t, dir+"/file"))
	clean(t, dir)
}

// faults are what a disk can answer, and what is said of it.
var faults = []struct {
	err  error
	want string
}{
	{&fs.PathError{Op: "write", Path: "p", Err: syscall.ENOSPC}, "the disk is full; make room on it and try again"},
	{&os.LinkError{Op: "rename", Old: "p", New: "q", Err: syscall.EACCES}, "you may not write there; ask the owner of the folder, or work on a copy of your own"},
	{os.NewSyscallError("fsync", syscall.EIO), "the disk reports a fault; copy the job to another one"},
	{syscall.EROFS, "the disk can only be read; put the job on another one"},
	{syscall.EDQUOT, "your share of the disk is used up; make room and try again"},
	{syscall.EFBIG, "the file would be larger than is allowed here"},
	{syscall.EISDIR, "that is a folder; name a file"},
	{syscall.EMFILE, "too many files are open; close some programs and try again"},
	{syscall.ENOENT, "the folder is not there any more"},
	{&fs.PathError{Op: "write", Path: "p", Err: syscall.Errno(524)}, "the system refused it without saying why"},
	{os.NewSyscallError("fsync", errors.New("the cable is loose")), "the cable is loose"},
	{&os.LinkError{Op: "rename", Err: errors.New("the cable is loose")}, "the cable is loose"},
}

// A disk that fails at any of its calls leaves the file as it was and no temporary file behind.
func TestReplaceOnAFailingDisk(t *testing.T) {
	for _, f := range faults {
		for step, broken := range map[string]func(*system){
			"writable": func(s *system) { s.writable = func(string) error { return f.err } },
			"create":   func(s *system) { s.create = func(string, string) (*os.File, error) { return nil, f.err } },
			"write": func(s *system) {
				s.write = func(file *os.File, text []byte) error {
					file.Write(text[:len(text)/2]) // a full disk takes a part
					return f.err
				}
			},
			"sync":   func(s *system) { s.sync = func(*os.File) error { return f.err } },
			"rename": func(s *system) { s.rename = func(string, string) error { return f.err } },
		} {
			dir := t.TempDir()
			path := put(t, dir, "bench.sheet", "old")
			s := actual
			broken(&s)
			err := s.replaceAll(map[string][]byte{path: []byte("new text")})
			require.Error(t, err, step)
			assert.Equal(t, path+" could not be written, and nothing was changed: "+f.want, err.Error(), step)
			assert.ErrorIs(t, err, f.err)
			assert.Equal(t, "old", text(t, path), step)
			clean(t, dir)
		}
	}
}

// The real answer of a full disk: a device that takes nothing.
func TestReplaceOnAFullDevice(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("this system has no device that is always full")
	}
	defer full.Close()
	dir := t.TempDir()
	path := put(t, dir, "bench.sheet", "old")
	s := actual
	s.write = func(_ *os.File, text []byte) error { return actual.write(full, text) }
	err = s.replaceAll(map[string][]byte{path: []byte("new")})
	require.ErrorIs(t, err, syscall.ENOSPC)
	assert.Contains(t, err.Error(), "the disk is full")
	assert.Equal(t, "old", text(t, path))
	clean(t, dir)
}

func TestReplaceUnconfirmed(t *testing.T) {
	path := put(t, t.TempDir(), "bench.sheet", "old")
	s := actual
	s.syncFolder = func(string) error { return syscall.EIO }
	err := s.replaceAll(map[string][]byte{path: []byte("new")})
	assert.EqualError(t, err, path+" was replaced, but the disk has not confirmed it: the disk reports a fault; copy the job to another one")
	assert.Equal(t, "new", text(t, path))
}

func TestReplaceAll(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, ReplaceAll(nil))
	a, b, c := put(t, dir, "a.sheet", "1"), put(t, dir, "b.sheet", "2"), filepath.Join(dir, "c.sheet")
	texts := map[string][]byte{c: []byte("C"), a: []byte("A"), b: []byte("B")}
	require.NoError(t, ReplaceAll(texts))
	assert.Equal(t, "ABC", text(t, a)+text(t, b)+text(t, c))

	// One that cannot be written leaves all as they were.
	require.NoError(t, os.Remove(c))
	require.NoError(t, os.Mkdir(c, 0o755))
	texts[a] = []byte("new")
	assert.EqualError(t, ReplaceAll(texts), c+" could not be written, and nothing was changed: that is a folder; name a file")
	assert.Equal(t, "AB", text(t, a)+text(t, b))
	clean(t, dir)
}

func TestReplaceAllOfOneFileTwice(t *testing.T) {
	dir := t.TempDir()
	a := put(t, dir, "a.sheet", "old")
	b := filepath.Join(dir, "b.sheet")
	require.NoError(t, os.Symlink("a.sheet", b))
	err := ReplaceAll(map[string][]byte{a: []byte("1"), b: []byte("2")})
	assert.EqualError(t, err, a+" and "+b+" are one and the same file, and nothing was changed")
	assert.Equal(t, "old", text(t, a))

	fresh := dir + "/c.sheet"
	assert.Error(t, ReplaceAll(map[string][]byte{fresh: []byte("1"), dir + "//c.sheet": []byte("2")}))
	assert.NoFileExists(t, fresh)
	clean(t, dir)
}

// Files are renamed in the order of their names; where that stops midway, the error says where.
func TestReplaceAllStopsMidway(t *testing.T) {
	for _, c := range []struct {
		at   int
		want string
	}{
		{0, "a could not be written, and nothing was changed: the disk reports a fault; copy the job to another one"},
		{1, "a was replaced, but b, c and d were not: the disk reports a fault; copy the job to another one"},
		{2, "a and b were replaced, but c and d were not: the disk reports a fault; copy the job to another one"},
		{3, "a, b and c were replaced, but d was not: the disk reports a fault; copy the job to another one"},
	} {
		t.Chdir(t.TempDir())
		texts := map[string][]byte{}
		for _, name := range []string{"a", "b", "c", "d"} {
			put(t, ".", name, "old")
			texts[name] = []byte("new")
		}
		s, done := actual, 0
		s.rename = func(from, to string) error {
			if done == c.at {
				return syscall.EIO
			}
			done++
			return os.Rename(from, to)
		}
		assert.EqualError(t, s.replaceAll(texts), c.want)
		for i, name := range []string{"a", "b", "c", "d"} {
			assert.Equal(t, map[bool]string{true: "new", false: "old"}[i < c.at], text(t, name))
		}
		clean(t, ".")
	}
}

func TestReplaceAllUnconfirmedMidway(t *testing.T) {
	t.Chdir(t.TempDir())
	s, synced := actual, 0
	s.syncFolder = func(string) error {
		if synced++; synced == 2 {
			return syscall.EIO
		}
		return nil
	}
	err := s.replaceAll(map[string][]byte{"a": nil, "b": nil, "c": nil})
	assert.EqualError(t, err, "a and b were replaced, but the disk has not confirmed it, and c was not: "+
		"the disk reports a fault; copy the job to another one")
	clean(t, ".")
}

// versions are two texts large enough that their writing takes a while.
func versions() [2][]byte {
	return [2][]byte{bytes.Repeat([]byte("old line\n"), 50_000), bytes.Repeat([]byte("the new line\n"), 50_000)}
}

func replaceForEver(path string) {
	v := versions()
	for i := 0; ; i++ {
		if err := Replace(path, v[i%2]); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println("replaced")
	}
}

// A program that is killed while it replaces a file leaves the old text or the new one, whole.
func TestReplaceKilled(t *testing.T) {
	path, v := filepath.Join(t.TempDir(), "bench.sheet"), versions()
	for round := range 12 {
		cmd, lines := start(t, "replace", path)
		for range round % 4 {
			require.True(t, lines.Scan())
			require.Equal(t, "replaced", lines.Text())
		}
		require.NoError(t, cmd.Process.Kill())
		for lines.Scan() {
			require.Equal(t, "replaced", lines.Text())
		}
		cmd.Wait()
		if got, err := os.ReadFile(path); err == nil {
			assert.True(t, bytes.Equal(got, v[0]) || bytes.Equal(got, v[1]), "a mixture was found")
		} else {
			require.ErrorIs(t, err, fs.ErrNotExist)
			require.Zero(t, round%4, "what was confirmed is gone")
		}
	}
}

// start runs the test binary as a child and reads what it prints.
func start(t *testing.T, what, path string) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	cmd := exec.Command(os.Args[0], path)
	cmd.Env = append(os.Environ(), child+"="+what)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	return cmd, bufio.NewScanner(out)
}

func BenchmarkReplace(b *testing.B) {
	path, text := filepath.Join(b.TempDir(), "bench.sheet"), bytes.Repeat([]byte("a line of a sheet\n"), 1000)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if err := Replace(path, text); err != nil {
			b.Fatal(err)
		}
	}
}
