package shapes

import (
	"fmt"
	"math"

	"castwright/lang/value"
)

// mostCopies keeps a slip of the keyboard from making an outline that cannot be worked with.
const mostCopies = 10_000

// Ring sets copies of an outline, moved along x by a radius of 0 or more, at even angles round the origin, the first as it
// lies. Copies that meet along an edge run together.
func Ring(o *Outline, count int, radius float64) (*Outline, error) {
	if count < 1 || count > mostCopies {
		return nil, fmt.Errorf("A ring has from 1 to %d pieces; %d was given.", mostCopies, count)
	}
	if !finite(radius) || radius < 0 {
		return nil, fmt.Errorf("A ring has a radius of 0 or more; %s was given.", mm(radius))
	}
	if err := fewEnough(o, count); err != nil {
		return nil, err
	}
	first, err := Move(o, radius, 0)
	if err != nil {
		return nil, err
	}
	all := make([]*Outline, count)
	for i := range all {
		if all[i], err = Turn(first, 2*math.Pi*float64(i)/float64(count), value.Place{}); err != nil {
			return nil, err
		}
	}
	return Join(all...)
}

// Grid sets copies of an outline side by side: across of them along x at one pitch, down of them along y at another, the
// first as it lies. Copies that meet along an edge run together.
func Grid(o *Outline, across, down int, pitchX, pitchY float64) (*Outline, error) {
	if across < 1 || down < 1 || across*down > mostCopies {
		return nil, fmt.Errorf("A grid has at least 1 piece across and down, and at most %d in all; %d by %d was given.", mostCopies, across, down)
	}
	if !finite(pitchX, pitchY) || pitchX <= 0 || pitchY <= 0 {
		return nil, fmt.Errorf("A grid has a pitch above 0; %s and %s were given.", mm(pitchX), mm(pitchY))
	}
	if err := fewEnough(o, across*down); err != nil {
		return nil, err
	}
	var all []*Outline
	for j := range down {
		for i := range across {
			c, err := Move(o, float64(i)*pitchX, float64(j)*pitchY)
			if err != nil {
				return nil, err
			}
			all = append(all, c)
		}
	}
	return Join(all...)
}

// fewEnough refuses copies that have more edges together than can be worked with.
func fewEnough(o *Outline, copies int) error {
	const most = 1_000_000
	n := 0
	for _, loop := range o.loops {
		n += len(loop)
	}
	if n > most/copies {
		return fmt.Errorf("%d copies of an outline of %d edges are too much to be worked with: at most %d edges in all.", copies, n, most)
	}
	return nil
}
