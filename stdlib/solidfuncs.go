package stdlib

import (
	"errors"

	"castwright/lang/catalogue"
	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

func body(o any) (*shapes.Solid, error) {
	s, ok := o.(*shapes.Solid)
	if !ok || s == nil {
		return nil, errors.New("There is no solid here.")
	}
	return s, nil
}

func built(s *shapes.Solid, err error) (value.Column, error) {
	if err != nil {
		return value.Column{}, err
	}
	return value.Objs(s), nil
}

// solids are the functions that make a solid.
func solids() []*catalogue.Func {
	angle := func(name, byDefault string) catalogue.Param {
		return catalogue.Param{Name: name, Type: &one, Marked: "deg", Default: byDefault}
	}
	return []*catalogue.Func{
		entry("extrude", "A solid with upright sides over an outline, or with sides that lean in by a draft. Its upper, lower or both edges, those of holes and inner corners too, are eased by a round that touches face and side, or by a chamfer of 45 deg; corners are mitred. Worked out by exact swept volumes.", solid,
			extruded, "extrude(rectangle(600 mm, 400 mm), 95 mm).volume", "22.8 L",
			param("outline", outline, ""), param("height", length, ""), param("roundover", length, "0 mm"), param("chamfer", length, "0 mm"),
			angle("draft", "0 deg"), param("edges", text, `"top"`)),
		entry("stack", "Solids one upon another, the first below. Their outlines keep their places in the plane; each must touch the top face of the one below it.", solid,
			stacked, "stack(extrude(circle(1 m), 1 m), extrude(circle(0.5 m), 1 m)).height", "2000 mm", catalogue.Param{Name: "solids", Type: &solid, Whole: true}),
		entry("hollow", "A vessel, open above, of an extruded solid or of one that is revolved by a full turn. The wall is measured level and the base stays below; a base of 0 mm makes a sleeve. The inside of an extruded solid is its outline shrunk by the wall with sharp corners, upright or with the same draft; eased edges are on the outside only. The inside of a revolved solid follows its profile. What the vessel holds, up to the brim, is its property inside.", solid,
			hollowed, "hollow(extrude(rectangle(600 mm, 400 mm), 300 mm), 40 mm, 50 mm).inside.volume", "41.6 L",
			param("solid", solid, ""), param("wall", length, ""), param("base", length, "")),
		entry("take", "What of a solid is not in another one. Both stand on the ground and keep their places in the plane; up lifts the other first, or lets it down into the ground where it is below 0 mm. What is left stands on the ground.", solid,
			taken, "take(extrude(rectangle(4 m, 3 m), 2 m), extrude(rectangle(3 m, 3 m), 2 m), up: 1 m).volume [m^3]", "15 m^3",
			param("solid", solid, ""), param("other", solid, ""), param("up", length, "0 mm")),
		entry("revolve", "A profile turned about an upright axis over the origin, from the x direction to the left. In the profile x is the distance from the axis, 0 or more, and y the height; the solid stands on the lowest point of the profile. Volume and surface by Pappus.", solid,
			revolved, "revolve(move(circle(10 mm), 50 mm, 0 mm)).volume [mm^3]", "98696 mm^3",
			param("profile", outline, ""), angle("angle", "360 deg")),
	}
}

func extruded(a []value.Column) (value.Column, error) {
	o, err := shape(a[0])
	if err != nil {
		return value.Column{}, err
	}
	return built(shapes.Extrude(o, num(a[1]), shapes.Easing{Roundover: num(a[2]), Chamfer: num(a[3]), Draft: num(a[4]), Edges: a[5].Text[0]}))
}

func stacked(a []value.Column) (value.Column, error) {
	var list []*shapes.Solid
	for _, x := range a[0].Obj {
		s, err := body(x)
		if err != nil {
			return value.Column{}, err
		}
		list = append(list, s)
	}
	return built(shapes.Stack(list...))
}

func hollowed(a []value.Column) (value.Column, error) {
	s, err := body(a[0].Obj[0])
	if err != nil {
		return value.Column{}, err
	}
	return built(shapes.Hollow(s, num(a[1]), num(a[2])))
}

func taken(a []value.Column) (value.Column, error) {
	s, err := body(a[0].Obj[0])
	if err != nil {
		return value.Column{}, err
	}
	other, err := body(a[1].Obj[0])
	if err != nil {
		return value.Column{}, err
	}
	return built(shapes.Take(s, other, num(a[2])))
}

func revolved(a []value.Column) (value.Column, error) {
	o, err := shape(a[0])
	if err != nil {
		return value.Column{}, err
	}
	return built(shapes.Revolve(o, num(a[1])))
}
