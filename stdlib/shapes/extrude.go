package shapes

import (
	"errors"
	"fmt"
	"math"
)

// Easing says how the edges and sides of an extruded solid are shaped. At most one of the three sizes may be set.
type Easing struct {
	Roundover float64 // radius of a quarter round along the edges, metres
	Chamfer   float64 // of 45°, its width measured across the face, metres
	Draft     float64 // angle by which the sides lean inwards from the bottom up, rad
	Edges     string  // the edges that are eased: "top" (also if empty), "bottom" or "both"
}

// The edges that an Easing can name.
const (
	TopEdges    = "top"
	BottomEdges = "bottom"
	BothEdges   = "both"
)

// Extrude draws an outline up to a height. Round-over and chamfer run along all upper or lower edges, those of holes
// too, and meet in mitres at corners; with a draft the outline is the underside and holes widen upwards.
//
// At a level where the easing stands in by s the section is the outline shrunk by s with sharp corners, so the volume
// is the integral of that section's area. Where all corners join straight edges the area is A − P·s + K·s² and the
// integral a closed form: a round-over of radius r takes (1 − π/4)·P·r² − (5/3 − π/2)·K·r³ (Pappus, with mitred
// corners; K = 4 for four right angles). Elsewhere it is taken by Gauss–Legendre quadrature to rounding.
//
// An easing that does not fit (more than the height, an arc, or half a wall gives) is refused with the place.
func Extrude(o *Outline, height float64, easing Easing) (*Solid, error) {
	if o.IsEmpty() {
		return nil, errors.New("An empty outline cannot be extruded: it has no area.")
	}
	if err := above0("An extruded solid", "a height", height); err != nil {
		return nil, err
	}
	if easing.Edges == "" {
		easing.Edges = TopEdges
	}
	if err := easing.check(height); err != nil {
		return nil, err
	}
	s := &Solid{layers: []layer{{o, height, easing}}, height: height, footprint: o, bottom: o, top: o}
	if depth := easing.inward(height); depth > 0 {
		in := newInset(o)
		if err := easing.fit(in, depth); err != nil {
			return nil, err
		}
		if err := s.ease(in, easing, depth); err != nil {
			return nil, err
		}
		return s, nil
	}
	a := o.Area()
	s.volume = a * height
	s.surface = 2*a + o.perimeter*height
	s.first = [3]float64{o.middle.X * s.volume, o.middle.Y * s.volume, s.volume * height / 2}
	return s, nil
}

func (e Easing) check(height float64) error {
	for _, x := range []struct {
		name string
		size float64
	}{{"round-over", e.Roundover}, {"chamfer", e.Chamfer}} {
		if !finite(x.size) || x.size < 0 {
			return fmt.Errorf("A %s is 0 or more; %s was given.", x.name, mm(x.size))
		}
		most := height
		if e.Edges == BothEdges {
			most = height / 2
		}
		if x.size > most*(1+1e-12) {
			return fmt.Errorf("A %s of %s is larger than the height leaves room for: at most %s.", x.name, mm(x.size), mm(most))
		}
	}
	if !finite(e.Draft) || e.Draft < 0 || e.Draft >= math.Pi/2 {
		return fmt.Errorf("A draft lies from 0 deg to below 90 deg; %s was given.", degrees(e.Draft))
	}
	switch e.Edges {
	case TopEdges, BottomEdges, BothEdges:
	default:
		return fmt.Errorf("Eased edges are %q, %q or %q; %q was given.", TopEdges, BottomEdges, BothEdges, e.Edges)
	}
	if e.Roundover > 0 && e.Chamfer > 0 {
		return errors.New("An edge has a round-over or a chamfer, not both. Leave one of them out.")
	}
	if e.Draft > 0 && (e.Roundover > 0 || e.Chamfer > 0) {
		return errors.New("Leaning sides with an eased edge cannot be worked out yet. Give a draft alone, or a round-over or chamfer alone.")
	}
	return nil
}

// inward is how far the solid stands in from its outline at most.
func (e Easing) inward(height float64) float64 {
	return math.Max(math.Max(e.Roundover, e.Chamfer), height*math.Tan(e.Draft))
}

// fit refuses an easing that the outline has no room for.
func (e Easing) fit(in *inset, depth float64) error {
	fail := in.fits(depth)
	if fail == nil {
		return nil
	}
	most := in.most(depth)
	switch {
	case e.Draft > 0:
		return fmt.Errorf("A draft of %s leans the sides in by %s, too far for this outline: near %s %s. The sides can lean in by at most %s.",
			degrees(e.Draft), mm(depth), at(fail.place), fail.why, mm(most))
	case e.Chamfer > 0:
		return fmt.Errorf("A chamfer of %s is too large for this outline: near %s %s. The largest that fits is %s.",
			mm(depth), at(fail.place), fail.why, mm(most))
	}
	return fmt.Errorf("A round-over of %s is too large for this outline: near %s %s. The largest that fits is %s.",
		mm(depth), at(fail.place), fail.why, mm(most))
}

// ease fills in the measures of a solid whose sides stand in by up to depth.
func (s *Solid) ease(in *inset, e Easing, depth float64) error {
	o, h := in.outline, s.height
	face, err := Shrink(o, depth, Sharp)
	if err != nil {
		return fmt.Errorf("The face within the eased edge cannot be told. %w", err)
	}
	var parts []strip
	low, high := 0.0, h // the upright part of the sides
	if e.Draft > 0 {
		parts = append(parts, leaning(h, e.Draft))
		high, s.top = 0, face
	} else {
		if e.Edges != BottomEdges {
			parts = append(parts, e.strip(depth, h, -1))
			high, s.top = h-depth, face
		}
		if e.Edges != TopEdges {
			parts = append(parts, e.strip(depth, 0, 1))
			low, s.bottom = depth, face
		}
	}
	a := o.Area()
	upright := a * (high - low)
	s.volume = upright
	s.surface = o.perimeter*(high-low) + s.top.Area() + s.bottom.Area()
	s.first[2] = upright * (low + high) / 2
	k, exact := in.quadratic()
	for _, p := range parts {
		m := in.measure(p)
		if exact && e.Roundover > 0 {
			m[0], m[4] = roundedEdge(a, o.perimeter, k, depth)
		}
		s.volume += m[0]
		s.first[0] += m[1]
		s.first[1] += m[2]
		s.first[2] += m[3]
		s.surface += m[4]
	}
	s.first[0] += o.middle.X * s.volume
	s.first[1] += o.middle.Y * s.volume
	return nil
}

// roundedEdge is the volume of the layer within a round-over of radius r, and the surface of the round, where the
// area within s is A − P·s + K·s²: with s = r − √(r² − z²), ∫s dz = (1 − π/4) r² and ∫s² dz = (5/3 − π/2) r³.
func roundedEdge(a, p, k, r float64) (volume, surface float64) {
	volume = a*r - p*(1-math.Pi/4)*r*r + k*(5.0/3-math.Pi/2)*r*r*r
	surface = r * (p*math.Pi/2 - 2*k*r*(math.Pi/2-1))
	return volume, surface
}

// strip is the eased edge of a face at height z0; up is 1 where the solid lies above that face and -1 where below.
func (e Easing) strip(size, z0, up float64) strip {
	if e.Chamfer > 0 {
		return strip{size, func(t float64) (s, z, dz, dl float64) { return size - t, z0 + up*t, 1, math.Sqrt2 }}
	}
	return strip{math.Pi / 2, func(t float64) (s, z, dz, dl float64) {
		sin, cos := math.Sincos(t)
		return size * (1 - sin), z0 + up*size*(1-cos), size * sin, size
	}}
}

// leaning is the whole side of a solid with a draft.
func leaning(height, draft float64) strip {
	tan, cos := math.Tan(draft), math.Cos(draft)
	return strip{height, func(t float64) (s, z, dz, dl float64) { return t * tan, t, 1, 1 / cos }}
}
