package taken_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/sheets/xlsx/read"
)

// Each formula with its value by ISO/IEC 29500-1, 18.17, worked out by hand or from the definition there, and the text
// that stands for it. The cells: B1 height 620 mm, B2 width 430 mm, B3 pieces 7, B4 name "seat", B5 day 2027-03-01 (serial
// 46447), B6 angle 30 deg, B7 share 8%, B8 mass 12.5 kg, B9 ready yes, B10 temp 5 degC.
var formulas = []struct {
	formula, text string
	value         any
	format        string
}{
	{"B3+1", "pieces + 1", 8, ""},
	{"-2^2", "(-2)^2", 4, ""},
	{"2^3^2", "(2^3)^2", 64, ""},
	{"2^-1", "2^(-1)", 0.5, ""},
	{"-B3^2", "(-pieces)^2", 49, ""},
	{"10-2-3", "10 - 2 - 3", 5, ""},
	{"10-(2-3)", "10 - (2 - 3)", 11, ""},
	{"12/2/3", "12 / 2 / 3", 2, ""},
	{"12/(2/3)", "12 / (2 / 3)", 18, ""},
	{"B3*10%", "pieces * 0.1", 0.7, ""},
	{"50%%", "0.005", 0.005, ""},
	{"B1*2", "height * 2  [mm]", 1240, ""},
	{"B1+10", "height + 10 mm  [mm]", 630, ""},
	{"B1+B3", "height + pieces * 1 mm  [mm]", 627, ""},
	{"B1*B2", "height * width  [mm^2]", 266600, ""},
	{"B1/1000", "height / 1000 / 1 mm", 0.62, ""},
	{"B1/B2", "height / width", 620.0 / 430, ""},
	{"B1+B8", "height / 1 mm + mass / 1 kg", 632.5, ""},
	{"SQRT(B1*B2)", "sqrt(height * width)  [mm]", math.Sqrt(266600), ""},
	{"B1>500", "height > 500 mm", true, ""},
	{"B1>=B2*2", "height >= width * 2", false, ""},
	{"B3<>7", "pieces != 7", false, ""},
	{`B4="seat"`, `name == "seat"`, true, ""},
	{`IF(B3>5,B1,B2)`, "if pieces > 5 then height else width  [mm]", 620, ""},
	{`IF(B3>5,"many","few")`, `if pieces > 5 then "many" else "few"`, "many", ""},
	{`IF(AND(B3>5,NOT(B9)),1,IF(OR(B3=7,B9),2,3))`, "if pieces > 5 and not ready then 1 else if pieces == 7 or ready then 2 else 3", 2, ""},
	{`IFS(B3>9,1,B3>5,2,TRUE,3)`, "if pieces > 9 then 1 else if pieces > 5 then 2 else 3", 2, ""},
	{"SUM(B1:B2)", "sum(height, width)  [mm]", 1050, ""},
	{"SUM(B1:B2,50)", "sum(height, width, 50 mm)  [mm]", 1100, ""},
	{"SUM(B3:B4)", "pieces", 7, ""},
	{"MAX(0,B1-B2)", "largest(0 mm, height - width)  [mm]", 190, ""},
	{"MIN(B1:B2)", "smallest(height, width)  [mm]", 430, ""},
	{"AVERAGE(B1,B2)", "mean(height, width)  [mm]", 525, ""},
	{"COUNT(B1:B10)", "8", 8, ""},
	{"ROUND(B8,0)", "nearest(mass, 1 kg)  [kg]", 13, ""},
	{"ROUND(-2.5,0)", "nearest(-2.5)", -3, ""},
	{"ROUND(B1/B2,2)", "nearest(height / width, 0.01)", 1.44, ""},
	{"ROUND(B1,-2)", "nearest(height, 100 mm)  [mm]", 600, ""},
	{"ROUNDUP(B8,0)", "round_up(mass, 1 kg)  [kg]", 13, ""},
	{"ROUNDUP(B3-9.5,0)", "sign(pieces - 9.5) * round_up(abs(pieces - 9.5))", -3, ""},
	{"ROUNDDOWN(B3-9.5,0)", "sign(pieces - 9.5) * round_down(abs(pieces - 9.5))", -2, ""},
	{"CEILING(B1,50)", "round_up(height, 50 mm)  [mm]", 650, ""},
	{"FLOOR(B1,50)", "round_down(height, 50 mm)  [mm]", 600, ""},
	{"INT(-2.5)", "round_down(-2.5)", -3, ""},
	{"MOD(B1,150)", "mod(height, 150 mm)  [mm]", 20, ""},
	{"MOD(-7,3)", "mod(-7, 3)", 2, ""},
	{"ABS(B2-B1)", "abs(width - height)  [mm]", 190, ""},
	{"SIGN(B2-B1)", "sign((width - height) / 1 mm)", -1, ""},
	{"EXP(1)", "exp(1)", math.E, ""},
	{"LN(B3)", "ln(pieces)", math.Log(7), ""},
	{"LOG10(1000)", "log10(1000)", 3, ""},
	{"LOG(8,2)", "ln(8) / ln(2)", 3, ""},
	{"LOG(100)", "log10(100)", 2, ""},
	{"POWER(B1,2)", "height^2  [mm^2]", 384400, ""},
	{"PI()*B1", "pi * height  [mm]", math.Pi * 620, ""},
	{"SIN(RADIANS(B6))", "sin(angle)", 0.5, ""},
	{"SIN(RADIANS(30))", "sin(30 deg)", 0.5, ""},
	{"COS(0)", "cos(0 * 1 rad)", 1, ""},
	{"TAN(RADIANS(B3))", "tan(pieces * 1 deg)", math.Tan(7 * math.Pi / 180), ""},
	{"DEGREES(ATAN(1))", "atan(1) / 1 deg", 45, ""},
	{"ATAN2(B1,B2)", "atan2(width, height)", math.Atan2(430, 620), ""},
	{"ASIN(0.5)", "asin(0.5)", math.Pi / 6, ""},
	{"ACOS(0.5)", "acos(0.5)", math.Pi / 3, ""},
	{"IFERROR(B3/0,5)", "otherwise(pieces / 0, 5)", 5, ""},
	{"IF(ISERROR(B3/0),5,B3/0)", "otherwise(pieces / 0, 5)", 5, ""},
	{"ROWS(B1:B2)", "count((height, width))", 2, ""},
	{`EXACT(B4,"Seat")`, `name == "Seat"`, false, ""},
	{"IF(ISBLANK(B3),NA(),B3*2)", "pieces * 2", 14, ""},
	{`IF(B3<>"",B3*2,"")`, "pieces * 2", 14, ""},
	{`"n "&B3&" of "&B4`, `"n {pieces} of {name}"`, "n 7 of seat", ""},
	{`CONCATENATE(B4," ",B1)`, `"{name} {height / 1 mm}"`, "seat 620", ""},
	{`TEXT(B8,"0.00")&" kg"`, `"{mass / 1 kg [0.01]} kg"`, "12.50 kg", ""},
	{`TEXT(B5,"yyyy-mm-dd")`, `"{day [date]}"`, "2027-03-01", ""},
	{"B5+28", "day + 28 d", n{46475, "yyyy-mm-dd"}, "yyyy-mm-dd"},
	{"B5-DATE(2027,2,1)", "day - 2027-02-01  [d]", 28, ""},
	{"DATE(2027,1,B3)", "month_later(2000-01-01, (2027 - 2000) * 12 + 1 - 1) + (pieces - 1) * 1 d", n{46394, "yyyy-mm-dd"}, "yyyy-mm-dd"},
	{"EDATE(B5,1)", "month_later(day, 1)", n{46478, "yyyy-mm-dd"}, "yyyy-mm-dd"},
	{"EOMONTH(B5,0)", "month_later(day - (day_of(day) - 1) * 1 d, 0 + 1) - 1 d", n{46477, "yyyy-mm-dd"}, "yyyy-mm-dd"},
	{"YEAR(B5)", "year_of(day)", 2027, ""},
	{"MONTH(B5)+DAY(B5)", "month_of(day) + day_of(day)", 4, ""},
	{"WEEKDAY(B5,2)", "weekday_of(day)", 1, ""},
	{"B5>DATE(2027,1,1)", "day > 2027-01-01", true, ""},
	{"B1*(1+B7)", "height * (1 + share)  [mm]", 669.6, ""},
	{"B10+3", "temp + 3 K  [degC]", 8, ""},
	{"B10*2", "(temp - 0 degC) / 1 K * 2", 10, ""},
	{"(B3>5)*B1", "(if pieces > 5 then 1 else 0) * height  [mm]", 620, ""},
	{"--(B3>5)", "-(-(if pieces > 5 then 1 else 0))", 1, ""},
	{"SUMPRODUCT(B1:B2,B1:B2)", "sum((height, width) * (height, width))  [mm^2]", 569300, ""},
	{`COUNTIF(B1:B2,">500")`, "count((height, width) where (height, width) > 500 mm)", 1, ""},
	{"'Bench'!B3*2", "pieces * 2", 14, ""},
	{"HEIGHT*2", "height * 2  [mm]", 1240, ""},
}

func inputs() [][]any {
	return [][]any{
		row("Height (mm)", 620), row("Width (mm)", 430), row("Pieces", 7), row("Name", "seat"), row("Day", n{46447, "d.m.yyyy"}),
		row("Angle (deg)", 30), row("Share", n{0.08, "0%"}), row("Mass (kg)", 12.5), row("Ready", true), row("Temp (°C)", 5),
	}
}

func TestFormulas(t *testing.T) {
	rows := inputs()
	for _, x := range formulas {
		rows = append(rows, row("R", f{x.formula, x.value, x.format}))
	}
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{worksheet("Bench", rows...)},
		Names: []read.Name{{Name: "height", Refers: "Bench!$B$1"}}})
	assert.Empty(t, r.Left)
	assert.Empty(t, r.Differences)
	assert.Equal(t, len(formulas), r.Translated)
	var lines []string
	for _, l := range strings.Split(text(r), "\n") {
		if strings.HasPrefix(l, "r ") || strings.HasPrefix(l, "r_") {
			_, said, _ := strings.Cut(l, " = ")
			said, bracket, _ := strings.Cut(said, "  ")
			if bracket = strings.TrimSpace(bracket); bracket != "" {
				said += "  " + bracket
			}
			lines = append(lines, strings.TrimRight(said, " "))
		}
	}
	for i, x := range formulas {
		if i < len(lines) {
			assert.Equal(t, x.text, lines[i], x.formula)
		}
	}
}
