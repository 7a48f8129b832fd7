// Package book is a small model of a workbook, and writes it as SpreadsheetML (ISO/IEC 29500, transitional). It knows
// cells, formulas, styles, tables and pages, and nothing of the language or of what the numbers mean.
//
// The parts of the package come from excelize, save the rows of the worksheets, which are written here: they are streamed,
// a formula has its worked-out value beside it with the right type (a mistake too), and the same book gives the same bytes.
package book

// Book is a workbook.
type Book struct {
	Title  string
	Letter bool // paper of the US; else A4
	Sheets []*Sheet
	Names  []Name

	// Parts are further parts of the package, path → bytes. An XML part in the folder customXml is custom data in the
	// sense of the standard, which a reader's program may keep when it saves; other parts are kept by those that read
	// what they do not know. The type of the content follows the ending of the path.
	Parts map[string][]byte
}

// Name is a defined name for a cell or a range, which holds in the whole book.
type Name struct {
	Name   string
	Refers string // 'Bench'!$B$5
}

// Sheet is a worksheet. Rows and columns count from 1.
type Sheet struct {
	Name      string
	Widths    []float64 // of the columns from A on, in digits of the plain font; 0 leaves the usual width
	Freeze    int       // rows at the top that stay in sight
	TitleRows int       // rows at the top that are printed on every page
	Rows      []Row

	// Stream gives further rows, written below Rows one by one. The slice may be used again for the next row. It is
	// called once for a book that is written, and stops when yield says no.
	Stream func(yield func([]Cell) bool)

	Tables    []Table
	Checks    []Rule
	Inputs    []Validation
	Charts    []Chart
	Pictures  []Picture
	Landscape bool
	Protect   bool   // against slips, without a password: only unlocked cells take input
	Tab       string // the colour of the tab, as six hex digits, or none
}

// Row is a row of a worksheet.
type Row struct {
	Cells  []Cell
	Height float64 // in points; 0 leaves it to the looks of the cells
}

// Kind says what a cell holds.
type Kind uint8

// The kinds of cells.
const (
	Empty  Kind = iota
	Number      // also dates, which are numbers with a format
	Text
	Truth
	Problem // an error value, such as #N/A, in Text
)

// Cell is a cell of a worksheet.
type Cell struct {
	Kind    Kind
	Number  float64
	Text    string
	Truth   bool
	Formula string // without =; the value above is then what it comes to
	Style   Style
	Remark  string // shown when a reader points at the cell; not in streamed rows
	Across  int    // further columns that the cell reaches over, whose own cells are empty; not in streamed rows
}

// Style is how a cell looks. Styles that are equal are written once.
type Style struct {
	Role     Role
	Format   string // a number format code, or none
	Unlocked bool   // takes input on a protected sheet
	Wrap     bool
	Indent   int
	Right    bool // set to the right, as numbers are by themselves
}

// Table is a worksheet table: one row of headings and at least one row below it, whose cells stand in the sheet.
type Table struct {
	Name    string
	Ref     string // A5:D12, with the row of headings
	Columns []Column
	Filter  bool // buttons for filtering in the headings
}

// Column is a column of a table.
type Column struct {
	Name   string // what the cell of the heading says
	Format string // the number format that a new row takes
}

// Rule gives cells another look where a formula holds. The formula is written for the first cell of the range.
type Rule struct {
	Ref     string // B5, B5:B9, or several with a space between
	Formula string // $C5="holds"
	Role    Role
}

// InputKind says which values a validation takes.
type InputKind uint8

// The kinds of input.
const (
	Decimal InputKind = iota
	Whole
	Date
	List
	TextLength
)

// Validation keeps what is typed into cells within bounds.
type Validation struct {
	Ref      string // B5, B5:B9, or several with a space between
	Kind     InputKind
	Min, Max float64  // both count as in; -Inf and +Inf where there is no bound
	List     []string // the choices; without commas, and 255 characters at most together
	From     string   // a range that holds the choices, in place of List
	Prompt   string   // shown when the cell is chosen; 255 characters at most
	Error    string   // shown when the value is refused; 225 characters at most
}

// ChartKind is the form of a chart.
type ChartKind uint8

// The forms of charts.
const (
	Line ChartKind = iota
	Bar
)

// Chart draws ranges of cells.
type Chart struct {
	At            string // the cell under its upper left corner
	Kind          ChartKind
	Title         string
	AxisX, AxisY  string // what the axes show, with units
	Categories    string // the range of the axis: 'Bench'!$A$6:$A$20
	Series        []Series
	Width, Height int    // in pixels of 1/96 in; 0 for the usual
	Alt           string // what it shows, in words; else its title
}

// Series is one line or one set of bars of a chart.
type Series struct {
	Name   string // the cell that names it: 'Bench'!$B$5
	Values string // 'Bench'!$B$6:$B$20
}

// Picture is an image at a cell.
type Picture struct {
	At    string
	PNG   []byte
	Alt   string  // what it shows, in words
	Scale float64 // of its pixels, taken as 1/96 in; 0 is 1
}
