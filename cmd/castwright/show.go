package main

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

// open reads a job for a command; false where it cannot be read, which is told.
func (p *program) open(path string) (*sheets.Job, bool) {
	j, err := sheets.Open(path, p.checker)
	if err != nil {
		fmt.Fprintf(p.err, "%s.\n", upper(err.Error()))
		return nil, false
	}
	return j, true
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// show writes the values of a job.
func (p *program) show(args []string) int {
	if f, ok := unknownFlag(args); ok {
		return p.misused("show", fmt.Sprintf("There is no option %s.", f))
	}
	if len(args) == 0 {
		return p.misused("show", "A job is missing.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	switch names := args[1:]; {
	case len(names) == 0:
		return p.showAll(j)
	case names[0] == "checks" && len(names) == 1:
		return p.showChecks(j)
	case names[0] == "doubts" && len(names) == 1:
		return p.showDoubts(j)
	case names[0] == "handout":
		fmt.Fprintln(p.err, "Handouts are read, and not written yet.")
		return wrong
	default:
		return p.showNames(j, names)
	}
}

func (p *program) showAll(j *sheets.Job) int {
	if p.json {
		cells, checks := []view{}, []checkView{}
		for _, s := range j.Sheets {
			cells = append(cells, p.views(j, s)...)
			checks = append(checks, checkViews(j, s)...)
		}
		writeJSON(p.out, map[string]any{"cells": cells, "checks": checks, "messages": fileMessages(j)}, false)
		return fine
	}
	for i, s := range j.Sheets {
		if i > 0 {
			fmt.Fprintln(p.out)
		}
		p.showSheet(j, s)
	}
	for _, s := range j.Sheets {
		p.tell(s)
	}
	return fine
}

// fileMessages lists what is wrong with lines that are no cell.
func fileMessages(j *sheets.Job) []string {
	out := []string{}
	for _, s := range j.Sheets {
		for _, m := range s.Messages {
			out = append(out, messageLine(m))
		}
	}
	return out
}

func qualified(j *sheets.Job, s *sheets.Sheet, name string) string {
	if len(j.Sheets) > 1 {
		return s.Name + "." + name
	}
	return name
}

func named(c *check.Cell) bool { return c.Name != "" && c.Role != check.CheckOf }

func (p *program) views(j *sheets.Job, s *sheets.Sheet) []view {
	out := []view{}
	for i, c := range s.Cells {
		if named(c) {
			id := s.IDs[i]
			out = append(out, viewOf(qualified(j, s, c.Name), c, s.Job.Value(id), s.Job.State(id), s.Job.Causes(id), s.Job.StateOf))
		}
	}
	return out
}

func checkViews(j *sheets.Job, s *sheets.Sheet) []checkView {
	out := []checkView{}
	for _, r := range s.CheckResults() {
		v := checkView{Name: r.Name, Condition: r.Text, Status: string(r.State), Messages: []string{}}
		if r.Name != "" {
			v.Name = qualified(j, s, r.Name)
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

// showSheet writes a sheet as a table: name, value, unit, note; states in words.
func (p *program) showSheet(j *sheets.Job, s *sheets.Sheet) {
	title := s.Words(s.Title)
	if title == "" {
		title = s.Name
	}
	fmt.Fprintln(p.out, title)
	var rows []line
	for i, c := range s.Cells {
		if named(c) {
			rows = append(rows, p.lineOf(s, i))
		}
	}
	width := widths(rows)
	section := -2
	k := 0
	for _, c := range s.Cells {
		if !named(c) {
			continue
		}
		if c.Section != section {
			section = c.Section
			fmt.Fprintln(p.out)
			if section >= 0 {
				fmt.Fprintln(p.out, s.Words(s.Sections[section].Cell))
			}
		}
		fmt.Fprintln(p.out, rows[k].write(width))
		k++
	}
	if len(s.Checks) > 0 {
		fmt.Fprintln(p.out)
		fmt.Fprintln(p.out, "Checks")
		p.writeChecks(s)
	}
}

// line is one row of the table.
type line struct{ name, number, unit, state, note string }

func (p *program) lineOf(s *sheets.Sheet, i int) line {
	c, id := s.Cells[i], s.IDs[i]
	state := s.Job.State(id)
	shown := shownText(c, s.Job.Value(id), state, s.Job.StateOf)
	l := line{name: c.Name, note: c.Note}
	l.number, l.unit = numberAndUnit(c, shown)
	if c.Limits != nil {
		l.unit = strings.TrimSpace(l.unit + " " + strings.TrimSpace(c.Limits.Text))
	}
	l.state = stateWords(s.Job.Causes(id), state)
	if c.Type.Form != kind.Number && c.Type.Form != kind.Point || c.Type.List {
		l.number, l.unit = "", shown // words stand to the left
	}
	return l
}

// stateWords says a state in words.
func stateWords(causes []engine.Cause, state value.State) string {
	switch state {
	case value.OK:
		return ""
	case value.Mistake:
		return "mistake"
	}
	var words []string
	seen := map[string]bool{}
	for _, x := range causes {
		w := ""
		switch x.Kind {
		case engine.Waiting:
			w = "open: waits for " + x.Name
		case engine.Assumption:
			w = "assumed: " + x.Name
		case engine.Range:
			w = "outside the range of " + x.Name
		case engine.Substitute:
			w = "second value of otherwise"
		}
		if !seen[w] {
			seen[w] = true
			words = append(words, w)
		}
	}
	return strings.Join(words, "; ")
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

func (p *program) writeChecks(s *sheets.Sheet) {
	var rows [][]string
	for _, r := range s.CheckResults() {
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
			state, words = "not known yet", stateWords(r.Causes, value.Open)
		case r.State == sheets.Fails:
			words = r.Words
			if words == "" {
				words = r.Text
			}
		default:
			words = stateWords(r.Causes, value.Flagged)
		}
		rows = append(rows, []string{name, state, words})
	}
	table(p.out, "  ", rows)
}

// tell writes the messages of a sheet to standard error, each cause once.
func (p *program) tell(s *sheets.Sheet) {
	var all diag.List
	type place struct {
		source *diag.Source
		span   diag.Span
		text   string
	}
	told := map[place]bool{}
	add := func(m *diag.Message) {
		if at := (place{m.Source, m.Span, m.Text}); !told[at] {
			told[at] = true
			all = append(all, m)
		}
	}
	for _, m := range s.Messages {
		add(m)
	}
	for _, id := range s.IDs {
		for _, x := range s.Job.Causes(id) {
			if x.State == value.Mistake || x.Kind == engine.Range || x.Kind == engine.Substitute {
				add(x.Message())
			}
		}
	}
	all.Sort()
	for i, m := range all {
		if i == diag.Most {
			fmt.Fprintf(p.err, "and %d more.\n", len(all)-i)
			break
		}
		fmt.Fprint(p.err, m.Draw())
	}
}

func (p *program) showChecks(j *sheets.Job) int {
	if p.json {
		checks := []checkView{}
		for _, s := range j.Sheets {
			checks = append(checks, checkViews(j, s)...)
		}
		writeJSON(p.out, map[string]any{"checks": checks}, false)
		return fine
	}
	for _, s := range j.Sheets {
		if len(s.Checks) > 0 {
			fmt.Fprintln(p.out, s.Name)
			p.writeChecks(s)
		}
	}
	return fine
}

// showDoubts lists all that is assumed, flagged or accepted.
func (p *program) showDoubts(j *sheets.Job) int {
	var rows [][]string
	views := []view{}
	for _, s := range j.Sheets {
		for i, c := range s.Cells {
			id := s.IDs[i]
			if !named(c) {
				continue
			}
			var words []string
			if s.Job.State(id) == value.Flagged || s.Job.State(id) == value.Open {
				words = append(words, stateWords(s.Job.Causes(id), s.Job.State(id)))
			}
			if c.Program != nil {
				for _, a := range c.Program.Accepts {
					words = append(words, fmt.Sprintf("accepted: %s (%s)", a.Why, strings.Join(a.Causes, ", ")))
				}
			}
			if len(words) > 0 {
				rows = append(rows, []string{qualified(j, s, c.Name), shownText(c, s.Job.Value(id), s.Job.State(id), s.Job.StateOf), strings.Join(words, "; ")})
				views = append(views, viewOf(qualified(j, s, c.Name), c, s.Job.Value(id), s.Job.State(id), s.Job.Causes(id), s.Job.StateOf))
			}
		}
	}
	if p.json {
		writeJSON(p.out, map[string]any{"cells": views}, false)
		return fine
	}
	if len(rows) == 0 {
		fmt.Fprintln(p.out, "Nothing is open, assumed, flagged or accepted.")
		return fine
	}
	table(p.out, "", rows)
	return fine
}

// find looks a cell up by its name, or by sheet and name.
func find(j *sheets.Job, name string) (*sheets.Sheet, int, bool) {
	for _, s := range j.Sheets {
		short := strings.TrimPrefix(name, s.Name+".")
		if i, ok := s.Find(short); ok {
			return s, i, true
		}
	}
	return nil, 0, false
}

func (p *program) noCell(j *sheets.Job, name string) int {
	var names []string
	for _, s := range j.Sheets {
		names = append(names, s.Names()...)
	}
	fmt.Fprintf(p.err, "There is no cell %s. %s\n", name, diag.DidYouMean(diag.Near(name, names)))
	return wrong
}

func (p *program) showNames(j *sheets.Job, names []string) int {
	status := fine
	views := []view{}
	var rows []line
	for _, n := range names {
		s, i, ok := find(j, n)
		if !ok {
			status = p.noCell(j, n)
			continue
		}
		id := s.IDs[i]
		if s.Job.State(id) == value.Mistake {
			status = wrong
			if !p.json {
				for _, x := range s.Job.Causes(id) {
					fmt.Fprint(p.err, x.Message().Draw())
				}
			}
		}
		views = append(views, viewOf(n, s.Cells[i], s.Job.Value(id), s.Job.State(id), s.Job.Causes(id), s.Job.StateOf))
		rows = append(rows, p.lineOf(s, i))
	}
	if p.json {
		writeJSON(p.out, map[string]any{"cells": views}, false)
		return status
	}
	w := widths(rows)
	for _, r := range rows {
		fmt.Fprintln(p.out, strings.TrimPrefix(r.write(w), "  "))
	}
	return status
}
