//go:build unix

package terminal

import (
	"bytes"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/chzyer/readline"
	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
)

// patience is how long a test waits for what must come. It is spent only where a test fails.
const patience = 30 * time.Second

// console is a terminal with the child at its other end, and what its screen shows.
type console struct {
	t      *testing.T
	master *os.File
	slave  *os.File
	cmd    *exec.Cmd
	before readline.State // of the terminal, before the child

	mu     sync.Mutex
	screen *vt.Emulator
	sent   bytes.Buffer // all that the child wrote
	ended  bool
	result error
}

// open starts the child at a terminal of 80 by 24.
func open(t *testing.T, environment ...string) *console {
	t.Helper()
	t.Parallel()
	return openSized(t, 80, 24, environment...)
}

func openSized(t *testing.T, columns, rows int, environment ...string) *console {
	t.Helper()
	master, slave, err := pty.Open()
	require.NoError(t, err)
	c := &console{t: t, master: master, slave: slave, screen: vt.NewEmulator(columns, rows)}
	require.NoError(t, pty.Setsize(master, &pty.Winsize{Cols: uint16(columns), Rows: uint16(rows)}))
	c.before = c.state()
	c.cmd = exec.Command(os.Args[0], "-test.run=^$")
	c.cmd.Env = append(os.Environ(), childMark+"=1", "TERM=xterm", "NO_COLOR=", "GOCOVERDIR="+t.TempDir())
	c.cmd.Env = append(c.cmd.Env, environment...)
	c.cmd.Stdin, c.cmd.Stdout, c.cmd.Stderr = slave, slave, slave
	c.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, c.cmd.Start())
	var reading sync.WaitGroup
	reading.Go(c.watch)
	exited := make(chan struct{})
	go func() {
		err := c.cmd.Wait()
		c.mu.Lock()
		c.ended, c.result = true, err
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
	c.expect("bench:")
	return c
}

// watch draws what the child writes.
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

func (c *console) state() readline.State {
	state, err := readline.GetState(int(c.slave.Fd()))
	require.NoError(c.t, err)
	return *state
}

// send types.
func (c *console) send(keys string) {
	c.t.Helper()
	_, err := c.master.WriteString(keys)
	require.NoError(c.t, err)
}

// paste types with the marks of a paste around.
func (c *console) paste(text string) { c.t.Helper(); c.send("\x1b[200~" + text + "\x1b[201~") }

func (c *console) shows() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.screen.String()
}

func (c *console) cursor() (x, y int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	p := c.screen.CursorPosition()
	return p.X, p.Y
}

func (c *console) written() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.sent.String()
}

// until waits for something to become so.
func (c *console) until(what string, is func() bool) {
	c.t.Helper()
	for end := time.Now().Add(patience); !is(); time.Sleep(2 * time.Millisecond) {
		if time.Now().After(end) {
			x, y := c.cursor()
			require.FailNow(c.t, "did not come: "+what, "cursor %d, %d; screen:\n%s", x, y, c.shows())
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
		return strings.TrimRight(rows[len(rows)-1], " ") == strings.TrimRight(row, " ")
	})
}

// expectCursor waits for the cursor to stand in a column of the screen.
func (c *console) expectCursor(column int) {
	c.t.Helper()
	c.until("cursor", func() bool { x, _ := c.cursor(); return x == column })
}

// expectEnd waits for the child to end, and says how it did.
func (c *console) expectEnd() error {
	c.t.Helper()
	c.until("the end of the program", func() bool { c.mu.Lock(); defer c.mu.Unlock(); return c.ended })
	c.until("the last of the output", func() bool { return strings.Contains(c.written(), pasteMarksOff) })
	require.Equal(c.t, c.before, c.state(), "the terminal is as it was found")
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.result
}

func (c *console) signal(s os.Signal) {
	c.t.Helper()
	require.NoError(c.t, c.cmd.Process.Signal(s))
}
