package xlsx

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/sheets"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/read"
)

// Ours is what a workbook that we wrote says of itself.
type Ours struct {
	Texts   []check.Text      // of a full export: the sheets
	Files   map[string]string // and the files that they read
	Handout string            // of a handout: its name
	book    *read.Workbook
	job     *carried
	out     *carriedHandout
	names   bool // known by its defined names alone: another program has dropped the part that says more
}

// Recognise tells whether a workbook is one that we wrote; nil where it is not.
func Recognise(w *read.Workbook) (*Ours, error) {
	for _, part := range w.Parts {
		switch {
		case bytes.Contains(part, []byte("urn:castwright:job:1")):
			c := &carried{}
			if err := xml.Unmarshal(part, c); err != nil {
				return nil, fmt.Errorf("what this workbook says of its job cannot be read: %w", err)
			}
			o := &Ours{book: w, job: c}
			for _, s := range c.Sheets {
				text, err := base64.StdEncoding.DecodeString(s.Text)
				if err != nil {
					return nil, fmt.Errorf("the text of the sheet %s in this workbook is damaged", s.Name)
				}
				o.Texts = append(o.Texts, check.Text{Name: s.Name, Text: string(text)})
			}
			o.Files = map[string]string{}
			for _, f := range c.Files {
				text, err := base64.StdEncoding.DecodeString(f.Text)
				if err != nil {
					return nil, fmt.Errorf("the file %s in this workbook is damaged", f.Name)
				}
				o.Files[f.Name] = string(text)
			}
			return o, nil
		case bytes.Contains(part, []byte("urn:castwright:handout:1")):
			c := &carriedHandout{}
			if err := xml.Unmarshal(part, c); err != nil {
				return nil, fmt.Errorf("what this workbook says of its handout cannot be read: %w", err)
			}
			return &Ours{book: w, out: c, Handout: c.Name}, nil
		}
	}
	for _, n := range w.Names {
		switch {
		case n.Name == jobName:
			return &Ours{book: w, names: true}, nil
		case strings.HasPrefix(n.Name, "handout_"):
			return &Ours{book: w, Handout: strings.TrimPrefix(n.Name, "handout_"), names: true}, nil
		}
	}
	return nil, nil
}

// Change is one value that came back: what it was, and what it is; Do plans it.
type Change struct {
	Path, Was, Is string
	Do            func() (*sheets.Plan, error)
}

// Left is what was changed in a workbook and is not taken.
type Left struct{ Place, Why string }

// Back is what a workbook brings back to its job.
type Back struct {
	Changes []Change
	Left    []Left
}

// Back compares a workbook that we wrote with its job: inputs and open cells that were filled in are changes; values of
// another kind, and what was changed where nothing was to be changed, are left and told.
func (o *Ours) Back(j *sheets.Job) (*Back, error) {
	if o.names {
		if err := o.byNames(j); err != nil {
			return nil, err
		}
	}
	if o.out != nil {
		return o.backFromHandout(j)
	}
	b := &Back{}
	for i := range o.job.Cells {
		k := &o.job.Cells[i]
		if k.Rows == 0 {
			o.single(j, b, k)
		} else {
			o.column(j, b, k)
		}
	}
	return b, nil
}

// byNames finds out from the job, and from the defined names of the workbook, what its own part would have said.
func (o *Ours) byNames(j *sheets.Job) error {
	at := map[string]string{}
	for _, n := range o.book.Names {
		at[n.Name] = n.Refers
	}
	if o.Handout != "" {
		return o.handoutByNames(j, at)
	}
	e := newExporter(j)
	for _, s := range j.Sheets {
		e.plan(s)
	}
	o.job = &carried{}
	for _, p := range e.pages {
		for _, k := range e.carriedOn(p) {
			sheet, ref, rows, ok := whereIs(at[book.SafeName(strings.ReplaceAll(k.Path, ".", "_"))])
			if ok {
				k.Sheet, k.Ref, k.Rows = sheet, ref, rows
				o.job.Cells = append(o.job.Cells, k)
			}
		}
	}
	return nil
}

func (o *Ours) handoutByNames(j *sheets.Job, at map[string]string) error {
	for _, h := range j.Handouts() {
		if handoutName(h.Name) != "handout_"+o.Handout {
			continue
		}
		g, err := j.Give(h)
		if err != nil {
			return err
		}
		now := &handout{e: newExporter(j), g: g}
		now.lay()
		o.out = &carriedHandout{Name: h.Name}
		for _, c := range now.carried.Cells {
			if sheet, ref, _, ok := whereIs(at[openName(c)]); ok {
				c.Sheet, c.Ref = sheet, ref
				o.out.Cells = append(o.out.Cells, c)
			}
		}
		return nil
	}
	return fmt.Errorf("this workbook is the handout %s, and the job has none of that name", o.Handout)
}

// whereIs parts what a defined name refers to: 'Bench'!$B$5, or a range of one column.
func whereIs(refers string) (sheet, ref string, rows int, ok bool) {
	i := strings.LastIndexByte(refers, '!')
	if i < 0 {
		return "", "", 0, false
	}
	sheet = strings.ReplaceAll(strings.Trim(refers[:i], "'"), "''", "'")
	from, to, isRange := strings.Cut(strings.ReplaceAll(refers[i+1:], "$", ""), ":")
	_, first, ok := read.ParseRef(from)
	if isRange {
		_, last, _ := read.ParseRef(to)
		rows = last - first + 1
	}
	return sheet, from, rows, ok
}

func (o *Ours) sheet(name string) *read.Sheet {
	for _, s := range o.book.Sheets {
		if s.Name == name {
			return s
		}
	}
	return nil
}

// at gives the cell of a place, an empty one where nothing stands there.
func (o *Ours) at(sheet, ref string, below int) (read.Cell, bool) {
	s := o.sheet(sheet)
	col, row, ok := read.ParseRef(ref)
	if s == nil || !ok {
		return read.Cell{}, false
	}
	if c := s.At(col, row+below); c != nil {
		return *c, true
	}
	return read.Cell{Col: col, Row: row + below}, true
}

// single compares one cell with what it held when it was written.
func (o *Ours) single(j *sheets.Job, b *Back, k *carriedCell) {
	c, ok := o.at(k.Sheet, k.Ref, 0)
	place := fmt.Sprintf("%s (%s!%s)", k.Path, k.Sheet, k.Ref)
	if !ok {
		b.Left = append(b.Left, Left{place, "its worksheet is gone"})
		return
	}
	same := sameHeld(k.Held, heldText(&c, k.Held), k.Value)
	switch {
	case k.Role == "worked":
		if c.Formula == "" && !same && c.Kind != read.Problem && k.Value != "" {
			b.Left = append(b.Left, Left{place, "it is worked out, and a value was written over it"})
		}
		return
	case same:
		return
	case c.Kind == read.Empty:
		if k.Role == "input" {
			b.Left = append(b.Left, Left{place, "it was emptied, and an input holds a value"})
		}
		return
	case c.Formula != "":
		b.Left = append(b.Left, Left{place, "a formula was written in the place of a value"})
		return
	}
	cell, s, ok := input(j, k.Path)
	if !ok {
		b.Left = append(b.Left, Left{place, "the job has no such input of its own"})
		return
	}
	literal, shown, why := literalOf(&c, shapeOf(cell), k.Held)
	if why != "" {
		b.Left = append(b.Left, Left{place, why})
		return
	}
	b.Changes = append(b.Changes, Change{Path: k.Path, Was: was(j, cell), Is: shown, Do: func() (*sheets.Plan, error) { return answer(j, s, cell.Name, literal) }})
}

// sameHeld tells whether two cells hold the same; times of day to the second.
func sameHeld(held, a, b string) bool {
	switch held {
	case "number":
		return a == b || near(a, b)
	case "date":
		x, err1 := strconv.ParseFloat(a, 64)
		y, err2 := strconv.ParseFloat(b, 64)
		return err1 == nil && err2 == nil && math.Round(x*86400) == math.Round(y*86400)
	}
	return a == b
}

// near tells whether two numbers, as texts, are one: another program may have written its last digit otherwise.
func near(a, b string) bool {
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	return err1 == nil && err2 == nil && math.Abs(x-y) <= 1e-12*math.Max(math.Abs(x), math.Abs(y))
}

// heldText is what a cell holds, in the form in which an export notes it.
func heldText(c *read.Cell, held string) string {
	switch {
	case c.Kind == read.Number && (held == "number" || held == "date"):
		return number(c.Number)
	case c.Kind == read.Text && held == "text":
		return encode(c.Text)
	case c.Kind == read.Text && held == "truth":
		if strings.EqualFold(c.Text, "yes") {
			return "1"
		}
		return "0"
	case c.Kind == read.Truth && held == "truth":
		if c.Truth {
			return "1"
		}
		return "0"
	}
	return ""
}

func was(j *sheets.Job, c *check.Cell) string {
	if c.Role == check.Ask && c.Answer != check.Given {
		return "open"
	}
	return show.ColumnWithStates(c.Spec, c.Type, j.Value(c), j.Engine.StateOf)
}

// input finds an input of a neighbouring sheet: what stands in a part is that of another sheet.
func input(j *sheets.Job, path string) (*check.Cell, *check.Sheet, bool) {
	for _, s := range j.Sheets {
		for _, c := range s.Cells() {
			if c.Name != "" && c.Path() == path && (c.Role == check.Input || c.Role == check.Ask || c.Role == check.Rate) {
				return c, s, true
			}
		}
	}
	return nil, nil, false
}

func answer(j *sheets.Job, s *check.Sheet, name, literal string) (*sheets.Plan, error) {
	line := name + " = " + literal
	if from, to, ok := strings.Cut(name, "_"); ok {
		if c, found := s.Find(name); found && c.Role == check.Rate {
			number, _, _ := strings.Cut(literal, " ")
			line = fmt.Sprintf("1 %s = %s %s", from, number, to)
		}
	}
	p, ms := j.Type(s, nil, &diag.Source{Name: "the workbook", Text: line})
	if p == nil {
		return nil, &sheets.Refused{Messages: ms}
	}
	return p, nil
}

// literalOf writes what a cell holds as the language does, and as it is shown; why tells what does not fit.
func literalOf(c *read.Cell, s shape, held string) (literal, shown, why string) {
	switch {
	case held == "number" && c.Kind == read.Number:
		x := number(c.Number)
		switch {
		case s.spec.Percent:
			x = number(roundDigits(c.Number*100)) + "%"
		case s.unit() != "":
			x += " " + s.unit()
		}
		return x, x, ""
	case held == "date" && c.Kind == read.Number:
		seconds, ok := read.DateOf(c.Number, false)
		if !ok {
			return "", "", "it is no date"
		}
		x := show.DateText(seconds, seconds%86400 != 0)
		return x, x, ""
	case held == "truth" && c.Kind == read.Truth:
		x := "no"
		if c.Truth {
			x = "yes"
		}
		return x, x, ""
	case held == "truth" && c.Kind == read.Text && (strings.EqualFold(c.Text, "yes") || strings.EqualFold(c.Text, "no")):
		return strings.ToLower(c.Text), strings.ToLower(c.Text), ""
	case held == "text" && c.Kind == read.Text:
		return quotedText(c.Text), c.Text, ""
	case held == "text" && c.Kind == read.Number:
		return quotedText(number(c.Number)), number(c.Number), ""
	}
	wanted := map[string]string{"number": "a number", "date": "a date", "truth": "yes or no", "text": "a text"}[held]
	return "", "", fmt.Sprintf("%s is wanted, and %s stands there", wanted, describe(c))
}

// roundDigits keeps 8% from coming back as 8.000000000000002%.
func roundDigits(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 14, 64), 64)
	return y
}

// quotedText writes a text as a literal: nothing in it is filled in.
func quotedText(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' {
			return ' '
		}
		return r
	}, s)
	return `"` + strings.ReplaceAll(strings.ReplaceAll(s, `"`, `""`), "{", "{{") + `"`
}

func describe(c *read.Cell) string {
	switch c.Kind {
	case read.Number:
		return "the number " + number(c.Number)
	case read.Text:
		return fmt.Sprintf("the text %q", c.Text)
	case read.Truth:
		return "a yes or no"
	case read.Problem:
		return "the mistake " + c.Text
	}
	return "nothing"
}

// column compares the rows of a typed column with those of the job.
func (o *Ours) column(j *sheets.Job, b *Back, k *carriedCell) {
	if k.Role == "worked" {
		return
	}
	cell, s := columnOf(j, k.Path)
	if cell == nil || cell.Data == nil {
		return
	}
	table := cell.Table.Name
	name := strings.TrimPrefix(cell.Name, table+".")
	v := j.Value(cell)
	sh := shapeOf(cell)
	open := map[int]bool{}
	for _, r := range cell.Data.Open {
		open[int(r)] = true
	}
	for i := range k.Rows {
		c, ok := o.at(k.Sheet, k.Ref, i)
		if !ok || c.Kind == read.Empty || i >= v.Len() {
			continue
		}
		place := fmt.Sprintf("%s row %d (%s)", k.Path, i+1, k.Sheet)
		if c.Formula != "" {
			b.Left = append(b.Left, Left{place, "a formula was written in the place of a value"})
			continue
		}
		old := cellOf(sh, v, i, 0)
		now := heldText(&c, k.Held)
		then := number(old.Number)
		if k.Held == "text" || k.Held == "truth" {
			then = heldText(&read.Cell{Kind: read.Text, Text: old.Text}, k.Held)
		}
		if !open[i] && sameHeld(k.Held, now, then) {
			continue
		}
		literal, shown, why := literalOf(&c, sh, k.Held)
		if why != "" {
			b.Left = append(b.Left, Left{place, why})
			continue
		}
		before := "open"
		if !open[i] {
			before = show.Column(sh.spec, sh.typ, v.Single(i))
		}
		b.Changes = append(b.Changes, Change{Path: fmt.Sprintf("%s row %d", k.Path, i+1), Was: before, Is: shown,
			Do: func() (*sheets.Plan, error) { return j.SetPlace(s, table, i+1, name, literal) }})
	}
}

// columnOf finds a typed column of a neighbouring sheet.
func columnOf(j *sheets.Job, path string) (*check.Cell, *check.Sheet) {
	for _, s := range j.Sheets {
		for _, c := range s.Cells() {
			if c.Table != nil && c.Path() == path && c.Role == check.Column {
				return c, s
			}
		}
	}
	return nil, nil
}

// backFromHandout takes what the reader of a handout filled in.
func (o *Ours) backFromHandout(j *sheets.Job) (*Back, error) {
	h, err := j.FindHandout(o.out.Name)
	if err != nil {
		return nil, err
	}
	b := &Back{}
	for i := range o.out.Cells {
		k := &o.out.Cells[i]
		c, ok := o.at(k.Sheet, k.Ref, 0)
		place := fmt.Sprintf("%s (%s)", k.Name, k.Ref)
		switch {
		case !ok:
			b.Left = append(b.Left, Left{place, "its worksheet is gone"})
			continue
		case c.Kind == read.Empty && c.Formula == "":
			continue
		case c.Formula != "":
			b.Left = append(b.Left, Left{place, "a formula was written in the place of a value"})
			continue
		}
		o.filled(j, b, h, k, &c, place)
	}
	o.others(j, b, h)
	return b, nil
}

func (o *Ours) filled(j *sheets.Job, b *Back, h *check.Handout, k *carriedOpen, c *read.Cell, place string) {
	var item *check.HandoutItem
	for _, x := range h.Items {
		if x.Text == k.Name {
			item = x
		}
	}
	if item == nil || item.Target == nil || item.Target.Sheet.Parent != nil {
		b.Left = append(b.Left, Left{place, "the handout of the job lists no such cell any more"})
		return
	}
	t := item.Target
	if k.Row > 0 {
		o.filledRow(j, b, t, k, c, place)
		return
	}
	literal, shown, why := literalOf(c, shapeOf(t), k.Held)
	if why != "" {
		b.Left = append(b.Left, Left{place, why})
		return
	}
	b.Changes = append(b.Changes, Change{Path: t.Path(), Was: was(j, t), Is: shown, Do: func() (*sheets.Plan, error) { return answer(j, t.Sheet, t.Name, literal) }})
}

// filledRow takes one place of a table.
func (o *Ours) filledRow(j *sheets.Job, b *Back, t *check.Cell, k *carriedOpen, c *read.Cell, place string) {
	column := t
	for _, x := range t.Columns {
		if sheets.Spoken(x.Name) == k.Column {
			column = x
		}
	}
	if column.Table == nil || column.Data == nil {
		b.Left = append(b.Left, Left{place, "the job has no such column any more"})
		return
	}
	literal, shown, why := literalOf(c, shapeOf(column), k.Held)
	if why != "" {
		b.Left = append(b.Left, Left{place, why})
		return
	}
	name := strings.TrimPrefix(column.Name, column.Table.Name+".")
	b.Changes = append(b.Changes, Change{Path: fmt.Sprintf("%s row %d", column.Path(), k.Row), Was: "open", Is: shown,
		Do: func() (*sheets.Plan, error) { return j.SetPlace(column.Sheet, column.Table.Name, k.Row, name, literal) }})
}

// others tells what differs in the workbook from what the handout is now, apart from the cells to be filled in.
func (o *Ours) others(j *sheets.Job, b *Back, h *check.Handout) {
	g, err := j.Give(h)
	if err != nil {
		return
	}
	var out bytes.Buffer
	if err := Handout(&out, j, g); err != nil {
		return
	}
	now, err := read.Read(bytes.NewReader(out.Bytes()), int64(out.Len()), read.Usual)
	if err != nil || len(now.Sheets) == 0 || len(o.book.Sheets) == 0 {
		return
	}
	open := map[string]bool{}
	for _, k := range o.out.Cells {
		open[k.Ref] = true
	}
	mine := o.sheet(now.Sheets[0].Name)
	if mine == nil {
		return
	}
	for _, r := range now.Sheets[0].Rows {
		for _, c := range r.Cells {
			ref := read.Ref(c.Col, c.Row)
			if open[ref] || c.Kind == read.Empty {
				continue
			}
			x := mine.At(c.Col, c.Row)
			if x == nil || x.Kind != c.Kind || x.Text != c.Text || c.Kind == read.Number && !near(number(x.Number), number(c.Number)) && !sameHeld("date", number(x.Number), number(c.Number)) {
				b.Left = append(b.Left, Left{ref, "it is not what the handout says now, and is not taken"})
			}
		}
	}
}
