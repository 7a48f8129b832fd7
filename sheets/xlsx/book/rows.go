package book

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"strconv"
)

// body is the text of the rows of one worksheet. Rows that are streamed go by way of a file, so that memory does not
// grow with them.
type body struct {
	file *os.File
	mem  bytes.Buffer
	size int64
}

func newBody(large bool) (*body, error) {
	b := &body{}
	if !large {
		return b, nil
	}
	f, err := os.CreateTemp("", "castwright-rows-*")
	if err != nil {
		return nil, fmt.Errorf("The rows need a file on disk while they are written: %w.", err)
	}
	b.file = f
	return b, nil
}

func (b *body) Write(p []byte) (int, error) {
	b.size += int64(len(p))
	if b.file == nil {
		return b.mem.Write(p)
	}
	return b.file.Write(p)
}

// copyTo gives the text that was written.
func (b *body) copyTo(w io.Writer) error {
	var from io.Reader = bytes.NewReader(b.mem.Bytes())
	if b.file != nil {
		from = io.NewSectionReader(b.file, 0, b.size)
	}
	_, err := io.Copy(w, from)
	return err
}

func (b *body) close() {
	if b.file != nil {
		b.file.Close()
		os.Remove(b.file.Name())
	}
}

// rowWriter writes rows one below the other.
type rowWriter struct {
	out    *bufio.Writer
	styles *styles
	sheet  string
	widths []float64
	row    int // the last one that was given
	num    []byte

	// The range of the cells; last is 0 while there are none.
	top, last, left, right int
}

// writeRows writes all rows of a sheet and tells the range that they fill.
func writeRows(w io.Writer, st *styles, s *Sheet) (dimension string, err error) {
	r := &rowWriter{out: bufio.NewWriterSize(w, 1<<16), styles: st, sheet: s.Name, widths: s.Widths}
	for _, row := range s.Rows {
		if err := r.add(row); err != nil {
			return "", err
		}
	}
	if s.Stream != nil {
		s.Stream(func(cells []Cell) bool {
			if err = r.check(cells); err == nil {
				err = r.add(Row{Cells: cells})
			}
			return err == nil
		})
	}
	if err == nil {
		err = r.out.Flush()
	}
	return r.dimension(), err
}

// check looks at a row that was not there when the book was checked.
func (r *rowWriter) check(cells []Cell) error {
	if r.row >= MaxRows {
		return fmt.Errorf("The sheet %q has more than %d rows.", r.sheet, MaxRows)
	}
	for i := range cells {
		problem := cells[i].problem()
		if i >= MaxColumns {
			problem = fmt.Sprintf("a row has more than %d cells", MaxColumns)
		}
		if cells[i].Remark != "" || cells[i].Across != 0 {
			problem = "a streamed cell has no remark, and does not reach over others"
		}
		if problem != "" {
			return unwritable(r.sheet, i+1, r.row+1, problem)
		}
	}
	return nil
}

func (r *rowWriter) dimension() string {
	if r.last == 0 {
		return "A1"
	}
	from, to := Ref(r.left, r.top), Ref(r.right, r.last)
	if from == to {
		return from
	}
	return from + ":" + to
}

// add writes a row. One that holds nothing is left out.
func (r *rowWriter) add(row Row) error {
	r.row++
	height, fixed := row.height(r.widths)
	open := false
	for i := range row.Cells {
		c := &row.Cells[i]
		id, err := r.styles.id(c.Style, c.Kind == Text && c.Formula == "" && inert(c.Text))
		if err != nil {
			return err
		}
		if c.Kind == Empty && id == 0 {
			continue
		}
		if !open {
			r.begin(height, fixed)
			open = true
		}
		r.reach(i + 1)
		r.cell(c, i+1, id)
	}
	if !open && height > 0 {
		r.begin(height, fixed)
		open = true
	}
	if open {
		r.out.WriteString("</row>")
	}
	// A write that failed is told by the next one too.
	_, err := r.out.Write(nil)
	return err
}

// reach takes a cell into the range of the rows.
func (r *rowWriter) reach(col int) {
	if r.last == 0 {
		r.left, r.right, r.top = col, col, r.row
	}
	r.left, r.right, r.last = min(r.left, col), max(r.right, col), r.row
}

func (r *rowWriter) begin(height float64, fixed bool) {
	r.out.WriteString(`<row r="`)
	r.int(r.row)
	if height > 0 {
		r.out.WriteString(`" ht="`)
		r.float(height)
	}
	if fixed {
		r.out.WriteString(`" customHeight="1`)
	}
	r.out.WriteString(`">`)
}

// cell writes one cell: its formula, and its value with the type that the value has.
func (r *rowWriter) cell(c *Cell, col, style int) {
	r.out.WriteString(`<c r="`)
	r.out.WriteString(letters(col))
	r.int(r.row)
	if style > 0 {
		r.out.WriteString(`" s="`)
		r.int(style)
	}
	switch {
	case c.Kind == Truth:
		r.out.WriteString(`" t="b`)
	case c.Kind == Problem:
		r.out.WriteString(`" t="e`)
	case c.Kind == Text && c.Formula != "":
		r.out.WriteString(`" t="str`)
	case c.Kind == Text:
		r.out.WriteString(`" t="inlineStr`)
	}
	r.out.WriteString(`">`)
	if c.Formula != "" {
		r.out.WriteString("<f>")
		r.text(escaped(c.Formula))
		r.out.WriteString("</f>")
	}
	r.value(c)
	r.out.WriteString("</c>")
}

func (r *rowWriter) value(c *Cell) {
	switch c.Kind {
	case Number:
		r.out.WriteString("<v>")
		r.float(c.Number)
		r.out.WriteString("</v>")
	case Truth:
		if c.Truth {
			r.out.WriteString("<v>1</v>")
		} else {
			r.out.WriteString("<v>0</v>")
		}
	case Problem:
		r.out.WriteString("<v>")
		r.text(c.Text)
		r.out.WriteString("</v>")
	case Text:
		open, end := "<is><t", "</t></is>"
		if c.Formula != "" {
			open, end = "<v", "</v>"
		}
		r.out.WriteString(open)
		if edged(c.Text) {
			r.out.WriteString(` xml:space="preserve"`)
		}
		r.out.WriteString(">")
		r.text(escaped(c.Text))
		r.out.WriteString(end)
	}
}

// edged tells the texts whose blanks at the ends a reader of XML would take off.
func edged(s string) bool {
	blank := func(c byte) bool { return c == ' ' || c == '\n' || c == '\t' }
	return s != "" && (blank(s[0]) || blank(s[len(s)-1]))
}

func (r *rowWriter) text(s string) { xml.EscapeText(r.out, []byte(s)) }

func (r *rowWriter) int(n int) {
	r.num = strconv.AppendInt(r.num[:0], int64(n), 10)
	r.out.Write(r.num)
}

// float writes a number so that it is read back to the last bit. There is no negative zero in a worksheet.
func (r *rowWriter) float(x float64) {
	r.num = strconv.AppendFloat(r.num[:0], x+0, 'g', -1, 64)
	r.out.Write(r.num)
}
