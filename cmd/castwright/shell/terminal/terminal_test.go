//go:build unix

package terminal

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Keys as a terminal sends them (ECMA-48, and common practice for the modifiers).
const (
	left      = "\x1b[D"
	right     = "\x1b[C"
	upKey     = "\x1b[A"
	downKey   = "\x1b[B"
	home      = "\x1b[H"
	endKey    = "\x1b[F"
	deleteKey = "\x1b[3~"
	ctrlLeft  = "\x1b[1;5D"
	ctrlRight = "\x1b[1;5C"
	ctrlC     = "\x03"
	ctrlD     = "\x04"
	ctrlR     = "\x12"
	backspace = "\x7f"
)

func TestTyping(t *testing.T) {
	c := open(t)
	c.expectLast("bench:")
	c.expectCursor(len("bench: "))
	for _, test := range []struct{ keys, line string }{
		{"a = 5 mm", "a = 5 mm"},
		{"acd" + left + left + "b", "abcd"},
		{"abxc" + left + backspace, "abc"},
		{"xabc" + home + deleteKey, "abc"},
		{"bc" + home + "a" + endKey + "d", "abcd"},
		{"seat_depth + 5" + ctrlLeft + ctrlLeft + "2 * ", "2 * seat_depth + 5"},
		{"one two three\x1bb\x1bb-\x1bf-", "one -two- three"},
		{"one two" + home + ctrlRight + ctrlRight + "!", "one two!"},
		{"one two\x17\x15three\x19", "threeone "}, // Ctrl-W, Ctrl-U, Ctrl-Y: what was taken away last comes back
		{"x\x14y", "xy"},                      // Ctrl-T
		{"a\x1a\x00\x1cb", "ab"},              // Ctrl-Z, NUL, Ctrl-\
		{"a\x1b[15~\x1b[24;2~\x1b[[Ab", "ab"}, // function keys
		{"b" + "\x1bOH" + "a" + "\x1bOF" + "c", "abc"},
		{deleteKey + "still here", "still here"}, // Delete on an empty line does not leave
	} {
		c.send(test.keys + "\r")
		c.expect(fmt.Sprintf("got %q", test.line))
		c.expectLast("bench:")
		c.send("\x0c") // a clear screen for the next
		c.until("a clear screen", func() bool { _, y := c.cursor(); return y == 0 })
	}
	c.send("quit\r")
	assert.NoError(t, c.expectEnd())
}

func TestBlankLines(t *testing.T) {
	c := open(t)
	c.send("\r  \r")
	c.expect("got \"\"\nbench:\ngot \"  \"\nbench:")
}

func TestHistory(t *testing.T) {
	path := filepath.Join(t.TempDir(), "kept", "history")
	c := open(t, "TERMINAL_TEST_HISTORY="+path)
	for _, line := range []string{"first", "second", "second", "third"} {
		c.send(line + "\r")
		c.expect(fmt.Sprintf("got %q", line))
	}
	c.send(upKey)
	c.expectLast("bench: third")
	c.send(upKey)
	c.expectLast("bench: second")
	c.send(upKey)
	c.expectLast("bench: first")
	c.send(downKey)
	c.expectLast("bench: second")
	c.send("s\r")
	c.expect(`got "seconds"`)
	c.send("quit\r")
	require.NoError(t, c.expectEnd())

	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "first\nsecond\nthird\nseconds\nquit\n", string(text))
	for name, mode := range map[string]os.FileMode{path: 0o600, filepath.Dir(path): 0o700} {
		about, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, mode, about.Mode().Perm())
	}

	c = openSized(t, 80, 24, "TERMINAL_TEST_HISTORY="+path)
	c.send(upKey + upKey)
	c.expectLast("bench: seconds")
	c.send(upKey + upKey + "\r")
	c.expect(`got "second"`)
}

func TestSearch(t *testing.T) {
	c := open(t)
	c.send("mass = 5 kg\r")
	c.expect(`got "mass = 5 kg"`)
	c.send("depth = 9 mm\r")
	c.expect(`got "depth = 9 mm"`)
	c.send(ctrlR)
	c.expectLast("searching back for:")
	c.send("mas")
	c.expect("bench: mass = 5 kg\nsearching back for: mas")
	c.expectCursor(len("bench: "))
	c.send("q")
	c.expectLast("searching back for: masq (not found)")
	c.send(backspace)
	c.expectLast("searching back for: mas")
	c.send(endKey)
	c.expectLast("bench: mass = 5 kg")
	c.send("!\r")
	c.expect(`got "mass = 5 kg!"`)

	c.send(ctrlR + "depth")
	c.expectLast("searching back for: depth")
	c.paste(" and more, pasted")
	c.expectLast("bench: depth = 9 mm and more, pasted")
	c.send(ctrlC)
	c.expect("thrown away")
}

func TestSearchOfNothing(t *testing.T) {
	c := open(t)
	c.send(ctrlR + ctrlC) // readline v1.5.1 breaks down over a search in an empty history
	c.send(ctrlR + "\x07")
	c.send("fine\r")
	c.expect(`got "fine"`)
}

func TestCompletion(t *testing.T) {
	c := open(t)
	c.send("2 * th\t")
	c.expectLast("bench: 2 * thickness")
	c.send(" + s\t")
	c.expectLast("bench: 2 * thickness + seat_")
	c.send("\t")
	c.expect("seat_depth         seat_width         seat_breite_größe\nbench: 2 * thickness + seat_")
	c.expectCursor(len("bench: 2 * thickness + seat_"))
	c.send("w\t\r")
	c.expect(`got "2 * thickness + seat_width"`)

	c.send("(p)" + left + "\t\t")
	c.expect("pieces   pallets\nbench: (p)")
	c.expectCursor(len("bench: (p"))
	c.send("a\t\r")
	c.expect(`got "(pallets)"`)

	c.send("none\t\t日\t\t")
	c.expect("bench: none日")
	c.send("\x15日\t\t")
	c.expect("日本の石  日本の型\nbench: 日本の")
	c.expectCursor(len("bench: ") + 6)
	c.send("型\r")
	c.expect(`got "日本の型"`)
}

func TestCtrlC(t *testing.T) {
	c := open(t)
	c.send("half a li")
	c.expectLast("bench: half a li")
	c.send(ctrlC)
	c.expect("bench: half a li\nthrown away\nbench:")
	c.send("next\r")
	c.expect(`got "next"`)
	c.signal(os.Interrupt) // from outside, as by another program
	c.until("a second one", func() bool { return strings.Count(c.shows(), "thrown away") == 2 })
	c.send("quit\r")
	assert.NoError(t, c.expectEnd())
}

func TestCtrlD(t *testing.T) {
	c := open(t)
	c.send("abc" + home + ctrlD)
	c.expectLast("bench: bc")
	c.send(endKey + ctrlD + "\r")
	c.expect(`got "bc"`)
	c.send(ctrlD)
	c.expect("at the end")
	assert.NoError(t, c.expectEnd())
}

func TestPasteOfLines(t *testing.T) {
	c := open(t)
	c.send("xz" + left)
	c.paste("a\tb\r\nth\ttwo\rth\t\t\n\nlast\t")
	c.expect("got \"xa\\tb\"\nbench: th    two\ngot \"th\\ttwo\"\nbench: th\ngot \"th\\t\\t\"\nbench:\ngot \"\"\nbench: last    z")
	c.expectCursor(len("bench: last    "))
	c.send("y\r")
	c.expect(`got "last\tyz"`)
	c.until("each line once", func() bool { return strings.Count(c.shows(), "got ") == 5 })

	c.paste("one\ntwo\n")
	c.expect("got \"one\"\nbench: two\ngot \"two\"\nbench:")
	c.send(upKey)
	c.expectLast("bench: two")
}

func TestPasteWhileAsked(t *testing.T) {
	c := open(t)
	c.paste("ask\nfirst after\nsecond after\n")
	c.expectLast("sure?")
	c.send("yes\r")
	c.expect("answer \"yes\" <nil>\nbench: first after\ngot \"first after\"\nbench: second after\ngot \"second after\"")
	c.send("ask\r")
	c.expectLast("sure?")
	c.send(upKey + "no" + ctrlC)
	c.expect(`answer "" The line was thrown away.`)
	c.send(upKey)
	c.expectLast("bench: ask")
}

func TestPasteThenCtrlC(t *testing.T) {
	c := open(t)
	c.paste("run\nmust not run\nnor this")
	c.expect("running")
	c.send(ctrlC)
	c.expect("stopped")
	c.send("fine\r")
	c.expect("stopped\nbench: fine\ngot \"fine\"")
}

// sampleText is a text without line ends in which nothing repeats soon.
func sampleText(n int) string {
	var b strings.Builder
	for i := 0; b.Len() < n; i++ {
		fmt.Fprintf(&b, "cell_%d + ", i)
	}
	return b.String()[:n]
}

// expectEnding waits for the end of a long line.
func (c *console) expectEnding(text string) {
	c.t.Helper()
	c.until("the end of the text", func() bool {
		return strings.Contains(strings.ReplaceAll(c.shows(), "\n", ""), strings.TrimSpace(text[max(0, len(text)-50):]))
	})
}

func TestLongPaste(t *testing.T) {
	const most = 200_000 // bytes written for a paste of 20,000, drawn once and once more
	for name, marks := range map[string][2]string{"marked": {"\x1b[200~", "\x1b[201~"}, "unmarked": {}} {
		t.Run(name, func(t *testing.T) {
			c := open(t)
			c.expectLast("bench:")
			text := sampleText(20_000)
			c.send(marks[0] + text + marks[1])
			c.expectEnding(text)
			assert.Less(t, len(c.written()), most)
			c.send("\r")
			c.expect("got " + told(text))
			c.send("fine\r")
			c.expect(`got "fine"`)
		})
	}
}

func TestTooLong(t *testing.T) {
	c := open(t)
	c.expectLast("bench:")
	long := strings.Repeat("x", MaxLine+1)
	c.paste(long)
	c.expect(ErrLineTooLong.Error())
	c.send("fine\r")
	c.expect(`got "fine"`)
	c.paste("before\n" + long + "\nafter\n")
	c.expect("refused: " + ErrLineTooLong.Error() + "\nbench: after\ngot \"after\"")
	c.send(long + "\r")
	c.until("the second refusal", func() bool { return strings.Count(c.written(), "refused: ") == 2 })
	c.send("still fine\r")
	c.expect(`got "still fine"`)
}

func TestWideCharacters(t *testing.T) {
	c := open(t)
	c.send("日本語") // two columns each (Unicode Standard Annex 11)
	c.expectCursor(len("bench: ") + 6)
	c.send(left)
	c.expectCursor(len("bench: ") + 4)
	c.send("の")
	c.expectLast("bench: 日本の語")
	c.expectCursor(len("bench: ") + 6)
	c.send(backspace + left + deleteKey + "x\r")
	c.expect(`got "日x語"`)

	c.send("cafe\u0301s") // the accent is a character of its own
	c.expectLast("bench: cafe\u0301s")
	c.expectCursor(len("bench: ") + 5)
	c.send(left + left)
	c.expectCursor(len("bench: ") + 3)
	c.send(right)
	c.expectCursor(len("bench: ") + 4)
	c.send(left + deleteKey)
	c.expectLast("bench: cafs")
	c.expectCursor(len("bench: ") + 3)
	c.send("\r")
	c.expect(`got "cafs"`)

	c.paste("a\tb")
	c.expectCursor(len("bench: ") + 6)
	c.send(left + left)
	c.expectCursor(len("bench: ") + 1)
	c.send("\r")
	c.expect(`got "a\tb"`)
}

func TestWideCharactersAtTheEdge(t *testing.T) {
	t.Parallel()
	c := openSized(t, 20, 10)
	c.send("日本語日本語日") // 14 columns after 7: the last one goes to the next row
	c.expect("bench: 日本語日本語\n日")
	c.expectCursor(2)
	c.send(left)
	c.expectCursor(0)
	c.send(left)
	c.expectCursor(len("bench: ") + 10)
	c.send("\x05abc\r")
	c.expect("日abc\ngot \"日本語日本語日a\nbc\"")
}

func TestFullRow(t *testing.T) {
	t.Parallel()
	c := openSized(t, 20, 10)
	c.send("1234567890123") // to the last column
	c.until("the cursor in the next row", func() bool { x, y := c.cursor(); return x == 0 && y == 1 })
	c.send(left + "x")
	c.expect("bench: 123456789012x\n3")
	c.expectCursor(0)
	c.send(backspace + "\r")
	c.until("no empty row between", func() bool {
		return strings.HasPrefix(c.shows(), "bench: 1234567890123\ngot \"1234567890123\"")
	})
}

func TestLineTallerThanTheScreen(t *testing.T) {
	t.Parallel()
	c := openSized(t, 20, 5)
	text := sampleText(300)
	c.send("begin\r")
	c.expect(`got "begin"`)
	c.paste(text)
	c.expectEnding(text)
	c.send(home)
	c.expect("bench: " + text[:13])
	c.send("> \x05 <\r")
	c.expectEnding("got " + told("> "+text+" <") + "bench:")
}

func TestResize(t *testing.T) {
	c := open(t)
	c.send("width\r")
	c.expect("width 80")
	c.send("a line of more than thirty columns, typed")
	c.expectLast("bench: a line of more than thirty columns, typed")
	c.resize(30, 24)
	c.expect("bench: a line of more than thi\nrty columns, typed")
	c.expectCursor(len("rty columns, typed"))
	c.send(left + "!")
	c.expectLast("rty columns, type!d")
	c.resize(100, 24)
	c.expectLast("bench: a line of more than thirty columns, type!d")
	c.send("\rwidth\r")
	c.expect("width 100")
}

func (c *console) resize(columns, rows int) {
	c.t.Helper()
	c.mu.Lock()
	c.screen.Resize(columns, rows)
	c.mu.Unlock()
	require.NoError(c.t, pty.Setsize(c.master, &pty.Winsize{Cols: uint16(columns), Rows: uint16(rows)}))
}

func TestInterruptOfACommand(t *testing.T) {
	c := open(t)
	for i, interrupt := range []func(){func() { c.send(ctrlC) }, func() { c.signal(os.Interrupt) }} {
		c.send("run\r")
		c.until("running", func() bool { return strings.Count(c.shows(), "running") == i+1 })
		interrupt()
		c.until("stopped", func() bool { return strings.Count(c.shows(), "stopped") == i+1 })
	}
	c.send("fine\r")
	c.expect("stopped\nbench: fine\ngot \"fine\"")
	assert.NotContains(t, c.shows(), "thrown away")
}

func TestTypingAhead(t *testing.T) {
	c := open(t)
	c.send("hold\r")
	c.expect("holding")
	text := sampleText(6000) // more than a terminal keeps of a line by itself
	c.paste("first\n" + text + "\nlast")
	c.send("\rtyped\r")
	c.signal(syscall.SIGUSR1)
	c.expect(`got "typed"`)
	c.expect("got " + told(text))
	c.expect(`got "last"`)
}

func TestWriteWhileTyping(t *testing.T) {
	c := open(t)
	c.send("report\r")
	c.send("half typed" + left + left)
	c.expectLast("bench: half typed")
	c.expectCursor(len("bench: half typ"))
	c.signal(syscall.SIGUSR1)
	c.expect("a note in between\nbench: half typed")
	c.expectCursor(len("bench: half typ"))
	c.signal(syscall.SIGUSR2) // in two parts
	c.expect("half a note, and the other half\nbench: half typed")
	c.send("!\r")
	c.expect(`got "half typ!ed"`)
}

func TestEndedBySignal(t *testing.T) {
	for _, s := range []syscall.Signal{syscall.SIGTERM, syscall.SIGHUP} {
		t.Run(s.String(), func(t *testing.T) {
			c := open(t)
			c.send("half a line")
			c.expectLast("bench: half a line")
			assert.NotEqual(t, c.before, c.state())
			c.signal(s)
			assert.ErrorContains(t, c.expectEnd(), s.String())
		})
	}
}

func TestEndOfADeafProgram(t *testing.T) {
	c := open(t)
	c.send("hold\r")
	c.expect("holding")
	c.send("\x1c")
	assert.ErrorContains(t, c.expectEnd(), "terminated")
}

func TestPanic(t *testing.T) {
	for name, keys := range map[string]string{"in a command": "break\r", "in completion": "burst\t"} {
		t.Run(name, func(t *testing.T) {
			c := open(t)
			c.send(keys)
			assert.Error(t, c.expectEnd())
			c.until("what it broke over", func() bool { return strings.Contains(c.written(), "panic: broken ") })
		})
	}
}

func TestStopAndGoOn(t *testing.T) {
	c := open(t)
	c.send("half")
	c.expectLast("bench: half")
	c.signal(syscall.SIGSTOP)
	c.signal(syscall.SIGCONT)
	c.until("the marks on again", func() bool { return strings.Count(c.written(), pasteMarksOn) == 2 })
	c.send(" done\r")
	c.expect(`got "half done"`)
	c.send("quit\r")
	assert.NoError(t, c.expectEnd())
}

func TestColour(t *testing.T) {
	t.Parallel()
	for environment, is := range map[string]bool{"TERM=xterm": true, "NO_COLOR=1": false, "TERM=dumb": false} {
		c := openSized(t, 80, 24, environment)
		c.send("colour\r")
		c.expect(fmt.Sprintf("colour %v", is))
		assert.Equal(t, environment != "TERM=dumb", strings.Contains(c.written(), pasteMarksOn))
	}
}
