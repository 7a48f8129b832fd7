package read

import (
	"strconv"
	"strings"
	"unicode/utf16"
)

// text reads a text of the standard (ST_Xstring) from the element that is open. Blanks at its ends count only where the
// file says so.
func (x *part) text() (string, error) {
	keep := x.keep[x.depth-1]
	s, err := x.raw()
	if !keep {
		s = strings.Trim(s, " \t\r\n")
	}
	return unescape(s), err
}

// rich reads a text that may be cut into runs of different looks (ISO/IEC 29500-1, 18.4.8). How it is spoken is left out.
func (x *part) rich() (string, error) {
	var b strings.Builder
	add := func() error {
		s, err := x.text()
		if b.WriteString(s); b.Len() > maxToken {
			return x.endless()
		}
		return err
	}
	err := x.children(func(e element) error {
		switch e.name {
		case "t":
			return add()
		case "r":
			return x.children(func(e element) error {
				if e.name == "t" {
					return add()
				}
				return nil
			})
		}
		return nil
	})
	return b.String(), err
}

// unescape reads _xHHHH_, by which the standard states characters that XML cannot hold (ISO/IEC 29500-1, 22.9.2.19).
func unescape(s string) string {
	at := strings.Index(s, "_x")
	if at < 0 {
		return s
	}
	var b strings.Builder
	for ; at >= 0; at = strings.Index(s, "_x") {
		b.WriteString(s[:at])
		s = s[at:]
		c, ok := escape(s)
		switch low, two := escape(s[min(len(s), 7):]); {
		case !ok:
			b.WriteString("_x")
			s = s[2:]
			continue
		case utf16.IsSurrogate(c) && two && utf16.DecodeRune(c, low) != '\uFFFD':
			b.WriteRune(utf16.DecodeRune(c, low))
			s = s[14:]
		default:
			b.WriteRune(c) // half of a pair becomes U+FFFD
			s = s[7:]
		}
	}
	b.WriteString(s)
	return b.String()
}

// escape reads _xHHHH_ at the start of a text.
func escape(s string) (rune, bool) {
	if len(s) < 7 || s[:2] != "_x" || s[6] != '_' {
		return 0, false
	}
	n, err := strconv.ParseUint(s[2:6], 16, 16)
	return rune(n), err == nil
}

// sharedTexts reads the texts that cells refer to by number.
func (r *reader) sharedTexts(name string) error {
	return r.pack.each(name, "sst", mainSpaces, func(x *part) error {
		return x.children(func(e element) error {
			if e.name != "si" {
				return nil
			}
			if len(r.texts) >= r.limits.Cells {
				return refuse("it has more than %d different texts", r.limits.Cells)
			}
			s, err := x.rich()
			r.texts = append(r.texts, s)
			return err
		})
	})
}
