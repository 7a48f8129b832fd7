package syntax

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"castwright/lang/diag"
)

// FuzzLex scans any bytes: tokens stand in order, none is empty, and only blanks stand between them; what a refused
// token covers is told with it.
func FuzzLex(f *testing.F) {
	for _, s := range []string{
		"x = 3 mm # note\n", "\"a {x [1 kg]} b\"", "2027-03-01T14:30", "5'-3 1/2\"", "1,000.5", "±s +/-s ≤", "“a”", "\xff\xfe", "\ufeff", "\r\r\n", "½ m³⁻¹", "\"{\"", "1_000e+3",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		at, bad := 0, false
		if strings.HasPrefix(text, "\ufeff") {
			at = 3
		}
		for _, k := range scan(&diag.Source{Text: text}, nil) {
			assert.LessOrEqual(t, at, k.from)
			assert.Less(t, k.from, k.to)
			assert.LessOrEqual(t, k.to, len(text))
			assert.Equal(t, k.typ == tBad, k.bad != nil)
			if !bad && k.typ != tBad {
				between := strings.ReplaceAll(text[at:k.from], "\r\n", "")
				assert.Equal(t, -1, strings.IndexFunc(strings.TrimSuffix(between, "\r"), func(r rune) bool { return r != '\t' && !unicode.Is(unicode.Zs, r) }))
			}
			bad = k.typ == tBad // it may cover the rest of its line
			at = k.to
			if k.typ != tBad {
				assert.True(t, utf8.ValidString(text[k.from:k.to]))
			}
		}
	})
}
