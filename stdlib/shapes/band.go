package shapes

import (
	"cmp"
	"math"
	"slices"

	"castwright/lang/value"
)

// section is what a solid shows where it is cut level: its outline there and, for places on its edge, the length along
// the side of the solid for each height, 1 where that is upright.
type section struct {
	outline *Outline
	slope   func(p value.Place) float64
}

// height is a height in a band, by how far it lies off one of the ends. Where sides set out level it is that distance of
// which nothing must be lost.
type height struct{ end, off float64 }

func (h height) z() float64 { return h.end + h.off }

// sides is how the section of a solid changes with height.
type sides interface {
	at(h height) (section, error)
	// span gives what lies in some of the sections between two heights, and what lies in all of them.
	span(from, to float64) (cover, core *Outline, err error)
	trend() trend
	// carriers are the lines and circles on which the edges of the section lie, and its corners as circles of no radius, at
	// every height in the same order.
	carriers(h height) []Edge
}

// trend tells whether each section holds the ones above it, or lies within them.
type trend uint8

const (
	steady trend = iota
	narrowing
	widening
	mixed
)

// back is the trend of what is left of an upright solid around one of this trend.
func (t trend) back() trend {
	switch t {
	case narrowing:
		return widening
	case widening:
		return narrowing
	}
	return t
}

// with is the trend of what lies in both of two solids.
func (t trend) with(u trend) trend {
	switch {
	case t == steady:
		return u
	case u == steady || u == t:
		return t
	}
	return mixed
}

// band is a part of a solid between two heights in which its section stays the same or changes smoothly.
type band struct {
	from, to     float64
	lower, upper *Outline // the sections at its ends
	sides        sides
	base         float64 // where the heights of sides begin
	loose        bool    // the cover that sides gives may be too much, and the core too little
	flank        Edge    // what is seen of the sides from the front, x to the outside, where that is a line or an arc
}

func uprightBand(o *Outline, from, to float64) band {
	return band{from: from, to: to, lower: o, upper: o, sides: prism{o}, flank: line(value.Place{Y: from}, value.Place{Y: to})}
}

func (b band) isUpright() bool { return b.sides.trend() == steady }

func (b band) section(h height) (section, error) {
	h.end -= b.base
	return b.sides.at(h)
}

// along is the height in the band at a turn from 0 at its lower end to π at its upper one: like a cosine, which takes the
// root out of what sets out or ends level. dz is how fast it changes.
func (b band) along(turn float64) (h height, dz float64) {
	high := b.to - b.from
	sin, cos := math.Sincos(turn / 2)
	if turn > math.Pi/2 {
		return height{b.to, -high * cos * cos}, high * sin * cos
	}
	return height{b.from, high * sin * sin}, high * sin * cos
}

func (b band) span() (cover, core *Outline, err error) {
	return b.sides.span(b.from-b.base, b.to-b.base)
}

// raised is the band lifted by a height.
func (b band) raised(by float64) band {
	b.from, b.to, b.base = b.from+by, b.to+by, b.base+by
	return b
}

// part is the band between two heights within it. Heights within a gap of an end are that end.
func (b band) part(from, to, gap float64) (band, error) {
	lower, err := b.level(from, gap)
	if err != nil {
		return b, err
	}
	upper, err := b.level(to, gap)
	if err != nil {
		return b, err
	}
	if !b.isUpright() && (math.Abs(from-b.from) > gap || math.Abs(to-b.to) > gap) {
		b.flank = Edge{}
	}
	b.from, b.to, b.lower, b.upper = from, to, lower, upper
	return b, nil
}

// level is the outline of the section at a height.
func (b band) level(z, gap float64) (*Outline, error) {
	switch {
	case math.Abs(z-b.from) <= gap:
		return b.lower, nil
	case math.Abs(z-b.to) <= gap:
		return b.upper, nil
	}
	s, err := b.section(height{end: z})
	return s.outline, err
}

// prism is an outline drawn straight up.
type prism struct{ outline *Outline }

func (p prism) at(height) (section, error) {
	return section{p.outline, func(value.Place) float64 { return 1 }}, nil
}

func (p prism) span(float64, float64) (cover, core *Outline, err error) {
	return p.outline, p.outline, nil
}

func (p prism) trend() trend { return steady }

// flank is a line or an arc that only rises, as a side is seen across: x to the outside, y the height.
type flank struct {
	edge      Edge    // from its lower end to its upper
	hand      float64 // of an arc: 1 where it lies to the right of its centre, -1 to the left
	low, high float64 // of an arc: how far its ends lie within the lowest and the highest point of its circle
}

func newFlank(e Edge) flank {
	if e.From.Y > e.To.Y {
		e = e.back()
	}
	f := flank{edge: e, hand: math.Copysign(1, e.At(0.5).X-e.Centre.X)}
	if level := 1e-9 * e.Radius; math.Abs(e.From.X-e.Centre.X) > level {
		f.low = e.Radius + (e.From.Y - e.Centre.Y)
	}
	if level := 1e-9 * e.Radius; math.Abs(e.To.X-e.Centre.X) > level {
		f.high = e.Radius - (e.To.Y - e.Centre.Y)
	}
	return f
}

// at gives x at a height, and the length along the flank for each height.
func (f flank) at(h height) (x, slope float64) {
	e := f.edge
	tol := 1e-12 * (math.Abs(e.From.Y) + math.Abs(e.To.Y) + e.Radius)
	up, down := h.above(e.From.Y, tol), -h.above(e.To.Y, tol)
	if !e.IsArc() {
		share := math.Min(math.Max(up/(e.To.Y-e.From.Y), 0), 1)
		return e.From.X + share*(e.To.X-e.From.X), e.Length() / (e.To.Y - e.From.Y)
	}
	// The height within the circle from the end that is nearer.
	within := f.low + math.Max(up, 0)
	if down < up {
		within = f.high + math.Max(down, 0)
	}
	across := math.Sqrt(within * (2*e.Radius - within))
	switch {
	case up <= 0:
		x = e.From.X
	case down <= 0:
		x = e.To.X
	default:
		x = e.Centre.X + f.hand*across
	}
	return x, e.Radius / across
}

// above is how far a height lies above y. Where y is the end that it is measured from nothing is lost.
func (h height) above(y, tol float64) float64 {
	if math.Abs(h.end-y) <= tol {
		return h.off
	}
	return h.end - y + h.off
}

// flanks are those of a profile: its edges but for those that do not rise by tol.
func (o *Outline) flanks(tol float64) []flank {
	var out []flank
	for _, loop := range o.loops {
		for _, e := range loop {
			for _, p := range e.quarters() {
				if math.Abs(p.To.Y-p.From.Y) > tol {
					out = append(out, newFlank(p))
				}
			}
		}
	}
	return out
}

// quarters divides an arc where it is highest, lowest and furthest to either side: x and y only rise or only fall on each
// piece.
func (e Edge) quarters() []Edge {
	if !e.IsArc() {
		return []Edge{e}
	}
	var cuts []value.Place
	c, r := e.Centre, e.Radius
	for _, p := range []value.Place{{X: c.X, Y: c.Y + r}, {X: c.X, Y: c.Y - r}, {X: c.X + r, Y: c.Y}, {X: c.X - r, Y: c.Y}} {
		if short := 1e-9 * r; e.faces(p) && apart(p, e.From) > short && apart(p, e.To) > short {
			cuts = append(cuts, p)
		}
	}
	if len(cuts) == 0 {
		return []Edge{e}
	}
	slices.SortFunc(cuts, func(p, q value.Place) int { return cmp.Compare(e.share(p), e.share(q)) })
	var out []Edge
	from := e.From
	for _, p := range append(cuts, e.To) {
		out = append(out, e.part(from, p))
		from = p
	}
	return out
}
