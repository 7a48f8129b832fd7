package taken

import (
	"strings"

	"castwright/lang/check"
	"castwright/lang/syntax"
	"castwright/sheets/xlsx/read"
)

// texts writes the sheets as they stand now.
func (t *taker) texts() []check.Text {
	var out []check.Text
	for _, p := range t.pages {
		var b strings.Builder
		for _, l := range p.lines {
			t.line(&b, l)
		}
		out = append(out, check.Text{Name: p.name, Text: b.String()})
	}
	return out
}

// laidOut brings the texts into the canonical layout.
func (t *taker) laidOut(texts []check.Text) []check.Text {
	isUnit := func(name string) bool {
		_, ok := t.c.Library().Unit(name)
		return ok
	}
	for i := range texts {
		texts[i].Text = syntax.Format(syntax.ReadFile(texts[i].Name, texts[i].Text, isUnit))
	}
	return texts
}

func (t *taker) line(b *strings.Builder, l line) {
	switch {
	case l.table != nil:
		t.writeTable(b, l.table)
	case l.place != nil:
		t.writeCell(b, l.place)
	case l.word == "#":
		b.WriteString("# " + oneLine(l.text) + "\n")
	case l.word == "title":
		b.WriteString("title " + quoted(l.text) + "\n")
	default:
		b.WriteString("\nsection " + quoted(l.text) + "\n")
	}
}

func (t *taker) writeCell(b *strings.Builder, x *place) {
	switch {
	case x.formula != nil && x.formula.stage != asValue:
		b.WriteString(x.name + " = " + x.formula.text)
	case x.sort == isProblem || x.cell.Kind == read.Empty || isBlank(x.cell) && x.sort != isText:
		b.WriteString("ask " + x.name + " [" + askFor(x.sort, x.unit) + "]")
	default:
		b.WriteString(x.name + " = " + t.literalOf(x.cell, x.sort, x.unit, x.share))
	}
	note(b, x.note)
}

func note(b *strings.Builder, words string) {
	if words = oneLine(words); words != "" {
		b.WriteString("  # " + words)
	}
	b.WriteString("\n")
}

// askFor is the bracket of a cell that is open.
func askFor(s sortOf, u unit) string {
	switch {
	case s == isDate:
		return "date"
	case s == isText:
		return "text"
	case s == isTruth:
		return "yes/no"
	case u.isPlain():
		return "1"
	}
	return u.String()
}

// literalOf writes the value of a cell as a literal with its unit.
func (t *taker) literalOf(c *read.Cell, s sortOf, u unit, share bool) string {
	switch s {
	case isText:
		return quoted(c.Text)
	case isTruth:
		if c.Truth {
			return "yes"
		}
		return "no"
	case isDate:
		seconds, _ := t.seconds(c.Number)
		return dateText(seconds)
	}
	if share {
		return hundredfold(c.Number) + "%"
	}
	return amount(c.Number, u)
}

func (t *taker) writeTable(b *strings.Builder, tb *table) {
	if len(tb.columns) == 0 {
		return
	}
	b.WriteString("\ntable " + tb.name + "\n")
	var typed []*column
	for _, c := range tb.columns {
		if c.formula != nil && c.formula.stage != asValue {
			b.WriteString("  " + c.name + " = " + c.formula.text)
			note(b, c.note)
			continue
		}
		typed = append(typed, c)
		if c.note != "" {
			b.WriteString("  # " + c.name + ": " + oneLine(c.note) + "\n")
		}
	}
	if len(typed) > 0 {
		t.writeRows(b, tb, typed)
	}
	b.WriteString("end\n\n")
}

func (t *taker) writeRows(b *strings.Builder, tb *table, typed []*column) {
	lead := "  "
	if len(typed) == 1 || t.startsEmpty(typed[0]) {
		lead = "  | "
	}
	var heads []string
	for _, c := range typed {
		switch {
		case c.sort == isNumber && c.share:
			heads = append(heads, c.name+" [%]")
		case c.sort == isNumber && !c.unit.isPlain():
			heads = append(heads, c.name+" ["+c.unit.String()+"]")
		case t.allEmpty(c):
			heads = append(heads, c.name+" ["+askFor(c.sort, plain)+"]")
		default:
			heads = append(heads, c.name)
		}
	}
	b.WriteString(lead + strings.Join(heads, " | ") + "\n")
	for i := 0; i <= tb.last-tb.first; i++ {
		var row []string
		for _, c := range typed {
			row = append(row, t.inTable(c, c.places[i]))
		}
		b.WriteString(lead + strings.Join(row, " | ") + "\n")
	}
}

// allEmpty tells whether no row of a column is written, so that its heading must say what it holds.
func (t *taker) allEmpty(c *column) bool {
	for _, x := range c.places {
		if t.inTable(c, x) != "" {
			return false
		}
	}
	return true
}

// startsEmpty tells whether some row would begin with an empty place, which needs a bar in front.
func (t *taker) startsEmpty(c *column) bool {
	for _, x := range c.places {
		if t.inTable(c, x) == "" {
			return true
		}
	}
	return false
}

// inTable writes a place of a table. An empty text is known; an empty number is open.
func (t *taker) inTable(c *column, x *place) string {
	switch {
	case x == nil && c.sort == isText:
		return `""`
	case x == nil && c.zeros:
		return "0"
	case x == nil || x.sort == isProblem:
		return ""
	case x.formula != nil && x.formula.stage != asValue:
		return "(" + x.formula.text + ")"
	case x.cell.Kind == read.Empty || x.sort != c.sort:
		return ""
	case c.sort == isNumber && c.share:
		return hundredfold(x.cell.Number) + "%"
	case c.sort == isNumber && !c.unit.isPlain():
		return digits(x.cell.Number)
	}
	return t.literalOf(x.cell, c.sort, c.unit, false)
}
