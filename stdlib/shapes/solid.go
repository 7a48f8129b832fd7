package shapes

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"castwright/lang/value"
)

// Solid is an immutable body that stands on level ground, z upwards from its underside.
type Solid struct {
	parts  []recipe // from the bottom up: how it is made, which is what Equal compares
	bands  []band   // from the bottom up
	height float64
	volume float64
	// ∫x, ∫y and ∫z over the volume
	first   [3]float64
	surface float64

	bottom, top *Outline   // the flat faces
	seen        []*Outline // what is seen from above: the outlines that make up the footprint
	doubt       []*Outline // what may be seen as well, though not all of it
	box         Bounds     // of the footprint
	inside      *Solid     // what Hollow took out
}

// recipe is how one of the solids of a stack is made.
type recipe interface{ same(other recipe) bool }

// layer is an extruded part.
type layer struct {
	outline *Outline
	height  float64
	easing  Easing
}

func (l layer) same(other recipe) bool {
	m, ok := other.(layer)
	return ok && l.height == m.height && l.easing == m.easing && l.outline.Equal(m.outline)
}

var _ value.Comparable = (*Solid)(nil)

// Equal tells whether other is a solid made in the same way, to the last bit.
func (s *Solid) Equal(other any) bool {
	t, ok := other.(*Solid)
	if !ok || s == nil || t == nil || s == t {
		return ok && s == t
	}
	return slices.EqualFunc(s.parts, t.parts, recipe.same)
}

// Volume is in m³.
func (s *Solid) Volume() float64 { return s.volume }

// Surface is the whole surface in m², underside and insides of holes included.
func (s *Solid) Surface() float64 { return s.surface }

// Height is in metres.
func (s *Solid) Height() float64 { return s.height }

// Footprint is the outline of the solid seen from above. It is refused where it is not made of lines and arcs, or cannot
// be told: where a solid with leaning sides is taken from another one.
func (s *Solid) Footprint() (*Outline, error) {
	foot, err := covering(s.seen)
	if err != nil {
		return nil, err
	}
	for _, o := range s.doubt {
		rest, err := Cut(o, foot)
		if err != nil {
			return nil, err
		}
		if !rest.IsEmpty() {
			return nil, fmt.Errorf("The footprint cannot be told near %s: there leaning sides were taken from leaning sides, and its edge need not be made of lines and arcs.", at(rest.middle))
		}
	}
	return foot, nil
}

// Bottom is the flat face on which the solid stands: smaller than the footprint where lower edges are eased, and empty
// where it stands on a point or an edge.
func (s *Solid) Bottom() *Outline { return s.bottom }

// Top is the highest flat face: empty where the solid ends in a point or a ridge.
func (s *Solid) Top() *Outline { return s.top }

// CentreOfGravity is the centre of volume in metres, z from the underside.
func (s *Solid) CentreOfGravity() (x, y, z float64) {
	return s.first[0] / s.volume, s.first[1] / s.volume, s.first[2] / s.volume
}

// Box gives the sides, along the axes, of the least box round the solid, in metres.
func (s *Solid) Box() (width, depth, height float64) {
	return s.box.Width(), s.box.Depth(), s.height
}

// Stack sets solids one on another, the first at the bottom. Their outlines keep their places in the plane, and each
// must touch the top face of the one below; what they cover of each other is no surface.
func Stack(solids ...*Solid) (*Solid, error) {
	switch len(solids) {
	case 0:
		return nil, errors.New("A stack needs at least one solid.")
	case 1:
		return solids[0], nil
	}
	out := &Solid{bottom: solids[0].bottom, top: solids[len(solids)-1].top, box: solids[0].box}
	for i, s := range solids {
		if i > 0 {
			contact, err := restsOn(solids[i-1].top, s.bottom, i)
			if err != nil {
				return nil, err
			}
			out.surface -= 2 * contact
		}
		out.parts = append(out.parts, s.parts...)
		for _, b := range s.bands {
			out.bands = append(out.bands, b.raised(out.height))
		}
		out.seen = append(out.seen, s.seen...)
		out.doubt = append(out.doubt, s.doubt...)
		out.box = out.box.with(s.box)
		out.volume += s.volume
		out.surface += s.surface
		out.first[0] += s.first[0]
		out.first[1] += s.first[1]
		out.first[2] += s.first[2] + s.volume*out.height
		out.height += s.height
	}
	return out, nil
}

// restsOn is the area by which a solid of a stack rests on the n-th one, which is below it.
func restsOn(below, above *Outline, n int) (float64, error) {
	switch {
	case below.IsEmpty():
		return 0, fmt.Errorf("Solid %d of the stack ends in a point or a ridge: it has no face to set another on.", n)
	case above.IsEmpty():
		return 0, fmt.Errorf("Solid %d of the stack stands on a point or an edge: it has no face to rest on.", n+1)
	}
	common, err := Overlap(below, above)
	if err == nil && common.IsEmpty() {
		err = fmt.Errorf("Solid %d of the stack does not touch the top face of solid %d, below it. Move its outline.", n+1, n)
	}
	if err != nil {
		return 0, err
	}
	return common.Area(), nil
}

// covering is all of the outlines as one: one of them, as it is, where it covers the others.
func covering(outlines []*Outline) (*Outline, error) {
	outlines = slices.Clone(outlines)
	slices.SortStableFunc(outlines, func(a, b *Outline) int { return cmp.Compare(b.Area(), a.Area()) })
	all := outlines[0]
	for _, o := range outlines[1:] {
		if o.Equal(all) {
			continue
		}
		rest, err := Cut(o, all)
		if err != nil {
			return nil, err
		}
		if rest.IsEmpty() {
			continue
		}
		if all, err = Join(all, o); err != nil {
			return nil, err
		}
	}
	return all, nil
}
