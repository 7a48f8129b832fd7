package report

import (
	"fmt"
	"strings"
)

// statement is one statement of the language for help, with lines that show it.
type statement struct {
	word, form, about string
	example           []string
}

// statements lists them in the order in which a sheet is written.
var statements = []statement{
	{"title", `title "…"`, "the title of the sheet", []string{`title "Tree bench"`}},
	{"section", `section "…"`, "a heading; it is no room for names of its own", []string{`section "Inputs"`}},
	{"system", `system metric, or system us`, "the units shown where the sheet names none", []string{`system metric`}},
	{"measure", `1 bag = 80 lb`, "a measure of the job's own, or a rate of exchange", []string{`1 bag = 80 lb`, `1 EUR = 1.09 USD     # bank, 2027-03-01`}},
	{"count", `count ONE, MANY`, "a new counted thing and its plural", []string{`count pallet, pallets`}},
	{"cell", `NAME = VALUE [shown]  # note`, "an input or a formula; the bracket says how it is shown", []string{`height = 350 ± 2 mm`, `area = height * 600 mm    [m^2]`}},
	{"ask", `ask NAME [unit] assume VALUE`, "a value still to come; NAME = VALUE answers it", []string{`ask bag_price [USD] assume 12 USD     # the supplier fills this in`}},
	{"table", `table NAME … end`, "typed columns in rows, and columns that are worked out", []string{`table pours`, `  litres = pieces * 25 L * (1 + waste)    [L]`, `  day        | pieces | waste`, `  2027-03-01 | 4      | 8%`, `end`}},
	{"check", `check NAME: CONDITION else "…"`, "what must hold, and what to say when it does not", []string{`check low: height <= 400 mm else "{height} is too high"`}},
	{"rule", `rule NAME(PARAMETER [unit], …) … end`, "a formula with parameters, called by its name", []string{`rule strip(length [mm], width = 50 mm)`, `  give length * width    [m^2]`, `end`}},
	{"part", `part NAME from "FILE.sheet" (CELL: VALUE, …)`, "another sheet, or a starter sheet, with some of its inputs replaced", []string{`part batch from library "mix"`}},
	{"variant", `variant NAME (INPUT: VALUE, …)`, "a named set of inputs, for side-by-side answers", []string{`variant tall (height: 380 mm)`}},
	{"correlation", `correlation A, B = 0.3`, "between two uncertain inputs", nil},
	{"handout", `handout NAME "Title" … end`, "the cells and columns, and no others, that one reader may see", []string{`handout supplier "Materials order"`, `  area with note, bag_price`, `end`}},
}

func (p *Report) listStatements() {
	var rows [][]string
	for _, s := range statements {
		rows = append(rows, []string{s.word, s.form, s.about})
	}
	Table(p.Out, "", rows)
}

// helpStatement tells about a statement by the word that it begins with.
func (p *Report) helpStatement(word string) bool {
	for _, s := range statements {
		if s.word != word {
			continue
		}
		fmt.Fprintf(p.Out, "%s\n  %s\n", s.form, s.about)
		if len(s.example) > 0 {
			fmt.Fprintf(p.Out, "  %-8s %s\n", "example", strings.Join(s.example, "\n           "))
		}
		return true
	}
	return false
}
