package diag

import (
	"fmt"
	"slices"
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

// few is how many texts are listed where none is near.
const few = 6

// Nearest says which of the texts of a column comes closest to one that it does not hold; where none does and they are few,
// which it holds. Empty texts stand in rows that are open.
func Nearest(text string, held []string) string {
	held = slices.DeleteFunc(slices.Clone(held), func(t string) bool { return t == "" })
	near := slices.DeleteFunc(Near(text, held), func(t string) bool { // of one letter every other is as near
		return distance([]rune(strings.ToLower(text)), []rune(strings.ToLower(t))) >= len([]rune(text))
	})
	if len(near) > 0 {
		return fmt.Sprintf("The nearest is %q.", near[0])
	}
	slices.Sort(held)
	if held = slices.Compact(held); len(held) == 0 || len(held) > few {
		return ""
	}
	return fmt.Sprintf("It holds %s.", and(held))
}

// and joins texts in quotation marks.
func and(list []string) string {
	var quoted []string
	for _, t := range list {
		quoted = append(quoted, fmt.Sprintf("%q", t))
	}
	if n := len(quoted); n > 1 {
		return strings.Join(quoted[:n-1], ", ") + " and " + quoted[n-1]
	}
	return quoted[0]
}
