package read

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

// Worked out by hand: the formula as it stands in one cell, and in the cell that is so many columns and rows further on.
func TestShifted(t *testing.T) {
	for _, c := range []struct {
		formula    string
		cols, rows int
		want       string
	}{
		{"A1*2", 0, 1, "A2*2"},
		{"A1+$A1+A$1+$A$1", 2, 3, "C4+$A4+C$1+$A$1"},
		{"SUM(A1:B$2)", 1, 1, "SUM(B2:C$2)"},
		{"Z9&AZ9&ZZ9", 1, 0, "AA9&BA9&AAA9"},
		{"A:A+$B:C+1:1+$2:3", 1, 1, "B:B+$B:D+2:2+$2:4"},
		{"Bench!A1+'Leg & seat'!$B2", 1, 1, "Bench!B2+'Leg & seat'!$B3"},
		{"'It''s A1'!A1", 1, 1, "'It''s A1'!B2"},
		{"JAN1:MAR1!A1", 1, 1, "JAN1:MAR1!B2"},
		{"Bench!A1:Bench!B2", 1, 1, "Bench!B2:Bench!C3"},
		{"'JAN1:MAR1'!A1:B2", 0, 1, "'JAN1:MAR1'!A2:B3"},
		{"ABC1!A1", 1, 1, "ABC1!B2"},
		{"[1]Bench!A1+[2]!seat", 1, 1, "[1]Bench!B2+[2]!seat"},
		{`"A1"&A1&"say ""A1"" B2"`, 1, 1, `"A1"&B2&"say ""A1"" B2"`},
		{"pours[A1]+pours[[#This Row],[B2]]+pours['[A1]", 1, 1, "pours[A1]+pours[[#This Row],[B2]]+pours['[A1]"},
		{"LOG10(A1)+ATAN2(B1,C1)+_xlfn.X1(A1)", 0, 1, "LOG10(A2)+ATAN2(B2,C2)+_xlfn.X1(A2)"},
		{"1E5+1.5E+3+2e-1+.5E3", 1, 1, "1E5+1.5E+3+2e-1+.5E3"},
		{"A1B+A1_+A1.B2+_A1+maß1+Ä1+R1C1+ABCD1+XFE1+A1048577", 1, 1, "A1B+A1_+A1.B2+_A1+maß1+Ä1+R1C1+ABCD1+XFE1+A1048577"},
		{"#REF!+#N/A+#DIV/0!+Bench!#REF!+A1#", 0, 1, "#REF!+#N/A+#DIV/0!+Bench!#REF!+A2#"},
		{"{1,2;3,4}*A1%^B1", 0, 1, "{1,2;3,4}*A2%^B2"},
		{"A1:INDEX(A1:A9,2)", 0, 1, "A2:INDEX(A2:A10,2)"},
		{"A1:A2 B1 ( C1 )", 0, 1, "A2:A3 B2 ( C2 )"},
		{"a1+$b$2", 1, 1, "B2+$b$2"},
		{"A1\n+\tB1", 0, 1, "A2\n+\tB2"},
		// What would leave the sheet means no cell.
		{"A5+1", 0, -5, "#REF!+1"},
		{"SUM(A1:C3)", -1, 0, "SUM(#REF!)"},
		{"Bench!XFD1+$A1048576", 1, 0, "Bench!#REF!+$A1048576"},
		{"$A$1:A1048576", 0, 1, "#REF!"},
		// Broken ones stay whole.
		{`"A1`, 1, 1, `"A1`}, {"'A1", 1, 1, "'A1"}, {"[A1", 1, 1, "[A1"}, {"", 1, 1, ""}, {"$", 1, 1, "$"}, {"A1:", 1, 1, "B2:"}, {"(", 1, 1, "("},
	} {
		want := strings.ReplaceAll(c.want, "$b$2", "$B$2")
		assert.Equal(t, want, shifted(cutFormula(c.formula), c.cols, c.rows), c.formula)
	}
}

// A formula that does not move stays as it is, and one that moves there and back too.
func TestShiftedAndBack(t *testing.T) {
	bits := []string{"A1", "$B$2", "C$3:$D4", "E:F", "7:9", "+", "*", "(", ")", ",", `"A1"`, "'A 1'!", "Bench!", "[1]", "LOG10(", "1E5", "name", "maß1", " ", "pours[A1]", "{1;2}", "#REF!", "%", ":"}
	rapid.Check(t, func(t *rapid.T) {
		// A mark stands between them: two that run together may read as another after the shift, as $B$2E228 does.
		f := strings.Join(rapid.SliceOf(rapid.SampledFrom(bits)).Draw(t, "bits"), rapid.SampledFrom([]string{"+", " ", ",", ")"}).Draw(t, "mark"))
		assert.Equal(t, f, shifted(cutFormula(f), 0, 0))
		cols, rows := rapid.IntRange(0, 900).Draw(t, "cols"), rapid.IntRange(0, 9000).Draw(t, "rows")
		there := shifted(cutFormula(f), cols, rows)
		assert.Equal(t, f, shifted(cutFormula(there), -cols, -rows), there)
	})
}

// sharing are formulas of many forms.
var sharing = []string{"C3*2", "C3+$C3+C$3+$C$3", "SUM(C3:D4)/SUM($C$3:$D$4)", "Bench!C3&\"C3\"", "'Leg seat'!C3:D3", "LOG10(C3)+1E5", "IF(C3>0,\"say \"\"C3\"\"\",D$3)", "SUM(C:C)+SUM($3:$3)"}

// sharedRows has each formula in a column of its own, shared by five rows from row 3 on.
func sharedRows() string {
	var b strings.Builder
	for row := 3; row < 8; row++ {
		b.WriteString("<row>")
		for i, f := range sharing {
			id := string(rune('0' + i))
			at := Ref(5+i, row)
			b.WriteString(`<c r="` + at + `"><f t="shared" si="` + id + `"`)
			if row == 3 {
				b.WriteString(` ref="` + at + ":" + Ref(5+i, 7) + `">` + strings.NewReplacer("&", "&amp;", ">", "&gt;").Replace(f) + "</f>")
			} else {
				b.WriteString("/>")
			}
			b.WriteString("<v>1</v></c>")
		}
		b.WriteString("</row>")
	}
	return strings.Replace(b.String(), "<row>", `<row r="3">`, 1)
}

// In a workbook, shared formulas are written out for each cell, as two libraries do it.
func TestSharedElsewhere(t *testing.T) {
	data := zipped(t, small(sharedRows()))
	w, err := readBytes(data, Limits{})
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: 1 << 24, UnzipXMLSizeLimit: 1 << 24})
	require.NoError(t, err)
	defer f.Close()
	for _, r := range w.Sheets[0].Rows {
		for _, c := range r.Cells {
			want, err := f.GetCellFormula("Bench", Ref(c.Col, c.Row))
			require.NoError(t, err)
			if strings.ContainsAny(sharing[c.Col-5], `!"`) {
				continue // that library moves what stands in a text, and leaves what stands on another sheet
			}
			assert.Equal(t, want, c.Formula)
		}
	}
	if err := exec.Command("/usr/bin/python3", "-c", "import openpyxl").Run(); err != nil {
		t.Skip("openpyxl (Debian python3-openpyxl) is not there: not compared with it")
	}
	said, err := exec.Command("/usr/bin/python3", "-c", `
import json, sys
from openpyxl.formula.translate import Translator
formulas = json.loads(sys.argv[1])
print(json.dumps([[Translator("=" + f, "E3").translate_formula(row_delta=d, col_delta=0)[1:] for f in formulas] for d in range(5)]))`, asJSON(t, sharing)).Output()
	require.NoError(t, err)
	var want [][]string
	require.NoError(t, json.Unmarshal(said, &want))
	for d, row := range want {
		for i, formula := range row {
			assert.Equal(t, formula, w.Sheets[0].At(5+i, 3+d).Formula)
		}
	}
}

func asJSON(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	require.NoError(t, err)
	return string(text)
}

// The cell for which the formula is written may stand behind the others, and a number may be used again.
func TestSharedOrder(t *testing.T) {
	w := mustRead(t, small(`<row r="1"><c r="A1"><f t="shared" si="0"/></c><c r="B1"><f t="shared" si="0" ref="A1:B1">C1*2</f></c></row>`+
		`<row r="2"><c r="A2"><f t="shared" si="0"/></c><c r="B2"><f t="shared" si="0" ref="B2:B3">A1+1</f></c></row><row r="3"><c r="A3"><f t="shared" si="0">D9</f></c><c r="B3"><f t="shared" si="0"/></c></row>`))
	for ref, want := range map[string]string{"A1": "B1*2", "B1": "C1*2", "A2": "B2*2", "B2": "A1+1", "A3": "D9", "B3": "A2+1"} {
		col, row, _ := ParseRef(ref)
		assert.Equal(t, want, w.Sheets[0].At(col, row).Formula, ref)
		assert.False(t, w.Sheets[0].At(col, row).Array)
	}
}
