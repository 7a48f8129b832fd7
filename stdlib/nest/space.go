package nest

import (
	"slices"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// space is where a pose may lie on a sheet: its lower left corner within limits and in no zone of those that lie there.
// Open holds the corners of what is free: wherever a pose is pushed to until it can be pushed no further, it comes to one.
type space struct {
	pose   *pose
	limits shapes.Bounds
	frame  *shapes.Zone
	blocks []block
	open   []value.Place
}

// block is a zone where it lies on the sheet.
type block struct {
	zone *shapes.Zone
	at   value.Place
	box  shapes.Bounds
}

func (j *job) newSpace(p *pose) *space {
	b, _ := j.limits(p.width, p.depth)
	box := []value.Place{{X: b.Left, Y: b.Bottom}, {X: b.Right, Y: b.Bottom}, {X: b.Right, Y: b.Top}, {X: b.Left, Y: b.Top}}
	return &space{pose: p, limits: b, frame: shapes.Around(box...), open: slices.Compact(box)}
}

func (j *job) holds(b *block, p value.Place) bool {
	yes, steps := b.zone.Holds(value.Place{X: p.X - b.at.X, Y: p.Y - b.at.Y}, j.play/4)
	j.steps += steps
	return yes
}

// add takes a piece that has come to lie on the sheet.
func (s *space) add(j *job, x placed) {
	z := j.zone(x.pose, s.pose)
	own := z.Bounds()
	n := block{z, x.at, shapes.Bounds{Left: own.Left + x.at.X, Right: own.Right + x.at.X, Bottom: own.Bottom + x.at.Y, Top: own.Top + x.at.Y}}
	depth := j.play / 4
	kept := s.open[:0]
	for _, p := range s.open {
		if !j.holds(&n, p) {
			kept = append(kept, p)
		}
	}
	s.open = kept
	var near []*block
	for i := range s.blocks {
		if overlap(&s.blocks[i].box, &n.box) {
			near = append(near, &s.blocks[i])
		}
	}
	visit := func(p value.Place) {
		p.X, p.Y = p.X+n.at.X, p.Y+n.at.Y
		l := &s.limits
		if p.X < l.Left-depth || p.X > l.Right+depth || p.Y < l.Bottom-depth || p.Y > l.Top+depth {
			return
		}
		p.X, p.Y = min(max(p.X, l.Left), l.Right), min(max(p.Y, l.Bottom), l.Top)
		for _, b := range near {
			if j.holds(b, p) {
				return
			}
		}
		s.open = append(s.open, p)
	}
	z.Corners(visit)
	limits := shapes.Bounds{Left: s.limits.Left - n.at.X, Right: s.limits.Right - n.at.X, Bottom: s.limits.Bottom - n.at.Y, Top: s.limits.Top - n.at.Y}
	j.steps += z.Meet(s.frame, value.Place{X: -n.at.X, Y: -n.at.Y}, limits, visit)
	for _, b := range near {
		j.steps += z.Meet(b.zone, value.Place{X: b.at.X - n.at.X, Y: b.at.Y - n.at.Y}, limits, visit)
	}
	s.blocks = append(s.blocks, n)
}

func overlap(a, b *shapes.Bounds) bool {
	return a.Left < b.Right && b.Left < a.Right && a.Bottom < b.Top && b.Bottom < a.Top
}
