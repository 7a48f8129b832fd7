package xlsx

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"

	"golang.org/x/image/vector"

	"castwright/lang/check"
	"castwright/lang/value"
	"castwright/sheets/xlsx/book"
)

// The size of a picture, in pixels of 1/96 in at half scale, its margin, and the width of its line.
const (
	pictureSide = 360
	pictureEdge = 16
	pictureLine = 3.0
	pictureRows = 10 // rows of a worksheet that it reaches over
)

// picture adds the picture of an outline beside its line.
func (e *exporter) picture(p *page, c *check.Cell, row int) {
	v := e.j.Value(c)
	if len(v.Obj) != 1 {
		return
	}
	shape, ok := v.Obj[0].(value.Drawable)
	if !ok {
		return
	}
	data := drawn(shape.Drawn(math.Pi / 90))
	if data == nil {
		return
	}
	if n := len(p.out.Pictures); n > 0 {
		row = max(row, p.nextPicture)
	}
	p.nextPicture = row + pictureRows + 1
	p.out.Pictures = append(p.out.Pictures, book.Picture{At: book.Ref(colNote+2, row), PNG: data, Alt: fmt.Sprintf("The outline %s", c.Name), Scale: 0.5})
}

// drawn draws loops into a picture: filled lightly, with a dark line round them. It is nil where there is nothing to draw.
func drawn(loops [][]value.Place) []byte {
	left, right, bottom, top := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, l := range loops {
		for _, p := range l {
			left, right, bottom, top = min(left, p.X), max(right, p.X), min(bottom, p.Y), max(top, p.Y)
		}
	}
	size := max(right-left, top-bottom)
	if !(size > 0) || math.IsInf(size, 0) {
		return nil
	}
	scale := (pictureSide - 2*pictureEdge) / size
	wide := int(math.Ceil((right-left)*scale)) + 2*pictureEdge
	high := int(math.Ceil((top-bottom)*scale)) + 2*pictureEdge
	at := func(p value.Place) (float32, float32) {
		return float32((p.X-left)*scale + pictureEdge), float32(float64(high) - (p.Y-bottom)*scale - pictureEdge)
	}
	img := image.NewRGBA(image.Rect(0, 0, wide, high))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	fill := vector.NewRasterizer(wide, high)
	line := vector.NewRasterizer(wide, high)
	for _, l := range loops {
		for i, p := range l {
			x, y := at(p)
			if i == 0 {
				fill.MoveTo(x, y)
			} else {
				fill.LineTo(x, y)
			}
			u, w := at(l[(i+1)%len(l)])
			stroke(line, x, y, u, w)
		}
		fill.ClosePath()
	}
	fill.Draw(img, img.Bounds(), image.NewUniform(color.RGBA{0xED, 0xF1, 0xF5, 0xFF}), image.Point{})
	line.Draw(img, img.Bounds(), image.NewUniform(color.RGBA{0x24, 0x3B, 0x53, 0xFF}), image.Point{})
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil
	}
	return b.Bytes()
}

// stroke adds a piece of line as a thin four-sided figure, always turned the same way, so that figures that lie over each
// other do not take each other out.
func stroke(r *vector.Rasterizer, x, y, u, w float32) {
	length := float32(math.Hypot(float64(u-x), float64(w-y)))
	if length == 0 {
		return
	}
	dx, dy := (u-x)/length*pictureLine/2, (w-y)/length*pictureLine/2
	x, y, u, w = x-dx/2, y-dy/2, u+dx/2, w+dy/2 // a little longer, so that corners close
	r.MoveTo(x-dy, y+dx)
	r.LineTo(u-dy, w+dx)
	r.LineTo(u+dy, w-dx)
	r.LineTo(x+dy, y-dx)
	r.ClosePath()
}
