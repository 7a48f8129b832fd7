package report

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"castwright/sheets"
	"castwright/sheets/xlsx"
	"castwright/sheets/xlsx/read"
	"castwright/sheets/xlsx/taken"
)

// Import brings a workbook back to its job, or makes a new job of it. Sure is asked before anything is changed, with what
// would be; nothing is applied where it says no.
func (p *Report) Import(from, path string, sure func(question string) bool) int {
	w, err := read.Open(from, read.Limits{})
	if err != nil {
		p.Refusal(err)
		return Usage
	}
	for _, n := range w.Notices {
		fmt.Fprintln(p.Err, n)
	}
	ours, err := xlsx.Recognise(w)
	if err != nil {
		p.Refusal(err)
		return Usage
	}
	_, err = os.Stat(path)
	there := !errors.Is(err, os.ErrNotExist)
	switch {
	case ours == nil && there:
		fmt.Fprintf(p.Err, "%s is there already, and this workbook was not written from it. Name a new place for what it holds.\n", path)
		return Usage
	case ours == nil:
		return p.takeIn(w, path)
	case !there && ours.Handout != "":
		fmt.Fprintf(p.Err, "This workbook is the handout %s of a job; there is no job %s to bring it back to.\n", ours.Handout, path)
		return Usage
	case !there:
		names, err := sheets.NewOf(path, ours.Texts, ours.Files)
		if err != nil {
			p.Refusal(err)
			return Usage
		}
		fmt.Fprintf(p.Out, "Made %s from what travelled in the workbook: %s.\n", path, many(len(names), "file"))
	}
	return p.bringBack(ours, path, sure)
}

// bringBack lists what was changed in a workbook that we wrote, and applies it.
func (p *Report) bringBack(ours *xlsx.Ours, path string, sure func(question string) bool) int {
	j, err := sheets.Open(path, p.Checker)
	var back *xlsx.Back
	if err == nil {
		back, err = ours.Back(j)
	}
	if err != nil {
		p.Refusal(err)
		return Usage
	}
	p.tellBack(back)
	if len(back.Changes) == 0 {
		fmt.Fprintln(p.Out, "Nothing that was filled in or changed is to be taken.")
		return Fine
	}
	if !sure(fmt.Sprintf("Take %s?", many(len(back.Changes), "change"))) {
		fmt.Fprintln(p.Out, "Nothing was taken.")
		return Fine
	}
	return p.apply(j, back)
}

// Read compares a workbook with the job that it was written from, and tells what was changed in it; nil where it is none.
func (p *Report) Read(j *sheets.Job, path string) (*xlsx.Back, int) {
	w, err := read.Open(path, read.Limits{})
	var ours *xlsx.Ours
	if err == nil {
		for _, n := range w.Notices {
			fmt.Fprintln(p.Err, n)
		}
		ours, err = xlsx.Recognise(w)
	}
	if err == nil && ours == nil {
		err = errors.New("this workbook was not written by castwright; castwright import IN.xlsx PATH makes a new job of it")
	}
	var back *xlsx.Back
	if err == nil {
		back, err = ours.Back(j)
	}
	if err != nil {
		p.Refusal(err)
		return nil, Usage
	}
	p.tellBack(back)
	if len(back.Changes) == 0 {
		fmt.Fprintln(p.Out, "Nothing that was filled in or changed is to be taken.")
	}
	return back, Fine
}

func (p *Report) tellBack(back *xlsx.Back) {
	if back.Notice != "" {
		fmt.Fprintln(p.Err, back.Notice)
	}
	var rows [][]string
	for _, c := range back.Changes {
		rows = append(rows, []string{c.Path, c.Was, "→", c.Is})
	}
	Table(p.Out, "", rows)
	if len(back.Left) > 0 {
		fmt.Fprintln(p.Out, "Not taken:")
		rows = nil
		for _, l := range back.Left {
			rows = append(rows, []string{l.Place, l.Why})
		}
		Table(p.Out, "  ", rows)
	}
}

// apply carries the changes out and saves; one that the job refuses is told, and the others stand.
func (p *Report) apply(j *sheets.Job, back *xlsx.Back) int {
	if u, err := j.Edits(); err != nil || u != nil {
		if err == nil {
			err = errors.New("this job has edits that were not saved; start the shell to take them up first")
		}
		p.Refusal(err)
		return Usage
	}
	defer j.Close()
	status := Fine
	taken, refused := back.Take(func(plan *sheets.Plan) error {
		_, err := j.Edit(plan.Label, plan.Splices...)
		return err
	})
	for _, r := range refused {
		fmt.Fprintf(p.Err, "%s was not taken.\n", r.Change.Path)
		p.Refusal(r.Err)
		status = Wrong
	}
	if _, err := j.Save(); err != nil {
		p.Refusal(err)
		if err := j.Discard(); err != nil { // else the next edit of the job would meet what could not be saved
			p.Refusal(err)
		}
		return Usage
	}
	fmt.Fprintf(p.Out, "%s taken and saved.\n", upperFirst(many(taken, "change")))
	return status
}

// mostLeft is how many formulas are listed that were not taken; the rest is counted.
const mostLeft = 50

// takeIn makes a new job of anybody's workbook, and tells how far it can be trusted.
func (p *Report) takeIn(w *read.Workbook, path string) int {
	r, err := taken.Take(w, p.Checker)
	var names []string
	if err == nil {
		names, err = sheets.NewOf(path, r.Texts, nil)
	}
	if err != nil {
		p.Refusal(err)
		return Usage
	}
	for _, n := range r.Notices {
		fmt.Fprintln(p.Err, n)
	}
	fmt.Fprintf(p.Out, "Made %s: %s.\n", path, strings.Join(names, ", "))
	fmt.Fprintf(p.Out, "%s taken as formulas, %s as values.\n", upperFirst(many(r.Translated, "cell")), many(r.Values, "cell"))
	p.items("Formulas that keep the value of the workbook:", r.Left, func(x taken.Item) string { return x.Why })
	p.items("Formulas whose value, computed anew, is another than in the workbook, which stands:", r.Differences,
		func(x taken.Item) string { return fmt.Sprintf("%s in the workbook, %s here", x.Was, x.Is) })
	return Fine
}

func (p *Report) items(head string, list []taken.Item, words func(taken.Item) string) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintln(p.Out, head)
	var rows [][]string
	for i, x := range list {
		if i == mostLeft {
			rows = append(rows, []string{fmt.Sprintf("and %d more", len(list)-i)})
			break
		}
		rows = append(rows, []string{x.Sheet + "!" + x.Ref, "=" + x.Formula, words(x)})
	}
	Table(p.Out, "  ", rows)
}
