package xlsx_test

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"castwright/sheets/xlsx/read"
)

const inputs = `w = 600 mm
d = 430 mm
rho = 2350 kg/m^3
t = 20 degC
day = 2027-03-01T07:30
name = "seat"
wet = yes
price = 12 USD
share = 8%
ask late [d]
`

// What stands in the workbook for a formula: factors of units are put in and gathered. The inputs stand in B4 to B13.
// Whether the formulas come to the same values is judged by evaluators that are not ours, in .ci/run.
func TestFormulas(t *testing.T) {
	c := newChecker(t)
	for _, k := range []struct{ line, formula string }{
		{"x = w + d", "B4+B5"},
		{"x = w * d", "B4*B5/1000000"}, // mm and mm, shown in m^2
		{"x = w * d  [mm^2]", "B4*B5"},
		{"x = w * d * 95 mm * rho", "B4*B5*B6*9.5E-8"},
		{"x = w / d", "B4/B5"},
		{"x = -w", "-B4"},
		{"x = 1 m - w", "1000-B4"},
		{"x = (w + d) * 2", "B4*2+B5*2"},
		{"x = (w + d) / (w - d)", "(B4/1000+B5/1000)/(B4/1000-B5/1000)"},
		{"x = w^2", "B4^2/1000000"},
		{"x = sqrt(w * d)", "SQRT(B4*B5/1000000)*1000"},
		{"x = t + 5 K", "B7+5"},
		{"x = day + 3 d", "B8+3"},
		{"x = day + 90 min", "B8+0.0625"},
		{"x = day - 2027-02-01", "B8*24-1114056"}, // in hours
		{"x = price * (1 + share)", "B11*(B12+1)"},
		{"x = if w > d then w else d", "IF(B4/1000-B5/1000>1E-12*MAX(ABS(B5/1000),ABS(B4/1000)),B4/1000,B5/1000)*1000"},
		{"x = w >= 600 mm", `IF(B4/1000-0.6>=-6E-13,"yes","no")`},
		{"x = name == \"seat\"", `IF(EXACT(B9,"seat"),"yes","no")`},
		{"x = wet and not wet", `IF(IF(B10="yes",NOT(B10="yes"),FALSE),"yes","no")`},
		{"x = \"{w}, {name}\"", `IF(B4=0,0,ROUND(B4,MAX(0,3-INT(LOG10(ABS(B4))))))&" mm"&", "&B9`},
		{"x = \"{w [0.1 m]}\"", `TEXT(B4/1000,"0.0")&" m"`},
		{"x = day + late", "IF(ISBLANK(B13),NA(),B8+B13)"},
		// a text in a formula has 255 characters at most, common practice of the programs that read workbooks
		{"x = if wet then \"" + strings.Repeat("a", 300) + "\" else name", `IF(B10="yes",("` + strings.Repeat("a", 127) + `"&"` + strings.Repeat("a", 127) + `"&"` + strings.Repeat("a", 46) + `"),B9)`},
	} {
		j := job(c, inputs+k.line+"\n")
		require.Empty(t, j.Sheets[0].Messages(), k.line)
		data, _ := exported(t, j)
		assert.Equal(t, k.formula, formulaOf(t, opened(t, data), "x"), k.line)
	}
}

// At quarter turns a sine or cosine is exactly 0, and a tangent 0 or none, as here: 10^-16 there would be divided by. Worked
// out by the evaluator of the library that writes workbooks, which is not ours; by others in .ci/run.
func TestQuarterTurns(t *testing.T) {
	data, _ := exported(t, job(newChecker(t), `a = 180 deg
b = 90 deg
sine = sin(a)
cosine = cos(b)
tangent = tan(a)
thrice = cos(b * 3)
many = sin(a * 20)
summed = cos(a / 3 + a / 6)
divided = otherwise(1 / cos(b), 7)
none = otherwise(tan(b), 8)
same = if sin(a) == 0 then 1 else 2
most = if cos(b) > 0 then 3 else 4
small = sin(a / 180000000)
`))
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	for row, want := range []string{"0", "0", "0", "0", "0", "0", "7", "8", "1", "4"} {
		got, err := f.CalcCellValue("bench", read.Ref(2, 6+row), excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		assert.Equal(t, want, strings.TrimPrefix(got, "-"), "row %d", 6+row)
	}
	got, err := f.CalcCellValue("bench", "B16", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	x, err := strconv.ParseFloat(got, 64)
	require.NoError(t, err)
	assert.InEpsilon(t, math.Pi/180e6, x, 1e-12, "a small angle stays: it is its own sine to the third order")
}

// formulaOf gives the formula of a named cell.
func formulaOf(t *testing.T, w *read.Workbook, name string) string {
	t.Helper()
	for _, n := range w.Names {
		if n.Name == name {
			_, ref, _ := strings.Cut(n.Refers, "!")
			col, row, ok := read.ParseRef(strings.ReplaceAll(ref, "$", ""))
			require.True(t, ok, n.Refers)
			return w.Sheets[0].At(col, row).Formula
		}
	}
	t.Fatalf("there is no name %s", name)
	return ""
}
