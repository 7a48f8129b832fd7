package drawing

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// typeface is a font of which letters are measured and drawn, all of them at one size that is then brought to scale.
type typeface struct {
	font   *sfnt.Font
	guard  sync.Mutex // of the buffer
	buffer sfnt.Buffer
}

// perEm is the size at which letters are taken from the font, in the 1/64 of its fixed numbers.
const perEm = 2048

func typefaceOf(data []byte) *typeface {
	f, err := sfnt.Parse(data)
	if err != nil {
		panic(err) // the font is a part of the program
	}
	return &typeface{font: f}
}

var (
	regular  = sync.OnceValue(func() *typeface { return typefaceOf(goregular.TTF) })
	boldFace = sync.OnceValue(func() *typeface { return typefaceOf(gobold.TTF) })
)

func face(bold bool) *typeface {
	if bold {
		return boldFace()
	}
	return regular()
}

// instead gives letters that the font has for those that it lacks.
var instead = map[rune]rune{'⌀': 'Ø'}

// letter is one letter in a run: its curves, in shares of the size, and where it stands.
type letter struct {
	at     float64
	curves sfnt.Segments
}

// letters sets words from the left; the second value is where they end. Both are in shares of the size.
func (f *typeface) letters(words string, curves bool) (out []letter, width float64) {
	f.guard.Lock()
	defer f.guard.Unlock()
	em := fixed.I(perEm)
	last := sfnt.GlyphIndex(0)
	for _, r := range words {
		if other, ok := instead[r]; ok {
			r = other
		}
		i, err := f.font.GlyphIndex(&f.buffer, r)
		if err != nil {
			continue
		}
		if k, err := f.font.Kern(&f.buffer, last, i, em, font.HintingNone); err == nil && last != 0 {
			width += share(k)
		}
		if curves {
			if s, err := f.font.LoadGlyph(&f.buffer, i, em, nil); err == nil {
				out = append(out, letter{width, append(sfnt.Segments(nil), s...)})
			}
		}
		if a, err := f.font.GlyphAdvance(&f.buffer, i, em, font.HintingNone); err == nil {
			width += share(a)
		}
		last = i
	}
	return out, width
}

func share(x fixed.Int26_6) float64 { return float64(x) / 64 / perEm }

// measure is how long words are, by our own font; others are about as wide.
func measure(words string, size float64, bold bool) float64 {
	_, w := face(bold).letters(words, false)
	return w * size
}
