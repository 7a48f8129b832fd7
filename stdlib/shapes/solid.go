package shapes

import (
	"errors"
	"math"

	"castwright/lang/value"
)

// Solid is an immutable body that stands on the plane of its outline, z upwards from its underside.
type Solid struct {
	layers []layer // from the bottom up; what Equal compares
	height float64
	volume float64
	// ∫x, ∫y and ∫z over the volume
	first [3]float64

	surface     float64
	bottom, top *Outline // the flat faces
	footprint   *Outline // seen from above; nil where no single outline covers the others
}

// layer is one extruded part of a solid.
type layer struct {
	outline *Outline
	height  float64
	easing  Easing
}

var _ value.Comparable = (*Solid)(nil)

// Equal tells whether other is a solid made of the same layers, to the last bit.
func (s *Solid) Equal(other any) bool {
	t, ok := other.(*Solid)
	if !ok || s == nil || t == nil {
		return ok && s == t
	}
	if len(s.layers) != len(t.layers) {
		return false
	}
	for i, l := range s.layers {
		m := t.layers[i]
		if l.height != m.height || l.easing != m.easing || !l.outline.Equal(m.outline) {
			return false
		}
	}
	return true
}

// Volume is in m³.
func (s *Solid) Volume() float64 { return s.volume }

// Surface is the whole surface in m², underside and insides of holes included.
func (s *Solid) Surface() float64 { return s.surface }

// Height is in metres.
func (s *Solid) Height() float64 { return s.height }

// Footprint is the outline of the solid seen from above. A stack of layers of which none covers all others has none
// that can be told.
func (s *Solid) Footprint() (*Outline, error) {
	if s.footprint == nil {
		return nil, errors.New("The footprint of this stack is not one of its outlines: none of its layers covers all the others.")
	}
	return s.footprint, nil
}

// Bottom is the flat face on which the solid stands: smaller than the footprint where lower edges are eased.
func (s *Solid) Bottom() *Outline { return s.bottom }

// Top is the flat face above: empty where the solid ends in a point or a ridge.
func (s *Solid) Top() *Outline { return s.top }

// CentreOfGravity is the centre of volume in metres, z from the underside.
func (s *Solid) CentreOfGravity() (x, y, z float64) {
	return s.first[0] / s.volume, s.first[1] / s.volume, s.first[2] / s.volume
}

// Box gives the sides, along the axes, of the least box round the solid, in metres.
func (s *Solid) Box() (width, depth, height float64) {
	b := s.layers[0].outline.bounds
	for _, l := range s.layers {
		b = b.with(l.outline.bounds)
	}
	return b.Width(), b.Depth(), s.height
}

// Stack sets solids one on another, the first at the bottom. Their outlines keep their places in the plane. Faces that
// meet must lie one within the other, as the surface that they cover is otherwise not known.
func Stack(solids ...*Solid) (*Solid, error) {
	if len(solids) == 0 {
		return nil, errors.New("A stack needs at least one solid.")
	}
	out := &Solid{bottom: solids[0].bottom, top: solids[len(solids)-1].top, footprint: solids[0].footprint}
	for i, s := range solids {
		if i > 0 {
			below, above := solids[i-1].top, s.bottom
			var contact float64
			switch {
			case below.covers(above):
				contact = above.Area()
			case above.covers(below):
				contact = below.Area()
			default:
				return nil, errors.New("Solids are stacked on faces of which one lies within the other; here each face reaches beyond the other.")
			}
			if contact == 0 {
				return nil, errors.New("A solid that ends in a point or a ridge has no face to set another on.")
			}
			out.surface -= 2 * contact
			out.footprint = covering(out.footprint, s.footprint)
		}
		out.layers = append(out.layers, s.layers...)
		out.volume += s.volume
		out.surface += s.surface
		out.first[0] += s.first[0]
		out.first[1] += s.first[1]
		out.first[2] += s.first[2] + s.volume*out.height
		out.height += s.height
	}
	return out, nil
}

// covering is the one of two outlines that covers the other, or nil.
func covering(a, b *Outline) *Outline {
	switch {
	case a == nil || b == nil:
		return nil
	case a.covers(b):
		return a
	case b.covers(a):
		return b
	}
	return nil
}

// covers tells whether p lies within o; edges may touch or coincide. The edges of each are cut where they meet the
// other: no piece of p may then lie outside o, and no piece of o inside p.
func (o *Outline) covers(p *Outline) bool {
	if p.IsEmpty() || o == p || o.Equal(p) {
		return true
	}
	gap := math.Max(o.tolerance(), p.tolerance())
	for _, q := range p.cutBy(o, gap) {
		if o.distance(q) > gap && !inside(o.loops, q) {
			return false
		}
	}
	for _, q := range o.cutBy(p, gap) {
		if p.distance(q) > gap && inside(p.loops, q) {
			return false
		}
	}
	return true
}

// cutBy gives a point in the middle of every piece into which the edges of o are cut where they meet p.
func (o *Outline) cutBy(p *Outline, gap float64) []value.Place {
	var out []value.Place
	for _, loop := range o.loops {
		for _, e := range loop {
			shares := []float64{0, 1}
			for _, other := range p.loops {
				for _, f := range other {
					for _, q := range meets(e, f, gap) {
						shares = append(shares, e.share(q))
					}
				}
			}
			out = append(out, middles(e, shares)...)
		}
	}
	return out
}
