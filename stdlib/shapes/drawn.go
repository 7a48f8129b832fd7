package shapes

import (
	"math"
	"slices"

	"castwright/lang/value"
)

var (
	_ value.Drawable = (*Outline)(nil)
	_ value.Drawable = (*Solid)(nil)
)

// Drawn gives the loops for a drawing.
func (o *Outline) Drawn() [][]value.Stroke {
	out := make([][]value.Stroke, len(o.loops))
	for i, loop := range o.loops {
		for _, e := range loop {
			out[i] = append(out[i], value.Stroke(e))
		}
	}
	return out
}

// Drawn gives the loops that are seen from above: those of the footprint.
func (s *Solid) Drawn() [][]value.Stroke {
	if o, err := s.Footprint(); err == nil {
		return o.Drawn()
	}
	var out [][]value.Stroke
	for _, o := range s.seen {
		out = append(out, o.Drawn()...)
	}
	return out
}

// Layer is one extruded part of a solid; its outline is what it is extruded from.
type Layer struct {
	Outline *Outline
	Height  float64 // metres
	Easing  Easing
}

// Layers lists the parts of a solid from the bottom up; none where they are not all extruded.
func (s *Solid) Layers() []Layer {
	var out []Layer
	for _, p := range s.parts {
		l, ok := p.(layer)
		if !ok {
			return nil
		}
		out = append(out, Layer{l.outline, l.height, l.easing})
	}
	return out
}

// Front is the closed silhouette of the solid seen along y: x as in its outlines, heights as y, counter-clockwise. It goes
// along what lies furthest out at each height.
func (s *Solid) Front() []value.Stroke {
	right, left := chain{side: 1}, chain{side: -1}
	for _, b := range s.bands {
		right.rise(b, func(b Bounds) float64 { return b.Right })
		left.rise(b, func(b Bounds) float64 { return b.Left })
	}
	slices.Reverse(left.strokes)
	for i, e := range left.strokes {
		left.strokes[i] = e.Back()
	}
	all := slices.Concat(right.strokes, left.strokes)
	var out []value.Stroke
	for i, e := range all {
		out = append(out, e)
		if next := all[(i+1)%len(all)]; e.To != next.From {
			out = append(out, value.Stroke{From: e.To, To: next.From})
		}
	}
	return out
}

// chain is one side of a silhouette, from the bottom up.
type chain struct {
	side    float64 // 1 for the right side, -1 for the left
	strokes []value.Stroke
}

// rise adds the side of a band; out is where an outline ends on that side. A flank that keeps its form is drawn by it, and
// any other, which is cut at a slant, by pieces.
func (c *chain) rise(b band, out func(Bounds) float64) {
	from, to := value.Place{X: out(b.bounds(b.lower, b.from)), Y: b.from}, value.Place{X: out(b.bounds(b.upper, b.to)), Y: b.to}
	e := b.flank
	across := c.side * (e.To.X - e.From.X)
	switch {
	case e.From != e.To && !e.IsArc():
		c.to(from, to)
	case e.IsArc() && math.Abs(to.X-from.X-across) <= 1e-9*e.Radius:
		centre := value.Place{X: from.X + c.side*(e.Centre.X-e.From.X), Y: from.Y + e.Centre.Y - e.From.Y}
		c.strokes = append(c.strokes, value.Stroke{From: from, To: to, Centre: centre, Radius: e.Radius, Sweep: c.side * e.Sweep})
	default:
		const pieces = 16
		last := from
		for i := 1; i < pieces; i++ {
			h, _ := b.along(float64(i) / pieces * math.Pi)
			if e.IsArc() {
				h = height{end: b.from + e.At(float64(i)/pieces).Y - e.From.Y}
			}
			if s, err := b.section(h); err == nil && !s.outline.IsEmpty() {
				p := value.Place{X: out(s.outline.bounds), Y: h.z()}
				c.to(last, p)
				last = p
			}
		}
		c.to(last, to)
	}
}

// bounds are those of the section at an end of the band; where it comes down to a point or a line, of one as near to that
// as can be told.
func (b band) bounds(o *Outline, z float64) Bounds {
	for _, share := range []float64{1e-20, 1e-12, 1e-6, 1e-3} {
		if !o.IsEmpty() {
			break
		}
		if s, err := b.section(height{z, ((b.from+b.to)/2 - z) * share}); err == nil {
			o = s.outline
		}
	}
	return o.bounds
}

// to adds a line from one place to another.
func (c *chain) to(from, to value.Place) {
	if from != to {
		c.strokes = append(c.strokes, value.Stroke{From: from, To: to})
	}
}
