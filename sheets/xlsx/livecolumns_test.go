package xlsx_test

import (
	"bytes"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/sheets/xlsx/read"
)

// In liveSheet what bears the word zz stands outside the lists.
const liveSheet = `title "zz bench"
width = 2 m   # the width
one = 1
margin_zz = 40%   # zz note
ask rate [USD/m^2] assume 5 USD/m^2
section "zz"
table pieces   # as cast
  area = side * width * one   # of the face
  so_far = running(area)
  gap = before(side, first: 0 m)
  hidden_zz = area * 7 USD/m^2 * (1 + margin_zz)
  asked = area * rate
  kind | side [m]
  "a" | 1
  "b" | 2
  "a" |
  "c" | 4
end
total = sum(pieces.side)
handout shop "Pieces"
  width with note, one, live pieces.area with note, live pieces.so_far, live pieces.gap, pieces.side with note, pieces.asked, live total
end
`

// cellsOf gives the cells of a worksheet by their places: formulas with =, else numbers and texts.
func cellsOf(s *read.Sheet) map[string]string {
	out := map[string]string{}
	for _, r := range s.Rows {
		for i := range r.Cells {
			c := &r.Cells[i]
			switch {
			case c.Formula != "":
				out[read.Ref(c.Col, c.Row)] = "=" + c.Formula
			case c.Kind == read.Number:
				out[read.Ref(c.Col, c.Row)] = strconv.FormatFloat(c.Number, 'g', 12, 64)
			case c.Kind == read.Text:
				out[read.Ref(c.Col, c.Row)] = c.Text
			}
		}
	}
	return out
}

// A live column goes in as a formula in each row that has a value, over the cells of the list alone; the notes that go in
// stand above the headings (ruling 38).
func TestRuling38LiveColumns(t *testing.T) {
	j := job(newChecker(t), liveSheet)
	require.Empty(t, j.Sheets[0].Messages())
	got := cellsOf(opened(t, handoutBytes(t, j, "shop")).Sheets[0])
	for ref, want := range map[string]string{
		"E4": "the width",
		"A8": "Pieces", "A9": "as cast", "A10": "Area: of the face",
		"A11": "Area (m^2)", "B11": "So far (m^2)", "C11": "Gap (mm)", "D11": "Side (m)", "E11": "Asked (USD)",
		"A12": "=IF(ISBLANK(D12),NA(),D12)*B4*B5", "A13": "=IF(ISBLANK(D13),NA(),D13)*B4*B5", "A14": "", "A15": "=IF(ISBLANK(D15),NA(),D15)*B4*B5",
		"B12": "=SUM(A$12:A12)", "B13": "=SUM(A$12:A13)", "B14": "", "B15": "",
		"C12": "=0", "C13": "=IF(ISBLANK(D12),NA(),D12)*1000", "C14": "=IF(ISBLANK(D13),NA(),D13)*1000", "C15": "",
		"D12": "1", "D14": "", "D15": "4", "E12": "10",
		"B6": "", // the total waits for a side
	} {
		assert.Equal(t, want, got[ref], ref)
	}
}

// A column that cannot go in live is refused with the reason, and never given as values in silence.
func TestRuling38RefusesLiveColumns(t *testing.T) {
	c := newChecker(t)
	for _, k := range []struct{ list, says string }{
		{"live pieces.area, pieces.side, width", "The formula of pieces.area rests on one, which is not listed."},
		{"live pieces.area, pieces.side where pieces.kind == \"a\", width, one", "The formula of pieces.area rests on pieces.side, which is not listed."},
		{"live pieces.area where pieces.kind == \"a\", pieces.side, width, one", "Of pieces.area where pieces.kind == \"a\" only some rows are listed, and its formula would need them all."},
		{"live pieces.side", "pieces.side is typed row by row: it has no formula."},
		{"live pieces.hidden_zz, margin_zz, pieces.area", "The formula of pieces.hidden_zz holds a value of its own: 7 USD/m^2."},
		{"live pieces, width, one", "The formula of pieces.hidden_zz rests on margin_zz, which is not listed."},
	} {
		j := job(c, liveSheet+"handout h \"x\"\n  "+k.list+"\nend\n")
		h, err := j.FindHandout("h")
		require.NoError(t, err)
		_, err = j.Give(h)
		require.Error(t, err, k.list)
		assert.Contains(t, err.Error(), k.says)
	}
}

// What stands outside the list of a handout with live columns changes no byte of it, and occurs in no part of it.
func TestNonInterferenceOfLiveColumns(t *testing.T) {
	c := newChecker(t)
	base := handoutBytes(t, job(c, liveSheet), "shop")
	replace := [][2]string{
		{"margin_zz = 40%", "margin_zz = 55%"}, {"zz note", "another"}, {"title \"zz bench\"", "title \"other\""}, {"section \"zz\"", "section \"b\""},
		{"7 USD/m^2", "8 USD/m^2"}, {"margin_zz", "profit"}, {"hidden_zz", "mine"}, {"\"b\"", "\"zz\""}, {"end\ntotal", "end\nmore = sum(pieces.hidden_zz)\ntotal"},
	}
	rapid.Check(t, func(rt *rapid.T) {
		text := liveSheet
		for _, r := range replace {
			if rapid.Bool().Draw(rt, r[0]) {
				text = strings.ReplaceAll(text, r[0], r[1])
			}
		}
		if !bytes.Equal(base, handoutBytes(t, job(c, text), "shop")) {
			rt.Fatalf("the handout of this sheet differs:\n%s", text)
		}
	})
	for name, part := range partsOf(t, base) {
		assert.NotContains(t, part, "zz", name)
	}
}

// A handout with live columns comes back: what was filled in is taken, and formulas that recompute are no change.
func TestBackOfLiveColumns(t *testing.T) {
	j := job(newChecker(t), liveSheet)
	w := opened(t, handoutBytes(t, j, "shop"))
	put(t, w, "Shop", "D14", num(3))
	w.Sheets[0].At(2, 13).Number = 7
	changes, left := cameBack(t, j, w)
	assert.Equal(t, []string{"pieces.side row 3: open → 3 m"}, changes)
	assert.Empty(t, left)
	put(t, w, "Shop", "A12", num(9))
	_, left = cameBack(t, j, w)
	assert.Equal(t, []string{"A12: it is not what the handout says now, and is not taken"}, left)
}
