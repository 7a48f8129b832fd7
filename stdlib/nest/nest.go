// Package nest lays outlines out on rectangular sheets: the outlines themselves, not the boxes round them, with a kerf
// between them, a margin along the sheet's edge, and turned as the grain allows. The same parts give the same
// layout however fast the machine is: work is bounded by counting steps. All lengths are in metres, all angles in radians.
package nest

import (
	"fmt"
	"math"

	"castwright/lang/value"
	"castwright/stdlib/shapes"
)

// Part is an outline of one piece and how many of it are wanted.
type Part struct {
	Outline *shapes.Outline
	Count   int
}

// Sheet is what the parts are laid out on.
type Sheet struct {
	Width, Depth float64
	Kerf         float64 // least distance between two parts
	Margin       float64 // least distance from the edge of the sheet
	Grain        bool    // parts keep their direction: they are turned by half a turn or not at all
}

// Placed is one part where it lies: its outline turned left by Angle about the origin and then moved by X and Y, with the
// lower left corner of the sheet on the origin.
type Placed struct {
	Part        int // its number among the parts, from 0
	Angle, X, Y float64
	Outline     *shapes.Outline // as it lies
}

// Layout is where all parts lie.
type Layout struct {
	Sheets [][]Placed
	Used   float64 // share of the area of the sheets that is in the parts
	Least  int     // no layout of these parts needs fewer sheets
	Steps  int     // how much work it was
	Boxed  int     // how many parts were laid out only by the boxes round them, as all else was too much work
	Rough  bool    // whether some parts were held against each other only by the tangents round them
}

// What is worked with at most: parts in all, and edges of one part.
const (
	mostParts = 5_000
	mostEdges = 2_000
)

// work bounds the steps. A step is about as much as a look at one pair of edges.
type work struct {
	holding int // to hold outlines against each other; beyond it the tangents round them stand in
	enough  int // a layout is begun anew, in another order or by another rule, while fewer have been made
	most    int // beyond it the rest is laid out by boxes
}

var usual = work{holding: 60_000_000, enough: 25_000_000, most: 200_000_000}

// Doubt is what a reader should know before relying on the layout, "" where nothing.
func (l *Layout) Doubt() string {
	switch {
	case l.Boxed > 0:
		return fmt.Sprintf("Within the work allowed, of which %d steps are done, %d parts are laid out only by the boxes round them: fewer sheets may do. Nest them in several lots.", l.Steps, l.Boxed)
	case l.Rough:
		return fmt.Sprintf("Within the work allowed, of which %d steps are done, some parts are held apart by the tangents round them and not by their outlines: fewer sheets may do. Nest them in several lots, or simplify them.", l.Steps)
	}
	return ""
}

// Nest lays parts out on as few sheets as it finds. A part that fits on no sheet is refused.
func Nest(parts []Part, on Sheet) (*Layout, error) { return within(usual, parts, on) }

// within is Nest within other bounds of work.
func within(w work, parts []Part, on Sheet) (*Layout, error) {
	if err := on.check(); err != nil {
		return nil, err
	}
	j := newJob(on, w)
	for i, p := range parts {
		if err := j.take(i, p); err != nil {
			return nil, err
		}
	}
	switch {
	case j.count == 0:
		return &Layout{}, nil
	case j.count > mostParts:
		return nil, fmt.Errorf("%d parts are more than are nested at once, %d. Nest them in several lots.", j.count, mostParts)
	}
	j.least = j.fewest()
	return j.layout(j.search())
}

func (s *Sheet) check() error {
	for _, x := range []float64{s.Width, s.Depth, s.Kerf, s.Margin} {
		if !(math.Abs(x) <= 1e6) {
			return fmt.Errorf("A sheet of %s cannot be worked with.", s.Size())
		}
	}
	switch {
	case s.Width < 1e-6 || s.Depth < 1e-6:
		return fmt.Errorf("A sheet has a width and a depth above 0; %s was given.", s.Size())
	case s.Kerf < 0:
		return fmt.Errorf("The kerf is 0 or more; %s was given.", shapes.Millimetres(s.Kerf))
	case s.Margin < 0:
		return fmt.Errorf("The margin is 0 or more; %s was given.", shapes.Millimetres(s.Margin))
	case 2*s.Margin >= math.Min(s.Width, s.Depth):
		return fmt.Errorf("A margin of %s leaves nothing of a sheet of %s.", shapes.Millimetres(s.Margin), s.Size())
	}
	return nil
}

// Size is the width and depth of the sheet, for a reader.
func (s *Sheet) Size() string {
	return shapes.Millimetres(s.Width) + " by " + shapes.Millimetres(s.Depth)
}

// job is what one call works on.
type job struct {
	sheet Sheet
	play  float64 // how far each part is moved in when it is held against others, so that what fits exactly fits
	kinds []*kind
	poses []*pose
	count int // of parts in all
	zones zones
	work  work
	steps int
	least int // sheets
}

// The play and what follows from it, as shares of a unit: the power of ten, in metres, that is not above the longer side
// of the sheet. On sheets of 1 m to 10 m the play is 4 nm, and no part lies more than 50 nm nearer to another than it may.
const (
	playShare  = 4e-9
	roundShare = 1e-7   // places within three plays of a multiple of this are put on it
	slackShare = 2.5e-8 // a layout is proved with all parts moved in by this
)

func newJob(on Sheet, w work) *job {
	return &job{sheet: on, play: playShare * on.unit(), zones: zones{bases: map[[3]int]*shapes.Zone{}, carried: map[[2]int]*shapes.Zone{}}, work: w}
}

func (s *Sheet) unit() float64 {
	return math.Pow(10, math.Floor(math.Log10(math.Max(s.Width, s.Depth))))
}

// limits are the places that the lower left corner of a box may take; ok is false where it does not fit.
func (j *job) limits(width, depth float64) (b shapes.Bounds, ok bool) {
	m := j.sheet.Margin
	b = shapes.Bounds{Left: m, Right: j.sheet.Width - m - width, Bottom: m, Top: j.sheet.Depth - m - depth}
	if b.Right < m-j.play || b.Top < m-j.play {
		return b, false
	}
	b.Right, b.Top = math.Max(b.Right, m), math.Max(b.Top, m)
	return b, true
}

// rounded puts a place that comes very near to a round one on it.
func (j *job) rounded(p value.Place) value.Place {
	step := roundShare * j.sheet.unit()
	round := func(x float64) float64 {
		if r := math.Round(x/step) * step; math.Abs(r-x) <= 3*j.play {
			return r
		}
		return x
	}
	return value.Place{X: round(p.X), Y: round(p.Y)}
}

// layout is what the caller is told of a plan.
func (j *job) layout(p *plan) (*Layout, error) {
	out := &Layout{Least: j.least, Steps: j.steps + j.zones.steps, Boxed: p.boxed, Rough: j.zones.rough}
	area := 0.0
	for _, sheet := range p.sheets {
		var list []Placed
		for _, x := range sheet {
			t, err := x.told()
			if err != nil {
				return nil, err
			}
			list = append(list, t)
			area += t.Outline.Area()
		}
		out.Sheets = append(out.Sheets, list)
	}
	out.Used = area / (float64(len(p.sheets)) * j.sheet.Width * j.sheet.Depth)
	return out, nil
}
