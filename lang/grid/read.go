package grid

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// limits are how much of a file is taken.
type limits struct{ rows, columns, field int }

var usual = limits{rows: 10_000_000, columns: 4096, field: 1 << 20}

// Read reads a file in UTF-8 (a byte-order mark is dropped) by RFC 4180, with what files have beside it: semicolons or
// tabs as separators, line ends LF, CRLF or CR, and blanks around fields, which are left out save inside quotation
// marks. Line ends inside quotation marks stay as they are. The separator is the one that the heading has: a tab, else a
// semicolon, else a comma. Blank lines are passed over. The first mistake ends the reading.
func Read(text []byte, o Options) (*Grid, error) {
	return read(text, o, usual)
}

func read(text []byte, o Options, most limits) (*Grid, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if m := encoding(text); m != nil {
		return nil, m
	}
	r := &reader{text: string(text), line: 1, most: most, decimal: o.Decimal}
	r.stops['\n'], r.stops['\r'], r.stops['"'] = true, true, true
	g, m := r.file(o.Skip)
	if m != nil {
		return nil, m
	}
	return g, nil
}

// encoding refuses what is not a text in UTF-8.
func encoding(text []byte) *Mistake {
	const save = "Save the file as UTF-8."
	if bytes.HasPrefix(text, []byte{0xff, 0xfe}) || bytes.HasPrefix(text, []byte{0xfe, 0xff}) {
		return &Mistake{Line: 1, Place: 1, Text: "The file begins with the mark of UTF-16.", WayOut: save}
	}
	if !utf8.Valid(text) {
		at := firstBad(text)
		return mistake(string(text[:at]), at, fmt.Sprintf("The byte %02X that stands here is not UTF-8.", text[at]), save)
	}
	if at := bytes.IndexByte(text, 0); at >= 0 { // every second byte of English in UTF-16 without its mark
		return mistake(string(text[:at]), at, "A zero byte stands here; the file is not a text in UTF-8.", save)
	}
	return nil
}

// firstBad gives the offset of the first byte that is not UTF-8.
func firstBad(text []byte) int {
	at := 0
	for at < len(text) {
		r, n := utf8.DecodeRune(text[at:])
		if r == utf8.RuneError && n <= 1 {
			break
		}
		at += n
	}
	return at
}

// mistake places a message at an offset of a text.
func mistake(text string, at int, says, wayOut string) *Mistake {
	before := text[:at]
	start := strings.LastIndexAny(before, "\r\n") + 1
	return &Mistake{Line: lineEnds(before) + 1, Place: utf8.RuneCountInString(before[start:]) + 1, Text: says, WayOut: wayOut}
}

// lineEnds counts the line ends of a text: LF, CRLF and CR.
func lineEnds(text string) int {
	n := strings.Count(text, "\n")
	if strings.IndexByte(text, '\r') >= 0 {
		n += strings.Count(text, "\r") - strings.Count(text, "\r\n")
	}
	return n
}

// reader goes through a text once.
type reader struct {
	text    string
	at      int       // offset of what is read next
	line    int       // line of that offset, from 1
	sep     byte      // 0 before it is known, and where there is one column
	stops   [256]bool // the bytes that end a field, or that must not stand in it
	decimal byte
	most    limits
	room    []string // fields of many rows, so that a row is no allocation of its own
}

// roomFor is how many fields are allocated at once where a file is long; a short one begins with few.
const roomFor = 1 << 14

func (r *reader) mistake(at int, says, wayOut string) *Mistake {
	return mistake(r.text, at, says, wayOut)
}

// file reads the heading and all rows.
func (r *reader) file(skip int) (*Grid, *Mistake) {
	for i := 0; i < skip && r.at < len(r.text); i++ {
		r.passLine()
	}
	r.passBlank()
	if r.at >= len(r.text) {
		if skip > 0 {
			return nil, r.mistake(r.at, fmt.Sprintf("The file has no heading behind its first %s.", count(skip, "line")), "Write a smaller number for skip.")
		}
		return nil, r.mistake(r.at, "The file has no heading.", "Its first line names the columns.")
	}
	g := &Grid{HeadLine: r.line}
	g.Separator = r.separator()
	r.sep = g.Separator
	if r.sep != 0 {
		r.stops[r.sep] = true
	}
	var m *Mistake
	if g.Heads, m = r.heads(); m != nil {
		return nil, m
	}
	for r.passBlank(); r.at < len(r.text); r.passBlank() {
		if len(g.Rows) == r.most.rows {
			return nil, r.mistake(r.at, fmt.Sprintf("The file has more than %s.", count(r.most.rows, "row")), "Split it into several files.")
		}
		line := r.line
		row, m := r.row(len(g.Heads))
		if m != nil {
			return nil, m
		}
		g.Rows, g.Lines = append(g.Rows, row), append(g.Lines, line)
	}
	return g, nil
}

// passLine goes behind the next line end, whatever stands before it.
func (r *reader) passLine() {
	if i := strings.IndexAny(r.text[r.at:], "\r\n"); i >= 0 {
		r.at += i
		r.end()
		return
	}
	r.at = len(r.text)
}

// passBlank goes behind the lines that hold nothing but blanks. Tabs count as fields where they are the separator.
func (r *reader) passBlank() {
	for r.at < len(r.text) {
		if c := r.text[r.at]; c > ' ' && c < utf8.RuneSelf {
			return
		}
		rest := r.text[r.at:]
		if i := strings.IndexAny(rest, "\r\n"); i >= 0 {
			rest = rest[:i]
		}
		if strings.TrimSpace(rest) != "" || r.sep == '\t' && strings.Contains(rest, "\t") {
			return
		}
		r.passLine()
	}
}

// separator finds what stands between the headings, from here on: 0 where nothing does. A comma that is the decimal sign
// is no separator.
func (r *reader) separator() byte {
	quoted := false
	var found byte
	for i := r.at; i < len(r.text); i++ {
		switch c := r.text[i]; {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '\t':
			return c
		case c == ';', c == ',' && found == 0 && r.decimal != ',':
			found = c
		case c == '\n' || c == '\r':
			return found
		}
	}
	return found
}

// heads reads the heading: each column has one, and no two the same.
func (r *reader) heads() ([]string, *Mistake) {
	var heads []string
	column := map[string]int{}
	for last := false; !last; {
		at := r.at
		var head string
		var m *Mistake
		if head, last, m = r.field(); m != nil {
			return nil, m
		}
		for at < r.at && r.text[at] == ' ' {
			at++
		}
		heads = append(heads, head)
		n := len(heads)
		key := strings.TrimSpace(head)
		switch {
		case n > r.most.columns:
			return nil, r.mistake(at, fmt.Sprintf("The file has more than %s.", count(r.most.columns, "column")), "Leave out columns that are not needed.")
		case key == "":
			return nil, r.mistake(at, fmt.Sprintf("Column %d has no heading.", n), "Write one; where lines stand before the heading, say how many, as skip: 1.")
		case column[key] > 0:
			return nil, r.mistake(at, fmt.Sprintf("The heading \"%s\" stands over columns %d and %d.", shown(key), column[key], n), "Give each column a heading of its own.")
		}
		column[key] = n
	}
	return heads, nil
}

// row reads one row of n fields. More are let pass where they are empty: programs write as many separators in every line.
func (r *reader) row(n int) ([]string, *Mistake) {
	if cap(r.room)-len(r.room) < n {
		r.room = make([]string, 0, max(min(2*cap(r.room), roomFor), 8*n))
	}
	from, fields, surplus := len(r.room), 0, -1
	for last := false; !last; fields++ {
		at := r.at
		var text string
		var m *Mistake
		if text, last, m = r.field(); m != nil {
			return nil, m
		}
		if fields < n {
			r.room = append(r.room, text)
		} else if text != "" && surplus < 0 {
			surplus = at
		}
	}
	says := fmt.Sprintf
	if surplus >= 0 {
		return nil, r.mistake(surplus, says("This row has %s, the heading has %d.", count(fields, "field"), n), r.tooMany())
	}
	if fields < n {
		return nil, r.mistake(r.rowEnd(), says("This row has %s, the heading has %d.", count(fields, "field"), n), r.tooFew())
	}
	return r.room[from:len(r.room):len(r.room)], nil
}

// rowEnd is the offset of the line end that was just read.
func (r *reader) rowEnd() int {
	before := r.text[:r.at]
	return len(strings.TrimSuffix(strings.TrimSuffix(before, "\n"), "\r"))
}

func (r *reader) tooMany() string {
	s := fmt.Sprintf("A field that holds a %s stands in quotation marks.", r.sepName())
	if r.sep == ',' {
		s = "A field that holds a comma stands in quotation marks; with decimal commas, columns are separated by semicolons or tabs."
	}
	return s
}

func (r *reader) tooFew() string {
	return fmt.Sprintf("An empty field keeps its %s.", r.sepName())
}

func (r *reader) sepName() string {
	switch r.sep {
	case '\t':
		return "tab"
	case ';':
		return "semicolon"
	}
	return "comma"
}

// field reads one field and what ends it; last tells that it was the last of its row.
func (r *reader) field() (text string, last bool, m *Mistake) {
	s, from, i := r.text, r.at, r.at
	for i < len(s) && !r.stops[s[i]] {
		i++
	}
	text = s[from:i]
	if n := len(text); n > 0 && (edge(text[0]) || edge(text[n-1])) {
		text = strings.TrimSpace(text)
	}
	if i < len(s) && s[i] == '"' {
		if text != "" {
			return "", false, r.mistake(i, "A quotation mark stands inside a field that is not in quotation marks.",
				"Put the whole field in quotation marks, and write each mark inside it twice, as \"3/8\"\" bar\".")
		}
		return r.quoted(i)
	}
	if len(text) > r.most.field {
		return "", false, r.long(from)
	}
	r.at = i
	return text, r.end(), nil
}

// edge tells of a byte that may belong to a blank.
func edge(c byte) bool { return c <= ' ' || c >= utf8.RuneSelf }

// quoted reads a field in quotation marks, the first of which stands at open.
func (r *reader) quoted(open int) (text string, last bool, m *Mistake) {
	s, at, doubled := r.text, open+1, false
	for {
		i := strings.IndexByte(s[at:], '"')
		if i < 0 {
			return "", false, r.mistake(open, "The quotation mark that opens this field is not closed.", "Close it; a mark inside the field is written twice.")
		}
		at += i + 1
		if at >= len(s) || s[at] != '"' {
			break
		}
		doubled = true
		at++
	}
	text = s[open+1 : at-1]
	r.line += lineEnds(text)
	if doubled {
		text = strings.ReplaceAll(text, `""`, `"`)
	}
	if len(text) > r.most.field {
		return "", false, r.long(open)
	}
	i := at
	for i < len(s) && !r.stops[s[i]] {
		i++
	}
	rest := strings.TrimLeftFunc(s[at:i], unicode.IsSpace)
	if rest != "" || i < len(s) && s[i] == '"' {
		return "", false, r.behind(i - len(rest))
	}
	r.at = i
	return text, r.end(), nil
}

// behind refuses text behind a closing quotation mark.
func (r *reader) behind(at int) *Mistake {
	wayOut := "A mark inside the field is written twice."
	if r.sep == 0 && r.decimal == ',' && r.text[at] == ',' {
		wayOut = "Where the comma is the decimal sign, columns are separated by semicolons or tabs."
	}
	return r.mistake(at, "Text stands behind the closing quotation mark of this field.", wayOut)
}

func (r *reader) long(at int) *Mistake {
	return r.mistake(at, fmt.Sprintf("This field has more than %s.", count(r.most.field, "byte")), "Shorten it; see whether a quotation mark is missing.")
}

// end goes behind a separator or a line end; true for a line end, or the end of the file.
func (r *reader) end() bool {
	if r.at >= len(r.text) {
		return true
	}
	c := r.text[r.at]
	r.at++
	if c != '\r' && c != '\n' {
		return false
	}
	if c == '\r' && r.at < len(r.text) && r.text[r.at] == '\n' {
		r.at++
	}
	r.line++
	return true
}

// count writes how many of something there are: 1 field, 2 fields, 10,000,000 rows.
func count(n int, what string) string {
	digits := fmt.Sprint(n)
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	if n != 1 {
		what += "s"
	}
	return digits + " " + what
}
