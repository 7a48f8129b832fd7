package read

import (
	"fmt"
	"strings"
)

// skipped are the kinds of parts that are passed over, by a word of their kind of content. Where one and several are not
// told apart, one stands alone.
var skipped = []struct{ kind, one, many string }{
	{"drawingml.chart+xml", "1 chart was passed over.", "%d charts were passed over."},
	{"chartex+xml", "1 chart of a newer kind was passed over.", "%d charts of a newer kind were passed over."},
	{"image/", "1 picture was passed over.", "%d pictures were passed over."},
	{"vbaproject", "The macros in it were not read.", ""},
	{"externallink+xml", "A link to another file was not followed; its cells keep the values that were last seen there.",
		"Links to %d other files were not followed; their cells keep the values that were last seen there."},
	{"pivottable+xml", "1 pivot table was read as plain cells.", "%d pivot tables were read as plain cells."},
	{"oleobject", "1 embedded object was passed over.", "%d embedded objects were passed over."},
	{"activex+xml", "1 control was passed over.", "%d controls were passed over."},
	{"controlproperties+xml", "1 form control was passed over.", "%d form controls were passed over."},
	{"connections+xml", "A connection to outside data was not followed; its cells keep the values that were last seen there.", ""},
}

// passedOver tells what the package holds besides what was read.
func (r *reader) passedOver() {
	counts := make([]int, len(skipped))
	drawings := 0
	for _, name := range r.pack.order {
		if strings.HasPrefix(name, "docprops/") || strings.HasPrefix(name, "customxml/") {
			continue // the small picture of the first page, custom data
		}
		kind := strings.ToLower(r.pack.typeOf(name))
		for i, s := range skipped {
			if strings.Contains(kind, s.kind) {
				counts[i]++
			}
		}
		if strings.Contains(kind, "officedocument.drawing+xml") {
			drawings++
		}
	}
	told := false
	for i, s := range skipped {
		switch n := counts[i]; {
		case n == 1 || n > 1 && s.many == "":
			r.book.Notices = append(r.book.Notices, s.one)
		case n > 1:
			r.notice(s.many, n)
		}
		told = told || counts[i] > 0
	}
	if drawings > 0 && !told {
		r.book.Notices = append(r.book.Notices, "Drawn shapes or text boxes were passed over.")
	}
}

// several names the first of some places and says how many more there are.
func several(first string, n int) string {
	if n == 1 {
		return first
	}
	return fmt.Sprintf("%s and %d more", first, n-1)
}
