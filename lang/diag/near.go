package diag

import (
	"sort"
	"strings"
)

// Near gives the names closest to a misspelt one, at most three, the nearest first. Distance is optimal string
// alignment: swapped neighbours count as one slip, which is the commonest. Letters that differ by case alone count
// little.
func Near(name string, names []string) []string {
	type candidate struct {
		name string
		dist int
	}
	lower := strings.ToLower(name)
	limit := max(1, len([]rune(name))/3)
	var list []candidate
	seen := map[string]bool{}
	for _, n := range names {
		if n == name || seen[n] {
			continue
		}
		seen[n] = true
		if d := distance([]rune(lower), []rune(strings.ToLower(n))); d <= limit {
			list = append(list, candidate{n, d})
		}
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].dist != list[j].dist {
			return list[i].dist < list[j].dist
		}
		return list[i].name < list[j].name
	})
	var out []string
	for i, c := range list {
		if i == 3 || c.dist > list[0].dist {
			break
		}
		out = append(out, c.name)
	}
	return out
}

func distance(a, b []rune) int {
	if len(a)-len(b) > 8 || len(b)-len(a) > 8 {
		return 99
	}
	prev2 := make([]int, len(b)+1)
	prev := make([]int, len(b)+1)
	cur := make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], prev2[j-2]+1)
			}
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(b)]
}

// Or joins names for "did you mean a, b or c?".
func Or(names []string) string {
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// DidYouMean makes the question, or nothing where no name is near.
func DidYouMean(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return "Did you mean " + Or(names) + "?"
}
