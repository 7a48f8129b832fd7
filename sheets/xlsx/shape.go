package xlsx

import (
	"math"
	"strings"

	"castwright/lang/check"
	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/sheets/xlsx/formula"
)

// held is how a workbook holds a value.
type held uint8

const (
	numeric held = iota
	dated
	yesNo    // as words
	worded   // a text
	told     // what has no cell of its own kind: its words alone
	several  // a record: one line for each value
	longList // a list that is no column
)

// shape says how values of a cell are held: a number in its shown unit, and what is put in to bring it to SI units.
type shape struct {
	kind   held
	class  program.Class
	scale  float64 // SI = what is held × scale + offset
	offset float64
	spec   *show.Spec
	typ    kind.Type
}

func shapeOf(c *check.Cell) shape {
	t := c.Type
	if c.Table != nil || inColumns(c) {
		t = t.Elem()
	}
	return shaped(t, c.Spec)
}

func fieldShape(c *check.Cell, i int) shape {
	var spec *show.Spec
	if c.Spec != nil && i < len(c.Spec.Fields) {
		spec = c.Spec.Fields[i]
	}
	return shaped(c.Type.Fields[i].Type, spec)
}

func shaped(t kind.Type, spec *show.Spec) shape {
	if spec == nil {
		spec = &show.Spec{Form: t.Form}
	}
	s := shape{scale: 1, spec: spec, typ: t}
	switch {
	case t.List && t.Form == kind.Record:
		s.kind, s.class = several, program.Record
	case t.List:
		s.kind = longList
	case t.Form == kind.Number || t.Form == kind.Point:
		if len(spec.Units) > 0 {
			s.scale, s.offset = formula.UnitOf(spec.Units[0])
		}
	case t.Form == kind.Date:
		s.kind, s.scale, s.offset = dated, 86400, -25569*86400
	case t.Form == kind.Truth:
		s.kind = yesNo
	case t.Form == kind.Text:
		s.kind, s.class = worded, program.Text
	case t.Form == kind.Record:
		s.kind, s.class = several, program.Record
	default:
		s.kind, s.class = told, program.Obj
	}
	return s
}

// number is what the cell of a workbook holds for a value in SI units.
func (s shape) number(si float64) float64 {
	x := (si - s.offset) / s.scale
	if r := math.Round(x); r != 0 && math.Abs(x-r) < 4e-16*math.Abs(r) {
		return r
	}
	return x
}

// unit is what stands beside the number.
func (s shape) unit() string {
	switch {
	case s.kind != numeric || s.spec.Percent || len(s.spec.Units) == 0:
		return ""
	}
	return s.spec.Units[0].Symbol
}

// words are what stands beside a number that no number format shows: feet and inches, fractions of an inch.
func (s shape) words(si float64) string {
	if s.kind == numeric && (len(s.spec.Units) > 1 || s.spec.Tape) {
		return s.spec.Text(si)
	}
	return ""
}

// format is the number format by the shown step; without one, four digits that count for the value as it is now.
func (s shape) format(si float64) string {
	switch s.kind {
	case dated:
		if s.spec.Word != "date" && math.Mod(math.Round(si), 86400) != 0 {
			return `yyyy\-mm\-dd\ hh:mm`
		}
		return `yyyy\-mm\-dd`
	case numeric:
	default:
		return "@"
	}
	x := s.number(si)
	lead, tail := "0", ""
	if s.spec.Percent {
		x, tail = x*100, "%"
	}
	if s.spec.Money {
		lead = "#,##0"
		if s.spec.Step == nil {
			return withDecimals(lead, s.spec.Minor, '0')
		}
	}
	if s.spec.Step != nil && !s.spec.Tape {
		n, _ := formula.Decimals(s.spec.Step)
		return withDecimals(lead, n, '0') + tail
	}
	n := 3
	if x != 0 {
		n = 3 - int(math.Floor(math.Log10(math.Abs(x))))
	}
	return withDecimals(lead, min(max(n, 0), 12), '#') + tail
}

func withDecimals(lead string, n int, digit byte) string {
	if n == 0 {
		return lead
	}
	return lead + "." + strings.Repeat(string(digit), n)
}
