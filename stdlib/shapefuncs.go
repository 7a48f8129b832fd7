package stdlib

import (
	"errors"
	"math"
	"slices"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

var (
	one      = kind.Quantity(kind.One)
	length   = kind.Quantity(kind.Of(kind.Length))
	area     = kind.Quantity(kind.Make(map[kind.Base]int{kind.Length: 2}))
	volume   = kind.Quantity(kind.Make(map[kind.Base]int{kind.Length: 3}))
	second   = kind.Quantity(kind.Make(map[kind.Base]int{kind.Length: 4}))
	outline  = kind.Type{Form: kind.Outline, Dim: kind.Of(kind.Length)}
	solid    = kind.Type{Form: kind.Solid, Dim: kind.Of(kind.Length)}
	place    = kind.Type{Form: kind.Place, Dim: kind.Of(kind.Length)}
	text     = kind.Type{Form: kind.Text}
	truthOf  = kind.Type{Form: kind.Truth}
	geometry = "plane geometry; closed forms over lines and circular arcs"
)

func fixed(t kind.Type) func([]catalogue.Arg) (kind.Type, error) {
	return func([]catalogue.Arg) (kind.Type, error) { return t, nil }
}

func param(name string, t kind.Type, byDefault string) catalogue.Param {
	return catalogue.Param{Name: name, Type: &t, Default: byDefault}
}

func num(a value.Column) float64 { return a.Num[0] }

func shape(a value.Column) (*shapes.Outline, error) {
	o, ok := a.Obj[0].(*shapes.Outline)
	if !ok || o == nil {
		return nil, errors.New("There is no outline here.")
	}
	return o, nil
}

func made(o *shapes.Outline, err error) (value.Column, error) {
	if err != nil {
		return value.Column{}, err
	}
	return value.Objs(o), nil
}

func entry(name, about string, result kind.Type, call func([]value.Column) (value.Column, error), line, shown string, ps ...catalogue.Param) *catalogue.Func {
	return &catalogue.Func{Name: name, Family: "shapes", About: about, Source: geometry, Params: ps, Result: fixed(result), Call: call,
		Examples: []catalogue.Example{{Line: line, Shown: shown}}}
}

func shapeFuncs() []*catalogue.Func {
	return slices.Concat(makers(), pathFuncs(), changers(), overlayFuncs(), solids())
}

func makers() []*catalogue.Func {
	angle := catalogue.Param{Name: "angle", Type: &one, Marked: "deg"}
	return []*catalogue.Func{
		entry("circle", "A circle about the origin.", outline, func(a []value.Column) (value.Column, error) { return made(shapes.Circle(num(a[0]))) },
			"circle(100 mm).area [mm^2]", "31416 mm^2", param("radius", length, "")),
		entry("rectangle", "A rectangle with its lower left corner on the origin, its corners rounded where corner is given.", outline,
			func(a []value.Column) (value.Column, error) {
				return made(shapes.Rectangle(num(a[0]), num(a[1]), num(a[2])))
			},
			"rectangle(600 mm, 400 mm).area", "0.24 m^2", param("width", length, ""), param("depth", length, ""), param("corner", length, "0 mm")),
		entry("sector", "A piece of a ring about the origin, from the x axis turning left.", outline,
			func(a []value.Column) (value.Column, error) {
				return made(shapes.Sector(num(a[0]), num(a[1]), num(a[2])))
			},
			"sector(20 mm, 30 mm, 60 deg).area [0.1 mm^2]", "261.8 mm^2", param("inner", length, ""), param("outer", length, ""), angle),
		entry("annulus", "A whole ring about the origin.", outline, func(a []value.Column) (value.Column, error) { return made(shapes.Annulus(num(a[0]), num(a[1]))) },
			"annulus(1 m, 2 m).area", "9.425 m^2", param("inner", length, ""), param("outer", length, "")),
		entry("segment", "What a chord cuts off a circle; the middle of the chord on the origin, the arc above.", outline,
			func(a []value.Column) (value.Column, error) { return made(shapes.Segment(num(a[0]), num(a[1]))) },
			"segment(10 m, 4 m).area", "44.73 m^2", param("radius", length, ""), param("height", length, "")),
		entry("slot", "A slot with half-round ends along x, its middle on the origin; length is over all.", outline,
			func(a []value.Column) (value.Column, error) { return made(shapes.Slot(num(a[0]), num(a[1]))) },
			"slot(100 mm, 20 mm).perimeter", "222.8 mm", param("length", length, ""), param("width", length, "")),
		entry("regular", "A regular polygon about the origin with a side below; exactly one of across_flats and side is given.", outline, regular,
			"regular(6, across_flats: 200 mm).area [mm^2]", "34641 mm^2", param("sides", one, ""), optional("across_flats"), optional("side")),
		entry("polygon", "A polygon through points.", outline, polygon, "polygon((0 m, 0 m), (4 m, 0 m), (4 m, 3 m)).area", "6 m^2",
			catalogue.Param{Name: "points", Type: &place, Whole: true}),
	}
}

func optional(name string) catalogue.Param {
	return catalogue.Param{Name: name, Type: &length, Optional: true}
}

func regular(a []value.Column) (value.Column, error) {
	n := math.Round(num(a[0]))
	if math.Abs(num(a[0])-n) > 1e-9 || n < 3 || n > 1000 {
		return value.Column{}, errors.New("A regular polygon has a whole number of sides, from 3 to 1000.")
	}
	switch flats, side := a[1].Len() > 0, a[2].Len() > 0; {
	case flats && !side:
		return made(shapes.RegularAcross(int(n), num(a[1])))
	case side && !flats:
		return made(shapes.RegularSide(int(n), num(a[2])))
	}
	return value.Column{}, errors.New("Give exactly one of across_flats and side.")
}

func polygon(a []value.Column) (value.Column, error) {
	points := make([]value.Place, 0, len(a[0].Obj))
	for _, p := range a[0].Obj {
		q, ok := p.(value.Place)
		if !ok {
			return value.Column{}, errors.New("There is no point here.")
		}
		points = append(points, q)
	}
	return made(shapes.Polygon(points))
}

func changers() []*catalogue.Func {
	offset := func(name, about, line, shown string, f func(*shapes.Outline, float64, string) (*shapes.Outline, error)) *catalogue.Func {
		return entry(name, about, outline, func(a []value.Column) (value.Column, error) {
			o, err := shape(a[0])
			if err != nil {
				return value.Column{}, err
			}
			return made(f(o, num(a[1]), a[2].Text[0]))
		}, line, shown, param("outline", outline, ""), param("distance", length, ""), param("corners", text, `"round"`))
	}
	change := func(name, about, line, shown string, f func(o *shapes.Outline, a []value.Column) (*shapes.Outline, error), ps ...catalogue.Param) *catalogue.Func {
		return entry(name, about, outline, func(a []value.Column) (value.Column, error) {
			o, err := shape(a[0])
			if err != nil {
				return value.Column{}, err
			}
			return made(f(o, a))
		}, line, shown, append([]catalogue.Param{param("outline", outline, "")}, ps...)...)
	}
	return []*catalogue.Func{
		offset("grow", "The outline moved outwards all round; corners that this opens are round or sharp.", "grow(rectangle(4 m, 3 m), 1 m, \"sharp\").area", "30 m^2", shapes.Grow),
		offset("shrink", "The outline moved inwards all round, as for half a joint or a clearance.", "shrink(rectangle(4 m, 3 m), 0.5 m).area", "6 m^2", shapes.Shrink),
		change("move", "The outline moved by x and y.", "move(circle(1 m), 2 m, 0 m).right", "3000 mm",
			func(o *shapes.Outline, a []value.Column) (*shapes.Outline, error) {
				return shapes.Move(o, num(a[1]), num(a[2]))
			},
			param("x", length, ""), param("y", length, "")),
		change("turn", "The outline turned left about a point.", "turn(rectangle(4 m, 3 m), 90 deg).width", "3000 mm",
			func(o *shapes.Outline, a []value.Column) (*shapes.Outline, error) {
				return shapes.Turn(o, num(a[1]), a[2].Obj[0].(value.Place))
			},
			catalogue.Param{Name: "angle", Type: &one, Marked: "deg"}, param("about", place, "(0 mm, 0 mm)")),
		change("mirror", "The outline mirrored across the line through two points.", "mirror(move(circle(1 m), 2 m, 0 m), (0 m, 0 m), (0 m, 1 m)).left", "-3000 mm",
			func(o *shapes.Outline, a []value.Column) (*shapes.Outline, error) {
				return shapes.Mirror(o, a[1].Obj[0].(value.Place), a[2].Obj[0].(value.Place))
			},
			param("p", place, ""), param("q", place, "")),
		change("scale", "The outline made larger or smaller about the origin.", "scale(circle(1 m), 2).width", "4000 mm",
			func(o *shapes.Outline, a []value.Column) (*shapes.Outline, error) {
				return shapes.Scale(o, num(a[1]))
			}, param("factor", one, "")),
		entry("contains", "Whether a point lies in the outline or on it.", truthOf, func(a []value.Column) (value.Column, error) {
			o, err := shape(a[0])
			if err != nil {
				return value.Column{}, err
			}
			if o.Contains(a[1].Obj[0].(value.Place)) {
				return value.One(1), nil
			}
			return value.One(0), nil
		}, "contains(circle(1 m), (0.5 m, 0.5 m))", "yes", param("outline", outline, ""), param("point", place, "")),
	}
}

// shapeProperties lists what follows a dot behind an outline, a solid or a point.
func shapeProperties() map[kind.Form][]*catalogue.Func {
	property := func(of, t kind.Type, name, about string, call func(value.Column) (value.Column, error)) *catalogue.Func {
		return &catalogue.Func{Name: name, Family: "shapes", About: about, Source: geometry, Params: []catalogue.Param{{Name: "of", Type: &of}},
			Result: fixed(t), Call: func(a []value.Column) (value.Column, error) { return call(a[0]) }}
	}
	number := func(t kind.Type, name, about string, f func(*shapes.Outline) float64) *catalogue.Func {
		return property(outline, t, name, about, func(a value.Column) (value.Column, error) {
			o, err := shape(a)
			if err != nil {
				return value.Column{}, err
			}
			return value.One(f(o)), nil
		})
	}
	edge := func(name, about string, f func(shapes.Bounds) float64) *catalogue.Func {
		return property(outline, length, name, about, func(a value.Column) (value.Column, error) {
			o, err := shape(a)
			if err != nil {
				return value.Column{}, err
			}
			b, err := o.Bounds()
			return value.One(f(b)), err
		})
	}
	ofSolid := func(t kind.Type, name, about string, f func(*shapes.Solid) (value.Column, error)) *catalogue.Func {
		return property(solid, t, name, about, func(a value.Column) (value.Column, error) {
			s, err := body(a.Obj[0])
			if err != nil {
				return value.Column{}, err
			}
			return f(s)
		})
	}
	three := func(x, y, z string) kind.Type {
		return kind.Type{Form: kind.Record, Fields: []kind.Field{{Name: x, Type: length}, {Name: y, Type: length}, {Name: z, Type: length}}}
	}
	return map[kind.Form][]*catalogue.Func{
		kind.Outline: {
			number(area, "area", "Its area.", (*shapes.Outline).Area),
			number(length, "perimeter", "The length of all its edges, those of holes too.", (*shapes.Outline).Perimeter),
			number(length, "width", "Its width along x.", (*shapes.Outline).Width),
			number(length, "depth", "Its depth along y.", (*shapes.Outline).Depth),
			number(one, "holes", "How many holes it has.", func(o *shapes.Outline) float64 { return float64(o.Holes()) }),
			number(one, "pieces", "How many pieces it has.", func(o *shapes.Outline) float64 { return float64(o.Pieces()) }),
			number(second, "second_moment_x", "The second moment of area about the x direction through its centroid.", (*shapes.Outline).SecondMomentX),
			number(second, "second_moment_y", "The second moment of area about the y direction through its centroid.", (*shapes.Outline).SecondMomentY),
			edge("left", "The least x.", func(b shapes.Bounds) float64 { return b.Left }),
			edge("right", "The greatest x.", func(b shapes.Bounds) float64 { return b.Right }),
			edge("bottom", "The least y.", func(b shapes.Bounds) float64 { return b.Bottom }),
			edge("top", "The greatest y.", func(b shapes.Bounds) float64 { return b.Top }),
			property(outline, length, "narrowest", "Its least wall thickness, straight across the material between walls that face each other.", func(a value.Column) (value.Column, error) {
				o, err := shape(a)
				if err != nil {
					return value.Column{}, err
				}
				x, err := o.Narrowest()
				return value.One(x), err
			}),
			property(outline, place, "centroid", "The centre of its area.", func(a value.Column) (value.Column, error) {
				o, err := shape(a)
				if err != nil {
					return value.Column{}, err
				}
				p, err := o.Centroid()
				return value.Objs(p), err
			}),
		},
		kind.Solid: {
			ofSolid(volume, "volume", "Its volume.", func(s *shapes.Solid) (value.Column, error) { return value.One(s.Volume()), nil }),
			ofSolid(area, "surface", "The area of all its faces.", func(s *shapes.Solid) (value.Column, error) { return value.One(s.Surface()), nil }),
			ofSolid(length, "height", "Its height.", func(s *shapes.Solid) (value.Column, error) { return value.One(s.Height()), nil }),
			ofSolid(outline, "footprint", "The outline seen from above.", func(s *shapes.Solid) (value.Column, error) { return made(s.Footprint()) }),
			ofSolid(three("x", "y", "z"), "centre_of_gravity", "The centre of its volume: x, y and z above the ground.", func(s *shapes.Solid) (value.Column, error) {
				x, y, z := s.CentreOfGravity()
				return value.Record(value.One(x), value.One(y), value.One(z)), nil
			}),
			ofSolid(solid, "inside", "What a hollow solid holds, up to its brim, as a solid of its own: what hollow took out.", func(s *shapes.Solid) (value.Column, error) { return built(s.Inside()) }),
			ofSolid(three("width", "depth", "height"), "box", "The box that it fits: width, depth and height.", func(s *shapes.Solid) (value.Column, error) {
				w, d, h := s.Box()
				return value.Record(value.One(w), value.One(d), value.One(h)), nil
			}),
		},
		kind.Place: {
			property(place, length, "x", "Its distance along x.", func(a value.Column) (value.Column, error) { return value.One(a.Obj[0].(value.Place).X), nil }),
			property(place, length, "y", "Its distance along y.", func(a value.Column) (value.Column, error) { return value.One(a.Obj[0].(value.Place).Y), nil }),
		},
	}
}
