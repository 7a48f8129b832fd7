package xlsx_test

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/sheets"
	"castwright/sheets/xlsx"
	"castwright/sheets/xlsx/read"
)

// hidden is a job with a margin that nobody outside may see, and many ways in which a text could tell it.
const hidden = `margin = 40%
1 bag = 37 kg
rule tell(x [%])
  give "at {x}"
end
rule both(x [%])
  give words: "at {x}", twice: 2 * x
end
rule upped(x)
  give x * 1.4
end
by_rule = tell(margin)
record = both(margin)
by_field = record.words
ask label [text] assume "at {margin}"
on_assumed = label
cost = 100 USD
price = upped(cost)
mass = 370 kg
in_bags = mass / 1 bag
shown = mass [bag]
again = mass * 1
table worked
  words = "{n} at {margin}"
  ruled = tell(margin)
  n | typed
  3 | ("at {margin}")
  4 | "plain"
end
`

// givenBy lists lines in a handout and tells what the handout comes to.
func givenBy(t *testing.T, c *check.Checker, text, lines string) (*sheets.Job, *sheets.Given, error) {
	t.Helper()
	j := job(c, text+"handout h \"x\"\n  "+lines+"\nend\n")
	require.Empty(t, j.Sheets[0].Messages(), lines)
	h, err := j.FindHandout("h")
	require.NoError(t, err)
	g, err := j.Give(h)
	return j, g, err
}

// By whatever way a text puts in a cell outside the list, it stops the handout (ruling 38).
func TestRuling38TextsByAnyWay(t *testing.T) {
	c := newChecker(t)
	for _, lines := range []string{"by_rule", "record.words", "by_field", "on_assumed", "worked", "worked.words, worked.n", "worked.ruled",
		"worked.typed", "worked where worked.n == 3"} {
		_, _, err := givenBy(t, c, hidden, lines)
		require.Error(t, err, lines)
		assert.Contains(t, err.Error(), "would tell of margin", lines)
	}
	for _, lines := range []string{"by_rule, margin", "label", "worked, margin", "worked.n", "worked.n where worked.n == 3, worked.words where worked.n == 3, margin",
		"record.twice"} {
		_, _, err := givenBy(t, c, hidden, lines)
		require.NoError(t, err, lines)
	}
	_, _, err := givenBy(t, c, hidden, "worked.n where worked.n == 4, worked.words where worked.n == 3, margin")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "would tell of worked.n")
}

// A text at the part that replaces another is looked into like any other (rulings 36 and 38).
func TestRuling38TextsOfParts(t *testing.T) {
	j := sheets.Memory(newChecker(t), check.Text{Name: "bench", Text: "margin = 40%\npart leg from \"leg.sheet\" (label: \"at {margin}\")\nhandout h \"x\"\n  leg.later\nend\n"},
		check.Text{Name: "leg", Text: "label = \"plain\"\nlater = label\n"})
	h, err := j.FindHandout("h")
	require.NoError(t, err)
	_, err = j.Give(h)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "would tell of bench.margin")
}

// A live formula tells neither what a rule holds nor how much a measure of the job is (ruling 38).
func TestRuling38LiveFormulas(t *testing.T) {
	c := newChecker(t)
	_, _, err := givenBy(t, c, hidden, "cost, live price")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "The formula of price calls the rule upped, which holds a value of its own: 1.4.")
	for lines, stops := range map[string]bool{"mass, live in_bags": true, "mass, live shown": true, "mass, live again": false} {
		j, g, err := givenBy(t, c, hidden, lines)
		require.NoError(t, err, lines)
		err = xlsx.Handout(io.Discard, j, g)
		if stops {
			require.Error(t, err, lines)
			assert.Contains(t, err.Error(), "how much a measure of the job is", lines)
		} else {
			require.NoError(t, err, lines)
		}
	}
}

const chosenPlaces = `1 bag = 37 kg
ask filled [bag]
table pieces
  kind  | price [USD] | buyer
  "zzq" | 3 USD       | "zzother"
  "leg" |             | "zzbuyer"
  "leg" | 5 USD       | "zzother"
  "top" |             | "zzbuyer"
end
`

// How rows are chosen, which rows are left out, and how much a measure is stand nowhere in the package, and what is filled
// in comes back onto its row all the same.
func TestRuling38PlacesTellNothing(t *testing.T) {
	c := newChecker(t)
	lines := "filled, pieces.price where pieces.buyer == \"zzbuyer\", pieces.kind where pieces.buyer == \"zzbuyer\""
	j, _, err := givenBy(t, c, chosenPlaces, lines)
	require.NoError(t, err)
	data := handoutBytes(t, j, "h")
	for name, text := range partsOf(t, data) {
		for _, secret := range []string{"zz", "buyer", "37", "_4"} {
			if name != "xl/styles.xml" && name != "xl/theme/theme1.xml" {
				assert.NotContains(t, text, secret, name)
			}
		}
	}
	for _, parts := range []bool{true, false} {
		w := opened(t, data)
		if !parts {
			w.Parts = nil
		}
		fillNamed(t, w, "fill_pieces.price_2_Price_2", 7)
		fillNamed(t, w, "fill_filled", 12)
		ours, err := xlsx.Recognise(w)
		require.NoError(t, err)
		back, err := ours.Back(j)
		require.NoError(t, err)
		assert.Empty(t, back.Left)
		require.Len(t, back.Changes, 2)
		assert.Equal(t, "filled", back.Changes[0].Path)
		assert.Equal(t, "12 bag", back.Changes[0].Is)
		assert.Equal(t, "pieces.price row 4", back.Changes[1].Path)
	}
}

// fillNamed fills in the cell of a defined name.
func fillNamed(t *testing.T, w *read.Workbook, name string, x float64) {
	t.Helper()
	for _, n := range w.Names {
		if n.Name == name {
			_, ref, _ := strings.Cut(strings.ReplaceAll(n.Refers, "$", ""), "!")
			put(t, w, w.Sheets[0].Name, ref, read.Cell{Kind: read.Number, Number: x})
			return
		}
	}
	t.Fatalf("there is no name %s", name)
}

func partsOf(t *testing.T, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		out[f.Name] = string(text)
	}
	return out
}

// Rows that rest on an assumed value are told in a table too (ruling 38).
func TestRuling38FlaggedRows(t *testing.T) {
	c := newChecker(t)
	text := "ask each [USD] assume 7 USD\ntable rows\n  cost = if n > 3 then n * each else 1 USD\n  | n\n  | 3\n  | 4\n  | 5\nend\n"
	_, g, err := givenBy(t, c, text, "rows")
	require.NoError(t, err)
	assert.Equal(t, []string{"Rows, Cost, rows 2 and 3: rests on an assumed value."}, g.Cautions)
	_, g, err = givenBy(t, c, text, "rows, each")
	require.NoError(t, err)
	assert.Empty(t, g.Cautions)
	assert.True(t, g.Tables[0].Columns[1].Empty[1])
}

// A check over the rows of a column that is not listed is told as a whole: not how many rows there are, nor which fail.
func TestRuling38ChecksOverRows(t *testing.T) {
	c := newChecker(t)
	text := "table rows\n  | n\n  | 3\n  | 4\nend\ncheck small: rows.n < 4 else \"too big\"\ncheck told: rows.n < 4 else \"{rows.n} is too big\"\n"
	j, g, err := givenBy(t, c, text, "small")
	require.NoError(t, err)
	assert.Empty(t, g.Tables)
	require.Len(t, g.Lines, 1)
	assert.Equal(t, sheets.Fails, g.Lines[0].Check.State)
	assert.Equal(t, "too big", g.Lines[0].Remark)
	require.NoError(t, xlsx.Handout(io.Discard, j, g))
	_, _, err = givenBy(t, c, text, "told")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "would tell of rows.n: the words of the check told puts it in")
}

// Two sheets may each have a handout of one name: none of them is taken for the other.
func TestHandoutsOfOneName(t *testing.T) {
	j := sheets.Memory(newChecker(t), check.Text{Name: "a", Text: "x = 1 m\nhandout h \"A\"\n  x\nend\n"}, check.Text{Name: "b", Text: "y = 1 m\nhandout h \"B\"\n  y\nend\n"})
	_, err := j.FindHandout("h")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "There are 2 handouts h. Say which: a.h or b.h.")
	h, err := j.FindHandout("b.h")
	require.NoError(t, err)
	assert.Equal(t, "b", h.Sheet.Name)
}

// In a workbook a minus in front binds tighter than a power (ISO/IEC 29500-1, 18.17.2.2); what is said of both sides of a
// condition is not looked at where the left decides (ruling 32); seconds of a date are told.
func TestFormulasThatReadOtherwise(t *testing.T) {
	c := newChecker(t)
	for _, k := range []struct{ line, formula string }{
		{"x = -w^2  [mm^2]", "-(B4^2)"},
		{"x = -w^2 * share  [mm^2]", "-(B4^2*B12)"},
		{"x = -w^2 + d^2  [mm^2]", "-(B4^2)+B5^2"},
		{"x = d^2 - w^2  [mm^2]", "B5^2-B4^2"},
		{"x = wet or 1 m / w > 3", `IF(IF(B10="yes",TRUE,1/B4*1000-3>3E-12),"yes","no")`},
		{"x = \"{day}\"", `TEXT(ROUND(B8*86400,0)/86400,"yyyy-mm-dd")&IF(MOD(ROUND(B8*86400,0),86400)=0,"","T"&TEXT(ROUND(B8*86400,0)/86400,IF(MOD(ROUND(B8*86400,0),60)=0,"hh:mm","hh:mm:ss")))`},
	} {
		j := job(c, inputs+k.line+"\n")
		require.Empty(t, j.Sheets[0].Messages(), k.line)
		data, _ := exported(t, j)
		assert.Equal(t, k.formula, formulaOf(t, opened(t, data), "x"), k.line)
	}
}

// What a workbook would work out otherwise stands as a value, with the reason.
func TestWhatAWorkbookCannotSay(t *testing.T) {
	c := newChecker(t)
	for _, k := range []struct{ text, why string }{
		{"old = 1899-12-31\nx = old + 3 d\n", "a date before 1900-03-01"},
		{"day = 1900-03-02\nx = day - 3 d\n", "a date before 1900-03-01"},
		{"table t\n  | n [m]\nend\nx = count(t)\n", "a table without rows"},
		{"ask n [m]\nx = otherwise(n, 3 m)\n", "rests on what is still open"},
		{"table t\n  v = n * 2\n  k | n\n  1 | 1\n  2 |\nend\nx = sum(known(t.v))\n", "leaves open rows out"},
	} {
		j := job(c, k.text)
		require.Empty(t, j.Sheets[0].Messages(), k.text)
		_, a := exported(t, j)
		if k.why == "" {
			assert.Empty(t, a.Fixed, k.text)
			continue
		}
		require.NotEmpty(t, a.Fixed, k.text)
		assert.Contains(t, a.Fixed[0].Why, k.why, k.text)
	}
}

// Rows that hold nothing yet are no zeros: in their own row, in what chooses rows, and where a row is taken.
func TestOpenRowsAreNoZeros(t *testing.T) {
	c := newChecker(t)
	text := "table t\n  v = n * 2\n  k | n\n  \"a\" | 1\n  \"b\" |\n  \"b\" | (1 + 1)\nend\n"
	for _, k := range []struct{ line, formula string }{
		{"x = item(t.n, 2)", "IF(ISBLANK(INDEX('bench t'!$B$4:$B$6,2)),NA(),INDEX('bench t'!$B$4:$B$6,2))"},
		{"x = count(t where t.n > 1)", "IF(COUNTA('bench t'!$B$4:$B$6)<ROWS('bench t'!$B$4:$B$6),NA(),SUMPRODUCT(('bench t'!$B$4:$B$6-1>1E-12)*1))"},
		{"x = any(t.n > 1)", "IF(IF(SUMPRODUCT((1-ISBLANK('bench t'!$B$4:$B$6))*('bench t'!$B$4:$B$6-1>1E-12))>0,TRUE,IF(COUNTA('bench t'!$B$4:$B$6)<ROWS('bench t'!$B$4:$B$6),NA(),FALSE)),\"yes\",\"no\")"},
	} {
		j := job(c, text+k.line+"\n")
		require.Empty(t, j.Sheets[0].Messages(), k.line)
		data, _ := exported(t, j)
		w := opened(t, data)
		assert.Equal(t, k.formula, formulaOf(t, w, "x"), k.line)
		assert.Equal(t, "IF(ISBLANK(B5),NA(),B5)*2", w.Sheets[1].At(3, 5).Formula)
	}
}

// Conditions on texts are exact: SUMIFS and MATCH would take "Seat" for "seat", "01" for "1", and "s*" for both.
func TestTextsAreComparedExactly(t *testing.T) {
	j := job(newChecker(t), "key = \"seat\"\ntable t\n  k | n | w\n  \"seat\" | 1 | \"one\"\n  \"leg\" | 2 | \"two\"\nend\ntotal = sum(t.n where t.k == key)\nfound = only(t where t.k == key).w\nmany = count(t where t.k == key)\n")
	require.Empty(t, j.Sheets[0].Messages())
	data, _ := exported(t, j)
	w := opened(t, data)
	exact := "SUMPRODUCT((EXACT('bench t'!$A$4:$A$5,B4))*1)"
	assert.Equal(t, "IF("+exact+"=COUNTIFS('bench t'!$A$4:$A$5,B4),SUMIFS('bench t'!$B$4:$B$5,'bench t'!$A$4:$A$5,B4),SUMPRODUCT((EXACT('bench t'!$A$4:$A$5,B4))*('bench t'!$B$4:$B$5)))", formulaOf(t, w, "total"))
	assert.Equal(t, "IF(AND("+exact+"=1,EXACT(INDEX('bench t'!$A$4:$A$5,MATCH(B4,'bench t'!$A$4:$A$5,0)),B4)),INDEX('bench t'!$C$4:$C$5,MATCH(B4,'bench t'!$A$4:$A$5,0)),NA())", formulaOf(t, w, "found"))
	assert.Equal(t, exact, formulaOf(t, w, "many"))
}
