package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode"
)

// The names that elements and attributes are read under.
const (
	namespace = "http://www.w3.org/2000/svg"
	linkSpace = "http://www.w3.org/1999/xlink"
)

// mostAttributes is how many attributes one element may have.
const mostAttributes = 500

// isRead are the attributes that are read.
var isRead = map[string]bool{
	"id": true, "d": true, "points": true, "x": true, "y": true, "x1": true, "y1": true, "x2": true, "y2": true, "width": true,
	"height": true, "cx": true, "cy": true, "r": true, "rx": true, "ry": true, "transform": true, "transform-origin": true,
	"viewBox": true, "preserveAspectRatio": true, "href": true, "style": true, "display": true, "visibility": true,
	"fill-rule": true, "clip-path": true, "mask": true,
}

// isStyle are the properties that are read from a style.
var isStyle = map[string]bool{"display": true, "visibility": true, "fill-rule": true, "clip-path": true, "mask": true}

// Read reads a drawing. It is called name in messages. Nothing outside the text is looked at: no entity is expanded, and no
// link followed that leads out of the drawing.
func Read(name string, text []byte) (*Document, error) {
	refuse := func(format string, args ...any) (*Document, error) {
		return nil, fmt.Errorf("%s %s", name, fmt.Sprintf(format, args...))
	}
	switch {
	case len(text) > MaxBytes:
		return refuse("is larger than %d MiB, the most that a drawing may be. Save the shape alone.", MaxBytes>>20)
	case bytes.HasPrefix(text, []byte{0x1f, 0x8b}):
		return refuse("is packed. Save it as plain SVG.")
	case bytes.HasPrefix(text, []byte{0xff, 0xfe}) || bytes.HasPrefix(text, []byte{0xfe, 0xff}):
		return refuse("is in UTF-16. Save it as UTF-8.")
	}
	if line := crowded(text); line > 0 {
		return refuse("has more than %d attributes in one element, in line %d.", mostAttributes, line)
	}
	r := &reader{doc: &Document{name: name, byID: map[string][]*element{}}}
	r.xml = xml.NewDecoder(bytes.NewReader(text))
	r.xml.CharsetReader = func(label string, in io.Reader) (io.Reader, error) {
		if strings.EqualFold(label, "us-ascii") {
			return in, nil
		}
		return nil, errCharset
	}
	if err := r.all(); err != nil {
		return nil, r.told(err)
	}
	if r.doc.root == nil {
		return refuse("holds no drawing: there is no svg element. Save it as plain SVG.")
	}
	return r.doc, nil
}

var errCharset = errors.New("its encoding is not UTF-8. Save it as UTF-8")

// crowded gives the line of an element that has more attributes than are read, 0 where none has. It is looked for before the
// text is taken apart, since that makes all attributes of an element at once.
func crowded(text []byte) int {
	for at := 0; ; {
		next := bytes.IndexByte(text[at:], '<')
		if next < 0 {
			return 0
		}
		at += next + 1
		rest := text[at:]
		switch {
		case bytes.HasPrefix(rest, []byte("!--")):
			at += past(rest, "-->")
		case bytes.HasPrefix(rest, []byte("![CDATA[")):
			at += past(rest, "]]>")
		default:
			length, values := tag(rest)
			if values > mostAttributes {
				return 1 + bytes.Count(text[:at], []byte{'\n'})
			}
			at += length
		}
	}
}

// past gives the length of a text up to what ends it, and of all of it where that is missing.
func past(text []byte, end string) int {
	if i := bytes.Index(text, []byte(end)); i >= 0 {
		return i + len(end)
	}
	return len(text)
}

// tag gives the length of a tag, and how many values in quotation marks it holds.
func tag(text []byte) (length, values int) {
	quote := byte(0)
	for i, c := range text {
		switch {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '>':
			return i, values
		case c == '"' || c == '\'':
			quote = c
			values++
		}
	}
	return len(text), values
}

// reader makes a document of the tokens of a text.
type reader struct {
	doc      *Document
	xml      *xml.Decoder
	open     *element // the innermost element of SVG that is not closed
	depth    int
	foreign  int // how deep in elements of other namespaces
	elements int
	line     int // where the token begins
}

// limitError is a limit that a file meets.
type limitError struct{ text string }

func (e limitError) Error() string { return e.text }

// told makes a sentence of what the reader of XML says.
func (r *reader) told(err error) error {
	var syntax *xml.SyntaxError
	var limit limitError
	switch {
	case errors.As(err, &limit):
		return fmt.Errorf("%s, line %d: %s", r.doc.name, r.line, limit.text)
	case errors.Is(err, errCharset) || strings.Contains(err.Error(), errCharset.Error()):
		return fmt.Errorf("%s cannot be read: %w.", r.doc.name, errCharset)
	case errors.As(err, &syntax):
		return fmt.Errorf("%s, line %d: This is not well-formed XML: %s. Save the drawing again as plain SVG.", r.doc.name, syntax.Line, shown(syntax.Msg))
	}
	return fmt.Errorf("%s, line %d: This cannot be read: %s. Save the drawing again as plain SVG.", r.doc.name, r.line, shown(err.Error()))
}

// shown makes a text of the file fit to be shown.
func shown(s string) string {
	s = strings.Map(func(c rune) rune {
		if !unicode.IsPrint(c) {
			return '?'
		}
		return c
	}, s)
	if r := []rune(s); len(r) > 100 {
		s = string(r[:99]) + "…"
	}
	return strings.TrimSuffix(s, ".")
}

func (r *reader) all() error {
	for {
		r.line, _ = r.xml.InputPos()
		token, err := r.xml.Token()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		switch t := token.(type) {
		case xml.Directive:
			if bytes.ContainsRune(t, '[') || bytes.Contains(t, []byte("ENTITY")) {
				return limitError{"The file declares a document type of its own, which is not read. Save the drawing as plain SVG."}
			}
		case xml.StartElement:
			if err := r.start(t); err != nil {
				return err
			}
		case xml.EndElement:
			r.depth--
			if r.foreign > 0 {
				r.foreign--
			} else {
				r.open = r.open.parent
			}
		case xml.CharData:
			if r.open != nil && r.foreign == 0 && r.open.name == "style" {
				r.sheet(t)
			}
		}
	}
}

// start takes up an element.
func (r *reader) start(t xml.StartElement) error {
	if r.depth++; r.depth > mostNested {
		return limitError{fmt.Sprintf("Elements nest more than %d deep here.", mostNested)}
	}
	if r.elements++; r.elements > mostParts {
		return limitError{fmt.Sprintf("The file holds more than %d elements. Save the shape alone.", mostParts)}
	}
	if r.foreign > 0 || t.Name.Space != namespace && t.Name.Space != "" {
		if r.depth == 1 {
			return limitError{fmt.Sprintf("The file holds no drawing: its first element is %s. Save it as plain SVG.", quoted(t.Name.Local))}
		}
		r.foreign++
		return nil
	}
	e := &element{name: t.Name.Local, line: r.line, parent: r.open}
	for _, a := range t.Attr {
		plain := a.Name.Space == "" || a.Name.Local == "href" && (a.Name.Space == linkSpace || a.Name.Space == "xlink")
		if !plain || !isRead[a.Name.Local] {
			continue
		}
		if e.attrs == nil {
			e.attrs = map[string]string{}
		}
		if _, twice := e.attrs[a.Name.Local]; !twice || a.Name.Space == "" { // href stands before xlink:href
			e.attrs[a.Name.Local] = a.Value
		}
	}
	e.style()
	if e.id = e.attrs["id"]; e.id != "" {
		r.doc.byID[e.id] = append(r.doc.byID[e.id], e)
	}
	switch {
	case r.open != nil:
		r.open.children = append(r.open.children, e)
	case r.doc.root != nil || e.name != "svg":
		return limitError{fmt.Sprintf("The file holds no drawing: its first element is %s. Save it as plain SVG.", quoted(e.name))}
	default:
		r.doc.root = e
	}
	r.open = e
	return nil
}

// isShaping are the properties that change where something is drawn, and are read from attributes alone.
var isShaping = map[string]bool{"transform": true, "translate": true, "rotate": true, "scale": true, "transform-origin": true, "d": true,
	"x": true, "y": true, "cx": true, "cy": true, "r": true, "rx": true, "ry": true, "width": true, "height": true}

// style takes the properties of a style attribute, which stand before the attributes of their names.
func (e *element) style() {
	for text := e.attrs["style"]; text != ""; {
		one, rest, _ := strings.Cut(text, ";")
		text = rest
		name, value, _ := strings.Cut(one, ":")
		switch name = strings.ToLower(strings.TrimSpace(name)); {
		case isStyle[name]:
			e.attrs[name] = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(value), "!important"))
		case isShaping[name]:
			e.shaped = name
		}
	}
	delete(e.attrs, "style")
}

// shaping finds properties in a style sheet that change where or whether something is drawn.
var shaping = regexp.MustCompile(`(?i)(?:^|[\s;{/])(transform|transform-origin|translate|rotate|scale|d|x|y|cx|cy|r|rx|ry|width|height|display|visibility|fill-rule|clip-path|mask)\s*:`)

// sheet looks through a style sheet: its rules are not read, so none may change a shape.
func (r *reader) sheet(text []byte) {
	if m := shaping.FindSubmatch(text); m != nil && r.doc.bad == nil {
		r.doc.bad = fmt.Errorf("%s, line %d: The style sheet sets %s, and style sheets are not read. Save the drawing with its properties as attributes.", r.doc.name, r.open.line, m[1])
	}
}
