package shapes

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/value"
)

// remade is the outline with every point carried over by f, radii multiplied by k and turns kept or reversed.
func (o *Outline) remade(f func(value.Place) value.Place, k float64, reverse bool) *Outline {
	loops := make([][]Edge, len(o.loops))
	for i, loop := range o.loops {
		out := make([]Edge, len(loop))
		for j, e := range loop {
			e.From, e.To = f(e.From), f(e.To)
			if e.IsArc() {
				e.Centre, e.Radius = f(e.Centre), e.Radius*k
			}
			if reverse {
				// A mirror turns right what turned left; travelling the loop backwards keeps the inside on the left.
				e.Sweep = -e.Sweep
				out[len(loop)-1-j] = e.back()
				continue
			}
			out[j] = e
		}
		loops[i] = out
	}
	return newOutline(loops)
}

var errNotFinite = errors.New("A shape can be moved, turned or mirrored only by lengths and angles that can be worked with.")

// Move carries an outline by x and y.
func Move(o *Outline, x, y float64) (*Outline, error) {
	if !finite(x, y) {
		return nil, errNotFinite
	}
	by := value.Place{X: x, Y: y}
	out := o.remade(func(p value.Place) value.Place { return add(p, by) }, 1, false)
	if !finite(out.bounds.reach()) {
		return nil, errNotFinite
	}
	return out, nil
}

// Turn turns an outline to the left about a point.
func Turn(o *Outline, angle float64, about value.Place) (*Outline, error) {
	if !finite(angle, about.X, about.Y) {
		return nil, errNotFinite
	}
	sin, cos := math.Sincos(angle)
	if quarter := math.Round(angle / (math.Pi / 2)); math.Abs(angle-quarter*math.Pi/2) <= 1e-15*math.Abs(quarter) {
		// Quarter turns carry axes to axes exactly.
		sin, cos = math.Round(sin), math.Round(cos)
	}
	return o.remade(func(p value.Place) value.Place {
		v := sub(p, about)
		return add(about, value.Place{X: v.X*cos - v.Y*sin, Y: v.X*sin + v.Y*cos})
	}, 1, false), nil
}

// Mirror reflects an outline across the line through two different points.
func Mirror(o *Outline, p, q value.Place) (*Outline, error) {
	if !finite(p.X, p.Y, q.X, q.Y) {
		return nil, errNotFinite
	}
	if p == q {
		return nil, errors.New("The line of a mirror needs two different points; both are " + at(p) + ".")
	}
	d := unit(sub(q, p))
	return o.remade(func(a value.Place) value.Place {
		v := sub(a, p)
		return add(p, sub(times(d, 2*dot(v, d)), v))
	}, 1, true), nil
}

// Scale multiplies all lengths of an outline, from the origin, by a factor above 0.
func Scale(o *Outline, factor float64) (*Outline, error) {
	if !finite(factor) || factor <= 0 {
		return nil, fmt.Errorf("A shape is scaled by a factor above 0; %g was given.", factor)
	}
	out := o.remade(func(p value.Place) value.Place { return times(p, factor) }, factor, false)
	if reach := out.bounds.reach(); !o.IsEmpty() && (reach > mostLength || reach < leastLength) {
		return nil, fmt.Errorf("Scaled by %g the shape would reach out to %s, which cannot be worked with.", factor, mm(reach))
	}
	return out, nil
}
