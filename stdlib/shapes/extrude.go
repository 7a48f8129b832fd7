package shapes

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/value"
)

// Easing says how the edges and sides of an extruded solid are shaped. A round-over and a chamfer do not go together.
type Easing struct {
	Roundover float64 // radius of a round along the edges, which touches face and side, metres
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
// too, and meet in mitres at corners, inner ones too; with a draft the outline is the underside, before its edges are
// eased, and holes widen upwards.
//
// At a level where the sides stand in by s the section is the outline shrunk by s with sharp corners, so the volume
// is the integral of that section's area. Where all corners join straight edges the area is A − P·s + K·s² and the
// integral a closed form: a round-over of radius r takes (1 − π/4)·P·r² − (5/3 − π/2)·K·r³ (Pappus, with mitred
// corners; K = 4 for four right angles). Elsewhere it is taken by Gauss–Legendre quadrature to rounding.
//
// An easing that does not fit (more than the height, an arc, or half a wall gives) is refused with the place and the
// most that fits.
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
	s := &Solid{parts: []recipe{layer{o, height, easing}}, height: height}
	if easing.inward(height) > 0 {
		in := newInset(o)
		if err := easing.fit(in, height); err != nil {
			return nil, err
		}
		return s, s.ease(in, easing)
	}
	a := o.Area()
	s.bands, s.bottom, s.top = []band{uprightBand(o, 0, height)}, o, o
	s.seen, s.box = []*Outline{o}, o.bounds
	s.volume = a * height
	s.surface = 2*a + o.perimeter*height
	s.first = [3]float64{o.middle.X * s.volume, o.middle.Y * s.volume, s.volume * height / 2}
	return s, nil
}

func (e Easing) check(height float64) error {
	if !finite(e.Draft) || e.Draft < 0 || e.Draft >= math.Pi/2 {
		return fmt.Errorf("A draft lies from 0 deg to below 90 deg; %s was given.", degrees(e.Draft))
	}
	switch e.Edges {
	case TopEdges, BottomEdges, BothEdges:
	default:
		return fmt.Errorf("Eased edges are %q, %q or %q; %q was given.", TopEdges, BottomEdges, BothEdges, e.Edges)
	}
	if e.Chamfer > 0 && e.upper() && e.Draft >= math.Pi/4 {
		return fmt.Errorf("Sides that lean in by %s leave no upper edge for a chamfer of 45 deg. Give a draft below 45 deg, or a round-over.", degrees(e.Draft))
	}
	for _, x := range []struct {
		name string
		size float64
	}{{"round-over", e.Roundover}, {"chamfer", e.Chamfer}} {
		if !finite(x.size) || x.size < 0 {
			return fmt.Errorf("A %s is 0 or more; %s was given.", x.name, mm(x.size))
		}
		if most := height / e.rise(); x.size > most*(1+1e-12) {
			return fmt.Errorf("A %s of %s is larger than the height leaves room for: at most %s.", x.name, mm(x.size), mm(most))
		}
	}
	if e.Roundover > 0 && e.Chamfer > 0 {
		return errors.New("An edge has a round-over or a chamfer, not both. Leave one of them out.")
	}
	return nil
}

func (e Easing) upper() bool { return e.Edges != BottomEdges }
func (e Easing) lower() bool { return e.Edges != TopEdges }

// size is the round-over or the chamfer, and what it is called.
func (e Easing) size() (float64, string) {
	if e.Chamfer > 0 {
		return e.Chamfer, "chamfer"
	}
	return e.Roundover, "round-over"
}

// rise is how much of the height the eased edges take for each size.
func (e Easing) rise() float64 {
	up, down := 1-math.Sin(e.Draft), 1+math.Sin(e.Draft)
	if e.Chamfer > 0 {
		up, down = 1/(1-math.Tan(e.Draft)), 1/(1+math.Tan(e.Draft))
	}
	sum := 0.0
	if e.upper() {
		sum += up
	}
	if e.lower() {
		sum += down
	}
	return sum
}

// inward is how far the solid stands in from its outline at most.
func (e Easing) inward(height float64) float64 {
	most := 0.0
	for _, side := range e.sides(height) {
		most = math.Max(most, math.Max(-side.From.X, -side.To.X))
	}
	return most
}

// fit refuses an easing that the outline has no room for.
func (e Easing) fit(in *inset, height float64) error {
	depth := e.inward(height)
	fail := in.fits(depth)
	if fail == nil {
		return nil
	}
	most := in.most(depth)
	size, name := e.size()
	lean := height * math.Tan(e.Draft)
	if size == 0 || most < lean {
		return fmt.Errorf("A draft of %s leans the sides in by %s, too far for this outline: near %s %s. The sides can lean in by at most %s.",
			degrees(e.Draft), mm(lean), at(fail.place), fail.why, mm(most))
	}
	// How far a face stands in grows with the size from what the draft takes.
	largest := math.Inf(1)
	if sides := e.sides(height); e.upper() {
		largest = math.Min(largest, (most-lean)/((-sides[len(sides)-1].To.X-lean)/size))
	}
	if e.lower() {
		largest = math.Min(largest, most/(-e.sides(height)[0].From.X/size))
	}
	return fmt.Errorf("A %s of %s is too large for this outline: near %s %s. The largest that fits is %s.", name, mm(size), at(fail.place), fail.why, mm(largest))
}

// sides are the lines and arcs that an edge of the outline sweeps, seen along it, from the bottom up: x is 0 over the
// edge and negative inside, y the height.
func (e Easing) sides(height float64) []Edge {
	var out []Edge
	sin, cos := math.Sincos(e.Draft)
	tan, r, c := math.Tan(e.Draft), e.Roundover, e.Chamfer
	low, high := value.Place{}, value.Place{X: -height * tan, Y: height}
	if e.lower() && r > 0 {
		mid := value.Place{X: -r * (tan + 1/cos), Y: r}
		widest := value.Place{X: mid.X + r, Y: r}
		low = value.Place{X: mid.X + r*cos, Y: r + r*sin}
		out = append(out, Edge{value.Place{X: mid.X}, widest, mid, r, math.Pi / 2})
		if e.Draft > 0 {
			out = append(out, Edge{widest, low, mid, r, e.Draft})
		}
	}
	if e.lower() && c > 0 {
		low = value.Place{X: -c * tan / (1 + tan), Y: c / (1 + tan)}
		out = append(out, line(value.Place{X: -c}, low))
	}
	var top []Edge
	if e.upper() && r > 0 {
		mid := value.Place{X: -(height-r)*tan - r/cos, Y: height - r}
		high = value.Place{X: mid.X + r*cos, Y: mid.Y + r*sin}
		top = []Edge{{high, value.Place{X: mid.X, Y: height}, mid, r, math.Pi/2 - e.Draft}}
	}
	if e.upper() && c > 0 {
		rise := c / (1 - tan)
		face := value.Place{X: high.X - c, Y: height}
		high = value.Place{X: -(height - rise) * tan, Y: height - rise}
		top = []Edge{line(high, face)}
	}
	if high.Y-low.Y > 1e-12*height {
		out = append(out, line(low, high))
	}
	return append(out, top...)
}

// ease fills in the measures of a solid whose sides do not all stand upright over its outline.
func (s *Solid) ease(in *inset, e Easing) error {
	o := in.outline
	if err := s.layOut(in, e.sides(s.height)); err != nil {
		return err
	}
	s.surface = s.top.Area() + s.bottom.Area()
	k, exact := in.quadratic()
	for _, b := range s.bands {
		if b.isUpright() {
			v := o.Area() * (b.to - b.from)
			s.volume += v
			s.surface += o.perimeter * (b.to - b.from)
			s.first[2] += v * (b.from + b.to) / 2
			continue
		}
		m, err := in.measure(b.flank)
		if err != nil {
			return err
		}
		if exact && b.flank.IsArc() && e.Draft == 0 {
			m[0], m[4] = roundedEdge(o.Area(), o.perimeter, k, e.Roundover)
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

// layOut fills in the bands and the faces.
func (s *Solid) layOut(in *inset, sides []Edge) error {
	face := func(p value.Place) (*Outline, error) {
		face, err := Shrink(in.outline, math.Max(-p.X, 0), Sharp)
		if err != nil {
			err = fmt.Errorf("The face within the eased edge cannot be told. %w", err)
		}
		return face, err
	}
	var err error
	if s.bottom, err = face(sides[0].From); err != nil {
		return err
	}
	if s.top, err = face(sides[len(sides)-1].To); err != nil {
		return err
	}
	lower, widest := s.bottom, s.bottom
	for i, side := range sides {
		upper := s.top
		if i < len(sides)-1 {
			upper = in.section(-side.To.X)
		}
		b := band{from: side.From.Y, to: side.To.Y, lower: lower, upper: upper, sides: leaning{in, newFlank(side)}, flank: side}
		if side.From.X == side.To.X {
			b.sides = prism{in.outline}
		}
		s.bands = append(s.bands, b)
		if upper.Area() > widest.Area() {
			widest = upper
		}
		lower = upper
	}
	s.seen, s.box = []*Outline{widest}, widest.bounds
	return nil
}

// roundedEdge is the volume of the layer within a round-over of radius r, and the surface of the round, where the
// area within s is A − P·s + K·s²: with s = r − √(r² − z²), ∫s dz = (1 − π/4) r² and ∫s² dz = (5/3 − π/2) r³.
func roundedEdge(a, p, k, r float64) (volume, surface float64) {
	volume = a*r - p*(1-math.Pi/4)*r*r + k*(5.0/3-math.Pi/2)*r*r*r
	surface = r * (p*math.Pi/2 - 2*k*r*(math.Pi/2-1))
	return volume, surface
}

// leaning are the sides over an outline that move in or out all alike: x of the flank tells by how much.
type leaning struct {
	in    *inset
	flank flank
}

func (l leaning) at(h height) (section, error) {
	x, slope := l.flank.at(h)
	return section{l.in.section(-x), func(value.Place) float64 { return slope }}, nil
}

func (l leaning) span(from, to float64) (cover, core *Outline, err error) {
	x0, _ := l.flank.at(height{end: from})
	x1, _ := l.flank.at(height{end: to})
	return l.in.section(math.Min(-x0, -x1)), l.in.section(math.Max(-x0, -x1)), nil
}

func (l leaning) trend() trend {
	if l.flank.edge.From.X > l.flank.edge.To.X {
		return narrowing
	}
	return widening
}
