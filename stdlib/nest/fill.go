package nest

import (
	"cmp"
	"math"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// placed is a piece on a sheet.
type placed struct {
	pose *pose
	at   value.Place // of the lower left corner of its box
}

// lying is an outline of the piece's kind as it lies on the sheet.
func (x placed) lying(o *shapes.Outline) (*shapes.Outline, error) {
	o, err := turned(o, x.pose.quarters)
	if err != nil {
		return nil, err
	}
	return shapes.Move(o, x.at.X+x.pose.by.X, x.at.Y+x.pose.by.Y)
}

func (x placed) told() (Placed, error) {
	k := x.pose.kind
	o, err := x.lying(k.outline)
	angle := math.Mod(k.angle+float64(x.pose.quarters)*math.Pi/2+2*math.Pi, 2*math.Pi)
	return Placed{Part: k.number, Angle: angle, X: x.at.X + x.pose.by.X, Y: x.at.Y + x.pose.by.Y, Outline: o}, err
}

// plan is where all pieces lie.
type plan struct {
	sheets [][]placed
	boxed  int     // pieces laid out by their boxes
	last   float64 // area of the parts on the last sheet
	extent float64 // share of the last sheet, from one side, that is taken
}

// better tells whether a plan takes fewer sheets than another, or less of the last one.
func (p *plan) better(q *plan) bool {
	if q == nil {
		return true
	}
	return cmp.Or(cmp.Compare(len(p.sheets), len(q.sheets)), compared(p.last, q.last, 1e-9*q.last), compared(p.extent, q.extent, 1e-9)) < 0
}

// planned measures what lies on the sheets.
func (j *job) planned(sheets [][]placed, boxed int) *plan {
	p := &plan{sheets: sheets, boxed: boxed}
	right, top := 0.0, 0.0
	for _, x := range sheets[len(sheets)-1] {
		p.last += x.pose.kind.outline.Area()
		right, top = math.Max(right, x.at.X+x.pose.width), math.Max(top, x.at.Y+x.pose.depth)
	}
	p.extent = math.Min(right/j.sheet.Width, top/j.sheet.Depth)
	return p
}

// rule says which of two places is taken: that of the lower score, by its parts in order.
type rule func(s *filling, p *pose, at value.Place) [2]float64

// rules pull the pieces one way each, from down, which fills a sheet by rows, to the left, which fills it by columns; one
// lets the box round all pieces grow least.
var rules = []rule{
	towards(0), towards(90), towards(45), byBox, towards(15), towards(75), towards(5), towards(30), towards(60), towards(85),
}

// towards pulls down, turned to the left by degrees.
func towards(degrees float64) rule {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return func(_ *filling, p *pose, at value.Place) [2]float64 {
		right, top := at.X+p.width, at.Y+p.depth
		return [2]float64{top*cos + right*sin, top*sin + right*cos}
	}
}

func byBox(s *filling, p *pose, at value.Place) [2]float64 {
	right, top := at.X+p.width, at.Y+p.depth
	return [2]float64{math.Max(s.right, right) * math.Max(s.top, top), right + top}
}

// filling is a sheet while it is filled.
type filling struct {
	pieces     []placed
	spaces     map[*pose]*space
	room       float64 // area that is left
	right, top float64
}

// best is the best place on a sheet for a kind, in one of the allowed poses.
func (s *filling) best(j *job, x item, by rule) (best placed, ok bool) {
	if x.kind.solid.Area() > s.room {
		return best, false
	}
	var least [2]float64
	for _, p := range x.turns.of(x.kind) {
		for _, at := range s.space(j, p).open {
			score := by(s, p, at)
			if worse := cmp.Or(compared(score[0], least[0], j.play), compared(score[1], least[1], j.play)); !ok || worse < 0 {
				best, least, ok = placed{p, at}, score, true
			}
		}
	}
	return best, ok
}

// space is where a pose may lie, with all that lies there so far.
func (s *filling) space(j *job, p *pose) *space {
	sp := s.spaces[p]
	if sp == nil {
		sp = j.newSpace(p)
		s.spaces[p] = sp
	}
	for len(sp.blocks) < len(s.pieces) {
		sp.add(j, s.pieces[len(sp.blocks)])
	}
	return sp
}

// compared compares two scores; those within a tolerance are the same.
func compared(a, b, tolerance float64) int {
	if math.Abs(a-b) <= tolerance {
		return 0
	}
	return cmp.Compare(a, b)
}

func (s *filling) put(j *job, x placed) {
	x.at = j.rounded(x.at)
	s.pieces = append(s.pieces, x)
	s.room -= x.pose.kind.solid.Area()
	s.right, s.top = math.Max(s.right, x.at.X+x.pose.width), math.Max(s.top, x.at.Y+x.pose.depth)
}

// fill lays the pieces out in the order of a choice, each on the first sheet that has room for it. It gives up where that
// takes more sheets than the best plan, and goes on in rows where the work is more than is allowed.
func (j *job) fill(c choice, best *plan) *plan {
	var open []*filling
	left := map[*kind]int{}
	for _, x := range c.order {
		left[x.kind]++
	}
	for i, x := range c.order {
		if j.steps > j.work.most {
			return j.planned(append(pieces(open), j.inRows(kindsOf(c.order[i:]))...), len(c.order)-i)
		}
		if !j.put(open, x, c.by) {
			if best != nil && len(open) == len(best.sheets) {
				return nil
			}
			open = append(open, j.empty())
			j.put(open, x, c.by) // it fits, as its kind was taken; the proof counts
		}
		if left[x.kind]--; left[x.kind] == 0 {
			for _, s := range open {
				for _, p := range x.kind.poses {
					delete(s.spaces, p)
				}
			}
		}
	}
	return j.planned(pieces(open), 0)
}

func pieces(open []*filling) (out [][]placed) {
	for _, s := range open {
		out = append(out, s.pieces)
	}
	return out
}

func (j *job) empty() *filling {
	s := &j.sheet
	return &filling{spaces: map[*pose]*space{}, room: (s.Width - 2*s.Margin + s.Kerf) * (s.Depth - 2*s.Margin + s.Kerf) * (1 + 1e-6)}
}

// put lays a piece on the first sheet that has room.
func (j *job) put(open []*filling, x item, by rule) bool {
	for _, s := range open {
		if at, ok := s.best(j, x, by); ok {
			s.put(j, at)
			return true
		}
	}
	return false
}

func kindsOf(order []item) (out []*kind) {
	for _, x := range order {
		out = append(out, x.kind)
	}
	return out
}
