package shapes

import (
	"math"

	"castwright/lang/value"
)

var _ value.Drawable = (*Outline)(nil)

// Drawn gives the loops as points in metres, for a picture: arcs are cut into pieces that turn by at most `turn` radians.
func (o *Outline) Drawn(turn float64) [][]value.Place {
	out := make([][]value.Place, len(o.loops))
	for i, loop := range o.loops {
		for _, e := range loop {
			n := 1
			if e.IsArc() && turn > 0 {
				n = max(1, int(math.Ceil(math.Abs(e.Sweep)/turn)))
			}
			for k := range n {
				out[i] = append(out[i], e.At(float64(k)/float64(n)))
			}
		}
	}
	return out
}
