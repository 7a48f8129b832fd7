package sheets

import (
	"strings"

	"castwright/engine"
	"castwright/lang/value"
)

// StateWords says a state in words.
func StateWords(causes []engine.Cause, state value.State) string {
	switch state {
	case value.OK:
		return ""
	case value.Mistake:
		return "mistake"
	}
	var words []string
	seen := map[string]bool{}
	for _, x := range causes {
		w := ""
		switch x.Kind {
		case engine.Waiting:
			w = "open: waits for " + x.Name
		case engine.Assumption:
			w = "assumed: " + x.Name
		case engine.Range:
			w = "outside the range of " + x.Name
		case engine.Substitute:
			w = "second value of otherwise"
		}
		if !seen[w] {
			seen[w] = true
			words = append(words, w)
		}
	}
	return strings.Join(words, "; ")
}
