package nest

import (
	"cmp"
	"math"
	"slices"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// fewest is a number of sheets that no layout goes below, however the parts are turned. With half the kerf round them, the
// parts lie side by side within what the margins leave of a sheet, half the kerf added round it: their areas must go into
// its area, and a circle within each part must find room.
func (j *job) fewest() int {
	s := &j.sheet
	w, d := s.Width-2*s.Margin+s.Kerf, s.Depth-2*s.Margin+s.Kerf
	slack := 8 * slackShare * s.unit() // what a layout may be off
	w, d = w+slack, d+slack
	var areas, radii []float64
	for _, k := range j.kinds {
		a, r := k.solid.Area(), roomiest(k.solid)
		for range k.count {
			areas, radii = append(areas, a), append(radii, r)
		}
	}
	return max(byArea(areas, w*d), byCircles(radii, w, d))
}

// byArea is the bound L2 of Martello and Toth (Lower bounds and reduction procedures for the bin packing problem, 1990):
// pieces above half a sheet lie on one each; those above a size find no room beside the largest of them.
func byArea(areas []float64, sheet float64) int {
	slices.Sort(areas)
	best := 0
	for _, size := range slices.Compact(append([]float64{0}, areas...)) {
		if size > sheet/2 {
			break
		}
		alone, large, smaller := 0, 0, 0.0
		room := 0.0 // beside the large ones
		for _, a := range areas {
			switch {
			case a > sheet-size:
				alone++
			case a > sheet/2:
				large++
				room += sheet - a
			case a >= size:
				smaller += a
			}
		}
		n := alone + large
		if more := (smaller - room) / sheet; more > 0 {
			n += int(math.Ceil(more - 1e-9))
		}
		best = max(best, n)
	}
	return best
}

// byCircles counts the parts of which no two go on one sheet: two circles do where their centres can lie so far apart as
// both radii.
func byCircles(radii []float64, w, d float64) int {
	slices.SortFunc(radii, func(a, b float64) int { return cmp.Compare(b, a) })
	n := 1
	for n < len(radii) {
		both := radii[n-1] + radii[n]
		if math.Hypot(math.Max(0, w-both), math.Max(0, d-both)) >= both {
			break
		}
		n++
	}
	return n
}

// roomiest is the radius of a circle within an outline, found on a grid that closes in on the roomiest place seen so far:
// a large one, if not the largest.
func roomiest(o *shapes.Outline) float64 {
	b, err := o.Bounds()
	if err != nil {
		return 0
	}
	at := value.Place{X: (b.Left + b.Right) / 2, Y: (b.Bottom + b.Top) / 2}
	width, depth := b.Width(), b.Depth()
	best := 0.0
	for range 12 {
		middle := at
		for i := range 7 {
			for k := range 7 {
				p := value.Place{X: middle.X + width*(float64(i)/6-0.5), Y: middle.Y + depth*(float64(k)/6-0.5)}
				if r := o.Room(p); r > best {
					best, at = r, p
				}
			}
		}
		width, depth = width/2, depth/2
	}
	return best
}
