// Package terminal reads lines from a person at a terminal: with editing, history, completion, and pastes that come
// through whole.
//
// The editing of a line, the history and the search in it are readline's. What it does badly is done here: keys and
// pastes are told apart before it sees them (decode.go, input.go), what changes a line by more than a key is put in at
// once (edit.go), and the screen is drawn by our own hand (screen.go), since readline's cursor is off after wide
// characters and its drawing of a long line takes time in the square of its length.
//
// From Open to Close the terminal belongs to the Terminal: what is typed while a command runs waits, unseen, for the next
// line; Ctrl-C then calls what Interrupts was given, and Ctrl-\ ends a program that does not listen.
package terminal

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"

	"github.com/chzyer/readline"
)

// MaxLine is the longest line that is read, in bytes.
const MaxLine = 1 << 20

// maxPaste is the longest paste that is read, in bytes.
const maxPaste = 16 << 20

// What Line and Ask return besides io.EOF. Each is a sentence that can be shown.
var (
	ErrInterrupt    = errors.New("The line was thrown away.")
	ErrLineTooLong  = errors.New("A line can be 1 MiB long at most; this one was not read.")
	ErrPasteTooLong = errors.New("A paste can be 16 MiB long at most; nothing of this one was read.")
	ErrNotTerminal  = errors.New("The input or the output is not a terminal.")
)

// The terminal is told to put marks around a paste, so that it can be told from typing.
const (
	pasteMarksOn  = "\x1b[?2004h"
	pasteMarksOff = "\x1b[?2004l"
)

// Config says what a Terminal works on.
type Config struct {
	In  *os.File // os.Stdin where nil
	Out *os.File // os.Stdout where nil

	// History is the path of the history file; without one, history lasts as long as the Terminal.
	History string

	// Complete gives what could stand in the place of line[from:at], where at is the cursor. Both are byte offsets. It is
	// called while Line waits, from another goroutine. A panic in it comes out of Line. Without it, Tab does nothing.
	Complete func(line string, at int) (from int, options []string)
}

// Terminal reads lines from a terminal and writes to it.
type Terminal struct {
	config  Config
	state   *readline.State // as the terminal was found
	screen  *screen
	input   *input
	history *history
	signals chan os.Signal

	reading sync.Mutex // held while a line is read
	editor  editor

	ending   sync.Mutex // guards what follows
	closed   bool
	restored bool
}

// Open takes the terminal over. ErrNotTerminal is returned where there is none; the caller then reads lines by itself.
// A history file that cannot be used is no hindrance: HistoryError tells.
func Open(c Config) (*Terminal, error) {
	if c.In == nil {
		c.In = os.Stdin
	}
	if c.Out == nil {
		c.Out = os.Stdout
	}
	if !isTerminal(c.In) || !isTerminal(c.Out) {
		return nil, ErrNotTerminal
	}
	t := &Terminal{config: c, signals: make(chan os.Signal, 8)}
	t.screen = newScreen(c.Out, func() (int, int) { return sizeOf(c.Out) })
	t.input = newInput(func() { t.endBy(endSignal) })
	t.history = openHistory(c.History)
	state, err := makeRaw(c.In)
	if err != nil {
		return nil, fmt.Errorf("The terminal cannot be set up for typing: %w.", err)
	}
	t.state = state
	t.pasteMarks(true)
	t.watchSignals()
	go t.input.readFrom(c.In)
	return t, nil
}

// Close gives the terminal back as it was found. A line that is being read ends with io.EOF. The first key pressed after
// Close can be lost where the program goes on reading In. Close can be called again.
func (t *Terminal) Close() error {
	t.ending.Lock()
	again := t.closed
	t.closed = true
	t.ending.Unlock()
	if again {
		return nil
	}
	t.input.end()
	t.reading.Lock()
	t.editor.close()
	t.reading.Unlock()
	t.unwatchSignals()
	t.input.stopReading(t.config.In)
	return t.restore()
}

// restore gives the terminal back, once, whoever asks first.
func (t *Terminal) restore() error {
	t.ending.Lock()
	defer t.ending.Unlock()
	if t.restored {
		return nil
	}
	t.restored = true
	t.screen.finish()
	t.pasteMarks(false)
	return setState(t.config.In, t.state)
}

// retake takes the terminal over again after the program was stopped and went on.
func (t *Terminal) retake() {
	t.ending.Lock()
	defer t.ending.Unlock()
	if t.restored {
		return
	}
	if _, err := makeRaw(t.config.In); err != nil {
		return // it is gone, which the reading of it will tell
	}
	t.pasteMarks(true)
	t.screen.redraw()
}

// pasteMarks switches the marks around pastes. A terminal that knows no such words is spared them.
func (t *Terminal) pasteMarks(on bool) {
	if os.Getenv("TERM") == "dumb" {
		return
	}
	text := pasteMarksOff
	if on {
		text = pasteMarksOn
	}
	t.screen.send(text)
}

// Line shows the prompt and reads a line. It returns io.EOF for Ctrl-D on an empty line and where the terminal is gone,
// ErrInterrupt for Ctrl-C. A pasted text of several lines comes line by line, in order; what follows its last line end is
// left to be edited. Lines of a paste that are still to come are given without waiting: see Waiting and Forget.
func (t *Terminal) Line(prompt string) (string, error) {
	t.reading.Lock()
	defer t.reading.Unlock()
	if t.isClosed() {
		return "", io.EOF
	}
	prompt = t.introduce(prompt)
	line, pasted := t.input.nextPasted()
	if pasted {
		t.screen.echo(prompt, line)
	} else {
		var err error
		if line, err = t.edit(prompt, t.history.lines, t.config.Complete); err != nil {
			return "", err
		}
	}
	if len(line) > MaxLine {
		return "", ErrLineTooLong
	}
	t.history.add(line)
	return line, nil
}

// Ask shows a question and reads one answer, which does not enter the history. Lines of a paste that are still to come
// are never taken for the answer. The errors are those of Line.
func (t *Terminal) Ask(question string) (string, error) {
	t.reading.Lock()
	defer t.reading.Unlock()
	if t.isClosed() {
		return "", io.EOF
	}
	question = t.introduce(question)
	answer, err := t.edit(question, nil, nil)
	if err == nil && len(answer) > MaxLine {
		return "", ErrLineTooLong
	}
	return answer, err
}

// introduce writes all lines of a prompt but the last, which is the one that stands before the cursor.
func (t *Terminal) introduce(prompt string) string {
	cut := strings.LastIndexByte(prompt, '\n') + 1
	if cut > 0 {
		_, _ = t.screen.Write([]byte(prompt[:cut]))
	}
	return prompt[cut:]
}

func (t *Terminal) isClosed() bool {
	t.ending.Lock()
	defer t.ending.Unlock()
	return t.closed
}

// Waiting is the number of pasted lines that the next calls of Line give without waiting.
func (t *Terminal) Waiting() int { return t.input.waitingLines() }

// Forget throws away what was typed or pasted ahead. Ctrl-C while no line is being typed does so too.
func (t *Terminal) Forget() { t.input.forget() }

// HistoryError says why the history is not kept in its file, nil where it is.
func (t *Terminal) HistoryError() error {
	t.reading.Lock()
	defer t.reading.Unlock()
	return t.history.err
}

// Write prints p. While a line is being typed it is printed above the line, whole lines only: an unfinished one is held
// back until its end is written, or until the typed line is done.
func (t *Terminal) Write(p []byte) (int, error) { return t.screen.Write(p) }

// Width is the number of columns of the terminal, 80 where it does not say.
func (t *Terminal) Width() int {
	columns, _ := sizeOf(t.config.Out)
	return columns
}

// Colour says whether the output may be coloured: NO_COLOR is not set, and the terminal is more than a dumb one.
func (t *Terminal) Colour() bool {
	return isTerminal(t.config.Out) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}
