package grid

import (
	"fmt"
	"strings"
)

// Truth reads yes or no, in small or capital letters, with blanks around it.
func Truth(text string) (bool, error) {
	t := strings.TrimSpace(text)
	switch strings.ToLower(t) {
	case "yes":
		return true, nil
	case "no":
		return false, nil
	case "true", "t", "y", "1", "on":
		return false, noTruth(t, "Write yes.")
	case "false", "f", "n", "0", "off":
		return false, noTruth(t, "Write no.")
	}
	return false, noTruth(t, "Write yes or no.")
}

func noTruth(text, wayOut string) error {
	return &Mistake{Text: fmt.Sprintf("\"%s\" is neither yes nor no.", shown(text)), WayOut: wayOut}
}
