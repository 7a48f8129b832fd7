package value

import "math"

// Drawable is met by outlines and solids: closed loops, in metres, that show them from above. Outer loops run
// counter-clockwise, holes clockwise.
type Drawable interface{ Drawn() [][]Stroke }

// Stroke is a straight line of a drawing or, where Sweep is not 0, a circular arc.
type Stroke struct {
	From, To Place
	Centre   Place   // of an arc
	Radius   float64 // of an arc
	Sweep    float64 // of an arc, rad: positive turning left, at most pi in size
}

// IsArc tells an arc from a line.
func (s Stroke) IsArc() bool { return s.Sweep != 0 }

// At is the point at a share of the length, 0 at From and 1 at To.
func (s Stroke) At(share float64) Place {
	if !s.IsArc() {
		return Place{s.From.X + (s.To.X-s.From.X)*share, s.From.Y + (s.To.Y-s.From.Y)*share}
	}
	sin, cos := math.Sincos(s.Sweep * share)
	x, y := s.From.X-s.Centre.X, s.From.Y-s.Centre.Y
	return Place{s.Centre.X + x*cos - y*sin, s.Centre.Y + x*sin + y*cos}
}

// Points gives the points of a stroke but its last, an arc cut into pieces that turn by at most `turn` radians.
func (s Stroke) Points(turn float64) []Place {
	out := []Place{s.From}
	if s.IsArc() {
		n := max(1, int(math.Ceil(math.Abs(s.Sweep)/turn-1e-9)))
		for k := 1; k < n; k++ {
			out = append(out, s.At(float64(k)/float64(n)))
		}
	}
	return out
}

// Back is the stroke travelled the other way.
func (s Stroke) Back() Stroke {
	s.From, s.To, s.Sweep = s.To, s.From, -s.Sweep
	return s
}
