package taken

import (
	"fmt"
	"math"
	"sort"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/read"
)

// maxRounds is how often the sheets are computed while formulas that do not agree are taken back one stage, those first
// that rest on nothing that does not agree. After that all that do not agree are taken back at once.
const maxRounds = 12

// tolerance is how far, in proportion, a value computed anew may be from the one in the workbook.
const tolerance = 1e-9

// settle computes the sheets, and takes back the formulas that are refused or give another value, until all agree.
func (t *taker) settle() {
	for round := 0; ; round++ {
		texts := t.texts()
		j := sheets.Memory(t.c, texts...)
		wrong := t.judge(j)
		if len(wrong) == 0 {
			t.refused(j)
			t.result.Texts = t.laidOut(texts)
			return
		}
		var roots []*formula
		for f := range wrong {
			rests := false
			for g := range f.rests {
				rests = rests || wrong[g] && g != f
			}
			if !rests || round >= maxRounds {
				roots = append(roots, f)
			}
		}
		if len(roots) == 0 { // they rest on each other in a ring
			for f := range wrong {
				roots = append(roots, f)
			}
		}
		for _, f := range roots {
			if f.is == value.Open.String() && t.fillGaps(f) {
				continue
			}
			if f.stage++; round >= maxRounds {
				f.stage = asValue
			}
			t.say(f)
		}
	}
}

// refused tells what of the sheets would be refused when they are opened; nothing is expected.
func (t *taker) refused(j *sheets.Job) {
	for _, s := range j.Sheets {
		for _, m := range s.Messages() {
			if m.Level == diag.Mistake {
				t.notices[fmt.Sprintf("The sheet %s has a line that is refused: %s", s.Name, m.Text)] = true
			}
		}
	}
}

// fillGaps puts 0 into the empty rows of the columns that a formula uses, where that formula had a value all the same.
func (t *taker) fillGaps(f *formula) bool {
	some := false
	for c := range f.uses {
		if c.sort == isNumber && !c.zeros && c.hasGaps() {
			c.zeros, some = true, true
			t.notices[fmt.Sprintf("Empty cells in the column %s.%s hold 0, as the formulas of the workbook take them.", c.table.name, c.name)] = true
		}
	}
	return some
}

// judge gives the formulas whose cells are refused or do not hold the workbook's values.
func (t *taker) judge(j *sheets.Job) map[*formula]bool {
	byName := map[string]*check.Sheet{}
	for _, s := range j.Sheets {
		byName[s.Name] = s
	}
	wrong := map[*formula]bool{}
	for _, f := range t.all {
		if f.stage == asValue {
			continue
		}
		x := f.places[0]
		path := x.name
		if x.column != nil {
			path = x.column.table.name + "." + x.column.name
		}
		c, ok := byName[x.page.name].Find(path)
		if !ok {
			wrong[f], f.why = true, "its line is refused"
			continue
		}
		if c.Fault != nil {
			wrong[f], f.why, f.is = true, plainWords(c.Fault), ""
			continue
		}
		for _, x := range f.places {
			is, same := t.agrees(j, c, x)
			if !same {
				wrong[f], f.why, f.is, f.differ = true, "", is, x
				break
			}
		}
	}
	return wrong
}

func plainWords(m *diag.Message) string { return m.Text }

// agrees compares a place with what was computed for it.
func (t *taker) agrees(j *sheets.Job, c *check.Cell, x *place) (is string, same bool) {
	v, i := j.Value(c), 0
	sort, u := x.sort, x.unit
	if x.column != nil {
		i, sort, u = x.index, x.column.sort, x.column.unit
	}
	if j.Engine.StateOf(v.All) >= value.Open || i >= v.Len() || j.Engine.StateOf(v.Mark(i)) >= value.Open {
		state := j.Engine.StateOf(v.All)
		if i < v.Len() {
			state = max(state, j.Engine.StateOf(v.Mark(i)))
		}
		return state.String(), (x.cell.Kind == read.Empty || isBlank(x.cell)) && state < value.Mistake
	}
	if isBlank(x.cell) && sort != isText {
		return "a value", false
	}
	if x.cell.Kind == read.Empty {
		return "", true
	}
	switch {
	case sort == isText && v.Text != nil:
		return v.Text[i], v.Text[i] == clean(x.cell.Text)
	case v.Num == nil:
		return "another sort of value", false
	case sort == isTruth:
		return map[bool]string{true: "TRUE", false: "FALSE"}[v.Num[i] != 0], x.cell.Truth == (v.Num[i] != 0)
	case sort == isDate:
		seconds, _ := t.seconds(x.cell.Number)
		return dateText(int64(math.Round(v.Num[i]))), math.Abs(float64(seconds)-v.Num[i]) < 1
	}
	m := t.units.measure(u)
	n := (v.Num[i] - m.zero) / m.ratio
	return digits(n), near(n, x.cell.Number)
}

// isBlank tells whether a formula left its cell blank.
func isBlank(c *read.Cell) bool { return c.Formula != "" && c.Kind == read.Text && c.Text == "" }

// near tells whether two numbers agree; beside 0, what is left of sums of ordinary numbers counts as 0.
func near(a, b float64) bool {
	return math.Abs(a-b) <= tolerance*math.Max(math.Abs(a), math.Abs(b)) || math.Abs(a) < 1e-12 && math.Abs(b) < 1e-12
}

// tell counts and lists what became of the cells.
func (t *taker) tell() {
	r := t.result
	blind := 0
	for _, f := range t.all {
		if f.stage != asValue {
			r.Translated += len(f.places)
			for _, x := range f.places {
				if x.cell.Kind == read.Empty {
					blind++
				}
			}
			continue
		}
		for _, x := range f.places {
			it := Item{Sheet: x.page.sheet.Name, Ref: read.Ref(x.cell.Col, x.cell.Row), Name: x.name, Formula: x.cell.Formula, Why: f.why, Was: shownCell(x.cell)}
			if x.column != nil {
				it.Name = fmt.Sprintf("%s.%s, row %d", x.column.table.name, x.column.name, x.index+1)
			}
			switch {
			case f.why != "":
				r.Left = append(r.Left, it)
			case f.differ == x:
				it.Why, it.Is = "it gives another value", f.is
				r.Differences = append(r.Differences, it)
			default:
				it.Why = fmt.Sprintf("another row of its column, %s, gives another value", read.Ref(f.differ.cell.Col, f.differ.cell.Row))
				r.Left = append(r.Left, it)
			}
		}
	}
	switch {
	case blind == 1:
		t.notices["One formula had no value in the workbook; there was nothing to compare it with."] = true
	case blind > 1:
		t.notices[fmt.Sprintf("%d formulas had no value in the workbook; there was nothing to compare them with.", blind)] = true
	}
	for _, p := range t.pages {
		for _, x := range p.places {
			if x.cell.Formula == "" {
				r.Values++
			}
		}
	}
	for n := range t.notices {
		r.Notices = append(r.Notices, n)
	}
	sort.Strings(r.Notices)
}

// shownCell writes the value of a cell of the workbook.
func shownCell(c *read.Cell) string {
	switch c.Kind {
	case read.Number:
		return digits(c.Number)
	case read.Truth:
		return map[bool]string{true: "TRUE", false: "FALSE"}[c.Truth]
	case read.Empty:
		return ""
	}
	return c.Text
}
