package xlsx

import (
	"encoding/base64"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets/xlsx/read"
)

// reading is what a cell of a workbook holds: as the language writes it, as it is shown, and as a value.
type reading struct {
	literal, shown string
	number         float64 // in SI units; of a date, seconds
	text           string
	isText         bool
}

// is tells whether a value is what was read.
func (x *reading) is(v *value.Column) bool {
	if x.isText {
		return len(v.Text) == 1 && v.Text[0] == x.text
	}
	return len(v.Num) == 1 && near(v.Num[0], x.number)
}

// near tells whether two numbers are one: another program may have written the last digit otherwise.
func near(x, y float64) bool {
	return x == y || math.Abs(x-y) <= 1e-12*math.Max(math.Abs(x), math.Abs(y))
}

// carriedValue is what a cell held when the workbook was written.
func carriedValue(k *carriedCell) (*reading, bool) {
	if k.Value == "" {
		return nil, false
	}
	if k.Held == "text" {
		text, err := base64.StdEncoding.DecodeString(k.Value)
		return &reading{text: string(text), isText: true}, err == nil
	}
	n, err := strconv.ParseFloat(k.Value, 64)
	if k.Held == "truth" {
		return &reading{number: n}, err == nil
	}
	si := n*k.Scale + k.Offset
	if k.Held == "date" {
		si = math.Round(si)
	}
	return &reading{number: si}, err == nil
}

// same tells whether a cell still holds what was written there.
func (o *Ours) same(k *carriedCell, c *read.Cell) bool {
	then, ok := carriedValue(k)
	if !ok {
		return c.Kind == read.Problem || k.Held == "text" && c.Kind == read.Text && c.Text == "" && k.Value == ""
	}
	now, why := o.plain(c, k)
	switch {
	case why != "":
		return false
	case k.Held == "text":
		return c.Kind == read.Text && c.Text == text(then.text, 0).Text
	case k.Held == "number":
		n, _ := strconv.ParseFloat(k.Value, 64)
		return near(c.Number, n)
	}
	return now.number == then.number
}

// reading reads what a cell holds for a cell of the job, in the unit that stood beside it, and makes sure that the job
// understands the same by it.
func (r *returned) reading(c *read.Cell, k *carriedCell, cell *check.Cell, s *check.Sheet) (*reading, string) {
	x, why := r.o.plain(c, k)
	if why != "" {
		return nil, why
	}
	typ := cell.Type
	if cell.Table != nil {
		typ = typ.Elem()
	}
	line, v, _, _, ms := r.j.Line(s, &diag.Source{Name: "the workbook", Text: x.literal})
	switch {
	case line == nil || ms.Mistakes() > 0:
		why := "it cannot be written in a sheet"
		if len(ms) > 0 {
			why += ": " + ms[0].Text
		}
		return nil, why
	case !line.Type.Same(typ):
		return nil, fmt.Sprintf("the job wants another kind of value here now than %s", x.shown)
	case x.isText && !x.is(v):
		return nil, "this text cannot be written in a sheet"
	case !x.isText && (len(v.Num) != 1 || math.Abs(v.Num[0]-x.number) > 1e-9*math.Max(math.Abs(v.Num[0]), math.Abs(x.number))):
		return nil, fmt.Sprintf("the unit %s is another amount in the job now", k.Unit)
	}
	return x, ""
}

// plain reads what a cell holds, by what was written there; why tells what does not fit.
func (o *Ours) plain(c *read.Cell, k *carriedCell) (x *reading, why string) {
	if heldWords[k.Held] == "" || strings.ContainsAny(k.Unit, " #[]\"{}|±,;:=\n\t") {
		return nil, "what this workbook says of the cell is damaged"
	}
	switch k.Held {
	case "number":
		if c.Kind == read.Number {
			return numberIn(c, k)
		}
	case "date":
		if seconds, ok := o.seconds(c); ok {
			s := show.DateText(seconds, seconds%86400 != 0)
			return &reading{literal: s, shown: s, number: float64(seconds)}, ""
		}
	case "truth":
		word := strings.ToLower(strings.TrimSpace(c.Text))
		switch {
		case c.Kind == read.Truth && c.Truth, c.Kind == read.Text && word == "yes":
			return &reading{literal: "yes", shown: "yes", number: 1}, ""
		case c.Kind == read.Truth, c.Kind == read.Text && word == "no":
			return &reading{literal: "no", shown: "no"}, ""
		}
	case "text":
		s := c.Text
		if c.Kind == read.Number {
			s = number(c.Number)
		}
		if c.Kind == read.Text && s != plainText(s) {
			return nil, "this text holds line ends or other signs that a text of a sheet cannot hold"
		}
		if c.Kind == read.Text || c.Kind == read.Number && !read.IsDate(c.Format) {
			return &reading{literal: quotedText(s), shown: s, text: s, isText: true}, ""
		}
	}
	unit := ""
	if k.Held == "number" && k.Unit != "" {
		unit = ", in " + k.Unit
	}
	return nil, fmt.Sprintf("%s is wanted%s, and %s stands there", heldWords[k.Held], unit, describe(c))
}

var heldWords = map[string]string{"number": "a number", "date": "a date", "truth": "yes or no", "text": "a text"}

// numberIn reads a number. A program may have turned what was typed into a date or a share, and shows it as such.
func numberIn(c *read.Cell, k *carriedCell) (*reading, string) {
	x := &reading{literal: number(c.Number), number: c.Number*k.Scale + k.Offset}
	switch {
	case read.IsDate(c.Format):
		return nil, "a number is wanted, and a date stands there"
	case k.Unit == "%":
		x.literal = number(roundDigits(c.Number*100)) + "%"
	case k.Unit != "" && strings.Contains(c.Format, "%"):
		return nil, fmt.Sprintf("a number in %s is wanted, and a share in %% stands there", k.Unit)
	case k.Unit != "":
		x.literal += " " + k.Unit
	}
	x.shown = x.literal
	return x, ""
}

// firstDay is 1900-03-01, the first day that a cell of ours takes.
const firstDay = 61

// seconds reads a date, as seconds since 1970; days before 1900-03-01 are texts in a workbook.
func (o *Ours) seconds(c *read.Cell) (int64, bool) {
	switch c.Kind {
	case read.Number:
		if c.Number < firstDay && !read.IsDate(c.Format) {
			return 0, false // a small number, and no date
		}
		return read.DateOf(c.Number, o.book.Dates1904)
	case read.Text:
		for _, layout := range []string{"2006-01-02", "2006-01-02T15:04", "2006-01-02 15:04"} {
			if t, err := time.Parse(layout, strings.TrimSpace(c.Text)); err == nil {
				return t.Unix(), true
			}
		}
	}
	return 0, false
}

// roundDigits keeps 8% from coming back as 8.000000000000002%.
func roundDigits(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 14, 64), 64)
	return y
}

// quotedText writes a text as a literal: nothing in it is filled in.
func quotedText(s string) string {
	return `"` + strings.NewReplacer(`"`, `""`, "{", "{{").Replace(s) + `"`
}

// plainText puts a blank for each sign that would end a line, or that a screen would obey.
func plainText(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, s)
}

func describe(c *read.Cell) string {
	switch c.Kind {
	case read.Number:
		return "the number " + number(c.Number)
	case read.Text:
		return fmt.Sprintf("the text %q", short(c.Text))
	case read.Truth:
		return "a yes or no"
	case read.Problem:
		return "the mistake " + c.Text
	}
	return "nothing"
}

// short keeps what is told to a length that a person reads.
func short(s string) string {
	if r := []rune(s); len(r) > 80 {
		return string(r[:80]) + "…"
	}
	return s
}
