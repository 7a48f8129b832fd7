package shapes

import (
	"math"
	"slices"

	"castwright/lang/value"
)

// overlapping is what two bands with the same ends have in common.
type overlapping struct {
	a, b    band
	heights []height
	edges   [][2][]Edge  // the carriers of both at each of these heights
	moves   [2][]float64 // by how much each of them moves
	reach   float64
	close   []pair // those that come to lie on each other, or nearly so, though not at all heights
}

// pair is a carrier of one band and one of another, and which of their gaps is meant.
type pair struct{ i, j, k int }

func newOverlapping(a, b band) *overlapping {
	const steps = 16
	o := &overlapping{a: a, b: b}
	if a.isUpright() && b.isUpright() {
		return o // nothing moves
	}
	for i := range steps + 1 {
		h, _ := a.along(float64(i) / steps * math.Pi)
		o.heights = append(o.heights, h)
		o.edges = append(o.edges, [2][]Edge{a.carriers(h), b.carriers(h)})
	}
	for _, l := range []*Outline{a.lower, a.upper, b.lower, b.upper} {
		o.reach = math.Max(o.reach, l.bounds.reach())
	}
	o.measureMoves()
	o.each(func(p pair, e, f Edge) {
		if p.k > 0 || isCorner(e) || isCorner(f) || e.IsArc() != f.IsArc() || e.IsArc() && !concentric(e, f) {
			return
		}
		least, most := math.Inf(1), 0.0
		for n := range o.heights {
			g := math.Abs(o.gap(p, n))
			least, most = math.Min(least, g), math.Max(most, g)
		}
		if least < o.nearby() && most > o.asOne() {
			o.close = append(o.close, p)
		}
	})
	return o
}

func (o *overlapping) measureMoves() {
	for side := range o.moves {
		o.moves[side] = make([]float64, len(o.edges[0][side]))
		for i, e := range o.edges[0][side] {
			for n := range o.edges {
				o.moves[side][i] = math.Max(o.moves[side][i], e.wayTo(o.edges[n][side][i]))
			}
		}
	}
}

// slim is without what only its events need.
func (o *overlapping) slim() *overlapping {
	return &overlapping{a: o.a, b: o.b, reach: o.reach, close: o.close}
}

// wayTo is by how much a line or a circle has moved when it is another of the same direction or centre.
func (e Edge) wayTo(f Edge) float64 {
	if e.IsArc() {
		return apart(e.Centre, f.Centre) + math.Abs(e.Radius-f.Radius)
	}
	return math.Abs(cross(unit(sub(e.To, e.From)), sub(f.From, e.From)))
}

// nearby is the gap above which edges have nothing to do with each other, other than by moving.
func (o *overlapping) nearby() float64 { return 1e-2 * o.reach }

// asOne is the gap below which edges may be taken for one.
func (o *overlapping) asOne() float64 { return 2 * merging * grid * o.reach }

// gap is that of a pair at one of the heights.
func (o *overlapping) gap(p pair, n int) float64 {
	return gaps(o.edges[n][0][p.i], o.edges[n][1][p.j])[p.k]
}

// gapAt is that of a pair at any height.
func (o *overlapping) gapAt(p pair, h height) float64 {
	return gaps(o.a.carriers(h)[p.i], o.b.carriers(h)[p.j])[p.k]
}

// each visits the pairs that may meet: those that are no further apart than they move.
func (o *overlapping) each(visit func(p pair, e, f Edge)) {
	if len(o.edges) == 0 {
		return
	}
	for i, e := range o.edges[0][0] {
		for j, f := range o.edges[0][1] {
			for k, g := range gaps(e, f) {
				if most := o.moves[0][i] + o.moves[1][j] + o.nearby(); !(math.Abs(g) > most) {
					visit(pair{i, j, k}, e, f)
				}
			}
		}
	}
}

// events are the heights between the ends of the bands at which an edge of one comes to lie on an edge of the other or to
// touch it, or a corner passes an edge. Between them what they have in common changes smoothly.
func (o *overlapping) events() ([]float64, error) {
	type change struct {
		pair
		from, to float64
	}
	var changes []change
	o.each(func(p pair, e, f Edge) {
		last, before := 0.0, 0
		for n := range o.heights {
			g := o.gap(p, n)
			if g == 0 {
				continue
			}
			if g*last < 0 {
				changes = append(changes, change{p, o.heights[before].z(), o.heights[n].z()})
			}
			last, before = g, n
		}
	})
	var out []float64
	for _, c := range changes {
		if halvings*len(changes)*(len(o.moves[0])+len(o.moves[1])) > mostWork {
			return nil, errCrossings
		}
		z := signChange(c.from, c.to, func(z float64) float64 { return o.gapAt(c.pair, height{end: z}) })
		real, err := o.isReal(c.pair, z)
		if err != nil {
			return nil, err
		}
		if real {
			out = append(out, z)
		}
	}
	slices.Sort(out)
	return out, nil
}

// isReal tells whether a corner that lies on the line or circle of an edge lies on the edge as well.
func (o *overlapping) isReal(p pair, z float64) (bool, error) {
	h := height{end: z}
	e, f, of := o.a.carriers(h)[p.i], o.b.carriers(h)[p.j], o.b
	if isCorner(f) {
		e, of = f, o.a
	}
	if !isCorner(e) {
		return true, nil
	}
	s, err := of.section(h)
	return err == nil && s.outline.distance(e.Centre) <= 1e-6*o.reach, err
}

// apart is the nearest height, towards the middle of the bands, at which no edges that are apart may be taken for one.
func (o *overlapping) apart(h height) height {
	if len(o.close) == 0 {
		return h
	}
	const steps = 50
	middle := (o.a.to - o.a.from) / 2
	if h.off < 0 {
		middle = -middle
	}
	for k := steps + 1; k >= 0; k-- {
		c := h
		if k <= steps {
			c.off += (middle - h.off) * math.Ldexp(1, -k)
		}
		as, bs := o.a.carriers(c), o.b.carriers(c)
		if !slices.ContainsFunc(o.close, func(p pair) bool { return math.Abs(gaps(as[p.i], bs[p.j])[p.k]) < o.asOne() }) {
			return c
		}
	}
	return h
}

// sections are those of both bands at a height. Where edges that are apart may be taken for one, their outlines are those
// of the nearest height where they are not: what they have in common changes little on the way, but its edges by all that
// lies close.
func (o *overlapping) sections(h height) (s, u section, err error) {
	if s, err = o.a.section(h); err != nil {
		return s, u, err
	}
	if u, err = o.b.section(h); err != nil {
		return s, u, err
	}
	c := o.apart(h)
	if c == h {
		return s, u, nil
	}
	t, err := o.a.section(c)
	if err != nil {
		return s, u, err
	}
	v, err := o.b.section(c)
	s.outline, u.outline = t.outline, v.outline
	return s, u, err
}

// at gives, at a height, the area that b takes from a, its moments, and by how much the sides of a grow for each height;
// within tells that b lies within a.
func (o *overlapping) at(h height) (m sums, within bool, err error) {
	s, u, err := o.sections(h)
	if err != nil {
		return m, false, err
	}
	common, err := Overlap(s.outline, u.outline)
	if err != nil {
		return m, false, err
	}
	area, mid := common.Area(), common.middle
	m = sums{area, area * mid.X, area * mid.Y, area * h.z(), sidesGained(common, s, u)}
	return m, area >= u.outline.Area()*(1-1e-9), nil
}

// isCorner tells a corner among carriers: a circle of no radius.
func isCorner(e Edge) bool { return e.IsArc() && e.Radius == 0 }

func cornerAt(p value.Place) Edge { return Edge{From: p, To: p, Centre: p, Sweep: 1} }

func concentric(e, f Edge) bool { return apart(e.Centre, f.Centre) <= 1e-12*(e.Radius+f.Radius) }

// gaps are distances that are 0 where the lines or circles of two edges touch or coincide, and change their sign there; 1
// where there are fewer than two. Lines that are not parallel have none: they always meet.
func gaps(e, f Edge) [2]float64 {
	switch {
	case e.IsArc() && f.IsArc():
		far := apart(e.Centre, f.Centre)
		switch {
		case concentric(e, f):
			return [2]float64{e.Radius - f.Radius, 1}
		case isCorner(e) || isCorner(f):
			return [2]float64{far - e.Radius - f.Radius, 1}
		}
		return [2]float64{far - e.Radius - f.Radius, far - math.Abs(e.Radius-f.Radius)}
	case f.IsArc():
		off := cross(unit(sub(e.To, e.From)), sub(f.Centre, e.From))
		if isCorner(f) {
			return [2]float64{off, 1}
		}
		return [2]float64{off - f.Radius, off + f.Radius}
	case e.IsArc():
		return gaps(f, e)
	}
	d, g := unit(sub(e.To, e.From)), unit(sub(f.To, f.From))
	if math.Abs(cross(d, g)) > 1e-12 {
		return [2]float64{1, 1}
	}
	return [2]float64{cross(d, sub(f.From, e.From)), 1}
}

// halvings find a height to the last digit.
const halvings = 60

// signChange is where a function changes its sign between two places.
func signChange(a, b float64, f func(float64) float64) float64 {
	atA := f(a)
	for range halvings {
		m := (a + b) / 2
		if f(m)*atA > 0 {
			a = m
		} else {
			b = m
		}
	}
	return (a + b) / 2
}

func (b band) carriers(h height) []Edge {
	h.end -= b.base
	return b.sides.carriers(h)
}

func (p prism) carriers(height) []Edge {
	var out []Edge
	for _, loop := range p.outline.loops {
		for i, e := range loop {
			if out = append(out, e); math.Abs(turnTo(e, loop[(i+1)%len(loop)])) > smooth {
				out = append(out, cornerAt(e.To))
			}
		}
	}
	return out
}

func (l leaning) carriers(h height) []Edge {
	x, _ := l.flank.at(h)
	var out []Edge
	for _, f := range l.in.fronts {
		for i, m := range f.movers {
			e, _ := m.carrier(-x)
			if out = append(out, e); m.turn != 0 {
				p, _, ok := f.corner(i, -x)
				if !ok {
					p = value.Place{X: math.NaN(), Y: math.NaN()}
				}
				out = append(out, cornerAt(p))
			}
		}
	}
	return out
}

func (t turning) carriers(h height) []Edge {
	var out []Edge
	for _, r := range t.radii(h) {
		out = append(out, Edge{Radius: r, Sweep: 1})
	}
	if t.r.angle < 2*math.Pi {
		sin, cos := math.Sincos(t.r.angle)
		for _, u := range []value.Place{{X: 1}, {X: cos, Y: sin}} {
			out = append(out, line(value.Place{}, u))
			for _, r := range t.radii(h) {
				out = append(out, cornerAt(times(u, r)))
			}
		}
	}
	return out
}
