package book

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

const (
	relNamespace = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	relTable     = relNamespace + "/table"
	relCustom    = relNamespace + "/customXml"
	relPart      = "urn:castwright:part" // of parts that the standard does not know
	tableType    = "application/vnd.openxmlformats-officedocument.spreadsheetml.table+xml"

	typesPart = "[Content_Types].xml"
	firstRels = "_rels/.rels"
)

// pack is the package while it is put together. The library writes its parts in an order of its own, which differs
// from run to run: here they are taken out, completed, and packed again in a fixed order with fixed times.
type pack struct {
	parts  map[string][]byte
	rows   map[string]*body // of the worksheets, by part
	tables int
}

func (p *pack) close() {
	for _, b := range p.rows {
		b.close()
	}
}

// read takes the parts out of what the library wrote.
func (p *pack) read(f *excelize.File) error {
	buf, err := f.WriteToBuffer()
	if err != nil {
		return fmt.Errorf("The workbook cannot be put together: %w.", err)
	}
	z, err := zip.NewReader(bytes.NewReader(buf.Bytes()), int64(buf.Len()))
	if err != nil {
		return err
	}
	for _, entry := range z.File {
		r, err := entry.Open()
		if err != nil {
			return err
		}
		text, err := io.ReadAll(r)
		if err != nil {
			return err
		}
		r.Close()
		if strings.HasPrefix(entry.Name, "xl/drawings/drawing") {
			text = anchored(text)
		}
		p.parts[entry.Name] = text
	}
	return nil
}

// types is the list of the kinds of content in a package (ISO/IEC 29500-2, 7.2.3).
type types struct {
	XMLName   xml.Name   `xml:"http://schemas.openxmlformats.org/package/2006/content-types Types"`
	Defaults  []typeOf   `xml:"Default"`
	Overrides []typeFrom `xml:"Override"`
}

type typeOf struct {
	Extension   string `xml:"Extension,attr"`
	ContentType string `xml:"ContentType,attr"`
}

type typeFrom struct {
	PartName    string `xml:"PartName,attr"`
	ContentType string `xml:"ContentType,attr"`
}

// relations are the relationships of a part, or of the package (ISO/IEC 29500-2, 6.5).
type relations struct {
	XMLName xml.Name   `xml:"http://schemas.openxmlformats.org/package/2006/relationships Relationships"`
	List    []relation `xml:"Relationship"`
}

type relation struct {
	ID     string `xml:"Id,attr"`
	Type   string `xml:"Type,attr"`
	Target string `xml:"Target,attr"`
	Mode   string `xml:"TargetMode,attr,omitempty"`
}

// edit reads a part into v, has it changed, and writes it again.
func edit[T any](p *pack, name string, v *T, change func(*T)) error {
	if text, ok := p.parts[name]; ok {
		if err := xml.Unmarshal(text, v); err != nil {
			return fmt.Errorf("The part %q of the workbook cannot be read again: %w.", name, err)
		}
	}
	change(v)
	text, err := xml.Marshal(v)
	p.parts[name] = append([]byte(xml.Header), text...)
	return err
}

// add puts in a part of our own.
func (p *pack) add(name, contentType string, data []byte) error {
	if _, ok := p.parts[name]; ok {
		return fmt.Errorf("The part %q is there already.", name)
	}
	p.parts[name] = data
	return edit(p, typesPart, &types{}, func(t *types) {
		t.Overrides = append(t.Overrides, typeFrom{"/" + name, contentType})
	})
}

// relate joins a part to another, and gives the name of the relationship.
func (p *pack) relate(from, kind, target string) (id string, err error) {
	folder, file := path.Split(from)
	name := folder + "_rels/" + file + ".rels"
	target, err = filepath.Rel(filepath.FromSlash(folder), filepath.FromSlash(target))
	if err != nil {
		return "", err
	}
	err = edit(p, name, &relations{}, func(r *relations) {
		id = fmt.Sprintf("part%d", len(r.List)+1)
		r.List = append(r.List, relation{ID: id, Type: kind, Target: filepath.ToSlash(target)})
	})
	return id, err
}

// order is that of the parts in the package: the two that a reader wants first, then by name.
func (p *pack) order() []string {
	rank := map[string]int{typesPart: -2, firstRels: -1}
	return slices.SortedFunc(maps.Keys(p.parts), func(a, b string) int {
		return cmp.Or(cmp.Compare(rank[a], rank[b]), strings.Compare(a, b))
	})
}

var packed = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// write packs the parts.
func (p *pack) write(w io.Writer) error {
	if err := p.finish(); err != nil {
		return err
	}
	z := zip.NewWriter(w)
	for _, name := range p.order() {
		out, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: packed})
		if err != nil {
			return err
		}
		if rows := p.rows[name]; rows != nil {
			err = p.writeSheet(out, name, rows)
		} else {
			_, err = out.Write(p.parts[name])
		}
		if err != nil {
			return err
		}
	}
	return z.Close()
}

// finish sorts the list of types, and looks whether all is there.
func (p *pack) finish() error {
	for name, rows := range p.rows {
		if _, _, ok := cutRows(p.parts[name]); !ok {
			return errors.New("A worksheet has no place for its rows.")
		}
		// A larger part needs another form of package, which not all programs read.
		if rows.size+int64(len(p.parts[name])) >= math.MaxUint32 {
			return errors.New("A worksheet whose rows take more than 4 GB cannot be written. Split it.")
		}
	}
	return edit(p, typesPart, &types{}, func(t *types) {
		slices.SortFunc(t.Defaults, func(a, b typeOf) int { return strings.Compare(a.Extension, b.Extension) })
		slices.SortFunc(t.Overrides, func(a, b typeFrom) int { return strings.Compare(a.PartName, b.PartName) })
	})
}

// cutRows cuts the part of a worksheet into what stands before its rows and what stands behind them.
func cutRows(sheet []byte) (head, tail []byte, ok bool) {
	open, end := []byte("<sheetData>"), []byte("</sheetData>")
	head, _, ok = bytes.Cut(sheet, open)
	if !ok {
		return nil, nil, false
	}
	_, tail, ok = bytes.Cut(sheet, end)
	return head, tail, ok
}

func (p *pack) writeSheet(w io.Writer, name string, rows *body) error {
	head, tail, _ := cutRows(p.parts[name])
	if _, err := fmt.Fprintf(w, "%s<sheetData>", head); err != nil {
		return err
	}
	if err := rows.copyTo(w); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "</sheetData>%s", tail)
	return err
}
