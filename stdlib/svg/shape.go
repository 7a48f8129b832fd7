package svg

import (
	"errors"
	"fmt"
	"math"
)

// viewport is what percentages are measured by, in user units; 0 where that is not known.
type viewport struct{ w, h float64 }

// across is what a percentage that is neither of a width nor of a height is measured by.
func (v viewport) across() float64 { return math.Sqrt((v.w*v.w + v.h*v.h) / 2) }

// length reads an attribute as a length in user units; given tells whether it is there.
func (d *Document) length(e *element, name string, of float64) (x float64, given bool, err error) {
	text := e.attrs[name]
	if text == "" || text == "auto" {
		return 0, false, nil
	}
	x, u, err := lengthOf(text)
	if err != nil {
		return 0, true, d.mistake(e, "Its %s cannot be read: %s.", name, err)
	}
	if u == "" {
		return x, true, nil
	}
	if u == "%" && of > 0 {
		return x / 100 * of, true, nil
	}
	m, ok := metres(x, u)
	if !ok {
		return 0, true, d.mistake(e, "Its %s is %s, and how long that is the drawing does not say. Write it in user units, or in mm.", name, quoted(text))
	}
	return m / pixel, true, nil
}

// lengths reads some attributes as lengths; those left out are 0. Each is measured, where it is a percentage, along the axis
// that its name says.
func (d *Document) lengths(e *element, v viewport, names ...string) ([]float64, error) {
	out := make([]float64, len(names))
	for i, n := range names {
		of := v.across()
		switch n {
		case "x", "x1", "x2", "cx", "width", "rx":
			of = v.w
		case "y", "y1", "y2", "cy", "height", "ry":
			of = v.h
		}
		x, _, err := d.length(e, n, of)
		if err != nil {
			return nil, err
		}
		out[i] = x
	}
	return out, nil
}

// geometry gives the lines of a shape in its own user units; of a path at most most.
func (d *Document) geometry(e *element, v viewport, most int) ([]subpath, error) {
	switch e.name {
	case "rect":
		return d.rectangle(e, v)
	case "circle", "ellipse":
		return d.ellipse(e, v)
	case "line":
		a, err := d.lengths(e, v, "x1", "y1", "x2", "y2")
		if err != nil {
			return nil, err
		}
		s := subpath{}
		s.line(complex(a[0], a[1]), complex(a[2], a[3]))
		return []subpath{s}, nil
	case "polygon", "polyline":
		return d.polygon(e)
	}
	paths, err := readPath(e.attrs["d"], most)
	if err != nil {
		return nil, d.mistake(e, "The path cannot be read: %s.", err)
	}
	return paths, nil
}

func (d *Document) polygon(e *element) ([]subpath, error) {
	xs, err := numbers(e.attrs["points"])
	if err == nil && len(xs)%2 != 0 {
		err = errors.New("they are an odd number of coordinates")
	}
	if err != nil {
		return nil, d.mistake(e, "Its points cannot be read: %s.", err)
	}
	s := subpath{closed: e.name == "polygon"}
	for i := 2; i+1 < len(xs); i += 2 {
		s.line(complex(xs[i-2], xs[i-1]), complex(xs[i], xs[i+1]))
	}
	return []subpath{s}, nil
}

// radii gives the two half axes of an ellipse or of a corner: where one is left out it is as the other.
func (d *Document) radii(e *element, v viewport) (rx, ry float64, err error) {
	rx, givenX, err := d.length(e, "rx", v.w)
	if err != nil {
		return 0, 0, err
	}
	ry, givenY, err := d.length(e, "ry", v.h)
	if err != nil {
		return 0, 0, err
	}
	if !givenX {
		rx = ry
	}
	if !givenY {
		ry = rx
	}
	if rx < 0 || ry < 0 {
		return 0, 0, d.mistake(e, "A radius is below 0.")
	}
	return rx, ry, nil
}

func (d *Document) ellipse(e *element, v viewport) ([]subpath, error) {
	a, err := d.lengths(e, v, "cx", "cy", "r")
	if err != nil {
		return nil, err
	}
	rx, ry := a[2], a[2]
	if e.name == "ellipse" {
		if rx, ry, err = d.radii(e, v); err != nil {
			return nil, err
		}
	}
	if !(rx > 0 && ry > 0) {
		return nil, d.mistake(e, "It has no size: its radius is not above 0.")
	}
	s := subpath{closed: true}
	c := complex(a[0], a[1])
	s.ellipse(c, rx, ry, 0, 2*math.Pi, c+complex(rx, 0), c+complex(rx, 0))
	return []subpath{s}, nil
}

// rectangle begins where SVG 1.1, 9.2, begins it: at the upper side, behind its left corner.
func (d *Document) rectangle(e *element, v viewport) ([]subpath, error) {
	a, err := d.lengths(e, v, "x", "y", "width", "height")
	if err != nil {
		return nil, err
	}
	x, y, w, h := a[0], a[1], a[2], a[3]
	if !(w > 0 && h > 0) {
		return nil, d.mistake(e, "It has no size: its width or its height is not above 0.")
	}
	rx, ry, err := d.radii(e, v)
	if err != nil {
		return nil, err
	}
	if rx, ry = math.Min(rx, w/2), math.Min(ry, h/2); rx == 0 || ry == 0 {
		rx, ry = 0, 0
	}
	s := subpath{closed: true}
	from := complex(x+rx, y)
	side := func(to point) {
		if from != to {
			s.line(from, to)
		}
		from = to
	}
	corner := func(cx, cy, t0 float64, to point) {
		if rx > 0 {
			s.ellipse(complex(cx, cy), rx, ry, t0, t0+math.Pi/2, from, to)
			from = to
		}
	}
	side(complex(x+w-rx, y))
	corner(x+w-rx, y+ry, -math.Pi/2, complex(x+w, y+ry))
	side(complex(x+w, y+h-ry))
	corner(x+w-rx, y+h-ry, 0, complex(x+w-rx, y+h))
	side(complex(x+rx, y+h))
	corner(x+rx, y+h-ry, math.Pi/2, complex(x, y+h-ry))
	side(complex(x, y+ry))
	corner(x+rx, y+ry, math.Pi, complex(x+rx, y))
	return []subpath{s}, nil
}

// scale says how the user units of a drawing become metres.
type scale struct {
	matrix  matrix // to metres from its origin, y upwards
	view    viewport
	assumed bool // the file gives its size in no unit of length
	corner  bool // the origin is the upper left corner: the drawing does not say how high it is
}

// scale works out how large a drawing is. Where unit is above 0 it is the length of a user unit in metres; else the width and
// height of the drawing, with its viewBox, say it, and a pixel is 1/96 in.
func (d *Document) scale(unit float64) (s scale, err error) {
	e := d.root
	v, boxed, err := readBox(e.attrs["viewBox"])
	if err != nil {
		return s, d.mistake(e, "Its size cannot be read: %s.", err)
	}
	w, physicalW, err := d.side("width")
	if err != nil {
		return s, err
	}
	h, physicalH, err := d.side("height")
	if err != nil {
		return s, err
	}
	s.assumed = !(physicalW || physicalH) || w > 0 && !physicalW || h > 0 && !physicalH
	if !boxed {
		v = box{w: w / pixel, h: h / pixel}
		s.corner = h == 0
	}
	k := matrix{a: pixel, d: pixel}
	switch {
	case unit > 0:
		k, s.assumed = matrix{a: unit, d: unit}, false
	case boxed && w > 0 && h > 0:
		if k, err = fit(v, box{w: w, h: h}, e.attrs["preserveAspectRatio"]); err != nil {
			return s, d.mistake(e, "Its size cannot be read: %s.", err)
		}
	case boxed && w > 0:
		k = matrix{a: w / v.w, d: w / v.w}
	case boxed && h > 0:
		k = matrix{a: h / v.h, d: h / v.h}
	}
	s.view = viewport{v.w, v.h}
	s.matrix = matrix{a: k.a, d: -k.d, e: -v.x * k.a, f: (v.y + v.h) * k.d}
	if !s.matrix.finite() || s.matrix.a == 0 || s.matrix.d == 0 {
		return s, d.mistake(e, "Its size cannot be worked with.")
	}
	return s, nil
}

// side reads the width or the height of the drawing in metres, 0 where it has none of its own.
func (d *Document) side(name string) (length float64, physical bool, err error) {
	text := d.root.attrs[name]
	if text == "" || text == "auto" {
		return 0, false, nil
	}
	x, u, err := lengthOf(text)
	if err != nil {
		return 0, false, d.mistake(d.root, "Its %s cannot be read: %s.", name, err)
	}
	length, ok := metres(x, u)
	if !ok { // a share of something that is no part of the drawing
		return 0, false, nil
	}
	if length <= 0 {
		return 0, false, d.mistake(d.root, "Its %s is not above 0.", name)
	}
	return length, u != "" && u != "px", nil
}

// words says what one user unit is.
func (s *scale) words() string {
	across, up := s.matrix.a*1000, -s.matrix.d*1000
	if math.Abs(across-up) > 1e-9*math.Abs(across) {
		return fmt.Sprintf("1 user unit = %.6g mm across and %.6g mm up", across, up)
	}
	return fmt.Sprintf("1 user unit = %.6g mm", across)
}
