package book

import (
	_ "embed"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"path"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// theme holds the colours and the face that charts and a reader's own cells take; the library's own would bring others.
//
//go:embed theme.xml
var theme []byte

// Write writes a book. All that can be wrong with it is found before the first byte is written.
func Write(w io.Writer, b *Book) error {
	if err := b.Check(); err != nil {
		return err
	}
	p := &pack{parts: map[string][]byte{}, rows: map[string]*body{}}
	defer p.close()
	if err := p.build(b); err != nil {
		return err
	}
	return p.write(w)
}

// build makes all parts of the package.
func (p *pack) build(b *Book) error {
	f := excelize.NewFile()
	defer f.Close()
	st, err := newStyles(f)
	if err != nil {
		return err
	}
	if err := addSheets(f, b); err != nil {
		return err
	}
	for i, s := range b.Sheets {
		if err := setUp(f, b, s, st); err != nil {
			return err
		}
		if err := p.addRows(f, s, i, st); err != nil {
			return err
		}
	}
	// Formats of tables are styles too: they are numbered before the part of the styles is written.
	for _, s := range b.Sheets {
		for _, t := range s.Tables {
			for _, c := range t.Columns {
				if c.Format != "" {
					if _, err := st.format(c.Format); err != nil {
						return err
					}
				}
			}
		}
	}
	for _, n := range b.Names {
		if err := f.SetDefinedName(&excelize.DefinedName{Name: n.Name, RefersTo: n.Refers}); err != nil {
			return fmt.Errorf("The name %q cannot be written: %w.", n.Name, err)
		}
	}
	if err := setWorkbook(f); err != nil {
		return err
	}
	if err := p.read(f); err != nil {
		return err
	}
	for i, s := range b.Sheets {
		if err := p.addTables(s, sheetPart(i), st); err != nil {
			return err
		}
	}
	return p.addOthers(b)
}

// sheetPart is where the library puts the worksheets, in their order.
func sheetPart(i int) string { return fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1) }

func addSheets(f *excelize.File, b *Book) error {
	for i, s := range b.Sheets {
		var err error
		if i == 0 {
			err = f.SetSheetName(f.GetSheetName(0), s.Name)
		} else {
			_, err = f.NewSheet(s.Name)
		}
		if err != nil {
			return fmt.Errorf("The sheet %q cannot be made: %w.", s.Name, err)
		}
	}
	f.SetActiveSheet(0)
	return nil
}

// setWorkbook has the reader's program work everything out anew when it opens the workbook, and takes out what the
// library says of the program that wrote it.
func setWorkbook(f *excelize.File) error {
	f.WorkBook.FileVersion = nil
	return f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: to(true)})
}

// addRows writes the rows of a sheet apart, and the range that they fill into the sheet.
func (p *pack) addRows(f *excelize.File, s *Sheet, i int, st *styles) error {
	rows, err := newBody(s.Stream != nil)
	if err != nil {
		return err
	}
	p.rows[sheetPart(i)] = rows
	dimension, err := writeRows(rows, st, s)
	if err != nil {
		return err
	}
	return f.SetSheetDimension(s.Name, dimension)
}

// stamp is the time of everything in a package: a workbook says nothing of the hour it was written.
const stamp = "1980-01-01T00:00:00Z"

// properties are those of the document: a title and nothing more, save the times, which are the same in all.
func properties(title string) []byte {
	return []byte(xml.Header + `<cp:coreProperties xmlns:cp="http://schemas.openxmlformats.org/package/2006/metadata/core-properties"` +
		` xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">` +
		`<dcterms:created xsi:type="dcterms:W3CDTF">` + stamp + `</dcterms:created>` +
		`<dcterms:modified xsi:type="dcterms:W3CDTF">` + stamp + `</dcterms:modified>` +
		`<dc:title>` + xmlText(oneLine(title)) + `</dc:title></cp:coreProperties>`)
}

const noProperties = xml.Header + `<Properties xmlns="http://schemas.openxmlformats.org/officeDocument/2006/extended-properties"></Properties>`

// addOthers puts in what is ours: the properties, the theme, and the parts that the book brings.
func (p *pack) addOthers(b *Book) error {
	p.parts["docProps/core.xml"] = properties(b.Title)
	p.parts["docProps/app.xml"] = []byte(noProperties)
	p.parts["xl/theme/theme1.xml"] = theme
	for _, name := range slices.Sorted(maps.Keys(b.Parts)) {
		if err := p.add(name, contentType(name), b.Parts[name]); err != nil {
			return err
		}
		relation := relPart
		if strings.HasPrefix(name, "customXml/") && path.Ext(name) == ".xml" {
			relation = relCustom
		}
		if _, err := p.relate("xl/workbook.xml", relation, name); err != nil {
			return err
		}
	}
	return nil
}

func contentType(name string) string {
	switch strings.ToLower(path.Ext(name)) {
	case ".xml":
		return "application/xml"
	case ".json":
		return "application/json"
	case ".png":
		return "image/png"
	case ".csv":
		return "text/csv"
	case ".txt", ".sheet":
		return "text/plain"
	}
	return "application/octet-stream"
}
