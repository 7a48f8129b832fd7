package svg_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
	"castwright/stdlib/svg"
)

// curveCase is a shape with curves that are no circular arcs: its area in mm² and its perimeter in mm, of polygons with 200 000
// points and more on each curve, measured by the geometry library shapely 1.8.5.
type curveCase struct {
	name, element   string
	area, perimeter float64
}

var curveCases = []curveCase{
	{"circle of four Béziers", `<path transform="translate(300 200)" d="M100 0C100 55.228474983079356 55.228474983079356 100 0 100S-100 55.228474983079356-100 0-55.228474983079356-100 0-100 100-55.228474983079356 100 0z"/>`,
		31424.7233262416, 628.4066792279435},
	{"kidney", `<path d="M20 60C20 0 140-20 140 50S90 90 80 80 20 120 20 60z"/>`, 8474.99999972606, 353.6134292074626},
	{"piece of a parabola", `<path d="M0 0Q50 100 100 0z"/>`, 3333.333333250024, 247.8942857537174},
	{"ellipse", `<ellipse cx="300" cy="200" rx="90" ry="50"/>`, 14137.166940572777, 448.8457119802169},
	{"long ellipse", `<ellipse rx="500" ry="20"/>`, 31415.926535846607, 2006.571656532872},
	{"elliptic corners", `<rect width="100" height="40" rx="12" ry="6"/>`, 3938.194671053509, 266.1306893232355},
	{"teardrop of one Bézier", `<path d="M300 0C400 100 200 100 300 0"/>`, 2999.9999996250717, 203.6693895440948},
	{"double bend", `<path d="M0 0C300 0-200 100 100 100V150H-100V0z"/>`, 25000.000000000036, 833.0958340354352},
}

// The area is that of the drawing but for the error that is told, at every tolerance.
func TestCurves(t *testing.T) {
	for _, c := range curveCases {
		t.Run(c.name, func(t *testing.T) {
			last := 0
			for _, tolerance := range []float64{1e-3, 1e-4, 1e-5, 1e-6, 1e-7} {
				o, r := outline(t, paper+c.element+"</svg>", "", 0, tolerance)
				assert.InDelta(t, r.AreaError, math.Abs(o.Area()-c.area*1e-6), 2e-10*c.area*1e-6, "the error that is told, within %g m", tolerance)
				assert.LessOrEqual(t, r.AreaError, tolerance*o.Perimeter())
				near(t, fmt.Sprintf("perimeter within %g m", tolerance), c.perimeter*1e-3, o.Perimeter(), math.Sqrt(tolerance)/10)
				assert.GreaterOrEqual(t, r.Arcs, last)
				last = r.Arcs
			}
		})
	}
}

// bezier is a cubic Bézier by x and y of its control points, in mm, y downwards as in a drawing of 400 mm.
type bezier [8]float64

// shape draws a curve as the upper side of a shape whose other sides are straight.
func (b bezier) shape() string {
	return fmt.Sprintf(`%s<path d="M%v %vC%v %v %v %v %v %vV390H%vz"/></svg>`, paper, b[0], b[1], b[2], b[3], b[4], b[5], b[6], b[7], b[0])
}

// at is a point of the curve by the definition of Bernstein polynomials, in metres, y upwards.
func (b bezier) at(t float64) value.Place {
	u := 1 - t
	w := [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}
	var p value.Place
	for i, k := range w {
		p.X, p.Y = p.X+k*b[2*i], p.Y+k*b[2*i+1]
	}
	return value.Place{X: p.X / 1000, Y: (400 - p.Y) / 1000}
}

// away is the distance from a point to the nearest of some edges.
func away(edges []shapes.Edge, p value.Place) float64 {
	least := math.Inf(1)
	for _, e := range edges {
		ends := math.Min(math.Hypot(p.X-e.From.X, p.Y-e.From.Y), math.Hypot(p.X-e.To.X, p.Y-e.To.Y))
		least = math.Min(least, ends)
		if e.IsArc() {
			v, w := value.Place{X: p.X - e.Centre.X, Y: p.Y - e.Centre.Y}, value.Place{X: e.From.X - e.Centre.X, Y: e.From.Y - e.Centre.Y}
			turn := math.Atan2(w.X*v.Y-w.Y*v.X, w.X*v.X+w.Y*v.Y)
			if turn*e.Sweep >= 0 && math.Abs(turn) <= math.Abs(e.Sweep) {
				least = math.Min(least, math.Abs(math.Hypot(v.X, v.Y)-e.Radius))
			}
			continue
		}
		dx, dy := e.To.X-e.From.X, e.To.Y-e.From.Y
		if t := ((p.X-e.From.X)*dx + (p.Y-e.From.Y)*dy) / (dx*dx + dy*dy); t > 0 && t < 1 {
			least = math.Min(least, math.Hypot(p.X-e.From.X-t*dx, p.Y-e.From.Y-t*dy))
		}
	}
	return least
}

// travel is the direction of an edge at its start or its end.
func travel(e shapes.Edge, end bool) float64 {
	along := math.Atan2(e.To.Y-e.From.Y, e.To.X-e.From.X)
	if end {
		return along + e.Sweep/2
	}
	return along - e.Sweep/2
}

// Each point of a curve lies within the tolerance of the outline, and each point of the outline of the curve; the arcs join
// smoothly, but for the angles below 0.006 degrees at lines that stand for the flattest of them.
func TestCurvesStayWithinTolerance(t *testing.T) {
	for _, b := range []bezier{
		{0, 300, 0, 0, 200, 0, 200, 300},
		{0, 300, 180, 10, 20, 10, 200, 300}, // with a narrow bend
		{0, 300, 150, 250, -20, 100, 200, 300},
		{0, 300, 0, 300, 100, 0, 200, 300}, // begins with its first two points in one
		{0, 300, 100, 299, 100, 299, 200, 300},
		{0, 300, 20, 280, 180, 320, 200, 300}, // with a turn of its bend
	} {
		for _, tolerance := range []float64{1e-3, 1e-5, 1e-6} {
			o, r := outline(t, b.shape(), "", 0, tolerance)
			withinTolerance(t, b, o, r)
		}
	}
}

// withinTolerance compares a curve with the arcs of an outline that it is the upper side of, whose other sides are three lines.
func withinTolerance(t require.TestingT, b bezier, o *shapes.Outline, r *svg.Report) {
	loop := o.Loops()[0]
	var arcs []shapes.Edge // as they follow each other along the curve, backwards or forwards
	for i := range loop {
		if e := loop[(i+longest(loop))%len(loop)]; !isSide(e) {
			arcs = append(arcs, e)
		}
	}
	require.Equal(t, r.Arcs, len(arcs))
	const n = 1000
	points := make([]value.Place, n+1)
	for i := range points {
		points[i] = b.at(float64(i) / n)
		require.LessOrEqual(t, away(arcs, points[i]), r.Tolerance*(1+1e-6), "the curve at %d of %d from the arcs", i, n)
	}
	var chords []shapes.Edge
	for i := range n {
		chords = append(chords, shapes.Line(points[i], points[i+1]))
	}
	for i, e := range arcs {
		for k := range 8 {
			require.LessOrEqual(t, away(chords, e.At(float64(k)/8)), r.Tolerance*(1+1e-6)+2e-7, "arc %d from the curve", i)
		}
		if i > 0 {
			require.InDelta(t, 0, math.Remainder(travel(e, false)-travel(arcs[i-1], true), 2*math.Pi), 1.01e-4, "arcs %d and %d", i-1, i)
		}
	}
}

// isSide tells the three straight sides from what the curve became.
func isSide(e shapes.Edge) bool { return !e.IsArc() && (e.From.X == e.To.X || e.From.Y == e.To.Y) }

// longest gives the place of the longest side in a loop.
func longest(loop []shapes.Edge) int {
	best := 0
	for i, e := range loop {
		if isSide(e) && (!isSide(loop[best]) || e.Length() > loop[best].Length()) {
			best = i
		}
	}
	return best
}

// Curves drawn by chance: where they do not cross themselves, the same holds, and the area error is that of the closed form.
func TestCurvesByChance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(20, 180), rapid.Float64Range(0, 300)
		b := bezier{0, y.Draw(t, "y0"), x.Draw(t, "x1"), y.Draw(t, "y1"), x.Draw(t, "x2"), y.Draw(t, "y2"), 200, y.Draw(t, "y3")}
		if b[2] > b[4] { // its x then rises all along
			b[2], b[4] = b[4], b[2]
		}
		tolerance := math.Pow(10, rapid.Float64Range(-6, -4).Draw(t, "tolerance"))
		d, err := svg.Read("chance.svg", []byte(b.shape()))
		require.NoError(t, err)
		o, r, err := d.Outline("", 0, tolerance)
		require.NoError(t, err)
		if r.Curves == 0 {
			return // it is a straight line
		}
		withinTolerance(t, b, o, r)
		// The area under a Bézier whose x is a cubic polynomial: the integral of (390 - y) dx, by the beta integrals of
		// products of Bernstein polynomials.
		area := 0.0
		for i := range 4 {
			for k := range 3 {
				area += 3 * (b[2*k+2] - b[2*k]) * (390 - b[2*i+1]) * choose(3, i) * choose(2, k) / (6 * choose(5, i+k))
			}
		}
		require.InDelta(t, r.AreaError, math.Abs(o.Area()-area*1e-6), 1e-14)
	})
}

func choose(n, k int) float64 {
	return math.Round(math.Gamma(float64(n+1)) / math.Gamma(float64(k+1)) / math.Gamma(float64(n-k+1)))
}
