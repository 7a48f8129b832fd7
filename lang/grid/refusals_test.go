package grid_test

import (
	"errors"
	"strings"
	"testing"

	"castwright/lang/grid"
)

// is compares a refusal with its exact sentence and way out, its place in front where it has one.
func is(t *testing.T, what string, err error, want string) {
	t.Helper()
	if err == nil {
		t.Errorf("%q is taken; want: %s", what, want)
		return
	}
	if err.Error() != want {
		t.Errorf("%q\n got: %s\nwant: %s", what, err, want)
	}
	if m := (*grid.Mistake)(nil); !errors.As(err, &m) || !strings.HasSuffix(m.Text, ".") || m.WayOut == "" {
		t.Errorf("%q: not a sentence with its way out: %#v", what, err)
	}
}

func TestRefusedFiles(t *testing.T) {
	const (
		inside   = "A quotation mark stands inside a field that is not in quotation marks. Put the whole field in quotation marks, and write each mark inside it twice, as \"3/8\"\" bar\"."
		behind   = "Text stands behind the closing quotation mark of this field. A mark inside the field is written twice."
		unclosed = "The quotation mark that opens this field is not closed. Close it; a mark inside the field is written twice."
		comma    = "A field that holds a comma stands in quotation marks; with decimal commas, columns are separated by semicolons or tabs."
	)
	for _, c := range []struct {
		text string
		o    grid.Options
		want string
	}{
		{"", grid.Options{}, "Line 1, place 1: The file has no heading. Its first line names the columns."},
		{"\ufeff\n \n", grid.Options{}, "Line 3, place 1: The file has no heading. Its first line names the columns."},
		{"a\n", grid.Options{Skip: 1}, "Line 2, place 1: The file has no heading behind its first 1 line. Write a smaller number for skip."},
		{"a\nb\n", grid.Options{Skip: 1 << 60}, "Line 3, place 1: The file has no heading behind its first 1,152,921,504,606,846,976 lines. Write a smaller number for skip."},
		{"a,b,a\n", grid.Options{}, "Line 1, place 5: The heading \"a\" stands over columns 1 and 3. Give each column a heading of its own."},
		{"a,\" a\"\n", grid.Options{}, "Line 1, place 3: The heading \"a\" stands over columns 1 and 2. Give each column a heading of its own."},
		{"x\na,,b\n", grid.Options{Skip: 1}, "Line 2, place 3: Column 2 has no heading. Write one; where lines stand before the heading, say how many, as skip: 1."},
		{"a,\" \"", grid.Options{}, "Line 1, place 3: Column 2 has no heading. Write one; where lines stand before the heading, say how many, as skip: 1."},
		{"a,b\n1\n", grid.Options{}, "Line 2, place 2: This row has 1 field, the heading has 2. An empty field keeps its comma."},
		{"a;b\n1", grid.Options{}, "Line 2, place 2: This row has 1 field, the heading has 2. An empty field keeps its semicolon."},
		{"a\tb\tc\n1\t2\r\n", grid.Options{}, "Line 2, place 4: This row has 2 fields, the heading has 3. An empty field keeps its tab."},
		{"a,b\n1,2,,3,\n", grid.Options{}, "Line 2, place 6: This row has 5 fields, the heading has 2. " + comma},
		{"a;b\n1;2;3\n", grid.Options{}, "Line 2, place 5: This row has 3 fields, the heading has 2. A field that holds a semicolon stands in quotation marks."},
		{"a,b\n1,3/8\" bar\n", grid.Options{}, "Line 2, place 6: " + inside},
		{"a,b\n½,é\"\n", grid.Options{}, "Line 2, place 4: " + inside},
		{"a\"b\n", grid.Options{}, "Line 1, place 2: " + inside},
		{"a,b\n\"1\"2,3\n", grid.Options{}, "Line 2, place 4: " + behind},
		{"a,b\n\"1\" \"2\",3\n", grid.Options{}, "Line 2, place 5: " + behind},
		{"a,b\n\"1\r\n\r2\" x,3\n", grid.Options{}, "Line 4, place 4: " + behind},
		{"a\n\"1,5\",\"2\"\n", grid.Options{Decimal: ','}, "Line 2, place 6: Text stands behind the closing quotation mark of this field. Where the comma is the decimal sign, columns are separated by semicolons or tabs."},
		{"a,b\n1,\"2\n3,4\n", grid.Options{}, "Line 2, place 3: " + unclosed},
		{"a,b\r1,\"2\"\"\r", grid.Options{}, "Line 2, place 3: " + unclosed},
		{"\"a,b\n1,2\n", grid.Options{}, "Line 1, place 1: " + unclosed},
		{"a,b\nü,\xe9\n", grid.Options{}, "Line 2, place 3: The byte E9 that stands here is not UTF-8. Save the file as UTF-8."},
		{"a,b\n1,2\xc3", grid.Options{}, "Line 2, place 4: The byte C3 that stands here is not UTF-8. Save the file as UTF-8."},
		{"a\x00,\x00b\x00", grid.Options{}, "Line 1, place 2: A zero byte stands here; the file is not a text in UTF-8. Save the file as UTF-8."},
		{"\xff\xfea\x00", grid.Options{}, "Line 1, place 1: The file begins with the mark of UTF-16. Save the file as UTF-8."},
		{"\xfe\xff\x00a", grid.Options{}, "Line 1, place 1: The file begins with the mark of UTF-16. Save the file as UTF-8."},
		{"a", grid.Options{Skip: -1}, "skip is -1, and no file has fewer than 0 lines before its heading. Write skip: 0, or leave it out."},
	} {
		_, err := grid.Read([]byte(c.text), c.o)
		is(t, c.text, err, c.want)
	}
}

// The limits, made small: two rows, three columns, four bytes a field; each is reached without a mistake first.
func TestLimits(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"a,b,c\n1,2,3\n1234,\"1\"\"34\",\"1234\"\n\n", ""},
		{"a\n1\n2\n3\n", "Line 4, place 1: The file has more than 2 rows. Split it into several files."},
		{"a,b,c,d\n", "Line 1, place 7: The file has more than 3 columns. Leave out columns that are not needed."},
		{"a,b\n1,12345\n", "Line 2, place 3: This field has more than 4 bytes. Shorten it; see whether a quotation mark is missing."},
		{"a,b\n1,\"12\n45\"\n", "Line 2, place 3: This field has more than 4 bytes. Shorten it; see whether a quotation mark is missing."},
	} {
		_, err := grid.ReadWithin([]byte(c.text), grid.Options{}, 2, 3, 4)
		if c.want == "" && err == nil {
			continue
		}
		is(t, c.text, err, c.want)
	}
}

// The limits that hold, at their edge.
func TestUsualLimits(t *testing.T) {
	heads := strings.TrimSuffix(strings.Join(columns(4096), ","), ",")
	field := strings.Repeat("x", 1<<20)
	for _, c := range []struct{ name, text, want string }{
		{"4,096 columns", heads, ""},
		{"4,097 columns", heads + ",z", "Line 1, place " + place(len(heads)+2) + ": The file has more than 4,096 columns. Leave out columns that are not needed."},
		{"1 MiB", "a\n" + field, ""},
		{"1 MiB and a byte", "a\n" + field + "x", "Line 2, place 1: This field has more than 1,048,576 bytes. Shorten it; see whether a quotation mark is missing."},
	} {
		_, err := grid.Read([]byte(c.text), grid.Options{})
		if c.want == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		is(t, c.name, err, c.want)
	}
}

func TestRefusedOptions(t *testing.T) {
	const order = "Write d, m and y once each with a point, a slash or a hyphen between them, as dates: \"d.m.y\"."
	for _, c := range []struct {
		o    grid.Options
		want string
	}{
		{grid.Options{Skip: -3}, "skip is -3, and no file has fewer than 0 lines before its heading. Write skip: 0, or leave it out."},
		{grid.Options{Decimal: ';'}, "\";\" is no decimal sign. Write decimal: \".\" or decimal: \",\"."},
		{grid.Options{Dates: "d.m"}, "\"d.m\" is no order of a date. " + order},
		{grid.Options{Dates: "d.m/y"}, "\"d.m/y\" is no order of a date. " + order},
		{grid.Options{Dates: "d.d.y"}, "\"d.d.y\" is no order of a date. " + order},
		{grid.Options{Dates: "d m y"}, "\"d m y\" is no order of a date. " + order},
		{grid.Options{Dates: "dd.mm.yyyy"}, "\"dd.mm.yyyy\" is no order of a date. " + order},
	} {
		is(t, c.o.Dates, c.o.Check(), c.want)
	}
	for _, o := range []grid.Options{{}, {Dates: "d.m.y", Decimal: ',', Skip: 3}, {Dates: "m/d/y", Decimal: '.'}, {Dates: "y-m-d"}, {Dates: "d/m/y"}} {
		if err := o.Check(); err != nil {
			t.Error(o, err)
		}
	}
}

func TestTruth(t *testing.T) {
	for text, want := range map[string]bool{"yes": true, "Yes": true, " YES ": true, "no": false, "NO": false, "\u00a0no": false} {
		if got, err := grid.Truth(text); err != nil || got != want {
			t.Error(text, got, err)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"true", "\"true\" is neither yes nor no. Write yes."},
		{"1", "\"1\" is neither yes nor no. Write yes."},
		{"FALSE", "\"FALSE\" is neither yes nor no. Write no."},
		{"0", "\"0\" is neither yes nor no. Write no."},
		{"ye\u017f", "\"ye\u017f\" is neither yes nor no. Write yes or no."}, // a long s is no s
		{"", "\"\" is neither yes nor no. Write yes or no."},
		{strings.Repeat("no", 30) + "\n", "\"" + strings.Repeat("no", 20) + "…\" is neither yes nor no. Write yes or no."},
		{"a\x1b[2J\nb", "\"a·[2J·b\" is neither yes nor no. Write yes or no."},
	} {
		_, err := grid.Truth(c.text)
		is(t, c.text, err, c.want)
	}
}
