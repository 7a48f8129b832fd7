package shapes

import (
	"errors"
	"fmt"
	"math"

	"castwright/lang/value"
)

// hollowed is what Hollow makes.
type hollowed struct {
	of         *Solid
	wall, base float64
}

func (h hollowed) same(other recipe) bool {
	g, ok := other.(hollowed)
	return ok && h.wall == g.wall && h.base == g.base && h.of.Equal(g.of)
}

// Hollow makes a vessel, open above, of an extruded solid or of one that is revolved by a full turn. The wall, above 0, is
// measured level; the base is what stays below, 0 for a sleeve that is open below too. An extruded solid is hollowed by
// its outline, shrunk by the wall with sharp corners: upright, or with the same draft; its eased edges stay on the
// outside. In a solid of revolution the inside follows the profile. A wall that leaves nothing inside is refused with
// the most that does.
func Hollow(s *Solid, wall, base float64) (*Solid, error) {
	if err := above0("A hollow solid", "a wall", wall); err != nil {
		return nil, err
	}
	if !finite(base) || base < 0 {
		return nil, fmt.Errorf("The base of a hollow solid is 0 or more; %s was given.", mm(base))
	}
	if base > s.height-leastLength {
		return nil, fmt.Errorf("A base of %s leaves no room inside a solid %s high.", mm(base), mm(s.height))
	}
	if len(s.parts) == 1 {
		switch p := s.parts[0].(type) {
		case layer:
			inside, err := p.inside(wall, base)
			if err != nil {
				return nil, err
			}
			return s.around(inside, wall, base)
		case revolved:
			return p.hollow(s, wall, base)
		}
	}
	return nil, errors.New("Only an extruded or a revolved solid can be hollowed. Hollow the parts of a stack one by one and stack them, or take an inside of your own from it: take(solid, inside, up: base).")
}

// Inside is the solid that Hollow took out, down on the ground: what the vessel holds.
func (s *Solid) Inside() (*Solid, error) {
	if s.inside == nil {
		return nil, errors.New("The solid has no inside: only what hollow makes has one. Ask the hollow part of a stack by itself.")
	}
	return s.inside, nil
}

// around is a solid less an inside that reaches from its base to its top and lies within it all the way.
func (s *Solid) around(inside *Solid, wall, base float64) (*Solid, error) {
	tiers, err := tiersOf(s, inside, base)
	if err != nil {
		return nil, err
	}
	out := &Solid{parts: []recipe{hollowed{s, wall, base}}, inside: inside}
	out.volume = s.volume - inside.volume
	out.surface = s.surface + inside.surface - 2*inside.top.Area()
	if base == 0 {
		out.surface -= 2 * inside.bottom.Area()
	}
	for k := range out.first {
		out.first[k] = s.first[k] - inside.first[k]
	}
	out.first[2] -= base * inside.volume
	return out, out.assemble(tiers)
}

// inside is what is taken out of an extruded solid.
func (l layer) inside(wall, base float64) (*Solid, error) {
	tan := math.Tan(l.easing.Draft)
	if err := l.wallStands(wall, base); err != nil {
		return nil, err
	}
	if l.easing.Draft > 0 {
		in := newInset(l.outline)
		lean := l.height * tan
		if fail := in.fits(wall + lean); fail != nil {
			return nil, fmt.Errorf("A wall of %s is too thick: near %s %s. The most that fits is %s.", mm(wall), at(fail.place), fail.why, mm(math.Max(in.most(wall+lean)-lean, 0)))
		}
		return Extrude(in.section(wall+base*tan), l.height-base, Easing{Draft: l.easing.Draft})
	}
	o, err := Shrink(l.outline, wall, Sharp)
	if err != nil {
		return nil, err
	}
	if o.IsEmpty() {
		return nil, tooThick(wall, func(w float64) bool {
			o, err := Shrink(l.outline, w, Sharp)
			return err == nil && !o.IsEmpty()
		})
	}
	return Extrude(o, l.height-base, Easing{})
}

// wallStands refuses eased edges that reach into the inside.
func (l layer) wallStands(wall, base float64) error {
	size, name := l.easing.size()
	if size == 0 {
		return nil
	}
	tan := math.Tan(l.easing.Draft)
	for _, e := range l.easing.sides(l.height) {
		for _, p := range []value.Place{e.From, e.To} {
			if p.Y < base {
				p = value.Place{X: p.X, Y: base}
				if e.To.Y < base {
					continue
				}
				p.X, _ = newFlank(e).at(height{end: base})
			}
			if in := -p.X - p.Y*tan; in > wall*(1+1e-12) {
				return fmt.Errorf("The %s of %s leaves nothing of a wall of %s: it stands in by %s at the height of %s. Give a thicker wall or a smaller %s.", name, mm(size), mm(wall), mm(in), mm(p.Y), name)
			}
		}
	}
	return nil
}

// tooThick refuses a wall, with the thickness from which nothing is left inside.
func tooThick(wall float64, left func(wall float64) bool) error {
	lo, hi := 0.0, wall
	for range 60 {
		if mid := (lo + hi) / 2; left(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return fmt.Errorf("A wall of %s leaves nothing inside. It must be thinner than %s.", mm(wall), mm(lo))
}

// hollow takes out of a solid of revolution what lies further in than the wall and above the base.
func (r revolved) hollow(s *Solid, wall, base float64) (*Solid, error) {
	if r.angle < 2*math.Pi {
		return nil, errors.New("Only a full turn can be hollowed: the ends of a part turn would be open. Draw its profile with the wall, or take an inside of your own from it.")
	}
	inside, err := r.within(wall, base)
	if err != nil {
		return nil, err
	}
	if inside.IsEmpty() {
		return nil, tooThick(wall, func(w float64) bool {
			o, err := r.within(w, base)
			return err == nil && !o.IsEmpty()
		})
	}
	for _, loop := range inside.loops {
		if b := newOutline([][]Edge{loop}).bounds; loopArea(loop) > 0 && b.Top < s.height-r.profile.tolerance() {
			return nil, fmt.Errorf("With a wall of %s the solid closes over its inside, which ends at the height of %s: a vessel is open above. Give a thinner wall, or cut off its top.", mm(wall), mm(b.Top))
		}
	}
	rest, err := Cut(r.profile, inside)
	if err != nil {
		return nil, err
	}
	out, err := Revolve(rest, r.angle)
	if err != nil {
		return nil, err
	}
	out.parts = []recipe{hollowed{s, wall, base}}
	out.inside, err = Revolve(inside, r.angle)
	return out, err
}

// within is the part of the profile that lies, measured level, further than the wall from its edges, and above the base.
// The profile, mirrored so that the axis is no edge, is cut by the strips that its flanks sweep when they move by the
// wall to both sides.
func (r revolved) within(wall, base float64) (*Outline, error) {
	mirrored, err := Mirror(r.profile, value.Place{}, value.Place{Y: 1})
	if err != nil {
		return nil, err
	}
	both, err := Join(r.profile, mirrored)
	if err != nil {
		return nil, err
	}
	b := both.bounds
	left := boxOutline(Bounds{b.Left - b.Width(), 0, b.Bottom - b.Depth(), b.Top + b.Depth()})
	strips := []*Outline{left}
	if base > 0 {
		strips = append(strips, boxOutline(Bounds{b.Left - b.Width(), b.Right + b.Width(), b.Bottom - b.Depth(), base}))
	}
	for _, f := range both.flanks(both.tolerance()) {
		strips = append(strips, f.swept(wall))
	}
	return Cut(both, strips...)
}

func boxOutline(b Bounds) *Outline {
	return newOutline([][]Edge{closed([]value.Place{{X: b.Left, Y: b.Bottom}, {X: b.Right, Y: b.Bottom}, {X: b.Right, Y: b.Top}, {X: b.Left, Y: b.Top}})})
}

// swept is what the flank passes over when it moves level by a distance to both sides.
func (f flank) swept(by float64) *Outline {
	moved := func(x float64) Edge {
		e, d := f.edge, value.Place{X: x}
		e.From, e.To, e.Centre = add(e.From, d), add(e.To, d), add(e.Centre, d)
		return e
	}
	left, right := moved(-by), moved(by)
	return newOutline([][]Edge{{line(left.From, right.From), right, line(right.To, left.To), left.back()}})
}
