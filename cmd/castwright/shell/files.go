package shell

import (
	"errors"
	"fmt"
	"strings"

	"castwright/cmd/castwright/report"
	"castwright/sheets"
	"castwright/sheets/disk"
)

// open reads a job; false where it cannot be read, which is told.
func (s *Shell) open(path string) (*sheets.Job, bool) {
	j, err := sheets.OpenOrNew(path, s.report.Checker, &s.meter)
	if err != nil {
		s.say("%s", report.Sentence(err))
	}
	return j, err == nil
}

// enter has a job edited in the place of another, takes up what was not saved, and says where it can be looked at only.
func (s *Shell) enter(j *sheets.Job) {
	if s.job != nil {
		if err := s.job.Close(); err != nil {
			s.say("%s", report.Sentence(err))
		}
	}
	s.job, s.here, s.told = j, nil, ""
	s.sheet = j.Sheets[0].Name
	if j.Path == "" {
		return
	}
	unsaved, err := j.Edits()
	switch {
	case errors.Is(err, sheets.ErrJournal):
		s.journal(err)
	case errors.Is(err, disk.ErrHeld):
		s.say("This job is open in another shell. Here it can be looked at, and not changed.")
	case err != nil:
		s.say("%s The job can be looked at, and not changed.", report.Sentence(err))
	case unsaved != nil:
		s.takeUp(unsaved)
	}
}

// takeUp offers what was not saved when the last run ended.
func (s *Shell) takeUp(u *sheets.Unsaved) {
	what := fmt.Sprintf("%s of %s were not saved when the last run ended", amount(u.Edits, "edit"), strings.Join(u.Sheets, ", "))
	if u.Edits == 1 {
		what = strings.Replace(what, " were ", " was ", 1)
	}
	if u.Torn {
		what += " (one more was not whole, and had not been confirmed)"
	}
	yes, err := s.yes(what + ". Take them up?")
	switch {
	case errors.Is(err, errNobody):
		s.say("%s. Start the shell at a terminal to take them up; until then the job can be looked at, and not changed.", what)
		s.job.LookOnly(errors.New("there are edits that were not saved"))
	case yes:
		s.do(s.job.Take(u))
	default:
		name, err := s.job.Leave(u)
		if err != nil {
			s.fail(err)
			s.job.LookOnly(err)
			return
		}
		s.say("They are kept in %s.", name)
	}
}

// journal tells of a journal that cannot be taken up, and offers to put it aside.
func (s *Shell) journal(why error) {
	s.say("%s", report.Sentence(why))
	yes, err := s.yes("Put it aside, and go on from what is on disk?")
	if err != nil || !yes {
		s.say("Until then the job can be looked at, and not changed.")
		return
	}
	name, err := s.job.SetAside()
	if err != nil {
		s.fail(err)
		return
	}
	s.say("It is kept in %s.", name)
}

func (s *Shell) openOther(path string) {
	if path == "" {
		s.fail(errors.New("it is written: open PATH"))
		return
	}
	path = strings.Trim(path, `"`)
	j, ok := s.open(path) // before anything is asked
	if !ok {
		s.status = report.Wrong
		return
	}
	unsaved := len(s.job.Dirty()) > 0
	if !s.mayLeave() {
		return
	}
	if unsaved { // what was just saved is read too
		if j, ok = s.open(path); !ok {
			s.status = report.Wrong
			return
		}
	}
	s.enter(j)
	s.greet()
}

// save puts what was edited on disk and says what changed.
func (s *Shell) save(path string) {
	if path != "" || s.job.Path == "" {
		s.saveAs(strings.Trim(path, `"`))
		return
	}
	saved, err := s.job.Save()
	if err != nil {
		s.fail(err)
		return
	}
	if len(saved) == 0 {
		s.write("All is saved.")
	}
	for _, x := range saved {
		s.write("%s", changes(s.job, x))
	}
}

func changes(j *sheets.Job, x sheets.Saved) string {
	var parts []string
	if n := min(x.Added, x.Removed); n > 0 {
		parts = append(parts, amount(n, "line")+" changed")
		x.Added, x.Removed = x.Added-n, x.Removed-n
	}
	if x.Added > 0 {
		parts = append(parts, amount(x.Added, "line")+" more")
	}
	if x.Removed > 0 {
		parts = append(parts, amount(x.Removed, "line")+" fewer")
	}
	if len(parts) == 0 {
		parts = []string{"made"}
	}
	return fmt.Sprintf("%s saved: %s", j.SheetPath(x.Sheet), strings.Join(parts, ", "))
}

// saveAs gives a job that has no place on disk one.
func (s *Shell) saveAs(path string) {
	if s.job.Path != "" {
		s.fail(errors.New("this job has its place on disk; save alone puts it there"))
		return
	}
	if path == "" {
		s.fail(errors.New("these lines have no place on disk yet; write save NAME.sheet"))
		return
	}
	if err := s.job.Place(path); err != nil {
		s.fail(err)
		return
	}
	s.sheet = s.job.Sheets[0].Name
	if _, err := s.job.Edits(); err != nil {
		s.say("%s", report.Sentence(err))
	}
	s.write("%s saved.", s.job.Path)
}

func (s *Shell) reload(string) {
	if s.job.Path == "" {
		s.fail(errors.New("these lines have no place on disk yet"))
		return
	}
	r, err := s.job.Reload()
	if s.do(r, err) && len(r.Shifts) == 0 {
		s.write("Read again; no value has changed.")
	}
	s.told = ""
}

// mayLeave asks what to do with what is not saved; false where the reader stays.
func (s *Shell) mayLeave() bool {
	dirty := s.job.Dirty()
	if s.job.Path == "" {
		dirty = nil
		if s.job.Sheets[0].File.Print() != "" {
			dirty = []string{s.job.Sheets[0].Name}
		}
	}
	if len(dirty) == 0 {
		return true
	}
	a, err := s.in.Ask(fmt.Sprintf("Not saved: %s. Save before leaving? (yes, no, or stay) ", strings.Join(dirty, ", ")))
	if err != nil { // nobody there: the journal keeps it
		if s.job.Path != "" {
			s.say("Not saved: %s. The journal keeps it for the next start.", strings.Join(dirty, ", "))
		}
		return true
	}
	switch strings.ToLower(strings.TrimSpace(a)) {
	case "yes", "y":
		if s.job.Path == "" {
			s.say("These lines have no place on disk yet; write save NAME.sheet.")
			return false
		}
		s.save("")
		return len(s.job.Dirty()) == 0
	case "no", "n":
		if err := s.job.Discard(); err != nil {
			s.say("%s", report.Sentence(err))
		}
		return true
	}
	return false
}

func (s *Shell) leave() {
	if s.mayLeave() {
		s.over = true
	}
}

// interrupt stops what is running.
func (s *Shell) interrupt() { s.meter.Stop() }
