package taken

import (
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"castwright/lang/syntax"
)

// legal makes a name of the language of a text; it is empty where the text has no letter.
func legal(text string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFC.String(text) {
		good := unicode.IsLetter(r) || unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Mc, r) || unicode.Is(unicode.Nd, r)
		if !good || b.Len() == 0 && !unicode.IsLetter(r) {
			gap = b.Len() > 0
			continue
		}
		if gap {
			b.WriteByte('_')
			gap = false
		}
		b.WriteRune(r)
		if b.Len() > 60 {
			break
		}
	}
	return b.String()
}

// isOwnWord tells whether a word is one of the language's own, which no cell is given here.
func isOwnWord(name string) bool {
	low := strings.ToLower(name)
	return !syntax.IsName(name) || syntax.IsReserved(low) || syntax.IsStatementWord(low) || syntax.IsSoft(low) || low == "pi" || low == "gravity" || low == "give" || low == "needs"
}

// namer gives names that differ, also without case.
type namer struct {
	used map[string]bool
	next map[string]int // the number that was last put behind a name
}

func newNamer() *namer { return &namer{map[string]bool{}, map[string]int{}} }

func fold(name string) string { return strings.ToLower(norm.NFC.String(name)) }

// free makes a name free of the words of the language, and of the names that any of the namers has given.
func free(name, otherwise string, all ...*namer) string {
	if name == "" {
		name = otherwise
	}
	if isOwnWord(name) {
		name += "_value"
	}
	try := name
	for i := all[0].next[name] + 2; ; i++ {
		ok := true
		for _, n := range all {
			ok = ok && !n.used[fold(try)]
		}
		if ok {
			all[0].used[fold(try)] = true
			all[0].next[name] = max(0, i-3)
			return try
		}
		try = name + "_" + strconv.Itoa(i)
	}
}

// fromLabel makes a name of a label.
func fromLabel(label string) string { return strings.ToLower(legal(label)) }

// says tells whether a label says more than the name made of it.
func says(label, name string) bool {
	return label != "" && strings.ReplaceAll(strings.ToLower(label), " ", "_") != strings.ToLower(name)
}

// oneLine makes a text of one line without signs that a sheet cannot hold, and without blanks at its ends.
func oneLine(s string) string { return strings.TrimSpace(clean(s)) }

// clean puts a blank where a text has line ends or other signs that a sheet cannot hold.
func clean(s string) string {
	bad := func(r rune) bool {
		return r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 || r == 0x2028 || r == 0x2029 || r == 0xfeff
	}
	if strings.IndexFunc(s, bad) < 0 {
		return strings.ToValidUTF8(s, " ")
	}
	return strings.ToValidUTF8(strings.Join(strings.FieldsFunc(s, bad), " "), " ")
}

// quoted writes a text as the language has it.
func quoted(s string) string {
	return `"` + strings.NewReplacer(`"`, `""`, "{", "{{").Replace(clean(s)) + `"`
}
