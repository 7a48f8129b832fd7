package shapes

import (
	"math"

	"castwright/lang/value"
)

// Zone is an outline made ready for many questions about places: what a NoFit forbids.
type Zone struct {
	edges  []Edge
	boxes  []Bounds
	bounds Bounds
	tree   *boxTree // of the boxes, where they are many
}

// few is how many edges are looked at one by one.
const few = 40

func newZone(edges []Edge) *Zone {
	z := &Zone{edges: edges, boxes: make([]Bounds, len(edges))}
	for i, e := range edges {
		z.boxes[i] = e.bounds()
		if i == 0 {
			z.bounds = z.boxes[0]
		}
		z.bounds = z.bounds.with(z.boxes[i])
	}
	if len(edges) > few {
		z.tree = newBoxTree(z.boxes)
	}
	return z
}

// Around is the zone within straight sides through points in order to the left. Points may be given twice, or lie on one
// line.
func Around(points ...value.Place) *Zone {
	var edges []Edge
	for _, e := range closed(points) {
		if e.From != e.To {
			edges = append(edges, e)
		}
	}
	return newZone(edges)
}

// Carried is the zone turned left by quarter turns about the origin and then moved.
func (z *Zone) Carried(quarters int, by value.Place) *Zone {
	cos, sin := []float64{1, 0, -1, 0}[quarters&3], []float64{0, 1, 0, -1}[quarters&3]
	carry := func(p value.Place) value.Place {
		return value.Place{X: p.X*cos - p.Y*sin + by.X, Y: p.X*sin + p.Y*cos + by.Y}
	}
	edges := make([]Edge, len(z.edges))
	for i, e := range z.edges {
		edges[i] = Edge{carry(e.From), carry(e.To), carry(e.Centre), e.Radius, e.Sweep}
	}
	return newZone(edges)
}

// Bounds is the exact box round the zone.
func (z *Zone) Bounds() Bounds { return z.bounds }

// Size counts the edges.
func (z *Zone) Size() int { return len(z.edges) }

// Corners visits the ends of all edges.
func (z *Zone) Corners(visit func(value.Place)) {
	for i := range z.edges {
		visit(z.edges[i].From)
	}
}

// Holds tells whether a place lies in the zone, at least a depth away from its edge, and how many edges were looked at.
func (z *Zone) Holds(p value.Place, depth float64) (yes bool, steps int) {
	b := &z.bounds
	if p.X < b.Left+depth || p.X > b.Right-depth || p.Y < b.Bottom+depth || p.Y > b.Top-depth {
		return false, 1
	}
	turns, near := 0, false
	visit := func(i int) {
		steps++
		turns += winding(z.edges[i:i+1], p)
		near = near || z.boxes[i].Left <= p.X+depth && z.edges[i].distance(p) < depth
	}
	// An edge to the left of the place, or wholly above or below it, is not counted.
	beside := func(b Bounds) bool {
		return b.Right >= p.X-depth && b.Bottom <= p.Y+depth && b.Top >= p.Y-depth
	}
	if z.tree != nil {
		z.tree.find(beside, visit)
	} else {
		for i := range z.edges {
			if beside(z.boxes[i]) {
				visit(i)
			}
		}
	}
	return turns > 0 && !near, steps + 1
}

// Meet visits the places within limits where edges of the zone cross those of another that is carried by x and y. It gives
// the number of pairs of edges that were looked at.
func (z *Zone) Meet(other *Zone, by value.Place, limits Bounds, visit func(value.Place)) (steps int) {
	far := other.bounds.moved(by)
	for i := range z.edges {
		e, box := &z.edges[i], z.boxes[i]
		if steps++; !box.near(far, 0) || !box.near(limits, 0) {
			continue
		}
		back := box.moved(times(by, -1)) // where other lies unmoved
		pair := func(k int) {
			steps++
			f := other.edges[k].moved(by)
			for _, p := range crossings(*e, f) {
				if e.onto(p) && f.onto(p) {
					visit(p)
				}
			}
		}
		if other.tree != nil {
			other.tree.find(func(b Bounds) bool { return back.near(b, 0) }, pair)
			continue
		}
		for k := range other.edges {
			if back.near(other.boxes[k], 0) {
				pair(k)
			}
		}
	}
	return steps
}

func (b Bounds) moved(by value.Place) Bounds {
	return Bounds{b.Left + by.X, b.Right + by.X, b.Bottom + by.Y, b.Top + by.Y}
}

func (e Edge) moved(by value.Place) Edge {
	e.From, e.To, e.Centre = add(e.From, by), add(e.To, by), add(e.Centre, by)
	return e
}

// Together is one outline of several that do not overlap, as they lie: unlike Join it keeps edges at which they touch.
func Together(outlines ...*Outline) *Outline {
	var loops [][]Edge
	for _, o := range outlines {
		loops = append(loops, o.loops...)
	}
	return newOutline(loops)
}

// Room is the distance from a place within an outline to the nearest edge; 0 where the place lies outside.
func (o *Outline) Room(p value.Place) float64 {
	if o.IsEmpty() || !inside(o.loops, p) {
		return 0
	}
	return o.distance(p)
}

// Reach is how far an outline goes from the origin in a direction, given by its angle from the x axis: the greatest of all
// its points along it.
func (o *Outline) Reach(angle float64) float64 {
	sin, cos := math.Sincos(angle)
	d := value.Place{X: cos, Y: sin}
	most := math.Inf(-1)
	for _, loop := range o.loops {
		for _, e := range loop {
			most = math.Max(most, dot(e.From, d))
			if e.IsArc() {
				if p := along(e.Centre, d, e.Radius); e.faces(p) {
					most = math.Max(most, dot(p, d))
				}
			}
		}
	}
	return most
}
