package book

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

// The limits of a worksheet and a workbook (common practice of the programs that read them; the standard sets none for
// most). Lengths count UTF-16 units.
const (
	MaxRows    = 1_048_576
	MaxColumns = 16_384

	maxText      = 32_767
	maxFormula   = 8_192
	maxSheetName = 31
	maxName      = 255
	maxFormat    = 255
	maxList      = 255
	maxPrompt    = 255
	maxRefusal   = 225
	maxIndent    = 15
	maxWidth     = 255
	maxHeight    = 409
)

// length counts a text as the limits do.
func length(s string) int {
	n := 0
	for _, r := range s {
		n += max(1, utf16.RuneLen(r))
	}
	return n
}

// cut shortens a text to a length.
func cut(s string, to int) string {
	n := 0
	for i, r := range s {
		n += max(1, utf16.RuneLen(r))
		if n > to {
			return s[:i]
		}
	}
	return s
}

// Ref writes a place as A1 does; columns and rows count from 1. A place outside a worksheet has no name, and gives "".
func Ref(col, row int) string {
	if col < 1 || row < 1 || col > MaxColumns || row > MaxRows {
		return ""
	}
	return letters(col) + strconv.Itoa(row)
}

func letters(col int) string {
	var s []byte
	for ; col > 0; col = (col - 1) / 26 {
		s = append([]byte{byte('A' + (col-1)%26)}, s...)
	}
	return string(s)
}

// area is a rectangle of cells.
type area struct{ left, top, right, bottom int }

func (a area) meets(b area) bool {
	return a.left <= b.right && b.left <= a.right && a.top <= b.bottom && b.top <= a.bottom
}

var places = regexp.MustCompile(`^([A-Z]{1,3})([1-9][0-9]{0,6})$`)

// place reads a reference such as B5.
func place(ref string) (col, row int, ok bool) {
	m := places.FindStringSubmatch(ref)
	if m == nil {
		return 0, 0, false
	}
	for _, c := range m[1] {
		col = col*26 + int(c-'A') + 1
	}
	row, _ = strconv.Atoi(m[2])
	return col, row, col <= MaxColumns && row <= MaxRows
}

// rectangle reads a reference such as B5 or B5:D9.
func rectangle(ref string) (area, bool) {
	from, to, two := strings.Cut(ref, ":")
	if !two {
		to = from
	}
	l, t, ok := place(from)
	r, b, ok2 := place(to)
	return area{l, t, r, b}, ok && ok2 && l <= r && t <= b
}

// Quote writes the name of a sheet as it stands in a formula, before the exclamation mark.
func Quote(sheet string) string {
	return "'" + strings.ReplaceAll(sheet, "'", "''") + "'"
}

// outside reads a reference with its sheet, such as 'Bench'!$B$5 or 'Bench'!$B$5:$B$9.
func outside(refers string) (sheet string, ok bool) {
	at := strings.LastIndexByte(refers, '!')
	if at < 0 {
		return "", false
	}
	sheet = refers[:at]
	if bare := strings.TrimSuffix(strings.TrimPrefix(sheet, "'"), "'"); Quote(strings.ReplaceAll(bare, "''", "'")) == sheet {
		sheet = strings.ReplaceAll(bare, "''", "'")
	}
	_, ok = rectangle(strings.ReplaceAll(refers[at+1:], "$", ""))
	return sheet, ok
}

// sheetNameProblem says why a name cannot be a sheet's, or nothing.
func sheetNameProblem(name string) string {
	switch {
	case name == "":
		return "is empty"
	case length(name) > maxSheetName:
		return fmt.Sprintf("has more than %d characters", maxSheetName)
	case strings.ContainsAny(name, `:\/?*[]`):
		return `has one of the signs : \ / ? * [ ]`
	case strings.HasPrefix(name, "'") || strings.HasSuffix(name, "'"):
		return "begins or ends with an apostrophe"
	case strings.EqualFold(name, "history"):
		return "is kept back by programs that track changes"
	case strings.TrimSpace(name) != name:
		return "begins or ends with a space"
	}
	return plainProblem(name, maxSheetName, "")
}

// SafeSheetName makes a name that a sheet may have out of any text. Names that are taken already (all in small letters)
// are avoided by a number behind; the name that is given counts as taken from then on.
func SafeSheetName(name string, taken map[string]bool) string {
	name = strings.Map(func(r rune) rune {
		switch {
		case strings.ContainsRune(`:\/?*[]`, r):
			return '-'
		case forbidden(r) || unicode.IsControl(r) || r == unicode.ReplacementChar:
			return ' '
		}
		return r
	}, name)
	edge := func(r rune) bool { return r == '\'' || unicode.IsSpace(r) }
	name = strings.TrimFunc(name, edge)
	if name == "" {
		name = "Sheet"
	}
	if strings.EqualFold(name, "history") {
		name += " -"
	}
	base := name
	for n := 1; ; n++ {
		end := ""
		if n > 1 {
			end = " " + strconv.Itoa(n)
		}
		name = strings.TrimRightFunc(cut(base, maxSheetName-len(end)), edge) + end
		if !taken[strings.ToLower(name)] {
			if taken != nil {
				taken[strings.ToLower(name)] = true
			}
			return name
		}
	}
}

var (
	// Wider than the worksheet, so that a name stays a name in a program with more columns.
	cellLike = regexp.MustCompile(`^[A-Za-z]{1,3}[0-9]+$`)
	// R1C1 and its parts, R and C alone among them.
	rowColumn = regexp.MustCompile(`^[Rr][0-9]*([Cc][0-9]*)?$|^[Cc][0-9]*$`)
)

// nameProblem says why a name cannot be a defined name, or nothing.
func nameProblem(name string) string {
	switch {
	case name == "":
		return "is empty"
	case length(name) > maxName:
		return fmt.Sprintf("has more than %d characters", maxName)
	case cellLike.MatchString(name), rowColumn.MatchString(name):
		return "reads as a cell"
	case strings.EqualFold(name, "true"), strings.EqualFold(name, "false"):
		return "reads as a truth"
	case isFunction(name):
		return "is a function's"
	}
	for i, r := range name {
		if !nameSign(r, i == 0) {
			return fmt.Sprintf("has the sign %q, which a name cannot have there", r)
		}
	}
	return ""
}

// nameSign tells whether a defined name may have a sign, as its first or further on.
func nameSign(r rune, first bool) bool {
	switch {
	case r == '_' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z':
		return true
	case r < 0x80:
		return !first && (r == '.' || r >= '0' && r <= '9')
	}
	return unicode.IsLetter(r) && readable(r)
}

var probe = struct {
	sync.Mutex
	file *excelize.File
	seen map[rune]bool
}{seen: map[rune]bool{}}

// readable tells the letters that programs know in names: those of an older Unicode. The library holds the list, and
// answers no other way than by taking a name.
func readable(r rune) bool {
	probe.Lock()
	defer probe.Unlock()
	ok, seen := probe.seen[r]
	if !seen {
		if probe.file == nil {
			probe.file = excelize.NewFile()
		}
		ok = probe.file.SetDefinedName(&excelize.DefinedName{Name: string(r), RefersTo: "Sheet1!$A$1"}) == nil
		probe.file.WorkBook.DefinedNames = nil
		probe.seen[r] = ok
	}
	return ok
}

// SafeName makes a defined name out of any text: one that no program reads as a cell (A1, R1C1), a truth or a function.
// A name that is safe stays as it is. Two texts may come to one name; the caller sees to that.
func SafeName(name string) string {
	var s strings.Builder
	for i, r := range name {
		if i == 0 && !nameSign(r, true) && nameSign(r, false) {
			s.WriteByte('_')
		}
		if nameSign(r, false) {
			s.WriteRune(r)
		} else {
			s.WriteByte('_')
		}
	}
	name = cut(s.String(), maxName-1)
	if nameProblem(name) != "" {
		name += "_"
	}
	return name
}
