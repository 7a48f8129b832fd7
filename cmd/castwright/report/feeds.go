package report

import (
	"fmt"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/sheets"
)

// mostFed is how many cells are listed that rest on one.
const mostFed = 200

// Feeds lists what rests on a cell, the nearest first, each as far in as it is steps away, and gives how many there are.
func (p *Report) Feeds(j *sheets.Job, from *check.Sheet, c *check.Cell) int {
	type item struct {
		cell  *check.Cell
		depth int
	}
	seen := map[*check.Cell]bool{c: true}
	queue := []item{{c, 0}}
	var found []item
	for len(queue) > 0 {
		it := queue[0]
		queue = queue[1:]
		for _, u := range j.Users(it.cell) {
			if seen[u] {
				continue
			}
			seen[u] = true
			depth := it.depth
			if u.Name != "" || u.Check != nil {
				depth++
				found = append(found, item{u, depth})
			}
			queue = append(queue, item{u, depth})
		}
	}
	var rows [][]string
	for i, it := range found {
		if i == mostFed {
			rows = append(rows, []string{fmt.Sprintf("and %d more", len(found)-i)})
			break
		}
		name, shown := it.cell.Label(from), Shown(j, it.cell)
		if it.cell.Check != nil {
			name = strings.TrimSpace("check " + name)
			if it.cell.Name == "" {
				name += " " + it.cell.Check.Text
			}
			shown = standing(j, it.cell)
		}
		rows = append(rows, []string{strings.Repeat("  ", min(it.depth-1, 20)) + name, shown})
	}
	for _, r := range rows { // a long list of values stands in one line
		if len(r) > 1 && diag.Width(r[1]) > 70 {
			r[1] = string([]rune(r[1])[:69]) + "…"
		}
	}
	Table(p.Out, "", rows)
	return len(found)
}

// standing says in words how the check of a cell stands.
func standing(j *sheets.Job, c *check.Cell) string {
	for _, r := range j.CheckResults(c.Sheet) {
		if r.Check == c.Check && r.State != sheets.Unknown {
			return string(r.State)
		}
	}
	return "not known yet"
}
