// Package svg reads outlines from drawings in Scalable Vector Graphics (SVG 1.1, W3C, second edition, 2011; lengths by CSS
// 2.1). Straight lines and circular arcs stay exact; Béziers and ellipses become circular arcs within a stated tolerance, and
// how far that changes the area is worked out in closed form. What is not read is told, never guessed. The y axis of an
// outline points up, and its origin is the lower left corner of the drawing's viewBox.
package svg

import (
	"fmt"
	"slices"
	"strings"

	"castwright/lang/diag"
)

// What a drawing may hold. A file beyond these ends with a message, whatever it would expand to.
const (
	MaxBytes   = 16 << 20
	mostParts  = 200_000 // elements of a file, and shapes and groups drawn when each use is put in
	mostText   = 4 * MaxBytes
	mostNested = 200     // elements in one another, those that a use puts in counted too
	mostPieces = 100_000 // lines and curves of an outline as they are drawn
	mostEdges  = 10_000  // edges of an outline when its curves are arcs
)

// Document is a drawing. It cannot be changed, and may be shared.
type Document struct {
	name string // as it is called in messages
	root *element
	byID map[string][]*element
	bad  error // a style sheet that would change shapes
}

// element is an element of the SVG namespace with the attributes that are read.
type element struct {
	name     string
	id       string
	line     int               // where it begins, from 1
	attrs    map[string]string // with the properties of its style
	shaped   string            // the property of its style that would change where it is drawn
	parent   *element
	children []*element
}

// hasGeometry tells whether an element is a basic shape or a path.
func (e *element) hasGeometry() bool {
	switch e.name {
	case "path", "rect", "circle", "ellipse", "polygon", "polyline", "line":
		return true
	}
	return false
}

// isGroup tells whether an element is drawn by drawing what it holds.
func (e *element) isGroup() bool { return e.name == "g" || e.name == "a" || e.name == "svg" }

// isStore tells whether an element holds things that are not drawn where they stand.
func (e *element) isStore() bool {
	switch e.name {
	case "symbol", "clipPath", "mask", "pattern", "marker", "linearGradient", "radialGradient", "filter":
		return true
	}
	return false
}

// isSilent tells whether an element draws nothing by its nature.
func (e *element) isSilent() bool {
	switch e.name {
	case "defs", "style", "title", "desc", "metadata", "script", "view":
		return true
	}
	return e.isStore()
}

// hidden tells whether an element and what it holds is not drawn.
func (e *element) hidden() bool { return e.attrs["display"] == "none" }

// mistake says what is wrong with an element, with the line of the file.
func (d *Document) mistake(e *element, format string, args ...any) error {
	called := e.name
	if e.id != "" {
		called += " " + quoted(e.id)
	}
	return fmt.Errorf("%s, line %d, %s: %s", d.name, e.line, called, fmt.Sprintf(format, args...))
}

// quoted writes a text of the file so that it can be shown.
func quoted(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:39]) + "…"
	}
	return fmt.Sprintf("%q", s)
}

// chosen gives the element of an id or, where none is asked for, the only shape of the drawing.
func (d *Document) chosen(id string) (*element, error) {
	if id == "" {
		return d.only()
	}
	switch list := d.byID[id]; len(list) {
	case 1:
		return list[0], nil
	case 0:
		names := d.names()
		way := diag.DidYouMean(diag.Near(id, names))
		if way == "" {
			way = listed(names)
		}
		return nil, fmt.Errorf("%s holds no element with the id %s. %s", d.name, quoted(id), way)
	default:
		return nil, fmt.Errorf("%s holds %d elements with the id %s, the first in the lines %d and %d. Give each an id of its own.",
			d.name, len(list), quoted(id), list[0].line, list[1].line)
	}
}

// only gives the shape of a drawing that draws one.
func (d *Document) only() (*element, error) {
	shapes := d.drawn(func(e *element) bool { return e.hasGeometry() || e.name == "use" })
	switch len(shapes) {
	case 1:
		return shapes[0], nil
	case 0:
		return nil, fmt.Errorf("%s draws no shape. Paths, rectangles, circles, ellipses and polygons are read; change texts to paths.", d.name)
	}
	return nil, fmt.Errorf("%s draws %d shapes. Say which by its id; the id of a group takes all that it holds. %s", d.name, len(shapes), listed(d.names()))
}

// drawn lists the elements, of those that are drawn, for which want holds, in the order of the file.
func (d *Document) drawn(want func(*element) bool) []*element {
	var out []*element
	var walk func(e *element)
	walk = func(e *element) {
		if e.hidden() || e.isSilent() {
			return
		}
		if want(e) {
			out = append(out, e)
		}
		for _, c := range e.children {
			walk(c)
		}
	}
	walk(d.root)
	return out
}

// names lists the ids by which a shape or a group can be asked for.
func (d *Document) names() []string {
	var out []string
	for _, e := range d.drawn(func(e *element) bool { return e.id != "" && (e.hasGeometry() || e.isGroup() || e.name == "use") }) {
		if !slices.Contains(out[max(0, len(out)-mostListed):], e.id) {
			out = append(out, e.id)
		}
	}
	return out
}

// mostListed is how many ids a message lists.
const mostListed = 12

func listed(names []string) string {
	if len(names) == 0 {
		return "None of its shapes and groups has an id; give one to what is wanted."
	}
	more := ""
	if n := len(names) - mostListed; n > 0 {
		names, more = names[:mostListed], fmt.Sprintf(" and %d more", n)
	}
	var out []string
	for _, n := range names {
		out = append(out, quoted(n))
	}
	return "It has " + strings.Join(out, ", ") + more + "."
}
