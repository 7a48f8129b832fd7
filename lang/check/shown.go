package check

import (
	"fmt"
	"math/big"

	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/syntax"
)

// specFor says how an operand is shown: by its bracket, else as it was written or as the rule that gives it says, else
// in the usual unit of the system. It is nil after a mistake.
func (b *builder) specFor(x operand, s *syntax.Shown, e syntax.Expr) *show.Spec {
	if s == nil {
		if x.spec != nil {
			return x.spec
		}
		if x.shownPct || x.percent {
			return &show.Spec{Percent: true}
		}
		return b.s.usual(x.t)
	}
	if q, ok := e.(*syntax.Quantity); ok && x.bare && !q.Percent && len(s.Units) > 0 {
		b.mistake(s.Span, "The bracket says how a value is shown; it gives no unit.", fmt.Sprintf("Write %s %s.", b.words(q.Span), b.words(s.Units[0].Span)))
		return nil
	}
	spec := b.bracketSpec(s, x.t)
	if spec == nil {
		return nil
	}
	if x.t.Form == kind.Record {
		b.mistake(s.Span, "A record holds several values; each is shown on its own.", "Show one of its fields.")
		return nil
	}
	return spec
}

// bracketSpec reads a shown bracket for a type, and asserts its kind.
func (b *builder) bracketSpec(s *syntax.Shown, t kind.Type) *show.Spec {
	spec := &show.Spec{Form: t.Form}
	wrong := func(what string) *show.Spec {
		b.mistake(s.Span, fmt.Sprintf("The bracket shows %s; this is %s.", what, t.Article()), b.bracketWay(t))
		return nil
	}
	if s.Step != nil {
		spec.Step, spec.Tape = s.Step.Value, s.Step.Den > 0
	}
	switch {
	case s.Word == "date" || s.Word == "weekday":
		if t.Form != kind.Date {
			return wrong("a date")
		}
		spec.Word = s.Word
		return spec
	case s.Word == "text":
		if t.Form != kind.Text {
			return wrong("a text")
		}
		return spec
	case s.Word == "yes/no":
		if t.Form != kind.Truth {
			return wrong("a yes or no")
		}
		return spec
	case s.Percent:
		if t.Form != kind.Number || !t.Dim.IsOne() {
			return wrong("a share in %")
		}
		spec.Percent = true
		return spec
	case len(s.Units) == 0:
		if t.Form != kind.Number || !t.Dim.IsOne() {
			return wrong("a plain number")
		}
		return spec
	}
	return b.unitSpec(s, t, spec)
}

// bracketWay offers the bracket that would fit.
func (b *builder) bracketWay(t kind.Type) string {
	switch t.Form {
	case kind.Number:
		if u := b.s.c.lib.Usual(t.Form, t.Dim, b.us); u != "" {
			return fmt.Sprintf("Write [%s], or divide by a unit for a plain number, as volume / 1 L.", u)
		}
	case kind.Date:
		return "Write [date] or [weekday], or leave it out."
	}
	return "Leave it out."
}

func (b *builder) unitSpec(s *syntax.Shown, t kind.Type, spec *show.Spec) *show.Spec {
	var last *unit
	b.bracket = true // its units are no part of the formula: there is no value that they could be mistaken for
	defer func() { b.bracket = false }()
	for i, w := range s.Units {
		u, ok := b.unit(w, t.Form == kind.Point)
		if !ok {
			return nil
		}
		form := t.Form
		if form == kind.Place {
			form = kind.Number
		}
		if u.dim != t.Dim && !(t.Form == kind.Point && u.form == kind.Point) || form != u.form {
			way := b.bracketWay(t)
			if c, ok := t.Dim.Currency(); ok && u.minor >= 0 {
				way = fmt.Sprintf("State the rate, as 1 %s = 1.10 %s.", c, u.text)
			}
			b.mistake(w.Span, fmt.Sprintf("The bracket shows %s; this is %s.", kind.Type{Form: u.form, Dim: u.dim}.Article(), t.Article()), way)
			return nil
		}
		if i > 0 && u.factor >= last.factor {
			b.mistake(w.Span, "Units of one bracket stand in falling size.", "Write [ft, 1/8 in].")
			return nil
		}
		spec.Units = append(spec.Units, u.shown())
		last = u
	}
	if last.minor >= 0 && len(s.Units) == 1 {
		spec.Money, spec.Minor = true, last.minor
		if s.Step != nil && s.Step.Value.Cmp(minorStep(last.minor)) > 0 {
			b.mistake(s.Span, fmt.Sprintf("Money shows its minor units; a step of %s would hide them.", b.words(s.Step.Span)), fmt.Sprintf("Use round_up, as round_up(x, %s %s).", b.words(s.Step.Span), last.text))
			return nil
		}
	}
	return spec
}

func minorStep(digits int) *big.Rat {
	r := big.NewRat(1, 1)
	for range digits {
		r.Quo(r, big.NewRat(10, 1))
	}
	return r
}

// typeOfBracket gives the type that a bracket states, for asks and for cells with a mistake.
func (b *builder) typeOfBracket(s *syntax.Shown) (kind.Type, *show.Spec, bool) {
	if s == nil {
		return kind.Type{}, nil, false
	}
	var t kind.Type
	switch s.Word {
	case "date", "weekday":
		t.Form = kind.Date
	case "text":
		t.Form = kind.Text
	case "yes/no":
		t.Form = kind.Truth
	}
	if len(s.Units) > 0 {
		quiet := *b
		quiet.messages, quiet.bracket = nil, true
		u, ok := quiet.unit(s.Units[0], true)
		if !ok {
			return t, nil, false
		}
		t = kind.Type{Form: u.form, Dim: u.dim}
	}
	before := len(b.messages)
	spec := b.bracketSpec(s, t)
	if spec == nil {
		b.messages = b.messages[:before]
		return t, nil, false
	}
	if s.Word == "date" { // it says what is asked for; a time of day in the answer is shown
		spec.Word = ""
	}
	return t, spec, true
}

// usual shows a type in the usual unit of the sheet's system.
func (s *Sheet) usual(t kind.Type) *show.Spec {
	if t.Form != kind.Record {
		return s.usualOne(t)
	}
	spec := &show.Spec{Form: t.Form}
	for _, f := range t.Fields {
		spec.Fields = append(spec.Fields, s.usualOne(f.Type))
	}
	return spec
}

// usualKey is what the usual unit depends on, within one sheet.
type usualKey struct {
	form kind.Form
	dim  kind.Dim
}

// usualOne shows what is no record.
func (s *Sheet) usualOne(t kind.Type) *show.Spec {
	spec := &show.Spec{Form: t.Form}
	switch t.Form {
	case kind.Number, kind.Point, kind.Place:
	case kind.Outline, kind.Solid, kind.Step:
		t = kind.Quantity(lengthDim) // shown by its lengths
	default:
		return spec
	}
	if t.Form == kind.Number && t.Dim.IsOne() {
		return spec
	}
	form := t.Form
	if form == kind.Place {
		form = kind.Number
	}
	key := usualKey{t.Form, t.Dim}
	if known, ok := s.usualOf[key]; ok {
		return known
	}
	if s.usualOf != nil {
		defer func() { s.usualOf[key] = spec }()
	}
	text := s.c.lib.Usual(form, t.Dim, s.US)
	if c, ok := t.Dim.Counted(); ok {
		if u, ok := s.jobUnit(c); ok {
			spec.Units = []show.Unit{{Symbol: u.Symbol, Plural: u.Plural, Ratio: u.Ratio}}
			return spec
		}
	}
	if text != "" {
		if u, ok := s.unitText(text, t.Form == kind.Point); ok {
			spec.Units = []show.Unit{u.shown()}
			if u.minor >= 0 {
				spec.Money, spec.Minor = true, u.minor
			}
			return spec
		}
	}
	spec.Units = []show.Unit{{Symbol: t.Dim.Symbol(), Ratio: big.NewRat(1, 1)}}
	return spec
}

// unitText makes a unit of the library's own tables out.
func (s *Sheet) unitText(text string, point bool) (*unit, bool) {
	src := &diag.Source{Text: "1 " + text}
	st, _, ms := syntax.ReadLine(src, s.IsUnit)
	line, ok := st.(*syntax.Line)
	if !ok || len(ms) > 0 {
		return nil, false
	}
	q, ok := line.Expr.(*syntax.Quantity)
	if !ok || len(q.Parts) != 1 || q.Parts[0].Unit == nil {
		return nil, false
	}
	b := s.builder(src)
	b.frames = []frame{{rule: &Rule{}, src: src}} // a unit of the tables tells nothing about US sizes
	return b.unit(q.Parts[0].Unit, point)
}
