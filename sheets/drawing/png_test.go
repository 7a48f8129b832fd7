package drawing

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/value"
)

// pixel gives the colour of a picture at a place of a shape, in metres of its own.
func pixel(img image.Image, d *Drawing, s shape, x, y float64) color.RGBA {
	px := (s.at.X + x*s.scale) * Resolution
	py := (d.Depth - s.at.Y - y*s.scale) * Resolution
	return color.RGBAModel.Convert(img.At(int(px), int(py))).(color.RGBA)
}

func decoded(t *testing.T, d *Drawing) image.Image {
	data, err := d.PNG(Resolution)
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return img
}

func TestPNG(t *testing.T) {
	d := Lay("Plate", []Figure{figure("plate", plate)}, mm)
	img := decoded(t, d)
	assert.Equal(t, int(d.Width*Resolution), img.Bounds().Dx())
	assert.Equal(t, int(d.Depth*Resolution), img.Bounds().Dy())
	s := d.marks[0].(shape)
	for _, c := range []struct {
		name   string
		x, y   float64 // millimetres on the plate
		colour string
	}{
		{"between the holes", 150, 60, tint},
		{"in the middle hole", 100, 60, white},
		{"in a corner hole", 20, 20, white},
		{"beyond the right side", 203, 60, white},
		{"outside a round corner", 1, 1, white},
		{"inside a round corner", 195, 115, tint},
		{"on the right side", 200, 60, ink},
		{"on the middle hole", 130, 60, ink},
		{"on a round corner", 2.929, 2.929, ink},
	} {
		assert.Equal(t, rgb(c.colour), pixel(img, d, s, c.x/1000, c.y/1000), c.name)
	}
}

// TestPNGWords looks for ink where words stand, lying and upright.
func TestPNGWords(t *testing.T) {
	d := Lay("", []Figure{figure("seat", seat)}, mm)
	img := decoded(t, d)
	for _, w := range texts(d) {
		b, dark, all := w.box(), 0, 0
		for x := int(b.left * Resolution); x < int(b.right*Resolution); x++ {
			for y := int((d.Depth - b.top) * Resolution); y < int((d.Depth-b.bottom)*Resolution); y++ {
				all++
				if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
					dark++
				}
			}
		}
		share := float64(dark) / float64(all)
		assert.True(t, share > 0.05 && share < 0.5, "%s: %.2f", w.words, share)
	}
}

// TestDashes adds up the parts of a dashed line round a corner.
func TestDashes(t *testing.T) {
	points := []value.Place{{}, {X: 10}, {X: 10, Y: 10}}
	got := dashes(points, []float64{4, 2})
	total := 0.0
	for _, d := range got {
		for i := range len(d) - 1 {
			total += d[i+1].X - d[i].X + d[i+1].Y - d[i].Y
		}
	}
	assert.Len(t, got, 4) // 0–4, 6–10, 12–16, 18–20
	assert.InDelta(t, 14, total, 1e-12)
	assert.Equal(t, [][]value.Place{points}, dashes(points, nil))
}
