package terminal

import (
	"errors"
	"io"
	"unicode"
	"unicode/utf8"

	"github.com/chzyer/readline"
)

// editor is the part of a Terminal that readline calls. All of it but the start of a line runs in readline's goroutine,
// while edit waits.
type editor struct {
	line     *readline.Instance
	settled  chan struct{} // readline is done with the key that ended the line
	complete func(line string, at int) (from int, options []string)

	empty     bool  // nothing is typed
	finishing bool  // the key at hand ends the line
	leaving   bool  // a mark came during a search, and was given on as the key that ends the search
	tabs      int   // how many times Tab was pressed, one after the other
	refused   error // why the line is not taken
	broken    any   // what a completion panicked with
}

// wide is the width that readline is told: it is to think that every line is a single row, and leave the rest to us.
const wide = 1 << 30

// start makes readline's part at the first line that is typed.
func (t *Terminal) start() error {
	if t.editor.line != nil {
		return nil
	}
	nothing := func() error { return nil } // the terminal is set up already
	line, err := readline.NewEx(&readline.Config{
		Stdin:                  t.input,
		Stdout:                 readlineOutput{t.screen},
		Stderr:                 readlineOutput{t.screen},
		Painter:                readlineOutput{t.screen},
		Listener:               t,
		FuncFilterInputRune:    t.seeKey,
		FuncGetWidth:           func() int { return wide },
		FuncIsTerminal:         func() bool { return true },
		FuncMakeRaw:            nothing,
		FuncExitRaw:            nothing,
		FuncOnWidthChanged:     func(func()) {},
		UniqueEditLine:         true, // the end of a line is drawn by us
		DisableAutoSaveHistory: true,
		HistoryLimit:           historyLines + 1,
	})
	if err != nil {
		return err
	}
	t.editor.line = line
	t.editor.settled = make(chan struct{}, 1)
	return nil
}

func (e *editor) close() {
	if e.line != nil {
		e.line.Terminal.Close()
		e.line = nil
	}
}

// edit has a line typed and returns it.
func (t *Terminal) edit(prompt string, earlier []string, complete func(string, int) (int, []string)) (string, error) {
	if err := t.start(); err != nil {
		return "", err
	}
	e := &t.editor
	e.complete, e.refused, e.leaving, e.tabs, e.empty = complete, nil, false, 0, true
	e.remember(earlier)
	t.screen.begin(prompt)
	t.input.setTyping(true)
	line, err := e.line.Readline()
	<-e.settled
	t.input.setTyping(false)
	t.screen.finish()
	switch {
	case e.broken != nil:
		panic(e.broken) // here it reaches those who called Line
	case err == nil && e.refused != nil:
		return "", e.refused
	case err == nil:
		return line, nil
	case t.input.isGone() || errors.Is(err, io.EOF):
		return "", io.EOF
	case errors.Is(err, readline.ErrInterrupt):
		return "", ErrInterrupt
	}
	return "", err
}

// remember gives readline the earlier lines. It is done anew for each line: what was changed in them while looking for
// one shall not stay. There is always one, since a search in none breaks readline down.
func (e *editor) remember(earlier []string) {
	e.line.ResetHistory()
	if len(earlier) == 0 {
		earlier = []string{""}
	}
	for _, line := range earlier {
		_ = e.line.SaveHistory(line) // kept in memory alone: nothing can fail
	}
}

// seeKey looks at each key before readline acts on it.
func (t *Terminal) seeKey(key rune) (rune, bool) {
	if key == 0 { // readline ends
		return key, true
	}
	e := &t.editor
	searching := e.line.Operation.IsSearchMode()
	switch key {
	case mark:
		if searching {
			e.leaving = true
			return readline.CharLineEnd, true
		}
	case readline.CharEnter, readline.CharCtrlJ:
		e.finishing = true
	case readline.CharInterrupt:
		e.finishing = !searching
	case readline.CharDelete:
		e.finishing = !searching && e.empty
	}
	return key, true
}

// OnChange is called by readline after each key: it does what readline cannot. At the start of a line it is called
// without one.
func (t *Terminal) OnChange(line []rune, pos int, key rune) ([]rune, int, bool) {
	e := &t.editor
	if key == 0 {
		return nil, 0, false
	}
	if e.finishing {
		e.finishing = false
		e.settled <- struct{}{}
		return nil, 0, false
	}
	changed := false
	switch {
	case key == mark || e.leaving:
		if key == mark && pos > 0 && line[pos-1] == mark {
			line = append(line[:pos-1], line[pos:]...)
			pos--
		}
		e.leaving = false
		if d, ok := t.input.nextDeed(); ok {
			line, pos = t.carryOut(d, line, pos)
		}
		changed = true
	default:
		e.tabs = 0
		pos, changed = pastCombining(line, pos, key)
	}
	e.empty = len(line) == 0
	return line, pos, changed
}

// carryOut does one of our own deeds to a line.
func (t *Terminal) carryOut(d event, line []rune, pos int) ([]rune, int) {
	if d.do == finishWord {
		t.editor.tabs++
		return t.completeWord(line, pos)
	}
	t.editor.tabs = 0
	switch d.do {
	case typeText, pasteText, putRest:
		return t.putIn(d, line, pos)
	case deleteNext:
		end := min(pos+1, len(line))
		for end < len(line) && columns(line[end]) == 0 {
			end++
		}
		line = append(line[:pos], line[end:]...)
	case wordBack:
		pos = wordStart(line, pos)
	case wordOn:
		pos = wordEnd(line, pos)
	}
	return line, pos
}

// putIn puts text in at the cursor, or refuses it where it is too much.
func (t *Terminal) putIn(d event, line []rune, pos int) ([]rune, int) {
	before, after := string(line[:pos]), string(line[pos:])
	if d.cut {
		t.input.keepTail(after)
		after = ""
	}
	switch {
	case d.over && d.do == pasteText:
		t.refuse(ErrPasteTooLong, false)
		return line, pos
	case d.over || len(before)+len(d.text)+len(d.tail)+len(after) > MaxLine:
		t.refuse(ErrLineTooLong, d.cut || d.do == typeText)
		return line, pos
	}
	head := append(line[:pos:pos], []rune(d.text)...)
	return append(head, []rune(d.tail+after)...), len(head)
}

// refuse says why text is not put in. Where Enter may follow by itself, the whole line is refused: what is left of it
// must not be taken for the line.
func (t *Terminal) refuse(why error, line bool) {
	if line {
		t.editor.refused = why
		t.screen.bell()
		return
	}
	t.screen.below(why.Error() + "\n")
}

// pastCombining keeps the cursor from standing between a character and the marks on it.
func pastCombining(line []rune, pos int, key rune) (int, bool) {
	at := pos
	switch key {
	case readline.CharBackward:
		for at > 0 && at < len(line) && columns(line[at]) == 0 {
			at--
		}
	case readline.CharForward:
		for at < len(line) && columns(line[at]) == 0 {
			at++
		}
	}
	return at, at != pos
}

// inWord says whether a character belongs to a word: names are words, underscores and all.
func inWord(r rune) bool {
	return r == '_' || unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r)
}

func wordStart(line []rune, pos int) int {
	for pos > 0 && !inWord(line[pos-1]) {
		pos--
	}
	for pos > 0 && inWord(line[pos-1]) {
		pos--
	}
	return pos
}

func wordEnd(line []rune, pos int) int {
	for pos < len(line) && !inWord(line[pos]) {
		pos++
	}
	for pos < len(line) && inWord(line[pos]) {
		pos++
	}
	return pos
}

// readlineOutput is what readline takes for the screen. It understands what readline v1.5.1 writes and has the screen
// draw it; the tests tell when another version writes something else.
type readlineOutput struct{ screen *screen }

// paintMark is what readline writes in place of the line.
var paintMark = utf8.AppendRune(nil, mark)

// Paint notes the line. What readline writes next is paintMark and movements that are of no use.
func (o readlineOutput) Paint(line []rune, pos int) []rune {
	o.screen.note(line, pos)
	return []rune{mark}
}
