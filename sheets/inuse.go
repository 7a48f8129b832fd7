package sheets

import (
	"fmt"
	"sort"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
)

// InUse is why something was not dropped: others rest on it.
type InUse struct{ Users []string }

func (e *InUse) Error() string {
	names := e.Users
	if n := len(names); n > 8 {
		names = append(names[:8:8], fmt.Sprintf("%d more", n-8))
	}
	return fmt.Sprintf("It is in use by %s.", strings.Join(names, ", "))
}

// harmed lists the cells that were sound and are mistakes by a change that the engine has not seen yet, those first that
// name what is gone themselves.
func (j *Job) harmed(effect check.Effect) []string {
	sound := map[string]bool{} // where a name is written twice, both are to be
	for id, c := range j.cells {
		if !effect.Rebuilt {
			break
		}
		if c.ID >= 0 {
			is, seen := sound[c.Path()]
			sound[c.Path()] = j.Engine.Formula(id).Fault == nil && (is || !seen)
		}
	}
	var first, rest []string
	seen := map[string]bool{}
	add := func(c *check.Cell) {
		if c.Fault == nil || c.Name == "" || seen[c.Path()] || !effect.Rebuilt && !j.soundBefore(c) || effect.Rebuilt && !sound[c.Path()] {
			return
		}
		seen[c.Path()] = true
		if c.Root == nil {
			first = append(first, c.Path())
		} else {
			rest = append(rest, c.Path())
		}
	}
	if effect.Rebuilt {
		j.walk(func(s *check.Sheet) {
			for _, c := range s.Cells() {
				add(c)
			}
		})
	} else {
		for _, c := range effect.Checked {
			add(c)
		}
	}
	sort.Strings(first)
	sort.Strings(rest)
	if len(first) > 0 {
		return first
	}
	return rest
}

// soundBefore tells whether the engine still holds a sound formula for a cell.
func (j *Job) soundBefore(c *check.Cell) bool {
	return c.ID >= 0 && j.Engine.Formula(engine.ID(c.ID)).Fault == nil
}
