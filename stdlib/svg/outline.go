package svg

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// Report says how an outline came out of a drawing.
type Report struct {
	Scale     string  // "1 user unit = 1 mm"
	Assumed   bool    // the drawing gives its size in no unit of length: a pixel was taken as 1/96 in
	Corner    bool    // the origin is the upper left corner, since the drawing does not say how high it is
	Curves    int     // Béziers and arcs of ellipses, which became
	Arcs      int     // so many circular arcs and short lines
	Tolerance float64 // within so many metres
	AreaError float64 // how far the area may be off by that, in m²; exact where one shape was read
	Area      float64 // m²
	Filled    int     // loops that bound no hole, since the drawing fills them too
	Inside    int     // shapes that lie in another, and add nothing to it
	LeftOut   string  // what was not read: "1 image, 2 text"
	Clipped   bool    // a clip path or a mask is not carried out
}

// The least and the greatest tolerance, in metres.
const (
	leastTolerance = 1e-7
	mostTolerance  = 0.1
)

// Outline gives the outline of the element with an id; where the id is empty, of the only shape that is drawn. Unit is the
// length of a user unit in metres, 0 where the drawing says it. Curves other than circular arcs become circular arcs within
// tolerance, in metres, and ends that lie within it of each other are joined. Shapes that are not closed, or that cross or touch themselves, are refused with their place.
func (d *Document) Outline(id string, unit, tolerance float64) (*shapes.Outline, *Report, error) {
	switch {
	case !(tolerance >= leastTolerance && tolerance <= mostTolerance):
		return nil, nil, fmt.Errorf("The tolerance of a drawing is from %g mm to %g mm.", leastTolerance*1000, mostTolerance*1000)
	case !(unit >= 0 && unit <= 1e6):
		return nil, nil, errors.New("The length of a user unit is above 0, and at most 1000 km.")
	}
	e, err := d.chosen(id)
	if err != nil {
		return nil, nil, err
	}
	s, err := d.scale(unit)
	if err != nil {
		return nil, nil, err
	}
	w, err := d.gather(e, s)
	if err != nil {
		return nil, nil, err
	}
	if len(w.figures) == 0 {
		return nil, nil, d.mistake(e, "It draws no shape. Paths, rectangles, circles, ellipses and polygons are read; change texts to paths.")
	}
	r := &Report{Scale: s.words(), Assumed: s.assumed, Corner: s.corner && unit == 0, Tolerance: tolerance, LeftOut: w.leftOut(), Clipped: w.clipped}
	o, err := d.join(w.figures, r)
	if err != nil {
		return nil, nil, err
	}
	r.Area = o.Area()
	return o, r, nil
}

// join makes one outline of some shapes.
func (d *Document) join(figures []figure, r *Report) (*shapes.Outline, error) {
	room := mostEdges
	var outlines []*shapes.Outline
	for i := range figures {
		o, err := d.outline(&figures[i], r, &room)
		if err != nil {
			return nil, err
		}
		outlines = append(outlines, o)
	}
	if len(outlines) == 1 {
		return outlines[0], nil
	}
	o, err := shapes.Join(outlines...)
	if err != nil {
		return nil, fmt.Errorf("%s, line %d: %w", d.name, figures[0].element.line, err)
	}
	r.Inside, err = covered(outlines)
	return o, err
}

// covered counts the outlines that lie in another.
func covered(outlines []*shapes.Outline) (n int, err error) {
	boxes, starts := make([]shapes.Bounds, len(outlines)), make([]value.Place, len(outlines))
	for i, o := range outlines {
		if boxes[i], err = o.Bounds(); err != nil {
			return 0, err
		}
		starts[i] = o.Loops()[0][0].From
	}
	for i, o := range outlines {
		b := boxes[i]
		for k, other := range outlines {
			c := boxes[k]
			if k == i || b.Left < c.Left || b.Right > c.Right || b.Bottom < c.Bottom || b.Top > c.Top || !other.Contains(starts[i]) {
				continue
			}
			both, err := shapes.Overlap(o, other)
			if err != nil {
				return 0, err
			}
			if both.Area() >= o.Area()*(1-1e-9) {
				n++
				break
			}
		}
	}
	return n, nil
}

// loop is a closed line of a shape.
type loop struct {
	edges   []shapes.Edge
	area    float64 // as drawn, with its sign, before curves were arcs
	outline *shapes.Outline
	bounds  shapes.Bounds
}

// outline makes the outline of one shape. Room is how many edges there may still be.
func (d *Document) outline(fig *figure, r *Report, room *int) (*shapes.Outline, error) {
	f := &fitter{tolerance: r.Tolerance, room: *room}
	var loops []*loop
	for i := range fig.paths {
		l, err := d.loop(fig.element, &fig.paths[i], f)
		if err != nil {
			return nil, err
		}
		if l != nil {
			loops = append(loops, l)
		}
		f.room -= len(f.edges)
		f.edges = nil
	}
	*room = f.room
	r.Curves, r.Arcs = r.Curves+f.curves, r.Arcs+f.arcs
	if len(loops) == 0 {
		return nil, d.mistake(fig.element, "It encloses no area.")
	}
	o, err := whole(loops)
	if err != nil {
		return nil, d.placed(fig.element, err)
	}
	kept, drawn := bounding(loops, fig.evenOdd)
	if n := len(loops) - len(kept); n > 0 {
		r.Filled += n
		if o, err = whole(kept); err != nil {
			return nil, d.placed(fig.element, err)
		}
	}
	if f.curves > 0 {
		r.AreaError += math.Abs(o.Area() - drawn)
	}
	return o, nil
}

// whole makes one outline of loops; some that cross or touch are refused.
func whole(loops []*loop) (*shapes.Outline, error) {
	if len(loops) == 1 {
		return loops[0].outline, nil
	}
	var edges [][]shapes.Edge
	for _, l := range loops {
		edges = append(edges, l.edges)
	}
	return shapes.FromLoops(edges)
}

// placed tells what is wrong with a shape, and from where its place is measured.
func (d *Document) placed(e *element, err error) error {
	where := &shapes.ErrPlace{}
	if errors.As(err, &where) {
		return d.mistake(e, "%s Places are measured from the lower left corner of the drawing.", err)
	}
	return d.mistake(e, "%s", err)
}

// loop turns a subpath into a closed loop of edges; nil where it is a point.
func (d *Document) loop(e *element, p *subpath, f *fitter) (*loop, error) {
	var segments []segment
	for _, s := range p.segments {
		if s.reach() > least {
			segments = append(segments, s)
		}
	}
	if len(segments) == 0 {
		return nil, nil
	}
	l := &loop{area: areaOf(segments)}
	last := len(segments) - 1
	from, to := segments[0].from, segments[last].to
	switch gap := size(to - from); {
	case gap == 0:
	case gap <= f.tolerance && size(segments[last].to-segments[last].from) > 2*gap:
		segments[last] = segments[last].ending(from)
	case p.closed || gap <= f.tolerance:
		segments = append(segments, segment{form: straight, from: to, to: from})
	default:
		return nil, d.mistake(e, "It is not closed: it begins at %s and ends %.6g mm away, at %s. Close it, with a Z at the end of a path. Places are measured from the lower left corner of the drawing.",
			written(from), gap*1000, written(to))
	}
	for i := range segments {
		if err := f.segment(segments[i]); err != nil {
			return nil, d.mistake(e, "Its outline takes more than %d edges. Give a larger tolerance, or draw it with fewer curves.", mostEdges)
		}
	}
	l.edges = withoutSpecks(f.edges)
	if len(l.edges) == 0 {
		return nil, nil
	}
	var err error
	if l.outline, err = shapes.FromLoops([][]shapes.Edge{l.edges}); err != nil {
		return nil, d.placed(e, err)
	}
	l.bounds, err = l.outline.Bounds()
	return l, err
}

func written(p point) string { return fmt.Sprintf("(%.6g mm, %.6g mm)", real(p)*1000, imag(p)*1000) }

// areaOf is the area inside segments, the straight line from their end to their beginning among them, with its sign.
func areaOf(segments []segment) float64 {
	origin := segments[0].from
	sum := 0.0
	for i := range segments {
		sum += segments[i].area(origin)
	}
	return sum / 2
}

// withoutSpecks leaves out edges that are too short to be told from a point.
func withoutSpecks(edges []shapes.Edge) []shapes.Edge {
	var out []shapes.Edge
	for _, e := range edges {
		if e.Length() > least {
			if n := len(out); n > 0 {
				e.From = out[n-1].To
			}
			out = append(out, e)
		}
	}
	if n := len(out); n > 0 {
		out[0].From = out[n-1].To
	}
	return out
}

// bounding chooses, of loops that do not cross, those that part what is filled from what is not, by the rule of filling. Area is
// what they enclose as they are drawn.
func bounding(loops []*loop, evenOdd bool) (kept []*loop, area float64) {
	for i, l := range loops {
		around, winding := 0, 0
		start := l.edges[0].From
		for k, other := range loops {
			if k == i || !reaches(other.bounds, start) || !other.outline.Contains(start) {
				continue
			}
			around++
			winding += turns(other)
		}
		outside, inside := winding != 0, winding+turns(l) != 0
		if evenOdd {
			outside, inside = around%2 == 1, around%2 == 0
		}
		switch {
		case inside && !outside:
			kept, area = append(kept, l), area+math.Abs(l.area)
		case outside && !inside:
			kept, area = append(kept, l), area-math.Abs(l.area)
		}
	}
	return kept, area
}

func turns(l *loop) int {
	if l.area < 0 {
		return -1
	}
	return 1
}

func reaches(b shapes.Bounds, p value.Place) bool {
	return p.X >= b.Left && p.X <= b.Right && p.Y >= b.Bottom && p.Y <= b.Top
}

// millimetre in metres, for notes.
const millimetre = 1e-3

// Notes tells how the outline came about, a sentence each.
func (r *Report) Notes() []string {
	out := []string{r.Scale + "."}
	if r.Corner {
		out[0] += " The origin is the upper left corner: the drawing does not say how high it is."
	}
	if r.Curves > 0 {
		out = append(out, fmt.Sprintf("%s became %s, within %.6g mm; the area is off by at most %s mm^2 (%s %%).", many(r.Curves, "curve"),
			many(r.Arcs, "circular arc"), r.Tolerance/millimetre, rough(r.AreaError/millimetre/millimetre), rough(r.AreaError/r.Area*100)))
	}
	if r.Filled > 0 {
		out = append(out, fmt.Sprintf("%s inside others, turning the same way, bound no hole: the drawing fills them (fill-rule nonzero).", many(r.Filled, "loop")))
	}
	if r.LeftOut != "" {
		out = append(out, "Left out: "+r.LeftOut+".")
	}
	return out
}

// Doubt tells what speaks against the outline; empty where nothing does.
func (r *Report) Doubt() string {
	var out []string
	if r.Assumed {
		out = append(out, fmt.Sprintf("The drawing gives its size in no unit of length: %s is taken, a pixel as 1/96 in. Say how long a user unit is, as unit: 1 mm.", r.Scale))
	}
	if r.AreaError > r.Area/1000 {
		out = append(out, fmt.Sprintf("With its curves as circular arcs, the area may be off by %s %%. Give a smaller tolerance.", rough(r.AreaError/r.Area*100)))
	}
	if r.Inside > 0 {
		out = append(out, fmt.Sprintf("Inside others of its shapes %s, which cuts nothing out. Draw a hole in the path that it is cut from, or take it away: cut(drawing(\"FILE\", \"outer\"), drawing(\"FILE\", \"hole\")).", lie(r.Inside)))
	}
	if r.Clipped {
		out = append(out, "A clip path or a mask of the drawing is not carried out.")
	}
	return strings.Join(out, " ")
}

// rough writes a bound, rounded up to two digits.
func rough(x float64) string {
	if !(x > 0) {
		return "0"
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return fmt.Sprintf("%.2g", math.Ceil(x/step-1e-9)*step)
}

func lie(n int) string {
	if n == 1 {
		return "lies 1 more"
	}
	return fmt.Sprintf("lie %d more", n)
}

func many(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
