package report

import (
	"fmt"
	"slices"
	"strings"

	"castwright/lang/kind"
)

// wanted is a kind that is asked for: a dimension, another form, or money in any currency.
type wanted struct {
	name  string
	kind  kind.Type
	money bool
	also  bool // the word is another name for the kind, or for a quantity of it
}

func (w wanted) fits(t kind.Type) bool {
	if w.money {
		_, money := t.Dim.Currency()
		return money && t.Form == kind.Number
	}
	return t.Form == w.kind.Form && (t.Form != kind.Number || t.Dim == w.kind.Dim)
}

// plain tells whether it is the kind of bare numbers, which nearly everything takes.
func (w wanted) plain() bool { return !w.money && w.kind.Form == kind.Number && w.kind.Dim.IsOne() }

// article puts "a" or "an" before the name of a kind.
func (w wanted) article() string {
	if w.money {
		return "money"
	}
	return w.kind.Article()
}

// formNames are the kinds that are no dimension.
var formNames = map[string]kind.Type{
	"temperature": {Form: kind.Point}, "date": {Form: kind.Date}, "text": {Form: kind.Text}, "yes or no": {Form: kind.Truth},
	"condition": {Form: kind.Truth}, "outline": {Form: kind.Outline}, "solid": {Form: kind.Solid}, "point": {Form: kind.Place},
}

// alsoKinds are quantities that share a dimension with one that gave it the name.
var alsoKinds = map[string]string{
	"stress": "pressure", "strength": "pressure", "modulus": "pressure", "moment": "energy", "torque": "energy", "work": "energy",
	"weight": "mass", "duration": "time", "age": "time", "velocity": "speed", "angle": "number", "ratio": "number", "count": "number",
	"percentage": "number", "share": "number", "distance": "length", "thickness": "length", "depth": "length",
	"price": "money", "cost": "money", "currency": "money",
}

// kindOf finds a kind by its name, in the singular or the plural, by an everyday word, or by a unit.
func (p *Report) kindOf(words string) (wanted, bool) {
	words = strings.TrimSpace(strings.Trim(words, "?"))
	for _, name := range singulars(strings.ToLower(words)) {
		other, also := alsoKinds[name]
		if also {
			name = other
		}
		if name == "money" {
			return wanted{name: name, money: true, also: also}, true
		}
		if d, ok := kind.Lookup(name); ok {
			return wanted{name: name, kind: kind.Quantity(d), also: also}, true
		}
		if t, ok := formNames[name]; ok {
			return wanted{name: t.String(), kind: t, also: also}, true
		}
	}
	return p.kindOfUnit(words)
}

// singulars gives a word as it stands, and what it may be the plural of.
func singulars(word string) []string {
	out := []string{word}
	if s, ok := strings.CutSuffix(word, "ies"); ok {
		out = append(out, s+"y")
	}
	for _, end := range []string{"es", "s"} {
		if s, ok := strings.CutSuffix(word, end); ok {
			out = append(out, s)
		}
	}
	return out
}

// kindOfUnit reads a unit, alone or compound: kPa, kg/m^3.
func (p *Report) kindOfUnit(text string) (wanted, bool) {
	q := &questions{}
	var s slot
	if text == "" || strings.ContainsAny(text, "[]\n#\"") {
		return wanted{}, false
	}
	q.ask(text, &s)
	p.answer(q)
	if !s.known || s.kind.Form != kind.Number && s.kind.Form != kind.Point || s.kind.Dim.IsOne() && text[0] >= '0' && text[0] <= '9' {
		return wanted{}, false
	}
	_, money := s.kind.Dim.Currency()
	return wanted{name: s.kind.String(), kind: s.kind, money: money}, true
}

// kindQuestion reads "what gives a pressure", "takes kPa", "which rules give an area": the kind, and which way round.
func (p *Report) kindQuestion(args []string) (w wanted, giving, ok bool) {
	ways := map[string]bool{"give": true, "gives": true, "take": false, "takes": false, "need": false, "needs": false}
	for i, a := range args {
		giving, verb := ways[strings.ToLower(a)]
		if !verb {
			continue
		}
		rest := args[i+1:]
		for len(rest) > 1 && slices.Contains([]string{"a", "an", "the", "in", "any", "me"}, strings.ToLower(rest[0])) {
			rest = rest[1:]
		}
		w, ok = p.kindOf(strings.Join(rest, " "))
		return w, giving, ok
	}
	return w, false, false
}

// giving and taking list the entries that give a kind or take it. A function whose result is of the kind of what it is given
// belongs to no kind.
func (r *reference) giving(w wanted) []*entry {
	return r.having(func(e *entry) bool { return !e.follows && len(w.among(e.gives)) > 0 })
}

func (r *reference) taking(w wanted) []*entry {
	return r.having(func(e *entry) bool {
		return slices.ContainsFunc(e.takes, func(s slot) bool { return s.known && w.fits(s.kind) && (e.rule != nil || !s.loose) })
	})
}

func (r *reference) having(holds func(*entry) bool) []*entry {
	var out []*entry
	for _, f := range r.headings() {
		for _, e := range f.entries {
			if holds(e) {
				out = append(out, e)
			}
		}
	}
	return out
}

// among names the results that are of the kind.
func (w wanted) among(gives []slot) []string {
	var out []string
	for _, s := range gives {
		if s.known && w.fits(s.kind.Elem()) {
			out = append(out, s.name)
		}
	}
	return out
}

// byKind lists what gives a kind or takes it, with how it is called and, where it gives several results, which are of the kind.
func (p *Report) byKind(r *reference, w wanted, giving bool) {
	list, verb := r.taking(w), "Takes"
	if giving {
		list, verb = r.giving(w), "Gives"
	}
	if len(list) == 0 {
		fmt.Fprintf(p.Out, "Nothing %s %s.\n", strings.ToLower(verb), w.article())
		if giving && len(r.taking(w)) > 0 {
			fmt.Fprintf(p.Out, "What takes it: %shelp what takes %s\n", p.Lead, w.article())
		}
		return
	}
	fmt.Fprintf(p.Out, "%s %s:\n", verb, w.article())
	last := ""
	for _, e := range list {
		if e.family != last {
			last = e.family
			fmt.Fprintln(p.Out, "  "+last)
		}
		text := e.head
		if names := w.among(e.gives); giving && names[0] != "" {
			text += " gives ." + strings.Join(names, ", .")
		}
		p.call(text)
	}
}

// call writes how something is called, broken between its places only.
func (p *Report) call(text string) {
	const held = "\ue000" // no blank, so that wrap does not break there
	text = strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(text, " ", held), ","+held, ", "), held+"gives"+held, " gives"+held)
	for i, l := range wrap(text, wide-8) {
		indent := "    "
		if i > 0 {
			indent = "        "
		}
		fmt.Fprintln(p.Out, indent+strings.ReplaceAll(l, held, " "))
	}
}
