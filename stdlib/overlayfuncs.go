package stdlib

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// overlayFuncs are the functions that bring several outlines, or several copies of one, together.
func overlayFuncs() []*catalogue.Func {
	outlines := func(name string) catalogue.Param { return catalogue.Param{Name: name, Type: &outline, Whole: true} }
	asked := func(name, about, line, shown string, result kind.Type, f func(a, b *shapes.Outline) (float64, error)) *catalogue.Func {
		return entry(name, about, result, func(a []value.Column) (value.Column, error) {
			p, err := shape(a[0])
			if err != nil {
				return value.Column{}, err
			}
			q, err := shape(a[1])
			if err != nil {
				return value.Column{}, err
			}
			x, err := f(p, q)
			return value.One(x), err
		}, line, shown, param("a", outline, ""), param("b", outline, ""))
	}
	return []*catalogue.Func{
		entry("join", "What lies in any of the outlines; edges that coincide vanish, and pieces that touch at a point stay apart.", outline,
			func(a []value.Column) (value.Column, error) { return combined(a, shapes.Join) },
			"join(rectangle(2 m, 1 m), move(rectangle(1 m, 1 m), 2 m, 0 m)).area", "3 m^2", outlines("outlines")),
		entry("cut", "What lies in the first outline and in none of the others.", outline,
			func(a []value.Column) (value.Column, error) {
				return combined(a, func(all ...*shapes.Outline) (*shapes.Outline, error) { return shapes.Cut(all[0], all[1:]...) })
			},
			"cut(rectangle(4 m, 3 m), move(circle(1 m), 2 m, 1.5 m)).holes", "1", param("outline", outline, ""), outlines("others")),
		entry("overlap", "What lies in all of the outlines; an outline of area 0 where nothing does.", outline,
			func(a []value.Column) (value.Column, error) { return combined(a, shapes.Overlap) },
			"overlap(circle(1 m), move(circle(1 m), 1 m, 0 m)).area", "1.228 m^2", outlines("outlines")),
		entry("round_corners", "The outline with an arc of a radius in every corner, those that point inwards too.", outline,
			func(a []value.Column) (value.Column, error) {
				o, err := shape(a[0])
				if err != nil {
					return value.Column{}, err
				}
				return made(shapes.RoundCorners(o, num(a[1])))
			}, "round_corners(rectangle(4 m, 3 m), 1 m).perimeter [m]", "12.28 m", param("outline", outline, ""), param("radius", length, "")),
		entry("ring", "Copies of an outline, moved along x by a radius, at even angles round the origin: an assembled layout.", outline,
			func(a []value.Column) (value.Column, error) {
				o, err := shape(a[0])
				if err != nil {
					return value.Column{}, err
				}
				n, err := wholeNumber("count", num(a[1]))
				if err != nil {
					return value.Column{}, err
				}
				return made(shapes.Ring(o, n, num(a[2])))
			}, "ring(circle(200 mm), 6, 1 m).pieces", "6", param("outline", outline, ""), param("count", one, ""), param("radius", length, "")),
		entry("grid", "Copies of an outline side by side, so many across along x and down along y, at a pitch; the pitch down is the same where pitch_down is not given.", outline,
			func(a []value.Column) (value.Column, error) {
				o, err := shape(a[0])
				if err != nil {
					return value.Column{}, err
				}
				across, err := wholeNumber("across", num(a[1]))
				if err != nil {
					return value.Column{}, err
				}
				down, err := wholeNumber("down", num(a[2]))
				if err != nil {
					return value.Column{}, err
				}
				pitchDown := num(a[3])
				if a[4].Len() > 0 {
					pitchDown = num(a[4])
				}
				return made(shapes.Grid(o, across, down, num(a[3]), pitchDown))
			}, "grid(rectangle(300 mm, 300 mm), 4, 3, 305 mm).width", "1215 mm",
			param("outline", outline, ""), param("across", one, ""), param("down", one, ""), param("pitch", length, ""), optional("pitch_down")),
		asked("clearance", "The least distance between two outlines: 0 where they touch or overlap.",
			"clearance(circle(1 m), move(circle(1 m), 3 m, 0 m))", "1000 mm", length, shapes.Clearance),
		asked("fits", "Whether two outlines touch, along an edge or at a point, and do not overlap. For a joint between them, ask for their clearance.",
			"fits(rectangle(2 m, 1 m), move(rectangle(1 m, 1 m), 2 m, 0 m))", "yes", truthOf, func(a, b *shapes.Outline) (float64, error) {
				yes, err := shapes.Fits(a, b)
				if yes {
					return 1, err
				}
				return 0, err
			}),
	}
}

// combined works on one list of outlines, or on one outline and a list.
func combined(a []value.Column, f func(...*shapes.Outline) (*shapes.Outline, error)) (value.Column, error) {
	var all []*shapes.Outline
	for _, c := range a {
		for _, x := range c.Obj {
			o, ok := x.(*shapes.Outline)
			if !ok || o == nil {
				return value.Column{}, errors.New("There is no outline here.")
			}
			all = append(all, o)
		}
	}
	return made(f(all...))
}

// wholeNumber takes a count; others are told apart by the shapes themselves.
func wholeNumber(name string, x float64) (int, error) {
	n := math.Round(x)
	if math.Abs(x-n) > 1e-9 || math.Abs(n) > 1e9 {
		return 0, fmt.Errorf("%s is a whole number; %g was given.", name, x)
	}
	return int(n), nil
}
