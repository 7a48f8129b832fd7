package sheets_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/sheets"
)

// inMemory makes a job of sheets, "bench" first.
func inMemory(t testing.TB, bench string, others ...check.Text) *sheets.Job {
	t.Helper()
	return sheets.Memory(newChecker(t), append([]check.Text{{Name: "bench", Text: bench}}, others...)...)
}

// shifts writes what a report tells of values: "mass: 3 kg → 4 kg".
func shifts(r *sheets.Report) []string {
	var out []string
	for _, x := range r.Shifts {
		line := fmt.Sprintf("%s: %s → %s", x.Path, x.Was, x.Is)
		if x.Cell == nil {
			line = fmt.Sprintf("%s: %s, gone", x.Path, x.Was)
		}
		out = append(out, line)
	}
	return out
}

func toldBy(r *sheets.Report) []string {
	var out []string
	for _, m := range r.Messages {
		out = append(out, m.Text)
	}
	return out
}

// one is the splice that puts a text in the place of its first like in bench.
func one(t testing.TB, j *sheets.Job, was, is string) sheets.Splice {
	t.Helper()
	at := strings.Index(j.Texts()["bench"], was)
	require.GreaterOrEqual(t, at, 0, was)
	return sheets.Splice{Sheet: "bench", At: at, Was: was, Is: is}
}

// A report tells what was and what is, the nearest first, what is gone, and what has become a mistake elsewhere.
func TestReport(t *testing.T) {
	const chain = "far = near * 2\nnear = a * 2\na = 3 mm\nother = 1 kg\nwrong = nothing\n"
	cases := []struct {
		name, bench, was, is string
		shifts, told         []string
	}{
		{"was and is, nearest first", chain, "a = 3 mm", "a = 4 mm", []string{"a: 3 mm → 4 mm", "near: 6 mm → 8 mm", "far: 12 mm → 16 mm"}, nil},
		{"nothing is shown otherwise", chain, "3 mm", "3.0 mm", nil, nil},
		{"an equal value ends the walk", "a = 3 mm\nb = round_up(a, 10 mm)\nc = b * 2\n", "3 mm", "4 mm", []string{"a: 3 mm → 4 mm"}, nil},
		{"a new cell", chain, "other", "fresh = a * 3\nother", []string{"fresh:  → 9 mm"}, nil},
		{"a cell that goes", chain, "other = 1 kg\n", "", []string{"other: 1 kg, gone"}, nil},
		{"users become mistakes", chain, "a = 3 mm\n", "", []string{"near: 6 mm → mistake", "far: 12 mm → mistake", "a: 3 mm, gone"}, []string{"There is no cell a."}},
		{"a kind that users cannot bear", "a = 3 mm\nb = a + 1 mm\n", "3 mm", "3 kg", []string{"a: 3 mm → 3 kg", "b: 4 mm → mistake"}, []string{"A mass (a) and a length (1 mm) cannot be added."}},
		{"a mistake that is mended", chain, "other = 1 kg", "nothing = 1 kg", []string{"nothing:  → 1 kg", "wrong: mistake → 1 kg", "other: 1 kg, gone"}, nil},
		{"an ask that is answered", "ask a [mm]\nb = a * 2\n", "[mm]", "[mm] given 5 mm", []string{"a: open → 5 mm", "b: open → 10 mm"}, nil},
		{"flags", "ask a [mm] assume 5 mm\nb = a * 2\n", "[mm]", "[mm]", nil, nil},
	}
	for _, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			j := inMemory(t, k.bench)
			r, err := j.Edit("edit", one(t, j, k.was, k.is))
			require.NoError(t, err)
			assert.Equal(t, "edit", r.Label)
			assert.Equal(t, k.shifts, shifts(r))
			if got := toldBy(r); len(k.told) > 0 || len(got) > 0 {
				assert.Equal(t, k.told, got)
			}
			back, err := j.Undo()
			require.NoError(t, err)
			assert.Len(t, back.Shifts, len(r.Shifts))
			assert.Equal(t, k.bench, j.Texts()["bench"])
		})
	}
}

// A column too long to be compared row by row is told where one of its rows is another than before, wherever it stands, or
// comes to another state; and not where none is.
func TestReportOfLongColumns(t *testing.T) {
	const rows = 1500
	var text strings.Builder
	text.WriteString("k = 0\nlimit = 0\ntable long\n  bit   = if n == k then 1 else 0\n  root  = sqrt(n - limit)\n  whole = round_up(n / 2 + k / 10000)\n  words = \"{bit}\"\n  | n\n")
	for i := range rows {
		fmt.Fprintf(&text, "  | %d\n", i+1)
	}
	text.WriteString("end\n")
	j := inMemory(t, text.String())
	long := func(column string) string { return fmt.Sprintf("long.%s: %d rows → other values", column, rows) }
	for _, k := range []struct {
		was, is string
		shifts  []string
	}{
		{"k = 0", "k = 1", []string{"k: 0 → 1", long("bit"), long("whole"), long("words")}},
		{"k = 1", "k = 512", []string{"k: 1 → 512", long("bit"), long("words")}},
		{"k = 512", "k = 513", []string{"k: 512 → 513", long("bit"), long("words")}},
		{"k = 513", "k = 1500", []string{"k: 513 → 1500", long("bit"), long("words")}},
		{"k = 1500", "k = 1500.5", []string{"k: 1500 → 1500.5", long("bit"), long("words")}},
		{"k = 1500.5", "k = 1501.5", []string{"k: 1500.5 → 1501.5"}},
		{"limit = 0", "limit = 1.5", []string{"limit: 0 → 1.5", long("root")}}, // the first row has no root now
	} {
		r, err := j.Edit("edit", one(t, j, k.was, k.is))
		require.NoError(t, err)
		assert.Equal(t, k.shifts, shifts(r), k.is)
	}
}

// A report of a job that is made anew tells the same things.
func TestReportWhereTheJobIsMadeAnew(t *testing.T) {
	j := inMemory(t, "1 bag = 80 lb\na = 2 bags [kg]\nb = a * 2\nwrong = nothing\n")
	r, err := j.Edit("edit", one(t, j, "80 lb", "60 lb"))
	require.NoError(t, err)
	assert.Equal(t, []string{"a: 72.57 kg → 54.43 kg", "b: 145.1 kg → 108.9 kg"}, shifts(r)) // 1 lb = 0.45359237 kg (NIST SP 811)
	assert.Empty(t, r.Messages, "what was a mistake before is not told again")
	r, err = j.Edit("edit", one(t, j, "1 bag = 60 lb\n", ""))
	require.NoError(t, err)
	assert.Equal(t, []string{"a: 54.43 kg → mistake", "b: 108.9 kg → mistake"}, shifts(r))
	assert.Len(t, r.Messages, 1)
}

// A mistake that a new name does not mend is not told as new.
func TestOldMistakesAreNotTold(t *testing.T) {
	j := inMemory(t, "a = 3 mm\nb = nothing + 1 mm\n")
	r, err := j.Edit("edit", one(t, j, "a = 3 mm", "a = 3 mm\nnothin = 2 mm"))
	require.NoError(t, err)
	assert.Empty(t, r.Messages)
	c, _ := j.Sheets[0].Find("b")
	assert.Equal(t, "Did you mean nothin?", c.Fault.WayOut, "but the nearest name is another now")
}

// Steps that are refused say why, and leave the job as it was.
func TestRefusedSteps(t *testing.T) {
	const bench = "a = 3 mm\nb = a * 2\ntable t\n  v = x * 2\n  x [mm] | n\n  3 | 4\nend\nbad = a + 1 kg\n"
	cases := []struct{ name, was, is, says string }{
		{"a mistake of its own", "a * 2", "a + 1 kg", "A length (a) and a mass (1 kg) cannot be added."},
		{"an unknown name", "a * 2", "c * 2", "There is no cell c."},
		{"a ring", "3 mm", "b / 2", "These cells rest on each other in a ring: a → b → a."},
		{"itself", "a * 2", "b * 2", "The cell b rests on itself."},
		{"a name that is taken", "b = a * 2", "a = 4 mm", "The name a is written twice."},
		{"a name that differs by case", "b = a * 2", "A = 4 mm", "The names a and A differ by case alone."},
		{"a line that cannot be read", "b = a * 2", "b = a *", "A value is missing behind this."},
		{"a row with a place too many", "3 | 4", "3 | 4 | 5", "This row has 3 places, the heading 2 columns."},
		{"a table without its end", "end\n", "", "This table has no end."},
		{"a measure that is stated twice", "b = a * 2", "1 bag = 3 kg\n1 bag = 4 kg", "The unit bag is stated twice."},
		{"a mistake that is another than before", "1 kg", "2 kg", "A length (a) and a mass (2 kg) cannot be added."},
	}
	for _, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			j := inMemory(t, bench)
			before := facts(j)
			_, err := j.Edit("edit", one(t, j, k.was, k.is))
			var refused *sheets.Refused
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, k.says, refused.Messages[0].Text)
			sameFacts(t, before, facts(j), "refused")
			require.NoError(t, j.Engine.Check())
			_, err = j.Undo()
			assert.ErrorIs(t, err, sheets.ErrNothing)
		})
	}
}

// An edit for another text, of a sheet that is not there, or of pieces that lie over each other, is refused.
func TestSplicesThatDoNotFit(t *testing.T) {
	j := inMemory(t, "a = 3 mm\nb = a * 2\n")
	for _, k := range []struct {
		says    string
		splices []sheets.Splice
	}{
		{"The text of bench is not what this edit was made for.", []sheets.Splice{{Sheet: "bench", At: 4, Was: "4", Is: "5"}}},
		{"The text of bench is not what this edit was made for.", []sheets.Splice{{Sheet: "bench", At: 400, Was: "4", Is: "5"}}},
		{"The text of bench is not what this edit was made for.", []sheets.Splice{{Sheet: "bench", At: 400, Is: "c = 1\n"}}},
		{"The text of bench is not what this edit was made for.", []sheets.Splice{{Sheet: "bench", At: -1, Is: "c = 1\n"}}},
		{"There is no sheet leg.", []sheets.Splice{{Sheet: "leg", Is: "c = 1 mm\n"}}},
		{"Two pieces of this edit lie over each other.", []sheets.Splice{{Sheet: "bench", At: 4, Was: "3 mm", Is: "5 mm"}, {Sheet: "bench", At: 6, Was: "mm", Is: "kg"}}},
		{"Two pieces of this edit lie over each other.", []sheets.Splice{{Sheet: "bench", At: 4, Was: "3", Is: "5"}, {Sheet: "bench", At: 4, Was: "3", Is: "6"}}},
	} {
		_, err := j.Edit("edit", k.splices...)
		require.ErrorContains(t, err, k.says)
		require.Equal(t, "a = 3 mm\nb = a * 2\n", j.Texts()["bench"])
	}
}

// Pieces of one step at one place, or on one line, are put in together, and undo takes them out again.
func TestSplicesThatTouch(t *testing.T) {
	for _, k := range []struct {
		bench, is string
		splices   []sheets.Splice
	}{
		{"a = 3 mm\n", "b = 1\na = 4 mm\n", []sheets.Splice{{At: 4, Was: "3", Is: "4"}, {At: 0, Is: "b = 1\n"}}},
		{"a = 3 mm\n", "a = 245 m\n", []sheets.Splice{{At: 4, Is: "2"}, {At: 4, Was: "3", Is: "4"}, {At: 5, Is: "5"}, {At: 6, Was: "mm", Is: "m"}}},
		{"a = 3", "a = 30\nb = 2", []sheets.Splice{{At: 5, Is: "0\nb = 2"}}},
		{"a = 3\nb = 4\nc = 5\n", "a = 36\n", []sheets.Splice{{At: 5, Was: "\nb = 4\nc = 5", Is: "6"}}},
		{"a = 3\nb = 4\nc = 5\n", "a = 3 + 4\nc = 5\n", []sheets.Splice{{At: 5, Was: "\n", Is: " "}, {At: 6, Was: "b =", Is: "+"}}},
		{"a = 3\nb = 4\nc = 5\n", "c = 5\n", []sheets.Splice{{At: 0, Was: "a = 3\n"}, {At: 6, Was: "b = 4\n"}}},
		{"", "a = 3\n", []sheets.Splice{{At: 0, Is: "a = 3\n"}}},
		{"a = 3\n", "", []sheets.Splice{{At: 0, Was: "a = 3\n"}}},
	} {
		for i := range k.splices {
			k.splices[i].Sheet = "bench"
		}
		j := inMemory(t, k.bench)
		before := facts(j)
		_, err := j.Edit("edit", k.splices...)
		require.NoError(t, err, k.is)
		sameFacts(t, facts(inMemory(t, k.is)), facts(j), k.is)
		_, err = j.Undo()
		require.NoError(t, err)
		sameFacts(t, before, facts(j), k.bench)
		_, err = j.Redo()
		require.NoError(t, err)
		assert.Equal(t, k.is, j.Texts()["bench"])
	}
}

// An edit that is to do no harm names who would be harmed.
func TestHarmlessEdits(t *testing.T) {
	j := inMemory(t, "a = 3 mm\nb = a * 2\nc = b + 1 mm\nold = nothing\n")
	before := facts(j)
	_, err := j.EditHarmless("drop a", one(t, j, "a = 3 mm\n", ""))
	var inUse *sheets.InUse
	require.ErrorAs(t, err, &inUse)
	assert.Equal(t, []string{"b"}, inUse.Users)
	sameFacts(t, before, facts(j), "in use")
	_, err = j.EditHarmless("drop c", one(t, j, "c = b + 1 mm\n", ""))
	require.NoError(t, err)
}

// Undo and redo go through all steps, each under its label; a new step ends what could be done again.
// TestNameOfALineThatCannotBeRead: such a line keeps its name for what rests on it, and stands back while another line has
// it. Taken back, the name is its own again.
func TestNameOfALineThatCannotBeRead(t *testing.T) {
	j := inMemory(t, "d = 1\nm = 2\na = \n")
	names := func() (out []string) {
		for _, c := range j.Sheets[0].Cells() {
			out = append(out, c.Name)
		}
		return out
	}
	before := names()
	_, err := j.Edit("d becomes a", one(t, j, "d", "a"))
	require.NoError(t, err)
	assert.Equal(t, []string{"a", "m"}, names())
	_, err = j.Undo()
	require.NoError(t, err)
	assert.Equal(t, before, names())
}

func TestUndoAndRedo(t *testing.T) {
	j := inMemory(t, "a = 1 mm\n")
	for i := 2; i < 6; i++ {
		_, err := j.Edit(fmt.Sprint("to ", i), one(t, j, fmt.Sprint(i-1), fmt.Sprint(i)))
		require.NoError(t, err)
	}
	for i := 5; i > 3; i-- {
		r, err := j.Undo()
		require.NoError(t, err)
		assert.Equal(t, fmt.Sprint("to ", i), r.Label)
		assert.Equal(t, []string{fmt.Sprintf("a: %d mm → %d mm", i, i-1)}, shifts(r))
	}
	r, err := j.Redo()
	require.NoError(t, err)
	assert.Equal(t, "to 4", r.Label)
	_, err = j.Edit("to 9", one(t, j, "4", "9"))
	require.NoError(t, err)
	_, err = j.Redo()
	assert.ErrorIs(t, err, sheets.ErrNothing)
	for range 4 {
		_, err = j.Undo()
	}
	require.NoError(t, err)
	_, err = j.Undo()
	assert.ErrorIs(t, err, sheets.ErrNothing)
	assert.Equal(t, "a = 1 mm\n", j.Texts()["bench"])
}

// many is a sheet of n cells; the last few rest on one literal.
func many(n int) string {
	var b strings.Builder
	b.WriteString("size = 3 mm\ndouble_size = size * 2\nfour = double_size * 2\n")
	for i := 3; i < n; i++ {
		fmt.Fprintf(&b, "c%d = %d mm + %d mm\n", i, i%7, i%5)
	}
	return b.String()
}

// In a sheet of 20,000 cells an edit of one literal checks that cell alone, and works out only what it reaches.
func TestEditOfOneLiteralReachesOnlyItsUsers(t *testing.T) {
	j := inMemory(t, many(20_000))
	var worked []string
	j.Engine.Log = func(_ engine.ID, name string) { worked = append(worked, name) }
	programs := map[string]any{}
	for _, c := range j.Sheets[0].Cells() {
		programs[c.Name] = c
	}
	f := j.Checked.File("bench")
	items := slices.Clone(f.Items)
	_, err := j.Edit("size", one(t, j, "3 mm", "4 mm"))
	require.NoError(t, err)
	assert.Equal(t, []string{"size", "double_size", "four"}, worked)
	read := 0
	for i, it := range f.Items {
		if it != items[i] {
			read++
		}
	}
	assert.Equal(t, 1, read, "one line is read anew")
	for _, c := range j.Sheets[0].Cells() {
		require.Same(t, programs[c.Name], c, "all cells stay the same")
	}

	worked = nil
	_, err = j.Undo()
	require.NoError(t, err)
	assert.Equal(t, []string{"size", "double_size", "four"}, worked)
	worked = nil
	_, err = j.Edit("no user", one(t, j, "c19999 = 0 mm", "c19999 = 1 mm"))
	require.NoError(t, err)
	assert.Equal(t, []string{"c19999"}, worked)
	effect := j.Checked.Update([]check.Change{{File: f, At: 5, N: 1, Items: j.Checked.Read(f, "c5 = 9 mm\n")}})
	require.False(t, effect.Rebuilt)
	require.Len(t, effect.Checked, 1)
	assert.Equal(t, "c5", effect.Checked[0].Name)
}

// A total of a column of the same table is no ring, and no reason to make the job anew.
func TestEditOfATableWithItsOwnTotalIsSmall(t *testing.T) {
	j := inMemory(t, "table pours\n  share = x / sum(pours.x)  [%]\n  | x [mm]\n  | 3\n  | 4\nend\nz = 3 mm\n")
	f := j.Checked.File("bench")
	effect := j.Checked.Update([]check.Change{{File: f, At: 0, N: 1, Items: j.Checked.Read(f, strings.Replace(f.Items[0].Source.Text, "| 4", "| 5", 1))}})
	assert.False(t, effect.Rebuilt)
}

// A ring that two lines of one step close together is seen.
func TestRingOfOneStep(t *testing.T) {
	j := inMemory(t, "a = 1 mm\nb = 2 mm\nx = a * 2\n")
	_, err := j.Edit("ring", one(t, j, "1 mm", "b"), one(t, j, "2 mm", "x"))
	require.ErrorContains(t, err, "These cells rest on each other in a ring: a → b → x → a.")
	assert.Equal(t, "a = 1 mm\nb = 2 mm\nx = a * 2\n", j.Texts()["bench"])
}

// Parts follow the sheet that they are made from.
func TestEditReachesPartsWithTheirInputs(t *testing.T) {
	j := inMemory(t, "part p from \"leg.sheet\" (a: 5 mm)\ntotal = p.b + leg.b\n", check.Text{Name: "leg", Text: "a = 3 mm\nb = a * 2\n"})
	r, err := j.Edit("leg", sheets.Splice{Sheet: "leg", At: 17, Was: "2", Is: "3"})
	require.NoError(t, err)
	assert.Equal(t, []string{"leg.b: 6 mm → 9 mm", "bench.total: 16 mm → 24 mm", "bench.p.b: 10 mm → 15 mm"}, shifts(r))
	_, err = j.Edit("leg", sheets.Splice{Sheet: "leg", At: 0, Was: "a = 3 mm", Is: "a = b"})
	require.Error(t, err)
}
