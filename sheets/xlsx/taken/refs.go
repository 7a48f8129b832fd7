package taken

import (
	"errors"
	"strconv"
	"strings"
)

// cellRef reads A1, $A1, A$1 or $A$1.
func cellRef(s string) (ref, bool) {
	r, rest, ok := columnPart(s)
	if !ok {
		return ref{}, false
	}
	if strings.HasPrefix(rest, "$") {
		r.fixedRow, rest = true, rest[1:]
	}
	if r.row, ok = rowNumber(rest); !ok {
		return ref{}, false
	}
	return r, true
}

// columnRef reads A or $A, of a whole column.
func columnRef(s string) (ref, bool) {
	r, rest, ok := columnPart(s)
	return r, ok && rest == ""
}

func columnPart(s string) (r ref, rest string, ok bool) {
	if strings.HasPrefix(s, "$") {
		r.fixedCol, s = true, s[1:]
	}
	n := 0
	for n < len(s) && n < 4 && (s[n]|0x20) >= 'a' && (s[n]|0x20) <= 'z' {
		r.col = r.col*26 + int(s[n]|0x20-'a') + 1
		n++
	}
	return r, s[n:], n > 0 && n < 4 && r.col <= lastCol
}

func rowNumber(s string) (int, bool) {
	if s == "" || s[0] < '1' || s[0] > '9' {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil && n <= lastRow
}

// partOf reads what stands in the square brackets behind the name of a worksheet table (ISO/IEC 29500-1, 18.17.2.7, from
// memory): a column, @ and a column, or several brackets.
func partOf(table, text string) (node, error) {
	p := part{table: table}
	text = strings.TrimSpace(text)
	if rest, ok := strings.CutPrefix(text, "@"); ok {
		p.here, text = true, strings.TrimSpace(rest)
	}
	if !strings.HasPrefix(text, "[") {
		if strings.HasPrefix(text, "#") {
			return p, p.item(text)
		}
		p.column = plainPart(text)
		return p, nil
	}
	second := false
	for text != "" {
		inner, n, err := bracketed(text)
		if err != nil || text[0] != '[' {
			return nil, errors.New("the brackets of a table's column cannot be read")
		}
		switch {
		case strings.HasPrefix(inner, "#"):
			if err := p.item(inner); err != nil {
				return nil, err
			}
		case second:
			p.to = plainPart(inner)
		default:
			p.column = plainPart(inner)
		}
		text = strings.TrimSpace(text[n:])
		if text == "" {
			break
		}
		second = text[0] == ':'
		if text[0] != ',' && text[0] != ':' {
			return nil, errors.New("the brackets of a table's column cannot be read")
		}
		text = strings.TrimSpace(text[1:])
	}
	return p, nil
}

// item reads #This Row and its like.
func (p *part) item(s string) error {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "#this row":
		p.here = true
	case "#data":
	case "#all":
		p.all = true
	default:
		return errors.New("it takes the heading or the totals of a table")
	}
	return nil
}

// plainPart takes the marks off a column's name that take the meaning off signs.
func plainPart(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\'' && i+1 < len(s) {
			i++
		}
		b.WriteByte(s[i])
	}
	return b.String()
}
