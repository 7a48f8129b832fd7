package xlsx

import (
	"encoding/base64"
	"encoding/xml"
	"maps"
	"slices"
	"strconv"

	"castwright/lang/check"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/book"
)

// carried is the part of a full export that holds the job: the texts of its sheets, and what their cells held when they were
// written, so that an import can tell whether they still agree.
type carried struct {
	XMLName xml.Name       `xml:"urn:castwright:job:1 job"`
	Sheets  []carriedSheet `xml:"sheet"`
	Files   []carriedSheet `xml:"file"`
	Cells   []carriedCell  `xml:"cell"`
}

type carriedSheet struct {
	Name string `xml:"name,attr"`
	Text string `xml:",cdata"`
}

// carriedCell is one input cell, or the first of a column of them: where it stands and what it is.
type carriedCell struct {
	Path   string  `xml:"path,attr"`
	Sheet  string  `xml:"sheet,attr"`
	Ref    string  `xml:"ref,attr"`
	Rows   int     `xml:"rows,attr,omitempty"`
	Held   string  `xml:"held,attr"`
	Scale  float64 `xml:"scale,attr"`
	Offset float64 `xml:"offset,attr"`
	Role   string  `xml:"role,attr"`
	Value  string  `xml:"value,attr"`

	Unit    string `xml:"unit,attr,omitempty"`    // as it stands beside the number; % for a share
	Formula string `xml:"formula,attr,omitempty"` // of a single cell that is worked out
	Note    string `xml:"note,attr,omitempty"`    // what stands in the column of notes, as encode writes it
}

// noRows stands for the rows of a table that has none: a 0 would be a single cell.
const noRows = -1

// encode keeps a text byte for byte: XML would change line ends and refuse some characters.
func encode(s string) string { return base64.StdEncoding.EncodeToString([]byte(s)) }

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// carry puts the job's own texts into the workbook.
func (e *exporter) carry() error {
	c := carried{}
	for _, s := range e.j.Sheets {
		c.Sheets = append(c.Sheets, carriedSheet{s.Name, encode(s.File.Print())})
	}
	files := e.j.Files()
	for _, name := range slices.Sorted(maps.Keys(files)) {
		c.Files = append(c.Files, carriedSheet{name, encode(files[name])})
	}
	for _, p := range e.pages {
		c.Cells = append(c.Cells, e.carriedOn(p)...)
	}
	data, err := xml.Marshal(c)
	if err != nil {
		return err
	}
	if e.book.Parts == nil {
		e.book.Parts = map[string][]byte{}
	}
	e.book.Parts["customXml/item1.xml"] = append([]byte(xml.Header), data...)
	return nil
}

// carriedOn lists the cells of a page with what they hold.
func (e *exporter) carriedOn(p *page) []carriedCell {
	cells := p.sheet.Cells()
	if p.table != nil {
		cells = p.table.Columns
	}
	var out []carriedCell
	for _, k := range cells {
		pl := e.places[k]
		if pl == nil || pl.page != p || p.table == nil && !listed(k) || k.Role == check.Rows || pl.shape.kind > worded {
			continue
		}
		out = append(out, carriedOf(e.j, k, pl))
	}
	return out
}

func carriedOf(j *sheets.Job, c *check.Cell, pl *place) carriedCell {
	out := carriedCell{Path: c.Path(), Sheet: pl.page.name, Ref: book.Ref(pl.col, pl.row), Rows: pl.n, Scale: pl.shape.scale, Offset: pl.shape.offset}
	out.Held, out.Unit = heldNames[pl.shape.kind], pl.shape.unit()
	if pl.shape.kind == numeric && pl.shape.spec.Percent {
		out.Unit = "%"
	}
	if pl.rowless(c) {
		out.Rows = noRows
	}
	if c.Table == nil && !c.Type.List && c.Note != "" {
		out.Note = encode(c.Note)
	}
	_, input := roleOf(c)
	if c.Table != nil {
		input = c.Role == check.Column && c.Replaced == nil
	}
	out.Role = "worked"
	if input {
		out.Role = "input"
	}
	if c.Role == check.Ask && input {
		out.Role = "ask"
	}
	out.Formula = pl.formula()
	if c.Table == nil && !c.Type.List && j.State(c) < value.Open {
		v := j.Value(c)
		switch {
		case len(v.Num) == 1:
			out.Value = number(pl.shape.number(v.Num[0]))
		case len(v.Text) == 1:
			out.Value = encode(v.Text[0])
		}
	}
	return out
}

// formula is the formula that was written for a single cell; none where the page is only laid out, and not filled.
func (p *place) formula() string {
	if rows := p.page.out.Rows; p.n == 0 && p.row <= len(rows) && p.col <= len(rows[p.row-1].Cells) {
		return rows[p.row-1].Cells[p.col-1].Formula
	}
	return ""
}
