package shapes

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/value"
)

// closed joins points by straight lines, the last to the first.
func closed(points []value.Place) []Edge {
	loop := make([]Edge, len(points))
	for i, p := range points {
		loop[i] = line(p, points[(i+1)%len(points)])
	}
	return loop
}

// Polygon joins three or more points in their order, in either sense of turning. Edge 1 runs from point 1 to point 2,
// and the last one back to point 1. Edges that cross or touch and points that are given twice are refused.
func Polygon(points []value.Place) (*Outline, error) {
	if len(points) < 3 {
		return nil, fmt.Errorf("A polygon needs at least 3 points; it has %d.", len(points))
	}
	reach := 0.0
	for i, p := range points {
		if !finite(p.X, p.Y) {
			return nil, fmt.Errorf("Point %d of the polygon lies nowhere that can be worked with: %s.", i+1, at(p))
		}
		reach = math.Max(reach, math.Max(math.Abs(p.X), math.Abs(p.Y)))
	}
	gap := 1e-11 * reach
	for i, p := range points {
		for j := range i {
			if apart(p, points[j]) <= gap {
				return nil, fmt.Errorf("Points %d and %d of the polygon are the same, %s. Give each point once; the polygon closes by itself.",
					j+1, i+1, at(p))
			}
		}
	}
	loop := closed(points)
	if c := findClash([][]Edge{loop}, gap); c != nil {
		return nil, fmt.Errorf("Edges %d and %d of the polygon cross or touch at %s. Give the points in the order in which they lie round it.",
			c.edge[0]+1, c.edge[1]+1, at(c.place))
	}
	area := loopArea(loop)
	if math.Abs(area) <= gap*reach {
		return nil, errors.New("The points of the polygon lie on one line: it has no area.")
	}
	if area < 0 {
		turned := make([]value.Place, len(points))
		for i, p := range points {
			turned[(len(points)-i)%len(points)] = p
		}
		loop = closed(turned)
	}
	return newOutline([][]Edge{loop}), nil
}

// mostSides keeps a slip of the keyboard from making an outline that cannot be worked with.
const mostSides = 1000

// RegularAcross is a regular polygon about the origin, of a width across flats: twice the distance from the middle to
// a side. One side lies below, along x.
func RegularAcross(sides int, acrossFlats float64) (*Outline, error) {
	if err := above0("A regular polygon", "a width across flats", acrossFlats); err != nil {
		return nil, err
	}
	return regular(sides, acrossFlats/2)
}

// RegularSide is a regular polygon about the origin with sides of a given length. One side lies below, along x.
func RegularSide(sides int, side float64) (*Outline, error) {
	if err := above0("A regular polygon", "a side", side); err != nil {
		return nil, err
	}
	return regular(sides, side/2/math.Tan(math.Pi/float64(max(sides, 3))))
}

func regular(sides int, toSide float64) (*Outline, error) {
	if sides < 3 || sides > mostSides {
		return nil, fmt.Errorf("A regular polygon has from 3 to %d sides; %d was given.", mostSides, sides)
	}
	half := math.Pi / float64(sides)
	radius := toSide / math.Cos(half)
	points := make([]value.Place, sides)
	for i := range points {
		sin, cos := math.Sincos(float64(2*i+1) * half)
		points[i] = value.Place{X: radius * sin, Y: -radius * cos}
	}
	return newOutline([][]Edge{closed(points)}), nil
}
