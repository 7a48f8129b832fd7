//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Keys as a terminal sends them.
const (
	enter = "\r"
	tab   = "\t"
	ctrlC = "\x03"
	ctrlD = "\x04"
	ctrlU = "\x15" // takes the line before the cursor away
)

// patience is how long a test waits for what must come. It is spent only where a test fails.
const patience = 60 * time.Second

// console is a terminal with the program at its other end, and what its screen shows.
type console struct {
	t      *testing.T
	master *os.File
	cmd    *exec.Cmd

	mu     sync.Mutex
	screen *vt.Emulator
	sent   bytes.Buffer // all that the program wrote
	ended  bool
	status int
}

// startShell starts the program in a folder, at a terminal of 100 by 40.
func startShell(t *testing.T, folder string, args ...string) *console {
	t.Helper()
	master, slave, err := pty.Open()
	require.NoError(t, err)
	c := &console{t: t, master: master, screen: vt.NewEmulator(100, 40)}
	require.NoError(t, pty.Setsize(master, &pty.Winsize{Cols: 100, Rows: 40}))
	c.cmd = exec.Command("castwright", args...)
	c.cmd.Dir = folder
	c.cmd.Env = append(os.Environ(), "TERM=xterm", "NO_COLOR=1", "XDG_CONFIG_HOME="+t.TempDir(), "HOME="+t.TempDir())
	c.cmd.Stdin, c.cmd.Stdout, c.cmd.Stderr = slave, slave, slave
	c.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, c.cmd.Start())
	var reading sync.WaitGroup
	reading.Go(c.watch)
	exited := make(chan struct{})
	go func() {
		_ = c.cmd.Wait()
		c.mu.Lock()
		c.ended, c.status = true, c.cmd.ProcessState.ExitCode()
		c.mu.Unlock()
		close(exited)
	}()
	t.Cleanup(func() {
		_ = c.cmd.Process.Kill()
		<-exited
		_ = slave.Close()
		_ = master.Close()
		reading.Wait()
	})
	return c
}

// watch draws what the program writes.
func (c *console) watch() {
	buffer := make([]byte, 64<<10)
	for {
		n, err := c.master.Read(buffer)
		c.mu.Lock()
		c.sent.Write(buffer[:n])
		_, _ = c.screen.Write(buffer[:n])
		c.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (c *console) shows() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.screen.String()
}

// send types.
func (c *console) send(keys string) {
	c.t.Helper()
	_, err := c.master.WriteString(keys)
	require.NoError(c.t, err)
}

// until waits for something to become so.
func (c *console) until(what string, is func() bool) {
	c.t.Helper()
	for end := time.Now().Add(patience); !is(); time.Sleep(2 * time.Millisecond) {
		if time.Now().After(end) {
			require.FailNow(c.t, "did not come: "+what, "screen:\n%s", c.shows())
		}
	}
}

// expect waits for a text on the screen.
func (c *console) expect(text string) {
	c.t.Helper()
	c.until(text, func() bool { return strings.Contains(c.shows(), text) })
}

// expectLast waits for the last row that is not empty to be this.
func (c *console) expectLast(row string) {
	c.t.Helper()
	c.until("last "+row, func() bool {
		rows := strings.Split(strings.TrimRight(c.shows(), " \n"), "\n")
		return strings.TrimRight(rows[len(rows)-1], " ") == row
	})
}

// does types a line and waits for its answer, which may stand on the screen already, and for the prompt behind it.
func (c *console) does(line, answer, prompt string) {
	c.t.Helper()
	c.mu.Lock()
	before := c.sent.Len()
	c.mu.Unlock()
	c.send(line + enter)
	c.until(answer, func() bool {
		c.mu.Lock()
		defer c.mu.Unlock()
		return strings.Contains(c.sent.String()[before:], answer)
	})
	c.expectLast(prompt)
}

// expectEnd waits for the program to end, and gives its exit state.
func (c *console) expectEnd() int {
	c.t.Helper()
	c.until("the end of the program", func() bool { c.mu.Lock(); defer c.mu.Unlock(); return c.ended })
	return c.status
}

// kill ends the program as a failing machine would.
func (c *console) kill() {
	c.t.Helper()
	require.NoError(c.t, c.cmd.Process.Kill())
	c.expectEnd()
}

const benchSheet = `section "Inputs"
width = 600 mm
depth = 430 mm
section "Piece"
area = width * depth
`

// folderWith makes a folder with a sheet in it.
func folderWith(t *testing.T, name, text string) string {
	t.Helper()
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644))
	return folder
}

func textOf(t *testing.T, folder, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, name))
	require.NoError(t, err)
	return string(text)
}

func TestShellGreetsAndPrompts(t *testing.T) {
	t.Parallel()
	c := startShell(t, folderWith(t, "bench.sheet", benchSheet+"check area > 1 m^2\nbad = nothing\n"), "bench.sheet")
	c.expect("bench.sheet: 1 sheet, 4 cells, 1 mistake, 1 failed check. help tells what can be typed.")
	c.expectLast("bench:")
	c.does("width + depth", "1030 mm", "bench:")
	c.send("(width +" + enter)
	c.expectLast("  and:")
	c.does("  1 m)", "1600 mm", "bench:")
	c.send("quit" + enter)
	assert.Equal(t, fine, c.expectEnd())
}

func TestShellBeginsEmpty(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	c := startShell(t, folder)
	c.expect("sheet: 1 sheet, 0 cells. help tells what can be typed.")
	c.does("width = 3 m", "width  3 m", "sheet:")
	c.send("quit" + enter)
	c.expect("Not saved: sheet. Save before leaving? (yes, no, or stay)")
	c.does("yes", "These lines have no place on disk yet; write save NAME.sheet.", "sheet:")
	c.does("save stool", "stool.sheet saved.", "stool:")
	c.send("quit" + enter)
	assert.Equal(t, fine, c.expectEnd())
	assert.Equal(t, "width = 3 m\n", textOf(t, folder, "stool.sheet"))
}

// Tab completes names, rules, parameters, units, commands and paths.
func TestShellCompletes(t *testing.T) {
	t.Parallel()
	folder := folderWith(t, "bench.sheet", benchSheet+"rule doubled(long_side [mm], other = 2)\n  give long_side * other\nend\n")
	c := startShell(t, folder, "bench.sheet")
	c.expectLast("bench:")
	for _, test := range []struct{ typed, line string }{
		{"2 * wid", "2 * width"},                                   // a name
		{"doub", "doubled("},                                       // a rule
		{"doubled(long", "doubled(long_side:"},                     // one of its parameters
		{"x = 3 board", "x = 3 board_ft"},                          // a unit behind a number
		{"area [yd", "area [yd"},                                   // several: yd and others, none is put in
		{"area [acr", "area [acre"},                                // a unit in a bracket
		{"ren", "rename"},                                          // a command
		{"rename dep", "rename depth"},                             // a name behind it
		{"open ben", "open bench.sheet"},                           // a path
		{`part p from "ben`, `part p from "bench.sheet`},           // a path in a line
		{`part p from library "mou`, `part p from library "mould`}, // a starter sheet
		{"help doub", "help doubled"},
	} {
		c.send(test.typed + tab)
		c.expectLast("bench: " + test.line)
		c.send(ctrlU)
		c.expectLast("bench:")
	}
}

// Ctrl-C throws a half-typed line away, also one that goes on over several.
func TestShellThrowsALineAway(t *testing.T) {
	t.Parallel()
	c := startShell(t, folderWith(t, "bench.sheet", benchSheet), "bench.sheet")
	c.expectLast("bench:")
	c.send("width = 70")
	c.expectLast("bench: width = 70")
	c.send(ctrlC)
	c.expect("bench: width = 70\nbench:")
	c.send("width = (700 mm +" + enter)
	c.expectLast("  and:")
	c.send(ctrlC)
	c.expectLast("bench:")
	c.does("width", "600 mm", "bench:")
	c.send(ctrlD)
	assert.Equal(t, fine, c.expectEnd())
}

// slowSheet takes many seconds to compute where k is 1, and none where it is 0.
const slowSheet = `k = 0
table log from "log.csv"
  less = if k == 0 then 0 else sum(log.x where log.x < x * k)
  | x [1]
end
total = sum(log.less)
`

// slowFolder makes a folder with a sheet and the log that it reads.
func slowFolder(t *testing.T, text string) string {
	t.Helper()
	folder := folderWith(t, "slow.sheet", text)
	log := bytes.NewBufferString("x\n")
	for x := range 20_000 {
		fmt.Fprintln(log, x)
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "log.csv"), log.Bytes(), 0o644))
	return folder
}

// Ctrl-C stops a long computation, and the job is as it was.
func TestShellStopsALongComputation(t *testing.T) {
	t.Parallel()
	folder := slowFolder(t, slowSheet)
	c := startShell(t, folder, "slow.sheet")
	c.expectLast("slow:")
	c.send("k = 1" + enter)
	c.expect("Working out: ") // it has begun: before, Ctrl-C would be one at the prompt
	c.send(ctrlC)
	c.expect("Stopped: the edit was taken back.")
	c.expectLast("slow:")
	c.does("show k total", "total  0", "slow:")
	c.does("save", "All is saved.", "slow:")
	c.send("quit" + enter)
	c.expectEnd()
	assert.Equal(t, slowSheet, textOf(t, folder, "slow.sheet"))
}

// A job that takes long to open tells how far it is. Ctrl-C stops that: the shell stays in the job that it has, and ends
// where it has none.
func TestShellStopsASlowOpening(t *testing.T) {
	t.Parallel()
	folder := slowFolder(t, strings.Replace(slowSheet, "k = 0", "k = 1", 1))
	c := startShell(t, folder, "slow.sheet")
	c.expect("Working out: ")
	c.send(ctrlC)
	c.expect("Stopped: the job was not opened.")
	assert.Equal(t, usage, c.expectEnd())

	c = startShell(t, folder)
	c.expect("Working out: ") // the folder that it starts in
	c.send(ctrlC)
	assert.Equal(t, usage, c.expectEnd())

	require.NoError(t, os.MkdirAll(filepath.Join(folder, "other"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "other", "bench.sheet"), []byte(benchSheet), 0o644))
	c = startShell(t, folder, "other")
	c.expectLast("bench:")
	c.send("open slow.sheet" + enter)
	c.expect("Working out: ")
	c.send(ctrlC)
	c.expect("Stopped: the job was not opened.")
	c.expectLast("bench:")
	c.does("width = 700 mm", "→  700 mm", "bench:")
	c.does("save", "bench.sheet saved: 1 line changed", "bench:")
}

// A bare value takes the place of a formula only after a question that shows the formula.
func TestShellAsksBeforeAFormulaGoes(t *testing.T) {
	t.Parallel()
	c := startShell(t, folderWith(t, "bench.sheet", benchSheet), "bench.sheet")
	question := "area is worked out: width * depth. Put the value in its place? (yes or no)"
	c.expectLast("bench:")
	for _, answer := range []string{"no" + enter, enter, ctrlC, ctrlD} {
		c.send("area = 3 m^2" + enter)
		c.expectLast(question)
		c.send(answer)
		c.expect("It stays as it was.")
		c.expectLast("bench:")
		c.does("area", "0.258 m^2", "bench:")
		c.send("\x0c") // a clear screen for the next
		c.until("a clear screen", func() bool { return !strings.Contains(c.shows(), "It stays") })
	}
	c.send("area = 3 m^2" + enter)
	c.expectLast(question)
	c.does("yes", "area  0.258 m^2  →  3 m^2", "bench:")
	c.does("undo", "area  3 m^2  →  0.258 m^2", "bench:")
	c.does("save", "All is saved.", "bench:")
}

// Ctrl-D on an empty line leaves, and asks where something is not saved.
func TestShellAsksBeforeItLeaves(t *testing.T) {
	t.Parallel()
	question := "Not saved: bench. Save before leaving? (yes, no, or stay)"
	folder := folderWith(t, "bench.sheet", benchSheet)
	c := startShell(t, folder, "bench.sheet")
	c.expectLast("bench:")
	c.does("width = 700 mm", "→  700 mm", "bench:")
	c.send(ctrlD)
	c.expectLast(question)
	c.send("stay" + enter)
	c.expectLast("bench:")
	c.send("quit" + enter)
	c.expectLast(question)
	c.send("yes" + enter)
	assert.Equal(t, fine, c.expectEnd())
	c.expect("bench.sheet saved: 1 line changed")
	saved := strings.Replace(benchSheet, "600", "700", 1)
	assert.Equal(t, saved, textOf(t, folder, "bench.sheet"))

	c = startShell(t, folder, "bench.sheet")
	c.expectLast("bench:")
	c.does("width = 800 mm", "→  800 mm", "bench:")
	c.send(ctrlD)
	c.expectLast(question)
	c.send("no" + enter)
	assert.Equal(t, fine, c.expectEnd())
	assert.Equal(t, saved, textOf(t, folder, "bench.sheet"))
	assert.NoFileExists(t, filepath.Join(folder, "bench.journal"))
}

// What was not saved when the program was killed is offered at the next start, and taken up or left.
func TestShellTakesUpWhatWasNotSaved(t *testing.T) {
	t.Parallel()
	folder := folderWith(t, "bench.sheet", benchSheet)
	edited := func() {
		c := startShell(t, folder, "bench.sheet")
		c.expectLast("bench:")
		c.does("width = 700 mm", "→  700 mm", "bench:")
		c.does("spare = 3", "spare  3", "bench:")
		c.kill()
	}
	question := "2 edits of bench were not saved when the last run ended. Take them up? (yes or no)"

	edited()
	c := startShell(t, folder, "bench.sheet")
	c.expectLast(question)
	c.kill() // asking loses nothing
	c = startShell(t, folder, "bench.sheet")
	c.expectLast(question)
	c.does("no", "They are kept in bench.journal.kept-1.", "bench:")
	c.does("width", "600 mm", "bench:")
	c.send(ctrlD)
	c.expectEnd()
	assert.Equal(t, benchSheet, textOf(t, folder, "bench.sheet"))
	assert.FileExists(t, filepath.Join(folder, "bench.journal.kept-1"))

	edited()
	c = startShell(t, folder, "bench.sheet")
	c.expectLast(question)
	c.does("yes", "spare  3", "bench:")
	c.does("undo", "width  700 mm", "bench:")
	c.does("redo", "spare  3", "bench:")
	c.kill() // what was taken up is in the journal again
	c = startShell(t, folder, "bench.sheet")
	c.expectLast("1 edit of bench was not saved when the last run ended. Take them up? (yes or no)")
	c.does("yes", "spare  3", "bench:")
	c.does("save", "bench.sheet saved: 1 line changed, 1 line more", "bench:")
	c.send(ctrlD)
	assert.Equal(t, fine, c.expectEnd())
	assert.Equal(t, strings.Replace(benchSheet, "600", "700", 1)+"spare = 3\n", textOf(t, folder, "bench.sheet"))
	assert.NoFileExists(t, filepath.Join(folder, "bench.journal"))
}

// A second shell on a job is told so; it can look, and not change.
func TestSecondShellOnlyLooks(t *testing.T) {
	t.Parallel()
	folder := folderWith(t, "bench.sheet", benchSheet)
	first := startShell(t, folder, "bench.sheet")
	first.expectLast("bench:")
	first.does("width = 700 mm", "→  700 mm", "bench:")
	second := startShell(t, folder, "bench.sheet")
	second.expect("This job is open in another shell. Here it can be looked at, and not changed.")
	second.expectLast("bench:")
	second.does("width", "600 mm", "bench:")
	second.does("width = 800 mm", "This job can be looked at here and not changed", "bench:")
	first.does("save", "bench.sheet saved: 1 line changed", "bench:")
	second.does("width + 1 m", "Changed by another program since it was read: bench.sheet. reload takes it.", "bench:")
	second.does("reload", "width  600 mm", "bench:")
	second.send(ctrlD)
	assert.Equal(t, wrong, second.expectEnd(), "a line was refused")
	first.send(ctrlD)
	assert.Equal(t, fine, first.expectEnd())
}

// A whole sheet that is pasted is taken line by line.
func TestShellTakesAPaste(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	c := startShell(t, folder)
	c.expectLast("sheet:")
	text := benchSheet + "table t\n  a | b\n  1 | 2\n\n  3 | 4\nend\nlast = sum(t.b)\n"
	c.send("\x1b[200~" + strings.ReplaceAll(text, "\n", "\r") + "\x1b[201~")
	c.expect("last  6")
	c.does("save pasted", "pasted.sheet saved.", "pasted:")
	assert.Equal(t, strings.Replace(text, "\nsection", "\n\nsection", 1), textOf(t, folder, "pasted.sheet"))
}

// What another program changes is told before the next answer, taken by reload, and given back by undo.
func TestShellTellsOfChangesOutside(t *testing.T) {
	t.Parallel()
	folder := folderWith(t, "bench.sheet", benchSheet+"table log from \"log.csv\"\n  | hours [h]\nend\ntotal = sum(log.hours)\n")
	put := func(name, text string) {
		t.Helper()
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644))
	}
	put("log.csv", "hours\n1\n2\n")
	c := startShell(t, folder, "bench.sheet")
	c.expectLast("bench:")
	c.does("total", "3 h", "bench:")
	put("log.csv", "hours\n1\n2\n10\n")
	c.does("total", "Changed by another program since it was read: log.csv. reload takes it.", "bench:")
	c.does("total + 0 h", "3 h", "bench:")
	c.does("reload", "total      3 h     →  13 h", "bench:")
	c.does("undo", "total      13 h    →  3 h", "bench:")
	c.does("redo", "total      3 h     →  13 h", "bench:")

	c.does("width = 700 mm", "→  700 mm", "bench:")
	put("bench.sheet", strings.Replace(textOf(t, folder, "bench.sheet"), "430", "500", 1))
	c.does("save", "bench.sheet was changed by another program since it was read, and was not saved over", "bench:")
	c.does("reload", "depth  430 mm", "bench:")
	c.does("save", "All is saved.", "bench:")
	c.does("undo", "depth  500 mm", "bench:")
	c.does("save", "bench.sheet saved: 2 lines changed", "bench:")
	assert.Contains(t, textOf(t, folder, "bench.sheet"), "width = 700 mm\ndepth = 430 mm\n")
}
