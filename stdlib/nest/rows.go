package nest

import (
	"cmp"
	"slices"

	"castwright/lang/value"
)

// inRows lays pieces out by the boxes round them, in rows from below: hardly any work, and what a layout begins with.
func (j *job) inRows(order []*kind) [][]placed {
	order = slices.Clone(order)
	slices.SortStableFunc(order, func(a, b *kind) int { return cmp.Compare(a.flat().depth, b.flat().depth) })
	slices.Reverse(order) // deep ones first
	var sheets [][]placed
	m := j.sheet.Margin
	x, y, next := m, m, m // where the row goes on, where it lies, and where the next one does
	for _, k := range order {
		p := k.flat()
		if x > m && x+p.width > j.sheet.Width-m+j.play {
			x, y = m, next
		}
		if len(sheets) == 0 || y > m && y+p.depth > j.sheet.Depth-m+j.play {
			sheets = append(sheets, nil)
			x, y, next = m, m, m
		}
		last := len(sheets) - 1
		sheets[last] = append(sheets[last], placed{p, value.Place{X: x, Y: y}})
		x += p.width + j.sheet.Kerf
		next = max(next, y+p.depth+j.sheet.Kerf)
	}
	return sheets
}

// flat is the pose of the least depth.
func (k *kind) flat() *pose {
	return slices.MinFunc(k.poses, func(a, b *pose) int { return cmp.Compare(a.depth, b.depth) })
}
