package taken_test

import (
	"testing"

	"castwright/sheets/xlsx/read"
)

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
	t.Log("\n" + text(r))
	t.Log(r.Left, r.Differences, r.Notices)
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
	t.Log("\n" + text(r))
	t.Log(r.Left, r.Differences, r.Notices)
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
	t.Log("\n" + text(r))
	t.Log(r.Left, r.Differences, r.Notices)
}
