package report

import (
	"fmt"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/sheets"
)

// All writes the values of a whole job.
func (p *Report) All(j *sheets.Job) int {
	if p.JSON {
		cells, checks := []view{}, []checkView{}
		for _, s := range j.Sheets {
			cells = append(cells, views(j, s)...)
			checks = append(checks, checkViews(j, s)...)
		}
		writeJSON(p.Out, map[string]any{"cells": cells, "checks": checks, "messages": fileMessages(j)}, false)
		return Fine
	}
	for i, s := range j.Sheets {
		if i > 0 {
			fmt.Fprintln(p.Out)
		}
		p.Sheet(j, s)
	}
	p.Tell(j, j.Sheets...)
	return Fine
}

// fileMessages lists what is wrong with lines.
func fileMessages(j *sheets.Job) []string {
	out := []string{}
	for _, s := range j.Sheets {
		for _, m := range s.Messages() {
			out = append(out, messageLine(m))
		}
	}
	return out
}

// named tells whether a cell is one that a reader is shown: not a check, nor a column, which its table shows.
func named(c *check.Cell) bool { return c.Name != "" && c.Role != check.CheckOf && c.Table == nil }

func views(j *sheets.Job, s *check.Sheet) []view {
	out := []view{}
	for _, c := range s.Cells() {
		if c.Name != "" && c.Role != check.CheckOf {
			out = append(out, cellView(j, c, c.Path()))
		}
	}
	for _, part := range s.Parts {
		out = append(out, views(j, part)...)
	}
	return out
}

func cellView(j *sheets.Job, c *check.Cell, name string) view {
	return viewOf(name, c, j.Value(c), j.State(c), j.Causes(c), j.Engine.StateOf)
}

// checksOf gives the checks of a sheet, and of its parts under their names.
func checksOf(j *sheets.Job, s *check.Sheet, under string) []sheets.CheckResult {
	var out []sheets.CheckResult
	for _, r := range j.CheckResults(s) {
		if under != "" {
			named := *r.Check
			if named.Name == "" {
				named.Name = named.Text
			}
			named.Name = under + named.Name
			r.Check = &named
		}
		out = append(out, r)
	}
	for _, part := range s.Parts {
		out = append(out, checksOf(j, part, under+part.Name+".")...)
	}
	return out
}

func checkViews(j *sheets.Job, s *check.Sheet) []checkView {
	out := []checkView{}
	for _, r := range checksOf(j, s, "") {
		v := checkView{Name: r.Name, Condition: r.Text, Status: string(r.State), Messages: []string{}, Rows: r.Rows}
		if r.Name != "" && len(j.Sheets) > 1 {
			v.Name = s.Name + "." + r.Name
		}
		if r.State == sheets.Fails {
			v.Text = r.Words
		}
		for _, x := range r.Causes {
			v.Messages = append(v.Messages, oneLine(x))
		}
		out = append(out, v)
	}
	return out
}

// Sheet writes a sheet as a table: name, value, unit, note; states in words; tables with their rows.
func (p *Report) Sheet(j *sheets.Job, s *check.Sheet) {
	title := j.Words(s.Title())
	if title == "" {
		title = s.Path()
	}
	fmt.Fprintln(p.Out, title)
	var rows []line
	for _, c := range s.Cells() {
		if named(c) && c.Role != check.Rows {
			rows = append(rows, lineOf(j, c))
		}
	}
	w := widths(rows)
	var section *check.Cell
	first := true
	k := 0
	for _, it := range s.File.Items {
		if part := s.PartAt(it); part != nil {
			fmt.Fprintf(p.Out, "\n  %s, a part from %s: %s\n", part.Name, part.File.Name, summary(part))
		}
		for _, c := range s.CellsOf(it) {
			if !named(c) {
				continue
			}
			if first || c.Section != section {
				first, section = false, c.Section
				fmt.Fprintln(p.Out)
				if section != nil {
					fmt.Fprintln(p.Out, j.Words(section))
				}
			}
			if c.Role == check.Rows {
				p.rows(j, c, mostRows)
				continue
			}
			fmt.Fprintln(p.Out, rows[k].write(w))
			k++
		}
	}
	if checks := checksOf(j, s, ""); len(checks) > 0 {
		fmt.Fprintln(p.Out)
		fmt.Fprintln(p.Out, "Checks")
		p.checks(checks)
	}
}

// summary names some of the cells of a part.
func summary(part *check.Sheet) string {
	names := part.Names()
	if n := len(names); n > 6 {
		names = append(names[:6:6], fmt.Sprintf("and %d more", n-6))
	}
	return strings.Join(names, ", ")
}

// line is one row of the table.
type line struct{ name, number, unit, state, note string }

func lineOf(j *sheets.Job, c *check.Cell) line {
	state := j.State(c)
	shown := shownText(c, j.Value(c), state, j.Engine.StateOf)
	l := line{name: c.Name, note: c.Note}
	l.number, l.unit = numberAndUnit(c, shown)
	if c.Limits != nil {
		l.unit = strings.TrimSpace(l.unit + " " + strings.TrimSpace(c.Limits.Text))
	}
	l.state = withLeftOut(j, c, sheets.StateWords(j.Causes(c), state))
	if c.Type.Form != kind.Number && c.Type.Form != kind.Point || c.Type.List {
		l.number, l.unit = "", shown // words stand to the left
	}
	return l
}

// Shown writes the value of a cell as its sheet shows it, or its state in words.
func Shown(j *sheets.Job, c *check.Cell) string {
	state := j.State(c)
	text := shownText(c, j.Value(c), state, j.Engine.StateOf)
	if words := withLeftOut(j, c, sheets.StateWords(j.Causes(c), state)); words != "" {
		text = strings.TrimSpace(text + "   " + words)
	}
	return text
}

// withLeftOut says how many open rows `known` left out of a value.
func withLeftOut(j *sheets.Job, c *check.Cell, words string) string {
	n := j.Engine.LeftOut(engineID(c))
	if n == 0 {
		return words
	}
	if words != "" {
		words += "; "
	}
	return words + many(n, "open row") + " left out"
}

func widths(rows []line) columnWidths {
	var w columnWidths
	for _, r := range rows {
		w.name = max(w.name, diag.Width(r.name))
		if r.number != "" {
			w.number = max(w.number, diag.Width(r.number))
			w.unit = max(w.unit, diag.Width(r.unit))
		} else if n := diag.Width(r.unit); n <= 24 { // a long text pushes nothing but its own line
			w.unit = max(w.unit, n-w.number-1)
		}
		w.state = max(w.state, diag.Width(r.state))
	}
	return w
}

type columnWidths struct{ name, number, unit, state int }

func (l line) write(w columnWidths) string {
	value := right(l.number, w.number) + " " + l.unit
	if l.number == "" {
		value = l.unit
	}
	gap := func(s string, n int) string { return s + strings.Repeat(" ", max(0, n-diag.Width(s))) }
	out := "  " + gap(l.name, w.name) + "  " + gap(value, w.number+1+w.unit)
	if w.state > 0 {
		out += "  " + gap(l.state, w.state)
	}
	if l.note != "" {
		out += "  " + l.note
	}
	return strings.TrimRight(out, " ")
}

// mostFailing is how many failing rows of a check are named (ruling 35).
const mostFailing = 5

func (p *Report) checks(results []sheets.CheckResult) {
	var rows [][]string
	for _, r := range results {
		name := r.Name
		if name == "" {
			name = r.Text
		}
		state := string(r.State)
		words := ""
		switch {
		case r.Broken:
			words = "the condition is a mistake"
		case r.State == sheets.Unknown:
			state, words = "not known yet", sheets.StateWords(r.Causes, value.Open)
		case r.State == sheets.Fails:
			words = r.Words
			if words == "" {
				words = r.Text
			}
			words = strings.TrimSpace(failing(r.Rows) + words)
		default:
			words = sheets.StateWords(r.Causes, value.Flagged)
		}
		rows = append(rows, []string{name, state, words})
	}
	Table(p.Out, "  ", rows)
}

// failing names the rows of a check that do not hold.
func failing(rows []int) string {
	switch n := len(rows); {
	case n == 0:
		return ""
	case n == 1:
		return fmt.Sprintf("row %d: ", rows[0])
	default:
		var names []string
		for _, r := range rows[:min(n, mostFailing)] {
			names = append(names, fmt.Sprint(r))
		}
		more := ""
		if n > mostFailing {
			more = fmt.Sprintf(" and %d more", n-mostFailing)
		}
		return fmt.Sprintf("rows %s%s: ", strings.Join(names, ", "), more)
	}
}

// Tell writes the messages of sheets to standard error, each cause once, though several parts be made from one sheet.
func (p *Report) Tell(j *sheets.Job, list ...*check.Sheet) {
	type place struct {
		source *diag.Source
		span   diag.Span
		text   string
	}
	told := map[place]bool{}
	var all diag.List
	add := func(m *diag.Message) {
		if at := (place{m.Source, m.Span, m.Text}); !told[at] {
			told[at] = true
			all = append(all, m)
		}
	}
	for _, s := range list {
		for _, m := range s.Messages() {
			add(m)
		}
		for _, c := range withParts(s) {
			if c.Fault != nil { // told by its message
				continue
			}
			for _, x := range j.Causes(c) {
				if told[place{x.Place.Source, x.Place.Span, x.Text}] { // the mistake of a row, told where it is written
					continue
				}
				if x.State == value.Mistake || x.Kind == engine.Range || x.Kind == engine.Substitute {
					add(x.Message())
				}
			}
		}
	}
	all.Sort()
	p.Messages(all)
}

// Messages writes messages, a screenful at most.
func (p *Report) Messages(all diag.List) {
	for i, m := range all {
		if i == diag.Most {
			fmt.Fprintf(p.Err, "and %d more.\n", len(all)-i)
			break
		}
		fmt.Fprint(p.Err, m.Draw())
	}
}

// withParts lists the cells of a sheet and of its parts.
func withParts(s *check.Sheet) []*check.Cell {
	out := append([]*check.Cell{}, s.Cells()...)
	for _, part := range s.Parts {
		out = append(out, withParts(part)...)
	}
	return out
}

// Checks writes how the checks of a job stand.
func (p *Report) Checks(j *sheets.Job) int {
	if p.JSON {
		checks := []checkView{}
		for _, s := range j.Sheets {
			checks = append(checks, checkViews(j, s)...)
		}
		writeJSON(p.Out, map[string]any{"checks": checks}, false)
		return Fine
	}
	for _, s := range j.Sheets {
		if checks := checksOf(j, s, ""); len(checks) > 0 {
			fmt.Fprintln(p.Out, s.Name)
			p.checks(checks)
		}
	}
	return Fine
}

// Doubts lists all that is assumed, flagged or accepted.
func (p *Report) Doubts(j *sheets.Job) int {
	var rows [][]string
	list := []view{}
	for _, s := range j.Sheets {
		for _, c := range withParts(s) {
			if c.Name == "" || c.Role == check.CheckOf || c.Role == check.Rows {
				continue
			}
			var words []string
			if state := j.State(c); state == value.Flagged || state == value.Open {
				words = append(words, sheets.StateWords(j.Causes(c), state))
			}
			if c.Program != nil {
				for _, a := range c.Program.Accepts {
					words = append(words, fmt.Sprintf("accepted: %s (%s)", a.Why, strings.Join(a.Causes, ", ")))
				}
			}
			if len(words) > 0 {
				rows = append(rows, []string{c.Path(), shownText(c, j.Value(c), j.State(c), j.Engine.StateOf), strings.Join(words, "; ")})
				list = append(list, cellView(j, c, c.Path()))
			}
		}
	}
	if p.JSON {
		writeJSON(p.Out, map[string]any{"cells": list}, false)
		return Fine
	}
	if len(rows) == 0 {
		fmt.Fprintln(p.Out, "Nothing is open, assumed, flagged or accepted.")
		return Fine
	}
	Table(p.Out, "", rows)
	return Fine
}

// Names writes the values of some cells, tables and parts. From, where set, is the sheet in which names are looked up first.
func (p *Report) Names(j *sheets.Job, from *check.Sheet, names []string) int {
	status := Fine
	list := []view{}
	var rows []line
	var after []func()
	for _, n := range names {
		if n = strings.Trim(n, ","); n == "" {
			continue
		}
		c, ok := ByName(j, from, n)
		if !ok {
			if s, isSheet := sheetByName(j, from, n); isSheet {
				if p.JSON {
					list = append(list, views(j, s)...)
				} else {
					after = append(after, func() { p.Sheet(j, s) })
				}
				continue
			}
			status = p.NoCell(j, n)
			continue
		}
		if j.State(c) == value.Mistake {
			status = Wrong
			if !p.JSON {
				for _, x := range j.Causes(c) {
					fmt.Fprint(p.Err, x.Message().Draw())
				}
			}
		}
		list = append(list, cellView(j, c, n))
		if c.Role == check.Rows && c.Fault == nil {
			after = append(after, func() { p.rows(j, c, 1<<30) })
			continue
		}
		l := lineOf(j, c)
		l.name = n
		rows = append(rows, l)
	}
	if p.JSON {
		writeJSON(p.Out, map[string]any{"cells": list}, false)
		return status
	}
	w := widths(rows)
	for _, r := range rows {
		fmt.Fprintln(p.Out, strings.TrimPrefix(r.write(w), "  "))
	}
	for _, f := range after {
		f()
	}
	return status
}

func sheetByName(j *sheets.Job, from *check.Sheet, name string) (*check.Sheet, bool) {
	if from != nil {
		if s, ok := from.FindPart(name); ok {
			return s, true
		}
	}
	for _, s := range j.Sheets {
		if s.Name == name {
			return s, true
		}
		if part, ok := s.FindPart(name); ok {
			return part, true
		}
	}
	return nil, false
}
