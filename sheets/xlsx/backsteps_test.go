package xlsx_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/sheets"
	"castwright/sheets/xlsx"
	"castwright/sheets/xlsx/read"
)

// brought is what a workbook brings back.
func brought(t testing.TB, j *sheets.Job, w *read.Workbook) *xlsx.Back {
	t.Helper()
	ours, err := xlsx.Recognise(w)
	require.NoError(t, err)
	require.NotNil(t, ours)
	back, err := ours.Back(j)
	require.NoError(t, err)
	return back
}

// takenInto carries out on a job what came back.
func takenInto(j *sheets.Job) func(*sheets.Plan) error {
	return func(p *sheets.Plan) error {
		_, err := j.Edit(p.Label, p.Splices...)
		return err
	}
}

// What came back to the rows of a table is one step, which undo takes back whole; each other change is a step of its own.
func TestRowsComeBackAsOneStep(t *testing.T) {
	j := job(newChecker(t), backSheet)
	w := bookOf(t, j)
	put(t, w, "bench", "B4", num(630))
	put(t, w, "bench pours", "B4", num(5))
	put(t, w, "bench pours", "C5", num(0.1))
	put(t, w, "bench pours", "D6", words("Z"))
	back := brought(t, j, w)
	require.Len(t, back.Changes, 4)
	taken, refused := back.Take(takenInto(j))
	assert.Equal(t, 4, taken)
	assert.Empty(t, refused)
	text := j.Texts()["bench"]
	for _, row := range []string{"  2027-03-01 | 5 | 8% | \"A\"\n", "  2027-03-02 | 6 | 10% | \"B\"\n", "  2027-03-03 | 7 | 9% | \"Z\"\n"} {
		assert.Contains(t, text, row)
	}
	_, err := j.Undo()
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(backSheet, "620 mm", "630 mm", 1), j.Texts()["bench"])
	_, err = j.Undo()
	require.NoError(t, err)
	assert.Equal(t, backSheet, j.Texts()["bench"])
}

// Where the job refuses the rows of a table as one step, they are carried out one by one, and what is refused is named.
func TestRowsComeBackOneByOne(t *testing.T) {
	j := job(newChecker(t), backSheet)
	w := bookOf(t, j)
	put(t, w, "bench pours", "B4", num(5))
	put(t, w, "bench pours", "B5", num(5))
	put(t, w, "bench pours", "B6", num(5))
	taken, refused := brought(t, j, w).Take(func(p *sheets.Plan) error {
		if len(p.Splices) > 1 || p.Label == "pours row 2" {
			return errors.New("no")
		}
		return takenInto(j)(p)
	})
	assert.Equal(t, 2, taken)
	require.Len(t, refused, 1)
	assert.Equal(t, "pours.pieces row 2", refused[0].Change.Path)
	assert.EqualError(t, refused[0].Err, "no")
}

// An answer, and a value in a row, that came back emptied are told and taken as open again; what was only assumed, or was
// answered since, is left alone.
func TestBackOfEmptied(t *testing.T) {
	c := newChecker(t)
	given := strings.NewReplacer("assume 12 USD\n", "assume 12 USD given 11 USD\n", "lead_time [d]\n", "lead_time [d] given 3 d   # by ship\n").Replace(backSheet)
	j := job(c, given)
	w := bookOf(t, j)
	for _, ref := range []string{"B12", "B13", "B14"} { // by_day was open
		put(t, w, "bench", ref, read.Cell{})
	}
	put(t, w, "bench pours", "A4", read.Cell{})
	put(t, w, "bench pours", "C6", read.Cell{})
	changes, left := cameBack(t, j, w)
	assert.Equal(t, []string{"price: 11.00 USD → open", "lead_time: 3 d → open", "pours.day row 1: 2027-03-01 → open", "pours.waste row 3: 9% → open"}, changes)
	assert.Empty(t, left)
	taken, refused := brought(t, j, w).Take(takenInto(j))
	assert.Equal(t, 4, taken)
	assert.Empty(t, refused)
	text := j.Texts()["bench"]
	assert.Contains(t, text, "ask price [USD] assume 12 USD\nask lead_time [d]   # by ship\n")
	again := job(c, text)
	require.Empty(t, again.Sheets[0].Messages())
	for path, rows := range map[string][]int32{"pours.day": {0}, "pours.waste": {1, 2}} {
		k, ok := again.Sheets[0].Find(path)
		require.True(t, ok, path)
		assert.Equal(t, rows, k.Data.Open, path)
	}
	changes, left = cameBack(t, j, w)
	assert.Empty(t, changes, "what was taken is not offered again")
	assert.Empty(t, left)

	w = bookOf(t, job(c, backSheet)) // it shows what is assumed for the price
	put(t, w, "bench", "B12", read.Cell{})
	changes, left = cameBack(t, job(c, given), w)
	assert.Empty(t, changes)
	assert.Empty(t, left)
}

const mixedSheet = `width = 2 m
table pieces
  area = side * 1 m
  side [m] | word | when
  1 | "a" | 2027-03-01
  (width * 2) | "b" | (2027-03-01 + 1 d * (width / 1 m))
  3 | | 2027-03-05
  | | (if width > 1 m then "d" else "e") | 2027-03-06
end
handout shop "Pieces"
  pieces.side, pieces.word, pieces.when
end
`

// In a column of which a row is worked out the other rows are typed, and fillable, above it and below: they come back as
// given, and the row that is worked out is locked.
func TestBackOfRowsBesideExpressions(t *testing.T) {
	c := newChecker(t)
	j := job(c, mixedSheet)
	require.Empty(t, j.Sheets[0].Messages())
	w := bookOf(t, j)
	s := w.Sheets[1]
	for _, k := range []struct{ ref, formula string }{
		{"A4", ""}, {"A5", "'bench'!$B$4*2"}, {"A6", ""}, {"A7", ""}, {"B4", ""}, {"B5", ""}, {"B6", ""}, {"C5", "'bench'!$B$4+46447"}, {"C6", ""}, {"C7", ""},
	} {
		col, row, _ := read.ParseRef(k.ref)
		x := read.Cell{}
		if at := s.At(col, row); at != nil {
			x = *at
		}
		assert.Equal(t, k.formula, x.Formula, k.ref)
	}
	changes, left := cameBack(t, j, w)
	assert.Empty(t, changes)
	assert.Empty(t, left)
	put(t, w, s.Name, "A5", num(9))
	put(t, w, s.Name, "A6", num(3.5))
	put(t, w, s.Name, "A7", num(4))
	put(t, w, s.Name, "B6", words("c"))
	put(t, w, s.Name, "C7", num(46453))
	changes, left = cameBack(t, j, w)
	assert.Equal(t, []string{"pieces.side row 3: 3 m → 3.5 m", "pieces.word row 3: open → c", "pieces.side row 4: open → 4 m", "pieces.when row 4: 2027-03-06 → 2027-03-07"}, changes)
	assert.Equal(t, []string{"pieces.side row 2 (bench pieces!A5): it is worked out, and a value was written over it"}, left)
	taken, _ := brought(t, j, w).Take(takenInto(j))
	assert.Equal(t, 4, taken)
	for _, row := range []string{"  (width * 2) | ", "  3.5 m | \"c\" | 2027-03-05\n", "  | 4 m | (if width > 1 m then \"d\" else \"e\") | 2027-03-07\n"} {
		assert.Contains(t, j.Texts()["bench"], row)
	}
}

// Empty places of such a column are to be filled in on a handout too.
func TestHandoutOfRowsBesideExpressions(t *testing.T) {
	j := job(newChecker(t), mixedSheet)
	w := opened(t, handoutBytes(t, j, "shop"))
	put(t, w, "Shop", "A9", num(4)) // the headings stand in row 5
	put(t, w, "Shop", "B8", words("c"))
	changes, left := cameBack(t, j, w)
	assert.ElementsMatch(t, []string{"pieces.side row 4: open → 4 m", "pieces.word row 3: open → c"}, changes)
	assert.Empty(t, left)
}

// logOf is a sheet with a table of many rows, in which one column is filled in or left open.
func logOf(rows int, temp string) string {
	var b strings.Builder
	b.WriteString("table log\n  day | temp [degC] | who\n")
	for i := range rows {
		fmt.Fprintf(&b, "  2027-03-01T%02d:%02d | %s | \"a%d\"\n", i/60%24, i%60, temp, i)
	}
	b.WriteString("end\nmiddle = mean(log.temp)\nhandout crew \"Readings\"\n  log.day, log.temp\nend\n")
	return b.String()
}

const (
	benchRows  = 20_000
	benchEdits = 2_000
)

// benchBack has edits come back to a job that is made for each run: the listing of the changes, and the taking of them.
func benchBack(b *testing.B, text string, write func(j *sheets.Job) *read.Workbook) {
	c := newChecker(b)
	w := write(sheets.Memory(c, check.Text{Name: "bench", Text: text}))
	b.ResetTimer()
	for range b.N {
		b.StopTimer()
		j := sheets.Memory(c, check.Text{Name: "bench", Text: text})
		b.StartTimer()
		back := brought(b, j, w)
		taken, refused := back.Take(takenInto(j))
		require.Equal(b, benchEdits, taken)
		require.Empty(b, refused)
		require.Empty(b, back.Left)
	}
}

func BenchmarkBackOfRows(b *testing.B) {
	benchBack(b, logOf(benchRows, "4.5"), func(j *sheets.Job) *read.Workbook {
		w := bookOf(b, j)
		for i := range benchEdits {
			put(b, w, "bench log", fmt.Sprintf("B%d", 4+10*i), num(3.25))
		}
		return w
	})
}

func BenchmarkBackOfHandout(b *testing.B) {
	benchBack(b, logOf(benchRows, ""), func(j *sheets.Job) *read.Workbook {
		w := opened(b, handoutBytes(b, j, "crew"))
		for i := range benchEdits {
			put(b, w, "Crew", fmt.Sprintf("B%d", 6+10*i), num(3.25))
		}
		return w
	})
}
