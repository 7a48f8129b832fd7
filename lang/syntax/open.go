package syntax

import "castwright/lang/diag"

// GoesOn tells whether a typed text waits for more lines: a bracket is open, its last word asks for more, or a rule, table
// or handout has no end yet.
func GoesOn(text string, isUnit func(string) bool) bool {
	src := &diag.Source{Name: "line", Text: text}
	s := &splitter{src: src, toks: scan(src, isUnit), shell: true}
	s.blank()
	if s.at >= len(s.toks) {
		return false
	}
	first := s.at
	switch s.statementWord(first, statementWords) {
	case "rule", "handout":
		var ms diag.List
		return s.group(&ms).end == nil
	case "table":
		var ms diag.List
		g := s.group(&ms)
		return g.end == nil && (!s.hasWord(g.head, "from") || len(g.body) > 0)
	}
	depth := 0
	var last tok
	for _, t := range s.toks[first:] {
		if t.typ == tNewline || t.typ == tComment {
			continue
		}
		if t.typ == tBad {
			return false
		}
		switch s.op(t) {
		case "(", "[":
			depth++
		case ")", "]":
			depth--
		}
		last = t
	}
	word := s.word(last)
	if last.typ == tOp {
		word = operator(word)
	}
	return depth > 0 || continuing[word] && last.typ != tText
}
