package book

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
)

// picture draws a small image.
func picture() []byte {
	m := image.NewRGBA(image.Rect(0, 0, 60, 40))
	for x := range 60 {
		for y := range 40 {
			m.Set(x, y, color.RGBA{0xBC, 0xC7, 0xD1, 0xFF})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		panic(err)
	}
	return b.Bytes()
}

func num(x float64, role Role, format string) Cell {
	return Cell{Kind: Number, Number: x, Style: Style{Role: role, Format: format}}
}

func text(s string, role Role) Cell { return Cell{Kind: Text, Text: s, Style: Style{Role: role}} }

func heads(names ...string) (cells []Cell) {
	for i, n := range names {
		cells = append(cells, Cell{Kind: Text, Text: n, Style: Style{Role: Head, Right: i > 0}})
	}
	return cells
}

func sum(x float64, formula, format string) Cell {
	return Cell{Kind: Number, Number: x, Formula: formula, Style: Style{Role: Worked, Format: format}}
}

// sample is a small quotation that uses all that a book has. Its numbers mean nothing beyond the tests.
func sample() *Book {
	s := &Sheet{Name: "Bench & legs", Widths: []float64{24, 14, 10, 44}, Freeze: 3, TitleRows: 3, Protect: true, Tab: "1D4E79", Rows: bench()}
	s.Checks = []Rule{
		{Ref: "B9", Formula: `$B9="holds"`, Role: Holds},
		{Ref: "B9", Formula: `$B9="does not hold"`, Role: Fails},
		{Ref: "B9", Formula: `$B9="not known yet"`, Role: Unknown},
	}
	s.Inputs = []Validation{
		{Ref: "B5", Kind: Decimal, Min: 100, Max: 1200.5, Prompt: "From 100 mm to 1200.5 mm", Error: "Give a length from 100 mm to 1200.5 mm."},
		{Ref: "B6", Kind: Decimal, Min: 0, Max: math.Inf(1)},
		{Ref: "C2", Kind: List, List: []string{"I", "II", `"III" & <IV>`}},
		{Ref: "C3 C4:C5", Kind: Date, Min: 40000, Max: 60000},
		{Ref: "D2", Kind: TextLength, Min: math.Inf(-1), Max: 40},
		{Ref: "D3", Kind: Whole, Min: math.Inf(-1), Max: math.Inf(1)},
		{Ref: "D4", Kind: List, From: "'Pours'!$A$2:$A$4"},
	}
	s.Pictures = []Picture{{At: "F4", PNG: picture(), Alt: "The seat from above", Scale: 2}}
	return &Book{
		Title: "Tree bench & legs", Sheets: []*Sheet{s, pours()},
		Names: []Name{{"seat_depth", "'Bench & legs'!$B$5"}, {"pours_volume", "'Pours'!$B$2:$B$4"}},
		Parts: map[string][]byte{
			"customXml/item1.xml": []byte(`<sheets xmlns="urn:castwright:sheets"><sheet name="bench">seat = 1 &lt; 2</sheet></sheets>`),
			"texts/bench.sheet":   []byte("a = 1\n"),
		},
	}
}

// line is a row of the first sheet of the sample.
func line(item string, value Cell, unit, note string) Row {
	cells := []Cell{text(item, Item), value, text(unit, Unit), text(note, Note)}
	for i := range cells {
		if cells[i].Kind == Text && cells[i].Text == "" {
			cells[i].Kind = Empty
		}
	}
	return Row{Cells: cells}
}

func section(name string) Row {
	blank := Cell{Style: Style{Role: Section}}
	return Row{Cells: []Cell{text(name, Section), blank, blank, blank}}
}

func bench() []Row {
	input := num(430, Input, "0.0")
	input.Style.Unlocked = true
	input.Remark = "Measured on site.\nWithin 3 mm."
	open := Cell{Style: Style{Role: Open, Format: "0.00", Unlocked: true}}
	caution := Style{Role: Caution, Wrap: true}
	check := Cell{Kind: Text, Text: "holds", Formula: `IF(B8<=23,"holds","does not hold")`, Style: Style{Role: Holds, Right: true}}
	value := text("Value", Head)
	value.Style.Right = true
	return []Row{
		{Cells: []Cell{text("Tree bench & legs, quotation", Title)}},
		{Cells: []Cell{text("All weights are of cured concrete.", Plain)}},
		{Cells: []Cell{text("Item", Head), value, text("Unit", Head), text("How it is worked out", Head)}},
		section("Inputs"),
		line("Seat depth", input, "mm", "given"),
		line("Price of a bag", open, "USD", "the supplier fills this in"),
		section("Geometry"),
		line("Mass of a piece", sum(21.5, "B5/20", "0.0"), "kg", "volume times 2350 kg/m³"),
		line("One person can lift it", check, "", "at most 23 kg"),
		line("Level", Cell{Kind: Truth, Truth: true, Formula: "B5>0", Style: Style{Role: Worked, Right: true}}, "", ""),
		line("Bags for the price", Cell{Kind: Problem, Text: "#DIV/0!", Formula: "1/B6", Style: Style{Role: Worked, Right: true}}, "", "the price is open"),
		line("Cast on", num(46447, Worked, "yyyy-mm-dd"), "", ""),
		{},
		{Cells: []Cell{
			{Kind: Text, Text: "An estimate. Cylinders cured with the pieces decide when a piece may carry load. Lift no piece before they reach the strength that the drawings name for lifting.", Style: caution, Across: 3},
			{Style: caution}, {Style: caution}, {Style: caution},
		}},
	}
}

// pours is a sheet with two tables and a chart.
func pours() *Sheet {
	s := &Sheet{Name: "Pours", Widths: []float64{16, 12, 12, 12, 4, 16, 12}, Landscape: true, Freeze: 1, TitleRows: 1}
	first := append(heads("Day", "Volume (L)", "Bags", "Share"), Cell{})
	s.Rows = []Row{{Cells: append(first, heads("Bag", "Mass (lb)")...)}}
	for i, v := range []float64{36.4, 54.6, 18.2} {
		n := string(rune('2' + i))
		row := []Cell{num(46447+float64(i), Item, "yyyy-mm-dd"), num(v, Worked, "0.0"), sum(math.Ceil(v/17), "ROUNDUP(B"+n+"/17,0)", "0"), sum(v/109.2, "B"+n+"/SUM($B$2:$B$4)", "0.0%"), {}}
		if i < 2 {
			row = append(row, text([]string{"Grey", "White"}[i], Item), num(80, Worked, "0"))
		}
		s.Rows = append(s.Rows, Row{Cells: row})
	}
	total := Style{Role: Total}
	s.Rows = append(s.Rows, Row{Cells: []Cell{text("Together", Total), {Kind: Number, Number: 109.2, Formula: "SUM(B2:B4)", Style: Style{Role: Total, Format: "0.0"}}, {Style: total}, {Style: total}}})
	s.Tables = []Table{
		{Name: "pours", Ref: "A1:D4", Columns: []Column{{"Day", "yyyy-mm-dd"}, {"Volume (L)", "0.0"}, {"Bags", "0"}, {"Share", "0.0%"}}},
		{Name: "bags", Ref: "F1:G3", Columns: []Column{{"Bag", ""}, {"Mass (lb)", "0"}}, Filter: true},
	}
	s.Charts = []Chart{
		{At: "A8", Kind: Line, Title: "Volume by day", AxisX: "Day", AxisY: "Volume (L)", Categories: "'Pours'!$A$2:$A$4", Alt: "A line that rises and falls",
			Series: []Series{{"'Pours'!$B$1", "'Pours'!$B$2:$B$4"}, {"'Pours'!$C$1", "'Pours'!$C$2:$C$4"}}},
		{At: "H8", Kind: Bar, Title: "Bags", Categories: "'Pours'!$A$2:$A$4", Series: []Series{{"'Pours'!$C$1", "'Pours'!$C$2:$C$4"}}},
	}
	return s
}
