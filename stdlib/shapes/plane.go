package shapes

import (
	"fmt"
	"math"
	"strconv"

	"castwright/lang/value"
)

// Points serve as vectors here; all of it is elementary plane geometry.

func add(a, b value.Place) value.Place           { return value.Place{X: a.X + b.X, Y: a.Y + b.Y} }
func sub(a, b value.Place) value.Place           { return value.Place{X: a.X - b.X, Y: a.Y - b.Y} }
func times(a value.Place, k float64) value.Place { return value.Place{X: a.X * k, Y: a.Y * k} }
func along(p, d value.Place, k float64) value.Place {
	return value.Place{X: p.X + d.X*k, Y: p.Y + d.Y*k}
}
func dot(a, b value.Place) float64     { return a.X*b.X + a.Y*b.Y }
func cross(a, b value.Place) float64   { return a.X*b.Y - a.Y*b.X }
func size(a value.Place) float64       { return math.Hypot(a.X, a.Y) }
func apart(a, b value.Place) float64   { return math.Hypot(a.X-b.X, a.Y-b.Y) }
func leftOf(d value.Place) value.Place { return value.Place{X: -d.Y, Y: d.X} }
func unit(a value.Place) value.Place   { return times(a, 1/size(a)) }

// angleFrom is the angle by which a must turn left to point like b, above -pi and up to pi.
func angleFrom(a, b value.Place) float64 { return math.Atan2(cross(a, b), dot(a, b)) }

// Lengths within these limits, in metres, cannot overflow or vanish in any power that is taken of them.
const (
	leastLength = 1e-9
	mostLength  = 1e9
)

// finite tells whether all numbers can be worked with: none of them NaN, infinite or beyond any length.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if !(math.Abs(x) <= mostLength) {
			return false
		}
	}
	return true
}

// mm writes a length for a message.
func mm(x float64) string {
	x *= 1000
	if math.Abs(x) < 1e-9 {
		x = 0
	}
	return strconv.FormatFloat(x, 'g', 6, 64) + " mm"
}

// degrees writes an angle for a message.
func degrees(x float64) string { return strconv.FormatFloat(x*180/math.Pi, 'g', 6, 64) + " deg" }

// at writes a point for a message.
func at(p value.Place) string { return fmt.Sprintf("(%s, %s)", mm(p.X), mm(p.Y)) }
