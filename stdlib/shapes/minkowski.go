package shapes

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"castwright/lang/value"
)

// NoFit gives the places where an outline must not lie, so as not to overlap one that stays: all (x, y) such that moved,
// carried by x and y, overlaps fixed. It is the Minkowski sum of fixed and of moved turned by half a turn about the
// origin, with exact lines and arcs, less the places where one lies wholly in a hole of the other. On its edge the two
// touch. Both outlines must be of one piece.
//
// It takes about so many steps, in proportion to time; where that is more than most it is not done.
func NoFit(fixed, moved *Outline, most int) (forbidden *Zone, steps int, err error) {
	loops, steps, err := noFit(fixed, moved, most)
	if err != nil {
		return nil, steps, err
	}
	return newZone(slices.Concat(loops...)), steps, nil
}

func noFit(fixed, moved *Outline, most int) ([][]Edge, int, error) {
	a, b := outerLoop(fixed), outerLoop(moved)
	if a == nil || b == nil {
		return nil, 0, errors.New("Only outlines of one piece are held against each other.")
	}
	c := &convolver{most: most}
	sum := c.region(a, negative(b), func(w counts) bool { return w[0] > 0 })
	for _, hole := range holesFor(b, fixed) {
		for _, loop := range c.region(hole, negative(b), func(w counts) bool { return w[0] < 0 }) {
			sum = append(sum, reversed(loop))
		}
	}
	for _, hole := range holesFor(a, moved) {
		for _, loop := range c.region(hole, negative(a), func(w counts) bool { return w[0] < 0 }) {
			sum = append(sum, reversed(negative(loop)))
		}
	}
	return sum, c.steps, c.err
}

// outerLoop is the outer loop of an outline of one piece, nil for any other.
func outerLoop(o *Outline) (outer []Edge) {
	if len(o.loops) == 1 {
		return o.loops[0]
	}
	for _, loop := range o.loops {
		if loopArea(loop) < 0 {
			continue
		}
		if outer != nil {
			return nil
		}
		outer = loop
	}
	return outer
}

// holesFor gives the holes of an outline that are large enough for a loop, by area and by the sides of their boxes. Within
// one that is, the winding number of the convolution tells exactly where the loop fits.
func holesFor(loop []Edge, o *Outline) (out [][]Edge) {
	if len(o.loops) == 1 {
		return nil
	}
	l, area := loopBounds(loop), loopArea(loop)
	for _, hole := range o.loops {
		h := loopBounds(hole)
		if -loopArea(hole) > area && h.Width() > l.Width() && h.Depth() > l.Depth() {
			out = append(out, hole)
		}
	}
	return out
}

func loopBounds(loop []Edge) Bounds {
	b := loop[0].bounds()
	for _, e := range loop[1:] {
		b = b.with(e.bounds())
	}
	return b
}

// negative is a loop turned by half a turn about the origin.
func negative(loop []Edge) []Edge {
	out := make([]Edge, len(loop))
	for i, e := range loop {
		out[i] = Edge{times(e.From, -1), times(e.To, -1), times(e.Centre, -1), e.Radius, e.Sweep}
	}
	return out
}

// part is a line of a loop, or a turn of it: an arc, or a corner as an arc of radius 0. Directions of travel are told by
// their rank among all directions of both loops, so that they are compared without rounding.
type part struct {
	from, to   value.Place
	centre     value.Place
	radius     float64 // of a turn, below 0 where it turns right
	sweep      float64 // rad, 0 for a line
	start, end int     // ranks of the directions at its ends
}

// first and span give the directions that a turn takes, in their order to the left: from first on, and span ranks further.
func (p *part) first() int {
	if p.sweep < 0 {
		return p.end
	}
	return p.start
}

func (p *part) span(n int) int {
	if p.sweep < 0 {
		return (p.start - p.end + n) % n
	}
	return (p.end - p.start + n) % n
}

// at is the point of a turn where it has the direction of a rank.
func (p *part) at(rank int, angles []float64) value.Place {
	switch {
	case rank == p.start:
		return p.from
	case rank == p.end:
		return p.to
	case p.radius == 0:
		return p.centre
	}
	sin, cos := math.Sincos(angles[rank])
	return value.Place{X: p.centre.X + p.radius*sin, Y: p.centre.Y - p.radius*cos}
}

// sameWay is the angle in rad below which two directions are one.
const sameWay = 1e-10

// partsOf divides a loop; headings are the directions at the start and the end of each part.
func partsOf(loop []Edge) (parts []part, headings []float64) {
	towards := func(v value.Place) float64 {
		if a := math.Atan2(v.Y, v.X); a < 0 {
			return a + 2*math.Pi
		} else {
			return a
		}
	}
	for i, e := range loop {
		next := loop[(i+1)%len(loop)]
		end := towards(e.headingAt(e.To))
		parts = append(parts, part{from: e.From, to: e.To, centre: e.Centre, radius: math.Copysign(e.Radius, e.Sweep), sweep: e.Sweep})
		headings = append(headings, towards(e.headingAt(e.From)), end)
		parts = append(parts, part{from: e.To, to: e.To, centre: e.To, sweep: turnTo(e, next)})
		headings = append(headings, end, towards(next.headingAt(next.From)))
	}
	return parts, headings
}

// ranked puts directions in order; those that are nearly the same have one rank. It gives the angle of each rank, and the
// rank of each direction.
func ranked(headings []float64) (angles []float64, ranks []int) {
	order := make([]int, len(headings))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Compare(headings[i], headings[j]) })
	ranks = make([]int, len(headings))
	last := math.Inf(-1)
	for _, i := range order {
		if headings[i]-last > sameWay {
			angles = append(angles, headings[i])
		}
		last = headings[i]
		ranks[i] = len(angles) - 1
	}
	if n := len(angles); n > 1 && angles[0]+2*math.Pi-last <= sameWay {
		for i := range ranks {
			ranks[i] %= n - 1
		}
		angles = angles[:n-1]
	}
	return angles, ranks
}

// convolve makes the closed ways that the sum of a point on each of two loops takes where both have the same direction
// (Guibas, Ramshaw and Stolfi, A kinetic framework for computational geometry, 1983). How often they wind round a place
// is the Euler characteristic of what one loop, carried there, and the other have in common: the number of its pieces
// less that of its holes. Where both loops turn left only, so does the sum: convex is true.
//
// A line of one goes along with every turn of the other that takes its direction, backwards where that turns right; two
// turns give an arc whose radius is the sum of both, counted negative for turns to the right. Where directions are the
// same, those of b count as a little further to the left.
func (c *convolver) convolve(a, b []Edge) (convex bool) {
	parts, headings := partsOf(a)
	others, more := partsOf(b)
	split := len(parts)
	parts = append(parts, others...)
	angles, ranks := ranked(append(headings, more...))
	convex = true
	for i := range parts {
		p := &parts[i]
		p.start, p.end = ranks[2*i], ranks[2*i+1]
		if p.start == p.end {
			p.sweep = 0
		}
		convex = convex && p.sweep >= 0
	}
	c.angles, c.edges, c.keys = angles, nil, nil
	for i := range parts[:split] {
		for j := range parts[split:] {
			c.pair(&parts[i], &parts[split+j])
		}
	}
	return convex
}

// region gives the loops round the places that the convolution of two loops winds round as often as inside wants.
func (c *convolver) region(a, b []Edge, inside func(counts) bool) [][]Edge {
	if c.err != nil || !c.mayTake(4*len(a)*len(b)) {
		return nil
	}
	if c.convolve(a, b) {
		return [][]Edge{c.inOrder()}
	}
	if !c.mayTake(500*len(c.edges)) || !c.mayTake(70*c.crowding(c.most/70)) { // in proportion to the time that it takes
		return nil
	}
	strands := make([]strand, len(c.edges))
	for i, e := range c.edges {
		strands[i] = strand{edge: e}
	}
	o, err := overlay("held against each other", strands, inside)
	if err != nil {
		c.err = err
		return nil
	}
	return o.loops
}

// mayTake counts steps, or refuses them where they are too many.
func (c *convolver) mayTake(steps int) bool {
	if c.steps+steps > c.most {
		c.err = errTooMuch
		return false
	}
	c.steps += steps
	return true
}

// crowding counts the pairs of edges whose boxes meet, as far as a bound.
func (c *convolver) crowding(most int) (pairs int) {
	boxes := make([]Bounds, len(c.edges))
	for i, e := range c.edges {
		boxes[i] = e.bounds()
	}
	t := newBoxTree(boxes)
	for i, b := range boxes {
		t.find(func(o Bounds) bool { return pairs <= most && b.near(o, 0) }, func(k int) {
			if k < i {
				pairs++
			}
		})
	}
	return pairs
}

// inOrder puts the edges of a convex sum in order, and makes the ends of neighbours, which are the same but for rounding,
// the same.
func (c *convolver) inOrder() []Edge {
	slices.SortStableFunc(c.keys, func(x, y key) int { return cmp.Or(cmp.Compare(x.rank, y.rank), cmp.Compare(x.order, y.order)) })
	loop := make([]Edge, len(c.keys))
	for i, k := range c.keys {
		loop[i] = c.edges[k.edge]
	}
	for i := range loop {
		loop[i].To = loop[(i+1)%len(loop)].From
	}
	return loop
}

// convolver gathers the edges of a convolution; keys put those of a convex one in order.
type convolver struct {
	angles      []float64
	edges       []Edge
	keys        []key
	steps, most int
	err         error
}

type key struct{ rank, order, edge int }

func (c *convolver) put(e Edge, rank, order int) {
	if e.From == e.To {
		return
	}
	c.keys = append(c.keys, key{rank, order, len(c.edges)})
	c.edges = append(c.edges, e)
}

// pair adds what a part of one loop and a part of the other give.
func (c *convolver) pair(p, q *part) {
	n := len(c.angles)
	switch {
	case p.sweep == 0 && q.sweep == 0:
	case p.sweep == 0:
		if d := (p.start - q.first() + n) % n; p.from != p.to && d > 0 && d <= q.span(n) {
			c.line(p, q, 0)
		}
	case q.sweep == 0:
		if d := (q.start - p.first() + n) % n; q.from != q.to && d < p.span(n) {
			c.line(q, p, 1)
		}
	case p.radius == 0 && q.radius == 0:
	default:
		d, e := (q.first()-p.first()+n)%n, (p.first()-q.first()+n)%n
		if d < p.span(n) {
			c.arc(p, q, q.first(), min(p.span(n)-d, q.span(n)))
		}
		if e > 0 && e < q.span(n) {
			c.arc(p, q, p.first(), min(q.span(n)-e, p.span(n)))
		}
	}
}

// line adds a line carried to the point of a turn that has its direction.
func (c *convolver) line(l, turn *part, order int) {
	by := turn.at(l.start, c.angles)
	e := line(add(l.from, by), add(l.to, by))
	if turn.sweep < 0 {
		e = e.back()
	}
	c.put(e, l.start, order)
}

// arc adds the sum of two turns over some ranks of directions.
func (c *convolver) arc(p, q *part, first, span int) {
	last := (first + span) % len(c.angles)
	sweep := c.angles[last] - c.angles[first]
	if sweep < 0 {
		sweep += 2 * math.Pi
	}
	from, to := add(p.at(first, c.angles), q.at(first, c.angles)), add(p.at(last, c.angles), q.at(last, c.angles))
	e := Edge{from, to, add(p.centre, q.centre), math.Abs(p.radius + q.radius), math.Min(sweep, math.Pi)}
	if p.sweep*q.sweep < 0 {
		e.From, e.To, e.Sweep = to, from, -e.Sweep
	}
	if e.Radius <= grid*(math.Abs(p.radius)+math.Abs(q.radius)) {
		e = line(e.From, e.To)
	}
	c.put(e, first, 2)
}

// Millimetres writes a length for a message.
func Millimetres(x float64) string { return mm(x) }

// IsConvex tells whether an outline is of one piece without a hole and turns left all round.
func (o *Outline) IsConvex() bool {
	if len(o.loops) != 1 {
		return false
	}
	parts, _ := partsOf(o.loops[0])
	for _, p := range parts {
		if p.sweep < -sameWay {
			return false
		}
	}
	return true
}
