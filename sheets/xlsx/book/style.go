package book

import (
	"fmt"

	"github.com/xuri/excelize/v2"
)

// Role says what a cell is for; the looks follow from it. States are told in words in the cell too: colour helps the eye,
// and a page printed in black still says the same.
type Role uint8

// The roles of cells.
const (
	Plain   Role = iota
	Title        // the first line of a sheet
	Section      // a heading over rows
	Head         // a heading of a table or of columns
	Item         // the name of a row
	Input        // a value that may be changed
	Open         // a value to be filled in
	Worked       // a value that is worked out
	Unit         // a unit beside a value
	Note         // words beside a value
	Holds        // a condition that holds
	Fails        // a condition that does not
	Unknown      // a condition that is not known yet
	Caution      // words that keep someone from harm
	Total        // a sum below rows
	roles
)

// The face of all text, and the colours: a slate for what leads the eye, greys for what stands back, and blue against
// amber for states, which eyes that confuse red and green tell apart.
const (
	face   = "Arial"
	size   = 10
	ink    = "1F2933"
	slate  = "243B53"
	grey   = "52606D"
	rule   = "BCC7D1"
	faint  = "DDE3E9"
	mist   = "EDF1F5"
	cream  = "FFFBEA"
	honey  = "FFF0BF"
	bronze = "A97A12"
	sky    = "E4EEF7"
	blue   = "1D4E79"
	peach  = "FCE6D2"
	rust   = "8A3A06"
)

// look is what a role looks like, under its name in the list of styles.
type look struct {
	name    string
	size    float64
	bold    bool
	italic  bool
	colour  string
	fill    string
	borders []excelize.Border
	across  string // horizontal alignment
	indent  int
	height  float64 // of a row with such a cell, in points; 0 for the usual
}

// The numbers of line styles are those of excelize's documentation: 1 thin, 2 medium, 4 dotted, 6 double.
func edge(side string, style int, colour string) excelize.Border {
	return excelize.Border{Type: side, Style: style, Color: colour}
}

func box(style int, colour string) []excelize.Border {
	return []excelize.Border{edge("left", style, colour), edge("right", style, colour), edge("top", style, colour), edge("bottom", style, colour)}
}

func under(style int, colour string) []excelize.Border {
	return []excelize.Border{edge("bottom", style, colour)}
}

var looks = [roles]look{
	Plain:   {name: "Plain", colour: ink},
	Title:   {name: "Title line", size: 18, bold: true, colour: slate, height: 30},
	Section: {name: "Section heading", size: 12, bold: true, colour: slate, borders: under(1, slate), height: 26},
	Head:    {name: "Column heading", bold: true, colour: slate, fill: mist, borders: []excelize.Border{edge("top", 1, slate), edge("bottom", 1, slate)}, height: 19},
	Item:    {name: "Item", colour: ink, borders: under(1, faint), across: "left"},
	Input:   {name: "Given", colour: blue, fill: cream, borders: box(1, rule)},
	Open:    {name: "Fill in", bold: true, colour: blue, fill: honey, borders: box(2, bronze)},
	Worked:  {name: "Worked out", colour: ink, borders: under(1, faint)},
	Unit:    {name: "Unit of value", colour: grey, borders: under(1, faint), across: "left", indent: 1},
	Note:    {name: "Remark beside", size: 9, colour: grey, borders: under(1, faint), across: "left"},
	Holds:   {name: "Holds", bold: true, colour: blue, fill: sky, borders: under(1, blue)},
	Fails:   {name: "Fails", bold: true, colour: rust, fill: peach, borders: box(2, rust)},
	Unknown: {name: "Not known yet", italic: true, colour: grey, fill: mist, borders: under(4, grey)},
	Caution: {name: "Caution line", colour: ink, fill: cream, borders: []excelize.Border{edge("top", 1, bronze), edge("bottom", 1, bronze)}, across: "left", indent: 1},
	Total:   {name: "Sum", bold: true, colour: ink, borders: []excelize.Border{edge("top", 1, slate), edge("bottom", 6, slate)}},
}

func (l look) font() *excelize.Font {
	f := &excelize.Font{Family: face, Size: l.size, Bold: l.bold, Italic: l.italic, Color: l.colour}
	if f.Size == 0 {
		f.Size = size
	}
	return f
}

// firstFormat is where the numbers of the number formats of tables begin, beyond those of cells.
const firstFormat = 10_000

// styles gives each style its number in the package.
type styles struct {
	f     *excelize.File
	named [roles]int // the number of the named style
	ids   map[styleKey]int
	dxfs  map[any]int // of a Role, or of the number format of a column of a table
}

// styleKey tells cells apart whose text must not become a formula when a person edits it.
type styleKey struct {
	Style
	quoted bool
}

// newStyles puts the named styles into a file that has none of ours yet. The first of them is that of all cells without
// a style.
func newStyles(f *excelize.File) (*styles, error) {
	s := &styles{f: f, ids: map[styleKey]int{}, dxfs: map[any]int{}}
	sheet := f.Styles
	sheet.TableStyles = nil
	font := sheet.Fonts.Font[0]
	plain := *font
	*plain.Name, *plain.Sz = *font.Name, *font.Sz
	name, points := face, float64(size)
	plain.Name.Val, plain.Sz.Val = &name, &points
	sheet.Fonts.Font[0] = &plain
	first := sheet.CellStyles.CellStyle[0]
	first.Name, first.BuiltInID = looks[Plain].name, nil
	for role := Plain + 1; role < roles; role++ {
		id, err := f.NewStyle(Style{Role: role}.excelize())
		if err != nil {
			return nil, err
		}
		n := len(sheet.CellStyleXfs.Xf)
		xf := sheet.CellXfs.Xf[id]
		xf.XfID = nil
		if role == Worked { // cells without a style stand as high in their rows as others
			sheet.CellStyleXfs.Xf[0].Alignment = xf.Alignment
			sheet.CellXfs.Xf[0].Alignment = xf.Alignment
		}
		sheet.CellStyleXfs.Xf = append(sheet.CellStyleXfs.Xf, xf)
		sheet.CellStyleXfs.Count = n + 1
		named := *first
		named.Name, named.XfID = looks[role].name, n
		sheet.CellStyles.CellStyle = append(sheet.CellStyles.CellStyle, &named)
		sheet.CellStyles.Count = n + 1
		s.named[role] = n
	}
	return s, nil
}

// excelize gives the style as the library has it.
func (s Style) excelize() *excelize.Style {
	l := looks[s.Role]
	x := &excelize.Style{Font: l.font(), Border: l.borders}
	if l.fill != "" {
		x.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.fill}}
	}
	a := &excelize.Alignment{Horizontal: l.across, Indent: l.indent + s.Indent, Vertical: "center", WrapText: s.Wrap}
	if s.Wrap && s.Role != Caution {
		a.Vertical = "top"
	}
	switch {
	case s.Right:
		a.Horizontal = "right"
	case s.Indent > 0:
		a.Horizontal = "left"
	}
	x.Alignment = a
	x.Protection = &excelize.Protection{Locked: !s.Unlocked}
	if s.Format != "" {
		x.CustomNumFmt = &s.Format
	}
	return x
}

// id gives the number of a style, writing it the first time.
func (s *styles) id(style Style, quoted bool) (int, error) {
	if style == (Style{}) && !quoted {
		return 0, nil
	}
	key := styleKey{style, quoted}
	if id, ok := s.ids[key]; ok {
		return id, nil
	}
	id, err := s.f.NewStyle(style.excelize())
	if err != nil {
		return 0, fmt.Errorf("The number format %q cannot be written: %w.", style.Format, err)
	}
	// A copy, since the library gives one number to roles that look the same.
	cells := s.f.Styles.CellXfs
	xf := cells.Xf[id]
	xf.XfID = to(s.named[style.Role])
	if quoted {
		xf.QuotePrefix = to(true)
	}
	id = len(cells.Xf)
	cells.Xf = append(cells.Xf, xf)
	cells.Count = len(cells.Xf)
	s.ids[key] = id
	return id, nil
}

// state gives the number of a look that a rule puts over a cell. Faces and sizes stay the cell's own: they cannot be
// put over.
func (s *styles) state(role Role) (int, error) {
	x := Style{Role: role}.excelize()
	x.Font = &excelize.Font{Bold: looks[role].bold, Italic: looks[role].italic, Color: looks[role].colour}
	x.Alignment, x.Protection = nil, nil
	for i, b := range x.Border {
		if b.Style > 1 { // heavier lines cannot be put over either
			x.Border = append([]excelize.Border(nil), x.Border...)
			x.Border[i].Style = 1
		}
	}
	return s.dxf(role, x)
}

// format gives the number of a number format for the new rows of a table.
func (s *styles) format(code string) (int, error) {
	id, err := s.dxf(code, &excelize.Style{CustomNumFmt: &code})
	if err == nil {
		// The library counts on from the formats of cells, which may take the same number later.
		s.f.Styles.Dxfs.Dxfs[id].NumFmt.NumFmtID = firstFormat + id
	}
	return id, err
}

func (s *styles) dxf(key any, x *excelize.Style) (int, error) {
	if id, ok := s.dxfs[key]; ok {
		return id, nil
	}
	id, err := s.f.NewConditionalStyle(x)
	if err == nil {
		s.dxfs[key] = id
	}
	return id, err
}
