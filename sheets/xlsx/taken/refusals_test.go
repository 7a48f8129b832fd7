package taken_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/sheets/xlsx/read"
)

// Formulas that keep their value, with the reason that is told.
func TestRefusals(t *testing.T) {
	cases := []struct{ formula, why string }{
		{"NOW()", "the language has no clock"},
		{"RAND()", "the language knows no chance"},
		{"INDIRECT(\"B1\")", "it works out which cell it looks at"},
		{"XIRR(B1:B2,B1:B2)", "there is no counterpart of XIRR"},
		{"B1+", "it ends where a value should stand"},
		{"[2]Other!A1", "it looks into another workbook"},
		{"Missing!A1", "there is no worksheet Missing"},
		{"no_such_name*2", "there is no defined name no_such_name"},
		{"B1+B4", "it calculates with a text"},
		{"IF(B1>0,B1,\"none\")", "it mixes texts with numbers"},
		{"IF(B1>0,B1)", "it gives FALSE instead of a value where its condition does not hold"},
		{"B1:B2*2", "it uses a range where one value should stand"},
		{"COUNTIF(A1:A4,\"*mm*\")", "its condition has wildcards"},
		{"TEXT(B1,\"#,##0\")", "it writes a number in a way that a text of the language does not have"},
		{"B4<\"z\"", "it asks which of two texts, or of yes and no, comes first"},
		{"ROUND(B1)+#N/A", "it holds the error value #N/A"},
		{"itself", "it nests deeper than 2000 levels"},
		{"doubled_20", "its text would be longer than 20000 signs"},
		{"MAX({1,2,3})", "it holds a list in braces"},
		{strings.Repeat("ROUNDUP(B1-700-", 30) + "1" + strings.Repeat(",1)", 30), "its text would be longer than 20000 signs"},
	}
	rows := inputs()
	for _, c := range cases {
		rows = append(rows, row("R", f{c.formula, 1, ""}))
	}
	names := []read.Name{{Name: "itself", Refers: "itself+1"}, {Name: "doubled_0", Refers: "Bench!$B$1"}}
	for i := range 20 {
		names = append(names, read.Name{Name: fmt.Sprintf("doubled_%d", i+1), Refers: fmt.Sprintf("doubled_%d+doubled_%d", i, i)})
	}
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{worksheet("Bench", rows...)}, Names: names})
	for i, c := range cases {
		if assert.Less(t, i, len(r.Left)) {
			assert.Equal(t, c.formula, r.Left[i].Formula)
			assert.Equal(t, c.why, r.Left[i].Why, c.formula)
			assert.Equal(t, "1", r.Left[i].Was)
		}
	}
	assert.Empty(t, r.Differences)
}
