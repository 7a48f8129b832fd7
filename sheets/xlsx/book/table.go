package book

import (
	"encoding/xml"
	"fmt"
	"strings"
)

// checkTables looks at the tables of a sheet, and that their headings stand in its cells.
func (s *Sheet) checkTables() error {
	var before []area
	for _, t := range s.Tables {
		a, ok := rectangle(t.Ref)
		p := ""
		switch {
		case !ok:
			p = fmt.Sprintf("%q is no range", t.Ref)
		case a.bottom == a.top:
			p = "it has no row below its headings"
		case len(t.Columns) != a.right-a.left+1:
			p = fmt.Sprintf("it has %d columns, its range %d", len(t.Columns), a.right-a.left+1)
		default:
			p = s.headProblem(t, a)
		}
		for _, b := range before {
			if a.meets(b) {
				p = "it lies over another table"
			}
		}
		if p != "" {
			return fmt.Errorf("The table %q of %q cannot be written: %s.", t.Name, s.Name, p)
		}
		before = append(before, a)
	}
	return nil
}

// headProblem says why the headings of a table cannot be written, or nothing. Where they differ from the cells, programs
// take the whole workbook for damaged.
func (s *Sheet) headProblem(t Table, a area) string {
	if a.top > len(s.Rows) {
		return "its headings are not among the rows of the sheet"
	}
	cells := s.Rows[a.top-1].Cells
	names := map[string]bool{}
	for i, c := range t.Columns {
		if p := plainProblem(c.Name, maxName, "the name of a column"); p != "" {
			return p
		}
		if p := plainProblem(c.Format, maxFormat, "the number format of a column"); p != "" {
			return p
		}
		at := a.left - 1 + i
		switch {
		case c.Name == "":
			return "a column has no name"
		case taken(names, c.Name):
			return fmt.Sprintf("two of its columns are called %q", c.Name)
		case at >= len(cells) || cells[at].Kind != Text || cells[at].Formula != "" || cells[at].Text != c.Name:
			return fmt.Sprintf("the cell of its column %q does not hold that name", c.Name)
		}
	}
	return ""
}

// tablePart is the part of a table, after ISO/IEC 29500-1, 18.5.1. It names no style: the cells have their own.
type tablePart struct {
	XMLName     xml.Name      `xml:"http://schemas.openxmlformats.org/spreadsheetml/2006/main table"`
	ID          int           `xml:"id,attr"`
	Name        string        `xml:"name,attr"`
	DisplayName string        `xml:"displayName,attr"`
	Ref         string        `xml:"ref,attr"`
	TotalsRow   int           `xml:"totalsRowShown,attr"`
	Filter      *filterPart   `xml:"autoFilter"`
	Columns     columnsOfPart `xml:"tableColumns"`
}

type filterPart struct {
	Ref string `xml:"ref,attr"`
}

type columnsOfPart struct {
	Count   int          `xml:"count,attr"`
	Columns []columnPart `xml:"tableColumn"`
}

type columnPart struct {
	ID    int    `xml:"id,attr"`
	Name  string `xml:"name,attr"`
	DxfID *int   `xml:"dataDxfId,attr"`
}

// part writes the part of a table; id is its number in the workbook.
func (t Table) part(id int, st *styles) ([]byte, error) {
	p := tablePart{ID: id, Name: t.Name, DisplayName: t.Name, Ref: t.Ref}
	if t.Filter {
		p.Filter = &filterPart{t.Ref}
	}
	p.Columns.Count = len(t.Columns)
	for i, c := range t.Columns {
		col := columnPart{ID: i + 1, Name: escaped(c.Name)}
		if c.Format != "" {
			n, err := st.format(c.Format)
			if err != nil {
				return nil, err
			}
			col.DxfID = &n
		}
		p.Columns.Columns = append(p.Columns.Columns, col)
	}
	text, err := xml.Marshal(p)
	return append([]byte(xml.Header), text...), err
}

// addTables makes the parts of the tables of a sheet and joins them to it. They are numbered through the workbook.
func (p *pack) addTables(s *Sheet, sheetPart string, st *styles) error {
	if len(s.Tables) == 0 {
		return nil
	}
	var refs strings.Builder
	for _, t := range s.Tables {
		p.tables++
		name := fmt.Sprintf("xl/tables/table%d.xml", p.tables)
		text, err := t.part(p.tables, st)
		if err != nil {
			return err
		}
		if err := p.add(name, tableType, text); err != nil {
			return err
		}
		id, err := p.relate(sheetPart, relTable, name)
		if err != nil {
			return err
		}
		fmt.Fprintf(&refs, `<tablePart xmlns:r=%q r:id=%q/>`, relNamespace, id)
	}
	end := "</worksheet>"
	sheet := string(p.parts[sheetPart])
	if !strings.HasSuffix(sheet, end) || strings.Contains(sheet, "<extLst") {
		return fmt.Errorf("The tables of %q cannot be joined to their sheet.", s.Name)
	}
	p.parts[sheetPart] = fmt.Appendf(nil, `%s<tableParts count="%d">%s</tableParts>%s`, strings.TrimSuffix(sheet, end), len(s.Tables), refs.String(), end)
	return nil
}
