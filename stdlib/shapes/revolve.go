package shapes

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"castwright/lang/value"
)

// revolved is a part that is turned about an upright axis.
type revolved struct {
	profile *Outline // on the ground
	angle   float64
}

func (r revolved) same(other recipe) bool {
	q, ok := other.(revolved)
	return ok && r.angle == q.angle && r.profile.Equal(q.profile)
}

// Revolve turns a profile about an upright axis over the origin, from the x direction to the left, by an angle above 0
// and up to a full turn (rad). x of the profile is the distance from the axis, 0 or more, and y the height; the solid
// stands on the lowest point of the profile. Volume and surface by Pappus: the area or the edges of the profile, times
// the way of their centroid.
func Revolve(profile *Outline, angle float64) (*Solid, error) {
	const full = 2 * math.Pi
	if profile.IsEmpty() {
		return nil, errors.New("An empty profile cannot be revolved: it has no area.")
	}
	if !finite(angle) || angle <= 0 || angle > full*(1+1e-12) {
		return nil, fmt.Errorf("A profile is revolved by an angle above 0 deg and up to 360 deg; %s was given.", degrees(angle))
	}
	if angle > full*(1-1e-12) {
		angle = full
	}
	if err := besideAxis(profile); err != nil {
		return nil, err
	}
	profile, err := Move(profile, 0, -profile.bounds.Bottom)
	if err != nil {
		return nil, err
	}
	r := revolved{profile, angle}
	s := &Solid{parts: []recipe{r}, height: profile.bounds.Top}
	m, mid := profile.about, profile.middle
	s.volume = angle * m.A * mid.X
	s.first[2] = angle * (m.XY + m.A*mid.X*mid.Y)
	for _, loop := range profile.loops {
		for _, e := range loop {
			s.surface += angle * e.firstMoment()
		}
	}
	if angle < full {
		// ∫x² over the profile times ∫cos and ∫sin over the angle; sin²(a/2)·2 is 1 − cos a.
		xx := m.XX + m.A*mid.X*mid.X
		half := math.Sin(angle / 2)
		s.first[0], s.first[1] = xx*math.Sin(angle), xx*2*half*half
		s.surface += 2 * m.A
	}
	if s.bands, err = r.bands(); err != nil {
		return nil, err
	}
	s.bottom, s.top = s.bands[0].lower, s.bands[len(s.bands)-1].upper
	foot := r.seen()
	s.seen, s.box = []*Outline{foot}, foot.bounds
	return s, nil
}

// besideAxis refuses a profile that reaches to the left of the y axis.
func besideAxis(profile *Outline) error {
	b, tol := profile.bounds, profile.tolerance()
	if b.Left >= -tol {
		return nil
	}
	if b.Right <= tol {
		return fmt.Errorf("The profile lies to the left of the axis, x = 0 mm, down to x = %s. Mirror it, or move it to the right.", mm(b.Left))
	}
	axis := line(value.Place{Y: b.Bottom - b.Depth()}, value.Place{Y: b.Top + b.Depth()})
	for _, loop := range profile.loops {
		for _, e := range loop {
			for _, p := range crossings(e, axis) {
				if eb := e.bounds(); eb.Left < -tol && eb.Right > tol && e.distance(p) <= tol {
					return fmt.Errorf("The profile crosses the axis, x = 0 mm, at %s and reaches to x = %s. Move it to the right, or cut off what lies to the left.", at(p), mm(b.Left))
				}
			}
		}
	}
	return fmt.Errorf("The profile reaches beyond the axis, x = 0 mm, to x = %s. Move it to the right, or cut off what lies to the left.", mm(b.Left))
}

// firstMoment is ∫x along the edge. The centroid of an arc of half angle a lies r·(sin a/a − cos a) off its chord.
func (e Edge) firstMoment() float64 {
	mid := (e.From.X + e.To.X) / 2
	if !e.IsArc() {
		return mid * e.Length()
	}
	a := math.Abs(e.Sweep) / 2
	off := math.Sin(a)/a - math.Cos(a)
	if a < 0.5 {
		// Where the terms nearly cancel, by the rule that is exact to the last digit for so short an arc.
		off = 0
		for i, x := range gaussNode {
			t := (x + 1) / 2 * a
			off += gaussWeight[i] / 2 * 2 * math.Sin((a+t)/2) * math.Sin((a-t)/2)
		}
	}
	return (mid + e.bulge().X*e.Radius*off) * e.Length()
}

// bands divides the profile at the heights of its corners and of its highest and lowest points.
func (r revolved) bands() ([]band, error) {
	tol := r.profile.tolerance()
	all := r.profile.flanks(tol)
	var heights []float64
	for _, f := range all {
		heights = append(heights, f.edge.From.Y, f.edge.To.Y)
	}
	slices.Sort(heights)
	heights = slices.CompactFunc(heights, func(a, b float64) bool { return math.Abs(b-a) <= tol })
	var out []band
	for i := range len(heights) - 1 {
		from, to := heights[i], heights[i+1]
		t := turning{r: r}
		for _, f := range all {
			if f.edge.From.Y <= from+tol && f.edge.To.Y >= to-tol {
				t.flanks = append(t.flanks, f)
			}
		}
		if len(t.flanks) == 0 {
			continue // between two pieces
		}
		slices.SortFunc(t.flanks, func(f, g flank) int { return cmp.Compare(f.middle(from, to), g.middle(from, to)) })
		if len(t.flanks)%2 != 0 {
			return nil, fmt.Errorf("The profile cannot be told inside from outside at the height of %s. Simplify it there.", mm((from+to)/2))
		}
		b := band{from: from, to: to, sides: t, lower: r.rings(t.radii(height{end: from})), upper: r.rings(t.radii(height{end: to}))}
		if outer := t.flanks[len(t.flanks)-1]; r.angle == 2*math.Pi {
			b.flank = outer.between(from, to)
		}
		out = append(out, b)
	}
	return out, nil
}

func (f flank) middle(from, to float64) float64 {
	x, _ := f.at(height{end: (from + to) / 2})
	return x
}

// between is the part of the flank between two heights.
func (f flank) between(from, to float64) Edge {
	x0, _ := f.at(height{end: from})
	x1, _ := f.at(height{end: to})
	p, q := value.Place{X: x0, Y: from}, value.Place{X: x1, Y: to}
	if !f.edge.IsArc() {
		return line(p, q)
	}
	return f.edge.part(p, q)
}

// rings are the outline of turned radii: pairs of an inner and an outer one, in rising order.
func (r revolved) rings(radii []float64) *Outline {
	tol := r.profile.tolerance() / 100
	var loops [][]Edge
	for i := 0; i+1 < len(radii); i += 2 {
		inner, outer := radii[i], radii[i+1]
		for i+3 < len(radii) && radii[i+2] <= outer+tol { // rings that touch
			i += 2
			outer = math.Max(outer, radii[i+1])
		}
		if outer-inner <= tol {
			continue
		}
		if inner <= tol {
			inner = 0
		}
		loops = append(loops, sectorLoops(inner, outer, r.angle)...)
	}
	return newOutline(loops)
}

// seen is the footprint: every piece of the profile reaches from its least to its greatest radius.
func (r revolved) seen() *Outline {
	var reach [][2]float64
	for _, loop := range r.profile.loops {
		if loopArea(loop) > 0 {
			b := newOutline([][]Edge{loop}).bounds
			reach = append(reach, [2]float64{math.Max(b.Left, 0), b.Right})
		}
	}
	return r.rings(mergedRanges(reach))
}

// mergedRanges joins ranges that overlap, and gives their ends in rising order.
func mergedRanges(ranges [][2]float64) []float64 {
	slices.SortFunc(ranges, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out []float64
	for _, x := range ranges {
		if n := len(out); n > 0 && x[0] <= out[n-1] {
			out[n-1] = math.Max(out[n-1], x[1])
			continue
		}
		out = append(out, x[0], x[1])
	}
	return out
}

// turning are the sides of a solid of revolution between two heights at which no flank of its profile begins or ends.
type turning struct {
	r      revolved
	flanks []flank // from the inside out, two for each ring
}

// radii are those of the section at a height.
func (t turning) radii(h height) []float64 {
	out := make([]float64, len(t.flanks))
	for i, f := range t.flanks {
		out[i], _ = f.at(h)
	}
	return out
}

func (t turning) at(h height) (section, error) {
	return section{t.r.rings(t.radii(h)), func(p value.Place) float64 {
		if t.r.onEnd(p) {
			return 1
		}
		least, slope := math.Inf(1), 1.0
		for _, f := range t.flanks {
			x, k := f.at(h)
			if d := math.Abs(size(p) - x); d < least {
				least, slope = d, k
			}
		}
		return slope
	}}, nil
}

// onEnd tells whether a point lies on an upright end of a part turn.
func (r revolved) onEnd(p value.Place) bool {
	sin, cos := math.Sincos(r.angle)
	far := 1e-9 * r.profile.bounds.Right
	return r.angle < 2*math.Pi &&
		(math.Abs(p.Y) <= far && p.X > 0 || math.Abs(cross(value.Place{X: cos, Y: sin}, p)) <= far && dot(value.Place{X: cos, Y: sin}, p) > 0)
}

func (t turning) span(from, to float64) (cover, core *Outline, err error) {
	a, b := t.radii(height{end: from}), t.radii(height{end: to})
	var most [][2]float64
	var least []float64
	for i := 0; i < len(a); i += 2 {
		most = append(most, [2]float64{math.Min(a[i], b[i]), math.Max(a[i+1], b[i+1])})
		if inner, outer := math.Max(a[i], b[i]), math.Min(a[i+1], b[i+1]); inner < outer {
			least = append(least, inner, outer)
		}
	}
	return t.r.rings(mergedRanges(most)), t.r.rings(least), nil
}

func (t turning) trend() trend {
	out := steady
	for i, f := range t.flanks {
		d := f.edge.To.X - f.edge.From.X
		if i%2 == 0 {
			d = -d
		}
		switch tol := t.r.profile.tolerance(); {
		case d < -tol:
			out = out.with(narrowing)
		case d > tol:
			out = out.with(widening)
		}
	}
	return out
}

// profiles are those of two solids of revolution that can be taken from each other by their profiles.
func profiles(s, t *Solid) (a, b *Outline, ok bool) {
	if len(s.parts) != 1 || len(t.parts) != 1 {
		return nil, nil, false
	}
	p, okP := s.parts[0].(revolved)
	q, okQ := t.parts[0].(revolved)
	if !okP || !okQ || p.angle != q.angle {
		return nil, nil, false
	}
	return p.profile, q.profile, true
}

// turnedAgain revolves what is left of a profile.
func turnedAgain(profile, less *Outline, angle float64) (*Solid, error) {
	rest, err := Cut(profile, less)
	if err != nil {
		return nil, err
	}
	if rest.IsEmpty() {
		return nil, errNothingLeft
	}
	return Revolve(rest, angle)
}
