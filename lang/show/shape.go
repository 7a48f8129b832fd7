package show

import (
	"fmt"

	"castwright/lang/kind"
)

// shape writes an outline or a solid by its size, and a step of a path by its points, in the unit of lengths of its Spec;
// "" where it is none of them.
func shape(s *Spec, o any) string {
	side := *s
	side.Form = kind.Number
	switch o := o.(type) {
	case interface {
		Box() (width, depth, height float64)
	}:
		w, d, h := o.Box()
		return fmt.Sprintf("solid %s by %s, %s high", side.Text(w), side.Text(d), side.Text(h))
	case interface {
		Width() float64
		Depth() float64
	}:
		return fmt.Sprintf("outline %s by %s", side.Text(o.Width()), side.Text(o.Depth()))
	case interface {
		Words(length func(float64) string) string
	}:
		return o.Words(side.Text)
	}
	return ""
}
