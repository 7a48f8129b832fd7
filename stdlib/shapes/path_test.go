package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/value"
)

// step takes a step whose making is not what the test is about.
func step(s Step, err error) Step {
	if err != nil {
		panic(err)
	}
	return s
}

func centred(x, y, cx, cy float64, turn string) Step {
	return step(ArcAbout(pt(x, y), pt(cx, cy), turn))
}

func rounded(x, y, radius float64, turn string) Step {
	return step(ArcOfRadius(pt(x, y), radius, turn))
}

func lineTo(x, y float64) Step { return LineTo(pt(x, y)) }

// TestPathMeasures holds paths against standard mensuration (published-values.md, section 17): the circular segment of
// angle θ has the area r²(θ − sin θ)/2, the sector r²θ/2.
func TestPathMeasures(t *testing.T) {
	const r, d = 0.3, 0.35 // the lens of two circles of radius r, their middles d apart
	lens := math.Acos(d / (2 * r))
	tip := math.Sqrt(r*r - d*d/4)
	phi := math.Pi / 3
	cos, sin := math.Cos(phi), math.Sin(phi)
	seg := 2 * math.Acos(1-0.4/1.0) // the angle of a segment of radius 1 and height 0.4
	tests := []struct {
		name            string
		start           value.Place
		steps           []Step
		area, perimeter float64
	}{
		{"triangle", pt(0, 0), []Step{lineTo(4, 0), lineTo(4, 3)}, 6, 12},
		{"triangle with its start again", pt(0, 0), []Step{lineTo(4, 0), lineTo(4, 3), lineTo(0, 0)}, 6, 12},
		{"triangle clockwise", pt(0, 0), []Step{lineTo(4, 3), lineTo(4, 0)}, 6, 12},
		{"slot by radius and tangent", pt(0, 0), []Step{lineTo(0.08, 0), rounded(0.08, 0.02, 0.01, "left"), lineTo(0, 0.02), ArcTangent(pt(0, 0))},
			0.0016 + math.Pi*1e-4, 0.16 + math.Pi*0.02},
		{"slot by points, clockwise", pt(0, 0), []Step{ArcThrough(pt(0, 0.02), pt(-0.01, 0.01)), lineTo(0.08, 0.02), ArcThrough(pt(0.08, 0), pt(0.09, 0.01))},
			0.0016 + math.Pi*1e-4, 0.16 + math.Pi*0.02},
		{"rounded rectangle by centres", pt(0.1, 0), []Step{lineTo(0.5, 0), centred(0.6, 0.1, 0.5, 0.1, "left"), lineTo(0.6, 0.3), centred(0.5, 0.4, 0.5, 0.3, "left"),
			lineTo(0.1, 0.4), centred(0, 0.3, 0.1, 0.3, "left"), lineTo(0, 0.1), centred(0.1, 0, 0.1, 0.1, "left")}, 0.24 - (4-math.Pi)*0.01, 1.2 + math.Pi*0.2},
		{"rounded rectangle by tangents", pt(0.1, 0), []Step{lineTo(0.5, 0), ArcTangent(pt(0.6, 0.1)), lineTo(0.6, 0.3), ArcTangent(pt(0.5, 0.4)),
			lineTo(0.1, 0.4), ArcTangent(pt(0, 0.3)), lineTo(0, 0.1), ArcTangent(pt(0.1, 0))}, 0.24 - (4-math.Pi)*0.01, 1.2 + math.Pi*0.2},
		{"rectangle with scooped corners", pt(0.1, 0), []Step{lineTo(0.5, 0), rounded(0.6, 0.1, 0.1, "right"), lineTo(0.6, 0.3), rounded(0.5, 0.4, 0.1, "right"),
			lineTo(0.1, 0.4), rounded(0, 0.3, 0.1, "right"), lineTo(0, 0.1), rounded(0.1, 0, 0.1, "right")}, 0.24 - math.Pi*0.01, 1.2 + math.Pi*0.2},
		{"sector", pt(0, 0), []Step{lineTo(2, 0), centred(2*cos, 2*sin, 0, 0, "left")}, 2 * phi, 4 + 2*phi},
		{"sector of more than half a turn", pt(0, 0), []Step{lineTo(2, 0), centred(0, -2, 0, 0, "left")}, 3 * math.Pi, 4 + 3*math.Pi},
		{"the same clockwise", pt(0, 0), []Step{lineTo(0, -2), centred(2, 0, 0, 0, "right")}, 3 * math.Pi, 4 + 3*math.Pi},
		{"three quarters of a disc through a point", pt(2, 0), []Step{ArcThrough(pt(0, -2), pt(-math.Sqrt2, math.Sqrt2))}, 3*math.Pi + 2, 3*math.Pi + 2*math.Sqrt2},
		{"three quarters of a disc, tangent", pt(2, -1), []Step{lineTo(2, 0), ArcTangent(pt(0, -2)), lineTo(0, -1)}, 3*math.Pi + 2, 3*math.Pi + 4},
		{"segment through its crown", pt(math.Sin(seg/2), 0), []Step{ArcThrough(pt(-math.Sin(seg/2), 0), pt(0, 0.4))}, (seg - math.Sin(seg)) / 2, seg + 2*math.Sin(seg/2)},
		{"half a disc by radius", pt(1, 0), []Step{rounded(-1, 0, 1, "left")}, math.Pi / 2, math.Pi + 2},
		{"disc by one centre", pt(3, 1), []Step{centred(3, 1, 2, 1, "right")}, math.Pi, 2 * math.Pi},
		{"disc of two halves", pt(3, 1), []Step{rounded(1, 1, 1, "left"), ArcTangent(pt(3, 1))}, math.Pi, 2 * math.Pi},
		{"lens by radii", pt(0, -tip), []Step{rounded(0, tip, r, "left"), rounded(0, -tip, r, "left")}, 2*r*r*lens - d*tip, 4 * r * lens},
		{"lens by centres, clockwise", pt(0, -tip), []Step{centred(0, tip, d/2, 0, "right"), centred(0, -tip, -d/2, 0, "right")}, 2*r*r*lens - d*tip, 4 * r * lens},
		{"moon", pt(0, -tip), []Step{centred(0, tip, -d/2, 0, "right"), centred(0, -tip, d/2, 0, "left")}, math.Pi*r*r - 2*r*r*lens + d*tip, 2 * math.Pi * r},
		{"bench segment of an annular sector", pt(0.6, 0), []Step{lineTo(1.05, 0), centred(1.05*cos, 1.05*sin, 0, 0, "left"), lineTo(0.6*cos, 0.6*sin), rounded(0.6, 0, 0.6, "right")},
			phi * (1.05*1.05 - 0.6*0.6) / 2, phi*1.65 + 0.9},
		{"annular sector of three quarters", pt(0.6, 0), []Step{lineTo(1.05, 0), centred(0, -1.05, 0, 0, "left"), lineTo(0, -0.6), centred(0.6, 0, 0, 0, "right")},
			3 * math.Pi / 4 * (1.05*1.05 - 0.6*0.6), 3*math.Pi/2*1.65 + 0.9},
	}
	for _, k := range tests {
		t.Run(k.name, func(t *testing.T) {
			o, err := Path(k.start, k.steps)
			require.NoError(t, err)
			near(t, k.area, o.Area(), 1e-12, "area")
			near(t, k.perimeter, o.Perimeter(), 1e-12, "perimeter")
			assert.Equal(t, 1, o.Pieces())
			assert.Zero(t, o.Holes())
		})
	}
}

// The ends of the edges are the points as they were given, and no edge is added where the last one is the start.
func TestPathKeepsItsPoints(t *testing.T) {
	points := []value.Place{pt(0.1, 0.3), pt(0.7, 0.2), pt(0.9, 0.5), pt(0.4, 0.8)}
	o, err := Path(points[0], []Step{LineTo(points[1]), ArcThrough(points[2], pt(0.85, 0.3)), rounded(0.4, 0.8, 0.6, "left"), ArcThrough(points[0], pt(0.2, 0.5))})
	require.NoError(t, err)
	loop := o.Loops()[0]
	require.Len(t, loop, 4)
	for i, e := range loop {
		assert.Equal(t, points[i], e.From)
		assert.Equal(t, points[(i+1)%4], e.To)
	}
	again, err := Path(points[0], []Step{LineTo(points[1]), LineTo(points[2]), LineTo(pt(0.1, math.Nextafter(0.3, 1)))})
	require.NoError(t, err)
	assert.Len(t, again.Loops()[0], 3, "a last point that is the start but for its last bit is the start")
}

// However an arc is given, it is the same arc: its centre and turn, drawn from a circle anywhere, come back. The path is
// the sector of the arc, begun with a line on the tangent.
func TestEachWayGivesTheArc(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		centre := pt(rapid.Float64Range(-3, 3).Draw(t, "x"), rapid.Float64Range(-3, 3).Draw(t, "y"))
		r := rapid.Float64Range(0.05, 5).Draw(t, "radius")
		from := rapid.Float64Range(-4, 4).Draw(t, "from")
		sweep := rapid.Float64Range(0.05, 6.1).Draw(t, "sweep")
		turn := "left"
		if rapid.Bool().Draw(t, "right") {
			turn, sweep = "right", -sweep
		}
		on := func(angle float64) value.Place { return add(centre, rotated(pt(r, 0), angle)) }
		a, b, mid := on(from), on(from+sweep), on(from+sweep*rapid.Float64Range(0.2, 0.8).Draw(t, "share"))
		ahead := rotated(pt(0, math.Copysign(1, sweep)), from)
		tests := map[string]Step{
			"centre":  step(ArcAbout(b, centre, turn)),
			"through": ArcThrough(b, mid),
			"tangent": ArcTangent(b),
		}
		if math.Abs(sweep) < 3 { // near half a turn the last digit of the radius moves the centre far
			tests["radius"] = step(ArcOfRadius(b, r, turn))
		}
		for name, s := range tests {
			edges, err := s.edges(a, []Edge{line(along(a, ahead, -r), a)}, 1e-11)
			require.NoError(t, err, name)
			total := 0.0
			for _, e := range edges {
				total += e.Sweep
				near(t, r, e.Radius, 1e-9, name)
				assert.Less(t, apart(centre, e.Centre), 1e-9*(r+size(centre)), name)
			}
			near(t, sweep, total, 1e-9, name)
			o, err := Path(centre, []Step{LineTo(a), s.following(a, ahead)})
			require.NoError(t, err, name)
			near(t, r*r*math.Abs(sweep)/2, o.Area(), 1e-9, name)
			near(t, r*(2+math.Abs(sweep)), o.Perimeter(), 1e-9, name)
		}
	})
}

// following gives a step that is tangent to a direction as one through a point, so that it may follow a line of another.
func (s Step) following(from, ahead value.Place) Step {
	if s.way != tangent {
		return s
	}
	edges, _ := s.edges(from, []Edge{line(sub(from, ahead), from)}, 1e-11)
	return ArcThrough(s.to, edges[0].At(0.5))
}

// A chain of tangent arcs over random points goes on smoothly at each of them, and ends where it shall.
func TestTangentArcsAreSmooth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hundredth := rapid.IntRange(-300, 300) // points that are hardly apart lose their digits
		loop := []Edge{line(pt(0, 0), pt(1, 0))}
		for range 6 {
			before := loop[len(loop)-1]
			to := pt(float64(hundredth.Draw(t, "x"))/100, float64(hundredth.Draw(t, "y"))/100)
			edges, err := ArcTangent(to).edges(before.To, loop, 3e-11)
			if err != nil {
				t.Skip(err) // the point is the last one, or lies straight ahead
			}
			assert.Greater(t, dot(before.heading(1), edges[0].heading(0)), 1-1e-9)
			assert.Less(t, math.Abs(cross(before.heading(1), edges[0].heading(0))), 1e-9)
			assert.Equal(t, to, edges[len(edges)-1].To)
			near(t, edges[0].Radius, apart(to, edges[0].Centre), 1e-9, "radius")
			loop = append(loop, edges...)
		}
	})
}

func TestPathRefusals(t *testing.T) {
	far := math.Inf(1)
	tests := []struct {
		name  string
		start value.Place
		steps []Step
		says  string
	}{
		{"centre off", pt(0, 0), []Step{centred(0.1, 0, 0.051, 0.02, "left")},
			"Step 1 of the path, an arc to (100 mm, 0 mm), has its centre (51 mm, 20 mm) at 54.7814 mm from where it begins, but 52.9245 mm from where it ends. Move one"},
		{"centre off by little", pt(0, 0), []Step{centred(1, 0, 0.5+1e-10, 0.5, "left")}, "at 707.1067813 mm from where it begins, but 707.1067811 mm from where it ends."},
		{"radius too small", pt(0, 0), []Step{lineTo(0, 0.1), rounded(0.1, 0.1, 0.04, "left")},
			"Step 2 of the path, an arc to (100 mm, 100 mm), has a radius of 40 mm, which does not reach. Its ends are 100 mm apart, and the least radius is half of that, 50 mm."},
		{"three points on one line", pt(0, 0), []Step{ArcThrough(pt(4, 2), pt(2, 1))},
			"Step 1 of the path, an arc to (4000 mm, 2000 mm), lies on one line with (0 mm, 0 mm), where it begins, and (2000 mm, 1000 mm), which it shall pass through. Write line(…)"},
		{"through its own end", pt(0, 0), []Step{ArcThrough(pt(4, 2), pt(4, 2))}, "lies on one line with"},
		{"as good as straight", pt(0, 0), []Step{ArcThrough(pt(4, 0), pt(2, 1e-10))}, "Step 1 of the path, an arc to (4000 mm, 0 mm), would be as good as straight."},
		{"tangent to nothing", pt(0, 0), []Step{ArcTangent(pt(1, 0))}, "Step 1 of the path, an arc to (1000 mm, 0 mm), cannot be tangent: there is nothing before it. Begin"},
		{"tangent straight ahead", pt(0, 0), []Step{lineTo(1, 0), ArcTangent(pt(2, 0))}, "Step 2 of the path, an arc to (2000 mm, 0 mm), lies straight ahead of the step before it. Write line(…)"},
		{"tangent straight behind", pt(0, 0), []Step{lineTo(1, 0), ArcTangent(pt(-2, 0))}, "Step 2 of the path, an arc to (-2000 mm, 0 mm), lies straight behind"},
		{"line to nowhere else", pt(0, 0), []Step{lineTo(1, 0), lineTo(1, 0)}, "Step 2 of the path, a line to (1000 mm, 0 mm), ends where it begins."},
		{"arc by radius to nowhere else", pt(0, 0), []Step{lineTo(1, 0), rounded(1, 0, 1, "left")}, "Step 2 of the path, an arc to (1000 mm, 0 mm), ends where it begins. Leave it out; only"},
		{"circle about its own point", pt(1, 0), []Step{centred(1, 0, 1, 0, "left")}, "begins and ends at its own centre."},
		{"one line", pt(0, 0), []Step{lineTo(1, 0)}, "A path without arcs needs at least two lines"},
		{"no steps", pt(0, 0), nil, "A path without arcs needs at least two lines"},
		{"there and back", pt(0, 0), []Step{lineTo(1, 0), lineTo(3, 0)}, "The path crosses or touches itself at"},
		{"an arc there and back", pt(0, 0), []Step{rounded(1, 0, 1, "left"), rounded(0, 0, 1, "right")}, "step 1, an arc to (1000 mm, 0 mm), and step 2, an arc to (0 mm, 0 mm)."},
		{"hour glass", pt(0, 0), []Step{lineTo(1, 0), lineTo(0, 1), lineTo(1, 1)},
			"The path crosses or touches itself at (500 mm, 500 mm): step 2, a line to (0 mm, 1000 mm), and the line that closes it."},
		{"an arc of two edges is one step", pt(0, 0), []Step{lineTo(4, 0), centred(3, 1, 4, 1, "left"), lineTo(5, 3)},
			"The path crosses or touches itself at (4000 mm, 2000 mm): step 2, an arc to (3000 mm, 1000 mm), and step 3, a line to (5000 mm, 3000 mm)."},
		{"touching", pt(0, 0), []Step{lineTo(4, 0), lineTo(4, 2), lineTo(3, 2), rounded(1, 2, 1, "right"), lineTo(2, 0)}, "at (2000 mm, 0 mm): step 1, a line to (4000 mm, 0 mm), and step 5, a line"},
		{"round its start twice", pt(1, 0), []Step{centred(1, 0, 0, 0, "left"), lineTo(3, 3)}, "The path crosses or touches itself at"},
		{"start nowhere", pt(far, 0), []Step{lineTo(1, 0), lineTo(1, 1)}, "The start of the path lies nowhere that can be worked with"},
		{"point nowhere", pt(0, 0), []Step{lineTo(1, 0), lineTo(math.NaN(), 1)}, "Step 2 of the path, line to (NaN mm, 1000 mm), lies nowhere"},
		{"centre nowhere", pt(0, 0), []Step{centred(1, 0, far, 0, "left")}, "Step 1 of the path, arc to (1000 mm, 0 mm), turning left about (+Inf mm, 0 mm), lies nowhere"},
	}
	for _, k := range tests {
		t.Run(k.name, func(t *testing.T) {
			_, err := Path(k.start, k.steps)
			require.Error(t, err)
			assert.Contains(t, err.Error(), k.says)
		})
	}
}

func TestStepRefusals(t *testing.T) {
	_, err := ArcAbout(pt(0, 0), pt(1, 0), "up")
	assert.EqualError(t, err, `An arc turns "left" or "right"; "up" was given.`)
	_, err = ArcOfRadius(pt(0, 0), 1, "")
	assert.EqualError(t, err, `An arc by its centre or its radius goes one of two ways round. Write turn: "left" or turn: "right".`)
	for _, r := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err = ArcOfRadius(pt(0, 0), r, "left")
		assert.ErrorContains(t, err, "An arc needs a radius", r)
	}
}

func TestStepsAreComparedByContent(t *testing.T) {
	steps := []Step{lineTo(1, 0), lineTo(0, 1), centred(1, 0, 0, 0, "left"), centred(1, 0, 0, 0, "right"), centred(1, 0, 0, 1, "left"), rounded(1, 0, 2, "left"),
		rounded(1, 0, 3, "left"), ArcThrough(pt(1, 0), pt(2, 0)), ArcTangent(pt(1, 0))}
	for i, a := range steps {
		for k, b := range steps {
			assert.Equal(t, i == k, a.Equal(b), "%s; %s", a.Words(mm), b.Words(mm))
		}
		assert.False(t, a.Equal(nil))
	}
}
