package drawing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"castwright/lang/show"
	"castwright/lang/value"
)

// Figure is one thing that is drawn with its measures: an outline, several that lie together, or a solid from above and
// from the front. All lengths are in metres.
type Figure struct {
	Name  string
	Parts [][][]value.Stroke // the loops of each outline
	Edges [][]value.Stroke   // what else is seen from above, within the outlines
	Front []value.Stroke     // the silhouette of a solid from the front, its height along y; nil for an outline
	Notes []string           // what stands below the name, a line each
}

// loops lists those of all parts.
func (f *Figure) loops() [][]value.Stroke {
	var out [][]value.Stroke
	for _, p := range f.Parts {
		out = append(out, p...)
	}
	return out
}

// Strokes counts the lines and arcs of a figure.
func (f *Figure) Strokes() int {
	n := 0
	for _, l := range f.loops() {
		n += len(l)
	}
	return n
}

// id is the name of a part, each its own, as XML wants it.
func (f *Figure) id(part int) string {
	id := strings.Join(strings.Fields(f.Name), "-")
	if len(f.Parts) > 1 {
		return fmt.Sprintf("%s-%d", id, part+1)
	}
	return id
}

// Between views, and between what stands below a figure.
const (
	viewGap = 9.0
	lineGap = 1.35 // from base line to base line, by the size of the words
)

// draw makes the marks of a figure at a scale, in millimetres on paper for a metre; the lower left corner of its outline
// lies at the origin.
func (f *Figure) draw(scale float64, length *show.Spec) *group {
	g := &group{}
	loops := f.loops()
	e := extent(loops)
	at := value.Place{X: -e.left * scale, Y: -e.bottom * scale}
	for i, p := range f.Parts {
		g.add(shape{id: f.id(i), loops: p, scale: scale, at: at, fill: tint, pen: wide})
	}
	if len(f.Edges) > 0 {
		g.add(shape{loops: f.Edges, scale: scale, at: at, pen: narrow})
	}
	onPaper := placed(loops, scale, at)
	plan := boxOf(value.Place{}, value.Place{X: e.width() * scale, Y: e.depth() * scale})
	left, right, bottom, top := reach(onPaper)
	g.put(dimension(left, right, false, -offLine, length.Text(e.width())), 0, 0)
	g.put(dimension(bottom, top, true, -offLine, length.Text(e.depth())), 0, 0)
	notes := f.Notes
	if more := label(g, onPaper, placed(f.Edges, scale, at), scale, length); more > 0 {
		notes = append(slices.Clip(notes), fmt.Sprintf("%d more radii are not marked", more))
	}
	if f.Front != nil {
		f.drawFront(g, scale, at.X, length)
	}
	f.below(g, plan, notes)
	return g
}

// placed brings strokes to paper.
func placed(loops [][]value.Stroke, scale float64, at value.Place) [][]value.Stroke {
	on := func(p value.Place) value.Place { return value.Place{X: at.X + p.X*scale, Y: at.Y + p.Y*scale} }
	out := make([][]value.Stroke, len(loops))
	for i, l := range loops {
		for _, e := range l {
			e.From, e.To, e.Centre, e.Radius = on(e.From), on(e.To), on(e.Centre), e.Radius*scale
			out[i] = append(out[i], e)
		}
	}
	return out
}

// label marks the radii of loops on paper, clearance of their lines and of others; it gives how many it left out.
func label(g *group, loops, others [][]value.Stroke, scale float64, length *show.Spec) int {
	l := &labels{whole: g.box}
	for _, m := range g.marks {
		switch m := m.(type) {
		case line:
			for i := range len(m.points) - 1 {
				l.lines = append(l.lines, segmentOf(m.points[i], m.points[i+1]))
			}
		case text:
			l.taken = append(l.taken, m.box().grown(clearance))
		}
	}
	for _, loop := range slices.Concat(loops, others) {
		for _, e := range loop {
			points := append(e.Points(max(math.Pi/20, min(0.5/e.Radius, math.Pi))), e.To) // small arcs in few pieces
			for i := range len(points) - 1 {
				l.edges = append(l.edges, segmentOf(points[i], points[i+1]))
			}
		}
	}
	radii, more := rounds(loops)
	for _, r := range radii {
		words := round{radius: r.radius / scale, whole: r.whole}.words(length)
		g.add(l.take(l.place(r.arcs, words))...)
	}
	return more
}

// drawFront adds the view from the front above the one from above, with the height.
func (f *Figure) drawFront(g *group, scale, x float64, length *show.Spec) {
	loops := [][]value.Stroke{f.Front}
	e := extent(loops)
	view := &group{}
	at := value.Place{X: x, Y: -e.bottom * scale}
	view.add(shape{loops: loops, scale: scale, at: at, fill: tint, pen: wide})
	_, _, bottom, top := reach(placed(loops, scale, at))
	view.put(dimension(bottom, top, true, x+e.left*scale-offLine, length.Text(e.depth())), 0, 0)
	y := g.box.top + viewGap - min(view.box.bottom, 0)
	g.put(view, 0, y)
	g.add(text{at: value.Place{X: x + (e.left+e.right)/2*scale, Y: y + e.depth()*scale + 2}, words: "from the front", size: small, align: middle, colour: ink})
}

// below writes the name and the notes under a figure.
func (f *Figure) below(g *group, plan box, notes []string) {
	t := text{at: value.Place{X: (plan.left + plan.right) / 2, Y: g.box.bottom - 1.6*medium}, words: f.Name, size: medium, align: middle, bold: true, colour: ink}
	g.add(t)
	t.size, t.bold = small, false
	for _, n := range notes {
		t.at.Y -= lineGap * small
		t.words = n
		g.add(t)
	}
}
