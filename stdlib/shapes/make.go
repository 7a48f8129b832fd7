package shapes

import (
	"fmt"
	"math"

	"castwright/lang/value"
)

// arcs adds an arc to a loop, in pieces of at most half a turn. from and to are its ends; where they are the same
// point the arc is a full circle.
func arcs(loop []Edge, centre value.Place, radius float64, from, to value.Place, sweep float64) []Edge {
	if math.Abs(sweep) <= math.Pi {
		return append(loop, Edge{from, to, centre, radius, sweep})
	}
	half := sweep / 2
	mid := add(centre, rotated(sub(from, centre), half))
	if from == to {
		// A full turn: the far end of the diameter, without the rounding of a sine.
		mid, half = sub(times(centre, 2), from), math.Copysign(math.Pi, sweep)
	}
	return append(loop, Edge{from, mid, centre, radius, half}, Edge{mid, to, centre, radius, half})
}

func circleLoop(radius, sweep float64) []Edge {
	start := value.Place{X: radius}
	return arcs(nil, value.Place{}, radius, start, start, sweep)
}

// Circle is a circle about the origin. The radius must be above 0.
func Circle(radius float64) (*Outline, error) {
	if err := above0("A circle", "a radius", radius); err != nil {
		return nil, err
	}
	return newOutline([][]Edge{circleLoop(radius, 2*math.Pi)}), nil
}

// Annulus is a ring about the origin between two radii, 0 < inner < outer.
func Annulus(inner, outer float64) (*Outline, error) {
	if err := above0("An annulus", "an inner radius", inner); err != nil {
		return nil, err
	}
	if err := innerOuter("An annulus", inner, outer); err != nil {
		return nil, err
	}
	return newOutline([][]Edge{circleLoop(outer, 2*math.Pi), circleLoop(inner, -2*math.Pi)}), nil
}

// Rectangle has its lower left corner on the origin, and its corners rounded by a radius from 0 to half the smaller
// side.
func Rectangle(width, depth, corner float64) (*Outline, error) {
	if err := above0("A rectangle", "a width", width); err != nil {
		return nil, err
	}
	if err := above0("A rectangle", "a depth", depth); err != nil {
		return nil, err
	}
	most := math.Min(width, depth) / 2
	if !finite(corner) || corner < 0 || corner > most*(1+1e-12) {
		return nil, fmt.Errorf("The corner radius of a rectangle of %s by %s lies from 0 to half its smaller side, %s; %s was given.",
			mm(width), mm(depth), mm(most), mm(corner))
	}
	r := math.Min(corner, most)
	w, d := width, depth
	corners := []value.Place{{}, {X: w}, {X: w, Y: d}, {Y: d}}
	if r == 0 {
		return newOutline([][]Edge{closed(corners)}), nil
	}
	var loop []Edge
	centres := []value.Place{{X: r, Y: r}, {X: w - r, Y: r}, {X: w - r, Y: d - r}, {X: r, Y: d - r}}
	starts := []value.Place{{Y: r}, {X: w - r}, {X: w, Y: d - r}, {X: r, Y: d}}
	ends := []value.Place{{X: r}, {X: w, Y: r}, {X: w - r, Y: d}, {Y: d - r}}
	for i := range corners {
		loop = append(loop, Edge{starts[i], ends[i], centres[i], r, math.Pi / 2})
		next := starts[(i+1)%4]
		if apart(ends[i], next) > 1e-12*(w+d) {
			loop = append(loop, line(ends[i], next))
			continue
		}
		// Two corners meet without a straight side between them.
		loop[len(loop)-1].To = next
	}
	return newOutline([][]Edge{loop}), nil
}

// Sector is a piece of a ring about the origin, from the x axis turning left by an angle above 0 and up to a full
// turn. With an inner radius of 0 it is a piece of a circle; a full turn gives the whole annulus or circle.
func Sector(inner, outer, angle float64) (*Outline, error) {
	if !finite(inner) || inner < 0 {
		return nil, fmt.Errorf("A sector needs an inner radius of 0 or more; %s was given.", mm(inner))
	}
	if err := innerOuter("A sector", inner, outer); err != nil {
		return nil, err
	}
	const full = 2 * math.Pi
	if !finite(angle) || angle <= 0 || angle > full*(1+1e-12) {
		return nil, fmt.Errorf("The angle of a sector lies above 0 deg and up to 360 deg; %s was given.", degrees(angle))
	}
	if angle > full*(1-1e-12) {
		if inner == 0 {
			return Circle(outer)
		}
		return Annulus(inner, outer)
	}
	return newOutline(sectorLoops(inner, outer, angle)), nil
}

// sectorLoops are the loops of a sector, of a circle or of an annulus, whatever their radii.
func sectorLoops(inner, outer, angle float64) [][]Edge {
	if angle >= 2*math.Pi {
		if inner == 0 {
			return [][]Edge{circleLoop(outer, angle)}
		}
		return [][]Edge{circleLoop(outer, angle), circleLoop(inner, -angle)}
	}
	// The ends of a quarter, half or three quarter turn stand on the axes exactly.
	sin, cos := math.Sincos(angle)
	if quarter := math.Round(angle / (math.Pi / 2)); math.Abs(angle-quarter*math.Pi/2) <= 1e-15*quarter && quarter > 0 {
		sin, cos = math.Round(sin), math.Round(cos)
	}
	u := value.Place{X: cos, Y: sin}
	loop := arcs(nil, value.Place{}, outer, value.Place{X: outer}, times(u, outer), angle)
	if inner == 0 {
		if cos == -1 {
			// Half a circle has one straight side, not two.
			loop = append(loop, line(times(u, outer), value.Place{X: outer}))
			return [][]Edge{loop}
		}
		loop = append(loop, line(times(u, outer), value.Place{}), line(value.Place{}, value.Place{X: outer}))
		return [][]Edge{loop}
	}
	loop = append(loop, line(times(u, outer), times(u, inner)))
	loop = arcs(loop, value.Place{}, inner, times(u, inner), value.Place{X: inner}, -angle)
	loop = append(loop, line(value.Place{X: inner}, value.Place{X: outer}))
	return [][]Edge{loop}
}

// Segment is a circular segment with the middle of its chord on the origin, the chord along x and the arc above. The
// height, from chord to arc, lies above 0 and below the diameter.
func Segment(radius, height float64) (*Outline, error) {
	if err := above0("A segment", "a radius", radius); err != nil {
		return nil, err
	}
	if !finite(height) || height <= 0 || height >= 2*radius {
		return nil, fmt.Errorf("The height of a segment of radius %s lies above 0 and below the diameter, %s; %s was given.",
			mm(radius), mm(2*radius), mm(height))
	}
	half := math.Sqrt(height * (2*radius - height))
	// The half angle by its sine and cosine, which keeps the digits of a flat segment.
	sweep := 2 * math.Atan2(half, radius-height)
	right, left := value.Place{X: half}, value.Place{X: -half}
	loop := arcs(nil, value.Place{Y: height - radius}, radius, right, left, sweep)
	return newOutline([][]Edge{append(loop, line(left, right))}), nil
}

// Slot is a rectangle along x whose ends are half circles, about the origin. The length is over all and not below the
// width; where both are the same the slot is a circle.
func Slot(length, width float64) (*Outline, error) {
	if err := above0("A slot", "a width", width); err != nil {
		return nil, err
	}
	if !finite(length) || length < width*(1-1e-12) {
		return nil, fmt.Errorf("The length of a slot is over all, rounded ends included, and not below its width of %s; %s was given.",
			mm(width), mm(length))
	}
	r := width / 2
	x := length/2 - r
	if x <= 1e-12*length {
		return Circle(r)
	}
	a, b, c, d := value.Place{X: -x, Y: -r}, value.Place{X: x, Y: -r}, value.Place{X: x, Y: r}, value.Place{X: -x, Y: r}
	return newOutline([][]Edge{{
		line(a, b), {b, c, value.Place{X: x}, r, math.Pi}, line(c, d), {d, a, value.Place{X: -x}, r, math.Pi},
	}}), nil
}

// above0 refuses a length that is not above 0, or beyond what can be worked with; what bears its article.
func above0(shape, what string, x float64) error {
	switch {
	case !(x > 0):
		return fmt.Errorf("%s needs %s above 0; %s was given.", shape, what, mm(x))
	case x < leastLength || x > mostLength:
		return fmt.Errorf("%s needs %s from %s to %s; %s was given.", shape, what, mm(leastLength), mm(mostLength), mm(x))
	}
	return nil
}

func innerOuter(shape string, inner, outer float64) error {
	if !finite(outer) {
		return fmt.Errorf("%s needs an outer radius of at most %s; %s was given.", shape, mm(mostLength), mm(outer))
	}
	if outer-inner < leastLength {
		return fmt.Errorf("%s needs an outer radius above its inner radius of %s; %s was given.", shape, mm(inner), mm(outer))
	}
	return nil
}
