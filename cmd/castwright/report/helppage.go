package report

import (
	"fmt"
	"regexp"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
	"castwright/lang/value"
	"castwright/sheets"
)

// page tells all about a rule, a function or a property.
func (p *Report) page(e *entry) {
	fmt.Fprintln(p.Out, e.head)
	p.fact("about", e.about)
	p.fact("takes", e.takesWords())
	p.fact("gives", e.givesWords())
	p.facts("", e.source, strings.Join(e.needs, ", "), strings.Join(e.holds, ", "), e.caution)
	for _, line := range e.examples {
		p.fact("example", line)
		if shown, ok := p.compute(line); ok {
			fmt.Fprintf(p.Out, "  %-8s = %s\n", "", shown)
		}
	}
	for _, t := range e.tables() {
		p.lookup(t)
	}
}

// compute works an example out, so that help never shows a value that the program would not give; a flag is told with it.
func (p *Report) compute(line string) (string, bool) {
	over := sheets.Memory(p.Checker, check.Text{})
	c, v, state, causes, ms := over.Line(over.Sheets[0], &diag.Source{Name: "example", Text: line})
	if c == nil || ms.Mistakes() > 0 {
		return "", false
	}
	shown := shownText(c, v, state, over.Engine.StateOf)
	if state == value.Flagged {
		shown += " (" + sheets.StateWords(causes, state) + ")"
	}
	return shown, true
}

// currency is the code behind the word for money in the name of a kind.
var currency = regexp.MustCompile(`money \([A-Z]{3}\)`)

// kindWords names the kind of a place or result.
func (s *slot) kindWords() string {
	if !s.known {
		return "any kind"
	}
	name := s.kind.String()
	if !s.loose || s.kind.Form != kind.Number {
		return name
	}
	if plain := currency.ReplaceAllString(name, "money"); plain != name {
		return plain
	}
	return "any kind, as " + name
}

func (e *entry) takesWords() string {
	var out []string
	for i := range e.takes {
		s := &e.takes[i]
		words := s.kindWords()
		if e.rule == nil && s.loose {
			words = "any kind"
		}
		out = append(out, s.name+": "+words)
	}
	return strings.Join(out, "; ")
}

func (e *entry) givesWords() string {
	var out []string
	if e.follows && len(e.gives) > 1 {
		for _, s := range e.gives {
			out = append(out, s.name)
		}
		return strings.Join(out, ", ") + ": kinds that follow from what it takes"
	}
	if e.follows {
		return "a kind that follows from what it takes"
	}
	for i := range e.gives {
		s := &e.gives[i]
		words := s.kindWords()
		if s.unit != "" {
			words += " [" + s.unit + "]"
		}
		if s.name != "" {
			words = s.name + ": " + words
		}
		out = append(out, words)
	}
	return strings.Join(out, "; ")
}

// lookupTable is a table in which a rule looks values up, as it is written.
type lookupTable struct {
	name  string
	heads []string
	rows  [][]string
}

func (e *entry) tables() []lookupTable {
	if e.rule == nil {
		return nil
	}
	var out []lookupTable
	for _, t := range e.rule.Tree.Tables {
		out = append(out, lookupOf(e.rule, t))
	}
	return out
}

func lookupOf(r *check.Rule, t *syntax.Table) lookupTable {
	out := lookupTable{name: t.Name.Name}
	for _, h := range t.Heads {
		head := h.Name.Name
		if h.Shown != nil {
			head += " " + r.Src.Cut(h.Shown.Span)
		}
		out.heads = append(out.heads, head)
	}
	for _, row := range t.Rows {
		var cells []string
		for _, c := range row.Cells {
			text := ""
			if c != nil {
				text = r.Src.Cut(c.Where())
			}
			cells = append(cells, text)
		}
		out.rows = append(out.rows, cells)
	}
	return out
}

// mostLookedUp is how many rows of a table a page shows; the Markdown of the whole reference has all of them.
const mostLookedUp = 24

func (p *Report) lookup(t lookupTable) {
	p.fact("table", t.name)
	rows := append([][]string{t.heads}, t.rows[:min(mostLookedUp, len(t.rows))]...)
	Table(p.Out, "           ", rows)
	if more := len(t.rows) - mostLookedUp; more > 0 {
		fmt.Fprintf(p.Out, "           and %s more: help --all --markdown\n", many(more, "row"))
	}
}

func firstSentence(s string) string {
	if i := strings.Index(s, ". "); i > 0 {
		return s[:i+1]
	}
	return s
}

// wide is how many columns help takes.
const wide = 100

// definitions writes words with what they mean, in lines that hang behind the widest word.
func (p *Report) definitions(indent string, rows [][2]string) {
	first := 0
	for _, r := range rows {
		first = max(first, diag.Width(r[0]))
	}
	for _, r := range rows {
		lines := wrap(r[1], max(40, wide-len(indent)-first-2))
		for i, l := range lines {
			word := r[0]
			if i > 0 {
				word = ""
			}
			fmt.Fprintln(p.Out, strings.TrimRight(indent+word+strings.Repeat(" ", first-diag.Width(word)+2)+l, " "))
		}
	}
}
