package syntax_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/syntax"
)

// TestLimits meets each limit of reading. The message says the limit, and there is always a way out.
func TestLimits(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"brackets", "x = " + strings.Repeat("(", 300) + "1" + strings.Repeat(")", 300), "nests deeper than 200 levels"},
		{"calls", "x = " + strings.Repeat("f(", 300) + "1" + strings.Repeat(")", 300), "nests deeper than 200 levels"},
		{"minus signs", "x = " + strings.Repeat("- ", 300) + "1", "nests deeper than 200 levels"},
		{"not", "x = " + strings.Repeat("not ", 300) + "yes", "nests deeper than 200 levels"},
		{"if", "x = " + strings.Repeat("if a then b else ", 300) + "c", "nests deeper than 200 levels"},
		{"powers", "x = 1" + strings.Repeat("^1", 300), "nests deeper than 200 levels"},
		{"brackets of a unit", "x = 5 m/" + strings.Repeat("(m/", 300) + "m" + strings.Repeat(")", 300), "nests deeper than 200 levels"},
		{"a long sum", "x = 1" + strings.Repeat(" + 1", 1100), "more than 1000 steps one upon another"},
		{"a long chain of fields", "x = a" + strings.Repeat(".b", 1100), "more than 1000 steps one upon another"},
		{"a long chain of conditions", "x = a" + strings.Repeat(" where b", 1100), "more than 1000 steps one upon another"},
		{"a long comparison", "x = 1" + strings.Repeat(" < 2", 1100), "more than 1000 steps one upon another"},
		{"a list", "x = (1" + strings.Repeat(", 1", 100_000) + ")", "at most 100000 values"},
		{"a call", "x = f(1" + strings.Repeat(", 1", 100_000) + ")", "at most 100000 values"},
		{"a statement", "x = (" + strings.Repeat("1 ", 400_000) + ")", "more than 400000 words and signs"},
		{"digits", "x = " + strings.Repeat("1", 500), "more than 400 digits"},
		{"a text", strings.Repeat("\n", 17<<20), "larger than 16 MiB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := syntax.ReadFile("sheet", c.text, isUnit)
			require.NotEmpty(t, f.Messages)
			assert.Contains(t, f.Messages[0].Text, c.want)
			assert.NotEmpty(t, f.Messages[0].WayOut)
			assert.Equal(t, len(c.text), len(f.Print()))
		})
	}
}

// TestWithinLimits reads what is large but allowed.
func TestWithinLimits(t *testing.T) {
	for _, c := range []struct{ name, text string }{
		{"brackets", "x = " + strings.Repeat("(", 90) + "1" + strings.Repeat(")", 90)},
		{"a long sum", "x = 1" + strings.Repeat(" + 1", 900)},
		{"a long list", "x = (1" + strings.Repeat(", 1", 50_000) + ")"},
		{"a long table", "table t\n  a | b\n" + strings.Repeat("  1 | 2 mm\n", 50_000) + "end\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Empty(t, syntax.ReadFile("sheet", c.text, isUnit).Messages)
		})
	}
}

// repeated are texts that could make a reader go over them again and again.
var repeated = []struct{ name, unit, front string }{
	{"open brackets", "(", "x = "},
	{"open braces", "{", "x = \""},
	{"texts on one line", "\"a\" ", "x = "},
	{"quotation marks on one line", "“", "x = "},
	{"lines that are wrong", "x y\n", ""},
	{"tables from files", "table t from \"a\"\n", ""},
	{"heads of rules", "rule r(\n", ""},
	{"heads of tables", "table t\n", ""},
	{"lines that go on", "x +\n", ""},
	{"units", "/m", "x = 5 m"},
	{"units in brackets", "/(m)", "x = 5 m"},
	{"numbers", "1_000,", "x = "},
	{"dates", "2027-03-01", "x = "},
	{"digits", "1", "x = "},
	{"comments", "#\n", ""},
	{"carriage returns", "\r", ""},
	{"bytes that are no text", "\xff\n", ""},
}

// A quarter of a megabyte of each is read and kept byte for byte; what it costs is told by the benchmark below.
func TestRepeatedTextIsKept(t *testing.T) {
	for _, c := range repeated {
		t.Run(c.name, func(t *testing.T) {
			text := c.front + strings.Repeat(c.unit, (1<<18)/len(c.unit))
			f := syntax.ReadFile("sheet", text, isUnit)
			assert.Equal(t, text, f.Print())
			once := syntax.Format(f)
			assert.Equal(t, once, syntax.Format(syntax.ReadFile("sheet", once, isUnit)))
		})
	}
}

// BenchmarkRepeatedText reports the time for a byte at two sizes: where it grows with the size, reading is not in
// proportion.
func BenchmarkRepeatedText(b *testing.B) {
	for _, c := range repeated {
		for _, size := range []int{1 << 15, 1 << 18} {
			b.Run(fmt.Sprintf("%s/%d", c.name, size), func(b *testing.B) {
				text := c.front + strings.Repeat(c.unit, size/len(c.unit))
				b.SetBytes(int64(len(text)))
				for range b.N {
					syntax.Format(syntax.ReadFile("sheet", text, isUnit))
				}
			})
		}
	}
}

func TestLimitOfATypedLine(t *testing.T) {
	_, ms := line("(" + strings.Repeat("1, ", 1<<20) + "1)")
	require.NotEmpty(t, ms)
	assert.Contains(t, ms[0].Text, "longer than 1024 KiB")
}
