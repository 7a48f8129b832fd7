package read

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// encrypted is a workbook behind a password.
func encrypted(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	var out bytes.Buffer
	require.NoError(t, f.Write(&out, excelize.Options{Password: "concrete"}))
	return out.Bytes()
}

const again = "; fetch it again, or save it anew in the program that made it."

// Files that are no workbook, each with the sentence that says what it is.
func TestNoWorkbook(t *testing.T) {
	good := zipped(t, small(`<row><c><v>1</v></c></row>`))
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"nothing":          {nil, "it is empty."},
		"a list":           {[]byte("day,volume\n2027-03-01,4\n"), "it is no workbook but a text, whatever the ending of its name; a delimited text is read as .csv."},
		"a wide list":      {[]byte("\xFF\xFEd\x00"), "it is no workbook but a text, whatever the ending of its name; a delimited text is read as .csv."},
		"an older list":    {[]byte("Ma\xDF,St\xFCck\n"), "it is no workbook but a text, whatever the ending of its name; a delimited text is read as .csv."},
		"a page":           {[]byte("<html><table/></html>"), "it is no workbook but a text, whatever the ending of its name; a delimited text is read as .csv."},
		"a picture":        {[]byte("\x89PNG\r\n\x1a\n\x00\x00"), "it is no workbook: an .xlsx file is a zip package, and this is none."},
		"an older form":    {append([]byte(compoundStart), make([]byte, 600)...), "it is a workbook in an older form, or something else in a compound file; save it as .xlsx."},
		"a password":       {encrypted(t), "it is encrypted; open it with its password, and save it without one."},
		"an empty zip":     {zipped(t, nil), "it is a zip package with nothing in it."},
		"a torn zip":       {good[:len(good)-30], "it is damaged (the zip package is torn or not whole)" + again},
		"half a zip":       {good[:len(good)/2], "it is damaged (the zip package is torn or not whole)" + again},
		"four bytes":       {good[:4], "it is damaged (the zip package is torn or not whole)" + again},
		"another zip":      {zipped(t, map[string]string{"readme.txt": "x"}), "it is no workbook: the zip package does not have the parts of one."},
		"another standard": {zipped(t, map[string]string{"mimetype": "x", "content.xml": "x"}), "it is a document in the form of ISO/IEC 26300, not of ISO/IEC 29500; save it as .xlsx."},
		"locked parts":     {flagged(good), "it is encrypted; open it with its password, and save it without one."},
	} {
		_, err := readBytes(c.data, Limits{})
		assert.EqualError(t, err, "The workbook cannot be read: "+c.want, name)
	}
}

// flagged sets the mark of encryption on each entry of the list of a zip package.
func flagged(data []byte) []byte {
	data = bytes.Clone(data)
	for at := 0; ; at++ {
		i := bytes.Index(data[at:], []byte("PK\x01\x02"))
		if i < 0 {
			return data
		}
		at += i
		data[at+8] |= 1
	}
}

// Packages that contradict the standard or themselves, each with its sentence.
func TestDamaged(t *testing.T) {
	const sheet, book = "xl/worksheets/sheet1.xml", "xl/workbook.xml"
	rows := func(s string) []string {
		return []string{sheet, `<worksheet ` + mainNS + `><sheetData>` + s + `</sheetData></worksheet>`}
	}
	sheets := func(s string) []string {
		return []string{book, `<workbook ` + mainNS + `><sheets>` + s + `</sheets></workbook>`}
	}
	for _, c := range []struct {
		parts []string
		want  string
	}{
		{[]string{typesPart, ""}, "no workbook: the zip package does not have the parts of one."},
		{[]string{"_rels/.rels", rels("other", "x")}, "no workbook: the package does not name its workbook."},
		{[]string{book, ""}, "(the part xl/workbook.xml is missing)"},
		{[]string{book, "<document/>"}, `(the part xl/workbook.xml is not what its place says: it holds "document")`},
		{[]string{book, "<workbook/>"}, `(the part xl/workbook.xml is not what its place says: it holds "workbook")`},
		{[]string{book, ""}, "is missing"},
		{[]string{sheet, " "}, "(the part xl/worksheets/sheet1.xml holds nothing)"},
		{[]string{sheet, "<worksheet " + mainNS + "><sheetData>"}, "(the part xl/worksheets/sheet1.xml ends too early)"},
		{[]string{sheet, "<worksheet " + mainNS + "><a></b></worksheet>"}, "(the part xl/worksheets/sheet1.xml is broken at line 1: element <a> closed by </b>)"},
		{[]string{sheet, "<worksheet " + mainNS + "/><worksheet/>"}, "(the part xl/worksheets/sheet1.xml goes on behind its end)"},
		{[]string{sheet, "<worksheet " + mainNS + "/>more"}, "(the part xl/worksheets/sheet1.xml holds text outside its elements)"},
		{[]string{sheet, "<worksheet " + mainNS + "><x>&nbsp;</x></worksheet>"}, "is broken at line 1: invalid character entity &nbsp;)"},
		{[]string{sheet, "<worksheet " + mainNS + ">\x01</worksheet>"}, "is broken at line 1: illegal character code U+0001)"},
		{[]string{sheet, "<worksheet " + mainNS + ">\xff</worksheet>"}, "is broken at line 1: invalid UTF-8)"},
		{[]string{sheet, `<?xml version="1.0" encoding="EBCDIC"?><worksheet/>`}, `is in the encoding "EBCDIC"; UTF-8 and UTF-16 are possible`},
		{[]string{sheet, `<!DOCTYPE x [<!ENTITY a "b">]><worksheet ` + mainNS + `/>`}, "its part xl/worksheets/sheet1.xml has a document type, which no workbook needs and whose entities are not expanded."},
		{[]string{"xl/_rels/workbook.xml.rels", `<!DOCTYPE x SYSTEM "file:///x"><Relationships/>`}, "has a document type"},
		{[]string{sheet, "<worksheet " + mainNS + ">" + strings.Repeat("<a>", maxDepth)}, "is nested deeper than 100)"},
		{[]string{"xl/_rels/workbook.xml.rels", ""}, `(the sheet "Bench" has no part)`},
		{[]string{"xl/_rels/workbook.xml.rels", rels("worksheet", "worksheets/sheet9.xml")}, "(the part xl/worksheets/sheet9.xml is missing)"},
		{[]string{"xl/_rels/workbook.xml.rels", rels("worksheet", "../../../sheet1.xml")}, `the link to "../../../sheet1.xml" in it leads out of the package, which no workbook needs.`},
		{[]string{"xl/_rels/workbook.xml.rels", rels("worksheet", "file:///sheet1.xml")}, `(the link to "file:///sheet1.xml" leads nowhere)`},
		{[]string{"xl/_rels/workbook.xml.rels", strings.Replace(rels("worksheet", "x.xml"), `Target=`, `TargetMode="External" Target=`, 1)}, `the sheet "Bench" lies outside its file; links to other files are not followed.`},
		{[]string{"xl/styles.xml", ""}, "(the part xl/styles.xml is missing)"},
		{[]string{"xl/worksheets/_rels/sheet1.xml.rels", rels("table", "../tables/table1.xml")}, "(the part xl/tables/table1.xml is missing)"},
		{[]string{"../out.xml", "<x/>"}, `the name "../out.xml" in it leads out of the package, which no workbook needs.`},
		{[]string{`xl\..\..\out.xml`, "<x/>"}, `leads out of the package, which no workbook needs.`},
		{[]string{`/etc/out.xml`, "<x/>"}, `leads out of the package, which no workbook needs.`},
		{[]string{`c:\out.xml`, "<x/>"}, `leads out of the package, which no workbook needs.`},
		{[]string{"XL/workbook.xml", "<x/>"}, "two parts are called"},
		{sheets(""), "(it lists no sheets)"},
		{sheets(`<sheet name="" r:id="r1"/>`), "(a sheet has no name)"},
		{sheets(`<sheet name="a" r:id="r1"/><sheet name="A" r:id="r1"/>`), `(two sheets are called "A")`},
		{[]string{book, `<workbook ` + mainNS + `><sheets><sheet name="a" r:id="r1"/></sheets><definedNames><definedName name="x" localSheetId="7">1</definedName></definedNames></workbook>`}, `(the name "x" belongs to a sheet that is not there)`},
		{rows(`<row r="x"/>`), `("Bench" has a row numbered "x")`},
		{rows(`<row r="1048577"/>`), `its sheet "Bench" has more than 1048576 rows.`},
		{rows(`<row r="2"><c r="A3"/></row>`), `(row 2 of "Bench" has a cell at "A3")`},
		{rows(`<row r="2"><c r="XFE2"/></row>`), `(row 2 of "Bench" has a cell at "XFE2")`},
		{rows(`<row r="2"><c r="XFD2"/><c/></row>`), `(row 2 of "Bench" has more than 16384 cells)`},
		{rows(`<row r="2"><c r="A2"><v>1</v></c><c r="A2"><v>2</v></c></row>`), `(A2 of "Bench" stands there twice)`},
		{rows(`<row r="2"><c><v>1</v></c></row><row r="2"><c><v>2</v></c></row>`), `(A2 of "Bench" stands there twice)`},
		{rows(`<row r="2"><c r="B2"><v>NaN</v></c></row>`), `(B2 of "Bench" holds "NaN", which is no number)`},
		{rows(`<row r="2"><c r="B2"><v>1e999</v></c></row>`), `(B2 of "Bench" holds "1e999", which is no number)`},
		{rows(`<row r="2"><c r="B2"><v>0x10</v></c></row>`), `(B2 of "Bench" holds "0x10", which is no number)`},
		{rows(`<row r="2"><c r="B2"><v>1,5</v></c></row>`), `(B2 of "Bench" holds "1,5", which is no number)`},
		{rows(`<row r="2"><c r="B2" t="b"><v>2</v></c></row>`), `(B2 of "Bench" holds "2", which is neither true nor false)`},
		{rows(`<row r="2"><c r="B2" t="s"><v>2</v></c></row>`), `(B2 of "Bench" holds a text that is not there)`},
		{rows(`<row r="2"><c r="B2" t="s"><v>-1</v></c></row>`), `(B2 of "Bench" holds a text that is not there)`},
		{rows(`<row r="2"><c r="B2" t="q"><v>2</v></c></row>`), `(B2 of "Bench" is of the type "q", which no cell has)`},
		{rows(`<row r="2"><c r="B2" s="9"><v>2</v></c></row>`), `(B2 of "Bench" has a style that is not there)`},
		{rows(`<row><c><f t="array" ref="A1:A3">B1</f></c><c><f t="array" ref="B1:B3">B1</f></c></row><row><c><v>1</v></c></row>` + `<row><c r="C3"><f t="array" ref="A2:B3">B1</f></c></row>`), `(A2 of "Bench" is filled by two array formulas)`},
		{[]string{sheet, `<worksheet ` + mainNS + `><mergeCells><mergeCell ref="B2:A1"/></mergeCells></worksheet>`}, `("Bench" joins cells over "B2:A1")`},
	} {
		_, err := readBytes(zipped(t, with(small(""), c.parts...)), Limits{})
		require.Error(t, err, c.want)
		assert.ErrorContains(t, err, c.want)
		assert.True(t, strings.HasPrefix(err.Error(), "The workbook cannot be read: "), err.Error())
		assert.True(t, strings.HasSuffix(err.Error(), "."), err.Error())
	}
}

// A part that was changed in the file does not agree with its sum.
func TestTornPart(t *testing.T) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for name, text := range small(`<row><c><v>12345</v></c></row>`) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		require.NoError(t, err)
		_, err = io.WriteString(w, text)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	_, err := readBytes(out.Bytes(), Limits{})
	require.NoError(t, err)
	_, err = readBytes(bytes.Replace(out.Bytes(), []byte("12345"), []byte("12346"), 1), Limits{})
	assert.EqualError(t, err, "The workbook cannot be read: it is damaged (the part xl/worksheets/sheet1.xml is torn)"+again)
	// Packed in a way that is unknown.
	other := bytes.Replace(bytes.Clone(out.Bytes()), []byte("PK\x01\x02\x14\x00\x14\x00\x08\x00\x00"), []byte("PK\x01\x02\x14\x00\x14\x00\x08\x00\x0e"), -1)
	_, err = readBytes(other, Limits{})
	assert.ErrorContains(t, err, "packed in a way that .xlsx files do not use; save it anew.")
}

// Each limit, one below and at what the workbook has.
func TestLimits(t *testing.T) {
	rows := `<row r="4"><c><v>1</v></c><c t="inlineStr"><is><t>` + strings.Repeat("x", 2000) + `</t></is></c></row><row r="9"><c><v>1</v></c></row>`
	data := zipped(t, small(rows))
	size := int64(len(data))
	part := int64(len(small(rows)["xl/worksheets/sheet1.xml"]))
	all := int64(0)
	for _, text := range small(rows) {
		all += int64(len(text))
	}
	for _, c := range []struct {
		low, enough Limits
		want        string
	}{
		{Limits{File: size - 1}, Limits{File: size}, "its file is larger than"},
		{Limits{Part: part - 1}, Limits{Part: part}, "its part xl/worksheets/sheet1.xml unpacks to more than"},
		{Limits{Unpacked: all - 1}, Limits{Unpacked: all}, "its parts unpack to more than"},
		{Limits{Parts: 6}, Limits{Parts: 7}, "it has more than 6 parts."},
		{Limits{Rows: 8}, Limits{Rows: 9}, `its sheet "Bench" has more than 8 rows.`},
		{Limits{Cells: 2}, Limits{Cells: 3}, "it has more than 2 cells."},
		{Limits{Cells: 1}, Limits{Cells: 3}, "it has more than 1 different texts."},
	} {
		_, err := readBytes(data, c.low)
		assert.ErrorContains(t, err, "The workbook cannot be read: "+c.want)
		_, err = readBytes(data, c.enough)
		assert.NoError(t, err)
	}
	assert.Equal(t, Limits{64 << 20, 1 << 30, 512 << 20, 10_000, 1_048_576, 5_000_000}, Limits{}.filled())
}

// endless gives blanks without end.
type endless struct{ left int64 }

func (e *endless) Read(b []byte) (int, error) {
	n := min(int64(len(b)), e.left)
	if n == 0 {
		return 0, io.EOF
	}
	for i := range b[:n] {
		b[i] = ' '
	}
	e.left -= n
	return int(n), nil
}

// bomb is a workbook with a sheet that unpacks to a size; stated, if not 0, is the size that the list of parts claims.
func bomb(t testing.TB, size int64, stated uint32) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	parts := small("")
	delete(parts, "xl/worksheets/sheet1.xml")
	for name, text := range parts {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = io.WriteString(w, text)
		require.NoError(t, err)
	}
	w, err := z.Create("xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	_, err = io.Copy(w, &endless{size})
	require.NoError(t, err)
	require.NoError(t, z.Close())
	data := out.Bytes()
	if stated > 0 {
		// The last entry of the list: its size as unpacked stands 24 bytes behind its start.
		at := bytes.LastIndex(data, []byte("PK\x01\x02")) + 24
		data[at], data[at+1], data[at+2], data[at+3] = byte(stated), byte(stated>>8), byte(stated>>16), byte(stated>>24)
	}
	return data
}

// A small file that unpacks to a large one is stopped by what the list of parts says; where that lies, by the bytes that
// come out, at the limit.
func TestBomb(t *testing.T) {
	data := bomb(t, 64<<20, 0)
	assert.Less(t, len(data), 1<<17)
	_, err := readBytes(data, Limits{Unpacked: 32 << 20})
	assert.EqualError(t, err, "The workbook cannot be read: its parts unpack to more than 32 MiB.")
	_, err = readBytes(data, Limits{Part: 1 << 20})
	assert.EqualError(t, err, "The workbook cannot be read: its part xl/worksheets/sheet1.xml unpacks to more than 1 MiB.")
	_, err = readBytes(data, Limits{})
	assert.ErrorContains(t, err, "holds a text without end")
	lying := bomb(t, 64<<20, 100)
	for _, l := range []Limits{{}, {Part: 1 << 20}} {
		_, err = readBytes(lying, l)
		assert.EqualError(t, err, "The workbook cannot be read: it is damaged (the part xl/worksheets/sheet1.xml is torn)"+again)
	}
}

// A short file can ask for much: long shared formulas in many cells, array formulas over one another.
func TestAsksForMuch(t *testing.T) {
	long := `<row><c><f t="shared" si="0" ref="A1:A9">` + strings.Repeat("B1+", 2000) + `1</f></c></row>`
	_, err := readBytes(zipped(t, small(long+strings.Repeat(`<row><c><f t="shared" si="0"/></c></row>`, 1000))), Limits{Unpacked: 1 << 20})
	assert.ErrorContains(t, err, "its parts unpack to more than 1 MiB.")

	var b strings.Builder
	b.WriteString("<row>")
	for i := range 1000 {
		ref := Ref(i+2, 1)
		b.WriteString(`<c r="` + ref + `"><f t="array" ref="` + ref + ":" + Ref(i+2, maxRows) + `">1</f></c>`)
	}
	b.WriteString("</row>" + strings.Repeat(`<row><c><v>1</v></c></row>`, 1000))
	_, err = readBytes(zipped(t, small(b.String())), Limits{Cells: 100_000})
	assert.ErrorContains(t, err, "it has more than 100000 cells.")
}

// Nothing is written beside a file that is refused.
func TestNothingIsWritten(t *testing.T) {
	folder := t.TempDir()
	path := folder + "/bench.xlsx"
	require.NoError(t, os.WriteFile(path, zipped(t, with(small(""), "../out.xml", "x")), 0o444))
	_, err := Open(path, Limits{})
	assert.ErrorContains(t, err, "bench.xlsx cannot be read: ")
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, files, 1)
}
