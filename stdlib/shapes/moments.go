package shapes

import (
	"math"

	"castwright/lang/value"
)

// moments are integrals over a plane figure about some origin: area, ∫x, ∫y, ∫x², ∫y², ∫xy.
type moments struct{ A, X, Y, XX, YY, XY float64 }

func (m *moments) add(n moments) {
	m.A, m.X, m.Y = m.A+n.A, m.X+n.X, m.Y+n.Y
	m.XX, m.YY, m.XY = m.XX+n.XX, m.YY+n.YY, m.XY+n.XY
}

// momentsOf integrates over the inside of closed loops about an origin by Green's theorem: each edge adds the triangle
// between the origin and its chord, and an arc adds the circular segment between chord and arc. With an origin near
// the figure little is lost to cancellation.
func momentsOf(loops [][]Edge, origin value.Place) moments {
	var sum moments
	for _, loop := range loops {
		for _, e := range loop {
			sum.add(chordMoments(sub(e.From, origin), sub(e.To, origin)))
			if e.IsArc() && e.From != e.To {
				sum.add(arcMoments(e, origin))
			}
		}
	}
	return sum
}

// chordMoments integrates over the triangle of the origin, a and b, counted negative where b lies to the right of a.
func chordMoments(a, b value.Place) moments {
	c := cross(a, b)
	return moments{
		A:  c / 2,
		X:  c * (a.X + b.X) / 6,
		Y:  c * (a.Y + b.Y) / 6,
		XX: c * (a.X*a.X + a.X*b.X + b.X*b.X) / 12,
		YY: c * (a.Y*a.Y + a.Y*b.Y + b.Y*b.Y) / 12,
		XY: c * (2*a.X*a.Y + a.X*b.Y + b.X*a.Y + 2*b.X*b.Y) / 24,
	}
}

// arcMoments integrates over the circular segment between an arc and its chord, negative for an arc turning right.
func arcMoments(e Edge, origin value.Place) moments {
	area, mu, uu, vv := segmentMoments(e.Radius, math.Abs(e.Sweep)/2)
	if e.Sweep < 0 {
		area, mu, uu, vv = -area, -mu, -uu, -vv
	}
	m := times(add(sub(e.From, origin), sub(e.To, origin)), 0.5)
	u := e.bulge()
	v := leftOf(u)
	return moments{
		A:  area,
		X:  area*m.X + mu*u.X,
		Y:  area*m.Y + mu*u.Y,
		XX: area*m.X*m.X + 2*m.X*mu*u.X + uu*u.X*u.X + vv*v.X*v.X,
		YY: area*m.Y*m.Y + 2*m.Y*mu*u.Y + uu*u.Y*u.Y + vv*v.Y*v.Y,
		XY: area*m.X*m.Y + mu*(m.X*u.Y+m.Y*u.X) + uu*u.X*u.Y + vv*v.X*v.Y,
	}
}

// segmentMoments gives, for a circular segment of half angle a at the centre, its area and ∫u, ∫u², ∫v², with u from
// the middle of the chord towards the arc and v along the chord. Standard mensuration; the closed forms are those of
// the sector less the triangle.
func segmentMoments(r, a float64) (area, mu, uu, vv float64) {
	if a < 0.5 {
		// The closed forms lose their digits as the difference of nearly equal terms; the integrals over the chord
		// have only positive terms, and this rule is exact to the last digit for so short an arc.
		for i, x := range gaussNode {
			t := a * x
			u := 2 * r * math.Sin((a+t)/2) * math.Sin((a-t)/2)
			v := r * math.Sin(t)
			w := gaussWeight[i] * a * r * math.Cos(t)
			area += w * u
			mu += w * u * u / 2
			uu += w * u * u * u / 3
			vv += w * v * v * u
		}
		return area, mu, uu, vv
	}
	sin, cos := math.Sincos(a)
	r2 := r * r
	area = r2 * (a - sin*cos)
	first := 2.0 / 3 * r2 * r * sin * sin * sin
	c := r * cos
	mu = first - c*area
	uu = r2*r2/4*(a+sin*cos-2*sin*cos*cos*cos) - 2*c*first + c*c*area
	vv = r2 * r2 / 4 * (a - sin*cos - 2.0/3*sin*sin*sin*cos)
	return area, mu, uu, vv
}
