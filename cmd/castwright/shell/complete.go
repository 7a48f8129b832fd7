package shell

import (
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"castwright/cmd/castwright/report"
	"castwright/lang/check"
	"castwright/lang/kind"
	"castwright/sheets"
)

// complete gives what can stand in the place of the word before the cursor: commands at the beginning, units behind a number
// and in a bracket, parameters in the bracket of a rule, files behind open and from, names and rules elsewhere.
func (s *Shell) complete(line string, at int) (from int, options []string) {
	line = line[:at]
	from = wordStart(line)
	word, before := line[from:], line[:from]
	if path, ok := s.completePath(line); ok {
		return path.from, path.options
	}
	var all []string
	switch first, _, _ := strings.Cut(strings.TrimLeft(before, " \t"), " "); {
	case inText(before) && !strings.Contains(before[strings.LastIndexByte(before, '"')+1:], "{"):
		return from, nil
	case strings.TrimSpace(before) == "":
		all = append(s.names(word), statementWords...)
		for _, c := range s.commands() {
			all = append(all, c.name)
		}
		all = append(all, s.ruleNames("(")...)
	case first == "help":
		all = s.helpWords()
	case first == "sheet":
		for _, sh := range s.job.Sheets {
			all = append(all, sh.Name)
		}
	case slices.Contains([]string{"show", "why", "feeds", "draw", "drop", "rename"}, first):
		all = append(s.names(word), map[string][]string{"show": {"checks", "doubts"}, "draw": {"against", "to"}, "drop": {"anyway", "given"}, "why": {"deep"}}[first]...)
	case wantsUnit(before):
		all = s.units()
	default:
		all = append(s.names(word), s.ruleNames("(")...)
		all = append(all, s.parameters(before)...)
		all = append(all, "if", "then", "else", "where", "and", "or", "not", "yes", "no")
	}
	return from, startingWith(all, word)
}

var statementWords = []string{"title", "section", "system", "ask", "count", "rule", "table", "part", "variant", "handout", "correlation"}

func startingWith(all []string, word string) []string {
	seen := map[string]bool{}
	var out []string
	for _, w := range all {
		if strings.HasPrefix(w, word) && w != word && !seen[w] {
			seen[w] = true
			out = append(out, w)
		}
	}
	sort.Strings(out)
	return out
}

// wordStart is where the name before the cursor begins, with the dots of a path.
func wordStart(line string) int {
	at := len(line)
	for at > 0 {
		r, n := utf8.DecodeLastRuneInString(line[:at])
		if r != '_' && r != '.' && r != '°' && r != 'µ' && !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			break
		}
		at -= n
	}
	if at < len(line) && line[at] >= '0' && line[at] <= '9' { // 95m: the unit stands tight behind the number
		for at < len(line) && (line[at] >= '0' && line[at] <= '9' || line[at] == '.' || line[at] == '_') {
			at++
		}
	}
	return at
}

func inText(before string) bool { return strings.Count(before, `"`)%2 == 1 }

// wantsUnit tells whether a unit is expected: behind a number, in a bracket, or in a unit that has begun.
func wantsUnit(before string) bool {
	if open := strings.LastIndexByte(before, '['); open >= 0 && !strings.Contains(before[open:], "]") {
		return true
	}
	trimmed := strings.TrimRight(before, " ")
	if trimmed == "" {
		return false
	}
	last := trimmed[len(trimmed)-1]
	switch {
	case last >= '0' && last <= '9':
		start := strings.LastIndexFunc(trimmed, func(r rune) bool { return r != '.' && r != '_' && !unicode.IsDigit(r) })
		return start < 0 || !unicode.IsLetter(rune(trimmed[start]))
	case (last == '/' || last == '*') && len(trimmed) == len(before): // 2350 kg/
		word := strings.LastIndexAny(trimmed[:len(trimmed)-1], " (=,+")
		return word > 0 && unicode.IsDigit(rune(before[max(0, strings.LastIndexFunc(trimmed[:word], func(r rune) bool { return r != ' ' }))]))
	}
	return false
}

// names lists the names that a line can use: those of the sheet, the neighbours, and, behind a dot, what stands in a table,
// part or sheet.
func (s *Shell) names(word string) []string {
	sheet := s.current()
	var out []string
	if dot := strings.LastIndexByte(word, '.'); dot >= 0 {
		head := word[:dot]
		if c, ok := sheet.Find(head); ok {
			for _, f := range c.Type.Fields {
				out = append(out, head+"."+f.Name)
			}
			for _, p := range s.report.Checker.Library().Properties(c.Type.Form) {
				out = append(out, head+"."+p)
			}
			return out
		}
		if in, ok := sheet.FindPart(head); ok {
			for _, n := range in.Names() {
				out = append(out, head+"."+n)
			}
		}
		return out
	}
	out = append(out, sheet.Names()...)
	for _, c := range sheet.Cells() {
		if c.Name != "" && c.Role == check.CheckOf {
			out = append(out, c.Name)
		}
	}
	for _, sh := range s.job.Sheets {
		if sh != sheet {
			out = append(out, sh.Name)
		}
	}
	return append(out, "pi", "gravity")
}

// ruleNames lists rules and functions, with what stands behind each.
func (s *Shell) ruleNames(behind string) []string {
	var out []string
	for _, r := range s.report.Checker.Rules() {
		out = append(out, r.Name+behind)
	}
	for _, r := range s.current().Rules {
		out = append(out, r.Name+behind)
	}
	for _, f := range s.report.Checker.Library().Funcs() {
		out = append(out, f.Name+behind)
	}
	return out
}

// parameters lists the names of the places of the rule in whose bracket the cursor stands.
func (s *Shell) parameters(before string) []string {
	depth := 0
	for i := len(before) - 1; i >= 0; i-- {
		switch before[i] {
		case ')':
			depth++
		case '(':
			if depth--; depth >= 0 {
				continue
			}
			name := before[wordStart(before[:i]):i]
			var out []string
			if r := s.report.Checker.Rule(name); r != nil {
				for _, p := range r.Params {
					out = append(out, p.Name+":")
				}
			}
			for _, r := range s.current().Rules {
				for _, p := range r.Params {
					if r.Name == name {
						out = append(out, p.Name+":")
					}
				}
			}
			if f, ok := s.report.Checker.Library().Func(name); ok {
				for _, p := range f.Params {
					out = append(out, p.Name+":")
				}
			}
			return out
		}
	}
	return nil
}

func (s *Shell) units() []string {
	out := append(s.job.Checked.Units(), "date", "text", "yes/no", "weekday")
	for _, u := range s.report.Checker.Library().All() {
		out = append(out, u.Symbol)
	}
	return append(out, "mm", "cm", "km", "kPa", "MPa", "GPa", "kN", "mL", "mg")
}

func (s *Shell) helpWords() []string {
	out := append(s.ruleNames(""), report.HelpWords()...)
	for _, c := range s.commands() {
		out = append(out, c.name)
	}
	for _, e := range kind.Entries {
		out = append(out, e.Name)
	}
	return append(out, s.units()...)
}

// pathWord is a path that is being typed.
type pathWord struct {
	from    int
	options []string
}

// completePath completes the path behind open, and behind from in quotation marks.
func (s *Shell) completePath(line string) (pathWord, bool) {
	from := -1
	folder := ""
	if rest, ok := strings.CutPrefix(strings.TrimLeft(line, " \t"), "open "); ok {
		from = len(line) - len(strings.TrimLeft(rest, " "))
	} else if i := strings.LastIndex(line, `from "`); i >= 0 && inText(line) {
		from = i + len(`from "`)
		folder = s.job.Folder()
	} else if i := strings.LastIndex(line, `library "`); i >= 0 && inText(line) {
		from = i + len(`library "`)
		return pathWord{from, startingWith(sheets.Starters(), line[from:])}, true
	}
	if from < 0 {
		return pathWord{}, false
	}
	typed := line[from:]
	dir, base := filepath.Split(typed)
	entries, err := os.ReadDir(filepath.Join(folder, dir, "."))
	if err != nil {
		return pathWord{from, nil}, true
	}
	var options []string
	for _, e := range entries {
		name := e.Name()
		if strings.HasPrefix(name, ".") || !strings.HasPrefix(name, base) {
			continue
		}
		switch {
		case e.IsDir():
			options = append(options, dir+name+string(filepath.Separator))
		case strings.HasSuffix(name, sheets.Extension), folder != "" && !strings.HasSuffix(name, ".journal") && !strings.HasSuffix(name, ".lock"):
			options = append(options, dir+name)
		}
	}
	return pathWord{from, options}, true
}
