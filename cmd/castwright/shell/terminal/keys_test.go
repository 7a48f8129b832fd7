//go:build unix

package terminal

import (
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// openHere opens a Terminal in this process, at a terminal whose screen nobody looks at.
func openHere(t testing.TB) (*Terminal, *os.File) {
	t.Helper()
	master, slave, err := pty.Open()
	require.NoError(t, err)
	drained := make(chan struct{})
	go func() {
		defer close(drained)
		_, _ = io.Copy(io.Discard, master)
	}()
	terminal, err := Open(Config{In: slave, Out: slave, Complete: func(line string, at int) (int, []string) {
		return at, []string{"one", "onward", "日本"}
	}})
	require.NoError(t, err)
	t.Cleanup(func() {
		assert.NoError(t, terminal.Close())
		_ = slave.Close()
		_ = master.Close()
		<-drained
	})
	return terminal, master
}

// TestAnyKeys presses keys at random: nothing breaks down, and a line typed after them is got whole.
func TestAnyKeys(t *testing.T) {
	keys := []string{
		"a", "b c", "日本", "e\u0301", "_", "\t", "\t\t", "\r", "\n", left, right, upKey, downKey, home, endKey, deleteKey,
		ctrlLeft, ctrlRight, "\x1bd", "\x1b\x7f", backspace, ctrlC, ctrlD, ctrlR, "\x13", "\x07", "\x0b", "\x0c", "\x14",
		"\x15", "\x17", "\x19", "\x1a", "\x00", "\x1b", "\x1b[200~p\tq\x1b[201~", "\x1b[200~1\n2\n3\x1b[201~", "\x1b[1~",
		strings.Repeat("long ", 20), "\xff",
	}
	terminal, master := openHere(t)
	random := rand.New(rand.NewPCG(1, 2))
	for range 40 {
		var sent strings.Builder
		for range 60 {
			sent.WriteString(keys[random.IntN(len(keys))])
		}
		// Esc may be open; Ctrl-C may end a search first, or go while no line is typed.
		sent.WriteString("x" + ctrlC + ctrlC + "\r")
		_, err := master.WriteString(sent.String())
		require.NoError(t, err)
		_, err = master.WriteString("\x1b[200~at last\x1b[201~\r")
		require.NoError(t, err)
		for {
			line, err := terminal.Line("bench: ")
			if err != nil && !errors.Is(err, ErrInterrupt) {
				require.ErrorIs(t, err, io.EOF)
			}
			if line == "at last" {
				break
			}
		}
	}
}

func TestOpenWithoutTerminal(t *testing.T) {
	file, err := os.Open(os.DevNull)
	require.NoError(t, err)
	defer file.Close()
	_, err = Open(Config{In: file, Out: file})
	assert.ErrorIs(t, err, ErrNotTerminal)
}

func TestClose(t *testing.T) {
	before := runtime.NumGoroutine()
	terminal, master := openHere(t)
	_, err := master.WriteString("one\rtwo")
	require.NoError(t, err)
	line, err := terminal.Line("bench: ")
	require.NoError(t, err)
	assert.Equal(t, "one", line)

	result := make(chan error, 1)
	go func() {
		line, err := terminal.Line("bench: ")
		assert.Empty(t, line) // what is half typed is no line
		result <- err
	}()
	assert.NoError(t, terminal.Close())
	assert.ErrorIs(t, <-result, io.EOF)
	_, err = terminal.Line("bench: ")
	assert.ErrorIs(t, err, io.EOF)
	assert.NoError(t, terminal.Close())

	// All that was started has ended, but for the two goroutines of this test's terminal and readline's pipe.
	for end := time.Now().Add(patience); runtime.NumGoroutine() > before+3; time.Sleep(time.Millisecond) {
		require.True(t, time.Now().Before(end), "%d goroutines, %d before", runtime.NumGoroutine(), before)
	}
}

func TestTerminalGone(t *testing.T) {
	master, slave, err := pty.Open()
	require.NoError(t, err)
	defer slave.Close()
	terminal, err := Open(Config{In: slave, Out: slave})
	require.NoError(t, err)
	_, err = master.WriteString("half a line")
	require.NoError(t, err)
	go func() {
		buffer := make([]byte, 1<<10)
		for shown := ""; !strings.Contains(shown, "half a line"); {
			n, err := master.Read(buffer)
			if shown += string(buffer[:n]); err != nil {
				break
			}
		}
		_ = master.Close()
	}()
	line, err := terminal.Line("bench: ")
	assert.ErrorIs(t, err, io.EOF)
	assert.Empty(t, line)
	_ = terminal.Close() // there is no terminal to give back
}

// BenchmarkTyping measures a line of 40 keys, each drawn.
func BenchmarkTyping(b *testing.B) {
	terminal, master := openHere(b)
	line := strings.Repeat("a\x1b[D", 20) + "\r" // no two keys are put in at once
	for b.Loop() {
		_, _ = master.WriteString(line)
		if _, err := terminal.Line("bench: "); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPaste measures a paste of 20,000 characters in one line.
func BenchmarkPaste(b *testing.B) {
	terminal, master := openHere(b)
	paste := "\x1b[200~" + sampleText(20_000) + "\x1b[201~\r"
	b.SetBytes(20_000)
	for b.Loop() {
		go func() { _, _ = master.WriteString(paste) }()
		if _, err := terminal.Line("bench: "); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkHistory measures what a full history adds to each line.
func BenchmarkHistory(b *testing.B) {
	terminal, master := openHere(b)
	for range historyLines {
		terminal.history.lines = append(terminal.history.lines, "thickness = 95 mm   # a line like any other")
	}
	for b.Loop() {
		_, _ = master.WriteString("a\r")
		if _, err := terminal.Ask("bench: "); err != nil {
			b.Fatal(err)
		}
		terminal.editor.remember(terminal.history.lines)
	}
}
