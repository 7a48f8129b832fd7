package read

import (
	"bufio"
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"

	"golang.org/x/text/encoding/unicode"
)

// The namespaces of the parts that are read, in the transitional and in the strict form.
var (
	mainSpaces     = []string{"http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://purl.oclc.org/ooxml/spreadsheetml/main"}
	relationSpaces = []string{"http://schemas.openxmlformats.org/package/2006/relationships"}
	typesSpaces    = []string{"http://schemas.openxmlformats.org/package/2006/content-types"}
)

const typesPart = "[Content_Types].xml"

const (
	maxDepth = 100     // elements within elements; SpreadsheetML stays below 20
	maxToken = 4 << 20 // bytes of one tag or one text; a cell has 32,767 characters at most
)

// part reads the XML of one part, element by element.
type part struct {
	name   string
	dec    *xml.Decoder
	src    *source
	root   element
	space  string // the namespace of the root; elements of others are stepped over
	depth  int
	keep   []bool // for each open element whether blanks at the ends of its text count
	closed bool   // the root has ended
	buf    []byte // of the text that is read
}

func (x *part) endless() error { return damaged("the part %s holds a text without end", x.name) }

// element is the start of an element.
type element struct {
	name  string
	attrs []xml.Attr
}

// attr gives an attribute without a namespace, or nothing.
func (e element) attr(name string) string {
	for _, a := range e.attrs {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// link gives the attribute that names a relation.
func (e element) link() string {
	for _, a := range e.attrs {
		if a.Name.Local == "id" && strings.HasSuffix(a.Name.Space, "/relationships") {
			return a.Value
		}
	}
	return ""
}

// yes tells whether an attribute says so.
func (e element) yes(name string) bool {
	v := e.attr(name)
	return v == "1" || v == "true" || v == "on"
}

// source hands bytes to the decoder and stops at a tag or a text that has no end: the decoder itself knows no bound.
type source struct {
	r    *bufio.Reader
	name string
	n    int
}

func (s *source) ReadByte() (byte, error) {
	if s.n++; s.n > maxToken {
		return 0, damaged("the part %s holds a text without end", s.name)
	}
	return s.r.ReadByte()
}

// Read is there for the decoder's sake, which reads byte by byte.
func (s *source) Read(b []byte) (int, error) {
	if len(b) == 0 {
		return 0, nil
	}
	c, err := s.ReadByte()
	if err != nil {
		return 0, err
	}
	b[0] = c
	return 1, nil
}

// each opens a part whose root has a name in one of some namespaces, has its content read, and looks that it is whole.
func (p *pack) each(name, root string, spaces []string, content func(*part) error) error {
	u, err := p.open(name)
	if err != nil {
		return err
	}
	defer u.Close()
	x := newPart(name, u)
	e, space, err := x.start()
	if err != nil {
		return err
	}
	if e.name != root || spaces != nil && !slices.Contains(spaces, space) {
		return damaged("the part %s is not what its place says: it holds %q", name, e.name)
	}
	x.root, x.space = e, space
	if err := content(x); err != nil {
		return err
	}
	return x.finish()
}

func newPart(name string, r io.Reader) *part {
	buf := bufio.NewReaderSize(r, 1<<16)
	wide := false
	if bom, _ := buf.Peek(2); string(bom) == "\xFF\xFE" || string(bom) == "\xFE\xFF" {
		wide = true
		buf = bufio.NewReader(unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Reader(buf))
	}
	x := &part{name: name, src: &source{r: buf, name: name}}
	x.dec = xml.NewDecoder(x.src)
	x.dec.CharsetReader = func(label string, in io.Reader) (io.Reader, error) {
		if wide && strings.EqualFold(label, "utf-16") {
			return in, nil
		}
		return nil, damaged("the part %s is in the encoding %q; UTF-8 and UTF-16 are possible", name, label)
	}
	return x
}

// next gives the next start or end of an element, or text. At the end of the part it gives io.EOF.
func (x *part) next() (xml.Token, error) {
	for {
		x.src.n = 0
		token, err := x.dec.Token()
		if err != nil {
			return nil, x.failure(err)
		}
		switch t := token.(type) {
		case xml.Directive:
			return nil, refuse("its part %s has a document type, which no workbook needs and whose entities are not expanded", x.name)
		case xml.StartElement:
			if x.closed {
				return nil, damaged("the part %s goes on behind its end", x.name)
			}
			if x.depth++; x.depth > maxDepth {
				return nil, damaged("the part %s is nested deeper than %d", x.name, maxDepth)
			}
			x.keep = append(x.keep, x.keeps(t.Attr))
			return token, nil
		case xml.EndElement:
			x.depth--
			x.closed = x.depth == 0
			x.keep = x.keep[:x.depth]
			return token, nil
		case xml.CharData:
			if x.depth == 0 && strings.Trim(string(t), " \t\r\n\ufeff") != "" {
				return nil, damaged("the part %s holds text outside its elements", x.name)
			}
			return token, nil
		}
	}
}

// keeps tells whether blanks count in an element: it says so itself, or the one around it does.
func (x *part) keeps(attrs []xml.Attr) bool {
	for _, a := range attrs {
		if a.Name.Local == "space" && a.Name.Space == "http://www.w3.org/XML/1998/namespace" {
			return a.Value == "preserve"
		}
	}
	return len(x.keep) > 0 && x.keep[len(x.keep)-1]
}

// failure turns what the decoder says into a refusal.
func (x *part) failure(err error) error {
	var r *refusal
	var s *xml.SyntaxError
	switch {
	case errors.As(err, &r):
		return r
	case err == io.EOF && x.depth == 0:
		return io.EOF
	case err == io.EOF, errors.As(err, &s) && strings.Contains(s.Msg, "unexpected EOF"):
		return damaged("the part %s ends too early", x.name)
	case errors.As(err, &s):
		return damaged("the part %s is broken at line %d: %s", x.name, s.Line, s.Msg)
	}
	return damaged("the part %s is broken: %v", x.name, err)
}

// start goes to the root.
func (x *part) start() (element, string, error) {
	for {
		t, err := x.next()
		if err == io.EOF {
			return element{}, "", damaged("the part %s holds nothing", x.name)
		}
		if err != nil {
			return element{}, "", err
		}
		if e, ok := t.(xml.StartElement); ok {
			return element{e.Name.Local, e.Attr}, e.Name.Space, nil
		}
	}
}

// finish reads on to the end of the part, so that a torn one is noticed.
func (x *part) finish() error {
	for {
		if _, err := x.next(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// children reads the element that is open to its end, and calls do for each element in it. What do does not read itself
// is stepped over.
func (x *part) children(do func(element) error) error {
	depth := x.depth
	for {
		t, err := x.token()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			if t.Name.Space == x.space {
				if err := do(element{t.Name.Local, t.Attr}); err != nil {
					return err
				}
			}
			if err := x.upTo(depth); err != nil {
				return err
			}
		}
	}
}

// token is next where the part cannot end.
func (x *part) token() (xml.Token, error) {
	t, err := x.next()
	if err == io.EOF {
		err = damaged("the part %s ends too early", x.name)
	}
	return t, err
}

// upTo reads on until no more elements are open than that.
func (x *part) upTo(depth int) error {
	for x.depth > depth {
		if _, err := x.token(); err != nil {
			return err
		}
	}
	return nil
}

// raw reads the text of the element that is open to its end, as it stands.
func (x *part) raw() (string, error) {
	depth := x.depth
	x.buf = x.buf[:0]
	for x.depth >= depth {
		t, err := x.token()
		if err != nil {
			return "", err
		}
		// Comments may cut a text in pieces.
		if c, ok := t.(xml.CharData); ok && x.depth == depth {
			if x.buf = append(x.buf, c...); len(x.buf) > maxToken {
				return "", x.endless()
			}
		}
	}
	return string(x.buf), nil
}
