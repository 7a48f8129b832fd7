//go:build unix

package terminal

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"testing"
)

// childMark has the test binary run as the program at the other end of a terminal.
const childMark = "TERMINAL_TEST_CHILD"

func TestMain(m *testing.M) {
	if os.Getenv(childMark) != "" {
		os.Exit(child())
	}
	os.Exit(m.Run())
}

// child reads lines as a shell does, and says what it got.
func child() int {
	t, err := Open(Config{History: os.Getenv("TERMINAL_TEST_HISTORY"), Complete: completeTestWord})
	if err != nil {
		fmt.Println("cannot open:", err)
		return 1
	}
	defer t.Close()
	nudges := make(chan os.Signal, 8)
	signal.Notify(nudges, syscall.SIGUSR1, syscall.SIGUSR2)
	commands := map[string]func(){
		"run":    func() { runUntilInterrupted(t) },
		"hold":   func() { fmt.Println("holding"); <-nudges },
		"report": func() { go report(t, nudges) },
		"ask":    func() { ask(t) },
		"break":  func() { panic("broken on purpose") },
		"width":  func() { fmt.Fprintf(t, "width %d\n", t.Width()) },
		"colour": func() { fmt.Fprintf(t, "colour %v\n", t.Colour()) },
	}
	for {
		line, err := t.Line("bench: ")
		switch {
		case err == io.EOF:
			fmt.Fprintln(t, "at the end")
			return 0
		case errors.Is(err, ErrInterrupt):
			fmt.Fprintln(t, "thrown away")
		case err != nil:
			fmt.Fprintf(t, "refused: %v\n", err)
		case line == "quit":
			return 0
		case commands[line] != nil:
			commands[line]()
		default:
			fmt.Fprintln(t, "got "+told(line))
		}
	}
}

// told is a line as the child says it: a long one by its length and sum.
func told(line string) string {
	if len(line) > 200 {
		return fmt.Sprintf("%d bytes, sum %x", len(line), sha256.Sum256([]byte(line)))[:40]
	}
	return fmt.Sprintf("%q", line)
}

func runUntilInterrupted(t *Terminal) {
	stopped := make(chan struct{}, 1)
	stop := Interrupts(func() { stopped <- struct{}{} })
	defer stop()
	fmt.Fprintln(t, "running")
	<-stopped
	fmt.Fprintln(t, "stopped")
}

// report writes while a line is being typed: a line at SIGUSR1, one in two parts at SIGUSR2.
func report(t *Terminal, nudges <-chan os.Signal) {
	for s := range nudges {
		if s == syscall.SIGUSR1 {
			fmt.Fprintln(t, "a note in between")
		} else {
			fmt.Fprint(t, "half a note, ")
			fmt.Fprintln(t, "and the other half")
		}
	}
}

func ask(t *Terminal) {
	answer, err := t.Ask("sure? ")
	fmt.Fprintf(t, "answer %q %v\n", answer, err)
}

func completeTestWord(line string, at int) (int, []string) {
	if strings.HasPrefix(line, "burst") {
		panic("broken in completion")
	}
	from := strings.LastIndexAny(line[:at], " ()+") + 1
	var options []string
	for _, name := range []string{"seat_depth", "seat_width", "seat_breite_größe", "thickness", "pieces", "pallets", "日本の石", "日本の型"} {
		if strings.HasPrefix(name, line[from:at]) {
			options = append(options, name)
		}
	}
	return from, options
}
