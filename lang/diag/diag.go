// Package diag holds messages for a reader: a place in a text, one plain sentence, and the way out.
package diag

import (
	"fmt"
	"sort"
	"strings"
	"unicode/utf8"
)

// Span is a piece of a text by byte offsets, From included, To not.
type Span struct{ From, To int }

// To joins two spans.
func (s Span) Join(t Span) Span { return Span{min(s.From, t.From), max(s.To, t.To)} }

// Level says how much a message weighs.
type Level uint8

// A mistake takes a cell's value away; a notice only tells.
const (
	Mistake Level = iota
	Notice
)

// Source is a named text: a sheet, a rule file, a line at the shell.
type Source struct {
	Name string // shown to the reader, "bench" or "line 1"
	Text string
	Rule bool // a file of rules, not a sheet

	// A statement of a file has a source of its own, so that an edit of one leaves the others as they are. Base is what
	// its spans count from, First how many lines of the file stand above it; Home numbers the lines when it is asked.
	Base  int
	First int
	Home  interface{ Number() }
}

// Cut gives the text of a span.
func (s *Source) Cut(at Span) string {
	from := min(max(at.From-s.Base, 0), len(s.Text))
	return s.Text[from:min(max(at.To-s.Base, from), len(s.Text))]
}

// Whole is the span of all of the text.
func (s *Source) Whole() Span { return Span{s.Base, s.Base + len(s.Text)} }

// Above counts the lines of the file that stand above the text.
func (s *Source) Above() int {
	if s.Home != nil {
		s.Home.Number()
	}
	return s.First
}

// Related is a second place that belongs to a message.
type Related struct {
	Source *Source
	Span   Span
	Text   string
}

// Message is one mistake or notice.
type Message struct {
	Level   Level
	Source  *Source
	Span    Span
	Text    string // one sentence, ending with a full stop
	WayOut  string // what to write or do instead; empty where there is none
	Related []Related
	Once    string // where set, a sheet tells only one message with this word
}

// Error makes a message usable as an error.
func (m *Message) Error() string {
	if m.WayOut == "" {
		return m.Text
	}
	return m.Text + " " + m.WayOut
}

// New makes a mistake.
func New(src *Source, at Span, text, wayOut string) *Message {
	return &Message{Source: src, Span: at, Text: text, WayOut: wayOut}
}

// Most is how many messages of one sheet are drawn; the rest is counted.
const Most = 100

// List collects messages.
type List []*Message

// near is how far back Add looks for an equal message: they arise one soon after the other, and a text that holds
// nothing but mistakes must not cost the square of its length.
const near = 64

// Add appends a message, leaving out one that was just added at the same place with the same text.
func (l *List) Add(m *Message) {
	for _, o := range (*l)[max(0, len(*l)-near):] {
		if o.Source == m.Source && o.Span == m.Span && o.Text == m.Text {
			return
		}
	}
	*l = append(*l, m)
}

// Sort orders messages by sheet and place.
func (l List) Sort() {
	sort.SliceStable(l, func(i, j int) bool {
		a, b := l[i], l[j]
		if a.Source != b.Source && a.Source != nil && b.Source != nil && a.Source.Name != b.Source.Name {
			return a.Source.Name < b.Source.Name
		}
		if a.Source != b.Source && a.Source != nil && b.Source != nil {
			if x, y := a.Source.Above(), b.Source.Above(); x != y {
				return x < y
			}
		}
		return a.Span.From < b.Span.From
	})
}

// Mistakes counts the messages that are mistakes.
func (l List) Mistakes() int {
	n := 0
	for _, m := range l {
		if m.Level == Mistake {
			n++
		}
	}
	return n
}

// Position gives the line and the place in it, both from 1; the place counts characters.
func (s *Source) Position(offset int) (line, place int) {
	offset = min(max(offset-s.Base, 0), len(s.Text))
	before := s.Text[:offset]
	line = s.Above() + strings.Count(before, "\n") + 1
	start := strings.LastIndexByte(before, '\n') + 1
	return line, utf8.RuneCountInString(before[start:]) + 1
}

// Line gives the text of the line that holds offset, and where it starts.
func (s *Source) Line(offset int) (text string, start int) {
	offset = min(max(offset-s.Base, 0), len(s.Text))
	start = strings.LastIndexByte(s.Text[:offset], '\n') + 1
	end := len(s.Text)
	if i := strings.IndexByte(s.Text[start:], '\n'); i >= 0 {
		end = start + i
	}
	return strings.TrimSuffix(s.Text[start:end], "\r"), start + s.Base
}

// Draw writes the message with its place, the line, a mark under the place, the sentence and the way out.
func (m *Message) Draw() string {
	var b strings.Builder
	head(&b, m.Source, m.Span)
	b.WriteString("  " + m.Text + "\n")
	if m.WayOut != "" {
		b.WriteString("  " + m.WayOut + "\n")
	}
	for _, r := range m.Related {
		b.WriteString("  " + r.Text + "\n")
		if r.Source != nil {
			head(&b, r.Source, r.Span)
		}
	}
	return b.String()
}

// most is how many characters of a long line are drawn before and behind the mark.
const most = 100

func head(b *strings.Builder, s *Source, at Span) {
	if s == nil {
		return
	}
	line, place := s.Position(at.From)
	fmt.Fprintf(b, "%s, line %d, place %d:\n", s.Name, line, place)
	text, start := s.Line(at.From)
	from := min(max(at.From-start, 0), len(text))
	to := min(max(at.To-start, from), len(text))
	before, marked, after := text[:from], text[from:to], text[to:]
	before, after = cutFront(before), cutBack(after)
	if utf8.RuneCountInString(marked) > 2*most {
		marked = string([]rune(marked)[:2*most])
		after = " …"
	}
	b.WriteString("    " + printable(before) + printable(marked) + printable(after) + "\n")
	b.WriteString("    " + strings.Repeat(" ", Width(printable(before))) + strings.Repeat("^", max(1, Width(printable(marked)))) + "\n")
}

func cutFront(s string) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return "… " + string(r[len(r)-most:])
}

func cutBack(s string) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most]) + " …"
}

// printable turns tabs into four blanks and shows other control characters as a mark, so that the terminal cannot be
// driven by a sheet's text and the mark stands under its place.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 || r == 0x2028 || r == 0x2029 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
			return '·'
		}
		return r
	}, strings.ReplaceAll(s, "\t", "    "))
}

// Width counts the columns that a text takes on a terminal: two for wide characters, none for combining ones.
func Width(s string) int {
	n := 0
	for _, r := range s {
		switch {
		case r >= 0x300 && r <= 0x36f, r == 0x200b, r == 0x200d, r >= 0xfe00 && r <= 0xfe0f:
		case r >= 0x1100 && r <= 0x115f, r >= 0x2e80 && r <= 0xa4cf, r >= 0xac00 && r <= 0xd7a3,
			r >= 0xf900 && r <= 0xfaff, r >= 0xfe30 && r <= 0xfe6f, r >= 0xff00 && r <= 0xff60,
			r >= 0xffe0 && r <= 0xffe6, r >= 0x1f300 && r <= 0x1faff, r >= 0x20000 && r <= 0x3fffd:
			n += 2
		default:
			n++
		}
	}
	return n
}
