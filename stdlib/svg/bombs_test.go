package svg_test

import (
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/stdlib/svg"
)

// doubled are groups that each use the one before twice.
func doubled(levels int) string {
	var b strings.Builder
	b.WriteString(paper + `<defs><path id="a0"/>`)
	for i := range levels {
		fmt.Fprintf(&b, `<g id="a%d"><use href="#a%d"/><use href="#a%d" x="1"/></g>`, i+1, i, i)
	}
	fmt.Fprintf(&b, `</defs><use id="all" href="#a%d"/></svg>`, levels)
	return b.String()
}

// chained are uses that each use the one before.
func chained(n int) string {
	var b strings.Builder
	b.WriteString(paper + `<rect id="a0" width="1" height="1"/>`)
	for i := range n {
		fmt.Fprintf(&b, `<use id="a%d" href="#a%d"/>`, i+1, i)
	}
	return b.String() + "</svg>"
}

// rings are n circles about one middle, each a path of two arcs in data, or an element.
func rings(n int, one func(r float64) string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(one(float64(i+1) / 50))
	}
	return b.String()
}

// waves are lines that all reach over each other's boxes.
func waves(n int) string {
	var b strings.Builder
	fmt.Fprintf(&b, `%s<path id="all" d="M0 400`, paper)
	for i := range n {
		x := 600 * float64(i) / float64(n)
		fmt.Fprintf(&b, "L%.5f %d", x, 399*(i%2))
	}
	return b.String() + `L600 400z"/></svg>`
}

const mebibyte = 1 << 20

// A drawing that would grow, or take long, ends: with a message that says the limit, or with its outline. Memory is bounded; the
// limits count, and do not look at a clock.
func TestBombs(t *testing.T) {
	entities := `<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">` + func() string {
		var b strings.Builder
		for c := 'b'; c < 'k'; c++ {
			fmt.Fprintf(&b, `<!ENTITY %c "%s">`, c, strings.Repeat(fmt.Sprintf("&%c;", c-1), 10))
		}
		return b.String()
	}() + `]><svg><text>&j;</text></svg>`
	long := strings.Repeat(" ", 12*mebibyte)
	for _, c := range []struct {
		name, text, id, want string
	}{
		{"entities in entities", entities, "", "document type of its own"},
		{"a file that is too large", strings.Repeat(" ", svg.MaxBytes) + "<svg/>", "", "larger than 16 MiB"},
		{"elements in elements", strings.Repeat("<g>", 4*mebibyte), "", "first element"},
		{"groups in groups", "<svg>" + strings.Repeat("<g>", 4*mebibyte), "", "nest more than 200 deep"},
		{"groups of others in groups", "<svg>" + strings.Repeat(`<x xmlns="u">`, mebibyte), "", "nest more than 200 deep"},
		{"elements without end", "<svg>" + strings.Repeat("<g/>", 3*mebibyte), "", "more than 200000 elements"},
		{"attributes without end", "<svg " + strings.Repeat(`a="" `, 3*mebibyte) + "/>", "", "more than 500 attributes"},
		{"attributes behind a comment", "<!-- '<a -->\n<svg>\n<![CDATA[<a ']]><g " + strings.Repeat(`a="" `, 501) + "/></svg>", "", "in line 3"},
		{"names of the document type", "<!DOCTYPE svg " + strings.Repeat("<", 15*mebibyte), "", "not well-formed"},
		{"a name without end", "<" + strings.Repeat("a", 15*mebibyte), "", "not well-formed"},
		{"uses that double", doubled(40), "all", "more than 200000 shapes"},
		{"uses of uses", chained(10_000), "a10000", "nests more than 200 deep"},
		{"uses of a long text", paper + `<path id="a" d="M0 0` + long + `"/><g id="all">` + strings.Repeat(`<use href="#a"/>`, 10_000) + "</g></svg>", "all", "more than 64 MiB"},
		{"ids without end", on(rings(100_000, func(r float64) string { return fmt.Sprintf(`<circle id="%g"/>`, r) })), "seat", "and 99988 more"},
		{"a long id", on(`<circle id="` + strings.Repeat("a", 12*mebibyte) + `"/>`), "seat", "aaa…"},
		{"commands without end", on(`<path d="M0 0` + strings.Repeat("h1", 6*mebibyte) + `"/>`), "", "more than 100000 lines and curves"},
		{"points without end", on(`<polygon points="` + strings.Repeat("1 ", 6*mebibyte) + `"/>`), "", "more than 200000 numbers"},
		{"transforms without end", on(`<rect width="1" height="1" transform="` + strings.Repeat("scale(2)", mebibyte) + `"/>`), "", "a number is too large"},
		{"transforms that do nothing", on(`<rect width="1" height="1" transform="` + strings.Repeat("scale(1)", mebibyte) + `"/>`), "", ""},
		{"digits without end", on(`<rect width="` + strings.Repeat("0", 12*mebibyte) + `1" height="1"/>`), "", ""},
		{"a style without end", on(`<rect width="1" height="1" style="` + strings.Repeat("a:b;", 3*mebibyte) + `"/>`), "", ""},
		{"curves without end", on(`<path d="M0 0` + strings.Repeat("c0 5 9 5 9 9 0 5-9-5-9-9", 20_000) + `"/>`), "", "more than 10000 edges"},
		{"a curve of a million metres", on(`<path d="M0 0C1e9 1e9-1e9 1e9 0 0z"/>`), "", ""},
		{"an ellipse that is a needle", on(`<ellipse rx="1e8" ry="1e-8"/>`), "", ""},
		{"rings in a path", on(`<path d="` + rings(1_000, func(r float64) string {
			return fmt.Sprintf("M%g 0A%[1]g %[1]g 0 1 0-%[1]g 0 %[1]g %[1]g 0 1 0 %[1]g 0z", r)
		}) + `"/>`), "", ""},
		{"rings in a group", on(`<g id="all">` + rings(1_000, func(r float64) string { return fmt.Sprintf(`<circle r="%g"/>`, r) }) + `</g>`), "all", ""},
		{"waves", waves(9_900), "all", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.GC()
			runtime.ReadMemStats(&before)
			d, err := svg.Read("bomb.svg", []byte(c.text))
			if err == nil {
				o, r, e := d.Outline(c.id, 0, hundredth)
				if err = e; err == nil {
					assert.False(t, o.IsEmpty())
					assert.False(t, math.IsNaN(r.AreaError))
				}
			}
			runtime.ReadMemStats(&after)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(256*mebibyte), "bytes that were allocated, those given back among them")
			if c.want == "" {
				if err != nil {
					sentence(t, err)
				}
				return
			}
			sentence(t, err)
			require.Contains(t, err.Error(), c.want)
		})
	}
}
