// Package shell is the interactive shell: a line is an expression, a statement or a command, and what else it changes is
// told. It reads from a terminal, or line by line from a pipe.
package shell

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"castwright/cmd/castwright/report"
	"castwright/cmd/castwright/shell/terminal"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
	"castwright/lang/work"
	"castwright/sheets"
)

// lines is where the shell reads from.
type lines interface {
	// Line reads a line; io.EOF at the end, terminal.ErrInterrupt where it was thrown away.
	Line(prompt string) (string, error)
	// Ask puts a question; errNobody where nobody is there to answer.
	Ask(question string) (string, error)
}

// errNobody says that a question cannot be asked.
var errNobody = errors.New("nobody is there to ask")

// Shell is one run of the shell over a job.
type Shell struct {
	report *report.Report
	in     lines
	person bool // somebody sits at a terminal
	job    *sheets.Job
	sheet  string       // the sheet that is typed in
	here   *syntax.Item // the heading last shown or typed
	told   string       // what was told of changes outside
	status int
	over   bool

	meter work.Meter // of the job, and of one that is being opened: Ctrl-C stops them, from another goroutine
}

// Options say where a shell reads and writes.
type Options struct {
	In      io.Reader
	Report  *report.Report
	History string // the history file, empty for none
}

// Run opens a job, or an empty one where the path is empty, and reads lines until the end. It gives the exit state.
func Run(path string, o Options) int {
	s := &Shell{report: o.Report, sheet: "sheet"}
	s.report.Lead, s.report.Commands = "", s.helpOf()
	in, isFile := o.In.(*os.File)
	out, outFile := o.Report.Out.(*os.File)
	if isFile && outFile {
		t, err := terminal.Open(terminal.Config{In: in, Out: out, History: o.History, Complete: s.complete})
		switch {
		case err == nil:
			defer t.Close()
			s.in, s.person = t, true
			s.report.Out, s.report.Err, s.report.Columns = t, t, t.Width
			stop := terminal.Interrupts(s.interrupt)
			defer stop()
		case !errors.Is(err, terminal.ErrNotTerminal):
			fmt.Fprintln(s.report.Err, report.Sentence(err))
			return report.Usage
		}
	}
	if s.in == nil {
		s.in = newPipe(o.In)
	}
	if !s.begin(path) {
		return report.Usage
	}
	for !s.over {
		s.next()
	}
	if s.job != nil {
		if err := s.job.Close(); err != nil {
			s.say("%s", report.Sentence(err))
		}
	}
	return s.status
}

// begin opens the first job.
func (s *Shell) begin(path string) bool {
	defer s.report.Wait(&s.meter)()
	j, ok := s.open(path)
	if ok {
		s.enter(j)
		s.greet()
	}
	return ok
}

func (s *Shell) current() *check.Sheet {
	if c := s.job.Checked.Sheet(s.sheet); c != nil {
		return c
	}
	s.sheet = s.job.Sheets[0].Name
	return s.job.Sheets[0]
}

// say tells the reader something beside the values.
func (s *Shell) say(format string, args ...any) {
	fmt.Fprintf(s.report.Err, format+"\n", args...)
}

// write gives an answer.
func (s *Shell) write(format string, args ...any) {
	fmt.Fprintf(s.report.Out, format+"\n", args...)
}

// fail tells why a line was not taken.
func (s *Shell) fail(err error) {
	s.status = report.Wrong
	s.report.Refusal(err)
}

// greet says what was opened.
func (s *Shell) greet() {
	if !s.person {
		return
	}
	cells, mistakes, fails := 0, 0, 0
	for _, sh := range s.job.Sheets {
		for _, c := range sh.Cells() {
			if c.Name != "" {
				cells++
			}
		}
		mistakes += sh.Messages().Mistakes()
		for _, k := range s.job.CheckResults(sh) {
			if k.State == sheets.Fails {
				fails++
			}
		}
	}
	name := s.sheet
	if s.job.Path != "" {
		name = filepath.Base(s.job.Path)
	}
	text := fmt.Sprintf("%s: %s, %s", name, amount(len(s.job.Sheets), "sheet"), amount(cells, "cell"))
	if mistakes > 0 {
		text += ", " + amount(mistakes, "mistake")
	}
	if fails > 0 {
		text += ", " + amount(fails, "failed check")
	}
	s.write("%s. help tells what can be typed.", text)
}

func amount(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// next reads a line, with those that it goes on to, and carries it out.
func (s *Shell) next() {
	text, err := s.in.Line(s.sheet + ": ")
	for err == nil && !s.isCommand(text) && syntax.GoesOn(text, s.current().IsUnit) {
		var more string
		if more, err = s.in.Line("  and: "); err == nil {
			text += "\n" + more
		}
	}
	switch {
	case errors.Is(err, terminal.ErrInterrupt):
		return
	case errors.Is(err, io.EOF):
		if strings.TrimSpace(text) != "" {
			s.line(text)
		}
		s.leave()
		return
	case err != nil:
		s.fail(err)
		if !errors.Is(err, terminal.ErrLineTooLong) && !errors.Is(err, terminal.ErrPasteTooLong) {
			s.over = true
		}
		return
	}
	s.line(text)
}

// line carries out what was typed.
func (s *Shell) line(text string) {
	if t := strings.TrimSpace(text); t == "" || strings.HasPrefix(t, "#") && !strings.Contains(t, "\n") {
		return
	}
	defer s.report.Wait(&s.meter)()
	s.outside()
	if name, rest, ok := s.command(text); ok {
		for _, c := range s.commands() {
			switch {
			case c.name != name:
			case rest != "" && c.usage == c.name: // undo 3
				s.fail(fmt.Errorf("%s stands alone on its line", name))
				return
			default:
				c.run(rest)
				return
			}
		}
	}
	if s.rows(text) {
		return
	}
	s.typed(text)
}

// typed is an expression, whose value is shown, or a statement, which becomes part of the sheet.
func (s *Shell) typed(text string) {
	src := &diag.Source{Name: "the line", Text: strings.TrimLeft(text, " \t")}
	sheet := s.current()
	plan, ms := s.job.Type(sheet, s.here, src)
	if plan == nil {
		s.status = report.Wrong
		s.report.Messages(ms)
		return
	}
	if plan.Value {
		if s.report.Value(s.job, sheet, src) != report.Fine {
			s.status = report.Wrong
		}
		return
	}
	if plan.Overwrites != "" && !s.mayOverwrite(plan) {
		return
	}
	if len(plan.Splices) == 0 { // a heading that is there already
		s.here = plan.Section
		return
	}
	if r, err := s.job.Edit(plan.Label, plan.Splices...); s.do(r, err) {
		s.quiet(r)
		s.remember(plan, src)
	}
}

// quiet confirms a line that changed no value, so that nobody wonders whether it was taken.
func (s *Shell) quiet(r *sheets.Report) {
	if len(r.Shifts) == 0 && len(r.Messages) == 0 {
		s.write("Taken.")
	}
}

// remember keeps the heading under which lines are typed.
func (s *Shell) remember(plan *sheets.Plan, src *diag.Source) {
	s.here = plan.Section
	if strings.HasPrefix(src.Text, "section") && plan.Label == "section" {
		items := s.current().File.Items
		for _, it := range items {
			if _, ok := it.Statement.(*syntax.Section); ok {
				s.here = it
			}
		}
	}
}

// mayOverwrite asks before a bare value takes the place of a formula.
func (s *Shell) mayOverwrite(plan *sheets.Plan) bool {
	question := fmt.Sprintf("%s is worked out: %s. Put the value in its place?", plan.Label, strings.Join(strings.Fields(plan.Overwrites), " "))
	yes, err := s.yes(question)
	if errors.Is(err, errNobody) {
		s.status = report.Wrong
		s.say("%s is worked out: %s. A value does not take its place unasked.", plan.Label, strings.Join(strings.Fields(plan.Overwrites), " "))
		s.say("Drop it first, with drop %s anyway, or change what it rests on.", plan.Label)
		return false
	}
	if !yes {
		s.say("It stays as it was.")
	}
	return yes
}

// yes asks a question that is answered by yes or no.
func (s *Shell) yes(question string) (bool, error) {
	for range 3 {
		a, err := s.in.Ask(question + " (yes or no) ")
		if err != nil {
			if !errors.Is(err, errNobody) {
				err = nil // thrown away: no
			}
			return false, err
		}
		switch strings.ToLower(strings.TrimSpace(a)) {
		case "yes", "y":
			return true, nil
		case "no", "n", "":
			return false, nil
		}
	}
	return false, nil
}

// mostShifts is how many changed values are told after an edit.
const mostShifts = 15

// do tells what an edit did, or why it was not taken.
func (s *Shell) do(r *sheets.Report, err error) bool {
	if err != nil {
		s.fail(err)
		return false
	}
	var rows [][]string
	for i, x := range r.Shifts {
		if i == mostShifts {
			rows = append(rows, []string{fmt.Sprintf("and %d more", len(r.Shifts)-i)})
			break
		}
		name := x.Path
		if len(s.job.Sheets) > 1 {
			name = strings.TrimPrefix(name, s.sheet+".")
		}
		switch {
		case x.Cell == nil:
			rows = append(rows, []string{name, x.Was, "→", "gone"})
		case x.Was == "":
			rows = append(rows, []string{name, x.Is})
		case x.More > 0:
			rows = append(rows, []string{name, x.Was, "→", x.Is + "  and " + amount(x.More, "more row")})
		default:
			rows = append(rows, []string{name, x.Was, "→", x.Is})
		}
	}
	report.Table(s.report.Out, "", rows)
	s.report.Messages(r.Messages)
	s.explain(r)
	return true
}

// mostReasons is for how many values the reason is told why they have become a mistake.
const mostReasons = 3

// explain tells why values have become mistakes when they were worked out anew.
func (s *Shell) explain(r *sheets.Report) {
	told := map[string]bool{}
	for _, m := range r.Messages {
		told[m.Text] = true
	}
	for _, x := range r.Shifts {
		if x.Cell == nil || x.Is != "mistake" || len(told) >= mostReasons+len(r.Messages) {
			continue
		}
		for _, k := range s.job.Causes(x.Cell) {
			if m := k.Message(); !told[m.Text] && !told[k.Text] {
				told[m.Text] = true
				fmt.Fprint(s.report.Err, m.Draw())
			}
		}
	}
}

// outside tells once of files that another program has changed.
func (s *Shell) outside() {
	if s.job.Unwritten() {
		return
	}
	changed := strings.Join(s.job.Outside(), ", ")
	if changed != "" && changed != s.told {
		s.say("Changed by another program since it was read: %s. reload takes it.", changed)
	}
	s.told = changed
}
