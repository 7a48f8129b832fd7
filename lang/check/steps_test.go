package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/lang/value"
)

const stepsSheet = `far = line((4 m, 0 m))
end_round = arc((4 m, 2 m), radius: 1 m, turn: "left")
back = line((0 m, 2 m))
all_steps = (far, end_round, back)
table t
  step = line((x, y))
  wide = if x > y then step else line((3 m, 0 m))
  x [mm] | y [mm] | typed
  400 | 0 | (line((1 m, 0 m)))
  400 | 300 | (arc((1 m, 1 m), tangent: yes))
end
rule doubled(p)
  give line((2 * p.x, 2 * p.y))
end
rule out_to(width [m])
  give line((width, 0 m))
end
`

// A step of a path is a value: a cell, a list, a column and a rule may hold it, and path takes it from there. Figures:
// 8 m² + half a disc of radius 1 m, and half of 0.4 m by 0.3 m.
func TestStepsAreValues(t *testing.T) {
	c := newChecker(t)
	for line, shown := range map[string]string{
		"far": "line to (4000 mm, 0 mm)",
		`arc((4 m, 2 m), centre: (4 m, 1 m), turn: "right")`: "arc to (4000 mm, 2000 mm), turning right about (4000 mm, 1000 mm)",
		"end_round":                                      "arc to (4000 mm, 2000 mm), turning left with radius 1000 mm",
		"arc((4 m, 2 m), through: (5 m, 1 m))":           "arc to (4000 mm, 2000 mm) through (5000 mm, 1000 mm)",
		"arc((4 m, 2 m), tangent: yes)":                  "arc to (4000 mm, 2000 mm), tangent to the step before",
		"path((0 m, 0 m), far, end_round, back).area":    "9.571 m^2",
		"path((0 m, 0 m), all_steps).area":               "9.571 m^2",
		"path(steps: all_steps, start: (0 m, 0 m)).area": "9.571 m^2",
		"path((0 m, 0 m), far, arc((4 m, 2 m), through: (5 m, 1 m), tangent: no), back).area":           "9.571 m^2",
		"path((0 m, 0 m), far, arc((4 m, 2 m), tangent: 2 > 1), back).area":                             "9.571 m^2",
		"path((0 m, 0 m), t.step).area":                                                                 "0.06 m^2",
		"path((0 m, 0 m), line(((400 mm, 0 mm), (400 mm, 300 mm)))).area":                               "0.06 m^2",
		"out_to((400 mm, 200 mm))":                                                                      "(line to (400 mm, 0 mm), line to (200 mm, 0 mm))",
		"path((0 m, 0 m), far, if 2 > 1 then end_round else line((4 m, 2 m)), item(all_steps, 3)).area": "9.571 m^2",
		"t.step":                                "(line to (400 mm, 0 mm), line to (400 mm, 300 mm))",
		"t.wide":                                "(line to (400 mm, 0 mm), line to (400 mm, 300 mm))",
		"t.typed":                               "(line to (1000 mm, 0 mm), arc to (1000 mm, 1000 mm), tangent to the step before)",
		"before(t.step, first: back)":           "(line to (0 mm, 2000 mm), line to (400 mm, 0 mm))",
		"only(t where t.y == 0 mm).step":        "line to (400 mm, 0 mm)",
		"t.step where t.y > 0 mm":               "list(line to (400 mm, 300 mm))",
		"doubled(rectangle(1 m, 2 m).centroid)": "line to (1000 mm, 2000 mm)",
		"count(all_steps)":                      "3",
		"otherwise(far, back)":                  "line to (4000 mm, 0 mm)",
		"path((1 m, 0 m), arc((1 m, 0 m), centre: (0 m, 0 m), turn: \"left\")).area": "3.142 m^2",
	} {
		got, told, state := evaluate(c, stepsSheet, line)
		assert.Equal(t, shown, got, "%s\n%s", line, told)
		assert.Equal(t, value.OK, state, line)
	}
	shown, _, _ := evaluate(c, "system us\n"+stepsSheet, "out_to(6 in)")
	assert.Equal(t, "line to (6 in, 0 in)", shown)
}

func TestStepsRefused(t *testing.T) {
	c := newChecker(t)
	for line, says := range map[string]string{
		"far + 1 m":        "A path step cannot be added.\n  Only path takes steps, as path(",
		"far * 2":          "A path step cannot be multiplied.",
		"-far":             "A minus before a path step means nothing.",
		"far == back":      "A path step cannot be compared.",
		"far.x":            "far is a path step and has no fields.",
		`"{far}"`:          "A path step cannot be put into a text.",
		"far [mm]":         "The bracket shows a length; this is a path step.",
		"sum(all_steps)":   "sum adds numbers; this is a list of path step.",
		"sort(all_steps)":  "this is a list of path step.",
		"running(t.step)":  "running does not work over a path step.",
		"line(3 m)":        "p of line takes a point; 3 m is a length.",
		"grow(far, 1 m)":   "outline of grow takes an outline; far is a path step.",
		"path((0 m, 0 m))": "path needs steps.",
		"path((0 m, 0 m), (1 m, 0 m), (1 m, 1 m))":                                "is a list of point.\n  A straight step to a point p is line(p).",
		"path((0 m, 0 m), far, (1 m, 1 m))":                                       "do not stand side by side here.\n  A straight step to a point p is line(p).",
		"path((0 m, 0 m), far, circle(1 m).centroid)":                             "cannot stand in one list.\n  A straight step to a point p is line(p).",
		"path((0 m, 0 m), far, all_steps)":                                        "Give one list, or single values.",
		"if 2 > 1 then far else (1 m, 1 m)":                                       "be the two branches of one \"if\".\n  A straight step",
		"arc((1 m, 0 m))":                                                         "An arc is given by exactly one of centre, radius, through and tangent: yes.",
		"arc((1 m, 0 m), tangent: no)":                                            "An arc is given by exactly one of",
		"arc((1 m, 0 m), radius: 1 m, through: (2 m, 2 m))":                       "An arc is given by exactly one of",
		"arc((1 m, 0 m), radius: 1 m)":                                            "goes one of two ways round. Write turn: \"left\" or turn: \"right\".",
		"arc((1 m, 0 m), radius: 1 m, turn: \"up\")":                              "An arc turns \"left\" or \"right\"; \"up\" was given.",
		"arc((1 m, 0 m), radius: 0 m, turn: \"left\")":                            "An arc needs a radius above 0; 0 mm was given.",
		"arc((1 m, 0 m), through: (2 m, 2 m), turn: \"left\")":                    "turn as they must. Leave turn out.",
		"arc((1 m, 0 m), center: (2 m, 2 m), turn: \"left\")":                     "arc has no parameter center.\n  Did you mean centre?",
		"path((0 m, 0 m), far, arc((8 m, 0 m), tangent: yes))":                    "Step 2 of the path, an arc to (8000 mm, 0 mm), lies straight ahead",
		"path((0 m, 0 m), line((1 m, 0 m)), line((0 m, 1 m)), line((1 m, 1 m)))":  "The path crosses or touches itself at (500 mm, 500 mm): step 2, a line to (0 mm, 1000 mm), and the line that closes it.",
		"path((0 m, 0 m), arc((1 m, 0 m), centre: (0.4 m, 0 m), turn: \"left\"))": "has its centre (400 mm, 0 mm) at 400 mm from where it begins, but 600 mm from where it ends.",
	} {
		got, told, state := evaluate(c, stepsSheet, line)
		assert.Empty(t, got, line)
		assert.Equal(t, value.Mistake, state, line)
		assert.Contains(t, told, says, line)
	}
}
