package drawing

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"strconv"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/vector"

	"castwright/lang/value"
)

// Resolution is how many pixels a millimetre of paper has in a PNG, about 200 to the inch.
const Resolution = 8.0

// PNG writes a drawing as a picture on white, with a number of pixels for a millimetre of paper.
func (d *Drawing) PNG(resolution float64) ([]byte, error) {
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, int(math.Ceil(d.Width*resolution)), int(math.Ceil(d.Depth*resolution)))), per: resolution, depth: d.Depth}
	draw.Draw(c.img, c.img.Bounds(), image.White, image.Point{}, draw.Src)
	for _, m := range d.marks {
		switch m := m.(type) {
		case shape:
			c.figure(m.points(math.Pi/90), true, m.fill, m.pen)
		case line:
			c.figure([][]value.Place{m.points}, m.closed, m.fill, m.pen)
		case text:
			c.words(m)
		}
	}
	var b bytes.Buffer
	err := png.Encode(&b, c.img)
	return b.Bytes(), err
}

// canvas is a picture that is being drawn, from lengths on paper.
type canvas struct {
	img   *image.RGBA
	per   float64 // pixels for a millimetre
	depth float64
}

// figure fills loops and draws their lines.
func (c *canvas) figure(loops [][]value.Place, closed bool, fill string, p pen) {
	if fill != "" {
		inside := c.trace()
		for _, l := range loops {
			inside.loop(l)
		}
		inside.paint(fill)
	}
	if p.width == 0 {
		return
	}
	lines := c.trace()
	for _, l := range loops {
		if closed && len(l) > 0 {
			l = append(l[:len(l):len(l)], l[0])
		}
		for _, run := range dashes(l, p.dash) {
			lines.stroke(run, p.width)
		}
		if closed && len(p.dash) == 0 && len(l) > 2 {
			lines.joint(l[len(l)-2], l[0], l[1], p.width)
		}
	}
	lines.paint(p.colour)
}

// words draws a text by the curves of its letters.
func (c *canvas) words(t text) {
	run, _ := face(t.bold).letters(t.words, true)
	b := t.box()
	start := value.Place{X: b.left, Y: t.at.Y}
	if t.upright {
		start = value.Place{X: t.at.X, Y: b.bottom}
	}
	out := c.trace()
	for _, l := range run {
		on := func(i int, s sfnt.Segment) value.Place {
			x, y := (l.at+share(s.Args[i].X))*t.size, -share(s.Args[i].Y)*t.size
			if t.upright {
				x, y = -y, x
			}
			return value.Place{X: start.X + x, Y: start.Y + y}
		}
		out.letter(l.curves, on)
	}
	out.paint(t.colour)
}

// trace collects closed figures until they are painted, in the least part of the picture that holds them.
type trace struct {
	canvas *canvas
	box    box
	steps  []step
}

// step is a move, or a line, or a curve to its last place.
type step struct {
	op     sfnt.SegmentOp
	places [3]value.Place
}

func (c *canvas) trace() *trace { return &trace{canvas: c} }

// add takes places on paper.
func (t *trace) add(op sfnt.SegmentOp, places ...value.Place) {
	s := step{op: op}
	for i, p := range places {
		s.places[i] = value.Place{X: p.X * t.canvas.per, Y: (t.canvas.depth - p.Y) * t.canvas.per}
		t.box = t.box.with(boxOf(s.places[i]))
	}
	t.steps = append(t.steps, s)
}

func (t *trace) loop(points []value.Place) {
	for i, p := range points {
		op := sfnt.SegmentOpLineTo
		if i == 0 {
			op = sfnt.SegmentOpMoveTo
		}
		t.add(op, p)
	}
}

// stroke adds a line: each piece of it as a thin four-sided figure, and each corner as a round one. All are turned the same
// way, so that where they lie over each other they do not take each other out.
func (t *trace) stroke(points []value.Place, width float64) {
	for i := range len(points) - 1 {
		a, b := points[i], points[i+1]
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		if length == 0 {
			continue
		}
		dx, dy := (b.X-a.X)/length*width/2, (b.Y-a.Y)/length*width/2
		t.loop([]value.Place{{X: a.X - dy, Y: a.Y + dx}, {X: b.X - dy, Y: b.Y + dx}, {X: b.X + dy, Y: b.Y - dx}, {X: a.X + dy, Y: a.Y - dx}})
		if i > 0 {
			t.joint(points[i-1], a, b, width)
		}
	}
}

// joint adds a round corner at b, save where the line hardly turns, as within an arc.
func (t *trace) joint(a, b, c value.Place, width float64) {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-b.X, c.Y-b.Y
	if math.Abs(math.Atan2(ux*vy-uy*vx, ux*vx+uy*vy)) < math.Pi/30 {
		return
	}
	const sides = 16
	disc := make([]value.Place, sides)
	for i := range disc {
		sin, cos := math.Sincos(-2 * math.Pi * float64(i) / sides)
		disc[i] = value.Place{X: b.X + cos*width/2, Y: b.Y + sin*width/2}
	}
	t.loop(disc)
}

func (t *trace) letter(curves sfnt.Segments, on func(int, sfnt.Segment) value.Place) {
	for _, s := range curves {
		switch s.Op {
		case sfnt.SegmentOpMoveTo, sfnt.SegmentOpLineTo:
			t.add(s.Op, on(0, s))
		case sfnt.SegmentOpQuadTo:
			t.add(s.Op, on(0, s), on(1, s))
		case sfnt.SegmentOpCubeTo:
			t.add(s.Op, on(0, s), on(1, s), on(2, s))
		}
	}
}

// paint draws what was collected.
func (t *trace) paint(colour string) {
	if !t.box.some {
		return
	}
	b := t.box
	part := image.Rect(int(math.Floor(b.left)), int(math.Floor(b.bottom)), int(math.Ceil(b.right))+1, int(math.Ceil(b.top))+1)
	r := vector.NewRasterizer(part.Dx(), part.Dy())
	at := func(p value.Place) (float32, float32) {
		return float32(p.X - float64(part.Min.X)), float32(p.Y - float64(part.Min.Y))
	}
	for i, s := range t.steps {
		x0, y0 := at(s.places[0])
		x1, y1 := at(s.places[1])
		x2, y2 := at(s.places[2])
		switch s.op {
		case sfnt.SegmentOpMoveTo:
			if i > 0 {
				r.ClosePath()
			}
			r.MoveTo(x0, y0)
		case sfnt.SegmentOpLineTo:
			r.LineTo(x0, y0)
		case sfnt.SegmentOpQuadTo:
			r.QuadTo(x0, y0, x1, y1)
		case sfnt.SegmentOpCubeTo:
			r.CubeTo(x0, y0, x1, y1, x2, y2)
		}
	}
	r.ClosePath()
	r.Draw(t.canvas.img, part, image.NewUniform(rgb(colour)), image.Point{})
}

// dashes cuts a run of points into its dashes; it is whole where there are none.
func dashes(points []value.Place, pattern []float64) [][]value.Place {
	if len(pattern) == 0 || len(points) < 2 {
		return [][]value.Place{points}
	}
	var out [][]value.Place
	run := []value.Place{points[0]}
	turn, left := 0, pattern[0]
	for i := range len(points) - 1 {
		a, b := points[i], points[i+1]
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		for done := 0.0; done < length; {
			by := math.Min(left, length-done)
			done, left = done+by, left-by
			p := value.Place{X: a.X + (b.X-a.X)*done/length, Y: a.Y + (b.Y-a.Y)*done/length}
			if turn%2 == 0 {
				run = append(run, p)
			}
			if left > 0 {
				continue
			}
			if turn%2 == 0 {
				out, run = append(out, run), nil
			} else {
				run = []value.Place{p}
			}
			turn++
			left = pattern[turn%len(pattern)]
		}
	}
	if len(run) > 1 {
		out = append(out, run)
	}
	return out
}

// rgb reads a colour written #rrggbb.
func rgb(s string) color.RGBA {
	n, _ := strconv.ParseUint(s[1:], 16, 32)
	return color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 0xff}
}
