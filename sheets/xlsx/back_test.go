package xlsx_test

import (
	"bytes"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/sheets"
	"castwright/sheets/xlsx"
	"castwright/sheets/xlsx/read"
)

const backSheet = `1 bag = 25 kg
clearance = 620 mm   # free radius
seat_depth = 430 ± 3 mm
waste = 8%
start = 2027-03-01
old_day = 1890-05-06
client = "a garden"
covered = yes
need = 4 bags
ask price [USD] assume 12 USD
ask lead_time [d]
ask by_day [date]
area = clearance * seat_depth
table pours
  volume = pieces * 21 L [L]
  day | pieces | waste | who
  2027-03-01 | 4 | 8% | "A"
  2027-03-02 | 6 | | "B"
  2027-03-03 | 7 | 9% | "C"
end
handout supplier "Order"
  price, lead_time, pours.day, pours.waste
end
`

// put writes a cell of a workbook, in the place of what stands there.
func put(t testing.TB, w *read.Workbook, sheet, ref string, c read.Cell) {
	t.Helper()
	var ok bool
	c.Col, c.Row, ok = read.ParseRef(ref)
	require.True(t, ok)
	i := slices.IndexFunc(w.Sheets, func(s *read.Sheet) bool { return s.Name == sheet })
	require.GreaterOrEqual(t, i, 0, sheet)
	s := w.Sheets[i]
	if old := s.At(c.Col, c.Row); old != nil {
		*old = c
		return
	}
	k, found := slices.BinarySearchFunc(s.Rows, c.Row, func(r read.Row, n int) int { return r.Number - n })
	if !found {
		s.Rows = slices.Insert(s.Rows, k, read.Row{Number: c.Row})
	}
	cells := append(s.Rows[k].Cells, c)
	slices.SortFunc(cells, func(a, b read.Cell) int { return a.Col - b.Col })
	s.Rows[k].Cells = cells
}

// push moves the rows of a worksheet down, from one on, as a row that is put in does; the defined names stay.
func push(w *read.Workbook, sheet string, from, by int) {
	for _, s := range w.Sheets {
		for i := range s.Rows {
			if s.Name == sheet && s.Rows[i].Number >= from {
				s.Rows[i].Number += by
				for k := range s.Rows[i].Cells {
					s.Rows[i].Cells[k].Row += by
				}
			}
		}
	}
}

func num(x float64) read.Cell  { return read.Cell{Kind: read.Number, Number: x} }
func words(s string) read.Cell { return read.Cell{Kind: read.Text, Text: s} }

// cameBack lists what a workbook brings back, as "path: was → is", and what is left, as "place: why".
func cameBack(t testing.TB, j *sheets.Job, w *read.Workbook) (changes, left []string) {
	t.Helper()
	ours, err := xlsx.Recognise(w)
	require.NoError(t, err)
	require.NotNil(t, ours)
	back, err := ours.Back(j)
	require.NoError(t, err)
	for _, c := range back.Changes {
		changes = append(changes, c.Path+": "+c.Was+" → "+c.Is)
	}
	for _, l := range back.Left {
		left = append(left, l.Place+": "+l.Why)
	}
	return changes, left
}

func bookOf(t testing.TB, j *sheets.Job) *read.Workbook {
	t.Helper()
	data, _ := exported(t, j)
	return opened(t, data)
}

// Each kind of value comes back onto its own cell, in the unit that stood beside it; what does not fit names its place.
func TestBackOfEachKind(t *testing.T) {
	c := newChecker(t)
	for _, k := range []struct {
		ref           string
		cell          read.Cell
		changes, left string
	}{
		{"B4", num(630), "clearance: 620 mm → 630 mm", ""},
		{"B4", num(620.0000000000001), "", ""},
		{"B5", num(440.5), "seat_depth: 430 mm → 440.5 mm", ""},
		{"B6", num(0.095), "waste: 8% → 9.5%", ""},
		{"B7", num(46478), "start: 2027-03-01 → 2027-04-01", ""}, // 46447 is 2027-03-01, ISO/IEC 29500-1, 18.17.4
		{"B8", words("1891-01-02"), "old_day: 1890-05-06 → 1891-01-02", ""},
		{"B9", words(`a "b" {clearance} =1`), `client: a garden → a "b" {clearance} =1`, ""},
		{"B10", words("No"), "covered: yes → no", ""},
		{"B12", num(3), "price: open → 3 USD", ""},
		{"B4", words("12 mm"), "", `clearance (bench!B4): a number is wanted, in mm, and the text "12 mm" stands there`},
		{"B4", words("11,40"), "", `the text "11,40" stands there`},
		{"B4", read.Cell{Kind: read.Number, Number: 46447, Format: "yyyy-mm-dd"}, "", "a number is wanted, and a date stands there"},
		{"B4", read.Cell{Kind: read.Number, Number: 0.05, Format: "0%"}, "", "a number in mm is wanted, and a share in % stands there"},
		{"B4", read.Cell{Formula: "1+1", Kind: read.Number, Number: 2}, "", "a formula was written in the place of a value"},
		{"B4", read.Cell{}, "", "it was emptied, and nothing is taken out of the job"},
		{"C4", words("cm"), "", `the unit beside it was "mm" and is now "cm"`},
		{"B9", words("one\ntwo"), "", "this text holds line ends"},
		{"B10", words("perhaps"), "", "yes or no is wanted"},
		{"B14", num(5), "", "by_day (bench!B14): a date is wanted, and the number 5 stands there"},
		{"B15", num(3), "", "area (bench!B15): it is worked out, and a value was written over it"},
		{"B15", read.Cell{Formula: "B4*B5", Kind: read.Number, Number: 0.2666}, "", "area (bench!B15): its formula was changed"},
	} {
		for _, parts := range []bool{true, false} { // another program may drop the part that says what the workbook is
			j := job(c, backSheet)
			w := bookOf(t, j)
			if !parts {
				w.Parts = nil
			}
			put(t, w, "bench", k.ref, k.cell)
			changes, left := cameBack(t, j, w)
			assert.Equal(t, k.changes, strings.Join(changes, "\n"), "%s %v", k.ref, k.cell)
			if k.left == "" {
				assert.Empty(t, left, k.ref)
			} else if assert.Len(t, left, 1, "%s %v", k.ref, k.cell) {
				assert.Contains(t, left[0], k.left)
			}
		}
	}
}

// Nothing comes back from a workbook in which nothing was changed, also of dates before 1900 and of open cells.
func TestBackOfNothing(t *testing.T) {
	c := newChecker(t)
	for _, parts := range []bool{true, false} {
		j := job(c, backSheet)
		w := bookOf(t, j)
		if !parts {
			w.Parts = nil
		}
		changes, left := cameBack(t, j, w)
		assert.Empty(t, changes)
		assert.Empty(t, left)
	}
}

// Where rows were put in or taken out, a value still comes onto the cell whose name stands beside it, or onto none.
func TestBackOfMovedCells(t *testing.T) {
	c := newChecker(t)
	j := job(c, backSheet)
	for _, parts := range []bool{true, false} {
		fresh := func() *read.Workbook {
			w := bookOf(t, j)
			if !parts {
				w.Parts = nil
			}
			return w
		}
		w := fresh()
		push(w, "bench", 4, 1)
		put(t, w, "bench", "B5", num(630))
		changes, left := cameBack(t, j, w)
		assert.Equal(t, []string{"clearance: 620 mm → 630 mm"}, changes)
		assert.Empty(t, left)

		w = fresh()
		put(t, w, "bench", "A4", words("something else"))
		put(t, w, "bench", "B4", num(7))
		changes, left = cameBack(t, j, w)
		assert.Empty(t, changes)
		assert.Equal(t, []string{"clearance: its line is not found again on the worksheet bench: its name stands there nowhere"}, left)

		w = fresh()
		put(t, w, "bench", "B3", words("Note"))
		changes, left = cameBack(t, j, w)
		assert.Empty(t, changes)
		assert.Equal(t, []string{"bench: the columns Item, Value and Unit are not where they were, and none of its cells is taken"}, left)

		w = fresh()
		second := *w.Sheets[0]
		second.Name = "bench (2)"
		w.Sheets[0].Name = "other"
		w.Sheets = append(w.Sheets, &second)
		changes, left = cameBack(t, j, w)
		assert.Empty(t, changes)
		assert.Len(t, left, 3)
	}
}

// The rows of a table come back whole or not at all.
func TestBackOfRows(t *testing.T) {
	j := job(newChecker(t), backSheet)
	w := bookOf(t, j)
	put(t, w, "bench pours", "C5", num(0.1))
	put(t, w, "bench pours", "E4", num(9))
	changes, left := cameBack(t, j, w)
	assert.Equal(t, []string{"pours.waste row 2: open → 10%"}, changes)
	assert.Equal(t, []string{"pours.volume row 1 (bench pours!E4): it is worked out, and a value was written over it"}, left)

	w = bookOf(t, j)
	push(w, "bench pours", 5, 1)
	put(t, w, "bench pours", "B5", num(5))
	changes, left = cameBack(t, j, w)
	assert.Empty(t, changes)
	assert.Equal(t, []string{"bench pours: something stands below its last row, and none of its rows is taken; rows are added and dropped in the job"}, left)

	w = bookOf(t, j)
	put(t, w, "bench pours", "A6", read.Cell{})
	for _, ref := range []string{"B6", "C6", "D6"} {
		put(t, w, "bench pours", ref, read.Cell{})
	}
	changes, left = cameBack(t, j, w)
	assert.Empty(t, changes)
	assert.Contains(t, left[0], "its row 3 is empty")
}

// A job that was changed since the workbook was written takes nothing that means another thing in it now.
func TestBackToAChangedJob(t *testing.T) {
	c := newChecker(t)
	w := bookOf(t, job(c, backSheet))
	now := backSheet
	for _, r := range [][2]string{{"620 mm", "61 cm"}, {"1 bag = 25 kg", "1 bag = 30 kg"}, {"waste = 8%", "loss = 8%"}, {`client = "a garden"`, "client = 3 kg"},
		{"lead_time [d]\n", "lead_time [d] given 3 d\n"}, {"2027-03-01 | 4 |", "2027-03-01 | 44 |"}} {
		require.Contains(t, now, r[0])
		now = strings.Replace(now, r[0], r[1], 1)
	}
	j := job(c, now)
	changes, left := cameBack(t, j, w)
	assert.Empty(t, changes, "what its reader left alone does not undo the job")
	assert.Empty(t, left)
	put(t, w, "bench", "B4", num(630))
	put(t, w, "bench", "B6", num(0.1))
	put(t, w, "bench", "B9", words("x"))
	put(t, w, "bench", "B11", num(5))
	put(t, w, "bench", "B13", num(4))
	put(t, w, "bench pours", "D4", words("Z"))
	changes, left = cameBack(t, j, w)
	assert.Equal(t, []string{"clearance: 61 cm, changed since → 630 mm", "lead_time: 3 d, answered since → 4 d"}, changes)
	assert.Equal(t, []string{
		"waste (bench!B6): the job has no such input of its own",
		"client (bench!B9): the job wants another kind of value here now than x",
		"need (bench!B11): the unit bag is another amount in the job now",
		"pours.who row 1 (bench pours!D4): this row is another in the job now than when the workbook was written",
	}, left)
}

// A remark beside an input becomes its note where it has none; only its line changes.
func TestBackOfRemarks(t *testing.T) {
	j := job(newChecker(t), backSheet)
	w := bookOf(t, j)
	put(t, w, "bench", "B5", read.Cell{Kind: read.Number, Number: 430, Remark: "measured\non site"})
	put(t, w, "bench", "F4", words("another note"))
	put(t, w, "bench", "F13", words("by ship"))
	changes, left := cameBack(t, j, w)
	assert.Equal(t, []string{"seat_depth note: none → measured on site", "lead_time note: none → by ship"}, changes)
	assert.Equal(t, []string{"clearance: it has a note already, and the remark is not taken: another note"}, left)
	ours, err := xlsx.Recognise(w)
	require.NoError(t, err)
	back, err := ours.Back(j)
	require.NoError(t, err)
	for _, k := range back.Changes {
		p, err := k.Do()
		require.NoError(t, err)
		_, err = j.Edit(p.Label, p.Splices...)
		require.NoError(t, err)
	}
	want := strings.Replace(backSheet, "430 ± 3 mm\n", "430 ± 3 mm  # measured on site\n", 1)
	want = strings.Replace(want, "lead_time [d]\n", "lead_time [d]  # by ship\n", 1)
	assert.Equal(t, want, j.Texts()["bench"])
	changes, _ = cameBack(t, j, w)
	assert.Empty(t, changes, "what was taken is not offered again")
}

// In a handout too a value comes back onto the line that bears its name, and onto the row that it stands in.
func TestBackOfMovedHandout(t *testing.T) {
	j := job(newChecker(t), backSheet)
	w := opened(t, handoutBytes(t, j, "supplier"))
	sheet := w.Sheets[0].Name
	put(t, w, sheet, "B4", num(11))
	put(t, w, sheet, "B10", num(0.2))
	push(w, sheet, 4, 1)
	changes, left := cameBack(t, j, w)
	assert.Equal(t, []string{"price: open → 11 USD"}, changes)
	assert.NotEmpty(t, left)

	w = opened(t, handoutBytes(t, j, "supplier"))
	put(t, w, sheet, "B10", num(0.2))
	changes, left = cameBack(t, j, w)
	assert.Equal(t, []string{"pours.waste row 2: open → 20%"}, changes)
	assert.Empty(t, left)
}

// What travels in a workbook may have been written by anybody.
func TestHostilePart(t *testing.T) {
	j := job(newChecker(t), backSheet)
	for _, r := range [][2]string{
		{`ref="B4"`, `ref="B5"`}, {`ref="B4"`, `ref="ZZZZ99999999"`}, {`rows="3"`, `rows="999999999"`}, {`rows="3"`, `rows="-9"`},
		{`held="number"`, `held="no kind"`}, {`unit="mm"`, `unit="mm # x"`}, {`path="clearance"`, `path="area"`}, {`scale="0.001"`, `scale="1"`},
	} {
		w := bookOf(t, j)
		part := w.Parts["customXml/item1.xml"]
		require.Contains(t, string(part), r[0])
		w.Parts["customXml/item1.xml"] = bytes.ReplaceAll(part, []byte(r[0]), []byte(r[1]))
		put(t, w, "bench", "B4", num(7))
		changes, _ := cameBack(t, j, w)
		for _, x := range changes {
			assert.Equal(t, "clearance: 620 mm → 7 mm", x, r[1])
		}
	}
}

// A new job of a workbook holds its sheets and the files that they read, inside its folder and in plain sight.
func TestNewOfRefuses(t *testing.T) {
	one := []check.Text{{Name: "a", Text: "x = 1\n"}}
	for _, k := range []struct {
		texts []check.Text
		file  string
		says  string
	}{
		{one, "../x.csv", "outside"}, {one, "/etc/x", "outside"}, {one, "b/../../x", "outside"}, {one, ".hidden", "cannot be the name"},
		{one, ".", "cannot be the name"}, {one, "b/.c/d", "cannot be the name"}, {one, "a\nb", "cannot be the name"}, {one, `..\x`, "cannot be the name"},
		{one, "a.journal", "cannot be the name"}, {one, "A.sheet", "two files"}, {nil, "x.csv", "no sheet"},
		{[]check.Text{{Name: "../a"}}, "x.csv", "cannot be the name of a sheet"}, {append(one, one...), "x.csv", "two sheets"},
	} {
		at := filepath.Join(t.TempDir(), "new")
		_, err := sheets.NewOf(at, k.texts, map[string]string{k.file: "1\n"})
		require.Error(t, err, k.file)
		assert.Contains(t, err.Error(), k.says, k.file)
		assert.NoDirExists(t, at)
	}
}
