package shell

import (
	"errors"
	"strings"

	"castwright/cmd/castwright/report"
	"castwright/sheets"
	"castwright/sheets/xlsx"
)

// note keeps the exit state of a command that did not do what was asked.
func (s *Shell) note(status int) {
	if status != report.Fine {
		s.status = report.Wrong
	}
}

// export writes a workbook of the job, or of a handout.
func (s *Shell) export(rest string) {
	words := strings.Fields(rest)
	if len(words) != 1 && !(len(words) == 3 && words[1] == "handout") || !strings.HasSuffix(words[0], ".xlsx") {
		s.fail(errors.New("it is written: export OUT.xlsx, or export OUT.xlsx handout NAME"))
		return
	}
	if len(words) == 3 {
		s.note(s.report.ExportHandout(s.job, words[0], words[2]))
		return
	}
	s.note(s.report.Export(s.job, words[0]))
}

// importing takes what was filled in or changed in a workbook that was written from this job: one step for each change, and
// one for all rows of a table.
func (s *Shell) importing(path string) {
	if path == "" {
		s.fail(errors.New("it is written: import IN.xlsx"))
		return
	}
	back, status := s.report.Read(s.job, strings.Trim(path, `"`))
	if back == nil {
		s.note(status)
		return
	}
	if len(back.Changes) == 0 {
		return
	}
	yes, err := s.yes("Take " + amount(len(back.Changes), "change") + "?")
	if err != nil {
		s.fail(errors.New("nothing was taken: nobody is there to say yes"))
		return
	}
	if yes {
		s.take(back)
	}
}

func (s *Shell) take(back *xlsx.Back) {
	_, refused := back.Take(func(plan *sheets.Plan) error {
		r, err := s.job.Edit(plan.Label, plan.Splices...)
		if err == nil {
			s.do(r, nil)
		}
		return err
	})
	for _, r := range refused {
		s.fail(r.Err)
	}
}
