package syntax

import (
	"errors"
	"fmt"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"

	"castwright/lang/diag"
)

// The grammar of the statements, one form each. Expressions, texts and shown brackets are productions of our own.
type (
	gIdent struct {
		Pos  lexer.Position
		Name string `parser:"@(Name | Unit)"`
	}
	gPath struct {
		Names []gIdent `parser:"@@ ('.' @@)*"`
	}
	gArgument struct {
		Name *gIdent `parser:"(@@ ':')?"`
		Expr Expr    `parser:"@@"`
	}
	gArguments struct {
		List []gArgument `parser:"'(' (@@ (',' @@)*)? ')'"`
	}
	gTitle struct {
		Text textNode `parser:"'title' @@"`
	}
	gSection struct {
		Text textNode `parser:"'section' @@"`
	}
	gSystem struct {
		Name gIdent `parser:"'system' @@"`
	}
	gAccept struct {
		Pos    lexer.Position
		Why    textNode `parser:"'accept' @@"`
		Causes []gPath  `parser:"'(' @@ (',' @@)* ')'"`
	}
	gCell struct {
		Name   gIdent    `parser:"@@ '='"`
		Expr   Expr      `parser:"@@"`
		Accept *gAccept  `parser:"@@?"`
		Shown  shownNode `parser:"@@?"`
	}
	gAsk struct {
		Name   gIdent    `parser:"'ask' @@"`
		Shown  shownNode `parser:"@@?"`
		Assume Expr      `parser:"('assume' @@)?"`
		Given  Expr      `parser:"('given' @@)?"`
	}
	gMeasure struct {
		One  string `parser:"@Number"`
		Unit gIdent `parser:"@@ '='"`
		Expr Expr   `parser:"@@"`
	}
	gCount struct {
		One  gIdent  `parser:"'count' @@"`
		Many *gIdent `parser:"(',' @@)?"`
	}
	gParam struct {
		Name    gIdent    `parser:"@@"`
		Whole   bool      `parser:"@('[' ']')?"`
		Shown   shownNode `parser:"@@?"`
		Default Expr      `parser:"('=' @@)?"`
	}
	gRule struct {
		Name   gIdent   `parser:"'rule' @@ '('"`
		Params []gParam `parser:"(@@ (',' @@)*)? ')'"`
	}
	gWords struct {
		Text textNode `parser:"('about' | 'source' | 'caution' | 'family' | 'example') @@"`
	}
	gConditions struct {
		List []Expr `parser:"('needs' | 'holds') @@ (',' @@)*"`
	}
	gResult struct {
		Name  gIdent    `parser:"@@ ':'"`
		Expr  Expr      `parser:"@@"`
		Shown shownNode `parser:"@@?"`
	}
	gGive struct {
		Named []gResult `parser:"'give' (@@ (',' @@)*"`
		Expr  Expr      `parser:"| @@"`
		Shown shownNode `parser:"@@?)"`
	}
	gFrom struct {
		Pos     lexer.Position
		Path    textNode    `parser:"'from' @@"`
		Options *gArguments `parser:"@@?"`
	}
	gTable struct {
		Name gIdent `parser:"'table' @@"`
		From *gFrom `parser:"@@?"`
	}
	gHead struct {
		Name  gIdent    `parser:"@@"`
		Shown shownNode `parser:"@@?"`
	}
	gPlace struct {
		Expr Expr `parser:"@@"`
	}
	gCheck struct {
		Name *gIdent  `parser:"'check' (@@ ':')?"`
		Cond Expr     `parser:"@@"`
		Else textNode `parser:"('else' @@)?"`
	}
	gPart struct {
		Name    gIdent      `parser:"'part' @@ 'from'"`
		Library bool        `parser:"@'library'?"`
		Path    textNode    `parser:"@@"`
		Replace *gArguments `parser:"@@?"`
	}
	gVariant struct {
		Name gIdent     `parser:"'variant' @@"`
		Set  gArguments `parser:"@@"`
	}
	gCorrelation struct {
		A    gPath `parser:"'correlation' @@ ','"`
		B    gPath `parser:"@@ '='"`
		Expr Expr  `parser:"@@"`
	}
	gHandout struct {
		Name  gIdent   `parser:"'handout' @@"`
		Title textNode `parser:"@@?"`
	}
	gItem struct {
		Live     bool `parser:"(@'live' (?= Name | Unit))?"`
		Expr     Expr `parser:"@@"`
		WithNote bool `parser:"@('with' 'note')?"`
	}
	gItems struct {
		List []gItem `parser:"@@ (',' @@)* ','?"`
	}
	gLine struct {
		Expr  Expr      `parser:"@@"`
		Shown shownNode `parser:"@@?"`
	}
)

// form is a parser for one form of statement, and how the form is written, for messages.
type form[G any] struct {
	parser *participle.Parser[G]
	what   string // "a cell"
	usage  string
}

func newForm[G any](what, usage string) *form[G] {
	return &form[G]{what: what, usage: usage, parser: participle.MustBuild[G](
		participle.Lexer(definition{}), participle.UseLookahead(2),
		participle.ParseTypeWith(expression), participle.ParseTypeWith(shownBracket), participle.ParseTypeWith(textProduction))}
}

var (
	formTitle       = newForm[gTitle]("a title", `title "…"`)
	formSection     = newForm[gSection]("a section", `section "…"`)
	formSystem      = newForm[gSystem]("the system of units", `system metric, or system us`)
	formCell        = newForm[gCell]("a cell", `name = VALUE [unit], or name = VALUE accept "why" (cause, …) [unit]`)
	formAsk         = newForm[gAsk]("an open cell", `ask name [unit] assume VALUE given VALUE`)
	formMeasure     = newForm[gMeasure]("a measure of the job", `1 bag = 80 lb, or 1 EUR = 1.09 USD`)
	formCount       = newForm[gCount]("a counted thing", `count pallet, pallets`)
	formRule        = newForm[gRule]("the head of a rule", `rule name(a [d], b = 5%)`)
	formWords       = newForm[gWords]("a line of a rule", `about "…", source "…", caution "…"`)
	formConditions  = newForm[gConditions]("a condition of a rule", `needs age > 0, f28 > 0`)
	formGive        = newForm[gGive]("the result of a rule", `give VALUE [unit], or give cement: VALUE, water: VALUE`)
	formTable       = newForm[gTable]("a table", `table name … end, or table name from "log.csv" (skip: 3)`)
	formHead        = newForm[gHead]("the heading of a column", `height [mm]`)
	formPlace       = newForm[gPlace]("a value of a row", `430 mm, "seat", 2027-03-01, or a formula in a bracket`)
	formCheck       = newForm[gCheck]("a check", `check name: CONDITION else "…"`)
	formPart        = newForm[gPart]("a part", `part name from "FILE.sheet" (cell: VALUE, …)`)
	formVariant     = newForm[gVariant]("a variant", `variant winter (water_temp: 8 degC, …)`)
	formCorrelation = newForm[gCorrelation]("a correlation", `correlation a, b = 0.3`)
	formHandout     = newForm[gHandout]("the head of a handout", `handout name "Title"`)
	formItems       = newForm[gItems]("the list of a handout", `total_bags with note, live bag_price, pours.pieces`)
	formLine        = newForm[gLine]("a value", `VALUE [unit]`)
)

// parse reads tokens as one form. The message, where there is one, has its place.
func (f *form[G]) parse(src *diag.Source, toks []tok) (*G, *diag.Message) {
	for _, t := range toks {
		if t.typ == tBad {
			return nil, t.bad
		}
	}
	eof := toks[len(toks)-1].to
	lex, err := lexer.Upgrade(&stream{src: src, toks: toks, eof: eof})
	if err != nil {
		return nil, diag.New(src, span(0, eof), "This line cannot be read.", "")
	}
	g, err := f.parser.ParseFromLexer(lex)
	if err == nil {
		return g, nil
	}
	var own fault
	if errors.As(err, &own) {
		own.m.Source = src
		return nil, own.m
	}
	return nil, f.unread(src, toks, err)
}

// unread turns what the grammar says into a sentence about the form.
func (f *form[G]) unread(src *diag.Source, toks []tok, err error) *diag.Message {
	usage := fmt.Sprintf("It is written: %s.", f.usage)
	var p participle.Error
	if errors.As(err, &p) {
		for i, t := range toks {
			if t.from != p.Position().Offset {
				continue
			}
			if i > 0 && src.Cut(span(toks[i-1].from, toks[i-1].to)) == "]" {
				return diag.New(src, span(t.from, t.to), "How a value is shown stands at the end of its line.", usage)
			}
			return diag.New(src, span(t.from, t.to), fmt.Sprintf("This does not read as %s: %s has no place here.", f.what, quoted(src.Cut(span(t.from, t.to)))), usage)
		}
	}
	last := toks[len(toks)-1]
	return diag.New(src, span(last.from, last.to), fmt.Sprintf("This does not read as %s: something is missing at its end.", f.what), usage)
}
