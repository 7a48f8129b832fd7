package shapes

import (
	"encoding/binary"
	"math"
	"testing"

	"castwright/lang/value"
)

// FuzzOverlay makes shapes of bytes, brings them together, and holds areas against each other: whatever the shapes, an
// operation gives areas that add up, or says why it cannot be carried out.
func FuzzOverlay(f *testing.F) {
	f.Add([]byte{0, 10, 0, 0, 0, 0, 1, 20, 30, 5, 5, 0})
	f.Add([]byte{2, 10, 40, 7, 0, 0, 2, 10, 40, 7, 0, 0, 3, 5, 9, 1, 1, 1})
	f.Add([]byte{4, 60, 0, 0, 0, 0, 0, 20, 0, 20, 0, 0, 0, 20, 0, 60, 0, 0})
	f.Add([]byte{1, 8, 8, 0, 0, 0, 1, 8, 8, 8, 0, 0, 1, 8, 8, 8, 8, 0, 1, 8, 8, 4, 4, 3})
	f.Fuzz(func(t *testing.T, data []byte) {
		var all []*Outline
		for ; len(data) >= 6 && len(all) < 12; data = data[6:] {
			if o := fuzzed(data[:6]); o != nil {
				all = append(all, o)
			}
		}
		if len(all) < 2 {
			return
		}
		a, err := Join(all[:len(all)/2]...)
		if err != nil {
			return
		}
		b, err := Join(all[len(all)/2:]...)
		if err != nil {
			return
		}
		union, err1 := Join(a, b)
		common, err2 := Overlap(a, b)
		less, err3 := Cut(a, b)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Skip(err1, err2, err3) // it says so, and gives no outline
		}
		within := 1e-7 * (a.bounds.reach() + b.bounds.reach()) * (a.perimeter + b.perimeter + 1)
		if d := a.Area() + b.Area() - union.Area() - common.Area(); math.Abs(d) > within {
			t.Fatalf("union and overlap differ by %g", d)
		}
		if d := a.Area() - less.Area() - common.Area(); math.Abs(d) > within {
			t.Fatalf("cut and overlap differ by %g", d)
		}
		grown, err := Grow(union, 0.3, Round)
		if err != nil {
			t.Skip(err)
		}
		if grown.Area() < union.Area() {
			t.Fatalf("grown from %g to %g", union.Area(), grown.Area())
		}
	})
}

// fuzzed makes a shape of six bytes: kind, two sizes, place and turn, on a lattice of sixteenths; an odd last byte moves it
// by hardly anything.
func fuzzed(b []byte) *Outline {
	n := func(i int) float64 { return float64(b[i]%128+1) / 16 }
	var o *Outline
	var err error
	switch b[0] % 6 {
	case 0:
		o, err = Circle(n(1))
	case 1:
		o, err = Rectangle(n(1), n(2), 0)
	case 2:
		o, err = Sector(n(1), n(1)+n(2), float64(b[3]%24+1)*math.Pi/12)
	case 3:
		o, err = Slot(n(1)+n(2), n(2))
	case 4:
		o, err = RegularAcross(int(b[2]%9)+3, n(1))
	default:
		o, err = Annulus(n(1), n(1)+n(2))
	}
	if err != nil {
		return nil
	}
	o = must(Turn(o, float64(b[5]/2%24)*math.Pi/12, value.Place{}))
	x, y := float64(int8(b[3]))/16, float64(int8(b[4]))/16
	if b[5]%2 == 1 {
		x += math.Pow(10, -float64(binary.LittleEndian.Uint16(b[3:])%14)-2)
	}
	return must(Move(o, x, y))
}
