package svg_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/stdlib/shapes"
	"castwright/stdlib/svg"
)

// paper is the root of a drawing of 600 mm by 400 mm whose user unit is 1 mm.
const paper = `<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="400mm" viewBox="0 0 600 400">`

const hundredth = 1e-5 // of a millimetre, in metres

// outline reads an outline of a drawing that is sound.
func outline(t testing.TB, text, id string, unit, tolerance float64) (*shapes.Outline, *svg.Report) {
	t.Helper()
	d, err := svg.Read("test.svg", []byte(text))
	require.NoError(t, err)
	o, r, err := d.Outline(id, unit, tolerance)
	require.NoError(t, err)
	return o, r
}

// near compares in parts of what is wanted.
func near(t testing.TB, what string, want, got, parts float64) {
	t.Helper()
	if !(math.Abs(got-want) <= parts*math.Abs(want)) {
		t.Errorf("%s is %.17g, want %.17g", what, got, want)
	}
}

// exactCase is a shape of straight lines and circular arcs, in a drawing whose user unit is 1 mm: its area in mm², its
// perimeter in mm and its box in mm from the lower left corner.
type exactCase struct {
	name      string
	element   string
	area      float64
	perimeter float64
	box       [4]float64 // left, right, bottom, top
}

// Closed forms of elementary mensuration, but where a source is named.
var exactCases = []exactCase{
	{"rectangle", `<rect x="10" y="20" width="200" height="100"/>`, 20000, 600, [4]float64{10, 210, 280, 380}},
	{"round corners", `<rect x="10" y="20" width="200" height="100" rx="25"/>`, 20000 - (4-math.Pi)*625, 400 + 50*math.Pi, [4]float64{10, 210, 280, 380}},
	{"stadium", `<rect width="200" height="100" ry="50"/>`, 10000 + 2500*math.Pi, 200 + 100*math.Pi, [4]float64{0, 200, 300, 400}},
	{"circle", `<circle cx="300" cy="200" r="150"/>`, 22500 * math.Pi, 300 * math.Pi, [4]float64{150, 450, 50, 350}},
	{"ellipse with equal half axes", `<ellipse cx="300" cy="200" rx="150"/>`, 22500 * math.Pi, 300 * math.Pi, [4]float64{150, 450, 50, 350}},
	{"polygon", `<polygon points="0,0 40,0 40,30"/>`, 600, 120, [4]float64{0, 40, 370, 400}},
	{"polyline that ends where it began", `<polyline points="0 0 40 0 40 30 0 0"/>`, 600, 120, [4]float64{0, 40, 370, 400}},
	// SVG 1.1, 8.3.2, example triangle01.
	{"triangle of the standard", `<path d="M 100 100 L 300 100 L 200 300 z"/>`, 20000, 200 + 200*math.Sqrt(5), [4]float64{100, 300, 100, 300}},
	// SVG 1.1, 8.3.8, example arcs01: three quarters of a disc, and the quarter that is missing, moved by 25 units both ways.
	{"pie of the standard", `<path d="M300,200 h-150 a150,150 0 1,0 150,-150 z"/>`, 0.75 * math.Pi * 22500, 300 + 225*math.Pi, [4]float64{150, 450, 50, 350}},
	{"piece of the pie", `<path d="M275,175 v-150 a150,150 0 0,0 -150,150 z"/>`, 0.25 * math.Pi * 22500, 300 + 75*math.Pi, [4]float64{125, 275, 225, 375}},
	{"arcs without blanks", `<path d="M100 100a50 50 0 01100 0 50 50 0 11-100 0"/>`, 2500 * math.Pi, 100 * math.Pi, [4]float64{100, 200, 250, 350}},
	{"half axes made longer for the ends", `<path d="M100 100A1 1 0 0 1 200 100z"/>`, 1250 * math.Pi, 100 + 50*math.Pi, [4]float64{100, 200, 300, 350}},
	{"arc without a half axis", `<path d="M100 100A0 5 0 0 1 200 100v50h-100z"/>`, 5000, 300, [4]float64{100, 200, 250, 300}},
	{"horizontal and vertical", `<path d="M10 10H110V60h-100Z"/>`, 5000, 300, [4]float64{10, 110, 340, 390}},
	{"numbers that run together", `<path d="M1e1.1e2L110 10.0.11e3.6e2L10,60z"/>`, 5000, 300, [4]float64{10, 110, 340, 390}},
	{"points of a move are those of lines", `<path d="m10 10 100 0 0 50 -100 0z"/>`, 5000, 300, [4]float64{10, 110, 340, 390}},
	{"a subpath from where the last began", `<path d="M10 10h100v50h-100z m20 10v10h10v-10z"/>`, 4900, 340, [4]float64{10, 110, 340, 390}},
	{"a point that is no shape", `<path d="M5 5 M10 10h100v50h-100z M7 7z"/>`, 5000, 300, [4]float64{10, 110, 340, 390}},
	{"points given twice", `<path d="M10 10h100v50v0h0h-100L10 10z"/>`, 5000, 300, [4]float64{10, 110, 340, 390}},
	{"ends a little apart", `<path d="M10 10h100v50h-100L10.004 10"/>`, 5000, 300, [4]float64{10, 110, 340, 390}},
	{"Béziers that are straight", `<path d="M10 10C20 10 60 10 110 10V60Q60 60 10 60z"/>`, 5000, 300, [4]float64{10, 110, 340, 390}},
	{"turned and stretched alike", `<circle r="20" transform="translate(100 100) rotate(33) scale(-2 2)"/>`, 1600 * math.Pi, 80 * math.Pi, [4]float64{60, 140, 260, 340}},
	{"an ellipse that is stretched to a circle", `<ellipse rx="10" ry="20" transform="translate(100 100) rotate(20) scale(2 1)"/>`, 400 * math.Pi, 40 * math.Pi, [4]float64{80, 120, 280, 320}},
	{"an arc in a mirror", `<path d="M0 0A50 50 0 0 1 100 0z" transform="translate(200 100) scale(-1 1)"/>`, 1250 * math.Pi, 100 + 50*math.Pi, [4]float64{100, 200, 300, 350}},
	{"turned by a quarter", `<rect width="20" height="10" transform="rotate(90) translate(0 -50)"/>`, 200, 60, [4]float64{40, 50, 380, 400}},
	{"turned about a point", `<rect width="20" height="10" transform="rotate(180 50 50)"/>`, 200, 60, [4]float64{80, 100, 300, 310}},
	{"skewed", `<rect width="20" height="10" transform="skewX(45)"/>`, 200, 40 + 20*math.Sqrt2, [4]float64{0, 30, 390, 400}},
	{"a matrix", `<rect width="20" height="10" transform="matrix(0 2 -3 0 100 50)"/>`, 1200, 140, [4]float64{70, 100, 310, 350}},
	{"lengths with units", `<rect x="1in" y="2.54cm" width="72pt" height="6pc"/>`, 96 * 96, 4 * 96, [4]float64{96, 192, 400 - 192, 400 - 96}},
	{"shares of the drawing", `<rect x="25%" y="50%" width="50%" height="25%"/>`, 30000, 800, [4]float64{150, 450, 100, 200}},
	{"a style that shapes nothing", `<rect width="20" height="10" style="fill:none; stroke-width: 3; font-size:12px"/>`, 200, 60, [4]float64{0, 20, 390, 400}},
}

func TestExactShapes(t *testing.T) {
	for _, c := range exactCases {
		t.Run(c.name, func(t *testing.T) {
			o, r := outline(t, paper+c.element+"</svg>", "", 0, hundredth)
			parts := 1e-14
			if c.name == "ends a little apart" {
				parts = 1e-4
			}
			near(t, "area", c.area*1e-6, o.Area(), parts)
			near(t, "perimeter", c.perimeter*1e-3, o.Perimeter(), parts)
			b, err := o.Bounds()
			require.NoError(t, err)
			for i, got := range []float64{b.Left, b.Right, b.Bottom, b.Top} {
				assert.InDelta(t, c.box[i]*1e-3, got, parts, "side %d", i)
			}
			assert.Zero(t, r.Curves)
			assert.Zero(t, r.AreaError)
			assert.Equal(t, []string{"1 user unit = 1 mm."}, r.Notes())
			assert.Empty(t, r.Doubt())
		})
	}
}

// The sizes that a drawing may state, by SVG 1.1, 7.2 to 7.9, and CSS 2.1, 4.3.2: the rectangle of 20 by 10 user units.
func TestSizes(t *testing.T) {
	const rect = `<rect id="r" x="30" y="20" width="20" height="10"/>`
	for _, c := range []struct {
		root    string
		unit    float64
		w, h    float64 // mm
		left    float64 // mm
		bottom  float64 // mm
		assumed bool
		scale   string
	}{
		{`width="200mm" height="100mm" viewBox="0 0 200 100"`, 0, 20, 10, 30, 70, false, "1 user unit = 1 mm"},
		{`width="20cm" height="10cm" viewBox="0 0 400 200"`, 0, 10, 5, 15, 85, false, "1 user unit = 0.5 mm"},
		{`width="2in" height="1in" viewBox="0 0 200 100"`, 0, 5.08, 2.54, 7.62, 17.78, false, "1 user unit = 0.254 mm"},
		{`width="144pt" height="72pt" viewBox="0 0 200 100"`, 0, 5.08, 2.54, 7.62, 17.78, false, "1 user unit = 0.254 mm"},
		{`width="12pc" height="6pc" viewBox="0 0 200 100"`, 0, 5.08, 2.54, 7.62, 17.78, false, "1 user unit = 0.254 mm"},
		{`width="800Q" height="400Q" viewBox="0 0 200 100"`, 0, 20, 10, 30, 70, false, "1 user unit = 1 mm"},
		{`width="192px" height="96" viewBox="0 0 200 100"`, 0, 5.08, 2.54, 7.62, 17.78, true, "1 user unit = 0.254 mm"},
		{`viewBox="0 0 200 100"`, 0, 20 * 25.4 / 96, 10 * 25.4 / 96, 30 * 25.4 / 96, 70 * 25.4 / 96, true, "1 user unit = 0.264583 mm"},
		{`width="100%" height="100%" viewBox="0 0 200 100"`, 0, 20 * 25.4 / 96, 10 * 25.4 / 96, 30 * 25.4 / 96, 70 * 25.4 / 96, true, "1 user unit = 0.264583 mm"},
		{`width="200mm" height="96" viewBox="0 0 200 100"`, 0, 20 * .254, 10 * .254, 30 * .254, 70 * .254, true, "1 user unit = 0.254 mm"},
		{`width="200mm" height="100mm"`, 0, 20 * 25.4 / 96, 10 * 25.4 / 96, 30 * 25.4 / 96, 100 - 30*25.4/96, false, "1 user unit = 0.264583 mm"},
		{``, 0, 20 * 25.4 / 96, 10 * 25.4 / 96, 30 * 25.4 / 96, -30 * 25.4 / 96, true, "1 user unit = 0.264583 mm"},
		{`width="400mm" viewBox="0 0 200 100"`, 0, 40, 20, 60, 140, false, "1 user unit = 2 mm"},
		{`height="200mm" viewBox="0 0 200 100"`, 0, 40, 20, 60, 140, false, "1 user unit = 2 mm"},
		{`width="400mm" height="100mm" viewBox="0 0 200 100"`, 0, 20, 10, 30, 70, false, "1 user unit = 1 mm"},
		{`width="400mm" height="100mm" viewBox="0 0 200 100" preserveAspectRatio="xMinYMax slice"`, 0, 40, 20, 60, 140, false, "1 user unit = 2 mm"},
		{`width="400mm" height="100mm" viewBox="0 0 200 100" preserveAspectRatio="none"`, 0, 40, 10, 60, 70, false, "1 user unit = 2 mm across and 1 mm up"},
		{`width="200mm" height="100mm" viewBox="-20 10 200 100"`, 0, 20, 10, 50, 80, false, "1 user unit = 1 mm"},
		{`viewBox="0 0 200 100"`, 0.001, 20, 10, 30, 70, false, "1 user unit = 1 mm"},
		{`width="200mm" height="100mm" viewBox="0 0 200 100"`, 0.0254, 508, 254, 762, 1778, false, "1 user unit = 25.4 mm"},
	} {
		t.Run(c.root, func(t *testing.T) {
			o, r := outline(t, "<svg "+c.root+">"+rect+"</svg>", "r", c.unit, hundredth)
			b, err := o.Bounds()
			require.NoError(t, err)
			near(t, "width", c.w*1e-3, o.Width(), 1e-14)
			near(t, "depth", c.h*1e-3, o.Depth(), 1e-14)
			near(t, "left", c.left*1e-3, b.Left, 1e-14)
			near(t, "bottom", c.bottom*1e-3, b.Bottom, 1e-14)
			assert.Equal(t, c.scale, r.Scale)
			assert.Equal(t, c.assumed, r.Assumed)
			assert.Equal(t, c.assumed, r.Doubt() != "")
		})
	}
}

// The same element, found in each of the ways in which a drawing names it.
func TestChosen(t *testing.T) {
	const text = paper + `
		<g id="both" transform="scale(2)">
			<rect id="left" width="10" height="10"/>
			<g id="off" display="none"><rect id="right" x="20" width="20" height="10"/></g>
			<text>a</text><image href="http://example.org/a.png"/><text>b</text>
		</g>
		<defs><circle id="kept" r="5"/></defs>
		<use id="put" href="#kept" transform="translate(50 50) scale(2)"/>
		<g id="pair"><rect x="100" width="10" height="10"/><rect x="105" width="10" height="10"/></g>
		<path id="clipped" clip-path="url(#c)" d="M200 0h10v10h-10z"/>
	</svg>`
	for _, c := range []struct {
		id    string
		area  float64
		notes []string
		doubt string
	}{
		{"left", 400, nil, ""},
		{"right", 800, nil, ""},
		{"off", 800, nil, ""},
		{"both", 400, []string{"Left out: 1 hidden, 1 image, 2 text."}, ""},
		{"kept", 25 * math.Pi, nil, ""},
		{"put", 100 * math.Pi, nil, ""},
		{"pair", 150, nil, ""},
		{"clipped", 100, nil, "A clip path or a mask of the drawing is not carried out."},
	} {
		t.Run(c.id, func(t *testing.T) {
			o, r := outline(t, text, c.id, 0, hundredth)
			near(t, "area", c.area*1e-6, o.Area(), 1e-13)
			assert.Equal(t, append([]string{"1 user unit = 1 mm."}, c.notes...), r.Notes())
			assert.Equal(t, c.doubt, r.Doubt())
		})
	}
}

// A drawing is read whatever the program that made it puts around it.
func TestWrappings(t *testing.T) {
	const body = `<rect id="r" width="20" height="10"/>`
	for i, text := range []string{
		`<?xml version="1.0" encoding="UTF-8" standalone="no"?>` + "\n<!-- made by hand -->\n" +
			`<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">` + paper + body + `</svg>`,
		`<?xml version="1.0" encoding="us-ascii"?>` + paper + body + `</svg>`,
		"\ufeff" + paper + body + "</svg>\n<!-- behind -->\n",
		`<s:svg xmlns:s="http://www.w3.org/2000/svg" xmlns:e="urn:editor" width="600mm" height="400mm" viewBox="0 0 600 400" e:version="1"><e:view><e:rect/></e:view><s:rect id="r" width="20" height="10" e:d="x"/></s:svg>`,
		paper + `<metadata><rdf xmlns="urn:rdf"><rect width="5" height="5"/></rdf></metadata><title>R &amp; D &#x2014;</title><style>.a { fill: none; stroke-width: 2px }</style>` + body + `</svg>`,
		paper + `<script><![CDATA[ if (a < b) { c = "'" } ]]></script>` + body + `</svg>`,
	} {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			o, _ := outline(t, text, "", 0, hundredth)
			near(t, "area", 200e-6, o.Area(), 1e-14)
		})
	}
}
