package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"castwright/lang/diag"
)

// The weights of where a word stands: what something is called says most about it. They are chosen so that an everyday
// question finds its rule among the first three (TestEverydayQuestions).
const (
	inName   = 10.0
	inHead   = 8.0 // the first sentence, less towards its end
	inAbout  = 3.0
	inFamily = 3.0
	inGives  = 3.0
	inTakes  = 2.0
	inSource = 1.5
	inTables = 1.5
	inNeeds  = 0.5
)

// hit is an entry that the words of a question lead to.
type hit struct {
	entry *entry
	score float64
	found int // how many of the words; one more, and all, where they are its name
}

// find ranks what words lead to: what they are the very name of, then those with the most of the words, rare words counting
// for more.
func (r *reference) find(question []string) []hit {
	asked, kept := telling(question)
	hits := make([]hit, len(r.entries))
	for i, e := range r.entries {
		hits[i].entry = e
		if slices.Equal(words(e.name), asked) {
			hits[i].found = len(kept) + 1
		}
	}
	for _, w := range kept {
		scores, having := make([]float64, len(hits)), 0
		for i, at := range r.indexed() {
			if scores[i] = at.score(w); scores[i] > 0 {
				having++
			}
		}
		rare := math.Log(1 + float64(len(hits))/float64(1+having))
		for i, s := range scores {
			if s > 0 {
				hits[i].found++
				hits[i].score += s * rare
			}
		}
	}
	hits = slices.DeleteFunc(hits, func(h hit) bool { return h.found == 0 })
	slices.SortStableFunc(hits, func(a, b hit) int {
		return cmp.Or(cmp.Compare(b.found, a.found), cmp.Compare(b.score, a.score), cmp.Compare(a.entry.name, b.entry.name))
	})
	return hits
}

// telling gives the words of a question, and those that say what it is about.
func telling(question []string) (asked, kept []string) {
	asked = words(strings.Join(question, " "))
	kept = slices.DeleteFunc(slices.Clone(asked), func(w string) bool { return filler[w] })
	if len(kept) == 0 {
		kept = asked
	}
	return asked, kept
}

func (r *reference) indexed() []index {
	if r.indexes == nil {
		for _, e := range r.entries {
			r.indexes = append(r.indexes, e.index())
		}
	}
	return r.indexes
}

// index holds where the words of an entry stand: for each stem, the weight of its best places added up.
type index map[string]float64

func (e *entry) index() index {
	at := index{}
	add := func(list []string, weight func(i int) float64) {
		best := map[string]float64{}
		for i, w := range list {
			if filler[w] {
				continue
			}
			s := stem(w)
			best[s] = max(best[s], weight(i))
		}
		for s, x := range best {
			at[s] += x
		}
	}
	flat := func(x float64) func(int) float64 { return func(int) float64 { return x } }
	name := words(e.name)
	add(name, flat(inName/math.Sqrt(float64(len(name)))))
	head := firstSentence(e.about)
	add(words(head), func(i int) float64 { return inHead / (1 + float64(i)/12) })
	add(words(strings.TrimPrefix(e.about, head)), flat(inAbout))
	add(words(e.family), flat(inFamily))
	add(names(e.gives), flat(inGives))
	add(names(e.takes), flat(inTakes))
	add(words(e.source), flat(inSource))
	add(words(strings.Join(e.needs, " ")+" "+strings.Join(e.holds, " ")), flat(inNeeds))
	for _, t := range e.tables() {
		add(words(strings.Join(slices.Concat(t.rows...), " ")), flat(inTables))
	}
	return at
}

func names(list []slot) []string {
	var out []string
	for _, s := range list {
		out = append(out, words(s.name)...)
	}
	return out
}

// score tells how well a word fits: in one of its forms, as the beginning of a word or with a little more behind it, as windy
// and wind, or by another word for it.
func (at index) score(w string) float64 {
	s := stem(w)
	best := at[s]
	if len(s) >= 4 || len(s) == 3 && s == w {
		for other, x := range at {
			if strings.HasPrefix(other, s) || len(other) >= 4 && len(s) <= len(other)+2 && strings.HasPrefix(s, other) {
				best = max(best, 0.5*x)
			}
		}
	}
	other := 0.0
	for _, o := range everyday[s] {
		other += at[o]
	}
	return max(best, 0.7*other)
}

// The most that a search lists, alone and below a page that has the very name.
const (
	mostHits  = 12
	mostBelow = 6
)

// search lists what words lead to; false where they lead to nothing.
func (p *Report) search(r *reference, question []string) bool {
	var list []*entry
	hits := r.find(question)
	for _, h := range hits[:min(mostHits, len(hits))] {
		list = append(list, h.entry)
	}
	p.summaries("", list)
	if more := len(hits) - mostHits; more > 0 {
		fmt.Fprintf(p.Out, "and %d more, further off; another word beside it narrows the search\n", more)
	}
	others := p.others(strings.Join(question, " "))
	if len(list) > 0 && len(others) > 0 {
		fmt.Fprintln(p.Out)
	}
	p.definitions("", others)
	if w, ok := p.kindOf(strings.Join(question, " ")); ok && len(list) > 0 {
		fmt.Fprintf(p.Out, "\nIts kind is %s: %shelp what gives %s\n", w.name, p.Lead, w.article())
	}
	return len(list)+len(others) > 0
}

// below lists under a page what else its word leads to; under that of a statement or a unit only what bears the word in its
// name.
func (p *Report) below(r *reference, word string, shown map[*entry]bool, namesOnly bool) {
	var list []*entry
	for _, h := range r.find([]string{word}) {
		if !shown[h.entry] && len(list) < mostBelow && (!namesOnly || h.entry.bears(word)) {
			list = append(list, h.entry)
		}
	}
	if len(list) > 0 {
		fmt.Fprintf(p.Out, "\nAlso about %s:\n", strings.TrimPrefix(word, "."))
		p.summaries("  ", list)
	}
}

// bears tells whether a form of a word is a part of the name.
func (e *entry) bears(word string) bool {
	return slices.ContainsFunc(words(e.name), func(w string) bool { return stem(w) == stem(word) })
}

// others lists statements, commands and units in whose words a word stands.
func (p *Report) others(word string) [][2]string {
	var rows [][2]string
	for _, s := range statements {
		if hasWord(s.word+" "+s.about, word) {
			rows = append(rows, [2]string{s.form, s.about})
		}
	}
	for _, c := range p.Commands {
		if hasWord(c.Usage+" "+c.About, word) && c.Name != "help" {
			rows = append(rows, [2]string{p.Lead + c.Usage, c.About})
		}
	}
	return append(rows, p.matchingUnits(word)...)
}

// nothing tells that a search found nothing, and the way out.
func (p *Report) nothing(r *reference, question string) int {
	var known []string
	for _, e := range r.entries {
		known = append(append(known, strings.TrimPrefix(e.name, ".")), words(e.name)...)
	}
	for _, f := range r.headings() {
		known = append(known, f.name)
	}
	for _, s := range statements {
		known = append(known, s.word)
	}
	near := append(diag.Near(question, known), p.Checker.Library().Near(question)...)
	fmt.Fprintf(p.Err, "There is nothing about %s.", question)
	if way := diag.DidYouMean(near); way != "" {
		fmt.Fprint(p.Err, " "+way)
	}
	fmt.Fprintln(p.Err, "\nhelp lists the families of rules, the functions and the statements; help units and help kinds what is measured.")
	return Wrong
}
