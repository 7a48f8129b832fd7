package xlsx

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/book"
	"castwright/sheets/xlsx/formula"
)

// fill writes the rows of a page.
func (e *exporter) fill(p *page) error {
	switch {
	case p.table != nil:
		return e.fillTable(p)
	case p.lists != nil:
		e.fillLists(p)
		return nil
	}
	s := p.sheet
	out := p.out
	out.Widths = []float64{26, 14, 12, 26, 52, 44}
	out.Freeze, out.TitleRows, out.Landscape, out.Protect = firstRow-1, firstRow-1, true, true
	title := e.j.Words(s.Title())
	if title == "" {
		title = s.Path()
	}
	out.Rows = append(out.Rows, row(text(title, book.Title)), book.Row{},
		row(text("Item", book.Head), text("Value", book.Head), text("Unit", book.Head), text("State", book.Head), text("How it is worked out", book.Head), text("Note", book.Head)))
	var section *check.Cell
	for _, c := range s.Cells() {
		if !listed(c) {
			continue
		}
		if c.Section != section && c.Section != nil {
			out.Rows = append(out.Rows, book.Row{}, row(text(e.j.Words(c.Section), book.Section)))
		}
		section = c.Section
		e.line(p, c)
	}
	e.checks(p)
	e.cautions(p)
	return nil
}

func row(cells ...book.Cell) book.Row { return book.Row{Cells: cells} }

// maxText is how long a text of a cell may be (ISO/IEC 29500-1, 18.18.89, and what readers' programs take).
const maxText = 32_767

func text(s string, r book.Role) book.Cell {
	if n := []rune(s); len(s) > maxText && len(n) > maxText/2-1 { // a rune may count as two
		s = string(n[:maxText/2-1]) + "…"
	}
	return book.Cell{Kind: book.Text, Text: s, Style: book.Style{Role: r, Wrap: r == book.Note || r == book.Caution}}
}

// line writes one cell with its unit, state, formula in words and note.
func (e *exporter) line(p *page, c *check.Cell) {
	pl := e.places[c]
	v := e.j.Value(c)
	state := e.j.State(c)
	stateText := sheets.StateWords(e.j.Causes(c), state)
	how := wordsOf(c)
	if c.Role == check.Rows {
		how = fmt.Sprintf("the table on the worksheet %s", pl.worksheet())
		p.out.Rows = append(p.out.Rows, row(text(c.Name, book.Item), book.Cell{}, book.Cell{}, text(rowsWord(v.Len()), book.Note), text(how, book.Note), text(c.Note, book.Note)))
		return
	}
	if inColumns(c) {
		e.listLine(p, c)
		return
	}
	cell, why := e.value(p, c, pl, v, state, 0)
	e.picture(p, c, len(p.out.Rows)+1)
	unit := pl.shape.unit()
	if len(v.Num) == 1 && state < value.Open {
		if words := pl.shape.words(v.Num[0]); words != "" {
			unit += " (" + words + ")"
		}
	}
	if why != "" && stateText == "" && c.Role != check.Input && c.Role != check.Ask && c.Role != check.Rate && pl.shape.kind != several {
		stateText = "fixed: does not change here"
	}
	p.out.Rows = append(p.out.Rows, row(text(c.Name, book.Item), cell, text(unit, book.Unit), pl.standing(stateText, cell, state), text(how, book.Note), text(c.Note, book.Note)))
	for i, f := range pl.fields {
		var part value.Column
		if i < len(v.Fields) {
			part = v.Fields[i]
		}
		cell, _ := e.value(p, c, f, &part, state, i)
		p.out.Rows = append(p.out.Rows, row(indented(c.Type.Fields[i].Name), cell, text(f.shape.unit(), book.Unit)))
	}
}

// standing says in words how a value stands. What waits for something to be filled in says so for as long as it does.
func (p *place) standing(words string, c book.Cell, state value.State) book.Cell {
	out := text(words, book.Note)
	waits := "ISBLANK"
	if c.Formula != "" {
		waits = "ISERROR"
	}
	if state == value.Open && (c.Formula != "" || c.Kind == book.Empty && c.Style.Role == book.Open) {
		out.Formula = fmt.Sprintf(`IF(%s(%s),%s,"")`, waits, book.Ref(p.col, p.row), formula.Quoted(words))
	}
	return out
}

// worksheet names the worksheet of a table.
func (p *place) worksheet() string {
	if len(p.fields) == 0 {
		return ""
	}
	return p.fields[0].page.name
}

func indented(name string) book.Cell {
	c := text(name, book.Item)
	c.Style.Indent = 1
	return c
}

func rowsWord(n int) string {
	if n == 1 {
		return "1 row"
	}
	return fmt.Sprintf("%d rows", n)
}

// wordsOf says in words how a value is worked out: as its sheet has it.
func wordsOf(c *check.Cell) string {
	if c.Role == check.Input && c.Replaced == nil || c.Role == check.Rate {
		if c.Limits != nil {
			return strings.TrimSpace(c.Limits.Text)
		}
		return ""
	}
	x := c.Expr()
	if x == nil {
		if c.Role == check.Ask {
			return "to be filled in"
		}
		return ""
	}
	words := strings.Join(strings.Fields(c.Source.Cut(x.Where())), " ")
	if c.Role == check.Ask && c.Answer == check.AssumedOnly {
		return "to be filled in; assumed " + words
	}
	if c.Role == check.Ask {
		return "answered"
	}
	return words
}

// value makes the cell of a workbook for a value, and tells why it is fixed where it holds no formula.
func (e *exporter) value(p *page, c *check.Cell, pl *place, v *value.Column, state value.State, field int) (book.Cell, string) {
	out := cellOf(pl.shape, v, 0, state)
	role, isInput := roleOf(c)
	out.Style.Role, out.Style.Unlocked = role, isInput && pl.shape.kind != told
	if isInput || pl.shape.kind == several {
		if isInput && state == value.Open { // it is to be filled in
			out = book.Cell{Style: out.Style}
		}
		e.validate(p, c, pl)
		return out, "input"
	}
	counts := pl.shape.kind <= worded
	if !counts {
		e.account.Fixed = append(e.account.Fixed, Fixed{c.Path(), "it is no number, date, truth or text", false})
		return out, "shape"
	}
	f, err := e.formula(p, c, pl, field, single)
	if state == value.Mistake {
		err = errMistake
	}
	e.account.add(c.Path(), 1, !callsGo(c.Program), err)
	if err != nil {
		return out, err.Error()
	}
	out.Formula = f
	return out, ""
}

// cellOf makes the cell of a workbook for one row of a value, without its formula.
func cellOf(s shape, v *value.Column, i int, state value.State) book.Cell {
	out := book.Cell{Style: book.Style{}}
	switch {
	case state == value.Mistake || state == value.Open && s.kind != told:
		return book.Cell{Kind: book.Problem, Text: "#N/A"}
	case s.kind == worded && i < len(v.Text):
		out.Kind, out.Text = book.Text, text(v.Text[i], book.Plain).Text
	case s.kind == yesNo && i < len(v.Num):
		out.Kind, out.Text = book.Text, "no"
		if v.Num[i] != 0 {
			out.Text = "yes"
		}
	case (s.kind == numeric || s.kind == dated) && i < len(v.Num):
		out.Kind, out.Number = book.Number, s.number(v.Num[i])
		out.Style.Format = s.format(v.Num[i])
		if s.kind == dated && out.Number < firstDay {
			out = book.Cell{Kind: book.Text, Text: s.spec.Text(v.Num[i])}
		}
	case s.kind == told && i < v.Len():
		out.Kind, out.Text = book.Text, text(show.Column(s.spec, s.typ, v.Single(i)), book.Plain).Text
	case s.kind == several:
	default:
		out.Kind, out.Text = book.Text, text(show.Column(s.spec, s.typ, v), book.Plain).Text
	}
	return out
}

func roleOf(c *check.Cell) (book.Role, bool) {
	switch {
	case c.Replaced != nil:
		return book.Worked, false
	case c.Role == check.Ask && c.Answer != check.Given:
		return book.Open, true
	case c.Role == check.Ask, c.Role == check.Input, c.Role == check.Rate:
		return book.Input, true
	}
	return book.Worked, false
}

// single stands for the row of a cell that is no column.
const single = -1

// formula says the formula of a cell on its page. Of a column the formula of row 0 is another than that of the rows below, which
// have one in common; of a list whose items are written out each row has its own.
func (e *exporter) formula(p *page, c *check.Cell, pl *place, field, row int) (string, error) {
	if c.Program == nil {
		return "", errors.New("it has no formula")
	}
	if err := e.cannotSay(c); err != nil {
		return "", err
	}
	var inputs []formula.Cell
	rests := sheets.RestsOn(c)
	for i, in := range c.Inputs {
		f, ok := e.cell(in, p, c.Table != nil && c.ByRow[i])
		switch {
		case !slices.Contains(rests, in): // a column whose rows are counted
		case !ok:
			return "", fmt.Errorf("it rests on a shape, or on what has no cell")
		case e.places[in].shape.kind == told || e.places[in].shape.kind == longList:
			return "", errors.New("it rests on a shape or a list, which a workbook does not hold")
		}
		inputs = append(inputs, f)
	}
	r := formula.Result{Scale: pl.shape.scale, Offset: pl.shape.offset, Field: field, First: row == 0, FirstRow: pl.row, List: inColumns(c), Row: row,
		Truth: pl.shape.kind == yesNo, Condition: c.Check != nil, Literals: e.lists.ref}
	if pl.n > 0 {
		r.Own = letters(pl.col) + formula.Above
	}
	return formula.Translate(engine.Folded(c.Program), inputs, r)
}

// callsGo tells whether a formula calls a function of the library that is written in Go.
func callsGo(p *program.Program) bool { return holds(p, program.Call) }

// validate keeps what is typed into an input within its kind.
func (e *exporter) validate(p *page, c *check.Cell, pl *place) {
	if v := validation(pl.shape, book.Ref(pl.col, pl.row)); v.Prompt != "" {
		p.out.Inputs = append(p.out.Inputs, v)
	}
}

// validation says what a cell takes; nothing for texts, which are free.
func validation(s shape, ref string) book.Validation {
	v := book.Validation{Ref: ref, Min: math.Inf(-1), Max: math.Inf(1)}
	switch s.kind {
	case numeric:
		v.Prompt = "A number."
		if unit := s.unit(); unit != "" {
			v.Prompt = fmt.Sprintf("A number, in %s.", unit)
		}
		if s.spec.Percent {
			v.Prompt = "A share, as 8%."
		}
		v.Error = v.Prompt
	case dated:
		v.Kind, v.Min, v.Max = book.Date, 61, 2958465
		v.Prompt, v.Error = "A date.", "A date is wanted here."
	case yesNo:
		v.Kind, v.List = book.List, []string{"yes", "no"}
		v.Prompt, v.Error = "yes or no.", "Write yes or no."
	}
	return v
}

// checks writes the checks of a sheet as cells that hold, fail, or are not known yet.
func (e *exporter) checks(p *page) {
	results := e.j.CheckResults(p.sheet)
	if len(results) == 0 {
		return
	}
	out := p.out
	out.Rows = append(out.Rows, book.Row{}, row(text("Checks", book.Section)))
	from := len(out.Rows) + 1
	for _, r := range results {
		name := r.Name
		if name == "" {
			name = r.Text
		}
		state := map[sheets.CheckState]string{sheets.Holds: "holds", sheets.Fails: "fails", sheets.Unknown: "not known yet"}[r.State]
		cell := text(state, map[sheets.CheckState]book.Role{sheets.Holds: book.Holds, sheets.Fails: book.Fails, sheets.Unknown: book.Unknown}[r.State])
		pl := &place{page: p, col: colValue, row: len(out.Rows) + 1, shape: shape{kind: yesNo, scale: 1}}
		if f, err := e.formula(p, r.Cond, pl, 0, single); err == nil && !r.Cond.Type.List && !r.Broken {
			cell.Formula = fmt.Sprintf(`IF(ISERROR(%s),"not known yet",IF(%s,"holds","fails"))`, f, f)
		}
		if callsNot := !callsGo(r.Cond.Program) && !r.Cond.Type.List; callsNot {
			e.account.Counted++
			if cell.Formula != "" {
				e.account.Live++
			} else {
				e.account.Fixed = append(e.account.Fixed, Fixed{"check " + name, "its condition cannot be said", true})
			}
		}
		words := ""
		if r.State == sheets.Fails {
			words = r.Words
		}
		out.Rows = append(out.Rows, row(text(name, book.Item), cell, book.Cell{}, text(words, book.Note), text(strings.Join(strings.Fields(r.Text), " "), book.Note)))
	}
	ref := fmt.Sprintf("B%d:B%d", from, len(out.Rows))
	for state, role := range map[string]book.Role{"holds": book.Holds, "fails": book.Fails, "not known yet": book.Unknown} {
		out.Checks = append(out.Checks, book.Rule{Ref: ref, Formula: fmt.Sprintf(`$B%d="%s"`, from, state), Role: role})
	}
	sort.Slice(out.Checks, func(i, k int) bool { return out.Checks[i].Formula < out.Checks[k].Formula })
}

// cautions writes what the rules that were used say where the work can hurt someone.
func (e *exporter) cautions(p *page) {
	seen := map[string]bool{}
	var list []string
	for _, c := range p.sheet.Cells() {
		for _, r := range c.Rules {
			if r.Caution != "" && !seen[r.Caution] {
				seen[r.Caution] = true
				list = append(list, r.Caution)
			}
		}
	}
	if len(list) == 0 {
		return
	}
	p.out.Rows = append(p.out.Rows, book.Row{}, row(text("Cautions", book.Section)))
	for _, s := range list {
		p.out.Rows = append(p.out.Rows, caution(s, colNote))
	}
}

// names gives the cells defined names.
func (e *exporter) names() {
	taken := map[string]bool{}
	for _, p := range e.pages {
		cells := p.sheet.Cells()
		if p.table != nil {
			cells = p.table.Columns
		}
		for _, c := range cells {
			pl := e.places[c]
			if pl == nil || pl.page != p || p.table == nil && !listed(c) || pl.shape.kind > worded || c.Role == check.Rows || pl.rowless(c) {
				continue
			}
			name := book.SafeName(strings.ReplaceAll(c.Path(), ".", "_"))
			if low := strings.ToLower(name); !taken[low] {
				taken[low] = true
				e.book.Names = append(e.book.Names, book.Name{Name: name, Refers: pl.ref(nil)})
			}
		}
	}
}
