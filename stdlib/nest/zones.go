package nest

import (
	"math"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// zones holds kinds against each other, and keeps what comes out. All of two poses turned alike, or standing and moving
// exchanged, is the same zone, turned.
type zones struct {
	bases   map[[3]int]*shapes.Zone // by two kinds, and how many quarter turns the second is turned; nil where it is too much
	carried map[[2]int]*shapes.Zone // by two poses
	edges   int                     // of all that are kept
	steps   int                     // that went into holding outlines against each other
	rough   bool                    // whether tangents had to stand in for outlines
}

// mostKept bounds the edges that are kept.
const mostKept = 400_000

// zone gives where a pose must not lie against another that stays, both with their boxes on the origin: by their outlines,
// or where those are too much work by the tangents round them.
func (j *job) zone(fixed, moved *pose) *shapes.Zone {
	key := [2]int{fixed.index, moved.index}
	if z, ok := j.zones.carried[key]; ok {
		return z
	}
	a, b, turn := fixed, moved, fixed.quarters
	if a.kind.index > b.kind.index {
		a, b, turn = moved, fixed, moved.quarters+2
	}
	base := j.base(a.kind, b.kind, (b.quarters-a.quarters+4)%4)
	if base == nil {
		return j.byTangents(fixed, moved)
	}
	z := base.Carried(turn, value.Place{X: fixed.by.X - moved.by.X, Y: fixed.by.Y - moved.by.Y})
	j.keep(z)
	j.zones.carried[key] = z
	return z
}

// keep makes room for a zone.
func (j *job) keep(z *shapes.Zone) {
	j.steps += 4 * z.Size()
	if j.zones.edges += z.Size(); j.zones.edges > mostKept {
		clear(j.zones.bases)
		clear(j.zones.carried)
		j.zones.edges = z.Size()
	}
}

// base holds a kind against another that is turned by quarter turns.
func (j *job) base(a, b *kind, quarters int) *shapes.Zone {
	key := [3]int{a.index, b.index, quarters}
	if z, ok := j.zones.bases[key]; ok {
		return z
	}
	var z *shapes.Zone
	if held, err := j.held(a, b, quarters); err == nil {
		z = held
		j.keep(z)
	} else {
		j.zones.rough = true
	}
	j.zones.bases[key] = z
	return z
}

func (j *job) held(a, b *kind, quarters int) (*shapes.Zone, error) {
	if b.turned[quarters] == nil {
		var err error
		if b.turned[quarters], err = turned(b.solid, quarters); err != nil {
			return nil, err
		}
	}
	most := j.work.holding - j.zones.steps
	if a.convex && b.convex {
		most = mostConvex
	}
	z, steps, err := shapes.NoFit(a.solid, b.turned[quarters], most)
	j.zones.steps += steps
	return z, err
}

// mostConvex is more than the work that two convex outlines are.
const mostConvex = 4 * mostEdges * mostEdges

// tangents is how many lines, in directions all round, stand in for an outline that is too much work.
const tangents = 32

// corners gives the corners of the polygon of tangents round an outline; those at the same index of two outlines lie
// between tangents of the same directions.
func corners(o *shapes.Outline) (out [tangents]value.Place) {
	const step = 2 * math.Pi / tangents
	var far [tangents]float64
	for i := range far {
		far[i] = o.Reach(step * float64(i))
	}
	for i, f := range far {
		sin, cos := math.Sincos(step * float64(i))
		side := (far[(i+1)%tangents] - f*math.Cos(step)) / math.Sin(step)
		out[i] = value.Place{X: f*cos - side*sin, Y: f*sin + side*cos}
	}
	return out
}

// byTangents is the sum of the polygons of tangents: the corners of a sum are the sums of corners.
func (j *job) byTangents(fixed, moved *pose) *shapes.Zone {
	points := make([]value.Place, 0, tangents)
	for i, p := range fixed.corners {
		q := moved.corners[(i+tangents/2)%tangents]
		s := value.Place{X: p.X - q.X, Y: p.Y - q.Y}
		if last := len(points) - 1; last < 0 || math.Hypot(s.X-points[last].X, s.Y-points[last].Y) > j.play {
			points = append(points, s)
		}
	}
	j.steps += 4 * tangents
	return shapes.Around(points...)
}
