package drawing

import (
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
	"castwright/stdlib/svg"
)

// paths reads the paths of an SVG that have an id: their data by it.
func paths(t require.TestingT, text []byte) map[string]string {
	out := map[string]string{}
	d := xml.NewDecoder(strings.NewReader(string(text)))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return out
		}
		require.NoError(t, err)
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "path" {
			at := map[string]string{}
			for _, a := range e.Attr {
				at[a.Name.Local] = a.Value
			}
			if at["id"] != "" {
				require.NotContains(t, out, at["id"], "an id stands once")
				out[at["id"]] = at["d"]
			}
		}
	}
}

// areaOf reads the data of a path of M, L, A and Z (SVG 1.1, chapter 8), and gives the area inside, loops that turn right
// taken off: half the sum of x dy − y dx along lines, and of each arc the sector less its triangle besides.
func areaOf(t require.TestingT, data string) float64 {
	words := strings.Fields(data)
	number := func() float64 {
		x, err := strconv.ParseFloat(words[0], 64)
		require.NoError(t, err)
		words = words[1:]
		return x
	}
	var area, x, y, startX, startY float64
	to := func(u, w float64) {
		area += (x*w - u*y) / 2
		x, y = u, w
	}
	for len(words) > 0 {
		op := words[0]
		words = words[1:]
		switch op {
		case "M":
			x, y = number(), number()
			startX, startY = x, y
		case "L":
			to(number(), number())
		case "A":
			rx, ry := number(), number()
			require.Equal(t, rx, ry)
			require.Zero(t, number(), "not turned")
			large, sweep := number(), number()
			require.Zero(t, large, "at most half a turn")
			u, w := number(), number()
			half := math.Asin(math.Hypot(u-x, w-y) / 2 / rx)
			area += (2*sweep - 1) * rx * rx * (half - math.Sin(2*half)/2)
			to(u, w)
		case "Z":
			to(startX, startY)
		default:
			require.Fail(t, "unknown "+op)
		}
	}
	return area
}

func assertArea(t require.TestingT, o *shapes.Outline) {
	f := figure("it", o)
	got := areaOf(t, paths(t, Lay("", []Figure{f}, mm).SVG())["it"]) / 1e6
	require.InEpsilon(t, o.Area(), got, 1e-9)
}

// TestReadBack finds the same area in the SVG, to a part in 10⁹.
func TestReadBack(t *testing.T) {
	half := must(shapes.Sector(0, 0.1, math.Pi)) // an arc of half a turn
	for _, o := range []*shapes.Outline{seat, arcPiece, plate, post, washer, slot, hexagon, half, must(shapes.Rectangle(1, 1e-6, 0)),
		must(shapes.Segment(100, 1e-4)), must(shapes.Move(seat, 12.3456789, -7.654321)), must(shapes.Scale(plate, 1e3)), must(shapes.Scale(plate, 1e-2))} {
		assertArea(t, o)
	}
	ring := ringOfTen()
	got := paths(t, Lay("", []Figure{ring}, mm).SVG())
	require.Len(t, got, 10)
	for id, d := range got {
		assert.InEpsilon(t, arcPiece.Area(), areaOf(t, d)/1e6, 1e-9, id)
	}
	assert.Contains(t, got, "ring-10")
}

// TestReadByDrawing reads drawings with the reader of the library, as a sheet does.
func TestReadByDrawing(t *testing.T) {
	for _, o := range []*shapes.Outline{seat, arcPiece, plate, post, washer, slot, hexagon} {
		d := Lay("", []Figure{figure("it", o)}, mm)
		file, err := svg.Read("it.svg", d.SVG())
		require.NoError(t, err)
		per, err := strconv.ParseFloat(strings.TrimSuffix(d.Unit, " mm"), 64)
		require.NoError(t, err)
		back, report, err := file.Outline("it", per/1000, 1e-5)
		require.NoError(t, err)
		assert.Zero(t, report.AreaError, "exact")
		assert.InEpsilon(t, o.Area(), back.Area(), 1e-9)
		assert.InEpsilon(t, o.Perimeter(), back.Perimeter(), 1e-9)
		assert.Equal(t, o.Holes(), back.Holes())
	}
}

func TestReadBackAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := math.Pow(10, rapid.Float64Range(-3, 1).Draw(t, "size"))
		o := must(shapes.Sector(size*rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0.001, 0.9)).Draw(t, "inner"), size, rapid.Float64Range(0.01, 2*math.Pi).Draw(t, "angle")))
		o = must(shapes.Turn(o, rapid.Float64Range(-4, 4).Draw(t, "turn"), value.Place{}))
		o = must(shapes.Move(o, size*rapid.Float64Range(-10, 10).Draw(t, "x"), size*rapid.Float64Range(-10, 10).Draw(t, "y")))
		require.InEpsilon(t, o.Area(), areaOf(t, shape{loops: o.Drawn()}.path())/1e6, 1e-9)
	})
}

func TestSVGIsWellFormed(t *testing.T) {
	f := figure(`seat "<&>" 1`, seat, "a note\x01 with \xff bytes & <tags>")
	text := Lay("<title> & 'more'", []Figure{f}, mm).SVG()
	d := xml.NewDecoder(strings.NewReader(string(text)))
	d.Strict = true
	for {
		if _, err := d.Token(); err == io.EOF {
			break
		} else {
			require.NoError(t, err)
		}
	}
	assert.Contains(t, paths(t, text), `seat-"<&>"-1`)
}

// TestPaper compares the size of the paper with the size of the figure at its scale.
func TestPaper(t *testing.T) {
	text := string(Lay("", []Figure{figure("seat", seat)}, mm).SVG())
	assert.Contains(t, text, `width="154mm"`)
	assert.Contains(t, text, "viewBox=\"0 0 154 ")
	assert.Contains(t, text, "scale(0.2 -0.2)")
	assert.Contains(t, text, "<desc>Scale 1:5 on paper.")
	assert.Contains(t, text, `d="M 0 40 A 40 40 0 0 1 40 0 L 560 0 `, "in millimetres of the piece")
}
