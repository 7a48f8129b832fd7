package svg_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/stdlib/shapes"
	"castwright/stdlib/svg"
)

// Any text is read to an outline that is sound, or refused by a sentence.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/drawings/*.svg")
	require.NoError(f, err)
	require.NotEmpty(f, files)
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(string(text), "all", 0.0, 1e-4)
	}
	for _, c := range exactCases {
		f.Add(paper+c.element+"</svg>", "", 1e-3, hundredth)
	}
	for _, c := range curveCases {
		f.Add(paper+c.element+"</svg>", "", 0.0, 1e-4)
	}
	for _, c := range refusals {
		if len(c.text) < 10_000 {
			f.Add(c.text, c.id, c.unit, c.tolerance)
		}
	}
	f.Fuzz(func(t *testing.T, text, id string, unit, tolerance float64) {
		if len(text) > 1<<16 {
			return // the limits have tests of their own
		}
		d, err := svg.Read("fuzz.svg", []byte(text))
		if err != nil {
			sentence(t, err)
			return
		}
		o, r, err := d.Outline(id, unit, math.Max(tolerance, hundredth))
		if err != nil {
			sentence(t, err)
			return
		}
		sound(t, o, r)
	})
}

// FuzzPath reads the data of paths, which a text of a whole drawing reaches too seldom.
func FuzzPath(f *testing.F) {
	for _, c := range append(refusals, refusal{text: exactCases[0].element}) {
		if _, d, ok := strings.Cut(c.text, ` d="`); ok {
			data, _, _ := strings.Cut(d, `"`)
			f.Add(data, "rotate(30)")
		}
	}
	for _, c := range exactCases {
		if _, d, ok := strings.Cut(c.element, ` d="`); ok {
			data, _, _ := strings.Cut(d, `"`)
			f.Add(data, "skewX(10) scale(2)")
		}
	}
	for _, c := range curveCases {
		if _, d, ok := strings.Cut(c.element, ` d="`); ok {
			data, _, _ := strings.Cut(d, `"`)
			f.Add(data, "matrix(1 2 3 4 5 6)")
		}
	}
	f.Fuzz(func(t *testing.T, data, transform string) {
		if strings.ContainsAny(data+transform, "<>&\"\x00") || len(data) > 1<<12 || len(transform) > 1<<12 {
			return
		}
		d, err := svg.Read("fuzz.svg", fmt.Appendf(nil, `%s<path transform="%s" d="%s"/></svg>`, paper, transform, data))
		if err != nil {
			sentence(t, err)
			return
		}
		o, r, err := d.Outline("", 0, hundredth)
		if err != nil {
			sentence(t, err)
			return
		}
		sound(t, o, r)
	})
}

// sound checks what holds for every outline: it encloses an area, its loops are closed, and its report fits it.
func sound(t require.TestingT, o *shapes.Outline, r *svg.Report) {
	require.False(t, o.IsEmpty())
	require.Greater(t, o.Area(), 0.0)
	require.False(t, math.IsInf(o.Area(), 0))
	require.Equal(t, o.Area(), r.Area)
	b, err := o.Bounds()
	require.NoError(t, err)
	require.LessOrEqual(t, o.Area(), b.Width()*b.Depth()*(1+1e-9))
	edges := 0
	for _, loop := range o.Loops() {
		for i, e := range loop {
			require.Equal(t, e.To, loop[(i+1)%len(loop)].From)
			edges++
		}
	}
	require.LessOrEqual(t, edges, 20_000)
	require.True(t, r.AreaError >= 0 && !math.IsInf(r.AreaError, 0), "area error %v", r.AreaError)
	require.Equal(t, r.Curves > 0, r.Arcs > 0 || r.AreaError > 0)
	for _, n := range r.Notes() {
		require.False(t, strings.ContainsAny(n, "\n\r\t\x1b\x00"), "%q", n)
	}
	require.NotContains(t, strings.Join(r.Notes(), "")+r.Doubt(), "NaN")
}
