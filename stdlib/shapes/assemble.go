package shapes

import "math"

// assemble fills in the bands, the faces, the height and the footprint from what is left, and sets the solid down on the
// ground.
func (s *Solid) assemble(tiers []tier) error {
	for _, t := range tiers {
		if t.left == nil {
			continue
		}
		if t.meet == nil {
			s.bands = append(s.bands, *t.left)
			continue
		}
		empty, err := t.left.isEmpty()
		if err != nil {
			return err
		}
		if !empty {
			s.bands = append(s.bands, *t.left)
		}
	}
	if len(s.bands) == 0 {
		return errNothingLeft
	}
	if low := s.bands[0].from; low != 0 {
		for i, b := range s.bands {
			s.bands[i] = b.raised(-low)
		}
		s.first[2] -= low * s.volume
	}
	last := s.bands[len(s.bands)-1]
	s.bottom, s.top, s.height = s.bands[0].lower, last.upper, last.to
	return s.look()
}

// isEmpty tells whether nothing is left in a band. Its ends lie where outlines touch, so that it is told by what lies
// between.
func (b band) isEmpty() (bool, error) {
	for _, turn := range []float64{0.3, 0.5, 0.8} {
		h, _ := b.along(turn * math.Pi)
		if s, err := b.section(h); err != nil || !s.outline.IsEmpty() {
			return false, err
		}
	}
	return true, nil
}

// look fills in what is seen from above, and the box round it.
func (s *Solid) look() error {
	var loose []band
	for _, b := range s.bands {
		if b.loose {
			s.seen = append(s.seen, b.lower, b.upper)
			loose = append(loose, b)
			continue
		}
		cover, _, err := b.span()
		if err != nil {
			return err
		}
		s.seen = append(s.seen, cover)
	}
	foot, err := covering(s.seen)
	if err != nil {
		return err
	}
	s.seen, s.box = []*Outline{foot}, foot.bounds
	for _, b := range loose {
		cover, _, err := b.span()
		if err != nil {
			return err
		}
		s.doubt = append(s.doubt, cover)
		if s.box, err = b.boxed(s.box, cover.bounds); err != nil {
			return err
		}
	}
	return nil
}

// boxed widens a box to hold a band, which lies within most: to each side where that reaches further, it looks for the
// height at which the sections do.
func (b band) boxed(box, most Bounds) (Bounds, error) {
	var fail error
	at := func(turn float64) Bounds {
		h, _ := b.along(turn)
		s, err := b.section(h)
		if err != nil {
			fail = err
		}
		if err != nil || s.outline.IsEmpty() {
			nowhere := math.Inf(1)
			return Bounds{nowhere, -nowhere, nowhere, -nowhere}
		}
		return s.outline.bounds
	}
	for _, side := range []func(*Bounds) (x *float64, sign float64){
		func(b *Bounds) (*float64, float64) { return &b.Left, -1 },
		func(b *Bounds) (*float64, float64) { return &b.Right, 1 },
		func(b *Bounds) (*float64, float64) { return &b.Bottom, -1 },
		func(b *Bounds) (*float64, float64) { return &b.Top, 1 },
	} {
		have, sign := side(&box)
		if limit, _ := side(&most); sign*(*limit-*have) <= grid*most.reach() {
			continue
		}
		*have = sign * math.Max(sign**have, greatest(0, math.Pi, func(turn float64) float64 {
			there := at(turn)
			x, _ := side(&there)
			return sign * *x
		}))
	}
	return box, fail
}

// greatest is the greatest value of a function between two places: the best of some, made better by dividing its
// neighbourhood in the golden section.
func greatest(a, b float64, f func(float64) float64) float64 {
	const steps = 16
	place := func(i int) float64 { return a + (b-a)*float64(i)/steps }
	best, most := 0, math.Inf(-1)
	for i := range steps + 1 {
		if y := f(place(i)); y > most {
			best, most = i, y
		}
	}
	lo, hi := place(max(best-1, 0)), place(min(best+1, steps))
	golden := (math.Sqrt(5) - 1) / 2
	x, y := hi-golden*(hi-lo), lo+golden*(hi-lo)
	atX, atY := f(x), f(y)
	for range 40 {
		most = math.Max(most, math.Max(atX, atY))
		if atX > atY {
			hi, y, atY = y, x, atX
			x = hi - golden*(hi-lo)
			atX = f(x)
		} else {
			lo, x, atX = x, y, atY
			y = lo + golden*(hi-lo)
			atY = f(y)
		}
	}
	return most
}
