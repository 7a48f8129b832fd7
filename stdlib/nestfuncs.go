package stdlib

import (
	"errors"
	"fmt"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/stdlib/nest"
	"castwright/stdlib/shapes"
)

// nesting is what nest gives.
var nesting = kind.Type{Form: kind.Record, Fields: []kind.Field{
	{Name: "sheets", Type: one}, {Name: "used", Type: one}, {Name: "least", Type: one}, {Name: "layout", Type: outline.ListOf()},
}}

func nestFuncs() []*catalogue.Func {
	return []*catalogue.Func{{
		Name: "nest", Family: "shapes",
		About: "Parts laid out on rectangular sheets, by their outlines and not by the boxes round them: into hollows, and small parts into the holes of large ones. " +
			"sheet is the width and depth of one, kerf the least distance between two parts, margin that to the edge of the sheet. Parts are turned by quarter turns, from the place in which the box round them is least; " +
			"with a grain, which runs as the parts are drawn, by half a turn at most. None is mirrored. counts says how many of each part are wanted, one where it is left out. " +
			"sheets is how many it takes, used the share of their area that is in the parts, least a number of sheets that no layout goes below, and layout the parts as they lie, an outline for each sheet with its lower left corner on the origin. " +
			"It is no proof that fewer sheets will not do, where sheets is above least. The same parts give the same layout: work is bounded by steps, not by time.",
		Source: "places where two outlines touch: Guibas, Ramshaw and Stolfi, A kinetic framework for computational geometry, 1983, for lines and arcs; least: Martello and Toth, Lower bounds and reduction procedures for the bin packing problem, 1990, over areas",
		Needs:  "parts of one piece each, which fit on a sheet; at most 5000 in all",
		Holds:  "all parts held against each other by their outlines, within the work allowed",
		Params: []catalogue.Param{
			{Name: "parts", Whole: true}, param("sheet", place, ""), param("kerf", length, "0 mm"), param("margin", length, "0 mm"),
			param("grain", truthOf, "no"), {Name: "counts", Type: &one, Whole: true, Optional: true},
		},
		Result:   nested,
		Call:     layOut,
		Examples: []catalogue.Example{{Line: "nest(list(rectangle(600 mm, 400 mm)), (2440 mm, 1220 mm), kerf: 4 mm, counts: 20).sheets", Shown: "2"}},
	}}
}

func nested(args []catalogue.Arg) (kind.Type, error) {
	switch t := args[0].Type; {
	case t.Form == kind.Solid:
		return kind.Type{}, errors.New("parts of nest is a list of outlines; these are solids. Put .footprint behind them for their outlines seen from above.")
	case t.Form != kind.Outline:
		return kind.Type{}, fmt.Errorf("parts of nest is a list of outlines; this is %s.", t.Article())
	}
	return nesting, nil
}

// layOut works on parts, sheet, kerf, margin, grain and counts.
func layOut(a []value.Column) (value.Column, error) {
	parts, err := wanted(a[0], a[5])
	if err != nil {
		return value.Column{}, err
	}
	size, err := point(a[1])
	if err != nil {
		return value.Column{}, err
	}
	on := nest.Sheet{Width: size.X, Depth: size.Y, Kerf: num(a[2]), Margin: num(a[3]), Grain: num(a[4]) != 0}
	l, err := nest.Nest(parts, on)
	if err != nil {
		return value.Column{}, err
	}
	layout := value.Objs()
	for i, sheet := range l.Sheets {
		var all []*shapes.Outline
		for _, x := range sheet {
			all = append(all, x.Outline)
		}
		layout.Obj = append(layout.Obj, shapes.Together(all...).WithNotes(fmt.Sprintf("Sheet %d of %d, %s: %s.", i+1, len(l.Sheets), on.Size(), listed(sheet))))
	}
	out := value.Record(value.One(float64(len(l.Sheets))), value.One(l.Used), value.One(float64(l.Least)), layout)
	if doubt := l.Doubt(); doubt != "" {
		return out, catalogue.Flag(doubt)
	}
	return out, nil
}

// wanted are the parts with their counts.
func wanted(outlines, counts value.Column) ([]nest.Part, error) {
	if counts.Len() > 0 && counts.Len() != outlines.Len() {
		return nil, fmt.Errorf("Parts and counts go in pairs: there are %d parts, and counts for %d.", outlines.Len(), counts.Len())
	}
	var parts []nest.Part
	for i, x := range outlines.Obj {
		o, ok := x.(*shapes.Outline)
		if !ok || o == nil {
			return nil, errors.New("There is no outline here.")
		}
		n := 1
		if counts.Len() > 0 {
			var err error
			if n, err = wholeNumber("Each of counts", counts.Num[i]); err != nil {
				return nil, err
			}
		}
		parts = append(parts, nest.Part{Outline: o, Count: n})
	}
	return parts, nil
}

// listed tells which parts lie on a sheet: "part 1 (7), part 3 (2)".
func listed(sheet []nest.Placed) string {
	counts := map[int]int{}
	most := 0
	for _, x := range sheet {
		counts[x.Part]++
		most = max(most, x.Part)
	}
	var words []string
	for i := range most + 1 {
		if n := counts[i]; n > 0 {
			words = append(words, fmt.Sprintf("part %d (%d)", i+1, n))
		}
	}
	return strings.Join(words, ", ")
}
