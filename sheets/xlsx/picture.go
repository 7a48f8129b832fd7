package xlsx

import (
	"fmt"

	"castwright/lang/check"
	"castwright/lang/kind"
	"castwright/lang/value"
	"castwright/sheets/drawing"
	"castwright/sheets/xlsx/book"
)

// The longer side of a picture, in millimetres as it is drawn, of which half is shown, and the rows that it reaches over.
const (
	pictureSide = 45.0
	pictureRows = 10
)

// picture adds the picture of an outline beside its line.
func (e *exporter) picture(p *page, c *check.Cell, row int) {
	v := e.j.Value(c)
	if c.Type.Form != kind.Outline || len(v.Obj) != 1 {
		return
	}
	shape, ok := v.Obj[0].(value.Drawable)
	if !ok {
		return
	}
	d := drawing.Bare(shape.Drawn(), pictureSide)
	if d == nil {
		return
	}
	data, err := d.PNG(drawing.Resolution)
	if err != nil {
		return
	}
	if n := len(p.out.Pictures); n > 0 {
		row = max(row, p.nextPicture)
	}
	p.nextPicture = row + pictureRows + 1
	p.out.Pictures = append(p.out.Pictures, book.Picture{At: book.Ref(colNote+2, row), PNG: data, Alt: fmt.Sprintf("The outline %s", c.Name), Scale: 0.5})
}
