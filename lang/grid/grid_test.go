package grid_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"castwright/lang/grid"
)

func readAll(t *testing.T, text string, o grid.Options) *grid.Grid {
	t.Helper()
	g, err := grid.Read([]byte(text), o)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return g
}

// same compares headings and rows with what is wanted, the headings first.
func same(t *testing.T, g *grid.Grid, want ...[]string) {
	t.Helper()
	got := append([][]string{g.Heads}, g.Rows...)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("read %q, want %q", got, want)
	}
}

// Source: RFC 4180, section 2, the examples of its points 1 to 7 in their order, each with its heading where it has one,
// else under the heading of point 3. Points 4 and 5: blanks are part of a field, and here left out outside quotation
// marks (ruling 29 trims what programs pad).
func TestStandard(t *testing.T) {
	heading := "field_name,field_name2,field_name3\r\n"
	heads := []string{"field_name", "field_name2", "field_name3"}
	two := [][]string{heads, {"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}
	for _, c := range []struct {
		point int
		text  string
		want  [][]string
	}{
		{1, heading + "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", two},
		{2, heading + "aaa,bbb,ccc\r\nzzz,yyy,xxx", two},
		{3, "field_name,field_name2,field_name3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", two},
		{4, heading + "aaa,bbb,ccc", two[:2]},
		{5, heading + "\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", two},
		{6, heading + "\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", [][]string{heads, {"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
		{7, heading + "\"aaa\",\"b\"\"bb\",\"ccc\"", [][]string{heads, {"aaa", "b\"bb", "ccc"}}},
	} {
		t.Run(fmt.Sprint(c.point), func(t *testing.T) { same(t, readAll(t, c.text, grid.Options{}), c.want...) })
	}
}

func TestRead(t *testing.T) {
	ab := []string{"a", "b"}
	for _, c := range []struct {
		name, text string
		o          grid.Options
		sep        byte
		headLine   int
		lines      []int
		want       [][]string
	}{
		{"line feeds", "a,b\n1,2\n3,4\n", grid.Options{}, ',', 1, []int{2, 3}, [][]string{ab, {"1", "2"}, {"3", "4"}}},
		{"carriage returns", "a,b\r1,2\r3,4", grid.Options{}, ',', 1, []int{2, 3}, [][]string{ab, {"1", "2"}, {"3", "4"}}},
		{"mixed ends", "a,b\r1,2\r\n3,4\n5,6", grid.Options{}, ',', 1, []int{2, 3, 4}, [][]string{ab, {"1", "2"}, {"3", "4"}, {"5", "6"}}},
		{"byte-order mark", "\ufeffa,b\n1,2", grid.Options{}, ',', 1, []int{2}, [][]string{ab, {"1", "2"}}},
		{"semicolons", "a;b\n1,5;2", grid.Options{}, ';', 1, []int{2}, [][]string{ab, {"1,5", "2"}}},
		{"tabs", "a\tb\n1;5\t2,5", grid.Options{}, '\t', 1, []int{2}, [][]string{ab, {"1;5", "2,5"}}},
		{"a tab goes before a semicolon, a semicolon before a comma", "a,x\tb;y\n1\t2", grid.Options{}, '\t', 1, []int{2}, [][]string{{"a,x", "b;y"}, {"1", "2"}}},
		{"separators in quotes do not count", "\"a\t;\",b\n1,2", grid.Options{}, ',', 1, []int{2}, [][]string{{"a\t;", "b"}, {"1", "2"}}},
		{"separators below the heading do not count", "a,b\n1;2,3\t4", grid.Options{}, ',', 1, []int{2}, [][]string{ab, {"1;2", "3\t4"}}},
		{"one column", "a\n1\n2", grid.Options{}, 0, 1, []int{2, 3}, [][]string{{"a"}, {"1"}, {"2"}}},
		{"one column, decimal commas", "a\n1,5\n\"2,5\"", grid.Options{Decimal: ','}, 0, 1, []int{2, 3}, [][]string{{"a"}, {"1,5"}, {"2,5"}}},
		{"one column, quoted and empty", "a\n\"\"\n\n1", grid.Options{}, 0, 1, []int{2, 4}, [][]string{{"a"}, {""}, {"1"}}},
		{"skipped lines", "Logger \"7\n;\n\na;b\n1;2", grid.Options{Skip: 2}, ';', 4, []int{5}, [][]string{ab, {"1", "2"}}},
		{"skipped line ends count in quotes too", "\"x\ny\"\na,b", grid.Options{Skip: 2}, ',', 3, nil, [][]string{ab}},
		{"no rows", "a,b\n", grid.Options{}, ',', 1, nil, [][]string{ab}},
		{"blank lines", "\n  \na,b\n\n \t\n1,2\n\u00a0\n3,4\n\n", grid.Options{}, ',', 3, []int{6, 8}, [][]string{ab, {"1", "2"}, {"3", "4"}}},
		{"tabs alone are fields", "a\tb\n\t\n1\t\n", grid.Options{}, '\t', 1, []int{2, 3}, [][]string{ab, {"", ""}, {"1", ""}}},
		{"commas alone are fields", "a,b\n,\n", grid.Options{}, ',', 1, []int{2}, [][]string{ab, {"", ""}}},
		{"blanks", " a , b\n 1\t,\u00a02 \n \" x \" , \"\" \n", grid.Options{}, ',', 1, []int{2, 3}, [][]string{ab, {"1", "2"}, {" x ", ""}}},
		{"line ends in quotes", "a,b\n\"1\n\r\r\n\",2\n3,4", grid.Options{}, ',', 1, []int{2, 6}, [][]string{ab, {"1\n\r\r\n", "2"}, {"3", "4"}}},
		{"quotes alone", "a,b\n\"\"\"\",\"\"\"\"\"\"\n", grid.Options{}, ',', 1, []int{2}, [][]string{ab, {"\"", "\"\""}}},
		{"empty fields behind the heading's last", "a,b\n1,2,, \"\" ,\n3,4", grid.Options{}, ',', 1, []int{2, 3}, [][]string{ab, {"1", "2"}, {"3", "4"}}},
		{"a heading of two lines", "\"a\nb\",c\n1,2", grid.Options{}, ',', 1, []int{3}, [][]string{{"a\nb", "c"}, {"1", "2"}}},
		{"headings with units", "time;temp [degC];größe [m³/m²]\n2027-03-01;21,5;½", grid.Options{Decimal: ','}, ';', 1, []int{2},
			[][]string{{"time", "temp [degC]", "größe [m³/m²]"}, {"2027-03-01", "21,5", "½"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := readAll(t, c.text, c.o)
			same(t, g, c.want...)
			if g.Separator != c.sep || g.HeadLine != c.headLine || !slices.Equal(g.Lines, c.lines) {
				t.Errorf("separator %q, heading in line %d, rows in lines %v; want %q, %d, %v", g.Separator, g.HeadLine, g.Lines, c.sep, c.headLine, c.lines)
			}
		})
	}
}

// A row keeps to itself: what is appended to one does not run into the next.
func TestRowsAreApart(t *testing.T) {
	g := readAll(t, "a,b\n1,2\n3,4", grid.Options{})
	_ = append(g.Rows[0], "x")
	same(t, g, []string{"a", "b"}, []string{"1", "2"}, []string{"3", "4"})
}

// What is read stays when the bytes it was read from change.
func TestTextIsCopied(t *testing.T) {
	text := []byte("a,b\n1,2\n")
	g, err := grid.Read(text, grid.Options{})
	if err != nil {
		t.Fatal(err)
	}
	clear(text)
	same(t, g, []string{"a", "b"}, []string{"1", "2"})
}

// randomField makes a text of the signs that a reader can trip over. Blanks at its end are left out: the writer puts no
// quotation marks around them, and outside of these they do not count.
func randomField(r *rand.Rand) string {
	signs := []string{"a", "7", " ", ",", ";", "\t", "\"", "\"\"", "\n", "\r", "\r\n", "é", "½", "\u00a0", "\U0001f9f1", "\\.", "#", "\ufeff", "x y"}
	var b strings.Builder
	for range r.IntN(6) {
		b.WriteString(signs[r.IntN(len(signs))])
	}
	return strings.TrimRight(b.String(), " \t\u00a0")
}

// What the writer of the standard library writes is read as it was: oracle encoding/csv.
func TestWriteThenRead(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 180))
	for range 5000 {
		sep := []rune{',', ';', '\t'}[r.IntN(3)]
		columns := 2 + r.IntN(4)
		want := [][]string{make([]string, columns)}
		for i := range columns {
			want[0][i] = fmt.Sprintf("h%d", i)
		}
		for range r.IntN(5) {
			row := make([]string, columns)
			for i := range row {
				row[i] = randomField(r)
			}
			want = append(want, row)
		}
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = sep
		if err := w.WriteAll(want); err != nil {
			t.Fatal(err)
		}
		g := readAll(t, b.String(), grid.Options{})
		same(t, g, want...)
		whole(t, g)
		if t.Failed() {
			t.Fatalf("written %q", b.String())
		}
	}
}

// whole checks what must be true of every grid.
func whole(t *testing.T, g *grid.Grid) {
	t.Helper()
	if len(g.Heads) == 0 || len(g.Lines) != len(g.Rows) {
		t.Fatalf("%d headings, %d rows, %d lines", len(g.Heads), len(g.Rows), len(g.Lines))
	}
	before := g.HeadLine
	for i, row := range g.Rows {
		if len(row) != len(g.Heads) {
			t.Fatalf("row %d has %d fields, the heading %d", i, len(row), len(g.Heads))
		}
		if g.Lines[i] <= before {
			t.Fatalf("row %d in line %d stands behind line %d", i, g.Lines[i], before)
		}
		before = g.Lines[i]
	}
}

// A million rows come back, and in few allocations: fields are pieces of the text, rows are pieces of large slices.
func TestLargeFile(t *testing.T) {
	if testing.Short() {
		t.Skip("a file of 38 MB")
	}
	text := log(1_000_000, ",", "")
	var g *grid.Grid
	n := testing.AllocsPerRun(1, func() { g = readAll(t, string(text), grid.Options{}) })
	whole(t, g)
	if len(g.Rows) != 1_000_000 || g.Lines[999_999] != 1_000_001 {
		t.Errorf("%d rows, the last in line %d", len(g.Rows), g.Lines[len(g.Lines)-1])
	}
	if n > 2000 {
		t.Errorf("%v allocations", n)
	}
}
