package stdlib_test

import (
	"math"
	"testing"

	"castwright/lang/value"
)

// Solids as they are written in a sheet: standard mensuration (any engineering handbook, as Marks); the round-over, the
// torus and the cap as printed there.
func TestSolidLines(t *testing.T) {
	figures(t, []figure{
		{"revolve(move(circle(10 mm), 50 mm, 0 mm)).volume / 1 mm^3", 98696.044, 3},
		{"revolve(cut(segment(100 mm, 30 mm), move(rectangle(1 m, 1 m), -1 m, 0 mm))).volume / 1 mm^3", 254469.005, 3},
		{"revolve(polygon((0 mm, 0 mm), (30 mm, 0 mm), (20 mm, 40 mm), (0 mm, 40 mm))).volume / 1 mm^3", 79587.014, 3},
		// A flower trough of 800 by 300 by 350 with walls of 40 and a base of 50: soil and concrete.
		{"hollow(extrude(rectangle(800 mm, 300 mm), 350 mm), 40 mm, 50 mm).inside.volume / 1 L", 0.72 * 0.22 * 0.3 * 1000, 9},
		{"hollow(extrude(rectangle(800 mm, 300 mm), 350 mm), 40 mm, 50 mm).volume / 1 L", (0.8*0.3*0.35 - 0.72*0.22*0.3) * 1000, 9},
		// The same with a hole of 30 mm through the base, which the stack of both must not fill.
		{"take(hollow(extrude(rectangle(800 mm, 300 mm), 350 mm), 40 mm, 50 mm), extrude(move(circle(15 mm), 400 mm, 150 mm), 50 mm)).volume / 1 mm^3",
			(800*300*350 - 720*220*300) - math.Pi*225*50, 3},
		{"take(extrude(circle(30 mm), 20 mm), extrude(circle(20 mm), 20 mm)).volume / 1 mm^3", math.Pi * 500 * 20, 6},
	})
	shows(t, map[string]string{
		"revolve(move(rectangle(100 mm, 75 mm), 50 mm, 0 mm)).centre_of_gravity":                           "x 0 mm, y 0 mm, z 37.5 mm",
		"revolve(cut(circle(100 mm), move(rectangle(1 m, 1 m), -1 m, -500 mm)), 180 deg).box":              "width 200 mm, depth 100 mm, height 200 mm",
		"stack(extrude(circle(1 m), 1 m), extrude(move(circle(1 m), 1 m, 0 m), 1 m)).footprint.area [m^2]": "5.055 m^2",
	})
	refuses(t, map[string]string{
		"revolve(circle(10 mm))":                                     "The profile crosses the axis, x = 0 mm, at (0 mm, 10 mm) and reaches to x = -10 mm.",
		"hollow(extrude(circle(100 mm), 80 mm), 100 mm, 10 mm)":      "It must be thinner than 100 mm.",
		"hollow(extrude(circle(100 mm), 80 mm), 10 mm, 80 mm)":       "A base of 80 mm leaves no room inside a solid 80 mm high.",
		"extrude(circle(100 mm), 80 mm).inside":                      "only what hollow makes has one",
		"take(extrude(circle(1 m), 1 m), extrude(circle(2 m), 1 m))": "Nothing is left of the solid.",
	})
	states(t, value.OK, "take(extrude(circle(1 m), 1 m), extrude(circle(2 m), 1 m), up: 0.5 m)")
}
