package read

import (
	"fmt"
	"strconv"
	"strings"
)

// reader reads one workbook.
type reader struct {
	pack   *pack
	limits Limits
	book   *Workbook
	texts  []string // that cells refer to by number
	looks  []look   // likewise
	cells  int      // that were kept so far
}

// sheetRef is a sheet as the workbook lists it.
type sheetRef struct {
	name, link string
	hidden     bool
}

func (r *reader) read() (*Workbook, error) {
	name, err := r.main()
	if err != nil {
		return nil, err
	}
	list, err := r.workbook(name)
	if err != nil {
		return nil, err
	}
	relations, err := r.pack.relations(name)
	if err != nil {
		return nil, err
	}
	if part := first(relations, "sharedStrings"); part != "" {
		if err := r.sharedTexts(part); err != nil {
			return nil, err
		}
	}
	if part := first(relations, "styles"); part != "" {
		if err := r.styles(part); err != nil {
			return nil, err
		}
	}
	for _, s := range list {
		if err := r.oneSheet(s, relations); err != nil {
			return nil, err
		}
	}
	r.passedOver()
	return r.book, r.custom()
}

// main finds the part of the workbook and refuses packages that hold something else.
func (r *reader) main() (string, error) {
	p := r.pack
	if p.has("mimetype") && p.has("content.xml") {
		return "", refuse("it is a document in the form of ISO/IEC 26300, not of ISO/IEC 29500; save it as .xlsx")
	}
	if !p.has(typesPart) || !p.has("_rels/.rels") {
		return "", refuse("it is no workbook: the zip package does not have the parts of one")
	}
	if err := p.readTypes(); err != nil {
		return "", err
	}
	relations, err := p.relations("")
	if err != nil {
		return "", err
	}
	name := first(relations, "officeDocument")
	kind := p.typeOf(name)
	switch {
	case name == "":
		return "", refuse("it is no workbook: the package does not name its workbook")
	case strings.Contains(kind, "sheet.binary"):
		return "", refuse("it is a workbook in the binary form; save it as .xlsx")
	case !p.has(name):
		return "", damaged("the part %s is missing", name)
	case strings.Contains(kind, "wordprocessingml"), strings.Contains(kind, "presentationml"):
		return "", refuse("it is no workbook but a document of another kind")
	}
	return name, nil
}

// workbook reads the part that lists the sheets and names.
func (r *reader) workbook(name string) (list []sheetRef, err error) {
	seen := map[string]bool{}
	err = r.pack.each(name, "workbook", mainSpaces, func(x *part) error {
		return x.children(func(e element) error {
			switch e.name {
			case "workbookPr":
				r.book.Dates1904 = e.yes("date1904")
				if v := e.attr("dateCompatibility"); v != "" && !e.yes("dateCompatibility") && !r.book.Dates1904 {
					// ISO/IEC 29500-1, 18.17.4.1: this system has no false leap day.
					r.notice("The workbook counts its days from 1899-12-30; dates before 1900-03-01 are read one day late, and none before 1900.")
				}
			case "sheets":
				return x.children(func(e element) error {
					s := sheetRef{unescape(e.attr("name")), e.link(), e.attr("state") != "" && e.attr("state") != "visible"}
					switch key := strings.ToLower(s.name); {
					case e.name != "sheet":
						return nil
					case s.name == "":
						return damaged("a sheet has no name")
					case seen[key]:
						return damaged("two sheets are called %q", s.name)
					default:
						seen[key] = true
					}
					list = append(list, s)
					return nil
				})
			case "definedNames":
				return x.children(func(e element) error { return r.name(x, e, list) })
			}
			return nil
		})
	})
	if err == nil && len(list) == 0 {
		err = damaged("it lists no sheets")
	}
	return list, err
}

// name reads a defined name. Those that programs keep for themselves, such as the range to print, are left out, and so are
// names of macros.
func (r *reader) name(x *part, e element, list []sheetRef) error {
	n := Name{Name: unescape(e.attr("name"))}
	local := e.attr("localSheetId")
	if e.name != "definedName" || strings.HasPrefix(strings.ToLower(n.Name), "_xlnm.") || e.yes("function") || e.yes("vbProcedure") {
		return nil
	}
	if local != "" {
		i, err := strconv.Atoi(local)
		if err != nil || i < 0 || i >= len(list) {
			return damaged("the name %q belongs to a sheet that is not there", n.Name)
		}
		n.Sheet = list[i].name
	}
	var err error
	n.Refers, err = x.text()
	n.Refers = strings.TrimPrefix(n.Refers, "=")
	if err == nil && n.Name != "" && n.Refers != "" {
		r.book.Names = append(r.book.Names, n)
	}
	return err
}

// oneSheet reads a sheet, or says that it is none with cells.
func (r *reader) oneSheet(s sheetRef, relations []relation) error {
	for _, l := range relations {
		if l.id != s.link {
			continue
		}
		switch {
		case l.target == "":
			return refuse("the sheet %q lies outside its file; links to other files are not followed", s.name)
		case l.kind != "worksheet":
			r.notice("The sheet %q was passed over: it holds a chart, a dialog or macros, and no cells.", s.name)
			return nil
		case s.hidden:
			r.notice("The sheet %q is hidden; it was read like the others.", s.name)
		}
		return r.worksheet(s, l.target)
	}
	return damaged("the sheet %q has no part", s.name)
}

func (r *reader) notice(format string, args ...any) {
	r.book.Notices = append(r.book.Notices, fmt.Sprintf(format, args...))
}

// custom keeps the parts of custom data.
func (r *reader) custom() error {
	for _, key := range r.pack.order {
		if !strings.HasPrefix(key, "customxml/") || strings.HasSuffix(key, ".rels") {
			continue
		}
		data, err := r.pack.all(key)
		if err != nil {
			return err
		}
		name := strings.ReplaceAll(r.pack.parts[key].Name, `\`, "/")
		r.book.Parts["customXml"+name[len("customXml"):]] = data
	}
	return nil
}
