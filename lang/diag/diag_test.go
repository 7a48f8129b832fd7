package diag

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// at finds a piece of a text.
func at(text, piece string) Span {
	i := strings.Index(text, piece)
	return Span{From: i, To: i + len(piece)}
}

func TestDraw(t *testing.T) {
	text := "a = 1\n\tmåß = 5 Kg  # 重量\n"
	src := &Source{Name: "bench", Text: text}
	cases := []struct {
		name, piece, want string
	}{
		{"a tab is four blanks, letters are counted and not bytes", "Kg", "bench, line 2, place 10:\n        måß = 5 Kg  # 重量\n                ^^\n  Text.\n  Way.\n"},
		{"wide characters take two columns", "重量", "bench, line 2, place 16:\n        måß = 5 Kg  # 重量\n                      ^^^^\n  Text.\n  Way.\n"},
		{"the first line", "a", "bench, line 1, place 1:\n    a = 1\n    ^\n  Text.\n  Way.\n"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, New(src, at(text, c.piece), "Text.", "Way.").Draw())
		})
	}
}

// A sheet's text cannot drive the terminal, and a long line is cut round the mark.
func TestDrawHostileText(t *testing.T) {
	text := "x = \x1b[31m5 Kg" + strings.Repeat(" + 1", 200)
	drawn := New(&Source{Name: "s", Text: text}, at(text, "Kg"), "T.", "").Draw()
	assert.NotContains(t, drawn, "\x1b")
	assert.Less(t, len(strings.Split(drawn, "\n")[1]), 240)
	assert.Equal(t, "T.\n", New(nil, Span{}, "T.", "").Draw()[2:])
	out := New(&Source{Name: "s", Text: "ab"}, Span{From: 5, To: 9}, "T.", "").Draw()
	assert.Contains(t, out, "s, line 1, place 3:", "a place behind the text is its end")
}

func TestRelated(t *testing.T) {
	src := &Source{Name: "bench", Text: "a = 1\na = 2\n"}
	m := New(src, Span{From: 6, To: 7}, "The name a is written twice.", "Rename one.")
	m.Related = []Related{{Source: src, Span: Span{From: 0, To: 1}, Text: "The first stands here:"}}
	assert.Equal(t, "bench, line 2, place 1:\n    a = 2\n    ^\n  The name a is written twice.\n  Rename one.\n  The first stands here:\nbench, line 1, place 1:\n    a = 1\n    ^\n", m.Draw())
}

func TestNear(t *testing.T) {
	names := []string{"mass", "moss", "bag_yield", "thickness", "kg", "strength_at"}
	cases := []struct {
		name string
		want string
	}{
		{"mas", "mass"}, {"bag_yeild", "bag_yield"}, {"Kg", "kg"}, {"thicknes", "thickness"}, {"strenght_at", "strength_at"},
		{"volume", ""}, {"mass", "moss"}, {"m?ss", "mass or moss"},
	}
	for _, c := range cases {
		assert.Equal(t, c.want, Or(Near(c.name, names)), c.name)
	}
	assert.Equal(t, "Did you mean a, b or c?", DidYouMean([]string{"a", "b", "c"}))
	assert.Empty(t, DidYouMean(nil))
}

func TestNearest(t *testing.T) {
	for _, c := range []struct {
		text string
		held []string
		want string
	}{
		{"VI", []string{"I", "", "III", "I"}, `The nearest is "I".`},
		{"II", []string{"I", "III"}, `The nearest is "I".`},
		{"Q", []string{"R", "N", "S", "R"}, `It holds "N", "R" and "S".`},
		{"oven", []string{"moist"}, `It holds "moist".`},
		{"oven", []string{"", ""}, ""},
		{"x", []string{"a", "b", "c", "d", "e", "f", "g"}, ""},
	} {
		assert.Equal(t, c.want, Nearest(c.text, c.held), c.text)
	}
}

func TestListKeepsOneOfEach(t *testing.T) {
	src := &Source{Name: "s", Text: "abc"}
	var l List
	l.Add(New(src, Span{From: 2, To: 3}, "B.", ""))
	l.Add(New(src, Span{From: 0, To: 1}, "A.", ""))
	l.Add(New(src, Span{From: 2, To: 3}, "B.", ""))
	l.Sort()
	assert.Len(t, l, 2)
	assert.Equal(t, "A.", l[0].Text)
	assert.Equal(t, 2, l.Mistakes())
	assert.Equal(t, "A.", l[0].Error())
}
