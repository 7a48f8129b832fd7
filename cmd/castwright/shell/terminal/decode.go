package terminal

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// deed is what an event asks for.
type deed int

const (
	pressKey   deed = iota // a key that readline knows, as text
	typeText               // printable text
	pasteText              // a paste, with its line ends
	finishWord             // Tab
	deleteNext             // Delete; to readline it is Ctrl-D, which would leave an empty line
	wordBack               // to the start of a word
	wordOn                 // to the end of a word
	putRest                // what follows the last line end of a paste, to be edited
	quit                   // Ctrl-\
)

// event is one thing a person did at the keyboard.
type event struct {
	do   deed
	text string
	tail string // putRest: what stood after the cursor when the paste came
	over bool   // the text was too long, and is not whole
	cut  bool   // pasteText: what stands after the cursor belongs to the last line of a paste
}

// Keys as readline wants them.
const (
	keyInterrupt = "\x03"
	keyEndOfFile = "\x04"
	keyEnter     = "\r"
	keyLineStart = "\x01"
	keyLineEnd   = "\x05"
	keyBack      = "\x02"
	keyOn        = "\x06"
	keyEarlier   = "\x10"
	keyLater     = "\x0e"
	keyKillWord  = "\x1bd"
	keyKillBack  = "\x1b\x7f"
	escape       = 0x1b
	pasteEnd     = "\x1b[201~"
)

// knownControls are the control characters that readline may see; it puts any other into the line. Of these,
// Ctrl-T is left out since readline breaks down over it in a line of one character, Ctrl-Z since it stops the
// program that called ours.
const knownControls = "\x01\x02\x03\x04\x05\x06\x07\x08\x0b\x0c\x0e\x10\x12\x13\x15\x17\x19\x7f"

// longestSequence is how far the end of an escape sequence is looked for.
const longestSequence = 64

// decoder turns what a terminal sends into events.
type decoder struct {
	pending []byte // the start of something whose end has not come
	pasting bool
	paste   []byte
	over    bool // the paste is too long
}

// decode takes the next bytes. Whatever they are, something comes of it or they are dropped.
func (d *decoder) decode(b []byte) []event {
	if d.pasting && len(b) == 1 && b[0] == keyInterrupt[0] {
		// Ctrl-C alone: the end of the paste was lost on the way, and nothing else would get us out.
		*d = decoder{}
	}
	b = append(d.pending, b...)
	var events []event
	for len(b) > 0 {
		var n int
		var e event
		var is bool
		if d.pasting {
			n, e, is = d.inPaste(b)
		} else {
			n, e, is = d.next(b)
		}
		if n == 0 {
			break
		}
		if is {
			events = append(events, e)
		}
		b = b[n:]
	}
	d.pending = append([]byte(nil), b...)
	return events
}

// inPaste takes what belongs to a paste, and gives the paste at its end.
func (d *decoder) inPaste(b []byte) (n int, e event, is bool) {
	end := bytes.Index(b, []byte(pasteEnd))
	n = end
	if end < 0 {
		n = len(b) - partOf(b, pasteEnd)
	}
	if d.over = d.over || len(d.paste)+n > maxPaste; d.over {
		d.paste = nil
	} else {
		d.paste = append(d.paste, b[:n]...)
	}
	if end < 0 {
		return n, event{}, false
	}
	e = event{do: pasteText, text: cleanPaste(string(d.paste)), over: d.over}
	d.pasting, d.paste, d.over = false, nil, false
	return n + len(pasteEnd), e, true
}

// partOf is how many bytes at the end of b may be the start of mark.
func partOf(b []byte, mark string) int {
	for n := min(len(mark)-1, len(b)); n > 0; n-- {
		if strings.HasPrefix(mark, string(b[len(b)-n:])) {
			return n
		}
	}
	return 0
}

// next takes one event outside a paste; n is 0 where its end has not come yet.
func (d *decoder) next(b []byte) (n int, e event, is bool) {
	switch c := b[0]; {
	case c == escape:
		return d.escaped(b)
	case c == '\r':
		if len(b) > 1 && b[1] == '\n' {
			return 2, event{do: pressKey, text: keyEnter}, true
		}
		return 1, event{do: pressKey, text: keyEnter}, true
	case c == '\n':
		return 1, event{do: pressKey, text: keyEnter}, true
	case c == '\t':
		return 1, event{do: finishWord}, true
	case c == 0x1c:
		return 1, event{do: quit}, true
	case c < ' ' || c == 0x7f:
		return 1, event{do: pressKey, text: string(rune(c))}, strings.IndexByte(knownControls, c) >= 0
	}
	return printable(b)
}

// printable takes text up to the next control character, and leaves a character whose end has not come.
func printable(b []byte) (n int, e event, is bool) {
	for n < len(b) && b[n] >= ' ' && b[n] != 0x7f {
		n++
	}
	if n == len(b) {
		for back := 1; back < utf8.UTFMax && back <= n; back++ {
			if utf8.RuneStart(b[n-back]) {
				if !utf8.FullRune(b[n-back:]) {
					n -= back
				}
				break
			}
		}
	}
	text := cleanText(string(b[:n]))
	return n, event{do: typeText, text: text}, text != ""
}

// escaped takes a key that is sent as a sequence. Sequences that mean nothing here are dropped.
func (d *decoder) escaped(b []byte) (n int, e event, is bool) {
	if len(b) == 1 {
		return 0, event{}, false
	}
	switch b[1] {
	case '[':
		return d.sequence(b)
	case 'O':
		if len(b) == 2 {
			return 0, event{}, false
		}
		e, is = cursorKey(b[2], "")
		return 3, e, is
	case 'b', 'B':
		return 2, event{do: wordBack}, true
	case 'f', 'F':
		return 2, event{do: wordOn}, true
	case 'd', 'D':
		return 2, event{do: pressKey, text: keyKillWord}, true
	case 0x7f, 0x08:
		return 2, event{do: pressKey, text: keyKillBack}, true
	}
	return 1, event{}, false // a lone Esc; what follows stands for itself
}

// sequence takes ESC [ parameters letter.
func (d *decoder) sequence(b []byte) (n int, e event, is bool) {
	at := 2
	for at < min(len(b), longestSequence) && b[at] >= ' ' && b[at] < '@' {
		at++
	}
	switch {
	case at == longestSequence:
		return at, event{}, false
	case at == len(b):
		return 0, event{}, false
	case b[at] < ' ' || b[at] > '~':
		return at, event{}, false
	case b[at] == '[' && at == 2: // a function key of the console: one letter more
		if len(b) == 3 {
			return 0, event{}, false
		}
		return 4, event{}, false
	}
	parameters, letter := string(b[2:at]), b[at]
	if letter != '~' {
		e, is = cursorKey(letter, parameters)
		return at + 1, e, is
	}
	switch parameters {
	case "200":
		d.pasting = true
	case "1", "7":
		e, is = event{do: pressKey, text: keyLineStart}, true
	case "4", "8":
		e, is = event{do: pressKey, text: keyLineEnd}, true
	case "3":
		e, is = event{do: deleteNext}, true
	case "3;5", "3;3":
		e, is = event{do: pressKey, text: keyKillWord}, true
	}
	return at + 1, e, is
}

// cursorKey reads the letter of a cursor key. With Ctrl or Alt held, left and right go by words.
func cursorKey(letter byte, parameters string) (e event, is bool) {
	held := parameters == "5" || strings.HasSuffix(parameters, ";5") || strings.HasSuffix(parameters, ";3")
	switch letter {
	case 'A':
		return event{do: pressKey, text: keyEarlier}, true
	case 'B':
		return event{do: pressKey, text: keyLater}, true
	case 'C':
		if held {
			return event{do: wordOn}, true
		}
		return event{do: pressKey, text: keyOn}, true
	case 'D':
		if held {
			return event{do: wordBack}, true
		}
		return event{do: pressKey, text: keyBack}, true
	case 'c':
		return event{do: wordOn}, true
	case 'd':
		return event{do: wordBack}, true
	case 'H':
		return event{do: pressKey, text: keyLineStart}, true
	case 'F':
		return event{do: pressKey, text: keyLineEnd}, true
	}
	return event{}, false
}

// cleanText drops what cannot stand in a line: control characters other than tabs, and the mark that stands for our own
// deeds. Bytes that are no text become the replacement character, which no later stage takes for anything else.
func cleanText(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' || r >= 0x7f && r < 0xa0 || r == mark {
			return -1
		}
		return r
	}, s)
}

// cleanPaste is cleanText for a paste: its line ends, of whatever sort, become newlines.
func cleanPaste(s string) string {
	s = strings.ReplaceAll(s, "\r\n", "\n")
	s = strings.ReplaceAll(s, "\r", "\n")
	lines := strings.Split(s, "\n")
	for i, line := range lines {
		lines[i] = cleanText(line)
	}
	return strings.Join(lines, "\n")
}
