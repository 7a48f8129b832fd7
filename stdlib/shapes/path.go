package shapes

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"castwright/lang/value"
)

// Step is one step of a path: a straight line or a circular arc to a point, from where the step before it ends.
type Step struct {
	to     value.Place
	way    way
	by     value.Place // the centre, or the point that is passed through
	radius float64
	right  bool // of an arc by its centre or its radius: it turns right
}

// way says how a step gets to its point.
type way uint8

const (
	straight way = iota
	about
	withRadius
	through
	tangent
)

var _ value.Comparable = Step{}

// LineTo is a straight step to a point.
func LineTo(p value.Place) Step { return Step{to: p} }

// ArcAbout is an arc to a point about a centre, turning "left" or "right". The centre lies equally far from both ends.
// Where the arc ends at its beginning it is a full turn.
func ArcAbout(p, centre value.Place, turn string) (Step, error) {
	right, err := turnsRight(turn)
	return Step{to: p, way: about, by: centre, right: right}, err
}

// ArcOfRadius is an arc to a point of a radius, turning "left" or "right" by at most half a turn. The radius is at least
// half the distance between the ends.
func ArcOfRadius(p value.Place, radius float64, turn string) (Step, error) {
	right, err := turnsRight(turn)
	if err == nil {
		err = above0("An arc", "a radius", radius)
	}
	return Step{to: p, way: withRadius, radius: radius, right: right}, err
}

// ArcThrough is an arc to a point that passes through another, q, which does not lie in line with the ends.
func ArcThrough(p, q value.Place) Step { return Step{to: p, way: through, by: q} }

// ArcTangent is an arc to a point that goes on smoothly from the step before it.
func ArcTangent(p value.Place) Step { return Step{to: p, way: tangent} }

func turnsRight(turn string) (bool, error) {
	switch turn {
	case "left", "right":
		return turn == "right", nil
	case "":
		return false, errors.New(`An arc by its centre or its radius goes one of two ways round. Write turn: "left" or turn: "right".`)
	}
	return false, fmt.Errorf(`An arc turns "left" or "right"; %q was given.`, turn)
}

// Equal tells whether other is the same step, as it was given.
func (s Step) Equal(other any) bool {
	t, ok := other.(Step)
	return ok && s == t
}

// Words tells a step: "arc to (10 mm, 0 mm), turning left about (0 mm, 0 mm)"; length writes a length in metres.
func (s Step) Words(length func(float64) string) string {
	point := func(p value.Place) string { return "(" + length(p.X) + ", " + length(p.Y) + ")" }
	turn := "left"
	if s.right {
		turn = "right"
	}
	arc := "arc to " + point(s.to)
	switch s.way {
	case about:
		return arc + ", turning " + turn + " about " + point(s.by)
	case withRadius:
		return arc + ", turning " + turn + " with radius " + length(s.radius)
	case through:
		return arc + " through " + point(s.by)
	case tangent:
		return arc + ", tangent to the step before"
	}
	return "line to " + point(s.to)
}

// short names a step in a message.
func (s Step) short() string {
	if s.way == straight {
		return "a line to " + at(s.to)
	}
	return "an arc to " + at(s.to)
}

// Path draws steps one after another from a start, and closes them by a straight line back to it; where the last step
// ends on the start there is none. It may run either way round. The ends of the edges are the points as they are given.
// A step that cannot be drawn is refused with its number, and a path that crosses or touches itself with an *ErrPlace,
// whose Edges count the edges: an arc beyond half a turn is two.
func Path(start value.Place, steps []Step) (*Outline, error) {
	gap, err := pathGap(start, steps)
	if err != nil {
		return nil, err
	}
	var loop []Edge
	var of []int // the step of each edge
	here := start
	for i, s := range steps {
		if i == len(steps)-1 && apart(s.to, start) <= gap {
			s.to = start
		}
		edges, err := s.edges(here, loop, gap)
		if err != nil {
			return nil, fmt.Errorf("Step %d of the path, %s, %w", i+1, s.short(), err)
		}
		for range edges {
			of = append(of, i)
		}
		loop, here = append(loop, edges...), s.to
	}
	if here != start {
		loop, of = append(loop, line(here, start)), append(of, len(steps))
	}
	if len(loop) < 3 && noArc(loop) {
		return nil, errors.New("A path without arcs needs at least two lines to points off one line; a third closes it by itself.")
	}
	o, err := FromLoops([][]Edge{loop})
	var clash *ErrPlace
	if errors.As(err, &clash) {
		name := func(edge int) string {
			if i := of[edge]; i < len(steps) {
				return fmt.Sprintf("step %d, %s", i+1, steps[i].short())
			}
			return "the line that closes it"
		}
		clash.Text = fmt.Sprintf("The path crosses or touches itself at %s: %s, and %s.", at(clash.Place), name(clash.Edges[0]), name(clash.Edges[1]))
	}
	return o, err
}

// pathGap is the distance below which points of a path count as one. Points that cannot be worked with are refused.
func pathGap(start value.Place, steps []Step) (float64, error) {
	if !finite(start.X, start.Y) {
		return 0, fmt.Errorf("The start of the path lies nowhere that can be worked with: %s.", at(start))
	}
	reach := math.Max(math.Abs(start.X), math.Abs(start.Y))
	for i, s := range steps {
		if !finite(s.to.X, s.to.Y, s.by.X, s.by.Y) {
			return 0, fmt.Errorf("Step %d of the path, %s, lies nowhere that can be worked with.", i+1, s.Words(mm))
		}
		reach = math.Max(reach, math.Max(math.Abs(s.to.X), math.Abs(s.to.Y)))
	}
	return 1e-11 * reach, nil
}

func noArc(loop []Edge) bool {
	for _, e := range loop {
		if e.IsArc() {
			return false
		}
	}
	return true
}

// edges draws a step from a point, behind the edges before it. An error goes on from the words "Step 3 of the path, an
// arc to (…), ".
func (s Step) edges(from value.Place, before []Edge, gap float64) ([]Edge, error) {
	if apart(from, s.to) <= gap {
		if s.way == about {
			return s.fullTurn(from, gap)
		}
		return nil, errors.New("ends where it begins. Leave it out; only an arc by its centre may go all the way round.")
	}
	switch s.way {
	case about:
		return s.arcAbout(from, gap)
	case withRadius:
		return s.arcOfRadius(from, gap)
	case through:
		return s.arcThrough(from, gap)
	case tangent:
		return s.arcTangent(from, before, gap)
	}
	return []Edge{line(from, s.to)}, nil
}

// fullTurn draws an arc about a centre that ends where it begins.
func (s Step) fullTurn(from value.Place, gap float64) ([]Edge, error) {
	if apart(from, s.by) <= gap {
		return nil, errors.New("begins and ends at its own centre.")
	}
	sweep := 2 * math.Pi
	if s.right {
		sweep = -sweep
	}
	return Arc(s.by, from, from, sweep), nil
}

func (s Step) arcAbout(from value.Place, gap float64) ([]Edge, error) {
	a, b := apart(from, s.by), apart(s.to, s.by)
	if math.Abs(a-b) > gap+1e-14*(a+b) {
		begin, end := unlike(a, b)
		return nil, fmt.Errorf("has its centre %s at %s from where it begins, but %s from where it ends. Move one of the three points, or give its radius or a point to pass through.", at(s.by), begin, end)
	}
	chord := sub(s.to, from)
	off := dot(sub(s.by, along(from, chord, 0.5)), leftOf(unit(chord)))
	return arcs(nil, s.by, (a+b)/2, from, s.to, sweepOf(size(chord)/2, off, s.right)), nil
}

func (s Step) arcOfRadius(from value.Place, gap float64) ([]Edge, error) {
	half := apart(from, s.to) / 2
	over := s.radius - half
	// A radius that is half the distance but for rounding errors makes half a turn.
	slip := gap / 100
	switch {
	case over < -slip:
		given, least := unlike(s.radius, half)
		return nil, fmt.Errorf("has a radius of %s, which does not reach. Its ends are %s apart, and the least radius is half of that, %s.", given, digits(2*half, 9), least)
	case over < slip:
		return bow(from, s.to, 0, s.right), nil
	}
	off := math.Sqrt(over * (s.radius + half))
	if s.right {
		off = -off
	}
	return bow(from, s.to, off, s.right), nil
}

// arcThrough takes the centre from the angle between the ends as seen from the point that is passed through: half the
// angle at the centre over the other arc of the circle (Euclid III.20).
func (s Step) arcThrough(from value.Place, gap float64) ([]Edge, error) {
	half := apart(from, s.to) / 2
	a, b := sub(from, s.by), sub(s.to, s.by)
	c := cross(a, b)
	if math.Abs(c) <= 2*half*gap {
		return nil, fmt.Errorf("lies on one line with %s, where it begins, and %s, which it shall pass through. Write line(…) for a straight step.", at(from), at(s.by))
	}
	return drawable(bow(from, s.to, half*dot(a, b)/c, c > 0))
}

// arcTangent takes the centre from the angle between the tangent and the chord: half the turn (Euclid III.32).
func (s Step) arcTangent(from value.Place, before []Edge, gap float64) ([]Edge, error) {
	if len(before) == 0 {
		return nil, errors.New("cannot be tangent: there is nothing before it. Begin with another step, or give this arc a centre, a radius or a point to pass through.")
	}
	last := before[len(before)-1]
	ahead, chord := last.headingAt(last.To), sub(s.to, from)
	c, d := cross(ahead, chord), dot(ahead, chord)
	switch {
	case math.Abs(c) > gap:
		return drawable(bow(from, s.to, size(chord)/2*d/c, c < 0))
	case d > 0:
		return nil, errors.New("lies straight ahead of the step before it. Write line(…) for a straight step.")
	}
	return nil, errors.New("lies straight behind the end of the step before it; no arc that goes on smoothly leads there.")
}

// bow is the arc over a chord whose centre lies off to the left of the middle of the chord, or to the right where off is
// below 0.
func bow(from, to value.Place, off float64, right bool) []Edge {
	chord := sub(to, from)
	half := size(chord) / 2
	centre := along(along(from, chord, 0.5), leftOf(unit(chord)), off)
	return arcs(nil, centre, math.Hypot(half, off), from, to, sweepOf(half, off, right))
}

// sweepOf is the turn of an arc over half a chord, with its centre off to the left of it. It keeps its digits where the
// centre is far away.
func sweepOf(half, off float64, right bool) float64 {
	if right {
		return -2 * math.Atan2(half, -off)
	}
	return 2 * math.Atan2(half, off)
}

// drawable refuses an arc that is so flat that its centre lies nowhere.
func drawable(arc []Edge) ([]Edge, error) {
	if e := arc[0]; !finite(e.Radius, e.Centre.X, e.Centre.Y) {
		return nil, errors.New("would be as good as straight. Write line(…) for a straight step.")
	}
	return arc, nil
}

// unlike writes two lengths that differ, with as many digits as it takes to tell them apart.
func unlike(x, y float64) (string, string) {
	for n := 6; n < 17; n++ {
		if a, b := digits(x, n), digits(y, n); a != b {
			return a, b
		}
	}
	return digits(x, 17), digits(y, 17)
}

// digits writes a length in millimetres with n significant digits.
func digits(x float64, n int) string { return strconv.FormatFloat(x*1000, 'g', n, 64) + " mm" }
