package report

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/sheets"
)

// DrawUsage is how draw is written, behind its command.
const DrawUsage = "NAME… [against NAME] [to FILE.svg|FILE.png]"

// ErrDraw tells a line of draw that is not written as it shall be.
var ErrDraw = errors.New("it is written: draw " + DrawUsage)

// request is what is to be drawn, and where.
type request struct {
	names   []string
	against string
	file    string // empty for the terminal
}

// readRequest reads what stands behind draw: names, the column that others are drawn against, and a file, whose name may
// hold blanks.
func readRequest(text string) (request, error) {
	var r request
	names, file, to := strings.Cut(strings.TrimSpace(text)+" ", " to ")
	if to {
		r.file = strings.Trim(strings.TrimSpace(file), `"`)
		if !strings.HasSuffix(r.file, ".svg") && !strings.HasSuffix(r.file, ".png") {
			return r, errors.New("a drawing is written to a file that ends with .svg or .png; " + ErrDraw.Error())
		}
	}
	words := strings.FieldsFunc(names, func(c rune) bool { return c == ' ' || c == '\t' || c == ',' })
	if n := len(words); n > 2 && words[n-2] == "against" {
		r.against, words = words[n-1], words[:n-2]
	}
	for i, w := range words {
		if !slices.Contains(words[:i], w) {
			r.names = append(r.names, w)
		}
	}
	if len(r.names) == 0 || len(r.names) > 1 && r.names[0] == "to" {
		return r, ErrDraw
	}
	return r, nil
}

// subject is a cell that is drawn, or a field or property of one.
type subject struct {
	name  string
	cell  *check.Cell
	value *value.Column
	flags string // why it is flagged, in words
}

func (s *subject) form() kind.Form { return s.cell.Type.Form }
func (s *subject) isShape() bool   { return s.form() == kind.Outline || s.form() == kind.Solid }

// isColumn tells whether the subject is a list that can be drawn over an axis.
func (s *subject) isColumn() bool {
	f := s.form()
	return s.cell.Type.List && (f == kind.Number || f == kind.Point || f == kind.Date)
}

// Draw draws outlines, solids and columns in the terminal or into a file. From, where set, is the sheet in which names are
// looked up first.
func (p *Report) Draw(j *sheets.Job, from *check.Sheet, text string) int {
	r, err := readRequest(text)
	if err != nil {
		p.Refusal(err)
		return Usage
	}
	var list []subject
	for _, n := range r.names {
		s, status := p.subject(j, from, n)
		if status != Fine {
			return status
		}
		list = append(list, s)
	}
	if err := drawable(list); err != nil {
		p.Refusal(err)
		return Wrong
	}
	if list[0].isShape() {
		if r.against != "" {
			p.Refusal(fmt.Errorf("only columns are drawn against others; %s is a shape", r.names[0]))
			return Wrong
		}
		return p.drawShapes(j, list, r.file)
	}
	var x *subject
	if r.against != "" {
		s, status := p.subject(j, from, r.against)
		if status != Fine {
			return status
		}
		x = &s
	}
	return p.drawColumns(j, list, x, r.file)
}

// drawable refuses what has no drawing, and what does not go on one sheet together.
func drawable(list []subject) error {
	for _, s := range list {
		switch {
		case s.cell.Role == check.Rows && len(s.cell.Columns) > 0:
			return fmt.Errorf("the columns of a table are drawn, not a table whole: draw %s", s.cell.Columns[0].Label(s.cell.Sheet))
		case !s.isShape() && !s.isColumn():
			return fmt.Errorf("only outlines, solids and columns of numbers or dates are drawn; %s is %s", s.name, s.cell.Type.Article())
		case s.isShape() != list[0].isShape():
			return fmt.Errorf("shapes are drawn apart from columns: %s and %s do not go on one sheet", list[0].name, s.name)
		}
	}
	return nil
}

// subject finds what a name stands for; what has no value is told.
func (p *Report) subject(j *sheets.Job, from *check.Sheet, name string) (subject, int) {
	s := subject{name: name}
	state, causes := value.OK, []engine.Cause(nil)
	if c, ok := ByName(j, from, name); ok {
		s.cell, s.value, state, causes = c, j.Value(c), j.State(c), j.Causes(c)
	} else if s.cell, s.value, state, causes, ok = dotted(j, from, name); !ok {
		if _, isSheet := sheetByName(j, from, name); isSheet {
			fmt.Fprintf(p.Err, "Name an outline, a solid or a column in %s; it is a sheet or a part.\n", name)
			return s, Wrong
		}
		if told := unknown(j, from, name); told != "" {
			fmt.Fprint(p.Err, told)
			return s, Wrong
		}
		return s, p.NoCell(j, name)
	}
	words := sheets.StateWords(causes, state)
	switch {
	case state == value.Flagged:
		s.flags = words
	case state == value.Mistake && (!s.cell.Type.List || s.value.Len() == 0):
		for _, x := range causes {
			fmt.Fprint(p.Err, x.Message().Draw())
		}
		return s, Wrong
	case state == value.Open && !s.cell.Type.List:
		fmt.Fprintf(p.Err, "There is nothing to draw yet: %s is %s.\n", name, words)
		return s, Wrong
	}
	return s, Fine
}

// dotted works out a name whose last parts are fields of a record or properties of a shape, as piece.footprint.
func dotted(j *sheets.Job, from *check.Sheet, name string) (*check.Cell, *value.Column, value.State, []engine.Cause, bool) {
	if !strings.Contains(name, ".") {
		return nil, nil, value.OK, nil, false
	}
	for _, s := range lookedIn(j, from) {
		c, v, state, causes, _ := j.Line(s, &diag.Source{Name: "the line", Text: name})
		if c != nil {
			return c, v, state, causes, true
		}
	}
	return nil, nil, value.OK, nil, false
}

// lookedIn lists the sheets in which a name is looked up, one after another.
func lookedIn(j *sheets.Job, from *check.Sheet) []*check.Sheet {
	if from == nil {
		return j.Sheets
	}
	out := []*check.Sheet{from}
	for _, s := range j.Sheets {
		if s != from {
			out = append(out, s)
		}
	}
	return out
}

// unknown tells what is wrong with a name whose first part is that of a cell, as piece.footprnt; nothing where it is not.
func unknown(j *sheets.Job, from *check.Sheet, name string) string {
	first, _, dots := strings.Cut(name, ".")
	for _, s := range lookedIn(j, from) {
		if _, ok := s.Find(first); !ok || !dots {
			continue
		}
		_, _, _, _, messages := j.Line(s, &diag.Source{Name: "the line", Text: name})
		var b strings.Builder
		for _, m := range messages {
			b.WriteString(m.Draw())
		}
		return b.String()
	}
	return ""
}
