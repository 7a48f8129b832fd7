package report

import (
	"fmt"
	"strings"
)

// everything writes the whole reference: `help --all`, or `help --all --markdown`.
func (p *Report) everything(args []string) int {
	switch strings.Join(args, " ") {
	case "--all":
		p.wholeText(p.reference())
		return Fine
	case "--all --markdown", "--markdown --all":
		p.wholeMarkdown(p.reference())
		return Fine
	}
	fmt.Fprintf(p.Err, "It is written: %shelp --all, or %shelp --all --markdown\n", p.Lead, p.Lead)
	return Usage
}

// wholeText writes every page, one below the other.
func (p *Report) wholeText(r *reference) {
	p.settle(r.entries)
	p.contents(r)
	for _, f := range r.headings() {
		fmt.Fprintf(p.Out, "\n\n%s: %s\n", strings.ToUpper(f.name), f.about)
		for _, e := range f.entries {
			fmt.Fprintln(p.Out)
			p.page(e)
		}
	}
	fmt.Fprintf(p.Out, "\n\nSTATEMENTS\n\n")
	for _, s := range statements {
		p.helpStatement(s.word)
	}
	fmt.Fprintf(p.Out, "\n\nUNITS\n\n")
	p.listUnits()
	fmt.Fprintf(p.Out, "\n\nKINDS\n\n")
	p.listKinds()
}
