package journal

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// child is set where the test binary runs as a child that writes a journal until it is killed.
const child = "CASTWRIGHT_JOURNAL_CHILD"

func TestMain(m *testing.M) {
	switch os.Getenv(child) {
	case "append":
		if err := appendForEver(os.Args[1]); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
	case "limit":
		if err := appendToLimit(os.Args[1]); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
	default:
		os.Exit(m.Run())
	}
}

func itoa(n int) string { return strconv.Itoa(n) }

// nth is the nth edit of the child: a line at the end of one sheet, its number at the beginning of another.
func nth(n, size int) []Entry {
	text := "line " + itoa(n) + strings.Repeat(".", n%7*100) + "\n"
	return []Entry{{"bench", size, "", text, n}, {"leg", 0, "", itoa(n) + " ", n}}
}

// appendForEver goes on with the journal, or begins it, and says after each edit that it is safe.
func appendForEver(path string) error {
	w, c, err := Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		w, err = Create(path, []Base{{"bench", ""}})
		c = &Content{}
	}
	if err != nil {
		return err
	}
	texts, err := c.Replay(nil)
	if err != nil {
		return err
	}
	size := len(texts["bench"])
	for n := len(c.Entries) / 2; ; n++ {
		edit := nth(n, size)
		if err := w.Append(edit...); err != nil {
			return err
		}
		size += len(edit[0].Is)
		fmt.Println("confirmed", n)
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

// No edit that was confirmed is lost where the program is killed, and none is there in part. The moment is random in
// that the child runs on while the kill is under way.
func TestKilled(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bench.journal")
	random := rand.New(rand.NewPCG(1, 2))
	confirmed := -1
	for round := range 30 {
		cmd, lines := start(t, "append", path)
		for range random.IntN(12) {
			require.True(t, lines.Scan())
			confirmed = number(t, lines.Text())
		}
		require.NoError(t, cmd.Process.Kill())
		for lines.Scan() {
			confirmed = number(t, lines.Text())
		}
		cmd.Wait()
		c, err := Read(path)
		if errors.Is(err, fs.ErrNotExist) && confirmed < 0 {
			continue // killed before the journal was begun
		}
		require.NoError(t, err, "round %d", round)
		edits := len(c.Entries) / 2
		require.GreaterOrEqual(t, edits, confirmed+1, "a confirmed edit is lost")
		require.LessOrEqual(t, edits, confirmed+2, "more than one edit was under way")
		all, size := []Entry(nil), 0
		for n := range edits {
			edit := nth(n, size)
			size += len(edit[0].Is)
			all = append(all, edit...)
		}
		same(t, all, c.Entries)
		_, err = c.Replay(nil)
		require.NoError(t, err)
	}
	require.Positive(t, confirmed)
}

func number(t *testing.T, line string) int {
	t.Helper()
	digits, ok := strings.CutPrefix(line, "confirmed ")
	n, err := strconv.Atoi(digits)
	require.True(t, ok && err == nil, line)
	return n
}
