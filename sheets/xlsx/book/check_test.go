package book

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// cellOf is a book with one cell.
func cellOf(c Cell) *Book { return one(Row{Cells: []Cell{c}}) }

// with is a book of one sheet that was changed.
func with(change func(b *Book, s *Sheet)) *Book {
	b := one(Row{Cells: heads("a", "b")}, Row{Cells: []Cell{num(1, Plain, ""), num(2, Plain, "")}})
	change(b, b.Sheets[0])
	return b
}

func input(v Validation) *Book {
	return with(func(_ *Book, s *Sheet) { s.Inputs = []Validation{v} })
}

func table(ts ...Table) *Book { return with(func(_ *Book, s *Sheet) { s.Tables = ts }) }

var two = []Column{{"a", ""}, {"b", "0.0"}}

func TestCheckRefuses(t *testing.T) {
	long := strings.Repeat("x", maxText+1)
	cases := []struct {
		book *Book
		want string
	}{
		{&Book{}, "A workbook needs a sheet at least."},
		{&Book{Sheets: []*Sheet{{Name: ""}}}, `"" cannot name a sheet: it is empty.`},
		{&Book{Sheets: []*Sheet{{Name: "a/b"}}}, `"a/b" cannot name a sheet: it has one of the signs : \ / ? * [ ].`},
		{&Book{Sheets: []*Sheet{{Name: strings.Repeat("x", 32)}}}, "it has more than 31 characters."},
		{&Book{Sheets: []*Sheet{{Name: "'a"}}}, "it begins or ends with an apostrophe."},
		{&Book{Sheets: []*Sheet{{Name: "a\xff"}}}, "it is not UTF-8."},
		{&Book{Sheets: []*Sheet{{Name: "a\x01"}}}, "it has a control character."},
		{&Book{Sheets: []*Sheet{{Name: "Bench"}, {Name: "BENCH"}}}, `Two sheets are called "BENCH"; case alone does not tell them apart.`},
		{cellOf(Cell{Kind: Number, Number: math.NaN()}), "'Bench'!A1 cannot be written: its number is not finite."},
		{cellOf(Cell{Kind: Number, Number: math.Inf(-1)}), "its number is not finite."},
		{cellOf(Cell{Kind: Text, Text: long}), "its text has more than 32767 characters."},
		{cellOf(Cell{Kind: Text, Text: strings.Repeat("𝔞", maxText/2+1)}), "its text has more than 32767 characters."},
		{cellOf(Cell{Kind: Text, Text: "a\xff"}), "its text is not UTF-8."},
		{cellOf(Cell{Kind: Text, Text: "a", Remark: long}), "its remark has more than 32767 characters."},
		{cellOf(Cell{Kind: Problem, Text: "#OOPS"}), `"#OOPS" is no error value of a worksheet.`},
		{cellOf(Cell{Kind: Kind(9)}), "its kind is none that a cell has."},
		{cellOf(Cell{Style: Style{Role: roles}}), "its role is none that a cell has."},
		{cellOf(Cell{Style: Style{Indent: -1}}), "its indent is not from 0 to 15."},
		{cellOf(Cell{Style: Style{Format: strings.Repeat("0", 256)}}), "its number format has more than 255 characters."},
		{cellOf(Cell{Formula: "1+1"}), "its formula has no worked-out value."},
		{cellOf(Cell{Kind: Number, Formula: "=1+1"}), "its formula begins with =."},
		{cellOf(Cell{Kind: Number, Formula: "1+" + strings.Repeat("1", maxFormula)}), "its formula has more than 8192 characters."},
		{cellOf(Cell{Kind: Number, Formula: "\"\x01\""}), "its formula has a control character."},
		{one(Row{Cells: make([]Cell, MaxColumns+1)}), "has more than 16384 cells."},
		{one(make([]Row, MaxRows+1)...), `The sheet "Bench" has more than 1048576 rows.`},
		{one(Row{Height: 410}), "is 410 high; from 0 to 409 is possible."},
		{with(func(_ *Book, s *Sheet) { s.Widths = []float64{math.NaN()} }), "is NaN wide; from 0 to 255 is possible."},
		{with(func(_ *Book, s *Sheet) { s.Freeze = -1 }), "has more rows at the top than a sheet holds, or fewer than none."},
		{with(func(_ *Book, s *Sheet) { s.Tab = "red" }), "write six hex digits."},
		{with(func(_ *Book, s *Sheet) { s.Rows[0].Cells[0].Across = 1 }), "it reaches over a cell that is not empty."},
		{with(func(_ *Book, s *Sheet) { s.Rows[0].Cells[1].Across = -3 }), "it reaches over fewer columns than none, or past the last."},
		{with(func(_ *Book, s *Sheet) { s.Rows[1].Cells[1].Across = MaxColumns }), "it reaches over fewer columns than none, or past the last."},
		{table(Table{Name: "t", Ref: "A1:B1", Columns: two}), "it has no row below its headings."},
		{table(Table{Name: "t", Ref: "A1", Columns: two}), "it has no row below its headings."},
		{table(Table{Name: "t", Ref: "nowhere", Columns: two}), `"nowhere" is no range.`},
		{table(Table{Name: "t", Ref: "A1:C2", Columns: two}), "it has 2 columns, its range 3."},
		{table(Table{Name: "t", Ref: "A1:B2", Columns: []Column{{"a", ""}, {"c", ""}}}), `the cell of its column "c" does not hold that name.`},
		{table(Table{Name: "t", Ref: "A1:B2", Columns: []Column{{"a", ""}, {"A", ""}}}), `two of its columns are called "A".`},
		{table(Table{Name: "t", Ref: "A9:B10", Columns: two}), "its headings are not among the rows of the sheet."},
		{table(Table{Name: "t", Ref: "A1:B2", Columns: two}, Table{Name: "u", Ref: "A1:B2", Columns: two}), "it lies over another table."},
		{table(Table{Name: "t1", Ref: "A1:B2", Columns: two}), `"t1" cannot be a defined name: it reads as a cell.`},
		{with(func(b *Book, s *Sheet) {
			s.Tables = []Table{{Name: "pours", Ref: "A1:B2", Columns: two}}
			b.Names = []Name{{"Pours", "'Bench'!A1"}}
		}), `Two defined names or tables are called "Pours"`},
		{with(func(b *Book, _ *Sheet) { b.Names = []Name{{"R1C1", "'Bench'!A1"}} }), "it reads as a cell."},
		{with(func(b *Book, _ *Sheet) { b.Names = []Name{{"sum", "'Bench'!A1"}} }), "it is a function's."},
		{with(func(b *Book, _ *Sheet) { b.Names = []Name{{"true", "'Bench'!A1"}} }), "it reads as a truth."},
		{with(func(b *Book, _ *Sheet) { b.Names = []Name{{"a b", "'Bench'!A1"}} }), `it has the sign ' ', which a name cannot have there.`},
		{with(func(b *Book, _ *Sheet) { b.Names = []Name{{"x", "'Leg'!A1"}} }), "which is no range of a sheet of this workbook."},
		{with(func(b *Book, _ *Sheet) { b.Names = []Name{{"x", "1+1"}} }), "which is no range of a sheet of this workbook."},
		{with(func(_ *Book, s *Sheet) { s.Checks = []Rule{{Ref: "A1"}} }), "it has no formula."},
		{with(func(_ *Book, s *Sheet) { s.Checks = []Rule{{Ref: "A1,B2", Formula: "1"}} }), `"A1,B2" is no range.`},
		{input(Validation{Ref: "A1"}), "they let in nothing but 0; where there is no bound, write an infinite one."},
		{input(Validation{Ref: "A1", Min: 2, Max: 1}), "no value is from 2 to 1."},
		{input(Validation{Ref: "A1", Min: math.NaN(), Max: 1}), "no value is from NaN to 1."},
		{input(Validation{Ref: "A1", Kind: List}), "there are no choices."},
		{input(Validation{Ref: "A1", Kind: List, List: []string{"a,b"}}), `the choice "a,b" is empty, or has a comma or a blank at its ends.`},
		{input(Validation{Ref: "A1", Kind: List, List: []string{"=a"}}), `the choice "=a" begins as a formula does.`},
		{input(Validation{Ref: "A1", Kind: List, List: []string{strings.Repeat("a", 256)}}), "the list of choices has more than 255 characters."},
		{input(Validation{Ref: "A1", Max: 1, Prompt: strings.Repeat("a", 256)}), "the prompt has more than 255 characters."},
		{with(func(_ *Book, s *Sheet) { s.Charts = []Chart{{At: "A1"}} }), "it has no series."},
		{with(func(_ *Book, s *Sheet) { s.Charts = []Chart{{At: "A1", Categories: "x", Series: make([]Series, 1)}} }), `"x" is no range with its sheet.`},
		{with(func(_ *Book, s *Sheet) { s.Pictures = []Picture{{At: "A1", PNG: []byte("no")}} }), "its bytes are no PNG image."},
		{with(func(_ *Book, s *Sheet) { s.Pictures = []Picture{{At: "A0", PNG: picture()}} }), "that is no cell."},
		{with(func(b *Book, _ *Sheet) { b.Parts = map[string][]byte{"xl/workbook.xml": nil} }), "that name is kept for the workbook itself."},
		{with(func(b *Book, _ *Sheet) { b.Parts = map[string][]byte{"../a.txt": nil} }), "cannot name a part of a workbook"},
		{with(func(b *Book, _ *Sheet) { b.Parts = map[string][]byte{"[Content_Types].xml": nil} }), "cannot name a part of a workbook"},
		{with(func(b *Book, _ *Sheet) { b.Parts = map[string][]byte{"a/b.xml": []byte("<a>")} }), `The part "a/b.xml" is no XML`},
		{with(func(b *Book, _ *Sheet) { b.Parts = map[string][]byte{"b.xml": []byte("<!DOCTYPE a><a/>")} }), "it has a document type"},
		{with(func(b *Book, _ *Sheet) { b.Parts = map[string][]byte{"b.xml": nil} }), "it holds no element"},
	}
	for _, c := range cases {
		if err := c.book.Check(); assert.Error(t, err, c.want) {
			assert.Contains(t, err.Error(), c.want)
		}
	}
}

// At the limit all is well.
func TestCheckAccepts(t *testing.T) {
	for _, b := range []*Book{
		sample(), hostileBook(), allLooks(), longBook(3),
		cellOf(Cell{Kind: Text, Text: strings.Repeat("x", maxText)}),
		cellOf(Cell{Kind: Number, Number: math.MaxFloat64, Formula: strings.Repeat("1", maxFormula)}),
		cellOf(Cell{Kind: Number, Number: math.SmallestNonzeroFloat64}),
		one(Row{Cells: make([]Cell, MaxColumns), Height: maxHeight}),
		input(Validation{Ref: "A1", Min: math.Inf(-1), Max: math.Inf(1)}),
		input(Validation{Ref: "A1", Kind: List, List: []string{strings.Repeat("a", 255)}}),
	} {
		assert.NoError(t, b.Check())
	}
}

// Numbers come back to the last bit.
func TestNumbers(t *testing.T) {
	xs := []float64{0, math.Copysign(0, -1), 0.1, 1.0 / 3, 1e300, -1e-300, math.MaxFloat64, math.SmallestNonzeroFloat64, 12345678901234567, 46447.604166666664}
	var row Row
	for _, x := range xs {
		row.Cells = append(row.Cells, Cell{Kind: Number, Number: x})
	}
	f := opened(t, one(row))
	for i, x := range xs {
		sameCell(t, f, "Bench", Ref(i+1, 1), Cell{Kind: Number, Number: x})
	}
}

func TestLines(t *testing.T) {
	for _, c := range []struct {
		text string
		room int
		want int
	}{{"", 10, 1}, {"abc", 10, 1}, {"aaa bbb ccc", 7, 2}, {"aaa bbb ccc", 3, 3}, {"aaaaaaaaaa", 3, 4}, {"a\nb\n", 10, 3}, {"abc", 0, 3}, {"aaaaaaa bb", 5, 2}} {
		assert.Equal(t, c.want, lines(c.text, c.room), "%q in %d", c.text, c.room)
	}
	h, fixed := Row{Cells: []Cell{{Kind: Text, Text: strings.Repeat("word ", 40), Style: Style{Wrap: true}, Across: 2}}}.height([]float64{20, 20, 20})
	assert.Equal(t, 4*lineHeight+air, h) // 200 letters in three columns of 20 digits
	assert.False(t, fixed, "a reader's program may better the guess")
}
