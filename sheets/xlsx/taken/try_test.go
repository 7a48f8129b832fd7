package taken_test

import (
	"testing"

	"castwright/sheets/xlsx/read"
)

func TestTry(t *testing.T) {
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
		row("Blank", f{`IF(B9="","",B9*2)`, 8, ""}),
		row("Total water [L]", f{"B5*B7", 42.5, ""}),
		row("Length (ft)", 6),
		row("Length (in)", f{"B12*12", 72, ""}),
		row("Power (kW)", 1.5, nil, "Hours (h)", 8, nil, "Energy (kWh)", f{"B14*E14", 12, ""}),
		row("Start", n{46447.3125, "yyyy-mm-dd hh:mm"}),
		row("Duration", n{0.5, "h:mm"}),
		row("End", f{"B15+B16", 46447.8125, "yyyy-mm-dd hh:mm"}),
		row("Err", f{"B4/0", "#DIV/0!", ""}),
		row("Uses err", f{"IFERROR(B18,1)", 1, ""}),
		row("Ring", f{"B21+1", 0, ""}),
		row("Ring two", f{"B20+1", 0, ""}),
		row("Total", f{"SUM(Log!D2:D5)", 310, ""}),
		row("Seats", f{`SUMIFS(Log!D:D,Log!A:A,"seat",Log!C:C,">1")`, 190, ""}),
		row("Second", f{"Log!C3", 2, ""}),
		row("Discount"),
		row("Price", 12),
		row("Pay", f{"B26-B25", 12, ""}),
		row("Double", f{`IF(B25="","",B25*2)`, "", ""}),
		row("Sum of table", f{"SUM(Pours[Mass])", 310, ""}),
	)
	log := worksheet("Log",
		row("Kind", "Customer", "Pieces", "Mass", "Cum"),
		row("seat", "A", 1, f{"C2*95", 95, ""}, f{"Pours[[#This Row],[Pieces]]*2", 2, ""}),
		row("seat", "B", 2, f{"C3*95", 190, ""}, f{"Pours[[#This Row],[Pieces]]*2", 4, ""}),
		row("leg", "A", 1, 25, f{"Pours[[#This Row],[Pieces]]*2", 2, ""}),
		row("leg", nil, nil, f{"C5*95", 0, ""}, f{"Pours[[#This Row],[Pieces]]*2", 0, ""}),
	)
	log.Tables = []read.Table{{Name: "Pours", Ref: "A1:E5", Columns: []string{"Kind", "Customer", "Pieces", "Mass", "Cum"}, Headings: 1}}
	blanks := worksheet("Blanks",
		row("Kind", "Pieces", "Mass", "Each"),
		row("a", 1, f{`IF(B2="","",B2*95)`, 95, ""}, 3),
		row("a", 2, f{`IF(B3="","",B3*95)`, 190, ""}, 4),
		row("a", nil, f{`IF(B4="","",B4*95)`, "", ""}, 4),
		row(),
		row("Sum", nil, f{"SUM(C2:C4)", 285, ""}),
	)
	hid := worksheet("rates 2027", row("EUR", "USD"), row("Rate", 1.09), row(1, 2, 3), row(4, 5, f{"A3+B3", 3, ""}))
	hid.Hidden = true
	r := take(t, &read.Workbook{Sheets: []*read.Sheet{mix, log, blanks, hid}})
	t.Log("\n" + text(r))
	for _, x := range r.Left {
		t.Logf("left %+v", x)
	}
	for _, x := range r.Differences {
		t.Logf("differs %+v", x)
	}
	t.Log(r.Notices, r.Translated, r.Values)
}
