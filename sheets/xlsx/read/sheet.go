package read

import (
	"cmp"
	"strconv"
	"strings"
)

// worksheet reads a sheet: its cells, then what is joined to them.
func (r *reader) worksheet(ref sheetRef, name string) error {
	sheet := &Sheet{Name: ref.name, Hidden: ref.hidden}
	s := &sheetReader{reader: r, sheet: sheet, formula: map[string]*shared{}, firsts: map[string]*shared{}}
	err := r.pack.each(name, "worksheet", mainSpaces, func(x *part) error {
		s.x = x
		return x.children(func(e element) error {
			switch e.name {
			case "sheetData":
				return s.rows()
			case "mergeCells":
				return s.merged()
			}
			return nil
		})
	})
	if err != nil {
		return err
	}
	if err := s.tidy(); err != nil {
		return err
	}
	if err := s.settle(); err != nil {
		return err
	}
	r.book.Sheets = append(r.book.Sheets, sheet)
	return s.joined(name)
}

func (s *sheetReader) merged() error {
	return s.x.children(func(e element) error {
		if e.name != "mergeCell" {
			return nil
		}
		ref := e.attr("ref")
		if _, ok := parseArea(ref); !ok {
			return damaged("%q joins cells over %q", s.sheet.Name, ref)
		}
		s.sheet.Merged = append(s.sheet.Merged, ref)
		return nil
	})
}

// joined reads the tables and remarks of a sheet, which are parts of their own.
func (s *sheetReader) joined(name string) error {
	relations, err := s.pack.relations(name)
	if err != nil {
		return err
	}
	notes := remarks{}
	for _, l := range relations {
		if l.target == "" {
			continue // outside: a link for people to follow
		}
		switch l.kind {
		case "table":
			err = s.table(l.target)
		case "comments":
			err = s.comments(l.target, notes)
		case "threadedComment":
			err = s.threads(l.target, notes)
		}
		if err != nil {
			return err
		}
	}
	return s.remark(notes)
}

// table reads a worksheet table (ISO/IEC 29500-1, 18.5.1.2).
func (s *sheetReader) table(name string) error {
	return s.pack.each(name, "table", mainSpaces, func(x *part) error {
		e := x.root
		t := Table{Name: unescape(cmp.Or(e.attr("displayName"), e.attr("name"))), Ref: e.attr("ref"), Headings: 1}
		a, ok := parseArea(t.Ref)
		if !ok || t.Name == "" {
			return damaged("a table of %q has no name or no range", s.sheet.Name)
		}
		if n := e.attr("headerRowCount"); n != "" {
			t.Headings, _ = strconv.Atoi(n)
		}
		if n := e.attr("totalsRowCount"); n != "" {
			t.Totals, _ = strconv.Atoi(n)
		}
		if t.Headings < 0 || t.Totals < 0 || t.Headings+t.Totals > a.bottom-a.top+1 {
			return damaged("the table %q has more headings and totals than rows", t.Name)
		}
		err := x.children(func(e element) error {
			if e.name != "tableColumns" {
				return nil
			}
			return x.children(func(e element) error {
				if e.name == "tableColumn" {
					t.Columns = append(t.Columns, unescape(e.attr("name")))
				}
				return nil
			})
		})
		if err == nil && len(t.Columns) != a.right-a.left+1 {
			err = damaged("the table %q has %d columns, its range %s another number", t.Name, len(t.Columns), t.Ref)
		}
		s.sheet.Tables = append(s.sheet.Tables, t)
		return err
	})
}

// place is a cell.
type place struct{ row, col int }

// remark is what stands beside a cell: notes, and threads of answers, which come with a note that only says that they
// are there.
type remark struct{ notes, threads []string }

type remarks map[place]*remark

func (r remarks) at(sheet, ref string) (*remark, error) {
	col, row, ok := ParseRef(ref)
	if !ok {
		return nil, damaged("%q has a remark at %q", sheet, ref)
	}
	at := place{row, col}
	if r[at] == nil {
		r[at] = &remark{}
	}
	return r[at], nil
}

// comments reads notes (ISO/IEC 29500-1, 18.7.6).
func (s *sheetReader) comments(name string, notes remarks) error {
	return s.pack.each(name, "comments", mainSpaces, func(x *part) error {
		return x.children(func(e element) error {
			if e.name != "commentList" {
				return nil
			}
			return x.children(func(e element) error {
				if e.name != "comment" {
					return nil
				}
				n, err := notes.at(s.sheet.Name, e.attr("ref"))
				if err != nil {
					return err
				}
				return x.children(func(e element) error {
					if e.name != "text" {
						return nil
					}
					text, err := x.rich()
					n.notes = append(n.notes, text)
					return err
				})
			})
		})
	})
}

// threads reads remarks with answers, which came after the standard, in the order of the file.
func (s *sheetReader) threads(name string, notes remarks) error {
	return s.pack.each(name, "ThreadedComments", nil, func(x *part) error {
		return x.children(func(e element) error {
			if e.name != "threadedComment" {
				return nil
			}
			n, err := notes.at(s.sheet.Name, e.attr("ref"))
			if err != nil {
				return err
			}
			return x.children(func(e element) error {
				if e.name != "text" {
					return nil
				}
				text, err := x.raw()
				n.threads = append(n.threads, text)
				return err
			})
		})
	})
}

// remark puts the remarks to their cells. A cell that holds nothing else is made for its remark.
func (s *sheetReader) remark(notes remarks) error {
	s.untidy = false
	byRow := map[int][]Cell{}
	for at, n := range notes {
		lines := n.threads
		if len(lines) == 0 {
			lines = n.notes
		}
		text := strings.TrimSpace(strings.Join(lines, "\n"))
		switch c := s.sheet.At(at.col, at.row); {
		case text == "":
		case c != nil:
			c.Remark = text
		case at.row > s.limits.Rows:
			return refuse("its sheet %q has more than %d rows", s.sheet.Name, s.limits.Rows)
		default:
			byRow[at.row] = append(byRow[at.row], Cell{Col: at.col, Row: at.row, Remark: text})
			if err := s.count(1); err != nil {
				return err
			}
		}
	}
	for n, cells := range byRow {
		s.sheet.Rows = append(s.sheet.Rows, Row{n, cells})
		s.untidy = true
	}
	return s.tidy()
}
