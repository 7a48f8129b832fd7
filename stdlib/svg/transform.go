package svg

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// point is a point or a vector of the plane, x + iy: products turn and stretch.
type point = complex128

func dot(a, b point) float64   { return real(a)*real(b) + imag(a)*imag(b) }
func cross(a, b point) float64 { return real(a)*imag(b) - imag(a)*real(b) }
func size(a point) float64     { return math.Hypot(real(a), imag(a)) }
func unit(a point) point       { return a / complex(size(a), 0) }
func times(a point, k float64) point {
	return complex(real(a)*k, imag(a)*k)
}
func finite(a point) bool { return size(a) <= mostNumber }

// matrix carries (x, y) to (ax + cy + e, bx + dy + f).
type matrix struct{ a, b, c, d, e, f float64 }

var identity = matrix{a: 1, d: 1}

// vector carries a vector: what does not move with the origin.
func (m matrix) vector(p point) point {
	x, y := real(p), imag(p)
	return complex(m.a*x+m.c*y, m.b*x+m.d*y)
}

func (m matrix) point(p point) point { return m.vector(p) + complex(m.e, m.f) }

// of is the matrix that carries by n first and then by m.
func (m matrix) of(n matrix) matrix {
	i, j, o := m.vector(complex(n.a, n.b)), m.vector(complex(n.c, n.d)), m.point(complex(n.e, n.f))
	return matrix{real(i), imag(i), real(j), imag(j), real(o), imag(o)}
}

func (m matrix) finite() bool {
	return finite(complex(m.a, m.b)) && finite(complex(m.c, m.d)) && finite(complex(m.e, m.f))
}

func shift(x, y float64) matrix { return matrix{1, 0, 0, 1, x, y} }

// turned is the unit vector at an angle in degrees; quarter turns are exact.
func turned(degrees float64) point {
	degrees = math.Mod(degrees, 360)
	switch degrees {
	case 0:
		return 1
	case 90, -270:
		return 1i
	case 180, -180:
		return -1
	case 270, -90:
		return -1i
	}
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return complex(cos, sin)
}

// transform reads a list of transforms, each of which stands in the coordinates of those before it.
func transform(text string) (matrix, error) {
	out := identity
	for text = strings.TrimSpace(text); text != "" && text != "none"; {
		name, rest, ok := strings.Cut(text, "(")
		inside, after, closed := strings.Cut(rest, ")")
		if !ok || !closed {
			return out, errors.New("the transform has no pair of brackets")
		}
		xs, err := numbers(inside)
		if err != nil {
			return out, err
		}
		m, err := oneTransform(strings.TrimSpace(name), xs)
		if err != nil {
			return out, err
		}
		if out = out.of(m); !out.finite() {
			return out, errTooLarge
		}
		text = strings.TrimLeft(after, " \t\r\n\f,")
	}
	return out, nil
}

func oneTransform(name string, xs []float64) (matrix, error) {
	n := len(xs)
	switch {
	case name == "matrix" && n == 6:
		return matrix{xs[0], xs[1], xs[2], xs[3], xs[4], xs[5]}, nil
	case name == "translate" && n == 1:
		return shift(xs[0], 0), nil
	case name == "translate" && n == 2:
		return shift(xs[0], xs[1]), nil
	case name == "scale" && n == 1:
		return matrix{a: xs[0], d: xs[0]}, nil
	case name == "scale" && n == 2:
		return matrix{a: xs[0], d: xs[1]}, nil
	case name == "rotate" && (n == 1 || n == 3):
		u := turned(xs[0])
		m := matrix{a: real(u), b: imag(u), c: -imag(u), d: real(u)}
		if n == 3 {
			m = shift(xs[1], xs[2]).of(m).of(shift(-xs[1], -xs[2]))
		}
		return m, nil
	case name == "skewX" && n == 1:
		return matrix{a: 1, c: math.Tan(xs[0] * math.Pi / 180), d: 1}, nil
	case name == "skewY" && n == 1:
		return matrix{a: 1, b: math.Tan(xs[0] * math.Pi / 180), d: 1}, nil
	}
	switch name {
	case "matrix", "translate", "scale", "rotate", "skewX", "skewY":
		return identity, fmt.Errorf("%s does not take %d numbers", name, n)
	}
	return identity, fmt.Errorf("there is no transform %s", quoted(name))
}

// box is a viewBox or a viewport: its upper left corner and its size.
type box struct{ x, y, w, h float64 }

// readBox reads a viewBox; ok is false where there is none.
func readBox(text string) (v box, ok bool, err error) {
	if strings.TrimSpace(text) == "" {
		return v, false, nil
	}
	xs, err := numbers(text)
	if err != nil {
		return v, false, err
	}
	if len(xs) != 4 {
		return v, false, fmt.Errorf("a viewBox holds 4 numbers, this one %d", len(xs))
	}
	if xs[2] <= 0 || xs[3] <= 0 {
		return v, false, errors.New("its viewBox has no size")
	}
	return box{xs[0], xs[1], xs[2], xs[3]}, true, nil
}

// fit carries a viewBox into a viewport as preserveAspectRatio says (SVG 1.1, 7.8).
func fit(v, into box, aspect string) (matrix, error) {
	sx, sy := into.w/v.w, into.h/v.h
	words := strings.Fields(strings.TrimPrefix(strings.TrimSpace(aspect), "defer"))
	align, slice := "xMidYMid", false
	if len(words) > 0 {
		align = words[0]
	}
	if len(words) > 1 {
		slice = words[1] == "slice"
	}
	if len(words) > 2 || len(words) == 2 && words[1] != "slice" && words[1] != "meet" {
		return identity, fmt.Errorf("preserveAspectRatio cannot be %s", quoted(aspect))
	}
	if align == "none" {
		return matrix{a: sx, d: sy, e: into.x - v.x*sx, f: into.y - v.y*sy}, nil
	}
	share := map[string]float64{"Min": 0, "Mid": 0.5, "Max": 1}
	if len(align) != 8 || align[0] != 'x' || align[4] != 'Y' {
		return identity, fmt.Errorf("preserveAspectRatio cannot be %s", quoted(aspect))
	}
	ax, okX := share[align[1:4]]
	ay, okY := share[align[5:8]]
	if !okX || !okY {
		return identity, fmt.Errorf("preserveAspectRatio cannot be %s", quoted(aspect))
	}
	s := math.Min(sx, sy)
	if slice {
		s = math.Max(sx, sy)
	}
	return matrix{a: s, d: s, e: into.x - v.x*s + ax*(into.w-v.w*s), f: into.y - v.y*s + ay*(into.h-v.h*s)}, nil
}
