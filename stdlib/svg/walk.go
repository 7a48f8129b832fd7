package svg

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// figure is a shape as it is drawn, its lines in metres.
type figure struct {
	element *element
	paths   []subpath
	evenOdd bool
}

// place is where an element is drawn.
type place struct {
	matrix    matrix
	view      viewport
	evenOdd   bool
	invisible bool
}

// walker gathers the shapes that an element draws.
type walker struct {
	doc      *Document
	figures  []figure
	skipped  map[string]int // by what they are
	clipped  bool
	depth    int
	parts    int
	text     int // bytes of the attributes that were looked at
	segments int
	used     []*element // what is put in by a use, on the way down
}

// gather gives the shapes that an element draws where it stands.
func (d *Document) gather(e *element, s scale) (*walker, error) {
	if d.bad != nil {
		return nil, d.bad
	}
	w := &walker{doc: d, skipped: map[string]int{}}
	if !e.hasGeometry() && !e.isGroup() && e.name != "use" {
		return nil, d.mistake(e, "This is no shape, and no group of shapes.")
	}
	var way []*element
	for p := e.parent; p != nil; p = p.parent {
		way = append(way, p)
	}
	at := place{matrix: s.matrix, view: s.view}
	for _, p := range slices.Backward(way) {
		switch {
		case p.isStore():
			return nil, d.mistake(e, "It stands in a %s, and is drawn only where that is used. Ask for the element that uses it.", p.name)
		case !p.isGroup() && p.name != "defs":
			return nil, d.mistake(e, "It stands in a %s, in which no shapes are read.", p.name)
		}
		var err error
		if at, err = w.inside(p, at, nil); err != nil {
			return nil, err
		}
	}
	at.invisible = false // it is asked for
	if err := w.draw(e, at, true); err != nil {
		return nil, err
	}
	return w, nil
}

// inside gives the place of what an element holds. By is the use that puts it in, nil where it is drawn where it stands.
func (w *walker) inside(e *element, at place, by *element) (place, error) {
	switch {
	case e.shaped != "":
		return at, w.doc.mistake(e, "Its style sets %s, which is read from attributes only. Save the drawing with its properties as attributes.", e.shaped)
	case e.attrs["transform-origin"] != "":
		return at, w.doc.mistake(e, "An origin of transforms is not read. Put it into the transform, as rotate(30 50 50).")
	}
	for _, name := range []string{"clip-path", "mask"} {
		if p := e.attrs[name]; p != "" && p != "none" {
			w.clipped = true
		}
	}
	switch e.attrs["fill-rule"] {
	case "evenodd":
		at.evenOdd = true
	case "nonzero":
		at.evenOdd = false
	}
	switch e.attrs["visibility"] {
	case "hidden", "collapse":
		at.invisible = true
	case "visible":
		at.invisible = false
	}
	if text := e.attrs["transform"]; text != "" {
		if e.name == "svg" {
			return at, w.doc.mistake(e, "It has a transform of its own, which is not read. Put it on a group inside.")
		}
		m, err := transform(text)
		if err == nil && m.a*m.d == m.b*m.c {
			err = errors.New("it leaves nothing of the shape")
		}
		if err != nil {
			return at, w.doc.mistake(e, "Its transform cannot be read: %s.", err)
		}
		at.matrix = at.matrix.of(m)
	}
	if e.name == "symbol" || e.name == "svg" && e != w.doc.root {
		return w.nested(e, at, by)
	}
	return at, nil
}

// nested gives the place of what an svg element inside the drawing holds, or a symbol. The width and height of the use that
// puts it in stand before its own.
func (w *walker) nested(e *element, at place, by *element) (place, error) {
	into := box{w: at.view.w, h: at.view.h}
	own, err := w.doc.lengths(e, at.view, "x", "y")
	if err != nil {
		return at, err
	}
	if e.name == "svg" {
		into.x, into.y = own[0], own[1]
	}
	for _, side := range []struct {
		name string
		to   *float64
	}{{"width", &into.w}, {"height", &into.h}} {
		for _, of := range []*element{e, by} {
			if of == nil || of.name == "symbol" {
				continue
			}
			x, given, err := w.doc.length(of, side.name, *side.to)
			if err != nil {
				return at, err
			}
			if given {
				*side.to = x
			}
		}
	}
	v, boxed, err := readBox(e.attrs["viewBox"])
	if err != nil {
		return at, w.doc.mistake(e, "Its size cannot be read: %s.", err)
	}
	if !boxed {
		at.matrix = at.matrix.of(shift(into.x, into.y))
		at.view = viewport{into.w, into.h}
		return at, nil
	}
	if into.w <= 0 || into.h <= 0 {
		return at, w.doc.mistake(e, "How large it is drawn the drawing does not say. Give it a width and a height.")
	}
	m, err := fit(v, into, e.attrs["preserveAspectRatio"])
	if err != nil {
		return at, w.doc.mistake(e, "Its size cannot be read: %s.", err)
	}
	at.matrix, at.view = at.matrix.of(m), viewport{v.w, v.h}
	return at, nil
}

// draw gathers what an element draws. The one that is asked for is drawn though it be hidden.
func (w *walker) draw(e *element, at place, asked bool) error {
	if e.isSilent() {
		return nil
	}
	if e.hidden() && !asked {
		w.skipped["hidden"]++
		return nil
	}
	if w.depth++; w.depth > mostNested {
		return w.doc.mistake(e, "What uses put in nests more than %d deep here.", mostNested)
	}
	defer func() { w.depth-- }()
	w.parts++
	for _, a := range e.attrs {
		w.text += len(a)
	}
	if w.parts > mostParts || w.text > mostText {
		return w.doc.mistake(e, "With what its uses put in, the drawing holds more than %d shapes, or more than %d MiB.", mostParts, mostText>>20)
	}
	if !e.hasGeometry() && !e.isGroup() && e.name != "use" {
		w.skipped[e.name]++
		return nil
	}
	at, err := w.inside(e, at, nil)
	if err != nil {
		return err
	}
	if asked {
		at.invisible = false
	}
	switch {
	case e.isGroup():
		return w.all(e.children, at)
	case e.name == "use":
		return w.use(e, at)
	case at.invisible:
		w.skipped["hidden"]++
		return nil
	}
	return w.shape(e, at)
}

func (w *walker) all(list []*element, at place) error {
	for _, c := range list {
		if err := w.draw(c, at, false); err != nil {
			return err
		}
	}
	return nil
}

// use draws another element of the file in the place of a use.
func (w *walker) use(e *element, at place) error {
	if e.attrs["href"] == "" {
		return w.doc.mistake(e, "It does not say what it uses. Give it an href, as href=\"#seat\".")
	}
	id, inFile := strings.CutPrefix(strings.TrimSpace(e.attrs["href"]), "#")
	if !inFile {
		return w.doc.mistake(e, "It uses %s, which is not in the drawing, and nothing outside it is read.", quoted(e.attrs["href"]))
	}
	list := w.doc.byID[id]
	if len(list) != 1 {
		return w.doc.mistake(e, "It uses %s; the drawing has %d elements with that id, and exactly one is wanted.", quoted(id), len(list))
	}
	of := list[0]
	if slices.Contains(w.used, of) {
		return w.doc.mistake(e, "It uses %s, which uses it again.", quoted(id))
	}
	w.used = append(w.used, of)
	defer func() { w.used = w.used[:len(w.used)-1] }()
	a, err := w.doc.lengths(e, at.view, "x", "y")
	if err != nil {
		return err
	}
	at.matrix = at.matrix.of(shift(a[0], a[1]))
	if of.name != "symbol" && of.name != "svg" {
		return w.draw(of, at, false)
	}
	if w.depth++; w.depth > mostNested {
		return w.doc.mistake(e, "What uses put in nests more than %d deep here.", mostNested)
	}
	defer func() { w.depth-- }()
	if at, err = w.inside(of, at, e); err != nil {
		return err
	}
	return w.all(of.children, at)
}

// shape takes up one shape.
func (w *walker) shape(e *element, at place) error {
	paths, err := w.doc.geometry(e, at.view, mostPieces-w.segments)
	if err != nil {
		return err
	}
	for i := range paths {
		w.segments += len(paths[i].segments)
		for k, s := range paths[i].segments {
			s = s.mapped(at.matrix)
			for _, p := range []point{s.from, s.to, s.c1, s.c2, s.centre, s.u, s.v} {
				if !finite(p) {
					return w.doc.mistake(e, "It lies nowhere that can be worked with.")
				}
			}
			paths[i].segments[k] = s
		}
	}
	if w.segments > mostPieces {
		return w.doc.mistake(e, "It cannot be read: %s.", tooMany())
	}
	w.figures = append(w.figures, figure{e, paths, at.evenOdd})
	return nil
}

// leftOut lists what was not read, by what it is.
func (w *walker) leftOut() string {
	var out []string
	for name, n := range w.skipped {
		out = append(out, fmt.Sprintf("%d %s", n, shown(name)))
	}
	slices.Sort(out)
	if n := len(out) - mostListed; n > 0 {
		out = append(out[:mostListed], fmt.Sprintf("and %d more kinds", n))
	}
	return strings.Join(out, ", ")
}
