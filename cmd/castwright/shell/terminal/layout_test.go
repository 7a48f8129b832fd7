package terminal

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestColumns(t *testing.T) {
	// Unicode 15, EastAsianWidth.txt and the general categories.
	for text, want := range map[string]int{
		"abc": 3, "é": 1, "e\u0301": 1, "日本": 4, "ａ": 2, "ﾊ": 1, "한": 2, "\u1112\u1161\u11ab": 2, "👍": 2, "±½µ": 3,
		"\u200b": 0, "\t": tabColumns, "\x1b[1;31mred\x1b[0m": 3, "\x1b[": 0, "": 0, "a\x1b[31": 3,
	} {
		assert.Equal(t, want, textColumns(text), "%q", text)
	}
}

func TestRowStarts(t *testing.T) {
	for _, test := range []struct {
		line  string
		first int
		want  []int
	}{
		{"", 0, []int{0}},
		{"1234", 0, []int{0}},
		{"12345", 0, []int{0, 5}},       // full: the cursor goes to a row of its own
		{"123456", 0, []int{0, 5}},      //
		{"123456", 3, []int{0, 2}},      //
		{"1234日", 0, []int{0, 4}},       // a wide character is not cut
		{"1234e\u0301", 0, []int{0, 6}}, // a mark stays with its character
		{"\t\t", 0, []int{0, 1}},
	} {
		assert.Equal(t, test.want, rowStarts([]rune(test.line), test.first, 5), "%q", test.line)
	}
	assert.Equal(t, []int{0, 0, 1, 1, 2}, []int{rowOf([]int{0, 2, 5}, 0), rowOf([]int{0, 2, 5}, 1), rowOf([]int{0, 2, 5}, 2), rowOf([]int{0, 2, 5}, 4), rowOf([]int{0, 2, 5}, 5)})
}

func TestWindow(t *testing.T) {
	for _, test := range []struct{ rows, cursor, height, top, end int }{
		{3, 1, 5, 0, 3}, {10, 0, 5, 0, 5}, {10, 9, 5, 5, 10}, {10, 5, 5, 3, 8}, {10, 9, 1, 9, 10},
	} {
		top, end := window(test.rows, test.cursor, test.height)
		assert.Equal(t, []int{test.top, test.end}, []int{top, end})
	}
}

func TestInColumns(t *testing.T) {
	assert.Equal(t, "a    bb   ccc  日\n", inColumns([]string{"a", "bb", "ccc", "日"}, 20))
	assert.Equal(t, "a    ccc\nbb   日\n", inColumns([]string{"a", "bb", "ccc", "日"}, 12))
	options := make([]string, 500)
	for i := range options {
		options[i] = strings.Repeat("n", 1+i%17)
	}
	for _, width := range []int{1, 10, 20, 80, 200} {
		text := inColumns(options, width)
		for _, line := range strings.Split(text, "\n") {
			if width > 17 {
				assert.Less(t, textColumns(line), width)
			}
		}
		shown := strings.Count(text, "n") - strings.Count(text, "and ")
		assert.Positive(t, shown)
	}
	assert.Contains(t, inColumns(options, 20), "and 460 more\n")
}

func TestCommonStart(t *testing.T) {
	assert.Equal(t, "seat_", commonStart([]string{"seat_depth", "seat_width"}))
	assert.Equal(t, "a", commonStart([]string{"aé", "aè"})) // the first byte of both letters is the same
	assert.Equal(t, "", commonStart([]string{"a", "b"}))
}

func TestFitPrompt(t *testing.T) {
	prompt, n := fitPrompt("\x1b[1mbench: \x1b[0m", 80)
	assert.Equal(t, 7, n)
	assert.Equal(t, "\x1b[1mbench: \x1b[0m", prompt)
	prompt, n = fitPrompt("\x1b[1ma long name of a sheet: \x1b[0m", 20)
	assert.Equal(t, 10, n)
	assert.Equal(t, "a long nam", prompt)
}
