package shapes

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"castwright/lang/value"
)

// wind works out how often the loops wind round what lies to the left of each piece. From a point of the piece a ray is
// sent along +x of a turned frame, and the pieces that it crosses are counted; pieces that lie wholly to the right are
// counted by their heights alone, all at once, so that the work grows as n log n. A piece is asked in that one of two
// frames, at right angles, in which it is the steeper, so that no ray runs along the piece that it comes from.
func (g *arrangement) wind() {
	const turned = 0.3567 // rad; of no meaning, so that few edges of a drawing lie along the axes of the frames
	frames := [2]*frame{newFrame(g, turned), newFrame(g, turned+math.Pi/2)}
	for k, f := range frames {
		var asked []probe
		for i := range g.pieces {
			a, b := frames[0].best[i], frames[1].best[i]
			if (a.high >= b.high) == (k == 0) {
				asked = append(asked, f.best[i])
			}
		}
		f.answer(g, asked)
	}
}

// frame is the plane turned, with its pieces in stretches that only rise or only fall.
type frame struct {
	sin, cos  float64
	stretches []stretch
	best      []probe // for each piece
}

// stretch is a part of a piece on which y only rises or only falls.
type stretch struct {
	piece    int
	y0, y1   float64 // y0 < y1
	up       bool    // whether it rises on the way from a to b
	box      Bounds
	x0, x1   float64 // of a line, at y0 and y1
	centre   value.Place
	radius   float64 // 0 for a line
	eastward bool    // of an arc: whether it lies to the right of its centre
}

// probe is a point of a stretch from which a ray is sent; high is how much the piece rises or falls there.
type probe struct {
	piece, stretch int
	at             value.Place
	up             bool
	high           float64
}

func newFrame(g *arrangement, angle float64) *frame {
	f := &frame{best: make([]probe, len(g.pieces))}
	f.sin, f.cos = math.Sincos(angle)
	at := make([]value.Place, len(g.vertices))
	for i, p := range g.vertices {
		at[i] = f.turn(p)
	}
	for i := range g.pieces {
		p := &g.pieces[i]
		from, to := at[p.a], at[p.b]
		if !p.edge.IsArc() {
			f.put(stretch{piece: i}, from, to, along(from, sub(to, from), 0.5))
			continue
		}
		f.arc(i, p.edge, from, to)
	}
	return f
}

func (f *frame) turn(p value.Place) value.Place {
	return value.Place{X: p.X*f.cos + p.Y*f.sin, Y: p.Y*f.cos - p.X*f.sin}
}

// arc divides an arc where it is highest and lowest.
func (f *frame) arc(i int, e Edge, from, to value.Place) {
	c := f.turn(e.Centre)
	start := math.Atan2(from.Y-c.Y, from.X-c.X)
	low, high := start, start+e.Sweep
	if low > high {
		low, high = high, low
	}
	var turns []float64
	for k := math.Ceil((low - math.Pi/2) / math.Pi); math.Pi/2+k*math.Pi < high; k++ {
		if x := math.Pi/2 + k*math.Pi; x > low {
			turns = append(turns, x)
		}
	}
	if e.Sweep < 0 {
		slices.Reverse(turns)
	}
	last, angle := from, start
	for k := range len(turns) + 1 {
		next, end := to, start+e.Sweep
		if k < len(turns) {
			end = turns[k]
			next = value.Place{X: c.X, Y: c.Y + e.Radius*math.Round(math.Sin(end))}
		}
		sin, cos := math.Sincos((angle + end) / 2)
		f.put(stretch{piece: i, centre: c, radius: e.Radius, eastward: cos > 0}, last, next, value.Place{X: c.X + e.Radius*cos, Y: c.Y + e.Radius*sin})
		last, angle = next, end
	}
}

func (f *frame) put(s stretch, from, to, middle value.Place) {
	s.up = from.Y < to.Y
	s.y0, s.x0, s.y1, s.x1 = from.Y, from.X, to.Y, to.X
	if !s.up {
		s.y0, s.x0, s.y1, s.x1 = to.Y, to.X, from.Y, from.X
	}
	s.box = Bounds{math.Min(s.x0, s.x1), math.Max(s.x0, s.x1), s.y0, s.y1}
	if s.radius > 0 && s.y0 <= s.centre.Y && s.centre.Y <= s.y1 {
		if s.eastward {
			s.box.Right = math.Max(s.box.Right, s.centre.X+s.radius)
		} else {
			s.box.Left = math.Min(s.box.Left, s.centre.X-s.radius)
		}
	}
	// The middle of an arc lies on its circle, and its ends may lie a little off it.
	s.box.Left, s.box.Right = math.Min(s.box.Left, middle.X), math.Max(s.box.Right, middle.X)
	if high := s.y1 - s.y0; high >= f.best[s.piece].high {
		f.best[s.piece] = probe{s.piece, len(f.stretches), middle, s.up, high}
	}
	if s.y1 > s.y0 {
		f.stretches = append(f.stretches, s)
	}
}

// crosses tells whether the ray from p along +x crosses the stretch, whose heights p lies within.
func (s *stretch) crosses(p value.Place) bool {
	switch {
	case s.radius == 0:
		return (s.x0-p.X)*(s.y1-s.y0)+(s.x1-s.x0)*(p.Y-s.y0) > 0
	case s.eastward:
		return p.X < s.centre.X || apart(p, s.centre) < s.radius
	}
	return p.X < s.centre.X && apart(p, s.centre) > s.radius
}

// answer fills in the winding numbers of the pieces that are asked.
func (f *frame) answer(g *arrangement, asked []probe) {
	slices.SortFunc(asked, func(a, b probe) int { return cmp.Or(cmp.Compare(b.at.X, a.at.X), cmp.Compare(a.piece, b.piece)) })
	order := make([]int, len(f.stretches))
	boxes := make([]Bounds, len(f.stretches))
	var heights []float64
	for i, s := range f.stretches {
		order[i], boxes[i] = i, s.box
		heights = append(heights, s.y0, s.y1)
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Or(cmp.Compare(boxes[j].Left, boxes[i].Left), cmp.Compare(i, j)) })
	slices.Sort(heights)
	heights = slices.Compact(heights)
	right := &levels{heights: heights, sums: make([]counts, len(heights)+1)}
	tree := newBoxTree(boxes)
	next := 0
	for _, q := range asked {
		for ; next < len(order) && boxes[order[next]].Left > q.at.X; next++ {
			s := &f.stretches[order[next]]
			t := s.times(g)
			right.add(s.y0, t, 1)
			right.add(s.y1, t, -1)
		}
		w := right.at(q.at.Y)
		tree.find(func(b Bounds) bool {
			return b.Left <= q.at.X && q.at.X <= b.Right && b.Bottom <= q.at.Y && q.at.Y <= b.Top
		}, func(i int) {
			if s := &f.stretches[i]; i != q.stretch && s.y0 <= q.at.Y && q.at.Y < s.y1 && s.crosses(q.at) {
				t := s.times(g)
				w[0], w[1] = w[0]+t[0], w[1]+t[1]
			}
		})
		p := &g.pieces[q.piece]
		if p.left = w; q.up {
			p.left = counts{w[0] + p.times[0], w[1] + p.times[1]}
		}
	}
}

// times is how often loops rise along the stretch, less how often they fall.
func (s *stretch) times(g *arrangement) counts {
	t := g.pieces[s.piece].times
	if !s.up {
		return counts{-t[0], -t[1]}
	}
	return t
}

// levels adds up counts by height: a binary indexed tree over the heights.
type levels struct {
	heights []float64
	sums    []counts
}

func (l *levels) add(y float64, t counts, sign int) {
	for i := sort.SearchFloat64s(l.heights, y) + 1; i < len(l.sums); i += i & -i {
		l.sums[i][0] += sign * t[0]
		l.sums[i][1] += sign * t[1]
	}
}

// at is the sum of what was added at y and below.
func (l *levels) at(y float64) (w counts) {
	i := sort.SearchFloat64s(l.heights, y)
	if i < len(l.heights) && l.heights[i] == y {
		i++
	}
	for ; i > 0; i -= i & -i {
		w[0] += l.sums[i][0]
		w[1] += l.sums[i][1]
	}
	return w
}
