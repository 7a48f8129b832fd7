package sheets

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// AddRow plans a row below the last of a table: the text of its places, with bars between them.
func (j *Job) AddRow(s *check.Sheet, name, row string) (*Plan, error) {
	it, t, err := tableOf(s, name)
	if err != nil {
		return nil, err
	}
	p := &Plan{Label: name + " add"}
	e := &editor{j: j, s: s, f: s.File, plan: p}
	model := lineAt(it, t.Heads[0].Name.Span.From)
	if n := len(t.BodyAt); n > 0 {
		model = lineAt(it, t.Rows[n-1].Span.From)
	}
	row = strings.TrimSpace(row)
	places := segments(row)
	if strings.HasPrefix(row, "|") && len(places) == len(t.Heads)-1 { // the first place is left empty
		places = append([]diag.Span{{}}, places...)
	}
	if len(places) != len(t.Heads) {
		return nil, refuse(fmt.Sprintf("This row has %s, the table %s has %s.", amount(len(places), "place"), name, amount(len(t.Heads), "column")), "Leave a place empty where a value is still open: 4 | | 8%.")
	}
	end := diag.Span{From: model.To, To: model.To}
	text := shaped(it.Source.Cut(model), row, places)
	line := e.lineEnd()
	if !strings.HasSuffix(it.Source.Cut(model), "\n") {
		text = line + text
	} else {
		text += line
	}
	e.splice(it, end, text)
	return p, nil
}

func amount(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// SetPlace plans another value in a row, counted from 1.
func (j *Job) SetPlace(s *check.Sheet, name string, row int, column, value string) (*Plan, error) {
	it, t, err := tableOf(s, name)
	if err != nil {
		return nil, err
	}
	k := slices.IndexFunc(t.Heads, func(h *syntax.Head) bool { return h.Name.Name == column })
	if k < 0 {
		var names []string
		for _, h := range t.Heads {
			names = append(names, h.Name.Name)
		}
		return nil, refuse(fmt.Sprintf("The rows of %s have no column %s to be set.", name, column), diag.DidYouMean(diag.Near(column, names)))
	}
	if err := hasRow(t, name, row); err != nil {
		return nil, err
	}
	p := &Plan{Label: fmt.Sprintf("%s row %d", name, row)}
	e := &editor{j: j, s: s, f: s.File, plan: p}
	at := t.Rows[row-1].Span
	places := segments(it.Source.Cut(at))
	if k >= len(places) {
		return nil, refuse("This row cannot be read.", "Mend it in the sheet.")
	}
	old := diag.Span{From: at.From + places[k].From, To: at.From + places[k].To}
	was := it.Source.Cut(old)
	left := was[:len(was)-len(strings.TrimLeft(was, " \t"))]
	if strings.TrimSpace(was) == "" && was != "" {
		left = " "
	}
	value = strings.TrimSpace(value)
	is := left + value
	switch {
	case k == len(places)-1:
		is = strings.TrimRight(is, " ")
		if strings.TrimSpace(was) == "" && left == "" {
			is = " " + value
		}
	case len(is) < len(was):
		is += strings.Repeat(" ", len(was)-len(is))
	default:
		is += " "
	}
	if value == "" {
		is = strings.Repeat(" ", len(was))
		if front := strings.TrimSpace(it.Source.Cut(diag.Span{From: at.From, To: old.From})); k == 0 && front == "" {
			is = "| " + is // an empty first place needs a bar in front
		}
	}
	e.splice(it, old, is)
	return p, nil
}

func hasRow(t *syntax.Table, name string, row int) error {
	if row < 1 || row > len(t.Rows) {
		return refuse(fmt.Sprintf("The table %s has %s; there is no row %d.", name, amount(len(t.Rows), "row"), row), "")
	}
	return nil
}

// DropRow plans to take a row out, counted from 1.
func (j *Job) DropRow(s *check.Sheet, name string, row int) (*Plan, error) {
	it, t, err := tableOf(s, name)
	if err != nil {
		return nil, err
	}
	if err := hasRow(t, name, row); err != nil {
		return nil, err
	}
	p := &Plan{Label: fmt.Sprintf("%s drop row %d", name, row)}
	e := &editor{j: j, s: s, f: s.File, plan: p}
	e.splice(it, lineAt(it, t.Rows[row-1].Span.From), "")
	return p, nil
}

// dropColumn takes a column out of a table: the line of a formula, or a place of the heading and of each row.
func (e *editor) dropColumn(it *syntax.Item, t *syntax.Table, column string) error {
	for _, f := range t.Formulas {
		if f.Name.Name == column {
			from, to := lineAt(it, f.Span.From), lineAt(it, f.Span.To-1)
			e.splice(it, diag.Span{From: from.From, To: to.To}, "")
			return nil
		}
	}
	k := slices.IndexFunc(t.Heads, func(h *syntax.Head) bool { return h.Name.Name == column })
	switch {
	case k < 0:
		return refuse(fmt.Sprintf("The table %s has no column %s.", t.Name.Name, column), "")
	case t.From != nil && len(t.Rows) == 0 && len(t.Heads) == 0, len(t.Heads) == 1:
		return refuse(fmt.Sprintf("%s is the only column of %s.", column, t.Name.Name), "Drop the table.")
	}
	lines := []diag.Span{lineAt(it, t.Heads[0].Name.Span.From)}
	for _, r := range t.Rows {
		lines = append(lines, lineAt(it, r.Span.From))
	}
	for _, l := range lines {
		text := it.Source.Cut(l)
		places := segments(withoutNote(text))
		if k >= len(places) {
			return refuse("A row of this table cannot be read.", "Mend it in the sheet.")
		}
		cut := diag.Span{From: l.From + places[k].From, To: l.From + places[k].To}
		if k+1 < len(places) {
			cut.To = l.From + places[k+1].From // the bar behind it
			if k == 0 {                        // the indentation stays
				cut.From += blanksAt(text, places[0].From)
				cut.To += blanksAt(text, places[1].From)
			}
		} else {
			cut.From = l.From + len(strings.TrimRight(text[:places[k-1].To], " \t"))
		}
		e.splice(it, cut, "")
		if len(t.Heads) == 2 { // a single column has a bar in front
			e.bar(it, l)
		}
	}
	return nil
}

// blanksAt counts the blanks at a place of a line.
func blanksAt(line string, at int) int {
	return len(line[at:]) - len(strings.TrimLeft(line[at:], " \t"))
}

// bar puts a bar in front of a line of a table that has none.
func (e *editor) bar(it *syntax.Item, line diag.Span) {
	text := it.Source.Cut(line)
	if blanks := blanksAt(text, 0); !strings.HasPrefix(text[blanks:], "|") {
		at := line.From + blanks
		e.splice(it, diag.Span{From: at, To: at}, "| ")
	}
}

// byPath is a line that would give a value to something inside of something else.
var byPath = regexp.MustCompile(`^\s*([\pL_][\pL\d_]*)\.([\pL_][\pL\d_]*)\s*=[^=]`)

// inside tells how a value in a table or a part is changed, where a line tries to by its path; nil for other lines.
func inside(s *check.Sheet, src *diag.Source) *diag.Message {
	m := byPath.FindStringSubmatchIndex(src.Text)
	if m == nil {
		return nil
	}
	at, of, name := diag.Span{From: m[2], To: m[5]}, src.Text[m[2]:m[3]], src.Text[m[4]:m[5]]
	it := Statement(s, of)
	if it == nil {
		return nil
	}
	switch it.Statement.(type) {
	case *syntax.Table:
		return diag.New(src, at, fmt.Sprintf("%s is a column of the table %s.", name, of), fmt.Sprintf("A value in a row is changed by %s row 1 %s = …; a column that is worked out, by typing the table again.", of, name))
	case *syntax.Part:
		return diag.New(src, at, fmt.Sprintf("%s belongs to the part %s.", name, of), fmt.Sprintf("It is replaced in the bracket of the part: part %s from … (%s: …).", of, name))
	}
	return nil
}

// lineAt is the whole line of an item that holds a place.
func lineAt(it *syntax.Item, pos int) diag.Span {
	text, base := it.Source.Text, it.Source.Base
	from := strings.LastIndexByte(text[:pos-base], '\n') + 1
	to := len(text)
	if i := strings.IndexByte(text[pos-base:], '\n'); i >= 0 {
		to = pos - base + i + 1
	}
	return diag.Span{From: base + from, To: base + to}
}

// withoutNote cuts a line at its comment and its end.
func withoutNote(line string) string {
	quoted := false
	for i := 0; i < len(line); i++ {
		switch {
		case line[i] == '"':
			quoted = !quoted
		case quoted:
		case line[i] == '#', line[i] == '\r', line[i] == '\n':
			return strings.TrimRight(line[:i], " \t")
		}
	}
	return line
}

// segments gives the places of a row between its bars; a bar in front is left out. Bars in quotation marks and brackets
// are none.
func segments(row string) []diag.Span {
	var out []diag.Span
	quoted, depth, from := false, 0, 0
	for i := 0; i < len(row); i++ {
		switch {
		case row[i] == '"':
			quoted = !quoted
		case quoted:
		case row[i] == '(' || row[i] == '[':
			depth++
		case row[i] == ')' || row[i] == ']':
			depth--
		case row[i] == '|' && depth <= 0:
			if len(out) > 0 || strings.TrimSpace(row[:i]) != "" {
				out = append(out, diag.Span{From: from, To: i})
			}
			from = i + 1
		}
	}
	return append(out, diag.Span{From: from, To: len(row)})
}

// shaped writes a row with the indentation and, where they fit, the columns of another.
func shaped(model, row string, places []diag.Span) string {
	model = withoutNote(model)
	indent := model[:len(model)-len(strings.TrimLeft(model, " \t"))]
	bar := strings.HasPrefix(strings.TrimSpace(model), "|") || strings.TrimSpace(row[places[0].From:places[0].To]) == ""
	wide := segments(model)
	var b strings.Builder
	b.WriteString(indent)
	if bar {
		b.WriteString("| ")
	}
	for i, p := range places {
		text := strings.TrimSpace(row[p.From:p.To])
		b.WriteString(text)
		if i == len(places)-1 {
			break
		}
		if i < len(wide) {
			was := strings.TrimLeft(model[wide[i].From:wide[i].To], " \t")
			b.WriteString(strings.Repeat(" ", max(0, len(was)-1-len(text))))
		}
		b.WriteString(" | ")
	}
	return strings.TrimRight(b.String(), " ")
}
