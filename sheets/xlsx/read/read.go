// Package read reads a workbook in SpreadsheetML (ISO/IEC 29500, transitional or strict) into a plain model: cells with
// their values, formulas and number formats, tables, names and remarks. It knows nothing of the language.
//
// A workbook comes from anywhere. What it may cost is bounded while it is unpacked, entities are not expanded, nothing
// outside the file is opened, and no macro is read. A file that cannot be read whole is refused with a sentence; what is
// left out of a file that is read is told as a notice.
package read

import (
	"cmp"
	"slices"
)

// Limits bound what a workbook may cost. A limit that is 0 is the usual one.
type Limits struct {
	File     int64 // bytes of the file
	Unpacked int64 // bytes of all parts together, and of the formulas that are written out of shared ones
	Part     int64 // bytes of one part
	Parts    int   // parts of the package
	Rows     int   // the last row of a sheet
	Cells    int   // cells that hold something, in all sheets together; also different texts, and cells of array formulas
}

// Usual are the limits where none are given.
var Usual = Limits{File: 64 << 20, Unpacked: 1 << 30, Part: 512 << 20, Parts: 10_000, Rows: maxRows, Cells: 5_000_000}

// filled puts the usual limits where none are given. A sheet has no more rows than the standard gives it.
func (l Limits) filled() Limits {
	l.File = cmp.Or(l.File, Usual.File)
	l.Unpacked = cmp.Or(l.Unpacked, Usual.Unpacked)
	l.Part = cmp.Or(l.Part, Usual.Part)
	l.Parts = cmp.Or(l.Parts, Usual.Parts)
	l.Rows = min(cmp.Or(l.Rows, Usual.Rows), maxRows)
	l.Cells = cmp.Or(l.Cells, Usual.Cells)
	return l
}

// Workbook is what was read.
type Workbook struct {
	Sheets    []*Sheet
	Names     []Name
	Parts     map[string][]byte // those in the folder customXml, as they stand
	Dates1904 bool              // dates count from 1904-01-01; else from 1900
	Notices   []string          // what was passed over, and what else a person wants to know, as sentences
}

// Name is a defined name.
type Name struct {
	Name   string
	Refers string // what it stands for, as a formula without =
	Sheet  string // the sheet on which alone it holds, or none
}

// Sheet is a worksheet. Rows and columns count from 1.
type Sheet struct {
	Name   string
	Hidden bool
	Rows   []Row // rising; rows that hold nothing are left out
	Tables []Table
	Merged []string // ranges of cells that were joined, A1:B2
}

// Table is a worksheet table.
type Table struct {
	Name     string
	Ref      string // A5:D12, with headings and totals
	Columns  []string
	Headings int // rows of headings at the top, 0 or 1
	Totals   int // rows of totals at the bottom
}

// Row is a row of a worksheet.
type Row struct {
	Number int
	Cells  []Cell // rising by Col
}

// Kind says what a cell holds.
type Kind uint8

// The kinds of cells.
const (
	Empty  Kind = iota // nothing, or a formula whose value is not in the file
	Number             // also dates, which are numbers with a format
	Text
	Truth
	Problem // an error value, such as #N/A, in Text
)

// Cell is a cell that holds something: a value, a formula, a remark, or the leave to type into it.
type Cell struct {
	Col, Row int
	Kind     Kind
	Truth    bool
	Array    bool // the formula is an array formula; with no formula, the value comes from one in another cell
	Unlocked bool // takes input where the sheet is protected
	Number   float64
	Text     string
	Formula  string // without =; the value above is what it came to when the file was saved
	Format   string // a number format code, or none for General
	Remark   string // what readers wrote beside the cell
}

// At gives a cell, or nil where nothing stands.
func (s *Sheet) At(col, row int) *Cell {
	i, ok := slices.BinarySearchFunc(s.Rows, row, func(r Row, n int) int { return cmp.Compare(r.Number, n) })
	if !ok {
		return nil
	}
	cells := s.Rows[i].Cells
	k, ok := slices.BinarySearchFunc(cells, col, func(c Cell, n int) int { return cmp.Compare(c.Col, n) })
	if !ok {
		return nil
	}
	return &cells[k]
}
