package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/value"
)

// view is a value as it is told to a program (--json): the field names are a contract.
type view struct {
	Name     string   `json:"name"`
	Type     string   `json:"type"`
	Value    any      `json:"value"`
	Unit     string   `json:"unit"`
	SI       any      `json:"si"`
	Kind     string   `json:"kind"`
	Shown    any      `json:"shown"`
	Status   string   `json:"status"`
	Messages []string `json:"messages"`
}

// checkView is a check as it is told to a program.
type checkView struct {
	Name      string   `json:"name"`
	Condition string   `json:"condition"`
	Status    string   `json:"status"` // holds, fails, unknown
	Text      string   `json:"text"`
	Rows      []int    `json:"rows,omitempty"` // those that fail, from 1
	Messages  []string `json:"messages"`
}

var typeNames = map[kind.Form]string{
	kind.Number: "number", kind.Point: "temperature", kind.Date: "date", kind.Truth: "truth", kind.Text: "text",
	kind.Place: "point", kind.Outline: "outline", kind.Solid: "solid", kind.Record: "record", kind.Step: "step",
}

// viewOf makes the view of a checked and computed cell.
func viewOf(name string, c *check.Cell, v *value.Column, state value.State, causes []engine.Cause, stateOf marks) view {
	out := view{Name: name, Status: state.String(), Messages: []string{}, Shown: ""}
	for _, x := range causes {
		out.Messages = append(out.Messages, oneLine(x))
	}
	if c == nil || c.Fault != nil && c.Spec == nil {
		return out
	}
	spec := c.Spec
	if spec == nil {
		spec = &show.Spec{Form: c.Type.Form}
	}
	out.Type, out.Kind = typeNames[c.Type.Form], c.Type.Elem().String()
	if c.Type.Form == kind.Number || c.Type.Form == kind.Point {
		out.Unit = spec.UnitText()
	}
	if state >= value.Open && !c.Type.List || v.Len() == 0 && !c.Type.List {
		return out
	}
	if !c.Type.List {
		out.Shown = show.Column(spec, c.Type, v)
		out.Value, out.SI = element(c.Type, spec, v, 0)
		return out
	}
	values, sis, shown := []any{}, []any{}, []any{}
	for i := range v.Len() {
		if stateOf(v.Mark(i)) >= value.Open { // no number stands for what is open or a mistake
			values, sis, shown = append(values, nil), append(sis, nil), append(shown, "")
			continue
		}
		x, si := element(c.Type.Elem(), spec, v, i)
		text := any("")
		if c.Type.Form != kind.Record {
			text = show.Column(spec, c.Type.Elem(), v.Single(i))
		}
		values, sis, shown = append(values, x), append(sis, si), append(shown, text)
	}
	out.Value, out.SI, out.Shown = values, sis, shown
	return out
}

func engineID(c *check.Cell) engine.ID { return engine.ID(c.ID) }

// element gives the value in the shown unit, unrounded, and in SI, of row i.
func element(t kind.Type, spec *show.Spec, v *value.Column, i int) (x, si any) {
	switch t.Form {
	case kind.Number, kind.Point:
		n := v.Num[i]
		x = number(spec.Number(n))
		if !hasMoney(t.Dim) {
			si = number(n)
		}
	case kind.Truth:
		x = v.Num[i] != 0
	case kind.Date:
		sec := int64(math.Round(v.Num[i]))
		x = show.DateText(sec, sec%86400 != 0)
	case kind.Text:
		x = v.Text[i]
	case kind.Place:
		if p, ok := v.Obj[i].(value.Place); ok {
			x = []any{number(spec.Number(p.X)), number(spec.Number(p.Y))}
			si = []any{p.X, p.Y}
		}
	case kind.Record:
		fields := map[string]any{}
		for k, f := range t.Fields {
			sp := &show.Spec{Form: f.Type.Form}
			if k < len(spec.Fields) && spec.Fields[k] != nil {
				sp = spec.Fields[k]
			}
			if k < len(v.Fields) && v.Fields[k].Len() > i {
				fields[f.Name], _ = element(f.Type, sp, &v.Fields[k], i)
			}
		}
		x = fields
	}
	return x, si
}

// number keeps what JSON cannot say from breaking a line.
func number(x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return x
}

func hasMoney(d kind.Dim) bool {
	for _, n := range d.Named() {
		if n.Money {
			return true
		}
	}
	return false
}

// oneLine tells a cause in one line with its place.
func oneLine(x engine.Cause) string { return messageLine(x.Message()) }

func messageLine(m *diag.Message) string {
	s := m.Text
	if m.WayOut != "" {
		s += " " + m.WayOut
	}
	if m.Source == nil {
		return s
	}
	line, place := m.Source.Position(m.Span.From)
	return fmt.Sprintf("%s, line %d, place %d: %s", m.Source.Name, line, place, s)
}

func writeJSON(w io.Writer, x any, lines bool) {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	if !lines {
		e.SetIndent("", "  ")
	}
	_ = e.Encode(x) // a closed pipe ends the program by itself
}

// shownText writes a value for a person; what is open or a mistake is said in words.
func shownText(c *check.Cell, v *value.Column, state value.State, stateOf marks) string {
	if state >= value.Open && !c.Type.List {
		return ""
	}
	if v.Len() == 0 && state == value.Mistake {
		return ""
	}
	spec := c.Spec
	if spec == nil {
		spec = &show.Spec{Form: c.Type.Form}
	}
	return show.ColumnWithStates(spec, c.Type, v, stateOf)
}

// marks reads the state of a row's mark.
type marks = func(value.Mark) value.State

// numberAndUnit parts what is shown into the number and its unit, for columns.
func numberAndUnit(c *check.Cell, shown string) (string, string) {
	if c.Type.List || c.Spec == nil || c.Type.Form != kind.Number && c.Type.Form != kind.Point || len(c.Spec.Units) != 1 {
		return shown, ""
	}
	if i := strings.LastIndexByte(shown, ' '); i > 0 {
		return shown[:i], shown[i+1:]
	}
	return shown, ""
}
