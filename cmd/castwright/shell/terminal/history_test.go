package terminal

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestHistoryFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a", "b", "history")
	h := openHistory(path)
	for _, line := range []string{"one", "one", " ", "", "two", "one", strings.Repeat("x", historyLine+1)} {
		h.add(line)
	}
	require.NoError(t, h.err)
	assert.Equal(t, []string{"one", "two", "one"}, h.lines)
	assert.Equal(t, "one\ntwo\none\n", read(t, path))
	assert.Equal(t, h.lines, openHistory(path).lines)
}

func TestHistoryLimit(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "history")
	h := openHistory(path)
	for i := range historyLines + 5 {
		h.add(fmt.Sprint("line ", i))
		if i == historyLines {
			other := openHistory(path) // a second shell
			other.add("from elsewhere")
		}
	}
	require.NoError(t, h.err)
	assert.Len(t, h.lines, historyLines)
	text := read(t, path)
	assert.LessOrEqual(t, strings.Count(text, "\n"), historyLines)
	assert.Contains(t, text, "from elsewhere\n")
	assert.True(t, strings.HasSuffix(text, fmt.Sprintf("line %d\n", historyLines+4)))
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, left, 1, "no half-written file stays")
}

func TestHistoryMended(t *testing.T) {
	folder := t.TempDir()
	path, link := filepath.Join(folder, "history"), filepath.Join(folder, "link")
	require.NoError(t, os.WriteFile(path, []byte("one\r\none\n\x00two\n\ncut of"), 0o644))
	require.NoError(t, os.Symlink(path, link))
	h := openHistory(link)
	require.NoError(t, h.err)
	h.add("three")
	assert.Equal(t, "one\ntwo\ncut of\nthree\n", read(t, path))
	about, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, about.Mode()&os.ModeSymlink)
	about, err = os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), about.Mode().Perm())

	require.NoError(t, os.Chmod(path, 0o666))
	openHistory(path)
	about, err = os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), about.Mode().Perm())
}

func TestHistoryWithoutFile(t *testing.T) {
	blocked := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(blocked, nil, 0o600))
	h := openHistory(filepath.Join(blocked, "history"))
	assert.Error(t, h.err)
	h.add("kept in memory")
	assert.Equal(t, []string{"kept in memory"}, h.lines)

	h = openHistory("")
	h.add("kept in memory")
	assert.NoError(t, h.err)
	assert.Equal(t, []string{"kept in memory"}, h.lines)
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}
