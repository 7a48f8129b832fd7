package shapes

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"castwright/lang/value"
)

// taken is what Take makes.
type taken struct {
	from, what *Solid
	up         float64
}

func (t taken) same(other recipe) bool {
	u, ok := other.(taken)
	return ok && t.up == u.up && t.from.Equal(u.from) && t.what.Equal(u.what)
}

var (
	errNothingLeft = errors.New("Nothing is left of the solid.")
	errCrossings   = errors.New("The leaning or eased sides of the solids cross each other too often to be worked out. Simplify their outlines.")
)

// mostEdges bounds the edges of the sections that are brought together, over all heights: some seconds of work.
const mostEdges = 4_000_000

// Take is what of a solid does not lie in another one. Both stand on the same ground and keep their places in the plane;
// the other is first lifted by up, or let down into the ground where up is negative. What is left stands on the ground
// with its lowest point. The volume is that of the solid less the integral of the area in which the sections of both
// overlap: area times height between two heights where both are upright, else by quadrature to rounding. Two solids of
// revolution are taken from each other by their profiles.
func Take(from, what *Solid, up float64) (*Solid, error) {
	if !finite(up) {
		return nil, fmt.Errorf("A solid can be lifted only by a length that can be worked with; %s was given.", mm(up))
	}
	if a, b, ok := profiles(from, what); ok {
		b, err := Move(b, 0, up)
		if err != nil {
			return nil, err
		}
		return turnedAgain(a, b, from.parts[0].(revolved).angle)
	}
	tiers, err := tiersOf(from, what, up)
	if err == nil && sectionEdges(tiers) > mostEdges {
		err = errCrossings
	}
	if err != nil {
		return nil, err
	}
	out := &Solid{parts: []recipe{taken{from, what, up}}, volume: from.volume, surface: from.surface, first: from.first}
	for i := range tiers {
		t := &tiers[i]
		if t.meet == nil {
			continue
		}
		m, err := t.measure()
		if err != nil {
			return nil, err
		}
		out.volume -= m[0]
		for k := range out.first {
			out.first[k] -= m[k+1]
		}
		out.surface += m[4]
	}
	bare, err := laidBare(tiers)
	if err != nil {
		return nil, err
	}
	out.surface += bare
	return out, out.assemble(tiers)
}

// sectionEdges is how many edges the sections have that must be brought together at the least.
func sectionEdges(tiers []tier) int {
	sum := 0
	for _, t := range tiers {
		if t.meet == nil || t.a.isUpright() && t.b.isUpright() {
			continue
		}
		for _, o := range []*Outline{t.a.lower, t.a.upper, t.b.lower, t.b.upper} {
			sum += 3 * gaussOrder / 2 * len(o.corners())
		}
	}
	return sum
}

// tier is where the bands of two solids lie at the same heights; either may be missing.
type tier struct {
	a, b *band
	left *band        // what is left of a
	meet *overlapping // where b takes something from a
}

// tiersOf pairs the bands of a solid, and of one that is lifted and taken from it, over the height of the first.
func tiersOf(s, what *Solid, up float64) (tiers []tier, err error) {
	gap := grid * math.Max(s.height, math.Abs(up))
	var heights []float64
	var lifted []band
	for _, b := range s.bands {
		heights = append(heights, b.from, b.to)
	}
	for _, b := range what.bands {
		b = b.raised(up)
		lifted = append(lifted, b)
		for _, z := range []float64{b.from, b.to} {
			if z > gap && z < s.height-gap {
				heights = append(heights, z)
			}
		}
	}
	slices.Sort(heights)
	heights = slices.CompactFunc(heights, func(a, b float64) bool { return math.Abs(b-a) <= gap })
	for i := range len(heights) - 1 {
		from, to := heights[i], heights[i+1]
		a, err := bandBetween(s.bands, from, to, gap)
		if err != nil {
			return nil, err
		}
		b, err := bandBetween(lifted, from, to, gap)
		if err != nil {
			return nil, err
		}
		more, err := subtracted(a, b, gap)
		if err != nil {
			return nil, fmt.Errorf("Between the heights of %s and %s: %w", mm(from), mm(to), err)
		}
		tiers = append(tiers, more...)
	}
	return tiers, nil
}

// bandBetween is the part between two heights of that band which reaches over them; nil where there is none.
func bandBetween(bands []band, from, to, gap float64) (*band, error) {
	middle := (from + to) / 2
	for _, b := range bands {
		if b.from <= middle && middle < b.to {
			p, err := b.part(from, to, gap)
			return &p, err
		}
	}
	return nil, nil
}

// subtracted pairs two bands between the same heights, divided where their edges touch.
func subtracted(a, b *band, gap float64) ([]tier, error) {
	alone := []tier{{a: a, b: b, left: a}}
	if a == nil || b == nil {
		return alone, nil
	}
	coverA, _, err := a.span()
	if err != nil {
		return nil, err
	}
	coverB, _, err := b.span()
	if err != nil {
		return nil, err
	}
	common, err := Overlap(coverA, coverB)
	if err != nil || common.IsEmpty() {
		return alone, err
	}
	cuts, err := newOverlapping(*a, *b).events()
	if err != nil {
		return nil, err
	}
	var out []tier
	from := a.from
	for _, to := range append(cuts, a.to) {
		if to-from <= gap || to < a.to && a.to-to <= gap {
			continue
		}
		p, err := a.part(from, to, gap)
		if err != nil {
			return nil, err
		}
		q, err := b.part(from, to, gap)
		if err != nil {
			return nil, err
		}
		t := tier{a: &p, b: &q, meet: newOverlapping(p, q).slim()}
		if err := t.subtract(); err != nil {
			return nil, err
		}
		out = append(out, t)
		from = to
	}
	return out, nil
}

// subtract fills in what is left where both bands meet.
func (t *tier) subtract() error {
	a, b := *t.a, *t.b
	left := band{from: a.from, to: a.to, sides: lessened{t.meet}, loose: a.loose || b.loose}
	var err error
	if left.lower, err = Cut(a.lower, b.lower); err != nil {
		return err
	}
	if a.isUpright() && b.isUpright() {
		if left.lower.IsEmpty() {
			return nil
		}
		loose := left.loose
		left = uprightBand(left.lower, a.from, a.to)
		left.loose = loose
	} else if left.upper, err = Cut(a.upper, b.upper); err != nil {
		return err
	}
	t.left = &left
	return nil
}

// measure gives what b takes from a: volume, ∫x, ∫y and ∫z over it, and by how much the surface of the sides grows. It
// finds out whether the cover of what is left is exact.
func (t *tier) measure() (sums, error) {
	a, b, high := *t.a, *t.b, t.a.to-t.a.from
	if a.isUpright() && b.isUpright() {
		common, err := Overlap(a.lower, b.lower)
		if err != nil {
			return sums{}, err
		}
		around := 0.0
		if t.left != nil {
			around = t.left.lower.perimeter
		}
		v, mid := common.Area()*high, common.middle
		return sums{v, mid.X * v, mid.Y * v, v * (a.from + a.to) / 2, (around - a.lower.perimeter) * high}, nil
	}
	cover, _, err := a.span()
	if err != nil {
		return sums{}, err
	}
	v, reach := cover.Area()*high, cover.bounds.reach()
	scale := sums{v, v * reach, v * reach, v * a.to, (cover.perimeter + b.lower.perimeter + b.upper.perimeter) * high}
	within := true
	var fail error
	out, err := integrate(0, math.Pi, scale, func(turn float64) sums {
		if fail != nil {
			return sums{}
		}
		h, dz := a.along(turn)
		m, inside, err := t.meet.at(h)
		if err != nil {
			fail = fmt.Errorf("At the height of %s: %w", mm(h.z()), err)
		}
		within = within && inside
		for i := range m {
			m[i] *= dz
		}
		return m
	})
	if fail != nil {
		return out, fail
	}
	t.left.loose = t.left.loose || !exactCover(a, b, within)
	return out, err
}

// exactCover tells whether what lies in some section of a, less what lies in all of b, is just what is left at some
// height: where one of them is upright, where the sections of a grow as those of b shrink, and where both shrink or
// both grow but b stays within a.
func exactCover(a, b band, within bool) bool {
	t, u := a.sides.trend(), b.sides.trend()
	return t == steady || u == steady || t.with(u.back()) != mixed || within && t == u && t != mixed
}

// sidesGained goes round what two sections have in common: what is an edge of the first is taken from its sides, what is
// an edge of the second alone becomes one.
func sidesGained(common *Outline, a, b section) float64 {
	tol := merging * grid * math.Max(a.outline.bounds.reach(), b.outline.bounds.reach())
	corners := append(a.outline.corners(), b.outline.corners()...)
	sum := 0.0
	for _, loop := range common.loops {
		for _, e := range loop {
			shares := []float64{0, 1}
			for _, p := range corners {
				if e.distance(p) <= tol {
					shares = append(shares, e.share(p))
				}
			}
			slices.Sort(shares)
			for i := range len(shares) - 1 {
				from, part := shares[i], shares[i+1]-shares[i]
				if part*e.Length() <= tol {
					continue
				}
				// An edge of the other may touch the first one at a point, but not at two.
				p, q := e.At(from+0.37*part), e.At(from+0.71*part)
				offA := math.Max(a.outline.distance(p), a.outline.distance(q))
				if offA <= tol || offA <= b.outline.distance(p) {
					sum -= a.slope(p) * part * e.Length()
				} else {
					sum += b.slope(p) * part * e.Length()
				}
			}
		}
	}
	return sum
}

func (o *Outline) corners() []value.Place {
	var out []value.Place
	for _, loop := range o.loops {
		for _, e := range loop {
			out = append(out, e.From)
		}
	}
	return out
}

// laidBare is by how much the level faces grow.
func laidBare(tiers []tier) (float64, error) {
	sum := 0.0
	for i := range len(tiers) + 1 {
		var below, above tier
		if i > 0 {
			below = tiers[i-1]
		}
		if i < len(tiers) {
			above = tiers[i]
		}
		if below.meet == nil && above.meet == nil {
			continue
		}
		now, err := stepped(below.left, above.left)
		if err != nil {
			return 0, err
		}
		before, err := stepped(below.a, above.a)
		if err != nil {
			return 0, err
		}
		sum += now - before
	}
	return sum, nil
}

// stepped is the area of the level faces where a band ends and another begins.
func stepped(below, above *band) (float64, error) {
	p, q := Empty(), Empty()
	if below != nil {
		p = below.upper
	}
	if above != nil {
		q = above.lower
	}
	if p == q {
		return 0, nil
	}
	common, err := Overlap(p, q)
	if err != nil {
		return 0, err
	}
	return p.Area() + q.Area() - 2*common.Area(), nil
}

// lessened are the sides of what is left of a band when another is taken from it.
type lessened struct{ *overlapping }

func (l lessened) at(h height) (section, error) {
	s, u, err := l.sections(h)
	if err != nil {
		return s, err
	}
	rest, err := Cut(s.outline, u.outline)
	return section{rest, func(p value.Place) float64 {
		if s.outline.distance(p) <= u.outline.distance(p) {
			return s.slope(p)
		}
		return u.slope(p)
	}}, err
}

func (l lessened) span(from, to float64) (cover, core *Outline, err error) {
	a, b := l.a, l.b
	a.from, a.to, b.from, b.to = from, to, from, to
	coverA, coreA, err := a.span()
	if err != nil {
		return nil, nil, err
	}
	coverB, coreB, err := b.span()
	if err != nil {
		return nil, nil, err
	}
	if cover, err = Cut(coverA, coreB); err != nil {
		return nil, nil, err
	}
	core, err = Cut(coreA, coverB)
	return cover, core, err
}

func (l lessened) trend() trend { return l.a.sides.trend().with(l.b.sides.trend().back()) }

func (l lessened) carriers(h height) []Edge { return append(l.a.carriers(h), l.b.carriers(h)...) }
