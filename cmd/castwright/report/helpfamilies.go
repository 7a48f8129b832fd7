package report

import (
	"fmt"
	"slices"
	"strings"
)

// family is a heading of the reference.
type family struct {
	name, about string
	entries     []*entry
}

// families lists the families of rules in the order of the work, from the master to the offer; groups those of functions.
var (
	families = []family{
		{name: "master", about: "the pattern: layers of board, glue, clamps, sealer, time at the cutter"},
		{name: "mould", about: "the box and its walls, rubber and its time, what floats a master, what fresh concrete presses"},
		{name: "concrete", about: "bags, water, batches, mix design, doses, what fresh and hardened concrete is like"},
		{name: "curing", about: "strength at an age, when to strip, maturity from a log of temperatures, drying and shrinkage"},
		{name: "handling", about: "how heavy a piece is, lifting by hand and by sling, bending in the lift, stacks, trips"},
		{name: "site", about: "ground, earth behind a wall, beds, joints, pieces for an area, bars"},
		{name: "production", about: "pours, moulds and dates, labour, learning, what a log of pours tells"},
		{name: "money", about: "what a piece costs, prices, offers, tax, terms of payment, what to order"},
		{name: "uncertainty", about: "how far a measured value may be off"},
	}
	groups = []family{
		{name: "numbers", about: "rounding, powers, logarithms, angles"},
		{name: "lists", about: "sums, means, choosing and looking along rows, lines through points"},
		{name: "dates", about: "working days, months, parts of a date"},
		{name: "shapes", about: "outlines and solids"},
	}
	properties = family{name: "properties", about: "what follows a dot behind an outline, a solid or a point"}
)

// sorted puts entries under the headings they belong to: rules by family, functions by group, and the properties of shapes.
// A family that is not listed comes last, by its name.
func sorted(all []*entry) (rules, funcs []family, props family) {
	rules, funcs, props = slices.Clone(families), slices.Clone(groups), properties
	put := func(to []family, e *entry) []family {
		i := slices.IndexFunc(to, func(f family) bool { return f.name == e.family })
		if i < 0 {
			i, to = len(to), append(to, family{name: e.family})
		}
		to[i].entries = append(to[i].entries, e)
		return to
	}
	for _, e := range all {
		switch {
		case e.rule != nil:
			rules = put(rules, e)
		case strings.HasPrefix(e.name, "."):
			props.entries = append(props.entries, e)
		default:
			funcs = put(funcs, e)
		}
	}
	slices.SortStableFunc(rules[len(families):], func(a, b family) int { return strings.Compare(a.name, b.name) })
	return rules, funcs, props
}

// reference is all that help looks through.
type reference struct {
	entries []*entry
	rules   []family
	funcs   []family
	props   family
	indexes []index // of the entries, made when they are first searched
}

func (p *Report) reference() *reference {
	r := &reference{entries: p.entries()}
	r.rules, r.funcs, r.props = sorted(r.entries)
	return r
}

// headings lists every family and group.
func (r *reference) headings() []family {
	return append(slices.Concat(r.rules, r.funcs), r.props)
}

// contents lists the families, the functions by group and the statements.
func (p *Report) contents(r *reference) {
	fmt.Fprintln(p.Out, "Rules of the trade, by family:")
	var rows [][2]string
	for _, f := range r.rules {
		rows = append(rows, [2]string{fmt.Sprintf("%-11s %3d", f.name, len(f.entries)), f.about})
	}
	p.definitions("  ", rows)
	fmt.Fprintln(p.Out, "\nFunctions of the language, by group:")
	rows = nil
	for _, f := range append(r.funcs, r.props) {
		rows = append(rows, [2]string{f.name, strings.Join(f.names(), ", ")})
	}
	p.definitions("  ", rows)
	fmt.Fprintln(p.Out, "\nStatements of a sheet:")
	var words []string
	for _, s := range statements {
		words = append(words, s.word)
	}
	for _, l := range wrap(strings.Join(words, ", "), wide-2) {
		fmt.Fprintln(p.Out, "  "+l)
	}
}

// names lists the names of a family's entries, each once: several shapes have properties of one name.
func (f *family) names() []string {
	var out []string
	for _, e := range f.entries {
		if !slices.Contains(out, e.name) {
			out = append(out, e.name)
		}
	}
	return out
}

// family lists what stands in a family or group, each with its first sentence.
func (p *Report) family(f family) {
	head := f.name
	if f.about != "" {
		head += ": " + f.about
	}
	fmt.Fprintln(p.Out, head)
	p.summaries("  ", f.entries)
}

// summaries lists entries, each with its first sentence.
func (p *Report) summaries(indent string, list []*entry) {
	var rows [][2]string
	for _, e := range list {
		name := e.name
		if strings.HasPrefix(name, ".") {
			name = e.head
		}
		rows = append(rows, [2]string{name, firstSentence(e.about)})
	}
	p.definitions(indent, rows)
}

// HelpWords lists the words that help knows besides the names of rules, units, kinds and commands.
func HelpWords() []string {
	out := []string{"rules", "functions", "units", "kinds", "statements"}
	for _, f := range slices.Concat(families, groups) {
		out = append(out, f.name)
	}
	for _, s := range statements {
		out = append(out, s.word)
	}
	return append(out, properties.name)
}
