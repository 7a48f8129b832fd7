package read

import "strconv"

// look is what a cell's style says that matters here.
type look struct {
	format   string
	unlocked bool
}

// maxLooks bounds the styles of a workbook; programs write 65,490 at most.
const maxLooks = 1 << 17

// builtIn are the number formats that a file states by number alone (ISO/IEC 29500-1, 18.8.30). 0 is General. 27 to 36 and
// 50 to 58 are dates and times in places where the language of the program decides on the form; a plain form stands for them.
var builtIn = map[int]string{
	1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00", 12: "# ?/?", 13: "# ??/??",
	14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy", 18: "h:mm AM/PM", 19: "h:mm:ss AM/PM", 20: "h:mm", 21: "h:mm:ss", 22: "m/d/yy h:mm",
	27: "yyyy-mm-dd", 28: "yyyy-mm-dd", 29: "yyyy-mm-dd", 30: "yyyy-mm-dd", 31: "yyyy-mm-dd", 32: "h:mm", 33: "h:mm:ss", 34: "h:mm", 35: "h:mm:ss", 36: "yyyy-mm-dd",
	37: "#,##0 ;(#,##0)", 38: "#,##0 ;[Red](#,##0)", 39: "#,##0.00;(#,##0.00)", 40: "#,##0.00;[Red](#,##0.00)",
	45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0", 48: "##0.0E+0", 49: "@",
	50: "yyyy-mm-dd", 51: "yyyy-mm-dd", 52: "yyyy-mm-dd", 53: "yyyy-mm-dd", 54: "yyyy-mm-dd", 57: "yyyy-mm-dd", 58: "yyyy-mm-dd",
}

// styles reads the number formats and locks of the cells' styles.
func (r *reader) styles(name string) error {
	formats := map[int]string{}
	return r.pack.each(name, "styleSheet", mainSpaces, func(x *part) error {
		return x.children(func(e element) error {
			switch e.name {
			case "numFmts":
				return x.children(func(e element) error {
					id, err := strconv.Atoi(e.attr("numFmtId"))
					if e.name != "numFmt" || err != nil {
						return nil
					}
					if formats[id] = unescape(e.attr("formatCode")); formats[id] == "General" {
						formats[id] = ""
					}
					return nil
				})
			case "cellXfs":
				return x.children(func(e element) error {
					if e.name != "xf" {
						return nil
					}
					return r.look(x, e, formats)
				})
			}
			return nil
		})
	})
}

// look reads one style. A file may state another format for a number that the standard has taken.
func (r *reader) look(x *part, e element, formats map[int]string) error {
	if len(r.looks) >= maxLooks {
		return refuse("it has more than %d styles", maxLooks)
	}
	var l look
	if id, err := strconv.Atoi(e.attr("numFmtId")); err == nil {
		own, ok := formats[id]
		if l.format = own; !ok {
			l.format = builtIn[id]
		}
	}
	err := x.children(func(e element) error {
		if v := e.attr("locked"); e.name == "protection" && v != "" {
			l.unlocked = !e.yes("locked")
		}
		return nil
	})
	r.looks = append(r.looks, l)
	return err
}
