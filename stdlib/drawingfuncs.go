package stdlib

import (
	"errors"

	"castwright/lang/catalogue"
	"castwright/lang/value"
	"castwright/stdlib/svg"
)

// drawingFile is how the file of a drawing is read.
var drawingFile = &catalogue.File{Most: svg.MaxBytes, Read: func(name string, text []byte) (any, error) { return svg.Read(name, text) }}

func drawingFuncs() []*catalogue.Func {
	return []*catalogue.Func{{
		Name: "drawing", Family: "shapes",
		About: "An outline from a drawing in the job's folder, an SVG file, by the id of a shape or group in it; without an id, the only shape of the file. " +
			"A group is all its shapes joined, and a hole is drawn in the same path as what it is cut from. x and y are measured from the lower left corner of the drawing's viewBox, y upwards. " +
			"The file says how large it is; unit, the length of one of its user units, stands before what it says. " +
			"Straight lines and circular arcs are exact; other curves become circular arcs within the tolerance, and why tells by how much the area may be off. " +
			"Shapes that are not closed, or that cross or touch themselves, are refused with their place.",
		Source: "SVG 1.1 (W3C, second edition, 2011): paths, basic shapes, use, transforms, viewBox; lengths by CSS 2.1, 1 px = 1/96 in",
		Holds:  "a drawing that gives its size in mm, cm, in, pt or pc, or unit is given; area within 0.1% of the drawn one; no clip path or mask",
		Params: []catalogue.Param{{Name: "file", Type: &text, File: drawingFile}, param("id", text, `""`), optional("unit"), param("tolerance", length, "0.01 mm")},
		Result: fixed(outline),
		Call:   drawing,
	}}
}

func drawing(a []value.Column) (value.Column, error) {
	d, ok := a[0].Obj[0].(*svg.Document)
	if !ok || d == nil {
		return value.Column{}, errors.New("There is no drawing here.")
	}
	unit := 0.0
	if a[2].Len() > 0 {
		if unit = num(a[2]); !(unit > 0) {
			return value.Column{}, errors.New("unit is the length of a user unit of the drawing, above 0. Write unit: 1 mm.")
		}
	}
	o, report, err := d.Outline(a[1].Text[0], unit, num(a[3]))
	if err != nil {
		return value.Column{}, err
	}
	out := value.Objs(o.WithNotes(report.Notes()...))
	if doubt := report.Doubt(); doubt != "" {
		return out, catalogue.Flag(doubt)
	}
	return out, nil
}
