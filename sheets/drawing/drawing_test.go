package drawing

import (
	"flag"
	"math"
	"math/big"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares with a file in testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got), name)
}

func unit(symbol string, num, den int64) *show.Spec {
	return &show.Spec{Form: kind.Number, Units: []show.Unit{{Symbol: symbol, Ratio: big.NewRat(num, den)}}}
}

var (
	mm   = unit("mm", 1, 1000)
	inch = unit("in", 254, 10000)
)

// must takes a shape whose making is not what the test is about.
func must(o *shapes.Outline, err error) *shapes.Outline {
	if err != nil {
		panic(err)
	}
	return o
}

func figure(name string, o *shapes.Outline, notes ...string) Figure {
	return Figure{Name: name, Parts: [][][]value.Stroke{o.Drawn()}, Notes: notes}
}

// The shapes of the trade that are drawn in the tests.
var (
	seat     = must(shapes.Rectangle(0.6, 0.4, 0.04))
	arcPiece = must(shapes.Shrink(must(shapes.Turn(must(shapes.Sector(0.62, 1.05, math.Pi/5)), -math.Pi/10, value.Place{})), 0.002, "round"))
	plate    = plateWithHoles()
	post     = must(shapes.Circle(0.06))
	washer   = must(shapes.Annulus(0.02, 0.12))
	slot     = must(shapes.Slot(0.3, 0.05))
	hexagon  = must(shapes.RegularAcross(6, 0.2))
)

// plateWithHoles is 200 mm by 120 mm, with four holes of 12 mm in its corners and one of 60 mm in its middle.
func plateWithHoles() *shapes.Outline {
	loops := must(shapes.Rectangle(0.2, 0.12, 0.01)).Loops()
	for _, h := range []struct{ x, y, r float64 }{{20, 20, 6}, {180, 20, 6}, {180, 100, 6}, {20, 100, 6}, {100, 60, 30}} {
		loops = append(loops, must(shapes.Move(must(shapes.Circle(h.r/1000)), h.x/1000, h.y/1000)).Loops()...)
	}
	return must(shapes.FromLoops(loops))
}

// solidSegment is the piece 95 mm thick, its upper edges rounded over.
func solidSegment() Figure {
	s, err := shapes.Extrude(arcPiece, 0.095, shapes.Easing{Roundover: 0.006})
	if err != nil {
		panic(err)
	}
	f := figure("piece", arcPiece, "95 mm thick", "upper edges rounded over, R 6 mm")
	f.Front = s.Front()
	return f
}

// ringOfTen is the piece, ten times round the origin.
func ringOfTen() Figure {
	f := Figure{Name: "ring", Notes: []string{"10 pieces"}}
	for i := range 10 {
		f.Parts = append(f.Parts, must(shapes.Turn(arcPiece, float64(i)*math.Pi/5, value.Place{})).Drawn())
	}
	return f
}

func TestGoldenSVG(t *testing.T) {
	for _, c := range []struct {
		file, title string
		length      *show.Spec
		figures     []Figure
	}{
		{"seat.svg", "", mm, []Figure{figure("seat", seat, "95 mm thick")}},
		{"piece.svg", `Ring bench & "legs" <2>`, mm, []Figure{solidSegment()}},
		{"plate.svg", "", mm, []Figure{figure("plate", plate)}},
		{"ring.svg", "Ring bench", mm, []Figure{ringOfTen()}},
		{"several.svg", "Tiles", inch, []Figure{figure("washer", washer), figure("slot", slot), figure("tile", hexagon)}},
	} {
		d := Lay(c.title, c.figures, c.length)
		golden(t, c.file, d.SVG())
		assert.Equal(t, d.SVG(), Lay(c.title, c.figures, c.length).SVG(), "the same bytes again")
	}
}

// texts lists the words of a drawing.
func texts(d *Drawing) (out []text) {
	for _, m := range d.marks {
		if t, ok := m.(text); ok {
			out = append(out, t)
		}
	}
	return out
}

func words(d *Drawing) (out []string) {
	for _, t := range texts(d) {
		out = append(out, t.words)
	}
	return out
}

func TestMeasuresAreMarked(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Figure
		want []string
	}{
		{"rounded corners", figure("seat", seat, "95 mm thick"), []string{"600 mm", "400 mm", "R 40 mm", "seat", "95 mm thick"}},
		{"a solid", solidSegment(), []string{"455.8 mm", "643.9 mm", "R 1048 mm", "R 622 mm", "95 mm", "from the front"}},
		{"holes", figure("plate", plate), []string{"200 mm", "120 mm", "R 10 mm", "4 × ⌀ 12 mm", "⌀ 60 mm"}},
		{"a circle", figure("post", post), []string{"⌀ 120 mm"}},
		{"each radius once", ringOfTen(), []string{"2096 mm", "R 1048 mm", "R 622 mm", "10 pieces"}},
	} {
		got := words(Lay("", []Figure{c.f}, mm))
		for _, w := range c.want {
			assert.Contains(t, got, w, c.name)
		}
		seen := map[string]int{}
		for _, w := range got {
			seen[w]++
		}
		for w, n := range seen {
			if w[0] == 'R' {
				assert.Equal(t, 1, n, "%s: %s", c.name, w)
			}
		}
	}
	assert.Contains(t, words(Lay("", []Figure{figure("tile", hexagon)}, inch)), "7.874 in", "in the unit of the sheet")
}

// TestNothingOverlaps looks for words over words and marks off the paper.
func TestNothingOverlaps(t *testing.T) {
	all := []Figure{figure("seat", seat, "a note that is a good deal longer than the figure is wide on paper"), solidSegment(), figure("plate", plate), ringOfTen(),
		figure("post", post), figure("washer", washer), figure("slot", slot), figure("tile", hexagon), figure("wire", must(shapes.Rectangle(0.3, 0.001, 0))),
		figure("pole", must(shapes.Rectangle(0.001, 0.3, 0))), figure("stud", must(shapes.Rectangle(0.004, 0.004, 0.001)))}
	sheets := [][]Figure{all}
	for i := range all {
		sheets = append(sheets, all[i:i+1])
	}
	for _, figures := range sheets {
		d := Lay("A title", figures, mm)
		list := texts(d)
		for i, a := range list {
			for _, b := range list[:i] {
				assert.False(t, a.box().meets(b.box()), "%s: %q over %q", figures[0].Name, a.words, b.words)
			}
		}
		for _, m := range d.marks {
			b := m.box()
			assert.True(t, b.left > 0 && b.bottom > 0 && b.right < d.Width && b.top < d.Depth, "%s: %v", figures[0].Name, m)
		}
	}
}

// TestScale looks at the scale in words, on the bar and of the figure itself: all must say the same.
func TestScale(t *testing.T) {
	for _, c := range []struct {
		o      *shapes.Outline
		length *show.Spec
		scale  string
	}{
		{seat, mm, "1:5"}, {plate, mm, "1:1"}, {post, mm, "1:1"}, {must(shapes.Circle(0.004)), mm, "20:1"}, {must(shapes.Circle(20)), mm, "1:500"}, {hexagon, inch, "1:2"},
	} {
		d := Lay("", []Figure{figure("it", c.o)}, c.length)
		assert.Equal(t, c.scale, d.Scale)
		assert.Contains(t, words(d), "Scale "+c.scale)
		list := texts(d)
		zero, far := list[len(list)-3], list[len(list)-2]
		require.Equal(t, "0", zero.words)
		figure := d.marks[0].(shape)
		one := figure.scale * (1 / c.length.Number(1)) // of one unit, in millimetres on paper
		n := (far.at.X - zero.at.X) / one
		assert.Equal(t, c.length.Text(n/c.length.Number(1)), far.words)
		assert.InDelta(t, figure.box().width()/figure.scale, c.o.Width(), 1e-12)
	}
}

func TestManyRadii(t *testing.T) {
	var f Figure
	for i := range 20 {
		f.Parts = append(f.Parts, must(shapes.Move(must(shapes.Circle(0.01+float64(i)/1000)), float64(i)/10, 0)).Drawn())
	}
	got := words(Lay("", []Figure{f}, mm))
	assert.Contains(t, got, "12 more radii are not marked")
	assert.Contains(t, got, "⌀ 58 mm", "the greatest make up most")
	assert.NotContains(t, got, "⌀ 20 mm")
}

func TestBare(t *testing.T) {
	d := Bare(plate.Drawn(), 45)
	assert.InDelta(t, 45, d.Width, 1e-9)
	assert.InDelta(t, 4+41*0.6, d.Depth, 1e-9)
	assert.Empty(t, texts(d))
	assert.Nil(t, Bare(nil, 45))
}
