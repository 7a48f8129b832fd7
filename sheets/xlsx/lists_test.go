package xlsx_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/sheets/xlsx"
	"castwright/sheets/xlsx/read"
)

const listSheet = `width = 600 mm
ask price [USD]
xs = (1 m, 2 m, width)
ys = xs * 2
share = xs / sum(xs)  [%]
far = if xs > 1 m then xs else width
words = "{xs [mm]} long"
costs = (price, price * 2)
days = (2027-03-01, 2027-03-05)
long = xs where xs > 0.8 m
none = xs where xs > 9 m
gone = sum(long)
empty_sum = sum(none)
ordered = sort(xs)
total = sum(ys)
bad = xs / 0
points = ((0 m, 0 m), (1 m, 0 m))
table pieces
  mass = side * 1 kg/m
  | side [m]
  | 1
  |
  | 3
end
sides = pieces.side * 2
rows = pieces
`

// A list goes out as a range on a worksheet of lists, live where its length stands; what is not live is listed with the reason,
// and each cell that has a value is one or the other.
func TestListsGoOutLive(t *testing.T) {
	j := job(newChecker(t), listSheet)
	data, account := exported(t, j)
	w := opened(t, data)
	require.Equal(t, []string{"bench", "bench lists", "bench pieces"}, names(w))
	line, lists := cellsOf(w.Sheets[0]), cellsOf(w.Sheets[1])
	for ref, want := range map[string]string{
		"A3": "xs (m)", "A4": "=1", "A5": "=2", "A6": "='bench'!$B$4/1000", "A7": "",
		"B3": "ys (mm)", "B4": "=A4*2000", "B6": "=A6*2000",
		"C3": "share", "C5": "=A5/SUM($A$4:$A$6)",
		"D5": "=IF(A5-1>1E-12,A5,'bench'!$B$4/1000)*1000",
		"F3": "costs (USD)", "F4": "=IF(ISBLANK('bench'!$B$5),NA(),'bench'!$B$5)", "F5": "=IF(ISBLANK('bench'!$B$5),NA(),'bench'!$B$5*2)", "F6": "",
		"G4": "=46447",
		"H3": "long (mm)", "H4": "1000", "H5": "2000", "I3": "none (mm)", "I4": "",
		"M3": "rows.side (m)", "M4": "=IF(ISBLANK('bench pieces'!A4),NA(),'bench pieces'!A4)", "N6": "='bench pieces'!B6",
	} {
		assert.Equal(t, want, lists[ref], ref)
	}
	for ref, want := range map[string]string{
		"B6": "", "D6": "3 values on the worksheet bench lists", "E7": "xs * 2",
		"D11": "2 values on the worksheet bench lists; open: waits for price",
		"D13": "2 values on the worksheet bench lists; fixed: does not change here",
		"B15": "=SUM('bench lists'!$H$4:$H$5)", "B18": "=SUM('bench lists'!$B$4:$B$6)",
		"B20": "((0 m, 0 m), (1 m, 0 m))",
	} {
		assert.Equal(t, want, line[ref], ref)
	}
	var fixed []string
	for _, f := range account.Fixed {
		fixed = append(fixed, f.Path+": "+f.Why)
	}
	assert.Equal(t, []string{"bad: it is a mistake", "bad: it is a mistake", "bad: it is a mistake", "empty_sum: it rests on a list without values",
		"long: it is a list whose length may change", "long: it is a list whose length may change",
		"ordered: it calls a function that a workbook does not have: sort", "ordered: it calls a function that a workbook does not have: sort", "ordered: it calls a function that a workbook does not have: sort",
		"points: it is no number, date, truth or text"}, fixed)
	// xs, ys, share, far, words, bad and sides have 3 values, costs, days and long 2, rows 6, the table 3; gone, empty_sum and
	// total are single. Those of ordered are worked out in Go.
	assert.Equal(t, 7*3+3*2+6+3+3, account.Counted)
	assert.Equal(t, account.Counted-6, account.Live)
}

func names(w *read.Workbook) []string {
	var out []string
	for _, s := range w.Sheets {
		out = append(out, s.Name)
	}
	return out
}

// A job whose cells are lists alone is counted too.
func TestListsAreCounted(t *testing.T) {
	_, account := exported(t, job(newChecker(t), "xs = (1 m, 2 m, 3 m)\nys = xs * 2\n"))
	assert.Equal(t, &xlsx.Account{Live: 6, Counted: 6}, account)
}

// A list comes back as it went out; a value that was written over one that is worked out is told.
func TestListsComeBack(t *testing.T) {
	j := job(newChecker(t), listSheet)
	for _, parts := range []bool{true, false} {
		w := bookOf(t, j)
		if !parts {
			w.Parts = nil
		}
		changes, left := cameBack(t, j, w)
		assert.Empty(t, changes)
		assert.Empty(t, left)
		put(t, w, "bench lists", "B5", num(7))
		put(t, w, "bench lists", "B9", words("beside the lists"))
		put(t, w, "bench", "B5", num(12))
		changes, left = cameBack(t, j, w)
		assert.Equal(t, []string{"price: open → 12 USD"}, changes)
		assert.Equal(t, []string{"ys row 2 (bench lists!B5): it is worked out, and a value was written over it"}, left)
	}
}

// In a handout a live list goes over the lists that are listed with it, wherever they stand.
func TestHandoutOfLiveLists(t *testing.T) {
	const list = "handout h \"Lists\"\n  one, width, live xs, live total, live ys\nend\n"
	sheet := "one = 1\nwidth = 2 m\nxs = (width, one * width)\nys = xs * one\ntotal = sum(xs)\n"
	j := job(newChecker(t), sheet+list)
	got := cellsOf(opened(t, handoutBytes(t, j, "h")).Sheets[0])
	for ref, want := range map[string]string{
		"B4": "1", "B5": "2", "A6": "Total", "B6": "=SUM($A$10:$A$11)",
		"A9": "Xs (mm)", "A10": "=B5*1000", "A11": "=B4*B5*1000",
		"A14": "Ys (mm)", "A15": "=A10*B4", "A16": "=A11*B4",
	} {
		assert.Equal(t, want, got[ref], ref)
	}
}
