package shell

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"castwright/cmd/castwright/report"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
	"castwright/sheets"
)

// command is one command of the shell: a plain word first.
type command struct {
	name  string
	usage string
	about string
	run   func(rest string)
}

func (s *Shell) commands() []command {
	return []command{
		{"show", "show [NAME…]", "the values of this sheet, or of cells, tables, parts, sheets", s.show},
		{"why", "why NAME [deep]", "how a value comes about; deep unfolds the rules too", s.why},
		{"feeds", "feeds NAME", "what depends on it, the nearest first", s.feeds},
		{"draw", "draw " + report.DrawUsage, "outlines, solids or columns, in the terminal or a file", s.draw},
		{"check", "check", "mistakes and failed checks of the whole job", s.judge},
		{"drop", "drop NAME [anyway]", "takes a line, table, part or column out, anyway though it is in use", s.drop},
		{"rename", "rename NAME NEW", "another name, followed in every sheet", s.rename},
		{"undo", "undo", "takes the last step back", s.undo},
		{"redo", "redo", "does again what was taken back", s.redo},
		{"sheet", "sheet [NAME]", "goes to another sheet of the job, or lists them", s.goTo},
		{"open", "open PATH", "another job", s.openOther},
		{"save", "save [NAME.sheet]", "puts what was edited on disk; NAME.sheet is for new lines", s.save},
		{"reload", "reload", "takes what other programs have changed, as one step", s.reload},
		{"export", "export OUT.xlsx [handout NAME]", "a workbook of the job, or of a handout alone", s.export},
		{"import", "import IN.xlsx", "takes what was changed in a workbook of this job", s.importing},
		{"help", "help [WORD…]", "the reference: by family, by any word, by what gives a kind", s.help},
		{"quit", "quit", "leaves, as Ctrl-D does", func(string) { s.leave() }},
	}
}

// helpOf lists the commands and the lines about rows for help.
func (s *Shell) helpOf() []report.Command {
	var out []report.Command
	for _, c := range s.commands() {
		out = append(out, report.Command{Name: c.name, Usage: c.usage, About: c.about})
	}
	return append(out,
		report.Command{Name: "show checks", Usage: "show checks", About: "how the checks of the whole job stand"},
		report.Command{Name: "show doubts", Usage: "show doubts", About: "all that is open, assumed, flagged or accepted"},
		report.Command{Name: "given", Usage: "drop NAME given", About: "reopens an ask that was answered"},
		report.Command{Name: "add", Usage: "TABLE add 2027-03-03 | 5 | 8%", About: "a row below the others"},
		report.Command{Name: "row", Usage: "TABLE row 2 COLUMN = 9%", About: "another value in a row"},
		report.Command{Name: "drop row", Usage: "TABLE drop row 2", About: "takes a row out"})
}

// isCommand tells whether a line is a command, which does not go on over several lines.
func (s *Shell) isCommand(text string) bool {
	_, _, ok := s.command(text)
	return ok || s.rowCommand(text) != nil
}

// command parts a line into its command and the rest. A line whose first word is a command is the command, unless `=`, an
// operator with blanks on both sides, or a tight operator, dot or bracket follows. Bare `check` is the command, otherwise
// the statement.
func (s *Shell) command(text string) (name, rest string, ok bool) {
	text = strings.TrimSpace(text)
	end := strings.IndexFunc(text, func(r rune) bool { return r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if end < 0 {
		end = len(text)
	}
	name, rest = text[:end], text[end:]
	known := false
	for _, c := range s.commands() {
		known = known || c.name == name
	}
	if !known {
		return "", "", false
	}
	trimmed := strings.TrimSpace(rest)
	tight := rest != "" && rest == strings.TrimLeft(rest, " \t")
	switch {
	case trimmed == "":
		return name, "", true
	case strings.HasPrefix(trimmed, "#"):
		return name, "", true
	case name == "check", tight, strings.HasPrefix(trimmed, "=") && !strings.HasPrefix(trimmed, "=="):
		return "", "", false
	}
	first, _, more := strings.Cut(trimmed, " ")
	if more && isOperator(first) {
		return "", "", false
	}
	return name, trimmed, true
}

func isOperator(w string) bool {
	switch w {
	case "+", "-", "*", "/", "^", "==", "!=", "<", "<=", ">", ">=", "≠", "≤", "≥", "×", "·", "−", "and", "or", "where":
		return true
	}
	return false
}

// rowLine is a line about the rows of a table.
type rowLine struct{ table, verb, rest string }

// rowCommand reads `pours add …`, `pours row 2 waste = 9%`, `pours drop row 2`; nil where a line is none.
func (s *Shell) rowCommand(text string) *rowLine {
	words := strings.Fields(text)
	if len(words) < 2 || words[1] != "add" && words[1] != "row" && words[1] != "drop" {
		return nil
	}
	it := sheets.Statement(s.current(), words[0])
	if it == nil {
		return nil
	}
	if _, ok := it.Statement.(*syntax.Table); !ok {
		return nil
	}
	_, rest, _ := strings.Cut(strings.TrimSpace(text), words[1])
	return &rowLine{words[0], words[1], strings.TrimSpace(rest)}
}

// rows carries out a line about rows; false where it is none.
func (s *Shell) rows(text string) bool {
	r := s.rowCommand(text)
	if r == nil {
		return false
	}
	plan, err := s.planRow(r)
	if err != nil {
		s.fail(err)
		return true
	}
	if r, err := s.job.Edit(plan.Label, plan.Splices...); s.do(r, err) {
		s.quiet(r)
	}
	return true
}

func (s *Shell) planRow(r *rowLine) (*sheets.Plan, error) {
	sheet := s.current()
	if r.verb == "add" {
		return s.job.AddRow(sheet, r.table, r.rest)
	}
	rest := r.rest
	if r.verb == "drop" {
		var ok bool
		if rest, ok = strings.CutPrefix(rest, "row"); !ok {
			return nil, fmt.Errorf("it is written: %s drop row 2", r.table)
		}
	}
	number, rest, _ := strings.Cut(strings.TrimSpace(rest), " ")
	n, err := strconv.Atoi(number)
	if err != nil {
		return nil, fmt.Errorf("rows are counted from 1, and named by their number, as %s row 2", r.table)
	}
	if r.verb == "drop" {
		return s.job.DropRow(sheet, r.table, n)
	}
	column, value, ok := strings.Cut(rest, "=")
	if !ok {
		return nil, fmt.Errorf("it is written: %s row %d COLUMN = VALUE; an empty value leaves the place open", r.table, n)
	}
	return s.job.SetPlace(sheet, r.table, n, strings.TrimSpace(column), value)
}

func (s *Shell) show(rest string) {
	names := strings.Fields(rest)
	switch {
	case len(names) == 0:
		sheet := s.current()
		s.report.Sheet(s.job, sheet)
		s.report.Tell(s.job, sheet)
	case rest == "checks":
		s.report.Checks(s.job)
	case rest == "doubts":
		s.report.Doubts(s.job)
	case names[0] == "handout" && len(names) == 2:
		s.note(s.report.Handout(s.job, names[1]))
	case names[0] == "handout" && len(names) == 4 && names[2] == "to":
		s.note(s.report.HandoutTo(s.job, names[1], strings.Trim(names[3], `"`)))
	default:
		if s.report.Names(s.job, s.current(), names) != report.Fine {
			s.status = report.Wrong
		}
		s.under(names[len(names)-1])
	}
}

// under has the next lines typed under the heading of a cell that was shown.
func (s *Shell) under(name string) {
	c, ok := s.current().Find(name)
	if !ok || c.Sheet != s.current() {
		return
	}
	if c.Sheet.Cells(); c.Section != nil {
		s.here = c.Section.Item
	}
}

func (s *Shell) cell(name string) (*check.Cell, bool) {
	c, ok := report.ByName(s.job, s.current(), name)
	if !ok {
		s.status = s.report.NoCell(s.job, name)
	}
	return c, ok
}

func (s *Shell) why(rest string) {
	words := strings.Fields(rest)
	deep := len(words) == 2 && words[1] == "deep"
	if len(words) != 1 && !deep {
		s.fail(errors.New("it is written: why NAME, or why NAME deep"))
		return
	}
	if c, ok := s.cell(words[0]); ok {
		s.report.Why(s.job, c, deep)
	}
}

// feeds lists what depends on a cell, the nearest first.
func (s *Shell) feeds(rest string) {
	if len(strings.Fields(rest)) != 1 {
		s.fail(errors.New("it is written: feeds NAME"))
		return
	}
	c, ok := s.cell(rest)
	if !ok {
		return
	}
	if s.report.Feeds(s.job, s.current(), c) == 0 {
		s.write("Nothing rests on %s.", rest)
	}
}

func (s *Shell) draw(rest string) { s.note(s.report.Draw(s.job, s.current(), rest)) }

func (s *Shell) judge(string) {
	if s.report.Judge(s.job) != report.Fine {
		s.status = report.Wrong
	}
}

func (s *Shell) drop(rest string) {
	words := strings.Fields(rest)
	last := ""
	if len(words) == 2 {
		last = words[1]
	}
	if len(words) == 0 || len(words) > 2 || last != "" && last != "anyway" && last != "given" {
		s.fail(errors.New("it is written: drop NAME, drop NAME anyway, or drop NAME given"))
		return
	}
	plan, err := s.job.Drop(s.current(), words[0], last == "given")
	if err != nil {
		s.fail(err)
		return
	}
	if last == "anyway" {
		s.dropped(s.job.Edit(plan.Label, plan.Splices...))
		return
	}
	r, err := s.job.EditHarmless(plan.Label, plan.Splices...)
	var used *sheets.InUse
	if errors.As(err, &used) {
		s.status = report.Wrong
		s.say("%s was not dropped. %s", words[0], used.Error())
		s.say("drop %s anyway makes them mistakes.", words[0])
		return
	}
	s.dropped(r, err)
}

// dropped tells what went with a line that was taken out.
func (s *Shell) dropped(r *sheets.Report, err error) {
	if s.do(r, err) {
		s.quiet(r)
	}
}

func (s *Shell) rename(rest string) {
	words := strings.Fields(rest)
	if len(words) != 2 {
		s.fail(errors.New("it is written: rename NAME NEW"))
		return
	}
	plan, err := s.job.Rename(s.current(), words[0], words[1])
	if err != nil {
		s.fail(err)
		return
	}
	r, err := s.job.EditNames(plan.Label, plan.Splices...)
	if err != nil {
		s.fail(err)
		return
	}
	r.Shifts, r.Messages = nil, nil // values and mistakes are what they were
	if s.do(r, nil) {
		s.write("%s is called %s now, in %s.", words[0], words[1], amount(len(plan.Splices), "place"))
	}
}

func (s *Shell) undo(string) {
	r, err := s.job.Undo()
	s.turn(r, err, "There is nothing to take back.", "Taken back")
}

func (s *Shell) redo(string) {
	r, err := s.job.Redo()
	s.turn(r, err, "There is nothing to do again.", "Done again")
}

func (s *Shell) turn(r *sheets.Report, err error, nothing, done string) {
	if errors.Is(err, sheets.ErrNothing) {
		s.write("%s", nothing)
		return
	}
	if err == nil && strings.HasPrefix(r.Label, "rename ") {
		r.Shifts = nil // the values are what they were
	}
	if s.do(r, err) && len(r.Shifts) == 0 {
		s.write("%s: %s.", done, r.Label)
	}
}

func (s *Shell) help(rest string) {
	if rest == "" {
		s.write("A line is an expression, whose value is shown; a statement, which becomes part of the sheet; or a command:")
		s.write("")
	}
	if s.report.Help(strings.Fields(rest)) != report.Fine {
		s.status = report.Wrong
	}
}

// goTo goes to another sheet, or lists them.
func (s *Shell) goTo(rest string) {
	if rest == "" {
		var rows [][]string
		for _, sh := range s.job.Sheets {
			mark := ""
			if sh.Name == s.sheet {
				mark = "here"
			}
			rows = append(rows, []string{sh.Name, s.job.Words(sh.Title()), mark})
		}
		report.Table(s.report.Out, "", rows)
		return
	}
	if s.job.Checked.Sheet(rest) != nil {
		s.sheet, s.here = rest, nil
		return
	}
	var names []string
	for _, sh := range s.job.Sheets {
		names = append(names, sh.Name)
	}
	if !syntax.IsName(rest) || !s.job.IsFolder() {
		s.fail(errors.New(strings.TrimSpace(fmt.Sprintf("there is no sheet %s. %s", rest, diag.DidYouMean(diag.Near(rest, names))))))
		return
	}
	yes, err := s.yes(fmt.Sprintf("There is no sheet %s. Make one?", rest))
	switch {
	case errors.Is(err, errNobody):
		s.fail(fmt.Errorf("there is no sheet %s", rest))
	case yes:
		if s.do(s.job.AddSheet(rest)) {
			s.sheet, s.here = rest, nil
		}
	}
}
