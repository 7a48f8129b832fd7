package read

import (
	"archive/zip"
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const (
	xmlHead = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`
	mainNS  = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"`
	relBase = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"
)

// rels writes the relations of a part: kind and target in turns, with the ids r1, r2 and so on.
func rels(pairs ...string) string {
	var b strings.Builder
	b.WriteString(xmlHead + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`)
	for i := 0; i+1 < len(pairs); i += 2 {
		b.WriteString(`<Relationship Id="r` + string(rune('1'+i/2)) + `" Type="` + relBase + pairs[i] + `" Target="` + pairs[i+1] + `"/>`)
	}
	return b.String() + `</Relationships>`
}

// small are the parts of a workbook with one sheet, written by hand after ISO/IEC 29500-1, annex L.2.1.
func small(rows string) map[string]string {
	return map[string]string{
		typesPart: xmlHead + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
			`<Default Extension="png" ContentType="image/png"/><Default Extension="xml" ContentType="application/xml"/>` +
			`<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>` +
			`<Override PartName="/xl/charts/chart1.xml" ContentType="application/vnd.openxmlformats-officedocument.drawingml.chart+xml"/>` +
			`<Override PartName="/xl/externalLinks/externalLink1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.externalLink+xml"/></Types>`,
		"_rels/.rels":                rels("officeDocument", "xl/workbook.xml"),
		"xl/workbook.xml":            xmlHead + `<workbook ` + mainNS + `><sheets><sheet name="Bench" sheetId="1" r:id="r1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": rels("worksheet", "worksheets/sheet1.xml", "sharedStrings", "/xl/sharedStrings.xml", "styles", "styles.xml"),
		"xl/worksheets/sheet1.xml":   xmlHead + `<worksheet ` + mainNS + `><sheetData>` + rows + `</sheetData></worksheet>`,
		"xl/sharedStrings.xml": xmlHead + `<sst ` + mainNS + `><si><t>plain</t></si><si><r><rPr><b/></rPr><t xml:space="preserve">two </t></r><r><t>runs</t></r>` +
			`<rPh sb="0" eb="1"><t>spoken</t></rPh><phoneticPr fontId="1"/></si></sst>`,
		"xl/styles.xml": xmlHead + `<styleSheet ` + mainNS + `><numFmts count="1"><numFmt numFmtId="164" formatCode="0.0&quot; kg&quot;"/></numFmts>` +
			`<cellStyleXfs count="1"><xf numFmtId="4"/></cellStyleXfs><cellXfs count="4"><xf numFmtId="0"/><xf numFmtId="164"/><xf numFmtId="14"/>` +
			`<xf numFmtId="0" applyProtection="1"><protection locked="0"/></xf></cellXfs></styleSheet>`,
	}
}

// with gives the parts with some put in the place of others; an empty one is left out.
func with(parts map[string]string, pairs ...string) map[string]string {
	parts = maps.Clone(parts)
	for i := 0; i+1 < len(pairs); i += 2 {
		if parts[pairs[i]] = pairs[i+1]; pairs[i+1] == "" {
			delete(parts, pairs[i])
		}
	}
	return parts
}

// zipped packs parts.
func zipped(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(parts[name]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return out.Bytes()
}

// readBytes reads a workbook from memory.
func readBytes(data []byte, l Limits) (*Workbook, error) {
	return Read(bytes.NewReader(data), int64(len(data)), l)
}

// mustRead reads parts that make a workbook.
func mustRead(t testing.TB, parts map[string]string) *Workbook {
	t.Helper()
	w, err := readBytes(zipped(t, parts), Limits{})
	require.NoError(t, err)
	return w
}
