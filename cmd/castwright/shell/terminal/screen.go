package terminal

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
)

const (
	eraseBelow  = "\x1b[J"
	clearAll    = "\x1b[H\x1b[2J"
	longestEcho = 4096     // how much of a pasted line is shown, in characters
	longestHeld = 64 << 10 // how much of an unfinished line of output is held back, in bytes
	narrowest   = 12       // the fewest columns that are drawn for
)

// screen draws the line that is being typed, and prints above it.
//
// The line is drawn as a block of rows, broken by us. To set the cursor, its row is written once more up to the cursor:
// so it stands right also after characters whose width the terminal and we do not agree on.
type screen struct {
	mu   sync.Mutex
	out  io.Writer
	size func() (columns, rows int)

	typing bool // a line is being typed
	prompt string
	line   []rune
	pos    int
	status string // what is told below the line while a search goes on

	drawn bool // the block is on the screen,
	row   int  // the cursor in this row of it
	rows  int
	blank bool // its last row is there for the cursor only

	hidden bool   // the line holds a mark, and is drawn when that is gone
	held   []byte // an unfinished line of output
}

func newScreen(out io.Writer, size func() (columns, rows int)) *screen {
	return &screen{out: out, size: size}
}

// begin starts an empty line.
func (s *screen) begin(prompt string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.typing, s.drawn, s.hidden = true, false, false
	s.prompt, s.line, s.pos, s.status = prompt, nil, 0, ""
	s.put(s.flush() + s.block())
}

// finish leaves the line as it stands and goes on below it.
func (s *screen) finish() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.typing {
		return
	}
	s.typing = false
	text := ""
	if s.status != "" {
		s.status = ""
		text = s.again()
	}
	s.put(text + s.leave() + s.flush())
}

// note takes the line as readline has it. It is drawn when readline writes.
func (s *screen) note(line []rune, pos int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.hidden = pos > 0 && line[pos-1] == mark
	if s.hidden || s.drawn && s.pos == pos && s.status == "" && slices.Equal(s.line, line) {
		s.hidden = true // nothing new
		return
	}
	s.line, s.pos, s.status = slices.Clone(line), pos, ""
}

// Write takes what readline writes.
func (o readlineOutput) Write(p []byte) (int, error) {
	s := o.screen
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case !s.typing:
	case bytes.HasPrefix(p, paintMark):
		if !s.hidden {
			s.put(s.again())
		}
	case bytes.Equal(p, []byte("\a")):
		s.put("\a")
	case bytes.Equal(p, []byte("\x1b[H")):
		s.drawn = false
		s.put(clearAll + s.block())
	case bytes.Contains(p, []byte("-i-search: ")):
		s.status = searchStatus(string(p))
		s.put(s.again())
	}
	// What else there is cleans the line before it is drawn anew, or marks what was found: it is of no use here.
	return len(p), nil
}

// searchStatus turns what readline tells of a search into plain words.
func searchStatus(told string) string {
	_, wanted, _ := strings.Cut(told, "-i-search: ")
	wanted, _, _ = strings.Cut(wanted, "\x1b[4m \x1b[0m")
	way := "back"
	if strings.Contains(told, "fwd-i-search: ") {
		way = "on"
	}
	if strings.Contains(told, "failing ") {
		return fmt.Sprintf("searching %s for: %s (not found)", way, wanted)
	}
	return fmt.Sprintf("searching %s for: %s", way, wanted)
}

// redraw draws the line anew, as for a new size.
func (s *screen) redraw() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.typing {
		s.put(s.again())
	}
}

// bell makes the terminal's sound.
func (s *screen) bell() { s.send("\a") }

// send says to the terminal what moves nothing on it.
func (s *screen) send(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.put(text)
}

// echo shows a line that was not typed by hand, as if it had been.
func (s *screen) echo(prompt, line string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	text := []rune(line)
	more := ""
	if len(text) > longestEcho {
		more = fmt.Sprintf("… (%d characters)", len(text))
		text = text[:longestEcho]
	}
	s.put(s.flush() + prompt + shown(text) + more + "\r\n")
}

// below prints under the line, and draws it again under that.
func (s *screen) below(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.typing {
		s.put(s.leave() + rawLines(text) + s.block())
	}
}

// Write prints p: as it is where no line is being typed, else above the line.
func (s *screen) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.typing {
		return s.out.Write(p)
	}
	s.held = append(s.held, p...)
	whole := bytes.LastIndexByte(s.held, '\n') + 1
	if len(s.held)-whole > longestHeld {
		s.held = append(s.held, '\n')
		whole = len(s.held)
	}
	if whole == 0 {
		return len(p), nil
	}
	text := s.erase() + rawLines(string(s.held[:whole]))
	s.held = append([]byte(nil), s.held[whole:]...)
	if _, err := io.WriteString(s.out, text+s.block()); err != nil {
		return 0, err
	}
	return len(p), nil
}

// flush gives what was held back.
func (s *screen) flush() string {
	text := rawLines(string(s.held))
	s.held = nil
	return text
}

// put writes to the terminal. That it is gone is told by reading it.
func (s *screen) put(text string) {
	if text != "" {
		_, _ = io.WriteString(s.out, text)
	}
}

// again draws the block in place of the one on the screen.
func (s *screen) again() string { return s.erase() + s.block() }

// erase takes the block off the screen. After the window got narrower, some terminals break the rows that are on it: then
// some of the old block stays, rather than that something above it is lost.
func (s *screen) erase() string {
	if !s.drawn {
		return ""
	}
	s.drawn = false
	return up(s.row) + "\r" + eraseBelow
}

// leave goes to the row after the block.
func (s *screen) leave() string {
	if !s.drawn {
		return ""
	}
	s.drawn = false
	down := strings.Repeat("\n", s.rows-1-s.row)
	if s.blank {
		return down + "\r"
	}
	return down + "\r\n"
}

// block draws the rows of the line that fit the screen, the cursor's among them, and sets the cursor.
func (s *screen) block() string {
	width, height := s.size()
	width = max(width, narrowest)
	prompt, first := fitPrompt(s.prompt, width)
	starts := rowStarts(s.line, first, width)
	cursor := rowOf(starts, s.pos)
	if s.status != "" {
		height--
	}
	top, end := window(len(starts), cursor, max(height, 1))

	var b strings.Builder
	row := func(i, until int) {
		if i == 0 {
			b.WriteString(prompt)
		}
		b.WriteString(shown(s.line[starts[i]:until]))
	}
	for i := top; i < end; i++ {
		if i > top {
			b.WriteString("\r\n")
		}
		until := len(s.line)
		if i+1 < len(starts) {
			until = starts[i+1]
		}
		row(i, until)
	}
	last := end - 1
	if s.status != "" {
		b.WriteString("\r\n" + cutColumns(s.status, width-1))
		last++
	}
	if last > cursor || s.pos < len(s.line) {
		b.WriteString(up(last-cursor) + "\r")
		row(cursor, s.pos)
	}
	s.drawn, s.row, s.rows = true, cursor-top, last-top+1
	s.blank = s.status == "" && end == len(starts) && end > 1 && starts[end-1] == len(s.line)
	return b.String()
}

// window picks the rows that are drawn where there are more than the screen holds.
func window(rows, cursor, height int) (top, end int) {
	if rows <= height {
		return 0, rows
	}
	top = min(max(0, cursor-height/2), rows-height)
	return top, top + height
}

// fitPrompt gives the prompt as it is drawn, and its width. One that leaves no room is cut.
func fitPrompt(prompt string, width int) (string, int) {
	if n := textColumns(prompt); n <= width-narrowest/2 {
		return prompt, n
	}
	prompt = cutColumns(withoutColours(prompt), width/2)
	return prompt, textColumns(prompt)
}

// cutColumns is as much of the start of a text as fits into some columns.
func cutColumns(s string, most int) string {
	n := 0
	for i, r := range s {
		if n += columns(r); n > most {
			return s[:i]
		}
	}
	return s
}

// up moves the cursor up.
func up(rows int) string {
	if rows <= 0 {
		return ""
	}
	return fmt.Sprintf("\x1b[%dA", rows)
}

// rawLines ends each line so that the next begins at the left edge, whatever the terminal makes of a line feed.
func rawLines(text string) string {
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\n", "\r\n")
}
