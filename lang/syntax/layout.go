package syntax

import (
	"strings"

	"castwright/lang/diag"
)

// lineKind says how a line of the canonical layout stands to its neighbours.
type lineKind uint8

const (
	plainLine  lineKind = iota
	cellLine            // name = VALUE [shown]: signs and brackets under those of its neighbours
	factLine            // a word and what it says, in a rule
	rowLine             // a row of a table: bars under those of the whole table
	goingOn             // the rest of a statement that began above
	insideLine          // a comment inside a statement
	rawLine             // a line that cannot be read
	blankLine
)

// entry is one line to be laid out.
type entry struct {
	kind   lineKind
	indent int
	name   string // of a cell, or the word of a fact
	body   string
	shown  string
	note   string
	places []string // of a row
	front  bool     // a row with a bar in front
	table  int      // rows of one table have one number
	left   string   // the line without its note, as laid out
}

// layout is the lines of a file on their way to the canonical form.
type layout struct {
	lines  []entry
	tables int
}

func (l *layout) add(e entry) { l.lines = append(l.lines, e) }

// blank adds a blank line, unless one stands there already.
func (l *layout) blank() {
	if n := len(l.lines); n > 0 && l.lines[n-1].kind != blankLine {
		l.add(entry{kind: blankLine})
	}
}

func (l *layout) newTable() int {
	l.tables++
	return l.tables
}

// Widths beyond which a long name, value or line does not push the others of its run away.
const (
	longName  = 24
	longValue = 48
	longLine  = 72
)

// text gives the lines as they are written.
func (l *layout) text() []string {
	for n := len(l.lines); n > 0 && l.lines[n-1].kind == blankLine; n-- {
		l.lines = l.lines[:n-1]
	}
	l.runs(cellLine, l.alignCells)
	l.runs(factLine, l.alignFacts)
	l.alignRows()
	for i := range l.lines {
		e := &l.lines[i]
		if e.left == "" && e.kind != rawLine {
			e.left = strings.Repeat(" ", e.indent) + e.body
		}
	}
	l.alignNotes()
	out := make([]string, len(l.lines))
	for i, e := range l.lines {
		switch {
		case e.kind == rawLine:
			out[i] = e.body
		case e.note != "":
			out[i] = e.left + "  " + e.note
		default:
			out[i] = strings.TrimRight(e.left, " ")
		}
	}
	return out
}

// runs finds lines of one kind and indentation with nothing but their own further lines between them.
func (l *layout) runs(kind lineKind, align func(run []*entry)) {
	var run []*entry
	flush := func() {
		if len(run) > 0 {
			align(run)
		}
		run = nil
	}
	for i := range l.lines {
		e := &l.lines[i]
		switch {
		case e.kind == kind:
			if len(run) > 0 && run[0].indent != e.indent {
				flush()
			}
			run = append(run, e)
		case e.kind != goingOn && e.kind != insideLine:
			flush()
		}
	}
	flush()
}

func (l *layout) alignCells(run []*entry) {
	name, body := 0, 0
	for _, e := range run {
		if n := diag.Width(e.name); n <= longName {
			name = max(name, n)
		}
		if n := diag.Width(e.body); n <= longValue && e.shown != "" {
			body = max(body, n)
		}
	}
	for _, e := range run {
		e.left = strings.Repeat(" ", e.indent) + pad(e.name, name) + " = " + e.body
		if e.shown != "" {
			e.left = strings.Repeat(" ", e.indent) + pad(e.name, name) + " = " + pad(e.body, body) + "  " + e.shown
		}
	}
}

func (l *layout) alignFacts(run []*entry) {
	word := 0
	for _, e := range run {
		word = max(word, diag.Width(e.name))
	}
	for _, e := range run {
		e.left = strings.Repeat(" ", e.indent) + pad(e.name, word) + " " + e.body
	}
}

// alignRows lays out the rows of each table, whatever stands between them.
func (l *layout) alignRows() {
	tables := make([][]*entry, l.tables+1)
	for i := range l.lines {
		if e := &l.lines[i]; e.kind == rowLine {
			tables[e.table] = append(tables[e.table], e)
		}
	}
	for _, rows := range tables {
		alignTable(rows)
	}
}

func alignTable(rows []*entry) {
	front := "" // a bar in front of every row, where one has it
	var wide []int
	for _, e := range rows {
		if e.front {
			front = "| "
		}
		for i, p := range e.places {
			if i == len(wide) {
				wide = append(wide, 0)
			}
			if n := diag.Width(p); n <= longValue {
				wide[i] = max(wide[i], n)
			}
		}
	}
	for _, e := range rows {
		var b strings.Builder
		b.WriteString(strings.Repeat(" ", e.indent) + front)
		for i, p := range e.places {
			if i > 0 {
				b.WriteString(" | ")
			}
			b.WriteString(pad(p, wide[i]))
		}
		e.left = strings.TrimRight(b.String(), " ")
	}
}

// alignNotes puts the notes of neighbouring lines of one indentation under one another.
func (l *layout) alignNotes() {
	var run []*entry
	flush := func() {
		column := 0
		for _, e := range run {
			if n := diag.Width(e.left); n <= longLine {
				column = max(column, n)
			}
		}
		for _, e := range run {
			e.left = pad(e.left, column)
		}
		run = nil
	}
	indent := 0
	for i := range l.lines {
		e := &l.lines[i]
		further := e.kind == goingOn || e.kind == insideLine
		if e.kind == blankLine || e.kind == rawLine || !further && e.indent != indent {
			flush()
		}
		if !further {
			indent = e.indent
		}
		if e.note != "" {
			run = append(run, e)
		}
	}
	flush()
}

func pad(s string, n int) string { return s + strings.Repeat(" ", max(0, n-diag.Width(s))) }
