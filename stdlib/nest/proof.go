package nest

import (
	"castwright/stdlib/shapes"
)

// proved tells whether a plan holds all pieces, each within the margin of its sheet and no two nearer to each other than
// the kerf, by the distances of the outlines as they lie. It rests on nothing that the plan was made by.
func (j *job) proved(p *plan) bool {
	left := map[*kind]int{}
	for _, k := range j.kinds {
		left[k] = k.count
	}
	for _, sheet := range p.sheets {
		tight := make([]*shapes.Outline, len(sheet))
		for i, x := range sheet {
			left[x.pose.kind]--
			var err error
			if tight[i], err = x.lying(x.pose.kind.tight); err != nil || !j.onSheet(x) {
				return false
			}
		}
		if !apart(tight) {
			return false
		}
	}
	for _, n := range left {
		if n != 0 {
			return false
		}
	}
	return true
}

// onSheet tells whether a piece keeps the margin.
func (j *job) onSheet(x placed) bool {
	o, err := x.lying(x.pose.kind.outline)
	if err != nil {
		return false
	}
	b, err := o.Bounds()
	m := j.sheet.Margin - 2*slackShare*j.sheet.unit()
	return err == nil && b.Left >= m && b.Bottom >= m && b.Right <= j.sheet.Width-m && b.Top <= j.sheet.Depth-m
}

// apart tells whether no two outlines touch.
func apart(list []*shapes.Outline) bool {
	boxes := make([]shapes.Bounds, len(list))
	for i, a := range list {
		var err error
		if boxes[i], err = a.Bounds(); err != nil {
			return false
		}
		for k, b := range list[:i] {
			if !overlap(&boxes[i], &boxes[k]) {
				continue
			}
			if gap, err := shapes.Clearance(a, b); err != nil || gap <= 0 {
				return false
			}
		}
	}
	return true
}
