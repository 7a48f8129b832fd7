package taken_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"castwright/sheets/xlsx/read"
	"castwright/sheets/xlsx/taken"
)

var update = flag.Bool("update", false, "write the golden files anew")

// same compares what a workbook became with a golden file.
func same(t *testing.T, name string, r *taken.Result) {
	t.Helper()
	var b strings.Builder
	for _, x := range r.Texts {
		fmt.Fprintf(&b, "== %s\n%s", x.Name, x.Text)
	}
	fmt.Fprintf(&b, "== %d translated, %d values\n", r.Translated, r.Values)
	for _, x := range r.Left {
		fmt.Fprintf(&b, "left: %s!%s %s =%s: %s (%s)\n", x.Sheet, x.Ref, x.Name, x.Formula, x.Why, x.Was)
	}
	for _, x := range r.Differences {
		fmt.Fprintf(&b, "differs: %s!%s %s =%s: %s, not %s\n", x.Sheet, x.Ref, x.Name, x.Formula, x.Is, x.Was)
	}
	for _, x := range r.Notices {
		fmt.Fprintln(&b, x)
	}
	file := filepath.Join("testdata", name+".golden")
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}

// A materials list: a table filled down, its totals, and a price list that it looks into.
func TestMaterialsList(t *testing.T) {
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{
		worksheet("Materials",
			row("Materials for 10 pieces"),
			row("Mix"),
			row("Material", "Quantity (kg)", "Price", "Cost (EUR)", "Share"),
			row("Cement", 340, f{"VLOOKUP(A4,Prices!$A$2:$B$5,2,FALSE)", 0.16, ""}, f{"B4*C4", 54.4, ""}, f{"D4/D$8", 54.4 / 78.55, "0.0%"}),
			row("Sand", 700, f{"VLOOKUP(A5,Prices!$A$2:$B$5,2,FALSE)", 0.02, ""}, f{"B5*C5", 14.0, ""}, f{"D5/D$8", 14 / 78.55, "0.0%"}),
			row("Gravel", 1050, f{"VLOOKUP(A6,Prices!$A$2:$B$5,2,FALSE)", 0.009, ""}, f{"B6*C6", 9.45, ""}, f{"D6/D$8", 9.45 / 78.55, "0.0%"}),
			row("Water", 175, f{"VLOOKUP(A7,Prices!$A$2:$B$5,2,FALSE)", 0.004, ""}, f{"B7*C7", 0.7, ""}, f{"D7/D$8", 0.7 / 78.55, "0.0%"}),
			row("Total", f{"SUM(B4:B7)", 2265, ""}, nil, f{"SUM(D4:D7)", 78.55, ""}),
			row(),
			row("Dearest", f{"INDEX(A4:A7,MATCH(MAX(D4:D7),D4:D7,0))", "Cement", ""}),
			row("Above 10 EUR", f{`COUNTIF(D4:D7,">10")`, 2, ""}),
			row("By weight", f{"SUMPRODUCT(B4:B7,C4:C7)", 78.55, ""}),
		),
		worksheet("Prices",
			row("Material", "Price (EUR/kg)"),
			row("Cement", 0.16), row("Sand", 0.02), row("Gravel", 0.009), row("Water", 0.004)),
	}})
	same(t, "materials-list", r)
}

// A price sheet with sums by group.
func TestPriceSheet(t *testing.T) {
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{
		worksheet("Offer",
			row("Group", "Item", "Pieces", "Price", "Amount"),
			row("bench", "seat", 10, n{185, "0.00 [$EUR]"}, f{"C2*D2", 1850, "0.00 [$EUR]"}),
			row("bench", "leg", 20, n{42.5, "0.00 [$EUR]"}, f{"C3*D3", 850, "0.00 [$EUR]"}),
			row("delivery", "truck", 2, n{310, "0.00 [$EUR]"}, f{"C4*D4", 620, "0.00 [$EUR]"}),
			row("bench", "fixings", nil, n{3, "0.00 [$EUR]"}, 75),
			row(),
			row("Group", "Sum"),
			row("bench", f{"SUMIF($A$2:$A$5,A8,$E$2:$E$5)", 2775, "0.00 [$EUR]"}),
			row("delivery", f{"SUMIF($A$2:$A$5,A9,$E$2:$E$5)", 620, "0.00 [$EUR]"}),
			row("Discount", n{0.05, "0%"}),
			row("VAT", n{0.19, "0%"}),
			row("Net", f{"(B8+B9)*(1-B10)", 3225.25, "0.00 [$EUR]"}),
			row("Gross", f{"ROUND(B12*(1+B11),2)", 3838.05, "0.00 [$EUR]"}),
			row("Stale", f{"B8*2", 5000, ""}),
			row("Today", f{"TODAY()", 46447, "yyyy-mm-dd"}),
			row("Text", f{`"Gross "&TEXT(B13,"0.00")&" for "&A8`, "Gross 3838.05 for bench", ""}),
		)}})
	same(t, "price-sheet", r)
}

// A pour log with running totals and dates.
func TestPourLog(t *testing.T) {
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{
		worksheet("Pour log",
			row("Date", "Pieces", "Temp", "Volume", "So far", "Total", "Strip"),
			row("", "", "°C", "L"),
			row(n{46447, "d.m.yy"}, 4, 8, f{"B3*25.5", 102, ""}, f{"B3", 4, ""}, f{"SUM(D$3:D3)", 102, ""}, f{"A3+2", 46449, "d.m.yy"}),
			row(n{46448, "d.m.yy"}, 6, 9.5, f{"B4*25.5", 153, ""}, f{"E3+B4", 10, ""}, f{"SUM(D$3:D4)", 255, ""}, f{"A4+2", 46450, "d.m.yy"}),
			row(n{46449, "d.m.yy"}, 5, -1, f{"B5*25.5", 127.5, ""}, f{"E4+B5", 15, ""}, f{"SUM(D$3:D5)", 382.5, ""}, f{"A5+2", 46451, "d.m.yy"}),
			row(),
			row("Mean temperature (°C)", f{"AVERAGE(C3:C5)", 5.5, ""}),
			row("Coldest", f{"MIN(C3:C5)", -1, ""}),
			row("Last", f{"MAX(A3:A5)", 46449, "d.m.yy"}),
			row("Days", f{"MAX(A3:A5)-MIN(A3:A5)", 2, ""}),
			row("Frost", f{`IF(B8<0,"yes","no")`, "yes", ""}),
		)}})
	same(t, "pour-log", r)
}

// A list of single values with labels and units, as a small calculation has it.
func TestListOfValues(t *testing.T) {
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{worksheet("Bench",
		row("Tree bench"),
		row(),
		row("Inputs"),
		row("Height (mm)", 620),
		row("Width", 430, "mm"),
		row("Thickness [mm]", 95),
		row("Density (kg/m3)", 2350),
		row("Waste", n{0.08, "0%"}),
		row("Day of pour", n{46447, "yyyy-mm-dd"}),
		row("Customer", "Parks office"),
		row("Geometry"),
		row("Area (m2)", f{"B4*B5/1000000", 0.2666, ""}),
		row("Volume (m3)", f{"B12*B6/1000", 0.025327, ""}),
		row("Mass (kg)", f{"B13*B7", 59.51845, "0.0"}),
		row("Mass with waste", f{"B14*(1+B8)", 64.279926, ""}),
		row("Bags", f{"ROUNDUP(B15/36.3,0)", 2, ""}),
		row("Ready", f{"B9+28", 46475, "yyyy-mm-dd"}),
		row("Heavy", f{`IF(B14>50,"two people","one")`, "two people", ""}),
	)}})
	assert.Equal(t, 7, r.Translated)
	assert.Equal(t, 7, r.Values)
	same(t, "list-of-values", r)
}

// What a workbook holds besides plain tables: units in a column of their own, blank cells, errors, rings, worksheet tables,
// hidden worksheets.
func TestOddities(t *testing.T) {
	mix := worksheet("Mix design",
		row("Mix design C40", nil, nil, nil),
		row(),
		row("Item", "Value", "Unit", "Remark"),
		row("Cement", 340, "kg/m³", "type I"),
		row("Water", 170, "kg/m³"),
		row("w/c", f{"B5/B4", 0.5, "0.00"}, "", "below 0.55"),
		row("Batch", 0.25, "m³"),
		row("Cement per batch", f{"B4*B7", 85, ""}, "kg"),
		row("Bags", f{"CEILING(B8/25,1)", 4, ""}, "pcs"),
		row("Twice", f{`IF(B9="","",B9*2)`, 8, ""}),
		row("Total water [L]", f{"B5*B7", 42.5, ""}),
		row("Length (ft)", 6),
		row("Length (in)", f{"B12*12", 72, ""}),
		row("Power (kW)", 1.5, nil, "Hours (h)", 8, nil, "Energy (kWh)", f{"B14*E14", 12, ""}),
		row("Start", n{46447.3125, "yyyy-mm-dd hh:mm"}),
		row("Duration", n{0.5, "h:mm"}),
		row("End", f{"B15+B16", 46447.8125, "yyyy-mm-dd hh:mm"}),
		row("Error", f{"B4/0", "#DIV/0!", ""}),
		row("On an error", f{"IFERROR(B18,1)", 1, ""}),
		row("Ring", f{"B21+1", 0, ""}),
		row("Ring two", f{"B20+1", 0, ""}),
		row("Seats", f{`SUMIFS(Log!D:D,Log!A:A,"seat",Log!C:C,">1")`, 190, ""}),
		row("Second", f{"Log!C3", 2, ""}),
		row("Discount"),
		row("Pay", f{"12-B24", 12, ""}),
		row("All", f{"SUM(Pours[Mass])", 310, ""}),
	)
	log := worksheet("Log",
		row("Kind", "Customer", "Pieces", "Mass", "Double"),
		row("seat", "A", 1, f{"C2*95", 95, ""}, f{"Pours[[#This Row],[Pieces]]*2", 2, ""}),
		row("seat", "B", 2, f{"C3*95", 190, ""}, f{"Pours[[#This Row],[Pieces]]*2", 4, ""}),
		row("leg", "A", 1, 25, f{"Pours[[#This Row],[Pieces]]*2", 2, ""}),
		row("leg", nil, nil, f{"C5*95", 0, ""}, f{"Pours[[#This Row],[Pieces]]*2", 0, ""}),
	)
	log.Tables = []read.Table{{Name: "Pours", Ref: "A1:E5", Columns: []string{"Kind", "Customer", "Pieces", "Mass", "Double"}, Headings: 1}}
	blanks := worksheet("Blanks",
		row("Kind", "Pieces", "Mass", "Each"),
		row("a", 1, f{`IF(B2="","",B2*95)`, 95, ""}, 3),
		row("a", 2, f{`IF(B3="","",B3*95)`, 190, ""}, 4),
		row("a", nil, f{`IF(B4="","",B4*95)`, "", ""}, 4),
		row(),
		row("Sum", nil, f{"SUM(C2:C4)", 285, ""}),
	)
	blanks.Hidden = true
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{mix, log, blanks}})
	same(t, "oddities", r)
}

// A workbook from a file: cells, tables and names come through the reader.
func TestFromAFile(t *testing.T) {
	x := excelize.NewFile()
	defer x.Close()
	put := func(cell string, v any) { require.NoError(t, x.SetCellValue("Sheet1", cell, v)) }
	for i, l := range []string{"Height (mm)", "Width (mm)", "Area (m2)"} {
		put(fmt.Sprintf("A%d", i+1), l)
	}
	put("B1", 620)
	put("B2", 430)
	put("B3", 0.2666)
	require.NoError(t, x.SetCellFormula("Sheet1", "B3", "tall*B2/10^6"))
	put("A4", "Half (m2)") // without a value
	require.NoError(t, x.SetCellFormula("Sheet1", "B4", "B3/2"))
	require.NoError(t, x.SetDefinedName(&excelize.DefinedName{Name: "tall", RefersTo: "Sheet1!$B$1"}))
	var b bytes.Buffer
	require.NoError(t, x.Write(&b))
	w, err := read.Read(bytes.NewReader(b.Bytes()), int64(b.Len()), read.Limits{})
	require.NoError(t, err)
	r := take(t, w)
	j := sound(t, newChecker(t), r)
	assert.Equal(t, "0.2666 m^2", shown(t, j, "sheet1", "area"))
	same(t, "from-a-file", r)
}

// A unit that no label states is not made up where a factor may have turned it into another.
func TestFactorsBetweenUnits(t *testing.T) {
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{worksheet("Bench",
		row("Height (mm)", 620), row("Per metre", 1000), row("Mass (kg)", 20),
		row("A", f{"B1/1000", 0.62, ""}), row("B", f{"B1/B2", 0.62, ""}), row("C", f{"B3*2.20462", 44.0924, ""}),
		row("D (m)", f{"B1/B2", 0.62, ""}), row("E", f{"B1/10^3*2", 1.24, ""}), row("F", f{"PI()*B1^2/4", 301907.05400997866, ""}),
		row("G (lb)", f{"ROUND(B3*2.20462,1)", 44.1, ""}), row("H", f{"B1*1.05+3", 654, ""}),
	)}})
	same(t, "factors", r)
}

func TestNothingToTake(t *testing.T) {
	_, err := taken.Take(&read.Workbook{Sheets: []*read.Sheet{{Name: "A"}}}, newChecker(t))
	assert.EqualError(t, err, "the workbook holds nothing")
}
