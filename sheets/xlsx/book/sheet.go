package book

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Numbers of paper sizes, ISO/IEC 29500-1, 18.3.1.63.
const (
	paperLetter = 1
	paperA4     = 9
)

// rowHeight is the usual height of a row, in points: a little air above and below text of 10 points.
const rowHeight = 16.5

// setUp gives a worksheet all but its rows and tables.
func setUp(f *excelize.File, b *Book, s *Sheet, st *styles) error {
	steps := []func(*excelize.File, *Book, *Sheet, *styles) error{
		setView, setColumns, setPage, setSpans, setRules, setInputs, setRemarks, setDrawings,
	}
	for _, step := range steps {
		if err := step(f, b, s, st); err != nil {
			return fmt.Errorf("The sheet %q cannot be written: %w.", s.Name, err)
		}
	}
	if !s.Protect {
		return nil
	}
	// A reader may write remarks, which are objects, filter, and make columns wider.
	return f.ProtectSheet(s.Name, &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true, FormatColumns: true, FormatRows: true, EditObjects: true, AutoFilter: true,
	})
}

func to[T any](v T) *T { return &v }

func setView(f *excelize.File, _ *Book, s *Sheet, _ *styles) error {
	props := &excelize.SheetPropsOptions{FitToPage: to(true), DefaultRowHeight: to(rowHeight), CustomHeight: to(true)}
	if s.Tab != "" {
		props.TabColorRGB = to("FF" + strings.ToUpper(s.Tab))
	}
	if err := f.SetSheetProps(s.Name, props); err != nil {
		return err
	}
	if err := f.SetSheetView(s.Name, 0, &excelize.ViewOptions{ShowGridLines: to(false)}); err != nil {
		return err
	}
	if s.Freeze == 0 {
		return nil
	}
	below := Ref(1, s.Freeze+1)
	return f.SetPanes(s.Name, &excelize.Panes{Freeze: true, YSplit: s.Freeze, TopLeftCell: below, ActivePane: "bottomLeft",
		Selection: []excelize.Selection{{SQRef: below, ActiveCell: below, Pane: "bottomLeft"}}})
}

func setColumns(f *excelize.File, _ *Book, s *Sheet, _ *styles) error {
	for i, w := range s.Widths {
		if w == 0 {
			continue
		}
		if err := f.SetColWidth(s.Name, letters(i+1), letters(i+1), w); err != nil {
			return err
		}
	}
	return nil
}

// setPage lays the sheet out for print: one page wide, as many high as it takes.
func setPage(f *excelize.File, b *Book, s *Sheet, _ *styles) error {
	paper, turn := paperA4, "portrait"
	if b.Letter {
		paper = paperLetter
	}
	if s.Landscape {
		turn = "landscape"
	}
	if err := f.SetPageLayout(s.Name, &excelize.PageLayoutOptions{Size: &paper, Orientation: &turn, FitToWidth: to(1), FitToHeight: to(0)}); err != nil {
		return err
	}
	if err := f.SetPageMargins(s.Name, &excelize.PageLayoutMarginsOptions{
		Left: to(0.6), Right: to(0.6), Top: to(0.8), Bottom: to(0.7), Header: to(0.4), Footer: to(0.4),
	}); err != nil {
		return err
	}
	if err := f.SetHeaderFooter(s.Name, pageTexts(b.Title)); err != nil {
		return err
	}
	if s.TitleRows == 0 {
		return nil
	}
	rows := fmt.Sprintf("%s!$1:$%d", Quote(s.Name), s.TitleRows)
	return f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: rows, Scope: s.Name})
}

// pageTexts are the header and the footer of a page. A header holds 255 characters, its codes among them, and an
// ampersand in it is written twice.
func pageTexts(title string) *excelize.HeaderFooterOptions {
	title = cut(oneLine(title), 100)
	title = strings.ReplaceAll(title, "&", "&&")
	o := &excelize.HeaderFooterOptions{OddFooter: fmt.Sprintf(`&L&8&"%s,Regular"&A&R&8&"%s,Regular"&P / &N`, face, face)}
	if title != "" {
		o.OddHeader = fmt.Sprintf(`&L&8&"%s,Regular"%s`, face, title)
	}
	return o
}

// setSpans joins the cells that one cell reaches over.
func setSpans(f *excelize.File, _ *Book, s *Sheet, _ *styles) error {
	for i, row := range s.Rows {
		for k, c := range row.Cells {
			if c.Across == 0 {
				continue
			}
			if err := f.MergeCell(s.Name, Ref(k+1, i+1), Ref(k+1+c.Across, i+1)); err != nil {
				return err
			}
		}
	}
	return nil
}

func setRules(f *excelize.File, _ *Book, s *Sheet, st *styles) error {
	for _, r := range s.Checks {
		id, err := st.state(r.Role)
		if err != nil {
			return err
		}
		// The rules that stand first win.
		if err := f.SetConditionalFormat(s.Name, r.Ref, []excelize.ConditionalFormatOptions{
			{Type: "formula", Criteria: r.Formula, Format: &id, StopIfTrue: true},
		}); err != nil {
			return err
		}
	}
	return nil
}

func setInputs(f *excelize.File, _ *Book, s *Sheet, _ *styles) error {
	for i := range s.Inputs {
		v := &s.Inputs[i]
		d := excelize.NewDataValidation(true)
		d.Sqref = v.Ref
		if err := v.bounds(d); err != nil {
			return err
		}
		if v.Prompt != "" {
			d.ShowInputMessage, d.Prompt = true, to(escaped(v.Prompt))
		}
		d.ShowErrorMessage, d.ErrorStyle = true, to("stop")
		if v.Error != "" {
			d.Error = to(escaped(v.Error))
		}
		if err := f.AddDataValidation(s.Name, d); err != nil {
			return err
		}
	}
	return nil
}

// bounds puts the bounds of a validation into the library's form, whose formulas are XML already.
func (v *Validation) bounds(d *excelize.DataValidation) error {
	if v.Kind == List {
		if v.From != "" {
			d.SetSqrefDropList(xmlText(v.From))
			return nil
		}
		return d.SetDropList(v.List)
	}
	kind := map[InputKind]excelize.DataValidationType{Decimal: excelize.DataValidationTypeDecimal, Whole: excelize.DataValidationTypeWhole,
		Date: excelize.DataValidationTypeDate, TextLength: excelize.DataValidationTypeTextLength}[v.Kind]
	low, high := bound(v.Min), bound(v.Max)
	switch {
	case math.IsInf(v.Max, 1) && math.IsInf(v.Min, -1):
		// Bounds beyond all that is typed still refuse what is of another kind.
		all := widest[v.Kind]
		return d.SetRange(all[0], all[1], kind, excelize.DataValidationOperatorBetween)
	case math.IsInf(v.Max, 1):
		return d.SetRange(low, "", kind, excelize.DataValidationOperatorGreaterThanOrEqual)
	case math.IsInf(v.Min, -1):
		return d.SetRange(high, "", kind, excelize.DataValidationOperatorLessThanOrEqual)
	}
	return d.SetRange(low, high, kind, excelize.DataValidationOperatorBetween)
}

// widest are the bounds of the kinds of input: of numbers that are typed, of whole ones that a number holds exactly, of
// days from 1900 to 9999, of a cell's text.
var widest = map[InputKind][2]string{
	Decimal: {"-1E+300", "1E+300"}, Whole: {"-9007199254740991", "9007199254740991"}, Date: {"0", "2958465"}, TextLength: {"0", "32767"},
}

func bound(x float64) string { return strings.ToUpper(strconv.FormatFloat(x+0, 'g', -1, 64)) }

func xmlText(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s))
	return b.String()
}

// setRemarks writes the remarks of cells. Nobody is named as their author.
func setRemarks(f *excelize.File, _ *Book, s *Sheet, _ *styles) error {
	for i, row := range s.Rows {
		for k, c := range row.Cells {
			if c.Remark == "" {
				continue
			}
			text := escaped(c.Remark)
			lines := uint(2 + strings.Count(text, "\n") + length(text)/36)
			err := f.AddComment(s.Name, excelize.Comment{Cell: Ref(k+1, i+1), Author: "-", Width: 220, Height: min(15*lines, 400),
				Paragraph: []excelize.RichTextRun{{Text: text, Font: &excelize.Font{Family: face, Size: 9, Color: ink}}}})
			if err != nil {
				return err
			}
		}
	}
	return nil
}
