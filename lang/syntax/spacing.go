package syntax

import "strings"

// roles says what the tokens of a statement are, where their neighbours do not tell.
type roles struct {
	tight   map[int]int  // from where to where literals and shown brackets go: blanks only between number and unit
	united  map[int]bool // where a literal with a unit ends: a ^ behind it is no power of the unit, so blanks stand around it
	minus   map[int]bool // where a sign stands before a value
	shown   map[int]bool // where shown brackets begin that stand behind a whole line
	nameEnd int          // where the name in the head of a rule or a variant ends
	apart   bool         // a blank stands between that name and its bracket
}

// rolesOf finds the roles in a statement.
func rolesOf(s Statement) roles {
	r := roles{tight: map[int]int{}, united: map[int]bool{}, minus: map[int]bool{}, shown: map[int]bool{}, nameEnd: -1}
	switch x := s.(type) {
	case *Rule:
		r.nameEnd = x.Name.Span.To
	case *Variant:
		r.nameEnd, r.apart = x.Name.Span.To, true
	}
	Expressions(s, func(e Expr) {
		Walk(e, func(e Expr) {
			switch x := e.(type) {
			case *Quantity:
				r.tight[x.Span.From] = x.Span.To
				r.united[x.Span.To] = x.Parts[len(x.Parts)-1].Unit != nil
			case *Unary:
				r.minus[x.Span.From] = x.Op == "-"
			case *Text:
				for _, p := range x.Pieces {
					if p.Shown != nil {
						r.tight[p.Shown.Span.From] = p.Shown.Span.To
					}
				}
			}
		})
	}, func(b *Shown) {
		r.tight[b.Span.From] = b.Span.To
		r.shown[b.Span.From] = true
	})
	return r
}

// spaced writes tokens with canonical blanks between them.
func (w *formatter) spaced(toks []tok) string {
	var b strings.Builder
	tight := 0
	for i, t := range toks {
		inside := t.from < tight
		if end, ok := w.roles.tight[t.from]; ok {
			tight = max(tight, end)
		}
		switch {
		case i == 0:
		case inside && w.blankInside(toks[i-1], t), !inside && w.blank(toks, i):
			b.WriteByte(' ')
		}
		b.WriteString(w.text(t))
	}
	return b.String()
}

func isWord(t tok) bool { return t.typ == tName || t.typ == tUnit }

func isNumber(t tok) bool { return t.typ == tNumber || t.typ == tVulgar }

// blankInside tells whether a blank stands between two tokens of a literal or a shown bracket: `6 ft 2 3/8 in`,
// `5' 3 1/2"`, `[ft, 1/8 in]`.
func (w *formatter) blankInside(p, t tok) bool {
	switch {
	case t.typ == tVulgar && p.typ == tNumber:
		return p.to != t.from
	case isNumber(t):
		return p.typ != tOp || w.sign(p) == "," || w.sign(p) == ")"
	case isWord(t):
		return isNumber(p) || w.sign(p) == ","
	}
	return false
}

// blank tells whether a blank stands before token i, outside literals.
func (w *formatter) blank(toks []tok, i int) bool {
	p, t := toks[i-1], toks[i]
	before, sign := w.sign(p), w.sign(t)
	switch {
	case t.typ == tSuper, p.typ == tTextOpen, p.typ == tTextMid, t.typ == tTextMid, t.typ == tTextEnd,
		before == "(", before == "[", before == ".":
		return false
	case w.roles.minus[p.from]:
		return isNumber(t) && p.to != t.from // `- 10 degC` is not -10 degC
	case before == "^" && i > 1 && w.roles.united[toks[i-2].to]:
		return true
	case before == "^":
		return p.to != t.from && w.roles.tight[t.from] > t.to // not to be read as one with what stands before
	}
	switch sign {
	case ",", ")", "]", ":", ".", "%":
		return false
	case "^":
		return w.roles.united[p.to]
	case "[":
		return i+1 == len(toks) || w.sign(toks[i+1]) != "]" // xs[]
	case "(":
		switch {
		case p.to == w.roles.nameEnd:
			return w.roles.apart
		case isWord(p):
			return p.to != t.from || reserved[w.text(p)]
		}
	}
	return true
}
