package stdlib

import (
	"errors"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

var step = kind.Type{Form: kind.Step, Dim: kind.Of(kind.Length)}

// pathFuncs are path, and what gives its steps.
func pathFuncs() []*catalogue.Func {
	some := func(name string, t kind.Type) catalogue.Param {
		return catalogue.Param{Name: name, Type: &t, Optional: true}
	}
	return []*catalogue.Func{
		entry("path", "An outline drawn from a start by steps, line(p) and arc(p, …), either way round. It closes by itself with a line; a last point on the start adds none.", outline, path,
			"path((0 m, 0 m), line((4 m, 0 m)), arc((4 m, 2 m), radius: 1 m, turn: \"left\"), line((0 m, 2 m))).area", "9.571 m^2",
			param("start", place, ""), catalogue.Param{Name: "steps", Type: &step, Whole: true}),
		entry("line", "A straight step of a path to a point.", step, func(a []value.Column) (value.Column, error) {
			p, err := point(a[0])
			return value.Objs(shapes.LineTo(p)), err
		}, "line((40 mm, 0 mm))", "line to (40 mm, 0 mm)", param("p", place, "")),
		entry("arc", "A step of a path to a point along a circle: about a centre, or with a radius by at most half a turn, turning left or right; through another point; or tangent, going on smoothly from the step before. Exactly one of them is given.", step, arc,
			"arc((0 mm, 40 mm), centre: (0 mm, 0 mm), turn: \"left\")", "arc to (0 mm, 40 mm), turning left about (0 mm, 0 mm)",
			param("p", place, ""), some("centre", place), some("turn", text), some("radius", length), some("through", place), some("tangent", truthOf)),
	}
}

func point(a value.Column) (value.Place, error) {
	p, ok := a.Obj[0].(value.Place)
	if !ok {
		return value.Place{}, errors.New("There is no point here.")
	}
	return p, nil
}

func path(a []value.Column) (value.Column, error) {
	start, err := point(a[0])
	if err != nil {
		return value.Column{}, err
	}
	steps := make([]shapes.Step, 0, len(a[1].Obj))
	for _, x := range a[1].Obj {
		s, ok := x.(shapes.Step)
		if !ok {
			return value.Column{}, errors.New("There is no step here.")
		}
		steps = append(steps, s)
	}
	return made(shapes.Path(start, steps))
}

// arc makes a step of the point, centre, turn, radius, through and tangent that it is given.
func arc(a []value.Column) (value.Column, error) {
	p, err := point(a[0])
	if err != nil {
		return value.Column{}, err
	}
	const centre, turn, radius, through, tangent = 1, 2, 3, 4, 5
	var ways []int
	for _, k := range []int{centre, radius, through, tangent} {
		if a[k].Len() > 0 && (k != tangent || num(a[k]) != 0) {
			ways = append(ways, k)
		}
	}
	if len(ways) != 1 {
		return value.Column{}, errors.New("An arc is given by exactly one of centre, radius, through and tangent: yes.")
	}
	way, side := ways[0], ""
	if a[turn].Len() > 0 {
		side = a[turn].Text[0]
	}
	if side != "" && (way == through || way == tangent) {
		return value.Column{}, errors.New("An arc through a point, and a tangent one, turn as they must. Leave turn out.")
	}
	var q value.Place
	if way == centre || way == through {
		if q, err = point(a[way]); err != nil {
			return value.Column{}, err
		}
	}
	var s shapes.Step
	switch way {
	case centre:
		s, err = shapes.ArcAbout(p, q, side)
	case radius:
		s, err = shapes.ArcOfRadius(p, num(a[radius]), side)
	case through:
		s = shapes.ArcThrough(p, q)
	default:
		s = shapes.ArcTangent(p)
	}
	return value.Objs(s), err
}
