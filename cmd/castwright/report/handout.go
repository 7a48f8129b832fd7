package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"castwright/lang/check"
	"castwright/lang/kind"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/disk"
)

// Handout writes what the reader of a handout sees.
func (p *Report) Handout(j *sheets.Job, name string) int {
	g, status := p.give(j, name)
	if g == nil {
		return status
	}
	fmt.Fprint(p.Out, HandoutText(j, g))
	return Fine
}

// HandoutTo writes what the reader of a handout sees into a text file.
func (p *Report) HandoutTo(j *sheets.Job, name, path string) int {
	g, status := p.give(j, name)
	if g == nil {
		return status
	}
	if err := disk.Replace(path, []byte(HandoutText(j, g))); err != nil {
		p.Refusal(err)
		return Usage
	}
	fmt.Fprintf(p.Out, "%s written.\n", path)
	return Fine
}

// give makes a handout out, or tells why it cannot be.
func (p *Report) give(j *sheets.Job, name string) (*sheets.Given, int) {
	h, err := j.FindHandout(name)
	var g *sheets.Given
	if err == nil {
		g, err = j.Give(h)
	}
	if err != nil {
		p.Refusal(err)
		return nil, Wrong
	}
	return g, Fine
}

// Refusal writes why something was not done.
func (p *Report) Refusal(err error) {
	r, ok := err.(*sheets.Refused)
	if !ok {
		fmt.Fprintf(p.Err, "%s.\n", upperFirst(strings.TrimSuffix(err.Error(), ".")))
		return
	}
	for _, m := range r.Messages {
		if m.Source == nil {
			fmt.Fprintln(p.Err, m.Error())
			continue
		}
		fmt.Fprint(p.Err, m.Draw())
	}
}

// HandoutText writes a handout as plain text.
func HandoutText(j *sheets.Job, g *sheets.Given) string {
	var b bytes.Buffer
	fmt.Fprintln(&b, g.Title)
	fmt.Fprintln(&b, strings.Repeat("=", min(len([]rune(g.Title)), 80)))
	if len(g.Lines) > 0 {
		fmt.Fprintln(&b)
	}
	var rows []line
	for _, l := range g.Lines {
		rows = append(rows, givenLine(j, &l))
	}
	w := widths(rows)
	for _, r := range rows {
		fmt.Fprintln(&b, r.write(w))
	}
	for _, t := range g.Tables {
		fmt.Fprintf(&b, "\n  %s\n", sheets.Spoken(t.Name))
		for _, note := range t.Notes() {
			fmt.Fprintln(&b, "    "+note)
		}
		writeGivenTable(&b, j, &t)
	}
	if len(g.Cautions) > 0 {
		fmt.Fprintln(&b, "\n  Cautions")
		for _, c := range g.Cautions {
			for _, l := range wrap(c, 90) {
				fmt.Fprintln(&b, "  "+l)
			}
		}
	}
	return b.String()
}

func givenLine(j *sheets.Job, l *sheets.GivenLine) line {
	out := line{name: l.Name, state: l.Remark, note: l.Note}
	switch {
	case l.Fill:
		out.number, out.unit = "________", unitOf(l.Cell)
		return out
	case l.Empty:
		out.unit = "-"
		return out
	case l.Check != nil:
		out.unit = string(l.Check.State)
		return out
	}
	shown := shownText(l.Cell, j.Value(l.Cell), value.OK, j.Engine.StateOf)
	out.number, out.unit = numberAndUnit(l.Cell, shown)
	if f := l.Cell.Type.Form; f != kind.Number && f != kind.Point {
		out.number, out.unit = "", shown
	}
	return out
}

func unitOf(c *check.Cell) string {
	if c.Spec == nil || len(c.Spec.Units) == 0 {
		return ""
	}
	return c.Spec.Units[0].Symbol
}

func writeGivenTable(w io.Writer, j *sheets.Job, t *sheets.GivenTable) {
	g := columns{tails: make([]string, t.Rows)}
	for _, k := range t.Columns {
		g.heads = append(g.heads, k.Name)
		v, typ, spec := j.Value(k.Cell), k.Cell.Type.Elem(), k.Cell.Spec
		if k.Field >= 0 {
			typ = typ.Fields[k.Field].Type
			v = &v.Fields[k.Field]
			if spec != nil && k.Field < len(spec.Fields) {
				spec = spec.Fields[k.Field]
			}
		}
		if spec == nil {
			spec = &show.Spec{Form: typ.Form}
		}
		g.words = append(g.words, typ.Form != kind.Number && typ.Form != kind.Point)
		var out []string
		for i := range t.Rows {
			switch {
			case k.Fill[i]:
				out = append(out, "____")
			case k.Empty[i]:
				out = append(out, "-")
			default:
				out = append(out, show.Column(spec, typ, v.Single(i)))
			}
		}
		g.cells = append(g.cells, out)
	}
	for _, l := range g.lines() {
		fmt.Fprintln(w, "    "+l)
	}
}
