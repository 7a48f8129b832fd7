package svg

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A style sheet is not read, so none may say which parts are filled or cut away, however it is written.
func TestStyleSheetsThatShape(t *testing.T) {
	for _, rule := range []string{".a{fill-rule:evenodd}", ".a{clip-path:url(#c)}", ".a{mask:url(#m)}", ".a{DISPLAY:none}", ".a{/* gone */display:none}"} {
		doc, err := Read("d.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm" viewBox="0 0 10 10"><style>`+rule+`</style><rect id="r" width="5" height="5"/></svg>`))
		require.NoError(t, err)
		_, _, err = doc.Outline("r", 0, 1e-5)
		assert.ErrorContains(t, err, "style sheets are not read", rule)
	}
}

// An arc of a radius beyond all measure is its chord: it keeps both of its ends. The pentagon is the square of 100 with a
// corner of 20 by 50 put on: 10 000 + 100 · 20 / 2.
func TestArcsOfAHugeRadius(t *testing.T) {
	doc, err := Read("d.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200"><path id="p" d="M0,0 L100,0 A1e20,1e20 0 0 1 120,50 L100,100 L0,100 Z"/></svg>`))
	require.NoError(t, err)
	o, _, err := doc.Outline("p", 0, 1e-5)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.011, o.Area(), 1e-9)
}
