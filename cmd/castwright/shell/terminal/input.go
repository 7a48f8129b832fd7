package terminal

import (
	"io"
	"os"
	"strings"
	"sync"
	"time"
	"unicode/utf8"
)

// mark is what readline sees where one of our own deeds is to be done: a character for private use.
const mark = '\U0010FFFD'

// fewBytes is up to where text goes to readline key by key. Longer text is put in at once.
const fewBytes = 32

// What gather does for a text of longText bytes: it waits for gatherTime, and again if something came.
const (
	longText   = 1024
	gatherTime = 5 * time.Millisecond
)

// input holds what was done at the keyboard and was not yet taken. readline reads from it, one event at a time.
type input struct {
	mu     sync.Mutex
	more   *sync.Cond
	events []event
	deeds  []event  // what readline was given marks for
	pasted []string // lines of a paste that are still to come
	rest   *event   // what follows them, to be edited
	typing bool     // a line is being typed
	gone   bool     // the terminal is gone, or the line must end at once
	quit   func()   // ends the program in good order

	stopped chan struct{} // closed when reading has ended
}

func newInput(quit func()) *input {
	in := &input{quit: quit, stopped: make(chan struct{})}
	in.more = sync.NewCond(&in.mu)
	return in
}

// readFrom reads the terminal until it is gone.
func (in *input) readFrom(file io.Reader) {
	defer close(in.stopped)
	var d decoder
	buffer := make([]byte, 32<<10)
	for {
		n, err := file.Read(buffer)
		in.push(d.decode(buffer[:n])...)
		if err != nil {
			in.end()
			return
		}
	}
}

// stopReading ends readFrom where the system can break off a read. Where it cannot, the read ends with the next key.
func (in *input) stopReading(file *os.File) {
	if file.SetReadDeadline(time.Now()) != nil {
		return
	}
	<-in.stopped
	_ = file.SetReadDeadline(time.Time{}) // the file is as it was for whoever reads it next
}

// end has the line that is being typed end, and all later ones.
func (in *input) end() {
	in.mu.Lock()
	in.gone = true
	in.mu.Unlock()
	in.more.Broadcast()
}

func (in *input) isGone() bool {
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.gone
}

// push adds events. Ctrl-C where no line is being typed throws away what waits, and tells the commands that run.
func (in *input) push(events ...event) {
	in.mu.Lock()
	defer in.mu.Unlock()
	for _, e := range events {
		switch {
		case e.do == quit:
			if !in.typing {
				go in.quit()
			}
		case e.do == pressKey && e.text == keyInterrupt && !in.typing:
			in.drop()
			if !interruptCommands() {
				in.events = append(in.events, e)
			}
		default:
			in.add(e)
		}
	}
	in.more.Broadcast()
}

// add puts an event at the end, text to text, so that fast typing is put in at once.
func (in *input) add(e event) {
	last := len(in.events) - 1
	if last < 0 || e.do != typeText || in.events[last].do != typeText {
		in.events = append(in.events, e)
		return
	}
	before := &in.events[last]
	if before.over = before.over || len(before.text)+len(e.text) > MaxLine; !before.over {
		before.text += e.text
	}
}

// setTyping says whether a line is being typed.
func (in *input) setTyping(typing bool) {
	in.mu.Lock()
	defer in.mu.Unlock()
	in.typing = typing
	if !typing {
		in.deeds = nil
	}
}

// gather waits while a long text goes on coming, so that a paste without marks around it is put in and drawn once, not
// once for each piece that the system makes of it. Mostly there is nothing to wait for.
func (in *input) gather() {
	for before := 0; len(in.events) == 1 && in.events[0].do == typeText; {
		now := len(in.events[0].text)
		if now < longText || now == before || in.events[0].over {
			return
		}
		before = now
		in.mu.Unlock()
		time.Sleep(gatherTime)
		in.mu.Lock()
	}
}

// Read gives readline its next event: a key, or a mark.
func (in *input) Read(p []byte) (int, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	for len(in.events) == 0 && !in.gone {
		in.more.Wait()
		in.gather()
	}
	if len(in.events) == 0 {
		// Not the end of input: readline would take what was typed so far for a whole line.
		return copy(p, keyInterrupt), nil
	}
	e := in.events[0]
	if e.do == typeText && !e.over && len(e.text) <= fewBytes {
		_, size := utf8.DecodeRuneInString(e.text)
		if in.events[0].text = e.text[size:]; size == len(e.text) {
			in.events = in.events[1:]
		}
		return copy(p, e.text[:size]), nil
	}
	in.events = in.events[1:]
	if e.do == pressKey {
		return copy(p, e.text), nil
	}
	if e.do == pasteText {
		e = in.splitPaste(e)
	}
	in.deeds = append(in.deeds, e)
	return utf8.EncodeRune(p, mark), nil
}

// Close is for readline, which wants its input to have one.
func (in *input) Close() error { return nil }

// splitPaste gives the first line of a paste, to be put in; the others are kept. The line ends as by Enter.
func (in *input) splitPaste(e event) event {
	lines := strings.Split(e.text, "\n")
	if len(lines) == 1 {
		return e
	}
	last := len(lines) - 1
	in.pasted = lines[1:last]
	in.rest = &event{do: putRest, text: lines[last]}
	in.events = append([]event{{do: pressKey, text: keyEnter}}, in.events...)
	return event{do: pasteText, text: lines[0], cut: true}
}

// nextDeed gives what the mark that readline saw stands for.
func (in *input) nextDeed() (event, bool) {
	in.mu.Lock()
	defer in.mu.Unlock()
	if len(in.deeds) == 0 {
		return event{}, false
	}
	e := in.deeds[0]
	in.deeds = in.deeds[1:]
	return e, true
}

// keepTail keeps what stood after the cursor when a paste of several lines came: it follows the last of them.
func (in *input) keepTail(tail string) {
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.rest != nil {
		in.rest.tail = tail
	}
}

// nextPasted gives the next line of a paste. After the last one, what is left of the paste is put before what else was
// typed.
func (in *input) nextPasted() (string, bool) {
	in.mu.Lock()
	defer in.mu.Unlock()
	if len(in.pasted) > 0 {
		line := in.pasted[0]
		in.pasted = in.pasted[1:]
		return line, true
	}
	if in.rest != nil {
		if in.rest.text != "" || in.rest.tail != "" {
			in.events = append([]event{*in.rest}, in.events...)
		}
		in.rest = nil
	}
	return "", false
}

func (in *input) waitingLines() int {
	in.mu.Lock()
	defer in.mu.Unlock()
	return len(in.pasted)
}

// forget throws away what was typed or pasted ahead.
func (in *input) forget() {
	in.mu.Lock()
	defer in.mu.Unlock()
	in.drop()
}

func (in *input) drop() {
	in.events, in.pasted, in.rest = nil, nil, nil
}
