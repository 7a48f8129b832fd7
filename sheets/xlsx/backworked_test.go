package xlsx_test

import (
	"encoding/base64"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/sheets"
	"castwright/sheets/xlsx"
	"castwright/sheets/xlsx/read"
)

// A handout that was made from another job is told where its title or list is another, and its like is not: what the job
// has changed outside of them since is no matter.
func TestBackOfAnotherJob(t *testing.T) {
	c := newChecker(t)
	notice := func(made, now string) string {
		return brought(t, job(c, now), opened(t, handoutBytes(t, job(c, made), "supplier"))).Notice
	}
	for _, k := range []struct{ was, is, title string }{
		{`supplier "Order"`, `supplier "Order for {client}"` + "\n  client,", "Order"},
		{"price, lead_time, pours.day", "price, pours.day", "Order"},
		{"pours.day, pours.waste", "pours.waste, pours.day", "Order"},
	} {
		other := strings.Replace(backSheet, k.was, k.is, 1)
		require.NotEqual(t, backSheet, other)
		said := notice(backSheet, other)
		assert.Contains(t, said, `This workbook was made from a handout with the title "`+k.title+`"`, k.is)
		assert.Contains(t, said, "not that of supplier in this job", k.is)
	}
	assert.Empty(t, notice(backSheet, backSheet))
	assert.Empty(t, notice(backSheet, strings.NewReplacer("620 mm", "61 cm", "a garden", "a yard", "[d]\n", "[d] given 3 d\n").Replace(backSheet)))
}

// The values of a full export are compared with what its own sheets come to, with the inputs that its reader changed: what
// another program worked out otherwise, or somebody altered, is listed.
func TestWorkedValuesAreCompared(t *testing.T) {
	j := job(newChecker(t), backSheet)
	area, volume := "area (bench!B15)", "pours.volume row 1 (bench pours!E4)"
	for _, k := range []struct {
		name    string
		cells   map[string]float64
		changes int
		left    []string
	}{
		{name: "as it was written"},
		{name: "one value is another", cells: map[string]float64{"bench B15": 0.27}, left: []string{area + ": the number 0.27 stands there, and its sheet comes to 0.2666 m^2"}},
		{name: "and one in a row", cells: map[string]float64{"pours E4": 85}, left: []string{volume + ": the number 85 stands there, and its sheet comes to 84 L"}},
		{name: "the last digit is another", cells: map[string]float64{"bench B15": 0.2666 * (1 + 1e-12)}},
		{name: "an input was changed, and all worked out anew", cells: map[string]float64{"bench B4": 1000, "bench B15": 0.43}, changes: 1},
		{name: "an input was changed, and nothing worked out", cells: map[string]float64{"bench B4": 1000}, changes: 1},
		{name: "an input was changed, and worked out otherwise", cells: map[string]float64{"bench B4": 1000, "bench B15": 0.44}, changes: 1,
			left: []string{area + ": the number 0.44 stands there, and its sheet comes to 0.43 m^2"}},
		{name: "a row was changed, and worked out otherwise", cells: map[string]float64{"pours B4": 5, "pours E4": 106}, changes: 1,
			left: []string{volume + ": the number 106 stands there, and its sheet comes to 105 L"}},
	} {
		w := bookOf(t, j)
		for at, x := range k.cells {
			sheet, ref, _ := strings.Cut(at, " ")
			sheet = map[string]string{"bench": "bench", "pours": "bench pours"}[sheet]
			col, row, _ := read.ParseRef(ref)
			w.Sheets[slices.IndexFunc(w.Sheets, func(s *read.Sheet) bool { return s.Name == sheet })].At(col, row).Number = x
		}
		changes, left := cameBack(t, j, w)
		assert.Len(t, changes, k.changes, k.name)
		assert.Equal(t, k.left, left, k.name)
	}
	w := bookOf(t, j)
	part := string(w.Parts["customXml/item1.xml"])
	altered := base64.StdEncoding.EncodeToString([]byte(strings.Replace(backSheet, "clearance * seat_depth", "clearance * seat_depth * 2", 1)))
	w.Parts["customXml/item1.xml"] = []byte(strings.Replace(part, base64.StdEncoding.EncodeToString([]byte(backSheet)), altered, 1))
	ours, err := xlsx.Recognise(w)
	require.NoError(t, err)
	back, err := ours.Back(sheets.Memory(newChecker(t), ours.Texts...)) // as an import makes a new job
	require.NoError(t, err)
	assert.Equal(t, []xlsx.Left{{Place: area, Why: "the number 0.2666 stands there, and its sheet comes to 0.5332 m^2"}}, back.Left)
}
