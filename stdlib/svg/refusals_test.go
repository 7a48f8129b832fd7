package svg_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/stdlib/svg"
)

var update = flag.Bool("update", false, "write the golden files anew")

// refusal is a drawing that cannot be read, or an outline that it does not have.
type refusal struct {
	name, text, id string
	unit           float64
	tolerance      float64 // 0 for a hundredth of a millimetre
}

func on(body string) string { return paper + "\n" + body + "\n</svg>\n" }

var refusals = []refusal{
	{name: "empty", text: ""},
	{name: "no XML", text: "a,b\n1,2\n"},
	{name: "another language", text: "<html>\n<body/></html>"},
	{name: "svg of another namespace", text: `<svg xmlns="urn:other"/>`},
	{name: "UTF-16", text: "\xff\xfe<\x00s\x00"},
	{name: "another encoding", text: "<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>\n<svg/>"},
	{name: "bytes that are no UTF-8", text: on("<text>\xe9</text>")},
	{name: "packed", text: "\x1f\x8b\x08\x00"},
	{name: "cut short", text: paper + "\n<g>\n<rect"},
	{name: "an element that is not closed", text: on("<g>")},
	{name: "an entity that is not declared", text: on("<text>&agrave;</text>")},
	{name: "a declared entity", text: "<?xml version=\"1.0\"?>\n<!DOCTYPE svg [ <!ENTITY a \"x\"> ]>\n<svg/>"},
	{name: "an entity of another file", text: "<!DOCTYPE svg SYSTEM \"a.dtd\" [\n<!ENTITY a SYSTEM \"file:///etc/hostname\">]>\n<svg><text>&a;</text></svg>"},
	{name: "sets in a style sheet", text: on(`<style>.a{fill:red} .b { transform: scale(2) }</style><rect width="1" height="1"/>`)},

	{name: "no such id", text: on(`<rect id="seat" width="1" height="1"/><rect id="leg" width="1" height="1"/>`), id: "saet"},
	{name: "no such id, nor one like it", text: on(`<rect id="seat" width="1" height="1"/><g id="legs"><rect width="1" height="1"/></g>`), id: "board"},
	{name: "two of an id", text: on("<rect id=\"seat\" width=\"1\" height=\"1\"/>\n<rect id=\"seat\" width=\"2\" height=\"1\"/>"), id: "seat"},
	{name: "several shapes", text: on(`<rect id="seat" width="1" height="1"/><circle r="1"/><g id="legs"/>`)},
	{name: "several shapes without an id", text: on(`<rect width="1" height="1"/><circle r="1"/>`)},
	{name: "no shape", text: on(`<text id="t">seat</text><g display="none"><circle r="1"/></g>`)},
	{name: "an empty group", text: on(`<g id="g"><text>seat</text></g>`), id: "g"},
	{name: "a text", text: on(`<text id="t">seat</text>`), id: "t"},
	{name: "a gradient", text: on(`<linearGradient id="l"/>`), id: "l"},
	{name: "a shape in a symbol", text: on(`<symbol><rect id="r" width="1" height="1"/></symbol>`), id: "r"},
	{name: "a shape in a switch", text: on(`<switch><rect id="r" width="1" height="1"/></switch>`), id: "r"},
	{name: "an id of signs", text: on(`<rect width="1" height="1"/>`), id: "a\x1b[31m\nb" + strings.Repeat("long ", 20)},

	{name: "open path", text: on(`<path id="p" d="M10 10h100v50"/>`)},
	{name: "open polyline", text: on(`<polyline points="10,10 110,10 110,60"/>`)},
	{name: "a line", text: on(`<line x1="10" x2="20" y2="5"/>`)},
	{name: "the second of its pieces is open", text: on(`<path d="M10 10h100v50z M200 10h10v10"/>`)},
	{name: "crosses itself", text: on("\n<path id=\"bow\" d=\"M10 10L110 60V10L10 60z\"/>")},
	{name: "a curve that crosses itself", text: on(`<path d="M0 300C250 200-50 100 200 300V390H0z"/>`)},
	{name: "pieces that cross", text: on(`<path d="M10 10h100v50h-100zM50 50h100v50h-100z"/>`)},
	{name: "pieces that lie on each other", text: on(`<path d="M10 10h100v50h-100zM10 10h100v50h-100z"/>`)},
	{name: "pieces that touch", text: on(`<path d="M10 10h100v50h-100zM110 10h100v50h-100z"/>`)},
	{name: "goes back on itself", text: on(`<path d="M10 10h100v50v-20z"/>`)},
	{name: "no area", text: on(`<path d="M10 10h100z"/>`)},
	{name: "no lines", text: on(`<path d="M10 10z"/>`)},
	{name: "no data", text: on(`<path/>`)},
	{name: "one point", text: on(`<polygon points="1 1"/>`)},

	{name: "no move first", text: on(`<path d="L10 10"/>`)},
	{name: "no such command", text: on(`<path d="M10 10 k5 5"/>`)},
	{name: "no command", text: on(`<path d="10 10"/>`)},
	{name: "numbers behind a Z", text: on(`<path d="M10 10h5v5z 7 7"/>`)},
	{name: "a number too few", text: on(`<path d="M10 10 L5 5 6 z"/>`)},
	{name: "a flag that is none", text: on(`<path d="M10 10 A5 5 0 2 1 20 20"/>`)},
	{name: "an odd coordinate", text: on(`<polygon points="1 1 2 2 3"/>`)},
	{name: "no coordinate", text: on(`<polygon points="1 1 2 x"/>`)},
	{name: "a number too large", text: on(`<path d="M10 10 L1e40 5"/>`)},
	{name: "a place too far away", text: on(`<rect width="1e20" height="1"/>`)},
	{name: "numbers that grow too large", text: on(`<g transform="scale(1e30)"><rect width="1e20" height="1"/></g>`)},

	{name: "no width", text: on(`<rect height="5"/>`)},
	{name: "a height below 0", text: on(`<rect width="5" height="-5"/>`)},
	{name: "a radius of 0", text: on(`<circle r="0"/>`)},
	{name: "a radius below 0", text: on(`<rect width="5" height="5" rx="-1"/>`)},
	{name: "a length of the letters", text: on(`<rect width="5em" height="5"/>`)},
	{name: "no length", text: on(`<rect width="wide" height="5"/>`)},
	{name: "a share of nothing", text: `<svg><rect width="50%" height="5"/></svg>`},

	{name: "no such transform", text: on(`<rect width="5" height="5" transform="turn(30)"/>`)},
	{name: "a transform with too few numbers", text: on(`<rect width="5" height="5" transform="matrix(1 2 3)"/>`)},
	{name: "a transform without its bracket", text: on(`<rect width="5" height="5" transform="scale(2"/>`)},
	{name: "a transform without a number", text: on(`<rect width="5" height="5" transform="scale(a)"/>`)},
	{name: "a transform that flattens", text: on(`<rect width="5" height="5" transform="scale(1 0)"/>`)},
	{name: "a transform in a style", text: on(`<rect width="5" height="5" style="fill:red;transform:scale(2)"/>`)},
	{name: "an origin of transforms", text: on(`<rect width="5" height="5" transform="scale(2)" transform-origin="5 5"/>`)},
	{name: "a transform of the drawing", text: `<svg width="1mm" height="1mm" transform="scale(2)"><rect width="5" height="5"/></svg>`},

	{name: "a viewBox of three", text: `<svg viewBox="0 0 5"><rect width="5" height="5"/></svg>`},
	{name: "a viewBox without a size", text: `<svg viewBox="0 0 5 0"><rect width="5" height="5"/></svg>`},
	{name: "a width below 0", text: `<svg width="-5mm"><rect width="5" height="5"/></svg>`},
	{name: "no such fit", text: `<svg width="5mm" height="5mm" viewBox="0 0 5 5" preserveAspectRatio="middle"><rect width="5" height="5"/></svg>`},

	{name: "uses what is not there", text: on(`<use href="#a"/>`)},
	{name: "uses another file", text: on(`<use href="other.svg#a"/>`)},
	{name: "uses nothing", text: on(`<use/>`)},
	{name: "uses itself", text: on(`<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>`), id: "a"},
	{name: "stands in what it uses", text: on(`<g id="a"><rect width="1" height="1"/><use id="u" href="#a"/></g>`), id: "u"},

	{name: "a tolerance of 0", text: on(`<rect width="5" height="5"/>`), tolerance: -1},
	{name: "a tolerance too large", text: on(`<rect width="5" height="5"/>`), tolerance: 1},
	{name: "a unit below 0", text: on(`<rect width="5" height="5"/>`), unit: -1},
}

// read reads an outline, or the error that there is instead.
func (c *refusal) read() error {
	d, err := svg.Read("test.svg", []byte(c.text))
	if err != nil {
		return err
	}
	tolerance := c.tolerance
	if tolerance == 0 {
		tolerance = hundredth
	}
	_, _, err = d.Outline(c.id, c.unit, tolerance)
	return err
}

// sentence checks that a refusal is fit to be shown to a person.
func sentence(t require.TestingT, err error) {
	require.Error(t, err)
	text := err.Error()
	require.True(t, strings.HasSuffix(text, ".") || strings.HasSuffix(text, "?"), "no sentence: %q", text)
	require.False(t, strings.HasSuffix(text, ".."), "%q", text)
	require.False(t, strings.ContainsAny(text, "\n\r\t\x1b\x00\u009b"), "signs that drive a terminal: %q", text)
	require.Less(t, len(text), 1500)
}

// Each refusal is a sentence with its place, told in a golden file.
func TestRefusals(t *testing.T) {
	const path = "testdata/refusals.golden"
	var b strings.Builder
	for _, c := range refusals {
		err := c.read()
		if assert.Error(t, err, c.name) {
			sentence(t, err)
			fmt.Fprintf(&b, "%s\n  %s\n", c.name, err)
		}
	}
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}
