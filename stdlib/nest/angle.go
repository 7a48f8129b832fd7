package nest

import (
	"cmp"
	"math"
	"slices"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// bestAngle is the angle by which an outline is turned so that the box round it is least: as it is drawn, or with a
// straight side of its convex hull along the sheet. Where it then fits on no sheet, it is turned until it does.
func (j *job) bestAngle(o *shapes.Outline) float64 {
	best, least := 0.0, o.Width()*o.Depth()
	for _, a := range hullAngles(o) {
		if w, d := turnedBox(o, -a); w*d < least*(1-1e-3) {
			best, least = -a, w*d
		}
	}
	if j.fitsTurned(o, best) {
		return best
	}
	for degree := range 90 { // both ways round are tried at each
		if a := float64(degree) * math.Pi / 180; j.fitsTurned(o, a) {
			return a
		}
	}
	return best
}

// turnedBox gives the sides of the box round an outline turned left by an angle.
func turnedBox(o *shapes.Outline, angle float64) (width, depth float64) {
	const quarter = math.Pi / 2
	return o.Reach(-angle) + o.Reach(2*quarter-angle), o.Reach(quarter-angle) + o.Reach(3*quarter-angle)
}

// fitsTurned tells whether an outline, turned by an angle and by any quarter turns, fits on a sheet.
func (j *job) fitsTurned(o *shapes.Outline, angle float64) bool {
	w, d := turnedBox(o, angle)
	_, lying := j.limits(w, d)
	_, standing := j.limits(d, w)
	return lying || standing
}

// hullAngles gives the directions of the longest straight sides of the convex hull, at most eight, in rad from 0 to a
// quarter turn. Arcs are taken by points of them: the sides between those are short, and left out.
func hullAngles(o *shapes.Outline) []float64 {
	const piece = math.Pi / 36
	var points []value.Place
	for _, loop := range o.Loops() {
		for _, e := range loop {
			n := 1 + int(math.Abs(e.Sweep)/piece)
			for i := range n {
				points = append(points, e.At(float64(i)/float64(n)))
			}
		}
	}
	hull := convexHull(points)
	type side struct{ angle, length float64 }
	var sides []side
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		s := side{math.Mod(math.Atan2(q.Y-p.Y, q.X-p.X)+2*math.Pi, math.Pi/2), math.Hypot(q.X-p.X, q.Y-p.Y)}
		if s.length > 0.1*(o.Width()+o.Depth()) {
			sides = append(sides, s)
		}
	}
	slices.SortStableFunc(sides, func(a, b side) int { return cmp.Compare(b.length, a.length) })
	var out []float64
	for _, s := range sides[:min(len(sides), 8)] {
		out = append(out, s.angle)
	}
	return out
}

// convexHull gives the corners of the convex hull in order to the left, by the monotone chain of Andrew (1979).
func convexHull(points []value.Place) []value.Place {
	slices.SortFunc(points, func(a, b value.Place) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	half := func() []value.Place {
		var out []value.Place
		for _, p := range points {
			for len(out) > 1 && leftTurn(out[len(out)-2], out[len(out)-1], p) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		return out[:len(out)-1]
	}
	lower := half()
	slices.Reverse(points)
	return append(lower, half()...)
}

func leftTurn(a, b, c value.Place) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }
