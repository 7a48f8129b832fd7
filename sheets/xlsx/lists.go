package xlsx

import (
	"fmt"
	"strings"

	"castwright/lang/value"
	"castwright/sheets/xlsx/book"
)

// lists is a worksheet of the tables that rules look into: lists of literals, each in a column of its own, in SI units.
type lists struct {
	name    string
	columns []value.Column
	byKey   map[string]string
}

// ref gives the range where a list stands; one that is there already is used again.
func (l *lists) ref(v value.Column) string {
	key := fmt.Sprint(v.Num, strings.Join(v.Text, "\x00"))
	if ref, ok := l.byKey[key]; ok {
		return ref
	}
	l.columns = append(l.columns, v)
	c := letters(len(l.columns))
	ref := fmt.Sprintf("%s!$%s$%d:$%s$%d", book.Quote(l.name), c, firstRow, c, firstRow+v.Len()-1)
	l.byKey[key] = ref
	return ref
}

// put adds the worksheet where there is something on it.
func (l *lists) put(b *book.Book) {
	if len(l.columns) == 0 {
		return
	}
	s := &book.Sheet{Name: l.name, Protect: true}
	s.Rows = append(s.Rows, row(text("Tables of the rules used, in SI units", book.Title)), book.Row{}, book.Row{})
	n := 0
	for _, c := range l.columns {
		n = max(n, c.Len())
	}
	for i := range n {
		r := book.Row{}
		for _, c := range l.columns {
			cell := book.Cell{}
			switch {
			case i < len(c.Num):
				cell = book.Cell{Kind: book.Number, Number: c.Num[i]}
			case i < len(c.Text):
				cell = book.Cell{Kind: book.Text, Text: c.Text[i]}
			}
			r.Cells = append(r.Cells, cell)
		}
		s.Rows = append(s.Rows, r)
	}
	b.Sheets = append(b.Sheets, s)
}
