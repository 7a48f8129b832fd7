package drawing

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"castwright/lang/value"
)

// SVG writes a drawing as SVG: the size of the paper in mm, arcs as arcs, words as words. What has a size of its own is
// a path in millimetres of its own, y upwards, within a group that brings it to scale; its id is its name. Written again
// it has the same bytes.
func (d *Drawing) SVG() []byte {
	var b bytes.Buffer
	w, h := short(d.Width), short(d.Depth)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" style="background:%s" font-family="sans-serif">`+"\n", w, h, w, h, white)
	if d.Title != "" {
		fmt.Fprintf(&b, "<title>%s</title>\n", escaped(d.Title))
	}
	if d.About != "" {
		fmt.Fprintf(&b, "<desc>%s</desc>\n", escaped(d.About))
	}
	for _, m := range d.marks {
		switch m := m.(type) {
		case shape:
			m.svg(&b, d.Depth)
		case line:
			m.svg(&b, d.Depth)
		case text:
			m.svg(&b, d.Depth)
		}
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

func (s shape) svg(b *bytes.Buffer, depth float64) {
	perMM := s.scale / 1000
	id := ""
	if s.id != "" {
		id = fmt.Sprintf(` id="%s"`, escaped(s.id))
	}
	fmt.Fprintf(b, `<g transform="translate(%s %s) scale(%s %s)">`, short(s.at.X), short(depth-s.at.Y), digits(perMM), digits(-perMM))
	fmt.Fprintf(b, `<path%s d="%s" fill="%s" %s/></g>`+"\n", id, s.path(), paint(s.fill), s.pen.svg(1/perMM))
}

// path writes loops in millimetres, with so many digits that nothing is lost but the noise of the last bits.
func (s shape) path() string {
	e := extent(s.loops)
	reach := 1000 * max(math.Abs(e.left), math.Abs(e.right), math.Abs(e.bottom), math.Abs(e.top))
	decimals := min(max(15-int(math.Ceil(math.Log10(reach))), 0), 20)
	number := func(metres float64) string {
		return trimmed(strconv.FormatFloat(metres*1000, 'f', decimals, 64))
	}
	var b strings.Builder
	for i, l := range s.loops {
		for k, e := range l {
			if k == 0 {
				if i > 0 {
					b.WriteByte(' ')
				}
				fmt.Fprintf(&b, "M %s %s", number(e.From.X), number(e.From.Y))
			}
			if !e.IsArc() {
				if k < len(l)-1 { // the last line is drawn by closing
					fmt.Fprintf(&b, " L %s %s", number(e.To.X), number(e.To.Y))
				}
				continue
			}
			for _, to := range steps(e) {
				turn := 0
				if e.Sweep > 0 {
					turn = 1
				}
				fmt.Fprintf(&b, " A %s %s 0 0 %d %s %s", number(e.Radius), number(e.Radius), turn, number(to.X), number(to.Y))
			}
		}
		b.WriteString(" Z")
	}
	return b.String()
}

// steps gives the ends of the arcs of at most a third of a turn that an arc is written as: of one that turns by about half
// a turn the ends do not tell the centre to more than half of their digits.
func steps(e value.Stroke) []value.Place {
	n := int(math.Ceil(math.Abs(e.Sweep)/(2*math.Pi/3) - 1e-9))
	var out []value.Place
	for k := 1; k < n; k++ {
		out = append(out, e.At(float64(k)/float64(n)))
	}
	return append(out, e.To)
}

func (l line) svg(b *bytes.Buffer, depth float64) {
	var d strings.Builder
	for i, p := range l.points {
		fmt.Fprintf(&d, "%s%s %s", map[bool]string{true: "M ", false: " L "}[i == 0], short(p.X), short(depth-p.Y))
	}
	if l.closed {
		d.WriteString(" Z")
	}
	fmt.Fprintf(b, `<path d="%s" fill="%s" %s/>`+"\n", d.String(), paint(l.fill), l.pen.svg(1))
}

func (t text) svg(b *bytes.Buffer, depth float64) {
	x, y := short(t.at.X), short(depth-t.at.Y)
	more := ""
	if t.align != begin {
		more += fmt.Sprintf(` text-anchor="%s"`, [...]string{middle: "middle", end: "end"}[t.align])
	}
	if t.bold {
		more += ` font-weight="bold"`
	}
	if t.upright {
		more += fmt.Sprintf(` transform="rotate(-90 %s %s)"`, x, y)
	}
	fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" fill="%s"%s>%s</text>`+"\n", x, y, short(t.size), t.colour, more, escaped(t.words))
}

// svg writes a pen whose lengths are made larger by a factor.
func (p pen) svg(factor float64) string {
	if p.width == 0 {
		return `stroke="none"`
	}
	s := fmt.Sprintf(`stroke="%s" stroke-width="%s" stroke-linejoin="round"`, p.colour, digits(p.width*factor))
	if len(p.dash) > 0 {
		var d []string
		for _, x := range p.dash {
			d = append(d, digits(x*factor))
		}
		s += fmt.Sprintf(` stroke-dasharray="%s"`, strings.Join(d, " "))
	}
	return s
}

func paint(colour string) string {
	if colour == "" {
		return "none"
	}
	return colour
}

// short writes a length on paper to a thousandth of a millimetre.
func short(x float64) string { return trimmed(strconv.FormatFloat(x, 'f', 3, 64)) }

// digits writes a factor with twelve digits.
func digits(x float64) string {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// trimmed takes the ending zeros of a decimal away, and the minus of 0.
func trimmed(s string) string {
	if strings.IndexByte(s, '.') >= 0 {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

func escaped(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes all
	return b.String()
}
