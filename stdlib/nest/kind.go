package nest

import (
	"fmt"
	"math"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// kind is what the pieces of one part have in common.
type kind struct {
	number  int // among the parts, from 0
	index   int // among the kinds
	count   int
	outline *shapes.Outline // turned by angle
	angle   float64
	solid   *shapes.Outline    // with half the kerf round it, less the play: solids may touch
	tight   *shapes.Outline    // the same for the proof
	convex  bool               // whether the solid is
	turned  [4]*shapes.Outline // the solid by quarter turns, as far as they were wanted
	poses   []*pose
}

// pose is a kind turned by quarter turns, moved so that the box round it has its lower left corner on the origin.
type pose struct {
	index        int // among all poses
	kind         *kind
	quarters     int
	width, depth float64
	by           value.Place           // how far it is moved once it is turned
	corners      [tangents]value.Place // of the tangents round its solid
}

// take makes a kind of a part.
func (j *job) take(number int, p Part) error {
	switch {
	case p.Count < 0 || p.Count > mostParts:
		return fmt.Errorf("Part %d is wanted %d times; from 0 to %d can be nested.", number+1, p.Count, mostParts)
	case p.Outline == nil || p.Outline.IsEmpty():
		return fmt.Errorf("Part %d is an empty outline.", number+1)
	case p.Outline.Pieces() != 1:
		return fmt.Errorf("Part %d is an outline of %d pieces, which would have to keep together. Give one piece, and in counts how many of it are wanted.", number+1, p.Outline.Pieces())
	case edges(p.Outline) > mostEdges:
		return fmt.Errorf("Part %d has %d edges, more than are nested, %d. Simplify it.", number+1, edges(p.Outline), mostEdges)
	case p.Count == 0:
		return nil
	}
	k := &kind{number: number, index: len(j.kinds), count: p.Count}
	if err := j.shape(k, p.Outline); err != nil {
		return fmt.Errorf("Part %d cannot be nested with this kerf. %w", number+1, err)
	}
	if err := j.pose(k); err != nil {
		return err
	}
	if len(k.poses) == 0 {
		return j.tooLarge(number, p.Outline)
	}
	j.kinds = append(j.kinds, k)
	j.count += k.count
	return nil
}

// shape turns the outline of a kind as it lies best, and puts the kerf round it.
func (j *job) shape(k *kind, o *shapes.Outline) (err error) {
	if k.outline = o; !j.sheet.Grain {
		k.angle = j.bestAngle(o)
		if k.outline, err = shapes.Turn(o, k.angle, value.Place{}); err != nil {
			return err
		}
	}
	if k.solid, err = j.offset(k.outline, j.play); err != nil {
		return err
	}
	k.convex = k.solid.IsConvex()
	k.tight, err = j.offset(k.outline, slackShare*j.sheet.unit())
	return err
}

func edges(o *shapes.Outline) (n int) {
	for _, loop := range o.Loops() {
		n += len(loop)
	}
	return n
}

// offset is an outline with half the kerf round it, less a little. Where there is no kerf, and it cannot be moved in by so
// little, it stays.
func (j *job) offset(o *shapes.Outline, less float64) (*shapes.Outline, error) {
	by := j.sheet.Kerf/2 - less
	if by > 0 {
		return shapes.Grow(o, by, shapes.Round)
	}
	for _, corners := range []string{shapes.Sharp, shapes.Round} {
		if out, err := shapes.Shrink(o, -by, corners); err == nil && out.Pieces() == 1 {
			return out, nil
		}
	}
	return o, nil
}

// pose turns a kind by quarter turns, by half a turn only where there is a grain; turns that make no difference are left out.
func (j *job) pose(k *kind) error {
	var shown []*shapes.Outline
	for q := range 4 {
		if j.sheet.Grain && q%2 == 1 {
			continue
		}
		o, err := turned(k.outline, q)
		if err != nil {
			return err
		}
		b, err := o.Bounds()
		if err != nil {
			return err
		}
		by := value.Place{X: -b.Left, Y: -b.Bottom}
		if o, err = shapes.Move(o, by.X, by.Y); err != nil {
			return err
		}
		same := false
		for _, other := range shown {
			same = same || j.alike(o, other)
		}
		if _, ok := j.limits(b.Width(), b.Depth()); same || !ok {
			continue
		}
		shown = append(shown, o)
		p := &pose{index: len(j.poses), kind: k, quarters: q, width: b.Width(), depth: b.Depth(), by: by}
		lying, err := placed{pose: p}.lying(k.solid)
		if err != nil {
			return err
		}
		p.corners = corners(lying)
		k.poses = append(k.poses, p)
		j.poses = append(j.poses, p)
	}
	return nil
}

func (j *job) tooLarge(number int, o *shapes.Outline) error {
	s := &j.sheet
	text := fmt.Sprintf("Part %d, %s by %s, does not fit on a sheet of %s", number+1, shapes.Millimetres(o.Width()), shapes.Millimetres(o.Depth()), s.Size())
	if s.Margin > 0 {
		text += fmt.Sprintf(" with a margin of %s", shapes.Millimetres(s.Margin))
	}
	if s.Grain {
		return fmt.Errorf("%s along the grain. Turn it, divide it, or take larger sheets.", text)
	}
	return fmt.Errorf("%s, however it is turned. Divide it, or take larger sheets.", text)
}

// turned is an outline turned left by quarter turns about the origin.
func turned(o *shapes.Outline, quarters int) (*shapes.Outline, error) {
	if quarters%4 == 0 {
		return o, nil
	}
	return shapes.Turn(o, float64(quarters%4)*math.Pi/2, value.Place{})
}

// alike tells whether two outlines, each with its box on the origin, are the same figure.
func (j *job) alike(a, b *shapes.Outline) bool {
	tol := j.play
	if math.Abs(a.Width()-b.Width()) > tol || math.Abs(a.Depth()-b.Depth()) > tol {
		return false
	}
	p, errP := a.Centroid()
	q, errQ := b.Centroid()
	if errP != nil || errQ != nil || math.Hypot(p.X-q.X, p.Y-q.Y) > tol {
		return false
	}
	common, err := shapes.Overlap(a, b)
	return err == nil && a.Area()-common.Area() <= tol*a.Perimeter()
}
