package report

import (
	"fmt"
	"math"
	"math/big"

	"castwright/lang/check"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/drawing"
	"castwright/stdlib/shapes"
)

// What one drawing holds at most: pieces side by side, and lines and arcs in all.
const (
	mostFigures = 60
	mostStrokes = 200_000
)

// drawShapes draws outlines and solids side by side; a list of outlines that lie apart is drawn as it lies.
func (p *Report) drawShapes(j *sheets.Job, list []subject, file string) int {
	length := lengths(list[0].cell)
	var figures []drawing.Figure
	for i := range list {
		more, err := p.figures(j, &list[i], length)
		if err != nil {
			p.Refusal(err)
			return Wrong
		}
		figures = append(figures, more...)
	}
	strokes := 0
	for i := range figures {
		strokes += figures[i].Strokes()
	}
	switch {
	case len(figures) > mostFigures:
		p.Refusal(fmt.Errorf("%d pieces are more than one drawing holds, %d; name fewer", len(figures), mostFigures))
		return Wrong
	case strokes > mostStrokes:
		p.Refusal(fmt.Errorf("%d lines and arcs are more than one drawing holds, %d; name fewer", strokes, mostStrokes))
		return Wrong
	}
	if file == "" {
		fmt.Fprint(p.Out, drawing.Sketch(figures, length, p.screen()))
		return Fine
	}
	return p.writeDrawing(drawing.Lay(titleOf(j, list), figures, length), file)
}

// lengths says how lengths are written with a shape: in the unit of its sheet's system.
func lengths(c *check.Cell) *show.Spec {
	spec := &show.Spec{Form: kind.Number, Units: []show.Unit{{Symbol: "mm", Ratio: big.NewRat(1, 1000)}}}
	if c.Spec != nil && len(c.Spec.Units) > 0 {
		spec.Units, spec.Step, spec.Tape = c.Spec.Units, c.Spec.Step, c.Spec.Tape
	}
	return spec
}

// titleOf is the title of the sheet that all subjects stand in.
func titleOf(j *sheets.Job, list []subject) string {
	for _, s := range list {
		if s.cell.Sheet != list[0].cell.Sheet {
			return ""
		}
	}
	return j.Words(list[0].cell.Sheet.Title())
}

// figures makes the figures of a subject: one of a single shape, one of a list of outlines that lie apart, else one of each.
func (p *Report) figures(j *sheets.Job, s *subject, length *show.Spec) ([]drawing.Figure, error) {
	var notes []string
	if s.flags != "" {
		notes = append(notes, s.flags)
	}
	if !s.cell.Type.List {
		f, err := figure(s.name, s.value.Obj[0], length)
		f.Notes = append(f.Notes, notes...)
		return []drawing.Figure{f}, err
	}
	var outlines []*shapes.Outline
	var out []drawing.Figure
	left := 0
	for i := range s.value.Len() {
		if j.Engine.StateOf(s.value.Mark(i)) >= value.Open {
			left++
			continue
		}
		f, err := figure(fmt.Sprintf("%s %d", s.name, s.value.Row(i)+1), s.value.Obj[i], length)
		if err != nil {
			return nil, err
		}
		out = append(out, f)
		if o, ok := s.value.Obj[i].(*shapes.Outline); ok {
			outlines = append(outlines, o)
		}
	}
	if left > 0 {
		fmt.Fprintf(p.Err, "Left out: %s of %s without a value.\n", many(left, "row"), s.name)
	}
	switch {
	case len(out) == 0:
		return nil, fmt.Errorf("there is nothing to draw in %s", s.name)
	case len(out) > 1 && len(outlines) == len(out) && apart(outlines):
		whole := drawing.Figure{Name: s.name, Notes: append([]string{many(len(out), "piece")}, notes...)}
		for _, o := range outlines {
			whole.Parts = append(whole.Parts, o.Drawn())
		}
		return []drawing.Figure{whole}, nil
	}
	return out, nil
}

// figure makes the figure of one outline or solid.
func figure(name string, o any, length *show.Spec) (drawing.Figure, error) {
	f := drawing.Figure{Name: name}
	switch o := o.(type) {
	case *shapes.Outline:
		if o.IsEmpty() {
			return f, fmt.Errorf("an empty outline has nothing to draw: the area of %s is 0", name)
		}
		f.Parts = [][][]value.Stroke{o.Drawn()}
		f.Notes = outlineNotes(o, length)
	case *shapes.Solid:
		f.Parts = [][][]value.Stroke{o.Drawn()}
		f.Front = o.Front()
		f.Edges = upperEdges(o)
		f.Notes = solidNotes(o, length)
	default:
		return f, fmt.Errorf("there is no shape in %s", name)
	}
	return f, nil
}

// outlineNotes tell of how many pieces an outline is, and how thin the walls about its holes are.
func outlineNotes(o *shapes.Outline, length *show.Spec) []string {
	var out []string
	if n := o.Pieces(); n > 1 {
		out = append(out, many(n, "piece"))
	}
	if o.Holes() > 0 {
		if wall, err := o.Narrowest(); err == nil {
			out = append(out, "walls at least "+length.Text(wall)+" thick")
		}
	}
	return out
}

// upperEdges are the edges of a solid that are seen from above within its footprint: those of upper layers, and of a top
// face whose sides lean in or are chamfered. A round edge has none.
func upperEdges(s *shapes.Solid) [][]value.Stroke {
	layers := s.Layers()
	plan, err := s.Footprint()
	if err != nil || len(layers) == 0 {
		return nil
	}
	var out [][]value.Stroke
	for i, l := range layers {
		if i > 0 && !l.Outline.Equal(plan) && !l.Outline.Equal(layers[i-1].Outline) {
			out = append(out, l.Outline.Drawn()...)
		}
	}
	if e := layers[len(layers)-1].Easing; e.Draft > 0 || e.Chamfer > 0 && e.Edges != shapes.BottomEdges {
		out = append(out, s.Top().Drawn()...)
	}
	return out
}

// solidNotes tell the thickness or height of a solid, and how its edges are eased.
func solidNotes(s *shapes.Solid, length *show.Spec) []string {
	w, d, h := s.Box()
	word := "high"
	if h < min(w, d) {
		word = "thick"
	}
	out := []string{length.Text(h) + " " + word}
	layers := s.Layers()
	for i, l := range layers {
		text := easingWords(l.Easing, length)
		if len(layers) > 1 {
			text = fmt.Sprintf("layer %d from below: %s", i+1, length.Text(l.Height))
			if e := easingWords(l.Easing, length); e != "" {
				text += ", " + e
			}
		}
		if text != "" {
			out = append(out, text)
		}
	}
	// Of a solid whose sides are not upright the plan does not tell how thin the walls are.
	if len(layers) == 1 && layers[0].Easing.Draft == 0 {
		out = append(out, outlineNotes(layers[0].Outline, length)...)
	}
	return out
}

func easingWords(e shapes.Easing, length *show.Spec) string {
	edges := map[string]string{shapes.BottomEdges: "lower edges", shapes.BothEdges: "upper and lower edges"}[e.Edges]
	if edges == "" {
		edges = "upper edges"
	}
	switch {
	case e.Roundover > 0:
		return edges + " rounded over, R " + length.Text(e.Roundover)
	case e.Chamfer > 0:
		return edges + " chamfered by " + length.Text(e.Chamfer)
	case e.Draft > 0:
		deg := show.Spec{Form: kind.Number, Units: []show.Unit{{Symbol: "deg", Ratio: big.NewRat(1, 180), Pi: true}}}
		return "sides lean in by " + deg.Text(e.Draft)
	}
	return ""
}

// apart tells whether outlines lie beside each other, as in a ring or a grid: none reaches into another. What lies in the
// same place is a list of pieces, each to be drawn for itself.
func apart(list []*shapes.Outline) bool {
	inner := make([][]value.Place, len(list))
	for i, o := range list {
		inner[i] = within(o)
	}
	for i, a := range list {
		for k, b := range list {
			if i == k || !overlap(a, b) {
				continue
			}
			for _, p := range inner[i] {
				if b.Contains(p) {
					return false
				}
			}
		}
	}
	return true
}

// overlap tells whether the boxes round two outlines have room in common.
func overlap(a, b *shapes.Outline) bool {
	x, errX := a.Bounds()
	y, errY := b.Bounds()
	return errX == nil && errY == nil && x.Left < y.Right && y.Left < x.Right && x.Bottom < y.Top && y.Bottom < x.Top
}

// within gives places a little inside the edges of an outline.
func within(o *shapes.Outline) []value.Place {
	by := 1e-3 * min(o.Width(), o.Depth())
	var out []value.Place
	for _, l := range o.Drawn() {
		for _, e := range l {
			for _, share := range []float64{0.25, 0.5, 0.75} {
				a, b := e.At(share-0.01), e.At(share+0.01)
				length := math.Hypot(b.X-a.X, b.Y-a.Y)
				p := value.Place{X: e.At(share).X - (b.Y-a.Y)/length*by, Y: e.At(share).Y + (b.X-a.X)/length*by}
				if length > 0 && o.Contains(p) {
					out = append(out, p)
				}
			}
		}
	}
	return out
}
