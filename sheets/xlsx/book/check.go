package book

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"math"
	"path"
	"regexp"
	"strings"
)

// Check tells the first thing that keeps a book from being written, as a sentence. Streamed rows are checked as they
// come, with Write.
func (b *Book) Check() error {
	if len(b.Sheets) == 0 {
		return errors.New("A workbook needs a sheet at least.")
	}
	if p := textProblem(b.Title, maxText, "it"); p != "" {
		return fmt.Errorf("The title of the workbook cannot be written: %s.", p)
	}
	sheets, names := map[string]bool{}, map[string]bool{}
	for _, s := range b.Sheets {
		if p := sheetNameProblem(s.Name); p != "" {
			return fmt.Errorf("%q cannot name a sheet: it %s.", s.Name, strings.TrimPrefix(p, "it "))
		}
		if taken(sheets, s.Name) {
			return fmt.Errorf("Two sheets are called %q; case alone does not tell them apart.", s.Name)
		}
		if err := s.check(); err != nil {
			return err
		}
		for _, t := range s.Tables {
			if err := checkName(names, t.Name); err != nil {
				return err
			}
		}
	}
	for _, n := range b.Names {
		if err := checkName(names, n.Name); err != nil {
			return err
		}
		if sheet, ok := outside(n.Refers); !ok || !sheets[strings.ToLower(sheet)] {
			return fmt.Errorf("The name %q refers to %s, which is no range of a sheet of this workbook.", n.Name, n.Refers)
		}
	}
	return b.checkParts()
}

// taken takes a name, and tells whether it was taken before.
func taken(names map[string]bool, name string) bool {
	key := strings.ToLower(name)
	was := names[key]
	names[key] = true
	return was
}

func checkName(names map[string]bool, name string) error {
	if p := nameProblem(name); p != "" {
		return fmt.Errorf("%q cannot be a defined name: it %s.", name, p)
	}
	if taken(names, name) {
		return fmt.Errorf("Two defined names or tables are called %q; case alone does not tell them apart.", name)
	}
	return nil
}

var (
	partPath = regexp.MustCompile(`^[A-Za-z0-9_-][A-Za-z0-9._-]*(/[A-Za-z0-9_-][A-Za-z0-9._-]*)*$`)
	colours  = regexp.MustCompile(`^[0-9A-Fa-f]{6}$`)
	errors7  = regexp.MustCompile(`^#(NULL!|DIV/0!|VALUE!|REF!|NAME\?|NUM!|N/A)$`)
)

func (b *Book) checkParts() error {
	seen := map[string]bool{}
	for name, data := range b.Parts {
		folder, _, _ := strings.Cut(strings.ToLower(name), "/")
		switch {
		case !partPath.MatchString(name), strings.HasSuffix(name, "."), strings.Contains(name, "./"), path.Ext(name) == "":
			return fmt.Errorf("%q cannot name a part of a workbook: folders and a name with an ending, of plain letters, digits, - _ and dots.", name)
		case folder == "xl" || folder == "docprops" || folder == "_rels" || strings.HasSuffix(strings.ToLower(name), ".rels"):
			return fmt.Errorf("The part %q cannot be added: that name is kept for the workbook itself.", name)
		case taken(seen, name):
			return fmt.Errorf("Two parts are called %q; case alone does not tell them apart.", name)
		}
		if strings.EqualFold(path.Ext(name), ".xml") {
			if err := wellFormed(data); err != nil {
				return fmt.Errorf("The part %q is no XML: %w.", name, err)
			}
		}
	}
	return nil
}

func wellFormed(data []byte) error {
	d := xml.NewDecoder(bytes.NewReader(data))
	elements := 0
	for {
		switch t, err := d.Token(); {
		case err == io.EOF && elements == 0:
			return errors.New("it holds no element")
		case err == io.EOF:
			return nil
		case err != nil:
			return err
		default:
			switch t.(type) {
			case xml.StartElement:
				elements++
			case xml.Directive:
				return errors.New("it has a document type, which a part cannot have")
			}
		}
	}
}

// unwritable tells of a cell.
func unwritable(sheet string, col, row int, problem string) error {
	at := Ref(col, row)
	if at == "" {
		at = fmt.Sprintf("row %d, column %d", row, col)
	}
	return fmt.Errorf("%s!%s cannot be written: %s.", Quote(sheet), at, problem)
}

// problem says why a cell cannot be written, or nothing.
func (c *Cell) problem() string {
	switch {
	case c.Kind > Problem:
		return "its kind is none that a cell has"
	case c.Kind == Number && (math.IsNaN(c.Number) || math.IsInf(c.Number, 0)):
		return "its number is not finite"
	case c.Kind == Problem && !errors7.MatchString(c.Text):
		return fmt.Sprintf("%q is no error value of a worksheet", c.Text)
	case c.Style.Role >= roles:
		return "its role is none that a cell has"
	case c.Style.Indent < 0 || c.Style.Indent > maxIndent:
		return fmt.Sprintf("its indent is not from 0 to %d", maxIndent)
	}
	if c.Kind == Text {
		if p := textProblem(c.Text, maxText, "its text"); p != "" {
			return p
		}
	}
	if c.Remark != "" {
		if p := textProblem(c.Remark, maxText, "its remark"); p != "" {
			return p
		}
	}
	if c.Style.Format != "" {
		if p := plainProblem(c.Style.Format, maxFormat, "its number format"); p != "" {
			return p
		}
	}
	if c.Formula == "" {
		return ""
	}
	if c.Kind == Empty {
		return "its formula has no worked-out value"
	}
	return formulaProblem(c.Formula)
}

func formulaProblem(formula string) string {
	if strings.HasPrefix(formula, "=") {
		return "its formula begins with ="
	}
	return plainProblem(formula, maxFormula, "its formula")
}

// check looks at all of a sheet but its streamed rows.
func (s *Sheet) check() error {
	switch {
	case len(s.Rows) > MaxRows:
		return fmt.Errorf("The sheet %q has more than %d rows.", s.Name, MaxRows)
	case len(s.Widths) > MaxColumns:
		return fmt.Errorf("The sheet %q has more than %d columns.", s.Name, MaxColumns)
	case s.Freeze < 0 || s.Freeze >= MaxRows || s.TitleRows < 0 || s.TitleRows > MaxRows:
		return fmt.Errorf("The sheet %q has more rows at the top than a sheet holds, or fewer than none.", s.Name)
	case s.Tab != "" && !colours.MatchString(s.Tab):
		return fmt.Errorf("The colour of the tab of %q is %q; write six hex digits.", s.Name, s.Tab)
	}
	for _, w := range s.Widths {
		if !(w >= 0 && w <= maxWidth) {
			return fmt.Errorf("A column of %q is %v wide; from 0 to %d is possible.", s.Name, w, maxWidth)
		}
	}
	for i, row := range s.Rows {
		if !(row.Height >= 0 && row.Height <= maxHeight) {
			return fmt.Errorf("Row %d of %q is %v high; from 0 to %d is possible.", i+1, s.Name, row.Height, maxHeight)
		}
		if len(row.Cells) > MaxColumns {
			return fmt.Errorf("Row %d of %q has more than %d cells.", i+1, s.Name, MaxColumns)
		}
		for k := range row.Cells {
			p := row.Cells[k].problem()
			if p == "" {
				p = s.spanProblem(i, k)
			}
			if p != "" {
				return unwritable(s.Name, k+1, i+1, p)
			}
		}
	}
	return errors.Join(s.checkTables(), s.checkRules(), s.checkInputs(), s.checkDrawings())
}

// spanProblem says why a cell cannot reach as far as it wants to, or nothing.
func (s *Sheet) spanProblem(row, col int) string {
	cells := s.Rows[row].Cells
	far := col + cells[col].Across
	if far == col {
		return ""
	}
	if far < col || far >= MaxColumns {
		return "it reaches over fewer columns than none, or past the last"
	}
	for k := col + 1; k <= far && k < len(cells); k++ {
		if cells[k].Kind != Empty || cells[k].Remark != "" || cells[k].Across != 0 {
			return "it reaches over a cell that is not empty"
		}
	}
	for _, t := range s.Tables {
		if a, ok := rectangle(t.Ref); ok && a.meets(area{col + 1, row + 1, far + 1, row + 1}) {
			return "it reaches over other cells in a table"
		}
	}
	return ""
}

func (s *Sheet) checkRules() error {
	for _, r := range s.Checks {
		p := formulaProblem(r.Formula)
		switch {
		case !areas(r.Ref):
			p = fmt.Sprintf("%q is no range", r.Ref)
		case r.Formula == "":
			p = "it has no formula"
		case r.Role >= roles:
			p = "its role is none that a cell has"
		}
		if p != "" {
			return fmt.Errorf("A rule for the looks of %s!%s cannot be written: %s.", Quote(s.Name), r.Ref, p)
		}
	}
	return nil
}

// areas tells whether a reference is a range, or several with a space between.
func areas(ref string) bool {
	for _, r := range strings.Split(ref, " ") {
		if _, ok := rectangle(r); !ok {
			return false
		}
	}
	return true
}

func (s *Sheet) checkInputs() error {
	for _, v := range s.Inputs {
		if p := v.problem(); p != "" {
			return fmt.Errorf("The bounds of %s!%s cannot be written: %s.", Quote(s.Name), v.Ref, p)
		}
	}
	return nil
}

func (v *Validation) problem() string {
	switch {
	case !areas(v.Ref):
		return fmt.Sprintf("%q is no range", v.Ref)
	case v.Kind > TextLength:
		return "their kind is none that a cell has"
	case v.Kind == List:
		if p := v.listProblem(); p != "" {
			return p
		}
	case !(v.Min <= v.Max):
		return fmt.Sprintf("no value is from %v to %v", v.Min, v.Max)
	case v.Min == 0 && v.Max == 0:
		return "they let in nothing but 0; where there is no bound, write an infinite one"
	}
	if p := textProblem(v.Prompt, maxPrompt, "the prompt"); p != "" {
		return p
	}
	return textProblem(v.Error, maxRefusal, "the message")
}

func (v *Validation) listProblem() string {
	if v.From != "" {
		if len(v.List) > 0 {
			return "the choices are given twice"
		}
		return formulaProblem(v.From)
	}
	if len(v.List) == 0 {
		return "there are no choices"
	}
	for _, c := range v.List {
		switch {
		case c == "" || strings.Contains(c, ",") || strings.TrimSpace(c) != c:
			return fmt.Sprintf("the choice %q is empty, or has a comma or a blank at its ends", c)
		case strings.ContainsAny(c[:1], "=+-@"):
			return fmt.Sprintf("the choice %q begins as a formula does", c)
		}
	}
	return plainProblem(strings.ReplaceAll(strings.Join(v.List, ","), `"`, `""`), maxList, "the list of choices")
}

func (s *Sheet) checkDrawings() error {
	for _, c := range s.Charts {
		if p := c.problem(); p != "" {
			return fmt.Errorf("The chart at %s!%s cannot be written: %s.", Quote(s.Name), c.At, p)
		}
	}
	for _, p := range s.Pictures {
		_, _, ok := place(p.At)
		_, err := png.DecodeConfig(bytes.NewReader(p.PNG))
		why := plainProblem(p.Alt, maxText, "its description")
		switch {
		case !ok:
			why = "that is no cell"
		case err != nil:
			why = "its bytes are no PNG image"
		case !(p.Scale >= 0 && p.Scale <= 100):
			why = "its scale is not from 0 to 100"
		}
		if why != "" {
			return fmt.Errorf("The picture at %s!%s cannot be written: %s.", Quote(s.Name), p.At, why)
		}
	}
	return nil
}

func (c *Chart) problem() string {
	if _, _, ok := place(c.At); !ok {
		return "that is no cell"
	}
	for what, s := range map[string]string{"its title": c.Title, "its description": c.Alt, "an axis": c.AxisX + c.AxisY} {
		if p := plainProblem(s, maxText, what); p != "" {
			return p
		}
	}
	switch {
	case c.Kind > Bar:
		return "its form is none that a chart has"
	case len(c.Series) == 0:
		return "it has no series"
	case c.Width < 0 || c.Height < 0 || c.Width > 10_000 || c.Height > 10_000:
		return "it is larger than 10,000 pixels, or smaller than nothing"
	}
	if _, ok := outside(c.Categories); !ok {
		return fmt.Sprintf("%q is no range with its sheet", c.Categories)
	}
	for _, s := range c.Series {
		for _, ref := range []string{s.Name, s.Values} {
			if _, ok := outside(ref); !ok {
				return fmt.Sprintf("%q is no range with its sheet", ref)
			}
		}
	}
	return ""
}
